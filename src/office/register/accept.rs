//! A revision that waits: what it would change, and taking it for the one that counts.

use super::{Judged, Register, RegisterError, Result, Revision, Step, corrections, no_such_survey};
use crate::digest::Sha256Hex;
use crate::office::changes::Comparison;
use crate::office::log::{self, What};
use crate::survey::When;
use uuid::Uuid;

impl Register {
    /// The bundle that is meant to be accepted: of this revision or checksum, or the only one that waits.
    ///
    /// # Errors
    /// None such, or several.
    pub fn bundle_to_accept(
        &mut self,
        id: Uuid,
        revision: Option<u32>,
        bundle: Option<&str>,
    ) -> Result<Revision> {
        let asked = |one: &Revision| {
            revision.is_none_or(|number| one.revision == number)
                && bundle.is_none_or(|begin| one.bundle.to_string().starts_with(begin))
                && (revision.is_some() || bundle.is_some() || one.waits)
        };
        let all = self.revisions(id)?;
        let wanted: Vec<&Revision> = all.iter().filter(|one| asked(one)).collect();
        let register = self.location.to_string();
        match &wanted[..] {
            [one] => Ok((*one).clone()),
            [] => Err(match (revision, bundle) {
                (None, None) => RegisterError::NothingWaits {
                    register,
                    survey: id,
                },
                (revision, bundle) => RegisterError::NoSuchRevision {
                    register,
                    survey: id,
                    revision: match (revision, bundle) {
                        (Some(number), _) => number.to_string(),
                        (None, bundle) => bundle.unwrap_or_default().to_owned(),
                    },
                },
            }),
            several => {
                let which: Vec<String> = several.iter().map(|one| one.bundle.to_string()).collect();
                Err(RegisterError::SeveralSuchRevisions {
                    register,
                    survey: id,
                    which: which.join(", "),
                })
            }
        }
    }

    /// Two bundles of a survey side by side, both with the office's corrections as far as they fit and judged by the
    /// register's criteria.
    ///
    /// # Errors
    /// The database, or no such bundle.
    pub fn compare(&mut self, before: &Sha256Hex, after: &Sha256Hex) -> Result<Comparison> {
        let (before, after) = (self.captured(before)?, self.captured(after)?);
        let made = corrections::among(&self.events(after.id)?);
        let before = corrections::applied(&before, made.clone()).0;
        let after = corrections::applied(&after, made).0;
        let criteria = self.criteria();
        Ok(Comparison::of(
            (&before, &criteria.assess(&before)),
            (&after, &criteria.assess(&after)),
        ))
    }

    /// Takes a bundle for the one that counts, whatever waits: the list shows it from then on. To accept the one
    /// that is shown is to pass over those that wait.
    ///
    /// # Errors
    /// The database, no such bundle, or nobody's name.
    pub fn accept(&mut self, id: Uuid, bundle: &Sha256Hex, who: &str, now: When) -> Result<()> {
        let who = super::named(who)?;
        let (survey, bundle) = (id, *bundle);
        self.change(|change| {
            let job = super::job::Job::of(&log::of_survey(change.database, survey)?);
            if !job.versions.iter().any(|one| one.bundle == bundle) {
                let asked = bundle.to_string();
                return Err(Step::Register(no_such_survey(change.location, &asked)));
            }
            log::append(change.database, now, who, What::Accepted { survey, bundle })?;
            change.project(survey, Judged::Anew)?;
            Ok(())
        })
    }
}
