//! Even films on whole parts: haze, blush of copper, shade spread, blotches, a gentle wave.

use super::{
    Input,
    place::{Found, grown, meant, room, sown},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Paint, Shade, Tone},
};
use jarlight_model::rng::element;
use kurbo::{Point, Rect};

/// A gradient that fades out at a share of the height, from the bottom or the top.
fn fading(bounds: Rect, cover: f64, from_top: bool, role: Role, alpha: f32) -> Paint {
    let (near, far) = if from_top { (bounds.y0, bounds.y1) } else { (bounds.y1, bounds.y0) };
    // The edge of the film is soft; a film over the whole part has no edge.
    let end = (cover * 1.15).min(1.0) as f32;
    let solid = (cover * 0.75) as f32;
    let tail = if cover >= 0.99 { alpha * 0.8 } else { 0.0 };
    let shade = |a: f32| Shade::new(role, Tone::Base).alpha(a);
    Paint::Linear {
        from: Point::new(0.0, near),
        to: Point::new(0.0, far),
        stops: vec![
            (0.0, shade(alpha)),
            (solid.min(end), shade(alpha * 0.9)),
            (end, shade(tail)),
            (1.0, shade(tail)),
        ],
    }
}

/// A matt bloom from the bottom up. `cover`: percent of the height; `alpha`: how dense.
/// Word `top`: from the top down.
pub fn haze(input: &Input<'_>, pen: &mut Pen<'_>) {
    let cover = input.param("cover", 100.0) / 100.0;
    let alpha = input.param("alpha", 0.4) as f32;
    if cover <= 0.0 || alpha <= 0.0 {
        return;
    }
    let role = input.paint(Role::Sulfate);
    for f in meant(input, pen) {
        pen.out.resume(Some(f.index));
        let fill = fading(f.bounds, cover, input.says("top"), role, alpha);
        pen.out.shape(f.outline.clone(), fill, None);
    }
}

/// An even matt film from the plate tops down, strongest near the positive post. `reach`:
/// percent of the plate height; `alpha`: density near the post.
pub fn blush(input: &Input<'_>, pen: &mut Pen<'_>) {
    let reach = input.param("reach", 50.0) / 100.0;
    let alpha = input.param("alpha", 0.5);
    if reach <= 0.0 || alpha <= 0.0 {
        return;
    }
    let role = input.paint(Role::CopperFilm);
    let face = pen.request.view == View::Face;
    let post = pen
        .layout
        .cells
        .iter()
        .flat_map(|c| &c.posts)
        .find(|p| p.positive)
        .map_or(0.0, |p| if face { p.z } else { p.x });
    for f in meant(input, pen) {
        pen.out.resume(Some(f.index));
        let shade = |tone: Tone, a: f64| Shade::new(role, tone).alpha(a.clamp(0.0, 1.0) as f32);
        let fill = if face {
            // On the face the film runs out in a round front away from the post.
            Paint::Radial {
                center: Point::new(post, f.bounds.y0),
                radius: 1.25 * reach * f.bounds.height() + 24.0,
                stops: vec![
                    (0.0, shade(Tone::Dark, alpha)),
                    (0.5, shade(Tone::Base, 0.85 * alpha)),
                    (0.8, shade(Tone::Light, 0.6 * alpha)),
                    (1.0, shade(Tone::Light, if reach >= 0.99 { 0.5 * alpha } else { 0.0 })),
                ],
            }
        } else {
            // Plates farther off take less, and later.
            let away = (f.bounds.center().x - post).abs();
            let first = if f.spot.x < post || away < 30.0 { 1.0 } else { 0.0 };
            let near = (1.0 - away / 150.0).clamp(0.25, 1.0);
            let share = (reach * (0.55 + 0.45 * near)).min(1.0);
            let dense = alpha * near.max(0.45) * (reach * 1.8 + 0.35 * first).clamp(0.25, 1.0);
            fading(f.bounds, share, true, role, dense as f32)
        };
        pen.out.shape(f.outline.clone(), fill, None);
    }
}

/// One even film over a whole part. `alpha`: how dense.
pub fn film(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.3) as f32;
    if alpha <= 0.0 {
        return;
    }
    let shade = Shade::new(input.paint(Role::Tint), Tone::Base).alpha(alpha);
    for f in meant(input, pen) {
        pen.out.resume(Some(f.index));
        pen.out.shape(f.outline.clone(), shade, None);
    }
}

/// One even haze over the whole inside of the jar, or with the word `liquid` over the liquid
/// alone. `alpha`: how dense.
pub fn flood(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.3) as f32;
    if alpha <= 0.0 || !super::place::from_the_side(pen) {
        return;
    }
    let shade = Shade::new(input.paint(Role::Tint), Tone::Base).alpha(alpha);
    let (x0, x1) = room(pen);
    let l = pen.layout.levels;
    let top = if input.says("liquid") { l.liquid } else { l.cover_under };
    pen.out.end();
    pen.out.shape(brush::rect(x0, -top, x1, 0.0), shade, None);
}

