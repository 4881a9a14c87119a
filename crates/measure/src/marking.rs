//! Free marking: which marks found which findings, and what a picture is worth.
//!
//! Marks are matched on place; the label only breaks ties, so that one spot marked twice with two
//! labels gains nothing. Matching finds as many findings as any matching could, at the least total
//! distance, and does not depend on the order of the marks.

/// A mark that a learner made, with how far it lies from each finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Distance to each finding over its tolerance: up to 1 counts as found.
    pub distances: Vec<f64>,
    /// How well the label fits each finding.
    pub labels: Vec<Label>,
    /// True where a stray mark costs nothing: artefacts and harmless variants outside the key.
    pub on_ignored: bool,
}

/// How well a label fits a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Label {
    /// The right name.
    Exact,
    /// A name of the same family.
    Family,
    /// Another name, or none.
    Wrong,
}

impl Label {
    /// Credit for the label, 0 to 1.
    pub fn credit(self) -> f64 {
        match self {
            Self::Exact => 1.0,
            Self::Family => 0.5,
            Self::Wrong => 0.0,
        }
    }
}

/// What became of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// Found the finding with this number.
    Located(usize),
    /// Lies on a finding that another mark has found: no credit, no cost.
    Duplicate(usize),
    /// Lies where nothing is asked: no cost.
    Ignored,
    /// Lies on nothing.
    Unlocated,
}

/// Cost over the distance for a label that does not fit, so that labels only break ties.
const LABEL_COST: f64 = 1e-3;

/// Matches marks with findings; one fate a mark, in their order.
///
/// # Source
/// Assignment of least cost among those of greatest number, by shortest augmenting paths
/// (Kuhn 1955, Munkres 1957).
pub fn match_marks(marks: &[Mark], findings: usize) -> Vec<Fate> {
    let cost = |mark: &Mark, finding: usize| {
        let distance = mark.distances.get(finding).copied()?;
        let fits = mark.labels.get(finding) == Some(&Label::Exact);
        (distance <= 1.0).then_some(distance + if fits { 0.0 } else { LABEL_COST })
    };
    let by_finding = assign(findings, marks.len(), |f, m| cost(&marks[m], f));
    let mut fates: Vec<Fate> = marks
        .iter()
        .map(|mark| {
            // Nearest finding within reach; it must be taken, or matching would have used it.
            let near = (0..findings)
                .filter_map(|f| cost(mark, f).map(|cost| (f, cost)))
                .min_by(|a, b| a.1.total_cmp(&b.1));
            match near {
                Some((finding, _)) => Fate::Duplicate(finding),
                None if mark.on_ignored => Fate::Ignored,
                None => Fate::Unlocated,
            }
        })
        .collect();
    for (finding, mark) in by_finding.into_iter().enumerate() {
        if let Some(mark) = mark {
            fates[mark] = Fate::Located(finding);
        }
    }
    fates
}

/// Assigns as many rows to columns as can be, at least total cost; `None` forbids a pair.
fn assign(
    rows: usize,
    columns: usize,
    cost: impl Fn(usize, usize) -> Option<f64>,
) -> Vec<Option<usize>> {
    // A forbidden pair costs more than all allowed ones together, so number comes before cost.
    let forbidden = 1e3 * (rows + columns + 1) as f64;
    let size = rows.max(columns);
    let at = |r: usize, c: usize| {
        if r < rows && c < columns { cost(r, c).unwrap_or(forbidden) } else { forbidden }
    };
    // Potentials and matches of the Hungarian method, columns numbered from 1, 0 is the root.
    let mut row_potential = vec![0.0; size + 1];
    let mut column_potential = vec![0.0; size + 1];
    let mut row_of = vec![0; size + 1];
    for row in 1..=size {
        row_of[0] = row;
        let mut column = 0;
        let mut least = vec![f64::INFINITY; size + 1];
        let mut before = vec![0; size + 1];
        let mut done = vec![false; size + 1];
        while row_of[column] != 0 {
            done[column] = true;
            let here = row_of[column];
            let (mut delta, mut next) = (f64::INFINITY, 0);
            for c in 1..=size {
                if done[c] {
                    continue;
                }
                let reduced = at(here - 1, c - 1) - row_potential[here] - column_potential[c];
                if reduced < least[c] {
                    least[c] = reduced;
                    before[c] = column;
                }
                if least[c] < delta {
                    delta = least[c];
                    next = c;
                }
            }
            for c in 0..=size {
                if done[c] {
                    row_potential[row_of[c]] += delta;
                    column_potential[c] -= delta;
                } else {
                    least[c] -= delta;
                }
            }
            column = next;
        }
        while column != 0 {
            row_of[column] = row_of[before[column]];
            column = before[column];
        }
    }
    let mut assigned = vec![None; rows];
    for (c, row) in row_of.iter().enumerate().skip(1).take(columns) {
        let r = row.wrapping_sub(1);
        if r < rows && cost(r, c - 1).is_some() {
            assigned[r] = Some(c - 1);
        }
    }
    assigned
}

/// How marks of one picture are valued.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Share of a finding's value for its place; the rest is for its label.
    pub place: f64,
    /// Cost of a mark on nothing, as a share of the mean value of a finding.
    pub stray: f64,
    /// Cost of a mark on a picture without a finding.
    pub stray_on_blank: f64,
}

impl Rule {
    /// Half for place, half for label; a stray mark costs a quarter, on a blank picture half.
    pub const USUAL: Self = Self { place: 0.5, stray: 0.25, stray_on_blank: 0.5 };
}

/// Score of one picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// Share of what could be had, 0 to 1.
    pub share: f64,
    /// Findings that no mark found.
    pub missed: Vec<usize>,
    /// Marks that lie on nothing.
    pub unlocated: usize,
}

