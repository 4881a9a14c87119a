//! The scenarios that can be begun, and those that could not be read.

use jarlight_model::{
    catalogue::Catalogue,
    diag::{Checked, Diagnostic, Source},
};
use jarlight_scenario::Scenario;
use std::sync::Arc;

/// A scenario file.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Name of the file.
    pub file: String,
    /// The scenario; none when the file has errors.
    pub scenario: Option<Arc<Scenario>>,
    /// What was found while reading.
    pub diagnostics: Vec<Diagnostic>,
}

/// All scenario files that are known.
#[derive(Clone, Debug, Default)]
pub struct Library {
    /// In the order in which they were added.
    pub entries: Vec<Entry>,
}

impl Library {
    /// Reads a file into the library; one of the same name is replaced. Gives its number.
    pub fn add(&mut self, source: &Source, catalogue: &Catalogue) -> usize {
        let Checked { value, diagnostics } = Scenario::read(source, catalogue);
        let broken = diagnostics.iter().any(Diagnostic::is_error);
        let scenario = value.filter(|_| !broken).map(Arc::new);
        self.put(Entry { file: source.name().to_owned(), scenario, diagnostics })
    }

    /// Notes that a file could not be read at all.
    pub fn add_unreadable(&mut self, file: String, diagnostic: Diagnostic) -> usize {
        self.put(Entry { file, scenario: None, diagnostics: vec![diagnostic] })
    }

    /// Takes an entry in; one of the same name is replaced. Gives its number.
    pub fn put(&mut self, entry: Entry) -> usize {
        match self.entries.iter().position(|e| e.file == entry.file) {
            Some(i) => {
                self.entries[i] = entry;
                i
            }
            None => {
                self.entries.push(entry);
                self.entries.len() - 1
            }
        }
    }

    /// The scenario with this id and, if there is one, this text.
    pub fn find(&self, id: &str, hash: &str) -> Option<&Arc<Scenario>> {
        let mut with_id = self
            .entries
            .iter()
            .filter_map(|e| e.scenario.as_ref())
            .filter(|s| s.id().as_str() == id);
        with_id.find(|s| s.hash == hash)
    }
}
