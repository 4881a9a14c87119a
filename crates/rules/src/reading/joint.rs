//! Connections, internal ohmic value, short circuit and arc.

use super::range::{OutOfRange, Range};

/// Resistance of one connection; a zero or negative reading is a meter error.
pub const RESISTANCE: Range = Range::new("connection resistance", "µΩ", 0.1, 100_000.0);
/// Current through a connection.
pub const CURRENT: Range = Range::new("current", "A", 0.0, 20_000.0);
/// Connections in series.
pub const COUNT: Range = Range::new("connections", "", 1.0, 2000.0);
/// Temperature of a connection.
pub const TEMPERATURE: Range = Range::new("temperature of the connection", "°C", -10.0, 120.0);
/// Internal ohmic value of one cell.
pub const OHMIC: Range = Range::new("internal ohmic value", "mΩ", 0.001, 1000.0);

/// Rise over the baseline as a share; 0.2 is 20 %.
///
/// # Source
/// Arithmetic.
pub fn rise(now_uohm: f64, baseline_uohm: f64) -> Result<f64, OutOfRange> {
    RESISTANCE.check(now_uohm)?;
    RESISTANCE.check(baseline_uohm)?;
    Ok((now_uohm - baseline_uohm) / baseline_uohm)
}

/// Whether a connection is over the action limit of 1.2 times its baseline.
///
/// Exactly 20 % is not over.
///
/// # Source
/// IEEE 450, from memory.
pub fn over_action_limit(now_uohm: f64, baseline_uohm: f64) -> Result<bool, OutOfRange> {
    Ok(rise(now_uohm, baseline_uohm)? > 0.2 + 1e-9)
}

/// Heat made by connections in series, W.
///
/// # Source
/// Arithmetic: count · current² · resistance.
pub fn heat_w(current_a: f64, each_uohm: f64, count: f64) -> Result<f64, OutOfRange> {
    Ok(drop_v(current_a, each_uohm, count)? * current_a)
}

/// Voltage lost over connections in series, V.
///
/// # Source
/// Arithmetic: count · current · resistance.
pub fn drop_v(current_a: f64, each_uohm: f64, count: f64) -> Result<f64, OutOfRange> {
    CURRENT.check(current_a)?;
    RESISTANCE.check(each_uohm)?;
    COUNT.check(count)?;
    Ok(count * current_a * each_uohm * 1e-6)
}

/// How far a connection settles above its surroundings, °C.
///
/// # Source
/// Arithmetic: heat / (transfer · area).
pub fn settled_rise_c(heat_w: f64, w_per_m2_k: f64, area_m2: f64) -> Result<f64, OutOfRange> {
    HEAT.check(heat_w)?;
    Range::new("heat transfer", "W/m²K", 1.0, 100.0).check(w_per_m2_k)?;
    Range::new("surface", "m²", 1e-5, 10.0).check(area_m2)?;
    Ok(heat_w / (w_per_m2_k * area_m2))
}

/// How fast a connection that loses no heat warms, °C each second.
///
/// # Source
/// Arithmetic: heat / (mass · specific heat).
pub fn first_rise_c_s(heat_w: f64, mass_kg: f64, j_per_kg_k: f64) -> Result<f64, OutOfRange> {
    HEAT.check(heat_w)?;
    Range::new("mass", "kg", 0.001, 1000.0).check(mass_kg)?;
    Range::new("specific heat", "J/kg K", 100.0, 1000.0).check(j_per_kg_k)?;
    Ok(heat_w / (mass_kg * j_per_kg_k))
}

const HEAT: Range = Range::new("heat", "W", 0.0, 1e6);

/// Resistance of a copper connection brought to 20 °C.
///
/// # Source
/// Temperature coefficient of copper 0.00393 for each °C at 20 °C, from memory.
pub fn copper_at_20_uohm(reading_uohm: f64, celsius: f64) -> Result<f64, OutOfRange> {
    RESISTANCE.check(reading_uohm)?;
    TEMPERATURE.check(celsius)?;
    Ok(reading_uohm / (1.0 + 0.00393 * (celsius - 20.0)))
}

/// Resistance of a plain bar, µΩ.
///
/// # Source
/// Arithmetic: resistivity · length / section.
pub fn bar_uohm(
    resistivity_ohm_m: f64,
    length_mm: f64,
    section_mm2: f64,
) -> Result<f64, OutOfRange> {
    Range::new("resistivity", "Ωm", 1e-8, 1e-6).check(resistivity_ohm_m)?;
    Range::new("length", "mm", 1.0, 100_000.0).check(length_mm)?;
    Range::new("section", "mm²", 1.0, 100_000.0).check(section_mm2)?;
    Ok(resistivity_ohm_m * (length_mm / 1e3) / (section_mm2 / 1e6) * 1e6)
}

