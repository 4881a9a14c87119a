//! The drawing of the study page: from where, what is labelled, what is left off.

use super::{
    Seen,
    study_ui::{Shown, Study, speak},
};
use crate::{
    command::Command,
    easel::Sight,
    paint::Veil,
    theme::Look,
    widget::{
        control::{self, Rank},
        drawing::{Ask, Picture},
        mark::{Mark, State},
        pick, words,
    },
};
use egui::{Align, Key, Layout, Popup, PopupCloseBehavior, Rect, ScrollArea, Ui, UiBuilder, pos2};
use jarlight_geometry::{
    callout::{Label, Style},
    draw::{MOST_STRETCH, View},
    figure,
    palette::Role,
    scene::Weight,
};
use jarlight_model::{
    catalogue::{Catalogue, LabelSet},
    design::{Design, Feature},
    text::{tr, tr_count, tr_with},
    unit::{Units, trimmed},
};
use kurbo::Rect as Region;
use std::sync::Arc;

/// At most so many names stand round a drawing.
const MOST: usize = 24;

pub(super) const SHOWN: [(Shown, &str); 3] = [
    (Shown::Names, "labels-names"),
    (Shown::Numbers, "labels-numbers"),
    (Shown::Nothing, "labels-off"),
];

pub(super) const SETS: [(Option<LabelSet>, &str); 7] = [
    (None, "set-all"),
    (Some(LabelSet::Seals), "set-seals"),
    (Some(LabelSet::Current), "set-current"),
    (Some(LabelSet::Element), "set-element"),
    (Some(LabelSet::Acid), "set-acid"),
    (Some(LabelSet::Support), "set-support"),
    (Some(LabelSet::Gas), "set-gas"),
];

const UNITS: [(Units, &str); 2] = [(Units::Metric, "units-metric"), (Units::Inch, "units-inch")];

/// Draws switches, drawing and foot.
pub(super) fn middle_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    study: &mut Study,
    design: &Arc<Design>,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    // Escape closes a list that is open before it lets the part go.
    let listed = Popup::is_any_open(ui.ctx());
    views_ui(ui, seen, study, design);
    ui.add_space(4.0);
    options_ui(ui, look, study, design);
    ui.add_space(4.0);
    let room = ui.available_rect_before_wrap();
    let said = caption(study, design);
    let foot = caption_height(ui, look, &said, room.width()) + look.px(44.0);
    let area = Rect::from_min_max(room.min, pos2(room.max.x, room.max.y - foot));
    let Some(picture) = picture(ui, seen, study, design, area) else {
        words::body(ui, look, &tr("study-cannot-draw"));
        for reason in &study.easel.impossible {
            words::detail(ui, look, &reason.message);
        }
        return;
    };
    let pointed = study.pointed_out(seen.catalogue);
    let (chosen, marks) = chosen_targets(study, &picture, &pointed);
    let (shown, mut left_out) = labels(seen.catalogue, study, &picture, &chosen);
    let highlighted = chosen.first().copied();
    if study.spoken.as_ref().is_none_or(|(r, _)| *r != picture.revision) {
        study.spoken = Some((picture.revision, speak(seen.catalogue, &picture)));
    }
    let spoken = study.spoken.as_ref().map_or(&[][..], |(_, s)| s.as_slice());
    let style = if study.labels == Shown::Numbers { Style::Numbers } else { Style::Names };
    study.canvas.set_style(style);
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
                    spoken,
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
    study.panes.drawing = Some(done.response.id);
    let part_of = |t: u32| picture.scene.targets.get(t as usize).map(|t| t.part.to_string());
    let numbers = done.numbers.iter().filter_map(|(t, n)| Some((part_of(*t)?, *n))).collect();
    if study.numbers != numbers {
        // The list, which is their key, was drawn before.
        study.numbers = numbers;
        ui.ctx().request_repaint();
    }
    if let Some(picked) = done.picked {
        let target = picked.target.and_then(|t| picture.scene.targets.get(t as usize));
        study.choose(target.map(|t| t.part.to_string()), target.map(|t| t.number));
    }
    if !listed && ui.input(|i| i.key_pressed(Key::Escape)) {
        study.choose(None, None);
    }
    left_out.extend(done.left_out);
    let left_out: Vec<String> = left_out.into_iter().filter_map(part_of).collect();
    let rect = Rect::from_min_max(pos2(room.min.x, area.max.y), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
        words::detail(ui, look, &said);
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            foot_ui(ui, seen, study, &left_out, out);
        });
    });
}

