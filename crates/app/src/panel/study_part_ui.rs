//! The pane of a part on the study page: what it is, what goes wrong, and what touches it.

use super::{
    Seen,
    study_ui::{COUNTED, GROUPS, Study},
};
use crate::{
    command::Command,
    presenting::{authored_view, unplaced},
    theme::Look,
    widget::{
        control::{self, Rank},
        words,
    },
};
use egui::{Align, Layout, Rect, Role as Node, ScrollArea, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use jarlight_geometry::{draw::View, palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::{Basis, Condition, Part, Relation, Said},
    design::Design,
    text::{tr, tr_with},
    unit::length_text,
};
use jarlight_scenario::Page;

/// Draws the chosen part, or the main sizes where none is chosen.
pub(super) fn part_pane_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    study: &mut Study,
    design: &Design,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    let part = study.part.as_deref().and_then(|id| seen.catalogue.part(id));
    let Some(part) = part else {
        words::section(ui, look, &design.name);
        ui.add_space(6.0);
        words::quiet(ui, look, &tr("study-choose"));
        ui.add_space(10.0);
        design_facts(ui, seen, design);
        return;
    };
    let foot = look.px(46.0);
    let room = ui.available_rect_before_wrap();
    let upper = Rect::from_min_max(room.min, pos2(room.max.x, room.max.y - foot));
    ui.scope_builder(UiBuilder::new().max_rect(upper), |ui| {
        ScrollArea::vertical().auto_shrink(false).id_salt(part.id.as_str()).show(ui, |ui| {
            ui.set_width(ui.available_width() - 8.0);
            part_ui(ui, seen, study, part, design, out);
        });
    });
    let lower = Rect::from_min_max(pos2(room.min.x, room.max.y - foot + 8.0), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(lower), |ui| {
        ui.horizontal(|ui| step_ui(ui, seen, study, design));
    });
}

fn part_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    study: &mut Study,
    part: &Part,
    design: &Design,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    ui.spacing_mut().item_spacing.y = 3.0;
    words::text(ui, look, &part.name, 22.0, Weight::SemiBold, Role::Ink);
    let group = GROUPS.iter().find(|(g, _)| *g == part.group).map_or("", |(_, id)| id);
    let mut line = tr(group);
    if !part.note.is_empty() {
        line = format!("{line}: {}", part.note);
    }
    words::quiet(ui, look, &line);
    if !part.synonyms.is_empty() {
        let all = part.synonyms.join(", ");
        words::detail(ui, look, &tr_with("study-also", &[("names", &all)]));
    }
    present_button(ui, look, study, part, design, out);
    ui.add_space(8.0);
    let counts = study.counts_of(part.id.as_str());
    let count = study.count_of(part.id.as_str());
    if count > 0 {
        fact(ui, look, &tr("fact-count"), &count.to_string());
    }
    // Parts of a rack are not counted; it shows what a row shows.
    let view = if study.view == View::Rack { View::Row } else { study.view };
    if COUNTED.iter().position(|v| *v == view).is_some_and(|i| counts[i] == 0) {
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            let others: Vec<View> =
                (0..COUNTED.len()).filter(|i| counts[*i] > 0).map(|i| COUNTED[i]).collect();
            let note = if others.is_empty() { "study-not-drawn" } else { "study-other-view" };
            words::quiet(ui, look, &tr(note));
            for view in others {
                let name = tr(&format!("view-{}", view.name()));
                let spoken = tr_with("study-look-from", &[("view", &name)]);
                let button = control::button(ui, look, Rank::Secondary, &name);
                button.widget_info(|| WidgetInfo::labeled(Node::Button, true, &spoken));
                if button.clicked() {
                    study.look_from(view);
                }
            }
        });
    }
    let sections = [
        ("said-what", Some(&part.what)),
        ("said-place", Some(&part.place)),
        ("said-recognise", Some(&part.recognise)),
        ("said-job", Some(&part.job)),
        ("said-wrong", Some(&part.wrong)),
        ("said-variants", part.variants.as_ref()),
    ];
    for (title, said) in sections {
        if let Some(said) = said {
            ui.add_space(10.0);
            words::small(ui, look, &tr(title));
            said_ui(ui, look, said);
        }
    }
    conditions_ui(ui, seen, part, design, out);
    neighbours_ui(ui, seen, study, part, design);
    ui.add_space(12.0);
}

/// Puts the view with this part on the wall.
fn present_button(
    ui: &mut Ui,
    look: Look,
    study: &Study,
    part: &Part,
    design: &Design,
    out: &mut Vec<Command>,
) {
    let page = Page::View {
        design: unplaced(design.id.clone()),
        view: authored_view(study.view),
        parts: vec![unplaced(part.id.value.clone())],
        say: None,
    };
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        if control::button(ui, look, Rank::Plain, &tr("present-go")).clicked() {
            out.push(Command::Present(vec![page.clone()]));
        }
        if control::button(ui, look, Rank::Plain, &tr("present-keep")).clicked() {
            out.push(Command::KeepPages(vec![page]));
        }
    });
}

/// What can be on this part; a click opens it in the atlas.
fn conditions_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    part: &Part,
    design: &Design,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    let here = |c: &&Condition| {
        c.parts.iter().any(|p| p.value == part.id.value) && seen.catalogue.can_occur(design, c)
    };
    let mut all = seen.catalogue.conditions.iter().filter(here).peekable();
    if all.peek().is_none() {
        return;
    }
    ui.add_space(12.0);
    words::small(ui, look, &tr("study-conditions"));
    for condition in all {
        let spoken = tr_with("atlas-open", &[("name", &condition.name)]);
        if control::row(ui, look, &condition.name, "›", &spoken, false).clicked() {
            out.push(Command::ShowCondition(condition.id.value.clone()));
        }
    }
}

