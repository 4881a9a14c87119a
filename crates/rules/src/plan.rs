//! In which order the causes are folded, and what each step does to the table.
//!
//! Causes fall into groups that share no positive finding and no chain; each group is folded
//! alone. Inside a group a finding has a bit in the table only from its first to its last cause.
//! A chain is carried as the product of the factors that each waiting child has met so far:
//! different parents with the same product need no difference.

use crate::{
    evidence::Limit,
    kernel::Touch,
    network::{Finding, Network},
};

/// More positive findings than this in one group are refused.
pub(crate) const MAX_POSITIVE: usize = 18;
/// More table entries than this in one group are refused (256 MiB of numbers).
pub(crate) const MAX_ENTRIES: usize = 1 << 25;

/// The evidence is more than the exact method can carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct TooMuch {
    pub positives: usize,
}

/// The whole fold of one set of hard findings.
pub(crate) struct Plan {
    pub groups: Vec<Group>,
    /// Log of what the leaks alone contribute.
    pub log_leak: f64,
}

/// Causes that hang together.
pub(crate) struct Group {
    pub steps: Vec<Step>,
    /// For each context after the last step, which tracked causes are present, one bit each.
    pub finals: Vec<u32>,
}

/// One onset bin of a cause that is folded.
pub(crate) struct State {
    pub bin: usize,
    /// Share of the bin given presence.
    pub share: f64,
    /// Product over the findings that stay under their upper limit only.
    pub weight: f64,
    /// Factors by touched bit, those of findings that open and close in this step taken out.
    pub pairs: Vec<(f64, f64)>,
    /// The same multiplied out, empty when the step goes state by state.
    pub table: Vec<f64>,
}

/// The folding of one cause.
pub(crate) struct Step {
    pub mechanism: usize,
    /// Chance of presence in each context before.
    pub present: Vec<f64>,
    /// Which context leads to which, when the cause is absent and present, by `to`.
    leads: [Vec<Lead>; 2],
    pub n_out: usize,
    /// Place in the table before, for each place in the order of this step; empty when equal.
    pub order: Vec<u32>,
    pub len_in: usize,
    pub len_out: usize,
    /// Highest bit first.
    pub touch: Vec<Touch>,
    pub states: Vec<State>,
    /// Absence, as a state of weight 1.
    pub absent: State,
    /// True when each state is passed through alone, which is quicker for many bits.
    pub by_state: bool,
    /// True when presence changes nothing that later steps see, and is the same everywhere.
    pub plain: bool,
}

/// A context before a step and the one after it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Lead {
    pub to: u32,
    pub from: u32,
}

impl Step {
    /// The leads of a branch (0 absent, 1 present), those to the same context together.
    pub fn leads(&self, branch: usize) -> impl Iterator<Item = &[Lead]> {
        self.leads[branch].chunk_by(|a, b| a.to == b.to)
    }

    /// Chance of a branch in a context before the step.
    pub fn chance(&self, branch: usize, from: u32) -> f64 {
        let present = self.present[from as usize];
        if branch == 0 { 1.0 - present } else { present }
    }

    /// True when one table serves presence and absence together, in every context alike.
    pub fn joint_plain(&self) -> bool {
        self.plain && !self.by_state
    }
}

#[derive(Clone, Copy)]
struct Positive {
    limit: Limit,
    below: f64,
    reach: f64,
}

impl Positive {
    fn new(limit: Limit, row: &[f64]) -> Self {
        let below = row[limit.low - 1];
        Self { limit, below, reach: row[limit.high] - below }
    }
}

impl Plan {
    /// Plans the fold of the causes in `only` (all when `None`); bit i of a final context says
    /// whether `tracked[i]` is present.
    pub fn new(
        network: &Network,
        limits: &[Limit],
        tracked: &[usize],
        only: Option<&[bool]>,
    ) -> Result<Self, TooMuch> {
        let n = network.mechanisms().len();
        let alive: Vec<bool> =
            (0..n).map(|i| network.prior(i) > 0.0 && only.is_none_or(|o| o[i])).collect();
        let mut log_leak = 0.0;
        let mut positives = Vec::new();
        let mut by_finding = vec![None; network.findings().len()];
        for limit in limits {
            by_finding[limit.finding] = Some(*limit);
            let finding = &network.findings()[limit.finding];
            if limit.low == 0 {
                log_leak += libm::log(finding.leak[limit.high]);
                continue;
            }
            let positive = Positive::new(*limit, &finding.leak);
            if network.causes(limit.finding).any(|i| alive[i]) {
                positives.push(positive);
            } else {
                log_leak += libm::log(positive.reach);
            }
        }
        let mut groups = Vec::new();
        for members in groups_of(network, &alive, &positives) {
            let own: Vec<Positive> = positives
                .iter()
                .filter(|p| network.causes(p.limit.finding).any(|i| members.contains(&i)))
                .copied()
                .collect();
            groups.push(Builder::new(network, &by_finding, tracked, own, members).build()?);
        }
        Ok(Self { groups, log_leak })
    }
}

