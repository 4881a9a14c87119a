//! Sizes of labels and the geometry of their clashes.

use super::{Label, Style};
use crate::{scene::Weight, text};
use kurbo::{Line, Point, Rect};

/// Size of a name.
pub(crate) const NAME: f64 = 14.5;
/// Size of a note.
pub(crate) const NOTE: f64 = 12.0;
/// Diameter of a numbered disc.
pub(crate) const DISC: f64 = 24.0;
/// From the base line of a name to its visual middle, as a share of its size: half the height
/// of a capital.
pub(crate) const MIDDLE: f64 = 0.364;

/// Width of name and note.
pub(super) fn widths(label: &Label, style: Style, scale: f64) -> (f64, Option<f64>) {
    match style {
        Style::Numbers => (DISC * scale, None),
        Style::Names => {
            let note = label.note.as_ref();
            // A highlighted name is set bold, and has to fit too.
            let name = text::width(&label.name, Weight::Bold, NAME * scale);
            (name, note.map(|n| text::width(n, Weight::Regular, NOTE * scale)))
        }
    }
}

/// Width of the widest name and, if wanted, note; what a column of these labels needs.
pub fn width(labels: &[Label], style: Style, text_scale: f64, notes: bool) -> f64 {
    labels
        .iter()
        .map(|l| widths(l, style, text_scale))
        .map(|(name, note)| name.max(note.filter(|_| notes).unwrap_or(0.0)))
        .fold(0.0, f64::max)
}

/// Distance of the lines of a key.
pub(crate) const KEY_PITCH: f64 = 30.0;
/// Size of the names in a key.
pub(crate) const KEY_NAME: f64 = 13.5;

/// Width of one column of a key: disc, name and the room to the next column.
pub(super) fn key_column<'a>(names: impl Iterator<Item = &'a str>, text_scale: f64) -> f64 {
    let widest =
        names.map(|n| text::width(n, Weight::Medium, KEY_NAME * text_scale)).fold(0.0, f64::max);
    widest + (DISC + 10.0 + 18.0) * text_scale
}

/// How many lines of a key stand below one another within a height.
pub(super) fn key_rows(height: f64, text_scale: f64) -> usize {
    (libm::floor(height / (KEY_PITCH * text_scale)) as usize).max(1)
}

/// Width of a key to these labels within a height.
pub fn key_width(labels: &[Label], height: f64, text_scale: f64) -> f64 {
    let columns = labels.len().div_ceil(key_rows(height, text_scale));
    columns as f64 * key_column(labels.iter().map(|l| l.name.as_str()), text_scale)
}

/// True when two lines have a point in common.
pub(super) fn cross(a: Line, b: Line) -> bool {
    let side = |l: Line, p: Point| (l.p1 - l.p0).cross(p - l.p0);
    let apart = |l: Line, m: Line| {
        let (s, t) = (side(l, m.p0), side(l, m.p1));
        (s > 0.0 && t > 0.0) || (s < 0.0 && t < 0.0)
    };
    let boxes_meet = {
        let (p, q) = (Rect::from_points(a.p0, a.p1), Rect::from_points(b.p0, b.p1));
        p.x0 <= q.x1 && q.x0 <= p.x1 && p.y0 <= q.y1 && q.y0 <= p.y1
    };
    boxes_meet && !apart(a, b) && !apart(b, a)
}

/// Distance of a point from a line between two points.
pub(super) fn distance(line: Line, point: Point) -> f64 {
    let way = line.p1 - line.p0;
    let share = (point - line.p0).dot(way) / way.hypot2().max(f64::MIN_POSITIVE);
    point.distance(line.p0 + way * share.clamp(0.0, 1.0))
}

/// True when two rectangles share more than an edge.
pub(super) fn overlap(a: Rect, b: Rect) -> bool {
    let shared = a.intersect(b);
    shared.width() > 1e-6 && shared.height() > 1e-6
}

/// True when a line runs through a rectangle.
pub(super) fn under(line: Line, block: Rect) -> bool {
    let corners = [
        Point::new(block.x0, block.y0),
        Point::new(block.x1, block.y0),
        Point::new(block.x1, block.y1),
        Point::new(block.x0, block.y1),
    ];
    block.contains(line.p0)
        || block.contains(line.p1)
        || (0..4).any(|i| cross(line, Line::new(corners[i], corners[(i + 1) % 4])))
}
