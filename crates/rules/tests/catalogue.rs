//! The network that the shipped catalogue gives for a cell, and what is said about one.

#![expect(clippy::unwrap_used, reason = "test helpers")]

use jarlight_model::{
    catalogue::{Catalogue, Growth, Urgency},
    diag::{Code, Source},
};
use jarlight_rules::{
    Case, Cell, Evidence, Network, Posterior, Seen,
    explain::{Explanation, Question, explain, reason},
    infer, json,
};

struct Asked {
    network: Network,
    evidence: Evidence,
    posterior: Posterior,
    explanation: Explanation,
}

fn ask(body: &str) -> Asked {
    let catalogue = Catalogue::builtin();
    let text = format!("Case(format: 1, {body})");
    let read = Case::read(&Source::new("case.ron", &text));
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    let case = read.value.unwrap();
    let cell = Cell::from_case(&case, catalogue).unwrap();
    let network = Network::from_catalogue(catalogue, &cell).unwrap();
    let evidence = case.evidence(&network).unwrap();
    let reasoned = reason(&network, &evidence).unwrap();
    let question = Question {
        network: &network,
        evidence: &evidence,
        catalogue: Some(catalogue),
        names: None,
        age_months: case.age_months,
    };
    let explanation = explain(&question, &reasoned).unwrap();
    Asked { posterior: reasoned.posterior.clone(), network, evidence, explanation }
}

fn network(body: &str) -> Network {
    ask(body).network
}

const CELL: &str = r#"design: "medium_pasted", age_months: 108"#;

#[test]
fn onset_bins_are_cut_at_the_age_of_the_cell() {
    let network = network(CELL);
    for (i, m) in network.mechanisms().iter().enumerate() {
        let ends: Vec<(f64, f64)> = m.bins.iter().map(|b| (b.from, b.to)).collect();
        let expected = [
            (0.0, 1.0),
            (1.0, 3.0),
            (3.0, 6.0),
            (6.0, 12.0),
            (12.0, 24.0),
            (24.0, 60.0),
            (60.0, 108.0),
            (120.0, 300.0),
        ];
        assert_eq!(ends, expected);
        assert_eq!(m.bins[7].prior, 0.0);
        let prior = network.prior(i);
        for bin in &m.bins[..7] {
            let even = prior * (bin.to - bin.from) / 108.0;
            let stated = match (m.since_installation, bin.to == 108.0) {
                (true, true) => prior,
                (true, false) => 0.0,
                _ => even,
            };
            assert!((bin.prior - stated).abs() < 1e-12, "{}: {bin:?}", m.id);
        }
    }
    let since = network.mechanisms().iter().filter(|m| m.since_installation).count();
    assert_eq!(since, 7);
}

