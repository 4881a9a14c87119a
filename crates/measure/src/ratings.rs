//! Detection from graded confidence: the curve, its area, and a normal model with two spreads.

use crate::estimate::{Undefined, at_least};
use crate::normal::{below, density, quantile};

/// Counts by confidence, from surest "yes" to surest "no".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ratings {
    /// Pictures with a finding.
    pub signal: Vec<u32>,
    /// Pictures without one.
    pub blank: Vec<u32>,
}

/// One cut between confidence levels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Normal deviate of the hit rate.
    pub z_hit: f64,
    /// Normal deviate of the false-alarm rate.
    pub z_false_alarm: f64,
}

impl Cut {
    /// d′ at this cut.
    pub fn sensitivity(&self) -> f64 {
        self.z_hit - self.z_false_alarm
    }
}

/// Normal model of confidence: blanks have mean 0 and spread 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// Mean of pictures with a finding.
    pub mean: f64,
    /// Spread of pictures with a finding.
    pub spread: f64,
    /// Log likelihood.
    pub log_likelihood: f64,
    /// Borders between levels, from surest "yes" down.
    pub cuts: Vec<f64>,
}

impl Fitted {
    /// Slope of the curve in normal deviates; 1 for equal spread.
    pub fn slope(&self) -> f64 {
        1.0 / self.spread
    }

    /// Distance in units of the mean spread, d_a.
    ///
    /// # Source
    /// √(2/(1 + s²)) · mean, the spread of blanks being 1.
    pub fn distance(&self) -> f64 {
        self.mean * libm::sqrt(2.0 / (1.0 + self.spread * self.spread))
    }

    /// Area under the fitted curve.
    ///
    /// # Source
    /// Φ(d_a/√2).
    pub fn area(&self) -> f64 {
        below(self.distance() / core::f64::consts::SQRT_2)
    }
}

/// Whether the spread of pictures with a finding is free or 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// Estimated.
    Free,
    /// As for blanks.
    Equal,
}

impl Ratings {
    fn check(&self) -> Result<(f64, f64), Undefined> {
        at_least(2, self.signal.len())?;
        if self.signal.len() != self.blank.len() {
            return Err(Undefined::Contradictory("as many levels for both kinds of picture"));
        }
        let sum = |counts: &[u32]| counts.iter().map(|n| f64::from(*n)).sum::<f64>();
        let (signals, blanks) = (sum(&self.signal), sum(&self.blank));
        if signals == 0.0 || blanks == 0.0 {
            return Err(Undefined::TooFew { needed: 1, met: 0 });
        }
        Ok((signals, blanks))
    }

    /// Cuts between levels; those with a rate of 0 or 1 are left out.
    pub fn cuts(&self) -> Result<Vec<Cut>, Undefined> {
        let (signals, blanks) = self.check()?;
        let (mut hits, mut alarms) = (0.0, 0.0);
        let mut cuts = Vec::new();
        for (s, b) in self.signal.iter().zip(&self.blank).take(self.signal.len() - 1) {
            hits += f64::from(*s);
            alarms += f64::from(*b);
            if let (Some(z_hit), Some(z_false_alarm)) =
                (quantile(hits / signals), quantile(alarms / blanks))
            {
                cuts.push(Cut { z_hit, z_false_alarm });
            }
        }
        Ok(cuts)
    }

    /// Area under the curve through the cuts: chance that a picture with a finding is rated
    /// higher, ties counting half.
    ///
    /// # Source
    /// Mann and Whitney 1947; the same as trapezoids.
    pub fn area(&self) -> Result<f64, Undefined> {
        let (signals, blanks) = self.check()?;
        let mut rated_lower = blanks;
        let mut sum = 0.0;
        for (s, b) in self.signal.iter().zip(&self.blank) {
            rated_lower -= f64::from(*b);
            sum += f64::from(*s) * (rated_lower + 0.5 * f64::from(*b));
        }
        Ok(sum / (signals * blanks))
    }

    /// Fits the normal model by greatest likelihood.
    ///
    /// Each level needs an answer of some kind, or its border has no best place.
    ///
    /// # Source
    /// Dorfman and Alf 1969; Fisher scoring with halved steps.
    pub fn fit(&self, spread: Spread) -> Result<Fitted, Undefined> {
        self.check()?;
        if self.signal.iter().zip(&self.blank).any(|(s, b)| s + b == 0) {
            return Err(Undefined::Contradictory("a level that nobody used"));
        }
        let start = self.cuts()?;
        if start.len() + 1 != self.signal.len() {
            return Err(Undefined::TooFew { needed: 1, met: 0 });
        }
        // Mean, log of the spread, borders.
        let free = spread == Spread::Free;
        let mut at: Vec<f64> = vec![start.iter().map(Cut::sensitivity).sum::<f64>(), 0.0];
        at[0] /= start.len() as f64;
        at.extend(start.iter().map(|cut| -cut.z_false_alarm));
        let mut best = self.log_likelihood(&at);
        for _ in 0..200 {
            let step = self.step(&at, free)?;
            let mut scale = 1.0;
            let next = loop {
                let next: Vec<f64> = at.iter().zip(&step).map(|(a, s)| a + scale * s).collect();
                let likelihood = self.log_likelihood(&next);
                if likelihood >= best {
                    best = likelihood;
                    break next;
                }
                scale *= 0.5;
                if scale < 1e-12 {
                    break at.clone();
                }
            };
            let moved = at.iter().zip(&next).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            at = next;
            if moved < 1e-10 {
                return Ok(Fitted {
                    mean: at[0],
                    spread: libm::exp(at[1]),
                    log_likelihood: best,
                    cuts: at.split_off(2),
                });
            }
        }
        Err(Undefined::NotSettled)
    }

