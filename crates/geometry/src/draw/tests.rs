//! Counts, bounds and repeatability of drawings, for every shipped design.

use super::*;
use crate::layout::Layout;
use jarlight_model::{
    catalogue::Catalogue,
    design::{Construction, Feature, PostSeal, Support},
    id::Slug,
    specimen::Specimen,
};
use std::collections::BTreeSet;

const CLOSE: [View; 3] = [View::Edge, View::Face, View::Plan];

fn draw_with(design: &Design, view: View, options: Options) -> Scene {
    let specimen = Specimen::healthy(Slug::parse(&design.id).unwrap());
    let catalogue = Catalogue::builtin();
    scene(&Request { catalogue, design, specimen: &specimen, view, px_per_mm: 2.0, options })
        .unwrap()
}

fn draw(design: &Design, view: View) -> Scene {
    draw_with(design, view, Options::default())
}

fn designs() -> impl Iterator<Item = &'static Design> {
    Catalogue::builtin().designs.values()
}

fn count(scene: &Scene, part: &str) -> usize {
    scene.targets.iter().filter(|t| &*t.part == part).count()
}

/// What the edge view must show, told from the design alone.
pub(crate) fn edge_counts(d: &Design) -> Vec<(&'static str, usize)> {
    let (p, cells) = (d.plates.positives as usize, d.jar.cells as usize);
    let upright = |n: usize| if d.round.is_some() { 0 } else { n * cells };
    let kind = |c, n| if d.construction == c { n } else { 0 };
    let has = |f, n| if d.has(f) { n } else { 0 };
    let feet = match d.support {
        Support::Standing => 2 * p + 1,
        Support::HungPositives => p + 1,
        Support::AllHung | Support::Ring => 0,
    };
    let hung = matches!(d.support, Support::HungPositives | Support::AllHung);
    vec![
        ("positive_plate", upright(p)),
        ("negative_plate_end", upright(2)),
        ("negative_plate_inside", upright(p - 1)),
        ("round_plate", kind(Construction::RoundPlate, 2 * p + 1)),
        ("separator", 2 * p * cells),
        ("retainer_mat", if d.mat > 0.0 { 2 * p * cells } else { 0 }),
        ("plate_lug", upright(2 * p + 1)),
        ("plate_feet", feet * cells),
        ("positive_hanger", usize::from(hung)),
        ("strap_positive", upright(1)),
        ("strap_negative", upright(1)),
        ("post_positive", d.posts.each as usize),
        ("post_negative", d.posts.each as usize),
        ("partition_wall", cells - 1),
        ("flame_arrestor", cells),
        ("filling_funnel", usize::from(d.arrestor.funnel.is_some()) * cells),
        ("withdrawal_tube", d.tubes.as_ref().map_or(0, |t| t.count as usize)),
        ("tube_gauntlet", kind(Construction::Tubular, p)),
        ("tube_bottom_bar", kind(Construction::Tubular, p)),
        ("plante_lamella", kind(Construction::Plante, p)),
        ("mat_wrapper", has(Feature::MatWrapper, p)),
        ("edge_insulator", has(Feature::EdgeInsulators, p)),
        ("lift_point", has(Feature::LiftPoints, 2)),
        ("temp_port", has(Feature::TemperaturePort, 1)),
        ("moss_shield", has(Feature::MossShield, 1)),
        ("end_spacer", has(Feature::EndSpacers, 2 * cells)),
        (
            "growth_seal",
            if d.posts.seal == PostSeal::Sliding { 2 * d.posts.each as usize } else { 0 },
        ),
        ("rack_rail", 1),
        ("rail_insulator", 1),
    ]
}

/// Every joint of the plan has its bars: two jars right and left of the middle one are joined
/// to it, and the outer ones lead out of the picture.
#[test]
fn the_plan_has_the_bars_of_four_joints() {
    for d in designs() {
        let s = draw(d, View::Plan);
        let bars = 4 * (d.posts.each * d.connector.bars) as usize;
        assert_eq!(count(&s, "intercell_connector"), bars, "{}", d.id);
        assert_eq!(count(&s, "post_positive"), d.posts.each as usize);
        assert_eq!(count(&s, "flame_arrestor"), d.jar.cells as usize);
    }
}

/// Parts that only a list can show: the element is all that is lowered into the jar.
const ELSEWHERE: [&str; 1] = ["element"];

#[test]
fn every_part_that_a_design_has_is_drawn_in_one_of_its_views() {
    let catalogue = Catalogue::builtin();
    for d in designs() {
        let options = Options { broken_out: true, ..Options::default() };
        let drawn: BTreeSet<String> = View::ALL
            .iter()
            .flat_map(|v| draw_with(d, *v, options.clone()).targets)
            .map(|t| t.part.to_string())
            .collect();
        // Rims of round plates hide what lies between them.
        let hidden: &[&str] = if d.round.is_some() {
            &[
                "grid_frame",
                "grid_wires",
                "active_material_negative",
                "active_material_positive",
                "separator_ribs",
            ]
        } else {
            &[]
        };
        let missing: Vec<&str> = catalogue
            .parts
            .iter()
            .map(|p| &*p.id.value)
            .filter(|p| catalogue.has_part(d, p) && !drawn.contains(*p))
            .filter(|p| !ELSEWHERE.contains(p) && !hidden.contains(p))
            .collect();
        assert!(missing.is_empty(), "{} lacks {missing:?}", d.id);
        let wrong: Vec<&String> = drawn.iter().filter(|p| !catalogue.has_part(d, p)).collect();
        assert!(wrong.is_empty(), "{} has no {wrong:?}", d.id);
    }
}

