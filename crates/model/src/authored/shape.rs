//! The shape of an authored type, as data: what a schema or a form is made from.

/// Gives the shape of a field's type; a function, so that types may contain themselves.
pub type ShapeFn = fn() -> Shape;

/// What an authored value looks like.
#[derive(Clone, Debug)]
pub enum Shape {
    /// `true` or `false`.
    Bool,
    /// Any finite number.
    Number,
    /// A whole number of at least zero.
    Whole,
    /// A text.
    Text,
    /// An id: small letters, digits, underscore and dot.
    Id,
    /// A value that may be left out or be `None`.
    Option(ShapeFn),
    /// A list.
    List(ShapeFn),
    /// A map from texts.
    Map(ShapeFn),
    /// Values in round brackets, by place.
    Tuple(Vec<ShapeFn>),
    /// Any of these, told apart by how the value is written.
    Any(Vec<ShapeFn>),
    /// Named fields.
    Record {
        /// Name of the type.
        name: &'static str,
        /// What it is, as the source says it; see [`words`].
        doc: &'static str,
        /// The fields.
        fields: Vec<Field>,
    },
    /// One of several words, some with values.
    Enum {
        /// Name of the type.
        name: &'static str,
        /// What it is, as the source says it; see [`words`].
        doc: &'static str,
        /// The words.
        variants: Vec<Variant>,
    },
}

/// A field of a record.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Its name.
    pub name: &'static str,
    /// Whether it must be there.
    pub needed: bool,
    /// What it is, as the source says it; see [`words`].
    pub doc: &'static str,
    /// What it holds.
    pub shape: ShapeFn,
}

impl Field {
    /// A field of a shape that is written by hand.
    pub const fn new(name: &'static str, needed: bool, shape: ShapeFn) -> Self {
        Self { name, needed, doc: "", shape }
    }
}

/// A word of an enum.
#[derive(Clone, Debug)]
pub struct Variant {
    /// The word.
    pub name: &'static str,
    /// What it means, as the source says it; see [`words`].
    pub doc: &'static str,
    /// What follows it.
    pub holds: VariantShape,
}

impl Variant {
    /// A bare word of a shape that is written by hand.
    pub const fn word(name: &'static str) -> Self {
        Self { name, doc: "", holds: VariantShape::Word }
    }
}

/// What follows the word of an enum.
#[derive(Clone, Debug)]
pub enum VariantShape {
    /// Nothing.
    Word,
    /// Values by place.
    Values(Vec<ShapeFn>),
    /// Named fields.
    Fields(Vec<Field>),
}

/// The sentences of a doc comment that the declaring macros kept as attributes, one a line.
pub fn words(doc: &str) -> String {
    // The compiler breaks a long line behind the sign.
    let doc = doc.replace("doc =\n", "doc = ");
    let lines = doc.lines().filter_map(|line| {
        let text =
            line.strip_prefix("doc = ")?.trim_start().trim_start_matches('r').trim_matches('#');
        Some(text.strip_prefix('"')?.strip_suffix('"')?.trim().replace("\\\"", "\""))
    });
    lines.filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        authored::{Authored as _, read_file},
        diag::Source,
    };

    crate::authored_record! {
        /// A thing,
        /// on two lines.
        #[derive(Debug)]
        struct Thing {
            /// A field with a "quoted" word.
            size: f64 = 0.0,
        }
    }

    #[test]
    fn doc_comments_are_kept_with_the_shape() {
        let Shape::Record { doc, fields, .. } = Thing::shape() else { panic!("no record") };
        assert_eq!(words(doc), "A thing, on two lines.");
        assert_eq!(words(fields[0].doc), "A field with a \"quoted\" word.");
        assert!(!fields[0].needed);
        assert_eq!(words(""), "");
        let read = read_file::<Thing>(&Source::new("x", "Thing()"));
        assert_eq!(read.value.map(|t| t.size), Some(0.0));
    }
}
