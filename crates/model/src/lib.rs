//! The vocabulary of Jarlight: ids, units, diagnostics, authored files, the catalogue, designs.
//!
//! Everything here is a plain value. Nothing reads a file, a clock or the environment.

extern crate self as jarlight_model;

pub mod authored;
pub mod diag;
