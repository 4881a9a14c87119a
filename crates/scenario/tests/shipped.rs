//! Every shipped scenario is sound and is played to its end, rightly and wrongly.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use jarlight_model::{
    catalogue::{Catalogue, ConditionKind},
    diag::Source,
};
use jarlight_scenario::{
    Action, Answer, BeganView, Event, FormView, Mark, Mode, OptionView, Phase, Scenario, Session,
    Verdict,
    format::{Form, Question},
    places, shipped,
};
use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

/// Fewest files, questions, and stems with a feedback of their own.
const FILES: usize = 14;
const QUESTIONS: usize = 180;
const DISTINCT: usize = 120;

fn read(source: &Source) -> Arc<Scenario> {
    let read = Scenario::read(source, Catalogue::builtin());
    let text: String = read.diagnostics.iter().map(ToString::to_string).collect();
    assert!(read.diagnostics.is_empty(), "{text}");
    Arc::new(read.value.unwrap())
}

fn all() -> Vec<Arc<Scenario>> {
    shipped().iter().map(read).collect()
}

fn catalogue() -> Arc<Catalogue> {
    Arc::new(Catalogue::builtin().clone())
}

#[test]
fn each_has_at_least_twelve_questions_and_lasts_twenty_minutes_at_most() {
    let all = all();
    for s in &all {
        assert!(s.questions().len() >= 12, "{}", s.id());
        assert!(s.minutes() <= 20.0, "{}: a block is 20 minutes at most", s.id());
    }
    let ids: BTreeSet<_> = all.iter().map(|s| s.id().to_string()).collect();
    assert_eq!(ids.len(), all.len(), "an id stands twice");
}

#[test]
fn every_file_of_the_folder_is_carried_along() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios");
    let mut found = Vec::new();
    for unit in std::fs::read_dir(root).unwrap() {
        let unit = unit.unwrap().path();
        if unit.is_dir() {
            let files = std::fs::read_dir(&unit).unwrap().map(|f| f.unwrap().file_name());
            let unit = unit.file_name().unwrap().to_string_lossy().into_owned();
            found.extend(files.map(|f| format!("scenarios/{unit}/{}", f.to_string_lossy())));
        }
    }
    found.sort();
    let mut carried: Vec<String> = shipped().iter().map(|s| s.name().to_owned()).collect();
    carried.sort();
    assert_eq!(found, carried);
}

#[test]
fn the_fifteen_facts_are_each_asked() {
    let all = all();
    let asked: BTreeSet<String> =
        all.iter().flat_map(|s| s.questions()).flat_map(|q| q.subjects()).collect();
    for fact in &Catalogue::builtin().facts {
        assert!(asked.contains(fact.id.as_str()), "nobody asks about {}", fact.id.value);
    }
}

#[test]
fn right_answers_give_the_full_score_in_every_mode() {
    for scenario in all() {
        for mode in Mode::ALL {
            let mut s = Session::new(scenario.clone(), catalogue(), mode, 11, 0);
            let mut end = None;
            for (i, question) in scenario.questions().iter().enumerate() {
                let view = s.view().unwrap();
                assert_eq!((view.number, view.phase), (i + 1, Phase::Asking));
                let answer = s.right_answer().unwrap();
                offered(&view.form, &answer);
                let events = s.apply(Action::Submit { answer, confidence: None }, 1);
                assert!(
                    matches!(&events[..], [Event::Answered(a)] if a.points == a.max_points),
                    "{} {}: {events:?}",
                    scenario.id(),
                    question.id.value
                );
                end = s.apply(Action::Advance, 2).pop();
            }
            let Some(Event::Finished(summary)) = end else { panic!("{end:?}") };
            assert_eq!(summary.points, summary.max_points);
            assert_eq!(summary.misses, Vec::new());
        }
    }
}

/// The right answer must be there to be chosen.
fn offered(form: &FormView, answer: &Answer) {
    let has = |list: &[OptionView], id: &str| list.iter().any(|o| o.id == id);
    match (form, answer) {
        (FormView::One { list, .. }, Answer::One(id)) => assert!(has(list, id)),
        (
            FormView::Diagnose { condition, cause, .. },
            Answer::Diagnosis { condition: c, cause: m, .. },
        ) => {
            assert!(has(condition, c) && has(cause, m));
        }
        _ => {}
    }
}

