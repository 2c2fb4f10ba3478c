//! The list of surveys that an office works from.
//!
//! A register is a folder (`register.sqlite`, the kept bundles beside it) or a PostgreSQL database that
//! several offices share. Whatever is entered is on the disk when the call returns.

use super::database::{Database, DatabaseError, values};
use super::differences::Differences;
use super::key;
use super::log::{self, Behind, Event, LogFile, What};
use super::search;
use super::summary::VerdictSummary;
use super::vault::{Vault, VaultError};
use crate::digest::Sha256Hex;
use crate::disk::{About, DiskError};
use crate::list_file::ListError;
use crate::rules::{self, Assessment};
use crate::survey::fields::FieldError;
use crate::survey::{self, Survey, When};
use crate::trade::codes::Codes;
use crate::trade::fan::{self, FanList};
use serde::Serialize;
use std::fmt;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use uuid::Uuid;

mod accept;
mod again;
mod check;
mod corrections;
mod job;
mod list;
mod projection;
mod rebuild;
mod schema;
mod status;

pub use again::Rejudged;
pub use check::{Found, Wrong};
pub use corrections::{Correction, exact, place};
pub(super) use job::unbelievable;
pub use list::{Line, Page, Sort, Wanted};
use projection::{Judged, rank};
pub use rebuild::{BackedUp, Rebuilt};
pub use status::{Marked, Status, StatusChange};

/// Where a register is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Location {
    /// A folder on this machine.
    Folder(PathBuf),
    /// A PostgreSQL server, as an address such as `postgres://office@127.0.0.1/register`.
    Server(String),
}

impl FromStr for Location {
    type Err = std::convert::Infallible;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Ok(
            if text.starts_with("postgres://") || text.starts_with("postgresql://") {
                Location::Server(text.to_owned())
            } else {
                Location::Folder(text.into())
            },
        )
    }
}

impl fmt::Display for Location {
    /// The folder, or the server's address without its password.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Location::Folder(folder) => write!(f, "{}", folder.display()),
            Location::Server(address) => {
                let (scheme, rest) = address.split_once("://").unwrap_or(("postgres", address));
                let host = rest.rsplit_once('@').map_or(rest, |(_, host)| host);
                write!(f, "{scheme}://{}", host.split('?').next().unwrap_or(host))
            }
        }
    }
}

