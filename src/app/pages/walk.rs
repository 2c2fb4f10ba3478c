//! The walk through the house: every stop with its state and the next thing to measure.

use super::{number, update};
use crate::app::place::{Key, StopState};
use crate::app::session::{Session, View};
use crate::app::{Handle, MainWindow, MarkKind, WalkAdapter, WalkStop, act};
use crate::rules::Say;
use crate::survey::{Stop, fields};
use slint::{ComponentHandle, SharedString};

/// How many of the missing answers are named on a stop's card.
const NAMED: usize = 4;

pub fn connect(window: &MainWindow, app: &Handle) {
    let walk = window.global::<WalkAdapter>();
    let handle = app.clone();
    walk.on_go_stop(move |at| {
        if at < 0 {
            act(&handle, |session| session.go(View::Walk));
        } else if let Some(stop) = Stop::ALL.get(usize::try_from(at).unwrap_or(usize::MAX)) {
            act(&handle, |session| session.go_stop(*stop));
        }
    });
    let handle = app.clone();
    walk.on_go(move |key| {
        if let Some(Key::Field(at)) = Key::parse(&key) {
            act(&handle, move |session| session.go_field(at));
        }
    });
    let handle = app.clone();
    walk.on_go_photos(move || act(&handle, |session| session.go(View::Photos)));
    let handle = app.clone();
    walk.on_go_hand_over(move || act(&handle, |session| session.go(View::HandOver)));
}

pub fn show(window: &MainWindow, session: &Session) {
    if !matches!(session.view(), View::Walk | View::Place(_)) {
        return;
    }
    let Some(open) = session.open() else { return };
    let walk = window.global::<WalkAdapter>();
    let reader = session.reader();
    let stops = session.walk();
    // What is measured next: where one stands, or else at the first stop where anything is left.
    let next = stops
        .iter()
        .filter(|state| !state.open.is_empty())
        .min_by_key(|state| state.stop != open.stop)
        .map(|state| state.stop);
    let rows = stops
        .iter()
        .map(|state| card(session, state, next == Some(state.stop)))
        .collect();
    update(walk.get_stops(), rows, |rows| walk.set_stops(rows));
    walk.set_at(number(
        Stop::ALL
            .iter()
            .position(|stop| *stop == open.stop)
            .unwrap_or(0),
    ));
    let photos = open.survey().photos.len();
    walk.set_photos(
        match photos {
            0 => reader.tr("none yet"),
            1 => reader.tr("1 in this survey"),
            count => reader.said(&Say::new("{count} in this survey").with("count", count)),
        }
        .into(),
    );
}

fn card(session: &Session, state: &StopState, strong: bool) -> WalkStop {
    let reader = session.reader();
    let label = |at: &crate::survey::FieldRef| reader.tr(fields::label_of(at.field));
    let missing = if state.open.is_empty() {
        reader.tr("Nothing missing here can still change the verdict.")
    } else {
        let named: Vec<String> = state.open.iter().take(NAMED).map(label).collect();
        let named = named.join(", ");
        match state.open.len().saturating_sub(NAMED) {
            0 => reader.said(&Say::new("Still matters: {what}").with("what", named)),
            more => reader.said(
                &Say::new("Still matters: {what} and {count} more")
                    .with("what", named)
                    .with("count", more),
            ),
        }
    };
    WalkStop {
        label: reader.tr(state.stop.label()).into(),
        measured: reader
            .said(
                &Say::new("{count} of {all} answered")
                    .with("count", state.known)
                    .with("all", state.asked),
            )
            .into(),
        count: reader
            .said(
                &Say::new("{count} of {all}")
                    .with("count", state.known)
                    .with("all", state.asked),
            )
            .into(),
        still: number(state.open.len()),
        missing: missing.into(),
        mark: if state.open.is_empty() {
            MarkKind::Tick
        } else {
            MarkKind::Open
        },
        next: state.open.first().map_or(String::new(), label).into(),
        next_key: state
            .open
            .first()
            .map_or(SharedString::new(), |at| Key::Field(*at).to_string().into()),
        strong,
    }
}
