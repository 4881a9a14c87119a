//! The middle of the atlas: from where, on which design, the drawing under the lamp, and the
//! scales below it.

use super::{
    Seen,
    atlas_cell_ui::cell_ui,
    atlas_tiles_ui::{look_alike, look_alikes, tiles_ui},
    atlas_ui::{Atlas, Framed, Shown, Side, designs_for, views_of},
};
use crate::{
    theme::Look,
    widget::{
        control::{self, Rank},
        pick, words,
    },
};
use egui::{Key, Rect, Role as Node, Ui, UiBuilder, WidgetInfo, pos2};
use jarlight_geometry::{
    change,
    draw::{self, Options, View},
    scene::Scene,
    sheet,
};
use jarlight_model::{
    catalogue::{Catalogue, Condition},
    design::Design,
    specimen::{Occurrence, Specimen},
    text::tr,
    unit::Severity,
};
use std::sync::Arc;

/// How far gone a condition is while the place to look at is sought: so far that it shows.
const TO_FIND: f64 = 0.8;

/// Least time between two pictures that change by themselves.
const BLINK_SECONDS: f64 = 1.0;

const SHOWN: [(Shown, &str); 4] = [
    (Shown::One, "shown-one"),
    (Shown::Compare, "shown-compare"),
    (Shown::Grades, "shown-grades"),
    (Shown::Years, "shown-years"),
];

/// Draws switches, drawing and scales.
pub(super) fn middle_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, design: &Arc<Design>) {
    let look = seen.look;
    views_ui(ui, seen, atlas, design);
    ui.add_space(2.0);
    if atlas.chosen().is_some() {
        sides_ui(ui, seen, atlas, design);
    }
    lamp_ui(ui, look, atlas);
    ui.add_space(4.0);
    let room = ui.available_rect_before_wrap();
    // Scales take the height they had in the last frame.
    let id = ui.scope_id().with("height of the scales");
    let foot: f32 = ui.data(|d| d.get_temp(id)).unwrap_or(look.px(190.0));
    let least = (room.height() * 0.35).max(150.0);
    let height = (room.height() - foot - 8.0).max(least);
    let area = Rect::from_min_max(room.min, pos2(room.max.x, room.min.y + height));
    ui.scope_builder(UiBuilder::new().max_rect(area), |ui| tiles_ui(ui, seen, atlas, design));
    let below = Rect::from_min_max(pos2(room.min.x, area.max.y + 8.0), room.max);
    let used = ui
        .scope_builder(UiBuilder::new().max_rect(below), |ui| {
            egui::ScrollArea::vertical()
                .id_salt("scales")
                .show(ui, |ui| {
                    cell_ui(ui, seen, atlas);
                    ui.min_rect().height()
                })
                .inner
        })
        .inner;
    if (used - foot).abs() > 0.5 {
        ui.data_mut(|d| d.insert_temp(id, used));
        ui.ctx().request_repaint();
    }
}

fn views_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, design: &Design) {
    let look = seen.look;
    let condition = atlas.condition(seen.catalogue);
    let views = condition.map_or_else(|| vec![View::Edge, View::Face, View::Plan], views_of);
    ui.horizontal_wrapped(|ui| {
        let names: Vec<String> = views.iter().map(|v| tr(&format!("view-{}", v.name()))).collect();
        let at = views.iter().position(|v| *v == atlas.view).unwrap_or(0);
        if let Some(i) = control::segments(ui, look, "atlas view", &names, at) {
            atlas.view = views[i];
            atlas.canvas.reset();
            ui.ctx().request_repaint();
        }
        let all: Vec<&Design> = match condition {
            Some(c) => designs_for(seen.catalogue, c).collect(),
            None => seen.catalogue.designs.values().collect(),
        };
        let names: Vec<String> = all.iter().map(|d| d.name.clone()).collect();
        let at = all.iter().position(|d| d.id == design.id).unwrap_or(0);
        let width = look.px(190.0);
        if let Some(i) = pick::drop_down(ui, look, &tr("study-design"), &names, at, width) {
            atlas.design = Some(Arc::new(all[i].clone()));
            let can = |id: &str| {
                seen.catalogue.condition(id).is_some_and(|c| seen.catalogue.can_occur(all[i], c))
            };
            let chosen = atlas.chosen().cloned();
            atlas.cell.retain(|o| can(o.id.as_str()));
            atlas.at = atlas.cell.iter().position(|o| Some(&o.id) == chosen.as_ref()).unwrap_or(0);
            atlas.canvas.reset();
            ui.ctx().request_repaint();
        }
        if condition.is_none() {
            return;
        }
        let names = SHOWN.map(|(_, id)| tr(id));
        let at = SHOWN.iter().position(|(s, _)| *s == atlas.shown).unwrap_or(0);
        let width = look.px(140.0);
        if let Some(i) = pick::drop_down(ui, look, &tr("atlas-shown"), &names, at, width) {
            atlas.shown = SHOWN[i].0;
            ui.ctx().request_repaint();
        }
    });
}

