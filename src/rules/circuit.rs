//! Motor, other load, breaker and wire: whether the circuit carries the fan in a hot attic.
//!
//! The wire is judged at the attic's temperature as measured and never below the peak of a summer day
//! ([`attic_peak`](crate::trade::attic_peak): FSEC-CR-1220-00), since nobody surveys on the hottest afternoon; where the day of the visit is hotter than that, at its peak. It never *fails* for good: an electrician can always run
//! a circuit of the fan's own, and the remedy says which.

use super::wires::{gauge, motor_of, no_current, own_circuit, wires_to_fan};
use super::{Finding, Outcome, RuleContext, Say, Who, WithFan, number};
use crate::measure::{Current, Temperature};
use crate::need::Need;
use crate::survey::{WireInsulation, WireKind, arrival, power};
use crate::trade::attic_peak::{DESIGN_DAY, attic_peak};
use crate::trade::conductor::{
    Ampacity, Cable, Gauge, ampacity, next_standard_breaker, small_wire_breaker,
};
use crate::trade::motor::{Basis, MotorCurrent};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("NEC Table 430.248; the mark on a listed fan wins: 430.6(A)(1) Exc. 2 and 3"),
    Source::confirmed("NEC 430.22: wire for 125 %; 430.52: breaker of at most 250 %"),
    Source::from_memory(
        "NEC 430.24 (other loads), 430.53(A) (shared 20 A circuit), 240.4(B), 240.6(A)",
    ),
    Source::confirmed("NEC Table 310.16, 310.15(B)(1), 310.15(C)(1), 334.80, 240.4(D)"),
    Source::from_memory(
        "NEC 110.14(C)(1)(a), 320.80(A): wires in armoured cable or conduit by the mark of their insulation, at most the 60 °C value",
    ),
    Source::confirmed(
        "FSEC-CR-1220-00: attic 40 °F over outdoors at the summer's peak; 95 °F day or hotter (derived)",
    ),
    Source::practice("two wires and a ground to the fan, three and a ground for two fixed speeds"),
];

/// What the circuit is, as far as it is known.
struct Circuit {
    breaker: Option<Current>,
    other: Option<Current>,
    size: Option<Gauge>,
    kind: Option<WireKind>,
    insulation: Option<WireInsulation>,
    bundled: Option<u32>,
    attic: Option<Temperature>,
    outdoors: Option<Temperature>,
}

/// Why a circuit does not carry the fan.
enum Short {
    /// The breaker is smaller than the load.
    Breaker,
    /// The breaker is larger than the motor may have.
    Motor,
    /// The breaker is larger than the wire may have.
    SmallWire(Current),
    /// The insulation may not be used so hot.
    TooHot,
    /// The wire may carry less than the load.
    Wire(Current),
    /// The breaker does not guard the wire in this heat.
    HotWire(Current),
}

