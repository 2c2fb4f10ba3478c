//! The settings: every one takes effect at once, on every page.

use crate::driver::{Driver, SIZES, platform};
use crate::ready;
use joistlight::measure::Tape;
use joistlight::store::Shade;
use joistlight::trade::codes::Building;

fn settings(d: &mut Driver) {
    d.tap("menu");
    d.tap("Settings");
}

#[test]
fn the_language_turns_every_page_at_once() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    settings(&mut d);
    d.snapshot_sizes("settings-all");
    assert_eq!(d.too_small(48.0), Vec::<String>::new());
    d.tap("Language: Español");
    d.snapshot_sizes("settings-es");
    let said = d.labels_everywhere().join("\n");
    assert!(said.contains("Idioma") && said.contains("Cinta"), "{said}");
    for (page, word) in [
        ("Veredicto", "Ventiladores y estructura"),
        ("Primera visita", "Desde el piso del pasillo"),
        ("Para el cliente", "Lo que encontramos"),
        ("Dibujos", "dibujo: Corte"),
        ("Fotos", "Fotos que esta casa necesita"),
    ] {
        d.tap("menú");
        d.tap(page);
        d.snapshot_sizes(&format!("es-{page}").replace(' ', "-"));
        let said = d.labels_everywhere().join("\n") + &texts(&d);
        assert!(said.contains(word), "{page}: {word}\n{said}");
    }
    d.tap("menú");
    d.tap("Ajustes");
    d.tap("Idioma: English");
    assert!(d.find("menu").is_some());
}

/// All texts that are drawn now, whether they can be tapped or not.
fn texts(d: &Driver) -> String {
    use i_slint_backend_testing::ElementRoot;
    let mut all = String::new();
    d.window.root_element().visit_descendants(|e| {
        for text in [e.accessible_label(), e.accessible_value()]
            .into_iter()
            .flatten()
        {
            all.push('\n');
            all.push_str(&text);
        }
        std::ops::ControlFlow::<()>::Continue(())
    });
    all
}

#[test]
fn units_codes_colours_and_text_size_are_kept() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    settings(&mut d);
    d.tap("Building code");
    d.snapshot("settings-building");
    d.tap("IRC 2018");
    d.tap("Tape: 1 mm");
    d.tap("Colours: High contrast");
    d.tap("Text size: 160 %");
    d.snapshot_sizes("settings-contrast-large");
    let held = d.app.session().settings.clone();
    assert_eq!(held.codes.building, Building::Irc2018);
    assert_eq!(held.tape, Tape::Millimetre);
    assert_eq!(held.shade, Shade::Contrast);
    assert_eq!(held.text_size.factor(), 1.6);
    // The present survey is judged by it at once.
    let session = d.app.session();
    let judged = session.open().expect("open").judged.assessment().codes;
    assert_eq!(judged.building, Building::Irc2018);
    drop(session);
    drop(d);
    let d = Driver::open(data.path(), SIZES[1]);
    assert_eq!(d.app.session().settings, held);
}

#[test]
fn a_fan_list_is_taken_in_or_refused_with_line_and_field_and_left_again() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let lists = tempfile::tempdir().expect("a folder");
    let good = include_str!("../../src/trade/fans.toml");
    std::fs::write(lists.path().join("good.toml"), good).expect("written");
    let bad = good.replacen("weight = ", "weight = \"heavy\" # ", 1);
    assert_ne!(bad, good);
    std::fs::write(lists.path().join("bad.toml"), bad).expect("written");
    let line = good
        .lines()
        .position(|line| line.starts_with("weight = "))
        .expect("a weight")
        + 1;
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    // The list of files opens where the last file came from.
    let picture = lists.path().join("one.png");
    image::RgbImage::new(64, 48)
        .save(&picture)
        .expect("a picture");
    d.tap("menu");
    d.tap("Pictures");
    d.tap("picture file");
    d.type_text(picture.to_str().expect("plain"));
    d.tap("Take it in");
    d.wait("the picture", |d| d.app.session().photos().working == 0);
    settings(&mut d);
    let before = d.app.session().fans.clone();
    d.tap("Take in a fan list");
    d.snapshot("settings-list-files");
    d.tap("bad.toml");
    let trouble = d.app.session().list_trouble().to_owned();
    assert!(
        trouble.contains("bad.toml")
            && trouble.contains(&format!("line {line}"))
            && trouble.contains("weight"),
        "{trouble}"
    );
    d.snapshot_sizes("settings-list-trouble");
    assert!(trouble.contains("fan[0].weight"), "{trouble}");
    assert_eq!(d.app.session().fans, before);
    d.tap("Take in a fan list");
    d.tap("good.toml");
    assert_eq!(d.app.session().list_trouble(), "");
    assert_eq!(
        d.app.session().settings.fan_list.as_deref(),
        Some("good.toml")
    );
    d.snapshot_sizes("settings-list-own");
    d.tap("Back to the list that comes with joistlight");
    assert_eq!(d.app.session().settings.fan_list, None);
    assert_eq!(d.app.session().fans, before);
}
