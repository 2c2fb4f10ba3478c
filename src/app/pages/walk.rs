//! The walk through the house: every stop with its state, and the next thing to measure.

use super::{index, number, update};
use crate::app::place::{Key, StopState};
use crate::app::session::{Session, View};
use crate::app::{Handle, MainWindow, WalkAdapter, WalkStop, act};
use crate::rules::Say;
use crate::survey::{Stop, fields};
use slint::ComponentHandle;

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
    let handle = app.clone();
    walk.on_go_verdict(move || act(&handle, |session| session.go(View::Verdict)));
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
        .map(|state| row(session, state, next == Some(state.stop)))
        .collect();
    update(walk.get_stops(), rows, |rows| walk.set_stops(rows));
    walk.set_next_stop(index(Stop::ALL.iter().position(|stop| next == Some(*stop))));
    let first = stops
        .iter()
        .find(|state| next == Some(state.stop))
        .and_then(|state| Some((state.stop, *state.open.first()?)));
    let (label, place, key) = first.map_or(Default::default(), |(stop, at)| {
        let mut place = vec![reader.tr(stop.label())];
        place.extend(at.spot.map(|_| session.spot_title(session.spot_index())));
        (
            reader.tr(fields::label_of(at.field)),
            place.join(", "),
            Key::Field(at).to_string(),
        )
    });
    walk.set_next(label.into());
    walk.set_next_where(place.into());
    walk.set_next_key(key.into());
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

fn row(session: &Session, state: &StopState, strong: bool) -> WalkStop {
    let reader = session.reader();
    let told = match (state.open.len(), state.known) {
        (0, 1) => reader.tr("1 answer"),
        (0, known) => reader.said(&Say::new("{count} answers").with("count", known)),
        (still, _) => super::dock::to_go(session, still),
    };
    let measured = Say::new("{count} of {all} answered")
        .with("count", state.known)
        .with("all", state.asked);
    WalkStop {
        label: reader.tr(state.stop.label()).into(),
        measured: format!("{}. {told}", reader.said(&measured)).into(),
        told: told.into(),
        still: number(state.open.len()),
        strong,
    }
}
