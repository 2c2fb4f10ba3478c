//! Takes a camera's file in: upright, sized, without position or any other metadata.
//!
//! [`take_in`] reads a JPEG or PNG and produces two new JPEG files in memory, the picture and a
//! thumbnail. The original is only ever read. What the produced files are:
//!
//! * **Upright.** Turned and mirrored as the EXIF orientation says; none is written.
//! * **Sized.** At most [`LONG_EDGE`] pixels on the long edge, the thumbnail at most
//!   [`THUMBNAIL_EDGE`]; never enlarged.
//! * **Bare.** A JFIF header, tables and pixels. No position, EXIF, XMP, IPTC, comment, colour
//!   profile or embedded thumbnail goes along, because each is built from pixels alone. Only the
//!   time taken is read, and it is returned as [`Taken::taken_at`], not written.
//! * **sRGB.** A colour profile in the original (phones often use wider ones) is applied, so that
//!   the colours look right without it. A profile that is not for RGB, or cannot be read, is left
//!   aside, and the values stand as they are; so are a PNG's `gAMA`, `cHRM` and `cICP` chunks.
//!   Transparency is flattened on white, 16 bits become 8, grey becomes RGB.
//! * **Repeatable.** The same bytes give the same bytes on one machine. Another kind of processor
//!   may round a pixel otherwise, so nobody should take a picture in twice and compare digests
//!   across devices.
//!
//! What a file is, is told from its content; its name plays no part. A file that is not taken in
//! gets a [`PhotoError`]: the file, and a sentence about what to do. It refuses rather than
//! repairs: half a picture would hide that evidence is missing, and the surveyor can still take
//! it again. A file that stops early is always noticed; damage inside a JPEG only where its codes
//! stop making sense, because the format has no checksum (PNG has one). Memory is bounded before
//! anything is decoded ([`PIXEL_LIMIT`], [`DECODED_LIMIT`]); beside the file's own bytes, taking
//! in holds about twice what the decoded pixels take.
//!
//! [`check`] is for the other end: it tells whether stored bytes are a picture as produced here.

mod jpeg;
mod kind;
mod png;
mod problem;
mod taken_at;

use std::fmt;
use std::fs::File;
use std::io::{Cursor, Read};
use std::path::Path;

use fast_image_resize as resize;
use image::codecs::png::PngDecoder;
use image::metadata::Orientation;
use image::{DynamicImage, GrayImage, ImageDecoder, RgbImage};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};
use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;

use crate::digest::Sha256Hex;
use kind::Kind;
pub use problem::{PhotoError, Problem};
pub use taken_at::{NotATime, TakenAt};

/// The longest edge of a produced picture, in pixels.
pub const LONG_EDGE: u32 = 2048;
/// The longest edge of a produced thumbnail, in pixels.
pub const THUMBNAIL_EDGE: u32 = 320;
/// The most bytes that an original may have (100 MB).
pub const FILE_LIMIT: u64 = 100_000_000;
/// The most pixels that an original may have (64 megapixels).
pub const PIXEL_LIMIT: u64 = 64_000_000;
/// The most memory that an original's decoded samples may take, in bytes (256 MiB). It lowers
/// [`PIXEL_LIMIT`] for 16-bit PNG and for progressive JPEG, whose coefficients are held as well.
pub const DECODED_LIMIT: u64 = 256 << 20;
/// The most bytes that a stored picture may have (16 MiB, more than its pixels have).
pub const STORED_LIMIT: u64 = 16 << 20;

/// JPEG quality (the common 1–100 scale) of the picture. Common practice, no source: text on a
/// label stays readable, and a picture of full size has about half a megabyte.
const QUALITY: u8 = 85;
const THUMBNAIL_QUALITY: u8 = 80;

