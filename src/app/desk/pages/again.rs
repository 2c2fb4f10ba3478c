//! Judging everything again.

use super::{from_index, index, on, put_picks, update};
use crate::app::desk::{Desk, Handle, View};
use crate::app::judge::sign_of_verdict;
use crate::app::reader::Reader;
use crate::app::{AgainLine, DeskAgainAdapter, DeskWindow, MarkKind};
use crate::office::summary::VerdictSummary;
use crate::rules::Say;
use crate::trade::codes::{Building, Electrical, Energy};
use slint::{ComponentHandle, SharedString};

pub fn connect(window: &DeskWindow, app: &Handle) {
    let again = window.global::<DeskAgainAdapter>();
    on!(again, app, on_pick, |desk, code: i32, at: i32| {
        if let (Some(code), Some(at)) = (from_index(code), from_index(at)) {
            desk.pick_edition(code, at);
        }
    });
    on!(again, app, on_type_fans, |desk, text: SharedString| desk
        .type_fans(&text));
    on!(again, app, on_judge, |desk, adopt: bool| desk
        .judge_again(adopt));
    on!(again, app, on_open, |desk, id: SharedString| {
        if let Ok(id) = id.parse() {
            desk.open_survey(id);
        }
    });
}

pub fn show(window: &DeskWindow, desk: &Desk) {
    if desk.view() != View::Again {
        return;
    }
    let adapter = window.global::<DeskAgainAdapter>();
    let reader = desk.reader();
    let again = desk.again();
    let building = Building::ALL.iter().map(|it| reader.tr(it.code()));
    put_picks(adapter.get_building(), building, |rows| {
        adapter.set_building(rows);
    });
    let codes = again.codes;
    adapter.set_building_picked(index(
        Building::ALL.iter().position(|it| *it == codes.building),
    ));
    let energy = Energy::ALL.iter().map(|it| reader.tr(it.code()));
    put_picks(adapter.get_energy(), energy, |rows| {
        adapter.set_energy(rows);
    });
    adapter.set_energy_picked(index(Energy::ALL.iter().position(|it| *it == codes.energy)));
    let electrical = Electrical::ALL.iter().map(|it| reader.tr(it.code()));
    put_picks(adapter.get_electrical(), electrical, |rows| {
        adapter.set_electrical(rows);
    });
    adapter.set_electrical_picked(index(
        (Electrical::ALL.iter()).position(|it| *it == codes.electrical),
    ));
    adapter.set_fans(again.fans.as_str().into());
    adapter.set_now(desk.judged_by().into());
    adapter.set_working(again.working);
    adapter.set_can_adopt(again.of.is_some() && !again.adopted);
    let sum = match (again.of, again.working) {
        (_, true) => {
            reader.said(&Say::new("Judging … {count} change so far.").with("count", again.count))
        }
        (Some(all), false) => {
            let say = if again.adopted {
                Say::new("{count} of {all} surveys changed; the register judges so from now on.")
            } else {
                Say::new("{count} of {all} surveys would change; nothing was kept.")
            };
            reader.said(&say.with("count", again.count).with("all", all))
        }
        (None, false) => String::new(),
    };
    adapter.set_sum(sum.into());
    adapter.set_trouble(again.trouble.as_str().into());
    let changed = again.changed.iter().map(|one| {
        let id = one.survey.to_string();
        let name = match one.job.as_str() {
            "" => id.get(..8).unwrap_or_default().to_owned(),
            job => job.to_owned(),
        };
        let before = one.before.as_ref();
        AgainLine {
            name: name.into(),
            before: before
                .map_or_else(|| reader.tr("not judged"), |it| in_words(it, &reader))
                .into(),
            before_mark: before.map_or(MarkKind::None, |it| sign_of_verdict(it.verdict).into()),
            after: in_words(&one.after, &reader).into(),
            after_mark: sign_of_verdict(one.after.verdict).into(),
            survey: id.into(),
        }
    });
    update(adapter.get_changed(), changed.collect(), |rows| {
        adapter.set_changed(rows);
    });
}

/// What a judgement comes to, with enough of it to tell two apart.
fn in_words(summary: &VerdictSummary, reader: &Reader) -> String {
    let mut words = vec![reader.tr(summary.verdict.label())];
    if let Some(best) = summary.best_spot() {
        words.extend(best.fan.clone());
        if !best.work.is_empty() {
            words.push(
                reader.said(
                    &Say::new("{count} things to be done first").with("count", best.work.len()),
                ),
            );
        }
    }
    if summary.missing() > 0 {
        words.push(reader.still(summary.missing()));
    }
    words.join(", ")
}
