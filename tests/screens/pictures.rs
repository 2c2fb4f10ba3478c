//! The pictures: the list of those that are needed, what is drawn on them, and long work that is stopped half-way.

use crate::driver::{Driver, SIZES, platform};
use crate::ready;
use i_slint_backend_testing::mock_elapsed_time;
use joistlight::bundle::{Bundle, Watch};
use joistlight::survey::{Photo, Stroke, Subject};
use slint::platform::{PointerEventButton, WindowEvent};
use slint::{ComponentHandle, LogicalPosition};
use std::path::Path;
use std::time::Duration;

/// A picture file, so large that taking it in takes a while.
fn picture(path: &Path, width: u32, seed: u32) {
    let height = width * 3 / 4;
    image::RgbImage::from_fn(width, height, |x, y| {
        let noise = (x.wrapping_mul(2_654_435_761) ^ y.wrapping_mul(40_503) ^ seed) >> 9;
        image::Rgb([
            (x / 7) as u8,
            (y / 5) as u8,
            (noise & 0x3f) as u8 + seed as u8,
        ])
    })
    .save(path)
    .expect("a picture");
}

fn photos(d: &Driver) -> usize {
    d.app.session().open().expect("open").survey().photos.len()
}

/// Takes a first picture in by its path, so that the list of files opens in its folder.
fn first(d: &mut Driver, file: &Path) {
    d.tap("picture file");
    d.type_text(file.to_str().expect("plain"));
    d.tap("Take it in");
    d.wait("the picture", |d| photos(d) == 1);
}

fn drag(d: &mut Driver, from: (f32, f32), to: (f32, f32)) {
    let window = d.window.window();
    let button = PointerEventButton::Left;
    let position = LogicalPosition::new(from.0, from.1);
    window.dispatch_event(WindowEvent::PointerMoved { position });
    window.dispatch_event(WindowEvent::PointerPressed { position, button });
    let position = LogicalPosition::new(to.0, to.1);
    window.dispatch_event(WindowEvent::PointerMoved { position });
    d.settle();
    d.snapshot("picture-being-drawn-on");
    let window = d.window.window();
    window.dispatch_event(WindowEvent::PointerReleased { position, button });
    window.dispatch_event(WindowEvent::PointerExited);
    d.settle();
}

#[test]
fn a_needed_picture_is_taken_with_one_tap_and_is_tied_to_its_thing() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let shots = tempfile::tempdir().expect("a folder");
    picture(&shots.path().join("one.png"), 320, 1);
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("Pictures");
    d.snapshot_sizes("pictures-needed");
    assert_eq!(d.too_small(48.0), Vec::<String>::new());
    first(&mut d, &shots.path().join("one.png"));
    let needed = d.app.session().needed_pictures();
    let open = needed.iter().filter(|(_, it)| !it.taken).count();
    let wanted = needed
        .iter()
        .find(|(_, it)| it.what == Subject::Obstruction)
        .expect("the demo has things in the way")
        .1;
    let label = format!("take: {}", d.app.session().needed_title(&wanted));
    d.tap(&label);
    d.snapshot("pictures-files");
    d.tap("one.png");
    d.wait("the picture", |d| photos(d) == 2);
    let session = d.app.session();
    let photo = &session.open().expect("open").survey().photos[1];
    assert_eq!(
        (photo.subject, photo.spot, photo.item),
        (wanted.what, wanted.spot, wanted.item)
    );
    let now = session.needed_pictures();
    assert_eq!(now.iter().filter(|(_, it)| !it.taken).count(), open - 1);
    drop(session);
    d.snapshot_sizes("pictures-taken");
}

