//! From a tree to typed values; a mistake in one field does not hide those of the others.

use super::{Kind, Name, Node, Shape, parse};
use crate::diag::{Checked, Code, Diagnostic, Source};
use std::{collections::BTreeMap, ops::Range};

/// A type that can be read from an authored file.
pub trait Authored: Sized {
    /// Reads the value; `None` when something was wrong, which has then been reported.
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self>;

    /// What the value looks like, for a schema.
    fn shape() -> Shape;
}

/// A value with the byte range it came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot<T> {
    /// The value.
    pub value: T,
    /// Its place in the file.
    pub at: Range<usize>,
}

impl<T> std::ops::Deref for Spot<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// Collects what is wrong while a tree is read.
pub struct Reader<'s> {
    source: &'s Source,
    found: Vec<Diagnostic>,
}

/// The fields of a record, checked for unknown and repeated names.
pub struct Fields<'n> {
    at: Range<usize>,
    owner: &'static str,
    all: &'n [(Name, Node)],
    unknown: Vec<&'n str>,
}

impl<'s> Reader<'s> {
    /// A reader for values of one file.
    pub fn new(source: &'s Source) -> Self {
        Self { source, found: Vec::new() }
    }

    /// The file that is read.
    pub fn source(&self) -> &Source {
        self.source
    }

    /// Reports an error at a place.
    pub fn error(&mut self, code: Code, at: Range<usize>, message: impl Into<String>) {
        self.found.push(Diagnostic::new(code, self.source, at, message));
    }

