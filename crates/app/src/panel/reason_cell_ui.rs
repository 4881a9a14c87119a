//! What is known of the cell: construction, age, warmth, how much of the string is alike.

use super::{Seen, reason_ui::Reason};
use crate::{
    inquiry::Inquiry,
    theme::Look,
    widget::{
        control::{self, Rank},
        pick, words,
    },
};
use egui::{Margin, ScrollArea, Ui, WidgetInfo};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    design::Alloy,
    text::{tr, tr_with},
    unit::{months_text, trimmed},
};
use jarlight_rules::{
    CaseScope,
    reading::{Input, Range},
    wording,
};

const ALLOYS: [(Alloy, &str); 6] = [
    (Alloy::LeadCalcium, "alloy-lead-calcium"),
    (Alloy::LeadAntimony, "alloy-lead-antimony"),
    (Alloy::LowAntimony, "alloy-low-antimony"),
    (Alloy::Tubular, "alloy-tubular"),
    (Alloy::Plante, "alloy-plante"),
    (Alloy::RoundPlate, "alloy-round"),
];

const SCOPES: [(CaseScope, &str); 3] = [
    (CaseScope::Cell, "reason-scope-cell"),
    (CaseScope::String, "reason-scope-string"),
    (CaseScope::Unknown, "reason-scope-unknown"),
];

const AGE: Input =
    Input { name: "age", range: Range::new("time in service", "months", 0.1, 1200.0), usual: None };
const WARMTH: Input = Input {
    name: "temperature_c",
    range: Range::new("average temperature", "°C", -20.0, 60.0),
    usual: None,
};
const SINCE: Input = Input {
    name: "since",
    range: Range::new("time since it was mended", "months", 0.0, 1200.0),
    usual: None,
};

/// Draws the form.
pub(super) fn cell_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &mut Inquiry) {
    let look = seen.look;
    ScrollArea::vertical().id_salt("cell").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        ui.spacing_mut().item_spacing.y = 5.0;
        let width = ui.available_width();
        text_ui(ui, look, inquiry, width);
        design_ui(ui, seen, inquiry, width);
        let age = inquiry.draft.age_months;
        let shown = age.map(months_typed);
        let hint = tr("reason-cell-age-hint");
        if let Some(Some(months)) =
            number_ui(ui, look, reason, ("reason-cell-age", &hint, &AGE), shown, false)
        {
            inquiry.change(Some("age"), |d| d.age_months = Some(months));
        }
        label(ui, look, "reason-cell-scope");
        let names = SCOPES.map(|(_, id)| tr(id));
        let at = SCOPES.iter().position(|(s, _)| *s == inquiry.draft.scope).unwrap_or(2);
        if let Some(i) = pick::pills(ui, look, &names, at) {
            inquiry.change(None, |d| d.scope = SCOPES[i].0);
        }
        let shown = inquiry.draft.temperature.map(|t| format!("{} °C", trimmed(t, 2)));
        let hint = tr("reason-cell-temperature-hint");
        let field = ("reason-cell-temperature", hint.as_str(), &WARMTH);
        if let Some(celsius) = number_ui(ui, look, reason, field, shown, true) {
            inquiry.change(Some("temperature"), |d| d.temperature = celsius);
        }
        label(ui, look, "reason-cell-insert");
        let names = ["reason-cell-as-design", "reason-yes", "reason-no"].map(tr);
        let at = match inquiry.draft.copper_insert {
            None => 0,
            Some(true) => 1,
            Some(false) => 2,
        };
        if let Some(i) = pick::pills(ui, look, &names, at) {
            inquiry.change(None, |d| d.copper_insert = [None, Some(true), Some(false)][i]);
        }
        cured_ui(ui, seen, reason, inquiry, width);
        ui.add_space(14.0);
    });
}

fn label(ui: &mut Ui, look: Look, id: &str) {
    ui.add_space(4.0);
    words::text(ui, look, &tr(id), 12.5, Weight::SemiBold, Role::SecondInk);
}

fn text_ui(ui: &mut Ui, look: Look, inquiry: &mut Inquiry, width: f32) {
    label(ui, look, "reason-cell-title");
    let mut title = inquiry.draft.title.clone();
    let hint = tr("reason-cell-title-hint");
    if control::field(ui, look, &tr("reason-cell-title"), &hint, &mut title, width).changed() {
        inquiry.change(Some("title"), |d| d.title = title);
    }
    label(ui, look, "reason-cell-note");
    let mut note = inquiry.draft.note.clone();
    let edit = egui::TextEdit::multiline(&mut note)
        .font(look.body())
        .margin(Margin::symmetric(10, 8))
        .desired_rows(2)
        .desired_width(width - 20.0);
    let field = ui.add(edit);
    field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, tr("reason-cell-note")));
    if field.changed() {
        inquiry.change(Some("note"), |d| d.note = note);
    }
}

