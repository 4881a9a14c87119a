//! Specific gravity: correction for temperature and level, layers, charge taken and held.

use super::acid::{self, SHARE, WATER_25_KG_M3, Water};
use super::range::{OutOfRange, Range, reach};

/// Specific gravity that a stationary or portable cell can show on a hydrometer.
pub const READING: Range = Range::new("specific gravity", "", 1.06, 1.32);
/// Specific gravity in which the temperature rules hold.
pub const CORRECTED: Range = Range::new("specific gravity", "", 1.15, 1.30);
/// Electrolyte of one cell by volume.
pub const VOLUME: Range = Range::new("electrolyte volume", "L", 0.1, 500.0);
/// Electrolyte of one cell by mass.
pub const MASS: Range = Range::new("electrolyte mass", "kg", 0.1, 700.0);
/// Open area of a cell in plan.
pub const AREA: Range = Range::new("open area in plan", "cm²", 1.0, 10_000.0);
/// Drop of the level under the mark; negative when the level is above it.
pub const DROP: Range = Range::new("level drop", "mm", -100.0, 200.0);
/// Charge by the ampere-hour.
pub const CHARGE: Range = Range::new("charge", "Ah", 0.0, 20_000.0);
/// Share of the whole, 0 to 1.
pub const PART: Range = Range::new("share", "", 0.0, 1.0);

/// A desk rule for bringing a hydrometer reading to its reference temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TemperatureRule {
    /// Gravity added for each °C above the reference.
    pub per_c: f64,
    /// Reference temperature, °C.
    pub reference_c: f64,
    /// Temperatures at which the rule may be used.
    pub holds: Range,
}

/// Temperatures at which the North American and European rules hold.
const INDOORS: Range = Range::new("electrolyte temperature", "°C", 5.0, 45.0);

impl TemperatureRule {
    /// One point of 0.001 for each 3 °F, to 77 °F (25 °C).
    ///
    /// # Source
    /// Common practice; IEEE 450 has one point for each 1.67 °C, from memory. The exact 5/3 °C
    /// is used.
    pub const NORTH_AMERICA: Self =
        Self { per_c: 0.001 / (5.0 / 3.0), reference_c: 25.0, holds: INDOORS };
    /// 0.0007 for each °C, to 20 °C; closer to the true slope at 30 % acid.
    ///
    /// # Source
    /// Seen in an equipment maintenance manual.
    pub const EUROPE: Self = Self { per_c: 0.0007, reference_c: 20.0, holds: INDOORS };
    /// 0.004 for each 10 °F, to 80 °F.
    ///
    /// # Source
    /// US Army TM 5-4210-230.
    pub const PORTABLE: Self = Self {
        per_c: 0.004 * 0.18,
        reference_c: 48.0 / 1.8,
        holds: Range::new("electrolyte temperature", "°C", -20.0, 45.0),
    };
}

/// Whether an instrument has already brought its reading to the reference temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compensated {
    /// A digital instrument did; correcting again would be wrong.
    Already,
    /// A glass hydrometer did not.
    NotYet,
}

/// A hydrometer reading brought to the reference temperature of a rule.
///
/// Within 0.0015 of the density polynomial from 10 to 40 °C at 1.215.
///
/// # Source
/// The rule's own: reading + rate · (temperature − reference).
pub fn at_reference(
    reading: f64,
    celsius: f64,
    rule: TemperatureRule,
    compensated: Compensated,
) -> Result<f64, OutOfRange> {
    CORRECTED.check(reading)?;
    rule.holds.check(celsius)?;
    Ok(match compensated {
        Compensated::Already => reading,
        Compensated::NotYet => reading + rule.per_c * (celsius - rule.reference_c),
    })
}

/// What a glass hydrometer shows in acid of this density at a temperature, relative to 25 °C.
///
/// # Source
/// Cubic expansion of glass 25e-6 /K, from memory.
pub fn glass_reading(true_gravity: f64, celsius: f64) -> Result<f64, OutOfRange> {
    READING.check(true_gravity)?;
    INDOORS.check(celsius)?;
    Ok(true_gravity * (1.0 + 25e-6 * (celsius - 25.0)))
}

/// Electrolyte above and below the level mark of one cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Volume of electrolyte when the level stands at the mark, litres.
    pub volume_l: f64,
    /// Open area in plan, square centimetres.
    pub area_cm2: f64,
    /// How far the level stands under the mark, millimetres; negative above it.
    pub drop_mm: f64,
}

impl Level {
    /// Water that has gone, in kilograms; negative when the cell is too full.
    ///
    /// # Source
    /// Arithmetic: area · drop · density of water at 25 °C.
    pub fn water_lost_kg(&self) -> Result<f64, OutOfRange> {
        VOLUME.check(self.volume_l)?;
        AREA.check(self.area_cm2)?;
        DROP.check(self.drop_mm)?;
        Ok(self.area_cm2 * self.drop_mm / 10.0 * WATER_25_KG_M3 / 1e6)
    }

