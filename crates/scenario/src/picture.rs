//! A scene with its numbers drawn: what is to be painted for one question.

use crate::format::{Scene, Spread, View};
use jarlight_model::{
    id::Slug,
    rng::{Rng, child_seed},
    specimen::{Occurrence, Specimen},
    unit::Severity,
};

/// What is drawn for a question. For the painter only: it holds what the learner has to find.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The cell with what is on it.
    pub specimen: Specimen,
    /// From where it is seen.
    pub view: View,
    /// Whether the lamp is lit.
    pub lamp: bool,
    /// A place that is brought near.
    pub zoom: Option<String>,
    /// Parts that are left out.
    pub hide: Vec<Slug>,
    /// Whether a window is broken into a post.
    pub broken_out: bool,
    /// A place that is ringed; its name must not be shown before the answer.
    pub ring: Option<String>,
}

impl Picture {
    /// Draws the numbers of a scene; the same seed and name give the same picture.
    ///
    /// All questions about one scene see the same cell.
    pub fn of(scene: &Scene, name: &str, seed: u64) -> Self {
        let seed = child_seed(seed, &format!("scene {name}"));
        // Each number has a stream of its own, so that adding one does not change another.
        let draw = |what: String, spread: Spread| {
            if spread.low == spread.high {
                return spread.low;
            }
            Rng::new(child_seed(seed, &what)).range(spread.low, spread.high)
        };
        let occurrences = scene.conditions.iter().enumerate().map(|(i, placed)| Occurrence {
            condition: placed.id.value.clone(),
            severity: Severity::clamped(draw(
                format!("severity {i} {}", placed.id.value),
                placed.severity.value,
            )),
            place: placed.place.as_ref().map(|p| p.value.clone()),
        });
        Self {
            specimen: Specimen {
                design: scene.design.value.clone(),
                age_months: draw("age".to_owned(), scene.age_months.value),
                occurrences: occurrences.filter(|o| o.severity.value() > 0.0).collect(),
                seed: scene.seed,
            },
            view: scene.view,
            lamp: scene.lamp,
            zoom: scene.zoom.as_ref().map(|z| z.value.clone()),
            hide: scene.hide.iter().map(|h| h.value.clone()).collect(),
            broken_out: scene.broken_out,
            ring: None,
        }
    }

    /// The same cell, of the same age and look, with nothing on it.
    #[must_use]
    pub fn healthy(&self) -> Self {
        let mut twin = self.clone();
        twin.specimen.occurrences.clear();
        twin.hide.clear();
        twin
    }
}
