//! The command line: every part of the office's work without the window.
//!
//! What a command found goes to standard output; what went wrong goes to standard error, one sentence that
//! names the file and the field. Nothing asks back, so that scripts can run it.

mod assess;
mod demo;
#[cfg(feature = "ui")]
mod desk;
mod intake;
mod jobpack;
mod prices;
mod register;
mod schema;

use crate::office::register::Location;
use crate::store::Store;
use crate::survey::FileError;
use crate::trade::codes::{Building, Codes, Electrical, Energy};
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand};
use std::ffi::OsString;
use std::fmt::Display;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

const EXIT_CODES: &str = "\
Exit codes:
  0  done
  1  a file, folder or register could not be read or written, or is not what it should be
  2  the command was not understood
  3  done, but some of the files were refused; each is named with its reason";

/// Surveys a house for a whole-house fan: checks surveys, takes bundles in, keeps the register.
///
/// Without a command, the window opens.
#[derive(Debug, Parser)]
#[command(name = "joistlight", version = env!("JOISTLIGHT_VERSION"), after_help = EXIT_CODES)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Assess(assess::Options),
    Schema(schema::Options),
    Intake(intake::Options),
    Register(register::Options),
    Jobpack(jobpack::Options),
    Prices(prices::Options),
    Demo(demo::Options),
    #[cfg(feature = "ui")]
    Desk(desk::Options),
}

/// Why a command did not do its work: the sentence, and the exit code.
#[derive(Debug)]
pub(super) struct Failure {
    code: u8,
    sentence: String,
    read_no_further: bool,
}

impl Failure {
    /// A file, folder or register that is not as it should be.
    fn new(sentence: impl Display) -> Self {
        Failure {
            code: 1,
            sentence: sentence.to_string(),
            read_no_further: false,
        }
    }
    /// The work is done, but some files were refused.
    fn some_refused(sentence: impl Display) -> Self {
        Failure {
            code: 3,
            sentence: sentence.to_string(),
            read_no_further: false,
        }
    }
}

macro_rules! failures {
    ($($error:ty),*) => {$(
        impl From<$error> for Failure {
            fn from(error: $error) -> Self {
                Failure::new(error)
            }
        }
    )*};
}
failures!(
    FileError,
    crate::list_file::ListError,
    crate::disk::DiskError,
    crate::bundle::BundleError,
    crate::office::register::RegisterError,
    crate::office::jobpack::JobPackError,
    crate::demo::DemoError
);

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        // Only standard output is written without a path.
        Failure {
            read_no_further: error.kind() == io::ErrorKind::BrokenPipe,
            ..Failure::new(format!("the output could not be written: {error}."))
        }
    }
}

/// Runs one command; `line` begins with the program's name.
pub fn run(line: impl IntoIterator<Item = OsString>) -> ExitCode {
    let line = match Line::try_parse_from(line) {
        Ok(line) => line,
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2));
        }
    };
    let mut out = io::BufWriter::new(io::stdout());
    let done = match line.command {
        Command::Assess(options) => assess::run(&options, &mut out),
        Command::Schema(options) => schema::run(&options, &mut out),
        Command::Intake(options) => intake::run(&options, &mut out),
        Command::Register(options) => register::run(&options, &mut out),
        Command::Jobpack(options) => jobpack::run(&options, &mut out),
        Command::Prices(_) => prices::run(&mut out),
        Command::Demo(options) => demo::run(&options, &mut out),
        #[cfg(feature = "ui")]
        Command::Desk(options) => desk::run(&options),
    };
    let done = done.and_then(|()| Ok(out.flush()?));
    match done {
        Ok(()) => ExitCode::SUCCESS,
        // Whoever read the output has seen enough.
        Err(failure) if failure.read_no_further => ExitCode::SUCCESS,
        Err(failure) => {
            let _ = out.flush();
            eprintln!("{}", failure.sentence);
            ExitCode::from(failure.code)
        }
    }
}

