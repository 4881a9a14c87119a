//! The reasoning page: what is noted, which causes that suggests, why, and what to look at next.

use super::{
    Seen, questions_ui::diagnostic_ui, reason_causes_ui::causes_ui, reason_cell_ui::cell_ui,
    reason_find_ui::seen_ui, reason_like_ui::like_ui, reason_read_ui::read_ui,
    reason_why_ui::why_ui,
};
use crate::{
    command::{CaseWish, Command},
    easel::SightEasel,
    inquiry::Inquiry,
    theme::Look,
    widget::{
        badge,
        control::{self, Rank},
        drawing::{Canvas, Spoken},
        pick, words,
    },
};
use egui::{
    Align, Frame, Id, Key, KeyboardShortcut, Layout, Margin, Modal, Modifiers, Panel, ScrollArea,
    Sense, Ui, vec2,
};
use jarlight_geometry::{draw::View, palette::Role, scene::Weight};
use jarlight_model::{
    design::Design,
    diag::Diagnostic,
    text::{tr, tr_with},
};
use std::{collections::BTreeMap, sync::Arc};

/// What stands in the left column.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Tab {
    #[default]
    Seen,
    Read,
    Cell,
}

const TABS: [(Tab, &str); 3] = [
    (Tab::Seen, "reason-tab-seen"),
    (Tab::Read, "reason-tab-read"),
    (Tab::Cell, "reason-tab-cell"),
];

/// What is shown where there is not room for everything.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Page {
    Have,
    #[default]
    Causes,
    Why,
    Like,
}

/// A drawing with what is kept for it.
#[derive(Default)]
pub(super) struct Figure {
    pub easel: SightEasel,
    pub canvas: Canvas,
    pub spoken: Option<(u64, Vec<Option<Spoken>>)>,
}

/// What the page keeps.
pub struct Reason {
    pub(super) tab: Tab,
    pub(super) page: Page,
    pub(super) view: View,
    pub(super) figure: Figure,
    pub(super) search: String,
    // The part whose findings are listed.
    pub(super) part: Option<String>,
    // The finding whose grade can be chosen.
    pub(super) finding: Option<String>,
    pub(super) scroll_to_finding: bool,
    // The finding under the pointer or the keyboard, whose pull is shown at each cause.
    pub(super) pointed: Option<String>,
    pub(super) trying: bool,
    // The cause that is explained; the likeliest one when none was chosen.
    pub(super) cause: Option<String>,
    pub(super) kind: usize,
    // Numbers as typed, by kind and name.
    pub(super) typed: BTreeMap<(&'static str, &'static str), String>,
    pub(super) noted_reading: bool,
    // Fields of the cell while they are typed.
    pub(super) fields: BTreeMap<&'static str, String>,
    pub(super) cured: usize,
    pub(super) like_view: View,
    pub(super) like_noted: Figure,
    pub(super) like_cause: Figure,
    // The path of the case while it is asked for.
    pub(super) path: Option<String>,
}

impl Default for Reason {
    fn default() -> Self {
        Self {
            tab: Tab::default(),
            page: Page::default(),
            view: View::Edge,
            figure: Figure::default(),
            search: String::new(),
            part: None,
            finding: None,
            scroll_to_finding: false,
            pointed: None,
            trying: false,
            cause: None,
            kind: 0,
            typed: BTreeMap::new(),
            noted_reading: false,
            fields: BTreeMap::new(),
            cured: 0,
            like_view: View::Edge,
            like_noted: Figure::default(),
            like_cause: Figure::default(),
            path: None,
        }
    }
}

impl Reason {
    /// Asks for the path of the case.
    pub fn ask_path(&mut self, now: String) {
        self.path = Some(now);
    }

    /// The path is settled.
    pub fn end_path(&mut self) {
        self.path = None;
    }

    /// Forgets what belonged to the case that was open before.
    pub fn forget(&mut self) {
        *self = Self { view: self.view, ..Self::default() };
    }

    /// Shows a finding, ready to be graded.
    pub(super) fn go_to(&mut self, finding: &str) {
        self.tab = Tab::Seen;
        self.page = Page::Have;
        self.part = None;
        self.search.clear();
        self.finding = Some(finding.to_owned());
        self.scroll_to_finding = true;
    }
}

