//! The cell from the aisle: plates stand on edge, the front wall is removed.

mod floor;
mod joint;
mod kinds;
mod pack;
pub mod round;

pub use kinds::TOP_BAR;

use crate::{
    draw::Pen,
    layout::{Cell, Post},
    overlay,
    palette::Role,
    part::{jar, post, rack, vent},
    scene::{Shade, Tone},
};
use jarlight_model::design::SeparatorKind;
use kurbo::{Point, Rect};

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
    let rail = if alone(pen) { rack::COVER + rack::RAIL + 3.0 } else { 8.0 };
    let (left, right) = (-d.jar.wall - stub, width.0 + d.jar.wall + stub);
    pen.bounds = Rect::new(left, -top, right, d.jar.floor + rail);

    if !pen.options.element_only {
        if alone(pen) {
            rack::along(pen, width);
        } else {
            jar::shadow(pen, width);
        }
        jar::back(pen, width);
    }
    let mut funnels = Vec::new();
    for cell in &cells {
        funnels.push(inside(pen, cell));
    }
    let columns: Vec<(f64, f64)> =
        cells.iter().flat_map(|c| &c.posts).map(|p| (p.x, p.diameter / 2.0)).collect();
    if !pen.options.element_only {
        jar::surface_line(pen, width);
    }
    joint::partitions(pen);
    if !pen.options.element_only {
        let mut taken = columns.clone();
        taken.extend(pen.layout.partitions.iter().map(|p| (p.mid_x(), 2.0)));
        taken.extend(cells.iter().filter_map(|c| c.stem.map(|s| (c.vent.0, s.2 / 2.0))));
        let tubes = cells.iter().flat_map(|c| &c.tubes);
        taken.extend(tubes.map(|t| (t.mid_x(), (t.x.1 - t.x.0) / 2.0)));
        jar::level_lines(pen, width, &taken);
    }
    let posts = lower_posts(pen, &cells);
    overlay::draw_inside(pen);
    if !pen.options.element_only {
        let mut curls: Vec<(f64, f64)> = cells
            .iter()
            .flat_map(|c| &c.posts)
            .filter(|p| p.y.0 < pen.layout.levels.liquid)
            .map(|p| (p.x, p.diameter / 2.0))
            .collect();
        let half = d.jar.partition / 2.0;
        curls.extend(pen.layout.partitions.iter().map(|p| (p.mid_x(), half)));
        jar::liquid(pen, width, &curls);
    }
    if let Some((p, ..)) = posts.iter().find(|(p, ..)| p.positive) {
        post::core_window(pen, p, p.x);
    }
    let wells: Vec<(f64, f64)> =
        cells.iter().flat_map(|c| &c.posts).map(|p| (p.x, post::well_half(p.diameter))).collect();
    if !pen.options.element_only {
        jar::cover(pen, width, &wells);
        jar::lift_points(pen);
    }
    top_side(pen, &cells, width, &posts, &funnels);
}

/// A cell drawn by itself, not as one of a row that brings its own rack.
fn alone(pen: &Pen<'_>) -> bool {
    pen.options.bars
}

/// What stands in the liquid: bridge, mud, pack, straps.
fn inside(pen: &mut Pen<'_>, cell: &Cell) -> Option<u32> {
    if cell.round.is_some() {
        round::inside(pen, cell, true);
        return None;
    }
    if pen.wants("sediment_space") {
        let s = pen.layout.levels.sediment;
        let (x0, x1) = cell.room.x;
        pen.part("sediment_space", Point::new(x0 + 0.8 * (x1 - x0), -0.55 * s));
        let room = crate::draw::brush::rect(x0, -s, x1, 0.0);
        pen.out.shape(room, Shade::new(Role::Electrolyte, Tone::Light).alpha(0.25), None);
        floor::mud(pen, cell, 0.85);
        floor::ribs(pen, cell);
    }
    if pen.wants("end_spacer") {
        for s in &cell.end_spacers {
            pack::end_spacer(pen, s);
        }
    }
    let middle = cell.room.mid_z();
    if pen.wants("withdrawal_tube") {
        // A rear tube hangs behind the pack; only its ends show.
        for t in cell.tubes.iter().filter(|t| t.mid_z() > middle) {
            vent::tube(pen, t.x, t.y);
        }
    }
    let (front, rear): (Vec<_>, Vec<_>) =
        cell.straps.iter().cloned().partition(|(_, s)| s.mid_z() < middle);
    for (positive, s) in &rear {
        pack::lugs(pen, cell, *positive);
        pack::strap(pen, s, *positive, None, false);
    }
    let first = pen.out.targets().len() as u32;
    let targets = pack::pack(pen, cell);
    overlay::draw_on_pack(pen, first);
    if pen.wants("moss_shield")
        && let Some(s) = &cell.moss_shield
    {
        pack::moss_shield(pen, s);
    }
    pack::hangers(pen, cell, &targets);
    for (positive, s) in &front {
        pack::lugs(pen, cell, *positive);
        let cut = (pen.options.cut_strap && pen.layout.cells.len() == 1)
            .then_some(s.x.0 + 0.765 * (s.x.1 - s.x.0));
        pack::strap(pen, s, *positive, cut, true);
        pack::burns(pen, cell, *positive, cut);
    }
    if pen.wants("withdrawal_tube") {
        for t in cell.tubes.iter().filter(|t| t.mid_z() <= middle) {
            vent::tube(pen, t.x, t.y);
        }
    }
    if pen.wants("sediment") {
        floor::mud(pen, cell, 1.0);
    }
    cell.stem.and_then(|s| vent::stem(pen, cell.vent.0, s))
}

