//! A survey in, findings and a verdict out; one question a file.
//!
//! [`assess`] is pure: the same survey, fan list and codes give the same assessment, to the byte. Phone,
//! bundle and office all call it; there is no other judgement.
//!
//! A rule is a function in a file of its own, listed in [`HOUSE`], [`SPOT`] or [`CHOICE`] by what it depends on, with the
//! [`Part`] of the verdict that it belongs to and the worst that it ever answers.
//! It asks the survey through [`RuleContext`], so that every answer it used or missed is on record, and it leans on
//! [`trade`](crate::trade) for all arithmetic.
//!
//! * `heat` — how hot the attic is for the one who goes in.
//! * `hazard_pebbles` — pebble-like insulation, which stops the survey.
//! * `hazard_wiring` — knob-and-tube and damaged wiring.
//! * `hazard_attic` — wet wood, mould and animals.
//! * `garage` — whether the attic is shut off from the garage.
//! * `alarms` — smoke and carbon monoxide alarms.
//! * `attic_air` — heaters without a vent, burners in the attic, exhausts that end there.
//! * `open_windows` — the fewest windows and doors that must stand open.
//! * `pressed_back` — attic air that comes back through the ceiling's leaks.
//! * `attic_light` — a light and a receptacle in the attic.
//! * `panel` — whether there is a place for the fan's breaker.
//! * `circuit` — whether the circuit carries the fan in a hot attic.
//! * `voltage` — what voltage arrives at the fan, and what wire would bring it.
//! * `disconnect` — how the fan is cut off for work on it.
//! * `switch_rating` — whether the switch is strong enough for the motor.
//! * `switch_box` — whether everything in the switch box has room.
//! * `switch_place` — whether the switch is at the right height.
//! * `cable_protection` — whether the cable is guarded where people climb about.
//! * `insulation_clearance` — whether insulation stays out of the fan.
//! * `eaves` — whether the air's way is open at the eaves.
//! * `lead_paint` — whether the ceiling is cut under the federal rule for lead paint.
//! * [`fan_choice`] — every fan, joists cut or whole, the best first, and why.
//! * `place` — where in the hall the opening goes, and else the least change that would let it.
//! * `clear_space` — the room over the joists that the fan needs.
//! * `new_wood` — whether headers, boards and dam stay clear, and flues are of a kind that an attic may have.
//! * [`first_visit`] — the ten answers that tell most without going in.
//! * [`pictures`] — which pictures the house needs; bears on no verdict.
//! * `way_in` — how the fan's largest piece comes up into the attic.

#[cfg(test)]
mod air_tests;
mod airflow;
mod alarms;
mod ask;
mod ask_air;
mod attic_air;
mod attic_light;
mod backdraft;
mod cable_protection;
mod circuit;
mod clear_space;
mod combustion_air;
mod disconnect;
mod eaves;
mod exhaust_vents;
pub mod fan_choice;
mod finding;
mod fireplace;
pub mod first_visit;
mod flues;
#[cfg(test)]
mod framing_tests;
mod garage;
#[cfg(test)]
mod hand_checked_tests;
mod hazard_attic;
mod hazard_pebbles;
mod hazard_wiring;
mod heat;
mod insulation_clearance;
mod joist;
mod joist_bearing;
mod joist_condition;
mod joist_strength;
mod joists_and_fan;
mod lead_paint;
pub mod matters;
mod new_wood;
mod open_windows;
mod opening_framing;
mod panel;
pub mod part;
pub mod pictures;
mod place;
mod pressed_back;
mod private_attic;
mod rafter_ties;
mod sheet;
mod switch_box;
mod switch_place;
mod switch_rating;
#[cfg(test)]
pub(crate) mod test_house;
#[cfg(test)]
mod trial;
mod verdict;
mod voltage;
mod way_in;
mod wires;
mod work;

