//! Scenarios: files of questions about drawn cells, and the session that asks and scores them.
//!
//! Pure: text, seeds and times come from the caller. The learner's side of a session (the
//! [`QuestionView`]) never holds what is right before the question is scored.

#![warn(clippy::disallowed_methods)]

pub mod answer;
mod check;
mod drawn;
pub mod feedback;
pub mod format;
mod key;
pub mod options;
pub mod pages;
pub mod picture;
pub mod places;
pub mod quiz;
pub mod reason;
mod scenario;
pub mod score;
pub mod session;
mod shipped;

pub use answer::{Age, Answer, Confidence, Mark, Near};
pub use drawn::Draw;
pub use feedback::{BeganLine, CauseLine, Feedback, Tempting, Verdict};
pub use options::{BeganView, FormView, OptionView, SheetView};
pub use pages::{Page, Pages};
pub use picture::Picture;
pub use quiz::Quiz;
pub use scenario::{Scenario, TargetUse, is_kind};
pub use session::{
    Action, Answered, Event, Given, HintView, Miss, Mode, Phase, QuestionView, ResumeError,
    Session, Summary, Support,
};
pub use shipped::shipped;
