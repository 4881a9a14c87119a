//! The answer in the making, form by form.

use crate::{
    running::{Draft, Running},
    theme::Look,
    widget::{
        control::{self, Choice, Rank},
        words,
    },
};
use egui::{Key, Ui};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    text::{tr, tr_with},
    unit::months_text,
};
use jarlight_scenario::{BeganView, FormView, OptionView, QuestionView};

/// Draws the form; true when a choice was confirmed with Enter.
pub fn form_ui(ui: &mut Ui, look: Look, running: &mut Running, view: &QuestionView) -> bool {
    match &view.form {
        FormView::Point => {
            point_ui(ui, look, running);
            false
        }
        FormView::One { list, .. } => list_ui(ui, look, running, 0, list, true),
        FormView::Diagnose { condition, cause, began } => {
            diagnose_ui(ui, look, running, condition, cause, began)
        }
        FormView::Interval { low, high } => {
            interval_ui(ui, look, running, *low, *high);
            false
        }
        FormView::Several { list } => {
            several_ui(ui, look, running, list);
            false
        }
        FormView::Order { list } => {
            order_ui(ui, look, running, list);
            false
        }
        FormView::Marks { labels } => {
            marks_ui(ui, look, running, labels);
            false
        }
        FormView::Number { unit, .. } => number_ui(ui, look, running, unit),
    }
}

fn point_ui(ui: &mut Ui, look: Look, running: &mut Running) {
    control::card(ui, look, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        words::small(ui, look, &tr("point-title"));
        words::quiet(ui, look, &tr("point-how"));
        let state = match &running.draft.point {
            None => "point-none",
            Some(p) if p.target.is_none() => "point-beside",
            Some(_) => "point-chosen",
        };
        words::text(ui, look, &tr(state), 13.5, Weight::SemiBold, Role::Accent);
    });
}

/// Options of one group; true when the chosen one was confirmed with Enter.
fn list_ui(
    ui: &mut Ui,
    look: Look,
    running: &mut Running,
    group: usize,
    list: &[OptionView],
    keys: bool,
) -> bool {
    let mut confirmed = false;
    let mut chosen: Option<usize> = None;
    for (i, option) in list.iter().enumerate() {
        let is_chosen = running.draft.choices[group].as_ref() == Some(&option.id);
        let response = control::choice(
            ui,
            look,
            &Choice {
                key: keys.then_some(i + 1),
                words: &option.text,
                note: None,
                chosen: is_chosen,
                verdict: None,
                open: true,
            },
        );
        if response.clicked() {
            let by_key = ui.input(|i| i.key_pressed(Key::Enter));
            if is_chosen && by_key {
                confirmed = true;
            } else {
                chosen = Some(i);
            }
        }
    }
    if keys {
        chosen = digit(ui, list.len()).or(chosen);
    }
    if let Some(option) = chosen.and_then(|i| list.get(i)) {
        running.draft.choices[group] = Some(option.id.clone());
        if group < 2 {
            running.draft.group = group + 1;
        }
    }
    confirmed
}

/// Digits are choices unless they are being typed.
fn no_field_has_focus(ui: &Ui) -> bool {
    !ui.ctx().text_edit_focused()
}

/// Three groups, one open at a time.
fn diagnose_ui(
    ui: &mut Ui,
    look: Look,
    running: &mut Running,
    condition: &[OptionView],
    cause: &[OptionView],
    began: &BeganView,
) -> bool {
    let bands: &[OptionView] = match began {
        BeganView::Bands(list) => list,
        BeganView::Scale { none, .. } => none.as_slice(),
    };
    let groups =
        [("diagnose-condition", condition), ("diagnose-cause", cause), ("diagnose-began", bands)];
    let active = running.draft.group.min(2);
    let mut confirmed = false;
    for (group, (id, list)) in groups.into_iter().enumerate() {
        let chosen = running.draft.choices[group].clone();
        let said = chosen.and_then(|c| list.iter().find(|o| o.id == c)).map(|o| o.text.clone());
        let said = said.or_else(|| {
            let (low, high) = running.draft.interval.filter(|_| group == 2)?;
            Some(interval_text(low, high))
        });
        if group != active {
            let words = said.clone().unwrap_or_else(|| tr("diagnose-open"));
            let response = control::choice(
                ui,
                look,
                &Choice {
                    key: None,
                    words: &tr(id),
                    note: Some(&words),
                    chosen: said.is_some(),
                    verdict: None,
                    open: true,
                },
            );
            if response.clicked() {
                running.draft.group = group;
            }
            continue;
        }
        ui.add_space(4.0);
        words::small(ui, look, &tr(id));
        confirmed |= list_ui(ui, look, running, group, list, true);
        if let (2, BeganView::Scale { low, high, .. }) = (group, began) {
            interval_ui(ui, look, running, *low, *high);
        }
        ui.add_space(4.0);
    }
    confirmed
}

fn interval_text(low: f64, high: f64) -> String {
    tr_with("interval-between", &[("from", &months_text(low)), ("to", &months_text(high))])
}

