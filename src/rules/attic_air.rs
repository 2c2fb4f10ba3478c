//! What must not be in the air that the fan moves: heaters without a vent, burners in the attic, exhausts that end there.

use super::finding::{Finding, Outcome, Say, Who};
use super::{House, RuleContext};
use crate::survey::{
    Appliance, ApplianceKind, AppliancePlace, ExhaustEnd, Venting, appliance, exhaust, flame,
};
use crate::trade::source::Source;

fn word(it: &Appliance) -> &'static str {
    it.kind
        .map_or("Fuel-burning appliance", ApplianceKind::label)
}

/// Is every heater vented?
pub(super) fn unvented_heaters(house: House) -> Finding {
    const SOURCES: &[Source] = &[Source::practice(
        "A heater without a vent gives its burnt gas to the rooms, and the fan draws it through the house",
    )];
    let mut a = RuleContext::house(
        house,
        "unvented-heaters",
        "Is every heater vented?",
        SOURCES,
    );
    let list = &house.survey.flame.appliances;
    a.complete(flame::APPLIANCES);
    let mut found = None;
    for it in &list.items {
        let place = a.get_of(it, appliance::PLACE);
        if place == Some(AppliancePlace::Outdoors) {
            continue;
        }
        let venting = a.get_of(it, appliance::VENTING);
        if venting.is_some_and(|it| it != Venting::Unvented) {
            continue;
        }
        // A cooking range stands under a hood, and a wood stove cannot do without a chimney.
        let kind = a.get_of(it, appliance::KIND);
        if kind == Some(ApplianceKind::Range)
            || kind.is_none()
            || place.is_none()
            || venting.is_none()
        {
            continue;
        }
        found = found.or(Some(it));
    }
    match found {
        Some(it) => a
            .settled(
                Outcome::Mend,
                Say::new("{what} has no vent: its burnt gas stays in the rooms.").with("what", word(it)),
            )
            .remedy(
                Who::Plumber,
                Say::new(
                    "Have a licensed technician take it out of use or replace it by a vented one before the fan runs. \
                     Local codes decide whether it may stay at all.",
                ),
            ),
        None if a.lacks() => a.not_measured(),
        None => a.settled(Outcome::Holds, Say::new("No heater in the house is without a vent.")),
    }
}

/// Does any burner in the attic need still air?
pub(super) fn attic_burner(house: House) -> Finding {
    const SOURCES: &[Source] = &[Source::derived(
        "A natural-draft burner in the attic stands in the fan's outlet air, which many appliance instructions forbid",
    )];
    let mut a = RuleContext::house(
        house,
        "attic-burner",
        "Does a natural-draft burner stand in the attic?",
        SOURCES,
    );
    let list = &house.survey.flame.appliances;
    a.complete(flame::APPLIANCES);
    let mut found = None;
    for it in &list.items {
        let place = a.get_of(it, appliance::PLACE);
        if place.is_some_and(|it| it != AppliancePlace::Attic) {
            continue;
        }
        let venting = a.get_of(it, appliance::VENTING);
        let natural = matches!(
            venting,
            Some(Venting::NaturalDraft | Venting::NaturalDraftDamper | Venting::Unvented)
        );
        if natural && place.is_some() {
            found = found.or(Some(it));
        }
    }
    match found {
        Some(it) => a
            .settled(
                Outcome::Mend,
                Say::new(
                    "{what} burns in the attic with natural draft: the fan blows at its flame and presses on its flue.",
                )
                .with("what", word(it)),
            )
            .remedy(
                Who::Plumber,
                Say::new(
                    "Before the fan is fitted, have a licensed technician replace it by one that is sealed from the attic, or \
                     move it out of the attic.",
                ),
            ),
        None if a.lacks() => a.not_measured(),
        None => a.settled(
            Outcome::Holds,
            Say::new("No natural-draft burner stands in the attic."),
        ),
    }
}

/// Do all exhausts end outdoors?
pub(super) fn attic_exhaust(house: House) -> Finding {
    const SOURCES: &[Source] = &[Source::confirmed(
        "IRC M1501.1 (2012 to 2024): no exhaust ends in an attic, a whole-house fan in a private attic excepted",
    )];
    let mut a = RuleContext::house(
        house,
        "attic-exhaust",
        "Do all exhaust ducts end outdoors?",
        SOURCES,
    );
    let list = &house.survey.flame.exhausts;
    a.complete(flame::EXHAUSTS);
    let mut found = None;
    for it in &list.items {
        let ends = a.get_of(it, exhaust::ENDS);
        if ends == Some(ExhaustEnd::Attic) {
            found = found.or(Some(it));
        }
    }
    match found {
        Some(it) => a
            .settled(
                Outcome::Mend,
                Say::new("{what} blows into the attic: damp air, and lint or grease, which the fan spreads.").with(
                    "what",
                    it.kind.map_or("An exhaust", crate::survey::ExhaustKind::label),
                ),
            )
            .remedy(
                Who::DuctFitter,
                Say::new("Extend its duct to outdoors, with a hood of its own."),
            ),
        None if a.lacks() => a.not_measured(),
        None => a.settled(Outcome::Holds, Say::new("No exhaust duct ends in the attic.")),
    }
}
