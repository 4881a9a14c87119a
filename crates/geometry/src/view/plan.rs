//! The cell from above, its neighbours beside it: every second cell is turned half round.

use crate::{
    draw::{Pen, SealPlace, Shapes, brush, weight},
    layout::Post,
    overlay,
    palette::Role,
    part::post,
    scene::{Anchor, Shade, Stroke, Text, Tone, Weight},
};
use kurbo::{Point, Rect};

/// Room between neighbouring jars.
const BETWEEN: f64 = 8.0;

/// Paints three cells in series from above; the middle one is the specimen.
pub fn build(pen: &mut Pen<'_>) {
    let l = pen.layout;
    let (w, depth) = (l.outer_x, l.outer_z);
    let pitch = w + BETWEEN;
    let over = 4.5;
    pen.bounds = Rect::new(-pitch - 44.0, -depth - 16.0, 2.0 * pitch + 36.0, 34.0);
    rails(pen, pitch);
    let number = pen.options.cell_number;
    for (i, x) in [(-1i32, -pitch), (1, pitch), (0, 0.0)] {
        let n = u32::try_from(i64::from(number) + i64::from(i)).unwrap_or(0);
        let (x, turned) = if i == 0 { (pen.effects.slide, pen.effects.swapped) } else { (x, true) };
        cover(pen, x, over, n, turned, i == 0);
    }
    spacers(pen, pitch);
    for (i, x) in [(-1i32, -pitch), (0, 0.0), (1, pitch)] {
        let (x, turned) = if i == 0 { (pen.effects.slide, pen.effects.swapped) } else { (x, true) };
        tops(pen, x, turned, i == 0);
    }
    overlay::draw_inside(pen);
    overlay::draw_on_top(pen);
    bars(pen, pitch);
    overlay::draw_last(pen);
    let aisle = Text {
        at: Point::new(w / 2.0, 24.0),
        size: 11.0,
        anchor: Anchor::Middle,
        weight: Weight::SemiBold,
        shade: Shade::base(Role::SecondInk),
        halo: None,
        upright: false,
        words: "AISLE SIDE".to_owned(),
    };
    pen.out.text(aisle);
}

/// Where a point of a cell lies in the picture: z runs away from the aisle, so up the page.
fn place(pen: &Pen<'_>, x0: f64, turned: bool, x: f64, z: f64) -> Point {
    let d = &pen.layout.design;
    let (w, depth) = (pen.layout.outer_x, pen.layout.outer_z);
    let (x, z) = (x + d.jar.wall, z + d.jar.wall);
    let (x, z) = if turned { (w - x, depth - z) } else { (x, z) };
    Point::new(x0 + x, -z)
}

fn rails(pen: &mut Pen<'_>, pitch: f64) {
    let depth = pen.layout.outer_z;
    for share in [0.2, 0.8] {
        let y = -share * depth;
        let (a, b) = (-pitch - 34.0, 2.0 * pitch + 26.0);
        pen.part("rack_rail", Point::new(a + 12.0, y));
        let rail = brush::rect(a, y - 9.0, b, y + 9.0);
        pen.out.solid(rail, brush::down(Role::Rack, y - 9.0, y + 9.0), Role::Rack, 0.9);
    }
    pen.out.end();
}

