//! Does the order of events hold: no later sign without the earlier ones that were looked for.

use crate::{
    evidence::{Evidence, Seen},
    infer::Posterior,
    network::Network,
};

/// Signs that usually follow each other, the first to come first.
///
/// # Source
/// Estimate from trade knowledge that was not looked up.
const SEQUENCES: [&[&str]; 6] = [
    &["post_seal_creep", "post_nodular_corrosion", "copper_insert_exposed", "copper_contamination"],
    &["pos_plate_growth", "post_lift", "cover_bulge", "cover_crack", "jar_cover_leak"],
    &["hydration_line", "lead_tree_separator"],
    &["pos_sulfate_sparkle", "sediment_light"],
    &["gassing_heavy", "sediment_dark", "mat_ballooned", "moss_growth"],
    &["level_high", "cover_wet_acid", "connector_copper_salt"],
];

/// A sign from this grade on is worth a warning; a trace may be a mistaken sighting.
const SURE: usize = 2;

/// Pairs (later sign that is there, earlier sign that was looked for and is not there).
pub(crate) fn missing_signs(network: &Network, evidence: &Evidence) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    for sequence in SEQUENCES {
        let found: Vec<usize> = sequence.iter().filter_map(|id| network.finding_idx(id)).collect();
        for (i, &later) in found.iter().enumerate() {
            let there =
                matches!(evidence.get(later), Some(Seen::Between { low, .. }) if *low >= SURE);
            let earlier = found[..i]
                .iter()
                .rev()
                .find(|&&f| matches!(evidence.get(f), Some(Seen::Between { high: 0, .. })));
            if let (true, Some(&earlier)) = (there, earlier) {
                out.push((later, earlier));
            }
        }
    }
    out
}

/// Pairs (parent, child) that are both more likely than not while the whole stated interval
/// of the child is older than that of the parent.
pub(crate) fn late_parents(network: &Network, posterior: &Posterior) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    for (child, m) in network.mechanisms().iter().enumerate() {
        for &(parent, _) in &m.parents {
            let both = posterior.present(parent) >= 0.5 && posterior.present(child) >= 0.5;
            let dated = !m.since_installation && !network.mechanisms()[parent].since_installation;
            let (Some(p), Some(c)) =
                (posterior.began(network, parent), posterior.began(network, child))
            else {
                continue;
            };
            if both && dated && c.p10 > p.p90 {
                out.push((parent, child));
            }
        }
    }
    out
}