/// Splits the causes into groups, each in the order of the network.
fn groups_of(network: &Network, alive: &[bool], positives: &[Positive]) -> Vec<Vec<usize>> {
    let n = alive.len();
    let mut head: Vec<usize> = (0..n).collect();
    fn root(head: &[usize], mut i: usize) -> usize {
        while head[i] != i {
            i = head[i];
        }
        i
    }
    let mut join = |a: usize, b: usize| {
        let (a, b) = (root(&head, a), root(&head, b));
        head[a.max(b)] = a.min(b);
    };
    for i in (0..n).filter(|&i| alive[i]) {
        for &(child, factor) in network.children(i) {
            if alive[child] && factor != 1.0 {
                join(i, child);
            }
        }
    }
    for p in positives {
        let mut causes = network.causes(p.limit.finding).filter(|&i| alive[i]);
        if let Some(first) = causes.next() {
            causes.for_each(|i| join(first, i));
        }
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); n];
    for i in (0..n).filter(|&i| alive[i]) {
        groups[root(&head, i)].push(i);
    }
    groups.retain(|g| !g.is_empty());
    groups
}

struct Builder<'n> {
    network: &'n Network,
    /// By finding.
    limits: &'n [Option<Limit>],
    tracked: &'n [usize],
    positives: Vec<Positive>,
    members: Vec<usize>,
    /// For each member, the places in `positives` it can produce.
    touches: Vec<Vec<usize>>,
    /// For each member, (member, factor) of its children.
    children: Vec<Vec<(usize, f64)>>,
}

/// What is known when some causes are folded, a row for each context: the product that each
/// waiting child has met, and which tracked causes are present.
#[derive(Default)]
struct Contexts {
    width: usize,
    products: Vec<f64>,
    tracked: Vec<u32>,
    /// A number for each row, for a quick look-up.
    keys: Vec<u64>,
}

impl Contexts {
    fn row(&self, i: usize) -> &[f64] {
        &self.products[i * self.width..(i + 1) * self.width]
    }

    /// The context with this row, new or known.
    fn place(&mut self, row: &[f64], tracked: u32) -> u32 {
        let key = row.iter().fold(u64::from(tracked), |key, x| {
            (key.rotate_left(9) ^ x.to_bits()).wrapping_mul(0x9E37_79B9_7F4A_7C15)
        });
        let same = |i: usize| self.tracked[i] == tracked && self.row(i) == row;
        if let Some(i) =
            self.keys.iter().zip(0..).find_map(|(k, i)| (*k == key && same(i)).then_some(i))
        {
            return i as u32;
        }
        self.products.extend_from_slice(row);
        self.tracked.push(tracked);
        self.keys.push(key);
        self.keys.len() as u32 - 1
    }
}

impl<'n> Builder<'n> {
    fn new(
        network: &'n Network,
        limits: &'n [Option<Limit>],
        tracked: &'n [usize],
        positives: Vec<Positive>,
        members: Vec<usize>,
    ) -> Self {
        let place = |i: usize| members.iter().position(|&m| m == i);
        let touches = members
            .iter()
            .map(|&i| {
                (0..positives.len())
                    .filter(|&p| network.causes(positives[p].limit.finding).any(|c| c == i))
                    .collect()
            })
            .collect();
        let children = members
            .iter()
            .map(|&i| {
                network
                    .children(i)
                    .iter()
                    .filter(|(_, factor)| *factor != 1.0)
                    .filter_map(|&(child, factor)| place(child).map(|c| (c, factor)))
                    .collect()
            })
            .collect();
        Self { network, limits, tracked, positives, members, touches, children }
    }

