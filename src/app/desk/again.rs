//! Judging everything again, by other code editions or another fan list.

use super::{Desk, files};
use crate::app::work::{Job, Report};
use crate::disk::About;
use crate::office::register::{JudgingCriteria, Register, RegisterError, Rejudged};
use crate::rules::Say;
use crate::trade::codes::{Building, Codes, Electrical, Energy};
use std::path::Path;

/// How many surveys that change are listed; all of them are counted.
const LISTED: usize = 1000;
/// The most bytes of a fan list's file.
const FAN_LIST_MOST: u64 = 16 << 20;

/// Judging again.
#[derive(Debug, Default)]
pub struct Again {
    /// The editions to judge by.
    pub codes: Codes,
    /// The file of another fan list, as typed; empty for the register's own.
    pub fans: String,
    /// The surveys that would change, or did.
    pub changed: Vec<Rejudged>,
    /// How many change.
    pub count: usize,
    /// How many were judged; nothing before that was asked.
    pub of: Option<usize>,
    /// Whether it is at work.
    pub working: bool,
    /// Whether what is listed was adopted.
    pub adopted: bool,
    /// Why it was not done.
    pub trouble: String,
}

impl Again {
    pub(super) fn of(criteria: &JudgingCriteria) -> Again {
        Again {
            codes: criteria.codes,
            ..Again::default()
        }
    }

    /// What was found no longer fits what is asked.
    fn forget(&mut self) {
        self.changed.clear();
        self.count = 0;
        self.of = None;
        self.adopted = false;
        self.trouble.clear();
    }
}

/// The register's criteria with other editions, and with the fan list in a file where one is named.
fn criteria(
    register: &Register,
    codes: Codes,
    fans: &Path,
) -> Result<JudgingCriteria, RegisterError> {
    if fans.as_os_str().is_empty() {
        return Ok(JudgingCriteria {
            codes,
            ..register.criteria().clone()
        });
    }
    let length = std::fs::metadata(fans).about(fans)?.len();
    let text = match length {
        // A file that large is no fan list, whatever is in it.
        FAN_LIST_MOST.. => String::new(),
        _ => std::fs::read_to_string(fans).about(fans)?,
    };
    Ok(JudgingCriteria::new(
        codes,
        &fans.display().to_string(),
        &text,
    )?)
}

impl Desk {
    /// Picks an edition of the building code (0), the energy code (1) or the electrical code (2).
    pub fn pick_edition(&mut self, code: usize, at: usize) {
        let codes = &mut self.again.codes;
        match code {
            0 => codes.building = *Building::ALL.get(at).unwrap_or(&codes.building),
            1 => codes.energy = *Energy::ALL.get(at).unwrap_or(&codes.energy),
            _ => codes.electrical = *Electrical::ALL.get(at).unwrap_or(&codes.electrical),
        }
        self.again.forget();
    }

    /// Types the file of another fan list.
    pub fn type_fans(&mut self, text: &str) {
        if self.again.fans != text {
            text.clone_into(&mut self.again.fans);
            self.again.forget();
        }
    }

    /// Judges everything again, beside the window; with `adopt` the register judges so from then on.
    pub fn judge_again(&mut self, adopt: bool) {
        if self.again.working {
            return;
        }
        self.again.forget();
        self.again.working = true;
        let (codes, fans) = (self.again.codes, files::path(&self.again.fans));
        let location = self.options.register.clone();
        let (who, now) = (self.kept.who.clone(), (self.options.now)());
        self.jobs.push(Job::new(move |report: &Report<Desk>| {
            let work = || -> Result<usize, RegisterError> {
                let mut register = Register::open_existing(&location)?;
                let adopt = adopt.then_some((who.as_str(), now));
                let criteria = criteria(&register, codes, &fans)?;
                let mut count = 0;
                register.judge_again(&criteria, adopt, &mut |one| {
                    count += 1;
                    let listed = (count <= LISTED).then(|| one.clone());
                    report.meanwhile(Box::new(move |desk: &mut Desk| {
                        desk.again.count += 1;
                        desk.again.changed.extend(listed);
                    }));
                })
            };
            let judged = work();
            Box::new(move |desk: &mut Desk| {
                desk.again.working = false;
                match judged {
                    Ok(all) => {
                        desk.again.of = Some(all);
                        desk.again.adopted = adopt;
                        if adopt {
                            desk.adopted();
                        }
                    }
                    Err(error) => desk.again.trouble = desk.told(&error),
                }
            })
        }));
    }

    /// Judges anew what earlier rules judged, beside the window; the list is looked up again as it goes on.
    pub(super) fn refresh(&mut self) {
        if self.ask(Register::stale).unwrap_or(0) == 0 {
            return;
        }
        let location = self.options.register.clone();
        self.jobs.push(Job::new(move |report: &Report<Desk>| {
            let work = || -> Result<(), RegisterError> {
                let mut register = Register::open_existing(&location)?;
                while register.refresh()? > 0 {
                    report.meanwhile(Box::new(Desk::look));
                }
                Ok(())
            };
            let done = work();
            Box::new(move |desk: &mut Desk| match done {
                Ok(()) => desk.look(),
                Err(error) => desk.notice = desk.told(&error),
            })
        }));
    }

    /// What the register judges by now, in a sentence.
    pub fn judged_by(&self) -> String {
        let Some(register) = &self.register else {
            return String::new();
        };
        let (reader, criteria) = (self.reader(), register.criteria());
        let codes = criteria.codes;
        let say = Say::new(
            "The register judges by {building}, {electrical}, energy code: {energy}, fan list: {fans}, version {version}.",
        )
        .with("building", codes.building.code().to_owned())
        .with("electrical", codes.electrical.code().to_owned())
        .with("energy", reader.tr(codes.energy.code()))
        .with("fans", reader.language.name(&criteria.fans.name))
        .with("version", criteria.fans.version.clone());
        reader.said(&say)
    }

    /// Reads what the register judges by now.
    fn adopted(&mut self) {
        self.ask(Register::reload_criteria);
        self.look();
    }
}
