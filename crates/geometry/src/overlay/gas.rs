//! Gas: bubbles that rise or cling, foam on the surface, a milky liquid.

use super::{
    Input,
    place::{self, Found, Held as _, room, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use jarlight_model::rng::mix;
use kurbo::{BezPath, Point, Shape as _, Vec2};

/// Adds a ball with its highlight: a round silver thing, unlike a grain.
fn ball(rings: &mut BezPath, lights: &mut BezPath, c: Point, r: f64) {
    rings.extend(kurbo::Circle::new(c, r).path_elements(0.05));
    let spot = c + Vec2::new(-0.3 * r, -0.35 * r);
    lights.extend(kurbo::Circle::new(spot, 0.36 * r).path_elements(0.05));
}

fn silver(pen: &mut Pen<'_>, rings: BezPath, lights: BezPath) {
    if rings.elements().is_empty() {
        return;
    }
    let line = Stroke::new(0.6, Shade::edge(Role::Electrolyte).alpha(0.9));
    let body = Shade::new(Role::GasSpace, Tone::Light).alpha(0.72);
    pen.out.shape(rings, body, Some(line));
    pen.out.shape(lights, Shade::new(Role::Plastic, Tone::Light), None);
}

/// Still bubbles. `count` in the cell; `size`; `less`: percent that this cell gives less than
/// its neighbours. Words: `clinging` under straps and separators, `negatives` on these only.
pub fn bubbles(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !place::from_the_side(pen) {
        return;
    }
    // Neighbours have the same seed; their bubbles must not be copies.
    let seed = mix(input.seed ^ u64::from(pen.options.cell_number));
    let count = input.param("count", 60.0) * (1.0 - input.param("less", 0.0) / 100.0);
    let size = input.param("size", 0.9);
    let least = 0.8 * pen.px;
    let liquid = -pen.layout.levels.liquid;
    let (mut rings, mut lights) = (BezPath::new(), BezPath::new());
    if input.says("clinging") {
        let places = undersides(input, pen);
        if places.is_empty() {
            return;
        }
        sown(count, seed, |_, grown, mut rng| {
            let f = &places[rng.below(places.len())];
            let r = (size * rng.range(0.45, 1.0) * grown).max(least * 0.8);
            let x = rng.range(f.bounds.x0, f.bounds.x1.max(f.bounds.x0 + 0.1));
            ball(&mut rings, &mut lights, Point::new(x, f.bounds.y1 + r), r);
        });
    } else {
        let columns = columns(input, pen);
        if columns.is_empty() {
            return;
        }
        let (x0, x1) = room(pen);
        sown(count, seed, |_, grown, mut rng| {
            let (x, wide, top, bottom) = columns[rng.below(columns.len())];
            // More of them are high up: they join as they rise.
            let rise = libm::sqrt(rng.unit());
            let y = bottom + (liquid + 1.0 - bottom) * rise;
            let above = if y < top { 5.0 } else { 0.0 };
            let sway = rng.range(-1.0, 1.0) * (wide + above);
            let r = size * (0.35 + 0.65 * libm::pow(rng.unit(), 2.0)) * (0.6 + 0.4 * rise) * grown;
            let r = r.max(least);
            let x = (x + sway).held(x0 + r, x1 - r);
            ball(&mut rings, &mut lights, Point::new(x, y.max(liquid + r)), r);
        });
    }
    pen.out.end();
    silver(pen, rings, lights);
}

/// What gas gathers under: straps, the moss shield, feet of separators.
fn undersides(input: &Input<'_>, pen: &Pen<'_>) -> Vec<Found> {
    let liquid = -pen.layout.levels.liquid;
    ["strap_positive", "strap_negative", "moss_shield", "separator"]
        .iter()
        .flat_map(|part| targets(input, pen, part))
        .filter(|f| f.bounds.y1 > liquid)
        .collect()
}

/// Where bubbles rise: x, half width, top and bottom of each plate.
fn columns(input: &Input<'_>, pen: &Pen<'_>) -> Vec<(f64, f64, f64, f64)> {
    let parts: &[&str] = if input.says("negatives") {
        &["negative_plate_inside", "negative_plate_end"]
    } else {
        &["positive_plate", "negative_plate_inside", "negative_plate_end"]
    };
    let face = pen.request.view == View::Face;
    parts
        .iter()
        .flat_map(|part| targets(input, pen, part))
        .map(|f| {
            let half = if face { 0.5 * f.bounds.width() } else { 0.5 * f.bounds.width() + 1.2 };
            (f.bounds.center().x, half, f.bounds.y0, f.bounds.y1)
        })
        .collect()
}

/// Foam and spray at the surface. `count` of bubbles in the row; `mist` drops above it.
pub fn foam(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !place::from_the_side(pen) {
        return;
    }
    let seed = mix(input.seed ^ u64::from(pen.options.cell_number));
    let size = input.param("size", 1.1).max(0.9 * pen.px);
    let y = -pen.layout.levels.liquid;
    let top = -pen.layout.levels.cover_under;
    let (x0, x1) = room(pen);
    let (mut rings, mut lights, mut mist) = (BezPath::new(), BezPath::new(), BezPath::new());
    sown(input.param("count", 0.0), seed, |_, grown, mut rng| {
        let r = size * rng.range(0.5, 1.1) * grown;
        let x = rng.range(x0 + r, x1 - r);
        let up = r * rng.range(-0.4, 1.4);
        ball(&mut rings, &mut lights, Point::new(x, y - up), r);
    });
    sown(input.param("mist", 0.0), seed ^ 1, |_, grown, mut rng| {
        let r = 0.4 * size * rng.range(0.5, 1.0) * grown;
        let high = rng.unit() * rng.unit();
        let p = Point::new(rng.range(x0 + 1.0, x1 - 1.0), y - 2.0 + (top - y + 4.0) * high);
        mist.extend(kurbo::Circle::new(p, r).path_elements(0.05));
    });
    pen.out.end();
    silver(pen, rings, lights);
    if !mist.elements().is_empty() {
        pen.out.shape(mist, Shade::edge(Role::Electrolyte).alpha(0.55), None);
    }
}

/// Fine gas that turns the liquid milky from the top down. `alpha`.
pub fn milk(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.2) as f32;
    if alpha <= 0.0 || !place::from_the_side(pen) {
        return;
    }
    let (x0, x1) = room(pen);
    let l = pen.layout.levels;
    let (top, bottom) = (-l.liquid, -l.sediment);
    let shade = |a: f32| Shade::new(Role::Plastic, Tone::Light).alpha(a);
    let fill = Paint::Linear {
        from: Point::new(0.0, top),
        to: Point::new(0.0, bottom),
        stops: vec![(0.0, shade(alpha)), (0.35, shade(0.75 * alpha)), (1.0, shade(0.2 * alpha))],
    };
    pen.out.end();
    pen.out.shape(brush::rect(x0, top, x1, bottom), fill, None);
}
