//! The magnifier card: a cut through the top corner of the stack with the true thicknesses.
//!
//! Inside lie paste and wires, a spine in its tube, or the web between ribs; from the aisle none
//! of it is seen, so the card says that it is a cut.

use crate::{
    draw::{Shapes, brush},
    layout::Layout,
    palette::Role,
    scene::{Anchor, Paint, Scene, SceneBuilder, Shade, Stroke, Text, Tone, Weight},
    view::edge::{TOP_BAR, separator_role},
};
use jarlight_model::{design::Design, unit::trimmed};
use kurbo::{Affine, BezPath, Point, Rect};

/// Words of the card; the caller brings them in the reader's language.
pub struct Words<'a> {
    /// Head line.
    pub title: &'a str,
    /// What is to be seen.
    pub subtitle: &'a str,
    /// Name of a part by its id.
    pub names: &'a dyn Fn(&str) -> String,
}

/// The message that says what lies inside the positives of a design.
pub fn note_id(design: &Design) -> &'static str {
    if design.tubular.is_some() {
        "figure-detail-note-tubular"
    } else if design.plante.is_some() {
        "figure-detail-note-plante"
    } else {
        "figure-detail-note"
    }
}

/// Least height of the picture on the card, in pixels at 100 %.
const PICTURE: f64 = 220.0;
/// Height of the picture against its width, so that a wide card still shows the plates.
const PICTURE_SHARE: f64 = 0.75;
/// Height of a row of the table.
const ROW: f64 = 21.0;
/// Margin inside the card.
const PAD: f64 = 14.0;

/// One layer of the stack.
struct Layer {
    part: &'static str,
    role: Role,
    x: (f64, f64),
    top: f64,
    foot: f64,
}

/// The card, `width` pixels wide at 100 %, at the given text scale; nothing for a cell whose
/// plates lie flat.
pub fn stack_card(
    layout: &Layout,
    words: &Words<'_>,
    width: f64,
    text_scale: f64,
) -> Option<Scene> {
    if layout.design.round.is_some() || width < 120.0 {
        return None;
    }
    let layers = layers(layout);
    let (x0, x1) = (layers.first()?.x.0 - 0.8, layers.last()?.x.1 + 0.8);
    let scale = (width - 2.0 * PAD) / (x1 - x0);
    let ts = text_scale;
    let head = PAD + 36.0 * ts;
    let row = ROW * ts;
    let mut tall = PICTURE.max(PICTURE_SHARE * (width - 2.0 * PAD));
    if layout.design.tubular.is_some() {
        // Deep enough to show the tube under its top bar.
        tall = tall.max((layout.design.separator.above + TOP_BAR + 9.0) * scale);
    }
    let height = head + tall + 16.0 + row * layers.len() as f64 + PAD;
    let mut out = SceneBuilder::new(Rect::new(0.0, 0.0, width, height));
    let card = brush::rounded(0.0, 0.0, width, height, 11.0);
    let line = Stroke::new(1.6, Shade::base(Role::Accent));
    out.shape(card, Shade::base(Role::Panel), Some(line));
    text(&mut out, PAD, PAD + 13.0 * ts, 14.0 * ts, Weight::SemiBold, Role::Ink, words.title);
    text(
        &mut out,
        PAD,
        PAD + 29.0 * ts,
        11.5 * ts,
        Weight::Regular,
        Role::SecondInk,
        words.subtitle,
    );

    let above = layout.design.separator.above + 2.2;
    let top = layout.levels.plate_top + above;
    let foot = top - tall / scale;
    let picture = picture(layout, &layers, (x0, x1), (foot, top));
    let to_card = Affine::translate((PAD - x0 * scale, head + top * scale)) * Affine::scale(scale);
    let picture = picture.transformed(to_card);
    for prim in picture.prims {
        match prim.form {
            crate::scene::Form::Path { path, fill: Some(fill), stroke } => {
                out.shape(path, fill, stroke);
            }
            crate::scene::Form::Path { path, fill: None, stroke: Some(stroke) } => {
                out.line(path, stroke);
            }
            _ => {}
        }
    }
    let frame = brush::rounded(PAD, head, width - PAD, head + tall, 7.0);
    out.line(frame, Stroke::new(1.0, Shade::base(Role::Rule)));
    overhang(&mut out, layout, scale, x0, top, head, ts);

    for (i, layer) in layers.iter().enumerate() {
        let x = PAD + (f64::midpoint(layer.x.0, layer.x.1) - x0) * scale;
        let thin = (layer.x.1 - layer.x.0) * scale < 18.0;
        let y = head + tall - if thin { 40.0 } else { 18.0 };
        disc(&mut out, Point::new(x, y), i + 1);
        let y = head + tall + 16.0 + row * i as f64;
        let mid = y + row / 2.0;
        disc(&mut out, Point::new(PAD + 9.0, mid), i + 1);
        let swatch = ((layer.x.1 - layer.x.0) * 3.4).clamp(2.5, 26.0);
        let patch = brush::rect(PAD + 24.0, mid - 5.5, PAD + 24.0 + swatch, mid + 5.5);
        // The line is that of the text: a dark layer must not sink into a dark panel.
        let line = Stroke::new(0.8, Shade::base(Role::SecondInk));
        out.shape(patch, Shade::base(layer.role), Some(line));
        let name = (words.names)(layer.part);
        text(&mut out, PAD + 58.0, mid + 4.2 * ts, 12.0 * ts, Weight::Medium, Role::Ink, &name);
        out.text(Text {
            at: Point::new(width - PAD, mid + 4.2 * ts),
            size: 12.0 * ts,
            anchor: Anchor::End,
            weight: Weight::SemiBold,
            shade: Shade::base(Role::Ink),
            halo: None,
            upright: false,
            words: trimmed_mm(layer.x.1 - layer.x.0),
        });
    }
    Some(out.finish())
}

