//! What happens to charge and acid with time: self-discharge, hardening, mixing, lag.

use super::acid;
use super::gravity::READING;
use super::range::{OutOfRange, Range};

/// Months on the shelf or on float.
pub const MONTHS: Range = Range::new("time", "months", 0.0, 120.0);
/// Days of rest or float.
pub const DAYS: Range = Range::new("time", "days", 0.0, 3650.0);
/// Charge lost in a month at 25 °C.
pub const RATE: Range = Range::new("self-discharge at 25 °C", "share a month", 0.001, 0.2);
/// Height of the electrolyte.
pub const HEIGHT: Range = Range::new("height of electrolyte", "m", 0.05, 1.5);

/// Share of the charge lost on open circuit, month by month.
///
/// # Source
/// Arithmetic; doubling for each 10 °C. Lead-calcium loses 0.5 to 3 % a month at 25 °C, low
/// antimony 2 to 5, high antimony 5 to 10 and more, from memory.
pub fn lost_on_open_circuit(
    month_at_25: f64,
    months: f64,
    celsius: f64,
) -> Result<f64, OutOfRange> {
    let rate = rate_at(month_at_25, celsius)?;
    MONTHS.check(months)?;
    Ok(1.0 - libm::pow(1.0 - rate, months))
}

/// Share of the charge lost, with the rate taken as continuous; 0.3 points under the other form
/// after six months at 1 %.
///
/// # Source
/// As for [`lost_on_open_circuit`].
pub fn lost_continuously(month_at_25: f64, months: f64, celsius: f64) -> Result<f64, OutOfRange> {
    let rate = rate_at(month_at_25, celsius)?;
    MONTHS.check(months)?;
    Ok(-libm::expm1(-rate * months))
}

fn rate_at(month_at_25: f64, celsius: f64) -> Result<f64, OutOfRange> {
    RATE.check(month_at_25)?;
    Range::new("temperature", "°C", 0.0, 45.0).check(celsius)?;
    let rate = month_at_25 * libm::exp2((celsius - 25.0) / 10.0);
    Range { max: 0.8, ..RATE }.check(rate)
}

/// Days until the gravity on open circuit has fallen to a value, at a steady fall each day.
///
/// # Source
/// US Army TM 5-1185: about 0.001 a day below 80 °F for charged wet portable batteries.
pub fn days_to_fall(from: f64, to: f64, each_day: f64) -> Result<f64, OutOfRange> {
    READING.check(from)?;
    Range { max: from, ..READING }.check(to)?;
    Range::new("fall of gravity in a day", "", 1e-5, 0.01).check(each_day)?;
    Ok((from - to) / each_day)
}

/// Share of sulfate that has hardened. An illustration for training, not calibrated.
///
/// # Source
/// Estimate: one exponential.
pub fn hardened(rate_month: f64, months: f64) -> Result<f64, OutOfRange> {
    Range::new("hardening", "share a month", 0.0, 1.0).check(rate_month)?;
    MONTHS.check(months)?;
    Ok(-libm::expm1(-rate_month * months))
}

/// Days in which the slowest mode of layering falls to 1/e by diffusion alone.
///
/// # Source
/// Diffusion between closed ends: L² / (π² D), D of [`acid::diffusivity_m2_s`].
pub fn layering_days(height_m: f64, diffusivity_m2_s: f64) -> Result<f64, OutOfRange> {
    HEIGHT.check(height_m)?;
    DIFFUSIVITY.check(diffusivity_m2_s)?;
    let pi = core::f64::consts::PI;
    Ok(height_m * height_m / (pi * pi * diffusivity_m2_s) / 86_400.0)
}

const DIFFUSIVITY: Range = Range::new("diffusivity", "m²/s", 1e-9, 5e-9);

/// How much of the bottom layer has reached the top: 0 at first, 0.5 when even.
///
/// Starts from an even bottom half and an empty top half, closed ends. On charge gas stirs the
/// acid in hours, which this leaves out.
///
/// # Source
/// Fourier series of the diffusion equation, 100 odd terms.
pub fn top_share(height_m: f64, diffusivity_m2_s: f64, days: f64) -> Result<f64, OutOfRange> {
    HEIGHT.check(height_m)?;
    DIFFUSIVITY.check(diffusivity_m2_s)?;
    DAYS.check(days)?;
    let pi = core::f64::consts::PI;
    let decay = |n: f64| {
        let wave = n * pi / height_m;
        libm::exp(-wave * wave * diffusivity_m2_s * days * 86_400.0)
    };
    let mut sum = 0.0;
    for k in 0..100_u8 {
        let n = f64::from(k) * 2.0 + 1.0;
        let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
        sum += sign * 2.0 / (n * pi) * decay(n);
    }
    // Early terms cancel to the last digits, which may leave a trace below nothing.
    Ok(f64::max(0.5 - sum, 0.0))
}

/// Gravity so many days after a recharge that has not yet reached the sampling point.
///
/// # Source
/// One exponential, a common picture of the lag; the time constant is the cell's own.
pub fn lagging_gravity(from: f64, to: f64, tau_days: f64, days: f64) -> Result<f64, OutOfRange> {
    READING.check(from)?;
    READING.check(to)?;
    Range::new("time constant of the lag", "days", 0.5, 60.0).check(tau_days)?;
    DAYS.check(days)?;
    Ok(to - (to - from) * libm::exp(-days / tau_days))
}

/// Lead sulfate left uncharged on each plate for a deficit of charge, g.
///
/// # Source
/// Arithmetic: half of 11.3150 g for each Ah.
pub fn sulfate_each_plate_g(deficit_ah: f64) -> Result<f64, OutOfRange> {
    super::gravity::CHARGE.check(deficit_ah)?;
    Ok(super::plates::SULFATE_G_PER_AH / 2.0 * deficit_ah)
}

/// Diffusivity of acid at the usual strength of a stationary cell, m²/s.
///
/// # Source
/// [`acid::diffusivity_m2_s`] at 3.7 mol/L.
pub fn usual_diffusivity_m2_s() -> Result<f64, OutOfRange> {
    acid::diffusivity_m2_s(3.7)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_top_stays_empty_at_first_and_evens_out_at_last() {
        let d = usual_diffusivity_m2_s().unwrap();
        assert!((0.0..1e-9).contains(&top_share(0.3, d, 1.0).unwrap()));
        assert!((top_share(0.3, d, 1500.0).unwrap() - 0.5).abs() < 1e-9);
    }

    #[test]
    fn heat_that_would_empty_the_cell_at_once_is_refused() {
        assert!(lost_on_open_circuit(0.2, 6.0, 46.0).is_err());
    }
}
