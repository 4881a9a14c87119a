//! The drawing: zoom, pan, pointer, keyboard, and a node for each part for screen readers.

use super::{
    index::Index,
    magnifier::{Magnifier, Under},
    mark::{Mark, draw_mark, focus_ring},
};
use crate::{
    paint::{Painter, Place, Veil},
    theme::Look,
};
use egui::{Id, Key, Pos2, Rect, Response, Role as Node, Sense, Ui, Vec2, WidgetInfo, accesskit};
use jarlight_geometry::{
    callout::{self, Label},
    figure,
    scene::Scene,
    sheet,
    svg::Lamp,
};
use jarlight_model::text::{tr, tr_with};
use kurbo::Point;
use std::sync::Arc;

/// Largest zoom over "all of it".
const MOST_ZOOM: f64 = 24.0;
/// Points to a millimetre that every drawing can be brought to; a rack takes a larger zoom to it.
const NEAREST: f64 = 8.0;
/// Free room between the labels and the border of the area.
const LABEL_MARGIN: f32 = 6.0;
/// Share of the area that one press of an arrow key moves.
const ARROW_STEP: f32 = 0.06;
/// Share of that step for the magnifier, under which everything moves so much farther.
const MAGNIFIER_STEP: f32 = 0.25;

/// A scene with what is found out about it once.
pub struct Picture {
    /// The drawing, in millimetres.
    pub scene: Scene,
    /// What lies where.
    pub index: Index,
    /// Changes with the drawing.
    pub revision: u64,
}

impl Picture {
    /// Reads a scene.
    pub fn new(scene: Scene, revision: u64) -> Self {
        Self { index: Index::new(&scene), scene, revision }
    }
}

/// How a part is spoken of: its name, and an id that may be read by anyone.
#[derive(Clone, Debug, PartialEq)]
pub struct Spoken {
    /// What a screen reader says, and the chip at the pointer.
    pub name: String,
    /// The id of the node.
    pub id: String,
}

/// What is drawn and how.
pub struct Ask<'a> {
    /// The drawing.
    pub picture: &'a Arc<Picture>,
    /// Name of the whole drawing for screen readers.
    pub title: &'a str,
    /// How each target is spoken of, by its number; parts without an entry cannot be chosen.
    pub spoken: &'a [Option<Spoken>],
    /// Whether a chip at the pointer names what is under it.
    pub chip: bool,
    /// Names beside the drawing.
    pub labels: &'a [Label],
    /// The target whose label is bold.
    pub highlighted: Option<u32>,
    /// Which targets keep their colour.
    pub veil: Veil,
    /// Marks on targets.
    pub marks: &'a [Mark],
    /// Whether the lamp is lit.
    pub lamp: bool,
    /// Whether parts can be chosen.
    pub choosing: bool,
    /// What is brought near at first.
    pub near: Option<kurbo::Rect>,
}

/// A place that was chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Picked {
    /// The topmost target there; none beside everything.
    pub target: Option<u32>,
    /// Other targets near it, with their distance in tolerances of a click.
    pub near: Vec<(u32, f64)>,
}

/// What a person did with the drawing.
pub struct Done {
    /// The whole area.
    pub response: Response,
    /// What was chosen.
    pub picked: Option<Picked>,
    /// Targets whose labels found no room.
    pub left_out: Vec<u32>,
    /// The numbers of the labels by target, where numbers are shown.
    pub numbers: Vec<(u32, u32)>,
    /// Where the scene lies on the screen.
    pub place: Place,
}

/// Zoom, place and lamp of one drawing; kept from frame to frame.
pub struct Canvas {
    zoom: f64,
    // The point of the scene in the middle of the area; none while all of it is shown.
    middle: Option<Point>,
    lamp: Option<Point>,
    painter: Painter,
    label_painter: Painter,
    magnifier: Magnifier,
    labels: Option<(LabelKey, callout::Placed, Scene)>,
    label_revision: u64,
    hovered: Option<u32>,
    // Spots of tall parts, moved along them; for a picture and the targets that are named.
    spread: Option<(u64, Vec<u32>, Moved)>,
    style: callout::Style,
    in_sight: Option<kurbo::Rect>,
    // What "all of it" means, where that is not the drawing itself.
    all: Option<kurbo::Rect>,
    coming: Option<kurbo::Rect>,
    room_light: f32,
    follows: bool,
    outlined: Vec<kurbo::Rect>,
}

