//! The reasoning page without a screen: a case noted by keyboard and by drawing, readings, what
//! if, undo, files with and without faults, and the honest refusal.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic as tests do")]

mod common;

use common::{Window, open_window, shows};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use jarlight_app::{App, Library};
use jarlight_model::{
    catalogue::Catalogue,
    text::{tr, tr_with},
};
use std::{path::PathBuf, time::Duration};

fn window(files: Vec<PathBuf>, size: [f32; 2]) -> Window {
    open_window(size, None, move |services, ctx| App::new(services, Library::default(), files, ctx))
}

fn reasoning() -> Window {
    // High enough that nothing stands below a fold.
    let mut h = window(Vec::new(), [1400.0, 4500.0]);
    press(&mut h, &tr("page-reasoning"));
    wait(&mut h, "the first ranking", |h| has(h, "1. "));
    h
}

/// Steps until something is true, since the rules answer from another thread.
fn wait(h: &mut Window, what: &str, mut done: impl FnMut(&Window) -> bool) {
    let begin = std::time::Instant::now();
    while begin.elapsed() < Duration::from_secs(60) {
        h.step();
        if done(h) {
            return;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    panic!("waited in vain: {what}; shown: {:?}", labels(h));
}

fn labels(h: &Window) -> Vec<String> {
    let all = h.query_all(egui_kittest::kittest::By::new());
    let said = |n: egui_kittest::Node<'_>| {
        let n = n.accesskit_node();
        n.label().or_else(|| n.value())
    };
    all.filter_map(said).collect()
}

/// Whether a label begins with this.
fn has(h: &Window, start: &str) -> bool {
    labels(h).iter().any(|l| l.starts_with(start))
}

fn press(h: &mut Window, label: &str) {
    h.get_all_by_label(label).next().unwrap().click();
    for _ in 0..4 {
        h.step();
    }
}

fn name(id: &str) -> String {
    Catalogue::builtin().name_of(id)
}

/// The row of a finding, with what is noted of it.
fn row(id: &str, state: &str) -> String {
    format!("{}: {state}", name(id))
}

/// Notes a grade: choose the finding in the list, then its grade.
fn note(h: &mut Window, id: &str, grade: &str) {
    let start = format!("{}: ", name(id));
    let at = labels(h).into_iter().find(|l| l.starts_with(&start)).unwrap();
    press(h, &at);
    press(h, grade);
    let now = labels(h).into_iter().find(|l| l.starts_with(&start)).unwrap();
    press(h, &now);
}

/// The chance of a cause in the ranking, in percent.
fn percent(h: &Window, cause: &str) -> Option<f64> {
    let name = name(cause);
    let row = labels(h).into_iter().find(|l| {
        l.split_once(". ")
            .is_some_and(|(n, rest)| n.parse::<u8>().is_ok() && rest.starts_with(&name))
    })?;
    let text = row.split("), ").nth(1)?.split(" %").next()?.to_owned();
    text.trim_start_matches("over ").trim_start_matches("under ").parse().ok()
}

#[test]
fn a_strange_cell_is_noted_ranked_and_explained() {
    let mut h = reasoning();
    assert!(shows(&h, &tr("reason-empty")));
    note(&mut h, "sediment_light", "3 moderate");
    note(&mut h, "pos_sulfate_sparkle", "3 moderate");
    note(&mut h, "gassing_heavy", &tr("reason-clean"));
    wait(&mut h, "undercharge", |h| percent(h, "m_undercharge").is_some_and(|p| p > 60.0));
    wait(&mut h, "the reasons", |h| {
        has(h, &format!("{}, grade 3, speaks for it", name("sediment_light")))
    });
    let first = labels(&h).into_iter().find(|l| l.starts_with("1. ")).unwrap();
    assert!(
        first.contains(&name("m_undercharge")) && first.contains("it began between"),
        "{first}"
    );
    assert!(has(&h, &format!("{}, looked for and not there", name("gassing_heavy"))));
    assert!(has(&h, "Ask authorised staff for"), "a look beyond the eyes");
    assert!(has(&h, "Urgency: "));
    assert!(has(&h, "All probabilities here are estimates made for training."));
    assert!(shows(&h, &row("sediment_light", "3 moderate")));
    assert!(shows(&h, &row("gassing_heavy", &tr("reason-clean-short"))));
}

#[test]
fn a_part_of_the_drawing_lists_what_can_be_noted_on_it() {
    let mut h = reasoning();
    let sediment = Catalogue::builtin().part("sediment").unwrap().name.clone();
    h.get_all_by_label(&sediment).next().unwrap().click_accesskit();
    wait(&mut h, "the findings of the part", |h| {
        shows(h, &tr_with("reason-on-part", &[("part", &sediment)]))
    });
    assert!(has(&h, &row("sediment_light", &tr("reason-not-looked"))));
    assert!(!has(&h, &name("moss_growth")));
    press(&mut h, &tr("reason-all-parts"));
    assert!(has(&h, &name("moss_growth")));
}

#[test]
fn keys_note_clean_grades_and_not_looked_at() {
    let mut h = reasoning();
    h.get_by_label(&tr("reason-search")).focus();
    h.step();
    h.get_by_label(&tr("reason-search")).type_text("pale mud");
    h.step();
    h.step();
    assert!(
        has(&h, &name("sediment_light")) && !has(&h, &name("moss_growth")),
        "a synonym is found"
    );
    let start = format!("{}: ", name("sediment_light"));
    for (key, state) in [
        (Key::Num4, "4 heavy".to_owned()),
        (Key::Num0, tr("reason-clean-short")),
        (Key::Num2, "2 slight".to_owned()),
        (Key::Delete, tr("reason-not-looked")),
    ] {
        let at = labels(&h).into_iter().find(|l| l.starts_with(&start)).unwrap();
        h.get_by_label(&at).focus();
        h.step();
        h.key_press(key);
        wait(&mut h, &state, |h| shows(h, &row("sediment_light", &state)));
    }
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    wait(&mut h, "undone", |h| shows(h, &row("sediment_light", "2 slight")));
    h.key_press_modifiers(Modifiers::COMMAND, Key::Y);
    wait(&mut h, "done again", |h| shows(h, &row("sediment_light", &tr("reason-not-looked"))));
}

#[test]
fn what_if_moves_the_ranking_and_notes_nothing() {
    let mut h = reasoning();
    note(&mut h, "pos_sulfate_sparkle", "3 moderate");
    wait(&mut h, "a ranking", |h| percent(h, "m_undercharge").is_some());
    let before = percent(&h, "m_undercharge").unwrap();
    press(&mut h, &tr("reason-mode-try"));
    note(&mut h, "sediment_light", "4 heavy");
    wait(&mut h, "another ranking", |h| percent(h, "m_undercharge").is_some_and(|p| p != before));
    let was = labels(&h).into_iter().find(|l| l.starts_with("1. ")).unwrap();
    assert!(was.contains("was "), "{was}");
    press(&mut h, &tr("reason-stop-trying"));
    wait(&mut h, "the ranking as it was", |h| percent(h, "m_undercharge") == Some(before));
    assert!(shows(&h, &row("sediment_light", &tr("reason-not-looked"))));
}

#[test]
fn the_pull_of_the_finding_with_the_keyboard_stands_at_each_cause() {
    let mut h = reasoning();
    note(&mut h, "sediment_light", "3 moderate");
    wait(&mut h, "the reasons", |h| has(h, "Urgency: "));
    h.get_by_label(&row("sediment_light", "3 moderate")).focus();
    let pulls = |h: &Window| {
        labels(h)
            .iter()
            .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()) && l.contains(" dB)"))
            .count()
    };
    wait(&mut h, "pulls", |h| pulls(h) > 0);
}

