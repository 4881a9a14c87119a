//! Least squares with several influences, such as time and temperature of an ohmic value.

use super::range::{OutOfRange, Range};

/// A fit of readings to a constant and several influences.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Constant, then the effect of each influence in the order given.
    pub effects: Vec<f64>,
    /// Spread of the readings around the fit.
    pub residual_sd: f64,
    /// Share of the variance that the fit explains; `None` when the readings are all alike.
    pub r_squared: Option<f64>,
}

/// Fits readings to a constant and to influences given as columns of equal length.
///
/// Refuses columns that hold no more readings than unknowns, or that repeat one another.
///
/// # Source
/// Householder reflections, which keep their digits where normal equations lose them.
pub fn least_squares(columns: &[&[f64]], y: &[f64]) -> Result<Fit, OutOfRange> {
    let n = y.len();
    let unknowns = columns.len() + 1;
    Range::new("readings", "", unknowns as f64 + 1.0, 10_000.0).check(n as f64)?;
    for column in columns {
        Range::new("readings of an influence", "", n as f64, n as f64).check(column.len() as f64)?;
    }
    let mut a: Vec<Vec<f64>> = vec![vec![1.0; n]];
    a.extend(columns.iter().map(|c| c.to_vec()));
    let mut rest = y.to_vec();
    let mut diagonal = Vec::with_capacity(unknowns);
    for k in 0..unknowns {
        let before = norm(&a[k]);
        let length = norm(&a[k][k..]);
        // A column that lies in those before it leaves only rounding below the diagonal.
        Range::new("what an influence adds to the others", "", 1e-12, f64::MAX)
            .check(if before > 0.0 { length / before } else { 0.0 })?;
        let pivot = if a[k][k] > 0.0 { -length } else { length };
        let mut mirror = a[k][k..].to_vec();
        mirror[0] -= pivot;
        diagonal.push(pivot);
        for column in a.iter_mut().skip(k + 1) {
            reflect(&mirror, &mut column[k..]);
        }
        reflect(&mirror, &mut rest[k..]);
    }
    let mut effects = vec![0.0; unknowns];
    for k in (0..unknowns).rev() {
        let known: f64 = (k + 1..unknowns).map(|j| a[j][k] * effects[j]).sum();
        effects[k] = (rest[k] - known) / diagonal[k];
    }
    let left = norm(&rest[unknowns..]);
    let mean = y.iter().sum::<f64>() / n as f64;
    let total: f64 = y.iter().map(|v| (v - mean) * (v - mean)).sum();
    Ok(Fit {
        effects,
        residual_sd: left / libm::sqrt((n - unknowns) as f64),
        r_squared: (total > 0.0).then(|| 1.0 - left * left / total),
    })
}

fn norm(values: &[f64]) -> f64 {
    libm::sqrt(values.iter().map(|v| v * v).sum())
}

/// Reflects values in the plane across a vector.
fn reflect(mirror: &[f64], values: &mut [f64]) {
    let size: f64 = mirror.iter().map(|m| m * m).sum();
    let along: f64 = mirror.iter().zip(values.iter()).map(|(m, v)| m * v).sum();
    for (v, m) in values.iter_mut().zip(mirror) {
        *v -= 2.0 * along / size * m;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exact_plane_is_found() {
        let (time, heat) = ([0.0, 1.0, 2.0, 3.0, 5.0], [20.0, 25.0, 22.0, 30.0, 21.0]);
        let y: Vec<f64> = time.iter().zip(heat).map(|(t, h)| 3.0 + 0.5 * t - 0.1 * h).collect();
        let fit = least_squares(&[&time, &heat], &y).unwrap();
        for (met, stated) in fit.effects.iter().zip([3.0, 0.5, -0.1]) {
            assert!((met - stated).abs() < 1e-12, "{met}");
        }
    }

    #[test]
    fn repeated_influences_are_refused() {
        let time = [0.0, 1.0, 2.0, 3.0];
        let double = [0.0, 2.0, 4.0, 6.0];
        assert!(least_squares(&[&time, &double], &[1.0, 2.0, 2.0, 3.0]).is_err());
        assert!(least_squares(&[&[7.0; 4]], &[1.0, 2.0, 2.0, 3.0]).is_err());
    }
}
