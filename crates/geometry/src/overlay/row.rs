//! What conditions do between the cells of a row: a jar off its place or turned wrongly, rails
//! and joints that belong to no cell alone.

use super::{
    Effects, Family, Input, draw_last, family,
    place::{Held as _, dot, sown},
};
use crate::{
    alter::Active,
    draw::{Pen, Request, View, brush},
    layout::{Layout, Post},
    palette::Role,
    scene::{Form, Scene, SceneBuilder, Shade, Stroke, Text, Tone},
    series::Series,
};
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Vec2};

/// Moves and turns the specimen's jar in its row; gives what leans it.
pub fn in_row(request: &Request<'_>, series: &mut Series, middle: usize) -> Affine {
    let effects = Effects::of(request);
    if effects.swapped
        && let Some(jar) = series.jars.get_mut(middle)
    {
        *jar = wrongly_turned(jar);
    }
    if let Some(x) = series.x.get_mut(middle) {
        *x += effects.slide;
    }
    if effects.tilt == 0.0 {
        return Affine::IDENTITY;
    }
    let foot = Point::new(0.0, request.design.jar.floor);
    Affine::rotate_about(effects.tilt.to_radians(), foot)
}

/// The same jar half turned, its posts listed by place as before, so that the bars of the row
/// still run from place to place and now join like to like.
fn wrongly_turned(jar: &Layout) -> Layout {
    let mut turned = jar.turned();
    let all: Vec<Post> = turned.cells.iter().flat_map(|c| c.posts.clone()).collect();
    for (cell, before) in turned.cells.iter_mut().zip(&jar.cells) {
        cell.posts = before
            .posts
            .iter()
            .filter_map(|old| {
                let away = |p: &&Post| (p.x - old.x).abs() + (p.z - old.z).abs();
                all.iter().min_by(|a, b| away(a).total_cmp(&away(b))).cloned()
            })
            .collect();
    }
    turned
}

/// Changes what stands between the cells, and draws on joints and rails of the finished row.
pub fn finish_row(all: &mut Scene, request: &Request<'_>, series: &Series, middle: usize) {
    let effects = Effects::of(request);
    if !effects.row.is_empty() {
        let active: Vec<Active> = all
            .targets
            .iter()
            .map(|t| Active::of(&effects.row, &t.part, t.number, t.spot))
            .collect();
        all.prims.retain(|p| p.target.is_none_or(|t| !active[t as usize].hidden));
        for p in &mut all.prims {
            let Some(a) = p.target.map(|t| &active[t as usize]).filter(|a| !a.is_still()) else {
                continue;
            };
            p.form = match std::mem::replace(&mut p.form, Form::Text(empty_text())) {
                Form::Path { path, fill, stroke } => {
                    Form::Path { path: a.path(path), fill, stroke }
                }
                Form::Text(text) => Form::Text(Text { at: a.point(text.at), ..text }),
            };
        }
        for (t, a) in all.targets.iter_mut().zip(&active) {
            t.spot = a.point(t.spot);
        }
    }
    let last =
        |input: &Input<'_>| matches!(family(&input.step.family.value), Some(Family::Last(_)));
    let (Some(jar), Some(x)) = (series.jars.get(middle), series.x.get(middle)) else { return };
    if !effects.steps.iter().any(last) {
        return;
    }
    let bounds = all.bounds;
    let mut pen = Pen::new(request, jar, &effects);
    pen.out = SceneBuilder::over(std::mem::take(all));
    pen.bounds = bounds;
    let wall = request.design.jar.wall;
    pen.focus = Some(Rect::new(x - wall, bounds.y0, x + jar.outer_x, bounds.y1));
    draw_last(&mut pen);
    *all = pen.finish();
}

fn empty_text() -> Text {
    use crate::scene::{Anchor, Weight};
    Text {
        at: Point::ZERO,
        size: 0.0,
        anchor: Anchor::Start,
        weight: Weight::Regular,
        shade: Shade::base(Role::Ink),
        halo: None,
        upright: false,
        words: String::new(),
    }
}

