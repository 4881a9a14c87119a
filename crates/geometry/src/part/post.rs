//! A post seen from the side with its seal, its bar and its bolt.

use crate::{
    draw::{Pen, SealPlace, Shapes, brush, weight},
    layout::Post,
    palette::Role,
    scene::{Anchor, Paint, Shade, Stroke, Text, Tone, Weight},
};
use jarlight_model::design::{ConnectorMake, Feature, PostSeal};
use kurbo::{BezPath, Point};

pub use crate::layout::well_half;

/// Where a bar stands on a post: lower and upper edge, from the inside floor.
pub fn bar_span(pen: &Pen<'_>, post: &Post) -> (f64, f64) {
    let above = pen.layout.design.posts.above;
    let height = pen.layout.design.connector.width.min(above - 2.0);
    let top = post.y.1 - (above - height - 0.3).clamp(0.5, 1.5);
    (top - height, top)
}

fn lead(positive: bool) -> Role {
    if positive { Role::LeadPositive } else { Role::LeadNegative }
}

/// The part of the post below the cover, flaring into its strap by `flare` on each side.
pub fn below(pen: &mut Pen<'_>, post: &Post, x: f64, flare: f64) -> u32 {
    let part = if post.positive { "post_positive" } else { "post_negative" };
    let r = post.diameter / 2.0;
    let target = pen.part(part, Point::new(x, -(post.y.1 - 2.5)));
    let (foot, top) = (-post.y.0, -pen.layout.levels.cover_top);
    let mut p = BezPath::new();
    p.move_to((x - r, top));
    p.line_to((x - r, foot - 8.0));
    p.quad_to((x - r, foot), (x - r - flare, foot));
    p.line_to((x + r + flare, foot));
    p.quad_to((x + r, foot), (x + r, foot - 8.0));
    p.line_to((x + r, top));
    p.close_path();
    let role = lead(post.positive);
    pen.out.solid(p, brush::across(role, x - r, x + r), role, weight::METAL);
    target
}

/// The part of the post above the cover, up to its top.
pub fn above(pen: &mut Pen<'_>, post: &Post, x: f64, target: u32) {
    let r = post.diameter / 2.0;
    let role = if post.positive { Role::LeadPositiveAir } else { Role::LeadNegative };
    let (top, base) = (-post.y.1, -pen.layout.levels.cover_top);
    pen.out.resume(Some(target));
    let body = brush::rounded(x - r, top, x + r, base, 1.2);
    pen.out.solid(body, brush::across(role, x - r, x + r), role, weight::METAL);
    let rim = Stroke::new(0.8, Shade::new(role, Tone::Light).alpha(0.8));
    pen.out.line(
        brush::polyline(&[Point::new(x - r + 1.5, top + 1.0), Point::new(x + r - 1.5, top + 1.0)]),
        rim,
    );
    pen.out.end();
}

/// The hole of the through bolt, where a bar is left off.
pub fn bolt_hole(pen: &mut Pen<'_>, post: &Post, x: f64) {
    let (low, high) = bar_span(pen, post);
    let center = Point::new(x, -f64::midpoint(low, high));
    pen.out.end();
    pen.out.shape(
        brush::circle(center, 3.4),
        Shade::new(Role::LeadPositiveAir, Tone::Edge),
        Some(Stroke::new(0.8, Shade::new(Role::LeadPositiveAir, Tone::Light))),
    );
}

