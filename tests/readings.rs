//! `jarlight reading`: every kind from the terminal, units, refusals.

use jarlight_rules::reading::kinds;
use jarlight_tests::{Ran, golden, jarlight};
use serde_json::Value;
use std::collections::BTreeSet;

fn reading(words: &str) -> Ran {
    jarlight(["reading"].into_iter().chain(words.split_whitespace()))
}

/// Name of the kind, what is typed, what comes out, its value.
fn examples() -> impl Iterator<Item = [&'static str; 4]> {
    include_str!("published/reading_examples.txt")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split("; ").collect::<Vec<_>>().try_into().unwrap())
}

#[test]
fn every_kind_runs_from_the_terminal() {
    let mut met = BTreeSet::new();
    let mut all = String::new();
    for [kind, typed, output, value] in examples() {
        let ran = reading(&format!("{kind} {typed}"));
        assert_eq!((ran.code, ran.messages.as_str()), (Some(0), ""), "{kind}");
        all += &format!("$ jarlight reading {kind} {typed}\n{}\n", ran.data);
        let json: Value =
            serde_json::from_str(&reading(&format!("{kind} {typed} --json")).data).unwrap();
        let numbers = json["values"].as_array().unwrap();
        let number = numbers.iter().find(|v| v["name"] == output).unwrap();
        let (number, stated): (f64, f64) =
            (number["value"].as_f64().unwrap(), value.parse().unwrap());
        assert!((number - stated).abs() <= 1e-4 * stated.abs(), "{kind}: {number}");
        for field in ["formula", "source", "range", "sentence"] {
            assert!(!json[field].as_str().unwrap().is_empty(), "{kind} has no {field}");
        }
        met.insert(kind);
    }
    assert_eq!(met, kinds().map(|kind| kind.id).collect());
    golden("text/readings.txt", &all);
}

#[test]
fn the_kinds_are_listed_with_inputs_units_ranges_and_sources() {
    let ran = reading("");
    assert_eq!(ran.code, Some(0));
    for kind in kinds() {
        assert!(ran.data.contains(&format!("{}: {}", kind.id, kind.title)), "{}", kind.id);
    }
    golden("text/reading_kinds.txt", &ran.data);
    let one = reading("gravity").data;
    assert!(ran.data.contains(one.trim_end()), "one kind alone is told as in the list");
    let json: Value = serde_json::from_str(&reading("--json").data).unwrap();
    assert_eq!(json.as_array().unwrap().len(), kinds().count());
    assert_eq!(json[0]["inputs"][1]["also"][0], "F");
}

#[test]
fn the_units_that_people_use_are_taken() {
    let corrected = |words: &str| reading(&format!("gravity {words}")).data;
    let same = corrected("gravity=1.208 temperature_c=25");
    for words in ["temperature=25C", "temperature=77F", "temperature_f=77", "temperature=25degC"] {
        assert_eq!(corrected(&format!("gravity=1.208 {words}")), same, "{words}");
    }
    assert!(reading("connection now=0.036mOhm baseline=30uOhm").data.contains("+20.0 %"));
}

#[test]
fn what_cannot_be_worked_out_says_why_and_how() {
    for (words, why) in [
        ("gravty gravity=1.2", "did you mean `gravity`?"),
        ("gravity gravty=1.2", "did you mean `gravity`?"),
        ("gravity gravity=1.2", "needs `temperature_c`: electrolyte temperature -20 to 45 °C"),
        ("gravity gravity=1.2 temperature=25V", "write it in C, or one of F, K"),
        ("gravity gravity=1,2 temperature=25C", "write the decimals after a point: 1.2"),
        ("gravity gravity=1215 temperature=25C", "write it as 1.215"),
        ("gravity gravity=high temperature=25C", "which is no number"),
        ("gravity gravity=1.2 temperature=140F", "temperature is 60 °C, expected -20 to 45 °C"),
        ("gravity gravity=1.2 temperature", "such as temperature=25C"),
        ("freezing gravity=1.4", "specific gravity is 1.4, expected 1 to 1.28"),
    ] {
        let ran = reading(words);
        assert_eq!((ran.code, ran.data.as_str()), (Some(2), ""), "{words}");
        assert!(ran.messages.contains(why), "{words}: {}", ran.messages);
        assert!(ran.messages.starts_with("error: "), "{}", ran.messages);
    }
}

/// Each number of each kind, one step beyond its range.
#[test]
fn every_refusal_says_the_range() {
    for [id, typed, ..] in examples() {
        let kind = kinds().find(|kind| kind.id == id).unwrap();
        for input in kind.inputs.iter().filter(|i| i.range.max < f64::MAX) {
            let beyond = format!("{}={}", input.name, input.range.max * 1.01 + 1.0);
            let rest = typed.split(' ').filter(|pair| {
                let name = pair.split('=').next().unwrap();
                name != input.name && input.also().is_none_or(|(also, _)| also != name)
            });
            let words: Vec<&str> = rest.chain([beyond.as_str()]).collect();
            let ran = reading(&format!("{id} {}", words.join(" ")));
            assert_eq!(ran.code, Some(2), "{id} takes {beyond}");
            let range = format!(
                "expected {}",
                input.range.words().replacen(&format!("{} ", input.range.what), "", 1)
            );
            assert!(ran.messages.contains(&range), "{id} {beyond}: {} {range}", ran.messages);
        }
    }
}
