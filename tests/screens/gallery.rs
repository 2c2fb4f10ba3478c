//! Every page at every size, in both languages, all shades and double text size: nothing overlaps, sticks out or is
//! cut off, everything can be tapped with a glove, and the contrast holds in the pixels.
//!
//! A further page is one line in [`PAGES`]. `tests/run gallery` looks at all of them and writes the pictures to
//! `target/screens`, with `gallery.html` to leaf through.

use crate::driver::{DeskDriver, Driver, SIZES, folder, platform};
use crate::ink;
use crate::look::Look;
use joistlight::app::place::Key;
use joistlight::app::session::{MenuItem, Sheet, View};
use joistlight::app::*;
use joistlight::demo;
use joistlight::measure::Tape;
use joistlight::photo;
use joistlight::store::Store;
use joistlight::survey::fields::{self, ListEntry};
use joistlight::survey::{FieldRef, ItemId, Photo, Stop, Subject, Survey, When};
use slint::{ComponentHandle, Model};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

/// What the window stands over when a page is brought up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Over {
    /// No survey at all.
    Nothing,
    /// A survey that was just begun, the only one.
    Begun,
    /// The demo's house, all measured, with pictures; among other surveys.
    House,
    /// The demo's house before anybody was in the attic or at the panel.
    Half,
}

