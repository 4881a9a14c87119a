//! The cell, part by part: drawing, list and details.

use super::{Seen, start_ui::first_design};
use crate::{
    command::Command,
    easel::{Easel, Subject},
    paint::Veil,
    theme::Look,
    widget::{
        control::{self, Rank},
        drawing::{Ask, Canvas, Picture, Spoken},
        labels,
        mark::{Mark, State},
        words,
    },
};
use egui::{Align, Frame, Layout, Margin, Panel, Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};
use jarlight_geometry::{callout::Label, draw::View, palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::{Basis, Catalogue, Group, Part, Said},
    design::Design,
    specimen::Specimen,
    text::{tr, tr_count, tr_with},
};
use std::collections::BTreeMap;

/// The views of the switch, in its order.
const VIEWS: [View; 3] = [View::Edge, View::Face, View::Plan];

const GROUPS: [(Group, &str); 6] = [
    (Group::Container, "group-container"),
    (Group::Element, "group-element"),
    (Group::Terminals, "group-terminals"),
    (Group::Openings, "group-openings"),
    (Group::Connections, "group-connections"),
    (Group::Rack, "group-rack"),
];

/// What the study page keeps.
pub struct Study {
    view: View,
    labels: bool,
    search: String,
    part: Option<String>,
    // Which of its kind was clicked; all of them when it was chosen in the list.
    number: Option<u32>,
    easel: Easel,
    canvas: Canvas,
    // How many of each part each view shows.
    counts: Option<BTreeMap<String, [u32; 3]>>,
    chosen_labels: Option<(u64, Vec<Label>)>,
    scroll_to_part: bool,
}

impl Default for Study {
    fn default() -> Self {
        Self {
            view: View::Edge,
            labels: true,
            search: String::new(),
            part: None,
            number: None,
            easel: Easel::default(),
            canvas: Canvas::default(),
            counts: None,
            chosen_labels: None,
            scroll_to_part: false,
        }
    }
}

impl Study {
    /// The chosen part.
    pub fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }

    /// Chooses a part of the catalogue; what is not in it is let go.
    pub fn choose_part(&mut self, catalogue: &Catalogue, part: &str) {
        if catalogue.part(part).is_some() {
            self.choose(Some(part.to_owned()), None);
        }
    }

    fn choose(&mut self, part: Option<String>, number: Option<u32>) {
        self.scroll_to_part = part != self.part;
        self.part = part;
        self.number = number;
    }
}

/// Draws the page.
pub fn study_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, _out: &mut Vec<Command>) {
    let look = seen.look;
    let Some(design_id) = first_design(seen) else {
        words::body(ui, look, &tr("study-no-design"));
        return;
    };
    let Some(design) = seen.catalogue.designs.get(&design_id) else { return };
    let specimen = Specimen::healthy(design_id);
    if study.counts.is_none() {
        study.counts = Some(count_parts(seen.catalogue, &specimen));
    }
    let width = ui.available_width();
    let side = |at_100: f32, most: f32| look.px(at_100).min(width * most);
    let quiet = Frame::new().fill(look.color(Role::Panel));
    Panel::left("parts")
        .frame(quiet.inner_margin(Margin { left: 14, right: 8, top: 14, bottom: 0 }))
        .exact_size(side(238.0, 0.26))
        .resizable(false)
        .show(ui, |ui| list_ui(ui, seen, study, design));
    Panel::right("details")
        .frame(quiet.inner_margin(Margin { left: 22, right: 14, top: 18, bottom: 14 }))
        .exact_size(side(306.0, 0.3))
        .resizable(false)
        .show(ui, |ui| details_ui(ui, seen, study, design));
    let page = Frame::new().fill(look.color(Role::Page));
    egui::CentralPanel::default()
        .frame(page.inner_margin(Margin::symmetric(16, 14)))
        .show(ui, |ui| middle_ui(ui, seen, study, &specimen));
}

