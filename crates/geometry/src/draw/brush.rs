//! Paths and fills that the views are painted with; textures are lowered to paths here.

use crate::{
    palette::Role,
    scene::{Paint, Shade, Tone},
};
use jarlight_model::rng::element;
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _};

/// A rectangle; corners in any order.
pub fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> BezPath {
    Rect::new(x0, y0, x1, y1).abs().to_path(0.1)
}

/// A rectangle with round corners.
pub fn rounded(x0: f64, y0: f64, x1: f64, y1: f64, radius: f64) -> BezPath {
    let r = Rect::new(x0, y0, x1, y1).abs();
    let radius = radius.min(r.width() / 2.0).min(r.height() / 2.0);
    r.to_rounded_rect(radius).to_path(0.02)
}

/// A circle.
pub fn circle(center: Point, radius: f64) -> BezPath {
    kurbo::Circle::new(center, radius).to_path(0.02)
}

/// An ellipse along the axes.
pub fn ellipse(center: Point, rx: f64, ry: f64) -> BezPath {
    kurbo::Ellipse::new(center, (rx, ry), 0.0).to_path(0.02)
}

/// A closed outline through points.
pub fn polygon(points: &[Point]) -> BezPath {
    let mut path = polyline(points);
    path.close_path();
    path
}

/// An open line through points.
pub fn polyline(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 { path.move_to(*p) } else { path.line_to(*p) }
    }
    path
}

/// A smooth line through points, open.
pub fn smooth(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    let n = points.len();
    if n == 0 {
        return path;
    }
    path.move_to(points[0]);
    for i in 0..n.saturating_sub(1) {
        let before = points[i.saturating_sub(1)];
        let after = points[(i + 2).min(n - 1)];
        let (a, b) = (points[i], points[i + 1]);
        path.curve_to(a + (b - before) / 6.0, b - (after - a) / 6.0, b);
    }
    path
}

/// A round thing seen from the side: dark, base, light, base, dark from left to right.
pub fn across(role: Role, x0: f64, x1: f64) -> Paint {
    across_mixed(role, x0, x1, None)
}

/// The same with a share of another material.
pub fn across_mixed(role: Role, x0: f64, x1: f64, mix: Option<(Role, f32)>) -> Paint {
    let shade = |tone| match mix {
        None => Shade::new(role, tone),
        Some((other, share)) => Shade::new(role, tone).mixed(other, tone, share),
    };
    Paint::Linear {
        from: Point::new(x0, 0.0),
        to: Point::new(x1, 0.0),
        stops: vec![
            (0.0, shade(Tone::Dark)),
            (0.22, shade(Tone::Base)),
            (0.42, shade(Tone::Light)),
            (0.70, shade(Tone::Base)),
            (1.0, shade(Tone::Dark)),
        ],
    }
}

/// A flat bar lit from above: light, base, dark from `top` to `bottom` (scene y).
pub fn down(role: Role, top: f64, bottom: f64) -> Paint {
    Paint::Linear {
        from: Point::new(0.0, top),
        to: Point::new(0.0, bottom),
        stops: vec![
            (0.0, Shade::new(role, Tone::Light)),
            (0.35, Shade::new(role, Tone::Base)),
            (1.0, Shade::new(role, Tone::Dark)),
        ],
    }
}

/// A dome lit from the upper left.
pub fn ball(role: Role, center: Point, radius: f64) -> Paint {
    Paint::Radial {
        center: center + kurbo::Vec2::new(-0.3 * radius, -0.35 * radius),
        radius: radius * 1.5,
        stops: vec![
            (0.0, Shade::new(role, Tone::Light)),
            (0.45, Shade::new(role, Tone::Base)),
            (1.0, Shade::new(role, Tone::Dark)),
        ],
    }
}

