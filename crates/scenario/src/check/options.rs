//! Lists of options: long enough, short enough, no repeats, the right one among them.

use super::{Checker, sheets};
use crate::{
    format::{Began, CANNOT_TELL, Form, NONE, NORMAL, NOT_NORMAL, Pick, Question, SheetAsk},
    places,
};
use jarlight_model::{
    authored::Spot,
    diag::{Code, Diagnostic},
    id::Slug,
};
use std::{fmt::Display, ops::Range};

/// Most options that the keys 1 to 9 can choose.
const MOST: usize = 9;

pub(super) fn check(c: &mut Checker<'_>) {
    for q in c.questions() {
        let at = &q.form.at;
        match &q.form.value {
            Form::Point { .. } | Form::NormalOrNot | Form::Compare { .. } => {}
            Form::Name { target, options, near } => {
                list(c, at, options);
                for part in options {
                    c.part_is_known(part);
                }
                if let Some((part, _)) = places::split(&target.value)
                    && c.catalogue.part(part).is_some()
                    && !options.iter().any(|o| o.as_str() == part)
                {
                    let what = format!("the ringed part `{part}` is not among the options");
                    c.error(Code::KeyNotOption, &target.at, what);
                }
                among(c, near, options);
            }
            Form::Choice { options, right, .. } => texts(c, at, options, right),
            Form::Diagnose { condition, cause, began } => {
                pick(c, at, condition);
                for id in named(&condition.options) {
                    c.condition_is_known(id);
                }
                pick(c, at, cause);
                for id in named(&cause.options) {
                    c.mechanism_is_known(id);
                }
                ages(c, began, at);
                let normal = |p: &Pick| p.options.iter().any(|o| o.as_str() == NORMAL);
                if normal(condition) && !normal(cause) {
                    let what = "`normal` is among the conditions but not among the causes";
                    let at = cause.options.first().map_or(at.clone(), |o| o.at.clone());
                    c.error(Code::NoWayOut, &at, what).help =
                        Some("add \"normal\" to the options of the cause".to_owned());
                }
            }
            Form::Missing { options, right } => {
                list(c, at, options);
                for part in options.iter().filter(|o| o.as_str() != NONE) {
                    c.part_is_known(part);
                }
                if right.as_str() != NONE {
                    key(c, right, options);
                }
            }
            Form::Which { options, right, several, near } => {
                list(c, at, options);
                which(c, options, right, *several, at);
                among(c, near, options);
            }
            Form::Age { truth, scale } => within(c, Some(truth), scale),
            Form::NextLook { options, harmful } => {
                let all: Vec<Spot<String>> = options
                    .iter()
                    .map(|o| Spot { value: o.to_string(), at: o.at.clone() })
                    .chain(harmful.iter().cloned())
                    .collect();
                list(c, at, &all);
                for id in options {
                    c.finding_is_known(id, &id.at);
                }
            }
            Form::Order { steps, before, safety } => order(c, at, steps, before, safety),
            Form::MarkAll { labels } => {
                list(c, at, labels);
                for id in labels {
                    c.condition_is_known(id);
                }
            }
            Form::Grade { condition } => {
                c.condition_is_known(condition);
            }
            Form::Evidence { cause, options } => {
                c.mechanism_is_known(cause);
                list(c, at, options);
                for id in options {
                    c.finding_is_known(id, &id.at);
                }
            }
            Form::Readings { sheet, ask } => sheets::check(c, sheet, ask),
        }
        tells(c, q);
    }
}

/// Texts to choose from, none empty, the right one among them.
pub(super) fn texts(
    c: &mut Checker<'_>,
    form: &Range<usize>,
    options: &[Spot<String>],
    right: &Spot<String>,
) {
    list(c, form, options);
    for text in options.iter().filter(|o| o.value.trim().is_empty()) {
        c.error(Code::Empty, &text.at, "an option is empty");
    }
    key(c, right, options);
}

