//! The catalogue in yes-or-no form (one onset bin, two grades, all 29 causes), against

#![expect(clippy::unwrap_used, reason = "test helpers")]
//! posteriors that were computed by full enumeration.

use jarlight_model::{
    authored::{Spot, read_file},
    authored_record,
    catalogue::Catalogue,
    design::Alloy,
    diag::Source,
};
use jarlight_rules::{
    Bin, CaseScope, Cell, Evidence, Finding, Mechanism, Network, Posterior, Row, Seen, infer,
};

authored_record! {
    /// One row of the table.
    #[derive(Clone, Debug)]
    struct Stated {
        id: u32,
        what: String,
        alloy: Alloy,
        age_months: f64,
        scope: CaseScope,
        present: Vec<String>,
        absent: Vec<String>,
        p: f64,
        first: Vec<(String, f64)>,
        rose: Vec<(String, f64, f64)>,
        p_unchained: f64,
        first_unchained: Vec<(String, f64)>,
    }

    /// The file.
    #[derive(Clone, Debug)]
    struct Reference {
        format: Spot<u32>,
        rows: Vec<Stated>,
        priors: Vec<(f64, Vec<(String, f64)>)>,
    }
}

fn reference() -> Reference {
    let text = include_str!("../../../tests/published/reference_posteriors.ron");
    let read = read_file::<Reference>(&Source::new("reference_posteriors.ron", text));
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    read.value.unwrap()
}

fn cell(alloy: Alloy, age_months: f64, scope: CaseScope) -> Cell<'static> {
    Cell {
        design: None,
        alloy,
        copper_insert: alloy != Alloy::Plante,
        age_months,
        scope,
        temperature: None,
        cured: Vec::new(),
    }
}

/// Link words and leaks as they stand, without laws: present means grade 3 or more.
fn binary(cell: &Cell<'_>) -> Network {
    let catalogue = Catalogue::builtin();
    let place = |id: &str| catalogue.mechanisms.iter().position(|m| m.id.as_str() == id).unwrap();
    let mechanisms = catalogue
        .mechanisms
        .iter()
        .map(|m| Mechanism {
            id: m.id.to_string(),
            bins: vec![Bin { from: 0.0, to: cell.age_months, prior: cell.prior(m) }],
            parents: m.parents.iter().map(|(p, f)| (place(p), *f)).collect(),
            since_installation: false,
        })
        .collect();
    let leaks = catalogue
        .conditions
        .iter()
        .filter_map(|c| Some((c.id.to_string(), c.leak?)))
        .chain(catalogue.quantities.iter().map(|q| (q.id.to_string(), q.leak)));
    let findings = leaks
        .map(|(id, leak)| {
            let linked = catalogue.mechanisms.iter().enumerate();
            let rows = linked
                .filter_map(|(i, m)| {
                    let w = m.links.get(&id)?.probability();
                    Some(Row { mechanism: i, bins: vec![vec![1.0 - w, 1.0]] })
                })
                .collect();
            let leak = vec![1.0 - leak, 1.0];
            Finding { id, leak, rows, effort: 1.0, staff: false, reading: true, coarse: false }
        })
        .collect();
    Network::new(mechanisms, findings).unwrap()
}

fn evidence(network: &Network, row: &Stated) -> Evidence {
    let mut evidence = Evidence::new();
    for (ids, grade) in [(&row.present, 1), (&row.absent, 0)] {
        for id in ids {
            evidence.set(network.finding_idx(id).unwrap(), Seen::grade(grade));
        }
    }
    evidence
}

#[track_caller]
fn close(met: f64, stated: f64, what: &str) {
    assert!((met - stated).abs() <= 1e-6, "{what}: met {met}, stated {stated}");
}

/// Agreement to the six significant digits to which the probability of evidence is stated.
#[track_caller]
fn close_in_digits(met: f64, stated: f64, what: &str) {
    let within = 0.51 * 10_f64.powf(stated.log10().floor() - 5.0);
    assert!((met - stated).abs() <= within, "{what}: met {met}, stated {stated}");
}

fn check(network: &Network, row: &Stated, p: f64, first: &[(String, f64)]) -> Posterior {
    let evidence = evidence(network, row);
    let posterior = infer(network, &evidence).unwrap();
    let what = format!("row {} ({})", row.id, row.what);
    close_in_digits(posterior.log_evidence.exp(), p, &what);
    let mut linked: Vec<usize> = (0..network.mechanisms().len())
        .filter(|i| {
            row.present
                .iter()
                .chain(&row.absent)
                .any(|id| network.causes(network.finding_idx(id).unwrap()).any(|c| c == *i))
        })
        .collect();
    linked.sort_by(|&a, &b| posterior.present(b).total_cmp(&posterior.present(a)));
    for (place, (id, stated)) in first.iter().enumerate() {
        let i = network.mechanism_idx(id).unwrap();
        close(posterior.present(i), *stated, &format!("{what} {id}"));
        // Equal probabilities may stand in either order.
        let there = posterior.present(linked[place]);
        assert!((there - posterior.present(i)).abs() < 1e-9, "{what}: {id} is not number {place}");
    }
    posterior
}

