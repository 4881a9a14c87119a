//! What stands between floor and straps: plates, sheets, bridge, bars that carry plates.

use super::{Plan, Plate, PlateKind, RoundParts, Solid};
use jarlight_model::design::{Design, Feature, Support};

/// Share of the plate width at which the positive and negative lugs stand.
pub(super) const LUG_AT: (f64, f64) = (0.25, 0.75);
/// Extent of a lug along z, as a share of the plate width.
pub(super) const LUG_WIDTH: f64 = 0.12;
/// How far the top and the foot of a hanger bar lie below the plate top.
const BAR_BELOW_TOP: (f64, f64) = (9.0, 18.0);
/// Height of a shoulder over a hanger bar, and of an ear under it.
const SHOULDER: f64 = 4.2;
/// Thickness of the moss shield.
pub(super) const SHIELD: f64 = 1.5;

/// What of a plate depends on its place in the stack.
fn kind_of(k: u32, n: u32) -> PlateKind {
    match k {
        k if k % 2 == 1 => PlateKind::Positive,
        0 => PlateKind::EndNegative,
        k if k + 1 == n => PlateKind::EndNegative,
        _ => PlateKind::InsideNegative,
    }
}

/// Middles of the ribs along z, from the front edge of the plates, as shares of the width.
pub(super) fn rib_shares(n: u32) -> Vec<f64> {
    match n {
        0 => Vec::new(),
        1 => vec![0.5],
        2 => vec![0.2, 0.8],
        3 => vec![0.18, 0.5, 0.82],
        4 => vec![0.14, 0.30, 0.70, 0.86],
        n => (0..n).map(|i| 0.12 + 0.76 * f64::from(i) / f64::from(n - 1)).collect(),
    }
}

/// Extent of a foot along z.
pub(super) fn foot_width(d: &Design) -> f64 {
    (d.bridge.width + 4.0).max(6.0)
}

/// Extent of a hanger bar along z, beside the separators.
pub(super) fn bar_depth(d: &Design) -> f64 {
    (d.jar.clearance_z - d.separator.side - 1.0).clamp(2.0, 6.0)
}

