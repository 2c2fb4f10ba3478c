//! Whether the switch is strong enough for the motor.

use super::wires::{motor_of, no_current};
use super::{Finding, Outcome, RuleContext, Say, Who, WithFan, number};
use crate::measure::Current;
use crate::need::Need;
use crate::survey::power;
use crate::trade::disconnect::least_switch_rating;
use crate::trade::fan::Control;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed(
        "NEC 404.14(A): an AC snap switch carries a motor of at most 80 % of its rating",
    ),
    Source::from_memory("NEC 430.109(C): the same, for motors of at most 2 hp"),
];

/// Is the switch strong enough for the motor?
pub fn switch_rating(with: WithFan) -> Finding {
    let mut asking = RuleContext::spot(
        with.at,
        "switch-rating",
        "Is the switch strong enough for the fan's motor?",
        SOURCES,
    );
    let Some(motor) = motor_of(with.fan) else {
        return no_current(asking);
    };
    let least = least_switch_rating(motor.full_load);
    asking.figure("least rating of the switch", least);
    let Some(rating) = asking.get(power::SWITCH_RATING) else {
        return asking.not_measured();
    };
    let amperes = |current: Current| number(current.a(), "A", 1);
    let holds = rating.a() >= least.a() - 1e-9;
    let finding = if holds {
        asking.settled(
            Outcome::Holds,
            Say::new("A switch of {rating} carries the motor's {current}.")
                .with("rating", amperes(rating))
                .with("current", amperes(motor.full_load)),
        )
    } else {
        asking
            .settled(
                Outcome::Mend,
                Say::new(
                    "A switch of {rating} may carry a motor of {most}; the fan's draws {current}.",
                )
                .with("rating", amperes(rating))
                .with("most", amperes(rating * 0.8))
                .with("current", amperes(motor.full_load)),
            )
            .needs_as(
                Who::Electrician,
                Need::Switch(least),
                Say::new("Fit a switch rated at least {least}.").with("least", amperes(least)),
            )
    };
    let finding = finding.amounts(amperes(least), amperes(rating), amperes(rating - least));
    match with.fan.control {
        Control::Variable => finding.caution(Say::new(
            "A speed control must be the one that the fan's sheet names for its motor; a lamp dimmer is none.",
        )),
        Control::OneSpeed | Control::TwoSpeeds => finding,
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{codes, fan, survey, with_fan};
    use super::*;

    #[test]
    fn a_motor_takes_at_most_four_fifths_of_the_switch() {
        let mut twelve = fan("belt-36");
        for (rating, current, want) in [
            ("15 A", 12.0, Outcome::Holds),
            ("15 A", 12.1, Outcome::Mend),
            ("20 A", 16.0, Outcome::Holds),
            ("", 5.0, Outcome::NotMeasured),
        ] {
            twelve.speeds[0].current = Some(Current::from_a(current));
            let survey = survey(&[(power::SWITCH_RATING.id, rating)]);
            let finding = with_fan(&survey, &codes(), &twelve, switch_rating);
            assert_eq!(finding.outcome, want, "{rating}, {current} A");
            if want == Outcome::NotMeasured {
                assert_eq!(finding.missing, [power::SWITCH_RATING.of_house()]);
            }
        }
    }
}