/// Why the register did not do what it was asked; a sentence that names the register or the file.
#[derive(Debug, thiserror::Error)]
pub enum RegisterError {
    /// The database.
    #[error("{register}: {source}")]
    Database {
        /// The register.
        register: String,
        /// What it said.
        source: DatabaseError,
    },
    /// A file of it.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// Written by a newer program.
    #[error(
        "{register}: this register is of version {found}, and this joistlight knows versions up to {known}. \
         A newer joistlight opens it; nothing was changed."
    )]
    Newer {
        /// The register.
        register: String,
        /// The version found.
        found: i64,
        /// The newest version known here.
        known: i64,
    },
    /// There is none.
    #[error("{register}: there is no register here yet; `joistlight intake` makes one.")]
    NotThere {
        /// The register.
        register: String,
    },
    /// What it holds is not what was put there.
    #[error(
        "{register}: {what} is damaged: {why} Run `joistlight register check`, then `joistlight register repair`."
    )]
    Damaged {
        /// The register.
        register: String,
        /// What is damaged.
        what: String,
        /// How that shows.
        why: String,
    },
    /// The log beside the register has more in it than the database.
    #[error(
        "{register}: the database has lost what the log beside it knows; run `joistlight register rebuild`."
    )]
    Behind {
        /// The register.
        register: String,
    },
    /// A database without anything beside kept bundles.
    #[error(
        "{register}: the database is empty, and bundles lie beside it; run `joistlight register rebuild`."
    )]
    Emptied {
        /// The register.
        register: String,
    },
    /// No such survey.
    #[error("{register}: there is no job “{asked}” here; an id is typed as id:{asked}.")]
    NoSuchJob {
        /// The register.
        register: String,
        /// What was asked for.
        asked: String,
    },
    /// No such survey.
    #[error("{register}: there is no survey “{asked}” here.")]
    NoSuchSurvey {
        /// The register.
        register: String,
        /// What was asked for.
        asked: String,
    },
    /// Several such surveys.
    #[error("{register}: “{asked}” is {count} surveys; name one by its id: {which}.")]
    SeveralSuchSurveys {
        /// The register.
        register: String,
        /// What was asked for.
        asked: String,
        /// How many there are.
        count: usize,
        /// Some of them, each with id, job, client and address.
        which: String,
    },
    /// Several such revisions.
    #[error(
        "{register}: survey {survey} has several bundles like that; name one by its checksum: {which}."
    )]
    SeveralSuchRevisions {
        /// The register.
        register: String,
        /// The survey.
        survey: Uuid,
        /// Their checksums.
        which: String,
    },
    /// No such revision.
    #[error("{register}: survey {survey} has no revision {revision} here.")]
    NoSuchRevision {
        /// The register.
        register: String,
        /// The survey.
        survey: Uuid,
        /// The revision asked for.
        revision: String,
    },
    /// A folder that holds a register is no place for a backup.
    #[error("{}: this is a register; name another folder for its backup.", folder.display())]
    IsRegister {
        /// The folder.
        folder: PathBuf,
    },
    /// A folder without a log is no backup.
    #[error("{}: this is no backup of a register; it has no log.jsonl.", folder.display())]
    NoBackup {
        /// The folder.
        folder: PathBuf,
    },
    /// Something is there already.
    #[error("{register}: something is in this register already; restore into a new one.")]
    Occupied {
        /// The register.
        register: String,
    },
    /// Nothing waits to be accepted.
    #[error("{register}: no revision of survey {survey} waits to be accepted.")]
    NothingWaits {
        /// The register.
        register: String,
        /// The survey.
        survey: Uuid,
    },
    /// No such correction.
    #[error("{register}: survey {survey} has no correction {correction} that could be withdrawn.")]
    NoSuchCorrection {
        /// The register.
        register: String,
        /// The survey.
        survey: Uuid,
        /// The correction asked for.
        correction: u64,
    },
    /// A text that is no day.
    #[error("“{typed}” is no day such as 2026-05-03.")]
    NoDay {
        /// What was typed.
        typed: String,
    },
    /// Something that must be said was not.
    #[error("{what}")]
    Wanting {
        /// What is missing.
        what: &'static str,
    },
    /// An answer that does not go where it was meant to.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// A fan list that is none.
    #[error(transparent)]
    FanList(#[from] ListError),
}

/// What the office judges by: its code editions and its fan list.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgingCriteria {
    /// The editions of the codes.
    pub codes: Codes,
    /// The fan list.
    pub fans: FanList,
    /// The fan list's text, from which it was read.
    pub fans_text: String,
}

impl Default for JudgingCriteria {
    fn default() -> Self {
        JudgingCriteria {
            codes: Codes::default(),
            fans: fan::generic().clone(),
            fans_text: fan::GENERIC.to_owned(),
        }
    }
}

impl JudgingCriteria {
    /// A criteria with the fan list in `text`; `file` names it in errors.
    ///
    /// # Errors
    /// Where the text is no fan list.
    pub fn new(codes: Codes, file: &str, text: &str) -> Result<Self, ListError> {
        Ok(JudgingCriteria {
            codes,
            fans: fan::read(file, text)?,
            fans_text: text.to_owned(),
        })
    }

    /// Judges a survey.
    pub fn assess(&self, survey: &Survey) -> Assessment {
        rules::assess(survey, &self.fans, &self.codes)
    }

    /// What a survey comes to.
    pub fn summary(&self, survey: &Survey) -> VerdictSummary {
        VerdictSummary::of(survey, &self.assess(survey))
    }

    /// A short checksum over the criteria, by which rows judged by others are told.
    pub fn hash(&self) -> String {
        let text = format!("{}\n{}", json(&self.codes), self.fans_text);
        Sha256Hex::of(text.as_bytes()).to_string()[..16].to_owned()
    }

    /// What the register keeps, or the usual where it keeps nothing.
    fn kept(database: &mut Database, location: &Location) -> Result<JudgingCriteria, Step> {
        let damaged = |what: &str, why: String| RegisterError::Damaged {
            register: location.to_string(),
            what: what.to_owned(),
            why,
        };
        let mut criteria = JudgingCriteria::default();
        if let Some(text) = schema::setting(database, "fans")? {
            criteria.fans = fan::read("the register's fan list", &text)
                .map_err(|error| damaged("the fan list", format!("{error}.")))?;
            criteria.fans_text = text;
        }
        if let Some(text) = schema::setting(database, "codes")? {
            criteria.codes = serde_json::from_str(&text)
                .map_err(|error| damaged("the code editions", format!("{error}.")))?;
        }
        Ok(criteria)
    }

