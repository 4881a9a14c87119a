//! Random networks with chains against full enumeration of all states.

#![expect(clippy::unwrap_used, reason = "test helpers")]

use jarlight_model::rng::Rng;
use jarlight_rules::{
    Bin, Evidence, Finding, Mechanism, Network, NetworkError, Row, Seen, infer, joint_presence,
    next_looks, weights,
};

/// Unnormalised weights by enumeration: (total, per cause [absent, bins…], joint presence).
struct Enumerated {
    total: f64,
    states: Vec<Vec<f64>>,
    present: Vec<f64>,
}

/// Walks all states of all causes; nothing is shared with the engine but the formulas.
fn enumerate(network: &Network, likelihood: &dyn Fn(&[usize]) -> f64) -> Enumerated {
    let causes = network.mechanisms();
    let n = causes.len();
    let mut out = Enumerated {
        total: 0.0,
        states: causes.iter().map(|m| vec![0.0; m.bins.len() + 1]).collect(),
        present: vec![0.0; 1 << n],
    };
    let mut state = vec![0; n];
    loop {
        let mut p = 1.0;
        for (i, cause) in causes.iter().enumerate() {
            let base: f64 = cause.bins.iter().map(|b| b.prior).sum();
            let factor: f64 =
                cause.parents.iter().filter(|(q, _)| state[*q] > 0).map(|(_, f)| f).product();
            let here = base * factor / (1.0 - base + base * factor);
            p *= match state[i] {
                0 => 1.0 - here,
                s if base > 0.0 => here * cause.bins[s - 1].prior / base,
                _ => 0.0,
            };
        }
        p *= likelihood(&state);
        out.total += p;
        let mut bits = 0;
        for (i, &s) in state.iter().enumerate() {
            out.states[i][s] += p;
            bits |= usize::from(s > 0) << i;
        }
        out.present[bits] += p;
        let Some(next) = (0..n).find(|&i| state[i] < causes[i].bins.len()) else { break };
        state[next] += 1;
        state[..next].fill(0);
    }
    out
}

fn at_most(finding: &Finding, state: &[usize], grade: usize) -> f64 {
    finding
        .rows
        .iter()
        .filter(|r| state[r.mechanism] > 0)
        .fold(finding.leak[grade], |p, r| p * r.bins[state[r.mechanism] - 1][grade])
}

fn grade(finding: &Finding, state: &[usize], g: usize) -> f64 {
    at_most(finding, state, g) - if g > 0 { at_most(finding, state, g - 1) } else { 0.0 }
}

fn likelihood(network: &Network, evidence: &Evidence, state: &[usize]) -> f64 {
    evidence.iter().fold(1.0, |p, (f, seen)| {
        let finding = &network.findings()[f];
        p * match seen {
            Seen::Between { low, high } => {
                (*low..=*high).map(|g| grade(finding, state, g)).sum::<f64>()
            }
            Seen::Perhaps(l) => {
                l.iter().enumerate().map(|(g, l)| l * grade(finding, state, g)).sum()
            }
        }
    })
}

fn row(rng: &mut Rng, grades: usize) -> Vec<f64> {
    let mut row: Vec<f64> = (0..grades - 1).map(|_| rng.unit()).collect();
    // Some rows touch 0 or 1, as authors write them.
    if rng.below(8) == 0 {
        row[0] = 0.0;
    }
    row.sort_by(f64::total_cmp);
    if rng.below(8) == 0 {
        row[grades - 2] = 1.0;
    }
    row.push(1.0);
    row
}

