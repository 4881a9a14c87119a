//! One condition drawn on the cell of the study page, as far gone as a slider says.

use super::{Seen, photo_ui::photos_of_ui, study_part_ui::said_ui, study_ui::Study};
use crate::{
    command::Command,
    widget::{pick, words},
};
use egui::{ScrollArea, Ui};
use jarlight_model::{
    catalogue::Condition,
    design::Design,
    text::{tr, tr_with},
    unit::{Severity, trimmed},
};

/// Draws the chooser, the slider and what the eye sees.
pub(super) fn condition_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    study: &mut Study,
    design: &Design,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    words::section(ui, look, &tr("condition-title"));
    ui.add_space(4.0);
    words::quiet(ui, look, &tr("condition-about"));
    ui.add_space(8.0);
    let here = |c: &&Condition| {
        let on = |part: &str| seen.catalogue.has_part(design, part);
        !c.overlay.is_empty() && c.parts.iter().any(|p| on(&p.value))
    };
    let mut all: Vec<&Condition> = seen.catalogue.conditions.iter().filter(here).collect();
    all.sort_by(|a, b| a.name.cmp(&b.name));
    let names: Vec<String> =
        std::iter::once(tr("condition-none")).chain(all.iter().map(|c| c.name.clone())).collect();
    let is_chosen = |c: &Condition| study.condition.as_ref() == Some(&c.id.value);
    let at = all.iter().position(|c| is_chosen(c)).map_or(0, |i| i + 1);
    let width = ui.available_width();
    if let Some(i) = pick::drop_down(ui, look, &tr("condition-name"), &names, at, width) {
        study.condition = i.checked_sub(1).and_then(|i| all.get(i)).map(|c| c.id.value.clone());
    }
    let chosen = study.condition.as_ref().and_then(|id| seen.catalogue.condition(id.as_str()));
    let Some(condition) = chosen else { return };
    ui.add_space(8.0);
    let grade = Severity::clamped(study.severity).grade();
    let percent = trimmed(study.severity * 100.0, 0);
    let shown =
        tr_with("condition-severity", &[("percent", &percent), ("grade", &tr(&grade.text_id()))]);
    let mut value = study.severity * 100.0;
    if pick::slider(ui, look, &tr("condition-slider"), &shown, &mut value, 0.0..=100.0, 1.0) {
        study.severity = value / 100.0;
    }
    ui.add_space(8.0);
    ScrollArea::vertical().id_salt(condition.id.as_str()).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        let step = usize::from(grade.value()).checked_sub(1);
        if let Some(step) = step.and_then(|i| condition.steps.get(i)) {
            words::small(ui, look, &tr(&grade.text_id()));
            words::quiet(ui, look, step);
            ui.add_space(8.0);
        }
        for (title, said) in [
            ("condition-see", &condition.see),
            ("condition-measure", &condition.measure),
            ("feedback-caution", &condition.caution),
        ] {
            words::small(ui, look, &tr(title));
            said_ui(ui, look, said);
            ui.add_space(8.0);
        }
        photos_of_ui(ui, seen, condition.id.as_str(), &mut study.photos, out);
        ui.add_space(12.0);
    });
}
