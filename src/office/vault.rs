//! The bundles themselves, byte for byte, named by their checksums; and the files that were refused.
//!
//! A register in a folder keeps them beside it: `bundles/ab/abcd….zip`, and `refused/abcd….zip` with the reason
//! in `abcd….txt`. A register on a server keeps them in a table, in pieces, so that every office has them.
//! Files come in under `incoming/` (or a temporary folder); what an intake that was cut off left there is cleared by the next one.

use super::database::{Database, DatabaseError, values};
use crate::digest::Sha256Hex;
use crate::disk::{self, About, DiskError, Draft};
use sha2::{Digest, Sha256};
use std::fs::{self, File, TryLockError};
use std::io::{BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The size of the pieces in a server's table, and of the steps in which files are read.
const PIECE: usize = 1 << 20;

/// Why a file was not kept or given back.
#[derive(Debug, thiserror::Error)]
pub(super) enum VaultError {
    #[error(transparent)]
    Database(#[from] DatabaseError),
    #[error(transparent)]
    Disk(#[from] DiskError),
}

/// Where the bundles are.
#[derive(Debug)]
pub struct Vault {
    /// The register's folder; nothing where they are in a table.
    folder: Option<PathBuf>,
}

/// A folder for the files of one intake; gone when dropped.
#[derive(Debug)]
pub struct Incoming {
    folder: PathBuf,
    /// Held while the folder is in use, so that another intake does not clear it.
    lock: File,
}

impl Incoming {
    /// Where a file may come in.
    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }
}

impl Drop for Incoming {
    fn drop(&mut self) {
        // If that fails, the next intake clears it.
        let _ = fs::remove_dir_all(&self.folder);
        let _ = self.lock.unlock();
    }
}

impl Vault {
    /// A vault beside the register in `folder`.
    ///
    /// # Errors
    /// A folder that cannot be made.
    pub(super) fn folder(folder: &Path) -> Result<Self, DiskError> {
        for part in ["bundles", "refused", "incoming"] {
            let part = folder.join(part);
            fs::create_dir_all(&part).about(&part)?;
        }
        Ok(Vault {
            folder: Some(folder.to_owned()),
        })
    }

    /// The vault beside the register in `folder`, as it lies there.
    pub(super) fn beside(folder: &Path) -> Self {
        Vault {
            folder: Some(folder.to_owned()),
        }
    }

    /// A vault in a server's table.
    pub(super) fn table() -> Self {
        Vault { folder: None }
    }

    /// A fresh folder for files coming in: beside the kept ones, on the same disk, or among the system's temporary
    /// ones where bundles are in a table. What earlier intakes left behind is cleared, unless they are at work.
    ///
    /// # Errors
    /// The disk.
    pub fn incoming(&self) -> Result<Incoming, DiskError> {
        let Some(folder) = &self.folder else {
            return incoming_of_the_system();
        };
        let scratch = folder.join("incoming");
        // One at a time, or a folder without its lock yet would be taken for one that was left behind.
        let gate = scratch.join("lock");
        let gate = File::create(&gate)
            .and_then(|file| file.lock().map(|()| file))
            .about(&gate)?;
        for entry in fs::read_dir(&scratch).about(&scratch)?.flatten() {
            if entry.path().is_dir() && !at_work(&entry.path()) {
                let _ = fs::remove_dir_all(entry.path());
            }
        }
        let incoming = incoming_in(&scratch, "")?;
        drop(gate);
        Ok(incoming)
    }

    /// Where a kept bundle lies, where bundles are files.
    pub fn path(&self, bundle: &Sha256Hex) -> Option<PathBuf> {
        let folder = self.folder.as_ref()?;
        let name = bundle.to_string();
        Some(
            folder
                .join("bundles")
                .join(&name[..2])
                .join(format!("{name}.zip")),
        )
    }

    /// Where a refused file lies, where files are files.
    pub fn refused_path(&self, file: &Sha256Hex) -> Option<PathBuf> {
        let folder = self.folder.as_ref()?;
        Some(folder.join("refused").join(format!("{file}.zip")))
    }

    /// Keeps a bundle that came in at `file`; on return it is on the disk. Nothing to do where they are in a table.
    pub(super) fn keep(&self, bundle: &Sha256Hex, file: &Path) -> Result<(), DiskError> {
        match self.path(bundle) {
            Some(path) => move_in(file, &path),
            None => Ok(()),
        }
    }

    /// Keeps a refused file that came in at `file`, with the reason beside it.
    pub(super) fn keep_refused(
        &self,
        refused: &Sha256Hex,
        file: &Path,
        reason: &str,
    ) -> Result<(), DiskError> {
        let Some(path) = self.refused_path(refused) else {
            return Ok(());
        };
        move_in(file, &path)?;
        self.note_refused(refused, reason)
    }

    /// Writes the reason beside a refused file.
    pub(super) fn note_refused(&self, refused: &Sha256Hex, reason: &str) -> Result<(), DiskError> {
        match self.refused_path(refused) {
            Some(path) => {
                let reason = format!("{reason}\n");
                disk::write_whole(&path.with_extension("txt"), reason.as_bytes())
            }
            None => Ok(()),
        }
    }

    /// Keeps a file in the table, where files are in one.
    pub(super) fn keep_in(
        &self,
        database: &mut Database,
        name: &Sha256Hex,
        file: &Path,
    ) -> Result<(), VaultError> {
        if self.folder.is_some() {
            return Ok(());
        }
        database.run("DELETE FROM piece WHERE file = $1", values![*name])?;
        let mut from = File::open(file).about(file)?;
        for part in 0_i64.. {
            let mut content = Vec::with_capacity(PIECE);
            (&mut from)
                .take(PIECE as u64)
                .read_to_end(&mut content)
                .about(file)?;
            if content.is_empty() {
                break;
            }
            database.run(
                "INSERT INTO piece (file, part, content) VALUES ($1, $2, $3)",
                values![*name, part, content],
            )?;
        }
        Ok(())
    }

    /// A file that was refused earlier is let in now: it no longer lies with the refused ones.
    pub(super) fn forget_refused(&self, file: &Sha256Hex) -> Result<(), DiskError> {
        let Some(path) = self.refused_path(file) else {
            // In a table, refused and kept files lie together, and this one stays.
            return Ok(());
        };
        for path in [path.with_extension("txt"), path] {
            match fs::remove_file(&path) {
                Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                    return Err(error).about(&path);
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// Whether a kept file has the bytes that it had; nothing where it is missing.
    pub(super) fn is_whole(
        &self,
        database: &mut Database,
        bundle: &Sha256Hex,
    ) -> Result<Option<bool>, VaultError> {
        let mut there = false;
        let whole = whole(bundle, |piece| {
            there = self.read(database, bundle, piece)?;
            Ok(there)
        })?;
        Ok(there.then_some(whole))
    }

    /// Hands a kept file's bytes out piece by piece; `false` where there is none.
    fn read(
        &self,
        database: &mut Database,
        bundle: &Sha256Hex,
        piece: &mut dyn FnMut(&[u8]) -> Result<(), DiskError>,
    ) -> Result<bool, VaultError> {
        match self.path(bundle) {
            Some(path) => read_file(path, piece),
            None => read_table(database, bundle, piece),
        }
    }

    /// Makes a kept file of another vault this one's, unless it has it whole; says whether it was copied. Nothing where the
    /// other one has it not, or not whole.
    pub(super) fn take_over(
        &self,
        name: &Sha256Hex,
        from: &Vault,
        database: &mut Database,
        refused: bool,
    ) -> Result<Option<bool>, VaultError> {
        let path = |vault: &Vault| match refused {
            true => vault.refused_path(name),
            false => vault.path(name),
        };
        let Some(to) = path(self) else {
            return Ok(None);
        };
        if whole(name, |piece| read_file(to.clone(), piece))? {
            return Ok(Some(false));
        }
        let folder = disk::folder_of(&to);
        fs::create_dir_all(folder).about(folder)?;
        let copied = copy_whole(name, &to, |piece| match path(from) {
            Some(path) => read_file(path, piece),
            None => read_table(database, name, piece),
        })?;
        Ok(copied.then_some(true))
    }

    /// Puts a whole original in place of a kept bundle.
    pub(super) fn put_back(
        &self,
        database: &mut Database,
        name: &Sha256Hex,
        original: &Path,
    ) -> Result<(), VaultError> {
        let Some(to) = self.path(name) else {
            return self.keep_in(database, name, original);
        };
        let folder = disk::folder_of(&to);
        fs::create_dir_all(folder).about(folder)?;
        copy_whole(name, &to, |piece| read_file(original.to_owned(), piece))?;
        Ok(())
    }

    /// Whether a refused file is still kept.
    pub(super) fn has_refused(
        &self,
        database: &mut Database,
        file: &Sha256Hex,
    ) -> Result<bool, DatabaseError> {
        match self.refused_path(file) {
            Some(path) => Ok(path.is_file()),
            None => {
                let sql = "SELECT 1 FROM piece WHERE file = $1 LIMIT 1";
                Ok(database.row(sql, values![*file])?.is_some())
            }
        }
    }

    /// The refused files that lie in the vault's folder, with the reasons beside them.
    pub(super) fn refused_aside(&self) -> Result<Vec<(Sha256Hex, String)>, DiskError> {
        let Some(folder) = &self.folder else {
            return Ok(Vec::new());
        };
        let folder = folder.join("refused");
        let mut aside = Vec::new();
        for entry in fs::read_dir(&folder).about(&folder)? {
            let path = entry.about(&folder)?.path();
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let name = name.strip_suffix(".zip").and_then(|name| name.parse().ok());
            if let Some(name) = name {
                let reason = fs::read_to_string(path.with_extension("txt")).unwrap_or_default();
                aside.push((name, reason.trim_end().to_owned()));
            }
        }
        aside.sort();
        Ok(aside)
    }

    /// The names of the bundles that lie in the vault's folder; none where they are in a table.
    pub(super) fn kept(&self) -> Result<Vec<Sha256Hex>, DiskError> {
        let Some(folder) = &self.folder else {
            return Ok(Vec::new());
        };
        let bundles = folder.join("bundles");
        let mut kept = Vec::new();
        let entries = match fs::read_dir(&bundles) {
            Ok(entries) => entries,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(kept),
            Err(error) => return Err(error).about(&bundles),
        };
        for part in entries {
            let part = part.about(&bundles)?.path();
            if !part.is_dir() {
                continue;
            }
            for file in fs::read_dir(&part).about(&part)? {
                let name = file.about(&part)?.file_name();
                let name = name.to_string_lossy();
                let name = name.strip_suffix(".zip");
                kept.extend(name.and_then(|it| it.parse::<Sha256Hex>().ok()));
            }
        }
        kept.sort();
        Ok(kept)
    }

    /// Whether any bundle lies in the vault's folder.
    pub(super) fn any(&self) -> Result<bool, DiskError> {
        Ok(!self.kept()?.is_empty())
    }

    /// Copies a kept bundle to `to` byte for byte; `false` where it is missing or its bytes are other ones now.
    pub(super) fn copy_out(
        &self,
        database: &mut Database,
        bundle: &Sha256Hex,
        to: &Path,
    ) -> Result<bool, VaultError> {
        copy_whole(bundle, to, |piece| self.read(database, bundle, piece))
    }
}

/// What takes the pieces of a file.
type Piece<'a> = &'a mut dyn FnMut(&[u8]) -> Result<(), DiskError>;

fn read_file(path: PathBuf, piece: Piece) -> Result<bool, VaultError> {
    let mut from = match File::open(&path) {
        Ok(file) => file,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(false),
        Err(source) => return Err(DiskError { path, source }.into()),
    };
    let mut buffer = vec![0; PIECE];
    loop {
        match from.read(&mut buffer).about(&path)? {
            0 => return Ok(true),
            count => piece(&buffer[..count])?,
        }
    }
}

fn read_table(database: &mut Database, name: &Sha256Hex, piece: Piece) -> Result<bool, VaultError> {
    let mut there = false;
    let sql = "SELECT content FROM piece WHERE file = $1 ORDER BY part";
    database.query_each(sql, values![*name], |row| {
        there = true;
        piece(&row.get::<Vec<u8>>("content")?)?;
        Ok::<_, VaultError>(())
    })?;
    Ok(there)
}

/// Whether what is read has the checksum that it is named by.
fn whole(
    name: &Sha256Hex,
    read: impl FnOnce(Piece) -> Result<bool, VaultError>,
) -> Result<bool, VaultError> {
    let mut hash = Sha256::new();
    read(&mut |bytes| {
        hash.update(bytes);
        Ok(())
    })?;
    Ok(Sha256Hex::from_bytes(hash.finalize().into()) == *name)
}

/// Writes what is read to a file; `false` where it has not the checksum that it is named by, and then there is no file.
fn copy_whole(
    name: &Sha256Hex,
    to: &Path,
    read: impl FnOnce(Piece) -> Result<bool, VaultError>,
) -> Result<bool, VaultError> {
    let mut draft = BufWriter::new(Draft::begin(to)?);
    let whole = whole(name, |piece| {
        read(&mut |bytes: &[u8]| {
            draft.write_all(bytes).about(to)?;
            piece(bytes)
        })
    })?;
    if !whole {
        return Ok(false);
    }
    let draft = draft.into_inner().map_err(|error| error.into_error());
    draft.about(to)?.keep()?;
    Ok(true)
}

/// Whether an intake still uses this folder.
fn at_work(folder: &Path) -> bool {
    let lock = File::open(folder.join("lock"));
    lock.is_ok_and(|lock| matches!(lock.try_lock(), Err(TryLockError::WouldBlock)))
}

/// A new folder of a name that nobody can know before, with its lock held.
fn incoming_in(scratch: &Path, before: &str) -> Result<Incoming, DiskError> {
    let folder = scratch.join(format!("{before}{}", uuid::Uuid::new_v4()));
    #[allow(unused_mut)] // elsewhere a folder has no mode
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(&folder).about(&folder)?;
    let path = folder.join("lock");
    let lock = File::create(&path).about(&path)?;
    lock.lock().about(&path)?;
    Ok(Incoming { folder, lock })
}

/// Among the system's temporary folders, which others use too: only what this user made an hour ago or earlier, and
/// no longer uses, is cleared.
fn incoming_of_the_system() -> Result<Incoming, DiskError> {
    const NAME: &str = "joistlight-incoming-";
    const HOUR: Duration = Duration::from_secs(3600);
    let scratch = std::env::temp_dir();
    let incoming = incoming_in(&scratch, NAME)?;
    let own = fs::symlink_metadata(&incoming.folder).about(&incoming.folder)?;
    for entry in fs::read_dir(&scratch).about(&scratch)?.flatten() {
        let path = entry.path();
        let Ok(metadata) = fs::symlink_metadata(&path) else {
            continue;
        };
        let old = metadata
            .modified()
            .is_ok_and(|at| at.elapsed().is_ok_and(|age| age > HOUR));
        let named = entry.file_name().to_string_lossy().starts_with(NAME);
        if named && metadata.is_dir() && same_owner(&metadata, &own) && old && !at_work(&path) {
            let _ = fs::remove_dir_all(path);
        }
    }
    Ok(incoming)
}

/// Whether two files belong to the same user. Elsewhere than on Unix the temporary folder is each user's own.
fn same_owner(one: &fs::Metadata, other: &fs::Metadata) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        one.uid() == other.uid()
    }
    #[cfg(not(unix))]
    {
        let _ = (one, other);
        true
    }
}

/// Syncs a file that came in and moves it to its place.
fn move_in(file: &Path, to: &Path) -> Result<(), DiskError> {
    File::open(file)
        .and_then(|file| file.sync_all())
        .about(file)?;
    let folder = disk::folder_of(to);
    if !folder.is_dir() {
        fs::create_dir_all(folder).about(folder)?;
        disk::sync_folder(disk::folder_of(folder))?;
    }
    fs::rename(file, to).about(to)?;
    disk::sync_folder(folder)
}
