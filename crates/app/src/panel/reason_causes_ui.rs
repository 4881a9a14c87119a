//! The ranking of causes with the pull of one finding, when each began, and how urgent it is.

use super::{Seen, reason_find_ui::head_ui, reason_ui::Reason};
use crate::{
    inquiry::Inquiry,
    services::{Answer, Refusal},
    theme::Look,
    widget::{badge, control, words},
};
use egui::{
    Pos2, Rect, Role as Node, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::Urgency,
    text::{tr, tr_with},
    unit::months_text,
};
use jarlight_rules::wording;

/// Causes under this probability are not listed.
const LISTED: f64 = 0.05;
/// At most so many causes are listed.
const MOST: usize = 8;
/// Weights under this many decibans say nothing.
const WORTH_SAYING: f64 = 0.5;
/// Pulls under this many decibans are not worth showing.
const WORTH_SHOWING: f64 = 0.05;

/// The causes worth listing, the likeliest first; at least one.
pub(super) fn ranked(answer: &Answer) -> Vec<usize> {
    let p = |i: usize| answer.posterior.present(i);
    let mut all: Vec<usize> = (0..answer.network.mechanisms().len()).collect();
    all.sort_by(|&a, &b| p(b).total_cmp(&p(a)).then(a.cmp(&b)));
    let n = all.iter().filter(|&&i| p(i) >= LISTED).count().clamp(1, MOST);
    all.truncate(n);
    all
}

/// The cause that is explained: the chosen one while it is there, or the likeliest.
pub(super) fn explained(reason: &Reason, answer: &Answer) -> Option<usize> {
    let chosen = reason.cause.as_deref().and_then(|id| answer.network.mechanism_idx(id));
    chosen.or_else(|| ranked(answer).first().copied())
}

/// When a cause began, as a sentence.
fn age_text(answer: &Answer, inquiry: &Inquiry, cause: usize) -> String {
    match answer.posterior.began(&answer.network, cause) {
        None => String::new(),
        Some(_) if answer.network.mechanisms()[cause].since_installation => {
            wording::since_installation(inquiry.draft.age_months)
        }
        Some(began) => wording::began(&began),
    }
}

/// Draws urgency, ranking and dates.
pub(super) fn causes_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &Inquiry) {
    let look = seen.look;
    ScrollArea::vertical().id_salt("causes").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 6.0);
        if let Some(refused) = &inquiry.refused {
            refused_ui(ui, look, refused);
            return;
        }
        let Some(answer) = &inquiry.answer else {
            words::quiet(ui, look, &tr("reason-waiting"));
            return;
        };
        urgency_ui(ui, look, inquiry);
        warnings_ui(ui, look, inquiry);
        control::card(ui, look, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            head_ui(ui, look, &tr("reason-causes"), &tr("reason-causes-about"));
            if answer.evidence.iter().next().is_none() {
                words::quiet(ui, look, &tr("reason-empty"));
            }
            for (rank, cause) in ranked(answer).into_iter().enumerate() {
                cause_ui(ui, seen, reason, inquiry, answer, rank + 1, cause);
            }
        });
        control::card(ui, look, |ui| {
            head_ui(ui, look, &tr("reason-began"), &tr("reason-began-about"));
            dates_ui(ui, seen, reason, inquiry, answer);
        });
        ui.add_space(8.0);
    });
}

fn refused_ui(ui: &mut Ui, look: Look, refused: &Refusal) {
    control::filled_card(ui, look, Role::CautionFill, Role::Caution, |ui| {
        words::card(ui, look, &tr("reason-refused"));
        match refused {
            Refusal::Method(why) => {
                words::body(ui, look, &format!("{}.", wording::upper(why)));
                words::body(ui, look, &tr("reason-refused-help"));
            }
            Refusal::Case(found) => {
                words::body(ui, look, &tr("reason-refused-case"));
                for d in found {
                    super::questions_ui::diagnostic_ui(ui, look, d);
                }
            }
        }
    });
}