/// Posts below the cover, rear ones first; gives the target of each.
fn lower_posts(pen: &mut Pen<'_>, cells: &[Cell]) -> Vec<(Post, u32, bool)> {
    let mut posts: Vec<Post> = cells.iter().flat_map(|c| c.posts.clone()).collect();
    posts.sort_by(|a, b| b.z.total_cmp(&a.z).then(a.x.total_cmp(&b.x)));
    let middle = pen.layout.inner_z / 2.0;
    posts
        .into_iter()
        .map(|mut p| {
            let front = p.z < middle - 1.0;
            let Some(cell) = cells.iter().find(|c| p.x > c.room.x.0 && p.x < c.room.x.1) else {
                return (p, 0, front);
            };
            // A post on the axis of a flat stack is seen from the topmost plate on.
            if cell.round.is_some() && p.positive {
                p.y.0 += pen.layout.levels.plate_top - pen.layout.levels.plate_bottom;
            }
            // The foot flares into its strap, not past its end.
            let r = p.diameter / 2.0;
            let flare = match cell.straps.first() {
                Some((_, s)) => (p.x - r - s.x.0).min(s.x.1 - p.x - r).clamp(0.0, 5.0),
                None => 2.0,
            };
            let target = post::below(pen, &p, p.x, flare);
            if !p.positive {
                round::riser(pen, cell, target);
            }
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
    let of = |front: bool| posts.iter().filter(move |(_, _, f)| *f == front);
    pen.mark();
    rank(pen, &of(false).collect::<Vec<_>>(), false, width);
    // What is on a rear joint lies behind the vents.
    overlay::draw_last(pen);
    pen.mark();
    for (cell, funnel) in cells.iter().zip(funnels) {
        vent::arrestor(pen, cell.vent.0, *funnel);
        if let Some((x, _, diameter)) = cell.temp_port {
            vent::temp_port(pen, x, diameter);
        }
        tube_caps(pen, cell);
    }
    overlay::draw_on_vents(pen);
    pen.mark();
    rank(pen, &of(true).collect::<Vec<_>>(), true, width);
    // Marks stand over everything, so that no vent hides one.
    for (p, ..) in posts {
        post::polarity_mark(pen, Point::new(p.x, -p.y.1 - 8.5), p.positive, 5.6);
    }
    if !pen.options.element_only {
        // The tag stands where no seal well is cut.
        let free = |x: f64| {
            posts.iter().all(|(p, ..)| (p.x - x).abs() > post::well_half(p.diameter) + 9.0)
        };
        let shares = [0.5, 0.34, 0.66, 0.2, 0.8];
        let at = shares.into_iter().map(|s| s * width.0).find(|x| free(*x));
        jar::number(pen, at.unwrap_or(width.0 / 2.0), true);
    }
    overlay::draw_on_top(pen);
    overlay::draw_last(pen);
}

fn tube_caps(pen: &mut Pen<'_>, cell: &Cell) {
    if !pen.wants("withdrawal_tube") {
        return;
    }
    let targets: Vec<(u32, Point)> = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .filter(|(_, t)| &*t.part == "withdrawal_tube")
        .map(|(i, t)| (i as u32, t.spot))
        .collect();
    for t in &cell.tubes {
        let mine = targets.iter().find(|(_, spot)| spot.x > t.x.0 && spot.x < t.x.1);
        if let Some((target, _)) = mine {
            vent::tube_cap(pen, t.x, *target);
        }
    }
}

/// Posts of one line with their seals and bars. The bars behind come first, so that no bar
/// hides a post of its own line.
fn rank(pen: &mut Pen<'_>, posts: &[&(Post, u32, bool)], front: bool, width: jar::Width) {
    let d = pen.layout.design.clone();
    let reach = d.connector.width * 1.9;
    let bars = pen.options.bars;
    let turned = pen.layout.cells.first().is_some_and(|c| c.turned);
    let ends = |p: &Post| {
        // Seen from the aisle the positive side leads to the left.
        let left = p.positive != (turned && pen.layout.cells.len() == 1);
        let r = p.diameter / 2.0;
        if left {
            (p.x + r - 2.0, -d.jar.wall - reach)
        } else {
            (p.x - r + 2.0, width.0 + d.jar.wall + reach)
        }
    };
    // A single bar lies behind its posts; of two the front one may be left off.
    let ahead = bars && d.connector.bars == 2 && !(pen.options.front_bar_off && front);
    if bars && !ahead {
        for (p, ..) in posts {
            let (near, far) = ends(p);
            // Between two posts of one line a bar would hide the vent; only the one that leads
            // out of the jar is drawn.
            let between =
                posts.iter().any(|(q, ..)| (q.x - near) * (q.x - far) < 0.0 && q.x != p.x);
            if !(front && d.connector.bars == 2 && between) {
                post::bar(pen, p, near, far);
            }
        }
    }
    for (p, target, _) in posts {
        post::seal(pen, p, p.x);
        post::above(pen, p, p.x, *target);
        post::sleeve(pen, p, p.x);
    }
    for (p, ..) in posts {
        if ahead {
            let (near, far) = ends(p);
            post::bar(pen, p, near, far);
            post::grease(pen, p, p.x);
        }
        if bars && d.connector.bars == 1 {
            let (near, far) = ends(p);
            post::grease_beside(pen, p, p.x, (far - near).signum());
        }
        if ahead || bars && d.connector.bars == 1 {
            post::bolt(pen, p, p.x);
        } else if bars {
            post::bolt_hole(pen, p, p.x);
        }
    }
}
