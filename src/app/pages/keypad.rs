//! What lies over the foot: the keypad, or a list to pick from.

use super::drawing::drawn;
use super::place::on_tape;
use super::{from_index, index, number, picks, update};
use crate::app;
use crate::app::judge::Told;
use crate::app::keys::Corner;
use crate::app::place::Place;
use crate::app::session::{Session, Sheet};
use crate::app::{Handle, KeypadAdapter, MainWindow, MarkKind, Pick, TopKey, act};
use crate::rules::Say;
use crate::survey::{FieldRef, Kind, Subject, Value, fields};
use slint::{ComponentHandle, SharedString};

pub fn connect(window: &MainWindow, app: &Handle) {
    let keypad = window.global::<KeypadAdapter>();
    let handle = app.clone();
    keypad.on_press(move |text| act(&handle, move |session| session.key(&text)));
    let handle = app.clone();
    keypad.on_extra_key(move |key| act(&handle, move |session| session.extra_key(&key)));
    let handle = app.clone();
    keypad.on_corner_key(move || act(&handle, Session::corner_key));
    let handle = app.clone();
    keypad.on_erase(move || act(&handle, Session::erase));
    let handle = app.clone();
    keypad.on_wipe(move || act(&handle, Session::wipe));
    let handle = app.clone();
    keypad.on_accept(move || {
        act(&handle, |session| {
            session.accept();
        });
    });
    let handle = app.clone();
    keypad.on_next(move || act(&handle, Session::accept_and_next));
    let handle = app.clone();
    keypad.on_offer(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.take_offer(at));
        }
    });
    let handle = app.clone();
    keypad.on_leave(move || act(&handle, Session::leave_so));
    let handle = app.clone();
    keypad.on_cancel(move || act(&handle, Session::put_away));
    let handle = app.clone();
    keypad.on_pick(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.pick_from_sheet(at));
        }
    });
}

pub fn show(window: &MainWindow, session: &Session) {
    let keypad = window.global::<KeypadAdapter>();
    match session.sheet() {
        None => keypad.set_sheet(app::Sheet::Shut),
        Some(Sheet::Keys {
            at, typed, trouble, ..
        }) => {
            show_keys(&keypad, session, *at, typed.text(), trouble);
            keypad.set_sheet(app::Sheet::Keys);
        }
        Some(Sheet::Picks { at }) => {
            show_picks(&keypad, session, *at);
            keypad.set_has_next(session.has_next());
            keypad.set_sheet(app::Sheet::Picks);
        }
        Some(Sheet::Subjects) => {
            let reader = session.reader();
            let words = Subject::ALL
                .iter()
                .map(|subject| reader.tr(subject.label()));
            list(
                &keypad,
                &reader.tr("The picture shows"),
                picks(words),
                Subject::ALL
                    .iter()
                    .position(|subject| *subject == session.tie().subject),
            );
            keypad.set_sheet(app::Sheet::Picks);
        }
        Some(Sheet::Setting { key }) => {
            let reader = session.reader();
            if let Some(asked) = session
                .settings_asked()
                .into_iter()
                .find(|asked| asked.key == *key)
            {
                let words = asked.picks.iter().map(|word| reader.tr(word));
                list(
                    &keypad,
                    &reader.tr(asked.label),
                    picks(words),
                    Some(asked.picked),
                );
                keypad.set_sheet(app::Sheet::Picks);
            }
        }
        Some(Sheet::Files {
            folder, entries, ..
        }) => {
            let words = entries.iter().map(|entry| entry.label.as_str());
            list(&keypad, &folder.display().to_string(), picks(words), None);
            keypad.set_sheet(app::Sheet::Picks);
        }
        Some(Sheet::Leave { stop, .. }) => {
            let missing = session.left_behind(*stop);
            let reader = session.reader();
            let title = Say::new("Before you climb down: {count}").with("count", missing.len());
            let words = missing.into_iter().map(|(_, label)| label);
            list(&keypad, &reader.said(&title), picks(words), None);
            keypad.set_help(
                reader
                    .tr("This is missing up here. A tap goes there.")
                    .into(),
            );
            keypad.set_sheet(app::Sheet::Leave);
        }
        Some(Sheet::Menu) => {
            let words = session.menu().into_iter().map(|(_, label)| label);
            list(&keypad, &session.reader().tr("Menu"), picks(words), None);
            keypad.set_sheet(app::Sheet::Picks);
        }
    }
}

fn list(keypad: &KeypadAdapter, label: &str, rows: Vec<Pick>, picked: Option<usize>) {
    keypad.set_has_next(false);
    keypad.set_label(label.into());
    keypad.set_help(SharedString::new());
    update(keypad.get_picks(), rows, |rows| keypad.set_picks(rows));
    keypad.set_picked(index(picked));
}