/// The seal between post and cover: compound in the well, O-ring, and what closes it.
pub fn seal(pen: &mut Pen<'_>, post: &Post, x: f64) {
    let mut l = pen.layout.levels;
    if post.positive {
        // The seal rides on a cover that domes round the positive post.
        l.cover_top += pen.layout.deformation.cover_bulge;
        l.cover_under += pen.layout.deformation.cover_bulge;
    }
    let r = post.diameter / 2.0;
    let kind = pen.layout.design.posts.seal;
    let half = well_half(post.diameter);
    let lift = (post.y.1 - l.cover_top - pen.layout.design.posts.above).max(0.0);
    if !pen.wants("post_cover_seal") {
        return;
    }
    pen.part("seal_well", Point::new(x - half + 0.8, -(l.cover_under + 0.5)));
    for side in [-1.0, 1.0] {
        let (a, b) = (x + side * r, x + side * half);
        let well = brush::rect(a, -l.cover_top, b, -(l.cover_under - 4.0));
        pen.out.solid(
            well,
            brush::down(Role::Cover, -l.cover_top - 10.0, -l.cover_under),
            Role::Cover,
            0.7,
        );
    }
    let sliding = kind == PostSeal::Sliding;
    let fill_top = if kind == PostSeal::Nut { l.cover_top - 2.2 } else { l.cover_top };
    let target = pen.part("post_cover_seal", Point::new(x - half + 2.2, -(fill_top - 1.4)));
    let (bar, _) = bar_span(pen, post);
    pen.seals.push(SealPlace {
        target,
        center: Point::new(x, -l.cover_top),
        post: r,
        half,
        free: bar - l.cover_top,
    });
    // Compound fills the well; a sliding seal has a guide bush there instead.
    let role = if sliding { Role::EndSpacer } else { Role::Seal };
    for side in [-1.0, 1.0] {
        let (a, b) = (x + side * r, x + side * (half - 1.0));
        let filling = brush::rect(a, -fill_top, b, -(l.cover_under - 2.2));
        if sliding {
            let fill = brush::across(role, a.min(b), a.max(b));
            pen.out.solid(filling, fill, role, 0.7);
        } else {
            pen.out.solid(filling.clone(), Shade::base(role), role, 0.7);
            let dots = brush::speckle(&filling, 1.6, 0.16, 11);
            pen.out.shape(dots, Shade::new(role, Tone::Dark), None);
            // A post that rises tears itself out of the compound.
            let open = (0.25 * lift).min(0.5 * (half - r));
            if open > 0.1 {
                let gap = brush::rect(a, -fill_top, a + side * open, -(l.cover_under - 2.2));
                pen.out.shape(gap, Shade::base(Role::Shadow).alpha(0.9), None);
            }
        }
    }
    if kind == PostSeal::Nut {
        pen.part("seal_o_ring", Point::new(x + r + 1.6, -(l.cover_under - 0.2)));
        for side in [-1.0, 1.0] {
            let c = Point::new(x + side * (r + 1.6), -(l.cover_under - 0.2));
            pen.out.solid(
                brush::circle(c, 1.5),
                brush::ball(Role::Rubber, c, 1.5),
                Role::Rubber,
                0.6,
            );
        }
        // A thin ring nut: the bar stands right above it.
        let (low, _) = bar_span(pen, post);
        let height = (low - lift - l.cover_top - 0.6).clamp(2.0, 7.0);
        let (a, b) = (x - half + 0.5, x + half - 0.5);
        pen.part("seal_nut", Point::new(a + 1.5, -(l.cover_top + height / 2.0)));
        let nut = brush::rounded(a, -(l.cover_top + height), b, -l.cover_top, 0.8);
        pen.out.solid(nut, brush::across(Role::Plastic, a, b), Role::Plastic, 0.9);
        let flats = Stroke::new(0.7, Shade::new(Role::Plastic, Tone::Edge).alpha(0.7));
        for t in [0.24, 0.76] {
            let fx = a + t * (b - a);
            pen.out.line(
                brush::polyline(&[
                    Point::new(fx, -(l.cover_top + height)),
                    Point::new(fx, -l.cover_top),
                ]),
                flats.clone(),
            );
        }
    }
    pen.out.end();
}

