//! On the cover: cracks, a dome, a wet film.

use super::{
    Input,
    place::{Held as _, grown, meant, sown, targets},
    wall::drop,
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use kurbo::{BezPath, Circle, Point, Rect, Shape as _, Vec2};

/// The positive post as seen from above: its middle and the radius of its well.
fn well(input: &Input<'_>, pen: &Pen<'_>) -> Option<(Point, f64, u32)> {
    let f = targets(input, pen, "post_positive").into_iter().next()?;
    let half = targets(input, pen, "seal_well")
        .iter()
        .map(|w| w.bounds)
        .find(|b| b.contains(f.bounds.center()))
        .map_or(f.bounds.width() * 0.75, |b| b.width() / 2.0);
    Some((f.bounds.center(), half, f.index))
}

/// A crack from the hole of the positive post to the edge. `long` in percent of the way; `open`
/// width in millimetres; `wet` beside it; `piece` from 0.5 on: a piece is loose.
pub fn crack(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(cover) = meant(input, pen).into_iter().next() else { return };
    let long = input.param("long", 30.0) / 100.0;
    let open = input.param("open", 0.3);
    let dark = Shade::new(Role::Creep, Tone::Edge);
    pen.out.resume(Some(cover.index));
    if pen.request.view != View::Plan {
        section_crack(input, pen, &cover.bounds, long, open);
        return;
    }
    let Some((c, half, _)) = well(input, pen) else { return };
    // Toward the aisle corner, away from the bars.
    let edge = Point::new(
        if c.x < cover.bounds.center().x { cover.bounds.x0 + 8.0 } else { cover.bounds.x1 - 8.0 },
        cover.bounds.y1 - 0.5,
    );
    let lines = [
        (edge, 1.0),
        (Point::new(c.x + 0.35 * (cover.bounds.center().x - c.x), cover.bounds.y1 - 0.5), 0.0),
    ];
    let piece = input.param("piece", 0.0) >= 0.5;
    for (to, main) in lines {
        if main < 0.5 && !piece {
            continue;
        }
        let dir = (to - c) / (to - c).hypot();
        let from = c + dir * half;
        let share = if main > 0.5 { long.min(1.0) } else { 1.0 };
        let all = brush::jagged(from, to, 14, 1.6, input.seed ^ main as u64);
        let n = (share * 14.0).ceil() as usize;
        let mut line: Vec<Point> = all[..=n.min(14)].to_vec();
        if let (Some(last), Some(before)) = (line.last().copied(), all.get(n.saturating_sub(1))) {
            let part = share * 14.0 - (n as f64 - 1.0);
            let k = line.len() - 1;
            line[k] = before.lerp(last, part.clamp(0.0, 1.0));
        }
        let wet = input.param("wet", 0.0);
        if wet > 0.0 && main > 0.5 {
            beads_along(pen, &line, wet, input.seed);
        }
        let mut gap: Vec<Point> = line.clone();
        let wide = open.max(0.15);
        let n = line.len().max(2) as f64 - 1.0;
        gap.extend(line.iter().enumerate().rev().map(|(i, p)| {
            let taper = 1.0 - 0.6 * i as f64 / n;
            *p + Vec2::new(wide * taper, -0.3 * wide * taper)
        }));
        pen.out.shape(brush::polygon(&gap), dark, Some(Stroke::new(1.1, dark)));
        let lit: Vec<Point> = line.iter().map(|p| *p + Vec2::new(-0.5, 0.3)).collect();
        let light = Stroke::new(0.7, Shade::new(Role::Cover, Tone::Light).alpha(0.8));
        pen.out.line(brush::polyline(&lit), light);
    }
}

fn section_crack(input: &Input<'_>, pen: &mut Pen<'_>, b: &Rect, long: f64, open: f64) {
    let l = pen.layout.levels;
    let post = pen.layout.cells.iter().flat_map(|c| &c.posts).find(|p| p.positive);
    let Some(post) = post else { return };
    let at = if pen.request.view == View::Face { post.z } else { post.x };
    let half = post.diameter / 2.0 + 7.0;
    // Beside the well, on the side of the nearer edge.
    let x = if at - b.x0 < b.x1 - at { at - half - 3.0 } else { at + half + 3.0 };
    let foot = -(l.cover_top - long.min(1.0) * (l.cover_top - l.cover_under));
    let line =
        brush::jagged(Point::new(x, -l.cover_top), Point::new(x + 1.2, foot), 5, 0.6, input.seed);
    let mut gap = line.clone();
    gap.extend(line.iter().rev().map(|p| *p + Vec2::new(open.max(0.2), 0.0)));
    let dark = Shade::new(Role::Creep, Tone::Edge);
    pen.out.shape(brush::polygon(&gap), dark, Some(Stroke::new(1.0, dark)));
    let lit: Vec<Point> = line.iter().map(|p| *p - Vec2::new(0.4, 0.0)).collect();
    let light = Stroke::new(0.8, Shade::new(Role::Cover, Tone::Light));
    pen.out.line(brush::polyline(&lit), light);
}

/// Wet beads beside a line.
fn beads_along(pen: &mut Pen<'_>, line: &[Point], count: f64, seed: u64) {
    let mut beads = BezPath::new();
    sown(count, seed ^ 0xBEAD, |_, grown, mut rng| {
        let p = line[rng.below(line.len())];
        let r = rng.range(0.8, 2.0) * grown;
        let q = p + Vec2::new(rng.range(-3.0, 3.0), rng.range(-3.0, 3.0));
        beads.extend(brush::blob(q, 1.4 * r, r, 0.15, rng.next_u64()).elements().iter().copied());
    });
    let rim = Stroke::new(0.6, Shade::edge(Role::AcidFilm).alpha(0.8));
    pen.out.shape(beads, Shade::new(Role::AcidFilm, Tone::Light).alpha(0.75), Some(rim));
}

/// Light and shade of a dome round the positive post, seen from above, and the joint that opens
/// on that side. `alpha`; `joint` width of the gap.
pub fn dome(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view != View::Plan {
        return;
    }
    let Some((c, half, _)) = well(input, pen) else { return };
    let Some(cover) = meant(input, pen).into_iter().next() else { return };
    let alpha = input.param("alpha", 0.5) as f32;
    let b = cover.bounds.inset(-2.0);
    pen.out.resume(Some(cover.index));
    // The lit side faces the lamp at the upper left; both fade out, a dome has no edge.
    for (sign, shade) in [
        (-1.0, Shade::new(Role::Cover, Tone::Light).alpha(alpha)),
        (1.0, Shade::edge(Role::Cover).alpha(alpha)),
    ] {
        let center = c + Vec2::new(sign * 0.5 * half, sign * 0.5 * half);
        let reach = half + 15.0;
        let mut ring = BezPath::new();
        let n = 48;
        for i in 0..n {
            let a = f64::from(i) / f64::from(n) * std::f64::consts::TAU;
            let p = center + Vec2::new(reach * libm::cos(a), reach * libm::sin(a));
            let p = Point::new(p.x.held(b.x0, b.x1), p.y.held(b.y0, b.y1));
            if i == 0 { ring.move_to(p) } else { ring.line_to(p) }
        }
        ring.close_path();
        let hole = brush::circle(c, half + 2.2).reverse_subpaths();
        ring.extend(hole.elements().iter().copied());
        let stops = vec![(0.0, shade), (0.55, shade), (1.0, shade.alpha(0.0))];
        pen.out.shape(ring, Paint::Radial { center, radius: reach, stops }, None);
    }
    let joint = input.param("joint", 0.0);
    if joint > 0.0 {
        // The rim beside the post has come up: a dark lens.
        let b = cover.bounds;
        let (x, dir) = if c.x < b.center().x { (b.x0, 1.0) } else { (b.x1, -1.0) };
        let mut lens = BezPath::new();
        lens.move_to((x, c.y - 34.0));
        lens.quad_to((x + dir * 2.0 * joint, c.y), (x, c.y + 34.0));
        lens.close_path();
        pen.out.shape(lens, Shade::new(Role::Creep, Tone::Edge).alpha(0.9), None);
    }
}

/// A gleaming film and beads. `beads`; `film` in percent of the cover; `runs` over the edge.
pub fn wet(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(cover) = meant(input, pen).into_iter().next() else { return };
    let film = input.param("film", 0.0) / 100.0;
    let beads = input.param("beads", 8.0);
    pen.out.resume(Some(cover.index));
    let rim = Stroke::new(0.7, Shade::edge(Role::AcidFilm).alpha(0.85));
    let shine = Shade::new(Role::Plastic, Tone::Light);
    if pen.request.view != View::Plan {
        wet_section(input, pen, cover.bounds, film, beads);
        return;
    }
    let b = cover.bounds.inset(-3.0);
    let vent = targets(input, pen, "vent_well").first().map_or(b.center(), |f| f.bounds.center());
    let wells: Vec<Circle> = ["seal_well", "vent_well"]
        .iter()
        .flat_map(|part| targets(input, pen, part))
        .map(|f| Circle::new(f.bounds.center(), f.bounds.width() / 2.0))
        .collect();
    if film > 0.0 {
        let reach = libm::sqrt(film) * 0.62 * b.width().hypot(b.height());
        let free: Vec<Point> = (0..96)
            .map(|i| {
                let a = f64::from(i) / 96.0 * std::f64::consts::TAU;
                let wave = 0.78
                    + 0.14 * libm::sin(3.0 * a + (input.seed % 6) as f64)
                    + 0.08 * libm::sin(7.0 * a);
                let p = vent + Vec2::new(libm::cos(a), libm::sin(a)) * (reach * wave);
                Point::new(p.x.held(b.x0, b.x1), p.y.held(b.y0, b.y1))
            })
            .collect();
        // A film flows round what stands on the cover: it stops at a well that it has not yet
        // closed round, and leaves those clear that lie within it.
        let whole = brush::closed_smooth(&free);
        let (within, beyond): (Vec<Circle>, Vec<Circle>) = wells.iter().partition(|w| {
            let edge = Circle::new(w.center, w.radius + 1.0).to_path(0.5);
            edge.elements().iter().all(|el| el.end_point().is_none_or(|p| whole.winding(p) == 1))
        });
        let points: Vec<Point> =
            free.iter().map(|p| beyond.iter().fold(*p, |p, w| stop_at(vent, p, w))).collect();
        let mut area = brush::closed_smooth(&points);
        for w in within {
            let ring = brush::circle(w.center, w.radius - 1.0);
            area.extend(ring.reverse_subpaths().elements().iter().copied());
        }
        let fill = brush::down(Role::AcidFilm, b.y0, b.y1);
        let Paint::Linear { from, to, stops } = fill else { return };
        let stops = stops.into_iter().map(|(t, s)| (t, s.alpha(0.55))).collect();
        pen.out.shape(area, Paint::Linear { from, to, stops }, Some(rim.clone()));
        let gloss: Vec<Point> = points[52..68].iter().map(|p| p.lerp(vent, 0.12)).collect();
        pen.out.line(brush::smooth(&gloss), Stroke::new(2.0, shine.alpha(0.9)).rounded());
    }
    let (mut drops, mut lights) = (BezPath::new(), BezPath::new());
    sown(beads, input.seed ^ 0xBEAD, |i, grown, mut rng| {
        // The first ones sit round the vent, later ones anywhere.
        let near = if i < 10 { 30.0 } else { 30.0 + 8.0 * (i as f64 - 10.0) };
        let a = rng.range(0.0, std::f64::consts::TAU);
        let d = 24.0 + (near - 24.0).max(2.0) * rng.unit();
        let p = vent + Vec2::new(d * libm::cos(a), d * libm::sin(a));
        let r = rng.range(0.9, 2.4) * grown;
        let p = Point::new(p.x.held(b.x0 + r, b.x1 - r), p.y.held(b.y0 + r, b.y1 - r));
        if wells.iter().any(|w| (p - w.center).hypot() < w.radius) {
            return;
        }
        drops.extend(brush::blob(p, r, r, 0.08, rng.next_u64()).elements().iter().copied());
        let q = p - Vec2::new(0.3 * r, 0.35 * r);
        lights.extend(Circle::new(q, 0.3 * r).path_elements(0.05));
    });
    pen.out.shape(drops, Shade::new(Role::AcidFilm, Tone::Light).alpha(0.8), Some(rim));
    pen.out.shape(lights, shine, None);
}

/// The end of a ray, or where the ray meets a well before it.
fn stop_at(from: Point, to: Point, well: &Circle) -> Point {
    let along = to - from;
    let (long, off) = (along.hypot(), well.center - from);
    let dir = along / long.max(1e-9);
    let (near, aside) = (dir.dot(off), dir.cross(off).abs());
    let radius = well.radius + 0.5;
    if near <= 0.0 || aside >= radius {
        return to;
    }
    let entry = near - libm::sqrt(radius * radius - aside * aside);
    if entry >= long { to } else { from + dir * entry.max(0.0) }
}

/// The film from the side: a thin bright layer, beads on it, drops at the edge.
fn wet_section(input: &Input<'_>, pen: &mut Pen<'_>, b: Rect, film: f64, beads: f64) {
    let y = -pen.layout.levels.cover_top;
    let middle = b.center().x;
    let half = 0.5 * (b.width() - 4.0) * libm::sqrt(film).min(1.0);
    let rim = Stroke::new(0.6, Shade::edge(Role::AcidFilm).alpha(0.9));
    if film > 0.0 {
        let strip = brush::rounded(middle - half, y - 1.0, middle + half, y + 0.2, 0.6);
        pen.out.shape(
            strip,
            Shade::new(Role::AcidFilm, Tone::Light).alpha(0.85),
            Some(rim.clone()),
        );
    }
    let mut drops = BezPath::new();
    sown(beads, input.seed ^ 0xBEAD, |i, grown, mut rng| {
        let near = grown * (0.25 + 0.75 * (i as f64 / 40.0).min(1.0));
        let x = middle + rng.range(-0.5, 0.5) * (b.width() - 8.0) * near.max(0.3);
        let r = rng.range(0.7, 1.6) * grown;
        let cap = brush::ellipse(Point::new(x, y - 0.3 * r), 1.3 * r, 0.8 * r);
        drops.extend(cap.elements().iter().copied());
    });
    sown(input.param("runs", 0.0), input.seed ^ 0x20, |i, now, mut rng| {
        let x = if i % 2 == 0 { b.x0 + 1.2 } else { b.x1 - 1.2 };
        let p = Point::new(x, y + 6.0 + rng.range(0.0, 9.0));
        drop(&mut drops, p, 1.3 * grown(0.0, now));
    });
    pen.out.shape(drops, Shade::new(Role::AcidFilm, Tone::Light).alpha(0.9), Some(rim));
}
