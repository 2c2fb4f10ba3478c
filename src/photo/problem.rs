//! Why a file was not taken in, in sentences that a person can act on.

use std::io;

/// A file that was refused: which one, and why.
///
/// Shown as one line, the file first: “IMG_0042.heic: this is an HEIC picture. …”.
#[derive(Debug, thiserror::Error)]
#[error("{file}: {problem}")]
pub struct PhotoError {
    /// The path, or the label that the caller gave the bytes.
    pub file: String,
    /// What is wrong with it.
    pub problem: Problem,
}

/// What is wrong with a file. Each variant's text says what to do about it.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// The operating system would not give the bytes.
    #[error("the file cannot be read ({0}). Check that it is still there and may be opened")]
    Unreadable(io::Error),

    /// A folder, a device, a pipe.
    #[error("this is not a file. Choose the picture itself")]
    NotAFile,

    /// No bytes at all.
    #[error("the file is empty. Take the picture again")]
    Empty,

    /// More bytes than any camera's JPEG has.
    #[error(
        "the file has {bytes} bytes; at most {limit} are taken in. \
         Set the camera to a smaller picture size and take it again"
    )]
    TooBig {
        /// Size of the file in bytes, as far as it was looked at.
        bytes: u64,
        /// The most that is taken in, in bytes.
        limit: u64,
    },

    /// The header announces more pixels than this device should have to hold.
    #[error(
        "the picture is {width} × {height} pixels; at most {} megapixels of this kind are taken \
         in. Set the camera to a smaller picture size and take it again",
        limit / 1_000_000
    )]
    TooManyPixels {
        /// Width in pixels, as stored.
        width: u32,
        /// Height in pixels, as stored.
        height: u32,
        /// The most pixels that are taken in from a file of this kind.
        limit: u64,
    },

    /// The file stops before the picture does.
    #[error(
        "the file stops before the picture ends. Copy it again from the camera, \
         or take the picture again"
    )]
    Truncated,

    /// A JPEG or PNG whose content contradicts itself.
    #[error("the picture is damaged ({0}). Copy it again from the camera, or take it again")]
    Damaged(String),

    /// HEIC or another HEIF picture, which many phones write unless told otherwise.
    #[error(
        "this is an HEIC picture. Set the camera to write JPEG (often called “most compatible”) \
         and take it again"
    )]
    Heic,

    /// An AVIF picture.
    #[error("this is an AVIF picture. Set the camera to write JPEG and take it again")]
    Avif,

    /// A camera's raw file.
    #[error("this is a camera's raw file. Set the camera to write JPEG and take it again")]
    Raw,

    /// A picture in another known format.
    #[error("this is a {0} picture. Only JPEG and PNG are taken in; save it as one of those")]
    OtherPicture(&'static str),

    /// A known kind of file that is no picture.
    #[error("this is {0}, not a picture, whatever its name says. Choose a JPEG or PNG picture")]
    NotAPicture(&'static str),

    /// Nothing that is known.
    #[error("this is not a picture that is known here. Choose a JPEG or PNG picture")]
    Unknown,

    /// A JPEG made for printing presses (four inks).
    #[error("this JPEG is stored in printing inks (CMYK). Save it as an ordinary RGB JPEG")]
    Cmyk,

    /// A JPEG of a kind that no camera writes: arithmetic coding, lossless, 12 bits …
    #[error("this is an uncommon kind of JPEG ({0}). Save it as an ordinary 8-bit JPEG")]
    UncommonJpeg(&'static str),

    /// [`check`](super::check) only: a stored picture that says more than pixels.
    #[error(
        "the stored picture carries data beside its pixels ({0}), which may give away a place. \
         Take the original in again"
    )]
    CarriesMetadata(String),

    /// [`check`](super::check) only: a stored picture that is larger than any that is produced.
    #[error(
        "the stored picture is {width} × {height} pixels; none is stored with more than {limit} \
         on its long edge. Take the original in again"
    )]
    StoredTooLarge {
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
        /// The longest edge in pixels.
        limit: u32,
    },
}

impl Problem {
    /// Says which file has the problem.
    pub(super) fn with(self, file: impl Into<String>) -> PhotoError {
        PhotoError {
            file: file.into(),
            problem: self,
        }
    }
}
