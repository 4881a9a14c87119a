//! What learners did, kept as events that are only ever added to; the one crate that knows SQL.
//!
//! Owns its database file. Times, ids and seeds come from the caller.

mod event;
mod query;
mod store;

pub use event::{Record, Run, What};
pub use query::{FinishedRun, Flag, Learner, OpenRun, StoredAnswer, Tally};
pub use store::{Store, StoreError};
