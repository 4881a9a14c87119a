//! The cell from its right neighbour, flat on the end negative; the aisle is on the left.

use crate::{
    draw::{Pen, Shapes, brush, weight},
    layout::{Cell, Post, Solid},
    overlay,
    palette::Role,
    part::{jar, post, rack, vent},
    scene::{Paint, Shade, Stroke, Tone},
    view::edge::{round, separator_role},
};
use jarlight_model::design::{ConnectorMake, Support};
use kurbo::{BezPath, Point, Rect};

/// Paints the layout seen along the stack; the aisle is on the left.
pub fn build(pen: &mut Pen<'_>) {
    let width = jar::Width(pen.layout.inner_z);
    let d = pen.layout.design.clone();
    // The viewer stands at the right, so the last cell is the nearest.
    let Some(cell) = pen.layout.cells.last().cloned() else { return };
    let side = 34.0;
    let top = pen.layout.levels.cover_top + d.posts.above.max(d.arrestor.height) + 22.0;
    let foot = d.jar.floor + rack::COVER + rack::RAIL + 3.0;
    pen.bounds = Rect::new(-d.jar.wall - side, -top, width.0 + d.jar.wall + side, foot);
    let posts = posts(pen);
    let columns: Vec<(f64, f64)> = posts.iter().map(|p| (p.z, p.diameter / 2.0)).collect();
    if !pen.options.element_only {
        rack::across(pen, width);
        jar::back(pen, width);
        if cell.round.is_none() {
            floor(pen, &cell, width);
        }
        jar::surface_line(pen, width);
        let mut taken = columns.clone();
        taken.extend(cell.stem.map(|s| (cell.vent.1, s.2 / 2.0)));
        taken.extend(cell.tubes.iter().map(|t| (t.mid_z(), (t.z.1 - t.z.0) / 2.0)));
        jar::level_lines(pen, width, &taken);
    }
    let (lower, funnel) = if cell.round.is_some() {
        (flat_stack(pen, &cell, &posts), None)
    } else {
        upright(pen, &cell, &posts)
    };
    overlay::draw_inside(pen);
    if !pen.options.element_only {
        jar::liquid(pen, width, &columns);
        if let Some(p) = posts.iter().find(|p| p.positive) {
            post::core_window(pen, p, p.z);
        }
        let wells: Vec<(f64, f64)> =
            posts.iter().map(|p| (p.z, post::well_half(p.diameter))).collect();
        jar::cover(pen, width, &wells);
    }
    tops(pen, &cell, &posts, &lower, funnel);
}

/// Everything inside a jar whose plates stand; gives the targets of posts and funnel.
fn upright(pen: &mut Pen<'_>, cell: &Cell, posts: &[Post]) -> (Vec<u32>, Option<u32>) {
    let lower: Vec<u32> = posts.iter().map(|p| post::below(pen, p, p.z, 0.0)).collect();
    straps(pen, cell);
    joint(pen);
    let middle = cell.room.mid_x();
    let tubes = |pen: &mut Pen<'_>, near: bool| {
        if pen.wants("withdrawal_tube") {
            for t in cell.tubes.iter().filter(|t| (t.mid_x() > middle) == near) {
                vent::tube(pen, t.z, t.y);
            }
        }
    };
    tubes(pen, false);
    hangers(pen, cell);
    plates(pen, cell);
    tubes(pen, true);
    (lower, cell.stem.and_then(|s| vent::stem(pen, cell.vent.1, s)))
}

/// A flat stack with the outer riser in front of it.
fn flat_stack(pen: &mut Pen<'_>, cell: &Cell, posts: &[Post]) -> Vec<u32> {
    round::inside(pen, cell, false);
    posts
        .iter()
        .map(|p| {
            let target = post::below(pen, p, p.z, 1.0);
            round::riser_in_front(pen, cell, target);
            target
        })
        .collect()
}

