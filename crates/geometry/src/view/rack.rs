//! Two tiers of a string from the aisle; zooming in turns the plain cells into whole ones.

use crate::{
    draw::{Pen, Request, Shapes, View, brush},
    layout::{Impossible, Layout},
    overlay::Effects,
    palette::Role,
    scene::{Anchor, Form, Paint, Scene, SceneBuilder, Shade, Stroke, Text, Tone, Weight},
    series::{BETWEEN, PostOf, Run, Series},
    view::edge,
};
use kurbo::{Affine, Point, Rect, Vec2};

/// From this scale on a visible cell is drawn whole.
pub const WHOLE_FROM: f64 = 1.1;
/// Room above a tier for posts, vents and hands.
const HEADROOM: f64 = 120.0;
/// Room at both ends for rails and cables.
const END: f64 = 110.0;
/// From the floor of the jars to the underside of the rail that carries them.
const RAIL_FOOT: f64 = 24.0;
/// Room under the lower rail, for feet and tray; shortened, since nothing stands in it.
const FEET: f64 = 96.0;
/// Height of the rim of the spill tray.
const TRAY: f64 = 56.0;
/// The most cells of one string on a rack.
pub const MOST_CELLS: u32 = 240;

/// Draws the rack; the specimen stands at its number, all others are healthy.
pub fn scene(request: &Request<'_>) -> Result<Scene, Vec<Impossible>> {
    let n = request.options.cells.clamp(2, MOST_CELLS) as usize;
    let upper = n.div_ceil(2);
    let healthy = Layout::healthy(request.design)?;
    let tiers = [
        (Series::new(vec![healthy.clone(); upper], Run::LeftToRight), 0usize),
        (Series::new(vec![healthy.clone(); n - upper], Run::RightToLeft), upper),
    ];
    let pitch = tiers[0].0.pitch();
    let d = request.design;
    let width = pitch * upper as f64 - BETWEEN - 2.0 * d.jar.wall;
    let tier_height = healthy.outer_height + d.posts.above.max(d.arrestor.height) + HEADROOM;
    let bounds = Rect::new(
        -d.jar.wall - END,
        -2.0 * tier_height + d.jar.floor + 40.0,
        width + d.jar.wall + END,
        d.jar.floor + RAIL_FOOT + FEET,
    );
    let mut healthy_ones: [Option<Scene>; 2] = [None, None];
    let every = numbered_every(pitch * request.px_per_mm);
    let mut all = Scene { bounds, ..Scene::default() };
    all.append(frame(bounds, tier_height, d.jar.floor));
    for (t, (series, first)) in tiers.iter().enumerate() {
        let base = if t == 0 { -tier_height } else { 0.0 };
        // A shorter lower tier stands flush right, where the cable comes down.
        let shift_x = if t == 1 { pitch * (upper - (n - upper)) as f64 } else { 0.0 };
        let mut plain = SceneBuilder::new(bounds);
        let mut whole = Vec::new();
        for (i, jar) in series.jars.iter().enumerate() {
            let at = Vec2::new(series.x[i] + shift_x, base);
            let number = (first + i + 1) as u32;
            let room = Rect::new(
                at.x - d.jar.wall,
                at.y - healthy.outer_height - 60.0,
                at.x + healthy.outer_x,
                at.y + d.jar.floor,
            );
            let visible = request.options.visible.is_none_or(|v| v.overlaps(room));
            if request.px_per_mm >= WHOLE_FROM && visible {
                whole.push((at, number, is_turned(jar, &healthy)));
            } else {
                let numbered = number == 1 || number.is_multiple_of(every);
                plain_cell(&mut plain, jar, at, numbered.then_some(number));
            }
        }
        all.append(plain.finish());
        for (at, number, turned) in whole {
            let cell = if number == request.options.cell_number {
                whole_cell(request, number, turned)?
            } else {
                // Healthy cells differ by their number alone; each kind is drawn once.
                let drawn = &mut healthy_ones[usize::from(turned)];
                let drawn = match drawn {
                    Some(drawn) => drawn,
                    None => drawn.insert(whole_cell(request, number, turned)?),
                };
                with_number(drawn.clone(), number)
            };
            all.append(cell.transformed(Affine::translate(at)));
        }
        all.append(spacers(series, Vec2::new(shift_x, base)));
        all.append(bars(series, Vec2::new(shift_x, base), bounds));
        all.append(front_rail(&healthy, base, bounds));
    }
    all.append(cables(&tiers[0].0, &tiers[1].0, bounds, tier_height, pitch));
    all.bounds = bounds;
    all.renumber();
    Ok(all)
}

