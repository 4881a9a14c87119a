//! Where marks go: the parts that a recipe means, and points on them that stay when more come.

use super::Input;
use crate::draw::{Pen, View, brush};
use jarlight_model::rng::{Rng, element};
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Vec2};

/// Keeping a number between two others.
pub trait Held {
    /// Between the bounds; in the middle where a mark is wider than its room and they cross.
    fn held(self, low: f64, high: f64) -> f64;
}

impl Held for f64 {
    fn held(self, low: f64, high: f64) -> f64 {
        if low <= high { self.max(low).min(high) } else { Self::midpoint(low, high) }
    }
}

/// A part in the picture.
#[derive(Clone, Debug)]
pub struct Found {
    /// Its target.
    pub index: u32,
    /// Its number.
    pub number: u32,
    /// Where it is pointed at.
    pub spot: Point,
    /// Its first outline.
    pub outline: BezPath,
    /// What the outline fills.
    pub bounds: Rect,
}

impl Found {
    /// The seed of what is drawn on this one.
    pub fn seed(&self, seed: u64) -> u64 {
        element(seed, 0x5EED + u64::from(self.number)).next_u64()
    }
}

/// Parts that the face view shows; the others stand behind the end negative.
const ON_THE_FACE: [&str; 8] = [
    "negative_plate_inside",
    "positive_plate",
    "separator",
    "retainer_mat",
    "tube_gauntlet",
    "plante_lamella",
    "lead_burn",
    "mat_wrapper",
];

/// The parts of this kind in the picture, from the left, as far as the condition's place says.
pub fn targets(input: &Input<'_>, pen: &Pen<'_>, part: &str) -> Vec<Found> {
    if pen.request.view == View::Face && ON_THE_FACE.contains(&part) {
        return Vec::new();
    }
    let flat = pen.request.design.round.is_some();
    let in_flat_stack = |name: &str, number: u32| match part {
        // A flat stack is drawn from below: negatives are odd.
        "positive_plate" => name == "round_plate" && number.is_multiple_of(2),
        "negative_plate_end" | "negative_plate_inside" => name == "round_plate" && number % 2 == 1,
        _ => name == part,
    };
    let mut found: Vec<Found> = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .filter(|(i, _)| pen.pack.is_none_or(|first| *i as u32 >= first))
        .filter(|(_, t)| match flat {
            true => in_flat_stack(&t.part, t.number),
            false => &*t.part == part,
        })
        .filter(|(_, t)| input.covers(&t.part, t.number))
        .filter(|(_, t)| pen.focus.is_none_or(|f| f.contains(t.spot)))
        .filter_map(|(i, t)| {
            let outline = pen.outline(i as u32)?;
            let bounds = outline.bounding_box();
            Some(Found { index: i as u32, number: t.number, spot: t.spot, outline, bounds })
        })
        .collect();
    found.sort_by(|a, b| a.bounds.x0.total_cmp(&b.bounds.x0));
    found
}

/// Swaps along and across: a plate that lies flat is marked like one that stands.
pub const SWAP: Affine = Affine::new([0.0, 1.0, 1.0, 0.0, 0.0, 0.0]);

/// The bounds of a plate as if it stood, and what brings marks on it to where it lies.
pub fn standing(b: Rect) -> (Rect, Affine) {
    if b.width() > b.height() {
        (Rect::new(b.y0, b.x0, b.y1, b.x1), SWAP)
    } else {
        (b, Affine::IDENTITY)
    }
}

/// The parts that the step is drawn on.
pub fn meant(input: &Input<'_>, pen: &Pen<'_>) -> Vec<Found> {
    targets(input, pen, input.step.on.value.as_str())
}

/// As many of the meant parts as `parts` says, chosen by seed; more never replace the first.
pub fn chosen(input: &Input<'_>, pen: &Pen<'_>, default: f64) -> Vec<Found> {
    let mut all = shuffled(input, meant(input, pen));
    all.truncate(input.param("parts", default).ceil().max(0.0) as usize);
    all
}

/// The same parts in the order in which the seed takes them.
pub fn shuffled(input: &Input<'_>, mut all: Vec<Found>) -> Vec<Found> {
    let rank = |f: &Found| element(input.seed ^ 0xC0DE, u64::from(f.number)).unit();
    all.sort_by(|a, b| rank(a).total_cmp(&rank(b)));
    all
}

/// Calls with each of the first marks of a fixed sequence, and how far it has grown; the last
/// one grows in, so that nothing jumps.
pub fn sown(count: f64, seed: u64, mut mark: impl FnMut(u64, f64, Rng)) {
    if count <= 0.0 {
        return;
    }
    let whole = count.min(4000.0) as u64;
    for i in 0..=whole {
        let grown = if i == whole { count - whole as f64 } else { 1.0 };
        if grown > 0.05 {
            mark(i, grown, element(seed, i));
        }
    }
}

/// How far a mark has grown that is born at a threshold.
pub fn grown(birth: f64, amount: f64) -> f64 {
    let t = ((amount - birth) / 0.15).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// A point inside an outline, more often low or high where `lean` is over or under 0.
pub fn inside(outline: &BezPath, bounds: Rect, lean: f64, rng: &mut Rng) -> Option<Point> {
    for _ in 0..8 {
        let u = rng.unit();
        let v = rng.unit();
        let v = if lean > 0.0 { 1.0 - libm::pow(v, 1.0 + lean) } else { libm::pow(v, 1.0 - lean) };
        let p = Point::new(bounds.x0 + u * bounds.width(), bounds.y0 + v * bounds.height());
        if outline.winding(p) != 0 {
            return Some(p);
        }
    }
    None
}

/// The inside of the jar as the view shows it, from left to right.
pub fn room(pen: &Pen<'_>) -> (f64, f64) {
    match pen.request.view {
        View::Face => (0.0, pen.layout.inner_z),
        View::Plan => (pen.layout.design.jar.wall, pen.layout.outer_x - pen.layout.design.jar.wall),
        _ => (0.0, pen.layout.inside_x()),
    }
}

/// Fine dots in a lump, cheap where there are many lumps: the lump is round enough.
pub fn dot(out: &mut BezPath, center: Point, reach: f64, size: f64, count: u32, rng: &mut Rng) {
    for _ in 0..count {
        let a = rng.range(0.0, std::f64::consts::TAU);
        let d = reach * libm::sqrt(rng.unit());
        let p = center + Vec2::new(d * libm::cos(a), d * libm::sin(a));
        brush::diamond(out, p, size * rng.range(0.5, 1.2));
    }
}

/// True where the cell is seen from the side.
pub fn from_the_side(pen: &Pen<'_>) -> bool {
    matches!(pen.request.view, View::Edge | View::Face)
}

/// The height of the sediment bed at the floor, in millimetres above it.
pub fn bed(pen: &Pen<'_>) -> f64 {
    let total: f64 = pen.effects.mud.iter().map(|m| m.height).sum();
    (0.55 * total).min(0.9 * pen.layout.levels.sediment)
}