#[test]
fn every_target_is_a_part_of_the_catalogue_and_its_spot_is_on_it() {
    for d in designs() {
        for view in CLOSE {
            let s = draw(d, view);
            assert!(!s.targets.is_empty());
            for (i, t) in s.targets.iter().enumerate() {
                assert!(Catalogue::builtin().part(&t.part).is_some(), "{view:?} {}", t.part);
                let on = s.outlines(i as u32).any(|p| {
                    use kurbo::Shape as _;
                    p.winding(t.spot) != 0 || p.bounding_box().inflate(1.5, 1.5).contains(t.spot)
                });
                assert!(on, "{} {view:?} {} at {:?}", d.id, t.id(), t.spot);
            }
        }
    }
}

#[test]
fn everything_lies_within_the_bounds_and_is_the_same_again() {
    use kurbo::Shape as _;
    for d in designs() {
        // A rack is many cells of the same drawing; one design stands for all.
        let views = View::ALL.into_iter().filter(|v| *v != View::Rack || &*d.id == "medium_pasted");
        for view in views {
            let s = draw(d, view);
            assert_eq!(s, draw(d, view));
            for p in &s.prims {
                if let crate::scene::Form::Path { path, .. } = &p.form {
                    let b = path.bounding_box();
                    assert!(b.x0.is_finite() && b.y1.is_finite());
                    assert!(
                        path.elements().is_empty()
                            || s.bounds.inflate(1.0, 1.0).contains(b.center()),
                        "{} {view:?} {b:?} outside {:?}",
                        d.id,
                        s.bounds
                    );
                }
            }
        }
    }
}

/// Parts that belong in the jar and are drawn outside it.
pub(crate) fn outside(s: &Scene, l: &Layout, view: View) -> Vec<String> {
    use kurbo::Shape as _;
    const INSIDE: [&str; 10] = [
        "positive_plate",
        "negative_plate_inside",
        "negative_plate_end",
        "round_plate",
        "separator",
        "retainer_mat",
        "plate_lug",
        "plate_feet",
        "end_spacer",
        "sediment",
    ];
    let width = match view {
        View::Edge => l.inside_x(),
        View::Face => l.inner_z,
        _ => return Vec::new(),
    };
    let mut gone = Vec::new();
    for (i, t) in s.targets.iter().enumerate().filter(|(_, t)| INSIDE.contains(&&*t.part)) {
        for path in s.outlines(i as u32) {
            let b = path.bounding_box();
            // The curve through the mud may dip into the floor, which is drawn over it.
            let inside = b.x0 >= -1e-6
                && b.x1 <= width + 1e-6
                && b.y1 <= 0.5
                && b.y0 >= -l.levels.cover_under;
            if !inside {
                gone.push(format!("{view:?} {} at {b:?} is outside the jar", t.id()));
            }
        }
    }
    gone
}

/// Nothing that belongs in the jar is drawn outside it.
pub(crate) fn assert_inside(d: &Design) {
    let l = Layout::healthy(d).unwrap();
    for view in [View::Edge, View::Face] {
        let gone = outside(&draw(d, view), &l, view);
        assert!(gone.is_empty(), "{}: {gone:?}", d.id);
    }
}

/// The joints over the partitions belong to the element; the partitions do not.
#[test]
fn the_element_of_the_small_jar_keeps_its_joints() {
    let d = &Catalogue::builtin().designs["small_three_cell_jar"];
    let s = draw_with(d, View::Edge, Options { element_only: true, ..Options::default() });
    let whole = draw(d, View::Edge);
    assert_eq!(count(&s, "partition_wall"), 0);
    assert_eq!(count(&s, "lead_burn"), count(&whole, "lead_burn"));
    let joined = |s: &Scene| {
        let i = s.targets.iter().position(|t| t.id() == "strap_negative-1").unwrap();
        s.outlines(i as u32).count()
    };
    assert_eq!(joined(&s), joined(&whole));
}

/// Only the stack grows: plates keep their height where they stand and their width where they lie.
#[test]
fn a_stretch_thickens_the_stack_and_nothing_else() {
    use kurbo::Shape as _;
    let extent = |s: &Scene| {
        let all = (0..s.targets.len() as u32).flat_map(|t| s.outlines(t));
        all.map(|p| p.bounding_box()).reduce(|a, b| a.union(b)).unwrap().size()
    };
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    for d in designs() {
        for view in View::ALL {
            let wide = Options { stretch: 9.0, ..Options::default() };
            let (true_one, drawn) = (draw(d, view), draw_with(d, view, wide));
            let (a, b) = (extent(&true_one), extent(&drawn));
            let (across, down) = match view {
                View::Face | View::Peeled | View::Rack => (1.0, 1.0),
                View::Plan if d.round.is_some() => (1.0, 1.0),
                View::Edge | View::Row if d.round.is_some() => (1.0, MOST_STRETCH),
                View::Edge | View::Row | View::Plan => (MOST_STRETCH, 1.0),
            };
            let held = near(b.width, across * a.width) && near(b.height, down * a.height);
            assert!(held, "{} {view:?}: {a:?} {b:?}", d.id);
        }
    }
}