#[test]
fn a_reading_is_typed_as_on_the_sheet_and_noted() {
    let mut h = reasoning();
    press(&mut h, &tr("reason-tab-read"));
    let kind = tr("reason-read-kind");
    let at = labels(&h).into_iter().find(|l| l.starts_with(&format!("{kind}: "))).unwrap();
    press(&mut h, &at);
    press(&mut h, "Specific gravity brought to its reference temperature and level");
    for (field, text) in [
        ("Specific gravity", "1.200"),
        ("Electrolyte temperature", "77F"),
        ("Nominal specific gravity", "1.215"),
    ] {
        let node = h.get_by_role_and_label(Role::TextInput, field);
        node.focus();
        h.step();
        h.get_by_role_and_label(Role::TextInput, field).type_text(text);
        h.step();
    }
    wait(&mut h, "the result", |h| has(h, "1.200 read at 25.0 °C is 1.2000 at 25.0 °C."));
    assert!(has(&h, "Beyond the limit: 0.010 or more under the nominal value"));
    assert!(has(&h, "Formula: ") && has(&h, "Source: ") && has(&h, "Holds for: "));
    press(&mut h, &tr("reason-read-record"));
    press(&mut h, &tr("reason-tab-seen"));
    wait(&mut h, "the finding", |h| {
        shows(h, &row("q_sg_low_string", &tr("reason-beyond-short")))
            && shows(h, &row("q_sg_high", &tr("reason-within-short")))
    });
}

