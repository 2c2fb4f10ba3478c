//! The window on a phone, of which a fake stands behind it: what it is asked for, what the tray brings, and what the
//! keys and the settings of a phone do to the window.
//!
//! With `JOISTLIGHT_PHONE` naming a folder, `tests/phone` has two of these tests write down a walk through the
//! window, with the place of every tap and the pixels of every page, for the real library to be taken the same way, and
//! compare what came of that.

use crate::driver::{Driver, SIZES, clock, platform};
use crate::ready;
use i_slint_backend_testing::{AccessibleRole, ElementRoot};
use i_slint_core::InternalToken;
use i_slint_core::lengths::LogicalEdges;
use i_slint_core::window::WindowInner;
use joistlight::app::clock::Clock;
use joistlight::app::device::{Abilities, Device, Fetch, Give, Refusal, System};
use joistlight::app::session::Sheet;
use joistlight::app::tray::Token;
use joistlight::app::{App, NavAdapter, Shade, Theme};
use joistlight::measure::Length;
use joistlight::store::Store;
use joistlight::survey::{Stop, Value, When};
use slint::platform::{Key, WindowEvent, WindowEventDispatchResult};
use slint::{ComponentHandle, LogicalPosition, LogicalSize};
use std::cell::{Cell, RefCell};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// Notes what it is asked for.
struct Phone {
    fetched: RefCell<Vec<(Fetch, Token)>>,
    given: RefCell<Vec<(PathBuf, Give)>>,
    awake: Cell<bool>,
    room: Cell<u64>,
    system: RefCell<System>,
}

impl Phone {
    fn new() -> Rc<Self> {
        Phone::set_up("en_US", true, 100)
    }

    fn set_up(locale: &str, night: bool, text_percent: u16) -> Rc<Self> {
        Rc::new(Phone {
            fetched: RefCell::default(),
            given: RefCell::default(),
            awake: Cell::new(false),
            room: Cell::new(4 << 30),
            system: RefCell::new(System {
                locale: locale.to_owned(),
                night: Some(night),
                text_percent: Some(text_percent),
            }),
        })
    }

    fn open(self: &Rc<Self>, data: &Path) -> Driver {
        let app = App::on(
            Rc::clone(self) as Rc<dyn Device>,
            data,
            Clock { now, ..clock() },
        )
        .expect("the window opens");
        let window = app.window().clone_strong();
        Driver::of(app, window, SIZES[1])
    }

    /// The token of what was asked for last.
    fn asked(&self, what: Fetch) -> Token {
        let (asked, token) = self.fetched.borrow().last().expect("asked").clone();
        assert_eq!(asked, what);
        token
    }
}

impl Device for Phone {
    fn abilities(&self) -> Abilities {
        Abilities::of_phone(true)
    }
    fn fetch(&self, what: Fetch, token: &Token) -> Result<(), Refusal> {
        self.fetched.borrow_mut().push((what, token.clone()));
        Ok(())
    }
    fn give(&self, file: &Path, way: Give) -> Result<(), Refusal> {
        assert!(file.is_file());
        self.given.borrow_mut().push((file.to_owned(), way));
        Ok(())
    }
    fn keep_awake(&self, awake: bool) {
        self.awake.set(awake);
    }
    fn system(&self) -> System {
        self.system.borrow().clone()
    }
    fn room(&self, _: &Path) -> Option<u64> {
        Some(self.room.get())
    }
}

fn now() -> When {
    "2026-06-02T18:20:00-07:00".parse().expect("a moment")
}

/// The demo's house on a phone, standing at its first spot's pictures.
fn at_pictures(phone: &Rc<Phone>, data: &Path) -> Driver {
    let store = Store::open(data).expect("a store");
    let survey = ready::survey();
    let id = survey.id;
    store.begin(survey).expect("begun");
    store.note_open(Some(id)).expect("noted");
    drop(store);
    let mut d = phone.open(data);
    d.tap("menu");
    d.tap("Pictures");
    d
}

