//! Whether the places that a scenario names are in its drawings.

use jarlight_geometry::{
    draw::{self, Options, View},
    scene::Scene,
};
use jarlight_model::{
    catalogue::Catalogue,
    diag::{Code, Diagnostic, Source},
};
use jarlight_scenario::{Picture, Scenario, format, places};
use std::collections::BTreeMap;

/// A diagnostic for each place that is named and not drawn.
pub fn check(source: &Source, scenario: &Scenario, catalogue: &Catalogue) -> Vec<Diagnostic> {
    let mut drawn: BTreeMap<String, Option<Scene>> = BTreeMap::new();
    let mut found = Vec::new();
    for target in scenario.targets() {
        let Some(scene) = scenario.scene(&target.scene) else { continue };
        let Some((part, number)) = places::split(&target.place) else { continue };
        // A part that exists nowhere is reported by the scenario's own check.
        if catalogue.part(part).is_none() {
            continue;
        }
        let picture = drawn
            .entry(target.scene.clone())
            .or_insert_with(|| picture(&target.scene, scene, catalogue));
        let Some(picture) = picture else { continue };
        let count = picture.targets.iter().filter(|t| &*t.part == part).count();
        let there = match number {
            Some(_) => picture.find(&target.place).is_some(),
            None => count > 0,
        };
        if there {
            continue;
        }
        let view = view(scene.view).name();
        let what = match count {
            0 => format!("`{part}` is not seen in the {view} view of `{}`", scene.design.value),
            1 => format!("the {view} view has one `{part}`, which is `{part}-1`"),
            n => format!("the {view} view has {n} of `{part}`, from `{part}-1` to `{part}-{n}`"),
        };
        found.push(Diagnostic::new(Code::BadPlace, source, target.at, what));
    }
    found
}

fn picture(name: &str, scene: &format::Scene, catalogue: &Catalogue) -> Option<Scene> {
    let design = catalogue.designs.get(scene.design.value.as_str())?;
    let picture = Picture::of(scene, name, 0);
    let request = draw::Request {
        catalogue,
        design,
        specimen: &picture.specimen,
        view: view(picture.view),
        px_per_mm: 1.0,
        options: Options {
            hidden: picture.hide.iter().map(ToString::to_string).collect(),
            ..Options::default()
        },
    };
    // A design that cannot be drawn is reported where it stands.
    draw::scene(&request).ok()
}

/// The view of a scenario as the drawing knows it.
fn view(view: format::View) -> View {
    match view {
        format::View::Edge => View::Edge,
        format::View::Face => View::Face,
        format::View::Plan => View::Plan,
    }
}
