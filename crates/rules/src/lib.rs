//! From findings to causes and ages: exact inference in a two-layer noisy-MAX network.
//!
//! A cause is absent or present with an onset bin; a finding shows the worst grade that any
//! present cause, or the leak, produces. Everything here is a plain value: no file, no clock.
//!
//! ```
//! use jarlight_model::diag::Source;
//! use jarlight_rules::{Case, Rules, infer};
//!
//! let rules = Source::new("r.ron", r#"Rules(format: 1,
//!   mechanisms: [(id: "wear", bins: [(from: 0, to: 12, prior: 0.2)])],
//!   findings: [(id: "dust", leak: [0.9, 1], rows: {"wear": [[0.25, 1]]})])"#);
//! let case = Source::new("c.ron", r#"Case(format: 1, findings: {"dust": 1})"#);
//! let network = Rules::read(&rules).value.unwrap().network().unwrap();
//! let case = Case::read(&case).value.unwrap();
//! let evidence = case.evidence(&network).unwrap();
//! let posterior = infer(&network, &evidence).unwrap();
//! assert!(posterior.present(0) > 0.6);
//! ```

#![warn(clippy::disallowed_methods)]

mod case_draft;
mod case_file;
mod cell;
mod evidence;
pub mod explain;
mod fold;
mod growth;
mod infer;
pub mod json;
mod kernel;
mod keyed;
mod look;
mod network;
mod order;
mod plan;
pub mod reading;
mod rules_file;
pub mod sample;
mod weigh;
pub mod wording;

pub use case_draft::{CaseDraft, Noted};
pub use case_file::{Case, CaseScope, Entry};
pub use cell::Cell;
pub use evidence::{Evidence, Seen};
pub use growth::rate_at;
pub use infer::{Began, InferError, MAX_SOFT, Marginal, Posterior, infer};
pub use look::{Look, NextLooks, joint_presence, looks_about, next_looks};
pub use network::{Bin, Finding, Mechanism, Network, NetworkError, Row};
pub use rules_file::Rules;
pub use weigh::{Weight, weights};
