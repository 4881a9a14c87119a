//! What panels are made of.

pub mod badge;
pub mod chip;
pub mod control;
pub mod drawing;
pub mod index;
pub mod lamp;
pub mod magnifier;
pub mod mark;
pub mod photograph;
pub mod pick;
pub mod words;
