//! The verdict, spot by spot.

use super::{from_index, index, number, update};
use crate::app::judge::{Told, Way, sign_of_verdict};
use crate::app::place::{Key, Place};
use crate::app::session::{Session, View};
use crate::app::{FindingLine, Handle, MainWindow, SpotVerdict, VerdictAdapter, WayLine, act};
use crate::survey::fields;
use slint::{ComponentHandle, SharedString};

pub fn connect(window: &MainWindow, app: &Handle) {
    let verdict = window.global::<VerdictAdapter>();
    let handle = app.clone();
    verdict.on_pick_spot(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.go_spot(at));
        }
    });
    let handle = app.clone();
    verdict.on_pick_way(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| {
                if let Some(way) = ways(session).into_iter().nth(at) {
                    session.pick_way(way);
                }
            });
        }
    });
    let handle = app.clone();
    verdict.on_go(move |key| {
        if let Some(Key::Field(at)) = Key::parse(&key) {
            act(&handle, move |session| session.go_field(at));
        }
    });
}

/// The ways of the present spot, in the order in which they are shown.
fn ways(session: &Session) -> Vec<Way> {
    let Some((open, spot)) = session
        .open()
        .and_then(|open| Some((open, open.judged.spot()?)))
    else {
        return Vec::new();
    };
    open.judged
        .ranked(spot)
        .into_iter()
        .map(|at| Way {
            fan: spot.choices[at].fan.clone(),
            framing: spot.choices[at].framing,
        })
        .collect()
}

pub fn show(window: &MainWindow, session: &Session) {
    // Beside the page in a wide window it is always up.
    if !matches!(session.view(), View::Verdict | View::Place(_)) {
        return;
    }
    let Some(open) = session.open() else { return };
    let adapter = window.global::<VerdictAdapter>();
    let reader = session.reader();

    let spots = open
        .judged
        .assessment()
        .spots
        .iter()
        .enumerate()
        .map(|(at, spot)| SpotVerdict {
            label: session.spot_title(at).into(),
            words: reader.tr(spot.verdict.label()).into(),
            detail: match (spot.settled, spot.verdict) {
                (true, _) => reader.tr("Settled: nothing left to measure can change this."),
                (false, _) => reader.tr("Open: what is still to be measured can change this."),
            }
            .into(),
            mark: sign_of_verdict(spot.verdict).into(),
        })
        .collect();
    update(adapter.get_spots(), spots, |spots| adapter.set_spots(spots));
    adapter.set_spot(number(session.spot_index()));

    let Some(spot) = open.judged.spot() else {
        return;
    };
    let order = open.judged.ranked(spot);
    let rows = order
        .iter()
        .map(|at| {
            let choice = &spot.choices[*at];
            let fan = session.fans.fans.iter().find(|fan| fan.id == choice.fan);
            WayLine {
                title: format!(
                    "{}, {}",
                    fan.map_or(choice.fan.as_str(), |fan| fan.name.as_str()),
                    reader.tr(choice.framing.label())
                )
                .into(),
                words: reader.tr(choice.verdict.label()).into(),
                mark: sign_of_verdict(choice.verdict).into(),
            }
        })
        .collect();
    update(adapter.get_ways(), rows, |rows| adapter.set_ways(rows));
    let looked = open.judged.way_index(spot);
    adapter.set_way(index(order.iter().position(|at| Some(*at) == looked)));

    let findings = open
        .judged
        .findings()
        .map(|told| finding(session, told))
        .collect();
    update(adapter.get_findings(), findings, |rows| {
        adapter.set_findings(rows)
    });
}

fn finding(session: &Session, told: &Told) -> FindingLine {
    let reader = session.reader();
    let field = told.fields.iter().find(|at| Place::of(**at).is_some());
    FindingLine {
        key: SharedString::new(),
        title: told.title.as_str().into(),
        outcome: told.outcome.as_str().into(),
        mark: told.sign.into(),
        need: told.need.as_str().into(),
        measured: told.measured.as_str().into(),
        margin: told.margin.as_str().into(),
        remedy: told.remedy.as_str().into(),
        source: told.source.as_str().into(),
        again: told.again,
        field: field.map_or(SharedString::new(), |at| Key::Field(*at).to_string().into()),
        field_label: field
            .map_or(String::new(), |at| reader.tr(fields::label_of(at.field)))
            .into(),
    }
}
