//! A light switched at the hatch and a receptacle, for whoever services the fan.

use super::{Finding, House, Outcome, RuleContext, Say, Who};
use crate::survey::power;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::from_memory(
        "NEC 210.70(C): a light with its switch at the way in, where equipment needs service",
    ),
    Source::from_memory("NEC 210.63: a receptacle within 25 ft of the equipment"),
];

/// Has the attic a light and a receptacle?
pub fn attic_light(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "attic-light",
        "Has the attic a light and a receptacle?",
        SOURCES,
    );
    match asking.get(power::ATTIC_LIGHT_AND_RECEPTACLE) {
        None => asking.not_measured(),
        Some(true) => asking.settled(
            Outcome::Holds,
            Say::new("The attic has a light switched at the hatch, and a receptacle."),
        ),
        Some(false) => asking
            .settled(
                Outcome::Mend,
                Say::new("The attic lacks a light switched at the hatch, or a receptacle."),
            )
            .remedy(
                Who::Electrician,
                Say::new("Fit a light switched at the hatch and a receptacle within 25 ft of the fan, as local code asks."),
            ),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, codes, survey};
    use super::*;

    #[test]
    fn light_and_receptacle_are_there_or_are_fitted() {
        let outcome = |answer: &str| {
            let survey = survey(&[(power::ATTIC_LIGHT_AND_RECEPTACLE.id, answer)]);
            about_house(&survey, &codes(), attic_light).outcome
        };
        assert_eq!(outcome("yes"), Outcome::Holds);
        assert_eq!(outcome("no"), Outcome::Mend);
        assert_eq!(outcome(""), Outcome::NotMeasured);
    }
}