/// An answer that is wrong in all its parts.
fn wrong_answer(session: &Session, form: &FormView, right: &Answer) -> Answer {
    let other = |list: &[OptionView], id: &str| {
        list.iter().find(|o| o.id != id).map(|o| o.id.clone()).unwrap()
    };
    let without = |list: &[OptionView], ids: &[String]| -> Vec<String> {
        list.iter().map(|o| o.id.clone()).filter(|id| !ids.contains(id)).collect()
    };
    match (form, right) {
        (FormView::Point, Answer::Point { place: Some(right), .. }) => {
            let far = ["rack_frame-1", "cell_number-1"].into_iter().find(|far| far != right);
            Answer::Point { place: far.map(String::from), near: vec![] }
        }
        // One grade off, or the second best look, is nearly right: the worst option is taken.
        (FormView::One { list, .. }, Answer::One(_)) => {
            let points = |o: &OptionView| {
                let (answer, mut s) = (Answer::One(o.id.clone()), session.clone());
                s.apply(Action::Submit { answer, confidence: None }, 1);
                s.points().0 - session.points().0
            };
            let worst = list.iter().min_by(|a, b| points(a).total_cmp(&points(b)));
            Answer::One(worst.unwrap().id.clone())
        }
        (FormView::Several { list }, Answer::Several(ids)) => Answer::Several(without(list, ids)),
        (FormView::Order { .. }, Answer::Order(steps)) => {
            Answer::Order(steps.iter().rev().cloned().collect())
        }
        (FormView::Marks { labels }, Answer::Marks(marks)) => {
            let known: Vec<String> = marks.iter().map(|m| m.label.clone()).collect();
            let label = without(labels, &known)[0].clone();
            Answer::Marks(vec![Mark { place: Some("rack_rail-1".into()), near: vec![], label }])
        }
        (FormView::Number { .. }, Answer::Number(n)) => Answer::Number(n + 0.1),
        (FormView::Interval { low, .. }, Answer::Interval(..)) => Answer::Interval(*low, *low),
        (
            FormView::Diagnose { condition, cause, began },
            Answer::Diagnosis { condition: c, cause: m, began: jarlight_scenario::Age::Band(a) },
        ) => Answer::Diagnosis {
            condition: other(condition, c),
            cause: other(cause, m),
            began: match began {
                BeganView::Bands(list) => jarlight_scenario::Age::Band(other(list, a)),
                BeganView::Scale { .. } => unreachable!("a band is right"),
            },
        },
        other => unreachable!("not in the shipped files: {other:?}"),
    }
}

#[test]
fn wrong_answers_are_taught() {
    for scenario in all() {
        let mut s = Session::new(scenario.clone(), catalogue(), Mode::Practise, 12, 0);
        for question in scenario.questions() {
            let view = s.view().unwrap();
            let answer = wrong_answer(&s, &view.form, &s.right_answer().unwrap());
            s.apply(Action::Submit { answer, confidence: None }, 1);
            let f = s.view().unwrap().feedback.unwrap();
            let at = format!("{} {}", scenario.id(), question.id.value);
            assert_ne!(f.verdict, Verdict::Right, "{at}");
            assert!(!f.why.trim().is_empty() && !f.right.is_empty(), "{at}");
            assert!(!f.tempting.is_empty(), "{at}");
            for t in &f.tempting {
                assert!(t.tell.len() > 20 && !t.tell.contains('<'), "{at}: {t:?}");
            }
            if matches!(question.form.value, Form::Diagnose { .. }) && f.twin.is_some() {
                assert!(!f.causes.is_empty() && !f.next.is_empty(), "{at}");
            }
            s.apply(Action::Advance, 2);
        }
        let summary = s.summary().unwrap();
        assert_eq!(summary.misses.len(), scenario.questions().len());
        assert!(summary.points < 0.2 * summary.max_points);
    }
}

#[test]
fn a_question_says_no_condition_outside_its_stem_and_its_options() {
    let catalogue = Catalogue::builtin();
    for scenario in all() {
        let mut s = Session::new(scenario.clone(), Arc::new(catalogue.clone()), Mode::Check, 5, 0);
        for _ in scenario.questions() {
            let mut view = s.view().unwrap();
            view.stem.clear();
            view.form = FormView::Point;
            let text = format!("{view:?}").to_lowercase();
            for condition in &catalogue.conditions {
                if condition.kind == ConditionKind::Condition {
                    let (id, name) = (condition.id.as_str(), condition.name.to_lowercase());
                    assert!(!text.contains(id) && !text.contains(&name), "{id}: {text}");
                }
            }
            let answer = s.right_answer().unwrap();
            s.apply(Action::Submit { answer, confidence: None }, 1);
            s.apply(Action::Advance, 2);
        }
    }
}

#[test]
fn stems_differ_and_most_questions_have_words_of_their_own() {
    let all = all();
    let questions: Vec<_> = all.iter().flat_map(|s| s.questions()).collect();
    let stems: BTreeSet<&str> = questions.iter().map(|q| q.stem.value.as_str()).collect();
    assert_eq!(stems.len(), questions.len(), "a stem stands twice");
    let own = questions.iter().filter(|q| q.why.is_some()).count();
    assert!(own * 10 >= questions.len() * 9, "{own} of {}", questions.len());
}

/// A stem without numbers and without the names of parts, conditions and causes.
fn bare(stem: &str, names: &[String]) -> String {
    let mut text = stem.to_lowercase();
    for name in names {
        text = text.replace(name.as_str(), "#");
    }
    text.retain(|c| !c.is_ascii_digit());
    text
}