fn show_picks(keypad: &KeypadAdapter, session: &Session, at: FieldRef) {
    let reader = session.reader();
    let lines = session.picks_for(at);
    let answer = session.answer(at);
    let picked = match (fields::kind_of(at.field), &answer) {
        (Some(Kind::Choice(words)), Some(Value::Choice(code))) => {
            words.iter().position(|word| word.code == *code)
        }
        (_, Some(Value::YesNo(yes))) => Some(usize::from(!yes)),
        _ => None,
    };
    list(
        keypad,
        &reader.tr(fields::label_of(at.field)),
        picks(lines.into_iter().map(|(_, label)| label)),
        picked,
    );
    if let Some(slot) = fields::slot(at.field) {
        keypad.set_help(reader.tr(slot.help.trim_ascii_start()).into());
    }
}

fn show_keys(keypad: &KeypadAdapter, session: &Session, at: FieldRef, typed: &str, trouble: &str) {
    let reader = session.reader();
    let part = session.quick_part(at);
    let label = session.part_label(at).unwrap_or(fields::label_of(at.field));
    keypad.set_label(reader.tr(label).into());
    let slot = fields::slot(at.field);
    keypad.set_help(
        slot.filter(|_| part.is_none())
            .map_or(String::new(), |slot| {
                reader.tr(slot.help.trim_ascii_start())
            })
            .into(),
    );
    keypad.set_place(place_of(session, at).into());
    keypad.set_typed(typed.into());
    keypad.set_tape(on_tape(at));
    keypad.set_trouble(trouble.into());
    let told = session.finding_while_typing();
    let told = told.as_ref();
    keypad.set_answer(told.map_or("", |told| &told.outcome).into());
    keypad.set_answer_note(told.map_or("", |told| &told.title).into());
    keypad.set_answer_mark(told.map_or(MarkKind::None, |told| told.sign.into()));
    keypad.set_band(told.and_then(Told::life_caution).unwrap_or("").into());
    keypad.set_stops(told.is_some_and(Told::stops));
    keypad.set_draws(drawn(at).is_some());
    if let Some(layout) = session.layout() {
        let extra = layout
            .extra
            .iter()
            .map(|cap| Pick {
                key: cap.key.as_str().into(),
                label: session
                    .reader()
                    .language
                    .find(&cap.label)
                    .unwrap_or(&cap.label)
                    .into(),
            })
            .collect();
        update(keypad.get_extra(), extra, |extra| keypad.set_extra(extra));
        keypad.set_corner(
            match layout.corner {
                Corner::Point => ".",
                Corner::Sign => "±",
                Corner::None => "",
            }
            .into(),
        );
    }
    keypad.set_has_next(session.has_next());
    keypad.set_then(
        session
            .comes_next(at)
            .map_or(String::new(), |next| {
                let label = session
                    .part_label(next)
                    .unwrap_or(fields::label_of(next.field));
                small(&reader.tr(label))
            })
            .into(),
    );
    let top = top(session);
    update(keypad.get_top(), top, |top| keypad.set_top(top));
    let offers = session.offers().into_iter().map(|offer| Pick {
        key: if offer.text.is_some() { "" } else { "unit" }.into(),
        label: offer.label.into(),
    });
    let offers = offers.collect();
    update(keypad.get_offers(), offers, |offers| {
        keypad.set_offers(offers)
    });
}

/// The stop and the spot where an answer is given, or the entry and its stop.
fn place_of(session: &Session, at: FieldRef) -> String {
    let (Some(place), Some(open)) = (Place::of(at), session.open()) else {
        return String::new();
    };
    let reader = session.reader();
    let mut words = vec![place.title(open.survey(), open.spot, &reader)];
    if at.spot.is_some() {
        words.push(session.spot_title(session.spot_index()));
    }
    words.join(", ")
}

/// What follows, in the middle of a sentence: without the capital that a label begins with, unless it is a name of
/// capitals.
fn small(label: &str) -> String {
    let mut letters = label.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(label.chars().skip(1)).collect()
        }
        _ => label.to_owned(),
    }
}

/// The five keys over the figures: values to take, the fraction and the other unit. The fraction comes with the first
/// figure; before, its place has one value more.
fn top(session: &Session) -> Vec<TopKey> {
    let offers = session.offers();
    let key = |at: usize| TopKey {
        label: offers[at].label.as_str().into(),
        offer: number(at),
        unit: offers[at].text.is_none(),
        extra: SharedString::new(),
    };
    let none = || TopKey {
        offer: -1,
        ..TopKey::default()
    };
    let fraction = session.layout().map(|layout| layout.extra[2].clone());
    let fraction = fraction.filter(|cap| !cap.label.is_empty());
    let (units, values): (Vec<usize>, Vec<usize>) =
        (0..offers.len()).partition(|at| offers[*at].text.is_none());
    if fraction.is_none() && offers.is_empty() {
        return Vec::new();
    }
    let mut keys: Vec<TopKey> = (0..3)
        .map(|place| values.get(place).map_or_else(none, |at| key(*at)))
        .collect();
    keys.push(match (values.get(3), fraction) {
        (_, Some(cap)) if values.len() < 4 => TopKey {
            label: session
                .reader()
                .language
                .find(&cap.label)
                .unwrap_or(&cap.label)
                .into(),
            extra: cap.key.as_str().into(),
            ..none()
        },
        (Some(at), _) => key(*at),
        (None, _) => none(),
    });
    keys.push(units.first().map_or_else(none, |at| key(*at)));
    keys
}
