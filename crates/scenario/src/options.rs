//! Options as a learner reads them: their words, their order, what is left out.

use crate::{
    answer::Age,
    format::{Began, CANNOT_TELL, Form, NONE, NORMAL, Pick},
    places,
    score::band_id,
};
use jarlight_model::{
    authored::Spot,
    catalogue::Catalogue,
    rng::{Rng, child_seed},
    text::{tr, tr_with},
    unit::months_text,
};

/// From this many months on a band has no upper end.
const OPEN_END: f64 = 1000.0;

/// One option in the order in which it is shown; its key is its position from 1.
#[derive(Clone, Debug, PartialEq)]
pub struct OptionView {
    /// What an answer names.
    pub id: String,
    /// What is read.
    pub text: String,
}

/// How the age is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum BeganView {
    /// One of these.
    Bands(Vec<OptionView>),
    /// Two ends on a logarithmic scale of months.
    Scale {
        /// Youngest age.
        low: f64,
        /// Oldest age.
        high: f64,
        /// The option "nothing is wrong", when it is offered.
        none: Option<OptionView>,
    },
}

/// What the learner has to do; never says what is right.
#[derive(Clone, Debug, PartialEq)]
pub enum FormView {
    /// Click in the drawing.
    Point,
    /// Choose one option.
    One {
        /// The options.
        list: Vec<OptionView>,
        /// Whether a place is ringed in the drawing.
        ringed: bool,
    },
    /// Choose any number of options.
    Several {
        /// The options.
        list: Vec<OptionView>,
    },
    /// Condition, cause and age.
    Diagnose {
        /// The conditions.
        condition: Vec<OptionView>,
        /// The causes.
        cause: Vec<OptionView>,
        /// The ages.
        began: BeganView,
    },
    /// Two ends on a logarithmic scale of months.
    Interval {
        /// Youngest age.
        low: f64,
        /// Oldest age.
        high: f64,
    },
    /// Put the options into order.
    Order {
        /// The steps.
        list: Vec<OptionView>,
    },
    /// Mark places in the drawing, each with a label, then "nothing more".
    Marks {
        /// What a mark can be called.
        labels: Vec<OptionView>,
    },
}

/// The words of a place, such as "Separator 4".
pub fn place_text(catalogue: &Catalogue, place: &str) -> String {
    match places::split(place) {
        Some((part, Some(n))) => format!("{} {n}", catalogue.name_of(part)),
        Some((part, None)) => catalogue.name_of(part),
        None => place.to_owned(),
    }
}

/// The words of a condition or of a reserved option beside conditions.
pub fn condition_text(catalogue: &Catalogue, id: &str) -> String {
    match id {
        NORMAL => tr("option-normal"),
        CANNOT_TELL => tr("option-cannot-tell"),
        NONE => tr("option-none-missing"),
        id => catalogue.name_of(id),
    }
}

/// The words of a cause or of a reserved option beside causes.
pub fn cause_text(catalogue: &Catalogue, id: &str) -> String {
    match id {
        NORMAL => tr("option-no-cause"),
        id => condition_text(catalogue, id),
    }
}

/// The words of a span of months.
pub fn span_text((from, to): (f64, f64)) -> String {
    let (young, old) = (months_text(from), months_text(to));
    if from <= 0.0 {
        tr_with("age-under", &[("to", &old)])
    } else if to >= OPEN_END {
        tr_with("age-over", &[("from", &young)])
    } else {
        tr_with("age-between", &[("from", &young), ("to", &old)])
    }
}

/// The words of an age that a learner chose.
pub fn age_text(age: &Age) -> String {
    match age {
        Age::Months(from, to) => span_text((*from, *to)),
        Age::Band(id) if id == NORMAL => tr("option-no-age"),
        Age::Band(id) => {
            let ends =
                id.split_once('-').and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?)));
            ends.map_or_else(|| id.clone(), span_text)
        }
    }
}

/// The words of the right age.
pub fn right_age_text(began: &Began) -> String {
    let right = match began {
        Began::Bands { right, .. } => right.as_ref(),
        Began::Interval { truth, .. } => truth.as_ref(),
    };
    right.map_or_else(|| tr("option-no-age"), |r| span_text(r.value))
}

