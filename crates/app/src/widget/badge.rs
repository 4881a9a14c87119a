//! Tick, cross, triangle and dots, drawn as shapes: fonts lack some of them.

use crate::theme::Look;
use egui::{Color32, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::catalogue::Urgency;

/// A round badge with a tick.
pub fn tick(painter: &egui::Painter, at: Pos2, radius: f32, look: Look) {
    let color = look.color(Role::Right);
    painter.circle(at, radius, look.color(Role::RightFill), Stroke::new(1.6, color));
    let r = radius;
    let points = vec![
        at + vec2(-0.45 * r, 0.02 * r),
        at + vec2(-0.12 * r, 0.36 * r),
        at + vec2(0.46 * r, -0.34 * r),
    ];
    painter.add(Shape::line(points, Stroke::new(0.17 * r + 0.4, color)));
}

/// A square badge with a cross.
pub fn cross(painter: &egui::Painter, at: Pos2, radius: f32, look: Look) {
    let color = look.color(Role::Wrong);
    let r = 0.9 * radius;
    let square = Rect::from_center_size(at, Vec2::splat(2.0 * r));
    painter.rect(
        square,
        2.0,
        look.color(Role::WrongFill),
        Stroke::new(1.6, color),
        StrokeKind::Middle,
    );
    let d = 0.45 * r;
    let line = Stroke::new(0.17 * r + 0.4, color);
    painter.line_segment([at + vec2(-d, -d), at + vec2(d, d)], line);
    painter.line_segment([at + vec2(-d, d), at + vec2(d, -d)], line);
}

/// A triangle with an exclamation mark.
pub fn warning(painter: &egui::Painter, at: Pos2, radius: f32, look: Look) {
    let color = look.color(Role::Caution);
    let r = radius;
    let points = vec![at + vec2(0.0, -r), at + vec2(r, 0.8 * r), at + vec2(-r, 0.8 * r)];
    let line = Stroke::new(1.6, color);
    painter.add(Shape::convex_polygon(points, look.color(Role::CautionFill), line));
    let bar = Stroke::new(0.16 * r + 0.3, color);
    painter.line_segment([at + vec2(0.0, -0.38 * r), at + vec2(0.0, 0.24 * r)], bar);
    painter.circle_filled(at + vec2(0.0, 0.53 * r), 0.12 * r + 0.2, color);
}

/// A half-filled round badge: partly right.
pub fn partly(painter: &egui::Painter, at: Pos2, radius: f32, look: Look) {
    let color = look.color(Role::Caution);
    painter.circle(at, radius, look.color(Role::CautionFill), Stroke::new(1.6, color));
    let d = 0.5 * radius;
    painter.line_segment([at + vec2(-d, 0.0), at + vec2(d, 0.0)], Stroke::new(0.2 * radius, color));
}

/// A round badge with two level lines: looks like it, and is not.
pub fn alike(painter: &egui::Painter, at: Pos2, radius: f32, look: Look) {
    let color = look.color(Role::SecondInk);
    painter.circle(at, radius, look.color(Role::QuietPanel), Stroke::new(1.6, color));
    let line = Stroke::new(0.17 * radius + 0.4, color);
    for y in [-0.22, 0.22] {
        let (a, b) = (vec2(-0.45 * radius, y * radius), vec2(0.45 * radius, y * radius));
        painter.line_segment([at + a, at + b], line);
    }
}

/// Bars that rise with confidence, so many of four filled.
pub fn bars(painter: &egui::Painter, rect: Rect, filled: usize, look: Look) {
    let step = rect.width() / 4.0;
    for i in 0..4 {
        let height = rect.height() * (0.4 + 0.2 * i as f32);
        let x = rect.min.x + step * i as f32;
        let bar =
            Rect::from_min_max(pos2(x, rect.max.y - height), pos2(x + step * 0.64, rect.max.y));
        let role = if i < filled { Role::Accent } else { Role::Rule };
        painter.rect_filled(bar, 1.0, look.color(role));
    }
}

/// The sign of the program: a jar with plates.
pub fn jar(painter: &egui::Painter, rect: Rect, look: Look) {
    let ink = look.color(Role::Ink);
    let line = Stroke::new(2.0, ink);
    let (l, t, w, h) = (rect.min.x, rect.min.y, rect.width(), rect.height());
    painter.line_segment([pos2(l, t + 1.0), pos2(l + w, t + 1.0)], Stroke::new(2.6, ink));
    let wall = vec![
        pos2(l + 0.13 * w, t + 1.0),
        pos2(l + 0.13 * w, t + h),
        pos2(l + 0.87 * w, t + h),
        pos2(l + 0.87 * w, t + 1.0),
    ];
    painter.add(Shape::line(wall, line));
    let fills = [Role::NegativeBorder, Role::PositiveBorder, Role::NegativeBorder];
    for (i, role) in fills.into_iter().enumerate() {
        let x = l + (0.27 + 0.17 * i as f32) * w;
        let plate = Rect::from_min_max(pos2(x, t + 0.26 * h), pos2(x + 0.12 * w, t + 0.84 * h));
        painter.rect_filled(plate, 0.5, look.color(role));
    }
}

/// A person's outline.
pub fn person(painter: &egui::Painter, rect: Rect, color: Color32) {
    let line = Stroke::new(1.6, color);
    let c = rect.center();
    painter.circle_stroke(pos2(c.x, rect.min.y + 0.3 * rect.height()), 0.24 * rect.height(), line);
    let (l, r, b) = (rect.min.x + 1.0, rect.max.x - 1.0, rect.max.y);
    let top = rect.min.y + 0.66 * rect.height();
    let points = vec![
        pos2(l, b),
        pos2(l + 0.12 * rect.width(), top + 1.5),
        pos2(c.x, top),
        pos2(r - 0.12 * rect.width(), top + 1.5),
        pos2(r, b),
    ];
    painter.add(Shape::line(points, line));
}

/// A number in a small rounded square: the key that chooses.
pub fn key(painter: &egui::Painter, rect: Rect, words: &str, look: Look) {
    painter.rect(
        rect,
        6.0,
        look.color(Role::Panel),
        Stroke::new(1.2, look.color(Role::SecondInk)),
        StrokeKind::Inside,
    );
    painter.text(
        rect.center(),
        egui::Align2::CENTER_CENTER,
        words,
        look.font(13.5, Weight::SemiBold),
        look.color(Role::Ink),
    );
}

/// Five dots, so many of them filled; gives where they end.
pub fn dots(painter: &egui::Painter, at: Pos2, filled: u8, look: Look) -> f32 {
    let radius = 3.6 * look.scale().sqrt();
    let step = 2.0 * radius + 2.6;
    let line = Stroke::new(1.3, look.color(Role::Ink));
    for i in 0..5 {
        let center = at + vec2(radius + 1.0 + step * f32::from(i), 0.0);
        let fill = if i < filled { look.color(Role::Ink) } else { Color32::TRANSPARENT };
        painter.circle(center, radius, fill, line);
    }
    at.x + 5.0 * step
}

/// How much hurry, by shape: ring, ring with a point, square, triangle, octagon.
pub fn urgency(painter: &egui::Painter, at: Pos2, r: f32, urgency: Urgency, look: Look) {
    let calm = look.color(Role::SecondInk);
    match urgency {
        Urgency::Note => {
            painter.circle_stroke(at, 0.8 * r, Stroke::new(1.6, calm));
        }
        Urgency::Watch => {
            painter.circle_stroke(at, 0.8 * r, Stroke::new(1.6, calm));
            painter.circle_filled(at, 0.34 * r, calm);
        }
        Urgency::Arrange => {
            let square = Rect::from_center_size(at, Vec2::splat(1.5 * r));
            let line = Stroke::new(1.8, look.color(Role::Accent));
            painter.rect(square, 1.0, look.color(Role::AccentFill), line, StrokeKind::Middle);
        }
        Urgency::Prompt => {
            let points = vec![at + vec2(0.0, -r), at + vec2(r, 0.8 * r), at + vec2(-r, 0.8 * r)];
            let color = look.color(Role::Caution);
            painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
        }
        Urgency::Halt => {
            let corner = |i: u8| {
                let turn = (f32::from(i) + 0.5) * std::f32::consts::FRAC_PI_4;
                at + Vec2::angled(turn) * 1.08 * r
            };
            let color = look.color(Role::Wrong);
            let octagon = (0..8).map(corner).collect();
            painter.add(Shape::convex_polygon(octagon, color, Stroke::NONE));
            let bar = Stroke::new(0.3 * r + 0.4, look.color(Role::Panel));
            painter.line_segment([at + vec2(-0.5 * r, 0.0), at + vec2(0.5 * r, 0.0)], bar);
        }
    }
}
