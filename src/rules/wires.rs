//! What the rules about power share: a survey's and a fan sheet's words in the terms of the trade.

use super::{Finding, Outcome, Say, Who};
use crate::survey::WireSize;
use crate::trade::conductor::Gauge;
use crate::trade::fan::{Control, Fan};
use crate::trade::motor::{MotorCurrent, motor_current};

/// The gauge of a surveyed wire.
pub(super) const fn gauge(size: WireSize) -> Gauge {
    match size {
        WireSize::Awg14 => Gauge::Awg14,
        WireSize::Awg12 => Gauge::Awg12,
        WireSize::Awg10 => Gauge::Awg10,
    }
}

/// The current of a fan's motor: the largest that is marked, if the fastest speed is marked at all; else the
/// table's by the motor's power.
pub(super) fn motor_of(fan: &Fan) -> Option<MotorCurrent> {
    let marked = fan.high().current.and_then(|_| {
        fan.speeds
            .iter()
            .filter_map(|speed| speed.current)
            .reduce(|a, b| a.max(b))
    });
    motor_current(marked, fan.motor)
}

/// The wires from the switch to the fan, the ground not counted: two for one speed or any speed, three for two
/// fixed speeds (common practice, no source).
pub(super) const fn wires_to_fan(control: Control) -> u32 {
    match control {
        Control::OneSpeed | Control::Variable => 2,
        Control::TwoSpeeds => 3,
    }
}

/// What is said where the sheet tells no current.
pub(super) fn no_current(asking: super::RuleContext) -> Finding {
    asking
        .settled(
            Outcome::Mend,
            Say::new(
                "The fan's sheet gives neither its current nor a motor power of at most 2 hp.",
            ),
        )
        .remedy(
            Who::Anybody,
            Say::new("Get the current in amperes from the fan's plate and put it in the fan list."),
        )
}
