//! A photograph with its regions: zoom and pan, and drawing of regions by mouse and by keys.

use crate::{paint::Place, photo::OpenPhoto, theme::Look};
use egui::{
    Color32, EventFilter, Id, Key, Painter, Pos2, Rect, Response, Role as Node, Sense, Shape,
    Stroke, Ui, Vec2, WidgetInfo, accesskit, pos2, vec2,
};
use jarlight_geometry::palette::Role;
use jarlight_model::{
    photo::{MOST_CORNERS, Outline, Shown},
    text::tr_with,
};
use kurbo::Point;

/// Largest zoom over "all of it".
const MOST_ZOOM: f64 = 20.0;
/// How near a pointer must be to a corner, in points.
const GRIP: f32 = 9.0;
/// Share of the shorter side of the picture that one press of an arrow key moves.
const STEP: f64 = 0.01;

/// What the mouse does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tool {
    /// Chooses, moves and pulls at corners.
    #[default]
    Choose,
    /// Draws boxes.
    Box,
    /// Draws polygons, corner by corner.
    Polygon,
}

/// What is being drawn or moved just now.
#[derive(Clone, Debug, PartialEq)]
enum Draft {
    Moved { region: usize, outline: Outline },
    Corner { region: usize, corner: usize, outline: Outline },
    Box { from: Point, to: Point },
    Polygon(Vec<Point>),
    Pan,
}

/// Zoom, tool and choice; kept from frame to frame.
pub struct Table {
    zoom: f64,
    middle: Option<Point>,
    draft: Option<Draft>,
    /// What the mouse does.
    pub tool: Tool,
    /// The chosen region.
    pub chosen: Option<usize>,
    /// The corner that keys move.
    pub corner: usize,
}

impl Default for Table {
    fn default() -> Self {
        let tool = Tool::default();
        Self { zoom: 1.0, middle: None, draft: None, tool, chosen: None, corner: 0 }
    }
}

/// What a person did.
#[derive(Clone, Debug, PartialEq)]
pub enum Deed {
    /// Gave a region another border.
    Change(usize, Outline),
    /// Drew a new one.
    Add(Outline),
    /// Took one away.
    Remove(usize),
    /// Took the last change back.
    Undo,
}

/// What is shown and how.
pub struct Ask<'a> {
    /// The photograph.
    pub open: &'a OpenPhoto,
    /// The name of each region.
    pub names: &'a [String],
    /// Whether regions can be drawn and moved.
    pub editing: bool,
}

impl Table {
    /// Shows all of the picture.
    pub fn show_all(&mut self) {
        self.zoom = 1.0;
        self.middle = None;
    }

    /// Zooms about the middle.
    pub fn zoom_by(&mut self, factor: f64) {
        self.zoom = (self.zoom * factor).clamp(1.0, MOST_ZOOM);
    }

    fn place(&self, bounds: kurbo::Rect, area: Rect) -> Place {
        let fit = Place::fit(bounds, area);
        let Some(middle) = self.middle.filter(|_| self.zoom > 1.0) else {
            let scale = fit.scale * self.zoom;
            let c = bounds.center();
            return Place { origin: area.center() - at_scale(c, scale), scale };
        };
        let scale = fit.scale * self.zoom;
        Place { origin: area.center() - at_scale(middle, scale), scale }
    }

