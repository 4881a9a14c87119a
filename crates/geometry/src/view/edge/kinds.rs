//! What tells one kind of positive from another on its edge: tubes, ribs, guards and film.

use crate::{
    draw::{Pen, Shapes, brush},
    layout::{Cell, Plate},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::design::Feature;
use kurbo::{BezPath, Point};

/// Height of the cast bar that joins the spines at the top.
pub const TOP_BAR: f64 = 10.0;

/// The outermost tube of a tubular positive, its top bar and its bottom bar.
pub(super) fn tubes(pen: &mut Pen<'_>, plate: &Plate, share: f64) {
    let Some(t) = pen.layout.design.tubular.clone() else { return };
    let s = &plate.solid;
    let (top, bottom) = (-s.y.1, -s.y.0);
    let bar = brush::rounded(s.x.0, top, s.x.1, top + TOP_BAR, 1.2);
    let fill = brush::across(Role::LeadPositive, s.x.0, s.x.1);
    pen.out.solid(bar, fill, Role::LeadPositive, 0.9);
    let r = t.diameter / 2.0;
    let (a, b) = (s.mid_x() - r, s.mid_x() + r);
    let (from, to) = (top + TOP_BAR, bottom - t.bottom_bar);
    pen.part("tube_gauntlet", Point::new(s.mid_x(), from + (0.25 + 0.4 * share) * (to - from)));
    let sleeve = brush::rect(a, from, b, to);
    let fill = brush::across_mixed(Role::PositivePaste, a, b, pen.effects.tint("positive_plate"));
    pen.out.solid(sleeve, fill, Role::PositivePaste, 0.9);
    // The weave: slanting threads both ways, fine enough to stay a texture.
    let pitch = (3.2 * pen.px).clamp(0.9, 2.6);
    let mut threads = BezPath::new();
    let mut y = from + 0.5 * pitch;
    while y + 0.45 * pitch < to {
        threads.move_to((a + 0.4, y));
        threads.line_to((s.mid_x(), y + 0.4 * pitch));
        threads.line_to((b - 0.4, y));
        y += pitch;
    }
    let thread = Shade::new(Role::PositivePaste, Tone::Edge).alpha(0.5);
    pen.out.line(threads, Stroke::new(0.5, thread));
    pen.part("tube_bottom_bar", Point::new(s.mid_x(), bottom - 0.5 * t.bottom_bar));
    let strip = brush::rounded(s.x.0, to, s.x.1, bottom, 1.0);
    pen.out.solid(strip, brush::across(Role::Hanger, s.x.0, s.x.1), Role::Hanger, 0.9);
    let lip =
        brush::polyline(&[Point::new(s.x.0 + 0.6, to + 1.4), Point::new(s.x.1 - 0.6, to + 1.4)]);
    pen.out.line(lip, Stroke::new(0.5, Shade::new(Role::Hanger, Tone::Light)));
}

/// The edge of a Planté positive: the solid web between the outermost ribs of both faces, with
/// the level cross bars that tie the ribs.
pub(super) fn lamellae(pen: &mut Pen<'_>, plate: &Plate, share: f64) {
    let Some(p) = pen.layout.design.plante.clone() else { return };
    let s = &plate.solid;
    let (top, bottom) = (-s.y.1 + 9.0, -s.y.0 - 5.0);
    let depth = p.depth.min(0.45 * (s.x.1 - s.x.0));
    let spot = Point::new(s.x.0 + 0.5 * depth, top + (0.2 + 0.3 * share) * (bottom - top));
    pen.part("plante_lamella", spot);
    let dark = Shade::new(Role::PositivePaste, Tone::Dark);
    for (a, b) in [(s.x.0 + 0.5, s.x.0 + depth), (s.x.1 - depth, s.x.1 - 0.5)] {
        let rib = brush::rect(a, top, b, bottom);
        pen.out.shape(rib, dark.alpha(0.42), Some(Stroke::new(0.5, dark.alpha(0.9))));
    }
    let mut bars = BezPath::new();
    for i in 1..9 {
        let y = -s.y.1 + f64::from(i) / 9.0 * (s.y.1 - s.y.0);
        for (a, b) in [(s.x.0 + 0.5, s.x.0 + depth), (s.x.1 - depth, s.x.1 - 0.5)] {
            bars.move_to((a, y));
            bars.line_to((b, y));
        }
    }
    pen.out.line(bars, Stroke::new(0.9, Shade::new(Role::PositiveBorder, Tone::Light).alpha(0.8)));
}

/// Perforated film round mats and positive, and the clear strips on the edges of positives.
pub(super) fn guards(pen: &mut Pen<'_>, cell: &Cell) {
    let d = &pen.layout.design;
    let (film, strips) = (d.has(Feature::MatWrapper), d.has(Feature::EdgeInsulators));
    let n = cell.plates.len();
    for (k, plate) in cell.plates.iter().enumerate().filter(|(_, p)| p.kind.is_positive()) {
        if film && pen.wants("mat_wrapper") && 0 < k && k + 1 < n {
            wrapper(pen, cell, k);
        }
        let Some(s) = plate.edge_strips.iter().min_by(|a, b| a.z.0.total_cmp(&b.z.0)) else {
            continue;
        };
        if !strips || !pen.wants("edge_insulator") {
            continue;
        }
        let inset = 0.16 * (s.x.1 - s.x.0);
        let (a, b) = (s.x.0 + inset, s.x.1 - inset);
        let share = 0.3 + 0.4 * k as f64 / n as f64;
        pen.part(
            "edge_insulator",
            Point::new(f64::midpoint(a, b), -(s.y.0 + share * (s.y.1 - s.y.0))),
        );
        let strip = brush::rounded(a, -s.y.1, b, -s.y.0, 0.8);
        // Almost clear, or the positives would look pale.
        let fill = Shade::new(Role::Plastic, Tone::Light).alpha(0.05);
        let line = Stroke::new(0.5, Shade::new(Role::Plastic, Tone::Dark).alpha(0.4));
        pen.out.shape(strip, fill, Some(line));
        if (b - a) / pen.px > 12.0 {
            let left = a + 0.22 * (b - a);
            let glint = brush::rect(left, -s.y.1 + 3.0, left + 0.1 * (b - a), -s.y.0 - 3.0);
            pen.out.shape(glint, Shade::new(Role::Plastic, Tone::Light).alpha(0.22), None);
        }
    }
    pen.out.end();
}

/// The film outside the mats of one positive, closed under its foot.
fn wrapper(pen: &mut Pen<'_>, cell: &Cell, k: usize) {
    let (Some(left), Some(right)) = (cell.mats.get(k - 1), cell.mats.get(k)) else { return };
    let s = &cell.plates[k].solid;
    let (a, b) = (left.x.0, right.x.1);
    let foot = left.y.0.min(s.y.0) - 0.6;
    let top = s.y.1 - 6.0;
    pen.part("mat_wrapper", Point::new(a + 0.4, -(foot + 0.5 * (top - foot))));
    let mut u = BezPath::new();
    u.move_to((a, -top));
    u.line_to((a, -foot - 1.0));
    u.quad_to((a, -foot), (a + 1.0, -foot));
    u.line_to((b - 1.0, -foot));
    u.quad_to((b, -foot), (b, -foot - 1.0));
    u.line_to((b, -top));
    u.line_to((b - 0.4, -top));
    u.line_to((b - 0.4, -foot - 1.0));
    u.quad_to((b - 0.4, -foot - 0.4), (b - 1.0, -foot - 0.4));
    u.line_to((a + 1.0, -foot - 0.4));
    u.quad_to((a + 0.4, -foot - 0.4), (a + 0.4, -foot - 1.0));
    u.line_to((a + 0.4, -top));
    u.close_path();
    let fill = Shade::new(Role::MossShield, Tone::Light).alpha(0.6);
    let line = Stroke::new(0.4, Shade::edge(Role::MossShield).alpha(0.55));
    pen.out.shape(u, fill, Some(line));
    let holes =
        brush::polyline(&[Point::new(a + 0.2, -top + 2.0), Point::new(a + 0.2, -foot - 2.0)]);
    let dots = Stroke::new(0.6, Shade::edge(Role::MossShield).alpha(0.5)).dashed(&[1.0, 3.0]);
    pen.out.line(holes, dots);
}
