//! The register's list: searching, filtering, sorting, page by page, and writing it out.

use super::{Desk, View, files};
use crate::app::work::Job;
use crate::office::export::{self, Form};
use crate::office::register::{Line, Page, Register, Sort, Status, Wanted};
use crate::rules::{Say, Verdict};
use crate::survey::When;

/// How many lines a page has: more than a window shows, and few enough to be had at once.
const LINES: usize = 100;

/// Verdicts in the order in which they are offered.
pub(super) const VERDICTS: [Verdict; 4] = [
    Verdict::Fits,
    Verdict::FitsWithWork,
    Verdict::NotSettled,
    Verdict::DoesNotFit,
];

/// The list and what is wanted of it.
#[derive(Debug)]
pub struct List {
    /// Which lines are wanted.
    pub wanted: Wanted,
    /// The page that is looked at.
    pub page: Page,
    /// The line that the keys stand on.
    pub current: usize,
    /// Whether the rest of the filters is open.
    pub more: bool,
    /// Whether writing the list is open.
    pub exporting: bool,
    /// The first and the last day, as typed.
    pub days: [String; 2],
    /// Why what was typed is no day.
    pub trouble: String,
    /// Whether the list is being written.
    pub writing: bool,
    /// Where the last list was written to, or why not.
    pub written: Result<String, String>,
}

impl Default for List {
    fn default() -> Self {
        List {
            wanted: Wanted {
                most: LINES,
                ..Wanted::default()
            },
            page: Page {
                lines: Vec::new(),
                all: 0,
            },
            current: 0,
            more: false,
            exporting: false,
            days: Default::default(),
            trouble: String::new(),
            writing: false,
            written: Ok(String::new()),
        }
    }
}

/// Where to turn to in the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// The first page.
    First,
    /// The page before.
    Back,
    /// The next page.
    On,
    /// The last page.
    Last,
}

impl List {
    /// Whether any line is left out.
    pub fn is_filtered(&self) -> bool {
        let all = Wanted {
            sort: self.wanted.sort,
            descending: self.wanted.descending,
            skip: self.wanted.skip,
            most: self.wanted.most,
            ..Wanted::default()
        };
        self.wanted != all
    }

    /// The line that the keys stand on.
    pub fn line(&self) -> Option<&Line> {
        self.page.lines.get(self.current)
    }
}

impl Desk {
    /// Looks the page up anew.
    pub(super) fn look(&mut self) {
        let wanted = self.list.wanted.clone();
        if let Some(page) = self.ask(|register| register.list(&wanted)) {
            let last = page.lines.len().saturating_sub(1);
            self.list.current = self.list.current.min(last);
            self.list.page = page;
        }
    }

    /// Wants other lines, from their first page on.
    fn want(&mut self, change: impl FnOnce(&mut Wanted)) {
        change(&mut self.list.wanted);
        self.list.wanted.skip = 0;
        self.list.current = 0;
        self.look();
    }

    /// Wants lines with these words.
    pub fn search(&mut self, words: &str) {
        if words.trim() != self.list.wanted.words {
            self.want(|wanted| wanted.words = words.trim().to_owned());
        }
    }

    /// Wants one verdict, or any.
    pub fn want_verdict(&mut self, at: Option<usize>) {
        let verdict = at.and_then(|at| VERDICTS.get(at).copied());
        self.want(|wanted| wanted.verdict = verdict);
    }

    /// Wants one status, or any.
    pub fn want_status(&mut self, at: Option<usize>) {
        let status = at.and_then(|at| Status::ALL.get(at).copied());
        self.want(|wanted| wanted.status = status);
    }

    /// Sorts by another column; by the same one again, the other way round.
    pub fn sort(&mut self, at: Option<usize>) {
        match at.and_then(|at| Sort::ALL.get(at).copied()) {
            // What is told by its date has the latest first, all else the least.
            Some(sort) => self.want(|wanted| {
                wanted.sort = sort;
                wanted.descending = matches!(sort, Sort::Visited | Sort::TakenIn | Sort::Verdict);
            }),
            None => self.want(|wanted| wanted.descending = !wanted.descending),
        }
    }

    /// Wants one surveyor's lines, or anybody's.
    pub fn want_surveyor(&mut self, name: &str) {
        let name = Some(name.trim().to_owned()).filter(|name| !name.is_empty());
        if name != self.list.wanted.surveyor {
            self.want(|wanted| wanted.surveyor = name);
        }
    }

