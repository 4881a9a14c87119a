//! Cell number, cards and sampling tube: a lost number, what the charger does, a broken tube.

use super::{Input, place};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Anchor, Shade, Stroke, Text, Tone, Weight},
    text,
    view::plan::NUMBER_SPOT,
};
use jarlight_model::text::tr;
use kurbo::{Affine, Point, Vec2};

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
        (spot - NUMBER_SPOT, 13.0, 5.5)
    } else {
        (Point::new(spot.x + 5.5, spot.y), 7.0, 3.4)
    };
    let worn = input.param("worn", 0.0) / 100.0;
    if worn > 0.0 {
        let patch = brush::rect(
            c.x + half - 2.0 * half * worn,
            c.y - high + 0.5,
            c.x + half - 0.5,
            c.y + high - 0.5,
        );
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
        // Stuck on later, by hand: not quite straight.
        let tag = Affine::rotate_about(0.05, c)
            * brush::rounded(c.x - half, c.y - high, c.x + half, c.y + high, 0.8);
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

/// A card that hangs before the jar and says what the eye cannot see, such as the mode of the
/// charger; its word is the message `sign-WORD`.
pub fn sign(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(word) = input.step.words.first() else { return };
    if !place::from_the_side(pen) {
        return;
    }
    const SIZE: f64 = 12.0;
    let words = tr(&format!("sign-{word}"));
    let (x0, x1) = place::room(pen);
    let wide = text::width(&words, Weight::SemiBold, SIZE);
    let c = Point::new(f64::midpoint(x0, x1), -pen.layout.levels.plate_top + 22.0);
    let (half, high) = ((0.5 * wide + 9.0) * pen.px, 10.0 * pen.px);
    let card = brush::rounded(c.x - half, c.y - high, c.x + half, c.y + high, 4.0 * pen.px);
    pen.out.end();
    let line = Stroke::new(1.2, Shade::edge(Role::Plastic));
    pen.out.shape(card, Shade::new(Role::Plastic, Tone::Light), Some(line));
    pen.out.text(Text {
        at: Point::new(c.x, c.y + 4.2 * pen.px),
        size: SIZE,
        anchor: Anchor::Middle,
        weight: Weight::SemiBold,
        shade: Shade::new(Role::InJar, Tone::Base),
        halo: None,
        upright: false,
        words,
    });
}

/// What is left of a broken sampling tube. `broken` from 0.5 on; `fallen` from 0.5 on: the rest
/// lies across the plates; `lost` from 0.5 on: it lies on the floor.
pub fn tube(input: &Input<'_>, pen: &mut Pen<'_>) {
    if input.param("broken", 0.0) < 0.5 {
        return;
    }
    let Some(t) = pen.layout.cells.iter().find_map(|c| c.tubes.first()).copied() else { return };
    let l = pen.layout.levels;
    let index =
        pen.out.targets().iter().position(|t| &*t.part == "withdrawal_tube").map(|i| i as u32);
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
    let (a, b) = place::room(pen);
    let long = 0.62 * (b - a).min(110.0);
    let (middle, angle) = if lost {
        (Point::new(a + 0.55 * (b - a), -(r + 1.5)), 0.02)
    } else if fallen {
        (Point::new(a + 0.58 * (b - a), -(l.strap_top + r + 2.0)), -0.11)
    } else {
        // It hangs beside the pack and leans against the wall.
        (
            Point::new(
                f64::midpoint(x0, x1) - 4.0,
                -(l.plate_top + 0.5 * (l.liquid - l.plate_top)),
            ),
            1.35,
        )
    };
    let long = if fallen || lost { long } else { 0.6 * long };
    let mut piece =
        vec![Point::new(-long / 2.0, -r), Point::new(long / 2.0, -r), Point::new(long / 2.0, r)];
    for (i, off) in [2.5, -1.0, 3.0].into_iter().enumerate() {
        piece.push(Point::new(-long / 2.0 + off, r - 2.0 * r * (i as f64 + 0.5) / 3.0));
    }
    let place = Affine::translate(middle.to_vec2()) * Affine::rotate(angle);
    let body = place * brush::polygon(&piece);
    pen.out.shape(body, clear, Some(line));
    let shine = place
        * brush::polyline(&[
            Point::new(-long / 2.0 + 4.0, -0.4 * r),
            Point::new(long / 2.0 - 2.0, -0.4 * r),
        ]);
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
