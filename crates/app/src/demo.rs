//! A small invented scene for tests of the drawing widget.

use jarlight_geometry::{
    palette::Role,
    scene::{Scene, SceneBuilder, Shade, Stroke},
};
use kurbo::{Point, Rect, Shape as _};

/// Three plates side by side.
pub fn scene() -> Scene {
    let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, 100.0, 200.0));
    for i in 0..3 {
        let x = 10.0 + 30.0 * f64::from(i);
        b.begin("positive_plate", Point::new(x + 5.0, 100.0));
        let path = Rect::new(x, 20.0, x + 10.0, 180.0).to_path(0.1);
        let edge = Stroke::new(0.9, Shade::edge(Role::PositiveBorder));
        b.shape(path, Shade::base(Role::PositiveBorder), Some(edge));
    }
    b.end();
    b.finish()
}
