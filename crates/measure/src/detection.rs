//! Telling abnormal from normal, apart from being quick to say "yes".

use crate::estimate::{Estimate, Undefined};
use crate::normal::{Z95, below, density, quantile};

/// Outcomes of yes-or-no questions about pictures with and without a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outcomes {
    /// "Yes" where there was one.
    pub hits: u32,
    /// "No" where there was one.
    pub misses: u32,
    /// "Yes" where there was none.
    pub false_alarms: u32,
    /// "No" where there was none.
    pub correct_rejections: u32,
}

/// Whether rates are taken as they are or kept off 0 and 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Correction {
    /// Plain rates; rates of 0 or 1 have no result.
    None,
    /// Half an outcome added to each count. Applied always, not only to extreme rates.
    LogLinear,
}

/// What yes-or-no outcomes say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Detection {
    /// Share of "yes" where there was one.
    pub hit_rate: f64,
    /// Share of "yes" where there was none.
    pub false_alarm_rate: f64,
    /// d′: how far apart abnormal and normal look, 0 for guessing.
    pub sensitivity: Estimate,
    /// Standard error of d′.
    pub sensitivity_se: f64,
    /// Criterion: above 0 slow to say "yes", under 0 quick.
    pub criterion: f64,
    /// Likelihood ratio at the criterion; unusable near d′ = 0.
    pub beta: f64,
}

impl Outcomes {
    /// Hit rate and false-alarm rate.
    pub fn rates(&self, correction: Correction) -> Result<(f64, f64), Undefined> {
        let (signals, blanks) = (self.signals(), self.blanks());
        if signals == 0 || blanks == 0 {
            return Err(Undefined::TooFew { needed: 1, met: 0 });
        }
        let (half, one) = match correction {
            Correction::None => (0.0, 0.0),
            Correction::LogLinear => (0.5, 1.0),
        };
        Ok((
            (f64::from(self.hits) + half) / (f64::from(signals) + one),
            (f64::from(self.false_alarms) + half) / (f64::from(blanks) + one),
        ))
    }

    /// Pictures with a finding.
    pub fn signals(&self) -> u32 {
        self.hits.saturating_add(self.misses)
    }

    /// Pictures without one.
    pub fn blanks(&self) -> u32 {
        self.false_alarms.saturating_add(self.correct_rejections)
    }

    /// Sensitivity and criterion.
    ///
    /// # Source
    /// d′ = z(H) − z(F), c = −(z(H) + z(F))/2, ln β = d′·c; variance of Gourevitch and Galanter
    /// 1967; log-linear correction of Hautus 1995.
    pub fn detection(&self, correction: Correction) -> Result<Detection, Undefined> {
        let (h, f) = self.rates(correction)?;
        let extreme = Undefined::OutOfRange("a rate of 0 or 1 without correction");
        let (zh, zf) = (quantile(h).ok_or(extreme)?, quantile(f).ok_or(extreme)?);
        let one = if correction == Correction::LogLinear { 1.0 } else { 0.0 };
        let share = |rate: f64, n: u32, z: f64| {
            rate * (1.0 - rate) / ((f64::from(n) + one) * density(z) * density(z))
        };
        let value = zh - zf;
        let criterion = -0.5 * (zh + zf);
        let se = libm::sqrt(share(h, self.signals(), zh) + share(f, self.blanks(), zf));
        Ok(Detection {
            hit_rate: h,
            false_alarm_rate: f,
            sensitivity: Estimate {
                value,
                low: value - Z95 * se,
                high: value + Z95 * se,
                n: self.signals().saturating_add(self.blanks()),
                method: match correction {
                    Correction::None => "d', normal 95 %",
                    Correction::LogLinear => "d', log-linear, normal 95 %",
                },
            },
            sensitivity_se: se,
            criterion,
            beta: libm::exp(value * criterion),
        })
    }
}

/// A′ from a hit rate and a false-alarm rate: 0.5 for guessing, 1 at best.
///
/// # Source
/// Grier 1971, mirrored for rates the wrong way round.
pub fn a_prime(h: f64, f: f64) -> Result<f64, Undefined> {
    rate(h)?;
    rate(f)?;
    let arm = |h: f64, f: f64| (h - f) * (1.0 + h - f) / (4.0 * h * (1.0 - f));
    Ok(match h.total_cmp(&f) {
        core::cmp::Ordering::Greater => 0.5 + arm(h, f),
        core::cmp::Ordering::Less => 0.5 - arm(f, h),
        core::cmp::Ordering::Equal => 0.5,
    })
}

/// A from a hit rate and a false-alarm rate, the mean of the possible areas under a curve.
///
/// # Source
/// Zhang and Mueller 2005, from memory; mirrored for rates the wrong way round.
pub fn a_mean(h: f64, f: f64) -> Result<f64, Undefined> {
    rate(h)?;
    rate(f)?;
    if h < f {
        return Ok(1.0 - a_mean(f, h)?);
    }
    let middle = 0.75 + (h - f) / 4.0;
    Ok(if f <= 0.5 && 0.5 <= h {
        middle - f * (1.0 - h)
    } else if h < 0.5 {
        middle - if h == 0.0 { 0.25 } else { f / (4.0 * h) }
    } else {
        middle - if f == 1.0 { 0.25 } else { (1.0 - h) / (4.0 * (1.0 - f)) }
    })
}

