//! A flat stack drawn apart: dished plates and sheets lifted along the axis in their true order.

use crate::{
    draw::{Pen, Shapes, brush},
    layout::{Cell, Solid},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
    view::{edge::separator_role, peeled::MOST_PLATES},
};
use kurbo::{BezPath, Point, Rect};

/// How flat a level circle looks from where the viewer stands.
const FLAT: f64 = 0.27;
/// How much lower the middle of a dished plate lies than its rim.
const DISH: f64 = 7.0;
/// Inner radii: positives end at the riser on the axis, negatives keep clear of it, sheets lie
/// between.
const INNER: (f64, f64, f64) = (15.0, 22.0, 18.0);

/// Paints the lowest plates, lifted apart by the option `peel`.
pub fn build(pen: &mut Pen<'_>) {
    let cell = pen.layout.cells[0].clone();
    let peel = pen.options.peel.clamp(0.0, 1.0);
    let n = cell.plates.len().min(MOST_PLATES);
    let Some(first) = cell.plates.first() else { return };
    let r = (first.solid.x.1 - first.solid.x.0) / 2.0;
    let axis = first.solid.mid_x();
    let (plate_gap, sheet_gap) = (34.0 * peel, 24.0 * peel);
    let mut lift = 0.0;
    for k in 0..n {
        let plate = &cell.plates[k];
        layer(pen, &cell, axis, &plate.solid, lift, Some(plate.kind.is_positive()));
        if k + 1 == n {
            break;
        }
        lift += plate_gap;
        if let Some(sheet) = cell.separators.get(k) {
            layer(pen, &cell, axis, sheet, lift, None);
        }
        lift += sheet_gap;
    }
    let top = cell.plates[n - 1].solid.y.1 + lift + FLAT * r + 14.0;
    let foot = first.solid.y.0 - FLAT * r - DISH - 12.0;
    pen.bounds = Rect::new(axis - r - 24.0, -top, axis + r + 24.0, -foot);
    pen.out.end();
}

/// One dish: its rim seen from the side, its upper face, and the hole for the riser.
fn layer(pen: &mut Pen<'_>, cell: &Cell, axis: f64, s: &Solid, lift: f64, positive: Option<bool>) {
    let r = (s.x.1 - s.x.0) / 2.0;
    let (low, high) = (-(s.y.0 + lift), -(s.y.1 + lift));
    let (part, rim, face, inner) = match positive {
        Some(true) => ("round_plate", Role::PositiveBorder, Role::PositivePaste, INNER.0),
        Some(false) => ("round_plate", Role::NegativeBorder, Role::NegativePaste, INNER.1),
        None => {
            let role = separator_role(pen.layout.design.separator.kind);
            ("separator", role, role, INNER.2)
        }
    };
    let center = Point::new(axis, high);
    pen.part(part, Point::new(axis - 0.55 * r, high + 0.78 * FLAT * r));
    // The rim: the lower ellipse and what joins it to the upper one.
    let mut band = BezPath::new();
    band.move_to((axis - r, high));
    band.line_to((axis - r, low));
    for i in 0..=48 {
        let a = std::f64::consts::PI * (1.0 - f64::from(i) / 48.0);
        band.line_to((axis + r * libm::cos(a), low + FLAT * r * libm::sin(a)));
    }
    band.line_to((axis + r, high));
    band.close_path();
    pen.out.solid(band, brush::across(rim, axis - r, axis + r), rim, 0.9);
    let tint = positive.and_then(|p| {
        let old = if p { "positive_plate" } else { "negative_plate_inside" };
        pen.effects.tint("round_plate").or(pen.effects.tint(old))
    });
    let shade = |tone| match tint {
        Some((role, share)) => Shade::new(face, tone).mixed(role, tone, share),
        None => Shade::new(face, tone),
    };
    // Inside the rim the dish falls toward the axis: darker at the near side.
    let fill = Paint::Linear {
        from: Point::new(axis, high - FLAT * r),
        to: Point::new(axis, high + FLAT * r),
        stops: vec![(0.0, shade(Tone::Light)), (0.55, shade(Tone::Base)), (1.0, shade(Tone::Dark))],
    };
    pen.out.solid(brush::ellipse(center, r, FLAT * r), fill, rim, 0.9);
    let rings: &[f64] = if positive.is_some() { &[0.97, 0.8, 0.62, 0.44, 0.27] } else { &[0.98] };
    for share in rings {
        let drop = DISH * (1.0 - share);
        let ring =
            brush::ellipse(center + kurbo::Vec2::new(0.0, drop), share * r, FLAT * share * r);
        pen.out.line(ring, Stroke::new(0.7, Shade::edge(rim).alpha(0.4)));
    }
    if positive.is_some() {
        let mut spokes = BezPath::new();
        for i in 0..16 {
            let a = (f64::from(i) + 0.5) * std::f64::consts::PI / 8.0;
            let (c, sn) = (libm::cos(a), libm::sin(a));
            spokes.move_to((axis + 0.97 * r * c, high + 0.2 + FLAT * 0.97 * r * sn));
            spokes.line_to((axis + 0.2 * r * c, high + 0.8 * DISH + FLAT * 0.2 * r * sn));
        }
        pen.out.line(spokes, Stroke::new(0.7, Shade::edge(rim).alpha(0.3)));
    }
    let middle = center + kurbo::Vec2::new(0.0, DISH);
    let hole = brush::ellipse(middle, inner, FLAT * inner);
    pen.out.solid(hole, Shade::new(rim, Tone::Edge), rim, 0.9);
    if positive == Some(true) {
        // Burned to the riser on the axis at its inner edge.
        let lead = Role::LeadPositive;
        let riser = cell.round.as_ref().map_or(inner, |p| p.inner_riser);
        let stub = brush::ellipse(middle, riser, FLAT * riser);
        pen.out.solid(stub, brush::ball(lead, middle, riser), lead, 0.9);
    }
    if positive == Some(false) {
        // The tab that is burned to the outer riser.
        let tab = brush::rounded(axis + r - 3.0, high - 5.0, axis + r + 8.0, low + 5.0, 1.5);
        pen.out.solid(tab, brush::down(rim, high - 5.0, low + 5.0), rim, 0.9);
    }
}
