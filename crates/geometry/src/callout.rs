//! Puts names beside a drawing: two columns of labels and straight leaders that never cross.
//!
//! # Method
//!
//! 1. Labels are sorted by the x of their spots; those left of a dividing x go left and the rest
//!    right. Any upright divide keeps the leaders of the two sides apart. The divide is the
//!    median, or the nearest one to it at which both columns hold what they get.
//! 2. Within a side the slots follow the heights of the spots. Slots have one pitch, and the
//!    least-squares heights are an isotonic regression (pool adjacent violators).
//! 3. Straight leaders in that order can still cross. Exchanging the slots of two crossing
//!    leaders shortens their total length, so doing it until none cross comes to an end.
//! 4. Where a leader passes through the ring of another label, an exchange that mends it without
//!    a crossing is made.
//! 5. What was placed is checked. A label that still clashes is left out, the highest rank first.

mod draw;
mod measure;
#[cfg(test)]
pub(crate) mod tests;

use crate::scene::Scene;
use kurbo::{Line, Point, Rect};
use measure::{cross, distance, overlap, under};

pub use draw::{draw, key};
pub use measure::{key_width, width};

/// Length of the level run of a leader.
pub const RUN: f64 = 16.0;
/// Free space between a text and its leader.
pub const PAD: f64 = 6.0;
/// Free space between the level runs and the drawing.
pub const GUTTER: f64 = 20.0;
/// Radius of the ring on the part.
pub const RING: f64 = 3.4;

/// A part to be named.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Index in the targets of the scene.
    pub target: u32,
    /// Its name.
    pub name: String,
    /// How to tell it apart.
    pub note: Option<String>,
    /// 1 is placed first when there is not room for all; 0 is the chosen part, which gives way
    /// only where its name is wider than both columns.
    pub rank: u32,
}

/// What a label shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// Name and note.
    Names,
    /// A number in a disc; the names stand in a key, or are asked for.
    Numbers,
}

/// What is to be placed, and where.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// The drawing, in pixels.
    pub scene: &'a Scene,
    /// The parts to be named.
    pub labels: &'a [Label],
    /// The whole room for drawing and labels.
    pub area: Rect,
    /// Size of text, 1.0 at 100 %.
    pub text_scale: f64,
    /// What a label shows.
    pub style: Style,
}

/// The column that a label stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Left of the drawing, ending at the column edge.
    Left,
    /// Right of the drawing, beginning at the column edge.
    Right,
}

/// A label in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedLabel {
    /// Index in the targets of the scene.
    pub target: u32,
    /// Its name.
    pub name: String,
    /// How to tell it apart; none where there is no room for it.
    pub note: Option<String>,
    /// Its number, from 1 at the top left.
    pub number: Option<u32>,
    /// Its column.
    pub side: Side,
    /// Base line of the name at the column edge; the centre of the disc when it has a number.
    pub at: Point,
    /// The leader: from the text, along the level run, to the part.
    pub leader: Vec<Point>,
    /// Centre of the ring on the part.
    pub ring: Point,
    /// What the label covers, for the pointer.
    pub block: Rect,
}

/// All labels in their places.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Placed {
    /// The left column from the top, then the right one.
    pub labels: Vec<PlacedLabel>,
    /// Targets whose labels found no room, by rank.
    pub left_out: Vec<u32>,
}

/// The room for one column of labels.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Column {
    /// Where its texts end (left) or begin (right).
    pub edge: f64,
    /// How wide a text may be.
    pub room: f64,
    /// Upper end.
    pub top: f64,
    /// Lower end.
    pub bottom: f64,
}

impl Column {
    /// True where a text of this width has room; columns are often made just wide enough, so
    /// that the last bits of a sum must not decide.
    fn holds(self, width: f64) -> bool {
        width <= self.room + 1e-6
    }
}

/// The two columns beside a drawing within an area.
pub(crate) fn columns(bounds: Rect, area: Rect) -> [Column; 2] {
    let out = GUTTER + RUN + PAD;
    let (top, bottom) = (area.y0, area.y1);
    let (left, right) = (bounds.x0 - out, bounds.x1 + out);
    [
        Column { edge: left, room: left - area.x0, top, bottom },
        Column { edge: right, room: area.x1 - right, top, bottom },
    ]
}