/// The nearest post of each line; the far one of a pair is hidden.
fn posts(pen: &Pen<'_>) -> Vec<Post> {
    let mut all: Vec<Post> = pen.layout.cells.iter().flat_map(|c| c.posts.clone()).collect();
    all.sort_by(|a, b| b.x.total_cmp(&a.x));
    let mut seen: Vec<Post> = Vec::new();
    for p in all {
        if !seen.iter().any(|s| (s.z - p.z).abs() < 1.0) {
            seen.push(p);
        }
    }
    seen.sort_by(|a, b| a.z.total_cmp(&b.z));
    seen
}

/// Riser and bar of the joint that leads from the nearest cell to the next one of its jar.
fn joint(pen: &mut Pen<'_>) {
    let Some(j) = pen.layout.joints.last().cloned() else { return };
    let (positive, r) = j.risers[1];
    let (part, role) = strap_of(positive);
    let strap = pen.out.targets().iter().position(|t| &*t.part == part).map(|i| i as u32);
    pen.out.resume(strap);
    let body = brush::rect(r.z.0, -r.y.1 - 0.5, r.z.1, -r.y.0);
    pen.out.solid(body, brush::across(role, r.z.0, r.z.1), role, weight::METAL);
    let (top, bottom) = (-j.bar.y.1, -j.bar.y.0);
    let bar = brush::rounded(j.bar.z.0 - 0.5, top, j.bar.z.1 + 0.5, bottom, 1.6);
    let fill = brush::down(Role::LeadPositiveAir, top, bottom);
    pen.out.solid(bar, fill, Role::LeadPositiveAir, weight::METAL);
    pen.out.end();
}

fn strap_of(positive: bool) -> (&'static str, Role) {
    if positive {
        ("strap_positive", Role::LeadPositive)
    } else {
        ("strap_negative", Role::LeadNegative)
    }
}

fn floor(pen: &mut Pen<'_>, cell: &Cell, width: jar::Width) {
    let s = pen.layout.levels.sediment;
    pen.part("sediment_space", Point::new(0.5 * width.0, -0.5 * s));
    let room = brush::rect(0.0, -s, width.0, 0.0);
    pen.out.shape(room, Shade::new(Role::Electrolyte, Tone::Light).alpha(0.25), None);
    pen.part("sediment", Point::new(0.82 * width.0, -0.6));
    let mut base = 0.0;
    let limit = pen.effects.bed_limit(&pen.layout.levels);
    for layer in pen.effects.mud.clone() {
        // Along the plate the bed is even: material falls from the whole width.
        let height = base + layer.height * 0.8;
        let points: Vec<Point> = (0..=40)
            .map(|i| {
                let t = f64::from(i) / 40.0;
                let mut rng = jarlight_model::rng::element(layer.seed, 500 + i as u64);
                let edge = (t.min(1.0 - t) * 9.0).min(1.0);
                let y = height * (0.75 + 0.25 * edge) + rng.range(-0.06, 0.06) * layer.height;
                Point::new(t * width.0, -y.clamp(0.15, limit))
            })
            .collect();
        let mut outline = brush::smooth(&points);
        outline.line_to((width.0, -0.1));
        outline.line_to((0.0, -0.1));
        outline.close_path();
        let line = Stroke::new(0.8, Shade::edge(layer.role));
        let fill = brush::down(layer.role, -height, 0.0);
        let step = (4.5 * pen.px).clamp(0.9, 3.0);
        let dots = brush::speckle(&outline, step, 0.16 * step, layer.seed);
        pen.out.shape(outline, fill, Some(line));
        pen.out.shape(dots, Shade::new(layer.role, Tone::Edge).alpha(0.5), None);
        base = height;
    }
    for rib in &cell.ribs {
        pen.part("bottom_bridge", Point::new(rib.mid_z(), -0.6 * rib.y.1));
        let (a, b) = rib.z;
        let flare = 1.6;
        let wall = brush::polygon(&[
            Point::new(a - flare, 0.0),
            Point::new(a, -rib.y.1),
            Point::new(b, -rib.y.1),
            Point::new(b + flare, 0.0),
        ]);
        let fill = Shade::new(Role::JarGlass, Tone::Light).alpha(0.7);
        pen.out.solid(wall.clone(), fill, Role::JarGlass, 0.9);
        pen.cut(&wall, Role::JarGlass, 7.0);
    }
    pen.out.end();
}

