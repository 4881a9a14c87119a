//! A question made of a case: what was seen is drawn, what was told stands in the stem, and the
//! rules say what is right.

use jarlight_model::{
    authored::quoted,
    catalogue::{Catalogue, ConditionKind},
    diag::{Diagnostic, Source},
    text::{tr, tr_with},
    unit::trimmed,
};
use jarlight_rules::{Case, CaseScope, Cell, Entry, Evidence, Network, infer};
use jarlight_scenario::Scenario;
use std::fmt::Write as _;

/// Most options of a list, "normal" not counted.
const MOST: usize = 4;
/// Views in which the finding can be asked about, the usual one first.
const VIEWS: [&str; 3] = ["Edge", "Plan", "Face"];

/// True when a text is a case.
pub fn is_case(text: &str) -> bool {
    let (root, _) = jarlight_model::authored::parse(&Source::new("", text));
    use jarlight_model::authored::Kind;
    matches!(root.kind, Kind::Record(Some(name), _) if name.text == "Case")
}

/// A lesson with one question about a case; `None` where the case has faults or shows nothing
/// that can be drawn.
pub fn lesson(text: &str, catalogue: &Catalogue) -> Option<String> {
    let case = Case::read(&Source::new("case", text)).value?;
    let cell = Cell::from_case(&case, catalogue).ok()?;
    let network = Network::from_catalogue(catalogue, &cell).ok()?;
    let evidence = case.evidence(&network).ok()?;
    let seen = Seen::of(&case, catalogue);
    let condition = seen.shown.first()?.0.clone();
    let causes = causes(&network, &evidence, &condition);
    let right_cause = causes.first()?.clone();
    let began = infer(&network, &evidence)
        .ok()
        .and_then(|p| p.began(&network, network.mechanism_idx(&right_cause)?));
    let began = began.map(|b| (b.p10, b.p90))?;
    let texts =
        VIEWS.map(|view| written(catalogue, &case, &cell, &seen, view, &condition, &causes, began));
    let sound = |t: &String| {
        let read = Scenario::read(&Source::new("case", t), catalogue);
        !read.diagnostics.iter().any(Diagnostic::is_error)
    };
    texts.iter().find(|t| sound(t)).or(texts.first()).cloned()
}

/// What a case says, as a scene takes it.
struct Seen {
    /// Conditions with their severity, the worst first.
    shown: Vec<(String, f64)>,
    /// Findings and readings that are told beside the picture.
    told: Vec<(String, usize)>,
    /// What the stem says of the readings that are over their limit.
    over: Vec<String>,
}

impl Seen {
    fn of(case: &Case, catalogue: &Catalogue) -> Self {
        let mut out = Self { shown: Vec::new(), told: Vec::new(), over: Vec::new() };
        for (id, entry) in case.entries() {
            let grade = match entry {
                Entry::Grade(g) | Entry::AtLeast(g) => g,
                Entry::AtMost(_) | Entry::NotInspected => continue,
            };
            let id = id.value.clone();
            match (catalogue.condition(&id), catalogue.quantity(&id)) {
                (Some(_), _) if grade > 0 => out.shown.push((id, grade.min(5) as f64 / 5.0)),
                (Some(c), _) if c.kind == ConditionKind::Condition => out.told.push((id, 0)),
                (_, Some(q)) => {
                    if grade > 0 {
                        out.over.push(q.name.clone());
                    }
                    out.told.push((id, grade.min(1)));
                }
                _ => {}
            }
        }
        out.shown.sort_by(|a, b| b.1.total_cmp(&a.1));
        out
    }
}

/// The causes that can show a condition, the likeliest first.
fn causes(network: &Network, evidence: &Evidence, condition: &str) -> Vec<String> {
    let Some(finding) = network.finding_idx(condition) else { return Vec::new() };
    let Ok(posterior) = infer(network, evidence) else { return Vec::new() };
    let mut all: Vec<(usize, f64)> =
        network.causes(finding).map(|i| (i, posterior.present(i))).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all.into_iter().map(|(i, _)| network.mechanisms()[i].id.clone()).collect()
}

/// Conditions that the right one is confused with, and others that are looked for beside it.
fn look_alikes(catalogue: &Catalogue, right: &str, seen: &Seen) -> Vec<String> {
    let Some(condition) = catalogue.condition(right) else { return Vec::new() };
    let near = condition.confused.iter().map(|c| c.with.value.clone());
    let beside = catalogue.conditions.iter().filter(|c| c.look == condition.look);
    let beside = beside.map(|c| c.id.to_string());
    let mut out: Vec<String> = Vec::new();
    for id in near.chain(beside) {
        let is_real = catalogue.condition(&id).is_some_and(|c| c.kind == ConditionKind::Condition);
        let shown = seen.shown.iter().any(|(s, _)| *s == id);
        if is_real && !shown && !out.contains(&id) && out.len() + 1 < MOST {
            out.push(id);
        }
    }
    out
}

