//! A text that somebody else wrote: kept byte for byte, with every change undoable.

use egui::{
    TextBuffer,
    text::{ByteIndex, CharIndex},
};
use std::{any::TypeId, ops::Range};

/// So many steps can be undone.
const DEEPEST: usize = 500;
const BOM: &[u8] = b"\xef\xbb\xbf";

/// A piece of text put in the place of another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// Byte range of what is taken out.
    pub at: Range<usize>,
    /// What comes in.
    pub new: String,
}

impl Edit {
    /// Puts a text in at a place.
    pub fn insert(at: usize, new: impl Into<String>) -> Self {
        Self { at: at..at, new: new.into() }
    }
}

/// A change as it is kept for undoing.
#[derive(Clone, Debug)]
struct Change {
    at: usize,
    old: String,
    new: String,
}

/// Changes that are undone together.
#[derive(Clone, Debug, Default)]
struct Step {
    changes: Vec<Change>,
    /// Whether typing that follows belongs to it.
    open: bool,
    /// Whether it is the dragging of one value that begins here.
    dragged: Option<usize>,
}

/// A text in the making.
#[derive(Clone, Debug, Default)]
pub struct Text {
    text: String,
    bom: bool,
    done: Vec<Step>,
    undone: Vec<Step>,
    revision: u64,
    /// Changes since they were last taken, for whoever keeps places in the text.
    moved: Vec<(Range<usize>, usize)>,
}

