//! What panels are made of.

pub mod badge;
pub mod chip;
pub mod control;
pub mod drawing;
pub mod index;
pub mod labels;
pub mod lamp;
pub mod mark;
pub mod words;
