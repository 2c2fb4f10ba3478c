//! What the office knows better than the surveyor wrote.
//!
//! A correction stands beside what was captured and never in its place: it names the answer it was made for, the
//! answer that takes its place, the reason, who and when. Where a later revision of the survey brings another
//! answer than the one that was corrected, the correction no longer stands, and says so.

use super::{Judged, Register, RegisterError, Result, Step};
use crate::office::key;
use crate::office::log::{self, Event, What};
use crate::survey::{FieldRef, ItemId, Survey, Value, Ways, When, fields};
use serde::Serialize;
use uuid::Uuid;

/// A correction.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Correction {
    /// Its number: its event's in the register's log.
    pub number: u64,
    /// Which answer.
    pub field: String,
    /// Of which spot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spot: Option<ItemId>,
    /// Of which item.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub item: Option<ItemId>,
    /// The captured answer that it was made for; nothing where there was none.
    pub was: Option<String>,
    /// The answer that takes its place; nothing where it is taken back as not measured.
    pub answer: Option<String>,
    /// Why.
    pub reason: String,
    /// Who made it.
    pub who: String,
    /// When.
    pub made_at: String,
    /// Who withdrew it, where it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub withdrawn_by: Option<String>,
    /// When it was withdrawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub withdrawn_at: Option<String>,
    /// Whether it is in force: not withdrawn, not followed by another one of the same answer, and the captured
    /// answer still the one that it was made for.
    pub stands: bool,
}

impl Correction {
    /// The answer that it is about.
    fn at(&self) -> Option<FieldRef> {
        place(&self.field, self.spot, self.item)
    }
}

/// The answer of this name; `None` where the catalogue has none such.
pub fn place(field: &str, spot: Option<ItemId>, item: Option<ItemId>) -> Option<FieldRef> {
    let slot = fields::slot(field).map(|slot| slot.id);
    let field = slot.or_else(|| {
        fields::list(field)
            .map(|list| list.complete)
            .filter(|complete| *complete == field)
    })?;
    Some(FieldRef { field, spot, item })
}

/// An answer as exact text: lengths as they were read, everything else as typed in inches, feet and so on.
pub fn exact(value: &Value) -> String {
    match value {
        Value::Length(reading) => reading.to_string(),
        other => other.show(&Ways::default()),
    }
}

/// The survey with the corrections that stand, and all corrections, each with whether it stands.
pub(super) fn applied(
    captured: &Survey,
    mut corrections: Vec<Correction>,
) -> (Survey, Vec<Correction>) {
    let mut corrected = captured.clone();
    let mut done: Vec<FieldRef> = Vec::new();
    // The latest of each answer counts.
    for correction in corrections.iter_mut().rev() {
        let Some(at) = correction.at() else {
            continue;
        };
        if correction.withdrawn_at.is_some() || done.contains(&at) {
            continue;
        }
        done.push(at);
        let now = captured.answer(at).as_ref().map(exact);
        if now != correction.was {
            continue;
        }
        let text = correction.answer.as_deref().unwrap_or("");
        correction.stands = corrected.type_in(at, text, &Ways::default()).is_ok();
    }
    (corrected, corrections)
}

/// The corrections among a survey's events, the first one first; none of them stands yet.
pub(super) fn among(events: &[Event]) -> Vec<Correction> {
    let mut corrections: Vec<Correction> = Vec::new();
    for event in events {
        match &event.what {
            What::Corrected {
                field,
                spot,
                item,
                was,
                answer,
                reason,
                ..
            } => corrections.push(Correction {
                number: event.event,
                field: field.clone(),
                spot: *spot,
                item: *item,
                was: was.clone(),
                answer: answer.clone(),
                reason: reason.clone(),
                who: event.who.clone(),
                made_at: event.at.to_string(),
                withdrawn_by: None,
                withdrawn_at: None,
                stands: false,
            }),
            What::Withdrawn { correction, .. } => {
                let number = *correction;
                if let Some(one) = corrections.iter_mut().find(|one| one.number == number) {
                    one.withdrawn_by = Some(event.who.clone());
                    one.withdrawn_at = Some(event.at.to_string());
                }
            }
            _ => {}
        }
    }
    corrections
}

impl Register {
    /// What the surveyor captured in the current revision.
    ///
    /// # Errors
    /// The database, or no such survey.
    pub fn current(&mut self, id: Uuid) -> Result<Survey> {
        let bundle = self.bundle_of(id, None)?.bundle;
        self.captured(&bundle)
    }

    /// The current revision with the corrections that stand, and all corrections of the survey.
    ///
    /// # Errors
    /// The database, or no such survey.
    pub fn corrected(&mut self, id: Uuid) -> Result<(Survey, Vec<Correction>)> {
        let captured = self.current(id)?;
        Ok(applied(&captured, among(&self.events(id)?)))
    }

    /// Puts another answer beside the captured one, with the reason; blanks say that it was not measured after
    /// all. The survey is judged anew.
    ///
    /// # Errors
    /// The database, no such survey or answer, a text that the answer does not take, no name or no reason.
    pub fn correct(
        &mut self,
        id: Uuid,
        at: FieldRef,
        text: &str,
        reason: &str,
        who: &str,
        now: When,
    ) -> Result<Correction> {
        let who = super::named(who)?;
        super::required(
            !reason.trim().is_empty(),
            key("A correction needs its reason."),
        )?;
        let captured = self.current(id)?;
        // Tried out first: the sentence about a wrong text comes from the field itself.
        captured.clone().type_in(at, text, &Ways::default())?;
        let answer = Some(text.trim()).filter(|text| !text.is_empty());
        let what = What::Corrected {
            survey: id,
            field: at.field.to_owned(),
            spot: at.spot,
            item: at.item,
            was: captured.answer(at).as_ref().map(exact),
            answer: answer.map(str::to_owned),
            reason: reason.trim().to_owned(),
        };
        let made = self.change(|change| {
            log::append(change.database, now, who, what)?;
            change.project(id, Judged::Anew)
        })?;
        made.into_iter()
            .next_back()
            .ok_or_else(|| RegisterError::NoSuchSurvey {
                register: self.location.to_string(),
                asked: id.to_string(),
            })
    }

    /// Withdraws a correction; it stays in the survey's history.
    ///
    /// # Errors
    /// The database, no such survey or correction, no name.
    pub fn withdraw(&mut self, id: Uuid, correction: u64, who: &str, now: When) -> Result<()> {
        let who = super::named(who)?;
        self.change(|change| {
            let made = among(&log::of_survey(change.database, id)?);
            let open = |one: &Correction| one.number == correction && one.withdrawn_at.is_none();
            if !made.iter().any(open) {
                return Err(Step::Register(RegisterError::NoSuchCorrection {
                    register: change.location.to_string(),
                    survey: id,
                    correction,
                }));
            }
            let survey = id;
            log::append(
                change.database,
                now,
                who,
                What::Withdrawn { survey, correction },
            )?;
            change.project(id, Judged::Anew)?;
            Ok(())
        })
    }
}
