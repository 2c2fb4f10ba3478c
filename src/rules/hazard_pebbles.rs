//! Pebble-like insulation: vermiculite, taken to hold asbestos.
//!
//! It *fails* and is not for mending in a quote: grains are set free by cutting the ceiling and by every minute
//! that the fan moves air through the attic, and the US EPA's advice is to leave such insulation alone. Where a
//! licensed firm has removed it and an air test has cleared the attic, the house gets a new survey.

use super::{Finding, House, Outcome, RuleContext, Say};
use crate::survey::{InsulationKind, arrival, attic};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed(
        "US EPA, Protect Your Family from Asbestos-Contaminated Vermiculite Insulation",
    ),
    Source::confirmed("US EPA, Asbestos in Your Home (Region 8)"),
];

/// Is the attic free of pebble-like insulation? Any spot's insulation counts for the whole house.
pub fn hazard_pebbles(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "hazard-pebbles",
        "Is the attic free of pebble-like insulation?",
        SOURCES,
    );
    let seen = asking.get(arrival::PEBBLE_INSULATION);
    let mut over_a_spot = false;
    for spot in &house.survey.spots {
        let kind = asking.get_at(spot, attic::INSULATION);
        over_a_spot |= kind == Some(InsulationKind::Pebbles);
    }
    if seen == Some(true) || over_a_spot {
        return asking
            .settled(
                Outcome::Fails,
                Say::new("Pebble-like insulation was seen. Stop: take it to hold asbestos."),
            )
            .caution(Say::new(
                "Leave the attic, close the hatch, touch and sample nothing, store nothing there.",
            ))
            .caution(Say::new(
                "Only a firm licensed for asbestos may test or remove it. Survey again once it has cleared the attic in writing.",
            ));
    }
    if asking.lacks() {
        return asking.not_measured();
    }
    asking.settled(
        Outcome::Holds,
        Say::new("No pebble-like insulation was seen."),
    )
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, at_spot, codes, survey};
    use super::*;

    #[test]
    fn pebbles_seen_anywhere_fail_the_whole_house() {
        let mut survey = survey(&[(arrival::PEBBLE_INSULATION.id, "no")]);
        let second = survey.add_spot();
        let first = survey.spots[0].id;
        let codes = codes();
        let open = about_house(&survey, &codes, hazard_pebbles);
        assert_eq!(open.outcome, Outcome::NotMeasured);
        assert_eq!(
            open.missing,
            [attic::INSULATION.at(first), attic::INSULATION.at(second)]
        );
        at_spot(
            &mut survey,
            second,
            &[(attic::INSULATION.id, "pebble-like")],
        );
        let found = about_house(&survey, &codes, hazard_pebbles);
        assert_eq!(found.outcome, Outcome::Fails);
        assert!(found.missing.is_empty());
        assert_eq!(found.cautions.len(), 2);
        at_spot(&mut survey, second, &[(attic::INSULATION.id, "batts")]);
        at_spot(&mut survey, first, &[(attic::INSULATION.id, "none")]);
        assert_eq!(
            about_house(&survey, &codes, hazard_pebbles).outcome,
            Outcome::Holds
        );
    }

    #[test]
    fn seen_on_arrival_it_fails_before_anything_else_is_asked() {
        let survey = survey(&[(arrival::PEBBLE_INSULATION.id, "yes")]);
        assert_eq!(
            about_house(&survey, &codes(), hazard_pebbles).outcome,
            Outcome::Fails
        );
    }
}