/// Places labels; no two leaders cross and no two labels overlap.
pub fn place(ask: &Ask<'_>) -> Placed {
    place_in(ask, columns(ask.scene.bounds, ask.area))
}

/// A label on its way to a place.
#[derive(Clone, Copy)]
struct Item<'a> {
    label: &'a Label,
    spot: Point,
    name: f64,
    note: Option<f64>,
}

/// Heights of a label about its leader, and the pitch of a column.
#[derive(Clone, Copy)]
struct Block {
    up: f64,
    down: f64,
    gap: f64,
    notes: bool,
}

impl Block {
    const fn pitch(self) -> f64 {
        self.up + self.down + self.gap
    }

    fn capacity(self, column: Column) -> usize {
        let free = column.bottom - column.top - self.up - self.down;
        if free < 0.0 { 0 } else { libm::floor(free / self.pitch() + 1e-9) as usize + 1 }
    }
}

/// Blocks from the roomiest to the tightest; the last one leaves the notes out.
fn blocks(style: Style, notes: bool, scale: f64) -> Vec<Block> {
    let block = |up, down, gap, notes| Block {
        up: up * scale,
        down: down * scale,
        gap: gap * scale,
        notes,
    };
    match style {
        Style::Numbers => vec![block(13.0, 13.0, 10.0, false), block(13.0, 13.0, 4.0, false)],
        Style::Names => {
            let plain = [block(10.0, 10.0, 8.0, false), block(10.0, 10.0, 4.0, false)];
            let full = [block(10.0, 26.0, 8.0, true), block(10.0, 26.0, 4.0, true)];
            if notes { [full, plain].concat() } else { plain.to_vec() }
        }
    }
}

/// Places labels in two given columns.
pub(crate) fn place_in(ask: &Ask<'_>, columns: [Column; 2]) -> Placed {
    let scale = if ask.text_scale.is_finite() { ask.text_scale.clamp(0.5, 4.0) } else { 1.0 };
    let mut items = items(ask, scale);
    let mut left_out: Vec<(u32, u32)> = ask
        .labels
        .iter()
        .filter(|l| !items.iter().any(|i| std::ptr::eq(i.label, *l)))
        .map(|l| (l.rank, l.target))
        .collect();
    let blocks = blocks(ask.style, items.iter().any(|i| i.note.is_some()), scale);
    let Some((block, split)) =
        blocks.iter().find_map(|b| split(&items, *b, columns).map(|s| (*b, s))).or_else(|| {
            let tight = *blocks.last()?;
            thin_out(&mut items, tight, columns, &mut left_out).map(|s| (tight, s))
        })
    else {
        return Placed { labels: Vec::new(), left_out: by_rank(left_out) };
    };
    let (left, right) = items.split_at(split);
    let mut placed = Vec::new();
    for (side, items) in [(Side::Left, left), (Side::Right, right)] {
        let column = columns[side as usize];
        let mut side_items = items.to_vec();
        side_items.sort_by(|a, b| {
            a.spot
                .y
                .total_cmp(&b.spot.y)
                .then(a.spot.x.total_cmp(&b.spot.x))
                .then(a.label.target.cmp(&b.label.target))
        });
        let slots = slots(&side_items, block, column);
        let start = run_end(side, column);
        untangle(&mut side_items, &slots, start);
        clear_rings(&mut side_items, &slots, start);
        for (item, y) in side_items.iter().zip(&slots) {
            placed.push((item.label.rank, finish(item, *y, side, column, block, ask.style, scale)));
        }
    }
    leave_out_clashes(&mut placed, ask.area, &mut left_out);
    let mut labels: Vec<PlacedLabel> = placed.into_iter().map(|(_, l)| l).collect();
    if ask.style == Style::Numbers {
        for (i, label) in labels.iter_mut().enumerate() {
            label.number = Some(i as u32 + 1);
        }
    }
    Placed { labels, left_out: by_rank(left_out) }
}

fn by_rank(mut left_out: Vec<(u32, u32)>) -> Vec<u32> {
    left_out.sort_unstable();
    left_out.into_iter().map(|(_, target)| target).collect()
}

