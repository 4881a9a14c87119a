//! Choosing one or several options, a grade, a side or a number.

use crate::format::{NORMAL, NOT_NORMAL, Side};
use jarlight_model::{authored::Spot, catalogue::Catalogue, id::Slug, unit::Grade};

/// Highest grade.
const MOST: f64 = 5.0;

/// One id of a list: right, nearly right for half, or wrong; `None` when it is not offered.
pub(super) fn slug(
    options: &[Spot<Slug>],
    right: &str,
    near: &[Spot<Slug>],
    said: &str,
    family: impl Fn(&str) -> bool,
) -> Option<f64> {
    let among = |list: &[Spot<Slug>]| list.iter().any(|o| o.as_str() == said);
    if !among(options) {
        return None;
    }
    Some(if said == right {
        1.0
    } else if among(near) || family(said) {
        0.5
    } else {
        0.0
    })
}

/// One text of a list.
pub(super) fn text(options: &[Spot<String>], right: &str, said: &str) -> Option<f64> {
    let offered = options.iter().any(|o| o.value == said);
    offered.then(|| super::share(said == right))
}

/// Normal or not.
pub(super) fn normal(is_normal: bool, said: &str) -> Option<f64> {
    match said {
        NORMAL => Some(super::share(is_normal)),
        NOT_NORMAL => Some(super::share(!is_normal)),
        _ => None,
    }
}

/// The first, the second, or both alike.
pub(super) fn side(right: Side, said: &str) -> Option<f64> {
    let all = [Side::First, Side::Second, Side::Same];
    let said = all.into_iter().find(|s| s.id() == said)?;
    Some(super::share(said == right))
}

/// A grade: the error counts by its square, so that one grade off costs little.
///
/// `1 − ((g − key)/5)²`
pub(super) fn grade(key: Grade, said: &str) -> Option<f64> {
    let said: u8 = said.parse().ok()?;
    let said = Grade::new(said).ok()?;
    let off = (f64::from(said.value()) - f64::from(key.value())) / MOST;
    Some(1.0 - off * off)
}

/// Several ids: the share of the right ones that were chosen, less the share of the wrong
/// ones that were; not under 0. `None` when an id is not offered or chosen twice.
pub fn several<T: ToString>(
    options: &[Spot<T>],
    right: impl Fn(&Spot<T>) -> bool,
    said: &[String],
) -> Option<f64> {
    let ids: Vec<(String, bool)> =
        options.iter().map(|o| (o.value.to_string(), right(o))).collect();
    let sound = said
        .iter()
        .enumerate()
        .all(|(i, s)| ids.iter().any(|(id, _)| id == s) && !said[..i].contains(s));
    if !sound {
        return None;
    }
    let part = |wanted: bool| {
        let of = ids.iter().filter(|(_, r)| *r == wanted);
        let (all, hit) = of.fold((0.0, 0.0), |(all, hit), (id, _)| {
            (all + 1.0, hit + super::share(said.contains(id)))
        });
        if all > 0.0 { hit / all } else { 0.0 }
    };
    Some((part(true) - part(false)).max(0.0))
}

/// Findings chosen as evidence: the share of the weight that speaks for the cause, less the
/// share of the options that do not and were chosen.
///
/// Weights are in decibans; what is not over half a deciban does not count as speaking for it.
pub(super) fn evidence(weights: &[(String, f64)], said: &[String]) -> Option<f64> {
    if !said.iter().all(|s| weights.iter().any(|(id, _)| id == s)) {
        return None;
    }
    let speaks = |w: f64| w > NOTICEABLE;
    let chosen = |id: &String| said.contains(id);
    let sum = |filter: &dyn Fn(&(String, f64)) -> bool| -> f64 {
        weights.iter().filter(|w| filter(w)).map(|(_, w)| *w).sum()
    };
    let all = sum(&|(_, w)| speaks(*w));
    let hit = sum(&|(id, w)| speaks(*w) && chosen(id));
    let others: Vec<_> = weights.iter().filter(|(_, w)| !speaks(*w)).collect();
    let wrong = others.iter().filter(|(id, _)| chosen(id)).count() as f64;
    let lost = if others.is_empty() { 0.0 } else { wrong / others.len() as f64 };
    Some(if all > 0.0 { (hit / all - lost).max(0.0) } else { 0.0 })
}

