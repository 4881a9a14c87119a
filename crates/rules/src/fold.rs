//! The fold of one group of causes, forward and backward, and the marginals between the two.
//!
//! # Source
//! Recursion over the set of findings already explained: every term is positive, unlike the
//! inclusion-exclusion of Heckerman 1989, which cancels.

use crate::{
    kernel::{apply, apply_state, gather, inner, pull, pull_state},
    network::Finding,
    plan::{Group, State, Step, row_of},
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

/// Shares of the states given presence, times what the evidence says without bits.
fn scales(step: &Step, extra: Option<AtMost<'_>>) -> Vec<f64> {
    step.states.iter().map(|s| s.share * s.weight * factor(step, s.bin, extra)).collect()
}

/// One table for all states of a cause: (presence, absence).
fn joint_tables(step: &Step, scales: &[f64]) -> [Vec<f64>; 2] {
    let absent: Vec<f64> = step.absent.table.iter().map(|x| step.absent.weight * x).collect();
    let mut present = vec![0.0; absent.len()];
    for (s, scale) in step.states.iter().zip(scales) {
        present.iter_mut().zip(&s.table).for_each(|(x, t)| *x += scale * t);
    }
    [absent, present]
}

/// The table of a cause whose presence no later step sees.
fn plain_table(step: &Step, [absent, present]: &[Vec<f64>; 2]) -> Vec<f64> {
    let p = step.present[0];
    present.iter().zip(absent).map(|(x, a)| p * x + (1.0 - p) * a).collect()
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
    let scales = scales(step, extra);
    if step.by_state {
        return advance_by_state(step, table, &scales);
    }
    let tables = joint_tables(step, &scales);
    let mut out = vec![0.0; step.n_out * step.len_out];
    let mut room = vec![0.0; tables[0].len()];
    let mut fold = |sums: &[f64], q: &[f64]| {
        let pairs = sums.chunks_exact(step.len_in).zip(out.chunks_exact_mut(step.len_out));
        pairs.for_each(|(t, o)| apply(t, q, o, &step.touch, &mut room));
    };
    if step.plain {
        fold(&added(step, table, 0, |_| 1.0), &plain_table(step, &tables));
    } else {
        let sums = branches(step, table);
        fold(&sums[0], &tables[0]);
        fold(&sums[1], &tables[1]);
    }
    out
}

fn advance_by_state(step: &Step, table: &[f64], scales: &[f64]) -> Vec<f64> {
    let [absent, present] = branches(step, table);
    let mut out = vec![0.0; step.n_out * step.len_out];
    let pairs = absent.chunks_exact(step.len_in).zip(present.chunks_exact(step.len_in));
    let mut folded = Vec::with_capacity(step.len_in.max(step.len_out));
    for ((a, p), o) in pairs.zip(out.chunks_exact_mut(step.len_out)) {
        let mut add = |t: &[f64], scale: f64, state: &State| {
            // A context that no history leads to in this branch has nothing to pass on.
            if t.iter().any(|x| *x != 0.0) {
                apply_state(t, scale, &state.pairs, &step.touch, &mut folded);
                o.iter_mut().zip(&folded).for_each(|(o, x)| *o += x);
            }
        };
        add(a, step.absent.weight, &step.absent);
        for (state, scale) in step.states.iter().zip(scales) {
            add(p, *scale, state);
        }
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
            let scales = scales(step, None);
            let (weights, mut before) = if step.by_state {
                back_by_state(step, table, &scales, &after)
            } else if step.plain {
                back_plain(step, table, &scales, &after)
            } else {
                back(step, table, &scales, &after)
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
    let mut g = vec![0.0; step.absent.table.len()];
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

fn weights_of(step: &Step, absent: f64, scale: f64, scales: &[f64], worth: &[f64]) -> Weights {
    let bins = step
        .states
        .iter()
        .zip(scales)
        .map(|(s, own)| (s.bin, scale * own * inner(&s.table, worth)))
        .collect();
    Weights { mechanism: step.mechanism, absent, bins }
}

fn back_plain(step: &Step, table: &[f64], scales: &[f64], after: &[f64]) -> (Weights, Vec<f64>) {
    let tables = joint_tables(step, scales);
    let g = worth(step, &added(step, table, 0, |_| 1.0), after);
    let p = step.present[0];
    let weights = weights_of(step, (1.0 - p) * inner(&tables[0], &g), p, scales, &g);
    let worths = pulled(step, &plain_table(step, &tables), after);
    let n = step.len_in;
    let before = step.to.iter().flat_map(|to| worths[to[0] * n..(to[0] + 1) * n].iter().copied());
    (weights, before.collect())
}

fn back(step: &Step, table: &[f64], scales: &[f64], after: &[f64]) -> (Weights, Vec<f64>) {
    let tables = joint_tables(step, scales);
    let sums = branches(step, table);
    let g_absent = worth(step, &sums[0], after);
    let g_present = worth(step, &sums[1], after);
    let weights = weights_of(step, inner(&tables[0], &g_absent), 1.0, scales, &g_present);
    let worths = [pulled(step, &tables[0], after), pulled(step, &tables[1], after)];
    (weights, before(step, &worths))
}

fn back_by_state(step: &Step, table: &[f64], scales: &[f64], after: &[f64]) -> (Weights, Vec<f64>) {
    let sums = branches(step, table);
    let n = step.len_in;
    let mut worths = [vec![0.0; step.n_out * n], vec![0.0; step.n_out * n]];
    let mut x = Vec::with_capacity(n.max(step.len_out));
    // Pulls one state back, gives its weight and adds to the worth of the entries before.
    let mut pull_back = |branch: usize, scale: f64, state: &State| {
        let mut weight = 0.0;
        for (c, o) in after.chunks_exact(step.len_out).enumerate() {
            let t = &sums[branch][c * n..(c + 1) * n];
            if t.iter().any(|x| *x != 0.0) {
                pull_state(o, scale, &state.pairs, &step.touch, &mut x);
                weight += inner(t, &x);
                let sum = &mut worths[branch][c * n..(c + 1) * n];
                sum.iter_mut().zip(&x).for_each(|(s, x)| *s += x);
            }
        }
        weight
    };
    let absent = pull_back(0, step.absent.weight, &step.absent);
    let bins =
        step.states.iter().zip(scales).map(|(s, scale)| (s.bin, pull_back(1, *scale, s))).collect();
    (Weights { mechanism: step.mechanism, absent, bins }, before(step, &worths))
}

/// What every entry before the step is worth, from the worths of both branches.
fn before(step: &Step, [absent, present]: &[Vec<f64>; 2]) -> Vec<f64> {
    let n = step.len_in;
    let mut before = Vec::with_capacity(n * step.to.len());
    for (to, p) in step.to.iter().zip(&step.present) {
        let a = &absent[to[0] * n..(to[0] + 1) * n];
        let b = &present[to[1] * n..(to[1] + 1) * n];
        before.extend(a.iter().zip(b).map(|(a, b)| (1.0 - p) * a + p * b));
    }
    before
}
