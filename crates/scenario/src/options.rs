//! Options as a learner reads them: their words, their order, what is left out.

use crate::{
    answer::Age,
    format::{
        Began, CANNOT_TELL, Column, Form, NONE, NORMAL, NOT_NORMAL, Pick, Row, SheetAsk, Side,
    },
    key::Ask,
    places,
    score::band_id,
};
use jarlight_model::{
    authored::Spot,
    catalogue::Catalogue,
    id::Slug,
    rng::{Rng, child_seed},
    text::{tr, tr_with},
    unit::{Grade, months_text},
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
    /// Type a number.
    Number {
        /// The unit behind it; empty where it has none.
        unit: String,
        /// How many decimals it has.
        decimals: usize,
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
        NOT_NORMAL => tr("option-not-normal"),
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

/// The words of a finding or reading; of one that was looked for and is not there, too.
pub(crate) fn finding_text(ask: &Ask<'_>, id: &str) -> String {
    let name = ask.catalogue.name_of(id);
    match ask.scene.told.get(id) {
        Some(grade) if grade.value == 0 => tr_with("option-clean", &[("name", &name)]),
        _ => name,
    }
}

/// The words of a look that was not taken.
pub(crate) fn look_text(catalogue: &Catalogue, id: &str) -> String {
    match catalogue.quantity(id) {
        Some(quantity) => {
            let mut text: Vec<char> = quantity.ask.chars().collect();
            if let Some(first) = text.first_mut() {
                first.make_ascii_uppercase();
            }
            text.into_iter().collect()
        }
        None => tr_with("option-look", &[("name", &catalogue.name_of(id))]),
    }
}

/// The words of a grade.
pub(crate) fn grade_text(grade: Grade) -> String {
    tr(&grade.text_id())
}

/// The words of a side.
pub(crate) fn side_text(side: Side) -> String {
    tr(match side {
        Side::First => "side-first",
        Side::Second => "side-second",
        Side::Same => "side-same",
    })
}

/// A sheet of readings as it is shown.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetView {
    /// Headings, the number of the cell first.
    pub head: Vec<String>,
    /// One line for each cell; a reading that is missing is empty.
    pub rows: Vec<Vec<String>>,
}

/// The sheet of a question, when it has one: columns without any reading are left out.
pub(crate) fn sheet(form: &Form) -> Option<SheetView> {
    let Form::Readings { sheet, .. } = form else { return None };
    let used: Vec<Column> = Column::ALL
        .into_iter()
        .filter(|c| sheet.value.iter().any(|row| row.get(*c).is_some()))
        .collect();
    let head = std::iter::once(tr("sheet-cell")).chain(used.iter().map(|c| tr(c.text_id())));
    let row = |row: &Row| {
        let cell = std::iter::once(row.cell.value.to_string());
        cell.chain(used.iter().map(|c| reading_text(row, *c))).collect()
    };
    Some(SheetView { head: head.collect(), rows: sheet.value.iter().map(row).collect() })
}

/// A reading with its usual decimals; empty when it is missing.
pub(crate) fn reading_text(row: &Row, column: Column) -> String {
    row.get(column).map_or_else(String::new, |v| format!("{:.*}", column.decimals(), v.value))
}

/// Makes the view of a form: shuffled by the seed, and with half of the wrong options left
/// out where the learner is helped.
pub(crate) fn view(ask: &Ask<'_>, seed: u64, eased: bool) -> FormView {
    let catalogue = ask.catalogue;
    let list = |options: &[Spot<Slug>],
                right: &dyn Fn(&str) -> bool,
                name: &str,
                text: &dyn Fn(&str) -> String| {
        let ids = kept(options, |id| right(id.as_str()), seed, name, eased);
        let all = shuffled(ids, seed, name).into_iter();
        all.map(|id| option(&id, text(&id))).collect::<Vec<_>>()
    };
    let texts = |options: &[Spot<String>], right: &str, ordered: bool| {
        let ids = kept(options, |text| text == right, seed, "choice", eased);
        let all = if ordered { ids } else { shuffled(ids, seed, "choice") };
        all.into_iter().map(|text| option(&text, text.clone())).collect::<Vec<_>>()
    };
    let condition = |id: &str| condition_text(catalogue, id);
    let cause = |id: &str| cause_text(catalogue, id);
    let part = |id: &str| condition_text(catalogue, id);
    let pick = |pick: &Pick, name: &str, text: &dyn Fn(&str) -> String| {
        list(&pick.options, &|id| id == pick.right.as_str(), name, text)
    };
    let any = |_: &str| true;
    match ask.form {
        Form::Point { .. } => FormView::Point,
        Form::Name { target, options, .. } => {
            let right = places::split(target).map_or("", |(part, _)| part);
            FormView::One { list: list(options, &|id| id == right, "name", &part), ringed: true }
        }
        Form::Choice { options, right, ordered } => {
            FormView::One { list: texts(options, right, *ordered), ringed: false }
        }
        Form::Diagnose { condition: shown, cause: suggested, began } => FormView::Diagnose {
            condition: pick(shown, "condition", &condition),
            cause: pick(suggested, "cause", &cause),
            began: began_view(began, shown.options.iter().any(|o| o.as_str() == NORMAL)),
        },
        Form::Missing { options, right } => {
            let mut list = list(options, &|id| id == right.as_str(), "missing", &part);
            if !list.iter().any(|o| o.id == NONE) {
                list.push(option(NONE, tr("option-none-missing")));
            }
            FormView::One { list, ringed: false }
        }
        Form::NormalOrNot => {
            let both = [(NORMAL, "option-normal"), (NOT_NORMAL, "option-not-normal")];
            let list = both.map(|(id, text)| option(id, tr(text))).to_vec();
            FormView::One { list, ringed: false }
        }
        Form::Which { options, right, several, .. } => {
            let right = |id: &str| right.iter().any(|r| r.as_str() == id);
            let causes = options.iter().any(|o| catalogue.mechanism(o).is_some());
            let text: &dyn Fn(&str) -> String = if causes { &cause } else { &condition };
            let list = list(options, &right, "which", text);
            if *several {
                FormView::Several { list }
            } else {
                FormView::One { list, ringed: false }
            }
        }
        Form::Age { scale, .. } => FormView::Interval { low: scale.value.0, high: scale.value.1 },
        Form::NextLook { options, harmful } => {
            let look = |id: &str| look_text(catalogue, id);
            let mut list = list(options, &any, "look", &look);
            list.extend(harmful.iter().map(|h| option(&h.value, h.value.clone())));
            let mut rng = Rng::new(child_seed(seed, "order all looks"));
            rng.shuffle(&mut list);
            FormView::One { list, ringed: false }
        }
        Form::Order { steps, .. } => {
            let ids = steps.iter().map(|s| s.value.clone()).collect();
            let all = shuffled(ids, seed, "steps").into_iter();
            FormView::Order { list: all.map(|text| option(&text, text.clone())).collect() }
        }
        Form::Compare { .. } => {
            let all = [Side::First, Side::Second, Side::Same];
            let list = all.map(|s| option(s.id(), side_text(s))).to_vec();
            FormView::One { list, ringed: false }
        }
        Form::MarkAll { labels } => {
            FormView::Marks { labels: list(labels, &any, "labels", &condition) }
        }
        Form::Grade { .. } => {
            let grades = (0..=5).filter_map(|g| Grade::new(g).ok());
            let list = grades.map(|g| option(&g.value().to_string(), grade_text(g))).collect();
            FormView::One { list, ringed: false }
        }
        Form::Evidence { options, .. } => {
            let finding = |id: &str| finding_text(ask, id);
            FormView::Several { list: list(options, &any, "evidence", &finding) }
        }
        Form::Readings { sheet, ask: asked } => match &asked.value {
            SheetAsk::Correct { .. } => FormView::Number { unit: String::new(), decimals: 4 },
            SheetAsk::Outlier { .. } => {
                let all = sheet.value.iter().map(|row| row.cell.value.to_string());
                FormView::Several { list: all.map(|n| option(&n, cell_text(&n))).collect() }
            }
            SheetAsk::Decide { options, right } => {
                FormView::One { list: texts(options, right, false), ringed: false }
            }
        },
    }
}

/// The words of a cell on a sheet.
pub(crate) fn cell_text(number: &str) -> String {
    tr_with("option-cell", &[("n", number)])
}

fn began_view(began: &Began, none_is_offered: bool) -> BeganView {
    let none = none_is_offered.then(|| option(NORMAL, tr("option-no-age")));
    match began {
        Began::Bands { bands, .. } => {
            let all = bands.iter().map(|b| option(&band_id(b.value), span_text(b.value)));
            BeganView::Bands(all.chain(none).collect())
        }
        Began::Interval { scale, .. } => {
            BeganView::Scale { low: scale.value.0, high: scale.value.1, none }
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
