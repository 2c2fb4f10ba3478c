//! Whether air gets past the insulation at the eaves: the soffit vents are part of the fan's way out.
//!
//! While it does not, vents at the eaves count for nothing in what the fan moves *as things are*
//! ([`Eaves`](crate::house::air::Eaves)); what the vents must come to, and what the house is pulled to, are judged as after the
//! mend that this rule asks for.

use super::{AtSpot, Finding, Outcome, RuleContext, Say, Who};
use crate::survey::{InsulationKind, attic};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("IRC R806.3: at least 1 in of air between insulation and roof at the eave"),
    Source::confirmed("NREL SWS 401882: chutes with 1 in clear, 6 in over the insulation"),
];

/// Is the air's way open at the eaves?
pub fn eaves(at: AtSpot) -> Finding {
    let mut asking = RuleContext::spot(at, "eaves", "Is the air's way open at the eaves?", SOURCES);
    let kind = asking.get(attic::INSULATION);
    if kind == Some(InsulationKind::None) {
        return asking.settled(
            Outcome::Holds,
            Say::new("No insulation can close the eaves."),
        );
    }
    let open = asking.get(attic::EAVES_OPEN);
    match (open, kind) {
        (Some(true), _) => asking.settled(
            Outcome::Holds,
            Say::new("At least 1 in of air stays open over the insulation at the eaves."),
        ),
        (Some(false), Some(_)) => asking
            .settled(
                Outcome::Mend,
                Say::new("Insulation closes the air's way at the eaves; the vents there count for nothing."),
            )
            .remedy(
                Who::Anybody,
                Say::new("Pull the insulation back and fit chutes at the eaves, 1 in clear and 6 in over the insulation."),
            ),
        _ => asking.not_measured(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{at_first_spot, codes, survey};
    use super::*;

    #[test]
    fn closed_eaves_are_opened_with_chutes() {
        let outcome = |kind: &str, open: &str| {
            let survey = survey(&[(attic::INSULATION.id, kind), (attic::EAVES_OPEN.id, open)]);
            at_first_spot(&survey, &codes(), eaves).outcome
        };
        assert_eq!(outcome("batts", "yes"), Outcome::Holds);
        assert_eq!(outcome("", "yes"), Outcome::Holds);
        assert_eq!(outcome("none", ""), Outcome::Holds);
        assert_eq!(outcome("batts", "no"), Outcome::Mend);
        assert_eq!(outcome("", "no"), Outcome::NotMeasured);
        assert_eq!(outcome("batts", ""), Outcome::NotMeasured);
    }
}
