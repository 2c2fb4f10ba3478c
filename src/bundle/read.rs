//! Reading a bundle.

use super::bag::{self, Info, Manifest};
use super::judged::{self, Judged};
use super::layout::{Entry, Layout, Refusal};
use super::problem::{BundleError, Problem};
use super::{ENTRY_MOST, SURVEY_MOST, Watch};
use crate::digest::Sha256Hex;
use crate::disk::{self, About, DiskError};
use crate::photo;
use crate::survey::{self, Survey, visible};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

/// The most bytes of one of the bag's own files (4 MiB).
const TAG_MOST: u64 = 4 << 20;

/// The files of a payload that are no pictures; all are there in every bundle.
const TEXTS: [&str; 4] = [
    "data/findings.json",
    "data/report.html",
    "data/survey.json",
    "data/survey.schema.json",
];
/// The folders of a bundle, which an archive may or may not name.
const FOLDERS: [&str; 4] = ["", "data", "data/photos", "data/thumbnails"];

/// A bundle that is open for reading.
///
/// What stands in it was written by somebody else: survey and findings have been checked, but the report is a
/// page that may hold anything. Make one anew rather than show it.
#[derive(Debug)]
pub struct Bundle {
    file: String,
    layout: Layout,
    /// Files by path within the bag.
    entries: BTreeMap<String, Entry>,
    manifest: Manifest,
    manifest_digest: Sha256Hex,
    info: Info,
    survey: Survey,
    findings: Judged,
}

/// Which of the two an entry with a picture is.
#[derive(Clone, Copy, PartialEq)]
enum Picture<'a> {
    Large(&'a str),
    Small(&'a str),
}

/// The picture that a path is for, told by folder and name.
fn picture_of(path: &str) -> Option<Picture<'_>> {
    let (folder, name) = path.rsplit_once('/')?;
    let sha256 = name.strip_suffix(".jpg")?;
    sha256.parse::<Sha256Hex>().ok()?;
    match folder {
        "data/photos" => Some(Picture::Large(sha256)),
        "data/thumbnails" => Some(Picture::Small(sha256)),
        _ => None,
    }
}

fn about(entry: &str, problem: Problem) -> Refusal {
    (Some(entry.to_owned()), problem)
}

impl Bundle {
    /// Opens a bundle and checks all of it that needs no picture: the archive's layout, the bag's own files,
    /// names and sizes of the payload, the survey, the findings, and that the pictures which the survey names
    /// are there. Neither the pictures nor the report are read; see [`verify`](Self::verify).
    ///
    /// # Errors
    /// The first thing wrong, with the entry that it is wrong with.
    pub fn open(path: &Path) -> Result<Self, BundleError> {
        let file = path.display().to_string();
        open(path, &file).map_err(|refusal| refused(&file, refusal))
    }

    /// The survey.
    pub fn survey(&self) -> &Survey {
        &self.survey
    }

    /// The findings as the phone saw them.
    pub fn findings(&self) -> &Judged {
        &self.findings
    }

    /// The program that wrote it, and its version.
    pub fn program(&self) -> &str {
        &self.info.program
    }

    /// The SHA-256 of the manifest. Two bundles that have it alike hold the same files, to the byte.
    pub fn manifest_sha256(&self) -> Sha256Hex {
        self.manifest_digest
    }

    /// Paths and sizes in bytes of the payload's files, such as `data/survey.json`.
    pub fn files(&self) -> impl Iterator<Item = (&str, u64)> {
        self.manifest
            .keys()
            .map(|path| (path.as_str(), self.entries[path].bytes))
    }

    /// One file of the payload, such as `data/thumbnails/….jpg`, checked against the manifest and, if it is a
    /// picture, as one.
    ///
    /// # Errors
    /// Where there is no such file, or its bytes are not those that were put in.
    pub fn read(&mut self, path: &str) -> Result<Vec<u8>, BundleError> {
        let mut bytes = Vec::new();
        self.checked(path, &mut bytes, Path::new(""), &mut |_| true)
            .map_err(|problem| self.refused(path, problem))?;
        Ok(bytes)
    }

    /// Reads everything that [`open`](Self::open) left: every byte against its digest, every picture as one.
    ///
    /// # Errors
    /// The first thing wrong, or the wish to stop.
    pub fn verify(&mut self, watch: Watch) -> Result<(), BundleError> {
        self.each(watch, |_| Ok((Box::new(io::sink()), PathBuf::new())))
    }

