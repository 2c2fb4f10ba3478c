//! The list: searching, filtering, sorting, page by page.

use super::{
    In, JudgingCriteria, Register, RegisterError, Result, Status, no_such_survey, projection, rank,
};
use crate::office::database::{DatabaseError, Row, Searched, SqlValue, values};
use crate::office::search;
use crate::office::summary::VerdictSummary;
use crate::rules::Verdict;
use serde::Serialize;
use uuid::Uuid;

/// What the list is sorted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sort {
    /// The date of the visit.
    #[default]
    Visited,
    /// When the office took it in.
    TakenIn,
    /// The job reference.
    Job,
    /// The client's name.
    Client,
    /// The surveyor's name.
    Surveyor,
    /// The verdict, from *does not fit* to *fits*.
    Verdict,
    /// How many answers are missing.
    Missing,
    /// The status, from new to dropped.
    Status,
    /// The day that was agreed on for building.
    Scheduled,
    /// The fan that fits best, by its id in the fan list.
    Fan,
    /// How much work the best spot needs: how many kinds of it.
    Work,
}

impl Sort {
    /// All of them.
    pub const ALL: &'static [Sort] = &[
        Sort::Visited,
        Sort::TakenIn,
        Sort::Job,
        Sort::Client,
        Sort::Surveyor,
        Sort::Verdict,
        Sort::Missing,
        Sort::Status,
        Sort::Scheduled,
        Sort::Fan,
        Sort::Work,
    ];

    /// How an option spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Sort::Visited => "visited",
            Sort::TakenIn => "taken-in",
            Sort::Job => "job",
            Sort::Client => "client",
            Sort::Surveyor => "surveyor",
            Sort::Verdict => "verdict",
            Sort::Missing => "missing",
            Sort::Status => "status",
            Sort::Scheduled => "scheduled",
            Sort::Fan => "fan",
            Sort::Work => "work",
        }
    }

    /// The column; each has an index with the row's number behind it.
    const fn column(self) -> &'static str {
        match self {
            Sort::Visited => "survey.visited",
            Sort::TakenIn => "survey.taken",
            Sort::Job => "survey.job_key",
            Sort::Client => "survey.client_key",
            Sort::Surveyor => "survey.surveyor_key",
            Sort::Verdict => "survey.verdict",
            Sort::Missing => "survey.missing",
            Sort::Status => "survey.status",
            Sort::Scheduled => "survey.scheduled",
            Sort::Fan => "survey.fan_key",
            Sort::Work => "survey.work",
        }
    }
}

/// Which lines of the list are wanted, and in which order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Words that must all begin a word of the survey's texts; accents and case do not count.
    pub words: String,
    /// Only those of this verdict.
    pub verdict: Option<Verdict>,
    /// Only those whose verdict is settled, or only those where it is not.
    pub settled: Option<bool>,
    /// Only those of this status.
    pub status: Option<Status>,
    /// Only those of this surveyor.
    pub surveyor: Option<String>,
    /// Only those where this fan, by its id in the fan list, is the best.
    pub fan: Option<String>,
    /// Only those whose best spot needs work, or only those where it needs none.
    pub work: Option<bool>,
    /// Only those for which the office came to another result than the phone.
    pub differs: bool,
    /// Only those where a revision waits to be accepted.
    pub waiting: bool,
    /// Only visits from this moment on, in seconds since 1970 UTC.
    pub from: Option<i64>,
    /// Only visits before this moment, in seconds since 1970 UTC.
    pub until: Option<i64>,
    /// What they are sorted by.
    pub sort: Sort,
    /// Whether the greatest comes first.
    pub descending: bool,
    /// How many lines are left out before the first.
    pub skip: usize,
    /// The most lines on the page.
    pub most: usize,
}

impl Default for Wanted {
    /// Everything, the latest visit first, fifty lines.
    fn default() -> Self {
        Wanted {
            words: String::new(),
            verdict: None,
            settled: None,
            status: None,
            surveyor: None,
            fan: None,
            work: None,
            differs: false,
            waiting: false,
            from: None,
            until: None,
            sort: Sort::Visited,
            descending: true,
            skip: 0,
            most: 50,
        }
    }
}