    /// Draws and listens.
    pub fn show(&mut self, ui: &mut Ui, look: Look, ask: &Ask<'_>) -> Vec<Deed> {
        let (area, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        let title = tr_with("photo-drawing", &[("picture", &ask.open.photo.picture.value)]);
        response.widget_info(|| WidgetInfo::labeled(Node::GraphicsDocument, true, &title));
        let bounds =
            kurbo::Rect::new(0.0, 0.0, f64::from(ask.open.full.0), f64::from(ask.open.full.1));
        if response.clicked() || response.drag_started() {
            // Keys then belong to the picture.
            response.request_focus();
        }
        let mut deeds = Vec::new();
        self.listen_to_wheel(ui, &response, bounds, area);
        let place = self.place(bounds, area.shrink(6.0));
        if ask.editing {
            self.listen_to_mouse(ui, &response, ask, bounds, place, &mut deeds);
            self.listen_to_keys(ui, &response, ask, bounds, &mut deeds);
        } else if response.clicked() {
            self.choose_at(response.interact_pointer_pos().map(|p| place.to_scene(p)), ask);
        }
        let painter = ui.painter().with_clip_rect(area.intersect(ui.clip_rect()));
        painter.rect_filled(area, 0.0, look.color(Role::QuietPanel));
        let all = Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0));
        let texture = ask.open.texture(ui.ctx()).id();
        painter.image(texture, place.rect_to_screen(bounds), all, Color32::WHITE);
        self.draw(&painter, look, ask, place);
        self.nodes(ui, &response, ask, area, place);
        if response.has_focus() {
            let ink = Stroke::new(2.0, look.color(Role::Ink));
            ui.painter().rect_stroke(area, 4.0, ink, egui::StrokeKind::Inside);
        }
        deeds
    }

    fn listen_to_wheel(&mut self, ui: &Ui, response: &Response, bounds: kurbo::Rect, area: Rect) {
        let Some(p) = response.hover_pos() else { return };
        let factor = ui.input(|i| {
            f64::from(i.zoom_delta()) * (f64::from(i.smooth_scroll_delta().y) / 240.0).exp()
        });
        if (factor - 1.0).abs() <= 1e-4 {
            return;
        }
        let inner = area.shrink(6.0);
        let fixed = self.place(bounds, inner).to_scene(p);
        self.zoom = (self.zoom * factor).clamp(1.0, MOST_ZOOM);
        let scale = Place::fit(bounds, inner).scale * self.zoom;
        let d = inner.center() - p;
        let middle = fixed + kurbo::Vec2::new(f64::from(d.x), f64::from(d.y)) / scale;
        self.middle = Some(within(middle, bounds));
    }

    fn listen_to_mouse(
        &mut self,
        ui: &Ui,
        response: &Response,
        ask: &Ask<'_>,
        bounds: kurbo::Rect,
        place: Place,
        deeds: &mut Vec<Deed>,
    ) {
        let at = response.interact_pointer_pos().map(|p| within(place.to_scene(p), bounds));
        let Some(at) = at else { return };
        if response.drag_started() {
            let from = response.interact_pointer_pos().unwrap_or_default()
                - response.total_drag_delta().unwrap_or_default();
            self.draft = self.grip(ask, from, place, bounds).or(self.draft.take());
        }
        if response.dragged() {
            let d = response.drag_delta();
            let shift =
                kurbo::Vec2::new(f64::from(d.x) / place.scale, f64::from(d.y) / place.scale);
            match &mut self.draft {
                Some(Draft::Moved { outline, .. }) => *outline = moved(outline, shift, bounds),
                Some(Draft::Corner { corner, outline, .. }) => {
                    *outline = pulled(outline, *corner, at);
                }
                Some(Draft::Box { to, .. }) => *to = at,
                Some(Draft::Pan) if self.zoom > 1.0 => {
                    let middle = self.middle.unwrap_or(bounds.center()) - shift;
                    self.middle = Some(within(middle, bounds));
                }
                _ => {}
            }
        }
        if response.drag_stopped() {
            match self.draft.take() {
                Some(Draft::Moved { region, outline } | Draft::Corner { region, outline, .. }) => {
                    deeds.push(Deed::Change(region, outline));
                }
                Some(Draft::Box { from, to }) => {
                    let outline = box_of(from, to);
                    if outline.area() >= 1.0 {
                        deeds.push(Deed::Add(outline));
                    }
                }
                draft @ Some(Draft::Polygon(_)) => self.draft = draft,
                Some(Draft::Pan) | None => {}
            }
        }
        if response.double_clicked() && self.tool == Tool::Polygon {
            self.close_polygon(deeds);
        } else if response.clicked() && ui.input(|i| i.pointer.any_released()) {
            // Enter counts as a click, but has no place.
            match self.tool {
                Tool::Polygon => match &mut self.draft {
                    Some(Draft::Polygon(corners)) if corners.len() < MOST_CORNERS => {
                        corners.push(at);
                    }
                    _ => self.draft = Some(Draft::Polygon(vec![at])),
                },
                Tool::Choose | Tool::Box => self.choose_at(Some(at), ask),
            }
        }
    }

    fn close_polygon(&mut self, deeds: &mut Vec<Deed>) {
        if let Some(Draft::Polygon(corners)) = self.draft.take() {
            let outline = Outline::Polygon(corners.iter().map(|c| rounded(*c)).collect());
            if corners.len() >= 3 && outline.area() >= 1.0 {
                deeds.push(Deed::Add(outline));
            }
        }
    }

    /// What a drag that begins there takes hold of.
    fn grip(&self, ask: &Ask<'_>, from: Pos2, place: Place, bounds: kurbo::Rect) -> Option<Draft> {
        let start = within(place.to_scene(from), bounds);
        match self.tool {
            Tool::Box => return Some(Draft::Box { from: start, to: start }),
            Tool::Polygon => return None,
            Tool::Choose => {}
        }
        let regions = &ask.open.photo.regions;
        if let Some((region, r)) = self.chosen.and_then(|c| Some((c, regions.get(c)?))) {
            let outline = r.place.value.clone();
            let near =
                |c: &(f64, f64)| place.to_screen(Point::new(c.0, c.1)).distance(from) <= GRIP;
            if let Some(corner) = outline.corners().iter().position(near) {
                return Some(Draft::Corner { region, corner, outline });
            }
            if outline.contains(start.x, start.y) {
                return Some(Draft::Moved { region, outline });
            }
        }
        Some(Draft::Pan)
    }

    fn choose_at(&mut self, at: Option<Point>, ask: &Ask<'_>) {
        let Some(at) = at else { return };
        // The smallest one there: a large one must not hide what lies in it.
        let regions = ask.open.photo.regions.iter().enumerate();
        self.chosen = regions
            .filter(|(_, r)| r.place.contains(at.x, at.y))
            .min_by(|(_, a), (_, b)| a.place.area().total_cmp(&b.place.area()))
            .map(|(i, _)| i);
        self.corner = 0;
    }

    fn listen_to_keys(
        &mut self,
        ui: &Ui,
        response: &Response,
        ask: &Ask<'_>,
        bounds: kurbo::Rect,
        deeds: &mut Vec<Deed>,
    ) {
        if !response.has_focus() {
            return;
        }
        let filter =
            EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        let pressed = |key: Key| ui.input(|i| !i.modifiers.command && i.key_pressed(key));
        if ui.input(|i| i.modifiers.command && i.key_pressed(Key::Z)) {
            deeds.push(Deed::Undo);
        }
        for (keys, factor) in [(&[Key::Plus, Key::Equals][..], 1.25), (&[Key::Minus], 0.8)] {
            if keys.iter().any(|k| pressed(*k)) {
                self.zoom_by(factor);
            }
        }
        if pressed(Key::Num0) {
            self.show_all();
        }
        if pressed(Key::Escape) {
            self.draft = None;
        }
        if pressed(Key::Enter) {
            self.close_polygon(deeds);
        }
        let regions = &ask.open.photo.regions;
        if pressed(Key::N) {
            deeds.push(Deed::Add(self.new_box(bounds)));
        }
        let n = regions.len();
        for (key, step) in [(Key::PageDown, 1), (Key::PageUp, n.saturating_sub(1))] {
            if pressed(key) && n > 0 {
                self.chosen = Some(self.chosen.map_or(0, |c| (c + step) % n));
                self.corner = 0;
            }
        }
        let Some((region, outline)) =
            self.chosen.and_then(|c| Some((c, regions.get(c)?.place.value.clone())))
        else {
            return;
        };
        let count = outline.corners().len();
        if pressed(Key::Delete) {
            deeds.push(Deed::Remove(region));
            return;
        }
        if pressed(Key::C) {
            self.corner = (self.corner + 1) % count;
        }
        if pressed(Key::I) && count < MOST_CORNERS {
            deeds.push(Deed::Change(region, with_corner(&outline, self.corner)));
            self.corner += 1;
            return;
        }
        if pressed(Key::X) && count > 3 {
            deeds.push(Deed::Change(region, without_corner(&outline, self.corner)));
            self.corner = self.corner.saturating_sub(1);
            return;
        }
        let (step, pull) = ui.input(|i| {
            let n = |key: Key| i.num_presses(key) as f64;
            let x = n(Key::ArrowRight) - n(Key::ArrowLeft);
            (kurbo::Vec2::new(x, n(Key::ArrowDown) - n(Key::ArrowUp)), i.modifiers.shift)
        });
        if step != kurbo::Vec2::ZERO {
            let d = step * (STEP * bounds.width().min(bounds.height())).max(1.0);
            let to = if pull {
                let corners = outline.corners();
                let (x, y) = corners[self.corner.min(count - 1)];
                let to = within(Point::new(x, y) + d, bounds);
                pulled(&outline, self.corner.min(count - 1), to)
            } else {
                moved(&outline, d, bounds)
            };
            if to.area() >= 1.0 {
                deeds.push(Deed::Change(region, to));
            }
        }
    }

    /// A box of a quarter of what is in sight, in its middle.
    pub fn new_box(&self, bounds: kurbo::Rect) -> Outline {
        let middle = self.middle.filter(|_| self.zoom > 1.0).unwrap_or(bounds.center());
        let half = bounds.size() / (8.0 * self.zoom);
        let d = kurbo::Vec2::new(half.width.max(2.0), half.height.max(2.0));
        box_of(within(middle - d, bounds), within(middle + d, bounds))
    }

    fn outline<'a>(&'a self, ask: &'a Ask<'_>, region: usize) -> &'a Outline {
        match &self.draft {
            Some(
                Draft::Moved { region: r, outline } | Draft::Corner { region: r, outline, .. },
            ) if *r == region => outline,
            _ => &ask.open.photo.regions[region].place.value,
        }
    }

    fn draw(&self, painter: &Painter, look: Look, ask: &Ask<'_>, place: Place) {
        let points = |o: &Outline| -> Vec<Pos2> {
            o.corners().iter().map(|c| place.to_screen(Point::new(c.0, c.1))).collect()
        };
        for (i, region) in ask.open.photo.regions.iter().enumerate() {
            let corners = points(self.outline(ask, i));
            let chosen = self.chosen == Some(i);
            border(painter, look, &corners, chosen, matches!(region.shows, Shown::Condition(_)));
            if let Some(name) = ask.names.get(i) {
                let top = corners.iter().copied().min_by(|a, b| a.y.total_cmp(&b.y));
                tag(painter, look, top.unwrap_or_default(), name, chosen);
            }
            if chosen && ask.editing {
                for (c, at) in corners.iter().enumerate() {
                    let radius = if c == self.corner { 6.5 } else { 4.5 };
                    painter.circle_filled(*at, radius, look.color(Role::Panel));
                    let line = Stroke::new(2.0, look.color(Role::Accent));
                    painter.circle_stroke(*at, radius, line);
                }
            }
        }
        match &self.draft {
            Some(Draft::Box { from, to }) => {
                border(painter, look, &points(&box_of(*from, *to)), true, false);
            }
            Some(Draft::Polygon(corners)) => {
                let corners: Vec<Pos2> = corners.iter().map(|c| place.to_screen(*c)).collect();
                for pair in corners.windows(2) {
                    for (width, role) in [(4.6, Role::Panel), (2.4, Role::Accent)] {
                        let line = Stroke::new(width, look.color(role));
                        painter.line_segment([pair[0], pair[1]], line);
                    }
                }
                for at in corners {
                    painter.circle_filled(at, 4.5, look.color(Role::Accent));
                }
            }
            _ => {}
        }
    }

    /// A node for each region, for screen readers, Tab and Enter.
    fn nodes(&mut self, ui: &Ui, canvas: &Response, ask: &Ask<'_>, area: Rect, place: Place) {
        for (i, name) in ask.names.iter().enumerate() {
            let Some(region) = ask.open.photo.regions.get(i) else { break };
            let (l, t, r, b) = region.place.extent();
            let at = place.to_screen(Point::new(f64::midpoint(l, r), f64::midpoint(t, b)));
            let id: Id = canvas.id.with(("region", i));
            let rect = Rect::from_center_size(area.shrink(4.0).clamp(at), Vec2::splat(8.0));
            let node = ui.interact(rect, id, Sense::focusable_noninteractive());
            let on = self.chosen == Some(i);
            node.widget_info(|| WidgetInfo::selected(Node::Button, true, on, name));
            let where_is = [l, t, r, b].map(|v| format!("{v:.0}"));
            let said = tr_with(
                "photo-region-place",
                &[
                    ("left", &*where_is[0]),
                    ("top", &*where_is[1]),
                    ("right", &*where_is[2]),
                    ("bottom", &*where_is[3]),
                ],
            );
            ui.ctx().accesskit_node_builder(id, |n| {
                n.add_action(accesskit::Action::Click);
                n.set_description(said);
            });
            // Asked for here, since it must not be asked for while the input is held.
            let focused = node.has_focus();
            let asked = ui.input(|i| {
                let key = i.key_pressed(Key::Enter) || i.key_pressed(Key::Space);
                (key && focused) || i.has_accesskit_action_request(id, accesskit::Action::Click)
            });
            if asked {
                self.chosen = Some(i);
                self.corner = 0;
                // Keys then move it at once.
                canvas.request_focus();
            }
        }
    }
}

