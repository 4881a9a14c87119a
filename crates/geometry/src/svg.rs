//! Writes a scene as SVG: the same scene gives the same bytes.
//!
//! Every target becomes one group with an id, so that a figure can be styled, tested and read
//! aloud by part.

use crate::{
    palette::{Palette, Role},
    scene::{Anchor, Form, Glint, Paint, Prim, Scene, Shade, Stroke, Text, Tone, Weight},
    text,
};
use kurbo::{BezPath, PathEl, Point, Shape as _};
use std::{collections::BTreeMap, f64::consts::TAU};

/// What one unit of the scene is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// A pixel, 96 to the inch.
    Px,
    /// A millimetre; line widths and text sizes are brought from pixels.
    Mm,
}

impl Unit {
    /// Length of a pixel in this unit.
    pub const fn per_px(self) -> f64 {
        match self {
            Self::Px => 1.0,
            Self::Mm => 25.4 / 96.0,
        }
    }
}

/// The inspector's lamp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lamp {
    /// Where it points, in the units of the scene.
    pub at: Point,
    /// How far its light reaches.
    pub radius: f64,
}

impl Lamp {
    /// How strongly a glint at a place shows, 0 to 1.
    ///
    /// It flashes while the lamp stands within 0.6 rad of its direction, keeps its floor at any
    /// other, and is unseen where no light falls.
    pub fn strength(self, glint: &Glint, place: Point) -> f32 {
        let way = self.at - place;
        let near = 1.0 - way.hypot2() / (self.radius * self.radius).max(f64::MIN_POSITIVE);
        if near.is_nan() || near <= 0.0 {
            return 0.0;
        }
        let off =
            libm::fabs(libm::remainder(libm::atan2(way.y, way.x) - f64::from(glint.facing), TAU));
        let t = (1.0 - off / 0.6).clamp(0.0, 1.0);
        let floor = f64::from(glint.floor.clamp(0.0, 1.0));
        ((floor + (1.0 - floor) * t * t * (3.0 - 2.0 * t)) * near) as f32
    }
}

/// What a picture needs besides its scene.
#[derive(Clone, Copy)]
pub struct Page<'a> {
    /// Width in units of the scene.
    pub width: f64,
    /// Height in units of the scene.
    pub height: f64,
    /// Title of the document.
    pub title: &'a str,
    /// What fills the page; clear when there is none.
    pub background: Option<Role>,
    /// What one unit of the scene is.
    pub unit: Unit,
    /// The lamp; without it glints are left out.
    pub lamp: Option<Lamp>,
    /// The name of a part by its id.
    pub names: &'a dyn Fn(&str) -> String,
}

/// Opacity of a glint, or none when it is not drawn; 1 for anything else.
pub(crate) fn glow(prim: &Prim, lamp: Option<Lamp>) -> Option<f32> {
    let (Some(glint), Form::Path { path, .. }) = (&prim.glint, &prim.form) else {
        return Some(1.0);
    };
    let strength = lamp?.strength(glint, path.bounding_box().center());
    (strength > 0.004).then_some(strength)
}

/// The scene as an SVG document.
pub fn write(scene: &Scene, palette: &Palette, page: &Page<'_>) -> String {
    let mut w = Writer {
        palette,
        px: page.unit.per_px(),
        body: String::with_capacity(scene.prims.len() * 160),
        defs: String::new(),
        gradients: BTreeMap::new(),
    };
    let mut named = vec![false; scene.targets.len()];
    let mut open: Option<Option<u32>> = None;
    for prim in &scene.prims {
        let Some(glow) = glow(prim, page.lamp) else { continue };
        if open != Some(prim.target) {
            w.close(open);
            w.open(scene, prim.target, &mut named, page.names);
            open = Some(prim.target);
        }
        match &prim.form {
            Form::Path { path, fill, stroke } => {
                w.path(path, fill.as_ref(), stroke.as_ref(), glow);
            }
            Form::Text(text) => w.text(text),
        }
    }
    w.close(open);
    w.document(page)
}

