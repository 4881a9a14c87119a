//! Authored files: RON text to typed values, every mistake reported with its place.
//!
//! A type that an author writes is declared once with [`authored_record!`](crate::authored_record)
//! or [`authored_enum!`](crate::authored_enum); reading, the list of known names and the
//! [`Shape`] for a schema come from that declaration.

mod quoted;
mod read;
mod shape;
mod tree;

pub use quoted::quoted;
pub use read::{Authored, Reader, Spot, read_file, read_root};
pub use shape::{Field, Shape, ShapeFn, Variant, VariantShape, words};
pub use tree::{Kind, MAX_DEPTH, Name, Node, parse};

/// Declares a struct that is read from `(field: value, …)`.
///
/// A field with `= default` may be left out.
#[macro_export]
macro_rules! authored_record {
    ($(
        $(#[$meta:meta])*
        $vis:vis struct $name:ident {
            $( $(#[$fmeta:meta])* $fvis:vis $field:ident : $ty:ty $(= $default:expr)? ),* $(,)?
        }
    )*) => {$(
        $(#[$meta])*
        $vis struct $name { $( $(#[$fmeta])* $fvis $field: $ty, )* }

        impl $crate::authored::Authored for $name {
            fn read(
                node: &$crate::authored::Node,
                cx: &mut $crate::authored::Reader<'_>,
            ) -> Option<Self> {
                const KNOWN: &[&str] = &[$( stringify!($field) ),*];
                let fields = cx.fields(node, stringify!($name), KNOWN)?;
                $( let $field: Option<$ty> =
                    $crate::authored_record!(@field fields, cx, $field, $ty $(, $default)?); )*
                Some(Self { $( $field: $field?, )* })
            }

            fn shape() -> $crate::authored::Shape {
                $crate::authored::Shape::Record {
                    name: stringify!($name),
                    doc: concat!($( stringify!($meta), "\n", )*),
                    fields: vec![$( $crate::authored::Field {
                        name: stringify!($field),
                        needed: $crate::authored_record!(@needed $($default)?),
                        doc: concat!($( stringify!($fmeta), "\n", )*),
                        shape: <$ty as $crate::authored::Authored>::shape as fn() -> _,
                    }, )*],
                }
            }
        }
    )*};
    (@field $fields:ident, $cx:ident, $field:ident, $ty:ty) => {
        $cx.needed::<$ty>(&$fields, stringify!($field))
    };
    (@field $fields:ident, $cx:ident, $field:ident, $ty:ty, $default:expr) => {
        $cx.optional::<$ty>(&$fields, stringify!($field), || $default)
    };
    (@needed) => { true };
    (@needed $default:expr) => { false };
}

/// Declares an enum that is read from `Word`, `Word(a, b)` or `Word(field: value)`.
#[macro_export]
macro_rules! authored_enum {
    ($(
        $(#[$meta:meta])*
        $vis:vis enum $name:ident {
            $( $(#[$vmeta:meta])* $variant:ident
                $( { $( $(#[$fmeta:meta])* $field:ident : $fty:ty $(= $default:expr)? ),* $(,)? } )?
                $( ( $( $ty:ty ),* $(,)? ) )?
            ),* $(,)?
        }
    )*) => {$(
        $(#[$meta])*
        $vis enum $name {
            $( $(#[$vmeta])* $variant
                $( { $( $(#[$fmeta])* $field: $fty, )* } )?
                $( ( $( $ty, )* ) )?,
            )*
        }

        impl $crate::authored::Authored for $name {
            fn read(
                node: &$crate::authored::Node,
                cx: &mut $crate::authored::Reader<'_>,
            ) -> Option<Self> {
                const KNOWN: &[&str] = &[$( stringify!($variant) ),*];
                let word = cx.variant(node, stringify!($name), KNOWN)?;
                $( if word == stringify!($variant) {
                    return $crate::authored_enum!(@read node, cx, $variant
                        $( { $( $field : $fty $(= $default)? ),* } )? $( ( $( $ty ),* ) )?);
                } )*
                None
            }

            fn shape() -> $crate::authored::Shape {
                $crate::authored::Shape::Enum {
                    name: stringify!($name),
                    doc: concat!($( stringify!($meta), "\n", )*),
                    variants: vec![$( $crate::authored::Variant {
                        name: stringify!($variant),
                        doc: concat!($( stringify!($vmeta), "\n", )*),
                        holds: $crate::authored_enum!(@shape
                            $( { $( $(#[$fmeta])* $field : $fty $(= $default)? ),* } )?
                            $( ( $( $ty ),* ) )?),
                    }, )*],
                }
            }
        }
    )*};
    (@read $node:ident, $cx:ident, $variant:ident) => {{
        $cx.no_values($node, stringify!($variant))?;
        Some(Self::$variant)
    }};
    (@read $node:ident, $cx:ident, $variant:ident
        { $( $field:ident : $fty:ty $(= $default:expr)? ),* }) => {{
        const FIELDS: &[&str] = &[$( stringify!($field) ),*];
        let fields = $cx.fields($node, stringify!($variant), FIELDS)?;
        $( let $field: Option<$fty> =
            $crate::authored_record!(@field fields, $cx, $field, $fty $(, $default)?); )*
        Some(Self::$variant { $( $field: $field?, )* })
    }};
    (@read $node:ident, $cx:ident, $variant:ident ( $( $ty:ty ),* )) => {{
        const COUNT: usize = 0 $( + { let _: Option<$ty> = None; 1 } )*;
        let mut items = $cx.items($node, stringify!($variant), COUNT)?.iter();
        Some(Self::$variant( $( $cx.next_item::<$ty>(&mut items)?, )* ))
    }};
    (@shape) => { $crate::authored::VariantShape::Word };
    (@shape { $( $(#[$fmeta:meta])* $field:ident : $fty:ty $(= $default:expr)? ),* }) => {
        $crate::authored::VariantShape::Fields(vec![$( $crate::authored::Field {
            name: stringify!($field),
            needed: $crate::authored_record!(@needed $($default)?),
            doc: concat!($( stringify!($fmeta), "\n", )*),
            shape: <$fty as $crate::authored::Authored>::shape as fn() -> _,
        }, )*])
    };
    (@shape ( $( $ty:ty ),* )) => {
        $crate::authored::VariantShape::Values(vec![
            $( <$ty as $crate::authored::Authored>::shape as fn() -> _, )*
        ])
    };
}

#[cfg(test)]
mod tests;
