//! When a picture was taken, as its camera noted it.

use std::fmt;
use std::str::FromStr;

use exif::{In, Tag, Value};
use jiff::civil::DateTime;
use jiff::fmt::strtime::BrokenDownTime;
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// When a picture was taken: the camera's local time, and how far that is ahead of UTC where the
/// camera noted it.
///
/// Read from EXIF `DateTimeOriginal` (0x9003) and `OffsetTimeOriginal` (0x9011), CIPA DC-008
/// §4.6.6. Written as RFC 3339 writes it; without an offset the text ends after the seconds, and
/// nobody may guess one.
///
/// # Examples
///
/// ```
/// use joistlight::photo::TakenAt;
///
/// let at: TakenAt = "2026-07-01T18:05:09-05:00".parse().unwrap();
/// assert_eq!(at.offset.unwrap().seconds(), -5 * 3600);
/// let unplaced: TakenAt = "2026-07-01T18:05:09".parse().unwrap();
/// assert_eq!(unplaced.offset, None);
/// assert_eq!(unplaced.to_string(), "2026-07-01T18:05:09");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
pub struct TakenAt {
    /// What the camera's clock showed, to the second.
    #[schemars(with = "String")]
    pub local: DateTime,
    /// How far that clock was ahead of UTC, where the camera noted it.
    #[schemars(with = "Option<String>")]
    pub offset: Option<Offset>,
}

impl TakenAt {
    /// Reads the time from EXIF data (a TIFF stream, without the `Exif\0\0` before it).
    ///
    /// `None` when there is no such field, or what stands there is no date: a camera whose clock
    /// was never set writes blanks or zeros.
    pub(super) fn from_exif(tiff: &[u8]) -> Option<Self> {
        let fields = exif::Reader::new()
            .continue_on_error(true)
            .read_raw(tiff.to_vec())
            .or_else(|error| error.distill_partial_result(|_ignored| {}))
            .ok()?;
        let text = |tag| match &fields.get_field(tag, In::PRIMARY)?.value {
            Value::Ascii(parts) => Some(std::str::from_utf8(parts.first()?).ok()?.trim()),
            _ => None,
        };
        let local = DateTime::strptime("%Y:%m:%d %H:%M:%S", text(Tag::DateTimeOriginal)?).ok()?;
        let offset = text(Tag::OffsetTimeOriginal)
            .and_then(|text| BrokenDownTime::parse("%:z", text).ok())
            .and_then(|parsed| parsed.offset());
        Some(Self { local, offset })
    }
}

impl fmt::Display for TakenAt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pieces = Pieces::from(self.local);
        match self.offset {
            Some(offset) => pieces.with_offset(offset).fmt(f),
            None => pieces.fmt(f),
        }
    }
}

/// The text is not a time as joistlight writes one.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is not a date and time such as 2026-07-01T18:05:09-05:00")]
pub struct NotATime(pub String);

impl FromStr for TakenAt {
    type Err = NotATime;

    fn from_str(text: &str) -> Result<Self, NotATime> {
        let refused = || NotATime(text.chars().take(80).collect());
        let pieces = Pieces::parse(text).map_err(|_| refused())?;
        Ok(Self {
            local: pieces
                .date()
                .to_datetime(pieces.time().ok_or_else(refused)?),
            offset: pieces.to_numeric_offset(),
        })
    }
}

impl TryFrom<String> for TakenAt {
    type Error = NotATime;

    fn try_from(text: String) -> Result<Self, NotATime> {
        text.parse()
    }
}

impl From<TakenAt> for String {
    fn from(at: TakenAt) -> String {
        at.to_string()
    }
}
