//! What the list shows of a survey: its row, which can be made anew from the log and the captured survey.
//!
//! Each row says by which event, criteria and rules it was made, and carries a seal.

use super::corrections::{self, Correction};
use super::job::Job;
use super::{Change, JudgingCriteria, Location, RegisterError, Step, json, parse};
use crate::digest::Sha256Hex;
use crate::office::database::{Database, DatabaseError, SqlValue, seal, values};
use crate::office::log;
use crate::office::search;
use crate::office::summary::VerdictSummary;
use crate::rules::{VERSION as RULES, Verdict};
use crate::survey::{Survey, When};
use std::cmp::Ordering;
use uuid::Uuid;

/// The columns that come from the events.
const FROM_EVENTS: &[&str] = &[
    "bundle",
    "revision",
    "revisions",
    "taken",
    "differs",
    "status",
    "scheduled",
    "crew",
    "waiting",
    "event",
];

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

/// The columns that come from the judgement.
const FROM_SUMMARY: &[&str] = &[
    "verdict", "settled", "fan", "fan_key", "framing", "work", "missing", "summary", "criteria",
    "rules",
];

fn from_survey(survey: &Survey, corrected: usize) -> Vec<SqlValue> {
    let arrival = &survey.arrival;
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let key = |words: &Option<String>| search::sort_key(words.as_deref().unwrap_or(""));
    let visited = arrival.visited_at.unwrap_or(survey.begun);
    values![
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

fn from_summary(summary: &VerdictSummary, criteria: &JudgingCriteria) -> Vec<SqlValue> {
    let best = summary.best_spot();
    values![
        rank(summary.verdict),
        summary.settled,
        best.and_then(|spot| spot.fan.clone()),
        best.and_then(|spot| spot.fan.clone()).unwrap_or_default(),
        best.and_then(|spot| spot.framing.clone()),
        best.map_or(0, |spot| spot.work.len()),
        summary.missing(),
        json(summary),
        criteria.hash(),
        RULES,
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

/// How a row's judgement is come by.
#[derive(Debug, Clone, Copy)]
pub(super) enum Judged<'a> {
    /// The survey is judged.
    Anew,
    /// The captured survey of this bundle was just judged by the register's criteria, and came to this.
    Known(&'a Sha256Hex, &'a VerdictSummary),
    /// The survey with these corrections was just judged, and came to this.
    Corrected(&'a VerdictSummary),
    /// Nothing that is judged has changed.
    Kept,
}

/// Everything of a row but its judgement.
pub(super) struct Made {
    events: Vec<SqlValue>,
    survey_values: Vec<SqlValue>,
    words: Vec<String>,
    /// What the list shows.
    pub(super) job: Job,
    /// The survey with the corrections that stand.
    pub(super) survey: Survey,
    /// All corrections.
    pub(super) corrections: Vec<Correction>,
}

/// Reads what a survey's row is made from.
pub(super) fn make(database: &mut Database, location: &Location, id: Uuid) -> Result<Made, Step> {
    let events = log::of_survey(database, id)?;
    let job = Job::of(&events);
    let Some(shown) = job.shown else {
        return Err(Step::Register(RegisterError::NoSuchSurvey {
            register: location.to_string(),
            asked: id.to_string(),
        }));
    };
    let row = database.row(
        "SELECT revision, taken, differs, captured.sha256 AS sha256, captured.survey AS survey
         FROM bundle JOIN captured ON captured.bundle = bundle.sha256 WHERE bundle.sha256 = $1",
        values![shown.bundle],
    )?;
    let Some(row) = row else {
        return Err(Step::Register(RegisterError::Damaged {
            register: location.to_string(),
            what: format!("the survey of bundle {}", shown.bundle),
            why: "it is missing.".to_owned(),
        }));
    };
    let taken: When = row.get("taken")?;
    let text: String = row.get("survey")?;
    let sha256: Sha256Hex = row.get("sha256")?;
    let captured = parse(location, &shown.bundle, &sha256, &text)?;
    let (survey, corrections) = corrections::applied(&captured, corrections::among(&events));
    let standing = corrections.iter().filter(|one| one.stands).count();
    Ok(Made {
        events: values![
            shown.bundle,
            row.get::<u32>("revision")?,
            job.versions.len(),
            taken.unix_seconds(),
            row.get::<u32>("differs")?,
            job.status.number(),
            job.date.clone().unwrap_or_default(),
            job.crew.clone().unwrap_or_default(),
            job.waiting_text(),
            job.event,
        ]
        .to_vec(),
        survey_values: from_survey(&survey, standing),
        words: search::words_of(&survey),
        job,
        survey,
        corrections,
    })
}

/// The columns under a row's seal.
fn sealed_columns() -> Vec<&'static str> {
    [&["id"], FROM_EVENTS, FROM_SURVEY, FROM_SUMMARY].concat()
}

impl Change<'_> {
    /// Makes a survey's row anew from the log and what was captured; returns all its corrections.
    pub(super) fn project(&mut self, id: Uuid, judged: Judged) -> Result<Vec<Correction>, Step> {
        let made = make(self.database, self.location, id)?;
        let standing = made.corrections.iter().any(|one| one.stands);
        let shown = made.job.shown.map(|shown| shown.bundle);
        let summary = match judged {
            Judged::Known(bundle, summary) if Some(*bundle) == shown && !standing => {
                from_summary(summary, self.criteria)
            }
            Judged::Corrected(summary) => from_summary(summary, self.criteria),
            Judged::Kept => {
                let columns = FROM_SUMMARY.join(", ");
                let sql = format!("SELECT {columns} FROM survey WHERE id = $1");
                let row = self.database.row(&sql, values![id])?;
                row.map(|row| row.values().to_vec()).unwrap_or_default()
            }
            Judged::Anew | Judged::Known(..) => {
                let summary = self.criteria.summary(&made.survey);
                from_summary(&summary, self.criteria)
            }
        };
        let mut all = vec![SqlValue::from(id)];
        all.extend(made.events);
        all.extend(made.survey_values);
        all.extend(summary);
        let seal = seal(&all);
        let columns = sealed_columns();
        let set: Vec<String> = (columns.iter().enumerate().skip(1))
            .map(|(at, column)| format!("{column} = ${}", at + 1))
            .collect();
        all.push(seal.into());
        let sql = format!(
            "UPDATE survey SET {}, seal = ${} WHERE id = $1",
            set.join(", "),
            all.len()
        );
        self.database.run(&sql, &all)?;
        if !matches!(judged, Judged::Kept | Judged::Corrected(_)) {
            let number = self.number_of(id)?;
            self.database.put_words(number, &made.words)?;
        }
        Ok(made.corrections)
    }
}

impl Change<'_> {
    /// Puts in the words by which a survey is found, which an earlier program may have cut otherwise.
    pub(super) fn put_words(&mut self, id: Uuid) -> Result<(), Step> {
        let words = make(self.database, self.location, id)?.words;
        let number = self.number_of(id)?;
        self.database.put_words(number, &words)?;
        Ok(())
    }
}

/// What is wrong with a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RowState {
    /// Nothing.
    Sound,
    /// It was judged by other criteria or other rules, and by these it may be right.
    Stale,
    /// It is not what was put there.
    Damaged,
}

