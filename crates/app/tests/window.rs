//! The whole window without a screen: pages, a scenario by mouse, by keys and through the
//! accessibility tree, and what a question must not give away.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "helpers of tests may panic as tests do"
)]

mod common;

use common::{Window, open_window, shows};
use egui::{Key, Role};
use egui_kittest::{
    Node,
    kittest::{NodeT as _, Queryable as _},
};
use jarlight_app::{App, Library};
use jarlight_model::{catalogue::Catalogue, text::tr};
use std::{path::PathBuf, time::Duration};

fn window(records: Option<PathBuf>) -> Window {
    open_window([1280.0, 1500.0], records, |services, ctx| {
        let mut library = Library::default();
        for source in jarlight_scenario::shipped() {
            library.add(&source, &services.catalogue);
        }
        App::new(services, library, Vec::new(), ctx)
    })
}

/// Steps until something is true, since records are written by another thread.
fn wait(h: &mut Window, what: &str, mut done: impl FnMut(&Window) -> bool) {
    for _ in 0..2000 {
        h.step();
        if done(h) {
            return;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    panic!("waited in vain: {what}");
}

/// Scrolls a long list, so that the mouse meets what it presses.
fn bring(h: &mut Window, label: &str) {
    let top = |h: &Window| h.get_all_by_label(label).next().unwrap().rect().top();
    h.get_all_by_label(label).next().unwrap().scroll_to_me();
    let mut last = f32::NAN;
    for _ in 0..60 {
        h.step();
        h.step();
        if top(h) == last {
            return;
        }
        last = top(h);
    }
}

/// Presses what may lie further down than the window reaches.
fn press(h: &mut Window, label: &str) {
    h.get_all_by_label(label).next().unwrap().click_accesskit();
    h.step();
    h.step();
}

fn words(node: &Node<'_>) -> Vec<String> {
    let n = node.accesskit_node();
    [n.label(), n.value(), n.description(), n.author_id().map(ToOwned::to_owned)]
        .into_iter()
        .flatten()
        .collect()
}

fn all_nodes(h: &Window) -> Vec<Node<'_>> {
    h.query_all(egui_kittest::kittest::By::new()).collect()
}

#[test]
fn the_first_start_says_what_this_is_and_takes_a_name() {
    let mut h = window(None);
    for id in ["about-for", "about-estimates", "about-decide", "caution-title", "caution-text"] {
        assert!(shows(&h, &tr(id)), "{id}");
    }
    press(&mut h, &tr("learner-begin"));
    wait(&mut h, "the learner", |h| shows(h, "Who is learning: Learner 1"));
    assert!(!shows(&h, &tr("welcome-title")));
}

#[test]
fn f1_opens_help_and_escape_closes_it() {
    let mut h = window(None);
    h.key_press(Key::F1);
    wait(&mut h, "help", |h| shows(h, &tr("help-title")));
    h.key_press(Key::Escape);
    wait(&mut h, "no help", |h| !shows(h, &tr("help-title")));
}

#[test]
fn study_chooses_by_drawing_by_list_and_by_search() {
    let mut h = window(None);
    press(&mut h, &tr("page-study"));
    h.get_by_label("Positive plate 3").click();
    wait(&mut h, "the part", |h| shows(h, &tr("said-recognise")));
    assert!(h.get_by_label("Positive plates: 6").accesskit_node().toggled().is_some());
    h.get_by_label("Retainer mats: 12").click();
    h.step();
    h.step();
    let mat = Catalogue::builtin().part("retainer_mat").unwrap();
    assert!(shows(&h, &mat.what.text));
    h.get_by_label(&tr("study-search")).focus();
    h.step();
    h.get_by_label(&tr("study-search")).type_text("strap");
    h.step();
    h.step();
    assert!(!shows(&h, "Retainer mats: 12"));
    assert!(shows(&h, "Positive strap"));
    h.key_press(Key::Enter);
    let strap = Catalogue::builtin().part("strap_positive").unwrap();
    wait(&mut h, "the found part", |h| shows(h, &strap.what.text));
}

#[test]
fn every_part_of_the_drawing_has_a_node_in_every_view() {
    let mut h = window(None);
    press(&mut h, &tr("page-study"));
    let ids = |h: &Window, start: &str| {
        let nodes = all_nodes(h);
        let id = |n: &Node<'_>| n.accesskit_node().author_id().map(ToOwned::to_owned);
        nodes.iter().filter_map(id).filter(|id| id.starts_with(start)).count()
    };
    assert_eq!(ids(&h, "positive_plate-"), 6);
    assert_eq!(ids(&h, "separator-"), 12);
    for (view, part) in [("view-face", "jar-"), ("view-plan", "cell_cover-")] {
        press(&mut h, &tr(view));
        assert!(ids(&h, part) > 0, "{view}");
    }
}

/// How a person answers.
#[derive(Clone, Copy, PartialEq)]
enum By {
    Mouse,
    Keys,
    Tree,
}

fn choices(h: &Window) -> Vec<String> {
    let others: Vec<String> =
        ["sure-guess", "sure-leaning", "sure-fairly", "sure-certain", "theme-light", "theme-dark"]
            .iter()
            .map(|id| tr(id))
            .collect();
    h.query_all_by_role(Role::RadioButton)
        .filter_map(|n| n.accesskit_node().label())
        .filter(|l| !others.contains(l))
        .collect()
}

fn tap(h: &mut Window, label: &str, by: By) {
    if by == By::Mouse {
        bring(h, label);
    }
    let node = h.get_all_by_label(label).next().unwrap();
    if by == By::Tree {
        node.click_accesskit();
    } else {
        node.click();
    }
    h.step();
    h.step();
}

fn next_label(h: &Window) -> Option<String> {
    [tr("next-question"), tr("next-finish")].into_iter().find(|l| shows(h, l))
}

/// Answers the question in hand, whatever is right, and waits for what is said to it.
fn answer(h: &mut Window, by: By) {
    if shows(h, &tr("point-title")) {
        match by {
            By::Keys => {
                // The drawing has the keyboard; its first place comes next.
                h.key_press(Key::Tab);
                h.step();
                h.step();
                h.key_press(Key::Enter);
                wait(h, "the chosen place", |h| shows(h, &tr("point-chosen")));
                h.key_press(Key::Enter);
            }
            _ => {
                let place = all_nodes(h)
                    .iter()
                    .filter_map(|n| n.accesskit_node().label())
                    .find(|l| l.starts_with("place 5,"))
                    .unwrap();
                tap(h, &place, by);
                assert!(shows(h, &tr("point-chosen")));
            }
        }
    } else if shows(h, &tr("order-how")) {
        for step in choices(h) {
            tap(h, &step, By::Tree);
        }
    } else if shows(h, &tr("number-name")) {
        h.get_by_role(Role::TextInput).type_text("1.2");
        h.step();
        h.step();
    } else if shows(h, &tr("interval-from")) {
        h.get_all_by_role(Role::Slider).next().unwrap().focus();
        h.step();
        h.key_press(Key::ArrowRight);
        h.step();
        h.step();
    } else {
        for group in 0..3 {
            if by == By::Keys {
                h.key_press(Key::Num1);
                h.step();
                h.step();
            } else {
                let ids = ["diagnose-condition", "diagnose-cause", "diagnose-began"].map(tr);
                let list: Vec<String> = choices(h)
                    .into_iter()
                    .filter(|l| !ids.iter().any(|id| l.starts_with(id.as_str())))
                    .collect();
                tap(h, &list[0], by);
            }
            let diagnosing = choices(h).iter().any(|l| l.starts_with(&tr("diagnose-condition")));
            if !diagnosing && group == 0 {
                break;
            }
        }
        if by == By::Keys {
            h.key_press(Key::Enter);
        }
    }
    if by != By::Keys {
        tap(h, &tr("answer"), by);
    }
    wait(h, "what is said to the answer", |h| next_label(h).is_some());
}

fn go_on(h: &mut Window, by: By) {
    let label = next_label(h).unwrap();
    if by == By::Keys {
        h.step();
        h.key_press(Key::Enter);
    } else {
        tap(h, &label, by);
    }
    wait(h, "the next question", |h| next_label(h).is_none());
}

fn play(by: By) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("records.sqlite3");
    let mut h = window(Some(path.clone()));
    let scenario = jarlight_scenario::shipped().len();
    assert!(scenario >= 3, "three scenarios are shipped");
    if by == By::Keys {
        // Home, two pages, and on: Tab reaches everything, Enter presses it.
        tab_to(&mut h, &tr("page-questions"));
        h.key_press(Key::Enter);
        wait(&mut h, "the list", |h| shows(h, &tr("questions-about")));
        tab_to(&mut h, "Practise: First conditions: normal or not, why, and since when");
        h.key_press(Key::Enter);
        h.step();
    } else {
        tap(&mut h, &tr("page-questions"), by);
        tap(&mut h, "Practise: First conditions: normal or not, why, and since when", by);
    }
    h.step();
    let mut asked = 0;
    while !shows(&h, &tr("finish-title")) {
        answer(&mut h, by);
        go_on(&mut h, by);
        asked += 1;
        assert!(asked < 60, "the scenario has an end");
    }
    drop(h);
    let store = jarlight_records::Store::open(&path).unwrap();
    let learner = store.learners().unwrap().remove(0);
    let runs = store.finished_runs(&learner.id).unwrap();
    assert_eq!(runs.len(), 1);
    assert_eq!(runs[0].answers, asked);
}

