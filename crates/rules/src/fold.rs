//! The fold of one group of causes, forward and backward, and the marginals between the two.
//!
//! # Source
//! Recursion over the set of findings already explained: every term is positive, unlike the
//! inclusion-exclusion of Heckerman 1989, which cancels.

use crate::{
    kernel::{add_scaled, apply, apply_state, gather, inner, pull, pull_state},
    network::Finding,
    plan::{Group, Lead, Step, row_of},
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

/// One table for all states of presence.
fn present_table(step: &Step, scales: &[f64]) -> Vec<f64> {
    let mut present = vec![0.0; 1 << step.touch.len()];
    for (s, scale) in step.states.iter().zip(scales) {
        add_scaled(&mut present, *scale, &s.table);
    }
    present
}

/// The table of a cause whose presence no later step sees.
fn plain_table(step: &Step, present: &[f64]) -> Vec<f64> {
    let (p, absent) = (step.present[0], step.absent.weight * (1.0 - step.present[0]));
    present.iter().zip(&step.absent.table).map(|(x, a)| p * x + absent * a).collect()
}

fn block(table: &[f64], length: usize, context: u32) -> &[f64] {
    let start = context as usize * length;
    &table[start..start + length]
}

fn block_mut(table: &mut [f64], length: usize, context: u32) -> &mut [f64] {
    let start = context as usize * length;
    &mut table[start..start + length]
}

/// The tables of contexts that lead to the same place, added up, and the factor that is left.
fn joined<'t>(
    step: &Step,
    table: &'t [f64],
    branch: usize,
    leads: &[Lead],
    room: &'t mut Vec<f64>,
) -> (&'t [f64], f64) {
    let n = step.len_in;
    if let [one] = leads {
        return (block(table, n, one.from), step.chance(branch, one.from));
    }
    room.clear();
    room.resize(n, 0.0);
    for lead in leads {
        add_scaled(room, step.chance(branch, lead.from), block(table, n, lead.from));
    }
    (room, 1.0)
}

fn advance(step: &Step, table: &[f64], extra: Option<AtMost<'_>>) -> Vec<f64> {
    let scales = scales(step, extra);
    let mut out = vec![0.0; step.n_out * step.len_out];
    let (mut x, mut sums) = (Vec::new(), Vec::new());
    let mut room = vec![0.0; 1 << step.touch.len()];
    if step.joint_plain() {
        let q = plain_table(step, &present_table(step, &scales));
        let pairs = table.chunks_exact(step.len_in).zip(out.chunks_exact_mut(step.len_out));
        pairs.for_each(|(t, o)| apply(t, &q, o, &step.touch, &mut room));
        return out;
    }
    for leads in step.leads(0) {
        let (t, chance) = joined(step, table, 0, leads, &mut sums);
        let o = block_mut(&mut out, step.len_out, leads[0].to);
        apply_state(t, chance * step.absent.weight, &step.absent.pairs, &step.touch, &mut x);
        add_scaled(o, 1.0, &x);
    }
    let present = if step.by_state { Vec::new() } else { present_table(step, &scales) };
    let mut own = Vec::with_capacity(present.len());
    for leads in step.leads(1) {
        let (t, chance) = joined(step, table, 1, leads, &mut sums);
        let o = block_mut(&mut out, step.len_out, leads[0].to);
        if step.by_state {
            for (state, scale) in step.states.iter().zip(&scales) {
                apply_state(t, chance * scale, &state.pairs, &step.touch, &mut x);
                add_scaled(o, 1.0, &x);
            }
        } else {
            own.clear();
            own.extend(present.iter().map(|q| chance * q));
            apply(t, &own, o, &step.touch, &mut room);
        }
    }
    out
}

