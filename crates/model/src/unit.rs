//! Units and ranges: severity, grade, and the one way lengths and temperatures are shown.

use crate::{
    authored::{Authored, Node, Reader, Shape},
    diag::Code,
};

/// How far a condition has gone: 0 is not there, 1 is the worst we draw.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Severity(f64);

/// A value outside the range that makes sense.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{what} must be from {min} to {max}, met {value}")]
pub struct OutOfRange {
    /// What the value is.
    pub what: &'static str,
    /// Smallest allowed value.
    pub min: f64,
    /// Largest allowed value.
    pub max: f64,
    /// The value met.
    pub value: f64,
}

impl Severity {
    /// Accepts 0 to 1.
    pub fn new(value: f64) -> Result<Self, OutOfRange> {
        if (0.0..=1.0).contains(&value) {
            return Ok(Self(value));
        }
        Err(OutOfRange { what: "severity", min: 0.0, max: 1.0, value })
    }

    /// Brings any finite number into 0 to 1.
    pub fn clamped(value: f64) -> Self {
        Self(if value.is_nan() { 0.0 } else { value.clamp(0.0, 1.0) })
    }

    /// The number from 0 to 1.
    pub const fn value(self) -> f64 {
        self.0
    }

    /// The grade shown to people: 5 × severity rounded, halves up, at least 1 when drawn.
    pub fn grade(self) -> Grade {
        let g = libm::floor(5.0 * self.0 + 0.5) as u8;
        Grade(if self.0 > 0.0 { g.max(1) } else { 0 })
    }
}

impl Authored for Severity {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let value = f64::read(node, cx)?;
        match Self::new(value) {
            Ok(s) => Some(s),
            Err(e) => {
                cx.error(Code::OutOfRange, node.at.clone(), e.to_string());
                None
            }
        }
    }
    fn shape() -> Shape {
        Shape::Number
    }
}

/// An ordinal step from 0 (not there) to 5 (extreme).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Grade(u8);

impl Grade {
    /// Not there.
    pub const NONE: Self = Self(0);
    /// The grade that counts as "present" where only yes or no is asked.
    pub const PRESENT: Self = Self(3);

    /// Accepts 0 to 5.
    pub fn new(value: u8) -> Result<Self, OutOfRange> {
        if value <= 5 {
            return Ok(Self(value));
        }
        Err(OutOfRange { what: "grade", min: 0.0, max: 5.0, value: f64::from(value) })
    }

    /// The step as a number.
    pub const fn value(self) -> u8 {
        self.0
    }

    /// The key of the word for it, such as `grade-3`, for the message file.
    pub fn text_id(self) -> String {
        format!("grade-{}", self.0)
    }

    /// The middle of the severities that have this grade.
    pub fn severity(self) -> Severity {
        Severity(f64::from(self.0) / 5.0)
    }
}

/// Which units a person reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Units {
    /// Millimetres and degrees Celsius.
    #[default]
    Metric,
    /// Inches and degrees Fahrenheit.
    Inch,
}

/// A length given in millimetres, as text.
pub fn length_text(mm: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", trimmed(mm, 1)),
        Units::Inch => format!("{} in", trimmed(mm / 25.4, 3)),
    }
}

/// A temperature given in degrees Celsius, as text.
pub fn temperature_text(celsius: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} °C", trimmed(celsius, 1)),
        Units::Inch => format!("{} °F", trimmed(celsius * 1.8 + 32.0, 1)),
    }
}

/// An age or a time in months, in the unit a person would use.
pub fn months_text(months: f64) -> String {
    if months < 1.0 {
        let days = libm::round(months * 30.4375).max(1.0);
        return if days == 1.0 { "1 day".to_owned() } else { format!("{days:.0} days") };
    }
    if months < 24.0 {
        let m = libm::round(months);
        return if m == 1.0 { "1 month".to_owned() } else { format!("{m:.0} months") };
    }
    let years = libm::round(months / 6.0) / 2.0;
    format!("{} years", trimmed(years, 1))
}

/// A number with at most so many decimals and no trailing zeros.
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    };
    if text == "-0" { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn severity_above_one_is_refused() {
        assert!(Severity::new(1.01).is_err());
        assert!(Severity::new(f64::NAN).is_err());
    }

    #[test]
    fn halves_round_up_and_anything_drawn_has_a_grade() {
        let grade = |s| Severity::new(s).unwrap().grade().value();
        assert_eq!([0.0, 0.01, 0.3, 0.5, 0.6, 0.69, 0.7, 1.0].map(grade), [0, 1, 2, 3, 3, 3, 4, 5]);
    }

    #[test]
    fn lengths_and_times_read_well() {
        assert_eq!(length_text(6.40, Units::Metric), "6.4 mm");
        assert_eq!(length_text(25.4, Units::Inch), "1 in");
        assert_eq!(temperature_text(25.0, Units::Inch), "77 °F");
        assert_eq!(months_text(0.25), "8 days");
        assert_eq!(months_text(30.0), "2.5 years");
    }
}
