//! A scene as egui meshes: fills, gradients of any number of stops, strokes in pixels, text.
//!
//! Gradients are rows of a small texture, and a vertex carries its place along the axis: linear
//! interpolation between vertices is then exact for any stops, which colours at vertices are not.
//! Row 0 is white, so that plain shapes and gradients share one mesh.

mod gradient;
mod shape;
mod trial;

use crate::theme::Look;
use egui::{Color32, Mesh, Pos2, Rect, Vec2, pos2, vec2};
use gradient::Gradients;
use jarlight_geometry::{
    palette::Role,
    scene::{Anchor, Form, Glint, Scene, Text},
    svg::Lamp,
};
use kurbo::{Affine, Shape as _};
use std::sync::Arc;

pub use shape::{dashed_line, outline};
pub use trial::Trial;

/// Which parts keep their full colour; all when there is no choice.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Veil {
    /// Targets that keep their colour; the rest fades into the page.
    pub keep: Option<Vec<u32>>,
}

/// Share of the page colour in what is veiled.
const VEILED: f32 = 0.5;

/// One thing ready to be painted; places are pixels from the origin of the scene.
enum Piece {
    Mesh(Arc<Mesh>),
    Text(Line),
    Glint { mesh: Mesh, glint: Glint, at: kurbo::Point },
}

/// A text with its place.
struct Line {
    text: Text,
    color: Color32,
    halo: Option<Color32>,
}

/// A scene brought to meshes for one scale.
pub struct Painted {
    key: Key,
    pieces: Vec<Piece>,
    // Keeps the texture alive as long as meshes name it.
    _gradients: Gradients,
}

/// What a painted scene depends on.
#[derive(Clone, Debug, PartialEq)]
struct Key {
    revision: u64,
    scale: f64,
    look: Look,
    pixels_per_point: f32,
    veil: Veil,
}

/// Painted scenes are kept from frame to frame.
#[derive(Default)]
pub struct Painter {
    last: Option<Painted>,
}

impl Painter {
    /// Paints a scene whose origin stands at `origin`, `scale` points to its unit.
    ///
    /// `revision` changes when the scene does; nothing is tessellated again before.
    pub fn paint(
        &mut self,
        painter: &egui::Painter,
        scene: &Scene,
        revision: u64,
        place: Place,
        look: Look,
        veil: &Veil,
        lamp: Option<Lamp>,
    ) {
        let key = Key {
            revision,
            scale: place.scale,
            look,
            pixels_per_point: painter.pixels_per_point(),
            veil: veil.clone(),
        };
        if self.last.as_ref().is_none_or(|p| p.key != key) {
            self.last = Some(Painted::new(painter.ctx(), scene, key));
        }
        if let Some(painted) = &self.last {
            painted.show(painter, place, look, lamp);
        }
    }
}

/// Where a scene stands on the screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Screen place of the origin of the scene.
    pub origin: Pos2,
    /// Points to a unit of the scene.
    pub scale: f64,
}

impl Place {
    /// A point of the scene on the screen.
    pub fn to_screen(self, p: kurbo::Point) -> Pos2 {
        self.origin + vec2((p.x * self.scale) as f32, (p.y * self.scale) as f32)
    }

    /// A point of the screen in the scene.
    pub fn to_scene(self, p: Pos2) -> kurbo::Point {
        let d = p - self.origin;
        kurbo::Point::new(f64::from(d.x) / self.scale, f64::from(d.y) / self.scale)
    }

    /// A rectangle of the scene on the screen.
    pub fn rect_to_screen(self, r: kurbo::Rect) -> Rect {
        Rect::from_min_max(
            self.to_screen(kurbo::Point::new(r.x0, r.y0)),
            self.to_screen(kurbo::Point::new(r.x1, r.y1)),
        )
    }

    /// The place at which the bounds fill an area as far as they can.
    pub fn fit(bounds: kurbo::Rect, area: Rect) -> Self {
        let scale = (f64::from(area.width()) / bounds.width().max(1e-9))
            .min(f64::from(area.height()) / bounds.height().max(1e-9))
            .max(1e-6);
        let mid = bounds.center();
        let origin = area.center() - vec2((mid.x * scale) as f32, (mid.y * scale) as f32);
        Self { origin: pos2(origin.x.round(), origin.y.round()), scale }
    }
}