    /// Verifies the bundle and takes the bag out as the new folder `into`, which appears whole or not at all.
    ///
    /// Nothing is written but in `into`, and in a folder beside it with a temporary name until all is well.
    ///
    /// # Errors
    /// The first thing wrong with the bundle, something that stands at `into`, a disk that refuses, or the wish
    /// to stop; nothing is left behind then.
    pub fn unpack(&mut self, into: &Path, watch: Watch) -> Result<(), BundleError> {
        let disk = |error: DiskError| refused(&into.display().to_string(), (None, error.into()));
        if fs::symlink_metadata(into).is_ok() {
            let error = io::Error::from(io::ErrorKind::AlreadyExists);
            return Err(disk(Err::<(), _>(error).about(into).unwrap_err()));
        }
        let made = Making::begin(into).map_err(disk)?;
        for folder in FOLDERS {
            let path = made.path.join(folder);
            fs::create_dir_all(&path).about(&path).map_err(disk)?;
        }
        let tags = [
            bag::DECLARATION,
            bag::INFO,
            bag::MANIFEST,
            bag::TAG_MANIFEST,
        ];
        for name in tags {
            let bytes = self
                .layout
                .bytes(&self.entries[name], TAG_MOST)
                .map_err(|problem| self.refused(name, problem))?;
            let path = made.path.join(name);
            disk::write_whole(&path, &bytes).map_err(disk)?;
        }
        self.each(watch, |path| {
            // Every path is one of those few that a bundle has.
            let path = made.path.join(path);
            let file = File::create_new(&path).about(&path)?;
            let synced = Synced(BufWriter::new(file));
            Ok((Box::new(synced), path))
        })?;
        for folder in FOLDERS {
            disk::sync_folder(&made.path.join(folder)).map_err(disk)?;
        }
        made.keep().map_err(disk)
    }

    fn refused(&self, entry: &str, problem: Problem) -> BundleError {
        refused(&self.file, about(entry, problem))
    }

    /// Checks every file of the payload while copying it to where `sink` says.
    fn each(
        &mut self,
        watch: Watch,
        sink: impl Fn(&str) -> Result<(Box<dyn Write>, PathBuf), DiskError>,
    ) -> Result<(), BundleError> {
        let paths: Vec<String> = self.manifest.keys().cloned().collect();
        let total = self.files().map(|(_, bytes)| bytes).sum();
        let mut done = 0;
        watch.tell(done, total);
        for path in &paths {
            let mut copy = || {
                let (mut to, to_path) = sink(path)?;
                self.checked(path, &mut to, &to_path, &mut |bytes| {
                    done += bytes;
                    watch.tell(done, total);
                    !watch.stopped()
                })?;
                to.flush().about(&to_path)?;
                Ok(())
            };
            let copied: Result<(), Problem> = copy();
            copied.map_err(|problem| self.refused(path, problem))?;
        }
        Ok(())
    }

    /// Copies one file of the payload and checks what was copied.
    fn checked(
        &mut self,
        path: &str,
        to: &mut dyn Write,
        to_path: &Path,
        keep_on: &mut dyn FnMut(u64) -> bool,
    ) -> Result<(), Problem> {
        let (Some(entry), Some(&said)) = (self.entries.get(path), self.manifest.get(path)) else {
            return Err(Problem::Missing);
        };
        let found = match picture_of(path) {
            Some(picture) => {
                // One picture is held: its structure is looked at as a whole.
                let mut bytes = Vec::with_capacity(entry.bytes as usize);
                self.layout.copy(entry, &mut bytes, to_path, keep_on)?;
                let found = Sha256Hex::of(&bytes);
                same(said, found)?;
                check_picture(&self.survey, picture, &bytes)?;
                to.write_all(&bytes).about(to_path)?;
                found
            }
            None => {
                let mut digested = Digested {
                    to,
                    digest: Sha256::new(),
                };
                self.layout.copy(entry, &mut digested, to_path, keep_on)?;
                Sha256Hex::from_bytes(digested.digest.finalize().into())
            }
        };
        same(said, found)
    }
}

fn refused(file: &str, (entry, problem): Refusal) -> BundleError {
    BundleError {
        file: file.to_owned(),
        entry,
        problem,
    }
}

fn same(said: Sha256Hex, found: Sha256Hex) -> Result<(), Problem> {
    match said == found {
        true => Ok(()),
        false => Err(Problem::Digest { said, found }),
    }
}

