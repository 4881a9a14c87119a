//! Clicks: on the part, beside it, or on something else.

use crate::{answer::Near, places};
use jarlight_model::catalogue::{Catalogue, Relation};

/// A click: right on the part, or beside it where nothing else was meant.
///
/// A click on another part is wrong however near the right one is, since thin parts lie side
/// by side; a click on what the part lies in counts by its distance.
pub(super) fn point(
    catalogue: &Catalogue,
    part: &str,
    place: Option<&str>,
    near: &[Near],
    right: impl Fn(&str) -> bool,
) -> f64 {
    if let Some(place) = place {
        if right(place) {
            return 1.0;
        }
        let hit = places::split(place).map_or("", |(part, _)| part);
        let around = catalogue.part(part).is_some_and(|p| {
            p.relations.iter().any(|(r, of)| *r == Relation::Inside && of.as_str() == hit)
        });
        if !around {
            return 0.0;
        }
    }
    let within = |off: f64| (2.0 - off).clamp(0.0, 1.0);
    near.iter().filter(|n| right(&n.place)).map(|n| within(n.off)).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_click_beside_a_part_counts_by_distance_but_not_on_its_neighbour() {
        let catalogue = Catalogue::builtin();
        let near = |off| vec![Near { place: "retainer_mat-3".into(), off }];
        let share = |place, off| {
            point(catalogue, "retainer_mat", place, &near(off), |p| {
                places::means("retainer_mat", p)
            })
        };
        assert_eq!(share(Some("retainer_mat-1"), 0.0), 1.0);
        assert_eq!(share(None, 1.0), 1.0);
        assert_eq!(share(None, 1.25), 0.75);
        assert_eq!(share(None, 2.5), 0.0);
        assert_eq!(share(Some("separator-4"), 0.2), 0.0);
    }

    #[test]
    fn a_click_on_what_a_part_lies_in_counts_by_distance() {
        let catalogue = Catalogue::builtin();
        let (part, around) = catalogue
            .parts
            .iter()
            .find_map(|p| {
                let inside = p.relations.iter().find(|(r, _)| *r == Relation::Inside)?;
                Some((p.id.as_str(), inside.1.as_str()))
            })
            .unwrap();
        let near = [Near { place: format!("{part}-1"), off: 1.5 }];
        let hit = format!("{around}-1");
        let share = point(catalogue, part, Some(&hit), &near, |p| places::means(part, p));
        assert_eq!(share, 0.5);
    }
}
