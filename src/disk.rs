//! Files that are whole or not there.
//!
//! A file is written under a temporary name in its own folder, synced, renamed over the old one, and the
//! folder is synced. Whoever looks, also after a crash or a lost power line, finds the old file or the new
//! one. The temporary name starts with a dot and ends with `.part`; [`clear_leftovers`] removes what a crash
//! left under such names.

use std::fmt;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Seek, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

/// The operating system refused something about a file or a folder; `Display` names it and says what to do.
#[derive(Debug)]
pub struct DiskError {
    /// The file or folder.
    pub path: PathBuf,
    /// What the operating system said.
    pub source: io::Error,
}

impl fmt::Display for DiskError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = self.path.display();
        match self.source.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => write!(
                f,
                "{path}: there is no space left. What was saved before is unharmed; make room and try again."
            ),
            io::ErrorKind::FileTooLarge => write!(
                f,
                "{path}: the file may not grow so large here. What was saved before is unharmed; \
                 make room or choose another folder."
            ),
            io::ErrorKind::ReadOnlyFilesystem => write!(
                f,
                "{path}: this can only be read, not written. What was saved before is unharmed; \
                 choose another folder."
            ),
            io::ErrorKind::PermissionDenied => write!(
                f,
                "{path}: joistlight is not allowed in here. Allow it, or choose another folder."
            ),
            io::ErrorKind::NotFound => write!(f, "{path}: this is not there (any more)."),
            _ => write!(f, "{path}: {}.", self.source),
        }
    }
}

impl std::error::Error for DiskError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.source)
    }
}

/// Says which file or folder an error was about.
pub trait About<T> {
    /// The error with its path.
    fn about(self, path: &Path) -> Result<T, DiskError>;
}

impl<T> About<T> for io::Result<T> {
    fn about(self, path: &Path) -> Result<T, DiskError> {
        self.map_err(|source| DiskError {
            path: path.to_owned(),
            source,
        })
    }
}

/// A file in the making, under a temporary name beside its final one; gone when dropped before [`Draft::keep`].
#[derive(Debug)]
pub struct Draft {
    file: File,
    at: PathBuf,
    to: PathBuf,
    kept: bool,
}

impl Draft {
    /// Begins a file that will stand at `to`, whose folder must be there.
    ///
    /// # Errors
    /// Where the folder is missing, full or not to be written to.
    pub fn begin(to: &Path) -> Result<Self, DiskError> {
        static COUNT: AtomicU64 = AtomicU64::new(0);
        let name = to.file_name().unwrap_or_default().to_string_lossy();
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let at = to.with_file_name(format!(".{name}.{}-{count}.part", std::process::id()));
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(true)
            .open(&at)
            .about(to)?;
        Ok(Draft {
            file,
            at,
            to: to.to_owned(),
            kept: false,
        })
    }

    /// Where the file will stand.
    pub fn path(&self) -> &Path {
        &self.to
    }

    /// Where it stands until it is kept.
    pub fn temporary(&self) -> &Path {
        &self.at
    }

    /// Makes the file the one at its final name, in place of any that was there; on return it is on the disk.
    ///
    /// # Errors
    /// Where the disk is full or refuses; the earlier file is as it was then.
    pub fn keep(mut self) -> Result<(), DiskError> {
        self.file.sync_all().about(&self.to)?;
        fs::rename(&self.at, &self.to).about(&self.to)?;
        self.kept = true;
        sync_folder(folder_of(&self.to))
    }
}

impl Drop for Draft {
    fn drop(&mut self) {
        if !self.kept {
            // If even that fails, the next start clears it.
            let _ = fs::remove_file(&self.at);
        }
    }
}

impl Write for Draft {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl io::Read for Draft {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        self.file.read(bytes)
    }
}

impl Seek for Draft {
    fn seek(&mut self, to: io::SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

/// Writes a whole file; on return it is on the disk.
///
/// # Errors
/// Where the disk is full or refuses; the earlier file is as it was then.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), DiskError> {
    let mut draft = Draft::begin(path)?;
    draft.write_all(bytes).about(path)?;
    draft.keep()
}

/// Moves a file or folder on the same disk; on return that is on the disk. Nothing may stand at `to`.
///
/// # Errors
/// Where something stands at `to`, or the system refuses.
pub fn move_to(from: &Path, to: &Path) -> Result<(), DiskError> {
    if fs::symlink_metadata(to).is_ok() {
        return Err(io::Error::from(io::ErrorKind::AlreadyExists)).about(to);
    }
    fs::rename(from, to).about(from)?;
    sync_folder(folder_of(to))?;
    sync_folder(folder_of(from))
}

/// Makes sure that what was made, renamed or removed in a folder is on the disk.
///
/// # Errors
/// Where the folder cannot be opened, or the disk refuses.
pub fn sync_folder(folder: &Path) -> Result<(), DiskError> {
    // Windows cannot sync a folder, and keeps renames in its journal.
    if cfg!(unix) {
        File::open(folder)
            .and_then(|folder| folder.sync_all())
            .about(folder)?;
    }
    Ok(())
}

/// The folder in which a file stands.
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Whether a file name is one of a [`Draft`].
pub fn is_leftover(name: &str) -> bool {
    name.starts_with('.') && name.ends_with(".part")
}

/// Removes what a crash left in a folder that nobody else writes to.
///
/// # Errors
/// Where the folder cannot be read. What cannot be removed stays.
pub fn clear_leftovers(folder: &Path) -> Result<(), DiskError> {
    for entry in fs::read_dir(folder).about(folder)?.flatten() {
        if is_leftover(&entry.file_name().to_string_lossy()) {
            let _ = fs::remove_file(entry.path());
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_draft_that_is_dropped_leaves_the_earlier_file_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        write_whole(&path, b"old").unwrap();
        let mut draft = Draft::begin(&path).unwrap();
        draft.write_all(b"half").unwrap();
        drop(draft);
        assert_eq!(fs::read(&path).unwrap(), b"old");
        write_whole(&path, b"new").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_move_never_covers_what_is_there() {
        let folder = tempfile::tempdir().unwrap();
        let (a, b) = (folder.path().join("a"), folder.path().join("b"));
        fs::create_dir(&a).unwrap();
        fs::create_dir(&b).unwrap();
        assert!(move_to(&a, &b).is_err());
        fs::remove_dir(&b).unwrap();
        move_to(&a, &b).unwrap();
        assert!(b.is_dir() && !a.exists());
    }

    #[test]
    fn leftovers_go_and_everything_else_stays() {
        let folder = tempfile::tempdir().unwrap();
        for name in [".survey.json.12-0.part", "survey.json", ".lock", "x.part"] {
            fs::write(folder.path().join(name), "").unwrap();
        }
        clear_leftovers(folder.path()).unwrap();
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
    }

    #[test]
    fn an_error_names_the_file_and_says_what_to_do() {
        let error = write_whole(Path::new("/nowhere/at/all.json"), b"").unwrap_err();
        assert_eq!(
            error.to_string(),
            "/nowhere/at/all.json: this is not there (any more)."
        );
        let full = DiskError {
            path: "a".into(),
            source: io::ErrorKind::StorageFull.into(),
        };
        assert!(full.to_string().contains("no space left"));
    }
}
