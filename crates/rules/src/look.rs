//! Which look would tell most: the expected drop in entropy of the causes that are still open.

use crate::{
    evidence::{Evidence, Limit},
    fold::{AtMost, Forward},
    infer::{InferError, Posterior, checked_runs},
    network::Network,
    plan::Plan,
};

/// At most so many open causes are considered at once.
pub const MAX_OPEN: usize = 4;

/// A look that has not been taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Index of the finding.
    pub finding: usize,
    /// Expected drop in entropy of the considered causes, in bits.
    pub bits: f64,
}

/// All looks that could tell the open causes apart.
#[derive(Clone, Debug, PartialEq)]
pub struct NextLooks {
    /// The causes that are considered, most uncertain first.
    pub considered: Vec<usize>,
    /// How many further causes are between 1 % and 99 %.
    pub left_out: usize,
    /// Entropy of the joint presence of the considered causes, in bits.
    pub entropy: f64,
    /// Looks by falling bits.
    pub looks: Vec<Look>,
}

/// Ranks the findings that were not inspected.
pub fn next_looks(
    network: &Network,
    evidence: &Evidence,
    posterior: &Posterior,
) -> Result<NextLooks, InferError> {
    let (considered, left_out) = open_causes(network, posterior);
    Ok(NextLooks { left_out, ..looks_about(network, evidence, &considered)? })
}

/// Ranks the findings that were not inspected by what they tell about these causes, the first
/// [`MAX_OPEN`] of them.
pub fn looks_about(
    network: &Network,
    evidence: &Evidence,
    causes: &[usize],
) -> Result<NextLooks, InferError> {
    let considered = causes[..causes.len().min(MAX_OPEN)].to_vec();
    let left_out = causes.len() - considered.len();
    let joint = Joint::new(network, evidence, &considered)?;
    let now = joint.now();
    let entropy = entropy(&now);
    let mut looks: Vec<Look> = (0..network.findings().len())
        .filter(|&f| evidence.get(f).is_none())
        .filter(|&f| network.causes(f).any(|c| considered.contains(&c)))
        .map(|f| Look { finding: f, bits: (entropy - joint.expected_entropy(f, &now)).max(0.0) })
        .collect();
    looks.sort_by(|a, b| b.bits.total_cmp(&a.bits).then(a.finding.cmp(&b.finding)));
    Ok(NextLooks { considered, left_out, entropy, looks })
}

/// Joint distribution of the presence of at most [`MAX_OPEN`] causes.
///
/// Entry `x` is the probability that exactly the causes with a bit in `x` are present.
pub fn joint_presence(
    network: &Network,
    evidence: &Evidence,
    causes: &[usize],
) -> Result<Vec<f64>, InferError> {
    let causes = &causes[..causes.len().min(MAX_OPEN)];
    Ok(Joint::new(network, evidence, causes)?.now())
}

/// The causes a look should tell apart, and how many more there are.
fn open_causes(network: &Network, posterior: &Posterior) -> (Vec<usize>, usize) {
    let n = network.mechanisms().len();
    let mut open: Vec<usize> = (0..n)
        .filter(|&i| n <= MAX_OPEN || (0.01..=0.99).contains(&posterior.present(i)))
        .collect();
    // The nearer to even odds, the more uncertain.
    let distance = |i: usize| (posterior.present(i) - 0.5).abs();
    open.sort_by(|&a, &b| distance(a).total_cmp(&distance(b)).then(a.cmp(&b)));
    let left_out = open.len().saturating_sub(MAX_OPEN);
    open.truncate(MAX_OPEN);
    (open, left_out)
}

fn entropy(p: &[f64]) -> f64 {
    p.iter().filter(|x| **x > 0.0).map(|x| -x * libm::log2(*x)).sum()
}

struct Run {
    plan: Plan,
    forwards: Vec<Forward>,
    log: f64,
}

struct Joint<'n> {
    network: &'n Network,
    size: usize,
    runs: Vec<Run>,
    top: f64,
}