fn cover(pen: &mut Pen<'_>, x0: f64, over: f64, number: u32, turned: bool, mine: bool) {
    let (w, depth) = (pen.layout.outer_x, pen.layout.outer_z);
    let over = over.min(BETWEEN / 2.0 - 0.5);
    let (a, b) = (x0 - over, x0 + w + over);
    let (top, bottom) = (-depth - over, over);
    if mine {
        pen.part("cell_cover", Point::new(x0 + 0.2 * w, -0.88 * depth));
    } else {
        pen.out.end();
    }
    let plate = brush::rounded(a, top, b, bottom, 5.0);
    pen.out.solid(plate, brush::down(Role::Cover, top, bottom), Role::Cover, weight::JAR);
    let step = brush::rounded(a + 6.0, top + 6.0, b - 6.0, bottom - 6.0, 3.5);
    pen.out.line(step, Stroke::new(0.9, Shade::edge(Role::Cover).alpha(0.8)));
    let shine = brush::rounded(a + 6.8, top + 6.8, b - 6.8, bottom - 6.8, 3.0);
    pen.out.line(shine, Stroke::new(0.6, Shade::new(Role::Cover, Tone::Light).alpha(0.6)));
    pen.out.end();
    // The label is always on the aisle side, whichever way the cell is turned.
    let at = Point::new(x0 + w * if turned { 0.76 } else { 0.24 }, -9.0);
    if mine {
        pen.part("cell_number", at);
    }
    let tag = brush::rounded(at.x - 13.0, at.y - 5.5, at.x + 13.0, at.y + 5.5, 1.0);
    pen.out.solid(tag, Shade::new(Role::Plastic, Tone::Light), Role::Plastic, 0.8);
    pen.out.text(Text {
        at: Point::new(at.x, at.y + 2.8),
        size: 13.0,
        anchor: Anchor::Middle,
        weight: Weight::Bold,
        shade: Shade::new(Role::InJar, Tone::Base),
        halo: None,
        upright: false,
        words: number.to_string(),
    });
    pen.out.end();
}

fn spacers(pen: &mut Pen<'_>, pitch: f64) {
    if !pen.wants("seismic_spacer") {
        return;
    }
    let (w, depth) = (pen.layout.outer_x, pen.layout.outer_z);
    for x in [w + 4.0, w + 4.0 - pitch] {
        pen.part("seismic_spacer", Point::new(x + BETWEEN / 2.0 - 4.0, -0.5 * depth));
        let sheet =
            brush::rect(x - 3.0 + BETWEEN / 2.0 - 4.0, -0.84 * depth, x + 3.0 + BETWEEN / 2.0 - 4.0, -0.16 * depth);
        let fill = brush::across(Role::RailCover, x - 3.0, x + 3.0);
        pen.out.solid(sheet, fill, Role::RailCover, 0.7);
    }
    pen.out.end();
}

fn tops(pen: &mut Pen<'_>, x0: f64, turned: bool, mine: bool) {
    let cells = pen.layout.cells.clone();
    for cell in &cells {
        for t in &cell.tubes {
            let c = place(pen, x0, turned, t.mid_x(), t.mid_z());
            let c = Point::new(
                c.x.clamp(x0 + 9.0, x0 + pen.layout.outer_x - 9.0),
                c.y.clamp(-pen.layout.outer_z + 9.0, -9.0),
            );
            if mine {
                pen.part("withdrawal_tube", c);
            }
            let r = (t.x.1 - t.x.0) / 2.0 + 1.5;
            pen.out.solid(brush::circle(c, r), brush::ball(Role::Cover, c, r), Role::Cover, 0.9);
            pen.out.line(
                brush::circle(c, r * 0.55),
                Stroke::new(0.7, Shade::new(Role::Cover, Tone::Light)),
            );
            pen.out.end();
        }
        vent(pen, place(pen, x0, turned, cell.vent.0, cell.vent.1), mine);
        for p in &cell.posts {
            let c = place(pen, x0, turned, p.x, p.z);
            one_post(pen, p, c, mine);
        }
    }
}

