//! What the office knows better than the surveyor wrote.
//!
//! A correction stands beside what was captured and never in its place: it names the answer it was made for, the
//! answer that takes its place, the reason, who and when. Where a later revision of the survey brings another
//! answer than the one that was corrected, the correction no longer stands, and says so.

use super::{In, Register, RegisterError, Result, Step, schema};
use crate::office::database::{Database, DatabaseError, cells};
use crate::office::key;
use crate::survey::{FieldRef, ItemId, Survey, Value, Ways, When, fields};
use serde::Serialize;
use uuid::Uuid;

/// A correction.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Correction {
    /// Its number in the register.
    pub number: i64,
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

/// All corrections of a survey, the first one first; none of them stands yet.
pub(super) fn of_survey(
    database: &mut Database,
    number: i64,
) -> Result<Vec<Correction>, DatabaseError> {
    let which = "WHERE survey = $1 ORDER BY number";
    let rows = database.sealed(&schema::CORRECTION, which, cells![number])?;
    let id = |number: Option<i64>| number.and_then(|n| u32::try_from(n).ok()).map(ItemId);
    let corrections = rows.into_iter().map(|mut row| Correction {
        number: row.int(11).unwrap_or(0),
        field: row.words(1),
        spot: id(row.int(2)),
        item: id(row.int(3)),
        was: row.text(4),
        answer: row.text(5),
        reason: row.words(6),
        who: row.words(7),
        made_at: row.words(8),
        withdrawn_by: row.text(9),
        withdrawn_at: row.text(10),
        stands: false,
    });
    Ok(corrections.collect())
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
        let location = self.location.clone();
        let corrections = self.database.together(|database| {
            let number = super::number_of(database, id, &location)?;
            Ok::<_, Step>(of_survey(database, number)?)
        });
        Ok(applied(&captured, corrections.of(&self.location)?))
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
        if reason.trim().is_empty() {
            return Err(RegisterError::Wanting {
                what: key("A correction needs its reason."),
            });
        }
        let captured = self.current(id)?;
        // Tried out first: the sentence about a wrong text comes from the field itself.
        captured.clone().type_in(at, text, &Ways::default())?;
        let was = captured.answer(at).as_ref().map(exact);
        let answer = Some(text.trim()).filter(|text| !text.is_empty());
        let location = self.location.clone();
        let item = |id: Option<ItemId>| id.map(|id| i64::from(id.0));
        let made = self.change(|database, _, yardstick, _| {
            let number = super::number_of(database, id, &location)?;
            database.enter(
                &schema::CORRECTION,
                cells![
                    number,
                    at.field,
                    item(at.spot),
                    item(at.item),
                    was,
                    answer.map(str::to_owned),
                    reason.trim(),
                    who,
                    now.to_string(),
                    None::<String>,
                    None::<String>,
                ],
            )?;
            let made = super::refresh(database, number, &captured, yardstick, None)?;
            Ok(made)
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
    pub fn withdraw(&mut self, id: Uuid, correction: i64, who: &str, now: When) -> Result<()> {
        let who = super::named(who)?;
        let captured = self.current(id)?;
        let location = self.location.clone();
        self.change(|database, _, yardstick, _| {
            let number = super::number_of(database, id, &location)?;
            let touched = database.run(
                "UPDATE correction SET withdrawn_by = $3, withdrawn = $4
                 WHERE survey = $1 AND number = $2 AND withdrawn IS NULL",
                cells![number, correction, who, now.to_string()],
            )?;
            if touched == 0 {
                return Err(Step::Register(RegisterError::NoSuchCorrection {
                    register: location.to_string(),
                    survey: id,
                    correction,
                }));
            }
            database.seal_again(&schema::CORRECTION, correction)?;
            super::refresh(database, number, &captured, yardstick, None)?;
            Ok(())
        })
    }
}