/// Zoom, place and lamp of a drawing, for another one beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    zoom: f64,
    middle: Option<Point>,
    lamp: Option<Point>,
}

/// Light of the room unless somebody dims it: the lamp takes a quarter of it away.
pub const ROOM_LIGHT: f32 = 0.75;

/// Spots of targets that are not their own.
type Moved = Vec<(u32, Point)>;

#[derive(Clone, PartialEq)]
struct LabelKey {
    revision: u64,
    place: Place,
    inner: Rect,
    look: Look,
    style: callout::Style,
    highlighted: Option<u32>,
    names: Vec<(u32, String)>,
}

impl Default for Canvas {
    fn default() -> Self {
        Self {
            zoom: 1.0,
            middle: None,
            lamp: None,
            painter: Painter::default(),
            label_painter: Painter::default(),
            magnifier: Magnifier::default(),
            labels: None,
            label_revision: 0,
            hovered: None,
            spread: None,
            style: callout::Style::Names,
            in_sight: None,
            all: None,
            coming: None,
            room_light: ROOM_LIGHT,
            follows: false,
            outlined: Vec::new(),
        }
    }
}

impl Canvas {
    /// All of it, lamp in the middle.
    pub fn reset(&mut self) {
        self.zoom = 1.0;
        self.middle = None;
        self.lamp = None;
        self.magnifier.at = None;
    }

    /// Whether the magnifier is held over the drawing.
    pub fn magnifies(&self) -> bool {
        self.magnifier.on
    }

    /// Takes up the magnifier, or puts it away.
    pub fn magnify(&mut self, on: bool) {
        self.magnifier.on = on;
    }

    /// Brings a region near the next time, with the lamp in its middle.
    pub fn bring_near(&mut self, region: kurbo::Rect) {
        self.coming = Some(region);
    }

    /// Shows as much as a region when all is shown, so that several drawings have one scale.
    pub fn fit_to(&mut self, all: Option<kurbo::Rect>) {
        self.all = all;
    }

    /// How light the room is around the lamp, 0 to 1.
    pub fn set_room_light(&mut self, light: f32) {
        self.room_light = light;
    }

    /// Draws a dashed line round regions of the scene.
    pub fn outline(&mut self, regions: Vec<kurbo::Rect>) {
        self.outlined = regions;
    }

    /// Leaves keys that belong to no drawing to the one it goes with.
    pub fn follow(&mut self) {
        self.follows = true;
    }

    /// Zoom, place and lamp.
    pub fn pose(&self) -> Pose {
        Pose { zoom: self.zoom, middle: self.middle, lamp: self.lamp }
    }

    /// Takes over zoom, place and lamp.
    pub fn set_pose(&mut self, pose: Pose) {
        Pose { zoom: self.zoom, middle: self.middle, lamp: self.lamp } = pose;
    }

    /// What the labels show from now on.
    pub fn set_style(&mut self, style: callout::Style) {
        self.style = style;
    }

    /// The part of the scene that was in sight in the last frame; none while all of it is.
    pub fn in_sight(&self) -> Option<kurbo::Rect> {
        self.in_sight.filter(|_| self.zoom > 1.0)
    }

    /// The zoom; 1 shows all of it.
    pub fn zoom(&self) -> f64 {
        self.zoom
    }

    /// Zooms about the middle; a step too far is taken back by the next frame.
    pub fn zoom_by(&mut self, factor: f64) {
        self.zoom = (self.zoom * factor).max(1.0);
        if self.zoom <= 1.0 {
            self.middle = None;
        }
    }

