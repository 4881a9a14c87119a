//! The schemas describe the files: all of ours agree with them, and broken ones do not.

use jarlight_tests::{files, golden, jarlight, path, root};
use serde_json::Value;
use std::{fs, path::Path};

/// A rules file of the check network.
const RULES: &str = "tests/published/inference_rules.ron";

/// Words of JSON Schema that only explain.
const SILENT: [&str; 5] = ["$schema", "$id", "$defs", "title", "description"];

/// Why a value does not agree with a schema; knows the words that ours use and no others.
fn faults(value: &Value, schema: &Value, whole: &Value, at: &str) -> Vec<String> {
    let words = schema.as_object().unwrap_or_else(|| panic!("{at}: {schema}"));
    let one = |wrong: bool, what: String| {
        if wrong { vec![format!("{at}: {what}")] } else { Vec::new() }
    };
    let fields = || value.as_object().into_iter().flatten();
    let items = || value.as_array().into_iter().flatten().enumerate();
    let each = |word: &String, rule: &Value| -> Vec<String> {
        match word.as_str() {
            "$ref" => {
                let pointer = rule.as_str().unwrap().strip_prefix('#').unwrap();
                faults(value, whole.pointer(pointer).unwrap(), whole, at)
            }
            "type" => {
                let fits = match rule.as_str().unwrap() {
                    "boolean" => value.is_boolean(),
                    "number" => value.is_number(),
                    "integer" => value.as_f64().is_some_and(|n| n.fract() == 0.0),
                    "string" => value.is_string(),
                    "null" => value.is_null(),
                    "array" => value.is_array(),
                    "object" => value.is_object(),
                    other => panic!("type {other}"),
                };
                one(!fits, format!("{value} is no {rule}"))
            }
            "const" => one(value != rule, format!("{value} is not {rule}")),
            "minimum" => one(value.as_f64() < rule.as_f64(), format!("{value} < {rule}")),
            "pattern" => {
                // The only pattern is the one of ids.
                assert_eq!(rule, "^[a-z0-9_.]+$");
                let fits =
                    |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "_.".contains(c);
                let wrong = |s: &str| s.is_empty() || !s.chars().all(fits);
                one(value.as_str().is_some_and(wrong), format!("{value} is no id"))
            }
            "minItems" => one(items().count() < size(rule), "too few items".to_owned()),
            "maxItems" => one(items().count() > size(rule), "too many items".to_owned()),
            "items" => {
                let all = items().map(|(i, item)| faults(item, rule, whole, &format!("{at}/{i}")));
                all.flatten().collect()
            }
            "prefixItems" => {
                let all = items().zip(rule.as_array().unwrap());
                let all = all.map(|((i, x), rule)| faults(x, rule, whole, &format!("{at}/{i}")));
                all.flatten().collect()
            }
            "required" => {
                let names = rule.as_array().unwrap().iter().map(|n| n.as_str().unwrap());
                let missing = |n: &&str| value.is_object() && value.get(*n).is_none();
                names.filter(missing).map(|n| format!("{at}: {n} is missing")).collect()
            }
            "properties" => {
                let known = fields().filter_map(|(n, v)| Some((n, v, rule.get(n)?)));
                let all = known.map(|(n, v, rule)| faults(v, rule, whole, &format!("{at}/{n}")));
                all.flatten().collect()
            }
            "additionalProperties" => {
                let known = |n: &String| schema["properties"].get(n).is_some();
                let others = fields().filter(|(n, _)| !known(n));
                if *rule == Value::Bool(false) {
                    return others.map(|(n, _)| format!("{at}: {n} is not known")).collect();
                }
                let all = others.map(|(n, v)| faults(v, rule, whole, &format!("{at}/{n}")));
                all.flatten().collect()
            }
            "anyOf" => {
                let mut all = rule.as_array().unwrap().iter();
                let fits = all.any(|rule| faults(value, rule, whole, at).is_empty());
                one(!fits, format!("{value} fits none"))
            }
            silent => {
                assert!(SILENT.contains(&silent), "{at}: the word {silent} is not known");
                Vec::new()
            }
        }
    };
    words.iter().flat_map(|(word, rule)| each(word, rule)).collect()
}

fn size(rule: &Value) -> usize {
    usize::try_from(rule.as_u64().unwrap()).unwrap()
}

fn json_of(words: &[&str]) -> Value {
    let ran = jarlight(words.iter().copied());
    assert_eq!(ran.code, Some(0), "{words:?}: {}", ran.messages);
    serde_json::from_str(&ran.data).unwrap()
}

fn schema(kind: &str) -> Value {
    json_of(&["schema", kind])
}

fn faults_of(file: &Path, schema: &Value) -> Vec<String> {
    let view = json_of(&["schema", "--view", file.to_str().unwrap()]);
    faults(&view, schema, schema, "")
}

/// The kind of a file, in small letters.
fn kind(file: &Path) -> String {
    let text = fs::read_to_string(file).unwrap();
    let line = text.lines().find(|l| !l.starts_with("//") && !l.trim().is_empty()).unwrap();
    line.split('(').next().unwrap().trim().to_lowercase()
}

