//! How many taps and keys a whole house takes.
//!
//! | counted | as |
//! |---|---|
//! | a tap anywhere, on a key of the keypad too | one action |
//! | a key of the keyboard, for words that nobody can offer | one action, and listed apart |
//! | an answer in the survey that the surveyor gave, "that is all of them" too | one fact |
//! | answers taken over from another spot, or given together, each by one tap | one fact each, and listed apart |
//! | the moment of the visit (the clock's) and the surveyor's name (the device's) | no fact |
//! | swipes, pictures, looks at the verdict | not counted |
//!
//! The house is the demo's. Lengths are read as a tape is read: from six feet on in feet and inches, below in
//! inches. Measured, never estimated: every action is a real tap or key in the surveyor's window.

use crate::driver::{Driver, SIZES, platform};
use crate::house::stand_side_by_side;
use joistlight::app::control::safety::HAZARDS;
use joistlight::app::place::{Key, Place};
use joistlight::app::quick::Part;
use joistlight::app::session::Sheet;
use joistlight::demo;
use joistlight::measure::{Length, Reading};
use joistlight::store::{Settings, Store};
use joistlight::survey::fields::{self, ListEntry};
use joistlight::survey::{FieldRef, ItemId, Kind, Obstruction, Shape, Side, Stop, Survey, Value};
use std::collections::BTreeMap;

/// More actions than this a fact, and the screens have become worse. Without the letters of free words, and with them.
/// Since rooms, doors, windows and exhausts are entries of their own, 1.58: each has answers that a house lacks.
const MOST: (f64, f64) = (1.6, 2.35);

/// The surveyor who enters the demo's house.
struct Walker {
    d: Driver,
    house: Survey,
    /// Where the actions went, by what they were for.
    spent: BTreeMap<String, usize>,
    /// Facts that came several at one tap.
    together: usize,
}

fn held(d: &Driver) -> Survey {
    d.app.session().open().expect("open").survey().clone()
}

/// The answer at `at`, without what only the clock and the device know.
fn is_fact(at: FieldRef) -> bool {
    !matches!(at.field, "arrival.visited_at" | "arrival.surveyor")
}

/// The same place in another survey: spots and entries by their order.
fn same_place(at: FieldRef, from: &Survey, to: &Survey) -> Option<FieldRef> {
    let spot = match at.spot {
        None => None,
        Some(id) => {
            let number = from.spots.iter().position(|spot| spot.id == id)?;
            Some(to.spots.get(number)?.id)
        }
    };
    let item = match at.item {
        None => None,
        Some(id) => {
            let list = fields::list_of_item_field(at.field)?;
            let number = from.list(list.id, at.spot)?.ids();
            let number = number.iter().position(|it| *it == id)?;
            Some(*to.list(list.id, spot)?.ids().get(number)?)
        }
    };
    Some(FieldRef { spot, item, ..at })
}

impl Walker {
    fn actions(&self) -> usize {
        self.d.taps + self.d.keys
    }

    /// Does something and notes what it was for.
    fn spend<T>(&mut self, what: &str, act: impl FnOnce(&mut Self) -> T) -> T {
        let before = self.actions();
        let done = act(self);
        *self.spent.entry(what.to_owned()).or_default() += self.actions() - before;
        done
    }

    fn tap(&mut self, what: &str, label: &str) {
        self.spend(what, |it| it.d.tap(label));
    }

    /// What the demo's house has at this place of the window's survey.
    fn wanted(&self, at: FieldRef) -> Option<Value> {
        let there = same_place(at, &held(&self.d), &self.house)?;
        self.house.answer(there)
    }

    fn is_missing(&self, at: FieldRef) -> bool {
        self.d.app.session().answer(at).is_none() && self.wanted(at).is_some()
    }

    /// Entries of a list, in the demo's house and so far.
    fn entries(&self, list: &ListEntry, spot: Option<ItemId>) -> (usize, usize) {
        let survey = held(&self.d);
        let at = FieldRef {
            field: list.complete,
            spot,
            item: None,
        };
        let there = same_place(at, &survey, &self.house).expect("the list");
        let count = |of: &Survey, spot| of.list(list.id, spot).map_or(0, |it| it.ids().len());
        (count(&self.house, there.spot), count(&survey, spot))
    }