    /// Makes these the register's own.
    fn keep(&self, database: &mut Database) -> Result<(), DatabaseError> {
        schema::put_setting(database, "fans", &self.fans_text)?;
        schema::put_setting(database, "codes", &json(&self.codes))
    }
}

/// A checked bundle, ready to be entered.
#[derive(Debug, Clone)]
pub struct Checked {
    /// SHA-256 of the bundle's bytes.
    pub sha256: Sha256Hex,
    /// How many bytes it has.
    pub bytes: u64,
    /// What the file was called.
    pub name: String,
    /// The survey in it.
    pub survey: Survey,
    /// The text of the survey's file, byte for byte.
    pub survey_json: String,
    /// What the survey comes to by the register's criteria.
    pub summary: VerdictSummary,
    /// Where that differs from what the phone saw.
    pub differences: Differences,
}

/// What became of a bundle that was entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Entered {
    /// The first of its survey.
    #[serde(rename = "new survey")]
    New,
    /// One more of a survey that was known.
    #[serde(rename = "another revision")]
    Revision,
    /// One more of a survey that was known, which is not shown before somebody accepts it: the job is quoted or
    /// further, or its count and its clock say different things.
    #[serde(rename = "a revision that waits")]
    Waits,
    /// The very same bundle was there already; nothing changed.
    #[serde(rename = "known already")]
    Known,
}

/// One bundle of a survey.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Revision {
    /// SHA-256 of the bundle.
    pub bundle: Sha256Hex,
    /// The revision that the phone counted.
    pub revision: u32,
    /// How many bytes the bundle has.
    pub bytes: u64,
    /// What the file was called.
    pub name: String,
    /// When the office took it in.
    pub taken_in: String,
    /// Whether this is the one that the list shows.
    pub current: bool,
    /// Whether it waits for somebody to accept it.
    pub waits: bool,
    /// Where the office's judgement differed from the phone's when it was taken in.
    pub differences: Differences,
}

/// A bundle that was not let in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// SHA-256 of the file.
    pub file: Sha256Hex,
    /// What it was called.
    pub name: String,
    /// How many bytes it has.
    pub bytes: u64,
    /// Why.
    pub reason: String,
    /// When it was last refused.
    pub refused_at: String,
}

/// An open register.
#[derive(Debug)]
pub struct Register {
    database: Database,
    location: Location,
    vault: Vault,
    current: Current,
    /// The log's file, where the register is in a folder that can be written to.
    log: Option<LogFile>,
    /// Who takes bundles in.
    author: String,
}

/// The register's criteria as they were last read, with the mark by which a change of them is noticed.
#[derive(Debug, Default)]
struct Current {
    criteria: JudgingCriteria,
    mark: String,
}

/// A change of the register while nobody else writes.
struct Change<'a> {
    database: &'a mut Database,
    vault: &'a Vault,
    /// What the register judges by at this moment.
    criteria: &'a JudgingCriteria,
    /// Whether that is something else than [`Register::criteria`] said before.
    other: bool,
    location: &'a Location,
}

impl Change<'_> {
    /// The same for a shorter time.
    fn reborrow(&mut self) -> Change<'_> {
        Change {
            database: &mut *self.database,
            ..*self
        }
    }

    /// The number of a survey's row.
    fn number_of(&mut self, id: Uuid) -> Result<i64, Step> {
        let sql = "SELECT number FROM survey WHERE id = $1";
        let number = self.database.get("number", sql, values![id])?;
        number.ok_or_else(|| Step::Register(no_such_survey(self.location, &id.to_string())))
    }
}

/// What is said where there is no such survey.
fn no_such_survey(location: &Location, asked: &str) -> RegisterError {
    RegisterError::NoSuchSurvey {
        register: location.to_string(),
        asked: asked.to_owned(),
    }
}

/// Who uses this machine, as the system calls them.
fn user() -> String {
    let names = ["USER", "LOGNAME", "USERNAME"].into_iter();
    let mut known = names.filter_map(|name| std::env::var(name).ok());
    known
        .find(|name| !name.trim().is_empty())
        .unwrap_or_else(|| "unknown".to_owned())
}