/// Can the circuit carry the fan?
pub fn circuit(with: WithFan) -> Finding {
    let mut asking = RuleContext::spot(
        with.at,
        "circuit",
        "Can the circuit carry the fan?",
        SOURCES,
    );
    let Some(motor) = motor_of(with.fan) else {
        return no_current(asking);
    };
    asking.figure("motor full-load current", motor.full_load);
    asking.figure("motor share of the circuit, 125 %", motor.circuit_share());
    asking.figure("250 % of the motor current", motor.breaker_share());
    if let Some(largest) = motor.largest_breaker() {
        asking.figure("largest breaker for the motor", largest);
    }
    asking.figure(
        "wires from switch to fan, ground not counted",
        wires_to_fan(with.fan.control),
    );
    let kind = asking.get(power::WIRE_KIND);
    let own = own_circuit(&with.at.house.survey.power, &motor);
    if own.run.is_some() {
        asking.note_given(power::VOLTAGE);
        asking.note_given(power::ONE_WAY_RUN);
    }
    asking.figure(
        "breaker of a circuit of its own",
        own.own.unwrap_or(motor.circuit_share()),
    );
    if let Some(WireKind::KnobAndTube | WireKind::Aluminium) = kind {
        let say = Say::new("{kind} is no wiring to hang a fan on.")
            .with("kind", kind.map_or("", WireKind::label));
        return advise(asking.settled(Outcome::Mend, say), &with, &motor)
            .needs(Who::Electrician, Need::Circuit(own));
    }
    let circuit = Circuit {
        breaker: asking.get(power::BREAKER),
        other: asking.get(power::OTHER_LOAD),
        size: asking.get(power::WIRE_SIZE).map(gauge),
        kind,
        // Sheathed cable is known by its kind; other wires by what is marked on them.
        insulation: match kind {
            Some(WireKind::NmB | WireKind::OldNm) => None,
            _ => asking.get(power::WIRE_INSULATION),
        },
        bundled: asking.get(power::BUNDLED_WIRES),
        attic: asking.get(arrival::ATTIC_TEMPERATURE),
        outdoors: asking.get(arrival::OUTDOOR_TEMPERATURE),
    };
    let need = motor.circuit_share() + circuit.other.unwrap_or(Current::ZERO);
    let hottest = circuit.hottest();
    asking.figure("need of the circuit", need);
    asking.figure("attic temperature judged at", hottest);
    let hot = circuit.hot_wire(hottest);
    if let Some(hot) = &hot {
        asking.figure("ampacity by the table", hot.table);
        asking.ratio("factor for the heat", hot.ambient_factor);
        asking.ratio("factor for bundling", hot.bundling_factor);
        asking.figure("ampacity, corrected", hot.corrected);
        asking.figure("ampacity, at most", hot.cap);
        asking.figure("ampacity in the hot attic", hot.usable);
        if let (Some(size), Some(attic)) = (circuit.size, circuit.attic)
            && let Some(now) = ampacity(size, circuit.cable(), attic, circuit.bundled.unwrap_or(2))
        {
            asking.figure("ampacity at the attic temperature measured", now.usable);
        }
    }
    let short = circuit.short(&motor, need, hot);
    if short.is_none() && asking.lacks() {
        return asking.not_measured();
    }
    let carries = match (circuit.breaker, hot) {
        (Some(breaker), Some(hot)) => Some(breaker.min(hot.usable)),
        (Some(breaker), None) => Some(breaker),
        (None, Some(hot)) => Some(hot.usable),
        (None, None) => None,
    };
    let everything = !asking.lacks();
    let mut finding = match &short {
        None => asking.settled(
            Outcome::Holds,
            Say::new("The circuit carries the fan: {need} of {carries}.")
                .with("need", amperes(need))
                .with("carries", amperes(carries.unwrap_or(need))),
        ),
        Some(short) => asking
            .settled(Outcome::Mend, say(short, &circuit, need, hottest))
            .needs(Who::Electrician, Need::Circuit(own)),
    };
    // A margin is told only where the whole need is known, and where the load is what it is short of.
    let by_load = matches!(short, None | Some(Short::Breaker | Short::Wire(_)));
    if let (true, true, Some(carries)) = (everything, by_load, carries) {
        finding = finding.amounts(amperes(need), amperes(carries), amperes(carries - need));
    }
    if short.is_none() {
        if let (Some(breaker), Some(other)) = (circuit.breaker, circuit.other) {
            if motor
                .largest_breaker()
                .is_none_or(|largest| breaker > largest)
            {
                finding = finding.caution(Say::new(
                    "On a 20 A breaker so small a motor needs overload protection of its own (NEC 430.42, from memory): see its plate.",
                ));
            }
            if other.a() > 0.0 && motor.full_load.a() > breaker.a() / 2.0 {
                finding = finding.caution(Say::new(
                    "Where the circuit also feeds lights or receptacles, a fan fixed in place may draw at most half of the breaker's rating (NEC 210.23(A)(2), from memory).",
                ));
            }
        }
    } else if circuit.insulation == Some(WireInsulation::Unreadable)
        && matches!(circuit.kind, Some(WireKind::Armoured | WireKind::Conduit))
    {
        finding = finding.remedy(
            Who::Electrician,
            Say::new("Or find out what the wires are insulated for; without a mark they were taken as 60 °C. If it is 90 °C, the circuit may serve."),
        );
    }
    advise(finding, &with, &motor)
}

impl Circuit {
    /// The most favourable cable that the answers allow.
    fn cable(&self) -> Cable {
        match (self.kind, self.insulation) {
            (None | Some(WireKind::NmB), _) => Cable::NmB,
            (Some(WireKind::Armoured | WireKind::Conduit), None | Some(WireInsulation::C90)) => {
                Cable::Marked90
            }
            (Some(WireKind::Armoured | WireKind::Conduit), Some(WireInsulation::C75)) => {
                Cable::Marked75
            }
            _ => Cable::Unmarked,
        }
    }

    /// The hottest that the attic gets, as far as it is known: as measured, as on a summer's design day, and as on a
    /// day that peaks at what was measured outdoors.
    fn hottest(&self) -> Temperature {
        [self.attic, self.outdoors.map(attic_peak)]
            .into_iter()
            .flatten()
            .fold(attic_peak(DESIGN_DAY), Temperature::max)
    }

