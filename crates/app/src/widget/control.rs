//! Buttons, switches, rows and cards with all their states.

use super::words;
use crate::theme::{BUTTON_CORNER, CARD_CORNER, Look, blend};
use egui::{
    Color32, CornerRadius, Frame, InnerResponse, Key, Margin, Rect, Response, Role as Node, Sense,
    Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use jarlight_geometry::{palette::Role, scene::Weight};

/// How much a button stands out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rank {
    /// The one thing to do next.
    Primary,
    /// Anything else.
    Secondary,
    /// Text alone.
    Plain,
}

/// A button.
pub fn button(ui: &mut Ui, look: Look, rank: Rank, label: &str) -> Response {
    let weight = if rank == Rank::Plain { Weight::Medium } else { Weight::SemiBold };
    let galley = ui.painter().layout_no_wrap(
        label.to_owned(),
        look.font(13.5, weight),
        Color32::PLACEHOLDER,
    );
    let pad = if rank == Rank::Plain { 8.0 } else { 16.0 };
    let height = look.px(if rank == Rank::Plain { 30.0 } else { 36.0 });
    let size = vec2(galley.size().x + 2.0 * pad, height.max(galley.size().y + 10.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::labeled(Node::Button, enabled, label));
    let accent = look.color(Role::Accent);
    let hot = response.hovered();
    let (fill, ink, line) = match rank {
        _ if !enabled => {
            (look.color(Role::QuietPanel), look.color(Role::ThirdInk), look.line(Role::Rule))
        }
        Rank::Primary => {
            let fill = match (response.is_pointer_button_down_on(), hot) {
                (true, _) => blend(accent, look.color(Role::Ink), 0.34),
                (_, true) => blend(accent, look.color(Role::Ink), 0.18),
                _ => accent,
            };
            (fill, look.color(Role::OnAccent), Stroke::NONE)
        }
        Rank::Secondary => {
            let fill = if hot { look.color(Role::AccentFill) } else { look.color(Role::Panel) };
            (fill, look.color(Role::Ink), look.line(Role::SecondInk))
        }
        Rank::Plain => {
            let fill = if hot { look.color(Role::QuietPanel) } else { Color32::TRANSPARENT };
            (fill, look.color(Role::Accent), Stroke::NONE)
        }
    };
    ui.painter().rect(rect, BUTTON_CORNER, fill, line, StrokeKind::Inside);
    ui.painter().galley(rect.center() - galley.size() / 2.0, galley, ink);
    focus(ui, look, rect, &response, BUTTON_CORNER);
    response
}

/// The outline of what has the keyboard.
pub fn focus(ui: &Ui, look: Look, rect: Rect, response: &Response, corner: u8) {
    if response.has_focus() {
        let ink = Stroke::new(2.0, look.color(Role::Ink));
        ui.painter().rect_stroke(rect.expand(2.0), corner + 2, ink, StrokeKind::Outside);
    }
}

/// One of few choices, side by side; gives the number of a newly chosen one.
pub fn segments(
    ui: &mut Ui,
    look: Look,
    name: &str,
    labels: &[String],
    chosen: usize,
) -> Option<usize> {
    let galleys: Vec<_> = labels
        .iter()
        .enumerate()
        .map(|(i, l)| {
            let weight = if i == chosen { Weight::SemiBold } else { Weight::Regular };
            ui.painter().layout_no_wrap(l.clone(), look.font(13.0, weight), Color32::PLACEHOLDER)
        })
        .collect();
    let height = look.px(34.0);
    let widths: Vec<f32> = galleys.iter().map(|g| g.size().x + 26.0).collect();
    let total = widths.iter().sum::<f32>() + 4.0;
    let (rect, _) = ui.allocate_exact_size(vec2(total, height), Sense::hover());
    ui.painter().rect(
        rect,
        BUTTON_CORNER,
        look.color(Role::Panel),
        look.line(Role::SecondInk),
        StrokeKind::Inside,
    );
    let mut picked = None;
    let mut x = rect.min.x + 2.0;
    for (i, (galley, width)) in galleys.into_iter().zip(&widths).enumerate() {
        let cell = Rect::from_min_size(pos2(x, rect.min.y + 2.0), vec2(*width, height - 4.0));
        let response = ui.interact(cell, ui.scope_id().with((name, i)), Sense::click());
        response
            .widget_info(|| WidgetInfo::selected(Node::RadioButton, true, i == chosen, &labels[i]));
        let on = i == chosen;
        let fill = match (on, response.hovered()) {
            (true, _) => look.color(Role::Accent),
            (_, true) => look.color(Role::QuietPanel),
            _ => Color32::TRANSPARENT,
        };
        ui.painter().rect_filled(cell, BUTTON_CORNER - 2, fill);
        let ink = look.color(if on { Role::OnAccent } else { Role::SecondInk });
        ui.painter().galley(cell.center() - galley.size() / 2.0, galley, ink);
        focus(ui, look, cell, &response, BUTTON_CORNER);
        if response.clicked() && !on {
            picked = Some(i);
        }
        x += width;
    }
    picked
}

/// A switch with its text; true when it was turned.
pub fn switch(ui: &mut Ui, look: Look, label: &str, on: bool) -> bool {
    let galley = ui.painter().layout_no_wrap(
        label.to_owned(),
        look.font(13.0, Weight::Regular),
        look.color(Role::SecondInk),
    );
    let track = vec2(look.px(34.0), look.px(18.0));
    let size = vec2(track.x + 8.0 + galley.size().x, look.px(34.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::selected(Node::CheckBox, true, on, label));
    let knob = Rect::from_center_size(pos2(rect.min.x + track.x / 2.0, rect.center().y), track);
    let radius = track.y / 2.0;
    let (fill, line) =
        if on { (Role::Accent, Role::Accent) } else { (Role::Panel, Role::SecondInk) };
    let corner = CornerRadius::same(radius as u8);
    ui.painter().rect(
        knob,
        corner,
        look.color(fill),
        Stroke::new(1.4, look.color(line)),
        StrokeKind::Inside,
    );
    let x = if on { knob.max.x - radius } else { knob.min.x + radius };
    let dot = if on { Role::OnAccent } else { Role::SecondInk };
    ui.painter().circle_filled(pos2(x, knob.center().y), radius - 3.4, look.color(dot));
    let at = pos2(knob.max.x + 8.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, look.color(Role::SecondInk));
    focus(ui, look, rect, &response, BUTTON_CORNER);
    response.clicked()
}

/// A line of a list: a name, and something small at its end.
pub fn row(
    ui: &mut Ui,
    look: Look,
    label: &str,
    end: &str,
    spoken: &str,
    chosen: bool,
) -> Response {
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, look.px(28.0)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Node::Button, true, chosen, spoken));
    if ui.is_rect_visible(rect) {
        let fill = match (chosen, response.hovered()) {
            (true, _) => look.color(Role::AccentFill),
            (_, true) => look.color(Role::QuietPanel),
            _ => Color32::TRANSPARENT,
        };
        ui.painter().rect_filled(rect, 6.0, fill);
        if chosen {
            let bar = Rect::from_min_max(rect.min, pos2(rect.min.x + 3.5, rect.max.y));
            ui.painter().rect_filled(bar, 2.0, look.color(Role::Accent));
        }
        let end = ui.painter().layout_no_wrap(
            end.to_owned(),
            look.font(12.0, Weight::Regular),
            look.color(Role::SecondInk),
        );
        let room = rect.width() - 24.0 - end.size().x - 8.0;
        let weight = if chosen { Weight::SemiBold } else { Weight::Regular };
        let name = one_line(ui, label, look.font(13.5, weight), look.color(Role::Ink), room);
        let mid = rect.center().y;
        ui.painter().galley(
            pos2(rect.min.x + 14.0, mid - name.size().y / 2.0),
            name,
            look.color(Role::Ink),
        );
        let at = pos2(rect.max.x - 12.0 - end.size().x, mid - end.size().y / 2.0);
        ui.painter().galley(at, end, look.color(Role::SecondInk));
    }
    focus(ui, look, rect.shrink(2.0), &response, 5);
    response
}

