//! The permit desk's summary: every rule with its section, its answer and its figures.

use super::builder::{SheetBuilder, key, phrase};
use super::opening;
use crate::rules::{Arg, Outcome};
use crate::typeset::document::{Block, Document, Line, Marks};

pub(super) fn write(mut sheet: SheetBuilder) -> (Document, SheetBuilder) {
    let nothing = sheet.nothing_to_build();
    let job = sheet.job;
    let chosen = job.place.as_ref().map(|place| (job.fan, place));
    let mut left = sheet.apart();
    if let (false, Some(plan)) = (nothing, job.plan.as_ref()) {
        left.section(key("P-1 Framing plan"));
        // Joists that are cut bring more to say on this page.
        let high = if plan.layout.cuts.is_empty() {
            400.0
        } else {
            300.0
        };
        left.drawn(opening::opening(job, plan), 402.0, high);
    }
    left.section(key("P-2 Section"));
    let (hall, attic) = (&job.spot.hall, &job.spot.attic);
    let section = crate::drawing::section(job.spot.id, hall, attic, &job.scene, chosen);
    left.drawn(section, 402.0, 290.0);
    let mut right = left.beside();
    scope(&mut right);
    loads(&mut right);
    right.section(key("For the building department"));
    right.blanks(&[
        (key("Contractor"), ""),
        (key("License no."), ""),
        (key("Electrician, license no."), ""),
        (key("Signature, date"), ""),
    ]);
    let columns = vec![(1.3, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
    sheet.note(key(
        "This set is no permit and no engineer's design. It says what was measured, what each rule asks for and what follows. The authority having jurisdiction decides; adopted editions and amendments outrank those named.",
    ));
    sheet.put(Block::NewPage);
    code_table(&mut sheet);
    sheet.finish("permit", "P", key("Permit set"))
}

/// What the joists carry, by the rule on their strength.
fn loads(sheet: &mut SheetBuilder) {
    let job = sheet.job;
    let Some(finding) = job.finding("joist-strength") else {
        return;
    };
    sheet.section(key("Loads and strength"));
    let say = sheet.line(&finding.say).then(sheet.by_rule(finding.rule));
    sheet.put(Block::Paragraph(say));
}

/// Every rule that applies: what it asks, what was found, and the result.
fn code_table(sheet: &mut SheetBuilder) {
    let aside = sheet.line(key("each figure and source: appendix A"));
    sheet.section_with(key("Code table"), aside);
    let job = sheet.job;
    let mut rows = Vec::new();
    let mut clear = Vec::new();
    for finding in job.findings() {
        if finding.rule.starts_with("hazard") && finding.outcome == Outcome::Holds {
            clear.push(sheet.line(finding.title).then(sheet.by_rule(finding.rule)));
            continue;
        }
        let cite = finding.sources.first().map_or("", |it| it.cite);
        // The document and its section, not what follows.
        let cite = cite.split([':', ';']).next().unwrap_or(cite).trim();
        let result = sheet.line(match finding.outcome {
            Outcome::Holds => key("meets"),
            Outcome::Mend => key("work"),
            Outcome::Fails => key("fails"),
            Outcome::NotMeasured => key("open"),
        });
        // Sentences are told elsewhere; here what decides them.
        let amount = |sheet: &SheetBuilder, it: &Option<Arg>| {
            it.as_ref()
                .map_or_else(Line::default, |it| sheet.bare(it.clone()))
        };
        let (need, found) = (
            amount(sheet, &finding.need),
            amount(sheet, &finding.measured),
        );
        let title = sheet.line(finding.title).then(sheet.by_rule(finding.rule));
        rows.push(vec![title, Line::plain(cite), need, found, result.strong()]);
    }
    sheet.table(
        &[
            (key("Rule"), 3.0, false),
            (key("Section"), 3.6, false),
            (key("asks for"), 1.2, true),
            (key("found"), 1.2, true),
            (key("result"), 0.8, true),
        ],
        rows,
    );
    if !clear.is_empty() {
        let mut line = sheet.line(key("Looked at and clear: "));
        for (index, one) in clear.into_iter().enumerate() {
            if index > 0 {
                line = line.then(Line::plain(" "));
            }
            line = line.then(one);
        }
        sheet.put(Block::Note(line));
    }
    let mut work = Vec::new();
    for finding in job.that(Outcome::Mend) {
        work.extend(sheet.remedies(finding));
    }
    work.dedup_by_key(|it| it.text());
    if !work.is_empty() {
        sheet.section(key("Work before final"));
        sheet.list(Marks::Boxes, 2, work);
    }
}

fn scope(sheet: &mut SheetBuilder) {
    sheet.section(key("What is proposed"));
    let job = sheet.job;
    let codes = &job.assessment.codes;
    let mut rows: Vec<(&'static str, Line)> = vec![
        (key("Building code"), Line::plain(codes.building.code())),
        (key("Electrical code"), Line::plain(codes.electrical.code())),
        (key("Energy code"), sheet.line(codes.energy.code())),
    ];
    let size = crate::rules::Say::new(key("{length} × {width}"))
        .with("length", job.fan.opening.length)
        .with("width", job.fan.opening.width);
    let opening = sheet.fan_sheet(
        key("opening, along × across the joists"),
        crate::rules::Arg::Say(Box::new(size)),
    );
    rows.push((key("Opening in the ceiling"), sheet.shown(opening)));
    let weight = sheet.fan_sheet(
        key("weight"),
        crate::rules::number(job.fan.weight.lb(), "lb", 0),
    );
    rows.push((key("Weight of the fan"), sheet.shown(weight)));
    let airflow = sheet.fan_size(
        key("airflow at 0.1 in of water"),
        crate::rules::number(job.fan.rated_airflow().cfm(), "cfm", 0),
    );
    rows.push((key("Airflow"), sheet.shown(airflow)));
    if let Some(plan) = &job.plan {
        let joists = match plan.layout.cuts.len() {
            0 => sheet.line(key("no joist is cut")),
            count => sheet.line(
                phrase(key(
                    "{count} cut and headed; headers {headers}, trimmers {trimmers}",
                ))
                .with("count", count)
                .with("headers", plan.layout.plies.headers.label())
                .with("trimmers", plan.layout.plies.trimmers.label()),
            ),
        };
        rows.push((key("Joists"), joists));
    }
    sheet.facts(rows);
}
