//! Whether the joists rest well on their bearings, and are kept upright there.

use super::AtSpot;
use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say, Who};
use super::joist::{Read, sawn, section};
use crate::measure::Length;
use crate::survey::attic;
use crate::trade::opening_frame::{
    BEARING_ON_MASONRY, BEARING_ON_WOOD, LateralSupport, lateral_support,
};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("IRC R802.6: bearing of 1 1/2 in on wood or metal, 3 in on masonry"),
    Source::confirmed("IRC R802.8: lateral support of deep, thin joists"),
];

/// *Bearing of joists*: enough wood on the wall, and no joist that may turn over.
pub(super) fn joist_bearing(at: AtSpot) -> Finding {
    let mut asking = RuleContext::spot(at, "joist-bearing", "Bearing of joists", SOURCES);
    let sawn = sawn(&mut asking);
    if sawn == Some(false) {
        return asking.settled(
            Outcome::Holds,
            Say::new("Trusses and engineered joists bear as their design says."),
        );
    }
    let bearing = asking.length(attic::BEARING_LENGTH);
    let support = match section(&mut asking) {
        Read::Known(section) => lateral_support(section),
        // Wood of no size is for the rules that need its size.
        Read::Missing | Read::Clash(_) => LateralSupport::None,
    };
    let need = BEARING_ON_WOOD;
    let division = at.house.survey.tape.division();
    let finding = match (sawn, bearing) {
        (_, Some(bearing)) if bearing >= need => asking
            .settled(
                Outcome::Holds,
                Say::new("The joists rest {found} on their bearing; wood or metal needs {need}.")
                    .with("found", bearing)
                    .with("need", need),
            )
            .lengths(need, bearing, 1, division),
        (Some(_), Some(bearing)) => asking
            .settled(
                Outcome::Mend,
                Say::new("The joists rest only {found} on their bearing; wood or metal needs {need}.")
                    .with("found", bearing)
                    .with("need", need),
            )
            .lengths(need, bearing, 1, division)
            .remedy(
                Who::Carpenter,
                Say::new(
                    "Give each joist that carries the fan or its frame {need} of bearing: a ledger, a hanger or a piece beside it.",
                )
                .with("need", need),
            ),
        _ => return asking.not_measured(),
    };
    let finding = match (support, bearing) {
        (LateralSupport::None, _) => finding,
        (LateralSupport::AtBearings, _) => finding.caution(Say::new(
            "Joists this deep must be held against turning at their bearings: blocking or a band. See that they are before anything is hung on them.",
        )),
        (LateralSupport::Bridging, _) => finding.caution(Say::new(
            "Joists this deep must be held against turning at their bearings and by bridging every 8 ft. See that they are before anything is hung on them.",
        )),
    };
    if bearing.is_some_and(|it| it < BEARING_ON_MASONRY && it > Length::ZERO) {
        finding.caution(
            Say::new("Where the bearing is masonry or concrete, {need} are needed.")
                .with("need", BEARING_ON_MASONRY),
        )
    } else {
        finding
    }
}
