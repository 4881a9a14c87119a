//! A rules file: a whole network written by an instructor, checked with every fault in its place.

use crate::{
    keyed::{Cumulative, Each, Keyed, Probability},
    network::{Bin, Finding, Mechanism, Network, NetworkError, ROUNDING, Row, circles},
};
use jarlight_model::{
    authored::{Authored, Field, Node, Reader, Shape, Spot, read_file},
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
    id::Slug,
};
use std::{collections::BTreeMap, ops::Range};

/// A rules file that was read without errors.
#[derive(Clone, Debug)]
pub struct Rules {
    /// Its title, if it has one.
    pub title: Option<String>,
    /// Names of causes and findings, where the file gives them.
    pub names: BTreeMap<String, String>,
    mechanisms: Vec<Mechanism>,
    findings: Vec<Finding>,
}

impl Rules {
    /// Reads and checks a rules file; warnings leave it usable.
    pub fn read(source: &Source) -> Checked<Self> {
        let mut file = read_file::<Draft>(source);
        if let Some(draft) = &file.value {
            let mut check = Check { source, draft, found: Vec::new() };
            check.all();
            file.diagnostics.append(&mut check.found);
        }
        let diagnostics = in_file_order(file.diagnostics);
        let sound = !diagnostics.iter().any(Diagnostic::is_error);
        let value = file.value.filter(|_| sound).map(|d| d.finish());
        Checked { value, diagnostics }
    }

    /// What such a file looks like.
    pub fn shape() -> Shape {
        Draft::shape()
    }

    /// The network of the file.
    pub fn network(&self) -> Result<Network, NetworkError> {
        Network::new(self.mechanisms.clone(), self.findings.clone())
    }
}

/// The file as it stands; what could not be read is `None`, so that the rest is still checked.
#[derive(Debug)]
struct Draft {
    format: Option<Spot<u32>>,
    title: Option<String>,
    grades: Option<Spot<usize>>,
    mechanisms: Vec<DraftMechanism>,
    findings: Vec<DraftFinding>,
}

#[derive(Debug)]
struct DraftMechanism {
    id: Option<Spot<Slug>>,
    name: Option<String>,
    bins: Option<Vec<DraftBin>>,
    parents: Keyed<Spot<f64>>,
}

#[derive(Debug)]
struct DraftBin {
    at: Range<usize>,
    from: Option<Spot<f64>>,
    to: Option<Spot<f64>>,
    prior: Option<f64>,
}

#[derive(Debug)]
struct DraftFinding {
    id: Option<Spot<Slug>>,
    name: Option<String>,
    leak: Option<Spot<Cumulative>>,
    rows: Option<Keyed<Spot<Rows>>>,
    effort: f64,
    staff: bool,
}

/// The rows of one cause; one that could not be read is `None`.
#[derive(Debug)]
struct Rows(Vec<Option<Spot<Cumulative>>>);

impl Authored for Rows {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let jarlight_model::authored::Kind::List(items) = &node.kind else {
            cx.mismatch(node, "a list of cumulative rows, one for each bin");
            return None;
        };
        Some(Self(items.iter().map(|item| Spot::read(item, cx)).collect()))
    }

    fn shape() -> Shape {
        Shape::List(Cumulative::shape)
    }
}

impl Authored for Draft {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let known = ["format", "title", "grades", "mechanisms", "findings"];
        let fields = cx.fields(node, "Rules", &known)?;
        Some(Self {
            format: cx.needed(&fields, "format"),
            title: cx.optional(&fields, "title", || None).flatten(),
            grades: cx.optional(&fields, "grades", || None).flatten(),
            mechanisms: cx.needed::<Each<_>>(&fields, "mechanisms").map_or(vec![], |e| e.0),
            findings: cx.needed::<Each<_>>(&fields, "findings").map_or(vec![], |e| e.0),
        })
    }

    fn shape() -> Shape {
        Shape::Record {
            name: "Rules",
            doc: "",
            fields: vec![
                Field::new("format", true, u32::shape),
                Field::new("title", false, String::shape),
                Field::new("grades", false, usize::shape),
                Field::new("mechanisms", true, Vec::<DraftMechanism>::shape),
                Field::new("findings", true, Vec::<DraftFinding>::shape),
            ],
        }
    }
}

