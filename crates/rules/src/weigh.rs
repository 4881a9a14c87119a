//! The weight of every finding for every cause, by leaving the finding out.
//!
//! # Source
//! Good 1950, "Probability and the weighing of evidence": ten times the decimal logarithm of a
//! ratio of odds. Leaving one finding out keeps it honest when causes compete.

use crate::{
    evidence::{Evidence, Seen},
    infer::{InferError, Posterior, infer_some},
    network::Network,
};

/// How much one finding speaks for one cause.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weight {
    /// Index of the finding.
    pub finding: usize,
    /// Index of the cause.
    pub mechanism: usize,
    /// Decibans for (over 0) or against (under 0); `None` when it has no finite value.
    pub decibans: Option<f64>,
}

/// Differences under this are rounding.
const NOISE: f64 = 1e-11;

/// Weights of all inspected findings for all causes, findings in the order of the network.
pub fn weights(
    network: &Network,
    evidence: &Evidence,
    posterior: &Posterior,
) -> Result<Vec<Weight>, InferError> {
    let n = network.mechanisms().len();
    let groups = related(network, evidence);
    let mut out = Vec::new();
    for (finding, _) in evidence.iter() {
        // Only causes that hang together with one of the finding's causes can be moved by it.
        let touched: Vec<bool> =
            (0..n).map(|i| network.causes(finding).any(|c| groups[c] == groups[i])).collect();
        let without = match infer_some(network, &evidence.without(finding), Some(&touched)) {
            Ok(posterior) => Some(posterior),
            Err(InferError::Impossible) => None,
            Err(e) => return Err(e),
        };
        for (mechanism, &moved) in touched.iter().enumerate() {
            let decibans = if !posterior.log_odds(mechanism).is_finite() {
                None
            } else if moved {
                without.as_ref().and_then(|w| {
                    let d = posterior.log_odds(mechanism) - w.log_odds(mechanism);
                    let decibans = d * 10.0 / std::f64::consts::LN_10;
                    let settled = if decibans.abs() < NOISE { 0.0 } else { decibans };
                    decibans.is_finite().then_some(settled)
                })
            } else {
                Some(0.0)
            };
            out.push(Weight { finding, mechanism, decibans });
        }
    }
    Ok(out)
}

/// A number for each cause, equal for those that evidence or chains tie together.
fn related(network: &Network, evidence: &Evidence) -> Vec<usize> {
    let n = network.mechanisms().len();
    let mut group: Vec<usize> = (0..n).collect();
    let mut join = |a: usize, b: usize| {
        let (from, to) = (group[a].max(group[b]), group[a].min(group[b]));
        group.iter_mut().filter(|g| **g == from).for_each(|g| *g = to);
    };
    for i in 0..n {
        for &(child, _) in network.children(i) {
            join(i, child);
        }
    }
    for (finding, seen) in evidence.iter() {
        // A clean finding is a product over its causes and ties none of them together.
        if !matches!(seen, Seen::Between { low: 0, .. }) {
            let mut causes = network.causes(finding);
            if let Some(first) = causes.next() {
                causes.for_each(|c| join(first, c));
            }
        }
    }
    group
}
