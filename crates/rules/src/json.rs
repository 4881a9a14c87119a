//! Results as JSON text: numbers to twelve significant digits, what has no value as `null`.

use crate::{
    infer::{Began, Posterior},
    look::NextLooks,
    network::Network,
    weigh::Weight,
};

/// The result of an inference, as `jarlight explain --json` prints it.
pub fn result(
    network: &Network,
    posterior: &Posterior,
    weights: &[Weight],
    next: &NextLooks,
) -> String {
    let mechanisms = list(network.mechanisms().iter().enumerate().map(|(i, m)| {
        let marginal = &posterior.marginals[i];
        let bins = list(m.bins.iter().zip(&marginal.bins).map(|(bin, p)| {
            object(&[("from", number(bin.from)), ("to", number(bin.to)), ("p", number(*p))])
        }));
        object(&[
            ("id", text(&m.id)),
            ("absent", number(marginal.absent)),
            ("bins", bins),
            ("began", began(posterior.began(network, i))),
        ])
    }));
    let finding = |f: usize| text(&network.findings()[f].id);
    let weights = list(weights.iter().map(|w| {
        object(&[
            ("finding", finding(w.finding)),
            ("mechanism", text(&network.mechanisms()[w.mechanism].id)),
            ("decibans", w.decibans.map_or("null".to_owned(), number)),
        ])
    }));
    let next = list(
        next.looks
            .iter()
            .map(|l| object(&[("finding", finding(l.finding)), ("bits", number(l.bits))])),
    );
    object(&[
        ("log_evidence", number(posterior.log_evidence)),
        ("mechanisms", mechanisms),
        ("weights", weights),
        ("next", next),
    ])
}

/// A whole network, as `jarlight explain --network` prints it.
pub fn network(network: &Network) -> String {
    let mechanisms = list(network.mechanisms().iter().map(|m| {
        let bins = list(m.bins.iter().map(|b| {
            object(&[("from", number(b.from)), ("to", number(b.to)), ("prior", number(b.prior))])
        }));
        let absent = 1.0 - m.bins.iter().map(|b| b.prior).sum::<f64>();
        let parents = list(m.parents.iter().map(|(p, factor)| {
            object(&[("id", text(&network.mechanisms()[*p].id)), ("factor", number(*factor))])
        }));
        object(&[
            ("id", text(&m.id)),
            ("absent", number(absent)),
            ("bins", bins),
            ("parents", parents),
            ("since_installation", m.since_installation.to_string()),
        ])
    }));
    let findings = list(network.findings().iter().map(|f| {
        let row = |row: &[f64]| list(row.iter().map(|p| number(*p)));
        let rows = list(f.rows.iter().map(|r| {
            object(&[
                ("mechanism", text(&network.mechanisms()[r.mechanism].id)),
                ("bins", list(r.bins.iter().map(|b| row(b)))),
            ])
        }));
        object(&[
            ("id", text(&f.id)),
            ("grades", f.leak.len().to_string()),
            ("leak", row(&f.leak)),
            ("rows", rows),
            ("effort", number(f.effort)),
            ("staff", f.staff.to_string()),
        ])
    }));
    object(&[("mechanisms", mechanisms), ("findings", findings)])
}

fn began(began: Option<Began>) -> String {
    began.map_or("null".to_owned(), |b| {
        object(&[("p10", number(b.p10)), ("median", number(b.median)), ("p90", number(b.p90))])
    })
}

/// A number to twelve significant digits; `null` when it is not finite.
pub fn number(x: f64) -> String {
    let rounded: f64 = format!("{x:.11e}").parse().unwrap_or(f64::NAN);
    // Adding zero turns a negative zero into a plain one.
    match serde_json::Number::from_f64(rounded + 0.0) {
        Some(n) => n.to_string(),
        None => "null".to_owned(),
    }
}

/// A text in quotation marks.
pub fn text(x: &str) -> String {
    serde_json::Value::from(x).to_string()
}

/// A list of values that are JSON already.
pub fn list(items: impl IntoIterator<Item = String>) -> String {
    format!("[{}]", items.into_iter().collect::<Vec<_>>().join(","))
}

/// An object whose values are JSON already.
pub fn object(fields: &[(&str, String)]) -> String {
    let all: Vec<String> = fields.iter().map(|(k, v)| format!("{}:{v}", text(k))).collect();
    format!("{{{}}}", all.join(","))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_twelve_digits_and_the_rest_is_null() {
        assert_eq!(number(1.0 / 3.0), "0.333333333333");
        assert_eq!(number(-12_345.678_901_234_567), "-12345.6789012");
        assert_eq!(number(f64::INFINITY), "null");
        assert_eq!(number(-0.0), "0.0");
        assert_eq!(number(1.234_567_890_123_45e-40), "1.23456789012e-40");
    }
}
