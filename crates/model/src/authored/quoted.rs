//! Text as an authored file holds it.

use std::fmt::Write as _;

/// A text between quotation marks; reading it gives the same text.
pub fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                // Writing into a String cannot fail.
                let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        authored::{Kind, parse},
        diag::Source,
    };

    #[test]
    fn every_character_comes_back() {
        let text: String = (0..0x300).filter_map(char::from_u32).chain("“–”🔦".chars()).collect();
        let (read, faults) = parse(&Source::new("t", &quoted(&text)));
        assert!(faults.is_empty(), "{faults:?}");
        assert!(matches!(read.kind, Kind::Text(t) if t == text));
    }
}
