//! Damage on plate edges: bites, scales, breaks, slits of tubes.

use super::{
    Input,
    place::{chosen, meant, sown, standing},
};
use crate::{
    draw::{Pen, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{Affine, BezPath, Point, Rect, Vec2};

/// What shows where a piece is gone: the liquid behind.
pub fn behind() -> Shade {
    Shade::base(Role::Electrolyte)
}

/// The material of a part's edge.
pub fn role_of(part: &str) -> Role {
    match part {
        "positive_plate" | "plante_lamella" => Role::PositiveBorder,
        "plate_lug" | "strap_positive" | "lead_burn" => Role::LeadPositive,
        "separator" => Role::Separator,
        _ => Role::NegativeBorder,
    }
}

/// Pits along both edges of a plate. `count` to a plate; `size` along it; `depth` in percent of
/// its width; `missing`: percent of them that go right through to what is behind; `scales`:
/// rough dark skin that stands out; `cracks` across the edge.
pub fn bites(input: &Input<'_>, pen: &mut Pen<'_>) {
    let count = input.param("count", 10.0);
    let size = input.param("size", 3.0);
    let depth = input.param("depth", 30.0) / 100.0;
    let gone = input.param("missing", 0.0) / 100.0;
    let role = input.paint(role_of(input.on()));
    for f in meant(input, pen) {
        let seed = f.seed(input.seed);
        let (b, back) = standing(f.bounds);
        let (mut pits, mut holes) = (BezPath::new(), BezPath::new());
        sown(count, seed, |i, grown, mut rng| {
            let left = rng.unit() < 0.5;
            let y = b.y0 + b.height() * (0.03 + 0.94 * rng.unit());
            let long = size * rng.range(0.4, 1.25) * grown;
            let deep = depth * b.width() * rng.range(0.45, 1.0) * grown;
            let (x, dir) = if left { (b.x0, 1.0) } else { (b.x1, -1.0) };
            let through = element(seed ^ 0xB17E, i).unit() < gone;
            let path = if through { &mut holes } else { &mut pits };
            let over = if through { 0.35 } else { -0.1 };
            bite(path, Point::new(x - dir * over, y), dir, long, deep + over, &mut rng);
        });
        pen.out.resume(Some(f.index));
        pen.out.shape(back * pits, Shade::edge(role), None);
        let line = Stroke::new(0.7, Shade::edge(role));
        pen.out.shape(back * holes, behind(), Some(line));
        scales(input, pen, b, back, seed);
    }
}

/// A ragged piece out of an edge.
fn bite(
    out: &mut BezPath,
    at: Point,
    dir: f64,
    long: f64,
    deep: f64,
    rng: &mut jarlight_model::rng::Rng,
) {
    let n = 5;
    out.move_to((at.x, at.y - long / 2.0));
    for i in 1..n {
        let t = f64::from(i) / f64::from(n);
        let round = libm::sin(std::f64::consts::PI * t);
        let x = at.x + dir * deep * round * rng.range(0.7, 1.0);
        out.line_to((x, at.y + long * (t - 0.5) + rng.range(-0.12, 0.12) * long));
    }
    out.line_to((at.x, at.y + long / 2.0));
    out.close_path();
}

/// Rough skin that stands out of the edge, and cracks across it.
fn scales(input: &Input<'_>, pen: &mut Pen<'_>, b: Rect, back: Affine, seed: u64) {
    let many = input.param("scales", 0.0);
    let mut skin = BezPath::new();
    sown(many, seed ^ 0x5CA1E, |_, grown, mut rng| {
        let (x, dir) = if rng.unit() < 0.5 { (b.x0, -1.0) } else { (b.x1, 1.0) };
        let y = b.y0 + b.height() * (0.01 + 0.98 * rng.unit());
        let long = rng.range(2.0, 6.0) * grown;
        let out = rng.range(0.25, 0.7) * grown;
        // Inside the outline for the most part: a scale lifts, it does not hang in the liquid.
        bite(&mut skin, Point::new(x - dir * 1.1, y), dir, long, 1.1 + out, &mut rng);
    });
    {
        let line = Stroke::new(0.4, Shade::new(Role::Creep, Tone::Edge));
        pen.out.shape(back * skin, Shade::new(Role::Creep, Tone::Light), Some(line));
    }
    let mut lines = BezPath::new();
    sown(input.param("cracks", 0.0), seed ^ 0xC7AC, |_, grown, mut rng| {
        let y = b.y0 + b.height() * (0.02 + 0.96 * rng.unit());
        let w = b.width();
        let from = if rng.unit() < 0.5 { b.x0 } else { b.x1 };
        let to = from + (b.center().x - from).signum() * w * rng.range(0.4, 1.0) * grown;
        let to = Point::new(to, y + rng.range(-2.0, 2.0));
        for (i, p) in
            brush::jagged(Point::new(from, y), to, 5, 0.6, rng.next_u64()).into_iter().enumerate()
        {
            if i == 0 { lines.move_to(p) } else { lines.line_to(p) }
        }
    });
    if !lines.elements().is_empty() {
        pen.out.line(back * lines, Stroke::new(1.1, Shade::new(Role::Creep, Tone::Edge)));
    }
}

/// Breaks right through an edge. `parts` plates; `gap` in millimetres; `offset` of the lower
/// end; `pale`: how much lighter the cut-off part is.
pub fn break_through(input: &Input<'_>, pen: &mut Pen<'_>) {
    let gap = input.param("gap", 1.0);
    let offset = input.param("offset", 0.0);
    let pale = input.param("pale", 0.0) as f32;
    let role = role_of(input.on());
    for f in chosen(input, pen, 1.0) {
        let seed = f.seed(input.seed);
        let mut rng = element(seed, 1);
        let (b, back) = standing(f.bounds);
        let upright = back == Affine::IDENTITY;
        let y = b.y0 + b.height() * rng.range(0.3, 0.7);
        let side = if rng.unit() < 0.5 { -1.0 } else { 1.0 };
        let off = side * offset;
        pen.out.resume(Some(f.index));
        if pale > 0.0 {
            let part = brush::rect(b.x0 + 0.2, y, b.x1 - 0.2, b.y1 - 0.3);
            pen.out.shape(back * part, Shade::base(Role::LightPositive).alpha(pale), None);
        }
        if offset > 0.0 && upright {
            // The lower end stands off by its offset and comes back to its place at the foot.
            let mut end = BezPath::new();
            end.move_to((b.x0, b.y1));
            end.line_to((b.x0 + off, y));
            end.line_to((b.x1 + off, y));
            end.line_to((b.x1, b.y1));
            end.close_path();
            let fill = brush::across_mixed(
                role,
                b.x0 + off,
                b.x1 + off,
                (pale > 0.0).then_some((Role::LightPositive, pale)),
            );
            pen.out.shape(end, fill, Some(Stroke::new(0.9, Shade::edge(role))));
        }
        let reach = 0.4 + offset;
        let (l, r) =
            (Point::new(b.x0 - reach, y), Point::new(b.x1 + reach, y + rng.range(-1.5, 1.5)));
        let mut upper = brush::jagged(l, r, 6, 0.8, seed);
        let lower: Vec<Point> = upper.iter().map(|p| *p + Vec2::new(0.0, gap.max(0.25))).collect();
        if gap < 0.5 {
            let line = Stroke::new(1.2, Shade::new(Role::Creep, Tone::Edge));
            let inner: Vec<Point> =
                upper.iter().filter(|p| p.x >= b.x0 && p.x <= b.x1).copied().collect();
            pen.out.line(back * brush::polyline(&inner), line);
            continue;
        }
        upper.extend(lower.into_iter().rev());
        let line = Stroke::new(0.8, Shade::edge(role));
        pen.out.shape(back * brush::polygon(&upper), behind(), Some(line));
    }
}

/// Slits of tubes with bulging material. `parts` plates; `count` slits in each; `swell`.
pub fn slits(input: &Input<'_>, pen: &mut Pen<'_>) {
    let swell = input.param("swell", 10.0) / 100.0;
    for f in chosen(input, pen, 2.0) {
        let b = f.bounds;
        let seed = f.seed(input.seed);
        pen.out.resume(Some(f.index));
        let mut rng = element(seed, 9);
        let y = b.y0 + b.height() * rng.range(0.35, 0.6);
        let (half, long) = (0.5 * b.width() * (1.0 + swell), 0.09 * b.height());
        let mut bulge = BezPath::new();
        bulge.move_to((b.x0, y - long));
        bulge.quad_to((b.center().x - 1.15 * half, y), (b.x0, y + long));
        bulge.line_to((b.x1, y + long));
        bulge.quad_to((b.center().x + 1.15 * half, y), (b.x1, y - long));
        bulge.close_path();
        let fill = brush::across(Role::PositiveBorder, b.x0, b.x1);
        let line = Stroke::new(0.7, Shade::edge(Role::PositiveBorder));
        pen.out.shape(bulge, fill, Some(line));
        let (mut open, mut fan) = (BezPath::new(), BezPath::new());
        sown(input.param("count", 1.0), seed, |_, grown, mut rng| {
            let c = Point::new(
                b.center().x + rng.range(-0.25, 0.25) * b.width(),
                b.y0 + b.height() * rng.range(0.25, 0.8),
            );
            let (w, h) = (0.16 * b.width() * grown, rng.range(5.0, 11.0) * grown);
            open.move_to((c.x, c.y - h));
            open.quad_to((c.x + 2.0 * w, c.y), (c.x, c.y + h));
            open.quad_to((c.x - 2.0 * w, c.y), (c.x, c.y - h));
            open.close_path();
            // What runs out lies as a fan below the slit.
            fan.move_to((c.x, c.y + 0.4 * h));
            fan.quad_to(
                (c.x - 0.2 * b.width(), c.y + 1.6 * h),
                (c.x - 0.3 * b.width(), c.y + 2.4 * h),
            );
            fan.line_to((c.x + 0.3 * b.width(), c.y + 2.4 * h));
            fan.quad_to((c.x + 0.2 * b.width(), c.y + 1.6 * h), (c.x, c.y + 0.4 * h));
            fan.close_path();
        });
        pen.out.shape(fan, Shade::new(Role::Sediment, Tone::Light).alpha(0.85), None);
        let line = Stroke::new(0.6, Shade::edge(Role::Creep));
        pen.out.shape(open, Shade::base(Role::Creep), Some(line));
    }
}