fn trimmed_mm(mm: f64) -> String {
    let text = trimmed(mm, 1);
    if text.contains('.') { text } else { format!("{text}.0") }
}

fn text(
    out: &mut SceneBuilder,
    x: f64,
    y: f64,
    size: f64,
    weight: Weight,
    role: Role,
    words: &str,
) {
    out.text(Text {
        at: Point::new(x, y),
        size,
        anchor: Anchor::Start,
        weight,
        shade: Shade::base(role),
        halo: None,
        upright: false,
        words: words.to_owned(),
    });
}

fn disc(out: &mut SceneBuilder, c: Point, number: usize) {
    let line = Stroke::new(1.0, Shade::base(Role::SecondInk));
    out.shape(brush::circle(c, 8.0), Shade::base(Role::Panel), Some(line));
    out.text(Text {
        at: Point::new(c.x, c.y + 3.6),
        size: 10.5,
        anchor: Anchor::Middle,
        weight: Weight::SemiBold,
        shade: Shade::base(Role::Ink),
        halo: None,
        upright: false,
        words: number.to_string(),
    });
}

/// End negative, separator, mat, positive, mat, separator, inside negative.
fn layers(layout: &Layout) -> Vec<Layer> {
    let cell = &layout.cells[0];
    let mut list: Vec<Layer> = Vec::new();
    for plate in cell.plates.iter().take(3) {
        let role = if plate.kind.is_positive() { Role::PositivePaste } else { Role::NegativePaste };
        let s = plate.solid;
        list.push(Layer { part: plate.kind.part(), role, x: s.x, top: s.y.1, foot: s.y.0 });
    }
    let end = list.last().map_or(0.0, |l| l.x.1);
    let sheet = separator_role(layout.design.separator.kind);
    for (part, role, solids) in
        [("separator", sheet, &cell.separators), ("retainer_mat", Role::Mat, &cell.mats)]
    {
        for s in solids.iter().filter(|s| s.x.1 <= end) {
            list.push(Layer { part, role, x: s.x, top: s.y.1, foot: s.y.0 });
        }
    }
    list.sort_by(|a, b| a.x.0.total_cmp(&b.x.0));
    list
}

