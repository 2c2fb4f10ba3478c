//! Whether notches and holes have weakened the joists already.

use super::AtSpot;
use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say, Who};
use super::joist::{Read, sawn, section};
use crate::measure::Length;
use crate::survey::{JoistCut, JoistCutKind, attic, cut};
use crate::trade::notch::{Cut, CutLimit, CutLimits, Excess, judge, too_near};
use crate::trade::section::Section;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("IRC R502.8.1, R802.7.1: notches and holes in solid lumber"),
    Source::confirmed("IRC R802.10.4, R802.7.2: none in trusses and engineered members"),
];

/// Two readings of one joist's place are taken to be of the same joist up to this distance.
const SAME_JOIST: Length = Length::inches(3);

/// *Condition of joists*: notches and holes within what the code allows.
pub(super) fn joist_condition(at: AtSpot) -> Finding {
    let attic = &at.spot.attic;
    let mut asking = RuleContext::spot(at, "joist-condition", "Condition of joists", SOURCES);
    let complete = asking.complete(attic::JOIST_CUTS);
    let cuts = &attic.joist_cuts.items;
    if cuts.is_empty() {
        return if complete {
            asking.settled(
                Outcome::Holds,
                Say::new("No notch or hole was found in the joists near the spot."),
            )
        } else {
            asking.not_measured()
        };
    }
    let sawn = sawn(&mut asking);
    if sawn == Some(false) {
        let count = cuts.len();
        return asking
            .settled(
                Outcome::Mend,
                Say::new(
                    "Trusses and engineered joists may not be notched or bored; {count} such cuts were found.",
                )
                .with("count", count),
            )
            .remedy(
                Who::Engineer,
                Say::new("A registered design professional designs the repair of the cut members."),
            );
    }
    let section = match section(&mut asking) {
        Read::Known(section) => Some(section),
        Read::Missing => None,
        // Only sawn joists need a size here.
        Read::Clash(say) => match sawn {
            Some(_) => return asking.contradiction(say),
            None => None,
        },
    };
    let span = asking.length(attic::BEARING_SPAN);
    if let Some(section) = section {
        let limits = CutLimits::of(section.depth());
        asking.figure("deepest notch", limits.notch_depth);
        asking.figure("longest notch", limits.notch_length);
        asking.figure("deepest notch at a bearing", limits.end_notch_depth);
        asking.figure("widest hole", limits.hole);
    }
    let mut passed: Option<(Excess, usize)> = None;
    for cut in cuts {
        let excess = look(&mut asking, cut, section, span, cuts.len() > 1);
        if let Some(excess) = excess {
            passed = Some(match passed {
                None => (excess, 1),
                Some((first, count)) => (first, count + 1),
            });
        }
    }
    let close = section.is_some() && near_each_other(cuts);
    match passed {
        Some((excess, count)) => mend(asking, excess, count, at),
        None if close => repair(asking.settled(
            Outcome::Mend,
            Say::new(
                "A hole in a joist lies less than {need} from its next hole or notch, if both are measured from the same bearing.",
            )
                .with("need", CutLimits::of(Length::ZERO).hole_apart),
        )),
        None if asking.lacks() => asking.not_measured(),
        None => asking.settled(
            Outcome::Holds,
            Say::new("The notches and holes found lie within what the code allows."),
        ),
    }
}

