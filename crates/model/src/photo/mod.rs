//! An instructor's photograph: a small file beside a picture says what is to be seen where.
//!
//! Places are pixels of the picture as a person sees it, turned upright, from its upper left.

mod pixels;

pub use pixels::{BadPicture, MOST_BYTES, MOST_PIXELS, MOST_SIDE, Pixels};

use crate::{
    authored::{Spot, quoted, read_file},
    authored_enum, authored_record,
    catalogue::Catalogue,
    design::unknown_format,
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
    id::Slug,
};
use std::{fmt::Write as _, ops::Range};

/// The most regions of one photograph.
pub const MOST_REGIONS: usize = 100;
/// The most corners of one region.
pub const MOST_CORNERS: usize = 200;
/// What the name of such a file ends in.
pub const ENDING: &str = "photo.ron";

authored_record! {
    /// What is known about one picture.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Photo {
        /// Version of the format.
        pub format: Spot<u32>,
        /// Name of the picture, which lies in the same folder.
        pub picture: Spot<String>,
        /// What a person should know about it.
        pub note: String = String::new(),
        /// What is to be seen where.
        pub regions: Vec<Spot<Region>> = Vec::new(),
    }

    /// A place in the picture with what is there.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Region {
        /// What it shows.
        pub shows: Shown,
        /// Where it is.
        pub place: Spot<Outline>,
        /// What a person should know about it.
        pub note: String = String::new(),
    }
}

authored_enum! {
    /// What a region shows, by its id in the catalogue.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Shown {
        /// A part.
        Part(Spot<Slug>),
        /// A condition.
        Condition(Spot<Slug>),
    }

    /// The border of a region.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Outline {
        /// An upright rectangle.
        Box {
            /// Its left side.
            left: f64,
            /// Its upper side.
            top: f64,
            /// Its right side.
            right: f64,
            /// Its lower side.
            bottom: f64,
        },
        /// A line through its corners and back to the first one.
        Polygon(Vec<(f64, f64)>),
    }
}

impl Shown {
    /// The id, whatever it is of.
    pub const fn id(&self) -> &Slug {
        match self {
            Self::Part(id) | Self::Condition(id) => &id.value,
        }
    }

    /// Its name in the catalogue.
    pub fn name(&self, catalogue: &Catalogue) -> String {
        match self {
            Self::Part(id) => catalogue.name_of(id.as_str()),
            Self::Condition(id) => {
                catalogue.condition(id.as_str()).map_or_else(|| id.to_string(), |c| c.name.clone())
            }
        }
    }
}

impl Outline {
    /// The corners in order.
    pub fn corners(&self) -> Vec<(f64, f64)> {
        match self {
            Self::Box { left, top, right, bottom } => {
                vec![(*left, *top), (*right, *top), (*right, *bottom), (*left, *bottom)]
            }
            Self::Polygon(corners) => corners.clone(),
        }
    }

    /// Left, top, right and bottom of what it covers.
    pub fn extent(&self) -> (f64, f64, f64, f64) {
        let start = (f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
        self.corners()
            .into_iter()
            .fold(start, |(l, t, r, b), (x, y)| (l.min(x), t.min(y), r.max(x), b.max(y)))
    }

    /// What it covers, in square pixels; 0 where all corners lie on one line.
    pub fn area(&self) -> f64 {
        let c = self.corners();
        let cross = |i: usize| {
            let ((x, y), (u, v)) = (c[i], c[(i + 1) % c.len()]);
            x * v - u * y
        };
        (0..c.len()).map(cross).sum::<f64>().abs() / 2.0
    }

    /// Whether a point lies inside, by the number of sides to its right.
    pub fn contains(&self, x: f64, y: f64) -> bool {
        let c = self.corners();
        let crossed = |i: &usize| {
            let ((x0, y0), (x1, y1)) = (c[*i], c[(i + 1) % c.len()]);
            (y0 > y) != (y1 > y) && x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)
        };
        (0..c.len()).filter(crossed).count() % 2 == 1
    }
}

impl Photo {
    /// A picture of which nothing has been said yet.
    pub fn of(picture: &str) -> Self {
        Self {
            format: Spot { value: 1, at: 0..0 },
            picture: Spot { value: picture.to_owned(), at: 0..0 },
            note: String::new(),
            regions: Vec::new(),
        }
    }

