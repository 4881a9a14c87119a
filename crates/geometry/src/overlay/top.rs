//! Vent, label and sampling tube: chips, clogging, a lost number, a broken tube.

use super::{
    Input,
    place::{meant, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Anchor, Paint, Shade, Stroke, Text, Tone, Weight},
};
use kurbo::{Affine, BezPath, Point, Vec2};

/// Chips and cracks of the stone. `chip` size; `long` of the crack in percent of the height;
/// `wedge`: size of a missing piece; `gone` from 0.5 on: the opening where it stood.
pub fn chip(input: &Input<'_>, pen: &mut Pen<'_>) {
    let gone = input.param("gone", 0.0) >= 0.5;
    if gone {
        open_vent(input, pen);
        return;
    }
    let Some(f) = meant(input, pen).into_iter().next() else { return };
    let b = f.bounds;
    let dark = Shade::new(Role::Creep, Tone::Edge);
    pen.out.resume(Some(f.index));
    if pen.request.view == View::Plan {
        let long = input.param("long", 0.0) / 100.0;
        let r = b.width() / 2.0;
        // Only the rim of the stone shows beside the funnel.
        let from = b.center() + Vec2::new(0.82 * r, 0.57 * r);
        let line = brush::jagged(from, from + Vec2::new(1.5 + 3.0 * long, 2.0 + 2.0 * long), 4, 0.5, input.seed);
        pen.out.line(brush::polyline(&line), Stroke::new(1.4, dark));
        return;
    }
    let paper = Shade::base(Role::Page);
    let line = Stroke::new(0.9, Shade::edge(Role::Stone));
    let chip = input.param("chip", 2.0);
    let mut pieces = BezPath::new();
    let side = brush::blob(Point::new(b.x1 + 0.3 * chip, b.y1 - 0.22 * b.height()), chip, 1.2 * chip, 0.2, input.seed);
    pieces.extend(side.elements().iter().copied());
    pen.out.shape(pieces, paper, None);
    let rim = brush::jagged(
        Point::new(b.x1, b.y1 - 0.22 * b.height() - 1.2 * chip),
        Point::new(b.x1, b.y1 - 0.22 * b.height() + 1.2 * chip),
        4,
        0.2,
        input.seed,
    );
    let inner: Vec<Point> = rim
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let t = i as f64 / 4.0;
            *p - Vec2::new(0.75 * chip * libm::sin(std::f64::consts::PI * t), 0.0)
        })
        .collect();
    pen.out.line(brush::polyline(&inner), Stroke::new(1.2, Shade::edge(Role::Stone)));
    let wedge = input.param("wedge", 0.0);
    if wedge > 0.0 {
        let at = Point::new(b.x1 - 0.1 * b.width(), b.y0 + 0.28 * b.height());
        let cut = brush::polygon(&[
            at + Vec2::new(-0.55 * wedge, 0.9 * wedge),
            at + Vec2::new(-0.9 * wedge, 0.1 * wedge),
            at + Vec2::new(-0.3 * wedge, -0.2 * wedge),
            at + Vec2::new(0.1 * wedge, -0.7 * wedge),
            at + Vec2::new(1.1 * wedge, -0.2 * wedge),
            at + Vec2::new(1.0 * wedge, 1.0 * wedge),
        ]);
        pen.out.shape(cut, paper, Some(line.clone()));
        // What broke off lies beside it.
        let y = -pen.layout.levels.cover_top;
        let bit = brush::blob(Point::new(b.x1 + 7.0, y - 0.35 * wedge), 0.7 * wedge, 0.4 * wedge, 0.25, input.seed ^ 2);
        pen.out.shape(bit, Shade::base(Role::Stone), Some(line));
    }
    let long = input.param("long", 0.0) / 100.0;
    if long > 0.0 {
        let from = Point::new(b.x0 + 0.16 * b.width(), b.y1 - 0.04 * b.height());
        let to = from + Vec2::new(0.62 * b.width(), -0.8 * b.height()) * long;
        let main = brush::jagged(from, to, 8, 2.0, input.seed ^ 3);
        pen.out.line(brush::polyline(&main), Stroke::new(1.7, dark));
        if long > 0.5 {
            let branch = brush::jagged(main[4], main[4] + Vec2::new(7.0, 5.5), 3, 1.0, input.seed ^ 4);
            pen.out.line(brush::polyline(&branch), Stroke::new(1.1, dark));
        }
    }
}

