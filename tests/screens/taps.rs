//! How many taps and keys the demo's house takes, through the real screens. Every tap and every key is counted.

use crate::driver::{Driver, SIZES, platform};
use crate::house::stand_side_by_side;
use joistlight::app::quick::Part;
use joistlight::app::session::{PickDoes, Sheet};
use joistlight::demo;
use joistlight::measure::Reading;
use joistlight::store::{Settings, Store};
use joistlight::survey::fields::{self, ListEntry};
use joistlight::survey::{FieldRef, ItemId, Kind, Stop, Survey, Value, Ways};

/// The demo's house as it is to be entered, and the survey that is being entered.
struct Walk {
    d: Driver,
    wanted: Survey,
    /// Keys of free words, and the taps into their wells.
    words: usize,
    word_taps: usize,
}

impl Walk {
    fn survey(&self) -> Survey {
        self.d.app.session().open().expect("open").survey().clone()
    }

    fn spot(&self) -> ItemId {
        self.d.app.session().open().expect("open").spot
    }

    /// The wanted survey's name for an answer: spots and entries by their numbers.
    fn there(&self, at: FieldRef) -> Option<FieldRef> {
        let here = self.survey();
        let spot = match at.spot {
            Some(spot) => {
                let number = here.spots.iter().position(|it| it.id == spot)?;
                Some(self.wanted.spots[number].id)
            }
            None => None,
        };
        let item = match at.item {
            Some(item) => {
                let list = fields::list_of_item_field(at.field)?;
                let number = here
                    .list(list.id, at.spot)?
                    .ids()
                    .iter()
                    .position(|id| *id == item)?;
                Some(*self.wanted.list(list.id, spot)?.ids().get(number)?)
            }
            None => None,
        };
        Some(FieldRef {
            field: at.field,
            spot,
            item,
        })
    }

    fn wanted(&self, at: FieldRef) -> Option<Value> {
        self.wanted.answer(self.there(at)?)
    }

    /// What is still to be entered at a stop of the present spot, in the order of the page.
    fn to_do(&self, stop: Stop) -> Vec<FieldRef> {
        let session = self.d.app.session();
        let all = session.seen(|seen| seen.questions(stop)).expect("open");
        drop(session);
        let survey = self.survey();
        all.into_iter()
            .filter(|at| {
                self.wanted(*at)
                    .is_some_and(|value| survey.answer(*at) != Some(value))
            })
            .collect()
    }

    fn is_wanted(&self, at: Option<FieldRef>) -> bool {
        at.is_some_and(|at| {
            let more = fields::list(at.field).is_some_and(|list| self.more(list));
            more || self.wanted(at).is_some()
        })
    }

    /// Whether the list is to have another entry.
    fn more(&self, list: &ListEntry) -> bool {
        self.next_entry(list).is_some()
    }

    /// The wanted entry that comes next in a list.
    fn next_entry(&self, list: &ListEntry) -> Option<(Option<ItemId>, ItemId)> {
        let here = self.survey();
        let spot = self.spot();
        let number = here.spots.iter().position(|it| it.id == spot)?;
        let owner = list.of_spot.then_some(spot);
        let there = list.of_spot.then_some(self.wanted.spots[number].id);
        let have = here.list(list.id, owner)?.ids().len();
        let next = *self.wanted.list(list.id, there)?.ids().get(have)?;
        Some((there, next))
    }

    /// Enters everything of a stop of the present spot.
    fn stop(&mut self, stop: Stop) {
        self.d.go_stop(stop);
        for turn in 0..200 {
            let sheet = self.d.app.session().sheet().cloned();
            if turn > 190 {
                println!("{sheet:?} {:?}", self.to_do(stop));
            }
            match sheet {
                Some(Sheet::Keys { at, .. }) => self.keys(at),
                Some(Sheet::Picks { at }) => self.picks(at),
                Some(other) => panic!("{other:?}"),
                None => {
                    if !self.open_one(stop) {
                        return;
                    }
                }
            }
        }
        panic!("{stop:?} does not come to an end");
    }

