//! One invented house, entered through the real screens by taps and typed keys alone.

use crate::driver::{Driver, SIZES, platform};
use joistlight::bundle::{Bundle, Watch};
use joistlight::office::intake::{self, IntakeOutcome, Sum};
use joistlight::office::register::{Location, Register};
use joistlight::survey::fields::{self, ListEntry};
use joistlight::survey::{FieldRef, ItemId, Kind, Slot, Stop, Subject, Survey, Ways, range};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::AtomicBool;

/// What is typed or picked, where the house asks for more than any answer of the kind. Keys of a list's
/// entries have the entry's number behind them.
const HOUSE: &[(&str, &str)] = &[
    ("arrival.job_reference", "J-0417"),
    ("arrival.client", "Ash Fenwick"),
    ("arrival.address", "12 Meadow Lane, Larkmoor"),
    ("arrival.surveyor", "R. Tamm"),
    ("arrival.visited_at", "2026-05-04 09:05"),
    ("arrival.year_built", "1962"),
    ("arrival.private_attic", "yes"),
    ("arrival.altitude", "350 ft"),
    ("arrival.climate_zone", "12"),
    ("arrival.outdoor_temperature", "91"),
    ("arrival.attic_temperature", "128"),
    ("arrival.attic_humidity", "22"),
    ("spot.name", "Landing"),
    ("storey.name#0", "Ground floor"),
    ("storey.floor_area#0", "1180"),
    ("hall.length", "16' 4\""),
    ("hall.width", "3' 6\""),
    ("hall.ceiling_height", "8'"),
    ("hall.ceiling_thickness", "5/8"),
    ("hall.switch_place", "By the bathroom door"),
    ("hall.box_volume", "22.5"),
    ("fixture.kind#0", "smoke alarm"),
    ("fixture.left#0", "-1' 2\""),
    ("room.name#0", "Bedroom, front"),
    ("room.name#1", "Bathroom"),
    ("box.count#0", "4"),
    ("attic.framing", "sawn joists"),
    ("attic.nominal_size", "2x8"),
    ("attic.joist_spacing", "24"),
    ("attic.roof_slope", "5"),
    ("attic.attic_floor_area", "1240 ft²"),
    ("obstruction.kind#0", "duct"),
    ("obstruction.shape#0", "run"),
    ("obstruction.kind#1", "brace"),
    ("obstruction.shape#1", "box"),
    ("obstruction.kind#2", "flue"),
    ("obstruction.shape#2", "upright"),
    ("vent.kind#0", "under-eave"),
    ("vent.count#0", "14"),
    ("vent.blocked#0", "25"),
    ("vent.kind#1", "round"),
    ("vent.kind#2", "ridge"),
    ("power.voltage", "121.5"),
    ("power.breaker", "15"),
    ("power.bundled_wires", "3"),
    ("flame.openable_window_area", "48"),
    ("room.door#0", "shut"),
    ("window.room#0", "Bathroom"),
    ("exhaust.marked#0", "no"),
    ("appliance.heat_input#0", "40000"),
    ("wrap_up.notes", "Ladder at the side door."),
];

/// How many entries each list gets.
fn entries(list: &str) -> usize {
    match list {
        "attic.obstructions" | "vents.vents" => 3,
        "hall.rooms" => 2,
        _ => 1,
    }
}

/// What was typed into the survey.
struct Entered {
    typed: BTreeMap<FieldRef, String>,
    /// Makes answers of one kind differ from each other.
    turn: usize,
}

impl Entered {
    fn text(&mut self, slot: &Slot, number: Option<usize>) -> String {
        let wanted = match number {
            Some(number) => format!("{}#{number}", slot.id),
            None => slot.id.to_owned(),
        };
        if let Some((_, text)) = HOUSE.iter().find(|(id, _)| *id == wanted) {
            return (*text).to_owned();
        }
        self.turn += 1;
        let turn = self.turn;
        // What cannot be at all is refused; then another is tried.
        let possible = |text: &String| {
            let value = slot.kind.parse(text, &Ways::default()).ok().flatten();
            let doubt = value.and_then(|it| range::of(slot.id)?.doubt(&it));
            !doubt.is_some_and(|it| it.is_impossible())
        };
        std::iter::once(turn)
            .chain(0..400)
            .map(|turn| typed(slot, turn))
            .find(possible)
            .unwrap_or_else(|| panic!("{}: nothing that is tried is possible", slot.id))
    }
}

