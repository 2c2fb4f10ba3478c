//! The sheet for whoever adds vents, and opens those that are there.

use super::JobSheet;
use super::builder::{Root, SheetBuilder, key, phrase};
use super::labels;
use crate::job::Plan;
use crate::rules::{Outcome, number};
use crate::survey::FieldRef;
use crate::typeset::document::{Line, Marks};

pub(super) fn write(mut sheet: SheetBuilder) -> JobSheet {
    sheet.nothing_to_build();
    cautions(&mut sheet);
    areas(&mut sheet);
    if let Some(plan) = sheet.job.plan.as_ref() {
        to_add(&mut sheet, plan);
    }
    there(&mut sheet);
    findings(&mut sheet);
    sheet.finish("vents", key("Vent work"))
}

fn cautions(sheet: &mut SheetBuilder) {
    let entries = [
        key(
            "Local code and the permit go before this sheet. Roof work is for people trained and secured against falls; no one goes on a wet, frosty or windy roof.",
        ),
        key("Ladder on firm, level ground; its foot out a quarter of its height; rails 3 ft above the edge; tied or held."),
        key("Before a hole is cut: look at its underside from the attic. No rafter, truss, wire, pipe or flue may be in it. Nobody cuts a rafter or any part of a truss."),
        key("A vent stays clear of flues, plumbing vents and intakes by what the code and the vent's own sheet ask for."),
        key("What is marked on the vent that you buy counts, not the figure on this sheet. Screens between 1/16 in and 1/4 in."),
    ]
    .into_iter()
    .map(|it| sheet.line(it))
    .collect();
    sheet.cautions(entries);
}

fn areas(sheet: &mut SheetBuilder) {
    let names = [
        (
            key("Net free vent area that is there"),
            "net free vent area",
        ),
        (key("Upper"), "net free vent area, upper"),
        (key("Lower"), "net free vent area, lower"),
        (
            key("Needed for the fan's airflow"),
            "vent area for the fan's airflow",
        ),
        (
            key("Asked for by the fan's sheet"),
            "vent area by the fan's sheet",
        ),
        (key("1/150 of the attic floor"), "1/150 of the attic floor"),
        (key("1/300 of the attic floor"), "1/300 of the attic floor"),
        (key("Needed in all"), "vent area needed"),
        (key("To add"), "vent area to add"),
    ];
    let mut rows = Vec::new();
    for (label, name) in names {
        if let Some(figure) = sheet.ruled("exhaust-vents", name) {
            rows.push((label, sheet.shown(figure)));
        }
    }
    if !rows.is_empty() {
        sheet.section(key("Vent area"));
        sheet.facts(rows);
    }
}

fn to_add(sheet: &mut SheetBuilder, plan: &Plan) {
    sheet.section(key("Vents to add"));
    if plan.vents.is_empty() {
        sheet.say(key(
            "None: the vents that are there let the fan's air out, as long as they stay open.",
        ));
        return;
    }
    sheet.say(key(
        "Each line by itself closes its gap. Kinds may be mixed as long as their areas add up to the gap.",
    ));
    for gap in &plan.vents {
        let area = sheet.figure(
            phrase(key("vent area to add {place}")).with("place", labels::place(gap.place)),
            number(gap.area.in2().ceil(), "in²", 0),
            phrase(key("needed less what is there")),
            [Root::Rule("exhaust-vents")],
        );
        sheet.part(
            phrase(key("{area} net free {place}"))
                .with("area", area)
                .with("place", labels::place(gap.place)),
        );
        let rows = gap
            .choices
            .iter()
            .map(|(vent, count)| {
                let each = sheet.figure(
                    phrase(key("net free area of one: {vent}")).with("vent", vent.name),
                    number(vent.each.in2(), "in²", 0),
                    phrase(key("as such vents are usually marked")),
                    [Root::Source(vent.source)],
                );
                let count = sheet.figure(
                    phrase(key("how many: {vent}")).with("vent", vent.name),
                    *count,
                    phrase(key("{area} ÷ {each}, up to the next whole one"))
                        .with("area", area)
                        .with("each", each),
                    [Root::Figure(area), Root::Figure(each)],
                );
                vec![sheet.shown(count), sheet.line(vent.name), sheet.shown(each)]
            })
            .collect();
        sheet.table(
            &[
                (key("Count"), 1.0, true),
                (key("Of"), 4.0, false),
                (key("Net free area of one"), 2.0, true),
            ],
            rows,
        );
    }
}

fn there(sheet: &mut SheetBuilder) {
    let vents = &sheet.job.survey.vents.vents;
    if vents.items.is_empty() {
        return;
    }
    sheet.section(key("Vents that are there"));
    let mut rows = Vec::new();
    for (index, vent) in vents.items.iter().enumerate() {
        let given = sheet.given(vent, vent.id);
        rows.push(vec![Line::plain((index + 1).to_string()), given]);
    }
    sheet.table(
        &[(key("Vent"), 0.7, true), (key("As surveyed"), 6.0, false)],
        rows,
    );
    if sheet
        .answer(FieldRef::house("vents.vents.complete"))
        .is_none()
    {
        sheet.note(key("Not said to be all of them."));
    }
}

fn findings(sheet: &mut SheetBuilder) {
    sheet.section(key("What was found"));
    let mut lines = Vec::new();
    let mut work = Vec::new();
    let mut mind = Vec::new();
    for finding in sheet
        .job
        .findings()
        .filter(|it| labels::VENT_RULES.contains(&it.rule))
    {
        lines.push(sheet.finding(finding));
        if finding.outcome == Outcome::Mend {
            work.extend(sheet.remedies(finding));
        }
        for caution in &finding.cautions {
            mind.push(sheet.line(caution).then(sheet.by_rule(finding.rule)));
        }
    }
    sheet.list(Marks::Dots, lines);
    if !work.is_empty() {
        sheet.part(key("Work to be done"));
        sheet.list(Marks::Boxes, work);
    }
    if !mind.is_empty() {
        sheet.part(key("To mind"));
        sheet.list(Marks::Dots, mind);
    }
}
