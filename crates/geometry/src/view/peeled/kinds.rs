//! What tells one kind of positive from another on its face: paste between wires, tubes, ribs.

use super::{Layer, across_face, at, spot};
use crate::{
    draw::{Pen, Shapes, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
    view::edge::TOP_BAR,
};
use kurbo::{BezPath, Point};

/// The tubes of a tubular positive between its top bar and its bottom bar; on the first one in
/// the stack two tubes are cut open.
pub(super) fn tubes(pen: &mut Pen<'_>, layer: &Layer<'_>, cut_open: bool) {
    let Some(t) = pen.layout.design.tubular.clone() else { return };
    let s = layer.solid;
    let (low, high) = (s.y.0 + t.bottom_bar, s.y.1 - TOP_BAR);
    let strip = |from: (f64, f64), z: (f64, f64)| {
        brush::polygon(&[
            at(layer, s.x.0, from.0, z.0),
            at(layer, s.x.0, from.1, z.0),
            at(layer, s.x.0, from.1, z.1),
            at(layer, s.x.0, from.0, z.1),
        ])
    };
    let round = |role: Role, z: (f64, f64)| Paint::Linear {
        from: Point::new(at(layer, s.x.0, low, z.0).x, 0.0),
        to: Point::new(at(layer, s.x.0, low, z.1).x, 0.0),
        stops: vec![
            (0.0, Shade::new(role, Tone::Dark)),
            (0.4, Shade::new(role, Tone::Light)),
            (0.75, Shade::base(role)),
            (1.0, Shade::new(role, Tone::Dark)),
        ],
    };
    let margin = 0.5 * (s.z.1 - s.z.0 - f64::from(t.tubes - 1) * t.pitch - t.diameter);
    let tube = |i: u32| {
        let z = s.z.0 + margin + f64::from(i) * t.pitch;
        (z, z + t.diameter)
    };
    pen.out.end();
    pen.part("tube_gauntlet", spot(layer, 0.3));
    let thread = Stroke::new(0.5, Shade::edge(Role::PositivePaste).alpha(0.55));
    let pitch = (3.0 * pen.px).clamp(1.6, 5.0);
    for i in 0..t.tubes {
        let z = tube(i);
        pen.out.solid(
            strip((low, high), z),
            round(Role::PositivePaste, z),
            Role::PositivePaste,
            0.6,
        );
        // The weave, slanting both ways.
        let mut weave = BezPath::new();
        let mid = f64::midpoint(z.0, z.1);
        let mut y = low + 0.5 * pitch;
        while y + 0.6 * pitch < high {
            weave.move_to(at(layer, s.x.0, y, z.0 + 0.5));
            weave.line_to(at(layer, s.x.0, y + 0.5 * pitch, mid));
            weave.line_to(at(layer, s.x.0, y, z.1 - 0.5));
            y += pitch;
        }
        pen.out.line(weave, thread.clone());
    }
    let visible = (layer.free / super::DEPTH.x / t.pitch) as u32;
    if cut_open && visible >= 4 && t.tubes > 4 {
        // The outermost tube stays whole; of the next two one shows its mass, one its spine.
        let (from, to) = (s.y.0 + 0.52 * (s.y.1 - s.y.0), s.y.0 + 0.78 * (s.y.1 - s.y.0));
        let torn = |z: (f64, f64)| {
            let end = |y: f64, seed: u64| {
                let (a, b) = (at(layer, s.x.0, y, z.0), at(layer, s.x.0, y, z.1));
                brush::jagged(a, b, 5, 1.6, seed)
            };
            let mut points = end(from, 1);
            points.extend(end(to, 2).into_iter().rev());
            brush::polygon(&points)
        };
        let (mass, bare) = (tube(t.tubes - 3), tube(t.tubes - 2));
        pen.part(
            "active_material_positive",
            at(layer, s.x.0, f64::midpoint(from, to), f64::midpoint(mass.0, mass.1)),
        );
        let hole = torn(mass);
        let dark = Shade::new(Role::PositivePaste, Tone::Dark);
        pen.out.solid(hole.clone(), dark, Role::PositivePaste, 1.0);
        let grain = brush::speckle(&hole, 1.3, 0.32, 11);
        pen.out.shape(grain, Shade::new(Role::PositivePaste, Tone::Light).alpha(0.7), None);
        pen.out.end();
        pen.out.solid(torn(bare), dark, Role::PositivePaste, 1.0);
        let mid = f64::midpoint(bare.0, bare.1);
        let rod = (mid - 0.5 * t.spine, mid + 0.5 * t.spine);
        pen.part("tube_spine", at(layer, s.x.0, f64::midpoint(from, to), mid));
        let inner = (from + 1.0, to - 1.0);
        let lead = Role::LeadPositiveAir;
        pen.out.solid(strip(inner, rod), round(lead, rod), lead, 0.8);
    }
    pen.out.end();
    let lead = across_face(Role::LeadPositive, layer);
    pen.out.solid(strip((high, s.y.1), s.z), lead, Role::LeadPositive, 0.9);
    pen.part("tube_bottom_bar", at(layer, s.x.0, s.y.0 + 0.5 * t.bottom_bar, visible_z(layer)));
    let bar = across_face(Role::Hanger, layer);
    pen.out.solid(strip((s.y.0, low), s.z), bar, Role::Hanger, 0.9);
    pen.out.end();
}

/// The fine upright ribs of a Planté positive and the level bars that tie them.
pub(super) fn ribs(pen: &mut Pen<'_>, layer: &Layer<'_>) {
    let Some(p) = pen.layout.design.plante.clone() else { return };
    let s = layer.solid;
    let (low, high) = (s.y.0 + 5.0, s.y.1 - 9.0);
    let (a, b) = (s.z.0 + 5.0, s.z.1 - 5.0);
    let corner = |y: f64, z: f64| at(layer, s.x.0, y, z);
    pen.out.end();
    pen.part("plante_lamella", spot(layer, 0.36));
    let field = brush::polygon(&[corner(low, a), corner(high, a), corner(high, b), corner(low, b)]);
    let dark = Shade::new(Role::PositivePaste, Tone::Dark);
    pen.out.shape(field, dark.alpha(0.35), Some(Stroke::new(0.7, dark)));
    // Closer than so many pixels ribs run together.
    let every = (2.4 * pen.px / p.pitch / super::DEPTH.x).ceil().max(1.0) * p.pitch;
    let mut lines = BezPath::new();
    let mut lit = BezPath::new();
    let mut z = a + 0.5 * every;
    while z < b {
        lines.move_to(corner(low, z));
        lines.line_to(corner(high, z));
        lit.move_to(corner(low, z + 0.4 * every));
        lit.line_to(corner(high, z + 0.4 * every));
        z += every;
    }
    pen.out.line(lines, Stroke::new(0.7, Shade::edge(Role::PositivePaste).alpha(0.7)));
    pen.out.line(lit, Stroke::new(0.6, Shade::new(Role::PositivePaste, Tone::Light).alpha(0.55)));
    let mut bars = BezPath::new();
    for i in 1..9 {
        let y = s.y.0 + f64::from(i) / 9.0 * (s.y.1 - s.y.0);
        bars.move_to(corner(y, s.z.0 + 1.0));
        bars.line_to(corner(y, s.z.1 - 1.0));
    }
    pen.out.line(bars.clone(), Stroke::new(2.2, Shade::base(Role::PositiveBorder)));
    pen.out.line(bars, Stroke::new(0.7, Shade::new(Role::PositiveBorder, Tone::Light)));
    // The skin of the ribs is what works; a patch of it stands for the whole.
    let (y, z) = (s.y.0 + 0.62 * (s.y.1 - s.y.0), visible_z(layer));
    pen.out.end();
    pen.part("active_material_positive", corner(y, z));
    let skin = brush::polygon(&[
        corner(y - 6.0, z - 4.0),
        corner(y + 6.0, z - 4.0),
        corner(y + 6.0, z + 4.0),
        corner(y - 6.0, z + 4.0),
    ]);
    pen.out.shape(skin, Shade::new(Role::PositivePaste, Tone::Light).alpha(0.1), None);
    pen.out.end();
}

/// How far to the rear a layer is seen past the one before it.
fn visible_z(layer: &Layer<'_>) -> f64 {
    let s = &layer.solid;
    let free = (layer.free / super::DEPTH.x).clamp(6.0, s.z.1 - s.z.0);
    s.z.1 - 0.5 * free
}
