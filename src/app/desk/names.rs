//! What answers, spots and rules are called, in the reader's language.

use crate::app::reader::Reader;
use crate::rules::{Assessment, Say, SpotAssessment};
use crate::survey::{FieldRef, ItemId, Survey, fields};
use crate::trade::fan::FanList;

/// What people call a spot: its name, or its place in the list.
pub(super) fn spot(survey: &Survey, spot: ItemId, reader: &Reader) -> String {
    let at = survey.spots.iter().position(|other| other.id == spot);
    match at.map(|at| &survey.spots[at].name) {
        Some(Some(name)) => name.clone(),
        _ => reader.said(&Say::new("Spot {number}").with("number", at.map_or(0, |at| at + 1))),
    }
}

/// What an answer is called, with the spot and the thing that it belongs to.
pub(super) fn answer(survey: &Survey, at: FieldRef, reader: &Reader) -> String {
    let mut name = String::new();
    if let Some(id) = at.spot {
        name += &spot(survey, id, reader);
        name += " · ";
    }
    let item = at.item.and_then(|item| {
        let entry = fields::list_of_item_field(at.field)?;
        let ids = survey.list(entry.id, at.spot)?.ids();
        let number = ids.iter().position(|id| *id == item)? + 1;
        Some(format!("{} {number}: ", reader.tr(entry.one)))
    });
    name += &item.unwrap_or_default();
    name + &reader.tr(fields::label_of(at.field))
}

/// A fan by its name in the list, with the id that other lists and commands know it by.
pub(super) fn fan(id: &str, fans: Option<&FanList>, reader: &Reader) -> String {
    match fan_name(id, fans, reader) {
        name if name == id => name,
        name => format!("{name} ({id})"),
    }
}

/// A fan by its name in the list; by its id where the list has it no more.
pub(super) fn fan_name(id: &str, fans: Option<&FanList>, reader: &Reader) -> String {
    let fan = fans.and_then(|fans| fans.fans.iter().find(|fan| fan.id == id));
    fan.map_or_else(|| id.to_owned(), |fan| reader.language.name(&fan.name))
}

/// The titles of rules that a judgement of a spot names by their codes.
pub(super) fn rules(
    codes: &[String],
    assessment: &Assessment,
    spot: &SpotAssessment,
    reader: &Reader,
) -> Vec<String> {
    let of_choices = spot.choices.iter().flat_map(|choice| &choice.findings);
    let all: Vec<_> = (assessment.house.iter())
        .chain(&spot.findings)
        .chain(of_choices)
        .collect();
    codes
        .iter()
        .map(|code| {
            let finding = all.iter().find(|finding| finding.rule == code);
            finding.map_or_else(|| code.clone(), |finding| reader.tr(finding.title))
        })
        .collect()
}