fn check_picture(survey: &Survey, picture: Picture, bytes: &[u8]) -> Result<(), Problem> {
    let (width, height) =
        photo::check(bytes, "").map_err(|error| Problem::Picture(error.problem))?;
    match picture {
        Picture::Small(_) if width.max(height) > photo::THUMBNAIL_EDGE => {
            let limit = photo::THUMBNAIL_EDGE;
            Err(Problem::Picture(photo::Problem::StoredTooLarge {
                width,
                height,
                limit,
            }))
        }
        Picture::Small(_) => Ok(()),
        Picture::Large(sha256) => {
            let named = survey.photos.iter().filter(|p| p.sha256 == sha256);
            for photo in named {
                if (photo.width, photo.height) != (width, height) {
                    return Err(Problem::PictureSize(
                        width,
                        height,
                        photo.width,
                        photo.height,
                    ));
                }
            }
            Ok(())
        }
    }
}

fn open(path: &Path, file: &str) -> Result<Bundle, Refusal> {
    let mut layout = Layout::read(path)?;
    let entries = within_one_folder(&layout.entries)?;

    // The bag's own files, the declaration first: without it this is no bag, and of a later version nothing
    // else is known.
    let mut tag = |name: &str| {
        let entry = entries
            .get(name)
            .ok_or_else(|| about(name, Problem::TagFileMissing))?;
        let bytes = layout.bytes(entry, TAG_MOST);
        bytes.map_err(|problem| about(name, problem))
    };
    let declaration = tag(bag::DECLARATION)?;
    if !bag::is_declaration(&declaration) {
        return Err(about(bag::DECLARATION, Problem::Declaration));
    }
    let info_bytes = tag(bag::INFO)?;
    let info = bag::read_info(&info_bytes).map_err(|problem| about(bag::INFO, problem))?;
    let manifest_bytes = tag(bag::MANIFEST)?;
    let manifest_digest = Sha256Hex::of(&manifest_bytes);
    let digests = [
        (bag::DECLARATION, Sha256Hex::of(&declaration)),
        (bag::INFO, Sha256Hex::of(&info_bytes)),
        (bag::MANIFEST, manifest_digest),
    ];
    let read = |name: &str, bytes: &[u8]| {
        bag::read_manifest(bytes).map_err(|problem| about(name, problem))
    };
    check_tags(&read(bag::TAG_MANIFEST, &tag(bag::TAG_MANIFEST)?)?, digests)?;
    let manifest = read(bag::MANIFEST, &manifest_bytes)?;
    check_payload(&entries, &manifest, &info)?;

    let mut text = |name: &str, most: u64| {
        let bytes = layout.bytes(&entries[name], most)?;
        same(manifest[name], Sha256Hex::of(&bytes))?;
        Ok(bytes)
    };
    let mut text = |name: &str, most: u64| text(name, most).map_err(|problem| about(name, problem));
    let name = "data/survey.json";
    let bytes = text(name, SURVEY_MOST)?;
    let survey = survey::read(&format!("{file}, {name}"), &bytes)
        .map_err(|error| about(name, error.into()))?;
    let name = "data/findings.json";
    let bytes = text(name, ENTRY_MOST)?;
    let findings = judged::read(&format!("{file}, {name}"), &bytes)
        .map_err(|error| about(name, error.into()))?;
    if (findings.survey, findings.revision) != (survey.id, survey.revision) {
        return Err(about(name, Problem::OtherFindings));
    }
    if info.survey != survey.id.urn().to_string() {
        return Err(about(bag::INFO, Problem::OtherSurvey(bag::IDENTIFIER)));
    }
    if info.revision != survey.revision {
        return Err(about(bag::INFO, Problem::OtherSurvey(bag::REVISION)));
    }
    check_pictures(&survey, &manifest)?;
    Ok(Bundle {
        file: file.to_owned(),
        layout,
        entries,
        manifest,
        manifest_digest,
        info,
        survey,
        findings,
    })
}

/// The files by their path within the one folder at the top.
fn within_one_folder(entries: &[Entry]) -> Result<BTreeMap<String, Entry>, Refusal> {
    let first = entries.first().ok_or((None, Problem::NotAZip))?;
    let base = first.name.split('/').next().unwrap_or_default();
    let mut files = BTreeMap::new();
    for entry in entries {
        let refuse = |problem| Err(about(&entry.name, problem));
        let Some((top, path)) = entry.name.split_once('/') else {
            return refuse(Problem::NotOneFolder);
        };
        if top != base {
            return refuse(Problem::NotOneFolder);
        }
        if !entry.is_folder {
            files.insert(path.to_owned(), entry.clone());
        } else if !FOLDERS.contains(&path.trim_end_matches('/')) {
            return refuse(Problem::NoPartOfIt);
        }
    }
    Ok(files)
}

