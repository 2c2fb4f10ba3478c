//! `joistlight assess`: every finding of a survey, with every figure and its unit.

use super::{CriteriaOptions, Failure, print_json, read_file};
use crate::bundle::{Bundle, Watch};
use crate::disk::About;
use crate::rules;
use crate::survey;
use crate::trade::codes::Codes;
use crate::trade::fan;
use clap::Args;
use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// Judge a survey and print every finding, with every computed figure and its unit, as JSON.
///
/// `joistlight schema --assessment` describes what is printed.
#[derive(Debug, Args)]
pub(super) struct Options {
    /// A survey file (survey.json) or a bundle.
    file: PathBuf,
    #[command(flatten)]
    criteria: CriteriaOptions,
}

pub(super) fn run(options: &Options, out: &mut dyn Write) -> Result<(), Failure> {
    let name = options.file.display().to_string();
    let survey = if is_zip(&options.file)? {
        let mut bundle = Bundle::open(&options.file)?;
        bundle.verify(Watch::default())?;
        bundle.survey().clone()
    } else {
        survey::read(&name, &read_file(&options.file)?)?
    };
    let own;
    let fans = match options.criteria.fans()? {
        Some((file, text)) => {
            own = fan::read(&file, &text)?;
            &own
        }
        None => fan::generic(),
    };
    let codes = options.criteria.codes(Codes::default());
    print_json(&rules::assess(&survey, fans, &codes), out)
}

/// Whether the file begins as a zip archive does.
fn is_zip(path: &Path) -> Result<bool, Failure> {
    if path.is_dir() {
        return Ok(false);
    }
    let mut begin = Vec::new();
    File::open(path)
        .and_then(|file| file.take(4).read_to_end(&mut begin))
        .about(path)?;
    Ok(begin == b"PK\x03\x04")
}
