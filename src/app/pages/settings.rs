//! The settings, and the look that follows from them.

use super::{from_index, model, number, picks, update};
use crate::app::session::{Session, View};
use crate::app::{self, Handle, MainWindow, SettingLine, SettingsAdapter, Theme, act};
use crate::rules::Say;
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
    settings.on_open(move |key| act(&handle, move |session| session.open_setting(&key)));
    let handle = app.clone();
    settings.on_choose_list(move || act(&handle, Session::choose_list));
    let handle = app.clone();
    settings.on_drop_list(move || act(&handle, Session::drop_list));
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
            picks: model(picks(asked.picks.iter().map(|word| reader.tr(word)))),
            picked: number(asked.picked),
            value: asked
                .picks
                .get(asked.picked)
                .map_or(String::new(), |word| reader.tr(word))
                .into(),
            long: asked.long,
        })
        .collect();
    let adapter = window.global::<SettingsAdapter>();
    adapter.set_takes_in(session.abilities().files);
    update(adapter.get_settings(), rows, |rows| {
        adapter.set_settings(rows)
    });
    let fans = &session.fans;
    let own = session.settings.fan_list.as_deref();
    let list = match own {
        Some(file) => Say::new("{name}, version {version}: {count} fans, from {file}")
            .with("file", file.to_owned()),
        None => Say::new("The list that comes with joistlight, version {version}: {count} fans"),
    }
    .with("name", reader.language.name(&fans.name))
    .with("version", fans.version.clone())
    .with("count", fans.fans.len());
    adapter.set_list(reader.said(&list).into());
    adapter.set_own_list(own.is_some());
    adapter.set_list_trouble(session.list_trouble().into());
    adapter.set_surveyor(session.settings.surveyor.clone().unwrap_or_default().into());
}
