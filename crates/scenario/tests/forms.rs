//! Every form: played rightly for all points, wrongly with words that teach, and partly.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use jarlight_model::{catalogue::Catalogue, diag::Source};
use jarlight_scenario::{
    Action, Answer, Event, Feedback, FormView, Mark, Mode, Near, Scenario, Session, Verdict,
};
use std::sync::Arc;

const SCENES: &str = r#"
    "pale": (design: "medium_pasted", scope: String,
      conditions: [(id: "sediment_light", severity: 0.6)], told: {"q_v_low_string": 1, "level_low": 0}),
    "paler": (design: "medium_pasted", conditions: [(id: "sediment_light", severity: 0.8)]),
    "sound": (design: "medium_pasted", conditions: [(id: "h_mould_marks", severity: 0.6)]),
    "bare": (design: "medium_pasted", hide: ["dust_cap"]),
    "two": (design: "medium_pasted", conditions: [
      (id: "sediment_dark", severity: 0.6),
      (id: "post_seal_creep", severity: 0.6, place: "post_cover_seal-1"),
      (id: "h_mould_marks", severity: 0.6)]),"#;

/// A run of one question of this form.
fn ask(scene: &str, form: &str) -> Session {
    let others: String = ["pale", "paler", "sound", "bare", "two"]
        .iter()
        .filter(|s| **s != scene && !form.contains(&format!("\"{s}\"")))
        .map(|s| format!("(id: \"of_{s}\", scene: \"{s}\", stem: \"{s}?\", form: NormalOrNot),"))
        .collect();
    let text = format!(
        "Scenario(format: 1, id: \"t\", title: \"T\", minutes: 1, scenes: {{{SCENES}}}, questions: [
        (id: \"q\", scene: \"{scene}\", stem: \"?\", form: {form}), {others}])"
    );
    let read = Scenario::read(&Source::new("t.scenario.ron", &text), Catalogue::builtin());
    let found: String = read.diagnostics.iter().map(ToString::to_string).collect();
    assert!(read.diagnostics.is_empty(), "{found}");
    let catalogue = Arc::new(Catalogue::builtin().clone());
    Session::new(Arc::new(read.value.unwrap()), catalogue, Mode::Practise, 3, 0)
}

/// The share of an answer, and what is said to it; every answer is also read back from text.
fn give(session: &Session, answer: Answer) -> (f64, Feedback) {
    let mut s = session.clone();
    assert_eq!(Answer::parse(&answer.to_text()).as_ref(), Some(&answer));
    let events = s.apply(Action::Submit { answer, confidence: None }, 1);
    let [Event::Answered(a)] = &events[..] else { panic!("{events:?}") };
    let share = a.points / a.max_points;
    let feedback = *s.view().unwrap().feedback.unwrap();
    for text in feedback.right.iter().chain([&feedback.why, &feedback.given]) {
        assert!(!text.is_empty() && !text.contains('<'), "{feedback:#?}");
    }
    for t in &feedback.tempting {
        assert!(!t.tell.is_empty() && !t.tell.contains('<') && !t.name.contains('<'), "{t:?}");
    }
    if share < 1.0 {
        assert!(!feedback.tempting.is_empty(), "{feedback:#?}");
    }
    (share, feedback)
}

fn right(session: &Session) -> Feedback {
    let (share, feedback) = give(session, session.right_answer().unwrap());
    assert_eq!((share, feedback.verdict), (1.0, Verdict::Right), "{feedback:#?}");
    assert_eq!(feedback.tempting, Vec::new());
    feedback
}

fn one(id: &str) -> Answer {
    Answer::One(id.to_owned())
}

fn several(ids: &[&str]) -> Answer {
    Answer::Several(ids.iter().map(|id| (*id).to_owned()).collect())
}

#[test]
fn a_missing_part() {
    let s = ask(
        "bare",
        "Missing(options: [\"dust_cap\", \"vent_well\", \"jar\"], right: \"dust_cap\")",
    );
    let FormView::One { list, .. } = s.view().unwrap().form else { panic!() };
    assert_eq!((list.len(), list[3].id.as_str()), (4, "none"));
    assert!(right(&s).twin.unwrap().hide.is_empty());
    assert_eq!(give(&s, one("vent_well")).0, 0.0);
    assert_eq!(give(&s, one("none")).0, 0.0);
    let none = ask("sound", "Missing(options: [\"dust_cap\", \"vent_well\"], right: \"none\")");
    right(&none);
    assert_eq!(give(&none, one("dust_cap")).0, 0.0);
}

#[test]
fn normal_or_not() {
    let sick = ask("pale", "NormalOrNot");
    assert!(sick.view().unwrap().two_way);
    assert!(!right(&sick).causes.is_empty());
    assert_eq!(give(&sick, one("normal")).0, 0.0);
    let sound = ask("sound", "NormalOrNot");
    right(&sound);
    let (share, f) = give(&sound, one("not_normal"));
    assert_eq!(share, 0.0);
    assert!(f.why.contains("Mould marks"), "a look-alike is explained: {}", f.why);
    right(&ask("bare", "NormalOrNot"));
}

#[test]
fn which_of_several() {
    let form = "Which(options: [\"sediment_dark\", \"post_seal_creep\", \"level_low\", \"moss_growth\"], \
        right: [\"sediment_dark\", \"post_seal_creep\"], several: true)";
    let s = ask("two", form);
    right(&s);
    assert_eq!(give(&s, several(&["sediment_dark"])).0, 0.5);
    let (share, f) = give(&s, several(&["sediment_dark", "level_low"]));
    assert_eq!((share, f.tempting.len()), (0.0, 2));
    let cause = ask(
        "pale",
        "Which(options: [\"m_undercharge\", \"m_overcharge\", \"m_hot\"], right: [\"m_undercharge\"])",
    );
    right(&cause);
    assert_eq!(give(&cause, one("m_hot")).0, 0.0);
    let family = ask(
        "pale",
        "Which(options: [\"sediment_light\", \"normal\"], right: [\"sediment_light\"])",
    );
    assert_eq!(give(&family, one("normal")).0, 0.0);
}

#[test]
fn an_age_interval() {
    let s = ask("pale", "Age(truth: (18, 72))");
    right(&s);
    let (wide, _) = give_any(&s, Answer::Interval(6.0, 120.0));
    let (narrow, _) = give_any(&s, Answer::Interval(24.0, 48.0));
    assert!(0.0 < wide && wide < narrow && narrow < 1.0, "{wide} {narrow}");
    assert_eq!(give(&s, Answer::Interval(0.25, 0.5)).0, 0.0);
}

/// As [`give`], for answers that are not wrong but not the narrowest.
fn give_any(session: &Session, answer: Answer) -> (f64, Verdict) {
    let mut s = session.clone();
    let events = s.apply(Action::Submit { answer, confidence: None }, 1);
    let [Event::Answered(a)] = &events[..] else { panic!("{events:?}") };
    (a.points / a.max_points, s.view().unwrap().feedback.unwrap().verdict)
}

#[test]
fn the_next_look() {
    let s = ask(
        "paler",
        "NextLook(options: [\"q_v_low_string\", \"q_sg_low_string\", \"dust_cap_missing\"], \
            harmful: [\"Stir the sediment\"])",
    );
    right(&s);
    assert_eq!(s.right_answer(), Some(one("q_v_low_string")));
    let (some, _) = give(&s, one("q_sg_low_string"));
    assert!(0.0 < some && some < 1.0, "{some}");
    assert_eq!(give(&s, one("dust_cap_missing")).0, 0.0);
    let (share, f) = give(&s, one("Stir the sediment"));
    assert!(share == 0.0 && f.critical, "{f:#?}");
}

#[test]
fn an_order_of_steps() {
    let s = ask(
        "sound",
        "Order(steps: [\"Put on goggles\", \"Read the log\", \"Look at the floor\", \"Write it down\"], \
            before: [(1, 3), (2, 3), (3, 4)], safety: [(1, 3)])",
    );
    right(&s);
    let order = |all: &[&str]| Answer::Order(all.iter().map(|s| (*s).to_owned()).collect());
    let swapped = ["Read the log", "Put on goggles", "Look at the floor", "Write it down"];
    assert_eq!(give_any(&s, order(&swapped)).0, 1.0);
    let late = ["Put on goggles", "Look at the floor", "Read the log", "Write it down"];
    let (share, f) = give(&s, order(&late));
    assert!((share - 2.0 / 3.0).abs() < 1e-12 && !f.critical, "{share}");
    let unsafe_order = ["Read the log", "Look at the floor", "Put on goggles", "Write it down"];
    let (share, f) = give(&s, order(&unsafe_order));
    assert!(share == 0.0 && f.critical && f.tempting[0].tell.starts_with("Safety"), "{f:#?}");
}

#[test]
fn the_ids_of_an_order_do_not_tell_it() {
    let s = ask("sound", "Order(steps: [\"b\", \"a\", \"c\"])");
    let FormView::Order { list } = s.view().unwrap().form else { panic!() };
    assert!(list.iter().all(|o| o.id == o.text));
}

#[test]
fn two_pictures_are_compared() {
    let s = ask("pale", "Compare(second: \"paler\", condition: \"sediment_light\")");
    assert!(s.view().unwrap().compares);
    assert_eq!(s.second_picture().unwrap().specimen.severity("sediment_light"), 0.8);
    assert_eq!(s.right_answer(), Some(one("second")));
    assert!(right(&s).why.contains("moderate"));
    assert_eq!(give(&s, one("same")).0, 0.0);
    right(&ask("pale", "Compare(second: \"sound\", right: First)"));
}

#[test]
fn everything_is_marked() {
    let s = ask(
        "two",
        "MarkAll(labels: [\"sediment_dark\", \"sediment_light\", \"post_seal_creep\", \"level_low\"])",
    );
    right(&s);
    let mark = |place: &str, label: &str| Mark {
        place: Some(place.to_owned()),
        near: Vec::new(),
        label: label.to_owned(),
    };
    let marks = |all: &[Mark]| Answer::Marks(all.to_vec());
    let (dark, creep) =
        (mark("sediment-1", "sediment_dark"), mark("post_cover_seal-1", "post_seal_creep"));
    assert_eq!(give(&s, marks(std::slice::from_ref(&dark))).0, 0.5);
    // The place is right, the label is not.
    let wrong_label = mark("sediment-1", "sediment_light");
    assert_eq!(give(&s, marks(&[wrong_label, creep.clone()])).0, 0.75);
    // A mark where nothing is wrong costs a quarter of a finding.
    let stray = mark("separator-5", "level_low");
    assert_eq!(give(&s, marks(&[dark.clone(), creep.clone(), stray])).0, 0.875);
    // The same finding marked twice, and a harmless look-alike, cost nothing.
    let twice = mark("sediment-1", "sediment_dark");
    let marks_on_wall = mark("jar-1", "level_low");
    assert_eq!(give_any(&s, marks(&[dark, creep.clone(), twice, marks_on_wall])).0, 1.0);
    // The seal of the other post is not the one that creeps, but a click beside it may be.
    let other = mark("post_cover_seal-2", "post_seal_creep");
    assert_eq!(give(&s, marks(&[other])).0, 0.0);
    let beside = Mark {
        place: Some("cell_cover-1".into()),
        near: vec![Near { place: "post_cover_seal-1".into(), off: 0.7 }],
        label: "post_seal_creep".into(),
    };
    assert_eq!(give(&s, marks(&[beside])).0, 0.5);
    assert_eq!(give(&s, marks(&[])).0, 0.0);
    let healthy = ask("sound", "MarkAll(labels: [\"sediment_dark\", \"level_low\"])");
    right(&healthy);
    assert_eq!(give(&healthy, marks(&[mark("separator-5", "level_low")])).0, 0.5);
}

#[test]
fn a_severity_is_graded() {
    let s = ask("pale", "Grade(condition: \"sediment_light\")");
    assert!(right(&s).why.contains("third"));
    let (share, f) = give(&s, one("5"));
    assert!((share - 0.84).abs() < 1e-12 && f.given == "extreme", "{f:#?}");
    let FormView::One { list, .. } = s.view().unwrap().form else { panic!() };
    let ids: Vec<&str> = list.iter().map(|o| o.id.as_str()).collect();
    assert_eq!(ids, ["0", "1", "2", "3", "4", "5"]);
}

#[test]
fn evidence_is_picked() {
    let s = ask(
        "pale",
        "Evidence(cause: \"m_undercharge\", options: [\"sediment_light\", \"q_v_low_string\", \"level_low\", \"moss_growth\"])",
    );
    right(&s);
    let FormView::Several { list } = s.view().unwrap().form else { panic!() };
    assert!(list.iter().any(|o| o.id == "level_low" && o.text.contains("not there")), "{list:?}");
    let (some, _) = give(&s, several(&["sediment_light"]));
    assert!(0.0 < some && some < 1.0, "{some}");
    assert_eq!(give(&s, several(&["moss_growth", "level_low"])).0, 0.0);
}

const SHEET: &str = "sheet: [(cell: 1, volts: 2.20, gravity: 1.214, celsius: 25), \
    (cell: 2, volts: 2.21, gravity: 1.208, celsius: 32.2), \
    (cell: 3, volts: 2.05, gravity: 1.180, celsius: 25)]";

#[test]
fn readings_are_corrected() {
    let s = ask("sound", &format!("Readings({SHEET}, ask: Correct(cell: 2))"));
    let sheet = s.view().unwrap().sheet.unwrap();
    assert_eq!(sheet.rows[1], ["2", "2.21", "1.208", "32.2"]);
    // 1.208 + 0.001 · 7.2/(5/3)
    assert_eq!(right(&s).right, ["1.2123"]);
    assert_eq!(give_any(&s, Answer::Number(1.2123)).0, 1.0);
    let (share, f) = give(&s, Answer::Number(1.2037));
    assert!(share == 0.0 && f.why.contains("1.208 + 0.0006 × 7.2 = 1.2123"), "{}", f.why);
}

#[test]
fn outliers_and_decisions() {
    let s = ask("sound", &format!("Readings({SHEET}, ask: Outlier(column: Volts, right: [3]))"));
    assert!(right(&s).why.contains("2.20"));
    assert_eq!(give(&s, several(&["1", "3"])).0, 0.5);
    let decide = "Decide(options: [\"Have cell 3 looked at\", \"Do nothing\"], right: \"Have cell 3 looked at\")";
    let s = ask("sound", &format!("Readings({SHEET}, ask: {decide})"));
    right(&s);
    assert_eq!(give(&s, one("Do nothing")).0, 0.0);
}