    /// What the wire may carry so hot, taking what is not measured at its best.
    fn hot_wire(&self, hottest: Temperature) -> Option<Ampacity> {
        ampacity(self.size?, self.cable(), hottest, self.bundled.unwrap_or(2))
    }

    /// The first reason for which the circuit does not carry the fan, whatever is still missing.
    fn short(&self, motor: &MotorCurrent, need: Current, hot: Option<Ampacity>) -> Option<Short> {
        if let Some(breaker) = self.breaker {
            if breaker < need {
                return Some(Short::Breaker);
            }
            if !motor.breaker_guards(breaker) {
                return Some(Short::Motor);
            }
            if let Some(most) = self.size.and_then(small_wire_breaker)
                && breaker > most
            {
                return Some(Short::SmallWire(most));
            }
        }
        let _size = self.size?;
        let Some(hot) = hot else {
            return Some(Short::TooHot);
        };
        if hot.usable < need {
            return Some(Short::Wire(hot.usable));
        }
        let guards = next_standard_breaker(hot.usable)?;
        match self.breaker {
            Some(breaker) if breaker > guards => Some(Short::HotWire(guards)),
            _ => None,
        }
    }
}

fn amperes(current: Current) -> super::Arg {
    number(current.a(), "A", 1)
}

fn say(short: &Short, circuit: &Circuit, need: Current, hottest: Temperature) -> Say {
    let breaker = amperes(circuit.breaker.unwrap_or(Current::ZERO));
    let wire = circuit.size.map_or("", Gauge::label);
    match short {
        Short::Breaker => Say::new("The circuit needs {need}; its breaker gives {breaker}.")
            .with("need", amperes(need))
            .with("breaker", breaker),
        Short::Motor => Say::new("A breaker of {breaker} is too large to guard the fan's motor.")
            .with("breaker", breaker),
        Short::SmallWire(most) => {
            Say::new("A breaker of {breaker} is too large for {wire} wire, which may have {most}.")
                .with("breaker", breaker)
                .with("wire", wire)
                .with("most", amperes(*most))
        }
        Short::TooHot => Say::new(
            "In an attic of {hottest} wires with 60 °C insulation, or with none that anybody has read, may not be used.",
        )
        .with("hottest", number(hottest.f(), "°F", 0)),
        Short::Wire(carries) => Say::new(
            "The circuit needs {need}; in an attic of {hottest} its {wire} wire carries {carries}.",
        )
        .with("need", amperes(need))
        .with("hottest", number(hottest.f(), "°F", 0))
        .with("wire", wire)
        .with("carries", amperes(*carries)),
        Short::HotWire(most) => Say::new(
            "A breaker of {breaker} is too large for the {wire} wire in an attic of {hottest}, which may have {most}.",
        )
        .with("breaker", breaker)
        .with("wire", wire)
        .with("hottest", number(hottest.f(), "°F", 0))
        .with("most", amperes(*most)),
    }
}

