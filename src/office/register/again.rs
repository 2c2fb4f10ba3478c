//! Judging everything again: by other criteria, to see what that changes; or what earlier rules judged.

use super::projection::{self, Judged};
use super::{Change, In, JudgingCriteria, Register, Result, Step, corrections};
use crate::office::database::{SqlValue, values};
use crate::office::log::{self, What};
use crate::office::summary::VerdictSummary;
use crate::survey::{Survey, When};
use serde::Serialize;
use std::collections::HashMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use uuid::Uuid;

/// How many surveys are in memory at once.
const AT_ONCE: usize = 200;

/// A survey that comes to something else by other criteria.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Rejudged {
    /// Which survey.
    pub survey: Uuid,
    /// The job reference.
    pub job: String,
    /// What it came to before.
    pub before: Option<VerdictSummary>,
    /// What it comes to now.
    pub after: VerdictSummary,
}

/// A survey as it is read for judging.
struct Batched {
    number: i64,
    /// The last event that it was read with.
    event: u64,
    job: String,
    before: Option<VerdictSummary>,
    survey: Survey,
}

impl Register {
    /// Judges every survey by other criteria and hands those that change to `told`, in the order in which they
    /// came in. With `adopt` the register judges by them from then on: all rows change together, or none.
    ///
    /// # Errors
    /// The database, a captured survey that is damaged, or nobody's name.
    pub fn judge_again(
        &mut self,
        criteria: &JudgingCriteria,
        adopt: Option<(&str, When)>,
        told: &mut dyn FnMut(&Rejudged),
    ) -> Result<usize> {
        let adopt = match adopt {
            Some((who, now)) => Some((super::named(who)?, now)),
            None => None,
        };
        let mut judged_at: HashMap<Uuid, (u64, VerdictSummary)> = HashMap::new();
        let (mut last, mut all) = (0, 0);
        loop {
            let rows = self.next_batch("survey.number > $1", values![last])?;
            let Some(end) = rows.last() else {
                break;
            };
            last = end.number;
            all += rows.len();
            for (row, after) in judged(rows, criteria) {
                if adopt.is_some() {
                    judged_at.insert(row.survey.id, (row.event, after.clone()));
                }
                if row.before.as_ref() == Some(&after) {
                    continue;
                }
                told(&Rejudged {
                    survey: row.survey.id,
                    job: row.job,
                    before: row.before,
                    after,
                });
            }
        }
        if let Some((who, now)) = adopt {
            self.adopt(criteria, who, now, &judged_at)?;
        }
        Ok(all)
    }

    /// The next surveys on which a condition holds, with their corrections, in the order in which they came in.
    fn next_batch(&mut self, condition: &str, values: &[SqlValue]) -> Result<Vec<Batched>> {
        let sql = format!(
            "SELECT survey.number AS number, survey.id AS id, survey.event AS event, survey.bundle AS bundle,
                    survey.job AS job, survey.summary AS summary, survey.corrected AS corrected,
                    captured.sha256 AS sha256, captured.survey AS survey
             FROM survey JOIN captured ON captured.bundle = survey.bundle
             WHERE {condition} ORDER BY survey.number LIMIT {AT_ONCE}"
        );
        let found = self.database.rows(&sql, values).of(&self.location)?;
        let mut batch = Vec::new();
        for row in found {
            let location = &self.location;
            let get = || -> Result<_, Step> {
                let survey = super::parse(
                    location,
                    &row.get("bundle")?,
                    &row.get("sha256")?,
                    &row.get::<String>("survey")?,
                )?;
                Ok((survey, row.get::<Uuid>("id")?, row.get::<u64>("corrected")?))
            };
            let (mut survey, id, corrected) = get().of(location)?;
            if corrected > 0 {
                let made = corrections::among(&self.events(id)?);
                survey = corrections::applied(&survey, made).0;
            }
            let before: String = row.get("summary").of(&self.location)?;
            batch.push(Batched {
                number: row.get("number").of(&self.location)?,
                event: row.get("event").of(&self.location)?,
                job: row.get("job").of(&self.location)?,
                before: serde_json::from_str(&before).ok(),
                survey,
            });
        }
        Ok(batch)
    }