    /// Answers whatever sheet is up, until none is.
    fn go_on(&mut self) {
        loop {
            let sheet = self.d.app.session().sheet().cloned();
            match sheet {
                Some(Sheet::Keys { at, .. }) if self.is_missing(at) => self.type_in(at),
                Some(Sheet::Picks { at }) if self.is_missing(at) => self.pick(at),
                Some(Sheet::Keys { .. } | Sheet::Picks { .. }) => {
                    let keys = matches!(sheet, Some(Sheet::Keys { .. }));
                    let next = self.d.app.session().has_next();
                    let label = match (keys, next) {
                        (true, true) => "done, and on to the next",
                        (true, false) => "put the keys away",
                        (false, true) => "leave it for later",
                        (false, false) => "put the list away",
                    };
                    self.tap("left for later", label);
                }
                Some(other) => panic!("{other:?}"),
                None => return,
            }
        }
    }

    fn pick(&mut self, at: FieldRef) {
        let value = self.wanted(at).expect("wanted");
        match fields::kind_of(at.field).expect("a kind") {
            Kind::Complete => {
                let list = fields::list(at.field).expect("a list");
                let (wanted, have) = self.entries(list, at.spot);
                if have < wanted {
                    self.tap("adding", &format!("Add one: {}", list.one));
                } else if wanted == 0 {
                    self.tap("all of them", "Looked: there are none");
                } else {
                    self.tap("all of them", "That is all of them");
                }
            }
            Kind::YesNo => {
                let word = if value == Value::YesNo(true) {
                    "Yes"
                } else {
                    "No"
                };
                self.tap("yes or no", word);
            }
            Kind::Choice(words) => {
                let word = words
                    .iter()
                    .find(|word| value == Value::Choice(word.code))
                    .expect("a word");
                self.tap("choice", word.label);
            }
            Kind::Text => {
                let Value::Text(words) = value else { panic!() };
                let offered = self.d.app.session().picks_for(at);
                if offered.iter().any(|(_, label)| *label == words) {
                    self.tap("usual words", &words);
                } else {
                    self.tap("words", "Type other words");
                    self.row(at);
                }
            }
            other => panic!("{other:?} is not picked"),
        }
    }

    /// Whether nothing of the hazards was seen in the demo's house, and more than one is not answered.
    fn none_of_the_hazards(&mut self, at: FieldRef) -> bool {
        let open: Vec<FieldRef> = HAZARDS
            .iter()
            .map(|field| FieldRef::house(field))
            .filter(|at| self.d.app.session().answer(*at).is_none())
            .collect();
        let none = open.contains(&at)
            && open.len() > 1
            && open
                .iter()
                .all(|at| self.wanted(*at) == Some(Value::YesNo(false)));
        if none {
            self.together += open.len() - 1;
        }
        none
    }

    /// Types a value on the keypad that is up, or takes it where it is offered.
    fn type_in(&mut self, at: FieldRef) {
        let mut value = self.wanted(at).expect("wanted");
        let part = self.d.app.session().quick_part(at);
        if let (Some(Part::Far | Part::Reach), Value::Length(it)) = (part, &value)
            && it.length().is_negative()
        {
            value = Value::Length(Reading::new(-it.length(), it.system()));
        }
        let kind = fields::kind_of(at.field).expect("a kind");
        let what = match kind {
            Kind::Length | Kind::Offset => "length".to_owned(),
            other => format!("{other:?}")
                .split([' ', '{', '('])
                .next()
                .unwrap_or("")
                .to_owned(),
        };
        self.spend(&what, |it| {
            if it.take(&value, kind) {
                return;
            }
            for key in it.keys_for(&value, kind) {
                it.d.tap(&key);
                if it.take(&value, kind) {
                    return;
                }
            }
            let next = it.d.app.session().has_next();
            it.d.tap(if next {
                "done, and on to the next"
            } else {
                "done"
            });
        });
        let taken = self.d.app.session().answer(at).is_some();
        assert!(taken, "{at:?}: {value:?}");
    }