/// The hole in the cover where a vent is missing.
fn open_vent(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(f) = targets(input, pen, "vent_well").into_iter().next() else { return };
    pen.out.resume(Some(f.index));
    let dark = Shade::new(Role::Creep, Tone::Edge);
    let line = Stroke::new(1.2, Shade::new(Role::Cover, Tone::Light));
    if pen.request.view == View::Plan {
        let hole = brush::circle(f.bounds.center(), 0.42 * f.bounds.width());
        pen.out.shape(hole, dark, Some(line));
        return;
    }
    let b = f.bounds;
    let mouth = brush::ellipse(Point::new(b.center().x, b.y0 + 0.6), 0.44 * b.width(), 1.3);
    pen.out.shape(mouth, dark, Some(line));
}

/// Stain and crust that shut the pores of the stone. `alpha`; `crust` lumps at its base; `mist`
/// drops that come out at the base.
pub fn clog(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.4) as f32;
    let role = input.paint(Role::Rust);
    let Some(f) = meant(input, pen).into_iter().next() else { return };
    let b = f.bounds;
    pen.out.resume(Some(f.index));
    let shade = |tone, a: f32| Shade::new(role, tone).alpha((a * alpha).min(1.0));
    let fill = Paint::Linear {
        from: Point::new(0.0, b.y1),
        to: Point::new(0.0, b.y0),
        stops: vec![
            (0.0, shade(Tone::Edge, 0.95)),
            (0.55, shade(Tone::Dark, 0.9)),
            (1.0, shade(Tone::Base, 0.6)),
        ],
    };
    pen.out.shape(f.outline.clone(), fill, None);
    let spots = brush::speckle(&f.outline, 2.6, 0.75, input.seed);
    pen.out.shape(spots, shade(Tone::Edge, 0.9), None);
    let (mut crust, mut mist) = (BezPath::new(), BezPath::new());
    let above = pen.request.view == View::Plan;
    sown(input.param("crust", 0.0), input.seed ^ 2, |_, grown, mut rng| {
        let r = rng.range(0.8, 2.0) * grown;
        let p = if above {
            let a = rng.range(0.0, std::f64::consts::TAU);
            b.center() + Vec2::new(libm::cos(a), libm::sin(a)) * (b.width() / 2.0 + 1.0)
        } else {
            Point::new(rng.range(b.x0 + r, b.x1 - r), b.y1 - 0.5 * r)
        };
        crust.extend(brush::blob(p, 1.4 * r, r, 0.3, rng.next_u64()).elements().iter().copied());
    });
    let line = Stroke::new(0.6, Shade::edge(Role::WhiteSalt));
    pen.out.shape(crust, Shade::base(Role::WhiteSalt), Some(line));
    sown(input.param("mist", 0.0), input.seed ^ 3, |i, grown, mut rng| {
        let side = if i % 2 == 0 { -1.0 } else { 1.0 };
        let off = rng.range(2.5, 12.0);
        let p = if above {
            let a = rng.range(0.0, std::f64::consts::TAU);
            b.center() + Vec2::new(libm::cos(a), libm::sin(a)) * (b.width() / 2.0 + 3.0 + off)
        } else {
            Point::new(b.center().x + side * (b.width() / 2.0 + off), b.y1 + 2.0 - rng.range(0.0, 0.9 * off))
        };
        let dot = brush::circle(p, 0.7 * grown);
        mist.extend(dot.elements().iter().copied());
    });
    pen.out.shape(mist, Shade::new(Role::AcidFilm, Tone::Dark).alpha(0.9), None);
}

