//! Gloves, stray keys and double taps: no slip becomes an answer, and nothing holds anybody back.

use crate::driver::{Driver, SIZES, pass, platform};
use i_slint_backend_testing::{AccessibleRole, ElementRoot};
use joistlight::app::control::guard::{OPENING, REPEAT};
use joistlight::app::control::safety::{HAZARDS, is_of_life};
use joistlight::app::place::Place;
use joistlight::app::session::{Sheet, View};
use joistlight::survey::{FieldRef, Stop, Value, fields};
use slint::platform::Key;
use slint::{ComponentHandle, SharedString};
use std::time::Duration;

/// A moment before what has just come up takes something.
const TOO_SOON: Duration = Duration::from_millis(100);

fn begun(data: &std::path::Path, size: (u32, u32)) -> Driver {
    platform();
    let mut d = Driver::open(data, size);
    d.tap("Begin a survey");
    d
}

/// What is answered about hazards and life.
fn of_life(d: &Driver) -> Vec<(FieldRef, Value)> {
    let session = d.app.session();
    let Some(open) = session.open() else {
        return Vec::new();
    };
    let survey = open.survey();
    let places = survey.places().into_iter();
    places
        .filter(|at| is_of_life(at.field))
        .filter_map(|at| Some((at, survey.answer(at)?)))
        .collect()
}

fn asked(d: &Driver) -> Option<FieldRef> {
    match d.app.session().sheet() {
        Some(Sheet::Keys { at, .. } | Sheet::Picks { at }) => Some(*at),
        _ => None,
    }
}

fn typed(d: &Driver) -> String {
    match d.app.session().sheet() {
        Some(Sheet::Keys { typed, .. }) => typed.text().to_owned(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_digit_or_return_never_answers_about_hazards_or_life() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    // A hazard has no list of answers that a digit could pick from: it is answered in its row.
    d.go_stop(Stop::Arrival);
    d.tap("Attic temperature");
    d.type_text("75");
    d.press(Key::Return);
    assert_eq!(asked(&d), None, "the hazards are not asked one by one");
    for key in ["1", "2", "3"] {
        d.type_text(key);
    }
    d.press(Key::Return);
    assert_eq!(of_life(&d), []);
    // In its row Return does nothing either; the space bar is the key's own.
    d.tab_to("Mould seen: No");
    d.press(Key::Return);
    assert_eq!(of_life(&d), []);
    d.type_text(" ");
    let mould = FieldRef::house("arrival.mould");
    assert_eq!(of_life(&d), [(mould, Value::YesNo(false))]);
    // What concerns life and comes up as a list.
    d.go_stop(Stop::PowerAndFlame);
    d.tap("Fireplace");
    let fireplace = FieldRef::house("flame.fireplace");
    assert_eq!(asked(&d), Some(fireplace));
    for key in ["1", "2", "9"] {
        d.type_text(key);
    }
    d.press(Key::DownArrow);
    d.press(Key::Return);
    assert_eq!(d.app.session().answer(fireplace), None);
    assert!(!d.notice().is_empty(), "it says which key does");
    d.press(Key::DownArrow);
    d.type_text(" ");
    assert!(d.app.session().answer(fireplace).is_some());
}

#[test]
fn what_has_just_come_up_takes_nothing_for_a_moment() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    d.go_stop(Stop::Hall);
    // Keys.
    let (x, y) = d.middle("Hall length");
    d.touch(x, y);
    assert!(asked(&d).is_some());
    pass(OPENING - TOO_SOON);
    let key = d.middle("7");
    d.touch(key.0, key.1);
    d.strike("5".into());
    assert_eq!(typed(&d), "");
    let said = d.labels().join("\n");
    assert!(said.contains("only just come up"), "{said}");
    // Half a figure would be worse than none: what is typed on without a pause is not taken either.
    for _ in 0..4 {
        pass(Duration::from_millis(250));
        d.strike("5".into());
    }
    assert_eq!(typed(&d), "");
    d.settle();
    d.touch(key.0, key.1);
    assert_eq!(typed(&d), "7");
    d.press(Key::Escape);
    // A list of answers.
    let material = FieldRef::spot(
        "hall.ceiling_material",
        d.app.session().open().expect("open").spot,
    );
    d.tap("Ceiling material");
    d.press(Key::Escape);
    let (x, y) = d.middle("Ceiling material");
    d.touch(x, y);
    assert_eq!(asked(&d), Some(material));
    pass(OPENING - TOO_SOON);
    d.strike("1".into());
    let answer = d.middle("Plaster on lath");
    d.touch(answer.0, answer.1);
    assert_eq!(d.app.session().answer(material), None);
    d.settle();
    d.touch(answer.0, answer.1);
    assert!(d.app.session().answer(material).is_some());
    // A figure that is typed into a row is meant for it: nothing of it is lost.
    d.settle();
    d.press(Key::Escape);
    d.tab_to("Hall width");
    for key in ["4", "4", "\n"] {
        d.strike(SharedString::from(key));
        pass(Duration::from_millis(80));
    }
    let width = FieldRef::spot("hall.width", material.spot.expect("a spot"));
    let shown = d
        .app
        .session()
        .answer(width)
        .map(|it| it.show(&Default::default()));
    assert_eq!(shown.as_deref(), Some("44\""));
}

#[test]
fn a_question_that_falls_away_is_named_and_takes_no_figures_with_it() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    d.go_stop(Stop::Arrival);
    d.tap("Attic temperature");
    // So hot that the humidity no longer matters; its figures are typed ahead.
    for key in ["1", "1", "8", "\n", "1", "5", "\n"] {
        d.strike(SharedString::from(key));
        pass(Duration::from_millis(150));
    }
    d.settle();
    d.snapshot("gloves-dropped");
    assert!(d.notice().contains("Attic humidity"), "{}", d.notice());
    assert_eq!(of_life(&d), []);
    assert_eq!(asked(&d), None, "nothing else is up to be typed into");
    // However slowly it is typed on.
    for key in ["1", "5"] {
        d.type_text(key);
    }
    d.press(Key::Return);
    assert_eq!(of_life(&d), []);
    let answers = {
        let session = d.app.session();
        let survey = session.open().expect("open").survey();
        let places = survey.places().into_iter();
        places.filter(|at| survey.answer(*at).is_some()).count()
    };
    // The moment of the visit and the temperature.
    assert_eq!(answers, 2);
    d.tap("Undo");
    let temperature = FieldRef::house("arrival.attic_temperature");
    assert_eq!(d.app.session().answer(temperature), None);
}

