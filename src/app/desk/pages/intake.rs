//! Taking bundles in.

use super::{from_index, on, update};
use crate::app::desk::{Desk, Handle, View};
use crate::app::place::Sign;
use crate::app::{DeskIntakeAdapter, DeskWindow, TakenLine};
use crate::rules::Say;
use slint::{ComponentHandle, SharedString};

pub fn connect(window: &DeskWindow, app: &Handle) {
    let intake = window.global::<DeskIntakeAdapter>();
    on!(intake, app, on_type_path, |desk, text: SharedString| desk
        .type_intake_path(&text));
    on!(intake, app, on_pick_files, |desk| desk.pick_files());
    on!(intake, app, on_pick, |desk, at: i32| desk
        .pick_entry(from_index(at)));
    on!(intake, app, on_take_in, |desk| desk.take_in_typed());
    on!(intake, app, on_stop, |desk| desk.stop_intake());
    on!(intake, app, on_watch, |desk| desk.toggle_watching());
    on!(intake, app, on_open, |desk, id: SharedString| {
        if let Ok(id) = id.parse() {
            desk.open_survey(id);
        }
    });
}

pub fn show(window: &DeskWindow, desk: &Desk) {
    if desk.view() != View::Intake {
        return;
    }
    let adapter = window.global::<DeskIntakeAdapter>();
    let reader = desk.reader();
    let intake = desk.intake();
    adapter.set_path(intake.path.as_str().into());
    adapter.set_picking(intake.folder.is_some());
    let entries = intake.entries.iter().map(|entry| {
        let label = match entry.folder {
            true => format!("{}{}", entry.label, std::path::MAIN_SEPARATOR),
            false => entry.label.clone(),
        };
        SharedString::from(label)
    });
    update(adapter.get_entries(), entries.collect(), |rows| {
        adapter.set_entries(rows);
    });
    let taken = intake.rows.iter().map(|row| TakenLine {
        file: row.file.as_str().into(),
        text: row.text.as_str().into(),
        mark: row.sign.into(),
        survey: row
            .survey
            .map_or(SharedString::new(), |id| id.to_string().into()),
    });
    update(adapter.get_taken(), taken.collect(), |rows| {
        adapter.set_taken(rows);
    });
    let refused = intake.refused.iter().map(|file| TakenLine {
        file: file.name.as_str().into(),
        text: {
            let when = file.refused_at.get(..16).unwrap_or("").replace('T', " ");
            format!("{when} · {}", reader.language.retell(&file.reason)).into()
        },
        mark: Sign::Fails.into(),
        survey: SharedString::new(),
    });
    update(adapter.get_refused(), refused.collect(), |rows| {
        adapter.set_refused(rows);
    });
    adapter.set_working(intake.working);
    let progress = Say::new("{done} of {count} files")
        .with("done", intake.done)
        .with("count", intake.of);
    adapter.set_progress(reader.said(&progress).into());
    #[allow(clippy::cast_precision_loss)]
    adapter.set_share(intake.done as f32 / intake.of.max(1) as f32);
    adapter.set_sum(desk.intake_sum().into());
    let watching = intake.watching.as_ref();
    let trouble = watching.map_or("", |it| it.trouble.as_str());
    let troubles: Vec<&str> = [intake.trouble.as_str(), trouble]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect();
    adapter.set_trouble(troubles.join("\n").into());
    adapter.set_watching(watching.is_some());
    let watched = watching.map(|it| {
        reader.said(
            &Say::new("Watching {folder}: what arrives there comes in.")
                .with("folder", it.folder.display().to_string()),
        )
    });
    adapter.set_watched(watched.unwrap_or_default().into());
}
