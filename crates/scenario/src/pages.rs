//! A list of pages to present to a room: views of the cell, entries of the atlas, questions.

use crate::format::View;
use jarlight_model::{
    authored::{Spot, read_file},
    authored_enum, authored_record,
    catalogue::Catalogue,
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
    id::Slug,
    unit::Severity,
};
use std::fmt::Write as _;

authored_record! {
    /// A file of pages.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Pages {
        /// Version of the format: 1.
        pub format: Spot<f64>,
        /// What it is called.
        pub title: String,
        /// The pages in order.
        pub pages: Vec<Page>,
    }

    /// A condition on the cell of a page.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Shown {
        /// The condition.
        pub id: Spot<Slug>,
        /// How far gone.
        pub severity: Severity,
    }
}

authored_enum! {
    /// One page.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Page {
        /// A cell, with its parts named when the answer is shown.
        View {
            /// The design.
            design: Spot<Slug>,
            /// From where.
            view: View = View::Edge,
            /// The parts that are pointed out.
            parts: Vec<Spot<Slug>> = Vec::new(),
            /// A line above the drawing.
            say: Option<String> = None,
        },
        /// A cell with conditions, which are named when the answer is shown.
        Atlas {
            /// The design.
            design: Spot<Slug>,
            /// From where.
            view: View = View::Edge,
            /// What is on the cell; the first is what the page is about.
            conditions: Vec<Shown>,
            /// Whether the lamp is lit.
            lamp: bool = false,
            /// Whether the healthy cell stands beside it.
            compare: bool = false,
            /// A line above the drawing.
            say: Option<String> = None,
        },
        /// A question of a scenario.
        Question {
            /// The id of the scenario.
            scenario: Spot<Slug>,
            /// The number of the question, from 1.
            number: Spot<f64>,
            /// Seed of the pictures.
            seed: f64 = 1.0,
        },
    }
}

/// True when the first word of a file says that it is a list of pages.
pub fn is_kind(root: &str) -> bool {
    root == "Pages"
}

impl Pages {
    /// Reads a file: form and meaning, everything found reported with its place.
    pub fn read(source: &Source, catalogue: &Catalogue) -> Checked<Self> {
        let Checked { value, mut diagnostics } = read_file::<Self>(source);
        if let Some(file) = &value {
            let mut check = Check { source, catalogue, found: &mut diagnostics };
            check.file(file);
        }
        Checked { value, diagnostics: in_file_order(diagnostics) }
    }

    /// The file as it is written.
    pub fn to_text(&self) -> String {
        let mut out = format!("Pages(\n  format: 1,\n  title: {:?},\n  pages: [\n", self.title);
        for page in &self.pages {
            // Writing into a String cannot fail.
            let _ = writeln!(out, "    {},", page.to_text());
        }
        out.push_str("  ],\n)\n");
        out
    }
}

impl Page {
    fn to_text(&self) -> String {
        let line = |say: &Option<String>| {
            say.as_ref().map_or_else(String::new, |s| format!(", say: {s:?}"))
        };
        match self {
            Self::View { design, view, parts, say } => {
                let parts: Vec<String> =
                    parts.iter().map(|p| format!("{:?}", p.as_str())).collect();
                let design = design.as_str();
                let (parts, say) = (parts.join(", "), line(say));
                format!("View(design: {design:?}, view: {view:?}, parts: [{parts}]{say})")
            }
            Self::Atlas { design, view, conditions, lamp, compare, say } => {
                let shown = conditions.iter().map(|c| {
                    let severity = jarlight_model::unit::trimmed(c.severity.value(), 3);
                    format!("(id: {:?}, severity: {severity})", c.id.as_str())
                });
                let (design, shown) = (design.as_str(), shown.collect::<Vec<_>>().join(", "));
                format!(
                    "Atlas(design: {design:?}, view: {view:?}, conditions: [{shown}], \
                     lamp: {lamp}, compare: {compare}{})",
                    line(say)
                )
            }
            Self::Question { scenario, number, seed } => {
                let (scenario, number) = (scenario.as_str(), number.value);
                format!("Question(scenario: {scenario:?}, number: {number}, seed: {seed})")
            }
        }
    }
}

struct Check<'a> {
    source: &'a Source,
    catalogue: &'a Catalogue,
    found: &'a mut Vec<Diagnostic>,
}

