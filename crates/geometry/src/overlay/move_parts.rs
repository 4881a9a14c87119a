//! Families that leave a part out or put it elsewhere: dropped, slumped, missing, askew.

use super::{Effects, Input, bend::layout};
use crate::{
    alter::Rework,
    draw::{Request, View},
    layout::PlateKind,
};
use jarlight_model::{design::Support, rng::element};
use kurbo::{Affine, Point, Vec2};

/// The one of `n` that the seed takes, from 1, unless the condition's place names one.
fn one_of(input: &Input<'_>, part: &str, n: u32) -> u32 {
    let named = input.place.and_then(|p| p.rsplit_once('-')).filter(|(of, _)| *of == part);
    match named.and_then(|(_, k)| k.parse().ok()) {
        Some(k) => k,
        None => 1 + element(input.seed ^ 0x0E, 1).below(n as usize) as u32,
    }
}

/// One positive lower than its family. `mm`; a hung plate comes to rest on the rib, a standing
/// one goes on down beside it; `degrees`: how far it leans.
pub fn drop(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let Some(layout) = layout(request) else { return };
    if request.view != View::Edge || request.design.round.is_some() {
        return;
    }
    let positives: Vec<_> = layout
        .cells
        .iter()
        .flat_map(|c| &c.plates)
        .filter(|p| p.kind == PlateKind::Positive)
        .collect();
    let number = one_of(input, "positive_plate", positives.len() as u32);
    let Some(plate) = positives.get(number as usize - 1) else { return };
    let room = match request.design.support {
        Support::HungPositives => plate.solid.y.0 - layout.levels.sediment,
        _ => plate.solid.y.0 - 1.0,
    };
    let mm = input.param("mm", 0.0).min(room);
    effects.alter("positive_plate", Some(number), Rework::Move(Affine::translate((0.0, mm))));
    let degrees = input.param("degrees", 0.0);
    if degrees > 0.0 {
        let foot = Point::new(plate.solid.mid_x(), -plate.solid.y.0 + mm);
        let turn = Affine::rotate_about(degrees.to_radians(), foot);
        effects.alter("positive_plate", Some(number), Rework::Move(turn));
    }
}

/// One separator stands low and its sheet has sagged; from `gone` on it is missing. `mm`: how
/// far its top has come down.
pub fn slump(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let Some(layout) = layout(request) else { return };
    if request.view != View::Edge {
        return;
    }
    let sheets: Vec<_> = layout.cells.iter().flat_map(|c| &c.separators).collect();
    // One of the middle ones: the outer ones stand behind jar furniture.
    let n = sheets.len() as u32;
    let number = match one_of(input, "separator", n) {
        k if input.place.is_some() => k,
        k => (n / 4 + k / 2).clamp(1, n),
    };
    let Some(s) = sheets.get(number as usize - 1) else { return };
    if input.param("gone", 0.0) >= 0.5 {
        effects.alter("separator", Some(number), Rework::Hide);
        return;
    }
    let mm = input.param("mm", 2.0);
    let high = s.y.1 - s.y.0;
    // Its foot stays where the bridge holds it.
    let squeeze = Affine::translate((0.0, -s.y.0))
        * Affine::scale_non_uniform(1.0, ((high - mm) / high).max(0.2))
        * Affine::translate((0.0, s.y.0));
    effects.alter("separator", Some(number), Rework::Move(squeeze));
}

/// A part is not there. `gone` from 0.5 on; `number` of the part, all of them by default.
pub fn missing(input: &Input<'_>, effects: &mut Effects<'_>, _: &Request<'_>) {
    if input.param("gone", 1.0) < 0.5 {
        return;
    }
    let number = match input.param("number", 0.0) {
        n if n >= 1.0 => Some(n as u32),
        _ => None,
    };
    if input.says("row") {
        effects.alter_row(input.on(), number, Rework::Hide);
    } else {
        effects.alter(input.on(), number, Rework::Hide);
    }
}

/// A cap, a label or a tube askew. `mm` aside; `degrees`. Nothing when `gone` is 0.5 or more.
pub fn cap(input: &Input<'_>, effects: &mut Effects<'_>, _: &Request<'_>) {
    if input.param("gone", 0.0) >= 0.5 {
        effects.alter(input.on(), None, Rework::Hide);
        return;
    }
    let (mm, degrees) = (input.param("mm", 0.0), input.param("degrees", 0.0));
    if mm != 0.0 {
        effects.alter(input.on(), None, Rework::Move(Affine::translate((mm, 0.0))));
    }
    if degrees != 0.0 {
        let pivot = Vec2::new(input.param("pivot_x", 0.0), input.param("pivot_y", 0.0));
        effects.alter(input.on(), None, Rework::Turn { degrees, pivot });
    }
}

/// The sampling tube hangs crooked, and from `broken` on it is drawn by `tube` instead.
pub fn tube_off(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    if input.param("broken", 0.0) >= 0.5 {
        effects.alter("withdrawal_tube", Some(1), Rework::Hide);
        return;
    }
    let degrees = input.param("degrees", 3.0);
    let rework = if request.view == View::Plan {
        // From above the cap has slid off its hole.
        Rework::Move(Affine::translate((-0.35 * degrees, 0.2 * degrees)))
    } else {
        Rework::Turn { degrees, pivot: Vec2::new(0.0, -30.0) }
    };
    effects.alter("withdrawal_tube", Some(1), rework);
}

/// The jar stands off its place in the row. `mm` along the row; `degrees` of lean; `low`: how
/// far its spacer has sunk; `gone` from 0.5 on: that spacer is missing; `rail`: degrees by which
/// the end rail hangs.
pub fn shift_jar(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    effects.slide -= input.param("mm", 0.0);
    effects.tilt += input.param("degrees", 0.0);
    let low = input.param("low", 0.0);
    let gone = input.param("gone", 0.0) >= 0.5;
    let rework = if gone { Rework::Hide } else { Rework::Move(Affine::translate((0.0, low))) };
    // In the row the spacer left of the middle jar, in the plan that of the specimen.
    let middle = request.options.cells.clamp(1, 12) / 2;
    if middle >= 1 {
        effects.alter_row("seismic_spacer", Some(middle), rework);
    }
    if request.view == View::Plan {
        let rework =
            if gone { Rework::Hide } else { Rework::Move(Affine::translate((0.0, 0.3 * low))) };
        effects.alter("seismic_spacer", Some(2), rework);
    }
    let rail = input.param("rail", 0.0);
    if rail > 0.0 {
        let turn = Rework::Turn { degrees: rail, pivot: Vec2::ZERO };
        effects.alter_row("end_rail", None, turn);
    }
}

/// The jar stands turned half round against the rhythm of its row.
pub fn off_rhythm(_: &Input<'_>, effects: &mut Effects<'_>, _: &Request<'_>) {
    effects.swapped = true;
}
