//! The bar above, the sentence at the foot, which page is up, and the look.

use super::{on, put_picks};
use crate::app::desk::{Desk, Handle, View};
use crate::app::{self, DeskAdapter, DeskPage, DeskWindow, Theme};
use crate::rules::Say;
use crate::store::Shade;
use slint::{ComponentHandle, SharedString};

/// The pages of the bar, in their order.
const PAGES: [View; 3] = [View::List, View::Intake, View::Again];

pub fn connect(window: &DeskWindow, app: &Handle) {
    let bar = window.global::<DeskAdapter>();
    on!(bar, app, on_back, |desk| desk.back());
    on!(bar, app, on_go, |desk, at: i32| {
        let view = usize::try_from(at).ok().and_then(|at| PAGES.get(at));
        desk.go(view.copied().unwrap_or(desk.view()));
    });
    on!(bar, app, on_set_who, |desk, name: SharedString| desk
        .set_who(&name));
    on!(bar, app, on_dismiss_notice, |desk| desk.dismiss_notice());
    on!(bar, app, on_try_again, |desk| desk.open_register());
}

pub fn show(window: &DeskWindow, desk: &Desk) {
    let settings = desk.settings();
    let theme = window.global::<Theme>();
    theme.set_shade(match settings.shade {
        Shade::Dark => app::Shade::Dark,
        Shade::Light => app::Shade::Light,
        Shade::Contrast => app::Shade::Contrast,
    });
    theme.set_text_scale(settings.text_size.factor());
    let reader = desk.reader();
    // Where a language is not bundled, the texts stay English.
    let _ = slint::select_bundled_translation(reader.language.code());

    let bar = window.global::<DeskAdapter>();
    let names = ["Register", "Take in", "Judge again"].map(|name| reader.tr(name));
    let title = match desk.view() {
        View::List => names[0].clone(),
        View::Intake => names[1].clone(),
        View::Again => names[2].clone(),
        View::Survey => reader.tr("Survey"),
    };
    bar.set_page(match desk.view() {
        _ if !desk.trouble().is_empty() => DeskPage::Shut,
        View::List => DeskPage::List,
        View::Intake => DeskPage::Intake,
        View::Survey => DeskPage::Survey,
        View::Again => DeskPage::Again,
    });
    bar.set_title(title.into());
    let say = Say::new("in {register}").with("register", desk.location().to_string());
    bar.set_register(reader.said(&say).into());
    bar.set_can_go_back(desk.view() != View::List);
    put_picks(bar.get_pages(), names, |rows| bar.set_pages(rows));
    let picked = PAGES.iter().position(|view| *view == desk.view());
    bar.set_picked(super::index(picked));
    bar.set_who(desk.who().into());
    bar.set_notice(desk.notice().into());
    bar.set_trouble(desk.trouble().into());
}
