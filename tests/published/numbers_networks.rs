//! Small published networks: the enumeration that checks the engine, then the engine itself.
//!
//! The layered networks do not have the form of the engine. They check the enumeration below,
//! which then stands beside the engine on a network of independent causes.

use jarlight_rules::{Bin, Evidence, Finding, Mechanism, Network, Row, Seen, infer};

use super::{hold, row};

/// A node that is true or false: name, parents, chance of true for each state of the parents,
/// the first parent counting 1, the second 2, and so on.
struct Node {
    name: char,
    parents: Vec<usize>,
    chances: Vec<f64>,
}

fn node(name: char, parents: &[usize], chances: &[f64]) -> Node {
    Node { name, parents: parents.to_vec(), chances: chances.to_vec() }
}

/// Chance of the evidence, and of each node given it, by visiting every state.
fn enumerate(nodes: &[Node], evidence: &[(usize, bool)]) -> (f64, Vec<f64>) {
    let mut total = 0.0;
    let mut truth = vec![0.0; nodes.len()];
    for state in 0_usize..1 << nodes.len() {
        let on = |i: usize| state >> i & 1 == 1;
        if evidence.iter().any(|(i, seen)| on(*i) != *seen) {
            continue;
        }
        let mut p = 1.0;
        for (i, node) in nodes.iter().enumerate() {
            let place: usize =
                node.parents.iter().enumerate().map(|(bit, q)| usize::from(on(*q)) << bit).sum();
            let chance = node.chances[place];
            p *= if on(i) { chance } else { 1.0 - chance };
        }
        total += p;
        for (_, sum) in truth.iter_mut().enumerate().filter(|(i, _)| on(*i)) {
            *sum += p;
        }
    }
    (total, truth.into_iter().map(|sum| sum / total).collect())
}

