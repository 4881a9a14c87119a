//! Voltage of cells and strings: at rest, on float, against neighbours.

use super::acid::{self, FARADAY, GAS_CONSTANT, Water};
use super::range::{OutOfRange, Range, reach};

/// Acid per kilogram of water in which the rest-voltage fit holds.
pub const MOLALITY: Range = Range::new("acid", "mol/kg water", 0.1, 7.0);
/// Rested voltage of one cell that can be mapped to a gravity.
pub const RESTED: Range = Range::new("rested cell voltage", "V", 1.94, 2.15);
/// Voltage that a meter can show across one cell, a reversed one included.
pub const CELL: Range = Range::new("cell voltage", "V", -3.0, 4.0);
/// Float voltage of one cell.
pub const FLOAT: Range = Range::new("float voltage per cell", "V", 1.8, 2.8);
/// Float voltage of a string.
pub const STRING: Range = Range::new("string voltage", "V", 1.0, 1200.0);
/// Cells of a string.
pub const CELLS: Range = Range::new("cells in the string", "", 1.0, 480.0);
/// Temperature of electrolyte for float corrections.
pub const TEMPERATURE: Range = Range::new("electrolyte temperature", "°C", 0.0, 50.0);
/// Change of float voltage with temperature.
pub const PER_C: Range = Range::new("change of float voltage", "V/°C per cell", -0.0055, -0.0025);
/// Usual change of float voltage with temperature, V per °C and cell.
///
/// # Source
/// From memory; makers give −0.0025 to −0.0055.
pub const USUAL_PER_C: f64 = -0.0033;

/// Voltage of each plate group at rest against the hydrogen scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    /// Positive group, V.
    pub positive_v: f64,
    /// Negative group, V.
    pub negative_v: f64,
}

impl Rest {
    /// Voltage between the groups.
    pub fn cell_v(&self) -> f64 {
        self.positive_v - self.negative_v
    }
}

/// Rest voltages at 25 °C from acid in mol per kilogram of water.
///
/// # Source
/// Bode 1977 as fitted in the lead-acid parameter set of pybamm 26.10.1.1, powers of log10.
pub fn rest(mol_kg: f64) -> Result<Rest, OutOfRange> {
    MOLALITY.check(mol_kg)?;
    Ok(fit(mol_kg))
}

fn fit(mol_kg: f64) -> Rest {
    let l = libm::log10(mol_kg);
    let power = |c: [f64; 5]| c.iter().rev().fold(0.0, |sum, c| sum * l + c);
    Rest {
        positive_v: power([1.628, 0.074, 0.033, 0.043, 0.022]),
        negative_v: power([-0.294, -0.074, -0.030, -0.031, -0.012]),
    }
}

/// Rested voltage of a fully mixed cell at 25 °C from its gravity.
///
/// # Source
/// [`rest`] on [`acid::share`].
pub fn open_circuit_v(gravity: f64, water: Water) -> Result<f64, OutOfRange> {
    Ok(rest(acid::molality_mol_kg(acid::share(gravity, water)?)?)?.cell_v())
}

/// Rested voltage by the desk rule: gravity plus 0.84 (some texts 0.845).
///
/// Reads 4 to 26 mV under [`open_circuit_v`].
///
/// # Source
/// Common practice.
pub fn open_circuit_by_rule_v(gravity: f64, plus_v: f64) -> Result<f64, OutOfRange> {
    super::gravity::READING.check(gravity)?;
    Range::new("constant of the rule", "V", 0.84, 0.845).check(plus_v)?;
    Ok(gravity + plus_v)
}

/// Gravity against water at 4 °C from a rested voltage; 5 mV off is 0.0055 off.
///
/// The cell must have rested for a day at least, and be mixed. A reversed cell, or one under
/// 1.94 V, cannot be mapped.
///
/// # Source
/// [`open_circuit_v`] solved by halving.
pub fn gravity_from_rested(volts: f64) -> Result<f64, OutOfRange> {
    RESTED.check(volts)?;
    let (low, high) = (acid::gravity_range(Water::At4).min, 1.31);
    let at = |gravity| open_circuit_v(gravity, Water::At4).unwrap_or(f64::INFINITY);
    Ok(reach(volts, low, high, at))
}

