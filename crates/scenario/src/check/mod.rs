//! What can be wrong with the meaning of a scenario; one file a family of checks.

mod envelope;
mod options;
mod rules;
mod scenes;
mod sheets;
mod sight;
mod subjects;

use crate::format::{self, Question};
use jarlight_model::{
    authored::Spot,
    catalogue::{Catalogue, ConditionKind},
    design::Design,
    diag::{Code, Diagnostic, Source},
    id::Slug,
};
use std::ops::Range;

/// Runs every check on a file that could be read, at least in part.
pub(crate) fn run(
    source: &Source,
    catalogue: &Catalogue,
    file: &format::Scenario,
) -> Vec<Diagnostic> {
    let mut checker = Checker { source, catalogue, file, found: Vec::new() };
    if !envelope::format_is_known(&mut checker) {
        return checker.found;
    }
    envelope::check(&mut checker);
    scenes::check(&mut checker);
    subjects::check(&mut checker);
    options::check(&mut checker);
    sight::check(&mut checker);
    rules::check(&mut checker);
    checker.found
}

pub(crate) struct Checker<'a> {
    source: &'a Source,
    catalogue: &'a Catalogue,
    file: &'a format::Scenario,
    found: Vec<Diagnostic>,
}

impl<'a> Checker<'a> {
    fn error(&mut self, code: Code, at: &Range<usize>, what: impl Into<String>) -> &mut Diagnostic {
        self.found.push(Diagnostic::new(code, self.source, at.clone(), what));
        let last = self.found.len() - 1;
        &mut self.found[last]
    }

    /// Reports an id that is none of those known, with the nearest one.
    fn unknown<'k>(
        &mut self,
        code: Code,
        at: &Range<usize>,
        kind: &str,
        word: &str,
        known: impl IntoIterator<Item = &'k str>,
    ) {
        let what = format!("no {kind} has the id `{word}`");
        let d = Diagnostic::new(code, self.source, at.clone(), what).nearest(word, known);
        self.found.push(d);
    }

    fn part_is_known(&mut self, part: &Spot<Slug>) -> bool {
        let known = self.catalogue.part(part).is_some();
        if !known {
            let catalogue = self.catalogue;
            let ids = catalogue.parts.iter().map(|p| p.id.as_str());
            self.unknown(Code::UnknownPart, &part.at, "part", part, ids);
        }
        known
    }

    fn condition_is_known(&mut self, id: &Spot<Slug>) -> bool {
        let known = self.catalogue.condition(id).is_some();
        if !known {
            let catalogue = self.catalogue;
            let ids = catalogue.conditions.iter().map(|c| c.id.as_str());
            self.unknown(Code::UnknownCondition, &id.at, "condition", id, ids);
        }
        known
    }

    fn mechanism_is_known(&mut self, id: &Spot<Slug>) -> bool {
        let known = self.catalogue.mechanism(id).is_some();
        if !known {
            let catalogue = self.catalogue;
            let ids = catalogue.mechanisms.iter().map(|m| m.id.as_str());
            self.unknown(Code::UnknownMechanism, &id.at, "cause", id, ids);
        }
        known
    }

    /// Reports an id that is neither a condition nor a reading.
    fn finding_is_known(&mut self, id: &str, at: &Range<usize>) -> bool {
        let catalogue = self.catalogue;
        let known = catalogue.condition(id).is_some() || catalogue.quantity(id).is_some();
        if !known {
            let conditions = catalogue.conditions.iter().map(|x| x.id.as_str());
            let all = conditions.chain(catalogue.quantities.iter().map(|q| q.id.as_str()));
            self.unknown(Code::UnknownFinding, at, "condition or reading", id, all);
        }
        known
    }

    /// Reports a known part that the design does not have.
    fn part_is_in(&mut self, design: &Design, part: &Spot<Slug>) -> bool {
        let there = self.catalogue.has_part(design, part);
        if !there {
            let name = self.catalogue.name_of(part);
            let what = format!("the design `{}` has no {}", design.id, name.to_lowercase());
            self.error(Code::PartNotInDesign, &part.at, what);
        }
        there
    }

    /// The design of a scene, when both are known.
    fn design_of(&self, scene: &format::Scene) -> Option<&'a Design> {
        self.catalogue.designs.get(&scene.design.value)
    }

    fn scene_of(&self, question: &Question) -> Option<&'a format::Scene> {
        self.file.scenes.get(&question.scene)
    }

    /// The questions whose form could be read.
    fn questions(&self) -> impl Iterator<Item = &'a Question> + use<'a> {
        self.file.questions.value.0.iter().filter(|q| !q.broken.contains(&"form"))
    }
}

/// True for ids of harmless look-alikes, which count as nothing wrong.
pub(crate) fn is_harmless(catalogue: &Catalogue, id: &str) -> bool {
    catalogue.condition(id).is_some_and(|c| c.kind == ConditionKind::Harmless)
}

#[cfg(test)]
pub(crate) mod testing {
    //! A sound scenario into which each test puts one fault.

    use crate::Scenario;
    use jarlight_model::{
        catalogue::Catalogue,
        diag::{Diagnostic, Source},
    };

    pub const SOUND: &str = r#"Scenario(
  format: 1,
  id: "t",
  title: "T",
  minutes: 5,
  scenes: {
    "a": (design: "medium_pasted", conditions: [(id: "sediment_light", severity: 0.6)]),
  },
  questions: [
    (id: "q1", scene: "a", stem: "Point at it.", form: Point(part: "retainer_mat", number: 3)),
    (id: "q2", scene: "a", stem: "What is ringed?", form: Name(
      target: "separator-2", options: ["separator", "retainer_mat"])),
    (id: "q3", scene: "a", stem: "How many?", form: Choice(options: ["6", "7"], right: "7"),
      about: ["positive_plate"]),
    (id: "q4", scene: "a", stem: "What is shown?", form: Diagnose(
      condition: (options: ["sediment_light", "sediment_dark", "normal"], right: "sediment_light"),
      cause: (options: ["m_undercharge", "m_overcharge", "normal"], right: "m_undercharge"),
      began: Bands(bands: [(0, 6), (6, 71), (71, 9999)], right: (6, 71)))),
  ],
)
"#;

    /// Codes, and the words they point at, found in the sound file after each `from` is
    /// replaced by its `to`.
    pub fn found(changes: &[(&str, &str)]) -> Vec<String> {
        let mut text = SOUND.to_owned();
        for (from, to) in changes {
            assert!(text.contains(from), "the sound file has no `{from}`");
            text = text.replacen(from, to, 1);
        }
        let source = Source::new("t.scenario.ron", &text);
        let read = Scenario::read(&source, Catalogue::builtin());
        let at = |d: &Diagnostic| d.place.as_ref().expect("a place").range.clone();
        read.diagnostics.iter().map(|d| format!("{} {}", d.code, &text[at(d)])).collect()
    }

    /// Codes and words found when a question of this form, with a text of its own, is added.
    pub fn found_with(form: &str) -> Vec<String> {
        let more = format!(
            "questions: [\n (id: \"q0\", scene: \"a\", stem: \"?\", why: \"So.\", form: {form}),"
        );
        found(&[("questions: [", &more)])
    }

    #[test]
    fn the_sound_file_is_sound() {
        assert_eq!(found(&[]), Vec::<String>::new());
    }
}
