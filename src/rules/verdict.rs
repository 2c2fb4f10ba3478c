//! All findings of a spot together.

use super::fan_choice::{self, Standing};
use super::finding::{Finding, Outcome};
use super::matters::Matter;
use super::part::Parts;
use super::work::Task;
use crate::house::Framing;
use crate::house::air::AirSummary;
use crate::house::inlets::ToOpen;
use crate::survey::{FieldRef, ItemId};
use crate::trade::codes::Codes;
use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// What all findings together come to. Ordered from the worst to the best.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Verdict {
    /// Something fails that cannot be mended.
    #[serde(rename = "does not fit")]
    DoesNotFit,
    /// Something that decides it is not measured yet.
    #[serde(rename = "not settled")]
    NotSettled,
    /// All that fails can be mended.
    #[serde(rename = "fits with work")]
    FitsWithWork,
    /// Everything holds.
    #[serde(rename = "fits")]
    Fits,
}

impl Verdict {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Verdict::DoesNotFit => "does not fit",
            Verdict::NotSettled => "not settled",
            Verdict::FitsWithWork => "fits with work",
            Verdict::Fits => "fits",
        }
    }

    /// The verdict over all of these findings.
    pub fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Self {
        let worst = findings
            .into_iter()
            .map(|finding| match finding.outcome {
                // What only cautions settles nothing and holds nothing up.
                Outcome::NotMeasured if finding.at_worst == Outcome::Holds => Outcome::Holds,
                outcome => outcome,
            })
            .max()
            .unwrap_or(Outcome::Holds);
        match worst {
            Outcome::Holds => Verdict::Fits,
            Outcome::Mend => Verdict::FitsWithWork,
            Outcome::NotMeasured => Verdict::NotSettled,
            Outcome::Fails => Verdict::DoesNotFit,
        }
    }
}

/// One fan of the list with one way of framing, judged for one spot.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Choice {
    /// The fan's id in the list.
    pub fan: String,
    /// Cut or left whole.
    pub framing: Framing,
    /// What it comes to, with the findings of house and spot.
    pub verdict: Verdict,
    /// The same in three parts, each answered as soon as nothing missing can change it.
    pub parts: Parts,
    /// What it delivers and how house and attic stand, with vents and windows as they are; absent where
    /// something of that is not measured yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air: Option<AirSummary>,
    /// The fewest windows and doors that must stand open while the fan runs on high; absent where rooms or windows are not
    /// measured yet, or where all of them are too few.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to_open: Option<ToOpen>,
    /// The findings that depend on this fan and framing.
    pub findings: Vec<Finding>,
    /// Everything to be done for it, each thing once, with the findings of house and spot.
    pub work: Vec<Task>,
}

/// One spot, judged.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SpotAssessment {
    /// Which spot.
    pub spot: ItemId,
    /// The best that any fan and framing comes to.
    pub verdict: Verdict,
    /// The three parts of the verdict, over all fans and framings.
    pub parts: Parts,
    /// Whether no answer still missing can change that verdict.
    pub settled: bool,
    /// The findings that depend on no fan.
    pub findings: Vec<Finding>,
    /// Every fan of the list, cut and whole.
    pub choices: Vec<Choice>,
    /// The same by fan and framing, the best first, each with why it stands before the next.
    pub ranking: Vec<Standing>,
    /// Every answer not given yet that can still change the verdict, the weightiest first; whatever else is missing
    /// no longer matters here.
    pub still_matters: Vec<Matter>,
}

impl SpotAssessment {
    /// The choice to offer: the first of [`ranked`](super::fan_choice::ranked).
    pub fn best(&self) -> Option<&Choice> {
        fan_choice::best(self)
    }
}

/// The name of the assessment's format, inside every assessment.
pub const ASSESSMENT_FORMAT: &str = "joistlight assessment";
/// The version of the assessment's format.
pub const ASSESSMENT_VERSION: u32 = 3;

/// The name of the JSON Schema of assessments, for `$id` and `$ref`.
pub const ASSESSMENT_SCHEMA_ID: &str = "urn:joistlight:assessment:3";

/// The JSON Schema of assessments: draft 2020-12, generated from the types.
///
/// # Examples
/// ```
/// let schema = joistlight::rules::schema();
/// assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
/// assert_eq!(schema["$id"], joistlight::rules::ASSESSMENT_SCHEMA_ID);
/// ```
pub fn schema() -> serde_json::Value {
    let generator = SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    let mut schema = generator.into_root_schema_for::<Assessment>().to_value();
    schema["$id"] = ASSESSMENT_SCHEMA_ID.into();
    schema["title"] = ASSESSMENT_FORMAT.into();
    schema["properties"]["format"]["const"] = ASSESSMENT_FORMAT.into();
    schema["properties"]["version"]["const"] = ASSESSMENT_VERSION.into();
    schema
}

/// A survey, judged.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Assessment {
    /// Always "joistlight assessment".
    pub format: &'static str,
    /// The version of the format.
    pub version: u32,
    /// Which survey.
    pub survey: Uuid,
    /// Which revision of it.
    pub revision: u32,
    /// The version of the program whose rules these are.
    pub rules: &'static str,
    /// The editions of the codes.
    pub codes: Codes,
    /// Name of the fan list.
    pub fan_list: String,
    /// Version of the fan list.
    pub fan_list_version: String,
    /// SHA-256 of the fan list.
    pub fan_list_sha256: String,
    /// The findings about the whole house, which hold for every spot.
    pub house: Vec<Finding>,
    /// Each spot.
    pub spots: Vec<SpotAssessment>,
    /// Answers that are taken as not given until they are read again.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub doubtful: Vec<Doubtful>,
}

/// An answer that is asked back.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Doubtful {
    /// Which answer.
    pub field: FieldRef,
    /// Why, in an English sentence, in both units.
    pub why: String,
}

impl Assessment {
    /// All findings that bear on one choice: of the house, of the spot, of the fan and framing.
    pub fn bearing_on<'a>(
        &'a self,
        spot: &'a SpotAssessment,
        choice: &'a Choice,
    ) -> impl Iterator<Item = &'a Finding> {
        self.house
            .iter()
            .chain(&spot.findings)
            .chain(&choice.findings)
    }
}
