//! The question at the thumb: at a stop, the next answer that can still change the verdict.

use super::{Shown, from_index, picks, update};
use crate::app::place::{HAZARDS, Key, Place, Row, next_stop};
use crate::app::session::{PickDoes, Session, View};
use crate::app::usual_words;
use crate::app::{DockAdapter, Handle, MainWindow, act};
use crate::rules::{Say, Verdict};
use crate::survey::{FieldRef, Kind, fields};
use slint::ComponentHandle;

/// As many answers as stand side by side; more open as a list.
const ABREAST: usize = 3;

/// What a key of the dock does.
#[derive(Debug, Clone, PartialEq)]
enum Does {
    /// Gives the answer with this number.
    Answer(usize),
    /// Opens what is needed to answer: the keypad or a list.
    Open,
}

pub fn connect(window: &MainWindow, app: &Handle) {
    let dock = window.global::<DockAdapter>();
    let (handle, weak) = (app.clone(), window.as_weak());
    dock.on_pick(move |at| {
        let (Some(at), Some(window)) = (from_index(at), weak.upgrade()) else {
            return;
        };
        let skipped = window.global::<DockAdapter>().get_skipped();
        act(&handle, move |session| {
            let Some(question) = question(session, skipped) else {
                return;
            };
            match keys(session, question).into_iter().nth(at) {
                Some((Does::Answer(option), _)) => session.pick(question, Some(option)),
                Some((Does::Open, _)) => session.open_keys(question),
                None => {}
            }
        });
    });
    let handle = app.clone();
    dock.on_skip(move || act(&handle, |_| {}));
    let handle = app.clone();
    dock.on_go_on(move || {
        act(&handle, |session| match onward(session) {
            Some(Onward::Verdict) => session.go(View::Verdict),
            Some(Onward::Next) => session.tap(Key::Next),
            Some(Onward::Back) => session.go_back(),
            None => {}
        });
    });
}

/// What leads on from a place where nothing is left to ask.
enum Onward {
    Next,
    Verdict,
    Back,
}

fn onward(session: &Session) -> Option<Onward> {
    Some(match session.place()? {
        Place::Item { .. } => Onward::Back,
        Place::Stop(stop) if next_stop(stop).is_some() => Onward::Next,
        Place::Stop(_) => Onward::Verdict,
    })
}

/// What is about hazards, heat or flues is answered on a page of its own, never by a key that meant something else a
/// moment ago.
fn is_of_life(at: FieldRef) -> bool {
    HAZARDS.contains(&at.field)
        || at.field.starts_with("flame.")
        || at.field.starts_with("appliance.")
        || at.field.ends_with("_temperature")
        || at.field.ends_with("_humidity")
        || at.field.ends_with("_alarms")
}

/// What is missing here and still matters, in the order in which it is asked.
fn open(session: &Session) -> Vec<FieldRef> {
    let Some(place) = session.place() else {
        return Vec::new();
    };
    session
        .seen(|seen| {
            let asked = match place {
                Place::Stop(stop) => seen.questions(stop),
                Place::Item { list, item } => seen.questions_of(list, item),
            };
            asked
                .into_iter()
                .filter(|at| seen.survey.answer(*at).is_none() && seen.judged.matters_here(at))
                .filter(|at| {
                    fields::kind_of(at.field) != Some(Kind::Text)
                        || !usual_words::usual(at.field).is_empty()
                })
                .collect()
        })
        .unwrap_or_default()
}

/// The question that is asked: the next that is missing, but for those that were left for later.
fn question(session: &Session, skipped: i32) -> Option<FieldRef> {
    let open = open(session);
    let past = usize::try_from(skipped).unwrap_or(0);
    open.get(past.checked_rem(open.len())?).copied()
}

