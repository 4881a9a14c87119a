//! Marks on posts: nodules under the skin, bare copper, the even oxide skin.

use super::{
    Input,
    film::cloud,
    place::{Found, Held as _, meant, sown},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    part::post::bar_span,
    scene::{Paint, Shade, Stroke, Tone},
};
use kurbo::{BezPath, Point, Rect, Vec2};

/// The part of a post over the cover, as the view shows it.
fn over_cover(pen: &Pen<'_>, f: &Found) -> Rect {
    let r = pen.layout.design.posts.diameter / 2.0;
    let top = f.spot.y - 2.5;
    // A leaning post is met where it comes out of the cover.
    Rect::new(f.spot.x - r, top, f.spot.x + r, -pen.layout.levels.cover_top)
}

/// Warts on the flank that split the lead skin. `count`; `size` radius; `splits`.
pub fn nodules(input: &Input<'_>, pen: &mut Pen<'_>) {
    let size = input.param("size", 1.5);
    let splits = input.param("splits", 0.0);
    let role = input.paint(Role::LeadPositiveAir);
    let above = pen.request.view == View::Plan;
    for f in meant(input, pen) {
        let seed = f.seed(input.seed);
        let flank = if above { f.bounds.inset(5.0) } else { over_cover(pen, &f) };
        let high = pen.layout.design.posts.above;
        let mut warts = Vec::new();
        sown(input.param("count", 8.0), seed, |_, grown, mut rng| {
            let r = size * rng.range(0.45, 1.15) * grown;
            let p = if above {
                let a = rng.range(0.0, std::f64::consts::TAU);
                let ring = f.bounds.width() / 2.0 + rng.range(-1.0, 2.2);
                f.bounds.center() + Vec2::new(ring * libm::cos(a), ring * libm::sin(a))
            } else {
                // They begin at the seal and come up the flank.
                let up = high * (0.16 + 0.5 * libm::pow(rng.unit(), 1.8));
                Point::new(rng.range(flank.x0 + 0.3 * r, flank.x1 - 0.3 * r), flank.y1 - up)
            };
            warts.push((p, r));
        });
        // A wart may stand a little out of the flank, but is cut at the cover.
        let clip = if above {
            flank
        } else {
            Rect::new(flank.x0 - 2.2, flank.y0, flank.x1 + 2.2, flank.y1 - 2.0)
        };
        pen.out.resume(Some(f.index));
        let rough = brush::speckle(
            &brush::rect(flank.x0, flank.y1 - 0.6 * high, flank.x1, flank.y1 - 3.0),
            2.0,
            0.3,
            seed,
        );
        if !above {
            pen.out.shape(rough, Shade::edge(role).alpha(0.7), None);
        }
        for (p, r) in &warts {
            // Matt lumps of the skin itself: a soft shadow, an uneven body, hardly any light.
            let shadow = Shade::edge(role).alpha(0.85);
            cloud(pen, clip, *p + Vec2::new(0.3 * r, 0.4 * r), 1.3 * r, shadow);
            let q = Point::new(p.x.held(clip.x0 + r, clip.x1 - r), p.y);
            let seed = (q.y * 1024.0) as i64 as u64 ^ seed;
            let lump = brush::blob(q, *r, 0.85 * r, 0.2, seed);
            pen.out.shape(lump, Shade::base(role).mixed(role, Tone::Dark, 0.45), None);
            let lit = Shade::new(role, Tone::Light).alpha(0.28);
            cloud(pen, clip, q - Vec2::new(0.3 * r, 0.35 * r), 0.7 * r, lit);
        }
        let mut cracks = BezPath::new();
        sown(splits, seed ^ 0x5B11, |i, grown, mut rng| {
            let Some((p, r)) = warts.get(i as usize * 2) else { return };
            let long = r * 1.6 * grown;
            let turn = rng.range(1.1, 2.0);
            let dir = Vec2::new(libm::cos(turn), libm::sin(turn)) * long;
            let points = brush::jagged(*p - dir, *p + dir, 4, 0.3 * r, rng.next_u64());
            for (k, q) in points.iter().enumerate() {
                if k == 0 { cracks.move_to(*q) } else { cracks.line_to(*q) }
            }
        });
        pen.out.line(cracks.clone(), Stroke::new(1.8, Shade::new(Role::Creep, Tone::Edge)));
        if input.says("copper") && splits > 3.5 {
            pen.out.line(cracks, Stroke::new(0.8, Shade::base(Role::Copper)));
        }
    }
}