/// A picture that was taken in.
#[derive(Clone, PartialEq, Eq)]
pub struct Taken {
    /// The picture: a JPEG file without metadata.
    pub jpeg: Vec<u8>,
    /// The same, small: a JPEG file without metadata.
    pub thumbnail: Vec<u8>,
    /// Width of the picture in pixels, upright.
    pub width: u32,
    /// Height of the picture in pixels, upright.
    pub height: u32,
    /// SHA-256 of [`jpeg`](Self::jpeg).
    pub sha256: Sha256Hex,
    /// SHA-256 of [`thumbnail`](Self::thumbnail).
    pub thumbnail_sha256: Sha256Hex,
    /// When the picture was taken, if the original said so.
    pub taken_at: Option<TakenAt>,
}

/// Without the bytes, which would fill a screen many times over.
impl fmt::Debug for Taken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Taken")
            .field("width", &self.width)
            .field("height", &self.height)
            .field("sha256", &self.sha256)
            .field("taken_at", &self.taken_at)
            .finish_non_exhaustive()
    }
}

/// Takes in the file at `source`, which is read and otherwise left alone.
///
/// # Errors
///
/// The path with a [`Problem`]: not readable, larger than [`FILE_LIMIT`], or any of
/// [`take_in_bytes`].
pub fn take_in(source: &Path) -> Result<Taken, PhotoError> {
    read_file(source)
        .and_then(|bytes| taken(&bytes))
        .map_err(|problem| problem.with(source.display().to_string()))
}

/// Takes in a file's bytes; `label` names them in errors.
///
/// # Errors
///
/// The label with a [`Problem`]: not a JPEG or PNG, truncated, damaged, or larger than
/// [`FILE_LIMIT`], [`PIXEL_LIMIT`] or [`DECODED_LIMIT`].
///
/// # Examples
///
/// ```
/// use joistlight::photo::{self, Problem};
///
/// let refused = photo::take_in_bytes(b"Dear office, ...", "attic.jpg").unwrap_err();
/// assert!(matches!(refused.problem, Problem::NotAPicture("a text file")));
/// assert!(refused.to_string().starts_with("attic.jpg: this is a text file"));
/// ```
pub fn take_in_bytes(bytes: &[u8], label: &str) -> Result<Taken, PhotoError> {
    within(bytes.len() as u64, FILE_LIMIT)
        .and_then(|()| taken(bytes))
        .map_err(|problem| problem.with(label))
}

/// Checks that stored bytes are a picture as [`take_in`] produces it, and returns its width and
/// height in pixels. `label` names the bytes in errors.
///
/// Looked at: the whole structure from first byte to last (a baseline JPEG with nothing but a
/// JFIF header, tables and one scan that is not cut off, and no byte after it), and the size
/// (at most [`LONG_EDGE`] and [`STORED_LIMIT`]). **The pixels are not decoded**: the cost is one
/// pass over the bytes and next to no memory. A flipped bit inside the pixels is therefore not
/// found here; the digest that goes with the picture finds it.
///
/// # Errors
///
/// The label with a [`Problem`]; [`Problem::CarriesMetadata`] names the first segment that should
/// not be there.
pub fn check(bytes: &[u8], label: &str) -> Result<(u32, u32), PhotoError> {
    stored_size(bytes).map_err(|problem| problem.with(label))
}

fn stored_size(bytes: &[u8]) -> Result<(u32, u32), Problem> {
    within(bytes.len() as u64, STORED_LIMIT)?;
    if kind::tell(bytes)? != Kind::Jpeg {
        return Err(Problem::OtherPicture("PNG"));
    }
    let structure = jpeg::read(bytes)?;
    jpeg::only_pixels(&structure)?;
    let (width, height) = (structure.frame.width.into(), structure.frame.height.into());
    match width <= LONG_EDGE && height <= LONG_EDGE {
        true => Ok((width, height)),
        false => Err(Problem::StoredTooLarge {
            width,
            height,
            limit: LONG_EDGE,
        }),
    }
}

fn read_file(source: &Path) -> Result<Vec<u8>, Problem> {
    // Asked before opening: opening a pipe would wait for someone to write into it.
    let metadata = std::fs::metadata(source).map_err(Problem::Unreadable)?;
    if !metadata.is_file() {
        return Err(Problem::NotAFile);
    }
    within(metadata.len(), FILE_LIMIT)?;
    let mut bytes = Vec::with_capacity(metadata.len() as usize);
    // The file may grow while it is read.
    File::open(source)
        .and_then(|file| file.take(FILE_LIMIT + 1).read_to_end(&mut bytes))
        .map_err(Problem::Unreadable)?;
    within(bytes.len() as u64, FILE_LIMIT)?;
    Ok(bytes)
}