/// An answer of this kind, another one each time.
fn typed(slot: &Slot, turn: usize) -> String {
    match slot.kind {
        Kind::Length => format!("{} {}/16\"", 1 + turn, 1 + 2 * (turn % 8)),
        Kind::Offset if turn.is_multiple_of(2) => format!("-{}\"", 3 + turn),
        Kind::Offset => format!("{}\"", 3 + turn),
        Kind::Area => format!("{} in²", 40 + turn),
        Kind::Count { least, .. } => (least as usize + turn % 7).to_string(),
        Kind::Choice(words) => words[turn % words.len()].code.to_owned(),
        Kind::YesNo | Kind::Complete => {
            if turn.is_multiple_of(2) { "yes" } else { "no" }.to_owned()
        }
        Kind::Text => format!("Words number {turn}"),
        Kind::When => "2026-05-04 10:30".to_owned(),
        Kind::Temperature => format!("{} °F", 60 + turn),
        Kind::Pitch => "6:12".to_owned(),
        Kind::HeatRate => format!("{} Btu/h", 30_000 + 100 * turn),
        Kind::BoxVolume => format!("{} in³", 12 + turn),
        _ => (10 + turn % 80).to_string(),
    }
}

/// Answers one row of the page that is up.
fn answer(d: &mut Driver, slot: &Slot, text: &str, by_taps: bool) {
    // This test takes the rows one by one: what comes up by itself is put away.
    if d.app.session().sheet().is_some() {
        d.press(slint::platform::Key::Escape);
    }
    match slot.kind {
        Kind::YesNo => {
            let word = if text == "yes" { "Yes" } else { "No" };
            d.tap(&format!("{}: {word}", slot.label));
        }
        Kind::Choice(words) => {
            let word = words
                .iter()
                .find(|w| w.code == text)
                .expect("a word of the list");
            let beside = format!("{}: {}", slot.label, word.label);
            if stand_side_by_side(words) {
                d.tap(&beside);
            } else {
                d.tap(slot.label);
                d.tap(word.label);
            }
        }
        Kind::Text => {
            d.tap(slot.label);
            d.type_text(text);
        }
        _ => {
            d.tap(slot.label);
            if by_taps && (!text.contains('/') || text.ends_with("/16\"")) {
                tap_out(d, text);
            } else {
                d.type_text(text);
            }
            d.tap("done");
        }
    }
}

/// Whether the answers stand in the row itself.
pub fn stand_side_by_side(words: &[joistlight::survey::Word]) -> bool {
    words.len() <= 3
        && words
            .iter()
            .map(|word| word.label.chars().count())
            .sum::<usize>()
            <= 36
}

/// Types a length on the keypad itself.
fn tap_out(d: &mut Driver, text: &str) {
    let (sign, body) = match text.strip_prefix('-') {
        Some(body) => (true, body),
        None => (false, text),
    };
    // `16' 4"`, `12 5/16"`: the marks are keys of their own.
    for part in body.split(' ') {
        if let Some(sixteenths) = part.strip_suffix("/16\"") {
            if body.contains(' ') && !body.contains('\'') {
                d.tap("in ″");
            }
            digits(d, sixteenths);
            d.tap("/16");
        } else if let Some(feet) = part.strip_suffix('\'') {
            digits(d, feet);
            d.tap("ft ′");
        } else if let Some(inches) = part.strip_suffix('"') {
            digits(d, inches);
            d.tap("in ″");
        } else {
            digits(d, part);
        }
    }
    if sign {
        d.tap("turn the sign");
    }
}

fn digits(d: &mut Driver, text: &str) {
    for c in text.chars() {
        d.tap(&c.to_string());
    }
}

fn survey(d: &Driver) -> Survey {
    d.app
        .session()
        .open()
        .expect("a survey is open")
        .survey()
        .clone()
}