    /// Takes an offer where one is the very value.
    fn take(&mut self, value: &Value, kind: Kind) -> bool {
        let ways = self.d.app.session().key_ways();
        let offer = self.d.app.session().offers().into_iter().find(|offer| {
            offer
                .text
                .as_ref()
                .is_some_and(|text| kind.parse(text, &ways).ok().flatten().as_ref() == Some(value))
        });
        if let Some(offer) = &offer {
            self.d.tap(&format!("take {}", offer.label));
        }
        offer.is_some()
    }

    fn keys_for(&self, value: &Value, kind: Kind) -> Vec<String> {
        let ways = self.d.app.session().key_ways();
        let digits = |text: &str| text.chars().map(String::from).collect::<Vec<_>>();
        if let Value::Length(reading) = value {
            return tape_keys(reading.length());
        }
        // As few keys as the bare figures, or a unit behind them.
        let shown = value.show(&ways).replace(['−', ','], "");
        let figures: String = shown
            .chars()
            .take_while(|c| c.is_ascii_digit() || *c == '.')
            .collect();
        let mut keys = digits(&figures);
        if kind.parse(&figures, &ways).ok().flatten().as_ref() != Some(value) {
            let unit = shown[figures.len()..].trim().to_owned();
            keys.push(unit);
        }
        keys
    }

    /// Opens or answers a row of the stop.
    fn row(&mut self, at: FieldRef) {
        let label = fields::label_of(at.field);
        let value = self.wanted(at).expect("wanted");
        match fields::kind_of(at.field).expect("a kind") {
            Kind::Text => {
                let Value::Text(words) = value else { panic!() };
                self.tap("words", label);
                let before = self.d.keys;
                self.d.type_text(&words);
                *self.spent.entry("letters".to_owned()).or_default() += self.d.keys - before;
                // A pause, after which they are in the survey.
                self.d.settle_long();
                assert!(!self.is_missing(at), "{at:?}");
            }
            Kind::YesNo if self.none_of_the_hazards(at) => {
                let rows = self.d.app.session().rows();
                let row = rows.iter().find(|row| row.key == Key::NoneSeen);
                let row = row.expect("one key for all of them");
                self.tap("yes or no", &format!("{}: {}", row.label, row.picks[0]));
            }
            Kind::YesNo => {
                let word = if value == Value::YesNo(true) {
                    "Yes"
                } else {
                    "No"
                };
                self.tap("yes or no", &format!("{label}: {word}"));
            }
            Kind::Choice(words) if stand_side_by_side(words) => {
                let word = words
                    .iter()
                    .find(|word| value == Value::Choice(word.code))
                    .expect("a word");
                self.tap("choice", &format!("{label}: {}", word.label));
            }
            Kind::Complete => {
                let list = fields::list(at.field).expect("a list");
                let (wanted, have) = self.entries(list, at.spot);
                if have < wanted {
                    self.tap("adding", &format!("Add: {}", list.one));
                } else if wanted == 0 {
                    let label = format!("{}: none there?: Looked: there are none", list.label);
                    self.tap("all of them", &label);
                } else {
                    let label = format!("{}: is that all?: That is all of them", list.label);
                    self.tap("all of them", &label);
                }
            }
            _ => self.tap("opening a row", label),
        }
    }

