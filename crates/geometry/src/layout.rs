//! A design as placed solids in millimetres, or the reason why it cannot be built.
//!
//! Axes: x along the stack, y up from the inside floor, z away from the aisle, origin at the
//! inside left front bottom corner of the jar. Plates are placed by running sums: end negatives
//! are thinner, so an equal pitch would be wrong.

mod check;
mod deform;

pub use check::{Impossible, check};
pub use deform::Deformation;

use jarlight_model::design::{Design, Feature, Support};

/// An axis-parallel box.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Solid {
    /// Left and right.
    pub x: (f64, f64),
    /// Bottom and top.
    pub y: (f64, f64),
    /// Front and rear.
    pub z: (f64, f64),
}

impl Solid {
    /// Middle along x.
    pub fn mid_x(&self) -> f64 {
        f64::midpoint(self.x.0, self.x.1)
    }

    /// Middle along y.
    pub fn mid_y(&self) -> f64 {
        f64::midpoint(self.y.0, self.y.1)
    }

    /// Middle along z.
    pub fn mid_z(&self) -> f64 {
        f64::midpoint(self.z.0, self.z.1)
    }

    /// True when the insides of two boxes share room.
    pub fn overlaps(&self, other: &Self) -> bool {
        const TOUCH: f64 = 1e-6;
        let apart = |a: (f64, f64), b: (f64, f64)| a.1 <= b.0 + TOUCH || b.1 <= a.0 + TOUCH;
        !apart(self.x, other.x) && !apart(self.y, other.y) && !apart(self.z, other.z)
    }

    /// True when the box lies within another one.
    pub fn within(&self, outer: &Self) -> bool {
        const TOUCH: f64 = 1e-6;
        let inside = |a: (f64, f64), b: (f64, f64)| a.0 >= b.0 - TOUCH && a.1 <= b.1 + TOUCH;
        inside(self.x, outer.x) && inside(self.y, outer.y) && inside(self.z, outer.z)
    }
}

/// Which plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlateKind {
    /// Brown.
    Positive,
    /// Grey, between two positives.
    InsideNegative,
    /// Grey, at an end of the stack.
    EndNegative,
}

impl PlateKind {
    /// The id of the part.
    pub const fn part(self) -> &'static str {
        match self {
            Self::Positive => "positive_plate",
            Self::InsideNegative => "negative_plate_inside",
            Self::EndNegative => "negative_plate_end",
        }
    }

    /// True for the brown ones.
    pub const fn is_positive(self) -> bool {
        matches!(self, Self::Positive)
    }
}

/// A plate in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Which kind.
    pub kind: PlateKind,
    /// Its room, without lug and feet.
    pub solid: Solid,
    /// The flat neck up to the strap.
    pub lug: Solid,
    /// The feet; empty where it hangs.
    pub feet: Vec<Solid>,
    /// How far its edge bows out at mid height, along x.
    pub bow: f64,
}

/// A post in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Post {
    /// True for the positive ones.
    pub positive: bool,
    /// Middle along x.
    pub x: f64,
    /// Middle along z.
    pub z: f64,
    /// Diameter.
    pub diameter: f64,
    /// Where it starts and ends, along y.
    pub y: (f64, f64),
}

/// Heights of one cell, from the inside floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Levels {
    /// Top of the bridge.
    pub sediment: f64,
    /// Foot of the standing plates.
    pub plate_bottom: f64,
    /// Top of the plates.
    pub plate_top: f64,
    /// Underside of the straps.
    pub strap_bottom: f64,
    /// Top of the straps.
    pub strap_top: f64,
    /// Low line.
    pub low: f64,
    /// High line.
    pub high: f64,
    /// Where the liquid stands.
    pub liquid: f64,
    /// Underside of the cover.
    pub cover_under: f64,
    /// Top of the cover.
    pub cover_top: f64,
}

