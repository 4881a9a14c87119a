//! Ids as they stand in files, in figures and in the database.

use crate::{
    authored::{Authored, Kind, Node, Reader, Shape},
    diag::Code,
};
use std::{fmt, sync::Arc};

/// A checked id such as `positive_plate`: small letters, digits, underscore and dot.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slug(Arc<str>);

/// Why a text is no id.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SlugError {
    /// There is nothing.
    #[error("an id must not be empty")]
    Empty,
    /// A character is not allowed.
    #[error("an id consists of small letters, digits, `_` and `.`, met `{0}`")]
    Character(char),
}

impl Slug {
    /// Checks a text and makes it an id.
    pub fn parse(text: &str) -> Result<Self, SlugError> {
        let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "._".contains(c);
        match text.chars().find(|&c| !allowed(c)) {
            Some(found) => Err(SlugError::Character(found)),
            None if text.is_empty() => Err(SlugError::Empty),
            None => Ok(Self(text.into())),
        }
    }

    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Debug for Slug {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`", self.0)
    }
}

impl fmt::Display for Slug {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::borrow::Borrow<str> for Slug {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl std::ops::Deref for Slug {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl PartialEq<str> for Slug {
    fn eq(&self, other: &str) -> bool {
        &*self.0 == other
    }
}

impl PartialEq<&str> for Slug {
    fn eq(&self, other: &&str) -> bool {
        &*self.0 == *other
    }
}

impl Authored for Slug {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::Text(text) = &node.kind else {
            cx.mismatch(node, "an id in quotation marks");
            return None;
        };
        match Self::parse(text) {
            Ok(slug) => Some(slug),
            Err(e) => {
                cx.error(Code::BadSlug, node.at.clone(), e.to_string());
                None
            }
        }
    }
    fn shape() -> Shape {
        Shape::Id
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_plain_ids_pass_and_display_gives_them_back() {
        assert_eq!(Slug::parse("post_seal.o_ring2").unwrap().to_string(), "post_seal.o_ring2");
        assert_eq!(Slug::parse("Post"), Err(SlugError::Character('P')));
        assert_eq!(Slug::parse("a b"), Err(SlugError::Character(' ')));
        assert_eq!(Slug::parse(""), Err(SlugError::Empty));
    }
}