/// Decibans under this are not noticed.
pub(crate) const NOTICEABLE: f64 = 0.5;

/// A number: right within the tolerance, nothing from twice the tolerance on.
pub(super) fn number(key: f64, said: f64, within: f64) -> Option<f64> {
    if !said.is_finite() || within <= 0.0 {
        return None;
    }
    // A reading typed to the last digit of the key must not fail by rounding.
    let off = ((said - key).abs() - 1e-9) / within;
    Some((2.0 - off).clamp(0.0, 1.0))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn families_are_one_place_and_one_leading_cause() {
        let c = Catalogue::builtin();
        assert!(same_family(c, "pos_sulfate_sparkle", "neg_sulfate_haze"));
        assert!(!same_family(c, "pos_sulfate_sparkle", "sediment_light"));
        assert!(!same_family(c, "sediment_light", "sediment_dark"));
        assert!(!same_family(c, "normal", "normal"));
    }

    /// Two of three right ones and one of two wrong ones: 2/3 − 1/2.
    #[test]
    fn several_count_hits_less_false_ones() {
        let options: Vec<Spot<String>> =
            ["a", "b", "c", "x", "y"].map(|s| Spot { value: s.to_owned(), at: 0..0 }).to_vec();
        let share = |said: &[&str]| {
            let said: Vec<String> = said.iter().map(|s| (*s).to_owned()).collect();
            several(&options, |o| "abc".contains(o.value.as_str()), &said)
        };
        assert!((share(&["a", "b", "x"]).unwrap() - 1.0 / 6.0).abs() < 1e-12);
        assert_eq!(share(&["a", "b", "c"]), Some(1.0));
        assert_eq!(share(&["x", "y"]), Some(0.0));
        assert_eq!(share(&[]), Some(0.0));
        assert_eq!(share(&["a", "a"]), None);
        assert_eq!(share(&["z"]), None);
    }

    /// 1 − ((g − key)/5)² for key 3.
    #[test]
    fn grades_count_by_the_square_of_the_error() {
        let key = Grade::new(3).unwrap();
        let shares: Vec<f64> = (0..=5).map(|g: u8| grade(key, &g.to_string()).unwrap()).collect();
        for (share, expected) in shares.iter().zip([0.64, 0.84, 0.96, 1.0, 0.96, 0.84]) {
            assert!((share - expected).abs() < 1e-12, "{shares:?}");
        }
        assert_eq!(grade(key, "6"), None);
    }

    #[test]
    fn evidence_counts_by_its_weight() {
        let weights: Vec<(String, f64)> = [("a", 6.0), ("b", 2.0), ("c", -3.0), ("d", 0.1)]
            .map(|(i, w)| (i.to_owned(), w))
            .to_vec();
        let share = |said: &[&str]| {
            let said: Vec<String> = said.iter().map(|s| (*s).to_owned()).collect();
            evidence(&weights, &said)
        };
        assert_eq!(share(&["a", "b"]), Some(1.0));
        assert_eq!(share(&["a"]), Some(0.75));
        assert_eq!(share(&["a", "b", "c"]), Some(0.5));
        assert_eq!(share(&["c", "d"]), Some(0.0));
        assert_eq!(share(&["e"]), None);
    }

    #[test]
    fn numbers_are_right_within_their_tolerance() {
        let share = |said| number(1.2123, said, 0.0005).unwrap();
        assert_eq!(share(1.2123), 1.0);
        assert_eq!(share(1.2128), 1.0);
        assert!((share(1.21305) - 0.5).abs() < 1e-4);
        assert_eq!(share(1.2150), 0.0);
        assert_eq!(number(1.0, f64::NAN, 0.1), None);
    }

    #[test]
    fn sides_and_normal_are_right_or_wrong() {
        assert_eq!(side(Side::Same, "same"), Some(1.0));
        assert_eq!(side(Side::Same, "first"), Some(0.0));
        assert_eq!(side(Side::Same, "third"), None);
        assert_eq!((normal(true, "normal"), normal(true, "not_normal")), (Some(1.0), Some(0.0)));
        assert_eq!(normal(false, "perhaps"), None);
    }
}