/// One cell of a jar.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Its room.
    pub room: Solid,
    /// Plates from left to right; for a round-plate cell from bottom to top.
    pub plates: Vec<Plate>,
    /// Separators, one in each gap.
    pub separators: Vec<Solid>,
    /// Mats, one against each positive face.
    pub mats: Vec<Solid>,
    /// Positive and negative strap; none in a round-plate cell.
    pub straps: Vec<(bool, Solid)>,
    /// Posts that rise from this cell.
    pub posts: Vec<Post>,
    /// Ribs of the bridge.
    pub ribs: Vec<Solid>,
    /// Bars that carry hung plates.
    pub hangers: Vec<Solid>,
    /// Boards at the ends of the stack.
    pub end_spacers: Vec<Solid>,
    /// The sheet on the separator tops.
    pub moss_shield: Option<Solid>,
    /// Tubes for a sample: room of each.
    pub tubes: Vec<Solid>,
    /// Middle of the vent, x and z.
    pub vent: (f64, f64),
    /// Stem of the funnel: from, to along y, and diameter.
    pub stem: Option<(f64, f64, f64)>,
    /// Whether this cell is turned half round in its jar.
    pub turned: bool,
}

/// A jar with its cells, laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The design it was made from.
    pub design: Design,
    /// Inside room of one cell along x.
    pub inner_x: f64,
    /// Outside width of the jar along x.
    pub outer_x: f64,
    /// Inside room along z.
    pub inner_z: f64,
    /// Outside depth.
    pub outer_z: f64,
    /// Thickness of the stack.
    pub stack: f64,
    /// From the outer floor to the top of the cover.
    pub outer_height: f64,
    /// The heights.
    pub levels: Levels,
    /// The cells from left to right.
    pub cells: Vec<Cell>,
    /// Partitions between the cells.
    pub partitions: Vec<Solid>,
    /// What is out of the ordinary.
    pub deformation: Deformation,
}

/// Share of the inner width at which the left and right post of a pair of lines stand.
const POST_AT: (f64, f64) = (0.29, 0.71);
/// The same where a polarity has two posts.
const POST_PAIR_AT: (f64, f64) = (0.25, 0.75);
/// Share of the plate width at which the positive and negative lugs stand.
const LUG_AT: (f64, f64) = (0.25, 0.75);
/// Extent of a lug along z, as a share of the plate width.
const LUG_WIDTH: f64 = 0.12;
/// How far below the low line a funnel stem ends.
const STEM_UNDER: f64 = 5.0;

impl Layout {
    /// Lays out a healthy cell.
    pub fn healthy(design: &Design) -> Result<Self, Vec<Impossible>> {
        Self::build(design, &Deformation::default())
    }

    /// Lays out a cell with what has happened to it.
    pub fn build(design: &Design, deformation: &Deformation) -> Result<Self, Vec<Impossible>> {
        let faults = check(design);
        if !faults.is_empty() {
            return Err(faults);
        }
        let sums = Sums::of(design);
        let levels = sums.levels(design, deformation);
        let jar = &design.jar;
        let cells = (0..jar.cells)
            .map(|i| {
                let left = f64::from(i) * (sums.inner_x + jar.partition);
                cell(design, &sums, &levels, deformation, left, i)
            })
            .collect();
        let partitions = (1..jar.cells)
            .map(|i| {
                let x = f64::from(i) * (sums.inner_x + jar.partition) - jar.partition;
                Solid {
                    x: (x, x + jar.partition),
                    y: (0.0, levels.cover_under),
                    z: (0.0, sums.inner_z),
                }
            })
            .collect();
        Ok(Self {
            inner_x: sums.inner_x,
            outer_x: sums.outer_x,
            inner_z: sums.inner_z,
            outer_z: sums.inner_z + 2.0 * jar.wall,
            stack: sums.stack,
            outer_height: jar.floor + levels.cover_top,
            levels,
            cells,
            partitions,
            deformation: deformation.clone(),
            design: design.clone(),
        })
    }

    /// Inside room of the whole jar along x, partitions included.
    pub fn inside_x(&self) -> f64 {
        self.outer_x - 2.0 * self.design.jar.wall
    }

    /// All plates of all cells.
    pub fn plates(&self) -> impl Iterator<Item = &Plate> {
        self.cells.iter().flat_map(|c| &c.plates)
    }

