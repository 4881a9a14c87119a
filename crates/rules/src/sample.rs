//! Draws a cell from a network: which causes are present since when, and what they show.

use crate::network::Network;
use jarlight_model::rng::Rng;

/// When a cause began.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Onset {
    /// Index of the bin.
    pub bin: usize,
    /// Months ago, evenly spread inside the bin.
    pub months: f64,
}

/// A drawn cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// For each cause its onset; `None` when it is absent.
    pub onsets: Vec<Option<Onset>>,
    /// The grade of each finding.
    pub grades: Vec<usize>,
}

/// Draws causes, parents before children, then the findings.
pub fn draw(network: &Network, rng: &mut Rng) -> Drawn {
    let causes = network.mechanisms();
    let mut onsets: Vec<Option<Onset>> = vec![None; causes.len()];
    let mut drawn = vec![false; causes.len()];
    while let Some(i) =
        (0..causes.len()).find(|&i| !drawn[i] && causes[i].parents.iter().all(|(p, _)| drawn[*p]))
    {
        drawn[i] = true;
        let cause = &causes[i];
        let prior = network.prior(i);
        let parents = cause.parents.iter().filter(|(p, _)| onsets[*p].is_some());
        let factor: f64 = parents.map(|(_, f)| f).product();
        let present = prior * factor / (1.0 - prior + prior * factor);
        // Both numbers are drawn always, so that one cause never shifts the stream of another.
        let (here, share, inside) = (rng.unit(), rng.unit(), rng.unit());
        if prior > 0.0 && here < present {
            let mut rest = share * prior;
            let reached = cause.bins.iter().position(|bin| {
                rest -= bin.prior;
                rest < 0.0
            });
            let last = || cause.bins.iter().rposition(|bin| bin.prior > 0.0);
            onsets[i] = reached.or_else(last).map(|bin| {
                let ends = cause.bins[bin];
                Onset { bin, months: ends.from + (ends.to - ends.from) * inside }
            });
        }
    }
    let grades = network
        .findings()
        .iter()
        .map(|finding| {
            let shown = finding.rows.iter().filter_map(|row| {
                let u = rng.unit();
                onsets[row.mechanism].map(|onset| grade(&row.bins[onset.bin], u))
            });
            let worst = shown.max().unwrap_or(0);
            worst.max(grade(&finding.leak, rng.unit()))
        })
        .collect();
    Drawn { onsets, grades }
}

/// The grade at which a cumulative row passes a number from 0 to 1.
fn grade(row: &[f64], u: f64) -> usize {
    row.iter().position(|p| u < *p).unwrap_or(row.len() - 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Bin, Evidence, Finding, Mechanism, Row, Seen, infer};

    fn network() -> Network {
        let bin = |from, to, prior| Bin { from, to, prior };
        let cause = |id: &str, bins, parents| Mechanism {
            id: id.into(),
            bins,
            parents,
            since_installation: false,
        };
        Network::new(
            vec![
                cause("child", vec![bin(0.0, 6.0, 0.1), bin(6.0, 24.0, 0.1)], vec![(1, 4.0)]),
                cause("parent", vec![bin(0.0, 12.0, 0.3)], vec![]),
            ],
            vec![Finding {
                id: "sign".into(),
                leak: vec![0.9, 0.97, 1.0],
                rows: vec![
                    Row { mechanism: 0, bins: vec![vec![0.8, 0.95, 1.0], vec![0.3, 0.6, 1.0]] },
                    Row { mechanism: 1, bins: vec![vec![0.5, 0.9, 1.0]] },
                ],
                effort: 1.0,
                staff: false,
                reading: false,
                coarse: false,
            }],
        )
        .unwrap()
    }

    /// Frequencies of drawn cells agree with the exact probabilities within four standard errors.
    #[test]
    fn drawn_cells_follow_the_network() {
        const N: usize = 40_000;
        let network = network();
        let mut rng = Rng::new(11);
        let mut child = 0;
        let mut old_child = 0;
        let mut signs = [0; 3];
        for _ in 0..N {
            let drawn = draw(&network, &mut rng);
            child += usize::from(drawn.onsets[0].is_some());
            old_child += usize::from(drawn.onsets[0].is_some_and(|o| o.months > 15.0));
            signs[drawn.grades[0]] += 1;
        }
        let check = |count: usize, p: f64| {
            let error = (p * (1.0 - p) / N as f64).sqrt();
            let met = count as f64 / N as f64;
            assert!((met - p).abs() < 4.0 * error, "{met} {p}");
        };
        let prior = infer(&network, &Evidence::new()).unwrap();
        check(child, prior.present(0));
        check(old_child, prior.marginals[0].bins[1] / 2.0);
        for (g, count) in signs.into_iter().enumerate() {
            let seen = Evidence::new().with(0, Seen::grade(g));
            check(count, infer(&network, &seen).unwrap().log_evidence.exp());
        }
    }
}