/// Whether a jar of a series stands turned against a jar as designed.
fn is_turned(jar: &Layout, designed: &Layout) -> bool {
    jar.cells.first().map(|c| c.turned) != designed.cells.first().map(|c| c.turned)
}

fn whole_cell(request: &Request<'_>, number: u32, turned: bool) -> Result<Scene, Vec<Impossible>> {
    let mut options = request.options.clone();
    options.bars = false;
    options.cell_number = number;
    let healthy =
        jarlight_model::specimen::Specimen { occurrences: Vec::new(), ..request.specimen.clone() };
    let mine = number == request.options.cell_number;
    let one = Request {
        catalogue: request.catalogue,
        design: request.design,
        specimen: if mine { request.specimen } else { &healthy },
        view: View::Edge,
        px_per_mm: request.px_per_mm,
        options,
    };
    let effects = Effects::of(&one);
    let layout = Layout::build(request.design, &effects.deformation)?;
    let layout = if turned { layout.turned() } else { layout };
    let mut pen = Pen::new(&one, &layout, &effects);
    edge::build(&mut pen);
    Ok(pen.finish())
}

/// The same cell with another number on its tag.
fn with_number(mut cell: Scene, number: u32) -> Scene {
    let Scene { prims, targets, .. } = &mut cell;
    for prim in prims {
        let on_tag = |t: u32| &*targets[t as usize].part == "cell_number";
        if let Form::Text(text) = &mut prim.form
            && prim.target.is_some_and(on_tag)
        {
            text.words = number.to_string();
        }
    }
    cell
}

/// Every so many cells bear their number, so that no two numbers touch; `pitch` in pixels.
fn numbered_every(pitch: f64) -> u32 {
    const ROOM: f64 = 24.0;
    [1, 2, 5, 10, 20].into_iter().find(|n| f64::from(*n) * pitch >= ROOM).unwrap_or(50)
}

/// A cell as it is seen from across the room: its true number of plates, nothing smaller.
fn plain_cell(out: &mut SceneBuilder, jar: &Layout, at: Vec2, number: Option<u32>) {
    let l = &jar.levels;
    let d = &jar.design;
    let w = jar.inside_x();
    let rect = |x0: f64, y0: f64, x1: f64, y1: f64| {
        brush::rect(at.x + x0, at.y - y1, at.x + x1, at.y - y0)
    };
    out.begin("jar", Point::new(at.x + w + d.jar.wall / 2.0, at.y - 0.5 * l.cover_under));
    let glass = rect(-d.jar.wall, -d.jar.floor, w + d.jar.wall, l.cover_under);
    out.shape(
        glass,
        Shade::base(Role::JarGlass),
        Some(Stroke::new(0.8, Shade::edge(Role::JarGlass))),
    );
    out.end();
    out.shape(rect(0.0, l.liquid, w, l.cover_under), Shade::base(Role::GasSpace), None);
    out.shape(rect(0.0, 0.0, w, l.liquid), Shade::base(Role::Electrolyte), None);
    for plate in jar.plates() {
        let s = &plate.solid;
        let role =
            if plate.kind.is_positive() { Role::PositiveBorder } else { Role::NegativeBorder };
        out.shape(rect(s.x.0, s.y.0, s.x.1, s.y.1), Shade::base(role), None);
    }
    for cell in &jar.cells {
        let mut straps = cell.straps.clone();
        straps.sort_by(|a, b| b.1.z.0.total_cmp(&a.1.z.0));
        for (positive, s) in &straps {
            let role = if *positive { Role::LeadPositive } else { Role::LeadNegative };
            out.shape(rect(s.x.0, s.y.0, s.x.1, s.y.1), Shade::base(role), None);
        }
        for p in &cell.posts {
            let (role, part) = if p.positive {
                (Role::LeadPositive, "post_positive")
            } else {
                (Role::LeadNegative, "post_negative")
            };
            let r = p.diameter / 2.0;
            out.begin(part, Point::new(at.x + p.x, at.y - p.y.1 + 2.0));
            let fill: Paint = brush::across(role, at.x + p.x - r, at.x + p.x + r);
            out.shape(rect(p.x - r, p.y.0, p.x + r, p.y.1), fill, None);
            out.end();
        }
        let (r, x) = (d.arrestor.diameter / 2.0, cell.vent.0);
        let stone = rect(x - r, l.cover_top, x + r, l.cover_top + d.arrestor.height);
        out.shape(
            stone,
            Shade::base(Role::Stone),
            Some(Stroke::new(0.5, Shade::edge(Role::Stone))),
        );
    }
    let over = 4.0;
    out.begin("cell_cover", Point::new(at.x + w, at.y - l.cover_under - 2.0));
    out.shape(
        rect(-d.jar.wall - over, l.cover_under - 6.0, w + d.jar.wall + over, l.cover_top),
        Shade::base(Role::Cover),
        None,
    );
    out.end();
    let Some(number) = number else { return };
    out.text(Text {
        at: Point::new(at.x + w / 2.0, at.y - 0.06 * l.cover_under),
        size: 9.0,
        anchor: Anchor::Middle,
        weight: Weight::SemiBold,
        shade: Shade::new(Role::InJar, Tone::Base),
        halo: Some(Shade::edge(Role::InJar)),
        upright: false,
        words: number.to_string(),
    });
}