fn fill_list(d: &mut Driver, list: &'static ListEntry, spot: ItemId, entered: &mut Entered) {
    let owner = list.of_spot.then_some(spot);
    for number in 0..entries(list.id) {
        d.tap(&format!("Add: {}", list.one));
        if d.app.session().sheet().is_some() {
            d.press(slint::platform::Key::Escape);
        }
        if d.find("Seen from the spot's middle it lies: Ahead")
            .is_some()
        {
            d.tap("All its measurements, one by one");
        }
        let held = survey(d);
        let ids = held.list(list.id, owner).expect("the list").ids();
        let item = *ids
            .get(number)
            .unwrap_or_else(|| panic!("no new {}; at the foot: “{}”", list.one, d.notice()));
        for slot in list.slots {
            // Sizes that the shape does not have are not asked.
            if d.look_for(slot.label).is_none()
                && d.look_for(&format!("{}: Yes", slot.label)).is_none()
                && !matches!(slot.kind, Kind::Choice(_))
            {
                continue;
            }
            let text = entered.text(slot, Some(number));
            answer(
                d,
                slot,
                &text,
                matches!(slot.kind, Kind::Length | Kind::Offset),
            );
            let at = FieldRef {
                field: slot.id,
                spot: owner,
                item: Some(item),
            };
            entered.typed.insert(at, text);
        }
        if number == 0 {
            d.snapshot(&format!("entry-{}", list.id));
        }
        if d.app.session().sheet().is_some() {
            d.press(slint::platform::Key::Escape);
        }
        d.go_up(list.stop);
    }
    d.tap(&format!(
        "{}: is that all?: That is all of them",
        list.label
    ));
    let at = FieldRef {
        field: list.complete,
        spot: owner,
        item: None,
    };
    entered.typed.insert(at, "yes".to_owned());
}

#[test]
fn a_house_is_entered_by_taps_and_keys_from_an_empty_store_to_a_bundle() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.snapshot_sizes("surveys-empty");
    d.tap("Begin a survey");
    let spot = survey(&d).spots[0].id;
    let mut entered = Entered {
        typed: BTreeMap::new(),
        turn: 0,
    };
    for stop in Stop::ALL {
        d.go_stop(*stop);
        d.snapshot_sizes(&format!("stop-{}", stop.code().replace(' ', "-")));
        if *stop == Stop::Hall {
            let at = FieldRef::spot(fields::SPOT_NAME.id, spot);
            let text = entered.text(&fields::SPOT_NAME, None);
            answer(&mut d, &fields::SPOT_NAME, &text, false);
            entered.typed.insert(at, text);
        }
        for (_, of_spot, slots) in fields::SECTIONS.iter().filter(|(at, ..)| at == stop) {
            for slot in *slots {
                let text = entered.text(slot, None);
                answer(&mut d, slot, &text, slot.kind == Kind::Length);
                let at = FieldRef {
                    field: slot.id,
                    spot: of_spot.then_some(spot),
                    item: None,
                };
                entered.typed.insert(at, text);
            }
        }
        for list in fields::LISTS.iter().filter(|list| list.stop == *stop) {
            fill_list(&mut d, list, spot, &mut entered);
        }
        d.snapshot_sizes(&format!("stop-{}-answered", stop.code().replace(' ', "-")));
    }
    let held = survey(&d);
    compare(&held, &entered);
    println!(
        "{} facts by {} taps and {} keys: {:.2} a fact",
        entered.typed.len(),
        d.taps,
        d.keys,
        (d.taps + d.keys) as f64 / entered.typed.len() as f64
    );
    d.tap("menu");
    d.snapshot_sizes("menu");
    d.tap("Verdict");
    d.snapshot_sizes("verdict");
    d.tap("back");

    // A picture of the roof over the spot, from a file.
    let file = data.path().join("roof.png");
    image::RgbImage::from_fn(640, 480, |x, y| {
        image::Rgb([(x / 3) as u8, (y / 2) as u8, 90])
    })
    .save(&file)
    .expect("a picture");
    d.go_stop(Stop::Attic);
    d.tap("Pictures");
    d.snapshot_sizes("photos-empty");
    d.tap("what the picture shows");
    d.tap("Roof over the spot");
    d.tap("picture file");
    d.type_text(file.to_str().expect("plain"));
    d.tap("Take it in");
    d.wait("the picture", |d| survey(d).photos.len() == 1);
    d.wait("its thumbnail", |d| {
        d.app
            .session()
            .photos()
            .thumbnails
            .values()
            .all(Option::is_some)
    });
    d.snapshot_sizes("photos");
    d.tap("picture of Roof over the spot");
    d.wait("the large picture", |d| {
        d.app.session().photos().look.is_some()
    });
    d.snapshot_sizes("photo-large");
    d.tap("close the picture");

    d.tap("menu");
    d.tap("Hand over to the office");
    // Pictures are missing in the attic.
    d.tap("Climb down all the same");
    d.snapshot_sizes("hand-over");
    d.tap("Write the bundle");
    d.wait("the bundle", |d| d.app.session().written().is_some());
    d.snapshot_sizes("hand-over-written");
    let path = d.app.session().written().expect("written").to_owned();

    let mut bundle = Bundle::open(&path).expect("a bundle");
    bundle.verify(Watch::default()).expect("whole");
    let told = bundle.survey().clone();
    compare(&told, &entered);
    assert_eq!(told, survey(&d));
    let photo = &told.photos[0];
    assert_eq!(
        (
            photo.subject,
            photo.spot,
            photo.item,
            photo.width,
            photo.height
        ),
        (Subject::RoofOverSpot, Some(spot), None, 640, 480)
    );

    the_office_has_every_field(&path, &survey(&d), &entered);

    for (page, name) in [("Settings", "settings"), ("About joistlight", "about")] {
        d.tap("menu");
        d.tap(page);
        d.snapshot_sizes(name);
        d.tap("back");
    }
}