#[test]
fn all_rows_with_chains() {
    let reference = reference();
    assert_eq!(reference.format.value, 1);
    assert_eq!(reference.rows.len(), 22);
    for row in &reference.rows {
        let network = binary(&cell(row.alloy, row.age_months, row.scope));
        let posterior = check(&network, row, row.p, &row.first);
        let before = infer(&network, &Evidence::new()).unwrap();
        for (id, after, from) in &row.rose {
            let i = network.mechanism_idx(id).unwrap();
            close(posterior.present(i), *after, &format!("row {} {id}", row.id));
            close(before.present(i), *from, &format!("row {} {id} before", row.id));
        }
    }
}

#[test]
fn all_rows_without_chains() {
    for row in &reference().rows {
        let network = binary(&cell(row.alloy, row.age_months, row.scope)).without_chains();
        check(&network, row, row.p_unchained, &row.first_unchained);
    }
}

#[test]
fn priors_by_age_with_chains() {
    let reference = reference();
    assert_eq!(reference.priors.len(), 4);
    for (age, stated) in &reference.priors {
        let network = binary(&cell(Alloy::LeadCalcium, *age, CaseScope::Unknown));
        let posterior = infer(&network, &Evidence::new()).unwrap();
        for (id, stated) in stated {
            let i = network.mechanism_idx(id).unwrap();
            close(posterior.present(i), *stated, id);
        }
    }
}

/// Chance of presence of one cause when exactly these others are known to be there.
fn with_parents(cell: &Cell<'_>, cause: &str, parents: &[&str]) -> f64 {
    let network = binary(cell);
    let mut mechanisms = network.mechanisms().to_vec();
    for m in &mut mechanisms {
        let sure = parents.contains(&m.id.as_str());
        if sure || m.id != cause {
            m.bins[0].prior = f64::from(u8::from(sure));
        }
    }
    let network = Network::new(mechanisms, network.findings().to_vec()).unwrap();
    infer(&network, &Evidence::new()).unwrap().present(network.mechanism_idx(cause).unwrap())
}

#[test]
fn the_worked_check() {
    let calcium = cell(Alloy::LeadCalcium, 120.0, CaseScope::Unknown);
    let prior = |cell: &Cell<'_>, id: &str| cell.prior(Catalogue::builtin().mechanism(id).unwrap());
    close(prior(&calcium, "m_copper_release"), 0.03, "copper");
    close(with_parents(&calcium, "m_copper_release", &["m_post_seal_fail"]), 0.156522, "copper x6");
    close(
        with_parents(&calcium, "m_internal_short", &["m_left_discharged", "m_overcharge"]),
        0.198347,
        "short x8",
    );
    let one = cell(Alloy::LeadCalcium, 120.0, CaseScope::Cell);
    close(prior(&one, "m_grid_growth"), 0.087509, "growth on one cell");
    close(with_parents(&one, "m_grid_growth", &["m_hot"]), 0.434137, "growth, hot");
    let plante = cell(Alloy::Plante, 120.0, CaseScope::Unknown);
    assert_eq!(prior(&plante, "m_antimony"), 0.0);
    // Only copper release active: chance of a finding at grade 3 or more.
    let only = |causes: &[&str], finding: &str| {
        let network = binary(&calcium);
        let finding = &network.findings()[network.finding_idx(finding).unwrap()];
        let absent = finding
            .rows
            .iter()
            .filter(|r| causes.contains(&network.mechanisms()[r.mechanism].id.as_str()))
            .fold(finding.leak[0], |p, r| p * r.bins[0][0]);
        1.0 - absent
    };
    close(only(&["m_copper_release"], "copper_contamination"), 1.0 - 0.997 * 0.10, "copper seen");
    let both = ["m_copper_release", "m_post_seal_fail"];
    close(only(&both, "copper_contamination"), 1.0 - 0.997 * 0.10, "no link of the seal");
    close(only(&["m_copper_release"], "q_v_low_cell"), 0.709, "low voltage");
    close(only(&[], "cover_dust"), 0.05, "dust");
}

#[test]
fn an_impossible_cause_stays_impossible() {
    let network = binary(&cell(Alloy::Plante, 120.0, CaseScope::String));
    let seen = Seen::grade(1);
    let finding = network.finding_idx("antimony_poisoning").unwrap();
    let posterior = infer(&network, &Evidence::new().with(finding, seen)).unwrap();
    let antimony = network.mechanism_idx("m_antimony").unwrap();
    assert_eq!(posterior.present(antimony), 0.0);
    assert_eq!(posterior.began(&network, antimony), None);
}