fn within(bytes: u64, limit: u64) -> Result<(), Problem> {
    match bytes <= limit {
        true => Ok(()),
        false => Err(Problem::TooBig { bytes, limit }),
    }
}

/// A decoded original, still lying as the sensor did.
struct Original {
    pixels: RgbImage,
    exif: Option<Vec<u8>>,
    profile: Option<Vec<u8>>,
}

fn taken(bytes: &[u8]) -> Result<Taken, Problem> {
    let original = match kind::tell(bytes)? {
        Kind::Jpeg => decode_jpeg(bytes)?,
        Kind::Png => decode_png(bytes)?,
    };
    let orientation = original
        .exif
        .as_deref()
        .and_then(Orientation::from_exif_chunk)
        .unwrap_or(Orientation::NoTransforms);
    // Sized first: fewer pixels to convert and to turn.
    let sized = fit(original.pixels, LONG_EDGE)?;
    let coloured = to_srgb(sized, original.profile.as_deref());
    let mut turned = DynamicImage::ImageRgb8(coloured);
    turned.apply_orientation(orientation);
    let picture = turned.into_rgb8();
    let (width, height) = picture.dimensions();
    let jpeg = encode(&picture, QUALITY)?;
    let thumbnail = encode(&fit(picture, THUMBNAIL_EDGE)?, THUMBNAIL_QUALITY)?;
    Ok(Taken {
        sha256: Sha256Hex::of(&jpeg),
        thumbnail_sha256: Sha256Hex::of(&thumbnail),
        jpeg,
        thumbnail,
        width,
        height,
        taken_at: original.exif.as_deref().and_then(TakenAt::from_exif),
    })
}

/// Refuses a header that announces more than may be held.
fn bounded(width: u32, height: u32, bytes_per_pixel: u64) -> Result<(), Problem> {
    let limit = PIXEL_LIMIT.min(DECODED_LIMIT / bytes_per_pixel);
    match u64::from(width) * u64::from(height) <= limit {
        true => Ok(()),
        false => Err(Problem::TooManyPixels {
            width,
            height,
            limit,
        }),
    }
}

fn decode_jpeg(bytes: &[u8]) -> Result<Original, Problem> {
    let structure = jpeg::read(bytes)?;
    jpeg::decodes_right(&structure)?;
    let frame = structure.frame;
    let (width, height) = (u32::from(frame.width), u32::from(frame.height));
    // Red, green and blue; a progressive file's coefficients (two bytes each) on top.
    bounded(width, height, if frame.progressive { 9 } else { 3 })?;

    // The `image` crate's own JPEG decoder is this one in its lenient mode, which paints what is
    // missing from a damaged file grey and says nothing.
    let colours = match frame.components {
        1 => ColorSpace::Luma,
        _ => ColorSpace::RGB,
    };
    let options = DecoderOptions::default()
        .set_strict_mode(true)
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        .jpeg_set_out_colorspace(colours);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    let samples = decoder.decode().map_err(|error| damaged(&error))?;
    let pixels = match colours {
        ColorSpace::Luma => GrayImage::from_raw(width, height, samples)
            .map(|grey| DynamicImage::ImageLuma8(grey).into_rgb8()),
        _ => RgbImage::from_raw(width, height, samples),
    };
    Ok(Original {
        pixels: pixels.ok_or_else(|| damaged(&"fewer pixels than its header says"))?,
        exif: decoder.exif().cloned(),
        profile: decoder.icc_profile(),
    })
}

