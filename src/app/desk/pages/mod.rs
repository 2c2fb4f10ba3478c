//! One adapter a page of the office's window: `connect` joins its callbacks to the desk, `show` puts the desk on it.

mod again;
mod bar;
mod intake;
mod list;
mod survey;

use super::{Desk, Handle};
use crate::app::pages::{from_index, index, model, number, picks, update};
use crate::app::{DeskWindow, Pick};
use slint::{Model, ModelRc};

/// Joins every page to the desk.
pub fn connect(window: &DeskWindow, app: &Handle) {
    bar::connect(window, app);
    list::connect(window, app);
    intake::connect(window, app);
    survey::connect(window, app);
    again::connect(window, app);
}

/// Puts the desk on the page that is up.
pub fn show(window: &DeskWindow, desk: &Desk) {
    bar::show(window, desk);
    list::show(window, desk);
    intake::show(window, desk);
    survey::show(window, desk);
    again::show(window, desk);
}

/// Answers to pick from, changed only where they are other ones.
fn put_picks(
    shown: ModelRc<Pick>,
    labels: impl IntoIterator<Item = String>,
    set: impl FnOnce(ModelRc<Pick>),
) {
    let rows = picks(labels);
    if shown.row_count() != rows.len() {
        set(model(rows));
    } else {
        update(shown, rows, set);
    }
}

/// Connects a callback of an adapter to something that is done at the desk.
macro_rules! on {
    ($adapter:expr, $app:expr, $on:ident, |$desk:ident $(, $argument:ident : $kind:ty)*| $does:expr) => {
        let handle = $app.clone();
        $adapter.$on(move |$($argument: $kind),*| {
            crate::app::desk::act(&handle, move |$desk| {
                $does;
            })
        });
    };
}
use on;
