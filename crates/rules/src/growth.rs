//! From growth laws, events and readings to cumulative rows by onset bin.
//!
//! All numbers that come in are estimates of the catalogue; nothing here is a fact of the trade.

use jarlight_model::catalogue::{AgeRow, Growth};

/// Standard deviation of the natural log of how fast a cell is, so that one in ten takes at
/// most half the time and one in ten at least double.
///
/// # Source
/// Estimate.
pub(crate) const SCATTER: f64 = std::f64::consts::LN_2 / 1.281_552;

/// Temperature at which the laws hold, °C.
const REFERENCE: f64 = 25.0;
/// Degrees that double the rate.
///
/// # Source
/// Common practice: each 15 °F (8.3 °C) halves the life.
const DOUBLING: f64 = 8.3;

/// How much faster corrosion, growth and drying go at a temperature in °C.
pub fn rate_at(celsius: f64) -> f64 {
    libm::exp2((celsius - REFERENCE) / DOUBLING)
}

/// One way in which a cause comes to show a finding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Course {
    /// Grows by a law: months before anything shows, months to grade 5, power.
    Law { t0: f64, t5: f64, power: f64 },
    /// Comes at once, visible after so many months, with a share that has not faded yet.
    Event { too_soon: f64, left: f64 },
    /// Wholly there or not at all, visible after so many months.
    Whole { too_soon: f64, left: f64 },
}

impl Course {
    /// How a cause shows a condition.
    ///
    /// `sudden` is true for causes that happen at one moment; `rate` divides every time;
    /// `left` is the share of an event's mark that has not faded.
    pub fn new(growth: Growth, age: Option<AgeRow>, sudden: bool, rate: f64, left: f64) -> Self {
        let too_soon = age.map_or(0.0, |a| a.too_soon) / rate;
        match growth {
            // The law begins later than the mark of a single event could be seen.
            Growth::Law { t0, .. } if sudden && too_soon * rate < t0 => {
                Self::Event { too_soon, left }
            }
            Growth::Law { t0, t5, power } => Self::Law { t0: t0 / rate, t5: t5 / rate, power },
            // Typical is the time to grade 3, which is 0.6 of the way on a straight line.
            Growth::Clock { typical } => {
                Self::Law { t0: 0.0, t5: typical / 0.6 / rate, power: 1.0 }
            }
            Growth::Whole => Self::Whole { too_soon, left },
            Growth::Event | Growth::Steady => Self::Event { too_soon, left },
        }
    }

    /// Chance of at least each grade 1 to 5 when the cause began between two times ago and ever
    /// shows the finding with chance `w`.
    pub fn at_least(&self, from: f64, to: f64, w: f64) -> [f64; 5] {
        match *self {
            Self::Law { t0, t5, power } => std::array::from_fn(|i| {
                let severity = (i as f64 + 0.5) / 5.0;
                let reached = t0 + (t5 - t0) * libm::pow(severity, 1.0 / power);
                w * mean_reached(from, to, reached)
            }),
            Self::Event { too_soon, left } => {
                let seen = w * left * share_after(from, to, too_soon);
                [seen, seen, seen, seen / 2.0, seen / 4.0]
            }
            Self::Whole { too_soon, left } => [w * left * share_after(from, to, too_soon); 5],
        }
    }
}

/// Share of a stretch that lies after a time.
fn share_after(from: f64, to: f64, time: f64) -> f64 {
    ((to - f64::max(from, time)) / (to - from)).clamp(0.0, 1.0)
}