    /// Free acid in one cell in cubic centimetres: the envelope to the high line less half of
    /// the block of the pack, because grid, paste and separator fill about half of it.
    pub fn acid_cm3(&self) -> f64 {
        let d = &self.design;
        let (envelope, block) = match &d.round {
            Some(r) => {
                let area = |dia: f64| std::f64::consts::PI * dia * dia / 4.0;
                (area(r.jar_diameter) * self.levels.high, area(r.plate_diameter) * self.stack)
            }
            None => (
                self.inner_x * self.inner_z * self.levels.high,
                self.stack * d.plates.width * d.plates.height,
            ),
        };
        (envelope - block / 2.0) / 1000.0
    }
}

/// The sums of one cell.
pub(crate) struct Sums {
    pub(crate) gap: f64,
    pub(crate) stack: f64,
    pub(crate) inner_x: f64,
    pub(crate) outer_x: f64,
    pub(crate) inner_z: f64,
}

impl Sums {
    pub(crate) fn of(d: &Design) -> Self {
        let p = f64::from(d.plates.positives);
        let (gap, stack, inner_x, inner_z) = match &d.round {
            Some(r) => {
                let gap = d.separator.thickness;
                let pitch = d.plates.positive + d.plates.inside_negative + 2.0 * gap;
                (gap, p * pitch + d.plates.end_negative, r.jar_diameter, r.jar_diameter)
            }
            None => {
                let gap = d.separator.thickness + d.mat;
                let stack = p * d.plates.positive
                    + (p - 1.0) * d.plates.inside_negative
                    + 2.0 * d.plates.end_negative
                    + 2.0 * p * gap;
                let inner_x = stack + 2.0 * d.jar.clearance_x;
                (gap, stack, inner_x, d.plates.width + 2.0 * d.jar.clearance_z)
            }
        };
        let n = f64::from(d.jar.cells);
        let outer_x = n * inner_x + (n - 1.0) * d.jar.partition + 2.0 * d.jar.wall;
        Self { gap, stack, inner_x, outer_x, inner_z }
    }

    pub(crate) fn levels(&self, d: &Design, deform: &Deformation) -> Levels {
        let h = &d.heights;
        let standing = if d.support == Support::AllHung { 0.0 } else { h.feet };
        let plate_bottom = h.sediment + standing;
        let height = if d.round.is_some() { self.stack } else { d.plates.height };
        let plate_top = plate_bottom + height;
        let strap_bottom = plate_top + h.lug;
        let strap_top = strap_bottom + h.strap;
        let low = strap_top + h.low_over;
        let high = low + h.span;
        let cover_under = high + h.head;
        Levels {
            sediment: h.sediment,
            plate_bottom,
            plate_top,
            strap_bottom,
            strap_top,
            low,
            high,
            liquid: deform.liquid.unwrap_or(low + 0.7 * h.span),
            cover_under,
            cover_top: cover_under + d.jar.cover,
        }
    }
}

fn cell(
    d: &Design,
    sums: &Sums,
    levels: &Levels,
    deform: &Deformation,
    left: f64,
    index: u32,
) -> Cell {
    let room = Solid {
        x: (left, left + sums.inner_x),
        y: (0.0, levels.cover_under),
        z: (0.0, sums.inner_z),
    };
    // In a multi-cell jar every second cell is turned, so that neighbouring straps join + to -.
    let turned = index % 2 == 1;
    let (plates, separators, mats) = if d.round.is_some() {
        flat_stack(d, levels, &room)
    } else {
        upright_stack(d, sums, levels, deform, &room, turned)
    };
    let (posts, vent) = posts(d, sums, levels, deform, left, index);
    let straps = match d.round {
        Some(_) => Vec::new(),
        None => straps(d, sums, levels, deform, left, turned),
    };
    let tubes = tubes(d, sums, levels, left);
    let has_shield = d.has(Feature::MossShield);
    Cell {
        room,
        ribs: ribs(d, sums, left),
        hangers: hangers(d, sums, levels, left),
        end_spacers: end_spacers(d, sums, levels, left),
        moss_shield: has_shield.then(|| {
            let y = levels.plate_top + d.separator.above;
            let z0 = d.jar.clearance_z - d.separator.side;
            Solid {
                x: (left + d.jar.clearance_x, left + sums.inner_x - d.jar.clearance_x),
                y: (y, y + 1.5),
                z: (z0, sums.inner_z - z0),
            }
        }),
        tubes,
        vent,
        stem: d.arrestor.funnel.as_ref().map(|f| {
            (levels.low - STEM_UNDER, levels.cover_top, f.stem)
        }),
        posts,
        straps,
        plates,
        separators,
        mats,
        turned,
    }
}

