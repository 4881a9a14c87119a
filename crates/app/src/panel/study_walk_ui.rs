//! Guided walks on the study page: parts pointed out one after the other.

use super::{
    Seen,
    study_part_ui::said_ui,
    study_ui::{COUNTED, Study},
};
use crate::widget::{
    control::{self, Rank},
    words,
};
use egui::{EventFilter, Key, Modifiers, ScrollArea, Ui};
use jarlight_geometry::draw::View;
use jarlight_model::{
    catalogue::WalkStep,
    text::{tr, tr_with},
};

/// Draws the list of walks, or the step of the open one.
pub(super) fn walks_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study) {
    let look = seen.look;
    let open = study.walk.and_then(|(w, s)| Some((w, s, seen.catalogue.walks.get(w)?)));
    let Some((number, at, walk)) = open else {
        words::section(ui, look, &tr("walks-title"));
        ui.add_space(4.0);
        words::quiet(ui, look, &tr("walks-about"));
        ui.add_space(8.0);
        for (i, walk) in seen.catalogue.walks.iter().enumerate() {
            let stops = walk.steps.len().to_string();
            if control::row(ui, look, &walk.title, &stops, &walk.title, false).clicked() {
                go(study, seen, i, 0);
                ui.memory_mut(|m| m.request_focus(egui::Id::unique("walk-next")));
            }
        }
        return;
    };
    let Some(step) = walk.steps.get(at) else {
        study.walk = None;
        return;
    };
    words::section(ui, look, &walk.title);
    let count = [("n", &*(at + 1).to_string()), ("total", &*walk.steps.len().to_string())];
    words::detail(ui, look, &tr_with("walk-step", &count));
    ui.add_space(8.0);
    let mut to = keys(ui, at);
    ui.horizontal_wrapped(|ui| {
        ui.add_enabled_ui(at > 0, |ui| {
            let back = control::button(ui, look, Rank::Secondary, &tr("walk-back"));
            hold_arrows(ui, &back);
            if back.clicked() {
                to = at.checked_sub(1);
            }
        });
        ui.add_enabled_ui(at + 1 < walk.steps.len(), |ui| {
            let next = control::button(ui, look, Rank::Primary, &tr("walk-next"));
            hold_arrows(ui, &next);
            if next.clicked() {
                to = Some(at + 1);
            }
        });
    });
    ui.add_space(10.0);
    let room = ui.available_height() - look.px(44.0);
    ScrollArea::vertical().max_height(room).id_salt(("walk", number, at)).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        for part in &step.parts {
            if let Some(part) = seen.catalogue.part(&part.value) {
                words::small(ui, look, &part.name);
            }
        }
        ui.add_space(4.0);
        said_ui(ui, look, &step.say);
        ui.add_space(10.0);
        words::detail(ui, look, &tr("walk-keys"));
    });
    if control::button(ui, look, Rank::Plain, &tr("walk-all")).clicked() {
        study.walk = None;
    } else if let Some(to) = to.filter(|t| *t < walk.steps.len()) {
        go(study, seen, number, to);
    }
}

/// The arrow keys turn the pages of a walk instead of moving the keyboard elsewhere.
fn hold_arrows(ui: &Ui, button: &egui::Response) {
    if button.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(button.id, filter));
    }
}

fn keys(ui: &Ui, at: usize) -> Option<usize> {
    if ui.ctx().text_edit_focused() {
        return None;
    }
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if pressed(Key::PageDown) || pressed(Key::ArrowRight) {
        return Some(at + 1);
    }
    if pressed(Key::PageUp) || pressed(Key::ArrowLeft) {
        return at.checked_sub(1);
    }
    None
}

/// Goes to a step, seen from where the walk is told, or else from where its parts are seen.
fn go(study: &mut Study, seen: &Seen<'_>, walk: usize, step: usize) {
    let Some(entry) = seen.catalogue.walks.get(walk) else { return };
    let Some(at) = entry.steps.get(step) else { return };
    study.walk = Some((walk, step));
    study.number = None;
    let usual = View::parse(&entry.view).unwrap_or(View::Edge);
    let views = std::iter::once(usual).chain(COUNTED);
    let best = views.into_iter().find(|v| shows(study, *v, at)).unwrap_or(usual);
    study.look_from(best);
}

fn shows(study: &Study, view: View, step: &WalkStep) -> bool {
    let Some(i) = COUNTED.iter().position(|v| *v == view) else { return false };
    step.parts.iter().any(|p| study.counts_of(&p.value)[i] > 0)
}
