//! A finished drawing as data: window, SVG, PNG, PDF and hit test read this and nothing else.
//!
//! A scene of the cell is in millimetres with y down; a figure is the same scene brought to
//! pixels with labels added. Line widths and text sizes are always pixels at 100 %, so that a
//! line keeps its weight at any zoom.

mod cut;

use crate::{
    alter::{Active, Alteration},
    palette::Role,
};
use kurbo::{Affine, BezPath, Point, Rect, Shape as _};
use std::sync::Arc;

/// Which value of a material is meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tone {
    /// The lit side.
    Light,
    /// The body.
    Base,
    /// The shaded side.
    Dark,
    /// The line round it.
    Edge,
}

/// A colour as a drawing knows it: a material, a tone, an opacity, and a share of another one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shade {
    /// The material.
    pub role: Role,
    /// Which of its values.
    pub tone: Tone,
    /// Opacity, 0 to 1.
    pub alpha: f32,
    /// A second material mixed in, with its share from 0 to 1.
    pub mix: Option<(Role, Tone, f32)>,
}

impl Shade {
    /// An opaque shade.
    pub const fn new(role: Role, tone: Tone) -> Self {
        Self { role, tone, alpha: 1.0, mix: None }
    }

    /// The body value of a material.
    pub const fn base(role: Role) -> Self {
        Self::new(role, Tone::Base)
    }

    /// The line round a material.
    pub const fn edge(role: Role) -> Self {
        Self::new(role, Tone::Edge)
    }

    /// The same with another opacity.
    #[must_use]
    pub const fn alpha(mut self, alpha: f32) -> Self {
        self.alpha = alpha;
        self
    }

    /// The same with a share of another material.
    #[must_use]
    pub const fn mixed(mut self, role: Role, tone: Tone, share: f32) -> Self {
        self.mix = Some((role, tone, share));
        self
    }
}

/// What fills an outline.
#[derive(Clone, Debug, PartialEq)]
pub enum Paint {
    /// One shade.
    Plain(Shade),
    /// A linear gradient; stops rise from 0 to 1.
    Linear {
        /// Start of the axis.
        from: Point,
        /// End of the axis.
        to: Point,
        /// Position and shade.
        stops: Vec<(f32, Shade)>,
    },
    /// A gradient outward from a point.
    Radial {
        /// Centre.
        center: Point,
        /// Radius at which the last stop stands.
        radius: f64,
        /// Position and shade.
        stops: Vec<(f32, Shade)>,
    },
}

impl From<Shade> for Paint {
    fn from(shade: Shade) -> Self {
        Self::Plain(shade)
    }
}

/// A line along a path.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Pixels at 100 %.
    pub width: f64,
    /// Its shade.
    pub shade: Shade,
    /// Lengths of dash and gap in pixels; solid when empty.
    pub dash: Vec<f64>,
    /// Whether the ends are round.
    pub round: bool,
}

impl Stroke {
    /// A solid line.
    pub const fn new(width: f64, shade: Shade) -> Self {
        Self { width, shade, dash: Vec::new(), round: false }
    }

    /// The same with dashes.
    #[must_use]
    pub fn dashed(mut self, dash: &[f64]) -> Self {
        self.dash = dash.to_vec();
        self
    }

    /// The same with round ends.
    #[must_use]
    pub const fn rounded(mut self) -> Self {
        self.round = true;
        self
    }
}

/// Where a text stands against its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Begins at the point.
    Start,
    /// Centred on the point.
    Middle,
    /// Ends at the point.
    End,
}

/// Weight of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// 400
    Regular,
    /// 500
    Medium,
    /// 600
    SemiBold,
    /// 700
    Bold,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The point on the base line.
    pub at: Point,
    /// Size in pixels at 100 %.
    pub size: f64,
    /// Where it stands against the point.
    pub anchor: Anchor,
    /// Weight.
    pub weight: Weight,
    /// Colour.
    pub shade: Shade,
    /// A rim in this shade, 0.3 of the size wide, that keeps it readable over lines.
    pub halo: Option<Shade>,
    /// Turned a quarter to the left, to be read from below.
    pub upright: bool,
    /// The words.
    pub words: String,
}

