//! What the list shows of a survey: its row, which can be made anew from what was captured and corrected.

use super::corrections::{self, Correction};
use super::{Result, Yardstick, json};
use crate::office::database::{Cell, Database, DatabaseError, cells};
use crate::office::search;
use crate::office::upshot::Upshot;
use crate::rules::Verdict;
use crate::survey::Survey;

/// The columns that come from the survey and its corrections.
const FROM_SURVEY: &[&str] = &[
    "visited",
    "visited_at",
    "job",
    "job_key",
    "client",
    "client_key",
    "address",
    "surveyor",
    "surveyor_key",
    "corrected",
];

fn from_survey(survey: &Survey, corrected: usize) -> Vec<Cell> {
    let arrival = &survey.arrival;
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let key = |words: &Option<String>| search::sort_key(words.as_deref().unwrap_or(""));
    let visited = arrival.visited_at.unwrap_or(survey.begun);
    cells![
        visited.unix_seconds(),
        visited.to_string(),
        text(&arrival.job_reference),
        key(&arrival.job_reference),
        text(&arrival.client),
        key(&arrival.client),
        text(&arrival.address),
        text(&arrival.surveyor),
        key(&arrival.surveyor),
        corrected,
    ]
    .to_vec()
}

/// The columns that come from the judgement.
const FROM_UPSHOT: &[&str] = &[
    "verdict", "settled", "fan", "fan_key", "framing", "work", "missing", "upshot",
];

fn from_upshot(upshot: &Upshot) -> Vec<Cell> {
    let best = upshot.best_spot();
    cells![
        rank(upshot.verdict),
        upshot.settled,
        best.and_then(|spot| spot.fan.clone()),
        best.and_then(|spot| spot.fan.clone()).unwrap_or_default(),
        best.and_then(|spot| spot.framing.clone()),
        best.map_or(0, |spot| spot.work.len()),
        upshot.missing(),
        json(upshot),
    ]
    .to_vec()
}

/// Verdicts in the order of the list: the best is the highest.
pub(super) fn rank(verdict: Verdict) -> i64 {
    match verdict {
        Verdict::DoesNotFit => 0,
        Verdict::NotSettled => 1,
        Verdict::FitsWithWork => 2,
        Verdict::Fits => 3,
    }
}

/// Makes a survey's row anew from what was captured in its current bundle and the corrections, which are returned.
/// `upshot` is what the captured survey comes to, where that is known already.
pub(super) fn refresh(
    database: &mut Database,
    number: i64,
    captured: &Survey,
    yardstick: &Yardstick,
    upshot: Option<&Upshot>,
) -> Result<Vec<Correction>, DatabaseError> {
    let made = corrections::of_survey(database, number)?;
    let (survey, made) = corrections::applied(captured, made);
    let standing = made.iter().filter(|correction| correction.stands).count();
    put(
        database,
        number,
        FROM_SURVEY,
        from_survey(&survey, standing),
    )?;
    database.put_words(number, &search::words_of(&survey))?;
    match upshot {
        Some(upshot) if standing == 0 => show_upshot(database, number, upshot)?,
        _ => {
            let upshot = Upshot::of(&survey, &yardstick.assess(&survey));
            show_upshot(database, number, &upshot)?;
        }
    }
    Ok(made)
}

/// Puts a judgement into a survey's row.
pub(super) fn show_upshot(
    database: &mut Database,
    number: i64,
    upshot: &Upshot,
) -> Result<(), DatabaseError> {
    put(database, number, FROM_UPSHOT, from_upshot(upshot))
}

fn put(
    database: &mut Database,
    number: i64,
    columns: &[&str],
    mut values: Vec<Cell>,
) -> Result<(), DatabaseError> {
    let set: Vec<String> = columns
        .iter()
        .enumerate()
        .map(|(at, column)| format!("{column} = ${}", at + 2))
        .collect();
    values.insert(0, number.into());
    let sql = format!("UPDATE survey SET {} WHERE number = $1", set.join(", "));
    database.run(&sql, &values)?;
    Ok(())
}

/// Whether a survey's row and its words are what [`refresh`] would make of them.
pub(super) fn is_as_made(
    database: &mut Database,
    number: i64,
    captured: &Survey,
    yardstick: &Yardstick,
) -> Result<bool, DatabaseError> {
    let made = corrections::of_survey(database, number)?;
    let (survey, made) = corrections::applied(captured, made);
    let standing = made.iter().filter(|correction| correction.stands).count();
    let upshot = Upshot::of(&survey, &yardstick.assess(&survey));
    let mut should = from_survey(&survey, standing);
    should.extend(from_upshot(&upshot));
    let columns = [FROM_SURVEY, FROM_UPSHOT].concat().join(", ");
    let sql = format!("SELECT {columns} FROM survey WHERE number = $1");
    let row = database.row(&sql, cells![number])?;
    if row.is_none_or(|row| !row.is(&should)) {
        return Ok(false);
    }
    database.has_words(number, &search::words_of(&survey))
}
