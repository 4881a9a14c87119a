//! The element drawn apart: layers slide along the stack in their true order, seen obliquely.

mod kinds;

use crate::{
    draw::{Pen, Shapes, brush, weight},
    layout::{Cell, Plate, Solid},
    palette::Role,
    part::post,
    scene::{Paint, Shade, Stroke, Tone},
    view::edge::separator_role,
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Rect, Vec2};

/// How far a millimetre of depth goes to the right and up.
const DEPTH: Vec2 = Vec2::new(0.80, 0.17);
/// More plates than this would make each too narrow to see; the caption says so.
pub const MOST_PLATES: usize = 7;

/// What a layer is.
#[derive(Clone, Copy, PartialEq)]
enum Kind<'a> {
    Plate(&'a Plate),
    Sheet,
    Felt,
}

struct Layer<'a> {
    kind: Kind<'a>,
    solid: Solid,
    /// Where it starts in the picture.
    at: f64,
    /// How much of it the next one leaves free, in millimetres of the picture.
    free: f64,
}

/// Paints the first plates of the element, drawn apart by the option `peel`.
pub fn build(pen: &mut Pen<'_>) {
    if pen.layout.design.round.is_some() {
        return super::peeled_round::build(pen);
    }
    let cell = pen.layout.cells[0].clone();
    let peel = pen.options.peel.clamp(0.0, 1.0);
    let layers = layers(&cell, peel);
    let (Some(first), Some(last)) = (layers.first(), layers.last()) else { return };
    let l = pen.layout.levels;
    let width = pen.layout.design.plates.width + 2.0 * pen.layout.design.separator.side;
    let lift = 26.0 * peel;
    let post_top = l.strap_top + lift + pen.layout.design.posts.above + 27.0;
    let right = last.at + DEPTH.x * (width + 20.0);
    let top = -(post_top + DEPTH.y * width + 16.0);
    pen.bounds = Rect::new(first.at - 16.0, top, right + 16.0, -(l.plate_bottom - 22.0));

    // The rear strap lies behind every plate.
    strap(pen, &cell, &layers, false, lift);
    let first_positive =
        layers.iter().position(|l| matches!(l.kind, Kind::Plate(p) if p.kind.is_positive()));
    for (i, layer) in layers.iter().enumerate().rev() {
        match layer.kind {
            Kind::Plate(plate) => draw_plate(pen, plate, layer, first_positive == Some(i)),
            Kind::Sheet => sheet(pen, layer),
            Kind::Felt => felt(pen, layer),
        }
    }
    strap(pen, &cell, &layers, true, lift);
    pen.out.end();
}

/// Plates, separators and mats in their true order, with their places in the picture.
fn layers(cell: &Cell, peel: f64) -> Vec<Layer<'_>> {
    let plates = &cell.plates[..cell.plates.len().min(MOST_PLATES)];
    let end = plates.last().map_or(0.0, |p| p.solid.x.1);
    let mut list: Vec<Layer<'_>> = plates
        .iter()
        .map(|p| Layer { kind: Kind::Plate(p), solid: p.solid, at: 0.0, free: 0.0 })
        .collect();
    for (kind, solids) in [(Kind::Sheet, &cell.separators), (Kind::Felt, &cell.mats)] {
        for s in solids.iter().filter(|s| s.x.1 <= end) {
            list.push(Layer { kind, solid: *s, at: 0.0, free: 0.0 });
        }
    }
    list.sort_by(|a, b| a.solid.x.0.total_cmp(&b.solid.x.0));
    let mut shift = 0.0;
    for layer in &mut list {
        layer.at = layer.solid.x.0 + shift;
        layer.free = peel
            * match layer.kind {
                Kind::Plate(_) => 46.0,
                Kind::Sheet => 30.0,
                Kind::Felt => 26.0,
            };
        shift += layer.free;
    }
    list
}

/// A point of a layer in the picture.
fn at(layer: &Layer<'_>, x: f64, y: f64, z: f64) -> Point {
    Point::new(layer.at + (x - layer.solid.x.0) + DEPTH.x * z, -y - DEPTH.y * z)
}

/// The face of a layer, its near edge and its top, as outlines.
struct Faces {
    face: BezPath,
    edge: BezPath,
    top: BezPath,
}