fn lay(data: &Path, token: &Token, part: &str, bytes: &[u8]) {
    std::fs::write(data.join(format!("arrivals/{token}.{part}")), bytes).expect("laid");
}

fn in_tray(data: &Path) -> usize {
    std::fs::read_dir(data.join("arrivals"))
        .expect("a tray")
        .count()
}

fn picture(shade: u8) -> Vec<u8> {
    let mut jpeg = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_fn(320, 240, |x, y| image::Rgb([(x / 2) as u8, y as u8, shade]))
        .write_to(&mut jpeg, image::ImageFormat::Jpeg)
        .expect("a picture");
    jpeg.into_inner()
}

fn photos(d: &Driver) -> usize {
    d.app.session().open().expect("open").survey().photos.len()
}

/// What a key that only a phone has does; whether the window took it.
fn back_key(d: &Driver) -> bool {
    let window = d.window.window();
    let text: slint::SharedString = Key::Back.into();
    let pressed = window
        .dispatch_event_with_result(WindowEvent::KeyPressed { text: text.clone() })
        .expect("dispatched");
    let released = window
        .dispatch_event_with_result(WindowEvent::KeyReleased { text })
        .expect("dispatched");
    d.settle();
    [pressed, released].contains(&WindowEventDispatchResult::Accepted)
}

/// The keyboard on the screen comes up, as Slint's backend tells the window of it, or goes away.
fn keyboard(d: &Driver, height: f32) {
    let window = d.window.window();
    let (width, high) = (window.size().width as f32, window.size().height as f32);
    let (at, size) = if height > 0.0 {
        (
            LogicalPosition::new(0.0, high - height),
            LogicalSize::new(width, height),
        )
    } else {
        Default::default()
    };
    window.set_virtual_keyboard(at, size, InternalToken);
    d.settle();
}

/// The system's bars and the camera's hole cover so much of the window: at its top, its foot, left and right.
fn cover(d: &Driver, [top, bottom, left, right]: [u32; 4]) {
    let edges = LogicalEdges::new(top as f32, bottom as f32, left as f32, right as f32);
    WindowInner::from_pub(d.window.window()).set_window_item_safe_area(edges);
    d.settle();
}

#[test]
fn nothing_lies_under_the_systems_bars_or_the_cameras_hole() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = at_pictures(&phone, data.path());
    d.tap("Take a picture");
    let token = phone.asked(Fetch::NewPicture);
    lay(data.path(), &token, "file", &picture(5));
    d.app.come_back();
    d.settle();
    let session = d.app.session();
    let photo = &session.open().expect("open").survey().photos[0];
    let label = format!("picture of {}", session.photo_shows(photo));
    drop(session);
    for look in [false, true] {
        if look {
            d.resize(SIZES[1]);
            d.tap(&label);
            assert!(d.find("close the picture").is_some());
        }
        for (size, edges) in [
            (SIZES[1], [24, 16, 0, 0]),
            (SIZES[3], [0, 0, 30, 40]),
            (SIZES[3], [12, 20, 0, 44]),
        ] {
            d.resize(size);
            cover(&d, edges);
            let [top, bottom, left, right] = edges;
            let seen = d.snapshot(&format!("phone-covered-{look}-{left}-{right}"));
            let (width, height) = seen.dimensions();
            let black = |x: u32, y: u32| seen.get_pixel(x, y).0[..3] == [0, 0, 0];
            for (x, y, _) in seen.enumerate_pixels() {
                let covered = x < left || x >= width - right || y < top || y >= height - bottom;
                assert!(!covered || black(x, y), "{look} {edges:?}: {x}, {y}");
            }
            let middle = (left + width - right) / 2;
            let rows = [top, height - bottom - 1];
            assert!(
                rows.iter().all(|y| !black(middle, *y)),
                "{look} {edges:?}: black where no bar is"
            );
            let columns = [left, width - right - 1];
            assert!(
                columns.iter().all(|x| !black(*x, height / 2)),
                "{look} {edges:?}: black where no hole is"
            );
            d.window.root_element().visit_descendants(|e| {
                let (at, size) = (e.absolute_position(), e.size());
                let inside = at.x >= left as f32 && at.x + size.width <= (width - right) as f32;
                assert!(
                    inside || e.accessible_role() != Some(AccessibleRole::Button),
                    "{look} {edges:?}: {:?} at {at:?} {size:?}",
                    e.accessible_label()
                );
                std::ops::ControlFlow::<()>::Continue(())
            });
        }
    }
}

