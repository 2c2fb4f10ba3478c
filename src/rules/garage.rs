//! An attic that is open to a garage would let the fan move its fumes, and breaks the fire separation.

use super::{Finding, House, Outcome, RuleContext, Say, Who};
use crate::survey::arrival;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("IRC R302.6: ½ in gypsum between garage and house or attic"),
    Source::from_memory("IRC R302.6: ⅝ in Type X under rooms over the garage"),
    Source::confirmed(
        "IRC R302.5.2: ducts through that separation of No. 26 gauge steel, no openings into the garage",
    ),
];

/// Is the attic shut off from the garage?
pub fn garage(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "garage",
        "Is the attic shut off from the garage?",
        SOURCES,
    );
    let attached = asking.get(arrival::ATTACHED_GARAGE);
    if attached == Some(false) {
        return asking.settled(Outcome::Holds, Say::new("No garage is attached."));
    }
    let open = asking.get(arrival::ATTIC_OPEN_TO_GARAGE);
    match (attached, open) {
        (Some(true), Some(true)) => asking
            .settled(
                Outcome::Mend,
                Say::new("The attic is open to the garage: the fan would push its fumes about, and fire could pass."),
            )
            .remedy(
                Who::Carpenter,
                Say::new("Close the attic off from the garage with at least ½ in gypsum board on the garage side (⅝ in Type X under rooms), joints and pipes sealed."),
            )
            .caution(Say::new(
                "Do not run the fan before the separation is closed and inspected by the local building department.",
            )),
        (_, Some(false)) => asking
            .settled(
                Outcome::Holds,
                Say::new("The attic is shut off from the garage."),
            )
            .caution(Say::new(
                "Keep the door between house and garage shut while the fan runs.",
            )),
        _ => asking.not_measured(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, codes, survey};
    use super::*;
    use crate::survey::FieldRef;

    fn outcome(answers: &[(&'static str, &str)]) -> Finding {
        about_house(&survey(answers), &codes(), garage)
    }

    #[test]
    fn only_an_attached_and_open_garage_needs_work() {
        let (attached, open) = (
            arrival::ATTACHED_GARAGE.id,
            arrival::ATTIC_OPEN_TO_GARAGE.id,
        );
        let nothing = outcome(&[]);
        assert_eq!(nothing.outcome, Outcome::NotMeasured);
        assert_eq!(
            nothing.missing,
            [FieldRef::house(attached), FieldRef::house(open)]
        );
        assert_eq!(outcome(&[(attached, "no")]).outcome, Outcome::Holds);
        assert_eq!(
            outcome(&[(attached, "yes")]).missing,
            [FieldRef::house(open)]
        );
        assert_eq!(
            outcome(&[(open, "yes")]).missing,
            [FieldRef::house(attached)]
        );
        assert_eq!(outcome(&[(open, "no")]).outcome, Outcome::Holds);
        assert_eq!(
            outcome(&[(attached, "yes"), (open, "yes")]).outcome,
            Outcome::Mend
        );
        // Where no garage is attached, a stray answer about it counts nothing.
        assert_eq!(
            outcome(&[(attached, "no"), (open, "yes")]).outcome,
            Outcome::Holds
        );
    }
}
