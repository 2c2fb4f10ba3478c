//! Judging everything again, by other code editions or another fan list, and what that changes.

use super::{In, Register, Result, Step, Yardstick, corrections, schema};
use crate::office::database::{Database, cells};
use crate::office::upshot::Upshot;
use crate::survey::Survey;
use serde::Serialize;
use std::sync::atomic::{AtomicUsize, Ordering};
use uuid::Uuid;

/// How many surveys are in memory at once.
const AT_ONCE: usize = 200;

/// A survey that comes to something else by another yardstick.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Rejudged {
    /// Which survey.
    pub survey: Uuid,
    /// The job reference.
    pub job: String,
    /// What it came to before.
    pub before: Option<Upshot>,
    /// What it comes to now.
    pub after: Upshot,
}

/// A survey's row and what was captured, as it is read for judging.
struct Row {
    number: i64,
    bundle: String,
    job: String,
    before: String,
    survey: Survey,
}

impl Register {
    /// Judges every survey by another yardstick and hands those that change to `told`, in the order in which they
    /// came in. With `adopt` the register judges by it from then on: all rows change together, or none.
    ///
    /// # Errors
    /// The database, or a captured survey that is damaged.
    pub fn judge_again(
        &mut self,
        yardstick: &Yardstick,
        adopt: bool,
        told: &mut dyn FnMut(&Rejudged),
    ) -> Result<usize> {
        let mut changed: Vec<(i64, String, Upshot)> = Vec::new();
        let (mut last, mut all) = (0, 0);
        loop {
            let rows = self.some_after(last)?;
            let Some(end) = rows.last() else {
                break;
            };
            last = end.number;
            all += rows.len();
            for (row, after) in judged(rows, yardstick) {
                let before: Option<Upshot> = serde_json::from_str(&row.before).ok();
                if before.as_ref() == Some(&after) {
                    continue;
                }
                told(&Rejudged {
                    survey: row.survey.id,
                    job: row.job,
                    before,
                    after: after.clone(),
                });
                if adopt {
                    changed.push((row.number, row.bundle, after));
                }
            }
        }
        if adopt {
            self.adopt(yardstick, last, &changed)?;
        }
        Ok(all)
    }

    /// The next surveys, with their corrections.
    fn some_after(&mut self, last: i64) -> Result<Vec<Row>> {
        let found = self.database.rows(
            "SELECT survey.number, survey.bundle, survey.job, survey.upshot, survey.corrected,
                    captured.sha256, captured.survey
             FROM survey JOIN captured ON captured.bundle = survey.bundle
             WHERE survey.number > $1 ORDER BY survey.number LIMIT $2",
            cells![last, AT_ONCE],
        );
        let mut rows = Vec::new();
        for mut row in found.of(&self.location)? {
            let number = row.int(0).unwrap_or(0);
            let bundle = row.words(1);
            let mut survey = self.parse(&bundle, row.words(5), row.words(6))?;
            if row.yes(4) {
                let made = corrections::of_survey(&mut self.database, number);
                survey = corrections::applied(&survey, made.of(&self.location)?).0;
            }
            rows.push(Row {
                number,
                bundle,
                job: row.words(2),
                before: row.words(3),
                survey,
            });
        }
        Ok(rows)
    }

    /// Makes the yardstick the register's own, together with what it changed. What came in meanwhile was judged
    /// by the old one and is judged once more.
    fn adopt(
        &mut self,
        yardstick: &Yardstick,
        last: i64,
        changed: &[(i64, String, Upshot)],
    ) -> Result<()> {
        let location = self.location.clone();
        let done = self.database.together(|database| {
            database.alone("survey")?;
            for (number, bundle, upshot) in changed {
                let current = database.row(
                    "SELECT 1 FROM survey WHERE number = $1 AND bundle = $2",
                    cells![*number, &**bundle],
                )?;
                match current {
                    Some(_) => super::show_upshot(database, *number, upshot)?,
                    None => judge_one(database, *number, yardstick, &location)?,
                }
            }
            let newer =
                database.rows("SELECT number FROM survey WHERE number > $1", cells![last])?;
            for row in newer {
                judge_one(database, row.int(0).unwrap_or(0), yardstick, &location)?;
            }
            schema::put_setting(database, "fans", &yardstick.fans_text)?;
            schema::put_setting(database, "codes", &super::json(&yardstick.codes))?;
            Ok::<_, Step>(())
        });
        done.of(&self.location)?;
        self.look_again()
    }
}

/// Judges one survey anew by its number.
fn judge_one(
    database: &mut Database,
    number: i64,
    yardstick: &Yardstick,
    location: &super::Location,
) -> Result<(), Step> {
    let row = database.row(
        "SELECT captured.bundle, captured.sha256, captured.survey
         FROM survey JOIN captured ON captured.bundle = survey.bundle WHERE survey.number = $1",
        cells![number],
    )?;
    if let Some(mut row) = row {
        let (bundle, sha256, json) = (row.words(0), row.words(1), row.words(2));
        let captured = super::parse(location, &bundle, &sha256, &json)?;
        super::refresh(database, number, &captured, yardstick, None)?;
    }
    Ok(())
}

/// Judges the surveys on two threads; they come back in their order.
fn judged(rows: Vec<Row>, yardstick: &Yardstick) -> Vec<(Row, Upshot)> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while let Some((at, row)) = {
            let at = next.fetch_add(1, Ordering::Relaxed);
            rows.get(at).map(|row| (at, row))
        } {
            done.push((at, Upshot::of(&row.survey, &yardstick.assess(&row.survey))));
        }
        done
    };
    let mut upshots = std::thread::scope(|scope| {
        let other = scope.spawn(work);
        let mut done = work();
        match other.join() {
            Ok(others) => done.extend(others),
            Err(panic) => std::panic::resume_unwind(panic),
        }
        done
    });
    upshots.sort_unstable_by_key(|(at, _)| *at);
    rows.into_iter()
        .zip(upshots.into_iter().map(|(_, upshot)| upshot))
        .collect()
}
