//! Limits beyond which a reading becomes a finding of the catalogue.

use super::range::{OutOfRange, Range};
use super::{capacity, gas, gravity, joint, voltage};

/// The side of its limit on which a reading lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// Above the limit.
    Over,
    /// Below the limit.
    Under,
}

/// How a reading is compared.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Test {
    /// At least so much above the reference.
    AtLeastAbove(f64),
    /// At least so much below the reference.
    AtLeastBelow(f64),
    /// At least so many times the reference.
    AtLeastTimes(f64),
    /// More than so many times the reference.
    MoreThanTimes(f64),
    /// Above the reference itself.
    Above,
    /// Below the reference itself.
    Below,
    /// More than a fixed value.
    Over(f64),
    /// Less than a fixed value.
    Under(f64),
}

/// When a reading becomes a finding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Id of the finding in the catalogue.
    pub finding: &'static str,
    /// The reading.
    pub reading: Range,
    /// What it is compared with, where that is another reading.
    pub reference: Option<Range>,
    /// The limit in words.
    pub words: &'static str,
    /// Where the limit comes from.
    pub source: &'static str,
    test: Test,
}

/// A reading of a battery's own average temperature.
const WARMTH: Range = Range::new("electrolyte temperature", "°C", -20.0, 80.0);
/// Water used by one cell in a period.
const WATER: Range = Range::new("water use", "mL a month", 0.0, 50_000.0);
/// The recorded water use that another is compared with.
const WATER_RECORD: Range = Range::new("recorded water use", "mL a month", 0.1, 50_000.0);
/// The recorded float current that another is compared with.
const CURRENT_RECORD: Range = Range::new("recorded float current", "A", 0.0001, 100.0);
/// Voltage between the string and ground that a healthy string does not show.
const TO_GROUND: Range = Range::new("unwanted voltage to ground", "V", 0.0, 1200.0);

/// The project's own warning limits.
const OWN: &str = "Estimate: a common warning value chosen for demonstration; the site's own \
                   limits decide";

const fn named(range: Range, what: &'static str) -> Range {
    Range { what, ..range }
}

