//! Swollen material: pimples on a face, torn pellets, bumps on an edge.

use super::{
    Input,
    film::cloud,
    place::{Found, Held as _, inside, meant, sown},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// Matt pimples and bulged pellets on a face, bumps on an edge. `count`; `size` radius; `torn`
/// pellets that stand out.
pub fn blisters(input: &Input<'_>, pen: &mut Pen<'_>) {
    let count = input.param("count", 10.0);
    let size = input.param("size", 2.5);
    let role = Role::NegativePaste;
    for f in meant(input, pen) {
        let seed = f.seed(input.seed);
        if pen.request.view != View::Face {
            bumps(pen, &f, count * 0.35, size, seed);
            continue;
        }
        let plate = f.bounds;
        pen.out.resume(Some(f.index));
        // They come in clusters, first ones first.
        let mut spots = Vec::new();
        sown(count, seed, |i, grown, mut rng| {
            let cluster = (libm::sqrt(i as f64) * 0.8) as u64;
            let mut own = element(seed ^ 0xC105, cluster);
            let Some(c) = inside(&f.outline, plate.inset(-16.0), 0.25, &mut own) else { return };
            let off = Vec2::new(rng.normal(), rng.normal()) * 11.0;
            let r = size * rng.range(0.45, 1.25) * grown;
            spots.push((c + off, r));
        });
        for (c, r) in spots {
            let area = plate.inset(-r);
            let c = Point::new(c.x.held(area.x0, area.x1), c.y.held(area.y0 + 14.0, area.y1));
            // No outline and no gloss: a shadow to the lower right and a paler top left.
            let shadow = Shade::new(role, Tone::Edge).alpha(0.5);
            cloud(pen, plate, c + Vec2::new(0.4 * r, 0.45 * r), 1.3 * r, shadow);
            let seed = (c.x * 1024.0) as i64 as u64 ^ seed;
            let lump = brush::blob(c, 1.1 * r, 0.85 * r, 0.22, seed);
            pen.out.shape(lump, Shade::base(role).mixed(role, Tone::Light, 0.2), None);
            let rise = Shade::new(role, Tone::Light).alpha(0.35);
            cloud(pen, plate, c - Vec2::new(0.25 * r, 0.3 * r), 0.8 * r, rise);
        }
        sown(input.param("torn", 0.0), seed ^ 0x7EA2, |i, grown, mut rng| {
            let Some(c) = inside(&f.outline, plate.inset(-22.0), 0.4, &mut rng) else { return };
            let (w, h) = (4.6 * grown, 3.8 * grown);
            let pit = brush::blob(c, w, h, 0.14, seed ^ (i + 3));
            pen.out.shape(pit, Shade::edge(role).alpha(0.9), None);
            let lifted = brush::blob(c + Vec2::new(-1.6, -1.4), 0.8 * w, 0.75 * h, 0.18, seed ^ i);
            let fill = Paint::Linear {
                from: c - Vec2::new(w, h),
                to: c + Vec2::new(w, h),
                stops: vec![
                    (0.0, Shade::new(role, Tone::Light)),
                    (1.0, Shade::new(role, Tone::Dark)),
                ],
            };
            pen.out.shape(lifted, fill, Some(Stroke::new(0.6, Shade::edge(role).alpha(0.7))));
        });
    }
}

/// Soft bumps that stand out of an edge toward the separators.
fn bumps(pen: &mut Pen<'_>, f: &Found, count: f64, size: f64, seed: u64) {
    let mut out = BezPath::new();
    sown(count, seed, |_, grown, mut rng| {
        let (x, dir) = if rng.unit() < 0.5 { (f.bounds.x0, -1.0) } else { (f.bounds.x1, 1.0) };
        let y = f.bounds.y0 + f.bounds.height() * (0.03 + 0.94 * rng.unit());
        let (long, deep) = (size * rng.range(0.9, 1.8) * grown, rng.range(0.5, 1.5) * grown);
        out.move_to((x - dir * 0.3, y - long));
        out.curve_to(
            (x + dir * deep, y - long),
            (x + dir * 1.2 * deep, y + long),
            (x - dir * 0.3, y + long),
        );
        out.close_path();
    });
    pen.out.resume(Some(f.index));
    let line = Stroke::new(0.5, Shade::edge(Role::NegativeBorder));
    pen.out.shape(out, Shade::base(Role::NegativeBorder), Some(line));
}
