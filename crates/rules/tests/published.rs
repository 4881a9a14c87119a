//! The check networks, written as files an author could write, against their stated digits.

#![expect(clippy::unwrap_used, reason = "test helpers")]

use jarlight_model::diag::Source;
use jarlight_rules::{Case, Evidence, Network, Rules, infer, next_looks, weights};

const RULES: &str = include_str!("../../../tests/published/inference_rules.ron");
const CHAIN: &str = include_str!("../../../tests/published/inference_chain_rules.ron");
const CASE: &str = include_str!("../../../tests/published/inference_case.ron");
const NEXT: &str = include_str!("../../../tests/published/inference_next_case.ron");

fn load(rules: &str, case: &str) -> (Network, Evidence) {
    let read = Rules::read(&Source::new("rules.ron", rules));
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    let network = read.value.unwrap().network().unwrap();
    let read = Case::read(&Source::new("case.ron", case));
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    let evidence = read.value.unwrap().evidence(&network).unwrap();
    (network, evidence)
}

#[track_caller]
fn close(met: f64, stated: f64, within: f64) {
    assert!((met - stated).abs() <= within, "met {met}, stated {stated}");
}

#[track_caller]
fn check_states(network: &Network, evidence: &Evidence, p: f64, stated: [[f64; 4]; 3]) {
    let posterior = infer(network, evidence).unwrap();
    close(posterior.log_evidence.exp(), p, 5e-13);
    for (marginal, stated) in posterior.marginals.iter().zip(stated) {
        close(marginal.absent, stated[0], 5e-11);
        for (bin, stated) in marginal.bins.iter().zip(&stated[1..]) {
            close(*bin, *stated, 5e-11);
        }
    }
}

const UNDERCHARGE: [f64; 4] = [0.0226715655, 0.0642797179, 0.3536764211, 0.5593722956];

#[test]
fn posteriors_of_the_check_network() {
    let (network, evidence) = load(RULES, CASE);
    check_states(
        &network,
        &evidence,
        0.000902332655,
        [
            [0.7757157385, 0.0880054524, 0.0939487111, 0.0423300981],
            UNDERCHARGE,
            [0.5433248354, 0.0590794114, 0.1881522659, 0.2094434873],
        ],
    );
}

#[test]
fn posteriors_with_the_chain() {
    let (network, evidence) = load(CHAIN, CASE);
    check_states(
        &network,
        &evidence,
        0.000921366490,
        [
            [0.7596907951, 0.1049613165, 0.0948499516, 0.0404979367],
            UNDERCHARGE,
            [0.5108468218, 0.0649446565, 0.2013690877, 0.2228394339],
        ],
    );
}

#[test]
fn ages_of_the_check_network() {
    let (network, evidence) = load(RULES, CASE);
    let posterior = infer(&network, &evidence).unwrap();
    let stated = [
        [1.529116, 10.62444, 69.1348],
        [7.702563, 36.134987, 103.226997],
        [4.637912, 22.192455, 99.06795],
    ];
    for (i, stated) in stated.iter().enumerate() {
        let began = posterior.began(&network, i).unwrap();
        close(began.p10, stated[0], 1e-6);
        close(began.median, stated[1], 1e-5);
        close(began.p90, stated[2], 1e-4);
    }
}

#[test]
fn weights_of_the_check_network() {
    let (network, evidence) = load(RULES, CASE);
    let posterior = infer(&network, &evidence).unwrap();
    let stated = [
        ("dark_sediment", "overcharge", -3.633541),
        ("dark_sediment", "corrosion", -0.595652),
        ("pale_sediment", "undercharge", 12.941149),
        ("plate_growth", "overcharge", 3.492458),
        ("plate_growth", "corrosion", 8.605305),
        ("sparkle", "undercharge", 6.682429),
    ];
    let all = weights(&network, &evidence, &posterior).unwrap();
    assert_eq!(all.len(), 12);
    for w in all {
        let finding = network.findings()[w.finding].id.as_str();
        let cause = network.mechanisms()[w.mechanism].id.as_str();
        let stated = stated.iter().find(|s| s.0 == finding && s.1 == cause).map_or(0.0, |s| s.2);
        close(w.decibans.unwrap(), stated, 5e-7);
    }
}

#[test]
fn next_looks_of_the_check_network() {
    let (network, evidence) = load(RULES, NEXT);
    let posterior = infer(&network, &evidence).unwrap();
    let next = next_looks(&network, &evidence, &posterior).unwrap();
    close(next.entropy, 2.609276868, 5e-10);
    assert_eq!(next.left_out, 0);
    let looks: Vec<(&str, f64)> =
        next.looks.iter().map(|l| (network.findings()[l.finding].id.as_str(), l.bits)).collect();
    assert_eq!(looks.iter().map(|l| l.0).collect::<Vec<_>>(), ["sparkle", "pale_sediment"]);
    close(looks[0].1, 0.281219731, 5e-10);
    close(looks[1].1, 0.174648680, 5e-10);
}

/// The blocks of the page that explains both kinds of file, by the word they begin with.
fn documented(kind: &str) -> String {
    let page = include_str!("../../../docs/reasoning.md");
    let block = page.split("```ron\n").skip(1).find(|b| b.starts_with(kind)).unwrap();
    block.split("```").next().unwrap().to_owned()
}

#[test]
fn the_documented_examples_are_sound() {
    let rules = Rules::read(&Source::new("docs", &documented("Rules(")));
    assert!(rules.diagnostics.is_empty(), "{:?}", rules.diagnostics);
    let network = rules.value.unwrap().network().unwrap();
    let short = r#"Case(format: 1, findings: {"dark_sediment": Clean, "float_high": 1})"#;
    let case = Case::read(&Source::new("docs", short)).value.unwrap();
    let evidence = case.evidence(&network).unwrap();
    assert!(infer(&network, &evidence).unwrap().present(0) > 0.5);

    let catalogue = jarlight_model::catalogue::Catalogue::builtin();
    let case = Case::read(&Source::new("docs", &documented("Case(")));
    assert!(case.diagnostics.is_empty(), "{:?}", case.diagnostics);
    let case = case.value.unwrap();
    let cell = jarlight_rules::Cell::from_case(&case, catalogue).unwrap();
    let network = Network::from_catalogue(catalogue, &cell).unwrap();
    let evidence = case.evidence(&network).unwrap();
    assert_eq!(evidence.iter().count(), 5);
    assert!(infer(&network, &evidence).is_ok());
}
