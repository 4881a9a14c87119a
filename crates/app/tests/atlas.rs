//! The atlas without a screen: browsing, search, severity and time, several conditions, lamp.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic as tests do")]

mod common;

use common::{Window, open_window, shows};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use jarlight_app::{App, Library};
use jarlight_model::{
    catalogue::{Catalogue, Condition},
    text::{tr, tr_with},
};

fn atlas() -> Window {
    let mut h = open_window([1280.0, 1500.0], None, |services, ctx| {
        let mut library = Library::default();
        for source in jarlight_scenario::shipped() {
            library.add(&source, &services.catalogue);
        }
        App::new(services, library, Vec::new(), ctx)
    });
    press(&mut h, &tr("page-atlas"));
    h
}

fn condition(id: &str) -> &'static Condition {
    Catalogue::builtin().condition(id).unwrap()
}

fn steps(h: &mut Window) {
    for _ in 0..4 {
        h.step();
    }
}

fn press(h: &mut Window, label: &str) {
    h.get_all_by_label(label).next().unwrap().click();
    steps(h);
}

/// What may stand below the fold, where a click does not reach.
fn press_anywhere(h: &mut Window, label: &str) {
    h.get_all_by_label(label).next().unwrap().click_accesskit();
    steps(h);
}

/// Chooses in a list that drops down.
fn choose(h: &mut Window, list: &str, item: &str) {
    let start = format!("{}: ", tr(list));
    let now = labels(h).into_iter().find(|l| l.starts_with(&start)).unwrap();
    press(h, &now);
    h.get_all_by_label(&tr(item)).last().unwrap().click();
    steps(h);
}

fn find(h: &mut Window, words: &str) {
    h.key_press_modifiers(Modifiers::COMMAND, Key::F);
    steps(h);
    h.get_by_role_and_label(Role::TextInput, &tr("atlas-search")).type_text(words);
    steps(h);
    h.key_press(Key::Enter);
    steps(h);
}

fn labels(h: &Window) -> Vec<String> {
    h.query_all(egui_kittest::kittest::By::new())
        .filter_map(|n| n.accesskit_node().label())
        .collect()
}

fn severity(h: &Window) -> f64 {
    slider(h, "condition-slider")
}

fn slider(h: &Window, id: &str) -> f64 {
    let name = tr(id);
    let node = h.get_by_role_and_label(Role::Slider, &name);
    node.accesskit_node().numeric_value().unwrap()
}

fn push(h: &mut Window, id: &str, key: Key, times: usize) {
    h.get_by_role_and_label(Role::Slider, &tr(id)).focus();
    steps(h);
    for _ in 0..times {
        h.key_press(key);
        h.step();
    }
    steps(h);
}

#[test]
fn a_word_of_what_the_eye_sees_finds_the_condition_and_its_texts() {
    let mut h = atlas();
    assert!(shows(&h, &tr("atlas-normal-title")));
    find(&mut h, "fine SUGAR");
    let c = condition("pos_sulfate_sparkle");
    assert!(shows(&h, &c.see.text));
    for said in [&c.measure, &c.action, &c.caution] {
        assert!(shows(&h, &said.text), "{}", said.text);
    }
    for step in &c.steps {
        assert!(shows(&h, step), "{step}");
    }
    for confused in &c.confused {
        assert!(shows(&h, &confused.tell), "{}", confused.tell);
    }
    for (cause, _) in &c.suggests {
        let cause = Catalogue::builtin().mechanism(cause.as_str()).unwrap();
        assert!(shows(&h, &cause.plain), "{}", cause.plain);
    }
}

#[test]
fn slash_searches_and_is_not_written_into_the_search() {
    let mut h = atlas();
    h.event(egui::Event::Text("/".to_owned()));
    steps(&mut h);
    let name = tr("atlas-search");
    let field = h.get_by_role_and_label(Role::TextInput, &name);
    assert!(field.accesskit_node().is_focused());
    assert_eq!(field.accesskit_node().value().unwrap_or_default(), "");
}

#[test]
fn every_way_to_put_together_lists_look_alikes_in_a_group_of_their_own() {
    let mut h = atlas();
    for id in ["browse-part", "browse-cause", "browse-urgency", "browse-place"] {
        choose(&mut h, "atlas-by", id);
        assert!(shows(&h, &format!("{}: {}", tr("atlas-by"), tr(id))), "{id}");
        assert!(shows(&h, &tr("browse-harmless")), "{id}");
        assert!(shows(&h, &condition("h_refraction").name), "{id}");
        assert!(shows(&h, &condition("sediment_light").name), "{id}");
    }
}

