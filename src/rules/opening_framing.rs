//! What headers and trimmers an opening needs where joists are cut.

use super::WithFan;
use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say, Who};
use super::joist::{Read, along, no_place, opening_ends, sawn, section};
use crate::house::Framing;
use crate::house::scene::Placed;
use crate::need::Need;
use crate::trade::opening_frame::{Plies, header_plies, opening_frame};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[Source::confirmed(
    "IRC R802.9: headers, trimmers, hangers and ledgers at openings in ceilings",
)];

/// *Frame of the opening*: the members that the code's rule asks for.
pub(super) fn opening_framing(with: WithFan) -> Finding {
    let mut asking = RuleContext::spot(with.at, "opening-framing", "Frame of the opening", SOURCES);
    if with.framing == Framing::Whole {
        return asking.settled(
            Outcome::Holds,
            Say::new("No joist is cut, so no opening is framed."),
        );
    }
    let sawn = sawn(&mut asking);
    if sawn == Some(false) {
        return asking.settled(
            Outcome::Holds,
            Say::new("No opening is framed into trusses or engineered joists."),
        );
    }
    let place = match asking.place(&with) {
        Placed::Found { place, .. } if place.cut.is_empty() => {
            return asking.settled(
                Outcome::Holds,
                Say::new("The opening lies between two joists; none is cut."),
            );
        }
        Placed::Found { place, .. } => Some(place),
        Placed::Nowhere(nowhere) if sawn.is_some() => return no_place(asking, nowhere),
        Placed::Nowhere(_) | Placed::Unknown => None,
    };
    let (wood, along) = (section(&mut asking), along(&mut asking));
    // The place may yet turn out to cut nothing, and the framing to be no sawn joists.
    if sawn.is_some() && place.is_some() {
        if let Read::Clash(clash) = wood {
            return asking.contradiction(clash);
        }
        if let Read::Clash(clash) = along {
            return asking.contradiction(clash);
        }
    }
    let (Some(_), Some(place), Read::Known(wood), Read::Known(along), Some(axis)) =
        (sawn, place, wood, along, with.at.scene.axis.known)
    else {
        return asking.not_measured();
    };
    let ends = opening_ends(place, axis, along, with.fan.opening.length);
    let breadth = wood.breadth();
    let header_span = place.trimmers.1 - place.trimmers.0 - breadth;
    let plies = header_plies(header_span);
    // What is left of a cut joist at either end: every piece of the header stands in it.
    let header = plies.thickness(breadth);
    let tails = [ends[0], along.span - ends[1]];
    let shortest = tails[0].min(tails[1]);
    let division = with.at.house.survey.tape.division();
    asking.figure("joists cut", place.cut.len());
    asking.figure("opening, near end from the bearing", ends[0]);
    asking.figure("opening, far end from the bearing", ends[1]);
    asking.figure("header span", header_span);
    asking.figure("pieces in each header", plies.count());
    if shortest < header {
        return asking
            .settled(
                Outcome::Fails,
                Say::new(
                    "The opening would reach within {left} of the joists' bearing; a header of {need} does not fit there.",
                )
                .with("left", shortest)
                .with("need", header),
            )
            .lengths(header, shortest, 2, division);
    }
    let headers = [ends[0] - header / 2, ends[1] + header / 2];
    let frame = opening_frame(along.span, header_span, headers);
    asking.figure("near header from its bearing", frame.to_bearing[0]);
    asking.figure("far header from its bearing", frame.to_bearing[1]);
    asking.figure("near tail joists", tails[0] - header);
    asking.figure("far tail joists", tails[1] - header);
    asking.figure("pieces in each trimmer", frame.trimmers.count());
    let mut finding = asking
        .settled(
            Outcome::Mend,
            Say::new("Joists to be cut and headed: {count}; headers of {span}.")
                .with("count", place.cut.len())
                .with("span", header_span),
        )
        .lengths(header, shortest, 2, division)
        .needs(
            Who::Carpenter,
            Need::Headers {
                joists: u32::try_from(place.cut.len()).unwrap_or(u32::MAX),
                plies: frame.headers,
                length: header_span,
            },
        );
    if frame.trimmers == Plies::Double {
        finding = finding.needs(Who::Carpenter, Need::Trimmers(along.span));
    }
    finding = finding.remedy(
        Who::Carpenter,
        Say::new(if frame.hangers {
            "Hang the headers in approved hangers at the trimmers; the code asks for them here."
        } else {
            "Nail or, better, hang the headers' ends at the trimmers."
        }),
    );
    for (needed, which) in frame.ledgers.into_iter().zip(["near", "far"]) {
        if needed {
            finding = finding.remedy(
                Who::Carpenter,
                Say::new(
                    "Carry the tail joists at the {which} header, longer than 12 ft, on framing anchors or a ledger of 2 × 2 or more.",
                )
                .with("which", which),
            );
        }
    }
    finding.caution(Say::new(
        "Shore the joists on both sides before the first cut. The local code and its inspector decide; where either asks for more, that counts.",
    ))
}
