//! Taking bundles in: picked, let fall on the window, or arriving in a watched folder.

use super::files::{self, Entry};
use super::kept::Kept;
use super::{Desk, View};
use crate::app::judge::sign_of_verdict;
use crate::app::place::Sign;
use crate::app::work::{Job, Report};
use crate::office::intake::{self, IntakeOutcome, Sum};
use crate::office::register::{Entered, Refused, Register, RegisterError};
use crate::office::watch::Watch;
use crate::rules::Say;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;
use uuid::Uuid;

/// How many rows are kept on the page. What became of every file is in the register.
const ROWS: usize = 2000;

/// How long a watched folder is left alone between two looks.
const PAUSE: Duration = Duration::from_secs(2);
/// How soon watching ends once it is asked to.
const NAP: Duration = Duration::from_millis(100);

/// What became of one file.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The file.
    pub file: String,
    /// Its mark: the verdict's, or that it was refused.
    pub sign: Sign,
    /// What became of it.
    pub text: String,
    /// The survey that it is of, where it was let in.
    pub survey: Option<Uuid>,
}

/// A folder that is watched.
#[derive(Debug)]
pub struct Watching {
    /// Which.
    pub folder: PathBuf,
    /// Why it could not be looked into.
    pub trouble: String,
    stop: Arc<AtomicBool>,
}

/// Taking in.
#[derive(Debug, Default)]
pub struct Intake {
    /// The file or folder, as typed.
    pub path: String,
    /// The folder that is looked into, for picking.
    pub folder: Option<PathBuf>,
    /// What can be picked in it.
    pub entries: Vec<Entry>,
    /// What became of the files, the last one first.
    pub rows: Vec<Row>,
    /// What it comes to.
    pub sum: Sum,
    /// How many files are done.
    pub done: usize,
    /// How many there are.
    pub of: usize,
    /// Whether it is at work.
    pub working: bool,
    /// Why it ended early.
    pub trouble: String,
    /// The files that were ever refused and are kept aside.
    pub refused: Vec<Refused>,
    /// The folder that is watched.
    pub watching: Option<Watching>,
    waiting: Vec<PathBuf>,
    stop: Arc<AtomicBool>,
}

impl Intake {
    pub(super) fn of(kept: &Kept) -> Intake {
        Intake {
            path: kept.intake.clone(),
            ..Intake::default()
        }
    }
}

impl Desk {
    /// Types the file or folder.
    pub fn type_intake_path(&mut self, text: &str) {
        text.clone_into(&mut self.intake.path);
    }

    /// Opens a folder for picking: the typed one, or the home folder.
    pub fn pick_files(&mut self) {
        if self.intake.folder.take().is_none() {
            let typed = files::path(&self.intake.path);
            let folder = match typed {
                path if path.is_dir() => path,
                path => match path.parent() {
                    Some(parent) if parent.is_dir() => parent.to_owned(),
                    _ => files::path("~"),
                },
            };
            self.look_into(folder);
        }
    }

    fn look_into(&mut self, folder: PathBuf) {
        self.intake.entries = files::entries(&folder);
        self.intake.path = folder.display().to_string();
        self.intake.folder = Some(folder);
    }

    /// Picks an entry: a folder opens, a bundle is taken in. None is the folder above.
    pub fn pick_entry(&mut self, at: Option<usize>) {
        let entry = match at {
            Some(at) => self.intake.entries.get(at).cloned(),
            None => {
                let above = self.intake.folder.as_deref().and_then(Path::parent);
                above.map(|above| Entry {
                    label: String::new(),
                    path: above.to_owned(),
                    folder: true,
                })
            }
        };
        match entry {
            Some(entry) if entry.folder => self.look_into(entry.path),
            Some(entry) => self.take_in(vec![entry.path]),
            None => {}
        }
    }

