//! Sheets of several pictures: the normal, the affected and the look-alike side by side, one
//! condition by severity or by age.

mod window;

pub use window::{LAMP_REACH, Shot, Window, lamp, outlines, picture};

use crate::{
    draw::brush,
    figure::{MARGIN, text_line, wrap},
    palette::Role,
    scene::{Scene, SceneBuilder, Shade, Stroke, Weight},
    text,
};
use jarlight_model::unit::Grade;
use kurbo::{Affine, BezPath, Circle, Point, Rect, RoundedRect, Shape as _};

/// What a picture shows, as its sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// The healthy cell: a ring with a tick.
    Normal,
    /// The condition: a triangle.
    Affected,
    /// What it is mistaken for: a ring with two level lines.
    Harmless,
    /// No sign.
    Plain,
}

/// One picture with the words below it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Its sign.
    pub mark: Mark,
    /// Its words.
    pub title: String,
    /// How far the condition has gone, with the word for it.
    pub grade: Option<(Grade, String)>,
    /// The picture, in pixels.
    pub picture: Scene,
}

/// Pictures that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Its title; none when empty.
    pub title: String,
    /// What to look for; none when empty.
    pub note: String,
    /// Its pictures.
    pub tiles: Vec<Tile>,
}

/// What a sheet shows.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// Title.
    pub title: &'a str,
    /// A line under the title; none when empty.
    pub subtitle: &'a str,
    /// What stands at the foot; nothing when empty.
    pub caption: &'a str,
    /// The cards in reading order.
    pub cards: &'a [Card],
    /// Cards side by side.
    pub across: usize,
    /// Pictures side by side in a card.
    pub tiles_across: usize,
    /// Size of text, 1.0 at 100 %.
    pub text_scale: f64,
}

/// A finished sheet and where its pictures are.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Everything, in pixels; it has no targets, since parts are there several times.
    pub scene: Scene,
    /// The pictures, card by card.
    pub tiles: Vec<Rect>,
}

const GAP: f64 = 16.0;
const BETWEEN: f64 = 10.0;
const PADDING: f64 = 16.0;

/// Puts cards on a sheet.
pub fn compose(ask: &Ask<'_>) -> Sheet {
    let s = ask.text_scale;
    let across = ask.across.max(1);
    let widths: Vec<f64> = ask.cards.iter().map(|c| card_width(c, ask.tiles_across)).collect();
    let column = widths.iter().fold(0.0, |a: f64, b| a.max(*b));
    let columns = across.min(ask.cards.len().max(1)) as f64;
    let wide = (columns * column + (columns - 1.0) * GAP).max(420.0);
    let mut b = SceneBuilder::new(Rect::ZERO);
    let mut y = MARGIN;
    for line in wrap(ask.title, Weight::Bold, 30.0 * s, wide) {
        text_line(&mut b, &line, Point::new(MARGIN, y + 26.0 * s), 30.0 * s, Weight::Bold);
        y += 38.0 * s;
    }
    for line in wrap(ask.subtitle, Weight::Regular, 13.5 * s, wide) {
        text_line(&mut b, &line, Point::new(MARGIN, y + 14.0 * s), 13.5 * s, Weight::Regular);
        y += 20.0 * s;
    }
    y += GAP;
    let mut sheet = b.finish();
    let mut tiles = Vec::new();
    for row in ask.cards.chunks(across) {
        let cards: Vec<Laid> =
            row.iter().map(|card| Laid::new(card, column, ask.tiles_across, s)).collect();
        let tall = cards.iter().fold(0.0, |a: f64, c| a.max(c.height));
        for (i, card) in cards.into_iter().enumerate() {
            let corner = Point::new(MARGIN + i as f64 * (column + GAP), y);
            let move_by = corner.to_vec2();
            sheet.append(frame(Rect::from_origin_size(corner, (column, tall))));
            sheet.append(card.scene.transformed(Affine::translate(move_by)));
            tiles.extend(card.tiles.into_iter().map(|t| t + move_by));
        }
        y += tall + GAP;
    }
    let mut b = SceneBuilder::new(Rect::ZERO);
    for line in wrap(ask.caption, Weight::Regular, 12.0 * s, wide) {
        text_line(&mut b, &line, Point::new(MARGIN, y + 12.0 * s), 12.0 * s, Weight::Regular);
        y += 17.0 * s;
    }
    sheet.append(b.finish());
    sheet.targets.clear();
    for prim in &mut sheet.prims {
        prim.target = None;
    }
    sheet.bounds = Rect::new(0.0, 0.0, wide + 2.0 * MARGIN, y + MARGIN - GAP / 2.0);
    Sheet { scene: sheet, tiles }
}

fn card_width(card: &Card, across: usize) -> f64 {
    let n = across.max(1).min(card.tiles.len().max(1));
    let tile = card.tiles.iter().map(|t| t.picture.bounds.width()).fold(0.0, f64::max);
    n as f64 * tile + (n - 1) as f64 * BETWEEN + 2.0 * PADDING
}

fn frame(at: Rect) -> Scene {
    let mut b = SceneBuilder::new(at);
    let outline = RoundedRect::from_rect(at, 10.0).to_path(0.05);
    b.shape(outline, Shade::base(Role::Panel), Some(Stroke::new(1.0, Shade::base(Role::Rule))));
    b.finish()
}

