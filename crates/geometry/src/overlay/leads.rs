//! Damage on leads: notched lugs, voids and cracks at burns.

use super::{
    Input,
    place::{Found, chosen, meant, shuffled, sown, targets},
    plate::{behind, role_of},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// Necks and gaps of lugs. `parts` lugs; `neck` in percent of the width on each side; `crack`
/// in percent of the width; `gap` in millimetres; `shade`: how far its plate is paler.
pub fn notch(input: &Input<'_>, pen: &mut Pen<'_>) {
    let neck = input.param("neck", 15.0) / 100.0;
    let crack = input.param("crack", 0.0) / 100.0;
    let gap = input.param("gap", 0.0);
    let shade = input.param("shade", 0.0) as f32;
    if pen.request.view == View::Face {
        return;
    }
    // Only the front line of lugs is seen whole; it is drawn last.
    let first = targets(input, pen, input.on()).iter().map(|f| f.index).min().unwrap_or(0);
    let last = targets(input, pen, input.on()).iter().map(|f| f.index).max().unwrap_or(0);
    let front = |f: &Found| f.index > first + (last - first) / 2;
    let wanted = input.param("parts", 1.0).ceil() as usize;
    let mut all = shuffled(input, meant(input, pen));
    all.retain(front);
    all.truncate(wanted);
    let role = role_of(input.on());
    for f in all {
        let seed = f.seed(input.seed);
        let b = f.bounds;
        let y = b.y0 + b.height() * element(seed, 1).range(0.32, 0.5);
        let wide = b.width() - 1.8;
        let (x0, x1) = (b.center().x - wide / 2.0, b.center().x + wide / 2.0);
        pen.out.resume(Some(f.index));
        if shade > 0.0 {
            pale_plate(pen, input, &f, shade);
            pen.out.resume(Some(f.index));
        }
        let mut bites = BezPath::new();
        for (x, dir) in [(x0 - 0.5, 1.0), (x1 + 0.5, -1.0)] {
            let deep = 0.5 + neck * wide;
            bites.move_to((x, y - 2.6));
            bites.quad_to((x + dir * 2.0 * deep, y), (x, y + 2.6));
            bites.close_path();
        }
        pen.out.shape(bites, behind(), Some(Stroke::new(0.7, Shade::edge(role))));
        if crack > 0.0 {
            let to = x0 + crack * wide;
            let points =
                brush::jagged(Point::new(x0 - 0.2, y), Point::new(to + 0.2, y + 0.4), 6, 0.5, seed);
            if gap < 0.4 {
                let width = if gap > 0.0 { 1.8 } else { 1.0 };
                let line = Stroke::new(width, Shade::new(Role::Creep, Tone::Edge));
                pen.out.line(brush::polyline(&points), line);
            } else {
                let mut open = points.clone();
                open.extend(points.iter().rev().map(|p| *p + Vec2::new(0.0, gap)));
                let line = Stroke::new(1.0, Shade::new(Role::Creep, Tone::Edge));
                pen.out.shape(brush::polygon(&open), behind(), Some(line));
            }
        }
    }
}

/// The plate under a lug that no longer takes its share.
fn pale_plate(pen: &mut Pen<'_>, input: &Input<'_>, lug: &Found, shade: f32) {
    for part in ["positive_plate", "negative_plate_inside", "negative_plate_end"] {
        for p in targets(input, pen, part) {
            if (p.bounds.center().x - lug.bounds.center().x).abs() < 1.0 {
                pen.out.resume(Some(p.index));
                let tan = Shade::base(Role::LightPositive).alpha(shade);
                pen.out.shape(p.outline.clone(), tan, None);
            }
        }
    }
}

/// Pinholes, seams and cracks at burns. `parts` burns; `count` pinholes at each; `seam` and
/// `crack` in percent of the joint; `gap` in millimetres.
pub fn voids(input: &Input<'_>, pen: &mut Pen<'_>) {
    let gap = input.param("gap", 0.0);
    let role = role_of(input.on());
    for f in chosen(input, pen, 1.0) {
        let seed = f.seed(input.seed);
        let b = f.bounds.inflate(0.6, 0.0);
        let y = b.center().y;
        pen.out.resume(Some(f.index));
        let seam = input.param("seam", 0.0) / 100.0;
        if seam > 0.0 {
            let points = [Point::new(b.x0, y + 0.4), Point::new(b.x0 + seam * b.width(), y + 0.5)];
            let line = Stroke::new(1.6, Shade::new(role, Tone::Dark));
            pen.out.line(brush::polyline(&points), line);
        }
        let crack = input.param("crack", 0.0) / 100.0;
        if crack > 0.0 {
            let to = b.x0 + crack * b.width();
            let points = brush::jagged(Point::new(b.x0, y), Point::new(to, y + 0.2), 7, 0.5, seed);
            let mut open = points.clone();
            let wide = gap.max(0.25);
            open.extend(points.iter().rev().map(|p| *p + Vec2::new(0.0, wide)));
            let dark = Shade::new(Role::Creep, Tone::Edge);
            let fill = if gap > 1.0 { behind() } else { dark };
            pen.out.shape(brush::polygon(&open), fill, Some(Stroke::new(0.9, dark)));
        }
        let mut holes = BezPath::new();
        sown(input.param("count", 2.0), seed ^ 7, |_, grown, mut rng| {
            let p = Point::new(rng.range(b.x0, b.x1), y + rng.range(-1.6, 0.6));
            let r = (rng.range(0.25, 0.55) * grown).max(0.5 * pen.px);
            let hole = brush::ellipse(p, 1.3 * r, r);
            holes.extend(hole.elements().iter().copied());
        });
        pen.out.shape(holes, Shade::new(Role::Creep, Tone::Edge), None);
    }
}