fn at_scale(p: Point, scale: f64) -> Vec2 {
    vec2((p.x * scale) as f32, (p.y * scale) as f32)
}

fn within(p: Point, bounds: kurbo::Rect) -> Point {
    Point::new(p.x.clamp(bounds.x0, bounds.x1), p.y.clamp(bounds.y0, bounds.y1))
}

/// Whole pixels: more is not seen, and a person may read the file.
fn rounded(p: Point) -> (f64, f64) {
    (p.x.round(), p.y.round())
}

fn box_of(a: Point, b: Point) -> Outline {
    let (a, b) = (rounded(a), rounded(b));
    let (left, right) = (a.0.min(b.0), a.0.max(b.0));
    Outline::Box { left, top: a.1.min(b.1), right, bottom: a.1.max(b.1) }
}

/// The same border elsewhere; it stops at the edge of the picture.
fn moved(outline: &Outline, by: kurbo::Vec2, bounds: kurbo::Rect) -> Outline {
    let (l, t, r, b) = outline.extent();
    let x = by.x.clamp(bounds.x0 - l, (bounds.x1 - r).max(bounds.x0 - l));
    let y = by.y.clamp(bounds.y0 - t, (bounds.y1 - b).max(bounds.y0 - t));
    match outline {
        Outline::Box { left, top, right, bottom } => {
            Outline::Box { left: left + x, top: top + y, right: right + x, bottom: bottom + y }
        }
        Outline::Polygon(c) => Outline::Polygon(c.iter().map(|c| (c.0 + x, c.1 + y)).collect()),
    }
}

