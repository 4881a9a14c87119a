//! The places that are in the drawing of a scene.

use jarlight_geometry::draw::{self, Options, View};
use jarlight_model::catalogue::Catalogue;
use jarlight_scenario::{Picture, format};

/// Their ids; `None` when the picture cannot be drawn, which is reported where it is written.
pub fn drawn(picture: &Picture, catalogue: &Catalogue) -> Option<Vec<String>> {
    let design = catalogue.designs.get(picture.specimen.design.as_str())?;
    let request = draw::Request {
        catalogue,
        design,
        specimen: &picture.specimen,
        view: match picture.view {
            format::View::Edge => View::Edge,
            format::View::Face => View::Face,
            format::View::Plan => View::Plan,
            format::View::Peeled => View::Peeled,
            format::View::Row => View::Row,
            format::View::Rack => View::Rack,
        },
        px_per_mm: 1.0,
        options: Options {
            hidden: picture.hide.iter().map(ToString::to_string).collect(),
            broken_out: picture.broken_out,
            ..Options::default()
        },
    };
    let scene = draw::scene(&request).ok()?;
    Some(scene.targets.iter().map(jarlight_geometry::scene::Target::id).collect())
}
