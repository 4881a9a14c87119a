//! Golden figures: single parts and marks, each small enough to be read in a review.
//!
//! A figure is a part of the drawing of the medium cell: the groups of one kind of part, in
//! millimetres. `UPDATE_GOLDEN=1 cargo test -p jarlight-tests golden` writes them anew.

use jarlight_geometry::{
    draw::{self, Options, View},
    palette::{Palettes, Theme},
    scene::Scene,
    svg::{self, Lamp, Page, Unit},
};
use jarlight_model::{
    catalogue::Catalogue,
    id::Slug,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use jarlight_tests::golden;

fn scene(view: View, px_per_mm: f64, condition: Option<(&str, f64)>) -> Scene {
    let catalogue = Catalogue::builtin();
    let slug = |s: &str| Slug::parse(s).unwrap();
    let mut specimen = Specimen { seed: 7, ..Specimen::healthy(slug("medium_pasted")) };
    specimen.occurrences.extend(condition.map(|(id, severity)| Occurrence {
        condition: slug(id),
        severity: Severity::new(severity).unwrap(),
        place: None,
    }));
    let request = draw::Request {
        catalogue,
        design: &catalogue.designs["medium_pasted"],
        specimen: &specimen,
        view,
        px_per_mm,
        options: Options::default(),
    };
    draw::scene(&request).unwrap()
}

/// What belongs to one place of a drawing, as SVG.
fn part(mut scene: Scene, place: &str, theme: Theme) -> String {
    let index = scene.targets.iter().position(|t| t.id() == place).unwrap() as u32;
    scene.prims.retain(|p| p.target == Some(index));
    assert!(!scene.prims.is_empty(), "{place} draws nothing");
    let bounds = scene.bounds;
    let scene = scene.transformed(kurbo::Affine::translate(-bounds.origin().to_vec2()));
    let page = Page {
        width: bounds.width(),
        height: bounds.height(),
        title: place,
        background: None,
        unit: Unit::Mm,
        // A lamp over the middle of the pack, so that what glints is in the picture.
        lamp: Some(Lamp { at: bounds.center() - bounds.origin().to_vec2(), radius: 300.0 }),
        names: &|id| Catalogue::builtin().name_of(id),
    };
    svg::write(&scene, Palettes::builtin().theme(theme), &page)
}

#[test]
fn parts_look_as_they_did() {
    for (view, place) in [
        (View::Edge, "positive_plate-3"),
        (View::Edge, "negative_plate_end-1"),
        (View::Edge, "separator-1"),
        (View::Edge, "retainer_mat-1"),
        (View::Edge, "strap_positive-1"),
        (View::Edge, "post_positive-1"),
        (View::Edge, "post_cover_seal-1"),
        (View::Face, "post_negative-1"),
        (View::Plan, "seal_nut-1"),
    ] {
        let text = part(scene(view, 2.0, None), place, Theme::Light);
        assert!(text.len() < 20_000, "{place} is too long to review: {} bytes", text.len());
        golden(&format!("svg/{}-{place}.svg", view.name()), &text);
    }
    let dark = part(scene(View::Edge, 2.0, None), "post_positive-1", Theme::Dark);
    golden("svg/edge-post_positive-1-dark.svg", &dark);
}

#[test]
fn conditions_look_as_they_did() {
    const GRADES: &[f64] = &[0.25, 0.5, 1.0];
    // A heap of sediment soon has more marks than anybody can review.
    for (condition, place, severities) in [
        ("sediment_dark", "sediment-1", &[0.1, 0.3][..]),
        ("sediment_light", "sediment-1", &[0.1]),
        ("pos_sulfate_sparkle", "positive_plate-3", GRADES),
        ("pos_plate_growth", "positive_plate-3", GRADES),
        ("level_low", "electrolyte-1", GRADES),
        ("post_seal_creep", "post_cover_seal-1", GRADES),
    ] {
        for &severity in severities {
            // At a coarse scale textures have few marks, so that the file can be read.
            let scene = scene(View::Edge, 0.2, Some((condition, severity)));
            let text = part(scene, place, Theme::Light);
            assert!(text.len() < 40_000, "{condition} is too long to review: {}", text.len());
            golden(&format!("svg/{condition}-{severity}.svg"), &text);
        }
    }
}