    /// A thing in the way, on its one sheet; the keys come up by themselves.
    fn thing(&mut self, item: ItemId) {
        let at = |field| FieldRef::spot(field, self.spot()).item(item);
        let there = same_place(at("obstruction.kind"), &held(&self.d), &self.house).expect("it");
        let it: Obstruction = {
            let spot = self.house.spot(there.spot.expect("a spot")).expect("it");
            let mut all = spot.attic.obstructions.items.iter();
            all.find(|it| Some(it.id) == there.item)
                .expect("it")
                .clone()
        };
        let askew = it.shape == Some(Shape::Run)
            && it.ahead.map(|r| r.length()) != it.to_ahead.map(|r| r.length());
        if askew {
            self.tap("thing in the way", "All its measurements, one by one");
            self.tap("opening a row", fields::label_of("obstruction.kind"));
            self.go_on();
            return;
        }
        let kind = it.kind.expect("a kind").label();
        let shape = it.shape.expect("a shape").label();
        self.tap("choice", &format!("Kind: {kind}"));
        self.tap("choice", &format!("Shape: {shape}"));
        let ahead = it.ahead.expect("measured").length();
        let (side, aside) = if ahead == Length::ZERO {
            (Side::Left, it.ahead)
        } else if ahead.is_negative() {
            (Side::Back, it.left)
        } else {
            (Side::Ahead, it.left)
        };
        let side_label = format!("Seen from the spot's middle it lies: {}", side.label());
        self.tap("thing in the way", &side_label);
        self.go_on();
        if aside.is_some_and(|aside| aside.length() != Length::ZERO) {
            self.tap("opening a row", Part::Aside.label(Some(side)));
            let at =
                FieldRef::spot(Part::Aside.field(it.shape, Some(side)), self.spot()).item(item);
            self.type_in(at);
            self.go_on();
        }
    }

    fn spot(&self) -> ItemId {
        self.d.app.session().open().expect("open").spot
    }

    /// What this stop has in common with another spot, where it is so in the demo's house.
    fn as_another(&mut self, stop: Stop) {
        let session = self.d.app.session();
        let common = session.seen(|seen| seen.common(stop)).flatten();
        let Some(common) = common else { return };
        drop(session);
        let survey = held(&self.d);
        let (here, there) = (self.spot(), common.of);
        let alike = common.fields.iter().all(|field| {
            self.wanted(FieldRef::spot(field, here)) == survey.answer(FieldRef::spot(field, there))
        });
        if !alike {
            return;
        }
        let facts = |d: &Driver| {
            held(d)
                .places()
                .iter()
                .filter(|at| held(d).answer(**at).is_some())
                .count()
        };
        let before = facts(&self.d);
        let what = match stop {
            Stop::Hall => "Ceiling, switch box and rooms as at: ",
            _ => "Framing, attic floor and way in as at: ",
        };
        let name = survey.spot(there).and_then(|spot| spot.name.clone());
        self.tap(
            "as another spot",
            &format!("{what}{}", name.expect("a name")),
        );
        self.together += facts(&self.d) - before - 1;
    }

    /// Answers all that the demo's house has at a stop, for the present spot.
    fn at_stop(&mut self, stop: Stop) {
        if matches!(stop, Stop::Hall | Stop::Attic) {
            self.as_another(stop);
        }
        for _ in 0..400 {
            self.go_on();
            let place = self.d.app.session().place().expect("a place");
            if let Place::Item { list, item } = place {
                let (wanted, have) = self.entries(list, list.of_spot.then(|| self.spot()));
                let kind = FieldRef::spot("obstruction.kind", self.spot()).item(item);
                if list.id == "attic.obstructions" && self.is_missing(kind) {
                    self.thing(item);
                } else if have < wanted {
                    self.tap("adding", "Add another one");
                } else {
                    let label = format!("{}: is that all?: That is all of them", list.label);
                    self.tap("all of them", &label);
                    self.tap("ways", "back");
                }
                continue;
            }
            let session = self.d.app.session();
            let questions = session.seen(|seen| seen.questions(stop)).expect("open");
            drop(session);
            let Some(next) = questions
                .into_iter()
                .find(|at| at.item.is_none() && self.is_missing(*at))
            else {
                return;
            };
            self.row(next);
        }
        panic!("{stop:?} never ends");
    }

    fn go_stop(&mut self, stop: Stop) {
        self.spend("ways", |it| it.d.go_stop(stop));
    }
}