#[test]
fn the_field_that_is_being_typed_in_lies_above_the_keyboard() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = phone.open(data.path());
    d.tap("Begin a survey");
    let mut hidden = 0;
    for size in [SIZES[0], SIZES[1], SIZES[3]] {
        let above = size.1 as f32 - if size.1 < 500 { 200.0 } else { 300.0 };
        d.resize(size);
        for (stop, label) in [
            (Stop::Arrival, "Address"),
            (Stop::Arrival, "Surveyor"),
            (Stop::WrapUp, "Notes"),
            (Stop::WrapUp, "Told or agreed"),
        ] {
            d.go_stop(stop);
            d.tap(label);
            let before = d.find(label).expect("the field");
            if before.absolute_position().y + before.size().height > above {
                hidden += 1;
            }
            keyboard(&d, size.1 as f32 - above);
            let field = d.find(label).expect("the field");
            let (top, bottom) = (
                field.absolute_position().y,
                field.absolute_position().y + field.size().height,
            );
            d.snapshot(&format!("phone-typing-{label}").replace(' ', "-"));
            assert!(
                top > 0.0 && bottom <= above + 0.5,
                "{label} at {size:?}: {top} to {bottom}, the keyboard from {above} on"
            );
            d.type_text("xy");
            let field = d.find(label).expect("the field");
            assert_eq!(field.accessible_value().as_deref(), Some("xy"), "{label}");
            for _ in 0..2 {
                d.press(Key::Backspace);
            }
            keyboard(&d, 0.0);
        }
    }
    assert!(hidden >= 3, "only {hidden} of the fields were in its way");
}

#[test]
fn a_needed_picture_comes_back_to_its_field_though_the_phone_ended_the_program() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = at_pictures(&phone, data.path());
    let (_, wanted) = d.app.session().needed_pictures()[0];
    let label = format!("take: {}", d.app.session().needed_title(&wanted));
    d.tap(&label);
    let token = phone.asked(Fetch::NewPicture);
    // The camera is in front, the program is ended, the picture is written, and the program begins anew.
    d.app.on_background();
    drop(d);
    lay(data.path(), &token, "part", &picture(1));
    let d = phone.open(data.path());
    d.settle();
    assert_eq!(photos(&d), 1);
    let session = d.app.session();
    let photo = &session.open().expect("open").survey().photos[0];
    assert_eq!(
        (photo.subject, photo.spot, photo.item),
        (wanted.what, wanted.spot, wanted.item)
    );
    assert_eq!(session.view(), joistlight::app::session::View::Photos);
    assert_eq!(in_tray(data.path()), 0);
}

#[test]
fn a_picture_that_was_not_taken_leaves_nothing_and_a_full_phone_says_so_first() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = at_pictures(&phone, data.path());
    d.tap("Take a picture");
    lay(data.path(), &phone.asked(Fetch::NewPicture), "none", b"");
    d.app.come_back();
    d.settle();
    assert_eq!((photos(&d), in_tray(data.path())), (0, 0));
    d.tap("Choose a picture");
    let token = phone.asked(Fetch::Picture);
    lay(
        data.path(),
        &token,
        "none",
        b"The file could not be read where it lies.",
    );
    d.app.come_back();
    d.settle();
    assert!(
        d.find("The file could not be read where it lies.")
            .is_some()
    );
    phone.room.set(3 << 20);
    let asked = phone.fetched.borrow().len();
    d.tap("Take a picture");
    assert_eq!(phone.fetched.borrow().len(), asked);
    let said = d.labels().join("\n");
    assert!(said.contains("3 MB are left"), "{said}");
}