/// What is compared with what, and how.
fn sides_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, design: &Arc<Design>) {
    let look = seen.look;
    let Some(condition) = atlas.condition(seen.catalogue) else { return };
    let all = look_alikes(seen.catalogue, design, condition);
    let now = look_alike(seen.catalogue, atlas, design).map(|c| c.id.value.clone());
    let alone = atlas.shown == Shown::One;
    let compares = alone || atlas.shown == Shown::Compare;
    if alone {
        blink_keys(ui, look, atlas);
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        if alone {
            let sides: Vec<Side> =
                Side::ALL.into_iter().filter(|s| *s != Side::Alike || now.is_some()).collect();
            let names: Vec<String> = sides.iter().map(|s| tr(s.text_id())).collect();
            let at = sides.iter().position(|s| *s == atlas.side).unwrap_or(0);
            if let Some(i) = control::segments(ui, look, "atlas side", &names, at) {
                atlas.side = sides[i];
                if atlas.side != Side::Affected {
                    atlas.blink_to = atlas.side;
                }
                ui.ctx().request_repaint();
            }
        }
        if compares && all.len() > 1 && (!alone || atlas.side == Side::Alike) {
            let names: Vec<String> = all.iter().map(|c| c.name.clone()).collect();
            let at = all.iter().position(|c| Some(&c.id.value) == now.as_ref()).unwrap_or(0);
            let width = look.px(170.0);
            if let Some(i) = pick::drop_down(ui, look, &tr("atlas-alike"), &names, at, width) {
                atlas.alike = Some(all[i].id.value.clone());
                ui.ctx().request_repaint();
            }
        }
        if alone {
            // Reduced motion leaves the key and takes the clock.
            ui.add_enabled_ui(!look.still, |ui| {
                let on = atlas.blinks && !look.still;
                if control::switch(ui, look, &tr("atlas-blink"), on) && !look.still {
                    atlas.blinks = !atlas.blinks;
                }
            });
        }
        if compares && control::switch(ui, look, &tr("atlas-outlines"), atlas.outlines) {
            atlas.outlines = !atlas.outlines;
        }
    });
}

/// The key B, and the clock where it blinks by itself: at most once a second.
fn blink_keys(ui: &Ui, look: Look, atlas: &mut Atlas) {
    let (pressed, time) = ui.input(|i| (i.key_pressed(Key::B) && i.modifiers.is_none(), i.time));
    if pressed && !ui.ctx().text_edit_focused() {
        atlas.blink();
        atlas.blinked = time;
        ui.ctx().request_repaint();
    }
    if atlas.blinks && !look.still {
        if time - atlas.blinked >= BLINK_SECONDS {
            atlas.blink();
            atlas.blinked = time;
        }
        let left = (BLINK_SECONDS - (time - atlas.blinked)).max(0.02);
        ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(left));
    }
}

fn lamp_ui(ui: &mut Ui, look: Look, atlas: &mut Atlas) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        if control::switch(ui, look, &tr("atlas-lamp"), atlas.lamp) {
            atlas.lamp = !atlas.lamp;
        }
        if atlas.lamp {
            let name = tr("atlas-room");
            words::detail(ui, look, &name);
            let mut percent = atlas.room * 100.0;
            let width = look.px(110.0);
            if pick::bare_slider(ui, look, &name, &mut percent, 0.0..=100.0, 5.0, width) {
                atlas.room = percent / 100.0;
            }
        }
        zoom_ui(ui, look, atlas);
    });
}