    fn build(self) -> Result<Group, TooMuch> {
        let too_much = TooMuch { positives: self.positives.len() };
        if self.positives.len() > MAX_POSITIVE {
            return Err(too_much);
        }
        let order = self.order();
        let mut remaining = self.causes_per_positive();
        let mut layout: Vec<usize> = Vec::new();
        let mut open: Vec<usize> = Vec::new();
        let mut contexts = Contexts::default();
        contexts.place(&[], 0);
        let mut entries = 0usize;
        let mut steps = Vec::new();
        for member in order {
            let mut step = self.step(member, &mut layout, &mut remaining);
            entries = entries.saturating_add(step.len_in.saturating_mul(contexts.keys.len()));
            self.chain(member, &mut step, &mut open, &mut contexts);
            entries = entries.saturating_add(step.len_out.saturating_mul(contexts.keys.len()));
            if entries > MAX_ENTRIES {
                return Err(too_much);
            }
            steps.push(step);
        }
        Ok(Group { steps, finals: contexts.tracked })
    }

    fn causes_per_positive(&self) -> Vec<usize> {
        let mut count = vec![0; self.positives.len()];
        self.touches.iter().flatten().for_each(|&p| count[p] += 1);
        count
    }

    /// Parents first; of the causes that are ready, the one that leaves the smallest table.
    fn order(&self) -> Vec<usize> {
        let n = self.members.len();
        let mut waiting = vec![0; n];
        self.children.iter().flatten().for_each(|&(c, _)| waiting[c] += 1);
        let total = self.causes_per_positive();
        let mut remaining = total.clone();
        let mut open_children: Vec<usize> = self.children.iter().map(Vec::len).collect();
        let mut products = vec![vec![1.0]; n];
        let mut folded = vec![false; n];
        let (mut live, mut parents, mut tracked) = (0i32, 0i32, 0i32);
        let mut parents_of = vec![Vec::new(); n];
        for (p, children) in self.children.iter().enumerate() {
            children.iter().for_each(|&(c, _)| parents_of[c].push(p));
        }
        // Bits that the products of each cause not yet folded are worth.
        let mut classes = vec![0.0; n];
        let mut order = Vec::with_capacity(n);
        while order.len() < n {
            let all_classes: f64 = (0..n).filter(|&c| !folded[c]).map(|c| classes[c]).sum();
            let mut best: Option<(f64, usize)> = None;
            for m in (0..n).filter(|&m| !folded[m] && waiting[m] == 0) {
                let opens = self.touches[m].iter().filter(|&&p| remaining[p] == total[p]).count();
                let closes = self.touches[m].iter().filter(|&&p| remaining[p] == 1).count();
                let live_after = live + opens as i32 - closes as i32;
                let closed_parents =
                    parents_of[m].iter().filter(|&&p| open_children[p] == 1).count() as i32;
                let opens_parent = i32::from(!self.children[m].is_empty());
                let parents_after = parents - closed_parents + opens_parent;
                let mut open_classes = all_classes - classes[m];
                for &(c, f) in &self.children[m] {
                    let old = &products[c];
                    let new = old.iter().filter(|&&x| !old.contains(&(x * f))).count();
                    open_classes += libm::log2((old.len() + new) as f64) - classes[c];
                }
                let is_tracked = i32::from(self.tracked.contains(&self.members[m]));
                let contexts =
                    open_classes.min(f64::from(parents_after)) + f64::from(tracked + is_tracked);
                // What the step leaves counts whole, what it needs on the way counts half; measured.
                let cost = contexts + f64::from(live_after) + 0.5 * f64::from(live + opens as i32);
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, m));
                }
            }
            // Some cause is always ready, because a network has no circle.
            let Some((_, m)) = best else { break };
            folded[m] = true;
            order.push(m);
            let opens = self.touches[m].iter().filter(|&&p| remaining[p] == total[p]).count();
            self.touches[m].iter().for_each(|&p| remaining[p] -= 1);
            let closes = self.touches[m].iter().filter(|&&p| remaining[p] == 0).count();
            live += opens as i32 - closes as i32;
            tracked += i32::from(self.tracked.contains(&self.members[m]));
            for &p in &parents_of[m] {
                open_children[p] -= 1;
                parents -= i32::from(open_children[p] == 0);
            }
            parents += i32::from(!self.children[m].is_empty());
            for &(c, f) in &self.children[m] {
                waiting[c] -= 1;
                let new: Vec<f64> = products[c].iter().map(|x| x * f).collect();
                products[c].extend(new);
                products[c].sort_by(f64::total_cmp);
                products[c].dedup();
                classes[c] = libm::log2(products[c].len() as f64);
            }
        }
        order
    }

    /// The tables of one cause, and how the bits of the table move.
    fn step(&self, member: usize, layout: &mut Vec<usize>, remaining: &mut [usize]) -> Step {
        let mechanism = self.members[member];
        let cause = &self.network.mechanisms()[mechanism];
        let (mut stays, mut opens, mut closes, mut single) = (vec![], vec![], vec![], vec![]);
        for &p in &self.touches[member] {
            remaining[p] -= 1;
            match (layout.contains(&p), remaining[p] > 0) {
                (true, true) => stays.push(p),
                (false, true) => opens.push(p),
                (true, false) => closes.push(p),
                (false, false) => single.push(p),
            }
        }
        let rest: Vec<usize> =
            layout.iter().filter(|p| !self.touches[member].contains(p)).copied().collect();
        let before: Vec<usize> = rest.iter().chain(&stays).chain(&closes).copied().collect();
        let order = permutation(layout, &before);
        let len_in = 1usize << before.len();
        *layout = rest.iter().chain(&stays).chain(&opens).copied().collect();
        let len_out = 1usize << layout.len();
        // From the lowest bit of the cause's table to the highest.
        let bits: Vec<(usize, Touch)> = stays
            .iter()
            .map(|&p| (p, Touch::Stays))
            .chain(closes.iter().map(|&p| (p, Touch::Closes)))
            .chain(opens.iter().map(|&p| (p, Touch::Opens)))
            .collect();
        let by_state = prefers_states(&bits, rest.len(), cause.bins.len());
        let prior = self.network.prior(mechanism);
        let linked: Vec<(&Limit, usize)> = self
            .network
            .shows(mechanism)
            .iter()
            .filter_map(|&(finding, row)| Some((self.limits[finding].as_ref()?, row)))
            .collect();
        let row =
            |l: &Limit, r: usize, b: usize| &self.network.findings()[l.finding].rows[r].bins[b];
        let states = cause
            .bins
            .iter()
            .enumerate()
            .filter(|(_, bin)| bin.prior > 0.0)
            .map(|(b, bin)| {
                let own = |p: &Positive| {
                    let link = linked.iter().find(|(l, _)| l.finding == p.limit.finding);
                    link.map_or((1.0, 0.0), |(l, r)| {
                        let own = Positive::new(**l, row(l, *r, b));
                        (own.below, own.reach)
                    })
                };
                let upper = linked.iter().filter(|(l, _)| l.low == 0);
                let weight = upper.fold(1.0, |w, (l, r)| w * row(l, *r, b)[l.high]);
                State {
                    bin: b,
                    share: bin.prior / prior,
                    ..self.state(&bits, &single, own, weight, by_state)
                }
            })
            .collect();
        Step {
            mechanism,
            present: Vec::new(),
            leads: [Vec::new(), Vec::new()],
            n_out: 1,
            order,
            len_in,
            len_out,
            touch: bits.iter().rev().map(|(_, t)| *t).collect(),
            states,
            absent: self.state(&bits, &single, |_| (1.0, 0.0), 1.0, by_state),
            by_state,
            plain: true,
        }
    }

    /// One state of a cause: a product over the findings it touches.
    fn state(
        &self,
        bits: &[(usize, Touch)],
        single: &[usize],
        own: impl Fn(&Positive) -> (f64, f64),
        weight: f64,
        by_state: bool,
    ) -> State {
        let opened = |p: &Positive, (below, reach): (f64, f64)| {
            (p.below * below, p.reach * below + (p.below + p.reach) * reach)
        };
        let weight = single.iter().fold(weight, |product, &p| {
            let p = &self.positives[p];
            product * opened(p, own(p)).1
        });
        let mut pairs: Vec<(f64, f64)> = bits
            .iter()
            .map(|&(p, touch)| {
                let p = &self.positives[p];
                let (below, reach) = own(p);
                match touch {
                    Touch::Stays => (below, reach),
                    Touch::Opens => opened(p, (below, reach)),
                    Touch::Closes => (reach, below + reach),
                }
            })
            .collect();
        let mut table = Vec::new();
        if !by_state {
            table.push(1.0);
            for (low, high) in &pairs {
                let n = table.len();
                table.extend_from_within(..);
                table[..n].iter_mut().for_each(|x| *x *= low);
                table[n..].iter_mut().for_each(|x| *x *= high);
            }
        }
        pairs.reverse();
        State { bin: 0, share: 1.0, weight, pairs, table }
    }

    /// Chances of presence and the contexts after a step.
    fn chain(
        &self,
        member: usize,
        step: &mut Step,
        open: &mut Vec<usize>,
        contexts: &mut Contexts,
    ) {
        let prior = self.network.prior(step.mechanism);
        let n = contexts.keys.len();
        let own = open.iter().position(|&c| c == member);
        let bit = self.tracked.iter().position(|&t| t == step.mechanism);
        if own.is_none() && bit.is_none() && self.children[member].is_empty() {
            let same: Vec<Lead> = (0..n as u32).map(|c| Lead { to: c, from: c }).collect();
            step.present = vec![prior; n];
            step.leads = [same.clone(), same];
            step.n_out = n;
            return;
        }
        if let Some(i) = own {
            open.remove(i);
        }
        for &(c, _) in &self.children[member] {
            if !open.contains(&c) {
                open.push(c);
            }
        }
        let factors: Vec<(usize, f64)> = self.children[member]
            .iter()
            .filter_map(|(c, factor)| Some((open.iter().position(|o| o == c)?, *factor)))
            .collect();
        let mut after = Contexts { width: open.len(), ..Contexts::default() };
        after.products.reserve(2 * n * after.width);
        let mut row = Vec::with_capacity(after.width);
        step.present.reserve(n);
        step.leads.iter_mut().for_each(|leads| leads.reserve(n));
        for from in 0..n {
            let (known, tracked) = (contexts.row(from), contexts.tracked[from]);
            let factor = own.map_or(1.0, |i| known[i]);
            step.present.push(prior * factor / (1.0 - prior + prior * factor));
            row.clear();
            row.extend(known.iter().enumerate().filter(|(i, _)| Some(*i) != own).map(|(_, x)| x));
            row.resize(open.len(), 1.0);
            let from = from as u32;
            step.leads[0].push(Lead { to: after.place(&row, tracked), from });
            factors.iter().for_each(|(i, factor)| row[*i] *= factor);
            let tracked = tracked | bit.map_or(0, |b| 1 << b);
            step.leads[1].push(Lead { to: after.place(&row, tracked), from });
        }
        // Presence that no later step sees and that is as likely everywhere changes no context.
        step.plain =
            step.leads[0] == step.leads[1] && step.present.iter().all(|p| *p == step.present[0]);
        debug_assert!(!step.plain || step.leads[0].iter().all(|l| l.to == l.from), "one to one");
        step.leads.iter_mut().for_each(|leads| leads.sort_unstable());
        step.n_out = after.keys.len();
        *contexts = after;
    }
}

