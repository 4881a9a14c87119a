//! The check network, written as rules and case files, through `jarlight explain`.
//!
//! Source: the project's check network for exact noisy-MAX inference, invented numbers, computed
//! by full enumeration in double precision and confirmed by a second method. Numbers are given
//! to ten digits after the point or fewer; the tolerance is the last digit given.

use jarlight_tests::{golden, jarlight, path};
use serde_json::Value;

const LAST_DIGIT: f64 = 1e-9;

fn explain(case: &str, rules: &str, more: &[&str]) -> String {
    let (case, rules) = (path(case), path(rules));
    let words = ["explain", &case, "--rules", &rules];
    let ran = jarlight(words.into_iter().chain(more.iter().copied()));
    assert_eq!(ran.code, Some(0), "{}", ran.messages);
    ran.data
}

fn json(case: &str, rules: &str) -> Value {
    serde_json::from_str(&explain(case, rules, &["--json"])).unwrap()
}

fn near(met: &Value, expected: f64, tolerance: f64, what: &str) {
    let met = met.as_f64().unwrap_or_else(|| panic!("{what} is no number"));
    assert!((met - expected).abs() <= tolerance, "{what}: {met} against {expected}");
}

const CASE: &str = "tests/published/inference_case.ron";
const NEXT_CASE: &str = "tests/published/inference_next_case.ron";
const RULES: &str = "tests/published/inference_rules.ron";
const CHAIN: &str = "tests/published/inference_chain_rules.ron";

fn posteriors(result: &Value, evidence: f64, rows: [(&str, [f64; 4]); 3]) {
    let log = result["log_evidence"].as_f64().unwrap();
    assert!((log.exp() - evidence).abs() < 1e-12, "{}", log.exp());
    for (i, (id, row)) in rows.into_iter().enumerate() {
        let m = &result["mechanisms"][i];
        assert_eq!(m["id"], id);
        near(&m["absent"], row[0], LAST_DIGIT, id);
        let bins = m["bins"].as_array().unwrap();
        assert_eq!(bins.len(), 3);
        for (bin, p) in bins.iter().zip(&row[1..]) {
            near(&bin["p"], *p, LAST_DIGIT, id);
        }
        let sum: f64 = bins.iter().map(|b| b["p"].as_f64().unwrap()).sum();
        assert!((sum + m["absent"].as_f64().unwrap() - 1.0).abs() < 1e-11, "{id}");
    }
}

#[test]
fn causes_and_ages_agree_with_the_enumeration() {
    let result = json(CASE, RULES);
    posteriors(
        &result,
        0.000_902_332_655,
        [
            ("overcharge", [0.775_715_738_4, 0.088_005_452_4, 0.093_948_711_1, 0.042_330_098_1]),
            ("undercharge", [0.022_671_565_5, 0.064_279_717_9, 0.353_676_421_1, 0.559_372_295_6]),
            ("corrosion", [0.543_324_835_4, 0.059_079_411_4, 0.188_152_265_9, 0.209_443_487_3]),
        ],
    );
    let ages = [
        [1.529_116, 10.624_44, 69.1348],
        [7.702_563, 36.134_987, 103.226_997],
        [4.637_912, 22.192_455, 99.067_95],
    ];
    for (i, [p10, median, p90]) in ages.into_iter().enumerate() {
        let began = &result["mechanisms"][i]["began"];
        near(&began["p10"], p10, 1e-6, "p10");
        near(&began["median"], median, 1e-5, "median");
        near(&began["p90"], p90, 1e-4, "p90");
    }
}

#[test]
fn a_chain_changes_the_causes_as_computed() {
    posteriors(
        &json(CASE, CHAIN),
        0.000_921_366_490,
        [
            ("overcharge", [0.759_690_795_1, 0.104_961_316_5, 0.094_849_951_6, 0.040_497_936_7]),
            ("undercharge", [0.022_671_565_5, 0.064_279_717_9, 0.353_676_421_1, 0.559_372_295_6]),
            ("corrosion", [0.510_846_821_8, 0.064_944_656_7, 0.201_369_087_7, 0.222_839_433_9]),
        ],
    );
}

#[test]
fn every_finding_has_a_weight_for_every_cause() {
    let result = json(CASE, RULES);
    let weights = result["weights"].as_array().unwrap();
    assert_eq!(weights.len(), 4 * 3);
    let expected = [
        ("dark_sediment", "overcharge", -3.633_541),
        ("dark_sediment", "corrosion", -0.595_652),
        ("pale_sediment", "undercharge", 12.941_149),
        ("plate_growth", "overcharge", 3.492_458),
        ("plate_growth", "corrosion", 8.605_305),
        ("sparkle", "undercharge", 6.682_429),
    ];
    for w in weights {
        let of = |e: &&(&str, &str, f64)| w["finding"] == e.0 && w["mechanism"] == e.1;
        let decibans = expected.iter().find(of).map_or(0.0, |e| e.2);
        near(&w["decibans"], decibans, 1e-6, "a weight");
    }
}

