//! One adapter a page. `connect` joins a page's callbacks to the session; `show` puts the session on it.

mod about;
mod bar;
mod customer;
mod dock;
mod drawing;
mod first_visit;
mod hand_over;
mod keypad;
mod nav;
mod photos;
mod place;
mod settings;
mod surveys;
mod verdict;
mod walk;

use super::place::{Key, Place, Sign};
use super::session::Session;
use super::{Handle, MainWindow, MarkKind, Pick};
use crate::survey::ItemId;
use slint::{Image, Model, ModelRc, SharedString, VecModel};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// What the pages remember of what they last showed.
#[derive(Default)]
pub struct Shown {
    place: Option<(Place, ItemId)>,
    /// The answers of the place that was shown last, to tell which of them was given since.
    answers: Option<((Place, ItemId), Vec<(Key, String)>)>,
    thumbnails: BTreeMap<String, Image>,
    pub(super) drawings: Rc<RefCell<drawing::Drawings>>,
}

/// Joins every page to the session.
pub(super) fn connect(
    window: &MainWindow,
    app: &Handle,
    drawings: &Rc<RefCell<drawing::Drawings>>,
) {
    drawing::connect(window, app, drawings);
    nav::connect(window, app);
    surveys::connect(window, app);
    place::connect(window, app);
    dock::connect(window, app);
    walk::connect(window, app);
    bar::connect(window, app);
    keypad::connect(window, app);
    verdict::connect(window, app);
    first_visit::connect(window, app);
    customer::connect(window, app);
    photos::connect(window, app);
    hand_over::connect(window, app);
    settings::connect(window, app);
    about::connect(window, app);
}

/// Puts the session on every page.
pub fn show(window: &MainWindow, session: &mut Session, shown: &mut Shown) {
    settings::show(window, session);
    nav::show(window, session);
    surveys::show(window, session);
    place::show_spots(window, session);
    place::show(window, session, shown);
    walk::show(window, session);
    bar::show(window, session);
    keypad::show(window, session);
    drawing::show(window, session, shown);
    first_visit::show(window, session);
    customer::show(window, session);
    verdict::show(window, session);
    photos::show(window, session, shown);
    hand_over::show(window, session);
}

impl From<Sign> for MarkKind {
    fn from(sign: Sign) -> Self {
        match sign {
            Sign::None => MarkKind::None,
            Sign::Holds => MarkKind::Holds,
            Sign::Work => MarkKind::Work,
            Sign::Fails => MarkKind::Fails,
            Sign::Open => MarkKind::Open,
            Sign::Caution => MarkKind::Caution,
        }
    }
}

pub(super) fn number(n: usize) -> i32 {
    i32::try_from(n).unwrap_or(i32::MAX)
}

pub(super) fn index(n: Option<usize>) -> i32 {
    n.map_or(-1, number)
}

pub(super) fn from_index(n: i32) -> Option<usize> {
    usize::try_from(n).ok()
}

pub(super) fn picks(labels: impl IntoIterator<Item = impl Into<SharedString>>) -> Vec<Pick> {
    labels
        .into_iter()
        .map(|label| Pick {
            key: SharedString::new(),
            label: label.into(),
        })
        .collect()
}

/// A model with these rows.
pub(super) fn model<T: Clone + 'static>(rows: Vec<T>) -> ModelRc<T> {
    ModelRc::new(VecModel::from(rows))
}

/// The model that is shown, changed into these rows; only rows that differ are drawn again.
pub(super) fn update<T: Clone + PartialEq + 'static>(
    shown: ModelRc<T>,
    rows: Vec<T>,
    set: impl FnOnce(ModelRc<T>),
) {
    let Some(held) = shown.as_any().downcast_ref::<VecModel<T>>() else {
        set(model(rows));
        return;
    };
    let common = held.row_count().min(rows.len());
    while held.row_count() > rows.len() {
        held.remove(held.row_count() - 1);
    }
    for (at, row) in rows.into_iter().enumerate() {
        if at >= common {
            held.push(row);
        } else if held.row_data(at).as_ref() != Some(&row) {
            held.set_row_data(at, row);
        }
    }
}
