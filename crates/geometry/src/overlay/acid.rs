//! The liquid and its wall: hydration line, layers, scum on the surface, beads above it.

use super::{
    Input,
    grain::block,
    place::{self, Held as _, room, sown, targets},
};
use crate::{
    draw::{Pen, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Shape as _, Vec2};

/// A matt white line across pack and wall at one height. `mm`: how thick; `alpha`; `round`:
/// percent of the width that it crosses; `specks`: in each separator near it.
///
/// The height is drawn by seed, because nothing teaches it, and never above the liquid.
pub fn line(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !place::from_the_side(pen) {
        return;
    }
    let l = pen.layout.levels;
    let mm = input.param("mm", 1.0).max(0.7 * pen.px);
    let alpha = input.param("alpha", 0.7) as f32;
    let round = input.param("round", 100.0) / 100.0;
    let mut rng = element(input.seed, 1);
    let most = (l.liquid - 8.0).min(l.plate_top - 0.12 * (l.plate_top - l.plate_bottom));
    let y = -rng.range(l.plate_bottom + 0.25 * (l.plate_top - l.plate_bottom), most);
    let (x0, x1) = room(pen);
    let wave = |x: f64| {
        let t = (x - x0) / (x1 - x0);
        0.6 * libm::sin(5.0 * t + rng_phase(input.seed)) + 0.3 * libm::sin(17.0 * t)
    };
    let role = input.paint(Role::Hydration);
    pen.out.end();
    // A trace is there on part of the way only; more of it never moves what is there.
    let pieces = 12;
    let mut soft = BezPath::new();
    let mut core = BezPath::new();
    for i in 0..pieces {
        let born = element(input.seed, 40 + i).unit() * 0.98;
        if born > round {
            continue;
        }
        let (a, b) = (i as f64 / pieces as f64, (i + 1) as f64 / pieces as f64);
        let (a, b) = (x0 + a * (x1 - x0), x0 + b * (x1 - x0));
        strip(&mut soft, a, b, y, 2.1 * mm, &wave);
        strip(&mut core, a, b, y, mm, &wave);
    }
    let shade = |a: f32| Shade::new(role, Tone::Base).alpha(a);
    pen.out.shape(soft, shade(0.35 * alpha), None);
    pen.out.shape(core, shade(alpha), None);
    let size = input.param("size", 0.45).max(0.5 * pen.px);
    for f in targets(input, pen, "separator") {
        let mut specks = BezPath::new();
        sown(input.param("specks", 0.0), f.seed(input.seed), |_, grown, mut rng| {
            let p = Point::new(
                rng.range(f.bounds.x0 + 0.3, f.bounds.x1 - 0.3),
                (y + 22.0 * rng.normal()).held(f.bounds.y0 + 1.0, f.bounds.y1 - 1.0),
            );
            block(&mut specks, p, size * grown * rng.range(0.6, 1.2), &mut rng);
        });
        if !specks.elements().is_empty() {
            pen.out.resume(Some(f.index));
            let edge = Stroke::new(0.4, Shade::edge(role));
            pen.out.shape(specks, Shade::new(role, Tone::Light), Some(edge));
        }
    }
}

fn rng_phase(seed: u64) -> f64 {
    element(seed, 3).range(0.0, std::f64::consts::TAU)
}

fn strip(out: &mut BezPath, a: f64, b: f64, y: f64, thick: f64, wave: &impl Fn(f64) -> f64) {
    let n = 8;
    let at = |i: i32, side: f64| {
        let x = a + (b - a) * f64::from(i) / f64::from(n);
        Point::new(x, y + wave(x) + side * thick / 2.0)
    };
    for i in 0..=n {
        if i == 0 { out.move_to(at(0, -1.0)) } else { out.line_to(at(i, -1.0)) }
    }
    for i in (0..=n).rev() {
        out.line_to(at(i, 1.0));
    }
    out.close_path();
}

/// Shimmering borders between layers of acid. `count` of lines; `alpha`.
pub fn schlieren(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !place::from_the_side(pen) {
        return;
    }
    let alpha = input.param("alpha", 0.2) as f32;
    let l = pen.layout.levels;
    let (x0, x1) = room(pen);
    let third = -(l.plate_bottom + 0.36 * (l.plate_top - l.plate_bottom));
    pen.out.end();
    // Below the border the acid is dense and bends light a little more.
    let below = Shade::new(Role::Electrolyte, Tone::Edge).alpha(0.28 * alpha);
    pen.out.shape(brush::rect(x0, third, x1, 0.0), below, None);
    sown(input.param("count", 3.0), input.seed, |i, grown, mut rng| {
        let y = third + 9.0 * (i as f64 - 1.0) + rng.range(-2.0, 2.0);
        let (phase, long) = (rng.range(0.0, 6.3), rng.range(2.0, 3.5));
        let points: Vec<Point> = (0..=40)
            .map(|k| {
                let t = f64::from(k) / 40.0;
                let sway = 1.6 * libm::sin(long * 6.3 * t + phase) + 0.7 * libm::sin(31.0 * t);
                Point::new(x0 + 0.5 + t * (x1 - x0 - 1.0), y + sway)
            })
            .collect();
        let down: Vec<Point> = points.iter().map(|p| *p + Vec2::new(0.0, 0.9)).collect();
        let part = alpha * grown as f32;
        let bright = Shade::new(Role::GasSpace, Tone::Light).alpha(part.min(1.0));
        let dark = Shade::edge(Role::Electrolyte).alpha((0.7 * part).min(1.0));
        pen.out.line(brush::smooth(&down), Stroke::new(0.9, dark));
        pen.out.line(brush::smooth(&points), Stroke::new(1.4, bright));
    });
}

/// Specks and film on the surface, and a ring at the wall. `count` of specks; `film` thickness
/// in millimetres; `ring` height at the wall.
pub fn scum(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !place::from_the_side(pen) {
        return;
    }
    let role = input.paint(Role::Sediment);
    let y = -pen.layout.levels.liquid;
    let (x0, x1) = room(pen);
    pen.out.end();
    let film = input.param("film", 0.0);
    if film > 0.0 {
        // Thick where it gathers, thin between; edge on it is never a plain bar.
        let n = 48;
        let mut outline = BezPath::new();
        outline.move_to((x0 + 0.3, y + 0.2));
        for i in 0..=n {
            let x = x0 + 0.3 + (x1 - x0 - 0.6) * f64::from(i) / f64::from(n);
            let lump = element(input.seed, 300 + i as u64).unit();
            outline.line_to((x, y - film * (0.25 + 0.75 * lump * lump)));
        }
        outline.line_to((x1 - 0.3, y + 0.2));
        outline.line_to((x1 - 0.3, y + 0.4 + 0.3 * film));
        outline.line_to((x0 + 0.3, y + 0.4 + 0.3 * film));
        outline.close_path();
        let line = Stroke::new(0.5, Shade::edge(role));
        pen.out.shape(outline, Shade::new(role, Tone::Light).alpha(0.85), Some(line));
    }
    let (mut dark, mut light) = (BezPath::new(), BezPath::new());
    let size = input.param("size", 0.7).max(0.6 * pen.px);
    sown(input.param("count", 20.0), input.seed, |_, grown, mut rng| {
        let r = size * rng.range(0.4, 1.2) * grown;
        let x = rng.range(x0 + r, x1 - r);
        // Most float, a few have just let go.
        let deep = if rng.unit() < 0.85 { 0.0 } else { 7.0 * rng.unit() };
        let mut flake = BezPath::new();
        block(&mut flake, Point::ZERO, r, &mut rng);
        flake.apply_affine(
            kurbo::Affine::translate((x, y - 0.3 * r + deep))
                * kurbo::Affine::scale_non_uniform(1.5, 0.8),
        );
        let path = if rng.unit() < 0.7 { &mut dark } else { &mut light };
        path.extend(flake.elements().iter().copied());
    });
    pen.out.shape(dark, Shade::new(role, Tone::Dark), None);
    let line = Stroke::new(0.4, Shade::edge(role));
    pen.out.shape(light, Shade::new(role, Tone::Light), Some(line));
    let ring = input.param("ring", 0.0);
    if ring > 0.0 {
        for (x, dir) in [(x0, 1.0), (x1, -1.0)] {
            let points: Vec<Point> = (0..=8)
                .map(|i| {
                    let t = f64::from(i) / 8.0;
                    let out = 0.6 + 0.9 * element(input.seed, 400 + i as u64).unit();
                    let round = libm::sin(std::f64::consts::PI * t);
                    Point::new(x + dir * out * (0.3 + round), y + ring * (0.5 - t))
                })
                .collect();
            let mut crust = brush::smooth(&points);
            crust.line_to((x, y - 0.5 * ring));
            crust.line_to((x, y + 0.5 * ring));
            crust.close_path();
            let line = Stroke::new(0.5, Shade::edge(role));
            pen.out.shape(crust, Shade::base(role), Some(line));
        }
    }
}

/// Clear beads on the inside of the wall, above the liquid only. `count`; `size`.
pub fn beads(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !place::from_the_side(pen) {
        return;
    }
    let size = input.param("size", 1.2).max(0.9 * pen.px);
    let l = pen.layout.levels;
    let (x0, x1) = room(pen);
    let (top, bottom) = (-(l.cover_under - 1.5), -(l.liquid + 2.5));
    if top >= bottom {
        return;
    }
    let (mut body, mut shine, mut shade) = (BezPath::new(), BezPath::new(), BezPath::new());
    sown(input.param("count", 60.0), input.seed, |_, grown, mut rng| {
        let r = size * (0.35 + 0.65 * libm::pow(rng.unit(), 2.5)) * grown;
        let p = Point::new(rng.range(x0 + r, x1 - r), rng.range(top + r, bottom - r));
        let drop = kurbo::Ellipse::new(p, (r, 1.15 * r), 0.0);
        body.extend(drop.path_elements(0.05));
        let low = kurbo::Ellipse::new(p + Vec2::new(0.1 * r, 0.45 * r), (0.6 * r, 0.35 * r), 0.0);
        shade.extend(low.path_elements(0.05));
        let high = p + Vec2::new(-0.3 * r, -0.45 * r);
        shine.extend(kurbo::Circle::new(high, 0.28 * r).path_elements(0.05));
    });
    let target = targets(input, pen, "headspace").first().map(|f| f.index);
    pen.out.resume(target);
    let line = Stroke::new(0.6, Shade::edge(Role::GasSpace));
    pen.out.shape(body, Shade::new(Role::AcidFilm, Tone::Light).alpha(0.55), Some(line));
    pen.out.shape(shade, Shade::new(Role::Plastic, Tone::Light).alpha(0.7), None);
    pen.out.shape(shine, Shade::new(Role::Plastic, Tone::Light), None);
}
