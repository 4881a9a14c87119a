//! Tests of the whole program: commands in process, broken files, golden figures, and the rules
//! of the repository.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod bad_files;
mod cli;
mod golden;
mod readings;
mod reasoning;
mod report;
mod schema;
mod tidy;
