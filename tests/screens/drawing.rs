//! The drawings: seen, moved, looked at from near, and tapped to get to an answer.

use crate::driver::{Driver, SIZES, platform};
use crate::ready;
use i_slint_core::input::TouchPhase;
use i_slint_core::lengths::LogicalPoint;
use i_slint_core::platform::InternalEvent;
use joistlight::app::Theme;
use joistlight::app::place::Place;
use joistlight::app::session::View;
use joistlight::survey::Stop;
use slint::ComponentHandle;
use slint::platform::WindowEvent;

/// Where the drawing lies in the window.
fn place(d: &Driver) -> (f32, f32, f32, f32) {
    let drawing = d
        .find("Plan of Landing, drawn from its measurements")
        .or_else(|| d.find("Section of Landing, drawn from its measurements"))
        .expect("a drawing");
    let (at, size) = (drawing.absolute_position(), drawing.size());
    (at.x, at.y, size.width, size.height)
}

/// The pixels of the drawing's area, without its frame and keys.
fn pixels(d: &Driver) -> image::RgbaImage {
    let (x, y, w, h) = place(d);
    let whole = d.snapshot("drawing-now");
    image::imageops::crop_imm(
        &whole,
        x as u32 + 4,
        y as u32 + 4,
        w as u32 - 8,
        (h - 70.0) as u32,
    )
    .to_image()
}

#[test]
fn plan_and_section_are_drawn_moved_and_lead_to_their_answers() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut survey = ready::survey();
    survey.spots[0].name = Some("Landing".to_owned());
    let mut d = ready::open(data.path(), survey, SIZES[1]);
    d.tap("menu");
    d.tap("Drawings");
    assert_eq!(d.app.session().view(), View::Drawing);
    d.snapshot_sizes("drawing-plan");
    assert_eq!(d.too_small(48.0), Vec::<String>::new());
    let whole = pixels(&d);
    let colours: std::collections::BTreeSet<_> = whole.pixels().map(|p| p.0).collect();
    assert!(colours.len() > 20, "{} colours", colours.len());

    // Nearer, dragged, and back to the whole.
    d.tap("look from nearer");
    let near = pixels(&d);
    assert_ne!(near, whole);
    let (x, y, w, h) = place(&d);
    drag(&mut d, (x + w / 2.0, y + h / 2.0), (60.0, 40.0));
    assert_ne!(pixels(&d), near);
    assert_eq!(d.app.session().view(), View::Drawing, "a drag is no tap");
    d.tap("show the whole drawing");
    assert_eq!(pixels(&d), whole);
    // The wheel and the keyboard do the same.
    d.window
        .window()
        .dispatch_event(WindowEvent::PointerScrolled {
            position: slint::LogicalPosition::new(x + w / 2.0, y + h / 2.0),
            delta_x: 0.0,
            delta_y: 30.0,
        });
    d.settle();
    assert_ne!(pixels(&d), whole);
    d.type_text("0");

    d.tap("drawing: Section");
    d.snapshot_sizes("drawing-section");
    assert_ne!(pixels(&d), whole);
    // Every shade has its own ground and ink, in the drawing as on the page.
    let mut grounds = std::collections::BTreeSet::new();
    for (colours, name) in [
        ("Colours: Bright", "light"),
        ("Colours: High contrast", "contrast"),
        ("Colours: Dark", "dark"),
    ] {
        d.tap("menu");
        d.tap("Settings");
        d.tap(colours);
        for (page, short) in [
            ("Verdict", "verdict"),
            ("First visit", "first-visit"),
            ("For the customer", "customer"),
            ("Pictures", "pictures"),
            ("Drawings", "drawing"),
        ] {
            d.tap("menu");
            d.tap(page);
            d.snapshot_sizes(&format!("shade-{name}-{short}"));
        }
        let drawn = pixels(&d);
        let theme = d.window.global::<Theme>();
        let rgba = |colour: slint::Color| [colour.red(), colour.green(), colour.blue(), 255];
        let (ground, ink) = (rgba(theme.get_ground()), rgba(theme.get_ink()));
        assert!(drawn.pixels().any(|it| it.0 == ground), "{name}");
        assert!(drawn.pixels().any(|it| it.0 == ink), "{name}");
        grounds.insert(ground);
    }
    assert_eq!(grounds.len(), 3);

    // A tap on a number leads to the thing it stands for, and back to the drawing.
    d.tap("drawing: Plan, from above");
    let first = d
        .labels()
        .into_iter()
        .find(|label| label.starts_with("\"1 "))
        .expect("a numbered thing");
    let label = first.split("\" = ").next().expect("a label")[1..].to_owned();
    d.tap(&label);
    assert!(
        matches!(
            d.app.session().view(),
            View::Place(Place::Item { .. } | Place::Stop(Stop::Attic | Stop::Hall))
        ),
        "{:?}",
        d.app.session().view()
    );
    d.tap("back");
    d.tap("back");
    assert_eq!(d.app.session().view(), View::Drawing);
}

