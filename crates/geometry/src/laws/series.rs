//! Strings of cells: every post has one joint, from minus to plus.

use super::{IDS, fixed, legal_design};
use crate::{
    layout::Layout,
    series::{Joint, PostOf, Run, Series, posts},
};
use jarlight_model::{catalogue::Catalogue, design::Design};
use proptest::prelude::*;

/// Each post belongs to one joint or, at the ends of the string, to a terminal plate.
fn check(design: &Design, run: Run, n: usize) {
    let jar = Layout::healthy(design).unwrap();
    let s = Series::new(vec![jar; n], run);
    let mut used: Vec<PostOf> = s.joints.iter().flat_map(|j| [j.minus, j.plus]).collect();
    used.extend(&s.first);
    used.extend(&s.last);
    used.sort();
    let all: Vec<PostOf> = (0..n)
        .flat_map(|jar| (0..posts(&s.jars[jar]).len()).map(move |post| PostOf { jar, post }))
        .collect();
    assert_eq!(used, all, "{} {run:?} {n}", design.id);
    assert!(s.first.iter().all(|p| p.jar == 0 && s.post(*p).1.positive));
    assert!(s.last.iter().all(|p| p.jar == n - 1 && !s.post(*p).1.positive));
    for j in &s.joints {
        let Joint { minus, plus, .. } = *j;
        assert_eq!(minus.jar + 1, plus.jar);
        let ((xa, a), (xb, b)) = (s.post(minus), s.post(plus));
        assert!(!a.positive && b.positive);
        // Round plates lie on the axis; elsewhere a bar runs along one line.
        if design.round.is_none() {
            assert!((a.z - b.z).abs() < 1e-9, "{}", design.id);
        }
        assert!((xa - xb).abs() <= s.pitch() + 1e-9, "{} {run:?}", design.id);
    }
}

#[test]
fn every_post_of_a_shipped_design_has_one_joint() {
    for id in IDS {
        for run in [Run::LeftToRight, Run::RightToLeft] {
            for n in 1..=6 {
                check(&Catalogue::builtin().designs[id], run, n);
            }
        }
    }
}

proptest! {
    #![proptest_config(fixed(200))]

    #[test]
    fn every_post_of_any_design_has_one_joint(
        design in legal_design(),
        to_right in any::<bool>(),
        n in 1usize..9,
    ) {
        check(&design, if to_right { Run::LeftToRight } else { Run::RightToLeft }, n);
    }
}