#[test]
fn the_second_tap_on_the_tick_does_nothing() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    d.go_stop(Stop::Hall);
    d.tap("Hall length");
    d.type_text("170");
    let (x, y) = d.middle("done");
    d.touch(x, y);
    let next = asked(&d);
    assert!(next.is_some());
    pass(Duration::from_millis(150));
    d.touch(x, y);
    assert_eq!(asked(&d), next, "the next question is still up");
    d.settle();
    assert_eq!(asked(&d), next);
    // With nothing typed the tick puts the keys away; what lies under it then is not tapped.
    d.touch(x, y);
    assert_eq!(asked(&d), None);
    let here = d.app.session().view();
    for _ in 0..2 {
        pass(Duration::from_millis(100));
        d.touch(x, y);
        assert_eq!((asked(&d), d.app.session().view()), (None, here));
    }
    pass(REPEAT);
    d.touch(x, y);
    assert_ne!(
        (asked(&d), d.app.session().view()),
        (None, here),
        "then it is"
    );
}

#[test]
fn clear_empties_the_field_and_keeps_the_keys() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    d.go_stop(Stop::Hall);
    let spot = d.app.session().open().expect("open").spot;
    let length = FieldRef::spot("hall.length", spot);
    d.tap("Hall length");
    d.type_text("170");
    d.tap("done");
    d.press(Key::Escape);
    d.tap("Hall length");
    d.type_text("99");
    let (x, y) = d.middle("clear");
    d.touch(x, y);
    assert_eq!((typed(&d).as_str(), asked(&d)), ("", Some(length)));
    // Twice by one stiff finger: the answer that stands is not lost.
    pass(Duration::from_millis(100));
    d.touch(x, y);
    assert!(d.app.session().answer(length).is_some());
    d.settle();
    d.tap("clear");
    assert_eq!(d.app.session().answer(length), None);
    assert_eq!(asked(&d), Some(length), "the keys stay");
    assert!(d.notice().contains("Hall length"), "{}", d.notice());
    d.tap("Undo");
    assert!(d.app.session().answer(length).is_some());
}