/// Scores a picture from what became of its marks and the value of each finding.
///
/// A missed finding that matters is told by `missed`, whatever the share is.
///
/// # Source
/// The project's own rule: [Σ value·(place + label) − stray·mean value·strays] / Σ value,
/// kept within 0 and 1.
pub fn score(marks: &[Mark], fates: &[Fate], values: &[f64], rule: Rule) -> Score {
    let unlocated = fates.iter().filter(|fate| **fate == Fate::Unlocated).count();
    let strays = unlocated as f64;
    let total: f64 = values.iter().sum();
    let found = |finding: usize| fates.iter().position(|fate| *fate == Fate::Located(finding));
    let missed = (0..values.len()).filter(|finding| found(*finding).is_none()).collect();
    if total <= 0.0 {
        let share = f64::max(0.0, 1.0 - rule.stray_on_blank * strays);
        return Score { share, missed, unlocated };
    }
    let gained: f64 = values
        .iter()
        .enumerate()
        .filter_map(|(finding, value)| {
            let label = marks.get(found(finding)?)?.labels.get(finding)?;
            Some(value * (rule.place + (1.0 - rule.place) * label.credit()))
        })
        .sum();
    let mean = total / values.len() as f64;
    let share = ((gained - rule.stray * mean * strays) / total).clamp(0.0, 1.0);
    Score { share, missed, unlocated }
}

/// Two labels of one learner on one finding that do not agree: the numbers of those marks.
///
/// The screen asks which is meant; unsettled, the more confident one counts.
pub fn contested(fates: &[Fate], finding: usize) -> Vec<usize> {
    fates
        .iter()
        .enumerate()
        .filter(|(_, fate)| matches!(fate, Fate::Located(f) | Fate::Duplicate(f) if *f == finding))
        .map(|(mark, _)| mark)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Marks and findings on a line, all labels right.
    fn on_line(marks: &[f64], findings: &[f64], tolerance: f64) -> Vec<Mark> {
        marks
            .iter()
            .map(|m| Mark {
                distances: findings.iter().map(|f| (m - f).abs() / tolerance).collect(),
                labels: vec![Label::Exact; findings.len()],
                on_ignored: false,
            })
            .collect()
    }

    fn located(fates: &[Fate]) -> usize {
        fates.iter().filter(|f| matches!(f, Fate::Located(_))).count()
    }

    /// Most findings that any choice of marks finds, by trying all.
    fn most(marks: &[Mark], finding: usize, findings: usize, used: u32) -> usize {
        if finding == findings {
            return 0;
        }
        let without = most(marks, finding + 1, findings, used);
        (0..marks.len())
            .filter(|m| used & (1 << m) == 0 && marks[*m].distances[finding] <= 1.0)
            .map(|m| 1 + most(marks, finding + 1, findings, used | (1 << m)))
            .fold(without, usize::max)
    }

    #[test]
    fn matching_finds_as_many_as_trying_all() {
        // A small generator with fixed steps; the positions only have to be various.
        let mut state = 12_345_u32;
        let mut next = |n: u32| {
            state = state.wrapping_mul(1_103_515_245).wrapping_add(12_345);
            (state >> 16) % n
        };
        for _ in 0..300 {
            let place = |n: u32| f64::from(n) / 4.0;
            let findings: Vec<f64> = (0..1 + next(4)).map(|_| place(next(40))).collect();
            let marks: Vec<f64> = (0..next(6)).map(|_| place(next(40))).collect();
            let marks = on_line(&marks, &findings, 1.5);
            let fates = match_marks(&marks, findings.len());
            assert_eq!(located(&fates), most(&marks, 0, findings.len(), 0));
            let mut turned = marks.clone();
            turned.reverse();
            let values = vec![1.0; findings.len()];
            let other = match_marks(&turned, findings.len());
            assert_eq!(
                score(&marks, &fates, &values, Rule::USUAL).share,
                score(&turned, &other, &values, Rule::USUAL).share
            );
        }
    }

    #[test]
    fn a_duplicate_neither_gains_nor_costs() {
        let one = on_line(&[10.0], &[10.0, 30.0], 5.0);
        let two = on_line(&[10.0, 11.0], &[10.0, 30.0], 5.0);
        let values = [1.0, 1.0];
        let share =
            |marks: &[Mark]| score(marks, &match_marks(marks, 2), &values, Rule::USUAL).share;
        assert_eq!(share(&one), share(&two));
        let fates = match_marks(&two, 2);
        assert_eq!(fates, [Fate::Located(0), Fate::Duplicate(0)]);
        assert_eq!(contested(&fates, 0), [0, 1]);
    }

    #[test]
    fn the_better_label_wins_a_tie() {
        let mut marks = on_line(&[9.0, 11.0], &[10.0], 5.0);
        marks[0].labels[0] = Label::Wrong;
        assert_eq!(match_marks(&marks, 1), [Fate::Duplicate(0), Fate::Located(0)]);
    }

    #[test]
    fn marks_on_blank_pictures_cost_and_on_ignored_places_do_not() {
        let mut marks = on_line(&[3.0], &[], 1.0);
        let share = |marks: &[Mark]| score(marks, &match_marks(marks, 0), &[], Rule::USUAL).share;
        assert_eq!(share(&marks), 0.5);
        marks[0].on_ignored = true;
        assert_eq!(share(&marks), 1.0);
        assert_eq!(share(&[]), 1.0);
    }

    #[test]
    fn missed_findings_are_told() {
        let marks = on_line(&[10.0], &[10.0, 30.0], 5.0);
        let met = score(&marks, &match_marks(&marks, 2), &[1.0, 3.0], Rule::USUAL);
        assert_eq!(met.missed, [1]);
        assert!((met.share - 0.25).abs() < 1e-12);
    }
}
