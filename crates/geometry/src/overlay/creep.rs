//! A crust that spreads outward from a seal.

use super::Input;
use crate::{
    draw::{Pen, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use jarlight_model::rng::{child_seed, element};
use kurbo::{Point, Rect, Shape as _, Vec2};

/// `width`: how far the crust reaches from the seal, in millimetres; `climb`: how far up the
/// post, as a share of that.
pub fn draw(input: &Input<'_>, pen: &mut Pen<'_>) {
    let width = input.param("width", 3.0);
    let climb = input.param("climb", 0.5);
    let role = input.paint(Role::Creep);
    let part = input.step.on.value.as_str();
    let seals: Vec<(u32, u32)> = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .filter(|(_, t)| &*t.part == part && input.covers(part, t.number))
        .map(|(i, t)| (i as u32, t.number))
        .collect();
    for (index, number) in seals {
        let Some(outline) = pen.outline(index) else { continue };
        let seed = child_seed(input.seed, &number.to_string());
        pen.out.resume(Some(index));
        let area = outline.bounding_box();
        if pen.seen_from_above() {
            ring(pen, area, width, role, seed);
        } else {
            collar(pen, area, width, width * climb, role, seed);
        }
    }
}

/// Seen from the side: a low crust on the cover round the seal, thicker against the post.
fn collar(pen: &mut Pen<'_>, seal: Rect, width: f64, climb: f64, role: Role, seed: u64) {
    let base = seal.y1;
    let (left, right) = (seal.x0 - 0.35 * width, seal.x1 + 0.35 * width);
    let n = 22;
    let mut top = Vec::new();
    for i in 0..=n {
        let t = f64::from(i) / f64::from(n);
        let x = left + t * (right - left);
        let hump = libm::sin(std::f64::consts::PI * t);
        let noise = element(seed, u64::from(i as u32)).range(0.35, 1.0);
        let h = (0.25 * width + 0.75 * climb * hump) * noise;
        top.push(Point::new(x, base - h.min(seal.height() + climb)));
    }
    let mut outline = brush::smooth(&top);
    outline.line_to((right + 0.3 * width, base));
    outline.line_to((left - 0.3 * width, base));
    outline.close_path();
    crust(pen, outline, role, seed);
}

/// Seen from above: an uneven ring round the seal, wider on one side.
fn ring(pen: &mut Pen<'_>, seal: Rect, width: f64, role: Role, seed: u64) {
    let center = seal.center();
    let inner = 0.5 * seal.width().min(seal.height());
    let lean = element(seed, 99).range(0.0, std::f64::consts::TAU);
    let n = 40;
    let at = |r: f64, a: f64| center + Vec2::new(r * libm::cos(a), r * libm::sin(a));
    let mut outer = Vec::new();
    for i in 0..n {
        let a = f64::from(i) / f64::from(n) * std::f64::consts::TAU;
        let noise = element(seed, u64::from(i as u32)).range(0.3, 1.0);
        let side = 0.65 + 0.35 * libm::cos(a - lean);
        outer.push(at(inner + width * noise * side, a));
    }
    let mut outline = brush::closed_smooth(&outer);
    // The hole is wound the other way, so that the post stays clear.
    let hole: Vec<Point> = (0..24)
        .map(|i| at(inner * 0.86, -f64::from(i) / 24.0 * std::f64::consts::TAU))
        .collect();
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
