//! The name that stands at the pointer.

use crate::theme::Look;
use egui::{Pos2, Rect, Vec2};
use jarlight_geometry::{palette::Role, scene::Weight};

/// A dark chip above a point, kept within an area.
pub fn at_pointer(painter: &egui::Painter, area: Rect, at: Pos2, words: &str, look: Look) {
    let font = look.font(12.5, Weight::Medium);
    let galley = painter.layout_no_wrap(words.to_owned(), font, look.color(Role::Page));
    let size = galley.size() + Vec2::new(16.0, 10.0);
    let room = area.shrink(4.0);
    let x = (at.x - size.x / 2.0).clamp(room.min.x, (room.max.x - size.x).max(room.min.x));
    let above = at.y - size.y - 12.0;
    let y = if above < room.min.y { at.y + 20.0 } else { above };
    let rect = Rect::from_min_size(Pos2::new(x, y), size);
    painter.rect_filled(rect, 6.0, look.color(Role::Ink));
    painter.galley(rect.min + Vec2::new(8.0, 5.0), galley, look.color(Role::Page));
}
