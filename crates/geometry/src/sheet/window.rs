//! Where a condition shows: the window of the drawing that a close picture takes, and what is
//! seen in it.

use crate::{
    draw::{self, Options, Request, View},
    layout::Impossible,
    overlay,
    palette::Role,
    scene::{Form, Paint, Scene, SceneBuilder, Shade, Stroke, Tone},
    svg::Lamp,
};
use jarlight_model::{
    catalogue::{Catalogue, Condition, Frame, SeenFrom},
    design::Design,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use kurbo::{Affine, Point, Rect, Shape as _, Size};
use std::collections::BTreeMap;

/// How far the light of the inspector's lamp reaches, in millimetres.
pub const LAMP_REACH: f64 = 110.0;

/// The least width of a window that is told from what changes, in millimetres.
const LEAST: f64 = 40.0;

/// How far off a part a mark may lie that belongs to it, in millimetres.
const NEAR: f64 = 3.0;

/// A part of a drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// From where the cell is looked at.
    pub view: View,
    /// What is seen of the drawing, in its millimetres.
    pub area: Rect,
}

impl Window {
    /// Where a condition shows on a cell; `aspect` is width by height.
    ///
    /// The window is the same at every severity, and for the healthy cell of the same seed.
    pub fn of(
        catalogue: &Catalogue,
        design: &Design,
        condition: &Condition,
        place: Option<&str>,
        seed: u64,
        aspect: f64,
    ) -> Result<Self, Vec<Impossible>> {
        let healthy = Specimen { seed, ..Specimen::healthy(design.id.clone()) };
        let affected = |severity| {
            let condition = condition.id.value.clone();
            let (severity, place) = (Severity::clamped(severity), place.map(str::to_owned));
            let occurrences = vec![Occurrence { condition, severity, place }];
            Specimen { occurrences, ..healthy.clone() }
        };
        let scene = |specimen: &Specimen, view| {
            let options = Options::default();
            let request = Request { catalogue, design, specimen, view, px_per_mm: 1.0, options };
            draw::scene(&request)
        };
        if let Some(frame) = &condition.frame {
            let view = view(frame.from);
            let before = scene(&healthy, view)?;
            // Grade 3 counts as present; what comes later is drawn beside what was there.
            let marks = changes(&before, &scene(&affected(0.6), view)?);
            let named = place.filter(|p| before.find(p).is_some_and(|t| frame.on.value == *t.part));
            let named = named.unwrap_or(frame.on.value.as_str());
            if let Some(part) = framed(&before, named, &marks) {
                return Ok(Self { view, area: around(&before, part, frame, &marks, aspect) });
            }
        }
        let mut views: Vec<View> = condition.views.iter().map(|from| view(*from)).collect();
        views.push(View::Edge);
        let mut whole = None;
        for view in views {
            let after = scene(&affected(1.0), view)?;
            let marks = changes(&scene(&healthy, view)?, &after);
            if let Some(area) = marks.into_iter().reduce(|a, b| a.union(b)) {
                let area = spread(area.intersect(after.bounds), after.bounds, aspect);
                return Ok(Self { view, area });
            }
            whole.get_or_insert(Self::whole(&after, view, aspect));
        }
        Ok(whole.unwrap_or(Self { view: View::Edge, area: Rect::ZERO }))
    }

    /// How many times wider than true a picture of this size shows it; 1 in true proportions.
    pub fn stretch(&self, size: Size) -> f64 {
        (size.width / size.height) * (self.area.height() / self.area.width().max(1e-6))
    }

    /// The whole of a drawing, with air round it to fill the proportions.
    pub fn whole(scene: &Scene, view: View, aspect: f64) -> Self {
        let size = scene.bounds.size();
        let wide = size.width.max(size.height * aspect);
        Self { view, area: Rect::from_center_size(scene.bounds.center(), (wide, wide / aspect)) }
    }
}

/// The view that shows best what is seen from there.
fn view(from: SeenFrom) -> View {
    overlay::views(from).first().copied().unwrap_or(View::Edge)
}

