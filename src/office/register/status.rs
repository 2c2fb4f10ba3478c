//! How far a job is: from new to paid, or dropped; with who, when and why.

use super::{Register, RegisterError, Result, required};
use crate::office::key;
use crate::office::log::{self, What};
use crate::survey::When;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// How far a job is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Taken in, and nobody has done anything yet.
    #[default]
    New,
    /// The customer has a price.
    Quoted,
    /// The customer wants it.
    Accepted,
    /// The permit is there.
    Permitted,
    /// Day and crew are set.
    Scheduled,
    /// The fan is in.
    Built,
    /// The inspector has passed it.
    Inspected,
    /// The money is there.
    Paid,
    /// Nothing comes of it.
    Dropped,
}

impl Status {
    /// All of them, in the order of a job.
    pub const ALL: &'static [Status] = &[
        Status::New,
        Status::Quoted,
        Status::Accepted,
        Status::Permitted,
        Status::Scheduled,
        Status::Built,
        Status::Inspected,
        Status::Paid,
        Status::Dropped,
    ];

    /// The English word, also how files and options spell it.
    pub const fn label(self) -> &'static str {
        match self {
            Status::New => "new",
            Status::Quoted => "quoted",
            Status::Accepted => "accepted",
            Status::Permitted => "permitted",
            Status::Scheduled => "scheduled",
            Status::Built => "built",
            Status::Inspected => "inspected",
            Status::Paid => "paid",
            Status::Dropped => "dropped",
        }
    }

    /// The one of that name.
    pub fn from_code(code: &str) -> Option<Status> {
        Self::ALL
            .iter()
            .copied()
            .find(|status| status.label() == code)
    }

    pub(super) fn number(self) -> i64 {
        self as i64
    }

    pub(super) fn from_number(number: usize) -> Option<Status> {
        Self::ALL.get(number).copied()
    }
}

/// What is said with a status.
#[derive(Debug, Clone, Copy, Default)]
pub struct Marked<'a> {
    /// The day, such as `2026-06-15`; for a job that is scheduled.
    pub date: Option<&'a str>,
    /// Who builds it; for a job that is scheduled.
    pub crew: Option<&'a str>,
    /// Anything worth keeping.
    pub remark: &'a str,
}

/// One change of a survey's status.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StatusChange {
    /// What it became.
    pub status: Status,
    /// The day that was agreed on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// Who builds it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crew: Option<String>,
    /// Who said so.
    pub who: String,
    /// When.
    pub changed_at: String,
    /// Why, or anything else worth keeping.
    pub remark: String,
}

/// A day as it is typed; an empty text is none.
fn day(text: &str) -> Result<Option<String>> {
    match text.trim() {
        "" => Ok(None),
        day => day
            .parse::<jiff::civil::Date>()
            .map(|day| Some(day.to_string()))
            .map_err(|_| RegisterError::NoDay {
                typed: day.to_owned(),
            }),
    }
}

impl Register {
    /// Changes a survey's status; the earlier ones stay in its history.
    ///
    /// # Errors
    /// The database, no such survey, nobody's name, or a job that is scheduled without day and crew.
    pub fn set_status(
        &mut self,
        id: Uuid,
        status: Status,
        marked: Marked,
        who: &str,
        now: When,
    ) -> Result<()> {
        let who = super::named(who)?;
        let date = day(marked.date.unwrap_or_default())?;
        let crew = marked.crew.map(str::trim).filter(|crew| !crew.is_empty());
        if status == Status::Scheduled {
            required(
                date.is_some() && crew.is_some(),
                key("A job that is scheduled needs its day and its crew."),
            )?;
        } else {
            required(
                date.is_none() && crew.is_none(),
                key("Only a job that is scheduled has a day and a crew."),
            )?;
        }
        let what = What::Marked {
            survey: id,
            status,
            date,
            crew: crew.map(str::to_owned),
            remark: marked.remark.trim().to_owned(),
        };
        self.change(|change| {
            change.number_of(id)?;
            log::append(change.database, now, who, what)?;
            change.project(id, super::Judged::Kept)?;
            Ok(())
        })
    }

    /// Every change of a survey's status, the first one first.
    ///
    /// # Errors
    /// The database.
    pub fn statuses(&mut self, id: Uuid) -> Result<Vec<StatusChange>, RegisterError> {
        let changes = self.events(id)?.into_iter().filter_map(|event| {
            let What::Marked {
                status,
                date,
                crew,
                remark,
                ..
            } = event.what
            else {
                return None;
            };
            Some(StatusChange {
                status,
                date,
                crew,
                who: event.who,
                changed_at: event.at.to_string(),
                remark,
            })
        });
        Ok(changes.collect())
    }
}
