//! The catalogue: parts, conditions, causes and readings, with where each statement comes from.

mod course;
mod entries;
mod load;

pub use entries::*;
pub use load::{Catalogue, builtin_designs, builtin_sources};
