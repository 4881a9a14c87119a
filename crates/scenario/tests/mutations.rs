//! Files that were damaged at random never crash the reader, and places stay inside the file.

use jarlight_model::{catalogue::Catalogue, diag::Source, rng::Rng};
use jarlight_scenario::{Scenario, shipped};

/// Bits of the language, to make damage that still looks like a file.
const BITS: &[&str] = &[
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    ",",
    ":",
    "\"",
    "\\",
    "//",
    "/*",
    "é",
    "0",
    "-",
    "1e9",
    "inf",
    "None",
    "Some(1)",
    "normal",
    "\"normal\"",
    "Point",
    "Order(steps: [])",
    "NormalOrNot",
    "()",
    "[[[[",
    "severity: 7",
    "right: \"x\"",
    "scene: \"b\"",
    "format: 2",
    "(0, 0)",
    "\n",
];

/// A copy with one to four pieces cut out, doubled, moved or replaced.
fn damaged(text: &str, rng: &mut Rng) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for _ in 0..=rng.below(3) {
        let at = rng.below(chars.len() + 1);
        let end = (at + rng.below(24)).min(chars.len());
        match rng.below(4) {
            0 => drop(chars.drain(at..end)),
            1 => {
                let piece = chars[at..end].to_vec();
                let to = rng.below(chars.len() + 1);
                chars.splice(to..to, piece);
            }
            2 => chars.truncate(at.max(40)),
            _ => {
                let bit = BITS[rng.below(BITS.len())].chars();
                chars.splice(at..end.min(at + rng.below(3)), bit);
            }
        }
    }
    chars.into_iter().collect()
}

#[test]
fn damaged_files_never_crash_and_every_place_lies_in_the_file() {
    let catalogue = Catalogue::builtin();
    let files = shipped();
    let mut rng = Rng::new(20_260_728);
    let mut faulty = 0;
    for round in 0..10_000 {
        let whole = files[round % files.len()].text();
        // Short files, so that many rounds take little time.
        let end = whole.char_indices().map(|(i, _)| i).nth(900 + rng.below(2500));
        let text = damaged(&whole[..end.unwrap_or(whole.len())], &mut rng);
        let source = Source::new("m.scenario.ron", &text);
        let read = Scenario::read(&source, catalogue);
        for d in &read.diagnostics {
            let p = d.place.as_ref().unwrap();
            assert!(p.range.start <= p.range.end && p.range.end <= source.text().len(), "{d}");
            assert!(source.text().get(p.range.clone()).is_some(), "{d}");
            assert!(!d.to_string().is_empty());
        }
        faulty += usize::from(!read.diagnostics.is_empty());
    }
    assert!(faulty > 9_500, "only {faulty} of 10000 files were faulty");
}