#[test]
fn a_bundle_goes_out_both_ways_and_comes_in_on_another_phone() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = at_pictures(&phone, data.path());
    d.tap("menu");
    d.tap("Hand over to the office");
    assert!(
        d.find("folder for the bundle").is_none(),
        "a phone has no paths"
    );
    d.tap("Write the bundle");
    d.tap("Share the bundle");
    d.tap("Put a copy into a folder");
    let given = phone.given.borrow().clone();
    let [(bundle, Give::Share), (same, Give::Copy)] = &given[..] else {
        panic!("{given:?}");
    };
    assert_eq!(bundle, same);
    // Where Shelf.java lets a bundle be read.
    assert_eq!(bundle.parent(), Some(data.path().join("bundles").as_path()));
    lay(
        data.path(),
        &Token::parse("given-1").expect("a token"),
        "none",
        b"The copy is where you chose.",
    );
    d.app.come_back();
    assert_eq!(
        d.app.session().notice().expect("said").text,
        "The copy is where you chose."
    );
    let bytes = std::fs::read(bundle).expect("a bundle");
    let survey = d.app.session().open().expect("open").survey().clone();
    drop(d);

    let there = tempfile::tempdir().expect("a folder");
    let other = Phone::new();
    let d = other.open(there.path());
    for (name, bytes) in [
        ("house.zip", &bytes[..]),
        ("fans.toml", include_bytes!("../../src/trade/fans.toml")),
    ] {
        let token = Token::parse("given-2").expect("a token");
        lay(there.path(), &token, "name", name.as_bytes());
        lay(there.path(), &token, "file", bytes);
        d.app.come_back();
        d.settle();
        let said = d.app.session().notice().expect("said").text.clone();
        assert!(said.contains(name), "{said}");
    }
    let session = d.app.session();
    assert_eq!(*session.open().expect("open").survey(), survey);
    assert_eq!(in_tray(there.path()), 0);
}

#[test]
fn the_window_follows_the_phones_theme_language_and_text_size() {
    platform();
    for (night, shade) in [(true, Shade::Dark), (false, Shade::Light)] {
        let data = tempfile::tempdir().expect("a folder");
        let d = Phone::set_up("es_MX", night, 130).open(data.path());
        let theme = d.window.global::<Theme>();
        assert_eq!(theme.get_shade(), shade);
        assert!((theme.get_text_scale() - 1.3).abs() < 0.01);
        assert_eq!(
            d.window.global::<NavAdapter>().get_title(),
            "Levantamientos"
        );
    }
    // Later, too, while nothing else is set; the system tells it at once or when the program is in front again.
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::set_up("es_MX", false, 130);
    let mut d = phone.open(data.path());
    let look = |d: &Driver| {
        let theme = d.window.global::<Theme>();
        let title = d.window.global::<NavAdapter>().get_title().to_string();
        (
            theme.get_shade(),
            (theme.get_text_scale() * 100.0).round(),
            title,
        )
    };
    let surveys = |shade, scale| (shade, scale, "Surveys".to_owned());
    let set_up = |night, text_percent| {
        *phone.system.borrow_mut() = System {
            locale: "en_US".to_owned(),
            night: Some(night),
            text_percent: Some(text_percent),
        };
    };
    set_up(true, 100);
    d.app.follow();
    assert_eq!(look(&d), surveys(Shade::Dark, 100.0));
    set_up(false, 160);
    d.app.on_background();
    d.app.come_back();
    assert_eq!(look(&d), surveys(Shade::Light, 160.0));
    // What is set stays, until the phone's own is asked for again.
    d.tap("menu");
    d.tap("Settings");
    d.tap("Colours");
    d.tap("High contrast");
    d.tap("Text size");
    d.tap("100 %");
    set_up(true, 200);
    d.app.follow();
    assert_eq!((look(&d).0, look(&d).1), (Shade::Contrast, 100.0));
    d.snapshot("settings-phone");
    d.tap("Colours");
    d.snapshot("settings-phone-colours");
    d.tap("As this device");
    d.tap("Text size");
    d.tap("As this device");
    d.settle();
    assert_eq!((look(&d).0, look(&d).1), (Shade::Dark, 200.0));
    d.snapshot("settings-phone-large");
}

