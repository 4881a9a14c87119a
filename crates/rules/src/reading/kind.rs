//! Every reading by name: what goes in, what comes out, and the sentence for it.

mod electric;
mod electrolyte;
mod room;
mod structure;
#[cfg(test)]
mod tests;
mod typed;

use std::collections::BTreeMap;

use jarlight_model::diag::closest;
use serde_json::json;
use thiserror::Error;

use super::limit::{Beyond, limit};
use super::range::{OutOfRange, Range};

/// One number that a kind of reading takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// Name, with the unit at its end.
    pub name: &'static str,
    /// What it is, its unit and its range.
    pub range: Range,
    /// Value taken when it is not given; `None` when it must be given.
    pub usual: Option<f64>,
}

/// A kind of reading.
#[derive(Clone, Copy, Debug)]
pub struct Kind {
    /// Name.
    pub id: &'static str,
    /// What it works out, in a few words.
    pub title: &'static str,
    /// Numbers it takes.
    pub inputs: &'static [Input],
    /// Names and units of the numbers it gives.
    pub outputs: &'static [(&'static str, &'static str)],
    /// How it is worked out, in the words of the inputs.
    pub formula: &'static str,
    /// Where its formulas come from.
    pub source: &'static str,
    work: fn(&Given) -> Result<Work, ReadingError>,
}

/// One number that came out.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// Name.
    pub name: &'static str,
    /// Unit, empty for a plain number.
    pub unit: &'static str,
    /// The number.
    pub value: f64,
}

/// A finding of the catalogue that a reading was compared for.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Id of the finding.
    pub finding: &'static str,
    /// Side of the limit; `None` when the reading is within it, so looked and clean.
    pub beyond: Option<Beyond>,
    /// The limit in words.
    pub words: &'static str,
    /// Where the limit comes from.
    pub source: &'static str,
}

/// What a reading comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Evaluation {
    /// Name of the kind.
    pub kind: &'static str,
    /// Numbers that came out, in the order of the kind.
    pub values: Vec<Value>,
    /// The result in one or two sentences.
    pub sentence: String,
    /// Findings that the reading was compared for.
    pub findings: Vec<Found>,
    /// How they were worked out.
    pub formula: &'static str,
    /// Where the formulas come from.
    pub source: &'static str,
    /// Ranges in which they hold.
    pub range: String,
}

/// Why a reading could not be evaluated.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ReadingError {
    /// No kind has this name.
    #[error("no reading is called `{name}`{near}")]
    UnknownKind {
        /// Name met.
        name: String,
        /// The nearest name, as the end of the sentence.
        near: String,
    },
    /// The kind does not take this number.
    #[error("`{kind}` does not take `{name}`; it takes {takes}{near}")]
    UnknownInput {
        /// Kind of reading.
        kind: &'static str,
        /// Name met.
        name: String,
        /// Names that it takes, with commas.
        takes: String,
        /// The nearest of them, as the end of the sentence.
        near: String,
    },
    /// A number that must be given was not.
    #[error("`{kind}` needs `{name}`: {words}")]
    MissingInput {
        /// Kind of reading.
        kind: &'static str,
        /// Name of the number.
        name: &'static str,
        /// What it is, with its range.
        words: String,
    },
    /// One number was given in two units.
    #[error("`{name}` is given twice, in two units")]
    GivenTwice {
        /// Name of the number.
        name: &'static str,
    },
    /// What was typed is no number.
    #[error("`{name}` is `{text}`, which is no number; expected {words}")]
    NotANumber {
        /// Name of the number.
        name: &'static str,
        /// What was typed.
        text: String,
        /// What it is, with its range.
        words: String,
    },
    /// The decimals stand after a comma.
    #[error("`{name}` is `{text}`; write the decimals after a point: {dotted}")]
    Comma {
        /// Name of the number.
        name: &'static str,
        /// What was typed.
        text: String,
        /// The same with a point.
        dotted: String,
    },
    /// A gravity was typed in points.
    #[error("`{name}` is `{text}`; write it as {meant}")]
    Points {
        /// Name of the number.
        name: &'static str,
        /// What was typed.
        text: String,
        /// The gravity that was meant.
        meant: f64,
    },
    /// The unit does not measure this.
    #[error("`{name}` ({what}) is not measured in `{unit}`; write it in {takes}")]
    UnknownUnit {
        /// Name of the number.
        name: &'static str,
        /// Unit met.
        unit: String,
        /// What the quantity is.
        what: &'static str,
        /// Units that are understood.
        takes: String,
    },
    /// A number is outside the range in which the formula holds.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
}

