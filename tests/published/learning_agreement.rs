//! Agreement of judges.

use jarlight_measure::agreement::{Table, Weights};
use jarlight_measure::observers::{Scale, alpha, fleiss};

use super::{hold, row, six};

fn table(rows: &[&[u32]]) -> Table {
    Table::new(rows.iter().map(|row| row.to_vec()).collect()).unwrap()
}

fn kappa(rows: &[&[u32]]) -> f64 {
    table(rows).kappa(Weights::Nominal).unwrap().kappa.value
}

#[test]
fn two_judges() {
    let met = table(&[&[20, 5], &[10, 15]]).kappa(Weights::Nominal).unwrap();
    let skewed = table(&[&[45, 15], &[25, 15]]);
    let paradox = table(&[&[118, 5], &[2, 0]]);
    let rows = [
        six("kappa", met.kappa.value, 0.4),
        six("SE", met.se, 0.126996),
        six("null SE", met.null_se, 0.138564),
        six("skewed", kappa(&[&[45, 15], &[25, 15]]), 0.130435),
        six("skewed the other way", kappa(&[&[25, 35], &[5, 35]]), 0.259259),
        six("same agreement", met_agreement(&[&[45, 15], &[25, 15]]), 0.60),
        six("same agreement, other way", met_agreement(&[&[25, 35], &[5, 35]]), 0.60),
        six("paradox, agreement", met_agreement(&[&[118, 5], &[2, 0]]), 0.944),
        six("paradox, kappa", kappa(&[&[118, 5], &[2, 0]]), -0.023392),
        six("paradox, AC1", paradox.ac1(), 0.940776),
        six("paradox, balanced", paradox.balanced_kappa().unwrap(), 0.888),
        six("skewed, AC1", skewed.ac1(), 0.266055),
        six("skewed, balanced", skewed.balanced_kappa().unwrap(), 0.2),
    ];
    hold("statsmodels 0.15.0 and numpy 2.4.6", &rows);
    // Source: arithmetic, 2·118/243 and 0.
    let (yes, no) = paradox.specific().unwrap();
    hold("arithmetic", &[six("on yes", yes, 236.0 / 243.0), six("on no", no, 0.0)]);
}

fn met_agreement(rows: &[&[u32]]) -> f64 {
    table(rows).kappa(Weights::Nominal).unwrap().observed
}

#[test]
fn two_pathologists_remembered_counts() {
    let carcinoma = table(&[&[22, 2, 2, 0], &[5, 7, 14, 0], &[0, 2, 36, 0], &[0, 1, 17, 10]]);
    let mut rows = Vec::new();
    for (weights, value, se) in [
        (Weights::Nominal, 0.493006, 0.056743),
        (Weights::Linear, 0.648809, 0.047652),
        (Weights::Quadratic, 0.783822, 0.038670),
    ] {
        let met = carcinoma.kappa(weights).unwrap();
        rows.push(six(format!("{weights:?}"), met.kappa.value, value));
        rows.push(six(format!("{weights:?} SE"), met.se, se));
    }
    hold("Agresti's carcinoma example, counts from memory; statsmodels 0.15.0", &rows);
    let met = carcinoma.kappa(Weights::Nominal).unwrap();
    let rows = [
        row("kappa as published", met.kappa.value, 0.493, 5e-4),
        row("SE as published", met.se, 0.057, 5e-4),
    ];
    hold("Agresti, from memory", &rows);
}

#[test]
fn inspectors_of_one_hundred_cells() {
    // Both yes, first only, second only, neither.
    let both = table(&[&[40, 9], &[6, 45]]);
    let met = both.kappa(Weights::Nominal).unwrap();
    let rows = [
        row("agreement", met.observed, 0.85, 1e-7),
        row("kappa", met.kappa.value, 0.6995192, 1e-7),
        row("Matthews", both.correlation().unwrap(), 0.7007858, 1e-7),
        row("sensitivity", 40.0 / 46.0, 0.8695652, 1e-7),
        row("specificity", 45.0 / 54.0, 0.8333333, 1e-7),
    ];
    hold("scipy 1.17.1", &rows);
}

#[test]
fn fourteen_judges() {
    let rows = [
        [0, 0, 0, 0, 14],
        [0, 2, 6, 4, 2],
        [0, 0, 3, 5, 6],
        [0, 3, 9, 2, 0],
        [2, 2, 8, 1, 1],
        [7, 7, 0, 0, 0],
        [3, 2, 6, 3, 0],
        [2, 5, 3, 2, 2],
        [6, 5, 2, 1, 0],
        [0, 2, 2, 3, 7],
    ]
    .map(Vec::from);
    let met = fleiss(&rows).unwrap();
    hold("statsmodels 0.15.0", &[six("kappa", met, 0.209931)]);
    hold("the published 0.210, from memory", &[row("kappa", met, 0.210, 5e-4)]);
}

/// Values of four observers of twelve units, 0 where there is none.
const OBSERVERS: [[u32; 12]; 4] = [
    [1, 2, 3, 3, 2, 1, 4, 1, 2, 0, 0, 0],
    [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, 0, 3],
    [0, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, 0],
    [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, 0],
];

#[test]
fn observers_with_gaps() {
    let units: Vec<Vec<u32>> = (0..12)
        .map(|unit| OBSERVERS.iter().map(|row| row[unit]).filter(|value| *value != 0).collect())
        .collect();
    let pairable: Vec<u32> = units.iter().filter(|u| u.len() >= 2).flatten().copied().collect();
    assert_eq!(pairable.len(), 40);
    let margin = |value| pairable.iter().filter(|v| **v == value).count();
    assert_eq!([1, 2, 3, 4, 5].map(margin), [9, 13, 10, 5, 3]);
    let mut rows = Vec::new();
    for (scale, stated, published) in [
        (Scale::Nominal, 0.743421, 0.743),
        (Scale::Ordinal, 0.815388, 0.815),
        (Scale::Interval, 0.849107, 0.849),
        (Scale::Ratio, 0.797403, 0.797),
    ] {
        let met = alpha(&units, scale).unwrap();
        rows.push(six(format!("{scale:?}"), met, stated));
        rows.push(row(format!("{scale:?}, published"), met, published, 5e-4));
    }
    hold("numpy 2.4.6; published digits from memory, formulas of Krippendorff's 2007 note", &rows);
}
