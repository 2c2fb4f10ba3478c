//! The keyboard alone suffices, also after what had its focus went away.

use crate::driver::{DeskDriver, Driver, SIZES, platform};
use joistlight::app::desk;
use joistlight::app::place::Place;
use joistlight::app::session::View;
use joistlight::bundle;
use joistlight::measure::Tape;
use joistlight::office::intake;
use joistlight::office::register::{Location, Register};
use joistlight::rules;
use joistlight::store::Store;
use joistlight::survey::{Stop, Survey, Ways, When};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::words::Language;
use slint::platform::{Key, WindowEvent};
use slint::{ComponentHandle, SharedString};
use std::path::Path;
use std::sync::atomic::AtomicBool;

/// Presses a key while another is held.
fn chord(window: &slint::Window, held: Key, key: &str) {
    let held = SharedString::from(held);
    let key = SharedString::from(key);
    window.dispatch_event(WindowEvent::KeyPressed { text: held.clone() });
    window.dispatch_event(WindowEvent::KeyPressed { text: key.clone() });
    window.dispatch_event(WindowEvent::KeyReleased { text: key });
    window.dispatch_event(WindowEvent::KeyReleased { text: held });
}

/// Goes to a stop by its number, and stands there.
fn by_number(d: &Driver, key: &str, stop: Stop) {
    chord(d.window.window(), Key::Alt, key);
    d.settle();
    assert_eq!(
        d.app.session().view(),
        View::Place(Place::Stop(stop)),
        "Alt+{key}"
    );
}

#[test]
fn the_stops_are_heard_by_their_numbers_whatever_was_up_before() {
    platform();
    for size in SIZES {
        let data = tempfile::tempdir().expect("a folder");
        let mut d = Driver::open(data.path(), size);
        // A window that was just opened has the focus: Tab and Return begin a survey.
        d.press(Key::Tab);
        d.press(Key::Tab);
        d.press(Key::Return);
        assert_eq!(d.app.session().view(), View::Walk, "{size:?}");
        by_number(&d, "2", Stop::Hall);
        d.tap("Hall length");
        d.press(Key::Escape);
        assert!(d.app.session().sheet().is_none());
        by_number(&d, "1", Stop::Arrival);
        // A list over the foot, put away.
        d.tap("menu");
        d.press(Key::Escape);
        by_number(&d, "4", Stop::Vents);
        // A page of its own, and back.
        d.tap("menu");
        d.tap("Verdict");
        d.press(Key::Escape);
        d.press(Key::Escape);
        assert_eq!(d.app.session().view(), View::Walk, "{size:?}");
    }
}

fn now() -> When {
    "2026-06-03T09:00:00-07:00".parse().expect("a moment")
}

/// A register with this many surveys.
fn fill(data: &Path, count: u128) {
    let store = Store::open(&data.join("phone")).expect("a store");
    let mut bundles = Vec::new();
    for number in 0..count {
        let mut survey = Survey::begin(uuid::Uuid::from_u128(50 + number), now(), Tape::default());
        survey.arrival.job_reference = Some(format!("J-{number:03}"));
        let mut open = store.begin(survey).expect("begun");
        open.next_revision().expect("a revision");
        let assessment = rules::assess(open.survey(), fan::generic(), &Codes::default());
        let contents = bundle::Contents {
            survey: open.survey(),
            assessment: &assessment,
            fans: fan::generic(),
            pictures: open.folder(),
            ways: Ways::default(),
            language: Language::English,
        };
        let path = bundle::write(&contents, data, bundle::Watch::default()).expect("a bundle");
        bundles.push(path);
    }
    let location = Location::Folder(data.join("register"));
    let mut register = Register::open(&location).expect("a register");
    intake::take_in(
        &mut register,
        &bundles,
        &AtomicBool::new(false),
        &mut |_| {},
    )
    .expect("an intake");
}

#[test]
fn the_offices_list_is_walked_searched_and_opened_by_keys() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    fill(data.path(), 5);
    let mut d = DeskDriver::open_desk(data.path(), "C", SIZES[2]);
    let line = |d: &DeskDriver| d.app.desk().list().current;
    assert_eq!(line(&d), 0);
    d.press(Key::DownArrow);
    d.press(Key::DownArrow);
    assert_eq!(line(&d), 2, "without a tap into the list");
    d.press(Key::UpArrow);
    assert_eq!(line(&d), 1);
    d.press(Key::End);
    assert_eq!(line(&d), 4);
    d.press(Key::Home);
    assert_eq!(line(&d), 0);
    d.press(Key::PageDown);
    assert_eq!(line(&d), 4);
    d.press(Key::PageUp);
    assert_eq!(line(&d), 0);
    d.press(Key::DownArrow);
    d.press(Key::Return);
    assert_eq!(d.app.desk().view(), desk::View::Survey);
    d.press(Key::Escape);
    assert_eq!(d.app.desk().view(), desk::View::List);
    assert_eq!(line(&d), 1, "where it was");
    // To the search from anywhere.
    for page in ["1", "2", "3"] {
        chord(d.window.window(), Key::Control, page);
        d.settle();
        chord(d.window.window(), Key::Control, "f");
        d.settle();
        assert_eq!(d.app.desk().view(), desk::View::List);
        d.type_text("j-003");
        let jobs: Vec<String> = {
            let desk = d.app.desk();
            let lines = desk.list().page.lines.iter();
            lines.map(|line| line.job.clone()).collect()
        };
        assert_eq!(jobs, ["J-003"], "from page {page}");
        for _ in 0..5 {
            d.press(Key::Backspace);
        }
    }
}
