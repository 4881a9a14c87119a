//! The cell, part by part: what is chosen, and where list, drawing and details stand.

use super::{
    Seen, photo_ui::Beside, start_ui::first_design, study_design_ui::sizes_ui,
    study_list_ui::list_ui, study_part_ui::part_pane_ui, study_view_ui::middle_ui,
    study_walk_ui::walks_ui,
};
use crate::{
    command::Command,
    easel::{Sight, SightEasel},
    widget::{
        drawing::{Canvas, Picture, Spoken},
        pick, words,
    },
};
use egui::{Frame, Id, Key, Margin, Panel, Ui};
use jarlight_geometry::{
    callout::Label,
    draw::{Options, View},
    palette::Role,
    scene::Target,
};
use jarlight_model::{
    catalogue::{Catalogue, Group, LabelSet},
    design::Design,
    id::Slug,
    specimen::{Occurrence, Specimen},
    text::tr,
    unit::Severity,
};
use std::{collections::BTreeMap, sync::Arc};

/// The views in which parts are counted; those of one cell come first.
pub(super) const COUNTED: [View; 5] = [View::Edge, View::Face, View::Plan, View::Peeled, View::Row];

pub(super) const GROUPS: [(Group, &str); 6] = [
    (Group::Container, "group-container"),
    (Group::Element, "group-element"),
    (Group::Terminals, "group-terminals"),
    (Group::Openings, "group-openings"),
    (Group::Connections, "group-connections"),
    (Group::Rack, "group-rack"),
];

/// Under this width at 100 % there is no room for list, drawing and details.
const NARROW: f32 = 1100.0;

/// What stands beside the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tab {
    // The list, where there is no room for it beside the drawing.
    Parts,
    Part,
    Walks,
    Sizes,
    Condition,
}

const TABS: [(Tab, &str); 5] = [
    (Tab::Parts, "study-tab-parts"),
    (Tab::Part, "study-tab-part"),
    (Tab::Walks, "study-tab-walks"),
    (Tab::Sizes, "study-tab-sizes"),
    (Tab::Condition, "study-tab-condition"),
];

/// What the labels show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shown {
    Names,
    Numbers,
    Nothing,
}

/// How many of each part each view shows.
pub(super) type Counts = BTreeMap<String, [u32; COUNTED.len()]>;

/// What the study page keeps.
pub struct Study {
    pub(super) view: View,
    // The design of the catalogue; the usual one when none was chosen.
    pub(super) design: Option<Slug>,
    // The design in the picture: that of the catalogue, or what a person made of it.
    pub(super) drawn: Option<Arc<Design>>,
    pub(super) labels: Shown,
    pub(super) set: Option<LabelSet>,
    pub(super) element_only: bool,
    pub(super) cut_strap: bool,
    pub(super) front_bar_off: bool,
    pub(super) broken_out: bool,
    pub(super) stretch: f64,
    pub(super) peel: f64,
    pub(super) row_cells: u32,
    pub(super) rack_cells: u32,
    pub(super) tab: Tab,
    // Walk and step.
    pub(super) walk: Option<(usize, usize)>,
    pub(super) condition: Option<Slug>,
    pub(super) severity: f64,
    pub(super) search: String,
    pub(super) part: Option<String>,
    // Which of its kind was clicked; all of them when it was chosen in the list.
    pub(super) number: Option<u32>,
    pub(super) easel: SightEasel,
    pub(super) canvas: Canvas,
    pub(super) counts: Option<(Arc<Design>, Counts)>,
    pub(super) chosen_labels: Option<(u64, Option<LabelSet>, Vec<Label>)>,
    pub(super) spoken: Option<(u64, Vec<Option<Spoken>>)>,
    // The number of each part while numbers are shown.
    pub(super) numbers: BTreeMap<String, u32>,
    pub(super) scroll_to_part: bool,
    // Why a size cannot be, by its field, and the slider that was moved then.
    pub(super) blame: Vec<(&'static str, usize)>,
    pub(super) panes: Panes,
    // There is room for the drawing and one pane only.
    pub(super) narrow: bool,
    pub(super) photos: Beside,
}

/// Where F6 brings the keyboard.
#[derive(Default)]
pub(super) struct Panes {
    // The search field takes the keyboard when it is drawn.
    pub(super) to_list: bool,
    pub(super) drawing: Option<Id>,
    last: Option<usize>,
}

impl Default for Study {
    fn default() -> Self {
        Self {
            view: View::Edge,
            design: None,
            drawn: None,
            labels: Shown::Names,
            set: None,
            element_only: false,
            cut_strap: true,
            front_bar_off: true,
            broken_out: false,
            stretch: 1.0,
            peel: 1.0,
            row_cells: 3,
            rack_cells: 60,
            tab: Tab::Part,
            walk: None,
            condition: None,
            severity: 0.6,
            search: String::new(),
            part: None,
            number: None,
            easel: SightEasel::default(),
            canvas: Canvas::default(),
            counts: None,
            chosen_labels: None,
            spoken: None,
            numbers: BTreeMap::new(),
            scroll_to_part: false,
            blame: Vec::new(),
            panes: Panes::default(),
            narrow: false,
            photos: Beside::default(),
        }
    }
}

impl Study {
    /// Chooses a part of the catalogue; what is not in it is let go.
    pub fn choose_part(&mut self, catalogue: &Catalogue, part: &str) {
        if catalogue.part(part).is_some() {
            self.choose(Some(part.to_owned()), None);
        }
    }

