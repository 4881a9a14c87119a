//! What is done to a part while it is drawn: left out, moved, turned or bent.
//!
//! Conditions such as a dropped plate or a bowed wall change a part that a view draws as if it
//! were whole; the builder applies these changes to everything that belongs to the part.

use kurbo::{Affine, BezPath, PathEl, Point, Vec2};

/// One change of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Alteration {
    /// Id of the part.
    pub part: String,
    /// Its number; all of the part when none.
    pub number: Option<u32>,
    /// What is done.
    pub rework: Rework,
}

/// What is done to a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rework {
    /// It is not drawn.
    Hide,
    /// It is moved, in millimetres of the drawing.
    Move(Affine),
    /// It is turned about a point that lies off its spot.
    Turn {
        /// Degrees, clockwise in the drawing.
        degrees: f64,
        /// From its spot to the pivot.
        pivot: Vec2,
    },
    /// Its sides are bent by half waves between two heights of the drawing.
    Bow(Bow),
}

/// A bend along y; between the two sides the shift is in proportion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bow {
    /// Top and bottom in the drawing.
    pub y: (f64, f64),
    /// Left and right side in the drawing.
    pub x: (f64, f64),
    /// How far the left side moves to the right.
    pub left: f64,
    /// How far the right side moves to the right.
    pub right: f64,
    /// Half waves between top and bottom.
    pub halves: f64,
}

impl Bow {
    /// The same shift of both sides, as a single bow.
    pub fn even(x: (f64, f64), y: (f64, f64), shift: f64) -> Self {
        Self { y, x, left: shift, right: shift, halves: 1.0 }
    }

    /// Where a point goes.
    pub fn point(&self, p: Point) -> Point {
        let t = ((p.y - self.y.0) / (self.y.1 - self.y.0).max(1e-9)).clamp(0.0, 1.0);
        let u = ((p.x - self.x.0) / (self.x.1 - self.x.0).max(1e-9)).clamp(0.0, 1.0);
        let wave = libm::sin(std::f64::consts::PI * self.halves * t);
        Point::new(p.x + wave * (self.left + (self.right - self.left) * u), p.y)
    }

    /// Where an outline goes; straight runs are cut first, so that they can bend.
    pub fn path(&self, path: &BezPath) -> BezPath {
        const STEP: f64 = 6.0;
        let mut out = BezPath::new();
        let (mut last, mut start) = (Point::ZERO, Point::ZERO);
        let straight = |out: &mut BezPath, a: Point, b: Point| {
            let n = ((b - a).hypot() / STEP).ceil().clamp(1.0, 64.0) as u32;
            for i in 1..=n {
                out.line_to(self.point(a.lerp(b, f64::from(i) / f64::from(n))));
            }
        };
        for el in path.elements() {
            match *el {
                PathEl::MoveTo(p) => {
                    out.move_to(self.point(p));
                    (last, start) = (p, p);
                }
                PathEl::LineTo(p) => {
                    straight(&mut out, last, p);
                    last = p;
                }
                PathEl::QuadTo(a, p) => {
                    out.quad_to(self.point(a), self.point(p));
                    last = p;
                }
                PathEl::CurveTo(a, b, p) => {
                    out.curve_to(self.point(a), self.point(b), self.point(p));
                    last = p;
                }
                PathEl::ClosePath => {
                    straight(&mut out, last, start);
                    out.close_path();
                    last = start;
                }
            }
        }
        out
    }
}

/// The changes of the part that is being drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Active {
    /// True when it is not drawn.
    pub hidden: bool,
    steps: Vec<Step>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Step {
    Move(Affine),
    Bow(Bow),
}

impl Active {
    /// The changes of one target.
    pub fn of(all: &[Alteration], part: &str, number: u32, spot: Point) -> Self {
        let mut active = Self::default();
        for a in all.iter().filter(|a| a.part == part && a.number.is_none_or(|n| n == number)) {
            match a.rework {
                Rework::Hide => active.hidden = true,
                Rework::Move(affine) => active.steps.push(Step::Move(affine)),
                Rework::Turn { degrees, pivot } => {
                    let angle = degrees.to_radians();
                    active.steps.push(Step::Move(Affine::rotate_about(angle, spot + pivot)));
                }
                Rework::Bow(bow) => active.steps.push(Step::Bow(bow)),
            }
        }
        active
    }

    /// True when nothing moves.
    pub fn is_still(&self) -> bool {
        self.steps.is_empty()
    }

    /// Where a point goes.
    pub fn point(&self, p: Point) -> Point {
        self.steps.iter().fold(p, |p, step| match step {
            Step::Move(affine) => *affine * p,
            Step::Bow(bow) => bow.point(p),
        })
    }

    /// Where an outline goes.
    pub fn path(&self, path: BezPath) -> BezPath {
        self.steps.iter().fold(path, |path, step| match step {
            Step::Move(affine) => *affine * path,
            Step::Bow(bow) => bow.path(&path),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Rect, Shape as _};

    #[test]
    fn a_bow_keeps_the_ends_and_moves_the_middle() {
        let bow = Bow::even((0.0, 2.0), (0.0, 100.0), 3.0);
        assert!((bow.point(Point::new(1.0, 50.0)).x - 4.0).abs() < 1e-9);
        assert!((bow.point(Point::new(1.0, 100.0)).x - 1.0).abs() < 1e-9);
        let bent = bow.path(&Rect::new(0.0, 0.0, 2.0, 100.0).to_path(0.1));
        assert!((bent.bounding_box().x1 - 5.0).abs() < 0.1);
    }

    #[test]
    fn a_change_meets_its_number_only() {
        let all = [Alteration { part: "jar".into(), number: Some(2), rework: Rework::Hide }];
        assert!(Active::of(&all, "jar", 2, Point::ZERO).hidden);
        assert!(!Active::of(&all, "jar", 1, Point::ZERO).hidden);
        assert!(!Active::of(&all, "cover", 2, Point::ZERO).hidden);
    }
}