impl<'n> Joint<'n> {
    fn new(
        network: &'n Network,
        evidence: &Evidence,
        tracked: &[usize],
    ) -> Result<Self, InferError> {
        let mut runs = Vec::new();
        for (weight, limits) in checked_runs(network, evidence)? {
            let run = Run::new(network, &limits, tracked, libm::log(weight))?;
            if run.log.is_finite() {
                runs.push(run);
            }
        }
        let top = runs.iter().map(|r| r.log).fold(f64::NEG_INFINITY, f64::max);
        if runs.is_empty() {
            return Err(InferError::Impossible);
        }
        Ok(Self { network, size: 1 << tracked.len(), runs, top })
    }

    fn now(&self) -> Vec<f64> {
        let mut sum = vec![0.0; self.size];
        for run in &self.runs {
            run.add(&mut sum, run.log - self.top, |i| &run.forwards[i]);
        }
        let total: f64 = sum.iter().sum();
        sum.iter_mut().for_each(|x| *x /= total);
        sum
    }

    /// Joint distribution together with "the finding is at most this grade", not normalised.
    fn at_most(&self, extra: AtMost<'_>) -> Vec<f64> {
        let mut sum = vec![0.0; self.size];
        for run in &self.runs {
            let folded: Vec<Option<Forward>> = run
                .plan
                .groups
                .iter()
                .zip(&run.forwards)
                .map(|(g, base)| g.concerns(extra.finding).then(|| g.forward_with(base, extra)))
                .collect();
            let with = |i: usize| folded[i].as_ref().unwrap_or(&run.forwards[i]);
            let moved: f64 =
                run.forwards.iter().enumerate().map(|(i, base)| with(i).log - base.log).sum();
            let leak = libm::log(extra.finding.leak[extra.grade]);
            let log = run.log + moved + leak - self.top;
            if log.is_finite() {
                run.add(&mut sum, log, with);
            }
        }
        sum
    }

    fn expected_entropy(&self, finding: usize, now: &[f64]) -> f64 {
        let finding = &self.network.findings()[finding];
        // The scale of the joint without the extra finding.
        let whole: f64 = self.runs.iter().map(|r| libm::exp(r.log - self.top)).sum();
        let top = finding.leak.len() - 1;
        let mut below = vec![0.0; self.size];
        let mut expected = 0.0;
        for grade in 0..=top {
            let up_to: Vec<f64> = if grade == top {
                now.to_vec()
            } else {
                let joint = self.at_most(AtMost { finding, grade });
                joint.iter().map(|x| x / whole).collect()
            };
            let here: Vec<f64> =
                up_to.iter().zip(&below).map(|(a, b)| f64::max(a - b, 0.0)).collect();
            let p: f64 = here.iter().sum();
            if p > 0.0 {
                let given: Vec<f64> = here.iter().map(|x| x / p).collect();
                expected += p * entropy(&given);
            }
            below = up_to;
        }
        expected
    }
}

impl Run {
    fn new(
        network: &Network,
        limits: &[Limit],
        tracked: &[usize],
        log_weight: f64,
    ) -> Result<Self, InferError> {
        let plan = Plan::new(network, limits, tracked, None)?;
        let forwards: Vec<Forward> = plan.groups.iter().map(|g| g.forward()).collect();
        let log = log_weight + plan.log_leak + forwards.iter().map(|f| f.log).sum::<f64>();
        Ok(Self { plan, forwards, log })
    }

    /// Adds this run's joint distribution, times the exponential of `log`.
    fn add<'f>(&self, sum: &mut [f64], log: f64, forward: impl Fn(usize) -> &'f Forward) {
        let mut joint = vec![0.0; sum.len()];
        joint[0] = libm::exp(log);
        for (i, group) in self.plan.groups.iter().enumerate() {
            if group.finals == [0] {
                continue;
            }
            let mut next = vec![0.0; sum.len()];
            for (share, bits) in forward(i).shares.iter().zip(&group.finals) {
                for (x, p) in joint.iter().enumerate().filter(|(_, p)| **p > 0.0) {
                    next[x | *bits as usize] += p * share;
                }
            }
            joint = next;
        }
        sum.iter_mut().zip(&joint).for_each(|(s, j)| *s += j);
    }
}
