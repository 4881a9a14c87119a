//! The study page without a screen: designs, views, walks and dimensions.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic as tests do")]

mod common;

use common::{Window, open_window, shows};
use eframe::App as _;
use egui::{Key, Role, accesskit};
use egui_kittest::{
    Node,
    kittest::{NodeT as _, Queryable as _},
};
use jarlight_app::{App, Library};
use jarlight_geometry::draw::{self, Options, Request, View};
use jarlight_model::{
    catalogue::Catalogue,
    specimen::Specimen,
    text::{tr, tr_with},
    unit::{Units, length_text},
};
use std::collections::BTreeMap;

/// What is noted between two starts.
#[derive(Clone, Default)]
struct Notes(BTreeMap<String, String>);

impl eframe::Storage for Notes {
    fn get_string(&self, key: &str) -> Option<String> {
        self.0.get(key).cloned()
    }
    fn set_string(&mut self, key: &str, value: String) {
        self.0.insert(key.to_owned(), value);
    }
    fn remove_string(&mut self, key: &str) {
        self.0.remove(key);
    }
    fn flush(&mut self) {}
}

fn study() -> Window {
    study_of([1280.0, 1000.0], Notes::default())
}

fn study_of(size: [f32; 2], notes: Notes) -> Window {
    let mut h = window(size, notes);
    press(&mut h, &tr("page-study"));
    h
}

/// The window on its first page.
fn window(size: [f32; 2], notes: Notes) -> Window {
    open_window(size, None, move |services, ctx| {
        let mut app = App::new(services, Library::default(), Vec::new(), ctx);
        app.restore(&notes, ctx);
        app
    })
}

fn says(h: &Window, words: &str) -> bool {
    h.query_all_by_label_contains(words).next().is_some()
}

fn look_from(h: &mut Window, view: &str) {
    // A group of the list is called Rack as well.
    h.get_by_role_and_label(Role::RadioButton, &tr(view)).click();
    steps(h);
}

fn key(h: &mut Window, key: Key) {
    h.key_press(key);
    h.step();
}

fn press(h: &mut Window, label: &str) {
    h.get_all_by_label(label).next().unwrap().click();
    steps(h);
}

fn steps(h: &mut Window) {
    for _ in 0..4 {
        h.step();
    }
}

fn drawn(h: &Window, part: &str) -> Vec<(String, bool)> {
    let nodes: Vec<Node<'_>> = h.query_all(egui_kittest::kittest::By::new()).collect();
    let start = format!("{part}-");
    nodes
        .iter()
        .filter_map(|n| {
            let n = n.accesskit_node();
            let id = n.author_id().filter(|id| id.starts_with(&start))?.to_owned();
            Some((id, n.toggled() == Some(accesskit::Toggled::True)))
        })
        .collect()
}

#[test]
fn another_design_is_drawn() {
    let mut h = study();
    assert!(drawn(&h, "tube_gauntlet").is_empty());
    assert_eq!(drawn(&h, "positive_plate").len(), 6);
    let designs = &Catalogue::builtin().designs;
    let large = designs.values().find(|d| d.id.as_str() == "large_tall_pasted").unwrap();
    choose_design(&mut h, &large.name);
    assert_eq!(drawn(&h, "positive_plate").len(), large.plates.positives as usize);
}

#[test]
fn every_view_is_drawn_and_says_what_is_schematic() {
    let mut h = study();
    for (view, caption) in [
        ("view-peeled", "caption-peeled"),
        ("view-row", "caption-row"),
        ("view-rack", "caption-rack"),
        ("view-plan", "caption-plan"),
        ("view-face", "caption-face"),
        ("view-edge", "caption-edge"),
    ] {
        look_from(&mut h, view);
        assert!(says(&h, &tr(caption)), "{view}");
        assert!(!shows(&h, &tr("study-cannot-draw")), "{view}");
        assert_eq!(shows(&h, &tr("study-peel")), view == "view-peeled", "{view}");
    }
}

