//! A finished figure of a cell: the drawing between its labels, with title, caption and scale bar.

use crate::{
    callout::{self, GUTTER, Label, PAD, Placed, RUN, Style},
    palette::Role,
    scene::{Anchor, Scene, SceneBuilder, Shade, Stroke, Text, Weight},
    text,
};
use jarlight_model::catalogue::{Catalogue, LabelSet};
use kurbo::{Affine, BezPath, Circle, Point, Rect, RoundedRect, Shape as _, Size};

/// Free margin round a figure.
pub const MARGIN: f64 = 36.0;

/// What the labels show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Labels {
    /// Names and notes.
    Names,
    /// Numbers, with a key on the right.
    Numbers,
    /// There are none.
    None,
}

/// A detail in its own frame at the lower left, joined to its place in the drawing.
#[derive(Clone, Copy, Debug)]
pub struct Inset<'a> {
    /// The detail, in millimetres; a finished card, in pixels, when there is no title.
    pub scene_mm: &'a Scene,
    /// Its title; empty for a card that brings its own frame and words.
    pub title: &'a str,
    /// A line under the title.
    pub note: &'a str,
    /// Where it lies in the drawing, in millimetres.
    pub at: Point,
    /// Radius of the ring round that place, in millimetres.
    pub radius: f64,
}

/// What a figure shows.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// The drawing, in millimetres.
    pub scene_mm: &'a Scene,
    /// Names and ranks of the parts.
    pub catalogue: &'a Catalogue,
    /// Width of the figure in pixels.
    pub width_px: f64,
    /// Height of the figure in pixels.
    pub height_px: f64,
    /// Title; none when empty.
    pub title: &'a str,
    /// A line under the title; none when empty.
    pub subtitle: &'a str,
    /// What stands at the foot; nothing when empty.
    pub caption: &'a str,
    /// What the labels show.
    pub labels: Labels,
    /// The sets of parts to be labelled; all parts when empty.
    pub sets: &'a [LabelSet],
    /// Size of text, 1.0 at 100 %.
    pub text_scale: f64,
    /// Whether a scale bar is drawn; not where something is stretched or pulled apart.
    pub scale_bar: bool,
    /// A detail.
    pub inset: Option<Inset<'a>>,
}

/// A finished figure and where its things are.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Everything, in pixels; its targets are those of the drawing.
    pub scene: Scene,
    /// The labels.
    pub placed: Placed,
    /// Scale of the drawing.
    pub px_per_mm: f64,
    /// What the drawing fills.
    pub drawing: Rect,
}

/// The finished figure, in pixels.
pub fn cell(ask: &Ask<'_>) -> Scene {
    compose(ask).scene
}

/// The scale at which the figure will show this drawing, for asking for its level of detail.
pub fn px_per_mm(ask: &Ask<'_>) -> f64 {
    Frame::new(ask).scale
}

/// The size at which the figure shows its drawing at a scale, however large it becomes.
pub fn size_at(ask: &Ask<'_>, px_per_mm: f64) -> Size {
    let drawn = ask.scene_mm.bounds.size() * px_per_mm;
    // The columns of the labels become wider with the figure until all their notes fit.
    let mut size = Size::new(drawn.width + 2.0 * MARGIN, drawn.height + 2.0 * MARGIN);
    for _ in 0..60 {
        let frame = Frame::new(&Ask { width_px: size.width, height_px: size.height, ..*ask });
        size.height += drawn.height - frame.area.height();
        let missing = drawn.width - frame.across * ask.scene_mm.bounds.width();
        if missing <= 0.0 {
            break;
        }
        size.width += missing + 1.0;
    }
    size
}