/// The keys of a question, each with its words.
fn keys(session: &Session, at: FieldRef) -> Vec<(Does, String)> {
    let reader = session.reader();
    let answers: Vec<(Does, String)> = session
        .picks_for(at)
        .into_iter()
        .filter_map(|(does, label)| match does {
            PickDoes::Answer(option) => Some((Does::Answer(option), label)),
            _ => None,
        })
        .collect();
    let opens = |word: &'static str| vec![(Does::Open, reader.tr(word))];
    match fields::kind_of(at.field) {
        _ if is_of_life(at) => opens("Look and answer"),
        Some(Kind::YesNo) => answers,
        Some(Kind::Choice(_))
            if answers.len() <= ABREAST
                && answers.iter().all(|(_, label)| label.chars().count() <= 16) =>
        {
            answers
        }
        Some(Kind::Choice(_) | Kind::Text | Kind::Complete) => opens("Choose"),
        Some(Kind::Length | Kind::Offset) => opens("Enter length"),
        _ => opens("Enter"),
    }
}

pub fn show(window: &MainWindow, session: &Session, rows: &[Row], shown: &mut Shown) {
    let (Some(open_survey), Some(place)) = (session.open(), session.place()) else {
        return;
    };
    let dock = window.global::<DockAdapter>();
    let reader = session.reader();
    // What was answered since this place was shown last; a question that was left for later comes round again.
    let now: Vec<(Key, String)> = rows
        .iter()
        .filter(|row| matches!(row.key, Key::Field(_)))
        .map(|row| (row.key, answer(row)))
        .collect();
    let here = (place, open_survey.spot);
    if shown.answers.as_ref().map(|(at, _)| *at) != Some(here) {
        dock.set_last("".into());
        dock.set_skipped(0);
    } else if let Some((_, before)) = &shown.answers {
        let changed = now
            .iter()
            .find(|(key, value)| before.iter().any(|(old, was)| old == key && was != value));
        if let Some((key, value)) = changed {
            let label = rows
                .iter()
                .find(|row| row.key == *key)
                .map_or("", |row| row.label.as_str());
            let say = if value.is_empty() {
                Say::new("{what} cleared")
            } else {
                Say::new("{what}: {value}").with("value", value.clone())
            };
            dock.set_last(reader.said(&say.with("what", label.to_owned())).into());
            dock.set_skipped(0);
        }
    }
    shown.answers = Some((here, now));

    let open = open(session);
    let question = question(session, dock.get_skipped());
    dock.set_can_skip(open.len() > 1);
    dock.set_question(
        question
            .map_or(String::new(), |at| {
                let label = session.part_label(at).unwrap_or(fields::label_of(at.field));
                reader.tr(label)
            })
            .into(),
    );
    let help = question
        .and_then(|at| fields::slot(at.field))
        .map_or(String::new(), |slot| {
            reader.tr(slot.help.trim_ascii_start())
        });
    dock.set_help(help.into());
    let caps = question.map_or(Vec::new(), |at| keys(session, at));
    update(
        dock.get_keys(),
        picks(caps.into_iter().map(|(_, label)| label)),
        |rows| dock.set_keys(rows),
    );
    let verdict = open_survey
        .judged
        .spot()
        .map_or(Verdict::NotSettled, |spot| spot.verdict);
    dock.set_standing(
        format!(
            "{}: {}",
            session.spot_title(session.spot_index()),
            reader.tr(verdict.label())
        )
        .into(),
    );
    let (word, note) = match onward(session) {
        Some(Onward::Next) => {
            let stop = place.stop();
            next_stop(stop).map_or(Default::default(), |next| {
                let say = Say::new("On to: {stop}").with("stop", next.label());
                (
                    reader.said(&say),
                    to_go(session, open_survey.judged.still_at(next)),
                )
            })
        }
        Some(Onward::Verdict) => (reader.tr("See the verdict"), String::new()),
        Some(Onward::Back) => {
            let say = Say::new("Back to: {stop}").with("stop", place.stop().label());
            (reader.said(&say), String::new())
        }
        None => Default::default(),
    };
    dock.set_onward(word.into());
    dock.set_onward_note(note.into());
}

/// An answer in words, as its row shows it.
fn answer(row: &Row) -> String {
    match row.picked.and_then(|at| row.picks.get(at)) {
        Some(pick) => pick.clone(),
        None => row.value.clone(),
    }
}

/// How much is still to be answered, in a few words.
pub(super) fn to_go(session: &Session, still: usize) -> String {
    let reader = session.reader();
    match still {
        0 => reader.tr("nothing to go"),
        count => reader.said(&Say::new("{count} to go").with("count", count)),
    }
}