/// The soft sleeve of a sliding seal: folds that open as the post rises, clamped to post and boss.
pub fn sleeve(pen: &mut Pen<'_>, post: &Post, x: f64) {
    let l = pen.layout.levels;
    if pen.layout.design.posts.seal != PostSeal::Sliding || !pen.wants("growth_seal") {
        return;
    }
    let r = post.diameter / 2.0;
    let half = well_half(post.diameter);
    let (bar, _) = bar_span(pen, post);
    let height = (bar - l.cover_top - 1.0).clamp(4.0, 16.0);
    let base = -l.cover_top;
    let top = base - height;
    pen.part("growth_seal", Point::new(x - r - 2.2, base - 0.45 * height));
    // Three folds between a wide foot and a narrow neck.
    let folds = 3;
    let mut left = Vec::new();
    for i in 0..=2 * folds {
        let t = f64::from(i) / f64::from(2 * folds);
        let out = half - 1.0 + (r + 1.2 - half + 1.0) * t;
        let wave = if i % 2 == 1 { 1.6 } else { 0.0 };
        left.push(Point::new(x - out - wave, base - 2.2 - t * (height - 4.4)));
    }
    let right: Vec<Point> = left.iter().rev().map(|p| Point::new(2.0 * x - p.x, p.y)).collect();
    let mut outline = brush::smooth(&left);
    for (i, p) in right.iter().enumerate() {
        if i == 0 {
            outline.line_to(*p);
        }
    }
    let back = brush::smooth(&right);
    for el in back.elements().iter().skip(1) {
        outline.push(*el);
    }
    outline.close_path();
    let (a, b) = (x - half, x + half);
    pen.out.solid(outline, brush::across(Role::Rubber, a, b), Role::Rubber, 1.0);
    for p in left.iter().skip(1).step_by(2) {
        let fold = brush::polyline(&[
            Point::new(p.x + 1.4, p.y + 0.4),
            Point::new(2.0 * x - p.x - 1.4, p.y + 0.4),
        ]);
        pen.out.line(fold, Stroke::new(0.8, Shade::new(Role::Rubber, Tone::Light).alpha(0.9)));
    }
    // Clamp rings.
    for (half_ring, y) in [(half - 0.4, base - 2.6), (r + 1.6, top)] {
        let ring = brush::rounded(x - half_ring, y, x + half_ring, y + 2.6, 0.8);
        let fill = brush::across(Role::Bolt, x - half_ring, x + half_ring);
        pen.out.solid(ring, fill, Role::Bolt, 0.7);
    }
    pen.out.end();
}

/// A window broken into a post in the gas space: lead skin, cut, and the copper core in it.
pub fn core_window(pen: &mut Pen<'_>, post: &Post, x: f64) {
    let l = pen.layout.levels;
    let insert = pen.layout.design.has(Feature::CopperInsert);
    if !pen.options.broken_out || !insert {
        return;
    }
    let r = post.diameter / 2.0;
    let (top, bottom) = (-(l.cover_under - 8.0), -(l.liquid.max(post.y.0) + 3.0));
    if bottom - top < 6.0 {
        return;
    }
    let mut edge =
        brush::jagged(Point::new(x - 0.8 * r, top), Point::new(x - 0.8 * r, bottom), 7, 0.8, 21);
    let mut right =
        brush::jagged(Point::new(x + 0.8 * r, bottom), Point::new(x + 0.8 * r, top), 7, 0.8, 22);
    edge.append(&mut right);
    let window = brush::polygon(&edge);
    let role = lead(post.positive);
    pen.out.end();
    pen.out.solid(window.clone(), Shade::new(role, Tone::Light), role, 1.0);
    pen.cut(&window, role, 3.5);
    // Half as wide as the post; lead covers it all round.
    let half = 0.5 * r;
    pen.part("post_copper_insert", Point::new(x, f64::midpoint(top, bottom)));
    let core = brush::rect(x - half, top + 0.4, x + half, bottom - 0.4);
    pen.out.solid(core.clone(), brush::across(Role::Copper, x - half, x + half), Role::Copper, 0.9);
    pen.cut(&core, Role::Copper, 5.0);
    pen.out.end();
}