#[test]
fn the_back_key_leads_one_page_back_and_from_the_first_page_out() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = at_pictures(&phone, data.path());
    d.tap("menu");
    let page = |d: &Driver| d.window.global::<NavAdapter>().get_title().to_string();
    let mut seen = Vec::new();
    while back_key(&d) {
        seen.push(page(&d));
        assert!(seen.len() < 10, "{seen:?}");
    }
    // First the menu shuts, then page by page; the last press is left to the system, which leaves the program.
    assert_eq!(seen.first().map(String::as_str), Some("Pictures"));
    assert_eq!(seen.last().map(String::as_str), Some("Surveys"));
    assert_eq!(page(&d), "Surveys");
}

#[test]
fn the_screen_stays_on_where_the_setting_says_so() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = at_pictures(&phone, data.path());
    assert!(!phone.awake.get());
    d.tap("menu");
    d.tap("Settings");
    d.tap("Screen: Stays on during a survey");
    assert!(phone.awake.get());
    while back_key(&d) {}
    assert!(!phone.awake.get(), "no survey is open any more");
}

/// Words that are being typed when the phone turns to another program are on the disk, before it can be ended.
#[test]
fn what_is_being_typed_is_kept_when_the_phone_turns_away() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let phone = Phone::new();
    let mut d = at_pictures(&phone, data.path());
    d.tap("menu");
    d.tap("Settings");
    d.tap("Surveyor");
    d.type_text("Invented Name");
    d.app.on_background();
    drop(d);
    let d = phone.open(data.path());
    let store = d.app.session().open().is_some();
    assert!(store);
    let settings = std::fs::read_to_string(data.path().join("settings.json")).expect("settings");
    assert!(settings.contains("Invented Name"), "{settings}");
}

/// Figures on the keys are no answer yet; they are on the keys again, in the same unit, and are taken as they stood.
#[test]
fn figures_on_the_keys_are_there_again_when_the_phone_ended_the_program() {
    platform();
    let phone = Phone::new();
    let on_keys = |d: &Driver| match d.app.session().sheet() {
        Some(Sheet::Keys { at, typed, .. }) => Some((*at, typed.text().to_owned())),
        _ => None,
    };
    for (turned, reads) in [(false, Length::inches(53)), (true, Length::mm(53))] {
        let data = tempfile::tempdir().expect("a folder");
        let mut d = phone.open(data.path());
        d.tap("Begin a survey");
        d.go_stop(Stop::Hall);
        d.tap("Hall width");
        if turned {
            d.tap("type in mm");
        }
        d.tap("5");
        d.tap("3");
        let typed = on_keys(&d).expect("the keys are up");
        assert_eq!(typed.1, "53");
        d.app.on_background();
        drop(d);
        let mut d = phone.open(data.path());
        assert_eq!(on_keys(&d).as_ref(), Some(&typed));
        d.snapshot("phone-typed-again");
        // Not a second time: the program goes to the back, and comes to the front with the keys put away.
        d.app.on_background();
        d.app.come_back();
        d.tap("done");
        let answer = d.app.session().answer(typed.0).expect("taken");
        let Value::Length(reading) = answer else {
            panic!("{answer:?}");
        };
        assert_eq!(reading.length(), reads);
        drop(d);
        let d = phone.open(data.path());
        assert_ne!(on_keys(&d).map(|keys| keys.1).as_deref(), Some("53"));
    }
}