/// The place of the number: scuffed, empty, or with a wrong number. `worn` in percent of the
/// label; `ghost` from 0.5 on: the mark of the glue; `wrong` from 0.5 on: a neighbour's number.
pub fn label(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some((index, spot)) = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .find(|(_, t)| &*t.part == "cell_number")
        .map(|(i, t)| (i as u32, t.spot))
    else {
        return;
    };
    pen.out.resume(Some(index));
    let above = pen.request.view == View::Plan;
    let (c, half, high) = if above {
        (spot, 13.0, 5.5)
    } else {
        (Point::new(spot.x + 5.5, spot.y), 7.0, 3.4)
    };
    let worn = input.param("worn", 0.0) / 100.0;
    if worn > 0.0 {
        let patch = brush::rect(c.x + half - 2.0 * half * worn, c.y - high + 0.5, c.x + half - 0.5, c.y + high - 0.5);
        let scuffs = brush::hatch(&patch, 0.9, 0.5);
        pen.out.shape(patch, Shade::new(Role::Plastic, Tone::Base).alpha(0.92), None);
        pen.out.line(scuffs, Stroke::new(0.6, Shade::new(Role::Dust, Tone::Base)));
    }
    if input.param("ghost", 0.0) >= 0.5 {
        let mark = brush::rounded(c.x - half, c.y - high, c.x + half, c.y + high, 0.8);
        let line = Stroke::new(0.8, Shade::new(Role::Dust, Tone::Light)).dashed(&[3.0, 2.5]);
        pen.out.shape(mark.clone(), Shade::new(Role::Cover, Tone::Light).alpha(0.35), Some(line));
        let glue = brush::speckle(&mark, 1.6, 0.3, input.seed);
        pen.out.shape(glue, Shade::new(Role::Dust, Tone::Light).alpha(0.7), None);
    }
    if input.param("wrong", 0.0) >= 0.5 {
        let tag = brush::rounded(c.x - half, c.y - high, c.x + half, c.y + high, 0.8);
        let line = Stroke::new(0.7, Shade::edge(Role::Plastic));
        pen.out.shape(tag, Shade::new(Role::Plastic, Tone::Light), Some(line));
        let wrong = pen.options.cell_number.saturating_sub(1).max(1);
        pen.out.text(Text {
            at: Point::new(c.x, c.y + 0.55 * high),
            size: if above { 13.0 } else { 9.5 },
            anchor: Anchor::Middle,
            weight: Weight::Bold,
            shade: Shade::new(Role::InJar, Tone::Base),
            halo: None,
            upright: false,
            words: wrong.to_string(),
        });
    }
}

/// What is left of a broken sampling tube. `broken` from 0.5 on; `fallen` from 0.5 on: the rest
/// lies across the plates; `lost` from 0.5 on: it lies on the floor.
pub fn tube(input: &Input<'_>, pen: &mut Pen<'_>) {
    if input.param("broken", 0.0) < 0.5 {
        return;
    }
    let Some(t) = pen.layout.cells.iter().find_map(|c| c.tubes.first()).copied() else { return };
    let l = pen.layout.levels;
    let index = pen
        .out
        .targets()
        .iter()
        .position(|t| &*t.part == "withdrawal_tube")
        .map(|i| i as u32);
    pen.out.resume(index);
    if pen.request.view == View::Plan {
        empty_hole(pen, index);
        return;
    }
    let (x0, x1) = if pen.request.view == View::Face { t.z } else { t.x };
    let r = (x1 - x0) / 2.0;
    // A short jagged stub under the cover.
    let foot = -(l.cover_under - 16.0);
    let mut stub = vec![Point::new(x0, -l.cover_top - 2.0), Point::new(x0, foot)];
    for (i, off) in [3.5, 0.5, 5.0, 1.5].into_iter().enumerate() {
        stub.push(Point::new(x0 + 2.0 * r * (i as f64 + 0.5) / 4.0, foot + off));
    }
    stub.extend([Point::new(x1, foot + 2.0), Point::new(x1, -l.cover_top - 2.0)]);
    let line = Stroke::new(1.0, Shade::edge(Role::Plastic));
    let clear = Shade::new(Role::Plastic, Tone::Base).alpha(0.9);
    pen.out.shape(brush::polygon(&stub), clear, Some(line.clone()));
    let (fallen, lost) = (input.param("fallen", 0.0) >= 0.5, input.param("lost", 0.0) >= 0.5);
    let (a, b) = super::place::room(pen);
    let long = 0.62 * (b - a).min(110.0);
    let (middle, angle) = if lost {
        (Point::new(a + 0.55 * (b - a), -(r + 1.5)), 0.02)
    } else if fallen {
        (Point::new(a + 0.58 * (b - a), -(l.strap_top + r + 2.0)), -0.11)
    } else {
        // It hangs beside the pack and leans against the wall.
        (Point::new(f64::midpoint(x0, x1) - 4.0, -(l.plate_top + 0.5 * (l.liquid - l.plate_top))), 1.35)
    };
    let long = if fallen || lost { long } else { 0.6 * long };
    let mut piece = vec![Point::new(-long / 2.0, -r), Point::new(long / 2.0, -r), Point::new(long / 2.0, r)];
    for (i, off) in [2.5, -1.0, 3.0].into_iter().enumerate() {
        piece.push(Point::new(-long / 2.0 + off, r - 2.0 * r * (i as f64 + 0.5) / 3.0));
    }
    let place = Affine::translate(middle.to_vec2()) * Affine::rotate(angle);
    let body = place * brush::polygon(&piece);
    pen.out.shape(body, clear, Some(line));
    let shine = place * brush::polyline(&[Point::new(-long / 2.0 + 4.0, -0.4 * r), Point::new(long / 2.0 - 2.0, -0.4 * r)]);
    pen.out.line(shine, Stroke::new(1.2, Shade::new(Role::Plastic, Tone::Light)));
}

