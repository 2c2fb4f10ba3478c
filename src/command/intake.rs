//! `joistlight intake`: takes bundles into the register.

use super::{Failure, RegisterOption};
use crate::office::intake::{self, IntakeOutcome, Step, Sum};
use crate::office::register::{Entered, Register};
use crate::office::summary::VerdictSummary;
use crate::office::watch::Watch;
use clap::Args;
use std::io::Write;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

/// Take bundles into the register: check every byte, judge again, keep each as it came.
///
/// Run again after it was cut off, or with the same bundles, it changes nothing that is in already. A refused file
/// is kept aside untouched with the reason.
#[derive(Debug, Args)]
pub(super) struct Options {
    /// Bundles, or folders with bundles in them, however deep.
    #[arg(required = true)]
    paths: Vec<PathBuf>,
    #[command(flatten)]
    register: RegisterOption,
    /// Who takes them in; without it, whoever uses this machine.
    #[arg(long, default_value = "")]
    who: String,
    /// Print one JSON object a file, and the sum as the last one.
    #[arg(long)]
    json: bool,
    /// Go on taking in what arrives in the folders, until the program is ended.
    #[arg(long)]
    watch: bool,
}

/// How long the folders are left alone between two looks.
const PAUSE: Duration = Duration::from_secs(2);

pub(super) fn run(options: &Options, out: &mut (dyn Write + Send)) -> Result<(), Failure> {
    let files = intake::files(&options.paths)?;
    let mut register = Register::open(&options.register.location()?)?;
    register.set_author(&options.who);
    if options.watch {
        let mut watch = Watch::default();
        loop {
            let arrived = watch.look(&options.paths)?;
            if !arrived.is_empty() {
                // Whoever watches is not at the end of anything: refused files are told and kept, and it goes on.
                take_in(&mut register, &arrived, options.json, out)?;
            }
            std::thread::sleep(PAUSE);
        }
    }
    let sum = take_in(&mut register, &files, options.json, out)?;
    match sum.refused + sum.skipped {
        0 => Ok(()),
        1 => Err(Failure::some_refused(
            "1 file was not taken in; its line says why.",
        )),
        some => Err(Failure::some_refused(format!(
            "{some} files were not taken in; their lines say why."
        ))),
    }
}

/// Takes files in and prints what became of each, and the sum.
fn take_in(
    register: &mut Register,
    files: &[PathBuf],
    as_json: bool,
    out: &mut (dyn Write + Send),
) -> Result<Sum, Failure> {
    let mut written = Ok(());
    let mut told = |step: Step| {
        if written.is_ok() {
            written = if as_json {
                json(&step, out)
            } else {
                line(&step, out)
            };
        }
    };
    let sum = intake::take_in(register, files, &AtomicBool::new(false), &mut told)?;
    written?;
    if as_json {
        serde_json::to_writer(&mut *out, &sum).map_err(std::io::Error::from)?;
        writeln!(out)?;
    } else {
        writeln!(out, "{}", sentence(&sum))?;
        writeln!(out, "Register: {}", register.location())?;
    }
    out.flush()?;
    Ok(sum)
}

fn json(step: &Step, out: &mut dyn Write) -> std::io::Result<()> {
    #[derive(serde::Serialize)]
    struct Line<'a> {
        file: String,
        #[serde(flatten)]
        taken: &'a IntakeOutcome,
    }
    let line = Line {
        file: step.file.display().to_string(),
        taken: step.outcome,
    };
    serde_json::to_writer(&mut *out, &line)?;
    writeln!(out)?;
    out.flush()
}

fn line(step: &Step, out: &mut dyn Write) -> std::io::Result<()> {
    let Step { done, of, file, .. } = step;
    let file = file.display();
    write!(out, "[{done:>width$}/{of}] ", width = of.to_string().len())?;
    match step.outcome {
        IntakeOutcome::Entered {
            how,
            revision,
            job,
            summary,
            differences,
            ..
        } => {
            let how = match how {
                Entered::New => "new".to_owned(),
                Entered::Revision => format!("revision {revision}"),
                Entered::Waits => format!("revision {revision} waits to be accepted"),
                Entered::Known => "known already".to_owned(),
            };
            let job = if job.is_empty() {
                "no job reference"
            } else {
                job
            };
            writeln!(out, "{how}: {job}, {} ({file})", in_words(summary))?;
            if !differences.same_result() {
                writeln!(
                    out,
                    "    differs from the phone in {} findings and verdicts:",
                    differences.count()
                )?;
                let few = differences.verdicts.iter().chain(&differences.findings);
                for difference in few.take(3) {
                    writeln!(
                        out,
                        "    {}: phone “{}”, office “{}”",
                        difference.about, difference.phone, difference.office
                    )?;
                }
                for difference in &differences.criteria {
                    writeln!(
                        out,
                        "    judged by another {}: phone {}, office {}",
                        difference.about, difference.phone, difference.office
                    )?;
                }
            }
        }
        IntakeOutcome::Known { .. } => writeln!(out, "known already ({file})")?,
        IntakeOutcome::Refused { reason, aside } => {
            writeln!(out, "refused: {reason}")?;
            if let Some(aside) = aside {
                writeln!(out, "    kept aside as {}", aside.display())?;
            }
        }
        IntakeOutcome::Skipped { reason } => writeln!(out, "skipped: {reason}")?,
    }
    // Whoever watches many files wants to see each as it is done.
    out.flush()
}

/// A survey's verdict with the best spot and fan.
pub(super) fn in_words(summary: &VerdictSummary) -> String {
    let mut words = summary.verdict.label().to_owned();
    if let Some(spot) = summary.best_spot() {
        words += &format!(" ({}", spot.name);
        if let (Some(fan), Some(framing)) = (&spot.fan, &spot.framing) {
            words += &format!(", {fan}, {framing}");
        }
        words += ")";
    }
    match summary.missing() {
        0 => {}
        1 => words += ", 1 answer still matters",
        missing => words += &format!(", {missing} answers still matter"),
    }
    words
}

fn sentence(sum: &Sum) -> String {
    let mut parts = Vec::new();
    let mut part = |count: usize, words: &str| {
        if count > 0 {
            parts.push(format!("{count} {words}"));
        }
    };
    part(sum.new, "new");
    part(sum.revisions, "more revisions");
    part(sum.waiting, "waiting to be accepted");
    part(sum.known, "known already");
    part(sum.refused, "refused");
    part(sum.skipped, "skipped");
    part(sum.differ, "come to another result than on the phone");
    if parts.is_empty() {
        return "There was nothing to take in.".to_owned();
    }
    format!("{}.", parts.join(", "))
}