#[test]
fn each_switch_of_the_drawing_is_said_in_the_caption() {
    let mut h = study();
    let name = Catalogue::builtin().designs.values().find(|d| d.id.as_str() == "large_tall_pasted");
    choose_design(&mut h, &name.unwrap().name);
    press(&mut h, &tr("study-manner"));
    for (switch, caption, on) in [
        ("study-cut-strap", "caption-cut", true),
        ("study-front-bar-off", "caption-front-bar", true),
        ("study-post-cut", "caption-post-cut", false),
        ("study-element-only", "caption-element", false),
    ] {
        assert_eq!(says(&h, &tr(caption)), on, "{switch}");
        press(&mut h, &tr(switch));
        assert_eq!(says(&h, &tr(caption)), !on, "{switch}");
    }
    assert!(drawn(&h, "jar").is_empty() && !drawn(&h, "positive_plate").is_empty());
    press(&mut h, &tr("study-element-only"));
    assert!(!drawn(&h, "post_copper_insert").is_empty(), "the post is cut open");
    press(&mut h, &tr("study-post-cut"));
    assert!(drawn(&h, "post_copper_insert").is_empty());
    assert!(says(&h, &tr("caption-true")) && !says(&h, &tr("caption-schematic")));
    h.get_by_role_and_label(Role::Slider, &tr("study-stretch")).focus();
    steps(&mut h);
    for _ in 0..30 {
        key(&mut h, Key::ArrowRight);
    }
    steps(&mut h);
    let stretched = tr_with("caption-stretched", &[("times", "1.5")]);
    assert!(says(&h, &stretched) && says(&h, &tr("caption-schematic")));
    assert!(!says(&h, &tr("caption-true")));
}

fn choose_design(h: &mut Window, name: &str) {
    let start = format!("{}: ", tr("study-design"));
    let list: Vec<_> = h.query_all_by_label_contains(&start).collect();
    list[0].click();
    drop(list);
    steps(h);
    press(h, name);
}

#[test]
fn a_walk_points_out_its_parts_by_button_and_by_key() {
    let mut h = study();
    let walk = Catalogue::builtin().walks.iter().find(|w| w.id.value.as_str() == "polarity_cues");
    let walk = walk.unwrap();
    press(&mut h, &tr("study-tab-walks"));
    press(&mut h, &walk.title);
    assert!(shows(&h, &walk.steps[0].say.text));
    press(&mut h, &tr("walk-next"));
    assert!(shows(&h, &walk.steps[1].say.text));
    let first = walk.steps[1].parts[0].value.as_str();
    assert!(drawn(&h, first).iter().any(|(_, on)| *on), "{first} is pointed out");
    for (key, step) in [(Key::PageDown, 2), (Key::PageUp, 1), (Key::ArrowRight, 2)] {
        h.key_press(key);
        steps(&mut h);
        assert!(shows(&h, &walk.steps[step].say.text), "{key:?}");
    }
}

#[test]
fn a_neighbour_is_gone_to() {
    let mut h = study();
    h.get_by_label("Retainer mats: 12").click();
    steps(&mut h);
    let catalogue = Catalogue::builtin();
    let (_, other) = catalogue.neighbours("retainer_mat")[0];
    let end = format!(": {}", other.name);
    let to: Vec<String> = h
        .query_all(egui_kittest::kittest::By::new())
        .filter_map(|n| n.accesskit_node().label())
        .filter(|l| l.ends_with(&end))
        .collect();
    // It may stand below the fold, where a click does not reach.
    h.get_by_label(&to[0]).click_accesskit();
    steps(&mut h);
    assert!(shows(&h, &other.what.text));
}

#[test]
fn a_size_that_cannot_be_shows_the_reason_and_reset_takes_it_back() {
    let mut h = study();
    press(&mut h, &tr("study-tab-sizes"));
    assert!(!shows(&h, &tr("sizes-impossible")));
    let before = drawn(&h, "positive_plate");
    h.get_by_role_and_label(Role::Slider, &tr("size-plates")).focus();
    steps(&mut h);
    for _ in 0..6 {
        h.key_press(Key::ArrowLeft);
        steps(&mut h);
    }
    // One plate leaves no room between its two posts.
    assert!(shows(&h, &tr("sizes-impossible")));
    assert!(says(&h, &tr("caption-last-good")));
    let top = |label: &str| h.get_by_role_and_label(Role::Slider, &tr(label)).rect().min.y;
    let said = h.get_by_label(&tr("sizes-impossible")).rect().min.y;
    assert!(top("size-plates") < said && said < top("size-width"), "it stands under its slider");
    assert!(!drawn(&h, "positive_plate").is_empty(), "the last good picture stays");
    assert!(drawn(&h, "positive_plate").len() < before.len(), "it followed as long as it could");
    press(&mut h, &tr("sizes-reset"));
    assert!(!shows(&h, &tr("sizes-impossible")));
    assert_eq!(drawn(&h, "positive_plate"), before);
}

