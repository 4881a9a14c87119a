//! The workshop without a screen: a lesson from a template to the list of scenarios, files that
//! other programs write, work that must not be lost, and trials that nobody keeps.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "helpers of tests may panic as tests do"
)]

mod common;

use common::{Window, open_window, shows};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use jarlight_app::{App, Library};
use jarlight_model::{
    catalogue::Catalogue,
    text::{tr, tr_with},
};
use std::{
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

const LESSON: &str = "\u{feff}// kept\r\nScenario(\r\n  format: 1, id: \"floor\", title: \"The floor\", minutes: 2,\r\n  scenes: {\r\n    \"pale\": (design: \"medium_pasted\", conditions: [(id: \"sediment_light\", severity: 0.60)]), // kept\r\n  },\r\n  questions: [\r\n    (id: \"one\", scene: \"pale\", stem: \"Is it sound?\", form: NormalOrNot),\r\n  ],\r\n)\r\n";

fn window(data: &Path) -> Window {
    let records: PathBuf = data.join("records.sqlite3");
    let mut h = open_window([1280.0, 1000.0], Some(records), |services, ctx| {
        App::new(services, Library::default(), Vec::new(), ctx)
    });
    press(&mut h, &tr("page-workshop"));
    h
}

fn wait(h: &mut Window, what: &str, mut done: impl FnMut(&Window) -> bool) {
    let begun = Instant::now();
    while begun.elapsed() < Duration::from_secs(20) {
        h.step();
        if done(h) {
            return;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    panic!("waited in vain: {what}");
}

fn says(h: &Window, part: &str) -> bool {
    h.query_all_by_label_contains(part).next().is_some()
}

fn press(h: &mut Window, label: &str) {
    h.get_all_by_label(label).next().unwrap().click();
    h.step();
    h.step();
}

/// Writes over what stands in the field that asks for a path, and confirms.
fn path(h: &mut Window, path: &Path) {
    wait(h, "the field", |h| shows(h, &tr("workshop-path")));
    h.get_by_label(&tr("workshop-path")).focus();
    h.step();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.step();
    h.get_by_label(&tr("workshop-path")).type_text(&path.display().to_string());
    h.step();
    h.key_press(Key::Enter);
    h.step();
}

fn open(h: &mut Window, file: &Path) {
    press(h, &tr("workshop-open"));
    path(h, file);
    wait(h, "the checked file", |h| shows(h, &tr("workshop-sound")));
}

fn type_at_cursor(h: &mut Window, text: &str) {
    h.get_by_label(&tr("workshop-text")).focus();
    h.step();
    h.get_by_label(&tr("workshop-text")).type_text(text);
    h.step();
    h.step();
}

fn state(id: &str, file: &Path) -> String {
    let name = file.file_name().unwrap().to_string_lossy();
    tr_with(id, &[("file", &name)])
}

#[test]
fn a_lesson_goes_from_a_template_to_the_list_of_scenarios() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = window(folder.path());
    press(&mut h, "Find a part: The learner clicks on a part of the drawing.");
    wait(&mut h, "a sound lesson", |h| shows(h, &tr("workshop-sound")));
    // The title is selected, ready to be written over.
    type_at_cursor(&mut h, "Sediment at Tarn Hollow");
    press(&mut h, &tr("workshop-tab-insert"));
    press(
        &mut h,
        "Normal or not: The learner says whether anything is wrong; what is right follows from the scene.",
    );
    type_at_cursor(&mut h, "Is this one sound?");
    wait(&mut h, "a sound lesson", |h| shows(h, &tr("workshop-sound")));
    press(&mut h, &tr("workshop-save"));
    let file = folder.path().join("sediment.scenario.ron");
    path(&mut h, &file);
    wait(&mut h, "saved", |h| shows(h, &state("workshop-state-saved", &file)));
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("title: \"Sediment at Tarn Hollow\","), "{text}");
    assert!(text.contains("stem: \"Is this one sound?\","), "{text}");
    press(&mut h, &tr("page-questions"));
    wait(&mut h, "the list", |h| shows(h, "Practise: Sediment at Tarn Hollow"));
}

#[test]
fn one_value_is_changed_and_every_other_byte_kept() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("floor.scenario.ron");
    std::fs::write(&file, LESSON).unwrap();
    let mut h = window(folder.path());
    open(&mut h, &file);
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    wait(&mut h, "saved", |h| shows(h, &state("workshop-state-saved", &file)));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), LESSON);
    press(&mut h, &tr("workshop-tab-scene"));
    let name = Catalogue::builtin().name_of("sediment_light");
    let vary = tr_with("workshop-vary", &[("name", &name)]);
    wait(&mut h, "the switch", |h| shows(h, &vary));
    press(&mut h, &vary);
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    let expected = LESSON.replace("0.60", "(0.5, 0.7)");
    wait(&mut h, "the new value", |_| std::fs::read_to_string(&file).unwrap() == expected);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.step();
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    wait(&mut h, "the old value", |_| std::fs::read_to_string(&file).unwrap() == LESSON);
}