#[test]
fn an_older_cell_widens_the_last_bin_and_a_young_one_cuts_the_first() {
    let old = network(r#"design: "medium_pasted", age_months: 420"#);
    assert_eq!(old.mechanisms()[0].bins[7].to, 420.0);
    let young = network(r#"design: "medium_pasted", age_months: 0.5"#);
    let cause = &young.mechanisms()[0];
    assert_eq!((cause.bins[0].to, cause.bins[1].from), (0.5, 1.0));
    assert_eq!(cause.bins[1].prior, 0.0);
    assert!((young.prior(0) - 0.096).abs() < 1e-12, "0.08 times 1.2 for calcium");
}

#[test]
fn every_condition_and_reading_of_the_catalogue_can_be_entered_and_has_a_cause() {
    let catalogue = Catalogue::builtin();
    let all = network("alloy: LeadAntimony, age_months: 108");
    assert_eq!(all.mechanisms().len(), 29);
    assert_eq!(all.findings().len(), 63 + 16);
    for finding in all.findings() {
        assert!(!finding.rows.is_empty(), "{} has no cause", finding.id);
        let grades = if finding.reading { 2 } else { 6 };
        assert_eq!(finding.leak.len(), grades, "{}", finding.id);
    }
    let links: usize = catalogue.mechanisms.iter().map(|m| m.links.len()).sum();
    assert_eq!(all.findings().iter().map(|f| f.rows.len()).sum::<usize>(), links);
    let clocks: Vec<&str> = catalogue
        .conditions
        .iter()
        .filter(|c| matches!(c.growth, Growth::Clock { .. }))
        .map(|c| c.id.as_str())
        .collect();
    for id in ["grid_wire_break", "strap_burn_void", "sediment_bridge", "level_low"] {
        assert!(clocks.contains(&id), "{id}");
    }
    assert_eq!(clocks.len(), 4, "{clocks:?}");
}

#[test]
fn a_design_has_no_findings_on_parts_it_lacks() {
    let own = network(CELL);
    assert_eq!(own.finding_idx("tube_burst"), None);
    assert_eq!(own.finding_idx("plante_rib_loss"), None);
    assert!(own.finding_idx("copper_insert_exposed").is_some());
    let case = Case::read(&Source::new(
        "case.ron",
        r#"Case(format: 1, design: "medium_pasted", age_months: 60, findings: {"tube_burst": 2})"#,
    ));
    let case = case.value.unwrap();
    assert_eq!(case.evidence(&own).unwrap_err()[0].code, Code::UnknownFinding);
    let found = Cell::from_case(&case, Catalogue::builtin()).unwrap_err();
    assert_eq!(found[0].code, Code::PartNotInDesign);
    assert_eq!(found[0].place.as_ref().map(|p| (p.line, p.col)), Some((1, 69)));
}

/// Independent values of the same rows stand beside the growth laws.
#[test]
fn rows_of_the_catalogue_follow_its_laws() {
    let network = network("alloy: LeadCalcium, age_months: 240");
    let row = |finding: &str, cause: &str, bin: usize| {
        let f = &network.findings()[network.finding_idx(finding).unwrap()];
        let cause = network.mechanism_idx(cause).unwrap();
        f.rows.iter().find(|r| r.mechanism == cause).unwrap().bins[bin].clone()
    };
    let sediment = row("sediment_light", "m_undercharge", 4);
    for (p, stated) in sediment.iter().zip([0.632357, 0.322892, 0.126178, 0.047422, 0.018293]) {
        assert!((1.0 - p - stated).abs() < 1e-6);
    }
    let sparkle = row("pos_sulfate_sparkle", "m_undercharge", 2);
    for (p, stated) in sparkle.iter().zip([0.828757, 0.402018, 0.129470, 0.038171, 0.011434]) {
        assert!((1.0 - p - stated).abs() < 1e-6);
    }
    // A knock lifts a post at once; growth takes years.
    let knocked = row("post_lift", "m_rough_handling", 0);
    assert!((knocked[2] - 0.6).abs() < 1e-12 && (knocked[4] - 0.9).abs() < 1e-12, "{knocked:?}");
    assert!(row("post_lift", "m_grid_growth", 0)[0] > 0.999);
    assert_eq!(row("polarity_wrong", "m_install_error", 7), [0.6, 0.6, 0.6, 0.6, 0.6, 1.0]);
    let voltage = row("q_v_low_cell", "m_internal_short", 0);
    assert!((voltage[0] - 0.1).abs() < 1e-12 && voltage[1] == 1.0);
}

#[test]
fn warmth_lets_growth_come_sooner_and_leaves_sulfate_alone() {
    let row = |body: &str, finding: &str, cause: &str| {
        let n = network(body);
        let f = &n.findings()[n.finding_idx(finding).unwrap()];
        let cause = n.mechanism_idx(cause).unwrap();
        f.rows.iter().find(|r| r.mechanism == cause).unwrap().bins[6].clone()
    };
    let warm = format!("{CELL}, temperature: 33.3");
    let grown = |body: &str| 1.0 - row(body, "pos_plate_growth", "m_grid_growth")[2];
    assert!(grown(&warm) > 2.0 * grown(CELL), "{} {}", grown(&warm), grown(CELL));
    let sparkle = |body: &str| row(body, "pos_sulfate_sparkle", "m_undercharge");
    assert_eq!(sparkle(&warm), sparkle(CELL));
}

#[test]
fn a_reading_over_its_limit_may_be_written_in_three_ways() {
    let seen = |entry: &str| {
        let asked = ask(&format!("{CELL}, findings: {{\"q_v_low_cell\": {entry}}}"));
        let f = asked.network.finding_idx("q_v_low_cell").unwrap();
        asked.evidence.get(f).cloned()
    };
    for entry in ["Over", "1", "3", "AtLeast(3)"] {
        assert_eq!(seen(entry), Some(Seen::grade(1)), "{entry}");
    }
    for entry in ["Under", "Clean", "0", "AtMost(2)"] {
        assert_eq!(seen(entry), Some(Seen::grade(0)), "{entry}");
    }
    assert_eq!(seen("NotInspected"), None);
}

#[test]
fn a_cured_event_fades_unless_its_mark_is_for_good() {
    let show = |body: &str, finding: &str| {
        let n = network(body);
        let f = &n.findings()[n.finding_idx(finding).unwrap()];
        let cause = n.mechanism_idx("m_overfill").unwrap();
        1.0 - f.rows.iter().find(|r| r.mechanism == cause).unwrap().bins[5][0]
    };
    let cured = format!("{CELL}, cured: {{\"m_overfill\": 1.5}}");
    let share = show(&cured, "level_high") / show(CELL, "level_high");
    assert!((share - 0.5).abs() < 1e-9, "{share}");
}

#[test]
fn a_case_for_the_catalogue_says_what_it_lacks() {
    let catalogue = Catalogue::builtin();
    let codes = |text: &str| {
        let case = Case::read(&Source::new("case.ron", text)).value.unwrap();
        let found = Cell::from_case(&case, catalogue).unwrap_err();
        found.iter().map(|d| d.code).collect::<Vec<_>>()
    };
    assert_eq!(codes("Case(format: 1)"), [Code::MissingField, Code::MissingField]);
    assert_eq!(
        codes("Case(format: 1, design: \"medium_paste\", age_months: 9)"),
        [Code::UnknownDesign]
    );
    assert_eq!(
        codes("Case(format: 1, alloy: Plante, age_months: 9, cured: {\"m_hott\": 1})"),
        [Code::UnknownMechanism]
    );
}

#[test]
fn pale_sediment_with_sparkle_is_years_of_undercharge() {
    let body = format!(
        "{CELL}, scope: String, findings: {{\"sediment_light\": 3, \"pos_sulfate_sparkle\": 3, \
         \"q_v_low_string\": Over, \"gassing_heavy\": Clean}}"
    );
    let asked = ask(&body);
    let first = &asked.explanation.causes[0];
    assert_eq!(first.name, "Chronic undercharge");
    assert!(first.sentence.contains("almost certain"), "{}", first.sentence);
    let began = first.began.unwrap();
    assert!(began.p10 > 6.0 && began.median > 12.0, "{began:?}");
    assert!(first.age.contains(" ago, most likely around "), "{}", first.age);
    assert!(first.speaks_for.iter().any(|p| p.sentence.contains("speaks for it (+")));
    assert_eq!(asked.explanation.clean.len(), 1);
    assert!(asked.explanation.clean[0].contains("chronic overcharge"));
    assert!(asked.explanation.text().contains("local codes decide"));
    assert_eq!(asked.explanation.urgency, Some(Urgency::Arrange));
}

#[test]
fn contact_that_is_seen_asks_for_readings_and_is_prompt() {
    let asked = ask(&format!("{CELL}, scope: Cell, findings: {{\"moss_growth\": 5}}"));
    let text = asked.explanation.text();
    assert!(text.contains("a short is not yet shown"), "{text}");
    assert_eq!(asked.explanation.urgency, Some(Urgency::Prompt));
    let staff = asked.explanation.next.iter().filter(|l| l.staff);
    staff.for_each(|l| assert!(l.sentence.starts_with("Ask authorised staff"), "{}", l.sentence));
    let read = ask(&format!(
        "{CELL}, scope: Cell, findings: {{\"moss_growth\": 5, \"q_v_low_cell\": Over}}"
    ));
    assert!(!read.explanation.text().contains("not yet shown"));
}

#[test]
fn halt_sends_nobody_back_to_the_cell() {
    let asked = ask(&format!("{CELL}, scope: Cell, findings: {{\"reversed_cell\": 4}}"));
    assert_eq!(asked.explanation.urgency, Some(Urgency::Halt));
    assert!(!asked.explanation.next.is_empty());
    assert!(asked.explanation.next.iter().all(|l| l.staff));
}

#[test]
fn copper_without_a_crust_that_was_looked_for_is_doubted() {
    let asked = ask(&format!(
        "{CELL}, scope: Cell, findings: {{\"copper_contamination\": 3, \"post_seal_creep\": Clean}}"
    ));
    let doubt = |w: &String| w.contains("usually comes after") && w.contains("seal");
    assert!(asked.explanation.warnings.iter().any(doubt), "{:?}", asked.explanation.warnings);
}

#[test]
fn causes_that_share_a_sign_are_said_to_compete() {
    let asked = ask(&format!("{CELL}, scope: Cell, findings: {{\"moss_growth\": 4}}"));
    let text = asked.explanation.competing.join(" ");
    assert!(text.contains("compete for the same signs"), "{text}");
    // The numbers of the sentence come from the joint distribution, not from the marginals.
    let overcharge = asked.network.mechanism_idx("m_overcharge").unwrap();
    assert!(asked.posterior.present(overcharge) > 0.1);
}

#[test]
fn too_many_positives_that_hang_together_are_refused() {
    let network = network("alloy: LeadAntimony, age_months: 108");
    let mut evidence = Evidence::new();
    let overcharge = network.mechanism_idx("m_overcharge").unwrap();
    let linked = (0..network.findings().len())
        .filter(|&f| network.causes(f).any(|c| c == overcharge))
        .take(19);
    linked.for_each(|f| evidence.set(f, Seen::grade(1)));
    let refused = infer(&network, &evidence).unwrap_err().to_string();
    assert!(refused.contains("19 positive findings hang together"), "{refused}");
    assert!(refused.contains("at most 18"), "{refused}");
}

#[test]
fn json_has_the_promised_shape() {
    let asked = ask(&format!("{CELL}, findings: {{\"sediment_light\": 2, \"post_lift\": Clean}}"));
    let reasoned = reason(&asked.network, &asked.evidence).unwrap();
    let text = json::result(&asked.network, &reasoned.posterior, &reasoned.weights, &reasoned.next);
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["mechanisms"].as_array().unwrap().len(), 29);
    assert_eq!(value["weights"].as_array().unwrap().len(), 2 * 29);
    for m in value["mechanisms"].as_array().unwrap() {
        let bins: f64 =
            m["bins"].as_array().unwrap().iter().map(|b| b["p"].as_f64().unwrap()).sum();
        assert!((m["absent"].as_f64().unwrap() + bins - 1.0).abs() < 1e-10);
        // Lead-calcium plates hold no antimony: the cause is impossible and has no age.
        let impossible = m["id"] == "m_antimony";
        assert_eq!(m["began"].is_null(), impossible, "{}", m["id"]);
        let began = ["p10", "median", "p90"].map(|k| m["began"][k].as_f64().unwrap_or(0.0));
        assert!(impossible || (began[0] < began[1] && began[1] < began[2]), "{began:?}");
    }
    let antimony = |w: &&serde_json::Value| w["mechanism"] == "m_antimony";
    let weights = value["weights"].as_array().unwrap();
    assert!(weights.iter().filter(antimony).all(|w| w["decibans"].is_null()));
    let bits: Vec<f64> =
        value["next"].as_array().unwrap().iter().map(|l| l["bits"].as_f64().unwrap()).collect();
    assert!(bits.windows(2).all(|w| w[0] >= w[1]) && bits.len() > 10, "{bits:?}");
    let whole: serde_json::Value = serde_json::from_str(&json::network(&asked.network)).unwrap();
    assert_eq!(whole["mechanisms"].as_array().unwrap().len(), 29);
    assert_eq!(whole["findings"][0]["leak"].as_array().unwrap().len(), 6);
}
