//! The flues as they are, without the fan: each appliance's limit, and what came of its spillage test.

use super::finding::{Finding, Outcome, Say, Who, number};
use super::{House, RuleContext};
use crate::house::air::{Flame, can_spill, in_house};
use crate::measure::quantity::{Pressure, Temperature};
use crate::survey::{ApplianceKind, SpillageTest, appliance, arrival, flame};
use crate::trade::backdraft::{
    CarbonMonoxide, DRAFT_SOURCE, LIMIT_SOURCE, STRICTEST_ROW_SOURCE, least_draft,
};
use crate::trade::source::{Source, Status};

const SPILLAGE: Source = Source::confirmed(
    "Fuel-gas codes, spillage test: IFGC and IRC appendix D, NFPA 54 annex; a summer exhaust fan stays off",
);
const SOURCES: &[Source] = &[SPILLAGE, LIMIT_SOURCE, DRAFT_SOURCE];
/// Where an appliance's limit is read into the table.
const DERIVED: &[Source] = &[SPILLAGE, LIMIT_SOURCE, STRICTEST_ROW_SOURCE, DRAFT_SOURCE];

/// The name of an appliance's limit among the figures.
pub(super) const fn limit_name(kind: Option<ApplianceKind>) -> &'static str {
    match kind {
        Some(ApplianceKind::WaterHeater) => "limit of house pressure, water heater",
        Some(ApplianceKind::Furnace) => "limit of house pressure, furnace",
        Some(ApplianceKind::Boiler) => "limit of house pressure, boiler",
        Some(ApplianceKind::SpaceHeater) => "limit of house pressure, space heater",
        Some(ApplianceKind::Range) => "limit of house pressure, cooking range",
        Some(ApplianceKind::Dryer) => "limit of house pressure, clothes dryer",
        Some(ApplianceKind::WoodStove) => "limit of house pressure, wood or pellet stove",
        Some(ApplianceKind::Other) | None => "limit of house pressure, other appliance",
    }
}

/// The name of the window area that keeps within an appliance's limit.
pub(super) const fn windows_name(kind: Option<ApplianceKind>) -> &'static str {
    match kind {
        Some(ApplianceKind::WaterHeater) => "window area for its limit at high speed, water heater",
        Some(ApplianceKind::Furnace) => "window area for its limit at high speed, furnace",
        Some(ApplianceKind::Boiler) => "window area for its limit at high speed, boiler",
        Some(ApplianceKind::SpaceHeater) => "window area for its limit at high speed, space heater",
        Some(ApplianceKind::Range) => "window area for its limit at high speed, cooking range",
        Some(ApplianceKind::Dryer) => "window area for its limit at high speed, clothes dryer",
        Some(ApplianceKind::WoodStove) => {
            "window area for its limit at high speed, wood or pellet stove"
        }
        Some(ApplianceKind::Other) | None => {
            "window area for its limit at high speed, other appliance"
        }
    }
}

