//! Whole runs: replay, order, help, and what a view must not say.

use super::*;
use crate::{
    answer::Age,
    check::testing::SOUND,
    options::{BeganView, FormView},
};
use jarlight_model::diag::Source;
use proptest::prelude::*;
use std::sync::OnceLock;

fn scenario(text: &str) -> Arc<Scenario> {
    let read = Scenario::read(&Source::new("t.scenario.ron", text), Catalogue::builtin());
    assert!(read.diagnostics.is_empty(), "{:#?}", read.diagnostics);
    Arc::new(read.value.unwrap())
}

fn catalogue() -> Arc<Catalogue> {
    static CATALOGUE: OnceLock<Arc<Catalogue>> = OnceLock::new();
    CATALOGUE.get_or_init(|| Arc::new(Catalogue::builtin().clone())).clone()
}

fn sound() -> Arc<Scenario> {
    static SCENARIO: OnceLock<Arc<Scenario>> = OnceLock::new();
    SCENARIO.get_or_init(|| scenario(SOUND)).clone()
}

fn session(mode: Mode, seed: u64) -> Session {
    Session::new(sound(), catalogue(), mode, seed, 1000)
}

fn submit(answer: Answer) -> Action {
    Action::Submit { answer, confidence: Some(Confidence::FairlySure) }
}

fn right(session: &Session) -> Answer {
    session.right_answer().unwrap()
}

/// An answer of the form in hand, chosen by a number.
fn some_answer(session: &Session, n: usize) -> Answer {
    let of = |list: &[crate::options::OptionView]| list[n % list.len()].id.clone();
    match session.view().unwrap().form {
        FormView::Point => {
            let place = ["retainer_mat-3", "separator-1", "jar-1"].get(n % 4);
            Answer::Point { place: place.map(|p| (*p).to_owned()), near: Vec::new() }
        }
        FormView::One { list, .. } => Answer::One(of(&list)),
        FormView::Diagnose { condition, cause, began } => Answer::Diagnosis {
            condition: of(&condition),
            cause: of(&cause),
            began: match began {
                BeganView::Bands(list) => Age::Band(of(&list)),
                BeganView::Scale { low, high, .. } => Age::Months(low, high),
            },
        },
        other => unreachable!("not in the sound file: {other:?}"),
    }
}

#[test]
fn right_answers_give_all_points_and_the_run_ends() {
    let mut s = session(Mode::Practise, 7);
    for n in 1..=4 {
        let events = s.apply(submit(right(&s)), 1000 + n);
        let [Event::Answered(a)] = &events[..] else { panic!("{events:?}") };
        assert_eq!((a.points, a.max_points, a.given_at_ms), (1.0, 1.0, 1000 + n));
        assert_eq!(s.view().unwrap().feedback.unwrap().verdict, Verdict::Right);
        s.apply(Action::Advance, 1000 + n);
    }
    let summary = s.summary().unwrap();
    assert_eq!((summary.points, summary.right, summary.questions), (4.0, 4, 4));
    assert_eq!(summary.misses, Vec::new());
}

#[test]
fn actions_that_do_not_fit_change_nothing() {
    let mut s = session(Mode::Practise, 7);
    assert_eq!(s.apply(Action::Advance, 0), Vec::new());
    assert_eq!(s.apply(submit(Answer::One("separator".into())), 0), Vec::new());
    assert_eq!(s.apply(Action::AskHint, 0), Vec::new());
    s.apply(submit(right(&s)), 0);
    assert_eq!(s.apply(submit(right(&s)), 0), Vec::new());
    s.apply(Action::Advance, 0);
    assert_eq!(s.apply(submit(Answer::One("flame_arrestor".into())), 0), Vec::new());
    assert_eq!(s.given().len(), 1);
}

#[test]
fn a_check_run_gives_no_hint_and_no_feedback_before_its_end() {
    let hint = SOUND.replace("form: Point", "hint: \"White.\", form: Point");
    let mut s = Session::new(scenario(&hint), catalogue(), Mode::Check, 1, 0);
    assert_eq!(s.view().unwrap().hint, HintView::None);
    assert_eq!(s.apply(Action::AskHint, 0), Vec::new());
    for _ in 0..4 {
        s.apply(submit(some_answer(&s, 1)), 0);
        let view = s.view().unwrap();
        assert!(view.feedback.is_none() && view.worked.is_none() && view.neutral_places);
        assert!(s.phase() == Phase::Answered);
        s.apply(Action::Advance, 0);
    }
    assert!(!s.summary().unwrap().misses.is_empty());
}

#[test]
fn a_hint_is_shown_when_asked_and_kept_with_the_answer() {
    let hint = SOUND.replace("form: Point", "hint: \"White.\", form: Point");
    let mut s = Session::new(scenario(&hint), catalogue(), Mode::Practise, 1, 0);
    assert_eq!(s.view().unwrap().hint, HintView::OnRequest);
    assert_eq!(s.apply(Action::AskHint, 0).len(), 1);
    assert_eq!(s.view().unwrap().hint, HintView::Shown("White.".into()));
    s.apply(submit(right(&s)), 5);
    assert!(s.given()[0].hinted);
}

