//! Taking bundles in: each is copied, checked, judged again and entered, or kept aside with the reason.
//!
//! Two bundles are worked on at once; of each, one picture is in memory. An intake that is cut off at any
//! moment is simply run again: what was entered is known, what was not is taken in, and the register ends the
//! same.

use super::differences::Differences;
use super::register::{
    Checked, Entered, JudgingCriteria, Refused, Register, RegisterError, unbelievable,
};
use super::summary::VerdictSummary;
use super::vault::Incoming;
use crate::bundle::{self, Bundle, BundleError, Problem, Watch};
use crate::digest::Sha256Hex;
use crate::disk::{About, DiskError};
use crate::survey::{Survey, When};
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use uuid::Uuid;

/// How many bundles are worked on at once. More would only wait for the disk.
const AT_ONCE: usize = 2;
/// How much of a file is read at a time.
const STEP: usize = 256 << 10;

/// What became of one file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "result", rename_all = "snake_case")]
pub enum IntakeOutcome {
    /// It was let in, or was in already.
    Entered {
        /// Whether it was new.
        how: Entered,
        /// SHA-256 of the bundle.
        bundle: Sha256Hex,
        /// Which survey.
        survey: Uuid,
        /// Which revision of it.
        revision: u32,
        /// The job reference.
        job: String,
        /// What the office's judgement comes to.
        summary: VerdictSummary,
        /// Where that differs from what the phone saw.
        differences: Differences,
    },
    /// The very same bundle was taken in before.
    Known {
        /// SHA-256 of the bundle.
        bundle: Sha256Hex,
    },
    /// It is no sound bundle. A copy was kept aside, untouched, with the reason.
    Refused {
        /// Why: a sentence that names the file and what in it is wrong.
        reason: String,
        /// Where the copy lies, where refused files are files.
        aside: Option<PathBuf>,
    },
    /// It could not be read, or is too large to be a bundle; it lies where it lay.
    Skipped {
        /// Why.
        reason: String,
    },
}

/// One file is done.
#[derive(Debug, Clone, Copy)]
pub struct Step<'a> {
    /// How many are done now.
    pub done: usize,
    /// How many there are.
    pub of: usize,
    /// Which file.
    pub file: &'a Path,
    /// What became of it.
    pub outcome: &'a IntakeOutcome,
}

/// What an intake came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Sum {
    /// Surveys that are new.
    pub new: usize,
    /// Further revisions of known surveys.
    pub revisions: usize,
    /// Further revisions that wait for somebody to accept them.
    pub waiting: usize,
    /// Bundles that were known.
    pub known: usize,
    /// Files that were refused.
    pub refused: usize,
    /// Files that were left alone.
    pub skipped: usize,
    /// Bundles for which the office came to another result than the phone.
    pub differ: usize,
}

impl Sum {
    fn add(&mut self, taken: &IntakeOutcome) {
        match taken {
            IntakeOutcome::Entered {
                how, differences, ..
            } => {
                self.differ += usize::from(!differences.same_result());
                match how {
                    Entered::New => self.new += 1,
                    Entered::Revision => self.revisions += 1,
                    Entered::Waits => self.waiting += 1,
                    Entered::Known => self.known += 1,
                }
            }
            IntakeOutcome::Known { .. } => self.known += 1,
            IntakeOutcome::Refused { .. } => self.refused += 1,
            IntakeOutcome::Skipped { .. } => self.skipped += 1,
        }
    }
}

/// The files that an intake of these files and folders looks at: each file that is named, and in folders, however
/// deep, whatever ends in `.zip`. Links to folders are not followed, and a register's own folders are left out.
///
/// # Errors
/// A path that is not there, or a folder that cannot be read.
pub fn files(paths: &[PathBuf]) -> Result<Vec<PathBuf>, DiskError> {
    let mut found = BTreeSet::new();
    for path in paths {
        if fs::metadata(path).about(path)?.is_dir() {
            look_into(path, &mut found)?;
        } else {
            found.insert(path.clone());
        }
    }
    Ok(found.into_iter().collect())
}

fn look_into(folder: &Path, found: &mut BTreeSet<PathBuf>) -> Result<(), DiskError> {
    let of_register = folder.join("register.sqlite").exists();
    for entry in fs::read_dir(folder).about(folder)? {
        let entry = entry.about(folder)?;
        let kind = entry.file_type().about(&entry.path())?;
        let is = |ending: &str| entry.file_name().to_string_lossy().ends_with(ending);
        if kind.is_dir() {
            if !of_register {
                look_into(&entry.path(), found)?;
            }
        } else if is(".zip") {
            found.insert(entry.path());
        }
    }
    Ok(())
}

