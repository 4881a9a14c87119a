//! The workshop: the text of a scenario on one side, what it makes on the other.

use super::{
    Seen,
    run_ui::{preview_ui, run_ui},
    workshop_ask_ui, workshop_faults_ui, workshop_insert_ui, workshop_scene_ui, workshop_text_ui,
};
use crate::{
    command::Command,
    theme::{CARD_CORNER, Look},
    widget::{
        badge,
        control::{self, Rank},
        pick, words,
    },
    workshop::{Jump, Open, Tab, Where, Wish, Workshop, template},
};
use egui::{
    Align, Frame, Key, KeyboardShortcut, Layout, Margin, Modifiers, Rect, ScrollArea, Sense,
    StrokeKind, Ui, UiBuilder, pos2, vec2,
};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::text::{tr, tr_with};
use jarlight_scenario::{Action, Mode};

/// What the page keeps for itself.
#[derive(Default)]
pub struct Page {
    /// The text as it was laid out last.
    pub laid: Option<workshop_text_ui::Laid>,
    /// What is searched for among the ids.
    pub search: String,
    /// Whether questions are listed to be put in, or ids.
    pub ids: bool,
    /// Which kind of ids.
    pub kind: usize,
    /// The drawing of the scene.
    pub scene: workshop_scene_ui::Stand,
    /// Whether the text is shown where there is room for one side alone.
    pub aside: bool,
    /// The fault that was jumped to last.
    pub fault: usize,
}

const fn keys(modifiers: Modifiers, key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(modifiers, key)
}

const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
const NEW: KeyboardShortcut = keys(Modifiers::COMMAND, Key::N);
const OPEN: KeyboardShortcut = keys(Modifiers::COMMAND, Key::O);
const SAVE_AS: KeyboardShortcut = keys(CTRL_SHIFT, Key::S);
const SAVE: KeyboardShortcut = keys(Modifiers::COMMAND, Key::S);
const REDO: KeyboardShortcut = keys(CTRL_SHIFT, Key::Z);
const REDO_TOO: KeyboardShortcut = keys(Modifiers::COMMAND, Key::Y);
const UNDO: KeyboardShortcut = keys(Modifiers::COMMAND, Key::Z);
const TRY: KeyboardShortcut = keys(Modifiers::NONE, Key::F5);
const FAULT_BACK: KeyboardShortcut = keys(Modifiers::SHIFT, Key::F8);
const FAULT: KeyboardShortcut = keys(Modifiers::NONE, Key::F8);
const FIX: KeyboardShortcut = keys(Modifiers::COMMAND, Key::Period);
const EARLIER: KeyboardShortcut = keys(Modifiers::COMMAND, Key::PageUp);
const LATER: KeyboardShortcut = keys(Modifiers::COMMAND, Key::PageDown);

const TABS: [(Tab, &str); 3] = [
    (Tab::Question, "workshop-tab-question"),
    (Tab::Scene, "workshop-tab-scene"),
    (Tab::Insert, "workshop-tab-insert"),
];

const TRIES: [(Mode, &str); 3] = [
    (Mode::Learn, "mode-learn"),
    (Mode::Practise, "mode-practise"),
    (Mode::Check, "workshop-check-run"),
];

/// Draws the page.
pub fn workshop_ui(ui: &mut Ui, seen: &Seen<'_>, shop: &mut Workshop, out: &mut Vec<Command>) {
    let look = seen.look;
    if shop.ask.is_none() {
        listen(ui, shop, out);
    }
    Frame::new().inner_margin(Margin::symmetric(18, 12)).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 8.0;
        if shop.open.is_none() {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| begin_ui(ui, look, shop, out));
        } else {
            tools_ui(ui, look, shop, out);
            workshop_ask_ui::banners_ui(ui, look, shop, out);
            desk_ui(ui, seen, shop, out);
        }
    });
    workshop_ask_ui::ask_ui(ui, look, shop, out);
}

