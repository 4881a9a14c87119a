//! Every shipped scenario is sound and is played to its end, rightly and wrongly.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use jarlight_model::{
    catalogue::{Catalogue, ConditionKind},
    diag::Source,
};
use jarlight_scenario::{
    Action, Answer, BeganView, Event, FormView, Mode, OptionView, Phase, Scenario, Session,
    Verdict, format::Form, shipped,
};
use std::{collections::BTreeSet, sync::Arc};

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
fn there_are_three_of_at_least_twelve_questions_each() {
    let all = all();
    assert!(all.len() >= 3);
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
fn wrong_answer(form: &FormView, right: &Answer) -> Answer {
    let other = |list: &[OptionView], id: &str| {
        list.iter().find(|o| o.id != id).map(|o| o.id.clone()).unwrap()
    };
    match (form, right) {
        (FormView::Point, _) => Answer::Point { place: Some("rack_frame-1".into()), near: vec![] },
        (FormView::One { list, .. }, Answer::One(id)) => Answer::One(other(list, id)),
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
            let answer = wrong_answer(&view.form, &s.right_answer().unwrap());
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
