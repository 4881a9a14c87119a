//! Check values of the designs, and laws that hold for any legal design.

use super::*;
use jarlight_model::{catalogue::Catalogue, design::Design};

fn design(id: &str) -> Design {
    Catalogue::builtin().designs.get(id).cloned().unwrap()
}

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b}");
}

/// Source: sums of the shipped design, worked by hand: 6 × 6.4 + 5 × 4.4 + 2 × 3.2 + 12 × 3.0.
#[test]
fn the_medium_cell_adds_up() {
    let l = Layout::healthy(&design("medium_pasted")).unwrap();
    near(l.stack, 102.8, 1e-9);
    near(l.inner_x, 112.0, 1e-9);
    near(l.outer_x, 120.0, 1e-9);
    near(l.outer_z, 245.0, 1e-9);
    near(l.outer_height, 404.0, 1e-9);
    let v = &l.levels;
    let heights = [v.sediment, v.plate_bottom, v.plate_top, v.strap_bottom, v.strap_top];
    assert_eq!(heights, [30.0, 35.0, 315.0, 327.0, 339.0]);
    assert_eq!([v.low, v.high, v.cover_under], [345.0, 367.0, 391.0]);
    near(l.acid_cm3(), 6647.0, 1.0);
    near(l.design.rated_ah(), 330.0, 1e-9);
    let spans = [
        (4.6, 7.8), (10.8, 17.2), (20.2, 24.6), (27.6, 34.0), (37.0, 41.4), (44.4, 50.8),
        (53.8, 58.2), (61.2, 67.6), (70.6, 75.0), (78.0, 84.4), (87.4, 91.8), (94.8, 101.2),
        (104.2, 107.4),
    ];
    let cell = &l.cells[0];
    assert_eq!(cell.plates.len(), 13);
    for (plate, (a, b)) in cell.plates.iter().zip(spans) {
        near(plate.solid.x.0, a, 1e-9);
        near(plate.solid.x.1, b, 1e-9);
    }
    assert_eq!((cell.separators.len(), cell.mats.len()), (12, 12));
    near(cell.separators[0].z.1 - cell.separators[0].z.0, 223.0, 1e-9);
    near(cell.separators[0].y.1 - cell.separators[0].y.0, 292.0, 1e-9);
    near(cell.plates[1].solid.y.0, 39.0, 1e-9);
}

#[test]
fn growth_goes_down_to_the_rib_and_then_lifts() {
    let d = design("medium_pasted");
    for (growth, foot, top) in [(0.02, 33.4, 315.0), (0.035, 30.0, 315.8), (0.05, 30.0, 320.0)] {
        let l = Layout::build(&d, &Deformation { growth, ..Deformation::default() }).unwrap();
        let positive = &l.cells[0].plates[1].solid;
        near(positive.y.0, foot, 1e-9);
        near(positive.y.1, top, 1e-9);
        near((positive.z.1 - positive.z.0) - 215.0, 215.0 * 0.7 * growth, 1e-9);
    }
}

#[test]
fn an_impossible_design_shows_its_sum() {
    let mut d = design("medium_pasted");
    d.separator.side = 12.0;
    d.separator.above = 14.0;
    let faults = Layout::healthy(&d).unwrap_err();
    let all: Vec<&str> = faults.iter().map(|f| f.message.as_str()).collect();
    assert!(all[0].contains("215 + 2 × 12 = 239 mm") && all[0].contains("237 mm"), "{all:?}");
    assert!(all.iter().any(|m| m.contains("the strap begins 12 mm above")), "{all:?}");
}
