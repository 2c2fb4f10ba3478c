//! The pages of fields: stops and entries.

use super::{Shown, from_index, index, model, number, picks, update};
use crate::app::control::safety;
use crate::app::judge::sign_of_verdict;
use crate::app::place::{Key, Row, RowKind};
use crate::app::reader::Reader;
use crate::app::session::{Session, Sheet};
use crate::app::{
    FieldAdapter, Handle, Line, LineKind, MainWindow, Pick, PlaceAdapter, SpotTab, StopTab, act,
};
use crate::rules::{Say, Verdict};
use crate::survey::{FieldRef, Kind, Stop, fields};
use slint::{ComponentHandle, ModelRc, SharedString};
use std::cell::RefCell;
use std::collections::HashMap;
use std::time::Duration;

/// How long new rows take to be laid out: a few frames.
const LAID_OUT: Duration = Duration::from_millis(80);

/// Calls `action` with the field that `key` stands for.
fn on_field(
    app: &Handle,
    key: &SharedString,
    action: impl FnOnce(&mut Session, FieldRef) + 'static,
) {
    if let Some(Key::Field(at)) = Key::parse(key) {
        act(app, move |session| action(session, at));
    }
}

fn on_tap(app: &Handle, key: &SharedString) {
    if let Some(key) = Key::parse(key) {
        act(app, move |session| session.tap(key));
    }
}

pub fn connect(window: &MainWindow, app: &Handle) {
    let fields = window.global::<FieldAdapter>();
    let handle = app.clone();
    fields.on_open(move |key| on_tap(&handle, &key));
    let handle = app.clone();
    fields.on_open_with(move |key, typed| {
        on_field(&handle, &key, move |session, at| {
            session.open_keys_with(at, &typed);
        });
    });
    let handle = app.clone();
    fields.on_pick(move |key, option| {
        match Key::parse(&key) {
            Some(Key::NoneSeen) => act(&handle, Session::none_seen),
            Some(Key::Side) => {
                act(&handle, move |session| {
                    session.pick_side(from_index(option))
                });
            }
            _ => {}
        }
        on_field(&handle, &key, move |session, at| {
            session.pick_in_row(at, from_index(option))
        });
    });
    let handle = app.clone();
    fields.on_step(move |key, by| on_field(&handle, &key, move |session, at| session.step(at, by)));
    let handle = app.clone();
    fields.on_clear(move |key| {
        on_field(&handle, &key, |session, at| {
            session.commit(at, "");
        });
    });
    let handle = app.clone();
    fields.on_edit_words(move |key, text| {
        if let (Some(app), Some(Key::Field(at))) = (handle.upgrade(), Key::parse(&key)) {
            app.typing(at, &text);
        }
    });
    let handle = app.clone();
    fields.on_leave_words(move || act(&handle, |_| {}));
    let handle = app.clone();
    fields.on_open_entry(move |key| on_tap(&handle, &key));
    let handle = app.clone();
    fields.on_add_entry(move |key| on_tap(&handle, &key));
    let handle = app.clone();
    fields.on_open_photos(move |key| on_tap(&handle, &key));
    let handle = app.clone();
    fields.on_remove_entry(move |key| {
        if let Some(Key::Entry { list, item }) = Key::parse(&key) {
            act(&handle, move |session| session.remove_entry(list, item));
        }
    });

    let place = window.global::<PlaceAdapter>();
    let handle = app.clone();
    place.on_go_stop(move |at| {
        if let Some(stop) = from_index(at).and_then(|at| Stop::ALL.get(at)) {
            act(&handle, |session| session.go_stop(*stop));
        }
    });
    let handle = app.clone();
    place.on_go_spot(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.go_spot(at));
        }
    });
    let handle = app.clone();
    place.on_add_spot(move || act(&handle, |session| session.add_spot(false)));
}

pub fn show(window: &MainWindow, session: &mut Session, shown: &mut Shown) {
    let (Some(open), Some(place)) = (session.open(), session.place()) else {
        shown.place = None;
        return;
    };
    let adapter = window.global::<PlaceAdapter>();
    let reader = session.reader();
    show_band(window, session);
    let here = (place, open.spot);

    let stops = Stop::ALL
        .iter()
        .map(|stop| StopTab {
            label: reader.tr(short(*stop)).into(),
            still: number(open.judged.still_at(*stop)),
        })
        .collect();
    update(adapter.get_stops(), stops, |stops| adapter.set_stops(stops));
    adapter.set_stop(index(
        Stop::ALL.iter().position(|stop| *stop == place.stop()),
    ));
    let spots = (0..open.survey().spots.len())
        .map(|at| SpotTab {
            label: session.spot_title(at).into(),
            mark: open
                .judged
                .assessment()
                .spots
                .get(at)
                .map_or(Verdict::NotSettled, |spot| spot.verdict)
                .pipe(sign_of_verdict)
                .into(),
        })
        .collect();
    update(adapter.get_spots(), spots, |spots| adapter.set_spots(spots));
    adapter.set_spot(number(session.spot_index()));
    adapter.set_quick(session.quick().is_some());
    adapter.set_of_spot(place.of_spot());
    adapter.set_is_stop(matches!(place, crate::app::place::Place::Stop(_)));
    adapter.set_active(match session.sheet() {
        Some(Sheet::Keys { at, .. } | Sheet::Picks { at }) => Key::Field(*at).to_string().into(),
        _ => SharedString::new(),
    });

    let rows = session.rows();
    let lines = lines(&rows, &reader);
    let fresh = shown.place.as_ref() != Some(&here);
    if !fresh {
        update(adapter.get_lines(), lines, |lines| adapter.set_lines(lines));
    } else {
        // Another place: new rows, from the top.
        adapter.set_lines(model(lines));
        adapter.set_top_count(adapter.get_top_count() + 1);
        shown.place = Some(here);
    }

    if let Some(key) = session.take_show()
        && let Some(at) = rows.iter().position(|row| row.key == key)
    {
        let at = number(at);
        if fresh {
            // Rows that are new have no place yet.
            let window = window.as_weak();
            slint::Timer::single_shot(LAID_OUT, move || {
                if let Some(window) = window.upgrade() {
                    bring_into_view(&window, at);
                }
            });
        } else {
            bring_into_view(window, at);
        }
    }
}

