//! Photographs from and to the disk: the picture within bounds, its file whole or not at all.

use super::files;
use egui::ColorImage;
use jarlight_model::{
    catalogue::Catalogue,
    diag::Diagnostic,
    photo::{BadPicture, ENDING, MOST_BYTES, Photo, Pixels},
};
use std::{
    fs::{self, File},
    io::{self, Read as _},
    path::{Path, PathBuf},
    sync::Arc,
};

/// A photograph as it was found.
pub struct PhotoRead {
    /// The file beside the picture, which need not be there yet.
    pub file: PathBuf,
    /// What the file says; empty when it is faulty.
    pub photo: Photo,
    /// What is wrong with the file; it is not written over then.
    pub faults: Vec<Diagnostic>,
    /// The picture, perhaps smaller than in its file.
    pub image: Arc<ColorImage>,
    /// Width and height of the picture in its file.
    pub full: (u32, u32),
}

impl std::fmt::Debug for PhotoRead {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "PhotoRead({})", self.file.display())
    }
}

fn name_of(path: &Path) -> &str {
    path.file_name().and_then(|n| n.to_str()).unwrap_or("")
}

/// True for pictures, and for files beside them.
pub fn is_photo(path: &Path) -> bool {
    let name = name_of(path);
    Pixels::is_name(name) || name.ends_with(ENDING)
}

/// Reads a picture and what is said of it, whichever of the two was named.
pub fn read(path: &Path, catalogue: &Catalogue, most: u32) -> Result<PhotoRead, String> {
    let name = name_of(path);
    if name.ends_with(ENDING) {
        let (photo, faults) = said(path, catalogue).map_err(|e| told(&e))?;
        let Some(photo) = photo else {
            return Err(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"));
        };
        let picture = path.with_file_name(&photo.picture.value);
        return with_picture(path.to_path_buf(), &picture, photo, faults, most);
    }
    let stem = path.file_stem().and_then(|n| n.to_str()).unwrap_or(name);
    let mut free = None;
    for candidate in [format!("{stem}.{ENDING}"), format!("{name}.{ENDING}")] {
        let file = path.with_file_name(candidate);
        if !file.exists() {
            free = free.or(Some(file));
            continue;
        }
        let (photo, faults) = said(&file, catalogue).map_err(|e| told(&e))?;
        match photo {
            // The file of another picture with the same stem.
            Some(other) if other.picture.value != name => {}
            photo => {
                let photo = photo.unwrap_or_else(|| Photo::of(name));
                return with_picture(file, path, photo, faults, most);
            }
        }
    }
    let file = free.ok_or_else(|| "both names of the file beside it are taken".to_owned())?;
    with_picture(file, path, Photo::of(name), Vec::new(), most)
}

fn told(e: &Diagnostic) -> String {
    e.message.clone()
}

fn said(
    file: &Path,
    catalogue: &Catalogue,
) -> Result<(Option<Photo>, Vec<Diagnostic>), Box<Diagnostic>> {
    let source = files::read(file)?;
    let read = Photo::read(&source, catalogue);
    Ok((read.value, read.diagnostics))
}

fn with_picture(
    file: PathBuf,
    picture: &Path,
    photo: Photo,
    mut faults: Vec<Diagnostic>,
    most: u32,
) -> Result<PhotoRead, String> {
    let pixels = bytes(picture)
        .and_then(|bytes| Pixels::read(name_of(picture), &bytes, most))
        .map_err(|e| e.to_string())?;
    if let Ok(source) = files::read(&file) {
        faults.extend(photo.check_size(&source, pixels.full.0, pixels.full.1));
    }
    let size = [pixels.size.0 as usize, pixels.size.1 as usize];
    let image = Arc::new(ColorImage::from_rgba_unmultiplied(size, &pixels.rgba));
    Ok(PhotoRead { file, photo, faults, image, full: pixels.full })
}

/// The bytes of a picture file, no more than a picture may have.
fn bytes(path: &Path) -> Result<Vec<u8>, BadPicture> {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::services::files::replace;

    fn picture(folder: &Path, name: &str) -> PathBuf {
        let pixels = Pixels { full: (8, 6), size: (8, 6), rgba: vec![200; 8 * 6 * 4] };
        let path = folder.join(name);
        fs::write(&path, pixels.to_png().unwrap()).unwrap();
        path
    }

    #[test]
    fn a_picture_is_read_with_and_without_its_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = picture(folder.path(), "cell.png");
        let catalogue = Catalogue::builtin();
        let fresh = read(&path, catalogue, 64).unwrap();
        assert_eq!(name_of(&fresh.file), "cell.photo.ron");
        assert_eq!((fresh.full, fresh.photo.regions.len()), ((8, 6), 0));
        let text = "Photo(format: 1, picture: \"cell.png\", regions: [(shows: Part(\"jar\"), \
                    place: Box(left: 0, top: 0, right: 8, bottom: 6))])";
        replace(&fresh.file, text.as_bytes()).unwrap();
        for named in [&path, &fresh.file] {
            let again = read(named, catalogue, 64).unwrap();
            assert_eq!((again.photo.regions.len(), again.faults.len()), (1, 0));
        }
        // Another picture of the same stem gets a file of its own.
        replace(&fresh.file, text.replace("cell.png", "cell.jpg").as_bytes()).unwrap();
        assert_eq!(name_of(&read(&path, catalogue, 64).unwrap().file), "cell.png.photo.ron");
        replace(&fresh.file, text.replace("right: 8", "right: 9").as_bytes()).unwrap();
        assert_eq!(read(&path, catalogue, 64).unwrap().faults.len(), 1);
    }

    #[test]
    fn what_is_no_picture_is_refused_with_a_reason() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cell.png");
        fs::write(&path, "no picture").unwrap();
        let why = read(&path, Catalogue::builtin(), 64).unwrap_err();
        assert_eq!(why, BadPicture::UnknownContent.to_string());
        let gone = folder.path().join("gone.jpg");
        assert!(read(&gone, Catalogue::builtin(), 64).is_err());
        assert!(is_photo(&gone) && !is_photo(Path::new("a.scenario.ron")));
    }
}