    /// Adds a diagnostic that was made elsewhere.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.found.push(diagnostic);
    }

    /// Everything found so far.
    pub fn into_diagnostics(self) -> Vec<Diagnostic> {
        self.found
    }

    /// Reports that another kind of value was expected.
    pub fn mismatch(&mut self, node: &Node, expected: &str) {
        if node.kind != Kind::Bad {
            let what = format!("expected {expected}, met {}", node.kind.words());
            self.error(Code::WrongType, node.at.clone(), what);
        }
    }

    /// The fields of a record, unknown and repeated ones reported.
    pub fn fields<'n>(
        &mut self,
        node: &'n Node,
        owner: &'static str,
        known: &[&str],
    ) -> Option<Fields<'n>> {
        let (name, all): (_, &[(Name, Node)]) = match &node.kind {
            Kind::Record(name, fields) => (name, fields),
            Kind::Tuple(name, items) if items.is_empty() => (name, &[]),
            _ => {
                self.mismatch(node, &format!("the fields of {owner} in ( )"));
                return None;
            }
        };
        if let Some(name) = name
            && name.text != owner
        {
            let what = format!("expected {owner}, met `{}`", name.text);
            self.push(
                Diagnostic::new(Code::WrongType, self.source, name.at.clone(), what)
                    .nearest(&name.text, [owner]),
            );
        }
        let mut unknown = Vec::new();
        for (i, (field, _)) in all.iter().enumerate() {
            if !known.contains(&field.text.as_str()) {
                unknown.push(field.text.as_str());
                let what = format!("{owner} has no field `{}`", field.text);
                let d = Diagnostic::new(Code::UnknownField, self.source, field.at.clone(), what);
                // A field that is there already cannot be the one that was meant.
                let free = known.iter().copied().filter(|k| all.iter().all(|(f, _)| f.text != *k));
                let d = match d.clone().nearest(&field.text, free) {
                    near if near.help.is_some() => near,
                    _ => d.help(format!("known fields: {}", known.join(", "))),
                };
                self.push(d);
            } else if all[..i].iter().any(|(f, _)| f.text == field.text) {
                let what = format!("the field `{}` stands twice", field.text);
                self.error(Code::RepeatedField, field.at.clone(), what);
            }
        }
        Some(Fields { at: node.at.clone(), owner, all, unknown })
    }

    /// Reads a field that must be there.
    pub fn needed<T: Authored>(&mut self, fields: &Fields<'_>, field: &str) -> Option<T> {
        match fields.all.iter().find(|(name, _)| name.text == field) {
            Some((_, node)) => T::read(node, self),
            None => {
                // A close misspelling has been reported already; say it once.
                let mut unknown = fields.unknown.iter();
                let misspelt = unknown.any(|name| crate::diag::closest(name, [field]).is_some());
                if !misspelt {
                    let at = fields.at.start..fields.at.start + 1;
                    let what = format!("{} needs a field `{field}`", fields.owner);
                    self.error(Code::MissingField, at, what);
                }
                None
            }
        }
    }

    /// Reads a field that may be left out.
    pub fn optional<T: Authored>(
        &mut self,
        fields: &Fields<'_>,
        field: &str,
        default: impl FnOnce() -> T,
    ) -> Option<T> {
        match fields.all.iter().find(|(name, _)| name.text == field) {
            Some((_, node)) => T::read(node, self),
            None => Some(default()),
        }
    }

    /// The word of an enum value, when it is a known one.
    pub fn variant<'n>(&mut self, node: &'n Node, owner: &str, known: &[&str]) -> Option<&'n str> {
        let (word, at) = match &node.kind {
            Kind::Word(word) => (word.as_str(), node.at.clone()),
            Kind::Record(Some(n), _) | Kind::Tuple(Some(n), _) => (n.text.as_str(), n.at.clone()),
            Kind::Text(text) if known.contains(&text.as_str()) => {
                let what = format!("expected the bare word {text}, without quotation marks");
                self.error(Code::WrongType, node.at.clone(), what);
                return None;
            }
            _ => {
                self.mismatch(node, &format!("one of {}", known.join(", ")));
                return None;
            }
        };
        if known.contains(&word) {
            return Some(word);
        }
        let what = format!("`{word}` is none of the values of {owner}");
        let d = Diagnostic::new(Code::UnknownValue, self.source, at, what);
        let d = match d.clone().nearest(word, known.iter().copied()) {
            near if near.help.is_some() => near,
            _ => d.help(format!("known values: {}", known.join(", "))),
        };
        self.push(d);
        None
    }

    /// Reports values behind a word that takes none.
    pub fn no_values(&mut self, node: &Node, word: &str) -> Option<()> {
        if matches!(node.kind, Kind::Word(_)) {
            return Some(());
        }
        self.error(Code::WrongType, node.at.clone(), format!("{word} takes no values in ( )"));
        None
    }

    /// The values of a tuple, when there are as many as expected.
    pub fn items<'n>(&mut self, node: &'n Node, owner: &str, count: usize) -> Option<&'n [Node]> {
        match &node.kind {
            Kind::Tuple(_, items) if items.len() == count => Some(items),
            Kind::Tuple(_, items) => {
                let met = items.len();
                let what = format!("{owner} takes {count} values in ( ), met {met}");
                self.error(Code::WrongType, node.at.clone(), what);
                None
            }
            _ => {
                self.mismatch(node, &format!("{owner} with {count} values in ( )"));
                None
            }
        }
    }

    /// Reads the next value of a tuple.
    pub fn next_item<'n, T: Authored>(
        &mut self,
        items: &mut impl Iterator<Item = &'n Node>,
    ) -> Option<T> {
        items.next().and_then(|node| T::read(node, self))
    }
}

/// Reads the root of a file that has been parsed already.
pub fn read_root<T: Authored>(source: &Source, root: &Node) -> Checked<T> {
    let mut cx = Reader::new(source);
    let value = T::read(root, &mut cx);
    Checked { value, diagnostics: cx.into_diagnostics() }
}

/// Reads a whole file: syntax errors and errors of meaning together, in file order.
pub fn read_file<T: Authored>(source: &Source) -> Checked<T> {
    let (root, mut found) = parse(source);
    let mut read = read_root(source, &root);
    found.append(&mut read.diagnostics);
    Checked { value: read.value, diagnostics: crate::diag::in_file_order(found) }
}

impl Authored for bool {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        match node.kind {
            Kind::Bool(b) => Some(b),
            _ => {
                cx.mismatch(node, "true or false");
                None
            }
        }
    }
    fn shape() -> Shape {
        Shape::Bool
    }
}

impl Authored for f64 {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        match node.kind {
            Kind::Number { value, .. } => Some(value),
            _ => {
                cx.mismatch(node, "a number");
                None
            }
        }
    }
    fn shape() -> Shape {
        Shape::Number
    }
}

