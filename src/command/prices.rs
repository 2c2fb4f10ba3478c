//! `joistlight prices`: a price list to begin with.

use super::Failure;
use crate::job::price::list::TRIAL;
use clap::Args;
use std::io::Write;

/// Print the price list that comes with the program, all of it made up, to write your own from.
///
/// Save it as a file, put your prices, hours and terms in, and take the line `invented = true` out. Then:
/// `joistlight jobpack --prices FILE …`.
#[derive(Debug, Args)]
pub(super) struct Options {}

pub(super) fn run(out: &mut dyn Write) -> Result<(), Failure> {
    Ok(out.write_all(TRIAL.as_bytes())?)
}
