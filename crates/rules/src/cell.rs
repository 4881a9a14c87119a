//! From the catalogue and a cell to the network that reasons about this cell.

use crate::{
    case_file::{Case, CaseScope},
    growth::{Course, cumulative, leak, rate_at},
    network::{Bin, Finding, Mechanism, Network, NetworkError, Row},
};
use jarlight_model::{
    catalogue::{
        Catalogue, Condition, ConditionKind, Mechanism as Cause, OnsetRule, Scope, SeenBy,
    },
    design::{Alloy, Design, Feature},
    diag::{Code, Diagnostic},
};

/// Ends of the onset bins, months ago; the last one gives way to a higher age.
const BIN_ENDS: [f64; 8] = [1.0, 3.0, 6.0, 12.0, 24.0, 60.0, 120.0, 300.0];

/// No prior goes over this, whatever the type.
const MOST_PRIOR: f64 = 0.95;

/// What the priors and rows depend on.
#[derive(Clone, Debug)]
pub struct Cell<'d> {
    /// The construction, where known: parts it lacks have no findings.
    pub design: Option<&'d Design>,
    /// The type of plates.
    pub alloy: Alloy,
    /// Whether the posts have a copper core.
    pub copper_insert: bool,
    /// Months since installation, over 0.
    pub age_months: f64,
    /// On how much of the string the findings are.
    pub scope: CaseScope,
    /// Average temperature in °C over the life of the cell; 25 °C when not known.
    pub temperature: Option<f64>,
    /// Causes that were cured, with the months since.
    pub cured: Vec<(String, f64)>,
}

impl<'d> Cell<'d> {
    /// A cell of a design, with nothing else known.
    pub fn of_design(design: &'d Design, age_months: f64) -> Self {
        Self {
            design: Some(design),
            alloy: design.alloy,
            copper_insert: design.has(Feature::CopperInsert),
            age_months,
            scope: CaseScope::Unknown,
            temperature: None,
            cured: Vec::new(),
        }
    }

    /// The cell that a case describes; what is missing or unknown is reported.
    pub fn from_case(case: &Case, catalogue: &'d Catalogue) -> Result<Self, Vec<Diagnostic>> {
        let source = case.source();
        let mut found = Vec::new();
        let design = case.design.as_ref().and_then(|id| {
            let design = catalogue.designs.get(id.as_str());
            if design.is_none() {
                let what = format!("no design has the id `{}`", id.value);
                let known = catalogue.designs.keys().map(|k| k.as_str());
                found.push(
                    Diagnostic::new(Code::UnknownDesign, source, id.at.clone(), what)
                        .nearest(&id.value, known),
                );
            }
            design
        });
        let mut needs = |field: &str| {
            let start = source.text().find("Case").unwrap_or(0);
            let what = format!("without a rules file a case needs the field {field}");
            found.push(Diagnostic::new(Code::MissingField, source, start..start + 4, what));
        };
        let alloy = case.alloy.or(design.map(|d| d.alloy));
        if alloy.is_none() && case.design.is_none() {
            needs("`design` or `alloy`");
        }
        if case.age_months.is_none() {
            needs("`age_months`");
        }
        for (id, _) in &case.cured {
            if catalogue.mechanism(&id.value).is_none() {
                let what = format!("no cause has the id `{}`", id.value);
                let known = catalogue.mechanisms.iter().map(|m| m.id.as_str());
                found.push(
                    Diagnostic::new(Code::UnknownMechanism, source, id.at.clone(), what)
                        .nearest(&id.value, known),
                );
            }
        }
        for (id, _) in case.entries() {
            if let (Some(condition), Some(d)) = (catalogue.condition(&id.value), design)
                && !condition.parts.iter().any(|p| catalogue.has_part(d, p))
            {
                let what = format!("`{}` is on a part that `{}` does not have", id.value, d.id);
                let at = id.at.clone();
                found.push(Diagnostic::new(Code::PartNotInDesign, source, at, what));
            }
        }
        match (alloy, case.age_months) {
            (Some(alloy), Some(age_months)) if found.is_empty() => Ok(Self {
                design,
                alloy,
                // Without a design the core is taken to be there, except where no design has it.
                copper_insert: case.copper_insert.unwrap_or_else(|| match design {
                    Some(d) => d.has(Feature::CopperInsert),
                    None => !matches!(alloy, Alloy::Plante | Alloy::RoundPlate),
                }),
                age_months,
                scope: case.scope,
                temperature: case.temperature,
                cured: case.cured.iter().map(|(id, m)| (id.value.clone(), *m)).collect(),
            }),
            _ => Err(found),
        }
    }