/// Parallel lines inside an outline, `spacing` apart, at an angle in radians.
pub fn hatch(area: &BezPath, spacing: f64, angle: f64) -> BezPath {
    let rot = Affine::rotate(-angle);
    let back = Affine::rotate(angle);
    let mut contours: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(area, 0.05, |el| match el {
        PathEl::MoveTo(p) => contours.push(vec![rot * p]),
        PathEl::LineTo(p) => {
            if let Some(c) = contours.last_mut() {
                c.push(rot * p);
            }
        }
        _ => {}
    });
    let ys = || contours.iter().flatten().map(|p| p.y);
    let (low, high) = (ys().fold(f64::MAX, f64::min), ys().fold(f64::MIN, f64::max));
    let mut out = BezPath::new();
    if contours.is_empty() || spacing <= 0.0 || (high - low) / spacing > 2000.0 {
        return out;
    }
    let mut y = (low / spacing).ceil() * spacing;
    while y < high {
        let mut xs: Vec<f64> = contours
            .iter()
            .flat_map(|c| {
                (0..c.len()).filter_map(move |i| {
                    let (a, b) = (c[i], c[(i + 1) % c.len()]);
                    ((a.y <= y) != (b.y <= y)).then(|| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
                })
            })
            .collect();
        xs.sort_by(f64::total_cmp);
        for pair in xs.chunks_exact(2) {
            out.move_to(back * Point::new(pair[0], y));
            out.line_to(back * Point::new(pair[1], y));
        }
        y += spacing;
    }
    out
}

/// Small diamonds on a jittered grid inside an outline; the same on every output.
pub fn speckle(area: &BezPath, cell: f64, radius: f64, seed: u64) -> BezPath {
    let b = area.bounding_box();
    let mut out = BezPath::new();
    if cell <= 0.0 || b.width() * b.height() / (cell * cell) > 20_000.0 {
        return out;
    }
    let (nx, ny) = ((b.width() / cell) as u64 + 1, (b.height() / cell) as u64 + 1);
    let sides = sides(area);
    for j in 0..ny {
        // Only sides that cross the band of this row decide about its dots.
        let (low, high) = (b.y0 + j as f64 * cell, b.y0 + (j + 1) as f64 * cell);
        let band: Vec<(Point, Point)> = sides
            .iter()
            .filter(|(a, b)| a.y.min(b.y) <= high && a.y.max(b.y) >= low)
            .copied()
            .collect();
        for i in 0..nx {
            let mut rng = element(seed, i << 32 | j);
            let p = Point::new(
                b.x0 + (i as f64 + rng.unit()) * cell,
                b.y0 + (j as f64 + rng.unit()) * cell,
            );
            let r = radius * rng.range(0.4, 1.3);
            // No tip stands out where the outline is straight.
            let whole = p.x - r >= b.x0 && p.x + r <= b.x1 && p.y - r >= b.y0 && p.y + r <= b.y1;
            if whole && winds(&band, p) {
                diamond(&mut out, p, r);
            }
        }
    }
    out
}

/// The sides of an outline as straight runs, closed.
fn sides(area: &BezPath) -> Vec<(Point, Point)> {
    let (mut start, mut last) = (Point::ZERO, Point::ZERO);
    let mut out = Vec::new();
    kurbo::flatten(area, 0.03, |el| match el {
        PathEl::MoveTo(p) => {
            out.push((last, start));
            (start, last) = (p, p);
        }
        PathEl::LineTo(p) => {
            out.push((last, p));
            last = p;
        }
        PathEl::ClosePath => {
            out.push((last, start));
            last = start;
        }
        _ => {}
    });
    out.push((last, start));
    out.retain(|(a, b)| a.y != b.y);
    out
}

/// Whether an outline winds round a point.
fn winds(sides: &[(Point, Point)], p: Point) -> bool {
    let mut turns = 0;
    for (a, b) in sides {
        if (a.y <= p.y) != (b.y <= p.y) {
            let x = a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x);
            if x < p.x {
                turns += if a.y < b.y { 1 } else { -1 };
            }
        }
    }
    turns != 0
}

/// Adds a small diamond to a path.
pub fn diamond(out: &mut BezPath, p: Point, r: f64) {
    out.move_to((p.x, p.y - r));
    out.line_to((p.x + r, p.y));
    out.line_to((p.x, p.y + r));
    out.line_to((p.x - r, p.y));
    out.close_path();
}

/// A blob with a soft uneven outline; `rough` is the share of the radius that it varies.
pub fn blob(center: Point, rx: f64, ry: f64, rough: f64, seed: u64) -> BezPath {
    const N: u32 = 14;
    let points: Vec<Point> = (0..N)
        .map(|i| {
            let mut rng = element(seed, u64::from(i));
            let a = f64::from(i) / f64::from(N) * std::f64::consts::TAU;
            let r = 1.0 + rough * rng.range(-1.0, 1.0);
            center + kurbo::Vec2::new(rx * r * libm::cos(a), ry * r * libm::sin(a))
        })
        .collect();
    closed_smooth(&points)
}

/// A smooth closed outline through points.
pub fn closed_smooth(points: &[Point]) -> BezPath {
    let n = points.len();
    let mut path = BezPath::new();
    if n < 3 {
        return path;
    }
    path.move_to(points[0]);
    for i in 0..n {
        let (z, a) = (points[(i + n - 1) % n], points[i]);
        let (b, c) = (points[(i + 1) % n], points[(i + 2) % n]);
        path.curve_to(a + (b - z) / 6.0, b - (c - a) / 6.0, b);
    }
    path.close_path();
    path
}

/// A line that wanders: `n` steps from `a` to `b`, off by at most `sway` to the side.
pub fn jagged(a: Point, b: Point, n: u32, sway: f64, seed: u64) -> Vec<Point> {
    let along = b - a;
    let side = kurbo::Vec2::new(-along.y, along.x) / along.hypot().max(1e-9);
    (0..=n)
        .map(|i| {
            let t = f64::from(i) / f64::from(n.max(1));
            let free = if i == 0 || i == n { 0.0 } else { 1.0 };
            let off = element(seed, u64::from(i)).range(-1.0, 1.0) * sway * free;
            a + along * t + side * off
        })
        .collect()
}
