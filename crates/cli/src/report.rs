//! What `check` found, as text for people, as JSON, or as SARIF 2.1.0 for editors and servers.

use crate::{args::FormatArg, out::Out};
use jarlight_model::{
    diag::{Code, Diagnostic, Level, Place},
    text::tr_count,
};
use serde_json::{Value, json};
use std::io;

/// Everything found, and how it ended.
pub struct Report<'a> {
    /// Number of files that were checked.
    pub files: usize,
    /// What was found, in the order of the files.
    pub found: &'a [Diagnostic],
    /// False when a file could not be read, so that the check is not complete.
    pub complete: bool,
}

impl Report<'_> {
    /// Number of errors and of warnings.
    pub fn counts(&self) -> (usize, usize) {
        let errors = self.found.iter().filter(|d| d.is_error()).count();
        (errors, self.found.len() - errors)
    }

    /// Writes the report as data.
    pub fn write(&self, format: FormatArg, out: &mut Out<'_>) -> io::Result<()> {
        match format {
            FormatArg::Text => self.text(out),
            FormatArg::Json => out.line(&format!("{:#}", self.json())),
            FormatArg::Sarif => out.line(&format!("{:#}", self.sarif())),
        }
    }

    fn text(&self, out: &mut Out<'_>) -> io::Result<()> {
        for d in self.found {
            out.line(&format!("{d}\n"))?;
            // One empty line between two diagnostics.
            out.data(b"\n")?;
        }
        let (errors, warnings) = self.counts();
        let summary = [("check-files", self.files), ("errors", errors), ("warnings", warnings)];
        out.line(&summary.map(|(id, n)| tr_count(id, n)).join(", "))
    }

    fn json(&self) -> Value {
        let (errors, warnings) = self.counts();
        let place = |p: &Place| {
            json!({
                "line": p.line,
                "column": p.col,
                "width": p.width,
                "from_byte": p.range.start,
                "to_byte": p.range.end,
                "excerpt": p.excerpt,
            })
        };
        let diagnostics = self.found.iter().map(|d| {
            json!({
                "code": d.code.as_str(),
                "level": level(d),
                "message": d.message,
                "help": d.help,
                "file": d.file,
                "place": d.place.as_ref().map(place),
            })
        });
        json!({
            "format": 1,
            "program": { "name": "jarlight", "version": env!("CARGO_PKG_VERSION") },
            "files": self.files,
            "errors": errors,
            "warnings": warnings,
            "complete": self.complete,
            "diagnostics": diagnostics.collect::<Vec<_>>(),
        })
    }

    fn sarif(&self) -> Value {
        let rules = Code::ALL.iter().map(|code| {
            let doc = code.doc();
            json!({
                "id": code.as_str(),
                "shortDescription": { "text": first_sentence(doc) },
                "fullDescription": { "text": doc },
                "help": { "text": doc },
            })
        });
        let results = self.found.iter().map(|d| {
            let index = Code::ALL.iter().position(|c| *c == d.code);
            let help = d.help.as_ref().map(|h| format!("\nHelp: {h}"));
            let mut physical = json!({ "artifactLocation": { "uri": uri(&d.file) } });
            if let Some(p) = &d.place {
                physical["region"] = json!({
                    "startLine": p.line,
                    "startColumn": p.col,
                    "endLine": p.line,
                    "endColumn": p.col + p.width,
                    "snippet": { "text": p.excerpt },
                });
            }
            json!({
                "ruleId": d.code.as_str(),
                "ruleIndex": index,
                "level": level(d),
                "message": { "text": format!("{}{}", d.message, help.unwrap_or_default()) },
                "locations": [{ "physicalLocation": physical }],
            })
        });
        json!({
            "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
            "version": "2.1.0",
            "runs": [{
                "tool": { "driver": {
                    "name": "jarlight",
                    "version": env!("CARGO_PKG_VERSION"),
                    "semanticVersion": env!("CARGO_PKG_VERSION"),
                    "rules": rules.collect::<Vec<_>>(),
                } },
                "columnKind": "unicodeCodePoints",
                "invocations": [{ "executionSuccessful": self.complete }],
                "results": results.collect::<Vec<_>>(),
            }],
        })
    }
}

const fn level(d: &Diagnostic) -> &'static str {
    match d.level {
        Level::Error => "error",
        Level::Warning => "warning",
    }
}

fn first_sentence(text: &str) -> &str {
    text.find(". ").map_or(text, |end| &text[..=end])
}

/// A path as a URI: relative where the path is, with `/` between folders, and everything that
/// means something in a URI written in hexadecimal.
fn uri(path: &str) -> String {
    let slashes = if cfg!(windows) { path.replace('\\', "/") } else { path.to_owned() };
    let mut out = match slashes.as_bytes() {
        [b'/', ..] => "file://".to_owned(),
        [drive, b':', ..] if cfg!(windows) && drive.is_ascii_alphabetic() => "file:///".to_owned(),
        _ => String::new(),
    };
    for byte in slashes.bytes() {
        if byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out += &format!("%{byte:02X}");
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_become_uris() {
        assert_eq!(uri("a/b c.ron"), "a/b%20c.ron");
        assert_eq!(uri("été:1#?.ron"), "%C3%A9t%C3%A9%3A1%23%3F.ron");
        if cfg!(unix) {
            assert_eq!(uri("/x/y.ron"), "file:///x/y.ron");
        }
    }

    #[test]
    fn a_sentence_ends_at_its_point() {
        assert_eq!(first_sentence("One. Two."), "One.");
        assert_eq!(first_sentence("Begin with `format: 1`"), "Begin with `format: 1`");
    }
}
