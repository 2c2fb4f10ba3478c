//! The register from its log and its bundles alone: rebuilt, repaired from originals, backed up, restored.

use super::job::Job;
use super::{
    Change, Checked, In, Judged, JudgingCriteria, Location, Refused, Register, RegisterError,
    Result, Step, log, schema,
};
use crate::bundle::{Bundle, BundleError, Watch};
use crate::digest::Sha256Hex;
use crate::disk::{self, About, DiskError};
use crate::office::database::{Database, DatabaseError, values};
use crate::office::intake;
use crate::office::log::{Event, What};
use crate::office::vault::Vault;
use crate::survey::When;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::fs;
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// What a register was rebuilt from.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Rebuilt {
    /// Events of the log.
    pub events: usize,
    /// Surveys that are in the list now.
    pub surveys: usize,
    /// Files that lay in the vault unknown to the log, and were entered anew.
    pub entered: usize,
    /// Files that originals took the place of.
    pub mended: usize,
    /// What could not be brought back: a sentence each.
    pub lost: Vec<String>,
}

/// What a backup came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct BackedUp {
    /// Events of the log.
    pub events: usize,
    /// Files that the backup holds.
    pub files: usize,
    /// Files that it did not hold before.
    pub copied: usize,
}

impl Register {
    /// Makes the register anew from its log and what lies in its vault. The database that was there is kept aside.
    /// Nobody else may work with the register meanwhile.
    ///
    /// # Errors
    /// The disk or the server. What cannot be brought back is no error, and is listed.
    pub fn rebuild(location: &Location, who: &str, now: When) -> Result<(Register, Rebuilt)> {
        Register::repair(location, &[], who, now)
    }

    /// The same, after whole files among `originals` took the place of kept ones that are missing or damaged.
    ///
    /// # Errors
    /// As [`Register::rebuild`].
    pub fn repair(
        location: &Location,
        originals: &[PathBuf],
        who: &str,
        now: When,
    ) -> Result<(Register, Rebuilt)> {
        let who = super::named(who)?;
        let mut rebuilt = Rebuilt::default();
        match location {
            Location::Folder(folder) => {
                if !folder.is_dir() {
                    return Err(not_there(location));
                }
                let vault = Vault::folder(folder)?;
                let events = events_of_folder(folder, &mut rebuilt)?;
                let new = schema::file(folder).with_extension("sqlite.new");
                remove_database(&new)?;
                let mut database = Database::file(&new).of(location)?;
                schema::migrate(&mut database, location, &vault)?;
                put_originals(&mut database, &vault, &events, originals, &mut rebuilt)
                    .of(location)?;
                replay(
                    &mut database,
                    location,
                    &vault,
                    &events,
                    true,
                    (who, now),
                    &mut rebuilt,
                )
                .of(location)?;
                // Closed, the new database is one file, which takes the old one's place.
                database
                    .batch("PRAGMA journal_mode = DELETE")
                    .of(location)?;
                drop(database);
                put_aside(&schema::file(folder), now)?;
                disk::move_to(&new, &schema::file(folder))?;
                let path = log::path(folder);
                if path.exists() {
                    let mut database = Database::file(&schema::file(folder)).of(location)?;
                    let all = log::all(&mut database).of(location)?;
                    log::write(&path, &all)?;
                }
            }
            Location::Server(address) => {
                let mut database = Database::server(address).of(location)?;
                let vault = Vault::table();
                schema::migrate(&mut database, location, &vault)?;
                let done = database.transaction(|database| {
                    database.lock_table("survey")?;
                    let mut events = Vec::new();
                    database.each_sealed(&log::EVENT, "ORDER BY number", &[], |row, sound| {
                        match row.json("body") {
                            Ok(event) if sound => events.push(event),
                            _ => rebuilt
                                .lost
                                .push("an event of the log is damaged.".to_owned()),
                        }
                        Ok::<_, DatabaseError>(())
                    })?;
                    put_originals(database, &vault, &events, originals, &mut rebuilt)?;
                    database.batch(
                        "DELETE FROM word_row; DELETE FROM vocabulary; DELETE FROM captured;
                         DELETE FROM bundle; DELETE FROM refused; DELETE FROM survey;
                         DELETE FROM setting WHERE name IN ('codes', 'fans');",
                    )?;
                    replay(
                        database,
                        location,
                        &vault,
                        &events,
                        false,
                        (who, now),
                        &mut rebuilt,
                    )
                });
                done.of(location)?;
            }
        }
        let mut register = Register::open(location)?;
        rebuilt.surveys = register.list(&super::Wanted::default())?.all;
        Ok((register, rebuilt))
    }

