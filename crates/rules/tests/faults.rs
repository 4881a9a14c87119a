//! What an author of a rules file or a case meets: every fault, each with line and column.

#![expect(clippy::unwrap_used, clippy::expect_used, reason = "test helpers")]

use jarlight_model::diag::{Diagnostic, Level, Source};
use jarlight_rules::{Case, Rules};

fn listed(diagnostics: &[Diagnostic]) -> Vec<String> {
    diagnostics
        .iter()
        .map(|d| {
            let p = d.place.as_ref().expect("a place");
            let level = if d.level == Level::Warning { "warning " } else { "" };
            format!("{level}{} {}:{}", d.code, p.line, p.col)
        })
        .collect()
}

/// Marks `<code>` in the text stand before the place they are about; gives text and expectation.
fn marked(text: &str) -> (String, Vec<String>) {
    let (mut plain, mut expected) = (String::new(), Vec::new());
    let mut rest = text;
    while let Some(start) = rest.find('<') {
        plain.push_str(&rest[..start]);
        let end = start + rest[start..].find('>').unwrap();
        let line = plain.matches('\n').count() + 1;
        let col = plain.chars().rev().take_while(|c| *c != '\n').count() + 1;
        expected.push(format!("{} {line}:{col}", &rest[start + 1..end]));
        rest = &rest[end + 1..];
    }
    plain.push_str(rest);
    (plain, expected)
}

const FAULTY: &str = r#"// A rules file with more than thirty faults.
Rules(
  format: <unknown-format>2,
  grades: 3,
  <unknown-field>remark: "none such",
  mechanisms: [
    (id: "wear", bins: [
      (from: 0, to: 6, prior: <out-of-range>1.3),
      (from: 6, to: 24, prior: <out-of-range>-0.1),
      (from: <out-of-range>20, to: 60, prior: 0.1),
    ]),
    (id: <repeated-id>"wear", bins: [(from: 0, to: <out-of-range>0, prior: 0.1)]),
    (id: <bad-slug>"Rust Spot", bins: [(from: 0, to: 6, prior: 0.1)]),
    (id: "heat", bins: [(from: <out-of-range>-1, to: 6, prior: 0.1)], parents: {<cycle>"damp": 2}),
    (id: "damp", bins: [(from: 0, to: 6, prior: 0.1)], parents: {<cycle>"heat": <out-of-range>0, <unknown-mechanism>"hete": 2}),
    (id: "self", bins: [(from: 0, to: 6, prior: 0.1)], parents: {<cycle>"self": 2}),
    (id: <no-finding>"idle", bins: [(from: 0, to: 6, prior: 0.5), <out-of-range>(from: 6, to: 12, prior: 0.6)]),
    (id: <empty>"bare", bins: []),
    <missing-field>(id: "open"),
    (id: "odd", bins: <wrong-type>7),
    (id: "lax", bins: [(from: 0, to: <not-finite>inf, prior: 0.1), <missing-field>(from: 6, to: 12)]),
  ],
  findings: [
    (id: "dust", leak: [0.9, <probability-falls>0.8, 1], rows: {"wear": <wrong-type>[[0.2, 0.5, 1]]}),
    (id: <repeated-id>"dust", leak: [0.9, 0.95, <probability-falls>0.99], rows: {"heat": [[0.2, <probability-falls>0.1, 1]]}),
    (id: "spots", leak: <wrong-type>[0.9, 1], rows: {"damp": [<wrong-type>[0.2, 0.5, 1]]}),
    (id: <no-cause>"lonely", leak: [0.9, 0.95, 1], rows: {}),
    (id: "scale", leak: [0.9, <out-of-range>1.2, 1], rows: {<unknown-mechanism>"wera": [[0.1, 0.2, 1]], "self": [[<wrong-type>"x", 0.2, 1]]}),
    (id: "grit", leak: [0.9, 0.95, 1], rows: {"wear": [[0.2, 0.5, 1], <warning older-gets-better>[0.3, 0.6, 1], [0.1, 0.6, 1]], <repeated-field>"wear": [[0.1, 0.2, 1]]}),
    (id: "rest", leak: [0.9, 0.95, 1], effort: <out-of-range>0, staff: <wrong-type>yes, rows: {"open": [[0.1, 0.2, 1]], "odd": [[0.1, 0.2, 1]], "lax": [[0.1, 0.2, 1], [0.1, 0.2, 1]], "bare": []}),
    <missing-field>(leak: <wrong-type>[1], rows: {"heat": [[0.1, 0.2, 1]]}),
  ],
)
"#;

