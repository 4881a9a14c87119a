//! Turns a specimen into a picture, and keeps it until something about it changes.

use crate::widget::drawing::Picture;
use jarlight_geometry::{
    draw::{self, View},
    layout::Impossible,
};
use jarlight_model::{catalogue::Catalogue, design::Design, specimen::Specimen};
use std::sync::{
    Arc,
    atomic::{AtomicU64, Ordering},
};

/// What a picture depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Subject {
    /// The cell and what is on it.
    pub specimen: Specimen,
    /// From where.
    pub view: View,
    /// Parts that are left out.
    pub hidden: Vec<String>,
    /// Whether a window is broken into a post.
    pub broken_out: bool,
}

impl Subject {
    /// What a question shows.
    pub fn of(picture: &jarlight_scenario::Picture) -> Self {
        Self {
            specimen: picture.specimen.clone(),
            view: crate::presenting::drawn_view(picture.view),
            hidden: picture.hide.iter().map(ToString::to_string).collect(),
            broken_out: picture.broken_out,
        }
    }

    /// Draws it; `None` when the design is unknown or cannot be built.
    pub fn draw(&self, catalogue: &Catalogue, px_per_mm: f64) -> Option<Arc<Picture>> {
        let design = catalogue.designs.get(&self.specimen.design)?;
        let (hidden, broken_out) = (self.hidden.clone(), self.broken_out);
        let options = draw::Options { hidden, broken_out, ..Default::default() };
        render(catalogue, design, &self.specimen, self.view, options, px_per_mm).ok()
    }
}

/// A cell of any design, with the options of the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Sight {
    /// The cell and what is on it.
    pub specimen: Specimen,
    /// The design, which need not be one of the catalogue.
    pub design: Arc<Design>,
    /// From where.
    pub view: View,
    /// What is shown and what is left off.
    pub options: draw::Options,
}

impl Sight {
    /// Draws it, or says why the design cannot be built.
    pub fn draw(
        &self,
        catalogue: &Catalogue,
        px_per_mm: f64,
    ) -> Result<Arc<Picture>, Vec<Impossible>> {
        let options = self.options.clone();
        render(catalogue, &self.design, &self.specimen, self.view, options, px_per_mm)
    }
}

fn render(
    catalogue: &Catalogue,
    design: &Design,
    specimen: &Specimen,
    view: View,
    options: draw::Options,
    px_per_mm: f64,
) -> Result<Arc<Picture>, Vec<Impossible>> {
    static REVISIONS: AtomicU64 = AtomicU64::new(1);
    let request = draw::Request { catalogue, design, specimen, view, px_per_mm, options };
    let scene = draw::scene(&request)?;
    let revision = REVISIONS.fetch_add(1, Ordering::Relaxed);
    Ok(Arc::new(Picture::new(scene, revision)))
}

/// The last picture of a cell of any design; it stays while a design cannot be built.
#[derive(Default)]
pub struct SightEasel {
    asked: Option<(Sight, i32)>,
    drawn: Option<(View, Arc<Picture>)>,
    /// Why what was asked for last cannot be built; empty when it can.
    pub impossible: Vec<Impossible>,
}

impl SightEasel {
    /// What the last picture from there covers, in millimetres.
    pub fn bounds(&self, view: View) -> Option<kurbo::Rect> {
        self.drawn.as_ref().filter(|(v, _)| *v == view).map(|(_, p)| p.scene.bounds)
    }

    /// The picture, or the last good one from the same side.
    pub fn picture(
        &mut self,
        catalogue: &Catalogue,
        sight: &Sight,
        px_per_mm: f64,
    ) -> Option<Arc<Picture>> {
        let step = detail(px_per_mm);
        if self.asked.as_ref().is_none_or(|(s, d)| s != sight || *d != step) {
            match sight.draw(catalogue, 2f64.powf(f64::from(step) / 2.0)) {
                Ok(picture) => {
                    self.drawn = Some((sight.view, picture));
                    self.impossible.clear();
                }
                Err(why) => self.impossible = why,
            }
            self.asked = Some((sight.clone(), step));
        }
        self.drawn.as_ref().filter(|(v, _)| *v == sight.view).map(|(_, p)| p.clone())
    }
}

/// The last picture of one place on the screen.
#[derive(Default)]
pub struct Easel {
    last: Option<(Subject, i32, Option<Arc<Picture>>)>,
}

impl Easel {
    /// The picture of a subject at a scale; textures follow the scale in steps.
    pub fn picture(
        &mut self,
        catalogue: &Catalogue,
        subject: &Subject,
        px_per_mm: f64,
    ) -> Option<Arc<Picture>> {
        let step = detail(px_per_mm);
        if self.last.as_ref().is_none_or(|(s, d, _)| s != subject || *d != step) {
            let drawn = subject.draw(catalogue, 2f64.powf(f64::from(step) / 2.0));
            self.last = Some((subject.clone(), step, drawn));
        }
        self.last.as_ref().and_then(|(.., picture)| picture.clone())
    }
}

/// Level of detail of a scale: steps of the square root of two, rounded down.
fn detail(px_per_mm: f64) -> i32 {
    let px = if px_per_mm.is_finite() { px_per_mm.clamp(0.05, 64.0) } else { 1.0 };
    (2.0 * px.log2()).floor() as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn detail_changes_in_steps() {
        assert_eq!(detail(1.0), 0);
        assert_eq!(detail(1.99), 1);
        assert_eq!(detail(2.0), 2);
        assert_eq!(detail(f64::NAN), 0);
    }
}