    /// Reads a file; everything that can be told without the picture is checked.
    pub fn read(source: &Source, catalogue: &Catalogue) -> Checked<Self> {
        let mut read = read_file::<Self>(source);
        if let Some(photo) = &read.value {
            read.diagnostics.extend(photo.check(source, catalogue));
        }
        read.diagnostics = in_file_order(read.diagnostics);
        read
    }

    fn check(&self, source: &Source, catalogue: &Catalogue) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        if self.format.value != 1 {
            found.push(unknown_format(source, &self.format));
        }
        if !is_plain_name(&self.picture.value) {
            let what = "the picture is named by its file name alone; it lies in the same folder";
            let at = self.picture.at.clone();
            found.push(Diagnostic::new(Code::BadPicture, source, at, what));
        }
        if self.regions.len() > MOST_REGIONS {
            let met = self.regions.len();
            let what = format!("a photograph has at most {MOST_REGIONS} regions, met {met}");
            let at = self.regions[MOST_REGIONS].at.clone();
            found.push(Diagnostic::new(Code::OutOfRange, source, at, what));
        }
        for region in &self.regions {
            found.extend(unknown(&region.shows, source, catalogue));
            if let Some(what) = misshapen(&region.place.value) {
                let at = region.place.at.clone();
                found.push(Diagnostic::new(Code::OutOfRange, source, at, what));
            }
        }
        found
    }

    /// What does not fit the picture, which is so many pixels wide and high.
    pub fn check_size(&self, source: &Source, width: u32, height: u32) -> Vec<Diagnostic> {
        let outside = |region: &&Spot<Region>| {
            let (l, t, r, b) = region.place.extent();
            !(l >= 0.0 && t >= 0.0 && r <= f64::from(width) && b <= f64::from(height))
        };
        let tell = |region: &Spot<Region>| {
            let what = format!("the region leaves the picture, which is {width} × {height} pixels");
            Diagnostic::new(Code::OutOfRange, source, region.place.at.clone(), what)
        };
        self.regions.iter().filter(outside).map(tell).collect()
    }

    /// Says of the place of the picture's name why the picture cannot be used.
    pub fn bad_picture(&self, source: &Source, why: &BadPicture) -> Diagnostic {
        let at: Range<usize> = self.picture.at.clone();
        Diagnostic::new(Code::BadPicture, source, at, why.to_string())
    }

    /// The file that says the same.
    pub fn to_ron(&self) -> String {
        let mut out = String::from("Photo(\n    format: 1,\n");
        // Writing to a text cannot fail.
        let _ = writeln!(out, "    picture: {},", quoted(&self.picture.value));
        if !self.note.is_empty() {
            let _ = writeln!(out, "    note: {},", quoted(&self.note));
        }
        out.push_str("    regions: [\n");
        for region in &self.regions {
            let (kind, id) = match &region.shows {
                Shown::Part(id) => ("Part", id),
                Shown::Condition(id) => ("Condition", id),
            };
            let _ = write!(out, "        (shows: {kind}(\"{}\"), place: ", id.value);
            match &region.place.value {
                Outline::Box { left: l, top: t, right: r, bottom: b } => {
                    let _ = write!(out, "Box(left: {l}, top: {t}, right: {r}, bottom: {b})");
                }
                Outline::Polygon(corners) => {
                    let corners: Vec<_> =
                        corners.iter().map(|(x, y)| format!("({x}, {y})")).collect();
                    let _ = write!(out, "Polygon([{}])", corners.join(", "));
                }
            }
            if !region.note.is_empty() {
                let _ = write!(out, ", note: {}", quoted(&region.note));
            }
            out.push_str("),\n");
        }
        out.push_str("    ],\n)\n");
        out
    }
}

fn unknown(shows: &Shown, source: &Source, catalogue: &Catalogue) -> Option<Diagnostic> {
    let (id, code, what, known) = match shows {
        Shown::Part(id) if catalogue.part(id.as_str()).is_none() => {
            let known: Vec<&str> = catalogue.parts.iter().map(|p| p.id.as_str()).collect();
            (id, Code::UnknownPart, "part", known)
        }
        Shown::Condition(id) if catalogue.condition(id.as_str()).is_none() => {
            let known: Vec<&str> = catalogue.conditions.iter().map(|c| c.id.as_str()).collect();
            (id, Code::UnknownCondition, "condition", known)
        }
        _ => return None,
    };
    let what = format!("no {what} is called `{}`", id.value);
    Some(Diagnostic::new(code, source, id.at.clone(), what).nearest(id.as_str(), known))
}

