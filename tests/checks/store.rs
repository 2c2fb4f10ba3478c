//! The surveys on a device: what is saved comes back, and what is damaged harms nothing else.

use crate::names_in;
use joistlight::measure::Tape;
use joistlight::rules::Verdict;
use joistlight::store::{ChangeError, Notice, Place, Settings, Shade, Store, StoreError, TextSize};
use joistlight::survey::{FieldRef, Photo, Subject, Survey, Ways, When};
use joistlight::trade::fan;
use sha2::{Digest, Sha256};
use std::fs;
use std::path::{Path, PathBuf};
use uuid::Uuid;

fn now() -> When {
    "2026-05-03T18:20:00-07:00".parse().unwrap()
}

fn later() -> When {
    "2026-05-03T18:21:00-07:00".parse().unwrap()
}

fn new_survey() -> Survey {
    Survey::begin(Uuid::new_v4(), now(), Tape::default())
}

struct Device {
    folder: tempfile::TempDir,
    store: Store,
}

fn device() -> Device {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(folder.path()).unwrap();
    Device { folder, store }
}

impl Device {
    /// Turned off and on again.
    fn again(self) -> Device {
        let Device { folder, store } = self;
        drop(store);
        let store = Store::open(folder.path()).unwrap();
        Device { folder, store }
    }

    fn file(&self, survey: Uuid, name: &str) -> PathBuf {
        self.folder
            .path()
            .join("surveys")
            .join(survey.to_string())
            .join(name)
    }

    fn with_client(&self, client: &str) -> Uuid {
        let survey = new_survey();
        let mut open = self.store.begin(survey).unwrap();
        let at = FieldRef::house("arrival.client");
        open.type_in(now(), at, client, &Ways::default()).unwrap();
        open.survey().id
    }
}

fn picture(text: &str) -> (Vec<u8>, Photo) {
    let bytes = text.as_bytes().to_vec();
    let photo = Photo {
        id: joistlight::survey::ItemId(0),
        subject: Subject::Joists,
        spot: None,
        item: None,
        remark: None,
        sha256: Sha256::digest(&bytes)
            .iter()
            .map(|b| format!("{b:02x}"))
            .collect(),
        width: 4,
        height: 3,
        taken_at: None,
        strokes: Vec::new(),
    };
    (bytes, photo)
}

#[test]
fn a_survey_opens_again_as_it_was_and_where_the_surveyor_stopped() {
    let device = device();
    let mut open = device.store.begin(new_survey()).unwrap();
    let id = open.survey().id;
    let spot = open.survey().spots[0].id;
    let roof = FieldRef::spot("attic.roof_height", spot);
    open.type_in(later(), roof, "36 1/2", &Ways::default())
        .unwrap();
    let place = Place {
        page: "attic".into(),
        spot: Some(spot),
        field: Some("attic.roof_height".into()),
        ..Place::default()
    };
    open.note_place(place.clone()).unwrap();
    device.store.note_open(Some(id)).unwrap();
    let before = open.survey().clone();
    assert_eq!(before.changed, later());
    drop(open);

    let device = device.again();
    assert_eq!(device.store.last_open(), Some(id));
    let open = device.store.survey(id).unwrap();
    assert_eq!(open.survey(), &before);
    assert_eq!(open.place(), &place);
    assert!(open.notices().is_empty());
}

#[test]
fn a_refused_change_changes_nothing() {
    let device = device();
    let mut open = device.store.begin(new_survey()).unwrap();
    let before = open.survey().clone();
    let file = device.file(before.id, "survey.json");
    let bytes = fs::read(&file).unwrap();
    let at = FieldRef::house("arrival.year_built");
    let error = open
        .type_in(later(), at, "long ago", &Ways::default())
        .unwrap_err();
    assert!(matches!(error, ChangeError::Refused(_)), "{error}");
    assert!(error.to_string().starts_with("Year built: "), "{error}");
    assert_eq!(open.survey(), &before);
    assert_eq!(fs::read(&file).unwrap(), bytes);
    assert!(!open.can_undo());
}

