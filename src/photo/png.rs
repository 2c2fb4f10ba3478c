//! A PNG file's structure, read without inflating a byte.
//!
//! References: W3C Portable Network Graphics (Third Edition) §5 (chunks), §11.2.1 (IHDR).

use super::kind::PNG_SIGNATURE;
use super::problem::Problem;

/// What the IHDR chunk says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Header {
    pub width: u32,
    pub height: u32,
    /// Bytes that one pixel takes once decoded.
    pub bytes_per_pixel: u64,
}

/// Walks the chunks from IHDR to IEND and returns the header.
pub(super) fn read(bytes: &[u8]) -> Result<Header, Problem> {
    let mut at = PNG_SIGNATURE.len();
    let mut header = None;
    loop {
        let Some(&[l3, l2, l1, l0, t0, t1, t2, t3]) = bytes.get(at..at + 8).and_then(first8) else {
            return Err(Problem::Truncated);
        };
        let length = u32::from_be_bytes([l3, l2, l1, l0]) as usize;
        // The CRC's four bytes follow the data.
        let end = at.saturating_add(8).saturating_add(length);
        let data = bytes.get(at + 8..end).ok_or(Problem::Truncated)?;
        if bytes.len() < end.saturating_add(4) {
            return Err(Problem::Truncated);
        }
        match (&[t0, t1, t2, t3], header) {
            (b"IHDR", None) => header = Some(ihdr(data)?),
            (_, None) => return Err(damaged("it does not begin with its header")),
            (b"IEND", Some(header)) => return Ok(header),
            _ => {}
        }
        at = end + 4;
    }
}

fn first8(bytes: &[u8]) -> Option<&[u8; 8]> {
    bytes.first_chunk()
}

fn ihdr(data: &[u8]) -> Result<Header, Problem> {
    let &[w3, w2, w1, w0, h3, h2, h1, h0, depth, colour, ..] = data else {
        return Err(damaged("its header is too short"));
    };
    let samples = match colour {
        0 => 1,
        2 => 3,
        // A palette's entries are three bytes, four with transparency.
        3 => 4,
        4 => 2,
        6 => 4,
        _ => return Err(damaged("its header names an unknown colour type")),
    };
    let header = Header {
        width: u32::from_be_bytes([w3, w2, w1, w0]),
        height: u32::from_be_bytes([h3, h2, h1, h0]),
        bytes_per_pixel: samples * if depth == 16 { 2 } else { 1 },
    };
    if header.width == 0 || header.height == 0 {
        return Err(damaged("it is 0 pixels wide or high"));
    }
    Ok(header)
}

fn damaged(why: &str) -> Problem {
    Problem::Damaged(why.into())
}
