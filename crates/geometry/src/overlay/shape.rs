//! Families that change the layout, the mud or a material before anything is drawn.

use super::{Effects, Input, Mud};
use crate::{draw::Request, layout::Sums, palette::Role};

/// Height of the scant fine brown layer that every healthy cell has, in millimetres.
pub const HEALTHY_MUD: f64 = 1.6;

/// `percent`: growth of the positives as a share of their height.
pub fn growth(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    use jarlight_model::design::Construction;
    let percent = input.param("percent", 0.0);
    // Spines and top bar of a tubular plate grow half as much as a pasted frame.
    let share = if request.design.construction == Construction::Tubular { 0.5 } else { 1.0 };
    let growth = share * percent / 100.0;
    effects.deformation.growth = effects.deformation.growth.max(growth);
    let lift = post_lift(growth, request);
    effects.deformation.post_lift = effects.deformation.post_lift.max(lift);
}

/// How far growth lifts the positive post, in millimetres.
fn post_lift(growth: f64, request: &Request<'_>) -> f64 {
    use jarlight_model::design::Support;
    let d = request.design;
    let grown = growth * d.plates.height;
    match d.support {
        Support::Standing => (grown - 1.0).max(0.0),
        Support::HungPositives => (grown - d.heights.feet - d.heights.hung_short).max(0.0),
        Support::AllHung | Support::Ring => 0.0,
    }
}

/// `mm`: how far the positive posts have risen.
pub fn lift(input: &Input<'_>, effects: &mut Effects<'_>, _: &Request<'_>) {
    let mm = input.param("mm", 0.0);
    effects.deformation.post_lift = effects.deformation.post_lift.max(mm);
}

/// `percent`: height of the ridges as a share of the sediment space; word `lumps`, `negatives`.
pub fn heap(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let height = input.param("percent", 0.0) / 100.0 * request.design.heights.sediment;
    effects.mud.push(Mud {
        role: input.paint(Role::Sediment),
        height: height.max(HEALTHY_MUD * 1.25),
        lumps: input.says("lumps"),
        under_negatives: input.says("negatives"),
        seed: input.seed,
    });
}

/// Height of the liquid. Falling: at the low line, 5 mm under it, plate tops just covered, 5 mm
/// and 20 mm of the plates bare for grades 1 to 5. With the word `high`: `mm` over the high line,
/// at most up to the cover. With the word `loss`: `mm` under the usual level.
pub fn level(input: &Input<'_>, effects: &mut Effects<'_>, request: &Request<'_>) {
    let h = &request.design.heights;
    let mm = input.param("mm", 0.0);
    let levels = Sums::of(request.design).levels(request.design, &effects.deformation);
    let y = if input.says("high") {
        (levels.high + mm).min(levels.cover_under - 0.6)
    } else if input.says("loss") {
        (levels.low + 0.7 * h.span - mm).max(levels.sediment)
    } else {
        // Between the grades the level falls evenly through these marks.
        let (top, low) = (levels.plate_top, levels.low);
        let marks = [low, low - 5.0, top + 1.5, top - 5.0, top - 20.0];
        jarlight_model::catalogue::ByGrade(marks).at(input.severity.max(0.2))
            + if input.severity < 0.2 { (1.0 - 5.0 * input.severity) * 0.7 * h.span } else { 0.0 }
    };
    // Of several reasons the lowest level stands, unless the cell was overfilled.
    effects.deformation.liquid = Some(
        effects
            .deformation
            .liquid
            .map_or(y, |old| if input.says("high") { old.max(y) } else { old.min(y) }),
    );
}

/// `share`: how much of another material shows in the part's own.
pub fn tint(input: &Input<'_>, effects: &mut Effects<'_>, _: &Request<'_>) {
    let share = input.param("share", 0.0) as f32;
    let part = input.step.on.value.to_string();
    effects.tints.push((part, input.paint(Role::LightPositive), share));
}

/// `mm`: how far the cover domes round the positive post; the post rises with it.
pub fn bulge(input: &Input<'_>, effects: &mut Effects<'_>, _: &Request<'_>) {
    let mm = input.param("mm", 0.0);
    effects.deformation.cover_bulge = effects.deformation.cover_bulge.max(mm);
    effects.deformation.post_lift = effects.deformation.post_lift.max(mm);
}