// The walk that the real library is taken, too.

/// The folder that `tests/phone` gives.
fn proving() -> Option<PathBuf> {
    std::env::var_os("JOISTLIGHT_PHONE").map(PathBuf::from)
}

struct Walk {
    d: Driver,
    folder: PathBuf,
    words: String,
}

/// How large the typing is looked at: the least phone, of which the keyboard leaves the upper half.
const TYPING: ((u32, u32), f32) = ((360, 640), 300.0);

impl Walk {
    /// The phone is turned, or put beside another app.
    fn resize(&mut self, (width, height): (u32, u32)) {
        writeln!(self.words, "resize {width} {height}\nconfigured\nsettle").expect("a string");
        self.d.resize((width, height));
    }

    /// Taps what can be seen without scrolling, and has the phone tapped at the same place.
    fn tap(&mut self, label: &str) {
        let element = self
            .d
            .find(label)
            .unwrap_or_else(|| panic!("“{label}”:\n{}", self.d.labels().join("\n")));
        let (at, size) = (element.absolute_position(), element.size());
        let (x, y) = (
            (at.x + size.width / 2.0).round(),
            (at.y + size.height / 2.0).round(),
        );
        // What comes up takes nothing at first.
        writeln!(self.words, "tap {x} {y}\nwait 1\nsettle").expect("a string");
        self.d.tap_at(x, y);
    }

    fn look(&mut self, name: &str) {
        writeln!(self.words, "snap {name}.ppm").expect("a string");
        let picture = self.d.snapshot(&format!("phone-{name}"));
        picture
            .save(self.folder.join(format!("{name}.png")))
            .expect("written");
    }
}

#[test]
fn the_walk_for_the_real_library_is_written_down() {
    let Some(folder) = proving() else { return };
    platform();
    let demo = joistlight::demo::run(&folder.join("demo")).expect("the demo goes through");
    let data = folder.join("desktop-data");
    copy(&demo.device, &data);
    copy(&demo.device, &folder.join("phone-data"));
    copy(&demo.device, &folder.join("core-data"));
    std::fs::copy(&demo.bundle, folder.join("desktop.zip")).expect("copied");
    std::fs::write(folder.join("camera.jpg"), picture(9)).expect("written");
    let phone = Phone::new();
    let d = phone.open(&data);
    let mut walk = Walk {
        d,
        folder: folder.clone(),
        words: String::new(),
    };
    walk.look("surveys");
    let client = walk.d.app.session().surveys()[0].client.clone();
    walk.tap(&client.expect("the demo names one"));
    walk.look("survey");
    walk.tap("menu");
    walk.look("menu");
    walk.tap("Verdict");
    walk.look("verdict");
    walk.tap("menu");
    walk.tap("Pictures");
    walk.look("pictures");
    let session = walk.d.app.session();
    let needed = session.needed_pictures();
    let wanted = needed.iter().find(|(_, it)| !it.taken);
    let wanted = wanted.expect("the demo has not all of them").1;
    let label = format!("take: {}", session.needed_title(&wanted));
    drop(session);
    walk.tap(&label);
    // The camera is in front now: the window waits for what it brings, and does not come to rest.
    let words = walk.words.strip_suffix("settle\n").expect("a tap");
    std::fs::write(folder.join("walk.txt"), words).expect("written");

    // The phone ended the program meanwhile, and the camera's picture is there when it begins anew; it is turned, put
    // beside another app, and day breaks.
    let token = phone.asked(Fetch::NewPicture);
    drop(walk);
    lay(&data, &token, "part", &picture(9));
    let mut walk = Walk {
        d: phone.open(&data),
        folder: folder.clone(),
        words: String::new(),
    };
    walk.d.settle();
    walk.resize(SIZES[3]);
    walk.look("turned");
    walk.resize((412, 450));
    walk.look("split");
    phone.system.borrow_mut().night = Some(false);
    walk.d.app.follow();
    writeln!(walk.words, "night 0\nconfigured\nsettle").expect("a string");
    walk.look("day");
    // A field that the keyboard would cover. Its cursor blinks, so that the window does not come to rest.
    let (size, high) = TYPING;
    walk.resize(size);
    walk.tap("back");
    walk.tap("Arrival");
    let above = size.1 as f32 - high;
    let (label, field) = ["Address", "Surveyor"]
        .iter()
        .filter_map(|label| Some((label, walk.d.find(label)?)))
        .find(|(_, field)| {
            let top = field.absolute_position().y;
            top > above && top + field.size().height < size.1 as f32
        })
        .expect("a field of words in the lower half");
    let (at, of) = (field.absolute_position(), field.size());
    let (x, y) = (
        (at.x + of.width / 2.0).round(),
        (at.y + of.height / 2.0).round(),
    );
    writeln!(walk.words, "tap {x} {y}\nkeyboard {high}\nwait 3").expect("a string");
    walk.d.tap_at(x, y);
    keyboard(&walk.d, high);
    let field = walk.d.find(label).expect("the field");
    assert!(field.absolute_position().y + field.size().height <= above + 0.5);
    walk.look("typing");
    writeln!(walk.words, "keyboard 0\nwait 1").expect("a string");
    std::fs::write(folder.join("later.txt"), &walk.words).expect("written");
}

