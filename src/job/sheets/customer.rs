//! The customer's page: what was found, what will be done, how to live with the fan.

use super::JobSheet;
use super::builder::{SheetBuilder, key, phrase};
use super::labels;
use crate::rules::{Finding, Framing, Outcome, Say, Verdict, number};
use crate::typeset::document::{Line, Marks};

pub(super) fn write(mut sheet: SheetBuilder) -> JobSheet {
    sheet.nothing_to_build();
    found(&mut sheet);
    if sheet.job.plan.is_some() {
        done(&mut sheet);
        live(&mut sheet);
    } else {
        sheet.section(key("What happens next"));
        sheet.say(key(
            "Nothing is ordered and nothing is cut. What is still open is measured first; if it turns out that the fan does not fit, you are told so, and why.",
        ));
    }
    sheet.finish("customer", key("For the household"))
}

fn found(sheet: &mut SheetBuilder) {
    sheet.section(key("What was found"));
    let verdict = match sheet.job.choice.verdict {
        Verdict::Fits => {
            key("The fan fits at this spot as the house is, as far as it was measured.")
        }
        Verdict::FitsWithWork => key("The fan fits at this spot once the work below is done."),
        Verdict::NotSettled => key(
            "Whether the fan fits at this spot is not settled yet: something that decides it is not measured.",
        ),
        Verdict::DoesNotFit => key("The fan does not fit at this spot."),
    };
    sheet.say(verdict);
    let mut lines: Vec<Line> = Vec::new();
    for finding in sheet.job.that(Outcome::Mend) {
        let line = sheet.told(finding);
        lines.push(line);
    }
    for rule in labels::LIVING_RULES {
        if let Some(finding) = sheet.job.finding(rule)
            && finding.outcome == Outcome::Holds
        {
            let line = sheet.told(finding);
            lines.push(line);
        }
    }
    sheet.list(Marks::Dots, lines);
}

fn done(sheet: &mut SheetBuilder) {
    sheet.section(key("What will be done"));
    let fan = sheet.job.fan;
    let shutter = Say::new(key("{length} × {width}"))
        .with("length", fan.shutter.length)
        .with("width", fan.shutter.width);
    let shutter = sheet.fan_sheet(
        key("shutter, along × across the joists"),
        crate::rules::Arg::Say(Box::new(shutter)),
    );
    let airflow = sheet.fan_size(
        key("airflow at 0.1 in of water"),
        number(fan.rated_airflow().cfm(), "cfm", 0),
    );
    let joists = match (sheet.job.choice.framing, sheet.job.plan.as_ref()) {
        (Framing::Cut, Some(plan)) if !plan.layout.cuts.is_empty() => sheet.line(
            phrase(key(
                "In the attic {count} ceiling joists are cut and headed by a new frame of lumber, and the joists beside it strengthened where the rules ask for it.",
            ))
            .with("count", plan.layout.cuts.len()),
        ),
        _ => sheet.line(key("No joist is cut: the fan stands over the joists as they are.")),
    };
    let mut lines = vec![
        sheet.line(
            phrase(key(
                "An opening is cut in the hall ceiling and covered by a shutter of {shutter} that closes by itself when the fan is off.",
            ))
            .with("shutter", shutter),
        ),
        joists,
        sheet.line(
            phrase(key(
                "A fan that moves about {airflow} is set on the frame, on foam, and connected by a licensed electrician to a switch in the hall.",
            ))
            .with("airflow", airflow),
        ),
        sheet.line(key(
            "Work is done under the permit that your town asks for, and looked at by its inspector.",
        )),
    ];
    let mut work = Vec::new();
    let mending: Vec<&Finding> = sheet.job.that(Outcome::Mend).collect();
    for finding in mending {
        if ["opening-framing", "joist-strength"].contains(&finding.rule) {
            continue;
        }
        work.extend(sheet.remedies(finding));
    }
    lines.append(&mut work);
    sheet.list(Marks::Dots, lines);
    sheet.note(key(
        "Clear the hall and the way to the hatch. There is dust and noise for a day; children and animals stay elsewhere.",
    ));
}

fn live(sheet: &mut SheetBuilder) {
    sheet.section(key("How to live with the fan"));
    let first = [
        key(
            "Windows first. Open windows in the rooms that you want cool, then switch the fan on. Never run it with all windows shut: it would pull burnt gas back down flues and chimneys.",
        ),
        key(
            "Before the fan runs, shut the fireplace damper, and see that no fire burns and no ash glows in it.",
        ),
        key(
            "Where a water heater, furnace or boiler draws its air from the rooms, follow what is said about it above; when in doubt leave the fan off while it burns.",
        ),
        key(
            "Smoke and carbon monoxide alarms stay on, and are tested every month. If the carbon monoxide alarm sounds: fan off, everybody out, call the fire department.",
        ),
        key(
            "Never reach through the shutter. Whoever works on the fan switches its disconnect off and locks it; it can start from the hall.",
        ),
    ];
    let mut entries: Vec<Line> = first.into_iter().map(|it| sheet.line(it)).collect();
    if let Some(line) = windows(sheet) {
        entries.insert(1, line);
    }
    sheet.cautions(entries);
    let then = [
        key(
            "Run it in the evening and at night, when it is cooler outdoors than in. By day keep windows and shades shut.",
        ),
        key(
            "Do not count on it above 85 °F (29 °C) outdoors; above 95 °F (35 °C) it is of no use.",
        ),
        key(
            "In rooms where nobody is, close the windows; the more air goes through the bedrooms. Doors stay open, or the air finds no way.",
        ),
        key(
            "Do not run it with smoke, heavy pollen or a fire outdoors, nor while the air conditioner runs.",
        ),
        key(
            "In winter lay the insulated cover over the shutter, and take it off before the fan runs again; put a note at the switch.",
        ),
        key(
            "Once a year, with the disconnect locked: dust off the blades, shutter and screens of the attic's vents; see that no insulation has come near. Belts and bearings as the fan's own sheet says.",
        ),
        key(
            "Keep the attic's vents open: nests, paint, snow or boxes before them make the fan weak and the attic press its air back.",
        ),
    ];
    let lines = then.into_iter().map(|it| sheet.line(it)).collect();
    sheet.list(Marks::Dots, lines);
    let findings: Vec<&Finding> = labels::LIVING_RULES
        .iter()
        .filter_map(|rule| sheet.job.finding(rule))
        .collect();
    let mind = sheet.warnings(findings);
    if !mind.is_empty() {
        sheet.part(key("To mind in this house"));
        sheet.list(Marks::Dots, mind);
    }
}

/// The windows that the fan asks for: enough for the flow, and enough for every flue.
fn windows(sheet: &mut SheetBuilder) -> Option<Line> {
    let flow = ("airflow", "window area for the flow alone");
    let flue = ("backdraft", "window area for the limit, high speed");
    let held = |(rule, name): (&str, &str)| sheet.job.figure(rule, name, "ft²");
    let (text, (rule, name)) = if held(flue) > held(flow) {
        (
            key(
                "Windows to open at once, clear opening in all: at least {area}. With less, the fan can draw burnt gas back down a flue.",
            ),
            flue,
        )
    } else {
        (
            key("Windows to open at once, clear opening in all: about {area}."),
            flow,
        )
    };
    let area = sheet.ruled(rule, name)?;
    Some(sheet.line(phrase(text).with("area", area)))
}
