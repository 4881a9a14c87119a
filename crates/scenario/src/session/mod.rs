//! A run through a scenario as a pure state machine: actions in, events out.

mod view;

#[cfg(test)]
mod tests;

pub use view::{HintView, Phase, QuestionView};

use crate::{
    answer::{Answer, Confidence},
    feedback::{self, Feedback, Scored, Verdict},
    format::{Form, Question, Scene},
    key::Ask,
    picture::Picture,
    scenario::Scenario,
    score,
};
use jarlight_model::{catalogue::Catalogue, rng::child_seed};
use std::sync::Arc;

/// How a run is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mode {
    /// With help that fades, and feedback each time.
    Learn,
    /// With hints on request, and feedback each time.
    Practise,
    /// Without hints, and with feedback at the end only.
    Check,
}

impl Mode {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Learn, Self::Practise, Self::Check];

    /// The word in the records.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Learn => "Learn",
            Self::Practise => "Practise",
            Self::Check => "Check",
        }
    }

    /// The mode of a word from the records.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|m| m.as_str() == word)
    }
}

/// How much help a learner gets in [`Mode::Learn`]; it fades with right answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Support {
    /// The answer is explained beside the question.
    Worked,
    /// The hint is shown and half of the wrong options are left out.
    Eased,
    /// No help but a hint on request.
    Alone,
}

/// Everything a learner can do; the app, the tests and the replay speak this.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Gives the answer.
    Submit {
        /// The answer.
        answer: Answer,
        /// How sure, where that was asked.
        confidence: Option<Confidence>,
    },
    /// Asks for the hint.
    AskHint,
    /// Goes on to the next question.
    Advance,
}

/// What has come of an action.
#[derive(Clone, Debug, PartialEq)]
pub enum Event {
    /// The hint is shown.
    HintShown {
        /// Id of the question.
        question: String,
    },
    /// An answer was scored; to be stored before [`Action::Advance`].
    Answered(Answered),
    /// The next question is asked.
    Moved {
        /// Its number from 1.
        number: usize,
    },
    /// The last question is done.
    Finished(Summary),
}

/// An answer with its score.
#[derive(Clone, Debug, PartialEq)]
pub struct Answered {
    /// Id of the question.
    pub question: String,
    /// The answer.
    pub answer: Answer,
    /// The answer as a line of text for the records.
    pub answer_text: String,
    /// Points given.
    pub points: f64,
    /// Points that were possible.
    pub max_points: f64,
    /// How sure the learner was.
    pub confidence: Option<Confidence>,
    /// Whether the learner had help.
    pub hinted: bool,
    /// Time since the question was asked.
    pub elapsed_ms: u64,
    /// When the answer was given, in milliseconds of Unix time.
    pub given_at_ms: u64,
    /// Ids of the parts, conditions, causes and facts that the question was about.
    pub subjects: Vec<String>,
}

/// An answer as the records give it back.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// Id of the question.
    pub question: String,
    /// The answer.
    pub answer: Answer,
    /// How sure the learner was.
    pub confidence: Option<Confidence>,
    /// Whether the learner had help.
    pub hinted: bool,
    /// Time since the question was asked.
    pub elapsed_ms: u64,
}

/// Why a stored run cannot be taken up again.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ResumeError {
    /// The scenario has other questions than the answers are for.
    #[error("answer {number} was given to the question `{stored}`, where the scenario has {asked}")]
    Differs {
        /// Number of the answer, from 1.
        number: usize,
        /// The question that was stored.
        stored: String,
        /// What the scenario asks there.
        asked: String,
    },
    /// An answer does not fit its question any more.
    #[error("answer {number} is no answer to the question `{question}`")]
    Unfit {
        /// Number of the answer, from 1.
        number: usize,
        /// The question.
        question: String,
    },
}

/// A question that did not get all its points.
#[derive(Clone, Debug, PartialEq)]
pub struct Miss {
    /// Number of the question, from 1.
    pub number: usize,
    /// Id of the question.
    pub question: String,
    /// What was asked.
    pub stem: String,
    /// What was drawn.
    pub picture: Picture,
    /// What there is to learn.
    pub feedback: Feedback,
}

/// What came of a finished run.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Points given.
    pub points: f64,
    /// Points that were possible.
    pub max_points: f64,
    /// Number of questions.
    pub questions: usize,
    /// Number of wholly right answers.
    pub right: usize,
    /// What was not wholly right.
    pub misses: Vec<Miss>,
}

/// A question with its pictures drawn.
struct Stage<'a> {
    question: &'a Question,
    scene: &'a Scene,
    picture: Picture,
    second: Option<Picture>,
}

/// A run through a scenario.
#[derive(Clone, Debug)]
pub struct Session {
    scenario: Arc<Scenario>,
    catalogue: Arc<Catalogue>,
    mode: Mode,
    seed: u64,
    given: Vec<Given>,
    // Invariant: one entry for each of `given`.
    shares: Vec<score::Shares>,
    phase: Phase,
    hint_shown: bool,
    asked_at_ms: u64,
}

