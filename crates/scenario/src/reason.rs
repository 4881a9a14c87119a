//! The one place where a question asks the rules: from what a scene shows to causes and ages.

use crate::{
    feedback::{BeganLine, CauseLine},
    format::Scene,
    picture::Picture,
};
use jarlight_model::{
    catalogue::Catalogue,
    text::{tr, tr_with},
    unit::months_text,
};
use jarlight_rules::{Cell, Evidence, Network, Posterior, infer, looks_about, weights};
use std::collections::BTreeSet;

/// How many causes are told.
const MOST_CAUSES: usize = 4;
/// How many next looks are told.
const MOST_LOOKS: usize = 3;
/// Causes less likely than this are not told.
const LEAST: f64 = 0.05;

/// What the rules say about a scene.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reasoned {
    /// Causes by falling probability.
    pub causes: Vec<CauseLine>,
    /// What to look at next, the most telling first, as whole sentences or requests.
    pub next: Vec<String>,
}

/// A network with what was seen on one picture.
struct Asked {
    network: Network,
    evidence: Evidence,
    posterior: Posterior,
    /// Causes that can show what the picture shows; the others are as likely as without it.
    linked: BTreeSet<usize>,
}

/// Which findings a network needs.
#[derive(Clone, Copy, PartialEq)]
enum Findings {
    /// All, where looks that were not taken matter.
    All,
    /// Those that were seen or told; posteriors are the same, and much quicker.
    Seen,
}

/// Asks the rules about what the picture shows; `None` when it shows no finding.
///
/// What the scene tells counts as seen or as clean; all else counts as not looked at.
fn ask(catalogue: &Catalogue, scene: &Scene, picture: &Picture, of: Findings) -> Option<Asked> {
    let design = catalogue.designs.get(&picture.specimen.design)?;
    let mut cell = Cell::of_design(design, picture.specimen.age_months.max(1.0));
    cell.scope = scene.scope;
    cell.temperature = scene.temperature.as_ref().map(|t| t.value);
    let cured = scene.cured.entries.iter();
    cell.cured = cured.map(|(id, months)| (id.value.clone(), months.value)).collect();
    let seen = |id: &str| {
        scene.told.get(id).is_some()
            || picture.specimen.occurrences.iter().any(|o| o.condition.as_str() == id)
    };
    let wanted = |id: &str| of == Findings::All || seen(id);
    let network = Network::from_catalogue_for(catalogue, &cell, wanted).ok()?;
    let mut evidence = Evidence::new();
    let mut shown = BTreeSet::new();
    for o in &picture.specimen.occurrences {
        // A harmless look-alike is no finding.
        if let Some(finding) = network.finding_idx(&o.condition) {
            let grade = usize::from(o.severity.grade().value());
            evidence.set(finding, network.findings()[finding].seen(grade));
            shown.insert(finding);
        }
    }
    for (id, grade) in &scene.told.entries {
        if let Some(finding) = network.finding_idx(&id.value) {
            // A reading has two grades only: within its limit, and over it.
            let finding_is = &network.findings()[finding];
            let grade = usize::from(grade.value).min(finding_is.leak.len() - 1);
            evidence.set(finding, finding_is.seen(grade));
        }
    }
    if shown.is_empty() {
        return None;
    }
    let posterior = infer(&network, &evidence).ok()?;
    let linked = shown.iter().flat_map(|finding| network.causes(*finding)).collect();
    Some(Asked { network, evidence, posterior, linked })
}

/// What the rules say about a picture; nothing when it shows no finding.
pub fn reason(catalogue: &Catalogue, scene: &Scene, picture: &Picture) -> Reasoned {
    let asked = ask(catalogue, scene, picture, Findings::All);
    let Some(Asked { network, evidence, posterior, linked }) = asked else {
        return Reasoned::default();
    };
    let mut causes: Vec<(usize, f64)> = linked.iter().map(|&i| (i, posterior.present(i))).collect();
    causes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let lines = causes.iter().filter(|(_, p)| *p >= LEAST).take(MOST_CAUSES).map(|&(i, p)| {
        let id = &network.mechanisms()[i].id;
        CauseLine {
            id: id.clone(),
            name: catalogue.name_of(id),
            plain: catalogue.mechanism(id).map(|m| m.plain.clone()).unwrap_or_default(),
            percent: 100.0 * p,
            words: tr(word(p)),
            began: posterior.began(&network, i).map(|b| BeganLine {
                p10: b.p10,
                median: b.median,
                p90: b.p90,
                text: tr_with(
                    "began-between",
                    &[("from", &months_text(b.p10)), ("to", &months_text(b.p90))],
                ),
            }),
        }
    });
    let looks = told_most(&network, &evidence, &posterior, &linked);
    let next = looks.iter().take(MOST_LOOKS).filter_map(|look| {
        let id = &network.findings()[look.finding].id;
        match catalogue.quantity(id) {
            Some(quantity) => Some(quantity.ask.clone()),
            None => catalogue.condition(id).map(|c| c.name.clone()),
        }
    });
    Reasoned { causes: lines.collect(), next: next.collect() }
}

