//! Laws that hold for any design that the check lets pass.

use super::near;
use crate::{
    laws::{IDS, any_design, fixed},
    layout::{Cell, Layout, PlateKind, Solid},
};
use jarlight_model::design::Support;
use proptest::prelude::*;

/// Everything solid inside one cell, with the name of its part. Posts and tubes are round and
/// are looked at on their own; lugs pass the slots of the shield.
fn solids(cell: &Cell) -> Vec<(&'static str, Solid)> {
    let mut all: Vec<(&'static str, Solid)> = Vec::new();
    for p in &cell.plates {
        all.push((p.kind.part(), p.solid));
        if p.lug != Solid::default() {
            all.push(("plate_lug", p.lug));
        }
        all.extend(p.feet.iter().map(|s| ("plate_feet", *s)));
        all.extend(p.shoulders.iter().map(|s| ("shoulder", *s)));
        all.extend(p.edge_strips.iter().map(|s| ("edge_insulator", *s)));
    }
    let list = |part, solids: &[Solid]| solids.iter().map(move |s| (part, *s)).collect::<Vec<_>>();
    all.extend(list("separator", &cell.separators));
    all.extend(list("retainer_mat", &cell.mats));
    all.extend(list("bottom_bridge", &cell.ribs));
    all.extend(list("positive_hanger", &cell.hangers));
    all.extend(list("ledge", &cell.ledges));
    all.extend(list("end_spacer", &cell.end_spacers));
    all.extend(cell.straps.iter().map(|(_, s)| ("strap", *s)));
    all.extend(cell.moss_shield.iter().map(|s| ("moss_shield", *s)));
    if let Some(r) = &cell.round {
        all.push(("arm", r.arm));
    }
    all
}

fn passes_slot(a: &str, b: &str) -> bool {
    matches!((a, b), ("plate_lug", "moss_shield") | ("moss_shield", "plate_lug"))
}

/// Distance from a point to a box in the plane of the floor.
fn away(x: f64, z: f64, s: &Solid) -> f64 {
    let dx = (s.x.0 - x).max(x - s.x.1).max(0.0);
    let dz = (s.z.0 - z).max(z - s.z.1).max(0.0);
    dx.hypot(dz)
}

proptest! {
    #![proptest_config(fixed(300))]

    #[test]
    fn a_legal_design_has_no_two_solids_in_one_place(d in any_design()) {
        let l = Layout::healthy(&d);
        prop_assume!(l.is_ok());
        let l = l.unwrap();
        for cell in &l.cells {
            let all = solids(cell);
            for (i, (a, s)) in all.iter().enumerate() {
                prop_assert!(s.within(&cell.room), "{} {a} {s:?} leaves {:?}", d.id, cell.room);
                prop_assert!(s.x.1 > s.x.0 && s.y.1 > s.y.0 && s.z.1 > s.z.0, "{a} {s:?}");
                for (b, t) in &all[i + 1..] {
                    let clash = s.overlaps(t) && !passes_slot(a, b);
                    prop_assert!(!clash, "{}: {a} {s:?} meets {b} {t:?}", d.id);
                }
            }
            for tube in &cell.tubes {
                let r = (tube.x.1 - tube.x.0) / 2.0;
                for (b, t) in &all {
                    let level = t.y.1 > tube.y.0 && tube.y.1 > t.y.0;
                    let free = away(tube.mid_x(), tube.mid_z(), t);
                    prop_assert!(!level || free >= r - 1e-6, "{}: tube meets {b} {t:?}", d.id);
                }
            }
            for (i, p) in cell.posts.iter().enumerate() {
                let r = p.diameter / 2.0;
                prop_assert!(p.x - r >= cell.room.x.0 && p.x + r <= cell.room.x.1, "{p:?}");
                prop_assert!(p.z - r >= 0.0 && p.z + r <= l.inner_z, "{p:?}");
                for q in &cell.posts[i + 1..] {
                    prop_assert!((p.x - q.x).hypot(p.z - q.z) >= p.diameter);
                }
                let vent = (p.x - cell.vent.0).hypot(p.z - cell.vent.1);
                prop_assert!(vent >= r + d.arrestor.diameter / 2.0, "{}: post in vent", d.id);
            }
        }
        for j in &l.joints {
            for cell in &l.cells {
                for (b, t) in solids(cell) {
                    prop_assert!(!j.bar.overlaps(&t), "{b}");
                    prop_assert!(!j.risers.iter().any(|(_, r)| r.overlaps(&t)), "{b} {t:?}");
                }
            }
            prop_assert!(j.bar.y.1 < l.levels.cover_under);
        }
    }

    #[test]
    fn sums_and_counts_of_a_legal_design_agree(d in any_design()) {
        let l = Layout::healthy(&d);
        prop_assume!(l.is_ok());
        let l = l.unwrap();
        let p = d.plates.positives as usize;
        prop_assert_eq!(l.cells.len(), d.jar.cells as usize);
        for cell in &l.cells {
            let count = |kind| cell.plates.iter().filter(|q| q.kind == kind).count();
            prop_assert_eq!(count(PlateKind::Positive), p);
            prop_assert_eq!(count(PlateKind::EndNegative), 2);
            prop_assert_eq!(count(PlateKind::InsideNegative), p - 1);
            prop_assert_eq!(cell.separators.len(), 2 * p);
            prop_assert_eq!(cell.mats.len(), if d.mat > 0.0 { 2 * p } else { 0 });
            // The layers fill the stack without gap: thicknesses add up to its length.
            let flat = d.support == Support::Ring;
            let span = |s: &Solid| if flat { s.y } else { s.x };
            let mut layers: Vec<(f64, f64)> = cell
                .plates
                .iter()
                .map(|q| span(&q.solid))
                .chain(cell.separators.iter().map(span))
                .chain(cell.mats.iter().map(span))
                .collect();
            layers.sort_by(|a, b| a.0.total_cmp(&b.0));
            for pair in layers.windows(2) {
                near(pair[0].1, pair[1].0, 1e-6);
            }
            near(layers[layers.len() - 1].1 - layers[0].0, l.stack, 1e-6);
        }
        let posts: Vec<bool> =
            l.cells.iter().flat_map(|c| &c.posts).map(|q| q.positive).collect();
        let each = d.posts.each as usize;
        prop_assert_eq!(posts.iter().filter(|q| **q).count(), each);
        prop_assert_eq!(posts.len(), 2 * each);
        let v = &l.levels;
        let rising = [
            v.sediment, v.plate_bottom, v.plate_top, v.strap_bottom, v.strap_top, v.low, v.high,
            v.cover_under, v.cover_top,
        ];
        prop_assert!(rising.windows(2).all(|w| w[0] <= w[1]), "{rising:?}");
        // Turned twice is not turned at all.
        let back = l.turned().turned();
        for (a, b) in l.plates().zip(back.plates()) {
            near(a.solid.x.0, b.solid.x.0, 1e-9);
            near(a.lug.z.1, b.lug.z.1, 1e-9);
        }
    }
}

/// The laws above say nothing about a construction whose random designs are all refused.
#[test]
fn random_designs_of_every_construction_are_often_legal() {
    use proptest::{strategy::ValueTree, test_runner::TestRunner};
    let mut runner = TestRunner::deterministic();
    let strategy = any_design();
    let mut legal = [0u32; IDS.len()];
    for _ in 0..900 {
        let d = strategy.new_tree(&mut runner).unwrap().current();
        if Layout::healthy(&d).is_ok() {
            legal[IDS.iter().position(|id| *id == &*d.id).unwrap()] += 1;
        }
    }
    assert!(legal.iter().all(|n| *n >= 15), "{legal:?} of about 150 each");
}
