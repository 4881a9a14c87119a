//! Speed of the engine beside a general library, on the part of the catalogue that one can hold.
//!
//! Writes that part with our answers and times as JSON to the file that `JARLIGHT_PEER` names,
//! for `tests/bench/peer.py`, which asks the library in the same run.

use jarlight_model::{catalogue::Catalogue, rng::Rng};
use jarlight_rules::{Bin, Cell, Evidence, Finding, Mechanism, Network, Row, Seen, infer, sample};
use std::{hint::black_box, time::Instant};

/// A library's tables double with each parent; with more than four it holds too little.
const MOST_PARENTS: usize = 4;

/// Median of the time of one call in seconds.
fn median(mut call: impl FnMut()) -> f64 {
    call();
    let mut times: Vec<f64> = (0..201)
        .map(|_| {
            let start = Instant::now();
            call();
            start.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// Presence only: one bin for each cause, two grades for each finding.
fn presence(full: &Network, catalogue: &Catalogue) -> Network {
    let mechanisms = full
        .mechanisms()
        .iter()
        .enumerate()
        .map(|(i, m)| Mechanism {
            bins: vec![Bin { from: 0.0, to: 120.0, prior: full.prior(i) }],
            ..m.clone()
        })
        .collect();
    let findings = full
        .findings()
        .iter()
        .filter(|f| f.rows.len() <= MOST_PARENTS)
        .map(|f| {
            let leak = catalogue
                .condition(&f.id)
                .and_then(|c| c.leak)
                .or_else(|| catalogue.quantity(&f.id).map(|q| q.leak))
                .unwrap_or(0.01);
            let rows = f
                .rows
                .iter()
                .map(|r| {
                    let link = catalogue.mechanisms[r.mechanism].links.get(&f.id);
                    let w = link.map_or(0.0, |l| l.probability());
                    Row { mechanism: r.mechanism, bins: vec![vec![1.0 - w, 1.0]] }
                })
                .collect();
            Finding { leak: vec![1.0 - leak, 1.0], rows, ..f.clone() }
        })
        .collect();
    #[expect(clippy::expect_used, reason = "a part of a sound network is sound")]
    Network::new(mechanisms, findings).expect("a sound network")
}

/// Evidence with so many positive findings: those of a drawn cell first, then others.
fn evidence(network: &Network, positives: usize) -> (Evidence, Vec<usize>) {
    let mut rng = Rng::new(31);
    let drawn = sample::draw(network, &mut rng);
    let n = drawn.grades.len();
    let mut order: Vec<usize> = (0..n).collect();
    rng.shuffle(&mut order);
    order.sort_by_key(|f| usize::from(drawn.grades[*f] == 0));
    let mut evidence = Evidence::new();
    for (i, f) in order.iter().enumerate() {
        let top = network.findings()[*f].leak.len() - 1;
        let grade = if i < positives { drawn.grades[*f].clamp(1, top) } else { 0 };
        evidence.set(*f, Seen::grade(grade));
    }
    order.truncate(positives);
    (evidence, order)
}

fn main() {
    let catalogue = Catalogue::builtin();
    #[expect(clippy::expect_used, reason = "the shipped design is embedded")]
    let design = catalogue.designs.get("medium_pasted").expect("the shipped design");
    let cell = Cell::of_design(design, 108.0);
    #[expect(clippy::expect_used, reason = "the shipped catalogue is tested")]
    let full = Network::from_catalogue(catalogue, &cell).expect("a network");
    let frame = 1.0 / 60.0;
    let mut lines = Vec::new();
    for positives in [10, 14] {
        let (seen, _) = evidence(&full, positives);
        let time = median(|| {
            black_box(infer(&full, black_box(&seen)).ok());
        });
        lines.push(format!(
            "full catalogue, {positives} positive findings: {:.3} ms, {:.3} of a 60 Hz frame",
            time * 1e3,
            time / frame
        ));
    }
    let part = presence(&full, catalogue);
    let (seen, positive) = evidence(&part, 10);
    let time = median(|| {
        black_box(infer(&part, black_box(&seen)).ok());
    });
    lines.push(format!(
        "presence only, {} causes, {} findings with at most {MOST_PARENTS} causes, 10 positive: {:.4} ms",
        part.mechanisms().len(),
        part.findings().len(),
        time * 1e3
    ));
    let report = lines.join("\n");
    #[expect(clippy::print_stdout, reason = "a benchmark is there to be read")]
    {
        println!("{report}");
    }
    let Ok(path) = std::env::var("JARLIGHT_PEER") else { return };
    #[expect(clippy::expect_used, reason = "the part has been asked above")]
    let posterior = infer(&part, &seen).expect("an answer");
    let causes: Vec<serde_json::Value> = part
        .mechanisms()
        .iter()
        .enumerate()
        .map(|(i, m)| {
            serde_json::json!({
                "id": m.id, "prior": part.prior(i), "parents": m.parents,
                "posterior": posterior.present(i),
            })
        })
        .collect();
    let findings: Vec<serde_json::Value> = part
        .findings()
        .iter()
        .enumerate()
        .map(|(f, finding)| {
            let links: Vec<(usize, f64)> =
                finding.rows.iter().map(|r| (r.mechanism, 1.0 - r.bins[0][0])).collect();
            serde_json::json!({
                "id": finding.id, "leak": 1.0 - finding.leak[0], "links": links,
                "present": positive.contains(&f),
            })
        })
        .collect();
    let whole = serde_json::json!({ "seconds": time, "causes": causes, "findings": findings });
    #[expect(clippy::expect_used, reason = "a benchmark that cannot write has failed")]
    std::fs::write(path, whole.to_string()).expect("the file can be written");
}