type Result<T, E = RegisterError> = std::result::Result<T, E>;

/// Adds the register's name to what its database said.
trait In<T> {
    fn of(self, location: &Location) -> Result<T>;
}

impl<T> In<T> for Result<T, DatabaseError> {
    fn of(self, location: &Location) -> Result<T> {
        self.map_err(|source| RegisterError::Database {
            register: match location {
                Location::Folder(folder) => schema::file(folder).display().to_string(),
                server => server.to_string(),
            },
            source,
        })
    }
}

/// Inside a transaction both kinds of errors come up; the database's get their register's name at its end.
enum Step {
    Database(DatabaseError),
    Register(RegisterError),
}
impl From<DatabaseError> for Step {
    fn from(error: DatabaseError) -> Self {
        Step::Database(error)
    }
}
impl From<RegisterError> for Step {
    fn from(error: RegisterError) -> Self {
        Step::Register(error)
    }
}
impl From<DiskError> for Step {
    fn from(error: DiskError) -> Self {
        Step::Register(error.into())
    }
}
impl From<VaultError> for Step {
    fn from(error: VaultError) -> Self {
        match error {
            VaultError::Database(error) => Step::Database(error),
            VaultError::Disk(error) => Step::Register(error.into()),
        }
    }
}
impl<T> In<T> for Result<T, Step> {
    fn of(self, location: &Location) -> Result<T> {
        match self {
            Ok(done) => Ok(done),
            Err(Step::Database(error)) => Err(error).of(location),
            Err(Step::Register(error)) => Err(error),
        }
    }
}

impl From<Behind> for Step {
    fn from(error: Behind) -> Self {
        match error {
            Behind::Disk(error) => Step::Register(error.into()),
            Behind::Database(error) => Step::Database(error),
        }
    }
}

impl Current {
    /// What the register judges by, where that is not what `mark` stands for.
    fn fresh(
        database: &mut Database,
        location: &Location,
        mark: &str,
    ) -> Result<Option<Current>, Step> {
        let which = "WHERE name IN ('codes', 'fans') ORDER BY name";
        let rows = database.rows(&format!("SELECT name, seal FROM setting {which}"), &[])?;
        let mut now = "read ".to_owned();
        for row in rows {
            let (name, seal): (String, String) = (row.get("name")?, row.get("seal")?);
            now += &format!("{name} {seal};");
        }
        if now == mark {
            return Ok(None);
        }
        Ok(Some(Current {
            criteria: JudgingCriteria::kept(database, location)?,
            mark: now,
        }))
    }
}

impl Register {
    /// Opens the register, which is made where there is none; for reading alone where it cannot be written to.
    ///
    /// # Errors
    /// A folder without a register that cannot be written to, a server that cannot be reached, a register of a newer
    /// version (which is left as it is), a file that is no register, a database that lost what lies beside it.
    pub fn open(location: &Location) -> Result<Self> {
        let mut register = match location {
            Location::Folder(folder) => Register::open_folder(location, folder)?,
            Location::Server(address) => {
                let mut database = Database::server(address).of(location)?;
                let vault = Vault::table();
                schema::migrate(&mut database, location, &vault)?;
                Register::of(location, database, vault, None)
            }
        };
        register.catch_up()?;
        register.reload_criteria()?;
        Ok(register)
    }

    fn of(location: &Location, database: Database, vault: Vault, log: Option<LogFile>) -> Self {
        Register {
            database,
            location: location.clone(),
            vault,
            current: Current::default(),
            log,
            author: user(),
        }
    }

    fn open_folder(location: &Location, folder: &Path) -> Result<Self> {
        let file = schema::file(folder);
        let opened = match std::fs::create_dir_all(folder).about(folder) {
            Ok(()) => Database::file(&file),
            Err(_) if file.is_file() => Err(DatabaseError::ReadOnly),
            Err(error) => return Err(error.into()),
        };
        let mut database = match opened {
            Err(DatabaseError::ReadOnly) if file.is_file() => {
                let mut database = Database::file_to_read(&file).of(location)?;
                return match schema::version(&mut database).of(location)? {
                    version if version > schema::VERSION => Err(schema::newer(location, version)),
                    // Bringing it up would be writing.
                    version if version < schema::VERSION => {
                        Err(DatabaseError::ReadOnly).of(location)
                    }
                    _ => Ok(Register::of(
                        location,
                        database,
                        Vault::beside(folder),
                        None,
                    )),
                };
            }
            opened => opened.of(location)?,
        };
        let vault = Vault::folder(folder)?;
        if !database.has_table("setting").of(location)?
            && (vault.any()? || log::path(folder).exists())
        {
            return Err(RegisterError::Emptied {
                register: location.to_string(),
            });
        }
        schema::migrate(&mut database, location, &vault)?;
        Ok(Register::of(
            location,
            database,
            vault,
            Some(LogFile::of(folder)),
        ))
    }

