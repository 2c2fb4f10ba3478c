//! The list of surveys that an office works from.
//!
//! A register is a folder (`register.sqlite`, the kept bundles beside it) or a PostgreSQL database that
//! several offices share. Whatever is entered is on the disk when the call returns.

use super::database::{Database, DatabaseError, cells};
use super::differences::Differences;
use super::key;
use super::search;
use super::upshot::Upshot;
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

mod again;
mod check;
mod corrections;
mod list;
mod schema;
mod shown;
mod status;

pub use again::Rejudged;
pub use corrections::{Correction, exact, place};
pub use list::{Line, Page, Sort, Wanted};
use shown::{rank, refresh, show_upshot};
pub use status::{Status, StatusChange};

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
        "{register}: {what} is damaged: {why} Take the kept bundle in again into a new register."
    )]
    Damaged {
        /// The register.
        register: String,
        /// What is damaged.
        what: String,
        /// How that shows.
        why: String,
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
    #[error("{register}: “{asked}” may be any of {count} surveys; give more of the id: {ids}.")]
    SeveralSuchSurveys {
        /// The register.
        register: String,
        /// What was asked for.
        asked: String,
        /// How many there are.
        count: usize,
        /// Some of them.
        ids: String,
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
    /// No such correction.
    #[error("{register}: survey {survey} has no correction {correction} that could be withdrawn.")]
    NoSuchCorrection {
        /// The register.
        register: String,
        /// The survey.
        survey: Uuid,
        /// The correction asked for.
        correction: i64,
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
pub struct Yardstick {
    /// The editions of the codes.
    pub codes: Codes,
    /// The fan list.
    pub fans: FanList,
    /// The fan list's text, from which it was read.
    pub fans_text: String,
}

impl Default for Yardstick {
    fn default() -> Self {
        Yardstick {
            codes: Codes::default(),
            fans: fan::generic().clone(),
            fans_text: fan::GENERIC.to_owned(),
        }
    }
}

impl Yardstick {
    /// A yardstick with the fan list in `text`; `file` names it in errors.
    ///
    /// # Errors
    /// Where the text is no fan list.
    pub fn new(codes: Codes, file: &str, text: &str) -> Result<Self, ListError> {
        Ok(Yardstick {
            codes,
            fans: fan::read(file, text)?,
            fans_text: text.to_owned(),
        })
    }

    /// Judges a survey.
    pub fn assess(&self, survey: &Survey) -> Assessment {
        rules::assess(survey, &self.fans, &self.codes)
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
    /// What the survey comes to by the register's yardstick.
    pub upshot: Upshot,
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
}

/// The register's yardstick as it was last read, with the mark by which a change of it is noticed.
#[derive(Debug, Default)]
struct Current {
    yardstick: Yardstick,
    mark: String,
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

impl Current {
    /// What the register judges by, where that is not what `mark` stands for.
    fn fresh(
        database: &mut Database,
        location: &Location,
        mark: &str,
    ) -> Result<Option<Current>, Step> {
        let which = "WHERE name IN ('codes', 'fans') ORDER BY name";
        let rows = database.rows(&format!("SELECT name, seal FROM setting {which}"), &[])?;
        let seals = rows
            .into_iter()
            .map(|mut row| format!("{} {};", row.words(0), row.words(1)));
        let now: String = seals.collect();
        if now == mark {
            return Ok(None);
        }
        let damaged = |what: &str, why: String| RegisterError::Damaged {
            register: location.to_string(),
            what: what.to_owned(),
            why,
        };
        let mut yardstick = Yardstick::default();
        if let Some(text) = schema::setting(database, "fans")? {
            yardstick.fans = fan::read("the register's fan list", &text)
                .map_err(|error| damaged("the fan list", format!("{error}.")))?;
            yardstick.fans_text = text;
        }
        if let Some(text) = schema::setting(database, "codes")? {
            yardstick.codes = serde_json::from_str(&text)
                .map_err(|error| damaged("the code editions", format!("{error}.")))?;
        }
        Ok(Some(Current {
            yardstick,
            mark: now,
        }))
    }
}

impl Register {
    /// Opens the register, which is made where there is none.
    ///
    /// # Errors
    /// A folder that cannot be written to, a server that cannot be reached, a register of a newer version (which
    /// is left as it is), a file that is no register.
    pub fn open(location: &Location) -> Result<Self> {
        let (mut database, vault) = match location {
            Location::Folder(folder) => {
                std::fs::create_dir_all(folder).about(folder)?;
                let vault = Vault::folder(folder)?;
                (Database::file(&schema::file(folder)).of(location)?, vault)
            }
            Location::Server(address) => (Database::server(address).of(location)?, Vault::table()),
        };
        schema::bring_up(&mut database, location)?;
        let mut register = Register {
            database,
            location: location.clone(),
            vault,
            current: Current::default(),
        };
        register.look_again()?;
        Ok(register)
    }

    /// Opens the register only where there is one already.
    ///
    /// # Errors
    /// As [`Register::open`], and where there is none.
    pub fn open_existing(location: &Location) -> Result<Self> {
        match location {
            Location::Folder(folder) if !schema::file(folder).is_file() => {
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
    pub fn yardstick(&self) -> &Yardstick {
        &self.current.yardstick
    }

    /// Reads the yardstick again, which another office may have changed.
    ///
    /// # Errors
    /// The database, or a yardstick that makes no sense any more.
    pub fn look_again(&mut self) -> Result<()> {
        let fresh = Current::fresh(&mut self.database, &self.location, "").of(&self.location)?;
        self.current = fresh.unwrap_or_default();
        Ok(())
    }

    /// Does steps that change surveys as one, alone, and by the yardstick that the register has at that moment; the
    /// steps are told whether it is another one than [`Register::yardstick`] said before.
    fn change<T>(
        &mut self,
        steps: impl FnOnce(&mut Database, &Vault, &Yardstick, bool) -> Result<T, Step>,
    ) -> Result<T> {
        let Register {
            database,
            location,
            vault,
            current,
        } = self;
        let done = database.together(|database| {
            database.alone("survey")?;
            let fresh = Current::fresh(database, location, &current.mark)?;
            let yardstick = &fresh.as_ref().unwrap_or(current).yardstick;
            let done = steps(database, vault, yardstick, fresh.is_some())?;
            Ok::<_, Step>((done, fresh))
        });
        let (done, fresh) = done.of(location)?;
        if let Some(fresh) = fresh {
            *current = fresh;
        }
        Ok(done)
    }

    /// Whether this very bundle was taken in before.
    pub fn knows(&mut self, bundle: &Sha256Hex) -> Result<bool> {
        let row = self.database.row(
            "SELECT 1 FROM bundle WHERE sha256 = $1",
            cells![bundle.to_string()],
        );
        Ok(row.of(&self.location)?.is_some())
    }

    /// Whether this very bundle was taken in before and still lies in the vault.
    pub(super) fn holds(&mut self, bundle: &Sha256Hex) -> Result<bool> {
        let file_there = self.vault.path(bundle).is_none_or(|path| path.is_file());
        Ok(file_there && self.knows(bundle)?)
    }

    /// Whether any bundle of this size was taken in before.
    pub(super) fn knows_size(&mut self, bytes: u64) -> Result<bool> {
        let bytes = i64::try_from(bytes).unwrap_or(i64::MAX);
        let row = self.database.row(
            "SELECT 1 FROM bundle WHERE bytes = $1 LIMIT 1",
            cells![bytes],
        );
        Ok(row.of(&self.location)?.is_some())
    }

    /// Enters a checked bundle, whose file is at `file`: first the file is kept and synced, then everything about
    /// it is entered in one transaction. Whatever is cut off in between, entering it again ends the same.
    ///
    /// # Errors
    /// The disk or the database; then nothing of it is entered.
    pub fn enter(&mut self, checked: &Checked, file: &Path, now: When) -> Result<Entered> {
        self.vault.keep(&checked.sha256, file)?;
        let sha256 = checked.sha256.to_string();
        self.change(|database, vault, yardstick, another| {
            let known = database.row("SELECT 1 FROM bundle WHERE sha256 = $1", cells![&*sha256])?;
            if known.is_some() {
                return Ok(Entered::Known);
            }
            let id = checked.survey.id.to_string();
            let find = "SELECT number FROM survey WHERE id = $1";
            let before = database.row(find, cells![&*id])?;
            if before.is_none() {
                database.run(
                    "INSERT INTO survey (id, bundle, revision, revisions, taken, status)
                     VALUES ($1, $2, -1, 0, $3, 0)",
                    cells![&*id, &*sha256, now.unix_seconds()],
                )?;
            }
            let number = database
                .row(find, cells![&*id])?
                .and_then(|row| row.int(0))
                .unwrap_or_default();
            database.enter(
                &schema::BUNDLE,
                cells![
                    &*sha256,
                    number,
                    checked.survey.revision,
                    checked.survey.changed.unix_seconds(),
                    i64::try_from(checked.bytes).unwrap_or(i64::MAX),
                    &*checked.name,
                    now.to_string(),
                    checked.differences.count(),
                    json(&checked.differences),
                ],
            )?;
            database.run(
                "INSERT INTO captured (bundle, sha256, survey) VALUES ($1, $2, $3)",
                cells![
                    &*sha256,
                    Sha256Hex::of(checked.survey_json.as_bytes()).to_string(),
                    &*checked.survey_json,
                ],
            )?;
            vault.keep_in(database, &checked.sha256, file)?;
            let refused =
                database.run("DELETE FROM refused WHERE sha256 = $1", cells![&*sha256])?;
            if refused > 0 {
                vault.forget_refused(database, &checked.sha256)?;
            }
            let newest = database
                .row(
                    "SELECT sha256 FROM bundle WHERE survey = $1
                     ORDER BY revision DESC, changed DESC, sha256 DESC LIMIT 1",
                    cells![number],
                )?
                .map(|mut row| row.words(0));
            database.run(
                "UPDATE survey SET revisions = revisions + 1 WHERE number = $1",
                cells![number],
            )?;
            if newest.as_ref() == Some(&sha256) {
                database.run(
                    "UPDATE survey SET bundle = $2, revision = $3, taken = $4, differs = $5
                     WHERE number = $1",
                    cells![
                        number,
                        &*sha256,
                        checked.survey.revision,
                        now.unix_seconds(),
                        checked.differences.count(),
                    ],
                )?;
                // What was judged by another yardstick meanwhile is judged once more.
                let upshot = (!another).then_some(&checked.upshot);
                refresh(database, number, &checked.survey, yardstick, upshot)?;
            }
            Ok(if before.is_none() {
                Entered::New
            } else {
                Entered::Revision
            })
        })
    }

    /// Notes that a file was refused, and keeps it aside untouched.
    ///
    /// # Errors
    /// The disk or the database.
    pub fn refuse(&mut self, refused: &Refused, file: &Path) -> Result<()> {
        self.vault
            .keep_refused(&refused.file, file, &refused.reason)?;
        let vault = &self.vault;
        let done = self.database.together(|database| {
            let sha256 = refused.file.to_string();
            database.run("DELETE FROM refused WHERE sha256 = $1", cells![&*sha256])?;
            database.enter(
                &schema::REFUSED,
                cells![
                    &*sha256,
                    &*refused.name,
                    i64::try_from(refused.bytes).unwrap_or(i64::MAX),
                    &*refused.reason,
                    &*refused.refused_at,
                ],
            )?;
            vault.keep_in(database, &refused.file, file)?;
            Ok::<_, Step>(())
        });
        done.of(&self.location)
    }

    /// The files that were refused, the latest first.
    ///
    /// # Errors
    /// The database.
    pub fn refused(&mut self) -> Result<Vec<Refused>> {
        let which = "ORDER BY refused DESC, sha256";
        let rows = self.database.sealed(&schema::REFUSED, which, &[]);
        let rows = rows.of(&self.location)?;
        let refused = rows.into_iter().filter_map(|mut row| {
            Some(Refused {
                file: row.words(0).parse().ok()?,
                name: row.words(1),
                bytes: u64::try_from(row.int(2)?).ok()?,
                reason: row.words(3),
                refused_at: row.words(4),
            })
        });
        Ok(refused.collect())
    }

    /// The survey that somebody means: by its id, the beginning of its id, or its job reference.
    ///
    /// # Errors
    /// None such, or several.
    pub fn find(&mut self, asked: &str) -> Result<Uuid> {
        let asked = asked.trim();
        let by = |database: &mut Database, condition: &str, value: &str| {
            let sql = format!("SELECT id FROM survey WHERE {condition} ORDER BY id LIMIT 11");
            database.rows(&sql, cells![value])
        };
        let mut found = Vec::new();
        if asked.len() >= 4 && asked.bytes().all(|b| b.is_ascii_hexdigit() || b == b'-') {
            let begin = format!("{}%", asked.to_ascii_lowercase());
            found = by(&mut self.database, "id LIKE $1", &begin).of(&self.location)?;
        }
        if found.is_empty() {
            found = by(&mut self.database, "job_key = $1", &search::sort_key(asked))
                .of(&self.location)?;
        }
        let ids: Vec<String> = found.into_iter().map(|mut row| row.words(0)).collect();
        match &ids[..] {
            [id] => id.parse().map_err(|_| RegisterError::Damaged {
                register: self.location.to_string(),
                what: "the list".to_owned(),
                why: format!("“{id}” is no id."),
            }),
            [] => Err(RegisterError::NoSuchSurvey {
                register: self.location.to_string(),
                asked: asked.to_owned(),
            }),
            several => Err(RegisterError::SeveralSuchSurveys {
                register: self.location.to_string(),
                asked: asked.to_owned(),
                count: several.len(),
                ids: several.join(", "),
            }),
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
            cells![id.to_string()],
        );
        let rows = rows.of(&self.location)?;
        if rows.is_empty() {
            return Err(RegisterError::NoSuchSurvey {
                register: self.location.to_string(),
                asked: id.to_string(),
            });
        }
        let shown = self.database.row(
            "SELECT bundle FROM survey WHERE id = $1",
            cells![id.to_string()],
        );
        let shown = shown.of(&self.location)?.map(|mut row| row.words(0));
        let revisions = rows.into_iter().filter_map(|mut row| {
            let bundle = row.words(0);
            Some(Revision {
                current: shown.as_ref() == Some(&bundle),
                bundle: bundle.parse().ok()?,
                revision: row.count(2),
                bytes: u64::try_from(row.int(4)?).ok()?,
                name: row.words(5),
                taken_in: row.words(6),
                differences: serde_json::from_str(&row.words(8)).unwrap_or_default(),
            })
        });
        Ok(revisions.collect())
    }

    /// The bundle of a survey's revision; the one that the list shows where none is asked for.
    ///
    /// # Errors
    /// No such survey or revision.
    pub fn bundle_of(&mut self, id: Uuid, revision: Option<u32>) -> Result<Revision> {
        let revisions = self.revisions(id)?;
        let wanted = revisions.into_iter().find(|one| match revision {
            Some(number) => one.revision == number,
            None => one.current,
        });
        wanted.ok_or_else(|| RegisterError::NoSuchRevision {
            register: self.location.to_string(),
            survey: id,
            revision: revision.map_or("shown".to_owned(), |number| number.to_string()),
        })
    }

    /// What the surveyor captured, as it came in one bundle.
    ///
    /// # Errors
    /// The database, or a text that is no longer what was put there.
    pub fn captured(&mut self, bundle: &Sha256Hex) -> Result<Survey> {
        let row = self.database.row(
            "SELECT sha256, survey FROM captured WHERE bundle = $1",
            cells![bundle.to_string()],
        );
        let Some(mut row) = row.of(&self.location)? else {
            return Err(RegisterError::NoSuchSurvey {
                register: self.location.to_string(),
                asked: bundle.to_string(),
            });
        };
        self.parse(&bundle.to_string(), row.words(0), row.words(1))
    }

    fn parse(&self, bundle: &str, sha256: String, json: String) -> Result<Survey> {
        parse(&self.location, bundle, &sha256, &json)
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

/// The number of a survey's row.
fn number_of(database: &mut Database, id: Uuid, location: &Location) -> Result<i64, Step> {
    let row = database.row(
        "SELECT number FROM survey WHERE id = $1",
        cells![id.to_string()],
    )?;
    row.and_then(|row| row.int(0)).ok_or_else(|| {
        Step::Register(RegisterError::NoSuchSurvey {
            register: location.to_string(),
            asked: id.to_string(),
        })
    })
}

/// A captured survey from its text, if that is still the one that was put there.
fn parse(location: &Location, bundle: &str, sha256: &str, json: &str) -> Result<Survey> {
    let damaged = |why: String| RegisterError::Damaged {
        register: location.to_string(),
        what: format!("the survey of bundle {bundle}"),
        why,
    };
    if Sha256Hex::of(json.as_bytes()).to_string() != sha256 {
        return Err(damaged("its checksum does not fit.".to_owned()));
    }
    survey::read("survey.json", json.as_bytes()).map_err(|error| damaged(error.to_string()))
}
