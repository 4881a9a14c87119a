//! A window into a drawing: outlines are cut at its sides, and what the lamp shows is kept as it
//! shines.

use super::{Form, Paint, Prim, Scene, Shade, Stroke};
use crate::{svg::Lamp, text};
use kurbo::{BezPath, PathEl, Point, Rect};

impl Scene {
    /// What lies in a window of the drawing, which is in pixels.
    ///
    /// Words that do not fit into the window are left out; targets keep their numbers.
    #[must_use]
    pub fn cut(&self, window: Rect) -> Self {
        let mut prims = Vec::with_capacity(self.prims.len());
        for prim in &self.prims {
            match &prim.form {
                Form::Text(t) => {
                    let wide = text::width(&t.words, t.weight, t.size);
                    let left = match t.anchor {
                        super::Anchor::Start => t.at.x,
                        super::Anchor::Middle => t.at.x - wide / 2.0,
                        super::Anchor::End => t.at.x - wide,
                    };
                    let words = Rect::new(left, t.at.y - t.size, left + wide, t.at.y + 2.0);
                    if t.upright || window.union(words) == window {
                        prims.push(prim.clone());
                    }
                }
                Form::Path { path, fill, stroke } => {
                    let extent = path.control_box();
                    if extent.union(window) == window {
                        prims.push(prim.clone());
                    } else if extent.x1 >= window.x0
                        && extent.x0 <= window.x1
                        && extent.y1 >= window.y0
                        && extent.y0 <= window.y1
                    {
                        let runs = runs(path);
                        let mut push = |path: BezPath, fill, stroke| {
                            if !path.elements().is_empty() {
                                let form = Form::Path { path, fill, stroke };
                                prims.push(Prim { form, ..prim.clone() });
                            }
                        };
                        if let Some(fill) = fill {
                            push(filled(&runs, window), Some(fill.clone()), None);
                        }
                        if let Some(stroke) = stroke {
                            push(stroked(&runs, window), None, Some(stroke.clone()));
                        }
                    }
                }
            }
        }
        Self { bounds: window, prims, targets: self.targets.clone() }
    }

    /// The drawing as the lamp lights it: glints become plain marks as strong as they shine, and
    /// without a lamp they are left out.
    #[must_use]
    pub fn lit(&self, lamp: Option<Lamp>) -> Self {
        let prims = self
            .prims
            .iter()
            .filter_map(|prim| {
                let glow = crate::svg::glow(prim, lamp)?;
                let mut prim = prim.clone();
                if prim.glint.take().is_some()
                    && let Form::Path { fill, stroke, .. } = &mut prim.form
                {
                    *fill = fill.take().map(|f| dimmed(f, glow));
                    *stroke = stroke
                        .take()
                        .map(|s| Stroke { shade: s.shade.alpha(s.shade.alpha * glow), ..s });
                }
                Some(prim)
            })
            .collect();
        Self { bounds: self.bounds, prims, targets: self.targets.clone() }
    }
}

fn dimmed(paint: Paint, glow: f32) -> Paint {
    let shade = |s: Shade| s.alpha(s.alpha * glow);
    let all = |stops: Vec<(f32, Shade)>| stops.into_iter().map(|(at, s)| (at, shade(s))).collect();
    match paint {
        Paint::Plain(s) => Paint::Plain(shade(s)),
        Paint::Linear { from, to, stops } => Paint::Linear { from, to, stops: all(stops) },
        Paint::Radial { center, radius, stops } => {
            Paint::Radial { center, radius, stops: all(stops) }
        }
    }
}

/// A part of an outline as straight pieces.
struct Run {
    points: Vec<Point>,
    closed: bool,
}

fn runs(path: &BezPath) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    kurbo::flatten(path, 0.05, |el| match el {
        PathEl::MoveTo(p) => runs.push(Run { points: vec![p], closed: false }),
        PathEl::LineTo(p) => {
            if let Some(run) = runs.last_mut() {
                run.points.push(p);
            }
        }
        PathEl::ClosePath => {
            if let Some(run) = runs.last_mut() {
                run.closed = true;
            }
        }
        _ => {}
    });
    runs
}

/// The area of an outline within a window: each run is cut at the four sides in turn.
fn filled(runs: &[Run], window: Rect) -> BezPath {
    type Side = (fn(Point, f64) -> f64, f64);
    let sides: [Side; 4] = [
        (|p, at| p.x - at, window.x0),
        (|p, at| at - p.x, window.x1),
        (|p, at| p.y - at, window.y0),
        (|p, at| at - p.y, window.y1),
    ];
    let mut out = BezPath::new();
    for run in runs {
        let mut points = run.points.clone();
        for (inside, at) in sides {
            let mut kept = Vec::with_capacity(points.len() + 4);
            for (i, b) in points.iter().enumerate() {
                let a = points[(i + points.len() - 1) % points.len()];
                let (da, db) = (inside(a, at), inside(*b, at));
                if (da >= 0.0) != (db >= 0.0) {
                    kept.push(a.lerp(*b, da / (da - db)));
                }
                if db >= 0.0 {
                    kept.push(*b);
                }
            }
            points = kept;
        }
        if points.len() > 2 {
            line(&mut out, &points);
            out.close_path();
        }
    }
    out
}

