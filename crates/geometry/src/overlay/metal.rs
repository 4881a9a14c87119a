//! Bars and bolts: heat tint, a loose bolt, worn plating.

use super::{
    Input,
    joint::{Joint, joint},
    place::{Held as _, dot, sown},
};
use crate::{
    draw::{Pen, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use kurbo::{BezPath, Point, Vec2};

/// Tint rings round a bolt, on bar and post by their own outlines. `radius`; `alpha`; `runs` of
/// grease; `sag` of the cover below; `melt` of lead.
pub fn heat(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(j) = joint(input, pen) else { return };
    let radius = input.param("radius", 20.0);
    let alpha = input.param("alpha", 0.8) as f32;
    pen.out.resume(Some(j.bar.index));
    if radius > 0.0 && alpha > 0.0 {
        let fill = rings(&j, radius, alpha);
        pen.out.shape(j.bar.outline.clone(), fill.clone(), None);
        if !j.above {
            let top = -pen.layout.levels.cover_top;
            let post =
                brush::rect(j.post - j.radius, j.bar.bounds.y1, j.post + j.radius, top - 0.5);
            pen.out.shape(post, fill.clone(), None);
            let head = brush::circle(j.center, 7.0);
            let over = rings(&j, radius, 0.55 * alpha);
            pen.out.shape(head, over, None);
        }
    }
    let b = j.bar.bounds;
    let low = if j.above { b.y1 + 6.0 } else { -pen.layout.levels.cover_top };
    let mut drips = BezPath::new();
    sown(input.param("runs", 0.0), input.seed, |_, grown, mut rng| {
        let x = (j.post + rng.range(-1.0, 1.0) * (j.radius + 3.0)).held(b.x0 + 1.0, b.x1 - 1.0);
        let long = rng.range(2.0, 7.0) * grown;
        drip(&mut drips, Point::new(x, b.y1 - 0.4), 0.9, long.min(low - b.y1));
    });
    let brown = Shade::new(Role::Tint, Tone::Dark).alpha(0.9);
    pen.out.shape(drips, brown, Some(Stroke::new(0.6, Shade::edge(Role::Tint))));
    let sag = input.param("sag", 0.0);
    if sag > 0.0 {
        softened(pen, &j, sag, input.seed);
    }
    let mut lead = BezPath::new();
    sown(input.param("melt", 0.0), input.seed ^ 0x3E17, |_, grown, mut rng| {
        let x = j.post + rng.range(-0.8, 0.8) * j.radius;
        drip(&mut lead, Point::new(x, b.y1 - 0.6), 1.7 * grown, (low - b.y1).max(4.0) * grown);
    });
    let line = Stroke::new(0.8, Shade::edge(Role::LeadNegative));
    pen.out.shape(lead, Shade::new(Role::LeadNegative, Tone::Light), Some(line));
}

fn rings(j: &Joint, radius: f64, alpha: f32) -> Paint {
    let tint = |role, tone, a: f32| Shade::new(role, tone).alpha(a * alpha);
    Paint::Radial {
        center: Point::new(j.post, j.center.y),
        radius,
        stops: vec![
            (0.0, tint(Role::HeatTint, Tone::Dark, 0.95)),
            (0.3, tint(Role::HeatTint, Tone::Base, 0.9)),
            (0.55, tint(Role::Rust, Tone::Dark, 0.75)),
            (0.8, tint(Role::HeatTint, Tone::Light, 0.7)),
            (1.0, tint(Role::HeatTint, Tone::Light, 0.0)),
        ],
    }
}

fn drip(out: &mut BezPath, at: Point, half: f64, long: f64) {
    out.move_to((at.x - half, at.y));
    out.quad_to((at.x - 0.5 * half, at.y + 0.6 * long), (at.x - 0.8 * half, at.y + long));
    out.quad_to((at.x, at.y + long + half), (at.x + 0.8 * half, at.y + long));
    out.quad_to((at.x + 0.5 * half, at.y + 0.6 * long), (at.x + half, at.y));
    out.close_path();
}

/// Plastic near the joint that has gone soft: a wavy dark mark on the cover.
fn softened(pen: &mut Pen<'_>, j: &Joint, sag: f64, seed: u64) {
    let top = if j.above { j.bar.bounds.y1 + 9.0 } else { -pen.layout.levels.cover_top };
    let c = Point::new(j.post, top + if j.above { 0.0 } else { 0.5 * sag });
    let wide = j.radius + 6.0 + 2.0 * sag;
    let mark = brush::blob(c, wide, 0.5 * sag + 0.6, 0.12, seed);
    pen.out.end();
    let line = Stroke::new(0.9, Shade::edge(Role::Cover));
    pen.out.shape(mark, Shade::new(Role::Cover, Tone::Edge).alpha(0.85), Some(line));
    let gloss = [c + Vec2::new(-0.6 * wide, -0.2 * sag), c + Vec2::new(0.1 * wide, -0.3 * sag)];
    let shine = Shade::new(Role::Cover, Tone::Light).alpha(0.9);
    pen.out.line(brush::polyline(&gloss), Stroke::new(1.0, shine).rounded());
}

/// A bolt that has turned: marks that no longer meet, a gap under the washer, a bright ring.
/// `degrees`; `gap`; `ring` of bare metal; `gone` from 0.5 on: no bolt at all.
pub fn loose(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(j) = joint(input, pen) else { return };
    let degrees = input.param("degrees", 10.0);
    let gap = input.param("gap", 0.0);
    let gone = input.param("gone", 0.0) >= 0.5;
    pen.out.resume(Some(j.bar.index));
    if j.above {
        from_above(pen, &j, gap, gone);
        return;
    }
    let c = j.center;
    let ring = input.param("ring", 0.0);
    if ring > 0.0 {
        let bright = Stroke::new(1.6, Shade::new(Role::Bolt, Tone::Light));
        let dull = Stroke::new(0.7, Shade::edge(Role::Connector).alpha(0.8));
        pen.out.line(brush::circle(c, 7.6 + 0.6 * ring), bright);
        pen.out.line(brush::circle(c, 8.4 + ring), dull);
    }
    if gap > 0.0 {
        // The washer stands off: its shadow falls to the lower right.
        let mut shadow = brush::circle(c + Vec2::new(0.4 * gap, 0.6 * gap), 7.05);
        let hole = brush::circle(c, 6.9).reverse_subpaths();
        shadow.extend(hole.elements().iter().copied());
        pen.out.shape(shadow, Shade::new(Role::Creep, Tone::Edge).alpha(0.85), None);
    }
    if gone {
        pen.out.shape(
            brush::circle(c, 7.6),
            Shade::new(Role::Connector, Tone::Light),
            Some(Stroke::new(0.6, Shade::edge(Role::Connector))),
        );
        let rim = Stroke::new(0.9, Shade::new(Role::Bolt, Tone::Dark));
        pen.out.shape(brush::circle(c, 3.8), Shade::new(Role::Creep, Tone::Edge), Some(rim));
    }
    // The paint mark was one line over bolt and bar.
    let ray = |angle: f64, from: f64, to: f64| {
        let dir = Vec2::new(libm::cos(angle), libm::sin(angle));
        brush::polyline(&[c + dir * from, c + dir * to])
    };
    let paint = Stroke::new(2.2, Shade::base(Role::DustCap));
    pen.out.line(ray(0.0, 7.4, 13.0), paint.clone());
    if !gone {
        pen.out.line(ray(degrees.to_radians(), 0.8, 6.6), paint);
    }
}

fn from_above(pen: &mut Pen<'_>, j: &Joint, gap: f64, gone: bool) {
    let y = j.bar.bounds.y1;
    if gone {
        let hide = brush::rect(j.post - 4.6, y + 0.4, j.post + 4.6, y + 5.0);
        pen.out.shape(hide, Shade::base(Role::Cover), None);
        let mouth = brush::rect(j.post - 2.4, y - 0.6, j.post + 2.4, y + 0.2);
        pen.out.shape(mouth, Shade::new(Role::Creep, Tone::Edge), None);
        return;
    }
    if gap > 0.0 {
        let slit = brush::rect(j.post - 4.4, y, j.post + 4.4, y + gap.min(2.0));
        pen.out.shape(slit, Shade::new(Role::Creep, Tone::Edge).alpha(0.85), None);
    }
    let mark = [Point::new(j.post + 1.0, y + 1.2), Point::new(j.post + 2.6, y + 3.8)];
    pen.out.line(brush::polyline(&mark), Stroke::new(2.0, Shade::base(Role::DustCap)));
}

/// Copper that shows through rubbed plating. `count` of patches; `size`; `scratches` of a
/// brush; `green` spots of attack.
pub fn worn(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(j) = joint(input, pen) else { return };
    let size = input.param("size", 3.0);
    let b = j.bar.bounds;
    let (mut bare, mut green, mut lines) = (BezPath::new(), BezPath::new(), BezPath::new());
    let mut shine = BezPath::new();
    sown(input.param("count", 4.0), input.seed, |i, grown, mut rng| {
        let (mut rx, mut ry) =
            (1.5 * size * rng.range(0.5, 1.2) * grown, size * rng.range(0.4, 1.0) * grown);
        (rx, ry) = (rx.min(0.4 * b.width()), ry.min(0.42 * b.height()));
        // First along the edges, later on the rubbed face.
        let y = match i % 3 {
            0 => b.y0 + 0.9 * ry,
            1 => b.y1 - 0.9 * ry,
            _ => rng.range(b.y0 + ry, (b.y1 - ry).max(b.y0 + ry)),
        };
        let x = rng.range(b.x0 + 1.2 * rx, (b.x1 - 1.2 * rx).max(b.x0 + 1.2 * rx));
        let patch = brush::blob(Point::new(x, y), rx, 0.85 * ry, 0.2, rng.next_u64());
        bare.extend(patch.elements().iter().copied());
        dot(&mut shine, Point::new(x, y), 0.6 * rx.min(ry), 0.22, 5, &mut rng);
    });
    sown(input.param("scratches", 0.0), input.seed ^ 0x5C2A, |_, grown, mut rng| {
        let long = rng.range(4.0, 12.0) * grown;
        let x = rng.range(b.x0 + 1.0, (b.x1 - long - 1.0).max(b.x0 + 1.0));
        let y = rng.range(b.y0 + 0.5, b.y1 - 0.5);
        lines.move_to((x, y));
        lines.line_to(((x + long).min(b.x1 - 0.5), (y + rng.range(-0.4, 0.4)).held(b.y0, b.y1)));
    });
    sown(input.param("green", 0.0), input.seed ^ 0x6EE, |_, grown, mut rng| {
        let r = 1.1 * grown;
        let p = Point::new(rng.range(b.x0 + r, b.x1 - r), b.y1 - r * rng.range(0.7, 1.4));
        let spot = brush::blob(p, 1.4 * r, 0.8 * r, 0.3, rng.next_u64());
        green.extend(spot.elements().iter().copied());
    });
    pen.out.resume(Some(j.bar.index));
    let line = Stroke::new(0.7, Shade::edge(Role::Copper).alpha(0.9));
    pen.out.shape(bare, Shade::base(Role::Copper), Some(line));
    pen.out.shape(shine, Shade::new(Role::Copper, Tone::Light), None);
    pen.out.line(lines, Stroke::new(0.6, Shade::new(Role::Copper, Tone::Dark).alpha(0.8)));
    let rim = Stroke::new(0.6, Shade::edge(Role::CopperSalt));
    pen.out.shape(green, Shade::base(Role::CopperSalt), Some(rim));
}