/// One page: its name, what it stands over, and how it is brought up from the survey's first stop.
type Page = (&'static str, Over, fn(&mut Driver));

const PAGES: &[Page] = &[
    ("surveys-none", Over::Nothing, |_| {}),
    ("surveys", Over::House, |d| go(d, View::Surveys)),
    ("surveys-deleted", Over::House, |d| {
        go(d, View::Surveys);
        let surveys = d.window.global::<SurveysAdapter>();
        let last = surveys.get_surveys().row_count() - 1;
        let key = surveys.get_surveys().row_data(last).expect("a survey").key;
        surveys.invoke_remove(key);
    }),
    ("walk-begun", Over::Begun, |d| the_walk(d)),
    ("walk", Over::House, |d| the_walk(d)),
    ("walk-half", Over::Half, |d| the_walk(d)),
    ("climb-down", Over::Begun, |d| {
        stop(d, Stop::Attic);
        stop(d, Stop::Vents);
    }),
    ("arrival-begun", Over::Begun, |d| stop(d, Stop::Arrival)),
    ("hall-begun", Over::Begun, |d| stop(d, Stop::Hall)),
    ("attic-begun", Over::Begun, |d| stop(d, Stop::Attic)),
    ("vents-begun", Over::Begun, |d| stop(d, Stop::Vents)),
    ("power-begun", Over::Begun, |d| stop(d, Stop::PowerAndFlame)),
    ("wrap-up-begun", Over::Begun, |d| stop(d, Stop::WrapUp)),
    ("arrival", Over::House, |d| stop(d, Stop::Arrival)),
    ("hall", Over::House, |d| stop(d, Stop::Hall)),
    ("attic", Over::House, |d| stop(d, Stop::Attic)),
    ("vents", Over::House, |d| stop(d, Stop::Vents)),
    ("power", Over::House, |d| stop(d, Stop::PowerAndFlame)),
    ("wrap-up", Over::House, |d| stop(d, Stop::WrapUp)),
    ("entries", Over::House, |d| every_list(d)),
    ("picks-framing", Over::House, |d| {
        keys(d, "attic.framing", "")
    }),
    ("picks-yes-no", Over::Begun, |d| {
        keys(d, "arrival.attached_garage", "")
    }),
    ("picks-words", Over::Begun, |d| {
        stop(d, Stop::Hall);
        let spot = d.app.session().open().expect("a survey").spot;
        let at = FieldRef::spot(fields::SPOT_NAME.id, spot);
        let fields = d.window.global::<FieldAdapter>();
        fields.invoke_open(Key::Field(at).to_string().into());
    }),
    ("keys-length", Over::House, |d| {
        keys(d, "attic.roof_height", "36 1/2\"")
    }),
    ("keys-length-begun", Over::Begun, |d| {
        keys(d, "attic.roof_height", "36")
    }),
    ("keys-low-roof", Over::House, |d| {
        keys(d, "attic.roof_height", "19 1/2\"")
    }),
    ("keys-offers", Over::Begun, |d| {
        keys(d, "attic.joist_spacing", "")
    }),
    ("keys-number", Over::House, |d| {
        keys(d, "power.voltage", "119.5")
    }),
    ("keys-count", Over::Begun, |d| {
        keys(d, "arrival.year_built", "1984")
    }),
    ("keys-area", Over::House, |d| {
        keys(d, "flame.openable_window_area", "84 ft²")
    }),
    ("keys-moment", Over::House, |d| {
        keys(d, "arrival.visited_at", "2026-06-02 08:10")
    }),
    ("keys-trouble", Over::House, |d| {
        keys(d, "attic.roof_height", "3' 14\"");
        d.window.global::<KeypadAdapter>().invoke_accept();
    }),
    ("thing-in-the-way", Over::Begun, |d| a_thing(d)),
    ("thing-in-the-way-keys", Over::Begun, |d| {
        a_thing(d);
        let places = d.window.global::<PlaceAdapter>().get_lines();
        let side = places
            .iter()
            .find(|line| line.kind == LineKind::Buttons && line.key == "side")
            .expect("the side");
        d.window.global::<FieldAdapter>().invoke_pick(side.key, 0);
        d.settle();
        d.window.global::<KeypadAdapter>().invoke_press("6".into());
    }),
    ("menu", Over::House, |d| {
        d.window.global::<NavAdapter>().invoke_menu()
    }),
    ("verdict-begun", Over::Begun, |d| go(d, View::Verdict)),
    ("verdict", Over::House, |d| go(d, View::Verdict)),
    ("verdict-opened", Over::House, |d| {
        d.resize(SIZES[1]);
        go(d, View::Verdict);
        d.settle();
        let findings = d.window.global::<VerdictAdapter>().get_findings();
        d.tap(&findings.row_data(0).expect("a finding").title);
    }),
    ("first-visit-begun", Over::Begun, |d| {
        go(d, View::FirstVisit)
    }),
    ("first-visit", Over::House, |d| go(d, View::FirstVisit)),
    ("customer", Over::House, |d| go(d, View::Customer)),
    ("plan", Over::House, |d| go(d, View::Drawing)),
    ("plan-begun", Over::Begun, |d| go(d, View::Drawing)),
    ("section", Over::House, |d| {
        go(d, View::Drawing);
        d.window
            .global::<DrawingAdapter>()
            .invoke_pick_kind(DrawingKind::Section);
    }),
    ("pictures-none", Over::Begun, |d| go(d, View::Photos)),
    ("pictures", Over::House, |d| go(d, View::Photos)),
    ("pictures-subjects", Over::House, |d| {
        go(d, View::Photos);
        d.window.global::<PhotosAdapter>().invoke_choose_subject();
    }),
    ("picture-large", Over::House, |d| {
        go(d, View::Photos);
        let photos = d.window.global::<PhotosAdapter>();
        let first = photos
            .get_rows()
            .iter()
            .find(|row| row.kind == PhotoRowKind::Photo)
            .expect("a picture")
            .photo
            .key;
        photos.invoke_open(first);
    }),
    ("hand-over", Over::House, |d| go(d, View::HandOver)),
    ("hand-over-written", Over::House, |d| {
        go(d, View::HandOver);
        let page = d.window.global::<HandOverAdapter>();
        page.invoke_write(page.get_folder());
    }),
    ("settings", Over::House, |d| go(d, View::Settings)),
    ("about", Over::House, |d| go(d, View::About)),
];

/// Goes to a page of the menu.
fn go(d: &mut Driver, view: View) {
    d.window.global::<NavAdapter>().invoke_menu();
    // What has just come up takes nothing for a moment.
    d.settle();
    let menu = d.app.session().menu();
    let at = menu
        .iter()
        .position(|(item, _)| *item == MenuItem::Go(view))
        .unwrap_or_else(|| panic!("{view:?} in the menu"));
    let at = i32::try_from(at).expect("a short menu");
    d.window.global::<KeypadAdapter>().invoke_pick(at);
    // Whoever leaves the attic or the vents is asked once; going back is the answer that leaves.
    if matches!(d.app.session().sheet(), Some(Sheet::Leave { .. })) {
        d.settle();
        d.press(slint::platform::Key::Escape);
    }
    d.settle();
}

/// Goes to the walk, to which back leads from a stop.
fn the_walk(d: &mut Driver) {
    stop(d, Stop::Arrival);
    d.window.global::<NavAdapter>().invoke_back();
}

fn stop(d: &mut Driver, stop: Stop) {
    let at = Stop::ALL.iter().position(|it| *it == stop).expect("a stop");
    let at = i32::try_from(at).expect("six stops");
    d.settle();
    d.window.global::<PlaceAdapter>().invoke_go_stop(at);
    d.settle();
}

/// Opens the keys or the list of a field of the house or of the first spot, and types.
fn keys(d: &mut Driver, field: &'static str, text: &str) {
    let slot = fields::slot(field).expect("a field");
    let (section, of_spot, _) = fields::SECTIONS
        .iter()
        .find(|(.., slots)| slots.iter().any(|it| it.id == slot.id))
        .expect("its section");
    stop(d, *section);
    d.settle();
    let spot = d.app.session().open().expect("a survey").spot;
    let at = FieldRef {
        field: slot.id,
        spot: of_spot.then_some(spot),
        item: None,
    };
    let fields = d.window.global::<FieldAdapter>();
    fields.invoke_open(Key::Field(at).to_string().into());
    d.settle();
    for c in text.chars() {
        d.window
            .global::<KeypadAdapter>()
            .invoke_press(slint::SharedString::from(c));
    }
}

/// Begins the quick entry of a thing in the way.
fn a_thing(d: &mut Driver) {
    stop(d, Stop::Attic);
    let list = fields::list("attic.obstructions").expect("a list");
    let key = Key::Add(list).to_string();
    d.window
        .global::<FieldAdapter>()
        .invoke_add_entry(key.into());
    d.settle();
}

/// Stands at the entry of a list that has the most to say, each time another list.
fn every_list(d: &mut Driver) {
    // The longest page of all: each thing in the way has a shape, sizes and a place.
    entry(d, fields::list("attic.obstructions").expect("a list"));
}

fn entry(d: &mut Driver, list: &'static ListEntry) {
    stop(d, list.stop);
    let item = {
        let session = d.app.session();
        let open = session.open().expect("a survey");
        let owner = list.of_spot.then_some(open.spot);
        open.survey().list(list.id, owner).expect("the list").ids()[0]
    };
    let key = Key::Entry { list, item };
    d.window
        .global::<FieldAdapter>()
        .invoke_open_entry(key.to_string().into());
}

fn now() -> When {
    "2026-05-03T18:20:00-07:00".parse().expect("a moment")
}

/// Puts the surveys into a data folder and leaves the one open that is looked at.
fn prepare(data: &Path, over: Over) {
    if over == Over::Nothing {
        return;
    }
    let store = Store::open(data).expect("a store");
    if over == Over::Begun {
        let survey = Survey::begin(uuid::Uuid::from_u128(7), now(), Tape::default());
        let id = survey.id;
        drop(store.begin(survey).expect("begun"));
        store.note_open(Some(id)).expect("noted");
        return;
    }
    for number in 0..7_u128 {
        let mut survey = Survey::begin(uuid::Uuid::from_u128(100 + number), now(), Tape::default());
        survey.arrival.client = (number != 2).then(|| format!("Ash Fenwick, house {number}"));
        survey.arrival.address = Some(format!("{number} Upper Meadow Lane, Larkmoor"));
        drop(store.begin(survey).expect("begun"));
    }
    let mut survey = demo::survey().expect("the demo's house");
    if over == Over::Half {
        survey.spots.truncate(1);
        survey.spots[0].attic = Default::default();
        survey.vents = Default::default();
        survey.power = Default::default();
    }
    let (id, spot) = (survey.id, survey.spots[0].id);
    let mut open = store.begin(survey).expect("begun");
    for (number, subject) in [Subject::RoofOverSpot, Subject::Joists, Subject::House]
        .into_iter()
        .enumerate()
    {
        let picture = image::RgbImage::from_fn(320, 240, |x, y| {
            image::Rgb([(x / 2) as u8, (y / 2) as u8, 40 + 60 * number as u8])
        });
        let mut bytes = std::io::Cursor::new(Vec::new());
        picture
            .write_to(&mut bytes, image::ImageFormat::Jpeg)
            .expect("a JPEG");
        let taken = photo::take_in_bytes(&bytes.into_inner(), "made here").expect("a picture");
        let photo = Photo {
            id: ItemId(0),
            subject,
            spot: (number < 2).then_some(spot),
            item: None,
            remark: None,
            sha256: taken.sha256.to_string(),
            width: taken.width,
            height: taken.height,
            taken_at: (number > 0).then(|| "2026-05-03T17:40:00-07:00".to_owned()),
            strokes: Vec::new(),
        };
        open.add_photo(now(), &taken.jpeg, &taken.thumbnail, photo)
            .expect("kept");
    }
    drop(open);
    store.note_open(Some(id)).expect("noted");
}

/// The faults of a run: what is wrong, and where it was seen first and how often.
#[derive(Default)]
struct Found(BTreeMap<String, (String, usize)>);

impl Found {
    fn add(&mut self, place: &str, faults: Vec<String>) {
        for fault in faults {
            // One fault seen at several sizes is one fault.
            let what = fault.split(" at ").next().unwrap_or(&fault).to_owned();
            let page = place.split(' ').next().unwrap_or(place);
            let seen = self
                .0
                .entry(format!("{page}: {what}"))
                .or_insert_with(|| (format!("{place}: {fault}"), 0));
            seen.1 += 1;
        }
    }

    fn assert_none(&self) {
        let mut all = String::new();
        for (first, times) in self.0.values() {
            writeln!(all, "{first} (seen {times} times)").expect("a string");
        }
        assert!(self.0.is_empty(), "{} faults:\n{all}", self.0.len());
    }
}

fn percent(scale: f32) -> u32 {
    (scale * 100.0) as u32
}

/// The shades by their place among the colours of the settings.
const SHADES: [(i32, Shade, &str); 3] = [
    (0, Shade::Dark, "dark"),
    (1, Shade::Light, "light"),
    (2, Shade::Contrast, "contrast"),
];

/// Usual and double text size by their place among those of the settings.
const TEXT_SIZES: [(i32, f32); 2] = [(0, 1.0), (3, 2.0)];

/// Sets something as the page of settings does, so that all follows from it: drawings have their own colours and
/// letters.
fn set(d: &Driver, key: &str, at: i32) {
    d.window
        .global::<SettingsAdapter>()
        .invoke_pick(key.into(), at);
    d.settle();
}

fn set_shade(d: &Driver, (at, shade, name): (i32, Shade, &str)) {
    set(d, "shade", at);
    let theme = d.window.global::<Theme>();
    assert_eq!(theme.get_shade(), shade, "{name}");
}

/// What was looked at, and the weakest contrast of texts and of graphics, and of how many.
struct Tally {
    looks: usize,
    texts: (f64, usize),
    graphics: (f64, usize),
}

impl Tally {
    fn measure(&mut self, place: &str, look: &Look, picture: &image::RgbaImage, found: &mut Found) {
        let measured = ink::measure(look, picture);
        for (weakest, now) in [
            (&mut self.texts, measured.text),
            (&mut self.graphics, measured.graphic),
        ] {
            weakest.0 = weakest.0.min(now.0);
            weakest.1 += now.1;
        }
        found.add(place, measured.faults);
    }
}

/// Walks every page in one language: the dark shade at every size and both text sizes; the others at the usual
/// text size on a phone, high contrast on a small phone too. The contrast is measured in English, in what is seen at
/// first and one step further down.
///
/// Left out for the time it takes: the other shades at the other sizes, where nothing differs but colours and the width
/// of lines; the contrast in Spanish and at double text size, on which colours do not depend; and the contrast of
/// what lies still further down, which is made of the same parts.
fn walk(language: i32, code: &str) {
    platform();
    let only = std::env::var("JOISTLIGHT_PAGE").unwrap_or_default();
    let mut found = Found::default();
    let mut shown = Vec::new();
    let mut tally = Tally {
        looks: 0,
        texts: (21.0, 0),
        graphics: (21.0, 0),
    };
    for (name, over, bring_up) in PAGES.iter().filter(|page| page.0.contains(&only)) {
        let data = tempfile::tempdir().expect("a folder");
        prepare(data.path(), *over);
        let mut d = Driver::open(data.path(), SIZES[1]);
        set(&d, "language", language);
        bring_up(&mut d);
        d.settle();
        // Colours do not depend on the language.
        let measured = language == 0;
        for (at, scale) in TEXT_SIZES {
            set(&d, "text", at);
            assert_eq!(d.window.global::<Theme>().get_text_scale(), scale);
            for size in SIZES {
                d.resize(size);
                let place = format!("{name} {}×{} {} % {code}", size.0, size.1, percent(scale));
                let look = Look::scaled(&d.window, scale);
                found.add(&place, look.faults());
                tally.looks += 1;
                let chosen = size == SIZES[1] || (scale < 2.0 && language == 0);
                if chosen {
                    let file = format!("{name}-{code}-dark-{}", percent(scale));
                    let picture = d.snapshot(&file);
                    if measured && size == SIZES[1] && scale < 2.0 {
                        tally.measure(&place, &look, &picture, &mut found);
                    }
                    shown.push((file, size));
                }
            }
        }
        set(&d, "text", TEXT_SIZES[0].0);
        for shade in &SHADES[1..] {
            set_shade(&d, *shade);
            let mut sizes = vec![SIZES[1]];
            if shade.1 == Shade::Contrast {
                sizes.push(SIZES[0]);
            }
            for size in sizes {
                d.resize(size);
                let place = format!("{name} {}×{} 100 % {code} {}", size.0, size.1, shade.2);
                let look = Look::at(&d.window);
                found.add(&place, look.faults());
                tally.looks += 1;
                if measured {
                    let file = format!("{name}-{code}-{}-100", shade.2);
                    tally.measure(&place, &look, &d.snapshot(&file), &mut found);
                    shown.push((file, size));
                }
            }
        }
        // One step further down, where there is more than is seen at first.
        d.resize(SIZES[1]);
        let Some((top, bottom)) = d.scroll_area().filter(|_| measured) else {
            continue;
        };
        let first = d.first_line();
        d.wheel_in(Some((top, bottom)), (top - bottom) * 0.8);
        if d.first_line() == first {
            continue;
        }
        for shade in SHADES {
            set_shade(&d, shade);
            let place = format!("{name} 412×915 100 % {code} {}, further down", shade.2);
            let look = Look::at(&d.window);
            // Rows of long lists are made when they come into view.
            if shade.1 == Shade::Dark {
                found.add(&place, look.faults());
            }
            tally.looks += 1;
            tally.measure(&place, &look, &d.pixels(), &mut found);
        }
    }
    println!("{code}: {} looks, {} pictures", tally.looks, shown.len());
    if language == 0 {
        let (texts, graphics) = (tally.texts, tally.graphics);
        println!(
            "weakest of {} texts {:.2} : 1, of {} graphics and edges {:.2} : 1",
            texts.1, texts.0, graphics.1, graphics.0
        );
        // A run that measured nothing has shown nothing.
        assert!(!only.is_empty() || (texts.1 > 0 && graphics.1 > 0));
    }
    if only.is_empty() {
        leaf(code, &shown);
    }
    found.assert_none();
}

/// Pages of fields, and how many outlined boxes each may show on a phone: groups are cards without an outline, so only
/// the keys about hazards and life, and the way on, have one.
const QUIET: &[(&str, usize)] = &[
    ("attic", 8),
    ("attic-begun", 8),
    ("vents", 8),
    ("hall", 8),
    ("wrap-up", 8),
    ("entries", 8),
];

#[test]
fn few_boxes_and_tape_under_lengths_alone() {
    platform();
    let mut found = Found::default();
    for (name, most) in QUIET {
        let (_, over, bring_up) = PAGES
            .iter()
            .find(|page| page.0 == *name)
            .expect("one of the pages");
        let data = tempfile::tempdir().expect("a folder");
        prepare(data.path(), *over);
        let mut d = Driver::open(data.path(), SIZES[1]);
        bring_up(&mut d);
        d.settle();
        let boxes = Look::at(&d.window).outlined();
        println!("{name}: {boxes} outlined boxes");
        if boxes > *most {
            found.add(
                name,
                vec![format!("{boxes} outlined boxes, more than {most}")],
            );
        }
        // Down the whole page, as far as the rows go.
        let mut strips = 0;
        for _ in 0..20 {
            let look = Look::at(&d.window);
            let tapes: Vec<_> = look.tapes().filter(|it| it.is_more_than(0.0)).collect();
            strips += tapes.len();
            let stray = stray_tape(&d.pixels(), &tapes);
            if stray > 0 {
                found.add(
                    name,
                    vec![format!("{stray} pixels of tape where no length is")],
                );
            }
            let places = d.window.global::<PlaceAdapter>();
            let lengths: Vec<String> = places
                .get_lines()
                .iter()
                .filter(|line| line.tape && line.known)
                .map(|line| line.value.to_string())
                .collect();
            for value in look.on_tape() {
                if !lengths.contains(&value) {
                    found.add(name, vec![format!("“{value}” on tape is no length")]);
                }
            }
            let Some((top, bottom)) = d.scroll_area() else {
                break;
            };
            let first = d.first_line();
            d.wheel_in(Some((top, bottom)), (top - bottom) * 0.8);
            if d.first_line() == first {
                break;
            }
        }
        // The attic is full of lengths, and none is known on a page that was just begun.
        match *name {
            "attic" => assert!(strips > 0, "no strip of tape"),
            "attic-begun" => assert_eq!(strips, 0, "tape for nothing"),
            _ => {}
        }
    }
    found.assert_none();
}

/// How many pixels have the tape's color outside of `tapes`.
fn stray_tape(picture: &image::RgbaImage, tapes: &[crate::look::Area]) -> usize {
    // The dark shade's `blade`.
    let blade = [0xF2, 0xCF, 0x63];
    picture
        .enumerate_pixels()
        .filter(|(x, y, pixel)| {
            pixel.0[..3] == blade
                && !tapes.iter().any(|tape| {
                    let (x, y) = (*x as f32 + 0.5, *y as f32 + 0.5);
                    tape.left - 1.0 <= x
                        && x <= tape.right + 1.0
                        && tape.top - 1.0 <= y
                        && y <= tape.bottom + 1.0
                })
        })
        .count()
}

/// One page of the office's window: its name, and how it is brought up.
type DeskPage = (&'static str, fn(&mut DeskDriver));

/// The pages of the office's window, each brought up from the one before.
const DESK_PAGES: &[DeskPage] = &[
    ("office-list", |d| {
        d.window.global::<DeskAdapter>().invoke_go(0);
    }),
    ("office-list-filters", |d| {
        d.window.global::<DeskListAdapter>().invoke_toggle_more();
    }),
    ("office-list-writing", |d| {
        d.window.global::<DeskListAdapter>().invoke_toggle_more();
        d.window
            .global::<DeskListAdapter>()
            .invoke_toggle_exporting();
    }),
    ("office-intake", |d| {
        d.window
            .global::<DeskListAdapter>()
            .invoke_toggle_exporting();
        d.window.global::<DeskAdapter>().invoke_go(1);
    }),
    ("office-survey", |d| {
        d.window.global::<DeskAdapter>().invoke_go(0);
        d.settle();
        let lines = d.window.global::<DeskListAdapter>().get_lines();
        let demo = lines.iter().position(|line| line.job == "DEMO-1");
        let demo = i32::try_from(demo.expect("the demo's house")).expect("a short list");
        d.window.global::<DeskListAdapter>().invoke_open(demo);
    }),
    ("office-answers", |d| leaf_of(d, 1)),
    ("office-revisions", |d| leaf_of(d, 2)),
    ("office-figures", |d| leaf_of(d, 3)),
    ("office-again", |d| {
        d.window.global::<DeskAdapter>().invoke_go(2);
    }),
];

fn leaf_of(d: &mut DeskDriver, at: i32) {
    d.window.global::<DeskSurveyAdapter>().invoke_turn(at);
}

/// Walks the office's pages in one language: on a desk, and on a tablet held upright.
fn walk_desk(locale: &str, code: &str) {
    platform();
    let only = std::env::var("JOISTLIGHT_PAGE").unwrap_or_default();
    if !only.is_empty() && !DESK_PAGES.iter().any(|page| page.0.contains(&only)) {
        return;
    }
    let within = tempfile::tempdir().expect("a folder");
    let mut found = Found::default();
    let mut shown = Vec::new();
    let mut empty = DeskDriver::open_desk(&within.path().join("empty"), locale, SIZES[2]);
    look_at_desk(&mut empty, "office-none", code, &mut found, &mut shown);
    drop(empty);
    let data = within.path().join("desk");
    let mut d = DeskDriver::open_desk(&data, locale, SIZES[2]);
    crate::office_window::take_the_days_bundles(&mut d, within.path());
    for (name, bring_up) in DESK_PAGES {
        bring_up(&mut d);
        d.settle();
        if name.contains(&only) {
            look_at_desk(&mut d, name, code, &mut found, &mut shown);
        }
    }
    if only.is_empty() {
        leaf(&format!("office-{code}"), &shown);
    }
    found.assert_none();
}

fn look_at_desk(
    d: &mut DeskDriver,
    name: &str,
    code: &str,
    found: &mut Found,
    shown: &mut Vec<(String, (u32, u32))>,
) {
    for size in [SIZES[2], SIZES[4]] {
        d.resize(size);
        for scale in [1.0, 2.0] {
            d.window.global::<Theme>().set_text_scale(scale);
            d.settle();
            // Its settings are the surveyor's window's, and it has no drawing: the shade is set where it is read.
            for (_, shade, shade_name) in SHADES {
                d.window.global::<Theme>().set_shade(shade);
                d.settle();
                let place = format!(
                    "{name} {}×{} {} % {code} {shade_name}",
                    size.0,
                    size.1,
                    percent(scale)
                );
                let look = Look::scaled(&d.window, scale);
                found.add(&place, look.faults());
                // Colours depend neither on the language nor on the size of the words.
                if code == "en" && scale < 2.0 || shade == Shade::Dark {
                    let picture = format!("{name}-{code}-{shade_name}-{}", percent(scale));
                    let measured = ink::measure(&look, &d.snapshot(&picture));
                    found.add(&place, measured.faults);
                    shown.push((picture, size));
                }
            }
            d.window.global::<Theme>().set_shade(Shade::Dark);
        }
        d.window.global::<Theme>().set_text_scale(1.0);
    }
}

/// A page to leaf through the pictures.
fn leaf(code: &str, shown: &[(String, (u32, u32))]) {
    let mut html = String::from(
        "<!doctype html><meta charset=utf-8><title>joistlight</title>\
         <style>body{background:#888;font:14px sans-serif}figure{display:inline-block;margin:6px;vertical-align:top}\
         img{max-height:420px;border:1px solid #000}</style>",
    );
    for (name, (width, height)) in shown {
        let file = format!("{name}-{width}x{height}");
        write!(
            html,
            "<figure><img src=\"{file}.png\"><figcaption>{file}</figcaption></figure>"
        )
        .expect("a string");
    }
    std::fs::write(folder().join(format!("gallery-{code}.html")), html).expect("written");
}

#[test]
fn nothing_is_cut_off_or_too_small_or_too_pale_on_any_page() {
    walk(0, "en");
}

#[test]
fn nothing_is_cut_off_or_too_small_on_any_page_in_spanish() {
    walk(1, "es");
}

#[test]
fn nothing_is_cut_off_or_too_small_or_too_pale_in_the_office() {
    walk_desk("C", "en");
}

#[test]
fn nothing_is_cut_off_or_too_small_in_the_office_in_spanish() {
    walk_desk("es_MX", "es");
}

/// The README's pictures: the file's name, the page, and the window's size.
const README: &[(&str, &str, (u32, u32))] = &[
    ("walk", "walk-half", SIZES[1]),
    ("keypad", "keys-low-roof", SIZES[1]),
    ("verdict", "verdict", SIZES[1]),
    ("plan", "plan", SIZES[1]),
];

/// Larger files do not belong beside a text.
const MOST_BYTES: usize = 80_000;

/// A PNG of the 256 commonest colours; the rest are edges of letters, and take the nearest of these.
fn with_few_colours(picture: &image::RgbaImage) -> Vec<u8> {
    let mut counts: BTreeMap<[u8; 3], usize> = BTreeMap::new();
    for pixel in picture.pixels() {
        let [r, g, b, _] = pixel.0;
        *counts.entry([r, g, b]).or_default() += 1;
    }
    let mut colours: Vec<([u8; 3], usize)> = counts.into_iter().collect();
    colours.sort_by_key(|(colour, count)| (std::cmp::Reverse(*count), *colour));
    let palette: Vec<[u8; 3]> = colours.iter().take(256).map(|it| it.0).collect();
    let far = |a: &[u8; 3], b: &[u8; 3]| -> u32 {
        let parts = a.iter().zip(b).map(|(a, b)| u32::from(a.abs_diff(*b)));
        parts.map(|part| part * part).sum()
    };
    let nearest: BTreeMap<[u8; 3], u8> = colours
        .iter()
        .map(|(colour, _)| {
            let at = (0..palette.len()).min_by_key(|at| far(&palette[*at], colour));
            (*colour, u8::try_from(at.unwrap_or(0)).expect("256 colours"))
        })
        .collect();
    let indexes: Vec<u8> = picture
        .pixels()
        .map(|pixel| nearest[&[pixel.0[0], pixel.0[1], pixel.0[2]]])
        .collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, picture.width(), picture.height());
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette.concat());
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(&indexes).expect("the pixels");
    writer.finish().expect("a PNG");
    bytes
}