fn upright_stack(
    d: &Design,
    sums: &Sums,
    levels: &Levels,
    deform: &Deformation,
    room: &Solid,
    turned: bool,
) -> (Vec<Plate>, Vec<Solid>, Vec<Solid>) {
    let (mut plates, mut separators, mut mats) = (Vec::new(), Vec::new(), Vec::new());
    let mut x = room.x.0 + d.jar.clearance_x;
    let n = 2 * d.plates.positives + 1;
    let z = (d.jar.clearance_z, d.jar.clearance_z + d.plates.width);
    for k in 0..n {
        let kind = match k {
            k if k % 2 == 1 => PlateKind::Positive,
            0 => PlateKind::EndNegative,
            k if k == n - 1 => PlateKind::EndNegative,
            _ => PlateKind::InsideNegative,
        };
        let thickness = match kind {
            PlateKind::Positive => d.plates.positive,
            PlateKind::InsideNegative => d.plates.inside_negative,
            PlateKind::EndNegative => d.plates.end_negative,
        };
        plates.push(plate(d, levels, deform, kind, (x, x + thickness), z, turned));
        x += thickness;
        if k + 1 == n {
            break;
        }
        let y = (levels.plate_bottom - d.separator.below, levels.plate_top + d.separator.above);
        let side = d.separator.side;
        // The mat lies against the positive: behind it when the positive comes first.
        let mat_first = kind.is_positive();
        let sheet = if mat_first { x + d.mat } else { x };
        separators.push(Solid {
            x: (sheet, sheet + d.separator.thickness),
            y,
            z: (z.0 - side, z.1 + side),
        });
        if d.mat > 0.0 {
            let felt = if mat_first { x } else { x + d.separator.thickness };
            // A mat ends between the plate top and the separator top.
            let top = levels.plate_top + 0.5 * d.separator.above;
            let foot = levels.plate_bottom - 0.5 * d.separator.below;
            mats.push(Solid { x: (felt, felt + d.mat), y: (foot, top), z: (z.0 - 1.0, z.1 + 1.0) });
        }
        x += sums.gap;
    }
    (plates, separators, mats)
}

fn plate(
    d: &Design,
    levels: &Levels,
    deform: &Deformation,
    kind: PlateKind,
    x: (f64, f64),
    z: (f64, f64),
    turned: bool,
) -> Plate {
    let positive = kind.is_positive();
    let mut y = (levels.plate_bottom, levels.plate_top);
    let mut z = z;
    if positive {
        if d.support == Support::HungPositives {
            y.0 += d.heights.hung_short;
        }
        let grown = deform.growth * d.plates.height;
        match d.support {
            // Hung plates lengthen downward until they meet the rib; the rest lifts the top.
            Support::HungPositives => {
                let room = (y.0 - levels.sediment).max(0.0);
                y.0 -= grown.min(room);
                y.1 += (grown - room).max(0.0);
            }
            Support::AllHung => y.0 -= grown,
            Support::Standing | Support::Ring => y.1 += (grown - 1.0).max(0.0),
        }
        let side = 0.35 * deform.growth * d.plates.width;
        z = (z.0 - side, z.1 + side);
    }
    let share = if positive != turned { LUG_AT.0 } else { LUG_AT.1 };
    let width = LUG_WIDTH * d.plates.width;
    let middle = d.jar.clearance_z + share * d.plates.width;
    // A lug is no thicker than its plate; the strap has the same underside for both.
    let thin = 0.62 * (x.1 - x.0);
    let mid = f64::midpoint(x.0, x.1);
    let lift = if positive { deform.post_lift } else { 0.0 };
    let lug = Solid {
        x: (mid - thin / 2.0, mid + thin / 2.0),
        y: (y.1, levels.strap_bottom + lift),
        z: (middle - width / 2.0, middle + width / 2.0),
    };
    let stands = match d.support {
        Support::Standing => true,
        Support::HungPositives => !positive,
        Support::AllHung | Support::Ring => false,
    };
    let feet = if stands { feet(d, levels, positive, x) } else { Vec::new() };
    let bow = if positive { deform.bow } else { 0.0 };
    Plate { kind, solid: Solid { x, y, z }, lug, feet, bow }
}

