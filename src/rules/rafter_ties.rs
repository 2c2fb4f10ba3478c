//! Whether a cut joist also ties the feet of two rafters.

use super::WithFan;
use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say, Who};
use super::joist::{no_place, sawn};
use crate::house::Framing;
use crate::house::scene::Placed;
use crate::survey::attic;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[Source::confirmed(
    "IRC R802.5.2: ceiling joists tie the rafters' feet together",
)];

/// *Rafter ties*: does a joist that would be cut hold the walls together?
pub(super) fn rafter_ties(with: WithFan) -> Finding {
    let mut asking = RuleContext::spot(with.at, "rafter-ties", "Rafter ties", SOURCES);
    if with.framing == Framing::Whole {
        return asking.settled(
            Outcome::Holds,
            Say::new("No joist is cut, so no tie between rafters is."),
        );
    }
    let ties = asking.get(attic::RAFTER_TIES);
    if ties == Some(false) {
        return asking.settled(
            Outcome::Holds,
            Say::new("The joists do not tie rafters, so cutting one cuts no tie."),
        );
    }
    let sawn = sawn(&mut asking);
    if sawn == Some(false) {
        return asking.settled(
            Outcome::Holds,
            Say::new("Trusses and engineered joists are not cut, so no tie is."),
        );
    }
    let known = ties.is_some() && sawn.is_some();
    match asking.place(&with) {
        Placed::Found { place, .. } if place.cut.is_empty() => asking.settled(
            Outcome::Holds,
            Say::new("The opening lies between two joists, so no tie is cut."),
        ),
        Placed::Found { place, .. } if known => mend(asking, place.cut.len()),
        Placed::Nowhere(nowhere) if known => no_place(asking, nowhere),
        _ => asking.not_measured(),
    }
}

fn mend(mut asking: RuleContext, count: usize) -> Finding {
    asking.figure("ties cut", count);
    asking
        .settled(
            Outcome::Mend,
            Say::new("The joists tie the rafters together; {count} of these ties would be cut.")
                .with("count", count),
        )
        .remedy(
            Who::Engineer,
            Say::new(
                "A registered design professional gives each cut tie another path: new rafter ties beside the opening, or straps that carry the pull over the headers into the trimmers.",
            ),
        )
        .remedy(
            Who::Carpenter,
            Say::new("Put that path in place before the first joist is cut."),
        )
        .caution(Say::new(
            "A cut tie lets the walls spread and the ridge sink. Nobody cuts a joist here until its replacement stands.",
        ))
}
