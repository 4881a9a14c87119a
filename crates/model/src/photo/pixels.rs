//! A picture file brought to upright pixels, within bounds that are known before it is opened.
//!
//! Only pixels are kept: what a camera notes beside them, such as the place and the time, is read
//! for the orientation and let go.

use image::{
    DynamicImage, ImageDecoder, ImageError, Limits,
    codecs::{jpeg::JpegDecoder, png::PngDecoder, webp::WebPDecoder},
    error::LimitErrorKind,
    imageops::FilterType,
};
use std::io::Cursor;

/// The largest picture file that is read, in bytes.
pub const MOST_BYTES: usize = 32 * 1024 * 1024;
/// The longest side of a picture, in pixels.
pub const MOST_SIDE: u32 = 16_384;
/// The most pixels of a picture.
pub const MOST_PIXELS: u64 = 40_000_000;
/// The most memory that bringing a file to pixels may take; turning them takes as much again.
const MOST_MEMORY: u64 = 192 * 1024 * 1024;

/// Why a picture cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadPicture {
    /// There is no such file, or it cannot be opened.
    #[error("the picture cannot be opened: {0}")]
    Unreadable(String),
    /// The name does not say what it is.
    #[error("the name of a picture ends in .png, .jpg, .jpeg or .webp")]
    UnknownEnding,
    /// The content is something else.
    #[error("the file is no PNG, JPEG or WebP picture, whatever its name says")]
    UnknownContent,
    /// The content is another kind of picture than the name says.
    #[error("the name says {said}, but the content is {is}; rename the file")]
    Mislabelled {
        /// The kind by the name.
        said: &'static str,
        /// The kind by the content.
        is: &'static str,
    },
    /// The file is too big.
    #[error("the picture file has {0} bytes; at most {most} are read", most = MOST_BYTES)]
    TooBig(usize),
    /// There are too many pixels.
    #[error(
        "the picture is {0} × {1} pixels; at most {side} on a side and {all} in all are read",
        side = MOST_SIDE,
        all = MOST_PIXELS
    )]
    TooManyPixels(u32, u32),
    /// It would take too much memory.
    #[error("the picture needs more memory than is given to a picture; save it with 8 bits")]
    TooMuchMemory,
    /// There are several pictures in it.
    #[error("the picture is animated; save one picture of it")]
    Animated,
    /// The end is missing.
    #[error("the picture file is cut off: its end is missing")]
    Truncated,
    /// It cannot be understood.
    #[error("the picture file is damaged: {0}")]
    Damaged(String),
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Png,
    Jpeg,
    WebP,
}

impl Kind {
    const fn name(self) -> &'static str {
        match self {
            Self::Png => "PNG",
            Self::Jpeg => "JPEG",
            Self::WebP => "WebP",
        }
    }

    fn by_name(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "png" => Some(Self::Png),
            "jpg" | "jpeg" => Some(Self::Jpeg),
            "webp" => Some(Self::WebP),
            _ => None,
        }
    }

    fn by_content(bytes: &[u8]) -> Option<Self> {
        if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
            Some(Self::Png)
        } else if bytes.starts_with(b"\xff\xd8\xff") {
            Some(Self::Jpeg)
        } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            Some(Self::WebP)
        } else {
            None
        }
    }
}

/// A picture as a person sees it, and nothing else that was in its file.
#[derive(Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Width and height of the picture in the file, upright.
    pub full: (u32, u32),
    /// Width and height of what is kept.
    pub size: (u32, u32),
    /// Red, green, blue and opacity of each pixel, row by row.
    pub rgba: Vec<u8>,
}

impl std::fmt::Debug for Pixels {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Pixels({:?} of {:?})", self.size, self.full)
    }
}

impl Pixels {
    /// True for the name of a file that may be a picture.
    pub fn is_name(name: &str) -> bool {
        Kind::by_name(name).is_some()
    }

    /// Reads a file; a picture with a side longer than `most` is made smaller to that.
    pub fn read(name: &str, bytes: &[u8], most: u32) -> Result<Self, BadPicture> {
        let picture = upright(name, bytes)?;
        let full = (picture.width(), picture.height());
        let picture = if full.0.max(full.1) > most.max(1) {
            picture.resize(most.max(1), most.max(1), FilterType::Triangle)
        } else {
            picture
        };
        let rgba = picture.into_rgba8();
        Ok(Self { full, size: rgba.dimensions(), rgba: rgba.into_raw() })
    }

    /// Width and height of the picture in a file, upright; the whole file is looked at, so that
    /// what is damaged or cut off is found.
    pub fn measure(name: &str, bytes: &[u8]) -> Result<(u32, u32), BadPicture> {
        upright(name, bytes).map(|p| (p.width(), p.height()))
    }

