//! Readers of fields and lists that go on where one value is wrong, and ranges of numbers.

use jarlight_model::{
    authored::{Authored, Kind, Node, Reader, Shape, Spot},
    diag::Code,
    id::Slug,
};

/// A number, or a range from which the seed of a run draws one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Smallest value.
    pub low: f64,
    /// Largest value.
    pub high: f64,
}

impl Spread {
    /// A spread of one value.
    pub const fn exactly(value: f64) -> Self {
        Self { low: value, high: value }
    }
}

impl Authored for Spread {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        match node.kind {
            Kind::Number { value, .. } => Some(Self::exactly(value)),
            Kind::Tuple(None, _) => {
                let (low, high) = <(f64, f64)>::read(node, cx)?;
                if low > high {
                    let what = format!("a range goes from small to large, met ({low}, {high})");
                    cx.error(Code::OutOfRange, node.at.clone(), what);
                    return None;
                }
                Some(Self { low, high })
            }
            _ => {
                cx.mismatch(node, "a number, or a range such as (0.3, 0.6)");
                None
            }
        }
    }
    fn shape() -> Shape {
        Shape::Any(vec![f64::shape, <(f64, f64)>::shape])
    }
}

/// A map whose keys keep their places, in the order of the file.
///
/// An entry that cannot be read is left out, so that the others can still be checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Keyed<T> {
    /// The sound entries.
    pub entries: Vec<(Spot<String>, T)>,
    /// Keys of the entries that could not be read; empty in a sound file.
    pub broken: Vec<String>,
}

impl<T> Keyed<T> {
    /// The entry of this key.
    pub fn get(&self, key: &str) -> Option<&T> {
        self.entries.iter().find(|(k, _)| k.value == key).map(|(_, v)| v)
    }

    /// All keys in the order of the file.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.entries.iter().map(|(k, _)| k.value.as_str())
    }
}

impl<T> Default for Keyed<T> {
    fn default() -> Self {
        Self { entries: Vec::new(), broken: Vec::new() }
    }
}

impl<T: Authored> Authored for Keyed<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::Map(pairs) = &node.kind else {
            cx.mismatch(node, "a map in { }");
            return None;
        };
        let mut out = Self::default();
        for (key, value) in pairs {
            let value = T::read(value, cx);
            let Some(key) = Spot::<String>::read(key, cx) else { continue };
            if out.keys().any(|known| known == key.value) {
                let what = format!("`{}` stands twice", key.value);
                cx.error(Code::RepeatedField, key.at.clone(), what);
                continue;
            }
            match value {
                Some(value) => out.entries.push((key, value)),
                None => out.broken.push(key.value),
            }
        }
        Some(out)
    }
    fn shape() -> Shape {
        Shape::Map(T::shape)
    }
}

/// A list of which the elements that cannot be read are left out, so that the others can
/// still be checked; the mistakes have been reported.
#[derive(Clone, Debug, PartialEq)]
pub struct Each<T>(pub Vec<T>);

impl<T: Authored> Authored for Each<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::List(items) = &node.kind else {
            cx.mismatch(node, "a list in [ ]");
            return None;
        };
        Some(Self(items.iter().filter_map(|item| T::read(item, cx)).collect()))
    }
    fn shape() -> Shape {
        Shape::List(T::shape)
    }
}

/// Declares a record that is read as far as it goes: a field that cannot be read gets the
/// value given for it, so that the checks of the other fields still run.
macro_rules! tolerant_record {
    ($(
        $(#[$meta:meta])*
        pub struct $name:ident {
            $( $(#[$fmeta:meta])* $kind:ident $field:ident : $ty:ty = $default:expr ),* $(,)?
        }
    )*) => {$(
        $(#[$meta])*
        pub struct $name {
            $( $(#[$fmeta])* pub $field: $ty, )*
            /// Names of the fields that could not be read; empty in a sound file.
            pub broken: Vec<&'static str>,
        }

        impl Authored for $name {
            fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
                const KNOWN: &[&str] = &[$( stringify!($field) ),*];
                let fields = cx.fields(node, stringify!($name), KNOWN)?;
                let mut broken = Vec::new();
                $(
                    let read: Option<$ty> = tolerant_record!(@$kind cx, fields, $field, $default);
                    let $field = read.unwrap_or_else(|| {
                        broken.push(stringify!($field));
                        $default
                    });
                )*
                Some(Self { $( $field, )* broken })
            }

            fn shape() -> Shape {
                Shape::Record {
                    name: stringify!($name),
                    doc: concat!($( stringify!($meta), "\n", )*),
                    fields: vec![$( jarlight_model::authored::Field {
                        name: stringify!($field),
                        needed: tolerant_record!(@$kind),
                        doc: concat!($( stringify!($fmeta), "\n", )*),
                        shape: <$ty as Authored>::shape as fn() -> _,
                    }, )*],
                }
            }
        }
    )*};
    (@needed $cx:ident, $fields:ident, $field:ident, $default:expr) => {
        $cx.needed(&$fields, stringify!($field))
    };
    (@optional $cx:ident, $fields:ident, $field:ident, $default:expr) => {
        $cx.optional(&$fields, stringify!($field), || $default)
    };
    (@needed) => { true };
    (@optional) => { false };
}

/// A value that stands in no file.
pub(super) fn unplaced<T>(value: T) -> Spot<T> {
    Spot { value, at: 0..0 }
}

pub(super) fn no_slug() -> Spot<Slug> {
    // Only met beside an error; one letter is a sound id.
    #[expect(clippy::expect_used, reason = "the letter x is a sound id")]
    let slug = Slug::parse("x").expect("x is an id");
    unplaced(slug)
}

pub(super) use tolerant_record;