    /// Opens the register only where there is one already.
    ///
    /// # Errors
    /// As [`Register::open`], and where there is none.
    pub fn open_existing(location: &Location) -> Result<Self> {
        match location {
            Location::Folder(folder)
                if !schema::file(folder).is_file() && !Vault::beside(folder).any()? =>
            {
                Err(RegisterError::NotThere {
                    register: location.to_string(),
                })
            }
            _ => Register::open(location),
        }
    }

    /// Where it is.
    pub fn location(&self) -> &Location {
        &self.location
    }

    /// Where its bundles are.
    pub fn vault(&self) -> &Vault {
        &self.vault
    }

    /// What it judges by.
    pub fn criteria(&self) -> &JudgingCriteria {
        &self.current.criteria
    }

    /// Names who takes bundles in; without that, it is whoever uses this machine.
    pub fn set_author(&mut self, who: &str) {
        if !who.trim().is_empty() {
            who.trim().clone_into(&mut self.author);
        }
    }

    /// Reads the criteria again, which another office may have changed.
    ///
    /// # Errors
    /// The database, or criteria that make no sense any more.
    pub fn reload_criteria(&mut self) -> Result<()> {
        let fresh = Current::fresh(&mut self.database, &self.location, "").of(&self.location)?;
        self.current = fresh.unwrap_or_default();
        Ok(())
    }

    /// Lets the log's file follow the database.
    fn catch_up(&mut self) -> Result<()> {
        let Some(log) = &mut self.log else {
            return Ok(());
        };
        let ahead = log.catch_up(&mut self.database).map_err(Step::from);
        match ahead.of(&self.location)? {
            None => Ok(()),
            Some(_) => Err(RegisterError::Behind {
                register: self.location.to_string(),
            }),
        }
    }

    /// Does steps that change the register as one, alone, and by the criteria that it has at that moment.
    fn change<T>(&mut self, steps: impl FnOnce(&mut Change) -> Result<T, Step>) -> Result<T> {
        let Register {
            database,
            location,
            vault,
            current,
            ..
        } = self;
        let done = database.transaction(|database| {
            database.lock_table("survey")?;
            let fresh = Current::fresh(database, location, &current.mark)?;
            let mut change = Change {
                database,
                vault,
                criteria: &fresh.as_ref().unwrap_or(current).criteria,
                other: fresh.is_some(),
                location,
            };
            let done = steps(&mut change)?;
            Ok::<_, Step>((done, fresh))
        });
        let (done, fresh) = done.of(location)?;
        if let Some(fresh) = fresh {
            *current = fresh;
        }
        // What the database has is kept. A disk that has no room for the log's file says so at the next change, which
        // begins where this one left off.
        let _ = self.catch_up();
        Ok(done)
    }

    /// The events of a survey, the first one first.
    ///
    /// # Errors
    /// The database.
    pub fn events(&mut self, id: Uuid) -> Result<Vec<Event>> {
        log::of_survey(&mut self.database, id).of(&self.location)
    }

    /// Whether this very bundle was taken in before.
    pub fn knows(&mut self, bundle: &Sha256Hex) -> Result<bool> {
        let sql = "SELECT 1 FROM bundle WHERE sha256 = $1";
        let row = self.database.row(sql, values![*bundle]);
        Ok(row.of(&self.location)?.is_some())
    }

    /// Whether this very bundle was taken in before and still lies in the vault.
    pub(super) fn holds(&mut self, bundle: &Sha256Hex) -> Result<bool> {
        let file_there = self.vault.path(bundle).is_none_or(|path| path.is_file());
        Ok(file_there && self.knows(bundle)?)
    }

    /// Whether any bundle of this size was taken in before.
    pub(super) fn knows_size(&mut self, bytes: u64) -> Result<bool> {
        let sql = "SELECT 1 FROM bundle WHERE bytes = $1 LIMIT 1";
        let row = self.database.row(sql, values![bytes]);
        Ok(row.of(&self.location)?.is_some())
    }