/// The design in the drawings: that of the case, or the first one.
pub(super) fn design_of<'a>(seen: &'a Seen<'_>, inquiry: &Inquiry) -> Option<&'a Design> {
    let designs = &seen.catalogue.designs;
    let wanted = inquiry.draft.design.as_deref();
    designs
        .iter()
        .find(|(id, _)| wanted == Some(id.as_str()))
        .or_else(|| designs.iter().next())
        .map(|(_, design)| design)
}

/// Draws the page.
pub fn reason_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    reason: &mut Reason,
    inquiry: &mut Inquiry,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    shortcuts(ui, inquiry, out);
    reason.pointed = None;
    let bar = Frame::new().fill(look.color(Role::Page)).inner_margin(Margin::symmetric(18, 8));
    Panel::top("case").frame(bar).show_separator_line(false).show(ui, |ui| {
        bar_ui(ui, look, inquiry, out);
        found_ui(ui, look, inquiry);
        trying_ui(ui, look, reason, inquiry);
    });
    let width = ui.available_width();
    let frame = Frame::new().fill(look.color(Role::Page)).inner_margin(Margin {
        left: 18,
        right: 18,
        top: 0,
        bottom: 14,
    });
    let three = width >= look.px(1060.0);
    let two = three || width >= look.px(680.0);
    if two {
        let share = if three { 0.325 } else { 0.44 };
        let left = frame.inner_margin(Margin { left: 18, right: 7, top: 0, bottom: 14 });
        Panel::left("have")
            .frame(left)
            .exact_size(width * share)
            .resizable(false)
            .show_separator_line(false)
            .show(ui, |ui| have_ui(ui, seen, reason, inquiry));
        if reason.page == Page::Have || (three && reason.page == Page::Why) {
            reason.page = Page::Causes;
        }
    }
    let pages: &[Page] = match (three, two) {
        (true, _) => &[Page::Causes, Page::Like],
        (_, true) => &[Page::Causes, Page::Why, Page::Like],
        _ => &[Page::Have, Page::Causes, Page::Why, Page::Like],
    };
    let rest = frame.inner_margin(Margin {
        left: if two { 7 } else { 18 },
        right: 18,
        top: 0,
        bottom: 14,
    });
    egui::CentralPanel::default().frame(rest).show(ui, |ui| {
        let names: Vec<String> = pages.iter().map(|p| tr(page_name(*p))).collect();
        let at = pages.iter().position(|p| *p == reason.page).unwrap_or(0);
        if let Some(i) = pick::pills(ui, look, &names, at) {
            reason.page = pages[i];
            ui.ctx().request_repaint();
        }
        ui.add_space(6.0);
        match reason.page {
            Page::Have => have_ui(ui, seen, reason, inquiry),
            Page::Like => like_ui(ui, seen, reason, inquiry),
            Page::Why => why_ui(ui, seen, reason, inquiry),
            Page::Causes if three => {
                let side = ui.available_width() * 0.46;
                let quiet = Frame::new().inner_margin(Margin { left: 14, ..Margin::ZERO });
                Panel::right("why")
                    .frame(quiet)
                    .exact_size(side)
                    .resizable(false)
                    .show_separator_line(false)
                    .show(ui, |ui| why_ui(ui, seen, reason, inquiry));
                let none = Frame::new();
                egui::CentralPanel::default()
                    .frame(none)
                    .show(ui, |ui| causes_ui(ui, seen, reason, inquiry));
            }
            Page::Causes => causes_ui(ui, seen, reason, inquiry),
        }
    });
    dialogs_ui(ui, look, reason, inquiry, out);
    // Asked in the frame of the change, so that the ranking follows at once.
    out.push(Command::Case(CaseWish::Reason));
}

const fn page_name(page: Page) -> &'static str {
    match page {
        Page::Have => "reason-page-have",
        Page::Causes => "reason-page-causes",
        Page::Why => "reason-page-why",
        Page::Like => "reason-page-like",
    }
}

fn have_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &mut Inquiry) {
    let look = seen.look;
    let names = TABS.map(|(_, id)| tr(id));
    let at = TABS.iter().position(|(t, _)| *t == reason.tab).unwrap_or(0);
    if let Some(i) = pick::pills(ui, look, &names, at) {
        reason.tab = TABS[i].0;
        ui.ctx().request_repaint();
    }
    ui.add_space(6.0);
    match reason.tab {
        Tab::Seen => seen_ui(ui, seen, reason, inquiry),
        Tab::Read => read_ui(ui, seen, reason, inquiry),
        Tab::Cell => cell_ui(ui, seen, reason, inquiry),
    }
}

