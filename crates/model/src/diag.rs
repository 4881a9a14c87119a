//! What an author should know about one place in one file, and how it is printed.

use std::{fmt, ops::Range, sync::Arc};

/// The largest authored file that is read, in bytes.
pub const MAX_BYTES: usize = 1024 * 1024;

/// A file's text with the name that messages give it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
}

impl Source {
    /// Wraps text that is known to be sound, such as an embedded asset.
    pub fn new(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.strip_prefix('\u{feff}').unwrap_or(text).into() }
    }

    /// Takes the bytes of a file: refuses more than [`MAX_BYTES`] and anything but UTF-8.
    pub fn from_bytes(name: &str, bytes: &[u8]) -> Result<Self, Diagnostic> {
        if bytes.len() > MAX_BYTES {
            return Err(Diagnostic::without_place(
                Code::TooBig,
                name,
                format!("the file has {} bytes; at most {MAX_BYTES} are read", bytes.len()),
            )
            .help("split the file into several smaller ones"));
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => Ok(Self::new(name, text)),
            Err(e) => {
                let good = String::from_utf8_lossy(&bytes[..e.valid_up_to()]).into_owned();
                let source = Self::new(name, &good);
                let end = source.text.len();
                let what = "the file is not UTF-8 text from here on";
                Err(Diagnostic::new(Code::NotText, &source, end..end, what)
                    .help("save the file with the encoding UTF-8"))
            }
        }
    }

    /// The name used in messages.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text, without a byte order mark.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Line and column of a byte offset, both from 1; columns count characters.
    pub fn line_col(&self, offset: usize) -> (usize, usize) {
        let mut end = offset.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let head = &self.text[..end];
        let line = head.bytes().filter(|b| *b == b'\n').count() + 1;
        let start = head.rfind('\n').map_or(0, |i| i + 1);
        (line, head[start..].chars().count() + 1)
    }

    fn line_text(&self, line: usize) -> &str {
        self.text.split('\n').nth(line - 1).unwrap_or("").trim_end_matches('\r')
    }
}

/// How serious a diagnostic is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// The file cannot be used as it is.
    Error,
    /// The file can be used, but the author should look.
    Warning,
}

/// Where in a file a diagnostic points.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The file's name.
    pub file: String,
    /// Byte range in the file.
    pub range: Range<usize>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub col: usize,
    /// Text of that line.
    pub excerpt: String,
    /// How many characters of the line are meant, at least 1.
    pub width: usize,
}

impl Place {
    /// Finds line, column and excerpt of a byte range.
    pub fn new(source: &Source, range: Range<usize>) -> Self {
        let (line, col) = source.line_col(range.start);
        let excerpt = source.line_text(line).to_owned();
        let meant = source.text().get(range.clone()).unwrap_or("");
        let first = meant.split('\n').next().unwrap_or("").chars().count();
        let room = excerpt.chars().count().saturating_sub(col - 1).max(1);
        Self {
            file: source.name().to_owned(),
            range,
            line,
            col,
            excerpt,
            width: first.clamp(1, room),
        }
    }
}

