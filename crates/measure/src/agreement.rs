//! Agreement of two judges, or of a learner with the key, beyond chance.

use crate::estimate::{Estimate, Undefined};
use crate::normal::Z95;

/// How much a disagreement counts by its distance on the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weights {
    /// Any disagreement counts in full: for names without an order.
    Nominal,
    /// By distance: for grades.
    Linear,
    /// By the square of the distance: for grades where near misses matter little.
    Quadratic,
}

/// Judgements of two judges of the same units: rows are the first judge's categories, columns
/// the second's, in the same order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    counts: Vec<Vec<u32>>,
}

/// Cohen's kappa with what must be shown beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kappa {
    /// Kappa: 1 for full agreement, 0 for what chance gives.
    pub kappa: Estimate,
    /// Standard error, by which the interval is made.
    pub se: f64,
    /// Standard error if there were no agreement beyond chance.
    pub null_se: f64,
    /// Agreement as observed, weighted.
    pub observed: f64,
    /// Agreement that chance would give, weighted.
    pub expected: f64,
}

impl Table {
    /// A table of counts; `Undefined` unless it is square, two by two at least, and holds a unit.
    pub fn new(counts: Vec<Vec<u32>>) -> Result<Self, Undefined> {
        let n = counts.len();
        if n < 2 || counts.iter().any(|row| row.len() != n) {
            return Err(Undefined::Contradictory("a square table of two categories at least"));
        }
        let table = Self { counts };
        if table.n() == 0 {
            return Err(Undefined::TooFew { needed: 1, met: 0 });
        }
        Ok(table)
    }

    /// A table from judgements by number of category; pairs out of range are refused.
    pub fn from_pairs(categories: usize, pairs: &[(usize, usize)]) -> Result<Self, Undefined> {
        let mut counts = vec![vec![0_u32; categories]; categories];
        for (a, b) in pairs {
            let cell = counts.get_mut(*a).and_then(|row| row.get_mut(*b));
            *cell.ok_or(Undefined::OutOfRange("a category"))? += 1;
        }
        Self::new(counts)
    }

    /// Units judged.
    pub fn n(&self) -> u32 {
        self.counts.iter().flatten().fold(0, |sum, n| sum.saturating_add(*n))
    }

    /// Share of each cell.
    fn shares(&self) -> Vec<Vec<f64>> {
        let n = f64::from(self.n());
        self.counts.iter().map(|row| row.iter().map(|c| f64::from(*c) / n).collect()).collect()
    }

    /// Kappa with its interval.
    ///
    /// Under 50 units the interval is too narrow: bootstrap the units then.
    ///
    /// # Source
    /// Cohen 1960 and 1968; standard errors of Fleiss, Cohen and Everitt 1969.
    pub fn kappa(&self, weights: Weights) -> Result<Kappa, Undefined> {
        let p = self.shares();
        let k = p.len();
        let rows: Vec<f64> = p.iter().map(|row| row.iter().sum()).collect();
        let columns: Vec<f64> = (0..k).map(|j| p.iter().map(|row| row[j]).sum()).collect();
        let weight = |i: usize, j: usize| {
            let share = i.abs_diff(j) as f64 / (k - 1) as f64;
            match weights {
                Weights::Nominal => f64::from(u8::from(i == j)),
                Weights::Linear => 1.0 - share,
                Weights::Quadratic => 1.0 - share * share,
            }
        };
        let all = |f: &dyn Fn(usize, usize) -> f64| -> f64 {
            (0..k).flat_map(|i| (0..k).map(move |j| (i, j))).map(|(i, j)| f(i, j)).sum()
        };
        let observed = all(&|i, j| weight(i, j) * p[i][j]);
        let expected = all(&|i, j| weight(i, j) * rows[i] * columns[j]);
        if 1.0 - expected < 1e-12 {
            return Err(Undefined::NoSpread);
        }
        let by_row: Vec<f64> =
            (0..k).map(|i| (0..k).map(|j| weight(i, j) * columns[j]).sum()).collect();
        let by_column: Vec<f64> =
            (0..k).map(|j| (0..k).map(|i| weight(i, j) * rows[i]).sum()).collect();
        let left = 1.0 - expected;
        let n = f64::from(self.n());
        let spread = all(&|i, j| {
            let term = weight(i, j) * left - (by_row[i] + by_column[j]) * (1.0 - observed);
            p[i][j] * term * term
        });
        let shift = observed * expected - 2.0 * expected + observed;
        let se = libm::sqrt(f64::max(spread - shift * shift, 0.0) / n) / (left * left);
        let null = all(&|i, j| {
            let term = weight(i, j) - by_row[i] - by_column[j];
            rows[i] * columns[j] * term * term
        });
        let null_se = libm::sqrt(f64::max(null - expected * expected, 0.0) / n) / left;
        let value = (observed - expected) / left;
        Ok(Kappa {
            kappa: Estimate {
                value,
                low: f64::max(value - Z95 * se, -1.0),
                high: f64::min(value + Z95 * se, 1.0),
                n: self.n(),
                method: match weights {
                    Weights::Nominal => "Cohen's kappa, normal 95 %",
                    Weights::Linear => "kappa with linear weights, normal 95 %",
                    Weights::Quadratic => "kappa with quadratic weights, normal 95 %",
                },
            },
            se,
            null_se,
            observed,
            expected,
        })
    }

