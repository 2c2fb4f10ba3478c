//! The electrician's sheet: circuit, cable, box, switch, disconnect.

use super::document::{Document, Line, Marks};
use super::labels;
use super::pen::{Pen, Root, key, phrase};
use crate::job::Plan;
use crate::rules::{Finding, Outcome, number};
use crate::survey::{hall, power};
use crate::trade::source::Source;

const SPARE: Source = Source::practice("a tenth more cable for bends and ends, in whole feet");

pub(super) fn write(mut pen: Pen) -> Document {
    pen.nothing_to_build();
    cautions(&mut pen);
    if let Some(plan) = pen.job.plan.as_ref() {
        what_goes_in(&mut pen, plan);
    }
    findings(&mut pen);
    if pen.job.plan.is_some() {
        order(&mut pen);
    }
    pen.finish("electrician", key("Electrician's sheet"))
}

fn cautions(pen: &mut Pen) {
    let entries = [
        key(
            "For a licensed electrician. The adopted electrical code, its local amendments and the inspector go before this sheet; so does the plate on the fan.",
        ),
        key(
            "Off at the panel, locked and tagged. Prove the tester on a live wire, test every wire in the box, prove the tester again.",
        ),
        key(
            "The fan can be started from the hall below. Whoever reaches into it locks its disconnect first.",
        ),
        key(
            "Nothing is energised before the crew has turned the blades by hand and says that they run free, with every hand clear.",
        ),
        key(
            "Hot attic: short turns, water, somebody at the hatch. Stand on joists or boards, never on the ceiling board.",
        ),
        key(
            "Knob-and-tube, scorched, brittle or chewed wiring: touch nothing further, tell the office.",
        ),
    ]
    .into_iter()
    .map(|it| pen.line(it))
    .collect();
    pen.cautions(entries);
}

