//! Each kind by name: an example, refusals, other units, JSON.

use std::collections::{BTreeMap, BTreeSet};

use super::*;

/// An example of each kind: what is given, and one number that must come out, to 1e-4 of itself.
///
/// This checks that names are joined to the right formula; the terminal is tried with the same.
fn examples() -> Vec<(&'static str, &'static str, &'static str, f64)> {
    let text = include_str!("../../../../../tests/published/reading_examples.txt");
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines
        .map(|line| {
            let [id, given, output, value] =
                line.split("; ").collect::<Vec<_>>().try_into().unwrap();
            (id, given, output, value.parse().unwrap())
        })
        .collect()
}

fn given(text: &str) -> BTreeMap<String, f64> {
    text.split_whitespace()
        .filter_map(|pair| pair.split_once('='))
        .map(|(name, value)| (name.to_owned(), value.parse().unwrap()))
        .collect()
}

#[test]
fn each_kind_has_an_example_that_comes_out() {
    let named: BTreeSet<&str> = examples().iter().map(|example| example.0).collect();
    let offered: BTreeSet<&str> = kinds().map(|kind| kind.id).collect();
    assert_eq!(named, offered);
    assert_eq!(kinds().count(), offered.len(), "two kinds share a name");
    for (id, text, output, stated) in examples() {
        let met = evaluate(id, &given(text)).unwrap_or_else(|e| panic!("{id}: {e}"));
        let value = met.value(output).unwrap_or_else(|| panic!("{id} gives no {output}"));
        assert!((value - stated).abs() <= 1e-4 * stated.abs(), "{id}: {output} is {value}");
        assert!(met.values.iter().all(|v| v.value.is_finite()), "{id}: {:?}", met.values);
        assert!(met.sentence.ends_with('.') && !met.sentence.contains("NaN"), "{}", met.sentence);
    }
}

#[test]
fn each_kind_gives_as_many_numbers_as_it_names() {
    for (id, text, ..) in examples() {
        let kind = kind(id).unwrap();
        let work = (kind.work)(&kind.take(&given(text)).unwrap()).unwrap();
        assert_eq!(work.values.len(), kind.outputs.len(), "{id}");
    }
}

#[test]
fn each_number_outside_its_range_is_refused_with_the_range() {
    for (id, text, ..) in examples() {
        let kind = kind(id).unwrap();
        for input in kind.inputs {
            for beyond in [input.range.min - 1e-3, f64::NAN, f64::INFINITY] {
                let mut given = given(text);
                if let Some((also, _)) = input.also() {
                    given.remove(&also);
                }
                given.insert(input.name.to_owned(), beyond);
                let Err(ReadingError::OutOfRange(refused)) = kind.evaluate(&given) else {
                    panic!("{id} takes {} of {beyond}", input.name);
                };
                assert_eq!((refused.what, refused.min), (input.range.what, input.range.min));
            }
        }
    }
}

#[test]
fn each_number_that_must_be_given_is_asked_for() {
    for (id, text, ..) in examples() {
        let kind = kind(id).unwrap();
        for input in kind.inputs.iter().filter(|input| !input.optional()) {
            let mut given = given(text);
            given.remove(input.name);
            if let Some((also, _)) = input.also() {
                given.remove(&also);
            }
            let missing = kind.evaluate(&given).unwrap_err();
            let ReadingError::MissingInput { name, .. } = missing else {
                panic!("{id} without {}: {missing}", input.name);
            };
            assert_eq!(name, input.name);
        }
    }
}

#[test]
fn numbers_may_be_left_out_when_they_only_add_to_the_result() {
    let met = evaluate("connection", &given("now_uohm=36 baseline_uohm=30")).unwrap();
    assert_eq!(met.values.len(), 1);
    let met = evaluate("temperature", &given("average_c=31")).unwrap();
    assert!(met.values.is_empty());
    assert_eq!(met.findings[0].beyond, Some(Beyond::Over));
}

#[test]
fn unknown_names_are_told() {
    assert_eq!(
        evaluate("gravty", &given("")).unwrap_err().to_string(),
        "no reading is called `gravty`; did you mean `gravity`?"
    );
    assert_eq!(
        evaluate("freezing", &given("gravty=1.2")).unwrap_err().to_string(),
        "`freezing` does not take `gravty`; it takes gravity; did you mean `gravity`?"
    );
    assert_eq!(
        evaluate("freezing", &given("")).unwrap_err().to_string(),
        "`freezing` needs `gravity`: specific gravity 1 to 1.28"
    );
}

#[test]
fn one_number_in_two_units_is_refused() {
    let twice = given("gravity=1.215 temperature_c=25 temperature_f=77");
    let refused = evaluate("gravity", &twice).unwrap_err();
    assert_eq!(refused, ReadingError::GivenTwice { name: "temperature_c" });
}

#[test]
fn findings_follow_the_limits() {
    let found = |id: &str, text: &str| -> Vec<(&str, Option<Beyond>)> {
        let met = evaluate(id, &given(text)).unwrap();
        met.findings.iter().map(|f| (f.finding, f.beyond)).collect()
    };
    assert_eq!(
        found("gravity", "gravity=1.200 temperature_c=25 nominal=1.215"),
        [("q_sg_low_string", Some(Beyond::Under)), ("q_sg_high", None)]
    );
    assert_eq!(
        found("gravity", "gravity=1.228 temperature_c=25 average=1.215"),
        [("q_sg_low_cell", None), ("q_sg_high", Some(Beyond::Over))]
    );
    assert_eq!(
        found("float_cell", "volts=-0.4 average_v=2.23"),
        [("q_pol_neg", Some(Beyond::Under)), ("q_v_low_cell", Some(Beyond::Under))]
    );
    assert_eq!(
        found("float_string", "string_v=138 cells=60"),
        [("q_v_low_string", None), ("q_v_high_string", Some(Beyond::Over))]
    );
}

#[test]
fn three_hours_is_not_guessed() {
    let at = |hours| {
        evaluate(
            "capacity_at_20",
            &given(&format!("measured_ah=380 temperature_c=25 rate_h={hours}")),
        )
    };
    assert!(at(3.0).is_err() && at(1.0).is_ok() && at(10.0).is_ok());
}

#[test]
fn results_as_json() {
    let text = evaluate("ohmic", &given("now_mohm=0.403 baseline_mohm=0.31")).unwrap().to_json();
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(json["kind"], "ohmic");
    assert_eq!(json["values"][0]["unit"], "%");
    assert!((json["values"][0]["value"].as_f64().unwrap() - 30.0).abs() < 1e-9);
    assert_eq!(json["findings"][0]["finding"], "q_ohm_high");
    assert_eq!(json["findings"][0]["beyond"], "over");
}
