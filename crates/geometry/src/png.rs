//! Turns our SVG into a PNG file, with the fonts that the program carries and no others.

use crate::text::{FAMILY, WEIGHTS, font_bytes};
use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{self, fontdb},
};
use std::sync::{Arc, OnceLock};

/// The longest side of a picture.
pub const MAX_SIDE: u32 = 16_384;

/// The most pixels of a picture; four bytes each are held in memory.
pub const MAX_PIXELS: u64 = 64_000_000;

/// Why there is no picture.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The text is not an SVG document.
    #[error("the drawing is not a sound SVG document")]
    Svg(#[source] usvg::Error),
    /// The scale is not a positive number.
    #[error("the scale must be a number above 0, and is {0}")]
    Scale(f32),
    /// The picture would not fit into memory.
    #[error(
        "the picture would be {width} × {height} pixels; at most {MAX_SIDE} on a side and \
         {MAX_PIXELS} in all are drawn"
    )]
    TooLarge {
        /// Pixels across.
        width: u64,
        /// Pixels down.
        height: u64,
    },
    /// The file could not be packed.
    #[error("the picture could not be packed")]
    Pack(#[source] Box<dyn std::error::Error + Send + Sync>),
}

/// The SVG document at a scale as a PNG file.
pub fn write(svg: &str, scale: f32) -> Result<Vec<u8>, PngError> {
    let picture = pixmap(svg, scale)?;
    picture.encode_png().map_err(|e| PngError::Pack(Box::new(e)))
}

/// The same PNG file with a note of its pixels to the inch, so that it is printed at that size.
#[must_use]
pub fn at_density(png: &[u8], per_inch: f32) -> Vec<u8> {
    /// Signature and header, which every PNG file begins with.
    const HEAD: usize = 8 + 25;
    let per_metre = libm::round(f64::from(per_inch) / 0.0254) as u32;
    let mut chunk = b"pHYs".to_vec();
    chunk.extend(per_metre.to_be_bytes());
    chunk.extend(per_metre.to_be_bytes());
    // The unit is the metre.
    chunk.push(1);
    let mut out = png.to_vec();
    if png.len() >= HEAD {
        let sum = crc(&chunk).to_be_bytes();
        let length = (chunk.len() as u32 - 4).to_be_bytes();
        out.splice(HEAD..HEAD, length.into_iter().chain(chunk).chain(sum));
    }
    out
}

/// The checksum of PNG chunks (CRC-32 of ISO 3309).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |c, _| {
            (c >> 1) ^ if c & 1 == 1 { 0xEDB8_8320 } else { 0 }
        })
    })
}

fn pixmap(svg: &str, scale: f32) -> Result<Pixmap, PngError> {
    if !scale.is_finite() || scale <= 0.0 {
        return Err(PngError::Scale(scale));
    }
    let tree = tree(svg)?;
    let side = |length: f32| (f64::from(length) * f64::from(scale)).ceil().max(1.0) as u64;
    let (width, height) = (side(tree.size().width()), side(tree.size().height()));
    let too_large = || PngError::TooLarge { width, height };
    if width.max(height) > u64::from(MAX_SIDE) || width * height > MAX_PIXELS {
        return Err(too_large());
    }
    let mut picture = Pixmap::new(width as u32, height as u32).ok_or_else(too_large)?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut picture.as_mut());
    Ok(picture)
}

fn tree(svg: &str) -> Result<usvg::Tree, PngError> {
    let options = usvg::Options {
        font_family: FAMILY.to_owned(),
        fontdb: fonts(),
        // A figure has no pictures in it; nothing outside the document is ever opened.
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).map_err(PngError::Svg)
}

fn fonts() -> Arc<fontdb::Database> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| {
        let mut db = fontdb::Database::new();
        for weight in WEIGHTS {
            db.load_font_source(fontdb::Source::Binary(Arc::new(font_bytes(weight))));
        }
        Arc::new(db)
    });
    Arc::clone(fonts)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{scene::Weight, text};

    fn doc(inside: &str) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40\" height=\"20\" \
             viewBox=\"0 0 40 20\" font-family=\"Inter\">{inside}</svg>"
        )
    }

    #[test]
    fn a_density_is_noted_behind_the_header() {
        let png = write(&doc(""), 1.0).unwrap();
        let noted = at_density(&png, 96.0);
        assert_eq!(noted.len(), png.len() + 21);
        assert_eq!(&noted[33..41], b"\0\0\0\x09pHYs");
        assert_eq!(u32::from_be_bytes(noted[41..45].try_into().unwrap()), 3780);
        // The end of every PNG file has this well-known checksum.
        assert_eq!(crc(b"IEND"), 0xAE42_6082);
        assert!(at_density(b"short", 96.0) == b"short");
    }

    #[test]
    fn a_small_scene_has_the_right_size_and_colours() {
        let svg = doc("<rect width=\"20\" height=\"20\" fill=\"#0e6b73\"/>");
        let picture = pixmap(&svg, 2.0).unwrap();
        assert_eq!((picture.width(), picture.height()), (80, 40));
        let rgba = |x, y| {
            let c = picture.pixel(x, y).unwrap();
            (c.red(), c.green(), c.blue(), c.alpha())
        };
        assert_eq!(rgba(38, 38), (0x0e, 0x6b, 0x73, 255));
        assert_eq!(rgba(70, 10), (0, 0, 0, 0));
        let file = write(&svg, 2.0).unwrap();
        assert_eq!(file[..8], *b"\x89PNG\r\n\x1a\n");
        assert_eq!(file, write(&svg, 2.0).unwrap());
    }

    /// Width as the picture has it against the width that layouts reckon with. The difference
    /// is kerning and the side bearings of the first and last sign.
    #[test]
    fn text_is_as_wide_in_the_picture_as_layouts_reckon() {
        for (weight, number) in WEIGHTS.iter().zip(["400", "500", "600", "700"]) {
            let words = "Positive plate and separator";
            let svg = doc(&format!(
                "<text x=\"0\" y=\"15\" font-size=\"14.5\" font-weight=\"{number}\">{words}</text>"
            ));
            let drawn = f64::from(tree(&svg).unwrap().root().abs_bounding_box().width());
            let reckoned = text::width(words, *weight, 14.5);
            assert!((drawn - reckoned).abs() < 0.02 * reckoned, "{drawn} {reckoned}");
        }
        let (thin, fat) = (Weight::Regular, Weight::Bold);
        assert!(text::width("plate", fat, 20.0) > 1.02 * text::width("plate", thin, 20.0));
    }

    #[test]
    fn a_picture_beyond_memory_is_refused_by_its_size() {
        let svg = doc("");
        assert!(matches!(
            write(&svg, 1000.0),
            Err(PngError::TooLarge { width: 40_000, height: 20_000 })
        ));
        assert!(matches!(write(&svg, 0.0), Err(PngError::Scale(_))));
        assert!(matches!(write("<svg", 1.0), Err(PngError::Svg(_))));
    }
}
