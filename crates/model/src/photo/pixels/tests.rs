//! Sound pictures of each kind, and every kind of bad one.

use super::*;
use image::{ExtendedColorType, ImageEncoder, codecs};

const W: u32 = 6;
const H: u32 = 4;

/// Red above and left, blue elsewhere, so that a turn shows.
fn rgb() -> Vec<u8> {
    let pixel = |i: u32| if i == 0 { [250, 0, 0] } else { [0, 0, 250] };
    (0..W * H).flat_map(pixel).collect()
}

fn png() -> Vec<u8> {
    let mut out = Vec::new();
    let encoder = codecs::png::PngEncoder::new(&mut out);
    encoder.write_image(&rgb(), W, H, ExtendedColorType::Rgb8).unwrap();
    out
}

fn jpeg(exif: Option<Vec<u8>>) -> Vec<u8> {
    let big: Vec<u8> = (0..64 * 48u32)
        .flat_map(|i| if i % 64 < 32 && i / 64 < 24 { [250, 0, 0] } else { [0, 0, 250] })
        .collect();
    let mut out = Vec::new();
    let mut encoder = codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 95);
    if let Some(exif) = exif {
        encoder.set_exif_metadata(exif).unwrap();
    }
    encoder.write_image(&big, 64, 48, ExtendedColorType::Rgb8).unwrap();
    out
}

fn webp() -> Vec<u8> {
    let mut out = Vec::new();
    let encoder = codecs::webp::WebPEncoder::new_lossless(&mut out);
    encoder.write_image(&rgb(), W, H, ExtendedColorType::Rgb8).unwrap();
    out
}

/// Notes of a camera that say nothing but how it was held.
fn turned(orientation: u16) -> Vec<u8> {
    let mut out = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    out.extend(orientation.to_le_bytes());
    out.extend([0; 6]);
    out
}

/// A chunk of a PNG file.
fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let crc = kind.iter().chain(data).fold(!0u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            (c >> 1) ^ (0xedb8_8320 & 0u32.wrapping_sub(c & 1))
        })
    });
    let mut out = (data.len() as u32).to_be_bytes().to_vec();
    out.extend(kind);
    out.extend(data);
    out.extend((!crc).to_be_bytes());
    out
}

fn read(name: &str, bytes: &[u8]) -> Result<Pixels, BadPicture> {
    Pixels::read(name, bytes, 4096)
}

fn corner(p: &Pixels, right: bool, below: bool) -> &[u8] {
    let x = if right { p.size.0 - 1 } else { 0 };
    let y = if below { p.size.1 - 1 } else { 0 };
    let at = 4 * (y * p.size.0 + x) as usize;
    &p.rgba[at..at + 3]
}

#[test]
fn each_kind_is_read() {
    for (name, bytes) in [("a.png", png()), ("a.WebP", webp())] {
        let p = read(name, &bytes).unwrap();
        assert_eq!((p.full, p.size), ((W, H), (W, H)), "{name}");
        assert_eq!(corner(&p, false, false), [250, 0, 0], "{name}");
        assert_eq!(corner(&p, true, true), [0, 0, 250], "{name}");
        assert_eq!(Pixels::measure(name, &bytes), Ok((W, H)));
    }
    for name in ["a.jpg", "a.JPEG"] {
        let p = read(name, &jpeg(None)).unwrap();
        assert_eq!(p.full, (64, 48));
        assert!(corner(&p, false, false)[0] > 200 && corner(&p, true, true)[0] < 60);
    }
}

#[test]
fn the_way_the_camera_was_held_is_honoured_and_its_notes_are_gone() {
    // 6: the camera was turned to the left, so the picture is to be turned to the right.
    let bytes = jpeg(Some(turned(6)));
    assert!(bytes.windows(4).any(|w| w == b"Exif"));
    let p = read("a.jpg", &bytes).unwrap();
    assert_eq!(p.full, (48, 64));
    assert!(corner(&p, true, false)[0] > 200, "red has gone to the right");
    assert!(corner(&p, false, false)[0] < 60);
    let again = p.to_png().unwrap();
    for note in [&b"Exif"[..], b"eXIf", b"tEXt"] {
        assert!(!again.windows(4).any(|w| w == note));
    }
    assert_eq!(read("b.png", &again).unwrap().rgba, p.rgba);
}

