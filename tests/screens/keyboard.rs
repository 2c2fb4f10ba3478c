//! The keyboard alone suffices, also after what had its focus went away.

use crate::driver::{DeskDriver, Driver, SIZES, platform};
use joistlight::app::desk;
use joistlight::app::place::Place;
use joistlight::app::session::{Sheet, View};
use joistlight::bundle;
use joistlight::measure::{Length, Reading, Tape};
use joistlight::office::intake;
use joistlight::office::register::{Location, Register};
use joistlight::rules;
use joistlight::store::Store;
use joistlight::survey::{
    FieldRef, Kind, Mover, ObstructionKind, Shape, Stop, Survey, Value, Ways, When, fields,
};
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

/// An entry of a list is begun, left and begun again: its rows are others than those that had the focus.
#[test]
fn tab_goes_on_at_the_first_field_of_what_was_added() {
    platform();
    for size in SIZES {
        let data = tempfile::tempdir().expect("a folder");
        let mut d = Driver::open(data.path(), size);
        d.tab_to("New survey");
        d.press(Key::Return);
        by_number(&d, "3", Stop::Attic);
        for first in ["Kind: Duct", "The same kind and size as the last one"] {
            d.tab_to("Add: Thing in the way");
            d.press(Key::Return);
            d.press(Key::Tab);
            assert_eq!(d.focused().as_deref(), Some(first), "{size:?}");
            d.press(Key::Escape);
            assert_eq!(
                d.app.session().view(),
                View::Place(Place::Stop(Stop::Attic)),
                "{size:?}"
            );
        }
        assert_eq!(d.taps, 0, "by keys alone");
    }
}

/// What is typed, or the words of the answer that is picked, where the keyboard is all there is.
const TYPED: &[(&str, &str)] = &[
    ("hall.length", "14' 2"),
    ("hall.width", "44 1/2"),
    ("hall.ceiling_height", "8'"),
    ("hall.ceiling_thickness", "5/8"),
    ("hall.ceiling_material", "Plaster on lath"),
    ("hall.mark_from_start", "7' 1"),
    ("hall.mark_from_left", "22 1/4"),
    ("hall.switch_place", "Top of the stairs"),
    ("hall.switch_height", "48"),
    ("hall.box_volume", "22.5"),
    ("hall.fixtures.complete", "Looked: there are none"),
    ("hall.rooms.complete", "Looked: there are none"),
    ("hall.box_contents.complete", "Looked: there are none"),
    ("obstruction.left", "20"),
    ("obstruction.diameter", "4"),
    ("obstruction.bottom", "0"),
    ("obstruction.top", "30"),
    ("obstruction.mover", "Plumber"),
];

/// Answers by the keys of a keyboard whatever comes up, until nothing does; which answers that were.
fn answer_by_keys(d: &mut Driver) -> Vec<FieldRef> {
    let mut given = Vec::new();
    loop {
        let sheet = d.app.session().sheet().cloned();
        let (at, keypad) = match &sheet {
            None => return given,
            Some(Sheet::Keys { at, .. }) => (*at, true),
            Some(Sheet::Picks { at }) => (*at, false),
            Some(other) => panic!("{other:?}"),
        };
        assert!(!given.contains(&at), "{at:?} was not taken: {}", d.notice());
        given.push(at);
        let (_, typed) = TYPED
            .iter()
            .find(|(field, _)| *field == at.field)
            .unwrap_or_else(|| panic!("{at:?} was not to be asked"));
        if keypad {
            d.type_text(typed);
            // On to the next question.
            d.press(Key::Tab);
            continue;
        }
        let picks = d.app.session().picks_for(at);
        let option = picks.iter().position(|(_, label)| label == typed);
        let option = option.unwrap_or_else(|| panic!("“{typed}” among {picks:?}"));
        if at.field == "hall.ceiling_material" {
            // By the arrows: the first press marks the line that one stands on.
            for _ in 0..=option {
                d.press(Key::DownArrow);
            }
            d.press(Key::Return);
        } else {
            // By its number.
            d.type_text(&(option + 1).to_string());
        }
    }
}

