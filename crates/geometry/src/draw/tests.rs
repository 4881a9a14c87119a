//! Counts, bounds and repeatability of drawings.

use super::*;
use jarlight_model::{catalogue::Catalogue, id::Slug, specimen::Specimen};

fn draw(view: View) -> Scene {
    let catalogue = Catalogue::builtin();
    let design = catalogue.designs.get("medium_pasted").unwrap();
    let specimen = Specimen::healthy(Slug::parse("medium_pasted").unwrap());
    let request = Request {
        catalogue,
        design,
        specimen: &specimen,
        view,
        px_per_mm: 2.0,
        options: Options::default(),
    };
    scene(&request).unwrap()
}

fn count(scene: &Scene, part: &str) -> usize {
    scene.targets.iter().filter(|t| &*t.part == part).count()
}

#[test]
fn the_edge_view_has_every_plate_separator_and_mat() {
    let s = draw(View::Edge);
    let parts = [
        ("positive_plate", 6),
        ("negative_plate_end", 2),
        ("negative_plate_inside", 5),
        ("separator", 12),
        ("retainer_mat", 12),
        ("plate_lug", 13),
    ];
    for (part, n) in parts {
        assert_eq!(count(&s, part), n, "{part}");
    }
}

#[test]
fn every_target_is_a_part_of_the_catalogue_and_its_spot_is_on_it() {
    for view in View::ALL {
        let s = draw(view);
        assert!(!s.targets.is_empty());
        for (i, t) in s.targets.iter().enumerate() {
            assert!(Catalogue::builtin().part(&t.part).is_some(), "{view:?} {}", t.part);
            let on = s.outlines(i as u32).any(|p| {
                use kurbo::Shape as _;
                p.winding(t.spot) != 0 || p.bounding_box().inflate(1.5, 1.5).contains(t.spot)
            });
            assert!(on, "{view:?} {} at {:?}", t.id(), t.spot);
        }
    }
}

#[test]
fn everything_lies_within_the_bounds_and_is_the_same_again() {
    use kurbo::Shape as _;
    for view in View::ALL {
        let s = draw(view);
        assert_eq!(s, draw(view));
        for p in &s.prims {
            if let crate::scene::Form::Path { path, .. } = &p.form {
                let b = path.bounding_box();
                assert!(b.x0.is_finite() && b.y1.is_finite());
                assert!(
                    path.elements().is_empty() || s.bounds.inflate(1.0, 1.0).contains(b.center()),
                    "{view:?} {b:?} outside {:?}",
                    s.bounds
                );
            }
        }
    }
}
