//! The window: study, questions and what carries them.

pub mod theme;
