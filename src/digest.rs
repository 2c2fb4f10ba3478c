//! The SHA-256 of some bytes, as everything that leaves this device is named and sealed with it.
//!
//! One newtype, so that a digest is never taken for a file name or a title, and is always written
//! the same way: 64 lower-case hexadecimal digits (FIPS 180-4 defines the function, not the
//! spelling; lower case is what `sha256sum` prints).

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

/// A SHA-256 digest, read and written as 64 lower-case hexadecimal digits.
///
/// # Examples
///
/// The one-block message of FIPS 180-4's example set ("abc"):
///
/// ```
/// use joistlight::digest::Sha256Hex;
///
/// let digest = Sha256Hex::of(b"abc");
/// let written = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
/// assert_eq!(digest.to_string(), written);
/// assert_eq!(written.parse(), Ok(digest));
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
pub struct Sha256Hex(#[schemars(with = "String")] [u8; 32]);

impl Sha256Hex {
    /// The digest of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// A digest that was computed elsewhere, for example over a stream.
    pub fn from_bytes(digest: [u8; 32]) -> Self {
        Self(digest)
    }

    /// The 32 bytes of the digest.
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Sha256Hex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Sha256Hex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Sha256Hex({self})")
    }
}

/// The text is not a SHA-256 digest as joistlight writes it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is not a SHA-256 digest: 64 digits of 0-9 and a-f are expected")]
pub struct NotADigest(pub String);

impl FromStr for Sha256Hex {
    type Err = NotADigest;

    fn from_str(text: &str) -> Result<Self, NotADigest> {
        let nibble = |digit: u8| match digit {
            b'0'..=b'9' => Some(digit - b'0'),
            b'a'..=b'f' => Some(digit - b'a' + 10),
            _ => None,
        };
        let refused = || NotADigest(text.chars().take(80).collect());
        if text.len() != 64 {
            return Err(refused());
        }
        let mut digest = [0; 32];
        for (byte, pair) in digest.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
            match (nibble(pair[0]), nibble(pair[1])) {
                (Some(high), Some(low)) => *byte = high << 4 | low,
                _ => return Err(refused()),
            }
        }
        Ok(Self(digest))
    }
}

impl TryFrom<String> for Sha256Hex {
    type Error = NotADigest;

    fn try_from(text: String) -> Result<Self, NotADigest> {
        text.parse()
    }
}

impl From<Sha256Hex> for String {
    fn from(digest: Sha256Hex) -> String {
        digest.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_spelling_that_is_written_is_read() {
        let written = Sha256Hex::of(b"").to_string();
        assert_eq!(
            written, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            "the digest of nothing, as sha256sum prints it"
        );
        assert!(written.parse::<Sha256Hex>().is_ok());
        for wrong in [
            "",
            "e3b0",
            &written.to_uppercase(),
            &format!(" {}", &written[1..]),
            &format!("é{}", &written[2..]),
            &format!("{written}0"),
        ] {
            assert!(wrong.parse::<Sha256Hex>().is_err(), "{wrong:?} was read");
        }
    }

    #[test]
    fn json_holds_it_as_text() {
        let digest = Sha256Hex::of(b"abc");
        let json = serde_json::to_string(&digest).unwrap();
        assert_eq!(json, format!("\"{digest}\""));
        assert_eq!(serde_json::from_str::<Sha256Hex>(&json).unwrap(), digest);
        assert!(serde_json::from_str::<Sha256Hex>("\"nonsense\"").is_err());
        let schema = serde_json::to_value(schemars::schema_for!(Sha256Hex)).unwrap();
        assert_eq!(schema["type"], "string");
    }
}