    /// Chance of each level, with its slopes in all unknowns, for one kind of picture.
    fn levels(&self, at: &[f64], signal: bool) -> Vec<(f64, Vec<f64>)> {
        let (mean, spread) = if signal { (at[0], libm::exp(at[1])) } else { (0.0, 1.0) };
        let n_levels = at.len() - 1;
        // Share above each border, and its slopes; nothing lies above the first, all above the end.
        let above = |k: usize| {
            let mut slopes = vec![0.0; at.len()];
            if k == 0 {
                return (0.0, slopes);
            }
            if k == n_levels {
                return (1.0, slopes);
            }
            let z = (mean - at[k + 1]) / spread;
            let slope = density(z);
            slopes[k + 1] = -slope / spread;
            if signal {
                slopes[0] = slope / spread;
                slopes[1] = -slope * z;
            }
            (below(z), slopes)
        };
        (0..n_levels)
            .map(|k| {
                let ((upper, du), (lower, dl)) = (above(k), above(k + 1));
                let slopes = dl.iter().zip(&du).map(|(l, u)| l - u).collect();
                (lower - upper, slopes)
            })
            .collect()
    }

    fn log_likelihood(&self, at: &[f64]) -> f64 {
        let kinds = [(&self.signal, true), (&self.blank, false)];
        kinds
            .into_iter()
            .flat_map(|(counts, signal)| counts.iter().zip(self.levels(at, signal)))
            .map(|(n, (p, _))| match (*n, p > 0.0) {
                (0, _) => 0.0,
                (n, true) => f64::from(n) * libm::log(p),
                (_, false) => f64::NEG_INFINITY,
            })
            .sum()
    }

    /// One step of Fisher scoring.
    fn step(&self, at: &[f64], free: bool) -> Result<Vec<f64>, Undefined> {
        let unknowns: Vec<usize> = (0..at.len()).filter(|i| free || *i != 1).collect();
        let n = unknowns.len();
        let mut information = vec![vec![0.0; n + 1]; n];
        for (counts, signal) in [(&self.signal, true), (&self.blank, false)] {
            let total: f64 = counts.iter().map(|n| f64::from(*n)).sum();
            for (count, (p, slopes)) in counts.iter().zip(self.levels(at, signal)) {
                let p = f64::max(p, 1e-300);
                for (row, i) in information.iter_mut().zip(&unknowns) {
                    for (cell, j) in row.iter_mut().zip(&unknowns) {
                        *cell += total * slopes[*i] * slopes[*j] / p;
                    }
                    row[n] += f64::from(*count) * slopes[*i] / p;
                }
            }
        }
        let solved = solve(information)?;
        let mut step = vec![0.0; at.len()];
        for (i, value) in unknowns.into_iter().zip(solved) {
            step[i] = value;
        }
        Ok(step)
    }
}

/// Solves linear equations given as rows with the right-hand side at their end.
fn solve(mut rows: Vec<Vec<f64>>) -> Result<Vec<f64>, Undefined> {
    let n = rows.len();
    for k in 0..n {
        let pivot = (k..n).max_by(|a, b| rows[*a][k].abs().total_cmp(&rows[*b][k].abs()));
        rows.swap(k, pivot.unwrap_or(k));
        if rows[k][k].abs() < 1e-12 {
            return Err(Undefined::NotSettled);
        }
        let upper = rows[k].clone();
        for row in rows.iter_mut().skip(k + 1) {
            let factor = row[k] / upper[k];
            for (cell, above) in row.iter_mut().zip(&upper).skip(k) {
                *cell -= factor * above;
            }
        }
    }
    let mut solved = vec![0.0; n];
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|j| rows[k][j] * solved[j]).sum();
        solved[k] = (rows[k][n] - known) / rows[k][k];
    }
    Ok(solved)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_that_nobody_used_are_refused() {
        let ratings = Ratings { signal: vec![3, 0, 2], blank: vec![1, 0, 4] };
        assert!(ratings.fit(Spread::Free).is_err());
        assert!(Ratings { signal: vec![3, 1], blank: vec![2] }.area().is_err());
    }

    #[test]
    fn ratings_that_say_nothing_have_half_the_area() {
        let ratings = Ratings { signal: vec![5, 5, 5], blank: vec![5, 5, 5] };
        assert_eq!(ratings.area(), Ok(0.5));
        assert!(ratings.fit(Spread::Equal).unwrap().mean.abs() < 1e-9);
    }
}
