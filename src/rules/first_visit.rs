//! The first visit: at most ten answers, from the hall floor and through the hatch, that tell most about a spot.
//!
//! They are answers of the survey like any other; the walk goes on from them. First come those that can end the
//! matter (too narrow a hall, framing that must not be cut, no way up), then the rest, each by its weight among
//! what still matters ([`matters`](super::matters)). Which answers can be had without going in is common practice,
//! no source.

use super::finding::{Finding, Outcome};
use super::matters::Matter;
use super::verdict::{Assessment, SpotAssessment};
use crate::survey::{FieldRef, ItemId, Reach, Survey, arrival, attic, fields, flame, hall, power};

/// The most that is asked on a first visit.
pub const MOST: usize = 10;

/// What can be answered without going in, in the order of the visit. From where, and whether it can end the matter, each
/// answer's declaration says.
const ORDER: &[&str] = &[
    hall::LENGTH.id,
    hall::WIDTH.id,
    arrival::PRIVATE_ATTIC.id,
    arrival::ATTACHED_GARAGE.id,
    flame::FIREPLACE.id,
    power::PANEL_SPACE.id,
    arrival::SMOKE_ALARMS.id,
    arrival::CO_ALARMS.id,
    attic::FRAMING.id,
    attic::JOIST_RUN.id,
    attic::JOISTS_EVEN.id,
    attic::JOIST_SPACING.id,
    attic::HATCH_LENGTH.id,
    attic::HATCH_WIDTH.id,
    attic::HATCH_HEADROOM.id,
    arrival::PEBBLE_INSULATION.id,
    arrival::KNOB_AND_TUBE.id,
    arrival::DAMAGED_WIRING.id,
    arrival::WET_OR_ROTTEN_WOOD.id,
    arrival::MOULD.id,
    arrival::ANIMALS.id,
    attic::NOMINAL_SIZE.id,
    attic::INSULATION_DEPTH.id,
];

fn is_of_spot(field: &str) -> bool {
    fields::SECTIONS
        .iter()
        .any(|(_, of_spot, slots)| *of_spot && slots.iter().any(|slot| slot.id == field))
}

/// One answer of a first visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstAnswer {
    /// Which answer.
    pub field: FieldRef,
    /// From where it can be had.
    pub reach: Reach,
    /// Whether it is given.
    pub given: bool,
}

/// The answers to ask for at a spot, at most [`MOST`] with those that are given, in the order of the visit.
///
/// `matters` is what still matters for the spot. What matters no longer is not asked, and other answers move up.
pub fn answers(survey: &Survey, spot: ItemId, matters: &[Matter]) -> Vec<FirstAnswer> {
    let mut all: Vec<(bool, bool, f64, usize, FirstAnswer)> = Vec::new();
    for (place, field) in ORDER.iter().enumerate() {
        let Some((slot, reach)) = fields::slot(field).and_then(|slot| Some((slot, slot.reach?)))
        else {
            continue;
        };
        let at = FieldRef {
            field,
            spot: is_of_spot(field).then_some(spot),
            item: None,
        };
        let given = survey.answer(at).is_some();
        let weight = matters
            .iter()
            .find(|matter| matter.field == at)
            .map_or(0.0, |matter| matter.weight);
        if !given && weight == 0.0 {
            continue;
        }
        let answer = FirstAnswer {
            field: at,
            reach,
            given,
        };
        all.push((given, slot.decides, weight, place, answer));
    }
    all.sort_by(|a, b| {
        (b.0, b.1)
            .cmp(&(a.0, a.1))
            .then(b.2.total_cmp(&a.2))
            .then(a.3.cmp(&b.3))
    });
    all.truncate(MOST);
    all.sort_by_key(|(.., place, _)| *place);
    all.into_iter().map(|(.., answer)| answer).collect()
}

/// How far a spot has come: how many ways (a fan, joists cut or whole) there are, and how many of them nothing has
/// ruled out yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// All ways.
    pub ways: usize,
    /// Those that nothing has ruled out.
    pub possible: usize,
}