/// A text cut off with "…" where it does not fit.
pub fn one_line(
    ui: &Ui,
    words: &str,
    font: egui::FontId,
    color: Color32,
    room: f32,
) -> std::sync::Arc<egui::Galley> {
    let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), font, color);
    job.wrap = egui::text::TextWrapping::truncate_at_width(room.max(10.0));
    ui.painter().layout_job(job)
}

/// A white card.
pub fn card<R>(ui: &mut Ui, look: Look, add: impl FnOnce(&mut Ui) -> R) -> InnerResponse<R> {
    filled_card(ui, look, Role::Panel, Role::Rule, add)
}

/// A card of a colour.
pub fn filled_card<R>(
    ui: &mut Ui,
    look: Look,
    fill: Role,
    line: Role,
    add: impl FnOnce(&mut Ui) -> R,
) -> InnerResponse<R> {
    Frame::new()
        .fill(look.color(fill))
        .stroke(Stroke::new(1.2, look.color(line)))
        .corner_radius(CARD_CORNER)
        .inner_margin(Margin::symmetric(18, 16))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            add(ui)
        })
}

/// How much of something is done.
pub fn progress(ui: &mut Ui, look: Look, share: f32, width: f32, spoken: &str) {
    let (rect, response) = ui.allocate_exact_size(vec2(width, 7.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Node::ProgressIndicator, true, spoken));
    ui.painter().rect_filled(rect, 3.5, look.color(Role::Rule));
    let done = Rect::from_min_size(
        rect.min,
        Vec2::new(rect.width() * share.clamp(0.0, 1.0), rect.height()),
    );
    ui.painter().rect_filled(done, 3.5, look.color(Role::Accent));
}

