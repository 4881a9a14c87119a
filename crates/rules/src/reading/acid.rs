//! Sulfuric acid of the cell: density, strength, freezing, conduction.
//!
//! Specific gravity is a ratio of densities, so every conversion names the water it compares
//! with. The default of the program compares acid at 25 °C with water at 4 °C, where 1.215 is
//! 29.98 % acid; with water at 25 °C the same reading is 29.54 %.

use super::range::{OutOfRange, Range, reach};

/// Charge of one mole of electrons, C/mol.
///
/// # Source
/// CODATA 2018.
pub const FARADAY: f64 = 96_485.332_12;
/// Gas constant, J/mol/K.
///
/// # Source
/// CODATA 2018.
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Molar mass of sulfuric acid, g/mol.
///
/// # Source
/// Sum of standard atomic weights.
pub const ACID_G_MOL: f64 = 98.079;
/// Molar mass of water, g/mol.
///
/// # Source
/// Sum of standard atomic weights.
pub const WATER_G_MOL: f64 = 18.015_28;
/// Density of water at 25 °C and one atmosphere, kg/m³.
///
/// # Source
/// IAPWS-95, 997.0476 rounded.
pub const WATER_25_KG_M3: f64 = 997.047;
/// Density of water at 4 °C and one atmosphere, kg/m³.
///
/// # Source
/// IAPWS-95, 999.9749 at the maximum; the rounded value of hydrometer practice.
pub const WATER_4_KG_M3: f64 = 999.972;
/// Zero of the Celsius scale, K.
pub const ZERO_C_K: f64 = 273.15;

/// The water that a specific gravity compares acid at 25 °C with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Water {
    /// Water at 4 °C: the gravity is the density in g/mL.
    At4,
    /// Water at 25 °C: the gravity reads 0.0036 higher at 1.215.
    At25,
}

impl Water {
    /// Density, kg/m³.
    pub fn kg_m3(self) -> f64 {
        match self {
            Self::At4 => WATER_4_KG_M3,
            Self::At25 => WATER_25_KG_M3,
        }
    }
}

/// Share of acid by mass in which the density polynomial holds.
pub const SHARE: Range = Range::new("share of acid by mass", "", 0.10, 0.90);
/// Temperature in which the density polynomial holds.
pub const TEMPERATURE: Range = Range::new("temperature", "°C", 0.0, 50.0);
/// Share of acid by mass in which the mixing model holds.
pub const MIXING_SHARE: Range = Range::new("share of acid by mass", "", 0.0, 0.782);
/// Temperature in which the mixing model is used here, where the density of water is known well.
pub const MIXING_TEMPERATURE: Range = Range::new("temperature", "°C", 0.0, 40.0);
/// Specific gravity in which the freezing table holds.
pub const FREEZING_GRAVITY: Range = Range::new("specific gravity", "", 1.0, 1.28);
/// Acid per litre in which the conductivity formula holds.
pub const MOLARITY: Range = Range::new("acid", "mol/L", 0.5, 7.2);
/// Temperature in which the conductivity formula holds.
pub const CONDUCTION_TEMPERATURE: Range = Range::new("temperature", "°C", 15.0, 35.0);

/// Coefficients of the density polynomial: rows by power of the share, columns by power of °C.
const DENSITY: [[f64; 5]; 11] = [
    [999.8426, 0.033_454_02, -0.005_691_304, 0.0, 0.0],
    [547.2659, -5.300_445, 0.011_876_71, 0.000_599_000_8, 0.0],
    // A library in circulation has the last number of this row positive; then the density would
    // rise with temperature at 50 % and miss every table above 20 °C.
    [5262.95, 37.204_45, 0.120_190_9, -0.004_148_594, -1.197_973e-5],
    [-62_139.58, -287.767, -0.406_463_8, 0.011_194_88, 3.607_768e-5],
    [409_029.3, 1270.854, 0.326_971, -0.013_774_35, -2.633_585e-5],
    [-1_596_989.0, -3062.836, 0.136_649_9, 0.006_373_031, 0.0],
    [3_857_411.0, 4083.714, -0.192_778_5, 0.0, 0.0],
    [-5_808_064.0, -2844.401, 0.0, 0.0, 0.0],
    [5_301_976.0, 809.105_3, 0.0, 0.0, 0.0],
    [-2_682_616.0, 0.0, 0.0, 0.0, 0.0],
    [576_428.8, 0.0, 0.0, 0.0, 0.0],
];

