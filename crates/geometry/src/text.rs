//! Width of text, from the very font files that window, SVG, PNG and PDF use.

use crate::scene::Weight;
use std::sync::OnceLock;

/// The font family as SVG names it.
pub const FAMILY: &str = "Inter";

/// The bytes of the font file for a weight.
pub const fn font_bytes(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => include_bytes!("../../../assets/fonts/Inter-Regular.otf"),
        Weight::Medium => include_bytes!("../../../assets/fonts/Inter-Medium.otf"),
        Weight::SemiBold => include_bytes!("../../../assets/fonts/Inter-SemiBold.otf"),
        Weight::Bold => include_bytes!("../../../assets/fonts/Inter-Bold.otf"),
    }
}

/// All weights that are shipped.
pub const WEIGHTS: [Weight; 4] =
    [Weight::Regular, Weight::Medium, Weight::SemiBold, Weight::Bold];

fn face(weight: Weight) -> &'static ttf_parser::Face<'static> {
    static FACES: OnceLock<Vec<ttf_parser::Face<'static>>> = OnceLock::new();
    let faces = FACES.get_or_init(|| {
        WEIGHTS
            .iter()
            .map(|w| {
                #[expect(clippy::expect_used, reason = "the embedded fonts are read by a test")]
                ttf_parser::Face::parse(font_bytes(*w), 0).expect("an embedded font is sound")
            })
            .collect()
    });
    &faces[weight as usize]
}

/// Width of a line of text at a size in pixels, without kerning.
pub fn width(words: &str, weight: Weight, size: f64) -> f64 {
    let face = face(weight);
    let units: u32 = words
        .chars()
        .map(|c| {
            face.glyph_index(c).and_then(|g| face.glyph_hor_advance(g)).map_or(0, u32::from)
        })
        .sum();
    f64::from(units) * size / f64::from(face.units_per_em())
}

/// Characters of a text that the font has no sign for.
pub fn missing(words: &str, weight: Weight) -> Vec<char> {
    let face = face(weight);
    words.chars().filter(|c| !c.is_control() && face.glyph_index(*c).is_none()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_font_is_read_and_wider_text_is_wider() {
        for weight in WEIGHTS {
            assert!(width("Positive plate", weight, 14.5) > width("Plate", weight, 14.5));
            assert_eq!(missing("Ah °C − × ± ² ³ ₂ – …", weight), Vec::<char>::new());
        }
        assert_eq!(width("ab", Weight::Regular, 20.0), 2.0 * width("ab", Weight::Regular, 10.0));
    }
}
