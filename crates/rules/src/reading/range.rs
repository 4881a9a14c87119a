//! Ranges that readings and formulas hold in, and the refusal outside them.

use thiserror::Error;

/// A quantity with its unit and the range in which a formula may use it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// What the quantity is, as read in a sentence.
    pub what: &'static str,
    /// Unit, empty for a plain number.
    pub unit: &'static str,
    /// Lowest usable value.
    pub min: f64,
    /// Highest usable value.
    pub max: f64,
}

/// A value outside the range in which a formula holds.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{what} is {value}{}, expected {}", gap(.unit), span(*.min, *.max, .unit))]
pub struct OutOfRange {
    /// What the quantity is.
    pub what: &'static str,
    /// Unit, empty for a plain number.
    pub unit: &'static str,
    /// Lowest usable value.
    pub min: f64,
    /// Highest usable value.
    pub max: f64,
    /// Value met.
    pub value: f64,
}

/// A unit with a space before it, or nothing for a plain number.
fn gap(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

/// The ends of a range in words, with the unit.
fn span(min: f64, max: f64, unit: &str) -> String {
    if max == f64::MAX {
        format!("{min}{} or more", gap(unit))
    } else {
        format!("{min} to {max}{}", gap(unit))
    }
}

impl Range {
    /// A range, both ends usable.
    pub const fn new(what: &'static str, unit: &'static str, min: f64, max: f64) -> Self {
        Self { what, unit, min, max }
    }

    /// The value itself when it lies in the range; not-a-number never does.
    ///
    /// ```
    /// use jarlight_rules::reading::Range;
    /// let room = Range::new("temperature", "°C", 5.0, 45.0);
    /// assert_eq!(room.check(25.0), Ok(25.0));
    /// assert_eq!(
    ///     room.check(90.0).unwrap_err().to_string(),
    ///     "temperature is 90 °C, expected 5 to 45 °C"
    /// );
    /// ```
    pub fn check(&self, value: f64) -> Result<f64, OutOfRange> {
        if value >= self.min && value <= self.max { Ok(value) } else { Err(self.refuse(value)) }
    }

    /// The refusal of a value.
    pub fn refuse(&self, value: f64) -> OutOfRange {
        let Self { what, unit, min, max } = *self;
        OutOfRange { what, unit, min, max, value }
    }

    /// The range in words, such as `temperature 5 to 45 °C`.
    pub fn words(&self) -> String {
        format!("{} {}", self.what, span(self.min, self.max, self.unit))
    }
}

/// Where a rising function reaches a target between two ends, by halving.
///
/// The caller has checked that the target lies between the values at the ends.
pub(crate) fn reach(target: f64, mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    // Ninety halvings leave less than one unit in the last place of any range used here.
    for _ in 0..90 {
        let middle = 0.5 * (low + high);
        if rising(middle) < target {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_ends_are_usable_and_nothing_beyond() {
        let range = Range::new("share", "", 0.0, 1.0);
        assert!(range.check(0.0).is_ok() && range.check(1.0).is_ok());
        assert!(range.check(-1e-9).is_err() && range.check(1.0 + 1e-9).is_err());
        assert!(range.check(f64::NAN).is_err() && range.check(f64::INFINITY).is_err());
    }

    #[test]
    fn halving_finds_a_root() {
        let root = reach(2.0, 0.0, 2.0, |x| x * x);
        assert!((root - core::f64::consts::SQRT_2).abs() < 1e-15);
    }
}