fn tab_to(h: &mut Window, label: &str) {
    for _ in 0..80 {
        h.key_press(Key::Tab);
        h.step();
        h.step();
        let on = h.query_all_by_label(label).any(|n| n.accesskit_node().is_focused());
        if on {
            return;
        }
    }
    panic!("Tab never came to {label}");
}

#[test]
fn a_scenario_is_finished_with_the_mouse_only() {
    play(By::Mouse);
}

#[test]
fn a_scenario_is_finished_with_the_keyboard_only() {
    play(By::Keys);
}

#[test]
fn a_scenario_is_finished_through_the_accessibility_tree_only() {
    play(By::Tree);
}

#[test]
fn no_shipped_question_gives_its_parts_away() {
    no_secrets(0);
}

#[test]
fn no_shipped_question_of_the_other_half_gives_its_parts_away() {
    no_secrets(1);
}

/// While a question is open, nothing but its own words names a part or a condition; every
/// second scenario.
fn no_secrets(from: usize) {
    let catalogue = Catalogue::builtin();
    let mut secrets: Vec<String> = Vec::new();
    for part in &catalogue.parts {
        secrets.extend([part.id.to_string(), part.name.to_lowercase(), part.plural.to_lowercase()]);
    }
    for condition in &catalogue.conditions {
        secrets.extend([condition.id.to_string(), condition.name.to_lowercase()]);
    }
    let mut read = 0;
    for source in jarlight_scenario::shipped().iter().skip(from).step_by(2) {
        let scenario =
            jarlight_scenario::Scenario::read(source, catalogue).value.expect("it is sound");
        let mut h = window(None);
        press(&mut h, &tr("page-questions"));
        press(&mut h, &format!("Practise: {}", scenario.title()));
        for question in scenario.questions() {
            let own = [question.stem.value.as_str(), scenario.title(), scenario.setting()];
            let options = choices(&h);
            assert!(shows(&h, &question.stem.value), "{}", question.stem.value);
            let mut places = 0;
            for node in all_nodes(&h) {
                for text in words(&node) {
                    let spoken = own.contains(&text.as_str()) || options.contains(&text);
                    places += usize::from(text.starts_with("place "));
                    let low = text.to_lowercase();
                    let told = secrets.iter().find(|s| !spoken && contains_word(&low, s));
                    assert!(told.is_none(), "{text:?} tells {told:?} in {}", question.id.value);
                }
            }
            if shows(&h, &tr("point-title")) {
                assert!(places > 20, "places can be reached: {places}");
            }
            read += 1;
            answer(&mut h, By::Tree);
            go_on(&mut h, By::Tree);
        }
    }
    assert!(read > 40, "{read}");
}