/// A bar from a post to the neighbour, its far end cut.
pub fn bar(pen: &mut Pen<'_>, post: &Post, from: f64, to: f64) {
    if !pen.wants("intercell_connector") {
        return;
    }
    let (low, high) = bar_span(pen, post);
    let (mut top, mut bottom) = (-high, -low);
    let make = pen.layout.design.connector.make;
    let dir = (to - from).signum();
    let r = post.diameter / 2.0;
    let mut start = from;
    let role = match make {
        ConnectorMake::PlatedBar => Role::Connector,
        ConnectorMake::LeadCovered => Role::LeadNegative,
        ConnectorMake::FlexibleInsulated => Role::Rubber,
    };
    let spot = Point::new(from + 0.72 * (to - from), f64::midpoint(top, bottom));
    pen.part("intercell_connector", spot);
    if make == ConnectorMake::FlexibleInsulated {
        // A plated eye carries a thinner sleeve of strands.
        let eye = post.x + dir * (r + 14.0);
        let plate = brush::rounded(from, top, eye, bottom, 2.0);
        let fill = brush::down(Role::Connector, top, bottom);
        pen.out.solid(plate, fill, Role::Connector, weight::METAL);
        start = eye - dir * 6.0;
        let slim = 0.14 * (bottom - top);
        (top, bottom) = (top + slim, bottom - slim);
    }
    // The cut end is a zigzag that shows the copper.
    let teeth = 4;
    let zig = |depth: f64| -> Vec<Point> {
        (0..=2 * teeth)
            .map(|i| {
                let y = top + (bottom - top) * f64::from(i) / f64::from(2 * teeth);
                let x = to - dir * if i % 2 == 0 { depth } else { depth + 2.0 };
                Point::new(x, y)
            })
            .collect()
    };
    let mut outline = vec![Point::new(start, bottom), Point::new(start, top)];
    outline.extend(zig(0.0));
    let fill = brush::down(role, top, bottom);
    pen.out.solid(brush::polygon(&outline), fill, role, weight::METAL);
    let mut copper = zig(0.0);
    let mut inner = zig(if make == ConnectorMake::FlexibleInsulated { 3.0 } else { 1.3 });
    inner.reverse();
    copper.extend(inner);
    pen.out.shape(brush::polygon(&copper), Shade::new(Role::Copper, Tone::Base), None);
    pen.out.line(
        brush::polyline(&[Point::new(start, top + 2.0), Point::new(to - dir * 3.5, top + 2.0)]),
        Stroke::new(1.0, Shade::new(role, Tone::Light).alpha(0.9)),
    );
    let skin =
        if make == ConnectorMake::FlexibleInsulated { eye_skin(post, dir) } else { to - dir * 6.0 };
    // The plating is a skin; at the cut it shows against the copper as a thin grey line.
    pen.part("connector_plating", Point::new(skin, -high + 0.6));
    let film = brush::rect(skin - 4.0, -high + 0.2, skin + 4.0, -high + 1.0);
    pen.out.shape(film, Shade::new(Role::Connector, Tone::Light), None);
    pen.out.end();
}

fn eye_skin(post: &Post, dir: f64) -> f64 {
    post.x + dir * (post.diameter / 2.0 + 6.0)
}

/// The thin film of grease at the lower rim of a joint, over the width of the post.
pub fn grease(pen: &mut Pen<'_>, post: &Post, x: f64) {
    if !pen.wants("contact_grease") {
        return;
    }
    let (low, _) = bar_span(pen, post);
    let r = post.diameter / 2.0;
    pen.part("contact_grease", Point::new(x + 0.55 * r, -(low - 0.2)));
    let film = brush::rounded(x - r + 0.6, -low - 0.3, x + r - 0.6, -low + 0.5, 0.4);
    pen.out.shape(film, Shade::new(Role::DustCap, Tone::Light).alpha(0.75), None);
    pen.out.end();
}