fn faces(layer: &Layer<'_>) -> Faces {
    let s = &layer.solid;
    let p = |x: f64, y: f64, z: f64| at(layer, x, y, z);
    // Seen from the left front: the left face, the front edge does not show, the top does.
    let face = [
        p(s.x.0, s.y.0, s.z.0),
        p(s.x.0, s.y.1, s.z.0),
        p(s.x.0, s.y.1, s.z.1),
        p(s.x.0, s.y.0, s.z.1),
    ];
    let edge = [
        p(s.x.0, s.y.0, s.z.1),
        p(s.x.0, s.y.1, s.z.1),
        p(s.x.1, s.y.1, s.z.1),
        p(s.x.1, s.y.0, s.z.1),
    ];
    let top = [
        p(s.x.0, s.y.1, s.z.0),
        p(s.x.0, s.y.1, s.z.1),
        p(s.x.1, s.y.1, s.z.1),
        p(s.x.1, s.y.1, s.z.0),
    ];
    Faces { face: brush::polygon(&face), edge: brush::polygon(&edge), top: brush::polygon(&top) }
}

/// The part of the face that the layer in front leaves free: where it is pointed at.
fn spot(layer: &Layer<'_>, share: f64) -> Point {
    let s = &layer.solid;
    let free = (layer.free / DEPTH.x).clamp(6.0, s.z.1 - s.z.0);
    let z = s.z.1 - 0.5 * free;
    at(layer, s.x.0, s.y.0 + share * (s.y.1 - s.y.0), z)
}

fn across_face(role: Role, layer: &Layer<'_>) -> Paint {
    let s = &layer.solid;
    Paint::Linear {
        from: at(layer, s.x.0, s.y.1, s.z.0),
        to: at(layer, s.x.0, s.y.1, s.z.1),
        stops: vec![
            (0.0, Shade::new(role, Tone::Light)),
            (0.55, Shade::base(role)),
            (1.0, Shade::base(role).mixed(role, Tone::Dark, 0.55)),
        ],
    }
}

fn draw_plate(pen: &mut Pen<'_>, plate: &Plate, layer: &Layer<'_>, cut_open: bool) {
    let positive = plate.kind.is_positive();
    let (role, lead) = if positive {
        (Role::PositivePaste, Role::LeadPositive)
    } else {
        (Role::NegativePaste, Role::LeadNegative)
    };
    let f = faces(layer);
    for foot in &plate.feet {
        pen.part("plate_feet", at(layer, layer.solid.x.0, foot.mid_y(), foot.mid_z()));
        let stub = brush::polygon(&[
            at(layer, layer.solid.x.0, foot.y.0, foot.z.0),
            at(layer, layer.solid.x.0, foot.y.1 + 0.5, foot.z.0),
            at(layer, layer.solid.x.0, foot.y.1 + 0.5, foot.z.1),
            at(layer, layer.solid.x.0, foot.y.0, foot.z.1),
        ]);
        pen.out.solid(stub, Shade::base(lead), lead, 0.8);
    }
    let l = &plate.lug;
    if l.y.1 > l.y.0 {
        pen.part("plate_lug", at(layer, layer.solid.x.0, l.mid_y(), l.mid_z()));
        let x = layer.solid.mid_x();
        let neck = brush::polygon(&[
            at(layer, x, l.y.0, l.z.0),
            at(layer, x, l.y.1, l.z.0),
            at(layer, x, l.y.1, l.z.1),
            at(layer, x, l.y.0, l.z.1),
        ]);
        pen.out.solid(neck, Shade::new(lead, Tone::Light), lead, 0.8);
    }
    let share = 0.5 + 0.03 * f64::from((layer.solid.x.0 as i32) % 5);
    pen.part(plate.kind.part(), spot(layer, share));
    let tint = pen.effects.tint(plate.kind.part());
    let fill = match tint {
        None => across_face(role, layer),
        Some((other, part)) => Paint::Plain(Shade::base(role).mixed(other, Tone::Base, part)),
    };
    pen.out.solid(f.top, Shade::new(role, Tone::Light), role, 0.7);
    pen.out.solid(f.face.clone(), fill, role, weight::PLATE);
    pen.out.solid(f.edge, Shade::new(role, Tone::Dark), role, 0.7);
    let d = &pen.layout.design;
    match (positive, d.tubular.is_some(), d.plante.is_some()) {
        (true, true, _) => kinds::tubes(pen, layer, cut_open),
        (true, _, true) => kinds::ribs(pen, layer),
        _ => pasted(pen, layer, role, &f.face),
    }
    pen.out.end();
}

