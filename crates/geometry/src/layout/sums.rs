//! The sums of one cell: thicknesses along x, heights along y.

use super::{Deformation, Levels};
use jarlight_model::design::{Design, Support};

/// The sums of one cell.
pub(crate) struct Sums {
    /// Separator and mat between two plates.
    pub(crate) gap: f64,
    /// Thickness of the whole stack.
    pub(crate) stack: f64,
    pub(crate) inner_x: f64,
    pub(crate) outer_x: f64,
    pub(crate) inner_z: f64,
}

impl Sums {
    pub(crate) fn of(d: &Design) -> Self {
        let p = f64::from(d.plates.positives);
        let gap = d.separator.thickness + d.mat;
        let stack = p * d.plates.positive
            + (p - 1.0) * d.plates.inside_negative
            + 2.0 * d.plates.end_negative
            + 2.0 * p * gap;
        let (inner_x, inner_z) = match &d.round {
            Some(r) => (r.jar_diameter, r.jar_diameter),
            None => (stack + 2.0 * d.jar.clearance_x, d.plates.width + 2.0 * d.jar.clearance_z),
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
