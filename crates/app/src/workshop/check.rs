//! The checks of the workshop: the same as in the terminal, drawings included.

use crate::easel::Subject;
use jarlight_model::{
    catalogue::Catalogue,
    diag::{Checked, Source},
};
use jarlight_scenario::{
    Picture, Scenario,
    reason::{Reasoned, reason},
};

/// Reads and checks a scenario, its drawings included.
pub fn read(source: &Source, catalogue: &Catalogue) -> Checked<Scenario> {
    Scenario::read_drawn(source, catalogue, &mut |picture| {
        let drawn = Subject::of(picture).draw(catalogue, 1.0)?;
        Some(drawn.scene.targets.iter().map(jarlight_geometry::scene::Target::id).collect())
    })
}

/// What the rules say about a scene as a learner with this seed sees it.
pub fn reasoned(scenario: &Scenario, scene: &str, seed: u64, catalogue: &Catalogue) -> Reasoned {
    match scenario.scene(scene) {
        Some(authored) => reason(catalogue, authored, &Picture::of(authored, scene, seed)),
        None => Reasoned::default(),
    }
}
