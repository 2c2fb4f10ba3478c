//! The pictures.

use crate::app::session::{Session, View};
use crate::app::{Handle, MainWindow, PhotosAdapter, act};
use slint::ComponentHandle;

pub fn connect(window: &MainWindow, app: &Handle) {
    let photos = window.global::<PhotosAdapter>();
    let handle = app.clone();
    photos.on_choose_subject(move || act(&handle, Session::open_subjects));
}

pub fn show(window: &MainWindow, session: &Session) {
    if session.view() != View::Photos {
        return;
    }
    let photos = window.global::<PhotosAdapter>();
    photos.set_subject(session.reader().tr(session.subject().label()).into());
}