    /// Wants visits from a first day on, or up to a last one.
    pub fn want_day(&mut self, last: bool, text: &str) {
        let at = usize::from(last);
        if self.list.days[at] == text {
            return;
        }
        text.clone_into(&mut self.list.days[at]);
        self.list.trouble.clear();
        let day = match text.trim() {
            "" => Ok(None),
            day => format!("{day}T00:00:00Z").parse::<When>().map(Some),
        };
        // Half a day typed is no day yet: what was wanted stays until it is one.
        let Ok(day) = day else {
            let say = Say::new("“{text}” is no day such as 2026-05-03.")
                .with("text", text.trim().to_owned());
            self.list.trouble = self.reader().said(&say);
            return;
        };
        let seconds = day.map(|day| day.unix_seconds());
        self.want(|wanted| match last {
            false => wanted.from = seconds,
            true => wanted.until = seconds.map(|begin| begin + 24 * 60 * 60),
        });
    }

    /// Wants only what is not settled, or everything.
    pub fn want_unsettled(&mut self, only: bool) {
        self.want(|wanted| wanted.settled = only.then_some(false));
    }

    /// Wants only that in which phone and office differ, or everything.
    pub fn want_differing(&mut self, only: bool) {
        self.want(|wanted| wanted.differs = only);
    }

    /// Wants everything again, in the same order.
    pub fn want_everything(&mut self) {
        self.list.days = Default::default();
        self.list.trouble.clear();
        self.want(|wanted| {
            *wanted = Wanted {
                sort: wanted.sort,
                descending: wanted.descending,
                most: LINES,
                ..Wanted::default()
            };
        });
    }

    /// Opens or shuts the rest of the filters.
    pub fn toggle_more(&mut self) {
        self.list.more = !self.list.more;
        self.list.exporting = false;
    }

    /// Opens or shuts writing the list.
    pub fn toggle_exporting(&mut self) {
        self.list.exporting = !self.list.exporting;
        self.list.more = false;
        self.list.written = Ok(String::new());
    }

    /// Turns the pages.
    pub fn turn(&mut self, to: Turn) {
        let (skip, all) = (self.list.wanted.skip, self.list.page.all);
        let last = all.saturating_sub(1) / LINES * LINES;
        let skip = match to {
            Turn::First => 0,
            Turn::Back => skip.saturating_sub(LINES),
            Turn::On => (skip + LINES).min(last),
            Turn::Last => last,
        };
        if skip != self.list.wanted.skip {
            self.list.wanted.skip = skip;
            self.list.current = 0;
            self.look();
        }
        match to {
            Turn::First => self.list.current = 0,
            Turn::Last => self.list.current = self.list.page.lines.len().saturating_sub(1),
            Turn::Back | Turn::On => {}
        }
    }

    /// Moves the line that the keys stand on; past the page's end, to the next page.
    pub fn step(&mut self, by: i32) {
        let at = i64::try_from(self.list.current).unwrap_or(0) + i64::from(by);
        let last = self.list.page.lines.len().saturating_sub(1);
        match usize::try_from(at) {
            Err(_) if self.list.wanted.skip > 0 && self.list.current == 0 => {
                self.turn(Turn::Back);
                self.list.current = self.list.page.lines.len().saturating_sub(1);
            }
            Err(_) => self.list.current = 0,
            Ok(at) if at > last && self.list.current == last => self.turn(Turn::On),
            Ok(at) => self.list.current = at.min(last),
        }
    }

    /// Opens the survey on a line of the page.
    pub fn open_line(&mut self, at: usize) {
        let Some(line) = self.list.page.lines.get(at) else {
            return;
        };
        let id = line.survey;
        self.list.current = at;
        if self.open_survey(id) {
            self.view = View::Survey;
        }
    }

    /// The file that the list would be written to.
    pub fn export_file(&self, form: Form) -> String {
        let name = match form {
            Form::Csv => "surveys.csv",
            Form::JsonLines => "surveys.jsonl",
        };
        self.out_folder().join(name).display().to_string()
    }

    /// Writes the lines that are wanted now to a file, beside the window.
    pub fn export(&mut self, form: Form, file: &str) {
        if self.list.writing {
            return;
        }
        let path = files::path(file);
        self.list.writing = true;
        self.list.written = Ok(String::new());
        if let Some(folder) = path.parent() {
            self.use_out_folder(folder);
        }
        let (location, wanted) = (self.options.register.clone(), self.list.wanted.clone());
        self.jobs.push(Job::new(move |_| {
            let written = Register::open_existing(&location)
                .map_err(export::ExportError::from)
                .and_then(|mut register| export::to_file(&mut register, &wanted, form, &path));
            Box::new(move |desk: &mut Desk| {
                desk.list.writing = false;
                desk.list.written = match written {
                    Ok(lines) => {
                        let say = Say::new("{count} surveys written to {file}.")
                            .with("count", lines)
                            .with("file", path.display().to_string());
                        Ok(desk.reader().said(&say))
                    }
                    Err(error) => Err(desk.told(&error)),
                };
            })
        }));
    }
}
