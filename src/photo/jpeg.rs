//! A JPEG file's structure, read without decoding a pixel.
//!
//! Two things are decided here that a decoder decides too late or not at all: whether the file is
//! whole, and how much memory its header asks for.
//!
//! References: ITU-T T.81 (09/92) Annex B (markers, segments, frame header); T.871 (JFIF).

use super::problem::Problem;

const SOF0: u8 = 0xc0;
const SOF1: u8 = 0xc1;
const SOF2: u8 = 0xc2;
const DHT: u8 = 0xc4;
const SOI: u8 = 0xd8;
const EOI: u8 = 0xd9;
const SOS: u8 = 0xda;
const DQT: u8 = 0xdb;
const DRI: u8 = 0xdd;
const APP0: u8 = 0xe0;

/// One marker with the parameters that follow it (without the two bytes of their length).
#[derive(Clone, Copy)]
pub(super) struct Segment<'a> {
    pub marker: u8,
    pub body: &'a [u8],
}

/// What a frame header says (T.81 B.2.2).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Frame {
    pub width: u16,
    pub height: u16,
    pub components: u8,
    pub progressive: bool,
}

/// A whole file: every marker segment up to and including EOI, in order.
pub(super) struct Structure<'a> {
    pub segments: Vec<Segment<'a>>,
    pub frame: Frame,
    pub scans: usize,
    /// Number of bytes after EOI. Phones put more there: a depth map, a short video.
    pub trailing: usize,
}

/// Walks the markers from SOI to EOI, stepping over the entropy-coded data.
///
/// Costs one pass over the bytes and a few words a segment.
pub(super) fn read(bytes: &[u8]) -> Result<Structure<'_>, Problem> {
    let mut segments = Vec::new();
    let mut frame = None;
    let mut scans = 0;
    let mut at = 2; // past SOI, by which the file was told
    loop {
        let marker = next_marker(bytes, &mut at)?;
        match marker {
            EOI if scans > 0 => break,
            EOI => return Err(damaged("it ends before any picture data")),
            SOI => return Err(damaged("a second picture starts inside the first")),
            // TEM and RSTn stand alone.
            0x01 | 0xd0..=0xd7 => continue,
            _ => {}
        }
        let body = parameters(bytes, &mut at)?;
        segments.push(Segment { marker, body });
        match marker {
            // All the frame headers of T.81 table B.1: C4, C8 and CC are something else.
            SOF0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                if frame.is_some() {
                    return Err(damaged("it has two frame headers"));
                }
                frame = Some(frame_header(marker, body)?);
            }
            SOS => {
                if frame.is_none() {
                    return Err(damaged("picture data come before the frame header"));
                }
                scans += 1;
                step_over_scan(bytes, &mut at)?;
            }
            _ => {}
        }
    }
    let frame = frame.ok_or_else(|| damaged("it has no frame header"))?;
    Ok(Structure {
        segments,
        frame,
        scans,
        trailing: bytes.len() - at,
    })
}

/// The marker at `at`, which may have fill bytes before it (T.81 B.1.1.2).
fn next_marker(bytes: &[u8], at: &mut usize) -> Result<u8, Problem> {
    match bytes.get(*at) {
        Some(0xff) => {}
        Some(_) => return Err(damaged("stray bytes stand between its segments")),
        None => return Err(Problem::Truncated),
    }
    let fill = bytes[*at..]
        .iter()
        .take_while(|&&byte| byte == 0xff)
        .count();
    *at += fill;
    let marker = *bytes.get(*at).ok_or(Problem::Truncated)?;
    *at += 1;
    match marker {
        0x00 => Err(damaged("picture data stand between its segments")),
        _ => Ok(marker),
    }
}

/// The parameters at `at`: two bytes of length, which count themselves, then the rest.
fn parameters<'a>(bytes: &'a [u8], at: &mut usize) -> Result<&'a [u8], Problem> {
    let [high, low, ..] = bytes[*at..] else {
        return Err(Problem::Truncated);
    };
    let length = usize::from(u16::from_be_bytes([high, low]));
    if length < 2 {
        return Err(damaged("a segment has an impossible length"));
    }
    let body = bytes.get(*at + 2..*at + length).ok_or(Problem::Truncated)?;
    *at += length;
    Ok(body)
}

