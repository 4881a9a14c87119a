//! The views: each paints a layout from one side.

pub mod edge;
pub mod face;
pub mod peeled;
pub mod peeled_round;
pub mod plan;
pub mod rack;
pub mod row;
