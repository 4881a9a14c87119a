//! Gas, water and air: what a charging current makes and what the room must carry off.

use super::acid::{FARADAY, GAS_CONSTANT, WATER_25_KG_M3, WATER_G_MOL, ZERO_C_K};
use super::range::{OutOfRange, Range};

/// Current that decomposes water.
pub const CURRENT: Range = Range::new("gassing current", "A", 0.0, 5000.0);
/// Float current of a string.
pub const FLOAT_CURRENT: Range = Range::new("float current", "A", 0.0, 100.0);
/// Room or gas temperature.
pub const TEMPERATURE: Range = Range::new("temperature", "°C", -10.0, 60.0);
/// Hours that a current flows.
pub const HOURS: Range = Range::new("time", "h", 0.0, 400_000.0);
/// Cells that gas.
pub const CELLS: Range = Range::new("cells", "", 1.0, 5000.0);
/// Rated capacity.
pub const CAPACITY: Range = Range::new("rated capacity", "Ah", 1.0, 20_000.0);
/// Gassing current by the ampere-hour of rating.
pub const SPECIFIC: Range = Range::new("gassing current", "mA/Ah", 0.1, 100.0);
/// Share of hydrogen in air that a design may allow.
pub const SHARE: Range = Range::new("hydrogen limit", "%", 0.1, 4.0);
/// Free volume of a room.
pub const ROOM: Range = Range::new("free room volume", "m³", 0.1, 100_000.0);
/// Air flow through a room.
pub const FLOW: Range = Range::new("air flow", "m³/h", 0.0, 100_000.0);

/// Standard atmosphere, Pa.
const ATMOSPHERE: f64 = 101_325.0;
/// Litres in a cubic foot.
const LITRES_PER_FT3: f64 = 28.316_846_6;
/// Hours in a year of 365.25 days.
pub const HOURS_PER_YEAR: f64 = 8766.0;
/// Hours in a twelfth of a year.
pub const HOURS_PER_MONTH: f64 = HOURS_PER_YEAR / 12.0;
/// Moles of hydrogen made by one ampere-hour.
///
/// # Source
/// Arithmetic: 3600 / 2F.
pub const HYDROGEN_MOL_PER_AH: f64 = 3600.0 / (2.0 * FARADAY);
/// Grams of hydrogen made by one ampere-hour.
///
/// # Source
/// Arithmetic with 2.01588 g/mol.
pub const HYDROGEN_G_PER_AH: f64 = HYDROGEN_MOL_PER_AH * 2.015_88;
/// Grams of oxygen made by one ampere-hour.
///
/// # Source
/// Arithmetic with 31.9988 g/mol, four electrons.
pub const OXYGEN_G_PER_AH: f64 = HYDROGEN_MOL_PER_AH / 2.0 * 31.998_8;
/// Grams of water that one ampere-hour decomposes.
///
/// # Source
/// Arithmetic with 18.01528 g/mol.
pub const WATER_G_PER_AH: f64 = HYDROGEN_MOL_PER_AH * WATER_G_MOL;

/// Litres of hydrogen made by one ampere-hour, at one atmosphere.
///
/// # Source
/// Faraday's law and the ideal gas.
pub fn hydrogen_l_per_ah(celsius: f64) -> Result<f64, OutOfRange> {
    TEMPERATURE.check(celsius)?;
    Ok(HYDROGEN_MOL_PER_AH * GAS_CONSTANT * (celsius + ZERO_C_K) / ATMOSPHERE * 1000.0)
}

/// Cubic metres of hydrogen an hour from a current through a number of cells.
///
/// # Source
/// [`hydrogen_l_per_ah`] times cells.
pub fn hydrogen_m3_h(current_a: f64, cells: f64, celsius: f64) -> Result<f64, OutOfRange> {
    CURRENT.check(current_a)?;
    CELLS.check(cells)?;
    Ok(current_a * cells * hydrogen_l_per_ah(celsius)? / 1000.0)
}