fn count_parts(catalogue: &Catalogue, specimen: &Specimen) -> BTreeMap<String, [u32; 3]> {
    let mut counts: BTreeMap<String, [u32; 3]> = BTreeMap::new();
    for (i, view) in VIEWS.into_iter().enumerate() {
        let subject = Subject { specimen: specimen.clone(), view, hidden: Vec::new() };
        let Some(picture) = subject.draw(catalogue, 1.0) else { continue };
        for (t, target) in picture.scene.targets.iter().enumerate() {
            if picture.index.is_drawn(t as u32) {
                counts.entry(target.part.to_string()).or_default()[i] += 1;
            }
        }
    }
    counts
}

fn list_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, design: &Design) {
    let look = seen.look;
    let width = ui.available_width() - 8.0;
    let field = control::field(
        ui,
        look,
        &tr("study-search"),
        &tr("study-search-hint"),
        &mut study.search,
        width,
    );
    let wanted = study.search.trim().to_lowercase();
    let found: Vec<&Part> = seen
        .catalogue
        .parts
        .iter()
        .filter(|p| seen.catalogue.has_part(design, p.id.as_str()))
        .filter(|p| matches(p, &wanted))
        .collect();
    if control::entered(ui, &field)
        && let Some(first) = found.first()
    {
        study.choose(Some(first.id.to_string()), None);
    }
    ui.add_space(4.0);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        if found.is_empty() {
            words::quiet(ui, look, &tr_with("study-none-found", &[("what", study.search.trim())]));
        }
        for (group, name) in GROUPS {
            let in_group: Vec<&&Part> = found.iter().filter(|p| p.group == group).collect();
            if in_group.is_empty() {
                continue;
            }
            ui.add_space(8.0);
            words::group(ui, look, &tr(name));
            ui.add_space(2.0);
            for part in in_group {
                row_ui(ui, look, study, part);
            }
        }
        ui.add_space(14.0);
    });
}

fn row_ui(ui: &mut Ui, look: Look, study: &mut Study, part: &Part) {
    let id = part.id.as_str();
    let count = count_of(study, id);
    let on = study.part.as_deref() == Some(id);
    let name = if count > 1 { &part.plural } else { &part.name };
    let end = if count > 1 { count.to_string() } else { String::new() };
    let spoken = if count > 1 { format!("{name}: {count}") } else { name.clone() };
    let row = control::row(ui, look, name, &end, &spoken, on);
    if on && study.scroll_to_part {
        row.scroll_to_me(Some(Align::Center));
        study.scroll_to_part = false;
    }
    if row.clicked() {
        study.choose(Some(id.to_owned()), None);
        study.scroll_to_part = false;
    }
}

fn count_of(study: &Study, part: &str) -> u32 {
    let counts = study.counts.as_ref().and_then(|c| c.get(part));
    counts.map_or(0, |c| c.iter().copied().max().unwrap_or(0))
}

fn matches(part: &Part, wanted: &str) -> bool {
    let has = |s: &str| s.to_lowercase().contains(wanted);
    wanted.is_empty()
        || has(&part.name)
        || has(&part.plural)
        || part.synonyms.iter().any(|s| has(s))
}

