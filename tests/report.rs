//! Reports of `check` for other programs: JSON and SARIF.

use jarlight_model::diag::Code;
use jarlight_tests::{files, golden, jarlight, root};
use serde_json::Value;

/// Faulty files with an error, a warning, several faults, and text that is not plain.
const FILES: [&str; 4] = [
    "tests/fixtures/bad/unknown-part.scenario.ron",
    "tests/fixtures/bad/unused-scene.scenario.ron",
    "tests/fixtures/bad/not-text.scenario.ron",
    "tests/fixtures/bad/no-such-file.scenario.ron",
];

/// What `check` writes about the files, the folder of the repository left out.
fn report(format: &str) -> (Option<u8>, String) {
    let paths: Vec<String> = FILES.iter().map(|f| jarlight_tests::path(f)).collect();
    let words = ["check", "--format", format].into_iter();
    let ran = jarlight(words.chain(paths.iter().map(String::as_str)));
    assert_eq!(ran.messages, "");
    let folder = format!("{}/", root().to_str().unwrap());
    let text = ran.data.replace(&format!("file://{folder}"), "").replace(&folder, "");
    (ran.code, text.replace(env!("CARGO_PKG_VERSION"), "VERSION"))
}

#[test]
fn the_json_report_reads_as_it_should() {
    let (code, text) = report("json");
    assert_eq!(code, Some(2));
    let json: Value = serde_json::from_str(&text).unwrap();
    assert_eq!((json["files"].as_u64(), json["complete"].as_bool()), (Some(4), Some(false)));
    golden("text/check.json", &text);
}

#[test]
fn the_sarif_report_reads_as_it_should() {
    let (code, text) = report("sarif");
    assert_eq!(code, Some(2));
    let mut sarif: Value = serde_json::from_str(&text).unwrap();
    // The rules are the codes with their pages; their wording has a test of its own.
    let rules = sarif["runs"][0]["tool"]["driver"]["rules"].take();
    assert_eq!(rules.as_array().unwrap().len(), Code::ALL.len());
    golden("text/check.sarif", &format!("{sarif:#}\n"));
}

/// What SARIF 2.1.0 asks of a log, as far as ours uses it.
#[test]
fn the_sarif_report_of_every_broken_file_keeps_the_standard() {
    let folder = root().join("tests/fixtures/bad");
    let ran = jarlight(["check", "--format", "sarif", folder.to_str().unwrap()]);
    let log: Value = serde_json::from_str(&ran.data).unwrap();
    assert_eq!(log["version"], "2.1.0");
    let run = &log["runs"][0];
    let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
    for (rule, code) in rules.iter().zip(Code::ALL) {
        assert_eq!(rule["id"], code.as_str());
        assert_eq!(rule["fullDescription"]["text"], code.doc());
        let short = rule["shortDescription"]["text"].as_str().unwrap();
        assert!(code.doc().starts_with(short) && !short.is_empty(), "{short}");
    }
    let results = run["results"].as_array().unwrap();
    assert!(results.len() >= files(&folder, ".ron").len());
    for result in results {
        let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
        assert_eq!(rules[index]["id"], result["ruleId"]);
        assert!(["error", "warning"].contains(&result["level"].as_str().unwrap()));
        assert!(!result["message"]["text"].as_str().unwrap().is_empty());
        let place = &result["locations"][0]["physicalLocation"];
        let uri = place["artifactLocation"]["uri"].as_str().unwrap();
        assert!(uri.starts_with("file:///") && !uri.contains(' '), "{uri}");
        let Some(region) = place.get("region") else { continue };
        let n = |name: &str| region[name].as_u64().unwrap();
        assert!(n("startLine") >= 1 && n("startColumn") >= 1, "{region}");
        assert!(n("endLine") > n("startLine") || n("endColumn") > n("startColumn"), "{region}");
    }
}

#[test]
fn a_sound_folder_has_an_empty_report() {
    let folder = jarlight_tests::path("scenarios");
    let ran = jarlight(["check", "--format", "sarif", &folder, "--deny-warnings"]);
    assert_eq!(ran.code, Some(0));
    let log: Value = serde_json::from_str(&ran.data).unwrap();
    assert_eq!(log["runs"][0]["results"].as_array().unwrap().len(), 0);
    assert_eq!(log["runs"][0]["invocations"][0]["executionSuccessful"], true);
}
