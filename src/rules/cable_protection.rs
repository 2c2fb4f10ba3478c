//! Whether the cable to the fan is guarded where people climb about.
//!
//! The fan's cable ends at the fan's own opening. That opening is an entrance to the attic too (our judgement),
//! so a cable that crosses the joists always crosses within 6 ft of one.

use super::{AtSpot, Finding, Outcome, RuleContext, Say, Who};
use crate::survey::{WireKind, attic, power};
use crate::trade::cable_protection::{FROM_EDGE, FROM_ENTRANCE, strips_between_entrances};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("NEC 334.23 and 320.23: guard strips as high as the cable"),
    Source::derived("the fan's opening is an entrance to the attic like the hatch (judgement)"),
    Source::confirmed("NEC 334.30: fastened every 4½ ft and within 12 in of each box"),
    Source::confirmed("NEC 300.4(A)(1) and (D): 1¼ in from the edge of the wood, or a steel plate"),
];

/// Is the cable guarded where people climb about?
pub fn cable_protection(at: AtSpot) -> Finding {
    let mut asking = RuleContext::spot(
        at,
        "cable-protection",
        "Is the cable guarded where people climb about?",
        SOURCES,
    );
    let kind = asking.get(power::WIRE_KIND);
    let across = asking.get(power::CABLE_ACROSS_JOISTS);
    let strips = asking.get(power::GUARD_STRIPS);
    let from_edge = Say::new(
        "Along or through wood keep the cable {edge} from its edge, or cover it with a steel plate; fasten it every 4½ ft and within 12 in of each box.",
    )
    .with("edge", FROM_EDGE);
    if kind == Some(WireKind::Conduit) {
        return asking.settled(
            Outcome::Holds,
            Say::new("Wires in conduit need no guard strips."),
        );
    }
    if across == Some(false) {
        return asking
            .settled(
                Outcome::Holds,
                Say::new("The cable does not cross the tops of the joists."),
            )
            .caution(from_edge);
    }
    if strips == Some(true) {
        return asking
            .settled(
                Outcome::Holds,
                Say::new("Guard strips protect the cable where it crosses the joists."),
            )
            .caution(from_edge);
    }
    if kind.is_none() || across.is_none() || strips.is_none() {
        return asking.not_measured();
    }
    let stair = asking.get(attic::PERMANENT_STAIR);
    let hatch = asking.length(attic::HATCH_DISTANCE);
    let say = Say::new("The cable crosses the tops of the joists without guard strips.");
    let remedy = match (stair, hatch) {
        (Some(true), _) => Say::new(
            "Nail guard strips at least as high as the cable on both sides, wherever it crosses joists: a permanent stair leads up.",
        ),
        (Some(false), Some(hatch)) => {
            let most = strips_between_entrances(false, hatch);
            asking.figure("guard strips on a straight crossing, at most", most);
            Say::new("Nail guard strips at least as high as the cable on both sides, within {reach} of the hatch and of the fan's opening: at most {most} on a straight crossing.")
                .with("reach", FROM_ENTRANCE)
                .with("most", most)
        }
        _ => Say::new(
            "Nail guard strips at least as high as the cable on both sides, within {reach} of the hatch and of the fan's opening.",
        )
        .with("reach", FROM_ENTRANCE),
    };
    asking
        .settled(Outcome::Mend, say)
        .remedy(Who::Electrician, remedy)
        .caution(from_edge)
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{at_first_spot, codes, survey};
    use super::*;
    use crate::survey::FieldRef;

    const KIND: &str = power::WIRE_KIND.id;
    const ACROSS: &str = power::CABLE_ACROSS_JOISTS.id;
    const STRIPS: &str = power::GUARD_STRIPS.id;

    fn judge(answers: &[(&'static str, &str)]) -> Finding {
        at_first_spot(&survey(answers), &codes(), cable_protection)
    }

    #[test]
    fn one_good_answer_is_enough() {
        for good in [(KIND, "conduit"), (ACROSS, "no"), (STRIPS, "yes")] {
            let finding = judge(&[good]);
            assert_eq!(finding.outcome, Outcome::Holds, "{good:?}");
            assert!(finding.missing.is_empty());
        }
    }

    #[test]
    fn an_unguarded_crossing_is_mended_over_its_length() {
        let bare = [(KIND, "NM-B"), (ACROSS, "yes"), (STRIPS, "no")];
        for (field, _) in bare {
            let answers: Vec<_> = bare.iter().copied().filter(|(f, _)| *f != field).collect();
            assert_eq!(judge(&answers).missing, [FieldRef::house(field)]);
        }
        let plain = judge(&bare);
        assert_eq!(plain.outcome, Outcome::Mend);
        assert!(plain.missing.is_empty());
        let words = |stair, hatch| {
            let mut answers = bare.to_vec();
            answers.extend([
                (attic::PERMANENT_STAIR.id, stair),
                (attic::HATCH_DISTANCE.id, hatch),
            ]);
            judge(&answers).remedies[0].what.english()
        };
        assert!(words("no", "20 ft").contains("at most 144\""));
        assert!(words("no", "9 ft").contains("at most 108\""));
        assert!(words("yes", "20 ft").contains("permanent stair"));
    }
}
