//! How much of a question an answer gets, from 0 to 1; pure.

use crate::{
    answer::{Age, Answer, Near},
    format::{Began, Form, NORMAL, Pick},
    places,
};
use jarlight_model::{
    catalogue::{Catalogue, Relation},
    unit::trimmed,
};

/// The share of an interval at each end that a learner leaves out: 10 to 90 percent.
const OUTSIDE: f64 = 0.2;

/// What a part of an answer got, from 0 to 1; one entry for each question in the question.
pub type Shares = Vec<f64>;

/// The id of a band of months.
pub fn band_id(band: (f64, f64)) -> String {
    format!("{}-{}", trimmed(band.0, 2), trimmed(band.1, 2))
}

/// The whole of several shares: their mean.
pub fn total(shares: &[f64]) -> f64 {
    if shares.is_empty() {
        return 0.0;
    }
    shares.iter().sum::<f64>() / shares.len() as f64
}

/// Scores an answer; `None` when it is not an answer to this form.
pub fn score(catalogue: &Catalogue, form: &Form, answer: &Answer) -> Option<Shares> {
    match (form, answer) {
        (Form::Point { part, number, also }, Answer::Point { place, near }) => {
            let named = match number {
                Some(n) => format!("{}-{}", part.value, n.value),
                None => part.to_string(),
            };
            let right = |place: &str| {
                places::means(&named, place) || also.iter().any(|p| places::means(p, place))
            };
            Some(vec![point(catalogue, part, place.as_deref(), near, right)])
        }
        (Form::Name { target, options, near }, Answer::One(id)) => {
            let (part, _) = places::split(target)?;
            if !options.iter().any(|o| o.as_str() == id) {
                return None;
            }
            let close = near.iter().any(|n| n.as_str() == id);
            Some(vec![if id == part {
                1.0
            } else if close {
                0.5
            } else {
                0.0
            }])
        }
        (Form::Choice { options, right, .. }, Answer::One(id)) => {
            let offered = options.iter().any(|o| o.value == *id);
            offered.then(|| vec![f64::from(u8::from(right.value == *id))])
        }
        (
            Form::Diagnose { condition, cause, began },
            Answer::Diagnosis { condition: said, cause: said_cause, began: said_age },
        ) => Some(vec![
            pick(condition, said, |said| same_family(catalogue, &condition.right, said))?,
            pick(cause, said_cause, |_| false)?,
            age(began, said_age)?,
        ]),
        _ => None,
    }
}

/// A click: right on the part, or beside it where nothing else was meant.
///
/// A click on another part is wrong however near the right one is, since thin parts lie side
/// by side; a click on what the part lies in counts by its distance.
fn point(
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

fn pick(pick: &Pick, said: &str, family: impl Fn(&str) -> bool) -> Option<f64> {
    if !pick.options.iter().any(|o| o.as_str() == said) {
        return None;
    }
    let close = || pick.near.iter().any(|n| n.as_str() == said) || family(said);
    Some(if pick.right.as_str() == said {
        1.0
    } else if close() {
        0.5
    } else {
        0.0
    })
}

/// True for two conditions looked for at one place and pointing first to one cause, so that
/// taking one for the other does no harm to the rest of the reasoning.
pub fn same_family(catalogue: &Catalogue, a: &str, b: &str) -> bool {
    let leading = |id: &str| {
        let condition = catalogue.condition(id)?;
        let most = condition.suggests.iter().max_by(|x, y| x.1.total_cmp(&y.1))?;
        Some((condition.look, most.0.value.clone()))
    };
    match (leading(a), leading(b)) {
        (Some(a), Some(b)) => a == b,
        _ => false,
    }
}

fn age(began: &Began, said: &Age) -> Option<f64> {
    match (began, said) {
        (Began::Bands { bands, right }, Age::Band(id)) => {
            let key = right.as_ref().map_or_else(|| NORMAL.to_owned(), |r| band_id(r.value));
            let offered = id == NORMAL || bands.iter().any(|b| band_id(b.value) == *id);
            offered.then(|| f64::from(u8::from(key == *id)))
        }
        (Began::Interval { truth, .. }, Age::Band(id)) if id == NORMAL => {
            Some(f64::from(u8::from(truth.is_none())))
        }
        (Began::Interval { truth: None, .. }, Age::Months(..)) => Some(0.0),
        (Began::Interval { truth: Some(truth), scale }, Age::Months(from, to)) => {
            interval(truth.value, (*from, *to), scale.value)
        }
        _ => None,
    }
}

/// The interval score on a logarithmic scale, against somebody who names the whole scale:
/// 1 for the exact moment, 0 for what is no better than the whole scale.
///
/// `S = ln(u/l) + 2/a · (how far the truth lies outside)`, share `max(0, 1 − S/S_ref)`; a truth
/// that is itself an interval is taken at its nearest point.
///
/// # Source
/// Winkler 1972, "A decision-theoretic approach to interval estimation", for a central
/// interval of 80 percent, on logarithms so that an error by a factor counts the same anywhere.
pub fn interval(truth: (f64, f64), said: (f64, f64), scale: (f64, f64)) -> Option<f64> {
    let sound = |(from, to): (f64, f64)| from > 0.0 && from <= to && to.is_finite();
    let truth = (truth.0.max(scale.0), truth.1.max(scale.0));
    if !sound(said) || !sound(truth) || !sound(scale) || scale.0 == scale.1 {
        return None;
    }
    let ln = |x: f64| libm::log(x);
    let below = (ln(said.0) - ln(truth.1)).max(0.0);
    let above = (ln(truth.0) - ln(said.1)).max(0.0);
    let s = ln(said.1) - ln(said.0) + 2.0 / OUTSIDE * (below + above);
    let reference = ln(scale.1) - ln(scale.0);
    Some((1.0 - s / reference).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Interval 2 to 6 for a truth of 4 and of 8, against a scale of ln 80: 1.098612 and
    /// 3.975433 give .749291 and .092787, computed from the formula in double precision.
    #[test]
    fn intervals_score_as_computed() {
        let share = |truth, said| interval((truth, truth), said, (0.25, 20.0)).unwrap();
        assert!((share(4.0, (2.0, 6.0)) - 0.749_291).abs() < 1e-6);
        assert!((share(8.0, (2.0, 6.0)) - 0.092_787).abs() < 1e-6);
        assert_eq!(share(4.0, (4.0, 4.0)), 1.0);
        assert_eq!(share(20.0, (0.25, 0.3)), 0.0);
        // A truth that is an interval costs nothing where the two overlap.
        let wide = interval((3.0, 9.0), (8.0, 10.0), (0.25, 20.0)).unwrap();
        assert!((wide - (1.0 - libm::log(1.25) / libm::log(80.0))).abs() < 1e-12);
        assert_eq!(interval((3.0, 9.0), (0.0, 10.0), (0.25, 20.0)), None);
        assert_eq!(interval((3.0, 9.0), (5.0, f64::NAN), (0.25, 20.0)), None);
    }

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

    #[test]
    fn families_are_one_place_and_one_leading_cause() {
        let c = Catalogue::builtin();
        assert!(same_family(c, "pos_sulfate_sparkle", "neg_sulfate_haze"));
        assert!(!same_family(c, "pos_sulfate_sparkle", "sediment_light"));
        assert!(!same_family(c, "sediment_light", "sediment_dark"));
        assert!(!same_family(c, "normal", "normal"));
    }
}
