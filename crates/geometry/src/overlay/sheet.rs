//! Separators and mats: splits, gaps, felt that balloons, single fibres.

use super::{
    Input,
    place::{Found, chosen, room, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
    view::edge::separator_role,
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// Splits along a separator from its top corner. `parts` sheets; `long` in millimetres.
pub fn split(input: &Input<'_>, pen: &mut Pen<'_>) {
    let long = input.param("long", 10.0);
    for f in chosen(input, pen, 1.0) {
        let seed = f.seed(input.seed);
        let b = f.bounds;
        // A trace begins at a corner of the top; a longer one only runs on from there.
        let from = Point::new(b.x0 + 0.35 * b.width(), b.y0);
        let n = 24;
        let step = 120.0 / f64::from(n);
        let mut points = vec![from];
        for i in 1..=n {
            let mut rng = element(seed, i as u64);
            let y = b.y0 + step * f64::from(i);
            if y - b.y0 > long {
                break;
            }
            points.push(Point::new(b.x0 + b.width() * rng.range(0.15, 0.85), y.min(b.y1 - 1.0)));
        }
        let last = points[points.len() - 1];
        let end = (b.y0 + long).min(b.y1 - 1.0);
        if end > last.y {
            points.push(Point::new(b.center().x, end));
        }
        pen.out.resume(Some(f.index));
        let dark = Stroke::new(1.3, Shade::new(Role::Creep, Tone::Edge));
        pen.out.line(brush::polyline(&points), dark);
        let lit: Vec<Point> = points.iter().map(|p| *p + Vec2::new(0.35, 0.0)).collect();
        let light = Shade::new(separator_role(pen.layout.design.separator.kind), Tone::Light);
        pen.out.line(brush::polyline(&lit), Stroke::new(0.5, light.alpha(0.8)));
    }
}

/// Pieces gone from a sheet: gaps in its line. `parts` sheets; `count` of gaps; `mm` high.
pub fn gaps(input: &Input<'_>, pen: &mut Pen<'_>) {
    let mm = input.param("mm", 3.0);
    let role = separator_role(pen.layout.design.separator.kind);
    for f in chosen(input, pen, 1.0) {
        let seed = f.seed(input.seed);
        let b = f.bounds;
        let (mut holes, mut bits) = (BezPath::new(), BezPath::new());
        sown(input.param("count", 1.0), seed, |i, grown, mut rng| {
            let y = b.y0 + b.height() * (0.2 + 0.27 * (i % 3) as f64 + 0.05 * rng.unit());
            let high = mm * rng.range(0.7, 1.2) * grown;
            let mut upper = brush::jagged(
                Point::new(b.x0 - 0.2, y),
                Point::new(b.x1 + 0.2, y),
                5,
                0.9,
                seed ^ i,
            );
            let low = brush::jagged(
                Point::new(b.x1 + 0.2, y + high),
                Point::new(b.x0 - 0.2, y + high),
                5,
                0.9,
                seed ^ (i + 50),
            );
            upper.extend(low);
            holes.extend(brush::polygon(&upper).elements().iter().copied());
            // The crumbs of the sheet lie below on the rib.
            let p =
                Point::new(b.center().x + rng.range(-2.0, 2.0), -pen.layout.levels.sediment - 0.4);
            let crumb = brush::blob(p, 1.5 * grown, 0.6 * grown, 0.25, seed ^ i);
            bits.extend(crumb.elements().iter().copied());
        });
        pen.out.resume(Some(f.index));
        let line = Stroke::new(0.7, Shade::edge(role));
        pen.out.shape(holes, Shade::base(Role::Electrolyte), Some(line.clone()));
        pen.out.shape(bits, Shade::base(role), Some(line));
    }
}

/// Felt that bulges into the gap. `parts` mats; `mm`: how far; `part`: percent of the height
/// over which it is loose; `fibres` beside it.
pub fn mat_wave(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view == View::Face {
        return;
    }
    let mm = input.param("mm", 1.0);
    let share = input.param("share", 40.0) / 100.0;
    for f in chosen(input, pen, 4.0) {
        let seed = f.seed(input.seed);
        let b = f.bounds;
        // Away from the positive that it lies against.
        let Some(plus) = nearest(&targets(input, pen, "positive_plate"), &f) else { continue };
        let dir = if plus.bounds.center().x < b.center().x { 1.0 } else { -1.0 };
        let base = if dir > 0.0 { b.x0 } else { b.x1 };
        let mut rng = element(seed, 1);
        let middle = b.y0 + b.height() * rng.range(0.3, 0.65);
        let half = 0.5 * share * b.height();
        let (top, foot) = ((middle - half).max(b.y0 - 0.4 * mm), (middle + half).min(b.y1));
        let n = 40;
        let points: Vec<Point> = (0..=n)
            .map(|i| {
                let t = f64::from(i) / f64::from(n);
                let ends = libm::sqrt(libm::sin(std::f64::consts::PI * t).max(0.0));
                let wave = 0.62 + 0.38 * libm::sin(18.0 * t + rng_phase(seed));
                let fuzz = element(seed, 100 + i as u64).range(0.85, 1.1);
                let x = base + dir * (b.width() + mm * ends * wave * fuzz);
                Point::new(x, top + t * (foot - top))
            })
            .collect();
        let mut outline = brush::smooth(&points);
        outline.line_to((base, foot));
        outline.line_to((base, top));
        outline.close_path();
        pen.out.resume(Some(f.index));
        let line = Stroke::new(0.6, Shade::edge(Role::Mat));
        pen.out.shape(outline, Shade::new(Role::Mat, Tone::Base), Some(line));
        let mut threads = BezPath::new();
        sown(input.param("fibres", 0.0), seed ^ 5, |_, grown, mut rng| {
            let y = rng.range(top, foot);
            let x = base + dir * (b.width() + 0.7 * mm);
            thread(&mut threads, Point::new(x, y), rng.range(2.0, 5.0) * grown, &mut rng);
        });
        if !threads.elements().is_empty() {
            pen.out.line(threads.clone(), Stroke::new(1.3, Shade::edge(Role::Mat).alpha(0.7)));
            pen.out.line(threads, Stroke::new(0.8, Shade::new(Role::Mat, Tone::Light)));
        }
    }
}

fn rng_phase(seed: u64) -> f64 {
    element(seed, 3).range(0.0, std::f64::consts::TAU)
}

fn nearest(list: &[Found], to: &Found) -> Option<Found> {
    list.iter()
        .min_by(|a, b| {
            let away = |g: &Found| (g.bounds.center().x - to.bounds.center().x).abs();
            away(a).total_cmp(&away(b))
        })
        .cloned()
}

fn thread(out: &mut BezPath, p: Point, long: f64, rng: &mut jarlight_model::rng::Rng) {
    let turn = rng.range(0.0, std::f64::consts::TAU);
    let along = Vec2::new(libm::cos(turn), libm::sin(turn)) * long;
    let side = Vec2::new(-along.y, along.x) * rng.range(-0.5, 0.5);
    out.move_to(p);
    out.quad_to(p + along * 0.5 + side, p + along);
}

/// Single fibres that float in the liquid. `count`; `long` in millimetres.
pub fn fibre(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view == View::Plan {
        return;
    }
    let long = input.param("long", 12.0);
    let l = pen.layout.levels;
    let (x0, x1) = room(pen);
    let mut threads = BezPath::new();
    sown(input.param("count", 1.0), input.seed, |_, grown, mut rng| {
        // In the free liquid over the plates, where one is seen.
        let (top, foot) = (-(l.liquid - 5.0), -(l.strap_top + 1.0));
        let p = Point::new(
            rng.range(x0 + 0.3 * (x1 - x0), x0 + 0.62 * (x1 - x0)),
            rng.range(top, foot.max(top + 1.0)),
        );
        let reach = long * grown;
        threads.move_to(p);
        threads.curve_to(
            p + Vec2::new(0.3 * reach, -rng.range(1.5, 4.0)),
            p + Vec2::new(0.6 * reach, rng.range(1.0, 4.0)),
            p + Vec2::new(reach, rng.range(-2.0, 1.0)),
        );
    });
    pen.out.end();
    pen.out.line(threads.clone(), Stroke::new(2.6, Shade::edge(Role::Mat).alpha(0.75)).rounded());
    pen.out.line(threads, Stroke::new(1.6, Shade::new(Role::Mat, Tone::Light)).rounded());
}