/// How far a spot has come.
pub fn standing(assessment: &Assessment, spot: &SpotAssessment) -> Standing {
    let fails = |findings: &[Finding]| findings.iter().any(|it| it.outcome == Outcome::Fails);
    let shared = fails(&assessment.house) || fails(&spot.findings);
    Standing {
        ways: spot.choices.len(),
        possible: spot
            .choices
            .iter()
            .filter(|choice| !shared && !fails(&choice.findings))
            .count(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Tape;
    use crate::rules::matters::what_matters;
    use crate::rules::{Verdict, assess};
    use crate::survey::Ways;
    use crate::trade::codes::Codes;
    use crate::trade::fan::generic;

    fn empty() -> Survey {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth)
    }

    fn ten(survey: &Survey) -> (Vec<FirstAnswer>, Assessment) {
        let assessment = assess(survey, generic(), &Codes::default());
        let matters = what_matters(&assessment);
        let spot = survey.spots[0].id;
        (answers(survey, spot, &matters[0].matters), assessment)
    }

    #[test]
    fn every_answer_is_a_field_that_there_is() {
        for field in ORDER {
            assert!(fields::slot(field).is_some(), "{field}");
        }
    }

    #[test]
    fn every_answer_within_reach_has_its_place_in_the_visit() {
        let declared: Vec<&str> = fields::SECTIONS
            .iter()
            .flat_map(|(_, _, slots)| slots.iter())
            .filter(|slot| slot.reach.is_some())
            .map(|slot| slot.id)
            .collect();
        assert_eq!(declared.len(), ORDER.len());
        assert!(declared.iter().all(|id| ORDER.contains(id)), "{declared:?}");
    }

    #[test]
    fn an_empty_survey_asks_ten_with_hall_and_framing_among_them() {
        let (asked, assessment) = ten(&empty());
        assert_eq!(asked.len(), MOST);
        for wanted in [
            hall::WIDTH.id,
            attic::FRAMING.id,
            arrival::PEBBLE_INSULATION.id,
        ] {
            assert!(asked.iter().any(|it| it.field.field == wanted), "{wanted}");
        }
        let standing = standing(&assessment, &assessment.spots[0]);
        // Only a fan that cannot stand over whole joists is out by half.
        assert!(standing.possible > standing.ways / 2 && standing.possible <= standing.ways);
        assert_eq!(assessment.spots[0].verdict, Verdict::NotSettled);
    }

    #[test]
    fn trusses_over_a_narrow_hall_end_the_matter_within_ten_answers() {
        let mut survey = empty();
        let spot = survey.spots[0].id;
        let ways = Ways::default();
        let mut given = 0;
        for (field, text) in [
            (hall::LENGTH.id, "10'"),
            (hall::WIDTH.id, "11"),
            (attic::FRAMING.id, "trusses"),
        ] {
            survey
                .type_in(FieldRef::spot(field, spot), text, &ways)
                .unwrap();
            given += 1;
        }
        let (asked, assessment) = ten(&survey);
        assert!(given <= MOST && asked.len() <= MOST);
        assert_eq!(standing(&assessment, &assessment.spots[0]).possible, 0);
        assert_eq!(assessment.spots[0].verdict, Verdict::DoesNotFit);
    }

    #[test]
    fn answering_what_is_asked_never_asks_more_than_ten() {
        let mut survey = empty();
        let mut seen = std::collections::BTreeSet::new();
        for _ in 0..MOST {
            let (asked, _) = ten(&survey);
            assert!(asked.len() <= MOST);
            let Some(next) = asked.iter().find(|it| !it.given) else {
                break;
            };
            seen.insert(next.field.field);
            let text = match fields::kind_of(next.field.field).unwrap() {
                crate::survey::Kind::YesNo => "no",
                crate::survey::Kind::Choice(words) => words[0].code,
                _ => "60",
            };
            survey.type_in(next.field, text, &Ways::default()).unwrap();
        }
        let (asked, _) = ten(&survey);
        assert!(seen.len() <= MOST);
        assert!(asked.iter().filter(|it| it.given).count() >= seen.len().min(MOST));
    }
}
