//! Bundles: what goes in comes out, the same survey gives the same bytes, and nothing half-made is left.

use crate::bundles::{Device, device, now};
use crate::names_in;
use crate::zips::{Bag, Piece};
use joistlight::bundle::{self, Bundle, Problem, Progress, Watch, WriteError};
use joistlight::rules;
use joistlight::survey::{self, FieldRef, Ways};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use std::cell::RefCell;
use std::fs;
use std::sync::atomic::{AtomicBool, Ordering};

fn small(photos: u32) -> Device {
    device(7, photos, (64, 48))
}

#[test]
fn what_goes_in_comes_out() {
    let device = small(3);
    let out = tempfile::tempdir().unwrap();
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    let survey = device.survey();
    let name = path.file_name().unwrap().to_str().unwrap();
    assert_eq!(name, bundle::file_name(survey));
    let id = &survey.id.simple().to_string()[..8];
    assert_eq!(name, format!("test-7-{id}-r1.joistlight.zip"));
    assert_eq!(names_in(out.path()), [name]);

    let mut bundle = Bundle::open(&path).unwrap();
    assert_eq!(bundle.survey(), survey);
    assert_eq!(
        bundle.program(),
        concat!("joistlight ", env!("CARGO_PKG_VERSION"))
    );
    bundle.verify(Watch::default()).unwrap();
    for photo in &survey.photos {
        let sha256 = &photo.sha256;
        let stored = fs::read(device.open.photo_file(sha256)).unwrap();
        assert_eq!(
            bundle.read(&format!("data/photos/{sha256}.jpg")).unwrap(),
            stored
        );
        let stored = fs::read(device.open.thumbnail_file(sha256)).unwrap();
        assert_eq!(
            bundle
                .read(&format!("data/thumbnails/{sha256}.jpg"))
                .unwrap(),
            stored
        );
    }
    assert!(matches!(
        bundle.read("data/other").unwrap_err().problem,
        Problem::Missing
    ));

    // The findings are the assessment, down to each rule's answer.
    let assessment = rules::assess(survey, fan::generic(), &Codes::default());
    let judged = bundle.findings().clone();
    assert_eq!(judged.rules, assessment.rules);
    assert_eq!(judged.codes.building, "IRC 2021");
    assert_eq!(judged.fan_list_sha256, assessment.fan_list_sha256);
    assert_eq!(judged.spots.len(), assessment.spots.len());
    for (judged, spot) in judged.spots.iter().zip(&assessment.spots) {
        assert_eq!((judged.spot, judged.verdict), (spot.spot, spot.verdict));
        assert_eq!(judged.choices.len(), spot.choices.len());
        for (judged, choice) in judged.choices.iter().zip(&spot.choices) {
            assert_eq!((&judged.fan, judged.framing), (&choice.fan, choice.framing));
            assert_eq!(judged.findings.len(), choice.findings.len());
            for (judged, finding) in judged.findings.iter().zip(&choice.findings) {
                assert_eq!(
                    (&judged.rule[..], judged.outcome),
                    (finding.rule, finding.outcome)
                );
                assert_eq!(judged.say, finding.say.english());
            }
        }
    }
}

#[test]
fn the_same_survey_gives_the_same_bytes() {
    let device = small(2);
    let (a, b) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let first = fs::read(device.bundle(a.path(), Watch::default()).unwrap()).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(2100)); // a zip's times have steps of 2 s
    let second = fs::read(device.bundle(b.path(), Watch::default()).unwrap()).unwrap();
    assert!(first == second);
    // And over the earlier one.
    let again = fs::read(device.bundle(a.path(), Watch::default()).unwrap()).unwrap();
    assert!(first == again);
    assert_eq!(names_in(a.path()).len(), 1);
}