#[test]
fn changes_are_taken_back_and_made_again_and_no_id_is_used_twice() {
    let device = device();
    let mut open = device.store.begin(new_survey()).unwrap();
    let at = FieldRef::house("arrival.client");
    let ways = Ways::default();
    for client in ["A", "B"] {
        open.type_in(now(), at, client, &ways).unwrap();
    }
    let first = open
        .change(now(), |s| Ok::<_, std::fmt::Error>(s.add_spot()))
        .unwrap();
    open.next_revision().unwrap();
    assert!(open.undo(later()).unwrap());
    assert!(open.undo(later()).unwrap());
    assert_eq!(open.survey().answer(at).unwrap().to_string(), "A");
    assert_eq!(open.survey().revision, 1);
    assert!(open.redo(later()).unwrap());
    assert_eq!(open.survey().answer(at).unwrap().to_string(), "B");
    let second = open
        .change(now(), |s| Ok::<_, std::fmt::Error>(s.add_spot()))
        .unwrap();
    assert_ne!(first, second);
    assert!(!open.can_redo(), "a new change ends what could be redone");
    let on_disk = open.survey().clone();
    drop(open);
    assert_eq!(device.store.survey(on_disk.id).unwrap().survey(), &on_disk);
}

#[test]
fn undo_and_redo_outlive_the_program_and_lose_no_answer() {
    let device = device();
    let mut open = device.store.begin(new_survey()).unwrap();
    let id = open.survey().id;
    let at = FieldRef::house("arrival.client");
    let ways = Ways::default();
    for number in 0..120 {
        open.type_in(now(), at, &format!("client {number}"), &ways)
            .unwrap();
    }
    open.undo(now()).unwrap();
    drop(open);
    let client =
        |open: &joistlight::store::OpenSurvey| open.survey().answer(at).map(|it| it.to_string());
    let device = device.again();
    let mut open = device.store.survey(id).unwrap();
    assert_eq!(client(&open).as_deref(), Some("client 118"));
    assert!(open.can_undo() && open.can_redo());
    assert!(open.redo(now()).unwrap());
    assert_eq!(client(&open).as_deref(), Some("client 119"));
    let mut taken_back = 0;
    while open.undo(now()).unwrap() {
        taken_back += 1;
    }
    assert_eq!(
        taken_back, 100,
        "as many as before the restart, and no more"
    );
    assert_eq!(client(&open).as_deref(), Some("client 19"));
    assert!(open.redo(now()).unwrap());
    drop(open);
    // A state that cannot be read costs the steps beyond it, and nothing else.
    for file in names_in(&device.file(id, "history")) {
        fs::write(device.file(id, "history").join(file), "{").unwrap();
    }
    let device = device.again();
    let mut open = device.store.survey(id).unwrap();
    assert_eq!(client(&open).as_deref(), Some("client 20"));
    assert!(!open.undo(now()).unwrap() && !open.redo(now()).unwrap());
    assert!(!open.can_undo() && !open.can_redo());
    assert_eq!(client(&open).as_deref(), Some("client 20"));
}

#[test]
fn a_damaged_survey_is_set_aside_whole_and_the_others_open() {
    type Damage = fn(&Path);
    let damages: [(&str, Damage, &str); 9] = [
        ("half a file", |f| halve(f), "not JSON"),
        ("nothing", |f| fs::write(f, "").unwrap(), "not JSON"),
        (
            "rubbish",
            |f| fs::write(f, [0xff, 0xfe, 0, 7, 200]).unwrap(),
            "not UTF-8",
        ),
        (
            "another kind of file",
            |f| fs::write(f, "[1, 2]").unwrap(),
            "not a joistlight survey",
        ),
        ("missing", |f| fs::remove_file(f).unwrap(), "is missing"),
        (
            "a length that is none",
            |f| replace(f, "\"arrival\": {", "\"arrival\": {\"altitude\": \"high\","),
            "arrival.altitude",
        ),
        (
            "an unknown field",
            |f| replace(f, "\"arrival\": {", "\"arrival\": {\"mood\": \"good\","),
            "arrival",
        ),
        (
            "an impossible year",
            |f| replace(f, "\"arrival\": {", "\"arrival\": {\"year_built\": 12,"),
            "arrival.year_built",
        ),
        (
            "an id given out twice",
            |f| replace(f, "\"next_id\": 2", "\"next_id\": 1"),
            "spots[0].id",
        ),
    ];
    for (name, damage, says) in damages {
        let device = device();
        let good = device.with_client("Good");
        let bad = device.with_client("Bad");
        let file = device.file(bad, "survey.json");
        damage(&file);
        let left = fs::read(&file).ok();
        let (facts, notices) = device.store.list().unwrap();
        assert_eq!(facts.len(), 1, "{name}");
        assert_eq!(facts[0].id, good, "{name}");
        let [notice @ Notice::SetAside { moved_to, .. }] = &notices[..] else {
            panic!("{name}: {notices:?}");
        };
        let sentence = notice.to_string();
        assert!(sentence.contains("survey.json"), "{name}: {sentence}");
        assert!(sentence.contains(says), "{name}: {sentence}");
        // Whole: the same bytes, and the folders beside them.
        let moved = moved_to.as_ref().unwrap().join(bad.to_string());
        assert_eq!(fs::read(moved.join("survey.json")).ok(), left, "{name}");
        assert!(moved.join("photos").is_dir());
        let aside = device.store.set_aside().unwrap();
        assert_eq!(aside.len(), 1);
        assert!(aside[0].why.contains(says), "{name}: {}", aside[0].why);
        // Said once; the list is clean from then on.
        assert!(device.store.list().unwrap().1.is_empty());
        assert!(matches!(
            device.store.survey(bad),
            Err(StoreError::NoSuchSurvey(_))
        ));
        device.store.survey(good).unwrap();
    }
}

