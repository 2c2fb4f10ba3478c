//! From one answer to the next: what still matters here comes up by itself, so that nothing is looked for and no
//! keypad is opened by hand.

use super::*;
use crate::app::offers;
use crate::app::usual_words;
use crate::measure::{BareUnit, System, Tape};

/// What a line of the answers' sheet does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PickDoes {
    /// Gives the answer with this number.
    Answer(usize),
    /// Writes the usual words with this number.
    Words(usize),
    /// Puts the list away and leads to where other words are typed.
    OtherWords,
    /// Takes the answer back.
    TakeBack,
    /// Adds an entry with the values of the last one.
    AddLike,
    /// Adds an empty entry.
    Add,
}

/// A value to take with one tap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// What stands on its key.
    pub label: String,
    /// What it types; nothing where the key changes the unit.
    pub text: Option<String>,
}

impl Session {
    /// The question that comes after `at`.
    ///
    /// Of an entry, all that is asked comes in turn, then whether that is all of them. Of a stop it is the next
    /// answer that is missing and still matters for the present spot, down the page and round; with `any`, the
    /// next that is missing, down the page. Words are asked in turn only where there are usual ones to take with one
    /// tap: the others need another keyboard.
    pub fn next_after(&self, at: FieldRef, any: bool) -> Option<FieldRef> {
        let stop = Place::of(at)?.stop();
        if self.view() == View::FirstVisit {
            return self.next_first(at, any);
        }
        self.seen(|seen| {
            let missing = |there: &FieldRef| {
                *there != at && seen.survey.answer(*there).is_none() && asked_in_turn(there.field)
            };
            if let (Some(item), Some(list)) = (at.item, fields::list_of_item_field(at.field)) {
                let of_entry = seen.questions_of(list, item);
                let here = of_entry.iter().position(|there| *there == at).unwrap_or(0);
                let (before, after) = of_entry.split_at(here);
                let in_turn = after.iter().chain(before.iter().filter(|_| !any));
                if let Some(next) = in_turn.copied().find(missing) {
                    return Some(next);
                }
                let all = FieldRef {
                    field: list.complete,
                    spot: at.spot,
                    item: None,
                };
                // The quick entry is a sheet of its own: what else is there stands under it.
                if seen.quick.is_some_and(|quick| quick.item == item) {
                    return None;
                }
                if missing(&all) {
                    return Some(all);
                }
            }
            let all = seen.questions(stop);
            let here = all.iter().position(|there| *there == at).unwrap_or(0);
            let (before, after) = all.split_at(here);
            if any {
                return after.iter().copied().find(missing);
            }
            after
                .iter()
                .chain(before)
                .copied()
                .find(|there| missing(there) && seen.judged.matters_here(there))
        })?
    }

    /// The first visit's page has its own few questions.
    fn next_first(&self, at: FieldRef, any: bool) -> Option<FieldRef> {
        let all: Vec<FieldRef> = self.first_answers().iter().map(|it| it.field).collect();
        let here = all.iter().position(|there| *there == at)?;
        let (before, after) = all.split_at(here);
        let missing = |there: &FieldRef| *there != at && self.answer(*there).is_none();
        let in_turn = after.iter().chain(before.iter().filter(|_| !any));
        in_turn.copied().find(missing)
    }

    /// Asks what comes after `at`, or puts the keys away where nothing does.
    pub(super) fn go_on(&mut self, at: FieldRef, any: bool) {
        self.show_sheet(None);
        // Whoever went on with *next* goes down the page until the keys are put away.
        self.every |= any;
        match self.next_after(at, self.every) {
            Some(next) => self.ask(next),
            None => {
                self.every = false;
                self.bookmark();
            }
        }
    }

    /// Whether `next`, which was to come after `at`, is asked no longer, though nobody answered it.
    pub(super) fn is_dropped(&self, next: FieldRef, at: FieldRef, any: bool) -> bool {
        if self.answer(next).is_some() || self.next_after(at, any) == Some(next) {
            return false;
        }
        if self.view() == View::FirstVisit {
            return !self.first_answers().iter().any(|it| it.field == next);
        }
        let asked = self.seen(|seen| {
            // Of an entry, all that it has is asked.
            next.item.is_some() || any || seen.judged.matters_here(&next)
        });
        asked == Some(false)
    }

