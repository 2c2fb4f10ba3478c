//! A finished survey as one file for the office, and back.
//!
//! A bundle is a zip archive that holds exactly one BagIt 1.0 bag (RFC 8493):
//!
//! ```text
//! NAME.joistlight.zip
//!   NAME/bagit.txt
//!   NAME/bag-info.txt             program, survey, revision, bytes and files
//!   NAME/manifest-sha256.txt      the SHA-256 of every file under data/
//!   NAME/tagmanifest-sha256.txt   the SHA-256 of the three files above
//!   NAME/data/findings.json       the assessment as the phone saw it
//!   NAME/data/photos/…            each named by its SHA-256
//!   NAME/data/report.html         what was measured, findings, verdicts, pictures
//!   NAME/data/survey.json
//!   NAME/data/survey.schema.json  the JSON Schema of survey.json
//!   NAME/data/thumbnails/…        under the names of their pictures
//! ```
//!
//! # Writing: [`write()`]
//! The same survey, findings and settings give the same bytes: entries are in a fixed order under fixed times,
//! and no clock is read. Texts are deflated, by miniz_oxide at level 6, which is plain Rust without a path for
//! this or that processor; pictures, compressed already, are stored. One picture is in memory at a time, whatever their number. The file appears under its
//! name when it is whole and synced (see [`disk`](crate::disk)).
//!
//! # Reading: [`Bundle`]
//! [`Bundle::open`] reads the archive's layout, the bag's own files, survey and findings, and checks everything
//! that needs no picture; [`Bundle::verify`] reads all the rest; [`Bundle::unpack`] does the same while taking
//! the bag out into a new folder, which appears whole or not at all. A bundle is refused rather than repaired,
//! with a [`BundleError`] that names file and entry. What a stranger's file can cost is bounded beforehand by
//! the limits below; stored and deflated entries are read.

mod bag;
mod judged;
mod layout;
mod problem;
mod read;
mod report;
mod write;

pub use judged::{Judged, JudgedChoice, JudgedCodes, JudgedFinding, JudgedSpot};
pub use problem::{BundleError, Problem, WriteError};
pub use read::Bundle;
pub use write::{Contents, file_name, write};

use std::sync::atomic::{AtomicBool, Ordering};

/// The version of the bundle that this program writes, and the newest that it reads.
pub const VERSION: u32 = 1;
/// The ending of a bundle's file name.
pub const ENDING: &str = ".joistlight.zip";

/// The most bytes of a bundle's file, and of all its entries together (1 GiB).
pub const FILE_MOST: u64 = 1 << 30;
/// The most bytes of one entry (64 MiB).
pub const ENTRY_MOST: u64 = 64 << 20;
/// The most bytes of survey.json (16 MiB).
pub const SURVEY_MOST: u64 = 16 << 20;
/// The most entries.
pub const ENTRIES_MOST: u64 = 4096;

/// Asks for progress, and lets a long job be stopped. The default does neither.
#[derive(Clone, Copy, Default)]
pub struct Watch<'a> {
    /// Where this is set, the job stops at the next chunk and leaves nothing behind.
    pub stop: Option<&'a AtomicBool>,
    /// Told now and then how far the job is.
    pub progress: Option<&'a dyn Fn(Progress)>,
}

/// How far a job is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Bytes done.
    pub done: u64,
    /// Bytes to be done altogether.
    pub total: u64,
}

impl Watch<'_> {
    fn stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    fn tell(&self, done: u64, total: u64) {
        if let Some(progress) = self.progress {
            progress(Progress { done, total });
        }
    }
}
