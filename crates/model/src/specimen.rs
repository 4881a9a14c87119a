//! One cell under inspection: a design, its history, and what is really on it.

use crate::{id::Slug, unit::Severity};

/// A condition placed on a specimen: the truth, hidden from the learner until scoring.
#[derive(Clone, Debug, PartialEq)]
pub struct Occurrence {
    /// The condition.
    pub condition: Slug,
    /// How far it has gone.
    pub severity: Severity,
    /// Where, as an id in the figure such as `positive_plate-3`; everywhere it belongs if none.
    pub place: Option<String>,
}

/// A cell with all that is on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Specimen {
    /// The design.
    pub design: Slug,
    /// Months since installation.
    pub age_months: f64,
    /// What is on it; empty for a healthy cell.
    pub occurrences: Vec<Occurrence>,
    /// Seed of everything random in its look.
    pub seed: u64,
}

impl Specimen {
    /// A healthy cell of this design.
    pub fn healthy(design: Slug) -> Self {
        Self { design, age_months: 108.0, occurrences: Vec::new(), seed: 0 }
    }

    /// The severity of a condition, 0 when it is not there.
    pub fn severity(&self, condition: &str) -> f64 {
        self.occurrences
            .iter()
            .filter(|o| o.condition.as_str() == condition)
            .map(|o| o.severity.value())
            .fold(0.0, f64::max)
    }
}
