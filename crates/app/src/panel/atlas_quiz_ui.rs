//! Two questions at the foot of an entry: made from the catalogue, answered in place.

use super::{
    Seen, atlas_entry_ui::part, atlas_ui::Atlas, atlas_view_ui::place_of, shell_ui::picture_frame,
};
use crate::{
    easel::SightEasel,
    paint::Veil,
    theme::{CARD_CORNER, Look},
    widget::{
        badge,
        control::{self, Choice, Rank},
        drawing::{Ask, Canvas},
        words,
    },
};
use egui::{Rect, Sense, Ui, UiBuilder, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{catalogue::Condition, id::Slug, specimen::Specimen, text::tr};
use jarlight_scenario::{Quiz, quiz};

/// The questions in hand, with what was answered.
#[derive(Default)]
pub(super) struct Quizzes {
    of: Option<(Slug, Slug, u64)>,
    round: u64,
    list: Vec<Quiz>,
    given: Vec<Option<usize>>,
    easel: SightEasel,
    canvas: Canvas,
}

/// Draws both questions.
pub(super) fn quiz_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, condition: &Condition) {
    let look = seen.look;
    let Some(design) = atlas.design.clone() else { return };
    let of = (condition.id.value.clone(), design.id.clone(), atlas.quizzes.round);
    if atlas.quizzes.of.as_ref() != Some(&of) {
        let list = quiz::two(seen.catalogue, &design, condition, of.2);
        atlas.quizzes.given = vec![None; list.len()];
        atlas.quizzes.list = list;
        atlas.quizzes.of = Some(of);
        bring_near(seen, atlas, condition);
    }
    part(ui, look, "quiz-title");
    if std::mem::take(&mut atlas.to_quiz) {
        ui.scroll_to_cursor(Some(egui::Align::TOP));
    }
    let list = atlas.quizzes.list.clone();
    for (i, quiz) in list.iter().enumerate() {
        ui.add_space(4.0);
        words::body(ui, look, &quiz.stem);
        if let Some(specimen) = &quiz.specimen {
            picture_ui(ui, seen, atlas, specimen);
        }
        let given = atlas.quizzes.given[i];
        for (o, option) in quiz.options.iter().enumerate() {
            let verdict = given.and_then(|g| match o {
                o if o == quiz.right => Some(true),
                o if o == g => Some(false),
                _ => None,
            });
            let choice = Choice {
                key: None,
                words: &option.text,
                note: None,
                chosen: given == Some(o),
                verdict,
                open: given.is_none(),
            };
            if control::choice(ui, look, &choice).clicked() && given.is_none() {
                atlas.quizzes.given[i] = Some(o);
                ui.ctx().request_repaint();
            }
            ui.add_space(3.0);
        }
        if let Some(given) = given {
            verdict_ui(ui, look, quiz, given);
        }
    }
    ui.add_space(6.0);
    if control::button(ui, look, Rank::Secondary, &tr("quiz-again")).clicked() {
        atlas.quizzes.round += 1;
        ui.ctx().request_repaint();
    }
}

/// Goes to the place of the condition that is asked about, whatever is shown there.
fn bring_near(seen: &Seen<'_>, atlas: &mut Atlas, condition: &Condition) {
    let Some(design) = atlas.design.clone() else { return };
    match place_of(seen.catalogue, &design, atlas.view, condition, None, 1.5) {
        Some((place, _)) => atlas.quizzes.canvas.bring_near(place),
        None => atlas.quizzes.canvas.reset(),
    }
}

/// The cell that is asked about; nothing in it is named.
fn picture_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, specimen: &Specimen) {
    let look = seen.look;
    let Some(design) = atlas.design.clone() else { return };
    let sight = atlas.sight(&design, specimen.clone());
    let width = ui.available_width();
    let (area, _) = ui.allocate_exact_size(vec2(width, (width / 1.5).round()), Sense::hover());
    let quizzes = &mut atlas.quizzes;
    let px = f64::from(area.height()) / 440.0 * quizzes.canvas.zoom();
    let Some(picture) = quizzes.easel.picture(seen.catalogue, &sight, px) else { return };
    quizzes.canvas.follow();
    let title = tr("quiz-picture");
    let ask = Ask {
        picture: &picture,
        title: &title,
        spoken: &[],
        chip: false,
        labels: &[],
        highlighted: None,
        veil: Veil::default(),
        marks: &[],
        lamp: true,
        choosing: false,
        near: None,
    };
    ui.scope_builder(UiBuilder::new().max_rect(area), |ui| quizzes.canvas.show(ui, look, &ask));
    picture_frame(ui, look, area, CARD_CORNER);
    ui.add_space(4.0);
}

/// Right or not, in sign and words, and why.
fn verdict_ui(ui: &mut Ui, look: Look, quiz: &Quiz, given: usize) {
    let right = given == quiz.right;
    ui.horizontal(|ui| {
        let (r, _): (Rect, _) = ui.allocate_exact_size(vec2(24.0, look.px(24.0)), Sense::hover());
        let (id, role) = if right {
            badge::tick(ui.painter(), r.center(), 9.0, look);
            ("verdict-right", Role::Right)
        } else {
            badge::cross(ui.painter(), r.center(), 9.0, look);
            ("verdict-wrong", Role::Wrong)
        };
        let said = words::text(ui, look, &tr(id), 14.0, Weight::SemiBold, role);
        ui.ctx().accesskit_node_builder(said.id, |n| n.set_live(egui::accesskit::Live::Polite));
    });
    if !right && let Some(chosen) = quiz.options.get(given) {
        words::quiet(ui, look, &chosen.tell);
    }
    if let Some(truth) = quiz.options.get(quiz.right)
        && (right || quiz.options.get(given).is_some_and(|c| c.tell != truth.tell))
    {
        words::quiet(ui, look, &truth.tell);
    }
}
