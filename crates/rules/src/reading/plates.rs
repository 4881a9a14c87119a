//! Plates: counts, grid corrosion, growth, what they shed and how high it lies.

use super::acid::FARADAY;
use super::range::{OutOfRange, Range};

/// Positive plates of a cell.
pub const POSITIVES: Range = Range::new("positive plates", "", 1.0, 60.0);
/// Corrosion current by the surface of the grid.
pub const CORROSION: Range = Range::new("corrosion current", "µA/cm²", 0.01, 100.0);
/// Lead eaten away in a year.
pub const PENETRATION: Range = Range::new("corrosion", "µm/year", 1.0, 200.0);
/// Mass of shed material.
pub const SHED: Range = Range::new("shed mass", "g", 0.0, 50_000.0);
/// Height of the sediment space, and of sediment in it.
pub const HEIGHT: Range = Range::new("height of sediment", "mm", 0.0, 150.0);
/// Time between readings or since the start.
pub const YEARS: Range = Range::new("time", "years", 0.0, 60.0);
/// Height of a plate.
pub const PLATE: Range = Range::new("plate height", "mm", 50.0, 1000.0);
/// Growth of a plate.
pub const GROWTH: Range = Range::new("growth", "mm", 0.0, 60.0);

/// Molar mass of lead, g/mol.
const LEAD_G_MOL: f64 = 207.2;
/// Molar mass of lead dioxide, g/mol.
const DIOXIDE_G_MOL: f64 = 239.1988;
/// Seconds in a year of 365.25 days.
const SECONDS_PER_YEAR: f64 = 31_557_600.0;

/// Molar volume of lead, m³/mol.
///
/// # Source
/// Lead-acid parameter set of pybamm 26.10.1.1, molar mass over density, as for the other two
/// volumes.
pub const LEAD_M3_MOL: f64 = 0.207 / 11_340.0;
/// Molar volume of lead dioxide, m³/mol.
///
/// # Source
/// As for [`LEAD_M3_MOL`].
pub const DIOXIDE_M3_MOL: f64 = 0.239 / 9_380.0;
/// Molar volume of lead sulfate, m³/mol.
///
/// # Source
/// As for [`LEAD_M3_MOL`].
pub const SULFATE_M3_MOL: f64 = 0.303 / 6_290.0;
/// Lead dioxide used by one ampere-hour, g.
///
/// # Source
/// Arithmetic: molar mass · 3600 / 2F.
pub const DIOXIDE_G_PER_AH: f64 = DIOXIDE_G_MOL * 3600.0 / (2.0 * FARADAY);
/// Lead used by one ampere-hour, g.
///
/// # Source
/// Arithmetic: molar mass · 3600 / 2F.
pub const LEAD_G_PER_AH: f64 = LEAD_G_MOL * 3600.0 / (2.0 * FARADAY);
/// Lead sulfate made on both plates by one ampere-hour, g.
///
/// # Source
/// Arithmetic: 303.2626 g/mol, two moles for two faradays.
pub const SULFATE_G_PER_AH: f64 = 2.0 * 303.2626 * 3600.0 / (2.0 * FARADAY);
/// Lead turned to dioxide by one ampere-hour of corrosion, g.
///
/// # Source
/// Arithmetic: four electrons.
pub const CORRODED_G_PER_AH: f64 = LEAD_G_MOL * 3600.0 / (4.0 * FARADAY);

/// Plates of a cell, one negative more than positives.
///
/// # Source
/// Construction of stationary cells.
pub fn plates(positives: f64) -> Result<f64, OutOfRange> {
    Ok(2.0 * POSITIVES.check(positives)? + 1.0)
}

/// Rated capacity of one positive plate, Ah.
///
/// # Source
/// Arithmetic.
pub fn per_positive_ah(rated_ah: f64, positives: f64) -> Result<f64, OutOfRange> {
    super::capacity::CAPACITY.check(rated_ah)?;
    Ok(rated_ah / POSITIVES.check(positives)?)
}

/// Current through each cm² of positive plate, both faces, mA.
///
/// # Source
/// Arithmetic.
pub fn current_density_ma_cm2(
    current_a: f64,
    positives: f64,
    height_cm: f64,
    width_cm: f64,
) -> Result<f64, OutOfRange> {
    super::joint::CURRENT.check(current_a)?;
    POSITIVES.check(positives)?;
    for side in [height_cm, width_cm] {
        Range::new("side of a plate", "cm", 3.0, 100.0).check(side)?;
    }
    Ok(current_a * 1000.0 / (positives * 2.0 * height_cm * width_cm))
}

/// Lead eaten away in a year by a corrosion current, µm.
///
/// # Source
/// Faraday's law, lead 11340 kg/m³; four electrons to dioxide, two to sulfate or oxide.
pub fn penetration_um_year(ua_cm2: f64, electrons: f64) -> Result<f64, OutOfRange> {
    CORROSION.check(ua_cm2)?;
    Range::new("electrons for each lead atom", "", 2.0, 4.0).check(electrons)?;
    let a_m2 = ua_cm2 * 0.01;
    Ok(a_m2 * (LEAD_G_MOL / 1000.0) / (electrons * FARADAY * 11_340.0) * SECONDS_PER_YEAR * 1e6)
}

/// Thickness of dioxide that so much lead turns into.
///
/// # Source
/// Arithmetic on molar volumes.
pub fn oxide_um(lead_um: f64) -> Result<f64, OutOfRange> {
    Range::new("corroded lead", "µm", 0.0, 5000.0).check(lead_um)?;
    Ok(lead_um * DIOXIDE_M3_MOL / LEAD_M3_MOL)
}

