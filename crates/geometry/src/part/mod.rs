//! Parts that several views draw alike, seen from the side.

pub mod jar;
pub mod post;
pub mod rack;
pub mod vent;