/// Internal resistance of a cell from two loads, mΩ.
///
/// # Source
/// Two-step method: fall of voltage over rise of current.
pub fn two_step_mohm(v1: f64, a1: f64, v2: f64, a2: f64) -> Result<f64, OutOfRange> {
    for volts in [v1, v2] {
        Range::new("cell voltage", "V", 0.5, 2.5).check(volts)?;
    }
    CURRENT.check(a1)?;
    CURRENT.check(a2)?;
    Range::new("step of current", "A", 1.0, 20_000.0).check(a2 - a1)?;
    OHMIC.check((v1 - v2) / (a2 - a1) * 1000.0)
}

/// A string with what limits its short-circuit current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// Cells in series.
    pub cells: f64,
    /// Rest voltage of one cell, V.
    pub rest_v: f64,
    /// Internal resistance of one cell, mΩ.
    pub internal_mohm: f64,
    /// Resistance of one connection between cells, µΩ.
    pub connection_uohm: f64,
    /// Everything outside the string, mΩ.
    pub outside_mohm: f64,
}

impl Circuit {
    /// Resistance of the whole loop, Ω.
    ///
    /// # Source
    /// Arithmetic: cells, one connection fewer, and what lies outside.
    pub fn loop_ohm(&self) -> Result<f64, OutOfRange> {
        super::voltage::CELLS.check(self.cells)?;
        OHMIC.check(self.internal_mohm)?;
        Range { min: 0.0, ..RESISTANCE }.check(self.connection_uohm)?;
        Range::new("resistance outside the string", "mΩ", 0.0, f64::MAX)
            .check(self.outside_mohm)?;
        Ok(self.cells * self.internal_mohm / 1e3
            + (self.cells - 1.0) * self.connection_uohm / 1e6
            + self.outside_mohm / 1e3)
    }

    /// Rest voltage of the string, V.
    ///
    /// # Source
    /// Arithmetic.
    pub fn voltage_v(&self) -> Result<f64, OutOfRange> {
        super::voltage::CELLS.check(self.cells)?;
        Range::new("rest voltage", "V", 1.8, 2.2).check(self.rest_v)?;
        Ok(self.cells * self.rest_v)
    }

    /// Current into a bolted short circuit, A.
    ///
    /// # Source
    /// Ohm's law.
    pub fn short_circuit_a(&self) -> Result<f64, OutOfRange> {
        Ok(self.voltage_v()? / self.loop_ohm()?)
    }

    /// Greatest power that a fault can draw, W, at half voltage.
    ///
    /// # Source
    /// Matched load: V² / 4R.
    pub fn greatest_power_w(&self) -> Result<f64, OutOfRange> {
        let volts = self.voltage_v()?;
        Ok(volts * volts / (4.0 * self.loop_ohm()?))
    }
}

/// Heat of an arc on a surface, cal/cm², in the open; an enclosure may treble it.
///
/// For teaching the size of the hazard only: protective equipment is chosen by a qualified
/// study of the site, never from this figure.
///
/// # Source
/// Greatest-power method of NFPA 70E annex D, from memory: 0.01 · V · I/2 · t / D².
pub fn arc_cal_cm2(
    volts: f64,
    short_circuit_a: f64,
    seconds: f64,
    distance_cm: f64,
) -> Result<f64, OutOfRange> {
    Range::new("string voltage", "V", 12.0, 1000.0).check(volts)?;
    Range::new("short-circuit current", "A", 0.0, 100_000.0).check(short_circuit_a)?;
    Range::new("time of the arc", "s", 0.0, 2.0).check(seconds)?;
    Range::new("working distance", "cm", 10.0, 500.0).check(distance_cm)?;
    Ok(0.01 * volts * (0.5 * short_circuit_a) * seconds / (distance_cm * distance_cm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_negative_resistance_is_a_meter_error() {
        assert!(rise(-5.0, 30.0).is_err() && rise(30.0, 0.0).is_err());
    }

    #[test]
    fn exactly_a_fifth_is_not_over() {
        assert_eq!(over_action_limit(36.0, 30.0), Ok(false));
        assert_eq!(over_action_limit(36.1, 30.0), Ok(true));
    }

    #[test]
    fn an_open_string_gives_no_current() {
        let circuit = Circuit {
            cells: 60.0,
            rest_v: 2.05,
            internal_mohm: 0.15,
            connection_uohm: 30.0,
            outside_mohm: f64::MAX,
        };
        assert!(circuit.short_circuit_a().unwrap() < 1e-300);
    }
}
