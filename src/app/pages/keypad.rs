//! What lies over the foot: the keypad, or a list to pick from.

use super::place::on_tape;
use super::{from_index, index, picks, update};
use crate::app;
use crate::app::keys::Corner;
use crate::app::session::{Session, Sheet};
use crate::app::{Handle, KeypadAdapter, MainWindow, MarkKind, Pick, act_now as act};
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
    keypad.on_clear(move || act(&handle, Session::clear));
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
    keypad.on_leave(move || act(&handle, Session::leave_anyway));
    let handle = app.clone();
    keypad.on_cancel(move || act(&handle, Session::close_sheet));
    let handle = app.clone();
    keypad.on_pick(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.pick_from_sheet(at));
        }
    });
    let handle = app.clone();
    keypad.on_pick_by_key(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.pick_by_key(at));
        }
    });
}

pub fn show(window: &MainWindow, session: &Session) {
    let keypad = window.global::<KeypadAdapter>();
    keypad.set_opening(session.opening().is_some());
    keypad.set_sheet_number(session.sheet_number());
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
    keypad.set_typed(typed.into());
    keypad.set_tape(on_tape(at));
    keypad.set_trouble(trouble.into());
    match session.finding_while_typing() {
        Some(told) => {
            let mut said = told.both();
            if let Some(caution) = told.life_caution() {
                said = format!("{said} {caution}");
            }
            keypad.set_answer(said.into());
            // Nothing about life stands under the mark of what holds.
            let mark = match told.life_caution() {
                Some(_) => MarkKind::Caution,
                None => told.sign.into(),
            };
            keypad.set_answer_mark(mark);
        }
        None => {
            keypad.set_answer(SharedString::new());
            keypad.set_answer_mark(MarkKind::None);
        }
    }
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
    let offers = session.offers().into_iter().map(|offer| Pick {
        key: if offer.text.is_some() { "" } else { "unit" }.into(),
        label: offer.label.into(),
    });
    let offers = offers.collect();
    update(keypad.get_offers(), offers, |offers| {
        keypad.set_offers(offers)
    });
}