impl Text {
    /// Takes the bytes of a file; `None` when they are no UTF-8 text.
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let (bom, bytes) = match bytes.strip_prefix(BOM) {
            Some(rest) => (true, rest),
            None => (false, bytes),
        };
        let text = std::str::from_utf8(bytes).ok()?.to_owned();
        Some(Self { text, bom, ..Self::default() })
    }

    /// The bytes for a file: those that were read, where nothing was changed.
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut bytes = if self.bom { BOM.to_vec() } else { Vec::new() };
        bytes.extend_from_slice(self.text.as_bytes());
        bytes
    }

    /// The text, without a byte order mark.
    pub fn str(&self) -> &str {
        &self.text
    }

    /// Changes with every change of the text.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether something can be undone.
    pub fn can_undo(&self) -> bool {
        !self.done.is_empty()
    }

    /// Whether something can be done again.
    pub fn can_redo(&self) -> bool {
        !self.undone.is_empty()
    }

    /// The line end of the file, which new lines get too.
    pub fn line_end(&self) -> &'static str {
        match self.text.find('\n') {
            Some(i) if self.text[..i].ends_with('\r') => "\r\n",
            _ => "\n",
        }
    }

    /// Makes changes that are undone together; their ranges count in the text as it is now and
    /// do not overlap. Gives the byte after the last piece that came in.
    pub fn apply(&mut self, mut edits: Vec<Edit>) -> Option<usize> {
        edits.sort_by_key(|e| e.at.start);
        let mut step = Step::default();
        let (mut shift, mut end) = (0isize, None);
        for edit in edits {
            let start = edit.at.start.checked_add_signed(shift)?;
            let at = start..edit.at.end.checked_add_signed(shift)?;
            self.text.get(at.clone())?;
            shift += edit.new.len() as isize - at.len() as isize;
            end = Some(start + edit.new.len());
            step.changes.push(self.change(at, &edit.new));
        }
        self.push(step);
        end
    }

    /// Makes a change that is undone together with those made before at the same place, until
    /// [`Self::close_step`] is called.
    pub fn apply_joined(&mut self, edit: Edit) {
        if self.text.get(edit.at.clone()).is_none() {
            return;
        }
        let start = edit.at.start;
        let change = self.change(edit.at, &edit.new);
        self.undone.clear();
        match self.done.last_mut() {
            Some(step) if step.dragged == Some(start) => step.changes.push(change),
            _ => self.push(Step { changes: vec![change], open: false, dragged: Some(start) }),
        }
    }

    /// Takes what another program wrote in place of all of it; can be undone too.
    pub fn take_over(&mut self, other: &Self) {
        self.bom = other.bom;
        let (old, new) = (self.text.as_str(), other.text.as_str());
        if old == new {
            return;
        }
        let same = |a: (char, char)| a.0 == a.1;
        let head: usize =
            old.chars().zip(new.chars()).take_while(|a| same(*a)).map(|(c, _)| c.len_utf8()).sum();
        let (old, new) = (&old[head..], &new[head..]);
        let tail: usize = old
            .chars()
            .rev()
            .zip(new.chars().rev())
            .take_while(|a| same(*a))
            .map(|(c, _)| c.len_utf8())
            .sum();
        let at = head..head + old.len() - tail;
        let new = new[..new.len() - tail].to_owned();
        let change = self.change(at, &new);
        self.push(Step { changes: vec![change], ..Step::default() });
    }

    /// Undoes the last step; gives the byte where it happened.
    pub fn undo(&mut self) -> Option<usize> {
        let step = self.done.pop()?;
        let mut at = 0;
        for c in step.changes.iter().rev() {
            self.change(c.at..c.at + c.new.len(), &c.old);
            at = c.at + c.old.len();
        }
        self.undone.push(step);
        Some(at)
    }

    /// Does again what was undone last.
    pub fn redo(&mut self) -> Option<usize> {
        let mut step = self.undone.pop()?;
        let mut at = 0;
        for c in &step.changes {
            self.change(c.at..c.at + c.old.len(), &c.new);
            at = c.at + c.new.len();
        }
        step.open = false;
        self.done.push(step);
        Some(at)
    }

    /// What was changed since the last call: the range taken out and the length put in.
    pub fn take_moves(&mut self) -> Vec<(Range<usize>, usize)> {
        std::mem::take(&mut self.moved)
    }

    /// Typing after this is undone on its own.
    pub fn close_step(&mut self) {
        if let Some(step) = self.done.last_mut() {
            step.open = false;
            step.dragged = None;
        }
    }

    fn change(&mut self, at: Range<usize>, new: &str) -> Change {
        let old = self.text[at.clone()].to_owned();
        self.text.replace_range(at.clone(), new);
        self.revision += 1;
        self.moved.push((at.clone(), new.len()));
        Change { at: at.start, old, new: new.to_owned() }
    }

    fn push(&mut self, step: Step) {
        if step.changes.is_empty() {
            return;
        }
        self.undone.clear();
        self.done.push(step);
        if self.done.len() > DEEPEST {
            self.done.remove(0);
        }
    }

    /// Typing: joined to the last step while it goes on at the same place and within a line.
    fn typed(&mut self, at: Range<usize>, new: &str) {
        let change = self.change(at, new);
        self.undone.clear();
        let goes_on = |last: &Change| {
            let plain = !new.contains('\n') && !last.new.contains('\n');
            let inserts = change.old.is_empty() && change.at == last.at + last.new.len();
            let erases = change.new.is_empty()
                && last.new.is_empty()
                && change.at + change.old.len() == last.at;
            plain && (inserts || erases)
        };
        match self.done.last_mut() {
            Some(step) if step.open && step.changes.last().is_some_and(goes_on) => {
                step.changes.push(change);
            }
            _ => self.push(Step { changes: vec![change], open: true, dragged: None }),
        }
    }

    fn byte(&self, index: CharIndex) -> usize {
        let ByteIndex(byte) = self.byte_index_from_char_index(index);
        byte
    }

    /// The indentation of the line that a byte is in.
    fn indentation(&self, byte: usize) -> &str {
        let start = self.text[..byte].rfind('\n').map_or(0, |i| i + 1);
        let line = &self.text[start..byte];
        &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]
    }
}

impl TextBuffer for Text {
    fn is_mutable(&self) -> bool {
        true
    }

    fn as_str(&self) -> &str {
        &self.text
    }

    fn insert_text(&mut self, text: &str, index: CharIndex) -> usize {
        let mut byte = self.byte(index);
        // Nothing comes between the two halves of a line end.
        if self.text[..byte].ends_with('\r') && self.text[byte..].starts_with('\n') {
            byte -= 1;
        }
        let end = self.line_end();
        let new = match text {
            "\n" => format!("{end}{}", self.indentation(byte)),
            _ => text.replace("\r\n", "\n").replace('\n', end),
        };
        self.typed(byte..byte, &new);
        new.chars().count()
    }