/// The same film where a single bar comes out from behind its post.
pub fn grease_beside(pen: &mut Pen<'_>, post: &Post, x: f64, dir: f64) {
    if !pen.wants("contact_grease") {
        return;
    }
    let (low, high) = bar_span(pen, post);
    let edge = x + dir * post.diameter / 2.0;
    pen.part("contact_grease", Point::new(edge + dir * 0.3, -(low + 0.25 * (high - low))));
    let film = brush::rounded(edge, -high + 0.6, edge + dir * 0.8, -low - 0.6, 0.3);
    pen.out.shape(film, Shade::new(Role::DustCap, Tone::Light).alpha(0.75), None);
    pen.out.end();
}

/// Head of the through bolt with its washer, on the bar in front.
pub fn bolt(pen: &mut Pen<'_>, post: &Post, x: f64) {
    if !pen.wants("connection_bolt") {
        return;
    }
    let (low, high) = bar_span(pen, post);
    let center = Point::new(x, -f64::midpoint(low, high));
    pen.part("connection_washer", center + kurbo::Vec2::new(-6.0, 2.0));
    pen.out.solid(
        brush::circle(center, 7.0),
        brush::ball(Role::Bolt, center, 7.0),
        Role::Bolt,
        0.8,
    );
    pen.part("connection_bolt", center);
    let hexagon: Vec<Point> = (0..6)
        .map(|i| {
            let a = f64::from(i) * std::f64::consts::FRAC_PI_3 + 0.52;
            center + kurbo::Vec2::new(4.9 * libm::cos(a), 4.9 * libm::sin(a))
        })
        .collect();
    let fill = Paint::Linear {
        from: center - kurbo::Vec2::new(4.0, 4.0),
        to: center + kurbo::Vec2::new(4.0, 4.0),
        stops: vec![
            (0.0, Shade::new(Role::Bolt, Tone::Light)),
            (0.6, Shade::new(Role::Bolt, Tone::Base)),
            (1.0, Shade::new(Role::Bolt, Tone::Dark)),
        ],
    };
    pen.out.solid(brush::polygon(&hexagon), fill, Role::Bolt, 0.9);
    pen.out.end();
}

/// The mark beside a post: a disc with plus or minus, drawn as shapes.
pub fn polarity_mark(pen: &mut Pen<'_>, center: Point, positive: bool, radius: f64) {
    if !pen.wants("polarity_mark") {
        return;
    }
    // On the ring and away from the sign, so that the end of a leader covers neither stroke.
    let aside = 0.94 * radius * std::f64::consts::FRAC_1_SQRT_2;
    pen.part("polarity_mark", center + kurbo::Vec2::new(aside, aside));
    let ink = Shade::base(Role::Ink);
    pen.out.shape(
        brush::circle(center, radius),
        Shade::base(Role::Panel),
        Some(Stroke::new(1.5, ink)),
    );
    sign(pen, center, positive, radius * 0.5, ink, 1.8);
    pen.out.end();
}

/// A plus or minus of two strokes.
pub fn sign(pen: &mut Pen<'_>, c: Point, positive: bool, arm: f64, ink: Shade, width: f64) {
    let across = brush::polyline(&[c - kurbo::Vec2::new(arm, 0.0), c + kurbo::Vec2::new(arm, 0.0)]);
    pen.out.line(across, Stroke::new(width, ink).rounded());
    if positive {
        let up = brush::polyline(&[c - kurbo::Vec2::new(0.0, arm), c + kurbo::Vec2::new(0.0, arm)]);
        pen.out.line(up, Stroke::new(width, ink).rounded());
    }
}

/// Small words on the drawing, such as the cell that a bar leads to.
pub fn words(pen: &mut Pen<'_>, at: Point, text: &str, anchor: Anchor) {
    pen.out.text(Text {
        at,
        size: 11.0,
        anchor,
        weight: Weight::Medium,
        shade: Shade::base(Role::SecondInk),
        halo: Some(Shade::base(Role::Page)),
        upright: false,
        words: text.to_owned(),
    });
}
