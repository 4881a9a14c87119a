//! The normal distribution and its inverse.

use core::f64::consts::{PI, SQRT_2};

/// The 97.5 % quantile, for 95 % intervals.
pub const Z95: f64 = 1.959_963_984_540_054;

/// Share of a standard normal below a value.
pub fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

/// Density of a standard normal.
pub fn density(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / libm::sqrt(2.0 * PI)
}

/// Value that a share of a standard normal lies below; `None` outside 0 to 1 exclusive.
///
/// # Source
/// Rational start of Acklam, from memory, then two steps of Halley's method on [`below`], which
/// bring it to the last digits whatever the start.
pub fn quantile(share: f64) -> Option<f64> {
    if !(share > 0.0 && share < 1.0) {
        return None;
    }
    if share > 0.5 {
        // The lower tail keeps its digits; above 0.9999 the share itself has fewer.
        return quantile(1.0 - share).map(|z| -z);
    }
    let mut z = start(share);
    for _ in 0..2 {
        let off = (below(z) - share) / density(z);
        z -= off / (1.0 + 0.5 * z * off);
    }
    Some(z)
}

/// A quantile in the lower half to about nine digits.
fn start(share: f64) -> f64 {
    let poly = |c: &[f64], x: f64| c.iter().fold(0.0, |sum, c| sum * x + c);
    if share < 0.024_25 {
        let q = libm::sqrt(-2.0 * libm::log(share));
        let top = [
            -7.784_894_002_430_293e-3,
            -3.223_964_580_411_365e-1,
            -2.400_758_277_161_838,
            -2.549_732_539_343_734,
            4.374_664_141_464_968,
            2.938_163_982_698_783,
        ];
        let under = [
            7.784_695_709_041_462e-3,
            3.224_671_290_700_398e-1,
            2.445_134_137_142_996,
            3.754_408_661_907_416,
            1.0,
        ];
        return poly(&top, q) / poly(&under, q);
    }
    let q = share - 0.5;
    let r = q * q;
    let top = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_69e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    let under = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
        1.0,
    ];
    poly(&top, r) * q / poly(&under, r)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_agree_with_a_reference() {
        // Source: scipy 1.17.1 norm.ppf, as printed by statrs 0.19.1.
        let stated = [
            (0.8, 0.841_621_233_572_914_4),
            (0.975, Z95),
            (0.5, 0.0),
            (1e-300, -37.047_096_299_36),
            (0.9, 1.281_551_565_544_600_4),
        ];
        for (share, z) in stated {
            let met = quantile(share).unwrap();
            assert!((met - z).abs() <= 1e-11 * f64::max(1.0, z.abs()), "{share}: {met}");
        }
        // Source: statrs 0.19.1, upper tail at 8.
        assert!((below(-8.0) / 6.220_960_57e-16 - 1.0).abs() < 1e-8);
    }

    #[test]
    fn the_inverse_undoes_the_share() {
        for i in 1..1000 {
            let share = f64::from(i) / 1000.0;
            assert!((below(quantile(share).unwrap()) - share).abs() < 1e-14, "{share}");
        }
        assert_eq!((quantile(0.0), quantile(1.0), quantile(f64::NAN)), (None, None, None));
    }
}
