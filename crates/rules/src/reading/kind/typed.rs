//! Readings as people type them: `25C`, `77F`, `2.1V`, `1.215`, `36 uOhm`.

use std::collections::BTreeMap;

use super::{Input, Kind, ReadingError};

/// What a unit measures; only units of one kind can be turned into each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Measure {
    Celsius,
    Degrees,
    Volt,
    Ampere,
    Charge,
    Resistance,
    Length,
    Area,
    Volume,
    Mass,
    Time,
    Percent,
    PercentRate,
    Use,
    Flow,
    Specific,
    CurrentDensity,
    Density,
    Viscosity,
    Slope,
}

/// A unit: what it measures, how it is spelt (the first one is shown), its size.
type Unit = (Measure, &'static [&'static str], f64);

const DAY: f64 = 86_400.0;
const YEAR: f64 = 365.25 * DAY;
const CUBIC_FOOT_L: f64 = 28.316_846_592;

/// All units that are understood, as [`plain`] spells them.
const UNITS: &[Unit] = &[
    (Measure::Volt, &["mv"], 1e-3),
    (Measure::Volt, &["v", "volt", "volts"], 1.0),
    (Measure::Ampere, &["ma"], 1e-3),
    (Measure::Ampere, &["a", "amp", "amps"], 1.0),
    (Measure::Charge, &["mah"], 1e-3),
    (Measure::Charge, &["ah"], 1.0),
    (Measure::Resistance, &["uohm"], 1e-6),
    (Measure::Resistance, &["mohm"], 1e-3),
    (Measure::Resistance, &["ohm"], 1.0),
    (Measure::Length, &["um"], 1e-6),
    (Measure::Length, &["mm"], 1e-3),
    (Measure::Length, &["cm"], 1e-2),
    (Measure::Length, &["m"], 1.0),
    (Measure::Length, &["in", "inch", "inches", "\""], 0.0254),
    (Measure::Length, &["ft", "feet", "foot"], 0.3048),
    (Measure::Area, &["mm2"], 1e-6),
    (Measure::Area, &["cm2"], 1e-4),
    (Measure::Area, &["m2"], 1.0),
    (Measure::Area, &["in2"], 0.0254 * 0.0254),
    (Measure::Volume, &["ml", "cm3"], 1e-3),
    (Measure::Volume, &["l", "liter", "litre", "liters", "litres"], 1.0),
    (Measure::Volume, &["m3"], 1e3),
    (Measure::Volume, &["ft3"], CUBIC_FOOT_L),
    (Measure::Volume, &["gal", "gallon", "gallons"], 3.785_411_784),
    (Measure::Mass, &["g"], 1e-3),
    (Measure::Mass, &["kg"], 1.0),
    (Measure::Mass, &["lb", "lbs"], 0.453_592_37),
    (Measure::Time, &["s", "sec", "second", "seconds"], 1.0),
    (Measure::Time, &["min", "minute", "minutes"], 60.0),
    (Measure::Time, &["h", "hr", "hour", "hours"], 3600.0),
    (Measure::Time, &["days", "day", "d"], DAY),
    (Measure::Time, &["weeks", "week"], 7.0 * DAY),
    (Measure::Time, &["months", "month"], YEAR / 12.0),
    (Measure::Time, &["years", "year", "yr"], YEAR),
    (Measure::Percent, &["%", "percent", "%ofheight", "%ofrating"], 1.0),
    (Measure::PercentRate, &["%/month"], 12.0),
    (Measure::PercentRate, &["%/year"], 1.0),
    (Measure::Use, &["ml/month"], 1.0),
    (Measure::Use, &["l/month"], 1e3),
    (Measure::Use, &["ml/year"], 1.0 / 12.0),
    (Measure::Use, &["l/year"], 1e3 / 12.0),
    (Measure::Flow, &["m3/h"], 1e3),
    (Measure::Flow, &["l/h"], 1.0),
    (Measure::Flow, &["l/s"], 3600.0),
    (Measure::Flow, &["ft3/min", "cfm"], 60.0 * CUBIC_FOOT_L),
    (Measure::Specific, &["ma/ah"], 1e-3),
    (Measure::Specific, &["a/ah"], 1.0),
    (Measure::CurrentDensity, &["ua/cm2"], 1e-6),
    (Measure::CurrentDensity, &["ma/cm2"], 1e-3),
    (Measure::Density, &["kg/m3"], 1.0),
    (Measure::Density, &["g/cm3", "g/ml", "kg/l"], 1e3),
    (Measure::Viscosity, &["mpas", "cp"], 1e-3),
    (Measure::Viscosity, &["pas"], 1.0),
    (Measure::Slope, &["v/c", "v/cpercell"], 1.0),
    (Measure::Slope, &["mv/c"], 1e-3),
    (Measure::Slope, &["mv/f"], 1.8e-3),
    (Measure::Slope, &["v/f"], 1.8),
];

