//! The list of surveys, what was deleted and what was set aside.

use super::open::{Session, digest_of, read_session};
use super::{Notice, Store, StoreError, held};
use crate::disk::{self, About};
use crate::rules::Verdict;
use crate::survey::{Survey, When, pretty, read_json};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime, UNIX_EPOCH};
use uuid::Uuid;

/// What the list shows of a survey.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Facts {
    /// Which survey.
    pub id: Uuid,
    /// The job's number or name.
    pub job_reference: Option<String>,
    /// Who asked for it.
    pub client: Option<String>,
    /// Where the house stands.
    pub address: Option<String>,
    /// When it was begun.
    pub begun: When,
    /// When an answer was last changed.
    pub changed: When,
    /// How many bundles left the device.
    pub revision: u32,
    /// Whether an answer was changed after the last bundle left the device.
    pub changed_since: bool,
    /// How many spots it has.
    pub spots: usize,
    /// How many pictures it has.
    pub photos: usize,
    /// What it came to when it was last judged on this device.
    pub verdict: Option<Verdict>,
}

impl Facts {
    fn of(survey: &Survey, session: &Session) -> Self {
        let arrival = &survey.arrival;
        Facts {
            id: survey.id,
            job_reference: arrival.job_reference.clone(),
            client: arrival.client.clone(),
            address: arrival.address.clone(),
            begun: survey.begun,
            changed: survey.changed,
            revision: survey.revision,
            changed_since: session
                .bundled
                .as_ref()
                .is_some_and(|bundled| *bundled != digest_of(survey)),
            spots: survey.spots.len(),
            photos: survey.photos.len(),
            verdict: session.verdict,
        }
    }
}

/// A deleted survey that can be put back.
#[derive(Debug, Clone, PartialEq)]
pub struct Deleted {
    /// Names it among the deleted ones.
    pub key: String,
    /// When it was deleted, where that is known.
    pub deleted_at: Option<When>,
    /// What it was; `None` where its file cannot be read.
    pub facts: Option<Facts>,
}

/// Something that could not be read and was set aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetAside {
    /// Where it lies.
    pub path: PathBuf,
    /// What was wrong with it.
    pub why: String,
}

/// Size and time of a file, by which a change is told.
type Stamp = (u64, u128);

fn stamp(metadata: &Metadata) -> Option<Stamp> {
    let modified = metadata.modified().ok()?;
    let since = modified.duration_since(UNIX_EPOCH).ok()?;
    Some((metadata.len(), since.as_nanos()))
}