#[test]
fn the_basis_of_a_statement_is_shown_on_demand() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    assert!(!shows(&h, &tr("basis-memory")));
    press(&mut h, &tr("atlas-basis"));
    assert!(h.query_all_by_label(&tr("basis-memory")).count() >= 5);
}

#[test]
fn severity_and_time_drive_each_other_until_they_are_parted() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    let law = condition("pos_sulfate_sparkle").growth;
    let by_law = |months: f64| 100.0 * law.severity_after(months, 1.0).unwrap().value();
    push(&mut h, "atlas-months", Key::ArrowRight, 8);
    let months = slider(&h, "atlas-months");
    assert!((severity(&h) - by_law(months)).abs() < 1.1, "{} {months}", severity(&h));
    push(&mut h, "condition-slider", Key::ArrowLeft, 30);
    let (s, less) = (severity(&h), slider(&h, "atlas-months"));
    assert!(less < months && (s - by_law(less)).abs() < 1.5, "{s} {less}");
    press(&mut h, &tr("atlas-linked"));
    push(&mut h, "condition-slider", Key::ArrowRight, 20);
    assert_eq!(slider(&h, "atlas-months"), less);
    assert!(severity(&h) > s + 15.0);
}

#[test]
fn warmth_makes_growth_faster_and_leaves_sulfate_alone() {
    let mut h = atlas();
    find(&mut h, &condition("pos_plate_growth").name);
    let before = severity(&h);
    push(&mut h, "atlas-celsius", Key::ArrowRight, 10);
    assert!(severity(&h) > before + 5.0, "{} {before}", severity(&h));
    let mut h = atlas();
    find(&mut h, "fine sugar");
    let before = severity(&h);
    push(&mut h, "atlas-celsius", Key::ArrowRight, 10);
    assert_eq!(severity(&h), before);
}

#[test]
fn several_conditions_stand_on_one_cell_with_their_severities() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    press(&mut h, &tr("atlas-add"));
    let other = condition("sediment_light");
    press_anywhere(&mut h, &other.name);
    let chip = |id: &str| {
        let values = [("name", &*condition(id).name), ("grade", &*tr("grade-3"))];
        tr_with("atlas-chip", &values)
    };
    assert!(shows(&h, &chip("pos_sulfate_sparkle")) && shows(&h, &chip("sediment_light")));
    assert!(shows(&h, &other.see.text), "the new one is described");
    let drawing = labels(&h).into_iter().find(|l| l.starts_with("Drawing of the cell")).unwrap();
    assert!(drawing.contains(&other.name), "{drawing}");
    press(&mut h, &chip("pos_sulfate_sparkle"));
    assert!(shows(&h, &condition("pos_sulfate_sparkle").see.text));
    press(&mut h, &tr_with("atlas-take-off", &[("name", &other.name)]));
    assert!(!shows(&h, &chip("sediment_light")));
}

#[test]
fn only_designs_that_can_have_it_are_offered() {
    let mut h = atlas();
    let c = condition("tube_burst");
    find(&mut h, &c.name);
    let catalogue = Catalogue::builtin();
    let start = format!("{}: ", tr("study-design"));
    let now = labels(&h).into_iter().find(|l| l.starts_with(&start)).unwrap();
    press(&mut h, &now);
    for design in catalogue.designs.values() {
        let can = catalogue.can_occur(design, c);
        let offered = shows(&h, &design.name) || now.ends_with(&design.name);
        assert_eq!(offered, can, "{}", design.name);
    }
}

#[test]
fn a_part_of_study_leads_to_its_conditions_and_back() {
    let mut h = atlas();
    press(&mut h, &tr("page-study"));
    h.get_by_label("Retainer mats: 12").click();
    steps(&mut h);
    let mat = Catalogue::builtin().conditions.iter().find(|c| {
        c.parts.iter().any(|p| p.as_str() == "retainer_mat")
            && Catalogue::builtin().designs.values().all(|d| Catalogue::builtin().can_occur(d, c))
    });
    let mat = mat.unwrap();
    press_anywhere(&mut h, &tr_with("atlas-open", &[("name", &mat.name)]));
    assert!(shows(&h, &mat.see.text));
    let part = Catalogue::builtin().part("retainer_mat").unwrap();
    press_anywhere(&mut h, &tr_with("atlas-to-part", &[("part", &part.name)]));
    assert!(shows(&h, &part.what.text));
}