struct Writer<'a> {
    palette: &'a Palette,
    px: f64,
    body: String,
    defs: String,
    gradients: BTreeMap<String, usize>,
}

impl Writer<'_> {
    fn open(
        &mut self,
        scene: &Scene,
        target: Option<u32>,
        named: &mut [bool],
        names: &dyn Fn(&str) -> String,
    ) {
        let Some(index) = target else { return };
        let i = index as usize;
        match (scene.targets.get(i), named.get_mut(i)) {
            (Some(t), Some(seen)) if !*seen => {
                *seen = true;
                self.body.push_str("<g id=\"");
                escape(&mut self.body, &t.id());
                self.body.push_str("\" data-part=\"");
                escape(&mut self.body, &t.part);
                self.body.push_str("\"><title>");
                escape(&mut self.body, &format!("{} {}", names(&t.part), t.number));
                self.body.push_str("</title>\n");
            }
            _ => self.body.push_str("<g>\n"),
        }
    }

    fn close(&mut self, open: Option<Option<u32>>) {
        if let Some(Some(_)) = open {
            self.body.push_str("</g>\n");
        }
    }

    fn path(&mut self, path: &BezPath, fill: Option<&Paint>, stroke: Option<&Stroke>, glow: f32) {
        if path.elements().is_empty() || (fill.is_none() && stroke.is_none()) {
            return;
        }
        let paint = fill.map(|f| self.paint(f));
        let b = &mut self.body;
        b.push_str("<path d=\"");
        outline(b, path);
        b.push('"');
        match paint {
            Some((color, alpha)) => {
                attr(b, "fill", &color);
                opacity(b, "fill-opacity", alpha);
            }
            None => attr(b, "fill", "none"),
        }
        if let Some(s) = stroke {
            let color = self.palette.rgba(s.shade);
            attr(b, "stroke", &css(color.rgb));
            opacity(b, "stroke-opacity", color.alpha);
            length(b, "stroke-width", s.width * self.px);
            if !s.dash.is_empty() {
                b.push_str(" stroke-dasharray=\"");
                for (i, d) in s.dash.iter().enumerate() {
                    if i > 0 {
                        b.push(' ');
                    }
                    number(b, d * self.px);
                }
                b.push('"');
            }
            if s.round {
                b.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
            }
        }
        opacity(b, "opacity", glow);
        b.push_str("/>\n");
    }

    fn text(&mut self, t: &Text) {
        if t.words.is_empty() {
            return;
        }
        let b = &mut self.body;
        b.push_str("<text");
        length(b, "x", t.at.x);
        length(b, "y", t.at.y);
        length(b, "font-size", t.size * self.px);
        if t.weight != Weight::Regular {
            attr(b, "font-weight", weight(t.weight));
        }
        match t.anchor {
            Anchor::Start => {}
            Anchor::Middle => attr(b, "text-anchor", "middle"),
            Anchor::End => attr(b, "text-anchor", "end"),
        }
        let color = self.palette.rgba(t.shade);
        attr(b, "fill", &css(color.rgb));
        opacity(b, "fill-opacity", color.alpha);
        if let Some(halo) = t.halo {
            let rim = self.palette.rgba(halo);
            attr(b, "stroke", &css(rim.rgb));
            opacity(b, "stroke-opacity", rim.alpha);
            length(b, "stroke-width", HALO * t.size * self.px);
            b.push_str(" stroke-linejoin=\"round\" paint-order=\"stroke\"");
        }
        if t.upright {
            b.push_str(" transform=\"rotate(-90 ");
            number(b, t.at.x);
            b.push(' ');
            number(b, t.at.y);
            b.push_str(")\"");
        }
        b.push('>');
        escape(b, &t.words);
        b.push_str("</text>\n");
    }

    /// The value of a fill attribute and its opacity.
    fn paint(&mut self, paint: &Paint) -> (String, f32) {
        let mut key = String::new();
        let (tag, stops) = match paint {
            Paint::Plain(shade) => {
                let color = self.palette.rgba(*shade);
                return (css(color.rgb), color.alpha);
            }
            Paint::Linear { from, to, stops } => {
                length(&mut key, "x1", from.x);
                length(&mut key, "y1", from.y);
                length(&mut key, "x2", to.x);
                length(&mut key, "y2", to.y);
                ("linearGradient", stops)
            }
            Paint::Radial { center, radius, stops } => {
                length(&mut key, "cx", center.x);
                length(&mut key, "cy", center.y);
                length(&mut key, "r", *radius);
                ("radialGradient", stops)
            }
        };
        key.push('>');
        for (at, shade) in stops {
            let color = self.palette.rgba(*shade);
            key.push_str("<stop");
            length(&mut key, "offset", f64::from(*at));
            attr(&mut key, "stop-color", &css(color.rgb));
            opacity(&mut key, "stop-opacity", color.alpha);
            key.push_str("/>");
        }
        key.insert_str(0, tag);
        let next = self.gradients.len() + 1;
        let id = if let Some(id) = self.gradients.get(&key) {
            *id
        } else {
            let rest = &key[tag.len()..];
            self.defs.push_str(&format!(
                "<{tag} id=\"g{next}\" gradientUnits=\"userSpaceOnUse\"{rest}</{tag}>\n"
            ));
            self.gradients.insert(key, next);
            next
        };
        (format!("url(#g{id})"), 1.0)
    }

    fn document(self, page: &Page<'_>) -> String {
        let mut out = String::with_capacity(self.body.len() + self.defs.len() + 800);
        let (mut width, mut height) = (String::new(), String::new());
        number(&mut width, page.width);
        number(&mut height, page.height);
        let unit = match page.unit {
            Unit::Px => "",
            Unit::Mm => "mm",
        };
        out.push_str("<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\"");
        out.push_str(&format!(
            " width=\"{width}{unit}\" height=\"{height}{unit}\" viewBox=\"0 0 {width} {height}\""
        ));
        // Where the font is not installed, another one without serifs stands in.
        attr(&mut out, "font-family", &format!("{}, sans-serif", text::FAMILY));
        attr(&mut out, "font-weight", "400");
        out.push_str(">\n<title>");
        escape(&mut out, page.title);
        out.push_str("</title>\n");
        if !self.defs.is_empty() {
            out.push_str("<defs>\n");
            out.push_str(&self.defs);
            out.push_str("</defs>\n");
        }
        if let Some(role) = page.background {
            let color = css(self.palette.rgba(Shade::new(role, Tone::Base)).rgb);
            out.push_str(&format!(
                "<rect width=\"{width}\" height=\"{height}\" fill=\"{color}\"/>\n"
            ));
        }
        out.push_str(&self.body);
        out.push_str("</svg>\n");
        out
    }
}

