//! The electrician's sheet: circuit, cable, box, switch, disconnect.

use super::JobSheet;
use super::builder::{Root, SheetBuilder, key, phrase};
use super::labels;
use crate::job::Plan;
use crate::rules::{Finding, Outcome, number};
use crate::survey::FieldRef;
use crate::trade::source::Source;
use crate::typeset::document::{Line, Marks};

const SPARE: Source = Source::practice("a tenth more cable for bends and ends, in whole feet");

pub(super) fn write(mut sheet: SheetBuilder) -> JobSheet {
    sheet.nothing_to_build();
    cautions(&mut sheet);
    if let Some(plan) = sheet.job.plan.as_ref() {
        what_goes_in(&mut sheet, plan);
    }
    findings(&mut sheet);
    if sheet.job.plan.is_some() {
        order(&mut sheet);
    }
    sheet.finish("electrician", key("Electrician's sheet"))
}

fn cautions(sheet: &mut SheetBuilder) {
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
    .map(|it| sheet.line(it))
    .collect();
    sheet.cautions(entries);
}

fn what_goes_in(sheet: &mut SheetBuilder, plan: &Plan) {
    let it = &plan.wiring;
    sheet.section(key("What goes in"));
    let mut rows: Vec<(&'static str, Line)> = Vec::new();
    let fan = sheet.job.fan;
    rows.push((
        key("Speed control"),
        sheet.line(labels::control(it.control)),
    ));
    rows.push((key("Drive"), sheet.line(labels::drive(fan.drive))));
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
        if let Some(figure) = sheet.ruled(rule, name) {
            rows.push((label, sheet.shown(figure)));
        }
    }
    if let Some(wires) = sheet.ruled("circuit", "wires from switch to fan, ground not counted") {
        let line =
            sheet.line(phrase(key("{wires} insulated wires and a ground")).with("wires", wires));
        rows.push((key("Cable from the switch to the fan"), line));
    }
    if let (Some(cable), Some(run)) = (it.cable, it.run) {
        let run = sheet.figure(
            key("one-way run"),
            number(run.to_ft(), "ft", 1),
            phrase(key("measured in the house")),
            [Root::Answer(FieldRef::house("power.one_way_run"))],
        );
        let length = sheet.figure(
            key("cable to buy"),
            number(cable.to_ft(), "ft", 0),
            phrase(key("{run} and a tenth, up to whole feet")).with("run", run),
            [Root::Figure(run), Root::Source(SPARE)],
        );
        let line = sheet.line(
            phrase(key(
                "{length} for the whole way from panel to fan; where the circuit reaches the switch already, the way from switch to fan only",
            ))
            .with("length", length),
        );
        rows.push((key("Cable length"), line));
    }
    let size = sheet.of_house("power.wire_size");
    let holds = |rule| {
        sheet
            .job
            .finding(rule)
            .is_some_and(|it| it.outcome == Outcome::Holds)
    };
    let serves = holds("circuit") && holds("voltage");
    let wire = match size {
        Some(size) if serves => sheet.line(
            phrase(key("{size}, as the circuit has it: enough for the fan")).with("size", size),
        ),
        _ => sheet.line(key(
            "as the remedies below say; the circuit as it is does not serve",
        )),
    };
    rows.push((key("Wire"), wire));
    if let Some(needed) = sheet.ruled("switch-box", "room needed in the box") {
        let line = match it.standard_box {
            Some(standard) => sheet.line(
                phrase(key("{needed} at least, such as a {standard}"))
                    .with("needed", needed)
                    .with("standard", standard.name),
            ),
            None => sheet.line(phrase(key("{needed} at least")).with("needed", needed)),
        };
        rows.push((key("Room in the switch box"), line));
    }
    if let Some(there) = sheet.at_spot("hall.box_volume") {
        rows.push((key("Box that is there"), sheet.shown(there)));
    }
    if let Some(least) = sheet.ruled("switch-rating", "least rating of the switch") {
        let line =
            sheet.line(phrase(key("rated at least {least} for a motor")).with("least", least));
        rows.push((key("Switch"), line));
    }
    for (label, at) in [
        (
            key("Switch place"),
            FieldRef::spot("hall.switch_place", sheet.job.spot.id),
        ),
        (
            key("Switch height"),
            FieldRef::spot("hall.switch_height", sheet.job.spot.id),
        ),
        (key("Disconnect"), FieldRef::house("power.disconnect")),
        (key("Measured voltage"), FieldRef::house("power.voltage")),
    ] {
        if let Some(figure) = sheet.answer(at) {
            rows.push((label, sheet.shown(figure)));
        }
    }
    sheet.facts(rows);
}

fn findings(sheet: &mut SheetBuilder) {
    sheet.section(key("What was found"));
    let all: Vec<&Finding> = sheet
        .job
        .findings()
        .filter(|it| labels::POWER_RULES.contains(&it.rule))
        .collect();
    let lines = all.iter().map(|it| sheet.finding(it)).collect();
    sheet.list(Marks::Dots, lines);
    let mut work = Vec::new();
    for finding in all.iter().filter(|it| it.outcome == Outcome::Mend) {
        work.extend(sheet.remedies(finding));
    }
    if !work.is_empty() {
        sheet.part(key("Work to be done"));
        sheet.list(Marks::Boxes, work);
    }
    let mind = sheet.warnings(all);
    if !mind.is_empty() {
        sheet.part(key("To mind"));
        sheet.list(Marks::Dots, mind);
    }
}

fn order(sheet: &mut SheetBuilder) {
    sheet.section(key("Order of work"));
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
    .map(|it| sheet.line(it))
    .collect();
    sheet.list(Marks::Numbers, steps);
}