/// Middles of the ribs along z: where both polarities stand, each has ribs of its own.
fn rib_middles(d: &Design, sums_z: f64) -> Vec<f64> {
    let n = d.bridge.ribs;
    let shares: Vec<f64> = match n {
        0 => Vec::new(),
        1 => vec![0.5],
        2 => vec![0.2, 0.8],
        3 => vec![0.18, 0.5, 0.82],
        4 => vec![0.14, 0.30, 0.70, 0.86],
        n => (0..n).map(|i| 0.12 + 0.76 * f64::from(i) / f64::from(n - 1)).collect(),
    };
    let _ = sums_z;
    shares.into_iter().map(|s| d.jar.clearance_z + s * d.plates.width).collect()
}

fn feet(d: &Design, levels: &Levels, positive: bool, x: (f64, f64)) -> Vec<Solid> {
    let middles = rib_middles(d, 0.0);
    let own = |i: usize| match d.support {
        // Positive and negative feet never share a rib: outer ribs carry the positives.
        Support::Standing => {
            let outer = i == 0 || i + 1 == middles.len();
            outer == positive
        }
        _ => true,
    };
    let width = (d.bridge.width + 4.0).max(6.0);
    middles
        .iter()
        .enumerate()
        .filter(|(i, _)| own(*i))
        .map(|(_, m)| Solid {
            x,
            y: (levels.sediment, levels.plate_bottom),
            z: (m - width / 2.0, m + width / 2.0),
        })
        .collect()
}

fn ribs(d: &Design, sums: &Sums, left: f64) -> Vec<Solid> {
    if d.round.is_some() {
        return Vec::new();
    }
    rib_middles(d, sums.inner_z)
        .iter()
        .map(|m| Solid {
            x: (left, left + sums.inner_x),
            y: (0.0, d.heights.sediment),
            z: (m - d.bridge.width / 2.0, m + d.bridge.width / 2.0),
        })
        .collect()
}

fn straps(
    d: &Design,
    sums: &Sums,
    levels: &Levels,
    deform: &Deformation,
    left: f64,
    turned: bool,
) -> Vec<(bool, Solid)> {
    let width = LUG_WIDTH * d.plates.width + 4.0;
    let x = (left + d.jar.clearance_x, left + sums.inner_x - d.jar.clearance_x);
    [true, false]
        .into_iter()
        .map(|positive| {
            let share = if positive != turned { LUG_AT.0 } else { LUG_AT.1 };
            let z = d.jar.clearance_z + share * d.plates.width;
            let lift = if positive { deform.post_lift } else { 0.0 };
            let y = (levels.strap_bottom + lift, levels.strap_top + lift);
            (positive, Solid { x, y, z: (z - width / 2.0, z + width / 2.0) })
        })
        .collect()
}

fn posts(
    d: &Design,
    sums: &Sums,
    levels: &Levels,
    deform: &Deformation,
    left: f64,
    index: u32,
) -> (Vec<Post>, (f64, f64)) {
    let top = levels.cover_top + d.posts.above;
    let post = |positive: bool, x: f64, z: f64, from: f64| {
        let lift = if positive { deform.post_lift } else { 0.0 };
        Post { positive, x, z, diameter: d.posts.diameter, y: (from + lift, top + lift) }
    };
    if let Some(r) = &d.round {
        let axis = r.jar_diameter / 2.0;
        let list = vec![
            post(true, axis, axis, levels.plate_bottom),
            post(false, axis + r.post_at, axis, levels.plate_top),
        ];
        return (list, (axis - r.post_at, axis));
    }
    let line = |share: f64| d.jar.clearance_z + share * d.plates.width;
    let (front, rear) = (line(LUG_AT.0), line(LUG_AT.1));
    let at = |share: f64| left + share * sums.inner_x;
    let mut list = Vec::new();
    if d.jar.cells > 1 {
        // A jar of several cells has one post at each end; between them straps join over the
        // partitions.
        if index == 0 {
            list.push(post(true, at(POST_AT.0), front, levels.strap_top));
        }
        if index + 1 == d.jar.cells {
            let turned = index % 2 == 1;
            list.push(post(false, at(POST_AT.1), if turned { front } else { rear }, levels.strap_top));
        }
    } else if d.posts.each == 1 {
        list.push(post(true, at(POST_AT.0), front, levels.strap_top));
        list.push(post(false, at(POST_AT.1), rear, levels.strap_top));
    } else {
        let n = d.posts.each;
        for (positive, z) in [(true, front), (false, rear)] {
            for i in 0..n {
                let t = f64::from(i) / f64::from(n - 1);
                let share = POST_PAIR_AT.0 + t * (POST_PAIR_AT.1 - POST_PAIR_AT.0);
                list.push(post(positive, at(share), z, levels.strap_top));
            }
        }
    }
    (list, (at(0.5), sums.inner_z / 2.0))
}

