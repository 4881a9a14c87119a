//! RON text to a tree whose every value knows its place, going on after a mistake.
//!
//! The `ron` crate stops at the first syntax error and gives no place to a value that reads
//! well but means nothing. An author wants every mistake of a file at once, so the text is
//! read into this small tree first. A property test holds it against `ron` on random files.

use crate::diag::{Code, Diagnostic, Source};
use std::ops::Range;

/// Brackets may be nested this deep; our deepest file needs twelve.
pub const MAX_DEPTH: usize = 40;

/// A value with its place in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Byte range of the value, without surrounding space and comments.
    pub at: Range<usize>,
    /// What the value is.
    pub kind: Kind,
}

/// A field name or the name before a bracket, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    /// The word.
    pub text: String,
    /// Its byte range.
    pub at: Range<usize>,
}

/// The kinds of values of a RON text.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// Could not be read; the mistake has been reported.
    Bad,
    /// `true` or `false`.
    Bool(bool),
    /// A number; whole numbers keep their exact value.
    Number {
        /// The value as a floating point number.
        value: f64,
        /// The exact value when the text is a whole number.
        whole: Option<i128>,
    },
    /// A text in quotation marks.
    Text(String),
    /// A character in apostrophes.
    Char(char),
    /// `[a, b]`
    List(Vec<Node>),
    /// `{key: value}`
    Map(Vec<(Node, Node)>),
    /// `Name(field: value)`, the name being optional.
    Record(Option<Name>, Vec<(Name, Node)>),
    /// `Name(a, b)`, the name being optional; also `()`.
    Tuple(Option<Name>, Vec<Node>),
    /// A bare word such as `None` or `Heavy`.
    Word(String),
}

impl Kind {
    /// What the value is, in words for a message.
    pub const fn words(&self) -> &'static str {
        match self {
            Self::Bad => "something unreadable",
            Self::Bool(_) => "true or false",
            Self::Number { .. } => "a number",
            Self::Text(_) => "a text in quotation marks",
            Self::Char(_) => "a character",
            Self::List(_) => "a list in [ ]",
            Self::Map(_) => "a map in { }",
            Self::Record(..) => "fields in ( )",
            Self::Tuple(..) => "values in ( )",
            Self::Word(_) => "a bare word",
        }
    }
}

/// Reads a text into a tree and reports every syntax error that can be told apart.
pub fn parse(source: &Source) -> (Node, Vec<Diagnostic>) {
    let mut p = Parser { source, text: source.text(), pos: 0, open: Vec::new(), found: Vec::new() };
    p.space();
    if p.text[p.pos..].starts_with("#!") {
        let end = p.text[p.pos..].find('\n').map_or(p.text.len(), |i| p.pos + i);
        p.report(Code::ExtensionLine, p.pos..end, "extension lines are not used in these files");
        p.pos = end;
    }
    let node = p.value();
    p.space();
    if p.pos < p.text.len() {
        let at = p.pos..p.token_end();
        p.report(Code::Syntax, at, "the file should end here");
    }
    (node, p.found)
}

struct Parser<'s> {
    source: &'s Source,
    text: &'s str,
    pos: usize,
    /// Closing characters that the open brackets wait for.
    open: Vec<char>,
    found: Vec<Diagnostic>,
}

fn word_start(c: char) -> bool {
    c.is_ascii_alphabetic() || c == '_'
}

fn word_part(c: char) -> bool {
    c.is_ascii_alphanumeric() || c == '_'
}

