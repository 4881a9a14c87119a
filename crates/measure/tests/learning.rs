//! Published and computed values of measurement, each held against the function it belongs to.
//!
//! One file a topic in `tests/published`; each table stands beside its source and each row
//! beside its tolerance. Rows whose stated value is only remembered say so.

#![expect(clippy::unwrap_used, reason = "a value that cannot be had fails its test")]

#[path = "../../../tests/published/learning_agreement.rs"]
mod agreement;
#[path = "../../../tests/published/learning_calibration.rs"]
mod calibration;
#[path = "../../../tests/published/learning_detection.rs"]
mod detection;
#[path = "../../../tests/published/learning_items.rs"]
mod items;
#[path = "../../../tests/published/learning_marking.rs"]
mod marking;
#[path = "../../../tests/published/learning_proportion.rs"]
mod proportion;

/// What is compared, the value met, the value stated, and how near it must be.
type Row = (String, f64, f64, f64);

/// A row within an absolute tolerance.
fn row(what: impl Into<String>, met: f64, stated: f64, within: f64) -> Row {
    (what.into(), met, stated, within)
}

/// A row within one millionth, the usual tolerance.
fn six(what: impl Into<String>, met: f64, stated: f64) -> Row {
    row(what, met, stated, 1e-6)
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
