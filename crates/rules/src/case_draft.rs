//! A case that is being written: its values, its file, and the least change to a file that was
//! opened, so that comments and order of its author stay.

use crate::case_file::{Case, CaseScope, Entry};
use jarlight_model::{
    authored::{Kind, Node, parse, quoted},
    design::Alloy,
    diag::Source,
};
use std::{collections::BTreeMap, fmt::Write as _, ops::Range};

/// What is noted of one finding.
#[derive(Clone, Debug, PartialEq)]
pub enum Noted {
    /// Looked at.
    Seen(Entry),
    /// "I think I saw it": a likelihood for each grade.
    Perhaps(Vec<f64>),
}

impl Noted {
    /// The likelihoods of "I think I saw about this grade" of a finding with so many grades.
    ///
    /// # Source
    /// Estimate: four times as likely to say so at the grade itself or beside it as where there
    /// is nothing, twice as likely elsewhere.
    pub fn perhaps(grade: usize, grades: usize) -> Self {
        let likelihood = |g: usize| match g {
            0 => 0.25,
            g if g.abs_diff(grade) <= 1 => 1.0,
            _ => 0.5,
        };
        Self::Perhaps((0..grades).map(likelihood).collect())
    }

    /// The grade meant, for a picture; 0 when it is clean.
    pub fn grade(&self) -> usize {
        match self {
            Self::Seen(Entry::Grade(g) | Entry::AtLeast(g) | Entry::AtMost(g)) => *g,
            Self::Seen(Entry::NotInspected) => 0,
            Self::Perhaps(l) => {
                let most = l.iter().copied().fold(0.0, f64::max);
                // The middle of the likeliest stretch.
                let alike: Vec<usize> =
                    (0..l.len()).filter(|g| l.get(*g).is_some_and(|x| *x >= most)).collect();
                alike.get(alike.len() / 2).copied().unwrap_or(0)
            }
        }
    }
}

/// The values of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseDraft {
    /// Its title; empty for none.
    pub title: String,
    /// Remarks; empty for none.
    pub note: String,
    /// The design, by id.
    pub design: Option<String>,
    /// The type of the plates where it is not that of the design.
    pub alloy: Option<Alloy>,
    /// Whether the posts have a copper core, where that is not as in the design.
    pub copper_insert: Option<bool>,
    /// Months since installation.
    pub age_months: Option<f64>,
    /// On how much of the string the findings are.
    pub scope: CaseScope,
    /// Average temperature in °C.
    pub temperature: Option<f64>,
    /// Causes that were mended, with the months since.
    pub cured: BTreeMap<String, f64>,
    /// What is noted, by finding.
    pub noted: BTreeMap<String, Noted>,
}

impl CaseDraft {
    /// A case about a cell of a design, with nothing looked at.
    pub fn new(design: &str, age_months: f64) -> Self {
        Self {
            title: String::new(),
            note: String::new(),
            design: Some(design.to_owned()),
            alloy: None,
            copper_insert: None,
            age_months: Some(age_months),
            scope: CaseScope::Unknown,
            temperature: None,
            cured: BTreeMap::new(),
            noted: BTreeMap::new(),
        }
    }

    /// The values of a case that was read.
    pub fn from_case(case: &Case) -> Self {
        let mut noted: BTreeMap<String, Noted> =
            case.entries().map(|(id, entry)| (id.value.clone(), Noted::Seen(entry))).collect();
        let soft = case.soft().map(|(id, l)| (id.value.clone(), Noted::Perhaps(l.to_vec())));
        noted.extend(soft);
        Self {
            title: case.title.clone().unwrap_or_default(),
            note: case.note.clone().unwrap_or_default(),
            design: case.design.as_ref().map(|d| d.value.to_string()),
            alloy: case.alloy,
            copper_insert: case.copper_insert,
            age_months: case.age_months,
            scope: case.scope,
            temperature: case.temperature,
            cured: case.cured.iter().map(|(id, months)| (id.value.clone(), *months)).collect(),
            noted,
        }
    }

