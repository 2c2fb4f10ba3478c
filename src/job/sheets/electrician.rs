//! The electrician's sheet: circuit, cable, box, switch, disconnect.

use super::builder::{Root, SheetBuilder, key, phrase};
use super::labels;
use crate::job::Plan;
use crate::rules::{Outcome, number};
use crate::survey::{FieldRef, Subject};
use crate::trade::source::Source;
use crate::typeset::document::{Block, Document, Line, Marks};

const SPARE: Source = Source::practice("a tenth more cable for bends and ends, in whole feet");

pub(super) fn write(mut sheet: SheetBuilder) -> (Document, SheetBuilder) {
    sheet.nothing_to_build();
    if let Some(plan) = sheet.job.plan.as_ref() {
        let mut left = sheet.apart();
        what_goes_in(&mut left, plan);
        let mut right = left.beside();
        box_count(&mut right);
        let aside = right.line(key("measure both legs before you order"));
        right.section_with(key("Cable, two legs"), aside);
        right.note(key(
            "The survey has the whole way from panel to fan. Leg 2, from the switch to the fan, may need a wire more.",
        ));
        right.blanks(&[
            (key("Leg 1, panel to switch"), "ft"),
            (key("Leg 2, switch to fan"), "ft"),
        ]);
        let spot = right.job.spot.id;
        let photos = right.photos(2, |it| {
            matches!(it.subject, Subject::SwitchBox | Subject::Panel)
                && it.spot.is_none_or(|it| it == spot)
        });
        if !photos.is_empty() {
            right.put(Block::Photos(photos));
        }
        let columns = vec![(1.25, left.take()), (1.0, right.take())];
        sheet.join(right, columns);
    }
    work(&mut sheet);
    if sheet.job.plan.is_some() {
        order(&mut sheet);
    }
    cautions(&mut sheet);
    if sheet.job.plan.is_some() {
        let aside = sheet.line(key("write down, hand back"));
        sheet.section_with(key("Measured, fan running"), aside);
        let mut left = sheet.apart();
        left.blanks(&[
            (key("Volts at the fan, high"), "V"),
            (key("Amps, high"), "A"),
        ]);
        let mut right = left.beside();
        right.blanks(&[
            (key("Volts at the fan, low"), "V"),
            (key("License no., name, date"), ""),
        ]);
        let columns = vec![(1.0, left.take()), (1.0, right.take())];
        sheet.join(right, columns);
    }
    sheet.finish("electrician", "E", key("Electrician"))
}

/// What the switch box holds, kind by kind.
fn box_count(sheet: &mut SheetBuilder) {
    let spot = sheet.job.spot;
    let entries = &spot.hall.box_contents.items;
    if entries.is_empty() {
        return;
    }
    sheet.section(key("Switch box, wire by wire"));
    let mut rows = Vec::new();
    for entry in entries {
        let (Some(kind), Some(count)) = (entry.kind, entry.count) else {
            continue;
        };
        let what = sheet.t(kind.label()).to_owned();
        let size = entry.size.map_or("", |it| it.label());
        rows.push(vec![
            Line::plain(what),
            Line::plain(size),
            sheet.led_by_rule(count, "switch-box"),
        ]);
    }
    sheet.table(
        &[
            (key("what"), 3.0, false),
            (key("size"), 1.0, false),
            (key("count"), 0.8, true),
        ],
        rows,
    );
    let mut rows = Vec::new();
    if let Some(needed) = sheet.ruled("switch-box", "room needed in the box") {
        rows.push((key("Needed"), sheet.shown(needed).strong()));
    }
    if let Some(there) = sheet.at_spot("hall.box_volume") {
        rows.push((key("Box that is there"), sheet.shown(there).strong()));
    }
    sheet.facts(rows);
}

fn cautions(sheet: &mut SheetBuilder) {
    let mut entries: Vec<Line> = [
        key("Licensed electrician only. Adopted code, amendments and inspector outrank this sheet; so does the plate on the fan."),
        key("Off at the panel, locked and tagged. Prove the tester, test every wire in the box, prove it again."),
        key("The hall switch can start the fan: lock the disconnect before you reach in."),
        key("Arc-fault protection: usually asked for with a device in a hallway (NEC 210.12). The inspector decides."),
        key("Hot attic: short turns, water, one person at the hatch. Stand on joists or boards only."),
        key("Knob-and-tube, scorched or chewed wiring: hands off, call."),
    ]
    .into_iter()
    .map(|it| sheet.line(it))
    .collect();
    let job = sheet.job;
    let findings = job
        .findings()
        .filter(|it| labels::POWER_RULES.contains(&it.rule) && it.outcome != Outcome::Holds);
    entries.extend(sheet.warnings(findings));
    sheet.cautions(key("Cautions for this house"), entries);
}

fn what_goes_in(sheet: &mut SheetBuilder, plan: &Plan) {
    let it = &plan.wiring;
    let aside = sheet.line(key("the fan's nameplate outranks every figure here"));
    sheet.section_with(key("What goes in"), aside);
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

/// What must be done besides, for this house.
fn work(sheet: &mut SheetBuilder) {
    let mut work = Vec::new();
    let job = sheet.job;
    for finding in job.that(Outcome::Mend) {
        if labels::POWER_RULES.contains(&finding.rule)
            || ["smoke-alarms", "co-alarms"].contains(&finding.rule)
        {
            work.extend(sheet.remedies(finding));
        }
    }
    for (_, off) in job.plan.as_ref().map_or(&[][..], |it| &it.alarms) {
        let off = sheet.led_by_rule(*off, "smoke-alarms");
        work.push(sheet.line(
            phrase(key("Move the smoke alarm: it is {off} from the shutter. Keep it 36 in away and joined to the others; its own sheet and local code decide."))
                .with("off", off),
        ));
    }
    if !work.is_empty() {
        sheet.section(key("Work for this house"));
        sheet.list(Marks::Boxes, 1, work);
    }
}

fn order(sheet: &mut SheetBuilder) {
    sheet.section(key("Order of work"));
    let steps = [
        key("Permit on site. Nameplate and the fan's instructions first."),
        key("Panel off, locked, tagged, tested. Count the box as listed."),
        key("Cable clear of the opening, 1 1/4 in from edges of wood or behind steel plates, guarded where it crosses joists."),
        key("Box, switch, disconnect. Ground all metal. Splices in boxes that stay in reach."),
        key("Connect at the fan with a strain relief."),
        key("Crew says: blades free, guard on, hands clear, windows open (sheet H). Power. Measure volts and amps, write them below."),
        key("Label the breaker. Sign at the switch: “Windows first. No fire.”"),
        key("Show the customer the switch and the disconnect."),
    ]
    .into_iter()
    .map(|it| sheet.line(it))
    .collect();
    sheet.list(Marks::Steps, 2, steps);
}