/// How something answers to the inspector's lamp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glint {
    /// Where the lamp must stand to flash it: direction in the plane, in radians.
    pub facing: f32,
    /// How strongly it shows, 0 to 1, outside the right direction.
    pub floor: f32,
    /// Its order of birth, 0 to 1: at a far zoom only the first ones are drawn.
    pub birth: f32,
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// An outline or a line.
    Path {
        /// The path.
        path: BezPath,
        /// What fills it.
        fill: Option<Paint>,
        /// The line along it.
        stroke: Option<Stroke>,
    },
    /// A line of text.
    Text(Text),
}

/// One thing in a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Prim {
    /// What is drawn.
    pub form: Form,
    /// Index of the target it belongs to.
    pub target: Option<u32>,
    /// Its answer to the lamp; such a thing is seen only where the lamp falls.
    pub glint: Option<Glint>,
}

/// A part in the picture that can be pointed at.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Id of the part in the catalogue.
    pub part: Arc<str>,
    /// Number among its kind, from 1, from the left.
    pub number: u32,
    /// A point that lies on the visible part, for leaders and screen readers.
    pub spot: Point,
}

impl Target {
    /// The id in figures, such as `positive_plate-3`.
    pub fn id(&self) -> String {
        format!("{}-{}", self.part, self.number)
    }
}

/// A finished drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// What the drawing fills.
    pub bounds: Rect,
    /// Everything drawn, back to front.
    pub prims: Vec<Prim>,
    /// Everything that can be pointed at, in reading order.
    pub targets: Vec<Target>,
}

impl Scene {
    /// The target with this id.
    pub fn find(&self, id: &str) -> Option<&Target> {
        let (part, number) = id.rsplit_once('-')?;
        let number: u32 = number.parse().ok()?;
        self.targets.iter().find(|t| &*t.part == part && t.number == number)
    }

    /// The same drawing at another place and scale; widths and text sizes stay in pixels.
    #[must_use]
    pub fn transformed(&self, affine: Affine) -> Self {
        let paint = |p: &Paint| match p {
            Paint::Plain(s) => Paint::Plain(*s),
            Paint::Linear { from, to, stops } => {
                Paint::Linear { from: affine * *from, to: affine * *to, stops: stops.clone() }
            }
            Paint::Radial { center, radius, stops } => Paint::Radial {
                center: affine * *center,
                radius: radius * affine.determinant().abs().sqrt(),
                stops: stops.clone(),
            },
        };
        let prims = self
            .prims
            .iter()
            .map(|p| Prim {
                form: match &p.form {
                    Form::Path { path, fill, stroke } => Form::Path {
                        path: affine * path.clone(),
                        fill: fill.as_ref().map(paint),
                        stroke: stroke.clone(),
                    },
                    Form::Text(t) => Form::Text(Text { at: affine * t.at, ..t.clone() }),
                },
                target: p.target,
                glint: p.glint,
            })
            .collect();
        let targets =
            self.targets.iter().map(|t| Target { spot: affine * t.spot, ..t.clone() }).collect();
        Self { bounds: affine.transform_rect_bbox(self.bounds), prims, targets }
    }

    /// Adds another drawing on top of this one, at the same scale.
    pub fn append(&mut self, other: Self) {
        let shift = self.targets.len() as u32;
        self.targets.extend(other.targets);
        self.prims.extend(
            other.prims.into_iter().map(|p| Prim { target: p.target.map(|t| t + shift), ..p }),
        );
        self.bounds = self.bounds.union(other.bounds);
    }

    /// Numbers the targets of each part anew in their order, where drawings were put together.
    pub fn renumber(&mut self) {
        let mut counts = std::collections::BTreeMap::<Arc<str>, u32>::new();
        for t in &mut self.targets {
            let n = counts.entry(t.part.clone()).or_insert(0);
            *n += 1;
            t.number = *n;
        }
    }

    /// The topmost target whose filled outline contains the point.
    pub fn pick(&self, at: Point) -> Option<u32> {
        self.prims.iter().rev().find_map(|p| match &p.form {
            Form::Path { path, fill: Some(_), .. } if p.target.is_some() && p.glint.is_none() => {
                // The box of the control points costs little and turns nearly all away.
                let inside = path.control_box().contains(at) && path.winding(at) != 0;
                p.target.filter(|_| inside)
            }
            _ => None,
        })
    }

