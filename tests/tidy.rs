//! The rules of the repository that a program can check.

use jarlight_tests::{files, root};
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

/// Lines of a source file, its tests left out, that are allowed.
const MOST_LINES: usize = 700;

/// Which of our crates each crate may use; the picture in DEVELOPERS.md says the same.
const ARROWS: [(&str, &[&str]); 8] = [
    ("model", &[]),
    ("geometry", &["model"]),
    ("rules", &["model"]),
    ("scenario", &["model", "rules"]),
    ("measure", &["model"]),
    ("records", &["model", "scenario", "measure"]),
    ("app", &["model", "geometry", "rules", "scenario", "measure", "records"]),
    ("cli", &["model", "geometry", "rules", "scenario", "measure", "records", "app"]),
];

/// Who alone may use an outside crate: matched by the beginning of its name.
const KEPT_APART: [(&str, &[&str]); 5] = [
    ("egui", &["app"]),
    ("eframe", &["app"]),
    ("rusqlite", &["records"]),
    ("clap", &["cli"]),
    ("ron", &["model"]),
];

fn sources() -> Vec<PathBuf> {
    let mut all = files(&root().join("crates"), ".rs");
    all.extend(files(&root().join("tests"), ".rs"));
    all
}

fn named(path: &Path) -> String {
    path.strip_prefix(root()).unwrap().display().to_string()
}

/// Names under the `dependencies` of a manifest and, with `all`, under its `dev-dependencies`.
fn dependencies(manifest: &str, all: bool) -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    let mut inside = false;
    for line in manifest.lines() {
        if line.starts_with('[') {
            inside = line == "[dependencies]" || (all && line == "[dev-dependencies]");
        } else if inside && !line.trim_start().starts_with('#') {
            let end = line.find(['.', '=', ' ']).unwrap_or(line.len());
            out.insert(line[..end].to_owned());
        }
    }
    out.remove("");
    out
}

fn manifests() -> BTreeMap<String, String> {
    fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .map(|p| {
            let name = p.file_name().unwrap().to_str().unwrap().to_owned();
            (name, fs::read_to_string(p.join("Cargo.toml")).unwrap())
        })
        .collect()
}

#[test]
fn every_source_file_says_what_it_is_for_and_keeps_its_length() {
    let mut wrong = Vec::new();
    for path in sources() {
        let text = fs::read_to_string(&path).unwrap();
        let first = text.lines().next().unwrap_or("");
        if !first.starts_with("//! ") || first.len() < 10 {
            wrong.push(format!("{} does not begin with what it is for", named(&path)));
        }
        let tests = path.ends_with("tests.rs") || named(&path).contains("tests/");
        let lines = text.lines().take_while(|l| *l != "#[cfg(test)]").count();
        if !tests && lines > MOST_LINES {
            wrong.push(format!("{} has {lines} lines; split it", named(&path)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_is_left_to_do_has_a_name() {
    // Put together, so that this file does not find itself.
    let marks = [concat!("TO", "DO"), concat!("FIX", "ME"), concat!("XX", "X")];
    let mut wrong = Vec::new();
    for path in sources() {
        let text = fs::read_to_string(&path).unwrap();
        for (i, line) in text.lines().enumerate() {
            for mark in marks {
                let open = line.split(mark).skip(1).any(|rest| !rest.starts_with('('));
                let word = line.split(|c: char| !c.is_ascii_alphabetic()).any(|w| w == mark);
                if word && (open || mark != marks[0]) {
                    wrong.push(format!("{}:{}: {}", named(&path), i + 1, line.trim()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn crates_use_only_what_their_arrows_allow() {
    let manifests = manifests();
    let known: BTreeSet<&str> = ARROWS.iter().map(|(name, _)| *name).collect();
    assert_eq!(manifests.keys().map(String::as_str).collect::<BTreeSet<_>>(), known);
    for (name, allowed) in ARROWS {
        for used in dependencies(&manifests[name], true) {
            let Some(ours) = used.strip_prefix("jarlight-") else { continue };
            assert!(allowed.contains(&ours), "{name} must not use {ours}");
        }
    }
    let cli = &manifests["cli"];
    assert!(cli.contains("jarlight-app = { workspace = true, optional = true }"));
}

#[test]
fn window_database_and_reader_are_kept_apart() {
    for (name, manifest) in manifests() {
        for used in dependencies(&manifest, true) {
            for (outside, allowed) in KEPT_APART {
                let meant = used == outside || used.starts_with(&format!("{outside}_"));
                assert!(!meant || allowed.contains(&name.as_str()), "{name} uses {used}");
            }
        }
    }
}

#[test]
fn colours_are_made_in_one_file() {
    let constructors = ["Color32::from_", "Rgba::from_", "hex_color!"];
    for path in files(&root().join("crates/app"), ".rs") {
        if path.ends_with("src/theme.rs") {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for made in constructors {
            assert!(!text.contains(made), "{} makes a colour by {made}", named(&path));
        }
    }
}

#[test]
fn no_file_names_a_folder_of_one_machine() {
    let folders = [concat!("/ho", "me/"), concat!("/ro", "ot/"), concat!("/wo", "rk/")];
    let mut all = sources();
    for ending in [".ron", ".md", ".ftl", ".toml", ".sh"] {
        all.extend(files(&root(), ending));
    }
    for path in all {
        let text = fs::read_to_string(&path).unwrap_or_default();
        for folder in folders {
            assert!(!text.contains(folder), "{} names {folder}", named(&path));
        }
    }
}

#[test]
fn the_map_names_every_crate_and_module() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let mut missing = Vec::new();
    for (name, _) in ARROWS {
        for path in files(&root().join("crates").join(name).join("src"), ".rs") {
            let module = path.strip_prefix(root().join("crates").join(name).join("src")).unwrap();
            let mut parts: Vec<&str> =
                module.iter().map(|p| p.to_str().unwrap().trim_end_matches(".rs")).collect();
            parts.truncate(1);
            let module = parts[0];
            if !matches!(module, "lib" | "main" | "tests") && !map.contains(&format!("`{module}`"))
            {
                missing.push(format!("{name}::{module}"));
            }
        }
    }
    missing.sort();
    missing.dedup();
    assert!(missing.is_empty(), "not in DEVELOPERS.md: {missing:?}");
}