pub(super) fn rule(house: House) -> Finding {
    let flames = &house.air.flames;
    let derived = |flame: &Flame| flame.limit.status == Status::Derived;
    let sources = if flames.limits.iter().any(derived) {
        DERIVED
    } else {
        SOURCES
    };
    let mut a = RuleContext::house(house, "flues", "Do the flues draw as they are?", sources);
    let list = &house.survey.flame.appliances;
    a.complete(flame::APPLIANCES);
    let mut failed = None;
    let (mut tested, mut untested) = (0_u32, 0_u32);
    for it in &list.items {
        let place = a.get_of(it, appliance::PLACE);
        if place.is_some_and(|place| !in_house(place)) {
            continue;
        }
        let venting = a.get_of(it, appliance::VENTING);
        if venting.is_some_and(|venting| !can_spill(venting)) {
            continue;
        }
        let test = a.get_of(it, appliance::SPILLAGE_TEST);
        if place.is_none() || venting.is_none() {
            continue;
        }
        match test {
            Some(SpillageTest::Failed) => failed = failed.or(Some(it.kind)),
            Some(SpillageTest::Passed) => tested += 1,
            Some(SpillageTest::NotDone) => untested += 1,
            None => {}
        }
    }
    for flame in &flames.limits {
        a.figure(limit_name(flame.kind), flame.limit.pressure);
    }
    // What a technician measures them against.
    let outdoors = house.survey.arrival.outdoor_temperature;
    let draft = outdoors.map(least_draft);
    let some = failed.is_some() || tested + untested > 0;
    if some {
        if let Some(draft) = draft {
            a.note_given(arrival::OUTDOOR_TEMPERATURE);
            a.figure(
                "least draft of a gas flue at the temperature outdoors",
                draft,
            );
        }
        a.ratio(
            "ppm of carbon monoxide in a flue up to which work goes on",
            CarbonMonoxide::PROCEED,
        );
        a.ratio(
            "ppm of carbon monoxide in a flue up to which a repair is advised",
            CarbonMonoxide::REPAIR,
        );
        a.ratio(
            "ppm of carbon monoxide in a flue above which everybody leaves",
            CarbonMonoxide::STOP,
        );
    }
    if let Some(kind) = failed {
        return a
            .settled(
                Outcome::Mend,
                Say::new("{what} spills burnt gas into the house already, without the fan.").with(
                    "what",
                    kind.map_or("Fuel-burning appliance", ApplianceKind::label),
                ),
            )
            .remedy(
                Who::Plumber,
                Say::new(
                    "Tell the household now. Have a licensed technician make the flue draw, and test it again, before \
                     any work on the fan begins.",
                ),
            );
    }
    if a.lacks() {
        return a.not_measured();
    }
    let mut finding = match (tested, untested) {
        (0, 0) => a.settled(
            Outcome::Holds,
            Say::new("No appliance in the house can spill burnt gas from a flue."),
        ),
        (_, 0) => a.settled(Outcome::Holds, Say::new("No flue was found to spill.")),
        _ => a
            .settled(
                Outcome::Holds,
                Say::new("No flue was found to spill, but not every one was tested."),
            )
            .caution(Say::new(
                "Have a licensed technician test every flue for spillage before the fan is used.",
            )),
    };
    if tested > 0 {
        finding = finding.caution(not_cleared());
    }
    if some {
        finding = finding.caution(to_measure(outdoors.zip(draft)));
    }
    finding
}

/// What a technician measures every gas flue against, at the temperature outdoors where it is known.
fn to_measure(at: Option<(Temperature, Pressure)>) -> Say {
    let text = match at {
        Some(_) => {
            "For the technician, with the fan at high speed: at {temperature} outdoors every gas flue draws {draft} or more \
             below the room; on a warmer evening less is enough, down to {least}. Carbon monoxide in it: up to {proceed} ppm \
             go on, up to {repair} have it repaired, above that stop, above {stop} everybody out."
        }
        None => {
            "For the technician, with the fan at high speed: every gas flue draws {most} or more below the room when it is \
             below 10 °F outdoors, and {least} when it is above 90 °F. Carbon monoxide in it: up to {proceed} ppm go on, up \
             to {repair} have it repaired, above that stop, above {stop} everybody out."
        }
    };
    let pa = |pressure: Pressure| number(pressure.pa().abs(), "Pa", 2);
    let mut say = Say::new(text)
        .with("least", pa(least_draft(Temperature::from_f(100.0))))
        .with("proceed", CarbonMonoxide::PROCEED as usize)
        .with("repair", CarbonMonoxide::REPAIR as usize)
        .with("stop", CarbonMonoxide::STOP as usize);
    say = match at {
        Some((temperature, draft)) => say
            .with("temperature", number(temperature.f(), "°F", 0))
            .with("draft", pa(draft)),
        None => say.with("most", pa(least_draft(Temperature::from_f(0.0)))),
    };
    say
}

/// That a passed spillage test says nothing about this fan.
pub(super) fn not_cleared() -> Say {
    Say::new(
        "A passed spillage test does not clear this fan: the test is made with the summer exhaust fan switched off. \
         Only enough open windows, or a pressure check by a licensed technician with the fan running, does.",
    )
}
