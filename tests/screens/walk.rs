//! The walk through the house: the survey's home.

use crate::driver::{Driver, SIZES, platform};
use joistlight::app::session::View;
use joistlight::survey::{FieldRef, Stop};

#[test]
fn the_walk_says_of_each_stop_what_is_measured_what_matters_and_what_comes_next() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("Begin a survey");
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
    d.tap("Begin a survey");
    let next = d.find("Next at Hall: Hall length").expect("the walk");
    let stop = d.find("Job reference").expect("the stop");
    let verdict = d.find("Fans and framing").or_else(|| d.find("Show all 16"));
    assert!(next.absolute_position().x + next.size().width <= 360.0);
    assert!(stop.absolute_position().x >= 360.0);
    assert!(verdict.is_none_or(|it| it.absolute_position().x >= 880.0));
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
