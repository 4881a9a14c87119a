//! Outlines and lines as triangles with soft edges.

use super::gradient::Fill;
use egui::{
    Color32, Mesh, Pos2, Shape, Stroke, Vec2,
    epaint::{PathShape, PathStroke, TessellationOptions, Tessellator, Vertex},
    pos2, vec2,
};
use jarlight_geometry::scene;
use kurbo::{BezPath, PathEl, Point};
use lyon_tessellation as lyon;

/// How far a polyline may stray from its curve, in pixels.
const TOLERANCE: f64 = 0.12;
/// Width of the soft edge, in pixels.
const SOFT: f32 = 0.7;

/// Turns paths in pixels into triangles.
pub struct Brush {
    fills: lyon::FillTessellator,
    lines: Tessellator,
    soft: f32,
}

impl Brush {
    pub fn new(pixels_per_point: f32) -> Self {
        let options =
            TessellationOptions { coarse_tessellation_culling: false, ..Default::default() };
        Self {
            fills: lyon::FillTessellator::new(),
            lines: Tessellator::new(pixels_per_point, options, [1, 1], Vec::new()),
            soft: SOFT / pixels_per_point,
        }
    }

    /// Fills an outline (non-zero rule) and softens its edge.
    pub fn fill(&mut self, path: &BezPath, fill: &Fill, out: &mut Mesh) {
        let contours = polylines(path);
        let mut lyon_path = lyon::path::Path::builder();
        for c in &contours {
            let mut points = c.points.iter().map(|p| lyon::math::point(p.x, p.y));
            let Some(first) = points.next() else { continue };
            lyon_path.begin(first);
            for p in points {
                lyon_path.line_to(p);
            }
            lyon_path.end(true);
        }
        let base = out.vertices.len() as u32;
        let mut buffers: lyon::VertexBuffers<Vertex, u32> = lyon::VertexBuffers::new();
        let made = self.fills.tessellate_path(
            &lyon_path.build(),
            &lyon::FillOptions::non_zero(),
            &mut lyon::BuffersBuilder::new(&mut buffers, |v: lyon::FillVertex<'_>| {
                vertex(fill, pos2(v.position().x, v.position().y))
            }),
        );
        // An outline that cannot be filled (not a number in it) is left out; its line remains.
        if made.is_ok() {
            if fill.is_round() {
                refine(&mut buffers, fill);
            }
            out.vertices.extend(buffers.vertices);
            out.indices.extend(buffers.indices.into_iter().map(|i| i + base));
            self.soften(&contours, fill, out);
        }
    }

    /// Adds to every contour a strip that fades outward.
    fn soften(&self, contours: &[Polyline], fill: &Fill, out: &mut Mesh) {
        let area = |c: &Polyline| {
            let n = c.points.len();
            (0..n)
                .map(|i| {
                    let (a, b) = (c.points[i], c.points[(i + 1) % n]);
                    a.x * b.y - b.x * a.y
                })
                .sum::<f32>()
        };
        // Holes run the other way round than the outermost contour; so do their outsides.
        let largest = contours.iter().map(area).max_by(|a, b| a.abs().total_cmp(&b.abs()));
        let sign = if largest.unwrap_or(0.0) > 0.0 { 1.0 } else { -1.0 };
        for c in contours {
            let n = c.points.len();
            if n < 3 {
                continue;
            }
            let base = out.vertices.len() as u32;
            for i in 0..n {
                let (a, p, b) = (c.points[(i + n - 1) % n], c.points[i], c.points[(i + 1) % n]);
                let (e0, e1) = ((p - a).normalized(), (b - p).normalized());
                let normal = vec2(e0.y + e1.y, -(e0.x + e1.x)).normalized() * sign;
                let lean = normal.dot(vec2(e1.y, -e1.x) * sign).abs().max(0.35);
                let inner = vertex(fill, p);
                out.vertices.push(inner);
                out.vertices.push(Vertex {
                    pos: p + normal * (self.soft / lean),
                    color: Color32::TRANSPARENT,
                    ..inner
                });
            }
            for i in 0..n as u32 {
                let j = (i + 1) % n as u32;
                let (a, b, c, d) = (base + 2 * i, base + 2 * i + 1, base + 2 * j, base + 2 * j + 1);
                out.indices.extend([a, b, c, b, d, c]);
            }
        }
    }

    /// A line along a path.
    pub fn stroke(
        &mut self,
        path: &BezPath,
        stroke: &scene::Stroke,
        color: Color32,
        out: &mut Mesh,
    ) {
        let dashed;
        let path = if stroke.dash.is_empty() {
            path
        } else {
            dashed = kurbo::dash(path.iter(), 0.0, &stroke.dash).collect();
            &dashed
        };
        let width = stroke.width as f32;
        for line in polylines(path) {
            let shape = PathShape {
                points: line.points,
                closed: line.closed,
                fill: Color32::TRANSPARENT,
                stroke: PathStroke::new(width, color),
            };
            self.lines.tessellate_path(&shape, out);
        }
    }
}

