//! A scenario that has been read and checked, with the hash of its text.

use crate::{check, format};
use jarlight_model::{
    authored::{Kind, parse, read_root},
    catalogue::Catalogue,
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
    id::Slug,
};
use sha2::{Digest as _, Sha256};
use std::{fmt::Write as _, ops::Range};

/// A scenario file with everything checked that can be checked without a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// What the author wrote.
    pub file: format::Scenario,
    /// SHA-256 of the text, in hexadecimal: which wording an answer was given to.
    pub hash: String,
}

/// A place of a drawing that a scenario names, for the shells to look up in the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetUse {
    /// Name of the scene.
    pub scene: String,
    /// The place, such as `retainer_mat-3`, or a part when any of its kind will do.
    pub place: String,
    /// Where it stands in the file.
    pub at: Range<usize>,
}

/// True when the first word of a file says that it is a scenario.
pub fn is_kind(root: &str) -> bool {
    root == "Scenario"
}

impl Scenario {
    /// Reads a scenario file: form and meaning, everything found reported with its place.
    ///
    /// The value is there whenever the file is a scenario at all; what could not be read is
    /// missing from it, so only a value without errors may be played.
    pub fn read(source: &Source, catalogue: &Catalogue) -> Checked<Self> {
        let (root, mut found) = parse(source);
        if let Some(wrong) = wrong_kind(source, &root.kind, root.at.start) {
            found.push(wrong);
            return Checked { value: None, diagnostics: in_file_order(found) };
        }
        let read = read_root::<format::Scenario>(source, &root);
        found.extend(read.diagnostics);
        if let Some(file) = &read.value {
            found.extend(check::run(source, catalogue, file));
        }
        let hash = hash_of(source.text());
        Checked {
            value: read.value.map(|file| Self { file, hash }),
            diagnostics: in_file_order(found),
        }
    }

    /// Its id.
    pub fn id(&self) -> &Slug {
        &self.file.id.value
    }

    /// Its title.
    pub fn title(&self) -> &str {
        &self.file.title.value
    }

    /// Where and when it plays.
    pub fn setting(&self) -> &str {
        &self.file.setting
    }

    /// How many minutes it takes.
    pub fn minutes(&self) -> f64 {
        self.file.minutes.value
    }

    /// Its questions, in the order of the file.
    pub fn questions(&self) -> &[format::Question] {
        &self.file.questions.value.0
    }

    /// The scene of this name.
    pub fn scene(&self, name: &str) -> Option<&format::Scene> {
        self.file.scenes.get(name)
    }

    /// Every place that the file names and that a drawing must have.
    pub fn targets(&self) -> Vec<TargetUse> {
        let mut out = Vec::new();
        let mut add = |scene: &str, place: String, at: &Range<usize>| {
            out.push(TargetUse { scene: scene.to_owned(), place, at: at.clone() });
        };
        for (name, scene) in &self.file.scenes.entries {
            let placed = scene.conditions.iter().filter_map(|c| c.place.as_ref());
            for place in placed.chain(&scene.zoom) {
                add(&name.value, place.value.clone(), &place.at);
            }
        }
        for q in self.questions() {
            match &q.form.value {
                format::Form::Point { part, number, also } => {
                    let place = match number {
                        Some(n) => format!("{}-{}", part.value, n.value),
                        None => part.to_string(),
                    };
                    add(&q.scene, place, &part.at);
                    for part in also {
                        add(&q.scene, part.to_string(), &part.at);
                    }
                }
                format::Form::Name { target, .. } => {
                    add(&q.scene, target.value.clone(), &target.at);
                }
                _ => {}
            }
        }
        out
    }
}

fn wrong_kind(source: &Source, root: &Kind, start: usize) -> Option<Diagnostic> {
    let name = match root {
        Kind::Record(Some(name), _) | Kind::Tuple(Some(name), _) => name,
        Kind::Record(None, _) | Kind::Tuple(None, _) | Kind::Bad => return None,
        other => {
            let what = format!("expected Scenario( … ), met {}", other.words());
            let at = start..start + 1;
            return Some(Diagnostic::new(Code::UnknownKind, source, at, what));
        }
    };
    if is_kind(&name.text) {
        return None;
    }
    let what = format!("a scenario begins with Scenario(, not with `{}`", name.text);
    let d = Diagnostic::new(Code::UnknownKind, source, name.at.clone(), what);
    Some(d.nearest(&name.text, ["Scenario"]))
}

fn hash_of(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().fold(String::new(), |mut out, byte| {
        // Writing into a String cannot fail.
        let _ = write!(out, "{byte:02x}");
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4, the example "abc" of its appendix.
    #[test]
    fn the_hash_is_sha_256() {
        assert_eq!(
            hash_of("abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
