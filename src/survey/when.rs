//! A date and time with its offset from UTC, as RFC 3339 writes it.

use jiff::Timestamp;
use jiff::fmt::temporal::DateTimeParser;
use jiff::tz::Offset;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

/// A moment, and the offset of the clock that it was read from.
///
/// # Examples
/// ```
/// use joistlight::survey::When;
/// let when: When = "2026-05-03T18:20:00-07:00".parse().unwrap();
/// assert_eq!(when.to_string(), "2026-05-03T18:20:00-07:00");
/// assert!("yesterday".parse::<When>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    at: Timestamp,
    offset: Offset,
}

/// A text is not a date and time with an offset.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{typed}” is not a date and time with its offset, such as 2026-05-03T18:20:00-07:00.")]
pub struct WhenError {
    typed: String,
}

impl When {
    /// This moment by the device's clock and time zone.
    pub fn now() -> Self {
        let now = jiff::ZonedDateTime::now();
        When {
            at: Timestamp::from_second(now.timestamp().as_second())
                .unwrap_or(Timestamp::UNIX_EPOCH),
            offset: now.offset(),
        }
    }

    /// A moment with the offset of the clock it was read from; whole seconds are kept.
    pub fn new(at: Timestamp, offset: Offset) -> Self {
        When { at, offset }
    }

    /// The moment itself.
    pub fn timestamp(&self) -> Timestamp {
        self.at
    }

    /// Seconds since 1970 in UTC, for sorting.
    pub fn unix_seconds(&self) -> i64 {
        self.at.as_second()
    }
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.at.display_with_offset(self.offset))
    }
}

impl FromStr for When {
    type Err = WhenError;
    fn from_str(text: &str) -> Result<Self, WhenError> {
        let refuse = || WhenError {
            typed: text.to_owned(),
        };
        let pieces = DateTimeParser::new()
            .parse_pieces(text)
            .map_err(|_| refuse())?;
        let time = pieces.time().ok_or_else(refuse)?;
        let offset = pieces.to_numeric_offset().ok_or_else(refuse)?;
        let at = offset
            .to_timestamp(pieces.date().to_datetime(time))
            .map_err(|_| refuse())?;
        Ok(When { at, offset })
    }
}

impl Serialize for When {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for When {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Cow::<'de, str>::deserialize(deserializer)?
            .parse()
            .map_err(serde::de::Error::custom)
    }
}

impl JsonSchema for When {
    fn schema_name() -> Cow<'static, str> {
        "When".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "format": "date-time",
            "description": "RFC 3339 date and time with its offset."
        })
    }
}