/// Takes the bundle in as the office does; its register must then hold every field as it was entered, come to
/// the phone's verdict, and keep the very file.
fn the_office_has_every_field(bundle: &Path, phone: &Survey, entered: &Entered) {
    let folder = tempfile::tempdir().expect("a folder");
    let location = Location::Folder(folder.path().join("register"));
    let mut register = Register::open(&location).expect("a register");
    let mut taken = Vec::new();
    let sum = intake::take_in(
        &mut register,
        &[bundle.to_owned()],
        &AtomicBool::new(false),
        &mut |step| taken.push(step.outcome.clone()),
    )
    .expect("an intake");
    assert_eq!(
        sum,
        Sum {
            new: 1,
            ..Sum::default()
        },
        "{taken:?}"
    );
    let [
        IntakeOutcome::Entered {
            survey: id,
            bundle: name,
            differences,
            ..
        },
    ] = &taken[..]
    else {
        panic!("{taken:?}");
    };
    assert!(differences.same_result(), "{differences:?}");
    // Read again by another program that opens the register, not out of this one's memory.
    drop(register);
    let mut register = Register::open_existing(&location).expect("the register");
    register.check().expect("a sound register");
    for held in [
        register.captured(name).expect("what was captured"),
        register.current(*id).expect("what the list shows"),
    ] {
        compare(&held, entered);
        assert_eq!(held.to_json(), phone.to_json(), "beside the answers");
    }
    let line = register.line(*id).expect("its line");
    assert_eq!(
        (line.job, line.client, line.address, line.surveyor),
        (
            "J-0417".to_owned(),
            "Ash Fenwick".to_owned(),
            "12 Meadow Lane, Larkmoor".to_owned(),
            "R. Tamm".to_owned()
        )
    );
    let copy = folder.path().join("copy.zip");
    register.copy_out(name, &copy).expect("the file");
    let bytes = |file: &Path| std::fs::read(file).expect("a file");
    assert!(bytes(&copy) == bytes(bundle), "the very file is kept");
}