/// The same border with one corner elsewhere.
fn pulled(outline: &Outline, corner: usize, to: Point) -> Outline {
    match outline {
        Outline::Box { .. } => {
            let opposite = outline.corners()[(corner + 2) % 4];
            let (x, y) = rounded(to);
            // The corners keep their order, so that the one that is pulled stays the same.
            let (ox, oy) = opposite;
            let left_side = matches!(corner, 0 | 3);
            let (left, right) = if left_side { (x.min(ox), ox) } else { (ox, x.max(ox)) };
            let upper = matches!(corner, 0 | 1);
            let (top, bottom) = if upper { (y.min(oy), oy) } else { (oy, y.max(oy)) };
            Outline::Box { left, top, right, bottom }
        }
        Outline::Polygon(corners) => {
            let mut corners = corners.clone();
            if let Some(c) = corners.get_mut(corner) {
                *c = rounded(to);
            }
            Outline::Polygon(corners)
        }
    }
}

/// A polygon with one more corner, halfway to the next one.
fn with_corner(outline: &Outline, after: usize) -> Outline {
    let mut corners = outline.corners();
    let after = after.min(corners.len() - 1);
    let (a, b) = (corners[after], corners[(after + 1) % corners.len()]);
    corners.insert(after + 1, (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1)));
    Outline::Polygon(corners)
}