/// Asks for all that the limits of one cut hang on, and judges it as far as it is known.
fn look(
    asking: &mut RuleContext,
    cut: &JoistCut,
    section: Option<Section>,
    span: Option<Length>,
    among_others: bool,
) -> Option<Excess> {
    let kind = asking.get_of(cut, cut::KIND);
    let mut length = |field| asking.length_of(cut, field);
    let depth = length(cut::DEPTH);
    let reach = matches!(kind, None | Some(JoistCutKind::Notch));
    let long = if reach { length(cut::LENGTH) } else { None };
    let along = among_others && kind != Some(JoistCutKind::EndNotch);
    let from_bearing = if reach || along {
        length(cut::FROM_BEARING)
    } else {
        None
    };
    let from_edge = if matches!(kind, None | Some(JoistCutKind::Hole)) {
        length(cut::FROM_EDGE)
    } else {
        None
    };
    if along {
        length(cut::JOIST_AT);
    }
    let section = section?;
    // What is not measured yet stands at its mildest, so that what passes a limit passes it in any case.
    let mild = Length::ZERO;
    let cut = match kind? {
        JoistCutKind::EndNotch => Cut::EndNotch {
            depth: depth.unwrap_or(mild),
        },
        JoistCutKind::Notch => Cut::Notch {
            depth: depth.unwrap_or(mild),
            length: long.unwrap_or(mild),
            from_bearing: match (from_bearing, span) {
                (Some(from_bearing), Some(_)) => from_bearing,
                _ => -Length::LONGEST_TYPED,
            },
        },
        JoistCutKind::Hole => Cut::Hole {
            diameter: depth.unwrap_or(mild),
            from_edge: from_edge.unwrap_or(section.depth()),
        },
    };
    judge(cut, section, span.unwrap_or(Length::LONGEST_TYPED))
}

/// Whether a hole lies too near another hole or a notch in the same joist, as far as both are measured.
fn near_each_other(cuts: &[JoistCut]) -> bool {
    let place = |cut: &JoistCut| {
        let kind = cut.kind.filter(|kind| *kind != JoistCutKind::EndNotch)?;
        let along = match kind {
            JoistCutKind::Hole => cut.depth?,
            _ => cut.length?,
        };
        Some((
            kind,
            cut.joist_at?.length(),
            cut.from_bearing?.length(),
            along.length(),
        ))
    };
    let mut places: Vec<_> = cuts.iter().filter_map(place).collect();
    places.sort_unstable_by_key(|(_, joist, from, _)| (*joist, *from));
    places.iter().enumerate().any(|(index, a)| {
        places[index + 1..]
            .iter()
            .take_while(|b| b.1 - a.1 <= SAME_JOIST)
            .any(|b| {
                (a.0 == JoistCutKind::Hole || b.0 == JoistCutKind::Hole)
                    && too_near(a.2, a.3, b.2, b.3)
            })
    })
}

fn mend(asking: RuleContext, excess: Excess, count: usize, at: AtSpot) -> Finding {
    let text = match excess.limit {
        CutLimit::NotchDepth => {
            "Notches and holes beyond what the code allows: {count}; the first is a notch {found} deep, where {allowed} are allowed."
        }
        CutLimit::NotchLength => {
            "Notches and holes beyond what the code allows: {count}; the first is a notch {found} long, where {allowed} are allowed."
        }
        CutLimit::MiddleThird => {
            "Notches and holes beyond what the code allows: {count}; the first is a notch that reaches {found} from the bearing, into the middle third of the span ({allowed})."
        }
        CutLimit::ThickNotched => {
            "Notches and holes beyond what the code allows: {count}; the first is a notch {found} deep in a joist 4 in thick, which is notched at its ends only."
        }
        CutLimit::EndNotchDepth => {
            "Notches and holes beyond what the code allows: {count}; the first is a notch at a bearing {found} deep, where {allowed} are allowed."
        }
        CutLimit::HoleWidth => {
            "Notches and holes beyond what the code allows: {count}; the first is a hole {found} wide, where {allowed} are allowed."
        }
        CutLimit::HoleEdge => {
            "Notches and holes beyond what the code allows: {count}; the first is a hole {found} from the joist's edge, where {allowed} are needed."
        }
    };
    let say = Say::new(text)
        .with("count", count)
        .with("found", excess.found)
        .with("allowed", excess.allowed);
    let mut finding = repair(asking.settled(Outcome::Mend, say));
    finding.need = Some(excess.allowed.into());
    finding.measured = Some(excess.found.into());
    finding.margin = Some((-excess.by()).into());
    finding.measure_again = excess.by() <= at.house.survey.tape.division();
    finding
}

fn repair(finding: Finding) -> Finding {
    finding
        .remedy(
            Who::Carpenter,
            Say::new(
                "Nail a sound joist of the same size alongside each joist cut too far, from bearing to bearing, before it carries fan or frame.",
            ),
        )
        .caution(Say::new(
            "A joist cut too far is weaker than computed here. Keep off it, and ask the local building official or a registered design professional how it is to be repaired.",
        ))
}
