//! What differs between two drawings of one cell: boxes of what is new, gone or changed, and the
//! window in which that is seen best.

use crate::scene::{Form, Paint, Prim, Scene, Shade, Stroke};
use kurbo::{BezPath, PathEl, Point, Rect, Shape as _};
use std::sync::Arc;

/// Something that is in one drawing only.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The part it belongs to.
    pub part: Option<Arc<str>>,
    /// What it covers, in units of the scene.
    pub bounds: Rect,
}

/// Everything that is in only one of two drawings: first of the second, then of the first.
pub fn between(before: &Scene, after: &Scene) -> Vec<Change> {
    let (old, new) = (marks(before), marks(after));
    let mut found = Vec::new();
    for (scene, own, other) in [(after, &new, &old), (before, &old, &new)] {
        let mut left: Vec<u64> = other.clone();
        left.sort_unstable();
        // A mark that stands twice in one drawing and once in the other differs once.
        let mut used = vec![false; left.len()];
        for (prim, mark) in scene.prims.iter().zip(own) {
            let first = left.partition_point(|m| m < mark);
            let same = (first..left.len()).take_while(|i| left[*i] == *mark).find(|i| !used[*i]);
            if let Some(i) = same {
                used[i] = true;
                continue;
            }
            let bounds = extent(prim);
            if bounds.is_finite() {
                let target = prim.target.and_then(|t| scene.targets.get(t as usize));
                found.push(Change { part: target.map(|t| t.part.clone()), bounds });
            }
        }
    }
    found
}

/// Boxes that lie within a gap of each other become one; at most so many, the largest first.
pub fn regions(boxes: impl IntoIterator<Item = Rect>, gap: f64, most: usize) -> Vec<Rect> {
    let mut list: Vec<Rect> = Vec::new();
    for mut next in boxes {
        // What the new box joins may bring it near to others.
        while let Some(i) = list.iter().position(|r| touch(*r, next, gap)) {
            next = next.union(list.swap_remove(i));
        }
        list.push(next);
    }
    list.sort_by(|a, b| b.area().total_cmp(&a.area()).then(a.x0.total_cmp(&b.x0)));
    list.truncate(most);
    list
}

