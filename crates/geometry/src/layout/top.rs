//! What stands above the plates: straps, posts, joints over partitions, vent, tubes, ledges.

use super::{
    Cell, Joint, Plan, Post, Solid,
    stack::{LUG_AT, LUG_WIDTH},
};
use jarlight_model::design::{Design, Feature};

/// Share of the inner width at which the left and right post of a pair of lines stand.
pub(super) const POST_AT: (f64, f64) = (0.29, 0.71);
/// The same where a polarity has two posts.
pub(super) const POST_PAIR_AT: (f64, f64) = (0.25, 0.75);
/// How far below the low line a funnel stem ends.
pub(super) const STEM_UNDER: f64 = 5.0;
/// How far over the high line a joint between two cells begins.
pub(super) const JOINT_OVER: f64 = 5.0;
/// Height of such a joint.
pub(super) const JOINT: f64 = 8.0;
/// Thickness of the risers that carry it.
pub(super) const RISER: f64 = 6.0;
/// Distance of a sampling tube from the two walls of its corner.
pub(super) const TUBE_FREE: f64 = 0.2;
/// Diameter of the thermometer opening's plug.
const TEMP_PORT: f64 = 10.0;
/// How far a lifting ledge stands out from the wall.
const LIFT_OUT: f64 = 4.5;

/// Half the width of a strap along z.
pub(super) fn strap_half(d: &Design) -> f64 {
    LUG_WIDTH * d.plates.width / 2.0 + 2.0
}

/// Radius of what stands on the vent opening.
pub(super) fn vent_radius(d: &Design) -> f64 {
    let rim = d.arrestor.funnel.as_ref().map_or(0.0, |f| f.rim / 2.0);
    (d.arrestor.diameter / 2.0 + 3.0).max(rim)
}