fn straps(pen: &mut Pen<'_>, cell: &Cell) {
    for (positive, s) in &cell.straps {
        let (part, role) = strap_of(*positive);
        if pen.wants("plate_lug") {
            // Seen end on: all lugs of one polarity stand in line.
            let plate = cell.plates.iter().find(|p| p.kind.is_positive() == *positive);
            if let Some(plate) = plate {
                let l = &plate.lug;
                pen.part("plate_lug", Point::new(l.mid_z(), -l.mid_y()));
                let lug = brush::rect(l.z.0, -l.y.1, l.z.1, -l.y.0);
                pen.out.solid(lug, brush::across(role, l.z.0, l.z.1), role, 0.9);
            }
        }
        pen.part(part, Point::new(s.z.0 + 3.0, -s.mid_y()));
        let end = brush::rounded(s.z.0, -s.y.1, s.z.1, -s.y.0, 3.0);
        pen.out.solid(end, brush::across(role, s.z.0, s.z.1), role, weight::METAL);
    }
    pen.out.end();
}

fn hangers(pen: &mut Pen<'_>, cell: &Cell) {
    if !pen.wants("positive_hanger") {
        return;
    }
    // The nearest plate that hangs: behind the end negative a positive, where all hang itself.
    let all = pen.layout.design.support == Support::AllHung;
    let Some(plate) = cell.plates.iter().rev().find(|p| all || p.kind.is_positive()) else {
        return;
    };
    let (hook_role, plate) = (
        if plate.kind.is_positive() { Role::PositiveBorder } else { Role::NegativeBorder },
        plate.solid,
    );
    pen.out.end();
    for s in &cell.ledges {
        let ledge = brush::rounded(s.z.0, -s.y.1, s.z.1, -s.y.0, 0.8);
        pen.out.solid(ledge.clone(), Shade::base(Role::JarGlass), Role::JarGlass, 0.9);
    }
    for (i, bar) in cell.hangers.iter().enumerate() {
        let (a, b) = bar.z;
        pen.part("positive_hanger", Point::new(f64::midpoint(a, b), -bar.mid_y()));
        let end = brush::rounded(a, -bar.y.1, b, -bar.y.0, 1.0);
        pen.out.solid(end, brush::down(Role::Hanger, -bar.y.1, -bar.y.0), Role::Hanger, 1.0);
        // The hook comes from behind the end negative over the bar.
        let (from, to) =
            if i == 0 { (a - 1.2, plate.z.0 + 2.0) } else { (plate.z.1 - 2.0, b + 1.2) };
        let top = -bar.y.1 - 4.2;
        let hook = brush::rounded(from, top, to, -bar.y.1 - 0.2, 1.0);
        pen.out.solid(hook, brush::down(hook_role, top, -bar.y.1), hook_role, 0.9);
    }
    pen.out.end();
}

