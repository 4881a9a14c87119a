//! Scenarios: files of questions about drawn cells, and the session that asks and scores them.
//!
//! Pure: text, seeds and times come from the caller. The learner's side of a session (the
//! [`session::QuestionView`]) never holds what is right before the question is scored.

#![warn(clippy::disallowed_methods)]

pub mod answer;
mod check;
pub mod format;
pub mod places;
mod scenario;

pub use answer::{Answer, Confidence};
pub use scenario::{Scenario, TargetUse, is_kind};
