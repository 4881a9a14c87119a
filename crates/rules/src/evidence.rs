//! What was looked at: grades, ranges of grades, and what someone thinks to have seen.

use crate::network::Network;

/// What was seen of one finding.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// The grade is one of these; 0 to 0 is "looked, and it is clean".
    Between {
        /// Lowest possible grade.
        low: usize,
        /// Highest possible grade.
        high: usize,
    },
    /// A likelihood for each grade: "I think I saw it".
    Perhaps(Vec<f64>),
}

impl Seen {
    /// One grade.
    pub const fn grade(grade: usize) -> Self {
        Self::Between { low: grade, high: grade }
    }
}

/// Everything that was looked at; a finding that is not here was not inspected.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evidence {
    seen: Vec<(usize, Seen)>,
}

/// A finding whose grade is known to lie in a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Limit {
    pub finding: usize,
    pub low: usize,
    pub high: usize,
}

impl Evidence {
    /// Nothing looked at.
    pub const fn new() -> Self {
        Self { seen: Vec::new() }
    }

    /// Sets what was seen of a finding, instead of what was set before.
    pub fn set(&mut self, finding: usize, seen: Seen) {
        self.clear(finding);
        let place = self.seen.partition_point(|(f, _)| *f < finding);
        self.seen.insert(place, (finding, seen));
    }

    /// The same with one finding more.
    #[must_use]
    pub fn with(mut self, finding: usize, seen: Seen) -> Self {
        self.set(finding, seen);
        self
    }

    /// Takes a finding back: it was not inspected.
    pub fn clear(&mut self, finding: usize) {
        self.seen.retain(|(f, _)| *f != finding);
    }

    /// The same without one finding.
    #[must_use]
    pub fn without(&self, finding: usize) -> Self {
        let mut rest = self.clone();
        rest.clear(finding);
        rest
    }

    /// What was seen of a finding.
    pub fn get(&self, finding: usize) -> Option<&Seen> {
        self.seen.iter().find(|(f, _)| *f == finding).map(|(_, s)| s)
    }

    /// All that was looked at, by index of the finding.
    pub fn iter(&self) -> impl Iterator<Item = (usize, &Seen)> {
        self.seen.iter().map(|(f, s)| (*f, s))
    }

    /// How many findings are only thought to have been seen.
    pub fn n_soft(&self) -> usize {
        self.seen.iter().filter(|(_, s)| matches!(s, Seen::Perhaps(_))).count()
    }

    /// True when every grade exists and every likelihood list has the right length.
    pub(crate) fn fits(&self, network: &Network) -> bool {
        self.seen.iter().all(|(f, seen)| {
            let Some(finding) = network.findings().get(*f) else { return false };
            let n = finding.leak.len();
            match seen {
                Seen::Between { low, high } => low <= high && *high < n,
                Seen::Perhaps(l) => {
                    l.len() == n
                        && l.iter().all(|x| *x >= 0.0 && x.is_finite())
                        && l.iter().any(|x| *x > 0.0)
                }
            }
        })
    }

    /// Every way to make soft findings hard, each with its weight.
    ///
    /// Neighbouring grades of equal likelihood are one range, which saves runs.
    pub(crate) fn hard(&self) -> Vec<(f64, Vec<Limit>)> {
        let sure = self.seen.iter().filter_map(|(finding, seen)| match seen {
            Seen::Between { low, high } => {
                Some(Limit { finding: *finding, low: *low, high: *high })
            }
            Seen::Perhaps(_) => None,
        });
        let mut all = vec![(1.0, sure.collect::<Vec<Limit>>())];
        for (finding, seen) in &self.seen {
            let Seen::Perhaps(likelihood) = seen else { continue };
            let ranges = runs(likelihood);
            all = all
                .iter()
                .flat_map(|(weight, limits)| {
                    ranges.iter().map(move |&(w, low, high)| {
                        let mut limits = limits.clone();
                        limits.push(Limit { finding: *finding, low, high });
                        (weight * w, limits)
                    })
                })
                .collect();
        }
        all
    }
}

/// Stretches of equal likelihood, those of zero left out.
fn runs(likelihood: &[f64]) -> Vec<(f64, usize, usize)> {
    let mut out: Vec<(f64, usize, usize)> = Vec::new();
    for (g, &l) in likelihood.iter().enumerate() {
        match out.last_mut() {
            Some((w, _, high)) if *w == l && *high + 1 == g => *high = g,
            _ if l > 0.0 => out.push((l, g, g)),
            _ => {}
        }
    }
    out
}
