//! Pages for a room: which one is shown, whether its answer is, and the pages that are kept.

use crate::{easel::SightEasel, route::Route, widget::drawing::Canvas};
use jarlight_geometry::draw::View;
use jarlight_model::{authored::Spot, catalogue::Catalogue, text::tr};
use jarlight_scenario::{Action, Mode, Page, Pages, Scenario, Session, format::View as Authored};
use std::sync::Arc;

/// What is presented and what is kept for it.
pub struct Presenting {
    /// Pages that were kept.
    pub kept: Vec<Page>,
    /// What they are called.
    pub title: String,
    /// Pages that are shown.
    pub pages: Vec<Page>,
    /// The one in sight, from 0.
    pub at: usize,
    /// Whether its answer is shown.
    pub answered: bool,
    /// Whether the lamp was switched by hand, and to what.
    pub lamp: Option<bool>,
    /// Where one came from.
    pub from: Route,
    /// The question of the page in sight.
    pub question: Option<Session>,
    /// The page whose question and place have been looked up.
    pub ready: Option<usize>,
    /// The drawing.
    pub easel: SightEasel,
    /// Its zoom and lamp.
    pub canvas: Canvas,
    /// The drawing beside it.
    pub beside: (SightEasel, Canvas),
}

impl Default for Presenting {
    fn default() -> Self {
        Self {
            kept: Vec::new(),
            title: tr("present-lesson"),
            pages: Vec::new(),
            at: 0,
            answered: false,
            lamp: None,
            from: Route::Start,
            question: None,
            ready: None,
            easel: SightEasel::default(),
            canvas: Canvas::default(),
            beside: (SightEasel::default(), Canvas::default()),
        }
    }
}

impl Presenting {
    /// Shows pages from the first one on.
    pub fn begin(&mut self, pages: Vec<Page>, from: Route) {
        self.pages = pages;
        self.from = from;
        self.at = 0;
        self.leaf();
    }

    /// Goes one page on or back; the first and the last one stay.
    pub fn turn(&mut self, onward: bool) {
        let last = self.pages.len().saturating_sub(1);
        let to = if onward { (self.at + 1).min(last) } else { self.at.saturating_sub(1) };
        if to != self.at {
            self.at = to;
            self.leaf();
        }
    }

    fn leaf(&mut self) {
        self.answered = false;
        self.lamp = None;
        self.question = None;
        self.ready = None;
        self.canvas.reset();
    }

    /// The page in sight.
    pub fn page(&self) -> Option<&Page> {
        self.pages.get(self.at)
    }

    /// Shows the answer, or hides it again.
    pub fn show_answer(&mut self) {
        self.answered = !self.answered;
        let Some(session) = &mut self.question else { return };
        if self.answered
            && let Some(answer) = session.right_answer()
        {
            session.apply(Action::Submit { answer, confidence: None }, 0);
        } else {
            // An answer is not taken back; the question is asked anew.
            self.ready = None;
        }
    }

    /// The pages that are kept, as the text of a file.
    pub fn text(&self) -> String {
        let format = unplaced(1.0);
        Pages { format, title: self.title.clone(), pages: self.kept.clone() }.to_text()
    }
}

/// A page for each question of a scenario.
pub fn questions_of(scenario: &Scenario) -> Vec<Page> {
    let one = |i: usize| Page::Question {
        scenario: unplaced(scenario.id().clone()),
        number: unplaced((i + 1) as f64),
        seed: 1.0,
    };
    (0..scenario.questions().len()).map(one).collect()
}

/// A session that asks the question of this number, from 1.
pub fn ask(
    scenario: &Arc<Scenario>,
    catalogue: &Arc<Catalogue>,
    number: usize,
    seed: u64,
) -> Option<Session> {
    let mut session = Session::new(scenario.clone(), catalogue.clone(), Mode::Practise, seed, 0);
    for _ in 1..number {
        let answer = session.right_answer()?;
        session.apply(Action::Submit { answer, confidence: None }, 0);
        session.apply(Action::Advance, 0);
    }
    session.view().filter(|v| v.number == number).map(|_| session)
}

/// A value that stands in no file.
pub fn unplaced<T>(value: T) -> Spot<T> {
    Spot { value, at: 0..0 }
}

/// The view of a drawing for one that an author wrote.
pub const fn drawn_view(view: Authored) -> View {
    match view {
        Authored::Edge => View::Edge,
        Authored::Face => View::Face,
        Authored::Plan => View::Plan,
        Authored::Peeled => View::Peeled,
        Authored::Row => View::Row,
        Authored::Rack => View::Rack,
    }
}

/// The view that an author would write.
pub const fn authored_view(view: View) -> Authored {
    match view {
        View::Edge => Authored::Edge,
        View::Face => Authored::Face,
        View::Plan => Authored::Plan,
        View::Peeled => Authored::Peeled,
        View::Row => Authored::Row,
        View::Rack => Authored::Rack,
    }
}
