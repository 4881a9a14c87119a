//! The case that is reasoned about: what is noted, what the rules say, its file, and undo.

use crate::services::{Answer, Reasoned, Refusal};
use jarlight_model::{
    catalogue::Catalogue,
    diag::{Diagnostic, Source},
};
use jarlight_rules::{Case, CaseDraft, Cell, Entry, Network, Noted};
use std::{collections::BTreeMap, path::PathBuf, sync::Arc};

/// At most so many steps can be undone.
const MOST_STEPS: usize = 200;

/// What was asked for while changes are not saved.
#[derive(Clone, Debug)]
pub enum Pending {
    /// An empty case.
    New,
    /// A file that was read.
    Open(Source),
}

/// A save on its way to the disk.
#[derive(Clone, Debug)]
struct Saving {
    path: PathBuf,
    draft: CaseDraft,
    text: String,
}

/// The open case.
pub struct Inquiry {
    /// What is noted.
    pub draft: CaseDraft,
    /// What is tried without being noted; none stands for "as if not looked at".
    pub what_if: BTreeMap<String, Option<Noted>>,
    /// The file, where there is one.
    pub file: Option<PathBuf>,
    /// What was found while the last file was read, with its name.
    pub found: Option<(String, Vec<Diagnostic>)>,
    /// The newest ranking.
    pub answer: Option<Arc<Answer>>,
    /// The newest answer with everything told; it may be older than the ranking.
    pub told: Option<Arc<Answer>>,
    /// The newest ranking without anything tried.
    pub base: Option<Arc<Answer>>,
    /// Why there is no answer.
    pub refused: Option<Refusal>,
    /// What waits until it is settled whether changes are kept.
    pub pending: Option<Pending>,
    saved: CaseDraft,
    // The text of the file, which is changed as little as possible.
    text: Option<String>,
    saving: Option<Saving>,
    past: Vec<CaseDraft>,
    future: Vec<CaseDraft>,
    // What moves in small steps is undone in one.
    moving: Option<&'static str>,
    asked: Option<CaseDraft>,
    ticket: u64,
}

/// A case of the usual cell.
fn blank(catalogue: &Catalogue) -> CaseDraft {
    let usual = catalogue.designs.keys().find(|id| id.as_str() == "medium_pasted");
    let first = usual.or_else(|| catalogue.designs.keys().next());
    let mut draft = CaseDraft::new("", 108.0);
    draft.design = first.map(ToString::to_string);
    draft
}

impl Inquiry {
    /// A case with nothing noted.
    pub fn new(catalogue: &Catalogue) -> Self {
        let draft = blank(catalogue);
        Self {
            saved: draft.clone(),
            draft,
            what_if: BTreeMap::new(),
            file: None,
            found: None,
            answer: None,
            told: None,
            base: None,
            refused: None,
            pending: None,
            text: None,
            saving: None,
            past: Vec::new(),
            future: Vec::new(),
            moving: None,
            asked: None,
            ticket: 0,
        }
    }

    /// Whether something would be lost.
    pub fn is_changed(&self) -> bool {
        self.draft != self.saved
    }

    /// What is noted together with what is tried.
    pub fn effective(&self) -> CaseDraft {
        let mut draft = self.draft.clone();
        for (id, noted) in &self.what_if {
            match noted {
                Some(noted) => draft.noted.insert(id.clone(), noted.clone()),
                None => draft.noted.remove(id),
            };
        }
        draft
    }

    /// What is noted, or tried, of a finding.
    pub fn noted(&self, id: &str) -> Option<&Noted> {
        match self.what_if.get(id) {
            Some(tried) => tried.as_ref(),
            None => self.draft.noted.get(id).filter(|n| **n != Noted::Seen(Entry::NotInspected)),
        }
    }

    /// Notes a finding, or that it was not looked at.
    pub fn note(&mut self, id: &str, noted: Option<Noted>) {
        self.change(None, |draft| {
            match noted {
                Some(noted) => draft.noted.insert(id.to_owned(), noted),
                None => draft.noted.remove(id),
            };
        });
    }

    /// Tries a finding without noting it; trying what is noted anyway stops trying it.
    pub fn try_out(&mut self, id: &str, noted: Option<Noted>) {
        if self.draft.noted.get(id) == noted.as_ref() {
            self.what_if.remove(id);
        } else {
            self.what_if.insert(id.to_owned(), noted);
        }
    }

    /// Notes what was tried.
    pub fn keep_tried(&mut self) {
        let draft = self.effective();
        self.change(None, |d| *d = draft);
    }

