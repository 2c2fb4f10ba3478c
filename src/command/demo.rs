//! `joistlight demo`: the whole job on an invented house.

use super::Failure;
use super::intake::in_words;
use crate::demo;
use clap::Args;
use std::io::Write;
use std::path::PathBuf;

/// Carry an invented house through the whole job: survey, bundle, intake, job pack.
#[derive(Debug, Args)]
pub(super) struct Options {
    /// Where to put everything; a new or empty folder, or one of an earlier demo, which is cleared.
    #[arg(default_value = "joistlight-demo")]
    folder: PathBuf,
}

pub(super) fn run(options: &Options, out: &mut dyn Write) -> Result<(), Failure> {
    let demo = demo::run(&options.folder)?;
    writeln!(out, "An invented house, measured at three spots:")?;
    for spot in &demo.summary.spots {
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
    writeln!(out, "Together: {}", in_words(&demo.summary))?;
    writeln!(out)?;
    for (what, path) in [
        ("Survey on the phone", &demo.device),
        ("Bundle for the office", &demo.bundle),
        ("Register of the office", &demo.register),
        ("Job pack", &demo.job_pack),
    ] {
        writeln!(out, "{what:<23}{}", path.display())?;
    }
    writeln!(out)?;
    let (bundle, register) = (demo.bundle.display(), demo.register.display());
    writeln!(
        out,
        "Every finding with every figure:  joistlight assess {bundle}"
    )?;
    writeln!(
        out,
        "The list:  joistlight register list --register {register}"
    )?;
    Ok(())
}
