//! What the learner's side of a session may know: never what is right before it is scored.

use super::{Mode, Session, Support};
use crate::{
    feedback::Feedback,
    format::Form,
    options::{self, FormView, SheetView},
    score,
};

/// Where a run stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// A question waits for its answer.
    Asking,
    /// The answer was given.
    Answered,
    /// All questions are done.
    Finished,
}

/// The hint of a question.
#[derive(Clone, Debug, PartialEq)]
pub enum HintView {
    /// There is none.
    None,
    /// It is shown when asked for.
    OnRequest,
    /// It is shown.
    Shown(String),
}

/// A question as the learner may see it.
#[derive(Clone, Debug, PartialEq)]
pub struct QuestionView {
    /// Its number, from 1.
    pub number: usize,
    /// Number of questions.
    pub total: usize,
    /// Title of the scenario.
    pub title: String,
    /// Where and when it plays.
    pub setting: String,
    /// What is asked.
    pub stem: String,
    /// What the learner does.
    pub form: FormView,
    /// A sheet of readings that goes with the question.
    pub sheet: Option<SheetView>,
    /// Whether a second picture stands beside the first.
    pub compares: bool,
    /// Whether the answer is one of two, so that a guess is right half of the time.
    pub two_way: bool,
    /// The hint.
    pub hint: HintView,
    /// Where the run stands.
    pub phase: Phase,
    /// Whether parts of the drawing must go without their names.
    pub neutral_places: bool,
    /// How much help is given.
    pub support: Support,
    /// The answer explained beside the question, at the highest step of help.
    pub worked: Option<Box<Feedback>>,
    /// What is said to the answer; at the end only in a check run.
    pub feedback: Option<Box<Feedback>>,
}

/// The place that a form rings in the drawing.
pub(super) fn ring(form: &Form) -> Option<String> {
    match form {
        Form::Name { target, .. } => Some(target.value.clone()),
        _ => None,
    }
}

impl Session {
    /// The question in hand; `None` in a scenario without questions.
    pub fn view(&self) -> Option<QuestionView> {
        let question = self.question()?;
        let support = self.support();
        let form = &question.form.value;
        let stage = self.stage(self.index())?;
        let ask = self.ask(&stage);
        let worked = || {
            let right = ask.right()?;
            let shares = score::score(&ask, &right)?;
            Some(Box::new(self.feedback_to(&stage, &right, &shares)))
        };
        let asking = self.phase == Phase::Asking;
        Some(QuestionView {
            number: self.index() + 1,
            total: self.scenario.questions().len(),
            title: self.scenario.title().to_owned(),
            setting: self.scenario.setting().to_owned(),
            stem: question.stem.value.clone(),
            form: options::view(&ask, self.question_seed(question), support != Support::Alone),
            sheet: options::sheet(form),
            compares: stage.second.is_some(),
            two_way: form.is_two_way(),
            hint: match &question.hint {
                None => HintView::None,
                Some(_) if self.mode == Mode::Check => HintView::None,
                Some(hint) if self.hint_is_shown() => HintView::Shown(hint.value.clone()),
                Some(_) => HintView::OnRequest,
            },
            phase: self.phase,
            neutral_places: asking || self.mode == Mode::Check && self.phase != Phase::Finished,
            support,
            worked: if asking && support == Support::Worked { worked() } else { None },
            feedback: if self.phase == Phase::Answered && self.mode != Mode::Check {
                self.feedback_of(self.index()).map(Box::new)
            } else {
                None
            },
        })
    }
}
