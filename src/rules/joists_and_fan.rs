//! Whether this kind of framing lets the fan stand over it, or be cut for it.

use super::WithFan;
use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say, Who};
use super::joist::{no_place, sawn};
use super::sheet::SheetSources;
use crate::house::Framing;
use crate::house::scene::Placed;
use crate::measure::Length;
use crate::survey::{FramingKind, attic};
use crate::trade::source::Source;

static SOURCES: SheetSources<4> = SheetSources::new([
    Source::confirmed(
        "IRC R802.10.4, R802.7.2: trusses and engineered members are not cut or loaded without design",
    ),
    Source::confirmed("IRC R802.9: sawn joists are cut between header and trimmer"),
    Source::practice("a fan of 36 in or more over joists left whole only at 24 in centres or more"),
    Source::given("the fan's sheet: over whole joists or not, and their least spacing"),
]);

/// A fan of this blade or larger needs joists far apart when they are left whole.
const WIDE_BLADE: Length = Length::inches(36);
/// How far apart.
const WIDE_SPACING: Length = Length::inches(24);
/// Trusses and engineered joists stand at most this far apart under a ceiling, so a wider opening crosses one.
const ENGINEERED_BAY: Length = Length::inches(24);

/// *Joists and fan*: may joists be cut for it, or left whole under it?
pub(super) fn joists_and_fan(with: WithFan) -> Finding {
    match with.framing {
        Framing::Cut => cut(with),
        Framing::Whole => whole(with),
    }
}

fn begin<'a>(with: &WithFan<'a>) -> RuleContext<'a> {
    RuleContext::spot(
        with.at,
        "joists-and-fan",
        "Joists and fan",
        SOURCES.of(with.fan),
    )
}

fn never_cut(asking: RuleContext, framing: FramingKind) -> Finding {
    let say = match framing {
        FramingKind::Trusses => {
            "Trusses are never cut, notched or headed without a registered design professional."
        }
        FramingKind::IJoists => {
            "I-joists are never cut and headed like sawn joists; only their maker's details or a registered design professional allow it."
        }
        _ => {
            "Only sawn joists are cut and headed by the code's rule; for anything else a registered design professional must be asked."
        }
    };
    asking.settled(Outcome::Fails, Say::new(say))
}

fn verify_load(finding: Finding) -> Finding {
    finding
        .remedy(
            Who::Engineer,
            Say::new(
                "A registered design professional verifies, in writing and before work begins, that the framing carries the fan's weight.",
            ),
        )
        .caution(Say::new(
            "Do not drill, notch, cut or splice any part of a truss or I-joist.",
        ))
}

fn cut(with: WithFan) -> Finding {
    let mut asking = begin(&with);
    let framing = asking.get(attic::FRAMING);
    match framing {
        Some(FramingKind::SawnJoists) => asking.settled(
            Outcome::Holds,
            Say::new("Sawn joists may be cut for an opening, between headers and trimmers."),
        ),
        None => asking.not_measured(),
        // What is wider than the bay crosses a member; what is narrower may lie between two.
        Some(framing) if with.fan.opening.width >= ENGINEERED_BAY => never_cut(asking, framing),
        Some(framing) => {
            match asking.place(&with) {
                Placed::Unknown => asking.not_measured(),
                Placed::Nowhere(nowhere) => no_place(asking, nowhere),
                Placed::Found { place, .. } if place.cut.is_empty() => verify_load(asking.settled(
                    Outcome::Mend,
                    Say::new(
                        "The opening lies between two members and cuts none, but the fan is a load they were not designed for.",
                    ),
                )),
                Placed::Found { .. } => never_cut(asking, framing),
            }
        }
    }
}

fn whole(with: WithFan) -> Finding {
    let (fan, attic) = (with.fan, &with.at.spot.attic);
    let mut asking = begin(&with);
    if !fan.over_whole_joists {
        return asking.settled(
            Outcome::Fails,
            Say::new("The fan's sheet does not let it stand over joists left whole."),
        );
    }
    let need = fan
        .whole_joist_spacing
        .or((fan.blade >= WIDE_BLADE).then_some(WIDE_SPACING));
    let sawn = sawn(&mut asking);
    let Some(need) = need else {
        return match sawn {
            None => asking.not_measured(),
            Some(sawn) => stands(asking, sawn, None),
        };
    };
    // Even joists have one spacing; of uneven ones the closest two at the opening count.
    let even = asking.get(attic::JOISTS_EVEN);
    if even != Some(false) {
        asking.get(attic::JOIST_SPACING);
    }
    let (spacing, readings) = match even {
        None => {
            asking.place(&with);
            return asking.not_measured();
        }
        Some(true) => (attic.joist_spacing.map(|reading| reading.length()), 1),
        Some(false) => match asking.place(&with) {
            Placed::Found { place, .. } => {
                let mut at = vec![place.trimmers.0];
                at.extend_from_slice(&place.standing);
                at.push(place.trimmers.1);
                (at.windows(2).map(|pair| pair[1] - pair[0]).min(), 2)
            }
            Placed::Nowhere(nowhere) => return no_place(asking, nowhere),
            Placed::Unknown => return asking.not_measured(),
        },
    };
    let division = with.at.house.survey.tape.division();
    asking.figure("joist spacing needed", need);
    match (sawn, spacing) {
        (_, Some(spacing)) if spacing < need => {
            asking.figure("joist spacing", spacing);
            asking
                .settled(
                    Outcome::Fails,
                    Say::new(
                        "Joists left whole must lie {need} apart or more under this fan; here they lie {found} apart.",
                    )
                    .with("need", need)
                    .with("found", spacing),
                )
                .lengths(need, spacing, readings, division)
        }
        (Some(sawn), Some(spacing)) => {
            asking.figure("joist spacing", spacing);
            stands(asking, sawn, Some((need, spacing))).lengths(need, spacing, readings, division)
        }
        _ => asking.not_measured(),
    }
}

/// The fan may stand over joists of this kind, as far as spacing goes.
fn stands(asking: RuleContext, sawn: bool, spacing: Option<(Length, Length)>) -> Finding {
    if !sawn {
        return verify_load(asking.settled(
            Outcome::Mend,
            Say::new(
                "The fan may stand over trusses or engineered joists only where they are verified for its weight.",
            ),
        ));
    }
    let say = match spacing {
        Some((need, found)) => Say::new(
            "Joists left whole must lie {need} apart or more under this fan; here they lie {found} apart.",
        )
        .with("need", need)
        .with("found", found),
        None => Say::new("This fan may stand over joists left whole, whatever their spacing."),
    };
    asking.settled(Outcome::Holds, say)
}
