//! Bolted joints: where they are in each view, salts that start there, and aged grease.

use super::{
    Input,
    place::{Found, Held as _, dot, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::Rng;
use kurbo::{BezPath, Point, Shape as _, Vec2};

/// A bar on a post.
#[derive(Clone, Debug)]
pub struct Joint {
    /// The bar.
    pub bar: Found,
    /// Middle of the bolt on the bar.
    pub center: Point,
    /// Middle of the post along x.
    pub post: f64,
    /// Radius of the post.
    pub radius: f64,
    /// Whether the bar is seen from above, on its narrow side.
    pub above: bool,
}

/// The joint that a recipe is about: on the negative post unless it says `positive`, because
/// there bar, washer and bolt are all seen from the aisle.
pub fn joint(input: &Input<'_>, pen: &Pen<'_>) -> Option<Joint> {
    let part = if input.says("positive") { "post_positive" } else { "post_negative" };
    let post = targets(input, pen, part).into_iter().next()?;
    let middle = post.bounds.center();
    let above = pen.request.view == View::Plan;
    let radius = pen.layout.design.posts.diameter / 2.0;
    // Bars of a row have their spot between two cells: the focus does not apply to them.
    let bar = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .filter(|(_, t)| &*t.part == "intercell_connector")
        .filter_map(|(i, t)| {
            let outline = pen.outline(i as u32)?;
            let bounds = outline.bounding_box();
            let over = bounds.x0 - 3.0 <= middle.x && bounds.x1 + 3.0 >= middle.x;
            let near = !above || (bounds.center().y - middle.y).abs() < radius + 12.0;
            let found = Found { index: i as u32, number: t.number, spot: t.spot, outline, bounds };
            (over && near).then_some(found)
        })
        // The one in front: last drawn from the aisle, lowest on the page from above.
        .max_by(|a, b| match above {
            true => a.bounds.y0.total_cmp(&b.bounds.y0),
            false => a.index.cmp(&b.index),
        })?;
    let y = bar.bounds.center().y;
    let center = Point::new(middle.x, if above { bar.bounds.y1 } else { y });
    Some(Joint { bar, center, post: middle.x, radius, above })
}

/// Places where salt starts: washer, under the bar, bar against post. `spread` along the bar.
fn start(j: &Joint, spread: f64, rng: &mut Rng) -> Point {
    let kind = rng.unit();
    let b = j.bar.bounds;
    let along = |rng: &mut Rng| (j.post + rng.range(-1.0, 1.0) * spread.max(3.0)).held(b.x0, b.x1);
    if j.above {
        // The line between bar and post, and round the bolt head.
        return match kind {
            k if k < 0.55 => Point::new(along(rng), b.y0 + rng.range(-1.0, 0.6)),
            k if k < 0.8 => Point::new(j.post + rng.range(-5.0, 5.0), b.y1 + rng.range(-0.4, 1.4)),
            _ => Point::new(along(rng), b.y1 + rng.range(-0.8, 0.4)),
        };
    }
    let on_post =
        |rng: &mut Rng| j.post + rng.range(-1.0, 1.0) * (j.radius - 0.5).min(spread + 4.0);
    match kind {
        k if k < 0.34 => {
            let a = rng.range(0.0, std::f64::consts::TAU);
            let r = 7.0 + rng.range(-0.6, 1.0);
            j.center + Vec2::new(r * libm::cos(a), r * libm::sin(a))
        }
        k if k < 0.74 => Point::new(along(rng), b.y1 + rng.range(-1.2, 0.7)),
        k if k < 0.9 => Point::new(on_post(rng), b.y0 + rng.range(-0.5, 0.9)),
        _ => Point::new(on_post(rng), b.y1 + rng.range(-0.6, 1.4)),
    }
}

/// Powder or crust that starts at the joint; none hangs in the air and none has faces. `count`
/// of patches; `size`; `reach` along the bar in millimetres; `side` patches on the bar itself.
pub fn crust(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(j) = joint(input, pen) else { return };
    let role = input.paint(Role::WhiteSalt);
    let size = input.param("size", 1.2);
    // The first patches sit at the joint itself, later ones farther along the bar.
    let reach = input.param("reach", 24.0);
    let spread = |i: u64, of: f64| 4.0 + (reach - 4.0) * (i as f64 / of).min(1.0);
    let (mut body, mut high, mut dust) = (BezPath::new(), BezPath::new(), BezPath::new());
    let mut lump = |p: Point, r: f64, seed: u64| {
        dot(&mut dust, p, 0.75 * r, 0.22, 4, &mut Rng::new(seed ^ 11));
        let wide = brush::blob(p, 1.25 * r, r, 0.16, seed);
        body.extend(wide.elements().iter().copied());
        let top =
            brush::blob(p + Vec2::new(-0.15 * r, -0.25 * r), 0.75 * r, 0.5 * r, 0.2, seed ^ 3);
        high.extend(top.elements().iter().copied());
    };
    sown(input.param("count", 10.0), input.seed, |i, grown, mut rng| {
        let p = start(&j, spread(i, 130.0), &mut rng);
        let r = size * rng.range(0.45, 1.25) * grown;
        lump(p, r, rng.next_u64());
    });
    let b = j.bar.bounds;
    sown(input.param("side", 0.0), input.seed ^ 0x51DE, |i, grown, mut rng| {
        // Dense at the joint, thin away from it.
        let off = rng.normal() * 0.6 * spread(i, 34.0);
        let r = 1.4 * size * rng.range(0.5, 1.2) * grown;
        let x = (j.post + off).held(b.x0 + r, b.x1 - r);
        let y = rng.range(b.y0 + 0.8 * r, (b.y1 - 0.8 * r).max(b.y0 + 0.9 * r));
        lump(Point::new(x, y), r.min(0.45 * b.height()), rng.next_u64());
    });
    pen.out.resume(Some(j.bar.index));
    let line = Stroke::new(0.6, Shade::edge(role).alpha(0.6));
    pen.out.shape(body, Shade::new(role, Tone::Base), Some(line));
    pen.out.shape(high, Shade::new(role, Tone::Light), None);
    pen.out.shape(dust, Shade::new(role, Tone::Dark).alpha(0.8), None);
}

/// A soft translucent amber film round washer and bar, smooth and without crust. `width` of the
/// ring; `sag` of the beads under the bar.
pub fn grease(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(j) = joint(input, pen) else { return };
    let role = input.paint(Role::Tint);
    let width = input.param("width", 2.0);
    let sag = input.param("sag", 2.5);
    let b = j.bar.bounds;
    let mut film = BezPath::new();
    if j.above {
        let c = Point::new(j.post, b.y1);
        film.extend(kurbo::Ellipse::new(c, (j.radius * 0.8, width), 0.0).path_elements(0.05));
    } else {
        let ring = brush::circle(j.center, 7.0 + width);
        film.extend(ring.elements().iter().copied());
        let hole = brush::circle(j.center, 6.6).reverse_subpaths();
        film.extend(hole.elements().iter().copied());
    }
    // What was pressed out of the joint hangs as a smooth roll.
    let reach = j.radius + 1.0;
    let n = 18;
    let points: Vec<Point> = (0..=n)
        .map(|i| {
            let t = f64::from(i) / f64::from(n);
            let x = j.post - reach + 2.0 * reach * t;
            let ends = libm::sqrt(libm::sin(std::f64::consts::PI * t).max(0.0));
            let roll = 0.7 + 0.3 * libm::sin(9.0 * t + (input.seed % 7) as f64);
            Point::new(x.held(b.x0, b.x1), b.y1 + sag * ends * roll)
        })
        .collect();
    let mut roll = brush::smooth(&points);
    roll.line_to((points[points.len() - 1].x, b.y1 - 0.6));
    roll.line_to((points[0].x, b.y1 - 0.6));
    roll.close_path();
    pen.out.resume(Some(j.bar.index));
    let line = Stroke::new(0.7, Shade::new(role, Tone::Dark).alpha(0.8));
    pen.out.shape(film, Shade::new(role, Tone::Base).alpha(0.55), Some(line.clone()));
    pen.out.shape(roll, Shade::new(role, Tone::Base).alpha(0.7), Some(line));
    // Soft matter shines in one streak.
    let gloss: Vec<Point> = points[2..points.len() - 6]
        .iter()
        .map(|p| Point::new(p.x, b.y1 + 0.35 * (p.y - b.y1)))
        .collect();
    let shine = Shade::new(Role::Plastic, Tone::Light).alpha(0.75);
    pen.out.line(brush::smooth(&gloss), Stroke::new(0.9, shine).rounded());
}
