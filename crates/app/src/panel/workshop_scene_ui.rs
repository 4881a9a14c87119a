//! The scene of a question: its drawing with names, sliders that write one value, and what the
//! rules say about it.

use super::{Seen, run_ui::near_rect, shell_ui::picture_frame, study_ui::speak};
use crate::{
    running::Board,
    theme::Look,
    widget::{
        control,
        drawing::{Ask, Done, Picture, Spoken},
        pick, words,
    },
    workshop::{
        Open, edit,
        outline::{Number, Scene},
        text::Edit,
    },
};
use egui::{Id, Rect, ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    text::{tr, tr_with},
    unit::{Severity, months_text, trimmed},
};
use jarlight_scenario::reason::Reasoned;
use std::sync::Arc;

/// The drawing of the scene, and a box that is being drawn on it.
#[derive(Default)]
pub struct Stand {
    board: Board,
    boxing: bool,
    from: Option<egui::Pos2>,
}

/// Draws the scene of the question shown.
pub fn scene_ui(ui: &mut Ui, seen: &Seen<'_>, open: &mut Open, stand: &mut Stand) {
    let look = seen.look;
    ui.horizontal_wrapped(|ui| {
        words::detail(ui, look, &tr("workshop-click-inserts"));
        if control::switch(ui, look, &tr("workshop-box"), stand.boxing) {
            stand.boxing = !stand.boxing;
        }
    });
    let room = ui.available_rect_before_wrap();
    let height = (room.height() * 0.5).clamp(150.0, 560.0);
    let rect = Rect::from_min_size(room.min, egui::vec2(room.width(), height));
    drawing_ui(ui, seen, open, stand, rect);
    ui.advance_cursor_after_rect(rect);
    ScrollArea::vertical().id_salt("workshop-scene").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 6.0;
        sliders_ui(ui, seen, open);
        ui.add_space(6.0);
        rules_ui(ui, look, open.preview.as_ref().and_then(|p| p.reasoned.as_ref()));
    });
    if ui.input(|i| i.pointer.any_released()) {
        open.text.close_step();
    }
}

fn drawing_ui(ui: &mut Ui, seen: &Seen<'_>, open: &mut Open, stand: &mut Stand, rect: Rect) {
    let look = seen.look;
    let Some((subject, shown)) = open.preview.as_ref().and_then(|p| p.running.subject()) else {
        return;
    };
    let px = f64::from(rect.height()) / 440.0 * stand.board.canvas.zoom();
    let Some(drawn) = stand.board.easel.picture(seen.catalogue, &subject, px) else {
        words::body(ui, look, &tr("study-cannot-draw"));
        return;
    };
    let spoken = speak(seen.catalogue, &drawn);
    ui.painter().rect_filled(rect, 7, look.color(Role::Page));
    let near = shown.zoom.as_deref().and_then(|id| near_rect(&drawn, id));
    let done = ui
        .scope_builder(UiBuilder::new().max_rect(rect), |ui| {
            stand.board.canvas.show(
                ui,
                look,
                &Ask {
                    picture: &drawn,
                    title: &tr("workshop-scene-drawing"),
                    spoken: &spoken,
                    chip: true,
                    labels: &[],
                    highlighted: None,
                    veil: Default::default(),
                    marks: &[],
                    lamp: shown.lamp,
                    choosing: !stand.boxing,
                    near,
                },
            )
        })
        .inner;
    picture_frame(ui, look, rect, 7);
    let target = match stand.boxing {
        true => boxed(ui, look, stand, &drawn, &spoken, &done, rect),
        false => done.picked.as_ref().and_then(|p| p.target),
    };
    if let Some(t) = target.and_then(|t| drawn.scene.targets.get(t as usize)) {
        insert(open, seen, &t.id());
    }
}

/// Puts a place in where the cursor is: with its number where a place is meant, as a part where
/// a part is meant.
fn insert(open: &mut Open, seen: &Seen<'_>, place: &str) {
    let field = edit::field_at(open.text.str(), open.selected.start);
    let takes_place = matches!(field.as_deref(), Some("target" | "place" | "zoom"));
    let part = jarlight_scenario::places::split(place).map_or(place, |(part, _)| part);
    let takes_part =
        matches!(field.as_deref(), Some("part" | "options" | "hide" | "also" | "near" | "about"));
    let known = seen.catalogue.part(part).is_some();
    let id = if takes_part && !takes_place && known { part } else { place };
    let selected = open.selected.clone();
    let edit = edit::insert_id(open.text.str(), selected, id);
    open.edit(vec![edit]);
}

