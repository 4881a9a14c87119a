//! The network: causes with onset bins and chains, findings with leak and cumulative rows.

use crate::evidence::Seen;

use std::collections::BTreeMap;

/// A stretch of time in which a cause may have begun, in months ago.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bin {
    /// Youngest onset, months ago.
    pub from: f64,
    /// Oldest onset, months ago.
    pub to: f64,
    /// Chance that the cause is present and began in this stretch, no parent being present.
    pub prior: f64,
}

/// A cause: absent, or present since one of its bins.
#[derive(Clone, Debug, PartialEq)]
pub struct Mechanism {
    /// Its id.
    pub id: String,
    /// Onset bins, from young to old.
    pub bins: Vec<Bin>,
    /// Causes that make it likelier: index, and factor of the prior odds when present.
    pub parents: Vec<(usize, f64)>,
    /// True when it began with the cell, so that its only bin says "since installation".
    pub since_installation: bool,
}

/// What a finding shows when one cause is present.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Index of the cause.
    pub mechanism: usize,
    /// For each bin of the cause the chances of at most grade 0, 1, 2, …; the last is 1.
    pub bins: Vec<Vec<f64>>,
}

/// Something that can be looked at or measured, in grades from 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Its id.
    pub id: String,
    /// Chances of at most grade 0, 1, 2, … with no cause of the network; the last is 1.
    pub leak: Vec<f64>,
    /// What each cause of it produces.
    pub rows: Vec<Row>,
    /// Effort of the look; 1 is a glance.
    pub effort: f64,
    /// True when only authorised staff may take the look.
    pub staff: bool,
    /// True for a reading, which is under or over its limit and has no grades between.
    pub reading: bool,
    /// True where the rows of an event do not tell low grades apart; see [`Finding::seen`].
    pub coarse: bool,
}

impl Finding {
    /// How a grade that was seen enters the reasoning.
    ///
    /// The rows of an event give grades 1 to 3 one chance, so grades 1 and 2 alone would have
    /// none under the very event that makes the mark, and a slight mark would speak against it
    /// without limit. Such a grade is read as "this or the next one that a cause can show".
    pub fn seen(&self, grade: usize) -> Seen {
        let shows = |g: usize| {
            self.rows.iter().flat_map(|r| &r.bins).any(|row| row[g] - row[g - 1] > 1e-12)
        };
        let top = self.leak.len().saturating_sub(1);
        if !self.coarse || grade == 0 || grade > top || shows(grade) {
            return Seen::grade(grade);
        }
        let high = (grade..=top).find(|g| shows(*g)).unwrap_or(grade);
        Seen::Between { low: grade, high }
    }
}

/// Why a network cannot be built.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NetworkError {
    /// A probability is outside its range, or a prior adds up to more than 1.
    #[error("`{id}` has a probability outside 0 to 1, or priors that add up to more than 1")]
    Probability {
        /// The entry.
        id: String,
    },
    /// A row has another length than the leak or the bins, or falls.
    #[error("a row of `{id}` has the wrong length, falls, or does not end at 1")]
    Row {
        /// The finding.
        id: String,
    },
    /// An index points outside the network.
    #[error("`{id}` refers to a cause that is not in the network")]
    Reference {
        /// The entry.
        id: String,
    },
    /// A cause has two rows in one finding.
    #[error("`{id}` has two rows of one cause")]
    Twice {
        /// The finding.
        id: String,
    },
    /// Bins overlap or run backwards, or a factor is not over 0.
    #[error("`{id}` has bins out of order or a factor that is not over 0")]
    Bins {
        /// The cause.
        id: String,
    },
    /// Causes make each other likelier in a circle.
    #[error("`{id}` is its own ancestor")]
    Cycle {
        /// A cause of the circle.
        id: String,
    },
}

/// How far a sum or the end of a row may be from 1 by rounding of what an author wrote.
pub(crate) const ROUNDING: f64 = 1e-9;

/// A checked network.
#[derive(Clone, Debug, PartialEq)]
pub struct Network {
    mechanisms: Vec<Mechanism>,
    findings: Vec<Finding>,
    /// For each cause, (child, factor).
    children: Vec<Vec<(usize, f64)>>,
    /// For each cause, (finding, row of that finding).
    shows: Vec<Vec<(usize, usize)>>,
}