impl Plan<'_> {
    pub(super) fn upright_stack(
        &self,
        room: &Solid,
        hangers: &[Solid],
        turned: bool,
    ) -> (Vec<Plate>, Vec<Solid>, Vec<Solid>) {
        let (d, levels) = (self.d, self.levels);
        let (mut plates, mut separators, mut mats) = (Vec::new(), Vec::new(), Vec::new());
        let mut x = room.x.0 + d.jar.clearance_x;
        let n = 2 * d.plates.positives + 1;
        let z = (d.jar.clearance_z, d.jar.clearance_z + d.plates.width);
        for k in 0..n {
            let kind = kind_of(k, n);
            let thickness = match kind {
                PlateKind::Positive => d.plates.positive,
                PlateKind::InsideNegative => d.plates.inside_negative,
                PlateKind::EndNegative => d.plates.end_negative,
            };
            plates.push(self.plate(kind, (x, x + thickness), z, hangers, turned));
            x += thickness;
            if k + 1 == n {
                break;
            }
            let y = (levels.plate_bottom - d.separator.below, levels.plate_top + d.separator.above);
            let side = d.separator.side;
            // The mat lies against the positive: before the sheet when the positive comes first.
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
                let wide = (0.5 * side).min(1.0);
                mats.push(Solid {
                    x: (felt, felt + d.mat),
                    y: (foot, top),
                    z: (z.0 - wide, z.1 + wide),
                });
            }
            x += self.sums.gap;
        }
        (plates, separators, mats)
    }

    fn plate(
        &self,
        kind: PlateKind,
        x: (f64, f64),
        z: (f64, f64),
        hangers: &[Solid],
        turned: bool,
    ) -> Plate {
        let (d, levels, deform) = (self.d, self.levels, self.deform);
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
        let solid = Solid { x, y, z };
        Plate {
            kind,
            solid,
            lug,
            feet: if stands { self.feet(positive, x) } else { Vec::new() },
            shoulders: self.shoulders(positive, &solid, hangers),
            edge_strips: if positive { self.edge_strips(&solid) } else { Vec::new() },
            bow: if positive { deform.bow } else { 0.0 },
        }
    }

    fn rib_middles(&self) -> Vec<f64> {
        let d = self.d;
        let at = |share: f64| d.jar.clearance_z + share * d.plates.width;
        rib_shares(d.bridge.ribs).into_iter().map(at).collect()
    }

    fn feet(&self, positive: bool, x: (f64, f64)) -> Vec<Solid> {
        let d = self.d;
        let middles = self.rib_middles();
        let own = |i: usize| match d.support {
            // Positive and negative feet never share a rib: outer ribs carry the positives.
            Support::Standing => (i == 0 || i + 1 == middles.len()) == positive,
            _ => true,
        };
        let half = foot_width(d) / 2.0;
        middles
            .iter()
            .enumerate()
            .filter(|(i, _)| own(*i))
            .map(|(_, m)| Solid {
                x,
                y: (self.levels.sediment, self.levels.plate_bottom),
                z: (m - half, m + half),
            })
            .collect()
    }

    pub(super) fn ribs(&self, left: f64) -> Vec<Solid> {
        let d = self.d;
        if d.round.is_some() {
            return Vec::new();
        }
        self.rib_middles()
            .iter()
            .map(|m| Solid {
                x: (left, left + self.sums.inner_x),
                y: (0.0, d.heights.sediment),
                z: (m - d.bridge.width / 2.0, m + d.bridge.width / 2.0),
            })
            .collect()
    }

    /// Bars beside the pack; a bar stops short of a sampling tube that hangs in its line.
    pub(super) fn hangers(&self, room: &Solid, tubes: &[Solid]) -> Vec<Solid> {
        let d = self.d;
        if !matches!(d.support, Support::HungPositives | Support::AllHung) {
            return Vec::new();
        }
        let depth = bar_depth(d);
        let top = self.levels.plate_top;
        let y = (top - BAR_BELOW_TOP.1, top - BAR_BELOW_TOP.0);
        let front = d.jar.clearance_z - d.separator.side - depth;
        let rear = self.sums.inner_z - front - depth;
        [front, rear]
            .into_iter()
            .map(|z| {
                let mut bar = Solid { x: (room.x.0 + 1.0, room.x.1 - 1.0), y, z: (z, z + depth) };
                let whole = bar;
                for t in tubes.iter().filter(|t| t.overlaps(&whole)) {
                    if t.mid_x() > room.mid_x() {
                        bar.x.1 = bar.x.1.min(t.x.0 - 0.5);
                    } else {
                        bar.x.0 = bar.x.0.max(t.x.1 + 0.5);
                    }
                }
                bar
            })
            .collect()
    }

    /// Ledges of the end walls under the bars; one that would meet a tube is on the long wall.
    pub(super) fn ledges(&self, room: &Solid, hangers: &[Solid]) -> Vec<Solid> {
        if self.d.support != Support::AllHung {
            return Vec::new();
        }
        let reach = (0.7 * self.d.jar.clearance_x).min(4.0);
        hangers
            .iter()
            .flat_map(|bar| {
                let y = (bar.y.0 - 9.0, bar.y.0);
                let ends = [(bar.x.0, room.x.0), (bar.x.1, room.x.1)];
                ends.map(|(end, wall)| {
                    let near = (end - wall).abs() < 1.5;
                    let x = match (near, end < room.mid_x()) {
                        (true, true) => (wall, wall + reach),
                        (true, false) => (wall - reach, wall),
                        (false, true) => (end, end + reach),
                        (false, false) => (end - reach, end),
                    };
                    // On the long wall it reaches from that wall under the bar.
                    let z = if near {
                        bar.z
                    } else if bar.mid_z() > room.mid_z() {
                        (bar.z.0, room.z.1)
                    } else {
                        (room.z.0, bar.z.1)
                    };
                    Solid { x, y, z }
                })
            })
            .collect()
    }

    /// Shoulders of hung plates lie over the bars; ears of standing negatives carry the bars.
    fn shoulders(&self, positive: bool, plate: &Solid, hangers: &[Solid]) -> Vec<Solid> {
        let hung = positive || self.d.support == Support::AllHung;
        hangers
            .iter()
            .enumerate()
            .filter_map(|(i, bar)| {
                let x = (plate.x.0.max(bar.x.0), plate.x.1.min(bar.x.1));
                if x.1 - x.0 < 0.5 {
                    return None;
                }
                let y = if hung {
                    (bar.y.1, bar.y.1 + SHOULDER)
                } else {
                    (bar.y.0 - SHOULDER, bar.y.0)
                };
                let z = if i == 0 { (bar.z.0, plate.z.0) } else { (plate.z.1, bar.z.1) };
                Some(Solid { x, y, z })
            })
            .collect()
    }

    fn edge_strips(&self, plate: &Solid) -> Vec<Solid> {
        let d = self.d;
        if !d.has(Feature::EdgeInsulators) {
            return Vec::new();
        }
        let thick = (0.7 * d.separator.side).min(3.0);
        let below_bar = match d.support {
            Support::HungPositives | Support::AllHung => BAR_BELOW_TOP.1 + 2.0,
            Support::Standing | Support::Ring => 4.0,
        };
        let y = (plate.y.0 + 2.0, plate.y.1 - below_bar);
        [(plate.z.0 - thick, plate.z.0), (plate.z.1, plate.z.1 + thick)]
            .into_iter()
            .map(|z| Solid { x: plate.x, y, z })
            .collect()
    }

    pub(super) fn end_spacers(&self, left: f64) -> Vec<Solid> {
        let (d, levels) = (self.d, self.levels);
        if !d.has(Feature::EndSpacers) {
            return Vec::new();
        }
        let y = (levels.plate_bottom + 4.0, levels.plate_top - 26.0);
        let z = (0.15 * self.sums.inner_z, 0.85 * self.sums.inner_z);
        let free = 0.25;
        let right = left + self.sums.inner_x;
        vec![
            Solid { x: (left + free, left + d.jar.clearance_x - free), y, z },
            Solid { x: (right - d.jar.clearance_x + free, right - free), y, z },
        ]
    }

    /// The perforated sheet that lies on the separators.
    pub(super) fn moss_shield(&self, separators: &[Solid]) -> Option<Solid> {
        let (first, last) = (separators.first()?, separators.last()?);
        self.d.has(Feature::MossShield).then_some(Solid {
            x: (first.x.0, last.x.1),
            y: (first.y.1, first.y.1 + SHIELD),
            z: first.z,
        })
    }

    pub(super) fn flat_stack(&self, room: &Solid) -> (Vec<Plate>, Vec<Solid>, Vec<Solid>) {
        let d = self.d;
        let (mut plates, mut separators) = (Vec::new(), Vec::new());
        let Some(r) = &d.round else { return (plates, separators, Vec::new()) };
        let span = |dia: f64| {
            let mid = room.mid_x();
            (mid - dia / 2.0, mid + dia / 2.0)
        };
        let mut y = self.levels.plate_bottom;
        let n = 2 * d.plates.positives + 1;
        for k in 0..n {
            let kind = kind_of(k, n);
            let thickness = match kind {
                PlateKind::Positive => d.plates.positive,
                PlateKind::InsideNegative => d.plates.inside_negative,
                PlateKind::EndNegative => d.plates.end_negative,
            };
            let wide = span(r.plate_diameter);
            plates.push(Plate {
                kind,
                solid: Solid { x: wide, y: (y, y + thickness), z: wide },
                lug: Solid::default(),
                feet: Vec::new(),
                shoulders: Vec::new(),
                edge_strips: Vec::new(),
                bow: 0.0,
            });
            y += thickness;
            if k + 1 < n {
                let wide = span(r.plate_diameter - 2.0);
                separators.push(Solid { x: wide, y: (y, y + d.separator.thickness), z: wide });
                y += d.separator.thickness;
            }
        }
        (plates, separators, Vec::new())
    }

    /// Risers, arm and ring of a cell whose plates lie flat.
    pub(super) fn round_parts(&self) -> Option<RoundParts> {
        let (d, levels) = (self.d, self.levels);
        let r = d.round.as_ref()?;
        let axis = r.jar_diameter / 2.0;
        let half = r.riser_width / 2.0;
        let riser = (axis + r.riser_at - half, axis + r.riser_at + half);
        let ring = ring_radius(d);
        Some(RoundParts {
            axis: (axis, axis),
            inner_riser: d.posts.diameter / 2.0,
            outer_riser: Solid {
                x: riser,
                y: (levels.plate_bottom, levels.strap_top),
                z: (axis - half, axis + half),
            },
            arm: Solid {
                x: (axis + r.post_at - d.posts.diameter / 2.0, riser.1),
                y: (levels.strap_bottom, levels.strap_top),
                z: (axis - half, axis + half),
            },
            ring: (ring, ring + d.bridge.width),
        })
    }
}

/// Inner radius of the ring that carries a flat stack.
pub(super) fn ring_radius(d: &Design) -> f64 {
    d.round.as_ref().map_or(0.0, |r| (0.38 * r.plate_diameter).round())
}
