//! Small surveys for tests of the rules and of what shows them.

use super::{AtSpot, Finding, Framing, House, WithFan};
use crate::house::air::HouseAir;
use crate::house::inlets::Inlets;
use crate::house::scene::Scene;
use crate::measure::Tape;
use crate::survey::{FieldRef, ItemId, Survey, Ways, fields};
use crate::trade::codes::Codes;
use crate::trade::fan::{Fan, generic};
use uuid::Uuid;

/// A survey with one spot and these answers, house and spot alike; an empty text is no answer.
pub(crate) fn survey(answers: &[(&'static str, &str)]) -> Survey {
    let mut survey = Survey::begin(
        Uuid::nil(),
        "2026-05-03T18:20:00-07:00".parse().expect("a date"),
        Tape::default(),
    );
    let spot = survey.spots[0].id;
    at_spot(&mut survey, spot, answers);
    survey
}

/// Types these answers in, those of halls and attics at this spot.
pub(super) fn at_spot(survey: &mut Survey, spot: ItemId, answers: &[(&'static str, &str)]) {
    for (field, text) in answers {
        let of_spot = field.starts_with("hall.") || field.starts_with("attic.");
        let at = FieldRef {
            field,
            spot: of_spot.then_some(spot),
            item: None,
        };
        survey
            .type_in(at, text, &Ways::default())
            .unwrap_or_else(|error| panic!("{field}: {error}"));
    }
}

/// Adds an item with these answers to a list, such as `hall.box_contents`.
pub(super) fn add(
    survey: &mut Survey,
    spot: ItemId,
    list: &'static str,
    answers: &[(&'static str, &str)],
) -> ItemId {
    let id = survey.fresh_id();
    let spot = fields::list(list).expect("a list").of_spot.then_some(spot);
    survey.list_mut(list, spot).expect("the list").add(id);
    for (field, text) in answers {
        let at = FieldRef {
            field,
            spot,
            item: Some(id),
        };
        survey
            .type_in(at, text, &Ways::default())
            .unwrap_or_else(|error| panic!("{field}: {error}"));
    }
    id
}

/// The usual editions.
pub(super) fn codes() -> Codes {
    Codes::default()
}

/// What a rule about the house answers.
pub(super) fn about_house(survey: &Survey, codes: &Codes, rule: fn(House) -> Finding) -> Finding {
    rule(House {
        survey,
        codes,
        air: &HouseAir::of(survey, codes),
    })
}

/// What a rule about a spot answers for the first spot.
pub(super) fn at_first_spot(
    survey: &Survey,
    codes: &Codes,
    rule: fn(AtSpot) -> Finding,
) -> Finding {
    let spot = &survey.spots[0];
    let scene = Scene::of(spot, generic(), survey.tape);
    rule(AtSpot {
        house: House {
            survey,
            codes,
            air: &HouseAir::of(survey, codes),
        },
        spot,
        scene: &scene,
        inlets: &Inlets::of(survey, spot),
    })
}

/// What a rule about a fan answers for the first spot, joists cut.
pub(super) fn with_fan(
    survey: &Survey,
    codes: &Codes,
    fan: &Fan,
    rule: fn(WithFan) -> Finding,
) -> Finding {
    with_framing(survey, codes, fan, Framing::Cut, rule)
}

/// What a rule about a fan and a way of framing answers for the first spot.
pub(super) fn with_framing(
    survey: &Survey,
    codes: &Codes,
    fan: &Fan,
    framing: Framing,
    rule: fn(WithFan) -> Finding,
) -> Finding {
    let spot = &survey.spots[0];
    let mut list = generic().clone();
    list.fans = vec![fan.clone()];
    let scene = Scene::of(spot, &list, survey.tape);
    let air = HouseAir::of(survey, codes);
    let at = AtSpot {
        house: House {
            survey,
            codes,
            air: &air,
        },
        spot,
        scene: &scene,
        inlets: &Inlets::of(survey, spot),
    };
    let place = scene.place(fan, framing);
    rule(WithFan {
        at,
        fan,
        framing,
        place: &place,
    })
}

/// A fan of the list that comes with the program.
pub(super) fn fan(id: &str) -> Fan {
    let fan = generic().fans.iter().find(|fan| fan.id == id);
    fan.expect("a generic fan").clone()
}
