//! `joistlight register`: the office's list of surveys.

use super::intake::in_words;
use super::{CriteriaOptions, Failure, RegisterOption, print_json};
use crate::office::changes::{Changes, Comparison, Judgement};
use crate::office::export;
use crate::office::register::{
    Correction, JudgingCriteria, Line, Marked, Rebuilt, Register, RegisterError, Revision, Sort,
    Status, Wanted, Wrong, place,
};
use crate::rules::Verdict;
use crate::survey::{ItemId, Survey, When};
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Subcommand, ValueEnum};
use serde::Serialize;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Work with the register: list, show, mark, correct, judge again, export.
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// List surveys: one line each, the latest visit first.
    List {
        #[command(flatten)]
        register: RegisterOption,
        #[command(flatten)]
        wanted: WantedOptions,
        /// How many lines to leave out before the first.
        #[arg(long, default_value_t = 0)]
        skip: usize,
        /// The most lines.
        #[arg(long, default_value_t = 50)]
        most: usize,
        /// Print the page as JSON.
        #[arg(long)]
        json: bool,
    },
    /// Show one survey: what it comes to, its revisions, its statuses, the office's corrections.
    Show {
        #[command(flatten)]
        which: Which,
        /// Print it as JSON.
        #[arg(long)]
        json: bool,
    },
    /// Say answer by answer what changed between two revisions of a survey, as JSON.
    Changes {
        #[command(flatten)]
        which: Which,
        /// The earlier revision; without it, the one before the later.
        #[arg(long)]
        from: Option<u32>,
        /// The later revision; without it, the one that the list shows.
        #[arg(long)]
        to: Option<u32>,
    },
    /// Say how far a job is.
    Mark {
        #[command(flatten)]
        which: Which,
        /// What it is now.
        #[arg(value_parser = statuses())]
        status: Status,
        /// Who says so.
        #[arg(long)]
        who: String,
        /// The day that was agreed on, for a job that is scheduled.
        #[arg(long, value_name = "YYYY-MM-DD")]
        date: Option<String>,
        /// Who builds it, for a job that is scheduled.
        #[arg(long)]
        crew: Option<String>,
        /// Anything worth keeping with it.
        #[arg(long, default_value = "")]
        remark: String,
    },
    /// Show two revisions side by side: the answers that differ, and what they come to.
    Compare {
        #[command(flatten)]
        which: Which,
        /// The one to compare with the shown one; without it, the one that waits.
        #[command(flatten)]
        revision: RevisionOptions,
        /// Print it as JSON.
        #[arg(long)]
        json: bool,
    },
    /// Accept a revision that waits: the list shows it from now on.
    ///
    /// Once a job is quoted, a later revision is kept but not shown before somebody accepts it. To accept the one that
    /// is shown is to pass over those that wait.
    Accept {
        #[command(flatten)]
        which: Which,
        #[command(flatten)]
        revision: RevisionOptions,
        /// Who accepts it.
        #[arg(long)]
        who: String,
    },
    /// Put another answer beside the one that the surveyor captured; nothing is overwritten.
    Correct {
        #[command(flatten)]
        which: Which,
        /// The answer's name, as `assess` prints it, such as attic.roof_height.
        field: String,
        /// The answer that takes its place; empty for "not measured after all".
        answer: String,
        /// The spot's number in the survey, from 1, for an answer about a spot.
        #[arg(long)]
        spot: Option<usize>,
        /// The item's number in the survey, for an answer about one.
        #[arg(long)]
        item: Option<u32>,
        /// Why.
        #[arg(long)]
        reason: String,
        /// Who corrects.
        #[arg(long)]
        who: String,
    },
    /// Withdraw a correction; it stays in the history.
    Withdraw {
        #[command(flatten)]
        which: Which,
        /// The correction's number, as `show` gives it.
        correction: u64,
        /// Who withdraws it.
        #[arg(long)]
        who: String,
    },
    /// Judge every survey by other code editions or another fan list, and say which change.
    Again {
        #[command(flatten)]
        register: RegisterOption,
        #[command(flatten)]
        criteria: CriteriaOptions,
        /// Judge by them from now on; without it, nothing is kept.
        #[arg(long, requires = "who")]
        adopt: bool,
        /// Who says so.
        #[arg(long)]
        who: Option<String>,
        /// Print one JSON object a survey that changes.
        #[arg(long)]
        json: bool,
    },
    /// Write the list to a file or to standard output.
    Export {
        #[command(flatten)]
        register: RegisterOption,
        #[command(flatten)]
        wanted: WantedOptions,
        /// The form.
        #[arg(long, value_enum, default_value_t = Form::Csv)]
        form: Form,
        /// The file; without it, standard output.
        #[arg(long, value_name = "FILE")]
        to: Option<PathBuf>,
    },
    /// Give a survey's bundle back, byte for byte as it came.
    Bundle {
        #[command(flatten)]
        which: Which,
        /// Which revision; without it, the one that the list shows.
        #[arg(long)]
        revision: Option<u32>,
        /// The file to write, or the folder to write it into.
        to: PathBuf,
    },
    /// List the files that were refused, with the reasons.
    Refused {
        #[command(flatten)]
        register: RegisterOption,
        /// Print them as JSON.
        #[arg(long)]
        json: bool,
    },
    /// Judge the surveys anew that earlier rules judged.
    Refresh {
        #[command(flatten)]
        register: RegisterOption,
    },
    /// Copy the register's log and all that it names into a folder; others may work meanwhile.
    ///
    /// Run it again with the same folder, and it copies what is new.
    Backup {
        #[command(flatten)]
        register: RegisterOption,
        /// The folder.
        to: PathBuf,
    },
    /// Make a new register from a backup.
    Restore {
        #[command(flatten)]
        register: RegisterOption,
        /// The backup's folder.
        from: PathBuf,
        /// Who restores it.
        #[arg(long)]
        who: String,
    },
    /// Make the list anew from the log and the kept bundles; the damaged database is kept aside.
    Rebuild {
        #[command(flatten)]
        register: RegisterOption,
        /// Who rebuilds it.
        #[arg(long)]
        who: String,
    },
    /// Rebuild the register with good originals in place of bundles that are damaged or missing.
    Repair {
        #[command(flatten)]
        register: RegisterOption,
        /// The original bundles, or folders with them.
        originals: Vec<PathBuf>,
        /// Who repairs it.
        #[arg(long)]
        who: String,
    },
    /// Look through the whole register for damage, and list everything that is found.
    Check {
        #[command(flatten)]
        register: RegisterOption,
        /// Print it as JSON.
        #[arg(long)]
        json: bool,
    },
}

