//! The jar seen from the side, its front wall removed: walls, room, liquid, lines, cover.

use crate::{
    draw::{Pen, Shapes, brush, weight},
    layout::Levels,
    palette::Role,
    scene::{Anchor, Paint, Shade, Stroke, Text, Tone, Weight},
};
use kurbo::{BezPath, Point};

/// The inside width that a view shows, from 0 to this.
#[derive(Clone, Copy, Debug)]
pub struct Width(pub f64);

/// A soft shadow on the floor under the jar.
pub fn shadow(pen: &mut Pen<'_>, width: Width) {
    let d = &pen.layout.design;
    let (wall, floor) = (d.jar.wall, d.jar.floor);
    let center = Point::new(width.0 / 2.0, floor + 1.5);
    let rx = width.0 / 2.0 + wall + 9.0;
    let fill = Paint::Radial {
        center,
        radius: rx,
        stops: vec![
            (0.0, Shade::base(Role::Shadow).alpha(0.28)),
            (0.75, Shade::base(Role::Shadow).alpha(0.16)),
            (1.0, Shade::base(Role::Shadow).alpha(0.0)),
        ],
    };
    pen.out.end();
    pen.out.shape(brush::ellipse(center, rx, 4.5), fill, None);
}

/// The room of the jar behind everything: gas above, liquid below.
pub fn back(pen: &mut Pen<'_>, width: Width) {
    let l = pen.layout.levels;
    let w = width.0;
    pen.part("headspace", Point::new(0.86 * w, -(l.liquid + l.cover_under) / 2.0));
    let gas = brush::rect(0.0, -l.cover_under, w, -l.liquid);
    pen.out.shape(gas, brush::down(Role::GasSpace, -l.cover_under, -l.liquid), None);
    pen.part("electrolyte", Point::new(w - 2.0, -(l.liquid - 5.0)));
    let liquid = Paint::Linear {
        from: Point::new(0.0, 0.0),
        to: Point::new(w, 0.0),
        stops: vec![
            (0.0, Shade::new(Role::Electrolyte, Tone::Dark)),
            (0.12, Shade::new(Role::Electrolyte, Tone::Base)),
            (0.4, Shade::new(Role::Electrolyte, Tone::Light)),
            (0.85, Shade::new(Role::Electrolyte, Tone::Base)),
            (1.0, Shade::new(Role::Electrolyte, Tone::Dark)),
        ],
    };
    pen.out.shape(brush::rect(0.0, -l.liquid, w, 0.0), liquid, None);
    pen.out.end();
}

/// The surface of the liquid with the curl at the walls; posts are drawn over it.
pub fn surface_line(pen: &mut Pen<'_>, width: Width) {
    let l = pen.layout.levels;
    let w = width.0;
    pen.out.end();
    let line = Stroke::new(weight::SURFACE, Shade::edge(Role::Electrolyte));
    pen.out.line(surface(w, l.liquid, false), line);
    let bright = Stroke::new(0.8, Shade::new(Role::GasSpace, Tone::Light).alpha(0.8));
    pen.out.line(
        brush::polyline(&[Point::new(3.0, -l.liquid + 0.7), Point::new(w - 3.0, -l.liquid + 0.7)]),
        bright,
    );
}

/// The liquid laid over what stands in it, curling up where a post comes through.
pub fn liquid(pen: &mut Pen<'_>, width: Width, posts: &[(f64, f64)]) {
    let y = pen.layout.levels.liquid;
    pen.out.end();
    let veil = match pen.effects.tint("electrolyte") {
        Some((role, share)) => Shade::new(role, Tone::Base).alpha(share * 0.8),
        None => Shade::new(Role::Electrolyte, Tone::Base).alpha(0.16),
    };
    pen.out.shape(surface(width.0, y, true), veil, None);
    for (x, radius) in posts {
        let mut curl = BezPath::new();
        for side in [-1.0, 1.0] {
            let edge = x + side * radius;
            curl.move_to((edge + side * 2.6, -y));
            curl.quad_to((edge + side * 0.4, -y), (edge, -y - 1.4));
        }
        let line = Stroke::new(weight::SURFACE, Shade::edge(Role::Electrolyte));
        pen.out.line(curl, line);
        let across =
            brush::polyline(&[Point::new(x - radius, -y - 0.9), Point::new(x + radius, -y - 0.9)]);
        pen.out.line(across, Stroke::new(0.9, Shade::edge(Role::Electrolyte).alpha(0.5)));
    }
}

fn surface(w: f64, y: f64, closed: bool) -> BezPath {
    const CURL: f64 = 1.4;
    let mut p = BezPath::new();
    p.move_to((0.0, -y - CURL));
    p.quad_to((0.5, -y), (3.0, -y));
    p.line_to((w - 3.0, -y));
    p.quad_to((w - 0.5, -y), (w, -y - CURL));
    if closed {
        p.line_to((w, 0.0));
        p.line_to((0.0, 0.0));
        p.close_path();
    }
    p
}