/// The tag manifest names the three other files of the bag, and no more.
fn check_tags(tags: &Manifest, digests: [(&str, Sha256Hex); 3]) -> Result<(), Refusal> {
    for (name, found) in digests {
        let &said = tags
            .get(name)
            .ok_or_else(|| about(name, Problem::NotListed))?;
        same(said, found).map_err(|problem| about(name, problem))?;
    }
    match tags
        .keys()
        .find(|name| digests.iter().all(|(known, _)| known != name))
    {
        Some(name) => Err(about(name, Problem::Missing)),
        None => Ok(()),
    }
}

/// Manifest and archive name the same files, which are those that a bundle has, as many and as large as the
/// bag says.
fn check_payload(
    entries: &BTreeMap<String, Entry>,
    manifest: &Manifest,
    info: &Info,
) -> Result<(), Refusal> {
    if let Some(path) = manifest.keys().find(|path| !entries.contains_key(*path)) {
        return Err(about(path, Problem::Missing));
    }
    let tags = [
        bag::DECLARATION,
        bag::INFO,
        bag::MANIFEST,
        bag::TAG_MANIFEST,
    ];
    let payload = || {
        entries
            .iter()
            .filter(|(path, _)| !tags.contains(&path.as_str()))
    };
    for (path, entry) in payload() {
        if !manifest.contains_key(path) {
            return Err(about(path, Problem::NotListed));
        }
        match picture_of(path) {
            Some(_) if entry.bytes > photo::STORED_LIMIT => {
                let (bytes, limit) = (entry.bytes, photo::STORED_LIMIT);
                return Err(about(path, Problem::EntryTooLarge { bytes, limit }));
            }
            Some(_) => {}
            None if TEXTS.contains(&path.as_str()) => {}
            None => return Err(about(path, Problem::NoPartOfIt)),
        }
    }
    if let Some(path) = TEXTS.iter().find(|path| !manifest.contains_key(**path)) {
        return Err(about(path, Problem::PartMissing));
    }
    let bytes: u64 = payload().map(|(_, entry)| entry.bytes).sum();
    let found = format!("{bytes}.{}", payload().count());
    if info.oxum != found {
        let said = visible(&info.oxum);
        return Err(about(bag::INFO, Problem::Oxum { said, found }));
    }
    Ok(())
}

/// The survey's pictures and the payload's are the same, and each is under its digest.
fn check_pictures(survey: &Survey, manifest: &Manifest) -> Result<(), Refusal> {
    let named: BTreeSet<&str> = survey.photos.iter().map(|p| p.sha256.as_str()).collect();
    for sha256 in &named {
        for folder in ["photos", "thumbnails"] {
            let path = format!("data/{folder}/{sha256}.jpg");
            if !manifest.contains_key(&path) {
                return Err(about(&path, Problem::PictureMissing));
            }
        }
    }
    for (path, digest) in manifest {
        match picture_of(path) {
            Some(Picture::Large(sha256) | Picture::Small(sha256)) if !named.contains(sha256) => {
                return Err(about(path, Problem::PictureNotNamed));
            }
            Some(Picture::Large(sha256)) if digest.to_string() != sha256 => {
                return Err(about(path, Problem::PictureName));
            }
            _ => {}
        }
    }
    Ok(())
}

/// Digests what passes through.
struct Digested<'a> {
    to: &'a mut dyn Write,
    digest: Sha256,
}

impl Write for Digested<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let count = self.to.write(bytes)?;
        self.digest.update(&bytes[..count]);
        Ok(count)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

/// A file that is on the disk after `flush`.
struct Synced(BufWriter<File>);

impl Write for Synced {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()?;
        self.0.get_ref().sync_all()
    }
}

/// A folder in the making, beside its final place; gone when dropped before it is kept.
struct Making {
    path: PathBuf,
    into: PathBuf,
    kept: bool,
}

impl Making {
    fn begin(into: &Path) -> Result<Self, DiskError> {
        let name = into.file_name().unwrap_or_default().to_string_lossy();
        let path = into.with_file_name(format!(".{name}.{}.part", std::process::id()));
        // What an earlier run of the same id left.
        let _ = fs::remove_dir_all(&path);
        fs::create_dir(&path).about(&path)?;
        Ok(Making {
            path,
            into: into.to_owned(),
            kept: false,
        })
    }

    fn keep(mut self) -> Result<(), DiskError> {
        disk::move_to(&self.path, &self.into)?;
        self.kept = true;
        Ok(())
    }
}

impl Drop for Making {
    fn drop(&mut self) {
        if !self.kept {
            let _ = fs::remove_dir_all(&self.path);
        }
    }
}
