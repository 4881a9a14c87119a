//! Dust and dirt on the cover.

use super::{
    Input,
    place::{meant, sown},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// A dull coat with clumps, fibres and tracks. `alpha`; `clumps`; `damp` from 0.5 on.
pub fn dirt(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.3) as f32;
    let role = input.paint(Role::Dust);
    let Some(cover) = meant(input, pen).into_iter().next() else { return };
    pen.out.resume(Some(cover.index));
    let above = pen.request.view == View::Plan;
    let clumps = input.param("clumps", 10.0);
    let line = Stroke::new(0.4, Shade::new(role, Tone::Edge).alpha(0.5));
    if !above {
        layer(input, pen, alpha, clumps);
        return;
    }
    let b = cover.bounds;
    pen.out.shape(cover.outline.clone(), Shade::base(role).alpha(alpha), None);
    let step = 2.4;
    let grit = brush::speckle(&cover.outline, step, 0.42, input.seed);
    pen.out.shape(grit, Shade::new(role, Tone::Light).alpha((1.4 * alpha).min(0.9)), None);
    let dark = brush::speckle(&cover.outline, 1.7 * step, 0.4, input.seed ^ 8);
    pen.out.shape(dark, Shade::edge(role).alpha((1.2 * alpha).min(0.8)), None);
    let (mut lumps, mut threads) = (BezPath::new(), BezPath::new());
    sown(clumps, input.seed ^ 0xC1, |_, grown, mut rng| {
        let r = rng.range(1.0, 3.6) * grown;
        let p = Point::new(rng.range(b.x0 + 6.0, b.x1 - 6.0), rng.range(b.y0 + 6.0, b.y1 - 6.0));
        let lump = brush::blob(p, 1.5 * r, r, 0.35, rng.next_u64());
        lumps.extend(lump.elements().iter().copied());
        if rng.unit() < 0.5 {
            threads.move_to(p);
            threads.quad_to(
                p + Vec2::new(rng.range(-5.0, 5.0), rng.range(-5.0, 5.0)),
                p + Vec2::new(rng.range(-7.0, 7.0), rng.range(-4.0, 4.0)),
            );
        }
    });
    pen.out.shape(lumps, Shade::new(role, Tone::Dark).alpha(0.85), Some(line));
    pen.out.line(threads, Stroke::new(0.8, Shade::edge(role).alpha(0.9)));
    if input.param("damp", 0.0) >= 0.5 {
        let wet = brush::blob(
            b.center() + Vec2::new(0.0, 0.2 * b.height()),
            0.36 * b.width(),
            0.18 * b.height(),
            0.2,
            input.seed,
        );
        pen.out.shape(wet, Shade::edge(role).alpha(0.5), None);
    }
}

/// The coat from the side: a low uneven layer on the cover between what stands on it.
fn layer(input: &Input<'_>, pen: &mut Pen<'_>, alpha: f32, clumps: f64) {
    let role = input.paint(Role::Dust);
    let Some(cover) = meant(input, pen).into_iter().next() else { return };
    let y = -pen.layout.levels.cover_top;
    let (a, b) = (cover.bounds.x0 + 2.0, cover.bounds.x1 - 2.0);
    let high = 0.5 + 2.2 * f64::from(alpha);
    let n = 60;
    let mut points = vec![Point::new(a, y + 0.2)];
    for i in 0..=n {
        let x = a + (b - a) * f64::from(i) / f64::from(n);
        let rough = element(input.seed, 900 + i as u64).range(0.3, 1.0);
        points.push(Point::new(x, y - high * rough));
    }
    points.push(Point::new(b, y + 0.2));
    let line = Stroke::new(0.4, Shade::edge(role).alpha(0.7));
    let shade = Shade::base(role).alpha((0.45 + alpha).min(0.95));
    pen.out.shape(brush::polygon(&points), shade, Some(line.clone()));
    let mut lumps = BezPath::new();
    sown(0.4 * clumps, input.seed ^ 0xC2, |_, grown, mut rng| {
        let r = rng.range(0.8, 2.0) * grown;
        let p = Point::new(rng.range(a + r, b - r), y - 0.6 * r);
        lumps.extend(brush::blob(p, 1.7 * r, r, 0.3, rng.next_u64()).elements().iter().copied());
    });
    pen.out.shape(lumps, Shade::new(role, Tone::Dark), Some(line));
}