    /// Gravity once the level has fallen, from the gravity with the level at the mark.
    ///
    /// Only water is lost, the acid stays: share' = share · mass / (mass − lost).
    ///
    /// # Source
    /// Mass balance on [`acid::share`], gravity against water at 4 °C.
    pub fn gravity_below(&self, at_mark: f64) -> Result<f64, OutOfRange> {
        let lost = self.water_lost_kg()?;
        let share = acid::share(at_mark, Water::At4)?;
        let mass = self.volume_l * at_mark * Water::At4.kg_m3() / 1000.0;
        LEFT.check((mass - lost) / mass)?;
        acid::gravity(share * mass / (mass - lost), Water::At4)
    }

    /// Gravity with the level at the mark, from a reading taken at the level as it stands.
    ///
    /// # Source
    /// [`Level::gravity_below`] solved by halving.
    pub fn gravity_at_mark(&self, reading: f64) -> Result<f64, OutOfRange> {
        self.water_lost_kg()?;
        READING.check(reading)?;
        let below = |at_mark| self.gravity_below(at_mark);
        let (low, high) = (1.07, 1.50);
        Range { min: below(low)?, max: below(high)?, ..READING }.check(reading)?;
        // Both ends were computed, so every gravity between them can be.
        Ok(reach(reading, low, high, |at_mark| below(at_mark).unwrap_or(f64::INFINITY)))
    }

    /// The desk approximation of [`Level::gravity_below`], which takes the volume as shrinking.
    ///
    /// # Source
    /// Arithmetic: gravity − 1 scales with the volume at the mark over the volume left.
    pub fn gravity_below_roughly(&self, at_mark: f64) -> Result<f64, OutOfRange> {
        self.water_lost_kg()?;
        READING.check(at_mark)?;
        let left = self.volume_l - self.area_cm2 * self.drop_mm / 1e4;
        LEFT.check(left / self.volume_l)?;
        Ok(1.0 + (at_mark - 1.0) * self.volume_l / left)
    }
}

/// Share of the electrolyte that may be left for a level correction to make sense.
const LEFT: Range = Range::new("electrolyte left, as a share", "", 0.5, 2.0);

/// Mass of acid used for each ampere-hour discharged, kg.
///
/// # Source
/// Arithmetic: two moles for two faradays, 3.65946 g.
pub const ACID_KG_PER_AH: f64 = 2.0 * acid::ACID_G_MOL * 3.6 / (2.0 * acid::FARADAY);
/// Mass of water made for each ampere-hour discharged, kg.
///
/// # Source
/// Arithmetic: two moles for two faradays, 0.672175 g.
pub const WATER_KG_PER_AH: f64 = 2.0 * acid::WATER_G_MOL * 3.6 / (2.0 * acid::FARADAY);

/// Electrolyte of one cell after a discharge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discharged {
    /// Share of acid by mass.
    pub share: f64,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Specific gravity at 25 °C against water at 4 °C, once mixed.
    pub gravity: f64,
    /// Volume at 25 °C, litres.
    pub volume_l: f64,
}

/// Electrolyte after so many ampere-hours have been taken from the cell.
///
/// # Source
/// Mass balance of Pb + PbO2 + 2 H2SO4 → 2 PbSO4 + 2 H2O.
pub fn discharge(gravity: f64, mass_kg: f64, ah: f64) -> Result<Discharged, OutOfRange> {
    MASS.check(mass_kg)?;
    CHARGE.check(ah)?;
    let acid = acid::share(gravity, Water::At4)? * mass_kg - ACID_KG_PER_AH * ah;
    let mass_kg = mass_kg - (ACID_KG_PER_AH - WATER_KG_PER_AH) * ah;
    let share = SHARE.check(acid / mass_kg)?;
    let density = acid::density_kg_m3(share, 25.0)?;
    let gravity = density / Water::At4.kg_m3();
    Ok(Discharged { share, mass_kg, gravity, volume_l: mass_kg / density * 1000.0 })
}

/// Ampere-hours that lie between two gravities of the same electrolyte.
///
/// Negative when the second gravity is higher. Also a gauge of sulfate that is not charged back.
///
/// # Source
/// [`discharge`] solved for the charge.
pub fn charge_between_ah(mass_kg: f64, from: f64, to: f64) -> Result<f64, OutOfRange> {
    MASS.check(mass_kg)?;
    let (w0, w1) = (acid::share(from, Water::At4)?, acid::share(to, Water::At4)?);
    let (a, b) = (ACID_KG_PER_AH, WATER_KG_PER_AH);
    Ok(mass_kg * (w0 - w1) / (a - w1 * (a - b)))
}

/// State of charge as a share, on a straight line between two known gravities.
///
/// Refuses a gravity outside the two, and a span under 0.02. Not valid after acid was spilled or
/// added, nor while gravity still lags behind the charge.
///
/// # Source
/// Linear scale of US Army TM 5-1185 table II.
pub fn state_of_charge(gravity: f64, empty: f64, full: f64) -> Result<f64, OutOfRange> {
    READING.check(empty)?;
    READING.check(full)?;
    SPAN.check(full - empty)?;
    Range { min: empty, max: full, ..READING }.check(gravity)?;
    Ok((gravity - empty) / (full - empty))
}

