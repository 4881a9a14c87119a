//! The clear wall of the jar: crazing, mould marks, bent reflections, refraction.

use super::{
    Input,
    place::{Held as _, room, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// The front wall as the view shows it: left, right, top (under the rim), floor.
fn wall(pen: &Pen<'_>) -> (f64, f64, f64, f64) {
    let (x0, x1) = room(pen);
    (x0, x1, -(pen.layout.levels.cover_under - 9.0), 0.0)
}

/// Fans of very fine silvery lines from corners and from the rim. `count` of lines; `long`.
pub fn craze(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !super::place::from_the_side(pen) {
        return;
    }
    let long = input.param("long", 20.0);
    let (x0, x1, top, floor) = wall(pen);
    // Stress sits in corners, at the rim and where a rail touches.
    let roots = [
        (Point::new(x0 + 1.0, floor - 1.0), -0.75),
        (Point::new(x1 - 1.0, floor - 1.0), -2.4),
        (Point::new(x0 + 0.3 * (x1 - x0), floor - 0.5), -1.6),
        (Point::new(x0 + 1.0, top + 1.0), 0.8),
    ];
    let first = element(input.seed, 77).below(2);
    let (mut bright, mut dark) = (BezPath::new(), BezPath::new());
    sown(input.param("count", 10.0), input.seed, |i, grown, mut rng| {
        // The first fan fills up before the others begin.
        let k = if i < 24 { first } else { rng.below(roots.len()) };
        let (root, mid) = roots[k];
        let angle = mid + rng.range(-0.75, 0.75);
        // Where a line begins does not depend on how far it will run.
        let near = rng.range(0.0, 7.0);
        let reach = near + long * rng.range(0.3, 1.0) * grown;
        let dir = Vec2::new(libm::cos(angle), libm::sin(angle));
        let bend = Vec2::new(-dir.y, dir.x) * rng.range(-0.09, 0.09) * reach;
        let clamp = |p: Point| Point::new(p.x.held(x0 + 0.4, x1 - 0.4), p.y.held(top, floor - 0.4));
        let (a, b) = (clamp(root + dir * near), clamp(root + dir * reach));
        let c = clamp(a.lerp(b, 0.5) + bend);
        for (path, off) in [(&mut bright, 0.0), (&mut dark, 0.28)] {
            path.move_to(a + Vec2::new(0.0, off));
            path.quad_to(c + Vec2::new(0.0, off), b + Vec2::new(0.0, off));
        }
    });
    let target = targets(input, pen, "jar").first().map(|f| f.index);
    pen.out.resume(target);
    pen.out.line(dark, Stroke::new(0.7, Shade::edge(Role::JarGlass).alpha(0.9)));
    pen.out.line(bright, Stroke::new(1.0, Shade::new(Role::Plastic, Tone::Light).alpha(0.9)));
}

/// Lines and circles of the mould, the same on every jar, above the liquid too. `alpha`.
pub fn marks(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.6) as f32;
    let target = targets(input, pen, "jar").first().map(|f| f.index);
    if !super::place::from_the_side(pen) {
        return;
    }
    let (x0, x1, top, floor) = wall(pen);
    let w = x1 - x0;
    let x = x0 + 0.815 * w;
    let mut lines = BezPath::new();
    lines.move_to((x, top));
    lines.line_to((x, floor - 2.0));
    let y = top + 0.6 * (floor - top);
    lines.move_to((x0 + 0.6, y));
    lines.line_to((x1 - 0.6, y));
    for (u, v) in [(0.12, 0.045), (0.62, 0.045), (0.12, 0.93), (0.88, 0.93)] {
        let c = Point::new(x0 + u * w, top + v * (floor - top));
        lines.extend(brush::circle(c, 4.5).elements().iter().copied());
    }
    pen.out.resume(target);
    let off = kurbo::Affine::translate((0.4, 0.4)) * lines.clone();
    pen.out.line(off, Stroke::new(0.7, Shade::edge(Role::JarGlass).alpha(0.7 * alpha)));
    pen.out.line(lines, Stroke::new(0.9, Shade::new(Role::Plastic, Tone::Light).alpha(alpha)));
}

/// The reflection of the room on a wall, bent as the wall is. `mm`: how far it bends.
pub fn sheen(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !super::place::from_the_side(pen) {
        return;
    }
    let mm = input.param("mm", 4.0);
    let (x0, x1, top, floor) = wall(pen);
    let target = targets(input, pen, "jar").first().map(|f| f.index);
    pen.out.resume(target);
    for (x, dir) in [(x0 + 7.0, -1.0), (x1 - 7.0, 1.0)] {
        let points: Vec<Point> = (0..=16)
            .map(|i| {
                let t = f64::from(i) / 16.0;
                let bend = mm * libm::sin(std::f64::consts::PI * t);
                Point::new(x + dir * bend.min(12.0), top + 6.0 + t * (floor - top - 14.0))
            })
            .collect();
        let shine = Shade::new(Role::Plastic, Tone::Light).alpha(0.7);
        pen.out.line(brush::smooth(&points), Stroke::new(2.2, shine).rounded());
        let line: Vec<Point> = points.iter().map(|p| *p + Vec2::new(1.0, 0.0)).collect();
        let edge = Shade::edge(Role::JarGlass).alpha(0.5);
        pen.out.line(brush::smooth(&line), Stroke::new(0.6, edge));
    }
}

/// What stands behind a corner of the wall, and behind the curl of the liquid, seems to step
/// aside; every layer steps alike. `mm`; `wide`: width of the strip.
pub fn refract(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view != View::Edge && pen.request.view != View::Face {
        return;
    }
    let mm = input.param("mm", 2.0);
    let wide = input.param("wide", 13.0);
    let (_, x1) = room(pen);
    let (a, b) = (x1 - wide - 4.0, x1 - 4.0);
    let parts = [
        ("positive_plate", Role::PositiveBorder),
        ("negative_plate_inside", Role::NegativeBorder),
        ("negative_plate_end", Role::NegativeBorder),
        ("separator", Role::Separator),
        ("retainer_mat", Role::Mat),
    ];
    for (part, role) in parts {
        for f in targets(input, pen, part) {
            let (l, r) = ((f.bounds.x0 + mm).max(a), (f.bounds.x1 + mm).min(b));
            if r - l < 0.2 {
                continue;
            }
            let strip = brush::rect(l, f.bounds.y0, r, f.bounds.y1);
            let fill = brush::across(role, f.bounds.x0 + mm, f.bounds.x1 + mm);
            pen.out.resume(Some(f.index));
            pen.out.shape(strip, fill, Some(Stroke::new(0.6, Shade::edge(role))));
        }
    }
    // Posts break at the surface.
    let y = -pen.layout.levels.liquid;
    for (part, role) in
        [("post_positive", Role::LeadPositive), ("post_negative", Role::LeadNegative)]
    {
        for f in targets(input, pen, part) {
            let foot = -(pen.layout.levels.strap_top + 1.0);
            if foot <= y + 1.0 {
                continue;
            }
            let r = pen.layout.design.posts.diameter / 2.0;
            let (l, rgt) = (f.spot.x - r + mm, f.spot.x + r + mm);
            let piece = brush::rect(l, y + 0.6, rgt, foot);
            pen.out.resume(Some(f.index));
            let line = Stroke::new(0.8, Shade::edge(role));
            pen.out.shape(piece, brush::across(role, l, rgt), Some(line));
        }
    }
    pen.out.end();
    let top = -pen.layout.levels.cover_under;
    for x in [a, b] {
        let line = brush::polyline(&[Point::new(x, top), Point::new(x, 0.0)]);
        pen.out.line(line, Stroke::new(0.8, Shade::new(Role::Plastic, Tone::Light).alpha(0.7)));
    }
}