/// Makes the view of a form: shuffled by the seed, and with half of the wrong options left
/// out where the learner is helped.
pub(crate) fn view(catalogue: &Catalogue, form: &Form, seed: u64, eased: bool) -> FormView {
    let picked = |pick: &Pick, text: fn(&Catalogue, &str) -> String, name: &str| {
        let ids = kept(&pick.options, |id| id.as_str() == pick.right.as_str(), seed, name, eased);
        shuffled(ids, seed, name).into_iter().map(|id| option(&id, text(catalogue, &id))).collect()
    };
    match form {
        Form::Point { .. } => FormView::Point,
        Form::Name { target, options, .. } => {
            let part = places::split(target).map_or("", |(part, _)| part);
            let ids = kept(options, |id| id.as_str() == part, seed, "name", eased);
            let list = shuffled(ids, seed, "name");
            let text = |id: String| option(&id, catalogue.name_of(&id));
            FormView::One { list: list.into_iter().map(text).collect(), ringed: true }
        }
        Form::Choice { options, right, ordered } => {
            let ids = kept(options, |text| *text == right.value, seed, "choice", eased);
            let list = if *ordered { ids } else { shuffled(ids, seed, "choice") };
            let text = |text: String| option(&text, text.clone());
            FormView::One { list: list.into_iter().map(text).collect(), ringed: false }
        }
        Form::Diagnose { condition, cause, began } => {
            let normal = condition.options.iter().any(|o| o.as_str() == NORMAL);
            let none = normal.then(|| option(NORMAL, tr("option-no-age")));
            FormView::Diagnose {
                condition: picked(condition, condition_text, "condition"),
                cause: picked(cause, cause_text, "cause"),
                began: match began {
                    Began::Bands { bands, .. } => BeganView::Bands(
                        bands
                            .iter()
                            .map(|b| option(&band_id(b.value), span_text(b.value)))
                            .chain(none)
                            .collect(),
                    ),
                    Began::Interval { scale, .. } => {
                        BeganView::Scale { low: scale.value.0, high: scale.value.1, none }
                    }
                },
            }
        }
    }
}

fn option(id: &str, text: String) -> OptionView {
    OptionView { id: id.to_owned(), text }
}

/// The ids to offer: all, or the right one and half of the others where help is given.
///
/// Which of the others stay depends on the seed and not on where the right one stands.
fn kept<T: ToString>(
    options: &[Spot<T>],
    right: impl Fn(&T) -> bool,
    seed: u64,
    name: &str,
    eased: bool,
) -> Vec<String> {
    let mut wrong: Vec<usize> = (0..options.len()).filter(|&i| !right(&options[i].value)).collect();
    let n_wrong = if eased { wrong.len().div_ceil(2) } else { wrong.len() };
    Rng::new(child_seed(seed, &format!("kept {name}"))).shuffle(&mut wrong);
    let stays = |i: &usize| right(&options[*i].value) || wrong[..n_wrong].contains(i);
    (0..options.len()).filter(stays).map(|i| options[i].value.to_string()).collect()
}

/// Options in random order; those that say "none of this" stay at the end.
fn shuffled(ids: Vec<String>, seed: u64, name: &str) -> Vec<String> {
    let last = [NORMAL, NONE, CANNOT_TELL];
    let (mut out, mut end): (Vec<_>, Vec<_>) =
        ids.into_iter().partition(|id| !last.contains(&id.as_str()));
    Rng::new(child_seed(seed, &format!("order {name}"))).shuffle(&mut out);
    end.sort_by_key(|id| last.iter().position(|l| l == id));
    out.append(&mut end);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_read_well() {
        assert_eq!(span_text((0.0, 6.0)), "under 6 months");
        assert_eq!(span_text((6.0, 71.0)), "6 months to 6 years");
        assert_eq!(span_text((120.0, 9999.0)), "over 10 years");
        assert_eq!(age_text(&Age::Band("6-71".into())), "6 months to 6 years");
    }

    #[test]
    fn helped_learners_see_the_right_option_and_half_of_the_others() {
        let options: Vec<Spot<String>> =
            ["a", "b", "c", "d", "e"].map(|s| Spot { value: s.to_owned(), at: 0..0 }).to_vec();
        for seed in 0..20 {
            let ids = kept(&options, |s| s == "d", seed, "x", true);
            assert_eq!(ids.len(), 3);
            assert!(ids.contains(&"d".to_owned()));
        }
    }

    #[test]
    fn options_that_deny_the_others_stay_last() {
        let ids: Vec<String> = ["normal", "a", "cannot_tell", "b"].map(String::from).to_vec();
        for seed in 0..20 {
            assert_eq!(shuffled(ids.clone(), seed, "x")[2..], ["normal", "cannot_tell"]);
        }
    }
}
