//! Whether the panel has room for the fan's breaker, or a circuit that is already there serves.

use super::{Finding, House, Outcome, RuleContext, Say, Who};
use crate::survey::power;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[Source::practice(
    "a fan has a circuit of its own, or shares one that carries both loads",
)];

/// Is there a place for the fan's breaker?
///
/// A circuit with another load on it is one that is already there, and needs no new place.
pub fn panel(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "panel",
        "Is there a place for the fan's breaker?",
        SOURCES,
    );
    let space = asking.get(power::PANEL_SPACE);
    if space == Some(true) {
        return asking.settled(
            Outcome::Holds,
            Say::new("The panel has a free space for a breaker."),
        );
    }
    let other = asking.get(power::OTHER_LOAD);
    match (space, other) {
        (space, Some(load)) if load.a() > 0.0 => {
            let finding = asking.settled(
                Outcome::Holds,
                Say::new(
                    "The fan shares a circuit that is already there; no new breaker is needed.",
                ),
            );
            if space == Some(false) {
                finding.caution(Say::new(
                    "Should the fan get a circuit of its own after all, an electrician first makes room in the panel: it has no free space.",
                ))
            } else {
                finding
            }
        }
        (Some(false), Some(_)) => asking
            .settled(
                Outcome::Mend,
                Say::new("The panel has no free space for a breaker."),
            )
            .remedy(
                Who::Electrician,
                Say::new("Make room in the panel, add a small panel beside it, or serve the fan from a circuit that carries both loads."),
            )
            .caution(Say::new(
                "Only a licensed electrician works in the panel; its supply side stays live with the main breaker off.",
            )),
        _ => asking.not_measured(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, codes, survey};
    use super::*;
    use crate::survey::FieldRef;

    #[test]
    fn a_full_panel_needs_room_unless_the_circuit_is_shared() {
        let (space, load) = (power::PANEL_SPACE.id, power::OTHER_LOAD.id);
        let codes = codes();
        let judge = |answers: &[(&'static str, &str)]| about_house(&survey(answers), &codes, panel);
        assert_eq!(
            judge(&[]).missing,
            [FieldRef::house(space), FieldRef::house(load)]
        );
        assert_eq!(judge(&[(space, "yes")]).outcome, Outcome::Holds);
        assert_eq!(judge(&[(load, "3 A")]).outcome, Outcome::Holds);
        assert_eq!(judge(&[(space, "no")]).missing, [FieldRef::house(load)]);
        assert_eq!(judge(&[(load, "0 A")]).missing, [FieldRef::house(space)]);
        let shared = judge(&[(space, "no"), (load, "3 A")]);
        assert_eq!((shared.outcome, shared.cautions.len()), (Outcome::Holds, 1));
        let full = judge(&[(space, "no"), (load, "0 A")]);
        assert_eq!(full.outcome, Outcome::Mend);
        assert_eq!(full.remedies[0].who, Who::Electrician);
    }
}