/// Keys of the whole page.
fn listen(ui: &Ui, shop: &mut Workshop, out: &mut Vec<Command>) {
    let pressed = |k: &KeyboardShortcut| ui.input_mut(|i| i.consume_shortcut(k));
    let mut wish = |w| out.push(Command::Desk(w));
    if pressed(&NEW) {
        wish(Wish::New(None));
    }
    if pressed(&OPEN) {
        wish(Wish::AskOpen);
    }
    let Some(open) = &mut shop.open else { return };
    if pressed(&SAVE_AS) {
        wish(Wish::AskSave);
    }
    if pressed(&SAVE) {
        wish(Wish::Save);
    }
    if pressed(&TRY) && open.good.is_some() {
        wish(Wish::Try(Mode::Practise));
    }
    // A field that is typed in has its own history.
    let focused = ui.memory(|m| m.focused());
    if !ui.ctx().text_edit_focused() || focused == Some(workshop_text_ui::id()) {
        if pressed(&REDO) || pressed(&REDO_TOO) {
            open.step(false);
        }
        if pressed(&UNDO) {
            open.step(true);
        }
    }
    if pressed(&FAULT_BACK) {
        workshop_faults_ui::go(open, &mut shop.page.fault, false);
    }
    if pressed(&FAULT) {
        workshop_faults_ui::go(open, &mut shop.page.fault, true);
    }
    if pressed(&FIX) {
        workshop_faults_ui::mend_at_cursor(open);
    }
    if pressed(&EARLIER) {
        choose(open, open.chosen.saturating_sub(1));
    }
    if pressed(&LATER) {
        choose(open, open.chosen + 1);
    }
}

/// Shows another question, beside the text and in it.
fn choose(open: &mut Open, number: usize) {
    let Some(good) = &open.good else { return };
    open.chosen = number.min(good.scenario.questions().len().saturating_sub(1));
    if let Some(q) = open.outline().questions.get(open.chosen) {
        open.jump = Some(Jump { to: q.at.start + 1..q.at.start + 1, focus: false });
    }
}

/// Nothing is open yet.
fn begin_ui(ui: &mut Ui, look: Look, shop: &mut Workshop, out: &mut Vec<Command>) {
    ui.add_space(8.0);
    words::title(ui, look, &tr("page-workshop"));
    ui.scope(|ui| {
        ui.set_max_width(look.px(760.0));
        words::text(ui, look, &tr("workshop-about"), 15.0, Weight::Regular, Role::SecondInk);
    });
    workshop_ask_ui::banners_ui(ui, look, shop, out);
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        if control::button(ui, look, Rank::Primary, &tr("workshop-new-lesson")).clicked() {
            out.push(Command::Desk(Wish::New(None)));
        }
        if control::button(ui, look, Rank::Secondary, &tr("workshop-open")).clicked() {
            out.push(Command::Desk(Wish::AskOpen));
        }
    });
    ui.add_space(10.0);
    words::section(ui, look, &tr("workshop-begin-with"));
    let columns = ((ui.available_width() / look.px(330.0)) as usize).clamp(1, 4);
    let all = template::all();
    let gap = 10.0;
    let width = (ui.available_width() - gap * (columns - 1) as f32) / columns as f32;
    for row in all.chunks(columns) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for t in row {
                if tile(ui, look, &t.title, &t.note, width) {
                    out.push(Command::Desk(Wish::New(Some(t.id))));
                }
            }
        });
    }
    ui.add_space(16.0);
}

