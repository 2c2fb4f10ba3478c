//! What voltage arrives at the fan, and what wire would bring it.
//!
//! Judged from the voltage measured, less the drop over the run with the fan and the other load at once. Below
//! the fan's band the wire is to blame, or the supply. Above the band, but within what a utility may deliver, no
//! wire helps and fans are made for it: that is a caution.

use super::wires::{gauge, motor_of, no_current, own_circuit};
use super::{Arg, Finding, Outcome, RuleContext, Say, Who, WithFan, number};
use crate::measure::{Current, Voltage};
use crate::need::{Circuit, Need};
use crate::survey::{WireKind, power};
use crate::trade::conductor::Gauge;
use crate::trade::source::Source;
use crate::trade::voltage_drop::{
    BAND_HIGH, BAND_LOW, NOMINAL, RECOMMENDED_SHARE, SERVICE_HIGH, SERVICE_LOW, longest_run,
    thinnest_wire, usual_resistance, voltage_drop,
};

const SOURCES: &[Source] = &[
    Source::practice("a fan's band of 115 to 120 V at its terminals"),
    Source::confirmed("NEC Chapter 9 Table 8; drop = 2·I·R·L/1000"),
    Source::confirmed("NEC 210.19(A) informational note: 3 % on a branch circuit; not enforceable"),
    Source::confirmed("ANSI C84.1 Range A: service of 114 to 126 V"),
];

/// Below this reading a circuit is taken to be off, or read wrongly.
const NO_CIRCUIT: Voltage = Voltage::from_v(90.0);

fn volts(voltage: Voltage) -> Arg {
    number(voltage.v(), "V", 1)
}

/// Does enough voltage arrive at the fan?
pub fn voltage(with: WithFan) -> Finding {
    let mut asking = RuleContext::spot(
        with.at,
        "voltage",
        "Does enough voltage arrive at the fan?",
        SOURCES,
    );
    let Some(motor) = motor_of(with.fan) else {
        return no_current(asking);
    };
    let measured = asking.get(power::VOLTAGE);
    if let Some(voltage) = measured {
        asking.figure("voltage measured", voltage);
        if let Some((say, remedy, again)) = bad_supply(voltage) {
            let mut finding = asking
                .settled(Outcome::Mend, say)
                .remedy(Who::Electrician, remedy)
                .amounts(volts(BAND_LOW), volts(voltage), volts(voltage - BAND_LOW));
            finding.measure_again = again;
            return finding;
        }
    }
    let kind = asking.get(power::WIRE_KIND);
    let own = own_circuit(&with.at.house.survey.power, &motor);
    if let Some(WireKind::KnobAndTube | WireKind::Aluminium) = kind {
        return asking
            .settled(
                Outcome::Mend,
                Say::new("What is lost in this wiring cannot be told; the fan gets a circuit of its own."),
            )
            .needs(Who::Electrician, Need::Circuit(own));
    }
    let run = asking.length(power::ONE_WAY_RUN);
    let size = asking.get(power::WIRE_SIZE).map(gauge);
    let other = asking.get(power::OTHER_LOAD);
    let current = motor.full_load + other.unwrap_or(Current::ZERO);
    asking.figure("current in the run", current);
    // Every size that a survey can have has a resistance.
    let wire = size.and_then(|size| Some((size, usual_resistance(size)?)));
    let (Some(measured), Some(run), Some((size, wire))) = (measured, run, wire) else {
        return asking.not_measured();
    };
    let drop = voltage_drop(current, wire, run);
    let at_fan = measured - drop;
    let allowed = measured - BAND_LOW;
    asking.figure("resistance of the wire", wire);
    asking.figure("voltage drop", drop);
    let share = drop / NOMINAL;
    asking.ratio("drop, share of 120 V", share);
    asking.figure("voltage at the fan", at_fan);
    asking.figure(
        "longest run that keeps the fan's band",
        longest_run(allowed, current, wire),
    );
    asking.figure(
        "longest run at a drop of 3 %",
        longest_run(NOMINAL * RECOMMENDED_SHARE, current, wire),
    );
    let margin = at_fan - BAND_LOW;
    if margin.v() < 0.0 {
        let everything = !asking.lacks();
        let finding = asking.settled(
            Outcome::Mend,
            Say::new("Over {run} of {wire} wire {drop} are lost: {at_fan} arrive, and the fan wants {least} to {most}.")
                .with("run", run)
                .with("wire", size.label())
                .with("drop", volts(drop))
                .with("at_fan", volts(at_fan))
                .with("least", volts(BAND_LOW))
                .with("most", volts(BAND_HIGH)),
        );
        let better = thinnest_wire(Gauge::Awg14, allowed, current, run);
        let finding = match better {
            Some(better) if everything => finding.needs(
                Who::Electrician,
                Need::Circuit(Circuit {
                    own: None,
                    wire: Some(better),
                    run: Some(run),
                }),
            ),
            _ => finding.needs(Who::Electrician, Need::Circuit(own)),
        };
        if !everything {
            return finding;
        }
        return finding.amounts(volts(BAND_LOW), volts(at_fan), volts(margin));
    }
    if asking.lacks() {
        return asking.not_measured();
    }
    let mut finding = asking
        .settled(
            Outcome::Holds,
            Say::new("{at_fan} arrive at the fan, {drop} ({share}) are lost on the way.")
                .with("at_fan", volts(at_fan))
                .with("drop", volts(drop))
                .with("share", number(share * 100.0, "%", 1)),
        )
        .amounts(volts(BAND_LOW), volts(at_fan), volts(margin));
    if share > RECOMMENDED_SHARE {
        finding = finding.caution(Say::new(
            "More than 3 % are lost, which the electrical code advises against.",
        ));
    }
    if at_fan > BAND_HIGH {
        finding = finding.caution(
            Say::new("That is above {most}, though within what a utility may deliver: see that the fan's plate allows it.")
                .with("most", volts(BAND_HIGH)),
        );
    }
    finding
}

