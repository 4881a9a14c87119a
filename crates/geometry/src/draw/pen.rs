//! What a view draws with: the builder, the layout, and how materials look on this cell.

use super::{Options, Request, brush};
use crate::{
    layout::Layout,
    overlay::Effects,
    palette::Role,
    scene::{Paint, Scene, SceneBuilder, Shade, Stroke, Tone},
};
use kurbo::{BezPath, Point, Rect};

/// Line weights by role, in pixels at 100 %.
pub mod weight {
    /// Jar and cover outlines.
    pub const JAR: f64 = 1.4;
    /// Posts, straps and bolts.
    pub const METAL: f64 = 1.1;
    /// Plates.
    pub const PLATE: f64 = 0.9;
    /// Separators.
    pub const SHEET: f64 = 0.6;
    /// Mats.
    pub const MAT: f64 = 0.45;
    /// Hatch and texture.
    pub const TEXTURE: f64 = 0.7;
    /// The liquid surface.
    pub const SURFACE: f64 = 1.5;
    /// Level lines.
    pub const LEVEL: f64 = 1.0;
}

/// The drawing in progress.
pub struct Pen<'a> {
    /// Collects the drawing.
    pub out: SceneBuilder,
    /// What is drawn.
    pub layout: &'a Layout,
    /// What conditions change.
    pub effects: &'a Effects<'a>,
    /// What is shown.
    pub options: &'a Options,
    /// The request itself.
    pub request: &'a Request<'a>,
    /// Millimetres of one pixel, rounded to steps, for the spacing of textures.
    pub px: f64,
    /// Bounds of the drawing.
    pub bounds: Rect,
    /// Seals drawn so far.
    pub seals: Vec<SealPlace>,
    /// Counts of things drawn at which a row of cells puts its bars between.
    pub marks: Vec<usize>,
    /// The part of a row that belongs to the specimen, where several cells are drawn.
    pub focus: Option<Rect>,
    /// The first target of the pack that is being drawn on; 0 when the pack is done.
    pub pack: Option<u32>,
    /// True when the marks on joints are drawn.
    pub joints: bool,
    /// True when the marks on vents are drawn.
    pub vents: bool,
}

/// Where a post seal lies in the drawing.
#[derive(Clone, Copy, Debug)]
pub struct SealPlace {
    /// Target of the seal.
    pub target: u32,
    /// Middle of the post.
    pub center: Point,
    /// Radius of the post.
    pub post: f64,
    /// Half the width of what closes the seal.
    pub half: f64,
    /// Free height over the cover, up to the bar; seen from the side only.
    pub free: f64,
}

/// Short calls for the usual shapes.
pub trait Shapes {
    /// A filled outline with a line of the material's edge round it.
    fn solid(&mut self, path: BezPath, fill: impl Into<Paint>, role: Role, width: f64);
}

impl Shapes for SceneBuilder {
    fn solid(&mut self, path: BezPath, fill: impl Into<Paint>, role: Role, width: f64) {
        self.shape(path, fill, Some(Stroke::new(width, Shade::edge(role))));
    }
}

impl<'a> Pen<'a> {
    /// A pen for one request.
    pub fn new(request: &'a Request<'a>, layout: &'a Layout, effects: &'a Effects<'a>) -> Self {
        // Steps of the square root of two: textures stay put while zooming a little.
        let level = libm::round(2.0 * libm::log2(request.px_per_mm.clamp(0.2, 40.0)));
        let px = libm::exp2(-level / 2.0);
        let mut out = SceneBuilder::new(Rect::ZERO);
        out.alter(effects.alterations.clone());
        Self {
            out,
            layout,
            effects,
            options: &request.options,
            request,
            px,
            bounds: Rect::ZERO,
            seals: Vec::new(),
            marks: Vec::new(),
            focus: None,
            pack: None,
            joints: false,
            vents: false,
        }
    }

    /// Begins a part; its spot is the point that leaders and screen readers use.
    pub fn part(&mut self, part: &str, spot: Point) -> u32 {
        self.out.begin(part, spot)
    }

    /// Begins a part only when the design has it and the drawing wants it.
    pub fn wants(&self, part: &str) -> bool {
        !self.options.element_only || ELEMENT.contains(&part)
    }

    /// Remembers how much is drawn: behind, rear posts, vents, front posts.
    pub fn mark(&mut self) {
        self.marks.push(self.out.len());
    }

    /// The first outline of a target.
    pub fn outline(&self, target: u32) -> Option<BezPath> {
        self.out.outlines(target).next().cloned()
    }

    /// True in views from above.
    pub fn seen_from_above(&self) -> bool {
        self.request.view == super::View::Plan
    }

    /// 45° lines where something is cut, in pixels apart.
    pub fn cut(&mut self, path: &BezPath, role: Role, spacing_px: f64) {
        let lines = brush::hatch(path, spacing_px * self.px, -std::f64::consts::FRAC_PI_4);
        let shade = Shade::new(role, Tone::Edge).alpha(0.55);
        self.out.line(lines, Stroke::new(weight::TEXTURE, shade));
    }

    /// The finished drawing.
    pub fn finish(self) -> Scene {
        let mut scene = self.out.finish();
        scene.bounds = self.bounds;
        scene
    }
}

/// The parts of the element: what is lowered into the jar as one.
pub const ELEMENT: [&str; 19] = [
    "positive_plate",
    "negative_plate_inside",
    "negative_plate_end",
    "separator",
    "retainer_mat",
    "mat_wrapper",
    "strap_positive",
    "strap_negative",
    "plate_lug",
    "lead_burn",
    "post_positive",
    "post_negative",
    "plate_feet",
    "positive_hanger",
    "edge_insulator",
    "tube_gauntlet",
    "tube_bottom_bar",
    "plante_lamella",
    "round_plate",
];
