//! Pictures and camera files that the tests and benchmarks make for themselves.
#![allow(dead_code, reason = "each test or benchmark uses its part")]

use image::{Rgb, RgbImage};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

/// A picture as a camera sees an attic: soft light, boards with hard edges, grain.
pub fn attic(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let (fx, fy) = (f64::from(x), f64::from(y));
        let light = 90.0
            + 60.0 * (fx / 731.0).sin() * (fy / 523.0).cos()
            + 25.0 * (fx / 97.0 + fy / 61.0).sin();
        // Boards 140 px apart, their edges slightly out of true.
        let board = match ((fx + fy * 0.07) as u32 % 140) < 38 {
            true => 48.0,
            false => 0.0,
        };
        let grain = 14.0 * (smooth_noise(x, y, 5) - 0.5) + 10.0 * (smooth_noise(x, y, 2) - 0.5);
        let level = light + board + grain;
        let channel = |gain: f64, lift: f64| (level * gain + lift).round().clamp(0.0, 255.0) as u8;
        Rgb([channel(1.05, 12.0), channel(0.92, 6.0), channel(0.70, 8.0)])
    })
}

/// Noise between 0 and 1 that changes over `step` pixels; the same every time.
fn smooth_noise(x: u32, y: u32, step: u32) -> f64 {
    let corner = |cx: u32, cy: u32| {
        let mut h = cx.wrapping_mul(0x9e37_79b1) ^ cy.wrapping_mul(0x85eb_ca77) ^ step;
        h = (h ^ (h >> 15)).wrapping_mul(0x2c1b_3c6d);
        h = (h ^ (h >> 12)).wrapping_mul(0x297a_2d39);
        f64::from(h >> 16) / 65535.0
    };
    let (cx, cy) = (x / step, y / step);
    let (tx, ty) = (
        f64::from(x % step) / f64::from(step),
        f64::from(y % step) / f64::from(step),
    );
    let mix = |a: f64, b: f64, t: f64| a + (b - a) * t;
    mix(
        mix(corner(cx, cy), corner(cx + 1, cy), tx),
        mix(corner(cx, cy + 1), corner(cx + 1, cy + 1), tx),
        ty,
    )
}

/// A JPEG as a camera writes it, without any metadata.
pub fn jpeg(picture: &RgbImage, quality: u8) -> Vec<u8> {
    jpeg_by(picture, quality, |encoder| {
        encoder.set_sampling_factor(SamplingFactor::F_2_2);
    })
}

/// A JPEG written by an encoder that `set` has set up.
pub fn jpeg_by(
    picture: &RgbImage,
    quality: u8,
    set: impl Fn(&mut Encoder<&mut Vec<u8>>),
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    set(&mut encoder);
    encoder
        .encode(
            picture,
            picture.width() as u16,
            picture.height() as u16,
            ColorType::Rgb,
        )
        .unwrap();
    bytes
}

/// `jpeg` with `segments` (marker and body) put right after SOI, where cameras put theirs.
pub fn with_segments(jpeg: &[u8], segments: &[(u8, Vec<u8>)]) -> Vec<u8> {
    let mut bytes = jpeg[..2].to_vec();
    for (marker, body) in segments {
        bytes.extend([0xff, *marker]);
        bytes.extend(((body.len() + 2) as u16).to_be_bytes());
        bytes.extend(body);
    }
    bytes.extend(&jpeg[2..]);
    bytes
}