/// The finished figure and where its things are.
pub fn compose(ask: &Ask<'_>) -> Figure {
    let frame = Frame::new(ask);
    let mut scene = ask.scene_mm.transformed(frame.affine);
    let drawing = scene.bounds;
    let mut columns = callout::columns(drawing, frame.labelled);
    let panel = ask.inset.map(|inset| frame.panel(&inset, columns[0].edge));
    if let Some(panel) = panel {
        columns[0].bottom = panel.y0 - 16.0;
    }
    let style = match ask.labels {
        Labels::Numbers => Style::Numbers,
        Labels::Names | Labels::None => Style::Names,
    };
    let labels = frame.labels.as_slice();
    for (target, at) in spread(&scene, labels, 120.0) {
        scene.targets[target as usize].spot = at;
    }
    let mut placed = callout::place_in(
        &callout::Ask {
            scene: &scene,
            labels,
            area: frame.labelled,
            text_scale: ask.text_scale,
            style,
        },
        columns,
    );
    placed.left_out.extend(&frame.unlisted);
    if let (Some(inset), Some(panel)) = (ask.inset, panel) {
        draw_inset(&mut scene, &inset, panel, frame.affine, ask.text_scale);
    }
    scene.append(callout::draw(&placed, ask.text_scale, None));
    if ask.labels == Labels::Numbers {
        let corner = Point::new(frame.labelled.x1 + 24.0, frame.area.y0);
        scene.append(callout::key(&placed, corner, frame.area.height(), ask.text_scale));
    }
    scene.append(frame.words(ask, drawing));
    scene.bounds = Rect::new(0.0, 0.0, ask.width_px, ask.height_px);
    Figure { scene, placed, px_per_mm: frame.scale, drawing }
}

/// Where things go.
struct Frame {
    /// Lines of the title, the line under it, the caption.
    title: Vec<String>,
    subtitle: Vec<String>,
    caption: Vec<String>,
    /// Between title and caption.
    area: Rect,
    /// The part of the area for drawing and labels.
    labelled: Rect,
    /// What is to be labelled, by rank.
    labels: Vec<Label>,
    /// Targets whose names find no room in the key.
    unlisted: Vec<u32>,
    /// Scale at which the drawing is as wide as its room.
    across: f64,
    scale: f64,
    affine: Affine,
}

impl Frame {
    fn new(ask: &Ask<'_>) -> Self {
        let s = ask.text_scale;
        let wide = ask.width_px - 2.0 * MARGIN;
        let title = wrap(ask.title, Weight::Bold, 30.0 * s, wide);
        let subtitle = wrap(ask.subtitle, Weight::Regular, 13.5 * s, wide);
        // The scale bar stands right of the caption and is at most 0.3 of the drawing wide.
        let caption_width = if ask.scale_bar { wide * 0.65 } else { wide };
        let caption = wrap(ask.caption, Weight::Regular, 12.0 * s, caption_width);
        let head = title.len() as f64 * 38.0 * s + subtitle.len() as f64 * 20.0 * s;
        let bar = if ask.scale_bar { 28.0 * s } else { 0.0 };
        let foot = (caption.len() as f64 * 17.0 * s).max(bar);
        let gap = |filled: f64| if filled > 0.0 { 20.0 } else { 0.0 };
        let area = Rect::new(
            MARGIN,
            MARGIN + head + gap(head),
            ask.width_px - MARGIN,
            ask.height_px - MARGIN - foot - gap(foot),
        );
        let mut labels = match ask.labels {
            Labels::None => Vec::new(),
            Labels::Names | Labels::Numbers => labels(ask.catalogue, ask.sets, ask.scene_mm),
        };
        let mut unlisted = Vec::new();
        let out = PAD + RUN + GUTTER;
        let mut labelled = area;
        let column = match ask.labels {
            Labels::None => 0.0,
            Labels::Numbers => {
                // The key may take half the width; the last ranks go first.
                let key = |labels: &[Label]| callout::key_width(labels, area.height(), s);
                while labels.len() > 1 && key(&labels) > 0.5 * area.width() {
                    unlisted.extend(labels.pop().map(|l| l.target));
                }
                unlisted.reverse();
                labelled.x1 -= key(&labels) + 24.0;
                callout::width(&labels, Style::Numbers, s, false) + out
            }
            Labels::Names => {
                // Notes may take three tenths of the width on each side; names what they need.
                let full = callout::width(&labels, Style::Names, s, true);
                let names = callout::width(&labels, Style::Names, s, false);
                let room = (0.30 * ask.width_px - out).max(names);
                full.min(room).min(0.38 * ask.width_px) + out
            }
        };
        let bounds = ask.scene_mm.bounds;
        let across = (labelled.width() - 2.0 * column).max(1.0) / bounds.width().max(1e-6);
        let down = area.height().max(1.0) / bounds.height().max(1e-6);
        let scale = across.min(down);
        let affine = Affine::translate(labelled.center().to_vec2())
            * Affine::scale(scale)
            * Affine::translate(-bounds.center().to_vec2());
        Self { title, subtitle, caption, area, labelled, labels, unlisted, across, scale, affine }
    }