    /// Copies the register's log and all that it names into a folder, from which it can be restored. That is consistent
    /// while others work: the log is written last, and names nothing that the backup has not. A folder that holds an
    /// earlier backup gets what it lacks.
    ///
    /// # Errors
    /// The disk, the database, a kept bundle that is damaged.
    pub fn backup(&mut self, to: &Path) -> Result<BackedUp> {
        if schema::file(to).exists() {
            return Err(RegisterError::IsRegister {
                folder: to.to_owned(),
            });
        }
        let vault = Vault::folder(to)?;
        let events = log::all(&mut self.database).of(&self.location)?;
        let mut done = BackedUp {
            events: events.len(),
            ..BackedUp::default()
        };
        for event in &events {
            let copied = match &event.what {
                What::TakenIn { bundle, .. } => {
                    done.files += 1;
                    vault.take_over(bundle, &self.vault, &mut self.database, false)
                }
                // Some were thrown away, or let in, since.
                What::Refused { file, reason, .. } => vault
                    .take_over(file, &self.vault, &mut self.database, true)
                    .and_then(|copied| {
                        if copied == Some(true) {
                            vault.note_refused(file, reason)?;
                        }
                        done.files += usize::from(copied.is_some());
                        Ok(copied.or(Some(false)))
                    }),
                _ => Ok(Some(false)),
            };
            match copied.map_err(Step::from).of(&self.location)? {
                Some(copied) => done.copied += usize::from(copied),
                None => {
                    return Err(RegisterError::Damaged {
                        register: self.location.to_string(),
                        what: "a kept bundle".to_owned(),
                        why: "it is missing, or its checksum does not fit.".to_owned(),
                    });
                }
            }
        }
        log::write(&log::path(to), &events)?;
        Ok(done)
    }

    /// Makes a register from a backup, where there is none yet.
    ///
    /// # Errors
    /// No backup, a register that holds something already, the disk, the server.
    pub fn restore(
        location: &Location,
        from: &Path,
        who: &str,
        now: When,
    ) -> Result<(Register, Rebuilt)> {
        let who = super::named(who)?;
        let held = log::read(&log::path(from))?;
        if held.events.is_empty() {
            return Err(RegisterError::NoBackup {
                folder: from.to_owned(),
            });
        }
        let backup = Vault::beside(from);
        match location {
            Location::Folder(folder) => {
                if schema::file(folder).exists() || Vault::beside(folder).any()? {
                    return Err(occupied(location));
                }
                let vault = Vault::folder(folder)?;
                // The backup's files are files: no database is asked for them.
                let mut none = Database::in_memory().of(location)?;
                for event in &held.events {
                    let copied = match &event.what {
                        What::TakenIn { bundle, .. } => {
                            vault.take_over(bundle, &backup, &mut none, false)
                        }
                        What::Refused { file, .. } => {
                            vault.take_over(file, &backup, &mut none, true)
                        }
                        _ => continue,
                    };
                    copied.map_err(Step::from).of(location)?;
                }
                log::write(&log::path(folder), &held.events)?;
                Register::rebuild(location, who, now)
            }
            Location::Server(address) => {
                let mut database = Database::server(address).of(location)?;
                let vault = Vault::table();
                schema::migrate(&mut database, location, &vault)?;
                let mut rebuilt = Rebuilt::default();
                let done = database.transaction(|database| {
                    database.lock_table("survey")?;
                    if log::last(database)? > 0 {
                        return Err(Step::Register(occupied(location)));
                    }
                    for event in &held.events {
                        let (name, path) = match &event.what {
                            What::TakenIn { bundle, .. } => (bundle, backup.path(bundle)),
                            What::Refused { file, .. } => (file, backup.refused_path(file)),
                            _ => continue,
                        };
                        if let Some(path) = path.filter(|path| path.is_file()) {
                            vault.keep_in(database, name, &path)?;
                        }
                    }
                    let events = &held.events;
                    replay(
                        database,
                        location,
                        &vault,
                        events,
                        true,
                        (who, now),
                        &mut rebuilt,
                    )
                });
                done.of(location)?;
                let mut register = Register::open(location)?;
                rebuilt.surveys = register.list(&super::Wanted::default())?.all;
                Ok((register, rebuilt))
            }
        }
    }
}

fn not_there(location: &Location) -> RegisterError {
    RegisterError::NotThere {
        register: location.to_string(),
    }
}

fn occupied(location: &Location) -> RegisterError {
    RegisterError::Occupied {
        register: location.to_string(),
    }
}

