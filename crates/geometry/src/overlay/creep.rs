//! A crust that spreads outward from a seal.

use super::{Input, place::Held as _};
use crate::{
    draw::{Pen, SealPlace, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use jarlight_model::rng::{child_seed, element};
use kurbo::{Point, Shape as _, Vec2};

/// `width`: how far the crust reaches from the seal, in millimetres; `climb`: how far up the
/// post, as a share of that.
pub fn draw(input: &Input<'_>, pen: &mut Pen<'_>) {
    let width = input.param("width", 3.0);
    let climb = input.param("climb", 0.5);
    let role = input.paint(Role::Creep);
    let part = input.step.on.value.as_str();
    for seal in pen.seals.clone() {
        let number = pen.out.targets()[seal.target as usize].number;
        if !input.covers(part, number) {
            continue;
        }
        let seed = child_seed(input.seed, &number.to_string());
        pen.out.resume(Some(seal.target));
        if pen.seen_from_above() {
            ring(pen, &seal, width, role, seed);
        } else {
            collar(pen, &seal, width, width * climb, role, seed);
        }
    }
}

/// A smooth wave round a circle from a few harmonics, -1 to 1; lobes differ in size.
fn wave(seed: u64, angle: f64) -> f64 {
    let mut sum = 0.0;
    let mut most = 0.0;
    for k in [2u32, 3, 5, 8, 13] {
        let phase = element(seed, u64::from(k)).range(0.0, std::f64::consts::TAU);
        let weight = 1.0 / libm::sqrt(f64::from(k));
        sum += weight * libm::sin(f64::from(k) * angle + phase);
        most += weight;
    }
    sum / (0.6 * most)
}

/// Seen from the side: a low crust on the cover round the seal that climbs the post.
fn collar(pen: &mut Pen<'_>, seal: &SealPlace, width: f64, climb: f64, role: Role, seed: u64) {
    let base = seal.center.y;
    let reach = seal.half + 0.5 * width;
    let n = 44;
    let top: Vec<Point> = (0..=n)
        .map(|i| {
            let t = f64::from(i) / f64::from(n);
            let x = seal.center.x + (2.0 * t - 1.0) * reach;
            let off = libm::fabs(x - seal.center.x);
            // Low on the cover, higher over the seal, highest against the post.
            let rise = if off < seal.post {
                climb
            } else {
                climb * (1.0 - (off - seal.post) / (reach - seal.post)) * 0.85
            };
            let rough = 0.72 + 0.28 * wave(seed, 9.0 * t);
            let low = 0.16 * width * (1.0 - libm::pow(2.0 * t - 1.0, 4.0));
            Point::new(x, base - (rise * rough + low).held(0.0, seal.free))
        })
        .collect();
    let mut outline = brush::smooth(&top);
    outline.line_to((seal.center.x + reach, base + 0.3));
    outline.line_to((seal.center.x - reach, base + 0.3));
    outline.close_path();
    crust(pen, outline, role, seed);
}

/// Seen from above: an uneven ring round the post, wider on one side.
fn ring(pen: &mut Pen<'_>, seal: &SealPlace, width: f64, role: Role, seed: u64) {
    let lean = element(seed, 99).range(0.0, std::f64::consts::TAU);
    let at = |r: f64, a: f64| seal.center + Vec2::new(r * libm::cos(a), r * libm::sin(a));
    let n = 72;
    let outer: Vec<Point> = (0..n)
        .map(|i| {
            let a = f64::from(i) / f64::from(n) * std::f64::consts::TAU;
            let side = 0.62 + 0.38 * libm::cos(a - lean);
            let reach = width * (side + 0.32 * wave(seed, a));
            at(seal.post + reach.max(0.15 * width), a)
        })
        .collect();
    let mut outline = brush::closed_smooth(&outer);
    // The hole is wound the other way, so that the post stays clear.
    let hole: Vec<Point> =
        (0..24).map(|i| at(seal.post, -f64::from(i) / 24.0 * std::f64::consts::TAU)).collect();
    for el in brush::closed_smooth(&hole).elements() {
        outline.push(*el);
    }
    crust(pen, outline, role, seed);
}

fn crust(pen: &mut Pen<'_>, outline: kurbo::BezPath, role: Role, seed: u64) {
    let b = outline.bounding_box();
    let fill = Paint::Linear {
        from: Point::new(0.0, b.y0),
        to: Point::new(0.0, b.y1),
        stops: vec![
            (0.0, Shade::new(role, Tone::Light)),
            (0.6, Shade::new(role, Tone::Base)),
            (1.0, Shade::new(role, Tone::Dark)),
        ],
    };
    let line = Stroke::new(0.6, Shade::edge(role));
    let grains = brush::speckle(&outline, 0.9, 0.16, seed);
    let damp = brush::speckle(&outline, 1.7, 0.14, seed ^ 5);
    pen.out.shape(outline, fill, Some(line));
    pen.out.shape(grains, Shade::new(Role::WhiteSalt, Tone::Dark).alpha(0.75), None);
    pen.out.shape(damp, Shade::new(Role::Rust, Tone::Light).alpha(0.8), None);
}
