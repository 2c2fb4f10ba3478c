//! The sheet for whoever adds vents, and opens those that are there.

use super::builder::{Root, SheetBuilder, key, phrase};
use super::labels;
use crate::job::Plan;
use crate::job::vents::Gap;
use crate::rules::{Outcome, number};
use crate::survey::{FieldRef, Subject};
use crate::typeset::document::{Block, Document, FigureId, Line, Marks};

pub(super) fn write(mut sheet: SheetBuilder) -> (Document, SheetBuilder) {
    let nothing = sheet.nothing_to_build();
    if let (false, Some(plan)) = (nothing, sheet.job.plan.as_ref()) {
        answer(&mut sheet, plan);
    }
    there(&mut sheet);
    let mut left = sheet.apart();
    areas(&mut left);
    let mut right = left.beside();
    if let Some(plan) = right.job.plan.as_ref() {
        to_add(&mut right, plan);
    }
    let photos = right.photos(2, |it| matches!(it.subject, Subject::Vent | Subject::House));
    if !photos.is_empty() {
        right.put(Block::Photos(photos));
    }
    let columns = vec![(1.0, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
    sheet.note(key(
        "No roof plan: the survey has no outline of the house yet. Measure where vents, flues and pipes stand before you order.",
    ));
    work(&mut sheet);
    cautions(&mut sheet);
    if sheet.job.plan.is_some() {
        let aside = sheet.line(key("write down, hand back"));
        sheet.section_with(key("Done"), aside);
        sheet.blanks(&[
            (key("Vents added, and net free area stamped on each"), "in²"),
            (key("Lead hand, date"), ""),
        ]);
    }
    sheet.finish("vents", "V", key("Vents"))
}

/// What is to be done, in one line.
fn answer(sheet: &mut SheetBuilder, plan: &Plan) {
    let mut line = Line::default();
    for gap in &plan.vents {
        let area = gap_area(sheet, gap);
        let Some((vent, count)) = gap.choices.first() else {
            continue;
        };
        let say = phrase(key(
            "Add {count} of: {vent}, {place}; {area} net free in all. ",
        ))
        .with("count", *count)
        .with("vent", vent.name)
        .with("place", labels::place(gap.place))
        .with("area", area);
        line = line.then(sheet.line(say).strong());
    }
    line = if line.is_empty() {
        sheet.line(key(
            "Add no vents: those that are there let the fan's air out, as long as they stay open.",
        ))
    } else {
        line.then(sheet.line(key("Before the first start.")))
    };
    sheet.put(Block::Lead(line));
}

fn gap_area(sheet: &mut SheetBuilder, gap: &Gap) -> FigureId {
    sheet.figure(
        phrase(key("vent area to add {place}")).with("place", labels::place(gap.place)),
        number(gap.area.in2().ceil(), "in²", 0),
        phrase(key("needed less what is there")),
        [Root::Rule("exhaust-vents")],
    )
}

fn cautions(sheet: &mut SheetBuilder) {
    let mut entries: Vec<Line> = [
        key("Permit, local code and inspector outrank this sheet."),
        key("Roof: trained people, tied off. Not wet, frosty or windy."),
        key("Ladder firm and level, 4 up to 1 out, tied or held, 3 ft above the edge."),
        key("Before a hole is cut, look at its underside from the attic: no rafter, truss, wire, pipe or flue. Cut no rafter and no part of a truss."),
        key("Stay clear of flues, plumbing vents and intakes as code and the vent's sheet ask."),
        key("What is stamped on the vent that you buy counts. Screens between 1/16 in and 1/4 in."),
    ]
    .into_iter()
    .map(|it| sheet.line(it))
    .collect();
    let job = sheet.job;
    let findings = job
        .findings()
        .filter(|it| labels::VENT_RULES.contains(&it.rule) && it.outcome != Outcome::Holds);
    entries.extend(sheet.warnings(findings));
    sheet.cautions(key("Cautions for this house"), entries);
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
    for gap in &plan.vents {
        let area = gap_area(sheet, gap);
        let aside = sheet.line(key("any one of these; kinds may be mixed"));
        sheet.section_with(
            phrase(key("To add {place}")).with("place", labels::place(gap.place)),
            aside,
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
                    phrase(key("how many: {vent}, {place}"))
                        .with("vent", vent.name)
                        .with("place", labels::place(gap.place)),
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

/// Work on vents besides those that are added.
fn work(sheet: &mut SheetBuilder) {
    let mut work = Vec::new();
    let job = sheet.job;
    for finding in job.that(Outcome::Mend) {
        // Vents to add stand above, once.
        if labels::VENT_RULES.contains(&finding.rule) && finding.rule != "exhaust-vents" {
            work.extend(sheet.remedies(finding));
        }
    }
    if !work.is_empty() {
        sheet.section(key("Work for this house"));
        sheet.list(Marks::Boxes, 1, work);
    }
}