impl Plan<'_> {
    fn line(&self, share: f64) -> f64 {
        self.d.jar.clearance_z + share * self.d.plates.width
    }

    pub(super) fn straps(&self, left: f64, turned: bool) -> Vec<(bool, Solid)> {
        let (d, levels) = (self.d, self.levels);
        let half = strap_half(d);
        let x = (left + d.jar.clearance_x, left + self.sums.inner_x - d.jar.clearance_x);
        [true, false]
            .into_iter()
            .map(|positive| {
                let z = self.line(if positive != turned { LUG_AT.0 } else { LUG_AT.1 });
                let lift = if positive { self.deform.post_lift } else { 0.0 };
                let y = (levels.strap_bottom + lift, levels.strap_top + lift);
                (positive, Solid { x, y, z: (z - half, z + half) })
            })
            .collect()
    }

    pub(super) fn posts(&self, left: f64, index: u32) -> (Vec<Post>, (f64, f64)) {
        let (d, levels) = (self.d, self.levels);
        let top = levels.cover_top + d.posts.above;
        let post = |positive: bool, x: f64, z: f64, from: f64| {
            let lift = if positive { self.deform.post_lift } else { 0.0 };
            Post { positive, x, z, diameter: d.posts.diameter, y: (from + lift, top + lift) }
        };
        if let Some(r) = &d.round {
            let axis = r.jar_diameter / 2.0;
            let list = vec![
                post(true, axis, axis, levels.plate_bottom),
                post(false, axis + r.post_at, axis, levels.strap_top),
            ];
            return (list, (axis - r.post_at, axis));
        }
        let (front, rear) = (self.line(LUG_AT.0), self.line(LUG_AT.1));
        let at = |share: f64| left + share * self.sums.inner_x;
        let from = levels.strap_top;
        let mut list = Vec::new();
        if d.jar.cells > 1 {
            // A jar of several cells has one post at each end; between them straps join over the
            // partitions.
            if index == 0 {
                list.push(post(true, at(POST_AT.0), front, from));
            }
            if index + 1 == d.jar.cells {
                let z = if index % 2 == 1 { front } else { rear };
                list.push(post(false, at(POST_AT.1), z, from));
            }
        } else if d.posts.each == 1 {
            list.push(post(true, at(POST_AT.0), front, from));
            list.push(post(false, at(POST_AT.1), rear, from));
        } else {
            for (positive, z) in [(true, front), (false, rear)] {
                for share in post_shares(d.posts.each) {
                    list.push(post(positive, at(share), z, from));
                }
            }
        }
        (list, (at(0.5), self.sums.inner_z / 2.0))
    }

    /// Joints from the negative strap of each cell to the positive strap of the next, in the
    /// gas space over the partition.
    pub(super) fn joints(&self, cells: &[Cell]) -> Vec<Joint> {
        let levels = self.levels;
        let y = (levels.high + JOINT_OVER, levels.high + JOINT_OVER + JOINT);
        cells
            .windows(2)
            .filter_map(|pair| {
                let from = pair[0].straps.iter().find(|(positive, _)| !positive)?.1;
                let to = pair[1].straps.iter().find(|(positive, _)| *positive)?.1;
                let riser =
                    |x: (f64, f64), strap: &Solid| Solid { x, y: (strap.y.1, y.0), z: strap.z };
                let left = riser((from.x.1 - RISER, from.x.1), &from);
                let right = riser((to.x.0, to.x.0 + RISER), &to);
                Some(Joint {
                    bar: Solid { x: (left.x.0, right.x.1), y, z: from.z },
                    notch: Solid {
                        x: (pair[0].room.x.1, pair[1].room.x.0),
                        y: (y.0 - 4.0, y.0),
                        z: from.z,
                    },
                    risers: [(false, left), (true, right)],
                })
            })
            .collect()
    }

    pub(super) fn stem(&self) -> Option<(f64, f64, f64)> {
        let levels = self.levels;
        let funnel = self.d.arrestor.funnel.as_ref()?;
        Some((levels.low - STEM_UNDER, levels.cover_top, funnel.stem))
    }

    /// Tubes hang in the very corner past the end negative, where the separators leave room.
    pub(super) fn tubes(&self, room: &Solid) -> Vec<Solid> {
        let Some(t) = &self.d.tubes else { return Vec::new() };
        let levels = self.levels;
        let inlet = levels.plate_top - self.d.plates.height / 3.0;
        let y = (inlet, levels.cover_top + 4.0);
        let free = TUBE_FREE;
        let high = |end: f64| (end - free - t.diameter, end - free);
        let low = |start: f64| (start + free, start + free + t.diameter);
        let rear = Solid { x: high(room.x.1), y, z: high(self.sums.inner_z) };
        let front = Solid { x: low(room.x.0), y, z: low(0.0) };
        [rear, front].into_iter().take(t.count as usize).collect()
    }

    /// The thermometer opening beside the vent.
    pub(super) fn temp_port(&self, vent: (f64, f64)) -> Option<(f64, f64, f64)> {
        self.d.has(Feature::TemperaturePort).then(|| temp_port_at(self.d, vent))
    }

    /// Ledges on the end walls, inside the overhang of the cover.
    pub(super) fn lift_points(&self) -> Vec<Solid> {
        let d = self.d;
        if !d.has(Feature::LiftPoints) {
            return Vec::new();
        }
        let inside = self.sums.outer_x - 2.0 * d.jar.wall;
        let top = self.levels.cover_under - 22.0;
        let y = (top - 9.0, top);
        let z = (0.2 * self.sums.inner_z, 0.8 * self.sums.inner_z);
        vec![
            Solid { x: (-d.jar.wall - LIFT_OUT, -d.jar.wall), y, z },
            Solid { x: (inside + d.jar.wall, inside + d.jar.wall + LIFT_OUT), y, z },
        ]
    }
}

/// Middle and diameter of the thermometer opening beside a vent.
pub(super) fn temp_port_at(d: &Design, vent: (f64, f64)) -> (f64, f64, f64) {
    (vent.0 + vent_radius(d) + TEMP_PORT / 2.0 + 4.0, vent.1, TEMP_PORT)
}

/// Where the posts of a polarity stand along its line, as shares of the inner width.
pub(super) fn post_shares(n: u32) -> Vec<f64> {
    let (a, b) = POST_PAIR_AT;
    (0..n).map(|i| a + (b - a) * f64::from(i) / f64::from(n.max(2) - 1)).collect()
}
