//! A number with its uncertainty, or the reason why there is none.

use core::fmt;

/// An estimate with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Best value.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
    /// How many attempts, pictures or units it rests on.
    pub n: u32,
    /// How value and interval were worked out.
    pub method: &'static str,
}

/// Why there is no estimate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Undefined {
    /// Not enough attempts, pictures or units.
    TooFew {
        /// How many it takes.
        needed: u32,
        /// How many there are.
        met: u32,
    },
    /// All values are alike, so nothing can be compared.
    NoSpread,
    /// Counts or shares that contradict one another.
    Contradictory(&'static str),
    /// A value outside what the method takes.
    OutOfRange(&'static str),
    /// A search that did not settle.
    NotSettled,
}

impl fmt::Display for Estimate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { value, low, high, n, .. } = self;
        write!(f, "{value:.3} ({low:.3} to {high:.3}, n = {n})")
    }
}

impl fmt::Display for Undefined {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { needed, met } => {
                write!(f, "{met} is too few, expected at least {needed}")
            }
            Self::NoSpread => write!(f, "all values are alike"),
            Self::Contradictory(what) => write!(f, "contradiction: {what}"),
            Self::OutOfRange(what) => write!(f, "out of range: {what}"),
            Self::NotSettled => write!(f, "the search did not settle"),
        }
    }
}

impl core::error::Error for Undefined {}

/// Refuses fewer than so many.
pub(crate) fn at_least(needed: u32, met: usize) -> Result<u32, Undefined> {
    let met = u32::try_from(met).unwrap_or(u32::MAX);
    if met < needed { Err(Undefined::TooFew { needed, met }) } else { Ok(met) }
}

/// Arithmetic mean; not-a-number for none.
pub(crate) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Pearson correlation of pairs.
pub(crate) fn correlation(x: &[f64], y: &[f64]) -> Result<f64, Undefined> {
    let (mean_x, mean_y) = (mean(x), mean(y));
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (x, y) in x.iter().zip(y) {
        let (dx, dy) = (x - mean_x, y - mean_y);
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    // Equal values leave a trace of rounding, which is no spread.
    let flat = |squares: f64, mean: f64| squares <= 1e-20 * (1.0 + mean * mean);
    if flat(xx, mean_x) || flat(yy, mean_y) {
        return Err(Undefined::NoSpread);
    }
    Ok(xy / libm::sqrt(xx * yy))
}
