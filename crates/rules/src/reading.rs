//! Readings in the units people use: corrected, judged, and turned into what follows from them.
//!
//! Each topic is a module of plain functions with the unit in the name of every number; a value
//! outside the range in which its formula holds is refused with that range. [`mod@limit`] says when
//! a reading becomes a finding. [`kinds`] and [`evaluate`] offer the same by name, for a terminal
//! or a form.
//!
//! The figures teach and inform: procedures of the site, the maker's instructions and local
//! codes decide what is done.
//!
//! ```
//! use std::collections::BTreeMap;
//! use jarlight_rules::reading;
//!
//! let given = BTreeMap::from([("gravity".to_owned(), 1.208), ("temperature_f".to_owned(), 90.0)]);
//! let met = reading::evaluate("gravity", &given).unwrap();
//! assert!((met.value("corrected").unwrap() - 1.212333).abs() < 1e-6);
//! ```

pub mod acid;
pub mod ageing;
pub mod capacity;
pub mod charge;
pub mod fit;
pub mod gas;
pub mod gravity;
pub mod joint;
mod kind;
mod limit;
pub mod plates;
mod range;
pub mod trend;
pub mod voltage;

pub use kind::{
    Evaluation, Found, Input, Kind, ReadingError, Turn, Value, evaluate, find, kind, kinds,
};
pub use limit::{Beyond, LIMITS, Limit, limit};
pub use range::{OutOfRange, Range};

/// Who decides; stands under every reading.
pub const CLOSING: &str = "Readings are taken by authorised staff. The figures teach and inform: \
    procedures of the site, the maker's instructions and the local codes decide.";

/// A number with five figures, so that no digit is claimed that no instrument shows.
///
/// ```
/// use jarlight_rules::reading::figures;
/// assert_eq!(figures(1.212_333), "1.2123");
/// assert_eq!(figures(0.008_215_54), "0.0082155");
/// assert_eq!(figures(13_666.7), "13667");
/// assert_eq!(figures(0.0), "0");
/// ```
pub fn figures(value: f64) -> String {
    let size = libm::floor(libm::log10(f64::max(value.abs(), 1e-9))) as i32;
    jarlight_model::unit::trimmed(value, usize::try_from(4 - size).unwrap_or(0).min(9))
}
