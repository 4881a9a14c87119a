//! Trends of a reading over time, and the odd one out among many.
//!
//! Baselines taken in the first six months are not baselines, and dates must be true dates:
//! both are the caller's business.

use super::range::{OutOfRange, Range};

/// Readings that a straight line needs.
pub const POINTS: Range = Range::new("readings", "", 3.0, 10_000.0);
/// Spread of the dates, relative to their size.
const SPREAD: Range = Range::new("spread of the dates", "", 1e-12, f64::MAX);

/// A straight line through readings, with what is needed for its intervals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Rise for each unit of time.
    pub slope: f64,
    /// Value at time zero.
    pub intercept: f64,
    /// Standard error of the slope.
    pub slope_se: f64,
    /// Standard error of the intercept.
    pub intercept_se: f64,
    /// Spread of the readings around the line.
    pub residual_sd: f64,
    /// Correlation of time and reading; `None` when the readings are all alike.
    pub r: Option<f64>,
    /// Readings used.
    pub n: usize,
    mean_x: f64,
    sum_xx: f64,
}

/// The straight line of least squares through readings at given times.
///
/// # Source
/// Textbook sums about the means.
pub fn line(x: &[f64], y: &[f64]) -> Result<Line, OutOfRange> {
    let n = x.len().min(y.len());
    POINTS.check(n as f64)?;
    let (x, y) = (&x[..n], &y[..n]);
    let (mean_x, mean_y) = (mean(x), mean(y));
    let sum = |f: &dyn Fn(f64, f64) -> f64| -> f64 {
        x.iter().zip(y).map(|(x, y)| f(x - mean_x, y - mean_y)).sum()
    };
    let (sum_xx, sum_xy, sum_yy) = (sum(&|a, _| a * a), sum(&|a, b| a * b), sum(&|_, b| b * b));
    SPREAD.check(sum_xx)?;
    let slope = sum_xy / sum_xx;
    let intercept = mean_y - slope * mean_x;
    let left: f64 = x
        .iter()
        .zip(y)
        .map(|(x, y)| {
            let off = y - mean_y - slope * (x - mean_x);
            off * off
        })
        .sum();
    let residual_sd = libm::sqrt(left / (n as f64 - 2.0));
    let root = libm::sqrt(sum_xx);
    Ok(Line {
        slope,
        intercept,
        slope_se: residual_sd / root,
        intercept_se: residual_sd * libm::sqrt(1.0 / n as f64 + mean_x * mean_x / sum_xx),
        residual_sd,
        r: (sum_yy > 0.0).then(|| sum_xy / libm::sqrt(sum_xx * sum_yy)),
        n,
        mean_x,
        sum_xx,
    })
}

impl Line {
    /// Degrees of freedom left.
    fn freedom(&self) -> f64 {
        self.n as f64 - 2.0
    }

    /// Lower and upper end of the 95 % interval of the slope.
    pub fn slope_interval(&self) -> (f64, f64) {
        let reach = t_quantile_975(self.freedom()) * self.slope_se;
        (self.slope - reach, self.slope + reach)
    }

    /// Value of the line at a time.
    pub fn at(&self, x: f64) -> f64 {
        self.intercept + self.slope * x
    }

    /// Standard error of one new reading at a time.
    pub fn reading_se(&self, x: f64) -> f64 {
        let off = x - self.mean_x;
        self.residual_sd * libm::sqrt(1.0 + 1.0 / self.n as f64 + off * off / self.sum_xx)
    }

    /// Lower and upper end of the 95 % interval for one new reading at a time.
    pub fn reading_interval(&self, x: f64) -> (f64, f64) {
        let reach = t_quantile_975(self.freedom()) * self.reading_se(x);
        (self.at(x) - reach, self.at(x) + reach)
    }

    /// Time at which the line reaches a limit; `None` when it is level.
    pub fn reaches(&self, limit: f64) -> Option<f64> {
        (self.slope != 0.0).then(|| (limit - self.intercept) / self.slope)
    }

    /// Chance of a slope this far from level when there is no trend, both sides.
    pub fn p_value(&self) -> f64 {
        if self.slope_se == 0.0 {
            return if self.slope == 0.0 { 1.0 } else { 0.0 };
        }
        2.0 * t_upper(self.slope.abs() / self.slope_se, self.freedom())
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Middle value; the mean of the two middle ones for an even count. `NaN` for none.
fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    match (half.checked_sub(1).and_then(|i| values.get(i)), values.get(half)) {
        (Some(a), Some(b)) if values.len().is_multiple_of(2) => 0.5 * (a + b),
        (_, Some(b)) => *b,
        _ => f64::NAN,
    }
}

/// A straight line that single wild readings do not pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Robust {
    /// Median of the slopes between all pairs.
    pub slope: f64,
    /// Value at time zero, through the medians.
    pub intercept: f64,
    /// Lower and upper end of the 95 % interval of the slope.
    pub slope_interval: (f64, f64),
}

