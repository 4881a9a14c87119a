//! Published and computed values of the trade, each held against the reading that it belongs to.
//!
//! One file a topic in `tests/published`; each table stands beside its source and each row
//! beside its tolerance. Rows whose stated value is only remembered say so.

#![expect(clippy::unwrap_used, reason = "a value that cannot be had fails its test")]
#![expect(clippy::approx_constant, reason = "stated values stand as they were stated")]

#[path = "../../../tests/published/numbers_acid.rs"]
mod acid;
#[path = "../../../tests/published/numbers_gas.rs"]
mod gas;
#[path = "../../../tests/published/numbers_gravity.rs"]
mod gravity;
#[path = "../../../tests/published/numbers_life.rs"]
mod life;
#[path = "../../../tests/published/numbers_networks.rs"]
mod networks;
#[path = "../../../tests/published/numbers_plates.rs"]
mod plates;
#[path = "../../../tests/published/numbers_trend.rs"]
mod trend;
#[path = "../../../tests/published/numbers_vectors.rs"]
mod vectors;
#[path = "../../../tests/published/numbers_voltage.rs"]
mod voltage;

/// What is compared, the value met, the value stated, and how near it must be.
type Row = (String, f64, f64, f64);

/// A row within an absolute tolerance.
fn row(what: impl Into<String>, met: f64, stated: f64, within: f64) -> Row {
    (what.into(), met, stated, within)
}

/// A row within four significant figures, the usual tolerance.
fn four(what: impl Into<String>, met: f64, stated: f64) -> Row {
    row(what, met, stated, stated.abs() * 1e-4)
}

/// Fails with every row that is off, not only the first.
#[track_caller]
fn hold(source: &str, rows: &[Row]) {
    assert!(!rows.is_empty(), "no rows from {source}");
    let off: Vec<String> = rows
        .iter()
        .filter(|(_, met, stated, within)| {
            // Not-a-number is never near, so it counts as off.
            let near = (met - stated).abs() <= *within;
            !near
        })
        .map(|(what, met, stated, within)| format!("{what}: met {met}, stated {stated} ± {within}"))
        .collect();
    assert!(off.is_empty(), "{} of {} off ({source}):\n{}", off.len(), rows.len(), off.join("\n"));
}
