//! The form of readings: typed as on the sheet, corrected, judged, and noted as findings.

use super::{Seen, reason_find_ui::head_ui, reason_ui::Reason};
use crate::{
    inquiry::Inquiry,
    theme::Look,
    widget::{
        badge,
        control::{self, Rank},
        pick, words,
    },
};
use egui::{ScrollArea, Sense, Ui, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    text::{tr, tr_with},
    unit::trimmed,
};
use jarlight_rules::{
    Entry, Noted,
    reading::{CLOSING, Evaluation, Input, Kind, ReadingError, figures, kinds},
    wording,
};

/// Kinds that can become findings; they come first.
const JUDGED: [&str; 12] = [
    "float_cell",
    "gravity",
    "temperature",
    "float_string",
    "gravity_layers",
    "float_current",
    "connection",
    "ohmic",
    "capacity_by_time",
    "capacity_by_rate",
    "water_use",
    "ground",
];

/// All kinds, those first that can become findings.
fn ordered() -> Vec<&'static Kind> {
    let judged = JUDGED.iter().filter_map(|id| jarlight_rules::reading::kind(id));
    judged.chain(kinds().filter(|kind| !JUDGED.contains(&kind.id))).collect()
}

/// Draws the form.
pub(super) fn read_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &mut Inquiry) {
    let look = seen.look;
    ScrollArea::vertical().id_salt("readings").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        ui.spacing_mut().item_spacing.y = 6.0;
        head_ui(ui, look, &tr("reason-read-title"), &tr("reason-read-about"));
        let all = ordered();
        let names: Vec<String> = all.iter().map(|kind| kind.title.to_owned()).collect();
        let width = ui.available_width();
        let at = reason.kind.min(all.len() - 1);
        if let Some(i) = pick::drop_down(ui, look, &tr("reason-read-kind"), &names, at, width) {
            reason.kind = i;
            reason.noted_reading = false;
        }
        let kind = all[reason.kind.min(all.len() - 1)];
        words::small(ui, look, kind.title);
        for input in kind.inputs {
            input_ui(ui, look, reason, kind, input);
        }
        let typed: Vec<(&str, &str)> = kind
            .inputs
            .iter()
            .filter_map(|i| Some((i.name, reason.typed.get(&(kind.id, i.name))?.trim())))
            .filter(|(_, text)| !text.is_empty())
            .collect();
        ui.add_space(4.0);
        match kind.read(typed).and_then(|given| kind.evaluate(&given)) {
            Ok(met) => result_ui(ui, seen, reason, inquiry, &met),
            Err(ReadingError::MissingInput { .. }) => missing_ui(ui, look, reason, kind),
            // What cannot be read is said under its own field.
            Err(e @ ReadingError::OutOfRange(_)) => warn(ui, look, &e.to_string()),
            Err(_) => {}
        }
        formula_ui(ui, look, kind);
        words::detail(ui, look, CLOSING);
        ui.add_space(14.0);
    });
}

fn input_ui(
    ui: &mut Ui,
    look: Look,
    reason: &mut Reason,
    kind: &'static Kind,
    input: &'static Input,
) {
    let name = wording::upper(input.range.what);
    let width = ui.available_width();
    let unit =
        if input.range.unit.is_empty() { String::new() } else { format!(", {}", input.range.unit) };
    words::detail(ui, look, &format!("{name}{unit}"));
    let hint = match input.usual {
        Some(usual) if usual.is_nan() => tr("reason-read-optional"),
        Some(usual) => tr_with("reason-read-usual", &[("value", &trimmed(usual, 4))]),
        None => {
            let ends = [trimmed(input.range.min, 3), trimmed(input.range.max, 3)];
            tr_with("reason-read-span", &[("low", &ends[0]), ("high", &ends[1])])
        }
    };
    let typed = reason.typed.entry((kind.id, input.name)).or_default();
    let field = control::field(ui, look, &name, &hint, typed, width);
    let units = input.units();
    let field = if units.is_empty() {
        field
    } else {
        let also = units.join(", ");
        let tip = [("unit", input.range.unit), ("units", also.as_str())];
        field.on_hover_text(tr_with("reason-read-also", &tip))
    };
    if field.changed() {
        reason.noted_reading = false;
    }
    let typed = reason.typed.get(&(kind.id, input.name)).map(|t| t.trim().to_owned());
    if let Some(text) = typed.filter(|t| !t.is_empty()) {
        let read = input.read(&text).and_then(|v| Ok(input.range.check(v)?));
        if let Err(e) = read {
            warn(ui, look, &e.to_string());
        }
    }
}

