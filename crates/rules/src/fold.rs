//! The fold of one group of causes, forward and backward, and the marginals between the two.
//!
//! # Source
//! Recursion over the set of findings already explained: every term is positive, unlike the
//! inclusion-exclusion of Heckerman 1989, which cancels.

use crate::{
    kernel::{apply, gather, pull},
    network::Finding,
    plan::{Group, Step, row_of},
};

/// An extra upper limit on one finding, for looks that have not been taken.
#[derive(Clone, Copy)]
pub(crate) struct AtMost<'n> {
    pub finding: &'n Finding,
    pub grade: usize,
}

/// The forward pass: the table before every step, and what is left at the end.
pub(crate) struct Forward {
    /// In the bit order of the step that follows.
    tables: Vec<Vec<f64>>,
    /// Log of the scale taken out before each step, and at the end.
    logs: Vec<f64>,
    /// For each final context, its share; they add up to 1.
    pub shares: Vec<f64>,
    /// Log of the probability of the evidence of this group.
    pub log: f64,
}

/// Weights of one cause, on a common scale.
pub(crate) struct Weights {
    pub mechanism: usize,
    pub absent: f64,
    /// (bin, weight) of the bins that can be.
    pub bins: Vec<(usize, f64)>,
}

fn factor(step: &Step, bin: usize, extra: Option<AtMost<'_>>) -> f64 {
    extra.map_or(1.0, |e| {
        row_of(e.finding, step.mechanism).map_or(1.0, |r| e.finding.rows[r].bins[bin][e.grade])
    })
}

/// The table of a cause given presence.
fn present_table(step: &Step, extra: Option<AtMost<'_>>) -> Vec<f64> {
    let mut sum = vec![0.0; step.absent.len()];
    for s in &step.states {
        let w = s.share * s.weight * factor(step, s.bin, extra);
        sum.iter_mut().zip(&s.table).for_each(|(x, t)| *x += w * t);
    }
    sum
}

/// The table of a cause whose presence no later step sees.
fn plain_table(step: &Step, present: &[f64]) -> Vec<f64> {
    let p = step.present[0];
    present.iter().zip(&step.absent).map(|(x, a)| p * x + (1.0 - p) * a).collect()
}

/// Tables before the step, added up by the context they lead to.
fn added(step: &Step, table: &[f64], branch: usize, weight: impl Fn(usize) -> f64) -> Vec<f64> {
    let n = step.len_in;
    let mut out = vec![0.0; step.n_out * n];
    for (c, to) in step.to.iter().enumerate() {
        let w = weight(c);
        let from = &table[c * n..(c + 1) * n];
        let sum = &mut out[to[branch] * n..(to[branch] + 1) * n];
        sum.iter_mut().zip(from).for_each(|(s, x)| *s += w * x);
    }
    out
}

/// The absent and the present branch of a step, tables added by the context they lead to.
fn branches(step: &Step, table: &[f64]) -> [Vec<f64>; 2] {
    [added(step, table, 0, |c| 1.0 - step.present[c]), added(step, table, 1, |c| step.present[c])]
}

fn advance(step: &Step, table: &[f64], extra: Option<AtMost<'_>>) -> Vec<f64> {
    let present = present_table(step, extra);
    let mut out = vec![0.0; step.n_out * step.len_out];
    let mut room = vec![0.0; present.len()];
    let mut fold = |sums: &[f64], q: &[f64]| {
        let pairs = sums.chunks_exact(step.len_in).zip(out.chunks_exact_mut(step.len_out));
        pairs.for_each(|(t, o)| apply(t, q, o, &step.touch, &mut room));
    };
    if step.plain {
        fold(&added(step, table, 0, |_| 1.0), &plain_table(step, &present));
    } else {
        let [absent_sums, present_sums] = branches(step, table);
        fold(&absent_sums, &step.absent);
        fold(&present_sums, &present);
    }
    out
}

/// Scales a table so that its largest entry is 1, and gives the log of the scale.
fn rescale(table: &mut [f64]) -> f64 {
    let largest = table.iter().fold(0.0, |a: f64, b| a.max(*b));
    if largest > 0.0 {
        table.iter_mut().for_each(|x| *x /= largest);
    }
    libm::log(largest)
}

fn reorder(step: &Step, table: Vec<f64>) -> Vec<f64> {
    if step.order.is_empty() {
        return table;
    }
    let n = step.len_in;
    table.chunks_exact(n).flat_map(|block| step.order.iter().map(|&i| block[i as usize])).collect()
}

impl Group {
    /// True when a cause of this group can show the finding.
    pub fn concerns(&self, finding: &Finding) -> bool {
        self.steps.iter().any(|s| row_of(finding, s.mechanism).is_some())
    }

    /// Folds all causes.
    pub fn forward(&self) -> Forward {
        self.run(vec![1.0], 0, 0.0, None, true)
    }