fn caption_height(ui: &Ui, look: Look, said: &str, width: f32) -> f32 {
    let font = look.font(12.0, Weight::Regular);
    let line = font.size * 1.45;
    let ink = look.color(Role::SecondInk);
    let galley = ui.painter().layout(said.to_owned(), font, ink, width);
    galley.rows.len() as f32 * line + 4.0
}

fn views_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, design: &Design) {
    let look = seen.look;
    ui.horizontal_wrapped(|ui| {
        let names = View::ALL.map(|v| tr(&format!("view-{}", v.name())));
        let at = View::ALL.iter().position(|v| *v == study.view).unwrap_or(0);
        // In large text one row of lists leaves the room to the drawing.
        let picked = if study.narrow {
            pick::drop_down(ui, look, &tr("study-view"), &names, at, look.px(84.0))
        } else {
            control::segments(ui, look, "view", &names, at)
        };
        if let Some(i) = picked {
            study.look_from(View::ALL[i]);
            // What was drawn before in this frame shows the old choice.
            ui.ctx().request_repaint();
        }
        let all: Vec<_> = seen.catalogue.designs.values().collect();
        let names: Vec<String> = all.iter().map(|d| d.name.clone()).collect();
        let at = all.iter().position(|d| d.id == design.id).unwrap_or(0);
        let width = look.px(if study.narrow { 140.0 } else { 190.0 });
        if let Some(i) = pick::drop_down(ui, look, &tr("study-design"), &names, at, width) {
            study.design = Some(all[i].id.clone());
            study.drawn = None;
            study.canvas.reset();
            if study.part.as_deref().is_some_and(|p| !seen.catalogue.has_part(all[i], p)) {
                study.part = None;
            }
        }
        if study.narrow {
            manner_ui(ui, look, study, design);
        }
    });
}

fn options_ui(ui: &mut Ui, look: Look, study: &mut Study, design: &Design) {
    if study.narrow && !matches!(study.view, View::Row | View::Rack | View::Peeled) {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        if !study.narrow {
            labels_ui(ui, look, study);
            manner_ui(ui, look, study, design);
            magnifier_ui(ui, look, study);
        }
        let room = look.px(118.0);
        match study.view {
            View::Row => cells_ui(ui, look, &mut study.row_cells, 1.0..=12.0, 1.0, room),
            View::Rack => cells_ui(ui, look, &mut study.rack_cells, 2.0..=240.0, 2.0, room),
            View::Peeled => {
                words::detail(ui, look, &tr("study-peel"));
                let name = tr("study-peel");
                let peel = &mut study.peel;
                pick::bare_slider(ui, look, &name, peel, 0.0..=1.0, 0.02, room);
            }
            View::Edge | View::Face | View::Plan => {}
        }
    });
}

/// What the labels show, and which of them.
fn labels_ui(ui: &mut Ui, look: Look, study: &mut Study) {
    let names = SHOWN.map(|(_, id)| tr(id));
    let at = SHOWN.iter().position(|(s, _)| *s == study.labels).unwrap_or(0);
    let width = look.px(92.0);
    if let Some(i) = pick::drop_down(ui, look, &tr("study-labels"), &names, at, width) {
        study.labels = SHOWN[i].0;
    }
    if study.labels != Shown::Nothing {
        let names = SETS.map(|(_, id)| tr(id));
        let at = SETS.iter().position(|(s, _)| *s == study.set).unwrap_or(0);
        let width = look.px(124.0);
        if let Some(i) = pick::drop_down(ui, look, &tr("study-set"), &names, at, width) {
            study.set = SETS[i].0;
        }
    }
}