/// A card with its corner at the origin.
struct Laid {
    scene: Scene,
    tiles: Vec<Rect>,
    height: f64,
}

impl Laid {
    fn new(card: &Card, wide: f64, across: usize, s: f64) -> Self {
        let mut b = SceneBuilder::new(Rect::ZERO);
        let room = wide - 2.0 * PADDING;
        let mut y = PADDING;
        for line in wrap(&card.title, Weight::SemiBold, 16.0 * s, room) {
            text_line(&mut b, &line, Point::new(PADDING, y + 14.0 * s), 16.0 * s, Weight::SemiBold);
            y += 22.0 * s;
        }
        for line in wrap(&card.note, Weight::Regular, 12.0 * s, room) {
            text_line(&mut b, &line, Point::new(PADDING, y + 11.0 * s), 12.0 * s, Weight::Regular);
            y += 17.0 * s;
        }
        if y > PADDING {
            y += 6.0;
        }
        let mut scene = b.finish();
        let mut tiles = Vec::new();
        for row in card.tiles.chunks(across.max(1)) {
            let (mut x, mut tall) = (PADDING, 0.0_f64);
            for tile in row {
                let at = Rect::from_origin_size(Point::new(x, y), tile.picture.bounds.size());
                let shift = at.origin() - tile.picture.bounds.origin();
                scene.append(tile.picture.transformed(Affine::translate(shift)));
                let (words, height) = words(tile, at, s);
                scene.append(words);
                tall = tall.max(at.height() + height);
                tiles.push(at);
                x = at.x1 + BETWEEN;
            }
            y += tall + BETWEEN;
        }
        Self { scene, tiles, height: y + PADDING - BETWEEN }
    }
}

/// The frame of a picture and the words below it, with their height.
fn words(tile: &Tile, at: Rect, s: f64) -> (Scene, f64) {
    let mut b = SceneBuilder::new(at);
    let (role, width) = match tile.mark {
        Mark::Affected => (Role::Wrong, 1.6),
        _ => (Role::SecondInk, 1.2),
    };
    b.line(at.to_path(0.1), Stroke::new(width, Shade::base(role)));
    let size = 13.0 * s;
    let mut y = at.y1 + 8.0;
    let mut x = at.x0;
    if tile.mark != Mark::Plain {
        sign(&mut b, tile.mark, Point::new(x + 8.0 * s, y + 8.0 * s), 7.0 * s);
        x += 22.0 * s;
    }
    for line in wrap(&tile.title, Weight::SemiBold, size, at.x1 - x) {
        text_line(&mut b, &line, Point::new(x, y + 13.0 * s), size, Weight::SemiBold);
        y += 18.0 * s;
    }
    if let Some((grade, word)) = &tile.grade {
        let line = Stroke::new(1.2, Shade::base(Role::Wrong));
        for i in 0..5 {
            let center = Point::new(x + 4.0 * s + f64::from(i) * 11.0 * s, y + 8.0 * s);
            let dot = Circle::new(center, 3.6 * s).to_path(0.05);
            let fill = if i < grade.value() { Role::Wrong } else { Role::Panel };
            b.shape(dot, Shade::base(fill), Some(line.clone()));
        }
        let after = Point::new(x + 60.0 * s, y + 12.0 * s);
        if after.x + text::width(word, Weight::Regular, 12.0 * s) <= at.x1 + 4.0 {
            text_line(&mut b, word, after, 12.0 * s, Weight::Regular);
        }
        y += 18.0 * s;
    }
    (b.finish(), y - at.y1 + 2.0)
}

fn sign(b: &mut SceneBuilder, mark: Mark, at: Point, r: f64) {
    let run = |points: &[(f64, f64)]| {
        let points: Vec<Point> =
            points.iter().map(|(x, y)| Point::new(at.x + x * r, at.y + y * r)).collect();
        brush::polyline(&points)
    };
    let ring = || Circle::new(at, r).to_path(0.05);
    let line = |role, width: f64| Stroke::new(width, Shade::base(role)).rounded();
    match mark {
        Mark::Normal => {
            b.line(ring(), line(Role::Right, 1.4));
            b.line(run(&[(-0.45, 0.0), (-0.1, 0.4), (0.5, -0.4)]), line(Role::Right, 1.6));
        }
        Mark::Affected => {
            let mut edge: BezPath = run(&[(0.0, -1.0), (1.05, 0.85), (-1.05, 0.85)]);
            edge.close_path();
            b.line(edge, line(Role::Wrong, 1.4));
            b.line(run(&[(0.0, -0.35), (0.0, 0.2)]), line(Role::Wrong, 1.6));
            b.line(run(&[(0.0, 0.5), (0.0, 0.52)]), line(Role::Wrong, 1.8));
        }
        Mark::Harmless => {
            b.line(ring(), line(Role::SecondInk, 1.4));
            b.line(run(&[(-0.45, -0.25), (0.45, -0.25)]), line(Role::SecondInk, 1.4));
            b.line(run(&[(-0.45, 0.25), (0.45, 0.25)]), line(Role::SecondInk, 1.4));
        }
        Mark::Plain => {}
    }
}

#[cfg(test)]
mod tests;