/// The most urgent level, why, and who decides.
fn urgency_ui(ui: &mut Ui, look: Look, inquiry: &Inquiry) {
    let Some(told) = inquiry.told.as_ref().and_then(|a| a.told.as_ref()) else { return };
    let e = &told.explanation;
    // With nothing noted there is nothing to hurry for.
    let noted = !inquiry.effective().noted.is_empty();
    let Some(urgency) = e.urgency.filter(|_| noted) else { return };
    let (fill, line) = match urgency {
        Urgency::Halt => (Role::WrongFill, Role::Wrong),
        Urgency::Prompt | Urgency::Arrange => (Role::CautionFill, Role::Caution),
        Urgency::Note | Urgency::Watch => (Role::Panel, Role::Rule),
    };
    control::filled_card(ui, look, fill, line, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        ui.horizontal_top(|ui| {
            if urgency >= Urgency::Arrange {
                let (rect, _) = ui.allocate_exact_size(vec2(22.0, look.px(20.0)), Sense::hover());
                badge::warning(ui.painter(), rect.center(), 8.0, look);
            }
            let text = &e.urgency_sentence;
            words::text(ui, look, text, 14.0, Weight::SemiBold, Role::Ink);
        });
        words::detail(ui, look, e.closing);
    });
}

fn warnings_ui(ui: &mut Ui, look: Look, inquiry: &Inquiry) {
    let Some(told) = inquiry.told.as_ref().and_then(|a| a.told.as_ref()) else { return };
    if told.explanation.warnings.is_empty() {
        return;
    }
    control::filled_card(ui, look, Role::CautionFill, Role::Caution, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        for warning in &told.explanation.warnings {
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(22.0, look.px(20.0)), Sense::hover());
                badge::warning(ui.painter(), rect.center(), 8.0, look);
                words::body(ui, look, warning);
            });
        }
    });
}

/// A cause with its word, its chance and the pull of the finding that is pointed at.
fn cause_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    reason: &mut Reason,
    inquiry: &Inquiry,
    answer: &Answer,
    rank: usize,
    cause: usize,
) {
    let look = seen.look;
    let id = &answer.network.mechanisms()[cause].id;
    let p = answer.posterior.present(cause);
    let (word, range, percent) =
        (wording::probability_word(p), wording::word_range(p), wording::percent(p));
    let name = seen.catalogue.name_of(id);
    let age = age_text(answer, inquiry, cause);
    let chosen = explained(reason, answer) == Some(cause);
    let word = tr_with("reason-word", &[("word", word), ("range", range)]);
    let (was, before) = match inquiry.base.as_ref().filter(|_| !inquiry.what_if.is_empty()) {
        Some(base) if base.network.mechanisms().len() == answer.network.mechanisms().len() => {
            let p = base.posterior.present(cause);
            (Some(tr_with("reason-cause-was", &[("percent", &wording::percent(p))])), Some(p))
        }
        _ => (None, None),
    };
    let pull = pull_of(reason, inquiry, cause);

    let ink = look.color(Role::Ink);
    let second = look.color(Role::SecondInk);
    let width = ui.available_width();
    let inner = width - 24.0;
    let end_font = look.font(15.0, Weight::Bold);
    let end = ui.painter().layout_no_wrap(percent.clone(), end_font, ink);
    let head = ui.painter().layout(
        format!("{rank}  {name}"),
        look.font(14.0, Weight::SemiBold),
        ink,
        inner - end.size().x - 12.0,
    );
    let small = look.font(12.0, Weight::Regular);
    let mut line = word.clone();
    if let Some(was) = &was {
        line = format!("{line}, {was}");
    } else if is_unmoved(inquiry, cause) {
        line = format!("{line}; {}", tr("reason-unmoved"));
    }
    let line = ui.painter().layout(line, small.clone(), second, inner);
    let age_line = ui.painter().layout(age.clone(), small, second, inner);
    let pull_line = pull.as_ref().map(|(text, for_it)| {
        let role = match for_it {
            Some(true) => Role::Right,
            Some(false) => Role::Wrong,
            None => Role::SecondInk,
        };
        let font = look.font(12.5, Weight::SemiBold);
        (ui.painter().layout_no_wrap(text.clone(), font, look.color(role)), role)
    });
    let bar = look.px(9.0);
    let height = head.size().y + line.size().y + bar + age_line.size().y + 28.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    let rank_text = rank.to_string();
    let mut spoken = tr_with(
        "reason-cause-row",
        &[
            ("rank", &rank_text),
            ("name", &name),
            ("word", wording::probability_word(p)),
            ("range", range),
            ("percent", &percent),
            ("age", &age),
        ],
    );
    for more in was.iter().chain(pull.as_ref().map(|(text, _)| text)) {
        spoken = format!("{spoken} {more}.");
    }
    response.widget_info(|| WidgetInfo::selected(Node::Button, true, chosen, &spoken));
    let fill = match (chosen, response.hovered()) {
        (true, _) => Some(Role::AccentFill),
        (_, true) => Some(Role::QuietPanel),
        _ => None,
    };
    if let Some(fill) = fill {
        ui.painter().rect_filled(rect, 8.0, look.color(fill));
    }
    if chosen {
        let stroke = Stroke::new(1.6, look.color(Role::Accent));
        ui.painter().rect_stroke(rect, 8.0, stroke, StrokeKind::Inside);
    }
    let (x, mut y) = (rect.min.x + 12.0, rect.min.y + 8.0);
    let end_at = pos2(rect.max.x - 12.0 - end.size().x, y);
    ui.painter().galley(end_at, end, ink);
    let mut put = |galley: std::sync::Arc<egui::Galley>, color, gap: f32| {
        let h = galley.size().y;
        ui.painter().galley(pos2(x, y), galley, color);
        y += h + gap;
    };
    let pull_y = rect.min.y + 10.0 + head.size().y;
    put(head, ink, 2.0);
    put(line, second, 4.0);
    let track = Rect::from_min_size(pos2(x, y), vec2(inner, bar));
    share_bar(ui, look, track, p, before, chosen);
    y += bar + 5.0;
    ui.painter().galley(pos2(x, y), age_line, second);
    if let Some((galley, role)) = pull_line {
        // At the end of the line of the word, on a ground of its own where they meet.
        let at = pos2(rect.max.x - 12.0 - galley.size().x, pull_y);
        let ground = Rect::from_min_size(at, galley.size()).expand2(vec2(4.0, 0.0));
        let fill = look.color(fill.unwrap_or(Role::Panel));
        ui.painter().rect_filled(ground, 3.0, fill);
        ui.painter().galley(at, galley, look.color(role));
    }
    control::focus(ui, look, rect, &response, 8);
    if response.clicked() {
        reason.cause = Some(id.clone());
    }
}

