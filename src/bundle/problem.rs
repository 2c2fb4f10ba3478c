//! Why a bundle was refused, or could not be written.

use crate::digest::Sha256Hex;
use crate::disk::DiskError;
use crate::photo;
use crate::survey::{FileError, visible};
use std::fmt;

/// A bundle was refused: which file, which entry in it, and why. Nothing of it was kept.
#[derive(Debug)]
pub struct BundleError {
    /// The bundle's file.
    pub file: String,
    /// The entry in it, where one is to blame.
    pub entry: Option<String>,
    /// What is wrong.
    pub problem: Problem,
}

impl fmt::Display for BundleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // These sentences name the file themselves.
        if let Problem::Disk(_) | Problem::Text(_) = self.problem {
            return self.problem.fmt(f);
        }
        match &self.entry {
            Some(entry) if entry.is_empty() => {
                write!(f, "{}, an entry of it: {}", self.file, self.problem)
            }
            Some(entry) => write!(f, "{}, {}: {}", self.file, visible(entry), self.problem),
            None => write!(f, "{}: {}", self.file, self.problem),
        }
    }
}

impl std::error::Error for BundleError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.problem)
    }
}

/// What is wrong with a bundle. Each variant's text is a sentence that is true of the file or entry named
/// before it.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// The operating system refused.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// The caller asked to stop.
    #[error("stopped before the end, as asked.")]
    Stopped,

    /// No zip archive, or not to its end.
    #[error("this is no bundle, or it was cut off on the way; ask for it again.")]
    NotAZip,
    /// More bytes than any bundle has.
    #[error("the file has {bytes} bytes; no bundle has more than {limit}.")]
    FileTooLarge {
        /// What it has.
        bytes: u64,
        /// The most accepted.
        limit: u64,
    },
    /// Bytes before the first entry.
    #[error("{bytes} bytes stand before the first entry; a bundle has none.")]
    LeadingJunk {
        /// How many.
        bytes: u64,
    },
    /// Bytes behind the archive, or a comment.
    #[error("bytes stand behind the end of the archive; a bundle has none.")]
    TrailingJunk,
    /// Bytes between the entries.
    #[error("bytes that belong to no entry stand before this one; a bundle has none.")]
    Gap,
    /// Two entries share bytes.
    #[error("the entry overlaps another one.")]
    Overlap,
    /// An archive in several parts, or one with 64-bit sizes, or whose sizes follow the data.
    #[error("the archive is of a kind that bundles are not ({0}).")]
    OddArchive(&'static str),
    /// What is said before the data differs from what the archive's directory says.
    #[error("the entry's own header and the archive's directory differ ({0}).")]
    HeadersDiffer(&'static str),
    /// Too many entries.
    #[error("the archive has {entries} entries; no bundle has more than {limit}.")]
    TooManyEntries {
        /// What it has.
        entries: u64,
        /// The most accepted.
        limit: u64,
    },
    /// An entry larger than any of its kind.
    #[error("the entry says that it has {bytes} bytes; no such entry has more than {limit}.")]
    EntryTooLarge {
        /// What it says.
        bytes: u64,
        /// The most accepted.
        limit: u64,
    },
    /// All entries together are too large.
    #[error(
        "its entries say that they have {bytes} bytes together; no bundle has more than {limit}."
    )]
    TotalTooLarge {
        /// What they say.
        bytes: u64,
        /// The most accepted.
        limit: u64,
    },
    /// Squeezed beyond what honest data allow.
    #[error(
        "the entry would swell from {packed} to {bytes} bytes; such an archive is made to fill disks."
    )]
    Swells {
        /// Its bytes in the archive.
        packed: u64,
        /// Its bytes when taken out.
        bytes: u64,
    },
    /// The data go on where they should end.
    #[error("the entry has more data than the {bytes} bytes that it says.")]
    LongerThanSaid {
        /// What it says.
        bytes: u64,
    },
    /// The data end before they should, or do not inflate.
    #[error("the entry's data are damaged ({0}).")]
    DataDamaged(&'static str),
    /// Encrypted.
    #[error("the entry is encrypted; a bundle is never.")]
    Encrypted,
    /// Neither stored nor deflated.
    #[error("the entry is compressed in a way that bundles do not use (method {0}).")]
    Compression(u16),

    /// A name that is no text.
    #[error("an entry's name is not UTF-8.")]
    NameNotUtf8,
    /// A name that starts at the root of a disk.
    #[error("the entry's name is an absolute path.")]
    AbsolutePath,
    /// A name that climbs out.
    #[error("the entry's name leads out of the bundle.")]
    PathTraversal,
    /// A name with backslashes.
    #[error("the entry's name has a backslash, which some systems take for a folder's end.")]
    Backslash,
    /// Another bad name.
    #[error("the entry's name is none that a bundle has ({0}).")]
    BadName(&'static str),
    /// A symbolic link.
    #[error("the entry is a link; a bundle has files only.")]
    Link,
    /// A device, a pipe, a socket.
    #[error("the entry is neither a file nor a folder.")]
    OddKind,
    /// Set-user-id and the like.
    #[error("the entry asks for special rights (mode {0:o}).")]
    OddMode(u32),
    /// A folder with data in it.
    #[error("the entry is a folder and yet has data.")]
    FolderWithData,
    /// The same name twice.
    #[error("two entries have this name.")]
    NameTwice,
    /// Two names that some systems take for one.
    #[error("two entries differ only in upper and lower case: the other is {0}.")]
    NameTwiceButForCase(String),
    /// Not one folder at the top.
    #[error("a bundle is one folder; this entry stands beside it.")]
    NotOneFolder,

    /// A file that every bag has is missing.
    #[error("the file is missing, which every bag has (RFC 8493).")]
    TagFileMissing,
    /// The bag's declaration.
    #[error(
        "this should be the two lines “BagIt-Version: 1.0” and “Tag-File-Character-Encoding: UTF-8”."
    )]
    Declaration,
    /// Text that is not UTF-8, in a file of the bag.
    #[error("line {line} is not UTF-8.")]
    NotUtf8 {
        /// The line, counted from one.
        line: usize,
    },
    /// A line of a manifest that is none.
    #[error(
        "line {line} should be a SHA-256 in 64 small hexadecimal digits, two spaces and a path."
    )]
    ManifestLine {
        /// The line, counted from one.
        line: usize,
    },
    /// A manifest that names a file twice.
    #[error("line {line} names {path} again.")]
    ManifestTwice {
        /// The line, counted from one.
        line: usize,
        /// The path.
        path: String,
    },
    /// A line of bag-info.txt that is none, or that is missing or there twice.
    #[error("“{0}” should stand there once, as “{0}: value”.")]
    BagInfo(&'static str),
    /// The count of bytes and files.
    #[error("Payload-Oxum says {said}, but the payload is {found} (bytes.files).")]
    Oxum {
        /// What it says.
        said: String,
        /// What there is.
        found: String,
    },
    /// Named by a manifest but not there.
    #[error("the manifest names this file, but it is missing.")]
    Missing,
    /// One of the files that every bundle has.
    #[error("the file is missing, which every bundle has.")]
    PartMissing,
    /// There but not named by a manifest.
    #[error("no manifest names this file; it was added later.")]
    NotListed,
    /// Bytes that differ from the manifest.
    #[error("the file is not the one that was put in: its SHA-256 is {found}, not {said}.")]
    Digest {
        /// What the manifest says.
        said: Sha256Hex,
        /// What the bytes have.
        found: Sha256Hex,
    },
    /// The archive's own checksum.
    #[error("the file is damaged: the archive's checksum (CRC-32) of it is wrong.")]
    Crc,

    /// A bundle of a later version.
    #[error(
        "the bundle has version {version}; this program knows versions up to {known}. A newer joistlight opens it."
    )]
    NewerBundle {
        /// The version found.
        version: u64,
        /// The newest known here.
        known: u32,
    },
    /// The survey or the findings cannot be read; the sentence names file, entry and field.
    #[error(transparent)]
    Text(#[from] FileError),
    /// Findings about another survey or revision.
    #[error("these are the findings of another survey, or of another revision of it.")]
    OtherFindings,
    /// A bundle's description of another survey or revision.
    #[error("“{0}” is about another survey than survey.json.")]
    OtherSurvey(&'static str),
    /// A file that no bundle has.
    #[error("the file is none that a bundle has.")]
    NoPartOfIt,
    /// A picture that the survey names.
    #[error("the survey names this picture, but it is missing.")]
    PictureMissing,
    /// A picture that the survey does not name.
    #[error("the survey does not name this picture.")]
    PictureNotNamed,
    /// Not a picture as it should be.
    #[error("this is no picture as a bundle has them: {}.", first_sentence(.0))]
    Picture(photo::Problem),
    /// A picture whose size differs from the survey's record.
    #[error("the picture is {0} × {1} pixels, but the survey says {2} × {3}.")]
    PictureSize(u32, u32, u32, u32),
    /// A picture whose name is not its digest.
    #[error("the picture's name is not its SHA-256.")]
    PictureName,
}

/// What is wrong, without the advice behind it, which is for whoever takes the picture.
fn first_sentence(problem: &photo::Problem) -> String {
    let whole = problem.to_string();
    whole.split(". ").next().unwrap_or_default().to_owned()
}

/// Why a bundle could not be written; no file of its name was left, and an earlier one is unharmed.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The operating system refused.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// The caller asked to stop.
    #[error("Stopped before the bundle was whole, as asked; nothing was kept of it.")]
    Stopped,
    /// The findings are not of this survey.
    #[error("The findings are of another survey, or of another revision of it; assess it again.")]
    OtherFindings,
    /// A picture that the survey names is not what it should be.
    #[error("{0}. Take the picture in again, or take it out of the survey.")]
    Picture(photo::PhotoError),
    /// A picture that the survey names is missing or another one.
    #[error(
        "{file}: this picture is not the one that was taken in. Take it in again, or take it out of the survey."
    )]
    OtherPicture {
        /// Its file.
        file: String,
    },
    /// What was written cannot be read back, because the survey is beyond the limits of a bundle or the disk is
    /// not sound.
    #[error("The bundle cannot be read back, so it was not kept: {0}")]
    NotReadBack(Box<BundleError>),
    /// More than a bundle may hold.
    #[error(
        "The survey has {bytes} bytes with its pictures; a bundle holds {limit}. Take out some pictures."
    )]
    TooLarge {
        /// What it has.
        bytes: u64,
        /// The most that fits.
        limit: u64,
    },
}