/// Conditions or causes, not both; as many right ones as can be chosen.
fn which(
    c: &mut Checker<'_>,
    options: &[Spot<Slug>],
    right: &[Spot<Slug>],
    several: bool,
    form: &Range<usize>,
) {
    let catalogue = c.catalogue;
    let (mut conditions, mut causes) = (0, 0);
    for id in named(options) {
        if catalogue.condition(id).is_some() {
            conditions += 1;
        } else if catalogue.mechanism(id).is_some() {
            causes += 1;
        } else {
            let ids = catalogue.conditions.iter().map(|x| x.id.as_str());
            let all = ids.chain(catalogue.mechanisms.iter().map(|m| m.id.as_str()));
            c.unknown(Code::UnknownCondition, &id.at, "condition or cause", id, all);
        }
        if conditions > 0 && causes > 0 {
            let what = "options are all conditions or all causes";
            c.error(Code::WrongType, &id.at, what);
            break;
        }
    }
    match right {
        [] => {
            c.error(Code::Empty, form, "no option is right");
        }
        [_, second, ..] if !several => {
            let what = "only one option can be chosen, but several are right";
            c.error(Code::WrongType, &second.at, what).help =
                Some("write several: true".to_owned());
        }
        _ => {}
    }
    for id in right {
        key(c, id, options);
    }
}

/// Steps in a right order, and pairs that agree with it.
fn order(
    c: &mut Checker<'_>,
    form: &Range<usize>,
    steps: &[Spot<String>],
    before: &[Spot<(u32, u32)>],
    safety: &[Spot<(u32, u32)>],
) {
    list(c, form, steps);
    for step in steps.iter().filter(|s| s.value.trim().is_empty()) {
        c.error(Code::Empty, &step.at, "a step is empty");
    }
    for pair in before.iter().chain(safety) {
        let (a, b) = pair.value;
        let n = steps.len();
        if a == 0 || a >= b || usize::try_from(b).is_ok_and(|b| b > n) {
            let what =
                format!("a pair names two of the {n} steps, the earlier one first; met ({a}, {b})");
            c.error(Code::OutOfRange, &pair.at, what);
        }
    }
}

/// The options that are catalogue entries.
fn named(options: &[Spot<Slug>]) -> impl Iterator<Item = &Spot<Slug>> {
    options.iter().filter(|o| ![NORMAL, CANNOT_TELL].contains(&o.as_str()))
}

fn pick(c: &mut Checker<'_>, form: &Range<usize>, pick: &Pick) {
    list(c, form, &pick.options);
    key(c, &pick.right, &pick.options);
    among(c, &pick.near, &pick.options);
}

pub(super) fn list<T: PartialEq + Display>(
    c: &mut Checker<'_>,
    form: &Range<usize>,
    options: &[Spot<T>],
) {
    if options.len() < 2 {
        let at = options.first().map_or(form, |o| &o.at);
        let what = format!("a choice needs at least two options, met {}", options.len());
        c.error(Code::TooFewOptions, at, what);
    }
    for (i, option) in options.iter().enumerate() {
        if options[..i].iter().any(|o| o.value == option.value) {
            let what = format!("the option `{}` stands twice", option.value);
            c.error(Code::RepeatedOption, &option.at, what);
        }
    }
    if let Some(extra) = options.get(MOST) {
        let what = format!("there can be {MOST} options at most, met {}", options.len());
        c.error(Code::TooManyOptions, &extra.at, what);
    }
}

fn key<T: PartialEq + Display + std::ops::Deref<Target = str>>(
    c: &mut Checker<'_>,
    right: &Spot<T>,
    options: &[Spot<T>],
) {
    if !options.iter().any(|o| o.value == right.value) && !options.is_empty() {
        let what = format!("the right answer `{}` is not among the options", right.value);
        let d = Diagnostic::new(Code::KeyNotOption, c.source, right.at.clone(), what);
        c.found.push(d.nearest(&right.value, options.iter().map(|o| &*o.value)));
    }
}

fn among(c: &mut Checker<'_>, near: &[Spot<Slug>], options: &[Spot<Slug>]) {
    for id in near.iter().filter(|id| !options.iter().any(|o| o.value == id.value)) {
        let what = format!("`{}` is not among the options", id.value);
        c.error(Code::KeyNotOption, &id.at, what);
    }
}

fn ages(c: &mut Checker<'_>, began: &Began, form: &Range<usize>) {
    match began {
        Began::Bands { bands, right } => {
            if bands.len() < 2 {
                let at = bands.first().map_or(form, |b| &b.at);
                let what = format!("a choice needs at least two bands, met {}", bands.len());
                c.error(Code::TooFewOptions, at, what);
            }
            // One key is left for "nothing is wrong".
            if let Some(extra) = bands.get(MOST - 1) {
                let what = format!("there can be {} bands at most, met {}", MOST - 1, bands.len());
                c.error(Code::TooManyOptions, &extra.at, what);
            }
            for (i, band) in bands.iter().enumerate() {
                span(c, band, 0.0);
                if i > 0 && bands[i - 1].value.1 > band.value.0 {
                    let what = "bands go from young to old and do not overlap";
                    c.error(Code::OutOfRange, &band.at, what);
                }
            }
            if let Some(right) = right
                && !bands.iter().any(|b| b.value == right.value)
            {
                let what = format!("the right band {:?} is not among the bands", right.value);
                c.error(Code::KeyNotOption, &right.at, what);
            }
        }
        Began::Interval { truth, scale } => within(c, truth.as_ref(), scale),
    }
}

