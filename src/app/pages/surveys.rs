//! The list of surveys.

use super::{from_index, index, number, picks, update};
use crate::app::judge::sign_of_verdict;
use crate::app::session::{Order, Session};
use crate::app::{Handle, MainWindow, MarkKind, SurveyLine, SurveysAdapter, act};
use crate::rules::Say;
use crate::store::{Deleted, Facts};
use slint::ComponentHandle;

pub fn connect(window: &MainWindow, app: &Handle) {
    let surveys = window.global::<SurveysAdapter>();
    let handle = app.clone();
    surveys.on_begin(move || act(&handle, Session::begin_survey));
    let handle = app.clone();
    surveys.on_begin_first_visit(move || act(&handle, Session::begin_first_visit));
    let handle = app.clone();
    surveys.on_open(move |key| {
        if let Ok(id) = key.parse() {
            act(&handle, move |session| session.open_survey(id));
        }
    });
    let handle = app.clone();
    surveys.on_remove(move |key| {
        if let Ok(id) = key.parse() {
            act(&handle, move |session| session.remove_survey(id));
        }
    });
    let handle = app.clone();
    surveys.on_set_order(move |at| {
        if let Some((order, _)) = from_index(at).and_then(|at| Order::ALL.get(at)) {
            act(&handle, |session| session.set_order(*order));
        }
    });
    let handle = app.clone();
    surveys.on_bring_back(move |key| act(&handle, move |session| session.bring_back(&key)));
    let handle = app.clone();
    surveys.on_search(move |text| act(&handle, move |session| session.search(&text)));
}

pub fn show(window: &MainWindow, session: &Session) {
    if session.view() != crate::app::session::View::Surveys {
        return;
    }
    let surveys = window.global::<SurveysAdapter>();
    surveys.set_total(number(session.survey_count()));
    let listed = session.surveys();
    let latest = listed.iter().max_by_key(|facts| facts.changed);
    if let Some(latest) = latest {
        surveys.set_latest(line(session, latest));
    }
    let end = listed.len().saturating_sub(1);
    let rows = listed
        .into_iter()
        .enumerate()
        .map(|(at, facts)| SurveyLine {
            first: at == 0,
            last: at == end,
            ..line(session, facts)
        })
        .collect();
    update(surveys.get_surveys(), rows, |rows| {
        surveys.set_surveys(rows)
    });
    let reader = session.reader();
    let orders = picks(Order::ALL.iter().map(|(_, label)| reader.tr(label)));
    update(surveys.get_orders(), orders, |rows| {
        surveys.set_orders(rows)
    });
    surveys.set_order(index(
        Order::ALL
            .iter()
            .position(|(order, _)| *order == session.order()),
    ));
    let deleted = session
        .deleted()
        .iter()
        .map(|it| deleted_line(session, it))
        .collect();
    update(surveys.get_deleted(), deleted, |rows| {
        surveys.set_deleted(rows)
    });
}

fn line(session: &Session, facts: &Facts) -> SurveyLine {
    let reader = session.reader();
    let begun = facts.begun.to_string();
    let mut detail = vec![begun.get(..10).unwrap_or("").to_owned()];
    detail.extend(facts.address.clone().filter(|_| facts.client.is_some()));
    detail.extend(facts.verdict.map(|verdict| reader.tr(verdict.label())));
    let handed = match (facts.revision, facts.changed_since) {
        (0, _) => String::new(),
        (number, false) => {
            reader.said(&Say::new("handed over, revision {number}").with("number", number))
        }
        (number, true) => reader.said(
            &Say::new("changed since revision {number} was handed over").with("number", number),
        ),
    };
    SurveyLine {
        key: facts.id.to_string().into(),
        title: session.title_of(facts).into(),
        detail: detail.join(", ").into(),
        handed: handed.into(),
        handed_mark: match (facts.revision, facts.changed_since) {
            (0, _) => MarkKind::None,
            (_, false) => MarkKind::Tick,
            (_, true) => MarkKind::Open,
        },
        mark: facts
            .verdict
            .map_or(MarkKind::None, |verdict| sign_of_verdict(verdict).into()),
        ..SurveyLine::default()
    }
}

fn deleted_line(session: &Session, deleted: &Deleted) -> SurveyLine {
    let reader = session.reader();
    let title = match &deleted.facts {
        Some(facts) => session.title_of(facts),
        None => reader.tr("A survey that cannot be read"),
    };
    let when = deleted
        .deleted_at
        .map(|when| when.to_string().get(..10).unwrap_or("").to_owned());
    SurveyLine {
        key: deleted.key.as_str().into(),
        title: title.into(),
        detail: when
            .map_or(String::new(), |day| {
                reader.said(&Say::new("deleted {day}").with("day", day))
            })
            .into(),
        ..SurveyLine::default()
    }
}