fn without_corner(outline: &Outline, corner: usize) -> Outline {
    let mut corners = outline.corners();
    corners.remove(corner.min(corners.len() - 1));
    Outline::Polygon(corners)
}

/// A line round a region: solid for a part, dashed for a condition, heavier for the chosen one.
fn border(painter: &Painter, look: Look, corners: &[Pos2], chosen: bool, dashed: bool) {
    let mut closed = corners.to_vec();
    closed.extend(corners.first());
    let width = if chosen { 3.0 } else { 1.8 };
    let under = Stroke::new(width + 2.4, look.color(Role::Panel));
    painter.add(Shape::line(closed.clone(), under));
    let line = Stroke::new(width, look.color(if chosen { Role::Accent } else { Role::Ink }));
    if dashed {
        painter.extend(Shape::dashed_line(&closed, line, 9.0, 5.0));
    } else {
        painter.add(Shape::line(closed, line));
    }
}

fn tag(painter: &Painter, look: Look, at: Pos2, name: &str, chosen: bool) {
    use jarlight_geometry::scene::Weight;
    let (fill, ink) = if chosen { (Role::Accent, Role::OnAccent) } else { (Role::Ink, Role::Page) };
    let font = look.font(12.5, Weight::SemiBold);
    let words = painter.layout_no_wrap(name.to_owned(), font, look.color(ink));
    let size = words.size() + vec2(14.0, 6.0);
    let room = painter.clip_rect().shrink(2.0);
    let x = at.x.clamp(room.min.x, (room.max.x - size.x).max(room.min.x));
    let y = (at.y - size.y - 3.0).clamp(room.min.y, (room.max.y - size.y).max(room.min.y));
    let rect = Rect::from_min_size(pos2(x, y), size);
    painter.rect_filled(rect, 4.0, look.color(fill));
    painter.galley(rect.min + vec2(7.0, 3.0), words, look.color(ink));
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: kurbo::Rect = kurbo::Rect::new(0.0, 0.0, 100.0, 80.0);

    fn a_box() -> Outline {
        box_of(Point::new(50.4, 40.0), Point::new(10.0, 20.0))
    }

    #[test]
    fn a_box_is_moved_up_to_the_edge_and_no_farther() {
        let right = moved(&a_box(), kurbo::Vec2::new(900.0, -900.0), ALL);
        assert_eq!(right, Outline::Box { left: 60.0, top: 0.0, right: 100.0, bottom: 20.0 });
        assert_eq!(moved(&right, kurbo::Vec2::ZERO, ALL), right);
    }

    #[test]
    fn a_corner_is_pulled_and_the_opposite_one_stays() {
        let far = Point::new(90.0, 70.0);
        let pulled_out = pulled(&a_box(), 2, far);
        assert_eq!(pulled_out, Outline::Box { left: 10.0, top: 20.0, right: 90.0, bottom: 70.0 });
        // Past the opposite corner nothing is left of it, and it does not turn over.
        assert_eq!(pulled(&a_box(), 0, far).area(), 0.0);
    }

    #[test]
    fn corners_come_and_go_and_the_rest_stays() {
        let more = with_corner(&a_box(), 3);
        assert_eq!(more.corners().last(), Some(&(10.0, 30.0)));
        assert_eq!(without_corner(&more, 4).corners(), a_box().corners());
        assert_eq!(more.area(), a_box().area());
    }
}