#[test]
fn a_reading_in_a_wrong_unit_says_how_it_is_written() {
    let mut h = reasoning();
    press(&mut h, &tr("reason-tab-read"));
    let input = h
        .query_all_by_role(Role::TextInput)
        .filter_map(|n| n.accesskit_node().label())
        .find(|l| l.to_lowercase().contains("voltage"))
        .unwrap();
    h.get_by_role_and_label(Role::TextInput, &input).focus();
    h.step();
    h.get_by_role_and_label(Role::TextInput, &input).type_text("2.1A");
    wait(&mut h, "the fix", |h| labels(h).iter().any(|l| l.contains("write it in V")));
}

#[test]
fn the_cell_can_be_described() {
    let mut h = reasoning();
    press(&mut h, &tr("reason-tab-cell"));
    let age = tr("reason-cell-age");
    h.get_by_role_and_label(Role::TextInput, &age).focus();
    h.step();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.get_by_role_and_label(Role::TextInput, &age).type_text("4 yeers");
    wait(&mut h, "the fix", |h| labels(h).iter().any(|l| l.contains("is not measured in `yeers`")));
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.get_by_role_and_label(Role::TextInput, &age).type_text("4 years");
    h.step();
    h.key_press(Key::Enter);
    wait(&mut h, "a change", |h| shows(h, &tr("reason-changed")));
    press(&mut h, &tr("reason-scope-string"));
    press(&mut h, &tr("reason-undo"));
    press(&mut h, &tr("reason-undo"));
    wait(&mut h, "as it was", |h| !shows(h, &tr("reason-changed")));
}

#[test]
fn the_leading_cause_is_drawn_beside_what_was_noted() {
    let mut h = reasoning();
    note(&mut h, "sediment_light", "3 moderate");
    note(&mut h, "level_low", "2 slight");
    wait(&mut h, "a ranking", |h| percent(h, "m_undercharge").is_some());
    press(&mut h, &tr("reason-page-like"));
    assert!(shows(&h, &tr("reason-like-noted")));
    assert!(has(&h, &format!("{}, begun", name("m_undercharge"))), "{:?}", labels(&h));
    let start = tr_with("reason-like-only", &[("list", &name("level_low"))]);
    assert!(has(&h, &start), "{:?}", labels(&h));
    assert!(
        labels(&h).iter().any(|l| l.starts_with("Drawn: ") && l.contains(&name("sediment_light")))
    );
}