/// How far two bytes of a pixel may be apart. Both sides are drawn by the same code from the same typeface, and not one
/// pixel differed when this was written. But the phone's frames are mixed in a buffer without transparency and the
/// desktop's pictures in one with it: a layer that shines through may round by one, and several lie over each other.
const FAR: u8 = 3;

#[test]
fn the_real_librarys_pages_look_as_on_the_desktop() {
    let Some(folder) = proving() else { return };
    let mut names: Vec<_> = std::fs::read_dir(&folder)
        .expect("the folder")
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|it| it == "png"))
        .collect();
    names.sort();
    assert!(names.len() >= 9, "{names:?}");
    for desktop in names {
        let name = desktop.file_stem().expect("a name").display().to_string();
        let theirs = image::open(&desktop).expect("a picture").to_rgb8();
        let ours = std::fs::read(folder.join(format!("frames/{name}.ppm"))).expect("a frame");
        let head = format!("P6 {} {} 255\n", theirs.width(), theirs.height());
        let ours = ours
            .strip_prefix(head.as_bytes())
            .expect("of the same size");
        assert_eq!(ours.len(), theirs.as_raw().len());
        let apart: Vec<u8> = ours
            .iter()
            .zip(theirs.as_raw())
            .map(|(a, b)| a.abs_diff(*b))
            .collect();
        let most = apart.iter().max().copied().unwrap_or(0);
        let pixels = apart
            .chunks(3)
            .filter(|it| it.iter().any(|far| *far > 0))
            .count();
        println!(
            "{name}: {pixels} pixels of {} differ, by {most} at most",
            apart.len() / 3
        );
        let far: Vec<_> = apart
            .chunks(3)
            .enumerate()
            .filter(|(_, it)| it.iter().any(|far| *far > FAR))
            .map(|(at, _)| (at as u32 % theirs.width(), at as u32 / theirs.width()))
            .collect();
        // A cursor may be lit in the one and dark in the other: a line as high as a letter.
        let wide = |at: fn(&(u32, u32)) -> u32| {
            let all = far.iter().map(at);
            all.clone().max().unwrap_or(0) - all.min().unwrap_or(0)
        };
        let cursor = name == "typing" && wide(|at| at.0) < 4 && wide(|at| at.1) < 32;
        assert!(
            far.is_empty() || cursor,
            "{name}: {} pixels, such as {:?}",
            far.len(),
            &far[..far.len().min(5)]
        );
    }
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("a folder").flatten() {
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &to);
        } else {
            std::fs::copy(entry.path(), to).expect("copied");
        }
    }
}