/// Rest voltage from activities: standard voltage + RT/F · (ln a(acid) − ln a(water)).
///
/// # Source
/// Nernst equation; 2.048 V is the standard voltage used with the activities in the tests.
pub fn from_activities_v(
    standard_v: f64,
    ln_acid: f64,
    water: f64,
    celsius: f64,
) -> Result<f64, OutOfRange> {
    Range::new("standard voltage", "V", 2.0, 2.1).check(standard_v)?;
    Range::new("log activity of acid", "", -20.0, 10.0).check(ln_acid)?;
    Range::new("activity of water", "", 0.1, 1.0).check(water)?;
    TEMPERATURE.check(celsius)?;
    let thermal_v = GAS_CONSTANT * (celsius + acid::ZERO_C_K) / FARADAY;
    Ok(standard_v + thermal_v * (ln_acid - libm::log(water)))
}

/// Float voltage to set at a temperature, from the setting at 25 °C.
///
/// # Source
/// Common practice, slope from memory; the maker's own slope decides.
pub fn float_at(at_25_v: f64, celsius: f64, per_c: f64) -> Result<f64, OutOfRange> {
    FLOAT.check(at_25_v)?;
    TEMPERATURE.check(celsius)?;
    PER_C.check(per_c)?;
    Ok(at_25_v + per_c * (celsius - 25.0))
}

/// Float voltage reading of a cell brought to 25 °C.
///
/// # Source
/// [`float_at`] turned round.
pub fn at_25(reading_v: f64, celsius: f64, per_c: f64) -> Result<f64, OutOfRange> {
    CELL.check(reading_v)?;
    TEMPERATURE.check(celsius)?;
    PER_C.check(per_c)?;
    Ok(reading_v - per_c * (celsius - 25.0))
}

/// How the float voltage of a nominal 1.215 cell stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FloatState {
    /// A meter shows plus and minus exchanged.
    Reversed,
    /// Under 2.07 V.
    Failed,
    /// At or under 2.13 V.
    Attention,
    /// Above 2.13 V.
    Sound,
}

/// Judges the float voltage at 25 °C of one cell with nominal gravity 1.215.
///
/// # Source
/// IEEE 450 and the class of nuclear plant technical specifications, from memory.
pub fn judge_float(at_25_v: f64) -> Result<FloatState, OutOfRange> {
    CELL.check(at_25_v)?;
    Ok(if at_25_v < 0.0 {
        FloatState::Reversed
    } else if at_25_v < 2.07 {
        FloatState::Failed
    } else if at_25_v <= 2.13 {
        FloatState::Attention
    } else {
        FloatState::Sound
    })
}

/// Voltage per cell of a string.
///
/// # Source
/// Arithmetic.
pub fn per_cell_v(string_v: f64, cells: f64) -> Result<f64, OutOfRange> {
    STRING.check(string_v)?;
    CELLS.check(cells)?;
    Ok(string_v / cells)
}

/// Mean voltage of the other cells when one is known; the charger holds the sum.
///
/// # Source
/// Arithmetic.
pub fn others_v(string_v: f64, cells: f64, one_v: f64) -> Result<f64, OutOfRange> {
    STRING.check(string_v)?;
    Range { min: 2.0, ..CELLS }.check(cells)?;
    CELL.check(one_v)?;
    Ok((string_v - one_v) / (cells - 1.0))
}

/// Cells that a charging voltage limit allows.
///
/// # Source
/// Arithmetic.
pub fn cells_for(limit_v: f64, equalise_v: f64) -> Result<f64, OutOfRange> {
    STRING.check(limit_v)?;
    FLOAT.check(equalise_v)?;
    // The guard keeps 140 / 2.3333… from falling short of a whole cell by rounding.
    Ok(libm::floor(limit_v / equalise_v + 1e-9))
}

/// How one kind of plate answers a small current: Tafel slope and exchange current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tafel {
    /// Volts for each tenfold current.
    pub v_per_decade: f64,
    /// Exchange current, A for each Ah of rating.
    pub exchange_a_per_ah: f64,
}