#[test]
fn back_always_leaves_and_a_look_asks_nothing() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    // A look at attic and vents.
    for stop in [Stop::Attic, Stop::Vents] {
        d.tap(stop.label());
        d.tap("back");
        d.tap("back");
        assert_eq!(d.app.session().view(), View::Surveys, "{stop:?}");
        d.tap("Survey without a name");
        if d.app.session().view() != View::Walk {
            d.tap("back");
        }
    }
    // Once something is measured there, leaving asks once.
    d.tap("Attic");
    d.tap("Roof height at the mark");
    d.type_text("60");
    d.tap("done");
    while d.app.session().sheet().is_some() {
        d.press(Key::Escape);
    }
    // A look at the verdict and the pictures asks nothing.
    for page in ["Verdict", "Pictures", "Drawings"] {
        d.tap("menu");
        d.tap(page);
        assert!(d.app.session().sheet().is_none(), "{page}");
        d.tap("back");
        assert!(d.app.session().sheet().is_none(), "{page}");
    }
    d.tap("back");
    assert_eq!(d.app.session().view(), View::Walk);
    d.tap("back");
    let held = |d: &Driver| matches!(d.app.session().sheet(), Some(Sheet::Leave { .. }));
    assert!(held(&d));
    d.tap("back");
    assert_eq!(d.app.session().view(), View::Surveys);
    // By the keyboard too: Escape stays once, and the next one goes.
    d.tap("Survey without a name");
    if d.app.session().view() == View::Walk {
        d.tap("Attic");
    }
    d.tap("Roof height at the mark");
    d.type_text("61");
    d.tap("done");
    let mut pressed = 0;
    while d.app.session().view() != View::Surveys {
        d.press(Key::Escape);
        pressed += 1;
        assert!(pressed < 8, "{:?}", d.app.session().view());
    }
    // To another stop: the tab asks, and goes when it is tapped again.
    d.tap("Survey without a name");
    d.tap("Attic");
    d.tap("Roof height at the mark");
    d.type_text("62");
    d.tap("done");
    while d.app.session().sheet().is_some() {
        d.press(Key::Escape);
    }
    d.tap("Hall");
    assert!(held(&d));
    d.tap("stay here");
    d.tap("Hall");
    assert_eq!(d.app.session().view(), View::Place(Place::Stop(Stop::Hall)));
}

#[test]
fn none_of_these_stands_apart_and_names_them() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    d.go_stop(Stop::Arrival);
    d.tap("Mould seen: Yes");
    let label = d
        .labels_everywhere()
        .into_iter()
        .find(|label| label.ends_with(": None of these seen"))
        .expect("one key for the others");
    for field in HAZARDS {
        let name = fields::label_of(field);
        assert_eq!(label.contains(name), *field != "arrival.mould", "{label}");
    }
    let key = d.reach(&label);
    d.snapshot("gloves-none-of-these");
    let (top, size) = (key.absolute_position().y, key.size());
    assert!(size.height >= 64.0, "{size:?}");
    for field in HAZARDS {
        for word in ["Yes", "No"] {
            let Some(other) = d.find(&format!("{}: {word}", fields::label_of(field))) else {
                continue;
            };
            let end = other.absolute_position().y + other.size().height;
            assert!(end + 40.0 <= top, "{field}: {end} {top}");
            assert!(other.size().height >= 64.0);
        }
    }
    d.tap(&label);
    for field in HAZARDS {
        let seen = d.app.session().answer(FieldRef::house(field));
        assert_eq!(seen, Some(Value::YesNo(*field == "arrival.mould")));
    }
}

#[test]
fn too_hot_to_go_in_is_a_red_band_over_the_reading() {
    let data = tempfile::tempdir().expect("a folder");
    let mut d = begun(data.path(), SIZES[1]);
    d.go_stop(Stop::Arrival);
    d.tap("Attic temperature");
    d.type_text("118");
    let act = "Do not go in: 118 °F in the attic. Too hot to work in. Come back in the cool of the morning.";
    let told = |d: &Driver| {
        let labels = d.labels();
        labels
            .iter()
            .any(|it| it.replace('\u{202f}', " ").contains(act))
    };
    assert!(told(&d), "while it is typed: {:#?}", d.labels());
    d.snapshot_sizes("gloves-too-hot-typed");
    d.tap("done");
    assert!(told(&d), "and after");
    d.snapshot_sizes("gloves-too-hot");
    let picture = d.pixels();
    let red = picture
        .pixels()
        .filter(|it| it.0 == [0xA3, 0x16, 0x0E, 255]);
    assert!(red.count() > 412 * 30, "across the page");
    d.tap("Undo");
    assert!(!told(&d));
}