fn touch(a: Rect, b: Rect, gap: f64) -> bool {
    let a = a.inflate(gap, gap);
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

/// Share of the height of a drawing that is brought near when a change goes all along it.
const NEAR: f64 = 0.17;
/// Least share of a drawing that is shown, so that the place can still be told.
const LEAST: f64 = 0.12;

/// The window in which changes are seen best: all of them where they lie together, else the
/// window with most of them, and of what it is compared with. `aspect` is width by height.
pub fn window(boxes: &[Rect], beside: &[Rect], bounds: Rect, aspect: f64) -> Option<Rect> {
    let shown = |r: &&Rect| touch(**r, bounds, 0.0);
    let all = boxes.iter().filter(shown).copied().reduce(|a, b| a.union(b))?.intersect(bounds);
    let high = bounds.height();
    if all.height() < 0.5 * high {
        let (w, h) = (1.15 * all.width(), (1.15 * all.height()).max(LEAST * high));
        let (w, h) = (w.max(h * aspect), h.max(w / aspect));
        return Some(Rect::from_center_size(all.center(), (w, h)));
    }
    let height = (NEAR * high).max(1.05 * all.width() / aspect).min(high);
    let width = height * aspect;
    let x = all.center().x - width / 2.0;
    let steps = 12;
    let share = |list: &[Rect], at: Rect| {
        let within = list.iter().filter(|r| at.contains(r.center())).count();
        within as f64 / list.len().max(1) as f64
    };
    let mut best: Option<(f64, Rect)> = None;
    for row in 0..=steps {
        let y = bounds.y0 + f64::from(row) / f64::from(steps) * (high - height);
        let at = Rect::new(x, y, x + width, y + height);
        let seen = share(boxes, at) + share(beside, at);
        if best.is_none_or(|(most, _)| seen > most) {
            best = Some((seen, at));
        }
    }
    best.map(|(_, at)| at)
}

fn extent(prim: &Prim) -> Rect {
    match &prim.form {
        Form::Path { path, .. } => path.bounding_box(),
        Form::Text(text) => Rect::from_points(text.at, text.at),
    }
}

/// A number for each mark of a drawing that is the same only where the mark is.
fn marks(scene: &Scene) -> Vec<u64> {
    scene.prims.iter().map(mark).collect()
}

fn mark(prim: &Prim) -> u64 {
    let mut fold = Fold(0xcbf2_9ce4_8422_2325);
    match &prim.form {
        Form::Path { path, fill, stroke } => {
            fold.path(path);
            match fill {
                Some(fill) => fold.paint(fill),
                None => fold.whole(1),
            }
            match stroke {
                Some(stroke) => fold.stroke(stroke),
                None => fold.whole(2),
            }
        }
        Form::Text(text) => {
            fold.point(text.at);
            for byte in text.words.bytes() {
                fold.whole(u64::from(byte));
            }
        }
    }
    fold.0
}

/// Folds numbers into one.
struct Fold(u64);

impl Fold {
    fn whole(&mut self, value: u64) {
        self.0 = (self.0.rotate_left(23) ^ value).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }

    fn number(&mut self, value: f64) {
        self.whole(value.to_bits());
    }

    fn point(&mut self, p: Point) {
        self.number(p.x);
        self.number(p.y);
    }

    fn path(&mut self, path: &BezPath) {
        for element in path.elements() {
            match element {
                PathEl::MoveTo(p) => {
                    self.whole(3);
                    self.point(*p);
                }
                PathEl::LineTo(p) => {
                    self.whole(4);
                    self.point(*p);
                }
                PathEl::QuadTo(a, p) => {
                    self.whole(5);
                    self.point(*a);
                    self.point(*p);
                }
                PathEl::CurveTo(a, b, p) => {
                    self.whole(6);
                    self.point(*a);
                    self.point(*b);
                    self.point(*p);
                }
                PathEl::ClosePath => self.whole(7),
            }
        }
    }

    fn shade(&mut self, shade: &Shade) {
        self.whole(shade.role as u64);
        self.whole(shade.tone as u64);
        self.whole(u64::from(shade.alpha.to_bits()));
        if let Some((role, tone, share)) = shade.mix {
            self.whole(role as u64);
            self.whole(tone as u64);
            self.whole(u64::from(share.to_bits()));
        }
    }

    fn stops(&mut self, stops: &[(f32, Shade)]) {
        for (at, shade) in stops {
            self.whole(u64::from(at.to_bits()));
            self.shade(shade);
        }
    }

    fn paint(&mut self, paint: &Paint) {
        match paint {
            Paint::Plain(shade) => self.shade(shade),
            Paint::Linear { from, to, stops } => {
                self.point(*from);
                self.point(*to);
                self.stops(stops);
            }
            Paint::Radial { center, radius, stops } => {
                self.point(*center);
                self.number(*radius);
                self.stops(stops);
            }
        }
    }

    fn stroke(&mut self, stroke: &Stroke) {
        self.number(stroke.width);
        self.shade(&stroke.shade);
        for dash in &stroke.dash {
            self.number(*dash);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::{self, Options, Request, View};
    use jarlight_model::{
        catalogue::Catalogue,
        specimen::{Occurrence, Specimen},
        unit::Severity,
    };

    fn drawn(condition: Option<&str>) -> Scene {
        let catalogue = Catalogue::builtin();
        let design = catalogue.designs.values().find(|d| d.id.as_str() == "medium_pasted").unwrap();
        let mut specimen = Specimen::healthy(design.id.clone());
        if let Some(id) = condition {
            let condition = catalogue.condition(id).unwrap().id.value.clone();
            let severity = Severity::clamped(0.6);
            specimen.occurrences.push(Occurrence { condition, severity, place: None });
        }
        let request = Request {
            catalogue,
            design,
            specimen: &specimen,
            view: View::Edge,
            px_per_mm: 2.0,
            options: Options::default(),
        };
        draw::scene(&request).unwrap()
    }

    #[test]
    fn a_drawing_does_not_differ_from_itself() {
        assert_eq!(between(&drawn(None), &drawn(None)), []);
    }

    #[test]
    fn sediment_differs_on_the_floor_and_is_brought_near() {
        let (healthy, affected) = (drawn(None), drawn(Some("sediment_light")));
        let changes = between(&healthy, &affected);
        assert!(!changes.is_empty());
        let boxes: Vec<Rect> = changes.iter().map(|c| c.bounds).collect();
        let all = boxes.iter().copied().reduce(|a, b| a.union(b)).unwrap();
        let middle = affected.bounds.center().y;
        assert!(all.y0 > middle, "{all:?} lies in the lower half of {:?}", affected.bounds);
        let near = window(&boxes, &[], affected.bounds, 2.0).unwrap();
        assert!(near.height() < 0.5 * affected.bounds.height(), "{near:?}");
        assert!((near.width() - 2.0 * near.height()).abs() < 1e-6);
        assert!(near.y1 > all.center().y);
    }

    #[test]
    fn a_long_change_is_seen_where_it_can_be_compared() {
        let bounds = Rect::new(0.0, 0.0, 100.0, 400.0);
        let at = |y: f64| Rect::new(40.0, y, 60.0, y + 1.0);
        let along: Vec<Rect> = (0..40).map(|i| at(10.0 * f64::from(i))).collect();
        let near = window(&along, &[at(350.0)], bounds, 1.0).unwrap();
        assert!(near.y0 < 350.0 && near.y1 > 350.0, "{near:?}");
    }

    #[test]
    fn what_is_gone_counts_as_what_is_new() {
        let (healthy, affected) = (drawn(None), drawn(Some("sediment_light")));
        assert_eq!(between(&healthy, &affected).len(), between(&affected, &healthy).len());
    }

    #[test]
    fn boxes_near_each_other_become_one_region() {
        let at = |x: f64| Rect::new(x, 0.0, x + 1.0, 1.0);
        let joined = regions([at(0.0), at(10.0), at(1.5), at(3.0)], 1.0, 5);
        assert_eq!(joined, [Rect::new(0.0, 0.0, 4.0, 1.0), at(10.0)]);
        assert_eq!(regions([at(0.0), at(10.0)], 1.0, 1).len(), 1);
    }
}