/// The bounds of the part that a frame is centred on: by its number, or the one with most marks;
/// where all are alike, the one nearest the middle.
fn framed(scene: &Scene, named: &str, marks: &[Rect]) -> Option<Rect> {
    let extent =
        |i: usize| scene.outlines(i as u32).map(|p| p.bounding_box()).reduce(|a, b| a.union(b));
    if let Some(i) = scene.targets.iter().position(|t| t.id() == named) {
        return extent(i);
    }
    let middle = scene.bounds.center().x;
    let on = |part: &Rect| {
        let near = part.inflate(NEAR, NEAR);
        marks.iter().filter(|m| near.contains(m.center())).count()
    };
    (0..scene.targets.len())
        .filter(|i| &*scene.targets[*i].part == named)
        .filter_map(extent)
        .map(|part| (on(&part), part))
        .min_by(|(n, a), (m, b)| {
            let far = |part: &Rect| (part.center().x - middle).abs();
            m.cmp(n).then(far(a).total_cmp(&far(b)))
        })
        .map(|(_, part)| part)
}

fn height(frame: &Frame, aspect: f64) -> f64 {
    frame.tall.unwrap_or(frame.wide / aspect)
}

fn around(scene: &Scene, part: Rect, frame: &Frame, marks: &[Rect], aspect: f64) -> Rect {
    let near = part.inflate(NEAR, NEAR);
    // What does not fit into the window does not tell where to look, unless there is nothing else.
    let fits = |m: &&Rect| m.height() < height(frame, aspect) && m.width() < frame.wide;
    let mut on: Vec<Point> = Vec::new();
    for all in [false, true] {
        if on.is_empty() {
            let shown = marks.iter().filter(|m| all || fits(m));
            on = shown.map(|m| m.center()).filter(|m| near.contains(*m)).collect();
        }
    }
    // The one in the middle of all; a mean could lie where nothing is.
    on.sort_by(|a, b| a.y.total_cmp(&b.y));
    let most = on.get(on.len() / 2).copied().unwrap_or(part.center());
    // A part that is seen whole is looked at in its middle.
    let (wide, tall) = (frame.wide, height(frame, aspect));
    let x = match frame.across {
        Some(share) => part.x0 + share * part.width(),
        None if part.width() < 0.6 * wide => part.center().x,
        None => most.x,
    };
    let y = match frame.down {
        Some(share) => part.y0 + share * part.height(),
        None if part.height() < 0.6 * tall => part.center().y,
        None => most.y,
    };
    within(Rect::from_center_size((x, y), (wide, tall)), scene.bounds)
}

/// A window of the proportions round an area.
fn spread(area: Rect, bounds: Rect, aspect: f64) -> Rect {
    let wide = (1.3 * area.width()).max(1.3 * area.height() * aspect).max(LEAST);
    within(Rect::from_center_size(area.center(), (wide, wide / aspect)), bounds)
}

/// Moves a window so that it shows no more room round a drawing than it must.
fn within(window: Rect, bounds: Rect) -> Rect {
    let shift = |low: f64, high: f64, from: f64, to: f64| {
        if high - low >= to - from {
            f64::midpoint(from, to) - f64::midpoint(low, high)
        } else {
            (from - low).max(0.0) + (to - high).min(0.0)
        }
    };
    window
        + kurbo::Vec2::new(
            shift(window.x0, window.x1, bounds.x0, bounds.x1),
            shift(window.y0, window.y1, bounds.y0, bounds.y1),
        )
}

/// The extents of everything that two drawings do not have in common.
fn changes(before: &Scene, after: &Scene) -> Vec<Rect> {
    let mut count = BTreeMap::<String, i32>::new();
    for prim in &before.prims {
        *count.entry(format!("{:?}", prim.form)).or_default() += 1;
    }
    let mut marks = Vec::new();
    let mut add = |form: &Form| {
        marks.push(match form {
            Form::Path { path, .. } => path.bounding_box(),
            Form::Text(t) => Rect::from_center_size(t.at, (8.0, 4.0)),
        });
    };
    for prim in &after.prims {
        match count.get_mut(&format!("{:?}", prim.form)) {
            Some(n) if *n > 0 => *n -= 1,
            _ => add(&prim.form),
        }
    }
    for prim in &before.prims {
        if let Some(n) = count.get_mut(&format!("{:?}", prim.form)).filter(|n| **n > 0) {
            *n -= 1;
            add(&prim.form);
        }
    }
    marks
}

