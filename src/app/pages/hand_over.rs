//! Writing the bundle.

use super::update;
use crate::app::device::Give;
use crate::app::session::{Session, View};
use crate::app::{HandOverAdapter, Handle, MainWindow, act};
use crate::rules::Say;
use slint::{ComponentHandle, SharedString};
use std::path::PathBuf;

pub fn connect(window: &MainWindow, app: &Handle) {
    let hand_over = window.global::<HandOverAdapter>();
    let handle = app.clone();
    hand_over.on_write(move |folder| {
        let folder = PathBuf::from(folder.trim());
        act(&handle, move |session| session.write_bundle(&folder));
    });
    let handle = app.clone();
    hand_over.on_share(move || act(&handle, |session| session.give_bundle(Give::Share)));
    let handle = app.clone();
    hand_over.on_copy(move || act(&handle, |session| session.give_bundle(Give::Copy)));
    let handle = app.clone();
    hand_over.on_cancel(move || act(&handle, Session::stop_bundle));
}

pub fn show(window: &MainWindow, session: &Session) {
    let adapter = window.global::<HandOverAdapter>();
    if session.view() != View::HandOver {
        // So that the page begins with the folder that was used last.
        adapter.set_folder(session.hand_over().folder.display().to_string().into());
        return;
    }
    let reader = session.reader();
    let state = session.hand_over();
    adapter.set_gives(session.abilities().give);
    adapter.set_working(state.progress.is_some());
    adapter.set_progress(state.progress.unwrap_or(0.0));
    adapter.set_trouble(state.trouble.as_str().into());
    adapter.set_written(session.written().map_or(SharedString::new(), |path| {
        reader
            .said(&Say::new("Written: {file}").with("file", path.display().to_string()))
            .into()
    }));
    let Some(open) = session.open() else { return };
    let mut ends: Vec<SharedString> = Vec::new();
    match open.judged.still() {
        0 => {}
        1 => ends.push(reader.tr("1 answer still matters at this spot.").into()),
        count => ends.push(
            reader
                .said(&Say::new("{count} answers still matter at this spot.").with("count", count))
                .into(),
        ),
    }
    let arrival = &open.survey().arrival;
    if [&arrival.job_reference, &arrival.client, &arrival.address]
        .iter()
        .all(|words| words.is_none())
    {
        let said = "Neither reference nor client nor address is written: the office cannot tell whose house it is.";
        ends.push(reader.tr(said).into());
    }
    if open.survey().photos.is_empty() {
        ends.push(reader.tr("There is no picture yet.").into());
    }
    update(adapter.get_open_ends(), ends, |ends| {
        adapter.set_open_ends(ends)
    });
}