/// Every sound event that the log's file or the database still has.
fn events_of_folder(folder: &Path, rebuilt: &mut Rebuilt) -> Result<Vec<Event>> {
    let path = log::path(folder);
    let held = log::read(&path)?;
    let mut events: BTreeMap<u64, Event> = BTreeMap::new();
    for event in held.events {
        events.insert(event.event, event);
    }
    let file = schema::file(folder);
    if file.is_file()
        && let Ok(mut database) = Database::file(&file)
        && let Ok(true) = database.has_table("event")
    {
        // As far as it can be read.
        let _ = database.each_sealed(&log::EVENT, "ORDER BY number", &[], |row, sound| {
            if let (true, Ok(event)) = (sound, row.json::<Event>("body")) {
                events.entry(event.event).or_insert(event);
            }
            Ok::<_, DatabaseError>(())
        });
    }
    let last = events.keys().next_back().copied().unwrap_or(0);
    for number in (1..=last).filter(|number| !events.contains_key(number)) {
        rebuilt
            .lost
            .push(format!("event {number} of the log is lost."));
    }
    Ok(events.into_values().collect())
}

/// Removes a database's file and what SQLite keeps beside it.
fn remove_database(file: &Path) -> Result<(), DiskError> {
    for ending in ["", "-wal", "-shm", "-journal"] {
        let mut name = file.as_os_str().to_owned();
        name.push(ending);
        match fs::remove_file(&name) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                return Err(error).about(Path::new(&name));
            }
            _ => {}
        }
    }
    Ok(())
}

/// Moves a database's files aside.
fn put_aside(file: &Path, now: When) -> Result<(), DiskError> {
    let aside = format!(
        "sqlite.old-{}-{}",
        now.unix_seconds(),
        Uuid::new_v4().simple()
    );
    for ending in ["", "-wal", "-shm"] {
        let mut from = file.as_os_str().to_owned();
        from.push(ending);
        let from = PathBuf::from(from);
        if from.is_file() {
            let mut to = file.with_extension(&aside).into_os_string();
            to.push(ending);
            disk::move_to(&from, Path::new(&to))?;
        }
    }
    Ok(())
}

/// Puts whole originals in place of kept bundles that are missing or damaged.
fn put_originals(
    database: &mut Database,
    vault: &Vault,
    events: &[Event],
    originals: &[PathBuf],
    rebuilt: &mut Rebuilt,
) -> Result<(), Step> {
    if originals.is_empty() {
        return Ok(());
    }
    let mut wanted: BTreeSet<(u64, Sha256Hex)> = BTreeSet::new();
    for event in events {
        if let What::TakenIn { bundle, bytes, .. } = &event.what
            && vault.is_whole(database, bundle)? != Some(true)
        {
            wanted.insert((*bytes, *bundle));
        }
    }
    for file in intake::files(originals)? {
        let bytes = fs::metadata(&file).about(&file)?.len();
        if !wanted.iter().any(|(of, _)| *of == bytes) {
            continue;
        }
        let sha256 = intake::digest(&file)?;
        if wanted.remove(&(bytes, sha256)) {
            vault.put_back(database, &sha256, &file)?;
            rebuilt.mended += 1;
        }
    }
    Ok(())
}

