//! What a single jar stands on: the rail of the rack with its plastic cover.

use crate::{
    draw::{Pen, Shapes, brush},
    palette::Role,
    part::jar::Width,
    scene::{Paint, Shade, Tone},
};
use kurbo::Point;

/// Thickness of the rail cover.
pub const COVER: f64 = 3.0;
/// How much of the rail is shown.
pub const RAIL: f64 = 15.0;

/// The front rail, along the picture, with the shadow of the jar on it.
pub fn along(pen: &mut Pen<'_>, width: Width) {
    let (wall, floor) = (pen.layout.design.jar.wall, pen.layout.design.jar.floor);
    let (a, b) = (-wall - 16.0, width.0 + wall + 16.0);
    let top = floor + COVER;
    pen.part("rack_rail", Point::new(b - 6.0, top + 0.55 * RAIL));
    let rail = brush::rect(a - 6.0, top, b + 6.0, top + RAIL);
    pen.out.solid(rail, brush::down(Role::Rack, top, top + RAIL), Role::Rack, 1.0);
    let lip = brush::rect(a - 6.0, top + RAIL - 2.6, b + 6.0, top + RAIL - 2.0);
    pen.out.shape(lip, Shade::edge(Role::Rack).alpha(0.35), None);
    pen.part("rail_insulator", Point::new(b - 3.0, floor + 0.5 * COVER));
    let cover = brush::rounded(a, floor, b, top + 1.6, 1.0);
    pen.out.solid(cover, brush::down(Role::RailCover, floor, top + 1.6), Role::RailCover, 0.8);
    pen.out.end();
    let dark = |alpha| Shade::base(Role::Shadow).alpha(alpha);
    let shade = Paint::Linear {
        from: Point::new(0.0, top + 1.6),
        to: Point::new(0.0, top + 8.0),
        stops: vec![(0.0, dark(0.28)), (1.0, dark(0.0))],
    };
    pen.out.shape(brush::rect(a, top + 1.6, b, top + 8.0), shade, None);
}

/// Both rails of a tier seen on end, as channels under the jar.
pub fn across(pen: &mut Pen<'_>, width: Width) {
    let floor = pen.layout.design.jar.floor;
    let top = floor + COVER;
    for share in [0.2, 0.8] {
        let x = share * width.0;
        let (a, b) = (x - 13.0, x + 13.0);
        pen.part("rack_rail", Point::new(x, top + 1.8));
        let channel = brush::polygon(&[
            Point::new(a, top),
            Point::new(b, top),
            Point::new(b, top + RAIL),
            Point::new(b - 3.0, top + RAIL),
            Point::new(b - 3.0, top + 3.0),
            Point::new(a + 3.0, top + 3.0),
            Point::new(a + 3.0, top + RAIL),
            Point::new(a, top + RAIL),
        ]);
        let fill = Shade::new(Role::Rack, Tone::Base);
        pen.out.solid(channel.clone(), fill, Role::Rack, 1.0);
        pen.cut(&channel, Role::Rack, 4.0);
        pen.part("rail_insulator", Point::new(x, floor + 0.5 * COVER));
        let cap = brush::rounded(a - 1.8, floor, b + 1.8, top + 2.6, 1.0);
        let notch = brush::rect(a, top, b, top + 2.6);
        let mut cover = cap;
        for el in notch.reverse_subpaths().elements() {
            cover.push(*el);
        }
        let fill = brush::down(Role::RailCover, floor, top + 2.6);
        pen.out.solid(cover, fill, Role::RailCover, 0.8);
    }
    pen.out.end();
}