    /// A new file of the case.
    pub fn text(&self) -> String {
        let mut out = "Case(\n".to_owned();
        for (field, value) in self.fields() {
            if let Some(value) = value {
                let _ = writeln!(out, "    {field}: {value},");
            }
        }
        out += ")\n";
        out
    }

    /// The file of the case, made from an older file with the least change; what the author
    /// wrote beside the values stays.
    pub fn text_over(&self, old: &str) -> String {
        self.changed(old).unwrap_or_else(|| self.text())
    }

    /// The fields in the order of a new file, each with its value as text; none when left out.
    fn fields(&self) -> [(&'static str, Option<String>); 12] {
        let quoted = |text: &String| (!text.is_empty()).then(|| quoted(text));
        let map = |pairs: Vec<(String, String)>| (!pairs.is_empty()).then(|| map_text(&pairs));
        let cured = self.cured.iter().map(|(id, m)| (id.clone(), number(*m))).collect();
        [
            ("format", Some("1".to_owned())),
            ("title", quoted(&self.title)),
            ("note", quoted(&self.note)),
            ("design", self.design.as_ref().map(|d| format!("\"{d}\""))),
            ("alloy", self.alloy.map(|a| format!("{a:?}"))),
            ("copper_insert", self.copper_insert.map(|c| c.to_string())),
            ("age_months", self.age_months.map(number)),
            ("scope", Some(scope_word(self.scope).to_owned())),
            ("temperature", self.temperature.map(number)),
            ("cured", map(cured)),
            ("findings", Some(map_text(&self.seen()))),
            ("soft", map(self.soft())),
        ]
    }

    /// Findings that were looked at, with their entries as text.
    fn seen(&self) -> Vec<(String, String)> {
        self.noted
            .iter()
            .filter_map(|(id, noted)| match noted {
                Noted::Seen(entry) => Some((id.clone(), entry_text(*entry))),
                Noted::Perhaps(_) => None,
            })
            .collect()
    }

    fn soft(&self) -> Vec<(String, String)> {
        self.noted
            .iter()
            .filter_map(|(id, noted)| match noted {
                Noted::Perhaps(l) => {
                    let all: Vec<String> = l.iter().map(|x| number(*x)).collect();
                    Some((id.clone(), format!("[{}]", all.join(", "))))
                }
                Noted::Seen(_) => None,
            })
            .collect()
    }

    /// The old text with only what differs replaced; `None` when that is not possible.
    fn changed(&self, old: &str) -> Option<String> {
        let source = Source::new("case", old);
        let before = Self::from_case(&Case::read(&source).value?);
        let (root, _) = parse(&source);
        let Kind::Record(_, written) = &root.kind else { return None };
        let mut edits = Vec::new();
        let mut added = String::new();
        for ((field, new), (_, was)) in self.fields().into_iter().zip(before.fields()) {
            if new == was {
                continue;
            }
            let place = written.iter().find(|(name, _)| name.text == field);
            match (place, new) {
                (Some((_, node)), Some(_)) if matches!(node.kind, Kind::Map(_)) => {
                    let pairs = match field {
                        "findings" => self.seen(),
                        "soft" => self.soft(),
                        _ => self.cured.iter().map(|(id, m)| (id.clone(), number(*m))).collect(),
                    };
                    change_map(old, node, &pairs, &mut edits)?;
                }
                (Some((_, node)), Some(value)) => edits.push((node.at.clone(), value)),
                (Some((name, node)), None) => {
                    edits.push((with_comma(old, name.at.start..node.at.end), String::new()));
                }
                (None, Some(value)) => {
                    let _ = writeln!(added, "    {field}: {value},");
                }
                (None, None) => {}
            }
        }
        if !added.is_empty() {
            let last = written.last()?.1.at.end;
            let close = root.at.end.checked_sub(1)?;
            edits.push(insert(old, last, close, &added));
        }
        edits.sort_by_key(|(at, _)| at.start);
        let mut text = old.to_owned();
        for (at, new) in edits.into_iter().rev() {
            text.replace_range(at, &new);
        }
        // Whatever was in the way (a comment between value and comma): never a wrong file.
        let again = Case::read(&Source::new("case", &text)).value?;
        (Self::from_case(&again) == *self).then_some(text)
    }
}

/// Changes the pairs of a map to these, each in its place.
fn change_map(
    old: &str,
    node: &Node,
    pairs: &[(String, String)],
    edits: &mut Vec<(Range<usize>, String)>,
) -> Option<()> {
    let Kind::Map(written) = &node.kind else { return None };
    let key_of = |key: &Node| match &key.kind {
        Kind::Text(text) => Some(text.clone()),
        _ => None,
    };
    for (key, value) in written {
        let id = key_of(key)?;
        match pairs.iter().find(|(k, _)| *k == id) {
            // `Clean` and 0 say the same; the author's word stays.
            Some((_, new)) if same_entry(&old[value.at.clone()], new) => {}
            Some((_, new)) => edits.push((value.at.clone(), new.clone())),
            None => edits.push((with_comma(old, key.at.start..value.at.end), String::new())),
        }
    }
    let known: Vec<String> = written.iter().filter_map(|(key, _)| key_of(key)).collect();
    let mut added = String::new();
    for (id, value) in pairs.iter().filter(|(id, _)| !known.contains(id)) {
        let _ = writeln!(added, "        \"{id}\": {value},");
    }
    if !added.is_empty() {
        let close = node.at.end.checked_sub(1)?;
        match written.last() {
            Some((_, last)) => edits.push(insert(old, last.at.end, close, &added)),
            None => edits.push((node.at.clone(), map_text(pairs))),
        }
    }
    Some(())
}

fn same_entry(written: &str, new: &str) -> bool {
    let plain = |text: &str| match text {
        "Clean" | "Under" => "0".to_owned(),
        "Over" => "AtLeast(1)".to_owned(),
        other => other.split_whitespace().collect(),
    };
    plain(written) == plain(new)
}

/// Lines that come after the last value, which gets its comma.
fn insert(old: &str, last: usize, close: usize, added: &str) -> (Range<usize>, String) {
    let between = &old[last..close];
    // The comma stands before any comment, where there is one.
    match between.find(',').filter(|at| between[..*at].trim().is_empty()) {
        Some(at) => {
            let rest = &between[at + 1..];
            let line = rest.find('\n').map_or(rest.len(), |n| n + 1);
            let ends = rest[..line].ends_with('\n');
            let place = last + at + 1 + line;
            let head = if ends { "" } else { "\n" };
            (place..place, format!("{head}{added}"))
        }
        None => (last..last, format!(",\n{}", added.trim_end().trim_end_matches(','))),
    }
}

/// A stretch with the comma behind it, and with its whole line where nothing else is on it.
fn with_comma(old: &str, mut at: Range<usize>) -> Range<usize> {
    let rest = &old[at.end..];
    let gap = rest.len() - rest.trim_start().len();
    if rest[gap..].starts_with(',') {
        at.end += gap + 1;
    }
    let line = old[..at.start].rfind('\n').map_or(0, |n| n + 1);
    let end = old[at.end..].find('\n').map(|n| at.end + n + 1);
    if old[line..at.start].trim().is_empty()
        && let Some(end) = end
        && old[at.end..end].trim().is_empty()
    {
        return line..end;
    }
    // In the middle of a line: the space before goes too.
    let start = old[..at.start].trim_end_matches(' ').len();
    start..at.end
}

fn map_text(pairs: &[(String, String)]) -> String {
    if pairs.is_empty() {
        return "{}".to_owned();
    }
    let lines: String = pairs.iter().map(|(id, v)| format!("        \"{id}\": {v},\n")).collect();
    format!("{{\n{lines}    }}")
}

fn entry_text(entry: Entry) -> String {
    match entry {
        Entry::Grade(0) => "Clean".to_owned(),
        Entry::Grade(g) => g.to_string(),
        Entry::AtLeast(g) => format!("AtLeast({g})"),
        Entry::AtMost(g) => format!("AtMost({g})"),
        Entry::NotInspected => "NotInspected".to_owned(),
    }
}

const fn scope_word(scope: CaseScope) -> &'static str {
    match scope {
        CaseScope::Cell => "Cell",
        CaseScope::String => "String",
        CaseScope::Unknown => "Unknown",
    }
}