fn plates(pen: &mut Pen<'_>, cell: &Cell) {
    let d = pen.layout.design.clone();
    let Some(end) = cell.plates.last() else { return };
    let Some(sheet) = cell.separators.last() else { return };
    // A positive that has grown past the separator shows as a brown rim behind.
    if let Some(p) = cell.plates.iter().rev().find(|p| p.kind.is_positive()) {
        let s = &p.solid;
        pen.part("positive_plate", Point::new(s.z.0 + 0.4, -(s.y.0 + 0.2 * (s.y.1 - s.y.0))));
        let rim = brush::rounded(s.z.0, -s.y.1, s.z.1, -s.y.0, 2.0);
        let fill = brush::across(Role::PositiveBorder, s.z.0, s.z.1);
        pen.out.solid(rim, fill, Role::PositiveBorder, weight::PLATE);
        let plastic = pen.layout.design.tubular.is_some();
        let role = if plastic { Role::Hanger } else { Role::PositiveBorder };
        for foot in &p.feet {
            pen.part("plate_feet", Point::new(foot.mid_z(), -foot.mid_y()));
            let stub = brush::rounded(foot.z.0, -foot.y.1 - 1.0, foot.z.1, -foot.y.0, 0.8);
            pen.out.solid(stub, brush::across(role, foot.z.0, foot.z.1), role, 0.9);
        }
    }
    let role = separator_role(d.separator.kind);
    pen.part(
        "separator",
        Point::new(sheet.z.0 + 1.6, -(sheet.y.0 + 0.7 * (sheet.y.1 - sheet.y.0))),
    );
    let back = brush::rect(sheet.z.0, -sheet.y.1, sheet.z.1, -sheet.y.0);
    pen.out.solid(back, brush::across(role, sheet.z.0, sheet.z.1), role, 0.9);
    ribs(pen, sheet, &end.solid, role);
    if let Some(m) = cell.moss_shield.filter(|_| pen.wants("moss_shield")) {
        pen.part("moss_shield", Point::new(m.z.0 + 0.85 * (m.z.1 - m.z.0), -m.mid_y()));
        let cover = brush::rounded(m.z.0, -m.y.1, m.z.1, -m.y.0, 0.6);
        let fill = brush::down(Role::MossShield, -m.y.1, -m.y.0);
        pen.out.solid(cover, fill, Role::MossShield, 0.7);
    }
    let s = &end.solid;
    for foot in &end.feet {
        pen.part("plate_feet", Point::new(foot.mid_z(), -foot.mid_y()));
        let stub = brush::rounded(foot.z.0, -foot.y.1 - 1.0, foot.z.1, -foot.y.0, 0.8);
        let fill = brush::across(Role::NegativeBorder, foot.z.0, foot.z.1);
        pen.out.solid(stub, fill, Role::NegativeBorder, 0.9);
    }
    // The lug of the end negative stands in front of its strap.
    let l = &end.lug;
    let spot = Point::new(s.z.0 + 0.66 * (s.z.1 - s.z.0), -(s.y.0 + 0.62 * (s.y.1 - s.y.0)));
    let target = pen.part("negative_plate_end", spot);
    let mut p = BezPath::new();
    let corner = 2.0;
    p.move_to((s.z.0 + corner, -s.y.0));
    p.quad_to((s.z.0, -s.y.0), (s.z.0, -s.y.0 - corner));
    p.line_to((s.z.0, -s.y.1 + corner));
    p.quad_to((s.z.0, -s.y.1), (s.z.0 + corner, -s.y.1));
    if pen.wants("plate_lug") {
        p.line_to((l.z.0 - 4.0, -s.y.1));
        p.quad_to((l.z.0, -s.y.1), (l.z.0, -s.y.1 - 4.0));
        p.line_to((l.z.0, -l.y.1));
        p.line_to((l.z.1, -l.y.1));
        p.line_to((l.z.1, -s.y.1 - 4.0));
        p.quad_to((l.z.1, -s.y.1), (l.z.1 + 4.0, -s.y.1));
    }
    p.line_to((s.z.1 - corner, -s.y.1));
    p.quad_to((s.z.1, -s.y.1), (s.z.1, -s.y.1 + corner));
    p.line_to((s.z.1, -s.y.0 - corner));
    p.quad_to((s.z.1, -s.y.0), (s.z.1 - corner, -s.y.0));
    p.close_path();
    let tint = pen.effects.tint("negative_plate_end");
    // A satin grey that is only a little lighter toward the lamp side; a strong shine would
    // read as polished metal.
    let soft = |lift: f32| match tint {
        None if lift >= 0.0 => {
            Shade::base(Role::NegativePaste).mixed(Role::NegativePaste, Tone::Light, lift)
        }
        None => Shade::base(Role::NegativePaste).mixed(Role::NegativePaste, Tone::Dark, -lift),
        Some((r, share)) => Shade::base(Role::NegativePaste).mixed(r, Tone::Base, share),
    };
    let fill = Paint::Linear {
        from: Point::new(s.z.0, -s.y.1),
        to: Point::new(s.z.1, -s.y.0),
        stops: vec![(0.0, soft(0.35)), (0.5, soft(0.0)), (1.0, soft(-0.35))],
    };
    pen.out.solid(p, fill, Role::NegativeBorder, weight::METAL);
    // Wires show through the paste as a faint shadow only.
    let frame = 6.0;
    let (a, b) = (s.z.0 + frame, s.z.1 - frame);
    let (low, high) = (s.y.0 + frame, s.y.1 - frame);
    let mut wires = BezPath::new();
    let step = |from: f64, to: f64, n: u32| {
        (1..n).map(move |i| from + (to - from) * f64::from(i) / f64::from(n))
    };
    for z in step(a, b, 8) {
        wires.move_to((z, -low));
        wires.line_to((z, -high));
    }
    for y in step(low, high, 22) {
        wires.move_to((a, -y));
        wires.line_to((b, -y));
    }
    let (z, y) = (a + 0.375 * (b - a), low + 0.3636 * (high - low));
    pen.part("grid_wires", Point::new(z, -y));
    let faint = Stroke::new(0.6, Shade::edge(Role::NegativeBorder).alpha(0.16));
    pen.out.shape(wires, Shade::base(Role::NegativeBorder).alpha(0.0), Some(faint));
    // One pellet between wires stands for the paste, so that the plate itself can be pointed at.
    let pellet = brush::rounded(
        a + 0.26 * (b - a),
        -(low + 0.225 * (high - low)),
        a + 0.365 * (b - a),
        -(low + 0.184 * (high - low)),
        1.0,
    );
    let bounds = kurbo::Shape::bounding_box(&pellet);
    pen.part("active_material_negative", bounds.center());
    pen.out.shape(pellet, Shade::new(Role::NegativePaste, Tone::Light).alpha(0.03), None);
    pen.out.resume(Some(target));
    let dots = brush::speckle(&brush::rect(a, -high, b, -low), (9.0 * pen.px).max(3.0), 0.35, 5);
    pen.out.shape(dots, Shade::new(Role::NegativePaste, Tone::Light).alpha(0.5), None);
    pen.out.resume(Some(target));
    pen.out.end();
    pen.part("grid_frame", Point::new(s.z.1 - 2.5, -(s.y.0 + 0.52 * (s.y.1 - s.y.0))));
    let mut border = brush::rounded(s.z.0 + 0.6, -s.y.1 + 0.6, s.z.1 - 0.6, -s.y.0 - 0.6, 1.8);
    for el in brush::rect(a, -high, b, -low).reverse_subpaths().elements() {
        border.push(*el);
    }
    pen.out.shape(
        border,
        Shade::new(Role::NegativeBorder, Tone::Light).alpha(0.35),
        Some(Stroke::new(0.6, Shade::edge(Role::NegativeBorder).alpha(0.45))),
    );
    pen.out.end();
    if pen.wants("end_spacer") && !cell.end_spacers.is_empty() {
        let e = &cell.end_spacers[0];
        for share in [0.2, 0.8] {
            let mid = s.z.0 + share * (s.z.1 - s.z.0);
            pen.part("end_spacer", Point::new(mid, -(e.y.0 + 0.35 * (e.y.1 - e.y.0))));
            let strip = brush::rounded(mid - 8.0, -e.y.1, mid + 8.0, -e.y.0, 1.5);
            let fill = Paint::Linear {
                from: Point::new(mid - 8.0, 0.0),
                to: Point::new(mid + 8.0, 0.0),
                stops: vec![
                    (0.0, Shade::new(Role::EndSpacer, Tone::Dark).alpha(0.55)),
                    (0.3, Shade::new(Role::EndSpacer, Tone::Light).alpha(0.45)),
                    (1.0, Shade::new(Role::EndSpacer, Tone::Dark).alpha(0.5)),
                ],
            };
            let line = Stroke::new(0.7, Shade::edge(Role::EndSpacer).alpha(0.8));
            pen.out.shape(strip, fill, Some(line));
        }
        pen.out.end();
    }
}

