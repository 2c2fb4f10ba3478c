//! Capturing with one hand: the keypad, what comes up by itself, things in the way, climbing down, taking back.

use crate::driver::{Driver, SIZES, platform};
use i_slint_backend_testing::{AccessibleLiveness, ElementHandle, ElementRoot};
use joistlight::app::KeypadAdapter;
use joistlight::app::place::{Place, RowKind};
use joistlight::app::session::{Order, Sheet, View};
use joistlight::demo;
use joistlight::measure::{Length, System};
use joistlight::store::{Settings, Store};
use joistlight::survey::{FieldRef, ItemId, Stop, Survey, Value};
use slint::platform::Key;
use slint::{ComponentHandle, Model};

fn survey(d: &Driver) -> Survey {
    d.app.session().open().expect("open").survey().clone()
}

fn spot(d: &Driver) -> ItemId {
    d.app.session().open().expect("open").spot
}

fn length(d: &Driver, at: FieldRef) -> Option<Length> {
    match d.app.session().answer(at) {
        Some(Value::Length(reading)) => Some(reading.length()),
        _ => None,
    }
}

/// What a screen reader says by itself when it changes.
fn spoken(d: &Driver) -> Vec<String> {
    let mut spoken = Vec::new();
    d.window.root_element().visit_descendants(|e| {
        if e.accessible_live_region() == Some(AccessibleLiveness::Polite) {
            spoken.extend(e.accessible_label().map(|label| label.to_string()));
        }
        std::ops::ControlFlow::<()>::Continue(())
    });
    spoken
}

/// Puts away whatever is asked.
fn put_away(d: &mut Driver) {
    while d.app.session().sheet().is_some() {
        d.press(Key::Escape);
    }
}

/// A store with the demo's survey in it.
fn with_demo(data: &std::path::Path) -> Survey {
    let store = Store::open(data).expect("a store");
    let survey = demo::survey().expect("the demo");
    store.begin(survey.clone()).expect("begun");
    store.note_open(Some(survey.id)).expect("noted");
    survey
}

#[test]
fn the_finding_changes_while_the_value_is_typed() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    with_demo(data.path());
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.go_stop(Stop::Attic);
    d.tap("Roof height at the mark");
    let said = |d: &Driver| {
        let session = d.app.session();
        session
            .finding_while_typing()
            .map(|told| (told.title, told.outcome))
    };
    // The question and the answer to it, as they stand over the keys.
    let both = |(title, outcome): &(String, String)| {
        let gap = if title.ends_with('?') { " " } else { ": " };
        format!("{title}{gap}{outcome}")
    };
    d.snapshot_sizes("keypad-asked");
    let before = said(&d).expect("a finding");
    assert!(spoken(&d).contains(&both(&before)), "{:?}", spoken(&d));
    d.tap("1");
    d.tap("9");
    let low = said(&d).expect("a finding");
    println!("before: {before:?}; 19 in: {low:?}");
    d.snapshot_sizes("keypad-finding");
    assert_ne!(before, low, "a low roof decides otherwise");
    // What is shown is in the window, as a polite live region: the words of now, and no longer those of before.
    let words = both(&low);
    assert!(d.find(&words).is_some(), "{words}");
    assert!(spoken(&d).contains(&words), "{words}: {:?}", spoken(&d));
    assert!(!spoken(&d).contains(&both(&before)), "{:?}", spoken(&d));
    // Nothing is committed by typing.
    let at = FieldRef::spot("attic.roof_height", spot(&d));
    let held = Some(Length::inches(68) + Length::sixteenths(8));
    assert_eq!(length(&d, at), held);
    d.press(Key::Escape);
    assert_eq!(length(&d, at), held);
}

