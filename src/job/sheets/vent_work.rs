//! The sheet for whoever adds vents, and opens those that are there.

use super::document::{Document, Line, Marks};
use super::labels;
use super::pen::{Pen, Root, key, phrase};
use crate::job::Plan;
use crate::rules::{Outcome, number};
use crate::survey::vents;

pub(super) fn write(mut pen: Pen) -> Document {
    pen.nothing_to_build();
    cautions(&mut pen);
    areas(&mut pen);
    if let Some(plan) = pen.job.plan.as_ref() {
        to_add(&mut pen, plan);
    }
    there(&mut pen);
    findings(&mut pen);
    pen.finish("vents", key("Vent work"))
}

fn cautions(pen: &mut Pen) {
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
    .map(|it| pen.line(it))
    .collect();
    pen.cautions(entries);
}

fn areas(pen: &mut Pen) {
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
        if let Some(figure) = pen.ruled("exhaust-vents", name) {
            rows.push((label, pen.shown(figure)));
        }
    }
    if !rows.is_empty() {
        pen.section(key("Vent area"));
        pen.facts(rows);
    }
}

fn to_add(pen: &mut Pen, plan: &Plan) {
    pen.section(key("Vents to add"));
    if plan.vents.is_empty() {
        pen.say(key(
            "None: the vents that are there let the fan's air out, as long as they stay open.",
        ));
        return;
    }
    pen.say(key(
        "Each line by itself closes its gap. Kinds may be mixed as long as their areas add up to the gap.",
    ));
    for gap in &plan.vents {
        let area = pen.figure(
            phrase(key("vent area to add {place}")).with("place", labels::place(gap.place)),
            number(gap.area.in2().ceil(), "in²", 0),
            phrase(key("needed less what is there")),
            [Root::Rule("exhaust-vents")],
        );
        pen.part(
            phrase(key("{area} net free {place}"))
                .with("area", area)
                .with("place", labels::place(gap.place)),
        );
        let rows = gap
            .choices
            .iter()
            .map(|(vent, count)| {
                let each = pen.figure(
                    phrase(key("net free area of one: {vent}")).with("vent", vent.name),
                    number(vent.each.in2(), "in²", 0),
                    phrase(key("as such vents are usually marked")),
                    [Root::Source(vent.source)],
                );
                let count = pen.figure(
                    phrase(key("how many: {vent}")).with("vent", vent.name),
                    *count,
                    phrase(key("{area} ÷ {each}, up to the next whole one"))
                        .with("area", area)
                        .with("each", each),
                    [Root::Figure(area), Root::Figure(each)],
                );
                vec![pen.shown(count), pen.line(vent.name), pen.shown(each)]
            })
            .collect();
        pen.table(
            &[
                (key("Count"), 1.0, true),
                (key("Of"), 4.0, false),
                (key("Net free area of one"), 2.0, true),
            ],
            rows,
        );
    }
}

fn there(pen: &mut Pen) {
    let vents = &pen.job.survey.vents.vents;
    if vents.items.is_empty() {
        return;
    }
    pen.section(key("Vents that are there"));
    let mut rows = Vec::new();
    for (index, vent) in vents.items.iter().enumerate() {
        let given = pen.given(vent, vent.id);
        rows.push(vec![Line::plain((index + 1).to_string()), given]);
    }
    pen.table(
        &[(key("Vent"), 0.7, true), (key("As surveyed"), 6.0, false)],
        rows,
    );
    if pen.answer(vents::VENTS.complete_of_house()).is_none() {
        pen.note(key("Not said to be all of them."));
    }
}

fn findings(pen: &mut Pen) {
    pen.section(key("What was found"));
    let mut lines = Vec::new();
    let mut work = Vec::new();
    let mut mind = Vec::new();
    for finding in pen
        .job
        .findings()
        .filter(|it| labels::VENT_RULES.contains(&it.rule))
    {
        lines.push(pen.finding(finding));
        if finding.outcome == Outcome::Mend {
            work.extend(pen.remedies(finding));
        }
        for caution in &finding.cautions {
            mind.push(pen.line(caution).then(pen.by_rule(finding.rule)));
        }
    }
    pen.list(Marks::Dots, lines);
    if !work.is_empty() {
        pen.part(key("Work to be done"));
        pen.list(Marks::Boxes, work);
    }
    if !mind.is_empty() {
        pen.part(key("To mind"));
        pen.list(Marks::Dots, mind);
    }
}