    /// Takes in the typed file or folder.
    pub fn take_in_typed(&mut self) {
        let path = files::path(&self.intake.path);
        if path.as_os_str().is_empty() {
            self.intake.trouble = self.reader().tr("Name a bundle or a folder first.");
            return;
        }
        self.remember(&path);
        self.take_in(vec![path]);
    }

    fn remember(&mut self, path: &Path) {
        let folder = if path.is_dir() {
            Some(path)
        } else {
            path.parent()
        };
        if let Some(folder) = folder {
            self.kept.intake = folder.display().to_string();
            self.keep();
        }
    }

    /// Takes in what was let fall on the window.
    pub fn let_fall(&mut self, path: PathBuf) {
        self.view = View::Intake;
        self.take_in(vec![path]);
    }

    /// Takes these files and folders in, beside the window; while it is at work, once that is done.
    pub fn take_in(&mut self, paths: Vec<PathBuf>) {
        self.intake.waiting.extend(paths);
        if !self.intake.working {
            self.intake.sum = Sum::default();
            self.intake.done = 0;
            self.intake.of = 0;
            self.intake.trouble.clear();
            self.take_in_what_waits();
        }
    }

    fn take_in_what_waits(&mut self) {
        let paths = std::mem::take(&mut self.intake.waiting);
        if paths.is_empty() {
            return;
        }
        let stop = Arc::new(AtomicBool::new(false));
        self.intake.stop = Arc::clone(&stop);
        self.intake.working = true;
        let (done_before, of_before) = (self.intake.done, self.intake.of);
        let location = self.options.register.clone();
        self.jobs.push(Job::new(move |report: &Report<Desk>| {
            let work = || -> Result<Sum, RegisterError> {
                let files = intake::files(&paths)?;
                let of = of_before + files.len();
                report.meanwhile(Box::new(move |desk: &mut Desk| desk.intake.of = of));
                let mut register = Register::open(&location)?;
                intake::take_in(&mut register, &files, &stop, &mut |step| {
                    let (done, file) = (done_before + step.done, step.file.to_owned());
                    let taken = step.outcome.clone();
                    report.meanwhile(Box::new(move |desk: &mut Desk| {
                        desk.intake.done = done;
                        desk.taken(&file, &taken);
                    }));
                })
            };
            let came_to = work();
            Box::new(move |desk: &mut Desk| desk.intake_over(came_to))
        }));
    }

    /// One file is done.
    fn taken(&mut self, file: &Path, taken: &IntakeOutcome) {
        let reader = self.reader();
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        let (sign, text, survey) = match taken {
            IntakeOutcome::Entered {
                how,
                survey,
                revision,
                job,
                summary,
                differences,
                ..
            } => {
                let how = reader.tr(match how {
                    Entered::New => "new survey",
                    Entered::Revision => "another revision",
                    Entered::Waits => "a revision that waits",
                    Entered::Known => "known already",
                });
                let revision = Say::new("revision {number}").with("number", *revision);
                let mut words = vec![
                    job.clone(),
                    how,
                    reader.said(&revision),
                    reader.tr(summary.verdict.label()),
                ];
                if !differences.same_result() {
                    let say = Say::new("differs from the phone in {count}")
                        .with("count", differences.count());
                    words.push(reader.said(&say));
                }
                words.retain(|word| !word.is_empty());
                (
                    sign_of_verdict(summary.verdict),
                    words.join(" · "),
                    Some(*survey),
                )
            }
            IntakeOutcome::Known { .. } => (Sign::None, reader.tr("known already"), None),
            IntakeOutcome::Refused { reason, aside } => {
                let mut text = self.told(reason);
                if let Some(aside) = aside {
                    let say = Say::new("Kept aside untouched: {file}")
                        .with("file", aside.display().to_string());
                    text = format!("{text}\n{}", reader.said(&say));
                }
                (Sign::Fails, text, None)
            }
            IntakeOutcome::Skipped { reason } => (Sign::Open, self.told(reason), None),
        };
        let row = Row {
            file: name.into_owned(),
            sign,
            text,
            survey,
        };
        self.intake.rows.insert(0, row);
        self.intake.rows.truncate(ROWS);
    }