    /// With nothing open: opens what is still to be entered.
    fn open_one(&mut self, stop: Stop) -> bool {
        // Entries that are one too many, after a spot was copied.
        let (survey, spot) = (self.survey(), self.spot());
        for list in fields::LISTS.iter().filter(|list| list.stop == stop) {
            let owner = list.of_spot.then_some(spot);
            let ids = survey.list(list.id, owner).expect("a list").ids();
            let first = FieldRef {
                field: list.complete,
                spot: owner,
                item: None,
            };
            let there = self.there(first).expect("there");
            let wanted = self
                .wanted
                .list(list.id, there.spot)
                .expect("a list")
                .ids()
                .len();
            if ids.len() > wanted {
                self.to_stop(stop);
                let item = *ids.last().expect("one");
                let title = {
                    let session = self.d.app.session();
                    joistlight::app::place::Place::Item { list, item }.title(
                        &survey,
                        spot,
                        &session.reader(),
                    )
                };
                self.d.tap(&format!("delete {title}"));
                return true;
            }
        }
        if self.thing() {
            return true;
        }
        if let Some(at) = self.to_do(stop).first().copied() {
            self.row(at);
            return true;
        }
        for list in fields::LISTS.iter().filter(|list| list.stop == stop) {
            if self.more(list) {
                self.to_stop(stop);
                self.d.tap(&format!("Add: {}", list.one));
                return true;
            }
        }
        self.to_stop(stop);
        false
    }

    /// On the quick sheet of a thing in the way: says what it is and on which side it lies.
    fn thing(&mut self) -> bool {
        let Some(quick) = self.d.app.session().quick() else {
            return false;
        };
        let at = |field: &'static str, spot| FieldRef::spot(field, spot).item(quick.item);
        let spot = self.spot();
        let word = |it: &Walk, field| match it.wanted(at(field, spot)) {
            Some(Value::Choice(code)) => Some(code),
            _ => None,
        };
        let held = self.survey();
        for (field, label) in [("obstruction.kind", "Kind"), ("obstruction.shape", "Shape")] {
            let Some(Kind::Choice(words)) = fields::kind_of(field) else {
                panic!("{field}");
            };
            let wanted = word(self, field);
            if held.answer(at(field, spot)).is_none() && wanted.is_some() {
                let word = words
                    .iter()
                    .find(|it| Some(it.code) == wanted)
                    .expect("a word");
                self.d.tap(&format!("{label}: {}", word.label));
                return true;
            }
        }
        if word(self, "obstruction.shape") == Some("run") {
            // It is not level with the hall: its ends are measured one by one.
            self.d.tap("All its measurements, one by one");
            return true;
        }
        if quick.side.is_none() {
            let negative = |field| {
                matches!(
                    self.wanted(at(field, spot)),
                    Some(Value::Length(reading)) if reading.length().is_negative()
                )
            };
            let side = if negative("obstruction.ahead") {
                "Back"
            } else {
                "Ahead"
            };
            self.d
                .tap(&format!("Seen from the spot's middle it lies: {side}"));
            return true;
        }
        false
    }

    fn to_stop(&mut self, stop: Stop) {
        use joistlight::app::place::Place;
        while self.d.app.session().place() != Some(Place::Stop(stop)) {
            self.d.tap("back");
        }
    }

    /// Answers in a row of the page, or opens its keys.
    fn row(&mut self, at: FieldRef) {
        let place = joistlight::app::place::Place::of(at).expect("a place");
        if self.d.app.session().place() != Some(place) {
            self.to_stop(place.stop());
            if let joistlight::app::place::Place::Item { .. } = place {
                let title = {
                    let session = self.d.app.session();
                    place.title(&self.survey(), self.spot(), &session.reader())
                };
                self.d.tap(&title);
            }
        }
        let value = self.wanted(at).expect("wanted");
        let part = self.d.app.session().part_label(at);
        let label = part.unwrap_or(fields::label_of(at.field));
        match (fields::kind_of(at.field).expect("a kind"), value) {
            (Kind::Text, Value::Text(text)) => {
                let (taps, keys) = (self.d.taps, self.d.keys);
                self.d.tap(label);
                self.d.type_text(&text);
                self.words += self.d.keys - keys;
                self.word_taps += self.d.taps - taps;
                // What is typed is committed after a pause, or when anything else is tapped.
                self.d.settle_long();
            }
            (Kind::YesNo, Value::YesNo(yes)) => {
                self.d
                    .tap(&format!("{label}: {}", if yes { "Yes" } else { "No" }));
            }
            (Kind::Complete, _) => {
                let survey = self.survey();
                let list = fields::list(at.field).expect("a list");
                let empty = survey.list(list.id, at.spot).expect("a list").is_empty();
                self.d.tap(&if empty {
                    format!("{label}: none there?: Looked: there are none")
                } else {
                    format!("{label}: is that all?: That is all of them")
                });
            }
            (Kind::Choice(words), Value::Choice(code)) => {
                let word = words
                    .iter()
                    .find(|word| word.code == code)
                    .expect("a word")
                    .label;
                let beside = format!("{label}: {word}");
                if stand_side_by_side(words)
                    || part.is_some()
                    || self.d.app.session().quick().is_some()
                {
                    self.d.tap(&beside);
                } else {
                    self.d.tap(label);
                }
            }
            _ => self.d.tap(label),
        }
    }