/// The band over the page, where nobody may go in.
pub(super) fn show_band(window: &MainWindow, session: &Session) {
    let adapter = window.global::<PlaceAdapter>();
    let (act, why) = session.stay_out().unwrap_or_default();
    adapter.set_stay_out(act.into());
    adapter.set_stay_out_why(why.into());
}

fn bring_into_view(window: &MainWindow, line: i32) {
    let adapter = window.global::<PlaceAdapter>();
    adapter.set_show_line(line);
    adapter.set_show_count(adapter.get_show_count() + 1);
}

/// The stop's name where six stand side by side on a phone.
fn short(stop: Stop) -> &'static str {
    match stop {
        Stop::PowerAndFlame => "Power",
        other => other.label(),
    }
}

/// The same words are the same model each time: keys that stand side by side stay, and with them the keyboard's focus.
fn answers(words: &[String]) -> ModelRc<Pick> {
    thread_local! {
        static MADE: RefCell<HashMap<Vec<String>, ModelRc<Pick>>> = RefCell::default();
    }
    MADE.with_borrow_mut(|made| {
        if let Some(model) = made.get(words) {
            return model.clone();
        }
        let new = model(picks(words.iter().map(String::as_str)));
        made.insert(words.to_owned(), new.clone());
        new
    })
}

/// Whether a row stands in a card with its neighbors. What is said of several hazards at once stands apart.
fn in_card(row: &Row) -> bool {
    !matches!(row.kind, RowKind::Heading | RowKind::Note) && row.key != Key::NoneSeen
}

/// The rows as the page draws them: groups are cards, and each group's head says how much of it is answered.
pub(super) fn lines(rows: &[Row], reader: &Reader) -> Vec<Line> {
    let carded = |at: Option<usize>| at.and_then(|at| rows.get(at)).is_some_and(in_card);
    let mut lines: Vec<Line> = rows.iter().map(line).collect();
    for (at, line) in lines.iter_mut().enumerate() {
        line.carded = carded(Some(at));
        line.first = !carded(at.checked_sub(1));
        line.last = !carded(Some(at + 1));
        if rows[at].kind == RowKind::Heading {
            line.value = answered(&rows[at + 1..], reader).into();
        }
    }
    lines
}

/// How much of a group is answered, up to the next heading; nothing where it asks less than two things.
fn answered(after: &[Row], reader: &Reader) -> String {
    let group = || {
        after
            .iter()
            .take_while(|row| row.kind != RowKind::Heading)
            .filter(|row| matches!(row.key, Key::Field(_)))
    };
    let (known, all) = (group().filter(|row| row.known).count(), group().count());
    if all < 2 {
        return String::new();
    }
    reader.said(
        &Say::new("{known} of {all}")
            .with("known", known)
            .with("all", all),
    )
}

/// Whether an answer is a length, which stands on tape.
pub(super) fn on_tape(at: FieldRef) -> bool {
    matches!(fields::kind_of(at.field), Some(Kind::Length | Kind::Offset))
}

fn line(row: &Row) -> Line {
    let field = match row.key {
        Key::Field(at) => Some(at),
        _ => None,
    };
    Line {
        tape: field.is_some_and(on_tape),
        short: row.kind == RowKind::YesNo
            && row
                .picks
                .iter()
                .map(|pick| pick.chars().count())
                .sum::<usize>()
                <= 6,
        carded: false,
        first: true,
        last: true,
        kind: match row.kind {
            RowKind::Heading => LineKind::Heading,
            RowKind::Note => LineKind::Note,
            RowKind::Tape => LineKind::Tape,
            RowKind::Count => LineKind::Count,
            RowKind::Choice => LineKind::Choice,
            RowKind::Buttons => LineKind::Buttons,
            RowKind::YesNo => LineKind::YesNo,
            RowKind::Words => LineKind::Words,
            RowKind::Entry => LineKind::Entry,
            RowKind::Add => LineKind::Add,
            RowKind::All => LineKind::All,
            RowKind::Photos => LineKind::Photos,
            RowKind::Finding => LineKind::Finding,
            RowKind::Go => LineKind::Go,
        },
        key: row.key.to_string().into(),
        label: row.label.as_str().into(),
        value: row.value.as_str().into(),
        known: row.known,
        matters: row.matters,
        help: row.help.as_str().into(),
        trouble: row.trouble.as_str().into(),
        // Only answers that stand side by side need their words in the row.
        picks: match row.kind {
            RowKind::YesNo | RowKind::All | RowKind::Buttons => answers(&row.picks),
            _ => Default::default(),
        },
        picked: index(row.picked),
        mark: row.sign.into(),
        careful: match row.key {
            Key::Field(at) => safety::is_of_life(at.field),
            key => key == Key::NoneSeen,
        },
    }
}

/// Hands a value to a function, to read from left to right.
trait Pipe: Sized {
    fn pipe<T>(self, f: impl FnOnce(Self) -> T) -> T {
        f(self)
    }
}
impl Pipe for Verdict {}