    fn place(&self, bounds: kurbo::Rect, area: Rect) -> Place {
        let fit = Place::fit(bounds, area);
        let Some(middle) = self.middle.filter(|_| self.zoom > 1.0) else { return fit };
        let scale = fit.scale * self.zoom;
        let d = Vec2::new((middle.x * scale) as f32, (middle.y * scale) as f32);
        let origin = area.center() - d;
        Place { origin: Pos2::new(origin.x.round(), origin.y.round()), scale }
    }

    /// Draws and listens.
    pub fn show(&mut self, ui: &mut Ui, look: Look, ask: &Ask<'_>) -> Done {
        let (area, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Node::GraphicsDocument, true, ask.title));
        let inner = self.inner_area(area, look, ask);
        let bounds = self.all.unwrap_or(ask.picture.scene.bounds);
        let coming = self.coming.take();
        if coming.is_some() {
            self.lamp = coming.map(|r| r.center());
        }
        if let Some(near) = coming.or_else(|| ask.near.filter(|_| self.middle.is_none())) {
            let all = Place::fit(bounds, inner).scale;
            self.zoom = (Place::fit(near, inner).scale / all).clamp(1.0, most_zoom(all));
            self.middle = Some(near.center());
        }
        self.listen(ui, &response, bounds, inner, ask);
        let place = self.place(bounds, inner);
        let (a, z) = (place.to_scene(area.min), place.to_scene(area.max));
        self.in_sight = Some(kurbo::Rect::from_points(a, z));
        let lamp = ask.lamp.then(|| Lamp {
            at: *self.lamp.get_or_insert(place.to_scene(inner.center())),
            radius: lamp_radius(inner, place.scale),
        });

        let outer = ui.painter().with_clip_rect(area.intersect(ui.clip_rect()));
        let clip = if ask.labels.is_empty() { area } else { inner.expand(8.0) };
        let painter = ui.painter().with_clip_rect(clip.intersect(ui.clip_rect()));
        let scene = &ask.picture.scene;
        let revision = ask.picture.revision;
        self.painter.paint(&painter, scene, revision, place, look, &ask.veil, lamp);
        if let Some(lamp) = lamp {
            super::lamp::draw(
                &painter,
                clip,
                place.to_screen(lamp.at),
                (lamp.radius * place.scale) as f32,
                self.room_light,
                look,
            );
        }
        let left_out = self.show_labels(&outer, area, inner, place, look, ask);
        for mark in ask.marks {
            draw_mark(&painter, ask.picture, place, look, mark);
        }
        for region in &self.outlined {
            super::mark::outline_region(&painter, place.rect_to_screen(*region), look);
        }

