//! The floor of the jar seen from the aisle: bridge and mud.

use crate::{
    draw::{Pen, brush},
    layout::Cell,
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point};

/// The long walls of the bridge, seen from the aisle as one.
pub(super) fn ribs(pen: &mut Pen<'_>, cell: &Cell) {
    let Some(rib) = cell.ribs.first() else { return };
    let (x0, x1) = (rib.x.0 + 0.6, rib.x.1 - 0.6);
    pen.part("bottom_bridge", Point::new(x0 + 0.9 * (x1 - x0), -(rib.y.1 - 4.0)));
    let wall = brush::rounded(x0, -rib.y.1, x1, 0.0, 1.0);
    let fill = Shade::new(Role::JarGlass, Tone::Light).alpha(0.35);
    let line = Stroke::new(0.9, Shade::edge(Role::JarGlass).alpha(0.8));
    pen.out.shape(wall, fill, Some(line.clone()));
    pen.out.line(
        brush::polyline(&[Point::new(x0, -rib.y.1 + 1.6), Point::new(x1, -rib.y.1 + 1.6)]),
        Stroke::new(0.6, Shade::edge(Role::JarGlass).alpha(0.5)),
    );
    pen.out.end();
}

/// The mud: broad low ridges under the plates they fell from, one layer on the other.
pub(super) fn mud(pen: &mut Pen<'_>, cell: &Cell, brightness: f32) {
    let layers = pen.effects.mud.clone();
    let front = brightness >= 1.0;
    if front {
        let x = cell.room.x.0 + 0.88 * (cell.room.x.1 - cell.room.x.0);
        pen.part("sediment", Point::new(x, -0.6));
    } else {
        pen.out.end();
    }
    let mut base = 0.0f64;
    for layer in &layers {
        let (x0, x1) = cell.room.x;
        let sources: Vec<f64> = cell
            .plates
            .iter()
            .filter(|p| p.kind.is_positive() != layer.under_negatives)
            .map(|p| p.solid.mid_x())
            .collect();
        // The bed seen behind is a little higher in its valleys than the one in front.
        let peak = layer.height + base;
        let bed = if front { 0.0 } else { 0.35 * layer.height };
        let ground = if base == 0.0 { 0.55 * layer.height.min(2.5) } else { 0.0 };
        let low = bed.max(base * 0.6).max(ground);
        let span = (x0 + 0.3, x1 - 0.3);
        let points = if pen.layout.design.round.is_some() {
            even(span, peak.max(low), layer.seed, pen)
        } else {
            ridge(&sources, span, peak, low, layer.seed, pen)
        };
        let top_path = brush::smooth(&points);
        let mut outline = top_path.clone();
        outline.line_to((x1 - 0.3, -0.1));
        outline.line_to((x0 + 0.3, -0.1));
        outline.close_path();
        let tone = if front { Tone::Base } else { Tone::Dark };
        pen.out.shape(
            outline.clone(),
            brush::down(layer.role, -peak, 0.0),
            Some(Stroke::new(0.8, Shade::edge(layer.role))),
        );
        if !front {
            pen.out.shape(outline.clone(), Shade::new(layer.role, tone).alpha(0.45), None);
        }
        if front {
            let cell_mm = (4.5 * pen.px).clamp(0.9, 3.0);
            let dots = brush::speckle(&outline, cell_mm, 0.16 * cell_mm, layer.seed);
            pen.out.shape(dots, Shade::new(layer.role, Tone::Edge).alpha(0.55), None);
            let light = brush::speckle(&outline, cell_mm * 1.7, 0.13 * cell_mm, layer.seed ^ 9);
            pen.out.shape(light, Shade::new(layer.role, Tone::Light).alpha(0.8), None);
            if layer.lumps {
                lumps(pen, &outline, layer.role, layer.seed, layer.height);
            }
        }
        base = peak;
    }
    pen.out.end();
}

fn lumps(pen: &mut Pen<'_>, area: &BezPath, role: Role, seed: u64, height: f64) {
    use kurbo::Shape as _;
    let b = area.bounding_box();
    for i in 0..60u64 {
        let mut rng = element(seed ^ 77, i);
        let r = rng.range(0.25, 0.85);
        let p =
            Point::new(rng.range(b.x0 + 2.0, b.x1 - 2.0), rng.range(b.y0.max(-height), b.y1 - 0.5));
        if area.winding(p) == 0 || area.winding(p - kurbo::Vec2::new(0.0, r)) == 0 {
            continue;
        }
        let lump = brush::blob(p, r * 1.3, r, 0.25, seed ^ i);
        let line = Stroke::new(0.5, Shade::edge(role).alpha(0.45));
        pen.out.shape(lump, Shade::new(Role::Sulfate, Tone::Light).alpha(0.9), Some(line));
    }
}

/// Heights of the bed: the largest over all sources of peak less distance times slope, with
/// round crests; slopes of 20 to 30 degrees, chosen by seed.
fn ridge(
    sources: &[f64],
    span: (f64, f64),
    peak: f64,
    bed: f64,
    seed: u64,
    pen: &Pen<'_>,
) -> Vec<Point> {
    let n = 96;
    let limit = pen.effects.bed_limit(&pen.layout.levels);
    let crest = 2.2;
    let of = |i: usize, x: f64, source: f64| {
        let mut rng = element(seed, i as u64);
        let slope = libm::tan(rng.range(20.0, 30.0) * std::f64::consts::PI / 180.0);
        let own = peak * rng.range(0.82, 1.0);
        // A hyperbola instead of a cone: the crest is round.
        let away = x - source;
        own - slope * (libm::sqrt(away * away + crest * crest) - crest)
    };
    (0..=n)
        .map(|k| {
            let x = span.0 + (span.1 - span.0) * f64::from(k) / f64::from(n);
            let mut rng = element(seed ^ 3, k as u64);
            let grain = rng.range(-0.12, 0.12) * peak.min(2.0);
            let y = sources.iter().enumerate().map(|(i, s)| of(i, x, *s)).fold(bed, f64::max);
            Point::new(x, -(y + grain).clamp(0.35, limit.max(0.4)))
        })
        .collect()
}

/// The bed under a flat stack: no ridges, an even layer that is thicker toward the rim.
fn even(span: (f64, f64), peak: f64, seed: u64, pen: &Pen<'_>) -> Vec<Point> {
    let limit = pen.effects.bed_limit(&pen.layout.levels);
    let n = 96;
    (0..=n)
        .map(|k| {
            let t = f64::from(k) / f64::from(n);
            let off = 2.0 * (t - 0.5);
            let grain = element(seed ^ 3, k as u64).range(-0.05, 0.05) * peak;
            let y = peak * (0.55 + 0.45 * off * off) + grain;
            Point::new(span.0 + (span.1 - span.0) * t, -y.clamp(0.35, limit.max(0.4)))
        })
        .collect()
}
