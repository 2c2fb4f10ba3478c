//! How the fan is cut off for whoever works on it.

use super::wires::motor_of;
use super::{Finding, Outcome, RuleContext, Say, Who, WithFan};
use crate::survey::{Disconnect, power};
use crate::trade::disconnect::{Means, breaker_serves, is_allowed};
use crate::trade::source::Source;
use crate::trade::voltage_drop::NOMINAL;

const SOURCES: &[Source] = &[
    Source::confirmed("NEC 422.31(C): in sight; since 2017 lockable open (110.25) will do"),
    Source::confirmed("NEC 422.31(A): up to 300 VA or 1/8 hp the breaker serves"),
];

/// Can the fan be cut off for work on it?
pub fn disconnect(with: WithFan) -> Finding {
    let house = with.at.house;
    let mut asking = RuleContext::spot(
        with.at,
        "disconnect",
        "Can the fan be cut off for work on it?",
        SOURCES,
    );
    if let Some(motor) = motor_of(with.fan) {
        asking.figure("power taken at 120 V", NOMINAL * motor.full_load);
        if breaker_serves(motor.full_load, with.fan.motor, NOMINAL) {
            return asking.settled(
                Outcome::Holds,
                Say::new("So small a fan may be cut off by the breaker of its circuit."),
            );
        }
    }
    let Some(answer) = asking.get(power::DISCONNECT) else {
        return asking.not_measured();
    };
    let means = match answer {
        Disconnect::InSight => Means::InSight,
        Disconnect::Lockable => Means::LockableOpen,
        Disconnect::Neither => Means::Neither,
    };
    let edition = house.codes.electrical;
    if is_allowed(means, edition) {
        return asking
            .settled(
                Outcome::Holds,
                Say::new("The fan is cut off here: {where}.").with("where", answer.label()),
            )
            .caution(Say::new(
                "Cut off, lock and test before reaching into the fan: it may start from the hall below.",
            ));
    }
    let say = match means {
        Means::LockableOpen => {
            Say::new("{edition} asks for a disconnect in sight of the fan; one that can be locked is not enough.")
                .with("edition", edition.code())
        }
        _ => Say::new("Nothing cuts the fan off in sight of it, or can be locked open."),
    };
    asking.settled(Outcome::Mend, say).remedy(
        Who::Electrician,
        Say::new("Fit a disconnect in sight of the fan, within 50 ft, or what local code accepts instead."),
    )
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{codes, fan, survey, with_fan};
    use super::*;
    use crate::trade::codes::{Codes, Electrical};

    fn judge(answer: &str, edition: Electrical, id: &str) -> Finding {
        let codes = Codes {
            electrical: edition,
            ..codes()
        };
        with_fan(
            &survey(&[(power::DISCONNECT.id, answer)]),
            &codes,
            &fan(id),
            disconnect,
        )
    }

    #[test]
    fn a_lockable_one_serves_since_2017() {
        let outcome = |answer, edition| judge(answer, edition, "belt-36").outcome;
        assert_eq!(outcome("in sight", Electrical::Nec2014), Outcome::Holds);
        assert_eq!(outcome("lockable", Electrical::Nec2014), Outcome::Mend);
        assert_eq!(outcome("lockable", Electrical::Nec2017), Outcome::Holds);
        assert_eq!(outcome("lockable", Electrical::Nec2023), Outcome::Holds);
        assert_eq!(outcome("neither", Electrical::Nec2020), Outcome::Mend);
        let open = judge("", Electrical::Nec2020, "belt-36");
        assert_eq!(open.missing, [power::DISCONNECT.of_house()]);
    }

    #[test]
    fn the_smallest_fans_need_nothing_but_their_breaker() {
        let finding = judge("", Electrical::Nec2014, "long-slim");
        assert_eq!(finding.outcome, Outcome::Holds);
        assert!(finding.hangs_on.is_empty());
    }
}
