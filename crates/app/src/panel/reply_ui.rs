//! What is said to an answer: right or not, why, what else, how old, what next, caution.

use crate::{
    theme::Look,
    widget::{badge, control, words},
};
use egui::{Rect, Role as Node, Sense, Stroke, StrokeKind, Ui, WidgetInfo, accesskit, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::text::{tr, tr_with};
use jarlight_scenario::{CauseLine, Confidence, Feedback, Verdict};

/// Draws the card of a feedback.
pub fn feedback_ui(ui: &mut Ui, look: Look, f: &Feedback, confidence: Option<Confidence>) {
    control::card(ui, look, |ui| {
        ui.spacing_mut().item_spacing.y = 5.0;
        verdict_ui(ui, look, f, confidence);
        ui.add_space(2.0);
        if f.verdict != Verdict::Right {
            if !f.given.is_empty() {
                words::quiet(ui, look, &tr_with("feedback-given", &[("given", &f.given)]));
            }
            if !f.right.is_empty() {
                words::detail(ui, look, &tr("feedback-right"));
            }
            for right in &f.right {
                words::text(ui, look, right, 13.5, Weight::SemiBold, Role::Ink);
            }
        }
        if !f.why.is_empty() {
            words::body(ui, look, &f.why);
        }
        for t in &f.tempting {
            if t.tell != f.why {
                ui.add_space(4.0);
                words::small(ui, look, &tr_with("feedback-not", &[("name", &t.name)]));
                words::quiet(ui, look, &t.tell);
            }
        }
        if !f.causes.is_empty() {
            ui.add_space(8.0);
            words::small(ui, look, &tr("feedback-causes"));
            for cause in &f.causes {
                cause_ui(ui, look, cause);
            }
            words::text(ui, look, &tr("feedback-estimate"), 11.5, Weight::Medium, Role::ThirdInk);
        }
        if !f.next.is_empty() {
            ui.add_space(8.0);
            words::small(ui, look, &tr("feedback-next"));
            for next in &f.next {
                words::quiet(ui, look, next);
            }
        }
    });
    if !f.caution.is_empty() {
        control::filled_card(ui, look, Role::CautionFill, Role::Caution, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.horizontal(|ui| {
                let (r, _) = ui.allocate_exact_size(vec2(22.0, look.px(22.0)), Sense::hover());
                badge::warning(ui.painter(), r.center(), 9.0, look);
                words::small(ui, look, &tr("feedback-caution"));
            });
            for caution in &f.caution {
                words::body(ui, look, caution);
            }
        });
    }
}

/// The verdict with its badge: shape, word and colour.
fn verdict_ui(ui: &mut Ui, look: Look, f: &Feedback, confidence: Option<Confidence>) {
    ui.horizontal_wrapped(|ui| {
        let (r, _) = ui.allocate_exact_size(vec2(26.0, look.px(26.0)), Sense::hover());
        let (id, role) = match f.verdict {
            Verdict::Right => {
                badge::tick(ui.painter(), r.center(), 11.0, look);
                ("verdict-right", Role::Right)
            }
            Verdict::Partly => {
                badge::partly(ui.painter(), r.center(), 11.0, look);
                ("verdict-partly", Role::Caution)
            }
            Verdict::Wrong => {
                badge::cross(ui.painter(), r.center(), 11.0, look);
                ("verdict-wrong", Role::Wrong)
            }
        };
        let said = words::text(ui, look, &tr(id), 17.0, Weight::SemiBold, role);
        ui.ctx().accesskit_node_builder(said.id, |n| n.set_live(accesskit::Live::Polite));
        if let Some(c) = confidence {
            let id = match c {
                Confidence::Guess => "sure-was-guess",
                Confidence::Leaning => "sure-was-leaning",
                Confidence::FairlySure => "sure-was-fairly",
                Confidence::Certain => "sure-was-certain",
            };
            words::detail(ui, look, &tr(id));
        }
    });
}

/// A cause with its share as a bar and as a word.
fn cause_ui(ui: &mut Ui, look: Look, cause: &CauseLine) {
    ui.add_space(3.0);
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, look.px(22.0)), Sense::hover());
    let percent = format!("{:.0} %", cause.percent);
    let spoken = format!("{}: {}, {percent}", cause.name, cause.words);
    response.widget_info(|| WidgetInfo::labeled(Node::Label, true, &spoken));
    let ink = look.color(Role::Ink);
    let end = ui.painter().layout_no_wrap(
        format!("{}  {percent}", cause.words),
        look.font(12.0, Weight::Medium),
        look.color(Role::SecondInk),
    );
    let room = rect.width() - end.size().x - 12.0;
    let name = control::one_line(ui, &cause.name, look.font(13.0, Weight::Medium), ink, room);
    let mid = rect.center().y - 2.0;
    ui.painter().galley(pos2(rect.min.x, mid - name.size().y / 2.0), name, ink);
    let at = pos2(rect.max.x - end.size().x, mid - end.size().y / 2.0);
    ui.painter().galley(at, end, look.color(Role::SecondInk));
    let track = Rect::from_min_max(pos2(rect.min.x, rect.max.y - 4.0), rect.max);
    ui.painter().rect_filled(track, 2.0, look.color(Role::Rule));
    let share = (cause.percent / 100.0).clamp(0.0, 1.0) as f32;
    let bar = Rect::from_min_size(track.min, vec2(track.width() * share, track.height()));
    ui.painter().rect_filled(bar, 2.0, look.color(Role::Accent));
    let mut line = cause.plain.clone();
    if let Some(began) = &cause.began {
        line = format!("{line}; {}", began.text);
    }
    words::detail(ui, look, &line);
}

/// One step of "how sure"; true when it was pressed.
pub fn sure_button(
    ui: &mut Ui,
    look: Look,
    label: &str,
    filled: usize,
    on: bool,
    width: f32,
) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(width, look.px(38.0)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Node::RadioButton, true, on, label));
    let (fill, line) = match (on, response.hovered()) {
        (true, _) => (Role::AccentFill, Stroke::new(2.0, look.color(Role::Accent))),
        (_, true) => (Role::Panel, Stroke::new(1.2, look.color(Role::Accent))),
        _ => (Role::Panel, Stroke::new(1.2, look.color(Role::Rule))),
    };
    ui.painter().rect(rect, 8, look.color(fill), line, StrokeKind::Inside);
    let sign = vec2(look.px(20.0), look.px(12.0));
    let at = pos2(rect.min.x + 10.0, rect.center().y - sign.y / 2.0);
    let bars = Rect::from_min_size(at, sign);
    badge::bars(ui.painter(), bars, filled, look);
    let weight = if on { Weight::SemiBold } else { Weight::Medium };
    let font = look.font(12.5, weight);
    let room = rect.width() - sign.x - 22.0;
    let galley = control::one_line(ui, label, font, look.color(Role::Ink), room);
    let at = pos2(bars.max.x + 6.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, look.color(Role::Ink));
    control::focus(ui, look, rect, &response, 8);
    response.clicked()
}