/// Width of the rim round a text as a share of its size.
pub(crate) const HALO: f64 = 0.3;

const fn weight(weight: Weight) -> &'static str {
    match weight {
        Weight::Regular => "400",
        Weight::Medium => "500",
        Weight::SemiBold => "600",
        Weight::Bold => "700",
    }
}

fn css([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn attr(out: &mut String, name: &str, value: &str) {
    out.push(' ');
    out.push_str(name);
    out.push_str("=\"");
    out.push_str(value);
    out.push('"');
}

fn length(out: &mut String, name: &str, value: f64) {
    out.push(' ');
    out.push_str(name);
    out.push_str("=\"");
    number(out, value);
    out.push('"');
}

fn opacity(out: &mut String, name: &str, alpha: f32) {
    if alpha < 0.9995 {
        length(out, name, f64::from(alpha));
    }
}

/// A number with three decimals at most and nothing superfluous; 0 when it is not finite.
///
/// Written by hand: a full cell has some hundred thousand numbers, and `format!` is most of the
/// time of the whole export.
fn number(out: &mut String, value: f64) {
    let thousandths = if value.is_finite() { libm::round(value * 1000.0) as i64 } else { 0 };
    if thousandths < 0 {
        out.push('-');
    }
    let n = thousandths.unsigned_abs();
    let mut digits = [0u8; 20];
    let mut at = digits.len();
    let mut whole = n / 1000;
    loop {
        at -= 1;
        digits[at] = b'0' + (whole % 10) as u8;
        whole /= 10;
        if whole == 0 {
            break;
        }
    }
    out.extend(digits[at..].iter().map(|d| char::from(*d)));
    let part = n % 1000;
    if part > 0 {
        out.push('.');
        let decimals = [part / 100, part / 10 % 10, part % 10];
        let used = if decimals[2] > 0 {
            3
        } else if decimals[1] > 0 {
            2
        } else {
            1
        };
        out.extend(decimals[..used].iter().map(|d| char::from(b'0' + *d as u8)));
    }
}

fn outline(out: &mut String, path: &BezPath) {
    let points = |out: &mut String, letter: char, points: &[Point]| {
        out.push(letter);
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                out.push(' ');
            }
            number(out, p.x);
            out.push(' ');
            number(out, p.y);
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(a) => points(out, 'M', &[a]),
            PathEl::LineTo(a) => points(out, 'L', &[a]),
            PathEl::QuadTo(a, b) => points(out, 'Q', &[a, b]),
            PathEl::CurveTo(a, b, c) => points(out, 'C', &[a, b, c]),
            PathEl::ClosePath => out.push('Z'),
        }
    }
}

