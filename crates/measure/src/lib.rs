//! What attempts say: how well learners detect, mark, judge and agree, and how good questions are.
//!
//! Pure functions of counts and answers, one module a topic. A result never stands alone: an
//! [`Estimate`] has its interval, count and method, and what cannot be estimated is an
//! [`Undefined`] with the reason, never a number that is not one.
//!
//! ```
//! use jarlight_measure::proportion;
//! let rate = proportion::wilson(15, 148).unwrap();
//! assert_eq!(rate.to_string(), "0.101 (0.062 to 0.160, n = 148)");
//! ```

#![warn(clippy::disallowed_methods)]

pub mod agreement;
pub mod calibration;
pub mod detection;
mod estimate;
pub mod froc;
pub mod interval;
pub mod items;
pub mod marking;
pub mod normal;
pub mod observers;
pub mod proportion;
pub mod ratings;

pub use estimate::{Estimate, Undefined};