        let pointer = response.hover_pos().filter(|p| clip.contains(*p));
        self.hovered = pointer.and_then(|p| ask.picture.index.pick(scene, place.to_scene(p)));
        let known = |t: u32| ask.spoken.get(t as usize).and_then(Option::as_ref);
        if ask.choosing
            && let Some(t) = self.hovered
            && known(t).is_some()
        {
            draw_mark(&painter, ask.picture, place, look, &Mark::hovered(t));
        }
        let mut picked = None;
        if ask.choosing
            && response.clicked()
            && let Some(p) = response.interact_pointer_pos().or(pointer)
        {
            let tolerance = tolerance(area) / place.scale;
            picked = Some(pick(ask.picture, place.to_scene(p), tolerance));
        }
        if ask.choosing {
            picked = self.show_nodes(ui, &painter, area, place, look, &response, ask).or(picked);
        }
        let glass = self.magnifier.on.then(|| {
            let at = *self.magnifier.at.get_or_insert(place.to_scene(inner.center()));
            ask.picture.index.pick(scene, at)
        });
        if let Some(under) = glass {
            let name = under.and_then(known).map(|s| s.name.as_str()).filter(|_| ask.chip);
            let (picture, veil, marks) = (&**ask.picture, &ask.veil, ask.marks);
            let under = Under { picture, place, veil, marks, lamp, name };
            self.magnifier.show(&outer, area, look, &under);
            tell_magnified(ui, response.id, area, name);
        }
        if ask.chip
            && glass.is_none()
            && let (Some(t), Some(p)) = (self.hovered, pointer)
            && let Some(spoken) = known(t)
        {
            super::chip::at_pointer(&outer, area, p, &spoken.name, look);
        }
        let numbers = match &self.labels {
            Some((_, placed, _)) if !ask.labels.is_empty() => {
                placed.labels.iter().filter_map(|l| Some((l.target, l.number?))).collect()
            }
            _ => Vec::new(),
        };
        Done { response, picked, left_out, numbers, place }
    }

    /// The room between the label columns.
    fn inner_area(&self, area: Rect, look: Look, ask: &Ask<'_>) -> Rect {
        let margin = 10.0;
        if ask.labels.is_empty() {
            return area.shrink(margin);
        }
        let scale = f64::from(look.scale());
        let text = callout::width(ask.labels, self.style, scale, false);
        let column = (text + callout::GUTTER + callout::RUN + callout::PAD) as f32;
        let column = column.min(area.width() * 0.34);
        // The labels keep off the border of the area, and the widest one must still fit.
        area.shrink2(Vec2::new(column + LABEL_MARGIN + 2.0, margin))
    }

    fn listen(
        &mut self,
        ui: &Ui,
        response: &Response,
        bounds: kurbo::Rect,
        inner: Rect,
        ask: &Ask<'_>,
    ) {
        let lamp = ask.lamp;
        self.zoom = self.zoom.min(most_zoom(Place::fit(bounds, inner).scale));
        let before = self.place(bounds, inner);
        if let Some(p) = response.hover_pos() {
            let factor = ui.input(|i| {
                f64::from(i.zoom_delta()) * (f64::from(i.smooth_scroll_delta().y) / 240.0).exp()
            });
            if (factor - 1.0).abs() > 1e-4 {
                let fixed = before.to_scene(p);
                self.zoom_about(fixed, p, factor, bounds, inner);
            }
            if ui.input(|i| i.pointer.delta() != Vec2::ZERO) {
                if lamp {
                    self.lamp = Some(before.to_scene(p));
                }
                self.magnifier.at = Some(before.to_scene(p));
            }
        }
        if response.dragged() && self.zoom > 1.0 {
            let d = response.drag_delta();
            let middle = before.to_scene(inner.center() - d);
            self.middle = Some(middle);
        }
        let focused = ui.memory(|m| m.focused());
        let own = focused == Some(response.id);
        if own {
            let filter = egui::EventFilter {
                horizontal_arrows: true,
                vertical_arrows: true,
                ..egui::EventFilter::default()
            };
            ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        }
        if own || focused.is_none() && !self.follows {
            let step = ui.input(|i| {
                let n = |k| i.num_presses(k) as f32;
                Vec2::new(
                    n(Key::ArrowRight) - n(Key::ArrowLeft),
                    n(Key::ArrowDown) - n(Key::ArrowUp),
                )
            });
            if step != Vec2::ZERO {
                let d = step * inner.width().min(inner.height()) * ARROW_STEP;
                if self.magnifier.on {
                    let at = self.magnifier.at.map(|at| before.to_screen(at));
                    let at = inner.clamp(at.unwrap_or(inner.center()) + d * MAGNIFIER_STEP);
                    self.magnifier.at = Some(before.to_scene(at));
                } else if lamp {
                    let at = self.lamp.unwrap_or_else(|| before.to_scene(inner.center()));
                    self.lamp = Some(before.to_scene(before.to_screen(at) + d));
                } else if self.zoom > 1.0 {
                    self.middle = Some(before.to_scene(inner.center() + d));
                }
            }
        }
        if !self.follows && !ui.ctx().text_edit_focused() {
            let pressed = |keys: &[Key]| {
                ui.input(|i| !i.modifiers.command && keys.iter().any(|k| i.key_pressed(*k)))
            };
            let (more, less) = (pressed(&[Key::Plus, Key::Equals]), pressed(&[Key::Minus]));
            let all = pressed(&[Key::Num0]);
            if pressed(&[Key::M]) && (ask.choosing || ask.chip) {
                self.magnifier.on ^= true;
            }
            let middle = before.to_scene(inner.center());
            if more {
                self.zoom_about(middle, inner.center(), 1.25, bounds, inner);
            }
            if less {
                self.zoom_about(middle, inner.center(), 0.8, bounds, inner);
            }
            if all {
                self.reset();
            }
        }
        self.keep_in_sight(bounds);
    }

    fn zoom_about(
        &mut self,
        fixed: Point,
        at: Pos2,
        factor: f64,
        bounds: kurbo::Rect,
        inner: Rect,
    ) {
        let all = Place::fit(bounds, inner).scale;
        self.zoom = (self.zoom * factor).clamp(1.0, most_zoom(all));
        if self.zoom <= 1.0 {
            self.middle = None;
            return;
        }
        let scale = all * self.zoom;
        let d = inner.center() - at;
        self.middle = Some(fixed + kurbo::Vec2::new(f64::from(d.x), f64::from(d.y)) / scale);
    }

    fn keep_in_sight(&mut self, bounds: kurbo::Rect) {
        if let Some(m) = &mut self.middle {
            m.x = m.x.clamp(bounds.x0, bounds.x1);
            m.y = m.y.clamp(bounds.y0, bounds.y1);
        }
    }

    fn show_labels(
        &mut self,
        painter: &egui::Painter,
        area: Rect,
        inner: Rect,
        place: Place,
        look: Look,
        ask: &Ask<'_>,
    ) -> Vec<u32> {
        if ask.labels.is_empty() {
            return Vec::new();
        }
        let local = Place { origin: place.origin - area.min.to_vec2(), ..place };
        let key = LabelKey {
            revision: ask.picture.revision,
            place: local,
            inner: inner.translate(-area.min.to_vec2()),
            look,
            style: self.style,
            highlighted: ask.highlighted,
            names: ask.labels.iter().map(|l| (l.target, l.name.clone())).collect(),
        };
        if self.labels.as_ref().is_none_or(|(k, ..)| *k != key) {
            let targets: Vec<u32> = ask.labels.iter().map(|l| l.target).collect();
            let known = self.spread.take().filter(|(r, t, _)| *r == key.revision && *t == targets);
            let (_, _, moved) = self.spread.insert(known.unwrap_or_else(|| {
                let scene = &ask.picture.scene;
                let moved = figure::spread(scene, ask.labels, 0.25 * scene.bounds.height());
                (key.revision, targets, moved)
            }));
            let placed = place_labels(&key, area.size(), ask, moved);
            let scene = callout::draw(&placed, f64::from(look.scale()), ask.highlighted);
            self.label_revision += 1;
            self.labels = Some((key, placed, scene));
        }
        let Some((_, placed, scene)) = &self.labels else { return Vec::new() };
        let whole = Place { origin: area.min, scale: 1.0 };
        let veil = Veil::default();
        self.label_painter.paint(painter, scene, self.label_revision, whole, look, &veil, None);
        placed.left_out.clone()
    }

    /// A node for each part: for screen readers, and for Tab and Enter.
    fn show_nodes(
        &self,
        ui: &Ui,
        painter: &egui::Painter,
        area: Rect,
        place: Place,
        look: Look,
        canvas: &Response,
        ask: &Ask<'_>,
    ) -> Option<Picked> {
        let mut picked = None;
        for (t, spoken) in ask.spoken.iter().enumerate() {
            let (Some(spoken), Some(target)) = (spoken, ask.picture.scene.targets.get(t)) else {
                continue;
            };
            let at = place.to_screen(target.spot);
            // Zoomed out of sight: still there for the keyboard, at the border.
            let at = area.shrink(4.0).clamp(at);
            let id: Id = canvas.id.with(t);
            let node = ui.interact(
                Rect::from_center_size(at, Vec2::splat(8.0)),
                id,
                Sense::focusable_noninteractive(),
            );
            let selected = ask.highlighted == Some(t as u32);
            node.widget_info(|| WidgetInfo::selected(Node::Button, true, selected, &spoken.name));
            ui.ctx().accesskit_node_builder(id, |n| {
                n.add_action(accesskit::Action::Click);
                n.set_author_id(spoken.id.as_str());
            });
            // Asked for here, since it must not be asked for while the input is held.
            let focused = node.has_focus();
            if focused {
                focus_ring(painter, ask.picture, place, look, t as u32);
                super::chip::at_pointer(painter, area, at, &spoken.name, look);
            }
            let asked = ui.input(|i| {
                let key = i.key_pressed(Key::Enter) || i.key_pressed(Key::Space);
                (key && focused) || i.has_accesskit_action_request(id, accesskit::Action::Click)
            });
            if asked {
                picked = Some(Picked { target: Some(t as u32), near: Vec::new() });
            }
        }
        picked
    }
}