impl Session {
    /// Begins a run; the same seed gives the same pictures and the same order of options.
    pub fn new(
        scenario: Arc<Scenario>,
        catalogue: Arc<Catalogue>,
        mode: Mode,
        seed: u64,
        now_ms: u64,
    ) -> Self {
        let phase = if scenario.questions().is_empty() { Phase::Finished } else { Phase::Asking };
        Self {
            scenario,
            catalogue,
            mode,
            seed,
            given: Vec::new(),
            shares: Vec::new(),
            phase,
            hint_shown: false,
            asked_at_ms: now_ms,
        }
    }

    /// Takes a run up again after the answers that were stored.
    pub fn resume(
        scenario: Arc<Scenario>,
        catalogue: Arc<Catalogue>,
        mode: Mode,
        seed: u64,
        given: &[Given],
        now_ms: u64,
    ) -> Result<Self, ResumeError> {
        let mut session = Self::new(scenario, catalogue, mode, seed, now_ms);
        for (i, g) in given.iter().enumerate() {
            let number = i + 1;
            let asked = session.scenario.questions().get(i);
            if asked.is_none_or(|q| q.id.as_str() != g.question) {
                return Err(ResumeError::Differs {
                    number,
                    stored: g.question.clone(),
                    asked: asked.map_or_else(|| "none".to_owned(), |q| format!("`{}`", q.id.value)),
                });
            }
            if !session.take(g.clone()) {
                return Err(ResumeError::Unfit { number, question: g.question.clone() });
            }
        }
        session.go_on(now_ms);
        Ok(session)
    }

    /// The scenario.
    pub fn scenario(&self) -> &Arc<Scenario> {
        &self.scenario
    }

    /// How the run is meant.
    pub fn mode(&self) -> Mode {
        self.mode
    }

    /// The seed of the run.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// The answers so far.
    pub fn given(&self) -> &[Given] {
        &self.given
    }

    /// Points given and points possible so far.
    pub fn points(&self) -> (f64, f64) {
        let questions = self.scenario.questions().iter().zip(&self.shares);
        questions.fold((0.0, 0.0), |(points, max), (q, shares)| {
            (points + score::total(shares) * q.points.value, max + q.points.value)
        })
    }

    /// Where the run stands.
    pub fn phase(&self) -> Phase {
        self.phase
    }

    /// Does what the learner wants; an action that does not fit gives no events.
    pub fn apply(&mut self, action: Action, at_ms: u64) -> Vec<Event> {
        match (action, self.phase) {
            (Action::Submit { answer, confidence }, Phase::Asking) => {
                self.submit(answer, confidence, at_ms)
            }
            (Action::AskHint, Phase::Asking) => self.ask_hint(),
            (Action::Advance, Phase::Answered) => {
                self.go_on(at_ms);
                match self.summary() {
                    Some(summary) => vec![Event::Finished(summary)],
                    None => vec![Event::Moved { number: self.index() + 1 }],
                }
            }
            _ => Vec::new(),
        }
    }

    fn submit(&mut self, answer: Answer, confidence: Option<Confidence>, at_ms: u64) -> Vec<Event> {
        let Some(question) = self.question() else { return Vec::new() };
        let (id, max_points) = (question.id.to_string(), question.points.value);
        let subjects = self.subjects(question);
        let given = Given {
            question: id.clone(),
            answer: answer.clone(),
            confidence,
            hinted: self.is_helped(),
            elapsed_ms: at_ms.saturating_sub(self.asked_at_ms),
        };
        let (hinted, elapsed_ms) = (given.hinted, given.elapsed_ms);
        if !self.take(given) {
            return Vec::new();
        }
        self.phase = Phase::Answered;
        let share = self.shares.last().map_or(0.0, |s| score::total(s));
        vec![Event::Answered(Answered {
            question: id,
            answer_text: answer.to_text(),
            answer,
            points: share * max_points,
            max_points,
            confidence,
            hinted,
            elapsed_ms,
            given_at_ms: at_ms,
            subjects,
        })]
    }

    /// Scores and keeps an answer to the next question; false when it is none.
    fn take(&mut self, given: Given) -> bool {
        let Some(stage) = self.stage(self.given.len()) else { return false };
        match score::score(&self.ask(&stage), &given.answer) {
            Some(shares) => {
                self.given.push(given);
                self.shares.push(shares);
                true
            }
            None => false,
        }
    }

    fn ask_hint(&mut self) -> Vec<Event> {
        let Some(question) = self.question() else { return Vec::new() };
        if self.mode == Mode::Check || question.hint.is_none() || self.hint_is_shown() {
            return Vec::new();
        }
        let question = question.id.to_string();
        self.hint_shown = true;
        vec![Event::HintShown { question }]
    }

    /// Asks the next question, or ends the run.
    fn go_on(&mut self, at_ms: u64) {
        let more = self.given.len() < self.scenario.questions().len();
        self.phase = if more { Phase::Asking } else { Phase::Finished };
        self.hint_shown = false;
        self.asked_at_ms = at_ms;
    }

