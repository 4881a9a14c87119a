//! The atlas: what is on the cell, how far gone and since when, and where its pieces stand.

use super::{
    Seen, atlas_cause_ui::cause_ui, atlas_entry_ui::entry_ui, atlas_list_ui::list_ui,
    atlas_quiz_ui::Quizzes, atlas_view_ui::middle_ui, photo_ui::Beside, start_ui::first_design,
};
use crate::{
    browse::By,
    command::Command,
    easel::{Sight, SightEasel},
    presenting::{authored_view, unplaced},
    widget::{
        drawing::{Canvas, ROOM_LIGHT, Spoken},
        words,
    },
};
use egui::{Frame, Margin, Panel, Ui};
use jarlight_geometry::{
    draw::{Options, View},
    overlay,
    palette::Role,
};
use jarlight_model::{
    catalogue::{Catalogue, Condition, ConditionKind},
    design::Design,
    id::Slug,
    specimen::{Occurrence, Specimen},
    text::tr,
    unit::Severity,
};
use jarlight_scenario::{Page, pages};
use std::sync::Arc;

/// Oldest cell, in months.
pub(super) const OLDEST: f64 = 360.0;

/// A condition on the cell.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct OnCell {
    pub id: Slug,
    /// How far gone, 0 to 1.
    pub severity: f64,
    /// Months since its cause began.
    pub months: f64,
}

/// What stands in the middle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shown {
    /// One drawing.
    One,
    /// Normal, affected and look-alike.
    Compare,
    /// One condition at its five grades.
    Grades,
    /// One cause over the years.
    Years,
}

/// Which of the three the one drawing shows, and what a tile is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Affected,
    Normal,
    Alike,
}

impl Side {
    pub const ALL: [Self; 3] = [Self::Affected, Self::Normal, Self::Alike];

    /// Id of its name in the message file.
    pub const fn text_id(self) -> &'static str {
        match self {
            Self::Affected => "side-affected",
            Self::Normal => "side-normal",
            Self::Alike => "side-alike",
        }
    }
}

/// One of several drawings, with its zoom.
#[derive(Default)]
pub(super) struct Board {
    pub easel: SightEasel,
    pub canvas: Canvas,
}

/// What a drawing was brought near for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Framed {
    pub condition: Slug,
    pub beside: Option<Slug>,
    pub design: Slug,
    pub view: View,
    pub shown: Shown,
}

/// What the atlas keeps.
pub struct Atlas {
    pub(super) by: By,
    pub(super) search: String,
    pub(super) find: bool,
    // Only what is on this part is listed.
    pub(super) part: Option<Slug>,
    // What is on the cell; one of them is described.
    pub(super) cell: Vec<OnCell>,
    pub(super) at: usize,
    // The next choice of the list comes to what is there.
    pub(super) adding: bool,
    // The cause that is described instead.
    pub(super) cause: Option<Slug>,
    pub(super) design: Option<Arc<Design>>,
    pub(super) view: View,
    pub(super) shown: Shown,
    // Whether severity and time drive each other.
    pub(super) linked: bool,
    // Age of the cell in months, and the mean temperature of its room.
    pub(super) age: f64,
    pub(super) celsius: f64,
    pub(super) lamp: bool,
    pub(super) room: f64,
    pub(super) basis: bool,
    pub(super) easel: SightEasel,
    pub(super) canvas: Canvas,
    // Drawings beside the first one.
    pub(super) boards: Vec<Board>,
    pub(super) side: Side,
    // Where a blink goes to from the condition, whether it goes by itself, and since when.
    pub(super) blink_to: Side,
    pub(super) blinks: bool,
    pub(super) blinked: f64,
    pub(super) alike: Option<Slug>,
    pub(super) outlines: bool,
    pub(super) changes: Option<((u64, u64), Vec<kurbo::Rect>)>,
    pub(super) framed: Option<Framed>,
    pub(super) spoken: Option<(u64, Vec<Option<Spoken>>)>,
    pub(super) scroll_to_entry: bool,
    pub(super) photos: Beside,
    pub(super) quizzes: Quizzes,
    pub(super) to_quiz: bool,
}

impl Default for Atlas {
    fn default() -> Self {
        Self {
            by: By::Place,
            search: String::new(),
            find: false,
            part: None,
            cell: Vec::new(),
            at: 0,
            adding: false,
            cause: None,
            design: None,
            view: View::Edge,
            shown: Shown::One,
            linked: true,
            age: 108.0,
            celsius: 25.0,
            lamp: false,
            room: f64::from(ROOM_LIGHT),
            basis: false,
            easel: SightEasel::default(),
            canvas: Canvas::default(),
            boards: Vec::new(),
            side: Side::Affected,
            blink_to: Side::Normal,
            blinks: false,
            blinked: 0.0,
            alike: None,
            outlines: false,
            changes: None,
            framed: None,
            spoken: None,
            scroll_to_entry: false,
            photos: Beside::default(),
            quizzes: Quizzes::default(),
            to_quiz: false,
        }
    }
}