fn bars(series: &Series, at: Vec2, bounds: Rect) -> Scene {
    let mut out = SceneBuilder::new(bounds);
    let Some(jar) = series.jars.first() else { return out.finish() };
    let d = &jar.design;
    let height = d.connector.width.min(d.posts.above - 4.0);
    for joint in &series.joints {
        let ((xa, a), (xb, _)) = (series.post(joint.minus), series.post(joint.plus));
        let top = at.y - (a.y.1 - 1.5);
        let r = a.diameter / 2.0 + 2.0;
        let (x0, x1) = (at.x + xa.min(xb) - r, at.x + xa.max(xb) + r);
        out.begin("intercell_connector", Point::new(f64::midpoint(x0, x1), top + height / 2.0));
        let fill = brush::down(Role::Connector, top, top + height);
        out.solid(brush::rect(x0, top, x1, top + height), fill, Role::Connector, 0.8);
    }
    out.end();
    out.finish()
}

fn frame(bounds: Rect, tier_height: f64, floor: f64) -> Scene {
    let mut out = SceneBuilder::new(bounds);
    let wall = brush::rect(bounds.x0, bounds.y0, bounds.x1, bounds.y1);
    out.shape(wall, Shade::base(Role::Room), None);
    let (a, b) = (bounds.x0 + 46.0, bounds.x1 - 46.0);
    let uprights = (((b - a) / 1100.0).ceil() as u32).max(1);
    out.begin("rack_frame", Point::new(a + 8.0, -0.5 * tier_height));
    for i in 0..=uprights {
        let x = a + (b - a - 16.0) * f64::from(i) / f64::from(uprights);
        let post = brush::rect(x, bounds.y0 + 120.0, x + 16.0, bounds.y1 - 14.0);
        out.solid(post, brush::across(Role::Rack, x, x + 16.0), Role::Rack, 1.0);
    }
    for base in [-tier_height, 0.0] {
        let y = base + floor;
        out.begin("rail_insulator", Point::new(a + 30.0, y + 2.0));
        out.solid(
            brush::rect(a + 10.0, y, b - 10.0, y + 4.0),
            Shade::base(Role::RailCover),
            Role::RailCover,
            0.8,
        );
        out.begin("rack_rail", Point::new(a + 30.0, y + 13.0));
        let rail = brush::rect(a - 14.0, y + 4.0, b + 14.0, y + RAIL_FOOT);
        out.solid(rail, brush::down(Role::Rack, y + 4.0, y + RAIL_FOOT), Role::Rack, 1.2);
    }
    out.end();
    tray(&mut out, bounds);
    out.finish()
}

/// The tray on the floor that catches acid; the feet of the rack stand in it.
fn tray(out: &mut SceneBuilder, bounds: Rect) {
    let (a, b) = (bounds.x0 + 14.0, bounds.x1 - 14.0);
    let (rim, foot) = (bounds.y1 - 10.0 - TRAY, bounds.y1 - 10.0);
    let ground = brush::polyline(&[Point::new(bounds.x0, foot), Point::new(bounds.x1, foot)]);
    out.line(ground, Stroke::new(1.0, Shade::base(Role::Rule)));
    out.begin("spill_tray", Point::new(a + 60.0, f64::midpoint(rim, foot)));
    let curb = brush::rounded(a, rim, b, foot, 5.0);
    out.solid(curb, brush::down(Role::Hanger, rim, foot), Role::Hanger, 1.2);
    let lip = brush::rounded(a - 3.0, rim - 2.0, b + 3.0, rim + 7.0, 3.0);
    out.solid(lip, brush::down(Role::Hanger, rim - 2.0, rim + 7.0), Role::Hanger, 0.9);
    out.end();
}

