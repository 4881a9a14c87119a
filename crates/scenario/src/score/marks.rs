//! Marks: which mark means which finding, and what that is worth.

use super::choice::same_family;
use crate::{
    answer::Mark,
    key::{Ask, Wrong},
    places,
};

/// What a mark without a finding costs, as a share of a finding.
const FALSE_MARK: f64 = 0.25;
/// What a mark costs on a cell without findings.
const FALSE_ON_HEALTHY: f64 = 0.5;
/// What a wrong label adds to the distance, so that it decides between equal places only.
const LABEL_TIE: f64 = 1e-3;
/// Marks over this number are not looked at.
const MOST_MARKS: usize = 64;

/// What the marks of an answer are.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// For each finding of the scene, the mark that means it.
    pub matched: Vec<Option<usize>>,
    /// Marks that mean nothing there is.
    pub unlocated: Vec<usize>,
    /// The share of the points.
    pub share: f64,
}

/// Matches marks to findings and scores them.
///
/// Matched is by place alone: as many findings as possible, then the smallest sum of
/// distances. A second mark on a matched finding, and one on a harmless look-alike, count for
/// nothing. Half of a finding is its place, half its label; a label of the same family gives
/// half of that. Each mark without a finding costs a quarter of a finding.
pub(super) fn judge(ask: &Ask<'_>, marks: &[Mark]) -> Marked {
    let marks = &marks[..marks.len().min(MOST_MARKS)];
    let wrong = ask.wrong();
    let costs: Vec<Vec<Option<f64>>> = marks
        .iter()
        .map(|mark| {
            wrong
                .iter()
                .map(|w| {
                    let tie = if mark.label == w.condition { 0.0 } else { LABEL_TIE };
                    distance(ask, mark, w).map(|d| d + tie)
                })
                .collect()
        })
        .collect();
    let matched = assign(&costs, wrong.len());
    let harmless = ask.harmless();
    let free = |i: &usize| !matched.contains(&Some(*i));
    let unlocated: Vec<usize> = (0..marks.len())
        .filter(free)
        .filter(|i| costs[*i].iter().all(Option::is_none))
        .filter(|i| !harmless.iter().any(|h| distance(ask, &marks[*i], h).is_some()))
        .collect();
    let n_false = unlocated.len() as f64;
    let share = if wrong.is_empty() {
        1.0 - FALSE_ON_HEALTHY * n_false
    } else {
        let got = matched.iter().zip(&wrong).map(|(mark, w)| match mark {
            None => 0.0,
            Some(i) if marks[*i].label == w.condition => 1.0,
            Some(i) if same_family(ask.catalogue, &w.condition, &marks[*i].label) => 0.75,
            Some(_) => 0.5,
        });
        (got.sum::<f64>() - FALSE_MARK * n_false) / wrong.len() as f64
    };
    Marked { matched, unlocated, share: share.clamp(0.0, 1.0) }
}

/// Distance of a mark from a finding in tolerances; `None` beyond one.
fn distance(ask: &Ask<'_>, mark: &Mark, wrong: &Wrong) -> Option<f64> {
    let on = |place: &str| match &wrong.place {
        Some(named) => places::means(named, place),
        None => ask
            .catalogue
            .condition(&wrong.condition)
            .is_some_and(|c| c.parts.iter().any(|p| places::means(p, place))),
    };
    if mark.place.as_deref().is_some_and(on) {
        return Some(0.0);
    }
    let near = mark.near.iter().filter(|n| on(&n.place) && (0.0..=1.0).contains(&n.off));
    near.map(|n| n.off).min_by(f64::total_cmp)
}

/// For each of `n` findings the mark that means it: most matches first, then least cost.
///
/// Exact, over sets of findings; a scene has few.
fn assign(costs: &[Vec<Option<f64>>], n: usize) -> Vec<Option<usize>> {
    let n = n.min(12);
    // best[set]: number, cost and matches when exactly the findings of `set` are matched.
    type Best = Option<(f64, Vec<Option<usize>>)>;
    let mut best: Vec<Best> = vec![None; 1 << n];
    best[0] = Some((0.0, vec![None; n]));
    for (i, row) in costs.iter().enumerate() {
        for set in (0..1usize << n).rev() {
            let Some((cost, matches)) = best[set].clone() else { continue };
            for (j, more) in row.iter().enumerate().take(n) {
                let Some(more) = more else { continue };
                if set & (1 << j) != 0 {
                    continue;
                }
                let (to, sum) = (set | 1 << j, cost + more);
                if best[to].as_ref().is_none_or(|(known, _)| sum < *known) {
                    let mut matches = matches.clone();
                    matches[j] = Some(i);
                    best[to] = Some((sum, matches));
                }
            }
        }
    }
    let reached = best.into_iter().enumerate().filter_map(|(set, b)| b.map(|b| (set, b)));
    let most = reached
        .max_by(|(a, x), (b, y)| a.count_ones().cmp(&b.count_ones()).then(y.0.total_cmp(&x.0)));
    most.map_or_else(Vec::new, |(_, (_, matches))| matches)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Findings at 0 and 4, radius 5, marks at 1.9 and −3: taking the nearest first would leave
    /// one finding without a mark.
    #[test]
    fn matching_is_not_greedy() {
        let at = |mark: f64, finding: f64| {
            let d = (mark - finding).abs() / 5.0;
            (d <= 1.0).then_some(d)
        };
        let costs: Vec<Vec<_>> =
            [1.9, -3.0].map(|m| [0.0, 4.0].map(|f| at(m, f)).to_vec()).to_vec();
        assert_eq!(assign(&costs, 2), [Some(1), Some(0)]);
    }

    /// Findings (10,10) and (16,10) with radius 5, marks (13,10) (17,10) (30,30) (9,10): the
    /// fourth means the first finding, the second the second.
    #[test]
    fn of_two_marks_on_a_finding_the_nearer_counts() {
        let marks = [(13.0, 10.0), (17.0, 10.0), (30.0, 30.0), (9.0, 10.0)];
        let findings = [(10.0, 10.0), (16.0, 10.0)];
        let costs: Vec<Vec<_>> = marks
            .iter()
            .map(|m: &(f64, f64)| {
                findings
                    .iter()
                    .map(|f: &(f64, f64)| {
                        let d = libm::hypot(m.0 - f.0, m.1 - f.1) / 5.0;
                        (d <= 1.0).then_some(d)
                    })
                    .collect()
            })
            .collect();
        assert_eq!(assign(&costs, 2), [Some(3), Some(1)]);
    }

    #[test]
    fn without_findings_or_marks_nothing_is_matched() {
        assert_eq!(assign(&[], 2), [None, None]);
        assert_eq!(assign(&[vec![]], 0), []);
    }
}
