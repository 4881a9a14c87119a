//! What a frame of the window costs, told without a window.

use super::{Painter, Place, Veil};
use crate::theme::{self, Look};
use egui::{Pos2, RawInput, Rect, epaint::Primitive, vec2};
use jarlight_geometry::{scene::Scene, svg::Lamp};

/// A window of 1280 × 800 points that nobody sees.
pub struct Trial {
    ctx: egui::Context,
    painter: Painter,
    revision: u64,
}

impl Default for Trial {
    fn default() -> Self {
        let ctx = egui::Context::default();
        theme::install_fonts(&ctx);
        Self { ctx, painter: Painter::default(), revision: 0 }
    }
}

impl Trial {
    /// The next frame draws a new scene.
    pub const fn change(&mut self) {
        self.revision += 1;
    }

    /// One frame from scene to triangles; gives their number. The scene fills the window.
    pub fn frame(&mut self, scene: &Scene, lamp: Option<Lamp>) -> usize {
        let screen = Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0));
        let place = Place::fit(scene.bounds, screen);
        let Self { ctx, painter, revision } = self;
        let input = RawInput { screen_rect: Some(screen), ..RawInput::default() };
        let veil = Veil::default();
        let mut output = ctx.run_ui(input, |ui| {
            painter.paint(ui.painter(), scene, *revision, place, Look::default(), &veil, lamp);
        });
        let shapes = std::mem::take(&mut output.shapes);
        let pixels = output.pixels_per_point;
        output.drop_without_applying_deltas();
        let count = |p: &egui::ClippedPrimitive| match &p.primitive {
            Primitive::Mesh(mesh) => mesh.indices.len() / 3,
            Primitive::Callback(_) => 0,
        };
        ctx.tessellate(shapes, pixels).iter().map(count).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three plates: two triangles each, their soft rims and their lines.
    #[test]
    fn a_frame_has_the_triangles_of_its_scene_and_none_without_one() {
        let mut trial = Trial::default();
        let first = trial.frame(&crate::demo::scene(), None);
        assert!(first >= 6, "{first}");
        assert_eq!(trial.frame(&crate::demo::scene(), None), first);
        trial.change();
        assert_eq!(trial.frame(&Scene::default(), None), 0);
    }
}
