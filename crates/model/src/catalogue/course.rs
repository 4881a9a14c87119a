//! Growth laws backward: how long it took for a finding to go so far. What comes at once, or does
//! not grow, has no such relation.

use super::Growth;
use crate::unit::Severity;

/// Typical stands at grade 3 of 5 on the straight line of a clock without a law of its own.
const TYPICAL_SEVERITY: f64 = 0.6;

impl Growth {
    /// Months to the first trace, months to grade 5, and power; none for what is no law.
    const fn law(self) -> Option<(f64, f64, f64)> {
        match self {
            Self::Law { t0, t5, power } => Some((t0, t5, power)),
            Self::Clock { typical } => Some((0.0, typical / TYPICAL_SEVERITY, 1.0)),
            Self::Event | Self::Whole | Self::Steady => None,
        }
    }

    /// True when time says how far it has gone.
    pub const fn goes_by_time(self) -> bool {
        self.law().is_some()
    }

    /// The months after which it has gone so far, at 25 °C.
    pub fn months_to(self, severity: Severity) -> Option<f64> {
        let (t0, t5, power) = self.law()?;
        if severity.value() <= 0.0 {
            return Some(0.0);
        }
        Some(t0 + (t5 - t0) * libm::pow(severity.value(), 1.0 / power))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    #[test]
    fn typical_ages_of_the_catalogue_are_those_of_grade_3() {
        let mut laws = 0;
        for c in &Catalogue::builtin().conditions {
            let (Growth::Law { .. }, Some(age)) = (c.growth, c.age) else { continue };
            // What can also come by one event has a typical age of its own.
            if c.also_event {
                continue;
            }
            let months = c.growth.months_to(Severity::clamped(0.6)).unwrap();
            let off = (months - age.typical).abs() / age.typical;
            assert!(off < 0.06, "{}: {months} and {}", c.id.value, age.typical);
            laws += 1;
        }
        assert!(laws > 20, "{laws}");
    }

    #[test]
    fn there_and_back_is_the_same() {
        for c in &Catalogue::builtin().conditions {
            for s in [0.1, 0.35, 0.6, 1.0] {
                let Some(months) = c.growth.months_to(Severity::clamped(s)) else { continue };
                let back = c.growth.severity_after(months, 1.0).unwrap().value();
                assert!((back - s).abs() < 1e-9, "{} {s} {back}", c.id.value);
            }
        }
    }

    #[test]
    fn what_comes_at_once_has_no_clock() {
        for growth in [Growth::Event, Growth::Whole, Growth::Steady] {
            assert_eq!(growth.severity_after(12.0, 1.0), None);
            assert_eq!(growth.months_to(Severity::clamped(0.5)), None);
            assert!(!growth.goes_by_time());
        }
    }

    #[test]
    fn before_its_time_nothing_shows() {
        let law = Growth::Law { t0: 4.0, t5: 60.0, power: 0.9 };
        assert_eq!(law.severity_after(3.9, 1.0).unwrap().value(), 0.0);
        assert_eq!(law.severity_after(300.0, 2.0).unwrap().value(), 1.0);
        assert_eq!(law.months_to(Severity::default()), Some(0.0));
    }
}
