//! Capacity tests: correction for temperature, verdict, longer and shorter rates.

use super::acid::interpolate;
use super::range::{OutOfRange, Range};

/// Electrolyte temperature at the start that the time correction holds for.
pub const TIME_TEMPERATURE: Range = Range::new("electrolyte temperature", "°C", 4.4, 48.9);
/// Electrolyte temperature at the start that the rate correction holds for.
pub const RATE_TEMPERATURE: Range = Range::new("electrolyte temperature", "°C", -3.9, 51.7);
/// Minutes to the end voltage in a test judged by time.
pub const ACTUAL_MIN: Range = Range::new("time to the end voltage", "min", 1.0, 6000.0);
/// Rated minutes of a test judged by time, an hour at least.
pub const RATED_MIN: Range = Range::new("rated time", "min", 60.0, 6000.0);
/// Current of a test.
pub const RATE: Range = Range::new("test current", "A", 0.1, 20_000.0);
/// Capacity of a cell.
pub const CAPACITY: Range = Range::new("capacity", "Ah", 1.0, 20_000.0);
/// Capacity in per cent of rating.
pub const PERCENT: Range = Range::new("capacity", "% of rating", 0.0, 150.0);

/// Time correction by temperature of the electrolyte in °C.
///
/// # Source
/// IEEE 450-2002 table 1, from memory; to be checked against the text before official use.
const TIME_FACTOR: [(f64, f64); 37] = [
    (4.4, 0.670),
    (7.2, 0.735),
    (10.0, 0.790),
    (12.8, 0.840),
    (15.6, 0.882),
    (18.3, 0.920),
    (18.9, 0.927),
    (19.4, 0.935),
    (20.0, 0.942),
    (20.6, 0.948),
    (21.1, 0.955),
    (21.7, 0.960),
    (22.2, 0.970),
    (22.8, 0.975),
    (23.4, 0.980),
    (23.9, 0.985),
    (24.5, 0.990),
    (25.0, 1.000),
    (25.6, 1.002),
    (26.1, 1.007),
    (26.7, 1.011),
    (27.2, 1.017),
    (27.8, 1.023),
    (28.3, 1.030),
    (28.9, 1.035),
    (29.4, 1.040),
    (30.0, 1.045),
    (30.6, 1.050),
    (31.1, 1.055),
    (31.6, 1.060),
    (32.2, 1.065),
    (35.0, 1.090),
    (37.8, 1.112),
    (40.6, 1.140),
    (43.3, 1.162),
    (46.1, 1.187),
    (48.9, 1.210),
];

/// Rate correction by temperature of the electrolyte in °C.
///
/// # Source
/// IEEE 485 table 1, from memory; to be checked against the text before official use.
const RATE_FACTOR: [(f64, f64); 24] = [
    (-3.9, 1.520),
    (-1.1, 1.430),
    (1.7, 1.350),
    (4.4, 1.300),
    (7.2, 1.250),
    (10.0, 1.190),
    (12.8, 1.150),
    (15.6, 1.110),
    (18.3, 1.080),
    (20.0, 1.056),
    (21.1, 1.040),
    (22.2, 1.029),
    (23.9, 1.011),
    (25.0, 1.000),
    (26.7, 0.980),
    (29.4, 0.960),
    (32.2, 0.940),
    (35.0, 0.930),
    (37.8, 0.910),
    (40.6, 0.890),
    (43.3, 0.880),
    (46.1, 0.870),
    (48.9, 0.860),
    (51.7, 0.850),
];

/// Time correction factor by temperature at the start of the test; 1 at 25 °C, less when cold.
///
/// # Source
/// IEEE 450-2002 table 1, from memory; straight lines between rows.
pub fn time_factor(celsius: f64) -> Result<f64, OutOfRange> {
    TIME_TEMPERATURE.check(celsius)?;
    Ok(interpolate(&TIME_FACTOR, celsius))
}

/// Rate correction factor by temperature at the start of the test; 1 at 25 °C, more when cold.
///
/// # Source
/// IEEE 485 table 1, from memory; straight lines between rows.
pub fn rate_factor(celsius: f64) -> Result<f64, OutOfRange> {
    RATE_TEMPERATURE.check(celsius)?;
    Ok(interpolate(&RATE_FACTOR, celsius))
}