/// Numbers given for a kind, defaults filled in.
struct Given {
    kind: &'static Kind,
    values: BTreeMap<&'static str, f64>,
}

impl Given {
    /// A number by name.
    fn get(&self, name: &'static str) -> Result<f64, ReadingError> {
        self.values.get(name).copied().ok_or_else(|| self.missing(name))
    }

    /// A number that may be left out.
    fn maybe(&self, name: &'static str) -> Option<f64> {
        self.values.get(name).copied()
    }

    fn missing(&self, name: &'static str) -> ReadingError {
        let words = self.kind.inputs.iter().find(|i| i.name == name).map(|i| i.range.words());
        ReadingError::MissingInput { kind: self.kind.id, name, words: words.unwrap_or_default() }
    }
}

/// What a kind worked out: its numbers in order, its sentence, what was compared.
struct Work {
    values: Vec<f64>,
    sentence: String,
    findings: Vec<Found>,
}

impl Work {
    fn new(values: impl Into<Vec<f64>>, sentence: String) -> Self {
        Self { values: values.into(), sentence, findings: Vec::new() }
    }

    /// Compares a reading with its limit and notes the outcome.
    fn compare(
        mut self,
        finding: &'static str,
        reading: f64,
        reference: Option<f64>,
    ) -> Result<Self, ReadingError> {
        if let Some(limit) = limit(finding) {
            let beyond = limit.grade(reading, reference)?;
            let (words, source) = (limit.words, limit.source);
            if beyond.is_some() {
                self.sentence += &format!(" That is a finding: {words}.");
            }
            self.findings.push(Found { finding, beyond, words, source });
        }
        Ok(self)
    }
}

const fn needed(name: &'static str, range: Range) -> Input {
    Input { name, range, usual: None }
}

const fn usual(name: &'static str, range: Range, usual: f64) -> Input {
    Input { name, range, usual: Some(usual) }
}

/// An input that the kind does without when it is not given.
const fn extra(name: &'static str, range: Range) -> Input {
    Input { name, range, usual: Some(f64::NAN) }
}

/// The same quantity under another name in messages.
const fn called(range: Range, what: &'static str) -> Range {
    Range { what, ..range }
}

/// The way from one unit into another.
pub type Turn = fn(f64) -> f64;

impl Input {
    /// Whether the reading can do without it, and works out less then.
    pub fn optional(&self) -> bool {
        self.usual.is_some()
    }

    /// The same number in a unit that people also use: its name and the way into ours.
    pub fn also(&self) -> Option<(String, Turn)> {
        let name = self.name;
        if self.is_difference() {
            let stem = name.trim_end_matches("_c");
            Some((format!("{stem}_f"), |v| v / 1.8))
        } else if self.range.unit == "°C"
            && let Some(stem) = name.strip_suffix("_c")
        {
            Some((format!("{stem}_f"), super::acid::celsius))
        } else {
            name.strip_suffix("_mm").map(|stem| (format!("{stem}_in"), (|v| v * 25.4) as _))
        }
    }
}

/// All kinds of reading.
pub fn kinds() -> impl Iterator<Item = &'static Kind> {
    [electrolyte::KINDS, electric::KINDS, room::KINDS, structure::KINDS].into_iter().flatten()
}

/// The kind with this name.
pub fn kind(id: &str) -> Option<&'static Kind> {
    kinds().find(|kind| kind.id == id)
}

/// Evaluates a reading by the name of its kind and the numbers given by name.
///
/// Temperatures ending in `_c` may be given with `_f`, lengths ending in `_mm` with `_in`.
pub fn evaluate(id: &str, given: &BTreeMap<String, f64>) -> Result<Evaluation, ReadingError> {
    find(id)?.evaluate(given)
}

/// The kind with this name, or an error with the nearest name.
pub fn find(id: &str) -> Result<&'static Kind, ReadingError> {
    kind(id).ok_or_else(|| {
        let near = closest(id, kinds().map(|kind| kind.id));
        let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        ReadingError::UnknownKind { name: id.to_owned(), near }
    })
}

