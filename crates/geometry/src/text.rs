//! Width of text, from the very font files that window, SVG, PNG and PDF use.

use crate::scene::Weight;
use std::sync::OnceLock;
use ttf_parser::{
    GlyphId, Tag,
    gpos::{PairAdjustment, PositioningSubtable},
    opentype_layout::Lookup,
};

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
pub const WEIGHTS: [Weight; 4] = [Weight::Regular, Weight::Medium, Weight::SemiBold, Weight::Bold];

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

/// Width of a line of text at a size in pixels, pairs set as close as the font says.
pub fn width(words: &str, weight: Weight, size: f64) -> f64 {
    let face = face(weight);
    let glyphs: Vec<GlyphId> = words.chars().filter_map(|c| face.glyph_index(c)).collect();
    let advances: i64 =
        glyphs.iter().filter_map(|g| face.glyph_hor_advance(*g)).map(i64::from).sum();
    let pairs = pair_lookups(weight);
    let closer: i64 = glyphs.windows(2).map(|p| kern(pairs, p[0], p[1])).sum();
    (advances + closer) as f64 * size / f64::from(face.units_per_em())
}

/// The pair tables that belong to the feature `kern`, for each weight.
fn pair_lookups(weight: Weight) -> &'static [Lookup<'static>] {
    static LOOKUPS: OnceLock<Vec<Vec<Lookup<'static>>>> = OnceLock::new();
    let all = LOOKUPS.get_or_init(|| {
        let of = |w: &Weight| {
            let Some(table) = face(*w).tables().gpos else { return Vec::new() };
            let mut at: Vec<u16> = table
                .features
                .into_iter()
                .filter(|f| f.tag == Tag::from_bytes(b"kern"))
                .flat_map(|f| f.lookup_indices)
                .collect();
            at.sort_unstable();
            at.dedup();
            at.into_iter().filter_map(|i| table.lookups.get(i)).collect()
        };
        WEIGHTS.iter().map(of).collect()
    });
    &all[weight as usize]
}

/// How much wider (or, mostly, closer) a pair is set, in units of the font.
fn kern(lookups: &[Lookup<'_>], left: GlyphId, right: GlyphId) -> i64 {
    let in_table = |table: PositioningSubtable<'_>| {
        let PositioningSubtable::Pair(pair) = table else { return None };
        let index = pair.coverage().get(left)?;
        match pair {
            PairAdjustment::Format1 { sets, .. } => {
                sets.get(index)?.get(right).map(|v| i64::from(v.0.x_advance))
            }
            PairAdjustment::Format2 { classes, matrix, .. } => matrix
                .get((classes.0.get(left), classes.1.get(right)))
                .map(|v| i64::from(v.0.x_advance)),
        }
    };
    lookups
        .iter()
        .filter_map(|l| l.subtables.into_iter::<PositioningSubtable<'_>>().find_map(in_table))
        .sum()
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