    fn picks(&mut self, at: FieldRef) {
        let lines = self.d.app.session().picks_for(at);
        let line = |does: PickDoes| {
            lines
                .iter()
                .find(|(it, _)| *it == does)
                .map(|(_, label)| label.clone())
        };
        if let Some(list) = fields::list(at.field)
            && let Some((spot, next)) = self.next_entry(list)
        {
            // Like the last one, where that leaves less to do.
            let ids = self.wanted.list(list.id, spot).expect("a list").ids();
            let here = ids.iter().position(|id| *id == next).expect("there");
            let last = here.checked_sub(1).map(|before| ids[before]);
            let same = list.slots.iter().filter(|slot| {
                let of = |item: ItemId| {
                    self.wanted.answer(FieldRef {
                        field: slot.id,
                        spot,
                        item: Some(item),
                    })
                };
                last.is_some_and(|last| of(last) == of(next) && of(next).is_some())
            });
            let asked = list.slots.iter().filter(|slot| {
                self.wanted
                    .answer(FieldRef {
                        field: slot.id,
                        spot,
                        item: Some(next),
                    })
                    .is_some()
            });
            let does = if same.count() * 2 > asked.count() {
                PickDoes::AddLike
            } else {
                PickDoes::Add
            };
            let label = line(does).or_else(|| line(PickDoes::Add)).expect("adds");
            self.d.tap(&label);
            return;
        }
        let hazard = joistlight::app::place::HAZARDS.contains(&at.field);
        if hazard
            && let Some(none) = line(PickDoes::NoneSeen)
            && joistlight::app::place::HAZARDS
                .iter()
                .all(|field| self.wanted(FieldRef::house(field)) == Some(Value::YesNo(false)))
        {
            self.d.tap(&none);
            return;
        }
        let answer = match (fields::kind_of(at.field), self.wanted(at)) {
            (Some(Kind::Choice(words)), Some(Value::Choice(code))) => {
                words.iter().position(|word| word.code == code)
            }
            (_, Some(Value::YesNo(yes))) => Some(usize::from(!yes)),
            _ => None,
        };
        match answer {
            Some(n) => {
                let label = line(PickDoes::Answer(n)).expect("offered");
                self.d.tap(&label);
            }
            None => self.skip(),
        }
    }

    /// Leaves the question that is up for later, or puts it away.
    fn skip(&mut self) {
        let later = [
            "leave it for later",
            "done, and on to the next",
            "put the list away",
            "put the keys away",
        ];
        let label = later
            .iter()
            .find(|label| self.d.find(label).is_some())
            .expect("a way out");
        self.d.tap(label);
    }

    fn keys(&mut self, at: FieldRef) {
        let kind = fields::kind_of(at.field).expect("a kind");
        let ways = Ways::default();
        let Some(value) = self
            .wanted(at)
            .filter(|value| self.survey().answer(at).as_ref() != Some(value))
        else {
            self.skip();
            return;
        };
        // On the quick sheet the side says which way; the tape has no sign.
        let value = match (self.d.app.session().quick_part(at), value) {
            (Some(Part::Far | Part::Reach), Value::Length(reading))
                if reading.length().is_negative() =>
            {
                Value::Length(Reading::new(-reading.length(), reading.system()))
            }
            (_, value) => value,
        };
        let same = |text: &str| kind.parse(text, &ways).ok().flatten() == Some(value.clone());
        // As it is shown: `44 1/2"`, `14' 2"`, `5:12`.
        let shown = value.show(&Ways {
            style: joistlight::measure::Style::FeetInches,
            ..ways
        });
        let short = value.show(&ways);
        if self.offer(&same) {
            return;
        }
        let mut text = if short.len() <= shown.len() {
            short
        } else {
            shown
        };
        if let Some(rest) = text.strip_prefix(['-', '−']) {
            let rest = rest.to_owned();
            self.type_out(&rest, &same, kind);
            self.d.tap("turn the sign");
            text.clear();
        } else {
            let text = text.clone();
            if self.type_out(&text, &same, kind) {
                return;
            }
        }
        let session = self.d.app.session();
        let (done, next) = (session.next_after(at, false), session.next_after(at, true));
        drop(session);
        let label = if !self.is_wanted(done) && self.is_wanted(next) {
            "done, and on to the next"
        } else {
            "done"
        };
        self.d.tap(label);
    }

    /// Takes an offer where there is the right one.
    fn offer(&mut self, same: &dyn Fn(&str) -> bool) -> bool {
        let offers = self.d.app.session().offers();
        let found = offers
            .into_iter()
            .find(|offer| offer.text.as_deref().is_some_and(same));
        if let Some(offer) = &found {
            self.d.tap(&format!("take {}", offer.label));
        }
        found.is_some()
    }

