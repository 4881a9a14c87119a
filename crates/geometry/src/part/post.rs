//! A post seen from the side with its seal, its bar and its bolt.

use crate::{
    draw::{Pen, SealPlace, Shapes, brush, weight},
    layout::Post,
    palette::Role,
    scene::{Anchor, Paint, Shade, Stroke, Text, Tone, Weight},
};
use jarlight_model::design::PostSeal;
use kurbo::{BezPath, Point};

/// Half the width of the seal well round a post.
pub fn well_half(diameter: f64) -> f64 {
    diameter / 2.0 + 6.0
}

/// Where a bar stands on a post: lower and upper edge, from the inside floor.
pub fn bar_span(pen: &Pen<'_>, post: &Post) -> (f64, f64) {
    let height = pen.layout.design.connector.width.min(pen.layout.design.posts.above - 4.0);
    let top = post.y.1 - 1.5;
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
    let l = pen.layout.levels;
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
        pen.out.solid(well, brush::down(Role::Cover, -l.cover_top - 10.0, -l.cover_under), Role::Cover, 0.7);
    }
    let gold_top = if kind == PostSeal::Nut { l.cover_top - 2.2 } else { l.cover_top };
    let target = pen.part("post_cover_seal", Point::new(x - half + 2.2, -(gold_top - 1.4)));
    let (bar, _) = bar_span(pen, post);
    pen.seals.push(SealPlace {
        target,
        center: Point::new(x, -l.cover_top),
        post: r,
        half,
        free: bar - l.cover_top,
    });
    for side in [-1.0, 1.0] {
        let (a, b) = (x + side * r, x + side * (half - 1.0));
        let gold = brush::rect(a, -gold_top, b, -(l.cover_under - 2.2));
        pen.out.solid(gold.clone(), Shade::base(Role::Seal), Role::Seal, 0.7);
        let dots = brush::speckle(&gold, 1.6, 0.16, 11);
        pen.out.shape(dots, Shade::new(Role::Seal, Tone::Dark), None);
    }
    if kind == PostSeal::Nut {
        pen.part("seal_o_ring", Point::new(x + r + 1.6, -(l.cover_under - 0.2)));
        for side in [-1.0, 1.0] {
            let c = Point::new(x + side * (r + 1.6), -(l.cover_under - 0.2));
            pen.out.solid(brush::circle(c, 1.5), brush::ball(Role::Rubber, c, 1.5), Role::Rubber, 0.6);
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
    } else if kind == PostSeal::Sliding {
        let height = 14.0 + lift;
        pen.part("growth_seal", Point::new(x - r - 2.0, -(l.cover_top + height / 2.0)));
        let (a, b) = (x - r - 3.5, x + r + 3.5);
        let sleeve = brush::rounded(a, -(l.cover_top + height), b, -l.cover_top, 2.0);
        pen.out.solid(sleeve, brush::across(Role::Rubber, a, b), Role::Rubber, weight::METAL);
        for i in 1..4 {
            let y = -(l.cover_top + height * f64::from(i) / 4.0);
            pen.out.line(
                brush::polyline(&[Point::new(a + 0.6, y), Point::new(b - 0.6, y)]),
                Stroke::new(0.8, Shade::new(Role::Rubber, Tone::Light)),
            );
        }
    }
    pen.out.end();
}

/// A bar from a post to the neighbour, its far end cut.
pub fn bar(pen: &mut Pen<'_>, post: &Post, from: f64, to: f64) {
    if !pen.wants("intercell_connector") {
        return;
    }
    let (low, high) = bar_span(pen, post);
    let (top, bottom) = (-high, -low);
    let spot = Point::new(from + 0.72 * (to - from), f64::midpoint(top, bottom));
    pen.part("intercell_connector", spot);
    // The cut end is a zigzag that shows the copper.
    let teeth = 4;
    let dir = (to - from).signum();
    let zig = |depth: f64| -> Vec<Point> {
        (0..=2 * teeth)
            .map(|i| {
                let y = top + (bottom - top) * f64::from(i) / f64::from(2 * teeth);
                let x = to - dir * if i % 2 == 0 { depth } else { depth + 2.0 };
                Point::new(x, y)
            })
            .collect()
    };
    let mut outline = vec![Point::new(from, bottom), Point::new(from, top)];
    outline.extend(zig(0.0));
    pen.out.solid(
        brush::polygon(&outline),
        brush::down(Role::Connector, top, bottom),
        Role::Connector,
        weight::METAL,
    );
    let mut copper = zig(0.0);
    let mut inner = zig(1.3);
    inner.reverse();
    copper.extend(inner);
    pen.out.shape(brush::polygon(&copper), Shade::new(Role::Copper, Tone::Base), None);
    pen.out.line(
        brush::polyline(&[Point::new(from, top + 2.0), Point::new(to - dir * 3.5, top + 2.0)]),
        Stroke::new(1.0, Shade::new(Role::Connector, Tone::Light).alpha(0.9)),
    );
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
    pen.out.solid(brush::circle(center, 7.0), brush::ball(Role::Bolt, center, 7.0), Role::Bolt, 0.8);
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
    pen.part("polarity_mark", center + kurbo::Vec2::new(radius * 0.7, radius * 0.7));
    let ink = Shade::base(Role::Ink);
    pen.out.shape(
        brush::circle(center, radius),
        Shade::base(Role::Panel),
        Some(Stroke::new(1.5, ink)),
    );
    sign(pen, center, positive, radius * 0.55, ink, 1.8);
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