#[test]
fn pictures_are_stored_and_every_time_is_the_same() {
    let device = small(1);
    let out = tempfile::tempdir().unwrap();
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    let mut archive = zip::ZipArchive::new(fs::File::open(path).unwrap()).unwrap();
    assert!(archive.comment().is_empty());
    for index in 0..archive.len() {
        let entry = archive.by_index(index).unwrap();
        let expected = match entry.name().unwrap().ends_with(".jpg") {
            true => zip::CompressionMethod::Stored,
            false => zip::CompressionMethod::Deflated,
        };
        assert_eq!(entry.compression(), expected);
        assert_eq!(entry.last_modified(), Some(zip::DateTime::DEFAULT));
        assert_eq!(entry.unix_mode(), Some(0o100_644));
        assert_eq!(entry.extra_data().unwrap_or_default(), b"");
    }
}

#[test]
fn the_bag_is_taken_out_whole_or_not_at_all() {
    let device = small(2);
    let out = tempfile::tempdir().unwrap();
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    let place = tempfile::tempdir().unwrap();
    let into = place.path().join("taken out");
    let mut bundle = Bundle::open(&path).unwrap();
    bundle.unpack(&into, Watch::default()).unwrap();
    assert_eq!(names_in(place.path()), ["taken out"]);
    let bag = Bag::of(&fs::read(&path).unwrap());
    let mut files = 0;
    for (path, bytes) in &bag.files {
        assert_eq!(&fs::read(into.join(path)).unwrap(), bytes, "{path}");
        files += 1;
    }
    assert_eq!(files, 4 + 4 + 4);
    // Where something stands already, nothing is touched.
    let error = bundle.unpack(&into, Watch::default()).unwrap_err();
    assert!(matches!(error.problem, Problem::Disk(_)), "{error}");

    // One wrong byte in the last file: everything before it is taken back.
    let mut bytes = fs::read(&path).unwrap();
    let last = bag
        .files
        .iter()
        .rfind(|(p, _)| p.starts_with("data/thumb"))
        .unwrap()
        .1;
    let at = bytes.windows(last.len()).rposition(|w| w == last).unwrap();
    bytes[at + last.len() - 5] ^= 1;
    fs::write(&path, &bytes).unwrap();
    let place = tempfile::tempdir().unwrap();
    let into = place.path().join("bad");
    let error = Bundle::open(&path)
        .unwrap()
        .unpack(&into, Watch::default())
        .unwrap_err();
    assert!(
        matches!(error.problem, Problem::Crc | Problem::Digest { .. }),
        "{error}"
    );
    assert!(names_in(place.path()).is_empty());
}

#[test]
fn an_archive_made_by_another_program_of_the_same_bag_is_read() {
    // As `zip -r` and others write it: folders named, deflated, with times in extra fields.
    let device = small(1);
    let out = tempfile::tempdir().unwrap();
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    let bag = Bag::of(&fs::read(&path).unwrap());
    let mut zip = bag.zip();
    let times = [0x55, 0x54, 5, 0, 1, 0, 0, 0, 0];
    zip.pieces = zip.pieces.into_iter().map(Piece::deflated).collect();
    for folder in ["", "/data", "/data/photos", "/data/thumbnails"] {
        zip.pieces
            .insert(0, Piece::folder(&format!("{}{folder}", bag.base)));
    }
    for piece in &mut zip.pieces {
        piece.extra = times.to_vec();
    }
    let other = out.path().join("other.zip");
    fs::write(&other, zip.bytes()).unwrap();
    let mut bundle = Bundle::open(&other).unwrap();
    bundle.verify(Watch::default()).unwrap();
    assert_eq!(bundle.survey(), device.survey());
    assert_eq!(
        bundle.manifest_sha256(),
        Bundle::open(&path).unwrap().manifest_sha256()
    );
}

