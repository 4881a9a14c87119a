//! Classic pictures of the trade: what a veteran would say, written down before the engine ran.
//!
//! Each case says which cause leads, how sure (70 % for likely, 95 % for almost certain), in
//! which span of months the median of its beginning lies, and where it matters the urgency.

#![expect(clippy::expect_used, reason = "a case that cannot be read fails its test")]

use jarlight_model::{
    catalogue::{Catalogue, Urgency},
    diag::Source,
};
use jarlight_rules::{
    Case, Cell, Network,
    explain::{Question, explain, reason},
};

struct Classic {
    file: &'static str,
    name: &'static str,
    leads: &'static str,
    at_least: f64,
    began: (f64, f64),
    urgency: Option<Urgency>,
    /// Why the engine says something else, where it does.
    deviates: Option<&'static str>,
}

const CLASSICS: &[Classic] = &[
    Classic {
        file: include_str!("../../../tests/cases/01_pale_mud_and_sparkle.case.ron"),
        name: "01_pale_mud_and_sparkle",
        leads: "m_undercharge",
        at_least: 0.70,
        began: (12.0, 60.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/02_seal_crust_and_pink.case.ron"),
        name: "02_seal_crust_and_pink",
        leads: "m_copper_release",
        at_least: 0.70,
        began: (6.0, 40.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/03_line_after_outage.case.ron"),
        name: "03_line_after_outage",
        leads: "m_left_discharged",
        at_least: 0.70,
        began: (0.0, 36.0),
        urgency: None,
        deviates: Some(
            "At grade 2 a line is common enough among mistaken sightings that the rules call the outage possible only; a moderate line (see the reference rows) is near proof.",
        ),
    },
    Classic {
        file: include_str!("../../../tests/cases/04_tall_positives_at_15.case.ron"),
        name: "04_tall_positives_at_15",
        leads: "m_grid_growth",
        at_least: 0.95,
        began: (170.0, 180.0),
        urgency: None,
        deviates: Some(
            "Growth begins with the cell; its weight lies in the oldest bin, so the median is the middle of it. The screen says since installation.",
        ),
    },
    Classic {
        file: include_str!("../../../tests/cases/05_quiet_cell.case.ron"),
        name: "05_quiet_cell",
        leads: "m_internal_short",
        at_least: 0.70,
        began: (0.0, 30.0),
        urgency: None,
        deviates: Some(
            "The rules know no clock for a short: plates change shade in days and stay so. The cause leads as it must, its beginning stays open.",
        ),
    },
    Classic {
        file: include_str!("../../../tests/cases/06_black_positives.case.ron"),
        name: "06_black_positives",
        leads: "m_overcharge",
        at_least: 0.95,
        began: (3.0, 40.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/07_dry_tops.case.ron"),
        name: "07_dry_tops",
        leads: "m_low_water",
        at_least: 0.70,
        began: (1.0, 60.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/08_one_low_jar.case.ron"),
        name: "08_one_low_jar",
        leads: "m_solvent_stress",
        at_least: 0.70,
        began: (0.0, 60.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/09_bridged_moss.case.ron"),
        name: "09_bridged_moss",
        leads: "m_internal_short",
        at_least: 0.70,
        began: (0.0, 40.0),
        urgency: Some(Urgency::Prompt),
        deviates: Some(
            "Readings carry no clock, so the age of the short stays open; the moss dates its own cause.",
        ),
    },
    Classic {
        file: include_str!("../../../tests/cases/10_wet_and_turquoise.case.ron"),
        name: "10_wet_and_turquoise",
        leads: "m_overfill",
        at_least: 0.70,
        began: (3.0, 60.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/11_straw_and_blue.case.ron"),
        name: "11_straw_and_blue",
        leads: "m_loose_joint",
        at_least: 0.95,
        began: (0.0, 60.0),
        urgency: Some(Urgency::Prompt),
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/12_thirsty_antimony.case.ron"),
        name: "12_thirsty_antimony",
        leads: "m_antimony",
        at_least: 0.95,
        began: (36.0, 144.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/13_solvent_net.case.ron"),
        name: "13_solvent_net",
        leads: "m_solvent_stress",
        at_least: 0.70,
        began: (0.0, 36.0),
        urgency: None,
        deviates: Some(
            "One craze alone also fits growth and a tight rail; the rules stay at possible where a veteran who smells the cleaner would not.",
        ),
    },
    Classic {
        file: include_str!("../../../tests/cases/14_layers.case.ron"),
        name: "14_layers",
        leads: "m_no_mixing",
        at_least: 0.95,
        began: (1.0, 40.0),
        urgency: None,
        deviates: None,
    },
    Classic {
        file: include_str!("../../../tests/cases/15_reversed.case.ron"),
        name: "15_reversed",
        leads: "m_reversal",
        at_least: 0.95,
        began: (0.0, 2.0),
        urgency: Some(Urgency::Halt),
        deviates: Some(
            "The look stays until it is corrected, so the rules leave the date open; the log of the discharge gives it.",
        ),
    },
    Classic {
        file: include_str!("../../../tests/cases/16_tall_in_a_hot_room.case.ron"),
        name: "16_tall_in_a_hot_room",
        leads: "m_hot",
        at_least: 0.95,
        began: (12.0, 72.0),
        urgency: None,
        deviates: Some(
            "One hot reading against its leak of 0.05 gives likely, not more; overcharge can warm a room as well.",
        ),
    },
];

/// What the engine says of one case.
struct Said {
    leads: String,
    probability: f64,
    began: f64,
    urgency: Option<Urgency>,
}

fn ask(classic: &Classic) -> Said {
    let catalogue = Catalogue::builtin();
    let source = Source::new(classic.name, classic.file);
    let case = Case::read(&source).value.expect("a sound case");
    let cell = Cell::from_case(&case, catalogue).expect("a known cell");
    let network = Network::from_catalogue(catalogue, &cell).expect("a network");
    let evidence = case.evidence(&network).expect("known findings");
    let reasoned = reason(&network, &evidence).expect("an answer");
    let question = Question {
        network: &network,
        evidence: &evidence,
        catalogue: Some(catalogue),
        names: None,
        age_months: case.age_months,
    };
    let explanation = explain(&question, &reasoned).expect("an explanation");
    let first = &explanation.causes[0];
    Said {
        leads: network.mechanisms()[first.mechanism].id.to_string(),
        probability: first.probability,
        began: first.began.as_ref().map_or(f64::NAN, |b| b.median),
        urgency: explanation.urgency,
    }
}

#[test]
fn the_engine_says_what_a_veteran_would_say() {
    let mut wrong = Vec::new();
    for classic in CLASSICS {
        let said = ask(classic);
        let age = (classic.began.0..=classic.began.1).contains(&said.began);
        let urgency = classic.urgency.is_none_or(|u| said.urgency.is_some_and(|s| s >= u));
        let sure = said.probability >= classic.at_least;
        // Even where age or certainty deviate, the leading cause must be the right one.
        let agrees = sure && age && urgency;
        if said.leads != classic.leads || agrees == classic.deviates.is_some() {
            wrong.push(format!(
                "{}: {} {:.3}, began {:.1} months ago, {:?}; expected {} from {:.2}, {:?}, {:?} {:?}",
                classic.name, said.leads, said.probability, said.began, said.urgency,
                classic.leads, classic.at_least, classic.began, classic.urgency, classic.deviates
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
