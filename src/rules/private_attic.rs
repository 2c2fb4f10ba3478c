//! Whether the fan may blow into the attic: only into one that belongs to this dwelling alone.

use super::finding::{Finding, Outcome, Say};
use super::{House, RuleContext};
use crate::survey::arrival;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[Source::confirmed(
    "IRC M1501.1 exception (2006 to 2024), IMC 501.3: a whole-house fan may discharge into the attic of a dwelling \
     with its own private attic",
)];

pub(super) fn rule(house: House) -> Finding {
    let mut a = RuleContext::house(
        house,
        "private-attic",
        "Is the attic this dwelling's own?",
        SOURCES,
    );
    match a.get(arrival::PRIVATE_ATTIC) {
        None => a.not_measured(),
        Some(true) => a.settled(
            Outcome::Holds,
            Say::new("The attic belongs to this dwelling alone; the fan may discharge into it."),
        ),
        Some(false) => a
            .settled(
                Outcome::Fails,
                Say::new(
                    "The attic is shared with a neighbour. A fan may only discharge into an attic that belongs to \
                     one dwelling alone.",
                ),
            )
            .caution(Say::new(
                "A wall that parts the attics is building work with a fire rating: only the building department can \
                 say whether it would do here.",
            )),
    }
}