    /// Presence prior of a cause while no parent is present: age band, type, scope, in this order.
    pub fn prior(&self, cause: &Cause) -> f64 {
        let years = self.age_months / 12.0;
        let band = match years {
            y if y < 2.0 => 0,
            y if y < 8.0 => 1,
            y if y <= 15.0 => 2,
            _ => 3,
        };
        if cause.needs_insert && !self.copper_insert {
            return 0.0;
        }
        let of_type = cause.types.get(self.alloy.key()).copied().unwrap_or(1.0);
        let p = f64::min(cause.priors[band] * of_type, MOST_PRIOR);
        let factor = match (self.scope, cause.scope) {
            (CaseScope::Cell, Scope::String) => 0.15,
            (CaseScope::String, Scope::Cell) => 0.1,
            _ => 1.0,
        };
        p * factor / (1.0 - p + p * factor)
    }

    /// The eight onset bins with the prior of each.
    fn bins(&self, cause: &Cause) -> Vec<Bin> {
        let prior = self.prior(cause);
        let age = self.age_months;
        let last = BIN_ENDS.len() - 1;
        let mut from = 0.0;
        let mut bins = Vec::with_capacity(BIN_ENDS.len());
        for (i, &end) in BIN_ENDS.iter().enumerate() {
            let end = if i == last { f64::max(end, age) } else { end };
            // A bin that begins after the age of the cell keeps its ends and has no weight.
            let to = if from < age { f64::min(end, age) } else { end };
            let share = match cause.onset {
                OnsetRule::Any if from < age => (to - from) / age,
                OnsetRule::Installation if from < age && to >= age => 1.0,
                _ => 0.0,
            };
            bins.push(Bin { from, to, prior: prior * share });
            from = end;
        }
        bins
    }

    /// Share of a cured cause's mark that has not faded: none is left at the upper bound of
    /// its age row.
    fn left(&self, cause: &Cause, condition: &Condition) -> f64 {
        let cured = self.cured.iter().find(|(id, _)| *id == cause.id.as_str()).map(|(_, m)| *m);
        match (cured, condition.age) {
            (Some(months), Some(age)) if !condition.permanent && age.upper > 0.0 => {
                (1.0 - months / age.upper).clamp(0.0, 1.0)
            }
            _ => 1.0,
        }
    }

    fn rate(&self, condition: &Condition) -> f64 {
        if condition.heats { self.temperature.map_or(1.0, rate_at) } else { 1.0 }
    }

    /// True when the finding is on a part that this construction has.
    fn has(&self, catalogue: &Catalogue, condition: &Condition) -> bool {
        self.design.is_none_or(|d| condition.parts.iter().any(|p| catalogue.has_part(d, p)))
    }
}

/// The causes that show one of these findings, with all that makes them likelier, in the order
/// of the catalogue.
fn related(catalogue: &Catalogue, wanted: impl Fn(&str) -> bool) -> Vec<&Cause> {
    let all = &catalogue.mechanisms;
    let mut kept: Vec<bool> =
        all.iter().map(|cause| cause.links.keys().any(|finding| wanted(finding))).collect();
    // Parents of parents too: at most as many rounds as there are causes.
    loop {
        let child =
            |id: &str| all.iter().zip(&kept).any(|(c, kept)| *kept && c.parents.contains_key(id));
        let more: Vec<usize> =
            (0..all.len()).filter(|&i| !kept[i] && child(all[i].id.as_str())).collect();
        if more.is_empty() {
            break;
        }
        more.into_iter().for_each(|i| kept[i] = true);
    }
    all.iter().zip(kept).filter(|(_, kept)| *kept).map(|(cause, _)| cause).collect()
}