impl Atlas {
    /// The condition that is described.
    pub fn chosen(&self) -> Option<&Slug> {
        self.cell.get(self.at).map(|o| &o.id)
    }

    /// Puts a condition alone on the cell and describes it; what is unknown is let go.
    pub fn open(&mut self, catalogue: &Catalogue, id: &Slug) {
        let Some(condition) = catalogue.condition(id.as_str()) else { return };
        self.cause = None;
        self.alike = None;
        self.side = Side::Affected;
        self.scroll_to_entry = true;
        if std::mem::take(&mut self.adding) {
            match self.cell.iter().position(|o| o.id == *id) {
                Some(i) => self.at = i,
                None => {
                    self.cell.push(self.new_on_cell(condition));
                    self.at = self.cell.len() - 1;
                }
            }
        } else {
            self.cell = vec![self.new_on_cell(condition)];
            self.at = 0;
        }
        let needed = self.cell.iter().map(|o| o.months).fold(self.age, f64::max);
        self.age = needed.min(OLDEST);
        self.look_at_chosen(catalogue);
    }

    fn new_on_cell(&self, condition: &Condition) -> OnCell {
        let severity = 0.6;
        let law = condition.growth.months_to(Severity::clamped(severity));
        let typical = condition.age.map(|a| a.typical);
        let months = law.or(typical).unwrap_or(12.0) / self.rate(condition);
        OnCell { id: condition.id.value.clone(), severity, months: months.min(OLDEST) }
    }

    /// Describes one of those on the cell, from where it can be seen.
    pub(super) fn describe(&mut self, catalogue: &Catalogue, i: usize) {
        if i < self.cell.len() {
            self.at = i;
            self.cause = None;
            self.scroll_to_entry = true;
            self.look_at_chosen(catalogue);
        }
    }

    pub(super) fn take_off(&mut self, i: usize) {
        self.cell.remove(i);
        if self.at >= i {
            self.at = self.at.saturating_sub(1);
        }
    }

    /// Chooses a design that can have it, and a view that shows it.
    fn look_at_chosen(&mut self, catalogue: &Catalogue) {
        let Some(condition) = self.condition(catalogue) else { return };
        let views = views_of(condition);
        if !views.contains(&self.view) {
            self.view = views.first().copied().unwrap_or(View::Edge);
        }
        let fits = self.design.as_ref().is_some_and(|d| catalogue.can_occur(d, condition));
        if self.design.is_some() && !fits {
            self.design = designs_for(catalogue, condition).next().cloned().map(Arc::new);
        }
        // Whatever else is on the cell must be able to be there.
        if let Some(design) = self.design.clone() {
            let chosen = condition.id.value.clone();
            self.cell.retain(|o| {
                let other = catalogue.condition(o.id.as_str());
                other.is_some_and(|c| catalogue.can_occur(&design, c))
            });
            self.at = self.cell.iter().position(|o| o.id == chosen).unwrap_or(0);
        }
    }