/// A box is dragged; gives the place that it fits best when it is let go.
fn boxed(
    ui: &mut Ui,
    look: Look,
    stand: &mut Stand,
    drawn: &Arc<Picture>,
    spoken: &[Option<Spoken>],
    done: &Done,
    rect: Rect,
) -> Option<u32> {
    let response = ui.interact(rect, Id::unique("workshop-box"), Sense::drag());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::GraphicsObject, true, tr("workshop-box"))
    });
    if response.drag_started() {
        stand.from = ui.input(|i| i.pointer.press_origin());
    }
    let (from, to) =
        (stand.from?, response.interact_pointer_pos().or(ui.ctx().pointer_latest_pos())?);
    let marked = Rect::from_two_pos(from, to).intersect(rect);
    let line = Stroke::new(2.4, look.color(Role::Accent));
    ui.painter().rect_stroke(
        marked,
        2.0,
        Stroke::new(4.4, look.color(Role::Panel)),
        StrokeKind::Middle,
    );
    ui.painter().rect_stroke(marked, 2.0, line, StrokeKind::Middle);
    if !response.drag_stopped() {
        return None;
    }
    stand.from = None;
    let (a, z) = (done.place.to_scene(marked.min), done.place.to_scene(marked.max));
    let marked = kurbo::Rect::from_points(a, z);
    let share = |t: u32| {
        let r = drawn.index.extent(t)?;
        let both = marked.intersect(r).area();
        Some(both / (marked.area() + r.area() - both).max(1e-9))
    };
    (0..drawn.scene.targets.len() as u32)
        .filter(|t| spoken.get(*t as usize).is_some_and(Option::is_some))
        .filter_map(|t| Some((t, share(t).filter(|s| *s > 0.0)?)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(t, _)| t)
}

fn sliders_ui(ui: &mut Ui, seen: &Seen<'_>, open: &mut Open) {
    let look = seen.look;
    let outline = open.outline();
    let Some(question) = outline.questions.get(open.chosen) else { return };
    let mut names: Vec<&str> = question.scenes.iter().map(|(name, _)| name.as_str()).collect();
    names.dedup();
    let mut edit = None;
    for name in &names {
        let Some(scene) = outline.scene(name) else { continue };
        words::small(ui, look, &tr_with("workshop-scene", &[("name", name)]));
        edit = scene_sliders(ui, seen, scene).or(edit);
    }
    if let Some(edit) = edit {
        open.slide(edit);
    }
}

fn scene_sliders(ui: &mut Ui, seen: &Seen<'_>, scene: &Scene) -> Option<Edit> {
    let look = seen.look;
    let mut edit = None;
    // Without a word about it a cell is nine years old.
    let age = scene.age.clone().unwrap_or(Number { at: 0..0, low: 108.0, high: 108.0 });
    let say = |v: f64| months_text(v);
    if let Some((low, high)) =
        spread_ui(ui, look, &tr("workshop-age"), &age, (0.0, 600.0), 1.0, 12.0, &say)
    {
        edit = edit::set_age(scene, low, high);
    }
    for placed in &scene.conditions {
        let Some(severity) = &placed.severity else { continue };
        let name = seen.catalogue.name_of(&placed.id);
        let say = |v: f64| {
            let grade = Severity::clamped(v).grade();
            format!("{} ({})", trimmed(v, 2), tr(&grade.text_id()))
        };
        if let Some((low, high)) = spread_ui(ui, look, &name, severity, (0.0, 1.0), 0.01, 0.1, &say)
        {
            edit = Some(edit::set_number(severity, low, high));
        }
    }
    edit
}

/// One value or a range of values; gives the new ends when they were moved.
fn spread_ui(
    ui: &mut Ui,
    look: Look,
    name: &str,
    now: &Number,
    ends: (f64, f64),
    step: f64,
    widen: f64,
    say: &dyn Fn(f64) -> String,
) -> Option<(f64, f64)> {
    let mut new = None;
    let round = |v: f64| (v / step).round() * step;
    let (mut low, mut high) = (now.low, now.high);
    let varies = low != high;
    if varies {
        let from = tr_with("workshop-from", &[("name", name)]);
        if pick::slider(ui, look, &from, &say(low), &mut low, ends.0..=ends.1, step) {
            new = Some((round(low).min(high), high));
        }
        let to = tr_with("workshop-to", &[("name", name)]);
        if pick::slider(ui, look, &to, &say(high), &mut high, ends.0..=ends.1, step) {
            new = Some((low, round(high).max(low)));
        }
    } else if pick::slider(ui, look, name, &say(low), &mut low, ends.0..=ends.1, step) {
        new = Some((round(low), round(low)));
    }
    let label = tr_with("workshop-vary", &[("name", name)]);
    if control::switch(ui, look, &label, varies) {
        let middle = round((now.low + now.high) / 2.0);
        new = Some(if varies {
            (middle, middle)
        } else {
            (round((middle - widen).max(ends.0)), round((middle + widen).min(ends.1)))
        });
    }
    new
}

/// What the rules say about the scene.
pub fn rules_ui(ui: &mut Ui, look: Look, said: Option<&Reasoned>) {
    control::card(ui, look, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        words::small(ui, look, &tr("workshop-rules"));
        let Some(said) = said else {
            words::quiet(ui, look, &tr("workshop-checking"));
            return;
        };
        if said.causes.is_empty() {
            words::quiet(ui, look, &tr("workshop-rules-none"));
        }
        for cause in &said.causes {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 8.0;
                words::text(ui, look, &cause.name, 13.5, Weight::SemiBold, Role::Ink);
                let percent = format!("{} %, {}", trimmed(cause.percent, 0), cause.words);
                words::quiet(ui, look, &percent);
            });
            if let Some(began) = &cause.began {
                words::detail(ui, look, &began.text);
            }
        }
        if !said.next.is_empty() {
            words::detail(
                ui,
                look,
                &tr_with("workshop-rules-next", &[("next", &said.next.join("; "))]),
            );
        }
        words::detail(ui, look, &tr("workshop-rules-estimate"));
    });
}