impl Kind {
    /// Evaluates this kind of reading from numbers given by name.
    pub fn evaluate(
        &'static self,
        given: &BTreeMap<String, f64>,
    ) -> Result<Evaluation, ReadingError> {
        let given = self.take(given)?;
        let work = (self.work)(&given)?;
        let values = self
            .outputs
            .iter()
            .zip(&work.values)
            // A number that needed an input left out has no value, so it is not shown.
            .filter(|(_, value)| !value.is_nan())
            .map(|((name, unit), value)| Value { name, unit, value: *value })
            .collect();
        Ok(Evaluation {
            kind: self.id,
            values,
            sentence: work.sentence,
            findings: work.findings,
            formula: self.formula,
            source: self.source,
            range: self.range_words(),
        })
    }

    /// Sorts numbers given by name to the inputs, other units turned into ours, and checks them.
    fn take(&'static self, given: &BTreeMap<String, f64>) -> Result<Given, ReadingError> {
        let mut values = BTreeMap::new();
        for (name, value) in given {
            let found = self.inputs.iter().find_map(|input| match input.also() {
                _ if input.name == name => Some((input, *value)),
                Some((also, turn)) if also == *name => Some((input, turn(*value))),
                _ => None,
            });
            let Some((input, value)) = found else { return Err(self.unknown(name)) };
            if values.insert(input.name, input.range.check(value)?).is_some() {
                return Err(ReadingError::GivenTwice { name: input.name });
            }
        }
        for input in self.inputs {
            if let Some(usual) = input.usual.filter(|usual| !usual.is_nan()) {
                values.entry(input.name).or_insert(usual);
            }
        }
        let given = Given { kind: self, values };
        match self.inputs.iter().find(|i| !i.optional() && given.maybe(i.name).is_none()) {
            Some(input) => Err(given.missing(input.name)),
            None => Ok(given),
        }
    }

    fn unknown(&self, name: &str) -> ReadingError {
        let takes: Vec<&str> = self.inputs.iter().map(|input| input.name).collect();
        let near = closest(name, takes.iter().copied());
        let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        ReadingError::UnknownInput {
            kind: self.id,
            name: name.to_owned(),
            takes: takes.join(", "),
            near,
        }
    }

    /// What it takes and gives, as one line of JSON.
    pub fn to_json(&self) -> String {
        let number = |v: f64| (v.is_finite() && v != f64::MAX).then_some(v);
        let inputs: Vec<_> = self
            .inputs
            .iter()
            .map(|i| {
                json!({
                    "name": i.name, "what": i.range.what, "unit": i.range.unit,
                    "also": i.units(), "min": number(i.range.min), "max": number(i.range.max),
                    "usual": i.usual.and_then(number), "needed": !i.optional(),
                })
            })
            .collect();
        let outputs: Vec<_> =
            self.outputs.iter().map(|(n, u)| json!({ "name": n, "unit": u })).collect();
        json!({
            "kind": self.id, "title": self.title, "inputs": inputs, "outputs": outputs,
            "formula": self.formula, "source": self.source,
        })
        .to_string()
    }

    /// The ranges of all inputs in words.
    pub fn range_words(&self) -> String {
        let words: Vec<String> = self.inputs.iter().map(|input| input.range.words()).collect();
        words.join("; ")
    }
}

impl Evaluation {
    /// A number that came out, by name.
    pub fn value(&self, name: &str) -> Option<f64> {
        self.values.iter().find(|value| value.name == name).map(|value| value.value)
    }

    /// The result as one line of JSON, keys in alphabetical order.
    pub fn to_json(&self) -> String {
        let values: Vec<_> = self
            .values
            .iter()
            .map(|v| json!({ "name": v.name, "unit": v.unit, "value": v.value }))
            .collect();
        let findings: Vec<_> = self
            .findings
            .iter()
            .map(|f| {
                let beyond = f.beyond.map(|side| match side {
                    Beyond::Over => "over",
                    Beyond::Under => "under",
                });
                json!({
                    "finding": f.finding, "beyond": beyond, "limit": f.words, "source": f.source,
                })
            })
            .collect();
        json!({
            "kind": self.kind,
            "values": values,
            "sentence": self.sentence,
            "findings": findings,
            "formula": self.formula,
            "source": self.source,
            "range": self.range,
        })
        .to_string()
    }
}