/// Paste between the wires of a grid, which show through it as a faint shadow.
fn pasted(pen: &mut Pen<'_>, layer: &Layer<'_>, role: Role, face: &BezPath) {
    let s = &layer.solid;
    let frame = 6.0;
    let mut wires = BezPath::new();
    for i in 1..8 {
        let z = s.z.0 + frame + (s.z.1 - s.z.0 - 2.0 * frame) * f64::from(i) / 8.0;
        wires.move_to(at(layer, s.x.0, s.y.0 + frame, z));
        wires.line_to(at(layer, s.x.0, s.y.1 - frame, z));
    }
    for i in 1..16 {
        let y = s.y.0 + frame + (s.y.1 - s.y.0 - 2.0 * frame) * f64::from(i) / 16.0;
        wires.move_to(at(layer, s.x.0, y, s.z.0 + frame));
        wires.line_to(at(layer, s.x.0, y, s.z.1 - frame));
    }
    pen.out.line(wires, Stroke::new(0.6, Shade::edge(role).alpha(0.3)));
    let mut border = BezPath::new();
    let corner = |y: f64, z: f64| at(layer, s.x.0, y, z);
    border.move_to(corner(s.y.0 + frame, s.z.0 + frame));
    border.line_to(corner(s.y.1 - frame, s.z.0 + frame));
    border.line_to(corner(s.y.1 - frame, s.z.1 - frame));
    border.line_to(corner(s.y.0 + frame, s.z.1 - frame));
    border.close_path();
    pen.out.line(border, Stroke::new(0.7, Shade::edge(role).alpha(0.5)));
    let dots = brush::speckle(face, (10.0 * pen.px).max(4.0), 0.4, 5);
    pen.out.shape(dots, Shade::new(role, Tone::Light).alpha(0.45), None);
    if role == Role::PositivePaste {
        // One pellet between wires stands for the paste, so that the plate itself can be pointed
        // at; it lies where the sheet in front leaves the plate free.
        let cell = (s.z.1 - s.z.0 - 2.0 * frame) / 8.0;
        let row = (s.y.1 - s.y.0 - 2.0 * frame) / 16.0;
        let z = (s.z.1 - frame - cell + 1.0, s.z.1 - frame - 1.0);
        let y = (s.y.0 + frame + 11.0 * row + 1.0, s.y.0 + frame + 12.0 * row - 1.0);
        let middle = at(layer, s.x.0, f64::midpoint(y.0, y.1), f64::midpoint(z.0, z.1));
        pen.out.end();
        pen.part("active_material_positive", middle);
        let pellet = brush::polygon(&[
            corner(y.0, z.0),
            corner(y.1, z.0),
            corner(y.1, z.1),
            corner(y.0, z.1),
        ]);
        pen.out.shape(pellet, Shade::new(role, Tone::Light).alpha(0.12), None);
    }
    pen.out.end();
}

fn sheet(pen: &mut Pen<'_>, layer: &Layer<'_>) {
    let role = separator_role(pen.layout.design.separator.kind);
    pen.part("separator", spot(layer, 0.62));
    let f = faces(layer);
    pen.out.solid(f.top, Shade::new(role, Tone::Light), role, weight::SHEET);
    pen.out.solid(f.face, across_face(role, layer), role, weight::SHEET);
    pen.out.solid(f.edge, Shade::new(role, Tone::Dark), role, weight::SHEET);
    // Upright ribs toward the positive.
    let s = &layer.solid;
    let mut ribs = BezPath::new();
    let n = 18;
    for i in 1..n {
        let z = s.z.0 + (s.z.1 - s.z.0) * f64::from(i) / f64::from(n);
        ribs.move_to(at(layer, s.x.0, s.y.0 + 2.0, z));
        ribs.line_to(at(layer, s.x.0, s.y.1 - 2.0, z));
    }
    pen.out.line(ribs, Stroke::new(0.7, Shade::edge(role).alpha(0.4)));
    pen.out.end();
}

fn felt(pen: &mut Pen<'_>, layer: &Layer<'_>) {
    pen.part("retainer_mat", spot(layer, 0.38));
    let f = faces(layer);
    pen.out.solid(f.top, Shade::new(Role::Mat, Tone::Light), Role::Mat, weight::MAT);
    pen.out.solid(f.face, across_face(Role::Mat, layer), Role::Mat, weight::SHEET);
    pen.out.solid(f.edge, Shade::new(Role::Mat, Tone::Dark), Role::Mat, weight::MAT);
    let s = &layer.solid;
    let mut fibres = BezPath::new();
    for i in 0..120 {
        let mut rng = element(0x0FE1_7000 ^ (layer.solid.x.0 * 10.0) as u64, i);
        let (y, z) = (rng.range(s.y.0 + 6.0, s.y.1 - 6.0), rng.range(s.z.0 + 6.0, s.z.1 - 10.0));
        let (dy, dz) = (rng.range(-4.0, 4.0), rng.range(2.0, 6.0));
        fibres.move_to(at(layer, s.x.0, y, z));
        fibres.line_to(at(layer, s.x.0, (y + dy).clamp(s.y.0 + 1.0, s.y.1 - 1.0), z + dz));
    }
    pen.out.line(fibres, Stroke::new(0.7, Shade::edge(Role::Mat).alpha(0.6)));
    pen.out.end();
}

