//! Agreement of several judges, with or without gaps.

use crate::estimate::{Undefined, at_least};

/// How far apart two values count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// Alike or not.
    Nominal,
    /// By rank, distances from how often each value occurs.
    Ordinal,
    /// By the square of the difference.
    Interval,
    /// By the square of the difference over the sum, for values above 0.
    Ratio,
}

/// Krippendorff's alpha: 1 for full agreement, 0 for what chance gives.
///
/// Each unit holds the values that its judges gave; gaps are simply not there. Units with fewer
/// than two values are left out. A picture wants 0.80 to assess with, 0.67 to practise with.
///
/// # Source
/// Krippendorff 2007 note: 1 − (N − 1) Σ o·δ / Σ n·n·δ on the table of coincidences; release
/// limits from memory.
pub fn alpha(units: &[Vec<u32>], scale: Scale) -> Result<f64, Undefined> {
    let units: Vec<&Vec<u32>> = units.iter().filter(|values| values.len() >= 2).collect();
    at_least(1, units.len())?;
    let mut kinds: Vec<u32> = units.iter().flat_map(|values| values.iter().copied()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let place = |value: u32| kinds.partition_point(|kind| *kind < value);
    let mut coincidences = vec![vec![0.0; kinds.len()]; kinds.len()];
    for values in units {
        let share = 1.0 / (values.len() as f64 - 1.0);
        for (i, a) in values.iter().enumerate() {
            for (j, b) in values.iter().enumerate() {
                if i != j {
                    coincidences[place(*a)][place(*b)] += share;
                }
            }
        }
    }
    let margins: Vec<f64> = coincidences.iter().map(|row| row.iter().sum()).collect();
    let total: f64 = margins.iter().sum();
    let distance = |c: usize, k: usize| {
        let (low, high) = (c.min(k), c.max(k));
        let (a, b) = (f64::from(kinds[low]), f64::from(kinds[high]));
        let by = match scale {
            Scale::Nominal => f64::from(u8::from(c != k)),
            Scale::Ordinal => {
                let between: f64 = margins[low..=high].iter().sum();
                between - 0.5 * (margins[low] + margins[high])
            }
            Scale::Interval => b - a,
            Scale::Ratio if a + b == 0.0 => 0.0,
            Scale::Ratio => (b - a) / (a + b),
        };
        by * by
    };
    let (mut observed, mut expected) = (0.0, 0.0);
    for c in 0..kinds.len() {
        for k in 0..kinds.len() {
            observed += coincidences[c][k] * distance(c, k);
            expected += margins[c] * margins[k] * distance(c, k);
        }
    }
    if expected == 0.0 {
        return Err(Undefined::NoSpread);
    }
    Ok(1.0 - (total - 1.0) * observed / expected)
}

/// Fleiss' kappa for units that were all judged equally often.
///
/// Each row holds how many judges chose each category.
///
/// # Source
/// Fleiss 1971.
pub fn fleiss(rows: &[Vec<u32>]) -> Result<f64, Undefined> {
    at_least(1, rows.len())?;
    let judges: u32 = rows.first().map_or(0, |row| row.iter().sum());
    let categories = rows.first().map_or(0, Vec::len);
    if judges < 2 {
        return Err(Undefined::TooFew { needed: 2, met: judges });
    }
    if rows.iter().any(|row| row.len() != categories || row.iter().sum::<u32>() != judges) {
        return Err(Undefined::Contradictory("equally many judges for each unit"));
    }
    let (n, m) = (rows.len() as f64, f64::from(judges));
    let square = |x: f64| x * x;
    let agreed: f64 = rows
        .iter()
        .map(|row| {
            let squares: f64 = row.iter().map(|c| square(f64::from(*c))).sum();
            (squares - m) / (m * (m - 1.0))
        })
        .sum::<f64>()
        / n;
    let expected: f64 = (0..categories)
        .map(|j| square(rows.iter().map(|row| f64::from(row[j])).sum::<f64>() / (n * m)))
        .sum();
    if 1.0 - expected < 1e-12 {
        return Err(Undefined::NoSpread);
    }
    Ok((agreed - expected) / (1.0 - expected))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn full_agreement_is_one_on_every_scale() {
        let units = [vec![1, 1, 1], vec![4, 4], vec![2, 2, 2], vec![3]];
        for scale in [Scale::Nominal, Scale::Ordinal, Scale::Interval, Scale::Ratio] {
            assert!((alpha(&units, scale).unwrap() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn values_that_are_all_alike_say_nothing() {
        assert_eq!(alpha(&[vec![2, 2], vec![2, 2]], Scale::Nominal), Err(Undefined::NoSpread));
        assert!(alpha(&[vec![1], vec![2]], Scale::Nominal).is_err());
    }

    #[test]
    fn uneven_numbers_of_judges_are_refused() {
        assert!(fleiss(&[vec![2, 1], vec![1, 1]]).is_err());
    }
}