fn advise(finding: Finding, with: &WithFan, motor: &MotorCurrent) -> Finding {
    let wires = if wires_to_fan(with.fan.control) == 3 {
        Say::new("From switch to fan: three wires and a ground, for two fixed speeds.")
    } else {
        Say::new("From switch to fan: two wires and a ground.")
    };
    let finding = finding.caution(wires).caution(Say::new(
        "A licensed electrician checks and connects the circuit; local code goes before anything said here.",
    ));
    match motor.basis {
        Basis::Marked => finding,
        Basis::Table => finding.caution(Say::new(
            "The current is the code's for a motor of this power; the fan's plate goes before it.",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{codes, fan, survey, with_fan};
    use super::*;
    use crate::measure::MotorPower;
    use crate::survey::FieldRef;

    const GOOD: [(&str, &str); 7] = [
        (power::WIRE_KIND.id, "NM-B"),
        (power::BREAKER.id, "15 A"),
        (power::OTHER_LOAD.id, "0 A"),
        (power::WIRE_SIZE.id, "14 AWG"),
        (power::BUNDLED_WIRES.id, "2"),
        (arrival::ATTIC_TEMPERATURE.id, "110 °F"),
        (arrival::OUTDOOR_TEMPERATURE.id, "78 °F"),
    ];

    fn judge(changes: &[(&'static str, &str)]) -> Finding {
        let mut answers = GOOD.to_vec();
        for (field, text) in changes {
            answers.retain(|(name, _)| name != field);
            answers.push((*field, *text));
        }
        with_fan(&survey(&answers), &codes(), &fan("belt-36"), circuit)
    }

    fn figure(finding: &Finding, name: &str) -> f64 {
        let figure = finding.figures.iter().find(|f| f.name == name);
        figure.unwrap_or_else(|| panic!("{name}")).value
    }

    #[test]
    fn a_circuit_of_its_own_carries_it() {
        // Marked 5.2 A: 6.5 A needed, 13 A for the breaker, so 15 A.
        let finding = judge(&[]);
        assert_eq!(finding.outcome, Outcome::Holds, "{finding:?}");
        assert!((figure(&finding, "motor share of the circuit, 125 %") - 6.5).abs() < 1e-9);
        assert_eq!(figure(&finding, "largest breaker for the motor"), 15.0);
        assert_eq!(figure(&finding, "attic temperature judged at"), 135.0);
        assert_eq!(
            figure(&finding, "wires from switch to fan, ground not counted"),
            3.0
        );
        assert_eq!(finding.need, Some(number(6.5, "A", 1)));
        assert_eq!(finding.measured, Some(number(15.0, "A", 1)));
    }

    #[test]
    fn a_short_circuit_is_mended_by_one_of_the_fans_own() {
        for (change, words) in [
            ((power::OTHER_LOAD.id, "9 A"), "needs 15.5 A; its breaker"),
            ((power::BREAKER.id, "25 A"), "guard the fan's motor"),
            ((power::BREAKER.id, "20 A"), "too large for 14 AWG"),
            ((power::WIRE_KIND.id, "old NM"), "60 °C insulation"),
            (
                (power::WIRE_KIND.id, "aluminium"),
                "no wiring to hang a fan on",
            ),
            ((power::BUNDLED_WIRES.id, "41"), "carries 6.2 A"),
            ((arrival::ATTIC_TEMPERATURE.id, "190 °F"), "may not be used"),
        ] {
            let finding = judge(&[change]);
            assert_eq!(finding.outcome, Outcome::Mend, "{change:?}");
            let say = finding.say.english();
            assert!(say.contains(words), "{change:?}: {say}");
            // What fails for another reason than its load has no margin that looks like room to spare.
            let of_load = say.contains("needs");
            assert_eq!(finding.margin.is_some(), of_load, "{change:?}: {finding:?}");
            assert!(
                finding.remedies[0]
                    .what
                    .english()
                    .starts_with("Run the fan a circuit of its own: breaker 15 A, copper 14 AWG")
            );
        }
    }

    #[test]
    fn wires_in_armour_or_conduit_go_by_the_mark_on_their_insulation() {
        for kind in ["armoured", "conduit"] {
            let marked = |mark| {
                judge(&[
                    (power::WIRE_KIND.id, kind),
                    (power::WIRE_INSULATION.id, mark),
                ])
            };
            let best = marked("90 °C");
            assert_eq!(best.outcome, Outcome::Holds, "{kind}");
            assert_eq!(figure(&best, "ampacity by the table"), 25.0);
            assert_eq!(figure(&best, "ampacity in the hot attic"), 15.0);
            // 14 AWG at 135 °F: 20 A × 0.58.
            let middle = marked("75 °C");
            assert_eq!(middle.outcome, Outcome::Holds);
            assert!((figure(&middle, "ampacity in the hot attic") - 11.6).abs() < 1e-9);
            for mark in ["60 °C", "no mark"] {
                let weak = marked(mark);
                assert_eq!(weak.outcome, Outcome::Mend, "{kind}, {mark}");
                assert!(weak.say.english().contains("60 °C insulation"));
                // Only where nobody could read it may the wire be better than it was taken for.
                assert_eq!(weak.remedies.len(), if mark == "no mark" { 2 } else { 1 });
            }
            let open = marked("");
            assert_eq!(open.outcome, Outcome::NotMeasured);
            assert_eq!(open.missing, [power::WIRE_INSULATION.of_house()]);
        }
        // Of sheathed cable nobody reads it.
        assert!(
            judge(&[])
                .hangs_on
                .iter()
                .all(|at| at.field != power::WIRE_INSULATION.id)
        );
        // 75 °C insulation ends at 158 °F.
        let desert = judge(&[
            (power::WIRE_KIND.id, "conduit"),
            (power::WIRE_INSULATION.id, "75 °C"),
            (arrival::OUTDOOR_TEMPERATURE.id, "119 °F"),
        ]);
        assert_eq!(desert.outcome, Outcome::Mend);
    }

    #[test]
    fn a_day_hotter_than_the_design_day_counts() {
        let hot = judge(&[(arrival::OUTDOOR_TEMPERATURE.id, "115 °F")]);
        assert_eq!(figure(&hot, "attic temperature judged at"), 155.0);
        assert!((figure(&hot, "ampacity in the hot attic") - 14.5).abs() < 1e-9);
        let mild = judge(&[(arrival::OUTDOOR_TEMPERATURE.id, "20 °F")]);
        assert_eq!(figure(&mild, "attic temperature judged at"), 135.0);
        let measured = judge(&[(arrival::ATTIC_TEMPERATURE.id, "170 °F")]);
        assert_eq!(figure(&measured, "attic temperature judged at"), 170.0);
    }

    #[test]
    fn a_breaker_must_guard_the_wire_as_hot_as_it_gets() {
        // 12 AWG at 180 °F: 30 A × 0.29 = 8.7 A, enough for 6.5 A, but the breaker may then have 15 A at most.
        let hot = [
            (arrival::ATTIC_TEMPERATURE.id, "180 °F"),
            (power::WIRE_SIZE.id, "12 AWG"),
        ];
        assert_eq!(judge(&hot).outcome, Outcome::Holds);
        let finding = judge(&[hot[0], hot[1], (power::BREAKER.id, "20 A")]);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert!(
            finding.say.english().contains("which may have 15.0 A"),
            "{}",
            finding.say.english()
        );
    }

    #[test]
    fn what_is_missing_is_named_unless_the_rest_decides() {
        for (field, _) in GOOD {
            let open = judge(&[(field, "")]);
            assert_eq!(open.outcome, Outcome::NotMeasured, "{field}");
            let named = FieldRef::house(field);
            if field == power::WIRE_KIND.id {
                // It may yet be a kind that goes by its insulation.
                let insulation = power::WIRE_INSULATION.of_house();
                assert_eq!(open.missing, [named, insulation]);
            } else {
                assert_eq!(open.missing, [named]);
            }
        }
        // Knob-and-tube decides alone; so does a breaker too small for the motor.
        let nothing = |field, text| {
            let survey = survey(&[(field, text)]);
            with_fan(&survey, &codes(), &fan("belt-36"), circuit)
        };
        assert_eq!(
            nothing(power::WIRE_KIND.id, "knob and tube").outcome,
            Outcome::Mend
        );
        assert_eq!(nothing(power::BREAKER.id, "6 A").outcome, Outcome::Mend);
        assert!(nothing(power::BREAKER.id, "6 A").margin.is_none());
        assert_eq!(
            nothing(power::BREAKER.id, "15 A").outcome,
            Outcome::NotMeasured
        );
        // Old cable decides with its size, before the attic's heat is read.
        assert_eq!(
            judge(&[
                (power::WIRE_KIND.id, "old NM"),
                (arrival::ATTIC_TEMPERATURE.id, "")
            ])
            .outcome,
            Outcome::Mend
        );
    }

    #[test]
    fn a_small_motor_may_share_20_a_and_is_told_what_that_asks() {
        let finding = judge(&[(power::BREAKER.id, "20 A"), (power::WIRE_SIZE.id, "12 AWG")]);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert!(
            finding
                .cautions
                .iter()
                .any(|c| c.text.contains("overload protection"))
        );
    }

    #[test]
    fn an_unmarked_fan_goes_by_the_table_and_one_without_a_motor_by_nothing() {
        let mut unmarked = fan("belt-36");
        for speed in &mut unmarked.speeds {
            speed.current = None;
        }
        let survey = survey(&GOOD);
        // 1/3 hp: 7.2 A, 9.0 A with 125 %, breaker of at most 20 A.
        let finding = with_fan(&survey, &codes(), &unmarked, circuit);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert_eq!(figure(&finding, "motor full-load current"), 7.2);
        assert!(
            finding
                .cautions
                .iter()
                .any(|c| c.text.contains("plate goes before"))
        );
        // A mark on the slow speed alone says nothing about the fast one.
        unmarked.speeds[1].current = Some(Current::from_a(2.0));
        let finding = with_fan(&survey, &codes(), &unmarked, circuit);
        assert_eq!(figure(&finding, "motor full-load current"), 7.2);
        unmarked.motor = None;
        let finding = with_fan(&survey, &codes(), &unmarked, circuit);
        assert_eq!(finding.outcome, Outcome::Mend);
        unmarked.motor = Some(MotorPower::from_hp(3.0));
        let finding = with_fan(&survey, &codes(), &unmarked, circuit);
        assert!(finding.say.english().contains("2 hp"));
    }
}