/// A scale of months and a truth that lies on it.
fn within(c: &mut Checker<'_>, truth: Option<&Spot<(f64, f64)>>, scale: &Spot<(f64, f64)>) {
    // A scale of logarithms cannot begin at 0.
    span(c, scale, 0.01);
    if let Some(truth) = truth {
        span(c, truth, 0.0);
        if truth.value.1 < scale.value.0 || truth.value.0 > scale.value.1 {
            let what = "the truth lies outside the scale";
            c.error(Code::OutOfRange, &truth.at, what);
        }
    }
}

/// Reports a span of months that does not run from young to old.
fn span(c: &mut Checker<'_>, span: &Spot<(f64, f64)>, least: f64) {
    let (from, to) = span.value;
    if !(from >= least && to > from) {
        let what = format!("months run from young to old, from {least}; met ({from}, {to})");
        c.error(Code::OutOfRange, &span.at, what);
    }
}

/// Reports tells for options that are not offered.
fn tells(c: &mut Checker<'_>, q: &Question) {
    let all = option_ids(&q.form.value);
    for (id, _) in &q.tells.entries {
        if all.is_empty() || all.contains(&id.value) {
            continue;
        }
        let what = format!("the tell is for `{}`, which is not among the options", id.value);
        let d = Diagnostic::new(Code::KeyNotOption, c.source, id.at.clone(), what);
        c.found.push(d.nearest(&id.value, all.iter().map(String::as_str)));
    }
}

/// Every id that can be chosen in a form; empty where anything can be pointed at.
fn option_ids(form: &Form) -> Vec<String> {
    let slugs = |list: &[Spot<Slug>]| list.iter().map(|s| s.to_string()).collect::<Vec<_>>();
    let texts = |list: &[Spot<String>]| list.iter().map(|s| s.value.clone()).collect::<Vec<_>>();
    let words = |list: &[&str]| list.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>();
    match form {
        Form::Point { .. } | Form::Age { .. } => Vec::new(),
        Form::Name { options, .. }
        | Form::Which { options, .. }
        | Form::Evidence { options, .. } => slugs(options),
        Form::Choice { options, .. } => texts(options),
        Form::Diagnose { condition, cause, .. } => {
            let mut all = slugs(&condition.options);
            all.extend(slugs(&cause.options));
            all
        }
        Form::Missing { options, .. } => {
            let mut all = slugs(options);
            all.push(NONE.to_owned());
            all
        }
        Form::NormalOrNot => words(&[NORMAL, NOT_NORMAL]),
        Form::NextLook { options, harmful } => {
            let mut all = slugs(options);
            all.extend(texts(harmful));
            all
        }
        Form::Order { steps, .. } => texts(steps),
        Form::Compare { .. } => words(&["first", "second", "same"]),
        Form::MarkAll { labels } => slugs(labels),
        Form::Grade { .. } => words(&["0", "1", "2", "3", "4", "5"]),
        Form::Readings { sheet, ask } => match &ask.value {
            SheetAsk::Correct { .. } => Vec::new(),
            SheetAsk::Outlier { .. } => {
                sheet.value.iter().map(|row| row.cell.value.to_string()).collect()
            }
            SheetAsk::Decide { options, .. } => texts(options),
        },
    }
}

#[cfg(test)]
mod tests {
    use crate::check::testing::found;

    #[test]
    fn the_right_answer_must_be_an_option() {
        assert_eq!(found(&[("right: \"7\"", "right: \"8\"")]), ["key-not-option \"8\""]);
        let gone =
            ("options: [\"separator\", \"retainer_mat\"]", "options: [\"jar\", \"retainer_mat\"]");
        assert_eq!(found(&[gone]), ["key-not-option \"separator-2\""]);
        let cause = ("right: \"m_undercharge\"", "right: \"m_hot\"");
        assert_eq!(found(&[cause]), ["key-not-option \"m_hot\""]);
        let band = ("right: (6, 71)", "right: (6, 70)");
        assert_eq!(found(&[band]), ["key-not-option (6, 70)"]);
    }

