//! What the rules about power share: a survey's and a fan sheet's words in the terms of the trade.

use super::{Finding, Outcome, Say, Who};
use crate::need::Circuit;
use crate::survey::{Power, WireSize};
use crate::trade::attic_peak::{DESIGN_DAY, attic_peak};
use crate::trade::conductor::{Cable, Gauge, ampacity, next_standard_breaker, small_wire_breaker};
use crate::trade::fan::{Control, Fan};
use crate::trade::motor::{MotorCurrent, motor_current};
use crate::trade::voltage_drop::{BAND_LOW, SERVICE_HIGH, thinnest_wire};

/// The gauge of a surveyed wire.
pub(crate) const fn gauge(size: WireSize) -> Gauge {
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

/// A circuit of the fan's own: its breaker, and the thinnest copper wire that carries the fan in a hot attic and, where the
/// voltage and the run are known, brings it enough voltage with nothing else on the circuit.
pub(super) fn own_circuit(power: &Power, motor: &MotorCurrent) -> Circuit {
    let breaker = next_standard_breaker(motor.circuit_share()).unwrap_or(motor.circuit_share());
    let carries = Gauge::BRANCH
        .into_iter()
        .find(|gauge| {
            small_wire_breaker(*gauge).is_none_or(|most| breaker <= most)
                && ampacity(*gauge, Cable::NmB, attic_peak(DESIGN_DAY), 2)
                    .is_some_and(|hot| hot.usable >= motor.circuit_share())
        })
        .unwrap_or(Gauge::Awg6);
    let run = power.one_way_run.map(|it| it.length());
    let brings = match (power.voltage, run) {
        (Some(voltage), Some(run)) if voltage >= BAND_LOW && voltage <= SERVICE_HIGH => Some((
            thinnest_wire(Gauge::Awg14, voltage - BAND_LOW, motor.full_load, run),
            run,
        )),
        _ => None,
    };
    Circuit {
        own: Some(breaker),
        wire: match brings {
            Some((brings, _)) => brings.map(|wire| wire.max(carries)),
            None => Some(carries),
        },
        run: brings.map(|(_, run)| run),
    }
}
