//! The walk through the house: the survey's home.

use crate::driver::{Driver, SIZES, platform};
use crate::ready;
use joistlight::app::session::View;
use joistlight::survey::{FieldRef, Stop};

#[test]
fn the_walk_says_of_each_stop_what_is_measured_what_matters_and_what_comes_next() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("New survey");
    assert_eq!(d.app.session().view(), View::Walk);
    d.snapshot_sizes("walk");
    // Every stop has its card, and its next thing is a tap away.
    for stop in Stop::ALL {
        let state = d.app.session().walk();
        let state = state.iter().find(|it| it.stop == *stop).expect("a card");
        let card = d.reach(stop.label());
        let told = card.accessible_value().expect("its state");
        assert!(
            told.contains(&format!("{} of {} answered", state.known, state.asked)),
            "{told}"
        );
        assert_eq!(
            told.contains("Still matters"),
            !state.open.is_empty(),
            "{told}"
        );
    }
    let first = d.app.session().walk()[1].open[0];
    let label = joistlight::survey::fields::label_of(first.field);
    d.tap(&format!("Next at Hall: {label}"));
    assert_eq!(
        d.app.session().view(),
        View::Place(joistlight::app::place::Place::Stop(Stop::Hall))
    );
    assert!(d.app.session().sheet().is_some(), "its keys are up");
    d.snapshot_sizes("walk-next");
    d.press(slint::platform::Key::Escape);
    // One tap from any stop to any other.
    d.tap("Vents");
    d.tap("back");
    assert_eq!(d.app.session().view(), View::Walk);
}

#[test]
fn on_a_wide_window_walk_stop_and_verdict_lie_side_by_side() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[2]);
    d.tap("New survey");
    let next = d.find("Next at Hall: Hall length").expect("the walk");
    let stop = d.find("Job reference").expect("the stop");
    let drawing = d
        .find("Plan of Spot 1, drawn from its measurements")
        .expect("the drawing");
    let verdict = d.find("Fans and framing").expect("the verdict");
    assert!(next.absolute_position().x + next.size().width <= 360.0);
    let (left, width) = (stop.absolute_position().x, stop.size().width);
    assert!(left >= 360.0 && left + width <= 880.0, "{left} {width}");
    assert!(drawing.absolute_position().x >= 880.0);
    assert!(verdict.absolute_position().x >= 880.0);
    // The drawing over the verdict, and large enough to be looked at.
    let (top, size) = (drawing.absolute_position().y, drawing.size());
    assert!(size.width >= 380.0 && size.height >= 240.0, "{size:?}");
    assert!(top + size.height <= verdict.absolute_position().y);
    d.tap("Next at Hall: Hall length");
    let spot = d.app.session().open().expect("open").spot;
    assert!(matches!(
        d.app.session().sheet(),
        Some(joistlight::app::session::Sheet::Keys { at, .. }) if *at == FieldRef::spot("hall.length", spot)
    ));
    d.snapshot("walk-wide-keys");
    d.type_text("14' 2");
    d.press(slint::platform::Key::Return);
    assert!(
        d.app
            .session()
            .answer(FieldRef::spot("hall.length", spot))
            .is_some()
    );
}

#[test]
fn beside_a_measured_stop_its_spot_is_drawn() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = ready::open(data.path(), ready::survey(), SIZES[2]);
    d.go_stop(Stop::Hall);
    let label = "Plan of By the bedrooms, drawn from its measurements";
    let drawing = d.find(label).expect("the drawing");
    let (at, size) = (drawing.absolute_position(), drawing.size());
    assert!(at.x >= 880.0);
    let whole = d.snapshot("walk-wide-drawn");
    // Without its frame.
    let drawn = image::imageops::crop_imm(
        &whole,
        at.x as u32 + 4,
        at.y as u32 + 4,
        size.width as u32 - 8,
        size.height as u32 - 8,
    )
    .to_image();
    let colours: std::collections::BTreeSet<_> = drawn.pixels().map(|it| it.0).collect();
    assert!(colours.len() > 20, "{} colours", colours.len());
}