/// Whether a survey's row and its words are what [`Change::project`] would make of them.
pub(super) fn state(
    database: &mut Database,
    location: &Location,
    id: Uuid,
    number: i64,
    criteria: &JudgingCriteria,
) -> Result<RowState, Step> {
    let made = make(database, location, id)?;
    let columns = sealed_columns();
    let sql = format!(
        "SELECT {}, seal FROM survey WHERE id = $1",
        columns.join(", ")
    );
    let Some(row) = database.row(&sql, values![id])? else {
        return Ok(RowState::Damaged);
    };
    let (all, of_row) = (row.values(), columns.len());
    let mut should = vec![SqlValue::from(id)];
    should.extend(made.events);
    should.extend(made.survey_values);
    let sealed = all.get(of_row) == Some(&seal(&all[..of_row]).into());
    if !sealed || all[..should.len()] != should || !database.has_words(number, &made.words)? {
        return Ok(RowState::Damaged);
    }
    if is_stale(
        &row.get::<String>("criteria")?,
        &row.get::<String>("rules")?,
        criteria,
    ) {
        return Ok(RowState::Stale);
    }
    // What its seal vouches for and these rules see otherwise was judged by others of the same version.
    let summary = from_summary(&criteria.summary(&made.survey), criteria);
    Ok(match all[should.len()..of_row] == summary {
        true => RowState::Sound,
        false => RowState::Stale,
    })
}

/// The three numbers of a version; nothing before every version.
fn version(text: &str) -> [u32; 3] {
    let mut numbers = text.split('.').map(|part| part.parse().unwrap_or(0));
    [(); 3].map(|()| numbers.next().unwrap_or(0))
}

/// Whether a row was judged otherwise than the register judges now. What newer rules judged is not: a program of an
/// earlier version would only take it back.
pub(super) fn is_stale(criteria: &str, rules: &str, now: &JudgingCriteria) -> bool {
    match version(rules).cmp(&version(RULES)) {
        Ordering::Less => true,
        Ordering::Equal => criteria != now.hash(),
        Ordering::Greater => false,
    }
}

/// How many rows are stale, and by which rules and criteria they were judged.
pub(super) fn stale(
    database: &mut Database,
    now: &JudgingCriteria,
) -> Result<(usize, Vec<(String, String)>), DatabaseError> {
    let (mut count, mut judged_by) = (0, Vec::new());
    let sql = "SELECT criteria, rules, count(*) AS surveys FROM survey GROUP BY criteria, rules";
    for row in database.rows(sql, &[])? {
        let (criteria, rules): (String, String) = (row.get("criteria")?, row.get("rules")?);
        if is_stale(&criteria, &rules, now) {
            count += row.get::<usize>("surveys")?;
            judged_by.push((criteria, rules));
        }
    }
    Ok((count, judged_by))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_newer_rules_judged_is_not_taken_back() {
        let now = JudgingCriteria::default();
        let (hash, [major, ..]) = (now.hash(), version(RULES));
        assert!(!is_stale(&hash, RULES, &now));
        assert!(is_stale("other", RULES, &now));
        assert!(is_stale(&hash, "", &now) && is_stale(&hash, "0.0.9", &now));
        let newer = format!("{}.0.0", major + 1);
        assert!(!is_stale(&hash, &newer, &now) && !is_stale("other", &newer, &now));
        assert!(version("0.10.0") > version("0.9.12"));
    }
}