/// The cut in millimetres, y down.
fn picture(layout: &Layout, layers: &[Layer], x: (f64, f64), y: (f64, f64)) -> Scene {
    let mut out = SceneBuilder::new(Rect::new(x.0, -y.1, x.1, -y.0));
    let ground = brush::rect(x.0, -y.1, x.1, -y.0);
    out.shape(ground, Shade::new(Role::Electrolyte, Tone::Light), None);
    for plate in layout.cells[0].plates.iter().take(3) {
        let l = &plate.lug;
        let role = if plate.kind.is_positive() { Role::LeadPositive } else { Role::LeadNegative };
        let neck = brush::rect(l.x.0, -y.1, l.x.1, -plate.solid.y.1);
        out.solid(neck, brush::across(role, l.x.0, l.x.1), role, 1.0);
    }
    for layer in layers {
        let area = brush::rect(layer.x.0, -layer.top.min(y.1), layer.x.1, -layer.foot.max(y.0));
        match layer.part {
            "retainer_mat" => {
                out.solid(area.clone(), Shade::base(Role::Mat), Role::Mat, 0.6);
                let fibres = brush::hatch(&area, 0.28, -0.9);
                out.line(fibres, Stroke::new(0.6, Shade::edge(Role::Mat).alpha(0.75)));
            }
            "separator" => {
                let fill = brush::across(layer.role, layer.x.0, layer.x.1);
                out.solid(area, fill, layer.role, 0.9);
            }
            "positive_plate" if layout.design.tubular.is_some() => {
                tube(&mut out, layout, layer, y.0);
            }
            "positive_plate" if layout.design.plante.is_some() => {
                web(&mut out, layout, layer, y.0);
            }
            _ => plate(&mut out, layer, y.0),
        }
    }
    if let Some(m) = &layout.cells[0].moss_shield {
        let sheet = brush::rect(x.0, -m.y.1.min(y.1), x.1, -m.y.0);
        let fill = Shade::new(Role::MossShield, Tone::Base).alpha(0.85);
        out.solid(sheet, fill, Role::MossShield, 0.8);
    }
    out.finish()
}

/// A tubular positive cut along a spine: top bar, woven sleeve, brown mass, spine.
fn tube(out: &mut SceneBuilder, layout: &Layout, layer: &Layer, foot: f64) {
    let Some(t) = &layout.design.tubular else { return };
    let (a, b) = layer.x;
    let mid = f64::midpoint(a, b);
    let under = -(layer.top - TOP_BAR);
    let inside = brush::rect(mid - 0.5 * t.diameter, under, mid + 0.5 * t.diameter, -foot);
    out.solid(inside.clone(), Shade::new(layer.role, Tone::Dark), layer.role, 1.0);
    let grain = brush::speckle(&inside, 0.36, 0.07, 3);
    out.shape(grain, Shade::new(layer.role, Tone::Light).alpha(0.6), None);
    let sleeve = 0.5;
    for x in [mid - 0.5 * t.diameter, mid + 0.5 * t.diameter - sleeve] {
        let wall = brush::rect(x, under, x + sleeve, -foot);
        out.solid(wall.clone(), Shade::new(layer.role, Tone::Light), layer.role, 0.7);
        let thread = Stroke::new(0.6, Shade::edge(layer.role).alpha(0.8));
        out.line(brush::hatch(&wall, 0.45, -0.7), thread);
    }
    let spine = brush::rect(mid - 0.5 * t.spine, under, mid + 0.5 * t.spine, -foot);
    let lead = Role::LeadPositiveAir;
    let fill = brush::across(lead, mid - 0.5 * t.spine, mid + 0.5 * t.spine);
    out.solid(spine, fill, lead, 0.9);
    let bar = brush::rounded(a, -layer.top, b, under, 0.8);
    out.solid(bar, brush::across(Role::LeadPositive, a, b), Role::LeadPositive, 1.0);
}

/// A Planté positive cut through between two ribs: the web, and the sides of the ribs behind.
fn web(out: &mut SceneBuilder, layout: &Layout, layer: &Layer, foot: f64) {
    let Some(p) = &layout.design.plante else { return };
    let (a, b) = layer.x;
    let mid = f64::midpoint(a, b);
    let frame = 4.0;
    let top = -(layer.top - frame);
    let ribs = brush::rect(a, top, b, -foot);
    out.solid(ribs, Shade::new(layer.role, Tone::Base), layer.role, 1.0);
    for (from, to) in [(a, mid - 0.5 * p.web), (mid + 0.5 * p.web, b)] {
        let side = brush::rect(from, top, to, -foot);
        out.shape(brush::speckle(&side, 0.5, 0.06, 5), Shade::edge(layer.role).alpha(0.5), None);
    }
    let core = brush::rect(mid - 0.5 * p.web, top, mid + 0.5 * p.web, -foot);
    let fill = brush::across(Role::LeadPositiveAir, mid - 0.5 * p.web, mid + 0.5 * p.web);
    out.solid(core, fill, Role::LeadPositiveAir, 0.9);
    let border = brush::rounded(a, -layer.top, b, top, 0.8);
    out.solid(border, brush::across(Role::PositiveBorder, a, b), Role::PositiveBorder, 1.0);
}