/// Takes files in. `told` hears of each one as it is done, in whatever order they are; where `stop` is set,
/// nothing more is begun.
///
/// # Errors
/// A disk that is full or a database that is gone: what was entered until then stays, and running it again goes on
/// from there. A bundle that is refused is no error.
pub fn take_in(
    register: &mut Register,
    files: &[PathBuf],
    stop: &AtomicBool,
    told: &mut (dyn FnMut(Step) + Send),
) -> Result<Sum, RegisterError> {
    let incoming = register.vault().incoming()?;
    let criteria = register.criteria().clone();
    let next = AtomicUsize::new(0);
    let ended = AtomicBool::new(false);
    let shared = Mutex::new(Shared {
        register,
        told,
        sum: Sum::default(),
        done: 0,
        trouble: None,
    });
    let work = || {
        while !stop.load(Ordering::Relaxed) && !ended.load(Ordering::Relaxed) {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(file) = files.get(number) else {
                break;
            };
            let one = One {
                shared: &shared,
                incoming: &incoming,
                criteria: &criteria,
                stop,
                file,
                number,
            };
            let taken = one.take();
            let mut shared = one.shared();
            match taken {
                Ok(taken) => {
                    shared.done += 1;
                    shared.sum.add(&taken);
                    let step = Step {
                        done: shared.done,
                        of: files.len(),
                        file,
                        outcome: &taken,
                    };
                    (shared.told)(step);
                }
                Err(Cut::Asked) => break,
                Err(Cut::Trouble(error)) => {
                    shared.trouble.get_or_insert(error);
                    ended.store(true, Ordering::Relaxed);
                }
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..AT_ONCE.min(files.len()) {
            scope.spawn(work);
        }
        work();
    });
    let shared = shared.into_inner().unwrap_or_else(PoisonError::into_inner);
    match shared.trouble {
        Some(error) => Err(error),
        None => Ok(shared.sum),
    }
}

/// What the workers share.
struct Shared<'a> {
    register: &'a mut Register,
    told: &'a mut (dyn FnMut(Step) + Send),
    sum: Sum,
    done: usize,
    trouble: Option<RegisterError>,
}

/// Why one file was not done.
enum Cut {
    /// As asked.
    Asked,
    /// The register's disk or database.
    Trouble(RegisterError),
}

impl From<RegisterError> for Cut {
    fn from(error: RegisterError) -> Self {
        Cut::Trouble(error)
    }
}

impl From<DiskError> for Cut {
    fn from(error: DiskError) -> Self {
        Cut::Trouble(error.into())
    }
}

/// One file on its way in.
struct One<'a, 'b> {
    shared: &'a Mutex<Shared<'b>>,
    incoming: &'a Incoming,
    criteria: &'a JudgingCriteria,
    stop: &'a AtomicBool,
    file: &'a Path,
    number: usize,
}

