//! How high the switch sits: within reach of grown people, out of reach of small children.

use super::{AtSpot, Finding, Outcome, RuleContext, Say, Who};
use crate::measure::Length;
use crate::survey::{arrival, hall};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("NEC 404.8(A): the middle of the handle at most 6 ft 7 in over the floor"),
    Source::practice("with children in the house, at least 5 ft over the floor or under a guard"),
];

/// The highest middle of a switch's handle, NEC 404.8(A).
const HIGHEST: Length = Length::inches(79);
/// The lowest that small children do not reach: common practice, no source.
const OUT_OF_REACH: Length = Length::feet(5);

/// Is the switch at the right height?
pub fn switch_place(at: AtSpot) -> Finding {
    let survey = at.house.survey;
    let mut asking = RuleContext::spot(
        at,
        "switch-place",
        "Is the switch at the right height?",
        SOURCES,
    );
    let height = asking.length(hall::SWITCH_HEIGHT);
    let Some(height) = height else {
        asking.get(arrival::CHILDREN);
        return asking.not_measured();
    };
    let near = |limit: Length| (limit - height).abs() <= survey.tape.division() * 2;
    if height > HIGHEST {
        let mut finding = asking
            .settled(
                Outcome::Mend,
                Say::new(
                    "The switch sits at {height}, over the highest that is allowed, {highest}.",
                )
                .with("height", height)
                .with("highest", HIGHEST),
            )
            .remedy(
                Who::Electrician,
                Say::new("Set the switch's handle at most {highest} over the floor.")
                    .with("highest", HIGHEST),
            )
            .amounts(HIGHEST, height, HIGHEST - height);
        finding.measure_again = near(HIGHEST);
        return finding;
    }
    let with_windows_shut = Say::new(
        "A fan that starts with windows and doors shut draws burnt gas back into the house: mark the switch, and see that nobody turns it on unknowing.",
    );
    let mut finding = if height >= OUT_OF_REACH {
        asking.settled(
            Outcome::Holds,
            Say::new("The switch sits at {height}, in reach and out of small children's.")
                .with("height", height),
        )
    } else {
        match asking.get(arrival::CHILDREN) {
            None => return asking.not_measured(),
            Some(false) => asking.settled(
                Outcome::Holds,
                Say::new("The switch sits at {height}, and no children live here.")
                    .with("height", height),
            ),
            Some(true) => asking
                .settled(
                    Outcome::Mend,
                    Say::new("The switch sits at {height}, where small children reach it.")
                        .with("height", height),
                )
                .remedy(
                    Who::Electrician,
                    Say::new("Set the switch at least {least} over the floor, or under a cover that locks.")
                        .with("least", OUT_OF_REACH),
                ),
        }
    };
    // A child's reach is what it fails by, else the highest is what it is held to.
    finding = if finding.outcome == Outcome::Mend {
        finding.amounts(OUT_OF_REACH, height, height - OUT_OF_REACH)
    } else {
        finding.amounts(HIGHEST, height, HIGHEST - height)
    }
    .caution(with_windows_shut);
    finding.measure_again = near(HIGHEST);
    finding
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{at_first_spot, codes, survey};
    use super::*;

    fn judge(height: &str, children: &str) -> Finding {
        let survey = survey(&[
            (hall::SWITCH_HEIGHT.id, height),
            (arrival::CHILDREN.id, children),
        ]);
        at_first_spot(&survey, &codes(), switch_place)
    }

    #[test]
    fn not_over_6_ft_7_in_and_out_of_childrens_reach() {
        for (height, children, want, again) in [
            ("79 in", "yes", Outcome::Holds, true),
            ("79 1/16 in", "", Outcome::Mend, true),
            ("90 in", "", Outcome::Mend, false),
            ("60 in", "", Outcome::Holds, false),
            ("48 in", "no", Outcome::Holds, false),
            ("48 in", "yes", Outcome::Mend, false),
            ("0 in", "yes", Outcome::Mend, false),
        ] {
            let finding = judge(height, children);
            assert_eq!(finding.outcome, want, "{height}");
            assert_eq!(finding.measure_again, again, "{height}");
            let margin = finding.margin.expect("a margin");
            let crate::rules::Arg::Length(margin) = margin else {
                panic!("a length: {margin:?}");
            };
            assert_eq!(margin.is_negative(), want == Outcome::Mend, "{height}");
        }
    }

    #[test]
    fn children_are_asked_for_only_where_a_child_could_reach() {
        let open = judge("48 in", "");
        assert_eq!(open.missing, [arrival::CHILDREN.of_house()]);
        let nothing = judge("", "");
        assert_eq!(nothing.missing.len(), 2);
        assert_eq!(judge("", "yes").missing.len(), 1);
    }
}