/// A temperature: its names, the way into °C, the size of a degree.
type Degree = (&'static [&'static str], fn(f64) -> f64, f64);

const TEMPERATURES: [Degree; 3] = [
    (&["c", "celsius"], |v| v, 1.0),
    (&["f", "fahrenheit"], super::super::acid::celsius, 1.0 / 1.8),
    (&["k", "kelvin"], |v| v - 273.15, 1.0),
];

/// A unit in the letters of a keyboard: small, without blanks, powers as digits.
fn plain(unit: &str) -> String {
    let mut text = String::new();
    for c in unit.chars().flat_map(char::to_lowercase) {
        match c {
            ' ' | '°' | '^' | '·' => {}
            '²' => text.push('2'),
            '³' => text.push('3'),
            'µ' | 'μ' => text.push('u'),
            'Ω' | 'ω' => text.push_str("ohm"),
            c => text.push(c),
        }
    }
    let text = text.replace("deg", "").replace("ohms", "ohm").replace("perday", "/day");
    let text = text.replace("permonth", "/month").replace("peryear", "/year");
    text.replace("amonth", "/month").replace("ayear", "/year")
}

fn found(plain: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|(_, names, _)| names.contains(&plain))
}

/// The number at the start of a text, and what follows it.
fn split(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e' | 'E');
    let end = text.find(|c| !is_number(c)).unwrap_or(text.len());
    // An `e` may belong to the unit that follows.
    (1..=end).rev().find_map(|n| Some((text[..n].parse().ok()?, text[n..].trim())))
}

impl Input {
    /// True for a difference of temperatures, which has no zero point to move.
    pub(super) fn is_difference(&self) -> bool {
        matches!(self.name, "halving_c" | "doubling_c")
    }

    fn measure(&self) -> Option<Measure> {
        match (self.range.unit, self.is_difference()) {
            ("°C", true) => Some(Measure::Degrees),
            ("°C", false) => Some(Measure::Celsius),
            (unit, _) => found(&plain(unit)).map(|(measure, ..)| *measure),
        }
    }

