//! A scenario in the making: its text, its file, what is wrong with it, and its preview.

pub mod case;
pub mod check;
pub mod edit;
pub mod outline;
pub mod run;
pub mod template;
pub mod text;

use crate::{command::Command, running::Running, services::desk::Draft};
use jarlight_model::{
    catalogue::Catalogue,
    diag::{Diagnostic, Source},
};
use jarlight_records::Run;
use jarlight_scenario::{
    Mode, Scenario, Session,
    format::{Each, Question},
    reason::Reasoned,
};
use outline::Outline;
use std::{
    ops::Range,
    path::{Path, PathBuf},
    sync::Arc,
};
use text::{Edit, Text};

/// Typing has paused when nothing was changed for so many seconds.
const PAUSE: f64 = 0.3;

/// What the workshop can be told to do beyond its page.
#[derive(Clone, Debug, PartialEq)]
pub enum Wish {
    /// Begin a lesson, with a question of this template or without one.
    New(Option<&'static str>),
    /// Make a question of a case file, given its text.
    FromCase(String),
    /// Ask for a file to open.
    AskOpen,
    /// Open a file.
    Open(PathBuf),
    /// Save to the file, or ask where to.
    Save,
    /// Ask where to save.
    AskSave,
    /// Save to a file; by force even when something else is there.
    SaveTo(PathBuf, Force),
    /// Show the dialog of the system: to save, or to open.
    Browse {
        /// To save.
        save: bool,
        /// What is written in the field.
        start: PathBuf,
    },
    /// Check the text.
    Check,
    /// Keep a copy of unsaved work.
    KeepDraft,
    /// Take what another program wrote.
    TakeTheirs,
    /// Keep what is on the screen.
    KeepMine,
    /// Take up a copy of the last time, or let go of it.
    Recover(usize, Take),
    /// Close the question, which asked what to do with unsaved work, and do it.
    Unsaved(Unsaved),
    /// Play the file without keeping answers.
    Try(Mode),
    /// Act in the preview or in a trial.
    Act(jarlight_scenario::Action, Where),
    /// Ask the rules about the question shown.
    Reason,
    /// Leave a trial.
    Back,
}

/// Whether to overwrite.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Force {
    /// Even when something else is there.
    Yes,
    /// Only when nothing else is there.
    No,
}

/// Whether a copy is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Take {
    /// It is taken up.
    Up,
    /// It is thrown away.
    Away,
}

/// What to do with unsaved work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsaved {
    /// Save it first.
    Save,
    /// Throw it away.
    Away,
    /// Go on writing.
    Stay,
}

/// Where an answer is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// Beside the text.
    Preview,
    /// On the page of the run.
    Trial,
}

/// What waits until it is clear what becomes of unsaved work.
#[derive(Clone, Debug, PartialEq)]
pub enum Then {
    /// Another text is opened.
    Wish(Box<Wish>),
    /// The window closes.
    Close,
}

/// A question over the page.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// What becomes of unsaved work.
    Unsaved(Then),
    /// Which file to open.
    Open(String),
    /// Where to save.
    Save(String),
    /// Another file is in the way there.
    Overwrite(PathBuf),
}

/// What is shown beside the text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tab {
    /// The question as a learner sees it.
    #[default]
    Question,
    /// Its scene: sliders, places, what the rules say.
    Scene,
    /// Templates and ids to put into the text.
    Insert,
}

/// A diagnostic, with its place moved along as the text changes.
#[derive(Clone, Debug)]
pub struct Found {
    /// What was found.
    pub diagnostic: Diagnostic,
    /// Where it stands now; none when it is about the whole file or was written over.
    pub at: Option<Range<usize>>,
}

/// The last version without errors.
pub struct Good {
    /// The scenario.
    pub scenario: Arc<Scenario>,
    /// The revision of its text.
    pub revision: u64,
}

/// The question beside the text.
pub struct Preview {
    /// Revision of the scenario, number of the question and seed.
    pub key: (u64, usize, u64),
    /// It alone, to be tried.
    pub running: Running,
    /// Whether the rules were asked about its scene.
    pub asked: bool,
    /// What they say.
    pub reasoned: Option<Reasoned>,
}

