//! The authored shape of a `*.scenario.ron` file; what each field means to its author.
//!
//! Every text is kept exactly as it was written.

mod form;
mod lenient;
mod scene;

pub use form::{Began, Column, Form, Pick, Row, SheetAsk, Side};
pub use lenient::{Each, Keyed, Spread};
pub use scene::{Placed, Scene, View};

use jarlight_model::{
    authored::{Authored, Node, Reader, Shape, Spot},
    id::Slug,
};
use lenient::{no_slug, tolerant_record, unplaced};

/// The option that says "nothing is wrong"; it stands among conditions and causes.
pub const NORMAL: &str = "normal";
/// The option that says "something is wrong".
pub const NOT_NORMAL: &str = "not_normal";
/// The option that says "this cannot be told from this picture".
pub const CANNOT_TELL: &str = "cannot_tell";
/// The option that says "none is missing".
pub const NONE: &str = "none";
/// The ids that are options but no entries of the catalogue.
pub const RESERVED: [&str; 4] = [NORMAL, NOT_NORMAL, CANNOT_TELL, NONE];

tolerant_record! {
    /// One question.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Question {
        /// Its id, once in a file.
        needed id: Spot<Slug> = no_slug(),
        /// The scene it is asked about.
        needed scene: Spot<String> = unplaced(String::new()),
        /// What is asked.
        needed stem: Spot<String> = unplaced(String::new()),
        /// What the learner does, and what is right.
        needed form: Spot<Form> = unplaced(Form::Choice {
            options: Vec::new(),
            right: unplaced(String::new()),
            ordered: false,
        }),
        /// Help on request.
        optional hint: Option<Spot<String>> = None,
        /// Why the right answer is right, in the author's words; wins over the catalogue.
        optional why: Option<Spot<String>> = None,
        /// Why an option is wrong, in the author's words, by option.
        optional tells: Keyed<Spot<String>> = Keyed::default(),
        /// Ids of parts, conditions, causes and facts that the question teaches.
        optional about: Vec<Spot<Slug>> = Vec::new(),
        /// Points for a wholly right answer.
        optional points: Spot<f64> = unplaced(1.0),
    }

    /// A scenario file.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Scenario {
        /// Format of the file; 1.
        needed format: Spot<u32> = unplaced(1),
        /// Its id.
        needed id: Spot<Slug> = no_slug(),
        /// Title.
        needed title: Spot<String> = unplaced(String::new()),
        /// Where and when it plays, told before the first question.
        optional setting: String = String::new(),
        /// A note of the author for other instructors; learners do not see it.
        optional note: String = String::new(),
        /// How many minutes it takes.
        needed minutes: Spot<f64> = unplaced(1.0),
        /// The pictures, by name.
        needed scenes: Keyed<Scene> = Keyed::default(),
        /// The questions in their order.
        needed questions: Spot<Each<Question>> = unplaced(Each(Vec::new())),
    }
}

impl Question {
    /// Ids of all that the question is about: what it says, and what is right.
    pub fn subjects(&self) -> Vec<String> {
        let mut all = self.form.value.subjects();
        all.extend(self.about.iter().map(|a| a.to_string()));
        all.retain(|id| !RESERVED.contains(&id.as_str()));
        let mut seen = std::collections::BTreeSet::new();
        all.retain(|id| seen.insert(id.clone()));
        all
    }
}
