//! Whether stated confidence matches how often one is right.

use crate::estimate::{Estimate, Undefined, at_least};
use crate::proportion;

/// One judgement: the confidence that it is right, 0 to 1, and whether it was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judgement {
    /// Stated chance of being right.
    pub confidence: f64,
    /// Whether it was right.
    pub right: bool,
}

impl Judgement {
    fn outcome(&self) -> f64 {
        f64::from(u8::from(self.right))
    }
}

/// Judgements that stated the same confidence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bin {
    /// Stated chance of being right.
    pub confidence: f64,
    /// How often they were right, with its Wilson interval.
    pub right: Estimate,
}

impl Bin {
    /// Whether there are enough judgements to draw a point: five at least.
    pub fn enough(&self) -> bool {
        self.right.n >= 5
    }
}

/// Brier score and its parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brier {
    /// Mean square of confidence minus outcome, 0 at best.
    pub score: f64,
    /// How far stated confidence is from how often one is right; 0 at best.
    pub reliability: f64,
    /// How much confidence tells right from wrong; more is better.
    pub resolution: f64,
    /// What is left to chance by the share that was right.
    pub uncertainty: f64,
}

impl Brier {
    /// Gain over always stating the mean; undefined when all were right or all wrong.
    pub fn skill(&self) -> Result<f64, Undefined> {
        if self.uncertainty == 0.0 {
            return Err(Undefined::NoSpread);
        }
        Ok(1.0 - self.score / self.uncertainty)
    }
}

/// Checks judgements and returns how many there are.
fn check(judgements: &[Judgement]) -> Result<f64, Undefined> {
    at_least(1, judgements.len())?;
    if judgements.iter().any(|j| !(0.0..=1.0).contains(&j.confidence)) {
        return Err(Undefined::OutOfRange("a confidence, expected 0 to 1"));
    }
    Ok(judgements.len() as f64)
}

/// Judgements gathered by stated confidence, from lowest to highest.
pub fn bins(judgements: &[Judgement]) -> Result<Vec<Bin>, Undefined> {
    check(judgements)?;
    let mut sorted = judgements.to_vec();
    sorted.sort_by(|a, b| a.confidence.total_cmp(&b.confidence));
    sorted
        .chunk_by(|a, b| a.confidence == b.confidence)
        .map(|same| {
            let right = same.iter().filter(|j| j.right).count();
            let confidence = same.first().map_or(f64::NAN, |j| j.confidence);
            let n = at_least(1, same.len())?;
            let right = u32::try_from(right).unwrap_or(u32::MAX);
            Ok(Bin { confidence, right: proportion::wilson(right, n)? })
        })
        .collect()
}

/// Brier score with its parts, which add up exactly because bins hold identical confidence.
///
/// # Source
/// Brier 1950; Murphy 1973: score = reliability − resolution + uncertainty.
pub fn brier(judgements: &[Judgement]) -> Result<Brier, Undefined> {
    let n = check(judgements)?;
    let square = |x: f64| x * x;
    let score = judgements.iter().map(|j| square(j.confidence - j.outcome())).sum::<f64>() / n;
    let base = judgements.iter().map(Judgement::outcome).sum::<f64>() / n;
    let bins = bins(judgements)?;
    let over = |f: &dyn Fn(&Bin) -> f64| {
        bins.iter().map(|bin| f64::from(bin.right.n) * f(bin)).sum::<f64>() / n
    };
    Ok(Brier {
        score,
        reliability: over(&|bin| square(bin.confidence - bin.right.value)),
        resolution: over(&|bin| square(bin.right.value - base)),
        uncertainty: base * (1.0 - base),
    })
}

/// Brier score over several options with stated chances, 0 to 2.
///
/// # Source
/// Brier 1950.
pub fn brier_of_options(chances: &[f64], truth: usize) -> Result<f64, Undefined> {
    options(chances, truth)?;
    Ok(chances
        .iter()
        .enumerate()
        .map(|(i, chance)| {
            let off = chance - f64::from(u8::from(i == truth));
            off * off
        })
        .sum())
}

