//! `joistlight jobpack`: the sheets for whoever plans and does the work.

use super::{Failure, RegisterOption};
use crate::disk::About;
use crate::job::Chosen;
use crate::job::price::list;
use crate::office::jobpack::{self, Beside};
use crate::office::register::{Register, Wanted};
use crate::rules::Framing;
use crate::typeset::pdf::Paper;
use crate::words::Language;
use clap::{Args, ValueEnum};
use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;

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
    /// Your price list: adds the customer's quote and the order list. `joistlight prices` prints one to begin with.
    #[arg(long, value_name = "FILE")]
    prices: Option<PathBuf>,
    /// The fan that the quote offers beside the chosen one; else the best other one that fits.
    #[arg(long, value_name = "ID", requires = "prices", conflicts_with_all = ["all", "alone"])]
    beside: Option<String>,
    /// Quote the chosen fan alone.
    #[arg(long, requires = "prices")]
    alone: bool,
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
    fn wanted(&self) -> Result<jobpack::Wanted, Failure> {
        let prices = match &self.prices {
            Some(path) => {
                let text = std::fs::read_to_string(path).about(path)?;
                Some(Arc::new(list::read(&path.display().to_string(), &text)?))
            }
            None => None,
        };
        Ok(jobpack::Wanted {
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
            prices,
            beside: match &self.beside {
                Some(fan) => Beside::Fan(fan.clone()),
                None if self.alone => Beside::Nothing,
                None => Beside::RunnerUp,
            },
        })
    }
}

pub(super) fn run(options: &Options, out: &mut dyn Write) -> Result<(), Failure> {
    let wanted = options.wanted()?;
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
        let path = jobpack::write(&mut register, id, &options.to, &wanted)?;
        writeln!(out, "{}", path.display())?;
    }
    Ok(())
}
