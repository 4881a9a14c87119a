//! Loose and crystalline matter: grains, frost on tops, crumbs on the floor, a mound of mud.

use super::{
    Input,
    place::{self, Found, Held as _, inside, meant, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::{Rng, element};
use kurbo::{BezPath, Point, Vec2};

/// A small blocky grain, four to six corners.
pub fn block(out: &mut BezPath, center: Point, size: f64, rng: &mut Rng) {
    let corners = 4 + rng.below(3);
    let turn = rng.range(0.0, std::f64::consts::TAU);
    for i in 0..corners {
        let a = turn + i as f64 / corners as f64 * std::f64::consts::TAU;
        let r = size * rng.range(0.75, 1.15);
        let p = center + Vec2::new(r * libm::cos(a), r * libm::sin(a));
        if i == 0 { out.move_to(p) } else { out.line_to(p) }
    }
    out.close_path();
}

/// Draws grains in two tones with a fine line, so that they stand off pale and dark grounds.
fn heap_up(pen: &mut Pen<'_>, light: BezPath, dark: BezPath, role: Role) {
    let line = Stroke::new(0.4, Shade::edge(role).alpha(0.8));
    for (path, tone) in [(dark, Tone::Dark), (light, Tone::Light)] {
        if !path.elements().is_empty() {
            pen.out.shape(path, Shade::new(role, tone), Some(line.clone()));
        }
    }
}

/// Grains scattered on a part. `count` to a part; `size` in millimetres; `lean` over 0 puts more
/// of them low. Word `edge`: along the left and right edge; `plain`: no line round them.
pub fn grains(input: &Input<'_>, pen: &mut Pen<'_>) {
    let count = input.param("count", 20.0);
    let size = input.param("size", 0.4).max(0.45 * pen.px);
    let lean = input.param("lean", 0.5);
    let role = input.paint(Role::Sulfate);
    for f in meant(input, pen) {
        let (mut light, mut dark) = (BezPath::new(), BezPath::new());
        sown(count, f.seed(input.seed), |_, grown, mut rng| {
            let Some(mut p) = inside(&f.outline, f.bounds, lean, &mut rng) else { return };
            if input.says("edge") {
                let side = if rng.unit() < 0.5 { f.bounds.x0 } else { f.bounds.x1 };
                p.x = side + (p.x - side) * 0.3 * rng.unit();
            }
            let r = (size * rng.range(0.6, 1.3) * grown).min(0.5 * f.bounds.width());
            p.x = p.x.held(f.bounds.x0 + r, (f.bounds.x1 - r).max(f.bounds.x0 + r));
            let path = if rng.unit() < 0.6 { &mut light } else { &mut dark };
            block(path, p, r, &mut rng);
        });
        pen.out.resume(Some(f.index));
        if input.says("plain") {
            pen.out.shape(dark, Shade::new(role, Tone::Dark).alpha(0.8), None);
            pen.out.shape(light, Shade::new(role, Tone::Light).alpha(0.85), None);
        } else {
            heap_up(pen, light, dark, role);
        }
    }
}

/// Grains piled on top edges. `height` of the pile; `density` in grains to a millimetre;
/// `over`: how far it reaches past the sides. Word `under`: hangs below instead.
///
/// Each grain has its place in the highest pile; the pile at hand shows those that it reaches.
pub fn frost(input: &Input<'_>, pen: &mut Pen<'_>) {
    const HIGHEST: f64 = 4.2;
    const WIDEST: f64 = 2.6;
    let height = input.param("height", 1.0);
    let density = input.param("density", 2.0);
    let over = input.param("over", 0.0);
    let size = input.param("size", 0.4).max(0.4 * pen.px);
    let role = input.paint(Role::Sulfate);
    for f in meant(input, pen) {
        let (x0, x1) = (f.bounds.x0 - WIDEST, f.bounds.x1 + WIDEST);
        let (mut light, mut dark) = (BezPath::new(), BezPath::new());
        let under = input.says("under");
        sown(density * (x1 - x0), f.seed(input.seed), |_, grown, mut rng| {
            let u = rng.unit();
            let x = x0 + u * (x1 - x0);
            // Few grains lie at the sides; a heap has its full height in the middle.
            let shoulder = 1.0 - libm::pow((2.0 * u - 1.0).abs(), 3.0);
            let rise = HIGHEST * libm::pow(rng.unit(), 1.8);
            let r = size * rng.range(0.7, 1.3) * grown;
            let dark_one = rng.unit() >= 0.6;
            let beside = (f.bounds.x0 - x).max(x - f.bounds.x1).max(0.0);
            if rise > height * (0.25 + 0.75 * shoulder) || beside > over {
                return;
            }
            let y = if under { f.bounds.y1 + rise } else { f.bounds.y0 - rise - 0.2 * r };
            let path = if dark_one { &mut dark } else { &mut light };
            block(path, Point::new(x, y), r, &mut rng);
        });
        pen.out.resume(Some(f.index));
        heap_up(pen, light, dark, role);
    }
}

/// Crumbs, flakes and fibres on the bed. `count`; `size`. Words: `separators` for crumbs on the
/// separator tops, `rim` on the rib, `fibres` for threads among them, `negatives` under these.
pub fn crumbs(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !place::from_the_side(pen) {
        return;
    }
    let count = input.param("count", 30.0);
    let size = input.param("size", 0.7).max(0.5 * pen.px);
    let role = input.paint(Role::PositiveBorder);
    let grounds = grounds(input, pen);
    if grounds.is_empty() {
        return;
    }
    let (mut body, mut light, mut threads) = (BezPath::new(), BezPath::new(), BezPath::new());
    sown(count, input.seed, |_, grown, mut rng| {
        let (x0, x1, y) = grounds[rng.below(grounds.len())];
        let r = size * rng.range(0.45, 1.2) * grown;
        let p = Point::new(rng.range(x0 + r, (x1 - r).max(x0 + r)), y - 0.5 * r);
        let fibre = input.says("fibres") && rng.unit() < 0.3;
        if fibre {
            let to = p + Vec2::new(rng.range(-4.0, 4.0), rng.range(-1.4, 0.0));
            threads.move_to(p);
            threads.quad_to(p + Vec2::new(rng.range(-1.5, 1.5), -rng.range(0.5, 2.0)), to);
        } else {
            // Flakes lie flat: wider than high.
            let mut flake = BezPath::new();
            block(&mut flake, Point::ZERO, r, &mut rng);
            flake.apply_affine(
                kurbo::Affine::translate(p.to_vec2()) * kurbo::Affine::scale_non_uniform(1.5, 0.7),
            );
            let path = if rng.unit() < 0.75 { &mut body } else { &mut light };
            path.extend(flake.elements().iter().copied());
        }
    });
    let target = targets(input, pen, "sediment").first().map(|f| f.index);
    pen.out.resume(target);
    let line = Stroke::new(0.4, Shade::edge(role).alpha(0.7));
    pen.out.shape(body, Shade::base(role), Some(line.clone()));
    if !light.elements().is_empty() {
        pen.out.shape(light, Shade::new(role, Tone::Light), Some(line));
    }
    if !threads.elements().is_empty() {
        pen.out.line(threads, Stroke::new(0.7, Shade::new(Role::Mat, Tone::Light)));
    }
}

/// Where crumbs can lie: from, to, and height in the drawing.
fn grounds(input: &Input<'_>, pen: &Pen<'_>) -> Vec<(f64, f64, f64)> {
    if input.says("separators") {
        return targets(input, pen, "separator")
            .iter()
            .map(|f| (f.bounds.x0 - 0.4, f.bounds.x1 + 0.4, f.bounds.y0))
            .collect();
    }
    let (a, b) = place::room(pen);
    if input.says("rim") && pen.request.view == View::Edge {
        return vec![(a + 2.0, b - 2.0, -pen.layout.levels.sediment)];
    }
    // Material falls straight down: more of it lies under its plates.
    let own = if input.says("negatives") { "negative_plate_inside" } else { "positive_plate" };
    let bed = -place::bed(pen);
    let mut list: Vec<(f64, f64, f64)> = targets(input, pen, own)
        .iter()
        .map(|f| (f.bounds.x0 - 2.0, f.bounds.x1 + 2.0, bed))
        .collect();
    list.push((a + 1.0, b - 1.0, bed));
    list
}

/// A broad mound under a plate and its neighbours, on the bed. `gap`: what is free to the plate
/// above, in millimetres, under 0 when it presses on; `parts`: how many mounds; `slope` degrees.
pub fn mound(input: &Input<'_>, pen: &mut Pen<'_>) {
    let gap = input.param("gap", 2.0);
    let peaks = input.param("parts", 1.0).ceil().max(0.0) as usize;
    let role = input.paint(Role::Sediment);
    let mut plates: Vec<Found> = meant(input, pen);
    // In a flat stack only the lowest plate is over the mud.
    let lowest = plates.iter().map(|f| f.bounds.y1).fold(f64::MIN, f64::max);
    plates.retain(|f| f.bounds.y1 > lowest - 8.0);
    let rank = |f: &Found| element(input.seed, u64::from(f.number)).unit();
    plates.sort_by(|a, b| rank(a).total_cmp(&rank(b)));
    let (x0, x1) = place::room(pen);
    for f in plates.into_iter().take(peaks) {
        let seed = f.seed(input.seed);
        let slope = libm::tan(element(seed, 2).range(20.0, 25.0).to_radians());
        let top = f.bounds.y1 + gap;
        let base = -(0.8 * place::bed(pen)).max(0.5);
        let middle = f.bounds.center().x;
        let crest = 3.0;
        let n = 40;
        let half = (base - top) / slope + 1.5 * crest;
        let points: Vec<Point> = (0..=n)
            .map(|i| {
                let x = middle + (2.0 * f64::from(i) / f64::from(n) - 1.0) * half;
                let away = x - middle;
                let fall = slope * (libm::sqrt(away * away + crest * crest) - crest);
                let rough = element(seed, 100 + u64::from(i as u32)).range(-0.15, 0.15);
                Point::new(x.held(x0 + 0.3, x1 - 0.3), (top + fall + rough).min(base))
            })
            .collect();
        let mut outline = brush::smooth(&points);
        outline.line_to((points[points.len() - 1].x, -0.1));
        outline.line_to((points[0].x, -0.1));
        outline.close_path();
        let step = (4.5 * pen.px).clamp(1.3, 3.0);
        let dots = brush::speckle(&outline, step, 0.16 * step, seed);
        let light = brush::speckle(&outline, step * 1.7, 0.13 * step, seed ^ 9);
        let target = targets(input, pen, "sediment").first().map(|f| f.index);
        pen.out.resume(target);
        let line = Stroke::new(0.8, Shade::edge(role));
        pen.out.shape(outline, brush::down(role, top, 0.0), Some(line));
        pen.out.shape(dots, Shade::new(role, Tone::Edge).alpha(0.55), None);
        pen.out.shape(light, Shade::new(role, Tone::Light).alpha(0.8), None);
    }
}
