//! Every condition has a picture: it differs from the healthy one, grows, and stays in bounds.

use super::*;
use crate::{
    draw::{Options, scene},
    scene::{Form, Paint, Prim, Scene},
};
use jarlight_model::{
    catalogue::{Condition, Overlay},
    design::Design,
    id::Slug,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use kurbo::{Rect, Shape as _};
use std::collections::{BTreeMap, BTreeSet};

fn draw(design: &Design, view: View, on: Option<(&Condition, f64)>) -> Scene {
    let mut specimen = Specimen::healthy(Slug::parse(&design.id).unwrap());
    specimen.seed = 41;
    if let Some((c, severity)) = on {
        specimen.occurrences.push(Occurrence {
            condition: c.id.value.clone(),
            severity: Severity::clamped(severity),
            place: None,
        });
    }
    let request = Request {
        catalogue: Catalogue::builtin(),
        design,
        specimen: &specimen,
        view,
        px_per_mm: 1.0,
        options: Options::default(),
    };
    scene(&request).unwrap()
}

fn medium() -> &'static Design {
    Catalogue::builtin().designs.get("medium_pasted").unwrap()
}

/// The views to compare; the row repeats the view from the aisle, so it is left out where a
/// condition says nothing of neighbours.
fn views_of(c: &Condition) -> Vec<View> {
    let mut list = Vec::new();
    for view in c.views.iter().flat_map(|v| views(*v)) {
        if !list.contains(view) {
            list.push(*view);
        }
    }
    let own = !c.overlay.iter().any(|s| s.words.iter().any(|w| w == "neighbours"));
    if own && list.contains(&View::Edge) {
        list.retain(|v| *v != View::Row);
    }
    list
}

fn can_occur(c: &Condition, design: &Design) -> bool {
    c.parts.iter().all(|p| Catalogue::builtin().has_part(design, &p.value))
}

/// What one picture has and the other has not.
fn only_in<'a>(a: &'a Scene, b: &Scene) -> Vec<&'a Prim> {
    // Things stand in nearly the same order, so that a look at the neighbours finds most.
    let mut used = vec![false; b.prims.len()];
    let mut from = 0;
    a.prims
        .iter()
        .filter(|p| {
            let n = b.prims.len();
            let hit = (0..n).map(|k| (from + k) % n).find(|k| !used[*k] && b.prims[*k] == **p);
            if let Some(k) = hit {
                used[k] = true;
                from = k + 1;
            }
            hit.is_none()
        })
        .collect()
}

/// How much two pictures differ: a part that is gone counts like one that is changed.
fn difference(healthy: &Scene, other: &Scene) -> usize {
    only_in(healthy, other).len().max(only_in(other, healthy).len())
}

fn extent(p: &Prim) -> Rect {
    match &p.form {
        Form::Path { path, .. } => path.bounding_box(),
        Form::Text(t) => Rect::from_center_size(t.at, (0.0, 0.0)),
    }
}

#[test]
fn families_are_sorted_and_each_is_used_by_a_condition() {
    let names: Vec<&str> = FAMILIES.iter().map(|(n, _)| *n).collect();
    assert!(names.windows(2).all(|w| w[0] < w[1]), "not sorted");
    let used: BTreeSet<&str> = Catalogue::builtin()
        .conditions
        .iter()
        .flat_map(|c| &c.overlay)
        .map(|step| step.family.value.as_str())
        .collect();
    let idle: Vec<&&str> = names.iter().filter(|n| !used.contains(**n)).collect();
    assert!(idle.is_empty(), "no condition uses {idle:?}");
}

#[test]
fn every_condition_has_a_recipe_of_known_words() {
    let catalogue = Catalogue::builtin();
    assert_eq!(catalogue.conditions.len(), 78);
    for c in &catalogue.conditions {
        assert!(!c.overlay.is_empty(), "{} has no recipe", c.id.as_str());
    }
    let found: String = unknown_words(catalogue).iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{found}");
}

#[test]
fn a_slip_of_the_pen_in_a_recipe_is_told() {
    let mut catalogue = Catalogue::builtin().clone();
    catalogue.conditions[0].overlay[0].family.value = "sparcle".to_owned();
    let found = unknown_families(&catalogue);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].help.as_deref(), Some("did you mean `sparkle`?"));
    assert_eq!(unknown_words(&catalogue).len(), 1);
}