#[test]
fn stopping_leaves_nothing_and_progress_rises_to_the_end() {
    let device = small(4);
    let out = tempfile::tempdir().unwrap();
    let told: RefCell<Vec<Progress>> = RefCell::default();
    let tell = |progress| told.borrow_mut().push(progress);
    let watch = Watch {
        progress: Some(&tell),
        ..Watch::default()
    };
    let path = device.bundle(out.path(), watch).unwrap();
    let check = |told: Vec<Progress>| {
        assert!(told.windows(2).all(|pair| pair[0].done <= pair[1].done));
        let last = told.last().unwrap();
        assert!(last.total > 10_000);
        assert_eq!(last.done, last.total);
    };
    check(told.take());
    let mut bundle = Bundle::open(&path).unwrap();
    bundle.verify(watch).unwrap();
    check(told.take());

    // Stopped after the first news, and in the middle.
    for after in [0, 3, 6] {
        let stop = AtomicBool::new(false);
        let count = RefCell::new(0);
        let tell = |_| {
            *count.borrow_mut() += 1;
            if *count.borrow() > after {
                stop.store(true, Ordering::Relaxed);
            }
        };
        let watch = Watch {
            stop: Some(&stop),
            progress: Some(&tell),
        };
        let place = tempfile::tempdir().unwrap();
        let error = device.bundle(place.path(), watch).unwrap_err();
        assert!(matches!(error, WriteError::Stopped), "{error}");
        assert!(names_in(place.path()).is_empty());
        stop.store(false, Ordering::Relaxed);
        *count.borrow_mut() = 0;
        let into = place.path().join("x");
        let error = bundle.unpack(&into, watch).unwrap_err();
        assert!(matches!(error.problem, Problem::Stopped), "{error}");
        assert!(names_in(place.path()).is_empty());
    }
}

#[test]
fn a_bundle_is_not_written_of_what_its_reader_would_refuse() {
    let out = tempfile::tempdir().unwrap();
    let refused = |spoil: &dyn Fn(&Device)| {
        let device = small(2);
        spoil(&device);
        let error = device.bundle(out.path(), Watch::default()).unwrap_err();
        assert!(names_in(out.path()).is_empty());
        error
    };
    let photo = |device: &Device| device.open.photo_file(&device.survey().photos[1].sha256);
    let thumb = |device: &Device| {
        device
            .open
            .thumbnail_file(&device.survey().photos[1].sha256)
    };
    let missing = refused(&|device| fs::remove_file(photo(device)).unwrap());
    assert!(missing.to_string().contains("is not there"), "{missing}");
    let missing = refused(&|device| fs::remove_file(thumb(device)).unwrap());
    assert!(missing.to_string().contains("is not there"), "{missing}");
    let other = refused(&|device| {
        let first = device.open.photo_file(&device.survey().photos[0].sha256);
        fs::copy(first, photo(device)).unwrap();
    });
    assert!(matches!(other, WriteError::OtherPicture { .. }), "{other}");
    let text = refused(&|device| fs::write(photo(device), "no picture").unwrap());
    assert!(matches!(text, WriteError::Picture(_)), "{text}");
    let text = refused(&|device| fs::write(thumb(device), "no picture").unwrap());
    assert!(matches!(text, WriteError::Picture(_)), "{text}");

    // Findings of an earlier revision.
    let mut device = small(0);
    let assessment = rules::assess(device.survey(), fan::generic(), &Codes::default());
    let at = FieldRef::house("arrival.client");
    device
        .open
        .type_in(now(), at, "B", &Ways::default())
        .unwrap();
    device.open.next_revision().unwrap();
    let contents = bundle::Contents {
        survey: device.survey(),
        assessment: &assessment,
        fans: fan::generic(),
        pictures: device.open.folder(),
        ways: Ways::default(),
        language: Default::default(),
    };
    let error = bundle::write(&contents, out.path(), Watch::default()).unwrap_err();
    assert!(matches!(error, WriteError::OtherFindings), "{error}");
    assert!(names_in(out.path()).is_empty());
}