fn place_labels(
    key: &LabelKey,
    size: Vec2,
    ask: &Ask<'_>,
    moved: &[(u32, Point)],
) -> callout::Placed {
    let whole = Rect::from_min_size(Pos2::ZERO, size);
    let scene = &ask.picture.scene;
    let to = |p: Point| {
        let q = key.place.to_screen(p);
        Point::new(f64::from(q.x), f64::from(q.y))
    };
    let rect = |r: Rect| {
        kurbo::Rect::new(
            f64::from(r.min.x),
            f64::from(r.min.y),
            f64::from(r.max.x),
            f64::from(r.max.y),
        )
    };
    let spot = |t: u32| {
        let own = scene.targets[t as usize].spot;
        to(moved.iter().find(|(m, _)| *m == t).map_or(own, |(_, p)| *p))
    };
    let shown = rect(key.place.rect_to_screen(scene.bounds)).intersect(rect(key.inner));
    let visible: Vec<Label> =
        ask.labels.iter().filter(|l| shown.contains(spot(l.target))).cloned().collect();
    let mut light = Scene { bounds: shown, targets: scene.targets.clone(), ..Scene::default() };
    for (t, target) in light.targets.iter_mut().enumerate() {
        target.spot = spot(t as u32);
    }
    callout::place(&callout::Ask {
        scene: &light,
        labels: &visible,
        area: rect(whole.shrink(LABEL_MARGIN)),
        text_scale: f64::from(key.look.scale()),
        style: key.style,
    })
}