    pub(super) fn choose(&mut self, part: Option<String>, number: Option<u32>) {
        self.scroll_to_part = part != self.part;
        if part.is_some() {
            self.tab = Tab::Part;
        }
        self.part = part;
        self.number = number;
    }

    pub(super) fn look_from(&mut self, view: View) {
        if view != self.view {
            self.view = view;
            self.canvas.reset();
        }
    }

    /// The parts that keep their colour: those of the step of a walk, or the chosen one.
    pub(super) fn pointed_out(&self, catalogue: &Catalogue) -> Vec<String> {
        if self.tab == Tab::Walks
            && let Some((walk, step)) = self.walk
            && let Some(step) = catalogue.walks.get(walk).and_then(|w| w.steps.get(step))
        {
            return step.parts.iter().map(|p| p.value.to_string()).collect();
        }
        self.part.iter().cloned().collect()
    }

    /// How many of a part one cell has, as far as its views show them.
    pub(super) fn count_of(&self, part: &str) -> u32 {
        self.counts_of(part).iter().take(3).copied().max().unwrap_or(0)
    }

    pub(super) fn counts_of(&self, part: &str) -> [u32; COUNTED.len()] {
        self.counts.as_ref().and_then(|(_, c)| c.get(part)).copied().unwrap_or_default()
    }

    pub(super) fn specimen(&self, design: &Design) -> Specimen {
        let mut specimen = Specimen::healthy(design.id.clone());
        let severity = Severity::clamped(self.severity);
        if let Some(condition) = self.condition.clone().filter(|_| severity.value() > 0.0) {
            specimen.occurrences.push(Occurrence { condition, severity, place: None });
        }
        specimen
    }