#[test]
fn no_two_conditions_have_the_same_recipe() {
    let key = |steps: &[Overlay]| -> String {
        steps
            .iter()
            .map(|s| {
                let paint = s.paint.as_ref().map(|p| &p.value);
                let (family, on) = (&s.family.value, s.on.as_str());
                format!("{family} {on} {:?} {paint:?} {:?};", s.params, s.words)
            })
            .collect()
    };
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    for c in &Catalogue::builtin().conditions {
        if let Some(other) = seen.insert(key(&c.overlay), c.id.as_str()) {
            panic!("{} and {other} are drawn alike", c.id.as_str());
        }
    }
}

/// The picture that a severity is compared with: the healthy cell; for an absence the same
/// row while the condition has hardly begun.
fn reference(c: &Condition, view: View) -> Scene {
    let absence = c.overlay.iter().any(|s| s.words.iter().any(|w| w == "neighbours"));
    draw(medium(), view, absence.then_some((c, 0.001)))
}

#[test]
fn every_condition_differs_from_healthy_and_grows_with_severity() {
    let mut plain: BTreeMap<View, Scene> = BTreeMap::new();
    let mut faults = Vec::new();
    for c in &Catalogue::builtin().conditions {
        if !can_occur(c, medium()) {
            continue;
        }
        let absence = c.overlay.iter().any(|s| s.words.iter().any(|w| w == "neighbours"));
        let mut last = 0;
        for severity in [0.1, 0.5, 1.0] {
            let mut sum = 0;
            for view in views_of(c) {
                let own = absence.then(|| reference(c, view));
                let healthy = plain.entry(view).or_insert_with(|| draw(medium(), view, None));
                let healthy = own.as_ref().unwrap_or(healthy);
                let now = draw(medium(), view, Some((c, severity)));
                sum += difference(healthy, &now);
                for p in only_in(&now, healthy) {
                    let b = extent(p);
                    let room = now.bounds.inflate(2.0, 2.0);
                    let finite = [b.x0, b.y0, b.x1, b.y1].iter().all(|v| v.is_finite());
                    if !finite || room.union(b) != room {
                        faults.push(format!("{} {view:?} {severity}: {b:?}", c.id.as_str()));
                    }
                }
            }
            if sum == 0 {
                faults.push(format!("{} at {severity} looks healthy", c.id.as_str()));
            }
            if sum < last {
                faults.push(format!("{} shrinks from {last} to {sum}", c.id.as_str()));
            }
            last = sum;
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_design_can_be_drawn_with_each_condition_that_it_can_have() {
    let mut faults = Vec::new();
    for design in Catalogue::builtin().designs.values() {
        let mut plain: BTreeMap<View, Scene> = BTreeMap::new();
        for c in &Catalogue::builtin().conditions {
            if !can_occur(c, design) {
                continue;
            }
            let mut seen = false;
            for view in views_of(c) {
                let healthy = plain.entry(view).or_insert_with(|| draw(design, view, None));
                let now = draw(design, view, Some((c, 0.7)));
                let new = only_in(&now, healthy);
                seen |= !new.is_empty() || now.prims.len() != healthy.prims.len();
                let room = now.bounds.inflate(2.0, 2.0);
                for b in new.iter().map(|p| extent(p)).filter(|b| room.union(*b) != room) {
                    faults.push(format!("{} {} {view:?} {b:?}", design.id, c.id.as_str()));
                }
            }
            if !seen {
                faults.push(format!("{} {} looks healthy", design.id, c.id.as_str()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_same_seed_gives_the_same_marks_and_another_one_does_not() {
    let c = Catalogue::builtin().condition("jar_crazing").unwrap();
    assert_eq!(
        draw(medium(), View::Face, Some((c, 0.5))),
        draw(medium(), View::Face, Some((c, 0.5)))
    );
    let mut firsts = Vec::new();
    for count in [7.0, 7.6, 40.0] {
        let mut list = Vec::new();
        place::sown(count, 9, |i, grown, mut rng| list.push((i, rng.next_u64(), grown)));
        firsts.push(list);
    }
    // More marks leave the first ones as they are; only the last one still grows.
    assert_eq!(firsts[0].len(), 7);
    assert_eq!(firsts[0][..7], firsts[2][..7]);
    assert_eq!(firsts[1][..7], firsts[2][..7]);
    assert!(firsts[1][7].2 < 1.0 && firsts[1][7].1 == firsts[2][7].1);
}

#[test]
fn a_place_limits_marks_to_its_part() {
    let c = Catalogue::builtin().condition("grid_corrosion").unwrap();
    let healthy = draw(medium(), View::Edge, None);
    let mut specimen = Specimen::healthy(Slug::parse("medium_pasted").unwrap());
    specimen.seed = 41;
    specimen.occurrences.push(Occurrence {
        condition: c.id.value.clone(),
        severity: Severity::clamped(0.7),
        place: Some("positive_plate-3".to_owned()),
    });
    let request = Request {
        catalogue: Catalogue::builtin(),
        design: medium(),
        specimen: &specimen,
        view: View::Edge,
        px_per_mm: 1.0,
        options: Options::default(),
    };
    let now = scene(&request).unwrap();
    let on = |part: &str, number: u32| {
        only_in(&now, &healthy)
            .iter()
            .filter(|p| {
                let target = p.target.map(|t| &now.targets[t as usize]);
                // The shade is that of all positives; the damage is on one.
                target.is_some_and(|t| &*t.part == part && t.number == number)
            })
            .count()
    };
    assert!(on("positive_plate", 3) > on("positive_plate", 2) + 2);
}

/// What conditions do to a cell of this design before it is drawn.
fn with_effects<T>(id: &str, on: &[(&str, f64)], read: impl Fn(&Effects<'_>) -> T) -> T {
    let design = &Catalogue::builtin().designs[id];
    let mut specimen = Specimen::healthy(Slug::parse(id).unwrap());
    specimen.occurrences.extend(on.iter().map(|(id, severity)| Occurrence {
        condition: Slug::parse(id).unwrap(),
        severity: Severity::clamped(*severity),
        place: None,
    }));
    let request = Request {
        catalogue: Catalogue::builtin(),
        design,
        specimen: &specimen,
        view: View::Edge,
        px_per_mm: 1.0,
        options: Options::default(),
    };
    read(&Effects::of(&request))
}

/// Source: free way of the positives (1 mm of play where they stand; 9 and 10 mm to the rib
/// where they hang) taken off 0.5, 1, 2, 3.5 and 5 % of their height, half of that for spines.
#[test]
fn growth_lifts_the_post_by_what_finds_no_room() {
    for (id, wanted) in [
        ("small_three_cell_jar", [0.0, 0.5, 2.0, 4.25, 6.5]),
        ("tubular", [0.05, 1.1, 3.2, 6.35, 9.5]),
        ("medium_pasted", [0.0, 0.0, 0.0, 0.8, 5.0]),
        ("large_tall_pasted", [0.0, 0.0, 0.0, 7.5, 15.0]),
        ("plante", [0.0; 5]),
    ] {
        for (severity, mm) in [0.2, 0.4, 0.6, 0.8, 1.0].into_iter().zip(wanted) {
            let met =
                with_effects(id, &[("pos_plate_growth", severity)], |e| e.deformation.post_lift);
            assert!((met - mm).abs() < 1e-6, "{id} at {severity}: {met}");
        }
    }
}

#[test]
fn a_lifted_post_opens_its_seal_unless_it_slides() {
    let dark = |id: &str, severity: f64| {
        let c = Catalogue::builtin().condition("pos_plate_growth");
        let s = draw(&Catalogue::builtin().designs[id], View::Edge, c.map(|c| (c, severity)));
        let seal = |t: u32| &*s.targets[t as usize].part == "post_cover_seal";
        let gap = |p: &Prim| match &p.form {
            Form::Path { path, fill: Some(Paint::Plain(shade)), .. }
                if p.target.is_some_and(seal) && shade.role == Role::Shadow =>
            {
                path.bounding_box().width()
            }
            _ => 0.0,
        };
        s.prims.iter().map(gap).sum::<f64>()
    };
    assert_eq!(dark("medium_pasted", 0.6), 0.0);
    assert!(dark("medium_pasted", 1.0) > dark("medium_pasted", 0.85));
    assert!(dark("tubular", 1.0) > 1.0);
    assert_eq!(dark("large_tall_pasted", 1.0), 0.0);
}

/// Mud that touches one polarity only is no short; two thick layers together fill the space.
#[test]
fn a_cell_loses_colour_once_mud_joins_both_polarities() {
    let tints = |on: &[(&str, f64)]| {
        with_effects("medium_pasted", on, |e| {
            ["positive_plate", "negative_plate_inside"].map(|p| e.tint(p).map_or(0.0, |t| t.1))
        })
    };
    assert_eq!(tints(&[("sediment_bridge", 0.6)]), [0.0, 0.0]);
    let (short, many) = (tints(&[("sediment_bridge", 0.8)]), tints(&[("sediment_bridge", 1.0)]));
    assert!(short.iter().zip(many).all(|(a, b)| *a > 0.0 && *a < b), "{short:?} {many:?}");
    assert_eq!(tints(&[("sediment_dark", 1.0)]), [0.0, 0.0]);
    let both = tints(&[("sediment_dark", 0.8), ("sediment_grey", 0.8)]);
    assert!(both.iter().all(|s| *s > 0.0), "{both:?}");
}