fn warn(ui: &mut Ui, look: Look, text: &str) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(20.0, look.px(18.0)), Sense::hover());
        badge::warning(ui.painter(), rect.center(), 7.0, look);
        words::text(
            ui,
            look,
            &format!("{}.", wording::upper(text)),
            12.5,
            Weight::Medium,
            Role::Ink,
        );
    });
}

fn missing_ui(ui: &mut Ui, look: Look, reason: &Reason, kind: &'static Kind) {
    let missing: Vec<&str> = kind
        .inputs
        .iter()
        .filter(|i| !i.optional())
        .filter(|i| reason.typed.get(&(kind.id, i.name)).is_none_or(|t| t.trim().is_empty()))
        .map(|i| i.range.what)
        .collect();
    words::quiet(ui, look, &tr_with("reason-read-missing", &[("what", &missing.join(", "))]));
}

/// What came out, the limits it was held against, and the way into the case.
fn result_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    reason: &mut Reason,
    inquiry: &mut Inquiry,
    met: &Evaluation,
) {
    let look = seen.look;
    control::card(ui, look, |ui| {
        ui.spacing_mut().item_spacing.y = 5.0;
        words::text(ui, look, &met.sentence, 13.5, Weight::SemiBold, Role::Ink);
        for value in &met.values {
            let number = format!("{} {}", figures(value.value), value.unit);
            let name = wording::upper(&value.name.replace('_', " "));
            words::body(ui, look, &format!("{name}: {}", number.trim_end()));
        }
        for found in &met.findings {
            ui.add_space(2.0);
            words::small(ui, look, &seen.catalogue.name_of(found.finding));
            let id =
                if found.beyond.is_some() { "reason-read-beyond" } else { "reason-read-within" };
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(20.0, look.px(18.0)), Sense::hover());
                if found.beyond.is_some() {
                    badge::warning(ui.painter(), rect.center(), 7.0, look);
                } else {
                    badge::tick(ui.painter(), rect.center(), 7.0, look);
                }
                words::body(ui, look, &tr_with(id, &[("words", found.words)]));
            });
            words::detail(ui, look, &tr_with("reason-read-source", &[("text", found.source)]));
        }
        if met.findings.is_empty() {
            let id = if JUDGED.contains(&met.kind) {
                "reason-read-compare"
            } else {
                "reason-read-no-finding"
            };
            words::quiet(ui, look, &tr(id));
        } else {
            ui.horizontal(|ui| {
                let record = control::button(ui, look, Rank::Primary, &tr("reason-read-record"));
                if record.clicked() {
                    record_reading(inquiry, met);
                    reason.noted_reading = true;
                }
                if reason.noted_reading {
                    let (rect, _) =
                        ui.allocate_exact_size(vec2(22.0, look.px(22.0)), Sense::hover());
                    badge::tick(ui.painter(), rect.center(), 8.0, look);
                    words::quiet(ui, look, &tr("reason-read-noted"));
                }
            });
        }
    });
}

/// Notes what the reading was compared for, and the reading itself in the remarks.
fn record_reading(inquiry: &mut Inquiry, met: &Evaluation) {
    inquiry.change(None, |draft| {
        for found in &met.findings {
            let entry = if found.beyond.is_some() { Entry::AtLeast(1) } else { Entry::Grade(0) };
            draft.noted.insert(found.finding.to_owned(), Noted::Seen(entry));
        }
        if !draft.note.contains(&met.sentence) {
            if !draft.note.is_empty() {
                draft.note.push('\n');
            }
            draft.note.push_str(&met.sentence);
        }
    });
}

fn formula_ui(ui: &mut Ui, look: Look, kind: &Kind) {
    let ranges = kind.range_words();
    for (id, text) in [
        ("reason-read-formula", kind.formula),
        ("reason-read-source", kind.source),
        ("reason-read-range", &ranges),
    ] {
        words::detail(ui, look, &tr_with(id, &[("text", text)]));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_offered_once() {
        assert_eq!(ordered().len(), kinds().count());
        assert!(JUDGED.iter().all(|id| jarlight_rules::reading::kind(id).is_some()));
    }
}