fn number(value: f64) -> String {
    format!("{value}")
}

#[cfg(test)]
mod tests {
    use super::*;

    const OLD: &str = r#"// What Learner 4 saw at Tarn Hollow.
Case(
    format: 1, title: "Cell 31", // the odd one
    design: "medium_pasted", age_months: 108,
    scope: String,
    findings: {
        "sediment_light": 3, // under the middle positives
        "gassing_heavy": 0, "moss_growth": Clean,
        "q_sg_low_string": Over,
    },
)
"#;

    fn read(text: &str) -> CaseDraft {
        CaseDraft::from_case(&Case::read(&Source::new("case", text)).into_result().unwrap().0)
    }

    #[test]
    fn a_new_file_reads_back_as_it_was() {
        let mut draft = CaseDraft::new("medium_pasted", 108.5);
        draft.title = "Quotes \" and \\ and\nlines".to_owned();
        draft.temperature = Some(27.5);
        draft.copper_insert = Some(false);
        draft.alloy = Some(Alloy::LeadCalcium);
        draft.scope = CaseScope::Cell;
        draft.cured.insert("m_overfill".to_owned(), 2.0);
        draft.noted.insert("sediment_light".to_owned(), Noted::Seen(Entry::AtLeast(3)));
        draft.noted.insert("moss_growth".to_owned(), Noted::Seen(Entry::Grade(0)));
        draft.noted.insert("gassing_heavy".to_owned(), Noted::Seen(Entry::NotInspected));
        draft.noted.insert("level_low".to_owned(), Noted::perhaps(3, 6));
        assert_eq!(read(&draft.text()), draft);
    }

