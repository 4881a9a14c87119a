//! Each file of `tests/fixtures/bad` has one fault; beside it stands what must be found.
//!
//! The kind of a file is told by its first word, as `jarlight check` tells it.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use jarlight_model::{
    catalogue::{Catalogue, builtin_designs, builtin_sources},
    diag::{Diagnostic, Source},
};
use jarlight_rules::{Case, Cell, Network, Rules};
use jarlight_scenario::Scenario;
use std::{fs, path::Path};

/// Everything found in a file, whatever its kind.
fn found(name: &str, bytes: &[u8]) -> Vec<Diagnostic> {
    let source = match Source::from_bytes(name, bytes) {
        Ok(source) => source,
        Err(d) => return vec![d],
    };
    let catalogue = Catalogue::builtin();
    let word: String = source
        .text()
        .lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .flat_map(str::chars)
        .take_while(|c| *c != '(')
        .collect();
    match word.trim() {
        "Case" => case(&source),
        "Rules" => Rules::read(&source).diagnostics,
        word if Catalogue::is_kind(word) => {
            let mut all = builtin_sources();
            // A design of the same id takes the place of the embedded one.
            if word != "Design" {
                all.extend(builtin_designs());
            }
            all.push(source);
            Catalogue::load(&all).diagnostics
        }
        _ => Scenario::read(&source, catalogue).diagnostics,
    }
}

fn case(source: &Source) -> Vec<Diagnostic> {
    let read = Case::read(source);
    let Some(case) = read.value else { return read.diagnostics };
    let catalogue = Catalogue::builtin();
    let cell = match Cell::from_case(&case, catalogue) {
        Ok(cell) => cell,
        Err(all) => return all,
    };
    let network = Network::from_catalogue(catalogue, &cell).unwrap();
    case.evidence(&network).err().unwrap_or_default()
}

#[test]
fn every_faulty_file_gives_its_fault_at_its_place_and_nothing_else() {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/fixtures/bad"));
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|f| f.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "ron"))
        // The picture of a photograph is read by the shells alone.
        .filter(|p| !p.to_string_lossy().ends_with(".photo.ron"))
        .collect();
    names.sort();
    assert!(names.len() >= 15, "only {} files", names.len());
    let mut wrong = String::new();
    for path in names {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let expected = fs::read_to_string(path.with_extension("txt")).unwrap();
        let all = found(&name, &fs::read(&path).unwrap());
        let met: String = all
            .iter()
            .map(|d| match &d.place {
                Some(p) => format!("{} {}:{}\n", d.code, p.line, p.col),
                None => format!("{}\n", d.code),
            })
            .collect();
        if met != expected {
            wrong += &format!("{name}: expected {expected}met {met}");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// An author takes an offered word with one key; that has to mend the trouble.
#[test]
fn an_offered_word_mends_what_it_is_offered_for() {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/fixtures/bad"));
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.ends_with(".ron"))
        .collect();
    names.sort();
    let mut mended = 0;
    for name in names {
        let bytes = fs::read(folder.join(&name)).unwrap();
        let before = found(&name, &bytes);
        for d in &before {
            let text = std::str::from_utf8(&bytes).unwrap_or("");
            let Some((at, word)) = d.replacement(text) else { continue };
            let mut text = text.to_owned();
            text.replace_range(at, &word);
            let left = found(&name, text.as_bytes());
            assert!(left.len() < before.len(), "{name}: {word} does not mend {}", d.message);
            mended += 1;
        }
    }
    assert!(mended >= 5, "{mended}");
}
