//! Gradients as rows of one texture.

use super::Ink;
use egui::{Color32, ColorImage, Pos2, TextureHandle, TextureId, TextureOptions, pos2};
use jarlight_geometry::scene::Paint;

/// Texels along a row.
const STEPS: usize = 256;

/// What fills an outline, in pixels of the drawing.
pub enum Fill {
    /// One colour.
    Plain(Color32),
    /// A row of the texture along an axis.
    Row {
        /// Number of the row.
        row: usize,
        /// Start of the axis.
        from: kurbo::Point,
        /// The axis over its squared length.
        axis: kurbo::Vec2,
    },
    /// A row of the texture by the distance from a point.
    Rings {
        /// Number of the row.
        row: usize,
        /// Centre.
        center: kurbo::Point,
        /// Radius at which the row ends.
        radius: f64,
    },
}

impl Fill {
    /// Colour and unfinished texture place (place along the row, number of the row).
    pub fn at(&self, p: kurbo::Point) -> (Color32, Pos2) {
        match self {
            Self::Plain(color) => (*color, pos2(0.0, 0.0)),
            Self::Row { row, from, axis } => {
                (Color32::WHITE, pos2((p - *from).dot(*axis) as f32, *row as f32))
            }
            Self::Rings { row, center, radius } => {
                let t = (p - *center).hypot() / radius.max(1e-9);
                (Color32::WHITE, pos2(t as f32, *row as f32))
            }
        }
    }

    /// True where colour is not linear along a straight edge, so that a triangle must be small.
    pub const fn is_round(&self) -> bool {
        matches!(self, Self::Rings { .. })
    }
}

/// All gradients of one painted scene.
#[derive(Default)]
pub struct Gradients {
    rows: Vec<Vec<(f32, Color32)>>,
    texture: Option<TextureHandle>,
}

impl Gradients {
    /// Gives a paint its row, a new one when these stops are new.
    pub fn prepare(&mut self, paint: &Paint, scale: f64, ink: Ink) -> Fill {
        let place = |p: kurbo::Point| kurbo::Point::new(p.x * scale, p.y * scale);
        let stops = |list: &[(f32, jarlight_geometry::scene::Shade)]| {
            list.iter().map(|(t, s)| (*t, ink.color(*s))).collect::<Vec<_>>()
        };
        match paint {
            Paint::Plain(shade) => Fill::Plain(ink.color(*shade)),
            Paint::Linear { from, to, stops: list } => {
                let (from, to) = (place(*from), place(*to));
                let axis = to - from;
                let axis = axis / axis.hypot2().max(1e-12);
                Fill::Row { row: self.row(stops(list)), from, axis }
            }
            Paint::Radial { center, radius, stops: list } => Fill::Rings {
                row: self.row(stops(list)),
                center: place(*center),
                radius: radius * scale,
            },
        }
    }

    fn row(&mut self, stops: Vec<(f32, Color32)>) -> usize {
        // Row 0 is white.
        let known = self.rows.iter().position(|r| *r == stops);
        1 + known.unwrap_or_else(|| {
            self.rows.push(stops);
            self.rows.len() - 1
        })
    }

    /// Makes the texture.
    pub fn finish(&mut self, ctx: &egui::Context) -> TextureId {
        let n = self.rows.len() + 1;
        let mut pixels = vec![Color32::WHITE; STEPS];
        for stops in &self.rows {
            pixels.extend((0..STEPS).map(|i| color_at(stops, i as f32 / (STEPS - 1) as f32)));
        }
        let image = ColorImage::new([STEPS, n], pixels);
        let handle = ctx.load_texture("gradients", image, TextureOptions::LINEAR);
        let id = handle.id();
        self.texture = Some(handle);
        id
    }

    /// The texture place of an unfinished one: the middle of its row, ends of the row at the
    /// middles of the outer texels.
    pub fn uv(&self, raw: Pos2) -> Pos2 {
        let n = (self.rows.len() + 1) as f32;
        let along = (raw.x * (STEPS - 1) as f32 + 0.5) / STEPS as f32;
        pos2(along, (raw.y + 0.5) / n)
    }
}

/// The colour at a place along sorted stops.
fn color_at(stops: &[(f32, Color32)], t: f32) -> Color32 {
    let Some(first) = stops.first() else { return Color32::TRANSPARENT };
    let mut before = *first;
    for stop in stops {
        if t <= stop.0 {
            let width = stop.0 - before.0;
            let share = if width > 0.0 { (t - before.0) / width } else { 1.0 };
            return crate::theme::blend(before.1, stop.1, share.clamp(0.0, 1.0));
        }
        before = *stop;
    }
    before.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_between_three_stops_are_those_of_the_nearer_pair() {
        let (a, b, c) = (Color32::BLACK, Color32::WHITE, Color32::BLACK);
        let stops = [(0.0, a), (0.25, b), (1.0, c)];
        assert_eq!(color_at(&stops, 0.25), b);
        assert_eq!(color_at(&stops, 0.0), a);
        assert_eq!(color_at(&stops, 2.0), c);
        let half = color_at(&stops, 0.625);
        assert!((126..=129).contains(&half.r()), "{half:?}");
    }
}
