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
                // It can be drawn and asked about, so it stops nobody.
                let what = format!("no cause shows `{id}`, so it explains nothing");
                let d = Diagnostic::new(Code::NoCause, source, at.clone(), what).warning();
                found.push(d.help("add it to the `links` of a cause"));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{builtin_designs, builtin_sources};

    const FAULTY: &str = r#"Mechanisms(
  format: 1,
  mechanisms: [
    (
      id: "m_mistaken", name: "Mistaken", plain: "all wrong", scope: Either,
      priors: (0.1, 1.3, -0.1, 0.1),
      what: ("It is wrong.", Memory),
      links: {"sediment_lihgt": Often, "moss_growth": Seldom},
      parents: {"m_circular": 0, "m_undercahrge": 2},
      types: {"lead_calcum": 1.2, "plante": -1},
      action: ("Nothing.", Memory), caution: ("None.", Memory), urgency: Note,
      basis: Estimate("a test"),
    ),
    (
      id: "m_circular", name: "Circular", plain: "its own cause", scope: Either,
      priors: (0, 0, 0, 0),
      what: ("It is wrong.", Memory),
      links: {},
      parents: {"m_mistaken": 2},
      action: ("Nothing.", Memory), caution: ("None.", Memory), urgency: Note,
      basis: Estimate("a test"),
    ),
    (
      id: "m_overcharge", name: "Again", plain: "a second one", scope: Either,
      priors: (0.1, 0.1, 0.1, 0.1),
      what: ("It is wrong.", Seen("DOE-1085")),
      links: {"moss_growth": Seldom},
      action: ("Nothing.", Memory), caution: ("None.", Memory), urgency: Note,
      basis: Estimate("a test"),
    ),
  ],
  quantities: [
    (
      id: "q_lonely", name: "Lonely", means: ("Nothing.", Memory), leak: 1.1, ask: "ask nobody",
      effort: 0, age: (lower: 9, typical: 6, upper: 24, too_soon: 0),
    ),
  ],
)
"#;

    #[test]
    fn every_fault_of_a_file_of_causes_is_told_in_its_place() {
        let mut all = builtin_designs();
        all.extend(builtin_sources());
        all.push(Source::new("faulty.ron", FAULTY));
        let found = Catalogue::load(&all).diagnostics;
        let mut met: Vec<String> = found
            .iter()
            .map(|d| {
                let p = d.place.as_ref().unwrap();
                format!("{} {}:{}", d.code, p.line, p.col)
            })
            .collect();
        let mut expected = [
            "out-of-range 5:11",
            "out-of-range 5:11",
            "unknown-finding 8:15",
            "out-of-range 9:17",
            "cycle 9:17",
            "unknown-mechanism 9:34",
            "unknown-value 10:15",
            "out-of-range 10:35",
            "out-of-range 15:11",
            "no-finding 15:11",
            "cycle 19:17",
            "repeated-id 24:11",
            "unknown-source 26:35",
            "out-of-range 34:11",
            "out-of-range 34:11",
            "out-of-range 34:11",
            "no-cause 34:11",
        ];
        met.sort();
        expected.sort_unstable();
        assert_eq!(met, expected);
        let unexplained = found.iter().find(|d| d.code == Code::NoCause).unwrap();
        assert!(!unexplained.is_error(), "a finding without a cause can still be drawn");
    }
}
