//! The inspector's lamp: the room dims, with a soft edge round the light.

use crate::theme::Look;
use egui::{
    Color32, Mesh, Pos2, Rect, Vec2,
    epaint::{Vertex, WHITE_UV},
};
use jarlight_geometry::{
    palette::Role,
    scene::{Shade, Tone},
};
use std::f32::consts::TAU;

const SPOKES: u32 = 96;

/// The room is never wholly dark, so that one still knows where one is.
const DARKEST: f32 = 0.86;

/// Dims an area except round a point; `room` is the light that is left, 0 to 1.
pub fn draw(painter: &egui::Painter, area: Rect, at: Pos2, radius: f32, room: f32, look: Look) {
    let dim = (1.0 - room).clamp(0.0, DARKEST);
    let dark = look.shade(Shade::new(Role::Shadow, Tone::Base).alpha(dim));
    let glow = look.shade(Shade::new(Role::GasSpace, Tone::Light).alpha(0.12));
    let far = area.width() + area.height() + area.distance_to_pos(at);
    let rings = [
        (0.0, glow),
        (0.55 * radius, glow.gamma_multiply(0.6)),
        (0.9 * radius, Color32::TRANSPARENT),
        (1.25 * radius, dark),
        (far, dark),
    ];
    let mut mesh = Mesh::default();
    for (r, color) in rings {
        for i in 0..SPOKES {
            let pos = at + Vec2::angled(i as f32 / SPOKES as f32 * TAU) * r;
            mesh.vertices.push(Vertex { pos, uv: WHITE_UV, color });
        }
    }
    for ring in 0..rings.len() as u32 - 1 {
        for i in 0..SPOKES {
            let j = (i + 1) % SPOKES;
            let (a, b) = (ring * SPOKES, (ring + 1) * SPOKES);
            mesh.indices.extend([a + i, a + j, b + i, a + j, b + j, b + i]);
        }
    }
    painter.with_clip_rect(area.intersect(painter.clip_rect())).add(mesh);
}
