//! The study page without a screen: designs, views, walks and dimensions.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic as tests do")]

use egui::{Key, Role, accesskit};
use egui_kittest::{
    Harness, Node,
    kittest::{NodeT as _, Queryable as _},
};
use jarlight_app::{App, Fixed, Library, Services};
use jarlight_model::{catalogue::Catalogue, text::tr};
use std::sync::Arc;

type Window = Harness<'static, App>;

fn study() -> Window {
    let catalogue = Arc::new(Catalogue::builtin().clone());
    let mut h = Harness::builder()
        .with_size([1280.0, 1000.0])
        .with_pixels_per_point(1.0)
        .with_os(egui::os::OperatingSystem::Nix)
        .with_max_steps(40)
        .build_eframe(move |cc| {
            let fixed = Fixed { now_ms: Some(1_700_000_000_000), seed: Some(7) };
            let services = Services::new(catalogue, None, fixed, &cc.egui_ctx);
            App::new(services, Library::default(), Vec::new(), &cc.egui_ctx)
        });
    h.step();
    h.step();
    press(&mut h, &tr("page-study"));
    h
}

fn shows(h: &Window, label: &str) -> bool {
    h.query_all_by_label(label).next().is_some()
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
    let names = &Catalogue::builtin().designs;
    let name = |id: &str| names.values().find(|d| d.id.as_str() == id).unwrap().name.clone();
    press(&mut h, &format!("{}: {}", tr("study-design"), name("medium_pasted")));
    press(&mut h, &name("large_tall_pasted"));
    let large = names.values().find(|d| d.id.as_str() == "large_tall_pasted").unwrap();
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
        ("view-edge", "caption-edge-cut"),
    ] {
        // A group of the list is called Rack as well.
        h.get_by_role_and_label(Role::RadioButton, &tr(view)).click();
        steps(&mut h);
        assert!(shows(&h, &tr(caption)), "{view}");
        assert!(!shows(&h, &tr("study-cannot-draw")), "{view}");
        assert_eq!(shows(&h, &tr("study-peel")), view == "view-peeled", "{view}");
    }
    press(&mut h, &tr("study-cut-strap"));
    assert!(shows(&h, &tr("caption-edge")));
    press(&mut h, &tr("study-element-only"));
    assert!(shows(&h, &tr("caption-element")));
    assert!(drawn(&h, "jar").is_empty() && !drawn(&h, "positive_plate").is_empty());
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
    assert!(!drawn(&h, "positive_plate").is_empty(), "the last good picture stays");
    assert!(drawn(&h, "positive_plate").len() < before.len(), "it followed as long as it could");
    press(&mut h, &tr("sizes-reset"));
    assert!(!shows(&h, &tr("sizes-impossible")));
    assert_eq!(drawn(&h, "positive_plate"), before);
}