/// Whether nothing that was noted says anything about a cause.
fn is_unmoved(inquiry: &Inquiry, cause: usize) -> bool {
    let Some(answer) = &inquiry.told else { return false };
    let Some(told) = answer.told.as_ref().filter(|t| !t.weights.is_empty()) else { return false };
    let of_cause = told.weights.iter().filter(|w| w.mechanism == cause);
    of_cause.filter_map(|w| w.decibans).all(|d| d.abs() < WORTH_SAYING)
}

/// How much the pointed finding pulls at a cause, and which way.
fn pull_of(reason: &Reason, inquiry: &Inquiry, cause: usize) -> Option<(String, Option<bool>)> {
    let id = reason.pointed.as_deref()?;
    let answer = inquiry.told.as_ref()?;
    let finding = answer.network.finding_idx(id)?;
    answer.evidence.get(finding)?;
    let mut all = answer.told.as_ref()?.weights.iter();
    let weight = all.find(|w| w.finding == finding && w.mechanism == cause)?.decibans?;
    Some(if weight.abs() < WORTH_SHOWING {
        (tr("reason-pull-none"), None)
    } else {
        let side = if weight > 0.0 { "reason-why-for" } else { "reason-why-against" };
        (format!("{} ({})", tr(side), wording::decibans(weight)), Some(weight > 0.0))
    })
}

