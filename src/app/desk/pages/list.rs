//! The register's list.

use super::{from_index, index, number, on, put_picks, update};
use crate::app::desk::list::VERDICTS;
use crate::app::desk::{Desk, Handle, Turn, View, names};
use crate::app::judge::sign_of_verdict;
use crate::app::reader::Reader;
use crate::app::{DeskLine, DeskListAdapter, DeskWindow, MarkKind};
use crate::office::export::Form;
use crate::office::register::{Line, Sort, Status};
use crate::rules::Say;
use crate::trade::fan::FanList;
use slint::{ComponentHandle, SharedString};

const FORMS: [Form; 2] = [Form::Csv, Form::JsonLines];

/// What the list can be sorted by, in the order of [`Sort::ALL`].
const SORTS: [&str; 10] = [
    "Visit",
    "Taken in",
    "Job reference",
    "Client",
    "Surveyor",
    "Verdict",
    "Missing answers",
    "Status",
    "Best fan",
    "Work needed",
];

pub fn connect(window: &DeskWindow, app: &Handle) {
    let list = window.global::<DeskListAdapter>();
    on!(list, app, on_search, |desk, text: SharedString| desk
        .search(&text));
    on!(list, app, on_pick_verdict, |desk, at: i32| desk
        .want_verdict(from_index(at)));
    on!(list, app, on_pick_status, |desk, at: i32| desk
        .want_status(from_index(at)));
    on!(list, app, on_pick_sort, |desk, at: i32| desk
        .sort(from_index(at)));
    on!(list, app, on_set_surveyor, |desk, text: SharedString| desk
        .want_surveyor(&text));
    on!(
        list,
        app,
        on_set_day,
        |desk, last: bool, text: SharedString| desk.want_day(last, &text)
    );
    on!(list, app, on_set_unsettled, |desk, only: bool| desk
        .want_unsettled(only));
    on!(list, app, on_set_differing, |desk, only: bool| desk
        .want_differing(only));
    on!(list, app, on_clear, |desk| desk.want_everything());
    on!(list, app, on_toggle_more, |desk| desk.toggle_more());
    on!(list, app, on_toggle_exporting, |desk| desk
        .toggle_exporting());
    on!(
        list,
        app,
        on_export,
        |desk, form: i32, file: SharedString| {
            let form = from_index(form).and_then(|at| FORMS.get(at)).copied();
            desk.export(form.unwrap_or(Form::Csv), &file);
        }
    );
    on!(list, app, on_turn, |desk, to: i32| desk.turn(match to {
        0 => Turn::First,
        1 => Turn::Back,
        2 => Turn::On,
        _ => Turn::Last,
    }));
    on!(list, app, on_step, |desk, by: i32| desk.step(by));
    on!(list, app, on_open, |desk, at: i32| {
        if let Some(at) = from_index(at) {
            desk.open_line(at);
        }
    });
}