fn halve(file: &Path) {
    let bytes = fs::read(file).unwrap();
    fs::write(file, &bytes[..bytes.len() / 2]).unwrap();
}

fn replace(file: &Path, from: &str, to: &str) {
    let text = fs::read_to_string(file).unwrap();
    assert!(text.contains(from), "{text}");
    fs::write(file, text.replace(from, to)).unwrap();
}

#[test]
fn a_damaged_survey_is_set_aside_when_it_is_opened_too() {
    let device = device();
    let id = device.with_client("Bad");
    halve(&device.file(id, "survey.json"));
    let error = device.store.survey(id).unwrap_err();
    assert!(
        matches!(error, StoreError::Unreadable(Notice::SetAside { .. })),
        "{error}"
    );
    assert!(!device.file(id, "").exists());
}

#[test]
fn a_survey_of_a_newer_format_is_left_as_it_is() {
    let device = device();
    let id = device.with_client("From the future");
    let file = device.file(id, "survey.json");
    replace(&file, "\"version\": 2", "\"version\": 7, \"new\": {}");
    let left = fs::read(&file).unwrap();
    let (facts, notices) = device.store.list().unwrap();
    assert!(facts.is_empty());
    let sentence = notices[0].to_string();
    assert!(matches!(notices[0], Notice::Newer(_)));
    assert!(sentence.contains("format version 7"), "{sentence}");
    assert!(matches!(
        device.store.survey(id),
        Err(StoreError::Unreadable(Notice::Newer(_)))
    ));
    assert_eq!(fs::read(&file).unwrap(), left);
}

#[test]
fn a_folder_under_another_surveys_name_is_set_aside() {
    let device = device();
    let id = device.with_client("A");
    let other = Uuid::new_v4();
    fs::rename(device.file(id, ""), device.file(other, "")).unwrap();
    let (facts, notices) = device.store.list().unwrap();
    assert!(facts.is_empty());
    assert!(notices[0].to_string().contains("id: "), "{}", notices[0]);
}

#[test]
fn a_damaged_note_of_the_place_costs_the_place_only() {
    let device = device();
    let id = device.with_client("A");
    fs::write(device.file(id, "session.json"), "{\"place\": 3}").unwrap();
    let open = device.store.survey(id).unwrap();
    assert_eq!(open.place(), &Place::default());
    let sentence = open.notices()[0].to_string();
    assert!(sentence.contains("session.json, place"), "{sentence}");
}

