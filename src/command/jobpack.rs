//! `joistlight jobpack`: the page for whoever plans and does the work.

use super::{Failure, RegisterOption};
use crate::disk::About;
use crate::office::jobpack;
use crate::office::register::{Register, Wanted};
use clap::Args;
use std::io::Write;
use std::path::PathBuf;

/// Write a survey's job pack: one HTML page, complete in itself.
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(flatten)]
    register: RegisterOption,
    /// The surveys: ids, beginnings of ids, or job references.
    #[arg(required_unless_present = "all")]
    surveys: Vec<String>,
    /// Every survey of the register.
    #[arg(long, conflicts_with = "surveys")]
    all: bool,
    /// The folder to write the pages into.
    #[arg(long, value_name = "FOLDER", default_value = ".")]
    to: PathBuf,
}

pub(super) fn run(options: &Options, out: &mut dyn Write) -> Result<(), Failure> {
    let mut register = Register::open_existing(&options.register.location()?)?;
    let mut ids = Vec::new();
    if options.all {
        register.each_line(&Wanted::default(), |line| {
            ids.push(line.survey);
            Ok::<_, Failure>(())
        })?;
    }
    for asked in &options.surveys {
        ids.push(register.find(asked)?);
    }
    std::fs::create_dir_all(&options.to).about(&options.to)?;
    for id in ids {
        let path = jobpack::write(&mut register, id, &options.to)?;
        writeln!(out, "{}", path.display())?;
    }
    Ok(())
}
