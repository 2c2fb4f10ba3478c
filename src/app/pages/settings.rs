//! The settings, and the look that follows from them.

use super::{from_index, model, number, picks, update};
use crate::app::session::{Session, View};
use crate::app::{self, Handle, MainWindow, SettingLine, SettingsAdapter, Theme, act};
use crate::store::Shade;
use slint::ComponentHandle;

pub fn connect(window: &MainWindow, app: &Handle) {
    let settings = window.global::<SettingsAdapter>();
    let handle = app.clone();
    settings.on_pick(move |key, at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.set(&key, at));
        }
    });
    let handle = app.clone();
    settings.on_set_surveyor(move |name| act(&handle, move |session| session.set_surveyor(&name)));
    let handle = app.clone();
    settings.on_take_in(move || act(&handle, Session::choose_incoming));
    let handle = app.clone();
    settings.on_about(move || act(&handle, |session| session.go(View::About)));
}

pub fn show(window: &MainWindow, session: &Session) {
    let theme = window.global::<Theme>();
    theme.set_shade(match session.settings.shade {
        Shade::Dark => app::Shade::Dark,
        Shade::Light => app::Shade::Light,
        Shade::Contrast => app::Shade::Contrast,
    });
    theme.set_text_scale(session.settings.text_size.factor());
    // Where a language is not bundled, the texts stay English.
    let _ = slint::select_bundled_translation(session.reader().language.code());

    if session.view() != View::Settings {
        return;
    }
    let reader = session.reader();
    let rows = session
        .settings_asked()
        .into_iter()
        .map(|asked| SettingLine {
            key: asked.key.into(),
            label: reader.tr(asked.label).into(),
            help: if asked.help.is_empty() {
                "".into()
            } else {
                reader.tr(asked.help).into()
            },
            picks: model(picks(asked.picks.into_iter().map(|word| reader.tr(word)))),
            picked: number(asked.picked),
        })
        .collect();
    let adapter = window.global::<SettingsAdapter>();
    adapter.set_takes_in(session.abilities().files);
    update(adapter.get_settings(), rows, |rows| {
        adapter.set_settings(rows)
    });
    adapter.set_surveyor(session.settings.surveyor.clone().unwrap_or_default().into());
}