/// Years until a round grid wire has lost a share of its section.
///
/// # Source
/// Arithmetic: radius · (1 − √(1 − share)) / penetration.
pub fn years_to_lose(share: f64, radius_mm: f64, um_year: f64) -> Result<f64, OutOfRange> {
    super::gravity::PART.check(share)?;
    Range::new("radius of a grid wire", "mm", 0.2, 10.0).check(radius_mm)?;
    PENETRATION.check(um_year)?;
    Ok(radius_mm * 1000.0 * (1.0 - libm::sqrt(1.0 - share)) / um_year)
}

/// Growth of a plate after some years at a yearly rate in per cent, linear and compound, mm.
///
/// # Source
/// Arithmetic.
pub fn growth_mm(height_mm: f64, percent_year: f64, years: f64) -> Result<(f64, f64), OutOfRange> {
    PLATE.check(height_mm)?;
    Range::new("growth", "% a year", 0.0, 2.0).check(percent_year)?;
    YEARS.check(years)?;
    let rate = percent_year / 100.0;
    Ok((height_mm * rate * years, height_mm * (libm::pow(1.0 + rate, years) - 1.0)))
}

/// A height read at an age.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Age of the cell, years.
    pub years: f64,
    /// Height read, mm.
    pub mm: f64,
}

/// Rise between two readings, mm a year; negative when the second is lower.
///
/// # Source
/// Arithmetic.
pub fn rate_mm_year(first: Reading, second: Reading) -> Result<f64, OutOfRange> {
    for reading in [first, second] {
        YEARS.check(reading.years)?;
        Range { what: "reading", ..HEIGHT }.check(reading.mm)?;
    }
    Range::new("time between readings", "years", 0.1, 60.0).check(second.years - first.years)?;
    Ok((second.mm - first.mm) / (second.years - first.years))
}

/// Age at which two readings, carried on in a straight line, reach a limit, years.
///
/// `None` when nothing rises. Growth usually gathers speed, so the answer is hopeful.
///
/// # Source
/// Arithmetic.
pub fn reaches(first: Reading, second: Reading, limit_mm: f64) -> Result<Option<f64>, OutOfRange> {
    let rate = rate_mm_year(first, second)?;
    HEIGHT.check(limit_mm)?;
    Ok((rate > 0.0).then(|| second.years + (limit_mm - second.mm) / rate))
}

/// Uncertainty of the rate between two readings that are each uncertain, mm a year.
///
/// # Source
/// Arithmetic: √2 · uncertainty / time. A rate smaller than this is no trend.
pub fn rate_uncertainty_mm_year(each_mm: f64, years: f64) -> Result<f64, OutOfRange> {
    Range::new("uncertainty of one reading", "mm", 0.0, 20.0).check(each_mm)?;
    Range { min: 0.1, ..YEARS }.check(years)?;
    Ok(core::f64::consts::SQRT_2 * each_mm / years)
}

/// Height of settled sediment, mm.
///
/// # Source
/// Volume balance: mass / (density · (1 − porosity) · area). Porosity of settled mud 0.60 to
/// 0.70, from memory; density 9.4 for dioxide and 6.3 for sulfate by molar volume.
pub fn sediment_mm(
    mass_g: f64,
    density_g_cm3: f64,
    porosity: f64,
    area_cm2: f64,
) -> Result<f64, OutOfRange> {
    SHED.check(mass_g)?;
    DENSITY.check(density_g_cm3)?;
    POROSITY.check(porosity)?;
    super::gravity::AREA.check(area_cm2)?;
    Ok(mass_g / (density_g_cm3 * (1.0 - porosity)) / area_cm2 * 10.0)
}

/// Density of shed particles.
pub const DENSITY: Range = Range::new("particle density", "g/cm³", 6.0, 11.4);
/// Porosity of settled mud.
pub const POROSITY: Range = Range::new("porosity of the sediment", "", 0.4, 0.9);

/// Dioxide in the positive plates of a cell, g.
///
/// # Source
/// Arithmetic: 4.4624 g for each Ah, over the share of it that takes part.
pub fn positive_mass_g(rated_ah: f64, used_share: f64) -> Result<f64, OutOfRange> {
    super::capacity::CAPACITY.check(rated_ah)?;
    Range::new("share of the mass that takes part", "", 0.1, 0.9).check(used_share)?;
    Ok(rated_ah * DIOXIDE_G_PER_AH / used_share)
}

/// Speed at which a fine particle falls through the electrolyte, m/s.
///
/// # Source
/// Stokes' law with 9.81 m/s².
pub fn settling_m_s(
    diameter_um: f64,
    heavier_kg_m3: f64,
    viscosity_pa_s: f64,
) -> Result<f64, OutOfRange> {
    Range::new("particle diameter", "µm", 0.1, 80.0).check(diameter_um)?;
    Range::new("density over that of the acid", "kg/m³", 0.0, 11_000.0).check(heavier_kg_m3)?;
    Range::new("viscosity", "Pa s", 5e-4, 1e-2).check(viscosity_pa_s)?;
    let d = diameter_um * 1e-6;
    Ok(heavier_kg_m3 * 9.81 * d * d / (18.0 * viscosity_pa_s))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_needs_a_positive_plate() {
        assert!(plates(0.0).is_err());
        assert_eq!(plates(1.0), Ok(3.0));
    }

    #[test]
    fn a_falling_reading_reaches_nothing() {
        let (first, second) = (Reading { years: 2.0, mm: 9.0 }, Reading { years: 5.0, mm: 8.0 });
        assert_eq!(reaches(first, second, 25.0), Ok(None));
        assert!(rate_mm_year(second, first).is_err());
    }
}