fn contains_word(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(i, _)| {
        let before = text[..i].chars().next_back();
        let after = text[i + word.len()..].chars().next();
        let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '_');
        edge(before) && edge(after)
    })
}

/// A folder that cannot be made: the run goes on, and a lasting notice says what is lost.
#[test]
fn answers_that_cannot_be_kept_do_not_stop_the_run() {
    let folder = tempfile::tempdir().unwrap();
    let blocked = folder.path().join("data");
    std::fs::write(&blocked, "in the way").unwrap();
    let mut h = window(Some(blocked.join("records.sqlite3")));
    wait(&mut h, "the notice", |h| shows(h, &tr("notice-not-kept")));
    press(&mut h, &tr("page-questions"));
    press(&mut h, "Practise: Parts of the cell");
    answer(&mut h, By::Mouse);
    go_on(&mut h, By::Mouse);
    answer(&mut h, By::Mouse);
    assert!(shows(&h, &tr("notice-not-kept")));
}

/// Closed in the middle of a run and opened again: it goes on where it was.
#[test]
fn a_run_is_continued_after_the_window_was_closed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("records.sqlite3");
    let mut h = window(Some(path.clone()));
    press(&mut h, &tr("page-questions"));
    press(&mut h, "Practise: Parts of the cell");
    for _ in 0..2 {
        answer(&mut h, By::Mouse);
        go_on(&mut h, By::Mouse);
    }
    drop(h);
    let mut h = window(Some(path));
    wait(&mut h, "the open run", |h| shows(h, &tr("continue-go")));
    assert!(shows(&h, "2 of 22 answered"));
    press(&mut h, &tr("continue-go"));
    wait(&mut h, "question 3", |h| shows(h, "Question 3 of 22"));
}