#[test]
fn every_key_is_large_and_no_number_needs_another_keyboard() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("New survey");
    d.go_stop(Stop::Hall);
    d.tap("Hall length");
    for key in [
        "7",
        "0",
        "ft ′",
        "in ″",
        "/16",
        "− 1/16",
        "+ 1/16",
        "save",
        "backspace",
    ] {
        let size = d.find(key).expect(key).size();
        assert!(size.width >= 64.0 && size.height >= 64.0, "{key}: {size:?}");
    }
    let at = FieldRef::spot("hall.length", spot(&d));
    // Feet, inches and sixteenths.
    for key in ["1", "4", "ft ′", "2", "in ″", "5", "/16"] {
        d.tap(key);
    }
    d.tap("save");
    assert_eq!(
        length(&d, at),
        Some(Length::inches(14 * 12 + 2) + Length::sixteenths(5))
    );
    // The next thing that still matters came up by itself; a quarter inch is one key.
    let width = FieldRef::spot("hall.width", spot(&d));
    assert!(matches!(d.app.session().sheet(), Some(Sheet::Keys { at, .. }) if *at == width));
    d.tap("4");
    d.tap("4");
    d.snapshot_sizes("keypad-quarters");
    d.tap("take 44 1/2\"");
    assert_eq!(
        length(&d, width),
        Some(Length::inches(44) + Length::sixteenths(8))
    );
    // Millimetres on an inch tape's keys, kept as they were read.
    d.press(Key::Escape);
    d.tap("Hall width");
    // The unit may come after the figures.
    for key in ["1", "1", "3", "type in mm", "0"] {
        d.tap(key);
    }
    d.tap("save");
    match d.app.session().answer(width) {
        Some(Value::Length(reading)) => {
            assert_eq!(
                (reading.length(), reading.system()),
                (Length::mm(1130), System::Metric)
            );
        }
        other => panic!("{other:?}"),
    }
    // A step on the tape.
    d.press(Key::Escape);
    d.tap("Hall width");
    d.tap("type in in");
    d.tap("+ 1/16");
    d.tap("save");
    assert_eq!(
        length(&d, width),
        Some(Length::mm(1131)),
        "one division of what was read"
    );
    d.press(Key::Escape);
    // A date and a time come from keys too.
    d.go_stop(Stop::Arrival);
    d.tap("Date and time");
    d.tap("now");
    d.snapshot("keypad-when");
    d.tap("save");
    assert!(
        d.app
            .session()
            .answer(FieldRef::house("arrival.visited_at"))
            .is_some()
    );
}

#[test]
fn hazards_have_one_tap_for_none_of_them() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("New survey");
    d.go_stop(Stop::Arrival);
    d.tap("Animals or droppings seen: Yes");
    d.tap("Looked for all of these: None of these seen");
    let arrival = survey(&d).arrival;
    assert_eq!(
        (arrival.mould, arrival.animals),
        (Some(false), Some(true)),
        "what was said stays"
    );
    d.tap("undo the last change");
    let arrival = survey(&d).arrival;
    assert_eq!(
        (arrival.mould, arrival.animals),
        (None, Some(true)),
        "one change, taken back as one"
    );
    d.tap("redo");
    assert_eq!(survey(&d).arrival.knob_and_tube, Some(false));
}

#[test]
fn a_thing_in_the_way_is_entered_in_a_dozen_taps() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("New survey");
    d.go_stop(Stop::Attic);
    let before = d.taps;
    d.tap("Add: Thing in the way");
    d.snapshot_sizes("quick-empty");
    d.tap("Kind: Pipe");
    d.tap("Shape: Round, standing upright");
    d.tap("Seen from the spot's middle it lies: Right");
    d.snapshot_sizes("quick-keys");
    for key in ["2", "0", "save"] {
        d.tap(key);
    }
    d.tap("take 4\"");
    d.tap("take 0\"");
    for key in ["3", "0", "save"] {
        d.tap(key);
    }
    // Who could move it is asked by itself.
    d.tap("Plumber");
    println!("a thing in the way: {} taps", d.taps - before);
    assert!(d.taps - before <= 14, "{} taps", d.taps - before);
    d.snapshot_sizes("quick-done");
    let things = survey(&d)
        .spot(spot(&d))
        .expect("the spot")
        .attic
        .obstructions
        .items
        .clone();
    let inches = |reading: Option<joistlight::measure::Reading>| reading.map(|r| r.length());
    let it = &things[0];
    assert_eq!(inches(it.left), Some(Length::inches(-20)));
    assert_eq!(inches(it.ahead), Some(Length::ZERO));
    assert_eq!(inches(it.diameter), Some(Length::inches(4)));
    assert_eq!(inches(it.bottom), Some(Length::ZERO));
    assert_eq!(inches(it.top), Some(Length::inches(30)));
    // The next one like it: only where it lies.
    let before = d.taps;
    d.tap("Add another one");
    d.tap("The same kind and size as the last one");
    d.tap("Seen from the spot's middle it lies: Back");
    for key in ["9", "save"] {
        d.tap(key);
    }
    println!("another like it: {} taps", d.taps - before);
    let things = survey(&d)
        .spot(spot(&d))
        .expect("the spot")
        .attic
        .obstructions
        .items
        .clone();
    assert_eq!(things[1].kind, things[0].kind);
    assert_eq!(things[1].diameter, things[0].diameter);
    assert_eq!(inches(things[1].ahead), Some(Length::inches(-9)));
    assert_eq!(inches(things[1].left), Some(Length::ZERO));
    // Everything else stays within reach.
    d.tap("All its measurements, one by one");
    d.tap("Diameter");
    assert!(d.app.session().sheet().is_some());
}