/// Looks by what they tell about the causes that can show what the picture shows.
fn told_most(
    network: &Network,
    evidence: &Evidence,
    posterior: &Posterior,
    linked: &BTreeSet<usize>,
) -> Vec<jarlight_rules::Look> {
    // The nearer to even odds, the more there is to learn.
    let distance = |i: usize| (posterior.present(i) - 0.5).abs();
    let mut causes: Vec<usize> = linked.iter().copied().collect();
    causes.sort_by(|&a, &b| distance(a).total_cmp(&distance(b)).then(a.cmp(&b)));
    looks_about(network, evidence, &causes).map(|n| n.looks).unwrap_or_default()
}

/// What each look that was not taken would tell about the causes of what is shown, in bits.
pub(crate) fn looks(catalogue: &Catalogue, scene: &Scene, picture: &Picture) -> Vec<(String, f64)> {
    let asked = ask(catalogue, scene, picture, Findings::All);
    let Some(Asked { network, evidence, posterior, linked }) = asked else {
        return Vec::new();
    };
    let all = told_most(&network, &evidence, &posterior, &linked).into_iter();
    all.map(|look| (network.findings()[look.finding].id.clone(), look.bits)).collect()
}

/// How much each finding that was seen or told speaks for a cause, in decibans.
pub(crate) fn weights_for(
    catalogue: &Catalogue,
    scene: &Scene,
    picture: &Picture,
    cause: &str,
) -> Vec<(String, f64)> {
    let asked = ask(catalogue, scene, picture, Findings::Seen);
    let Some(Asked { network, evidence, posterior, .. }) = asked else { return Vec::new() };
    let Some(cause) = network.mechanism_idx(cause) else { return Vec::new() };
    let all = weights(&network, &evidence, &posterior).unwrap_or_default().into_iter();
    all.filter(|w| w.mechanism == cause)
        .filter_map(|w| Some((network.findings()[w.finding].id.clone(), w.decibans?)))
        .collect()
}

/// A cause with its probability, and when it began.
pub(crate) struct Likely {
    pub id: String,
    pub present: f64,
    pub began: Option<(f64, f64)>,
}

/// Probability of each cause that can show what a picture shows, and when it began.
pub(crate) fn posterior(catalogue: &Catalogue, scene: &Scene, picture: &Picture) -> Vec<Likely> {
    let asked = ask(catalogue, scene, picture, Findings::Seen);
    let Some(Asked { network, posterior, linked, .. }) = asked else { return Vec::new() };
    let all = network.mechanisms().iter().enumerate().filter(|(i, _)| linked.contains(i));
    all.map(|(i, m)| {
        let began = posterior.began(&network, i).map(|b| (b.p10, b.p90));
        Likely { id: m.id.clone(), present: posterior.present(i), began }
    })
    .collect()
}

/// The key of the word for a posterior probability.
fn word(p: f64) -> &'static str {
    match p {
        p if p >= 0.95 => "word-almost-certain",
        p if p >= 0.70 => "word-likely",
        p if p >= 0.20 => "word-possible",
        p if p >= 0.05 => "word-unlikely",
        _ => "word-hardly",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Scenario, shipped};

    #[test]
    fn a_network_of_what_was_seen_gives_the_same_posteriors() {
        let catalogue = Catalogue::builtin();
        let mut compared = 0;
        for source in shipped() {
            let scenario = Scenario::read(&source, catalogue).value.unwrap();
            for (name, scene) in &scenario.file.scenes.entries {
                let picture = Picture::of(scene, &name.value, 4);
                let Some(small) = ask(catalogue, scene, &picture, Findings::Seen) else { continue };
                let whole = ask(catalogue, scene, &picture, Findings::All).unwrap();
                for (i, m) in small.network.mechanisms().iter().enumerate() {
                    let j = whole.network.mechanism_idx(&m.id).unwrap();
                    let (a, b) = (small.posterior.present(i), whole.posterior.present(j));
                    assert!((a - b).abs() < 1e-12, "{}: {a} and {b}", m.id);
                    compared += 1;
                }
            }
        }
        assert!(compared > 40, "{compared}");
    }
}
