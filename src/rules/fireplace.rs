//! The fireplace: its flue is the widest way for air to come down, and smoke with it.

use super::finding::{Finding, Outcome, Say, Who};
use super::{House, RuleContext};
use crate::survey::{Fireplace, flame};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::practice("Damper shut while the fan runs, and never a fire and the fan together"),
    Source::confirmed(
        "BPI technical standard, depressurisation limits: a natural-draft flue bears 2 to 5 Pa",
    ),
];

pub(super) fn rule(house: House) -> Finding {
    let mut a = RuleContext::house(
        house,
        "fireplace",
        "Can the fireplace be shut off from the fan?",
        SOURCES,
    );
    let never = || {
        Say::new(
            "Never run the fan while a fire burns or its ashes are warm: it pulls smoke and carbon monoxide into the \
             rooms. Put that on a sign at the switch.",
        )
    };
    match a.get(flame::FIREPLACE) {
        None => a.not_measured(),
        Some(Fireplace::None) => a.settled(Outcome::Holds, Say::new("There is no fireplace.")),
        Some(Fireplace::Sealed) => a.settled(
            Outcome::Holds,
            Say::new("The fireplace is sealed and takes its air from outdoors."),
        ),
        Some(Fireplace::TightDamper) => a
            .settled(
                Outcome::Holds,
                Say::new("The fireplace has a damper that shuts; it must be shut whenever the fan runs."),
            )
            .caution(never()),
        Some(Fireplace::NoDamper) => a
            .settled(
                Outcome::Mend,
                Say::new("Nothing shuts the fireplace: the fan would pull soot and smoke down its flue."),
            )
            .remedy(
                Who::Anybody,
                Say::new(
                    "Before the fan is fitted, have a mason or chimney technician fit a damper or tight doors that \
                     shut the fireplace.",
                ),
            )
            .caution(never()),
    }
}