    /// Units that this number may be typed in, beside its own.
    pub fn units(&self) -> Vec<&'static str> {
        let own = plain(self.range.unit);
        match self.measure() {
            None if self.range.max <= 1.0 => vec!["%"],
            None => Vec::new(),
            Some(Measure::Celsius | Measure::Degrees) => vec!["F", "K"],
            Some(measure) => UNITS
                .iter()
                .filter(|(m, names, _)| *m == measure && !names.contains(&own.as_str()))
                .map(|(_, names, _)| names[0])
                .collect(),
        }
    }

    /// Reads a number as typed, with its unit or without one, into the unit of this input.
    ///
    /// ```
    /// use jarlight_rules::reading::kind;
    /// let kind = kind("gravity").unwrap();
    /// let temperature = kind.inputs.iter().find(|i| i.name == "temperature_c").unwrap();
    /// assert_eq!(temperature.read("77F").unwrap(), 25.0);
    /// ```
    pub fn read(&self, text: &str) -> Result<f64, ReadingError> {
        self.read_as(text, None)
    }

    /// The same, where a bare number is in the unit of this name.
    fn read_as(&self, text: &str, bare: Option<&str>) -> Result<f64, ReadingError> {
        let name = self.name;
        let text = text.trim().replace('−', "-");
        // Meters that correct by themselves are a yes or a no.
        match text.to_lowercase().as_str() {
            "yes" | "true" if self.range.max <= 1.0 => return Ok(1.0),
            "no" | "false" if self.range.max <= 1.0 => return Ok(0.0),
            _ => {}
        }
        let dotted = text.replace(',', ".");
        if text.contains(',') && split(&dotted).is_some() {
            return Err(ReadingError::Comma { name, text, dotted });
        }
        let unreadable =
            || ReadingError::NotANumber { name, text: text.clone(), words: self.range.words() };
        let (value, unit) = split(&text).filter(|(v, _)| v.is_finite()).ok_or_else(unreadable)?;
        let unit = if unit.is_empty() { bare.unwrap_or_default() } else { unit };
        let value = self.turn(value, unit).ok_or_else(|| ReadingError::UnknownUnit {
            name,
            unit: unit.to_owned(),
            what: self.range.what,
            takes: self.takes(),
        })?;
        // Densities are also called by their points: twelve fifteen is 1.215.
        let thousandth = value / 1000.0;
        if self.range.unit.is_empty()
            && self.range.what.contains("gravity")
            && self.range.check(thousandth).is_ok()
        {
            return Err(ReadingError::Points { name, text, meant: thousandth });
        }
        Ok(value)
    }

    /// A value of a unit in ours; `None` when the unit does not measure the same.
    fn turn(&self, value: f64, unit: &str) -> Option<f64> {
        let unit_plain = plain(unit);
        if unit_plain.is_empty() || unit_plain == plain(self.range.unit) {
            return Some(value);
        }
        // A large M is a million, which no reading here needs: it is a slip.
        if unit.starts_with('M') && matches!(unit_plain.as_str(), "mv" | "ma" | "mohm" | "mah") {
            return None;
        }
        let temperature = TEMPERATURES.iter().find(|(names, ..)| names.contains(&&*unit_plain));
        match (self.measure(), temperature) {
            (Some(Measure::Celsius), Some((_, turn, _))) => Some(turn(value)),
            (Some(Measure::Degrees), Some((.., size))) => Some(value * size),
            (None, _) if unit_plain == "%" && self.range.max <= 1.0 => Some(value / 100.0),
            (Some(measure), _) => {
                let own = found(&plain(self.range.unit))?;
                let (m, _, size) = found(&unit_plain)?;
                (*m == measure).then(|| value * size / own.2)
            }
            (None, _) => None,
        }
    }

    /// The units in words, for a message.
    fn takes(&self) -> String {
        let own = match self.range.unit {
            "" => "a plain number".to_owned(),
            "°C" => "C".to_owned(),
            unit => unit.to_owned(),
        };
        match self.units().as_slice() {
            [] => own,
            more => format!("{own}, or one of {}", more.join(", ")),
        }
    }

    /// The name without its unit, as people type it.
    pub fn stem(&self) -> &'static str {
        const ENDS: [&str; 24] = [
            "_uohm",
            "_mohm",
            "_ml_month",
            "_ma_per_ah",
            "_kg_m3",
            "_g_cm3",
            "_mpa_s",
            "_m3_h",
            "_cm2",
            "_m3",
            "_ah",
            "_kg",
            "_mm",
            "_um",
            "_min",
            "_days",
            "_years",
            "_v",
            "_a",
            "_c",
            "_l",
            "_h",
            "_m",
            "_g",
        ];
        ENDS.iter().find_map(|end| self.name.strip_suffix(end)).unwrap_or(self.name)
    }
}

impl Kind {
    /// Reads numbers as they were typed, each with its unit or without one, for
    /// [`Kind::evaluate`].
    ///
    /// A name may be given without its unit where no other input has the same stem.
    pub fn read<'a>(
        &'static self,
        typed: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Result<BTreeMap<String, f64>, ReadingError> {
        let mut given = BTreeMap::new();
        for (name, text) in typed {
            let (input, bare) = self.input(name)?;
            let value = input.read_as(text, bare)?;
            if given.insert(input.name.to_owned(), value).is_some() {
                return Err(ReadingError::GivenTwice { name: input.name });
            }
        }
        Ok(given)
    }

    /// The input of a name, and the unit of a bare number where the name says one.
    fn input(
        &'static self,
        name: &str,
    ) -> Result<(&'static Input, Option<&'static str>), ReadingError> {
        if let Some(input) = self.inputs.iter().find(|i| i.name == name) {
            return Ok((input, None));
        }
        let by_other = self.inputs.iter().find(|i| i.also().is_some_and(|(also, _)| also == name));
        if let Some(input) = by_other {
            return Ok((input, Some(if input.range.unit == "mm" { "in" } else { "F" })));
        }
        let mut of_stem = self.inputs.iter().filter(|i| i.stem() == name);
        if let (Some(input), None) = (of_stem.next(), of_stem.next()) {
            return Ok((input, None));
        }
        Err(self.unknown(name))
    }
}

#[cfg(test)]
mod tests {
    use super::super::{kind, kinds};
    use super::*;