    /// Says that a question fell away by the answer before it.
    pub(super) fn say_dropped(&mut self, at: FieldRef) {
        let what = fields::label_of(at.field);
        let text = Say::new("No longer asked: {what}. The answer before it settles that.");
        let text = self.reader().said(&text.with("what", what));
        self.say(text, Some(Undo::Change));
        self.show = Some(Key::Field(at));
    }

    /// Stands where `at` is answered and opens its keys.
    pub(super) fn ask(&mut self, at: FieldRef) {
        let Some(place) = Place::of(at) else { return };
        if self.place() != Some(place) && self.view() != View::FirstVisit {
            match place {
                Place::Item { list, item } => self.enter(list, item),
                Place::Stop(_) => self.go(View::Place(place)),
            }
        }
        self.open_keys(at);
    }

    /// What can be picked for `at`, as the sheet lists it.
    pub fn picks_for(&self, at: FieldRef) -> Vec<(PickDoes, String)> {
        let reader = self.reader();
        let answered = self.answer(at).is_some();
        let mut picks: Vec<(PickDoes, String)> = Vec::new();
        match fields::kind_of(at.field) {
            Some(Kind::Choice(words)) => {
                picks.extend(
                    words
                        .iter()
                        .enumerate()
                        .map(|(n, word)| (PickDoes::Answer(n), reader.tr(word.label))),
                );
            }
            Some(Kind::YesNo) => {
                picks.push((PickDoes::Answer(0), reader.tr("Yes")));
                picks.push((PickDoes::Answer(1), reader.tr("No")));
            }
            Some(Kind::Complete) => {
                if let (Some(list), Some(open)) = (fields::list(at.field), &self.open) {
                    let empty = open
                        .survey()
                        .list(list.id, at.spot)
                        .is_none_or(|entries| entries.is_empty());
                    if empty {
                        picks.push((PickDoes::Answer(0), reader.tr("Looked: there are none")));
                    } else {
                        picks.push((PickDoes::Answer(0), reader.tr("That is all of them")));
                        picks.push((PickDoes::AddLike, reader.tr("Another one like the last")));
                    }
                    let add = Say::new("Add one: {what}").with("what", list.one);
                    picks.push((PickDoes::Add, reader.said(&add)));
                }
            }
            Some(Kind::Text) => {
                let words = usual_words::usual(at.field);
                picks.extend(
                    words
                        .iter()
                        .enumerate()
                        .map(|(n, word)| (PickDoes::Words(n), reader.tr(word))),
                );
                picks.push((PickDoes::OtherWords, reader.tr("Type other words")));
            }
            _ => {}
        }
        if answered {
            picks.push((
                PickDoes::TakeBack,
                reader.tr("Take it back: not measured yet"),
            ));
        }
        picks
    }

    /// Does what was picked from the sheet for `at`, and goes on.
    pub(super) fn picked(&mut self, at: FieldRef, option: usize) {
        let Some((does, _)) = self.picks_for(at).into_iter().nth(option) else {
            return;
        };
        match does {
            PickDoes::Answer(n) => {
                let expected = self.next_after(at, self.every);
                self.pick(at, Some(n));
                let dropped = expected.filter(|next| self.is_dropped(*next, at, self.every));
                self.go_on(at, false);
                if let Some(dropped) = dropped {
                    self.say_dropped(dropped);
                }
            }
            PickDoes::Words(n) => {
                if let Some(words) = usual_words::usual(at.field).get(n) {
                    let words = self.reader().tr(words);
                    self.commit(at, &words);
                }
                self.go_on(at, false);
            }
            PickDoes::OtherWords => self.show = Some(Key::Field(at)),
            PickDoes::TakeBack if fields::kind_of(at.field) == Some(Kind::Text) => {
                self.commit(at, "");
            }
            PickDoes::TakeBack => self.pick(at, None),
            PickDoes::AddLike | PickDoes::Add => {
                let Some(list) = fields::list(at.field) else {
                    return;
                };
                if does == PickDoes::Add {
                    self.add_entry(list);
                } else {
                    self.add_like_last(list);
                }
            }
        }
    }

    /// Says of every hazard that nobody has answered yet that it was looked for and not seen: one tap, one
    /// change.
    pub fn none_seen(&mut self) {
        if !self
            .guard
            .takes_answer(FieldRef::house(safety::HAZARDS[0]), true)
        {
            return;
        }
        self.change(|survey, _| {
            for field in safety::HAZARDS {
                let at = FieldRef::house(field);
                if survey.answer(at).is_none() {
                    survey.put(at, Some(Value::YesNo(false))).ok()?;
                }
            }
            Some(())
        });
    }