impl<'b> One<'_, 'b> {
    fn shared(&self) -> std::sync::MutexGuard<'_, Shared<'b>> {
        self.shared.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn take(&self) -> Result<IntakeOutcome, Cut> {
        let skipped = |reason: String| Ok(IntakeOutcome::Skipped { reason });
        let bytes = match fs::metadata(self.file) {
            Ok(metadata) if !metadata.is_file() => {
                return skipped(format!("{}: this is no file.", self.file.display()));
            }
            Ok(metadata) => metadata.len(),
            Err(source) => {
                let path = self.file.to_owned();
                return skipped(DiskError { path, source }.to_string());
            }
        };
        if bytes > bundle::FILE_MOST {
            return skipped(format!(
                "{}: the file has {bytes} bytes, and no bundle has more than {}.",
                self.file.display(),
                bundle::FILE_MOST
            ));
        }
        // Only where a bundle of that size is known is it worth reading the file before it is copied.
        if self.shared().register.knows_size(bytes)? {
            match digest(self.file) {
                Ok(bundle) if self.shared().register.holds(&bundle)? => {
                    return Ok(IntakeOutcome::Known { bundle });
                }
                Ok(_) => {}
                Err(error) => return skipped(error.to_string()),
            }
        }
        // The copy is what is checked and kept: whatever happens to the file meanwhile.
        let name = self.file.file_name().unwrap_or_default();
        let name = name.to_string_lossy();
        let copy = self.incoming.file(&format!("{}-{name}", self.number));
        let (sha256, bytes) = match copied(self.file, &copy) {
            Ok(copied) => copied,
            Err(Copying::From(error)) => return skipped(error.to_string()),
            Err(Copying::To(error)) => return Err(error.into()),
        };
        let now = When::now();
        match self.check(&copy, now) {
            Ok(Ok((survey, survey_json, summary, differences))) => {
                let checked = Checked {
                    sha256,
                    bytes,
                    name: name.into_owned(),
                    survey,
                    survey_json,
                    summary,
                    differences,
                };
                let how = self.shared().register.enter(&checked, &copy, now)?;
                Ok(IntakeOutcome::Entered {
                    how,
                    bundle: sha256,
                    survey: checked.survey.id,
                    revision: checked.survey.revision,
                    job: checked.survey.arrival.job_reference.unwrap_or_default(),
                    summary: checked.summary,
                    differences: checked.differences,
                })
            }
            Err(BundleError {
                problem: Problem::Stopped,
                ..
            }) => {
                let _ = fs::remove_file(&copy);
                Err(Cut::Asked)
            }
            Err(BundleError {
                problem: Problem::Disk(error),
                ..
            }) => Err(error.into()),
            Ok(Err(why)) => {
                let reason = format!("{}: {why}", self.file.display());
                self.refuse(sha256, &name, bytes, reason, &copy, now)
            }
            Err(error) => {
                // People know the file by its own name, not by the copy's.
                let reason = error
                    .to_string()
                    .replace(&*copy.to_string_lossy(), &self.file.to_string_lossy());
                self.refuse(sha256, &name, bytes, reason, &copy, now)
            }
        }
    }

    /// Keeps the copy aside with the reason.
    fn refuse(
        &self,
        file: Sha256Hex,
        name: &str,
        bytes: u64,
        reason: String,
        copy: &Path,
        now: When,
    ) -> Result<IntakeOutcome, Cut> {
        let refused = Refused {
            file,
            name: name.to_owned(),
            bytes,
            reason: reason.clone(),
            refused_at: now.to_string(),
        };
        let mut shared = self.shared();
        shared.register.refuse(&refused, copy, now)?;
        let aside = shared.register.vault().refused_path(&file);
        Ok(IntakeOutcome::Refused { reason, aside })
    }

    /// Checks every byte of the copy and judges the survey in it; or says why the survey's own count or clock cannot be
    /// believed.
    fn check(&self, copy: &Path, now: When) -> Result<Result<ReadOut, String>, BundleError> {
        let mut bundle = Bundle::open(copy)?;
        bundle.verify(Watch {
            stop: Some(self.stop),
            progress: None,
        })?;
        let survey = bundle.survey().clone();
        let times = [("begun", survey.begun), ("changed", survey.changed)];
        if let Some(why) = unbelievable(survey.revision, &times, now) {
            return Ok(Err(why));
        }
        read(&mut bundle, self.criteria).map(Ok)
    }
}

/// What is read out of a bundle: the survey and its text, what it comes to, and where that differs from the phone.
type ReadOut = (Survey, String, VerdictSummary, Differences);

/// Reads a checked bundle and judges the survey in it.
pub(super) fn read(
    bundle: &mut Bundle,
    criteria: &JudgingCriteria,
) -> Result<ReadOut, BundleError> {
    let json = bundle.read("data/survey.json")?;
    let survey = bundle.survey().clone();
    let assessment = criteria.assess(&survey);
    let summary = VerdictSummary::of(&survey, &assessment);
    let differences = Differences::between(&survey, bundle.findings(), &assessment);
    // That it is UTF-8 was found when the survey was read from it.
    let json = String::from_utf8_lossy(&json).into_owned();
    Ok((survey, json, summary, differences))
}

/// The checksum of a file.
pub(super) fn digest(path: &Path) -> Result<Sha256Hex, DiskError> {
    let mut file = File::open(path).about(path)?;
    let mut hash = Sha256::new();
    let mut buffer = vec![0; STEP];
    loop {
        match file.read(&mut buffer).about(path)? {
            0 => return Ok(Sha256Hex::from_bytes(hash.finalize().into())),
            count => hash.update(&buffer[..count]),
        }
    }
}

/// Which end of a copy failed.
enum Copying {
    From(DiskError),
    To(DiskError),
}

/// Copies a file; returns its checksum and how many bytes it had.
fn copied(from: &Path, to: &Path) -> Result<(Sha256Hex, u64), Copying> {
    let mut source = File::open(from).about(from).map_err(Copying::From)?;
    let mut copy = File::create(to).about(to).map_err(Copying::To)?;
    let mut hash = Sha256::new();
    let mut buffer = vec![0; STEP];
    let mut bytes = 0;
    loop {
        let count = source
            .read(&mut buffer)
            .about(from)
            .map_err(Copying::From)?;
        if count == 0 {
            return Ok((Sha256Hex::from_bytes(hash.finalize().into()), bytes));
        }
        hash.update(&buffer[..count]);
        copy.write_all(&buffer[..count])
            .about(to)
            .map_err(Copying::To)?;
        bytes += count as u64;
    }
}