    /// Enters a checked bundle, whose file is at `file`: first the file is kept and synced, then everything about
    /// it is entered in one transaction. Whatever is cut off in between, entering it again ends the same.
    ///
    /// # Errors
    /// The disk or the database; then nothing of it is entered.
    pub fn enter(&mut self, checked: &Checked, file: &Path, now: When) -> Result<Entered> {
        self.catch_up()?;
        self.vault.keep(&checked.sha256, file)?;
        let author = self.author.clone();
        self.change(|change| {
            let sql = "SELECT 1 FROM bundle WHERE sha256 = $1";
            if change.database.row(sql, values![checked.sha256])?.is_some() {
                return Ok(Entered::Known);
            }
            let what = What::TakenIn {
                survey: checked.survey.id,
                bundle: checked.sha256,
                revision: checked.survey.revision,
                changed: checked.survey.changed,
                bytes: checked.bytes,
                name: checked.name.clone(),
            };
            let event = log::append(change.database, now, &author, what)?;
            change
                .vault
                .keep_in(change.database, &checked.sha256, file)?;
            change.enter(&event, checked)
        })
    }

    /// Notes that a file was refused, and keeps it aside untouched. The same file refused for the same reason once
    /// more is no news.
    ///
    /// # Errors
    /// The disk or the database.
    pub fn refuse(&mut self, refused: &Refused, file: &Path, now: When) -> Result<()> {
        self.catch_up()?;
        self.vault
            .keep_refused(&refused.file, file, &refused.reason)?;
        let author = self.author.clone();
        self.change(|change| {
            let sql = "SELECT 1 FROM refused WHERE sha256 = $1 AND name = $2 AND reason = $3";
            let same = values![refused.file, &*refused.name, &*refused.reason];
            if change.database.row(sql, same)?.is_some() {
                return Ok(());
            }
            let what = What::Refused {
                file: refused.file,
                name: refused.name.clone(),
                bytes: refused.bytes,
                reason: refused.reason.clone(),
            };
            log::append(change.database, now, &author, what)?;
            change.vault.keep_in(change.database, &refused.file, file)?;
            change.enter_refused(refused)
        })
    }

    /// The files that were refused, the latest first.
    ///
    /// # Errors
    /// The database.
    pub fn refused(&mut self) -> Result<Vec<Refused>> {
        let which = "ORDER BY refused DESC, sha256";
        let rows = self.database.sealed(&schema::REFUSED, which, &[]);
        let rows = rows.of(&self.location)?;
        let refused = rows.iter().map(|row| {
            Ok(Refused {
                file: row.get("sha256")?,
                name: row.get("name")?,
                bytes: row.get("bytes")?,
                reason: row.get("reason")?,
                refused_at: row.get("refused")?,
            })
        });
        refused
            .collect::<Result<_, DatabaseError>>()
            .of(&self.location)
    }

    /// The survey that somebody means: by its job reference, or as `id:` with the beginning of its id.
    ///
    /// # Errors
    /// None such, or several, which are named.
    pub fn find(&mut self, asked: &str) -> Result<Uuid> {
        let asked = asked.trim();
        let by = |database: &mut Database, condition: &str, value: &str| {
            let sql = format!(
                "SELECT id, job, client, address FROM survey WHERE {condition} ORDER BY id LIMIT 11"
            );
            let mut found: Vec<(Uuid, String)> = Vec::new();
            for row in database.rows(&sql, values![value])? {
                let id: Uuid = row.get("id")?;
                let words = ["job", "client", "address"].map(|column| row.get::<String>(column));
                let words = words.into_iter().collect::<Result<Vec<_>, _>>()?;
                let words: Vec<String> = words.into_iter().filter(|it| !it.is_empty()).collect();
                found.push((id, format!("id:{id} ({})", words.join(", "))));
            }
            Ok::<_, DatabaseError>(found)
        };
        let mut found = Vec::new();
        match asked.strip_prefix("id:").map(str::trim) {
            Some(id) => {
                let is_one = |byte: u8| byte.is_ascii_hexdigit() || byte == b'-';
                if id.len() >= 4 && id.bytes().all(is_one) {
                    let begin = format!("{}%", id.to_ascii_lowercase());
                    found = by(&mut self.database, "id LIKE $1", &begin).of(&self.location)?;
                }
            }
            None => {
                // As it is written; else as it is searched, without case, accents and marks.
                let key = search::sort_key(asked);
                found = by(&mut self.database, "job = $1", asked).of(&self.location)?;
                if found.is_empty() && !key.is_empty() {
                    found = by(&mut self.database, "job_key = $1", &key).of(&self.location)?;
                }
            }
        }
        let register = self.location.to_string();
        match &found[..] {
            [(id, _)] => Ok(*id),
            [] if asked.starts_with("id:") => Err(no_such_survey(&self.location, asked)),
            [] => Err(RegisterError::NoSuchJob {
                register,
                asked: asked.to_owned(),
            }),
            several => {
                let which: Vec<&str> = several.iter().map(|(_, words)| &**words).collect();
                Err(RegisterError::SeveralSuchSurveys {
                    register,
                    asked: asked.to_owned(),
                    count: several.len(),
                    which: which.join("; "),
                })
            }
        }
    }