fn random_network(rng: &mut Rng, n: usize) -> Network {
    let n_bins: Vec<usize> = (0..n).map(|_| 1 + rng.below(3)).collect();
    let mechanisms = (0..n)
        .map(|i| {
            let mut priors: Vec<f64> = (0..n_bins[i]).map(|_| rng.range(0.0, 0.5)).collect();
            if rng.below(10) == 0 {
                priors.fill(0.0);
            }
            let scale = rng.unit() / priors.iter().sum::<f64>().max(1.0);
            let mut from = 0.0;
            let bins = priors
                .iter()
                .map(|p| {
                    let to = from + rng.range(0.5, 30.0);
                    let bin = Bin { from, to, prior: p * scale };
                    from = to;
                    bin
                })
                .collect();
            let factors = [2.0, 4.0, 8.0, 1.5, 0.5];
            let parents = (0..i)
                .filter(|_| rng.below(3) == 0)
                .collect::<Vec<_>>()
                .into_iter()
                .map(|p| (p, factors[rng.below(factors.len())]))
                .collect();
            Mechanism { id: format!("m{i}"), bins, parents, since_installation: false }
        })
        .collect();
    let findings = (0..3 + rng.below(6))
        .map(|f| {
            let grades = 2 + rng.below(4);
            let mut rows = Vec::new();
            for (i, bins) in n_bins.iter().enumerate() {
                if rng.below(2) == 0 {
                    rows.push(Row {
                        mechanism: i,
                        bins: (0..*bins).map(|_| row(rng, grades)).collect(),
                    });
                }
            }
            Finding {
                id: format!("f{f}"),
                leak: row(rng, grades),
                rows,
                effort: 1.0,
                staff: false,
                reading: false,
                coarse: false,
            }
        })
        .collect();
    Network::new(mechanisms, findings).unwrap()
}

fn random_evidence(rng: &mut Rng, network: &Network) -> Evidence {
    let mut evidence = Evidence::new();
    for (f, finding) in network.findings().iter().enumerate() {
        let n = finding.leak.len();
        match rng.below(8) {
            0 | 1 => {}
            2 if evidence.n_soft() < 3 => {
                let l = (0..n).map(|_| f64::from(rng.below(3) as u32) + 0.1).collect();
                evidence.set(f, Seen::Perhaps(l));
            }
            3 => {
                let low = rng.below(n);
                evidence.set(f, Seen::Between { low, high: low + rng.below(n - low) });
            }
            _ => evidence.set(f, Seen::grade(rng.below(n))),
        }
    }
    evidence
}

fn entropy(p: &[f64]) -> f64 {
    let total: f64 = p.iter().sum();
    p.iter().map(|x| x / total).filter(|x| *x > 0.0).map(|x| -x * x.log2()).sum()
}

#[test]
fn random_networks_agree_with_enumeration() {
    let (mut compared, mut impossible, mut weighed, mut looked) = (0, 0, 0, 0);
    for seed in 0..400 {
        let mut rng = Rng::new(seed);
        let n = 2 + rng.below(5);
        let network = random_network(&mut rng, n);
        let evidence = random_evidence(&mut rng, &network);
        let brute = enumerate(&network, &|s| likelihood(&network, &evidence, s));
        let Ok(posterior) = infer(&network, &evidence) else {
            assert!(brute.total < 1e-15, "seed {seed}: {}", brute.total);
            impossible += 1;
            continue;
        };
        let p = posterior.log_evidence.exp();
        assert!((p - brute.total).abs() <= 1e-10 * brute.total, "seed {seed}: {p} {}", brute.total);
        for (m, states) in posterior.marginals.iter().zip(&brute.states) {
            let met = std::iter::once(m.absent).chain(m.bins.iter().copied());
            for (met, brute_weight) in met.zip(states) {
                let stated = brute_weight / brute.total;
                assert!((met - stated).abs() < 1e-10, "seed {seed}: {met} {stated}");
            }
        }
        compared += 1;
        if seed % 4 == 0 {
            weighed += check_weights(&network, &evidence, seed);
            looked += check_looks(&network, &evidence, &brute, seed);
        }
    }
    assert!(compared >= 300 && weighed >= 500 && looked >= 80, "{compared} {weighed} {looked}");
    assert!(impossible < 60, "{impossible}");
}

