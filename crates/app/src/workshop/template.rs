//! Texts to begin with: a lesson without questions, and one question of each form.

use super::{edit, outline::Outline, text::Text};
use jarlight_model::{authored::parse, diag::Source};
use std::sync::OnceLock;

const LESSON: &str = include_str!("../../../../assets/templates/lesson.txt");

macro_rules! embedded {
    ($($name:literal),* $(,)?) => {
        &[$( ($name, include_str!(concat!("../../../../assets/templates/", $name, ".scenario.ron"))) ),*]
    };
}

const FILES: &[(&str, &str)] = embedded![
    "point",
    "name",
    "missing",
    "normal_or_not",
    "which",
    "diagnose",
    "age",
    "next_look",
    "order",
    "compare",
    "mark_all",
    "grade",
    "evidence",
    "choice",
    "readings_correct",
    "readings_outlier",
    "readings_decide",
];

/// A question to begin with.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// Its id.
    pub id: &'static str,
    /// What it is called.
    pub title: String,
    /// What the learner does.
    pub note: String,
    /// A whole scenario with this one question.
    pub text: &'static str,
}

/// All of them, in the order in which they are offered.
pub fn all() -> &'static [Template] {
    static ALL: OnceLock<Vec<Template>> = OnceLock::new();
    ALL.get_or_init(|| {
        let one = |(id, text): &(&'static str, &'static str)| {
            let (root, _) = parse(&Source::new(id, text));
            let words = |field| super::outline::text_of(&root, field).unwrap_or_default();
            Template { id, title: words("title"), note: words("note"), text }
        };
        FILES.iter().map(one).collect()
    })
}

/// A lesson whose first question is this one; without questions for `None`.
pub fn lesson(first: Option<&Template>) -> String {
    let edits = first.and_then(|t| edit::insert_questions(LESSON, 0, t.text));
    let mut text = Text::from_bytes(LESSON.as_bytes()).unwrap_or_default();
    text.apply(edits.unwrap_or_default());
    text.str().to_owned()
}

/// Where the cursor goes in a new lesson: its title, to be written over.
pub fn first_words(text: &str) -> std::ops::Range<usize> {
    let (root, _) = parse(&Source::new("", text));
    super::outline::place_of(&root, "title").map_or(0..0, |at| at.start + 1..at.end - 1)
}

/// Where the stem of the question with this number stands, to be written over.
pub fn stem(text: &str, number: usize) -> Option<std::ops::Range<usize>> {
    Outline::of(text).questions.get(number).and_then(|q| q.stem.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::check;
    use jarlight_model::catalogue::Catalogue;

    fn faults(text: &str) -> String {
        let source = Source::new("t.scenario.ron", text);
        let read = check::read(&source, Catalogue::builtin());
        read.diagnostics.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn each_template_has_nothing_to_report_alone_and_in_a_new_lesson() {
        for t in all() {
            assert!(!t.title.is_empty() && !t.note.is_empty(), "{}", t.id);
            assert_eq!(faults(t.text), "", "{}", t.id);
            assert_eq!(faults(&lesson(Some(t))), "", "{}", t.id);
        }
    }

    /// A lesson of every template, one behind the other, each of them twice.
    #[test]
    fn all_templates_together_are_a_sound_lesson() {
        let mut text = Text::from_bytes(lesson(None).as_bytes()).unwrap();
        for t in all().iter().chain(all()) {
            let end = text.str().len();
            let edits = edit::insert_questions(text.str(), end, t.text).unwrap();
            text.apply(edits);
        }
        assert_eq!(faults(text.str()), "");
        let outline = Outline::of(text.str());
        assert_eq!(outline.questions.len(), 2 * FILES.len());
        // Scenes that are word for word the same are written once.
        assert!(outline.scenes.len() < FILES.len(), "{}", outline.scenes.len());
        // And each form stands in one of them.
        for form in [
            "Point",
            "Name",
            "Missing",
            "NormalOrNot",
            "Which",
            "Diagnose",
            "Age",
            "NextLook",
            "Order",
            "Compare",
            "MarkAll",
            "Grade",
            "Evidence",
            "Choice",
            "Correct",
            "Outlier",
            "Decide",
        ] {
            assert!(text.str().contains(&format!(" {form}")), "{form}");
        }
    }
}
