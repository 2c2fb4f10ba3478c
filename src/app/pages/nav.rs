//! The bar above, the notice at the foot, and which page is up.

use crate::app::session::{Session, View};
use crate::app::{Handle, MainWindow, NavAdapter, Page, act_now as act};
use slint::ComponentHandle;

pub fn connect(window: &MainWindow, app: &Handle) {
    let nav = window.global::<NavAdapter>();
    let handle = app.clone();
    nav.on_back(move || act(&handle, Session::go_back));
    let handle = app.clone();
    nav.on_menu(move || act(&handle, Session::open_menu));
    let handle = app.clone();
    nav.on_undo(move || act(&handle, Session::undo));
    let handle = app.clone();
    nav.on_redo(move || act(&handle, Session::redo));
    let handle = app.clone();
    nav.on_undo_change(move || act(&handle, Session::undo_change));
    let handle = app.clone();
    nav.on_dismiss_notice(move || act(&handle, Session::dismiss_notice));
}

pub fn show(window: &MainWindow, session: &Session) {
    let nav = window.global::<NavAdapter>();
    let reader = session.reader();
    let (page, title) = match session.view() {
        View::Surveys => (Page::Surveys, reader.tr("Surveys")),
        View::Walk => (Page::Walk, reader.tr("Walk through the house")),
        View::Place(place) => (
            Page::Place,
            session.open().map_or(String::new(), |open| {
                place.title(open.survey(), open.spot, &reader)
            }),
        ),
        View::Verdict => (Page::Verdict, reader.tr("Verdict")),
        View::FirstVisit => (Page::FirstVisit, reader.tr("First visit")),
        View::Customer => (
            Page::Customer,
            session.customer_reader().tr("For the customer"),
        ),
        View::Drawing => (Page::Drawing, reader.tr("Drawings")),
        View::Photos => (Page::Photos, reader.tr("Pictures")),
        View::HandOver => (Page::HandOver, reader.tr("Hand over to the office")),
        View::Settings => (Page::Settings, reader.tr("Settings")),
        View::About => (Page::About, reader.tr("About joistlight")),
    };
    nav.set_page(page);
    nav.set_title(title.into());
    nav.set_survey(session.survey_title().into());
    nav.set_can_go_back(session.can_go_back());
    nav.set_back_leaves(!session.can_go_back() && session.sheet().is_none());
    nav.set_notice(
        session
            .notice()
            .map_or(String::new(), |notice| notice.text.clone())
            .into(),
    );
    nav.set_can_undo(session.notice_has_undo());
    let (undo, redo) = session.history();
    nav.set_has_undo(undo);
    nav.set_has_redo(redo);
}
