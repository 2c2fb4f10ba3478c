//! The list as a file for other programs: comma-separated values (RFC 4180), or JSON Lines.

use super::register::{Line, Register, RegisterError, Wanted};
use crate::disk::{About, DiskError, Draft};
use serde::Serialize;
use std::io::{self, Write};
use std::path::Path;

/// The form of a written list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Comma-separated values, with a line of headings.
    Csv,
    /// JSON Lines: one object a survey.
    JsonLines,
}

/// Why a list was not written.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The register.
    #[error(transparent)]
    Register(#[from] RegisterError),
    /// The file.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// What it was written to.
    #[error("the output could not be written: {0}.")]
    Output(#[from] io::Error),
}

/// What a written line says.
#[derive(Serialize)]
struct Exported<'a> {
    survey: String,
    revision: u32,
    bundles: u32,
    status: &'a str,
    visited_at: &'a str,
    job: &'a str,
    client: &'a str,
    address: &'a str,
    surveyor: &'a str,
    verdict: &'a str,
    settled: bool,
    best_spot: &'a str,
    best_fan: &'a str,
    framing: &'a str,
    work: String,
    missing_answers: usize,
    differs_from_phone: u32,
    corrected: u32,
    revisions_waiting: u32,
    scheduled: &'a str,
    crew: &'a str,
}

impl<'a> Exported<'a> {
    fn of(line: &'a Line) -> Self {
        let summary = line.summary.as_ref();
        let best = summary.and_then(|summary| summary.best_spot());
        let or = |text: Option<&'a String>| text.map_or("", String::as_str);
        Exported {
            survey: line.survey.to_string(),
            revision: line.revision,
            bundles: line.bundles,
            status: line.status.label(),
            visited_at: &line.visited_at,
            job: &line.job,
            client: &line.client,
            address: &line.address,
            surveyor: &line.surveyor,
            verdict: summary.map_or("", |summary| summary.verdict.label()),
            settled: summary.is_some_and(|summary| summary.settled),
            best_spot: or(best.map(|spot| &spot.name)),
            best_fan: or(best.and_then(|spot| spot.fan.as_ref())),
            framing: or(best.and_then(|spot| spot.framing.as_ref())),
            work: best.map_or(String::new(), |spot| spot.work.join("; ")),
            missing_answers: summary.map_or(0, |summary| summary.missing()),
            differs_from_phone: line.differs,
            corrected: line.corrected,
            revisions_waiting: line.waiting,
            scheduled: &line.scheduled,
            crew: &line.crew,
        }
    }
}

/// Spreadsheets take a text that begins so for a formula and run it; a mark before it keeps it a text.
pub(super) fn harmless(text: &str) -> String {
    match text.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r') => format!("'{text}"),
        _ => text.to_owned(),
    }
}

/// Writes every line that is wanted, whatever the page says; returns how many there were.
///
/// # Errors
/// The register, or what is written to.
pub fn write(
    register: &mut Register,
    wanted: &Wanted,
    form: Form,
    out: &mut dyn Write,
) -> Result<usize, ExportError> {
    let mut count = 0;
    match form {
        Form::JsonLines => register.each_line(wanted, |line| {
            count += 1;
            serde_json::to_writer(&mut *out, &Exported::of(&line)).map_err(io::Error::from)?;
            writeln!(out)?;
            Ok::<_, ExportError>(())
        })?,
        Form::Csv => {
            // A list without lines has its headings all the same.
            let mut first: Vec<u8> = Vec::new();
            csv::Writer::from_writer(&mut first)
                .serialize(Exported::of(&Line::default()))
                .map_err(io::Error::other)?;
            let end = first.iter().position(|byte| *byte == b'\n');
            out.write_all(&first[..end.map_or(first.len(), |at| at + 1)])?;
            let mut csv = csv::WriterBuilder::new()
                .has_headers(false)
                .from_writer(out);
            register.each_line(wanted, |line| {
                count += 1;
                let line = Line {
                    job: harmless(&line.job),
                    client: harmless(&line.client),
                    address: harmless(&line.address),
                    surveyor: harmless(&line.surveyor),
                    ..line
                };
                csv.serialize(Exported::of(&line)).map_err(|error| {
                    ExportError::from(match error.into_kind() {
                        csv::ErrorKind::Io(error) => error,
                        other => io::Error::other(format!("{other:?}")),
                    })
                })
            })?;
            csv.flush()?;
        }
    }
    Ok(count)
}

/// The same into a file, which is whole or not there.
///
/// # Errors
/// As [`write()`], naming the file.
pub fn to_file(
    register: &mut Register,
    wanted: &Wanted,
    form: Form,
    path: &Path,
) -> Result<usize, ExportError> {
    let mut draft = io::BufWriter::new(Draft::begin(path)?);
    let count = match write(register, wanted, form, &mut draft) {
        Err(ExportError::Output(source)) => {
            let path = path.to_owned();
            return Err(DiskError { path, source }.into());
        }
        written => written?,
    };
    let draft = draft.into_inner().map_err(io::IntoInnerError::into_error);
    draft.about(path)?.keep()?;
    Ok(count)
}