    /// The bundles of a survey, the latest revision first.
    ///
    /// # Errors
    /// The database, or no such survey.
    pub fn revisions(&mut self, id: Uuid) -> Result<Vec<Revision>> {
        let rows = self.database.sealed(
            &schema::BUNDLE,
            "WHERE survey = (SELECT number FROM survey WHERE id = $1)
             ORDER BY revision DESC, changed DESC, sha256 DESC",
            values![id],
        );
        let rows = rows.of(&self.location)?;
        let sql = "SELECT bundle, waiting FROM survey WHERE id = $1";
        let line = self.database.row(sql, values![id]).of(&self.location)?;
        let Some(line) = line.filter(|_| !rows.is_empty()) else {
            return Err(no_such_survey(&self.location, &id.to_string()));
        };
        let revisions = || -> Result<Vec<Revision>, DatabaseError> {
            let shown: Sha256Hex = line.get("bundle")?;
            let waiting: String = line.get("waiting")?;
            let revision = |row: &super::database::Row| {
                let bundle: Sha256Hex = row.get("sha256")?;
                Ok(Revision {
                    current: bundle == shown,
                    waits: waiting.contains(&bundle.to_string()),
                    bundle,
                    revision: row.get("revision")?,
                    bytes: row.get("bytes")?,
                    name: row.get("name")?,
                    taken_in: row.get("taken")?,
                    differences: row.json("differences")?,
                })
            };
            rows.iter().map(revision).collect()
        };
        revisions().of(&self.location)
    }

    /// The bundle of a survey's revision; the one that the list shows where none is asked for.
    ///
    /// # Errors
    /// No such survey or revision, or several.
    pub fn bundle_of(&mut self, id: Uuid, revision: Option<u32>) -> Result<Revision> {
        let revisions = self.revisions(id)?;
        let wanted: Vec<Revision> = revisions
            .into_iter()
            .filter(|one| match revision {
                Some(number) => one.revision == number,
                None => one.current,
            })
            .collect();
        let register = self.location.to_string();
        match &wanted[..] {
            [one] => Ok(one.clone()),
            [] => Err(RegisterError::NoSuchRevision {
                register,
                survey: id,
                revision: revision.map_or("shown".to_owned(), |number| number.to_string()),
            }),
            several => {
                let which: Vec<String> = several.iter().map(|one| one.bundle.to_string()).collect();
                Err(RegisterError::SeveralSuchRevisions {
                    register,
                    survey: id,
                    which: which.join(", "),
                })
            }
        }
    }

    /// What the surveyor captured, as it came in one bundle.
    ///
    /// # Errors
    /// The database, or a text that is no longer what was put there.
    pub fn captured(&mut self, bundle: &Sha256Hex) -> Result<Survey> {
        let sql = "SELECT sha256, survey FROM captured WHERE bundle = $1";
        let row = self.database.row(sql, values![*bundle]);
        let Some(row) = row.of(&self.location)? else {
            return Err(no_such_survey(&self.location, &bundle.to_string()));
        };
        let sha256 = row.get("sha256").of(&self.location)?;
        let text: String = row.get("survey").of(&self.location)?;
        parse(&self.location, bundle, &sha256, &text)
    }

