//! Posteriors of causes and ages from what was looked at.

use crate::{
    evidence::{Evidence, Limit},
    network::Network,
    plan::{MAX_POSITIVE, Plan, TooMuch},
};

/// Why there is no posterior.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum InferError {
    /// More positive findings hang together than the exact method can carry.
    #[error(
        "{positives} positive findings hang together; the exact method takes at most {limit} \
         of them, and fewer where every cause can show every finding"
    )]
    TooMuchEvidence {
        /// Positive findings in the group.
        positives: usize,
        /// Most that are ever taken.
        limit: usize,
    },
    /// More than three findings are only thought to have been seen.
    #[error("{met} findings are only thought to have been seen; at most {MAX_SOFT} are taken")]
    TooMuchSoft {
        /// How many.
        met: usize,
    },
    /// The findings contradict the network.
    #[error("these findings cannot occur together in this network")]
    Impossible,
    /// A grade or a likelihood list does not fit the network.
    #[error("a finding has a grade that the network does not know")]
    Unfit,
}

/// At most so many findings of a case may be soft.
pub const MAX_SOFT: usize = 3;

impl From<TooMuch> for InferError {
    fn from(t: TooMuch) -> Self {
        Self::TooMuchEvidence { positives: t.positives, limit: MAX_POSITIVE }
    }
}

/// Probabilities of the states of one cause; they add up to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Marginal {
    /// Probability that it is absent.
    pub absent: f64,
    /// Probability of each onset bin.
    pub bins: Vec<f64>,
}

/// When a cause began, in months ago, given that it is present.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Began {
    /// With 10 % probability it began later than this many months ago.
    pub p10: f64,
    /// As likely earlier as later.
    pub median: f64,
    /// With 90 % probability it began later than this many months ago.
    pub p90: f64,
}

/// What is known about all causes once the evidence is in.
#[derive(Clone, Debug, PartialEq)]
pub struct Posterior {
    /// Natural log of the probability of the evidence.
    pub log_evidence: f64,
    /// The causes, in the order of the network.
    pub marginals: Vec<Marginal>,
}

impl Posterior {
    /// Probability that a cause is present, as the sum of its bins.
    pub fn present(&self, mechanism: usize) -> f64 {
        self.marginals[mechanism].bins.iter().sum()
    }

    /// Natural log of the odds of presence; infinite at certainty, `None` when impossible.
    pub fn log_odds(&self, mechanism: usize) -> f64 {
        libm::log(self.present(mechanism)) - libm::log(self.marginals[mechanism].absent)
    }

    /// When a cause began; `None` when it cannot be present.
    pub fn began(&self, network: &Network, mechanism: usize) -> Option<Began> {
        let bins = &self.marginals[mechanism].bins;
        let total: f64 = bins.iter().sum();
        if total <= 0.0 {
            return None;
        }
        let at = |share: f64| {
            let mut wanted = share * total;
            let mut last = 0.0;
            for (bin, p) in network.mechanisms()[mechanism].bins.iter().zip(bins) {
                if *p <= 0.0 {
                    continue;
                }
                if wanted <= *p {
                    return bin.from + (bin.to - bin.from) * wanted / p;
                }
                wanted -= p;
                last = bin.to;
            }
            last
        };
        Some(Began { p10: at(0.1), median: at(0.5), p90: at(0.9) })
    }

    /// The bin in which a cause most likely began, given presence.
    pub fn likeliest_bin(&self, mechanism: usize) -> Option<usize> {
        let bins = &self.marginals[mechanism].bins;
        let best = (0..bins.len()).max_by(|&a, &b| bins[a].total_cmp(&bins[b]).then(b.cmp(&a)))?;
        (bins[best] > 0.0).then_some(best)
    }
}

/// Posteriors of all causes.
pub fn infer(network: &Network, evidence: &Evidence) -> Result<Posterior, InferError> {
    infer_some(network, evidence, None)
}

/// Posteriors of the causes in `only`; the others keep zeros.
pub(crate) fn infer_some(
    network: &Network,
    evidence: &Evidence,
    only: Option<&[bool]>,
) -> Result<Posterior, InferError> {
    let runs = checked_runs(network, evidence)?;
    let mut total: Option<Posterior> = None;
    for (weight, limits) in runs {
        let Some(mut one) = infer_hard(network, &limits, only)? else { continue };
        one.log_evidence += libm::log(weight);
        total = Some(match total {
            None => one,
            Some(sum) => mix(sum, one),
        });
    }
    total.ok_or(InferError::Impossible)
}

/// The hard runs of the evidence, checked against the limits of the method.
pub(crate) fn checked_runs(
    network: &Network,
    evidence: &Evidence,
) -> Result<Vec<(f64, Vec<Limit>)>, InferError> {
    if !evidence.fits(network) {
        return Err(InferError::Unfit);
    }
    let met = evidence.n_soft();
    if met > MAX_SOFT {
        return Err(InferError::TooMuchSoft { met });
    }
    Ok(evidence.hard())
}

/// Two posteriors that exclude each other, weighted by their evidence.
fn mix(mut a: Posterior, b: Posterior) -> Posterior {
    let top = a.log_evidence.max(b.log_evidence);
    let (x, y) = (libm::exp(a.log_evidence - top), libm::exp(b.log_evidence - top));
    let (wa, wb) = (x / (x + y), y / (x + y));
    for (m, n) in a.marginals.iter_mut().zip(&b.marginals) {
        m.absent = wa * m.absent + wb * n.absent;
        m.bins.iter_mut().zip(&n.bins).for_each(|(p, q)| *p = wa * *p + wb * q);
    }
    a.log_evidence = top + libm::log(x + y);
    a
}

/// The posterior of one hard run; `None` when it is impossible.
fn infer_hard(
    network: &Network,
    limits: &[Limit],
    only: Option<&[bool]>,
) -> Result<Option<Posterior>, InferError> {
    let plan = Plan::new(network, limits, &[], only)?;
    let mut posterior = Posterior {
        log_evidence: plan.log_leak,
        marginals: network
            .mechanisms()
            .iter()
            .map(|m| Marginal { absent: 1.0, bins: vec![0.0; m.bins.len()] })
            .collect(),
    };
    for group in &plan.groups {
        let forward = group.forward();
        posterior.log_evidence += forward.log;
        if !posterior.log_evidence.is_finite() {
            return Ok(None);
        }
        for w in group.marginals(&forward) {
            let total = w.absent + w.bins.iter().map(|(_, x)| x).sum::<f64>();
            let m = &mut posterior.marginals[w.mechanism];
            m.absent = w.absent / total;
            for (bin, x) in w.bins {
                m.bins[bin] = x / total;
            }
        }
    }
    Ok(posterior.log_evidence.is_finite().then_some(posterior))
}