fn decode_png(bytes: &[u8]) -> Result<Original, Problem> {
    let header = png::read(bytes)?;
    bounded(header.width, header.height, header.bytes_per_pixel)?;
    let mut limits = image::Limits::default();
    limits.max_alloc = Some(2 * DECODED_LIMIT);
    let png_problem = |error: image::ImageError| match &error {
        image::ImageError::IoError(io) if io.kind() == std::io::ErrorKind::UnexpectedEof => {
            Problem::Truncated
        }
        _ => damaged(&error),
    };
    let mut decoder = PngDecoder::with_limits(Cursor::new(bytes), limits).map_err(png_problem)?;
    let exif = decoder.exif_metadata().ok().flatten();
    let profile = decoder.icc_profile().ok().flatten();
    let decoded = DynamicImage::from_decoder(decoder).map_err(png_problem)?;
    Ok(Original {
        pixels: on_white(decoded),
        exif,
        profile,
    })
}

/// Flattens transparency on white.
fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let layered = picture.into_rgba8();
    let mut flat = RgbImage::new(layered.width(), layered.height());
    for (to, from) in flat.pixels_mut().zip(layered.pixels()) {
        let [red, green, blue, alpha] = from.0.map(u32::from);
        to.0 = [red, green, blue].map(|c| ((c * alpha + 255 * (255 - alpha) + 127) / 255) as u8);
    }
    flat
}

/// Scales down so that the long edge is at most `edge`; a smaller picture stays as it is.
fn fit(picture: RgbImage, edge: u32) -> Result<RgbImage, Problem> {
    let (width, height) = picture.dimensions();
    let long = width.max(height);
    if long <= edge {
        return Ok(picture);
    }
    let scaled = |side: u32| {
        let rounded = (u64::from(side) * u64::from(edge) + u64::from(long / 2)) / u64::from(long);
        (rounded as u32).max(1)
    };
    let (new_width, new_height) = (scaled(width), scaled(height));
    let pixels = resize::PixelType::U8x3;
    let from = resize::images::Image::from_vec_u8(width, height, picture.into_raw(), pixels)
        .map_err(|error| damaged(&error))?;
    let mut to = resize::images::Image::new(new_width, new_height, pixels);
    let options = resize::ResizeOptions::new()
        .resize_alg(resize::ResizeAlg::Convolution(resize::FilterType::Lanczos3));
    resize::Resizer::new()
        .resize(&from, &mut to, &options)
        .map_err(|error| damaged(&error))?;
    RgbImage::from_raw(new_width, new_height, to.into_vec())
        .ok_or_else(|| damaged(&"it cannot be scaled"))
}

/// Applies an RGB colour profile; without one, or with one that cannot be used, the values stand.
fn to_srgb(picture: RgbImage, profile: Option<&[u8]>) -> RgbImage {
    let converted = profile.and_then(|profile| {
        let profile = ColorProfile::new_from_slice(profile).ok()?;
        if profile.color_space != DataColorSpace::Rgb {
            return None;
        }
        let transform = profile
            .create_transform_8bit(
                Layout::Rgb,
                &ColorProfile::new_srgb(),
                Layout::Rgb,
                TransformOptions::default(),
            )
            .ok()?;
        let mut converted = RgbImage::new(picture.width(), picture.height());
        transform.transform(&picture, &mut converted).ok()?;
        Some(converted)
    });
    converted.unwrap_or(picture)
}

/// Writes a baseline JPEG with nothing but a JFIF header, tables and pixels.
fn encode(picture: &RgbImage, quality: u8) -> Result<Vec<u8>, Problem> {
    let side = |pixels: u32| u16::try_from(pixels).map_err(|error| damaged(&error));
    let (width, height) = (side(picture.width())?, side(picture.height())?);
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, quality);
    // Half the colour resolution each way, as cameras do.
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    // Fitted Huffman tables would save 1 % and put each colour into a scan of its own, which
    // common decoders get wrong (see `jpeg::decodes_right`).
    encoder.set_optimized_huffman_tables(false);
    encoder
        .encode(picture, width, height, ColorType::Rgb)
        .map_err(|error| damaged(&error))?;
    Ok(jpeg)
}

fn damaged(why: &dyn fmt::Display) -> Problem {
    Problem::Damaged(why.to_string())
}