fn what_goes_in(pen: &mut Pen, plan: &Plan) {
    let it = &plan.wiring;
    pen.section(key("What goes in"));
    let mut rows: Vec<(&'static str, Line)> = Vec::new();
    let fan = pen.job.fan;
    rows.push((key("Speed control"), pen.line(labels::control(it.control))));
    rows.push((key("Drive"), pen.line(labels::drive(fan.drive))));
    let ruled = [
        (key("Motor current"), "circuit", "motor full-load current"),
        (
            key("What the circuit must carry for the fan"),
            "circuit",
            "motor share of the circuit, 125 %",
        ),
        (
            key("Largest breaker for the motor"),
            "circuit",
            "largest breaker for the motor",
        ),
        (
            key("Breaker of a circuit of its own"),
            "circuit",
            "breaker of a circuit of its own",
        ),
        (
            key("Attic temperature the wire is judged at"),
            "circuit",
            "attic temperature judged at",
        ),
        (
            key("What the wire carries in the hot attic"),
            "circuit",
            "ampacity in the hot attic",
        ),
    ];
    for (label, rule, name) in ruled {
        if let Some(figure) = pen.ruled(rule, name) {
            rows.push((label, pen.shown(figure)));
        }
    }
    if let Some(wires) = pen.ruled("circuit", "wires from switch to fan, ground not counted") {
        let line =
            pen.line(phrase(key("{wires} insulated wires and a ground")).with("wires", wires));
        rows.push((key("Cable from the switch to the fan"), line));
    }
    if let (Some(cable), Some(run)) = (it.cable, it.run) {
        let run = pen.figure(
            key("one-way run"),
            number(run.to_ft(), "ft", 1),
            phrase(key("measured in the house")),
            [Root::Answer(power::ONE_WAY_RUN.of_house())],
        );
        let length = pen.figure(
            key("cable to buy"),
            number(cable.to_ft(), "ft", 0),
            phrase(key("{run} and a tenth, up to whole feet")).with("run", run),
            [Root::Figure(run), Root::Source(SPARE)],
        );
        let line = pen.line(
            phrase(key(
                "{length} for the whole way from panel to fan; where the circuit reaches the switch already, the way from switch to fan only",
            ))
            .with("length", length),
        );
        rows.push((key("Cable length"), line));
    }
    let size = pen.of_house(power::WIRE_SIZE.id);
    let holds = |rule| {
        pen.job
            .finding(rule)
            .is_some_and(|it| it.outcome == Outcome::Holds)
    };
    let serves = holds("circuit") && holds("voltage");
    let wire = match size {
        Some(size) if serves => pen.line(
            phrase(key("{size}, as the circuit has it: enough for the fan")).with("size", size),
        ),
        _ => pen.line(key(
            "as the remedies below say; the circuit as it is does not serve",
        )),
    };
    rows.push((key("Wire"), wire));
    if let Some(needed) = pen.ruled("switch-box", "room needed in the box") {
        let line = match it.standard_box {
            Some(standard) => pen.line(
                phrase(key("{needed} at least, such as a {standard}"))
                    .with("needed", needed)
                    .with("standard", standard.name),
            ),
            None => pen.line(phrase(key("{needed} at least")).with("needed", needed)),
        };
        rows.push((key("Room in the switch box"), line));
    }
    if let Some(there) = pen.at_spot(hall::BOX_VOLUME.id) {
        rows.push((key("Box that is there"), pen.shown(there)));
    }
    if let Some(least) = pen.ruled("switch-rating", "least rating of the switch") {
        let line = pen.line(phrase(key("rated at least {least} for a motor")).with("least", least));
        rows.push((key("Switch"), line));
    }
    for (label, at) in [
        (key("Switch place"), hall::SWITCH_PLACE.at(pen.job.spot.id)),
        (
            key("Switch height"),
            hall::SWITCH_HEIGHT.at(pen.job.spot.id),
        ),
        (key("Disconnect"), power::DISCONNECT.of_house()),
        (key("Measured voltage"), power::VOLTAGE.of_house()),
    ] {
        if let Some(figure) = pen.answer(at) {
            rows.push((label, pen.shown(figure)));
        }
    }
    pen.facts(rows);
}

fn findings(pen: &mut Pen) {
    pen.section(key("What was found"));
    let all: Vec<&Finding> = pen
        .job
        .findings()
        .filter(|it| labels::POWER_RULES.contains(&it.rule))
        .collect();
    let lines = all.iter().map(|it| pen.finding(it)).collect();
    pen.list(Marks::Dots, lines);
    let mut work = Vec::new();
    for finding in all.iter().filter(|it| it.outcome == Outcome::Mend) {
        work.extend(pen.remedies(finding));
    }
    if !work.is_empty() {
        pen.part(key("Work to be done"));
        pen.list(Marks::Boxes, work);
    }
    let mind = pen.warnings(all);
    if !mind.is_empty() {
        pen.part(key("To mind"));
        pen.list(Marks::Dots, mind);
    }
}

fn order(pen: &mut Pen) {
    pen.section(key("Order of work"));
    let steps = [
        key("Permit in the house. Compare this sheet with the fan's plate and its own instructions; where they differ, they count."),
        key("Off, locked, tested. Open the box; count what is in it against the list above."),
        key("Run the cable: away from the fan's opening and its air, along framing where it can, guarded where it crosses joists, 1 1/4 in from edges of wood or behind a steel plate."),
        key("Set box, switch and disconnect; ground everything that is metal."),
        key("Connect at the fan with the maker's strain relief; no splice outside a box that stays in reach."),
        key("Blades free, hands clear, windows open; then power. Measure the voltage at the fan with it running, and its current; write both down here: ________ V   ________ A."),
        key("Label the breaker. Show the customer the switch and the disconnect."),
    ]
    .into_iter()
    .map(|it| pen.line(it))
    .collect();
    pen.list(Marks::Numbers, steps);
}