/// Keeps a table in reach of what a number can hold, and gives the log of the scale.
fn rescale(table: &mut [f64]) -> f64 {
    // Several running maxima, because one alone waits for itself.
    let mut most = [0.0; 8];
    for lane in table.chunks(most.len()) {
        most.iter_mut().zip(lane).for_each(|(m, x)| *m = if *x > *m { *x } else { *m });
    }
    let largest = most.into_iter().fold(0.0, f64::max);
    if largest > 1e-50 {
        return 0.0;
    }
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
    let mut out = Vec::with_capacity(table.len());
    for block in table.chunks_exact(n) {
        out.extend(step.order.iter().map(|&i| block[i as usize]));
    }
    out
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
            let (weights, mut before) = back(step, table, &after);
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

/// The weights of a cause, and what every entry before its step is worth, from what every entry
/// after it is worth.
fn back(step: &Step, table: &[f64], after: &[f64]) -> (Weights, Vec<f64>) {
    let scales = scales(step, None);
    let mut before = vec![0.0; table.len()];
    if step.joint_plain() {
        let weights = back_plain(step, table, &scales, after, &mut before);
        return (weights, before);
    }
    let mut x = Vec::new();
    let mut absent = 0.0;
    for leads in step.leads(0) {
        let o = block(after, step.len_out, leads[0].to);
        pull_state(o, step.absent.weight, &step.absent.pairs, &step.touch, &mut x);
        for lead in leads {
            let chance = step.chance(0, lead.from);
            absent += chance * inner(block(table, step.len_in, lead.from), &x);
            add_scaled(block_mut(&mut before, step.len_in, lead.from), chance, &x);
        }
    }
    let bins = if step.by_state {
        back_by_state(step, table, &scales, after, &mut before)
    } else {
        back_joint(step, table, &scales, after, &mut before)
    };
    (Weights { mechanism: step.mechanism, absent, bins }, before)
}

fn back_by_state(
    step: &Step,
    table: &[f64],
    scales: &[f64],
    after: &[f64],
    before: &mut [f64],
) -> Vec<(usize, f64)> {
    let mut bins: Vec<(usize, f64)> = step.states.iter().map(|s| (s.bin, 0.0)).collect();
    let (mut x, mut sums, mut worth) = (Vec::new(), Vec::new(), Vec::new());
    for leads in step.leads(1) {
        let o = block(after, step.len_out, leads[0].to);
        let (t, chance) = joined(step, table, 1, leads, &mut sums);
        worth.clear();
        worth.resize(step.len_in, 0.0);
        for ((state, scale), (_, weight)) in step.states.iter().zip(scales).zip(&mut bins) {
            pull_state(o, *scale, &state.pairs, &step.touch, &mut x);
            *weight += chance * inner(t, &x);
            add_scaled(&mut worth, 1.0, &x);
        }
        for lead in leads {
            let chance = step.chance(1, lead.from);
            add_scaled(block_mut(before, step.len_in, lead.from), chance, &worth);
        }
    }
    bins
}

fn back_joint(
    step: &Step,
    table: &[f64],
    scales: &[f64],
    after: &[f64],
    before: &mut [f64],
) -> Vec<(usize, f64)> {
    let q = present_table(step, scales);
    let mut room = vec![0.0; q.len()];
    // What every entry of the cause's table is worth, over all contexts and in one.
    let (mut whole, mut own) = (vec![0.0; q.len()], vec![0.0; q.len()]);
    let (mut sums, mut worth) = (Vec::new(), Vec::new());
    for leads in step.leads(1) {
        let o = block(after, step.len_out, leads[0].to);
        let (t, chance) = joined(step, table, 1, leads, &mut sums);
        own.fill(0.0);
        gather(t, o, &mut own, &step.touch, &mut room);
        add_scaled(&mut whole, chance, &own);
        worth.clear();
        worth.resize(step.len_in, 0.0);
        pull(&mut worth, &q, o, &step.touch, &mut room);
        for lead in leads {
            let chance = step.chance(1, lead.from);
            add_scaled(block_mut(before, step.len_in, lead.from), chance, &worth);
        }
    }
    bins_of(step, 1.0, scales, &whole)
}

fn back_plain(
    step: &Step,
    table: &[f64],
    scales: &[f64],
    after: &[f64],
    before: &mut [f64],
) -> Weights {
    let q = plain_table(step, &present_table(step, scales));
    let (mut worth, mut room) = (vec![0.0; q.len()], vec![0.0; q.len()]);
    let tables = table.chunks_exact(step.len_in).zip(before.chunks_exact_mut(step.len_in));
    for ((t, b), o) in tables.zip(after.chunks_exact(step.len_out)) {
        gather(t, o, &mut worth, &step.touch, &mut room);
        pull(b, &q, o, &step.touch, &mut room);
    }
    let p = step.present[0];
    let absent = (1.0 - p) * step.absent.weight * inner(&step.absent.table, &worth);
    Weights { mechanism: step.mechanism, absent, bins: bins_of(step, p, scales, &worth) }
}

fn bins_of(step: &Step, present: f64, scales: &[f64], worth: &[f64]) -> Vec<(usize, f64)> {
    let states = step.states.iter().zip(scales);
    states.map(|(s, own)| (s.bin, present * own * inner(&s.table, worth))).collect()
}