/// Standard normal distribution function.
fn normal(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// Mean over a stretch of the chance that a time scattered about `reached` lies before.
///
/// With z = ln(t / T) / s the integral of Φ(z) over t is t Φ(z) − T exp(s²/2) Φ(z − s).
fn mean_reached(from: f64, to: f64, reached: f64) -> f64 {
    let integral = |t: f64| {
        if t <= 0.0 {
            return 0.0;
        }
        let z = libm::log(t / reached) / SCATTER;
        let spread = libm::exp(SCATTER * SCATTER / 2.0);
        t * normal(z) - reached * spread * normal(z - SCATTER)
    };
    ((integral(to) - integral(from)) / (to - from)).clamp(0.0, 1.0)
}

/// Chances of at most grade 0 to 5, from those of at least grade 1 to 5.
pub(crate) fn cumulative(at_least: [f64; 5]) -> Vec<f64> {
    let mut row: Vec<f64> = Vec::with_capacity(6);
    for p in at_least {
        // Rounding must not let a row fall.
        let last = row.last().copied().unwrap_or(0.0);
        row.push((1.0 - p).clamp(last, 1.0));
    }
    row.push(1.0);
    row
}

/// The leak of a graded finding from its chance of grade 3 or more.
pub(crate) fn leak(grade_3: f64) -> Vec<f64> {
    let below = |factor: f64| f64::min(factor * grade_3, 0.5);
    cumulative([below(4.0), below(2.0), grade_3, grade_3 / 2.0, grade_3 / 4.0])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(course: Course, bin: (f64, f64), w: f64, stated: [f64; 5]) {
        let met = course.at_least(bin.0, bin.1, w);
        for (met, stated) in met.iter().zip(stated) {
            assert!((met - stated).abs() <= 5e-7, "{met} {stated}");
        }
    }

    /// Rows of light sediment and of sparkle, computed independently by the midpoint rule.
    #[test]
    fn rows_have_the_stated_values() {
        let sediment = Course::Law { t0: 4.0, t5: 60.0, power: 0.9 };
        check(sediment, (3.0, 6.0), 0.70, [0.094510, 0.004100, 0.000279, 0.000028, 0.000004]);
        check(sediment, (12.0, 24.0), 0.70, [0.632357, 0.322892, 0.126178, 0.047422, 0.018293]);
        check(sediment, (60.0, 120.0), 0.70, [0.699986, 0.697527, 0.678737, 0.632370, 0.563336]);
        let sparkle = Course::Law { t0: 1.0, t5: 18.0, power: 0.8 };
        check(sparkle, (3.0, 6.0), 0.90, [0.828757, 0.402018, 0.129470, 0.038171, 0.011434]);
    }

    #[test]
    fn the_scatter_halves_and_doubles_one_in_ten() {
        assert!((normal(f64::ln(2.0) / SCATTER) - 0.9).abs() < 1e-6);
    }

    #[test]
    fn warmth_divides_the_times() {
        assert!((rate_at(33.3) - 2.0).abs() < 1e-12);
        let law = Growth::Law { t0: 36.0, t5: 240.0, power: 1.8 };
        let hot = Course::new(law, None, false, 2.0, 1.0);
        assert_eq!(hot, Course::Law { t0: 18.0, t5: 120.0, power: 1.8 });
    }

    #[test]
    fn an_event_shows_at_once_and_its_worst_grades_seldom() {
        let age = AgeRow { lower: 0.0, typical: 198.0, upper: 397.0, too_soon: 0.0 };
        let law = Growth::Law { t0: 72.0, t5: 240.0, power: 1.8 };
        let sudden = Course::new(law, Some(age), true, 1.0, 1.0);
        assert_eq!(sudden.at_least(0.0, 1.0, 0.4), [0.4, 0.4, 0.4, 0.2, 0.1]);
        assert!(Course::new(law, Some(age), false, 1.0, 1.0).at_least(0.0, 1.0, 0.4)[0] < 1e-9);
        let late = Course::Event { too_soon: 0.25, left: 1.0 };
        assert_eq!(late.at_least(0.0, 1.0, 0.4)[2], 0.4 * 0.75);
    }

    #[test]
    fn a_leak_doubles_below_and_halves_above_grade_3() {
        assert_eq!(leak(0.03), [0.88, 0.94, 0.97, 0.985, 0.9925, 1.0]);
        assert_eq!(leak(0.2)[0], 0.5);
    }
}
