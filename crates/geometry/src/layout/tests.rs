//! Check values of the designs, and laws that hold for any legal design.

mod laws;

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
        (4.6, 7.8),
        (10.8, 17.2),
        (20.2, 24.6),
        (27.6, 34.0),
        (37.0, 41.4),
        (44.4, 50.8),
        (53.8, 58.2),
        (61.2, 67.6),
        (70.6, 75.0),
        (78.0, 84.4),
        (87.4, 91.8),
        (94.8, 101.2),
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
    assert!(all.iter().any(|m| m.contains("14 + 1.5 = 15.5 mm above the plate")), "{all:?}");
}

/// What the sums of a design must give, worked out by hand from its file.
struct Sheet {
    id: &'static str,
    stack: f64,
    inner: (f64, f64),
    outer: (f64, f64, f64),
    /// Bridge, plate bottom and top, strap, low, high, cover.
    heights: [f64; 8],
    separator: (f64, f64),
    acid: f64,
    rated: f64,
    /// Plate number from 0, and its span.
    spans: &'static [(usize, f64, f64)],
    plates: usize,
    mats: usize,
}

/// Source: arithmetic on the numbers of each design file; spans to a tenth of a millimetre,
/// acid to a hundredth of a litre.
const SHEETS: [Sheet; 4] = [
    Sheet {
        id: "small_three_cell_jar",
        stack: 41.6,
        inner: (46.0, 136.0),
        outer: (151.0, 143.0, 242.0),
        heights: [20.0, 24.0, 174.0, 182.0, 192.0, 196.0, 214.0, 232.0],
        separator: (126.0, 158.0),
        acid: 0.964,
        rated: 48.0,
        spans: &[
            (0, 2.2, 4.6),
            (1, 7.1, 12.1),
            (2, 14.6, 18.0),
            (3, 20.5, 25.5),
            (4, 28.0, 31.4),
            (5, 33.9, 38.9),
            (6, 41.4, 43.8),
        ],
        plates: 7,
        mats: 6,
    },
    Sheet {
        id: "large_tall_pasted",
        stack: 237.3,
        inner: (248.0, 343.0),
        outer: (260.0, 355.0, 665.0),
        heights: [38.0, 44.0, 544.0, 562.0, 578.0, 586.0, 618.0, 648.0],
        separator: (325.0, 516.0),
        acid: 33.88,
        rated: 1800.0,
        spans: &[
            (0, 5.3, 8.9),
            (1, 12.2, 20.1),
            (2, 23.4, 28.5),
            (3, 31.8, 39.8),
            (22, 219.5, 224.6),
            (23, 227.9, 235.8),
            (24, 239.1, 242.7),
        ],
        plates: 25,
        mats: 24,
    },
    Sheet {
        id: "tubular",
        stack: 122.6,
        inner: (131.0, 203.0),
        outer: (139.0, 211.0, 547.0),
        heights: [26.0, 31.0, 451.0, 465.0, 478.0, 484.0, 510.0, 534.0],
        separator: (193.0, 432.0),
        acid: 8.80,
        rated: 560.0,
        spans: &[
            (0, 4.2, 7.6),
            (1, 9.5, 18.3),
            (2, 20.2, 24.8),
            (3, 26.7, 35.5),
            (4, 37.4, 42.0),
            (5, 43.9, 52.7),
            (6, 54.6, 59.2),
            (7, 61.1, 69.9),
            (8, 71.8, 76.4),
            (9, 78.3, 87.1),
            (10, 89.0, 93.6),
            (11, 95.5, 104.3),
            (12, 106.2, 110.8),
            (13, 112.7, 121.5),
            (14, 123.4, 126.8),
        ],
        plates: 15,
        mats: 0,
    },
    Sheet {
        id: "plante",
        stack: 144.0,
        inner: (156.0, 254.0),
        outer: (166.0, 264.0, 474.0),
        heights: [62.0, 62.0, 372.0, 388.0, 402.0, 408.0, 434.0, 460.0],
        separator: (238.0, 324.0),
        acid: 12.063,
        rated: 250.0,
        spans: &[
            (0, 6.0, 12.0),
            (1, 16.5, 27.5),
            (2, 32.0, 40.0),
            (3, 44.5, 55.5),
            (4, 60.0, 68.0),
            (5, 72.5, 83.5),
            (6, 88.0, 96.0),
            (7, 100.5, 111.5),
            (8, 116.0, 124.0),
            (9, 128.5, 139.5),
            (10, 144.0, 150.0),
        ],
        plates: 11,
        mats: 0,
    },
];

#[test]
fn the_other_upright_designs_add_up() {
    for sheet in &SHEETS {
        let d = design(sheet.id);
        let l = Layout::healthy(&d).unwrap();
        near(l.stack, sheet.stack, 1e-9);
        near(l.inner_x, sheet.inner.0, 1e-9);
        near(l.inner_z, sheet.inner.1, 1e-9);
        near(l.outer_x, sheet.outer.0, 1e-9);
        near(l.outer_z, sheet.outer.1, 1e-9);
        near(l.outer_height, sheet.outer.2, 1e-9);
        let v = &l.levels;
        let heights = [
            v.sediment,
            v.plate_bottom,
            v.plate_top,
            v.strap_bottom,
            v.strap_top,
            v.low,
            v.high,
            v.cover_under,
        ];
        for (met, wanted) in heights.into_iter().zip(sheet.heights) {
            near(met, wanted, 1e-9);
        }
        near(l.acid_cm3() / 1000.0, sheet.acid, 0.006);
        near(d.rated_ah(), sheet.rated, 1e-9);
        for cell in &l.cells {
            assert_eq!(cell.plates.len(), sheet.plates, "{}", sheet.id);
            assert_eq!(cell.mats.len(), sheet.mats, "{}", sheet.id);
            assert_eq!(cell.separators.len(), sheet.plates - 1, "{}", sheet.id);
            for (k, a, b) in sheet.spans {
                let x = cell.plates[*k].solid.x;
                near(x.0 - cell.room.x.0, *a, 0.0501);
                near(x.1 - cell.room.x.0, *b, 0.0501);
            }
            let s = &cell.separators[0];
            near(s.z.1 - s.z.0, sheet.separator.0, 1e-9);
            near(s.y.1 - s.y.0, sheet.separator.1, 1e-9);
        }
    }
}

