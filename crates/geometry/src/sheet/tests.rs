//! Tests of sheets and their windows.

use super::*;
use crate::{draw::View, scene::Form};
use jarlight_model::{
    catalogue::Catalogue,
    design::Design,
    id::Slug,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use kurbo::Size;

fn medium() -> &'static Design {
    &Catalogue::builtin().designs["medium_pasted"]
}

fn with(id: &str, severity: f64) -> Specimen {
    let mut specimen = Specimen::healthy(Slug::parse("medium_pasted").unwrap());
    specimen.occurrences.push(Occurrence {
        condition: Slug::parse(id).unwrap(),
        severity: Severity::new(severity).unwrap(),
        place: None,
    });
    specimen
}

fn shot(specimen: &Specimen, window: Window) -> Shot<'_> {
    let size = Size::new(240.0, 180.0);
    Shot { catalogue: Catalogue::builtin(), design: medium(), specimen, window, size, lamp: None }
}

fn window(id: &str) -> Window {
    let catalogue = Catalogue::builtin();
    let condition = catalogue.condition(id).unwrap();
    Window::of(catalogue, medium(), condition, None, 0, 4.0 / 3.0).unwrap()
}

#[test]
fn a_window_without_a_frame_is_where_something_changes() {
    let mut mud = Catalogue::builtin().condition("sediment_dark").unwrap().clone();
    mud.frame = None;
    let w = Window::of(Catalogue::builtin(), medium(), &mud, None, 0, 4.0 / 3.0).unwrap();
    assert_eq!(w.view, View::Edge);
    // The floor of the jar is at 0, the bridge carries the plates at 30 mm.
    assert!(w.area.contains(Point::new(56.0, -10.0)), "{w:?}");
    assert!(w.area.height() < 150.0, "{w:?}");
    assert!((w.area.width() / w.area.height() - 4.0 / 3.0).abs() < 1e-9);
}

#[test]
fn a_picture_fills_its_window_and_shows_the_condition() {
    let w = window("sediment_dark");
    let (healthy, muddy) = (with("sediment_dark", 0.0), with("sediment_dark", 0.8));
    let [a, b] = [&healthy, &muddy].map(|s| picture(&shot(s, w)).unwrap());
    assert_ne!(a, b);
    for p in a.prims.iter().chain(&b.prims) {
        let Form::Path { path, .. } = &p.form else { continue };
        assert!(
            a.bounds.inflate(0.01, 0.01).union(path.bounding_box()) == a.bounds.inflate(0.01, 0.01)
        );
    }
    assert!(!outlines(&a, &b).prims.is_empty());
    assert!(outlines(&a, &a).prims.is_empty());
}

#[test]
fn the_lamp_is_lit_where_something_glints() {
    let w = window("pos_sulfate_sparkle");
    let (dull, bright) = (with("sediment_dark", 0.5), with("pos_sulfate_sparkle", 0.6));
    assert_eq!(lamp(&shot(&dull, w)).unwrap(), None);
    let lit = lamp(&shot(&bright, w)).unwrap().unwrap();
    assert!(w.area.contains(lit.at));
}

#[test]
fn cards_lie_side_by_side_and_pictures_inside_them() {
    let tile = |grade: u8| Tile {
        mark: Mark::Affected,
        title: "Affected".into(),
        grade: Some((Grade::new(grade).unwrap(), "moderate".into())),
        picture: Scene { bounds: Rect::new(0.0, 0.0, 100.0, 80.0), ..Scene::default() },
    };
    let card = Card { title: "One".into(), note: String::new(), tiles: vec![tile(2), tile(4)] };
    let cards = [card.clone(), card.clone(), card];
    let ask = Ask {
        title: "Sheet",
        subtitle: "",
        caption: "",
        cards: &cards,
        across: 2,
        tiles_across: 2,
        text_scale: 1.0,
    };
    let sheet = compose(&ask);
    assert_eq!(sheet.tiles.len(), 6);
    for (i, a) in sheet.tiles.iter().enumerate() {
        assert!(sheet.scene.bounds.union(*a) == sheet.scene.bounds);
        for b in &sheet.tiles[i + 1..] {
            assert!(a.intersect(*b).area() == 0.0, "{a:?} lies over {b:?}");
        }
    }
    assert!(sheet.tiles[4].y0 > sheet.tiles[0].y1);
}

#[test]
fn every_condition_shows_in_its_window() {
    let catalogue = Catalogue::builtin();
    let mut unseen = Vec::new();
    for condition in &catalogue.conditions {
        let has = |d: &&Design| {
            let part = |p: &str| catalogue.has_part(d, p);
            let framed = condition.frame.as_ref().is_none_or(|f| {
                let named = f.on.value.as_str();
                part(named.rsplit_once('-').map_or(named, |(p, _)| p))
            });
            framed && condition.parts.iter().any(|p| part(&p.value))
        };
        let all = std::iter::once(medium()).chain(catalogue.designs.values());
        let Some(design) = all.clone().find(has) else {
            unseen.push(format!("{} on no design", condition.id.value));
            continue;
        };
        for seed in [0, 7] {
            let w = Window::of(catalogue, design, condition, None, seed, 4.0 / 3.0).unwrap();
            let mut healthy = Specimen::healthy(design.id.clone());
            healthy.seed = seed;
            let mut affected = healthy.clone();
            affected.occurrences.push(Occurrence {
                condition: condition.id.value.clone(),
                severity: Severity::new(0.6).unwrap(),
                place: None,
            });
            let size = Size::new(240.0, 180.0);
            let shot = |specimen| Shot { catalogue, design, specimen, window: w, size, lamp: None };
            let lamp = lamp(&shot(&affected)).unwrap();
            let [a, b] = [&healthy, &affected].map(|s| picture(&Shot { lamp, ..shot(s) }).unwrap());
            if a == b {
                unseen.push(format!("{} with seed {seed}", condition.id.value));
            }
        }
    }
    assert!(unseen.is_empty(), "not seen: {unseen:?}");
}