/// One line of the list: a survey as its current bundle has it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Line {
    /// Which survey.
    pub survey: Uuid,
    /// The revision that is shown.
    pub revision: u32,
    /// How many bundles of it there are.
    pub bundles: u32,
    /// The job reference.
    pub job: String,
    /// The client.
    pub client: String,
    /// The address.
    pub address: String,
    /// The surveyor.
    pub surveyor: String,
    /// Date and time of the visit.
    pub visited_at: String,
    /// What it comes to; nothing where it was never judged.
    pub summary: Option<VerdictSummary>,
    /// How many of the office's verdicts and findings differed from the phone's.
    pub differs: u32,
    /// How many of the office's corrections stand.
    pub corrected: u32,
    /// How far the job is.
    pub status: Status,
    /// The day that was agreed on for building, such as `2026-06-15`; empty where none was.
    pub scheduled: String,
    /// Who builds it; empty where that was not said.
    pub crew: String,
    /// How many revisions wait for somebody to accept one of them.
    pub waiting: u32,
    /// Whether it was judged by other rules or criteria than the register's of now, and is to be judged anew.
    pub stale: bool,
    /// The last event of the register's log that it shows.
    pub event: u64,
}

/// One page of the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Page {
    /// Its lines.
    pub lines: Vec<Line>,
    /// How many lines all pages have together.
    pub all: usize,
}

const COLUMNS: &str =
    "survey.id, survey.revision, survey.revisions, survey.job, survey.client, survey.address,
     survey.surveyor, survey.visited_at, survey.summary, survey.differs, survey.corrected, survey.status,
     survey.scheduled, survey.crew, survey.waiting, survey.event, survey.criteria, survey.rules";

/// So few rows may be asked one by one for words before finding all rows with the words is quicker.
const FEW: usize = 2000;

/// What is wanted in its order; where the column is alike, as the surveys came in.
fn order(wanted: &Wanted) -> String {
    let way = if wanted.descending { "DESC" } else { "ASC" };
    format!("{} {way}, survey.number {way}", wanted.sort.column())
}

fn line(row: &Row, criteria: &JudgingCriteria) -> Result<Line, DatabaseError> {
    let status = Status::from_number(row.get("status")?);
    let waiting: String = row.get("waiting")?;
    let (judged_by, rules): (String, String) = (row.get("criteria")?, row.get("rules")?);
    Ok(Line {
        survey: row.get("id")?,
        revision: row.get("revision")?,
        bundles: row.get("revisions")?,
        job: row.get("job")?,
        client: row.get("client")?,
        address: row.get("address")?,
        surveyor: row.get("surveyor")?,
        visited_at: row.get("visited_at")?,
        // Written by other rules, it may be of another shape; it is judged anew then.
        summary: row.json("summary").ok(),
        differs: row.get("differs")?,
        corrected: row.get("corrected")?,
        status: status.ok_or_else(|| DatabaseError::Column {
            table: "survey".to_owned(),
            column: "status".to_owned(),
            found: "another number stands",
            wanted: "a status",
        })?,
        scheduled: row.get("scheduled")?,
        crew: row.get("crew")?,
        waiting: u32::try_from(waiting.split_whitespace().count()).unwrap_or(u32::MAX),
        stale: projection::is_stale(&judged_by, &rules, criteria),
        event: row.get("event")?,
    })
}

impl Register {
    /// The condition for what is wanted, and its values.
    fn condition(
        &self,
        wanted: &Wanted,
        searched: &Searched,
        one_by_one: bool,
    ) -> (String, Vec<SqlValue>) {
        let mut conditions = vec!["1 = 1".to_owned()];
        let mut values: Vec<SqlValue> = Vec::new();
        if !searched.is_empty() {
            let (condition, of_words) = self.database.matching(searched, 1, one_by_one);
            conditions.push(condition);
            values.extend(of_words);
        }
        let mut where_is = |condition: &str, value: SqlValue| {
            values.push(value);
            conditions.push(format!("{condition} ${}", values.len()));
        };
        if let Some(verdict) = wanted.verdict {
            where_is("survey.verdict =", rank(verdict).into());
        }
        if let Some(settled) = wanted.settled {
            where_is("survey.settled =", settled.into());
        }
        if let Some(status) = wanted.status {
            where_is("survey.status =", status.number().into());
        }
        if let Some(surveyor) = &wanted.surveyor {
            where_is("survey.surveyor_key =", search::sort_key(surveyor).into());
        }
        if let Some(fan) = &wanted.fan {
            where_is("survey.fan_key =", fan.trim().into());
        }
        if let Some(work) = wanted.work {
            let than = if work {
                "survey.work >"
            } else {
                "survey.work ="
            };
            where_is(than, 0_i64.into());
        }
        if wanted.differs {
            where_is("survey.differs >", 0_i64.into());
        }
        if wanted.waiting {
            where_is("survey.waiting <>", "".into());
        }
        if let Some(from) = wanted.from {
            where_is("survey.visited >=", from.into());
        }
        if let Some(until) = wanted.until {
            where_is("survey.visited <", until.into());
        }
        (conditions.join(" AND "), values)
    }

