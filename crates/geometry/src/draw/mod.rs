//! From a specimen to a scene: what conditions change, then the layout, then the view.

pub mod brush;
mod pen;

pub use pen::{Pen, SealPlace, Shapes, weight};

use crate::{
    layout::{Impossible, Layout},
    overlay::Effects,
    scene::Scene,
    view,
};
use jarlight_model::{catalogue::Catalogue, design::Design, specimen::Specimen};
use kurbo::Affine;

/// From where the cell is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum View {
    /// From the aisle, on the plate edges, front wall removed.
    Edge,
    /// From the neighbouring cell, flat on the end negative.
    Face,
    /// From above, with both neighbours.
    Plan,
    /// The element drawn apart, seen obliquely.
    Peeled,
    /// Neighbours in series from the aisle.
    Row,
    /// Two tiers of a string from the aisle.
    Rack,
}

impl View {
    /// All views.
    pub const ALL: [Self; 6] =
        [Self::Edge, Self::Face, Self::Plan, Self::Peeled, Self::Row, Self::Rack];

    /// The name in files and on the command line.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Edge => "edge",
            Self::Face => "face",
            Self::Plan => "plan",
            Self::Peeled => "peeled",
            Self::Row => "row",
            Self::Rack => "rack",
        }
    }

    /// The view with this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|v| v.name() == name)
    }
}

/// The most that a stack may be stretched: more makes round things squat.
pub const MOST_STRETCH: f64 = 1.5;

/// What is shown and what is left off; the default is the inspector's view.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Cut the right end of the positive strap away, so that the negative one is seen.
    pub cut_strap: bool,
    /// Leave the front bar off the positive post, so that the post is seen.
    pub front_bar_off: bool,
    /// Draw only the element: plates, separators, mats, straps and posts.
    pub element_only: bool,
    /// Break a window into a post, so that its copper core is seen.
    pub broken_out: bool,
    /// Draw the bars that lead to the neighbours.
    pub bars: bool,
    /// Cells of a row, or of a rack on its two tiers.
    pub cells: u32,
    /// The part of a rack that is looked at, in millimetres; cells in it are drawn whole.
    pub visible: Option<kurbo::Rect>,
    /// How far the layers of the peeled view are drawn apart, 0 to 1.
    pub peel: f64,
    /// Factor by which the stack is drawn too thick, 1 to [`MOST_STRETCH`]; 1 is true.
    pub stretch: f64,
    /// The number on the label.
    pub cell_number: u32,
    /// A neighbour of the specimen: it shows only what its conditions say of neighbours.
    pub neighbour: bool,
    /// Parts that are left out of the drawing, for questions about what is missing.
    pub hidden: Vec<String>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            cut_strap: true,
            front_bar_off: true,
            element_only: false,
            broken_out: false,
            bars: true,
            cells: 3,
            visible: None,
            peel: 1.0,
            stretch: 1.0,
            cell_number: 17,
            neighbour: false,
            hidden: Vec::new(),
        }
    }
}

/// Everything that a drawing depends on.
pub struct Request<'a> {
    /// The catalogue that says how conditions look.
    pub catalogue: &'a Catalogue,
    /// The design.
    pub design: &'a Design,
    /// The cell and what is on it.
    pub specimen: &'a Specimen,
    /// From where.
    pub view: View,
    /// Scale at which textures are made; lines and text keep their pixels at any scale.
    pub px_per_mm: f64,
    /// What is shown.
    pub options: Options,
}

impl Request<'_> {
    /// Factors across and down by which the stack is stretched: across where plates stand, down
    /// where they lie, and none where the stack is seen end on or piece by piece.
    pub fn stretch(&self) -> (f64, f64) {
        let asked = self.options.stretch;
        let factor = if asked.is_finite() { asked.clamp(1.0, MOST_STRETCH) } else { 1.0 };
        match (self.view, self.design.round.is_some()) {
            (View::Edge | View::Row, true) => (1.0, factor),
            (View::Edge | View::Row | View::Plan, false) => (factor, 1.0),
            _ => (1.0, 1.0),
        }
    }
}

/// The drawing in millimetres, y down; where the stack is stretched, millimetres hold in the other
/// direction only.
pub fn scene(request: &Request<'_>) -> Result<Scene, Vec<Impossible>> {
    let drawn = unstretched(request)?;
    Ok(match request.stretch() {
        (1.0, 1.0) => drawn,
        (across, down) => drawn.transformed(Affine::scale_non_uniform(across, down)),
    })
}

fn unstretched(request: &Request<'_>) -> Result<Scene, Vec<Impossible>> {
    match request.view {
        View::Row => return view::row::scene(request),
        View::Rack => return view::rack::scene(request),
        _ => {}
    }
    let effects = Effects::of(request);
    let layout = Layout::build(request.design, &effects.deformation)?;
    let mut pen = Pen::new(request, &layout, &effects);
    match request.view {
        View::Edge | View::Row | View::Rack => view::edge::build(&mut pen),
        View::Face => view::face::build(&mut pen),
        View::Plan => view::plan::build(&mut pen),
        View::Peeled => view::peeled::build(&mut pen),
    }
    let mut scene = pen.finish();
    let hidden = &request.options.hidden;
    if !hidden.is_empty() {
        let gone: Vec<bool> =
            scene.targets.iter().map(|t| hidden.iter().any(|h| *h == *t.part)).collect();
        scene.prims.retain(|p| p.target.is_none_or(|t| !gone[t as usize]));
    }
    Ok(scene)
}

#[cfg(test)]
pub(crate) mod tests;