    /// Copies a bundle out, byte for byte, to `to`.
    ///
    /// # Errors
    /// The disk, or a bundle that is no longer what was kept.
    pub fn copy_out(&mut self, bundle: &Sha256Hex, to: &Path) -> Result<()> {
        let vault = &self.vault;
        let copied = vault.copy_out(&mut self.database, bundle, to);
        match copied.map_err(Step::from).of(&self.location)? {
            true => Ok(()),
            false => Err(RegisterError::Damaged {
                register: self.location.to_string(),
                what: format!("the kept bundle {bundle}"),
                why: "it is missing, or its checksum does not fit.".to_owned(),
            }),
        }
    }
}

/// A value as JSON text; for plain data that cannot fail.
fn json(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_default()
}

/// A name that is one.
fn named(who: &str) -> Result<&str> {
    match who.trim() {
        "" => Err(RegisterError::Wanting {
            what: key("Whoever changes something in the register gives a name."),
        }),
        who => Ok(who),
    }
}

/// A captured survey from its text, if that is still the one that was put there.
fn parse(
    location: &Location,
    bundle: &Sha256Hex,
    sha256: &Sha256Hex,
    json: &str,
) -> Result<Survey> {
    let damaged = |why: String| RegisterError::Damaged {
        register: location.to_string(),
        what: format!("the survey of bundle {bundle}"),
        why,
    };
    if Sha256Hex::of(json.as_bytes()) != *sha256 {
        return Err(damaged("its checksum does not fit.".to_owned()));
    }
    survey::read("survey.json", json.as_bytes()).map_err(|error| damaged(error.to_string()))
}

/// What must be said.
fn required(said: bool, what: &'static str) -> Result<()> {
    match said {
        true => Ok(()),
        false => Err(RegisterError::Wanting { what }),
    }
}

impl Change<'_> {
    /// Enters what an event says of a bundle, whose file is kept, and shows what comes of it.
    fn enter(&mut self, event: &Event, checked: &Checked) -> Result<Entered, Step> {
        let (id, sha256) = (checked.survey.id, checked.sha256);
        let new = self.enter_tables(event, checked)?;
        // What was judged by other criteria meanwhile is judged once more.
        let judged = match self.other {
            false => Judged::Known(&sha256, &checked.summary),
            true => Judged::Anew,
        };
        self.project(id, judged)?;
        let sql = "SELECT waiting FROM survey WHERE id = $1";
        let waiting: Option<String> = self.database.get("waiting", sql, values![id])?;
        Ok(match waiting {
            _ if new => Entered::New,
            Some(waiting) if waiting.contains(&sha256.to_string()) => Entered::Waits,
            _ => Entered::Revision,
        })
    }

    /// Enters a bundle and its survey into their tables; says whether the survey is new.
    fn enter_tables(&mut self, event: &Event, checked: &Checked) -> Result<bool, Step> {
        let (id, sha256) = (checked.survey.id, checked.sha256);
        let sql = "SELECT number FROM survey WHERE id = $1";
        let new = self.database.row(sql, values![id])?.is_none();
        if new {
            self.database.run(
                "INSERT INTO survey (id, bundle, revision, revisions, taken, status)
                 VALUES ($1, $2, 0, 0, 0, 0)",
                values![id, sha256],
            )?;
        }
        let number = self.number_of(id)?;
        self.database.enter(
            &schema::BUNDLE,
            values![
                sha256,
                number,
                checked.survey.revision,
                checked.survey.changed.unix_seconds(),
                checked.bytes,
                &*checked.name,
                event.at,
                checked.differences.count(),
                json(&checked.differences),
            ],
        )?;
        self.database.run(
            "INSERT INTO captured (bundle, sha256, survey) VALUES ($1, $2, $3)",
            values![
                sha256,
                Sha256Hex::of(checked.survey_json.as_bytes()),
                &*checked.survey_json,
            ],
        )?;
        let sql = "DELETE FROM refused WHERE sha256 = $1";
        if self.database.run(sql, values![sha256])? > 0 {
            self.vault.forget_refused(&sha256)?;
        }
        Ok(new)
    }

    /// Enters a file among the refused ones.
    fn enter_refused(&mut self, refused: &Refused) -> Result<(), Step> {
        let sql = "DELETE FROM refused WHERE sha256 = $1";
        self.database.run(sql, values![refused.file])?;
        let row = values![
            refused.file,
            &*refused.name,
            refused.bytes,
            &*refused.reason,
            &*refused.refused_at,
        ];
        Ok(self.database.enter(&schema::REFUSED, row)?)
    }
}