#[test]
fn next_looks_come_by_falling_bits() {
    let result = json(NEXT_CASE, RULES);
    let next = result["next"].as_array().unwrap();
    let ids: Vec<&str> = next.iter().map(|n| n["finding"].as_str().unwrap()).collect();
    assert_eq!(ids, ["sparkle", "pale_sediment"]);
    near(&next[0]["bits"], 0.281_219_731, LAST_DIGIT, "sparkle");
    near(&next[1]["bits"], 0.174_648_680, LAST_DIGIT, "pale_sediment");
}

#[test]
fn the_result_has_exactly_the_fields_agreed() {
    let result = json(CASE, RULES);
    let keys = |v: &Value| v.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(&result), ["log_evidence", "mechanisms", "next", "weights"]);
    assert_eq!(keys(&result["mechanisms"][0]), ["absent", "began", "bins", "id"]);
    assert_eq!(keys(&result["mechanisms"][0]["bins"][0]), ["from", "p", "to"]);
    assert_eq!(keys(&result["mechanisms"][0]["began"]), ["median", "p10", "p90"]);
    assert_eq!(keys(&result["weights"][0]), ["decibans", "finding", "mechanism"]);
    assert_eq!(keys(&json(NEXT_CASE, RULES)["next"][0]), ["bits", "finding"]);
}

#[test]
fn what_has_no_value_is_null() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    // `never` has no prior; only `wear` can make dust, so the finding proves it.
    let rules = file(
        "r.ron",
        r#"Rules(format: 1, mechanisms: [
        (id: "never", bins: [(from: 0, to: 12, prior: 0)]),
        (id: "wear", bins: [(from: 0, to: 12, prior: 0.2)])],
        findings: [(id: "dust", leak: [1, 1], rows: {"wear": [[0.25, 1]], "never": [[0.5, 1]]})])"#,
    );
    let case = file("c.ron", r#"Case(format: 1, findings: {"dust": 1})"#);
    let ran = jarlight(["explain", &case, "--rules", &rules, "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.messages);
    let result: Value = serde_json::from_str(&ran.data).unwrap();
    assert!(result["mechanisms"][0]["began"].is_null());
    assert_eq!(result["mechanisms"][0]["absent"], 1.0);
    assert_eq!(result["mechanisms"][1]["absent"], 0.0);
    let of_wear = result["weights"].as_array().unwrap().iter().find(|w| w["mechanism"] == "wear");
    assert!(of_wear.unwrap()["decibans"].is_null());
}

#[test]
fn clean_is_grade_0_and_a_file_of_its_own_is_the_whole_network() {
    let network: Value = serde_json::from_str(&explain(CASE, RULES, &["--network"])).unwrap();
    assert_eq!(network["mechanisms"].as_array().unwrap().len(), 3);
    assert_eq!(network["findings"].as_array().unwrap().len(), 4);
    let text = std::fs::read_to_string(path(CASE)).unwrap();
    assert!(text.contains("Clean"));
    let folder = tempfile::tempdir().unwrap();
    let zero = folder.path().join("zero.ron");
    std::fs::write(&zero, text.replace("Clean", "0")).unwrap();
    let words = ["explain", zero.to_str().unwrap(), "--rules", &path(RULES), "--json"];
    assert_eq!(jarlight(words).data, explain(CASE, RULES, &["--json"]));
}

#[test]
fn a_case_of_the_catalogue_is_explained_in_sentences() {
    let folder = tempfile::tempdir().unwrap();
    let case = folder.path().join("case.ron");
    let text = r#"Case(format: 1, design: "medium_pasted", age_months: 60, scope: String,
        findings: {"pos_sulfate_sparkle": 3, "sediment_light": 3, "gassing_heavy": Clean})"#;
    std::fs::write(&case, text).unwrap();
    let ran = jarlight(["explain", case.to_str().unwrap()]);
    assert_eq!(ran.code, Some(0), "{}", ran.messages);
    let first = ran.data.lines().find(|l| l.starts_with("  ")).unwrap();
    assert!(first.contains("undercharge"), "{first}");
    assert!(ran.data.contains("began between"), "{}", ran.data);

    std::fs::write(&case, text.replace(", age_months: 60", "")).unwrap();
    let ran = jarlight(["explain", case.to_str().unwrap()]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.messages.contains("age_months"), "{}", ran.messages);
}

#[test]
fn the_explanation_reads_as_it_should() {
    golden("text/check-network.txt", &explain(CASE, RULES, &[]));
}