#[test]
fn the_readmes_pictures_are_there_and_small() {
    platform();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let pictures = root.join("tests/screens/pictures");
    let readme = std::fs::read_to_string(root.join("README.md")).expect("the README");
    let refresh = std::env::var_os("JOISTLIGHT_README").is_some();
    let write = |name: &str, picture: &image::RgbaImage| {
        let bytes = with_few_colours(picture);
        std::fs::create_dir_all(&pictures).expect("their folder");
        std::fs::write(pictures.join(format!("{name}.png")), bytes).expect("written");
    };
    let mut sizes = Vec::new();
    for (name, page, size) in README {
        sizes.push((*name, *size));
        let (_, over, bring_up) = PAGES
            .iter()
            .find(|it| it.0 == *page)
            .unwrap_or_else(|| panic!("{page} is no page"));
        if refresh {
            let data = tempfile::tempdir().expect("a folder");
            prepare(data.path(), *over);
            let mut d = Driver::open(data.path(), *size);
            bring_up(&mut d);
            d.resize(*size);
            write(name, &d.snapshot(&format!("readme-{name}")));
        }
    }
    sizes.push(("office", SIZES[2]));
    if refresh {
        // A fixed name, since the window says where the register lies.
        let within = std::env::temp_dir().join("joistlight-readme");
        let _ = std::fs::remove_dir_all(&within);
        std::fs::create_dir_all(&within).expect("a folder");
        let mut d = DeskDriver::open_desk(&within.join("office"), "C", SIZES[2]);
        crate::office_window::take_the_days_bundles(&mut d, &within);
        for (_, bring_up) in &DESK_PAGES[..=4] {
            bring_up(&mut d);
            d.settle();
        }
        write("office", &d.snapshot("readme-office"));
        std::fs::remove_dir_all(&within).expect("cleared away");
    }
    for (name, size) in sizes {
        let link = format!("tests/screens/pictures/{name}.png");
        assert!(readme.contains(&link), "{link} stands in the README");
        let bytes = std::fs::read(root.join(&link)).unwrap_or_else(|e| panic!("{link}: {e}"));
        assert!(bytes.len() < MOST_BYTES, "{link}: {} bytes", bytes.len());
        let picture = image::load_from_memory(&bytes).expect("a picture");
        assert_eq!((picture.width(), picture.height()), size, "{link}");
        println!("{link}: {} bytes", bytes.len());
    }
}