/// Density of acid in kg/m³ from its share by mass and its temperature in °C.
///
/// Sum of c_ij · share^i · celsius^j; within 0.5 kg/m³ of handbook tables from 10 to 50 %.
///
/// # Source
/// Polynomial of Myhre and co-workers 1998, with the sign of one coefficient inferred from
/// tables and two other models because the paper itself was not read.
pub fn density_kg_m3(share: f64, celsius: f64) -> Result<f64, OutOfRange> {
    SHARE.check(share)?;
    TEMPERATURE.check(celsius)?;
    Ok(polynomial(share, celsius))
}

/// The density polynomial without its range, for searching inside it.
fn polynomial(share: f64, celsius: f64) -> f64 {
    DENSITY.iter().rev().fold(0.0, |sum, row| {
        sum * share + row.iter().rev().fold(0.0, |inner, c| inner * celsius + c)
    })
}

/// Density of acid in kg/m³ by a mixing model that reaches down to water.
///
/// Runs 0.8 to 1.9 kg/m³ above handbook tables from 10 to 50 %: a second opinion, not the
/// default.
///
/// # Source
/// Laliberté 2009, coefficients for sulfuric acid; density of water after IAPWS-95.
pub fn density_by_mixing_kg_m3(share: f64, celsius: f64) -> Result<f64, OutOfRange> {
    MIXING_SHARE.check(share)?;
    MIXING_TEMPERATURE.check(celsius)?;
    let (c0, c1, c2) = (70.839_515_234_712_2, 142.352_693_909_248, 0.687_794_596_187_93);
    let (c3, c4) = (0.006_492_996_832_067_03, 1_667.238_646_295_22);
    let apparent = (c0 * share + c1) * libm::exp(1e-6 * (celsius + c4) * (celsius + c4))
        / (share + c2 + c3 * celsius);
    Ok(1.0 / ((1.0 - share) / water_kg_m3(celsius) + share / apparent))
}

/// Density of water in kg/m³ from 0 to 40 °C, within 0.01.
///
/// # Source
/// Kell 1975, rational form, from memory; agrees with IAPWS-95 values in the tests.
fn water_kg_m3(celsius: f64) -> f64 {
    let top =
        [999.839_52, 16.945_176, -7.987_040_1e-3, -46.170_461e-6, 105.563_02e-9, -280.542_53e-12];
    let sum = top.iter().rev().fold(0.0, |sum, c| sum * celsius + c);
    sum / (1.0 + 16.879_850e-3 * celsius)
}

/// Specific gravity at 25 °C of acid of this share by mass.
///
/// # Source
/// Arithmetic on [`density_kg_m3`].
pub fn gravity(share: f64, water: Water) -> Result<f64, OutOfRange> {
    Ok(density_kg_m3(share, 25.0)? / water.kg_m3())
}

/// Specific gravities at 25 °C that the density polynomial reaches.
pub fn gravity_range(water: Water) -> Range {
    let end = |share| polynomial(share, 25.0) / water.kg_m3();
    Range::new("specific gravity", "", end(SHARE.min), end(SHARE.max))
}

/// Share of acid by mass from the specific gravity at 25 °C.
///
/// # Source
/// [`density_kg_m3`] solved by halving between 10 and 90 %, where it rises throughout.
pub fn share(gravity: f64, water: Water) -> Result<f64, OutOfRange> {
    gravity_range(water).check(gravity)?;
    let density = gravity * water.kg_m3();
    Ok(reach(density, SHARE.min, SHARE.max, |share| polynomial(share, 25.0)))
}

/// Acid in mol per litre of solution.
///
/// # Source
/// Arithmetic: density · share / molar mass.
pub fn molarity_mol_l(share: f64, celsius: f64) -> Result<f64, OutOfRange> {
    Ok(density_kg_m3(share, celsius)? * share / ACID_G_MOL)
}

/// Acid in mol per kilogram of water.
///
/// # Source
/// Arithmetic: share / (1 − share) / molar mass.
pub fn molality_mol_kg(share: f64) -> Result<f64, OutOfRange> {
    SHARE.check(share)?;
    Ok(share / (1.0 - share) / (ACID_G_MOL / 1000.0))
}

/// Freezing points in °F by specific gravity at about 26 °C.
const FREEZING_F: [(f64, f64); 6] =
    [(1.0, 32.0), (1.1, 19.0), (1.15, 5.0), (1.2, -16.0), (1.25, -62.0), (1.28, -90.0)];

/// Temperature in °C at which acid of this specific gravity begins to freeze.
///
/// Straight lines between rows; about 3 °C uncertain. Refuses beyond 1.280, where the freezing
/// point rises again.
///
/// # Source
/// US Army TM 5-1185 and OD 1002, table of freezing points.
pub fn freezing_c(gravity: f64) -> Result<f64, OutOfRange> {
    FREEZING_GRAVITY.check(gravity)?;
    Ok(celsius(interpolate(&FREEZING_F, gravity)))
}

