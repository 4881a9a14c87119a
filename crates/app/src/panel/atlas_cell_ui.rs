//! What is on the cell of the atlas, how far gone and since when: chips and four scales.

use super::{
    Seen,
    atlas_ui::{Atlas, OLDEST, is_harmless},
};
use crate::widget::{
    control::{self, Rank},
    pick, words,
};
use egui::{Align, Layout, Ui, vec2};
use jarlight_model::{
    catalogue::{Condition, Growth},
    text::{tr, tr_with},
    unit::{Severity, months_text, temperature_text, trimmed},
};

/// Draws chips, scales and what time says.
pub(super) fn cell_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas) {
    chips_ui(ui, seen, atlas);
    let Some(condition) = atlas.condition(seen.catalogue) else { return };
    ui.add_space(2.0);
    let gap = 22.0;
    let half = (ui.available_width() - gap) / 2.0;
    let column = |ui: &mut Ui, add: &mut dyn FnMut(&mut Ui)| {
        ui.allocate_ui_with_layout(vec2(half, 0.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(half);
            ui.spacing_mut().item_spacing.y = 2.0;
            add(ui);
        });
    };
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = gap;
        column(ui, &mut |ui| {
            severity_ui(ui, seen, atlas, condition);
            age_ui(ui, seen, atlas);
        });
        column(ui, &mut |ui| {
            months_ui(ui, seen, atlas, condition);
            celsius_ui(ui, seen, atlas);
        });
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        if condition.growth.goes_by_time()
            && control::switch(ui, seen.look, &tr("atlas-linked"), atlas.linked)
        {
            atlas.linked = !atlas.linked;
            atlas.grow(seen.catalogue);
        }
        words::detail(ui, seen.look, &clock_text(atlas, condition));
    });
}

/// What is on the cell, each to be described or taken off, and one more.
fn chips_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas) {
    let look = seen.look;
    let (mut describe, mut off) = (None, None);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
        for (i, on) in atlas.cell.iter().enumerate() {
            let name = seen.catalogue.name_of(on.id.as_str());
            let grade = Severity::clamped(on.severity).grade();
            let text = tr_with("atlas-chip", &[("name", &name), ("grade", &tr(&grade.text_id()))]);
            let (chip, close) = control::chip(ui, look, &text, i == atlas.at);
            if chip.clicked() {
                describe = Some(i);
            }
            let spoken = tr_with("atlas-take-off", &[("name", &name)]);
            close.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &spoken));
            if close.on_hover_text(&spoken).clicked() {
                off = Some(i);
            }
        }
        if !atlas.cell.is_empty() {
            let id = if atlas.adding { "atlas-adding" } else { "atlas-add" };
            if control::button(ui, look, Rank::Plain, &tr(id)).clicked() {
                atlas.adding = !atlas.adding;
                atlas.find = atlas.adding;
                atlas.search.clear();
            }
        }
    });
    if let Some(i) = describe {
        atlas.describe(seen.catalogue, i);
    }
    if let Some(i) = off {
        atlas.take_off(i);
        ui.ctx().request_repaint();
    }
}

fn severity_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, condition: &Condition) {
    let severity = atlas.cell[atlas.at].severity;
    let grade = tr(&Severity::clamped(severity).grade().text_id());
    let percent = trimmed(severity * 100.0, 0);
    let shown = tr_with("condition-severity", &[("percent", &percent), ("grade", &grade)]);
    let mut value = severity * 100.0;
    // What is harmless has no grades.
    ui.add_enabled_ui(!is_harmless(condition), |ui| {
        let name = tr("condition-slider");
        if pick::slider(ui, seen.look, &name, &shown, &mut value, 0.0..=100.0, 1.0) {
            atlas.set_severity(seen.catalogue, value / 100.0);
        }
    });
}

fn months_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, condition: &Condition) {
    let mut months = atlas.cell[atlas.at].months;
    let full = condition.growth.months_to(Severity::clamped(1.0)).unwrap_or(atlas.age);
    // A scale of its own: what takes months and what takes decades are both to be set finely.
    let end = (1.25 * full / atlas.rate(condition)).clamp(6.0, OLDEST);
    let step = if end > 60.0 { 1.0 } else { 0.25 };
    let end = (end / step).ceil() * step;
    let shown = months_text(months);
    if pick::slider(ui, seen.look, &tr("atlas-months"), &shown, &mut months, 0.0..=end, step) {
        atlas.set_months(seen.catalogue, months);
    }
}

fn age_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas) {
    let mut age = atlas.age;
    let shown = months_text(age);
    if pick::slider(ui, seen.look, &tr("atlas-age"), &shown, &mut age, 0.0..=OLDEST, 1.0) {
        atlas.set_age(seen.catalogue, age);
    }
}

fn celsius_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas) {
    let mut celsius = atlas.celsius;
    let shown = temperature_text(celsius, seen.units);
    let name = tr("atlas-celsius");
    if pick::slider(ui, seen.look, &name, &shown, &mut celsius, 10.0..=45.0, 0.5) {
        atlas.set_celsius(seen.catalogue, celsius);
    }
}

/// What the law says of this grade and this time.
fn clock_text(atlas: &Atlas, condition: &Condition) -> String {
    let on = &atlas.cell[atlas.at];
    match condition.growth {
        Growth::Event => return tr("clock-event"),
        Growth::Whole => return tr("clock-whole"),
        Growth::Steady => return tr("clock-steady"),
        Growth::Law { .. } | Growth::Clock { .. } => {}
    }
    if on.severity <= 0.0 {
        return tr("clock-not-yet");
    }
    let grown = Severity::clamped(on.severity);
    let months = condition.growth.months_to(grown).unwrap_or(0.0) / atlas.rate(condition);
    // One cell in ten takes half the time or less, one in ten double or more.
    let (from, to) = (months / 2.0, months * 2.0);
    let id = if on.months < from {
        "clock-fast"
    } else if on.months > to {
        "clock-slow"
    } else if condition.heats {
        "clock-usual-heats"
    } else {
        "clock-usual"
    };
    tr_with(id, &[("from", &months_text(from)), ("to", &months_text(to))])
}
