//! `joistlight schema`: what the program's files look like.

use super::{Failure, print_json};
use crate::{rules, survey};
use clap::Args;
use std::io::Write;

/// Print the JSON Schema (draft 2020-12) of survey files.
#[derive(Debug, Args)]
pub(super) struct Options {
    /// The schema of what `assess` prints instead.
    #[arg(long)]
    assessment: bool,
}

pub(super) fn run(options: &Options, out: &mut dyn Write) -> Result<(), Failure> {
    if options.assessment {
        print_json(&rules::schema(), out)
    } else {
        print_json(&survey::schema(), out)
    }
}