#[test]
fn a_file_saved_elsewhere_appears_and_a_broken_one_keeps_the_picture() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("floor.scenario.ron");
    std::fs::write(&file, LESSON).unwrap();
    let mut h = window(folder.path());
    open(&mut h, &file);
    std::fs::write(&file, LESSON.replace("Is it sound?", "Sound, or not?")).unwrap();
    let begun = Instant::now();
    wait(&mut h, "the new stem", |h| shows(h, "Sound, or not?"));
    assert!(begun.elapsed() < Duration::from_secs(2), "{:?}", begun.elapsed());
    let broken =
        LESSON.replace("Is it sound?", "Broken?").replace("sediment_light", "sedimnt_light");
    std::fs::write(&file, &broken).unwrap();
    wait(&mut h, "the error", |h| shows(h, &tr("workshop-stale")));
    assert!(shows(&h, "Sound, or not?"));
    // The offered word mends it with one key, once the cursor is there.
    h.key_press(Key::F8);
    h.step();
    h.step();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Period);
    wait(&mut h, "mended", |h| shows(h, &tr("workshop-sound")) && shows(h, "Broken?"));
}

#[test]
fn where_both_sides_changed_the_person_is_asked() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("floor.scenario.ron");
    std::fs::write(&file, LESSON).unwrap();
    let mut h = window(folder.path());
    open(&mut h, &file);
    type_at_cursor(&mut h, "// mine ");
    let theirs = LESSON.replace("// kept", "// theirs");
    std::fs::write(&file, &theirs).unwrap();
    wait(&mut h, "the question", |h| says(h, &tr("workshop-both")));
    // Saving does not overwrite what was not seen.
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    for _ in 0..20 {
        h.step();
        std::thread::sleep(Duration::from_millis(5));
    }
    assert_eq!(std::fs::read_to_string(&file).unwrap(), theirs);
    press(&mut h, &tr("workshop-both-mine"));
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    wait(&mut h, "mine", |_| std::fs::read_to_string(&file).unwrap().contains("// mine "));
}

#[test]
fn unsaved_work_outlives_a_window_that_is_gone_and_holds_up_one_that_closes() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("floor.scenario.ron");
    std::fs::write(&file, LESSON).unwrap();
    let mut h = window(folder.path());
    open(&mut h, &file);
    type_at_cursor(&mut h, "// new words\n");
    let drafts = folder.path().join("drafts");
    wait(&mut h, "the copy", |_| std::fs::read_dir(&drafts).is_ok_and(|d| d.count() == 1));
    let root = h.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default();
    root.events.push(egui::ViewportEvent::Close);
    wait(&mut h, "the question", |h| shows(h, &tr("workshop-unsaved")));
    // The program ends all the same.
    drop(h);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), LESSON);
    let mut h = window(folder.path());
    wait(&mut h, "the offer", |h| shows(h, &tr("workshop-draft-up")));
    press(&mut h, &tr("workshop-draft-up"));
    wait(&mut h, "the copy", |h| shows(h, &state("workshop-state-changed", &file)));
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    let saved = |_: &Window| std::fs::read_to_string(&file).unwrap().contains("// new words\r\n");
    wait(&mut h, "saved", saved);
    wait(&mut h, "no copy", |_| std::fs::read_dir(&drafts).unwrap().count() == 0);
}

#[test]
fn a_trial_is_played_and_leaves_no_record() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("floor.scenario.ron");
    std::fs::write(&file, LESSON).unwrap();
    let mut h = window(folder.path());
    open(&mut h, &file);
    h.key_press(Key::F5);
    wait(&mut h, "the trial", |h| shows(h, &tr("workshop-back")));
    h.key_press(Key::Num1);
    h.step();
    h.step();
    press(&mut h, &tr("answer"));
    wait(&mut h, "what is said to the answer", |h| shows(h, &tr("next-finish")));
    h.get_by_label(&tr("next-finish")).click_accesskit();
    wait(&mut h, "the end", |h| shows(h, &tr("finish-title")));
    press(&mut h, &tr("workshop-back"));
    wait(&mut h, "the text", |h| shows(h, &tr("workshop-text")));
    drop(h);
    let store = jarlight_records::Store::open(&folder.path().join("records.sqlite3")).unwrap();
    assert!(store.learners().unwrap().is_empty());
    assert!(store.flags().unwrap().is_empty());
    assert!(store.finished_runs("").unwrap().is_empty());
}
