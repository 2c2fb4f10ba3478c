//! Knob-and-tube wiring, and wiring that is damaged.
//!
//! Knob-and-tube wiring *fails*, like vermiculite: nobody works in that attic, the surveyor included, until an
//! electrician has taken it out of use and said so in writing; then the house is surveyed again. NEC 394.12(5) forbids
//! insulation round such wires and they need free air; a fan that blows through the attic and a new dam or baffle
//! change both. Damaged wiring *can be mended*: the danger stays where it is until somebody works on it, and an
//! electrician repairs it before other work.

use super::{Finding, House, Outcome, RuleContext, Say, Who};
use crate::survey::arrival;
use crate::trade::source::Source;

const KNOB_AND_TUBE: &[Source] = &[Source::confirmed("NEC 394.12(5)")];
const DAMAGED: &[Source] = &[Source::practice(
    "damaged wiring is repaired before other work",
)];

/// Is the attic free of knob-and-tube wiring?
pub fn knob_and_tube(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "hazard-knob-and-tube",
        "Is the attic free of knob-and-tube wiring?",
        KNOB_AND_TUBE,
    );
    match asking.get(arrival::KNOB_AND_TUBE) {
        None => asking.not_measured(),
        Some(false) => asking.settled(
            Outcome::Holds,
            Say::new("No knob-and-tube wiring was seen."),
        ),
        Some(true) => asking
            .settled(
                Outcome::Fails,
                Say::new("Knob-and-tube wiring was seen. Stop: nobody works in this attic until it is out of use."),
            )
            .remedy(
                Who::Electrician,
                Say::new("Replace the knob-and-tube circuits in this attic, and say so in writing. Then survey again."),
            )
            .caution(Say::new(
                "Leave the attic and touch nothing. Treat every such wire as live. Move no insulation off or onto it. Only a licensed electrician works on it, as local code has it.",
            )),
    }
}

/// Is the attic free of damaged wiring?
pub fn damaged_wiring(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "hazard-damaged-wiring",
        "Is the attic free of damaged wiring?",
        DAMAGED,
    );
    match asking.get(arrival::DAMAGED_WIRING) {
        None => asking.not_measured(),
        Some(false) => asking.settled(Outcome::Holds, Say::new("No damaged wiring was seen.")),
        Some(true) => asking
            .settled(Outcome::Mend, Say::new("Damaged wiring was seen."))
            .remedy(
                Who::Electrician,
                Say::new("Repair the damaged wiring before anybody works near it."),
            )
            .caution(Say::new(
                "Bare or scorched wires may be live. Keep off them; only a licensed electrician works on them.",
            )),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, codes, survey};
    use super::*;
    use crate::survey::FieldRef;

    #[test]
    fn old_and_damaged_wires_are_for_an_electrician() {
        type Rule = fn(House) -> Finding;
        let rules = [
            (arrival::KNOB_AND_TUBE.id, knob_and_tube as Rule),
            (arrival::DAMAGED_WIRING.id, damaged_wiring),
        ];
        for ((field, rule), outcome) in rules.into_iter().zip([Outcome::Fails, Outcome::Mend]) {
            let codes = codes();
            let open = about_house(&survey(&[]), &codes, rule);
            assert_eq!(open.outcome, Outcome::NotMeasured);
            assert_eq!(open.missing, [FieldRef::house(field)]);
            let clear = about_house(&survey(&[(field, "no")]), &codes, rule);
            assert_eq!(clear.outcome, Outcome::Holds);
            let seen = about_house(&survey(&[(field, "yes")]), &codes, rule);
            assert_eq!(seen.outcome, outcome, "{field}");
            assert_eq!(seen.remedies[0].who, Who::Electrician);
            assert!(!seen.cautions.is_empty());
        }
    }
}