    pub(super) fn options(&self) -> Options {
        let one_cell = !matches!(self.view, View::Row | View::Rack);
        Options {
            cut_strap: self.cut_strap,
            front_bar_off: self.front_bar_off,
            broken_out: self.broken_out,
            element_only: self.element_only && one_cell,
            stretch: self.stretch,
            peel: self.peel,
            cells: if self.view == View::Rack { self.rack_cells } else { self.row_cells },
            ..Options::default()
        }
    }
}

/// Draws the page.
pub fn study_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, out: &mut Vec<Command>) {
    let look = seen.look;
    let chosen = study.design.clone().filter(|d| seen.catalogue.designs.contains_key(d));
    let Some(id) = chosen.or_else(|| first_design(seen)) else {
        words::body(ui, look, &tr("study-no-design"));
        return;
    };
    let Some(shipped) = seen.catalogue.designs.get(&id) else { return };
    let design = match &study.drawn {
        Some(drawn) if drawn.id == id => drawn.clone(),
        _ => Arc::new(shipped.clone()),
    };
    study.drawn = Some(design.clone());
    let held = ui.input(|i| i.pointer.any_down());
    if study.counts.as_ref().is_none_or(|(d, _)| !Arc::ptr_eq(d, &design) && !held) {
        // What cannot be built keeps the counts of what could.
        let counts = count_parts(seen.catalogue, &design);
        let old = study.counts.take().map(|(_, c)| c).unwrap_or_default();
        study.counts = Some((design.clone(), counts.unwrap_or(old)));
    }
    let width = ui.available_width();
    // The drawing comes first: in large text the list becomes a tab of the other pane.
    let narrow = width < look.px(NARROW);
    let to_details = next_pane(ui, study, narrow);
    let side = |at_100: f32, most: f32| look.px(at_100).min(width * most);
    let quiet = Frame::new().fill(look.color(Role::Panel));
    study.narrow = narrow;
    if !narrow {
        if study.tab == Tab::Parts {
            study.tab = Tab::Part;
        }
        Panel::left("parts")
            .frame(quiet.inner_margin(Margin { left: 14, right: 8, top: 14, bottom: 0 }))
            .exact_size(side(238.0, 0.26))
            .resizable(false)
            .show(ui, |ui| list_ui(ui, seen, study, &design));
    }
    Panel::right("details")
        .frame(quiet.inner_margin(Margin { left: 22, right: 14, top: 16, bottom: 14 }))
        .exact_size(side(306.0, if narrow { 0.36 } else { 0.3 }))
        .resizable(false)
        .show(ui, |ui| {
            let tabs = &TABS[usize::from(!narrow)..];
            let names: Vec<String> = tabs.iter().map(|(_, id)| tr(id)).collect();
            let at = tabs.iter().position(|(t, _)| *t == study.tab).unwrap_or(0);
            if let Some(i) = pick::pills_with_focus(ui, look, &names, at, to_details) {
                study.tab = tabs[i].0;
                ui.ctx().request_repaint();
            }
            ui.add_space(8.0);
            match study.tab {
                Tab::Parts => list_ui(ui, seen, study, &design),
                Tab::Part => part_pane_ui(ui, seen, study, &design, out),
                Tab::Walks => walks_ui(ui, seen, study),
                Tab::Sizes => sizes_ui(ui, seen, study, &design, shipped),
                Tab::Condition => {
                    super::study_condition_ui::condition_ui(ui, seen, study, &design, out);
                }
            }
        });
    let page = Frame::new().fill(look.color(Role::Page));
    egui::CentralPanel::default()
        .frame(page.inner_margin(Margin::symmetric(16, 14)))
        .show(ui, |ui| middle_ui(ui, seen, study, &design, out));
}

/// F6 goes from list to drawing to details, so that nobody has to pass every part with Tab; true
/// when it is the turn of the details.
fn next_pane(ui: &Ui, study: &mut Study, narrow: bool) -> bool {
    let (next, back) = ui.input(|i| {
        let pressed = i.key_pressed(Key::F6);
        (pressed && !i.modifiers.shift, pressed && i.modifiers.shift)
    });
    if !next && !back {
        return false;
    }
    let panes = &mut study.panes;
    let step = if next { 1 } else { 2 };
    let at = panes.last.map_or(if next { 0 } else { 2 }, |last| (last + step) % 3);
    panes.last = Some(at);
    panes.to_list = at == 0;
    if let Some(id) = panes.drawing.filter(|_| at == 1) {
        ui.memory_mut(|m| m.request_focus(id));
    }
    if narrow && at == 0 {
        study.tab = Tab::Parts;
    }
    at == 2
}

/// How many of each part the views show; `None` where the design cannot be built.
fn count_parts(catalogue: &Catalogue, design: &Arc<Design>) -> Option<Counts> {
    let mut counts = Counts::new();
    for (i, view) in COUNTED.into_iter().enumerate() {
        let specimen = Specimen::healthy(design.id.clone());
        let sight = Sight { specimen, design: design.clone(), view, options: Options::default() };
        let picture = sight.draw(catalogue, 1.0).ok()?;
        for (t, target) in picture.scene.targets.iter().enumerate() {
            if picture.index.is_drawn(t as u32) {
                counts.entry(target.part.to_string()).or_default()[i] += 1;
            }
        }
    }
    Some(counts)
}

/// The name of every target, with its number where there are several.
pub fn speak(catalogue: &Catalogue, picture: &Picture) -> Vec<Option<Spoken>> {
    let targets = &picture.scene.targets;
    let mut many: BTreeMap<&str, usize> = BTreeMap::new();
    for t in targets {
        *many.entry(&*t.part).or_default() += 1;
    }
    let spoken = |(i, t): (usize, &Target)| {
        if !picture.index.is_drawn(i as u32) {
            return None;
        }
        let name = catalogue.name_of(&t.part);
        let several = many.get(&*t.part).is_some_and(|n| *n > 1);
        let name = if several { format!("{name} {}", t.number) } else { name };
        Some(Spoken { name, id: t.id() })
    };
    targets.iter().enumerate().map(spoken).collect()
}