    /// The frame of a detail at the lower left.
    ///
    /// It ends where the labels above it end, so that its line does not run under their words.
    fn panel(&self, inset: &Inset<'_>, edge: f64) -> Rect {
        if inset.title.is_empty() {
            let card = inset.scene_mm.bounds.size();
            let (left, foot) = (self.area.x0, self.area.y1);
            return Rect::new(left, foot - card.height, left + card.width, foot);
        }
        let right = (edge + PAD).max(self.area.x0 + 80.0);
        let width = (right - self.area.x0).min(0.24 * self.area.width().max(400.0));
        let b = inset.scene_mm.bounds;
        let picture = (width - 24.0) * b.height() / b.width().max(1e-6);
        let height = (picture + 72.0).min(0.5 * self.area.height());
        Rect::new(right - width, self.area.y1 - height, right, self.area.y1)
    }

    fn words(&self, ask: &Ask<'_>, drawing: Rect) -> Scene {
        let s = ask.text_scale;
        let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, ask.width_px, ask.height_px));
        let mut y = MARGIN;
        for line in &self.title {
            text_line(&mut b, line, Point::new(MARGIN, y + 26.0 * s), 30.0 * s, Weight::Bold);
            y += 38.0 * s;
        }
        for line in &self.subtitle {
            text_line(&mut b, line, Point::new(MARGIN, y + 14.0 * s), 13.5 * s, Weight::Regular);
            y += 20.0 * s;
        }
        let foot = ask.height_px - MARGIN;
        for (i, line) in self.caption.iter().rev().enumerate() {
            let at = Point::new(MARGIN, foot - 4.0 * s - i as f64 * 17.0 * s);
            text_line(&mut b, line, at, 12.0 * s, Weight::Regular);
        }
        if ask.scale_bar {
            let corner = Point::new(ask.width_px - MARGIN, foot);
            scale_bar(&mut b, corner, drawing.width(), self.scale, s);
        }
        b.finish()
    }
}

pub(crate) fn text_line(b: &mut SceneBuilder, words: &str, at: Point, size: f64, weight: Weight) {
    let role = if weight == Weight::Regular { Role::SecondInk } else { Role::Ink };
    b.text(Text {
        at,
        size,
        anchor: Anchor::Start,
        weight,
        shade: Shade::base(role),
        halo: None,
        upright: false,
        words: words.to_owned(),
    });
}