/// What a close picture is taken of.
#[derive(Clone, Copy)]
pub struct Shot<'a> {
    /// The catalogue that says how conditions look.
    pub catalogue: &'a Catalogue,
    /// The design.
    pub design: &'a Design,
    /// The cell and what is on it.
    pub specimen: &'a Specimen,
    /// What is seen.
    pub window: Window,
    /// Size of the picture in pixels; the window fills it.
    pub size: Size,
    /// The lamp, in millimetres of the drawing.
    pub lamp: Option<Lamp>,
}

/// The part of the drawing that lies in the window, in pixels, its corner at the origin.
pub fn picture(shot: &Shot<'_>) -> Result<Scene, Vec<Impossible>> {
    let Window { view, area } = shot.window;
    let across = shot.size.width / area.width().max(1e-6);
    let down = shot.size.height / area.height().max(1e-6);
    let drawn = drawing(shot, (across * down).sqrt())?;
    let brought =
        Affine::scale_non_uniform(across, down) * Affine::translate(-area.origin().to_vec2());
    let lamp = shot.lamp.map(|l| Lamp { at: brought * l.at, radius: l.radius * across });
    let room = Rect::from_origin_size(Point::ZERO, shot.size);
    // Air round a cell that stands free; a wall behind what is seen from the aisle.
    let mut b = SceneBuilder::new(room);
    let back = if view == View::Plan { Role::QuietPanel } else { Role::Room };
    b.shape(room.to_path(0.1), Shade::base(back), None);
    let mut scene = b.finish();
    scene.append(drawn.transformed(brought).lit(lamp).cut(room));
    if let Some(lamp) = lamp {
        let mut b = SceneBuilder::new(room);
        b.shape(room.to_path(0.1), veil(lamp), None);
        scene.append(b.finish());
    }
    scene.bounds = room;
    Ok(scene)
}

fn drawing(shot: &Shot<'_>, px_per_mm: f64) -> Result<Scene, Vec<Impossible>> {
    draw::scene(&Request {
        catalogue: shot.catalogue,
        design: shot.design,
        specimen: shot.specimen,
        view: shot.window.view,
        px_per_mm,
        options: Options::default(),
    })
}

/// The lamp where most glints of the window are, when there are any.
pub fn lamp(shot: &Shot<'_>) -> Result<Option<Lamp>, Vec<Impossible>> {
    let area = shot.window.area;
    let drawn = drawing(shot, 1.0)?;
    let places: Vec<Point> = drawn
        .prims
        .iter()
        .filter(|p| p.glint.is_some())
        .filter_map(|p| match &p.form {
            Form::Path { path, .. } => Some(path.bounding_box().center()),
            Form::Text(_) => None,
        })
        .filter(|p| area.contains(*p))
        .collect();
    let n = places.len() as f64;
    let sum = places.iter().fold(kurbo::Vec2::ZERO, |sum, p| sum + p.to_vec2());
    let radius = LAMP_REACH.min(0.75 * area.width());
    Ok((n > 0.0).then(|| Lamp { at: (sum / n).to_point(), radius }))
}

/// The room is dimmed by a quarter outside the light.
fn veil(lamp: Lamp) -> Paint {
    let dark = |alpha| Shade::new(Role::Shadow, Tone::Base).alpha(alpha);
    Paint::Radial {
        center: lamp.at,
        radius: lamp.radius,
        stops: vec![(0.0, dark(0.0)), (0.5, dark(0.0)), (1.0, dark(0.32))],
    }
}

/// Outlines of what differs between two pictures of the same window, for pointing it out.
pub fn outlines(before: &Scene, after: &Scene) -> Scene {
    let mut count = BTreeMap::<String, i32>::new();
    for prim in &before.prims {
        *count.entry(format!("{:?}", prim.form)).or_default() += 1;
    }
    let mut b = SceneBuilder::new(after.bounds);
    for prim in &after.prims {
        match count.get_mut(&format!("{:?}", prim.form)) {
            Some(n) if *n > 0 => *n -= 1,
            _ => {
                if let Form::Path { path, .. } = &prim.form {
                    let line = Stroke::new(1.2, Shade::base(Role::Accent));
                    b.line(path.clone(), line);
                }
            }
        }
    }
    b.finish()
}
