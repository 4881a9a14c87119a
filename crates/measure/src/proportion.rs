//! Intervals of a proportion.

use crate::estimate::{Estimate, Undefined};
use crate::normal::Z95;

/// Share of successes with the Wilson score interval at 95 %, without continuity correction.
///
/// # Source
/// Wilson 1927, formula as in Newcombe 1998, Statistics in Medicine 17:857-872, method 3.
pub fn wilson(successes: u32, n: u32) -> Result<Estimate, Undefined> {
    counted(successes, n)?;
    let (count, p) = (f64::from(n), f64::from(successes) / f64::from(n));
    let square = Z95 * Z95;
    let middle = p + square / (2.0 * count);
    let reach = Z95 * libm::sqrt(p * (1.0 - p) / count + square / (4.0 * count * count));
    let scale = 1.0 + square / count;
    Ok(Estimate {
        value: p,
        // At the ends the formula leaves a trace of rounding beyond 0 and 1.
        low: if successes == 0 { 0.0 } else { (middle - reach) / scale },
        high: if successes == n { 1.0 } else { (middle + reach) / scale },
        n,
        method: "Wilson 95 %",
    })
}

fn counted(successes: u32, n: u32) -> Result<(), Undefined> {
    if n == 0 {
        return Err(Undefined::TooFew { needed: 1, met: 0 });
    }
    if successes > n {
        return Err(Undefined::Contradictory("more successes than attempts"));
    }
    Ok(())
}

/// Exact upper bound of a share at a one-sided level such as 0.95.
///
/// # Source
/// Clopper and Pearson 1934: the share at which so few successes have chance 1 − level.
pub fn exact_upper(successes: u32, n: u32, level: f64) -> Result<f64, Undefined> {
    counted(successes, n)?;
    if !(level > 0.0 && level < 1.0) {
        return Err(Undefined::OutOfRange("level, expected between 0 and 1"));
    }
    if successes == n {
        return Ok(1.0);
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if at_most(successes, n, middle) > 1.0 - level {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(0.5 * (low + high))
}

/// Chance of at most so many successes.
///
/// # Source
/// Binomial distribution.
pub fn at_most(successes: u32, n: u32, share: f64) -> f64 {
    (0..=successes.min(n)).map(|k| exactly(k, n, share)).sum::<f64>().min(1.0)
}

/// Chance of exactly so many successes.
///
/// # Source
/// Binomial distribution, through log factorials.
pub fn exactly(successes: u32, n: u32, share: f64) -> f64 {
    if successes > n {
        return 0.0;
    }
    let (k, rest) = (f64::from(successes), f64::from(n - successes));
    let fact = |m: f64| libm::lgamma(m + 1.0);
    // Zero times the log of zero counts as nothing here.
    let part = |m: f64, log: f64| if m == 0.0 { 0.0 } else { m * log };
    let log = fact(k + rest) - fact(k) - fact(rest)
        + part(k, libm::log(share))
        + part(rest, libm::log1p(-share));
    libm::exp(log)
}

/// Usual range of successes when each has a known chance: the 2.5 and 97.5 % points.
///
/// # Source
/// Binomial distribution.
pub fn usual_range(n: u32, share: f64) -> (u32, u32) {
    let mut sum = 0.0;
    let (mut low, mut high) = (None, n);
    for k in 0..=n {
        sum += exactly(k, n, share);
        if low.is_none() && sum >= 0.025 {
            low = Some(k);
        }
        if sum >= 0.975 {
            high = k;
            break;
        }
    }
    (low.unwrap_or(0), high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_attempts_have_no_share() {
        assert_eq!(wilson(0, 0), Err(Undefined::TooFew { needed: 1, met: 0 }));
        assert!(wilson(3, 2).is_err() && exact_upper(3, 2, 0.95).is_err());
    }

    #[test]
    fn the_interval_holds_the_share_and_mirrors() {
        for n in [1, 2, 7, 30, 400] {
            for k in 0..=n {
                let (met, other) = (wilson(k, n).unwrap(), wilson(n - k, n).unwrap());
                assert!(0.0 <= met.low && met.low <= met.value);
                assert!(met.value <= met.high && met.high <= 1.0);
                assert!((met.low - (1.0 - other.high)).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn chances_of_all_counts_sum_to_one() {
        for share in [0.0, 0.3, 1.0] {
            assert!((at_most(12, 12, share) - 1.0).abs() < 1e-12);
        }
    }
}