    /// Types on the keypad; true where an offer finished it.
    fn type_out(&mut self, text: &str, same: &dyn Fn(&str) -> bool, kind: Kind) -> bool {
        let length = matches!(kind, Kind::Length | Kind::Offset);
        // Marks that the keypad or the parser needs: feet, inches before a fraction, a unit that is not the usual.
        let mut typed = String::new();
        let plain = text.trim_end_matches('"');
        let (body, fraction) = match plain.rsplit_once(' ') {
            Some((body, part)) if length && part.contains('/') => (body.to_owned(), Some(part)),
            None if length && plain.contains('/') => (String::new(), Some(plain)),
            _ => (text.to_owned(), None),
        };
        for c in body.chars() {
            match c {
                '0'..='9' => {
                    self.d.tap(&c.to_string());
                    typed.push(c);
                    if self.offer(same) {
                        return true;
                    }
                }
                '\'' => self.d.tap("ft ′"),
                '.' => self.d.tap("."),
                '"' if fraction.is_none() => {}
                _ if length => {}
                _ => break,
            }
        }
        if let Some(part) = fraction {
            let (over, under) = part.split_once('/').expect("a fraction");
            let (over, under): (i32, i32) =
                (over.parse().expect("over"), under.parse().expect("under"));
            if !body.is_empty() {
                self.d.tap("in ″");
            }
            for c in (over * 16 / under).to_string().chars() {
                self.d.tap(&c.to_string());
            }
            self.d.tap("/16");
        }
        false
    }
}

#[test]
fn the_demo_house_takes_few_taps() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    // The device knows its surveyor.
    {
        let store = Store::open(data.path()).expect("a store");
        let settings = Settings {
            surveyor: Some("Sam Sample".into()),
            ..Settings::default()
        };
        store.save_settings(&settings).expect("saved");
    }
    let mut wanted = demo::survey().expect("the demo");
    // The visit is now.
    wanted.arrival.visited_at = None;
    let mut it = Walk {
        d: Driver::open(data.path(), SIZES[1]),
        wanted,
        words: 0,
        word_taps: 0,
    };
    it.d.tap("Begin a survey");
    // What the program puts in by itself is no fact that anybody entered.
    let given = count(&it.survey());
    for stop in Stop::ALL {
        it.stop(*stop);
    }
    let first = (it.d.taps, it.d.keys, count(&it.survey()) - given);
    // The second spot has the first one's frame, the third has no attic yet.
    it.d.go_stop(Stop::Hall);
    it.d.tap("Another spot with the same answers");
    it.stop(Stop::Hall);
    it.stop(Stop::Attic);
    it.d.go_stop(Stop::Hall);
    it.d.tap("add a spot");
    it.stop(Stop::Hall);
    it.stop(Stop::Attic);
    let held = it.survey();

    // It is the demo's house, answer by answer.
    let (a, b) = (held.places(), it.wanted.places());
    assert_eq!(a.len(), b.len(), "spots and entries");
    for at in &a {
        if at.field == "arrival.visited_at" {
            continue;
        }
        let there = it.there_by_number(*at);
        assert_eq!(held.answer(*at), it.wanted.answer(there), "{at:?}");
    }
    let facts = count(&held) - given;
    let (taps, keys) = (it.d.taps, it.d.keys);
    let texts = held
        .places()
        .iter()
        .filter(|at| fields::kind_of(at.field) == Some(Kind::Text) && held.answer(**at).is_some())
        .count()
        - 1; // the surveyor's own name was known
    let ratio = |n: usize, facts: usize| n as f64 / facts as f64;
    println!(
        "first spot and house: {} facts by {} taps and {} keys: {:.2} a fact",
        first.2,
        first.0,
        first.1,
        ratio(first.0 + first.1, first.2)
    );
    println!(
        "whole demo house, three spots: {facts} facts by {taps} taps and {keys} keys: {:.2} a fact",
        ratio(taps + keys, facts)
    );
    println!(
        "without free words: {} facts by {} taps and {} keys: {:.2} a fact ({texts} texts took {} taps and {} keys)",
        facts - texts,
        taps - it.word_taps,
        keys - it.words,
        ratio(taps + keys - it.word_taps - it.words, facts - texts),
        it.word_taps,
        it.words,
    );
}

impl Walk {
    fn there_by_number(&self, at: FieldRef) -> FieldRef {
        self.there(at)
            .unwrap_or_else(|| panic!("{at:?} is not in the demo"))
    }
}

fn count(survey: &Survey) -> usize {
    survey
        .places()
        .iter()
        .filter(|at| survey.answer(**at).is_some())
        .count()
}