/// Where the cursor goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Jump {
    /// What is selected there; an empty range is the cursor alone.
    pub to: Range<usize>,
    /// Whether the text gets the keyboard.
    pub focus: bool,
}

/// An open text.
pub struct Open {
    /// Tells texts apart that were opened one after the other.
    pub serial: u64,
    /// Its file; none when it was never saved.
    pub path: Option<PathBuf>,
    /// The text.
    pub text: Text,
    /// What is on the disk, as far as is known.
    pub disk: Option<Vec<u8>>,
    /// What another program wrote while there was unsaved work here.
    pub outside: Option<Vec<u8>>,
    /// What is wrong with the text.
    pub found: Vec<Found>,
    /// The revision that was last sent to be checked, and the one that was last checked.
    pub asked: Option<u64>,
    /// See `asked`.
    pub checked: Option<u64>,
    /// The revision that was last kept as a copy.
    pub kept: u64,
    /// When that was, in seconds of the window.
    pub kept_at: f64,
    /// When the text was last changed, in seconds of the window.
    pub changed_at: f64,
    /// The revision seen in the last frame.
    pub seen: u64,
    /// The last version without errors.
    pub good: Option<Good>,
    /// What stands where, for a revision.
    outline: Option<(u64, Arc<Outline>)>,
    /// The number of the question shown.
    pub chosen: usize,
    /// The seed of the pictures.
    pub seed: u64,
    /// The preview.
    pub preview: Option<Preview>,
    /// What is selected in the text; an empty range is the cursor.
    pub selected: Range<usize>,
    /// Where the cursor is to be put in the next frame.
    pub jump: Option<Jump>,
    /// Whether the next check need not wait for a pause.
    pub hurry: bool,
    /// Whether it was saved since it was opened, which is said once.
    pub just_saved: bool,
    /// The revision that was put into the list of scenarios.
    pub listed: Option<u64>,
    dirty: (u64, bool),
}

/// The workshop: what is open, and what was left from the last time.
#[derive(Default)]
pub struct Workshop {
    /// The open text.
    pub open: Option<Open>,
    /// Copies of work that was never saved.
    pub drafts: Vec<Draft>,
    /// A question over the page.
    pub ask: Option<Ask>,
    /// What is waited for until the file is saved.
    pub then: Option<Then>,
    /// What is shown beside the text.
    pub tab: Tab,
    /// A run of the text that nobody keeps.
    pub trial: Option<Running>,
    /// What the page keeps for itself.
    pub page: crate::panel::workshop_ui::Page,
    serials: u64,
}

impl Workshop {
    /// Puts a text on the desk in place of the one that lies there.
    pub fn put(&mut self, path: Option<PathBuf>, text: Text, disk: Option<Vec<u8>>) {
        self.serials += 1;
        self.open = Some(Open {
            serial: self.serials,
            path,
            seen: text.revision(),
            kept: text.revision(),
            text,
            disk,
            outside: None,
            found: Vec::new(),
            asked: None,
            checked: None,
            kept_at: f64::NEG_INFINITY,
            changed_at: f64::NEG_INFINITY,
            good: None,
            outline: None,
            chosen: 0,
            seed: 1,
            preview: None,
            selected: 0..0,
            jump: None,
            hurry: false,
            just_saved: false,
            listed: None,
            dirty: (u64::MAX, false),
        });
    }

    /// Sends a text to be checked and copied once typing pauses; to be called each frame.
    pub fn tick(&mut self, ctx: &egui::Context, keeps_drafts: bool, out: &mut Vec<Command>) {
        let now = ctx.input(|i| i.time);
        let wake = |at: f64| ctx.request_repaint_after_secs((at - now).max(0.0) as f32 + 0.01);
        let Some(open) = &mut self.open else { return };
        open.follow();
        let revision = open.text.revision();
        if open.seen != revision {
            (open.seen, open.changed_at, open.just_saved) = (revision, now, false);
        }
        if open.asked != Some(revision) {
            let due = if open.hurry { now } else { open.changed_at + PAUSE };
            if now >= due {
                open.hurry = false;
                out.push(Command::Desk(Wish::Check));
            } else {
                wake(due);
            }
        }
        if keeps_drafts && open.kept != revision && open.is_dirty() {
            let due = (open.changed_at + 1.0).min(open.kept_at.max(open.changed_at - 5.0) + 5.0);
            if now >= due {
                open.kept_at = now;
                out.push(Command::Desk(Wish::KeepDraft));
            } else {
                wake(due);
            }
        }
        if let Some(preview) = &open.preview
            && preview.reasoned.is_none()
            && !preview.asked
        {
            out.push(Command::Desk(Wish::Reason));
        }
    }