/// Capacity in per cent from the time a long test lasted.
///
/// # Source
/// IEEE 450, time-adjusted method: 100 · actual / (rated · factor).
pub fn by_time_percent(actual_min: f64, rated_min: f64, celsius: f64) -> Result<f64, OutOfRange> {
    ACTUAL_MIN.check(actual_min)?;
    RATED_MIN.check(rated_min)?;
    Ok(100.0 * actual_min / (rated_min * time_factor(celsius)?))
}

/// Capacity in per cent from the current of a short test.
///
/// # Source
/// IEEE 450, rate-adjusted method, from memory: 100 · actual rate · factor / published rate for
/// the time that was reached.
pub fn by_rate_percent(actual_a: f64, published_a: f64, celsius: f64) -> Result<f64, OutOfRange> {
    RATE.check(actual_a)?;
    RATE.check(published_a)?;
    Ok(100.0 * actual_a * rate_factor(celsius)? / published_a)
}

/// Length of a test, which sets how much temperature matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Length {
    /// Well over three hours: 0.006 for each °C.
    Long,
    /// Under three hours: 0.010 for each °C.
    Short,
}

/// Capacity in ampere-hours brought to 20 °C.
///
/// # Source
/// IEC 60896-11, from memory: capacity / (1 + coefficient · (temperature − 20)).
pub fn at_20_ah(measured_ah: f64, celsius: f64, length: Length) -> Result<f64, OutOfRange> {
    CAPACITY.check(measured_ah)?;
    Range::new("electrolyte temperature", "°C", 15.0, 35.0).check(celsius)?;
    let per_c = match length {
        Length::Long => 0.006,
        Length::Short => 0.010,
    };
    Ok(measured_ah / (1.0 + per_c * (celsius - 20.0)))
}

/// What a capacity result means for the battery.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Under 80 % of rating.
    EndOfLife,
    /// Under 90 %, or more than 10 points under the previous test: test every year.
    Degraded,
    /// Neither.
    Sound,
}

/// Judges a capacity in per cent, against the previous test when there was one.
///
/// # Source
/// UFGS 16265A and a published storage battery maintenance guide: under 80 % ends service life,
/// under 90 % asks for yearly tests; drop of more than 10 % of rating: IEEE 450, from memory.
pub fn judge(percent: f64, previous: Option<f64>) -> Result<Verdict, OutOfRange> {
    PERCENT.check(percent)?;
    let dropped = match previous {
        // The guard keeps a drop of exactly ten from counting through rounding.
        Some(previous) => PERCENT.check(previous)? - percent > 10.0 + 1e-9,
        None => false,
    };
    Ok(if percent < 80.0 {
        Verdict::EndOfLife
    } else if dropped || percent < 90.0 {
        Verdict::Degraded
    } else {
        Verdict::Sound
    })
}

/// Hours that a cell lasts at another current.
///
/// # Source
/// Peukert's law: rated hours · (capacity / (current · rated hours))^exponent.
pub fn peukert_hours(
    capacity_ah: f64,
    rated_h: f64,
    current_a: f64,
    exponent: f64,
) -> Result<f64, OutOfRange> {
    CAPACITY.check(capacity_ah)?;
    Range::new("rated time", "h", 1.0, 100.0).check(rated_h)?;
    let times = RATE.check(current_a)? * rated_h / capacity_ah;
    Range::new("current over the rated current", "", 0.2, 8.0).check(times)?;
    Range::new("Peukert exponent", "", 1.0, 1.5).check(exponent)?;
    Ok(rated_h * libm::pow(1.0 / times, exponent))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_factor_rises_and_rate_factor_falls() {
        assert!(TIME_FACTOR.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 < w[1].1));
        assert!(RATE_FACTOR.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 > w[1].1));
        assert_eq!((time_factor(25.0), rate_factor(25.0)), (Ok(1.0), Ok(1.0)));
    }

    #[test]
    fn a_frozen_or_boiling_test_is_refused() {
        assert!(time_factor(0.0).is_err() && rate_factor(60.0).is_err());
    }
}