/// What touches this part, by how it stands to it; a click goes there.
fn neighbours_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, part: &Part, design: &Design) {
    let look = seen.look;
    let mut all = seen.catalogue.neighbours(part.id.as_str());
    all.retain(|(_, p)| seen.catalogue.has_part(design, p.id.as_str()));
    if all.is_empty() {
        return;
    }
    all.sort_by_key(|(relation, _)| *relation);
    ui.add_space(12.0);
    words::small(ui, look, &tr("study-touches"));
    let mut last = None;
    let mut go = None;
    for (relation, other) in all {
        let how = tr(relation_id(relation));
        if last != Some(relation) {
            ui.add_space(3.0);
            words::detail(ui, look, &how);
            last = Some(relation);
        }
        let spoken = format!("{how}: {}", other.name);
        if control::row(ui, look, &other.name, "›", &spoken, false).clicked() {
            go = Some(other.id.to_string());
        }
    }
    if go.is_some() {
        study.choose(go, None);
    }
}

const fn relation_id(relation: Relation) -> &'static str {
    match relation {
        Relation::Above => "relation-above",
        Relation::Below => "relation-below",
        Relation::Inside => "relation-inside",
        Relation::Between => "relation-between",
        Relation::AttachedTo => "relation-attached",
        Relation::Touches => "relation-touches",
        Relation::Pierces => "relation-pierces",
        Relation::Covers => "relation-covers",
        Relation::OppositeOf => "relation-opposite",
    }
}

/// A statement with where it comes from.
pub(super) fn said_ui(ui: &mut Ui, look: Look, said: &Said) {
    words::text(ui, look, &said.text, 13.5, Weight::Regular, Role::SecondInk);
    words::text(ui, look, &basis_text(&said.basis), 11.5, Weight::Medium, Role::ThirdInk);
}

/// Where a statement comes from, in words.
pub fn basis_text(basis: &Basis) -> String {
    match basis {
        Basis::Memory => tr("basis-memory"),
        Basis::CommonPractice => tr("basis-practice"),
        Basis::Seen(source) => tr_with("basis-seen", &[("source", source)]),
        Basis::Standard(source) => tr_with("basis-standard", &[("source", source)]),
        Basis::Arithmetic(from) => tr_with("basis-arithmetic", &[("from", from)]),
        Basis::Estimate(why) => tr_with("basis-estimate", &[("why", why)]),
    }
}

fn fact(ui: &mut Ui, look: Look, name: &str, value: &str) {
    let width = ui.available_width();
    let wide = |words: &str, weight| {
        let font = look.font(13.5, weight);
        ui.painter().layout_no_wrap(words.to_owned(), font, look.color(Role::Ink)).size().x
    };
    if wide(name, Weight::Regular) + wide(value, Weight::SemiBold) + 16.0 > width {
        words::quiet(ui, look, name);
        words::text(ui, look, value, 13.5, Weight::SemiBold, Role::Ink);
    } else {
        ui.allocate_ui(vec2(width, look.px(24.0)), |ui| {
            ui.horizontal(|ui| {
                words::quiet(ui, look, name);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    words::text(ui, look, value, 13.5, Weight::SemiBold, Role::Ink);
                });
            });
        });
    }
    let y = ui.cursor().min.y;
    let x = ui.max_rect().x_range();
    ui.painter().hline(x, y, look.line(Role::Rule));
    ui.add_space(4.0);
}

/// The main dimensions, through the one formatter of lengths.
fn design_facts(ui: &mut Ui, seen: &Seen<'_>, design: &Design) {
    let look = seen.look;
    let mm = |v: f64| length_text(v, seen.units);
    let p = &design.plates;
    let positives = p.positives;
    let plates = tr_with(
        "fact-plates-value",
        &[("positives", &positives.to_string()), ("negatives", &(positives + 1).to_string())],
    );
    let rows = [
        (tr("fact-plates"), plates),
        (tr("fact-plate-size"), format!("{} × {}", mm(p.width), mm(p.height))),
        (tr("fact-positive"), mm(p.positive)),
        (tr("fact-negative"), mm(p.inside_negative)),
        (tr("fact-end-negative"), mm(p.end_negative)),
        (tr("fact-separator"), mm(design.separator.thickness)),
        (tr("fact-mat"), mm(design.mat)),
    ];
    for (name, value) in rows {
        fact(ui, look, &name, &value);
    }
    ui.add_space(4.0);
    words::text(ui, look, &basis_text(&design.basis), 11.5, Weight::Medium, Role::ThirdInk);
}

/// One part back, one on.
fn step_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, design: &Design) {
    let ids: Vec<&str> = GROUPS
        .iter()
        .flat_map(|(g, _)| seen.catalogue.parts.iter().filter(move |p| p.group == *g))
        .map(|p| p.id.as_str())
        .filter(|id| seen.catalogue.has_part(design, id))
        .collect();
    let at = ids.iter().position(|id| Some(*id) == study.part.as_deref()).unwrap_or(0);
    let n = ids.len().max(1);
    for (id, rank, step) in
        [("study-next", Rank::Primary, 1), ("study-previous", Rank::Secondary, n - 1)]
    {
        if control::button(ui, seen.look, rank, &tr(id)).clicked()
            && let Some(part) = ids.get((at + step) % n)
        {
            study.choose(Some((*part).to_owned()), None);
        }
    }
}