    #[test]
    fn options_are_at_least_two_and_at_most_nine_and_differ() {
        let options = |list: &str| {
            let to = format!("options: [{list}], right: \"7\"");
            found(&[("options: [\"6\", \"7\"], right: \"7\"", &to)])
        };
        assert_eq!(options("\"7\""), ["too-few-options \"7\""]);
        assert_eq!(options("\"7\", \"6\", \"7\""), ["repeated-option \"7\""]);
        let ten: Vec<String> = (0..10).map(|i| format!("\"{i}\"")).collect();
        assert_eq!(options(&ten.join(",")), ["too-many-options \"9\""]);
        assert_eq!(options("\"7\", \"\""), ["empty \"\""]);
    }

    #[test]
    fn options_must_be_known() {
        assert_eq!(
            found(&[("\"retainer_mat\"])", "\"retainer_mad\"])")]),
            ["unknown-part \"retainer_mad\""]
        );
        assert_eq!(
            found(&[("\"sediment_dark\"", "\"sediment_dork\"")]),
            ["unknown-condition \"sediment_dork\""]
        );
        assert_eq!(
            found(&[("\"m_overcharge\"", "\"m_overcharg\"")]),
            ["unknown-mechanism \"m_overcharg\""]
        );
    }

    #[test]
    fn who_says_normal_must_be_able_to_go_on() {
        let cut = ("\"m_overcharge\", \"normal\"]", "\"m_overcharge\"]");
        assert_eq!(found(&[cut]), ["no-way-out \"m_undercharge\""]);
    }

    #[test]
    fn bands_go_from_young_to_old() {
        assert_eq!(found(&[("(0, 6)", "(6, 0)")]), ["out-of-range (6, 0)"]);
        assert_eq!(found(&[("(0, 6)", "(0, 7)")]), ["out-of-range (6, 71)"]);
        let scale = (
            "Bands(bands: [(0, 6), (6, 71), (71, 9999)], right: (6, 71))",
            "Interval(truth: (6, 71), scale: (0, 240))",
        );
        assert_eq!(found(&[scale]), ["out-of-range (0, 240)"]);
    }

    #[test]
    fn a_tell_belongs_to_an_option() {
        let tell = ("right: \"7\")", "right: \"7\"), tells: {\"5\": \"No.\"}");
        assert_eq!(found(&[tell]), ["key-not-option \"5\""]);
    }

    #[test]
    fn several_right_ones_need_several_choices_of_one_kind() {
        use crate::check::testing::found_with;
        let which = |options: &str, right: &str| {
            found_with(&format!("Which(options: [{options}], right: [{right}])"))
        };
        let light = "\"sediment_light\"";
        assert_eq!(which("\"sediment_light\", \"normal\"", light), Vec::<String>::new());
        assert_eq!(which("\"sediment_light\", \"m_hot\"", light), ["wrong-type \"m_hot\""]);
        assert_eq!(which("\"sediment_light\", \"m_hut\"", light), ["unknown-condition \"m_hut\""]);
        assert_eq!(
            which("\"m_undercharge\", \"m_hot\"", "\"m_undercharge\", \"m_hot\""),
            ["wrong-type \"m_hot\""]
        );
        let none = which("\"m_undercharge\", \"m_hot\"", "");
        assert!(none.len() == 1 && none[0].starts_with("empty Which"), "{none:?}");
    }

    #[test]
    fn pairs_of_steps_agree_with_the_order_of_the_steps() {
        use crate::check::testing::found_with;
        let order = |pairs: &str| {
            found_with(&format!("Order(steps: [\"a\", \"b\", \"c\"], safety: [{pairs}])"))
        };
        assert_eq!(order("(1, 3)"), Vec::<String>::new());
        assert_eq!(order("(3, 1)"), ["out-of-range (3, 1)"]);
        assert_eq!(order("(1, 4)"), ["out-of-range (1, 4)"]);
        assert_eq!(found_with("Order(steps: [\"a\", \"a\"])"), ["repeated-option \"a\""]);
    }

    #[test]
    fn looks_and_evidence_are_conditions_or_readings() {
        use crate::check::testing::found_with;
        let look = found_with("NextLook(options: [\"q_v_low_string\", \"q_v_lw\"])");
        assert_eq!(look, ["unknown-finding \"q_v_lw\""]);
        let evidence = "Evidence(cause: \"m_undercharg\", options: [\"sediment_light\", \"x\"])";
        assert_eq!(
            found_with(evidence),
            ["unknown-mechanism \"m_undercharg\"", "unknown-finding \"x\""]
        );
    }
}