impl Check<'_> {
    fn file(&mut self, file: &Pages) {
        if (file.format.value - 1.0).abs() > f64::EPSILON {
            let what = format!("this program reads format 1, met {}", file.format.value);
            self.report(Code::UnknownFormat, &file.format.at, what);
        }
        for page in &file.pages {
            match page {
                Page::View { design, parts, .. } => {
                    self.design(design);
                    for part in parts {
                        self.part(design, part);
                    }
                }
                Page::Atlas { design, conditions, .. } => {
                    self.design(design);
                    for shown in conditions {
                        self.condition(design, &shown.id);
                    }
                }
                Page::Question { number, .. } => {
                    if number.value < 1.0 || number.value.fract() != 0.0 {
                        let what = format!("questions are counted from 1, met {}", number.value);
                        self.report(Code::OutOfRange, &number.at, what);
                    }
                }
            }
        }
    }

    fn report(&mut self, code: Code, at: &std::ops::Range<usize>, what: String) {
        self.found.push(Diagnostic::new(code, self.source, at.clone(), what));
    }

    fn unknown<'a>(
        &mut self,
        code: Code,
        what: &str,
        id: &Spot<Slug>,
        known: impl Iterator<Item = &'a str>,
    ) {
        let what = format!("no {what} has the id `{}`", id.value);
        let d = Diagnostic::new(code, self.source, id.at.clone(), what);
        self.found.push(d.nearest(id.as_str(), known));
    }

    fn design(&mut self, id: &Spot<Slug>) {
        let catalogue = self.catalogue;
        if !catalogue.designs.contains_key(&id.value) {
            let known = catalogue.designs.keys().map(Slug::as_str);
            self.unknown(Code::UnknownDesign, "design", id, known);
        }
    }

    fn part(&mut self, design: &Spot<Slug>, id: &Spot<Slug>) {
        let catalogue = self.catalogue;
        if catalogue.part(id.as_str()).is_none() {
            let known = catalogue.parts.iter().map(|p| p.id.as_str());
            self.unknown(Code::UnknownPart, "part", id, known);
        } else if let Some(d) = catalogue.designs.get(&design.value)
            && !catalogue.has_part(d, id.as_str())
        {
            let what = format!("the design `{}` has no part `{}`", d.id, id.value);
            self.report(Code::PartNotInDesign, &id.at, what);
        }
    }

    fn condition(&mut self, design: &Spot<Slug>, id: &Spot<Slug>) {
        let catalogue = self.catalogue;
        let Some(condition) = catalogue.condition(id.as_str()) else {
            let known = catalogue.conditions.iter().map(|c| c.id.as_str());
            self.unknown(Code::UnknownCondition, "condition", id, known);
            return;
        };
        if let Some(d) = catalogue.designs.get(&design.value)
            && !catalogue.can_occur(d, condition)
        {
            let what = format!("`{}` cannot be on the design `{}`", id.value, d.id);
            self.report(Code::PartNotInDesign, &id.at, what);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = r#"Pages(
  format: 1,
  title: "Pale mud",
  pages: [
    View(design: "medium_pasted", view: Face, parts: ["negative_plate_end"], say: "What is this?"),
    Atlas(design: "medium_pasted", view: Edge, conditions: [(id: "sediment_light", severity: 0.6)], lamp: true, compare: true),
    Question(scenario: "first_conditions", number: 3, seed: 7),
  ],
)
"#;

    fn read(text: &str) -> Checked<Pages> {
        Pages::read(
            &Source::from_bytes("a.pages.ron", text.as_bytes()).unwrap(),
            Catalogue::builtin(),
        )
    }

    #[test]
    fn what_is_written_is_read_back() {
        let first = read(FILE);
        assert_eq!(first.diagnostics, []);
        let text = first.value.unwrap().to_text();
        let again = read(&text);
        assert_eq!(again.diagnostics, [], "{text}");
        assert_eq!(again.value.unwrap().to_text(), text);
        assert!(text.contains("severity: 0.6") && text.contains("number: 3"), "{text}");
    }

    #[test]
    fn every_mistake_has_its_code_and_place() {
        for (right, wrong, code) in [
            ("format: 1", "format: 2", Code::UnknownFormat),
            ("\"sediment_light\"", "\"sediment_lihgt\"", Code::UnknownCondition),
            ("\"sediment_light\"", "\"tube_burst\"", Code::PartNotInDesign),
            ("\"negative_plate_end\"", "\"negative_end\"", Code::UnknownPart),
            ("\"negative_plate_end\"", "\"tube_gauntlet\"", Code::PartNotInDesign),
            ("View(design: \"medium_pasted\"", "View(design: \"medium\"", Code::UnknownDesign),
            ("number: 3", "number: 0", Code::OutOfRange),
            ("lamp: true", "lamb: true", Code::UnknownField),
            ("severity: 0.6", "severity: 6", Code::OutOfRange),
        ] {
            let text = FILE.replacen(right, wrong, 1);
            assert_ne!(text, FILE);
            let met = read(&text).diagnostics;
            assert_eq!(met.iter().map(|d| d.code).collect::<Vec<_>>(), [code], "{wrong}");
            assert!(met[0].place.is_some(), "{wrong}");
        }
    }
}