/// The largest zoom of a drawing that fits at a scale.
fn most_zoom(fit: f64) -> f64 {
    (NEAREST / fit).max(MOST_ZOOM)
}

/// Says to a screen reader what lies under the magnifier, each time something else does.
fn tell_magnified(ui: &Ui, canvas: Id, area: Rect, name: Option<&str>) {
    let id = canvas.with("magnifier");
    let node = ui.interact(Rect::from_min_size(area.min, Vec2::splat(1.0)), id, Sense::hover());
    let under = name.map_or_else(|| tr("magnifier-nothing"), ToOwned::to_owned);
    let words = tr_with("magnifier-under", &[("what", &under)]);
    node.widget_info(|| WidgetInfo::labeled(Node::Label, true, &words));
    ui.ctx().accesskit_node_builder(id, |n| n.set_live(accesskit::Live::Polite));
}

/// How far the lamp reaches, in units of the scene: as far as a real one, but so that its edge
/// is always in sight.
fn lamp_radius(inner: Rect, scale: f64) -> f64 {
    let side = f64::from(inner.width().min(inner.height())) / scale;
    sheet::LAMP_REACH.clamp(0.24 * side, 0.45 * side)
}

/// How far beside a part a click still counts, in points.
fn tolerance(area: Rect) -> f64 {
    f64::from(area.width().min(area.height()) * 0.02).max(12.0)
}

fn pick(picture: &Picture, at: Point, tolerance: f64) -> Picked {
    let target = picture.index.pick(&picture.scene, at);
    let near = picture
        .index
        .near(&picture.scene, at, 2.0 * tolerance)
        .into_iter()
        .filter(|(t, _)| Some(*t) != target)
        .map(|(t, d)| (t, d / tolerance))
        .collect();
    Picked { target, near }
}
