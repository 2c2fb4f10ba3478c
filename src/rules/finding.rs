//! What a rule answers.

use super::part::Part;
use crate::house::answers::Answers;
use crate::measure::Figure;
use crate::need::Need;
pub use crate::say::{Arg, Say, number};
use crate::survey::Mover;
use crate::trade::source::Source;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A rule's answer for one house, spot or choice of fan and framing.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Outcome {
    /// What is needed is there.
    #[serde(rename = "holds")]
    Holds,
    /// It is not there, but the remedies would bring it.
    #[serde(rename = "fails but can be mended")]
    Mend,
    /// An answer that decides it is missing.
    #[serde(rename = "not measured yet")]
    NotMeasured,
    /// It is not there and cannot be brought.
    #[serde(rename = "fails")]
    Fails,
}

impl Outcome {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Outcome::Holds => "holds",
            Outcome::Mend => "fails but can be mended",
            Outcome::NotMeasured => "not measured yet",
            Outcome::Fails => "fails",
        }
    }
}

/// Who would mend something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
pub enum Who {
    /// Anybody on the crew.
    #[serde(rename = "anybody")]
    Anybody,
    /// A carpenter who frames.
    #[serde(rename = "carpenter")]
    Carpenter,
    /// A registered design professional: an engineer or architect licensed where the house stands.
    #[serde(rename = "engineer")]
    Engineer,
    /// An electrician.
    #[serde(rename = "electrician")]
    Electrician,
    /// A plumber.
    #[serde(rename = "plumber")]
    Plumber,
    /// A duct fitter.
    #[serde(rename = "duct fitter")]
    DuctFitter,
    /// A technician licensed for gas, flues and heating equipment.
    #[serde(rename = "technician")]
    Technician,
    /// Nobody.
    #[serde(rename = "nobody")]
    Nobody,
}

impl Who {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Who::Anybody => Mover::Anybody.label(),
            Who::Carpenter => "Carpenter",
            Who::Engineer => Mover::Engineer.label(),
            Who::Technician => Mover::Technician.label(),
            Who::Electrician => Mover::Electrician.label(),
            Who::Plumber => Mover::Plumber.label(),
            Who::DuctFitter => Mover::DuctFitter.label(),
            Who::Nobody => Mover::Nobody.label(),
        }
    }
}

impl From<Mover> for Who {
    fn from(mover: Mover) -> Self {
        match mover {
            Mover::Anybody => Who::Anybody,
            Mover::Electrician => Who::Electrician,
            Mover::Plumber => Who::Plumber,
            Mover::DuctFitter => Who::DuctFitter,
            Mover::Technician => Who::Technician,
            Mover::Engineer => Who::Engineer,
            Mover::Nobody => Who::Nobody,
        }
    }
}

/// What would mend a failing finding, and who does it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Remedy {
    /// Who would do it.
    pub who: Who,
    /// What to do.
    pub what: Say,
    /// The same in typed amounts, where it has any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub need: Option<Need>,
}

/// One rule's answer: what is needed, what was measured, by how much it holds or fails, what would mend it,
/// and where the rule comes from.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// The rule's name, such as `clear-space`.
    pub rule: &'static str,
    /// What the rule asks, in English; a key for translations.
    pub title: &'static str,
    /// The part of the verdict that it belongs to.
    pub part: Part,
    /// The answer.
    pub outcome: Outcome,
    /// What it can come to at worst, whatever the missing answers turn out to be; the outcome itself unless it is not
    /// measured yet.
    pub at_worst: Outcome,
    /// The answer in a sentence.
    pub say: Say,
    /// What is needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub need: Option<Arg>,
    /// What was measured or computed from measurements.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<Arg>,
    /// By how much it holds (positive) or fails (negative).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<Arg>,
    /// Whether the margin is within the tape's tolerance, so that it should be measured again.
    pub measure_again: bool,
    /// What would mend it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remedies: Vec<Remedy>,
    /// What to mind, whatever the outcome; the first is what a screen shows before anything is opened.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Say>,
    /// Where the rule and its figures come from.
    pub sources: &'static [Source],
    /// Every figure computed on the way, with its unit.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub figures: Vec<Figure>,
    /// The answers it was judged from.
    pub hangs_on: Answers,
    /// The answers that are missing and could still change it.
    #[serde(skip_serializing_if = "Answers::is_empty")]
    pub missing: Answers,
}