#[test]
fn arrows_and_rings_lie_over_the_picture_which_stays_as_it_was() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let shots = tempfile::tempdir().expect("a folder");
    picture(&shots.path().join("one.png"), 640, 3);
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("Pictures");
    first(&mut d, &shots.path().join("one.png"));
    let survey = d.app.session().open().expect("open").survey().clone();
    let file = data
        .path()
        .join("surveys")
        .join(survey.id.to_string())
        .join("photos")
        .join(format!("{}.jpg", survey.photos[0].sha256));
    let before = std::fs::read(&file).expect("the kept picture");
    let shows = d.app.session().photo_shows(&survey.photos[0]);
    d.tap(&format!("picture of {shows}"));
    d.wait("the large picture", |d| {
        d.app.session().photos().look.is_some()
    });
    d.snapshot_sizes("picture-large");
    assert_eq!(d.too_small(48.0), Vec::<String>::new());
    let strokes = |d: &Driver| {
        d.app.session().open().expect("open").survey().photos[0]
            .strokes
            .clone()
    };
    // 412 px wide: the picture fills the width, 309 px high, in the middle of what is over the keys.
    d.tap("Ring");
    let middle = d.find(&shows).expect("the picture").absolute_position();
    drag(&mut d, (206.0, middle.y + 150.0), (260.0, middle.y + 150.0));
    assert!(
        matches!(
            strokes(&d)[..],
            [Stroke::Ring {
                middle: [500, _],
                radius: 125..=135
            }]
        ),
        "{:?}",
        strokes(&d)
    );
    d.tap("Arrow");
    drag(&mut d, (40.0, middle.y + 40.0), (180.0, middle.y + 130.0));
    assert!(matches!(
        strokes(&d)[..],
        [Stroke::Ring { .. }, Stroke::Arrow { .. }]
    ));
    d.snapshot_sizes("picture-drawn-on");
    drag(&mut d, (300.0, middle.y + 40.0), (200.0, middle.y + 200.0));
    assert_eq!(strokes(&d).len(), 3);
    d.tap("Delete the last");
    assert_eq!(strokes(&d).len(), 2);
    d.tap("close the picture");
    d.snapshot_sizes("pictures-drawn-on");
    assert_eq!(std::fs::read(&file).expect("still there"), before);

    // The report has them too.
    d.tap("menu");
    d.tap("Hand over to the office");
    d.tap("Write the bundle");
    d.wait("the bundle", |d| d.app.session().written().is_some());
    let path = d.app.session().written().expect("written").to_owned();
    let mut bundle = Bundle::open(&path).expect("a bundle");
    bundle.verify(Watch::default()).expect("whole");
    assert_eq!(bundle.survey().photos[0].strokes.len(), 2);
    let report =
        String::from_utf8(bundle.read("data/report.html").expect("a report")).expect("text");
    assert!(report.contains("<circle class=\"over\""));
    // And plan and section of each spot.
    assert_eq!(report.matches("<div class=\"drawing\">").count(), 6);
}

#[test]
fn a_deleted_picture_and_a_drawn_stroke_are_taken_back_and_made_again() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let shots = tempfile::tempdir().expect("a folder");
    picture(&shots.path().join("one.png"), 640, 5);
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("Pictures");
    first(&mut d, &shots.path().join("one.png"));
    let held = |d: &Driver| -> Vec<Photo> {
        let session = d.app.session();
        session.open().expect("open").survey().photos.clone()
    };
    let taken = held(&d);
    let shows = d.app.session().photo_shows(&taken[0]);
    d.tap(&format!("delete the picture of {shows}"));
    assert!(held(&d).is_empty());
    d.tap("Undo");
    assert_eq!(held(&d), taken);
    d.tap("redo");
    assert!(held(&d).is_empty());
    d.tap("undo the last change");
    assert_eq!(held(&d), taken);

    // Its file was there all the time.
    d.tap(&format!("picture of {shows}"));
    d.wait("the large picture", |d| {
        d.app.session().photos().look.is_some()
    });
    d.tap("Ring");
    let middle = d.find(&shows).expect("the picture").absolute_position();
    drag(&mut d, (206.0, middle.y + 150.0), (260.0, middle.y + 150.0));
    let drawn = held(&d);
    assert!(
        matches!(drawn[0].strokes[..], [Stroke::Ring { .. }]),
        "{drawn:?}"
    );
    d.tap("close the picture");
    d.tap("undo the last change");
    assert_eq!(held(&d), taken, "without the ring");
    d.tap("redo");
    assert_eq!(held(&d), drawn);
}

/// Taps without waiting for the work beside the window.
fn touch(d: &Driver, label: &str) {
    let element = d.find(label).unwrap_or_else(|| panic!("“{label}”"));
    let (at, size) = (element.absolute_position(), element.size());
    let position = LogicalPosition::new(at.x + size.width / 2.0, at.y + size.height / 2.0);
    let button = PointerEventButton::Left;
    let window = d.window.window();
    window.dispatch_event(WindowEvent::PointerMoved { position });
    window.dispatch_event(WindowEvent::PointerPressed { position, button });
    window.dispatch_event(WindowEvent::PointerReleased { position, button });
    window.dispatch_event(WindowEvent::PointerExited);
}