pub fn show(window: &DeskWindow, desk: &Desk) {
    if desk.view() != View::List {
        return;
    }
    let adapter = window.global::<DeskListAdapter>();
    let reader = desk.reader();
    let list = desk.list();
    let lines = list
        .page
        .lines
        .iter()
        .map(|it| line(it, desk.fans(), &reader))
        .collect();
    update(adapter.get_lines(), lines, |rows| adapter.set_lines(rows));
    adapter.set_current(number(list.current));

    let (skip, here, all) = (list.wanted.skip, list.page.lines.len(), list.page.all);
    let count = match (here, list.is_filtered()) {
        (0, false) => reader.tr("No surveys yet. “Take in” brings bundles into the register."),
        (0, true) => reader.tr("No survey is like that."),
        _ => reader.said(
            &Say::new("{first} to {last} of {count} surveys")
                .with("first", skip + 1)
                .with("last", skip + here)
                .with("count", all),
        ),
    };
    adapter.set_count(count.into());
    adapter.set_can_back(skip > 0);
    adapter.set_can_on(skip + here < all);

    let wanted = &list.wanted;
    adapter.set_words(wanted.words.as_str().into());
    let verdicts = VERDICTS.map(|verdict| reader.tr(verdict.label()));
    put_picks(adapter.get_verdicts(), verdicts, |rows| {
        adapter.set_verdicts(rows);
    });
    let of_verdict = VERDICTS.iter().position(|it| Some(*it) == wanted.verdict);
    adapter.set_verdict(index(of_verdict));
    let statuses = Status::ALL.iter().map(|status| reader.tr(status.label()));
    put_picks(adapter.get_statuses(), statuses, |rows| {
        adapter.set_statuses(rows);
    });
    let of_status = Status::ALL.iter().position(|it| Some(*it) == wanted.status);
    adapter.set_status(index(of_status));
    put_picks(
        adapter.get_sorts(),
        SORTS.map(|name| reader.tr(name)),
        |rows| adapter.set_sorts(rows),
    );
    adapter.set_sort(index(Sort::ALL.iter().position(|it| *it == wanted.sort)));
    adapter.set_descending(wanted.descending);
    adapter.set_surveyor(wanted.surveyor.clone().unwrap_or_default().into());
    adapter.set_from(list.days[0].as_str().into());
    adapter.set_until(list.days[1].as_str().into());
    adapter.set_unsettled(wanted.settled == Some(false));
    adapter.set_differing(wanted.differs);
    adapter.set_filtered(list.is_filtered());
    adapter.set_trouble(list.trouble.as_str().into());
    adapter.set_more(list.more);
    adapter.set_exporting(list.exporting);
    let forms = ["CSV".to_owned(), "JSON Lines".to_owned()];
    put_picks(adapter.get_forms(), forms, |rows| adapter.set_forms(rows));
    adapter.set_csv_file(desk.export_file(Form::Csv).into());
    adapter.set_jsonl_file(desk.export_file(Form::JsonLines).into());
    adapter.set_writing(list.writing);
    let (written, not_written) = match &list.written {
        Ok(told) => (told.as_str(), ""),
        Err(told) => ("", told.as_str()),
    };
    adapter.set_written(written.into());
    adapter.set_not_written(not_written.into());
}

/// What a survey is called in a list.
pub(super) fn name(line: &Line) -> String {
    let id = line.survey.to_string();
    let words: Vec<&str> = [line.job.as_str(), line.client.as_str()]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect();
    match words.is_empty() {
        true => id.get(..8).unwrap_or_default().to_owned(),
        false => words.join(" · "),
    }
}

fn line(line: &Line, fans: Option<&FanList>, reader: &Reader) -> DeskLine {
    let summary = line.summary.as_ref();
    let best = summary.and_then(|summary| summary.best_spot());
    let open = |text: &str| match text {
        "" => reader.tr("not given"),
        text => text.to_owned(),
    };
    let framing = best.and_then(|spot| {
        let framing = spot.framing.as_ref()?;
        let told = reader.language.find(framing);
        Some(told.map_or_else(|| framing.clone(), str::to_owned))
    });
    let fan = best.and_then(|spot| Some(names::fan_name(spot.fan.as_ref()?, fans, reader)));
    let work = best.map_or(0, |spot| spot.work.len());
    let missing = summary.map_or(0, |summary| summary.missing());
    let mut flags = Vec::new();
    if line.bundles > 1 {
        flags.push(reader.said(&Say::new("{count} revisions").with("count", line.bundles)));
    }
    if line.corrected > 0 {
        flags.push(reader.tr("corrected"));
    }
    if line.differs > 0 {
        flags.push(reader.tr("differs"));
    }
    if line.waiting > 0 {
        flags.push(reader.tr("a revision waits"));
    }
    if line.stale {
        flags.push(reader.tr("judged by earlier rules"));
    }
    DeskLine {
        name: name(line).into(),
        job: open(&line.job).into(),
        client: open(&line.client).into(),
        address: line.address.as_str().into(),
        visited: line.visited_at.get(..10).unwrap_or("").into(),
        surveyor: line.surveyor.as_str().into(),
        mark: summary.map_or(MarkKind::None, |it| sign_of_verdict(it.verdict).into()),
        verdict: summary
            .map_or_else(
                || reader.tr("not judged"),
                |it| reader.tr(it.verdict.label()),
            )
            .into(),
        fan: fan.unwrap_or_default().into(),
        framing: framing.unwrap_or_default().into(),
        work: match work {
            0 => String::new(),
            1 => reader.tr("1 thing to be done first"),
            _ => reader.said(&Say::new("{count} things to be done first").with("count", work)),
        }
        .into(),
        missing: match missing {
            0 => reader.tr("nothing missing"),
            1 => reader.tr("1 answer missing"),
            _ => reader.said(&Say::new("{count} answers missing").with("count", missing)),
        }
        .into(),
        status: reader.tr(line.status.label()).into(),
        flags: flags.join(", ").into(),
    }
}