pub use ask::RuleContext;
pub use finding::{Arg, Finding, Outcome, Remedy, Say, Who, number};
pub use heat::too_hot;
pub use part::{Part, PartAnswer, PartSet, Parts, Rule};
pub use verdict::{
    ASSESSMENT_FORMAT, ASSESSMENT_SCHEMA_ID, ASSESSMENT_VERSION, Assessment, Choice, Doubtful,
    SpotAssessment, Verdict, schema,
};
pub use work::Task;

pub use crate::house::{AtSpot, Framing, House, WithFan};

use crate::house::air::{AirSummary, HouseAir};
use crate::house::inlets::Inlets;
use crate::house::scene::Scene;
use crate::survey::range::{self, Doubt};
use crate::survey::{FieldRef, Survey};
use crate::trade::codes::Codes;
use crate::trade::fan::FanList;
use Outcome::{Fails, Holds, Mend};
use Part::{GoesIn, Safe, Work};
use part::Open;

/// The rules about the whole house.
pub const HOUSE: &[Rule<fn(House) -> Finding>] = &[
    Rule::new(Safe, Fails, private_attic::rule),
    Rule::new(Safe, Mend, fireplace::rule),
    Rule::new(Safe, Mend, flues::rule),
    Rule::new(Safe, Mend, combustion_air::rule),
    Rule::new(Safe, Mend, attic_air::unvented_heaters),
    Rule::new(Safe, Mend, attic_air::attic_burner),
    Rule::new(Safe, Mend, attic_air::attic_exhaust),
    Rule::new(Safe, Holds, heat::heat),
    Rule::new(Safe, Fails, hazard_pebbles::hazard_pebbles),
    Rule::new(Safe, Fails, hazard_wiring::knob_and_tube),
    Rule::new(Safe, Mend, hazard_wiring::damaged_wiring),
    Rule::new(Safe, Mend, hazard_attic::wet_wood),
    Rule::new(Safe, Mend, hazard_attic::mould),
    Rule::new(Safe, Mend, hazard_attic::animals),
    Rule::new(Safe, Mend, garage::garage),
    Rule::new(Safe, Mend, alarms::smoke_alarms),
    Rule::new(Safe, Mend, alarms::co_alarms),
    Rule::new(Work, Mend, attic_light::attic_light),
    Rule::new(Safe, Mend, panel::panel),
];
/// The rules about a spot, whatever the fan.
pub const SPOT: &[Rule<fn(AtSpot) -> Finding>] = &[
    Rule::new(GoesIn, Mend, joist_bearing::joist_bearing),
    Rule::new(GoesIn, Fails, joist_condition::joist_condition),
    Rule::new(Safe, Mend, new_wood::flue_kind),
    Rule::new(Safe, Mend, switch_place::switch_place),
    Rule::new(Safe, Mend, switch_box::switch_box),
    Rule::new(Safe, Mend, cable_protection::cable_protection),
    Rule::new(Safe, Fails, insulation_clearance::insulation_clearance),
    Rule::new(Work, Mend, eaves::eaves),
];
/// The rules about a fan and a way of framing at a spot.
pub const CHOICE: &[Rule<fn(WithFan) -> Finding>] = &[
    Rule::new(GoesIn, Fails, place::place),
    Rule::new(GoesIn, Fails, clear_space::clear_space),
    Rule::new(GoesIn, Fails, new_wood::new_wood),
    Rule::new(GoesIn, Fails, way_in::way_in),
    Rule::new(GoesIn, Fails, joists_and_fan::joists_and_fan),
    Rule::new(GoesIn, Fails, opening_framing::opening_framing),
    Rule::new(GoesIn, Fails, rafter_ties::rafter_ties),
    Rule::new(GoesIn, Fails, joist_strength::joist_strength),
    Rule::new(Safe, Fails, exhaust_vents::rule),
    Rule::new(Safe, Fails, airflow::rule),
    Rule::new(Safe, Fails, backdraft::rule),
    Rule::new(Safe, Holds, pressed_back::rule),
    Rule::new(Safe, Mend, circuit::circuit),
    Rule::new(Safe, Mend, voltage::voltage),
    Rule::new(Safe, Mend, disconnect::disconnect),
    Rule::new(Safe, Mend, switch_rating::switch_rating),
    Rule::new(Safe, Mend, lead_paint::lead_paint),
];

