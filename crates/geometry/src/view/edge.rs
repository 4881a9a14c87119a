//! The cell from the aisle: plates stand on edge, the front wall is removed.

use crate::{
    draw::{Pen, Shapes, brush, weight},
    layout::{Cell, Plate, PlateKind, Post, Solid},
    overlay,
    palette::Role,
    part::{jar, post, vent},
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::{
    design::{SeparatorKind, Support},
    rng::element,
};
use kurbo::{BezPath, Point, Rect};

/// The material of a separator.
pub fn separator_role(kind: SeparatorKind) -> Role {
    match kind {
        SeparatorKind::Cream => Role::Separator,
        SeparatorKind::Grey => Role::SeparatorGrey,
        SeparatorKind::Rubber => Role::SeparatorRubber,
        SeparatorKind::White => Role::SeparatorWhite,
    }
}

/// Paints the layout from the aisle.
pub fn build(pen: &mut Pen<'_>) {
    let width = jar::Width(pen.layout.inside_x());
    let d = pen.layout.design.clone();
    let cells = pen.layout.cells.clone();
    let stub = d.connector.width * 1.9 + 22.0;
    let top = pen.layout.levels.cover_top + d.posts.above.max(d.arrestor.height) + 22.0;
    pen.bounds = Rect::new(-d.jar.wall - stub, -top, width.0 + d.jar.wall + stub, d.jar.floor + 8.0);

    if !pen.options.element_only {
        jar::shadow(pen, width);
        jar::back(pen, width);
    }
    let mut funnels = Vec::new();
    for cell in &cells {
        funnels.push(inside(pen, cell));
    }
    if !pen.options.element_only {
        jar::surface_line(pen, width);
        partitions(pen);
        jar::level_lines(pen, width);
    }
    let posts = lower_posts(pen, &cells);
    overlay::draw_inside(pen);
    let columns: Vec<(f64, f64)> = cells
        .iter()
        .flat_map(|c| &c.posts)
        .filter(|p| p.y.0 < pen.layout.levels.liquid)
        .map(|p| (p.x, p.diameter / 2.0))
        .collect();
    if !pen.options.element_only {
        jar::liquid(pen, width, &columns);
    }
    let wells: Vec<(f64, f64)> = cells
        .iter()
        .flat_map(|c| &c.posts)
        .map(|p| (p.x, post::well_half(p.diameter)))
        .collect();
    if !pen.options.element_only {
        jar::cover(pen, width, &wells);
    }
    top_side(pen, &cells, width, &posts, &funnels);
}

/// What stands in the liquid: bridge, mud, pack, straps.
fn inside(pen: &mut Pen<'_>, cell: &Cell) -> Option<u32> {
    if pen.wants("sediment_space") {
        let s = pen.layout.levels.sediment;
        let (x0, x1) = cell.room.x;
        pen.part("sediment_space", Point::new(x0 + 0.8 * (x1 - x0), -0.55 * s));
        let room = brush::rect(x0, -s, x1, 0.0);
        pen.out.shape(room, Shade::new(Role::Electrolyte, Tone::Light).alpha(0.25), None);
        mud(pen, cell, 0.85);
        ribs(pen, cell);
    }
    if pen.wants("end_spacer") {
        for s in &cell.end_spacers {
            end_spacer(pen, s);
        }
    }
    if pen.wants("withdrawal_tube") {
        // The rear tube hangs behind the pack; only its ends show.
        for t in cell.tubes.iter().take(1) {
            vent::tube(pen, t.x, t.y);
        }
    }
    let (front, rear): (Vec<_>, Vec<_>) =
        cell.straps.iter().cloned().partition(|(positive, _)| *positive != cell.turned);
    for (positive, s) in &rear {
        lugs(pen, cell, *positive);
        strap(pen, s, *positive, None, false);
    }
    pack(pen, cell);
    if pen.wants("moss_shield")
        && let Some(s) = &cell.moss_shield
    {
        moss_shield(pen, s);
    }
    hangers(pen, cell);
    for (positive, s) in &front {
        lugs(pen, cell, *positive);
        let cut = (pen.options.cut_strap && pen.layout.cells.len() == 1)
            .then(|| s.x.0 + 0.765 * (s.x.1 - s.x.0));
        strap(pen, s, *positive, cut, true);
        burns(pen, cell, *positive, cut);
    }
    if pen.wants("withdrawal_tube") {
        for t in cell.tubes.iter().skip(1) {
            vent::tube(pen, t.x, t.y);
        }
    }
    if pen.wants("sediment") {
        mud(pen, cell, 1.0);
    }
    cell.stem.and_then(|s| vent::stem(pen, cell.vent.0, s))
}

/// The long walls of the bridge, seen from the aisle as one.
fn ribs(pen: &mut Pen<'_>, cell: &Cell) {
    let Some(rib) = cell.ribs.first() else { return };
    let (x0, x1) = (rib.x.0 + 0.6, rib.x.1 - 0.6);
    pen.part("bottom_bridge", Point::new(x0 + 0.9 * (x1 - x0), -(rib.y.1 - 4.0)));
    let wall = brush::rounded(x0, -rib.y.1, x1, 0.0, 1.0);
    let fill = Shade::new(Role::JarGlass, Tone::Light).alpha(0.35);
    let line = Stroke::new(0.9, Shade::edge(Role::JarGlass).alpha(0.8));
    pen.out.shape(wall, fill, Some(line.clone()));
    pen.out.line(
        brush::polyline(&[Point::new(x0, -rib.y.1 + 1.6), Point::new(x1, -rib.y.1 + 1.6)]),
        Stroke::new(0.6, Shade::edge(Role::JarGlass).alpha(0.5)),
    );
    pen.out.end();
}

fn end_spacer(pen: &mut Pen<'_>, s: &Solid) {
    pen.part("end_spacer", Point::new(s.mid_x(), -(s.y.0 + 0.45 * (s.y.1 - s.y.0))));
    let board = brush::rounded(s.x.0, -s.y.1, s.x.1, -s.y.0, 0.8);
    pen.out.solid(board, brush::across(Role::EndSpacer, s.x.0, s.x.1), Role::EndSpacer, 0.6);
    let step = (4.0 * pen.px.max(0.35)).max(2.2);
    let mut rib_lines = BezPath::new();
    let mut y = s.y.0 + step;
    while y < s.y.1 - 1.0 {
        rib_lines.move_to((s.x.0 + 0.4, -y));
        rib_lines.line_to((s.x.1 - 0.4, -y));
        y += step;
    }
    pen.out.line(rib_lines, Stroke::new(0.5, Shade::edge(Role::EndSpacer).alpha(0.55)));
    pen.out.end();
}

/// Plates, separators and mats by their running sums.
fn pack(pen: &mut Pen<'_>, cell: &Cell) {
    if pen.layout.design.round.is_some() {
        return;
    }
    let role = separator_role(pen.layout.design.separator.kind);
    let n = cell.plates.len();
    let mut mats = cell.mats.iter();
    for (k, plate) in cell.plates.iter().enumerate() {
        draw_plate(pen, plate, k, n);
        let Some(s) = cell.separators.get(k) else { continue };
        let share = [0.22, 0.44, 0.3, 0.6][k % 4];
        pen.part("separator", Point::new(s.mid_x(), -(s.y.1 - 2.5)));
        let sheet = brush::rect(s.x.0, -s.y.1, s.x.1, -s.y.0);
        pen.out.solid(sheet, brush::across(role, s.x.0, s.x.1), role, weight::SHEET);
        if pen.layout.design.mat > 0.0
            && let Some(m) = mats.next()
        {
            let spot = Point::new(m.mid_x(), -(m.y.0 + (0.55 + share * 0.3) * (m.y.1 - m.y.0)));
            pen.part("retainer_mat", spot);
            let felt = brush::rect(m.x.0, -m.y.1, m.x.1, -m.y.0);
            pen.out.solid(felt, Shade::base(Role::Mat), Role::Mat, weight::MAT);
        }
    }
    pen.out.end();
}

fn plate_role(kind: PlateKind) -> Role {
    if kind.is_positive() { Role::PositiveBorder } else { Role::NegativeBorder }
}

fn draw_plate(pen: &mut Pen<'_>, plate: &Plate, k: usize, n: usize) {
    let s = &plate.solid;
    let part = plate.kind.part();
    // Spots differ in height, so that leaders do not pile up.
    let share = 0.30 + 0.42 * ((k * 5) % n) as f64 / n as f64;
    pen.part(part, Point::new(s.mid_x(), -(s.y.0 + share * (s.y.1 - s.y.0))));
    let role = plate_role(plate.kind);
    let fill = brush::across_mixed(role, s.x.0, s.x.1, pen.effects.tint(part));
    let outline = if plate.bow == 0.0 {
        brush::rounded(s.x.0, -s.y.1, s.x.1, -s.y.0, 0.6)
    } else {
        let (m, b) = (s.mid_y(), plate.bow);
        let mut p = BezPath::new();
        p.move_to((s.x.0, -s.y.1));
        p.quad_to((s.x.0 + 2.0 * b, -m), (s.x.0, -s.y.0));
        p.line_to((s.x.1, -s.y.0));
        p.quad_to((s.x.1 + 2.0 * b, -m), (s.x.1, -s.y.1));
        p.close_path();
        p
    };
    pen.out.solid(outline, fill, role, weight::PLATE);
    // The parting line of the cast border.
    if (s.x.1 - s.x.0) / pen.px > 7.0 && plate.bow == 0.0 {
        let line = brush::polyline(&[
            Point::new(s.mid_x(), -s.y.1 + 2.0),
            Point::new(s.mid_x(), -s.y.0 - 2.0),
        ]);
        pen.out.line(line, Stroke::new(0.5, Shade::edge(role).alpha(0.35)));
    }
    if let Some(foot) = plate.feet.first() {
        let inset = 0.14 * (foot.x.1 - foot.x.0);
        let (a, b) = (foot.x.0 + inset, foot.x.1 - inset);
        pen.part("plate_feet", Point::new(foot.mid_x(), -foot.mid_y()));
        let stub = brush::rect(a, -foot.y.1, b, -foot.y.0);
        let fill = brush::across_mixed(role, a, b, pen.effects.tint(part));
        pen.out.solid(stub, fill, role, 0.7);
    }
    pen.out.end();
}

fn lugs(pen: &mut Pen<'_>, cell: &Cell, positive: bool) {
    if !pen.wants("plate_lug") {
        return;
    }
    let role = if positive { Role::LeadPositive } else { Role::LeadNegative };
    for plate in cell.plates.iter().filter(|p| p.kind.is_positive() == positive) {
        let s = &plate.lug;
        pen.part("plate_lug", Point::new(s.mid_x(), -(s.y.0 + 0.8 * (s.y.1 - s.y.0))));
        let (a, b) = s.x;
        let (foot, top) = (-s.y.0, -s.y.1);
        let flare = 0.9;
        let mut p = BezPath::new();
        p.move_to((a - flare, foot));
        p.quad_to((a, foot - 0.4), (a, foot - 2.4));
        p.line_to((a, top + 2.0));
        p.quad_to((a, top), (a - flare, top));
        p.line_to((b + flare, top));
        p.quad_to((b, top), (b, top + 2.0));
        p.line_to((b, foot - 2.4));
        p.quad_to((b, foot - 0.4), (b + flare, foot));
        p.close_path();
        pen.out.solid(p, brush::across(role, a, b), role, 0.8);
    }
    pen.out.end();
}

fn strap(pen: &mut Pen<'_>, s: &Solid, positive: bool, cut: Option<f64>, front: bool) {
    let (part, role) = if positive {
        ("strap_positive", Role::LeadPositive)
    } else {
        ("strap_negative", Role::LeadNegative)
    };
    let (top, bottom) = (-s.y.1, -s.y.0);
    let spot_x = if front { s.x.0 + 4.0 } else { s.x.1 - 4.0 };
    pen.part(part, Point::new(spot_x, f64::midpoint(top, bottom)));
    let outline = match cut {
        None => brush::rounded(s.x.0, top, s.x.1, bottom, 2.0),
        Some(x) => {
            let mut points = vec![Point::new(s.x.0 + 1.0, bottom), Point::new(s.x.0, bottom - 1.5)];
            points.push(Point::new(s.x.0, top + 1.5));
            points.push(Point::new(s.x.0 + 1.5, top));
            let steps = 6;
            for i in 0..=steps {
                let y = top + (bottom - top) * f64::from(i) / f64::from(steps);
                points.push(Point::new(x + if i % 2 == 0 { 0.9 } else { -0.9 }, y));
            }
            brush::polygon(&points)
        }
    };
    pen.out.solid(outline, brush::down(role, top, bottom), role, weight::METAL);
    let end = cut.unwrap_or(s.x.1);
    pen.out.line(
        brush::polyline(&[Point::new(s.x.0 + 2.0, top + 1.4), Point::new(end - 2.0, top + 1.4)]),
        Stroke::new(0.8, Shade::new(role, Tone::Light).alpha(0.8)),
    );
    pen.out.end();
}

/// The fused bead where each lug meets its strap.
fn burns(pen: &mut Pen<'_>, cell: &Cell, positive: bool, cut: Option<f64>) {
    if !pen.wants("lead_burn") {
        return;
    }
    let role = if positive { Role::LeadPositive } else { Role::LeadNegative };
    for plate in cell.plates.iter().filter(|p| p.kind.is_positive() == positive) {
        let s = &plate.lug;
        if cut.is_some_and(|x| s.mid_x() > x) {
            continue;
        }
        let c = Point::new(s.mid_x(), -s.y.1 + 0.2);
        pen.part("lead_burn", c);
        let bead = brush::ellipse(c, (s.x.1 - s.x.0) / 2.0 + 1.3, 1.0);
        let line = Stroke::new(0.5, Shade::edge(role).alpha(0.7));
        pen.out.shape(bead, Shade::new(role, Tone::Light), Some(line));
    }
    pen.out.end();
}

fn moss_shield(pen: &mut Pen<'_>, s: &Solid) {
    let (top, bottom) = (-s.y.1, -s.y.0);
    pen.part("moss_shield", Point::new(s.x.0 + 2.5, f64::midpoint(top, bottom)));
    let sheet = brush::rounded(s.x.0, top, s.x.1, bottom, 0.6);
    let fill = brush::down(Role::MossShield, top, bottom);
    pen.out.solid(sheet, fill, Role::MossShield, 0.7);
    let mid = f64::midpoint(top, bottom);
    let holes = brush::polyline(&[Point::new(s.x.0 + 2.0, mid), Point::new(s.x.1 - 2.0, mid)]);
    let dots = Stroke::new(0.8, Shade::edge(Role::MossShield).alpha(0.8)).dashed(&[2.0, 3.5]);
    pen.out.line(holes, dots);
    pen.out.end();
}

/// The front bar, and the hooks of the positives that lie over it.
fn hangers(pen: &mut Pen<'_>, cell: &Cell) {
    if !pen.wants("positive_hanger") {
        return;
    }
    let Some(bar) = cell.hangers.first() else { return };
    let (top, bottom) = (-bar.y.1, -bar.y.0);
    pen.part("positive_hanger", Point::new(bar.x.0 + 2.0, f64::midpoint(top, bottom)));
    let rod = brush::rounded(bar.x.0, top, bar.x.1, bottom, 1.2);
    pen.out.solid(rod, brush::down(Role::Hanger, top, bottom), Role::Hanger, 1.0);
    pen.out.end();
    let hung = pen.layout.design.support == Support::AllHung;
    let hooks: Vec<(usize, u32)> = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .filter(|(_, t)| &*t.part == "positive_plate" || hung && t.part.starts_with("negative_plate"))
        .map(|(i, t)| (i, t.number))
        .collect();
    let mut positives = hooks.into_iter();
    for plate in cell.plates.iter().filter(|p| p.kind.is_positive() || hung) {
        let s = &plate.solid;
        // The hook belongs to its plate: a shoulder that lies over the bar.
        let wide = 0.5;
        let role = plate_role(plate.kind);
        let mut p = BezPath::new();
        let (a, b) = (s.x.0 - wide, s.x.1 + wide);
        p.move_to((a, bottom + 1.5));
        p.line_to((a, top - 2.2));
        p.quad_to((a, top - 4.2), (a + 1.8, top - 4.2));
        p.line_to((b - 1.8, top - 4.2));
        p.quad_to((b, top - 4.2), (b, top - 2.2));
        p.line_to((b, bottom + 1.5));
        p.close_path();
        if !hung && let Some((index, _)) = positives.next() {
            pen.out.resume(Some(index as u32));
        }
        pen.out.solid(p, brush::across(role, a, b), role, 0.9);
    }
    pen.out.end();
}

/// The mud: broad low ridges under the plates they fell from, one layer on the other.
fn mud(pen: &mut Pen<'_>, cell: &Cell, brightness: f32) {
    let layers = pen.effects.mud.clone();
    let front = brightness >= 1.0;
    if front {
        let x = cell.room.x.0 + 0.88 * (cell.room.x.1 - cell.room.x.0);
        pen.part("sediment", Point::new(x, -0.6));
    } else {
        pen.out.end();
    }
    let mut base = 0.0f64;
    for layer in &layers {
        let (x0, x1) = cell.room.x;
        let sources: Vec<f64> = cell
            .plates
            .iter()
            .filter(|p| p.kind.is_positive() != layer.under_negatives)
            .map(|p| p.solid.mid_x())
            .collect();
        // The bed seen behind is a little higher in its valleys than the one in front.
        let peak = layer.height + base;
        let bed = if front { 0.0 } else { 0.35 * layer.height };
        let points = ridge(&sources, (x0 + 0.3, x1 - 0.3), peak, bed.max(base * 0.6).max(if base == 0.0 { 0.55 * layer.height.min(2.5) } else { 0.0 }), layer.seed, pen);
        let top_path = brush::smooth(&points);
        let mut outline = top_path.clone();
        outline.line_to((x1 - 0.3, -0.1));
        outline.line_to((x0 + 0.3, -0.1));
        outline.close_path();
        let tone = if front { Tone::Base } else { Tone::Dark };
        pen.out.shape(
            outline.clone(),
            brush::down(layer.role, -peak, 0.0),
            Some(Stroke::new(0.8, Shade::edge(layer.role))),
        );
        if !front {
            pen.out.shape(outline.clone(), Shade::new(layer.role, tone).alpha(0.45), None);
        }
        if front {
            let cell_mm = (4.5 * pen.px).clamp(0.9, 3.0);
            let dots = brush::speckle(&outline, cell_mm, 0.16 * cell_mm, layer.seed);
            pen.out.shape(dots, Shade::new(layer.role, Tone::Edge).alpha(0.55), None);
            let light = brush::speckle(&outline, cell_mm * 1.7, 0.13 * cell_mm, layer.seed ^ 9);
            pen.out.shape(light, Shade::new(layer.role, Tone::Light).alpha(0.8), None);
            if layer.lumps {
                lumps(pen, &outline, layer.role, layer.seed, layer.height);
            }
        }
        base = peak;
    }
    pen.out.end();
}

fn lumps(pen: &mut Pen<'_>, area: &BezPath, role: Role, seed: u64, height: f64) {
    use kurbo::Shape as _;
    let b = area.bounding_box();
    for i in 0..60u64 {
        let mut rng = element(seed ^ 77, i);
        let r = rng.range(0.25, 0.85);
        let p = Point::new(
            rng.range(b.x0 + 2.0, b.x1 - 2.0),
            rng.range(b.y0.max(-height), b.y1 - 0.5),
        );
        if area.winding(p) == 0 || area.winding(p - kurbo::Vec2::new(0.0, r)) == 0 {
            continue;
        }
        let lump = brush::blob(p, r * 1.3, r, 0.25, seed ^ i);
        let line = Stroke::new(0.5, Shade::edge(role).alpha(0.45));
        pen.out.shape(lump, Shade::new(Role::Sulfate, Tone::Light).alpha(0.9), Some(line));
    }
}

/// Heights of the bed: the largest over all sources of peak less distance times slope, with
/// round crests; slopes of 20 to 30 degrees, chosen by seed.
fn ridge(
    sources: &[f64],
    span: (f64, f64),
    peak: f64,
    bed: f64,
    seed: u64,
    pen: &Pen<'_>,
) -> Vec<Point> {
    let n = 96;
    let limit = pen.layout.levels.sediment * 0.985;
    let crest = 2.2;
    let of = |i: usize, x: f64, source: f64| {
        let mut rng = element(seed, i as u64);
        let slope = libm::tan(rng.range(20.0, 30.0) * std::f64::consts::PI / 180.0);
        let own = peak * rng.range(0.82, 1.0);
        // A hyperbola instead of a cone: the crest is round.
        let away = x - source;
        own - slope * (libm::sqrt(away * away + crest * crest) - crest)
    };
    (0..=n)
        .map(|k| {
            let x = span.0 + (span.1 - span.0) * f64::from(k) / f64::from(n);
            let mut rng = element(seed ^ 3, k as u64);
            let grain = rng.range(-0.12, 0.12) * peak.min(2.0);
            let y = sources
                .iter()
                .enumerate()
                .map(|(i, s)| of(i, x, *s))
                .fold(bed, f64::max);
            Point::new(x, -(y + grain).clamp(0.15, limit.max(0.2)))
        })
        .collect()
}

fn partitions(pen: &mut Pen<'_>) {
    for p in pen.layout.partitions.clone() {
        pen.part("partition_wall", Point::new(p.mid_x(), -0.5 * p.y.1));
        let wall = brush::rect(p.x.0, -p.y.1, p.x.1, 0.0);
        let fill = Shade::new(Role::JarGlass, Tone::Base).alpha(0.9);
        pen.out.solid(wall.clone(), fill, Role::JarGlass, 1.0);
        pen.cut(&wall, Role::JarGlass, 7.0);
        pen.out.end();
    }
}

/// Posts below the cover, rear ones first; gives the target of each.
fn lower_posts(pen: &mut Pen<'_>, cells: &[Cell]) -> Vec<(Post, u32, bool)> {
    let mut posts: Vec<Post> = cells.iter().flat_map(|c| c.posts.clone()).collect();
    posts.sort_by(|a, b| b.z.total_cmp(&a.z).then(a.x.total_cmp(&b.x)));
    let middle = pen.layout.inner_z / 2.0;
    posts
        .into_iter()
        .map(|p| {
            let front = p.z < middle;
            let target = post::below(pen, &p, p.x, 5.0);
            (p, target, front)
        })
        .collect()
}

/// Everything on the cover: rear posts and bars, vents, front posts and bars.
fn top_side(
    pen: &mut Pen<'_>,
    cells: &[Cell],
    width: jar::Width,
    posts: &[(Post, u32, bool)],
    funnels: &[Option<u32>],
) {
    pen.mark();
    for (p, target, front) in posts.iter().filter(|(_, _, f)| !*f) {
        one_post(pen, p, *target, *front, width);
    }
    pen.mark();
    for (cell, funnel) in cells.iter().zip(funnels) {
        vent::arrestor(pen, cell.vent.0, *funnel);
        if pen.wants("withdrawal_tube") {
            let numbers: Vec<u32> = pen
                .out
                .targets()
                .iter()
                .enumerate()
                .filter(|(_, t)| &*t.part == "withdrawal_tube")
                .map(|(i, _)| i as u32)
                .collect();
            for (t, target) in cell.tubes.iter().zip(numbers) {
                vent::tube_cap(pen, t.x, target);
            }
        }
    }
    pen.mark();
    for (p, target, front) in posts.iter().filter(|(_, _, f)| *f) {
        one_post(pen, p, *target, *front, width);
    }
    if !pen.options.element_only {
        jar::number(pen, cells[0].vent.0, true);
    }
    overlay::draw_on_top(pen);
}

fn one_post(pen: &mut Pen<'_>, p: &Post, target: u32, front: bool, width: jar::Width) {
    let d = pen.layout.design.clone();
    let reach = d.connector.width * 1.9;
    let to_left = p.x < width.0 / 2.0;
    let far = if to_left { -d.jar.wall - reach } else { width.0 + d.jar.wall + reach };
    let near = if to_left { p.x + p.diameter / 2.0 - 2.0 } else { p.x - p.diameter / 2.0 + 2.0 };
    let bars = pen.options.bars;
    let show_front_bar = bars && !(pen.options.front_bar_off && front);
    // With two bars one lies behind the post; where the front one is drawn it hides the other.
    if bars && d.connector.bars == 2 && !show_front_bar {
        post::bar(pen, p, near, far);
    }
    post::seal(pen, p, p.x);
    post::above(pen, p, p.x, target);
    if show_front_bar {
        post::bar(pen, p, near, far);
        post::bolt(pen, p, p.x);
    } else if bars {
        post::bolt_hole(pen, p, p.x);
    }
    post::polarity_mark(pen, Point::new(p.x, -p.y.1 - 8.5), p.positive, 5.6);
}