    #[test]
    fn a_file_that_did_not_change_keeps_every_byte() {
        assert_eq!(read(OLD).text_over(OLD), OLD);
    }

    #[test]
    fn a_change_leaves_the_words_of_the_author() {
        let mut draft = read(OLD);
        draft.noted.insert("sediment_light".to_owned(), Noted::Seen(Entry::Grade(4)));
        draft.noted.insert("level_low".to_owned(), Noted::Seen(Entry::Grade(2)));
        draft.noted.insert("pos_plate_growth".to_owned(), Noted::perhaps(2, 6));
        draft.noted.remove("moss_growth");
        draft.temperature = Some(31.0);
        let new = draft.text_over(OLD);
        assert_eq!(read(&new), draft);
        for kept in [
            "// What Learner 4 saw at Tarn Hollow.\n",
            "title: \"Cell 31\", // the odd one\n",
            "\"sediment_light\": 4, // under the middle positives\n",
            "\"gassing_heavy\": 0,\n",
            "\"q_sg_low_string\": Over,\n        \"level_low\": 2,\n    },\n",
        ] {
            assert!(new.contains(kept), "{kept} is not in\n{new}");
        }
        // Back again: the old file, but for the fields that came and went.
        assert!(read(OLD).text_over(&new).contains("\"sediment_light\": 3, // under"));
    }

    /// Every pair of small files: going from one to the other gives the values of the other.
    #[test]
    fn any_change_gives_a_file_with_the_new_values() {
        let files = [
            OLD,
            "Case(format: 1, design: \"plante\", age_months: 9, findings: {})",
            "Case(format: 1, design: \"plante\", age_months: 9, findings: {\"level_low\": 2})",
            "Case(format: 1, alloy: Plante, age_months: 9.5, soft: {\"level_low\": [1, 0, 0, 0, 0, 1]}, findings: {\"level_high\": 1 /* x */ , })",
            "Case(\n  format: 1,\n  note: \"a\",\n  alloy: Tubular,\n  age_months: 3\n)\n// end\n",
            "Case(format: 1, alloy: Tubular, age_months: 3, cured: {\"m_overfill\": 2})",
        ];
        for old in files {
            for new in files {
                let draft = read(new);
                assert_eq!(read(&draft.text_over(old)), draft, "{old}\nto\n{new}");
            }
        }
    }
}
