//! Whether the places that a scenario names are in its drawings; the shells draw.

use crate::{
    format::View,
    picture::Picture,
    places,
    scenario::{Scenario, TargetUse},
};
use jarlight_model::{
    catalogue::Catalogue,
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
};
use std::collections::BTreeMap;

/// Ids of the places in the drawing of a picture; `None` where it cannot be drawn, which is
/// reported elsewhere.
pub type Draw<'a> = dyn FnMut(&Picture) -> Option<Vec<String>> + 'a;

impl Scenario {
    /// Reads and checks a file, its drawings included: everything that can be known of it.
    pub fn read_drawn(
        source: &Source,
        catalogue: &Catalogue,
        draw: &mut Draw<'_>,
    ) -> Checked<Self> {
        let mut read = Self::read(source, catalogue);
        if let Some(scenario) = &read.value {
            let known: Vec<_> = read.diagnostics.iter().filter_map(|d| d.place.clone()).collect();
            // One trouble at one place is enough.
            let new = |d: &Diagnostic| d.place.as_ref().is_none_or(|p| !known.contains(p));
            let undrawn = scenario.undrawn(source, catalogue, draw);
            read.diagnostics.extend(undrawn.into_iter().filter(new));
        }
        Checked { diagnostics: in_file_order(read.diagnostics), ..read }
    }

    /// A diagnostic for each place that is named and not drawn.
    fn undrawn(
        &self,
        source: &Source,
        catalogue: &Catalogue,
        draw: &mut Draw<'_>,
    ) -> Vec<Diagnostic> {
        let mut drawn: BTreeMap<String, Option<Vec<String>>> = BTreeMap::new();
        let mut found = Vec::new();
        for TargetUse { scene: name, place, at } in self.targets() {
            let Some(scene) = self.scene(&name) else { continue };
            let Some((part, number)) = places::split(&place) else { continue };
            // A part that exists nowhere is reported by the check of meaning.
            if catalogue.part(part).is_none() {
                continue;
            }
            let all = drawn.entry(name).or_insert_with_key(|n| draw(&Picture::of(scene, n, 0)));
            let Some(all) = all else { continue };
            let count = all.iter().filter(|id| places::means(part, id)).count();
            let there = match number {
                Some(_) => all.contains(&place),
                None => count > 0,
            };
            if there {
                continue;
            }
            let view = match scene.view {
                View::Edge => "edge",
                View::Face => "face",
                View::Plan => "plan",
                View::Peeled => "peeled",
                View::Row => "row",
                View::Rack => "rack",
            };
            let what = match count {
                0 => format!("`{part}` is not seen in the {view} view of `{}`", scene.design.value),
                1 => format!("the {view} view has one `{part}`, which is `{part}-1`"),
                n => {
                    format!("the {view} view has {n} of `{part}`, from `{part}-1` to `{part}-{n}`")
                }
            };
            found.push(Diagnostic::new(Code::BadPlace, source, at, what));
        }
        found
    }
}