    /// Changes the case so that it can be undone; small steps of one `moving` thing are one.
    pub fn change(&mut self, moving: Option<&'static str>, how: impl FnOnce(&mut CaseDraft)) {
        let mut draft = self.draft.clone();
        how(&mut draft);
        if draft == self.draft {
            return;
        }
        if moving.is_none() || moving != self.moving {
            self.past.push(self.draft.clone());
            if self.past.len() > MOST_STEPS {
                self.past.remove(0);
            }
        }
        self.moving = moving;
        self.future.clear();
        self.draft = draft;
        self.what_if.clear();
    }

    /// Whether there is something to undo.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty() || !self.what_if.is_empty()
    }

    /// Whether there is something to do again.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }

    /// Takes the last change back; what is only tried goes first.
    pub fn undo(&mut self) {
        self.moving = None;
        if !self.what_if.is_empty() {
            self.what_if.clear();
        } else if let Some(before) = self.past.pop() {
            self.future.push(std::mem::replace(&mut self.draft, before));
        }
    }

    /// Does again what was taken back.
    pub fn redo(&mut self) {
        self.moving = None;
        if let Some(after) = self.future.pop() {
            self.what_if.clear();
            self.past.push(std::mem::replace(&mut self.draft, after));
        }
    }

    /// A new question for the rules, where what is noted or tried has changed.
    pub fn question(&mut self) -> Option<(u64, String)> {
        let draft = self.effective();
        if self.asked.as_ref() == Some(&draft) {
            return None;
        }
        self.ticket += 1;
        let text = draft.text();
        self.asked = Some(draft);
        Some((self.ticket, text))
    }

    /// Whether the newest question is still open.
    pub fn is_waiting(&self) -> bool {
        let told = self.told.as_ref().is_some_and(|a| a.ticket == self.ticket);
        self.ticket > 0 && !told && self.refused.is_none()
    }

    /// Takes in an answer; those to older questions are dropped.
    pub fn take_in(&mut self, reasoned: Reasoned) {
        match reasoned {
            Reasoned::Answer(answer) if answer.ticket == self.ticket => {
                self.refused = None;
                if self.what_if.is_empty() {
                    self.base = Some(answer.clone());
                }
                if answer.told.is_some() {
                    self.told = Some(answer.clone());
                }
                self.answer = Some(answer);
            }
            Reasoned::Refused(ticket, why) if ticket == self.ticket => self.refused = Some(why),
            _ => {}
        }
    }

    /// Begins an empty case.
    pub fn clear(&mut self, catalogue: &Catalogue) {
        let ticket = self.ticket;
        *self = Self { ticket, ..Self::new(catalogue) };
    }

    /// Opens a file that was read; one with errors is told and leaves what is open.
    pub fn open(&mut self, catalogue: &Catalogue, source: &Source) -> bool {
        let (case, found) = read_case(catalogue, source);
        let name = source.name().to_owned();
        let Some(case) = case.filter(|_| !found.iter().any(Diagnostic::is_error)) else {
            self.found = Some((name, found));
            return false;
        };
        self.clear(catalogue);
        self.draft = CaseDraft::from_case(&case);
        self.saved = self.draft.clone();
        self.text = Some(source.text().to_owned());
        self.file = Some(PathBuf::from(&name));
        self.found = (!found.is_empty()).then_some((name, found));
        true
    }

    /// Takes up what was not saved when the window was closed the last time.
    pub fn take_up(&mut self, catalogue: &Catalogue, text: &str, file: Option<PathBuf>) {
        let (case, found) = read_case(catalogue, &Source::new("case", text));
        if let Some(case) = case.filter(|_| !found.iter().any(Diagnostic::is_error)) {
            self.clear(catalogue);
            self.draft = CaseDraft::from_case(&case);
            self.text = Some(text.to_owned());
            self.file = file;
        }
    }

    /// The file as it would be saved now.
    pub fn file_text(&self) -> String {
        match &self.text {
            Some(text) => self.draft.text_over(text),
            None => self.draft.text(),
        }
    }

    /// Notes that a save is on its way, and gives the text.
    pub fn begin_save(&mut self, path: PathBuf) -> String {
        let text = self.file_text();
        self.saving = Some(Saving { path, draft: self.draft.clone(), text: text.clone() });
        text
    }

    /// The file is on the disk, or not; true when what was saved is what is open.
    pub fn end_save(&mut self, written: bool) -> bool {
        let Some(saving) = self.saving.take().filter(|_| written) else { return false };
        self.saved = saving.draft;
        self.text = Some(saving.text);
        self.file = Some(saving.path);
        !self.is_changed()
    }
}