#[test]
fn a_large_picture_is_made_smaller_and_keeps_its_size_in_mind() {
    let p = Pixels::read("a.jpg", &jpeg(None), 16).unwrap();
    assert_eq!((p.full, p.size), ((64, 48), (16, 12)));
    assert_eq!(p.rgba.len(), 16 * 12 * 4);
}

#[test]
fn a_file_under_a_wrong_name_is_refused() {
    let wrong = |said, is| Err(BadPicture::Mislabelled { said, is });
    assert_eq!(read("a.png", &jpeg(None)), wrong("PNG", "JPEG"));
    assert_eq!(read("a.jpg", &webp()), wrong("JPEG", "WebP"));
    assert_eq!(read("a.webp", &png()), wrong("WebP", "PNG"));
    assert_eq!(read("a.png", b"GIF89a..."), Err(BadPicture::UnknownContent));
    assert_eq!(read("a.gif", &png()), Err(BadPicture::UnknownEnding));
    assert_eq!(read("picture", &png()), Err(BadPicture::UnknownEnding));
    assert_eq!(read("a.png", b""), Err(BadPicture::UnknownContent));
}

#[test]
fn a_file_that_is_cut_off_is_refused_wherever_it_is_cut() {
    for (name, bytes) in [("a.png", png()), ("a.jpg", jpeg(None)), ("a.webp", webp())] {
        for cut in 13..bytes.len() {
            assert!(read(name, &bytes[..cut]).is_err(), "{name} cut at {cut}");
        }
        let half = read(name, &bytes[..bytes.len() * 2 / 3]);
        assert_eq!(half, Err(BadPicture::Truncated), "{name}");
    }
}

#[test]
fn damaged_files_are_refused_or_read_but_never_panic() {
    for (name, bytes) in [("a.png", png()), ("a.jpg", jpeg(None)), ("a.webp", webp())] {
        for i in 0..bytes.len() {
            let mut bad = bytes.clone();
            bad[i] ^= 0xff;
            let _ = read(name, &bad);
        }
    }
}

#[test]
fn an_animated_picture_is_refused() {
    let still = png();
    let mut moving = still[..33].to_vec();
    moving.extend(chunk(b"acTL", &[0, 0, 0, 2, 0, 0, 0, 0]));
    moving.extend(&still[33..]);
    assert_eq!(read("a.png", &moving), Err(BadPicture::Animated));

    let still = webp();
    let body = |kind: &[u8; 4], data: &[u8]| {
        let mut out = kind.to_vec();
        out.extend((data.len() as u32).to_le_bytes());
        out.extend(data);
        if data.len() % 2 == 1 {
            out.push(0);
        }
        out
    };
    let size = [(W - 1) as u8, 0, 0, (H - 1) as u8, 0, 0];
    let mut frame = vec![0; 6];
    frame.extend(size);
    frame.extend([100, 0, 0, 0]);
    frame.extend(&still[12..]);
    let mut inner = b"WEBP".to_vec();
    inner.extend(body(b"VP8X", &[&[0x02, 0, 0, 0], &size[..]].concat()));
    inner.extend(body(b"ANIM", &[0; 6]));
    inner.extend(body(b"ANMF", &frame));
    let moving = body(b"RIFF", &inner);
    assert_eq!(read("a.webp", &moving), Err(BadPicture::Animated));
}

#[test]
fn a_small_file_that_claims_to_be_huge_is_refused_before_room_is_taken() {
    for (w, h) in [(60_000u32, 60_000u32), (8_000, 8_000), (16_385, 1)] {
        let mut head = w.to_be_bytes().to_vec();
        head.extend(h.to_be_bytes());
        head.extend([8, 2, 0, 0, 0]);
        let mut bomb = b"\x89PNG\r\n\x1a\n".to_vec();
        bomb.extend(chunk(b"IHDR", &head));
        bomb.extend(&png()[33..]);
        let told = read("a.png", &bomb).unwrap_err();
        assert_eq!(told, BadPicture::TooManyPixels(w, h));
    }
    // A JPEG states its size behind the marker of its frame.
    let mut bomb = jpeg(None);
    let frame = bomb.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    bomb[frame + 5..frame + 9].copy_from_slice(&[0xff; 4]);
    assert_eq!(read("a.jpg", &bomb), Err(BadPicture::TooManyPixels(65_535, 65_535)));
    let long = vec![0; MOST_BYTES + 1];
    assert_eq!(read("a.png", &long), Err(BadPicture::TooBig(MOST_BYTES + 1)));
}