/// Something an author should know about one place in one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// What kind of trouble.
    pub code: Code,
    /// Error or warning.
    pub level: Level,
    /// What is wrong, in the author's words.
    pub message: String,
    /// The file it is about, also when no place in it can be named.
    pub file: String,
    /// Where it is.
    pub place: Option<Place>,
    /// The likely fix.
    pub help: Option<String>,
    /// The word that was probably meant in place of the marked one.
    pub near: Option<String>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn new(
        code: Code,
        source: &Source,
        range: Range<usize>,
        message: impl Into<String>,
    ) -> Self {
        Self {
            code,
            level: Level::Error,
            message: message.into(),
            file: source.name().to_owned(),
            place: Some(Place::new(source, range)),
            help: None,
            near: None,
        }
    }

    /// An error about a whole file.
    pub fn without_place(code: Code, file: &str, message: impl Into<String>) -> Self {
        Self {
            code,
            level: Level::Error,
            message: message.into(),
            file: file.to_owned(),
            place: None,
            help: None,
            near: None,
        }
    }

    /// The same with the likely fix.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The same, nearest valid word offered where one is close.
    #[must_use]
    pub fn nearest<'a>(self, word: &str, known: impl IntoIterator<Item = &'a str>) -> Self {
        match closest(word, known) {
            Some(near) => self.meant(near),
            None => self,
        }
    }

    /// The same, offering this word in place of the marked one.
    #[must_use]
    pub fn meant(mut self, near: &str) -> Self {
        self.near = Some(near.to_owned());
        self.help(format!("did you mean `{near}`?"))
    }

    /// What the author would write in place of the marked text; quotation marks are kept.
    pub fn replacement(&self, text: &str) -> Option<(Range<usize>, String)> {
        let (near, place) = (self.near.as_ref()?, self.place.as_ref()?);
        let marked = text.get(place.range.clone())?;
        let quoted = marked.len() >= 2 && marked.starts_with('"') && marked.ends_with('"');
        let near = if quoted { format!("\"{near}\"") } else { near.clone() };
        (near != marked).then(|| (place.range.clone(), near))
    }

    /// The same as a warning.
    #[must_use]
    pub fn warning(mut self) -> Self {
        self.level = Level::Warning;
        self
    }

    /// True when the file cannot be used.
    pub fn is_error(&self) -> bool {
        self.level == Level::Error
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let level = match self.level {
            Level::Error => "error",
            Level::Warning => "warning",
        };
        writeln!(f, "{level}[{}]: {}", self.code, self.message)?;
        let gutter = match &self.place {
            None => {
                writeln!(f, " --> {}", self.file)?;
                1
            }
            Some(p) => {
                let g = p.line.to_string().len();
                let pad: String = p
                    .excerpt
                    .chars()
                    .take(p.col - 1)
                    .map(|c| if c == '\t' { '\t' } else { ' ' })
                    .collect();
                writeln!(f, "{:g$}--> {}:{}:{}", "", p.file, p.line, p.col)?;
                writeln!(f, "{:g$} |", "")?;
                writeln!(f, "{} | {}", p.line, p.excerpt)?;
                writeln!(f, "{:g$} | {pad}{}", "", "^".repeat(p.width))?;
                g
            }
        };
        if let Some(help) = &self.help {
            writeln!(f, "{:gutter$} = help: {help}", "")?;
        }
        Ok(())
    }
}

/// A value that may be partly wrong, with everything found on the way.
#[derive(Clone, Debug)]
pub struct Checked<T> {
    /// The value, when enough of the file could be read.
    pub value: Option<T>,
    /// Everything found, in file order.
    pub diagnostics: Vec<Diagnostic>,
}

impl<T> Checked<T> {
    /// The value when no error was found, else all diagnostics.
    pub fn into_result(self) -> Result<(T, Vec<Diagnostic>), Vec<Diagnostic>> {
        match self.value {
            Some(value) if !self.diagnostics.iter().any(Diagnostic::is_error) => {
                Ok((value, self.diagnostics))
            }
            _ => Err(self.diagnostics),
        }
    }
}

/// Sorts diagnostics by file and place, and drops repeats of one trouble at one place.
pub fn in_file_order(mut all: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let at = |d: &Diagnostic| d.place.as_ref().map_or(0, |p| p.range.start);
    all.sort_by(|a, b| (&a.file, at(a), a.code).cmp(&(&b.file, at(b), b.code)));
    all.dedup();
    all
}

/// The known word nearest to `word`, when it is close enough to be a slip of the pen.
pub fn closest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|k| (distance(&word, &k.to_lowercase()), k))
        .filter(|(d, k)| *d <= 1.max(k.chars().count() / 3))
        .min_by_key(|(d, _)| *d)
        .map(|(_, k)| k)
}

