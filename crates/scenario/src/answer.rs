//! What a learner submits, and its one-line text for the records.

use jarlight_model::{
    authored::{quoted, read_file},
    authored_enum, authored_record,
    diag::Source,
};

authored_record! {
    /// A place in the drawing close to a click.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Near {
        /// The place, such as `retainer_mat-3`.
        pub place: String,
        /// Distance in tolerances of a click: 0 on it, 1 at the tolerance, 2 at twice it.
        pub off: f64,
    }

    /// One mark of a "mark everything" question.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Mark {
        /// The topmost place under the click.
        pub place: Option<String> = None,
        /// Other places within twice the tolerance.
        pub near: Vec<Near> = Vec::new(),
        /// The condition it is said to be.
        pub label: String,
    }
}

authored_enum! {
    /// An answer, in ids and not in words, so that it can be scored again later.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Answer {
        /// A click in the drawing.
        Point {
            /// The topmost place under the click.
            place: Option<String> = None,
            /// Other places within twice the tolerance.
            near: Vec<Near> = Vec::new(),
        },
        /// The id of the chosen option.
        One(String),
        /// The ids of all chosen options.
        Several(Vec<String>),
        /// Condition, cause and age.
        Diagnosis {
            /// Id of the chosen condition.
            condition: String,
            /// Id of the chosen cause.
            cause: String,
            /// When it began.
            began: Age,
        },
        /// An interval of months.
        Interval(f64, f64),
        /// A number that was worked out.
        Number(f64),
        /// The ids of all options in the chosen order.
        Order(Vec<String>),
        /// All marks, then "nothing more".
        Marks(Vec<Mark>),
    }

    /// How long ago, as a learner says it.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Age {
        /// The id of the chosen band.
        Band(String),
        /// An interval of months.
        Months(f64, f64),
    }

    /// How sure the learner is.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Confidence {
        /// No better than chance.
        Guess,
        /// Rather this than another.
        Leaning,
        /// Would act on it.
        FairlySure,
        /// Would stake something on it.
        Certain,
    }
}

impl Confidence {
    /// All four, least sure first.
    pub const ALL: [Self; 4] = [Self::Guess, Self::Leaning, Self::FairlySure, Self::Certain];

    /// The probability that the words stand for; a guess between two stands for a half.
    pub const fn probability(self, two_way: bool) -> f64 {
        match self {
            Self::Guess if two_way => 0.5,
            Self::Guess => 0.25,
            Self::Leaning => 0.5,
            Self::FairlySure => 0.75,
            Self::Certain => 0.95,
        }
    }

    /// The word in the records.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Guess => "Guess",
            Self::Leaning => "Leaning",
            Self::FairlySure => "FairlySure",
            Self::Certain => "Certain",
        }
    }

    /// The confidence of a word from the records.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.as_str() == word)
    }
}

impl Answer {
    /// The answer as one line of text that [`Answer::parse`] reads back.
    pub fn to_text(&self) -> String {
        match self {
            Self::Point { place, near } => {
                format!("Point(place: {}, near: {})", optional(place.as_deref()), nears(near))
            }
            Self::One(id) => format!("One({})", quoted(id)),
            Self::Several(ids) => format!("Several({})", quoted_list(ids)),
            Self::Diagnosis { condition, cause, began } => format!(
                "Diagnosis(condition: {}, cause: {}, began: {})",
                quoted(condition),
                quoted(cause),
                match began {
                    Age::Band(id) => format!("Band({})", quoted(id)),
                    Age::Months(from, to) => format!("Months({from:?}, {to:?})"),
                }
            ),
            Self::Interval(from, to) => format!("Interval({from:?}, {to:?})"),
            Self::Number(value) => format!("Number({value:?})"),
            Self::Order(ids) => format!("Order({})", quoted_list(ids)),
            Self::Marks(marks) => {
                let all: Vec<String> = marks
                    .iter()
                    .map(|m| {
                        format!(
                            "(place: {}, near: {}, label: {})",
                            optional(m.place.as_deref()),
                            nears(&m.near),
                            quoted(&m.label)
                        )
                    })
                    .collect();
                format!("Marks([{}])", all.join(", "))
            }
        }
    }

    /// Reads what [`Answer::to_text`] wrote; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        let read = read_file::<Self>(&Source::new("answer", text));
        if read.diagnostics.is_empty() { read.value } else { None }
    }
}

fn optional(place: Option<&str>) -> String {
    place.map_or_else(|| "None".to_owned(), quoted)
}

fn nears(near: &[Near]) -> String {
    let all: Vec<String> =
        near.iter().map(|n| format!("(place: {}, off: {:?})", quoted(&n.place), n.off)).collect();
    format!("[{}]", all.join(", "))
}

fn quoted_list(ids: &[String]) -> String {
    let all: Vec<String> = ids.iter().map(|id| quoted(id)).collect();
    format!("[{}]", all.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_answer_reads_back_as_it_was() {
        let near = vec![Near { place: "separator-2".into(), off: 0.1 + 0.2 }];
        let answers = [
            Answer::Point { place: Some("retainer_mat-3".into()), near: near.clone() },
            Answer::Point { place: None, near: Vec::new() },
            Answer::One("two \"volumes\"\n\\ of gas".into()),
            Answer::Several(vec!["a".into(), "b".into()]),
            Answer::Diagnosis {
                condition: "level_low".into(),
                cause: "m_low_water".into(),
                began: Age::Band("6-24".into()),
            },
            Answer::Diagnosis {
                condition: "normal".into(),
                cause: "normal".into(),
                began: Age::Months(0.25, 1e6),
            },
            Answer::Interval(2.0, 6.5),
            Answer::Number(1.2123),
            Answer::Order(vec!["3".into(), "1".into()]),
            Answer::Marks(vec![Mark { place: None, near, label: "moss_growth".into() }]),
        ];
        for answer in answers {
            assert_eq!(Answer::parse(&answer.to_text()), Some(answer.clone()), "{answer:?}");
        }
    }

    #[test]
    fn a_strange_text_is_no_answer() {
        assert_eq!(Answer::parse("One(3)"), None);
        assert_eq!(Answer::parse(""), None);
    }
}