/// Makes every table from events and kept files. `enter` says whether the events are to be entered, too.
fn replay(
    database: &mut Database,
    location: &Location,
    vault: &Vault,
    events: &[Event],
    enter: bool,
    (who, now): (&str, When),
    rebuilt: &mut Rebuilt,
) -> Result<(), Step> {
    let incoming = vault.incoming()?;
    let mut criteria = JudgingCriteria::default();
    let mut surveys: BTreeSet<Uuid> = BTreeSet::new();
    let mut order: Vec<Uuid> = Vec::new();
    let mut named: HashSet<Sha256Hex> = HashSet::new();
    rebuilt.events = events.len();
    let mut one = |database: &mut Database,
                   criteria: &JudgingCriteria,
                   event: &Event,
                   lost: &mut Vec<String>|
     -> Result<(), Step> {
        let mut change = Change {
            database,
            vault,
            criteria,
            other: false,
            location,
        };
        match &event.what {
            What::TakenIn {
                bundle,
                bytes,
                name,
                survey,
                ..
            } => match read(
                &mut change,
                bundle,
                *bytes,
                name,
                &incoming.file("bundle.zip"),
            )? {
                Ok(checked) => {
                    if surveys.insert(*survey) {
                        order.push(*survey);
                    }
                    change.enter_tables(event, &checked)?;
                }
                Err(why) => lost.push(format!("{name} ({bundle}): {why}")),
            },
            What::Refused {
                file,
                name,
                bytes,
                reason,
            } if vault.has_refused(change.database, file)? => {
                change.enter_refused(&Refused {
                    file: *file,
                    name: name.clone(),
                    bytes: *bytes,
                    reason: reason.clone(),
                    refused_at: event.at.to_string(),
                })?;
            }
            What::Criteria { .. } => criteria.keep(change.database)?,
            _ => {}
        }
        Ok(())
    };
    for event in events {
        if enter {
            log::enter(database, event)?;
        }
        match &event.what {
            What::TakenIn { bundle, .. } => drop(named.insert(*bundle)),
            What::Refused { file, .. } => drop(named.insert(*file)),
            What::Criteria { codes, fans } => {
                match JudgingCriteria::new(*codes, "the log's fan list", fans) {
                    Ok(adopted) => criteria = adopted,
                    Err(error) => rebuilt.lost.push(error.to_string()),
                }
            }
            _ => {}
        }
        one(database, &criteria, event, &mut rebuilt.lost)?;
    }
    // What lies in the vault and is not in the log comes in anew, and into the log.
    let unknown = vault.kept()?.into_iter().filter(|it| !named.contains(it));
    for bundle in unknown.collect::<Vec<_>>() {
        let path = vault.path(&bundle).unwrap_or_default();
        let bytes = fs::metadata(&path).about(&path)?.len();
        let name = format!("{bundle}.zip");
        let mut change = Change {
            database: &mut *database,
            vault,
            criteria: &criteria,
            other: false,
            location,
        };
        let checked = match read(
            &mut change,
            &bundle,
            bytes,
            &name,
            &incoming.file("bundle.zip"),
        )? {
            Ok(checked) => checked,
            Err(why) => {
                rebuilt.lost.push(format!("{name}: {why}"));
                continue;
            }
        };
        let what = What::TakenIn {
            survey: checked.survey.id,
            bundle,
            revision: checked.survey.revision,
            changed: checked.survey.changed,
            bytes,
            name,
        };
        let event = log::append(database, now, who, what)?;
        one(database, &criteria, &event, &mut rebuilt.lost)?;
        rebuilt.entered += 1;
    }
    for (file, reason) in vault.refused_aside()? {
        if named.contains(&file) {
            continue;
        }
        let path = vault.refused_path(&file).unwrap_or_default();
        let what = What::Refused {
            file,
            name: format!("{file}.zip"),
            bytes: fs::metadata(&path).about(&path)?.len(),
            reason,
        };
        let event = log::append(database, now, who, what)?;
        one(database, &criteria, &event, &mut rebuilt.lost)?;
        rebuilt.entered += 1;
    }
    for id in order {
        let job = Job::of(&log::of_survey(database, id)?);
        let mut change = Change {
            database: &mut *database,
            vault,
            criteria: &criteria,
            other: false,
            location,
        };
        let shown = job.shown.map(|shown| shown.bundle);
        let sql = "SELECT 1 FROM bundle WHERE sha256 = $1";
        if change.database.row(sql, values![shown])?.is_none() {
            // Its bundle is told among what is lost; without it, there is no line.
            change.forget(id)?;
            continue;
        }
        change.project(id, Judged::Anew)?;
    }
    Ok(())
}

/// Reads a kept bundle, checks every byte and judges it; or says why it cannot be read.
fn read(
    change: &mut Change,
    bundle: &Sha256Hex,
    bytes: u64,
    name: &str,
    scratch: &Path,
) -> Result<Result<Checked, String>, Step> {
    if change.vault.is_whole(change.database, bundle)? != Some(true) {
        return Ok(Err(
            "it is missing, or its checksum does not fit.".to_owned()
        ));
    }
    let path = match change.vault.path(bundle) {
        Some(path) => path,
        None => {
            change.vault.copy_out(change.database, bundle, scratch)?;
            scratch.to_owned()
        }
    };
    let checked = || -> Result<Checked, BundleError> {
        let mut opened = Bundle::open(&path)?;
        opened.verify(Watch::default())?;
        let (survey, survey_json, summary, differences) =
            intake::read(&mut opened, change.criteria)?;
        Ok(Checked {
            sha256: *bundle,
            bytes,
            name: name.to_owned(),
            survey,
            survey_json,
            summary,
            differences,
        })
    };
    Ok(checked().map_err(|error| error.to_string()))
}

impl Change<'_> {
    /// Takes a survey out of the list; its events stay.
    fn forget(&mut self, id: Uuid) -> Result<(), Step> {
        let number = self.number_of(id)?;
        for sql in [
            "DELETE FROM captured WHERE bundle IN (SELECT sha256 FROM bundle WHERE survey = $1)",
            "DELETE FROM bundle WHERE survey = $1",
            "DELETE FROM survey WHERE number = $1",
        ] {
            self.database.run(sql, values![number])?;
        }
        Ok(())
    }
}
