//! The list: searching, filtering, sorting, page by page.

use super::{In, Register, RegisterError, Result, Status, rank};
use crate::office::database::{Cell, DatabaseError, Row, Searched};
use crate::office::search;
use crate::office::upshot::Upshot;
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
    pub upshot: Option<Upshot>,
    /// How many of the office's verdicts and findings differed from the phone's.
    pub differs: u32,
    /// How many of the office's corrections stand.
    pub corrected: u32,
    /// How far the job is.
    pub status: Status,
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
     survey.surveyor, survey.visited_at, survey.upshot, survey.differs, survey.corrected, survey.status";

/// So few rows may be asked one by one for words before finding all rows with the words is quicker.
const FEW: usize = 2000;

/// What is wanted in its order; where the column is alike, as the surveys came in.
fn order(wanted: &Wanted) -> String {
    let way = if wanted.descending { "DESC" } else { "ASC" };
    format!("{} {way}, survey.number {way}", wanted.sort.column())
}

fn line(mut row: Row) -> Option<Line> {
    Some(Line {
        survey: row.words(0).parse().ok()?,
        revision: row.count(1),
        bundles: row.count(2),
        job: row.words(3),
        client: row.words(4),
        address: row.words(5),
        surveyor: row.words(6),
        visited_at: row.words(7),
        upshot: serde_json::from_str(&row.words(8)).ok(),
        differs: row.count(9),
        corrected: row.count(10),
        status: Status::from_number(row.int(11).unwrap_or(0)),
    })
}

impl Register {
    /// The condition for what is wanted, and its values.
    fn condition(
        &self,
        wanted: &Wanted,
        searched: &Searched,
        one_by_one: bool,
    ) -> (String, Vec<Cell>) {
        let mut conditions = vec!["1 = 1".to_owned()];
        let mut values: Vec<Cell> = Vec::new();
        if !searched.is_empty() {
            let (condition, of_words) = self.database.matching(searched, 1, one_by_one);
            conditions.push(condition);
            values.extend(of_words);
        }
        let mut where_is = |condition: &str, value: Cell| {
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
            lines: rows.into_iter().filter_map(line).collect(),
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
        let sql = format!("SELECT count(*) FROM survey WHERE {condition}");
        let row = self.database.row(&sql, &values).of(&self.location)?;
        let count = row.and_then(|row| row.int(0)).unwrap_or(0);
        Ok(usize::try_from(count).unwrap_or(0))
    }

    /// How many surveys there are, or a few more: they are numbered as they come in.
    fn about_all(&mut self) -> Result<usize> {
        let row = self.database.row("SELECT max(number) FROM survey", &[]);
        let last = row.of(&self.location)?.and_then(|row| row.int(0));
        Ok(last.map_or(0, |last| usize::try_from(last).unwrap_or(0)))
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
        let (condition, values) = self.condition(wanted, &searched, false);
        let sql = format!(
            "SELECT {COLUMNS} FROM survey WHERE {condition} ORDER BY {}",
            order(wanted)
        );
        let ended = self.database.each(&sql, &values, |row| match line(row) {
            Some(line) => each(line).map_err(Ended::Each),
            None => Ok(()),
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
        let row = self
            .database
            .row(&sql, crate::office::database::cells![id.to_string()])
            .of(&self.location)?;
        row.and_then(line)
            .ok_or_else(|| RegisterError::NoSuchSurvey {
                register: self.location.to_string(),
                asked: id.to_string(),
            })
    }
}
