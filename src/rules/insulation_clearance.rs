//! Whether insulation stays out of the fan.

use super::{AtSpot, Finding, Outcome, RuleContext, Say, Who};
use crate::measure::Length;
use crate::survey::{InsulationKind, NominalSize, attic};
use crate::trade::insulation_clearance::{FROM_MOTOR, dam_over_joists};
use crate::trade::section::{Nominal, Section};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("IRC R302.14: combustible insulation away from fan motors"),
    Source::from_memory("IRC R302.14: 3 in"),
    Source::confirmed(
        "IRC 2024 N1102.2.5.1: a dam holds loose fill back from an opening (here the fan's: judgement)",
    ),
];

/// Does insulation stay out of the fan?
///
/// What lies no higher than the joists is held back by joists and headers.
pub fn insulation_clearance(at: AtSpot) -> Finding {
    let mut asking = RuleContext::spot(
        at,
        "insulation-clearance",
        "Does insulation stay out of the fan?",
        SOURCES,
    );
    let kind = asking.get(attic::INSULATION);
    match kind {
        Some(InsulationKind::None) => {
            return asking.settled(
                Outcome::Holds,
                Say::new("No insulation lies on the ceiling."),
            );
        }
        Some(InsulationKind::Pebbles) => {
            return asking
                .settled(
                    Outcome::Fails,
                    Say::new("Pebble-like insulation may hold asbestos: no fan over it."),
                )
                .caution(Say::new(
                    "Only a firm licensed for asbestos may test or remove it.",
                ));
        }
        _ => {}
    }
    let depth = asking.length(attic::INSULATION_DEPTH);
    let joist = joist_depth(&mut asking);
    let (Some(kind), Some(depth), Some(joist)) = (kind, depth, joist) else {
        return asking.not_measured();
    };
    let dam = dam_over_joists(depth, joist);
    asking.figure("insulation over the tops of the joists", dam);
    let near = (depth - joist).abs() <= at.house.survey.tape.division() * 2;
    let clear = Say::new(
        "Keep insulation {clear} clear of the fan's motor and of the air's way, unless the fan's sheet allows less.",
    )
    .with("clear", FROM_MOTOR);
    let mut finding = if dam.is_zero() {
        asking
            .settled(
                Outcome::Holds,
                Say::new("The insulation lies {depth} deep, no higher than the joists.")
                    .with("depth", depth),
            )
            .caution(clear)
    } else {
        let say = Say::new("{kind} lies {dam} over the tops of the joists.")
            .with("kind", kind.label())
            .with("dam", dam);
        let remedy = match kind {
            InsulationKind::LooseGlass
            | InsulationKind::Cellulose
            | InsulationKind::MineralWool
            | InsulationKind::Other => Say::new(
                "Build a dam of wood round the fan, {dam} over the joists, {clear} away from the motor, and clear out what lies inside.",
            ),
            _ => Say::new(
                "Cut the insulation back {clear} round the fan; it rises {dam} over the joists.",
            ),
        };
        asking
            .settled(Outcome::Mend, say)
            .remedy(
                Who::Anybody,
                remedy.with("dam", dam).with("clear", FROM_MOTOR),
            )
            .caution(clear)
    };
    finding = finding.amounts(Length::ZERO, dam, -dam);
    finding.measure_again = near;
    finding
}

/// The joists' depth: of the nominal size, or measured where it has none.
pub(super) fn joist_depth(asking: &mut RuleContext) -> Option<Length> {
    let nominal = match asking.get(attic::NOMINAL_SIZE) {
        Some(NominalSize::TwoByFour) => Nominal::TwoByFour,
        Some(NominalSize::TwoBySix) => Nominal::TwoBySix,
        Some(NominalSize::TwoByEight) => Nominal::TwoByEight,
        Some(NominalSize::TwoByTen) => Nominal::TwoByTen,
        Some(NominalSize::TwoByTwelve) => Nominal::TwoByTwelve,
        other => {
            let measured = asking.length(attic::JOIST_DEPTH);
            // While the nominal size is open, it may still win over the measured one.
            return measured.filter(|_| other == Some(NominalSize::Other));
        }
    };
    Some(Section::dressed(nominal).depth())
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{at_first_spot, codes, survey};
    use super::*;

    fn judge(answers: &[(&'static str, &str)]) -> Finding {
        at_first_spot(&survey(answers), &codes(), insulation_clearance)
    }

    const LOOSE: [(&str, &str); 3] = [
        (attic::INSULATION.id, "cellulose"),
        (attic::INSULATION_DEPTH.id, "12 in"),
        (attic::NOMINAL_SIZE.id, "2x6"),
    ];

    #[test]
    fn deep_insulation_gets_a_dam_or_is_cut_back() {
        let deep = judge(&LOOSE);
        assert_eq!(deep.outcome, Outcome::Mend);
        assert!(
            deep.remedies[0].what.english().starts_with(
                "Build a dam of wood round the fan, 6 1/2\" over the joists, 3\" away"
            )
        );
        let batts = judge(&[(attic::INSULATION.id, "batts"), LOOSE[1], LOOSE[2]]);
        assert!(
            batts.remedies[0]
                .what
                .english()
                .starts_with("Cut the insulation back")
        );
        let level = judge(&[LOOSE[0], (attic::INSULATION_DEPTH.id, "5 1/2 in"), LOOSE[2]]);
        assert_eq!(level.outcome, Outcome::Holds);
        assert!(level.measure_again);
    }

    #[test]
    fn none_needs_no_depth_and_pebbles_fail() {
        assert_eq!(
            judge(&[(attic::INSULATION.id, "none")]).outcome,
            Outcome::Holds
        );
        assert_eq!(
            judge(&[(attic::INSULATION.id, "pebble-like")]).outcome,
            Outcome::Fails
        );
    }

    #[test]
    fn what_is_missing_is_named() {
        let names = |finding: Finding| -> Vec<&'static str> {
            finding.missing.iter().map(|at| at.field).collect()
        };
        assert_eq!(
            names(judge(&[])),
            [
                attic::INSULATION.id,
                attic::INSULATION_DEPTH.id,
                attic::NOMINAL_SIZE.id,
                attic::JOIST_DEPTH.id
            ]
        );
        assert_eq!(
            names(judge(&LOOSE[..2])),
            [attic::NOMINAL_SIZE.id, attic::JOIST_DEPTH.id]
        );
        let measured = [LOOSE[0], LOOSE[1], (attic::JOIST_DEPTH.id, "7 in")];
        assert_eq!(names(judge(&measured)), [attic::NOMINAL_SIZE.id]);
        let other = judge(&[
            LOOSE[0],
            LOOSE[1],
            (attic::NOMINAL_SIZE.id, "other"),
            (attic::JOIST_DEPTH.id, "7 in"),
        ]);
        assert_eq!(other.outcome, Outcome::Mend);
        assert!(other.say.english().contains("5\" over"));
    }
}
