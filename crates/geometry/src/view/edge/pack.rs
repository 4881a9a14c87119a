//! The pack seen from the aisle: plates on edge, sheets, bars that carry plates, straps.

use super::{kinds, separator_role};
use crate::{
    draw::{Pen, Shapes, brush, weight},
    layout::{Cell, Plate, PlateKind, Solid},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::design::{Construction, Support};
use kurbo::{BezPath, Point};

pub(super) fn end_spacer(pen: &mut Pen<'_>, s: &Solid) {
    pen.part("end_spacer", Point::new(s.mid_x(), -(s.y.0 + 0.45 * (s.y.1 - s.y.0))));
    let board = brush::rounded(s.x.0, -s.y.1, s.x.1, -s.y.0, 0.8);
    pen.out.solid(board, brush::across(Role::EndSpacer, s.x.0, s.x.1), Role::EndSpacer, 0.6);
    let step = (4.0 * pen.px.max(0.35)).max(2.2);
    let mut rib_lines = BezPath::new();
    let mut y = s.y.0 + step;
    while y < s.y.1 - 1.0 {
        rib_lines.move_to((s.x.0 + 0.4, -y));
        rib_lines.line_to((s.x.1 - 0.4, -y));
        y += step;
    }
    pen.out.line(rib_lines, Stroke::new(0.5, Shade::edge(Role::EndSpacer).alpha(0.55)));
    pen.out.end();
}

/// Plates, separators and mats by their running sums; gives the target of each plate.
pub(super) fn pack(pen: &mut Pen<'_>, cell: &Cell) -> Vec<u32> {
    let n = cell.plates.len();
    let mut mats = cell.mats.iter();
    let mut targets = Vec::with_capacity(n);
    for (k, plate) in cell.plates.iter().enumerate() {
        targets.push(draw_plate(pen, plate, k, n));
        let Some(s) = cell.separators.get(k) else { continue };
        let share = [0.22, 0.44, 0.3, 0.6][k % 4];
        separator(pen, s, plate.kind.is_positive());
        if pen.layout.design.mat > 0.0
            && let Some(m) = mats.next()
        {
            let spot = Point::new(m.mid_x(), -(m.y.0 + (0.55 + share * 0.3) * (m.y.1 - m.y.0)));
            pen.part("retainer_mat", spot);
            let felt = brush::rect(m.x.0, -m.y.1, m.x.1, -m.y.0);
            pen.out.solid(felt, Shade::base(Role::Mat), Role::Mat, weight::MAT);
        }
    }
    pen.out.end();
    kinds::guards(pen, cell);
    targets
}

/// A sheet seen on edge. Where the gap is wide, the web lies on the negative and ribs reach
/// to the positive.
fn separator(pen: &mut Pen<'_>, s: &Solid, positive_left: bool) {
    let role = separator_role(pen.layout.design.separator.kind);
    pen.part("separator", Point::new(s.mid_x(), -(s.y.1 - 2.5)));
    let sheet = brush::rect(s.x.0, -s.y.1, s.x.1, -s.y.0);
    let thick = s.x.1 - s.x.0;
    if thick < 3.5 {
        pen.out.solid(sheet, brush::across(role, s.x.0, s.x.1), role, weight::SHEET);
        return;
    }
    let ribs = Shade::new(role, Tone::Light).alpha(0.55);
    let line = Stroke::new(0.45, Shade::edge(role).alpha(0.6));
    pen.out.shape(sheet, ribs, Some(line));
    let web = 0.31 * thick;
    let (a, b) = if positive_left { (s.x.1 - web, s.x.1) } else { (s.x.0, s.x.0 + web) };
    let sheet = brush::rect(a, -s.y.1, b, -s.y.0);
    pen.out.solid(sheet, brush::across(role, a, b), role, weight::SHEET);
}

pub(super) fn plate_role(kind: PlateKind) -> Role {
    if kind.is_positive() { Role::PositiveBorder } else { Role::NegativeBorder }
}

fn draw_plate(pen: &mut Pen<'_>, plate: &Plate, k: usize, n: usize) -> u32 {
    let s = &plate.solid;
    let part = plate.kind.part();
    // Spots differ in height, so that leaders do not pile up.
    let share = 0.30 + 0.42 * ((k * 5) % n) as f64 / n as f64;
    let target = pen.part(part, Point::new(s.mid_x(), -(s.y.0 + share * (s.y.1 - s.y.0))));
    let role = plate_role(plate.kind);
    let fill = brush::across_mixed(role, s.x.0, s.x.1, pen.effects.tint(part));
    let outline = if plate.bow == 0.0 {
        brush::rounded(s.x.0, -s.y.1, s.x.1, -s.y.0, 0.6)
    } else {
        let (m, b) = (s.mid_y(), plate.bow);
        let mut p = BezPath::new();
        p.move_to((s.x.0, -s.y.1));
        p.quad_to((s.x.0 + 2.0 * b, -m), (s.x.0, -s.y.0));
        p.line_to((s.x.1, -s.y.0));
        p.quad_to((s.x.1 + 2.0 * b, -m), (s.x.1, -s.y.1));
        p.close_path();
        p
    };
    pen.out.solid(outline, fill, role, weight::PLATE);
    // The parting line of the cast border.
    if (s.x.1 - s.x.0) / pen.px > 7.0 && plate.bow == 0.0 {
        let line = brush::polyline(&[
            Point::new(s.mid_x(), -s.y.1 + 2.0),
            Point::new(s.mid_x(), -s.y.0 - 2.0),
        ]);
        pen.out.line(line, Stroke::new(0.5, Shade::edge(role).alpha(0.35)));
    }
    if plate.kind.is_positive() {
        match pen.layout.design.construction {
            Construction::Tubular => kinds::tubes(pen, plate, share),
            Construction::Plante => kinds::lamellae(pen, plate, share),
            Construction::Pasted | Construction::RoundPlate => {}
        }
    }
    if let Some(foot) = plate.feet.first() {
        let inset = 0.14 * (foot.x.1 - foot.x.0);
        let (a, b) = (foot.x.0 + inset, foot.x.1 - inset);
        pen.part("plate_feet", Point::new(foot.mid_x(), -foot.mid_y()));
        let stub = brush::rect(a, -foot.y.1, b, -foot.y.0);
        // Feet of a tubular plate are moulded to its plastic bottom bar.
        let plastic =
            plate.kind.is_positive() && pen.layout.design.construction == Construction::Tubular;
        let role = if plastic { Role::Hanger } else { role };
        let fill = brush::across_mixed(role, a, b, pen.effects.tint(part));
        pen.out.solid(stub, fill, role, 0.7);
    }
    pen.out.end();
    target
}

pub(super) fn lugs(pen: &mut Pen<'_>, cell: &Cell, positive: bool) {
    if !pen.wants("plate_lug") {
        return;
    }
    let role = if positive { Role::LeadPositive } else { Role::LeadNegative };
    for plate in cell.plates.iter().filter(|p| p.kind.is_positive() == positive) {
        let s = &plate.lug;
        pen.part("plate_lug", Point::new(s.mid_x(), -(s.y.0 + 0.8 * (s.y.1 - s.y.0))));
        let (a, b) = s.x;
        let (foot, top) = (-s.y.0, -s.y.1);
        let flare = 0.9;
        let mut p = BezPath::new();
        p.move_to((a - flare, foot));
        p.quad_to((a, foot - 0.4), (a, foot - 2.4));
        p.line_to((a, top + 2.0));
        p.quad_to((a, top), (a - flare, top));
        p.line_to((b + flare, top));
        p.quad_to((b, top), (b, top + 2.0));
        p.line_to((b, foot - 2.4));
        p.quad_to((b, foot - 0.4), (b + flare, foot));
        p.close_path();
        pen.out.solid(p, brush::across(role, a, b), role, 0.8);
    }
    pen.out.end();
}

pub(super) fn strap(pen: &mut Pen<'_>, s: &Solid, positive: bool, cut: Option<f64>, front: bool) {
    let (part, role) = if positive {
        ("strap_positive", Role::LeadPositive)
    } else {
        ("strap_negative", Role::LeadNegative)
    };
    let (top, bottom) = (-s.y.1, -s.y.0);
    let spot_x = if front { s.x.0 + 4.0 } else { s.x.1 - 4.0 };
    pen.part(part, Point::new(spot_x, f64::midpoint(top, bottom)));
    let outline = match cut {
        None => brush::rounded(s.x.0, top, s.x.1, bottom, 2.0),
        Some(x) => {
            let mut points = vec![Point::new(s.x.0 + 1.0, bottom), Point::new(s.x.0, bottom - 1.5)];
            points.push(Point::new(s.x.0, top + 1.5));
            points.push(Point::new(s.x.0 + 1.5, top));
            let steps = 6;
            for i in 0..=steps {
                let y = top + (bottom - top) * f64::from(i) / f64::from(steps);
                points.push(Point::new(x + if i % 2 == 0 { 0.9 } else { -0.9 }, y));
            }
            brush::polygon(&points)
        }
    };
    pen.out.solid(outline, brush::down(role, top, bottom), role, weight::METAL);
    let end = cut.unwrap_or(s.x.1);
    pen.out.line(
        brush::polyline(&[Point::new(s.x.0 + 2.0, top + 1.4), Point::new(end - 2.0, top + 1.4)]),
        Stroke::new(0.8, Shade::new(role, Tone::Light).alpha(0.8)),
    );
    pen.out.end();
}

/// The fused bead where each lug meets its strap.
pub(super) fn burns(pen: &mut Pen<'_>, cell: &Cell, positive: bool, cut: Option<f64>) {
    if !pen.wants("lead_burn") {
        return;
    }
    let role = if positive { Role::LeadPositive } else { Role::LeadNegative };
    for plate in cell.plates.iter().filter(|p| p.kind.is_positive() == positive) {
        let s = &plate.lug;
        if cut.is_some_and(|x| s.mid_x() > x) {
            continue;
        }
        let c = Point::new(s.mid_x(), -s.y.1 + 0.2);
        pen.part("lead_burn", c);
        let bead = brush::ellipse(c, (s.x.1 - s.x.0) / 2.0 + 1.3, 1.0);
        let line = Stroke::new(0.5, Shade::edge(role).alpha(0.7));
        pen.out.shape(bead, Shade::new(role, Tone::Light), Some(line));
    }
    pen.out.end();
}

pub(super) fn moss_shield(pen: &mut Pen<'_>, s: &Solid) {
    let (top, bottom) = (-s.y.1, -s.y.0);
    pen.part("moss_shield", Point::new(s.x.0 + 2.5, f64::midpoint(top, bottom)));
    let sheet = brush::rounded(s.x.0, top, s.x.1, bottom, 0.6);
    let fill = brush::down(Role::MossShield, top, bottom);
    pen.out.solid(sheet, fill, Role::MossShield, 0.7);
    let mid = f64::midpoint(top, bottom);
    let holes = brush::polyline(&[Point::new(s.x.0 + 2.0, mid), Point::new(s.x.1 - 2.0, mid)]);
    let dots = Stroke::new(0.8, Shade::edge(Role::MossShield).alpha(0.8)).dashed(&[2.0, 3.5]);
    pen.out.line(holes, dots);
    pen.out.end();
}

/// The front bar, the ledges under its ends, and the shoulders of the plates that hang on it.
pub(super) fn hangers(pen: &mut Pen<'_>, cell: &Cell, targets: &[u32]) {
    if !pen.wants("positive_hanger") {
        return;
    }
    // Turning a cell brings the other bar to the front.
    let Some(bar) = cell.hangers.iter().min_by(|a, b| a.z.0.total_cmp(&b.z.0)) else { return };
    pen.out.end();
    for s in cell.ledges.iter().filter(|s| s.z.0 < bar.z.1) {
        let ledge = brush::polygon(&[
            Point::new(s.x.0, -s.y.1),
            Point::new(s.x.1, -s.y.1),
            Point::new(s.x.1, -s.y.1 + 2.5),
            Point::new(s.x.0, -s.y.0),
        ]);
        let mirrored = s.mid_x() > cell.room.mid_x();
        let ledge = if mirrored {
            kurbo::Affine::new([-1.0, 0.0, 0.0, 1.0, s.x.0 + s.x.1, 0.0]) * ledge
        } else {
            ledge
        };
        pen.out.solid(ledge, Shade::base(Role::JarGlass), Role::JarGlass, 0.9);
    }
    let (top, bottom) = (-bar.y.1, -bar.y.0);
    pen.part("positive_hanger", Point::new(bar.x.0 + 2.0, f64::midpoint(top, bottom)));
    let rod = brush::rounded(bar.x.0, top, bar.x.1, bottom, 1.2);
    pen.out.solid(rod, brush::down(Role::Hanger, top, bottom), Role::Hanger, 1.0);
    pen.out.end();
    let all = pen.layout.design.support == Support::AllHung;
    for (plate, target) in cell.plates.iter().zip(targets) {
        if !(plate.kind.is_positive() || all) {
            continue;
        }
        let s = &plate.solid;
        // The hook belongs to its plate: a shoulder that lies over the bar.
        let wide = 0.5;
        let role = plate_role(plate.kind);
        let mut p = BezPath::new();
        let (a, b) = (s.x.0 - wide, s.x.1 + wide);
        p.move_to((a, bottom + 1.5));
        p.line_to((a, top - 2.2));
        p.quad_to((a, top - 4.2), (a + 1.8, top - 4.2));
        p.line_to((b - 1.8, top - 4.2));
        p.quad_to((b, top - 4.2), (b, top - 2.2));
        p.line_to((b, bottom + 1.5));
        p.close_path();
        pen.out.resume(Some(*target));
        let fill = brush::across_mixed(role, a, b, pen.effects.tint(plate.kind.part()));
        pen.out.solid(p, fill, role, 0.9);
    }
    pen.out.end();
}