#[test]
fn deleting_can_be_undone_and_only_emptying_removes() {
    let device = device();
    let (kept, gone) = (device.with_client("Kept"), device.with_client("Gone"));
    let before = device.store.survey(gone).unwrap().survey().clone();
    let open = device.store.survey(gone).unwrap();
    assert!(matches!(
        device.store.delete(gone, now()),
        Err(StoreError::IsOpen(_))
    ));
    drop(open);
    device.store.delete(gone, now()).unwrap();
    assert_eq!(device.store.list().unwrap().0.len(), 1);

    let device = device.again();
    let deleted = device.store.deleted().unwrap();
    assert_eq!(deleted.len(), 1);
    assert_eq!(deleted[0].deleted_at, Some(now()));
    assert_eq!(
        deleted[0].facts.as_ref().unwrap().client.as_deref(),
        Some("Gone")
    );
    device.store.put_back(&deleted[0].key).unwrap();
    assert_eq!(device.store.survey(gone).unwrap().survey(), &before);
    assert!(device.store.deleted().unwrap().is_empty());

    device.store.delete(gone, now()).unwrap();
    assert_eq!(device.store.empty_deleted().unwrap(), 1);
    assert!(device.store.deleted().unwrap().is_empty());
    for key in ["", "..", "../surveys", &format!("{kept}/../x")] {
        assert!(device.store.put_back(key).is_err(), "{key:?}");
    }
    device.store.survey(kept).unwrap();
}

#[test]
fn the_list_shows_what_was_changed_last_first_and_is_read_from_its_cache() {
    let device = device();
    let (a, b) = (device.with_client("A"), device.with_client("B"));
    let mut open = device.store.survey(a).unwrap();
    let at = FieldRef::house("arrival.address");
    open.type_in(later(), at, "1 Long Road", &Ways::default())
        .unwrap();
    open.note_verdict(Some(Verdict::FitsWithWork)).unwrap();
    drop(open);
    let (facts, _) = device.store.list().unwrap();
    assert_eq!([facts[0].id, facts[1].id], [a, b]);
    assert_eq!(facts[0].address.as_deref(), Some("1 Long Road"));
    assert_eq!(facts[0].verdict, Some(Verdict::FitsWithWork));
    assert_eq!((facts[0].spots, facts[0].photos), (1, 0));

    // Old enough for the cache; then a spoiled cache must cost nothing but time.
    let old = std::time::SystemTime::now() - std::time::Duration::from_secs(60);
    for id in [a, b] {
        for name in ["survey.json", "session.json"] {
            if let Ok(file) = fs::File::options().write(true).open(device.file(id, name)) {
                file.set_modified(old).unwrap();
            }
        }
    }
    assert_eq!(device.store.list().unwrap().0, facts);
    let index = device.folder.path().join("index.json");
    let cached = fs::read_to_string(&index).unwrap();
    assert!(cached.contains("1 Long Road"));
    // Proof that the cache is read: a name that only it has.
    fs::write(&index, cached.replace("1 Long Road", "2 Long Road")).unwrap();
    let device = device.again();
    let address = device.store.list().unwrap().0[0].address.clone();
    assert_eq!(address.as_deref(), Some("2 Long Road"));
    let mut device = device;
    for rubbish in ["", "{}", "[", "{\"a\": 1}"] {
        fs::write(&index, rubbish).unwrap();
        device = device.again();
        assert_eq!(device.store.list().unwrap().0, facts, "{rubbish:?}");
    }
    // A change shows at once.
    let mut open = device.store.survey(a).unwrap();
    open.type_in(later(), at, "3 Long Road", &Ways::default())
        .unwrap();
    let address = device.store.list().unwrap().0[0].address.clone();
    assert_eq!(address.as_deref(), Some("3 Long Road"));
}

/// The lock is the kernel's own (`flock`), so that a program that is killed leaves none behind.
#[cfg(unix)]
#[test]
fn another_programs_lock_keeps_a_store_shut_until_it_is_gone() {
    use rustix::fs::{FlockOperation, flock};
    let folder = tempfile::tempdir().unwrap();
    drop(Store::open(folder.path()).unwrap());
    // A lock belongs to the opening of a file, so that this one is as good as another program's.
    let lock = fs::File::open(folder.path().join(".lock")).unwrap();
    flock(&lock, FlockOperation::NonBlockingLockExclusive).unwrap();
    let refused = Store::open(folder.path());
    assert!(matches!(refused, Err(StoreError::InUse(_))), "{refused:?}");
    drop(lock);
    let store = Store::open(folder.path()).unwrap();
    let lock = fs::File::open(folder.path().join(".lock")).unwrap();
    assert!(flock(&lock, FlockOperation::NonBlockingLockExclusive).is_err());
    drop(store);
    flock(&lock, FlockOperation::NonBlockingLockExclusive).unwrap();
}