/// A small generator whose seed is printed (SplitMix64, Steele et al. 2014).
struct Dice(u64);

impl Dice {
    /// Below `most`.
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % most as u64) as usize
    }

    fn milliseconds(&mut self, least: usize, most: usize) -> Duration {
        Duration::from_millis((least + self.below(most - least)) as u64)
    }

    /// How far a finger slips: up to 12 dp in any direction.
    fn slip(&mut self) -> (f32, f32) {
        let far = self.below(1201) as f32 / 100.0;
        let turn = self.below(360) as f32;
        (far * turn.to_radians().cos(), far * turn.to_radians().sin())
    }
}

/// How many movements a gloved run has.
const MOVEMENTS: usize = 10;

/// How many gloved runs are made: 60, since each draws the window anew; as many as `JOISTLIGHT_RUNS` says.
fn runs() -> usize {
    let runs = std::env::var("JOISTLIGHT_RUNS").ok();
    runs.map_or(60, |runs| {
        runs.parse().expect("JOISTLIGHT_RUNS is a number")
    })
}

/// What a stray finger or sleeve presses on a keyboard. The space bar is the key of what is marked, and is no stray.
const STRAY: &[&str] = &[
    "0", "1", "2", "3", "7", "9", "\n", "\n", "\t", ".", "y", "n",
];

/// Somebody with gloves on.
struct Gloved {
    d: Driver,
    dice: Dice,
    told: String,
}

impl Gloved {
    fn hazards(&self) -> Option<(uuid::Uuid, Vec<Option<Value>>)> {
        let session = self.d.app.session();
        let survey = session.open()?.survey();
        let answers = HAZARDS.iter().map(|it| survey.answer(FieldRef::house(it)));
        Some((survey.id, answers.collect()))
    }

    /// Does something that answers nothing about hazards; where `aim` names a hazard's own key, that one may change.
    fn without_harm(&mut self, aim: &str, act: impl FnOnce(&mut Self)) {
        let before = self.hazards();
        act(self);
        let (Some(before), Some(after)) = (before, self.hazards()) else {
            return;
        };
        if before.0 != after.0 {
            return;
        }
        let takes_back = ["Undo", "undo the last change", "make it again"];
        if takes_back.contains(&aim) || aim == "Undo the last change" || aim == "Make it again" {
            return;
        }
        if before.1 != after.1 {
            self.told += &format!("{:?}\nto {:?}\n", before.1, after.1);
        }
        for (n, field) in HAZARDS.iter().enumerate() {
            let label = fields::label_of(field);
            let own = aim == format!("{label}: Yes") || aim == format!("{label}: No");
            let of_all = aim.ends_with(": None of these seen") && aim.contains(label);
            assert!(
                before.1[n] == after.1[n] || own || of_all,
                "{field} became {:?} by “{aim}”:\n{}",
                after.1[n],
                self.told
            );
        }
    }

    /// What can be tapped, with its middle.
    fn targets(&self) -> Vec<(String, f32, f32)> {
        let size = self.d.window.window().size();
        let mut found = Vec::new();
        self.d.window.root_element().visit_descendants(|e| {
            let (at, of) = (e.absolute_position(), e.size());
            let (x, y) = (at.x + of.width / 2.0, at.y + of.height / 2.0);
            let inside = x > 0.0 && y > 0.0 && x < size.width as f32 && y < size.height as f32;
            if let Some(label) = e.accessible_label()
                && e.accessible_role() == Some(AccessibleRole::Button)
                && inside
            {
                found.push((label.to_string(), x, y));
            }
            std::ops::ControlFlow::<()>::Continue(())
        });
        found
    }

    fn slip_to(&mut self, (label, x, y): &(String, f32, f32), note: &str) {
        let (dx, dy) = self.dice.slip();
        let size = self.d.window.window().size();
        let (x, y) = (
            (x + dx).clamp(1.0, size.width as f32 - 1.0),
            (y + dy).clamp(1.0, size.height as f32 - 1.0),
        );
        self.told += &format!("{note} “{label}” at {x:.0},{y:.0}\n");
        self.d.touch(x, y);
    }