fn vent(pen: &mut Pen<'_>, c: Point, mine: bool) {
    let a = pen.layout.design.arrestor.clone();
    let r = a.diameter / 2.0;
    let begin = |pen: &mut Pen<'_>, part: &str, spot: Point| {
        if mine && pen.wants(part) {
            pen.part(part, spot);
        } else {
            pen.out.end();
        }
    };
    begin(pen, "vent_well", c + kurbo::Vec2::new(0.0, r + 2.2));
    pen.out.solid(brush::circle(c, r + 3.0), brush::ball(Role::Cover, c, r + 3.0), Role::Cover, 0.9);
    begin(pen, "flame_arrestor", c + kurbo::Vec2::new(-r * 0.94, 0.0));
    let stone = brush::circle(c, r);
    pen.out.solid(stone.clone(), brush::ball(Role::Stone, c, r), Role::Stone, 1.0);
    let grains = brush::speckle(&stone, 2.2, 0.3, 41);
    pen.out.shape(grains, Shade::new(Role::Stone, Tone::Edge).alpha(0.7), None);
    if let Some(f) = &a.funnel {
        let rim = f.rim / 2.0 * 0.88;
        begin(pen, "filling_funnel", c + kurbo::Vec2::new(rim * 0.9, 0.0));
        pen.out.solid(brush::circle(c, rim), brush::ball(Role::Plastic, c, rim), Role::Plastic, 1.0);
        begin(pen, "dust_cap", c);
        let cap = rim * 0.72;
        pen.out.solid(brush::circle(c, cap), brush::ball(Role::DustCap, c, cap), Role::DustCap, 1.0);
        pen.out.line(brush::circle(c, 4.0), Stroke::new(0.8, Shade::edge(Role::DustCap)));
    }
    pen.out.end();
}

fn one_post(pen: &mut Pen<'_>, p: &Post, c: Point, mine: bool) {
    let r = p.diameter / 2.0;
    let begin = |pen: &mut Pen<'_>, part: &str, spot: Point| {
        if mine {
            pen.part(part, spot);
        } else {
            pen.out.end();
        }
    };
    let half = post::well_half(p.diameter);
    begin(pen, "seal_well", c + kurbo::Vec2::new(-(half + 0.8), 0.0));
    pen.out.solid(brush::circle(c, half + 2.0), brush::ball(Role::Cover, c, half + 2.0), Role::Cover, 0.9);
    if pen.layout.design.posts.seal == jarlight_model::design::PostSeal::Nut {
        begin(pen, "seal_nut", c + kurbo::Vec2::new(0.0, half - 2.2));
        let nut: Vec<Point> = (0..8)
            .map(|i| {
                let a = (f64::from(i) + 0.5) * std::f64::consts::FRAC_PI_4;
                c + kurbo::Vec2::new(half * libm::cos(a), half * libm::sin(a))
            })
            .collect();
        pen.out.solid(brush::polygon(&nut), brush::ball(Role::Plastic, c, half), Role::Plastic, 0.9);
    }
    begin(pen, "post_cover_seal", c + kurbo::Vec2::new(r + 1.4, 0.0));
    if mine {
        let target = pen.out.targets().len() as u32 - 1;
        pen.seals.push(SealPlace { target, center: c, post: r, half, free: 0.0 });
    }
    let gold = brush::circle(c, r + 2.8);
    pen.out.solid(gold, Shade::base(Role::Seal), Role::Seal, 0.8);
    let (part, role) = if p.positive {
        ("post_positive", Role::LeadPositiveAir)
    } else {
        ("post_negative", Role::LeadNegative)
    };
    begin(pen, part, c + kurbo::Vec2::new(0.0, r * 0.6));
    pen.out.solid(brush::circle(c, r), brush::ball(role, c, r), role, weight::METAL);
    pen.out.end();
    // Moulded into the top of the post.
    let ink = if p.positive { Shade::new(Role::Panel, Tone::Base) } else { Shade::new(Role::InJar, Tone::Base) };
    if mine {
        pen.part("polarity_mark", c);
        pen.out.shape(brush::circle(c, r * 0.5), Shade::new(role, Tone::Base).alpha(0.4), None);
    }
    post::sign(pen, c, p.positive, r * 0.42, ink, 2.2);
    pen.out.end();
}