#[test]
fn one_program_at_a_time_and_one_opening_of_a_survey() {
    let device = device();
    assert!(matches!(
        Store::open(device.folder.path()),
        Err(StoreError::InUse(_))
    ));
    let id = device.with_client("A");
    let open = device.store.survey(id).unwrap();
    assert!(matches!(
        device.store.survey(id),
        Err(StoreError::IsOpen(_))
    ));
    drop(open);
    device.store.survey(id).unwrap();
    assert!(matches!(
        device.store.begin(Survey { id, ..new_survey() }),
        Err(StoreError::ThereAlready(_))
    ));
    device.again();
}

#[test]
fn pictures_are_kept_once_and_go_when_they_can_no_longer_come_back() {
    let device = device();
    let mut open = device.store.begin(new_survey()).unwrap();
    let id = open.survey().id;
    let (bytes, photo) = picture("a picture");
    let (other, other_photo) = picture("another");
    let first = open
        .add_photo(now(), &bytes, b"small", photo.clone())
        .unwrap();
    let second = open
        .add_photo(now(), &bytes, b"small", photo.clone())
        .unwrap();
    assert_ne!(first, second);
    let third = open
        .add_photo(now(), &other, b"small 2", other_photo.clone())
        .unwrap();
    assert!(matches!(
        open.add_photo(now(), b"not it", b"small", photo.clone()),
        Err(StoreError::OtherPicture(_))
    ));
    assert_eq!(open.survey().photos.len(), 3);
    assert_eq!(names_in(&device.file(id, "photos")).len(), 2);
    open.change(now(), |s| {
        s.photos.retain(|p| p.id != third);
        Ok::<_, std::fmt::Error>(())
    })
    .unwrap();
    assert!(open.photo_file(&other_photo.sha256).is_file());
    open.undo(now()).unwrap();
    assert_eq!(open.survey().photos.len(), 3);
    open.redo(now()).unwrap();
    drop(open);
    // As long as undo leads to it, also after a restart, it is there.
    let device = device.again();
    let mut open = device.store.survey(id).unwrap();
    assert!(open.photo_file(&other_photo.sha256).is_file());
    assert!(open.undo(now()).unwrap());
    assert_eq!(open.survey().photos.len(), 3);
    assert!(open.redo(now()).unwrap());
    drop(open);
    fs::remove_dir_all(device.file(id, "history")).unwrap();
    // Others' files are left alone.
    fs::write(device.file(id, "photos/notes.txt"), "mine").unwrap();
    let device = device.again();
    let open = device.store.survey(id).unwrap();
    assert_eq!(fs::read(open.photo_file(&photo.sha256)).unwrap(), bytes);
    assert_eq!(
        fs::read(open.thumbnail_file(&photo.sha256)).unwrap(),
        b"small"
    );
    assert_eq!(
        names_in(&device.file(id, "photos")),
        [format!("{}.jpg", photo.sha256), "notes.txt".into()]
    );
    assert_eq!(names_in(&device.file(id, "thumbnails")).len(), 1);
}

#[test]
fn the_revision_rises_only_when_something_changed_since_the_last_bundle() {
    let device = device();
    let id = device.with_client("A");
    let mut open = device.store.survey(id).unwrap();
    assert_eq!(open.survey().revision, 0);
    assert_eq!(open.next_revision().unwrap(), 1);
    assert_eq!(open.next_revision().unwrap(), 1);
    drop(open);
    let device = device.again();
    let mut open = device.store.survey(id).unwrap();
    assert_eq!(open.next_revision().unwrap(), 1);
    let at = FieldRef::house("arrival.client");
    open.type_in(later(), at, "B", &Ways::default()).unwrap();
    assert_eq!(open.next_revision().unwrap(), 2);
}

