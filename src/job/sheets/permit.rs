//! The permit desk's summary: every rule with its section, its answer and its figures.

use super::JobSheet;
use super::builder::{SheetBuilder, key, phrase};
use crate::job::figures::amount;
use crate::rules::{Finding, Outcome};
use crate::typeset::document::{Line, Marks};

pub(super) fn write(mut sheet: SheetBuilder) -> JobSheet {
    sheet.nothing_to_build();
    let intro = sheet.line(key(
        "This summary is no permit and no design. It says what was measured, what each rule asks for, and what follows. The authority having jurisdiction decides; its adopted editions and amendments go before the editions named here. Structural, electrical and gas work is done by those licensed for it.",
    ));
    sheet.cautions(vec![intro]);
    scope(&mut sheet);
    overview(&mut sheet);
    rules(&mut sheet);
    sheet.finish("permit", key("Permit summary"))
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

fn overview(sheet: &mut SheetBuilder) {
    sheet.section(key("Every rule at a glance"));
    let findings: Vec<&Finding> = sheet.job.findings().collect();
    let rows = findings
        .iter()
        .map(|finding| {
            let cites: Vec<&str> = finding.sources.iter().map(|it| it.cite).collect();
            let outcome = sheet.line(finding.outcome.label());
            let outcome = match finding.outcome {
                Outcome::Holds => outcome,
                _ => outcome.strong(),
            };
            vec![
                sheet.line(finding.title).then(sheet.by_rule(finding.rule)),
                outcome,
                Line::plain(cites.join("; ")),
            ]
        })
        .collect();
    sheet.table(
        &[
            (key("Rule"), 2.6, false),
            (key("Answer"), 1.3, false),
            (key("Section"), 4.2, false),
        ],
        rows,
    );
}

fn rules(sheet: &mut SheetBuilder) {
    sheet.section(key("Rule by rule"));
    let findings: Vec<&Finding> = sheet.job.findings().collect();
    for finding in findings {
        let title = sheet.line(finding.title);
        let outcome = sheet.line(finding.outcome.label());
        sheet.part(
            phrase(key("{title}: {outcome}"))
                .with("title", title)
                .with("outcome", outcome),
        );
        let say = sheet.line(&finding.say).then(sheet.by_rule(finding.rule));
        sheet.put(crate::typeset::document::Block::Paragraph(say));
        amounts(sheet, finding);
        figures(sheet, finding);
        if !finding.missing.is_empty() {
            let mut open = sheet.line(key("Still to be measured: "));
            for (index, at) in finding.missing.iter().enumerate() {
                if index > 0 {
                    open = open.then(Line::plain("; "));
                }
                open = open.then(sheet.missing(*at));
            }
            sheet.put(crate::typeset::document::Block::Paragraph(open));
        }
        let work = sheet.remedies(finding);
        sheet.list(Marks::Boxes, work);
        let mut sources = sheet.line(key("Source: "));
        for (index, source) in finding.sources.iter().enumerate() {
            if index > 0 {
                sources = sources.then(Line::plain("; "));
            }
            let status = sheet.line(source.status.label());
            sources = sources.then(Line::plain(format!("{} ({})", source.cite, status.text())));
        }
        sheet.put(crate::typeset::document::Block::Note(sources));
    }
}

fn amounts(sheet: &mut SheetBuilder, finding: &Finding) {
    let parts = [
        (key("Needed: {amount}."), &finding.need),
        (key("Found: {amount}."), &finding.measured),
        (key("Margin: {amount}."), &finding.margin),
    ];
    let mut line = Line::default();
    for (text, amount) in parts {
        if let Some(amount) = amount {
            if !line.0.is_empty() {
                line = line.then(Line::plain(" "));
            }
            line = line.then(sheet.line(phrase(text).with("amount", amount.clone())));
        }
    }
    if finding.measure_again {
        line = line.then(Line::plain(" ")).then(sheet.line(key(
            "Within what a tape can tell: measured again before work begins.",
        )));
    }
    if !line.0.is_empty() {
        let line = line.then(sheet.by_rule(finding.rule));
        sheet.put(crate::typeset::document::Block::Paragraph(line));
    }
}

/// The rule's figures, two to a row.
fn figures(sheet: &mut SheetBuilder, finding: &Finding) {
    if finding.figures.is_empty() {
        return;
    }
    let cells: Vec<[Line; 2]> = finding
        .figures
        .iter()
        .map(|figure| {
            let name = sheet.figure_name(figure);
            let value = sheet.led_by_rule(amount(figure), finding.rule);
            [Line::plain(name), value]
        })
        .collect();
    let half = cells.len().div_ceil(2);
    let rows = (0..half)
        .map(|at| {
            let blank = || [Line::default(), Line::default()];
            let [a, b] = cells[at].clone();
            let [c, d] = cells.get(at + half).cloned().unwrap_or_else(blank);
            vec![a, b, Line::default(), c, d]
        })
        .collect();
    sheet.table(
        &[
            ("", 3.2, false),
            ("", 1.3, true),
            ("", 0.1, false),
            ("", 3.2, false),
            ("", 1.3, true),
        ],
        rows,
    );
}