impl Authored for DraftMechanism {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let fields = cx.fields(node, "Mechanism", &["id", "name", "bins", "parents"])?;
        Some(Self {
            id: cx.needed(&fields, "id"),
            name: cx.optional(&fields, "name", || None).flatten(),
            bins: cx.needed::<Each<_>>(&fields, "bins").map(|e| e.0),
            parents: cx.optional(&fields, "parents", Keyed::default).unwrap_or_default(),
        })
    }

    fn shape() -> Shape {
        Shape::Record {
            name: "Mechanism",
            doc: "",
            fields: vec![
                Field::new("id", true, Slug::shape),
                Field::new("name", false, String::shape),
                Field::new("bins", true, Vec::<DraftBin>::shape),
                Field::new("parents", false, Keyed::<f64>::shape),
            ],
        }
    }
}

impl Authored for DraftBin {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let fields = cx.fields(node, "Bin", &["from", "to", "prior"])?;
        Some(Self {
            at: node.at.clone(),
            from: cx.needed(&fields, "from"),
            to: cx.needed(&fields, "to"),
            prior: cx.needed::<Probability>(&fields, "prior").map(|p| p.0),
        })
    }

    fn shape() -> Shape {
        Shape::Record {
            name: "Bin",
            doc: "",
            fields: vec![
                Field::new("from", true, f64::shape),
                Field::new("to", true, f64::shape),
                Field::new("prior", true, f64::shape),
            ],
        }
    }
}

impl Authored for DraftFinding {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let known = ["id", "name", "leak", "rows", "effort", "staff"];
        let fields = cx.fields(node, "Finding", &known)?;
        let effort: Spot<f64> = cx
            .optional(&fields, "effort", || Spot { value: 1.0, at: 0..0 })
            .unwrap_or(Spot { value: 1.0, at: 0..0 });
        if effort.value <= 0.0 {
            let what = format!("the effort of a look must be over 0, met {}", effort.value);
            cx.error(Code::OutOfRange, effort.at.clone(), what);
        }
        Some(Self {
            id: cx.needed(&fields, "id"),
            name: cx.optional(&fields, "name", || None).flatten(),
            leak: cx.needed(&fields, "leak"),
            rows: cx.needed(&fields, "rows"),
            effort: effort.value,
            staff: cx.optional(&fields, "staff", || false).unwrap_or(false),
        })
    }

    fn shape() -> Shape {
        Shape::Record {
            name: "Finding",
            doc: "",
            fields: vec![
                Field::new("id", true, Slug::shape),
                Field::new("name", false, String::shape),
                Field::new("leak", true, Cumulative::shape),
                Field::new("rows", true, Keyed::<Rows>::shape),
                Field::new("effort", false, f64::shape),
                Field::new("staff", false, bool::shape),
            ],
        }
    }
}

impl Draft {
    fn finish(self) -> Rules {
        let mut names = BTreeMap::new();
        let ids: Vec<String> = self
            .mechanisms
            .iter()
            .map(|m| m.id.as_ref().map_or(String::new(), |id| id.to_string()))
            .collect();
        let place = |id: &str| ids.iter().position(|x| x == id);
        let mut note = |id: &Option<Spot<Slug>>, name: &Option<String>| {
            let id = id.as_ref().map_or(String::new(), |id| id.to_string());
            if let Some(name) = name {
                names.insert(id.clone(), name.clone());
            }
            id
        };
        let mechanisms = self
            .mechanisms
            .iter()
            .map(|m| Mechanism {
                id: note(&m.id, &m.name),
                bins: m.bins.iter().flatten().filter_map(DraftBin::finish).collect(),
                parents: m
                    .parents
                    .iter()
                    .filter_map(|(k, factor)| Some((place(&k.value)?, factor.value)))
                    .collect(),
                since_installation: false,
            })
            .collect();
        let findings = self
            .findings
            .iter()
            .map(|f| Finding {
                id: note(&f.id, &f.name),
                leak: f.leak.as_ref().map_or(vec![], |l| l.value.0.clone()),
                rows: f
                    .rows
                    .iter()
                    .flat_map(Keyed::iter)
                    .filter_map(|(k, rows)| {
                        let bins =
                            rows.value.0.iter().flatten().map(|r| r.value.0.clone()).collect();
                        Some(Row { mechanism: place(&k.value)?, bins })
                    })
                    .collect(),
                effort: f.effort,
                staff: f.staff,
                reading: false,
                coarse: false,
            })
            .collect();
        Rules { title: self.title, names, mechanisms, findings }
    }
}