/// Median slope of all pairs of readings.
///
/// # Source
/// Theil 1950, Sen 1968; interval by the normal approximation, with ties counted.
pub fn robust_line(x: &[f64], y: &[f64]) -> Result<Robust, OutOfRange> {
    let n = x.len().min(y.len());
    POINTS.check(n as f64)?;
    let (x, y) = (&x[..n], &y[..n]);
    let mut slopes = Vec::new();
    for (i, (xi, yi)) in x.iter().zip(y).enumerate() {
        for (xj, yj) in x.iter().zip(y).skip(i + 1) {
            if xj != xi {
                slopes.push((yj - yi) / (xj - xi));
            }
        }
    }
    SPREAD.check(slopes.len() as f64)?;
    slopes.sort_by(f64::total_cmp);
    let slope = median(slopes.clone());
    let intercept = median(y.to_vec()) - slope * median(x.to_vec());
    let variance = concordance_variance(x, y);
    let half_width = 1.959_963_984_540_054 * libm::sqrt(variance);
    let count = slopes.len() as f64;
    let low = libm::rint((count - half_width) / 2.0) - 1.0;
    let high = libm::rint((count + half_width) / 2.0);
    let pick = |at: f64| slopes[at.clamp(0.0, count - 1.0) as usize];
    Ok(Robust { slope, intercept, slope_interval: (pick(low), pick(high)) })
}

/// Variance of the count of rising minus falling pairs when there is no trend, ties counted.
fn concordance_variance(x: &[f64], y: &[f64]) -> f64 {
    let n = x.len() as f64;
    let ties = |values: &[f64]| -> f64 {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        sorted
            .chunk_by(|a, b| a == b)
            .map(|run| run.len() as f64)
            .map(|k| k * (k - 1.0) * (2.0 * k + 5.0))
            .sum()
    };
    (n * (n - 1.0) * (2.0 * n + 5.0) - ties(x) - ties(y)) / 18.0
}

/// Rank correlation of time and reading, and its exact two-sided chance without a trend.
///
/// # Source
/// Kendall 1938; counts of permutations by inversions, valid without ties.
pub fn rank_trend(x: &[f64], y: &[f64]) -> Result<(f64, f64), OutOfRange> {
    let n = x.len().min(y.len());
    Range { max: 150.0, ..POINTS }.check(n as f64)?;
    let (mut falling, mut rising) = (0_usize, 0_usize);
    for i in 0..n {
        for j in i + 1..n {
            let product = (x[j] - x[i]) * (y[j] - y[i]);
            if product < 0.0 {
                falling += 1;
            } else if product > 0.0 {
                rising += 1;
            }
        }
    }
    let pairs = n * (n - 1) / 2;
    Range::new("pairs without a tie", "", pairs as f64, pairs as f64)
        .check((falling + rising) as f64)?;
    // Share of the orders of n readings that have so many falling pairs.
    let mut share = vec![1.0];
    for k in 2..=n {
        let mut next = vec![0.0; share.len() + k - 1];
        for (i, p) in share.iter().enumerate() {
            for slot in &mut next[i..i + k] {
                *slot += p / k as f64;
            }
        }
        share = next;
    }
    let tail: f64 = share.iter().take(falling.min(rising) + 1).sum();
    Ok(((rising as f64 - falling as f64) / pairs as f64, f64::min(1.0, 2.0 * tail)))
}

/// Smoothed last value: each reading pulls the value towards itself by a share.
///
/// # Source
/// Exponentially weighted moving average, begun at the first reading.
pub fn smoothed(readings: &[f64], share: f64) -> Result<f64, OutOfRange> {
    Range::new("share of the newest reading", "", 0.01, 1.0).check(share)?;
    Range { min: 1.0, ..POINTS }.check(readings.len() as f64)?;
    let (first, rest) = readings.split_at(1);
    Ok(rest.iter().fold(first[0], |kept, y| kept + share * (y - kept)))
}

/// Upper cumulative sums in standard deviations over a target, and where they pass an alarm.
///
/// # Source
/// Page 1954: S = max(0, S + (reading − target)/deviation − slack).
pub fn rising_sums(
    readings: &[f64],
    target: f64,
    deviation: f64,
    slack: f64,
) -> Result<Vec<f64>, OutOfRange> {
    Range::new("standard deviation", "", 1e-12, f64::MAX).check(deviation)?;
    Range::new("slack", "standard deviations", 0.0, 5.0).check(slack)?;
    let mut sum = 0.0;
    Ok(readings
        .iter()
        .map(|y| {
            sum = f64::max(0.0, sum + (y - target) / deviation - slack);
            sum
        })
        .collect())
}

