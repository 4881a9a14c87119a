//! What a scene becomes as meshes.

use super::{shape::Brush, *};
use crate::paint::gradient::Fill;
use kurbo::{BezPath, Point};

fn area(mesh: &Mesh) -> f32 {
    mesh.triangles()
        .filter_map(|t| {
            let v = t.map(|i| mesh.vertices[i as usize]);
            // The soft rim fades to nothing and is not part of the body.
            let rim = v.iter().any(|v| v.color == Color32::TRANSPARENT);
            let [a, b, c] = v.map(|v| v.pos);
            (!rim).then(|| ((b - a).x * (c - a).y - (b - a).y * (c - a).x).abs() / 2.0)
        })
        .sum()
}

#[test]
fn a_hollow_outline_stays_hollow() {
    let mut u = BezPath::new();
    for (i, p) in [(0, 0), (30, 0), (30, 30), (20, 30), (20, 10), (10, 10), (10, 30), (0, 30)]
        .into_iter()
        .enumerate()
    {
        let p = Point::new(f64::from(p.0), f64::from(p.1));
        if i == 0 { u.move_to(p) } else { u.line_to(p) }
    }
    u.close_path();
    let mut mesh = Mesh::default();
    Brush::new(1.0).fill(&u, &Fill::Plain(Color32::WHITE), &mut mesh);
    assert!((area(&mesh) - 700.0).abs() < 0.1, "{}", area(&mesh));
    assert!(mesh.is_valid());
}

#[test]
fn a_place_on_the_screen_and_in_the_scene_agree() {
    let place = Place::fit(
        kurbo::Rect::new(-10.0, 5.0, 90.0, 205.0),
        Rect::from_min_max(pos2(100.0, 50.0), pos2(500.0, 450.0)),
    );
    assert_eq!(place.scale, 2.0);
    let p = Point::new(33.0, 44.0);
    assert!((place.to_scene(place.to_screen(p)) - p).hypot() < 1e-4);
    let shown = place.rect_to_screen(kurbo::Rect::new(-10.0, 5.0, 90.0, 205.0));
    assert_eq!(shown, Rect::from_min_max(pos2(200.0, 50.0), pos2(400.0, 450.0)));
}

#[test]
fn a_glint_lies_on_what_was_drawn_before_it() {
    use jarlight_geometry::scene::{SceneBuilder, Shade};
    let square = |x: f64| kurbo::Rect::new(x, 0.0, x + 10.0, 10.0).to_path(0.1);
    let shade = || Shade::base(Role::PositiveBorder);
    let mut b = SceneBuilder::new(kurbo::Rect::new(0.0, 0.0, 40.0, 10.0));
    b.shape(square(0.0), shade(), None);
    b.glint(square(2.0), shade(), Glint { facing: 0.0, floor: 1.0, birth: 0.0 });
    b.shape(square(20.0), shade(), None);
    let key = Key {
        revision: 1,
        scale: 1.0,
        look: Look::default(),
        pixels_per_point: 1.0,
        veil: Veil::default(),
    };
    let painted = Painted::new(&egui::Context::default(), &b.finish(), key);
    let kinds: Vec<bool> =
        painted.pieces.iter().map(|p| matches!(p, Piece::Glint { .. })).collect();
    assert_eq!(kinds, [false, true, false]);
}