#[test]
fn leftovers_of_a_crash_are_cleared() {
    let device = device();
    let id = device.with_client("A");
    let root = device.folder.path().to_owned();
    let unfinished = root.join(format!("surveys/.{}.part", Uuid::new_v4()));
    fs::create_dir(&unfinished).unwrap();
    fs::write(unfinished.join("survey.json"), "{").unwrap();
    let parts = [
        root.join(".settings.json.1-0.part"),
        root.join("bundles/.a.joistlight.1-0.part"),
        device.file(id, ".survey.json.1-0.part"),
        device.file(id, "photos/.aa.jpg.1-0.part"),
    ];
    for part in &parts {
        fs::write(part, "half").unwrap();
    }
    let device = device.again();
    assert_eq!(device.store.list().unwrap().0.len(), 1);
    device.store.survey(id).unwrap();
    for part in parts.iter().chain([&unfinished]) {
        assert!(!part.exists(), "{}", part.display());
    }
}

#[test]
fn what_is_not_a_survey_is_left_alone() {
    let device = device();
    let surveys = device.folder.path().join("surveys");
    fs::create_dir(surveys.join("my copies")).unwrap();
    fs::write(surveys.join("notes.txt"), "x").unwrap();
    let device = device.again();
    let (facts, notices) = device.store.list().unwrap();
    assert!(facts.is_empty() && notices.is_empty());
    assert_eq!(names_in(&surveys), ["my copies", "notes.txt"]);
}

#[test]
fn settings_come_back_and_a_bad_file_is_set_aside() {
    let device = device();
    assert_eq!(device.store.settings().0, Settings::default());
    let settings = Settings {
        tape: Tape::Millimetre,
        surveyor: Some("A. Surveyor".into()),
        shade: Shade::Light,
        text_size: TextSize::percent(150),
        ..Settings::default()
    };
    device.store.save_settings(&settings).unwrap();
    let device = device.again();
    assert_eq!(device.store.settings().0, settings);
    assert!(device.store.settings().1.is_none());

    let file = device.folder.path().join("settings.json");
    // Fields that are missing or unknown are passed over.
    fs::write(
        &file,
        "{\"shade\": \"contrast\", \"of_a_newer_version\": [1]}",
    )
    .unwrap();
    let (read, notice) = device.store.settings();
    assert_eq!(read.shade, Shade::Contrast);
    assert_eq!(read.tape, Tape::default());
    assert!(notice.is_none());

    for (bad, field) in [
        ("{\"tape\": \"long\"}", "settings.json, tape"),
        ("{\"text_size\": 900}", "settings.json, text_size"),
        (
            "{\"codes\": {\"building\": 3}}",
            "settings.json, codes.building",
        ),
        ("{", "settings.json: the text is not JSON"),
        ("\u{0}", "settings.json: the text is not JSON"),
    ] {
        fs::write(&file, bad).unwrap();
        let (read, notice) = device.store.settings();
        assert_eq!(read, Settings::default());
        let sentence = notice.unwrap().to_string();
        assert!(sentence.contains(field), "{sentence}");
        assert!(!file.exists());
        assert!(device.store.settings().1.is_none());
    }
    assert_eq!(device.store.set_aside().unwrap().len(), 5);
}

#[test]
fn a_fan_list_is_taken_in_only_when_it_is_good() {
    let device = device();
    assert_eq!(&device.store.fan_list().0, fan::generic());
    let theirs = fan::GENERIC.replacen("version = \"", "version = \"9.", 1);
    let list = device.store.take_fan_list("office.toml", &theirs).unwrap();
    assert!(list.version.starts_with("9."));
    let error = device
        .store
        .take_fan_list("office.toml", "name = 3")
        .unwrap_err();
    assert!(
        error.to_string().starts_with("office.toml, line 1"),
        "{error}"
    );
    let device = device.again();
    assert_eq!(device.store.fan_list().0, list);
    assert_eq!(
        device.store.settings().0.fan_list.as_deref(),
        Some("office.toml")
    );
    let file = device.folder.path().join("fans.toml");
    fs::write(&file, "name = ").unwrap();
    let (read, notice) = device.store.fan_list();
    assert_eq!(&read, fan::generic());
    let sentence = notice.unwrap().to_string();
    assert!(sentence.contains("fans.toml, line 1"), "{sentence}");
    assert!(!file.exists());
    device.store.take_fan_list("office.toml", &theirs).unwrap();
    device.store.drop_fan_list().unwrap();
    assert_eq!(&device.store.fan_list().0, fan::generic());
    assert_eq!(device.store.settings().0.fan_list, None);
}
