//! Labels of any drawing at any size of text: none cross, none overlap, none lost.

use super::{fixed, healthy, legal_design};
use crate::{
    callout::tests::assert_clear,
    draw::{Options, View},
    figure::{Ask, Labels, compose, labels},
};
use jarlight_model::catalogue::{Catalogue, LabelSet};
use kurbo::Rect;
use proptest::prelude::*;

const SETS: [LabelSet; 6] = [
    LabelSet::Seals,
    LabelSet::Current,
    LabelSet::Element,
    LabelSet::Acid,
    LabelSet::Support,
    LabelSet::Gas,
];
const VIEWS: [View; 5] = [View::Edge, View::Face, View::Plan, View::Peeled, View::Row];
/// So many are promised a place on a small screen.
const PROMISED: usize = 24;

proptest! {
    #![proptest_config(fixed(250))]

    #[test]
    fn labels_of_any_drawing_are_clear_of_each_other_and_none_is_lost(
        design in legal_design(),
        view in prop::sample::select(&VIEWS),
        sets in prop::sample::subsequence(&SETS, 0..=SETS.len()),
        scale in prop_oneof![Just(1.0), 1.0..=2.0f64],
        style in prop_oneof![Just(Labels::Names), Just(Labels::Numbers)],
        element_only in prop::bool::weighted(0.2),
    ) {
        let options = Options { element_only, ..Options::default() };
        let scene = healthy(&design, view, options);
        let figure = compose(&Ask {
            scene_mm: &scene,
            catalogue: Catalogue::builtin(),
            width_px: 1280.0,
            height_px: 800.0,
            title: "Any view",
            subtitle: "One cell.",
            caption: "True proportions.",
            labels: style,
            sets: &sets,
            text_scale: scale,
            scale_bar: true,
            inset: None,
        });
        let placed = &figure.placed;
        assert_clear(Rect::new(0.0, 0.0, 1280.0, 800.0), placed);
        for label in &placed.labels {
            let beside = label.block.x1 <= figure.drawing.x0 || label.block.x0 >= figure.drawing.x1;
            prop_assert!(beside, "{} lies on the drawing", label.name);
        }
        let wanted = labels(Catalogue::builtin(), &sets, &scene);
        let mut met: Vec<u32> = placed.labels.iter().map(|l| l.target).collect();
        met.extend(&placed.left_out);
        met.sort_unstable();
        let mut all: Vec<u32> = wanted.iter().map(|l| l.target).collect();
        all.sort_unstable();
        prop_assert_eq!(met, all, "a label is lost or doubled");
        if scale == 1.0 && wanted.len() <= PROMISED {
            let out = placed.left_out.iter().map(|t| scene.targets[*t as usize].id());
            let out: Vec<String> = out.collect();
            prop_assert!(out.is_empty(), "{view:?} {sets:?} of {}: {out:?}", wanted.len());
        }
    }
}
