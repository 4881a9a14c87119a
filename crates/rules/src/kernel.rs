//! The inner loops of the fold: apply a cause to a table, and the adjoints of that.
//!
//! A table has one entry per set of explained findings; its highest bits are those the cause
//! touches. All terms are positive, so nothing cancels. There are two ways: the states of a
//! cause are summed into one small table first ([`apply`]; splitting by the highest bit needs
//! three products of halves instead of four), or each state, being a product over findings, is
//! passed through bit by bit ([`apply_state`]), which is quicker when a cause touches many.

/// What happens to a finding's bit when a cause is folded in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Touch {
    /// The bit is in the table before and after.
    Stays,
    /// First cause of the finding: the bit is only in the table after.
    Opens,
    /// Last cause of the finding: the bit is only in the table before, and must be reached.
    Closes,
}

fn halves(x: &[f64]) -> (&[f64], &[f64]) {
    x.split_at(x.len() / 2)
}

fn halves_mut(x: &mut [f64]) -> (&mut [f64], &mut [f64]) {
    let mid = x.len() / 2;
    x.split_at_mut(mid)
}

/// Adds a multiple of a table.
pub(crate) fn add_scaled(out: &mut [f64], scale: f64, x: &[f64]) {
    for (o, v) in out.iter_mut().zip(x) {
        *o += scale * v;
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    if let ([x], [y]) = (a, b) {
        return x * y;
    }
    // Four running sums let the processor work in parallel; the order is fixed all the same.
    let mut sums = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a4.zip(b4) {
        for i in 0..4 {
            sums[i] += x[i] * y[i];
        }
    }
    sums[0] + sums[1] + (sums[2] + sums[3]) + rest
}

fn is_zero(q: &[f64]) -> bool {
    q.iter().all(|x| *x == 0.0)
}

/// [`apply`] for one touched bit, in one pass: most of the recursion ends here.
fn apply_one(t: &[f64], q0: f64, q1: f64, out: &mut [f64], touch: Touch) {
    match touch {
        Touch::Opens => {
            let (o0, o1) = halves_mut(out);
            for ((a, b), x) in o0.iter_mut().zip(o1).zip(t) {
                *a += q0 * x;
                *b += q1 * x;
            }
        }
        Touch::Closes => {
            let (t0, t1) = halves(t);
            for ((o, x), y) in out.iter_mut().zip(t0).zip(t1) {
                *o += q0 * x + q1 * y;
            }
        }
        Touch::Stays => {
            let ((t0, t1), (o0, o1)) = (halves(t), halves_mut(out));
            for (((a, b), x), y) in o0.iter_mut().zip(o1).zip(t0).zip(t1) {
                *a += q0 * x;
                *b += q1 * x + (q0 + q1) * y;
            }
        }
    }
}

/// [`pull`] for one touched bit, in one pass.
fn pull_one(t: &mut [f64], q0: f64, q1: f64, out: &[f64], touch: Touch) {
    match touch {
        Touch::Opens => {
            let (o0, o1) = halves(out);
            for ((x, a), b) in t.iter_mut().zip(o0).zip(o1) {
                *x += q0 * a + q1 * b;
            }
        }
        Touch::Closes => {
            let (t0, t1) = halves_mut(t);
            for ((x, y), o) in t0.iter_mut().zip(t1).zip(out) {
                *x += q0 * o;
                *y += q1 * o;
            }
        }
        Touch::Stays => {
            let ((t0, t1), (o0, o1)) = (halves_mut(t), halves(out));
            for (((x, y), a), b) in t0.iter_mut().zip(t1).zip(o0).zip(o1) {
                *x += q0 * a + q1 * b;
                *y += (q0 + q1) * b;
            }
        }
    }
}

/// [`gather`] for one touched bit: what its two entries are worth.
fn gather_one(t: &[f64], out: &[f64], touch: Touch) -> (f64, f64) {
    match touch {
        Touch::Opens => {
            let (o0, o1) = halves(out);
            (dot(t, o0), dot(t, o1))
        }
        Touch::Closes => {
            let (t0, t1) = halves(t);
            (dot(t0, out), dot(t1, out))
        }
        Touch::Stays => {
            let ((t0, t1), (o0, o1)) = (halves(t), halves(out));
            let both = dot(t1, o1);
            (dot(t0, o0) + both, dot(t0, o1) + both)
        }
    }
}

/// Adds to `out` the table `t` with a cause of table `q` folded in.
pub(crate) fn apply(t: &[f64], q: &[f64], out: &mut [f64], touch: &[Touch], room: &mut [f64]) {
    let Some((first, rest)) = touch.split_first() else {
        return add_scaled(out, q[0], t);
    };
    if rest.is_empty() {
        return apply_one(t, q[0], q[1], out, *first);
    }
    let (q0, q1) = halves(q);
    match first {
        Touch::Opens => {
            let (o0, o1) = halves_mut(out);
            apply(t, q0, o0, rest, room);
            apply(t, q1, o1, rest, room);
        }
        Touch::Closes => {
            let (t0, t1) = halves(t);
            if !is_zero(q0) {
                apply(t0, q0, out, rest, room);
            }
            apply(t1, q1, out, rest, room);
        }
        Touch::Stays => {
            let (t0, t1) = halves(t);
            let (o0, o1) = halves_mut(out);
            apply(t0, q0, o0, rest, room);
            if is_zero(q1) {
                return apply(t1, q0, o1, rest, room);
            }
            apply(t0, q1, o1, rest, room);
            let (sum, room) = room.split_at_mut(q0.len());
            for ((s, a), b) in sum.iter_mut().zip(q0).zip(q1) {
                *s = a + b;
            }
            apply(t1, sum, o1, rest, room);
        }
    }
}

/// Adds to `t` the adjoint of [`apply`]: what each entry before is worth, given those after.
pub(crate) fn pull(t: &mut [f64], q: &[f64], out: &[f64], touch: &[Touch], room: &mut [f64]) {
    let Some((first, rest)) = touch.split_first() else {
        return add_scaled(t, q[0], out);
    };
    if rest.is_empty() {
        return pull_one(t, q[0], q[1], out, *first);
    }
    let (q0, q1) = halves(q);
    match first {
        Touch::Opens => {
            let (o0, o1) = halves(out);
            pull(t, q0, o0, rest, room);
            pull(t, q1, o1, rest, room);
        }
        Touch::Closes => {
            let (t0, t1) = halves_mut(t);
            if !is_zero(q0) {
                pull(t0, q0, out, rest, room);
            }
            pull(t1, q1, out, rest, room);
        }
        Touch::Stays => {
            let (t0, t1) = halves_mut(t);
            let (o0, o1) = halves(out);
            pull(t0, q0, o0, rest, room);
            if is_zero(q1) {
                return pull(t1, q0, o1, rest, room);
            }
            pull(t0, q1, o1, rest, room);
            let (sum, room) = room.split_at_mut(q0.len());
            for ((s, a), b) in sum.iter_mut().zip(q0).zip(q1) {
                *s = a + b;
            }
            pull(t1, sum, o1, rest, room);
        }
    }
}

/// Adds to `g` the other adjoint: what each entry of the cause's table is worth.
pub(crate) fn gather(t: &[f64], out: &[f64], g: &mut [f64], touch: &[Touch], room: &mut [f64]) {
    let Some((first, rest)) = touch.split_first() else {
        g[0] += dot(t, out);
        return;
    };
    if rest.is_empty() {
        let (low, high) = gather_one(t, out, *first);
        g[0] += low;
        g[1] += high;
        return;
    }
    let (g0, g1) = halves_mut(g);
    match first {
        Touch::Opens => {
            let (o0, o1) = halves(out);
            gather(t, o0, g0, rest, room);
            gather(t, o1, g1, rest, room);
        }
        Touch::Closes => {
            let (t0, t1) = halves(t);
            gather(t0, out, g0, rest, room);
            gather(t1, out, g1, rest, room);
        }
        Touch::Stays => {
            let (t0, t1) = halves(t);
            let (o0, o1) = halves(out);
            gather(t0, o0, g0, rest, room);
            gather(t0, o1, g1, rest, room);
            let (both, room) = room.split_at_mut(g0.len());
            both.fill(0.0);
            gather(t1, o1, both, rest, room);
            add_scaled(g0, 1.0, both);
            add_scaled(g1, 1.0, both);
        }
    }
}

/// Factors of one state for the bits it touches, highest first: entry without and with the bit.
pub(crate) type Pairs = [(f64, f64)];

/// Leaves in `x` the table `t` with one state of a cause folded in.
pub(crate) fn apply_state(t: &[f64], scale: f64, pairs: &Pairs, touch: &[Touch], x: &mut Vec<f64>) {
    x.clear();
    x.extend(t.iter().map(|v| scale * v));
    for (_, (low, high)) in of(touch, pairs, Touch::Closes) {
        let half = x.len() / 2;
        let (x0, x1) = x.split_at_mut(half);
        x0.iter_mut().zip(x1).for_each(|(a, b)| *a = low * *a + high * *b);
        x.truncate(half);
    }
    let mut width = x.len();
    for (_, (low, high)) in of(touch, pairs, Touch::Stays) {
        // A cause that is absent leaves such a bit alone.
        let blocks = if (*low, *high) == (1.0, 0.0) { &mut [] } else { &mut x[..] };
        for block in blocks.chunks_exact_mut(width) {
            let (x0, x1) = block.split_at_mut(width / 2);
            for (a, b) in x0.iter_mut().zip(x1) {
                *b = (low + high) * *b + high * *a;
                *a *= low;
            }
        }
        width /= 2;
    }
    for (_, (low, high)) in of(touch, pairs, Touch::Opens).rev() {
        let n = x.len();
        x.extend_from_within(..);
        x[..n].iter_mut().for_each(|v| *v *= low);
        x[n..].iter_mut().for_each(|v| *v *= high);
    }
}

/// The adjoint of [`apply_state`]: leaves in `x` what each entry before is worth, given those
/// after.
pub(crate) fn pull_state(
    out: &[f64],
    scale: f64,
    pairs: &Pairs,
    touch: &[Touch],
    x: &mut Vec<f64>,
) {
    x.clear();
    x.extend(out.iter().map(|v| scale * v));
    for (_, (low, high)) in of(touch, pairs, Touch::Opens) {
        let half = x.len() / 2;
        let (x0, x1) = x.split_at_mut(half);
        x0.iter_mut().zip(x1).for_each(|(a, b)| *a = low * *a + high * *b);
        x.truncate(half);
    }
    let mut width = x.len();
    for (_, (low, high)) in of(touch, pairs, Touch::Stays) {
        let blocks = if (*low, *high) == (1.0, 0.0) { &mut [] } else { &mut x[..] };
        for block in blocks.chunks_exact_mut(width) {
            let (x0, x1) = block.split_at_mut(width / 2);
            for (a, b) in x0.iter_mut().zip(x1) {
                *a = low * *a + high * *b;
                *b *= low + high;
            }
        }
        width /= 2;
    }
    for (_, (low, high)) in of(touch, pairs, Touch::Closes).rev() {
        let n = x.len();
        x.extend_from_within(..);
        x[..n].iter_mut().for_each(|v| *v *= low);
        x[n..].iter_mut().for_each(|v| *v *= high);
    }
}

/// The factors of all bits that are touched in one way, highest first.
fn of<'a>(
    touch: &'a [Touch],
    pairs: &'a Pairs,
    wanted: Touch,
) -> impl DoubleEndedIterator<Item = (&'a Touch, &'a (f64, f64))> {
    touch.iter().zip(pairs).filter(move |(t, _)| **t == wanted)
}

/// Sum of products of two tables.
pub(crate) fn inner(a: &[f64], b: &[f64]) -> f64 {
    dot(a, b)
}