#[test]
fn a_part_of_the_drawing_limits_the_list_to_what_can_be_on_it() {
    let mut h = atlas();
    press_anywhere(&mut h, "Positive plate 3");
    let plate = Catalogue::builtin().part("positive_plate").unwrap();
    assert!(shows(&h, &tr_with("atlas-only-part", &[("part", &plate.name)])));
    assert!(shows(&h, &condition("pos_sulfate_sparkle").name));
    assert!(!shows(&h, &condition("sediment_light").name));
    press(&mut h, &tr("atlas-all-parts"));
    assert!(shows(&h, &condition("sediment_light").name));
}

#[test]
fn a_cause_is_read_about_and_leads_on() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    let cause = Catalogue::builtin().mechanism("m_undercharge").unwrap();
    let share = tr_with("atlas-share", &[("percent", "60")]);
    let link = tr_with("atlas-to-cause", &[("name", &cause.name), ("share", &share)]);
    press_anywhere(&mut h, &link);
    assert!(shows(&h, &cause.what.text));
    let haze = condition("neg_sulfate_haze");
    press_anywhere(&mut h, &tr_with("atlas-open", &[("name", &haze.name)]));
    assert!(shows(&h, &haze.see.text));
}

#[test]
fn every_entry_opens_and_draws_on_its_design() {
    let mut h = atlas();
    for c in &Catalogue::builtin().conditions {
        press_anywhere(&mut h, &c.name);
        assert!(shows(&h, &c.see.text), "{}", c.name);
        assert!(!shows(&h, &tr("study-cannot-draw")), "{}", c.name);
    }
}

#[test]
fn the_three_stand_side_by_side_and_zoom_together() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    choose(&mut h, "atlas-shown", "shown-compare");
    let drawings = |h: &Window| {
        labels(h).into_iter().filter(|l| l.starts_with("Drawing of")).collect::<Vec<_>>()
    };
    let three = drawings(&h);
    assert_eq!(three.len(), 3, "{three:?}");
    assert!(three[0].starts_with("Drawing of a healthy cell"));
    assert!(three[1].contains(&condition("pos_sulfate_sparkle").name));
    assert!(three[2].contains(&condition("h_clinging_bubbles").name));
    assert!(shows(&h, &condition("pos_sulfate_sparkle").confused[0].tell));
    press(&mut h, &tr("atlas-outlines"));
    choose(&mut h, "atlas-shown", "shown-grades");
    assert_eq!(drawings(&h).len(), 5);
    choose(&mut h, "atlas-shown", "shown-years");
    let years = drawings(&h);
    assert_eq!(years.len(), 8);
    assert!(years[0].starts_with("Drawing of a healthy cell"), "{}", years[0]);
    assert!(years[7].contains(&condition("sediment_light").name), "{}", years[7]);
}

#[test]
fn b_turns_the_drawing_into_the_normal_one_and_back() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    let healthy = |h: &Window| labels(h).iter().any(|l| l.starts_with("Drawing of a healthy"));
    assert!(!healthy(&h));
    // The search has the keyboard.
    h.key_press(Key::Tab);
    steps(&mut h);
    h.key_press(Key::B);
    steps(&mut h);
    assert!(healthy(&h));
    h.key_press(Key::B);
    steps(&mut h);
    assert!(!healthy(&h));
}

#[test]
fn reduced_motion_stops_what_blinks_by_itself() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    press(&mut h, &tr("atlas-blink"));
    let turns = |h: &mut Window| {
        let mut sides = Vec::new();
        // The clock of a test goes a quarter of a second a frame at most.
        for _ in 0..40 {
            h.step();
            sides.push(labels(h).iter().any(|l| l.starts_with("Drawing of a healthy")));
        }
        sides.windows(2).filter(|w| w[0] != w[1]).count()
    };
    let moving = turns(&mut h);
    assert!(moving > 0, "it blinks");
    h.key_press(Key::F1);
    steps(&mut h);
    press_anywhere(&mut h, &tr("help-still"));
    press_anywhere(&mut h, &tr("help-close"));
    assert!(!shows(&h, &tr("help-title")));
    assert_eq!(turns(&mut h), 0);
}