    /// The outlines of a target, for highlighting it.
    pub fn outlines(&self, target: u32) -> impl Iterator<Item = &BezPath> {
        self.prims.iter().filter_map(move |p| match &p.form {
            Form::Path { path, fill: Some(_), .. } if p.target == Some(target) => Some(path),
            _ => None,
        })
    }
}

/// Collects a drawing; keeps the numbers of targets.
#[derive(Debug, Default)]
pub struct SceneBuilder {
    scene: Scene,
    current: Option<u32>,
    alterations: Vec<Alteration>,
    active: Active,
}

impl SceneBuilder {
    /// An empty drawing that fills these bounds.
    pub fn new(bounds: Rect) -> Self {
        Self { scene: Scene { bounds, ..Scene::default() }, ..Self::default() }
    }

    /// Goes on with a drawing.
    pub fn over(scene: Scene) -> Self {
        Self { scene, ..Self::default() }
    }

    /// From here on parts are drawn with these changes; gives the ones before.
    pub fn alter(&mut self, alterations: Vec<Alteration>) -> Vec<Alteration> {
        self.active = Active::default();
        std::mem::replace(&mut self.alterations, alterations)
    }

    /// What is drawn from here on belongs to the next one of this part.
    pub fn begin(&mut self, part: &str, spot: Point) -> u32 {
        let number = 1 + self.scene.targets.iter().filter(|t| &*t.part == part).count() as u32;
        self.active = Active::of(&self.alterations, part, number, spot);
        let spot = self.active.point(spot);
        self.scene.targets.push(Target { part: part.into(), number, spot });
        let index = self.scene.targets.len() as u32 - 1;
        self.current = Some(index);
        index
    }

    /// What is drawn from here on belongs to this target, or to none.
    pub fn resume(&mut self, target: Option<u32>) {
        self.current = target;
        self.active = target
            .and_then(|t| self.scene.targets.get(t as usize))
            .map_or_else(Active::default, |t| {
                Active::of(&self.alterations, &t.part, t.number, t.spot)
            });
    }

    /// What is drawn from here on belongs to nothing.
    pub fn end(&mut self) {
        self.current = None;
        self.active = Active::default();
    }

    /// How many things are drawn so far.
    pub fn len(&self) -> usize {
        self.scene.prims.len()
    }

    /// True when nothing is drawn so far.
    pub fn is_empty(&self) -> bool {
        self.scene.prims.is_empty()
    }

    /// The targets so far.
    pub fn targets(&self) -> &[Target] {
        &self.scene.targets
    }

    /// The outlines of a target drawn so far.
    pub fn outlines(&self, target: u32) -> impl Iterator<Item = &BezPath> {
        self.scene.outlines(target)
    }

    /// Moves the point at which a target is pointed.
    pub fn set_spot(&mut self, target: u32, spot: Point) {
        if let Some(t) = self.scene.targets.get_mut(target as usize) {
            t.spot = spot;
        }
    }

    /// A filled outline with a line round it.
    pub fn shape(&mut self, path: BezPath, fill: impl Into<Paint>, stroke: Option<Stroke>) {
        self.push(Form::Path { path, fill: Some(fill.into()), stroke }, None);
    }

    /// A line.
    pub fn line(&mut self, path: BezPath, stroke: Stroke) {
        self.push(Form::Path { path, fill: None, stroke: Some(stroke) }, None);
    }

    /// A text.
    pub fn text(&mut self, text: Text) {
        self.push(Form::Text(text), None);
    }

    /// Something that the lamp makes visible.
    pub fn glint(&mut self, path: BezPath, fill: impl Into<Paint>, glint: Glint) {
        self.push(Form::Path { path, fill: Some(fill.into()), stroke: None }, Some(glint));
    }

    fn push(&mut self, form: Form, glint: Option<Glint>) {
        if self.active.hidden
            || matches!(&form, Form::Path { path, .. } if path.elements().is_empty())
        {
            return;
        }
        let form = match form {
            form if self.active.is_still() => form,
            Form::Path { path, fill, stroke } => {
                Form::Path { path: self.active.path(path), fill, stroke }
            }
            Form::Text(text) => Form::Text(Text { at: self.active.point(text.at), ..text }),
        };
        self.scene.prims.push(Prim { form, target: self.current, glint });
    }

    /// The finished drawing.
    pub fn finish(self) -> Scene {
        self.scene
    }
}
