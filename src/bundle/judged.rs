//! The findings as the phone saw them, read back to be compared with the office's own.

use crate::rules::{ASSESSMENT_FORMAT, ASSESSMENT_VERSION, Framing, Outcome, Verdict};
use crate::survey::{FileError, ItemId, read_json};
use serde::Deserialize;
use uuid::Uuid;

/// What findings.json says, as far as the office compares it. Its sentences are English.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Judged {
    /// Which survey.
    pub survey: Uuid,
    /// Which revision of it.
    pub revision: u32,
    /// The version of the program whose rules these were.
    pub rules: String,
    /// The editions of the codes.
    pub codes: JudgedCodes,
    /// Name of the fan list.
    pub fan_list: String,
    /// Version of the fan list.
    pub fan_list_version: String,
    /// SHA-256 of the fan list.
    pub fan_list_sha256: String,
    /// The findings about the whole house.
    pub house: Vec<JudgedFinding>,
    /// Each spot.
    pub spots: Vec<JudgedSpot>,
}

/// The editions of the codes by which the phone judged, as text: a later program may know later ones.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct JudgedCodes {
    /// The building code.
    pub building: String,
    /// The energy code.
    pub energy: String,
    /// The electrical code.
    pub electrical: String,
}

/// One spot, as the phone judged it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct JudgedSpot {
    /// Which spot.
    pub spot: ItemId,
    /// The best that any fan and framing came to.
    pub verdict: Verdict,
    /// Whether no answer still missing could change that.
    pub settled: bool,
    /// The findings that depend on no fan.
    pub findings: Vec<JudgedFinding>,
    /// Every fan of the list, cut and whole.
    pub choices: Vec<JudgedChoice>,
}

/// One fan and way of framing, as the phone judged it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct JudgedChoice {
    /// The fan's id in the list.
    pub fan: String,
    /// Cut or left whole.
    pub framing: Framing,
    /// What it came to.
    pub verdict: Verdict,
    /// The findings that depend on this fan and framing.
    pub findings: Vec<JudgedFinding>,
}

/// One rule's answer, as the phone gave it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct JudgedFinding {
    /// The rule's name.
    pub rule: String,
    /// The answer.
    pub outcome: Outcome,
    /// The answer in an English sentence.
    pub say: String,
    /// What was needed: a number with its unit, a count or words.
    pub need: Option<serde_json::Value>,
    /// What was measured, likewise.
    pub measured: Option<serde_json::Value>,
    /// By how much it held or failed, likewise.
    pub margin: Option<serde_json::Value>,
}

/// Reads findings.json; `file` names it in errors.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Judged, FileError> {
    #[derive(Deserialize)]
    struct Head {
        format: String,
        version: u64,
    }
    let head: Head = read_json(file, bytes)?;
    let field = |field: &str, what: String| FileError::Field {
        file: file.to_owned(),
        field: field.to_owned(),
        what,
    };
    if head.format != ASSESSMENT_FORMAT {
        return Err(field(
            "format",
            format!("“{ASSESSMENT_FORMAT}” is expected"),
        ));
    }
    if head.version > u64::from(ASSESSMENT_VERSION) {
        return Err(FileError::Newer {
            file: file.to_owned(),
            version: head.version,
            known: ASSESSMENT_VERSION,
        });
    }
    read_json(file, bytes)
}
