//! The magnifier: a square glass on the drawing that shows what lies under its middle larger.

use super::{
    drawing::Picture,
    mark::{Mark, draw_mark},
};
use crate::{
    paint::{Painter, Place, Veil},
    theme::Look,
};
use egui::{Pos2, Rect, Stroke, StrokeKind, Vec2, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight, svg::Lamp};
use kurbo::Point;

/// How much larger things are under the glass.
pub const POWER: f64 = 4.0;
/// Share of the shorter side of the drawing that the glass takes.
const SIDE: f32 = 0.42;
/// Least and greatest side of the glass, in points.
const SIDES: (f32, f32) = (150.0, 340.0);

/// The glass of one drawing; kept from frame to frame.
#[derive(Default)]
pub struct Magnifier {
    /// Whether it is held over the drawing.
    pub on: bool,
    /// The point of the scene under its middle.
    pub at: Option<Point>,
    painter: Painter,
}

/// What the glass is held over.
pub struct Under<'a> {
    /// The drawing.
    pub picture: &'a Picture,
    /// Where it stands on the screen.
    pub place: Place,
    /// What keeps its colour.
    pub veil: &'a Veil,
    /// Marks on it.
    pub marks: &'a [Mark],
    /// The lamp, when it is lit.
    pub lamp: Option<Lamp>,
    /// Name of the part under the middle, where it may be told.
    pub name: Option<&'a str>,
}

impl Magnifier {
    /// Where the glass lies: round its point, but within the area.
    fn glass(at: Pos2, area: Rect) -> Rect {
        let side = (area.width().min(area.height()) * SIDE).clamp(SIDES.0, SIDES.1);
        let room = area.shrink(side / 2.0 + 3.0);
        let middle = pos2(
            at.x.clamp(room.min.x.min(room.max.x), room.max.x.max(room.min.x)),
            at.y.clamp(room.min.y.min(room.max.y), room.max.y.max(room.min.y)),
        );
        Rect::from_center_size(middle, Vec2::splat(side))
    }

    /// Draws the glass over the drawing.
    pub fn show(&mut self, painter: &egui::Painter, area: Rect, look: Look, under: &Under<'_>) {
        let Some(at) = self.at.filter(|_| self.on) else { return };
        let on_screen = under.place.to_screen(at);
        let glass = Self::glass(on_screen, area);
        let inside = painter.with_clip_rect(glass.intersect(painter.clip_rect()));
        inside.rect_filled(glass, 0.0, look.color(Role::Page));
        let scale = under.place.scale * POWER;
        let shift = vec2((at.x * scale) as f32, (at.y * scale) as f32);
        let place = Place { origin: glass.center() - shift, scale };
        let picture = under.picture;
        let (scene, revision) = (&picture.scene, picture.revision);
        self.painter.paint(&inside, scene, revision, place, look, under.veil, under.lamp);
        for mark in under.marks {
            draw_mark(&inside, picture, place, look, mark);
        }
        cross(&inside, glass.center(), look);
        if let Some(name) = under.name {
            let font = look.font(12.5, Weight::SemiBold);
            let ink = look.color(Role::Page);
            let mut job = egui::text::LayoutJob::simple_singleline(name.to_owned(), font, ink);
            job.wrap = egui::text::TextWrapping::truncate_at_width(glass.width() - 20.0);
            let words = inside.layout_job(job);
            let band = Rect::from_min_max(
                pos2(glass.min.x, glass.max.y - words.size().y - 8.0),
                glass.max,
            );
            inside.rect_filled(band, 0.0, look.color(Role::Ink));
            inside.galley(pos2(band.min.x + 10.0, band.min.y + 4.0), words, ink);
        }
        for (width, role) in [(5.0, Role::Panel), (2.4, Role::Accent)] {
            let line = Stroke::new(width, look.color(role));
            painter.rect_stroke(glass, 0.0, line, StrokeKind::Middle);
        }
        if glass.center().distance(on_screen) > 6.0 {
            // At a border the glass cannot follow; a ring says what it shows.
            for (width, role) in [(4.4, Role::Panel), (2.0, Role::Accent)] {
                painter.circle_stroke(on_screen, 6.0, Stroke::new(width, look.color(role)));
            }
        }
    }
}

/// Marks the middle with four short lines that leave the point itself free.
fn cross(painter: &egui::Painter, at: Pos2, look: Look) {
    for (width, role) in [(3.4, Role::Panel), (1.4, Role::Ink)] {
        let line = Stroke::new(width, look.color(role));
        for d in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
            painter.line_segment([at + d * 5.0, at + d * 12.0], line);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_glass_follows_its_point_and_stays_within_the_drawing() {
        let area = Rect::from_min_size(pos2(100.0, 50.0), vec2(700.0, 500.0));
        let middle = pos2(400.0, 300.0);
        assert_eq!(Magnifier::glass(middle, area).center(), middle);
        for x in [-50.0, 100.0, 800.0, 2000.0] {
            for y in [0.0, 50.0, 549.0, 900.0] {
                assert!(area.contains_rect(Magnifier::glass(pos2(x, y), area)), "{x} {y}");
            }
        }
        let small = Rect::from_min_size(pos2(0.0, 0.0), vec2(90.0, 60.0));
        assert!(Magnifier::glass(small.center(), small).is_positive());
    }
}
