//! Which parts of a drawing are named, and at which of their places.

use super::index::Index;
use jarlight_geometry::{callout::Label, scene::Scene};
use jarlight_model::catalogue::Catalogue;
use kurbo::Point;

/// At most so many names stand round a drawing.
pub const MOST: usize = 24;

/// One label for each part that the drawing shows, the lowest ranks first.
///
/// Of several targets of a part the outermost one on the emptier side is named, unless another
/// label already points to its neighbourhood.
pub fn choose(catalogue: &Catalogue, scene: &Scene, index: &Index) -> Vec<Label> {
    let mut shown: Vec<_> = catalogue
        .parts
        .iter()
        .filter_map(|part| {
            let targets: Vec<u32> = (0..scene.targets.len() as u32)
                .filter(|t| index.is_drawn(*t))
                .filter(|t| &*scene.targets[*t as usize].part == part.id.value.as_str())
                .collect();
            (!targets.is_empty()).then_some((part, targets))
        })
        .collect();
    shown.sort_by_key(|(part, _)| part.rank);
    shown.truncate(MOST);
    // Those without a choice first, since they settle which side is fuller.
    shown.sort_by_key(|(part, targets)| (targets.len() > 1, part.rank));
    let middle = scene.bounds.center().x;
    let near = 0.03 * scene.bounds.width();
    let mut spots: Vec<Point> = Vec::new();
    let mut left = 0;
    let mut labels = Vec::new();
    for (part, mut targets) in shown {
        let spot = |t: u32| scene.targets[t as usize].spot;
        let inward = if 2 * left < spots.len() { 1.0 } else { -1.0 };
        targets
            .sort_by(|a, b| (inward * spot(*a).x).total_cmp(&(inward * spot(*b).x)).then(a.cmp(b)));
        let free = |t: &&u32| spots.iter().all(|s| s.distance(spot(**t)) >= near);
        let Some(target) = targets.iter().find(free).or(targets.first()).copied() else {
            continue;
        };
        left += usize::from(spot(target).x < middle);
        spots.push(spot(target));
        labels.push(Label { target, name: part.name.clone(), note: None, rank: part.rank });
    }
    labels.sort_by_key(|l| (l.rank, l.target));
    labels
}

/// Spots for the leaders: those of tall parts are moved along them, so that not all leaders end
/// at one height.
pub fn spots(scene: &Scene, index: &Index, labels: &[Label]) -> Vec<(u32, Point)> {
    let middle = scene.bounds.center().x;
    let (tall_from, mut tall) = (0.25 * scene.bounds.height(), [Vec::new(), Vec::new()]);
    for label in labels {
        let spot = scene.targets[label.target as usize].spot;
        let extent = index.extent(label.target);
        if let Some(r) = extent.filter(|r| r.height() > tall_from && r.height() > 3.0 * r.width()) {
            tall[usize::from(spot.x >= middle)].push((label.target, r));
        }
    }
    let mut moved = Vec::new();
    for side in &tall {
        for (i, (target, r)) in side.iter().enumerate() {
            let share = (i as f64 + 0.5) / side.len() as f64;
            let x = scene.targets[*target as usize].spot.x;
            let at = Point::new(x, r.y0 + (0.1 + 0.8 * share) * r.height());
            // Something may hang before it there.
            if index.pick(scene, at) == Some(*target) {
                moved.push((*target, at));
            }
        }
    }
    moved
}
