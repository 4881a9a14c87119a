//! Pin-point glints that only a grazing lamp shows, on the edges of plates.

use super::Input;
use crate::{
    draw::{Pen, brush},
    palette::Role,
    scene::{Glint, Shade, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Shape as _};

/// `count`: glints on each plate; `size`: radius in millimetres.
///
/// The most that grade 5 needs are placed first; a lower severity draws the first ones of them.
pub fn draw(input: &Input<'_>, pen: &mut Pen<'_>) {
    let count = input.param("count", 40.0);
    // Pin points: well under a millimetre, but never under the size that a screen can show.
    let radius = input.param("size", 0.22).max(0.85 * pen.px);
    let part = input.step.on.value.as_str();
    let role = input.paint(Role::Sulfate);
    let targets: Vec<(usize, u32)> = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .filter(|(_, t)| &*t.part == part && input.covers(part, t.number))
        .map(|(i, t)| (i, t.number))
        .collect();
    for (index, number) in targets {
        let Some(outline) = pen.outline(index as u32) else { continue };
        let b = outline.bounding_box();
        pen.out.resume(Some(index as u32));
        let whole = count as u64;
        for i in 0..=whole {
            let mut rng = element(input.seed ^ u64::from(number), i);
            // Thicker along the edge and toward the bottom.
            let side = if rng.unit() < 0.5 { 0.0 } else { 1.0 };
            let in_from_edge = rng.unit() * rng.unit() * 0.45;
            let u = if side > 0.5 { 1.0 - in_from_edge } else { in_from_edge };
            let v = rng.unit().max(rng.unit() * rng.unit().sqrt());
            let p = Point::new(b.x0 + u * b.width(), b.y0 + v * b.height());
            let size = radius * rng.range(0.6, 1.25);
            let facing = rng.range(0.0, std::f64::consts::TAU) as f32;
            let birth = rng.unit() as f32;
            // The last one grows in, so that nothing jumps.
            let grown = if i == whole { count - whole as f64 } else { 1.0 };
            if grown <= 0.05 || outline.winding(p) == 0 {
                continue;
            }
            let mut dot = BezPath::new();
            brush::diamond(&mut dot, p, size * grown);
            let glint = Glint { facing, floor: 0.62, birth };
            pen.out.glint(dot, Shade::new(role, Tone::Light), glint);
        }
    }
}