/// A length as it stands on the tape, key by key.
fn tape_keys(length: Length) -> Vec<String> {
    let sixteenth = Length::sixteenths(1);
    let negative = length.is_negative();
    let plain = if negative { -length } else { length };
    let mut parts = 0;
    while sixteenth * parts < plain {
        parts += 1;
    }
    assert_eq!(sixteenth * parts, plain, "a tape has sixteenths");
    let (inches, fraction) = (parts / 16, parts % 16);
    let mut keys = Vec::new();
    let digits = |number: i64, keys: &mut Vec<String>| {
        keys.extend(number.to_string().chars().map(String::from));
    };
    if inches >= 72 {
        digits(inches / 12, &mut keys);
        keys.push("ft ′".to_owned());
        if inches % 12 > 0 || fraction > 0 {
            digits(inches % 12, &mut keys);
        }
    } else {
        digits(inches, &mut keys);
    }
    if negative {
        keys.push("turn the sign".to_owned());
    }
    if fraction > 0 {
        keys.push("in ″".to_owned());
        digits(fraction, &mut keys);
        keys.push("/16".to_owned());
    }
    keys
}

#[test]
fn the_demo_house_takes_few_taps() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let house = demo::survey().expect("the demo's house");
    {
        // The device knows who works with it.
        let store = Store::open(data.path()).expect("a store");
        let settings = Settings {
            surveyor: house.arrival.surveyor.clone(),
            ..Settings::default()
        };
        store.save_settings(&settings).expect("saved");
    }
    let d = Driver::open(data.path(), SIZES[1]);
    let mut it = Walker {
        d,
        house,
        spent: BTreeMap::new(),
        together: 0,
    };
    it.tap("ways", "Begin a survey");
    for stop in Stop::ALL {
        it.go_stop(*stop);
        match stop {
            Stop::Hall => {
                it.at_stop(*stop);
                for _ in 1..it.house.spots.len() {
                    it.tap("ways", "add a spot");
                    it.go_named();
                    it.at_stop(*stop);
                }
            }
            Stop::Attic => {
                for number in 0..it.house.spots.len() {
                    let name = it.house.spots[number].name.clone().expect("a name");
                    it.tap("ways", &format!("spot {name}"));
                    it.at_stop(*stop);
                }
            }
            _ => it.at_stop(*stop),
        }
    }
    // Words that are being typed are committed by whatever is tapped next.
    it.tap("ways", "back");

    for (what, actions) in &it.spent {
        println!("{actions:>5}  {what}");
    }
    // Field by field what the demo has, and nothing else.
    let survey = held(&it.d);
    assert_eq!(survey.spots.len(), it.house.spots.len());
    let mut facts = 0;
    for at in survey.places() {
        let there = same_place(at, &survey, &it.house).unwrap_or_else(|| panic!("{at:?}"));
        if at.field == "arrival.visited_at" {
            assert!(survey.answer(at).is_some());
            continue;
        }
        assert_eq!(survey.answer(at), it.house.answer(there), "{at:?}");
        facts += usize::from(survey.answer(at).is_some() && is_fact(at));
    }
    assert_eq!(survey.places().len(), it.house.places().len());

    let letters = it.spent.get("letters").copied().unwrap_or(0);
    let all = it.actions();
    let each = |actions: usize| actions as f64 / facts as f64;
    println!(
        "{facts} facts ({} of them several at one tap) by {} taps and {} letters of free words: \
         {:.2} actions a fact, {:.2} with the letters; {:.2} where only what was given one by one counts",
        it.together,
        it.d.taps,
        letters,
        each(all - letters),
        each(all),
        (all - letters) as f64 / (facts - it.together) as f64,
    );
    assert_eq!(
        it.spent.values().sum::<usize>(),
        all,
        "every action is told"
    );
    assert!(each(all - letters) < MOST.0, "{:.2}", each(all - letters));
    assert!(each(all) < MOST.1, "{:.2}", each(all));
}

impl Walker {
    /// The new spot's name comes up by itself; then what it has in common, before anything is typed.
    fn go_named(&mut self) {
        let sheet = self.d.app.session().sheet().cloned();
        if let Some(Sheet::Picks { at }) = sheet {
            self.pick(at);
        }
    }
}
