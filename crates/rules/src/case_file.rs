//! A case file: what was looked at on one cell, and what the cell is.

use crate::{
    evidence::{Evidence, Seen},
    keyed::Keyed,
    network::Network,
};
use jarlight_model::{
    authored::{Authored, Kind, Node, Reader, Shape, Spot, Variant, VariantShape, read_file},
    authored_enum, authored_record,
    design::{Alloy, unknown_format},
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
    id::Slug,
};

authored_enum! {
    /// On how much of the string the findings of a case are.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    pub enum CaseScope {
        /// On this cell only.
        Cell,
        /// On more than half of the cells.
        String,
        /// On a few cells, or nobody looked at the others.
        #[default]
        Unknown,
    }
}

/// What a case says of one finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entry {
    /// A grade; 0 is clean. For a reading any grade over 0 is "over the limit".
    Grade(usize),
    /// This grade or more.
    AtLeast(usize),
    /// This grade or less.
    AtMost(usize),
    /// Not looked at.
    NotInspected,
}

impl Authored for Entry {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        const WORDS: [&str; 6] = ["Clean", "NotInspected", "Over", "Under", "AtLeast", "AtMost"];
        if matches!(node.kind, Kind::Number { .. }) {
            return usize::read(node, cx).map(Self::Grade);
        }
        let word = cx.variant(node, "a finding", &WORDS)?;
        if let "AtLeast" | "AtMost" = word {
            let mut items = cx.items(node, word, 1)?.iter();
            let grade: usize = cx.next_item(&mut items)?;
            return Some(if word == "AtLeast" {
                Self::AtLeast(grade)
            } else {
                Self::AtMost(grade)
            });
        }
        cx.no_values(node, word)?;
        Some(match word {
            "NotInspected" => Self::NotInspected,
            "Over" => Self::AtLeast(1),
            _ => Self::Grade(0),
        })
    }

    fn shape() -> Shape {
        Shape::Any(vec![usize::shape, Self::words])
    }
}

impl Entry {
    /// The words of an entry that is no bare grade.
    fn words() -> Shape {
        let with_grade = |name| Variant {
            name,
            doc: "",
            holds: VariantShape::Values(vec![usize::shape as fn() -> Shape]),
        };
        let mut variants: Vec<Variant> =
            ["Clean", "NotInspected", "Over", "Under"].map(Variant::word).to_vec();
        variants.extend(["AtLeast", "AtMost"].map(with_grade));
        Shape::Enum { name: "Entry", doc: "", variants }
    }
}

/// The file itself; the record is named as it is written.
mod written {
    use super::{Alloy, CaseScope, Entry, Keyed, Slug, Spot, authored_record};

    authored_record! {
        /// A case as it stands in its file.
        #[derive(Clone, Debug)]
        pub struct Case {
            /// Format of the file; 1.
            pub format: Spot<u32>,
            /// Its title.
            pub title: Option<String> = None,
            /// Remarks of its author.
            pub note: Option<String> = None,
            /// The design of the cell.
            pub design: Option<Spot<Slug>> = None,
            /// The type of the cell, where it is not that of the design.
            pub alloy: Option<Alloy> = None,
            /// Whether the posts have a copper core, where that is not as in the design.
            pub copper_insert: Option<bool> = None,
            /// Months since installation.
            pub age_months: Option<Spot<f64>> = None,
            /// On how much of the string the findings are.
            pub scope: CaseScope = CaseScope::Unknown,
            /// Average temperature of the cell in °C over its life.
            pub temperature: Option<Spot<f64>> = None,
            /// Months since a cause was cured, by cause.
            pub cured: Keyed<Spot<f64>> = Keyed::default(),
            /// What was looked at, by finding: a grade, `Clean`, `NotInspected`, `Over`, `Under`, `AtLeast(2)` or `AtMost(2)`.
            pub findings: Keyed<Spot<Entry>> = Keyed::default(),
            /// How likely each grade is, where somebody was unsure, by finding.
            pub soft: Keyed<Spot<Vec<f64>>> = Keyed::default(),
        }
    }
}

/// A case that was read.
#[derive(Clone, Debug)]
pub struct Case {
    /// Its title.
    pub title: Option<String>,
    /// Remarks of its author.
    pub note: Option<String>,
    /// The design of the cell, with its place in the file.
    pub design: Option<Spot<Slug>>,
    /// The type of the cell, where it is not that of the design.
    pub alloy: Option<Alloy>,
    /// Whether the posts have a copper core, where that is not as in the design.
    pub copper_insert: Option<bool>,
    /// Months since installation.
    pub age_months: Option<f64>,
    /// On how much of the string the findings are.
    pub scope: CaseScope,
    /// Average temperature of the cell in °C over its life.
    pub temperature: Option<f64>,
    /// Months since a cause was cured.
    pub cured: Vec<(Spot<String>, f64)>,
    findings: Vec<(Spot<String>, Spot<Entry>)>,
    soft: Vec<(Spot<String>, Spot<Vec<f64>>)>,
    source: Source,
}

impl Case {
    /// What such a file looks like.
    pub fn shape() -> Shape {
        written::Case::shape()
    }