/// Which register.
#[derive(Debug, Args)]
struct RegisterOption {
    /// The register: a folder, or a PostgreSQL address (postgres://…). Without it, the one in this user's data
    /// folder, or in the one that JOISTLIGHT_DATA names.
    #[arg(
        long,
        value_name = "WHERE",
        env = "JOISTLIGHT_REGISTER",
        hide_env_values = true
    )]
    register: Option<String>,
}

impl RegisterOption {
    fn location(&self) -> Result<Location, Failure> {
        match &self.register {
            Some(text) => Ok(text.parse().unwrap_or_else(|never| match never {})),
            None => {
                let data = match std::env::var_os("JOISTLIGHT_DATA") {
                    Some(folder) => PathBuf::from(folder),
                    None => Store::platform_folder().map_err(Failure::new)?,
                };
                Ok(Location::Folder(data.join("register")))
            }
        }
    }
}

/// By which code editions and which fan list to judge.
#[derive(Debug, Args)]
struct CriteriaOptions {
    /// The office's own fan list, in place of the generic one.
    #[arg(long, value_name = "FILE")]
    fans: Option<PathBuf>,
    /// Edition of the residential building code.
    #[arg(long, value_parser = editions(Building::ALL, Building::code, Building::from_code))]
    building: Option<Building>,
    /// Edition of the energy code.
    #[arg(long, value_parser = editions(Energy::ALL, Energy::code, Energy::from_code))]
    energy: Option<Energy>,
    /// Edition of the electrical code.
    #[arg(long, value_parser = editions(Electrical::ALL, Electrical::code, Electrical::from_code))]
    electrical: Option<Electrical>,
}

impl CriteriaOptions {
    /// `codes` with the editions that were asked for.
    fn codes(&self, codes: Codes) -> Codes {
        Codes {
            building: self.building.unwrap_or(codes.building),
            energy: self.energy.unwrap_or(codes.energy),
            electrical: self.electrical.unwrap_or(codes.electrical),
        }
    }

    /// The text of the fan list that was asked for, with the file's name.
    fn fans(&self) -> Result<Option<(String, String)>, Failure> {
        let Some(path) = &self.fans else {
            return Ok(None);
        };
        let name = path.display().to_string();
        let text = String::from_utf8(read_file(path)?)
            .map_err(|_| Failure::new(format!("{name}: the text is not UTF-8.")))?;
        Ok(Some((name, text)))
    }
}

/// Reads an edition as its code spells it.
fn editions<T: Copy + Send + Sync + 'static>(
    all: &'static [T],
    code: fn(T) -> &'static str,
    from_code: fn(&str) -> Option<T>,
) -> impl TypedValueParser<Value = T> {
    PossibleValuesParser::new(all.iter().map(move |edition| code(*edition)))
        .try_map(move |text| from_code(&text).ok_or("no such edition"))
}

/// The most bytes of a file that is read whole.
const FILE_LIMIT: u64 = 64 << 20;

/// Reads a file that is meant to be small.
fn read_file(path: &Path) -> Result<Vec<u8>, Failure> {
    use crate::disk::About;
    let metadata = std::fs::metadata(path).about(path)?;
    if metadata.is_dir() {
        return Err(Failure::new(format!(
            "{}: this is a folder, and a file is expected.",
            path.display()
        )));
    }
    if metadata.len() > FILE_LIMIT {
        return Err(Failure::new(format!(
            "{}: {} bytes are more than such a file has.",
            path.display(),
            metadata.len()
        )));
    }
    Ok(std::fs::read(path).about(path)?)
}

/// Writes a value as indented JSON with a newline at its end.
fn print_json(value: &impl serde::Serialize, out: &mut dyn Write) -> Result<(), Failure> {
    serde_json::to_writer_pretty(&mut *out, value).map_err(io::Error::from)?;
    Ok(writeln!(out)?)
}