fn hangers(d: &Design, sums: &Sums, levels: &Levels, left: f64) -> Vec<Solid> {
    if !matches!(d.support, Support::HungPositives | Support::AllHung) {
        return Vec::new();
    }
    let depth = (d.jar.clearance_z - d.separator.side - 1.0).clamp(2.0, 6.0);
    let y = (levels.plate_top - 18.0, levels.plate_top - 9.0);
    let x = (left + 1.0, left + sums.inner_x - 1.0);
    let front = d.jar.clearance_z - d.separator.side - depth;
    let rear = sums.inner_z - front - depth;
    vec![
        Solid { x, y, z: (front, front + depth) },
        Solid { x, y, z: (rear, rear + depth) },
    ]
}

fn end_spacers(d: &Design, sums: &Sums, levels: &Levels, left: f64) -> Vec<Solid> {
    if !d.has(Feature::EndSpacers) {
        return Vec::new();
    }
    let y = (levels.plate_bottom + 4.0, levels.plate_top - 26.0);
    let z = (0.15 * sums.inner_z, 0.85 * sums.inner_z);
    let free = 0.25;
    let right = left + sums.inner_x;
    vec![
        Solid { x: (left + free, left + d.jar.clearance_x - free), y, z },
        Solid { x: (right - d.jar.clearance_x + free, right - free), y, z },
    ]
}

fn tubes(d: &Design, sums: &Sums, levels: &Levels, left: f64) -> Vec<Solid> {
    let Some(t) = &d.tubes else { return Vec::new() };
    let inlet = levels.plate_top - d.plates.height / 3.0;
    let y = (inlet, levels.cover_top + 4.0);
    let margin = 0.8;
    let rear = Solid {
        x: (left + sums.inner_x - margin - t.diameter, left + sums.inner_x - margin),
        y,
        z: (sums.inner_z - margin - t.diameter, sums.inner_z - margin),
    };
    let front = Solid {
        x: (left + margin, left + margin + t.diameter),
        y,
        z: (margin, margin + t.diameter),
    };
    [rear, front].into_iter().take(t.count as usize).collect()
}

fn flat_stack(d: &Design, levels: &Levels, room: &Solid) -> (Vec<Plate>, Vec<Solid>, Vec<Solid>) {
    let (mut plates, mut separators) = (Vec::new(), Vec::new());
    let Some(r) = &d.round else { return (plates, separators, Vec::new()) };
    let span = |dia: f64| {
        let mid = room.mid_x();
        (mid - dia / 2.0, mid + dia / 2.0)
    };
    let mut y = levels.plate_bottom;
    let n = 2 * d.plates.positives + 1;
    for k in 0..n {
        let kind = match k {
            k if k % 2 == 1 => PlateKind::Positive,
            0 => PlateKind::EndNegative,
            k if k == n - 1 => PlateKind::EndNegative,
            _ => PlateKind::InsideNegative,
        };
        let thickness =
            if kind.is_positive() { d.plates.positive } else { d.plates.inside_negative };
        let solid =
            Solid { x: span(r.plate_diameter), y: (y, y + thickness), z: span(r.plate_diameter) };
        plates.push(Plate { kind, solid, lug: Solid::default(), feet: Vec::new(), bow: 0.0 });
        y += thickness;
        if k + 1 < n {
            let wide = span(r.plate_diameter - 2.0);
            separators.push(Solid { x: wide, y: (y, y + d.separator.thickness), z: wide });
            y += d.separator.thickness;
        }
    }
    (plates, separators, Vec::new())
}

#[cfg(test)]
mod tests;