impl Network {
    /// Checks and joins the parts of a network.
    pub fn new(mechanisms: Vec<Mechanism>, findings: Vec<Finding>) -> Result<Self, NetworkError> {
        let n = mechanisms.len();
        let mut children = vec![Vec::new(); n];
        for (i, m) in mechanisms.iter().enumerate() {
            let id = || m.id.clone();
            let sum: f64 = m.bins.iter().map(|b| b.prior).sum();
            let sound = |p: f64| (0.0..=1.0).contains(&p);
            if !m.bins.iter().all(|b| sound(b.prior)) || sum > 1.0 + ROUNDING {
                return Err(NetworkError::Probability { id: id() });
            }
            let ordered = m.bins.windows(2).all(|w| w[0].to <= w[1].from);
            let forward = m.bins.iter().all(|b| b.from >= 0.0 && b.from < b.to);
            if !ordered || !forward || m.bins.is_empty() {
                return Err(NetworkError::Bins { id: id() });
            }
            for &(parent, factor) in &m.parents {
                if parent >= n {
                    return Err(NetworkError::Reference { id: id() });
                }
                if !(factor > 0.0 && factor.is_finite()) {
                    return Err(NetworkError::Bins { id: id() });
                }
                children[parent].push((i, factor));
            }
        }
        let mut shows = vec![Vec::new(); n];
        for (f, finding) in findings.iter().enumerate() {
            let id = || finding.id.clone();
            let row_sound = |row: &[f64]| {
                row.len() == finding.leak.len()
                    && row.len() >= 2
                    && row.iter().all(|p| (0.0..=1.0).contains(p))
                    && row.windows(2).all(|w| w[0] <= w[1])
                    && row.last().is_some_and(|p| (p - 1.0).abs() <= ROUNDING)
            };
            if !row_sound(&finding.leak) {
                return Err(NetworkError::Row { id: id() });
            }
            for (r, row) in finding.rows.iter().enumerate() {
                let Some(cause) = mechanisms.get(row.mechanism) else {
                    return Err(NetworkError::Reference { id: id() });
                };
                if row.bins.len() != cause.bins.len() || !row.bins.iter().all(|b| row_sound(b)) {
                    return Err(NetworkError::Row { id: id() });
                }
                if shows[row.mechanism].last().is_some_and(|(last, _)| *last == f) {
                    return Err(NetworkError::Twice { id: id() });
                }
                shows[row.mechanism].push((f, r));
            }
        }
        let network = Self { mechanisms, findings, children, shows };
        match network.first_in_circle() {
            Some(i) => Err(NetworkError::Cycle { id: network.mechanisms[i].id.clone() }),
            None => Ok(network),
        }
    }

    /// The causes.
    pub fn mechanisms(&self) -> &[Mechanism] {
        &self.mechanisms
    }

    /// The findings.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Index of the cause with this id.
    pub fn mechanism_idx(&self, id: &str) -> Option<usize> {
        self.mechanisms.iter().position(|m| m.id == id)
    }

    /// Index of the finding with this id.
    pub fn finding_idx(&self, id: &str) -> Option<usize> {
        self.findings.iter().position(|f| f.id == id)
    }

    /// Chance of presence of a cause while none of its parents is present.
    pub fn prior(&self, mechanism: usize) -> f64 {
        self.mechanisms[mechanism].bins.iter().map(|b| b.prior).sum::<f64>().min(1.0)
    }

    /// The causes that a finding has.
    pub fn causes(&self, finding: usize) -> impl Iterator<Item = usize> {
        self.findings[finding].rows.iter().map(|r| r.mechanism)
    }

    /// The same network without the edges between causes.
    #[must_use]
    pub fn without_chains(mut self) -> Self {
        for m in &mut self.mechanisms {
            m.parents.clear();
        }
        for c in &mut self.children {
            c.clear();
        }
        self
    }

    /// The causes that a cause makes likelier, with the factors.
    pub(crate) fn children(&self, mechanism: usize) -> &[(usize, f64)] {
        &self.children[mechanism]
    }

    /// The findings that a cause can show, with the place of its row in each.
    pub(crate) fn shows(&self, mechanism: usize) -> &[(usize, usize)] {
        &self.shows[mechanism]
    }

    /// Takes away causes without open parents until none is left; what remains has a circle.
    fn first_in_circle(&self) -> Option<usize> {
        let mut waiting: Vec<usize> = self.mechanisms.iter().map(|m| m.parents.len()).collect();
        let mut ready: Vec<usize> = (0..waiting.len()).filter(|&i| waiting[i] == 0).collect();
        while let Some(i) = ready.pop() {
            for &(child, _) in &self.children[i] {
                waiting[child] -= 1;
                if waiting[child] == 0 {
                    ready.push(child);
                }
            }
        }
        waiting.iter().position(|&w| w > 0)
    }
}

/// Causes that lie on a circle of parents, told from names; for the check of a file.
pub(crate) fn circles(parents: &BTreeMap<String, Vec<String>>) -> Vec<String> {
    let reaches = |from: &str, to: &str| {
        let mut seen: Vec<&str> = Vec::new();
        let mut next: Vec<&str> = vec![from];
        while let Some(id) = next.pop() {
            for p in parents.get(id).into_iter().flatten() {
                if p == to {
                    return true;
                }
                if !seen.contains(&p.as_str()) {
                    seen.push(p);
                    next.push(p);
                }
            }
        }
        false
    };
    parents.keys().filter(|id| reaches(id, id)).cloned().collect()
}