fn middle_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, specimen: &Specimen) {
    let look = seen.look;
    ui.horizontal(|ui| {
        let names = VIEWS.map(|v| tr(&format!("view-{}", v.name())));
        let at = VIEWS.iter().position(|v| *v == study.view).unwrap_or(0);
        if let Some(i) = control::segments(ui, look, "view", &names, at) {
            study.view = VIEWS[i];
            study.canvas.reset();
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if control::switch(ui, look, &tr("study-labels"), study.labels) {
                study.labels = !study.labels;
            }
        });
    });
    ui.add_space(4.0);
    let room = ui.available_rect_before_wrap();
    let foot = look.px(34.0);
    let area = Rect::from_min_max(room.min, pos2(room.max.x, room.max.y - foot));
    let subject = Subject { specimen: specimen.clone(), view: study.view, hidden: Vec::new() };
    // The bounds are those of the last picture; the first one is drawn at a guess.
    let px = f64::from(area.height()) / 440.0 * study.canvas.zoom();
    let px = px * f64::from(ui.ctx().pixels_per_point());
    let Some(picture) = study.easel.picture(seen.catalogue, &subject, px) else {
        words::body(ui, look, &tr("study-cannot-draw"));
        return;
    };
    if study.chosen_labels.as_ref().is_none_or(|(r, _)| *r != picture.revision) {
        let chosen = labels::choose(seen.catalogue, &picture.scene, &picture.index);
        study.chosen_labels = Some((picture.revision, chosen));
    }
    let mut shown = match &study.chosen_labels {
        Some((_, labels)) if study.labels => labels.clone(),
        _ => Vec::new(),
    };
    let spoken = speak(seen.catalogue, &picture);
    let (chosen, marks) = chosen_targets(study, &picture);
    let highlighted = chosen.first().copied();
    if let Some(t) = highlighted {
        highlight_label(seen.catalogue, &picture, t, study, &mut shown);
    }
    let veil = Veil { keep: (!chosen.is_empty()).then_some(chosen) };
    let title = tr_with("study-drawing", &[("view", &tr(&format!("view-{}", study.view.name())))]);
    let done = ui
        .scope_builder(UiBuilder::new().max_rect(area), |ui| {
            study.canvas.show(
                ui,
                look,
                &Ask {
                    picture: &picture,
                    title: &title,
                    spoken: &spoken,
                    chip: true,
                    labels: &shown,
                    highlighted,
                    veil,
                    marks: &marks,
                    lamp: false,
                    choosing: true,
                    near: None,
                },
            )
        })
        .inner;
    if let Some(picked) = done.picked {
        let target = picked.target.and_then(|t| picture.scene.targets.get(t as usize));
        study.choose(target.map(|t| t.part.to_string()), target.map(|t| t.number));
    }
    if ui.input(|i| i.key_pressed(egui::Key::Escape)) {
        study.choose(None, None);
    }
    let rect = Rect::from_min_max(pos2(room.min.x, area.max.y), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            foot_ui(ui, look, study, done.left_out);
        });
    });
}

/// Zoom buttons, and what could not be labelled.
fn foot_ui(ui: &mut Ui, look: Look, study: &mut Study, left_out: usize) {
    for (label, id, factor) in [("−", "zoom-out", 0.8), ("+", "zoom-in", 1.25)] {
        let name = tr(id);
        let button = control::button(ui, look, Rank::Secondary, label);
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
        if button.on_hover_text(&name).clicked() {
            study.canvas.zoom_by(factor);
        }
    }
    ui.add_enabled_ui(study.canvas.zoom() > 1.0, |ui| {
        if control::button(ui, look, Rank::Plain, &tr("zoom-all")).clicked() {
            study.canvas.reset();
        }
    });
    let note = if left_out > 0 { tr_count("labels-left-out", left_out) } else { tr("study-keys") };
    words::detail(ui, look, &note);
}

/// The name of every target, with its number where there are several.
pub fn speak(catalogue: &Catalogue, picture: &Picture) -> Vec<Option<Spoken>> {
    let targets = &picture.scene.targets;
    targets
        .iter()
        .enumerate()
        .map(|(i, t)| {
            if !picture.index.is_drawn(i as u32) {
                return None;
            }
            let name = catalogue.name_of(&t.part);
            let many = targets.iter().filter(|o| o.part == t.part).count() > 1;
            let name = if many { format!("{name} {}", t.number) } else { name };
            Some(Spoken { name, id: t.id() })
        })
        .collect()
}

/// Targets of the chosen part, the clicked one first, and their outlines.
fn chosen_targets(study: &Study, picture: &Picture) -> (Vec<u32>, Vec<Mark>) {
    let Some(part) = &study.part else { return (Vec::new(), Vec::new()) };
    let of_part = |t: &u32| *picture.scene.targets[*t as usize].part == **part;
    let all = (0..picture.scene.targets.len() as u32).filter(|t| picture.index.is_drawn(*t));
    let mut chosen: Vec<u32> = all.filter(of_part).collect();
    let is_one = |t: u32| Some(picture.scene.targets[t as usize].number) == study.number;
    chosen.sort_by_key(|t| !is_one(*t));
    let marks = chosen
        .iter()
        .map(|t| {
            let strong = is_one(*t) || chosen.len() == 1;
            Mark::new(*t, if strong { State::Selected } else { State::Kind })
        })
        .collect();
    (chosen, marks)
}