/// The labels with a spot, sorted by x, no two at the same spot.
fn items<'a>(ask: &Ask<'a>, scale: f64) -> Vec<Item<'a>> {
    let mut items: Vec<Item<'_>> = Vec::new();
    for label in ask.labels {
        let Some(target) = ask.scene.targets.get(label.target as usize) else { continue };
        let mut spot = target.spot;
        if !spot.is_finite() {
            continue;
        }
        // Two leaders to one point would meet there; a ring has room for both.
        while items.iter().any(|i| i.spot.distance_squared(spot) < 1.0) {
            spot.y += 2.0;
        }
        let (name, note) = measure::widths(label, ask.style, scale);
        items.push(Item { label, spot, name, note });
    }
    items.sort_by(|a, b| {
        a.spot
            .x
            .total_cmp(&b.spot.x)
            .then(a.spot.y.total_cmp(&b.spot.y))
            .then(a.label.target.cmp(&b.label.target))
    });
    items
}

/// How many of the items go left: the number nearest to half at which all find room.
fn split(items: &[Item<'_>], block: Block, columns: [Column; 2]) -> Option<usize> {
    let [left, right] = columns;
    let n = items.len();
    let fits = |at: usize| {
        at <= block.capacity(left)
            && n - at <= block.capacity(right)
            && items[..at].iter().all(|i| left.holds(i.name))
            && items[at..].iter().all(|i| right.holds(i.name))
    };
    // With an odd number the middle one goes to the side it is nearer to.
    let middle = (left.edge + right.edge) / 2.0;
    let half = n / 2 + usize::from(n % 2 == 1 && items[n / 2].spot.x < middle);
    (0..=n).filter(|at| fits(*at)).min_by_key(|at| (at.abs_diff(half), *at))
}

/// Leaves labels out, the highest rank first, until the rest finds room.
fn thin_out(
    items: &mut Vec<Item<'_>>,
    block: Block,
    columns: [Column; 2],
    left_out: &mut Vec<(u32, u32)>,
) -> Option<usize> {
    let [left, right] = columns;
    let fits_both = |i: &Item<'_>| left.holds(i.name) && right.holds(i.name);
    let spared = |i: &Item<'_>| i.label.rank == 0 && (left.holds(i.name) || right.holds(i.name));
    while !items.is_empty() {
        if let Some(at) = split(items, block, columns) {
            return Some(at);
        }
        // One wide name must not drive all the others out.
        let total = block.capacity(left) + block.capacity(right);
        let by_width = items.len() <= total;
        let key = |i: &usize| (!spared(&items[*i]), items[*i].label.rank, items[*i].label.target);
        let worst = (0..items.len())
            .filter(|i| !by_width || (!fits_both(&items[*i]) && !spared(&items[*i])))
            .max_by_key(key)
            .or_else(|| (0..items.len()).max_by_key(key))?;
        let gone = items.remove(worst);
        left_out.push((gone.label.rank, gone.label.target));
    }
    None
}

const fn run_end(side: Side, column: Column) -> f64 {
    match side {
        Side::Left => column.edge + PAD + RUN,
        Side::Right => column.edge - PAD - RUN,
    }
}

/// Heights of the leaders of a column, near the spots and one pitch apart.
///
/// With z = y − i·pitch the spacing says only that z may not fall, so the nearest heights are the
/// isotonic regression of the spots' z, cut off at both ends of the column.
fn slots(items: &[Item<'_>], block: Block, column: Column) -> Vec<f64> {
    let pitch = block.pitch();
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let mut pool = (item.spot.y - i as f64 * pitch, 1);
        while let Some((mean, count)) = pools.pop_if(|(mean, _)| *mean > pool.0) {
            let total = count + pool.1;
            pool = ((mean * count as f64 + pool.0 * pool.1 as f64) / total as f64, total);
        }
        pools.push(pool);
    }
    let low = column.top + block.up;
    let high = column.bottom - block.down - (items.len().max(1) - 1) as f64 * pitch;
    pools
        .iter()
        .flat_map(|(mean, count)| std::iter::repeat_n(mean.min(high).max(low), *count))
        .enumerate()
        .map(|(i, z)| z + i as f64 * pitch)
        .collect()
}

/// Exchanges slots until no two leaders of the column cross.
fn untangle(items: &mut [Item<'_>], slots: &[f64], start: f64) {
    let leader = |item: &Item<'_>, slot: usize| Line::new((start, slots[slot]), item.spot);
    let n = items.len();
    let mut changed = true;
    while changed {
        changed = false;
        for a in 0..n {
            for b in a + 1..n {
                let now = [leader(&items[a], a), leader(&items[b], b)];
                if !cross(now[0], now[1]) {
                    continue;
                }
                let then = [leader(&items[b], a), leader(&items[a], b)];
                let sum = |l: [Line; 2]| l[0].length() + l[1].length();
                // The total falls with every exchange, so that this ends.
                if sum(then) < sum(now) - 1e-9 {
                    items.swap(a, b);
                    changed = true;
                }
            }
        }
    }
}

/// Exchanges slots where that keeps a leader off the ring of another label.
fn clear_rings(items: &mut [Item<'_>], slots: &[f64], start: f64) {
    let leader = |items: &[Item<'_>], i: usize| Line::new((start, slots[i]), items[i].spot);
    let n = items.len();
    let hits = |items: &[Item<'_>]| -> usize {
        (0..n)
            .map(|i| {
                let line = leader(items, i);
                let hit = |j: usize| j != i && distance(line, items[j].spot) < RING + 2.5;
                (0..n).filter(|j| hit(*j)).count()
            })
            .sum()
    };
    let tangled = |items: &[Item<'_>], i: usize| {
        (0..n).any(|j| j != i && cross(leader(items, i), leader(items, j)))
    };
    let mut now = hits(items);
    let mut better = true;
    while better && now > 0 {
        better = false;
        for (a, b) in (0..n).flat_map(|a| (a + 1..n).map(move |b| (a, b))) {
            items.swap(a, b);
            let then = hits(items);
            if then < now && !tangled(items, a) && !tangled(items, b) {
                now = then;
                better = true;
            } else {
                items.swap(a, b);
            }
        }
    }
}

fn finish(
    item: &Item<'_>,
    y: f64,
    side: Side,
    column: Column,
    block: Block,
    style: Style,
    scale: f64,
) -> PlacedLabel {
    let note_width = item.note.filter(|w| block.notes && column.holds(*w));
    let note = item.label.note.clone().filter(|_| note_width.is_some());
    let width = item.name.max(note_width.unwrap_or(0.0));
    let inward = match side {
        Side::Left => 1.0,
        Side::Right => -1.0,
    };
    let outer = column.edge - inward * width;
    let down = if note.is_some() || !block.notes { block.down } else { block.up };
    let at = match style {
        Style::Names => Point::new(column.edge, y + measure::MIDDLE * measure::NAME * scale),
        Style::Numbers => Point::new(column.edge - inward * width / 2.0, y),
    };
    PlacedLabel {
        target: item.label.target,
        name: item.label.name.clone(),
        note,
        number: None,
        side,
        at,
        leader: vec![
            Point::new(column.edge + inward * PAD, y),
            Point::new(run_end(side, column), y),
            item.spot,
        ],
        ring: item.spot,
        block: Rect::new(column.edge.min(outer), y - block.up, column.edge.max(outer), y + down),
    }
}

/// Leaves out what crosses, overlaps or lies outside the area, the highest rank first.
fn leave_out_clashes(
    placed: &mut Vec<(u32, PlacedLabel)>,
    area: Rect,
    left_out: &mut Vec<(u32, u32)>,
) {
    loop {
        let clashing = |i: usize| {
            let a = &placed[i].1;
            let outside = a.block.union(area).area() > area.area() + 1e-6;
            let other = |j: usize| j != i && clash(a, &placed[j].1);
            outside || (0..placed.len()).any(other)
        };
        let worst = (0..placed.len())
            .filter(|i| clashing(*i))
            .max_by_key(|i| (placed[*i].0, placed[*i].1.target));
        let Some(worst) = worst else { return };
        let (rank, gone) = placed.remove(worst);
        left_out.push((rank, gone.target));
    }
}

fn clash(a: &PlacedLabel, b: &PlacedLabel) -> bool {
    let lines = |l: &PlacedLabel| -> Vec<Line> {
        l.leader.windows(2).map(|w| Line::new(w[0], w[1])).collect()
    };
    let (of_a, of_b) = (lines(a), lines(b));
    overlap(a.block, b.block)
        || of_a.iter().any(|l| under(*l, b.block) || of_b.iter().any(|m| cross(*l, *m)))
        || of_b.iter().any(|l| under(*l, a.block))
}
