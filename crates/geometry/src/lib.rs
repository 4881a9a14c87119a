//! Draws the cell: a design becomes a layout in millimetres, a layout becomes a scene, and one
//! scene feeds window, SVG, PNG, PDF and hit test.

#![warn(clippy::disallowed_methods)]

pub mod alter;
pub mod callout;
pub mod change;
pub mod draw;
pub mod figure;
pub mod inset;
#[cfg(test)]
mod laws;
pub mod layout;
pub mod overlay;
pub mod palette;
pub mod part;
#[cfg(feature = "pdf")]
pub mod pdf;
#[cfg(feature = "png")]
pub mod png;
pub mod scene;
pub mod series;
pub mod sheet;
pub mod svg;
pub mod text;
pub mod view;
