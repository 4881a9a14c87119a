//! Why one cause stands where it does, which look would tell more, and what is done.

use super::{Seen, reason_causes_ui::explained, reason_find_ui::head_ui, reason_ui::Reason};
use crate::{
    inquiry::Inquiry,
    theme::Look,
    widget::{
        control::{self, Rank},
        words,
    },
};
use egui::{Role as Node, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::text::{tr, tr_with};
use jarlight_rules::{
    explain::{Explanation, Pull},
    wording,
};

/// A bar of so many decibans fills its half.
const FULL: f64 = 12.0;

/// Draws weights, next looks, and what follows.
pub(super) fn why_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &Inquiry) {
    let look = seen.look;
    ScrollArea::vertical().id_salt("why").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 6.0);
        if inquiry.refused.is_some() {
            return;
        }
        if inquiry.is_waiting() {
            words::detail(ui, look, &tr("reason-waiting"));
        }
        let Some(answer) = inquiry.told.clone() else { return };
        let Some(told) = &answer.told else { return };
        let e = &told.explanation;
        // With nothing noted the first question is where to look.
        let noted = answer.evidence.iter().next().is_some();
        if !noted {
            next_ui(ui, seen, reason, e, &answer.network);
        }
        if let Some(cause) = explained(reason, &answer) {
            let id = &answer.network.mechanisms()[cause].id;
            let name = seen.catalogue.name_of(id);
            let text = e.causes.iter().find(|c| c.mechanism == cause);
            control::card(ui, look, |ui| {
                ui.spacing_mut().item_spacing.y = 4.0;
                let about = tr_with("reason-why-about", &[("name", &name)]);
                head_ui(ui, look, &tr("reason-why"), &about);
                if let Some(entry) = seen.catalogue.mechanism(id) {
                    words::quiet(ui, look, &entry.what.text);
                }
                let pulls: Vec<&Pull> =
                    text.iter().flat_map(|c| c.speaks_for.iter().chain(&c.against)).collect();
                if pulls.is_empty() {
                    words::quiet(ui, look, &tr("reason-why-none"));
                }
                for pull in pulls {
                    let finding = &answer.network.findings()[pull.finding].id;
                    pull_ui(ui, seen, reason, finding, pull);
                }
            });
        }
        if noted {
            next_ui(ui, seen, reason, e, &answer.network);
        }
        list_card(ui, look, "reason-clean-title", &e.clean);
        list_card(ui, look, "reason-competing", &e.competing);
        list_card(ui, look, "reason-surprise", std::slice::from_ref(&e.surprise));
        list_card(ui, look, "reason-cautions", &e.cautions);
        list_card(ui, look, "reason-actions", &e.actions);

        ui.add_space(8.0);
    });
}

fn list_card(ui: &mut Ui, look: Look, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    control::card(ui, look, |ui| {
        ui.spacing_mut().item_spacing.y = 5.0;
        words::card(ui, look, &tr(title));
        for line in lines {
            words::body(ui, look, line);
        }
    });
}

/// The looks that would tell most, each with a way to enter what was found.
fn next_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    reason: &mut Reason,
    e: &Explanation,
    network: &jarlight_rules::Network,
) {
    let look = seen.look;
    control::filled_card(ui, look, Role::Panel, Role::Accent, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        words::card(ui, look, &tr("reason-next"));
        if e.next.is_empty() {
            words::quiet(ui, look, &tr("reason-next-none"));
        }
        for (i, next) in e.next.iter().enumerate() {
            let weight = if i == 0 { Weight::SemiBold } else { Weight::Regular };
            let role = if i == 0 { Role::Accent } else { Role::Ink };
            words::text(ui, look, &next.sentence, 13.5, weight, role);
            let id = &network.findings()[next.finding].id;
            if let Some(condition) = seen.catalogue.condition(id).filter(|_| i == 0) {
                words::detail(ui, look, &condition.see.text);
            }
            let enter = control::button(ui, look, Rank::Plain, &tr("reason-next-enter"));
            let name = seen.catalogue.name_of(id);
            let spoken = tr_with("reason-next-enter-of", &[("name", &name)]);
            enter.widget_info(|| WidgetInfo::labeled(Node::Button, true, &spoken));
            if enter.clicked() {
                reason.go_to(id);
            }
        }
        if let Some(left_out) = &e.left_out {
            words::detail(ui, look, left_out);
        }
    });
}

/// One finding's weight as a bar from the middle, with its sentence.
fn pull_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, finding: &str, pull: &Pull) {
    let look = seen.look;
    let width = ui.available_width();
    let ink = look.color(Role::Ink);
    let bar_width = (width * 0.34).min(look.px(150.0));
    let room = width - bar_width - look.px(62.0) - 12.0;
    let name = seen.catalogue.name_of(finding);
    let font = look.font(12.5, Weight::Medium);
    let name = ui.painter().layout(name, font, ink, room);
    let height = name.size().y.max(look.px(20.0)) + 6.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Node::Button, true, &pull.sentence));
    let response = response.on_hover_text(&pull.sentence);
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 5.0, look.color(Role::QuietPanel));
        reason.pointed = Some(finding.to_owned());
        ui.ctx().request_repaint();
    }
    let mid = rect.center().y;
    let at = pos2(rect.min.x + 4.0, mid - name.size().y / 2.0);
    ui.painter().galley(at, name, ink);
    let zero = rect.max.x - look.px(62.0) - bar_width / 2.0;
    let length = (pull.decibans / FULL).clamp(-1.0, 1.0) as f32 * bar_width / 2.0;
    let (from, to) = (zero.min(zero + length), zero.max(zero + length));
    let half = look.px(7.0);
    let bar = egui::Rect::from_min_max(pos2(from, mid - half), pos2(to, mid + half));
    let painter = ui.painter();
    if pull.decibans > 0.0 {
        painter.rect_filled(bar, 2.0, look.color(Role::Accent));
    } else {
        // Hollow, so that the side is not told by colour alone.
        let stroke = Stroke::new(1.6, look.color(Role::Caution));
        painter.rect(bar, 2.0, look.color(Role::CautionFill), stroke, StrokeKind::Inside);
    }
    painter.vline(zero, rect.y_range(), Stroke::new(1.0, look.color(Role::SecondInk)));
    let number = wording::decibans(pull.decibans);
    let font = look.font(12.5, Weight::SemiBold);
    let number = painter.layout_no_wrap(number, font, ink);
    let at = pos2(rect.max.x - number.size().x - 2.0, mid - number.size().y / 2.0);
    painter.galley(at, number, ink);
    control::focus(ui, look, rect, &response, 5);
    if response.clicked() {
        reason.go_to(finding);
    }
}
