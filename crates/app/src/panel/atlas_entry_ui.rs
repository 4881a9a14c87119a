//! An entry of the atlas: what the eye sees, how far, how urgent, what it suggests, what to do.

use super::{
    Seen,
    atlas_quiz_ui::quiz_ui,
    atlas_ui::{Atlas, is_harmless},
    photo_ui::photos_of_ui,
    study_part_ui::basis_text,
};
use crate::{
    browse::{place_id, urgency_id},
    command::Command,
    theme::Look,
    widget::{
        badge,
        control::{self, Rank},
        words,
    },
};
use egui::{Rect, Role as Node, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::{Condition, Said, Urgency},
    id::Slug,
    text::{tr, tr_with},
    unit::{Grade, Severity, trimmed},
};

/// Draws the entry of what is chosen.
pub(super) fn entry_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, out: &mut Vec<Command>) {
    let look = seen.look;
    let Some(condition) = atlas.condition(seen.catalogue) else {
        words::section(ui, look, &tr("atlas-normal-title"));
        ui.add_space(6.0);
        words::quiet(ui, look, &tr("atlas-normal-about"));
        ui.add_space(6.0);
        words::quiet(ui, look, &tr("atlas-keys"));
        return;
    };
    let mut area = ScrollArea::vertical().auto_shrink(false).id_salt(condition.id.as_str());
    if std::mem::take(&mut atlas.scroll_to_entry) {
        area = area.vertical_scroll_offset(0.0);
    }
    area.show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 3.0;
        head_ui(ui, seen, condition);
        buttons_ui(ui, look, atlas, out);
        if control::switch(ui, look, &tr("atlas-basis"), atlas.basis) {
            atlas.basis = !atlas.basis;
        }
        let basis = atlas.basis;
        part(ui, look, "atlas-see");
        said_ui(ui, look, &condition.see, basis);
        grades_ui(ui, look, condition, atlas);
        confused_ui(ui, seen, condition, atlas);
        suggests_ui(ui, seen, condition, atlas);
        for (title, said) in [
            ("atlas-clock", condition.clock.as_ref()),
            ("atlas-fades", condition.fades.as_ref()),
            ("atlas-measure", Some(&condition.measure)),
            ("atlas-action", Some(&condition.action)),
        ] {
            if let Some(said) = said {
                part(ui, look, title);
                said_ui(ui, look, said, basis);
            }
        }
        ui.add_space(10.0);
        caution_ui(ui, look, &condition.caution, basis);
        part(ui, look, "atlas-parts");
        for p in &condition.parts {
            let name = seen.catalogue.name_of(p.as_str());
            let spoken = tr_with("atlas-to-part", &[("part", &name)]);
            if control::row(ui, look, &name, "›", &spoken, false).clicked() {
                out.push(Command::ShowPart(p.value.clone()));
            }
        }
        ui.add_space(10.0);
        photos_of_ui(ui, seen, condition.id.as_str(), &mut atlas.photos, out);
        if basis {
            ui.add_space(8.0);
            let own = basis_text(&condition.basis);
            words::detail(ui, look, &tr_with("atlas-basis-all", &[("basis", &own)]));
        }
        quiz_ui(ui, seen, atlas, condition);
        ui.add_space(14.0);
    });
}

/// Name, kind and other names; and the id, for those who write scenarios.
fn head_ui(ui: &mut Ui, seen: &Seen<'_>, condition: &Condition) {
    let look = seen.look;
    words::text(ui, look, &condition.name, 22.0, Weight::SemiBold, Role::Ink);
    let place = tr(place_id(condition.look));
    let kind = tr(if is_harmless(condition) { "atlas-harmless" } else { "atlas-finding" });
    words::quiet(ui, look, &tr_with("atlas-kind", &[("kind", &kind), ("place", &place)]));
    if !condition.synonyms.is_empty() {
        let all = condition.synonyms.join(", ");
        words::detail(ui, look, &tr_with("study-also", &[("names", &all)]));
    }
    words::detail(ui, look, &tr_with("atlas-id", &[("id", condition.id.as_str())]));
}

/// To the questions, and to the wall.
fn buttons_ui(ui: &mut Ui, look: Look, atlas: &mut Atlas, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        if control::button(ui, look, Rank::Plain, &tr("quiz-go")).clicked() {
            atlas.to_quiz = true;
        }
        let page = atlas.design.as_ref().map(|d| atlas.page(d));
        let Some(page) = page else { return };
        if control::button(ui, look, Rank::Plain, &tr("present-go")).clicked() {
            out.push(Command::Present(vec![page.clone()]));
        }
        if control::button(ui, look, Rank::Plain, &tr("present-keep")).clicked() {
            out.push(Command::KeepPages(vec![page]));
        }
    });
}

/// A head within the entry.
pub(super) fn part(ui: &mut Ui, look: Look, id: &str) {
    ui.add_space(11.0);
    words::small(ui, look, &tr(id));
}

/// A statement, and what it rests on where that is wanted.
pub(super) fn said_ui(ui: &mut Ui, look: Look, said: &Said, basis: bool) {
    words::quiet(ui, look, &said.text);
    if basis {
        let text = basis_text(&said.basis);
        words::text(ui, look, &text, 11.5, Weight::Medium, Role::ThirdInk);
    }
}