fn vertex(fill: &Fill, pos: Pos2) -> Vertex {
    let (color, uv) = fill.at(Point::new(f64::from(pos.x), f64::from(pos.y)));
    Vertex { pos, uv, color }
}

/// Splits large triangles, because a colour by distance is not linear across them.
fn refine(buffers: &mut lyon::VertexBuffers<Vertex, u32>, fill: &Fill) {
    for _ in 0..4 {
        let mut split = Vec::with_capacity(buffers.indices.len() * 4);
        let mut changed = false;
        for t in buffers.indices.chunks_exact(3) {
            let [a, b, c] = [t[0], t[1], t[2]];
            let at = |i: u32| buffers.vertices[i as usize].pos;
            let longest =
                at(a).distance(at(b)).max(at(b).distance(at(c))).max(at(c).distance(at(a)));
            if longest < 24.0 {
                split.extend([a, b, c]);
                continue;
            }
            changed = true;
            let mids = [(a, b), (b, c), (c, a)].map(|(i, j)| at(i) + (at(j) - at(i)) / 2.0);
            let base = buffers.vertices.len() as u32;
            buffers.vertices.extend(mids.map(|p| vertex(fill, p)));
            let (ab, bc, ca) = (base, base + 1, base + 2);
            split.extend([a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca]);
        }
        buffers.indices = split;
        if !changed {
            break;
        }
    }
}

/// A flattened contour.
#[derive(Clone, Debug, PartialEq)]
pub struct Polyline {
    /// Its corners.
    pub points: Vec<Pos2>,
    /// Whether the last one is joined to the first.
    pub closed: bool,
}

/// The contours of a path in pixels, as polylines without repeated points.
pub fn polylines(path: &BezPath) -> Vec<Polyline> {
    let mut all: Vec<Polyline> = Vec::new();
    let to = |p: Point| pos2(p.x as f32, p.y as f32);
    kurbo::flatten(path.iter(), TOLERANCE, |el| match el {
        PathEl::MoveTo(p) => all.push(Polyline { points: vec![to(p)], closed: false }),
        PathEl::LineTo(p) => {
            if let Some(line) = all.last_mut()
                && line.points.last().is_none_or(|q| q.distance_sq(to(p)) > 1e-6)
            {
                line.points.push(to(p));
            }
        }
        PathEl::ClosePath => {
            if let Some(line) = all.last_mut() {
                line.closed = true;
                if line.points.len() > 1
                    && line.points[0].distance_sq(line.points[line.points.len() - 1]) < 1e-6
                {
                    line.points.pop();
                }
            }
        }
        // `flatten` gives no curves.
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    all.retain(|l| {
        l.points.len() > 1 && l.points.iter().all(|p| p.x.is_finite() && p.y.is_finite())
    });
    all
}

/// A solid outline of a path in pixels, moved by a distance.
pub fn outline(path: &BezPath, shift: Vec2, stroke: Stroke) -> Vec<Shape> {
    moved(path, shift)
        .map(|l| match l.closed {
            true => Shape::closed_line(l.points, stroke),
            false => Shape::line(l.points, stroke),
        })
        .collect()
}

/// A dashed outline of a path in pixels, moved by a distance.
pub fn dashed_line(path: &BezPath, shift: Vec2, stroke: Stroke, dash: f32, gap: f32) -> Vec<Shape> {
    moved(path, shift)
        .flat_map(|mut l| {
            if l.closed {
                l.points.push(l.points[0]);
            }
            Shape::dashed_line(&l.points, stroke, dash, gap)
        })
        .collect()
}

fn moved(path: &BezPath, shift: Vec2) -> impl Iterator<Item = Polyline> {
    polylines(path).into_iter().map(move |mut l| {
        for p in &mut l.points {
            *p += shift;
        }
        l
    })
}