fn misshapen(outline: &Outline) -> Option<String> {
    if let Outline::Box { left, top, right, bottom } = outline
        && (left >= right || top >= bottom)
    {
        return Some("left must be less than right, and top less than bottom".to_owned());
    }
    let corners = outline.corners().len();
    if !(3..=MOST_CORNERS).contains(&corners) {
        return Some(format!("a polygon has 3 to {MOST_CORNERS} corners, met {corners}"));
    }
    (outline.area() < 1.0).then(|| "the region covers less than one pixel".to_owned())
}

fn is_plain_name(name: &str) -> bool {
    let odd = |c: char| c.is_control() || matches!(c, '/' | '\\' | ':');
    !name.is_empty() && name != "." && name != ".." && !name.contains(odd)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOUND: &str = r#"Photo(
    format: 1,
    picture: "cell-31.jpg",
    note: "Cell 31 said \"hm\".",
    regions: [
        (shows: Part("post_positive"), place: Box(left: 10, top: 20, right: 60, bottom: 80)),
        (shows: Condition("CONDITION"), place: Polygon([(0, 0), (40.5, 0), (0, 30)]), note: "pale"),
    ],
)
"#;

    fn sound() -> String {
        let first = Catalogue::builtin().conditions[0].id.to_string();
        SOUND.replace("CONDITION", &first)
    }

    fn read(text: &str) -> (Option<Photo>, Vec<(Code, usize)>) {
        let source = Source::new("cell.photo.ron", text);
        let read = Photo::read(&source, Catalogue::builtin());
        let line = |d: &Diagnostic| (d.code, d.place.as_ref().map_or(0, |p| p.line));
        (read.value, read.diagnostics.iter().map(line).collect())
    }

    #[test]
    fn a_file_is_read_and_written_and_read_again() {
        let (photo, found) = read(&sound());
        assert!(found.is_empty(), "{found:?}");
        let photo = photo.unwrap();
        assert_eq!(photo.note, "Cell 31 said \"hm\".");
        assert_eq!(photo.regions[0].place.extent(), (10.0, 20.0, 60.0, 80.0));
        let written = photo.to_ron();
        let (again, found) = read(&written);
        assert!(found.is_empty(), "{found:?}\n{written}");
        assert_eq!(again.unwrap().to_ron(), written);
    }

    #[test]
    fn every_fault_is_told_with_its_place() {
        let bad = sound()
            .replace("cell-31.jpg", "../cell-31.jpg")
            .replace("post_positive", "post_positiv")
            .replace("(0, 30)", "(90, 0)")
            .replace("right: 60", "right: 10");
        let (_, found) = read(&bad);
        assert_eq!(
            found,
            [
                (Code::BadPicture, 3),
                (Code::UnknownPart, 6),
                (Code::OutOfRange, 6),
                (Code::OutOfRange, 7),
            ]
        );
        let (_, found) = read(&sound().replace("shows: Part", "show: Part"));
        assert_eq!(found.iter().filter(|(c, _)| *c == Code::UnknownField).count(), 1);
    }

    #[test]
    fn a_region_must_lie_inside_the_picture() {
        let text = sound();
        let source = Source::new("cell.photo.ron", &text);
        let photo = Photo::read(&source, Catalogue::builtin()).value.unwrap();
        assert!(photo.check_size(&source, 60, 80).is_empty());
        let lines = |w, h| -> Vec<usize> {
            let found = photo.check_size(&source, w, h);
            found.iter().map(|d| d.place.as_ref().unwrap().line).collect()
        };
        assert_eq!(lines(59, 80), [6]);
        assert_eq!(lines(40, 80), [6, 7]);
    }

    #[test]
    fn a_point_is_inside_or_not() {
        let l = Outline::Polygon(vec![
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 4.0),
            (4.0, 4.0),
            (4.0, 10.0),
            (0.0, 10.0),
        ]);
        assert!(l.contains(2.0, 9.0) && l.contains(9.0, 2.0) && !l.contains(9.0, 9.0));
        assert_eq!(l.area(), 64.0);
    }
}