/// The same without lists, which cannot open within a list.
fn pick_labels_ui(ui: &mut Ui, look: Look, study: &mut Study) {
    let names = SHOWN.map(|(_, id)| tr(id));
    let at = SHOWN.iter().position(|(s, _)| *s == study.labels).unwrap_or(0);
    if let Some(i) = pick::pills(ui, look, &names, at) {
        study.labels = SHOWN[i].0;
    }
    if study.labels != Shown::Nothing {
        let names = SETS.map(|(_, id)| tr(id));
        let at = SETS.iter().position(|(s, _)| *s == study.set).unwrap_or(0);
        if let Some(i) = pick::pills(ui, look, &names, at) {
            study.set = SETS[i].0;
        }
    }
}

fn magnifier_ui(ui: &mut Ui, look: Look, study: &mut Study) {
    let magnifies = study.canvas.magnifies();
    if control::switch(ui, look, &tr("study-magnifier"), magnifies) {
        study.canvas.magnify(!magnifies);
    }
}

/// What can be left off or drawn otherwise than it is.
#[derive(Clone, Copy, PartialEq)]
enum Manner {
    ElementOnly,
    StrapCut,
    FrontBarOff,
    PostCut,
}

impl Manner {
    const ALL: [(Self, &str); 4] = [
        (Self::ElementOnly, "study-element-only"),
        (Self::StrapCut, "study-cut-strap"),
        (Self::FrontBarOff, "study-front-bar-off"),
        (Self::PostCut, "study-post-cut"),
    ];

    /// Whether it makes a difference to what is looked at.
    fn applies(self, study: &Study, design: &Design) -> bool {
        let edge = study.view == View::Edge;
        match self {
            Self::ElementOnly => matches!(study.view, View::Edge | View::Face | View::Plan),
            Self::StrapCut => (edge || study.view == View::Row) && design.round.is_none(),
            Self::FrontBarOff => edge && !study.element_only && design.connector.bars == 2,
            Self::PostCut => edge && design.has(Feature::CopperInsert),
        }
    }

    fn of(self, study: &mut Study) -> &mut bool {
        match self {
            Self::ElementOnly => &mut study.element_only,
            Self::StrapCut => &mut study.cut_strap,
            Self::FrontBarOff => &mut study.front_bar_off,
            Self::PostCut => &mut study.broken_out,
        }
    }
}

/// Whether the stack can be drawn thicker than it is from there.
fn stretches(study: &Study, design: &Design) -> bool {
    match study.view {
        View::Edge | View::Row => true,
        View::Plan => design.round.is_none(),
        View::Face | View::Peeled | View::Rack => false,
    }
}

/// The switches of what is schematic, in a list that opens.
fn manner_ui(ui: &mut Ui, look: Look, study: &mut Study, design: &Design) {
    let offered: Vec<_> =
        Manner::ALL.into_iter().filter(|(m, _)| m.applies(study, design)).collect();
    let stretches = stretches(study, design);
    if offered.is_empty() && !stretches && !study.narrow {
        return;
    }
    let button = control::button(ui, look, Rank::Secondary, &tr("study-manner"));
    Popup::menu(&button).close_behavior(PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
        ui.set_width(look.px(230.0));
        if study.narrow {
            pick_labels_ui(ui, look, study);
            magnifier_ui(ui, look, study);
        }
        for (manner, name) in offered {
            let on = *manner.of(study);
            if control::switch(ui, look, &tr(name), on) {
                *manner.of(study) = !on;
            }
        }
        if stretches {
            let shown = format!("{} ×", trimmed(study.stretch, 2));
            let (value, range) = (&mut study.stretch, 1.0..=MOST_STRETCH);
            pick::slider(ui, look, &tr("study-stretch"), &shown, value, range, 0.05);
        }
    });
}

