//! Finds the target under a point, and those near it, without asking every outline anew.

use jarlight_geometry::scene::{Form, Scene};
use kurbo::{BezPath, ParamCurveNearest as _, Point, Rect, Shape as _};

/// Bounding boxes of everything that can be hit, and of every target.
#[derive(Default)]
pub struct Index {
    /// Prims that can be hit, back to front: box, number of the prim, target.
    hits: Vec<(Rect, usize, u32)>,
    /// For each target the boxes of its main outlines and the numbers of their prims.
    outlines: Vec<Vec<(Rect, usize)>>,
}

impl Index {
    /// Reads a scene once.
    pub fn new(scene: &Scene) -> Self {
        let mut hits = Vec::new();
        let mut outlines = vec![Vec::new(); scene.targets.len()];
        for (i, prim) in scene.prims.iter().enumerate() {
            let (Some(target), None, Form::Path { path, fill: Some(_), .. }) =
                (prim.target, prim.glint, &prim.form)
            else {
                continue;
            };
            let bounds = path.bounding_box();
            hits.push((bounds, i, target));
            if let Some(list) = outlines.get_mut(target as usize) {
                list.push((bounds, i));
            }
        }
        for list in &mut outlines {
            keep_main(list);
        }
        Self { hits, outlines }
    }

    /// The topmost target under a point.
    pub fn pick(&self, scene: &Scene, at: Point) -> Option<u32> {
        self.hits.iter().rev().find_map(|(bounds, prim, target)| {
            let inside =
                bounds.contains(at) && path_of(scene, *prim).is_some_and(|p| p.winding(at) != 0);
            inside.then_some(*target)
        })
    }

    /// All targets within a distance of a point, with their distance, the nearest first.
    pub fn near(&self, scene: &Scene, at: Point, reach: f64) -> Vec<(u32, f64)> {
        let mut found: Vec<(u32, f64)> = Vec::new();
        for (target, list) in self.outlines.iter().enumerate() {
            let nearest = list
                .iter()
                .filter(|(bounds, _)| bounds.inflate(reach, reach).contains(at))
                .filter_map(|(_, prim)| path_of(scene, *prim))
                .map(|path| distance(path, at))
                .min_by(f64::total_cmp);
            if let Some(d) = nearest.filter(|d| *d <= reach) {
                found.push((target as u32, d));
            }
        }
        found.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        found
    }

    /// The outlines to draw round a target when it is marked.
    pub fn outlines<'a>(
        &'a self,
        scene: &'a Scene,
        target: u32,
    ) -> impl Iterator<Item = &'a BezPath> {
        let list = self.outlines.get(target as usize).map_or(&[][..], Vec::as_slice);
        list.iter().filter_map(|(_, prim)| path_of(scene, *prim))
    }

    /// What a target covers, in units of the scene.
    pub fn extent(&self, target: u32) -> Option<Rect> {
        let list = self.outlines.get(target as usize)?;
        list.iter().map(|(r, _)| *r).reduce(|a, b| a.union(b))
    }

    /// Whether something of the target is drawn.
    pub fn is_drawn(&self, target: u32) -> bool {
        self.outlines.get(target as usize).is_some_and(|l| !l.is_empty())
    }
}

fn path_of(scene: &Scene, prim: usize) -> Option<&BezPath> {
    match scene.prims.get(prim).map(|p| &p.form) {
        Some(Form::Path { path, .. }) => Some(path),
        _ => None,
    }
}

/// Keeps the body of a target and what stands out of it; texture and shading lie within.
fn keep_main(list: &mut Vec<(Rect, usize)>) {
    let mut kept: Vec<(Rect, usize)> = Vec::new();
    list.sort_by(|a, b| b.0.area().total_cmp(&a.0.area()).then(a.1.cmp(&b.1)));
    let largest = list.first().map_or(0.0, |(r, _)| r.area());
    for (bounds, prim) in list.drain(..) {
        let within = kept.iter().any(|(k, _)| {
            let grown = k.inflate(0.6, 0.6);
            grown.union(bounds).area() <= grown.area() * 1.000_001
        });
        if !within && bounds.area() >= 0.02 * largest {
            kept.push((bounds, prim));
        }
    }
    *list = kept;
}

/// Distance of a point from a filled outline; 0 inside.
fn distance(path: &BezPath, at: Point) -> f64 {
    if path.winding(at) != 0 {
        return 0.0;
    }
    path.segments()
        .map(|s| s.nearest(at, 0.05).distance_sq)
        .min_by(f64::total_cmp)
        .map_or(f64::INFINITY, f64::sqrt)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;

    #[test]
    fn the_index_picks_what_the_scene_picks() {
        let scene = demo::scene();
        let index = Index::new(&scene);
        let mut hits = 0;
        for i in 0..40 {
            for j in 0..40 {
                let p = Point::new(f64::from(i) * 5.0 - 20.0, f64::from(j) * 8.0 - 20.0);
                assert_eq!(index.pick(&scene, p), scene.pick(p), "{p:?}");
                hits += usize::from(scene.pick(p).is_some());
            }
        }
        assert!(hits > 50, "{hits}");
    }

    #[test]
    fn what_lies_near_comes_with_its_distance() {
        let scene = demo::scene();
        let index = Index::new(&scene);
        // Plate 1 is 10 to 20 wide, plate 2 begins at 40.
        let near = index.near(&scene, Point::new(23.0, 100.0), 5.0);
        assert_eq!(near.len(), 1);
        assert!((near[0].1 - 3.0).abs() < 1e-6);
        assert_eq!(near[0].0, 0);
    }
}
