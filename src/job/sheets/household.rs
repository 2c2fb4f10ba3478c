//! The household's sheet: what opens before the fan starts, how to use it, care by season. For the wall by the switch.

use super::builder::{SheetBuilder, key, phrase};
use super::labels;
use crate::rules::{Outcome, Verdict};
use crate::typeset::document::{Block, Document, Line, Marks};

pub(super) fn write(mut sheet: SheetBuilder) -> (Document, SheetBuilder) {
    sheet.nothing_to_build();
    if sheet.job.plan.is_some() {
        use_it(&mut sheet);
    } else {
        let say = match sheet.job.choice.verdict {
            Verdict::DoesNotFit => key("The fan does not fit at this spot."),
            _ => key(
                "Whether the fan fits at this spot is not settled yet: something that decides it is not measured.",
            ),
        };
        sheet.put(Block::Lead(sheet.line(say)));
        sheet.say(key(
            "Nothing is ordered and nothing is cut. What is still open is measured first; if the fan does not fit, you are told so, and why.",
        ));
    }
    sheet.finish("household", "H", key("Using your fan"))
}

fn use_it(sheet: &mut SheetBuilder) {
    let lead = sheet.line(key(
        "1. Open the windows. 2. Shut the fireplace damper and the garage door. 3. Then the fan.",
    ));
    sheet.put(Block::Lead(lead.strong()));
    let aside = sheet.line(key("before the fan starts, every time"));
    sheet.section_with(key("Windows to open, all the way"), aside);
    if let Some(line) = windows(sheet) {
        sheet.put(Block::Paragraph(line.strong()));
    }
    sheet.say(key(
        "Open them in the rooms that you want cool. Doors of these rooms stay open, or the air finds no way.",
    ));
    why(sheet);
    let mut left = sheet.apart();
    left.section(key("Every day in summer"));
    let lines = [
        key(
            "Run it evening and night, when it is cooler outside than in. Off when the house is cool.",
        ),
        key("In the morning shut windows and shades."),
        key("Above 85 °F outside it helps little; above 95 °F not at all."),
        key("Not with the air conditioner on. Not with smoke, heavy pollen or a fire outside."),
        key("Keep hands and sticks out of the shutter."),
    ];
    let lines = lines.into_iter().map(|it| left.line(it)).collect();
    left.list(Marks::Dashes, 1, lines);
    let mut right = left.beside();
    right.section(key("By season"));
    let seasons = [
        (
            key("Spring"),
            key(
                "Take off the winter cover and the note at the switch. Test smoke and carbon monoxide alarms, then monthly.",
            ),
        ),
        (
            key("Summer"),
            key("Look at the attic's vents: no nests, leaves or boxes in front."),
        ),
        (
            key("Fall"),
            key(
                "Disconnect off and locked: dust blades, shutter and vent screens. Insulation still clear of the fan? Belts and bearings as the fan's own sheet says.",
            ),
        ),
        (
            key("Winter"),
            key("Insulated cover on, note at the switch: “Cover on. Do not run.”"),
        ),
    ];
    let rows = seasons
        .into_iter()
        .map(|(season, what)| vec![right.line(season).strong(), right.line(what)])
        .collect();
    right.table(&[("", 1.0, false), ("", 4.2, false)], rows);
    let columns = vec![(1.0, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
    let odd = sheet
        .line(key("Strange noise, smell or a tripped breaker: "))
        .strong();
    let call = sheet.line(key(
        "leave it off and call the installer. Only an electrician opens the fan; it can start from the hall. New windows, water heater or furnace: have this sheet made again.",
    ));
    sheet.put(Block::Paragraph(odd.then(call)));
}

/// The one danger, with its reason.
fn why(sheet: &mut SheetBuilder) {
    let mut entries: Vec<Line> = [
        key("With too few windows open, the fan pulls burnt gas back down flues and chimneys, and carbon monoxide comes in with it. You cannot see or smell it."),
        key("Never run the fan with the windows shut, not even for a minute. Not even on low."),
        key("Never with a fire or warm ashes in the fireplace. Damper shut first."),
        key("If the carbon monoxide alarm sounds: fan off, everybody out, call 911 from outside."),
        key("First use: a licensed technician measures the draft at each flue, fan on high, these windows open. Do not use the fan before that. Passed on ______________ by ______________"),
    ]
    .into_iter()
    .map(|it| sheet.line(it))
    .collect();
    let job = sheet.job;
    let findings = labels::LIVING_RULES
        .iter()
        .filter_map(|rule| job.finding(rule))
        .filter(|it| it.outcome != Outcome::Holds);
    entries.extend(sheet.warnings(findings));
    sheet.cautions(key("Why it matters"), entries);
}

/// The windows that the fan asks for: enough for the flow, and enough for every flue.
fn windows(sheet: &mut SheetBuilder) -> Option<Line> {
    let flow = ("airflow", "window area for the flow alone");
    let flue = ("backdraft", "window area for the limit, high speed");
    let held = |(rule, name): (&str, &str)| sheet.job.figure(rule, name, "ft²");
    let (text, (rule, name)) = if held(flue) > held(flow) {
        (
            key(
                "Clear opening in all: at least {area}. With less, the fan can pull burnt gas back down a flue: fan off.",
            ),
            flue,
        )
    } else {
        (key("Clear opening in all: about {area}."), flow)
    };
    let area = sheet.ruled(rule, name)?;
    Some(sheet.line(phrase(text).with("area", area)))
}