/// Ribs of the sheet, seen where it stands past the plate.
fn ribs(pen: &mut Pen<'_>, sheet: &Solid, plate: &Solid, role: Role) {
    let mut lines = BezPath::new();
    for (from, to) in [(sheet.z.0, plate.z.0), (plate.z.1, sheet.z.1)] {
        for share in [0.3, 0.7] {
            let z = from + share * (to - from);
            lines.move_to((z, -sheet.y.1 + 1.0));
            lines.line_to((z, -sheet.y.0 - 1.0));
        }
    }
    let z = sheet.z.1 - 0.3 * (sheet.z.1 - plate.z.1);
    pen.part("separator_ribs", Point::new(z, -(sheet.y.0 + 0.4 * (sheet.y.1 - sheet.y.0))));
    let line = Stroke::new(0.6, Shade::edge(role).alpha(0.6));
    pen.out.shape(lines, Shade::base(role).alpha(0.0), Some(line));
}

fn tops(pen: &mut Pen<'_>, cell: &Cell, posts: &[Post], lower: &[u32], funnel: Option<u32>) {
    let bars = pen.layout.design.connector.bars;
    let thick = pen.layout.design.connector.thickness;
    vent::arrestor(pen, cell.vent.1, funnel);
    if pen.wants("withdrawal_tube") {
        let numbers: Vec<u32> = pen
            .out
            .targets()
            .iter()
            .enumerate()
            .filter(|(_, t)| &*t.part == "withdrawal_tube")
            .map(|(i, _)| i as u32)
            .collect();
        // Tubes are drawn far ones first.
        let mut tubes = cell.tubes.clone();
        tubes.sort_by(|a, b| a.x.0.total_cmp(&b.x.0));
        for (t, target) in tubes.iter().zip(numbers) {
            vent::tube_cap(pen, t.z, target);
        }
    }
    for (p, target) in posts.iter().zip(lower) {
        post::seal(pen, p, p.z);
        post::above(pen, p, p.z, *target);
        post::sleeve(pen, p, p.z);
        let (low, high) = post::bar_span(pen, p);
        let r = p.diameter / 2.0;
        if pen.wants("intercell_connector") {
            // A single bar lies at the rear of its post.
            for side in [1.0, -1.0].into_iter().take(bars as usize) {
                let (a, b) = (p.z + side * r, p.z + side * (r + thick));
                pen.part("intercell_connector", Point::new(f64::midpoint(a, b), -(low + 4.0)));
                let bar = brush::rounded(a, -high, b, -low, 0.8);
                // The bar of the near side comes toward the viewer and is cut.
                let cut = !p.positive;
                let skin = match pen.layout.design.connector.make {
                    ConnectorMake::PlatedBar => Role::Connector,
                    ConnectorMake::LeadCovered => Role::LeadNegative,
                    ConnectorMake::FlexibleInsulated => Role::Rubber,
                };
                let role = if cut { Role::Copper } else { skin };
                let fill = brush::across(role, a.min(b), a.max(b));
                pen.out.solid(bar.clone(), fill, skin, weight::METAL);
                if cut {
                    pen.cut(&bar, Role::Copper, 4.0);
                }
                if pen.wants("connection_bolt") {
                    let y = -f64::midpoint(low, high);
                    let (from, to) = (b, b + side * 5.0);
                    pen.part("connection_washer", Point::new(b + side * 0.8, y));
                    let washer = brush::rounded(b, y - 6.0, b + side * 1.5, y + 6.0, 0.4);
                    pen.out.solid(
                        washer,
                        brush::down(Role::Bolt, y - 6.0, y + 6.0),
                        Role::Bolt,
                        0.7,
                    );
                    pen.part("connection_bolt", Point::new(f64::midpoint(from, to) + side, y));
                    let head =
                        brush::rounded(b + side * 1.5, y - 4.4, to + side * 1.5, y + 4.4, 0.8);
                    pen.out.solid(head, brush::down(Role::Bolt, y - 4.4, y + 4.4), Role::Bolt, 0.9);
                    if bars == 1 {
                        nut(pen, Point::new(p.z - side * r, y), -side);
                    }
                }
            }
        }
        pen.out.end();
        post::polarity_mark(pen, Point::new(p.z, -p.y.1 - 8.5), p.positive, 5.6);
    }
    overlay::draw_on_top(pen);
    overlay::draw_last(pen);
}

/// The nut on the other end of a bolt that holds a single bar.
fn nut(pen: &mut Pen<'_>, at: Point, side: f64) {
    let body = brush::rounded(at.x, at.y - 4.4, at.x + side * 5.0, at.y + 4.4, 0.8);
    pen.out.solid(body, brush::down(Role::Bolt, at.y - 4.4, at.y + 4.4), Role::Bolt, 0.9);
}