/// From above: the hole with a broken rim.
fn empty_hole(pen: &mut Pen<'_>, index: Option<u32>) {
    let Some(spot) = index.and_then(|i| pen.out.targets().get(i as usize)).map(|t| t.spot) else {
        return;
    };
    let line = Stroke::new(1.0, Shade::new(Role::Cover, Tone::Light));
    pen.out.shape(brush::circle(spot, 5.0), Shade::new(Role::Creep, Tone::Edge), Some(line));
    let rim = brush::jagged(spot - Vec2::new(3.6, 0.0), spot + Vec2::new(3.6, 0.6), 4, 1.4, 3);
    pen.out.line(brush::polyline(&rim), Stroke::new(1.4, Shade::base(Role::Plastic)));
}

/// The funnel without its cap, or the cap cracked. `open` and `crack` from 0.5 on; `dirt` in it.
pub fn open_funnel(input: &Input<'_>, pen: &mut Pen<'_>) {
    let above = pen.request.view == View::Plan;
    let dark = Shade::new(Role::Creep, Tone::Edge);
    if input.param("crack", 0.0) >= 0.5 {
        let Some(cap) = targets(input, pen, "dust_cap").into_iter().next() else { return };
        let b = cap.bounds;
        let (from, to) = if above {
            (b.center() - Vec2::new(0.1 * b.width(), 0.0), Point::new(b.x1 - 1.5, b.y0 + 0.3 * b.height()))
        } else {
            (Point::new(b.center().x + 2.0, b.y0), Point::new(b.center().x + 5.0, b.y1))
        };
        pen.out.resume(Some(cap.index));
        let line = brush::jagged(from, to, 5, 0.8, input.seed);
        pen.out.line(brush::polyline(&line), Stroke::new(1.6, dark));
    }
    if input.param("open", 0.0) < 0.5 {
        return;
    }
    // From the side the rim is the last outline of the funnel, its stem the first.
    let funnel = pen
        .out
        .targets()
        .iter()
        .position(|t| &*t.part == "filling_funnel")
        .map(|i| i as u32);
    let Some(index) = funnel else { return };
    let Some(b) = pen.out.outlines(index).last().map(kurbo::Shape::bounding_box) else { return };
    pen.out.resume(Some(index));
    let line = Stroke::new(1.0, Shade::edge(Role::Plastic));
    let mouth = if above {
        brush::circle(b.center(), 0.42 * b.width())
    } else {
        brush::ellipse(Point::new(b.center().x, b.y0 + 0.2), 0.45 * b.width(), 1.7)
    };
    let inside = Shade::new(Role::Plastic, Tone::Edge);
    pen.out.shape(mouth, inside, Some(line));
    let hole = if above {
        brush::circle(b.center(), 0.2 * b.width())
    } else {
        brush::ellipse(Point::new(b.center().x, b.y0 + 0.5), 0.26 * b.width(), 0.9)
    };
    pen.out.shape(hole, dark, None);
    let mut dirt = BezPath::new();
    sown(input.param("dirt", 0.0), input.seed ^ 0xD127, |_, grown, mut rng| {
        let a = rng.range(0.0, std::f64::consts::TAU);
        let r = 0.4 * b.width() * libm::sqrt(rng.unit());
        let flat = if above { 1.0 } else { 0.09 };
        let c = if above { b.center() } else { Point::new(b.center().x, b.y0 + 0.2) };
        let p = c + Vec2::new(r * libm::cos(a), flat * r * libm::sin(a));
        let lump = brush::blob(p, 1.3 * grown, 0.7 * grown, 0.35, rng.next_u64());
        dirt.extend(lump.elements().iter().copied());
    });
    let rim = Stroke::new(0.4, Shade::edge(Role::Dust));
    pen.out.shape(dirt, Shade::new(Role::Dust, Tone::Dark), Some(rim));
}