/// The cut walls and floor of the jar, with a highlight on the glass.
pub fn walls(pen: &mut Pen<'_>, width: Width) {
    let d = &pen.layout.design;
    let (wall, floor) = (d.jar.wall, d.jar.floor);
    let w = width.0;
    // The rim stands in the groove of the cover.
    let rim = pen.layout.levels.cover_under + 2.0;
    let target = pen.part("jar", Point::new(w + wall / 2.0, -0.30 * rim));
    let mut u = BezPath::new();
    u.move_to((-wall, -rim));
    u.line_to((0.0, -rim));
    u.line_to((0.0, -2.0));
    u.quad_to((0.0, 0.0), (2.0, 0.0));
    u.line_to((w - 2.0, 0.0));
    u.quad_to((w, 0.0), (w, -2.0));
    u.line_to((w, -rim));
    u.line_to((w + wall, -rim));
    u.line_to((w + wall, floor - 4.0));
    u.quad_to((w + wall, floor), (w + wall - 4.0, floor));
    u.line_to((4.0 - wall, floor));
    u.quad_to((-wall, floor), (-wall, floor - 4.0));
    u.close_path();
    let fill = Paint::Linear {
        from: Point::new(-wall, 0.0),
        to: Point::new(w + wall, 0.0),
        stops: vec![
            (0.0, Shade::new(Role::JarGlass, Tone::Base)),
            (0.5, Shade::new(Role::JarGlass, Tone::Light)),
            (1.0, Shade::new(Role::JarGlass, Tone::Base)),
        ],
    };
    pen.out.solid(u.clone(), fill, Role::JarGlass, weight::JAR);
    pen.cut(&u, Role::JarGlass, 7.0);
    pen.out.resume(Some(target));
    pen.out.end();
    let shine = Shade::new(Role::JarGlass, Tone::Light);
    for (x, alpha) in [(1.4, 0.55), (w - 2.6, 0.35)] {
        let stripe = brush::rounded(x, -0.93 * rim, x + 1.2, -6.0, 0.6);
        pen.out.shape(stripe, shine.alpha(alpha), None);
    }
}

/// The two level lines with their words and marks.
pub fn level_lines(pen: &mut Pen<'_>, width: Width, columns: &[(f64, f64)]) {
    let l = pen.layout.levels;
    let w = width.0;
    // The words stand where no post hides them; from afar there may be no such place.
    let wide = 24.0 * pen.px;
    let free = |x: f64| columns.iter().all(|(c, r)| x + wide < c - r || x > c + r);
    let at = [4.2, 13.0, w - 5.0 - wide, 0.5 * (w - wide), 0.36 * w, 0.6 * w]
        .into_iter()
        .find(|x| free(*x));
    for (part, y, words) in [("level_line_high", l.high, "HIGH"), ("level_line_low", l.low, "LOW")]
    {
        pen.part(part, Point::new(1.8, -y));
        let ink = Shade::new(Role::InJar, Tone::Light);
        let line = brush::polyline(&[Point::new(0.6, -y), Point::new(w - 0.6, -y)]);
        pen.out.line(line, Stroke::new(weight::LEVEL, ink).dashed(&[7.0, 5.0]));
        // The mark is what a finger can point at.
        let size = 3.0;
        for (x, dir) in [(0.2, 1.0), (w - 0.2, -1.0)] {
            let mark = brush::polygon(&[
                Point::new(x, -y - size * 0.55),
                Point::new(x + dir * size, -y),
                Point::new(x, -y + size * 0.55),
            ]);
            pen.out.shape(mark, ink, None);
        }
        let Some(at) = at else { continue };
        pen.out.text(Text {
            at: Point::new(at, -y - 1.4),
            size: 8.5,
            anchor: Anchor::Start,
            weight: Weight::SemiBold,
            shade: ink,
            halo: Some(Shade::edge(Role::InJar).alpha(0.8)),
            upright: false,
            words: words.to_owned(),
        });
    }
    pen.out.end();
}

/// Overhang of the cover beyond the jar wall on each side.
pub const COVER_OVER: f64 = 4.5;
/// How far the skirt of the cover reaches down the wall.
const SKIRT: f64 = 9.0;