/// Every name of the catalogue in small letters, the longest first.
fn names() -> Vec<String> {
    let c = Catalogue::builtin();
    let parts = c.parts.iter().map(|p| (&p.name, &p.synonyms));
    let conditions = c.conditions.iter().map(|x| (&x.name, &x.synonyms));
    let mut all: Vec<String> = parts
        .chain(conditions)
        .flat_map(|(name, synonyms)| std::iter::once(name).chain(synonyms))
        .chain(c.parts.iter().map(|p| &p.plural))
        .chain(c.mechanisms.iter().map(|m| &m.name))
        .map(|name| name.to_lowercase())
        .collect();
    all.sort_by(|a, b| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
    all
}

#[test]
fn the_course_is_large_and_no_question_is_another_with_a_name_exchanged() {
    let (all, names) = (all(), names());
    assert!(all.len() >= FILES, "{} files", all.len());
    let questions: usize = all.iter().map(|s| s.questions().len()).sum();
    assert!(questions >= QUESTIONS, "{questions} questions");
    let mut distinct = BTreeSet::new();
    for s in &all {
        let mut here = BTreeSet::new();
        for q in s.questions() {
            let bare = bare(&q.stem, &names);
            assert!(here.insert(bare.clone()), "{} {}: {bare}", s.id(), q.id.value);
            if q.why.is_some() {
                distinct.insert(bare);
            }
        }
    }
    assert!(distinct.len() >= DISTINCT, "{} stems with feedback of their own", distinct.len());
}

/// How often something is asked for by its name, to be found in a picture, and how often it is
/// shown, to be named.
#[derive(Default)]
struct Asked {
    to_find: usize,
    to_name: usize,
    told: usize,
}

/// Parts that no drawing shows as a place: questions about them are made of words alone.
const IN_WORDS: [&str; 1] = ["element"];

#[test]
fn every_part_and_every_condition_is_asked_in_both_directions() {
    let c = Catalogue::builtin();
    let all = all();
    let mut asked: BTreeMap<String, Asked> = BTreeMap::new();
    for s in &all {
        for q in s.questions() {
            let mut shown = |id: &str| asked.entry(id.to_owned()).or_default().to_name += 1;
            match &q.form.value {
                Form::Name { target, .. } => shown(places::split(target).unwrap().0),
                Form::Missing { right, .. } => shown(right),
                Form::Diagnose { condition, .. } => shown(&condition.right),
                Form::Which { right, .. } => right.iter().for_each(|r| shown(r)),
                Form::MarkAll { labels } => {
                    let scene = s.scene(&q.scene).unwrap();
                    let on_it = |id: &str| scene.conditions.iter().any(|p| p.id.as_str() == id);
                    labels.iter().filter(|l| on_it(l)).for_each(|l| shown(l));
                }
                _ => {}
            }
            let mut named = |id: &str| asked.entry(id.to_owned()).or_default().to_find += 1;
            match &q.form.value {
                Form::Point { part, .. } => {
                    named(part);
                    // A condition that is to be pointed at is found on its part.
                    let conditions = q.about.iter().filter(|a| c.condition(a).is_some());
                    conditions.for_each(|a| named(a));
                }
                Form::Grade { condition } => named(condition),
                Form::Compare { condition: Some(condition), .. } => named(condition),
                _ => {}
            }
            for id in q.subjects() {
                asked.entry(id).or_default().told += 1;
            }
        }
    }
    let of = |id: &str| asked.get(id).map_or((0, 0, 0), |a| (a.to_find, a.to_name, a.told));
    for part in &c.parts {
        let (to_find, to_name, told) = of(&part.id);
        if IN_WORDS.contains(&part.id.as_str()) {
            assert!(to_find + to_name == 0, "{} is drawn now: ask for it", part.id.value);
            assert!(told >= 2, "{}", part.id.value);
        } else {
            assert!(to_find > 0 && to_name > 0, "{}: {to_find}, {to_name}", part.id.value);
        }
    }
    for condition in &c.conditions {
        let (to_find, to_name, told) = of(&condition.id);
        match condition.kind {
            ConditionKind::Condition => {
                assert!(to_find > 0 && to_name > 0, "{}: {to_find}, {to_name}", condition.id.value);
            }
            ConditionKind::Harmless => {
                assert!(to_find > 0 && told >= 2, "{}: {to_find}, {told}", condition.id.value);
            }
        }
    }
}

#[test]
fn every_form_of_question_is_used() {
    let all = all();
    let form = |q: &Question| {
        let text = format!("{:?}", q.form.value);
        let word = text.split(|c: char| !c.is_alphanumeric()).next().unwrap().to_owned();
        match &q.form.value {
            Form::Readings { ask, .. } => {
                let ask = format!("{:?}", ask.value);
                format!("{word} {}", ask.split(' ').next().unwrap())
            }
            _ => word,
        }
    };
    let used: BTreeSet<String> = all.iter().flat_map(|s| s.questions()).map(form).collect();
    let wanted = [
        "Age",
        "Choice",
        "Compare",
        "Diagnose",
        "Evidence",
        "Grade",
        "MarkAll",
        "Missing",
        "Name",
        "NextLook",
        "NormalOrNot",
        "Order",
        "Point",
        "Readings Correct",
        "Readings Decide",
        "Readings Outlier",
        "Which",
    ];
    assert_eq!(used.iter().map(String::as_str).collect::<Vec<_>>(), wanted);
}