/// Two ends on a logarithmic scale of months.
fn interval_ui(ui: &mut Ui, look: Look, running: &mut Running, low: f64, high: f64) {
    control::card(ui, look, |ui| {
        let (mut from, mut to) = running.draft.interval.unwrap_or((low, high));
        let mut changed = false;
        for (value, id) in [(&mut from, "interval-from"), (&mut to, "interval-to")] {
            let name = tr(id);
            words::quiet(ui, look, &name);
            ui.spacing_mut().slider_width = ui.available_width() - look.px(120.0);
            let slider = egui::Slider::new(value, low..=high)
                .logarithmic(true)
                .custom_formatter(|v, _| months_text(v));
            let response = ui.add(slider);
            response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Slider, true, &name));
            changed |= response.changed();
        }
        if changed {
            running.draft.choices[2] = None;
            running.draft.interval = Some((from.min(to), from.max(to)));
        }
        if let Some((low, high)) = running.draft.interval {
            words::small(ui, look, &interval_text(low, high));
        }
    });
}

/// The option whose digit was pressed.
fn digit(ui: &Ui, len: usize) -> Option<usize> {
    const DIGITS: [Key; 9] = [
        Key::Num1,
        Key::Num2,
        Key::Num3,
        Key::Num4,
        Key::Num5,
        Key::Num6,
        Key::Num7,
        Key::Num8,
        Key::Num9,
    ];
    if !no_field_has_focus(ui) {
        return None;
    }
    let pressed = DIGITS.iter().position(|k| ui.input(|i| i.key_pressed(*k)));
    pressed.filter(|i| *i < len)
}

/// Any number of options; each is on or off.
fn several_ui(ui: &mut Ui, look: Look, running: &mut Running, list: &[OptionView]) {
    words::quiet(ui, look, &tr("several-how"));
    let mut turned = digit(ui, list.len());
    for (i, option) in list.iter().enumerate() {
        let on = running.draft.several.contains(&option.id);
        let response = control::choice(
            ui,
            look,
            &Choice {
                key: Some(i + 1),
                words: &option.text,
                note: on.then(|| tr("several-on")).as_deref(),
                chosen: on,
                verdict: None,
                open: true,
            },
        );
        if response.clicked() {
            turned = Some(i);
        }
    }
    if let Some(option) = turned.and_then(|i| list.get(i)) {
        toggle(&mut running.draft.several, &option.id);
    }
}

fn toggle(list: &mut Vec<String>, id: &str) {
    match list.iter().position(|o| o == id) {
        Some(i) => {
            list.remove(i);
        }
        None => list.push(id.to_owned()),
    }
}

/// Steps are chosen one after the other; choosing one again takes it out.
fn order_ui(ui: &mut Ui, look: Look, running: &mut Running, list: &[OptionView]) {
    words::quiet(ui, look, &tr("order-how"));
    let mut turned = digit(ui, list.len());
    for (i, option) in list.iter().enumerate() {
        let place = running.draft.several.iter().position(|o| *o == option.id);
        let note = place.map(|p| tr_with("order-place", &[("n", &(p + 1).to_string())]));
        let response = control::choice(
            ui,
            look,
            &Choice {
                key: Some(i + 1),
                words: &option.text,
                note: note.as_deref(),
                chosen: place.is_some(),
                verdict: None,
                open: true,
            },
        );
        if response.clicked() {
            turned = Some(i);
        }
    }
    if let Some(option) = turned.and_then(|i| list.get(i)) {
        toggle(&mut running.draft.several, &option.id);
    }
}

/// A number that was worked out; true when Enter was pressed in its field.
fn number_ui(ui: &mut Ui, look: Look, running: &mut Running, unit: &str) -> bool {
    let name = tr("number-name");
    ui.horizontal(|ui| {
        let value = &mut running.draft.number;
        let field = control::field(ui, look, &name, &tr("number-hint"), value, look.px(160.0));
        if !running.focus_given {
            field.request_focus();
            running.focus_given = true;
        }
        words::body(ui, look, unit);
        control::entered(ui, &field)
    })
    .inner
}

/// Choose what it is, then where; as often as there is something to mark.
fn marks_ui(ui: &mut Ui, look: Look, running: &mut Running, labels: &[OptionView]) {
    words::quiet(ui, look, &tr("marks-how"));
    let mut chosen = digit(ui, labels.len());
    for (i, option) in labels.iter().enumerate() {
        let on = running.draft.choices[0].as_ref() == Some(&option.id);
        let response = control::choice(
            ui,
            look,
            &Choice {
                key: Some(i + 1),
                words: &option.text,
                note: None,
                chosen: on,
                verdict: None,
                open: true,
            },
        );
        if response.clicked() {
            chosen = Some(i);
        }
    }
    if let Some(option) = chosen.and_then(|i| labels.get(i)) {
        running.draft.choices[0] = Some(option.id.clone());
    }
    take_mark(&mut running.draft);
    let mut gone = None;
    for (i, (_, label)) in running.draft.marks.iter().enumerate() {
        let text = labels.iter().find(|l| l.id == *label).map_or("", |l| l.text.as_str());
        let n = (i + 1).to_string();
        ui.horizontal(|ui| {
            let said = tr_with("marks-one", &[("n", &n), ("what", text)]);
            words::text(ui, look, &said, 13.5, Weight::SemiBold, Role::Accent);
            let remove = control::button(ui, look, Rank::Plain, &tr("marks-remove"));
            let spoken = format!("{}: {said}", tr("marks-remove"));
            remove.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &spoken));
            if remove.clicked() {
                gone = Some(i);
            }
        });
    }
    if let Some(i) = gone {
        running.draft.marks.remove(i);
    }
}

/// A place that was pointed at becomes a mark of the chosen kind.
fn take_mark(draft: &mut Draft) {
    if let Some(label) = draft.choices[0].clone()
        && let Some(place) = draft.point.take()
    {
        draft.marks.push((place, label));
    }
}