    /// One movement of a hand.
    fn move_once(&mut self) {
        let targets = self.targets();
        let target = targets[self.dice.below(targets.len())].clone();
        let aim = target.0.clone();
        match self.dice.below(20) {
            0..8 => self.without_harm(&aim, |it| it.slip_to(&target, "tap")),
            8..12 => {
                let before = self.hazards();
                self.without_harm(&aim, |it| it.slip_to(&target, "tap"));
                let gap = self.dice.milliseconds(20, 350);
                pass(gap);
                // Where the first touch was none, the second is the tap; never are both.
                let aim = if self.hazards() == before { &aim } else { "" };
                self.without_harm(aim, |it| it.slip_to(&target, "and again"));
            }
            12..15 => {
                self.without_harm(&aim, |it| it.slip_to(&target, "tap"));
                let gap = self.dice.milliseconds(20, 550);
                let up = self.d.app.session().opening().is_some();
                pass(gap);
                let size = self.d.window.window().size();
                let somewhere = (
                    self.dice.below(size.width as usize) as f32,
                    self.dice.below(size.height as usize) as f32,
                );
                // Where nothing came up, that is a tap like any other.
                if up {
                    self.without_harm("", |it| {
                        it.told += &format!("while it opens {somewhere:?}\n");
                        it.d.touch(somewhere.0, somewhere.1);
                    });
                }
            }
            15..19 => {
                for _ in 0..=self.dice.below(4) {
                    let key = STRAY[self.dice.below(STRAY.len())];
                    self.without_harm("", |it| {
                        it.told += &format!("key {key:?}\n");
                        it.d.strike(SharedString::from(key));
                    });
                    let gap = self.dice.milliseconds(30, 900);
                    pass(gap);
                }
            }
            _ => {
                let by = self.dice.below(900) as f32 - 600.0;
                let area = self.d.scroll_area();
                self.told += &format!("scroll {by}\n");
                self.without_harm("", |it| it.d.wheel_in(area, by));
            }
        }
        let rest = self.dice.milliseconds(100, 1500);
        pass(rest);
    }

    /// Stands somewhere in a survey, on a page where something is answered.
    fn stand(&mut self) {
        for _ in 0..20 {
            let view = self.d.app.session().view();
            match view {
                View::Surveys => self.d.tap("Begin a survey"),
                View::Walk | View::Place(_) | View::FirstVisit | View::Verdict => return,
                _ => self.d.tap("back"),
            }
        }
        panic!("{:?}", self.d.app.session().view());
    }
}

#[test]
fn no_gloved_run_answers_about_a_hazard_without_its_own_key() {
    platform();
    let seed = std::env::var("JOISTLIGHT_SEED").ok();
    let seed = seed.map_or(20_261_201, |seed| seed.parse().expect("a number"));
    let data = tempfile::tempdir().expect("a folder");
    let mut it = Gloved {
        d: Driver::open(data.path(), SIZES[1]),
        dice: Dice(seed),
        told: String::new(),
    };
    let runs = runs();
    println!("seed {seed}, {runs} runs of {MOVEMENTS} movements");
    let (mut given, mut seen) = (0, 0);
    for run in 0..runs {
        it.told = format!("seed {seed}, run {run}\n");
        if run % 50 == 0 {
            // A new survey, lest everything be answered in the end.
            while it.d.app.session().view() != View::Surveys {
                it.d.tap("back");
            }
        }
        it.stand();
        // Mostly at the hatch, where the hazards are.
        if run % 4 != 3 {
            if it.d.app.session().sheet().is_some() {
                it.d.press(Key::Escape);
            }
            while it.d.app.session().view() != View::Walk {
                it.d.tap("back");
            }
            it.d.go_stop(Stop::Arrival);
            it.d.reach("Mould seen: No");
        }
        let before = it.hazards();
        for _ in 0..MOVEMENTS {
            if !matches!(
                it.d.app.session().view(),
                View::Walk | View::Place(_) | View::FirstVisit | View::Verdict
            ) {
                it.stand();
            }
            seen += usize::from(it.d.find("Mould seen: No").is_some());
            it.move_once();
        }
        given += usize::from(before != it.hazards());
    }
    println!(
        "hazards in sight before {seen} movements; in {given} runs one was answered by its own key"
    );
    // Otherwise nothing would have been tried.
    assert!(seen > runs && given > runs / 20, "{seen} {given}");
}
