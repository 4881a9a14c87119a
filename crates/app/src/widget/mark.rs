//! Marks on a part: what a state looks like, by shape and not by colour alone.

use super::drawing::Picture;
use crate::{
    paint::{Place, dashed_line, outline},
    theme::Look,
};
use egui::{Color32, Pos2, Rect, Stroke};
use jarlight_geometry::palette::Role;
use kurbo::{Affine, BezPath};

/// What a mark says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// The pointer is over it.
    Hovered,
    /// It is the chosen one.
    Selected,
    /// It is one of the chosen kind.
    Kind,
    /// It is what is asked about.
    Ringed,
    /// Right.
    Right,
    /// Wrong.
    Wrong,
}

/// A mark on a target.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Number of the target.
    pub target: u32,
    /// What it says.
    pub state: State,
}

impl Mark {
    /// A mark.
    pub const fn new(target: u32, state: State) -> Self {
        Self { target, state }
    }

    /// The pointer is over it.
    pub const fn hovered(target: u32) -> Self {
        Self::new(target, State::Hovered)
    }
}

fn paths<'a>(
    picture: &'a Picture,
    place: Place,
    target: u32,
) -> impl Iterator<Item = BezPath> + 'a {
    let affine = Affine::scale(place.scale);
    picture.index.outlines(&picture.scene, target).map(move |p| affine * p.clone())
}

/// Draws a mark.
pub fn draw_mark(
    painter: &egui::Painter,
    picture: &Picture,
    place: Place,
    look: Look,
    mark: &Mark,
) {
    let shift = place.origin.to_vec2();
    let white = look.color(Role::Panel);
    let (role, width) = match mark.state {
        State::Hovered => (Role::Accent, 1.6),
        State::Kind => (Role::Accent, 1.8),
        State::Selected | State::Ringed => (Role::Accent, 2.8),
        State::Right => (Role::Right, 2.6),
        State::Wrong => (Role::Wrong, 2.4),
    };
    let color = look.color(role);
    let line = Stroke::new(width, color);
    for path in paths(picture, place, mark.target) {
        use kurbo::Shape as _;
        let bounds = path.bounding_box();
        let narrow = bounds.width().min(bounds.height()) < 9.0;
        if mark.state == State::Kind && narrow {
            // A thin part must not vanish under its own outline.
            painter.extend(outline(&path, shift, Stroke::new(1.0, color)));
            continue;
        }
        painter.extend(outline(&path, shift, Stroke::new(width + 1.8, white)));
        match mark.state {
            State::Wrong => {
                painter.extend(dashed_line(&path, shift, line, 8.0, 5.0));
            }
            _ => {
                painter.extend(outline(&path, shift, line));
            }
        }
    }
    let Some(target) = picture.scene.targets.get(mark.target as usize) else { return };
    let at = place.to_screen(target.spot);
    match mark.state {
        State::Right => super::badge::tick(painter, at, 11.0, look),
        State::Wrong => super::badge::cross(painter, at, 11.0, look),
        State::Ringed => ring(painter, at, color, white),
        _ => {}
    }
}

/// A dashed line round a region.
pub fn outline_region(painter: &egui::Painter, region: Rect, look: Look) {
    let r = region.expand(5.0);
    let corners = [r.left_top(), r.right_top(), r.right_bottom(), r.left_bottom(), r.left_top()];
    let white = Stroke::new(4.4, look.color(Role::Panel));
    painter.rect_stroke(r, 0.0, white, egui::StrokeKind::Middle);
    let line = Stroke::new(2.2, look.color(Role::Accent));
    painter.extend(egui::Shape::dashed_line(&corners, line, 7.0, 4.0));
}

fn ring(painter: &egui::Painter, at: Pos2, color: Color32, white: Color32) {
    painter.circle_stroke(at, 18.0, Stroke::new(5.4, white));
    painter.circle_stroke(at, 18.0, Stroke::new(2.8, color));
}

/// The second outline of what has the keyboard.
pub fn focus_ring(
    painter: &egui::Painter,
    picture: &Picture,
    place: Place,
    look: Look,
    target: u32,
) {
    draw_mark(painter, picture, place, look, &Mark::hovered(target));
    let bounds = picture.index.extent(target).map(|r| place.rect_to_screen(r));
    if let Some(r) = bounds {
        let r = r.expand(5.0).intersect(painter.clip_rect().shrink(3.0));
        if r.is_positive() {
            let white = Stroke::new(4.6, look.color(Role::Panel));
            painter.rect_stroke(r, 4.0, white, egui::StrokeKind::Middle);
            let ink = Stroke::new(2.2, look.color(Role::Ink));
            painter.rect_stroke(r, 4.0, ink, egui::StrokeKind::Middle);
        }
    }
}