/// Which revision of a survey.
#[derive(Debug, Args)]
struct RevisionOptions {
    /// Which revision; without it, the one that waits.
    #[arg(long)]
    revision: Option<u32>,
    /// Which bundle, by its checksum or the beginning of it.
    #[arg(long, value_name = "SHA256")]
    bundle: Option<String>,
}

impl RevisionOptions {
    fn bundle(&self, register: &mut Register, id: uuid::Uuid) -> Result<Revision, Failure> {
        Ok(register.bundle_to_accept(id, self.revision, self.bundle.as_deref())?)
    }
}

/// Which survey of which register.
#[derive(Debug, Args)]
struct Which {
    #[command(flatten)]
    register: RegisterOption,
    /// The survey: its job reference, or id: and the beginning of its id, such as id:9f3a02c1.
    survey: String,
}

impl Which {
    fn open(&self) -> Result<(Register, uuid::Uuid), Failure> {
        let mut register = Register::open_existing(&self.register.location()?)?;
        let id = register.find(&self.survey)?;
        Ok((register, id))
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Form {
    /// Comma-separated values, with a line of headings.
    Csv,
    /// JSON Lines: one object a survey.
    JsonLines,
}

impl From<Form> for export::Form {
    fn from(form: Form) -> Self {
        match form {
            Form::Csv => export::Form::Csv,
            Form::JsonLines => export::Form::JsonLines,
        }
    }
}

impl From<export::ExportError> for Failure {
    fn from(error: export::ExportError) -> Self {
        match error {
            export::ExportError::Register(error) => error.into(),
            export::ExportError::Disk(error) => error.into(),
            // Only standard output is written without a path.
            export::ExportError::Output(error) => error.into(),
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Work {
    /// It needs some.
    Needed,
    /// It needs none.
    None,
}

/// Which surveys, in which order.
#[derive(Debug, Args)]
struct WantedOptions {
    /// Words that must all begin a word of the survey's texts.
    #[arg(long, default_value = "")]
    search: String,
    /// Only this verdict.
    #[arg(long, value_parser = verdicts())]
    verdict: Option<Verdict>,
    /// Only this status.
    #[arg(long, value_parser = statuses())]
    status: Option<Status>,
    /// Only this surveyor's.
    #[arg(long)]
    surveyor: Option<String>,
    /// Only those where this fan is the best, by its id in the fan list.
    #[arg(long, value_name = "ID")]
    fan: Option<String>,
    /// Only those whose best spot needs work, or needs none.
    #[arg(long, value_enum)]
    work: Option<Work>,
    /// Only those with answers that still matter.
    #[arg(long)]
    unsettled: bool,
    /// Only those for which the office came to another result than the phone.
    #[arg(long)]
    differs: bool,
    /// Only those where a revision waits to be accepted.
    #[arg(long)]
    waiting: bool,
    /// Only visits on or after this day (UTC).
    #[arg(long, value_name = "YYYY-MM-DD")]
    from: Option<String>,
    /// Only visits on or before this day (UTC).
    #[arg(long, value_name = "YYYY-MM-DD")]
    until: Option<String>,
    /// What to sort by.
    #[arg(long, value_parser = sorts(), default_value = Sort::Visited.code())]
    sort: Sort,
    /// The least first.
    #[arg(long)]
    ascending: bool,
}

impl WantedOptions {
    fn wanted(&self) -> Result<Wanted, Failure> {
        Ok(Wanted {
            words: self.search.clone(),
            verdict: self.verdict,
            status: self.status,
            settled: self.unsettled.then_some(false),
            surveyor: self.surveyor.clone(),
            fan: self.fan.clone(),
            work: self.work.map(|work| matches!(work, Work::Needed)),
            differs: self.differs,
            waiting: self.waiting,
            from: self.from.as_deref().map(day).transpose()?,
            until: match &self.until {
                Some(text) => Some(day(text)? + 24 * 60 * 60),
                None => None,
            },
            sort: self.sort,
            descending: !self.ascending,
            ..Wanted::default()
        })
    }
}

/// The beginning of a day in seconds since 1970.
fn day(text: &str) -> Result<i64, Failure> {
    let begin: When = format!("{text}T00:00:00Z")
        .parse()
        .map_err(|_| Failure::new(format!("“{text}” is no day such as 2026-05-03.")))?;
    Ok(begin.unix_seconds())
}

fn statuses() -> impl TypedValueParser<Value = Status> {
    PossibleValuesParser::new(Status::ALL.iter().map(|status| status.label()))
        .try_map(|text| Status::from_code(&text).ok_or("no such status"))
}

fn sorts() -> impl TypedValueParser<Value = Sort> {
    PossibleValuesParser::new(Sort::ALL.iter().map(|sort| sort.code())).try_map(|text| {
        let mut all = Sort::ALL.iter().copied();
        all.find(|sort| sort.code() == text).ok_or("no such order")
    })
}

fn verdicts() -> impl TypedValueParser<Value = Verdict> {
    const ALL: [Verdict; 4] = [
        Verdict::Fits,
        Verdict::FitsWithWork,
        Verdict::NotSettled,
        Verdict::DoesNotFit,
    ];
    PossibleValuesParser::new(ALL.map(Verdict::label)).try_map(|text| {
        let mut all = ALL.into_iter();
        all.find(|verdict| verdict.label() == text)
            .ok_or("no such verdict")
    })
}

pub(super) fn run(options: &Options, out: &mut dyn Write) -> Result<(), Failure> {
    let open = |register: &RegisterOption| -> Result<Register, Failure> {
        Ok(Register::open_existing(&register.location()?)?)
    };
    match &options.command {
        Command::List {
            register,
            wanted,
            skip,
            most,
            json,
        } => {
            let wanted = Wanted {
                skip: *skip,
                most: *most,
                ..wanted.wanted()?
            };
            let page = open(register)?.list(&wanted)?;
            if *json {
                return print_json(&page, out);
            }
            for line in &page.lines {
                writeln!(out, "{}", one_line(line))?;
            }
            writeln!(out, "{} of {} surveys.", page.lines.len(), page.all)?;
            Ok(())
        }
        Command::Show { which, json } => {
            let (mut register, id) = which.open()?;
            show(&mut register, id, *json, out)
        }
        Command::Changes { which, from, to } => {
            let (mut register, id) = which.open()?;
            let later = register.bundle_of(id, *to)?;
            let earlier = match from {
                Some(from) => Some(register.bundle_of(id, Some(*from))?),
                None => {
                    let all = register.revisions(id)?;
                    let at = all.iter().position(|one| one.bundle == later.bundle);
                    at.and_then(|at| all.into_iter().nth(at + 1))
                }
            };
            let Some(earlier) = earlier else {
                return Err(Failure::new(format!(
                    "Survey {id} has no revision before {}.",
                    later.revision
                )));
            };
            let before = register.captured(&earlier.bundle)?;
            let after = register.captured(&later.bundle)?;
            print_json(&Changes::between(&before, &after), out)
        }
        Command::Mark {
            which,
            status,
            who,
            date,
            crew,
            remark,
        } => {
            let (mut register, id) = which.open()?;
            let marked = Marked {
                date: date.as_deref(),
                crew: crew.as_deref(),
                remark,
            };
            register.set_status(id, *status, marked, who, When::now())?;
            writeln!(out, "id:{id} is {} now.", status.label())?;
            Ok(())
        }
        Command::Compare {
            which,
            revision,
            json,
        } => {
            let (mut register, id) = which.open()?;
            let later = revision.bundle(&mut register, id)?;
            let shown = register.bundle_of(id, None)?;
            let compared = register.compare(&shown.bundle, &later.bundle)?;
            match json {
                true => print_json(&compared, out),
                false => {
                    let survey = register.captured(&later.bundle)?;
                    side_by_side(&shown, &later, &compared, &survey, out)
                }
            }
        }
        Command::Accept {
            which,
            revision,
            who,
        } => {
            let (mut register, id) = which.open()?;
            let bundle = revision.bundle(&mut register, id)?;
            register.accept(id, &bundle.bundle, who, When::now())?;
            writeln!(out, "{}", one_line(&register.line(id)?))?;
            Ok(())
        }
        Command::Correct {
            which,
            field,
            answer,
            spot,
            item,
            reason,
            who,
        } => {
            let (mut register, id) = which.open()?;
            let survey = register.current(id)?;
            let spot = spot.map(|number| spot_of(&survey, number)).transpose()?;
            let at = place(field, spot, item.map(ItemId))
                .ok_or_else(|| Failure::new(format!("There is no answer “{field}”.")))?;
            let made = register.correct(id, at, answer, reason, who, When::now())?;
            writeln!(out, "{}", correction_line(&made, &survey))?;
            let line = register.line(id)?;
            writeln!(out, "{}", one_line(&line))?;
            Ok(())
        }
        Command::Withdraw {
            which,
            correction,
            who,
        } => {
            let (mut register, id) = which.open()?;
            register.withdraw(id, *correction, who, When::now())?;
            let line = register.line(id)?;
            writeln!(out, "{}", one_line(&line))?;
            Ok(())
        }
        Command::Again {
            register,
            criteria,
            adopt,
            who,
            json,
        } => {
            let who = who.as_deref().filter(|_| *adopt);
            again(&mut open(register)?, criteria, who, *json, out)
        }
        Command::Export {
            register,
            wanted,
            form,
            to,
        } => {
            let (mut register, wanted) = (open(register)?, wanted.wanted()?);
            match to {
                None => export::write(&mut register, &wanted, (*form).into(), out)?,
                Some(path) => export::to_file(&mut register, &wanted, (*form).into(), path)?,
            };
            Ok(())
        }
        Command::Bundle {
            which,
            revision,
            to,
        } => {
            let (mut register, id) = which.open()?;
            let bundle = register.bundle_of(id, *revision)?;
            let to = if to.is_dir() {
                // The name came from outside: only its last part is used.
                to.join(Path::new(&bundle.name).file_name().unwrap_or_default())
            } else {
                to.clone()
            };
            register.copy_out(&bundle.bundle, &to)?;
            writeln!(out, "{}", to.display())?;
            Ok(())
        }
        Command::Refused { register, json } => {
            let mut register = open(register)?;
            let refused = register.refused()?;
            if *json {
                return print_json(&refused, out);
            }
            for file in &refused {
                writeln!(out, "{}  {}", file.refused_at, file.reason)?;
                if let Some(aside) = register.vault().refused_path(&file.file) {
                    writeln!(out, "    kept aside as {}", aside.display())?;
                }
            }
            writeln!(out, "{} refused files.", refused.len())?;
            Ok(())
        }
        Command::Refresh { register } => {
            let mut register = open(register)?;
            let stale = register.stale()?;
            while register.refresh()? > 0 {}
            writeln!(out, "{stale} surveys judged anew.")?;
            Ok(())
        }
        Command::Backup { register, to } => {
            let done = open(register)?.backup(to)?;
            writeln!(
                out,
                "{}: {} events, {} files; {} are new here.",
                to.display(),
                done.events,
                done.files,
                done.copied
            )?;
            Ok(())
        }
        Command::Restore {
            register,
            from,
            who,
        } => {
            let location = register.location()?;
            let restored = Register::restore(&location, from, who, When::now())?;
            rebuilt(restored, out)
        }
        Command::Rebuild { register, who } => {
            let location = register.location()?;
            rebuilt(Register::rebuild(&location, who, When::now())?, out)
        }
        Command::Repair {
            register,
            originals,
            who,
        } => {
            let location = register.location()?;
            let repaired = Register::repair(&location, originals, who, When::now())?;
            rebuilt(repaired, out)
        }
        Command::Check { register, json } => check(&mut open(register)?, *json, out),
    }
}

/// Says what a register was rebuilt from, and what could not be brought back.
fn rebuilt((register, done): (Register, Rebuilt), out: &mut dyn Write) -> Result<(), Failure> {
    writeln!(
        out,
        "{}: surveys {}, events {}, originals put back {}, bundles unknown before {}.",
        register.location(),
        done.surveys,
        done.events,
        done.mended,
        done.entered
    )?;
    for lost in &done.lost {
        writeln!(out, "{lost}")?;
    }
    match done.lost.len() {
        0 => Ok(()),
        lost => Err(Failure::new(format!(
            "{}: not brought back: {lost}.",
            register.location()
        ))),
    }
}

/// Says what the register's check found.
fn check(register: &mut Register, json: bool, out: &mut dyn Write) -> Result<(), Failure> {
    let found = register.check()?;
    let wrong = found.iter().filter(|one| one.wrong != Wrong::Stale).count();
    if json {
        print_json(&found, out)?;
    } else {
        for one in &found {
            writeln!(out, "{}", one.what)?;
        }
        if wrong == 0 {
            writeln!(out, "{}: nothing is damaged.", register.location())?;
        }
    }
    match wrong {
        0 => Ok(()),
        _ => Err(Failure::new(format!(
            "{}: {wrong} found that should not be; `joistlight register repair` mends what it can.",
            register.location()
        ))),
    }
}

/// Two revisions side by side.
fn side_by_side(
    shown: &Revision,
    later: &Revision,
    compared: &Comparison,
    survey: &Survey,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let of = |revision: &Revision| {
        format!(
            "revision {} ({}, taken in {})",
            revision.revision,
            &revision.bundle.to_string()[..8],
            revision.taken_in
        )
    };
    writeln!(out, "shown:     {}", of(shown))?;
    writeln!(out, "compared:  {}", of(later))?;
    let or = |text: &Option<String>, nothing: &str| text.clone().unwrap_or(nothing.to_owned());
    let changes = &compared.changes;
    writeln!(out, "{} answers differ:", changes.answers.len())?;
    for change in &changes.answers {
        let count = |what: &str, number: Option<usize>| {
            number.map_or(String::new(), |number| format!(" ({what} {number})"))
        };
        let item = change.at.item.and_then(|item| usize::try_from(item.0).ok());
        writeln!(
            out,
            "  {}{}{}: {} → {}",
            change.label,
            count("spot", change.at.spot.and_then(|it| number_of(survey, it))),
            count("item", item),
            or(&change.before, "not answered"),
            or(&change.after, "not answered")
        )?;
    }
    for (what, added, removed) in [
        (
            "spots",
            changes.spots_added.len(),
            changes.spots_removed.len(),
        ),
        (
            "items",
            changes.items_added.len(),
            changes.items_removed.len(),
        ),
        (
            "photos",
            changes.photos_added.len(),
            changes.photos_removed.len(),
        ),
    ] {
        if added + removed > 0 {
            writeln!(out, "  {what}: {added} added, {removed} removed")?;
        }
    }
    writeln!(out, "{} results differ:", compared.figures.len())?;
    for figure in &compared.figures {
        let told = |judged: &Option<Judgement>| {
            judged
                .as_ref()
                .map_or("not judged".to_owned(), Judgement::english)
        };
        match &figure.spot {
            Some(spot) => writeln!(out, "  {spot}: {}", figure.title)?,
            None => writeln!(out, "  {}", figure.title)?,
        }
        writeln!(out, "    shown:     {}", told(&figure.before))?;
        writeln!(out, "    compared:  {}", told(&figure.after))?;
    }
    Ok(())
}

/// A survey of the list on one line.
fn one_line(line: &Line) -> String {
    let or = |text: &str, instead: &str| match text {
        "" => instead.to_owned(),
        text => text.to_owned(),
    };
    let mut words = format!(
        "id:{}  {}  {}  {}  r{}  {}  {}",
        &line.survey.to_string()[..8],
        line.visited_at.get(..10).unwrap_or(""),
        or(&line.job, "(no job reference)"),
        or(&line.client, "(no client)"),
        line.revision,
        status_words(line.status, &line.scheduled, &line.crew),
        line.summary
            .as_ref()
            .map_or_else(|| "not judged".to_owned(), in_words),
    );
    if line.differs > 0 {
        words += &format!(", differs from the phone in {}", line.differs);
    }
    if line.corrected > 0 {
        words += &format!(", {} corrected", line.corrected);
    }
    match line.waiting {
        0 => {}
        1 => words += ", a revision waits",
        some => words += &format!(", {some} revisions wait"),
    }
    if line.stale {
        words += ", judged by earlier rules";
    }
    words
}

/// A status, with day and crew where the job is scheduled.
fn status_words(status: Status, date: &str, crew: &str) -> String {
    match status {
        Status::Scheduled => format!("scheduled {date}, {crew}"),
        status => status.label().to_owned(),
    }
}

/// The spot of this number, counted from 1.
fn spot_of(survey: &Survey, number: usize) -> Result<ItemId, Failure> {
    let spot = number.checked_sub(1).and_then(|at| survey.spots.get(at));
    spot.map(|spot| spot.id).ok_or_else(|| {
        Failure::new(format!(
            "There is no spot {number}; spots of this survey: {}.",
            survey.spots.len()
        ))
    })
}

/// How people count a spot; nothing where the survey has it no more.
fn number_of(survey: &Survey, spot: ItemId) -> Option<usize> {
    let at = survey.spots.iter().position(|it| it.id == spot)?;
    Some(at + 1)
}

fn correction_line(correction: &Correction, survey: &Survey) -> String {
    let or_nothing = |text: &Option<String>| text.clone().unwrap_or_else(|| "nothing".to_owned());
    let item = correction.item;
    let item = item.map_or(String::new(), |item| format!(" item {}", item.0));
    let spot = match correction.spot.map(|spot| number_of(survey, spot)) {
        Some(Some(number)) => format!(" spot {number}"),
        Some(None) => " of a spot that is gone".to_owned(),
        None => String::new(),
    };
    let state = match (&correction.withdrawn_by, correction.stands) {
        (Some(who), _) => format!("withdrawn by {who}"),
        (None, true) => "stands".to_owned(),
        (None, false) => "no longer stands: there is a later answer".to_owned(),
    };
    format!(
        "correction {}: {}{}{}: {} instead of {} ({}; {}, {}) {state}",
        correction.number,
        correction.field,
        spot,
        item,
        or_nothing(&correction.answer),
        or_nothing(&correction.was),
        correction.reason,
        correction.who,
        correction.made_at,
    )
}

fn show(
    register: &mut Register,
    id: uuid::Uuid,
    json: bool,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let line = register.line(id)?;
    let revisions = register.revisions(id)?;
    let statuses = register.statuses(id)?;
    let (survey, corrections) = register.corrected(id)?;
    if json {
        #[derive(Serialize)]
        struct Shown<'a> {
            line: &'a Line,
            revisions: &'a [crate::office::register::Revision],
            statuses: &'a [crate::office::register::StatusChange],
            corrections: &'a [Correction],
            survey: &'a Survey,
        }
        let shown = Shown {
            line: &line,
            revisions: &revisions,
            statuses: &statuses,
            corrections: &corrections,
            survey: &survey,
        };
        return print_json(&shown, out);
    }
    writeln!(out, "survey    {id}")?;
    for (name, text) in [
        ("job", &line.job),
        ("client", &line.client),
        ("address", &line.address),
        ("surveyor", &line.surveyor),
        ("visited", &line.visited_at),
    ] {
        writeln!(out, "{name:<10}{text}")?;
    }
    let status = status_words(line.status, &line.scheduled, &line.crew);
    writeln!(out, "status    {status}")?;
    if let Some(summary) = &line.summary {
        writeln!(out, "verdict   {}", in_words(summary))?;
        for spot in &summary.spots {
            writeln!(out, "  {}: {}", spot.name, spot.verdict.label())?;
            let mut list = |what: &str, rules: &[String]| match rules {
                [] => Ok(()),
                rules => writeln!(out, "    {what}: {}", rules.join(", ")),
            };
            list("to mend", &spot.work)?;
            list("against it", &spot.against)?;
            if spot.missing > 0 {
                writeln!(out, "    answers that still matter: {}", spot.missing)?;
            }
        }
    }
    for revision in &revisions {
        let shown = match (revision.current, revision.waits) {
            (true, _) => ", shown",
            (_, true) => ", waits to be accepted",
            _ => "",
        };
        writeln!(
            out,
            "revision {}: {} ({} bytes), taken in {}{shown}",
            revision.revision, revision.name, revision.bytes, revision.taken_in
        )?;
        if !revision.differences.same_result() {
            writeln!(
                out,
                "    the office came to something else than the phone in {} findings and verdicts",
                revision.differences.count()
            )?;
        }
    }
    for change in &statuses {
        writeln!(
            out,
            "{}: {} ({}) {}",
            change.changed_at,
            status_words(
                change.status,
                change.date.as_deref().unwrap_or_default(),
                change.crew.as_deref().unwrap_or_default()
            ),
            change.who,
            change.remark
        )?;
    }
    for correction in &corrections {
        writeln!(out, "{}", correction_line(correction, &survey))?;
    }
    Ok(())
}

fn again(
    register: &mut Register,
    options: &CriteriaOptions,
    adopt: Option<&str>,
    json: bool,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let adopt = adopt.map(|who| (who, When::now()));
    let old = register.criteria();
    let codes = options.codes(old.codes);
    let criteria = match options.fans()? {
        Some((file, text)) => JudgingCriteria::new(codes, &file, &text)?,
        None => JudgingCriteria {
            codes,
            ..old.clone()
        },
    };
    let mut changed = 0;
    let mut written: io::Result<()> = Ok(());
    let all = register.judge_again(&criteria, adopt, &mut |one| {
        changed += 1;
        if written.is_err() {
            return;
        }
        written = (|| {
            if json {
                serde_json::to_writer(&mut *out, one)?;
                return writeln!(out);
            }
            let before = one.before.as_ref();
            writeln!(
                out,
                "id:{}  {}: {} → {}",
                &one.survey.to_string()[..8],
                one.job,
                before.map_or_else(|| "not judged".to_owned(), in_words),
                in_words(&one.after)
            )
        })();
    })?;
    written?;
    if !json {
        let kept = if adopt.is_some() {
            "the register judges by them from now on"
        } else {
            "nothing was kept"
        };
        writeln!(out, "{changed} of {all} surveys change; {kept}.")?;
    }
    Ok(())
}

impl From<crate::survey::fields::FieldError> for Failure {
    fn from(error: crate::survey::fields::FieldError) -> Self {
        RegisterError::from(error).into()
    }
}
