//! The end of a run: the score, and what was missed, with pictures.

use super::{Seen, shell_ui::picture_frame};
use crate::{
    command::Command,
    easel::Subject,
    route::Route,
    running::Running,
    theme::Look,
    widget::{
        control::{self, Rank},
        drawing::Ask,
        mark::{Mark, State},
        words,
    },
};
use egui::{Frame, Margin, Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    text::{tr, tr_with},
    unit::trimmed,
};
use jarlight_scenario::{Miss, Summary};

/// Draws the page.
pub fn finish_ui(ui: &mut Ui, seen: &Seen<'_>, running: &mut Running, out: &mut Vec<Command>) {
    let look = seen.look;
    let Some(summary) = running.summary.take() else { return };
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let side = ((ui.available_width() - look.px(920.0)) / 2.0).clamp(24.0, 120.0);
        Frame::new().inner_margin(Margin::symmetric(side as i8, 24)).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 8.0;
            words::title(ui, look, &tr("finish-title"));
            words::quiet(ui, look, &running.run.title);
            ui.add_space(8.0);
            ui.spacing_mut().item_spacing.y = 14.0;
            score_ui(ui, look, seen, running, &summary, out);
            if !summary.misses.is_empty() {
                ui.add_space(4.0);
                words::section(ui, look, &tr("finish-misses"));
            }
            for (i, miss) in summary.misses.iter().enumerate() {
                miss_ui(ui, seen, running, i, miss);
            }
        });
    });
    running.summary = Some(summary);
}

fn score_ui(
    ui: &mut Ui,
    look: Look,
    seen: &Seen<'_>,
    running: &Running,
    summary: &Summary,
    out: &mut Vec<Command>,
) {
    control::filled_card(ui, look, Role::Panel, Role::Accent, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        let (points, most) = (trimmed(summary.points, 1), trimmed(summary.max_points, 1));
        let score = tr_with("finish-score", &[("points", &points), ("most", &most)]);
        words::text(ui, look, &score, 26.0, Weight::Bold, Role::Ink);
        let right = tr_with(
            "finish-right",
            &[("right", &summary.right.to_string()), ("total", &summary.questions.to_string())],
        );
        words::quiet(ui, look, &right);
        let share = (summary.points / summary.max_points.max(1e-9)) as f32;
        control::progress(ui, look, share, ui.available_width(), &score);
        ui.add_space(4.0);
        ui.horizontal_wrapped(|ui| {
            let same = |s: &std::sync::Arc<jarlight_scenario::Scenario>| {
                s.id().as_str() == running.run.scenario
            };
            let entries = &seen.library.entries;
            let entry = entries.iter().position(|e| e.scenario.as_ref().is_some_and(same));
            if let Some(entry) = entry.filter(|_| !running.is_trial)
                && control::button(ui, look, Rank::Primary, &tr("finish-again")).clicked()
            {
                out.push(Command::Begin { entry, mode: running.session.mode() });
            }
            if control::button(ui, look, Rank::Secondary, &tr("finish-list")).clicked() {
                out.push(Command::Go(Route::Questions));
            }
        });
    });
}

fn miss_ui(ui: &mut Ui, seen: &Seen<'_>, running: &mut Running, i: usize, miss: &Miss) {
    let look = seen.look;
    control::card(ui, look, |ui| {
        let width = ui.available_width();
        let side = (width * 0.36).min(look.px(330.0));
        let height = side * 0.95;
        let top = ui.cursor().min;
        let words_rect = Rect::from_min_size(
            pos2(top.x + side + 18.0, top.y),
            vec2(width - side - 18.0, f32::INFINITY),
        );
        let picture = Rect::from_min_size(top, vec2(side, height));
        ui.scope_builder(UiBuilder::new().max_rect(picture), |ui| {
            picture_ui(ui, seen, running, i, miss, picture);
            ui.allocate_rect(picture, egui::Sense::hover());
        });
        ui.scope_builder(UiBuilder::new().max_rect(words_rect), |ui| {
            ui.spacing_mut().item_spacing.y = 5.0;
            ui.set_width(words_rect.width());
            let n = tr_with("finish-question", &[("n", &miss.number.to_string())]);
            words::text(ui, look, &n, 12.0, Weight::Medium, Role::SecondInk);
            words::text(ui, look, &miss.stem, 16.0, Weight::SemiBold, Role::Ink);
            let f = &miss.feedback;
            if !f.given.is_empty() {
                words::quiet(ui, look, &tr_with("feedback-given", &[("given", &f.given)]));
            }
            for right in &f.right {
                words::text(ui, look, right, 13.5, Weight::SemiBold, Role::Ink);
            }
            words::body(ui, look, &f.why);
            for t in f.tempting.iter().filter(|t| t.tell != f.why) {
                words::quiet(ui, look, &t.tell);
            }
        });
    });
}

fn picture_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    running: &mut Running,
    i: usize,
    miss: &Miss,
    rect: Rect,
) {
    let look = seen.look;
    ui.painter().rect_filled(rect, 7, look.color(Role::Page));
    let Some(board) = running.misses.get_mut(i) else { return };
    let subject = Subject::of(&miss.picture);
    let px = f64::from(rect.height()) / 440.0 * board.canvas.zoom();
    let Some(picture) = board.easel.picture(seen.catalogue, &subject, px) else { return };
    let near = miss.picture.zoom.as_deref().and_then(|z| super::run_ui::near_rect(&picture, z));
    let targets = picture.scene.targets.iter().enumerate();
    let is = |place: &String, t: &jarlight_geometry::scene::Target| {
        t.id() == *place || *t.part == **place
    };
    let marks: Vec<Mark> = targets
        .filter_map(|(t, target)| {
            let f = &miss.feedback;
            let state = if f.right_places.iter().any(|p| is(p, target)) {
                State::Right
            } else if f.chosen_places.iter().any(|p| is(p, target)) {
                State::Wrong
            } else {
                return None;
            };
            Some(Mark::new(t as u32, state))
        })
        .collect();
    board.canvas.show(
        ui,
        look,
        &Ask {
            picture: &picture,
            title: &tr_with("finish-question", &[("n", &miss.number.to_string())]),
            spoken: &[],
            chip: false,
            labels: &[],
            highlighted: None,
            veil: Default::default(),
            marks: &marks,
            lamp: miss.picture.lamp,
            choosing: false,
            near,
        },
    );
    picture_frame(ui, look, rect, 7);
}