#[test]
fn a_case_is_saved_read_by_the_terminal_and_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cell31.case.ron");
    let mut h = reasoning();
    note(&mut h, "sediment_light", "3 moderate");
    note(&mut h, "moss_growth", &tr("reason-clean"));
    press(&mut h, &tr("reason-save"));
    h.get_by_label(&tr("reason-save-path")).focus();
    h.step();
    h.get_by_label(&tr("reason-save-path")).type_text(path.to_str().unwrap());
    h.step();
    h.key_press(Key::Enter);
    wait(&mut h, "the file", |h| shows(h, "cell31.case.ron, saved"));
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("\"sediment_light\": 3,") && text.contains("\"moss_growth\": Clean,"));
    // A comment of the author outlives the next save.
    std::fs::write(&path, text.replace("Case(", "// by Learner 4\nCase(")).unwrap();
    let mut h = window(vec![path.clone()], [1400.0, 4500.0]);
    wait(&mut h, "the case", |h| shows(h, &row("sediment_light", "3 moderate")));
    note(&mut h, "sediment_light", "5 extreme");
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    wait(&mut h, "the file", |h| shows(h, "cell31.case.ron, saved"));
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(
        text.starts_with("// by Learner 4\n") && text.contains("\"sediment_light\": 5,"),
        "{text}"
    );
}

#[test]
fn changes_are_not_lost_without_a_word() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.case.ron");
    let mut h = reasoning();
    note(&mut h, "sediment_light", "3 moderate");
    press(&mut h, &tr("reason-new"));
    assert!(shows(&h, &tr("reason-lose-title")));
    press(&mut h, &tr("reason-cancel"));
    assert!(!shows(&h, &tr("reason-lose-title")));
    assert!(shows(&h, &row("sediment_light", "3 moderate")));
    // Saving first, then the empty case.
    press(&mut h, &tr("reason-new"));
    press(&mut h, &tr("reason-lose-save"));
    h.get_by_label(&tr("reason-save-path")).focus();
    h.step();
    h.get_by_label(&tr("reason-save-path")).type_text(path.to_str().unwrap());
    h.step();
    h.key_press(Key::Enter);
    wait(&mut h, "the empty case", |h| shows(h, &row("sediment_light", &tr("reason-not-looked"))));
    assert!(path.exists());
}

#[test]
fn a_file_with_faults_is_told_with_all_of_them() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad.case.ron");
    let text = "Case(format: 1, design: \"medium_pasted\", age_months: 9000, temperature: 99,\n\
                findings: {\"sediment_lihgt\": 3})";
    std::fs::write(&path, text).unwrap();
    let mut h = window(vec![path], [1400.0, 3000.0]);
    wait(&mut h, "the faults", |h| has(h, "Error [out-of-range]: age_months"));
    assert!(has(&h, "Error [out-of-range]: temperature"));
    press(&mut h, &tr("reason-found-close"));
    assert!(!has(&h, "Error [out-of-range]"));
}

#[test]
fn past_the_limit_there_is_a_refusal_and_no_ranking() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("much.case.ron");
    let catalogue = Catalogue::builtin();
    let seen: String = catalogue
        .conditions
        .iter()
        .filter(|c| c.leak.is_some())
        .filter(|c| {
            let design = catalogue.designs.values().find(|d| d.id.as_str() == "medium_pasted");
            c.parts.iter().any(|p| catalogue.has_part(design.unwrap(), p.value.as_str()))
        })
        .map(|c| format!("\"{}\": 3,", c.id.value))
        .collect();
    let text = format!(
        "Case(format: 1, design: \"medium_pasted\", age_months: 108, findings: {{{seen}}})"
    );
    std::fs::write(&path, text).unwrap();
    let mut h = window(vec![path], [1400.0, 4500.0]);
    wait(&mut h, "the refusal", |h| shows(h, &tr("reason-refused")));
    assert!(labels(&h).iter().any(|l| l.contains("the exact method takes at most 18")));
    assert!(!has(&h, "1. "), "a ranking stands beside the refusal");
}

/// Small windows and large text show the same by pages.
#[test]
fn a_narrow_window_shows_everything_by_pages() {
    let mut h = window(Vec::new(), [820.0, 900.0]);
    // In a narrow window the pages lie in a list.
    press(&mut h, &format!("{}: {}", tr("bar-pages"), tr("page-start")));
    press(&mut h, &tr("page-reasoning"));
    wait(&mut h, "the page", |h| shows(h, &tr("reason-page-why")));
    for page in ["reason-page-why", "reason-page-like", "reason-page-causes"] {
        press(&mut h, &tr(page));
    }
    wait(&mut h, "the ranking", |h| has(h, "1. "));
}
