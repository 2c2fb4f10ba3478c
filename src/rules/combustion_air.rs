//! Combustion air: an appliance that breathes from the attic, which the fan presses upon.

use super::finding::{Finding, Outcome, Say, Who, number};
use super::{House, RuleContext};
use crate::house::air::{in_house, takes_attic_air};
use crate::measure::quantity::HeatRate;
use crate::survey::{ApplianceKind, CombustionAir, Venting, appliance, flame};
use crate::trade::backdraft::{indoor_volume, outdoor_air};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed(
        "IFGC 304, IRC G2407, M1702: combustion air from outdoors, by ducts or openings",
    ),
    Source::confirmed("IFGC 304 standard method: 50 ft³ of rooms for 1000 Btu/h"),
    Source::derived(
        "A fan that discharges into the attic puts it above outdoors and pushes attic air down such ducts",
    ),
];

pub(super) fn rule(house: House) -> Finding {
    let mut a = RuleContext::house(
        house,
        "combustion-air",
        "Does any flame take its air from the attic?",
        SOURCES,
    );
    let list = &house.survey.flame.appliances;
    a.complete(flame::APPLIANCES);
    let mut from_attic = None;
    let mut from_rooms = Vec::new();
    for it in &list.items {
        let place = a.get_of(it, appliance::PLACE);
        if place.is_some_and(|place| !in_house(place)) {
            continue;
        }
        let venting = a.get_of(it, appliance::VENTING);
        // A sealed one and one without a vent have no such duct.
        if matches!(venting, Some(Venting::Sealed | Venting::Unvented)) {
            continue;
        }
        let air = a.get_of(it, appliance::COMBUSTION_AIR);
        if place.is_none() || venting.is_none() {
            continue;
        }
        if takes_attic_air(it) && from_attic.is_none() {
            from_attic = Some(it);
        }
        if air == Some(CombustionAir::Indoors) {
            from_rooms.push(it);
        }
    }
    if let Some(it) = from_attic {
        let mut remedy = Say::new(
            "Have a licensed fitter bring its combustion air from outdoors instead and close the duct to the attic.",
        );
        if let Some(heat) = it.heat_input {
            a.get_of(it, appliance::HEAT_INPUT);
            let air = outdoor_air(heat);
            a.figure(
                "combustion air, each of two upright ducts",
                air.upright_each,
            );
            a.figure("combustion air, each of two level ducts", air.level_each);
            a.figure("combustion air, one single opening", air.single);
            remedy = Say::new(
                "Have a licensed fitter bring its combustion air from outdoors instead, by two upright ducts of \
                 {upright} each or two level ones of {level} each, and close the duct to the attic.",
            )
            .with("upright", number(air.upright_each.in2(), "in²", 0))
            .with("level", number(air.level_each.in2(), "in²", 0));
        }
        return a
            .settled(
                Outcome::Mend,
                Say::new(
                    "{what} takes its air from the attic. The fan presses air into the attic and would push hot, dusty \
                     air down to the flame.",
                )
                .with(
                    "what",
                    it.kind.map_or("Fuel-burning appliance", ApplianceKind::label),
                ),
            )
            .remedy(Who::DuctFitter, remedy);
    }
    if a.lacks() {
        return a.not_measured();
    }
    // The standard method, where everything for it is known: only a caution, since it has nothing to do with the fan.
    let rooms = &house.air.rooms;
    let heat: Option<HeatRate> = from_rooms.iter().map(|it| it.heat_input).sum();
    let mut short = None;
    if let (Some(heat), true) = (heat, rooms.whole() && rooms.clash.is_none())
        && !from_rooms.is_empty()
    {
        let need = indoor_volume(heat);
        a.figure("room volume for combustion air", need);
        a.figure("conditioned volume", rooms.volume);
        if rooms.volume < need {
            short = Some((need, rooms.volume));
        }
    }
    let mut finding = a.settled(
        Outcome::Holds,
        Say::new("No flame in the house takes its air from the attic."),
    );
    if let Some((need, have)) = short {
        finding = finding.caution(
            Say::new(
                "The flames that breathe from the rooms need {need} by the standard method; the rooms to be cooled \
                 have {have}. Ask a licensed technician about combustion air.",
            )
            .with("need", number(need.ft3(), "ft³", 0))
            .with("have", number(have.ft3(), "ft³", 0)),
        );
    }
    finding
}
