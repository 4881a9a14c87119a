//! Does it look like this? What was noted beside what a cause shows at its stated age.

use super::{
    Seen,
    reason_causes_ui::explained,
    reason_find_ui::{VIEWS, figure_ui},
    reason_ui::{Reason, design_of, sight},
};
use crate::{
    inquiry::Inquiry,
    services::Answer,
    theme::Look,
    widget::{control, words},
};
use egui::{Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::{Catalogue, Condition, ConditionKind, Link},
    text::{tr, tr_with},
    unit::{Severity, months_text},
};
use jarlight_rules::{Entry, Noted, rate_at};

/// Temperature at which growth laws hold, where the case names none.
const USUAL_C: f64 = 25.0;

/// What a cause usually shows: finding and severity, so far as it shows by now.
fn usual(catalogue: &Catalogue, answer: &Answer, cause: usize, celsius: f64) -> Vec<(String, f64)> {
    let id = &answer.network.mechanisms()[cause].id;
    let Some(entry) = catalogue.mechanism(id) else { return Vec::new() };
    let months = answer.posterior.began(&answer.network, cause).map_or(0.0, |b| b.median);
    let shows = |link: &Link| matches!(link, Link::AlmostAlways | Link::Often);
    entry
        .links
        .iter()
        .filter(|(_, link)| shows(link))
        .filter_map(|(finding, _)| {
            let condition = catalogue.condition(finding)?;
            // A part that this construction lacks has no finding in its network.
            answer.network.finding_idx(finding)?;
            let severity = severity_of(condition, months, celsius);
            let there = Severity::clamped(severity).grade().value() > 0;
            (condition.kind == ConditionKind::Condition && there)
                .then(|| (finding.clone(), severity))
        })
        .collect()
}

/// How far a condition has usually gone so many months after its cause began; what comes by one
/// event stands at grade 3.
fn severity_of(condition: &Condition, months: f64, celsius: f64) -> f64 {
    let rate = if condition.heats { rate_at(celsius) } else { 1.0 };
    let shows = condition.age.is_none_or(|a| months * rate >= a.too_soon);
    let event = if shows { 0.6 } else { 0.0 };
    condition.growth.severity_after(months, rate).map_or(event, Severity::value)
}

/// Draws the two pictures and what sets them apart.
pub(super) fn like_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &Inquiry) {
    let look = seen.look;
    let Some(answer) = inquiry.answer.clone().filter(|_| inquiry.refused.is_none()) else {
        words::quiet(ui, look, &tr("reason-waiting"));
        return;
    };
    let (Some(cause), Some(design)) = (explained(reason, &answer), design_of(seen, inquiry)) else {
        return;
    };
    ui.horizontal_wrapped(|ui| {
        words::section(ui, look, &tr("reason-like-title"));
        let names = VIEWS.map(|v| tr(&format!("view-{}", v.name())));
        let at = VIEWS.iter().position(|v| *v == reason.like_view).unwrap_or(0);
        if let Some(i) = control::segments(ui, look, "like-view", &names, at) {
            reason.like_view = VIEWS[i];
            reason.like_noted.canvas.reset();
            reason.like_cause.canvas.reset();
            ui.ctx().request_repaint();
        }
    });
    let celsius = inquiry.draft.temperature.unwrap_or(USUAL_C);
    let expected = usual(seen.catalogue, &answer, cause, celsius);
    let noted: Vec<(String, f64)> = inquiry
        .effective()
        .noted
        .into_iter()
        .map(|(id, n)| (id, n.grade() as f64 / 5.0))
        .filter(|(id, s)| *s > 0.0 && seen.catalogue.condition(id).is_some())
        .collect();
    let name = seen.catalogue.name_of(&answer.network.mechanisms()[cause].id);
    let began = answer.posterior.began(&answer.network, cause);
    let age = months_text(began.map_or(0.0, |b| b.median));
    let titles =
        [tr("reason-like-noted"), tr_with("reason-like-cause", &[("name", &name), ("age", &age)])];
    let foot = look.px(150.0).min(ui.available_height() * 0.4);
    let room = ui.available_rect_before_wrap();
    let (gap, foot_top) = (12.0, room.max.y - foot);
    let half = (room.width() - gap) / 2.0;
    let view = reason.like_view;
    let figures = [(&mut reason.like_noted, &noted), (&mut reason.like_cause, &expected)];
    for (i, (figure, shown)) in figures.into_iter().enumerate() {
        let left = room.min.x + i as f32 * (half + gap);
        let area = Rect::from_min_max(pos2(left, room.min.y), pos2(left + half, foot_top));
        let sight = sight(seen, design, view, shown.iter().cloned());
        ui.scope_builder(UiBuilder::new().max_rect(area), |ui| {
            words::text(ui, look, &titles[i], 13.5, Weight::SemiBold, Role::Ink);
            let height = (ui.available_height() - look.px(44.0)).max(80.0);
            figure_ui(ui, seen, figure, &sight, &titles[i], height, None);
            words::detail(ui, look, &shown_text(seen.catalogue, shown));
        });
    }
    let below = Rect::from_min_max(pos2(room.min.x, foot_top + 4.0), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(below), |ui| {
        ScrollArea::vertical().id_salt("like").auto_shrink(false).show(ui, |ui| {
            ui.set_width(ui.available_width() - 8.0);
            ui.spacing_mut().item_spacing = vec2(8.0, 4.0);
            differences_ui(ui, look, seen.catalogue, inquiry, &noted, &expected);
            words::detail(ui, look, &tr("reason-like-about"));
        });
    });
}

fn shown_text(catalogue: &Catalogue, shown: &[(String, f64)]) -> String {
    if shown.is_empty() {
        return tr("reason-like-nothing");
    }
    let each: Vec<String> = shown
        .iter()
        .map(|(id, severity)| {
            let grade = Severity::clamped(*severity).grade();
            format!("{}, {}", catalogue.name_of(id), tr(&grade.text_id()))
        })
        .collect();
    tr_with("reason-like-shown", &[("list", &each.join("; "))])
}

/// What is in one picture only, in words.
fn differences_ui(
    ui: &mut Ui,
    look: Look,
    catalogue: &Catalogue,
    inquiry: &Inquiry,
    noted: &[(String, f64)],
    expected: &[(String, f64)],
) {
    let has = |list: &[(String, f64)], id: &str| list.iter().any(|(i, _)| i == id);
    let names = |ids: Vec<&String>| {
        ids.into_iter().map(|id| catalogue.name_of(id)).collect::<Vec<_>>().join("; ")
    };
    let clean = |id: &&String| inquiry.noted(id) == Some(&Noted::Seen(Entry::Grade(0)));
    let only: Vec<&String> =
        noted.iter().map(|(id, _)| id).filter(|id| !has(expected, id)).collect();
    let lacking: Vec<&String> =
        expected.iter().map(|(id, _)| id).filter(|id| !has(noted, id)).collect();
    let (missing, open): (Vec<&String>, Vec<&String>) = lacking.into_iter().partition(clean);
    for (text, ids) in
        [("reason-like-missing", missing), ("reason-like-open", open), ("reason-like-only", only)]
    {
        if !ids.is_empty() {
            words::body(ui, look, &tr_with(text, &[("list", &names(ids))]));
        }
    }
}