    /// One page of the list.
    ///
    /// # Errors
    /// The database.
    pub fn list(&mut self, wanted: &Wanted) -> Result<Page> {
        let words = search::words_in(&wanted.words);
        if words.is_empty() && !wanted.words.trim().is_empty() {
            // Nothing but marks is in no survey.
            return Ok(Page {
                all: 0,
                lines: Vec::new(),
            });
        }
        let searched = self.database.searched(words).of(&self.location)?;
        let all = self.count(wanted, &searched)?;
        let mut one_by_one = false;
        if !searched.is_empty() {
            // Where most surveys have the words, the first page is soon full.
            let rows = self.about_all()?;
            let looked_at = (wanted.skip + wanted.most).saturating_mul(rows);
            one_by_one = looked_at < all.saturating_mul(FEW);
        }
        // The page is picked by numbers alone, which the indexes hold; then its lines are read.
        let (condition, mut values) = self.condition(wanted, &searched, one_by_one);
        let order = order(wanted);
        let sql = format!(
            "SELECT {COLUMNS} FROM (
                 SELECT survey.number FROM survey WHERE {condition}
                 ORDER BY {order} LIMIT ${limit} OFFSET ${offset}
             ) AS picked JOIN survey ON survey.number = picked.number
             ORDER BY {order}",
            limit = values.len() + 1,
            offset = values.len() + 2,
        );
        values.push(wanted.most.into());
        values.push(wanted.skip.into());
        let rows = self.database.rows(&sql, &values).of(&self.location)?;
        Ok(Page {
            all,
            lines: (rows.iter())
                .map(|row| line(row, &self.current.criteria))
                .collect::<Result<_, _>>()
                .of(&self.location)?,
        })
    }

    /// How many surveys are wanted, whatever the page.
    fn count(&mut self, wanted: &Wanted, searched: &Searched) -> Result<usize> {
        let (condition, values) = self.condition(wanted, searched, false);
        // Words have one value, and whatever else is wanted has one more.
        if !searched.is_empty() && values.len() == 1 {
            let count = self.database.count_of_words(searched).of(&self.location)?;
            return Ok(usize::try_from(count).unwrap_or(0));
        }
        let sql = format!("SELECT count(*) AS surveys FROM survey WHERE {condition}");
        let count = self.database.get("surveys", &sql, &values);
        Ok(count.of(&self.location)?.unwrap_or(0))
    }

    /// How many surveys there are, or a few more: they are numbered as they come in.
    fn about_all(&mut self) -> Result<usize> {
        let sql = "SELECT coalesce(max(number), 0) AS number FROM survey";
        let last = self.database.get("number", sql, &[]);
        Ok(last.of(&self.location)?.unwrap_or(0))
    }

    /// Hands every line that is wanted to `each`, whatever the page says, in the order of the list and as the
    /// register is at this moment.
    ///
    /// # Errors
    /// The database, or what `each` says.
    pub fn each_line<E: From<RegisterError>>(
        &mut self,
        wanted: &Wanted,
        mut each: impl FnMut(Line) -> std::result::Result<(), E>,
    ) -> std::result::Result<(), E> {
        enum Ended<E> {
            Database(DatabaseError),
            Each(E),
        }
        impl<E> From<DatabaseError> for Ended<E> {
            fn from(error: DatabaseError) -> Self {
                Ended::Database(error)
            }
        }
        let searched = Searched::from(search::words_in(&wanted.words));
        if searched.is_empty() && !wanted.words.trim().is_empty() {
            return Ok(());
        }
        let (condition, values) = self.condition(wanted, &searched, false);
        let sql = format!(
            "SELECT {COLUMNS} FROM survey WHERE {condition} ORDER BY {}",
            order(wanted)
        );
        let criteria = &self.current.criteria;
        let ended = self.database.query_each(&sql, &values, |row| {
            each(line(&row, criteria)?).map_err(Ended::Each)
        });
        match ended {
            Ok(()) => Ok(()),
            Err(Ended::Each(error)) => Err(error),
            Err(Ended::Database(error)) => {
                let named: Result<()> = Err(error).of(&self.location);
                Ok(named?)
            }
        }
    }

    /// The line of one survey.
    ///
    /// # Errors
    /// The database, or no such survey.
    pub fn line(&mut self, id: Uuid) -> Result<Line> {
        let sql = format!("SELECT {COLUMNS} FROM survey WHERE id = $1");
        let row = self.database.row(&sql, values![id]).of(&self.location)?;
        let row = row.ok_or_else(|| no_such_survey(&self.location, &id.to_string()))?;
        line(&row, &self.current.criteria).of(&self.location)
    }
}