/// The line of an outline within a window.
fn stroked(runs: &[Run], window: Rect) -> BezPath {
    let mut out = BezPath::new();
    for run in runs {
        let mut points = run.points.clone();
        if run.closed {
            points.extend(run.points.first());
        }
        let mut kept: Vec<Point> = Vec::new();
        for pair in points.windows(2) {
            let Some((a, b)) = within(pair[0], pair[1], window) else { continue };
            if kept.last() != Some(&a) {
                line(&mut out, &kept);
                kept = vec![a];
            }
            kept.push(b);
        }
        line(&mut out, &kept);
    }
    out
}

fn line(out: &mut BezPath, points: &[Point]) {
    if points.len() < 2 {
        return;
    }
    for (i, p) in points.iter().enumerate() {
        if i == 0 { out.move_to(*p) } else { out.line_to(*p) }
    }
}

/// The piece of a straight line that lies in a window.
fn within(a: Point, b: Point, window: Rect) -> Option<(Point, Point)> {
    let way = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (speed, room) in [
        (-way.x, a.x - window.x0),
        (way.x, window.x1 - a.x),
        (-way.y, a.y - window.y0),
        (way.y, window.y1 - a.y),
    ] {
        if speed == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if speed < 0.0 {
            from = from.max(room / speed);
        } else {
            to = to.min(room / speed);
        }
    }
    // The very end stays what it is, so that pieces that meet are drawn as one.
    let at = |t: f64, end: Point, whole: f64| if t == whole { end } else { a.lerp(b, t) };
    (from < to).then(|| (at(from, a, 0.0), at(to, b, 1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        palette::Role,
        scene::{Glint, SceneBuilder},
    };
    use kurbo::{Circle, PathSeg, Shape as _};

    fn scene(path: BezPath) -> Scene {
        let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, 100.0, 100.0));
        b.begin("jar", Point::ZERO);
        let line = Stroke::new(1.0, Shade::base(Role::Ink));
        b.shape(path, Shade::base(Role::Panel), Some(line));
        b.finish()
    }

    #[test]
    fn an_outline_is_cut_at_the_sides_and_its_line_has_no_new_sides() {
        let window = Rect::new(0.0, 0.0, 50.0, 50.0);
        let cut = scene(Rect::new(10.0, 10.0, 90.0, 90.0).to_path(0.1)).cut(window);
        let area: f64 = cut
            .prims
            .iter()
            .filter_map(|p| match &p.form {
                Form::Path { path, fill: Some(_), .. } => Some(path.area().abs()),
                _ => None,
            })
            .sum();
        assert!((area - 1600.0).abs() < 1e-6, "{area}");
        let length: f64 = cut
            .prims
            .iter()
            .filter_map(|p| match &p.form {
                Form::Path { path, stroke: Some(_), .. } => Some(path),
                _ => None,
            })
            .flat_map(|path| path.segments().collect::<Vec<_>>())
            .map(|s| match s {
                PathSeg::Line(l) => (l.p1 - l.p0).hypot(),
                _ => 0.0,
            })
            .sum();
        assert!((length - 80.0).abs() < 1e-6, "{length}");
        for p in &cut.prims {
            let Form::Path { path, .. } = &p.form else { continue };
            assert!(path.bounding_box().union(window) == window);
        }
    }

    #[test]
    fn what_lies_inside_stays_and_what_lies_outside_goes() {
        let round = scene(Circle::new((50.0, 50.0), 20.0).to_path(0.1));
        assert_eq!(round.cut(Rect::new(0.0, 0.0, 100.0, 100.0)).prims, round.prims);
        assert!(round.cut(Rect::new(0.0, 0.0, 20.0, 20.0)).prims.is_empty());
    }

    #[test]
    fn a_glint_becomes_as_strong_as_it_shines() {
        let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, 100.0, 100.0));
        let glint = Glint { facing: 0.0, floor: 0.5, birth: 0.0 };
        let spot = Rect::new(40.0, 40.0, 42.0, 42.0).to_path(0.1);
        b.glint(spot, Shade::base(Role::Sulfate), glint);
        let scene = b.finish();
        assert!(scene.lit(None).prims.is_empty());
        let lamp = Lamp { at: Point::new(41.0, 60.0), radius: 100.0 };
        let lit = scene.lit(Some(lamp));
        let Form::Path { fill: Some(Paint::Plain(shade)), .. } = &lit.prims[0].form else {
            panic!("{lit:?}")
        };
        assert!(lit.prims[0].glint.is_none());
        assert!((0.45..0.5).contains(&shade.alpha), "{}", shade.alpha);
    }
}