/// A file changed so shortly ago could change again without its time showing it.
fn is_fresh((_, nanoseconds): Stamp) -> bool {
    let settled = SystemTime::now() - Duration::from_secs(2);
    let settled = settled
        .duration_since(UNIX_EPOCH)
        .unwrap_or_default()
        .as_nanos();
    nanoseconds > settled
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Entry {
    survey: Stamp,
    session: Option<Stamp>,
    facts: Facts,
}

/// What was read of each survey, so that a list of many is up at once. Only a cache: whatever is wrong with it,
/// the surveys are read anew.
#[derive(Debug, Default)]
pub(super) struct Index {
    entries: BTreeMap<Uuid, Entry>,
}

impl Index {
    pub fn load(path: &Path) -> Self {
        let entries = fs::read(path)
            .ok()
            .and_then(|bytes| read_json("index.json", &bytes).ok())
            .unwrap_or_default();
        Index { entries }
    }
}

#[derive(Serialize, Deserialize)]
struct DeletedNote {
    at: When,
}

impl Store {
    /// The surveys on this device, the one changed last first, and what is to be said about those that could
    /// not be read. A damaged one is set aside.
    ///
    /// # Errors
    /// Where the folder itself cannot be read.
    pub fn list(&self) -> Result<(Vec<Facts>, Vec<Notice>), StoreError> {
        let folder = self.part("surveys");
        let mut index = held(&self.0.index);
        let mut entries = BTreeMap::new();
        let mut surveys = Vec::new();
        let mut notices = Vec::new();
        for entry in fs::read_dir(&folder).about(&folder)? {
            let name = entry.about(&folder)?.file_name();
            let Some(id) = name.to_str().and_then(|name| Uuid::parse_str(name).ok()) else {
                // Not a survey's folder: somebody else's, left alone.
                continue;
            };
            let stamp_of = |file: &str| {
                let path = folder.join(&name).join(file);
                fs::metadata(path).ok().as_ref().and_then(stamp)
            };
            // Looked at before the file is read: a change in between only means reading it again.
            let (now, session) = (stamp_of("survey.json"), stamp_of("session.json"));
            let known = index
                .entries
                .get(&id)
                .filter(|known| Some(known.survey) == now && known.session == session);
            let facts = match known {
                Some(known) => known.facts.clone(),
                None => match self.read_survey(id) {
                    Ok(survey) => {
                        let session = read_session(&folder.join(&name)).unwrap_or_default();
                        Facts::of(&survey, &session)
                    }
                    Err(notice) => {
                        notices.push(notice);
                        continue;
                    }
                },
            };
            if let Some(survey) = now
                && !is_fresh(survey)
                && !session.is_some_and(is_fresh)
            {
                let facts = facts.clone();
                entries.insert(
                    id,
                    Entry {
                        survey,
                        session,
                        facts,
                    },
                );
            }
            surveys.push(facts);
        }
        if entries != index.entries {
            // Not synced and not insisted on: it is a cache.
            let _ = fs::write(self.part("index.json"), pretty(&entries));
        }
        index.entries = entries;
        surveys.sort_by_key(|facts| (std::cmp::Reverse(facts.changed.unix_seconds()), facts.id));
        Ok((surveys, notices))
    }

    /// Deletes a survey so that it can be put back.
    ///
    /// # Errors
    /// Where there is none, it is open, or the disk refuses.
    pub fn delete(&self, id: Uuid, now: When) -> Result<(), StoreError> {
        let folder = self.survey_folder(id);
        if !folder.is_dir() {
            return Err(StoreError::NoSuchSurvey(id.to_string()));
        }
        if held(&self.0.open).contains(&id) {
            return Err(StoreError::IsOpen(id));
        }
        disk::write_whole(
            &folder.join("deleted.json"),
            &pretty(&DeletedNote { at: now }),
        )?;
        let to = self.free_name("deleted", &id.to_string());
        Ok(disk::move_to(&folder, &to)?)
    }

    /// The deleted surveys, the one deleted last first.
    ///
    /// # Errors
    /// Where the folder cannot be read.
    pub fn deleted(&self) -> Result<Vec<Deleted>, StoreError> {
        let folder = self.part("deleted");
        let mut deleted = Vec::new();
        for entry in fs::read_dir(&folder).about(&folder)?.flatten() {
            let path = entry.path();
            let read = |file: &str| fs::read(path.join(file)).ok();
            let note = read("deleted.json");
            let note: Option<DeletedNote> =
                note.and_then(|bytes| read_json("deleted.json", &bytes).ok());
            let survey = read("survey.json")
                .and_then(|bytes| crate::survey::read("survey.json", &bytes).ok());
            let session = read_session(&path).unwrap_or_default();
            deleted.push(Deleted {
                key: entry.file_name().to_string_lossy().into_owned(),
                deleted_at: note.map(|note| note.at),
                facts: survey.map(|survey| Facts::of(&survey, &session)),
            });
        }
        deleted.sort_by(|a, b| (b.deleted_at, &b.key).cmp(&(a.deleted_at, &a.key)));
        Ok(deleted)
    }

    /// Puts a deleted survey back as it was; `key` is that of [`Deleted`].
    ///
    /// # Errors
    /// Where there is none such, a survey of that id is there again, or the disk refuses.
    pub fn put_back(&self, key: &str) -> Result<(), StoreError> {
        let from = self.part("deleted").join(key);
        // The folder's name is the survey's id, with a number behind it where that was taken.
        let id = key.get(..36).and_then(|id| Uuid::parse_str(id).ok());
        let Some(id) = id.filter(|_| !key.contains(['/', '\\']) && from.is_dir()) else {
            return Err(StoreError::NoSuchSurvey(key.to_owned()));
        };
        let to = self.survey_folder(id);
        if fs::symlink_metadata(&to).is_ok() {
            return Err(StoreError::ThereAlready(id));
        }
        disk::move_to(&from, &to)?;
        // If it stays, the next deletion writes over it.
        let _ = fs::remove_file(to.join("deleted.json"));
        Ok(())
    }

    /// Removes the deleted surveys for good; returns how many.
    ///
    /// # Errors
    /// Where the disk refuses; those not removed yet can still be put back.
    pub fn empty_deleted(&self) -> Result<usize, StoreError> {
        let folder = self.part("deleted");
        let mut count = 0;
        for entry in fs::read_dir(&folder).about(&folder)? {
            let path = entry.about(&folder)?.path();
            fs::remove_dir_all(&path).about(&path)?;
            count += 1;
        }
        disk::sync_folder(&folder)?;
        Ok(count)
    }

    /// What was set aside since ever, with the reasons.
    ///
    /// # Errors
    /// Where the folder cannot be read.
    pub fn set_aside(&self) -> Result<Vec<SetAside>, StoreError> {
        let folder = self.part("set-aside");
        let mut aside = Vec::new();
        for entry in fs::read_dir(&folder).about(&folder)?.flatten() {
            let path = entry.path();
            let why = fs::read_to_string(path.join("why.txt")).unwrap_or_default();
            let why = why.trim().to_owned();
            aside.push(SetAside { path, why });
        }
        aside.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(aside)
    }
}