/// Brings the place near at which a condition shows, once for each condition, design and view.
pub(super) fn bring_near(seen: &Seen<'_>, atlas: &mut Atlas, design: &Arc<Design>, area: Rect) {
    let Some(condition) = atlas.condition(seen.catalogue) else {
        if atlas.framed.take().is_some() {
            atlas.canvas.reset();
        }
        return;
    };
    let beside =
        look_alike(seen.catalogue, atlas, design).filter(|_| atlas.shown == Shown::Compare);
    let wanted = Framed {
        condition: condition.id.value.clone(),
        beside: beside.map(|c| c.id.value.clone()),
        design: design.id.clone(),
        view: atlas.view,
        shown: atlas.shown,
    };
    if atlas.framed.as_ref() == Some(&wanted) {
        return;
    }
    let aspect = f64::from(area.width() / area.height().max(1.0));
    match place_of(seen.catalogue, design, atlas.view, condition, beside, aspect) {
        Some((place, glints)) => {
            atlas.canvas.bring_near(place);
            atlas.lamp = glints;
        }
        None => atlas.canvas.reset(),
    }
    atlas.framed = Some(wanted);
}

/// Where a condition shows, and whether it takes the lamp to see it.
pub(super) fn place_of(
    catalogue: &Catalogue,
    design: &Design,
    view: View,
    condition: &Condition,
    beside: Option<&Condition>,
    aspect: f64,
) -> Option<(kurbo::Rect, bool)> {
    let drawn = |condition: Option<&Condition>| -> Option<Scene> {
        let mut specimen = Specimen::healthy(design.id.clone());
        specimen.occurrences.extend(condition.map(|c| Occurrence {
            condition: c.id.value.clone(),
            severity: Severity::clamped(TO_FIND),
            place: None,
        }));
        let (specimen, options) = (&specimen, Options::default());
        let request = draw::Request { catalogue, design, specimen, view, px_per_mm: 2.0, options };
        draw::scene(&request).ok()
    };
    let (before, after) = (drawn(None)?, drawn(Some(condition))?);
    let boxes = changed_boxes(condition, &before, &after);
    let other = beside.and_then(|c| Some(changed_boxes(c, &before, &drawn(Some(c))?)));
    let glints = after.prims.iter().any(|p| p.glint.is_some());
    // Where the catalogue says so, else where it is seen best.
    if condition.frame.is_some()
        && let Ok(framed) = sheet::Window::of(catalogue, design, condition, None, 0, aspect)
        && framed.view == view
    {
        return Some((framed.area, glints));
    }
    let place = change::window(&boxes, &other.unwrap_or_default(), after.bounds, aspect)?;
    Some((place, glints))
}

/// Boxes of what a condition changes, on its own parts where these are among them.
pub(super) fn changed_boxes(
    condition: &Condition,
    before: &Scene,
    after: &Scene,
) -> Vec<kurbo::Rect> {
    let all = change::between(before, after);
    let own = |c: &&change::Change| {
        let part = c.part.as_deref();
        condition.parts.iter().any(|p| Some(p.as_str()) == part)
    };
    let boxes: Vec<kurbo::Rect> = all.iter().filter(own).map(|c| c.bounds).collect();
    if boxes.is_empty() { all.iter().map(|c| c.bounds).collect() } else { boxes }
}

/// Nearer, farther, all of it, and back to the place.
fn zoom_ui(ui: &mut Ui, look: Look, atlas: &mut Atlas) {
    for (label, id, factor) in [("−", "zoom-out", 0.8), ("+", "zoom-in", 1.25)] {
        let name = tr(id);
        let button = control::button(ui, look, Rank::Plain, label);
        button.widget_info(|| WidgetInfo::labeled(Node::Button, true, &name));
        if button.on_hover_text(&name).clicked() {
            atlas.canvas.zoom_by(factor);
        }
    }
    if control::button(ui, look, Rank::Plain, &tr("zoom-all")).clicked() {
        atlas.canvas.reset();
    }
    if !atlas.cell.is_empty()
        && control::button(ui, look, Rank::Plain, &tr("atlas-to-place")).clicked()
    {
        atlas.framed = None;
    }
}
