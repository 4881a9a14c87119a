//! How temperature shortens life.

use super::acid::{GAS_CONSTANT, ZERO_C_K};
use super::range::{OutOfRange, Range};

/// Long-term temperature of the electrolyte.
pub const TEMPERATURE: Range = Range::new("electrolyte temperature", "°C", 0.0, 60.0);
/// Degrees that halve the life.
pub const HALVING: Range = Range::new("degrees that halve the life", "°C", 7.0, 12.0);
/// Degrees that halve the life in European practice.
///
/// # Source
/// Common practice.
pub const HALVING_EUROPE_C: f64 = 10.0;
/// Degrees that halve the life in North American practice: 15 °F.
///
/// # Source
/// IEEE 450 and 1188 family, from memory.
pub const HALVING_NORTH_AMERICA_C: f64 = 25.0 / 3.0;
/// Design life at 25 °C.
pub const LIFE: Range = Range::new("design life at 25 °C", "years", 0.5, 50.0);
/// Activation energy of ageing.
pub const ACTIVATION: Range = Range::new("activation energy", "J/mol", 20_000.0, 100_000.0);

/// How much faster a cell ages at a temperature than at 25 °C; under 1 when cooler.
///
/// # Source
/// Common practice: 2 to the power (temperature − 25) / halving.
pub fn factor(celsius: f64, halving_c: f64) -> Result<f64, OutOfRange> {
    TEMPERATURE.check(celsius)?;
    HALVING.check(halving_c)?;
    Ok(libm::exp2((celsius - 25.0) / halving_c))
}

/// Life at a steady temperature before any promise is limited, years.
///
/// # Source
/// Design life over [`factor`].
pub fn life_unclamped_years(
    design_years: f64,
    celsius: f64,
    halving_c: f64,
) -> Result<f64, OutOfRange> {
    LIFE.check(design_years)?;
    Ok(design_years / factor(celsius, halving_c)?)
}

/// Life at a steady temperature, years; never longer than design, however cool the room.
///
/// # Source
/// [`life_unclamped_years`].
pub fn life_years(design_years: f64, celsius: f64, halving_c: f64) -> Result<f64, OutOfRange> {
    Ok(life_unclamped_years(design_years, celsius, halving_c)?.min(design_years))
}

/// A stretch of time at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Length in any unit that is the same throughout a history.
    pub length: f64,
    /// Temperature, °C.
    pub celsius: f64,
}

/// How much faster a cell ages over a history of temperatures than at 25 °C.
///
/// Stretches with no length do not count, and hours without a temperature are left out by the
/// caller, not taken as 25 °C.
///
/// # Source
/// Mean of the factors, which weights lives harmonically.
pub fn mean_factor(
    history: &[Stretch],
    factor: impl Fn(f64) -> Result<f64, OutOfRange>,
) -> Result<f64, OutOfRange> {
    let (mut total, mut aged) = (0.0, 0.0);
    for stretch in history.iter().filter(|s| s.length != 0.0) {
        LENGTH.check(stretch.length)?;
        total += stretch.length;
        aged += stretch.length * factor(stretch.celsius)?;
    }
    LENGTH.check(total)?;
    Ok(aged / total)
}

const LENGTH: Range = Range::new("length of the temperature history", "", 1e-6, 1e6);

/// The steady temperature that ages a cell as fast as a history does, °C.
///
/// # Source
/// [`factor`] turned round; always above the plain mean of an uneven history.
pub fn equal_temperature_c(mean_factor: f64, halving_c: f64) -> Result<f64, OutOfRange> {
    HALVING.check(halving_c)?;
    Range::new("ageing factor", "", 0.01, 100.0).check(mean_factor)?;
    Ok(25.0 + halving_c * libm::log2(mean_factor))
}

/// Share of life used up by a history given in years.
///
/// # Source
/// Sum of years over life at each temperature.
pub fn damage(
    history_years: &[Stretch],
    design_years: f64,
    halving_c: f64,
) -> Result<f64, OutOfRange> {
    history_years.iter().try_fold(0.0, |sum, stretch| {
        Range::new("time", "years", 0.0, 60.0).check(stretch.length)?;
        Ok(sum + stretch.length / life_unclamped_years(design_years, stretch.celsius, halving_c)?)
    })
}

/// How much faster a cell ages at a temperature than at 25 °C, by activation energy.
///
/// # Source
/// Arrhenius equation.
pub fn arrhenius_factor(celsius: f64, j_mol: f64) -> Result<f64, OutOfRange> {
    TEMPERATURE.check(celsius)?;
    ACTIVATION.check(j_mol)?;
    Ok(libm::exp(j_mol / GAS_CONSTANT * (1.0 / 298.15 - 1.0 / (celsius + ZERO_C_K))))
}

/// Activation energy at which life halves from 25 °C to so many degrees above, J/mol.
///
/// # Source
/// Arrhenius equation solved for the energy.
pub fn activation_j_mol(halving_c: f64) -> Result<f64, OutOfRange> {
    HALVING.check(halving_c)?;
    let step = 1.0 / 298.15 - 1.0 / (298.15 + halving_c);
    Ok(GAS_CONSTANT * core::f64::consts::LN_2 / step)
}

/// Mean ageing factor of a temperature that swings as a sine around 25 °C.
///
/// # Source
/// Modified Bessel function of order zero, by its series.
pub fn swing_factor(amplitude_c: f64, halving_c: f64) -> Result<f64, OutOfRange> {
    Range::new("swing of temperature", "°C", 0.0, 25.0).check(amplitude_c)?;
    HALVING.check(halving_c)?;
    let half = amplitude_c * core::f64::consts::LN_2 / halving_c / 2.0;
    let (mut term, mut sum) = (1.0, 1.0);
    for k in 1..60 {
        let step = half / f64::from(k);
        term *= step * step;
        sum += term;
    }
    Ok(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cool_room_does_not_promise_more_than_design() {
        assert_eq!(life_years(20.0, 15.0, 10.0), Ok(20.0));
        assert!(life_unclamped_years(20.0, 15.0, 10.0).unwrap() > 39.9);
    }

    #[test]
    fn a_history_ages_faster_than_its_mean_temperature() {
        let history =
            [Stretch { length: 6.0, celsius: 20.0 }, Stretch { length: 6.0, celsius: 36.0 }];
        let mean = mean_factor(&history, |c| factor(c, 10.0)).unwrap();
        assert!(equal_temperature_c(mean, 10.0).unwrap() > 28.0);
    }

    #[test]
    fn an_empty_history_is_refused() {
        assert!(mean_factor(&[], |c| factor(c, 10.0)).is_err());
    }
}
