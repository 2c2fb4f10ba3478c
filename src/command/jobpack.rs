//! `joistlight jobpack`: the sheets for whoever plans and does the work.

use super::{Failure, RegisterOption};
use crate::disk::About;
use crate::job::Chosen;
use crate::job::sheets::pdf::Paper;
use crate::office::jobpack;
use crate::office::register::{Register, Wanted};
use crate::rules::Framing;
use crate::words::Language;
use clap::{Args, ValueEnum};
use std::io::Write;
use std::path::PathBuf;

/// Write a survey's job pack: a folder with a sheet for crew, electrician, vents, permit desk and household.
///
/// Each sheet is one HTML file, complete in itself, and one PDF; an overview with pictures is beside them. What is not
/// chosen is chosen as the office would offer it. Where the fan does not fit, the sheets say so.
#[derive(Debug, Args)]
pub(super) struct Options {
    #[command(flatten)]
    register: RegisterOption,
    /// The surveys: job references, or id: and the beginning of an id.
    #[arg(required_unless_present = "all")]
    surveys: Vec<String>,
    /// Every survey of the register.
    #[arg(long, conflicts_with = "surveys")]
    all: bool,
    /// The folder to write the job packs into.
    #[arg(long, value_name = "FOLDER", default_value = ".")]
    to: PathBuf,
    /// The spot's number in the survey, from 1.
    #[arg(long, value_name = "NUMBER", conflicts_with = "all")]
    spot: Option<usize>,
    /// The fan's id in the fan list.
    #[arg(long, value_name = "ID", conflicts_with = "all")]
    fan: Option<String>,
    /// Whether joists are cut.
    #[arg(long, value_enum, conflicts_with = "all")]
    framing: Option<FramingOption>,
    /// The sheets' language.
    #[arg(long, value_enum, default_value_t = LanguageOption::En)]
    language: LanguageOption,
    /// The paper of the PDFs; the HTML prints on either.
    #[arg(long, value_enum, default_value_t = PaperOption::Letter)]
    paper: PaperOption,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum FramingOption {
    /// Joists cut and headed.
    Cut,
    /// Joists left whole.
    Whole,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum LanguageOption {
    /// English.
    En,
    /// Spanish.
    Es,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperOption {
    /// 8 1/2 × 11 in.
    Letter,
    /// 210 × 297 mm.
    A4,
}

impl Options {
    fn wanted(&self) -> jobpack::Wanted {
        jobpack::Wanted {
            chosen: Chosen {
                spot: self.spot,
                fan: self.fan.clone(),
                framing: self.framing.map(|it| match it {
                    FramingOption::Cut => Framing::Cut,
                    FramingOption::Whole => Framing::Whole,
                }),
            },
            language: match self.language {
                LanguageOption::En => Language::English,
                LanguageOption::Es => Language::Spanish,
            },
            paper: match self.paper {
                PaperOption::Letter => Paper::Letter,
                PaperOption::A4 => Paper::A4,
            },
            ways: None,
        }
    }
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
        let path = jobpack::write(&mut register, id, &options.to, &options.wanted())?;
        writeln!(out, "{}", path.display())?;
    }
    Ok(())
}