/// Rust and white salts on the rail under the specimen. `count` of patches; `size`; `salt`;
/// `trails` down the rail; `thin`: how far the rail is eaten.
pub fn rust(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view != View::Row {
        return;
    }
    let Some(focus) = pen.focus else { return };
    let rails: Vec<(u32, Rect)> = pen
        .out
        .targets()
        .iter()
        .enumerate()
        .filter(|(_, t)| t.part.as_ref() == input.on())
        .filter_map(|(i, _)| Some((i as u32, pen.outline(i as u32)?.bounding_box())))
        .collect();
    let size = input.param("size", 3.0);
    for (index, rail) in rails {
        let (a, b) = (focus.x0.max(rail.x0 + 2.0), focus.x1.min(rail.x1 - 2.0));
        let middle = a + (b - a) * jarlight_model::rng::element(input.seed, 2).range(0.35, 0.65);
        let (mut scale, mut paint, mut runs) = (BezPath::new(), BezPath::new(), BezPath::new());
        let mut grain = BezPath::new();
        sown(input.param("count", 6.0), input.seed, |_, grown, mut rng| {
            // Thickest where the leak comes down.
            let ry = (size * rng.range(0.35, 0.8) * grown).min(0.44 * rail.height());
            let rx = size * rng.range(0.6, 1.6) * grown;
            let x = (middle + 0.24 * (b - a) * rng.normal()).held(a + rx, b - rx);
            let y = rng.range(rail.y0 + 1.1 * ry, (rail.y1 - 1.1 * ry).max(rail.y0 + 1.2 * ry));
            // A patch is a swarm of ragged scales, not one round spot.
            for _ in 0..5 {
                let off = Vec2::new(rng.range(-1.0, 1.0) * rx, rng.range(-0.7, 0.7) * ry);
                let (sx, sy) = (rx * rng.range(0.2, 0.6), ry * rng.range(0.25, 0.6));
                let c = Point::new(
                    (x + off.x).held(a + sx, b - sx),
                    (y + off.y).held(rail.y0 + sy, rail.y1 - sy),
                );
                let patch = brush::blob(c, sx, sy, 0.4, rng.next_u64());
                scale.extend(patch.elements().iter().copied());
                dot(&mut grain, c, 0.6 * sx.min(sy), 0.3, 2, &mut rng);
            }
            if rng.unit() < 0.4 {
                let at = Point::new(x - 0.6 * rx, y - 0.5 * ry);
                let flake = brush::blob(at, 0.28 * rx, 0.2 * ry, 0.4, rng.next_u64());
                paint.extend(flake.elements().iter().copied());
            }
        });
        sown(input.param("trails", 0.0), input.seed ^ 4, |_, grown, mut rng| {
            let x = (middle + 0.18 * (b - a) * rng.normal()).held(a + 1.0, b - 1.0);
            let long = rng.range(3.0, 9.0) * grown;
            let run = brush::rounded(x - 0.8, rail.y1 - 3.0, x + 0.8, rail.y1 + long, 0.7);
            runs.extend(run.elements().iter().copied());
        });
        let mut salt = BezPath::new();
        sown(input.param("salt", 0.0), input.seed ^ 5, |_, grown, mut rng| {
            let x = (middle + 0.2 * (b - a) * rng.normal()).held(a + 1.0, b - 1.0);
            let p = Point::new(x, rail.y0 + rng.range(0.2, 1.6));
            let lump = brush::blob(p, 1.8 * grown, 0.8 * grown, 0.3, rng.next_u64());
            salt.extend(lump.elements().iter().copied());
        });
        pen.out.resume(Some(index));
        let line = Stroke::new(0.4, Shade::edge(Role::Rust));
        pen.out.shape(runs, Shade::new(Role::Rust, Tone::Light).alpha(0.85), None);
        pen.out.shape(scale, Shade::base(Role::Rust), Some(line));
        pen.out.shape(grain, Shade::new(Role::Rust, Tone::Edge), None);
        let lifted = Stroke::new(0.7, Shade::edge(Role::Rack));
        pen.out.shape(paint, Shade::new(Role::Rack, Tone::Light), Some(lifted));
        let edge = Stroke::new(0.5, Shade::edge(Role::WhiteSalt));
        pen.out.shape(salt, Shade::base(Role::WhiteSalt), Some(edge));
        let thin = input.param("thin", 0.0);
        if thin > 0.0 {
            let c = Point::new(middle, rail.y1 + 0.2);
            let bite = brush::blob(c, 9.0 + 4.0 * thin, thin, 0.2, input.seed ^ 7);
            pen.out.shape(
                bite,
                Shade::base(Role::Page),
                Some(Stroke::new(0.8, Shade::edge(Role::Rust))),
            );
        }
    }
}
