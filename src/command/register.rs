//! `joistlight register`: the office's list of surveys.

use super::intake::in_words;
use super::{Failure, RegisterOption, YardstickOptions, print_json};
use crate::office::changes::Changes;
use crate::office::export;
use crate::office::register::{
    Correction, Line, Register, RegisterError, Sort, Status, Wanted, Yardstick, place,
};
use crate::rules::Verdict;
use crate::survey::{ItemId, When};
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
        /// Anything worth keeping with it.
        #[arg(long, default_value = "")]
        remark: String,
    },
    /// Put another answer beside the one that the surveyor captured; nothing is overwritten.
    Correct {
        #[command(flatten)]
        which: Which,
        /// The answer's name, as `assess` prints it, such as attic.roof_height.
        field: String,
        /// The answer that takes its place; empty for "not measured after all".
        answer: String,
        /// The spot's number in the survey, for an answer about a spot.
        #[arg(long)]
        spot: Option<u32>,
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
        correction: i64,
        /// Who withdraws it.
        #[arg(long)]
        who: String,
    },
    /// Judge every survey by other code editions or another fan list, and say which change.
    Again {
        #[command(flatten)]
        register: RegisterOption,
        #[command(flatten)]
        yardstick: YardstickOptions,
        /// Judge by them from now on; without it, nothing is kept.
        #[arg(long)]
        adopt: bool,
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
    /// Look through the whole register for damage.
    Check {
        #[command(flatten)]
        register: RegisterOption,
    },
}

/// Which survey of which register.
#[derive(Debug, Args)]
struct Which {
    #[command(flatten)]
    register: RegisterOption,
    /// The survey: its id, the beginning of its id, or its job reference.
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
            remark,
        } => {
            let (mut register, id) = which.open()?;
            register.set_status(id, *status, who, remark, When::now())?;
            writeln!(out, "{id} is {} now.", status.label())?;
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
            let at = place(field, spot.map(ItemId), item.map(ItemId))
                .ok_or_else(|| Failure::new(format!("There is no answer “{field}”.")))?;
            let made = register.correct(id, at, answer, reason, who, When::now())?;
            writeln!(out, "{}", correction_line(&made))?;
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
            yardstick,
            adopt,
            json,
        } => again(&mut open(register)?, yardstick, *adopt, *json, out),
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
        Command::Check { register } => {
            let mut register = open(register)?;
            register.check()?;
            writeln!(out, "{}: nothing is damaged.", register.location())?;
            Ok(())
        }
    }
}

/// A survey of the list on one line.
fn one_line(line: &Line) -> String {
    let or = |text: &str, instead: &str| match text {
        "" => instead.to_owned(),
        text => text.to_owned(),
    };
    let mut words = format!(
        "{}  {}  {}  {}  r{}  {}  {}",
        &line.survey.to_string()[..8],
        line.visited_at.get(..10).unwrap_or(""),
        or(&line.job, "(no job reference)"),
        or(&line.client, "(no client)"),
        line.revision,
        line.status.label(),
        line.upshot
            .as_ref()
            .map_or_else(|| "not judged".to_owned(), in_words),
    );
    if line.differs > 0 {
        words += &format!(", differs from the phone in {}", line.differs);
    }
    if line.corrected > 0 {
        words += &format!(", {} corrected", line.corrected);
    }
    words
}

fn correction_line(correction: &Correction) -> String {
    let or_nothing = |text: &Option<String>| text.clone().unwrap_or_else(|| "nothing".to_owned());
    let of =
        |what: &str, id: Option<ItemId>| id.map_or(String::new(), |id| format!(" {what} {}", id.0));
    let state = match (&correction.withdrawn_by, correction.stands) {
        (Some(who), _) => format!("withdrawn by {who}"),
        (None, true) => "stands".to_owned(),
        (None, false) => "no longer stands: there is a later answer".to_owned(),
    };
    format!(
        "correction {}: {}{}{}: {} instead of {} ({}; {}, {}) {state}",
        correction.number,
        correction.field,
        of("spot", correction.spot),
        of("item", correction.item),
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
            survey: &'a crate::survey::Survey,
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
    writeln!(out, "status    {}", line.status.label())?;
    if let Some(upshot) = &line.upshot {
        writeln!(out, "verdict   {}", in_words(upshot))?;
        for spot in &upshot.spots {
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
        let shown = if revision.current { ", shown" } else { "" };
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
            change.status.label(),
            change.who,
            change.remark
        )?;
    }
    for correction in &corrections {
        writeln!(out, "{}", correction_line(correction))?;
    }
    Ok(())
}

fn again(
    register: &mut Register,
    options: &YardstickOptions,
    adopt: bool,
    json: bool,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let old = register.yardstick();
    let codes = options.codes(old.codes);
    let yardstick = match options.fans()? {
        Some((file, text)) => Yardstick::new(codes, &file, &text)?,
        None => Yardstick {
            codes,
            ..old.clone()
        },
    };
    let mut changed = 0;
    let mut written: io::Result<()> = Ok(());
    let all = register.judge_again(&yardstick, adopt, &mut |one| {
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
                "{}  {}: {} → {}",
                &one.survey.to_string()[..8],
                one.job,
                before.map_or_else(|| "not judged".to_owned(), in_words),
                in_words(&one.after)
            )
        })();
    })?;
    written?;
    if !json {
        let kept = if adopt {
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