/// Breaks a text into lines of a width, at spaces.
pub(crate) fn wrap(words: &str, weight: Weight, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if text::width(&format!("{line} {word}"), weight, size) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// How much farther in, in millimetres, a label goes for a target whose place is not taken.
const DETOUR: f64 = 60.0;

/// One label for each part of the sets that the drawing shows, by rank; all parts when there
/// are no sets.
///
/// Of several targets of a part the outermost one on the emptier side is named, unless
/// another label already points to its neighbourhood.
pub fn labels(catalogue: &Catalogue, sets: &[LabelSet], scene: &Scene) -> Vec<Label> {
    let wanted = |own: &[LabelSet]| sets.is_empty() || own.iter().any(|s| sets.contains(s));
    // A target can be left out of a drawing and still have its number.
    let mut drawn = vec![false; scene.targets.len()];
    for target in scene.prims.iter().filter(|p| p.glint.is_none()).filter_map(|p| p.target) {
        drawn[target as usize] = true;
    }
    let mut shown: Vec<_> = catalogue
        .parts
        .iter()
        .filter(|p| wanted(&p.sets))
        .filter_map(|part| {
            let of_part = |i: &usize| &*scene.targets[*i].part == part.id.value.as_str();
            let targets: Vec<usize> =
                (0..drawn.len()).filter(|i| drawn[*i] && of_part(i)).collect();
            (!targets.is_empty()).then_some((part, targets))
        })
        .collect();
    // Those without a choice first, since they settle which side is fuller.
    shown.sort_by_key(|(part, targets)| (targets.len() > 1, part.rank));
    let middle = scene.bounds.center().x;
    // In millimetres: closer than this two rings could be taken for one.
    let near = (0.03 * scene.bounds.width()).min(7.0);
    let mut spots: Vec<Point> = Vec::new();
    let mut left = 0;
    let mut labels = Vec::new();
    for (part, mut targets) in shown {
        let goes_left = 2 * left < spots.len();
        let inward = |i: usize| {
            let x = scene.targets[i].spot.x;
            if goes_left { x } else { -x }
        };
        // A place that is taken is worth going a little further, but not to the next cell.
        let cost = |i: usize| {
            let spot = scene.targets[i].spot;
            let taken = spots.iter().any(|s| s.distance(spot) < near);
            inward(i) + if taken { DETOUR } else { 0.0 }
        };
        targets.sort_by(|a, b| cost(*a).total_cmp(&cost(*b)).then(a.cmp(b)));
        let Some(target) = targets.first().copied() else { continue };
        let spot = scene.targets[target].spot;
        left += usize::from(spot.x < middle);
        spots.push(spot);
        labels.push(Label {
            target: target as u32,
            name: part.name.clone(),
            note: Some(part.note.clone()).filter(|n| !n.is_empty()),
            rank: part.rank,
        });
    }
    labels.sort_by_key(|l| (l.rank, l.target));
    labels
}

/// New spots for parts that are taller than so much: they are moved along the parts, so that
/// not all leaders end at one height.
pub fn spread(scene: &Scene, labels: &[Label], tall_from: f64) -> Vec<(u32, Point)> {
    let middle = scene.bounds.center().x;
    let mut tall: [Vec<(u32, Rect)>; 2] = [Vec::new(), Vec::new()];
    for label in labels {
        let Some(spot) = scene.targets.get(label.target as usize).map(|t| t.spot) else { continue };
        let extent =
            scene.outlines(label.target).map(|p| p.bounding_box()).reduce(|a, b| a.union(b));
        if let Some(r) = extent.filter(|r| r.height() > tall_from && r.height() > 3.0 * r.width()) {
            tall[usize::from(spot.x >= middle)].push((label.target, r));
        }
    }
    let mut moved = Vec::new();
    for side in &tall {
        for (i, (target, extent)) in side.iter().enumerate() {
            let share = (i as f64 + 0.5) / side.len() as f64;
            let x = scene.targets[*target as usize].spot.x;
            let at = Point::new(x, extent.y0 + (0.1 + 0.8 * share) * extent.height());
            // Something may hang before it there.
            if scene.pick(at) == Some(*target) {
                moved.push((*target, at));
            }
        }
    }
    moved
}

/// The length of the bar in millimetres: 1, 2 or 5 times a power of ten, at most 0.3 of the
/// drawing.
fn bar_length(drawing_mm: f64) -> f64 {
    let most = 0.3 * drawing_mm;
    if !(most.is_finite() && most > 0.0) {
        return 0.0;
    }
    let decade = libm::pow(10.0, libm::floor(libm::log10(most)));
    let step = [5.0, 2.0, 1.0].into_iter().find(|m| m * decade <= most * (1.0 + 1e-9));
    step.unwrap_or(1.0) * decade
}

/// A bar of alternate blocks that ends at the corner.
fn scale_bar(b: &mut SceneBuilder, corner: Point, drawing_px: f64, scale: f64, s: f64) {
    let length = bar_length(drawing_px / scale);
    if length <= 0.0 {
        return;
    }
    let size = 12.0 * s;
    let unit = format!("{length} mm");
    // The last number is centred on the end of the bar and must stay within the margin.
    let right = corner.x - text::width(&unit, Weight::Regular, size) / 2.0;
    let (left, top) = (right - length * scale, corner.y - 6.0);
    let block = (right - left) / 4.0;
    for i in 0..4 {
        let x = left + f64::from(i) * block;
        let fill = if i % 2 == 0 { Role::SecondInk } else { Role::Panel };
        let line = Stroke::new(1.0, Shade::base(Role::SecondInk));
        b.shape(Rect::new(x, top, x + block, corner.y).to_path(0.1), Shade::base(fill), Some(line));
    }
    let half = format!("{}", length / 2.0);
    let marks = [(left, "0"), ((left + right) / 2.0, half.as_str()), (right, unit.as_str())];
    // Over a short bar the last number has room, and perhaps the first one.
    let wide = |words: &str| text::width(words, Weight::Regular, size);
    let apart = |a: &str, b: &str, room: f64| (wide(a) + wide(b)) / 2.0 + 4.0 <= room;
    let all = apart("0", &half, 2.0 * block) && apart(&half, &unit, 2.0 * block);
    let ends = apart("0", &unit, 4.0 * block);
    let shown = |i: usize| all || i == 2 || (i == 0 && ends);
    for (_, (x, words)) in marks.into_iter().enumerate().filter(|(i, _)| shown(*i)) {
        b.text(Text {
            at: Point::new(x, top - 6.0 * s),
            size,
            anchor: Anchor::Middle,
            weight: Weight::Regular,
            shade: Shade::base(Role::SecondInk),
            halo: None,
            upright: false,
            words: words.to_owned(),
        });
    }
}

fn draw_inset(scene: &mut Scene, inset: &Inset<'_>, panel: Rect, affine: Affine, s: f64) {
    let accent = |width| Stroke::new(width, Shade::base(Role::Accent));
    let ring = affine * inset.at;
    let radius = inset.radius * affine.determinant().abs().sqrt();
    let mut b = SceneBuilder::new(scene.bounds);
    let from = Point::new(panel.x1, ring.y.clamp(panel.y0 + 12.0, panel.y1 - 12.0));
    let way = (ring - from).normalize();
    let mut line = BezPath::new();
    line.move_to(from);
    line.line_to(ring - way * radius);
    let circle = Circle::new(ring, radius).to_path(0.01);
    for stroke in [Stroke::new(5.0, Shade::base(Role::Page)), accent(2.0)] {
        b.line(line.clone(), stroke.clone());
        b.line(circle.clone(), stroke);
    }
    let mut room = panel;
    if !inset.title.is_empty() {
        let outline = RoundedRect::from_rect(panel, 10.0).to_path(0.01);
        b.shape(outline, Shade::base(Role::Panel), Some(accent(2.0)));
        let title = Point::new(panel.x0 + 12.0, panel.y0 + 22.0 * s);
        text_line(&mut b, inset.title, title, 14.0 * s, Weight::SemiBold);
        let note = Point::new(panel.x0 + 12.0, panel.y0 + 40.0 * s);
        text_line(&mut b, inset.note, note, 12.0 * s, Weight::Regular);
        room = Rect::new(panel.x0 + 12.0, panel.y0 + 50.0 * s, panel.x1 - 12.0, panel.y1 - 12.0);
    }
    scene.append(b.finish());
    let bounds = inset.scene_mm.bounds;
    let scale = (room.width() / bounds.width().max(1e-6))
        .min(room.height().max(1.0) / bounds.height().max(1e-6));
    let mut detail = inset.scene_mm.transformed(
        Affine::translate(room.center().to_vec2())
            * Affine::scale(scale)
            * Affine::translate(-bounds.center().to_vec2()),
    );
    // The parts of the detail are the same ones as in the drawing; ids must stay single.
    detail.targets.clear();
    for prim in &mut detail.prims {
        prim.target = None;
    }
    scene.append(detail);
}

#[cfg(test)]
mod tests;