/// Text as XML; characters that XML cannot hold become spaces.
fn escape(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{palette::Palettes, palette::Theme, scene::SceneBuilder};
    use kurbo::{Circle, Rect};

    fn name(part: &str) -> String {
        format!("Name of {part}")
    }

    fn page() -> Page<'static> {
        Page {
            width: 200.0,
            height: 100.0,
            title: "A <small> & \"plain\" scene",
            background: Some(Role::Page),
            unit: Unit::Px,
            lamp: None,
            names: &name,
        }
    }

    fn gradient() -> Paint {
        Paint::Linear {
            from: Point::new(10.0, 0.0),
            to: Point::new(30.0, 0.0),
            stops: vec![
                (0.0, Shade::new(Role::PositiveBorder, Tone::Light)),
                (0.42, Shade::base(Role::PositiveBorder)),
                (1.0, Shade::new(Role::PositiveBorder, Tone::Dark).alpha(0.5)),
            ],
        }
    }

    fn scene() -> Scene {
        let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, 200.0, 100.0));
        let plate = b.begin("positive_plate", Point::new(20.0, 50.0));
        let edge =
            Stroke::new(0.9, Shade::edge(Role::PositiveBorder)).rounded().dashed(&[7.0, 5.0]);
        b.shape(Rect::new(10.0, 10.0, 30.0, 90.0).to_path(0.1), gradient(), Some(edge));
        b.begin("jar", Point::new(100.0, 50.0));
        b.shape(
            Circle::new((100.0, 50.0), 20.0).to_path(0.01),
            Paint::Radial {
                center: Point::new(100.0, 50.0),
                radius: 20.0,
                stops: vec![(0.0, Shade::base(Role::Seal)), (1.0, Shade::edge(Role::Seal))],
            },
            None,
        );
        b.resume(Some(plate));
        b.shape(Rect::new(12.0, 12.0, 14.0, 20.0).to_path(0.1), gradient(), None);
        b.glint(
            Rect::new(19.0, 49.0, 21.0, 51.0).to_path(0.1),
            Shade::base(Role::Sulfate),
            Glint { facing: 0.0, floor: 0.1, birth: 0.0 },
        );
        b.end();
        b.text(Text {
            at: Point::new(150.0, 60.0),
            size: 14.5,
            anchor: Anchor::End,
            weight: Weight::SemiBold,
            shade: Shade::base(Role::Ink),
            halo: Some(Shade::base(Role::Page)),
            upright: true,
            words: "Low < high & so on".into(),
        });
        b.finish()
    }

    fn svg(page: &Page<'_>) -> String {
        write(&scene(), Palettes::builtin().theme(Theme::Light), page)
    }

    /// The least that XML asks for: tags nest, attributes are quoted, nothing is left open.
    fn assert_well_formed(text: &str) {
        let (mut stack, mut rest) = (Vec::new(), text);
        while let Some(i) = rest.find('<') {
            assert!(!rest[..i].contains('>'), "a bare > near {}", &rest[..i]);
            let end = rest[i..].find('>').expect("a tag is left open") + i;
            let tag = &rest[i + 1..end];
            assert!(!tag.contains('<') && tag.matches('"').count() % 2 == 0, "{tag}");
            if let Some(name) = tag.strip_prefix('/') {
                assert_eq!(stack.pop(), Some(name.to_owned()));
            } else if !tag.ends_with('/') {
                stack.push(tag.split_whitespace().next().unwrap().to_owned());
            }
            rest = &rest[end + 1..];
        }
        assert!(stack.is_empty(), "left open: {stack:?}");
    }

    #[test]
    fn numbers_have_three_decimals_at_most_and_nothing_superfluous() {
        for (value, wanted) in [
            (0.0, "0"),
            (-0.0, "0"),
            (1.0, "1"),
            (-1.5, "-1.5"),
            (0.05, "0.05"),
            (-0.0004, "0"),
            (2.61828, "2.618"),
            (100.1, "100.1"),
            (1234567.0005, "1234567.001"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
            (-0.1, "-0.1"),
            (0.999_6, "1"),
        ] {
            let mut out = String::new();
            number(&mut out, value);
            assert_eq!(out, wanted, "{value}");
        }
    }

    #[test]
    fn the_document_is_well_formed_and_the_same_each_time() {
        let text = svg(&page());
        assert_well_formed(&text);
        assert_eq!(text, svg(&page()));
        assert!(text.contains("<title>A &lt;small&gt; &amp; &quot;plain&quot; scene</title>"));
    }

    #[test]
    fn a_target_has_one_group_with_its_id_and_later_chunks_have_none() {
        let text = svg(&page());
        assert_eq!(text.matches("positive_plate-1").count(), 1);
        assert!(text.contains(
            "<g id=\"positive_plate-1\" data-part=\"positive_plate\">\
             <title>Name of positive_plate 1</title>"
        ));
        assert_eq!(text.matches("<g>").count(), 1);
    }

    #[test]
    fn equal_gradients_are_written_once() {
        let text = svg(&page());
        assert_eq!(text.matches("<linearGradient").count(), 1);
        assert_eq!(text.matches("url(#g1)").count(), 2);
        assert!(text.contains("offset=\"0.42\"") && text.contains("stop-opacity=\"0.5\""));
    }

    #[test]
    fn a_glint_is_seen_only_under_the_lamp_and_flashes_from_its_side() {
        let lamp = |x| Lamp { at: Point::new(x, 50.0), radius: 40.0 };
        let glints = |lamp| svg(&Page { lamp, ..page() }).matches("M19 49").count();
        assert_eq!(glints(None), 0);
        assert_eq!(glints(Some(lamp(100.0))), 0);
        assert_eq!(glints(Some(lamp(40.0))), 1);
        let glint = Glint { facing: 0.0, floor: 0.1, birth: 0.0 };
        let at = |x| lamp(x).strength(&glint, Point::new(20.0, 50.0));
        assert!(at(40.0) > 0.7 && at(0.0) < 0.1 && at(0.0) > 0.0);
    }

    #[test]
    fn millimetres_bring_lines_and_text_from_pixels() {
        let text = svg(&Page { unit: Unit::Mm, ..page() });
        assert!(text.contains("width=\"200mm\""));
        assert!(text.contains("stroke-width=\"0.238\"") && text.contains("font-size=\"3.836\""));
    }
}