/// A choice with a name and a line about it.
pub fn tile(ui: &mut Ui, look: Look, title: &str, note: &str, width: f32) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(width, look.px(64.0)), Sense::click());
    let spoken = format!("{title}: {note}");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &spoken));
    let (fill, line) = match response.hovered() {
        true => (Role::AccentFill, Role::Accent),
        false => (Role::Panel, Role::Rule),
    };
    let painter = ui.painter();
    painter.rect(rect, CARD_CORNER - 1, look.color(fill), look.line(line), StrokeKind::Inside);
    let room = rect.width() - 28.0;
    let font = look.font(14.0, Weight::SemiBold);
    let name = control::one_line(ui, title, font, look.color(Role::Ink), room);
    let mut job = egui::text::LayoutJob::simple(
        note.to_owned(),
        look.font(12.0, Weight::Regular),
        look.color(Role::SecondInk),
        room,
    );
    job.wrap.max_rows = 2;
    let about = ui.painter().layout_job(job);
    let top = rect.center().y - (name.size().y + about.size().y + 2.0) / 2.0;
    let below = top + name.size().y + 2.0;
    ui.painter().galley(pos2(rect.min.x + 14.0, top), name, look.color(Role::Ink));
    ui.painter().galley(pos2(rect.min.x + 14.0, below), about, look.color(Role::SecondInk));
    control::focus(ui, look, rect, &response, CARD_CORNER - 1);
    response.clicked()
}

/// The row of buttons, and the name of the file.
fn tools_ui(ui: &mut Ui, look: Look, shop: &mut Workshop, out: &mut Vec<Command>) {
    let Some(open) = &mut shop.open else { return };
    let dirty = open.is_dirty();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        let mut wish = |w| out.push(Command::Desk(w));
        let new = control::button(ui, look, Rank::Secondary, &tr("workshop-new"));
        egui::Popup::menu(&new).show(|ui| {
            ui.set_min_width(look.px(230.0));
            let blank = tr("workshop-new-lesson");
            if control::row(ui, look, &blank, "", &blank, false).clicked() {
                wish(Wish::New(None));
                ui.close();
            }
            for t in template::all() {
                if control::row(ui, look, &t.title, "", &t.title, false).clicked() {
                    wish(Wish::New(Some(t.id)));
                    ui.close();
                }
            }
        });
        if control::button(ui, look, Rank::Secondary, &tr("workshop-open")).clicked() {
            wish(Wish::AskOpen);
        }
        let rank = if dirty { Rank::Primary } else { Rank::Secondary };
        let save = control::button(ui, look, rank, &tr("workshop-save"));
        if save.on_hover_text(tr("workshop-save-key")).clicked() {
            wish(Wish::Save);
        }
        if control::button(ui, look, Rank::Secondary, &tr("workshop-save-as")).clicked() {
            wish(Wish::AskSave);
        }
        for (back, can, id) in [
            (true, open.text.can_undo(), "workshop-undo"),
            (false, open.text.can_redo(), "workshop-redo"),
        ] {
            ui.add_enabled_ui(can, |ui| {
                if control::button(ui, look, Rank::Plain, &tr(id)).clicked() {
                    open.step(back);
                }
            });
        }
        ui.add_space(10.0);
        words::text(ui, look, &tr("workshop-try"), 13.0, Weight::Medium, Role::SecondInk);
        ui.add_enabled_ui(open.good.is_some(), |ui| {
            for (mode, id) in TRIES {
                let button = control::button(ui, look, Rank::Plain, &tr(id));
                let spoken = format!("{}: {}", tr("workshop-try"), tr(id));
                button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &spoken));
                if button.on_hover_text(tr("workshop-try-about")).clicked() {
                    wish(Wish::Try(mode));
                }
            }
        });
        ui.add_space(10.0);
        state_ui(ui, look, open, dirty);
    });
}

fn state_ui(ui: &mut Ui, look: Look, open: &Open, dirty: bool) {
    let (id, role) = match (&open.path, dirty) {
        (None, _) => ("workshop-state-new", Role::Caution),
        (Some(_), true) => ("workshop-state-changed", Role::Caution),
        (Some(_), false) if open.just_saved => ("workshop-state-saved", Role::Right),
        (Some(_), false) => ("workshop-state-same", Role::SecondInk),
    };
    let name = open.short_name();
    let said = tr_with(id, &[("file", &name)]);
    let shown = words::text(ui, look, &said, 13.0, Weight::SemiBold, role);
    ui.ctx().accesskit_node_builder(shown.id, |n| n.set_live(egui::accesskit::Live::Polite));
    shown.on_hover_text(open.name());
}

