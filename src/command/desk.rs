//! `joistlight desk`: the office's window.

use super::{Failure, RegisterOption};
use crate::app::desk;
use clap::Args;

/// Open the office's window: take bundles in, work with the register, write job packs.
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(flatten)]
    register: RegisterOption,
}

pub(super) fn run(options: &Options) -> Result<(), Failure> {
    let location = options.register.location()?;
    let options = desk::Options::of_this_device(Some(location)).map_err(Failure::new)?;
    desk::run(&options).map_err(Failure::new)
}
