//! Laws that hold for any design that the check lets pass, from layout to figure and file.

mod counts;
mod labels;
mod series;

use crate::{
    draw::{Options, Request, View, scene},
    layout::Layout,
    scene::Scene,
};
use jarlight_model::{catalogue::Catalogue, design::Design, id::Slug, specimen::Specimen};
use proptest::{prelude::*, test_runner::RngSeed};

/// The same cases in every run.
pub fn fixed(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        max_global_rejects: 20 * cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(0x1A57),
        ..ProptestConfig::default()
    }
}

/// The shipped designs that random ones are made from.
pub const IDS: [&str; 6] = [
    "small_three_cell_jar",
    "medium_pasted",
    "large_tall_pasted",
    "tubular",
    "plante",
    "round_plate",
];

/// A shipped design with its numbers changed: counts at will, lengths by up to a fifth.
pub fn any_design() -> impl Strategy<Value = Design> {
    let factors = proptest::collection::vec(0.82f64..1.22, 32);
    (0..IDS.len(), 1u32..21, 1u32..5, 1u32..4, factors).prop_map(
        |(i, positives, cells, each, f)| {
            let mut d = Catalogue::builtin().designs[IDS[i]].clone();
            let mut f = f.into_iter();
            let mut vary = |v: &mut f64| *v *= f.next().unwrap_or(1.0);
            d.plates.positives = positives;
            for v in [
                &mut d.plates.width,
                &mut d.plates.height,
                &mut d.plates.positive,
                &mut d.plates.inside_negative,
                &mut d.plates.end_negative,
                &mut d.separator.thickness,
                &mut d.separator.above,
                &mut d.separator.below,
                &mut d.separator.side,
                &mut d.mat,
                &mut d.jar.wall,
                &mut d.jar.floor,
                &mut d.jar.partition,
                &mut d.jar.clearance_x,
                &mut d.jar.clearance_z,
                &mut d.jar.cover,
                &mut d.heights.sediment,
                &mut d.heights.feet,
                &mut d.heights.lug,
                &mut d.heights.strap,
                &mut d.heights.low_over,
                &mut d.heights.span,
                &mut d.heights.head,
                &mut d.posts.diameter,
                &mut d.bridge.width,
                &mut d.arrestor.diameter,
            ] {
                vary(v);
            }
            if let Some(t) = &mut d.tubes {
                vary(&mut t.diameter);
            }
            if d.jar.cells > 1 {
                d.jar.cells = cells;
            } else if d.round.is_none() {
                d.posts.each = each;
            }
            if let Some(p) = &mut d.plante {
                p.depth = (d.plates.positive - p.web) / 2.0;
            }
            if let Some(t) = &mut d.tubular {
                t.diameter = 0.98 * d.plates.positive;
                t.pitch = (0.99 * d.plates.width - t.diameter) / f64::from(t.tubes - 1);
            }
            if d.round.is_some() {
                let n = f64::from(positives);
                d.mat = 0.0;
                d.plates.height = n * d.plates.positive
                    + (n - 1.0) * d.plates.inside_negative
                    + 2.0 * d.plates.end_negative
                    + 2.0 * n * d.separator.thickness;
            }
            d
        },
    )
}

/// A random design that can be built.
pub fn legal_design() -> impl Strategy<Value = Design> {
    any_design().prop_filter("cannot be built", |d| Layout::healthy(d).is_ok())
}

/// The healthy cell of a design.
fn healthy(design: &Design, view: View, options: Options) -> Scene {
    let specimen = Specimen::healthy(Slug::parse(&design.id).unwrap());
    let catalogue = Catalogue::builtin();
    let request = Request { catalogue, design, specimen: &specimen, view, px_per_mm: 1.0, options };
    scene(&request).unwrap()
}