/// All limits, one for each reading of the catalogue.
pub const LIMITS: [Limit; 16] = [
    Limit {
        finding: "q_v_low_cell",
        reading: named(voltage::CELL, "float voltage of the cell"),
        reference: Some(named(voltage::FLOAT, "average float voltage of the string")),
        words: "0.05 V or more under the average of the string",
        source: OWN,
        test: Test::AtLeastBelow(0.05),
    },
    Limit {
        finding: "q_v_high_string",
        reading: named(voltage::FLOAT, "float voltage per cell"),
        reference: Some(named(voltage::FLOAT, "upper end of the set range per cell")),
        words: "above the set range",
        source: OWN,
        test: Test::Above,
    },
    Limit {
        finding: "q_v_low_string",
        reading: named(voltage::FLOAT, "float voltage per cell"),
        reference: Some(named(voltage::FLOAT, "lower end of the set range per cell")),
        words: "below the set range",
        source: OWN,
        test: Test::Below,
    },
    Limit {
        finding: "q_sg_low_cell",
        reading: named(gravity::READING, "corrected specific gravity of the cell"),
        reference: Some(named(gravity::READING, "average specific gravity of the string")),
        words: "0.010 or more under the average of the string",
        source: OWN,
        test: Test::AtLeastBelow(0.010),
    },
    Limit {
        finding: "q_sg_low_string",
        reading: named(gravity::READING, "corrected average specific gravity"),
        reference: Some(named(gravity::READING, "nominal specific gravity")),
        words: "0.010 or more under the nominal value",
        source: OWN,
        test: Test::AtLeastBelow(0.010),
    },
    Limit {
        finding: "q_sg_high",
        reading: named(gravity::READING, "specific gravity at full charge"),
        reference: Some(named(gravity::READING, "nominal or average specific gravity")),
        words: "0.010 or more above the nominal value or the average of the string",
        source: OWN,
        test: Test::AtLeastAbove(0.010),
    },
    Limit {
        finding: "q_sg_gradient",
        reading: named(gravity::READING, "specific gravity at the bottom"),
        reference: Some(named(gravity::READING, "specific gravity at the top")),
        words: "0.010 or more above that at the top",
        source: OWN,
        test: Test::AtLeastAbove(0.010),
    },
    Limit {
        finding: "q_fi_high",
        reading: gas::FLOAT_CURRENT,
        reference: Some(CURRENT_RECORD),
        words: "more than twice the recorded value",
        source: OWN,
        test: Test::MoreThanTimes(2.0),
    },
    Limit {
        finding: "q_ohm_high",
        reading: joint::OHMIC,
        reference: Some(named(joint::OHMIC, "baseline of the internal ohmic value")),
        words: "30 % or more above the baseline of this cell",
        source: OWN,
        test: Test::AtLeastTimes(1.3),
    },
    Limit {
        finding: "q_rc_high",
        reading: joint::RESISTANCE,
        reference: Some(named(joint::RESISTANCE, "baseline of the connection resistance")),
        words: "20 % or more above the baseline",
        source: OWN,
        test: Test::AtLeastTimes(1.2),
    },
    Limit {
        finding: "q_cap_low",
        reading: capacity::PERCENT,
        reference: None,
        words: "under 90 % of rating",
        source: "A published storage battery maintenance guide: under 90 % asks for yearly tests",
        test: Test::Under(90.0),
    },
    Limit {
        finding: "q_t_high_cell",
        reading: named(WARMTH, "electrolyte temperature of the cell"),
        reference: Some(named(WARMTH, "average electrolyte temperature of the string")),
        words: "3 °C or more over the average of the string",
        source: "Common practice: 3 °C of spread between cells",
        test: Test::AtLeastAbove(3.0),
    },
    Limit {
        finding: "q_t_high_room",
        reading: named(WARMTH, "average electrolyte temperature"),
        reference: None,
        words: "above 30 °C",
        source: "UFGS 16265A: life falls at sustained temperatures above 30 °C",
        test: Test::Over(30.0),
    },
    Limit {
        finding: "q_water_high",
        reading: WATER,
        reference: Some(WATER_RECORD),
        words: "more than twice the recorded value",
        source: OWN,
        test: Test::MoreThanTimes(2.0),
    },
    Limit {
        finding: "q_pol_neg",
        reading: voltage::CELL,
        reference: None,
        words: "a reading with plus and minus exchanged",
        source: "Definition",
        test: Test::Under(0.0),
    },
    Limit {
        finding: "q_gnd",
        reading: TO_GROUND,
        reference: Some(named(TO_GROUND, "unwanted voltage to ground that the site accepts")),
        words: "above what the site accepts",
        source: OWN,
        test: Test::Above,
    },
];

/// The limit for a finding of the catalogue.
pub fn limit(finding: &str) -> Option<&'static Limit> {
    LIMITS.iter().find(|limit| limit.finding == finding)
}

/// Room for rounding in readings of three decimals, so that 1.205 is 0.010 under 1.215.
const GUARD: f64 = 1e-9;