/// Restricted Damerau-Levenshtein distance in characters.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut d = vec![vec![0usize; b.len() + 1]; a.len() + 1];
    for (i, row) in d.iter_mut().enumerate() {
        row[0] = i;
    }
    for (j, first) in d[0].iter_mut().enumerate() {
        *first = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut v = (d[i - 1][j] + 1).min(d[i][j - 1] + 1).min(d[i - 1][j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                v = v.min(d[i - 2][j - 2] + 1);
            }
            d[i][j] = v;
        }
    }
    d[a.len()][b.len()]
}

macro_rules! codes {
    ($( $variant:ident $text:literal $doc:literal, )*) => {
        /// The kinds of trouble an authored file can have; each has a page in [`Code::doc`].
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $( #[doc = $doc] $variant, )* }

        impl Code {
            /// All codes, in the order of their declaration.
            pub const ALL: &'static [Self] = &[ $( Self::$variant, )* ];

            /// The code as it is printed.
            pub const fn as_str(self) -> &'static str {
                match self { $( Self::$variant => $text, )* }
            }

            /// What the code means, why it matters, and how it is mended.
            pub const fn doc(self) -> &'static str {
                match self { $( Self::$variant => $doc, )* }
            }
        }
    };
}

codes! {
    Unreadable "unreadable" "The file is missing or cannot be opened. Check the path and the rights.",
    TooBig "too-big" "A file over 1 MiB is not read, so that a broken file cannot fill the memory. Split it.",
    NotText "not-text" "Authored files are UTF-8 text. Save the file again with that encoding.",
    Syntax "syntax" "The text is not well-formed: a comma, colon, bracket or value is missing or one too many. The message says what was expected at this place.",
    UnclosedBracket "unclosed-bracket" "A bracket is opened here and never closed, or closed by one of another kind.",
    UnclosedString "unclosed-string" "A quotation mark opens a text here and none closes it on the same line.",
    BadEscape "bad-escape" "A backslash in a text must be followed by one of n, t, r, 0, quotation mark, apostrophe, backslash, x or u{...}.",
    TooDeep "too-deep" "Brackets are nested deeper than any file of ours needs; something was probably pasted twice.",
    ExtensionLine "extension-line" "Lines such as #![enable(...)] are not used in these files; leave the line out.",
    NotFinite "not-finite" "inf and NaN are not numbers that a cell can have. Write an ordinary number.",
    WrongType "wrong-type" "The value here is of another kind than this field takes: the message says which kind is meant.",
    OutOfRange "out-of-range" "The number is outside the range that makes sense here; the message gives the range.",
    UnknownField "unknown-field" "No field of this name exists here; a misspelt field would otherwise be ignored in silence.",
    MissingField "missing-field" "A field that is always needed is not there.",
    RepeatedField "repeated-field" "The same field stands twice; only one of the two can be meant.",
    UnknownValue "unknown-value" "The word is none of the values that this field takes.",
    UnknownKind "unknown-kind" "The file is none of the kinds that Jarlight reads. It should begin with a name such as Scenario( or Case(.",
    UnknownFormat "unknown-format" "Every file begins with `format: 1`. A higher number was written for a later program.",
    BadSlug "bad-slug" "An id consists of small letters, digits, underscore and dot.",
    RepeatedId "repeated-id" "Two entries have the same id, so that one would hide the other.",
    UnknownPart "unknown-part" "No part of the catalogue has this id.",
    UnknownCondition "unknown-condition" "No condition of the catalogue has this id.",
    UnknownMechanism "unknown-mechanism" "No cause of the catalogue has this id.",
    UnknownFinding "unknown-finding" "No condition or reading of this id can be entered as a finding.",
    UnknownDesign "unknown-design" "No design has this id.",
    UnknownSource "unknown-source" "The basis names a source that sources.ron does not list.",
    UnknownOverlay "unknown-overlay" "No overlay family has this name.",
    PartNotInDesign "part-not-in-design" "The drawn construction has no such part, so nobody could find it in the picture.",
    ImpossibleDesign "impossible-design" "The dimensions contradict each other; the message shows the sum that fails.",
    ProbabilityFalls "probability-falls" "A cumulative row must not fall from one grade to the next and must end at 1.",
    Cycle "cycle" "Causes that make each other likelier must not form a circle.",
    NoCause "no-cause" "No cause explains this finding, so it could never change an answer.",
    NoFinding "no-finding" "No finding speaks for this cause, so it could never be found.",
    KeyNotOption "key-not-option" "The right answer is not among the options.",
    TooFewOptions "too-few-options" "A choice needs at least two different options.",
    RepeatedOption "repeated-option" "The same option is offered twice.",
    NothingToSee "nothing-to-see" "The question asks about a condition that its scene does not show.",
    OlderGetsBetter "older-gets-better" "An older onset makes a worse grade less likely; that is seldom meant.",
    BadPlace "bad-place" "The place does not exist in the drawing of this design.",
    BadPicture "bad-picture" "The picture of a photograph cannot be used: it is missing, is no PNG, JPEG or WebP file, bears a wrong name, is animated, cut off, damaged or too large. The message says which.",
    Empty "empty" "A text or list that must say something is empty.",
    UnknownScene "unknown-scene" "The question names a scene that stands in no entry of `scenes`.",
    UnusedScene "unused-scene" "No question asks about this scene; a question may name another one by mistake.",
    UnknownSubject "unknown-subject" "A question can be about parts, conditions, causes and facts; this id is none of them.",
    TooManyOptions "too-many-options" "Options are chosen with the keys 1 to 9, so there can be nine at most.",
    StemTells "stem-tells" "The question itself names the right answer, so that nobody has to look at the picture.",
    NotInView "not-in-view" "The condition cannot be seen from where the scene is seen.",
    AlsoTrue "also-true" "A wrong option is true of the scene as well, so that whoever sees it is marked wrong.",
    NoFeedback "no-feedback" "A wrong answer would teach nothing: the question has neither a text of its own nor anything that it is about.",
    RulesDisagree "rules-disagree" "The rules of the catalogue come to another cause or age than the key; whoever reasons by them is marked wrong.",
    NoWayOut "no-way-out" "The conditions offer `normal`, but the causes do not; whoever finds the cell normal could not go on.",
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_diagnostic_names_line_column_and_fix() {
        let source = Source::new("a.ron", "Case(\n  désign: 1,\n)");
        let at = source.text().find("désign").unwrap();
        let d = Diagnostic::new(Code::UnknownField, &source, at..at + 7, "no field `désign`")
            .nearest("désign", ["design", "age"]);
        let text = d.to_string();
        assert!(text.contains("a.ron:2:3"), "{text}");
        assert!(text.contains("2 |   désign: 1,"), "{text}");
        assert!(text.contains("  |   ^^^^^^\n"), "{text}");
        assert!(text.contains("did you mean `design`?"), "{text}");
    }

    #[test]
    fn bytes_that_are_not_text_are_refused_with_a_place() {
        let d = Source::from_bytes("b.ron", b"Case(\n \xff)").unwrap_err();
        assert_eq!(d.code, Code::NotText);
        assert_eq!(d.place.map(|p| (p.line, p.col)), Some((2, 2)));
        let big = vec![b' '; MAX_BYTES + 1];
        assert_eq!(Source::from_bytes("c.ron", &big).unwrap_err().code, Code::TooBig);
    }

    #[test]
    fn only_close_words_are_offered() {
        assert_eq!(closest("seperator", ["separator", "strap"]), Some("separator"));
        assert_eq!(closest("battery", ["separator", "strap"]), None);
    }
}
