//! Files read within bounds and replaced as a whole.

use jarlight_model::diag::{Code, Diagnostic, MAX_BYTES, Source};
use std::{
    fs::{self, File},
    io::{self, Read as _, Write as _},
    path::Path,
};

/// Reads a file, but never more than may be read.
pub fn read(path: &Path) -> Result<Source, Box<Diagnostic>> {
    let name = path.display().to_string();
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|f| f.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes))
        .map_err(|e| Diagnostic::without_place(Code::Unreadable, &name, e.to_string()))?;
    Ok(Source::from_bytes(&name, &bytes)?)
}

/// Puts new content in the place of a file: there is the old or the new, never a part.
pub fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // A link stays a link: what it leads to is replaced.
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let name = path.file_name().ok_or(io::ErrorKind::InvalidFilename)?;
    let mut beside = std::ffi::OsString::from(".");
    beside.push(name);
    beside.push(format!(".{}.part", std::process::id()));
    let beside = path.with_file_name(beside);
    let written = (|| {
        let mut file = File::create(&beside)?;
        file.write_all(bytes)?;
        if let Ok(old) = fs::metadata(&path) {
            file.set_permissions(old.permissions())?;
        }
        file.sync_all()?;
        fs::rename(&beside, &path)
    })();
    if written.is_err() {
        fs::remove_file(&beside).ok();
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_file_is_a_diagnostic_with_its_name() {
        let e = read(Path::new("/no/such/file.scenario.ron")).unwrap_err();
        assert!(e.is_error());
        assert_eq!(e.file, "/no/such/file.scenario.ron");
    }

    #[test]
    fn a_file_that_is_too_big_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("big.scenario.ron");
        fs::write(&path, vec![b' '; MAX_BYTES + 1]).unwrap();
        assert_eq!(read(&path).unwrap_err().code, Code::TooBig);
    }
}
