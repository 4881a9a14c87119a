//! Whether causes and findings reach each other once all files are read.

use super::{Catalogue, Entry, Loader, place_of};
use crate::{
    authored::Spot,
    catalogue::AgeRow,
    diag::{Code, Diagnostic, Source},
    id::Slug,
};

impl Loader {
    /// What a condition and a reading have in common as findings.
    pub(super) fn finding(
        &mut self,
        source: &Source,
        id: &Spot<Slug>,
        leak: f64,
        effort: f64,
        age: Option<AgeRow>,
    ) {
        self.probability(source, &id.at, "leak", leak);
        if effort.is_nan() || effort <= 0.0 {
            let what = format!("the effort of a look must be over 0, met {effort}");
            self.found.push(Diagnostic::new(Code::OutOfRange, source, id.at.clone(), what));
        }
        if let Some(a) = age
            && !(a.too_soon >= 0.0 && a.lower <= a.typical && a.typical <= a.upper)
        {
            let what = format!(
                "ages must rise from lower to typical to upper, met {}, {}, {}",
                a.lower, a.typical, a.upper
            );
            self.found.push(Diagnostic::new(Code::OutOfRange, source, id.at.clone(), what));
        }
        let (id, source, at) = (id.value.to_string(), source.clone(), id.at.clone());
        self.findings.push(Entry { id, source, at });
    }

    /// Causes that no finding shows, findings that no cause shows, causes of themselves.
    pub(super) fn reach(&mut self) {
        let c = &self.catalogue;
        let mut found = Vec::new();
        for Entry { id, source, at } in &self.causes {
            let Some(cause) = c.mechanism(id) else { continue };
            if cause.links.is_empty() {
                let what = format!("nothing can show that `{id}` is there: it links no finding");
                found.push(Diagnostic::new(Code::NoFinding, source, at.clone(), what));
            }
            for parent in cause.parents.keys().filter(|p| c.descends(p, id)) {
                let what = format!("`{id}` makes itself likelier through `{parent}`");
                let at = place_of(source, at, parent);
                found.push(Diagnostic::new(Code::Cycle, source, at, what));
            }
        }
        for Entry { id, source, at } in &self.findings {
            if !c.mechanisms.is_empty() && c.mechanisms.iter().all(|m| !m.links.contains_key(id)) {
                let what = format!("no cause shows `{id}`");
                found.push(Diagnostic::new(Code::NoCause, source, at.clone(), what));
            }
        }
        self.found.extend(found);
    }
}

impl Catalogue {
    /// Whether a cause is another one, or is made likelier by it through any number of steps.
    fn descends(&self, cause: &str, from: &str) -> bool {
        let (mut open, mut seen) = (vec![cause], Vec::new());
        while let Some(id) = open.pop() {
            if id == from {
                return true;
            }
            if !seen.contains(&id) {
                seen.push(id);
                open.extend(self.mechanism(id).iter().flat_map(|m| m.parents.keys().map(|p| &**p)));
            }
        }
        false
    }
}