impl Painted {
    fn new(ctx: &egui::Context, scene: &Scene, key: Key) -> Self {
        let mut gradients = Gradients::default();
        let mut brush = shape::Brush::new(key.pixels_per_point);
        let affine = Affine::scale(key.scale);
        let page = key.look.color(Role::Page);
        let mut pieces = Vec::new();
        let mut mesh = Mesh::default();
        for prim in &scene.prims {
            let veiled = match (&key.veil.keep, prim.target) {
                (None, _) => false,
                (Some(keep), Some(t)) => !keep.contains(&t),
                (Some(_), None) => true,
            };
            let ink = Ink { look: key.look, veil: veiled.then_some(page) };
            match &prim.form {
                Form::Path { path, fill, stroke } => {
                    let path = affine * path.clone();
                    let mut own = Mesh::default();
                    let target = if prim.glint.is_some() { &mut own } else { &mut mesh };
                    if let Some(fill) = fill {
                        let fill = gradients.prepare(fill, key.scale, ink);
                        brush.fill(&path, &fill, target);
                    }
                    if let Some(stroke) = stroke {
                        brush.stroke(&path, stroke, ink.color(stroke.shade), target);
                    }
                    if let Some(glint) = prim.glint {
                        // It lies on what was drawn before it.
                        if !mesh.is_empty() {
                            pieces.push(Piece::Mesh(Arc::new(std::mem::take(&mut mesh))));
                        }
                        let at = path.bounding_box().center();
                        pieces.push(Piece::Glint { mesh: own, glint, at });
                    }
                }
                Form::Text(text) => {
                    if !mesh.is_empty() {
                        pieces.push(Piece::Mesh(Arc::new(std::mem::take(&mut mesh))));
                    }
                    pieces.push(Piece::Text(Line {
                        text: Text { at: affine * text.at, ..text.clone() },
                        color: ink.color(text.shade),
                        halo: text.halo.map(|h| ink.color(h)),
                    }));
                }
            }
        }
        if !mesh.is_empty() {
            pieces.push(Piece::Mesh(Arc::new(mesh)));
        }
        let texture = gradients.finish(ctx);
        for piece in &mut pieces {
            match piece {
                Piece::Mesh(mesh) => {
                    if let Some(mesh) = Arc::get_mut(mesh) {
                        finish_mesh(mesh, &gradients, texture);
                    }
                }
                Piece::Glint { mesh, .. } => finish_mesh(mesh, &gradients, texture),
                Piece::Text(_) => {}
            }
        }
        Self { key, pieces, _gradients: gradients }
    }

    fn show(&self, painter: &egui::Painter, place: Place, look: Look, lamp: Option<Lamp>) {
        let shift = place.origin.to_vec2();
        let lamp = lamp.map(|l| Lamp {
            at: kurbo::Point::new(l.at.x * place.scale, l.at.y * place.scale),
            radius: l.radius * place.scale,
        });
        for piece in &self.pieces {
            match piece {
                Piece::Mesh(mesh) => {
                    let mut mesh = Mesh::clone(mesh);
                    mesh.translate(shift);
                    painter.add(mesh);
                }
                Piece::Text(line) => line.show(painter, shift, look),
                Piece::Glint { mesh, glint, at } => {
                    let Some(lamp) = lamp else { continue };
                    let strength = lamp.strength(glint, *at);
                    if strength <= 0.01 {
                        continue;
                    }
                    let mut mesh = mesh.clone();
                    mesh.translate(shift);
                    for v in &mut mesh.vertices {
                        v.color = v.color.gamma_multiply(strength);
                    }
                    painter.add(mesh);
                }
            }
        }
    }
}

fn finish_mesh(mesh: &mut Mesh, gradients: &Gradients, texture: egui::TextureId) {
    mesh.texture_id = texture;
    for v in &mut mesh.vertices {
        v.uv = gradients.uv(v.uv);
    }
}

/// Colours of one prim, faded when it is veiled.
#[derive(Clone, Copy)]
struct Ink {
    look: Look,
    veil: Option<Color32>,
}

impl Ink {
    fn color(self, shade: jarlight_geometry::scene::Shade) -> Color32 {
        let color = self.look.shade(shade);
        match self.veil {
            // What is clear stays clear: the page shines through it already.
            Some(page) => {
                let alpha = f32::from(color.a()) / 255.0;
                crate::theme::blend(color, page.gamma_multiply(alpha), VEILED)
            }
            None => color,
        }
    }
}

impl Line {
    fn show(&self, painter: &egui::Painter, shift: Vec2, look: Look) {
        let font = crate::theme::font_id(self.text.size as f32, self.text.weight);
        let galley = painter.layout_no_wrap(self.text.words.clone(), font, self.color);
        // The base line of the first row, from the top of the galley.
        let ascent = galley
            .rows
            .first()
            .and_then(|r| r.glyphs.first())
            .map_or(0.8 * self.text.size as f32, |g| g.pos.y);
        let back = match self.text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => galley.size().x / 2.0,
            Anchor::End => galley.size().x,
        };
        let at = pos2(self.text.at.x as f32, self.text.at.y as f32) + shift;
        let turn = if self.text.upright { -std::f32::consts::FRAC_PI_2 } else { 0.0 };
        let offset = vec2(-back, -ascent);
        let offset = if self.text.upright { vec2(offset.y, -offset.x) } else { offset };
        let draw = |d: Vec2, color: Color32| {
            let text = egui::epaint::TextShape::new(at + offset + d, galley.clone(), color)
                .with_override_text_color(color)
                .with_angle(turn);
            painter.add(text);
        };
        if let Some(halo) = self.halo.filter(|_| !look.is_contrast()) {
            let radius = 0.15 * self.text.size as f32;
            for i in 0..12 {
                draw(Vec2::angled(std::f32::consts::TAU * i as f32 / 12.0) * radius, halo);
            }
        }
        draw(Vec2::ZERO, self.color);
    }
}

#[cfg(test)]
mod tests;