fn cells_ui(
    ui: &mut Ui,
    look: Look,
    cells: &mut u32,
    range: std::ops::RangeInclusive<f64>,
    step: f64,
    width: f32,
) {
    words::detail(ui, look, &tr_count("study-cells", *cells as usize));
    let mut value = f64::from(*cells);
    if pick::bare_slider(ui, look, &tr("study-cells-name"), &mut value, range, step, width) {
        *cells = value as u32;
    }
}

/// What in the drawing is not as it is.
fn caption(study: &mut Study, design: &Design) -> String {
    let applies = |m: Manner, study: &mut Study| m.applies(study, design) && *m.of(study);
    let element = applies(Manner::ElementOnly, study);
    let mut said = vec![tr(match study.view {
        _ if element => "caption-element",
        View::Edge => "caption-edge",
        View::Face => "caption-face",
        View::Plan => "caption-plan",
        View::Peeled => "caption-peeled",
        View::Row => "caption-row",
        View::Rack => "caption-rack",
    })];
    let cut = applies(Manner::StrapCut, study);
    let opened = applies(Manner::PostCut, study);
    for (on, id) in [
        (applies(Manner::FrontBarOff, study), "caption-front-bar"),
        (cut, "caption-cut"),
        (opened, "caption-post-cut"),
    ] {
        if on {
            said.push(tr(id));
        }
    }
    let stretched = stretches(study, design) && study.stretch > 1.0;
    if stretched {
        said.push(tr_with("caption-stretched", &[("times", &trimmed(study.stretch, 2))]));
    } else if !matches!(study.view, View::Peeled | View::Rack) {
        said.push(tr("caption-true"));
    }
    if cut || opened || stretched {
        said.insert(0, tr("caption-schematic"));
    }
    if !study.easel.impossible.is_empty() {
        said.insert(0, tr("caption-last-good"));
    }
    said.join(" ")
}

fn picture(
    ui: &Ui,
    seen: &Seen<'_>,
    study: &mut Study,
    design: &Arc<Design>,
    area: Rect,
) -> Option<Arc<Picture>> {
    let mut options = study.options();
    if study.view == View::Rack {
        options.visible = study.canvas.in_sight().map(roughly);
    }
    let sight = Sight {
        specimen: study.specimen(design),
        design: design.clone(),
        view: study.view,
        options,
    };
    // The bounds are those of the last picture; the first one is drawn at a guess.
    let (w, h) = match study.easel.bounds(study.view) {
        Some(b) => (b.width(), b.height()),
        None if study.view == View::Rack => (6000.0, 2000.0),
        None => (600.0, 440.0),
    };
    let fit = (f64::from(area.width()) / w.max(1.0)).min(f64::from(area.height()) / h.max(1.0));
    let px = fit * study.canvas.zoom() * f64::from(ui.ctx().pixels_per_point());
    study.easel.picture(seen.catalogue, &sight, px)
}

/// A region that changes in steps only, so that not every move draws the rack anew.
fn roughly(r: Region) -> Region {
    let step = 2f64.powf((r.width().max(1.0) / 2.0).log2().ceil());
    let (low, high) = (|v: f64| (v / step).floor() * step, |v: f64| (v / step).ceil() * step);
    Region::new(low(r.x0), low(r.y0), high(r.x1), high(r.y1))
}

