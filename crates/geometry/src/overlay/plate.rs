//! Damage on plates and leads: bites out of an edge, breaks, notched lugs, voids, blisters.

use super::{
    Input,
    film::cloud,
    place::{Found, chosen, inside, meant, shuffled, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// What shows where a piece is gone: the liquid behind.
fn behind() -> Shade {
    Shade::base(Role::Electrolyte)
}

fn role_of(part: &str) -> Role {
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
        let (mut pits, mut holes) = (BezPath::new(), BezPath::new());
        sown(count, seed, |i, grown, mut rng| {
            let left = rng.unit() < 0.5;
            let y = f.bounds.y0 + f.bounds.height() * (0.03 + 0.94 * rng.unit());
            let long = size * rng.range(0.4, 1.25) * grown;
            let deep = depth * f.bounds.width() * rng.range(0.45, 1.0) * grown;
            let (x, dir) = if left { (f.bounds.x0, 1.0) } else { (f.bounds.x1, -1.0) };
            let through = element(seed ^ 0xB17E, i).unit() < gone;
            let path = if through { &mut holes } else { &mut pits };
            let over = if through { 0.35 } else { -0.1 };
            bite(path, Point::new(x - dir * over, y), dir, long, deep + over, &mut rng);
        });
        pen.out.resume(Some(f.index));
        pen.out.shape(pits, Shade::edge(role), None);
        if !holes.elements().is_empty() {
            let line = Stroke::new(0.7, Shade::edge(role));
            pen.out.shape(holes, behind(), Some(line));
        }
        scales(input, pen, &f, seed);
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
fn scales(input: &Input<'_>, pen: &mut Pen<'_>, f: &Found, seed: u64) {
    let many = input.param("scales", 0.0);
    let mut skin = BezPath::new();
    sown(many, seed ^ 0x5CA1E, |_, grown, mut rng| {
        let (x, dir) =
            if rng.unit() < 0.5 { (f.bounds.x0, -1.0) } else { (f.bounds.x1, 1.0) };
        let y = f.bounds.y0 + f.bounds.height() * (0.01 + 0.98 * rng.unit());
        let long = rng.range(2.0, 6.0) * grown;
        let out = rng.range(0.25, 0.7) * grown;
        // Inside the outline for the most part: a scale lifts, it does not hang in the liquid.
        bite(&mut skin, Point::new(x - dir * 1.1, y), dir, long, 1.1 + out, &mut rng);
    });
    if !skin.elements().is_empty() {
        let line = Stroke::new(0.4, Shade::new(Role::Creep, Tone::Edge));
        pen.out.shape(skin, Shade::new(Role::Creep, Tone::Light), Some(line));
    }
    let mut lines = BezPath::new();
    sown(input.param("cracks", 0.0), seed ^ 0xC7AC, |_, grown, mut rng| {
        let y = f.bounds.y0 + f.bounds.height() * (0.02 + 0.96 * rng.unit());
        let w = f.bounds.width();
        let from = if rng.unit() < 0.5 { f.bounds.x0 } else { f.bounds.x1 };
        let to = from + (f.bounds.center().x - from).signum() * w * rng.range(0.4, 1.0) * grown;
        let to = Point::new(to, y + rng.range(-2.0, 2.0));
        for (i, p) in brush::jagged(Point::new(from, y), to, 5, 0.6, rng.next_u64())
            .into_iter()
            .enumerate()
        {
            if i == 0 { lines.move_to(p) } else { lines.line_to(p) }
        }
    });
    if !lines.elements().is_empty() {
        pen.out.line(lines, Stroke::new(1.1, Shade::new(Role::Creep, Tone::Edge)));
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
        let b = f.bounds;
        let y = b.y0 + b.height() * rng.range(0.3, 0.7);
        let side = if rng.unit() < 0.5 { -1.0 } else { 1.0 };
        let off = side * offset;
        pen.out.resume(Some(f.index));
        if pale > 0.0 {
            let part = brush::rect(b.x0 + 0.2, y, b.x1 - 0.2, b.y1 - 0.3);
            pen.out.shape(part, Shade::base(Role::LightPositive).alpha(pale), None);
        }
        if offset > 0.0 {
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
        let (l, r) = (Point::new(b.x0 - reach, y), Point::new(b.x1 + reach, y + rng.range(-1.5, 1.5)));
        let mut upper = brush::jagged(l, r, 6, 0.8, seed);
        let lower: Vec<Point> =
            upper.iter().map(|p| *p + Vec2::new(0.0, gap.max(0.25))).collect();
        if gap < 0.5 {
            let line = Stroke::new(1.2, Shade::new(Role::Creep, Tone::Edge));
            let inner: Vec<Point> = upper.iter().filter(|p| p.x >= b.x0 && p.x <= b.x1).copied().collect();
            pen.out.line(brush::polyline(&inner), line);
            continue;
        }
        upper.extend(lower.into_iter().rev());
        let line = Stroke::new(0.8, Shade::edge(role));
        pen.out.shape(brush::polygon(&upper), behind(), Some(line));
    }
}

/// Necks and gaps of lugs. `parts` lugs; `neck` in percent of the width on each side; `crack`
/// in percent of the width; `gap` in millimetres; `shade`: how far its plate is paler.
pub fn notch(input: &Input<'_>, pen: &mut Pen<'_>) {
    let neck = input.param("neck", 15.0) / 100.0;
    let crack = input.param("crack", 0.0) / 100.0;
    let gap = input.param("gap", 0.0);
    let shade = input.param("shade", 0.0) as f32;
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
            fan.quad_to((c.x - 0.2 * b.width(), c.y + 1.6 * h), (c.x - 0.3 * b.width(), c.y + 2.4 * h));
            fan.line_to((c.x + 0.3 * b.width(), c.y + 2.4 * h));
            fan.quad_to((c.x + 0.2 * b.width(), c.y + 1.6 * h), (c.x, c.y + 0.4 * h));
            fan.close_path();
        });
        pen.out.shape(fan, Shade::new(Role::Sediment, Tone::Light).alpha(0.85), None);
        let line = Stroke::new(0.6, Shade::edge(Role::Creep));
        pen.out.shape(open, Shade::base(Role::Creep), Some(line));
    }
}

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
            let c = Point::new(c.x.clamp(area.x0, area.x1), c.y.clamp(area.y0 + 14.0, area.y1));
            // No outline and no gloss: a shadow to the lower right and a paler top left.
            let shadow = Shade::new(role, Tone::Edge).alpha(0.55);
            cloud(pen, plate, c + Vec2::new(0.45 * r, 0.5 * r), 1.15 * r, shadow);
            let body = Shade::base(role).mixed(role, Tone::Light, 0.45);
            cloud(pen, plate, c - Vec2::new(0.12 * r, 0.15 * r), 0.98 * r, body);
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
                stops: vec![(0.0, Shade::new(role, Tone::Light)), (1.0, Shade::new(role, Tone::Dark))],
            };
            pen.out.shape(lifted, fill, Some(Stroke::new(0.6, Shade::edge(role).alpha(0.7))));
        });
    }
}

/// Soft bumps that stand out of an edge toward the separators.
fn bumps(pen: &mut Pen<'_>, f: &Found, count: f64, size: f64, seed: u64) {
    let mut out = BezPath::new();
    sown(count, seed, |_, grown, mut rng| {
        let (x, dir) =
            if rng.unit() < 0.5 { (f.bounds.x0, -1.0) } else { (f.bounds.x1, 1.0) };
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