/// One EXIF value as it is written into a directory (CIPA DC-008 §4.6.2).
pub enum Value {
    /// Type 1.
    Byte(Vec<u8>),
    /// Type 2, the closing NUL added when written.
    Ascii(&'static str),
    /// Type 3.
    Short(u16),
    /// Type 4.
    Long(u32),
    /// Type 5.
    Rational(Vec<(u32, u32)>),
    /// Type 4, pointing at another directory.
    Directory(Vec<(u16, Value)>),
}

/// The body of an APP1 segment with EXIF data in big-endian order: the main directory, and one for
/// an embedded thumbnail when there is one.
pub fn exif(main: Vec<(u16, Value)>, thumbnail: Option<&[u8]>) -> Vec<u8> {
    let mut body = b"Exif\0\0".to_vec();
    body.extend(exif_tiff(main, thumbnail));
    body
}

/// The TIFF stream of [`exif`].
pub fn exif_tiff(main: Vec<(u16, Value)>, thumbnail: Option<&[u8]>) -> Vec<u8> {
    let mut tiff = b"MM\0\x2a\0\0\0\x08".to_vec();
    let next_at = write_directory(&mut tiff, main);
    if let Some(thumbnail) = thumbnail {
        let start = tiff.len() as u32;
        tiff[next_at..next_at + 4].copy_from_slice(&start.to_be_bytes());
        // Two entries: the thumbnail's JPEG begins right after this directory.
        let jpeg_at = start + 2 + 2 * 12 + 4;
        write_directory(
            &mut tiff,
            vec![
                (0x0201, Value::Long(jpeg_at)),
                (0x0202, Value::Long(thumbnail.len() as u32)),
            ],
        );
        tiff.extend(thumbnail);
    }
    tiff
}

/// Appends a directory and all it points at; returns where the link to the next one stands.
fn write_directory(tiff: &mut Vec<u8>, mut entries: Vec<(u16, Value)>) -> usize {
    entries.sort_by_key(|(tag, _)| *tag);
    let start = tiff.len();
    let next_at = start + 2 + entries.len() * 12;
    tiff.extend((entries.len() as u16).to_be_bytes());
    tiff.resize(next_at + 4, 0);
    for (i, (tag, value)) in entries.into_iter().enumerate() {
        let (kind, count, data) = match value {
            Value::Byte(bytes) => (1u16, bytes.len() as u32, bytes),
            Value::Ascii(text) => (2, text.len() as u32 + 1, [text.as_bytes(), b"\0"].concat()),
            Value::Short(number) => (3, 1, number.to_be_bytes().to_vec()),
            Value::Long(number) => (4, 1, number.to_be_bytes().to_vec()),
            Value::Rational(parts) => {
                let words = parts.iter().flat_map(|(n, d)| [*n, *d]);
                (
                    5,
                    parts.len() as u32,
                    words.flat_map(u32::to_be_bytes).collect(),
                )
            }
            Value::Directory(entries) => {
                let at = tiff.len() as u32;
                write_directory(tiff, entries);
                (4, 1, at.to_be_bytes().to_vec())
            }
        };
        let mut slot = [0; 4];
        match data.len() <= 4 {
            true => slot[..data.len()].copy_from_slice(&data),
            false => {
                slot = (tiff.len() as u32).to_be_bytes();
                tiff.extend(&data);
            }
        }
        let entry = &mut tiff[start + 2 + i * 12..][..12];
        entry[..2].copy_from_slice(&tag.to_be_bytes());
        entry[2..4].copy_from_slice(&kind.to_be_bytes());
        entry[4..8].copy_from_slice(&count.to_be_bytes());
        entry[8..].copy_from_slice(&slot);
    }
    next_at
}

/// The EXIF orientation alone, as an APP1 body.
pub fn orientation(value: u16) -> Vec<u8> {
    exif(vec![(0x0112, Value::Short(value))], None)
}

/// Peak signal-to-noise ratio of two pictures of one size, over all three channels, in decibels.
pub fn psnr(a: &RgbImage, b: &RgbImage) -> f64 {
    assert_eq!(a.dimensions(), b.dimensions());
    let squares: f64 = a
        .as_raw()
        .iter()
        .zip(b.as_raw())
        .map(|(a, b)| (f64::from(*a) - f64::from(*b)).powi(2))
        .sum();
    10.0 * (255.0f64.powi(2) * a.as_raw().len() as f64 / squares.max(1.0)).log10()
}
