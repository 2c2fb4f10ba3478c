//! What a file is, told from its first bytes and never from its name.

use super::problem::Problem;

/// The two formats that are taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Jpeg,
    Png,
}

pub(super) const PNG_SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";

/// Tells JPEG and PNG, and refuses everything else by name where the name is known.
pub(super) fn tell(bytes: &[u8]) -> Result<Kind, Problem> {
    match bytes {
        [] => Err(Problem::Empty),
        [0xff, 0xd8, ..] => Ok(Kind::Jpeg),
        _ if bytes.starts_with(PNG_SIGNATURE) => Ok(Kind::Png),
        // A file cut off inside the signature.
        _ if PNG_SIGNATURE.starts_with(bytes) || bytes == [0xff] => Err(Problem::Truncated),
        [_, _, _, _, b'f', b't', b'y', b'p', ..] => Err(iso_media(bytes)),
        [b'R', b'I', b'F', b'F', _, _, _, _, form @ ..] => Err(match form {
            [b'W', b'E', b'B', b'P', ..] => Problem::OtherPicture("WebP"),
            [b'A', b'V', b'I', b' ', ..] => Problem::NotAPicture("a video"),
            _ => Problem::Unknown,
        }),
        // Some cameras put their own number where TIFF has 42; DNG and others are plain TIFF.
        [b'I', b'I', 42, 0, 16, 0, 0, 0, b'C', b'R', ..]
        | [b'I', b'I', b'R', b'O' | b'S', ..]
        | [b'I', b'I', b'U', 0, ..] => Err(Problem::Raw),
        [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => {
            Err(Problem::OtherPicture("TIFF or raw"))
        }
        [b'G', b'I', b'F', b'8', ..] => Err(Problem::OtherPicture("GIF")),
        [b'B', b'M', _, _, _, _, 0, 0, 0, 0, ..] => Err(Problem::OtherPicture("BMP")),
        [0xff, 0x0a, ..] | [0, 0, 0, 12, b'J', b'X', b'L', b' ', ..] => {
            Err(Problem::OtherPicture("JPEG XL"))
        }
        [0, 0, 0, 12, b'j', b'P', b' ', b' ', ..] | [0xff, 0x4f, 0xff, 0x51, ..] => {
            Err(Problem::OtherPicture("JPEG 2000"))
        }
        [b'%', b'P', b'D', b'F', ..] => Err(Problem::NotAPicture("a PDF document")),
        [b'P', b'K', 3 | 5, 4 | 6, ..] => Err(Problem::NotAPicture("a ZIP archive")),
        _ if is_text(bytes) => Err(Problem::NotAPicture("a text file")),
        _ => Err(Problem::Unknown),
    }
}

/// The brands of an ISO base media file (ISO/IEC 14496-12 §4.3, ISO/IEC 23008-12 §10.2): the major
/// one, then the compatible ones, because many HEIC files put a general brand first.
fn iso_media(bytes: &[u8]) -> Problem {
    let length = u32::from_be_bytes([bytes[0], bytes[1], bytes[2], bytes[3]]) as usize;
    let box_end = length.clamp(8, 512).min(bytes.len());
    let brands = || {
        let numbered = bytes[8..box_end].chunks_exact(4).enumerate();
        // The second word is the minor version, not a brand.
        numbered.filter(|(i, _)| *i != 1).map(|(_, brand)| brand)
    };
    let any = |names: &[&[u8]]| brands().any(|brand| names.contains(&brand));
    if any(&[b"avif", b"avis"]) {
        Problem::Avif
    } else if any(&[
        b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1",
    ]) {
        Problem::Heic
    } else if any(&[b"crx "]) {
        Problem::Raw
    } else {
        Problem::NotAPicture("a video or sound recording")
    }
}

/// UTF-8 without control characters, judged by the first kilobyte.
fn is_text(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(1024)];
    let valid = match std::str::from_utf8(head) {
        Ok(text) => text,
        // The kilobyte may end inside a character.
        Err(error) if error.error_len().is_none() => {
            std::str::from_utf8(&head[..error.valid_up_to()]).unwrap_or_default()
        }
        Err(_) => return false,
    };
    !valid.is_empty() && valid.chars().all(|c| !c.is_control() || c.is_whitespace())
}