/// Bare red metal of the core, round the bolt hole and at the rim. `radius`; `salt` halo;
/// `hollow` from 0.5 on: the core is eaten out.
pub fn bare_copper(input: &Input<'_>, pen: &mut Pen<'_>) {
    let radius = input.param("radius", 4.0);
    let salt = input.param("salt", 0.0);
    let above = pen.request.view == View::Plan;
    for f in meant(input, pen) {
        let seed = f.seed(input.seed);
        let center = if above {
            f.bounds.center() + Vec2::new(0.32 * f.bounds.width(), -0.12 * f.bounds.width())
        } else {
            let post = pen.layout.cells.iter().flat_map(|c| &c.posts).find(|p| p.positive).cloned();
            let Some(post) = post else { return };
            let (low, high) = bar_span(pen, &post);
            Point::new(f.spot.x, -f64::midpoint(low, high))
        };
        // Not past the flank of the post.
        let most = pen.layout.design.posts.diameter / 2.0 - 0.6;
        let r = if above { (0.55 * radius).min(0.3 * most) } else { radius.min(0.82 * most) };
        pen.out.resume(Some(f.index));
        if salt > 0.0 {
            let halo = brush::blob(
                center + Vec2::new(0.0, 0.3 * salt),
                r + 0.7 * salt,
                r + salt,
                0.16,
                seed,
            );
            let line = Stroke::new(0.7, Shade::edge(Role::CopperSalt));
            let grain = brush::speckle(&halo, 0.9, 0.22, seed);
            pen.out.shape(halo, Shade::base(Role::CopperSalt), Some(line));
            pen.out.shape(grain, Shade::new(Role::CopperSalt, Tone::Light), None);
        }
        let patch = brush::blob(center, r, 1.1 * r, 0.13, seed ^ 1);
        let fill = Paint::Linear {
            from: center - Vec2::new(r, r),
            to: center + Vec2::new(r, r),
            stops: vec![
                (0.0, Shade::new(Role::Copper, Tone::Light)),
                (0.5, Shade::base(Role::Copper)),
                (1.0, Shade::new(Role::Copper, Tone::Dark)),
            ],
        };
        pen.out.shape(patch, fill, Some(Stroke::new(0.9, Shade::edge(Role::Copper))));
        if !above {
            let hole = brush::circle(center, 3.4);
            let rim = Stroke::new(0.9, Shade::edge(Role::Copper));
            pen.out.shape(hole, Shade::new(Role::LeadPositiveAir, Tone::Edge), Some(rim));
        }
        if input.param("hollow", 0.0) >= 0.5 {
            let pit = brush::blob(
                center + Vec2::new(0.3 * r, 0.35 * r),
                0.75 * r,
                0.6 * r,
                0.22,
                seed ^ 9,
            );
            pen.out.shape(pit, Shade::new(Role::Creep, Tone::Edge), None);
        }
    }
}

/// An even, dry, dark skin over the whole post above the cover. `alpha`.
pub fn skin(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.45) as f32;
    let role = input.paint(Role::Creep);
    for f in meant(input, pen) {
        pen.out.resume(Some(f.index));
        let shade = Shade::new(role, Tone::Light).alpha(alpha);
        if pen.request.view == View::Plan {
            pen.out.shape(f.outline.clone(), shade, None);
            continue;
        }
        let all = over_cover(pen, &f);
        let foot = if pen.layout.design.posts.seal == jarlight_model::design::PostSeal::Nut {
            7.0
        } else {
            0.0
        };
        let body = brush::rounded(all.x0 + 0.4, all.y0 + 0.4, all.x1 - 0.4, all.y1 - foot, 1.0);
        pen.out.shape(body, shade, None);
    }
}