/// Source: 20 × (4.5 + 3.5 + 2 × 2.5) + 3.5 = 263.5, from the ring at 20.
#[test]
fn the_round_plate_cell_adds_up() {
    let d = design("round_plate");
    let l = Layout::healthy(&d).unwrap();
    near(l.stack, 263.5, 1e-9);
    near(l.outer_x, 334.0, 1e-9);
    near(l.outer_height, 390.5, 1e-9);
    near(l.levels.low, 293.5, 1e-9);
    near(l.levels.high, 313.5, 1e-9);
    near(l.levels.cover_under, 373.5, 1e-9);
    near(l.acid_cm3() / 1000.0, 16.51, 0.006);
    near(d.rated_ah(), 800.0, 1e-9);
    let cell = &l.cells[0];
    assert_eq!((cell.plates.len(), cell.separators.len(), cell.mats.len()), (41, 40, 0));
    for (k, a, b) in [
        (0, 20.0, 23.5),
        (1, 26.0, 30.5),
        (2, 33.0, 36.5),
        (3, 39.0, 43.5),
        (39, 273.0, 277.5),
        (40, 280.0, 283.5),
    ] {
        near(cell.plates[k].solid.y.0, a, 1e-9);
        near(cell.plates[k].solid.y.1, b, 1e-9);
    }
    let round = cell.round.as_ref().unwrap();
    assert_eq!(round.ring, (110.0, 118.0));
    assert!(round.arm.y.1 < l.levels.low);
    near(cell.posts[1].x - cell.posts[0].x, 110.0, 1e-9);
    near(cell.posts[0].x - cell.vent.0, 110.0, 1e-9);
}

/// The middle cell of the small jar is turned: joint 1-2 lies at the rear, joint 2-3 in front.
#[test]
fn straps_of_the_small_jar_join_over_the_partitions() {
    let l = Layout::healthy(&design("small_three_cell_jar")).unwrap();
    assert_eq!((l.partitions.len(), l.joints.len()), (2, 2));
    let middle = l.inner_z / 2.0;
    assert!(l.joints[0].bar.mid_z() > middle && l.joints[1].bar.mid_z() < middle);
    for j in &l.joints {
        assert_eq!(j.risers.map(|r| r.0), [false, true]);
        assert_eq!(j.bar.y, (219.0, 227.0));
        assert!(j.bar.y.0 > l.levels.high && j.bar.y.1 < l.levels.cover_under);
    }
    let posts: Vec<bool> = l.cells.iter().flat_map(|c| &c.posts).map(|p| p.positive).collect();
    assert_eq!(posts, [true, false]);
}

#[test]
fn the_large_cell_has_four_posts_and_two_tubes() {
    let l = Layout::healthy(&design("large_tall_pasted")).unwrap();
    let cell = &l.cells[0];
    let at: Vec<(bool, bool)> =
        cell.posts.iter().map(|p| (p.positive, p.z < l.inner_z / 2.0)).collect();
    assert_eq!(at, [(true, true), (true, true), (false, false), (false, false)]);
    near(cell.posts[0].x, 62.0, 1e-9);
    near(cell.posts[1].x, 186.0, 1e-9);
    assert_eq!((cell.tubes.len(), l.lift_points.len()), (2, 2));
    assert!(cell.temp_port.is_some());
    assert!(cell.plates.iter().all(|p| (p.edge_strips.len() == 2) == p.kind.is_positive()));
}

/// Positive and negative feet of standing packs are on ribs of their own.
#[test]
fn feet_of_both_polarities_never_share_a_rib() {
    for id in ["small_three_cell_jar", "tubular"] {
        let l = Layout::healthy(&design(id)).unwrap();
        let cell = &l.cells[0];
        for rib in &cell.ribs {
            let on = |positive: bool| {
                cell.plates
                    .iter()
                    .filter(|p| p.kind.is_positive() == positive)
                    .flat_map(|p| &p.feet)
                    .filter(|f| f.z.0 < rib.z.1 && rib.z.0 < f.z.1)
                    .count()
            };
            assert!((on(true) == 0) != (on(false) == 0), "{id} {rib:?}");
        }
        assert_eq!(cell.ribs.len(), 4);
    }
}

#[test]
fn all_hung_plates_lie_on_bars_that_lie_on_ledges() {
    let l = Layout::healthy(&design("plante")).unwrap();
    let cell = &l.cells[0];
    assert!(cell.ribs.is_empty() && cell.plates.iter().all(|p| p.feet.is_empty()));
    for p in &cell.plates {
        assert_eq!(p.shoulders.len(), 2, "{p:?}");
        for (s, bar) in p.shoulders.iter().zip(&cell.hangers) {
            near(s.y.0, bar.y.1, 1e-9);
        }
    }
    assert_eq!(cell.ledges.len(), 4);
    for (i, ledge) in cell.ledges.iter().enumerate() {
        near(ledge.y.1, cell.hangers[i / 2].y.0, 1e-9);
    }
}