/// The version of the rules: the program's.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// The survey without these answers: as if nobody had given them.
fn without(survey: &Survey, doubtful: &[(FieldRef, Doubt)]) -> Survey {
    let mut survey = survey.clone();
    for (at, _) in doubtful {
        // They were found there.
        let _ = survey.put(*at, None);
    }
    survey
}

/// Judges a survey. An answer that a slip of the unit explains is asked back, and nothing rests on it: neither does
/// anything hold by it, nor fail.
pub fn assess(survey: &Survey, fans: &FanList, codes: &Codes) -> Assessment {
    let doubtful = range::slips(survey);
    let believed;
    let survey = if doubtful.is_empty() {
        survey
    } else {
        believed = without(survey, &doubtful);
        &believed
    };
    let air = HouseAir::of(survey, codes);
    let house = House {
        survey,
        codes,
        air: &air,
    };
    let house_findings: Vec<Finding> = HOUSE
        .iter()
        .map(|rule| rule.mark((rule.judge)(house)))
        .collect();
    let spots = survey
        .spots
        .iter()
        .map(|spot| {
            let scene = Scene::of(spot, fans, house.survey.tape);
            let at = AtSpot {
                house,
                spot,
                scene: &scene,
                inlets: &Inlets::of(survey, spot),
            };
            assess_spot(at, fans, &house_findings)
        })
        .collect();
    Assessment {
        format: ASSESSMENT_FORMAT,
        version: ASSESSMENT_VERSION,
        survey: survey.id,
        revision: survey.revision,
        rules: VERSION,
        codes: *codes,
        fan_list: fans.name.clone(),
        fan_list_version: fans.version.clone(),
        fan_list_sha256: fans.sha256.clone(),
        house: house_findings,
        spots,
        doubtful: doubtful
            .into_iter()
            .map(|(field, doubt)| Doubtful {
                field,
                why: doubt.to_string(),
            })
            .collect(),
    }
}

fn assess_spot(at: AtSpot, fans: &FanList, house: &[Finding]) -> SpotAssessment {
    let findings: Vec<Finding> = SPOT
        .iter()
        .map(|rule| rule.mark((rule.judge)(at)))
        .collect();
    let shared = Open::of(house.iter().chain(&findings));
    let mut open = Vec::with_capacity(fans.fans.len() * Framing::ALL.len());
    let choices: Vec<Choice> = fans
        .fans
        .iter()
        .flat_map(|fan| Framing::ALL.map(|framing| (fan, framing)))
        .map(|(fan, framing)| {
            let place = at.scene.place(fan, framing);
            let with = WithFan {
                at,
                fan,
                framing,
                place: &place,
            };
            let mut own: Vec<Finding> = CHOICE
                .iter()
                .map(|rule| rule.mark((rule.judge)(with)))
                .collect();
            let can_be = Open::of(&own).and(shared);
            let verdict = Verdict::of(house.iter().chain(&findings).chain(&own));
            open.push(can_be);
            let work = work::merged(&[house, &findings], &mut own);
            Choice {
                fan: with.fan.id.clone(),
                framing: with.framing,
                air: AirSummary::of(&with),
                to_open: open_windows::least(&with, false)
                    .or_else(|| open_windows::least(&with, true)),
                verdict,
                parts: can_be.parts(verdict),
                findings: own,
                work,
            }
        })
        .collect();
    let verdict = choices
        .iter()
        .map(|choice| choice.verdict)
        .max()
        .unwrap_or(Verdict::DoesNotFit);
    let still_open = part::of_spot(&open);
    let still_matters = matters::of_spot(house, &findings, &choices, &open, &still_open);
    let settled = still_matters.is_empty();
    SpotAssessment {
        spot: at.spot.id,
        verdict,
        parts: if settled {
            still_open.settled(verdict)
        } else {
            still_open
        },
        settled,
        findings,
        ranking: fan_choice::ranking(&choices),
        choices,
        still_matters,
    }
}
