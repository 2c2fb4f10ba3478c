//! The surveys on this device, safe through crashes.
//!
//! ```text
//! FOLDER/
//!   .lock              held while a program has the folder open
//!   settings.json      how this device reads and shows
//!   fans.toml          the office's fan list, where one was given
//!   index.json         what the list of surveys shows; only a cache
//!   last.json          which survey was open last
//!   surveys/ID/        one folder a survey
//!     survey.json      the survey, always whole
//!     session.json     where the surveyor stopped
//!     photos/          pictures, each named by its SHA-256
//!     thumbnails/      the same, small, under the same names
//!   bundles/           finished bundles, ready to be handed on
//!   deleted/           surveys that were deleted and can be put back
//!   set-aside/         what could not be read, moved here whole, with a why.txt
//! ```
//!
//! # What is promised
//! * When [`OpenSurvey::change`] returns, the change is on the disk: the survey file was written anew under a
//!   temporary name, synced, renamed, and its folder synced (see [`disk`]). Beside those two syncs it takes
//!   0.05 ms for a usual survey (`cargo bench --bench store`; the syncs took 0.5 ms on an idle ext4), so that no
//!   journal is kept, which could only be a second thing to go wrong.
//! * When it fails, disk and memory hold what they held before.
//! * A damaged file is moved aside whole, never deleted, with a [`Notice`] that names file and field, and
//!   harms nothing else. A file of a newer version is left where it is.
//! * Deleting moves; only [`Store::empty_deleted`] removes.
//! * **One program at a time.** The folder is locked while it is open and a second one is refused. On Unix the lock
//!   is `flock`, asked for directly, since the standard library has none on Android before Rust 1.98.

mod history;
mod list;
mod open;
mod settings;

pub use list::{Deleted, Facts, SetAside};
pub use open::{Bookmark, ChangeError, HalfTyped, OpenSurvey};
pub use settings::{AsSystem, FanListRefused, Settings, Shade, TextSize};

use crate::disk::{self, About, DiskError};
use crate::survey::{self, FileError, Survey, pretty, read_json};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use uuid::Uuid;

/// Why the store could not do what was asked; every sentence says what to do, and nothing changed.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The operating system refused.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// This device has no usual place for data.
    #[error("This device has no folder for data. Name one.")]
    NoDataFolder,
    /// Another program has the folder open.
    #[error("{}: another joistlight has these surveys open. Close it first.", .0.display())]
    InUse(PathBuf),
    /// There is no such survey.
    #[error("There is no survey {0} on this device.")]
    NoSuchSurvey(String),
    /// There is one already.
    #[error("There is a survey {0} on this device already.")]
    ThereAlready(Uuid),
    /// It is open.
    #[error("The survey {0} is open. Close it first.")]
    IsOpen(Uuid),
    /// It could not be read; the notice says what became of it.
    #[error("{0}")]
    Unreadable(Notice),
    /// A picture's bytes are not those that its record names.
    #[error(
        "The picture is not the one that was taken in; its SHA-256 should be {0}. Take it in again."
    )]
    OtherPicture(String),
}

/// Something that the user should hear of, though the work goes on.
#[derive(Debug, thiserror::Error)]
pub enum Notice {
    /// A damaged file was moved aside, or, where the disk would not let it, left where it is.
    #[error("{why} {}", match moved_to {
        Some(to) => format!("It was set aside, whole, as {}; everything else is unharmed.", to.display()),
        None => "It could not be moved aside and stays where it is; everything else is unharmed.".to_owned(),
    })]
    SetAside {
        /// What is wrong with it.
        why: String,
        /// Where it lies now.
        moved_to: Option<PathBuf>,
    },
    /// A survey of a newer version, left as it is.
    #[error(transparent)]
    Newer(FileError),
    /// A file that the operating system would not give; left as it is.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// Where the surveyor stopped is not known any more.
    #[error("{0} The survey itself is unharmed; it opens at its first page.")]
    PlaceForgotten(FileError),
}

/// The surveys on this device. Clones share the same folder.
#[derive(Debug, Clone)]
pub struct Store(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    folder: PathBuf,
    /// Held as long as the store is.
    _lock: File,
    open: Mutex<BTreeSet<Uuid>>,
    index: Mutex<list::Index>,
    canonical: PathBuf,
}

/// Locks a file until it is closed; `false` where somebody else has.
#[cfg(unix)]
fn try_lock(file: &File) -> io::Result<bool> {
    use rustix::fs::{FlockOperation, flock};
    match flock(file, FlockOperation::NonBlockingLockExclusive) {
        Ok(()) => Ok(true),
        Err(rustix::io::Errno::WOULDBLOCK) => Ok(false),
        Err(error) => Err(error.into()),
    }
}