#[test]
fn before_climbing_down_what_is_missing_is_shown_and_is_a_tap_away() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("New survey");
    let list = |d: &Driver, stop| d.app.session().left_behind(stop);
    d.tap("Hall");
    d.tap("Attic");
    let missing = list(&d, Stop::Attic);
    assert!(!missing.is_empty());
    d.tap("Hall");
    assert!(matches!(
        d.app.session().sheet(),
        Some(Sheet::Leave {
            stop: Stop::Attic,
            ..
        })
    ));
    d.snapshot_sizes("climb-down");
    // Exactly what is missing, each a tap away.
    let shown: Vec<String> = d
        .window
        .global::<KeypadAdapter>()
        .get_picks()
        .iter()
        .map(|pick| pick.label.to_string())
        .collect();
    let wanted: Vec<String> = missing.iter().map(|(_, label)| label.clone()).collect();
    assert_eq!(shown, wanted);
    assert!(
        wanted.iter().any(|label| label.starts_with("Picture: ")),
        "{wanted:?}"
    );
    d.tap("Go to: Joist spacing");
    assert!(matches!(
        d.app.session().sheet(),
        Some(Sheet::Keys { at, .. }) if at.field == "attic.joist_spacing"
    ));
    assert_eq!(d.app.session().place(), Some(Place::Stop(Stop::Attic)));
    d.press(Key::Escape);
    // A look at the verdict leaves nobody's place.
    d.tap("menu");
    d.tap("Verdict");
    assert_eq!(d.app.session().view(), View::Verdict);
    d.tap("back");
    // Climbing down all the same is one tap, and is not asked twice until one is up there again.
    d.tap("Power");
    d.tap("Leave anyway");
    assert_eq!(
        d.app.session().place(),
        Some(Place::Stop(Stop::PowerAndFlame))
    );
    d.tap("Vents");
    d.tap("Power");
    assert!(matches!(
        d.app.session().sheet(),
        Some(Sheet::Leave {
            stop: Stop::Vents,
            ..
        })
    ));
    d.tap("stay here");
    assert_eq!(d.app.session().place(), Some(Place::Stop(Stop::Vents)));
    // Nothing missing, nothing shown.
    d.tap("Vents: none there?: Looked: there are none");
    d.tap("Looked behind the vents for blockage: Yes");
    let left = list(&d, Stop::Vents);
    assert!(left.is_empty(), "{left:?}");
    d.tap("Power");
    assert_eq!(
        d.app.session().place(),
        Some(Place::Stop(Stop::PowerAndFlame))
    );
    assert_eq!(d.app.session().sheet(), None);
}

#[test]
fn the_last_value_is_the_first_to_be_taken_with_one_tap() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("New survey");
    d.go_stop(Stop::Hall);
    d.tap("Hall width");
    let offered = |d: &Driver| -> Vec<String> {
        let offers = d.window.global::<KeypadAdapter>().get_offers();
        offers.iter().map(|offer| offer.label.to_string()).collect()
    };
    let last = "44 1/2\"".to_owned();
    assert!(!offered(&d).contains(&last), "no width is usual");
    d.type_text("44 1/2");
    d.tap("save");
    put_away(&mut d);
    let first = spot(&d);
    d.tap("add a spot");
    put_away(&mut d);
    let second = spot(&d);
    assert_ne!(first, second);
    // Of the spot before, then of this one.
    let width = FieldRef::spot("hall.width", second);
    assert_eq!(length(&d, width), None);
    d.tap("Hall width");
    assert_eq!(offered(&d).first(), Some(&last));
    d.tap("take 44 1/2\"");
    assert_eq!(
        length(&d, width),
        Some(Length::inches(44) + Length::sixteenths(8))
    );
    put_away(&mut d);
    d.tap("Hall width");
    d.type_text("50");
    d.tap("save");
    put_away(&mut d);
    d.tap("Hall width");
    assert_eq!(offered(&d).first().map(String::as_str), Some("50\""));
}