#[test]
fn two_questions_are_answered_in_place_and_say_why() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    let c = condition("pos_sulfate_sparkle");
    let catalogue = Catalogue::builtin();
    let design = catalogue.designs.values().find(|d| d.id.as_str() == "medium_pasted").unwrap();
    let two = jarlight_scenario::quiz::two(catalogue, design, c, 0);
    assert!(shows(&h, &tr("quiz-title")));
    for (quiz, verdict) in two.iter().zip(["verdict-right", "verdict-wrong"]) {
        assert!(shows(&h, &quiz.stem), "{}", quiz.stem);
        assert!(!shows(&h, &tr(verdict)));
        let right = verdict == "verdict-right";
        let at = if right { quiz.right } else { (quiz.right + 1) % quiz.options.len() };
        // Names of conditions stand in the list as well.
        let choice = &quiz.options[at].text;
        h.get_by_role_and_label(Role::RadioButton, choice).click_accesskit();
        steps(&mut h);
        assert!(shows(&h, &tr(verdict)), "{choice}");
        assert!(shows(&h, &quiz.options[at].tell), "{}", quiz.options[at].tell);
    }
    press_anywhere(&mut h, &tr("quiz-again"));
    assert!(!shows(&h, &tr("verdict-right")) && !shows(&h, &tr("verdict-wrong")));
}

/// Whether anything on the screen has a word in it.
fn says(h: &Window, word: &str) -> bool {
    let word = word.to_lowercase();
    h.query_all(egui_kittest::kittest::By::new()).any(|n| {
        // Plain words are the value of their node, names of controls its label.
        let node = n.accesskit_node();
        let said = [node.label(), node.value()];
        said.into_iter().flatten().any(|s| s.to_lowercase().contains(&word))
    })
}

#[test]
fn a_page_for_a_room_keeps_its_answer_until_the_key() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    let c = condition("pos_sulfate_sparkle");
    press(&mut h, &tr("present-go"));
    assert!(shows(&h, &tr("present-look")));
    assert!(!says(&h, &c.name) && !says(&h, "sulfate"), "{:?}", labels(&h));
    h.key_press(Key::Space);
    steps(&mut h);
    assert!(says(&h, &c.name) && shows(&h, &c.see.text));
    h.key_press(Key::Escape);
    steps(&mut h);
    assert!(shows(&h, &tr("atlas-search")) && !shows(&h, &tr("present-look")));
}

#[test]
fn pages_are_kept_and_turned_with_the_arrow_keys() {
    let mut h = atlas();
    find(&mut h, "fine sugar");
    press(&mut h, &tr("present-keep"));
    assert!(says(&h, "1 page kept"));
    h.get_by_role_and_label(Role::TextInput, &tr("atlas-search")).focus();
    steps(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.key_press(Key::Backspace);
    steps(&mut h);
    press_anywhere(&mut h, &condition("sediment_light").name);
    press(&mut h, &tr("present-keep"));
    assert!(says(&h, "2 pages kept"));
    press(&mut h, &tr("present-all"));
    let place = |n: &str| tr_with("present-place", &[("n", n), ("total", "2")]);
    assert!(shows(&h, &place("1")));
    for (key, n) in [(Key::ArrowRight, "2"), (Key::ArrowRight, "2"), (Key::PageUp, "1")] {
        h.key_press(key);
        steps(&mut h);
        assert!(shows(&h, &place(n)), "{key:?}");
    }
}

#[test]
fn a_question_for_a_room_names_no_part_before_its_answer() {
    let mut h = atlas();
    press(&mut h, &tr("page-questions"));
    let start = format!("{}: ", tr("present-go"));
    let first = labels(&h).into_iter().find(|l| l.starts_with(&start)).unwrap();
    press(&mut h, &first);
    assert!(shows(&h, &tr("present-answer")));
    let ids = |h: &Window| {
        let all = h.query_all(egui_kittest::kittest::By::new());
        all.filter(|n| n.accesskit_node().author_id().is_some()).count()
    };
    assert_eq!(ids(&h), 0);
    let before = labels(&h).len();
    h.key_press(Key::Space);
    steps(&mut h);
    assert!(shows(&h, &tr("present-hide")));
    assert!(labels(&h).len() > before, "the answer is told");
    h.key_press(Key::ArrowRight);
    steps(&mut h);
    assert!(shows(&h, &tr("present-answer")));
}