impl DraftBin {
    fn finish(&self) -> Option<Bin> {
        Some(Bin {
            from: self.from.as_ref()?.value,
            to: self.to.as_ref()?.value,
            prior: self.prior?,
        })
    }
}

struct Check<'s> {
    source: &'s Source,
    draft: &'s Draft,
    found: Vec<Diagnostic>,
}

impl Check<'_> {
    fn error(&mut self, code: Code, at: &Range<usize>, what: impl Into<String>) {
        self.found.push(Diagnostic::new(code, self.source, at.clone(), what));
    }

    fn unknown(&mut self, at: &Range<usize>, word: &str) {
        let what = format!("no cause has the id `{word}`");
        let known = self.draft.mechanisms.iter().filter_map(|m| m.id.as_ref());
        let d = Diagnostic::new(Code::UnknownMechanism, self.source, at.clone(), what)
            .nearest(word, known.map(|id| id.as_str()));
        self.found.push(d);
    }

    fn all(&mut self) {
        let draft = self.draft;
        if let Some(format) = &draft.format
            && format.value != 1
        {
            self.found.push(jarlight_model::design::unknown_format(self.source, format));
        }
        self.repeated("cause", draft.mechanisms.iter().map(|m| &m.id).collect());
        self.repeated("finding", draft.findings.iter().map(|f| &f.id).collect());
        for m in &draft.mechanisms {
            self.mechanism(m);
        }
        for f in &draft.findings {
            self.finding(f);
        }
        self.circles();
        self.unused();
    }

    fn repeated(&mut self, kind: &str, ids: Vec<&Option<Spot<Slug>>>) {
        for (i, id) in ids.iter().enumerate() {
            let Some(id) = id else { continue };
            let first = ids[..i].iter().copied().flatten().find(|other| other.value == id.value);
            if let Some(first) = first {
                let what = format!("another {kind} has the id `{}` already", id.value);
                let line = self.source.line_col(first.at.start).0;
                let d = Diagnostic::new(Code::RepeatedId, self.source, id.at.clone(), what)
                    .help(format!("the first stands in line {line}"));
                self.found.push(d);
            }
        }
    }

    fn mechanism(&mut self, m: &DraftMechanism) {
        if let Some(bins) = &m.bins {
            if bins.is_empty()
                && let Some(id) = &m.id
            {
                self.error(Code::Empty, &id.at, format!("`{}` has no onset bin", id.value));
            }
            let mut last = 0.0;
            for bin in bins {
                if let (Some(from), Some(to)) = (&bin.from, &bin.to) {
                    if from.value < 0.0 {
                        let what = format!("months ago are not negative, met {}", from.value);
                        self.error(Code::OutOfRange, &from.at, what);
                    } else if to.value <= from.value {
                        let what = format!(
                            "a bin ends later than it begins, met {} to {}",
                            from.value, to.value
                        );
                        self.error(Code::OutOfRange, &to.at, what);
                    } else if from.value < last {
                        let what = format!(
                            "the bin begins at {}, before the one above ends at {last}",
                            from.value
                        );
                        self.error(Code::OutOfRange, &from.at, what);
                    }
                    last = f64::max(last, to.value);
                }
            }
            let sum: f64 = bins.iter().filter_map(|b| b.prior).sum();
            if sum > 1.0 + ROUNDING
                && let Some(bin) = bins.last()
            {
                let what = format!("the priors of the bins add up to {sum}, which is over 1");
                self.error(Code::OutOfRange, &bin.at, what);
            }
        }
        for (key, factor) in m.parents.iter() {
            if factor.value <= 0.0 {
                let what = format!("a factor must be over 0, met {}", factor.value);
                self.error(Code::OutOfRange, &factor.at, what);
            }
            if self.mechanism_of(&key.value).is_none() {
                self.unknown(&key.at, &key.value);
            }
        }
    }

    fn mechanism_of(&self, id: &str) -> Option<&DraftMechanism> {
        let own = |m: &&DraftMechanism| m.id.as_ref().is_some_and(|x| x.as_str() == id);
        self.draft.mechanisms.iter().find(own)
    }

    fn finding(&mut self, f: &DraftFinding) {
        let grades = f.leak.as_ref().map(|l| l.value.0.len());
        if let (Some(leak), Some(wanted)) = (&f.leak, &self.draft.grades)
            && leak.value.0.len() != wanted.value
        {
            let what = format!(
                "the file says {} grades, so a row has as many numbers; met {}",
                wanted.value,
                leak.value.0.len()
            );
            self.error(Code::WrongType, &leak.at, what);
        }
        let Some(rows) = &f.rows else { return };
        if rows.0.is_empty()
            && let Some(id) = &f.id
        {
            let what = format!("no cause produces `{}`", id.value);
            self.error(Code::NoCause, &id.at, what);
        }
        for (key, rows) in rows.iter() {
            let bins = match self.mechanism_of(&key.value) {
                Some(m) => m.bins.as_ref().map(Vec::len),
                None => {
                    self.unknown(&key.at, &key.value);
                    None
                }
            };
            if let Some(bins) = bins
                && bins != rows.value.0.len()
            {
                let what = format!(
                    "`{}` has {bins} onset bins, so it needs as many rows; met {}",
                    key.value,
                    rows.value.0.len()
                );
                self.error(Code::WrongType, &rows.at, what);
            }
            for row in rows.value.0.iter().flatten() {
                if grades.is_some_and(|n| n != row.value.0.len()) {
                    let what = format!(
                        "the leak has {} numbers, this row has {}",
                        grades.unwrap_or(0),
                        row.value.0.len()
                    );
                    self.error(Code::WrongType, &row.at, what);
                }
            }
            self.older(&key.value, &rows.value);
        }
    }

    /// Warns where a later bin makes a worse grade less likely.
    fn older(&mut self, cause: &str, rows: &Rows) {
        for pair in rows.0.windows(2) {
            let (Some(young), Some(old)) = (&pair[0], &pair[1]) else { continue };
            if young.value.0.len() != old.value.0.len() {
                continue;
            }
            let rises =
                (0..old.value.0.len()).find(|&g| old.value.0[g] > young.value.0[g] + ROUNDING);
            if let Some(g) = rises {
                let what = format!(
                    "an older onset of `{cause}` makes a grade over {g} less likely ({} against {})",
                    jarlight_model::unit::trimmed(1.0 - old.value.0[g], 6),
                    jarlight_model::unit::trimmed(1.0 - young.value.0[g], 6)
                );
                let d = Diagnostic::new(Code::OlderGetsBetter, self.source, old.at.clone(), what);
                self.found.push(d.warning());
            }
        }
    }

    fn circles(&mut self) {
        let mut parents: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for m in &self.draft.mechanisms {
            let Some(id) = &m.id else { continue };
            parents
                .entry(id.to_string())
                .or_default()
                .extend(m.parents.0.iter().map(|(k, _)| k.value.clone()));
        }
        let circle = circles(&parents);
        for m in &self.draft.mechanisms {
            let Some(id) = &m.id else { continue };
            if !circle.iter().any(|c| c == id.as_str()) {
                continue;
            }
            let back = m.parents.0.iter().find(|(k, _)| circle.contains(&k.value));
            if let Some((key, _)) = back {
                let what = format!(
                    "`{}` and `{}` lie on one circle of causes that make each other likelier",
                    id.value, key.value
                );
                self.error(Code::Cycle, &key.at, what);
            }
        }
    }

    /// Causes that no finding speaks for.
    fn unused(&mut self) {
        // A finding whose rows could not be read may have spoken for any cause.
        if self.draft.findings.iter().any(|f| f.rows.is_none()) {
            return;
        }
        for m in &self.draft.mechanisms {
            let Some(id) = &m.id else { continue };
            let named = self.draft.findings.iter().flat_map(|f| &f.rows).flat_map(|r| &r.0);
            if !named.into_iter().any(|(k, _)| k.value == id.as_str()) {
                let what = format!("no finding speaks for `{}`", id.value);
                self.error(Code::NoFinding, &id.at, what);
            }
        }
    }
}
