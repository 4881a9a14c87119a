//! Scores of ages given as an interval, as a point, or as a middle with a spread.

use crate::estimate::Undefined;
use crate::normal::below;

/// A stated central interval and how often it should hold the truth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Chance of missing, such as 0.2 for 10 to 90 %.
    pub miss: f64,
}

impl Stated {
    fn check(&self) -> Result<(), Undefined> {
        if self.low.is_nan() || self.high.is_nan() || self.low > self.high {
            return Err(Undefined::Contradictory("the lower end lies above the upper"));
        }
        if !(self.miss > 0.0 && self.miss < 1.0) {
            return Err(Undefined::OutOfRange("chance of missing, expected between 0 and 1"));
        }
        Ok(())
    }

    /// Width plus what the truth lies outside, weighted by 2/miss; lower is better.
    ///
    /// # Source
    /// Winkler 1972. The sum of the pinball losses of both ends times 2/miss.
    pub fn score(&self, truth: f64) -> Result<f64, Undefined> {
        self.check()?;
        let outside = f64::max(self.low - truth, 0.0) + f64::max(truth - self.high, 0.0);
        Ok(self.high - self.low + 2.0 / self.miss * outside)
    }

    /// The same on the log scale, where ages are compared by ratio. Ages must be above 0.
    ///
    /// # Source
    /// [`Stated::score`] of logarithms.
    pub fn log_score(&self, truth: f64) -> Result<f64, Undefined> {
        if !(self.low > 0.0 && truth > 0.0) {
            return Err(Undefined::OutOfRange("an age, expected above 0"));
        }
        let (low, high) = (libm::log(self.low), libm::log(self.high));
        Self { low, high, ..*self }.score(libm::log(truth))
    }

    /// The log score against a truth that is itself known only between two inspections.
    ///
    /// No penalty when both intervals overlap.
    ///
    /// # Source
    /// [`Stated::log_score`] at the nearest point of the truth.
    pub fn log_score_between(&self, from: f64, to: f64) -> Result<f64, Undefined> {
        self.check()?;
        if from.is_nan() || to.is_nan() || from > to {
            return Err(Undefined::Contradictory("the truth begins after it ends"));
        }
        // Both intervals overlap unless one ends before the other begins.
        let nearest = if to < self.low { to } else { f64::max(from, self.low) };
        self.log_score(nearest)
    }

    /// Gain over the interval that knows nothing; 1 is perfect, under 0 worse than nothing.
    ///
    /// # Source
    /// 1 − log score / log width of the reference.
    pub fn skill(&self, truth: f64, knows_nothing: (f64, f64)) -> Result<f64, Undefined> {
        let (low, high) = knows_nothing;
        if !(low > 0.0 && high > low) {
            return Err(Undefined::OutOfRange("the reference interval"));
        }
        Ok(1.0 - self.log_score(truth)? / libm::log(high / low))
    }

    /// Whether it holds the truth.
    pub fn holds(&self, truth: f64) -> bool {
        self.low <= truth && truth <= self.high
    }
}

/// How many times too old or too young a point estimate is; 1 is exact.
///
/// # Source
/// exp |ln(estimate/truth)|.
pub fn fold_error(estimate: f64, truth: f64) -> Result<f64, Undefined> {
    if !(estimate > 0.0 && truth > 0.0) {
        return Err(Undefined::OutOfRange("an age, expected above 0"));
    }
    Ok(f64::max(estimate / truth, truth / estimate))
}

/// Score of a log-normal age against the truth, in the unit of the age; lower is better.
///
/// # Source
/// Continuous ranked probability score of a log-normal, closed form.
pub fn log_normal_score(log_mean: f64, log_spread: f64, truth: f64) -> Result<f64, Undefined> {
    if !(log_spread > 0.0 && truth > 0.0) {
        return Err(Undefined::OutOfRange("a spread and an age above 0"));
    }
    let w = (libm::log(truth) - log_mean) / log_spread;
    let root = log_spread / core::f64::consts::SQRT_2;
    let middle = libm::exp(log_mean + 0.5 * log_spread * log_spread);
    Ok(truth * (2.0 * below(w) - 1.0) - 2.0 * middle * (below(w - log_spread) + below(root) - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_score_is_the_sum_of_pinball_losses() {
        let pinball = |at: f64, level: f64, truth: f64| {
            if truth >= at { level * (truth - at) } else { (1.0 - level) * (at - truth) }
        };
        let stated = Stated { low: 2.0, high: 6.0, miss: 0.2 };
        for truth in [0.5, 2.0, 4.0, 6.0, 11.0] {
            let losses = pinball(2.0, 0.1, truth) + pinball(6.0, 0.9, truth);
            assert!((stated.score(truth).unwrap() - 10.0 * losses).abs() < 1e-12, "{truth}");
        }
    }

    #[test]
    fn a_truth_that_overlaps_costs_only_the_width() {
        let stated = Stated { low: 2.0, high: 6.0, miss: 0.2 };
        let width = libm::log(3.0);
        for (from, to) in [(1.0, 3.0), (3.0, 4.0), (5.0, 9.0), (1.0, 9.0)] {
            let met = stated.log_score_between(from, to).unwrap();
            assert!((met - width).abs() < 1e-12, "{from} to {to}");
        }
        let apart = stated.log_score_between(8.0, 12.0).unwrap();
        assert!((apart - stated.log_score(8.0).unwrap()).abs() < 1e-12);
    }

    #[test]
    fn turned_intervals_are_refused() {
        assert!(Stated { low: 6.0, high: 2.0, miss: 0.2 }.score(4.0).is_err());
        assert!(Stated { low: 0.0, high: 2.0, miss: 0.2 }.log_score(1.0).is_err());
    }
}