/// Cubic feet a minute from cubic metres an hour.
pub fn cubic_feet_per_minute(m3_h: f64) -> f64 {
    m3_h * 1000.0 / LITRES_PER_FT3 / 60.0
}

/// Water that a gassing current takes from one cell, grams.
///
/// Counts only current that decomposes water; evaporation comes on top. A vent that turns gas
/// back into water saves its share.
///
/// # Source
/// Faraday's law, 0.336087 g for each ampere-hour.
pub fn water_g(current_a: f64, hours: f64, share_returned: f64) -> Result<f64, OutOfRange> {
    CURRENT.check(current_a)?;
    HOURS.check(hours)?;
    Range::new("share turned back into water", "", 0.0, 1.0).check(share_returned)?;
    Ok(WATER_G_PER_AH * current_a * hours * (1.0 - share_returned))
}

/// Millilitres at 25 °C from grams of water.
pub fn water_ml(grams: f64) -> f64 {
    grams / (WATER_25_KG_M3 / 1000.0)
}

/// Months until a gassing current has used the water between the level lines.
///
/// # Source
/// Faraday's law; density of water at 25 °C.
pub fn watering_months(area_cm2: f64, between_mm: f64, current_a: f64) -> Result<f64, OutOfRange> {
    super::gravity::AREA.check(area_cm2)?;
    Range::new("height between the level lines", "mm", 1.0, 300.0).check(between_mm)?;
    Range { min: 0.001, ..CURRENT }.check(current_a)?;
    let reserve_g = area_cm2 * between_mm / 10.0 * WATER_25_KG_M3 / 1000.0;
    Ok(reserve_g / (current_a * HOURS_PER_MONTH * WATER_G_PER_AH))
}

/// Float current to expect at a temperature, from the current recorded at 25 °C.
///
/// # Source
/// A seen installation manual: doubles for each 8 °C (15 °F). 25/3 °C is the exact 15 °F.
pub fn float_current_at(at_25_a: f64, celsius: f64, doubling_c: f64) -> Result<f64, OutOfRange> {
    FLOAT_CURRENT.check(at_25_a)?;
    Range { min: 5.0, max: 50.0, ..TEMPERATURE }.check(celsius)?;
    Range::new("degrees that double the current", "°C", 7.0, 11.0).check(doubling_c)?;
    Ok(at_25_a * libm::exp2((celsius - 25.0) / doubling_c))
}

/// Air needed by the rated-current method, m³/h: 0.05 · cells · gassing current · capacity.
///
/// The factor 0.05 is 24 · 0.42e-3 · 5 = 0.0504 rounded, as printed.
///
/// # Source
/// EN/IEC 62485-2; factors seen in a public ventilation calculator.
pub fn rated_flow_m3_h(cells: f64, ma_per_ah: f64, capacity_ah: f64) -> Result<f64, OutOfRange> {
    CELLS.check(cells)?;
    SPECIFIC.check(ma_per_ah)?;
    CAPACITY.check(capacity_ah)?;
    Ok(0.05 * cells * ma_per_ah * capacity_ah / 1000.0)
}

/// Gassing current in mA for each Ah by which vented cells are rated.
///
/// # Source
/// EN/IEC 62485-2 for vented cells with under 3 % antimony: current · 1 · 5.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    /// Float at 2.23 V.
    Float,
    /// Boost charge at 2.40 V.
    Boost,
}

impl Duty {
    /// Gassing current, mA for each Ah of rating.
    pub fn ma_per_ah(self) -> f64 {
        match self {
            Self::Float => 5.0,
            Self::Boost => 20.0,
        }
    }
}

/// Free area of each of two openings for natural draught, cm².
///
/// # Source
/// EN 62485-2, from memory: 28 · flow.
pub fn opening_cm2(flow_m3_h: f64) -> Result<f64, OutOfRange> {
    FLOW.check(flow_m3_h)?;
    Ok(28.0 * flow_m3_h)
}