    /// Reads a case file; which findings exist is for [`Case::evidence`] to say.
    pub fn read(source: &Source) -> Checked<Self> {
        let file = read_file::<written::Case>(source);
        let mut found = file.diagnostics;
        let Some(draft) = file.value else {
            return Checked { value: None, diagnostics: found };
        };
        let mut error = |code, at: &std::ops::Range<usize>, what: String| {
            found.push(Diagnostic::new(code, source, at.clone(), what));
        };
        if let Some(age) = &draft.age_months
            && !(age.value > 0.0 && age.value <= 1200.0)
        {
            let what = format!("age_months must be over 0 and at most 1200, met {}", age.value);
            error(Code::OutOfRange, &age.at, what);
        }
        if let Some(t) = &draft.temperature
            && !(-20.0..=60.0).contains(&t.value)
        {
            let what = format!("temperature must be from −20 to 60 °C, met {}", t.value);
            error(Code::OutOfRange, &t.at, what);
        }
        for (id, months) in draft.cured.iter() {
            if months.value < 0.0 {
                let what = format!("`{}` cannot be cured {} months ago", id.value, months.value);
                error(Code::OutOfRange, &months.at, what);
            }
        }
        for (id, likelihood) in draft.soft.iter() {
            if likelihood.iter().any(|l| *l < 0.0) || likelihood.iter().all(|l| *l == 0.0) {
                let what = format!(
                    "the likelihoods of `{}` must not be negative, and one must be over 0",
                    id.value
                );
                error(Code::OutOfRange, &likelihood.at, what);
            }
            if draft.findings.0.iter().any(|(f, _)| f.value == id.value) {
                let what = format!("`{}` stands under findings and under soft", id.value);
                error(Code::RepeatedField, &id.at, what);
            }
        }
        if let Some((id, _)) = draft.soft.0.get(crate::infer::MAX_SOFT) {
            let what = format!("at most {} soft findings are taken", crate::infer::MAX_SOFT);
            error(Code::OutOfRange, &id.at, what);
        }
        if draft.format.value != 1 {
            found.push(unknown_format(source, &draft.format));
        }
        let complete = !found.iter().any(Diagnostic::is_error);
        let case = Self {
            title: draft.title,
            note: draft.note,
            design: draft.design,
            alloy: draft.alloy,
            copper_insert: draft.copper_insert,
            age_months: draft.age_months.map(|a| a.value),
            scope: draft.scope,
            temperature: draft.temperature.map(|t| t.value),
            cured: draft.cured.iter().map(|(k, v)| (k.clone(), v.value)).collect(),
            findings: draft.findings.iter().map(|(k, v)| (k.clone(), v.clone())).collect(),
            soft: draft.soft.iter().map(|(k, v)| (k.clone(), v.clone())).collect(),
            source: source.clone(),
        };
        Checked { value: complete.then_some(case), diagnostics: in_file_order(found) }
    }

    /// The file it was read from, for further messages.
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// Ids of the findings the case names, with their entries.
    pub fn entries(&self) -> impl Iterator<Item = (&Spot<String>, Entry)> {
        self.findings.iter().map(|(id, entry)| (id, entry.value))
    }

    /// Ids of the findings that are only thought to have been seen, with their likelihoods.
    pub fn soft(&self) -> impl Iterator<Item = (&Spot<String>, &[f64])> {
        self.soft.iter().map(|(id, likelihood)| (id, likelihood.value.as_slice()))
    }

    /// What was looked at, as evidence for a network; unknown ids and grades are reported.
    pub fn evidence(&self, network: &Network) -> Result<Evidence, Vec<Diagnostic>> {
        let mut evidence = Evidence::new();
        let mut found = Vec::new();
        let find = |id: &Spot<String>, found: &mut Vec<Diagnostic>| {
            let place = network.finding_idx(&id.value);
            if place.is_none() {
                let what = format!("no finding of these rules has the id `{}`", id.value);
                let known = network.findings().iter().map(|f| f.id.as_str());
                found.push(
                    Diagnostic::new(Code::UnknownFinding, &self.source, id.at.clone(), what)
                        .nearest(&id.value, known),
                );
            }
            place
        };
        for (id, entry) in &self.findings {
            let Some(f) = find(id, &mut found) else { continue };
            let top = network.findings()[f].leak.len() - 1;
            let reading = network.findings()[f].reading;
            let (grade, seen) = match entry.value {
                Entry::NotInspected => continue,
                // A reading over its limit counts as grade 3, and may be written so.
                Entry::Grade(g) if reading && g <= 5 => (0, Seen::grade(g.min(1))),
                Entry::AtLeast(g) if reading && g <= 5 => {
                    (0, Seen::Between { low: g.min(1), high: 1 })
                }
                Entry::AtMost(g) if reading && g <= 5 => {
                    (0, Seen::Between { low: 0, high: usize::from(g >= 3) })
                }
                Entry::Grade(g) => (g, network.findings()[f].seen(g)),
                Entry::AtLeast(g) => (g, Seen::Between { low: g, high: top }),
                Entry::AtMost(g) => (g, Seen::Between { low: 0, high: g }),
            };
            if grade > top {
                let what = format!("`{}` has grades from 0 to {top}, met {grade}", id.value);
                let at = entry.at.clone();
                found.push(Diagnostic::new(Code::OutOfRange, &self.source, at, what));
            } else {
                evidence.set(f, seen);
            }
        }
        for (id, likelihood) in &self.soft {
            let Some(f) = find(id, &mut found) else { continue };
            let n = network.findings()[f].leak.len();
            if likelihood.len() == n {
                evidence.set(f, Seen::Perhaps(likelihood.value.clone()));
            } else {
                let what = format!(
                    "`{}` has {n} grades from 0, so it needs {n} likelihoods; met {}",
                    id.value,
                    likelihood.len()
                );
                let at = likelihood.at.clone();
                found.push(Diagnostic::new(Code::WrongType, &self.source, at, what));
            }
        }
        if found.is_empty() { Ok(evidence) } else { Err(in_file_order(found)) }
    }
}