/// Text and preview, side by side where there is room.
fn desk_ui(ui: &mut Ui, seen: &Seen<'_>, shop: &mut Workshop, out: &mut Vec<Command>) {
    let look = seen.look;
    let narrow = ui.available_width() < look.px(800.0);
    if narrow {
        let labels = [tr("workshop-tab-text"), tr("workshop-tab-beside")];
        let at = usize::from(shop.page.aside);
        if let Some(i) = control::segments(ui, look, "side", &labels, at) {
            shop.page.aside = i == 1;
        }
    }
    let room = ui.available_rect_before_wrap();
    let gap = 16.0;
    let (left, right) = if narrow {
        (room, room)
    } else {
        let width = ((room.width() - gap) * 0.53).round();
        let middle = room.min.x + width;
        (
            Rect::from_min_max(room.min, pos2(middle, room.max.y)),
            Rect::from_min_max(pos2(middle + gap, room.min.y), room.max),
        )
    };
    if !narrow || !shop.page.aside {
        ui.scope_builder(UiBuilder::new().max_rect(left), |ui| text_side(ui, look, shop));
    }
    if !narrow || shop.page.aside {
        ui.scope_builder(UiBuilder::new().max_rect(right), |ui| side_ui(ui, seen, shop, out));
    }
    ui.advance_cursor_after_rect(room);
}

/// The text, and what is wrong with it.
fn text_side(ui: &mut Ui, look: Look, shop: &mut Workshop) {
    let Some(open) = &mut shop.open else { return };
    let area = ui.available_rect_before_wrap();
    let most = area.height() * 0.34;
    let foot = workshop_faults_ui::height(look, open).min(most);
    let text = Rect::from_min_max(area.min, pos2(area.max.x, area.max.y - foot - 8.0));
    let faults = Rect::from_min_max(pos2(area.min.x, area.max.y - foot), area.max);
    ui.scope_builder(UiBuilder::new().max_rect(text), |ui| {
        workshop_text_ui::text_ui(ui, look, open, &mut shop.page.laid);
    });
    ui.scope_builder(UiBuilder::new().max_rect(faults), |ui| {
        workshop_faults_ui::faults_ui(ui, look, open, &mut shop.page.fault);
    });
}

fn side_ui(ui: &mut Ui, seen: &Seen<'_>, shop: &mut Workshop, out: &mut Vec<Command>) {
    let look = seen.look;
    let Some(open) = &mut shop.open else { return };
    let labels = TABS.map(|(_, id)| tr(id));
    let at = TABS.iter().position(|(t, _)| *t == shop.tab).unwrap_or(0);
    if let Some(i) = control::segments(ui, look, "tab", &labels, at) {
        shop.tab = TABS[i].0;
    }
    if shop.tab == Tab::Insert {
        workshop_insert_ui::insert_ui(ui, seen, open, &mut shop.page);
        return;
    }
    if open.good.is_none() {
        let id = if open.checked.is_some() { "workshop-no-good" } else { "workshop-checking" };
        words::quiet(ui, look, &tr(id));
        return;
    }
    step_ui(ui, look, open);
    let stale = open.good.as_ref().is_some_and(|g| Some(g.revision) != open.checked);
    if stale {
        ui.horizontal(|ui| {
            let (r, _) = ui.allocate_exact_size(vec2(20.0, look.px(20.0)), Sense::hover());
            badge::warning(ui.painter(), r.center(), 8.0, look);
            words::text(ui, look, &tr("workshop-stale"), 13.0, Weight::SemiBold, Role::Caution);
        });
    }
    if open.preview(seen.catalogue).is_none() {
        words::quiet(ui, look, &tr("workshop-no-question"));
        return;
    }
    match shop.tab {
        Tab::Question => question_ui(ui, seen, open, out),
        _ => workshop_scene_ui::scene_ui(ui, seen, open, &mut shop.page.scene),
    }
}