#[test]
fn a_stop_and_a_thing_in_the_way_are_entered_by_the_keyboard_alone_in_a_wide_window() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[2]);
    d.tab_to("New survey");
    d.press(Key::Return);
    assert_eq!(d.app.session().view(), View::Walk);
    let spot = d.app.session().open().expect("open").spot;

    // The hall: its name in the system's keyboard, the rest one question after the other.
    by_number(&d, "2", Stop::Hall);
    d.tab_to("Name of the spot");
    d.type_text("Upper landing");
    d.tab_to("Hall length");
    // A figure opens the keys and is the first that is typed.
    d.type_text("14' 2");
    d.press(Key::Tab);
    let given = answer_by_keys(&mut d);
    assert!(given.contains(&FieldRef::spot("hall.box_volume", spot)));
    for (field, typed) in TYPED.iter().filter(|(field, _)| field.starts_with("hall.")) {
        let at = FieldRef::spot(field, spot);
        let wanted = match fields::kind_of(at.field).expect("a kind") {
            Kind::Complete => Some(Value::YesNo(true)),
            Kind::Choice(words) => {
                let word = words.iter().find(|word| word.label == *typed);
                word.map(|word| Value::Choice(word.code))
            }
            kind => kind.parse(typed, &Ways::default()).expect("an answer"),
        };
        assert!(wanted.is_some(), "{field}");
        assert_eq!(d.app.session().answer(at), wanted, "{field}");
    }
    let name = FieldRef::spot(fields::SPOT_NAME.id, spot);
    assert_eq!(
        d.app.session().answer(name),
        Some(Value::Text("Upper landing".to_owned()))
    );
    let walk = d.app.session().walk();
    let hall = walk.iter().find(|it| it.stop == Stop::Hall).expect("it");
    assert_eq!((hall.known, hall.open.len()), (hall.asked, 0), "all of it");

    // A thing in the way, on its one sheet.
    by_number(&d, "3", Stop::Attic);
    d.tab_to("Add: Thing in the way");
    d.press(Key::Return);
    d.tab_to("Kind: Pipe");
    d.type_text(" ");
    d.tab_to("Shape: Round, standing upright");
    d.press(Key::Return);
    d.tab_to("Seen from the spot's middle it lies: Right");
    d.press(Key::Return);
    let given = answer_by_keys(&mut d);
    assert_eq!(given.len(), 5, "{given:?}");
    d.snapshot("keyboard-alone");
    let things = {
        let session = d.app.session();
        let survey = session.open().expect("open").survey();
        survey.spots[0].attic.obstructions.items.clone()
    };
    let [it] = &things[..] else {
        panic!("{things:?}");
    };
    assert_eq!(
        (it.kind, it.shape, it.mover),
        (
            Some(ObstructionKind::Pipe),
            Some(Shape::Upright),
            Some(Mover::Plumber)
        )
    );
    let inches = |reading: Option<Reading>| reading.map(|it| it.length());
    for (held, wanted) in [
        (it.left, -20),
        (it.ahead, 0),
        (it.diameter, 4),
        (it.bottom, 0),
        (it.top, 30),
    ] {
        assert_eq!(inches(held), Some(Length::inches(wanted)), "{it:?}");
    }

    // What it comes to, and back.
    d.tab_to("menu");
    d.press(Key::Return);
    d.type_text("1");
    assert_eq!(d.app.session().view(), View::Verdict);
    d.press(Key::Escape);
    assert!(matches!(
        d.app.session().view(),
        View::Place(Place::Item { .. })
    ));
    assert_eq!(d.taps, 0, "by keys alone");
    println!("a stop and a thing in the way: {} keys", d.keys);
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
