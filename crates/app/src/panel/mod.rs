//! The pages. A panel reads what may be seen, draws, and returns commands.

mod atlas_cause_ui;
mod atlas_cell_ui;
mod atlas_entry_ui;
mod atlas_list_ui;
mod atlas_quiz_ui;
mod atlas_tiles_ui;
pub mod atlas_ui;
mod atlas_view_ui;
mod finish_ui;
mod form_ui;
mod help_ui;
pub mod photo_ui;
pub mod present_ui;
pub mod questions_ui;
mod reason_causes_ui;
mod reason_cell_ui;
mod reason_find_ui;
mod reason_like_ui;
mod reason_read_ui;
pub mod reason_ui;
mod reason_why_ui;
mod reply_ui;
mod run_ui;
mod shell_ui;
pub mod start_ui;
mod study_condition_ui;
mod study_design_ui;
mod study_list_ui;
mod study_memory;
mod study_part_ui;
pub mod study_ui;
mod study_view_ui;
mod study_walk_ui;
mod workshop_ask_ui;
mod workshop_faults_ui;
mod workshop_insert_ui;
mod workshop_scene_ui;
mod workshop_text_ui;
pub mod workshop_ui;

pub use atlas_ui::atlas_ui;
pub use help_ui::help_ui;
pub use photo_ui::photo_ui;
pub use present_ui::present_ui;
pub use questions_ui::questions_ui;
pub use reason_ui::reason_ui;
pub use run_ui::run_ui;
pub use shell_ui::shell_ui;
pub use start_ui::start_ui;
pub use study_ui::study_ui;
pub use workshop_ui::{trial_ui, workshop_ui};

use crate::{app::Notice, library::Library, photo::OpenPhoto, route::Route, theme::Look};
use jarlight_model::{catalogue::Catalogue, unit::Units};
use jarlight_records::Learner;
use std::sync::Arc;

/// What every panel may look at.
pub struct Seen<'a> {
    /// Theme and text size.
    pub look: Look,
    /// Units in which lengths are read.
    pub units: Units,
    /// The page shown.
    pub route: Route,
    /// What is known.
    pub catalogue: &'a Arc<Catalogue>,
    /// Scenario files.
    pub library: &'a Library,
    /// Who can be learning.
    pub learners: &'a [Learner],
    /// Id of who is.
    pub learner: Option<&'a str>,
    /// What can be continued.
    pub open: Option<OpenWork>,
    /// Photographs that are open.
    pub photos: &'a [OpenPhoto],
    /// Sentences that stay until closed.
    pub notices: &'a [Notice],
    /// How many pages are kept for presenting.
    pub kept_pages: usize,
}

impl Seen<'_> {
    /// The name of who is learning.
    pub fn learner_name(&self) -> Option<&str> {
        let id = self.learner?;
        self.learners.iter().find(|l| l.id == id).map(|l| l.name.as_str())
    }
}

/// A run that can be continued.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenWork {
    /// Title of its scenario.
    pub title: String,
    /// Id of its scenario.
    pub scenario: String,
    /// Answers given so far.
    pub answered: usize,
    /// Number of questions, where known.
    pub total: Option<usize>,
}

/// What panels keep for themselves: scroll, zoom, half-typed text.
#[derive(Default)]
pub struct Panels {
    /// The start page.
    pub start: start_ui::Start,
    /// The study page.
    pub study: study_ui::Study,
    /// The atlas.
    pub atlas: atlas_ui::Atlas,
    /// The page of photographs.
    pub photos: photo_ui::Photos,
    /// The list of scenarios.
    pub questions: questions_ui::Questions,
    /// The reasoning page.
    pub reason: reason_ui::Reason,
}
