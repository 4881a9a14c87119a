//! A design as placed solids in millimetres, or the reason why it cannot be built.
//!
//! Axes: x along the stack, y up from the inside floor, z away from the aisle, origin at the
//! inside left front bottom corner of the jar. Plates are placed by running sums: end negatives
//! are thinner, so an equal pitch would be wrong.

mod check;
mod deform;
mod stack;
mod sums;
mod top;

pub use check::{Impossible, check};
pub use deform::Deformation;

use jarlight_model::design::Design;
pub(crate) use sums::Sums;

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
    /// What reaches over the hanger bars, or under them where the plate carries the bars.
    pub shoulders: Vec<Solid>,
    /// Strips on its vertical edges.
    pub edge_strips: Vec<Solid>,
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

impl Post {
    /// Half the width of the seal well round it.
    pub fn well_half(&self) -> f64 {
        well_half(self.diameter)
    }
}

/// Half the width of the seal well round a post of this diameter.
pub fn well_half(diameter: f64) -> f64 {
    diameter / 2.0 + (0.25 * diameter).clamp(3.5, 6.0)
}

/// What joins two cells of one jar over the partition between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// Risers from the strap of the left and of the right cell; true for a positive strap.
    pub risers: [(bool, Solid); 2],
    /// The bar over the partition, in the gas space.
    pub bar: Solid,
    /// The notch of the partition, closed with compound.
    pub notch: Solid,
}

/// What a round-plate cell has instead of straps and ribs.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundParts {
    /// The axis, x and z.
    pub axis: (f64, f64),
    /// Radius of the riser on the axis.
    pub inner_riser: f64,
    /// The riser at the rims of the negatives.
    pub outer_riser: Solid,
    /// The arm from the outer riser to the negative post.
    pub arm: Solid,
    /// Inner and outer radius of the ring on the floor.
    pub ring: (f64, f64),
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
    /// Bars that carry hung plates, front and rear.
    pub hangers: Vec<Solid>,
    /// Ledges of the jar under those bars.
    pub ledges: Vec<Solid>,
    /// Boards at the ends of the stack.
    pub end_spacers: Vec<Solid>,
    /// The sheet on the separator tops.
    pub moss_shield: Option<Solid>,
    /// Tubes for a sample: room of each.
    pub tubes: Vec<Solid>,
    /// Middle of the vent, x and z.
    pub vent: (f64, f64),
    /// Middle and diameter of the thermometer opening: x, z, diameter.
    pub temp_port: Option<(f64, f64, f64)>,
    /// Risers, arm and ring of a cell whose plates lie flat.
    pub round: Option<RoundParts>,
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
    /// Joints over the partitions.
    pub joints: Vec<Joint>,
    /// Ledges for a sling on the outside of the end walls.
    pub lift_points: Vec<Solid>,
    /// What is out of the ordinary.
    pub deformation: Deformation,
}

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
        let plan = Plan { d: design, sums: &sums, levels: &levels, deform: deformation };
        let cells: Vec<Cell> = (0..jar.cells).map(|i| plan.cell(i)).collect();
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
        let joints = plan.joints(&cells);
        let lift_points = plan.lift_points();
        Ok(Self {
            joints,
            lift_points,
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

    /// True where the next jar of a row is turned half round, so that its positive posts stand
    /// on the line of these negative ones. In a jar with an even number of cells both polarities
    /// stand on one line already.
    pub const fn turns_in_row(&self) -> bool {
        self.cells.len() % 2 == 1
    }

    /// The same jar turned half round as a whole; nothing is mirrored.
    #[must_use]
    pub fn turned(&self) -> Self {
        let (w, z) = (self.inside_x(), self.inner_z);
        let flip =
            |s: &Solid| Solid { x: (w - s.x.1, w - s.x.0), y: s.y, z: (z - s.z.1, z - s.z.0) };
        let all = |list: &[Solid]| list.iter().map(flip).collect::<Vec<_>>();
        let cells = self
            .cells
            .iter()
            .rev()
            .map(|c| Cell {
                room: flip(&c.room),
                plates: c
                    .plates
                    .iter()
                    .rev()
                    .map(|p| Plate {
                        solid: flip(&p.solid),
                        lug: flip(&p.lug),
                        feet: all(&p.feet),
                        shoulders: all(&p.shoulders),
                        edge_strips: all(&p.edge_strips),
                        bow: -p.bow,
                        ..p.clone()
                    })
                    .collect(),
                separators: c.separators.iter().rev().map(flip).collect(),
                mats: c.mats.iter().rev().map(flip).collect(),
                straps: c.straps.iter().map(|(p, s)| (*p, flip(s))).collect(),
                posts: c
                    .posts
                    .iter()
                    .map(|p| Post { x: w - p.x, z: z - p.z, ..p.clone() })
                    .collect(),
                ribs: all(&c.ribs),
                hangers: c.hangers.iter().rev().map(flip).collect(),
                end_spacers: c.end_spacers.iter().rev().map(flip).collect(),
                moss_shield: c.moss_shield.as_ref().map(flip),
                ledges: all(&c.ledges),
                tubes: all(&c.tubes),
                temp_port: c.temp_port.map(|(x, at, d)| (w - x, z - at, d)),
                round: c.round.as_ref().map(|r| RoundParts {
                    axis: (w - r.axis.0, z - r.axis.1),
                    outer_riser: flip(&r.outer_riser),
                    arm: flip(&r.arm),
                    ..r.clone()
                }),
                vent: (w - c.vent.0, z - c.vent.1),
                turned: !c.turned,
                ..c.clone()
            })
            .collect();
        let joints = self
            .joints
            .iter()
            .rev()
            .map(|j| Joint {
                risers: [1, 0].map(|i| (j.risers[i].0, flip(&j.risers[i].1))),
                bar: flip(&j.bar),
                notch: flip(&j.notch),
            })
            .collect();
        Self {
            cells,
            partitions: self.partitions.iter().rev().map(flip).collect(),
            joints,
            lift_points: all(&self.lift_points),
            ..self.clone()
        }
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

/// What the placing of parts needs to know.
struct Plan<'a> {
    d: &'a Design,
    sums: &'a Sums,
    levels: &'a Levels,
    deform: &'a Deformation,
}

impl Plan<'_> {
    fn cell(&self, index: u32) -> Cell {
        let d = self.d;
        let left = f64::from(index) * (self.sums.inner_x + d.jar.partition);
        let room = Solid {
            x: (left, left + self.sums.inner_x),
            y: (0.0, self.levels.cover_under),
            z: (0.0, self.sums.inner_z),
        };
        // In a multi-cell jar every second cell is turned, so that neighbouring straps join
        // + to -.
        let turned = index % 2 == 1;
        let tubes = self.tubes(&room);
        let hangers = self.hangers(&room, &tubes);
        let (plates, separators, mats) = if d.round.is_some() {
            self.flat_stack(&room)
        } else {
            self.upright_stack(&room, &hangers, turned)
        };
        let (posts, vent) = self.posts(left, index);
        Cell {
            ribs: self.ribs(left),
            ledges: self.ledges(&room, &hangers),
            end_spacers: self.end_spacers(left),
            moss_shield: self.moss_shield(&separators),
            temp_port: self.temp_port(vent),
            stem: self.stem(),
            straps: if d.round.is_some() { Vec::new() } else { self.straps(left, turned) },
            round: self.round_parts(),
            room,
            hangers,
            tubes,
            vent,
            posts,
            plates,
            separators,
            mats,
            turned,
        }
    }
}

#[cfg(test)]
mod tests;
