//! Labels as a scene: leaders, rings, names, notes and numbered discs.

use super::{
    Placed, PlacedLabel, RING, Side,
    measure::{DISC, KEY_NAME, KEY_PITCH, MIDDLE, NAME, NOTE, key_column, key_rows},
};
use crate::{
    palette::Role,
    scene::{Anchor, Scene, SceneBuilder, Shade, Stroke, Text, Weight},
};
use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

/// The labels as a drawing in pixels, to be laid over the scene they belong to.
pub fn draw(placed: &Placed, text_scale: f64, highlighted: Option<u32>) -> Scene {
    let mut b = SceneBuilder::new(extent(placed));
    let is_high = |l: &PlacedLabel| highlighted == Some(l.target);
    for label in &placed.labels {
        b.line(polyline(&label.leader), Stroke::new(3.6, Shade::base(Role::Page)).rounded());
    }
    for label in &placed.labels {
        let (width, role) = if is_high(label) { (1.8, Role::Accent) } else { (1.1, Role::Leader) };
        b.line(polyline(&label.leader), Stroke::new(width, Shade::base(role)).rounded());
    }
    for label in &placed.labels {
        let (fill, line) = if is_high(label) {
            (Role::AccentFill, Stroke::new(1.8, Shade::base(Role::Accent)))
        } else {
            (Role::Panel, Stroke::new(1.3, Shade::base(Role::Ink)))
        };
        b.shape(Circle::new(label.ring, RING).to_path(0.01), Shade::base(fill), Some(line));
    }
    for label in &placed.labels {
        match label.number {
            Some(number) => disc(&mut b, label.at, number, text_scale, is_high(label)),
            None => words(&mut b, label, text_scale, is_high(label)),
        }
    }
    b.finish()
}

/// The key to numbered labels, as a list from a corner, in as many columns as its height asks.
pub fn key(placed: &Placed, corner: Point, height: f64, text_scale: f64) -> Scene {
    let pitch = KEY_PITCH * text_scale;
    let rows = key_rows(height, text_scale);
    let across = key_column(placed.labels.iter().map(|l| l.name.as_str()), text_scale);
    let mut b = SceneBuilder::new(Rect::from_origin_size(corner, (0.0, 0.0)));
    for (i, label) in placed.labels.iter().enumerate() {
        let Some(number) = label.number else { continue };
        let radius = DISC / 2.0 * text_scale;
        let center = corner
            + kurbo::Vec2::new(
                (i / rows) as f64 * across + radius,
                (i % rows) as f64 * pitch + pitch / 2.0,
            );
        disc(&mut b, center, number, text_scale, false);
        let size = KEY_NAME * text_scale;
        b.text(Text {
            at: center + kurbo::Vec2::new(radius + 10.0 * text_scale, MIDDLE * size),
            size,
            anchor: Anchor::Start,
            weight: Weight::Medium,
            shade: Shade::base(Role::Ink),
            halo: None,
            upright: false,
            words: label.name.clone(),
        });
    }
    b.finish()
}

fn extent(placed: &Placed) -> Rect {
    let boxes = placed.labels.iter().map(|l| l.leader.iter().fold(l.block, |r, p| r.union_pt(*p)));
    boxes.reduce(|a, b| a.union(b)).unwrap_or_default()
}

fn polyline(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(*p);
        } else {
            path.line_to(*p);
        }
    }
    path
}

fn words(b: &mut SceneBuilder, label: &PlacedLabel, scale: f64, high: bool) {
    let anchor = match label.side {
        Side::Left => Anchor::End,
        Side::Right => Anchor::Start,
    };
    let halo = Some(Shade::base(Role::Page));
    let (weight, role) =
        if high { (Weight::Bold, Role::Accent) } else { (Weight::SemiBold, Role::Ink) };
    b.text(Text {
        at: label.at,
        size: NAME * scale,
        anchor,
        weight,
        shade: Shade::base(role),
        halo,
        upright: false,
        words: label.name.clone(),
    });
    if let Some(note) = &label.note {
        b.text(Text {
            at: Point::new(label.at.x, label.at.y + 16.0 * scale),
            size: NOTE * scale,
            anchor,
            weight: Weight::Regular,
            shade: Shade::base(Role::SecondInk),
            halo,
            upright: false,
            words: note.clone(),
        });
    }
}

fn disc(b: &mut SceneBuilder, center: Point, number: u32, scale: f64, high: bool) {
    let (fill, ink, line) = if high {
        (Role::Accent, Role::OnAccent, Role::Accent)
    } else {
        (Role::Panel, Role::Ink, Role::SecondInk)
    };
    // The line lies inside the diameter.
    let circle = Circle::new(center, DISC / 2.0 * scale - 0.6);
    b.shape(circle.to_path(0.01), Shade::base(fill), Some(Stroke::new(1.2, Shade::base(line))));
    let size = 12.0 * scale;
    b.text(Text {
        at: Point::new(center.x, center.y + MIDDLE * size),
        size,
        anchor: Anchor::Middle,
        weight: Weight::SemiBold,
        shade: Shade::base(ink),
        halo: None,
        upright: false,
        words: number.to_string(),
    });
}