fn check_weights(network: &Network, evidence: &Evidence, seed: u64) -> usize {
    let posterior = infer(network, evidence).unwrap();
    let odds = |evidence: &Evidence, i: usize| {
        let b = enumerate(network, &|s| likelihood(network, evidence, s));
        b.states[i][1..].iter().sum::<f64>() / b.states[i][0]
    };
    let mut n = 0;
    for w in weights(network, evidence, &posterior).unwrap() {
        let with = odds(evidence, w.mechanism);
        let without = odds(&evidence.without(w.finding), w.mechanism);
        let stated = 10.0 * (with / without).log10();
        match w.decibans {
            Some(met) => assert!((met - stated).abs() < 1e-7, "seed {seed}: {met} {stated}"),
            None => assert!(!stated.is_finite() || stated.abs() > 100.0, "seed {seed}: {stated}"),
        }
        n += 1;
    }
    n
}

fn check_looks(network: &Network, evidence: &Evidence, now: &Enumerated, seed: u64) -> usize {
    let posterior = infer(network, evidence).unwrap();
    let next = next_looks(network, evidence, &posterior).unwrap();
    let project = |present: &[f64]| {
        let mut out = vec![0.0; 1 << next.considered.len()];
        for (bits, p) in present.iter().enumerate() {
            let own = next.considered.iter().enumerate();
            let x: usize = own.map(|(k, c)| ((bits >> c) & 1) << k).sum();
            out[x] += p;
        }
        out
    };
    let joint = joint_presence(network, evidence, &next.considered).unwrap();
    for (met, stated) in joint.iter().zip(project(&now.present)) {
        assert!((met - stated / now.total).abs() < 1e-10, "seed {seed}");
    }
    for look in &next.looks {
        let finding = &network.findings()[look.finding];
        let expected: f64 = (0..finding.leak.len())
            .map(|g| {
                let with = evidence.clone().with(look.finding, Seen::grade(g));
                let b = enumerate(network, &|s| likelihood(network, &with, s));
                if b.total < 1e-14 {
                    return 0.0;
                }
                b.total / now.total * entropy(&project(&b.present))
            })
            .sum();
        let stated = entropy(&project(&now.present)) - expected;
        assert!((look.bits - stated).abs() < 1e-9, "seed {seed}: {} {stated}", look.bits);
    }
    next.looks.len()
}

#[test]
fn a_finding_with_equal_rows_changes_nothing() {
    let mut rng = Rng::new(5);
    let network = random_network(&mut rng, 4);
    let evidence = random_evidence(&mut rng, &network);
    let base = infer(&network, &evidence).unwrap();
    let mut findings = network.findings().to_vec();
    let bins = network.mechanisms()[0].bins.len();
    findings.push(Finding {
        id: "equal".into(),
        leak: vec![0.5, 0.75, 1.0],
        rows: vec![Row { mechanism: 0, bins: vec![vec![1.0, 1.0, 1.0]; bins] }],
        effort: 1.0,
        staff: false,
        reading: false,
        coarse: false,
    });
    let wider = Network::new(network.mechanisms().to_vec(), findings).unwrap();
    let with = evidence.with(network.findings().len(), Seen::grade(1));
    let posterior = infer(&wider, &with).unwrap();
    for (a, b) in base.marginals.iter().zip(&posterior.marginals) {
        assert!((a.absent - b.absent).abs() < 1e-12);
    }
}

#[test]
fn a_finding_with_two_rows_of_one_cause_is_refused() {
    let network = random_network(&mut Rng::new(1), 3);
    let mut findings = network.findings().to_vec();
    let twice = findings.iter_mut().find(|f| !f.rows.is_empty()).unwrap();
    twice.rows.push(twice.rows[0].clone());
    let twice = twice.id.clone();
    let met = Network::new(network.mechanisms().to_vec(), findings);
    assert_eq!(met.unwrap_err(), NetworkError::Twice { id: twice });
}
