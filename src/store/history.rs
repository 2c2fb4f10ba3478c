//! The states of a survey that undo and redo lead to: files beside it, so that they outlive the program.
//!
//! A state costs no more than a second name for the file that a change replaces. One that is lost or cannot be read
//! costs a step of undo and never an answer, so nothing here is waited for or told.

use crate::survey::{self, Survey};
use std::fs;
use std::path::{Path, PathBuf};

/// How many changes can be taken back.
const MOST: usize = 100;

/// The folder beside the survey's file.
const FOLDER: &str = "history";

/// Which way a state lies from the present one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// Before it: undo leads there.
    Earlier,
    /// After it: redo leads there.
    Later,
}

impl Side {
    const fn word(self) -> &'static str {
        match self {
            Side::Earlier => "earlier",
            Side::Later => "later",
        }
    }
}

/// The states before and after the present one, by their numbers; the last of each is the nearest.
#[derive(Debug)]
pub(super) struct History {
    folder: PathBuf,
    earlier: Vec<u64>,
    later: Vec<u64>,
}

impl History {
    /// The history beside the survey in this folder.
    pub fn open(survey: &Path) -> History {
        let folder = survey.join(FOLDER);
        let mut history = History {
            earlier: Vec::new(),
            later: Vec::new(),
            folder,
        };
        let names = fs::read_dir(&history.folder)
            .into_iter()
            .flatten()
            .flatten();
        for name in names.map(|entry| entry.file_name()) {
            let name = name.to_string_lossy();
            for side in [Side::Earlier, Side::Later] {
                let number = name
                    .strip_prefix(side.word())
                    .and_then(|rest| rest.strip_prefix('-')?.strip_suffix(".json")?.parse().ok());
                if let Some(number) = number {
                    history.of(side).push(number);
                }
            }
        }
        history.earlier.sort_unstable();
        history.later.sort_unstable();
        history
    }

    fn of(&mut self, side: Side) -> &mut Vec<u64> {
        match side {
            Side::Earlier => &mut self.earlier,
            Side::Later => &mut self.later,
        }
    }

    fn path(&self, side: Side, number: u64) -> PathBuf {
        self.folder
            .join(format!("{}-{number:08}.json", side.word()))
    }

    /// Whether there is a state on this side.
    pub fn has(&self, side: Side) -> bool {
        match side {
            Side::Earlier => !self.earlier.is_empty(),
            Side::Later => !self.later.is_empty(),
        }
    }

    /// Keeps the survey's file, which is about to be replaced, as the nearest state on this side.
    pub fn keep(&mut self, side: Side, file: &Path) {
        let number = self.of(side).last().map_or(1, |last| last + 1);
        let to = self.path(side, number);
        let _ = fs::create_dir_all(&self.folder);
        let _ = fs::remove_file(&to);
        // A second name costs nothing; where the system gives none (a phone), a copy does.
        let kept = fs::hard_link(file, &to).or_else(|_| fs::copy(file, &to).map(|_| ()));
        if kept.is_err() {
            // A step over a gap would take two changes back as one.
            self.forget(side);
            return;
        }
        self.of(side).push(number);
        if self.of(side).len() > MOST {
            let first = self.of(side).remove(0);
            let _ = fs::remove_file(self.path(side, first));
        }
    }

    /// Takes the nearest state on this side away: it was gone to, or the change that led from it was not made.
    pub fn drop_nearest(&mut self, side: Side) {
        if let Some(number) = self.of(side).pop() {
            let _ = fs::remove_file(self.path(side, number));
        }
    }

    /// Forgets all states on this side.
    pub fn forget(&mut self, side: Side) {
        for number in std::mem::take(self.of(side)) {
            let _ = fs::remove_file(self.path(side, number));
        }
    }

    /// The nearest state on this side that differs from the present one; what cannot be read is forgotten.
    pub fn nearest(&mut self, side: Side, present: &Survey) -> Option<Survey> {
        loop {
            let number = *self.of(side).last()?;
            let Some(state) = self.read(side, number) else {
                self.forget(side);
                return None;
            };
            let mut same = state.clone();
            same.changed = present.changed;
            if same != *present {
                return Some(state);
            }
            // The program was ended between keeping it and replacing it.
            self.drop_nearest(side);
        }
    }

    fn read(&self, side: Side, number: u64) -> Option<Survey> {
        let path = self.path(side, number);
        let bytes = fs::read(&path).ok()?;
        survey::read(&path.display().to_string(), &bytes).ok()
    }

    /// Every state that can still be gone to.
    pub fn states(&self) -> impl Iterator<Item = Survey> + '_ {
        let earlier = self.earlier.iter().map(|number| (Side::Earlier, *number));
        let later = self.later.iter().map(|number| (Side::Later, *number));
        earlier
            .chain(later)
            .filter_map(|(side, number)| self.read(side, number))
    }
}