    /// How what is typed on the keys is read: by the settings, or by the tape's other unit where the surveyor
    /// turned the keys to it.
    pub fn key_ways(&self) -> Ways {
        let ways = self.reader().ways;
        let length = matches!(
            self.sheet,
            Some(Sheet::Keys {
                kind: Kind::Length | Kind::Offset,
                ..
            })
        );
        if !(self.keys_turned && length) {
            return ways;
        }
        let (bare, tape) = match ways.tape.system() {
            System::Inch => (BareUnit::Millimetre, Tape::Millimetre),
            System::Metric => (BareUnit::Inch, Tape::default()),
        };
        Ways { bare, tape, ..ways }
    }

    /// The values to take with one tap: of the last like it, the usual sizes, or the ends of what is being typed.
    pub fn offers(&self) -> Vec<Offer> {
        const MOST: usize = 4;
        let Some(Sheet::Keys {
            at, kind, typed, ..
        }) = &self.sheet
        else {
            return Vec::new();
        };
        let ways = self.key_ways();
        let mut texts: Vec<String> = Vec::new();
        if !typed.is_empty() {
            texts = offers::endings(typed.text(), *kind, &ways);
        } else {
            // The answer that stands, or that of the last like it.
            texts.extend(
                self.last_like(*at)
                    .map(|last| self.without_side(*at, last).show(&ways)),
            );
            texts.extend(self.beside(*at).map(|value| value.show(&ways)));
            texts.dedup();
            for usual in offers::usual(at.field, &ways) {
                let as_shown = match kind.parse(usual, &ways) {
                    Ok(Some(value)) => value.show(&ways),
                    _ => continue,
                };
                if !texts.contains(&as_shown) {
                    texts.push(as_shown);
                }
            }
        }
        texts.truncate(MOST);
        let mut offers: Vec<Offer> = texts
            .into_iter()
            .map(|text| Offer {
                label: text.clone(),
                text: Some(text),
            })
            .collect();
        if matches!(kind, Kind::Length | Kind::Offset) {
            let unit = match ways.tape.system() {
                System::Inch => "mm",
                System::Metric => "in",
            };
            offers.push(Offer {
                label: unit.to_owned(),
                text: None,
            });
        }
        offers
    }

    /// What was measured beside it and is often the same: a square thing's other side, the floor under the attic.
    fn beside(&self, at: FieldRef) -> Option<Value> {
        let field = match at.field {
            "fixture.size_across" => "fixture.size_along",
            "obstruction.size_across" => "obstruction.size_along",
            "attic.attic_floor_area" => {
                let storeys = &self.open()?.survey().arrival.storeys;
                return storeys.items.last()?.floor_area.map(Value::Area);
            }
            _ => return None,
        };
        self.answer(FieldRef { field, ..at })
    }

    /// An offer was tapped: its value is committed and the next question comes up, or the keys turn to the other
    /// unit.
    pub fn take_offer(&mut self, option: usize) {
        let Some(offer) = self.offers().into_iter().nth(option) else {
            return;
        };
        if !self.guard.takes_key("offer") {
            return;
        }
        match offer.text {
            Some(text) => {
                if let Some((typed, ..)) = self.typing() {
                    *typed = Typed::new(&text);
                }
                self.take(false);
            }
            None => {
                self.keys_turned = !self.keys_turned;
                if let Some((typed, trouble, ..)) = self.typing() {
                    trouble.clear();
                    // The unit comes after the figures, as on paper: bare ones are kept and read by it.
                    if !typed.is_bare() {
                        *typed = Typed::default();
                    }
                }
            }
        }
    }

    /// Leaves the question for later and asks the next one.
    pub fn later(&mut self) {
        if let Some(Sheet::Keys { at, .. } | Sheet::Picks { at }) = &self.sheet {
            let at = *at;
            self.go_on(at, true);
        }
    }
}

/// Whether a question comes up by itself: words do only where there are usual ones.
pub(super) fn asked_in_turn(field: &str) -> bool {
    match fields::kind_of(field) {
        Some(Kind::Text) => !usual_words::usual(field).is_empty(),
        Some(_) => true,
        None => false,
    }
}
