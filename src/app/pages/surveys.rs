//! The list of surveys.

use super::{number, update};
use crate::app::judge::sign_of_verdict;
use crate::app::session::Session;
use crate::app::{Handle, MainWindow, SurveyLine, SurveysAdapter, act};
use crate::rules::Say;
use crate::store::Facts;
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
    surveys.on_search(move |text| act(&handle, move |session| session.search(&text)));
}

pub fn show(window: &MainWindow, session: &Session) {
    if session.view() != crate::app::session::View::Surveys {
        return;
    }
    let surveys = window.global::<SurveysAdapter>();
    surveys.set_total(number(session.survey_count()));
    let rows = session
        .surveys()
        .map(|facts| line(session, facts))
        .collect();
    update(surveys.get_surveys(), rows, |rows| {
        surveys.set_surveys(rows)
    });
}

fn line(session: &Session, facts: &Facts) -> SurveyLine {
    let reader = session.reader();
    let begun = facts.begun.to_string();
    let mut detail = vec![begun.get(..10).unwrap_or("").to_owned()];
    detail.extend(facts.address.clone().filter(|_| facts.client.is_some()));
    detail.extend(facts.verdict.map(|verdict| reader.tr(verdict.label())));
    if facts.revision > 0 {
        detail.push(
            reader.said(&Say::new("handed over, revision {number}").with("number", facts.revision)),
        );
    }
    SurveyLine {
        key: facts.id.to_string().into(),
        title: session.title_of(facts).into(),
        detail: detail.join(" · ").into(),
        mark: facts.verdict.map_or(crate::app::MarkKind::None, |verdict| {
            sign_of_verdict(verdict).into()
        }),
    }
}