fn shortcuts(ui: &Ui, inquiry: &mut Inquiry, out: &mut Vec<Command>) {
    let pressed = |m, k| ui.input_mut(|i| i.consume_shortcut(&KeyboardShortcut::new(m, k)));
    let shift = Modifiers::COMMAND | Modifiers::SHIFT;
    if pressed(Modifiers::COMMAND, Key::S) {
        out.push(Command::Case(CaseWish::Save));
    }
    // While a text is typed its own undo goes first.
    if ui.ctx().text_edit_focused() {
        return;
    }
    if pressed(shift, Key::Z) || pressed(Modifiers::COMMAND, Key::Y) {
        inquiry.redo();
    } else if pressed(Modifiers::COMMAND, Key::Z) {
        inquiry.undo();
    }
}

/// What is open, and what can be done with its file.
fn bar_ui(ui: &mut Ui, look: Look, inquiry: &mut Inquiry, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        let title = match inquiry.draft.title.trim() {
            "" => tr("reason-untitled"),
            title => title.to_owned(),
        };
        let file = inquiry.file.as_ref().and_then(|f| f.file_name());
        let file = file.map(|f| f.to_string_lossy().into_owned());
        let state = tr(if inquiry.is_changed() { "reason-changed" } else { "reason-kept" });
        let state = match (file, inquiry.is_changed()) {
            (Some(file), _) => format!("{file}, {state}"),
            (None, true) => state,
            (None, false) => String::new(),
        };
        let room = (ui.available_width() - look.px(470.0)).max(look.px(160.0));
        let font = look.font(17.0, Weight::SemiBold);
        let name = control::one_line(ui, &title, font, look.color(Role::Ink), room);
        ui.label(name);
        words::detail(ui, look, &state);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let mut wish = |ui: &mut Ui, id: &str, rank, enabled, wish: CaseWish| {
                let button =
                    ui.add_enabled_ui(enabled, |ui| control::button(ui, look, rank, &tr(id)));
                if button.inner.clicked() {
                    out.push(Command::Case(wish));
                }
            };
            let changed = inquiry.is_changed();
            wish(ui, "reason-save", Rank::Secondary, changed, CaseWish::Save);
            wish(ui, "reason-save-as", Rank::Plain, true, CaseWish::SaveAs);
            wish(ui, "reason-open", Rank::Plain, true, CaseWish::Open);
            wish(ui, "reason-new", Rank::Plain, true, CaseWish::New);
            let undo = |ui: &mut Ui, id: &str, enabled| {
                ui.add_enabled_ui(enabled, |ui| control::button(ui, look, Rank::Plain, &tr(id)))
                    .inner
                    .clicked()
            };
            if undo(ui, "reason-redo", inquiry.can_redo()) {
                inquiry.redo();
            }
            if undo(ui, "reason-undo", inquiry.can_undo()) {
                inquiry.undo();
            }
        });
    });
}

/// What was found while a file was read.
fn found_ui(ui: &mut Ui, look: Look, inquiry: &mut Inquiry) {
    let Some((file, found)) = &inquiry.found else { return };
    let errors = found.iter().filter(|d| Diagnostic::is_error(d)).count();
    let (id, n) = match errors {
        0 => ("reason-found-warnings", found.len()),
        n => ("reason-found-errors", n),
    };
    let text = tr_with(id, &[("file", file), ("n", &n.to_string())]);
    let mut close = false;
    let (fill, line) = (Role::CautionFill, Role::Caution);
    control::filled_card(ui, look, fill, line, |ui| {
        ui.horizontal(|ui| {
            let said = words::text(ui, look, &text, 13.5, Weight::SemiBold, Role::Ink);
            ui.ctx().accesskit_node_builder(said.id, |n| n.set_live(egui::accesskit::Live::Polite));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                close = control::button(ui, look, Rank::Plain, &tr("reason-found-close")).clicked();
            });
        });
        let most = ui.ctx().content_rect().height() * 0.35;
        ScrollArea::vertical().id_salt("found").max_height(most).show(ui, |ui| {
            for d in found {
                diagnostic_ui(ui, look, d);
                ui.add_space(4.0);
            }
        });
    });
    ui.add_space(6.0);
    if close {
        inquiry.found = None;
    }
}