#[test]
fn every_file_of_ours_agrees_with_its_schema() {
    let kinds = jarlight(["schema"]).data;
    let mut met = std::collections::BTreeSet::new();
    for folder in ["scenarios", "assets/catalogue", "assets/designs", "tests/cases"] {
        let all = files(&root().join(folder), ".ron");
        assert!(!all.is_empty(), "{folder}");
        for file in all {
            let kind = kind(&file);
            let wrong = faults_of(&file, &schema(&kind));
            assert!(wrong.is_empty(), "{}: {wrong:#?}", file.display());
            met.insert(kind);
        }
    }
    for kind in kinds.lines().filter(|k| *k != "rules") {
        assert!(met.contains(kind), "no file of the kind {kind}");
    }
}

#[test]
fn rules_of_a_check_network_agree_with_their_schema() {
    let wrong = faults_of(Path::new(&path(RULES)), &schema("rules"));
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Replacements in a sound scenario that its schema must notice.
const SEEDED: [(&str, &str); 14] = [
    ("title:", "titel:"),
    ("format: 1,", ""),
    ("format: 1,", "format: \"1\","),
    ("minutes: 18", "minutes: \"18\""),
    ("view: Edge", "view: Edgy"),
    ("view: Edge", "view: \"Edge\", sead: 4"),
    ("id: \"parts\"", "id: \"Parts of it\""),
    ("form: Point(part: \"positive_plate\")", "form: Pint(part: \"positive_plate\")"),
    ("form: Point(part: \"positive_plate\")", "form: Point(parts: \"positive_plate\")"),
    ("form: Point(part: \"positive_plate\")", "form: Point()"),
    ("form: Point(part: \"positive_plate\")", "form: Point(part: \"positive_plate\", number: 1.5)"),
    ("age_months: 108", "age_months: (1, 2, 3)"),
    ("questions: [", "questions: [3, "),
    ("ordered: true", "ordered: 1"),
];

#[test]
fn seeded_faults_are_noticed() {
    let schema = schema("scenario");
    let text = fs::read_to_string(path("scenarios/01_parts/parts.scenario.ron")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.scenario.ron");
    for (from, to) in SEEDED {
        assert!(text.contains(from), "{from}");
        fs::write(&file, text.replacen(from, to, 1)).unwrap();
        assert!(!faults_of(&file, &schema).is_empty(), "{from} -> {to} is not noticed");
    }
}

/// Codes that a schema can see: spelling, kinds of values, fields.
const VISIBLE: [&str; 5] =
    ["unknown-field", "unknown-value", "missing-field", "wrong-type", "bad-slug"];

#[test]
fn broken_files_whose_fault_is_one_of_form_disagree() {
    let mut seen = 0;
    for file in files(&root().join("tests/fixtures/bad"), ".ron") {
        let expected = fs::read_to_string(file.with_extension("txt")).unwrap();
        let code = expected.split(' ').next().unwrap();
        // Two fields of which one is needed, and ids of one kind: only the meaning tells these.
        let meant = [".compare.", ".which."].iter().any(|w| file.to_str().unwrap().contains(w));
        if !VISIBLE.contains(&code) || meant {
            continue;
        }
        // What cannot be read at all has no view.
        if jarlight(["schema", "--view", file.to_str().unwrap()]).code != Some(0) {
            continue;
        }
        let wrong = faults_of(&file, &schema(&kind(&file)));
        assert!(!wrong.is_empty(), "{} agrees with its schema", file.display());
        seen += 1;
    }
    assert!(seen >= 8, "{seen}");
}

/// The blocks of a page in this language.
fn blocks<'p>(page: &'p str, language: &str) -> Vec<&'p str> {
    let start = format!("```{language}\n");
    page.split(start.as_str()).skip(1).map(|rest| rest.split("```").next().unwrap()).collect()
}

#[test]
fn the_settings_of_the_editor_page_can_be_used_as_they_stand() {
    let page = fs::read_to_string(path("docs/editors.md")).unwrap();
    let all = blocks(&page, "json");
    assert_eq!(all.len(), 2);
    let read = |text: &str| serde_json::from_str::<Value>(text).unwrap();
    let pattern = &read(all[1])["tasks"][0]["problemMatcher"]["pattern"];
    // The two lines that the patterns are made for.
    let bad = path("tests/fixtures/bad/unknown-part.scenario.ron");
    let ran = jarlight(["check", &bad]);
    let mut lines = ran.data.lines();
    assert_eq!(pattern[0]["regexp"], r"^(error|warning)\[([a-z-]+)\]: (.*)$");
    assert!(lines.next().unwrap().starts_with("error[unknown-part]: "));
    assert_eq!(pattern[1]["regexp"], r"^ *--> (.*):(\d+):(\d+)$");
    assert!(lines.next().unwrap().trim_start().starts_with(&format!("--> {bad}:12:53")));
}

#[test]
fn the_schema_of_a_scenario_reads_as_it_should() {
    golden("text/scenario.schema.json", &jarlight(["schema", "scenario"]).data);
}

#[test]
fn what_cannot_be_shown_says_why() {
    let ran = jarlight(["schema", "scenaro"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.messages.contains("`scenario`"), "{}", ran.messages);
    let bad = path("tests/fixtures/bad/unclosed-bracket.scenario.ron");
    assert_eq!(jarlight(["schema", "--view", &bad]).code, Some(2));
    assert_eq!(jarlight(["schema", "--snippets"]).code, Some(2));
}
