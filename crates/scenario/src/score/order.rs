//! Putting steps into order.

use jarlight_model::authored::Spot;

/// The share of the required pairs that are kept; for a full order the share of all pairs.
///
/// For a full order that is `(τ + 1)/2` with Kendall's τ. `None` when the steps are not all
/// there once.
///
/// # Source
/// Kendall 1938, "A new measure of rank correlation".
pub fn order(steps: &[&str], before: &[Spot<(u32, u32)>], said: &[String]) -> Option<f64> {
    let whole = said.len() == steps.len() && steps.iter().all(|s| said.iter().any(|x| x == s));
    if !whole {
        return None;
    }
    let n = steps.len();
    let (all, lost) = if before.is_empty() {
        let pairs: Vec<Spot<(u32, u32)>> = full(n);
        (pairs.len(), broken(steps, &pairs, said).count())
    } else {
        (before.len(), broken(steps, before, said).count())
    };
    Some(if all == 0 { 1.0 } else { 1.0 - lost as f64 / all as f64 })
}

/// Every step before each later one.
fn full(n: usize) -> Vec<Spot<(u32, u32)>> {
    let n = u32::try_from(n).unwrap_or(u32::MAX);
    let pair = |a, b| Spot { value: (a, b), at: 0..0 };
    (1..=n).flat_map(|a| (a + 1..=n).map(move |b| pair(a, b))).collect()
}

/// The pairs that an order breaks, as indices of steps; all pairs when none are given.
pub(super) fn broken<'a>(
    steps: &'a [&str],
    pairs: &'a [Spot<(u32, u32)>],
    said: &'a [String],
) -> impl Iterator<Item = (usize, usize)> + use<'a> {
    let at = move |number: u32| {
        let index = usize::try_from(number).ok()?.checked_sub(1)?;
        let step = steps.get(index)?;
        Some((index, said.iter().position(|x| x == step)?))
    };
    pairs.iter().filter_map(move |pair| {
        let ((a, a_at), (b, b_at)) = (at(pair.value.0)?, at(pair.value.1)?);
        (a_at > b_at).then_some((a, b))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(before: &[(u32, u32)], said: &[usize]) -> Option<f64> {
        let steps = ["a", "b", "c", "d", "e"];
        let said: Vec<String> = said.iter().map(|i| steps[i - 1].to_owned()).collect();
        let before: Vec<_> = before.iter().map(|p| Spot { value: *p, at: 0..0 }).collect();
        order(&steps, &before, &said)
    }

    /// Pairs 12 13 24 34 45 with the answer 1 3 4 2 5 keep four of five.
    #[test]
    fn a_partial_order_counts_its_pairs() {
        let pairs = [(1, 2), (1, 3), (2, 4), (3, 4), (4, 5)];
        assert_eq!(share(&pairs, &[1, 3, 4, 2, 5]), Some(0.8));
    }

    /// The order 2 1 3 5 4 has τ = 0.6 and so a share of 0.8.
    #[test]
    fn a_full_order_counts_all_pairs() {
        assert_eq!(share(&[], &[2, 1, 3, 5, 4]), Some(0.8));
        assert_eq!(share(&[], &[5, 4, 3, 2, 1]), Some(0.0));
        assert_eq!(share(&[], &[1, 2, 3, 4]), None);
        assert_eq!(share(&[], &[1, 2, 3, 4, 4]), None);
    }
}