    fn intake_over(&mut self, came_to: Result<Sum, RegisterError>) {
        self.intake.working = false;
        match came_to {
            Ok(sum) => {
                let all = &mut self.intake.sum;
                all.new += sum.new;
                all.revisions += sum.revisions;
                all.waiting += sum.waiting;
                all.known += sum.known;
                all.refused += sum.refused;
                all.skipped += sum.skipped;
                all.differ += sum.differ;
            }
            Err(error) => self.intake.trouble = self.told(&error),
        }
        if self.intake.folder.is_some() {
            self.intake.entries = self
                .intake
                .folder
                .as_deref()
                .map(files::entries)
                .unwrap_or_default();
        }
        self.look_at_refused();
        self.look();
        self.take_in_what_waits();
    }

    /// What it comes to, in a sentence; nothing before the first file.
    pub fn intake_sum(&self) -> String {
        let Sum {
            new,
            revisions,
            waiting,
            known,
            refused,
            skipped,
            differ,
        } = self.intake.sum;
        if new + revisions + waiting + known + refused + skipped == 0 {
            return String::new();
        }
        let say = Say::new(
            "{new} new, {revisions} further revisions, {waiting} waiting, {known} known already, {refused} refused, {skipped} skipped; {differ} judged otherwise than on the phone.",
        )
        .with("new", new)
        .with("revisions", revisions)
        .with("waiting", waiting)
        .with("known", known)
        .with("refused", refused)
        .with("skipped", skipped)
        .with("differ", differ);
        self.reader().said(&say)
    }

    /// Looks up what was ever refused.
    pub(super) fn look_at_refused(&mut self) {
        if let Some(refused) = self.ask(Register::refused) {
            self.intake.refused = refused;
        }
    }

    /// Begins nothing more; what is at work ends between two files, and running it again goes on from there.
    pub fn stop_intake(&mut self) {
        self.intake.waiting.clear();
        self.intake.stop.store(true, Ordering::Relaxed);
    }

    /// Watches the typed folder, or stops watching.
    pub fn toggle_watching(&mut self) {
        if let Some(watching) = self.intake.watching.take() {
            watching.stop.store(true, Ordering::Relaxed);
            return;
        }
        let folder = files::path(&self.intake.path);
        if !folder.is_dir() {
            let say = Say::new("{path}: this is no folder that could be watched.")
                .with("path", folder.display().to_string());
            self.intake.trouble = self.reader().said(&say);
            return;
        }
        self.intake.trouble.clear();
        self.remember(&folder);
        let stop = Arc::new(AtomicBool::new(false));
        self.intake.watching = Some(Watching {
            folder: folder.clone(),
            trouble: String::new(),
            stop: Arc::clone(&stop),
        });
        self.jobs.push(Job::new(move |report: &Report<Desk>| {
            let mut watch = Watch::default();
            while !stop.load(Ordering::Relaxed) {
                let looked = watch.look(std::slice::from_ref(&folder));
                report.meanwhile(Box::new(move |desk: &mut Desk| {
                    let trouble = match &looked {
                        Ok(_) => String::new(),
                        Err(error) => desk.told(error),
                    };
                    if let Some(watching) = &mut desk.intake.watching {
                        watching.trouble = trouble;
                    }
                    if let Ok(arrived) = looked
                        && !arrived.is_empty()
                    {
                        desk.take_in(arrived);
                    }
                }));
                let mut rested = Duration::ZERO;
                while rested < PAUSE && !stop.load(Ordering::Relaxed) {
                    std::thread::sleep(NAP);
                    rested += NAP;
                }
            }
            Box::new(|_: &mut Desk| {})
        }));
    }

    /// Ends whatever runs beside the window.
    pub fn stop_everything(&mut self) {
        self.stop_intake();
        if let Some(watching) = self.intake.watching.take() {
            watching.stop.store(true, Ordering::Relaxed);
        }
    }
}