/// A share as a bar; a line where it stood before.
fn share_bar(ui: &Ui, look: Look, track: Rect, p: f64, before: Option<f64>, chosen: bool) {
    let painter = ui.painter();
    let round = track.height() / 2.0;
    let line = Stroke::new(1.0, look.color(Role::Leader));
    painter.rect(track, round, look.color(Role::QuietPanel), line, StrokeKind::Inside);
    let x = |p: f64| track.min.x + track.width() * p.clamp(0.0, 1.0) as f32;
    let done = Rect::from_min_max(track.min, pos2(x(p).max(track.min.x + 2.0), track.max.y));
    let role = if chosen { Role::Accent } else { Role::SecondInk };
    painter.rect_filled(done, round, look.color(role));
    if let Some(before) = before {
        let stroke = Stroke::new(2.0, look.color(Role::Ink));
        painter.vline(x(before), track.y_range().expand(3.0), stroke);
    }
}

/// When the leading causes began, on a scale of months that is wide where it is near.
fn dates_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &Reason, inquiry: &Inquiry, answer: &Answer) {
    let look = seen.look;
    let age = inquiry.draft.age_months.unwrap_or(108.0).max(1.0);
    let shown: Vec<usize> = ranked(answer).into_iter().take(5).collect();
    let row = look.px(30.0);
    let foot = look.px(22.0);
    let height = row * shown.len() as f32 + foot + 6.0;
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Node::Image, true, tr("reason-began")));
    let painter = ui.painter();
    // The square root keeps years and months apart without running off at today.
    let x = |months: f64| {
        rect.max.x - 14.0 - (rect.width() - 28.0) * ((months / age).clamp(0.0, 1.0).sqrt() as f32)
    };
    let bottom = rect.max.y - foot;
    let grey = look.color(Role::Rule);
    let font = look.font(11.5, Weight::Regular);
    let second = look.color(Role::SecondInk);
    let mut taken: Vec<Rect> = Vec::new();
    let ends = [(0.0, tr("reason-began-today")), (age, tr("reason-began-service"))];
    let ticks = [6.0, 12.0, 24.0, 60.0, 120.0, 240.0].map(|m| (m, months_text(m)));
    for (months, text) in ends.into_iter().chain(ticks) {
        if months > age {
            continue;
        }
        painter.vline(x(months), rect.min.y..=bottom, Stroke::new(1.0, grey));
        let galley = painter.layout_no_wrap(text, font.clone(), second);
        let at = x(months) - galley.size().x / 2.0;
        let at = at.clamp(rect.min.x, rect.max.x - galley.size().x);
        let place = Rect::from_min_size(pos2(at, bottom + 4.0), galley.size());
        if taken.iter().all(|t| !t.expand2(vec2(8.0, 0.0)).intersects(place)) {
            painter.galley(place.min, galley, second);
            taken.push(place);
        }
    }
    for (i, &cause) in shown.iter().enumerate() {
        let mid = rect.min.y + row * (i as f32 + 0.66);
        let chosen = explained(reason, answer) == Some(cause);
        let name = seen.catalogue.name_of(&answer.network.mechanisms()[cause].id);
        let weight = if chosen { Weight::SemiBold } else { Weight::Regular };
        let Some(began) = answer.posterior.began(&answer.network, cause) else { continue };
        let (left, right) = (x(began.p90), x(began.p10).max(x(began.p90) + 4.0));
        let bar = Rect::from_min_max(pos2(left, mid - 5.0), pos2(right, mid + 5.0));
        let (fill, line) = if chosen {
            (Role::AccentFill, Role::Accent)
        } else {
            (Role::QuietPanel, Role::SecondInk)
        };
        let stroke = Stroke::new(1.5, look.color(line));
        painter.rect(bar, 5.0, look.color(fill), stroke, StrokeKind::Inside);
        let stroke = Stroke::new(2.5, look.color(Role::Ink));
        painter.vline(x(began.median), (mid - 7.0)..=(mid + 7.0), stroke);
        let ink = look.color(Role::Ink);
        let galley = control::one_line(ui, &name, look.font(12.0, weight), ink, rect.width() * 0.6);
        // The name stands above its bar, within the chart.
        let at = (left + right - galley.size().x) / 2.0;
        let at = at.clamp(rect.min.x, rect.max.x - galley.size().x);
        let at = Pos2::new(at, mid - 8.0 - galley.size().y);
        let behind = Rect::from_min_size(at, galley.size()).expand2(vec2(3.0, 0.0));
        painter.rect_filled(behind, 2.0, look.color(Role::Panel));
        painter.galley(at, galley, ink);
    }
}