macro_rules! whole_numbers {
    ($($ty:ty),*) => {$(
        impl Authored for $ty {
            fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
                match node.kind {
                    Kind::Number { whole: Some(w), .. } => match <$ty>::try_from(w) {
                        Ok(v) => Some(v),
                        Err(_) => {
                            let what = format!(
                                "expected a whole number from {} to {}", <$ty>::MIN, <$ty>::MAX);
                            cx.error(Code::OutOfRange, node.at.clone(), what);
                            None
                        }
                    },
                    _ => {
                        cx.mismatch(node, "a whole number");
                        None
                    }
                }
            }
            fn shape() -> Shape {
                Shape::Whole
            }
        }
    )*};
}
whole_numbers!(u8, u16, u32, u64, usize);

impl Authored for String {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        match &node.kind {
            Kind::Text(text) => Some(text.clone()),
            _ => {
                cx.mismatch(node, "a text in quotation marks");
                None
            }
        }
    }
    fn shape() -> Shape {
        Shape::Text
    }
}

impl<T: Authored> Authored for Spot<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        T::read(node, cx).map(|value| Self { value, at: node.at.clone() })
    }
    fn shape() -> Shape {
        T::shape()
    }
}

impl<T: Authored> Authored for Option<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        match &node.kind {
            Kind::Word(word) if word == "None" => Some(None),
            Kind::Tuple(Some(name), items) if name.text == "Some" && items.len() == 1 => {
                T::read(&items[0], cx).map(Some)
            }
            _ => T::read(node, cx).map(Some),
        }
    }
    fn shape() -> Shape {
        Shape::Option(T::shape)
    }
}

impl<T: Authored> Authored for Vec<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::List(items) = &node.kind else {
            cx.mismatch(node, "a list in [ ]");
            return None;
        };
        // Every element is read, so that each mistake is reported.
        let read: Vec<Option<T>> = items.iter().map(|item| T::read(item, cx)).collect();
        read.into_iter().collect()
    }
    fn shape() -> Shape {
        Shape::List(T::shape)
    }
}

impl<T: Authored + Copy + Default, const N: usize> Authored for [T; N] {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let items = match &node.kind {
            Kind::List(items) | Kind::Tuple(None, items) => items,
            _ => {
                cx.mismatch(node, &format!("{N} values in [ ]"));
                return None;
            }
        };
        if items.len() != N {
            let what = format!("expected {N} values, met {}", items.len());
            cx.error(Code::WrongType, node.at.clone(), what);
            return None;
        }
        let mut out = [T::default(); N];
        let mut sound = true;
        for (slot, item) in out.iter_mut().zip(items) {
            match T::read(item, cx) {
                Some(v) => *slot = v,
                None => sound = false,
            }
        }
        sound.then_some(out)
    }
    fn shape() -> Shape {
        Shape::Tuple(vec![T::shape as fn() -> Shape; N])
    }
}

impl<T: Authored> Authored for BTreeMap<String, T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::Map(pairs) = &node.kind else {
            cx.mismatch(node, "a map in { }");
            return None;
        };
        let mut out = Self::new();
        let mut sound = true;
        for (key, value) in pairs {
            match (String::read(key, cx), T::read(value, cx)) {
                (Some(k), Some(v)) => {
                    if out.insert(k.clone(), v).is_some() {
                        cx.error(
                            Code::RepeatedField,
                            key.at.clone(),
                            format!("`{k}` stands twice"),
                        );
                    }
                }
                _ => sound = false,
            }
        }
        sound.then_some(out)
    }
    fn shape() -> Shape {
        Shape::Map(T::shape)
    }
}

macro_rules! tuples {
    ($($count:literal $($ty:ident)*;)*) => {$(
        impl<$($ty: Authored),*> Authored for ($($ty,)*) {
            fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
                let mut items = cx.items(node, "this", $count)?.iter();
                Some(($(cx.next_item::<$ty>(&mut items)?,)*))
            }
            fn shape() -> Shape {
                Shape::Tuple(vec![$($ty::shape),*])
            }
        }
    )*};
}
tuples! { 2 A B; 3 A B C; 4 A B C D; }