    /// A PNG file of these pixels and of nothing else.
    pub fn to_png(&self) -> Result<Vec<u8>, BadPicture> {
        use image::ImageEncoder as _;
        let mut out = Vec::new();
        let encoder = image::codecs::png::PngEncoder::new(&mut out);
        let (w, h) = self.size;
        encoder
            .write_image(&self.rgba, w, h, image::ExtendedColorType::Rgba8)
            .map_err(|e| BadPicture::Damaged(e.to_string()))?;
        Ok(out)
    }
}

fn upright(name: &str, bytes: &[u8]) -> Result<DynamicImage, BadPicture> {
    if bytes.len() > MOST_BYTES {
        return Err(BadPicture::TooBig(bytes.len()));
    }
    let said = Kind::by_name(name).ok_or(BadPicture::UnknownEnding)?;
    let is = Kind::by_content(bytes).ok_or(BadPicture::UnknownContent)?;
    if said != is {
        return Err(BadPicture::Mislabelled { said: said.name(), is: is.name() });
    }
    let input = Cursor::new(bytes);
    match is {
        Kind::Png => {
            if !png_ends(bytes) {
                return Err(BadPicture::Truncated);
            }
            let decoder = PngDecoder::with_limits(input, limits()).map_err(refused)?;
            if decoder.is_apng().map_err(refused)? {
                return Err(BadPicture::Animated);
            }
            decode(decoder)
        }
        Kind::Jpeg => {
            if !jpeg_ends(bytes) {
                return Err(BadPicture::Truncated);
            }
            decode(JpegDecoder::new(input).map_err(refused)?)
        }
        Kind::WebP => {
            let stated = bytes.get(4..8).and_then(|b| b.try_into().ok()).map(u32::from_le_bytes);
            if stated.is_none_or(|n| (bytes.len() as u64) < u64::from(n) + 8) {
                return Err(BadPicture::Truncated);
            }
            let decoder = WebPDecoder::new(input).map_err(refused)?;
            if decoder.has_animation() {
                return Err(BadPicture::Animated);
            }
            decode(decoder)
        }
    }
}

/// Sides are looked at by [`decode`], which can say how long they are.
fn limits() -> Limits {
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_MEMORY);
    limits
}

/// The size is looked at before any room is taken for pixels.
fn decode(mut decoder: impl ImageDecoder) -> Result<DynamicImage, BadPicture> {
    let (w, h) = decoder.dimensions();
    if w.max(h) > MOST_SIDE || u64::from(w) * u64::from(h) > MOST_PIXELS {
        return Err(BadPicture::TooManyPixels(w, h));
    }
    if decoder.total_bytes() > MOST_MEMORY {
        return Err(BadPicture::TooMuchMemory);
    }
    decoder.set_limits(limits()).map_err(refused)?;
    // A picture whose notes cannot be read is taken as it lies.
    let turn = decoder.orientation().unwrap_or(image::metadata::Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(refused)?;
    picture.apply_orientation(turn);
    Ok(picture)
}

fn refused(e: ImageError) -> BadPicture {
    match e {
        ImageError::Limits(limit) => match limit.kind() {
            LimitErrorKind::InsufficientMemory => BadPicture::TooMuchMemory,
            _ => BadPicture::Damaged(limit.to_string()),
        },
        ImageError::IoError(e) if e.kind() == std::io::ErrorKind::UnexpectedEof => {
            BadPicture::Truncated
        }
        e => BadPicture::Damaged(e.to_string()),
    }
}

/// Whether the chunk of the end is there; the decoder stops at the last pixel and looks no farther.
fn png_ends(bytes: &[u8]) -> bool {
    let mut at = 8usize;
    while let Some(head) = bytes.get(at..at.saturating_add(8)) {
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        at = at.saturating_add(length).saturating_add(12);
        if &head[4..] == b"IEND" {
            return at <= bytes.len();
        }
    }
    false
}

/// Whether the marker of the end stands behind the picture. The decoder would fill what is
/// missing with grey and say nothing.
fn jpeg_ends(bytes: &[u8]) -> bool {
    let mut at = 2;
    let mut in_scan = false;
    while let (Some(&a), Some(&b)) = (bytes.get(at), bytes.get(at + 1)) {
        match (a, b) {
            (0xff, 0xd9) => return true,
            (0xff, 0xff) => at += 1,
            // In a scan a 00 or a restart marker belongs to the data.
            (0xff, 0x00 | 0xd0..=0xd7 | 0x01) => at += 2,
            (0xff, marker) => {
                let Some(length) = bytes.get(at + 2..at + 4) else { return false };
                at += 2 + usize::from(u16::from_be_bytes([length[0], length[1]])).max(2);
                in_scan = marker == 0xda;
            }
            _ if in_scan => at += 1,
            _ => return false,
        }
    }
    false
}

#[cfg(test)]
mod tests;