/// The five grades, each with its words and how much hurry it has.
fn grades_ui(ui: &mut Ui, look: Look, condition: &Condition, atlas: &Atlas) {
    part(ui, look, "atlas-grades");
    if condition.steps.is_empty() {
        urgency_line(ui, look, condition.urgency_at(3));
        return;
    }
    let now = atlas.cell.get(atlas.at).map_or(0.0, |o| o.severity);
    let now = Severity::clamped(now).grade().value();
    for (i, step) in condition.steps.iter().enumerate().take(5) {
        let grade = i as u8 + 1;
        let width = ui.available_width();
        let (rect, response) = ui.allocate_exact_size(vec2(width, look.px(22.0)), Sense::hover());
        let word = Grade::new(grade).map(|g| tr(&g.text_id())).unwrap_or_default();
        let urgency = condition.urgency_at(grade);
        let hurry = tr(urgency_id(urgency));
        let spoken = tr_with("atlas-grade-spoken", &[("grade", &word), ("urgency", &hurry)]);
        response.widget_info(|| WidgetInfo::labeled(Node::Label, true, &spoken));
        if grade == now {
            ui.painter().rect_filled(
                rect.expand2(vec2(6.0, 1.0)),
                5.0,
                look.color(Role::AccentFill),
            );
        }
        let mid = rect.center().y;
        let dots = badge::dots(ui.painter(), pos2(rect.min.x, mid), grade, look);
        let weight = if grade == now { Weight::SemiBold } else { Weight::Medium };
        let ink = look.color(Role::Ink);
        let galley = ui.painter().layout_no_wrap(word, look.font(12.5, weight), ink);
        ui.painter().galley(pos2(dots + 8.0, mid - galley.size().y / 2.0), galley, ink);
        let galley = ui.painter().layout_no_wrap(hurry, look.font(12.5, weight), ink);
        let x = rect.max.x - galley.size().x;
        let size = galley.size();
        ui.painter().galley(pos2(x, mid - size.y / 2.0), galley, ink);
        badge::urgency(ui.painter(), pos2(x - 13.0, mid), look.px(7.0), urgency, look);
        words::detail(ui, look, step);
        ui.add_space(2.0);
    }
}

/// How much hurry: mark and words.
pub(super) fn urgency_line(ui: &mut Ui, look: Look, urgency: Urgency) {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(look.px(18.0), look.px(22.0)), Sense::hover());
        badge::urgency(ui.painter(), rect.center(), look.px(7.0), urgency, look);
        let id = urgency_id(urgency);
        let text = format!("{}: {}", tr(id), tr(&format!("{id}-means")));
        words::text(ui, look, &text, 13.0, Weight::Medium, Role::Ink);
    });
}

fn confused_ui(ui: &mut Ui, seen: &Seen<'_>, condition: &Condition, atlas: &mut Atlas) {
    let look = seen.look;
    if condition.confused.is_empty() {
        return;
    }
    part(ui, look, "atlas-confused");
    let mut open = None;
    for confused in &condition.confused {
        if let Some(other) = seen.catalogue.condition(&confused.with.value) {
            let end =
                tr(if is_harmless(other) { "atlas-harmless-short" } else { "atlas-finding-short" });
            let spoken = tr_with("atlas-open", &[("name", &other.name)]);
            if control::row(ui, look, &other.name, &end, &spoken, false).clicked() {
                open = Some(other.id.value.clone());
            }
        }
        words::detail(ui, look, &confused.tell);
        ui.add_space(4.0);
    }
    if let Some(id) = open {
        atlas.open(seen.catalogue, &id);
    }
}

fn suggests_ui(ui: &mut Ui, seen: &Seen<'_>, condition: &Condition, atlas: &mut Atlas) {
    let look = seen.look;
    if condition.suggests.is_empty() {
        return;
    }
    part(ui, look, "atlas-suggests");
    let mut open: Option<Slug> = None;
    for (id, percent) in &condition.suggests {
        let Some(cause) = seen.catalogue.mechanism(id.as_str()) else { continue };
        let share = tr_with("atlas-share", &[("percent", &trimmed(*percent, 0))]);
        let spoken = tr_with("atlas-to-cause", &[("name", &cause.name), ("share", &share)]);
        if control::row(ui, look, &cause.name, &share, &spoken, false).clicked() {
            open = Some(cause.id.value.clone());
        }
        words::detail(ui, look, &cause.plain);
    }
    words::text(ui, look, &tr("atlas-share-note"), 11.5, Weight::Medium, Role::ThirdInk);
    if open.is_some() {
        atlas.cause = open;
    }
}

/// What could hurt, in its own colour and with its mark.
pub(super) fn caution_ui(ui: &mut Ui, look: Look, said: &Said, basis: bool) {
    control::filled_card(ui, look, Role::CautionFill, Role::Caution, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        ui.horizontal(|ui| {
            let (r, _) = ui.allocate_exact_size(vec2(22.0, look.px(22.0)), Sense::hover());
            badge::warning(ui.painter(), Rect::center(&r), 9.0, look);
            words::small(ui, look, &tr("feedback-caution"));
        });
        words::body(ui, look, &said.text);
        if basis {
            words::text(ui, look, &basis_text(&said.basis), 11.5, Weight::Medium, Role::SecondInk);
        }
    });
}
