//! What became of a survey in the office: new, quoted, ordered, built or dropped, with who and when.

use super::{In, Register, RegisterError, Result, Step, schema};
use crate::office::database::cells;
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
    /// The client has a price.
    Quoted,
    /// The client wants it.
    Ordered,
    /// The fan is in.
    Built,
    /// Nothing comes of it.
    Dropped,
}

impl Status {
    /// All of them, in the order of a job.
    pub const ALL: &'static [Status] = &[
        Status::New,
        Status::Quoted,
        Status::Ordered,
        Status::Built,
        Status::Dropped,
    ];

    /// The English word, also how files and options spell it.
    pub const fn label(self) -> &'static str {
        match self {
            Status::New => "new",
            Status::Quoted => "quoted",
            Status::Ordered => "ordered",
            Status::Built => "built",
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

    pub(super) fn from_number(number: i64) -> Status {
        let at = usize::try_from(number).unwrap_or(0);
        Self::ALL.get(at).copied().unwrap_or_default()
    }
}

/// One change of a survey's status.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StatusChange {
    /// What it became.
    pub status: Status,
    /// Who said so.
    pub who: String,
    /// When.
    pub changed_at: String,
    /// Why, or anything else worth keeping.
    pub remark: String,
}

impl Register {
    /// Changes a survey's status; the earlier ones stay in its history.
    ///
    /// # Errors
    /// The database, no such survey, or nobody's name.
    pub fn set_status(
        &mut self,
        id: Uuid,
        status: Status,
        who: &str,
        remark: &str,
        now: When,
    ) -> Result<()> {
        let who = super::named(who)?;
        let location = self.location.clone();
        let done = self.database.together(|database| {
            let number = super::number_of(database, id, &location)?;
            database.enter(
                &schema::STATUS_CHANGE,
                cells![number, status.number(), who, now.to_string(), remark.trim()],
            )?;
            database.run(
                "UPDATE survey SET status = $2 WHERE number = $1",
                cells![number, status.number()],
            )?;
            Ok::<_, Step>(())
        });
        done.of(&self.location)
    }

    /// Every change of a survey's status, the first one first.
    ///
    /// # Errors
    /// The database.
    pub fn statuses(&mut self, id: Uuid) -> Result<Vec<StatusChange>, RegisterError> {
        let rows = self.database.sealed(
            &schema::STATUS_CHANGE,
            "WHERE survey = (SELECT number FROM survey WHERE id = $1) ORDER BY number",
            cells![id.to_string()],
        );
        let rows = rows.of(&self.location)?;
        let changes = rows.into_iter().map(|mut row| StatusChange {
            status: Status::from_number(row.int(1).unwrap_or(0)),
            who: row.words(2),
            changed_at: row.words(3),
            remark: row.words(4),
        });
        Ok(changes.collect())
    }
}