/// A file with faults shows every one of them with its place, and the window stays usable.
#[test]
fn a_broken_scenario_shows_its_faults() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("bad.scenario.ron");
    std::fs::write(&file, "Scenario(\n  format: 1,\n  titel: \"x\",\n  minutes: inf,\n)").unwrap();
    let mut h = window(None);
    h.get_by_label(&tr("open-path")).focus();
    h.step();
    h.get_by_label(&tr("open-path")).type_text(&file.display().to_string());
    h.step();
    press(&mut h, &tr("open-by-path"));
    let place = format!("{}:3:3", file.display());
    wait(&mut h, "the place of the fault", |h| shows(h, &place));
    assert!(shows(&h, &format!("{}:4:12", file.display())));
    press(&mut h, &tr("page-study"));
    assert!(shows(&h, "Positive plates: 6"));
}

/// A page that is only looked at costs nothing: no frame is asked for until something happens.
#[test]
fn no_page_is_painted_again_while_nothing_happens() {
    let mut h = window(None);
    let rests = |h: &mut Window, page: &str| {
        for _ in 0..60 {
            h.step();
        }
        for _ in 0..3 {
            h.step();
            let delay = h.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
            let causes = h.ctx.repaint_causes();
            assert!(delay > Duration::from_secs(3600), "{page}: {delay:?} {causes:?}");
        }
    };
    rests(&mut h, "start");
    press(&mut h, &tr("page-questions"));
    rests(&mut h, "questions");
    h.key_press(Key::F1);
    rests(&mut h, "help");
    h.key_press(Key::Escape);
    rests(&mut h, "questions again");
    press(&mut h, "Practise: Parts of the cell");
    wait(&mut h, "the first question", |h| shows(h, &tr("sure-title")));
    rests(&mut h, "a question");
}
