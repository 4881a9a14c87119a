//! The vocabulary of Jarlight: ids, units, diagnostics, authored files, the catalogue, designs.
//!
//! Everything here is a plain value. Nothing reads a file, a clock or the environment.

#![warn(clippy::disallowed_methods)]

// The macros of `authored` name this crate by its outside name, so that they work in it too.
extern crate self as jarlight_model;

pub mod authored;
pub mod catalogue;
pub mod design;
pub mod diag;
pub mod id;
pub mod photo;
pub mod rng;
pub mod specimen;
pub mod text;
pub mod unit;