/// Which question is shown.
fn step_ui(ui: &mut Ui, look: Look, open: &mut Open) {
    let Some(good) = &open.good else { return };
    let questions = good.scenario.questions();
    let total = questions.len();
    let labels: Vec<String> =
        questions.iter().enumerate().map(|(i, q)| format!("{}  {}", i + 1, q.stem.value)).collect();
    let mut to = None;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let at = open.chosen;
        for (can, number, id) in [
            (at > 0, at.saturating_sub(1), "workshop-earlier"),
            (at + 1 < total, at + 1, "workshop-later"),
        ] {
            ui.add_enabled_ui(can, |ui| {
                if control::button(ui, look, Rank::Secondary, &tr(id)).clicked() {
                    to = Some(number);
                }
            });
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let again = control::button(ui, look, Rank::Plain, &tr("workshop-other-picture"));
            if again.on_hover_text(tr("workshop-other-picture-about")).clicked() {
                open.seed += 1;
            }
            let room = ui.available_width() - 8.0;
            ui.set_max_width(room);
            let name = tr("workshop-questions");
            to = pick::drop_down(ui, look, &name, &labels, at, room - 30.0).or(to);
        });
    });
    if let Some(number) = to {
        choose(open, number);
    }
}

/// The question as a learner sees it, and what the rules say.
fn question_ui(ui: &mut Ui, seen: &Seen<'_>, open: &mut Open, out: &mut Vec<Command>) {
    let Some(preview) = &mut open.preview else { return };
    let (running, reasoned) = (&mut preview.running, preview.reasoned.as_ref());
    let mut local = Vec::new();
    preview_ui(ui, seen, running, &mut local, |ui| {
        ui.add_space(6.0);
        workshop_scene_ui::rules_ui(ui, seen.look, reasoned);
    });
    for command in local {
        match command {
            // There is no next question here: the same one is asked anew.
            Command::Act(Action::Advance) => open.preview = None,
            Command::Act(action) => {
                out.push(Command::Desk(Wish::Act(action, Where::Preview)));
            }
            other => out.push(other),
        }
    }
}

/// A run through the text that nobody keeps.
pub fn trial_ui(ui: &mut Ui, seen: &Seen<'_>, shop: &mut Workshop, out: &mut Vec<Command>) {
    let look = seen.look;
    let Some(trial) = &mut shop.trial else {
        out.push(Command::Desk(Wish::Back));
        return;
    };
    let mode = trial.session.mode();
    let about = TRIES.iter().find(|(m, _)| *m == mode).map_or("", |(_, id)| *id);
    Frame::new().fill(look.color(Role::AccentFill)).inner_margin(Margin::symmetric(18, 6)).show(
        ui,
        |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_wrapped(|ui| {
                if control::button(ui, look, Rank::Secondary, &tr("workshop-back")).clicked() {
                    out.push(Command::Desk(Wish::Back));
                }
                if control::button(ui, look, Rank::Plain, &tr("workshop-again")).clicked() {
                    out.push(Command::Desk(Wish::Try(mode)));
                }
                let said = tr_with("workshop-trial", &[("mode", &tr(about))]);
                words::text(ui, look, &said, 13.0, Weight::Medium, Role::Ink);
            });
        },
    );
    let mut local = Vec::new();
    run_ui(ui, seen, trial, &mut local);
    out.extend(local.into_iter().map(|command| match command {
        Command::Act(action) => Command::Desk(Wish::Act(action, Where::Trial)),
        other => other,
    }));
}