fn design_ui(ui: &mut Ui, seen: &Seen<'_>, inquiry: &mut Inquiry, width: f32) {
    let look = seen.look;
    label(ui, look, "reason-cell-design");
    let all: Vec<_> = seen.catalogue.designs.iter().collect();
    // Where the type of plates is known, the construction need not be.
    let unknown = inquiry.draft.alloy.is_some();
    let mut names: Vec<String> = all.iter().map(|(_, d)| d.name.clone()).collect();
    if unknown {
        names.push(tr("reason-cell-unknown"));
    }
    let wanted = inquiry.draft.design.as_deref();
    let at = all.iter().position(|(id, _)| wanted == Some(id.as_str())).unwrap_or(all.len());
    if let Some(i) = pick::drop_down(ui, look, &tr("reason-cell-design"), &names, at, width) {
        let design = all.get(i).map(|(id, _)| id.to_string());
        inquiry.change(None, |d| d.design = design);
    }
    label(ui, look, "reason-cell-alloy");
    let known = inquiry.draft.design.is_some();
    let mut alloys: Vec<(Option<Alloy>, String)> = Vec::new();
    if known {
        alloys.push((None, tr("reason-cell-as-design")));
    }
    alloys.extend(ALLOYS.map(|(alloy, id)| (Some(alloy), tr(id))));
    let names: Vec<String> = alloys.iter().map(|(_, name)| name.clone()).collect();
    let at = alloys.iter().position(|(a, _)| *a == inquiry.draft.alloy).unwrap_or(0);
    if let Some(i) = pick::drop_down(ui, look, &tr("reason-cell-alloy"), &names, at, width) {
        let alloy = alloys[i].0;
        inquiry.change(None, |d| d.alloy = alloy);
    }
}

/// Months as a person types them.
fn months_typed(months: f64) -> String {
    if months >= 24.0 && (months / 6.0).fract() == 0.0 {
        format!("{} years", trimmed(months / 12.0, 1))
    } else {
        format!("{} months", trimmed(months, 2))
    }
}

/// A number typed with its unit; gives it when it is done and can be read, none when emptied.
fn number_ui(
    ui: &mut Ui,
    look: Look,
    reason: &mut Reason,
    (id, hint, input): (&'static str, &str, &Input),
    shown: Option<String>,
    may_be_empty: bool,
) -> Option<Option<f64>> {
    label(ui, look, id);
    let width = ui.available_width();
    let shown = shown.unwrap_or_default();
    let mut text = reason.fields.get(id).cloned().unwrap_or_else(|| shown.clone());
    let field = control::field(ui, look, &tr(id), hint, &mut text, width);
    let read = match text.trim() {
        "" if may_be_empty => Ok(None),
        text => input.read(text).and_then(|v| Ok(Some(input.range.check(v)?))),
    };
    if field.has_focus() || field.changed() {
        reason.fields.insert(id, text);
    }
    match read {
        Err(e) if reason.fields.contains_key(id) => {
            let text = format!("{}.", wording::upper(&e.to_string()));
            words::text(ui, look, &text, 12.5, Weight::Medium, Role::Caution);
            None
        }
        Ok(value) if field.lost_focus() => reason.fields.remove(id).map(|_| value),
        _ => None,
    }
}

/// Causes that were mended: their marks fade.
fn cured_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &mut Inquiry, width: f32) {
    let look = seen.look;
    label(ui, look, "reason-cell-cured");
    words::detail(ui, look, &tr("reason-cell-cured-about"));
    let mut gone = None;
    for (id, months) in &inquiry.draft.cured {
        let name = seen.catalogue.name_of(id);
        let since = months_text(*months);
        ui.horizontal_wrapped(|ui| {
            let text = tr_with("reason-cell-cured-line", &[("name", &name), ("since", &since)]);
            words::body(ui, look, &text);
            let remove = control::button(ui, look, Rank::Plain, &tr("reason-cell-remove"));
            let spoken = format!("{}: {name}", tr("reason-cell-remove"));
            remove.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &spoken));
            if remove.clicked() {
                gone = Some(id.clone());
            }
        });
    }
    if let Some(id) = gone {
        inquiry.change(None, |d| {
            d.cured.remove(&id);
        });
    }
    let all = &seen.catalogue.mechanisms;
    let names: Vec<String> = all.iter().map(|m| m.name.clone()).collect();
    let at = reason.cured.min(names.len().saturating_sub(1));
    if let Some(i) = pick::drop_down(ui, look, &tr("reason-cell-cured"), &names, at, width) {
        reason.cured = i;
    }
    let name = tr("reason-cell-cured-months");
    let mut text = reason.fields.get("cured").cloned().unwrap_or_default();
    let hint = tr("reason-cell-cured-hint");
    control::field(ui, look, &name, &hint, &mut text, width);
    let months = input_months(&text);
    if let (false, Err(e)) = (text.trim().is_empty(), &months) {
        words::text(
            ui,
            look,
            &format!("{}.", wording::upper(e)),
            12.5,
            Weight::Medium,
            Role::Caution,
        );
    }
    ui.add_enabled_ui(months.is_ok(), |ui| {
        let add = control::button(ui, look, Rank::Secondary, &tr("reason-cell-cured-add"));
        if let (true, Ok(months), Some(cause)) = (add.clicked(), &months, all.get(at)) {
            inquiry.change(None, |d| {
                d.cured.insert(cause.id.to_string(), *months);
            });
            text.clear();
        }
    });
    reason.fields.insert("cured", text);
}

fn input_months(text: &str) -> Result<f64, String> {
    let read = SINCE.read(text).and_then(|v| Ok(SINCE.range.check(v)?));
    read.map_err(|e| e.to_string())
}
