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
        let text = Cow::<'de, str>::deserialize(deserializer)?;
        let when: When = text.parse().map_err(serde::de::Error::custom)?;
        // Typing may be loose; a file says it in one way.
        match is_as_written(&text) {
            true => Ok(when),
            false => Err(serde::de::Error::custom(WhenError {
                typed: text.into_owned(),
            })),
        }
    }
}

/// How files write a moment: RFC 3339 with capital letters, seconds and an offset.
const AS_WRITTEN: &str = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?(Z|[+-][0-9]{2}:[0-9]{2})$";

/// Whether a text has the shape of [`AS_WRITTEN`].
fn is_as_written(text: &str) -> bool {
    let fits = |text: &str, shape: &str| {
        text.len() == shape.len()
            && text
                .bytes()
                .zip(shape.bytes())
                .all(|(byte, mark)| match mark {
                    b'0' => byte.is_ascii_digit(),
                    b'+' => matches!(byte, b'+' | b'-'),
                    _ => byte == mark,
                })
    };
    let Some((moment, rest)) = text.split_at_checked(19) else {
        return false;
    };
    let offset = match rest.strip_prefix('.') {
        Some(more) => {
            let digits = more.bytes().take_while(u8::is_ascii_digit).count();
            if !(1..=9).contains(&digits) {
                return false;
            }
            &more[digits..]
        }
        None => rest,
    };
    fits(moment, "0000-00-00T00:00:00") && (offset == "Z" || fits(offset, "+00:00"))
}

impl JsonSchema for When {
    fn schema_name() -> Cow<'static, str> {
        "When".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "format": "date-time",
            "pattern": AS_WRITTEN,
            "description": "RFC 3339 date and time with its offset."
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_says_a_moment_in_one_way() {
        for written in [
            "2026-05-03T18:20:00-07:00",
            "2026-05-03T18:20:00Z",
            "2026-05-03T18:20:00.25+05:45",
        ] {
            let json = format!("\"{written}\"");
            let when: When = serde_json::from_str(&json).unwrap();
            let again = serde_json::to_string(&when).unwrap();
            assert_eq!(serde_json::from_str::<When>(&again).unwrap(), when);
        }
        for loose in [
            "2026-05-03 18:20:00-07:00",
            "20260503T182000Z",
            "2026-05-03T18:20-07:00",
            "2026-05-03t18:20:00z",
            "2026-05-03T18:20:00-07:00[America/Los_Angeles]",
            "2026-05-03T18:20:00,5Z",
            "2026-05-03T18:20:00",
            "",
        ] {
            let json = format!("\"{loose}\"");
            assert!(serde_json::from_str::<When>(&json).is_err(), "{loose}");
        }
    }
}