/// Lets time pass until something is so, while work goes on beside the window.
fn until(d: &Driver, what: &str, done: impl Fn(&Driver) -> bool) {
    for _ in 0..6000 {
        mock_elapsed_time(Duration::from_millis(50));
        if done(d) {
            return;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    panic!("{what} did not come");
}

/// What the window shows while work goes on.
fn shot(d: &Driver, name: &str) {
    let pixels = d.window.window().take_snapshot().expect("pixels");
    image::RgbaImage::from_raw(pixels.width(), pixels.height(), pixels.as_bytes().to_vec())
        .expect("four bytes a pixel")
        .save(crate::driver::folder().join(format!("{name}.png")))
        .expect("written");
}

/// Names of everything below a folder.
fn files(folder: &Path) -> Vec<String> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        all.push(entry.file_name().to_string_lossy().into_owned());
    }
    all.sort();
    all
}

#[test]
fn taking_many_pictures_in_shows_how_far_it_is_and_leaves_nothing_half_when_stopped() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let shots = tempfile::tempdir().expect("a folder");
    const MANY: usize = 16;
    for number in 0..MANY {
        picture(
            &shots.path().join(format!("shot {number:02}.png")),
            1400,
            number as u32,
        );
    }
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("Pictures");
    first(&mut d, &shots.path().join("shot 00.png"));
    d.tap("Choose a picture");
    touch(&d, &format!("All {MANY} pictures of this folder"));
    until(&d, "some pictures", |d| photos(d) >= 3);
    let (done, all) = d.app.session().photos().progress();
    assert!(done >= 2 && all == MANY, "{done} of {all}");
    shot(&d, "pictures-working");
    touch(&d, "Stop");
    until(&d, "the end", |d| d.app.session().photos().working == 0);
    d.settle();
    let survey = d.app.session().open().expect("open").survey().clone();
    assert!(
        (3..MANY + 1).contains(&survey.photos.len()),
        "{} pictures",
        survey.photos.len()
    );
    let folder = data.path().join("surveys").join(survey.id.to_string());
    let mut wanted: Vec<String> = survey
        .photos
        .iter()
        .map(|photo| format!("{}.jpg", photo.sha256))
        .collect();
    wanted.sort();
    wanted.dedup();
    // One file a picture, and nothing else: no half ones.
    assert_eq!(files(&folder.join("photos")), wanted);
    assert_eq!(files(&folder.join("thumbnails")), wanted);
    for name in &wanted {
        image::open(folder.join("photos").join(name)).expect("a whole picture");
    }
}

#[test]
fn a_bundle_that_is_stopped_leaves_no_file() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let shots = tempfile::tempdir().expect("a folder");
    const MANY: usize = 12;
    for number in 0..MANY {
        picture(
            &shots.path().join(format!("shot {number:02}.png")),
            1600,
            40 + number as u32,
        );
    }
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("Pictures");
    first(&mut d, &shots.path().join("shot 00.png"));
    d.tap("Choose a picture");
    d.tap(&format!("All {MANY} pictures of this folder"));
    d.wait("all pictures", |d| {
        d.app.session().photos().working == 0 && photos(d) > MANY
    });
    d.tap("menu");
    d.tap("Hand over to the office");
    let folder = d.app.session().hand_over().folder.clone();
    // Stopped as soon as it runs: a quick machine may be done before, and is asked again.
    let mut stopped = false;
    for _ in 0..20 {
        touch(&d, "Write the bundle");
        until(&d, "the writing", |d| {
            let session = d.app.session();
            let state = session.hand_over();
            session.written().is_some() || state.progress.is_some_and(|share| share > 0.0)
        });
        if d.app.session().written().is_none() {
            shot(&d, "hand-over-working");
            touch(&d, "Stop");
        }
        until(&d, "the end", |d| {
            d.app.session().hand_over().progress.is_none()
        });
        let state = d.app.session();
        match state.written() {
            Some(path) => std::fs::remove_file(path).expect("removed"),
            None => {
                assert!(!state.hand_over().trouble.is_empty());
                stopped = true;
                break;
            }
        }
    }
    assert!(stopped, "it was never stopped");
    assert_eq!(files(&folder), Vec::<String>::new());
    assert!(d.app.session().hand_over().progress.is_none());
    // And after that it can be written whole.
    d.tap("Write the bundle");
    d.wait("the bundle", |d| d.app.session().written().is_some());
    assert_eq!(files(&folder).len(), 1);
}