/// A field for a line of text with its name for screen readers.
pub fn field(
    ui: &mut Ui,
    look: Look,
    name: &str,
    hint: &str,
    value: &mut String,
    width: f32,
) -> Response {
    let edit = egui::TextEdit::singleline(value)
        .font(look.body())
        .hint_text(words::rich(look, hint, 13.5, Weight::Regular, Role::ThirdInk))
        .margin(Margin::symmetric(10, 8))
        .desired_width(width - 20.0);
    let response = ui.add(edit);
    response.widget_info(|| WidgetInfo::labeled(Node::TextInput, true, name));
    response
}

/// True when Enter was pressed while this had the keyboard.
pub fn entered(ui: &Ui, response: &Response) -> bool {
    response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter))
}

/// A choice of a list with its key in a square; its look after the answer is another widget.
pub struct Choice<'a> {
    /// The key that chooses it.
    pub key: Option<usize>,
    /// The words.
    pub words: &'a str,
    /// A small second line.
    pub note: Option<&'a str>,
    /// Whether it is chosen.
    pub chosen: bool,
    /// After the answer: whether it was right or wrong.
    pub verdict: Option<bool>,
    /// Whether it can be chosen.
    pub open: bool,
}

/// Draws a choice.
pub fn choice(ui: &mut Ui, look: Look, c: &Choice<'_>) -> Response {
    let width = ui.available_width();
    let key_width = if c.key.is_some() { look.px(28.0) + 14.0 } else { 0.0 };
    let room = width - 32.0 - key_width - 34.0;
    let bold = c.chosen || c.verdict == Some(true);
    let weight = if bold { Weight::SemiBold } else { Weight::Regular };
    let layout = |words: &str, size, weight, role| {
        ui.painter().layout(words.to_owned(), look.font(size, weight), look.color(role), room)
    };
    let name = layout(c.words, 13.5, weight, Role::Ink);
    let note_role = match c.verdict {
        Some(true) => Role::Right,
        Some(false) => Role::Wrong,
        None => Role::SecondInk,
    };
    let note = c.note.map(|n| layout(n, 12.0, Weight::Medium, note_role));
    let note_height = note.as_ref().map_or(0.0, |n| n.size().y + 2.0);
    let height = (name.size().y + note_height + 18.0).max(look.px(44.0));
    let sense = if c.open { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), sense);
    let spoken = c.note.map_or_else(|| c.words.to_owned(), |n| format!("{}: {n}", c.words));
    response.widget_info(|| WidgetInfo::selected(Node::RadioButton, c.open, c.chosen, &spoken));
    let (fill, line, thick) = match (c.verdict, c.chosen) {
        (Some(true), _) => (Role::RightFill, Role::Right, 2.2),
        (Some(false), _) => (Role::WrongFill, Role::Wrong, 1.8),
        (None, true) => (Role::AccentFill, Role::Accent, 2.0),
        (None, false) => (Role::Panel, Role::Rule, 1.2),
    };
    let hot = c.open && response.hovered() && !c.chosen;
    let line = Stroke::new(thick, look.color(if hot { Role::Accent } else { line }));
    let painter = ui.painter();
    painter.rect_filled(rect, CARD_CORNER - 1, look.color(fill));
    if c.verdict == Some(false) {
        dashed_frame(painter, rect.shrink(1.0), line);
    } else {
        painter.rect_stroke(rect, CARD_CORNER - 1, line, StrokeKind::Inside);
    }
    let mid = rect.center().y;
    if let Some(key) = c.key {
        let side = look.px(26.0);
        let square =
            Rect::from_center_size(pos2(rect.min.x + 14.0 + side / 2.0, mid), Vec2::splat(side));
        super::badge::key(painter, square, &key.to_string(), look);
    }
    let x = rect.min.x + 16.0 + key_width;
    let y = mid - (name.size().y + note_height) / 2.0;
    let below = y + name.size().y + 2.0;
    painter.galley(pos2(x, y), name, look.color(Role::Ink));
    if let Some(note) = note {
        painter.galley(pos2(x, below), note, look.color(note_role));
    }
    let at = pos2(rect.max.x - 26.0, mid);
    match c.verdict {
        Some(true) => super::badge::tick(painter, at, 10.0, look),
        Some(false) => super::badge::cross(painter, at, 10.0, look),
        None => {}
    }
    focus(ui, look, rect, &response, CARD_CORNER - 1);
    response
}

