//! Families that bend or lean a part while it is drawn: bow, wave, swell, lean.

use super::{Effects, Input};
use crate::{
    alter::{Bow, Rework},
    draw::{Request, View},
    layout::{Layout, PlateKind},
};
use jarlight_model::rng::element;
use kurbo::Vec2;

/// The healthy layout of the design, for the places of its parts.
pub fn layout(request: &Request<'_>) -> Option<Layout> {
    Layout::healthy(request.design).ok()
}

/// Where a solid of the cell lies in the drawing from the aisle.
fn span(y: (f64, f64)) -> (f64, f64) {
    (-y.1, -y.0)
}

/// Positives bend as one bow; ribs are crushed on one side, a gap opens on the other. `gap`:
/// percent of the gap that the bow takes.
pub fn bow(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let Some(layout) = layout(request) else { return };
    if request.view != View::Edge || request.design.round.is_some() {
        return;
    }
    let share = input.param("gap", 50.0) / 100.0;
    let gap = request.design.separator.thickness + request.design.mat;
    let (mut positive, mut first_gap) = (0, 0);
    for cell in &layout.cells {
        for (k, plate) in cell.plates.iter().enumerate() {
            if plate.kind != PlateKind::Positive {
                continue;
            }
            positive += 1;
            if !input.covers("positive_plate", positive) {
                continue;
            }
            let mut rng = element(input.seed, u64::from(positive));
            let side = if rng.unit() < 0.5 { -1.0 } else { 1.0 };
            // The strongest reaches the full bow, its neighbours follow less.
            let own = if positive % 3 == 2 { 1.0 } else { rng.range(0.45, 0.85) };
            let mm = share * gap * own;
            let (x, y) = (plate.solid.x, span(plate.solid.y));
            effects.alter(
                "positive_plate",
                Some(positive),
                Rework::Bow(Bow::even(x, y, side * mm)),
            );
            let right = first_gap + k as u32 + 1;
            let pressed = if side > 0.0 { right } else { right - 1 };
            press(effects, cell, first_gap, pressed, side * mm, 0.9 * gap, y);
        }
        first_gap += cell.separators.len() as u32;
    }
}

/// What lies on the pressed side gives way: its near face moves, its far face only when the gap
/// is used up.
fn press(
    effects: &mut Effects<'_>,
    cell: &crate::layout::Cell,
    first: u32,
    number: u32,
    shift: f64,
    room: f64,
    y: (f64, f64),
) {
    let Some(i) = number.checked_sub(first + 1) else { return };
    let pushed = shift.signum() * (shift.abs() - room).max(0.0);
    if let Some(m) = cell.mats.get(i as usize) {
        let mat = Bow::even(m.x, y, shift);
        effects.alter("retainer_mat", Some(number), Rework::Bow(mat));
    }
    if let Some(s) = cell.separators.get(i as usize) {
        // At most the sheet is crushed to a third of its thickness.
        let near = shift.signum() * shift.abs().min(0.67 * (s.x.1 - s.x.0) + pushed.abs());
        let (left, right) = if shift > 0.0 { (near, pushed) } else { (pushed, near) };
        let sheet = Bow { x: s.x, y, left, right, halves: 1.0 };
        effects.alter("separator", Some(number), Rework::Bow(sheet));
    }
}

/// A gentle wave of the end negatives. `mm`; `halves`: half waves over the height.
pub fn wave(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let Some(layout) = layout(request) else { return };
    if request.view != View::Edge || request.design.round.is_some() {
        return;
    }
    let mm = input.param("mm", 0.6);
    let halves = input.param("halves", 3.0);
    let mut number = 0;
    for plate in layout.cells.iter().flat_map(|c| &c.plates) {
        if plate.kind != PlateKind::EndNegative {
            continue;
        }
        number += 1;
        if input.covers("negative_plate_end", number) {
            let bow = Bow { halves, ..Bow::even(plate.solid.x, span(plate.solid.y), mm) };
            effects.alter("negative_plate_end", Some(number), Rework::Bow(bow));
        }
    }
}

/// Both side walls of the jar bow outward at mid height. `mm`: the sagitta.
pub fn swell(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let Some(layout) = layout(request) else { return };
    let mm = input.param("mm", 1.0);
    let width = match request.view {
        View::Edge => layout.inside_x(),
        View::Face => layout.inner_z,
        _ => return,
    };
    let wall = request.design.jar.wall;
    let y = (-layout.levels.cover_under, 0.0);
    for (part, x) in
        [("jar", (-wall, width + wall)), ("electrolyte", (0.0, width)), ("headspace", (0.0, width))]
    {
        let bow = Bow { y, x, left: -mm, right: mm, halves: 1.0 };
        effects.alter(part, None, Rework::Bow(bow));
    }
}

/// The positive post leans about its strap. `degrees`.
pub fn lean(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let Some(layout) = layout(request) else { return };
    if request.view == View::Plan {
        return;
    }
    let degrees = input.param("degrees", 1.0);
    let l = layout.levels;
    let down = l.cover_top + request.design.posts.above - l.strap_top;
    let turn = Rework::Turn { degrees, pivot: Vec2::new(0.0, down) };
    effects.alter("post_positive", None, turn);
    // The strap tilts with it, half as much.
    let tilt = Rework::Turn { degrees: 0.35 * degrees, pivot: Vec2::new(40.0, 0.0) };
    effects.alter("strap_positive", None, tilt);
}