/// The chosen part has its label at the chosen place, whatever rank it has.
fn highlight_label(
    catalogue: &Catalogue,
    picture: &Picture,
    target: u32,
    study: &Study,
    labels: &mut Vec<Label>,
) {
    if !study.labels {
        return;
    }
    let part = &picture.scene.targets[target as usize].part;
    match labels.iter_mut().find(|l| picture.scene.targets[l.target as usize].part == *part) {
        Some(label) => {
            label.target = target;
            label.rank = 0;
        }
        None => {
            let name = catalogue.name_of(part);
            labels.push(Label { target, name, note: None, rank: 0 });
        }
    }
}

fn details_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, design: &Design) {
    let look = seen.look;
    let part = study.part.as_deref().and_then(|id| seen.catalogue.part(id));
    let Some(part) = part else {
        words::section(ui, look, &design.name);
        ui.add_space(6.0);
        words::quiet(ui, look, &tr("study-choose"));
        ui.add_space(10.0);
        design_facts(ui, look, design);
        return;
    };
    let foot = look.px(46.0);
    let room = ui.available_rect_before_wrap();
    let upper = Rect::from_min_max(room.min, pos2(room.max.x, room.max.y - foot));
    ui.scope_builder(UiBuilder::new().max_rect(upper), |ui| {
        ScrollArea::vertical().auto_shrink(false).id_salt(part.id.as_str()).show(ui, |ui| {
            ui.set_width(ui.available_width() - 8.0);
            part_ui(ui, look, study, part);
        });
    });
    let lower = Rect::from_min_max(pos2(room.min.x, room.max.y - foot + 8.0), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(lower), |ui| {
        ui.horizontal(|ui| step_ui(ui, seen, study, design));
    });
}

fn part_ui(ui: &mut Ui, look: Look, study: &mut Study, part: &Part) {
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
    ui.add_space(8.0);
    let counts = study.counts.as_ref().and_then(|c| c.get(part.id.as_str())).copied();
    let counts = counts.unwrap_or_default();
    let here = VIEWS.iter().position(|v| *v == study.view).map_or(0, |i| counts[i]);
    let count = counts.iter().copied().max().unwrap_or(0);
    if count > 0 {
        fact(ui, look, &tr("fact-count"), &count.to_string());
    }
    if here == 0 {
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            let others: Vec<usize> = (0..3).filter(|i| counts[*i] > 0).collect();
            let note = if others.is_empty() { "study-not-drawn" } else { "study-other-view" };
            words::quiet(ui, look, &tr(note));
            for i in others {
                let view = VIEWS[i];
                let label = tr(&format!("view-{}", view.name()));
                if control::button(ui, look, Rank::Secondary, &label).clicked() {
                    study.view = view;
                    study.canvas.reset();
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
    ui.add_space(12.0);
}

/// A statement with where it comes from.
fn said_ui(ui: &mut Ui, look: Look, said: &Said) {
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
    ui.allocate_ui(vec2(width, look.px(24.0)), |ui| {
        ui.horizontal(|ui| {
            words::quiet(ui, look, name);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                words::text(ui, look, value, 13.5, Weight::SemiBold, Role::Ink);
            });
        });
    });
    let y = ui.cursor().min.y;
    let x = ui.max_rect().x_range();
    ui.painter().hline(x, y, look.line(Role::Rule));
    ui.add_space(4.0);
}

/// The main dimensions, through the one formatter of lengths.
fn design_facts(ui: &mut Ui, look: Look, design: &Design) {
    use jarlight_model::unit::{Units, length_text};
    let mm = |v: f64| length_text(v, Units::Metric);
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
