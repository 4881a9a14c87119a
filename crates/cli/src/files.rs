//! Reading and writing files: sizes are bounded, and what cannot be read is a diagnostic.

use jarlight_model::{
    diag::{Code, Diagnostic, MAX_BYTES, Source, closest},
    photo::{BadPicture, MOST_BYTES},
};
use std::{
    fs::{self, File},
    io::{self, Read as _, Write as _},
    path::{Path, PathBuf},
};

/// Folders are walked this deep; ours need three.
const MAX_DEPTH: usize = 16;

/// Reads an authored file.
pub fn read(path: &Path) -> Result<Source, Diagnostic> {
    let name = path.display().to_string();
    let unreadable = |e: &io::Error| unreadable(path, e);
    let about = fs::metadata(path).map_err(|e| unreadable(&e))?;
    if !about.is_file() {
        // A pipe or a device could keep the program waiting for ever.
        let what = if about.is_dir() {
            "this is a folder; a file is expected here"
        } else {
            "this is not an ordinary file"
        };
        return Err(Diagnostic::without_place(Code::Unreadable, &name, what));
    }
    let mut bytes = Vec::new();
    // One byte more than allowed shows that a file has grown since its size was asked for.
    File::open(path)
        .and_then(|f| f.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes))
        .map_err(|e| unreadable(&e))?;
    if bytes.len() > MAX_BYTES {
        let size = about.len().max(bytes.len() as u64);
        let what = format!("the file has {size} bytes; at most {MAX_BYTES} are read");
        return Err(Diagnostic::without_place(Code::TooBig, &name, what)
            .help("split the file into several smaller ones"));
    }
    Source::from_bytes(&name, &bytes)
}

/// Reads a picture file, no farther than the most that a picture may have.
pub fn picture(path: &Path) -> Result<Vec<u8>, BadPicture> {
    let unreadable = |e: io::Error| BadPicture::Unreadable(e.to_string());
    if !fs::metadata(path).map_err(unreadable)?.is_file() {
        return Err(BadPicture::Unreadable("it is not an ordinary file".to_owned()));
    }
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|f| f.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes))
        .map_err(unreadable)?;
    Ok(bytes)
}

/// All files ending in `.ron` that a list of files and folders means, each once, in order.
pub fn list(paths: &[PathBuf]) -> (Vec<PathBuf>, Vec<Diagnostic>) {
    let (mut files, mut found): (Vec<PathBuf>, Vec<Diagnostic>) = (Vec::new(), Vec::new());
    for path in paths {
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        let before = files.len();
        walk(path, 0, &mut files, &mut found);
        if files.len() == before && found.is_empty() {
            let what = "no file ending in .ron lies in this folder";
            let name = path.display().to_string();
            found.push(Diagnostic::without_place(Code::Unreadable, &name, what));
        }
    }
    let mut seen = std::collections::BTreeSet::new();
    files.retain(|f| seen.insert(f.clone()));
    (files, found)
}

/// All files ending in `.ron` below a folder, sorted by path.
pub fn below(dir: &Path) -> (Vec<PathBuf>, Vec<Diagnostic>) {
    let (mut files, mut found) = (Vec::new(), Vec::new());
    walk(dir, 0, &mut files, &mut found);
    (files, found)
}

fn walk(dir: &Path, depth: usize, files: &mut Vec<PathBuf>, found: &mut Vec<Diagnostic>) {
    let entries = fs::read_dir(dir).and_then(Iterator::collect::<io::Result<Vec<_>>>);
    let mut entries = match entries {
        Ok(entries) => entries,
        Err(e) => {
            found.push(unreadable(dir, &e));
            return;
        }
    };
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        // The kind of the entry itself: links to folders are not followed, they may go round.
        let folder = entry.file_type().is_ok_and(|t| t.is_dir());
        if folder && depth < MAX_DEPTH {
            walk(&path, depth + 1, files, found);
        } else if folder {
            let what = format!("folders are nested deeper than {MAX_DEPTH}");
            let name = path.display().to_string();
            found.push(Diagnostic::without_place(Code::Unreadable, &name, what));
        } else if path.extension().is_some_and(|e| e == "ron") && !path.is_dir() {
            files.push(path);
        }
    }
}

/// What cannot be opened, with the nearest name beside it where one is missing.
fn unreadable(path: &Path, e: &io::Error) -> Diagnostic {
    let name = path.display().to_string();
    if e.kind() != io::ErrorKind::NotFound {
        return Diagnostic::without_place(Code::Unreadable, &name, format!("cannot be read: {e}"))
            .help("check the rights of the file and of its folder");
    }
    let d = Diagnostic::without_place(Code::Unreadable, &name, "there is no such file or folder");
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut near: Vec<String> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .filter_map(|e| e.file_name().into_string().ok())
        .collect();
    near.sort_unstable();
    let wanted = path.file_name().and_then(|n| n.to_str()).unwrap_or("");
    match closest(wanted, near.iter().map(String::as_str)) {
        Some(near) => {
            let near = path.with_file_name(near);
            d.help(format!("did you mean `{}`?", near.display()))
        }
        None if folder.is_dir() => d.help("check the spelling of the path"),
        None => d.help(format!("there is no folder `{}` either", folder.display())),
    }
}

/// Replaces a file: whoever reads it sees the old or the new content, never a part.
pub fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let name = path
        .file_name()
        .and_then(|n| n.to_str())
        .ok_or_else(|| io::Error::new(io::ErrorKind::InvalidInput, "the path names no file"))?;
    if path.is_dir() {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "there is a folder of that name"));
    }
    let beside = path.with_file_name(format!(".{name}.{}.part", std::process::id()));
    let write = || -> io::Result<()> {
        let mut file = File::create(&beside)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&beside, path)
    };
    write().inspect_err(|_| {
        // The half-written file is of no use; that it may not exist is no further trouble.
        let _ = fs::remove_file(&beside);
    })
}