    /// Makes the criteria the register's own, together with what they change. What moved since it was judged, or came
    /// in meanwhile, is judged once more while nobody else writes.
    fn adopt(
        &mut self,
        criteria: &JudgingCriteria,
        who: &str,
        now: When,
        judged_at: &HashMap<Uuid, (u64, VerdictSummary)>,
    ) -> Result<()> {
        self.change(|change| {
            let what = What::Criteria {
                codes: criteria.codes,
                fans: criteria.fans_text.clone(),
            };
            log::append(change.database, now, who, what)?;
            criteria.keep(change.database)?;
            let mut change = Change {
                criteria,
                ..change.reborrow()
            };
            let rows = change
                .database
                .rows("SELECT id, event FROM survey ORDER BY number", &[])?;
            for row in rows {
                let (id, event): (Uuid, u64) = (row.get("id")?, row.get("event")?);
                change.project(
                    id,
                    match judged_at.get(&id) {
                        Some((at, summary)) if *at == event => Judged::Corrected(summary),
                        _ => Judged::Anew,
                    },
                )?;
            }
            Ok(())
        })?;
        self.reload_criteria()
    }

    /// How many surveys were judged by other rules or other criteria than the register's of now.
    ///
    /// # Errors
    /// The database.
    pub fn stale(&mut self) -> Result<usize> {
        let stale = projection::stale(&mut self.database, &self.current.criteria);
        Ok(stale.of(&self.location)?.0)
    }

    /// Judges the next surveys that were judged by other rules or criteria; tells how many are left.
    ///
    /// # Errors
    /// The database, or a captured survey that is damaged.
    pub fn refresh(&mut self) -> Result<usize> {
        self.reload_criteria()?;
        let criteria = self.current.criteria.clone();
        let (_, judged_by) = projection::stale(&mut self.database, &criteria).of(&self.location)?;
        let Some((old_criteria, old_rules)) = judged_by.first() else {
            return Ok(0);
        };
        let rows = self.next_batch(
            "survey.criteria = $1 AND survey.rules = $2",
            values![&**old_criteria, &**old_rules],
        )?;
        let done: Vec<(Uuid, u64, VerdictSummary)> = judged(rows, &criteria)
            .into_iter()
            .map(|(row, summary)| (row.survey.id, row.event, summary))
            .collect();
        self.change(|change| {
            let same = *change.criteria == criteria;
            for (id, event, summary) in &done {
                let sql = "SELECT event FROM survey WHERE id = $1";
                let now: Option<u64> = change.database.get("event", sql, values![*id])?;
                let judged = match now == Some(*event) && same {
                    true => Judged::Corrected(summary),
                    false => Judged::Anew,
                };
                change.project(*id, judged)?;
            }
            Ok(())
        })?;
        self.stale()
    }
}

/// Judges the surveys on two threads; they come back in their order.
fn judged(rows: Vec<Batched>, criteria: &JudgingCriteria) -> Vec<(Batched, VerdictSummary)> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while let Some((at, row)) = {
            let at = next.fetch_add(1, Ordering::Relaxed);
            rows.get(at).map(|row| (at, row))
        } {
            done.push((at, criteria.summary(&row.survey)));
        }
        done
    };
    let mut summaries = std::thread::scope(|scope| {
        let other = scope.spawn(work);
        let mut done = work();
        match other.join() {
            Ok(others) => done.extend(others),
            Err(panic) => std::panic::resume_unwind(panic),
        }
        done
    });
    summaries.sort_unstable_by_key(|(at, _)| *at);
    rows.into_iter()
        .zip(summaries.into_iter().map(|(_, summary)| summary))
        .collect()
}