impl Parser<'_> {
    /// Reports an error unless the same line already has one: what follows is a follow-up.
    fn report(&mut self, code: Code, at: Range<usize>, message: impl Into<String>) {
        self.report_help(code, at, message, None);
    }

    fn report_help(
        &mut self,
        code: Code,
        at: Range<usize>,
        message: impl Into<String>,
        help: Option<&str>,
    ) {
        let mut d = Diagnostic::new(code, self.source, at, message);
        d.help = help.map(str::to_owned);
        let line = d.place.as_ref().map(|p| p.line);
        if !self.found.iter().any(|f| f.place.as_ref().map(|p| p.line) == line) {
            self.found.push(d);
        }
    }

    fn peek(&self) -> Option<char> {
        self.text[self.pos..].chars().next()
    }

    fn eat(&mut self, c: char) -> bool {
        let here = self.peek() == Some(c);
        if here {
            self.pos += c.len_utf8();
        }
        here
    }

    /// Skips space and comments.
    fn space(&mut self) {
        loop {
            let rest = &self.text[self.pos..];
            let trimmed = rest.trim_start();
            self.pos += rest.len() - trimmed.len();
            if trimmed.starts_with("//") {
                self.pos += trimmed.find('\n').unwrap_or(trimmed.len());
            } else if trimmed.starts_with("/*") {
                self.block_comment();
            } else {
                return;
            }
        }
    }

    fn block_comment(&mut self) {
        let start = self.pos;
        let mut depth = 0usize;
        while self.pos < self.text.len() {
            let rest = &self.text[self.pos..];
            if rest.starts_with("/*") {
                depth += 1;
                self.pos += 2;
            } else if rest.starts_with("*/") {
                depth -= 1;
                self.pos += 2;
                if depth == 0 {
                    return;
                }
            } else {
                self.pos += rest.chars().next().map_or(1, char::len_utf8);
            }
        }
        self.report(Code::UnclosedBracket, start..start + 2, "this comment is never closed");
    }

    fn token_end(&self) -> usize {
        let rest = &self.text[self.pos..];
        let Some(first) = rest.chars().next() else { return self.pos };
        if word_part(first) {
            self.pos + rest.find(|c| !word_part(c)).unwrap_or(rest.len())
        } else {
            self.pos + first.len_utf8()
        }
    }

    fn word(&mut self) -> Name {
        let at = self.pos..self.token_end();
        self.pos = at.end;
        Name { text: self.text[at.clone()].to_owned(), at }
    }

    fn value(&mut self) -> Node {
        self.space();
        let start = self.pos;
        let rest = &self.text[start..];
        let kind = match self.peek() {
            None => {
                let at = self.text.trim_end().len();
                self.report(Code::Syntax, at..at, "expected a value, but the file ends here");
                Kind::Bad
            }
            Some('(') => self.bracket(None),
            Some('[') => self.list(),
            Some('{') => self.map(),
            Some('"') => self.string(),
            Some('r') if rest.starts_with("r\"") || rest.starts_with("r#") => self.raw_string(),
            Some('\'') => self.character(),
            Some(c) if c.is_ascii_digit() || matches!(c, '+' | '-' | '.') => self.number(),
            Some(c) if word_start(c) => self.named(),
            Some(_) => {
                let at = start..self.token_end();
                let met = self.text[at.clone()].to_owned();
                self.report(Code::Syntax, at.clone(), format!("expected a value, met `{met}`"));
                Kind::Bad
            }
        };
        Node { at: start..self.pos.max(start), kind }
    }

    fn named(&mut self) -> Kind {
        let name = self.word();
        match name.text.as_str() {
            "true" => return Kind::Bool(true),
            "false" => return Kind::Bool(false),
            "inf" | "NaN" => {
                self.report(Code::NotFinite, name.at, "inf and NaN are not allowed");
                return Kind::Bad;
            }
            _ => {}
        }
        let after = self.pos;
        self.space();
        if self.peek() == Some('(') {
            return self.bracket(Some(name));
        }
        self.pos = after;
        Kind::Word(name.text)
    }

    /// Opens a bracket; `None` when the text is nested too deeply.
    fn enter(&mut self, close: char) -> Option<usize> {
        let start = self.pos;
        if self.open.len() >= MAX_DEPTH {
            self.report(
                Code::TooDeep,
                start..start + 1,
                format!("brackets are nested deeper than {MAX_DEPTH}"),
            );
            self.skip_balanced();
            return None;
        }
        self.pos += 1;
        self.open.push(close);
        Some(start)
    }

    /// Jumps over a whole bracket without reading it.
    fn skip_balanced(&mut self) {
        let mut depth = 0usize;
        while let Some(c) = self.peek() {
            match c {
                '(' | '[' | '{' => depth += 1,
                ')' | ']' | '}' => depth = depth.saturating_sub(1),
                _ => {}
            }
            self.pos += c.len_utf8();
            if depth == 0 {
                return;
            }
            self.space();
        }
    }

    /// After an element: a comma, the closing bracket, or a mistake that is reported.
    /// True when another element may follow.
    fn more(&mut self, opened: usize) -> bool {
        let close = self.open.last().copied().unwrap_or(')');
        let mut eaten = 0usize;
        loop {
            self.space();
            match self.peek() {
                None => {
                    let what = format!("this bracket is never closed with `{close}`");
                    self.report(Code::UnclosedBracket, opened..opened + 1, what);
                    return false;
                }
                Some(c) if c == close => {
                    self.pos += 1;
                    return false;
                }
                Some(',') => {
                    if eaten > 0 {
                        let at = self.pos..self.pos + 1;
                        self.report(Code::Syntax, at, "expected a value, met another comma");
                    }
                    self.pos += 1;
                    eaten += 1;
                    continue;
                }
                Some(c @ (')' | ']' | '}')) => {
                    let outer = self.open.iter().rev().skip(1).any(|o| *o == c);
                    let (line, _) = self.source.line_col(opened);
                    let what = format!(
                        "expected `{close}` to close the bracket of line {line}, met `{c}`"
                    );
                    self.report(Code::UnclosedBracket, self.pos..self.pos + 1, what);
                    if outer {
                        return false;
                    }
                    self.pos += 1;
                    return false;
                }
                Some(_) if eaten == 0 => {
                    let at = self.pos..self.token_end();
                    let met = self.text[at.clone()].to_owned();
                    self.report_help(
                        Code::Syntax,
                        at,
                        format!("expected a comma or `{close}`, met `{met}`"),
                        Some("a comma may be missing before this, or a text left open above"),
                    );
                    return true;
                }
                Some(_) => return true,
            }
        }
    }

    /// True when the bracket holds no element; its closing is eaten.
    fn none_inside(&mut self) -> bool {
        self.space();
        let close = self.open.last().copied().unwrap_or(')');
        if self.peek() == Some(close) {
            self.pos += 1;
            return true;
        }
        false
    }

    /// Makes sure that reading moves on: skips one token when an element took nothing.
    fn moved(&mut self, before: usize) {
        if self.pos == before {
            let closes = matches!(self.peek(), Some(')' | ']' | '}' | ','));
            if !closes {
                self.pos = self.token_end();
            }
        }
    }

    fn list(&mut self) -> Kind {
        let Some(opened) = self.enter(']') else { return Kind::Bad };
        let mut items = Vec::new();
        if !self.none_inside() {
            loop {
                let before = self.pos;
                items.push(self.value());
                self.moved(before);
                if !self.more(opened) {
                    break;
                }
            }
        }
        self.open.pop();
        Kind::List(items)
    }

    fn map(&mut self) -> Kind {
        let Some(opened) = self.enter('}') else { return Kind::Bad };
        let mut pairs = Vec::new();
        if !self.none_inside() {
            loop {
                let before = self.pos;
                let key = self.value();
                self.moved(before);
                self.colon("the key");
                let value = self.value();
                pairs.push((key, value));
                if !self.more(opened) {
                    break;
                }
            }
        }
        self.open.pop();
        Kind::Map(pairs)
    }

    fn colon(&mut self, after: &str) {
        self.space();
        if !self.eat(':') {
            let at = self.pos..self.token_end();
            self.report(Code::Syntax, at, format!("expected `:` after {after}"));
        }
    }

    /// True when a field name with its colon, or with a forgotten colon, stands here.
    fn at_field(&self) -> bool {
        let rest = &self.text[self.pos..];
        if !rest.starts_with(word_start) {
            return false;
        }
        let end = rest.find(|c| !word_part(c)).unwrap_or(rest.len());
        let after = rest[end..].trim_start();
        let forgotten = after.starts_with(['"', '[', '{'])
            || after.starts_with(|c: char| c.is_ascii_digit() || word_start(c));
        after.starts_with(':') || forgotten && !rest.starts_with("r\"") && !rest.starts_with("r#")
    }

    fn bracket(&mut self, name: Option<Name>) -> Kind {
        let Some(opened) = self.enter(')') else { return Kind::Bad };
        let (mut fields, mut items) = (Vec::new(), Vec::new());
        if !self.none_inside() {
            loop {
                self.space();
                let before = self.pos;
                if self.at_field() {
                    let field = self.word();
                    self.colon(&format!("the field name `{}`", field.text));
                    let value = self.value();
                    fields.push((field, value));
                } else {
                    items.push(self.value());
                }
                self.moved(before);
                if !self.more(opened) {
                    break;
                }
            }
        }
        self.open.pop();
        if fields.is_empty() {
            return Kind::Tuple(name, items);
        }
        for stray in items.iter().filter(|i| i.kind != Kind::Bad) {
            self.report(Code::Syntax, stray.at.clone(), "expected a field name and a colon");
        }
        Kind::Record(name, fields)
    }

    fn number(&mut self) -> Kind {
        let start = self.pos;
        let rest = &self.text[start..];
        let signed = rest.starts_with(['+', '-']);
        let body = &rest[usize::from(signed)..];
        for word in ["inf", "NaN"] {
            if body.starts_with(word) {
                self.pos += usize::from(signed) + word.len();
                self.report(Code::NotFinite, start..self.pos, "inf and NaN are not allowed");
                return Kind::Bad;
            }
        }
        let mut end = usize::from(signed);
        let bytes = rest.as_bytes();
        while end < bytes.len() {
            let exponent_sign = matches!(bytes[end], b'+' | b'-')
                && matches!(bytes[end - 1], b'e' | b'E')
                && !body.starts_with("0x");
            if word_part(bytes[end] as char) || bytes[end] == b'.' || exponent_sign {
                end += 1;
            } else {
                break;
            }
        }
        self.pos = start + end.max(1);
        let text: String = self.text[start..self.pos].chars().filter(|c| *c != '_').collect();
        let whole = whole_number(&text);
        let value = match whole {
            Some(w) => Some(w as f64),
            None if text.contains(|c: char| c.is_ascii_alphabetic() && c != 'e' && c != 'E') => {
                None
            }
            None => text.parse::<f64>().ok(),
        };
        match value {
            Some(value) if value.is_finite() => Kind::Number { value, whole },
            Some(_) => {
                self.report(Code::NotFinite, start..self.pos, "the number is too large");
                Kind::Bad
            }
            None => {
                let what = format!("`{text}` is not a number");
                self.report(Code::Syntax, start..self.pos, what);
                Kind::Bad
            }
        }
    }

    fn string(&mut self) -> Kind {
        let start = self.pos;
        self.pos += 1;
        let mut out = String::new();
        loop {
            let Some(c) = self.peek() else { return self.unclosed_string(start) };
            self.pos += c.len_utf8();
            match c {
                '"' => break,
                '\\' => self.escape(&mut out),
                c => out.push(c),
            }
        }
        // A text over several lines whose end is not followed by a separator was most likely
        // left open on its first line.
        if self.text[start..self.pos].contains('\n') {
            let end = self.pos;
            self.space();
            let sound = matches!(self.peek(), None | Some(',' | ')' | ']' | '}' | ':'));
            self.pos = end;
            if !sound {
                return self.unclosed_string(start);
            }
        }
        Kind::Text(out)
    }

    /// Reports the open text and goes on at the end of its first line.
    fn unclosed_string(&mut self, start: usize) -> Kind {
        let line_end = self.text[start..].find('\n').map_or(self.text.len(), |i| start + i);
        self.report(
            Code::UnclosedString,
            start..line_end,
            "this text is not closed with a quotation mark",
        );
        self.pos = line_end;
        let kept = self.text[start..line_end].trim_end();
        if kept.ends_with(',') {
            self.pos = start + kept.len() - 1;
        }
        Kind::Bad
    }

    fn escape(&mut self, out: &mut String) {
        let start = self.pos - 1;
        let Some(c) = self.peek() else { return };
        self.pos += c.len_utf8();
        let ch = match c {
            'n' => Some('\n'),
            't' => Some('\t'),
            'r' => Some('\r'),
            '0' => Some('\0'),
            '"' | '\'' | '\\' => Some(c),
            'x' => self.hex_digits(2),
            'u' if self.eat('{') => {
                let len = self.text[self.pos..].find('}').filter(|n| (1..=6).contains(n));
                let ch = len.and_then(|n| self.hex_digits(n));
                self.eat('}');
                ch
            }
            _ => None,
        };
        match ch {
            Some(ch) => out.push(ch),
            None => {
                let at = start..self.pos;
                self.report(Code::BadEscape, at, "no text contains such a sequence after `\\`");
            }
        }
    }

    fn hex_digits(&mut self, n: usize) -> Option<char> {
        let digits = self.text.get(self.pos..self.pos + n)?;
        let ch = u32::from_str_radix(digits, 16).ok().and_then(char::from_u32)?;
        self.pos += n;
        Some(ch)
    }

    fn raw_string(&mut self) -> Kind {
        let start = self.pos;
        let hashes = self.text[start + 1..].chars().take_while(|c| *c == '#').count();
        let body = start + 1 + hashes;
        let end_mark = format!("\"{}", "#".repeat(hashes));
        if !self.text[body..].starts_with('"') {
            return self.named();
        }
        match self.text[body + 1..].find(&end_mark) {
            Some(len) => {
                self.pos = body + 1 + len + end_mark.len();
                Kind::Text(self.text[body + 1..body + 1 + len].to_owned())
            }
            None => self.unclosed_string(start),
        }
    }

    fn character(&mut self) -> Kind {
        let start = self.pos;
        self.pos += 1;
        let mut out = String::new();
        match self.peek() {
            Some('\\') => {
                self.pos += 1;
                self.escape(&mut out);
            }
            Some(c) if c != '\'' && c != '\n' => {
                self.pos += c.len_utf8();
                out.push(c);
            }
            _ => {}
        }
        if self.eat('\'')
            && let Some(c) = out.chars().next()
        {
            return Kind::Char(c);
        }
        self.report(Code::Syntax, start..self.pos, "expected one character between apostrophes");
        Kind::Bad
    }
}

fn whole_number(text: &str) -> Option<i128> {
    let (sign, body) = match text.strip_prefix('-') {
        Some(body) => (-1, body),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let value = match body.get(..2) {
        Some("0x") => i128::from_str_radix(&body[2..], 16).ok(),
        Some("0b") => i128::from_str_radix(&body[2..], 2).ok(),
        Some("0o") => i128::from_str_radix(&body[2..], 8).ok(),
        _ if body.starts_with(|c: char| c.is_ascii_digit()) => body.parse().ok(),
        _ => None,
    };
    value.map(|v| sign * v)
}