fn dashed_frame(painter: &egui::Painter, rect: Rect, line: Stroke) {
    let corners = [
        rect.left_top(),
        rect.right_top(),
        rect.right_bottom(),
        rect.left_bottom(),
        rect.left_top(),
    ];
    painter.extend(egui::Shape::dashed_line(&corners, line, 8.0, 5.0));
}

/// A name that can be chosen, with a cross that takes it away: both responses.
pub fn chip(ui: &mut Ui, look: Look, label: &str, chosen: bool) -> (Response, Response) {
    let weight = if chosen { Weight::SemiBold } else { Weight::Regular };
    let ink = look.color(if chosen { Role::Accent } else { Role::Ink });
    let height = look.px(30.0);
    let room = ui.max_rect().width() - 2.0 * height;
    let galley = one_line(ui, label, look.font(12.5, weight), ink, room);
    let size = vec2(galley.size().x + 14.0 + height, height);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let cross = Rect::from_min_max(pos2(rect.max.x - height, rect.min.y), rect.max);
    let body = Rect::from_min_max(rect.min, cross.left_bottom());
    let id = ui.scope_id().with(("chip", label));
    let (choose, close) = (
        ui.interact(body, id, Sense::click()),
        ui.interact(cross, id.with("close"), Sense::click()),
    );
    choose.widget_info(|| WidgetInfo::selected(Node::RadioButton, true, chosen, label));
    let (fill, line) = match (chosen, choose.hovered()) {
        (true, _) => (Role::AccentFill, Role::Accent),
        (_, true) => (Role::QuietPanel, Role::SecondInk),
        _ => (Role::Panel, Role::SecondInk),
    };
    let painter = ui.painter();
    let line = Stroke::new(1.2, look.color(line));
    painter.rect(rect, 15, look.color(fill), line, StrokeKind::Inside);
    let at = pos2(rect.min.x + 12.0, rect.center().y - galley.size().y / 2.0);
    painter.galley(at, galley, ink);
    let hot = look.color(if close.hovered() { Role::Wrong } else { Role::SecondInk });
    let (c, d) = (cross.center() - vec2(2.0, 0.0), 0.15 * height);
    let stroke = Stroke::new(1.6, hot);
    painter.line_segment([c + vec2(-d, -d), c + vec2(d, d)], stroke);
    painter.line_segment([c + vec2(-d, d), c + vec2(d, -d)], stroke);
    focus(ui, look, rect, &choose, 13);
    focus(ui, look, cross.shrink(3.0), &close, 13);
    (choose, close)
}

/// True when the keys that lead to a search were pressed: Ctrl+F, or / outside of a text.
pub fn search_asked(ui: &Ui) -> bool {
    const FIND: egui::KeyboardShortcut =
        egui::KeyboardShortcut::new(egui::Modifiers::COMMAND, Key::F);
    if ui.input_mut(|i| i.consume_shortcut(&FIND)) {
        return true;
    }
    !ui.ctx().text_edit_focused()
        && ui.input_mut(|i| {
            let slash = |e: &egui::Event| matches!(e, egui::Event::Text(t) if t == "/");
            let asked = i.events.iter().any(slash) || i.key_pressed(Key::Slash);
            // It must not become the first letter of the search.
            i.events.retain(|e| !slash(e));
            asked
        })
}