    fn delete_char_range(&mut self, range: Range<CharIndex>) {
        let (mut start, mut end) = (self.byte(range.start), self.byte(range.end));
        if start >= end {
            return;
        }
        // The two halves of a line end go together.
        let split = |t: &str, at: usize| t[..at].ends_with('\r') && t[at..].starts_with('\n');
        if split(&self.text, start) {
            start -= 1;
        }
        if split(&self.text, end) {
            end += 1;
        }
        self.typed(start..end, "");
    }

    fn type_id(&self) -> TypeId {
        TypeId::of::<Self>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_model::rng::Rng;

    fn text(bytes: &[u8]) -> Text {
        Text::from_bytes(bytes).unwrap()
    }

    #[test]
    fn what_was_read_is_written_byte_for_byte() {
        for bytes in [
            &b"\xef\xbb\xbfScenario(\r\n  // a comment \xc2\xb0C\r\n)\r\n"[..],
            b"Scenario( /* mixed */\r\n\n\r)\t ",
            b"",
            b"\xef\xbb\xbf",
        ] {
            assert_eq!(text(bytes).to_bytes(), bytes);
        }
        assert!(Text::from_bytes(b"\xff").is_none());
    }

    #[test]
    fn a_new_line_gets_the_line_end_and_the_indentation_of_the_file() {
        let mut t = text(b"a\r\n  bc\r\n");
        assert_eq!(t.insert_text("\n", CharIndex(6)), 4);
        assert_eq!(t.str(), "a\r\n  b\r\n  c\r\n");
        // Pasted lines too, and the cursor before "\n" is the end of the line.
        let mut t = text(b"a\r\nb");
        t.insert_text("x\ny", CharIndex(2));
        assert_eq!(t.str(), "ax\r\ny\r\nb");
        let mut t = text(b"a\r\nb");
        t.delete_char_range(CharIndex(2)..CharIndex(3));
        assert_eq!(t.str(), "ab");
    }

    #[test]
    fn typing_is_undone_by_the_run_and_edits_by_the_piece() {
        let mut t = text(b"end");
        t.insert_text("a", CharIndex(0));
        t.insert_text("b", CharIndex(1));
        t.apply(vec![Edit::insert(5, "!"), Edit { at: 2..3, new: "E".to_owned() }]);
        assert_eq!(t.str(), "abEnd!");
        t.undo();
        assert_eq!(t.str(), "abend");
        t.undo();
        assert_eq!(t.str(), "end");
        assert!(!t.can_undo());
        t.redo();
        t.redo();
        assert_eq!(t.str(), "abEnd!");
        assert!(!t.can_redo());
    }

    /// Any changes, undone one by one, give the bytes that were read.
    #[test]
    fn undoing_everything_gives_back_the_file() {
        let file = "\u{feff}Scenario(\r\n  title: \"Größe\", // ä\r\n)\r\n".as_bytes();
        let mut chance = Rng::new(11);
        for _ in 0..200 {
            let mut t = text(file);
            for _ in 0..20 {
                let n = t.str().chars().count();
                let a = chance.below(n + 1);
                let z = (a + chance.below(5)).min(n);
                match chance.below(5) {
                    0 => t.delete_char_range(CharIndex(a)..CharIndex(z)),
                    1 => {
                        t.insert_text("\n", CharIndex(a));
                    }
                    2 => {
                        t.insert_text("é", CharIndex(a));
                    }
                    3 => t.take_over(&text(b"Scenario(\r\n  title: \"x\")\r\n")),
                    _ => {
                        let at = t.byte(CharIndex(a))..t.byte(CharIndex(z));
                        t.apply(vec![Edit { at, new: "ß\r\n".to_owned() }]);
                    }
                }
            }
            while t.undo().is_some() {}
            assert_eq!(t.str().as_bytes(), &file[3..]);
        }
    }
}