/// A lug that layers in front hide, as a broken outline.
fn hidden_lug(pen: &mut Pen<'_>, layer: &Layer<'_>, plate: &Plate, role: Role) {
    let l = &plate.lug;
    let x = layer.solid.mid_x();
    let neck = brush::polygon(&[
        at(layer, x, l.y.0, l.z.0),
        at(layer, x, l.y.1, l.z.0),
        at(layer, x, l.y.1, l.z.1),
        at(layer, x, l.y.0, l.z.1),
    ]);
    pen.out.end();
    pen.out.line(neck, Stroke::new(1.0, Shade::edge(role)).dashed(&[3.0, 2.5]));
}

/// The strap of one polarity with its post, lifted off the lugs.
fn strap(pen: &mut Pen<'_>, cell: &Cell, layers: &[Layer<'_>], positive: bool, lift: f64) {
    let Some((_, s)) = cell.straps.iter().find(|(p, _)| *p == positive) else { return };
    let own: Vec<(&Layer<'_>, &Plate)> = layers
        .iter()
        .filter_map(|l| match l.kind {
            Kind::Plate(p) if p.kind.is_positive() == positive => Some((l, p)),
            _ => None,
        })
        .collect();
    let (Some((first, _)), Some((last, _))) = (own.first(), own.last()) else { return };
    let (part, role, post_part) = if positive {
        ("strap_positive", Role::LeadPositive, "post_positive")
    } else {
        ("strap_negative", Role::LeadNegative, "post_negative")
    };
    let z = s.mid_z();
    let shift = Vec2::new(DEPTH.x * z, -DEPTH.y * z);
    let x0 = first.at - 8.0;
    let x1 = last.at + (last.solid.x.1 - last.solid.x.0) + 8.0;
    let (low, high) = (s.y.0 + lift, s.y.1 + lift);
    for (layer, plate) in &own {
        // A dotted line shows which lug goes where.
        if lift > 1.0 {
            let top = at(layer, layer.solid.mid_x(), plate.lug.y.1, plate.lug.mid_z());
            let under = Point::new(top.x, -low + shift.y);
            hidden_lug(pen, layer, plate, role);
            let line = Stroke::new(1.2, Shade::base(Role::Accent)).dashed(&[3.0, 3.0]);
            pen.out.end();
            pen.out.line(brush::polyline(&[top, under]), line);
        }
    }
    let p = |x: f64, y: f64| Point::new(x, -y) + shift;
    let back = Vec2::new(DEPTH.x * 0.5 * (s.z.1 - s.z.0), -DEPTH.y * 0.5 * (s.z.1 - s.z.0));
    pen.part(part, p(x0 + 0.12 * (x1 - x0), f64::midpoint(low, high)));
    let top = brush::polygon(&[p(x0, high), p(x0, high) + back, p(x1, high) + back, p(x1, high)]);
    pen.out.solid(top, Shade::new(role, Tone::Light), role, 0.9);
    let end = brush::polygon(&[p(x1, low), p(x1, high), p(x1, high) + back, p(x1, low) + back]);
    pen.out.solid(end, Shade::new(role, Tone::Dark), role, 0.9);
    let front = brush::polygon(&[p(x0, low), p(x0, high), p(x1, high), p(x1, low)]);
    let fill = brush::down(role, (p(x0, high)).y, (p(x0, low)).y);
    pen.out.solid(front, fill, role, weight::METAL);
    let share = if positive { 0.36 } else { 0.64 };
    let x = x0 + share * (x1 - x0);
    let r = pen.layout.design.posts.diameter / 2.0;
    let tall = pen.layout.design.posts.above + 10.0;
    let base = p(x, high) + back * 0.5;
    pen.part(post_part, base - Vec2::new(0.0, 0.6 * tall));
    let mut body = BezPath::new();
    body.move_to((base.x - r, base.y - tall));
    body.line_to((base.x - r, base.y - 6.0));
    body.quad_to((base.x - r, base.y), (base.x - r - 4.0, base.y + 1.0));
    body.line_to((base.x + r + 4.0, base.y + 1.0));
    body.quad_to((base.x + r, base.y), (base.x + r, base.y - 6.0));
    body.line_to((base.x + r, base.y - tall));
    body.close_path();
    pen.out.solid(body, brush::across(role, base.x - r, base.x + r), role, weight::METAL);
    let cap = brush::ellipse(Point::new(base.x, base.y - tall), r, 0.25 * r);
    pen.out.solid(cap, Shade::new(role, Tone::Light), role, 0.9);
    post::polarity_mark(pen, Point::new(base.x, base.y - tall - 15.0), positive, 8.5);
}