/// Bars between the posts: each joins a positive to the negative of the next cell.
fn bars(pen: &mut Pen<'_>, pitch: f64) {
    if !pen.wants("intercell_connector") {
        return;
    }
    let ends: Vec<Vec<(Point, bool)>> = [(-pitch, true), (pen.effects.slide, false), (pitch, true)]
        .iter()
        .map(|(x0, turned)| {
            pen.layout
                .cells
                .iter()
                .flat_map(|c| &c.posts)
                .map(|p| (place(pen, *x0, *turned, p.x, p.z), p.positive))
                .collect()
        })
        .collect();
    let thick = pen.layout.design.connector.thickness;
    let r = pen.layout.design.posts.diameter / 2.0;
    // The negative of each cell goes to the positive of the next one on the right.
    let mut joined: Vec<(Point, Point)> = Vec::new();
    for pair in ends.windows(2) {
        let from: Vec<Point> = pair[0].iter().filter(|e| !e.1).map(|e| e.0).collect();
        let to: Vec<Point> = pair[1].iter().filter(|e| e.1).map(|e| e.0).collect();
        joined.extend(from.into_iter().zip(to));
    }
    let first = ends[0].iter().filter(|e| e.1).map(|e| (e.0, true));
    let last = ends[2].iter().filter(|e| !e.1).map(|e| (e.0, false));
    let loose: Vec<(Point, bool)> = first.chain(last).collect();
    for (a, b) in joined {
        let (x0, x1) = (a.x.min(b.x) - r, a.x.max(b.x) + r);
        for side in [-1.0, 1.0].into_iter().take(pen.layout.design.connector.bars as usize) {
            let y = a.y + side * (r + thick / 2.0);
            pen.part("intercell_connector", Point::new(f64::midpoint(x0, x1), y));
            let bar = brush::rounded(x0, y - thick / 2.0, x1, y + thick / 2.0, 0.8);
            let fill = brush::down(Role::Connector, y - thick / 2.0, y + thick / 2.0);
            pen.out.solid(bar, fill, Role::Connector, weight::METAL);
            for c in [a, b] {
                let head = y + side * (thick / 2.0);
                pen.part("connection_bolt", Point::new(c.x, head + side * 2.0));
                let bolt = brush::rounded(c.x - 4.0, head, c.x + 4.0, head + side * 4.0, 0.8);
                pen.out.solid(bolt, brush::across(Role::Bolt, c.x - 4.0, c.x + 4.0), Role::Bolt, 0.9);
            }
        }
    }
    stubs(pen, &loose, thick, r);
    pen.out.end();
}

/// Bars of the two outer cells lead out of the picture; their ends are cut.
fn stubs(pen: &mut Pen<'_>, loose: &[(Point, bool)], thick: f64, r: f64) {
    for (c, left) in loose {
        let left = *left;
        let to = if left { pen.bounds.x0 + 12.0 } else { pen.bounds.x1 - 8.0 };
        let from = if left { c.x + r } else { c.x - r };
        for side in [-1.0, 1.0].into_iter().take(pen.layout.design.connector.bars as usize) {
            let y = c.y + side * (r + thick / 2.0);
            pen.part("intercell_connector", Point::new(f64::midpoint(from, to), y));
            let bar = brush::rect(from, y - thick / 2.0, to, y + thick / 2.0);
            let fill = brush::down(Role::Connector, y - thick / 2.0, y + thick / 2.0);
            pen.out.solid(bar, fill, Role::Connector, weight::METAL);
            let dir = if left { 1.0 } else { -1.0 };
            let cut = brush::polygon(&[
                Point::new(to, y - thick / 2.0),
                Point::new(to + dir * 2.5, y),
                Point::new(to, y + thick / 2.0),
            ]);
            pen.out.shape(cut, Shade::base(Role::Copper), None);
            let head = y + side * (thick / 2.0);
            pen.part("connection_bolt", Point::new(c.x, head + side * 2.0));
            let bolt = brush::rounded(c.x - 4.0, head, c.x + 4.0, head + side * 4.0, 0.8);
            pen.out.solid(bolt, brush::across(Role::Bolt, c.x - 4.0, c.x + 4.0), Role::Bolt, 0.9);
        }
    }
}
