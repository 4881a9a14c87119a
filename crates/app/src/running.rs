//! A run in the window: the session, its record, and answers on their way to the disk.

use crate::{
    easel::{Easel, Subject},
    services::{Services, Ticket},
    widget::drawing::Canvas,
};
use jarlight_records::{Record, Run, What};
use jarlight_scenario::{Action, Answer, Confidence, Event, Phase, QuestionView, Session, Summary};

/// What the learner is about to answer; nothing of it is kept before it is submitted.
#[derive(Default)]
pub struct Draft {
    /// The place pointed at.
    pub point: Option<crate::widget::drawing::Picked>,
    /// Chosen options: one list of choices for each group of the form.
    pub choices: [Option<String>; 3],
    /// Chosen options where there may be several, in the order in which they were chosen.
    pub several: Vec<String>,
    /// A number as it is typed.
    pub number: String,
    /// Places with what they were said to be.
    pub marks: Vec<(crate::widget::drawing::Picked, String)>,
    /// Ends of an interval in months.
    pub interval: Option<(f64, f64)>,
    /// How sure.
    pub confidence: Option<Confidence>,
    /// The group that keys choose in.
    pub group: usize,
}

/// One picture of a question, with its zoom.
#[derive(Default)]
pub struct Board {
    /// The drawing.
    pub easel: Easel,
    /// Its zoom and lamp.
    pub canvas: Canvas,
}

/// A run through a scenario.
pub struct Running {
    /// The state machine.
    pub session: Session,
    /// How records name the run.
    pub run: Run,
    /// Who runs it.
    pub learner: String,
    /// What may be seen of the question in hand.
    pub view: Option<QuestionView>,
    /// The answer in the making.
    pub draft: Draft,
    /// The answer that is on its way to the disk; feedback waits for it.
    pub writing: Option<Ticket>,
    /// What came of it, when finished.
    pub summary: Option<Box<Summary>>,
    /// The drawing of the question.
    pub board: Board,
    /// The drawing of the healthy twin.
    pub twin: Board,
    /// Drawings of the misses on the last page.
    pub misses: Vec<Board>,
    /// Whether the keyboard has been given its place for this phase.
    pub focus_given: bool,
    /// Whether it is only tried: nothing of it is recorded.
    pub is_trial: bool,
}

impl Running {
    /// A run as it stands.
    pub fn new(session: Session, run: Run, learner: String) -> Self {
        let mut running = Self {
            view: None,
            session,
            run,
            learner,
            draft: Draft::default(),
            writing: None,
            summary: None,
            board: Board::default(),
            twin: Board::default(),
            misses: Vec::new(),
            focus_given: false,
            is_trial: false,
        };
        running.refresh();
        running
    }

    /// A run that nobody keeps.
    pub fn trial(session: Session) -> Self {
        let run = crate::workshop::trial_run(&session);
        Self { is_trial: true, ..Self::new(session, run, String::new()) }
    }

    /// Takes the view of the session anew.
    fn refresh(&mut self) {
        self.view = self.session.view();
        self.summary = self.session.summary().map(Box::new);
        if let Some(summary) = &self.summary {
            self.misses.resize_with(summary.misses.len(), Board::default);
        }
        self.focus_given = false;
    }

    /// Whether an answer waits for the disk.
    pub fn is_writing(&self) -> bool {
        self.writing.is_some()
    }

    /// Obeys an action: events go to the records first, the next question comes only with
    /// [`Action::Advance`], and that is refused while an answer is on its way.
    pub fn act(&mut self, action: Action, services: &mut Services) {
        if self.is_writing() {
            return;
        }
        let now = services.now_ms();
        let hint = matches!(action, Action::AskHint);
        for event in self.session.apply(action, now) {
            match event {
                Event::Answered(_) if self.is_trial => self.refresh(),
                Event::Answered(answered) => {
                    let record = Record {
                        id: services.id(),
                        at_ms: answered.given_at_ms,
                        learner: self.learner.clone(),
                        what: What::answered(&self.run, &answered),
                    };
                    self.writing = Some(services.write_now(record));
                }
                Event::Moved { .. } => {
                    self.draft = Draft::default();
                    self.board.canvas.reset();
                    self.twin.canvas.reset();
                    self.refresh();
                }
                Event::Finished(summary) => {
                    let what = What::RunFinished {
                        run: self.run.clone(),
                        points: summary.points,
                        max_points: summary.max_points,
                    };
                    if !self.is_trial {
                        self.record(what, now, services);
                    }
                    self.refresh();
                }
                Event::HintShown { .. } => {}
            }
        }
        if hint {
            self.view = self.session.view();
        }
    }

    fn record(&self, what: What, at_ms: u64, services: &mut Services) -> Ticket {
        let record = Record { id: services.id(), at_ms, learner: self.learner.clone(), what };
        services.write(record)
    }

    /// An answer came to the disk, or could not; either way the learner goes on.
    pub fn written(&mut self, ticket: Ticket) {
        if self.writing == Some(ticket) {
            self.writing = None;
            self.refresh();
        }
    }

    /// What is drawn for the question.
    pub fn subject(&self) -> Option<(Subject, jarlight_scenario::Picture)> {
        self.session.picture().map(|p| (Subject::of(&p), p))
    }

    /// Whether the question waits for its answer.
    pub fn is_asking(&self) -> bool {
        self.view.as_ref().is_some_and(|v| v.phase == Phase::Asking)
    }
}

impl Draft {
    /// The answer, when enough of it is there.
    pub fn answer(&self, form: &jarlight_scenario::FormView, ids: &[String]) -> Option<Answer> {
        use jarlight_scenario::{Age, BeganView, FormView, Mark};
        let one = |i: usize| self.choices.get(i).cloned().flatten();
        match form {
            FormView::Point => {
                let picked = self.point.as_ref()?;
                let (place, near) = places(picked, ids);
                Some(Answer::Point { place, near })
            }
            FormView::One { .. } => one(0).map(Answer::One),
            FormView::Diagnose { began, .. } => Some(Answer::Diagnosis {
                condition: one(0)?,
                cause: one(1)?,
                began: match (began, one(2), self.interval) {
                    (_, Some(band), _) => Age::Band(band),
                    (BeganView::Scale { .. }, None, Some((low, high))) => Age::Months(low, high),
                    _ => return None,
                },
            }),
            FormView::Interval { .. } => {
                self.interval.map(|(low, high)| Answer::Interval(low, high))
            }
            FormView::Several { .. } => Some(Answer::Several(self.several.clone())),
            FormView::Order { list } => {
                (self.several.len() == list.len()).then(|| Answer::Order(self.several.clone()))
            }
            FormView::Number { .. } => {
                let typed = self.number.trim().replace(',', ".").replace('−', "-");
                typed.parse().ok().filter(|v: &f64| v.is_finite()).map(Answer::Number)
            }
            // "Nothing more" may also be said at once.
            FormView::Marks { .. } => Some(Answer::Marks(
                self.marks
                    .iter()
                    .map(|(picked, label)| {
                        let (place, near) = places(picked, ids);
                        Mark { place, near, label: label.clone() }
                    })
                    .collect(),
            )),
        }
    }
}

/// Numbers of targets as ids of places.
fn places(
    picked: &crate::widget::drawing::Picked,
    ids: &[String],
) -> (Option<String>, Vec<jarlight_scenario::Near>) {
    let id = |t: u32| ids.get(t as usize).cloned();
    let near = picked
        .near
        .iter()
        .filter_map(|(t, off)| id(*t).map(|place| jarlight_scenario::Near { place, off: *off }));
    (picked.target.and_then(id), near.collect())
}