    /// Index of the question that is asked or has just been answered.
    fn index(&self) -> usize {
        match self.phase {
            Phase::Asking => self.given.len(),
            Phase::Answered | Phase::Finished => self.given.len().saturating_sub(1),
        }
    }

    fn question(&self) -> Option<&Question> {
        self.scenario.questions().get(self.index())
    }

    /// What the question is about; where it asks for what the picture shows, that too.
    fn subjects(&self, question: &Question) -> Vec<String> {
        let mut all = question.subjects();
        let computed = matches!(
            question.form.value,
            Form::NormalOrNot | Form::MarkAll { .. } | Form::Age { .. } | Form::NextLook { .. }
        );
        if let (true, Some(picture)) = (computed, self.picture()) {
            let shown = picture.specimen.occurrences.iter().map(|o| o.condition.to_string());
            all.extend(shown.filter(|id| !all.contains(id)).collect::<Vec<_>>());
        }
        all
    }

    fn question_seed(&self, question: &Question) -> u64 {
        child_seed(self.seed, &format!("question {}", question.id.value))
    }

    /// How much help the learner gets: one step less after two right answers in a row, one
    /// step more after two that were not.
    pub fn support(&self) -> Support {
        if self.mode != Mode::Learn {
            return Support::Alone;
        }
        let (mut support, mut right, mut wrong) = (Support::Eased, 0, 0);
        // The answer to the question in hand does not change the help it was given with.
        for shares in &self.shares[..self.index().min(self.shares.len())] {
            if score::total(shares) == 1.0 {
                (right, wrong) = (right + 1, 0);
            } else {
                (right, wrong) = (0, wrong + 1);
            }
            if right == 2 {
                support = if support == Support::Worked { Support::Eased } else { Support::Alone };
                right = 0;
            }
            if wrong == 2 {
                support = if support == Support::Alone { Support::Eased } else { Support::Worked };
                wrong = 0;
            }
        }
        support
    }

    fn hint_is_shown(&self) -> bool {
        self.hint_shown || self.support() != Support::Alone
    }

    fn is_helped(&self) -> bool {
        self.hint_shown || self.support() == Support::Worked
    }

    /// What is drawn for the question in hand; for the painter only.
    pub fn picture(&self) -> Option<Picture> {
        self.stage(self.index()).map(|stage| stage.picture)
    }

    /// The second picture of a question that compares two; for the painter only.
    pub fn second_picture(&self) -> Option<Picture> {
        self.stage(self.index()).and_then(|stage| stage.second)
    }

    /// An answer to the question in hand that gets all points; for tests and for presenting.
    pub fn right_answer(&self) -> Option<Answer> {
        let stage = self.stage(self.index())?;
        self.ask(&stage).right()
    }

    fn stage(&self, index: usize) -> Option<Stage<'_>> {
        let question = self.scenario.questions().get(index)?;
        let scene = self.scenario.scene(&question.scene)?;
        let mut picture = Picture::of(scene, &question.scene, self.seed);
        picture.ring = view::ring(&question.form.value);
        let second = match &question.form.value {
            Form::Compare { second, .. } => {
                let scene = self.scenario.scene(second)?;
                Some(Picture::of(scene, second, self.seed))
            }
            _ => None,
        };
        Some(Stage { question, scene, picture, second })
    }

    fn ask<'a>(&'a self, stage: &'a Stage<'a>) -> Ask<'a> {
        Ask {
            catalogue: &self.catalogue,
            form: &stage.question.form.value,
            scene: stage.scene,
            picture: &stage.picture,
            second: stage.second.as_ref(),
        }
    }

    /// Feedback of an answered question, whatever the mode says about showing it.
    fn feedback_of(&self, index: usize) -> Option<Feedback> {
        let answer = &self.given.get(index)?.answer;
        let stage = self.stage(index)?;
        Some(self.feedback_to(&stage, answer, self.shares.get(index)?))
    }

    fn feedback_to(&self, stage: &Stage<'_>, answer: &Answer, shares: &[f64]) -> Feedback {
        let ask = self.ask(stage);
        feedback::make(&Scored { ask, question: stage.question, answer, shares })
    }

    /// What came of the run, when it is finished.
    pub fn summary(&self) -> Option<Summary> {
        if self.phase != Phase::Finished {
            return None;
        }
        let (points, max_points) = self.points();
        let misses = (0..self.given.len()).filter_map(|i| {
            let feedback = self.feedback_of(i).filter(|f| f.verdict != Verdict::Right)?;
            let question = self.scenario.questions().get(i)?;
            Some(Miss {
                number: i + 1,
                question: question.id.to_string(),
                stem: question.stem.value.clone(),
                picture: self.stage(i)?.picture,
                feedback,
            })
        });
        let misses: Vec<Miss> = misses.collect();
        let questions = self.given.len();
        Some(Summary { points, max_points, questions, right: questions - misses.len(), misses })
    }
}
