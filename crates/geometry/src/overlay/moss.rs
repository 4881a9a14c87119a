//! Metallic lead that grows: soft moss on negatives, and trees through a separator.

use super::{
    Input,
    film::cloud,
    grain::block,
    place::{Found, chosen, shuffled, sown, standing, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// Sponge on edges and tops of negatives. `parts` negatives; `height` on the tops; `reach` past
/// the edge toward the next plate; `count` of cushions on each edge; `shield` on the moss shield.
pub fn moss(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view == View::Face {
        return;
    }
    let height = input.param("height", 1.0);
    let reach = input.param("reach", 0.0);
    let wanted = input.param("parts", 3.0).ceil() as usize;
    let mut plates = targets(input, pen, input.on());
    plates.extend(targets(input, pen, "negative_plate_end"));
    for f in shuffled(input, plates).into_iter().take(wanted) {
        let seed = f.seed(input.seed);
        pen.out.resume(Some(f.index));
        cushions(input, pen, &f, reach, height, seed);
        // Over the top, as wide as the plate and a little more.
        let wide = f.bounds.width() + 1.2 + reach;
        let (a, b) = (f.bounds.center().x - wide / 2.0, f.bounds.center().x + wide / 2.0);
        sponge(pen, &crown(a, b, f.bounds.y0 + 0.6, height, seed), seed);
    }
    let on_shield = input.param("shield", 0.0);
    for f in targets(input, pen, "moss_shield") {
        pen.out.resume(Some(f.index));
        sown(on_shield, f.seed(input.seed), |i, grown, mut rng| {
            let wide = rng.range(5.0, 11.0) * grown;
            let x = rng.range(f.bounds.x0 + wide, (f.bounds.x1 - wide).max(f.bounds.x0 + wide));
            let lump =
                crown(x - wide / 2.0, x + wide / 2.0, f.bounds.y0 + 0.4, 0.7 * height * grown, i);
            sponge(pen, &lump, input.seed ^ i);
        });
    }
}

/// Cushions on the edge that faces the aisle; those that reach far go round the separator.
fn cushions(input: &Input<'_>, pen: &mut Pen<'_>, f: &Found, reach: f64, height: f64, seed: u64) {
    let mut marks = Vec::new();
    sown(input.param("count", 3.0), seed ^ 0xC054, |i, grown, mut rng| {
        // Thicker toward the top, where fine matter settles.
        let y = f.bounds.y0 + f.bounds.height() * 0.9 * libm::pow(rng.unit(), 2.2) + 3.0;
        marks.push((i, grown, y, rng.unit() < 0.5, rng.range(0.7, 1.0)));
    });
    for (i, grown, y, left, share) in marks {
        let (edge, dir) = if left { (f.bounds.x0, -1.0) } else { (f.bounds.x1, 1.0) };
        let far = reach * share * grown;
        let inner = edge - dir * f.bounds.width() * 0.55;
        let outer = edge + dir * (0.3 + far);
        let tall = (1.6 + 1.3 * height + far) * grown;
        let n = 14;
        let points: Vec<Point> = (0..n)
            .map(|k| {
                let mut rng = element(seed ^ (i * 31 + 7), k);
                let a = k as f64 / n as f64 * std::f64::consts::TAU;
                let c = Point::new(f64::midpoint(inner, outer), y);
                // Broad on the plate, lower where it hangs over the sheet.
                let side = 0.5 * (inner - outer).abs();
                let lean = 1.0 - 0.35 * (dir * libm::cos(a)).max(0.0);
                let r = rng.range(0.68, 1.12);
                c + Vec2::new(
                    side * r.min(1.0) * libm::cos(a),
                    0.5 * tall * lean * r * libm::sin(a),
                )
            })
            .collect();
        sponge(pen, &brush::closed_smooth(&points), seed ^ i);
    }
}

/// A low uneven cushion on a line from `a` to `b`.
fn crown(a: f64, b: f64, foot: f64, height: f64, seed: u64) -> BezPath {
    let n = 11;
    let mut points = vec![Point::new(a, foot)];
    for i in 0..=n {
        let t = f64::from(i) / f64::from(n);
        let round = libm::sqrt(libm::sin(std::f64::consts::PI * (0.06 + 0.88 * t)));
        let rough = element(seed, 60 + i as u64).range(0.5, 1.0);
        points.push(Point::new(a + t * (b - a), foot - 0.6 - height * round * rough));
    }
    points.push(Point::new(b, foot));
    brush::closed_smooth(&points)
}

/// Matt grey sponge with fine pores: no stems, no gloss, no dark outline.
fn sponge(pen: &mut Pen<'_>, outline: &BezPath, seed: u64) {
    let line = Stroke::new(0.5, Shade::edge(Role::Moss).alpha(0.8));
    pen.out.shape(outline.clone(), Shade::base(Role::Moss), Some(line));
    let step = (1.6 * pen.px).clamp(0.5, 1.2);
    let pores = brush::speckle(outline, step, 0.24 * step, seed);
    pen.out.shape(pores, Shade::new(Role::Moss, Tone::Dark), None);
    let lights = brush::speckle(outline, 1.5 * step, 0.26 * step, seed ^ 5);
    pen.out.shape(lights, Shade::new(Role::Moss, Tone::Light), None);
}

/// Grey needles through separators with a pale halo. `parts` separators; `across`: how far, in
/// percent of the gap; `count` of needles in each; `specks`; `scorch` on both plates.
pub fn dendrite(input: &Input<'_>, pen: &mut Pen<'_>) {
    let across = input.param("across", 50.0) / 100.0;
    let scorch = input.param("scorch", 0.0) as f32;
    for f in chosen(input, pen, 1.0) {
        let seed = f.seed(input.seed);
        let (b, back) = standing(f.bounds);
        let mut rng = element(seed, 1);
        let middle = b.y0 + b.height() * rng.range(0.3, 0.7);
        let Some((from, to, minus, plus)) = gap(input, pen, &f) else { continue };
        if scorch > 0.0 {
            for (plate, role) in [(&plus, Role::LightPositive), (&minus, Role::DarkNegative)] {
                pen.out.resume(Some(plate.index));
                let (p, to_flat) = standing(plate.bounds);
                let away = if p.center().x < b.x0 { p.x1 } else { p.x0 };
                let r = 1.5 * p.width().max(4.0);
                let center = to_flat * Point::new(away, middle);
                cloud(pen, plate.bounds, center, r, Shade::base(role).alpha(scorch));
            }
        }
        pen.out.resume(Some(f.index));
        let (mut white, mut grey) = (BezPath::new(), BezPath::new());
        let size = 0.35f64.max(0.5 * pen.px);
        sown(input.param("specks", 3.0), seed ^ 3, |i, grown, mut rng| {
            let p = Point::new(rng.range(b.x0 + 0.3, b.x1 - 0.3), middle + 5.0 * rng.normal());
            let path = if i % 3 == 2 { &mut grey } else { &mut white };
            block(path, p, size * grown, &mut rng);
        });
        if across > 0.0 {
            let pale = Shade::base(Role::Hydration).alpha(0.9);
            let center = back * Point::new(b.center().x, middle);
            cloud(pen, f.bounds, center, 3.4, pale);
        }
        let edge = Stroke::new(0.4, Shade::edge(Role::Hydration));
        pen.out.shape(back * white, Shade::base(Role::Hydration), Some(edge));
        pen.out.shape(back * grey, Shade::edge(Role::Moss), None);
        let mut needles = BezPath::new();
        sown(input.param("count", 1.0), seed ^ 11, |i, grown, mut rng| {
            let y = middle + if i == 0 { 0.0 } else { rng.range(-9.0, 9.0) };
            let end = from + (to - from) * across * grown;
            let tip = Point::new(end, y + rng.range(-1.0, 1.0));
            needle(&mut needles, Point::new(from, y), tip, seed ^ i);
        });
        let line = Stroke::new(0.5, Shade::new(Role::DarkNegative, Tone::Edge));
        pen.out.shape(back * needles, Shade::new(Role::DarkNegative, Tone::Light), Some(line));
    }
}

/// From the negative to the positive face at a separator, as if it stood, and both plates.
fn gap(input: &Input<'_>, pen: &Pen<'_>, f: &Found) -> Option<(f64, f64, Found, Found)> {
    let at = |g: &Found| standing(g.bounds).0;
    let near = |parts: &[&str]| -> Option<Found> {
        parts.iter().flat_map(|p| targets(input, pen, p)).min_by(|a, b| {
            let away = |g: &Found| (at(g).center().x - at(f).center().x).abs();
            away(a).total_cmp(&away(b))
        })
    };
    let minus = near(&["negative_plate_inside", "negative_plate_end"])?;
    let plus = near(&["positive_plate", "tube_gauntlet"])?;
    let (m, p) = (at(&minus), at(&plus));
    let (from, to) = if m.center().x < p.center().x { (m.x1, p.x0) } else { (m.x0, p.x1) };
    Some((from, to, minus, plus))
}

/// A ragged spike, thick at its root.
fn needle(out: &mut BezPath, root: Point, tip: Point, seed: u64) {
    let n = 6;
    let upper = brush::jagged(root, tip, n, 0.5, seed);
    for (i, p) in upper.iter().enumerate() {
        let thick = 0.55 * (1.0 - 0.75 * i as f64 / f64::from(n));
        let q = *p - Vec2::new(0.0, thick);
        if i == 0 { out.move_to(q) } else { out.line_to(q) }
    }
    for (i, p) in upper.iter().enumerate().rev() {
        let thick = 0.55 * (1.0 - 0.75 * i as f64 / f64::from(n));
        out.line_to(*p + Vec2::new(0.0, thick));
    }
    out.close_path();
}