fn rate(value: f64) -> Result<f64, Undefined> {
    if (0.0..=1.0).contains(&value) {
        Ok(value)
    } else {
        Err(Undefined::OutOfRange("a rate, expected 0 to 1"))
    }
}

/// Area under the curve that d′ stands for, with equal spread.
///
/// # Source
/// Φ(d′/√2).
pub fn area(sensitivity: f64) -> f64 {
    below(sensitivity / core::f64::consts::SQRT_2)
}

/// Criterion that costs least at a share of abnormal pictures and a price of errors.
///
/// # Source
/// c* = [ln((1 − π)/π) + ln(cost of a false alarm / cost of a miss)] / d′.
pub fn best_criterion(
    sensitivity: f64,
    abnormal: f64,
    false_alarm_cost: f64,
    miss_cost: f64,
) -> Result<f64, Undefined> {
    if sensitivity <= 0.0 || !(abnormal > 0.0 && abnormal < 1.0) {
        return Err(Undefined::OutOfRange("d' above 0 and a share between 0 and 1"));
    }
    if !(false_alarm_cost > 0.0 && miss_cost > 0.0) {
        return Err(Undefined::OutOfRange("costs above 0"));
    }
    let log = libm::log((1.0 - abnormal) / abnormal) + libm::log(false_alarm_cost / miss_cost);
    Ok(log / sensitivity)
}

/// Share right when the one abnormal picture of `m` has to be named.
///
/// # Source
/// ∫ φ(x − d′) Φ(x)^(m−1) dx, by composite Gauss-Legendre of five points.
pub fn share_right(sensitivity: f64, m: u32) -> Result<f64, Undefined> {
    if m < 2 {
        return Err(Undefined::TooFew { needed: 2, met: m });
    }
    if !(-8.0..=16.0).contains(&sensitivity) {
        return Err(Undefined::OutOfRange("d', expected -8 to 16"));
    }
    Ok(integrate(sensitivity - 8.0, sensitivity + 8.0, |x| {
        density(x - sensitivity) * libm::pow(below(x), f64::from(m - 1))
    }))
}

/// d′ from the share right of a choice among `m`.
///
/// # Source
/// [`share_right`] solved by halving between −3 and 8.
pub fn from_share_right(share: f64, m: u32) -> Result<f64, Undefined> {
    let (mut low, mut high) = (-3.0, 8.0);
    if share < share_right(low, m)? || share > share_right(high, m)? {
        return Err(Undefined::OutOfRange("a share right that d' of -3 to 8 gives"));
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if share_right(middle, m)? < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(0.5 * (low + high))
}

/// Integral of a smooth function over 40 strips of five Gauss-Legendre points.
fn integrate(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    const POINTS: [(f64, f64); 5] = [
        (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
        (-0.538_469_310_105_683, 0.478_628_670_499_366_5),
        (0.0, 0.568_888_888_888_888_9),
        (0.538_469_310_105_683, 0.478_628_670_499_366_5),
        (0.906_179_845_938_664, 0.236_926_885_056_189_1),
    ];
    let half = (to - from) / 80.0;
    (0..40)
        .map(|strip| {
            let middle = from + half * (2.0 * f64::from(strip) + 1.0);
            POINTS.iter().map(|(x, weight)| weight * f(middle + half * x)).sum::<f64>() * half
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outcomes(h: u32, m: u32, f: u32, c: u32) -> Outcomes {
        Outcomes { hits: h, misses: m, false_alarms: f, correct_rejections: c }
    }

    #[test]
    fn corrected_sensitivity_is_finite_for_every_table() {
        for h in 0..=6 {
            for f in 0..=6 {
                let met = outcomes(h, 6 - h, f, 6 - f).detection(Correction::LogLinear).unwrap();
                assert!(met.sensitivity.value.is_finite() && met.criterion.is_finite());
                // Swapping what counts as abnormal keeps d′ and flips the criterion.
                let swapped =
                    outcomes(6 - f, f, 6 - h, h).detection(Correction::LogLinear).unwrap();
                assert!((met.sensitivity.value - swapped.sensitivity.value).abs() < 1e-12);
                assert!((met.criterion + swapped.criterion).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn plain_rates_of_none_or_all_have_no_result() {
        assert!(outcomes(10, 0, 0, 10).detection(Correction::None).is_err());
        assert!(outcomes(0, 0, 3, 7).detection(Correction::LogLinear).is_err());
    }

    #[test]
    fn rates_the_wrong_way_round_mirror() {
        assert!((a_mean(0.2, 0.7).unwrap() + a_mean(0.7, 0.2).unwrap() - 1.0).abs() < 1e-12);
        assert!((a_prime(0.2, 0.7).unwrap() + a_prime(0.7, 0.2).unwrap() - 1.0).abs() < 1e-12);
    }
}
