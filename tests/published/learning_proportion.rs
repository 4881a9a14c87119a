//! Intervals of a proportion.

use jarlight_measure::proportion::*;

use super::{hold, row, six};

/// Successes, attempts, lower and upper end.
const WILSON: [(u32, u32, f64, f64); 4] = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0000, 0.1611),
    (1, 29, 0.0061, 0.1718),
];

#[test]
fn score_intervals() {
    let mut rows = Vec::new();
    for (k, n, low, high) in WILSON {
        let met = wilson(k, n).unwrap();
        rows.push(row(format!("{k} of {n} from"), met.low, low, 5.1e-5));
        rows.push(row(format!("{k} of {n} to"), met.high, high, 5.1e-5));
    }
    hold("Newcombe 1998, Statistics in Medicine 17:857-872, worked cases", &rows);
    let met = wilson(40, 46).unwrap();
    let rows = [
        row("40 of 46", met.value, 0.8695652, 1e-7),
        row("from", met.low, 0.7433414, 1e-7),
        row("to", met.high, 0.9388216, 1e-7),
    ];
    hold("scipy 1.17.1", &rows);
}

#[test]
fn exact_bounds() {
    let rows = [
        six("3 of 40", exact_upper(3, 40, 0.95).unwrap(), 0.182587),
        six("0 of 40", exact_upper(0, 40, 0.95).unwrap(), 0.072158),
    ];
    hold("scipy 1.17.1 beta quantiles", &rows);
}

#[test]
fn coverage_of_twenty_intervals() {
    let rows = [
        row("14 or fewer", at_most(14, 20, 0.8), 0.196, 5e-4),
        row("13 or fewer", at_most(13, 20, 0.8), 0.087, 5e-4),
    ];
    hold("scipy 1.17.1 binomial", &rows);
    assert_eq!(usual_range(20, 0.8), (12, 19));
}
