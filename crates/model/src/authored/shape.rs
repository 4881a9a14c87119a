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
    /// A value that may be left out or be `None`.
    Option(ShapeFn),
    /// A list.
    List(ShapeFn),
    /// A map from texts.
    Map(ShapeFn),
    /// Values in round brackets, by place.
    Tuple(Vec<ShapeFn>),
    /// Named fields; the flag says whether the field is always needed.
    Record {
        /// Name of the type.
        name: &'static str,
        /// Field name, needed, shape.
        fields: Vec<(&'static str, bool, ShapeFn)>,
    },
    /// One of several words, some with values.
    Enum {
        /// Name of the type.
        name: &'static str,
        /// The words.
        variants: Vec<(&'static str, VariantShape)>,
    },
}

/// What follows the word of an enum.
#[derive(Clone, Debug)]
pub enum VariantShape {
    /// Nothing.
    Word,
    /// Values by place.
    Values(Vec<ShapeFn>),
    /// Named fields.
    Fields(Vec<(&'static str, bool, ShapeFn)>),
}