/// Straight lines between the rows of a table with rising first column, flat beyond its ends.
pub(crate) fn interpolate(rows: &[(f64, f64)], at: f64) -> f64 {
    let after = rows.partition_point(|row| row.0 < at);
    match (after.checked_sub(1).and_then(|i| rows.get(i)), rows.get(after)) {
        (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0),
        (Some(end), None) | (None, Some(end)) => end.1,
        (None, None) => f64::NAN,
    }
}

/// °C from °F.
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// °F from °C.
pub fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// Conductivity in S/cm from acid in mol/L and temperature in °C.
///
/// Within 1.5 % of a handbook row at 18 °C up to 40 % acid, 10 % low at 50 %.
///
/// # Source
/// Form used in lead-acid porous-electrode models after data of Tiedemann and Newman, from
/// memory: x·exp(1.1104 + 199.475x − 16097.781x² + (3916.95 − 99406x − 721860/T)/T), x in
/// mol/cm³, T in K.
pub fn conductivity_s_cm(mol_l: f64, celsius: f64) -> Result<f64, OutOfRange> {
    MOLARITY.check(mol_l)?;
    CONDUCTION_TEMPERATURE.check(celsius)?;
    let (x, t) = (mol_l / 1000.0, celsius + ZERO_C_K);
    let power =
        1.1104 + 199.475 * x - 16_097.781 * x * x + (3916.95 - 99_406.0 * x - 721_860.0 / t) / t;
    Ok(x * libm::exp(power))
}

/// Conductivity in S/m at 25 °C by a fit that reads 10 % above [`conductivity_s_cm`].
///
/// # Source
/// Gu and co-workers 1997, as in the lead-acid parameter set of pybamm 26.10.1.1:
/// 1e-4·c·exp(6.23 − 1.34e-4·c − 1.61e-8·c²), c in mol/m³.
pub fn conductivity_by_fit_s_m(mol_l: f64) -> Result<f64, OutOfRange> {
    MOLARITY.check(mol_l)?;
    let c = mol_l * 1000.0;
    Ok(1e-4 * c * libm::exp(6.23 - 1.34e-4 * c - 1.61e-8 * c * c))
}

/// How fast acid spreads by itself, m²/s, at 25 °C.
///
/// # Source
/// Lead-acid parameter set of pybamm 26.10.1.1: (1.75 + 260e-6·c)·1e-9, c in mol/m³.
pub fn diffusivity_m2_s(mol_l: f64) -> Result<f64, OutOfRange> {
    MOLARITY.check(mol_l)?;
    Ok((1.75 + 260e-6 * mol_l * 1000.0) * 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn share_and_gravity_close_the_round_trip() {
        for water in [Water::At4, Water::At25] {
            for i in 10..=90 {
                let w = f64::from(i) / 100.0;
                let back = share(gravity(w, water).unwrap(), water).unwrap();
                assert!((back - w).abs() < 1e-9, "{w} came back as {back}");
            }
        }
    }

    #[test]
    fn nearly_water_is_refused() {
        let refused = share(1.05, Water::At4).unwrap_err();
        assert_eq!(refused.what, "specific gravity");
        assert!((refused.min - 1.06366).abs() < 1e-5);
        assert!(density_kg_m3(0.05, 25.0).is_err() && density_kg_m3(0.3, 60.0).is_err());
    }

    #[test]
    fn warm_acid_is_lighter_and_strong_acid_heavier() {
        for i in 10..50 {
            let w = f64::from(i) / 100.0;
            let at = |w, t| density_kg_m3(w, t).unwrap();
            assert!(at(w, 40.0) < at(w, 20.0) && at(w + 0.01, 25.0) > at(w, 25.0));
        }
    }

    #[test]
    fn freezing_beyond_the_table_is_refused() {
        assert!(freezing_c(1.29).is_err());
        assert_eq!(freezing_c(1.0).unwrap(), 0.0);
    }

    #[test]
    fn water_agrees_with_reference_values() {
        // Source: IAPWS-95 by chemicals 1.5.2.
        let stated = [
            (3.98, 999.9749),
            (15.0, 999.1026),
            (15.556, 999.0171),
            (20.0, 998.2072),
            (25.0, 997.0476),
            (30.0, 995.6495),
            (40.0, 992.2164),
        ];
        for (t, stated) in stated {
            assert!((water_kg_m3(t) - stated).abs() < 0.01, "{t}: {}", water_kg_m3(t));
        }
    }
}
