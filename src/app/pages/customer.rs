//! The page that is turned round and shown to the customer.

use super::{from_index, index, picks, update};
use crate::app::customer;
use crate::app::judge::sign_of_verdict;
use crate::app::session::{Session, View};
use crate::app::{CustomerAdapter, CustomerLine, Handle, MainWindow, act};
use crate::words::Language;
use slint::ComponentHandle;

const LANGUAGES: [Language; 2] = [Language::English, Language::Spanish];

pub fn connect(window: &MainWindow, app: &Handle) {
    let adapter = window.global::<CustomerAdapter>();
    let handle = app.clone();
    adapter.on_pick_language(move |at| {
        if let Some(language) = from_index(at).and_then(|at| LANGUAGES.get(at)) {
            act(&handle, |session| session.set_customer_language(*language));
        }
    });
}

pub fn show(window: &MainWindow, session: &Session) {
    if session.view() != View::Customer {
        return;
    }
    let Some(open) = session.open() else { return };
    let Some(spot) = open.judged.spot() else {
        return;
    };
    let Some(choice) = open.judged.way_index(spot).map(|at| &spot.choices[at]) else {
        return;
    };
    let adapter = window.global::<CustomerAdapter>();
    let reader = session.customer_reader();
    adapter.set_headline(customer::headline(choice.verdict, &reader).into());
    adapter.set_mark(sign_of_verdict(choice.verdict).into());
    let lines = customer::lines(open.judged.assessment(), spot, choice, &reader)
        .into_iter()
        .map(|line| CustomerLine {
            heading: line.heading,
            mark: line.sign.into(),
            about: line.about.into(),
            text: line.text.into(),
        })
        .collect();
    update(adapter.get_lines(), lines, |lines| adapter.set_lines(lines));
    update(
        adapter.get_languages(),
        picks(LANGUAGES.map(Language::own_name)),
        |rows| adapter.set_languages(rows),
    );
    adapter.set_language(index(
        LANGUAGES.iter().position(|it| *it == reader.language),
    ));
}