#[test]
fn a_tap_in_the_drawing_opens_the_answer_of_what_lies_there() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut survey = ready::survey();
    survey.spots[0].name = Some("Landing".to_owned());
    let mut d = ready::open(data.path(), survey, SIZES[2]);
    d.tap("menu");
    d.tap("Drawings");
    // Somewhere in a fine net of taps lie walls, joists and things in the way.
    let (x, y, w, h) = place(&d);
    let mut opened = std::collections::BTreeSet::new();
    for step in 0..40 {
        let (col, row) = (step % 8, step / 8);
        let at = (
            x + w * (0.5 + col as f32) / 8.0,
            y + (h - 60.0) * (0.5 + row as f32) / 5.0,
        );
        d.tap_at(at.0, at.1);
        let view = d.app.session().view();
        if let View::Place(place) = view {
            opened.insert(format!("{place:?}").chars().take(40).collect::<String>());
            while d.app.session().view() != View::Drawing {
                d.tap("back");
            }
        }
    }
    assert!(opened.len() >= 2, "{opened:?}");
}

fn drag(d: &mut Driver, from: (f32, f32), by: (f32, f32)) {
    use slint::LogicalPosition;
    use slint::platform::PointerEventButton;
    let window = d.window.window();
    let button = PointerEventButton::Left;
    let at = |share: f32| LogicalPosition::new(from.0 + by.0 * share, from.1 + by.1 * share);
    window.dispatch_event(WindowEvent::PointerMoved { position: at(0.0) });
    window.dispatch_event(WindowEvent::PointerPressed {
        position: at(0.0),
        button,
    });
    for step in 1..=5 {
        window.dispatch_event(WindowEvent::PointerMoved {
            position: at(step as f32 / 5.0),
        });
    }
    window.dispatch_event(WindowEvent::PointerReleased {
        position: at(1.0),
        button,
    });
    window.dispatch_event(WindowEvent::PointerExited);
    d.settle();
}

/// Puts two fingers down, moves them apart or together, and lifts them.
fn pinch(d: &mut Driver, middle: (f32, f32), from: f32, to: f32) {
    let window = d.window.window();
    let touch = |id: i32, right: f32, phase| {
        let position = LogicalPoint::new(middle.0 + right, middle.1);
        window.dispatch_event(WindowEvent::internal(InternalEvent::Touch {
            id,
            position,
            phase,
        }));
    };
    touch(1, -from / 2.0, TouchPhase::Started);
    touch(2, from / 2.0, TouchPhase::Started);
    for step in 0_u8..=8 {
        let apart = from + (to - from) * f32::from(step) / 8.0;
        touch(1, -apart / 2.0, TouchPhase::Moved);
        touch(2, apart / 2.0, TouchPhase::Moved);
    }
    touch(1, -to / 2.0, TouchPhase::Ended);
    touch(2, to / 2.0, TouchPhase::Ended);
    d.settle();
}

#[test]
fn two_fingers_look_from_nearer_and_farther_and_tap_nothing() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut survey = ready::survey();
    survey.spots[0].name = Some("Landing".to_owned());
    let mut d = ready::open(data.path(), survey, SIZES[1]);
    d.tap("menu");
    d.tap("Drawings");
    let whole = pixels(&d);
    let (x, y, w, h) = place(&d);
    let middle = (x + w / 2.0, y + h / 2.0);
    pinch(&mut d, middle, 80.0, 240.0);
    let near = pixels(&d);
    assert!(near != whole, "nearer by far");
    assert!(d.find("show the whole drawing").is_some());
    assert_eq!(d.app.session().view(), View::Drawing, "a pinch is no tap");
    // Together again: the whole drawing, and never less than that.
    for _ in 0..3 {
        pinch(&mut d, middle, 240.0, 40.0);
    }
    assert!(pixels(&d) == whole);
    assert!(d.find("show the whole drawing").is_none());
    // A finger alone drags as before.
    pinch(&mut d, middle, 80.0, 240.0);
    let near = pixels(&d);
    drag(&mut d, middle, (50.0, 30.0));
    assert!(pixels(&d) != near);
}