/// Text on one line between quotation marks.
fn in_line(text: &str) -> String {
    quoted(&text.replace(['\n', '\r'], " "))
}

fn list(ids: impl Iterator<Item = String>) -> String {
    ids.map(|id| in_line(&id)).collect::<Vec<_>>().join(", ")
}

fn written(
    catalogue: &Catalogue,
    case: &Case,
    cell: &Cell<'_>,
    seen: &Seen,
    view: &str,
    condition: &str,
    causes: &[String],
    began: (f64, f64),
) -> String {
    let title = case.title.clone().unwrap_or_else(|| tr("workshop-case-title"));
    let stem = match seen.over.is_empty() {
        true => tr("workshop-case-stem"),
        false => tr_with("workshop-case-stem-told", &[("told", &seen.over.join("; "))]),
    };
    let design = case.design.as_ref().map_or("medium_pasted", |d| d.value.as_str());
    let conditions: String = seen
        .shown
        .iter()
        .map(|(id, s)| format!("        (id: {}, severity: {}),\n", in_line(id), trimmed(*s, 2)))
        .collect();
    let mut more = String::new();
    let scope = match case.scope {
        CaseScope::Cell => Some("Cell"),
        CaseScope::String => Some("String"),
        CaseScope::Unknown => None,
    };
    // Writing into a String cannot fail.
    if let Some(scope) = scope {
        let _ = writeln!(more, "      scope: {scope},");
    }
    if let Some(t) = case.temperature {
        let _ = writeln!(more, "      temperature: {},", trimmed(t, 1));
    }
    let pairs = |all: Vec<(String, String)>| {
        let all: Vec<String> =
            all.into_iter().map(|(k, v)| format!("{}: {v}", in_line(&k))).collect();
        all.join(", ")
    };
    if !seen.told.is_empty() {
        let told = seen.told.iter().map(|(id, grade)| (id.clone(), grade.to_string()));
        let _ = writeln!(more, "      told: {{{}}},", pairs(told.collect()));
    }
    if !case.cured.is_empty() {
        let cured = case.cured.iter().map(|(id, m)| (id.value.clone(), trimmed(*m, 1)));
        let _ = writeln!(more, "      cured: {{{}}},", pairs(cured.collect()));
    }
    let options = std::iter::once(condition.to_owned())
        .chain(look_alikes(catalogue, condition, seen))
        .chain(["normal".to_owned()]);
    let cause_options = causes.iter().take(MOST).cloned().chain(["normal".to_owned()]);
    let (low, high) = (began.0.round().max(0.0), began.1.round().max(began.0.round() + 1.0));
    let mut bands = Vec::new();
    if low > 0.0 {
        bands.push((0.0, low));
    }
    bands.extend([(low, high), (high, 9999.0)]);
    let bands: Vec<String> = bands.iter().map(|(a, z)| format!("({a}, {z})")).collect();
    format!(
        "Scenario(
  format: 1,
  id: \"my_case\",
  title: {},
  note: {},
  minutes: 3,
  scenes: {{
    \"case\": (
      design: {},
      view: {view},
      age_months: {},
      conditions: [
{conditions}      ],
{more}    ),
  }},
  questions: [
    (
      id: \"what_is_it\",
      scene: \"case\",
      stem: {},
      form: Diagnose(
        condition: (options: [{}], right: {}),
        cause: (options: [{}], right: {}),
        began: Bands(bands: [{}], right: ({low}, {high})),
      ),
    ),
  ],
)
",
        in_line(&title),
        in_line(case.note.as_deref().unwrap_or("")),
        in_line(design),
        trimmed(cell.age_months, 1),
        in_line(&stem),
        list(options),
        in_line(condition),
        list(cause_options),
        in_line(causes.first().map_or("", String::as_str)),
        bands.join(", "),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::check;

    #[test]
    fn a_case_becomes_a_question_without_errors() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/cases");
        let mut names: Vec<_> =
            std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
        names.retain(|p| p.to_string_lossy().ends_with(".case.ron"));
        names.sort();
        let catalogue = Catalogue::builtin();
        let mut made = 0;
        for path in names {
            let text = std::fs::read_to_string(&path).unwrap();
            assert!(is_case(&text));
            let Some(lesson) = lesson(&text, catalogue) else { continue };
            let read = check::read(&Source::new("case", &lesson), catalogue);
            let errors: String =
                read.diagnostics.iter().filter(|d| d.is_error()).map(ToString::to_string).collect();
            assert_eq!(errors, "", "{}\n{lesson}", path.display());
            made += 1;
        }
        assert!(made >= 6, "{made}");
    }

    #[test]
    fn a_case_with_a_fault_makes_no_question() {
        assert_eq!(
            lesson("Case(format: 1, findings: {\"no_such\": 3})", Catalogue::builtin()),
            None
        );
        assert!(!is_case("Scenario(format: 1)"));
    }
}
