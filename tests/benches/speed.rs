//! How long the slow things take; run by hand and by `./test --long`, noted in docs/measured.md.

#![expect(clippy::unwrap_used, reason = "a measurement that fails has nothing to say")]
#![expect(clippy::print_stdout, reason = "the table is what it is run for")]

use jarlight_geometry::{
    draw::{self, Options, View},
    palette::{Palettes, Role, Theme},
    pdf, png,
    svg::{self, Page, Unit},
};
use jarlight_model::{
    catalogue::{Catalogue, builtin_designs, builtin_sources},
    id::Slug,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use jarlight_rules::{Cell, Evidence, Network, Seen, explain::reason, infer};
use jarlight_scenario::{Scenario, shipped};
use kurbo::Affine;
use std::{
    hint::black_box,
    time::{Duration, Instant},
};

/// The median of several runs.
fn time<T>(what: &str, mut act: impl FnMut() -> T) {
    let mut taken: Vec<Duration> = (0..9)
        .map(|_| {
            let start = Instant::now();
            black_box(act());
            start.elapsed()
        })
        .collect();
    taken.sort_unstable();
    let ms = taken[taken.len() / 2].as_secs_f64() * 1e3;
    println!("| {what} | {ms:.2} ms |");
}

fn main() {
    let catalogue = Catalogue::builtin();
    let design = &catalogue.designs["medium_pasted"];
    let mut specimen = Specimen::healthy(Slug::parse("medium_pasted").unwrap());
    for condition in catalogue.conditions.iter().filter(|c| !c.overlay.is_empty()) {
        specimen.occurrences.push(Occurrence {
            condition: condition.id.value.clone(),
            severity: Severity::new(0.5).unwrap(),
            place: None,
        });
    }
    let healthy = Specimen::healthy(Slug::parse("medium_pasted").unwrap());
    let scene = |specimen: &Specimen| {
        let (view, options) = (View::Edge, Options::default());
        let request = draw::Request { catalogue, design, specimen, view, px_per_mm: 2.5, options };
        draw::scene(&request)
    };
    time("draw a healthy cell", || scene(&healthy).unwrap());
    if scene(&specimen).is_ok() {
        time("draw a cell with every condition at 0.5", || scene(&specimen).unwrap());
    }

    let drawn = scene(&healthy).unwrap().transformed(Affine::scale(2.5));
    let names = |part: &str| catalogue.name_of(part);
    let page = Page {
        width: drawn.bounds.width(),
        height: drawn.bounds.height(),
        title: "Speed",
        background: Some(Role::Page),
        unit: Unit::Px,
        lamp: None,
        names: &names,
    };
    let palette = Palettes::builtin().theme(Theme::Light);
    let text = svg::write(&drawn, palette, &page);
    time("write it as SVG", || svg::write(&drawn, palette, &page));
    time("write it as PNG, twice the size", || png::write(&text, 2.0).unwrap());
    time("write it as PDF", || pdf::write(&drawn, palette, &page).unwrap());
    let middle = drawn.bounds.center();
    time("pick what is under a point, 1000 times", || {
        (0..1000).filter_map(|_| drawn.pick(black_box(middle))).count()
    });

    let mut all = builtin_sources();
    all.extend(builtin_designs());
    time("read and check the whole catalogue", || Catalogue::load(&all));
    time("read and check the shipped scenarios", || {
        shipped().iter().map(|s| Scenario::read(s, catalogue).diagnostics.len()).sum::<usize>()
    });

    let network = Network::from_catalogue(catalogue, &Cell::of_design(design, 108.0)).unwrap();
    let mut evidence = Evidence::new();
    for finding in (0..network.findings().len()).step_by(network.findings().len() / 10).take(10) {
        evidence.set(finding, Seen::grade(1));
    }
    time("infer from ten positive findings", || infer(&network, &evidence).unwrap());
    time("the same with weights and next looks", || reason(&network, &evidence).unwrap());
}
