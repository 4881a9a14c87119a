//! Ages: bands that are right or not, and intervals on a logarithmic scale.

use super::band_id;
use crate::{
    answer::Age,
    format::{Began, NORMAL},
};

/// The share of an interval at both ends that a learner leaves out: 10 to 90 percent.
const OUTSIDE: f64 = 0.2;

pub(super) fn began(began: &Began, said: &Age) -> Option<f64> {
    match (began, said) {
        (Began::Bands { bands, right }, Age::Band(id)) => {
            let key = right.as_ref().map_or_else(|| NORMAL.to_owned(), |r| band_id(r.value));
            let offered = id == NORMAL || bands.iter().any(|b| band_id(b.value) == *id);
            offered.then(|| f64::from(u8::from(key == *id)))
        }
        (Began::Interval { truth, .. }, Age::Band(id)) if id == NORMAL => {
            Some(f64::from(u8::from(truth.is_none())))
        }
        (Began::Interval { truth: None, .. }, Age::Months(..)) => Some(0.0),
        (Began::Interval { truth: Some(truth), scale }, Age::Months(from, to)) => {
            interval(truth.value, (*from, *to), scale.value)
        }
        _ => None,
    }
}

/// The interval score on a logarithmic scale, against somebody who names the whole scale:
/// 1 for the exact moment, 0 for what is no better than the whole scale.
///
/// `S = ln(u/l) + 2/a · (how far the truth lies outside)`, share `max(0, 1 − S/S_ref)`; a truth
/// that is itself an interval is taken at its nearest point.
///
/// # Source
/// Winkler 1972, "A decision-theoretic approach to interval estimation", for a central
/// interval of 80 percent, on logarithms so that an error by a factor counts the same anywhere.
pub fn interval(truth: (f64, f64), said: (f64, f64), scale: (f64, f64)) -> Option<f64> {
    let sound = |(from, to): (f64, f64)| from > 0.0 && from <= to && to.is_finite();
    let truth = (truth.0.max(scale.0), truth.1.max(scale.0));
    if !sound(said) || !sound(truth) || !sound(scale) || scale.0 == scale.1 {
        return None;
    }
    let ln = |x: f64| libm::log(x);
    let below = (ln(said.0) - ln(truth.1)).max(0.0);
    let above = (ln(truth.0) - ln(said.1)).max(0.0);
    let s = ln(said.1) - ln(said.0) + 2.0 / OUTSIDE * (below + above);
    let reference = ln(scale.1) - ln(scale.0);
    Some((1.0 - s / reference).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Interval 2 to 6 for a truth of 4 and of 8, against a scale of ln 80: 1.098612 and
    /// 3.975433 give .749291 and .092787, computed from the formula in double precision.
    #[test]
    fn intervals_score_as_computed() {
        let share = |truth, said| interval((truth, truth), said, (0.25, 20.0)).unwrap();
        assert!((share(4.0, (2.0, 6.0)) - 0.749_291).abs() < 1e-6);
        assert!((share(8.0, (2.0, 6.0)) - 0.092_787).abs() < 1e-6);
        assert_eq!(share(4.0, (4.0, 4.0)), 1.0);
        assert_eq!(share(20.0, (0.25, 0.3)), 0.0);
        // A truth that is an interval costs nothing where the two overlap.
        let wide = interval((3.0, 9.0), (8.0, 10.0), (0.25, 20.0)).unwrap();
        assert!((wide - (1.0 - libm::log(1.25) / libm::log(80.0))).abs() < 1e-12);
        assert_eq!(interval((3.0, 9.0), (0.0, 10.0), (0.25, 20.0)), None);
        assert_eq!(interval((3.0, 9.0), (5.0, f64::NAN), (0.25, 20.0)), None);
    }
}