/// Zoom buttons, units, and what could not be labelled.
fn foot_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    study: &mut Study,
    left_out: &[String],
    out: &mut Vec<Command>,
) {
    let look = seen.look;
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
    let names = UNITS.map(|(_, id)| tr(id));
    let at = UNITS.iter().position(|(u, _)| *u == seen.units).unwrap_or(0);
    if let Some(i) = control::segments(ui, look, "units", &names, at) {
        out.push(Command::SetUnits(UNITS[i].0));
    }
    if left_out.is_empty() {
        if ui.available_width() >= look.px(250.0) {
            words::detail(ui, look, &tr("study-keys"));
        }
    } else {
        left_out_ui(ui, seen, study, left_out);
    }
}

/// How many parts have no label, and a list of them to choose from.
fn left_out_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, left_out: &[String]) {
    let look = seen.look;
    let says = tr_count("labels-left-out", left_out.len());
    let button = control::button(ui, look, Rank::Plain, &says);
    Popup::menu(&button).close_behavior(PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
        ui.set_width(look.px(270.0));
        words::detail(ui, look, &tr("study-left-out-how"));
        ScrollArea::vertical().max_height(look.px(260.0)).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for part in left_out {
                let name = seen.catalogue.name_of(part);
                if control::row(ui, look, &name, "", &name, false).clicked() {
                    study.choose(Some(part.clone()), None);
                    ui.close();
                }
            }
        });
    });
}

/// Targets of the parts pointed out, the clicked one first, and their outlines.
fn chosen_targets(study: &Study, picture: &Picture, parts: &[String]) -> (Vec<u32>, Vec<Mark>) {
    let targets = &picture.scene.targets;
    let place = |t: u32| parts.iter().position(|p| **p == *targets[t as usize].part);
    let all = (0..targets.len() as u32).filter(|t| picture.index.is_drawn(*t));
    let mut chosen: Vec<u32> = all.filter(|t| place(*t).is_some()).collect();
    let is_one = |t: u32| Some(targets[t as usize].number) == study.number;
    chosen.sort_by_key(|t| (!is_one(*t), place(*t)));
    let marks = chosen
        .iter()
        .map(|t| {
            let strong = is_one(*t) || chosen.len() == 1;
            Mark::new(*t, if strong { State::Selected } else { State::Kind })
        })
        .collect();
    (chosen, marks)
}

/// The labels of the chosen set, and targets that get none because names have room for so many
/// only; the parts pointed out are always among the first, whatever rank they have.
fn labels(
    catalogue: &Catalogue,
    study: &mut Study,
    picture: &Picture,
    chosen: &[u32],
) -> (Vec<Label>, Vec<u32>) {
    if study.labels == Shown::Nothing {
        return (Vec::new(), Vec::new());
    }
    let (revision, set) = (picture.revision, study.set);
    if study.chosen_labels.as_ref().is_none_or(|(r, s, _)| (*r, *s) != (revision, set)) {
        let sets: &[LabelSet] = set.as_slice();
        let mut labels = figure::labels(catalogue, sets, &picture.scene);
        for label in &mut labels {
            label.note = None;
        }
        study.chosen_labels = Some((revision, set, labels));
    }
    let mut labels = study.chosen_labels.as_ref().map_or_else(Vec::new, |(.., l)| l.clone());
    let part = |t: u32| &picture.scene.targets[t as usize].part;
    let mut named: Vec<&str> = Vec::new();
    for t in chosen {
        if named.contains(&&**part(*t)) {
            continue;
        }
        named.push(part(*t));
        match labels.iter_mut().find(|l| part(l.target) == part(*t)) {
            Some(label) => {
                // A clicked one is named at its own place.
                if study.number.is_some() {
                    label.target = *t;
                }
                label.rank = 0;
            }
            None => {
                let name = catalogue.name_of(part(*t));
                labels.push(Label { target: *t, name, note: None, rank: 0 });
            }
        }
    }
    labels.sort_by_key(|l| l.rank);
    let most = if study.labels == Shown::Numbers { labels.len() } else { MOST.min(labels.len()) };
    let left_out = labels.split_off(most).into_iter().map(|l| l.target).collect();
    (labels, left_out)
}