/// That something is tried and not noted.
fn trying_ui(ui: &mut Ui, look: Look, reason: &mut Reason, inquiry: &mut Inquiry) {
    if !reason.trying && inquiry.what_if.is_empty() {
        return;
    }
    control::filled_card(ui, look, Role::CautionFill, Role::Caution, |ui| {
        ui.horizontal_wrapped(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(22.0, look.px(22.0)), Sense::hover());
            badge::warning(ui.painter(), rect.center(), 8.0, look);
            let text = match inquiry.what_if.len() {
                0 => tr("reason-trying"),
                n => jarlight_model::text::tr_count("reason-tried", n),
            };
            words::text(ui, look, &text, 13.5, Weight::SemiBold, Role::Ink);
            let tried = !inquiry.what_if.is_empty();
            if tried && control::button(ui, look, Rank::Plain, &tr("reason-keep-tried")).clicked() {
                inquiry.keep_tried();
                reason.trying = false;
            }
            if control::button(ui, look, Rank::Plain, &tr("reason-stop-trying")).clicked() {
                inquiry.what_if.clear();
                reason.trying = false;
            }
        });
    });
    ui.add_space(6.0);
}

/// Where the case goes, and what becomes of changes that are not saved.
fn dialogs_ui(
    ui: &Ui,
    look: Look,
    reason: &mut Reason,
    inquiry: &mut Inquiry,
    out: &mut Vec<Command>,
) {
    let width = look.px(480.0).min(ui.ctx().content_rect().width() - 60.0);
    if let Some(path) = &mut reason.path {
        let shown = Modal::new(Id::unique("save-case")).show(ui.ctx(), |ui| {
            ui.set_width(width);
            words::section(ui, look, &tr("reason-save-title"));
            let name = tr("reason-save-path");
            let field = control::field(ui, look, &name, &tr("reason-save-hint"), path, width);
            let enter = control::entered(ui, &field);
            ui.horizontal_wrapped(|ui| {
                let save = control::button(ui, look, Rank::Primary, &tr("reason-save"));
                if (save.clicked() || enter) && !path.trim().is_empty() {
                    out.push(Command::Case(CaseWish::SaveTo(path.trim().into())));
                }
                if control::button(ui, look, Rank::Secondary, &tr("reason-browse")).clicked() {
                    out.push(Command::Case(CaseWish::PickPlace));
                }
                if control::button(ui, look, Rank::Plain, &tr("reason-cancel")).clicked() {
                    ui.close();
                }
            });
        });
        if shown.should_close() {
            reason.path = None;
            inquiry.pending = None;
        }
        return;
    }
    if inquiry.pending.is_none() {
        return;
    }
    let shown = Modal::new(Id::unique("lose-case")).show(ui.ctx(), |ui| {
        ui.set_width(width);
        words::section(ui, look, &tr("reason-lose-title"));
        words::body(ui, look, &tr("reason-lose-text"));
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            if control::button(ui, look, Rank::Primary, &tr("reason-lose-save")).clicked() {
                out.push(Command::Case(CaseWish::Save));
            }
            if control::button(ui, look, Rank::Secondary, &tr("reason-lose-drop")).clicked() {
                out.push(Command::Case(CaseWish::Drop));
            }
            if control::button(ui, look, Rank::Plain, &tr("reason-cancel")).clicked() {
                ui.close();
            }
        });
    });
    if shown.should_close() {
        inquiry.pending = None;
    }
}

/// A picture of a cell, drawn when something about it changed.
pub(super) fn sight(
    seen: &Seen<'_>,
    design: &Design,
    view: View,
    on_it: impl Iterator<Item = (String, f64)>,
) -> crate::easel::Sight {
    use jarlight_model::{
        id::Slug,
        specimen::{Occurrence, Specimen},
        unit::Severity,
    };
    let mut specimen = Specimen::healthy(design.id.clone());
    for (id, severity) in on_it {
        if let Some(condition) = seen.catalogue.condition(&id)
            && !condition.overlay.is_empty()
        {
            let condition: Slug = condition.id.value.clone();
            let severity = Severity::clamped(severity);
            specimen.occurrences.push(Occurrence { condition, severity, place: None });
        }
    }
    crate::easel::Sight {
        specimen,
        design: Arc::new(design.clone()),
        view,
        options: jarlight_geometry::draw::Options::default(),
    }
}