#[test]
fn what_the_reader_would_refuse_for_its_size_is_not_kept() {
    // Somebody leant on a key, in every field: squeezed hard, and fine.
    let out = tempfile::tempdir().unwrap();
    let with_rooms = |count: usize| {
        let mut device = small(0);
        let spot = device.survey().spots[0].id;
        device
            .open
            .change(now(), |survey| {
                for _ in 0..count {
                    let id = survey.fresh_id();
                    survey.list_mut("hall.rooms", Some(spot)).unwrap().add(id);
                    let at = FieldRef::spot("room.name", spot).item(id);
                    survey.type_in(at, &"x".repeat(4000), &Ways::default())?;
                }
                Ok::<_, survey::fields::FieldError>(())
            })
            .unwrap();
        device.open.next_revision().unwrap();
        device
    };
    let device = with_rooms(400);
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    Bundle::open(&path)
        .unwrap()
        .verify(Watch::default())
        .unwrap();
    fs::remove_file(path).unwrap();
    // Beyond what a survey may have.
    let error = with_rooms(4400)
        .bundle(out.path(), Watch::default())
        .unwrap_err();
    assert!(matches!(error, WriteError::NotReadBack(_)), "{error}");
    assert!(error.to_string().contains("/data/"), "{error}");
    assert!(names_in(out.path()).is_empty());
}

#[test]
fn an_earlier_bundle_of_the_name_stays_when_the_new_one_fails() {
    let device = small(1);
    let out = tempfile::tempdir().unwrap();
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    let before = fs::read(&path).unwrap();
    fs::remove_file(device.open.photo_file(&device.survey().photos[0].sha256)).unwrap();
    device.bundle(out.path(), Watch::default()).unwrap_err();
    assert!(fs::read(&path).unwrap() == before);
}

#[test]
fn the_report_needs_nothing_beside_it_and_lets_no_text_act() {
    let device = small(2);
    let out = tempfile::tempdir().unwrap();
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    let page = Bag::of(&fs::read(&path).unwrap()).text("data/report.html");
    assert!(page.starts_with("<!DOCTYPE html>"));
    assert!(page.trim_end().ends_with("</html>"));
    assert!(!page.contains("<script"));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;so on&quot;"));
    assert_eq!(page.matches("src=\"data:image/jpeg;base64,").count(), 2);
    assert_eq!(page.matches("src=").count(), 2);
    // Two strokes a picture, each drawn twice: dark below, bright on it.
    let (_, pictures) = page
        .split_once("<div class=\"pictures\">")
        .expect("pictures");
    for shape in ["path", "circle"] {
        assert_eq!(pictures.matches(&format!("<{shape} ")).count(), 4);
        assert_eq!(pictures.matches(&format!("></{shape}>")).count(), 4);
    }
    // Plan and section of every spot.
    let drawings = 2 * device.survey().spots.len();
    assert_eq!(page.matches("<div class=\"drawing\">").count(), drawings);
    assert!(!page.contains("http://") && !page.contains("https://"));
    // Every answer given is on it, in the words of the screens.
    let survey = device.survey();
    for at in survey.places() {
        if let Some(answer) = survey.answer(at) {
            // A spot's name is not asked for by its label: it heads the spot's part.
            let label = match at.field == survey::fields::SPOT_NAME.id {
                true => answer.to_string(),
                false => survey::fields::label_of(at.field).to_owned(),
            };
            let label = label.replace('&', "&amp;");
            assert!(page.contains(&label), "{label}");
        }
    }
    assert!(page.contains("not measured yet"));
}

#[test]
fn a_text_of_any_characters_goes_in_and_comes_out() {
    let mut device = small(0);
    let out = tempfile::tempdir().unwrap();
    let text = "Zoë’s “attic” \u{202e}<b>&\"'\\ \t日本語 🏠 /../..";
    for field in ["arrival.job_reference", "arrival.client", "wrap_up.notes"] {
        let at = FieldRef::house(field);
        device
            .open
            .type_in(now(), at, text, &Ways::default())
            .unwrap();
    }
    device.open.next_revision().unwrap();
    let path = device.bundle(out.path(), Watch::default()).unwrap();
    let name = path.file_name().unwrap().to_str().unwrap();
    assert!(name.starts_with("zo-s-attic-b-"), "{name}");
    let mut bundle = Bundle::open(&path).unwrap();
    bundle.verify(Watch::default()).unwrap();
    assert_eq!(bundle.survey(), device.survey());
}