    /// Folds all causes with one more limit, beginning where it first matters.
    pub fn forward_with(&self, base: &Forward, extra: AtMost<'_>) -> Forward {
        let first = self.steps.iter().position(|s| row_of(extra.finding, s.mechanism).is_some());
        let Some(first) = first else {
            return Forward {
                tables: Vec::new(),
                logs: Vec::new(),
                shares: base.shares.clone(),
                log: base.log,
            };
        };
        let table = base.tables[first].clone();
        self.run(table, first, base.logs[first], Some(extra), false)
    }

    fn run(
        &self,
        mut table: Vec<f64>,
        first: usize,
        mut log: f64,
        extra: Option<AtMost<'_>>,
        keep: bool,
    ) -> Forward {
        let (mut tables, mut logs) = (Vec::new(), Vec::new());
        for (i, step) in self.steps.iter().enumerate().skip(first) {
            // The first table of a resumed run is in the order of its step already.
            if i > first || keep {
                table = reorder(step, table);
            }
            let out = advance(step, &table, extra);
            if keep {
                tables.push(table);
                logs.push(log);
            }
            table = out;
            log += rescale(&mut table);
        }
        let sum: f64 = table.iter().sum();
        if sum > 0.0 {
            table.iter_mut().for_each(|x| *x /= sum);
        }
        Forward { tables, logs, shares: table, log: log + libm::log(sum) }
    }

    /// The weights of all states of all causes of the group.
    pub fn marginals(&self, forward: &Forward) -> Vec<Weights> {
        let mut out = Vec::with_capacity(self.steps.len());
        let mut after = vec![1.0; self.finals.len()];
        for (step, table) in self.steps.iter().zip(&forward.tables).rev() {
            let present = present_table(step, None);
            let (weights, mut before) = if step.plain {
                step_back_plain(step, table, &present, &after)
            } else {
                step_back(step, table, &present, &after)
            };
            out.push(weights);
            rescale(&mut before);
            after = unorder(step, before);
        }
        out
    }
}

fn unorder(step: &Step, table: Vec<f64>) -> Vec<f64> {
    if step.order.is_empty() {
        return table;
    }
    let n = step.len_in;
    let mut out = vec![0.0; table.len()];
    for (block, from) in out.chunks_exact_mut(n).zip(table.chunks_exact(n)) {
        step.order.iter().zip(from).for_each(|(&i, x)| block[i as usize] = *x);
    }
    out
}

/// What every entry of a cause's table is worth, over all contexts.
fn worth(step: &Step, sums: &[f64], after: &[f64]) -> Vec<f64> {
    let mut g = vec![0.0; step.absent.len()];
    let mut room = vec![0.0; g.len()];
    for (t, o) in sums.chunks_exact(step.len_in).zip(after.chunks_exact(step.len_out)) {
        gather(t, o, &mut g, &step.touch, &mut room);
    }
    g
}

/// What every entry before is worth, for each context after.
fn pulled(step: &Step, q: &[f64], after: &[f64]) -> Vec<f64> {
    let mut t = vec![0.0; step.n_out * step.len_in];
    let mut room = vec![0.0; q.len()];
    for (t, o) in t.chunks_exact_mut(step.len_in).zip(after.chunks_exact(step.len_out)) {
        pull(t, q, o, &step.touch, &mut room);
    }
    t
}

fn product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn weights_of(step: &Step, absent: f64, scale: f64, worth: &[f64]) -> Weights {
    let bins = step
        .states
        .iter()
        .map(|s| (s.bin, scale * s.share * s.weight * product(&s.table, worth)))
        .collect();
    Weights { mechanism: step.mechanism, absent, bins }
}

fn step_back_plain(
    step: &Step,
    table: &[f64],
    present: &[f64],
    after: &[f64],
) -> (Weights, Vec<f64>) {
    let g = worth(step, &added(step, table, 0, |_| 1.0), after);
    let p = step.present[0];
    let weights = weights_of(step, (1.0 - p) * product(&step.absent, &g), p, &g);
    let worths = pulled(step, &plain_table(step, present), after);
    let n = step.len_in;
    let before = step.to.iter().flat_map(|to| worths[to[0] * n..(to[0] + 1) * n].iter().copied());
    (weights, before.collect())
}

fn step_back(step: &Step, table: &[f64], present: &[f64], after: &[f64]) -> (Weights, Vec<f64>) {
    let [absent_sums, present_sums] = branches(step, table);
    let g_absent = worth(step, &absent_sums, after);
    let g_present = worth(step, &present_sums, after);
    let weights = weights_of(step, product(&step.absent, &g_absent), 1.0, &g_present);
    let absent_worths = pulled(step, &step.absent, after);
    let present_worths = pulled(step, present, after);
    let n = step.len_in;
    let mut before = Vec::with_capacity(n * step.to.len());
    for (to, p) in step.to.iter().zip(&step.present) {
        let a = &absent_worths[to[0] * n..(to[0] + 1) * n];
        let b = &present_worths[to[1] * n..(to[1] + 1) * n];
        before.extend(a.iter().zip(b).map(|(a, b)| (1.0 - p) * a + p * b));
    }
    (weights, before)
}