/// Single plates a shade lighter or darker than their family. `alpha`: the most.
pub fn spread(input: &Input<'_>, pen: &mut Pen<'_>) {
    let most = input.param("alpha", 0.25);
    for f in meant(input, pen) {
        let mut rng = element(input.seed, u64::from(f.number));
        let off = rng.range(-1.0, 1.0);
        let tone = if off > 0.0 { Tone::Light } else { Tone::Edge };
        let role = if input.on() == "positive_plate" {
            Role::PositiveBorder
        } else {
            Role::NegativeBorder
        };
        let alpha = if off > 0.0 { most * off } else { -0.55 * most * off } as f32;
        pen.out.resume(Some(f.index));
        pen.out.shape(f.outline.clone(), Shade::new(role, tone).alpha(alpha), None);
        mottle(pen, &f, role, f.seed(input.seed), alpha);
    }
}

/// Soft clouds a little lighter than the plate.
fn mottle(pen: &mut Pen<'_>, f: &Found, role: Role, seed: u64, alpha: f32) {
    sown(5.0, seed, |_, _, mut rng| {
        let r = rng.range(0.8, 1.6) * f.bounds.width().clamp(4.0, 26.0);
        let center = Point::new(
            f.bounds.x0 + rng.unit() * f.bounds.width(),
            f.bounds.y0 + rng.unit() * f.bounds.height(),
        );
        cloud(pen, f.bounds, center, r, Shade::new(role, Tone::Light).alpha(0.5 * alpha + 0.08));
    });
}

/// A spot that fades to nothing, cut to a rectangle.
pub fn cloud(pen: &mut Pen<'_>, clip: Rect, center: Point, radius: f64, shade: Shade) {
    let area = Rect::from_center_size(center, (2.0 * radius, 2.0 * radius)).intersect(clip);
    if area.width() <= 0.01 || area.height() <= 0.01 {
        return;
    }
    let fill = Paint::Radial {
        center,
        radius,
        stops: vec![(0.0, shade), (0.45, shade.alpha(shade.alpha * 0.8)), (1.0, shade.alpha(0.0))],
    };
    pen.out.shape(brush::rect(area.x0, area.y0, area.x1, area.y1), fill, None);
}

/// Tall clouds of another material, uneven over the plate. `count` to a plate; `alpha`.
pub fn blotch(input: &Input<'_>, pen: &mut Pen<'_>) {
    let count = input.param("count", 6.0);
    let alpha = input.param("alpha", 0.6) as f32;
    let role = input.paint(Role::NegativeBorder);
    for f in meant(input, pen) {
        let size = f.bounds.width().clamp(3.0, 40.0);
        let clip = f.bounds.inset(-0.3);
        let amount = count / 24.0;
        pen.out.resume(Some(f.index));
        sown(24.0, f.seed(input.seed), |i, _, mut rng| {
            let center = Point::new(
                f.bounds.x0 + rng.unit() * f.bounds.width(),
                f.bounds.y0 + (0.04 + 0.92 * rng.unit()) * f.bounds.height(),
            );
            let r = size * rng.range(0.5, 1.0);
            let birth = i as f64 / 25.0;
            let here = grown(birth, amount + 0.12);
            if here <= 0.0 || amount <= 0.0 {
                return;
            }
            // Two clouds, one under the other, make it tall.
            let shade = Shade::new(role, Tone::Base).alpha(alpha * here as f32);
            cloud(pen, clip, center, r, shade);
            cloud(pen, clip, center + kurbo::Vec2::new(0.15 * r, 1.1 * r), 0.9 * r, shade);
        });
    }
}

/// A wave of a face, seen as soft light and dark bands across it. `alpha`; `count` of bands.
pub fn waves(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view != View::Face {
        return;
    }
    let alpha = input.param("alpha", 0.2) as f32;
    let bands = input.param("count", 3.0).max(1.0);
    let phase = element(input.seed, 1).range(0.0, std::f64::consts::TAU);
    for f in meant(input, pen) {
        let stops: Vec<(f32, Shade)> = (0..=24)
            .map(|i| {
                let t = f64::from(i) / 24.0;
                let wave = libm::sin(std::f64::consts::TAU * bands * t + phase);
                let tone = if wave > 0.0 { Tone::Light } else { Tone::Dark };
                let part = wave.abs() as f32 * alpha;
                (t as f32, Shade::new(Role::NegativePaste, tone).alpha(part))
            })
            .collect();
        let fill = Paint::Linear {
            from: Point::new(0.0, f.bounds.y0),
            to: Point::new(0.0, f.bounds.y1),
            stops,
        };
        pen.out.resume(Some(f.index));
        pen.out.shape(f.outline.clone(), fill, None);
    }
}