    fn input(of: &str, name: &str) -> &'static Input {
        kind(of).unwrap().inputs.iter().find(|i| i.name == name).unwrap()
    }

    #[test]
    fn numbers_are_read_in_the_units_people_use() {
        for (of, name, text, value) in [
            ("gravity", "temperature_c", "25C", 25.0),
            ("gravity", "temperature_c", "77F", 25.0),
            ("gravity", "temperature_c", "25 °C", 25.0),
            ("gravity", "temperature_c", "25degC", 25.0),
            ("gravity", "temperature_c", "77 deg F", 25.0),
            ("gravity", "temperature_c", "298.15K", 25.0),
            ("gravity", "temperature_c", "−5", -5.0),
            ("gravity", "gravity", "1.215", 1.215),
            ("gravity", "compensated", "yes", 1.0),
            ("float_cell", "volts", "2.1V", 2.1),
            ("float_cell", "volts", "2130 mV", 2.13),
            ("float_cell", "per_c", "3.3mV/°C", 0.0033),
            ("connection", "now_uohm", "0.036 mΩ", 36.0),
            ("connection", "now_uohm", "36uOhm", 36.0),
            ("connection", "now_uohm", "36 μΩ", 36.0),
            ("gravity_level", "drop_mm", "0.25in", 6.35),
            ("gravity_level", "drop_mm", "1/4", f64::NAN),
            ("gravity_level", "area_cm2", "0.04 m²", 400.0),
            ("gravity_layers", "share_of_top", "40%", 0.4),
            ("ageing", "halving_c", "15F", 15.0 / 1.8),
            ("ageing", "design_years", "240 months", 20.0),
            ("float_current", "now_a", "700 mA", 0.7),
            ("water_use", "now_ml_month", "0.3 L a month", 300.0),
            ("room_hydrogen", "air_m3_h", "10 cfm", 16.990_107_955),
            ("self_discharge", "percent_month", "24% a year", 2.0),
            ("capacity_by_time", "actual_min", "7.2h", 432.0),
            ("settling", "viscosity_mpa_s", "1.84 mPa s", 1.84),
        ] {
            let met = input(of, name).read(text);
            if value.is_nan() {
                assert!(met.is_err(), "{text}");
            } else {
                let met = met.unwrap();
                assert!((met - value).abs() <= 1e-9 * value.abs(), "{of} {name} {text}: {met}");
            }
        }
    }

    #[test]
    fn every_unit_of_an_input_is_understood_and_offered_ones_are_taken() {
        for kind in kinds() {
            for input in kind.inputs {
                let own = format!("1{}", input.range.unit);
                assert_eq!(input.read(&own).unwrap(), 1.0, "{} {}", kind.id, input.name);
                for unit in input.units() {
                    assert!(input.read(&format!("1{unit}")).is_ok(), "{} {unit}", input.name);
                }
                let measured = input.measure().is_some();
                assert_eq!(measured, !input.range.unit.is_empty(), "{} {}", kind.id, input.name);
            }
        }
    }

    #[test]
    fn what_cannot_be_read_says_how_it_is_written() {
        let said =
            |of: &str, name: &str, text: &str| input(of, name).read(text).unwrap_err().to_string();
        assert_eq!(
            said("gravity", "temperature_c", "25V"),
            "`temperature_c` (electrolyte temperature) is not measured in `V`; write it in C, or \
             one of F, K"
        );
        assert_eq!(
            said("gravity", "gravity", "high"),
            "`gravity` is `high`, which is no number; expected specific gravity 1.15 to 1.3"
        );
        assert_eq!(
            said("gravity", "gravity", "1,215"),
            "`gravity` is `1,215`; write the decimals after a point: 1.215"
        );
        assert_eq!(said("gravity", "gravity", "1215"), "`gravity` is `1215`; write it as 1.215");
        assert!(said("float_cell", "volts", "2MV").contains("is not measured in `MV`"));
        assert!(said("float_cell", "volts", "").contains("no number"));
        assert!(said("float_cell", "volts", "1e999V").contains("no number"));
    }

    #[test]
    fn names_may_be_given_without_their_unit_where_they_are_clear() {
        let gravity = kind("gravity").unwrap();
        let given = gravity.read([("gravity", "1.208"), ("temperature", "90F")]).unwrap();
        assert!((given["temperature_c"] - 290.0 / 9.0).abs() < 1e-9);
        let given = gravity.read([("temperature_f", "77")]).unwrap();
        assert!((given["temperature_c"] - 25.0).abs() < 1e-9);
        let twice = gravity.read([("temperature_f", "77"), ("temperature", "25C")]).unwrap_err();
        assert_eq!(twice, ReadingError::GivenTwice { name: "temperature_c" });
        let near = gravity.read([("temprature_c", "25")]).unwrap_err().to_string();
        assert!(near.ends_with("did you mean `temperature_c`?"), "{near}");
    }
}