#[test]
fn the_verdicts_mark_is_in_the_head_of_every_page_of_a_survey() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    with_demo(data.path());
    let mut d = Driver::open(data.path(), SIZES[1]);
    let verdict = "By the bedrooms: fits with work";
    // The page of the verdict has the same words in its list: they are spoken by the mark alone.
    let bar = |d: &Driver| {
        let there = ElementHandle::find_by_element_type_name(&d.window, "VerdictKey").next();
        there.is_some()
            && d.labels().iter().any(|label| label.contains(verdict))
            && spoken(d).iter().any(|label| label == verdict)
    };
    assert!(bar(&d), "the walk: {:?}", d.labels());
    d.tap("Hall");
    assert!(bar(&d), "a stop");
    for page in [
        "Pictures",
        "Hand over to the office",
        "Verdict",
        "Drawings",
        "First visit",
    ] {
        d.tap("menu");
        d.tap(page);
        assert!(bar(&d), "{page}: {:?}", d.labels());
        d.tap("back");
    }
    // The page of an entry has it, too.
    d.go_stop(Stop::Attic);
    let rows = d.app.session().rows();
    let entry = rows.into_iter().find(|row| row.kind == RowKind::Entry);
    d.tap(&entry.expect("an entry").label);
    assert!(matches!(d.app.session().place(), Some(Place::Item { .. })));
    assert!(bar(&d), "an entry: {:?}", d.labels());
    // One tap to why.
    d.tap("By the bedrooms: fits with work");
    assert_eq!(d.app.session().view(), View::Verdict);
}

#[test]
fn reopening_lands_on_the_same_field() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    with_demo(data.path());
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.go_stop(Stop::Attic);
    d.tap("Roof height at the mark");
    let sheet = d.app.session().sheet().cloned();
    assert!(sheet.is_some());
    drop(d);
    let d = Driver::open(data.path(), SIZES[1]);
    assert_eq!(d.app.session().sheet().cloned(), sheet);
    assert!(d.find("Roof height at the mark").is_some(), "in sight");
}

#[test]
fn deleted_surveys_come_back_after_a_restart_and_the_list_has_its_orders() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let held = with_demo(data.path());
    {
        // Handed over once, and changed since.
        let store = Store::open(data.path()).expect("a store");
        let mut open = store.survey(held.id).expect("open");
        open.next_revision().expect("a revision");
        drop(open);
        store.save_settings(&Settings::default()).expect("saved");
        store.note_open(None).expect("noted");
    }
    let mut d = Driver::open(data.path(), SIZES[1]);
    for name in ["Zoe Ash", "Bo Reed"] {
        d.tap("New survey");
        d.go_stop(Stop::Arrival);
        d.tap("Client");
        d.type_text(name);
        d.tap("back");
        d.tap("back");
    }
    let titles = |d: &Driver| {
        let session = d.app.session();
        let all = session.surveys();
        all.iter()
            .map(|facts| session.title_of(facts))
            .collect::<Vec<_>>()
    };
    d.tap("order of the surveys: By name");
    assert_eq!(titles(&d), ["Ada Invented", "Bo Reed", "Zoe Ash"]);
    d.tap("order of the surveys: To hand over");
    assert_eq!(
        titles(&d).last().map(String::as_str),
        Some("Ada Invented"),
        "it is handed over"
    );
    assert_eq!(d.app.session().order(), Order::ToHandOver);
    let line = d
        .reach("Ada Invented")
        .accessible_value()
        .expect("its detail");
    assert!(line.contains("handed over, revision 1"), "{line}");
    d.snapshot_sizes("surveys-list");
    d.tap("search the surveys");
    d.type_text("reed");
    assert_eq!(titles(&d), ["Bo Reed"]);
    for _ in 0..4 {
        d.press(Key::Backspace);
    }
    // Changed after it was handed over, it wants handing over again.
    d.tap("Ada Invented");
    d.go_stop(Stop::Arrival);
    d.tap("Children in the house: Yes");
    d.tap("back");
    d.tap("back");
    let line = d
        .reach("Ada Invented")
        .accessible_value()
        .expect("its detail");
    assert!(
        line.contains("changed since revision 1 was handed over"),
        "{line}"
    );
    d.tap("delete Ada Invented");
    d.tap("delete Zoe Ash");
    assert_eq!(titles(&d), ["Bo Reed"]);
    drop(d);
    let mut d = Driver::open(data.path(), SIZES[1]);
    assert_eq!(titles(&d), ["Bo Reed"]);
    d.tap("Deleted surveys: 2");
    d.snapshot_sizes("surveys-gone");
    d.tap("Bring back: Ada Invented");
    assert_eq!(titles(&d).len(), 2);
    d.tap("Back to the surveys");
    d.tap("Ada Invented");
    let back = survey(&d);
    assert_eq!(back.spots, held.spots);
}