#[test]
fn help_fades_with_right_answers_and_comes_back() {
    let question = |i| {
        format!(
            "(id: \"e{i}\", scene: \"a\", stem: \"?\", form: Choice(options: [\"6\", \"7\", \"8\", \"9\"], right: \"7\"), why: \"It is.\"),"
        )
    };
    let more: String = (0..6).map(question).collect();
    let text = SOUND.replace("questions: [", &format!("questions: [{more}"));
    let mut s = Session::new(scenario(&text), catalogue(), Mode::Learn, 1, 0);
    let mut seen = Vec::new();
    for answer in ["7", "7", "6", "6", "6", "6"] {
        let view = s.view().unwrap();
        let FormView::One { list, .. } = &view.form else { panic!() };
        seen.push((view.support, list.len(), view.worked.is_some()));
        assert_eq!(s.apply(submit(Answer::One(answer.into())), 0).len(), 1);
        s.apply(Action::Advance, 0);
    }
    use Support::{Alone, Eased, Worked};
    assert_eq!(
        seen,
        [
            (Eased, 3, false),
            (Eased, 3, false),
            (Alone, 4, false),
            (Alone, 4, false),
            (Eased, 3, false),
            (Eased, 3, false),
        ]
    );
    assert_eq!(s.support(), Worked);
    assert!(s.view().unwrap().worked.is_some());
}

#[test]
fn a_run_of_another_file_is_not_taken_up() {
    let mut s = session(Mode::Practise, 3);
    s.apply(submit(right(&s)), 0);
    let given = s.given().to_vec();
    let other = scenario(&SOUND.replace("id: \"q1\"", "id: \"q0\""));
    let error = Session::resume(other, catalogue(), Mode::Practise, 3, &given, 0).unwrap_err();
    assert!(matches!(error, ResumeError::Differs { number: 1, .. }), "{error}");
}

#[test]
fn a_scene_of_ranges_is_drawn_anew_by_each_seed_and_stays_in_range() {
    let text = SOUND.replace("severity: 0.6", "severity: (0.3, 0.7)");
    let (scenario, catalogue) = (scenario(&text), catalogue());
    let severity = |seed| {
        let s = Session::new(scenario.clone(), catalogue.clone(), Mode::Learn, seed, 0);
        s.picture().unwrap().specimen.severity("sediment_light")
    };
    assert_eq!(severity(1), severity(1));
    assert_ne!(severity(1), severity(2));
    assert!((0..50).all(|seed| (0.3..=0.7).contains(&severity(seed))));
}

#[test]
fn feedback_of_a_diagnosis_names_causes_ages_and_a_healthy_twin() {
    let mut s = session(Mode::Practise, 3);
    for _ in 0..3 {
        s.apply(submit(right(&s)), 0);
        s.apply(Action::Advance, 0);
    }
    s.apply(
        submit(Answer::Diagnosis {
            condition: "sediment_dark".into(),
            cause: "m_overcharge".into(),
            began: Age::Band("0-6".into()),
        }),
        0,
    );
    let f = s.view().unwrap().feedback.unwrap();
    assert_eq!(f.verdict, Verdict::Wrong);
    assert_eq!(f.tempting.len(), 3);
    assert!(f.tempting[0].tell.contains("brown"), "{:?}", f.tempting);
    assert!(f.tempting[2].tell.starts_with("That is too young."), "{:?}", f.tempting);
    assert_eq!(f.causes[0].id, "m_undercharge");
    let began = f.causes[0].began.as_ref().unwrap();
    assert!(began.p10 < began.median && began.median < began.p90);
    assert!(f.twin.unwrap().specimen.occurrences.is_empty());
    assert!(!f.next.is_empty() && !f.caution.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn replaying_the_answers_gives_the_same_score(
        seed: u64, picks in proptest::collection::vec(0usize..9, 4), stop in 0usize..=4
    ) {
        let mut s = session(Mode::Practise, seed);
        for n in picks.iter().take(stop) {
            prop_assert_eq!(s.apply(submit(some_answer(&s, *n)), 5).len(), 1);
            s.apply(Action::Advance, 9);
        }
        // Through the text of the records, as a restart does.
        let given: Vec<Given> = s.given().iter().map(|g| Given {
            answer: Answer::parse(&g.answer.to_text()).unwrap(),
            ..g.clone()
        }).collect();
        let again =
            Session::resume(sound(), catalogue(), Mode::Practise, seed, &given, 0).unwrap();
        prop_assert_eq!(again.points(), s.points());
        prop_assert_eq!(again.view(), s.view());
        prop_assert_eq!(again.picture(), s.picture());
    }

    #[test]
    fn every_wrong_answer_is_taught_and_no_view_before_it_says_what_is_right(
        seed: u64, picks in proptest::collection::vec(0usize..9, 4)
    ) {
        let mut s = session(Mode::Practise, seed);
        for n in picks {
            let view = s.view().unwrap();
            prop_assert!(view.feedback.is_none() && view.neutral_places);
            s.apply(submit(some_answer(&s, n)), 5);
            let f = s.view().unwrap().feedback.unwrap();
            prop_assert!(!f.why.is_empty() && !f.right.is_empty() && !f.given.is_empty());
            if f.verdict != Verdict::Right {
                prop_assert!(!f.tempting.is_empty() || f.chosen_places.is_empty());
                prop_assert!(f.tempting.iter().all(|t| !t.tell.is_empty() && !t.tell.contains('<')));
            }
            s.apply(Action::Advance, 9);
        }
    }
}