/// Gravity between empty and full that a scale of charge needs.
const SPAN: Range = Range::new("gravity between empty and full", "", 0.02, 0.20);

/// Gravity of two electrolytes mixed by mass.
///
/// # Source
/// Mass balance on [`acid::share`], gravity against water at 4 °C.
pub fn mixed_by_mass(a: f64, b: f64, share_of_a: f64) -> Result<f64, OutOfRange> {
    PART.check(share_of_a)?;
    let (wa, wb) = (acid::share(a, Water::At4)?, acid::share(b, Water::At4)?);
    acid::gravity(share_of_a * wa + (1.0 - share_of_a) * wb, Water::At4)
}

/// Share of acid and gravity after water is added and mixed.
///
/// # Source
/// Mass balance on [`acid::share`], gravity against water at 4 °C.
pub fn watered(gravity: f64, mass_kg: f64, water_kg: f64) -> Result<(f64, f64), OutOfRange> {
    MASS.check(mass_kg)?;
    Range::new("water added", "kg", 0.0, 100.0).check(water_kg)?;
    let share = acid::share(gravity, Water::At4)? * mass_kg / (mass_kg + water_kg);
    Ok((share, acid::gravity(share, Water::At4)?))
}

/// Gravity at the top and at the bottom of one cell, by volume weighted to one mean.
///
/// # Source
/// Arithmetic; mixing by mass differs, see [`mixed_by_mass`].
pub fn layers_mean(top: f64, bottom: f64, share_of_top: f64) -> Result<f64, OutOfRange> {
    READING.check(top)?;
    READING.check(bottom)?;
    PART.check(share_of_top)?;
    Ok(share_of_top * top + (1.0 - share_of_top) * bottom)
}

/// How a gravity stands against the limits of a nominal 1.215 cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GravityState {
    /// At or above the limit.
    Sound,
    /// Under the limit.
    Low,
}

/// Judges the corrected gravity of one cell: 0.020 under nominal is the limit.
///
/// # Source
/// Class of nuclear plant technical specifications, from memory: any cell at least 1.195 where
/// nominal is 1.215.
pub fn judge_cell(gravity: f64, nominal: f64) -> Result<GravityState, OutOfRange> {
    judge(gravity, nominal, 0.020)
}

/// Judges the corrected mean gravity of a string: 0.010 under nominal is the limit.
///
/// # Source
/// As for [`judge_cell`]: average at least 1.205 where nominal is 1.215.
pub fn judge_string(gravity: f64, nominal: f64) -> Result<GravityState, OutOfRange> {
    judge(gravity, nominal, 0.010)
}

fn judge(gravity: f64, nominal: f64, margin: f64) -> Result<GravityState, OutOfRange> {
    READING.check(gravity)?;
    READING.check(nominal)?;
    // Readings have three decimals; the guard keeps 1.195 from falling below 1.215 − 0.020.
    let low = gravity < nominal - margin - 1e-9;
    Ok(if low { GravityState::Low } else { GravityState::Sound })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_correction_rises_with_temperature() {
        let rules =
            [TemperatureRule::NORTH_AMERICA, TemperatureRule::EUROPE, TemperatureRule::PORTABLE];
        for rule in rules {
            let at = |t| at_reference(1.215, t, rule, Compensated::NotYet).unwrap() - 1.215;
            assert!(at(10.0) < at(20.0) && at(20.0) < at(30.0));
            assert_eq!(at(rule.reference_c), 0.0);
        }
    }

    #[test]
    fn a_compensated_reading_is_not_corrected_twice() {
        let rule = TemperatureRule::NORTH_AMERICA;
        assert_eq!(at_reference(1.208, 35.0, rule, Compensated::Already), Ok(1.208));
    }

    #[test]
    fn the_level_correction_undoes_the_drop() {
        for drop_mm in [-12.7, 0.0, 6.35, 25.4] {
            let level = Level { volume_l: 12.0, area_cm2: 400.0, drop_mm };
            let below = level.gravity_below(1.215).unwrap();
            assert!((level.gravity_at_mark(below).unwrap() - 1.215).abs() < 1e-9);
            assert_eq!(below > 1.215 + 1e-12, drop_mm > 0.0);
        }
    }

    #[test]
    fn a_flat_cell_cannot_give_more() {
        let refused = discharge(1.215, 1.0, 200.0).unwrap_err();
        assert_eq!(refused.what, "share of acid by mass");
    }

    #[test]
    fn charge_between_undoes_discharge() {
        let after = discharge(1.215, 20.0, 250.0).unwrap();
        let ah = charge_between_ah(20.0, 1.215, after.gravity).unwrap();
        assert!((ah - 250.0).abs() < 1e-6);
    }

    #[test]
    fn a_gravity_at_the_limit_is_sound() {
        assert_eq!(judge_cell(1.195, 1.215), Ok(GravityState::Sound));
        assert_eq!(judge_cell(1.194, 1.215), Ok(GravityState::Low));
        assert_eq!(judge_string(1.205, 1.215), Ok(GravityState::Sound));
        assert_eq!(judge_string(1.204, 1.215), Ok(GravityState::Low));
    }
}