/// Reads a case with all that is wrong with it for the catalogue.
fn read_case(catalogue: &Catalogue, source: &Source) -> (Option<Case>, Vec<Diagnostic>) {
    let read = Case::read(source);
    let mut found = read.diagnostics;
    if let Some(case) = &read.value {
        match Cell::from_case(case, catalogue) {
            Err(more) => found.extend(more),
            Ok(cell) => {
                if let Ok(network) = Network::from_catalogue(catalogue, &cell)
                    && let Err(more) = case.evidence(&network)
                {
                    found.extend(more);
                }
            }
        }
    }
    (read.value, jarlight_model::diag::in_file_order(found))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inquiry() -> Inquiry {
        Inquiry::new(Catalogue::builtin())
    }

    const SEEN: Noted = Noted::Seen(Entry::Grade(3));

    #[test]
    fn changes_are_undone_and_done_again() {
        let mut i = inquiry();
        i.note("level_low", Some(SEEN));
        i.note("moss_growth", Some(SEEN));
        for months in [109.0, 110.0, 111.0] {
            i.change(Some("age"), |d| d.age_months = Some(months));
        }
        i.undo();
        assert_eq!(i.draft.age_months, Some(108.0), "a slide is one step");
        i.undo();
        assert!(i.noted("moss_growth").is_none() && i.noted("level_low").is_some());
        i.redo();
        assert!(i.noted("moss_growth").is_some());
        i.undo();
        i.undo();
        assert!(!i.is_changed() && !i.can_undo());
    }

    #[test]
    fn what_is_tried_is_not_noted() {
        let mut i = inquiry();
        i.note("level_low", Some(SEEN));
        i.try_out("level_low", None);
        i.try_out("moss_growth", Some(SEEN));
        assert!(i.noted("level_low").is_none() && i.noted("moss_growth").is_some());
        assert!(i.draft.noted.contains_key("level_low"));
        assert!(!i.draft.noted.contains_key("moss_growth"));
        i.try_out("level_low", Some(SEEN));
        assert_eq!(i.what_if.len(), 1, "trying what is noted stops trying it");
        i.undo();
        assert!(i.what_if.is_empty() && i.draft.noted.contains_key("level_low"));
        i.try_out("moss_growth", Some(SEEN));
        i.keep_tried();
        assert!(i.what_if.is_empty() && i.draft.noted.contains_key("moss_growth"));
    }

    #[test]
    fn only_the_newest_question_is_open() {
        let mut i = inquiry();
        let (first, _) = i.question().unwrap();
        assert!(i.question().is_none(), "nothing changed");
        i.note("level_low", Some(SEEN));
        let (second, text) = i.question().unwrap();
        assert!(second > first && text.contains("level_low"));
        i.take_in(Reasoned::Refused(first, Refusal::Method("old".to_owned())));
        assert!(i.refused.is_none() && i.is_waiting());
        i.take_in(Reasoned::Refused(second, Refusal::Method("new".to_owned())));
        assert!(i.refused.is_some() && !i.is_waiting());
    }

    #[test]
    fn a_file_with_errors_leaves_what_is_open() {
        let mut i = inquiry();
        i.note("level_low", Some(SEEN));
        let bad = "Case(format: 1, design: \"medium_pastd\", age_months: 9, cured: {\"m_x\": 1})";
        assert!(!i.open(Catalogue::builtin(), &Source::new("bad.ron", bad)));
        let (name, found) = i.found.as_ref().unwrap();
        assert_eq!((name.as_str(), found.len()), ("bad.ron", 2), "{found:?}");
        assert!(i.noted("level_low").is_some());
    }

    #[test]
    fn a_saved_file_keeps_the_words_of_its_author() {
        let mut i = inquiry();
        let text = "// Ours.\nCase(format: 1, design: \"medium_pasted\", age_months: 9,\n    \
                    findings: {\"level_low\": 2}, // twice\n)\n";
        assert!(i.open(Catalogue::builtin(), &Source::new("a.case.ron", text)));
        assert!(!i.is_changed() && i.file_text() == text);
        i.note("level_low", Some(SEEN));
        assert!(i.is_changed());
        let new = i.begin_save(PathBuf::from("b.case.ron"));
        assert_eq!(new, text.replace(": 2}", ": 3}"));
        i.note("moss_growth", Some(SEEN));
        assert!(!i.end_save(true), "a change while saving is not saved");
        assert_eq!(i.file, Some(PathBuf::from("b.case.ron")));
        i.begin_save(PathBuf::from("c.case.ron"));
        assert!(!i.end_save(false) && i.is_changed());
    }
}