/// A plate cut through: border on top, paste and wires below it.
fn plate(out: &mut SceneBuilder, layer: &Layer, foot: f64) {
    let positive = layer.part == "positive_plate";
    let border = if positive { Role::PositiveBorder } else { Role::NegativeBorder };
    let frame = 1.6;
    let (a, b) = layer.x;
    let paste = brush::rect(a, -(layer.top - frame), b, -foot);
    out.solid(paste.clone(), Shade::base(layer.role), layer.role, 1.0);
    if positive {
        out.shape(paste.clone(), Shade::new(layer.role, Tone::Dark).alpha(0.55), None);
    }
    let grain = brush::speckle(&paste, 0.34, 0.06, 3);
    out.shape(grain, Shade::new(layer.role, Tone::Light).alpha(0.55), None);
    let grain = brush::speckle(&paste, 0.42, 0.07, 4);
    out.shape(grain, Shade::new(layer.role, Tone::Edge).alpha(0.55), None);
    let metal = if positive { Role::LeadPositive } else { Role::LeadNegative };
    let mut y = layer.top - frame - 1.1;
    while y > foot {
        let wire = brush::ellipse(Point::new(f64::midpoint(a, b), -y), 0.27 * (b - a), 0.26);
        out.solid(wire, Shade::new(metal, Tone::Light), metal, 0.7);
        y -= 1.7;
    }
    let mut cap = BezPath::new();
    let shoulder = 0.8;
    cap.move_to((a, -(layer.top - frame)));
    cap.line_to((a, -(layer.top - shoulder)));
    cap.quad_to((a, -layer.top), (a + shoulder, -layer.top));
    cap.line_to((b - shoulder, -layer.top));
    cap.quad_to((b, -layer.top), (b, -(layer.top - shoulder)));
    cap.line_to((b, -(layer.top - frame)));
    cap.close_path();
    let fill: Paint = brush::across(border, a, b);
    out.solid(cap, fill, border, 1.0);
}

/// The overhang of the separator above the plate, as a dimension.
fn overhang(
    out: &mut SceneBuilder,
    layout: &Layout,
    scale: f64,
    x0: f64,
    top: f64,
    head: f64,
    ts: f64,
) {
    let first = &layout.cells[0].plates[0].solid;
    let x = PAD + (first.x.0 - x0) * scale - 5.0;
    let y = |mm: f64| head + (top - mm) * scale;
    let (a, b) =
        (y(layout.levels.plate_top + layout.design.separator.above), y(layout.levels.plate_top));
    let ink = Stroke::new(1.1, Shade::new(Role::InJar, Tone::Base));
    for (p, q) in [
        (Point::new(x, a), Point::new(x, b)),
        (Point::new(x - 4.0, a), Point::new(x + 4.0, a)),
        (Point::new(x - 4.0, b), Point::new(x + 4.0, b)),
    ] {
        out.line(brush::polyline(&[p, q]), ink.clone());
    }
    out.text(Text {
        at: Point::new(x + 5.0, f64::midpoint(a, b) + 4.0),
        size: 11.0 * ts,
        anchor: Anchor::Start,
        weight: Weight::SemiBold,
        shade: Shade::new(Role::InJar, Tone::Base),
        halo: Some(Shade::edge(Role::InJar)),
        upright: false,
        words: trimmed(layout.design.separator.above, 1),
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_model::catalogue::Catalogue;

    #[test]
    fn the_card_names_seven_layers_with_their_true_thickness() {
        let catalogue = Catalogue::builtin();
        let layout = Layout::healthy(&catalogue.designs["medium_pasted"]).unwrap();
        let names = |id: &str| catalogue.name_of(id);
        let words = Words { title: "T", subtitle: "S", names: &names };
        let card = stack_card(&layout, &words, 300.0, 1.0).unwrap();
        let said: Vec<&str> = card
            .prims
            .iter()
            .filter_map(|p| match &p.form {
                crate::scene::Form::Text(t) if t.anchor == Anchor::End => Some(t.words.as_str()),
                _ => None,
            })
            .collect();
        assert_eq!(said, ["3.2", "2.2", "0.8", "6.4", "0.8", "2.2", "4.4"]);
    }
}
