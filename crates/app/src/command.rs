//! Everything the user can make the window do; panels return these, `run` obeys.

use crate::{route::Route, workshop::Wish};
use jarlight_geometry::palette::Theme;
use jarlight_model::{id::Slug, photo::Photo, unit::Units};
use jarlight_scenario::{Action, Mode, Page};
use std::path::PathBuf;

/// A wish about the open case.
#[derive(Clone, Debug, PartialEq)]
pub enum CaseWish {
    /// Ask the rules, where something changed.
    Reason,
    /// Begin an empty case.
    New,
    /// Let the person choose a case file.
    Open,
    /// Save it where it came from, or ask where.
    Save,
    /// Ask where to save it.
    SaveAs,
    /// Let the person choose where, in a dialog of the system.
    PickPlace,
    /// Save it there.
    SaveTo(PathBuf),
    /// Go on without saving.
    Drop,
}

/// One wish.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Show a page.
    Go(Route),
    /// Show a condition in the atlas.
    ShowCondition(Slug),
    /// Show a part in the study page.
    ShowPart(Slug),
    /// Use a palette.
    SetTheme(Theme),
    /// Make text larger, or smaller.
    ResizeText {
        /// Larger.
        larger: bool,
    },
    /// Read lengths in these units.
    SetUnits(Units),
    /// Leave out what moves on its own, or let it be.
    KeepStill(bool),
    /// Open or close the page about the program.
    ShowHelp(bool),
    /// Somebody else is learning.
    ChooseLearner(String),
    /// Somebody new is learning.
    AddLearner(String),
    /// Let the person choose a scenario file.
    PickFile,
    /// Read a scenario file.
    ReadFile(PathBuf),
    /// Begin a scenario of the library.
    Begin {
        /// Its number in the library.
        entry: usize,
        /// How it is meant.
        mode: Mode,
    },
    /// Take up the run that was left open.
    Resume,
    /// What a learner does in a run.
    Act(Action),
    /// Something about the case that is reasoned about.
    Case(CaseWish),
    /// Say something else of an open photograph.
    EditPhoto {
        /// Its number among the open ones.
        photo: usize,
        /// What is said from now on.
        to: Box<Photo>,
    },
    /// Take the last change of a photograph back.
    UndoPhoto(usize),
    /// Show an open photograph.
    ShowPhoto(usize),
    /// Close a photograph; its file stays.
    ClosePhoto(usize),
    /// What the workshop wishes.
    Desk(Wish),
    /// Present pages to a room.
    Present(Vec<Page>),
    /// Keep pages for presenting.
    KeepPages(Vec<Page>),
    /// Present the pages that are kept.
    PresentKept,
    /// Save the pages that are kept.
    SavePages,
    /// Keep no pages.
    DropPages,
    /// Show the page after this one, or before.
    TurnPage {
        /// After.
        onward: bool,
    },
    /// Show the answer, or hide it.
    ShowAnswer,
    /// Go back to where one came from.
    EndPresenting,
    /// Close a notice.
    CloseNotice(usize),
    /// Close the window.
    Quit,
}