    /// Whether there is work that is on no disk.
    pub fn is_dirty(&mut self) -> bool {
        self.open.as_mut().is_some_and(Open::is_dirty)
    }
}

impl Open {
    /// The name of the file, as messages give it.
    pub fn name(&self) -> String {
        self.path.as_deref().map_or_else(
            || jarlight_model::text::tr("workshop-unnamed"),
            |p| p.display().to_string(),
        )
    }

    /// The last part of the name.
    pub fn short_name(&self) -> String {
        let last = self.path.as_deref().and_then(Path::file_name);
        last.map_or_else(|| self.name(), |n| n.to_string_lossy().into_owned())
    }

    /// Whether the text differs from its file.
    pub fn is_dirty(&mut self) -> bool {
        if self.dirty.0 != self.text.revision() {
            self.measure();
        }
        self.dirty.1
    }

    /// Compares the text with its file.
    pub fn measure(&mut self) {
        let same = self.disk.as_ref().is_some_and(|d| *d == self.text.to_bytes());
        self.dirty = (self.text.revision(), !same);
    }

    /// The text as a source for the checks.
    pub fn source(&self) -> Source {
        Source::new(&self.short_name(), self.text.str())
    }

    /// What stands where in the text as it is now.
    pub fn outline(&mut self) -> Arc<Outline> {
        let revision = self.text.revision();
        match &self.outline {
            Some((r, outline)) if *r == revision => outline.clone(),
            _ => {
                let outline = Arc::new(Outline::of(self.text.str()));
                self.outline = Some((revision, outline.clone()));
                outline
            }
        }
    }

    /// Puts the cursor somewhere and gives the text the keyboard.
    pub fn go(&mut self, to: Range<usize>) {
        self.jump = Some(Jump { to, focus: true });
    }

    /// Changes one number while a slider is dragged: undone as one step, checked at once.
    pub fn slide(&mut self, edit: Edit) {
        self.text.apply_joined(edit);
        self.hurry = true;
    }

    /// Changes the text; the cursor goes behind what came in.
    pub fn edit(&mut self, edits: Vec<Edit>) {
        if let Some(end) = self.text.apply(edits) {
            self.go(end..end);
        }
    }

    /// Moves places along with what was changed.
    pub fn follow(&mut self) {
        for (range, new) in self.text.take_moves() {
            for found in &mut self.found {
                found.at = found.at.take().and_then(|at| moved(at, &range, new));
            }
        }
    }

    /// Undoes, or does again.
    pub fn step(&mut self, back: bool) {
        let at = if back { self.text.undo() } else { self.text.redo() };
        if let Some(at) = at {
            self.go(at..at);
        }
    }

    /// Takes in what a check found.
    pub fn take_checked(
        &mut self,
        revision: u64,
        scenario: Option<Scenario>,
        all: Vec<Diagnostic>,
    ) {
        self.follow();
        let now = revision == self.text.revision();
        let sound = !all.iter().any(Diagnostic::is_error);
        self.found = all
            .into_iter()
            .map(|diagnostic| {
                let at = diagnostic.place.as_ref().map(|p| p.range.clone()).filter(|_| now);
                Found { diagnostic, at }
            })
            .collect();
        self.checked = Some(revision);
        if let Some(scenario) = scenario.filter(|_| sound) {
            self.chosen = self.chosen.min(scenario.questions().len().saturating_sub(1));
            self.good = Some(Good { scenario: Arc::new(scenario), revision });
        }
    }

