//! Surveys for tests, with plainly invented words in them.

use joistlight::digest::Sha256Hex;
use joistlight::measure::Tape;
use joistlight::office::differences::Differences;
use joistlight::office::register::{Checked, Entered, JudgingCriteria, Register};
use joistlight::office::summary::VerdictSummary;
use joistlight::survey::{FieldRef, Survey, Ways, When};
use std::path::{Path, PathBuf};
use uuid::Uuid;

pub fn when(text: &str) -> When {
    text.parse().expect("a date and time")
}

/// A survey with some answers about the house; `number` makes it one of its own.
pub fn survey(number: u128) -> Survey {
    let begun = when("2026-05-03T18:20:00-07:00");
    let mut survey = Survey::begin(Uuid::from_u128(number), begun, Tape::default());
    let mut say = |field: &'static str, text: &str| {
        survey
            .type_in(FieldRef::house(field), text, &Ways::default())
            .expect("an answer");
    };
    say("arrival.job_reference", &format!("J-{number}"));
    say("arrival.client", "Émile Sampleton");
    say(
        "arrival.address",
        &format!("{number} Fern Row, Exampleville"),
    );
    say("arrival.surveyor", "Mara Testwell");
    survey
}

/// The survey as if its bundle had been checked, and a file that stands for the bundle.
pub fn checked(survey: &Survey, criteria: &JudgingCriteria, folder: &Path) -> (Checked, PathBuf) {
    let survey_json = String::from_utf8(survey.to_json()).expect("UTF-8");
    let bytes = format!("stands for the bundle of {survey_json}");
    let sha256 = Sha256Hex::of(bytes.as_bytes());
    let file = folder.join(format!("{sha256}.part"));
    std::fs::write(&file, &bytes).expect("a file");
    let checked = Checked {
        sha256,
        bytes: bytes.len() as u64,
        name: format!("{}.zip", survey.id),
        summary: VerdictSummary::of(survey, &criteria.assess(survey)),
        differences: Differences::default(),
        survey: survey.clone(),
        survey_json,
    };
    (checked, file)
}

/// Enters a survey as if its bundle had been checked.
pub fn enter(register: &mut Register, survey: &Survey) -> (Sha256Hex, Entered) {
    let folder = tempfile::tempdir().unwrap();
    let (checked, file) = checked(survey, register.criteria(), folder.path());
    let now = when("2026-05-04T08:00:00-07:00");
    let entered = register.enter(&checked, &file, now).unwrap();
    (checked.sha256, entered)
}

/// Nothing is wrong with the register.
pub fn sound(register: &mut Register) {
    assert_eq!(register.check().unwrap(), []);
}