    /// AC1, which does not collapse when nearly all units are alike.
    ///
    /// # Source
    /// Gwet 2008, from memory: chance agreement Σ π(1 − π)/(K − 1) on the mean margins.
    pub fn ac1(&self) -> f64 {
        let p = self.shares();
        let k = p.len();
        let observed: f64 = (0..k).map(|i| p[i][i]).sum();
        let expected: f64 = (0..k)
            .map(|i| {
                let row: f64 = p[i].iter().sum();
                let column: f64 = p.iter().map(|row| row[i]).sum();
                let mean = 0.5 * (row + column);
                mean * (1.0 - mean)
            })
            .sum::<f64>()
            / (k - 1) as f64;
        (observed - expected) / (1.0 - expected)
    }

    /// Kappa of two categories as if both were as frequent and judged as often.
    ///
    /// # Source
    /// Byrt and co-workers 1993, from memory: 2·observed − 1.
    pub fn balanced_kappa(&self) -> Result<f64, Undefined> {
        let [yes, no] = self.two()?;
        Ok(2.0 * (yes[0] + no[1]) - 1.0)
    }

    /// Agreement on "yes" (the first category) and on "no", for two categories.
    ///
    /// # Source
    /// Cicchetti and Feinstein 1990: twice the agreed over all that either judged so.
    pub fn specific(&self) -> Result<(f64, f64), Undefined> {
        let [yes, no] = self.two()?;
        let off = yes[1] + no[0];
        let share = |agreed: f64| {
            let all = 2.0 * agreed + off;
            if all == 0.0 { Err(Undefined::NoSpread) } else { Ok(2.0 * agreed / all) }
        };
        Ok((share(yes[0])?, share(no[1])?))
    }

    /// Correlation of two yes-or-no judges.
    ///
    /// # Source
    /// Matthews 1975.
    pub fn correlation(&self) -> Result<f64, Undefined> {
        let [yes, no] = self.two()?;
        let margins = (yes[0] + yes[1]) * (no[0] + no[1]) * (yes[0] + no[0]) * (yes[1] + no[1]);
        if margins == 0.0 {
            return Err(Undefined::NoSpread);
        }
        Ok((yes[0] * no[1] - yes[1] * no[0]) / libm::sqrt(margins))
    }

    fn two(&self) -> Result<[[f64; 2]; 2], Undefined> {
        match self.shares().as_slice() {
            [yes, no] if yes.len() == 2 && no.len() == 2 => Ok([[yes[0], yes[1]], [no[0], no[1]]]),
            _ => Err(Undefined::Contradictory("two categories")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn full_agreement_is_one_and_one_category_is_undefined() {
        let full = Table::new(vec![vec![3, 0], vec![0, 4]]).unwrap();
        for weights in [Weights::Nominal, Weights::Linear, Weights::Quadratic] {
            let met = full.kappa(weights).unwrap();
            assert!((met.kappa.value - 1.0).abs() < 1e-12 && met.se.abs() < 1e-6);
        }
        let one = Table::new(vec![vec![5, 0], vec![0, 0]]).unwrap();
        assert_eq!(one.kappa(Weights::Nominal), Err(Undefined::NoSpread));
    }

    #[test]
    fn judges_and_category_names_may_be_exchanged() {
        let at = |rows: Vec<Vec<u32>>| {
            Table::new(rows).unwrap().kappa(Weights::Nominal).unwrap().kappa.value
        };
        let value = at(vec![vec![9, 2, 1], vec![3, 8, 0], vec![1, 4, 7]]);
        let turned = at(vec![vec![9, 3, 1], vec![2, 8, 4], vec![1, 0, 7]]);
        let renamed = at(vec![vec![8, 3, 0], vec![2, 9, 1], vec![4, 1, 7]]);
        assert!((value - turned).abs() < 1e-12 && (value - renamed).abs() < 1e-12);
    }

    #[test]
    fn a_lopsided_table_is_refused() {
        assert!(Table::new(vec![vec![1, 2]]).is_err());
        assert!(Table::new(vec![vec![1, 2], vec![3]]).is_err());
        assert!(Table::from_pairs(2, &[(0, 2)]).is_err());
    }
}
