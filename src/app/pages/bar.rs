//! The mark in the head of every page of a survey: the verdict of the present spot, and what still matters.

use crate::app::judge::sign_of_verdict;
use crate::app::session::{Session, View};
use crate::app::{Handle, MainWindow, VerdictMarkAdapter, act};
use crate::rules::{Say, Verdict};
use crate::survey::fields;
use slint::ComponentHandle;

pub fn connect(window: &MainWindow, app: &Handle) {
    let handle = app.clone();
    window
        .global::<VerdictMarkAdapter>()
        .on_why(move || act(&handle, |session| session.go(View::Verdict)));
}

pub fn show(window: &MainWindow, session: &Session) {
    let bar = window.global::<VerdictMarkAdapter>();
    let Some(open) = session.open() else {
        bar.set_shown(false);
        return;
    };
    bar.set_shown(!matches!(
        session.view(),
        View::Surveys | View::Customer | View::Settings | View::About
    ));
    let reader = session.reader();
    let verdict = open
        .judged
        .spot()
        .map_or(Verdict::NotSettled, |spot| spot.verdict);
    bar.set_spot(session.spot_title(session.spot_index()).into());
    bar.set_words(reader.tr(verdict.label()).into());
    bar.set_mark(sign_of_verdict(verdict).into());
    let here = session
        .place()
        .filter(|_| matches!(session.view(), View::Place(_)))
        .map(|place| open.judged.still_at(place.stop()));
    let still = match (open.judged.still(), open.judged.open().next(), here) {
        (0, _, _) | (_, None, _) => reader.tr("nothing left to measure for this verdict"),
        (count, _, Some(here)) => reader.said(
            &Say::new(match here {
                1 => "{here} still matters at this stop, {count} in all",
                _ => "{here} still matter at this stop, {count} in all",
            })
            .with("here", here)
            .with("count", count),
        ),
        (count, Some(first), None) => reader.said(
            &Say::new("{count} still matter; above all: {field}")
                .with("count", count)
                .with("field", fields::label_of(first.field.field)),
        ),
    };
    bar.set_still(still.into());
}
