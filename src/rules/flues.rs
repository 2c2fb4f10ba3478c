//! The flues as they are, without the fan: each appliance's limit, and what came of its spillage test.

use super::air::{can_spill, in_house};
use super::finding::{Finding, Outcome, Say, Who};
use super::{Asking, House};
use crate::survey::{ApplianceKind, SpillageTest, Venting};
use crate::trade::backdraft::LIMIT_SOURCE;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed(
        "Fuel-gas codes, spillage test: IFGC and IRC appendix D, NFPA 54 annex; a summer exhaust fan stays off",
    ),
    LIMIT_SOURCE,
];

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
    let mut a = Asking::house("flues", "Do the flues draw as they are?", SOURCES);
    let list = &house.survey.flame.appliances;
    a.ask_list("flame.appliances.complete", list);
    let mut failed = None;
    let (mut tested, mut untested) = (0_u32, 0_u32);
    for it in &list.items {
        let place = a.ask_item("appliance.place", false, it.id, it.place);
        if place.is_some_and(|place| !in_house(place)) {
            continue;
        }
        let venting = a.ask_item("appliance.venting", false, it.id, it.venting);
        if venting.is_some_and(|venting| !can_spill(venting)) {
            continue;
        }
        let test = a.ask_item("appliance.spillage_test", false, it.id, it.spillage_test);
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
    let unvented = list
        .items
        .iter()
        .any(|it| it.venting == Some(Venting::Unvented));
    if unvented {
        finding = finding.caution(Say::new(
            "An appliance without a vent gives its burnt gas to the room, whatever the fan does. Local codes may not \
             allow it; ask a licensed technician.",
        ));
    }
    finding
}

/// That a passed spillage test says nothing about this fan.
pub(super) fn not_cleared() -> Say {
    Say::new(
        "A passed spillage test does not clear this fan: the test is made with the summer exhaust fan switched off. \
         Only enough open windows, or a pressure check by a licensed technician with the fan running, does.",
    )
}