/// Locks a file until it is closed; `false` where somebody else has.
#[cfg(not(unix))]
fn try_lock(file: &File) -> io::Result<bool> {
    match file.try_lock() {
        Ok(()) => Ok(true),
        Err(fs::TryLockError::WouldBlock) => Ok(false),
        Err(fs::TryLockError::Error(error)) => Err(error),
    }
}

/// The folders that this process has open, told with a sentence of their own before a lock is asked for.
static FOLDERS: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// The data behind a lock are whole whatever happened to whoever held it.
fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Drop for Inner {
    fn drop(&mut self) {
        held(&FOLDERS).remove(&self.canonical);
    }
}

#[derive(Serialize, Deserialize)]
struct Last {
    survey: Option<Uuid>,
}

impl Store {
    /// The platform's folder for this program's data. Android has none: there the app passes its own.
    ///
    /// # Errors
    /// Where the platform names none.
    pub fn platform_folder() -> Result<PathBuf, StoreError> {
        directories::ProjectDirs::from("", "", "joistlight")
            .map(|folders| folders.data_local_dir().to_owned())
            .ok_or(StoreError::NoDataFolder)
    }

    /// Opens the store in `folder`, which is made where it is missing; clears what a crash left behind.
    ///
    /// # Errors
    /// Where another program has it open, or the folder cannot be made or written to.
    pub fn open(folder: &Path) -> Result<Self, StoreError> {
        fs::create_dir_all(folder).about(folder)?;
        let canonical = folder.canonicalize().about(folder)?;
        let lock_path = folder.join(".lock");
        let lock = File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&lock_path)
            .about(&lock_path)?;
        if !try_lock(&lock).about(&lock_path)? {
            return Err(StoreError::InUse(folder.to_owned()));
        }
        if !held(&FOLDERS).insert(canonical.clone()) {
            return Err(StoreError::InUse(folder.to_owned()));
        }
        // From here on dropping the store takes the folder off the list again.
        let store = Store(Arc::new(Inner {
            folder: folder.to_owned(),
            _lock: lock,
            open: Mutex::default(),
            index: Mutex::new(list::Index::load(&folder.join("index.json"))),
            canonical,
        }));
        for part in ["surveys", "bundles", "deleted", "set-aside"] {
            let path = folder.join(part);
            fs::create_dir_all(&path).about(&path)?;
        }
        disk::sync_folder(folder)?;
        disk::clear_leftovers(folder)?;
        disk::clear_leftovers(&store.bundles())?;
        store.clear_unfinished()?;
        Ok(store)
    }

    /// Removes folders of surveys that a crash kept from being begun; nothing was acknowledged of them.
    fn clear_unfinished(&self) -> Result<(), StoreError> {
        let surveys = self.part("surveys");
        for entry in fs::read_dir(&surveys).about(&surveys)?.flatten() {
            if disk::is_leftover(&entry.file_name().to_string_lossy()) {
                let _ = fs::remove_dir_all(entry.path());
            }
        }
        Ok(())
    }

    /// The store's folder.
    pub fn folder(&self) -> &Path {
        &self.0.folder
    }

    /// The folder where finished bundles are put before they are handed on.
    pub fn bundles(&self) -> PathBuf {
        self.part("bundles")
    }

    fn part(&self, name: &str) -> PathBuf {
        self.0.folder.join(name)
    }

    fn survey_folder(&self, id: Uuid) -> PathBuf {
        self.part("surveys").join(id.to_string())
    }

    /// Puts a new survey on the disk and opens it.
    ///
    /// # Errors
    /// Where there is a survey with this id already, or the disk refuses.
    pub fn begin(&self, survey: Survey) -> Result<OpenSurvey, StoreError> {
        let folder = self.survey_folder(survey.id);
        if fs::symlink_metadata(&folder).is_ok() {
            return Err(StoreError::ThereAlready(survey.id));
        }
        let made = self.part("surveys").join(format!(".{}.part", survey.id));
        let _ = fs::remove_dir_all(&made);
        for path in [&made, &made.join("photos"), &made.join("thumbnails")] {
            fs::create_dir(path).about(path)?;
        }
        disk::write_whole(&made.join("survey.json"), &survey.to_json())?;
        disk::move_to(&made, &folder)?;
        self.survey(survey.id)
    }

    /// Puts a survey of another device on the disk, with the pictures from the folders `photos` and `thumbnails`
    /// in `from`, which is on the same disk and is used up. It is there whole, or not at all.
    ///
    /// # Errors
    /// Where there is a survey with this id already, or the disk refuses.
    pub fn take_over(&self, survey: &Survey, from: &Path) -> Result<(), StoreError> {
        let folder = self.survey_folder(survey.id);
        if fs::symlink_metadata(&folder).is_ok() {
            return Err(StoreError::ThereAlready(survey.id));
        }
        let made = self.part("surveys").join(format!(".{}.part", survey.id));
        let _ = fs::remove_dir_all(&made);
        fs::create_dir(&made).about(&made)?;
        for part in ["photos", "thumbnails"] {
            let (from, to) = (from.join(part), made.join(part));
            if from.is_dir() {
                disk::move_to(&from, &to)?;
            } else {
                fs::create_dir(&to).about(&to)?;
            }
        }
        disk::write_whole(&made.join("survey.json"), &survey.to_json())?;
        Ok(disk::move_to(&made, &folder)?)
    }

    /// Opens a survey as it was left; where something beside it was damaged, [`OpenSurvey::notices`] says so.
    ///
    /// # Errors
    /// Where there is none, it is open already, or it cannot be read; a damaged one has been set aside then.
    pub fn survey(&self, id: Uuid) -> Result<OpenSurvey, StoreError> {
        let folder = self.survey_folder(id);
        if !folder.is_dir() {
            return Err(StoreError::NoSuchSurvey(id.to_string()));
        }
        if !held(&self.0.open).insert(id) {
            return Err(StoreError::IsOpen(id));
        }
        let opened = self
            .read_survey(id)
            .map_err(StoreError::Unreadable)
            .and_then(|survey| OpenSurvey::new(self.clone(), folder, survey));
        if opened.is_err() {
            held(&self.0.open).remove(&id);
        }
        opened
    }

    /// Reads a survey's file; what is damaged is set aside.
    fn read_survey(&self, id: Uuid) -> Result<Survey, Notice> {
        let folder = self.survey_folder(id);
        let path = folder.join("survey.json");
        let name = path.display().to_string();
        let why = match fs::read(&path) {
            Ok(bytes) => match survey::read(&name, &bytes) {
                Ok(survey) if survey.id == id => return Ok(survey),
                Ok(survey) => format!(
                    "{name}, id: the folder is not that of survey {}.",
                    survey.id
                ),
                Err(newer @ FileError::Newer { .. }) => return Err(Notice::Newer(newer)),
                Err(error) => error.to_string(),
            },
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                format!("{name}: the file is missing.")
            }
            Err(source) => return Err(Notice::Disk(DiskError { path, source })),
        };
        Err(self.set_aside_path(&folder, why))
    }

    /// Moves a damaged file or folder aside, whole, with the reason beside it.
    fn set_aside_path(&self, path: &Path, why: String) -> Notice {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let place = self.free_name("set-aside", &name);
        // A folder around what is set aside, so that the reason lies beside it and nothing in it changes.
        let moved = fs::create_dir(&place)
            .about(&place)
            .and_then(|()| disk::write_whole(&place.join("why.txt"), format!("{why}\n").as_bytes()))
            .and_then(|()| disk::move_to(path, &place.join(name.as_ref())));
        if moved.is_err() {
            let _ = fs::remove_dir_all(&place);
        }
        Notice::SetAside {
            why,
            moved_to: moved.is_ok().then_some(place),
        }
    }

    /// A path in one of the store's folders that nothing stands at: `NAME`, or `NAME-2`, `NAME-3` …
    fn free_name(&self, part: &str, name: &str) -> PathBuf {
        let folder = self.part(part);
        let mut path = folder.join(name);
        let mut number = 2;
        while fs::symlink_metadata(&path).is_ok() {
            path = folder.join(format!("{name}-{number}"));
            number += 1;
        }
        path
    }

    /// The survey that was open last, where it is still there.
    pub fn last_open(&self) -> Option<Uuid> {
        let path = self.part("last.json");
        let last: Last = read_json("last.json", &fs::read(path).ok()?).ok()?;
        last.survey.filter(|id| self.survey_folder(*id).is_dir())
    }

    /// Notes which survey is open, so that the next start finds it; `None` for the list of surveys.
    ///
    /// # Errors
    /// Where the disk refuses.
    pub fn note_open(&self, survey: Option<Uuid>) -> Result<(), StoreError> {
        Ok(disk::write_whole(
            &self.part("last.json"),
            &pretty(&Last { survey }),
        )?)
    }
}