/// How the voltage above rest is shared between the plates on float.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Polarisation {
    /// Current through the cell, A for each Ah of rating.
    pub a_per_ah: f64,
    /// Positive plates above rest, V.
    pub positive_v: f64,
    /// Negative plates below rest, V.
    pub negative_v: f64,
}

/// Shares a voltage above rest between plates that carry the same current.
///
/// Illustrative: slopes and exchange currents differ widely between cells.
///
/// # Source
/// Tafel equation for both plates, solved for the common current.
pub fn share_polarisation(
    above_rest_v: f64,
    positive: Tafel,
    negative: Tafel,
) -> Result<Polarisation, OutOfRange> {
    Range::new("voltage above rest", "V", 0.0, 0.6).check(above_rest_v)?;
    for plate in [positive, negative] {
        SLOPE.check(plate.v_per_decade)?;
        Range::new("exchange current", "A/Ah", 1e-12, 1e-2).check(plate.exchange_a_per_ah)?;
    }
    let rest = |plate: Tafel| plate.v_per_decade * libm::log10(plate.exchange_a_per_ah);
    let log_current = (above_rest_v + rest(positive) + rest(negative))
        / (positive.v_per_decade + negative.v_per_decade);
    let over = |plate: Tafel| plate.v_per_decade * log_current - rest(plate);
    Ok(Polarisation {
        a_per_ah: libm::exp10(log_current),
        positive_v: over(positive),
        negative_v: over(negative),
    })
}

const SLOPE: Range = Range::new("Tafel slope", "V/decade", 0.02, 0.40);

/// Factor on a Tafel current for a change of voltage.
///
/// # Source
/// Tafel equation.
pub fn tafel_factor(change_v: f64, v_per_decade: f64) -> Result<f64, OutOfRange> {
    Range::new("change of voltage", "V", -0.5, 0.5).check(change_v)?;
    SLOPE.check(v_per_decade)?;
    Ok(libm::exp10(change_v / v_per_decade))
}

/// Tafel slope of theory in V for each tenfold current, from the transfer coefficient.
///
/// # Source
/// ln 10 · RT / (transfer · F).
pub fn tafel_slope_v(transfer: f64, celsius: f64) -> Result<f64, OutOfRange> {
    Range::new("transfer coefficient", "", 0.1, 2.0).check(transfer)?;
    TEMPERATURE.check(celsius)?;
    let kelvin = celsius + acid::ZERO_C_K;
    Ok(core::f64::consts::LN_10 * GAS_CONSTANT * kelvin / (transfer * FARADAY))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reversed_or_flat_cell_is_not_mapped_to_a_gravity() {
        assert!(gravity_from_rested(-0.5).is_err() && gravity_from_rested(1.7).is_err());
        let back = gravity_from_rested(open_circuit_v(1.215, Water::At4).unwrap()).unwrap();
        assert!((back - 1.215).abs() < 1e-9);
    }

    #[test]
    fn the_ends_of_the_rested_range_are_reached() {
        for volts in [RESTED.min, RESTED.max] {
            let gravity = gravity_from_rested(volts).unwrap();
            let back = open_circuit_v(gravity, Water::At4).unwrap();
            assert!((back - volts).abs() < 1e-9, "{volts} maps to {gravity} and back to {back}");
        }
    }

    #[test]
    fn limits_of_float_voltage() {
        assert_eq!(judge_float(2.131), Ok(FloatState::Sound));
        assert_eq!(judge_float(2.13), Ok(FloatState::Attention));
        assert_eq!(judge_float(2.07), Ok(FloatState::Attention));
        assert_eq!(judge_float(2.069), Ok(FloatState::Failed));
        assert_eq!(judge_float(-0.4), Ok(FloatState::Reversed));
    }

    #[test]
    fn correcting_undoes_compensating() {
        let set = float_at(2.25, 33.0, -0.0045).unwrap();
        assert!((at_25(set, 33.0, -0.0045).unwrap() - 2.25).abs() < 1e-12);
    }
}