    /// The preview of the question shown, made anew when anything about it has changed.
    pub fn preview(&mut self, catalogue: &Arc<Catalogue>) -> Option<&mut Preview> {
        let good = self.good.as_ref()?;
        let key = (good.revision, self.chosen, self.seed);
        if self.preview.as_ref().is_none_or(|p| p.key != key) {
            let question = good.scenario.questions().get(self.chosen)?;
            let one = alone(&good.scenario, question);
            let session =
                Session::new(Arc::new(one), catalogue.clone(), Mode::Practise, self.seed, 0);
            // The picture keeps its zoom while the text is being written.
            let board = self.preview.take().map(|p| p.running.board);
            let mut running = Running::trial(session);
            running.board = board.unwrap_or_default();
            self.preview = Some(Preview { key, running, asked: false, reasoned: None });
        }
        self.preview.as_mut()
    }

    /// The question that the cursor stands in becomes the one that is shown.
    pub fn show_at_cursor(&mut self) {
        let outline = self.outline();
        if let Some(number) = outline.question_at(self.selected.start)
            && self.good.as_ref().is_some_and(|g| number < g.scenario.questions().len())
        {
            self.chosen = number;
        }
    }
}

/// A scenario with one of its questions.
fn alone(scenario: &Scenario, question: &Question) -> Scenario {
    let mut one = scenario.clone();
    one.file.questions.value = Each(vec![question.clone()]);
    one
}

/// How a run is named that nobody keeps.
pub fn trial_run(session: &Session) -> Run {
    let scenario = session.scenario();
    Run {
        id: String::new(),
        scenario: scenario.id().to_string(),
        hash: scenario.hash.clone(),
        title: scenario.title().to_owned(),
        seed: session.seed(),
        mode: session.mode(),
        program: String::new(),
        recipe: String::new(),
    }
}

/// Where a range lies after a change; `None` when the change touches it.
fn moved(at: Range<usize>, change: &Range<usize>, new: usize) -> Option<Range<usize>> {
    if at.end <= change.start {
        Some(at)
    } else if change.end <= at.start {
        let shift = new as isize - change.len() as isize;
        Some(at.start.checked_add_signed(shift)?..at.end.checked_add_signed(shift)?)
    } else {
        None
    }
}

/// What mends a fault, where a word is offered for it.
pub fn fix(found: &Found, text: &str) -> Option<Edit> {
    let at = found.at.clone()?;
    let place = found.diagnostic.place.as_ref()?;
    let mut here = found.diagnostic.clone();
    here.place = Some(jarlight_model::diag::Place { range: at, ..place.clone() });
    here.replacement(text).map(|(at, new)| Edit { at, new })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_move_with_the_text_before_them() {
        assert_eq!(moved(10..12, &(3..4), 3), Some(12..14));
        assert_eq!(moved(10..12, &(12..20), 0), Some(10..12));
        assert_eq!(moved(10..12, &(11..11), 1), None);
        assert_eq!(moved(10..12, &(0..10), 0), Some(0..2));
    }

    #[test]
    fn a_broken_text_keeps_the_last_good_version() {
        let mut shop = Workshop::default();
        let lesson = template::lesson(template::all().first());
        shop.put(None, Text::from_bytes(lesson.as_bytes()).unwrap(), None);
        let open = shop.open.as_mut().unwrap();
        let catalogue = Arc::new(Catalogue::builtin().clone());
        let checked = |open: &mut Open| {
            let read = check::read(&open.source(), Catalogue::builtin());
            open.take_checked(open.text.revision(), read.value, read.diagnostics);
        };
        checked(open);
        assert!(open.found.is_empty());
        let stem =
            |open: &mut Open| open.preview(&catalogue).unwrap().running.view.clone().unwrap().stem;
        assert_eq!(stem(open), "Point at the sediment.");
        let at = open.text.str().find("\"sediment\"").unwrap();
        open.edit(vec![Edit { at: at..at + 10, new: "\"sedimnt\"".to_owned() }]);
        checked(open);
        assert_eq!(open.found.len(), 1);
        assert_eq!(stem(open), "Point at the sediment.");
        // The place moves along, and the offered word mends it.
        open.edit(vec![Edit::insert(0, "// note\n")]);
        open.follow();
        let found = &open.found[0];
        assert_eq!(&open.text.str()[found.at.clone().unwrap()], "\"sedimnt\"");
        let fix = fix(found, open.text.str()).unwrap();
        open.edit(vec![fix]);
        checked(open);
        assert!(open.found.is_empty());
    }
}
