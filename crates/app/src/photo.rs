//! Photographs that are open: what is said of each, step by step, and whether it is kept.

use crate::services::PhotoRead;
use egui::{ColorImage, Context, TextureHandle, TextureOptions};
use jarlight_model::{
    diag::Diagnostic,
    photo::{Photo, Shown},
};
use std::{cell::OnceCell, path::PathBuf, sync::Arc};

/// The most steps that can be taken back.
const MOST_STEPS: usize = 100;

/// Whether what is said of a photograph is on the disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kept {
    /// Nothing was changed.
    Untouched,
    /// On its way.
    Waiting(u64),
    /// On the disk.
    Saved,
    /// Not kept, and why.
    Failed(String),
}

/// A photograph with what is said of it.
pub struct OpenPhoto {
    /// The file beside the picture.
    pub file: PathBuf,
    /// What is said of it.
    pub photo: Photo,
    /// What is wrong with the file; it is not written over then.
    pub faults: Vec<Diagnostic>,
    /// Width and height of the picture.
    pub full: (u32, u32),
    /// Whether it is kept.
    pub kept: Kept,
    image: Arc<ColorImage>,
    texture: OnceCell<TextureHandle>,
    before: Vec<Photo>,
}

impl OpenPhoto {
    /// A photograph as it was found.
    pub fn new(read: PhotoRead) -> Self {
        let PhotoRead { file, photo, faults, image, full } = read;
        let (kept, texture) = (Kept::Untouched, OnceCell::new());
        Self { file, photo, faults, full, kept, image, texture, before: Vec::new() }
    }

    /// The picture file.
    pub fn picture(&self) -> PathBuf {
        self.file.with_file_name(&self.photo.picture.value)
    }

    /// The picture, brought to the graphics card when it is first shown.
    pub fn texture(&self, ctx: &Context) -> &TextureHandle {
        self.texture.get_or_init(|| {
            let name = self.file.display().to_string();
            ctx.load_texture(name, self.image.clone(), TextureOptions::LINEAR)
        })
    }

    /// True when the file is sound, so that it may be written over.
    pub fn can_change(&self) -> bool {
        self.faults.is_empty()
    }

    /// Says something else of it.
    pub fn change(&mut self, to: Photo) {
        let old = std::mem::replace(&mut self.photo, to);
        self.before.push(old);
        if self.before.len() > MOST_STEPS {
            self.before.remove(0);
        }
    }

    /// Takes the last change back; false when there was none.
    pub fn undo(&mut self) -> bool {
        let Some(old) = self.before.pop() else { return false };
        self.photo = old;
        true
    }

    /// True when a change can be taken back.
    pub fn can_undo(&self) -> bool {
        !self.before.is_empty()
    }

    /// True when a region shows this condition.
    pub fn shows_condition(&self, id: &str) -> bool {
        let shows = |s: &Shown| matches!(s, Shown::Condition(c) if c.as_str() == id);
        self.photo.regions.iter().any(|r| shows(&r.shows))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_are_taken_back_one_by_one() {
        let mut open = OpenPhoto::new(PhotoRead {
            file: PathBuf::from("a.photo.ron"),
            photo: Photo::of("a.png"),
            faults: Vec::new(),
            image: Arc::new(ColorImage::filled([1, 1], egui::Color32::BLACK)),
            full: (1, 1),
        });
        for note in ["one", "two"] {
            let note = note.to_owned();
            open.change(Photo { note, ..open.photo.clone() });
        }
        assert!(open.undo() && open.photo.note == "one");
        assert!(open.undo() && open.photo.note.is_empty());
        assert!(!open.undo() && !open.can_undo());
    }
}