/// The cut cover with its skirt, and the cement that joins it to the jar.
pub fn cover(pen: &mut Pen<'_>, width: Width, wells: &[(f64, f64)]) {
    let d = &pen.layout.design;
    let wall = d.jar.wall;
    let w = width.0;
    let Levels { cover_under, cover_top, .. } = pen.layout.levels;
    let (out_l, out_r) = (-wall - COVER_OVER, w + wall + COVER_OVER);
    if pen.wants("jar_cover_seal") {
        pen.part("jar_cover_seal", Point::new(-wall - 0.6, -(cover_under - 3.0)));
        for (a, b) in [(-wall - 1.6, 1.4), (w - 1.4, w + wall + 1.6)] {
            let cement =
                brush::rounded(a, -(cover_under + 3.4), b, -(cover_under - SKIRT + 1.2), 0.8);
            pen.out.solid(cement, Shade::base(Role::Seal), Role::Seal, 0.7);
        }
    }
    walls(pen, width);
    let bulge = pen.layout.deformation.cover_bulge;
    pen.part("cell_cover", Point::new(out_r - 2.2, -(cover_top - 1.6)));
    let mut p = BezPath::new();
    let (top, under) = (-cover_top, -cover_under);
    p.move_to((out_l, top + 2.0));
    p.quad_to((out_l, top), (out_l + 2.0, top));
    if bulge > 0.0 {
        // A bell over the positive post; rim and skirt stay straight.
        let peak = wells.first().map_or(w / 2.0, |(x, _)| *x);
        for i in 0..=24 {
            let x = out_l + 2.0 + f64::from(i) / 24.0 * (out_r - out_l - 4.0);
            let t = (x - peak) / 27.0;
            p.line_to((x, top - bulge * libm::exp(-0.5 * t * t)));
        }
    }
    p.line_to((out_r - 2.0, top));
    p.quad_to((out_r, top), (out_r, top + 2.0));
    p.line_to((out_r, under + SKIRT - 1.5));
    p.quad_to((out_r, under + SKIRT), (out_r - 1.5, under + SKIRT));
    p.line_to((w + wall + 1.0, under + SKIRT));
    p.line_to((w + wall + 1.0, under - 2.4));
    p.line_to((w - 1.0, under - 2.4));
    p.line_to((w - 1.0, under));
    for (x, half) in wells.iter().rev() {
        // Bosses below the cover hold the seal wells; they stay clear of the jar wall.
        let side = |off: f64| (x + off).clamp(1.2, w - 1.2);
        p.line_to((side(half + 3.0), under));
        p.line_to((side(half + 2.0), under + 6.0));
        p.line_to((side(-half - 2.0), under + 6.0));
        p.line_to((side(-half - 3.0), under));
    }
    p.line_to((1.0, under));
    p.line_to((1.0, under - 2.4));
    p.line_to((-wall - 1.0, under - 2.4));
    p.line_to((-wall - 1.0, under + SKIRT));
    p.line_to((out_l + 1.5, under + SKIRT));
    p.quad_to((out_l, under + SKIRT), (out_l, under + SKIRT - 1.5));
    p.close_path();
    let fill = brush::down(Role::Cover, top, under + SKIRT);
    pen.out.solid(p.clone(), fill, Role::Cover, weight::JAR);
    pen.cut(&p, Role::Cover, 8.0);
    let shine = Stroke::new(0.9, Shade::new(Role::Cover, Tone::Light));
    if bulge == 0.0 {
        pen.out.line(
            brush::polyline(&[
                Point::new(out_l + 2.5, top + 0.9),
                Point::new(out_r - 2.5, top + 0.9),
            ]),
            shine,
        );
    }
    pen.out.end();
}

/// The label with the number of the cell, on the aisle side of the cover.
pub fn number(pen: &mut Pen<'_>, x: f64, label: bool) {
    if !label || !pen.wants("cell_number") {
        return;
    }
    let l = pen.layout.levels;
    let y = -(l.cover_under + 0.5 * (l.cover_top - l.cover_under));
    let half = 7.0;
    let tall = 3.4f64.min(0.5 * (l.cover_top - l.cover_under) - 0.3);
    pen.part("cell_number", Point::new(x - half + 1.5, y));
    let tag = brush::rounded(x - half, y - tall, x + half, y + tall, 0.8);
    pen.out.solid(tag, Shade::new(Role::Plastic, Tone::Light), Role::Plastic, 0.7);
    pen.out.text(Text {
        at: Point::new(x, y + 0.56 * tall),
        size: 2.8 * tall,
        anchor: Anchor::Middle,
        weight: Weight::Bold,
        shade: Shade::new(Role::InJar, Tone::Base),
        halo: None,
        upright: false,
        words: pen.options.cell_number.to_string(),
    });
    pen.out.end();
}

/// Ledges for a sling on the outside of the end walls.
pub fn lift_points(pen: &mut Pen<'_>) {
    for s in pen.layout.lift_points.clone() {
        let (top, bottom) = (-s.y.1, -s.y.0);
        pen.part("lift_point", Point::new(s.mid_x(), f64::midpoint(top, bottom)));
        let left = s.x.0 < 0.0;
        let (wall, tip) = if left { (s.x.1, s.x.0) } else { (s.x.0, s.x.1) };
        let dir = (tip - wall).signum();
        // Flat below for the sling, sloped above so that nothing collects on it.
        let ledge = brush::polygon(&[
            Point::new(wall, top),
            Point::new(tip - dir * 0.8, top + 3.5),
            Point::new(tip, top + 5.0),
            Point::new(tip, bottom),
            Point::new(wall, bottom),
        ]);
        let fill = brush::down(Role::JarGlass, top, bottom);
        pen.out.solid(ledge.clone(), fill, Role::JarGlass, 1.1);
        pen.cut(&ledge, Role::JarGlass, 7.0);
    }
    pen.out.end();
}