/// What is wrong with a supply, whatever the run; the remedy; whether to measure again.
fn bad_supply(voltage: Voltage) -> Option<(Say, Say, bool)> {
    if voltage < NO_CIRCUIT {
        Some((
            Say::new("Measure again: {voltage} is no 120 V circuit that is on.")
                .with("voltage", volts(voltage)),
            Say::new("Find a 120 V circuit for the fan, and measure it switched on."),
            true,
        ))
    } else if voltage > SERVICE_HIGH {
        Some((
            Say::new("{voltage} is more than a utility may deliver on a 120 V circuit, {most}.")
                .with("voltage", volts(voltage))
                .with("most", volts(SERVICE_HIGH)),
            Say::new("Find out why, with the utility if need be; an open neutral is dangerous."),
            true,
        ))
    } else if voltage < BAND_LOW {
        let remedy = if voltage < SERVICE_LOW {
            Say::new(
                "Find out why the voltage is low; below {least} the utility must put it right.",
            )
            .with("least", volts(SERVICE_LOW))
        } else {
            Say::new(
                "Measure at the panel under load; serve the fan from there, or ask the utility for more.",
            )
        };
        Some((
            Say::new("Already {voltage} before the run; the fan wants {least} to {most}.")
                .with("voltage", volts(voltage))
                .with("least", volts(BAND_LOW))
                .with("most", volts(BAND_HIGH)),
            remedy,
            false,
        ))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{codes, fan, survey, with_fan};
    use super::*;
    use crate::survey::FieldRef;

    const GOOD: [(&str, &str); 5] = [
        (power::VOLTAGE.id, "119 V"),
        (power::WIRE_KIND.id, "NM-B"),
        (power::ONE_WAY_RUN.id, "60 ft"),
        (power::WIRE_SIZE.id, "14 AWG"),
        (power::OTHER_LOAD.id, "0 A"),
    ];

    fn judge(changes: &[(&'static str, &str)]) -> Finding {
        let mut answers = GOOD.to_vec();
        for (field, text) in changes {
            answers.retain(|(name, _)| name != field);
            answers.push((*field, *text));
        }
        with_fan(&survey(&answers), &codes(), &fan("belt-36"), voltage)
    }

    #[test]
    fn enough_arrives_over_a_short_run() {
        // 5.2 A over 60 ft of 14 AWG: 2 × 5.2 × 3.07 × 60 / 1000 = 1.92 V.
        let finding = judge(&[]);
        assert_eq!(finding.outcome, Outcome::Holds);
        let drop = finding.figures.iter().find(|f| f.name == "voltage drop");
        assert!((drop.unwrap().value - 1.91568).abs() < 1e-9);
        assert!(finding.cautions.is_empty());
    }

    #[test]
    fn a_long_run_is_mended_by_a_thicker_wire() {
        let finding = judge(&[(power::ONE_WAY_RUN.id, "150 ft")]);
        assert_eq!(finding.outcome, Outcome::Mend);
        // 119 − 115 = 4 V over 150 ft at 5.2 A: 14 AWG loses 4.79 V, 12 AWG 3.01 V.
        assert_eq!(
            finding.remedies[0].what.english(),
            "Run copper 12 AWG or thicker over 150 ft."
        );
        let hopeless = judge(&[
            (power::ONE_WAY_RUN.id, "900 ft"),
            (power::VOLTAGE.id, "115 V"),
        ]);
        assert!(
            hopeless.remedies[0]
                .what
                .english()
                .contains("shorter than 900 ft")
        );
    }

    #[test]
    fn a_bad_supply_decides_alone() {
        for (text, words, again) in [
            ("0 V", "no 120 V circuit", true),
            ("208 V", "more than a utility may deliver", true),
            ("113 V", "Already 113.0 V", false),
            ("114.5 V", "Already 114.5 V", false),
        ] {
            let survey = survey(&[(power::VOLTAGE.id, text)]);
            let finding = with_fan(&survey, &codes(), &fan("belt-36"), voltage);
            assert_eq!(finding.outcome, Outcome::Mend, "{text}");
            assert!(
                finding.say.english().contains(words),
                "{}",
                finding.say.english()
            );
            assert_eq!(finding.measure_again, again);
            assert!(finding.missing.is_empty());
        }
    }

    #[test]
    fn above_the_band_is_a_caution_and_so_are_three_percent() {
        let high = judge(&[
            (power::VOLTAGE.id, "125 V"),
            (power::ONE_WAY_RUN.id, "10 ft"),
        ]);
        assert_eq!(high.outcome, Outcome::Holds);
        assert!(high.cautions[0].text.contains("utility may deliver"));
        let long = judge(&[
            (power::VOLTAGE.id, "122 V"),
            (power::ONE_WAY_RUN.id, "150 ft"),
        ]);
        assert_eq!(long.outcome, Outcome::Holds);
        assert!(long.cautions[0].text.contains("3 %"));
    }

    #[test]
    fn what_is_missing_is_named_unless_the_rest_decides() {
        for (field, _) in GOOD {
            let open = judge(&[(field, "")]);
            assert_eq!(open.outcome, Outcome::NotMeasured, "{field}");
            assert_eq!(open.missing, [FieldRef::house(field)]);
        }
        // Lost by the fan alone: the other load can only make it worse.
        let finding = judge(&[
            (power::ONE_WAY_RUN.id, "150 ft"),
            (power::OTHER_LOAD.id, ""),
        ]);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert!(finding.margin.is_none());
        let aluminium = judge(&[
            (power::WIRE_KIND.id, "aluminium"),
            (power::ONE_WAY_RUN.id, ""),
        ]);
        assert_eq!(aluminium.outcome, Outcome::Mend);
    }
}
