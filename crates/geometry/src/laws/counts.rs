//! What a written file holds is what the design says: counted by ids, as a reader of the file
//! would.

use super::{IDS, fixed, healthy, legal_design};
use crate::{
    draw::{
        Options, View,
        tests::{assert_inside, edge_counts},
    },
    palette::{Palettes, Theme},
    scene::Scene,
    svg::{self, Page, Unit},
};
use jarlight_model::{catalogue::Catalogue, design::Design};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// The parts of a written figure with their numbers.
fn written(scene: &Scene) -> BTreeMap<String, BTreeSet<u32>> {
    let page = Page {
        width: scene.bounds.width(),
        height: scene.bounds.height(),
        title: "Count",
        background: None,
        unit: Unit::Mm,
        lamp: None,
        names: &|id| id.to_owned(),
    };
    let text = svg::write(scene, Palettes::builtin().theme(Theme::Light), &page);
    let mut found: BTreeMap<String, BTreeSet<u32>> = BTreeMap::new();
    for group in text.split("<g id=\"").skip(1) {
        let (id, rest) = group.split_once('"').unwrap();
        let part = rest.strip_prefix(" data-part=\"").and_then(|r| r.split_once('"')).unwrap().0;
        let (of, number) = id.rsplit_once('-').unwrap();
        assert_eq!(of, part);
        let new = found.entry(part.to_owned()).or_default().insert(number.parse().unwrap());
        assert!(new, "{id} is there twice");
    }
    found
}

fn check(design: &Design, view: View, wanted: &[(&str, usize)]) {
    let scene = healthy(design, view, Options::default());
    let met = written(&scene);
    for (part, n) in wanted {
        let numbers: Vec<u32> = met.get(*part).into_iter().flatten().copied().collect();
        let all: Vec<u32> = (1..=*n as u32).collect();
        assert_eq!(numbers, all, "{} {view:?} {part}", design.id);
    }
}

/// Every view from the design alone.
fn check_views(design: &Design) {
    let (each, bars) = (design.posts.each as usize, design.connector.bars as usize);
    let cells = design.jar.cells as usize;
    check(design, View::Edge, &edge_counts(design));
    let plan = [
        ("post_positive", each),
        ("post_negative", each),
        ("flame_arrestor", cells),
        ("intercell_connector", 4 * each * bars),
    ];
    check(design, View::Plan, &plan);
    let row: Vec<(&str, usize)> = edge_counts(design)
        .into_iter()
        .filter(|(part, _)| !matches!(*part, "rack_rail" | "rail_insulator"))
        .map(|(part, n)| (part, 3 * n))
        .chain([
            ("intercell_connector", 2 * each),
            ("terminal_plate", 2),
            ("inter_tier_cable", 2),
            ("seismic_spacer", 2),
        ])
        .collect();
    check(design, View::Row, &row);
}

#[test]
fn files_of_shipped_designs_hold_what_the_designs_say() {
    for id in IDS {
        check_views(&Catalogue::builtin().designs[id]);
    }
}

proptest! {
    #![proptest_config(fixed(200))]

    #[test]
    fn files_of_any_design_hold_what_it_says_and_draw_it_inside_its_jar(design in legal_design()) {
        check_views(&design);
        assert_inside(&design);
    }
}