/// Steps from the first byte of entropy-coded data to the marker that ends them. In these data
/// `ff` is followed by `00`, by a restart marker, or by fill bytes.
fn step_over_scan(bytes: &[u8], at: &mut usize) -> Result<(), Problem> {
    loop {
        let next = bytes[*at..].iter().position(|&byte| byte == 0xff);
        *at += next.ok_or(Problem::Truncated)?;
        match bytes.get(*at + 1) {
            None => return Err(Problem::Truncated),
            Some(0x00 | 0xd0..=0xd7) => *at += 2,
            Some(0xff) => *at += 1,
            Some(_) => return Ok(()),
        }
    }
}

fn frame_header(marker: u8, body: &[u8]) -> Result<Frame, Problem> {
    match marker {
        SOF0..=SOF2 => {}
        0xc3 => return Err(Problem::UncommonJpeg("lossless")),
        0xc9..=0xcf => return Err(Problem::UncommonJpeg("arithmetic coding")),
        _ => return Err(Problem::UncommonJpeg("hierarchical")),
    }
    let &[precision, h1, h0, w1, w0, components, ..] = body else {
        return Err(damaged("its frame header is too short"));
    };
    let frame = Frame {
        width: u16::from_be_bytes([w1, w0]),
        height: u16::from_be_bytes([h1, h0]),
        components,
        progressive: marker == SOF2,
    };
    match (precision, components) {
        _ if frame.width == 0 || frame.height == 0 => Err(damaged("it is 0 pixels wide or high")),
        (8, 1) => Ok(frame),
        (8, 3) => match body[6..] {
            // Each colour's identifier, sampling and table. The first one (brightness) may be
            // finer than the other two; other mixtures are allowed but not written by cameras.
            [_, _, _, _, 0x11, _, _, 0x11, _] => Ok(frame),
            _ => Err(Problem::UncommonJpeg("an unusual mixture of resolutions")),
        },
        (8, 4) => Err(Problem::Cmyk),
        (8, _) => Err(Problem::UncommonJpeg("an unusual number of colours")),
        _ => Err(Problem::UncommonJpeg("more than 8 bits a colour")),
    }
}

/// Refuses what the decoder would get wrong without saying so: a baseline file whose colours come
/// in separate scans. zune-jpeg 0.5.15 returns striped green pixels for those
/// (etemesi254/zune-image issues 419 and 422); cameras do not write them.
pub(super) fn decodes_right(structure: &Structure) -> Result<(), Problem> {
    match structure.frame.progressive || structure.scans == 1 {
        true => Ok(()),
        false => Err(Problem::UncommonJpeg("its colours are stored one by one")),
    }
}

/// Whether the file holds pixels and what is needed to read them, and nothing else.
///
/// The list is of what may be there, so that what nobody thought of is refused too.
pub(super) fn only_pixels(structure: &Structure) -> Result<(), Problem> {
    decodes_right(structure)?;
    for Segment { marker, body } in &structure.segments {
        match *marker {
            SOF0 | DHT | DQT | DRI | SOS => {}
            // JFIF's 14 bytes: version, density, and the size of a thumbnail, which must be none.
            APP0 if body.len() == 14 && body.starts_with(b"JFIF\0") && body[12..] == [0, 0] => {}
            SOF1 | SOF2 => return Err(Problem::UncommonJpeg("not the kind that is stored")),
            other => return Err(Problem::CarriesMetadata(segment_name(other, body))),
        }
    }
    match structure.trailing {
        0 => Ok(()),
        bytes => Err(Problem::CarriesMetadata(format!(
            "{bytes} bytes after the picture's end"
        ))),
    }
}

fn segment_name(marker: u8, body: &[u8]) -> String {
    match marker {
        0xe1 if body.starts_with(b"Exif\0") => "an EXIF segment".into(),
        0xe1 if body.starts_with(b"http://") => "an XMP segment".into(),
        0xe2 if body.starts_with(b"ICC_PROFILE\0") => "an ICC colour profile".into(),
        0xed => "an IPTC segment".into(),
        0xe0..=0xef => format!("an APP{} segment", marker - APP0),
        0xfe => "a comment".into(),
        _ => format!("a segment marked {marker:02X}"),
    }
}

fn damaged(why: &str) -> Problem {
    Problem::Damaged(why.into())
}