#[test]
fn a_rules_file_reports_every_seeded_fault_in_its_place() {
    let (text, expected) = marked(FAULTY);
    assert!(expected.len() >= 30, "{}", expected.len());
    let read = Rules::read(&Source::new("faulty.ron", &text));
    assert!(read.value.is_none());
    let mut expected = expected;
    let mut met = listed(&read.diagnostics);
    expected.sort();
    met.sort();
    let shown: String = read.diagnostics.iter().map(ToString::to_string).collect();
    assert_eq!(met, expected, "{shown}");
}

#[test]
fn a_warning_leaves_the_file_usable() {
    let (text, expected) = marked(
        r#"Rules(format: 1,
  mechanisms: [(id: "wear", bins: [(from: 0, to: 6, prior: .1), (from: 6, to: 9, prior: .1)])],
  findings: [(id: "dust", leak: [.9, 1], rows: {"wear": [[.2, 1], <warning older-gets-better>[.3, 1]]})])"#,
    );
    let read = Rules::read(&Source::new("w.ron", &text));
    assert_eq!(listed(&read.diagnostics), expected);
    assert!(read.value.is_some_and(|r| r.network().is_ok()));
}

#[test]
fn a_case_reports_its_faults() {
    let (text, expected) = marked(
        r#"Case(
  format: <unknown-format>3,
  age_months: <out-of-range>0,
  scope: <unknown-value>Cel,
  temperature: <out-of-range>90,
  findings: {"dust": <unknown-value>Cleen, "grit": <out-of-range>-1, "dust2": 1, <repeated-field>"dust2": 1},
  soft: {"haze": <out-of-range>[0, 0, 0]},
)"#,
    );
    // A word that cannot be read leaves no case to check the numbers of.
    let read = Case::read(&Source::new("c.ron", &text));
    let expected: Vec<String> =
        expected.into_iter().filter(|e| e.contains("4:") || e.contains("6:")).collect();
    assert_eq!(listed(&read.diagnostics), expected);
    let mended = text.replace("Cel,", "Cell,").replace("Cleen", "Clean").replace("-1", "1");
    let mended = mended.replace(", \"dust2\": 1}", "}");
    let read = Case::read(&Source::new("c.ron", &mended));
    assert_eq!(
        listed(&read.diagnostics),
        ["unknown-format 2:11", "out-of-range 3:15", "out-of-range 5:16", "out-of-range 7:18"]
    );
}

#[test]
fn a_case_is_held_against_its_rules() {
    let rules = r#"Rules(format: 1, mechanisms: [(id: "wear", bins: [(from: 0, to: 6, prior: 0.1)])],
  findings: [(id: "dust", leak: [0.9, 1], rows: {"wear": [[0.2, 1]]}),
    (id: "grit", leak: [0.9, 0.95, 1], rows: {"wear": [[0.2, 0.3, 1]]})])"#;
    let network = Rules::read(&Source::new("r.ron", rules)).value.unwrap().network().unwrap();
    let (text, expected) = marked(
        r#"Case(format: 1, findings: {"dust": <out-of-range>2, <unknown-finding>"gritt": 1},
  soft: {"grit": <wrong-type>[0.1, 0.9]})"#,
    );
    let case = Case::read(&Source::new("c.ron", &text)).value.unwrap();
    let found = case.evidence(&network).unwrap_err();
    assert_eq!(listed(&found), expected);
    assert_eq!(found[1].help.as_deref(), Some("did you mean `grit`?"));
}