/// Ranked probability score over ordered classes, 0 to 1: near misses cost less.
///
/// # Source
/// Epstein 1969: squares of the differences of the running sums, over K − 1.
pub fn ranked(chances: &[f64], truth: usize) -> Result<f64, Undefined> {
    options(chances, truth)?;
    at_least(2, chances.len())?;
    let mut stated = 0.0;
    let sum: f64 = chances
        .iter()
        .enumerate()
        .map(|(i, chance)| {
            stated += chance;
            let off = stated - f64::from(u8::from(i >= truth));
            off * off
        })
        .sum();
    Ok(sum / (chances.len() as f64 - 1.0))
}

fn options(chances: &[f64], truth: usize) -> Result<(), Undefined> {
    if truth >= chances.len() {
        return Err(Undefined::OutOfRange("the true option"));
    }
    if chances.iter().any(|c| !(0.0..=1.0).contains(c))
        || (chances.iter().sum::<f64>() - 1.0).abs() > 1e-6
    {
        return Err(Undefined::OutOfRange("chances of options, expected to sum to 1"));
    }
    Ok(())
}

/// Mean log score in natural units, confidence kept within 0.01 to 0.99 so that none is infinite.
///
/// # Source
/// Good 1952.
pub fn log_score(judgements: &[Judgement]) -> Result<f64, Undefined> {
    let n = check(judgements)?;
    let sum: f64 = judgements
        .iter()
        .map(|j| {
            let confidence = j.confidence.clamp(0.01, 0.99);
            -libm::log(if j.right { confidence } else { 1.0 - confidence })
        })
        .sum();
    Ok(sum / n)
}

/// Mean gap between stated confidence and how often one is right, by bins.
///
/// # Source
/// Expected calibration error, weighted by count.
pub fn mean_gap(judgements: &[Judgement]) -> Result<f64, Undefined> {
    let n = check(judgements)?;
    let gap = |bin: &Bin| f64::from(bin.right.n) * (bin.confidence - bin.right.value).abs();
    Ok(bins(judgements)?.iter().map(gap).sum::<f64>() / n)
}

/// Spiegelhalter's Z: beyond 1.96 either way confidence and outcome do not match.
///
/// # Source
/// Spiegelhalter 1986: Σ(o − f)(1 − 2f) / √Σ(1 − 2f)² f(1 − f).
pub fn mismatch_z(judgements: &[Judgement]) -> Result<f64, Undefined> {
    check(judgements)?;
    let (mut top, mut squares) = (0.0, 0.0);
    for j in judgements {
        let f = j.confidence;
        let lean = 1.0 - 2.0 * f;
        top += (j.outcome() - f) * lean;
        squares += lean * lean * f * (1.0 - f);
    }
    if squares == 0.0 {
        return Err(Undefined::NoSpread);
    }
    Ok(top / libm::sqrt(squares))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_add_up_to_the_score() {
        let judgements: Vec<Judgement> = (0..97)
            .map(|i| Judgement { confidence: [0.25, 0.5, 0.75, 0.95][i % 4], right: i * i % 7 < 4 })
            .collect();
        let met = brier(&judgements).unwrap();
        let sum = met.reliability - met.resolution + met.uncertainty;
        assert!((met.score - sum).abs() < 1e-12);
    }

    #[test]
    fn all_right_leaves_no_skill_to_state() {
        let all = [Judgement { confidence: 0.95, right: true }; 6];
        assert_eq!(brier(&all).unwrap().skill(), Err(Undefined::NoSpread));
        let sure = [Judgement { confidence: 1.0, right: true }; 3];
        assert_eq!(mismatch_z(&sure), Err(Undefined::NoSpread));
        assert!(log_score(&[Judgement { confidence: 1.0, right: false }]).unwrap().is_finite());
    }

    #[test]
    fn confidence_outside_the_scale_is_refused() {
        assert!(brier(&[Judgement { confidence: 1.2, right: true }]).is_err());
        assert!(brier(&[]).is_err() && ranked(&[0.6, 0.6], 0).is_err());
    }
}