/// The sheets between neighbouring jars.
fn spacers(series: &Series, at: Vec2) -> Scene {
    let mut out = SceneBuilder::new(Rect::ZERO);
    let Some(jar) = series.jars.first() else { return out.finish() };
    let (wall, height) = (jar.design.jar.wall, jar.levels.cover_under);
    let mut left = series.x.clone();
    left.sort_by(f64::total_cmp);
    for x in left.iter().skip(1) {
        let mid = at.x + x - wall - BETWEEN / 2.0;
        out.begin("seismic_spacer", Point::new(mid, at.y - 0.5 * height));
        let sheet = brush::rect(mid - 3.2, at.y - 0.82 * height, mid + 3.2, at.y - 0.18 * height);
        out.solid(sheet, Shade::base(Role::RailCover), Role::RailCover, 0.8);
    }
    out.end();
    out.finish()
}

/// The rail in front of a tier at a third of the height of its jars, on the end posts.
fn front_rail(jar: &Layout, base: f64, bounds: Rect) -> Scene {
    let mut out = SceneBuilder::new(bounds);
    let y = base - jar.levels.cover_under / 3.0;
    let (a, b) = (bounds.x0 + 46.0, bounds.x1 - 46.0);
    out.begin("end_rail", Point::new(a + 5.0, y));
    let rail = brush::rounded(a, y - 5.0, b, y + 5.0, 4.0);
    out.solid(rail, brush::down(Role::Rack, y - 5.0, y + 5.0), Role::Rack, 1.0);
    out.end();
    out.finish()
}

/// Terminal plates and cables: out at cell 1 and the last one, and between the tiers.
fn cables(upper: &Series, lower: &Series, bounds: Rect, tier_height: f64, pitch: f64) -> Scene {
    let mut out = SceneBuilder::new(bounds);
    let shift = pitch * (upper.jars.len() - lower.jars.len()) as f64;
    let up = Vec2::new(0.0, -tier_height);
    let down = Vec2::new(shift, 0.0);
    let mut plate = |series: &Series, of: Option<&PostOf>, at: Vec2, to: f64| -> Option<Point> {
        let (x, p) = series.post(*of?);
        let d = &series.jars[0].design;
        let height = d.connector.width.min(d.posts.above - 4.0);
        let top = at.y - (p.y.1 - 1.5);
        let r = p.diameter / 2.0 + 2.0;
        let from = if to < x { at.x + x + r } else { at.x + x - r };
        out.begin("terminal_plate", Point::new(to, top + height / 2.0));
        let bar = brush::rect(from, top, to, top + height);
        out.solid(bar, brush::down(Role::Connector, top, top + height), Role::Connector, 1.0);
        out.end();
        Some(Point::new(to, top + height / 2.0))
    };
    let left = bounds.x0 + 26.0;
    let right = bounds.x1 - 26.0;
    let start = plate(upper, upper.first.first(), up, left);
    let turn = plate(upper, upper.last.last(), up, right);
    let back = plate(lower, lower.first.last(), down, right);
    let end = plate(lower, lower.last.first(), down, left - 14.0);
    let run = [
        (start, start.map(|p| Point::new(p.x, bounds.y0))),
        (turn, back),
        (end, end.map(|p| Point::new(p.x, bounds.y0))),
    ];
    for (from, to) in run {
        let (Some(a), Some(b)) = (from, to) else { continue };
        out.begin("inter_tier_cable", Point::new(a.x, f64::midpoint(a.y, b.y)));
        let (top, bottom) = (a.y.min(b.y), a.y.max(b.y));
        let jacket = brush::rounded(a.x - 6.0, top, a.x + 6.0, bottom, 4.0);
        out.solid(jacket, brush::across(Role::Rubber, a.x - 6.0, a.x + 6.0), Role::Rubber, 1.0);
    }
    out.end();
    out.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_under_another_number_is_the_cell_of_that_number() {
        use jarlight_model::{catalogue::Catalogue, specimen::Specimen};
        let catalogue = Catalogue::builtin();
        for design in catalogue.designs.values() {
            let specimen = Specimen::healthy(design.id.clone());
            let request = Request {
                catalogue,
                design,
                specimen: &specimen,
                view: View::Rack,
                px_per_mm: 1.5,
                options: crate::draw::Options::default(),
            };
            for turned in [false, true] {
                let drawn = |number| whole_cell(&request, number, turned).unwrap();
                assert_ne!(drawn(3), drawn(4), "{}", design.id);
                assert_eq!(with_number(drawn(3), 4), drawn(4), "{}", design.id);
            }
        }
    }

    #[test]
    fn numbers_stand_as_close_as_they_can_be_read() {
        assert_eq!([40.0, 13.0, 5.0, 2.5, 0.1].map(numbered_every), [1, 2, 5, 10, 50]);
    }
}