/// First place where a sum passes an alarm; a sum that only equals it does not.
pub fn alarm(sums: &[f64], alarm: f64) -> Option<usize> {
    sums.iter().position(|s| *s > alarm + 1e-9)
}

/// How one value stands among its string.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Distance from the median in robust deviations; `None` when the string has no spread.
    pub robust_z: Option<f64>,
    /// Distance from the mean in standard deviations; `None` when the string has no spread.
    pub z: Option<f64>,
    /// Grubbs' critical distance at 5 %, both sides.
    pub critical: f64,
}

/// How one value of a string stands among all of them, itself included.
///
/// # Source
/// Median and median deviation times 1.4826; Grubbs 1969 for the critical distance.
pub fn standing(string: &[f64], value: f64) -> Result<Standing, OutOfRange> {
    let n = string.len() as f64;
    Range::new("cells in the string", "", 3.0, 480.0).check(n)?;
    let middle = median(string.to_vec());
    let spread = 1.4826 * median(string.iter().map(|v| (v - middle).abs()).collect());
    let mean = mean(string);
    let squares: f64 = string.iter().map(|v| (v - mean) * (v - mean)).sum();
    let sd = libm::sqrt(squares / (n - 1.0));
    let t = t_quantile(1.0 - 0.05 / (2.0 * n), n - 2.0);
    Ok(Standing {
        robust_z: (spread > 0.0).then(|| (value - middle) / spread),
        // Equal values leave a trace of rounding in the mean, which is no spread.
        z: (sd > 1e-12 * mean.abs()).then(|| (value - mean) / sd),
        critical: (n - 1.0) / libm::sqrt(n) * libm::sqrt(t * t / (n - 2.0 + t * t)),
    })
}

/// Chance that at least so many of a string fail, each with the same chance.
///
/// # Source
/// Binomial distribution.
pub fn at_least(cells: u32, fails: u32, each: f64) -> Result<f64, OutOfRange> {
    super::voltage::CELLS.check(f64::from(cells))?;
    super::gravity::PART.check(each)?;
    let mut below = 0.0;
    let mut ways = 1.0;
    for k in 0..fails.min(cells + 1) {
        let good = libm::pow(1.0 - each, f64::from(cells - k));
        below += ways * libm::pow(each, f64::from(k)) * good;
        ways *= f64::from(cells - k) / f64::from(k + 1);
    }
    Ok(f64::max(0.0, 1.0 - below))
}

/// Upper tail of Student's t.
fn t_upper(t: f64, freedom: f64) -> f64 {
    0.5 * incomplete_beta(0.5 * freedom, 0.5, freedom / (freedom + t * t))
}

/// Quantile of Student's t above the middle, by halving.
fn t_quantile(p: f64, freedom: f64) -> f64 {
    super::range::reach(p, 0.0, 1e4, |t| 1.0 - t_upper(t, freedom))
}

/// The 97.5 % quantile of Student's t.
fn t_quantile_975(freedom: f64) -> f64 {
    t_quantile(0.975, freedom)
}

/// Regularised incomplete beta function.
///
/// # Source
/// Continued fraction of Lentz, as in numerical textbooks.
fn incomplete_beta(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return x.clamp(0.0, 1.0);
    }
    let log_front = libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b)
        + a * libm::log(x)
        + b * libm::log1p(-x);
    // The fraction converges fast only below the mean; the other side is its mirror image.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta(b, a, 1.0 - x);
    }
    let keep = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / keep(1.0 - (a + b) * x / (a + 1.0));
    let mut fraction = d;
    for m in 1..500 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        for step in [even, odd] {
            d = 1.0 / keep(1.0 + step * d);
            c = keep(1.0 + step / c);
            fraction *= d * c;
        }
        if (d * c - 1.0).abs() < 1e-16 {
            break;
        }
    }
    libm::exp(log_front) * fraction / a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_readings_make_no_trend() {
        assert!(line(&[0.0, 1.0], &[2.0, 3.0]).is_err());
        assert!(line(&[1.0, 1.0, 1.0], &[2.0, 3.0, 4.0]).is_err());
    }

    #[test]
    fn equal_readings_divide_nothing_by_zero() {
        let level = line(&[0.0, 1.0, 2.0], &[5.0; 3]).unwrap();
        assert_eq!((level.slope, level.r, level.reaches(6.0)), (0.0, None, None));
        let standing = standing(&[2.2; 6], 2.2).unwrap();
        assert_eq!((standing.robust_z, standing.z), (None, None));
    }

    #[test]
    fn tied_readings_have_no_exact_rank_chance() {
        assert!(rank_trend(&[0.0, 1.0, 2.0], &[1.0, 1.0, 2.0]).is_err());
    }

    #[test]
    fn more_failures_than_cells_never_happen() {
        assert_eq!(at_least(3, 4, 1.0), Ok(0.0));
        assert_eq!(at_least(3, 0, 0.5), Ok(1.0));
    }
}