impl Limit {
    /// Where a reading lies beyond the limit; `None` when it does not.
    ///
    /// The reference is ignored by limits that are a fixed value, and refused as not-a-number
    /// where it is needed and missing.
    ///
    /// ```
    /// use jarlight_rules::reading::{Beyond, limit};
    /// let low = limit("q_sg_low_cell").unwrap();
    /// assert_eq!(low.grade(1.205, Some(1.215)), Ok(Some(Beyond::Under)));
    /// assert_eq!(low.grade(1.206, Some(1.215)), Ok(None));
    /// ```
    pub fn grade(
        &self,
        reading: f64,
        reference: Option<f64>,
    ) -> Result<Option<Beyond>, OutOfRange> {
        self.reading.check(reading)?;
        let reference = match self.reference {
            Some(range) => range.check(reference.unwrap_or(f64::NAN))?,
            None => 0.0,
        };
        let size = GUARD * f64::max(1.0, reference.abs());
        let (beyond, side) = match self.test {
            Test::AtLeastAbove(by) => (reading - reference >= by - size, Beyond::Over),
            Test::AtLeastBelow(by) => (reference - reading >= by - size, Beyond::Under),
            Test::AtLeastTimes(by) => (reading >= by * reference - size, Beyond::Over),
            Test::MoreThanTimes(by) => (reading > by * reference + size, Beyond::Over),
            Test::Above => (reading > reference + size, Beyond::Over),
            Test::Below => (reading < reference - size, Beyond::Under),
            Test::Over(value) => (reading > value + size, Beyond::Over),
            Test::Under(value) => (reading < value - size, Beyond::Under),
        };
        Ok(beyond.then_some(side))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn at(finding: &str, reading: f64, reference: Option<f64>) -> Option<Beyond> {
        limit(finding).unwrap().grade(reading, reference).unwrap()
    }

    #[test]
    fn each_limit_is_a_finding_of_the_catalogue_and_each_finding_has_one() {
        let text = include_str!("../../../../assets/catalogue/mechanisms.ron");
        let stated: Vec<&str> = text
            .lines()
            .filter_map(|line| line.trim().strip_prefix("id: \"q_"))
            .map(|rest| rest.trim_end_matches("\","))
            .collect();
        let held: Vec<&str> =
            LIMITS.iter().filter_map(|limit| limit.finding.strip_prefix("q_")).collect();
        assert_eq!(stated, held);
    }

    #[test]
    fn limits_count_from_their_stated_end() {
        use Beyond::{Over, Under};
        let cases = [
            ("q_v_low_cell", 2.18, Some(2.23), Some(Under)),
            ("q_v_low_cell", 2.181, Some(2.23), None),
            ("q_v_high_string", 2.25, Some(2.25), None),
            ("q_v_high_string", 2.251, Some(2.25), Some(Over)),
            ("q_v_low_string", 2.169, Some(2.17), Some(Under)),
            ("q_v_low_string", 2.17, Some(2.17), None),
            ("q_sg_low_string", 1.205, Some(1.215), Some(Under)),
            ("q_sg_high", 1.225, Some(1.215), Some(Over)),
            ("q_sg_high", 1.224, Some(1.215), None),
            ("q_sg_gradient", 1.225, Some(1.215), Some(Over)),
            ("q_sg_gradient", 1.215, Some(1.225), None),
            ("q_fi_high", 0.60, Some(0.30), None),
            ("q_fi_high", 0.61, Some(0.30), Some(Over)),
            ("q_ohm_high", 0.39, Some(0.30), Some(Over)),
            ("q_ohm_high", 0.389, Some(0.30), None),
            ("q_rc_high", 36.0, Some(30.0), Some(Over)),
            ("q_rc_high", 35.9, Some(30.0), None),
            ("q_cap_low", 90.0, None, None),
            ("q_cap_low", 89.9, None, Some(Under)),
            ("q_t_high_cell", 28.0, Some(25.0), Some(Over)),
            ("q_t_high_cell", 27.9, Some(25.0), None),
            ("q_t_high_room", 30.0, None, None),
            ("q_t_high_room", 30.1, None, Some(Over)),
            ("q_water_high", 100.0, Some(50.0), None),
            ("q_water_high", 101.0, Some(50.0), Some(Over)),
            ("q_pol_neg", -0.3, None, Some(Under)),
            ("q_pol_neg", 0.0, None, None),
            ("q_gnd", 1.5, Some(1.0), Some(Over)),
            ("q_gnd", 1.0, Some(1.0), None),
        ];
        for (finding, reading, reference, expected) in cases {
            let met = at(finding, reading, reference);
            assert_eq!(met, expected, "{finding} {reading} {reference:?}");
        }
    }

    #[test]
    fn a_missing_reference_is_refused() {
        assert!(limit("q_rc_high").unwrap().grade(36.0, None).is_err());
    }
}