impl Network {
    /// The network of a cell, from the catalogue.
    pub fn from_catalogue(catalogue: &Catalogue, cell: &Cell<'_>) -> Result<Self, NetworkError> {
        Self::from_catalogue_for(catalogue, cell, |_| true)
    }

    /// The network of a cell with only these findings and readings, the causes that show them,
    /// and what makes these causes likelier.
    ///
    /// What was not inspected, and a cause that shows none of what was, change no posterior of
    /// the others; so this is enough where the findings are known beforehand, and much quicker.
    pub fn from_catalogue_for(
        catalogue: &Catalogue,
        cell: &Cell<'_>,
        wanted: impl Fn(&str) -> bool,
    ) -> Result<Self, NetworkError> {
        let causes = related(catalogue, &wanted);
        let place = |id: &str| causes.iter().position(|m| m.id.as_str() == id);
        let mut mechanisms = Vec::new();
        for cause in &causes {
            let mut parents = Vec::new();
            for (parent, factor) in &cause.parents {
                let missing = || NetworkError::Reference { id: cause.id.to_string() };
                parents.push((place(parent).ok_or_else(missing)?, *factor));
            }
            mechanisms.push(Mechanism {
                id: cause.id.to_string(),
                bins: cell.bins(cause),
                parents,
                since_installation: cause.onset == OnsetRule::Installation,
            });
        }
        let rows = |id: &str, row: &dyn Fn(&Cause, &Bin, f64) -> Vec<f64>| -> Vec<Row> {
            let linked = causes.iter().enumerate();
            linked
                .filter_map(|(i, cause)| {
                    let w = cause.links.get(id)?.probability();
                    let bins = mechanisms[i].bins.iter().map(|bin| row(cause, bin, w)).collect();
                    Some(Row { mechanism: i, bins })
                })
                .collect()
        };
        let mut findings = Vec::new();
        for condition in &catalogue.conditions {
            let Some(grade_3) = condition.leak else { continue };
            if condition.kind != ConditionKind::Condition
                || !wanted(condition.id.as_str())
                || !cell.has(catalogue, condition)
            {
                continue;
            }
            let rate = cell.rate(condition);
            let rows = rows(condition.id.as_str(), &|cause, bin, w| {
                let left = cell.left(cause, condition);
                let course = Course::new(condition.growth, condition.age, cause.event, rate, left);
                cumulative(course.at_least(bin.from, bin.to, w))
            });
            findings.push(Finding {
                id: condition.id.to_string(),
                leak: leak(grade_3),
                rows,
                effort: condition.effort,
                staff: condition.seen_by == SeenBy::Staff,
                reading: false,
                coarse: condition.growth == jarlight_model::catalogue::Growth::Event,
            });
        }
        for quantity in catalogue.quantities.iter().filter(|q| wanted(q.id.as_str())) {
            let rows = rows(quantity.id.as_str(), &|_, bin, w| {
                let too_soon = quantity.age.map_or(0.0, |a| a.too_soon);
                let course = Course::Event { too_soon, left: 1.0 };
                vec![1.0 - course.at_least(bin.from, bin.to, w)[2], 1.0]
            });
            findings.push(Finding {
                id: quantity.id.to_string(),
                leak: vec![1.0 - quantity.leak, 1.0],
                rows,
                effort: quantity.effort,
                staff: true,
                reading: true,
                coarse: false,
            });
        }
        Self::new(mechanisms, findings)
    }
}
