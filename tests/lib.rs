//! What the tests of the whole program share: running commands in process, comparing with
//! golden files, walking the repository.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]
#![expect(clippy::expect_used, reason = "a test fails by panicking")]

use jarlight_cli::{Out, Then};
use std::{
    env, fs,
    path::{Path, PathBuf},
};

/// The root of the repository.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests lie in the root").to_owned()
}

/// What a command did.
#[derive(Debug)]
pub struct Ran {
    /// The exit code; `None` when the window was asked for.
    pub code: Option<u8>,
    /// What was asked for.
    pub data: String,
    /// What was said beside it.
    pub messages: String,
}

/// Runs `jarlight` with these words, in process.
pub fn jarlight<'a>(words: impl IntoIterator<Item = &'a str>) -> Ran {
    let (mut data, mut messages) = (Vec::new(), Vec::new());
    let mut out = Out::new(&mut data, &mut messages);
    let words = ["jarlight"].into_iter().chain(words).map(Into::into);
    let code = match jarlight_cli::run(words, &mut out) {
        Then::Exit(code) => Some(code),
        Then::Window(_) => None,
    };
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Ran { code, data: text(data), messages: text(messages) }
}

/// The path of a file of the repository as text.
pub fn path(relative: &str) -> String {
    root().join(relative).to_str().unwrap().to_owned()
}

/// Compares a text with a golden file.
///
/// With `UPDATE_GOLDEN=1` the file is written instead, but never where `CI` is set. A text that
/// differs is left beside the file as `.new`.
pub fn golden(relative: &str, text: &str) {
    let file = root().join("tests/golden").join(relative);
    let set = |name| env::var_os(name).is_some_and(|v| !v.is_empty());
    if set("UPDATE_GOLDEN") {
        assert!(!set("CI"), "golden files are not written where CI is set");
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(&file, text).unwrap();
        return;
    }
    let old = fs::read_to_string(&file).unwrap_or_default();
    if old == text {
        return;
    }
    let new = PathBuf::from(format!("{}.new", file.display()));
    fs::create_dir_all(file.parent().unwrap()).unwrap();
    fs::write(&new, text).unwrap();
    let lines = old.lines().zip(text.lines()).enumerate().filter(|(_, (a, b))| a != b).take(3);
    let mut differ: String =
        lines.map(|(i, (a, b))| format!("line {}\n  was {a}\n  is  {b}\n", i + 1)).collect();
    if differ.is_empty() {
        differ = format!("{} lines were, {} are\n", old.lines().count(), text.lines().count());
    }
    panic!("{relative} differs:\n{differ}the new text is in {}", new.display());
}

/// All files below a folder with this ending, sorted; build folders and hidden ones left out.
pub fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut out = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                if name != "target" && !name.starts_with('.') {
                    open.push(path);
                }
            } else if name.ends_with(ending) {
                out.push(path);
            }
        }
    }
    out.sort();
    out
}