/// A question: node asked for, evidence, chance that it is true, chance of the evidence.
type Query = (char, &'static [(char, u8)], f64, f64);

fn check(source: &str, nodes: &[Node], queries: &[Query]) {
    check_to(source, nodes, queries, 1e-9);
}

fn check_to(source: &str, nodes: &[Node], queries: &[Query], tolerance: f64) {
    let place = |name: char| nodes.iter().position(|node| node.name == name).unwrap();
    let mut rows = Vec::new();
    for (asked, evidence, stated, p) in queries {
        let seen: Vec<(usize, bool)> =
            evidence.iter().map(|(name, value)| (place(*name), *value == 1)).collect();
        let (total, truth) = enumerate(nodes, &seen);
        rows.push(row(
            format!("{asked} given {evidence:?}"),
            truth[place(*asked)],
            *stated,
            tolerance,
        ));
        rows.push(row(format!("{evidence:?}"), total, *p, tolerance));
    }
    hold(source, &rows);
}

const ENGINES: &str = "pyAgrum 3.3.1 and pgmpy 1.1.2, which agree to 1e-16";

const CHEST: [Query; 20] = [
    ('T', &[], 0.010400000000, 1.0),
    ('L', &[], 0.055000000000, 1.0),
    ('B', &[], 0.450000000000, 1.0),
    ('E', &[], 0.064828000000, 1.0),
    ('X', &[], 0.110290040000, 1.0),
    ('D', &[], 0.435970600000, 1.0),
    ('T', &[('A', 1), ('D', 1)], 0.087750964983, 0.004501375),
    ('L', &[('A', 1), ('D', 1)], 0.099525145095, 0.004501375),
    ('B', &[('A', 1), ('D', 1)], 0.811402071589, 0.004501375),
    ('E', &[('A', 1), ('D', 1)], 0.182299852823, 0.004501375),
    ('T', &[('A', 1), ('S', 0), ('D', 1), ('X', 1)], 0.632329456552, 0.00029446675),
    ('L', &[('A', 1), ('S', 0), ('D', 1), ('X', 1)], 0.126465891310, 0.00029446675),
    ('B', &[('A', 1), ('S', 0), ('D', 1), ('X', 1)], 0.458960137265, 0.00029446675),
    ('L', &[('X', 1)], 0.488711401320, 0.11029004),
    ('T', &[('X', 1)], 0.092410883159, 0.11029004),
    ('S', &[('X', 1), ('D', 1)], 0.785610386052, 0.0706701044),
    ('L', &[('X', 1), ('D', 1)], 0.621252796678, 0.0706701044),
    ('L', &[('S', 1), ('X', 1), ('D', 1)], 0.723714015311, 0.055519168),
    ('A', &[('X', 1), ('D', 1), ('S', 0)], 0.019435547891, 0.0151509364),
    ('B', &[('D', 1), ('X', 0)], 0.863391982762, 0.3653004956),
];

#[test]
fn enumeration_of_the_chest_clinic() {
    let nodes = [
        node('A', &[], &[0.01]),
        node('S', &[], &[0.5]),
        node('T', &[0], &[0.01, 0.05]),
        node('L', &[1], &[0.01, 0.10]),
        node('B', &[1], &[0.30, 0.60]),
        node('E', &[2, 3], &[0.0, 1.0, 1.0, 1.0]),
        node('X', &[5], &[0.05, 0.98]),
        node('D', &[4, 5], &[0.10, 0.80, 0.70, 0.90]),
    ];
    check(ENGINES, &nodes, &CHEST);
}

const LAWN: [Query; 10] = [
    ('W', &[], 0.647100000000, 1.0),
    ('R', &[], 0.500000000000, 1.0),
    ('S', &[], 0.300000000000, 1.0),
    ('S', &[('W', 1)], 0.429763560501, 0.6471),
    ('R', &[('W', 1)], 0.707927677330, 0.6471),
    ('S', &[('W', 1), ('R', 1)], 0.194499017682, 0.4581),
    ('C', &[('W', 1)], 0.575799721836, 0.6471),
    ('R', &[('W', 1), ('S', 1)], 0.320388349515, 0.2781),
    ('C', &[('W', 0)], 0.361008784358, 0.3529),
    ('C', &[('S', 1), ('R', 0)], 0.047619047619, 0.21),
];

#[test]
fn enumeration_of_the_wet_lawn() {
    let nodes = [
        node('C', &[], &[0.5]),
        node('S', &[0], &[0.5, 0.1]),
        node('R', &[0], &[0.2, 0.8]),
        node('W', &[1, 2], &[0.0, 0.9, 0.9, 0.99]),
    ];
    check(ENGINES, &nodes, &LAWN);
}

const ALARM: [Query; 12] = [
    ('A', &[], 0.002516442000, 1.0),
    ('J', &[], 0.052138975700, 1.0),
    ('M', &[], 0.011736344980, 1.0),
    ('B', &[('J', 1), ('M', 1)], 0.284171835364, 0.002084100239),
    ('E', &[('J', 1), ('M', 1)], 0.176066838405, 0.002084100239),
    ('A', &[('J', 1), ('M', 1)], 0.760692038863, 0.002084100239),
    ('B', &[('J', 1)], 0.016283729947, 0.0521389757),
    ('B', &[('A', 1)], 0.373551228282, 0.002516442),
    ('B', &[('A', 1), ('E', 1)], 0.003268423588, 0.00058132),
    ('B', &[('J', 1), ('M', 0)], 0.005129858133, 0.050054875461),
    ('E', &[('A', 1)], 0.231008701969, 0.002516442),
    ('B', &[('M', 1)], 0.056117454039, 0.01173634498),
];

#[test]
fn enumeration_of_the_burglar_alarm() {
    let nodes = [
        node('B', &[], &[0.001]),
        node('E', &[], &[0.002]),
        node('A', &[0, 1], &[0.001, 0.94, 0.29, 0.95]),
        node('J', &[2], &[0.05, 0.90]),
        node('M', &[2], &[0.01, 0.70]),
    ];
    check(ENGINES, &nodes, &ALARM);
}

/// The files `earthquake.bif` and `cancer.bif` that pgmpy 1.1.2 carries; the first has other
/// priors than the textbook.
const FILES: &str = "pgmpy 1.1.2 by elimination, pyAgrum 3.3.1 within 1e-8";

#[test]
fn enumeration_of_the_earthquake_file() {
    let nodes = [
        node('B', &[], &[0.01]),
        node('E', &[], &[0.02]),
        node('A', &[0, 1], &[0.001, 0.94, 0.29, 0.95]),
        node('J', &[2], &[0.05, 0.90]),
        node('M', &[2], &[0.01, 0.70]),
    ];
    let both: &[(char, u8)] = &[('J', 1), ('M', 1)];
    check_to(
        FILES,
        &nodes,
        &[('B', both, 0.5565220622, 1.064389e-2), ('E', both, 0.3517693613, 1.064389e-2)],
        1e-8,
    );
}

#[test]
fn enumeration_of_the_cancer_file() {
    // P polluted air, S smoker, C cancer, X shadow, D short of breath.
    let nodes = [
        node('P', &[], &[0.1]),
        node('S', &[], &[0.3]),
        node('C', &[0, 1], &[0.001, 0.02, 0.03, 0.05]),
        node('X', &[2], &[0.2, 0.9]),
        node('D', &[2], &[0.3, 0.65]),
    ];
    let both: &[(char, u8)] = &[('X', 1), ('D', 1)];
    check_to(
        FILES,
        &nodes,
        &[
            ('C', both, 0.1029191863, 6.610575e-2),
            ('S', both, 0.3485324650, 6.610575e-2),
            ('P', both, 0.1137949422, 6.610575e-2),
        ],
        1e-8,
    );
}

/// Chance of each cause.
const PRIORS: [f64; 5] = [0.08, 0.05, 0.03, 0.10, 0.02];
/// Chance of each finding without a cause.
const LEAKS: [f64; 8] = [0.02, 0.03, 0.01, 0.05, 0.02, 0.04, 0.01, 0.03];
/// Chance in hundredths that a cause alone makes a finding.
const LINKS: [[u8; 8]; 5] = [
    [80, 60, 0, 30, 0, 10, 0, 20],
    [0, 25, 70, 0, 40, 0, 15, 0],
    [10, 0, 20, 60, 0, 75, 0, 5],
    [35, 0, 0, 50, 0, 0, 65, 30],
    [20, 85, 0, 0, 55, 30, 0, 90],
];

/// Findings seen or not; chance of that; chance of each cause; the likeliest set of causes, first
/// cause first, and its chance.
type Case = (&'static [(usize, bool)], f64, [f64; 5], &'static str, f64);

const CASES: [Case; 10] = [
    (
        &[],
        1.0,
        [0.0800000000, 0.0500000000, 0.0300000000, 0.1000000000, 0.0200000000],
        "00000",
        0.7477419600,
    ),
    (
        &[(0, true)],
        0.1210104042976,
        [0.5369334745, 0.0500000000, 0.0512011224, 0.3371069385, 0.0485882618],
        "10000",
        0.4320034832,
    ),
    (
        &[(1, true), (7, true)],
        0.02998221904498,
        [0.4471991288, 0.0749477459, 0.0335782019, 0.1683505391, 0.5226658689],
        "00001",
        0.3927278650,
    ),
    (
        &[(0, true), (3, true), (2, false)],
        0.04289135722898,
        [0.5466982702, 0.0155440415, 0.0770116418, 0.5025735239, 0.0275595130],
        "10000",
        0.4042222108,
    ),
    (
        &[(0, true), (1, true), (2, true), (3, true), (4, true), (5, true), (6, true), (7, true)],
        1.188429664233e-05,
        [0.4809164473, 0.8188951062, 0.3516139951, 0.7754383614, 0.5374404492],
        "01011",
        0.1920478923,
    ),
    (
        &[
            (0, false),
            (1, false),
            (2, false),
            (3, false),
            (4, false),
            (5, false),
            (6, false),
            (7, false),
        ],
        0.6164875349383,
        [0.0034938373, 0.0060032174, 0.0021109982, 0.0087696353, 0.0000771369],
        "00000",
        0.9796891531,
    ),
    (
        &[
            (0, true),
            (1, false),
            (2, false),
            (3, true),
            (4, false),
            (5, false),
            (6, true),
            (7, false),
        ],
        0.007018744834758,
        [0.0773976689, 0.0084157208, 0.0107922681, 0.9914137080, 0.0001287854],
        "00010",
        0.9043474552,
    ),
    (
        &[(1, true), (4, true), (7, true), (2, false), (6, false)],
        0.008014024695023,
        [0.1174551345, 0.0312246982, 0.0246178620, 0.0418170786, 0.9594114075],
        "00001",
        0.8049835584,
    ),
    (
        &[(2, true), (4, true)],
        0.0152125372388,
        [0.0800000000, 0.9693606969, 0.0434525704, 0.1000000000, 0.0451992598],
        "01000",
        0.7492884493,
    ),
    (
        &[(5, true), (3, true), (0, false)],
        0.01531485459552,
        [0.0633132409, 0.0500000000, 0.7513488256, 0.1572942780, 0.0390687578],
        "00100",
        0.6275701256,
    ),
];

/// Chance that a finding shows, with causes by bit; the leak is one more cause.
fn shows(finding: usize, causes: usize) -> f64 {
    let none: f64 = (0..5)
        .filter(|i| causes >> i & 1 == 1)
        .map(|i| 1.0 - f64::from(LINKS[i][finding]) / 100.0)
        .product();
    1.0 - (1.0 - LEAKS[finding]) * none
}

fn engine() -> Network {
    let causes = PRIORS.iter().enumerate().map(|(i, prior)| Mechanism {
        id: format!("c{i}"),
        bins: vec![Bin { from: 0.0, to: 12.0, prior: *prior }],
        parents: Vec::new(),
        since_installation: false,
    });
    let findings = LEAKS.iter().enumerate().map(|(j, leak)| Finding {
        id: format!("f{j}"),
        leak: vec![1.0 - leak, 1.0],
        rows: (0..5)
            .filter(|i| LINKS[*i][j] > 0)
            .map(|i| Row {
                mechanism: i,
                bins: vec![vec![1.0 - f64::from(LINKS[i][j]) / 100.0, 1.0]],
            })
            .collect(),
        effort: 1.0,
        staff: false,
        reading: false,
        coarse: false,
    });
    Network::new(causes.collect(), findings.collect()).unwrap()
}

#[test]
fn independent_causes_by_enumeration_and_by_the_engine() {
    let mut nodes: Vec<Node> = PRIORS.iter().map(|prior| node('c', &[], &[*prior])).collect();
    for j in 0..8 {
        let chances: Vec<f64> = (0..32).map(|causes| shows(j, causes)).collect();
        nodes.push(node('f', &[0, 1, 2, 3, 4], &chances));
    }
    let network = engine();
    let mut rows = Vec::new();
    for (seen, p, causes, likeliest, best) in CASES {
        let evidence: Vec<(usize, bool)> = seen.iter().map(|(j, on)| (j + 5, *on)).collect();
        let (total, truth) = enumerate(&nodes, &evidence);
        let given = seen
            .iter()
            .fold(Evidence::new(), |given, (j, on)| given.with(*j, Seen::grade(usize::from(*on))));
        let posterior = infer(&network, &given).unwrap();
        rows.push(row(format!("{seen:?}"), total, p, 1e-9));
        rows.push(row(format!("{seen:?} engine"), posterior.log_evidence.exp(), p, 1e-9));
        for (i, stated) in causes.iter().enumerate() {
            rows.push(row(format!("{seen:?} c{i}"), truth[i], *stated, 1e-9));
            rows.push(row(format!("{seen:?} c{i} engine"), posterior.present(i), *stated, 1e-9));
            let apart = posterior.present(i) - truth[i];
            rows.push(row(format!("{seen:?} c{i} apart"), apart, 0.0, 1e-12));
        }
        // The likeliest set, by pinning all causes.
        let pinned = |state: usize| {
            let causes = (0..5).map(|i| (i, state >> i & 1 == 1));
            enumerate(&nodes, &evidence.iter().copied().chain(causes).collect::<Vec<_>>()).0
        };
        let state = (0..32).max_by(|a, b| pinned(*a).total_cmp(&pinned(*b))).unwrap();
        let text: String = (0..5).map(|i| if state >> i & 1 == 1 { '1' } else { '0' }).collect();
        assert_eq!(text, likeliest, "{seen:?}");
        rows.push(row(format!("{seen:?} set"), pinned(state) / total, best, 1e-9));
    }
    hold("enumeration with exact fractions in Python's standard library", &rows);
}

#[test]
fn the_leak_is_one_more_cause() {
    // The other form, in which links were measured with the leak present, gives 0.867347.
    let on = 1.0 - (1.0 - 0.02) * (1.0 - 0.80) * (1.0 - 0.35);
    let other: f64 = 1.0 - 0.98 * (0.2 / 0.98) * (0.65 / 0.98);
    let rows = [
        row("c0 and c3 on f0", shows(0, 0b1001), on, 1e-12),
        row("stated", on, 0.872600, 1e-9),
        row("other form", other, 0.867347, 1e-6),
    ];
    hold("arithmetic; addNoisyORNet and addNoisyOR of pyAgrum 3.3.1", &rows);
}
