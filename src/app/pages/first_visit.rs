//! The first visit: ten answers and what they come to.

use super::place::{lines, show_band};
use super::{number, update};
use crate::app::judge::sign_of_verdict;
use crate::app::place::Key;
use crate::app::session::{Session, Sheet, View};
use crate::app::{FirstVisitAdapter, Handle, MainWindow, PlaceAdapter, act};
use crate::rules::{Say, Verdict};
use crate::survey::{Stop, fields};
use slint::{ComponentHandle, SharedString};

/// As many open answers as are named.
const OPEN_MOST: usize = 5;

pub fn connect(window: &MainWindow, app: &Handle) {
    let adapter = window.global::<FirstVisitAdapter>();
    let handle = app.clone();
    adapter.on_customer(move || act(&handle, |session| session.go(View::Customer)));
    let handle = app.clone();
    adapter.on_go_on(move || act(&handle, |session| session.go_stop(Stop::Arrival)));
    let handle = app.clone();
    adapter.on_verdict_page(move || act(&handle, |session| session.go(View::Verdict)));
}

pub fn show(window: &MainWindow, session: &mut Session) {
    if session.view() != View::FirstVisit {
        return;
    }
    let Some(open) = session.open() else { return };
    let adapter = window.global::<FirstVisitAdapter>();
    let reader = session.reader();
    show_band(window, session);
    let answers = session.first_answers();
    let given = answers.iter().filter(|it| it.given).count();
    adapter.set_count(
        reader
            .said(
                &Say::new("{given} of {all} answers")
                    .with("given", given)
                    .with("all", answers.len()),
            )
            .into(),
    );
    let verdict = open
        .judged
        .spot()
        .map_or(Verdict::NotSettled, |spot| spot.verdict);
    adapter.set_mark(sign_of_verdict(verdict).into());
    adapter.set_words(
        reader
            .said(&Say::new("So far: {verdict}").with("verdict", verdict.label()))
            .into(),
    );
    let ways = session.standing().map_or(String::new(), |standing| {
        if standing.possible == 0 {
            reader.tr("Nothing that is offered fits any more.")
        } else if standing.possible == standing.ways {
            reader.tr("Nothing seen so far rules a fan out.")
        } else {
            reader
                .tr("A fan can still fit. Some of the fans, or ways to put them in, are ruled out.")
        }
    });
    adapter.set_ways(ways.into());
    let mut labels: Vec<String> = Vec::new();
    for matter in open.judged.open() {
        let label = reader.tr(fields::label_of(matter.field.field));
        if labels.len() < OPEN_MOST && !labels.contains(&label) {
            labels.push(label);
        }
    }
    let still = match open.judged.still() {
        0 => reader.tr("nothing left to measure for this verdict"),
        count => reader.said(
            &Say::new("Still open: {count} answers, first of all {list}.")
                .with("count", count)
                .with("list", labels.join(", ")),
        ),
    };
    adapter.set_open(still.into());

    let rows = session.rows();
    let lines = lines(&rows, &reader);
    update(adapter.get_lines(), lines, |lines| adapter.set_lines(lines));
    window
        .global::<PlaceAdapter>()
        .set_active(match session.sheet() {
            Some(Sheet::Keys { at, .. } | Sheet::Picks { at }) => {
                Key::Field(*at).to_string().into()
            }
            _ => SharedString::new(),
        });
    if let Some(key) = session.take_show()
        && let Some(at) = rows.iter().position(|row| row.key == key)
    {
        adapter.set_show_line(number(at));
        adapter.set_show_count(adapter.get_show_count() + 1);
    }
}