    pub(super) fn condition<'a>(&self, catalogue: &'a Catalogue) -> Option<&'a Condition> {
        self.chosen().and_then(|id| catalogue.condition(id.as_str()))
    }

    /// How much faster than at 25 °C it goes.
    pub(super) fn rate(&self, condition: &Condition) -> f64 {
        if condition.heats { jarlight_rules::rate_at(self.celsius) } else { 1.0 }
    }

    /// Sets how far the described one has gone; time follows where it says so.
    pub(super) fn set_severity(&mut self, catalogue: &Catalogue, severity: f64) {
        let Some(condition) = self.condition(catalogue) else { return };
        let rate = self.rate(condition);
        let months = condition.growth.months_to(Severity::clamped(severity));
        let Some(on) = self.cell.get_mut(self.at) else { return };
        on.severity = severity;
        if let Some(months) = months.filter(|_| self.linked) {
            on.months = (months / rate).min(OLDEST);
            self.age = self.age.max(on.months);
        }
    }

    /// Sets how long ago the cause of the described one began.
    pub(super) fn set_months(&mut self, catalogue: &Catalogue, months: f64) {
        let Some(on) = self.cell.get_mut(self.at) else { return };
        on.months = months;
        self.age = self.age.max(months);
        self.grow(catalogue);
    }

    /// Sets the age of the cell; nothing on it is older.
    pub(super) fn set_age(&mut self, catalogue: &Catalogue, age: f64) {
        self.age = age;
        for on in &mut self.cell {
            on.months = on.months.min(age);
        }
        self.grow(catalogue);
    }

    /// Sets the mean temperature of the room.
    pub(super) fn set_celsius(&mut self, catalogue: &Catalogue, celsius: f64) {
        self.celsius = celsius;
        self.grow(catalogue);
    }

    /// Lets time say how far everything has gone.
    pub(super) fn grow(&mut self, catalogue: &Catalogue) {
        if !self.linked {
            return;
        }
        for i in 0..self.cell.len() {
            let on = &self.cell[i];
            let Some(condition) = catalogue.condition(on.id.as_str()) else { continue };
            let grown = condition.growth.severity_after(on.months, self.rate(condition));
            if let Some(severity) = grown {
                self.cell[i].severity = severity.value();
            }
        }
    }

    /// Turns the one drawing over: to what it is compared with, or back.
    pub(super) fn blink(&mut self) {
        self.side = if self.side == Side::Affected { self.blink_to } else { Side::Affected };
    }

    pub(super) fn specimen(&self, design: &Design) -> Specimen {
        let mut specimen = Specimen::healthy(design.id.clone());
        specimen.age_months = self.age;
        for on in self.cell.iter().filter(|o| o.severity > 0.0) {
            let severity = Severity::clamped(on.severity);
            specimen.occurrences.push(Occurrence {
                condition: on.id.clone(),
                severity,
                place: None,
            });
        }
        specimen
    }

    /// What is shown, as a page to present.
    pub(super) fn page(&self, design: &Design) -> Page {
        let conditions = self.cell.iter().map(|on| pages::Shown {
            id: unplaced(on.id.clone()),
            severity: Severity::clamped(on.severity),
        });
        Page::Atlas {
            design: unplaced(design.id.clone()),
            view: authored_view(self.view),
            conditions: conditions.collect(),
            lamp: self.lamp,
            compare: self.shown == Shown::Compare,
            say: None,
        }
    }

    pub(super) fn sight(&self, design: &Arc<Design>, specimen: Specimen) -> Sight {
        Sight { specimen, design: design.clone(), view: self.view, options: Options::default() }
    }
}

/// From where a condition is seen, the best view first.
pub(super) fn views_of(condition: &Condition) -> Vec<View> {
    let mut views: Vec<View> = Vec::new();
    for view in condition.views.iter().flat_map(|v| overlay::views(*v)) {
        if !views.contains(view) {
            views.push(*view);
        }
    }
    views
}

/// The designs that can have a condition, the usual one first.
pub(super) fn designs_for<'a>(
    catalogue: &'a Catalogue,
    condition: &'a Condition,
) -> impl Iterator<Item = &'a Design> {
    let usual = |d: &&Design| d.id.as_str() == "medium_pasted";
    let all = || catalogue.designs.values();
    let can = |d: &&Design| catalogue.can_occur(d, condition);
    all().filter(usual).chain(all().filter(move |d| !usual(d))).filter(can)
}

/// True for what means nothing.
pub(super) fn is_harmless(condition: &Condition) -> bool {
    condition.kind == ConditionKind::Harmless
}

/// Draws the page.
pub fn atlas_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, out: &mut Vec<Command>) {
    let look = seen.look;
    let design = match &atlas.design {
        Some(design) => design.clone(),
        None => {
            let chosen = atlas.condition(seen.catalogue);
            let for_it = chosen.and_then(|c| designs_for(seen.catalogue, c).next());
            let usual = first_design(seen).and_then(|id| seen.catalogue.designs.get(&id));
            let Some(design) = for_it.or(usual) else {
                words::body(ui, look, &tr("study-no-design"));
                return;
            };
            atlas.design.insert(Arc::new(design.clone())).clone()
        }
    };
    let width = ui.available_width();
    let side = |at_100: f32, most: f32| look.px(at_100).min(width * most);
    let quiet = Frame::new().fill(look.color(Role::Panel));
    Panel::left("conditions")
        .frame(quiet.inner_margin(Margin { left: 14, right: 8, top: 14, bottom: 0 }))
        .exact_size(side(256.0, 0.26))
        .resizable(false)
        .show(ui, |ui| list_ui(ui, seen, atlas, out));
    Panel::right("entry")
        .frame(quiet.inner_margin(Margin { left: 20, right: 10, top: 14, bottom: 8 }))
        .exact_size(side(330.0, 0.3))
        .resizable(false)
        .show(ui, |ui| match atlas.cause.clone() {
            Some(cause) => cause_ui(ui, seen, atlas, &cause),
            None => entry_ui(ui, seen, atlas, out),
        });
    let page = Frame::new().fill(look.color(Role::Page));
    egui::CentralPanel::default()
        .frame(page.inner_margin(Margin::symmetric(16, 12)))
        .show(ui, |ui| middle_ui(ui, seen, atlas, &design));
}
