//! A flat stack seen from the side: rims of round plates, one over the other, in a cylinder.

use super::{floor, separator_role};
use crate::{
    draw::{Pen, Shapes, brush, weight},
    layout::{Cell, Solid},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use kurbo::{BezPath, Point};

/// How far a dished plate's rim curls up at the silhouette.
const DISH: f64 = 1.3;
/// How far the rims of positives are cut back beside the outer riser.
const CUT_BACK: f64 = 6.0;

/// Ring, mud, and stack. From the aisle the outer riser is at the right of the rims; from the
/// right neighbour it stands in front of them.
pub fn inside(pen: &mut Pen<'_>, cell: &Cell, from_aisle: bool) {
    let s = pen.layout.levels.sediment;
    let (x0, x1) = cell.room.x;
    if pen.wants("sediment_space") {
        pen.part("sediment_space", Point::new(x0 + 0.96 * (x1 - x0), -0.7 * s));
        let room = brush::rect(x0, -s, x1, 0.0);
        pen.out.shape(room, Shade::new(Role::Electrolyte, Tone::Light).alpha(0.25), None);
        floor::mud(pen, cell, 0.85);
        ring(pen, cell);
    }
    for (k, plate) in cell.plates.iter().enumerate() {
        rim(pen, cell, k, &plate.solid, plate.kind.is_positive(), from_aisle);
        if let Some(sheet) = cell.separators.get(k) {
            separator(pen, sheet, k);
        }
    }
    pen.out.end();
    if pen.wants("sediment") {
        floor::mud(pen, cell, 1.0);
    }
}

/// The ring of the floor that carries the stack, seen through its wall.
fn ring(pen: &mut Pen<'_>, cell: &Cell) {
    let Some(r) = cell.round.clone() else { return };
    let height = pen.layout.levels.sediment;
    let axis = cell.room.mid_x();
    pen.part("bottom_bridge", Point::new(axis + r.ring.1 - 4.0, -0.6 * height));
    let wall = brush::rounded(axis - r.ring.1, -height, axis + r.ring.1, 0.0, 1.0);
    let fill = Paint::Linear {
        from: Point::new(axis - r.ring.1, 0.0),
        to: Point::new(axis + r.ring.1, 0.0),
        stops: vec![
            (0.0, Shade::new(Role::JarGlass, Tone::Dark).alpha(0.75)),
            (0.12, Shade::new(Role::JarGlass, Tone::Light).alpha(0.45)),
            (0.88, Shade::new(Role::JarGlass, Tone::Light).alpha(0.45)),
            (1.0, Shade::new(Role::JarGlass, Tone::Dark).alpha(0.75)),
        ],
    };
    pen.out.solid(wall, fill, Role::JarGlass, 0.9);
    for x in [axis - r.ring.0, axis + r.ring.0] {
        let line = brush::polyline(&[Point::new(x, -height + 1.0), Point::new(x, -0.5)]);
        let faint = Shade::edge(Role::JarGlass).alpha(0.5);
        pen.out.line(line, Stroke::new(0.6, faint).dashed(&[3.0, 2.0]));
    }
    pen.out.end();
}

/// A level band whose ends curl up a little.
fn band(s: &Solid, a: f64, b: f64) -> BezPath {
    let (top, bottom) = (-s.y.1, -s.y.0);
    let run = 14.0;
    let mut p = BezPath::new();
    p.move_to((a, top - DISH));
    p.quad_to((a + 0.5 * run, top), (a + run, top));
    p.line_to((b - run, top));
    p.quad_to((b - 0.5 * run, top), (b, top - DISH));
    p.quad_to((b + 0.5, 0.5 * (top + bottom) - DISH), (b, bottom - DISH));
    p.quad_to((b - 0.5 * run, bottom), (b - run, bottom));
    p.line_to((a + run, bottom));
    p.quad_to((a + 0.5 * run, bottom), (a, bottom - DISH));
    p.quad_to((a - 0.5, 0.5 * (top + bottom) - DISH), (a, top - DISH));
    p.close_path();
    p
}

fn rim(pen: &mut Pen<'_>, cell: &Cell, k: usize, s: &Solid, positive: bool, from_aisle: bool) {
    let (role, tinted) = if positive {
        (Role::PositiveBorder, "positive_plate")
    } else {
        (Role::NegativeBorder, "negative_plate_inside")
    };
    // Leaders would pile up at one place; the spots run to and fro along the rims.
    let share = 0.2 + 0.6 * ((k * 7) % 11) as f64 / 10.0;
    pen.part("round_plate", Point::new(s.x.0 + share * (s.x.1 - s.x.0), -s.mid_y()));
    let riser = cell.round.as_ref().map_or(s.x.1, |r| r.outer_riser.x.0);
    let right = cell.room.mid_x() < riser;
    let (a, b) = match (positive, from_aisle, right) {
        (_, false, _) => s.x,
        (true, true, true) => (s.x.0, s.x.1 - CUT_BACK),
        (true, true, false) => (s.x.0 + CUT_BACK, s.x.1),
        (false, true, true) => (s.x.0, riser + 0.3),
        (false, true, false) => {
            let inner = cell.round.as_ref().map_or(s.x.0, |r| r.outer_riser.x.1);
            (inner - 0.3, s.x.1)
        }
    };
    let tint = pen.effects.tint("round_plate").or(pen.effects.tint(tinted));
    let fill = brush::across_mixed(role, s.x.0, s.x.1, tint);
    pen.out.solid(band(s, a, b), fill, role, 0.8);
    let shine = brush::polyline(&[
        Point::new(s.x.0 + 16.0, -s.y.1 + 0.7),
        Point::new(s.x.1 - 22.0, -s.y.1 + 0.7),
    ]);
    pen.out.line(shine, Stroke::new(0.5, Shade::new(role, Tone::Light).alpha(0.6)));
}

fn separator(pen: &mut Pen<'_>, s: &Solid, k: usize) {
    let role = separator_role(pen.layout.design.separator.kind);
    let share = 0.12 + 0.7 * ((k * 5) % 9) as f64 / 8.0;
    pen.part("separator", Point::new(s.x.0 + share * (s.x.1 - s.x.0), -s.mid_y()));
    let fill = brush::across(role, s.x.0, s.x.1);
    pen.out.solid(band(s, s.x.0, s.x.1), fill, role, weight::SHEET);
}

/// The outer riser and the arm to the negative post; they belong to that post.
pub fn riser(pen: &mut Pen<'_>, cell: &Cell, target: u32) {
    let Some(r) = cell.round.clone() else { return };
    pen.out.resume(Some(target));
    let role = Role::LeadNegative;
    let s = r.outer_riser;
    let body = brush::rounded(s.x.0, -s.y.1, s.x.1, -s.y.0, 2.0);
    pen.out.solid(body, brush::across(role, s.x.0, s.x.1), role, weight::METAL);
    let a = r.arm;
    let bar = brush::rounded(a.x.0 - 2.0, -a.y.1, a.x.1, -a.y.0, 2.0);
    pen.out.solid(bar, brush::down(role, -a.y.1, -a.y.0), role, weight::METAL);
    // A burn at each negative's rim.
    for plate in cell.plates.iter().filter(|p| !p.kind.is_positive()) {
        let right = s.mid_x() > cell.room.mid_x();
        let x = if right { s.x.0 } else { s.x.1 };
        let c = Point::new(x, -plate.solid.mid_y() - DISH);
        pen.part("lead_burn", c);
        let bead = brush::ellipse(c, 1.3, 1.9);
        let line = Stroke::new(0.5, Shade::edge(role).alpha(0.7));
        pen.out.shape(bead, Shade::new(role, Tone::Light), Some(line));
    }
    pen.out.end();
}

/// The same from the right neighbour: riser and arm end stand in front of the rims.
pub fn riser_in_front(pen: &mut Pen<'_>, cell: &Cell, target: u32) {
    let Some(r) = cell.round.clone() else { return };
    pen.out.resume(Some(target));
    let role = Role::LeadNegative;
    let s = r.outer_riser;
    let body = brush::rounded(s.z.0, -s.y.1, s.z.1, -s.y.0, 2.0);
    pen.out.solid(body, brush::across(role, s.z.0, s.z.1), role, weight::METAL);
    let arm = brush::rounded(s.z.0 - 1.0, -r.arm.y.1, s.z.1 + 1.0, -r.arm.y.0, 1.5);
    pen.out.solid(arm, brush::down(role, -r.arm.y.1, -r.arm.y.0), role, weight::METAL);
    pen.out.end();
}
