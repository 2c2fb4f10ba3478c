//! The permit desk's summary: every rule with its section, its answer and its figures.

use super::document::{Document, Line, Marks};
use super::pen::{Pen, key, phrase};
use crate::job::figures::amount;
use crate::rules::{Finding, Outcome};

pub(super) fn write(mut pen: Pen) -> Document {
    pen.nothing_to_build();
    let intro = pen.line(key(
        "This summary is no permit and no design. It says what was measured, what each rule asks for, and what follows. The authority having jurisdiction decides; its adopted editions and amendments go before the editions named here. Structural, electrical and gas work is done by those licensed for it.",
    ));
    pen.cautions(vec![intro]);
    scope(&mut pen);
    overview(&mut pen);
    rules(&mut pen);
    pen.finish("permit", key("Permit summary"))
}

fn scope(pen: &mut Pen) {
    pen.section(key("What is proposed"));
    let job = pen.job;
    let codes = &job.assessment.codes;
    let mut rows: Vec<(&'static str, Line)> = vec![
        (key("Building code"), Line::plain(codes.building.code())),
        (key("Electrical code"), Line::plain(codes.electrical.code())),
        (key("Energy code"), pen.line(codes.energy.code())),
    ];
    let size = crate::rules::Say::new(key("{length} × {width}"))
        .with("length", job.fan.opening.length)
        .with("width", job.fan.opening.width);
    let opening = pen.fan_sheet(
        key("opening, along × across the joists"),
        crate::rules::Arg::Say(Box::new(size)),
    );
    rows.push((key("Opening in the ceiling"), pen.shown(opening)));
    let weight = pen.fan_sheet(
        key("weight"),
        crate::rules::number(job.fan.weight.lb(), "lb", 0),
    );
    rows.push((key("Weight of the fan"), pen.shown(weight)));
    let airflow = pen.fan_size(
        key("airflow at 0.1 in of water"),
        crate::rules::number(job.fan.rated_airflow().cfm(), "cfm", 0),
    );
    rows.push((key("Airflow"), pen.shown(airflow)));
    if let Some(plan) = &job.plan {
        let joists = match plan.layout.cuts.len() {
            0 => pen.line(key("no joist is cut")),
            count => pen.line(
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
    pen.facts(rows);
}

fn overview(pen: &mut Pen) {
    pen.section(key("Every rule at a glance"));
    let findings: Vec<&Finding> = pen.job.findings().collect();
    let rows = findings
        .iter()
        .map(|finding| {
            let cites: Vec<&str> = finding.sources.iter().map(|it| it.cite).collect();
            let outcome = pen.line(finding.outcome.label());
            let outcome = match finding.outcome {
                Outcome::Holds => outcome,
                _ => outcome.strong(),
            };
            vec![
                pen.line(finding.title).then(pen.by_rule(finding.rule)),
                outcome,
                Line::plain(cites.join("; ")),
            ]
        })
        .collect();
    pen.table(
        &[
            (key("Rule"), 2.6, false),
            (key("Answer"), 1.3, false),
            (key("Section"), 4.2, false),
        ],
        rows,
    );
}

fn rules(pen: &mut Pen) {
    pen.section(key("Rule by rule"));
    let findings: Vec<&Finding> = pen.job.findings().collect();
    for finding in findings {
        let title = pen.line(finding.title);
        let outcome = pen.line(finding.outcome.label());
        pen.part(
            phrase(key("{title}: {outcome}"))
                .with("title", title)
                .with("outcome", outcome),
        );
        let say = pen.line(&finding.say).then(pen.by_rule(finding.rule));
        pen.put(super::document::Block::Paragraph(say));
        amounts(pen, finding);
        figures(pen, finding);
        if !finding.missing.is_empty() {
            let mut open = pen.line(key("Still to be measured: "));
            for (index, at) in finding.missing.iter().enumerate() {
                if index > 0 {
                    open = open.then(Line::plain("; "));
                }
                open = open.then(pen.missing(*at));
            }
            pen.put(super::document::Block::Paragraph(open));
        }
        let work = pen.remedies(finding);
        pen.list(Marks::Boxes, work);
        let mut sources = pen.line(key("Source: "));
        for (index, source) in finding.sources.iter().enumerate() {
            if index > 0 {
                sources = sources.then(Line::plain("; "));
            }
            let status = pen.line(source.status.label());
            sources = sources.then(Line::plain(format!("{} ({})", source.cite, status.text())));
        }
        pen.put(super::document::Block::Note(sources));
    }
}

fn amounts(pen: &mut Pen, finding: &Finding) {
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
            line = line.then(pen.line(phrase(text).with("amount", amount.clone())));
        }
    }
    if finding.measure_again {
        line = line.then(Line::plain(" ")).then(pen.line(key(
            "Within what a tape can tell: measured again before work begins.",
        )));
    }
    if !line.0.is_empty() {
        let line = line.then(pen.by_rule(finding.rule));
        pen.put(super::document::Block::Paragraph(line));
    }
}

/// The rule's figures, two to a row.
fn figures(pen: &mut Pen, finding: &Finding) {
    if finding.figures.is_empty() {
        return;
    }
    let cells: Vec<[Line; 2]> = finding
        .figures
        .iter()
        .map(|figure| {
            let name = pen.figure_name(figure);
            let value = pen.led_by_rule(amount(figure), finding.rule);
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
    pen.table(
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