/// Every answer is the one that was typed, and there is no other.
fn compare(survey: &Survey, entered: &Entered) {
    let ways = Ways::default();
    for at in survey.places() {
        let kind = fields::kind_of(at.field).expect("a kind");
        let Some(typed) = entered.typed.get(&at) else {
            assert_eq!(survey.answer(at), None, "{at:?} was never typed");
            continue;
        };
        let typed = match kind {
            Kind::When => format!("{}:00-07:00", typed.replace(' ', "T")),
            _ => typed.clone(),
        };
        let wanted = kind
            .parse(&typed, &ways)
            .unwrap_or_else(|e| panic!("{at:?}: {e}"));
        assert_eq!(survey.answer(at), wanted, "{at:?}");
    }
    assert!(entered.typed.len() > 150, "{} facts", entered.typed.len());
}

#[test]
fn the_program_opens_where_it_was_left_and_a_deleted_survey_comes_back() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[0]);
    d.tap("Begin a survey");
    d.go_stop(Stop::Arrival);
    d.tap("Client");
    d.type_text("Ash Fenwick");
    d.go_stop(Stop::Attic);
    d.tap("Add: Thing in the way");
    let before = (survey(&d), d.app.session().view());
    drop(d);
    let mut d = Driver::open(data.path(), SIZES[0]);
    assert_eq!((survey(&d), d.app.session().view()), before);
    // The entry, the stop, the walk.
    for _ in 0..3 {
        d.tap("back");
    }
    // The attic is not measured.
    d.tap("Climb down all the same");
    d.snapshot_sizes("surveys");
    d.tap("delete Ash Fenwick");
    assert_eq!(d.app.session().survey_count(), 0);
    d.snapshot_sizes("surveys-deleted");
    d.tap("Undo");
    assert_eq!(d.app.session().survey_count(), 1);
    d.tap("Ash Fenwick");
    assert_eq!(survey(&d).arrival.client.as_deref(), Some("Ash Fenwick"));
}

#[test]
fn what_cannot_be_read_is_said_and_nothing_changes() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("Begin a survey");
    let before = survey(&d);
    d.go_stop(Stop::Hall);
    d.tap("Hall width");
    d.type_text("3' 14\"");
    d.tap("done");
    d.snapshot_sizes("keypad-trouble");
    let said = d.labels().join("\n");
    assert!(said.contains("14 in is more than a foot"), "{said}");
    d.press(slint::platform::Key::Escape);
    d.tap("menu");
    d.tap("Pictures");
    let file = data.path().join("letter.jpg");
    std::fs::write(&file, "Dear office,").expect("written");
    d.tap("picture file");
    d.type_text(file.to_str().expect("plain"));
    d.tap("Take it in");
    d.wait("the refusal", |d| {
        !d.app.session().photos().trouble.is_empty()
    });
    d.snapshot("photos-trouble");
    assert_eq!(survey(&d), before);
}

#[test]
fn a_copied_spot_keeps_the_answers_and_tab_goes_on_to_the_next_question() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[2]);
    d.tap("Begin a survey");
    d.go_stop(Stop::Attic);
    d.tap("Roof height at the mark");
    d.type_text("61 1/2");
    // On to the next question without a tap.
    d.press(slint::platform::Key::Tab);
    d.type_text("9'");
    d.press(slint::platform::Key::Return);
    d.go_stop(Stop::Hall);
    d.tap("Another spot with the same answers");
    let held = survey(&d);
    assert_eq!(held.spots.len(), 2);
    // (ids of entries differ; there are none here)
    assert_eq!(held.spots[0].attic, held.spots[1].attic);
    let inches = |reading: Option<joistlight::measure::Reading>| reading.map(|r| r.to_string());
    assert_eq!(
        inches(held.spots[1].attic.roof_height).as_deref(),
        Some("61 1/2 in")
    );
    assert_eq!(
        inches(held.spots[1].attic.ridge_distance).as_deref(),
        Some("108 in")
    );
    d.snapshot_sizes("two-spots");
    d.tap("Take this spot out");
    assert_eq!(survey(&d).spots.len(), 1);
    d.tap("Undo");
    assert_eq!(survey(&d), {
        let mut it = held;
        it.changed = survey(&d).changed;
        it
    });
}