/// Distance to keep sparks and glowing parts away from the vent of a cell, mm.
///
/// # Source
/// EN 62485-2, from memory: 28.8 · ∛current · ∛capacity, current in mA/Ah.
pub fn spark_distance_mm(ma_per_ah: f64, capacity_ah: f64) -> Result<f64, OutOfRange> {
    SPECIFIC.check(ma_per_ah)?;
    CAPACITY.check(capacity_ah)?;
    Ok(28.8 * libm::cbrt(ma_per_ah) * libm::cbrt(capacity_ah))
}

/// Air needed to dilute hydrogen to a limit in per cent, m³/h.
///
/// # Source
/// Arithmetic; 1 % in fire codes, 2 % in stationary practice, 4 % is the lower flammable limit.
pub fn dilution_flow_m3_h(hydrogen_m3_h: f64, limit_percent: f64) -> Result<f64, OutOfRange> {
    HYDROGEN.check(hydrogen_m3_h)?;
    SHARE.check(limit_percent)?;
    Ok(hydrogen_m3_h / (limit_percent / 100.0))
}

/// Hydrogen that a battery gives off.
pub const HYDROGEN: Range = Range::new("hydrogen", "m³/h", 0.0, 1000.0);

/// Share of hydrogen in a room after some hours, from none, the gas displacing air.
///
/// # Source
/// Arithmetic: q/(Q+q) · (1 − exp(−(Q+q)·t/V)).
pub fn hydrogen_share(
    hydrogen_m3_h: f64,
    flow_m3_h: f64,
    room_m3: f64,
    hours: f64,
) -> Result<f64, OutOfRange> {
    HOURS.check(hours)?;
    ROOM.check(room_m3)?;
    let settled = settled_share(hydrogen_m3_h, flow_m3_h)?;
    let changes = (flow_m3_h + hydrogen_m3_h) * hours / room_m3;
    Ok(-settled * libm::expm1(-changes))
}

/// Share of hydrogen that a ventilated room settles at; 1 without air, 0 without gas.
///
/// # Source
/// Arithmetic: q/(Q+q).
pub fn settled_share(hydrogen_m3_h: f64, flow_m3_h: f64) -> Result<f64, OutOfRange> {
    HYDROGEN.check(hydrogen_m3_h)?;
    FLOW.check(flow_m3_h)?;
    Ok(if hydrogen_m3_h == 0.0 { 0.0 } else { hydrogen_m3_h / (flow_m3_h + hydrogen_m3_h) })
}

/// Hours until a closed room without any air change holds a share of hydrogen in per cent.
///
/// # Source
/// Arithmetic: −V/q · ln(1 − limit).
pub fn hours_to(hydrogen_m3_h: f64, room_m3: f64, limit_percent: f64) -> Result<f64, OutOfRange> {
    Range { min: 1e-9, ..HYDROGEN }.check(hydrogen_m3_h)?;
    ROOM.check(room_m3)?;
    SHARE.check(limit_percent)?;
    Ok(-room_m3 / hydrogen_m3_h * libm::log1p(-limit_percent / 100.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_current_makes_no_gas_and_no_division_by_zero() {
        assert_eq!(hydrogen_m3_h(0.0, 60.0, 25.0), Ok(0.0));
        assert_eq!(settled_share(0.0, 0.0), Ok(0.0));
        assert!(hours_to(0.0, 60.0, 1.0).is_err() && watering_months(420.0, 40.0, 0.0).is_err());
    }

    #[test]
    fn a_closed_room_agrees_with_the_filling_time() {
        let hours = hours_to(0.008, 60.0, 1.0).unwrap();
        let share = hydrogen_share(0.008, 0.0, 60.0, hours).unwrap();
        assert!((share - 0.01).abs() < 1e-12);
    }

    #[test]
    fn water_and_gas_weigh_the_same() {
        assert!((WATER_G_PER_AH - HYDROGEN_G_PER_AH - OXYGEN_G_PER_AH).abs() < 1e-6);
    }
}