#[test]
fn the_magnifier_follows_pointer_and_arrows_and_names_what_is_under_it() {
    let mut h = study();
    let under = |h: &Window| {
        let start = tr_with("magnifier-under", &[("what", "")]);
        let found = h.query_all_by_label_contains(start.trim()).next();
        found.and_then(|n| n.accesskit_node().value())
    };
    assert_eq!(under(&h), None);
    let plate = h.get_by_label("Positive plate 3").rect().center();
    h.hover_at(plate);
    steps(&mut h);
    key(&mut h, Key::M);
    h.hover_at(plate + egui::vec2(0.5, 0.0));
    steps(&mut h);
    assert_eq!(under(&h).unwrap(), "Under the magnifier: Positive plate 3");
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..40 {
        key(&mut h, Key::ArrowRight);
        steps(&mut h);
        seen.extend(under(&h));
    }
    assert!(seen.len() > 4, "the arrows move it over other parts: {seen:?}");
    key(&mut h, Key::M);
    steps(&mut h);
    assert_eq!(under(&h), None);
    h.get_by_label(&tr("study-search")).focus();
    steps(&mut h);
    h.get_by_label(&tr("study-search")).type_text("m");
    key(&mut h, Key::M);
    steps(&mut h);
    assert_eq!(under(&h), None, "typing is no command");
}

#[test]
fn design_view_units_and_part_are_known_at_the_next_start() {
    let mut h = study();
    let designs = &Catalogue::builtin().designs;
    let tubular = designs.values().find(|d| d.id.as_str() == "tubular").unwrap();
    choose_design(&mut h, &tubular.name);
    look_from(&mut h, "view-plan");
    let length = |units| length_text(tubular.plates.positive, units);
    assert!(says(&h, &length(Units::Metric)));
    press(&mut h, &tr("units-inch"));
    assert!(says(&h, &length(Units::Inch)) && !says(&h, &length(Units::Metric)));
    let mut notes = Notes::default();
    h.state_mut().save(&mut notes);
    let h = study_of([1280.0, 1000.0], notes);
    assert!(shows(&h, &format!("{}: {}", tr("study-design"), tubular.name)));
    assert!(says(&h, &tr("caption-plan")));
    assert!(says(&h, &length(Units::Inch)));
}

#[test]
fn what_has_no_label_is_counted_and_can_be_chosen() {
    let mut h = study_of([1280.0, 620.0], Notes::default());
    let is_count = |l: &String| l.ends_with("left out");
    let label = h.query_all_by_label_contains("left out").find_map(|n| n.accesskit_node().label());
    let label = label.filter(is_count).unwrap();
    let n: usize = label.split(' ').next().unwrap().parse().unwrap();
    press(&mut h, &label);
    assert!(shows(&h, &tr("study-left-out-how")));
    let shown = n + 24.min(drawn_parts(&h).len() - n);
    assert_eq!(shown, drawn_parts(&h).len(), "labels and list are all parts of the drawing");
}

fn drawn_parts(h: &Window) -> std::collections::BTreeSet<String> {
    let nodes = h.query_all(egui_kittest::kittest::By::new());
    let ids = nodes.filter_map(|n| n.accesskit_node().author_id().map(ToOwned::to_owned));
    ids.filter_map(|id| id.rsplit_once('-').map(|(part, _)| part.to_owned())).collect()
}

/// Ids of everything that is drawn with an area.
fn targets(design: &str, view: View, cells: u32) -> Vec<String> {
    let catalogue = Catalogue::builtin();
    let design = catalogue.designs.values().find(|d| d.id.as_str() == design).unwrap();
    let specimen = Specimen::healthy(design.id.clone());
    let options = Options { cells, ..Options::default() };
    let request = Request { catalogue, design, specimen: &specimen, view, px_per_mm: 0.5, options };
    let scene = draw::scene(&request).unwrap();
    let has_area = |t: u32| scene.outlines(t).next().is_some();
    let all = scene.targets.iter().enumerate();
    all.filter(|(i, _)| has_area(*i as u32)).map(|(_, t)| t.id()).collect()
}

#[test]
fn every_drawn_part_of_every_design_and_view_is_spoken_of() {
    let mut h = study();
    for design in Catalogue::builtin().designs.values() {
        if !shows(&h, &format!("{}: {}", tr("study-design"), design.name)) {
            choose_design(&mut h, &design.name);
        }
        for view in View::ALL {
            look_from(&mut h, &format!("view-{}", view.name()));
            let names: BTreeMap<String, String> = h
                .query_all(egui_kittest::kittest::By::new())
                .filter_map(|n| {
                    let n = n.accesskit_node();
                    Some((n.author_id()?.to_owned(), n.label().unwrap_or_default()))
                })
                .collect();
            let cells = if view == View::Rack { 60 } else { 3 };
            for id in targets(design.id.as_str(), view, cells) {
                let name = names.get(&id).map_or("", String::as_str);
                assert!(!name.is_empty() && name != id, "{} {view:?} {id}: {name}", design.id);
            }
        }
    }
}