/// Whether passing every state alone costs less than one table for all; measured, not exact.
fn prefers_states(bits: &[(usize, Touch)], rest: usize, states: usize) -> bool {
    let count = |touch| bits.iter().filter(|(_, t)| *t == touch).count() as i32;
    let (stays, opens, closes) = (count(Touch::Stays), count(Touch::Opens), count(Touch::Closes));
    let power = |base: f64, n: i32| libm::pow(base, f64::from(n));
    let rest = rest as i32;
    // A leaf of the recursion costs a call and a short loop.
    let joint = power(3.0, stays) * power(2.0, opens + closes) * (16.0 + power(2.0, rest));
    let passes = f64::from(stays + 3) * power(2.0, rest + stays + opens.max(closes));
    2.0 * states as f64 * passes < joint
}

pub(crate) fn row_of(finding: &Finding, mechanism: usize) -> Option<usize> {
    finding.rows.iter().position(|r| r.mechanism == mechanism)
}

/// For each place in the new order of bits, the place in the old one; empty when equal.
fn permutation(old: &[usize], new: &[usize]) -> Vec<u32> {
    if old == new {
        return Vec::new();
    }
    let mut places = vec![0u32];
    for bit in new {
        let at = old.iter().position(|b| b == bit).unwrap_or(0);
        let n = places.len();
        places.extend_from_within(..);
        places[n..].iter_mut().for_each(|x| *x |= 1 << at);
    }
    places
}