#[test]
fn the_keyboard_reaches_every_part_and_leaps_over_all_of_them() {
    let mut h = study();
    let focused = |h: &Window| {
        let nodes = h.query_all(egui_kittest::kittest::By::new());
        let id = |n: &Node<'_>| n.accesskit_node().author_id().map(ToOwned::to_owned);
        nodes.filter(|n| n.accesskit_node().is_focused()).find_map(|n| id(&n))
    };
    key(&mut h, Key::F6);
    steps(&mut h);
    assert!(h.get_by_label(&tr("study-search")).accesskit_node().is_focused());
    key(&mut h, Key::F6);
    steps(&mut h);
    let wanted = targets("medium_pasted", View::Edge, 3);
    let mut reached = std::collections::BTreeSet::new();
    for _ in 0..wanted.len() + 2 {
        key(&mut h, Key::Tab);
        h.step();
        reached.extend(focused(&h));
    }
    let missed: Vec<_> = wanted.iter().filter(|id| !reached.contains(*id)).collect();
    assert!(missed.is_empty(), "{missed:?}");
    key(&mut h, Key::F6);
    steps(&mut h);
    let name = tr("study-tab-part");
    let tab = h.get_by_role_and_label(Role::RadioButton, &name);
    assert!(tab.accesskit_node().is_focused());
}

#[test]
fn a_window_left_alone_is_not_painted_again() {
    let mut h = study();
    for view in View::ALL {
        look_from(&mut h, &format!("view-{}", view.name()));
        settle(&mut h);
        for _ in 0..3 {
            h.step();
            let output = h.output();
            let delay = output.viewport_output[&egui::ViewportId::ROOT].repaint_delay;
            let causes = h.ctx.repaint_causes();
            assert!(delay > std::time::Duration::from_secs(3600), "{view:?}: {causes:?}");
        }
    }
}

fn settle(h: &mut Window) {
    for _ in 0..60 {
        h.step();
    }
}

#[test]
fn large_text_leaves_room_for_the_drawing_and_nothing_in_the_bar_overlaps() {
    for (size, percent) in [([1280.0, 800.0], 150), ([1280.0, 800.0], 200), ([1920.0, 1200.0], 200)]
    {
        let mut notes = Notes::default();
        notes.0.insert("text".to_owned(), percent.to_string());
        let mut h = window(size, notes);
        go_to_study(&mut h);
        let bar: Vec<_> = h
            .query_all(egui_kittest::kittest::By::new())
            .filter(|n| {
                let role = n.accesskit_node().role();
                matches!(role, Role::Button | Role::Tab | Role::RadioButton | Role::CheckBox)
                    && n.rect().max.y <= 0.52 * percent as f32
            })
            .map(|n| (n.accesskit_node().label().unwrap_or_default(), n.rect()))
            .collect();
        assert!(bar.len() > 2, "{bar:?}");
        for (i, (a, r)) in bar.iter().enumerate() {
            for (b, s) in &bar[i + 1..] {
                let shared = r.intersect(*s);
                let apart = shared.width() < 0.5 || shared.height() < 0.5;
                assert!(apart, "{percent} %: {a} and {b} overlap: {r:?} {s:?}");
            }
        }
        let title = tr_with("study-drawing", &[("view", &tr("view-edge"))]);
        let drawing = h.get_by_label(&title).rect();
        let window = egui::Rect::from_min_size(egui::Pos2::ZERO, size.into());
        assert!(window.contains_rect(drawing), "{percent} %: {drawing:?}");
        let share = drawing.area() / window.area();
        assert!(share > 0.2, "{percent} %: the drawing has {share} of the window");
    }
}

/// From wherever the window is, through the list of pages where the bar has no room for them.
fn go_to_study(h: &mut Window) {
    // Where the bar is narrow, the pages lie in a list.
    let list = format!("{}: {}", tr("bar-pages"), tr("page-start"));
    if shows(h, &list) {
        press(h, &list);
    }
    press(h, &tr("page-study"));
}

#[test]
fn a_rack_of_the_largest_cells_zooms_into_one_whole_cell_and_back() {
    let mut h = study();
    let designs = &Catalogue::builtin().designs;
    let large = designs.values().find(|d| d.id.as_str() == "large_tall_pasted").unwrap();
    choose_design(&mut h, &large.name);
    look_from(&mut h, "view-rack");
    assert!(drawn(&h, "separator").is_empty(), "from afar");
    assert_eq!(drawn(&h, "jar").len(), 60);
    for _ in 0..17 {
        key(&mut h, Key::Plus);
    }
    steps(&mut h);
    let near = drawn(&h, "separator").len();
    assert!(near > 0, "nearby cells are drawn whole");
    assert!(near < 60 * 24, "and only those");
    assert_eq!(drawn(&h, "jar").len(), 60, "no cell is lost");
    key(&mut h, Key::Num0);
    steps(&mut h);
    assert!(drawn(&h, "separator").is_empty(), "from afar again");
}
