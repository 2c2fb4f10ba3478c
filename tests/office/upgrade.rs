//! Registers of version 0.1, made by the program of 2026-11-27 from six small bundles: `registers/v0.1`, and the same on a
//! server as `pg_dump --inserts` wrote it, packed by gzip.

use super::server::{behind_its_back, fresh};
use super::surveys::when;
use joistlight::office::register::{Location, Register, Status, Wanted, Wrong};
use joistlight::trade::codes::Building;
use std::io::Read;
use std::path::Path;

pub fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let to = to.join(entry.file_name());
        match entry.path().is_dir() {
            true => copy(&entry.path(), &to),
            false => drop(std::fs::copy(entry.path(), to).unwrap()),
        }
    }
}

fn kept(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/office/registers")
        .join(name)
}

/// A register of version 0.1 in a folder.
pub fn first_version(folder: &Path) -> Location {
    copy(&kept("v0.1"), folder);
    Location::Folder(folder.to_owned())
}

#[test]
fn a_register_of_version_0_1_is_brought_up_with_all_that_is_in_it() {
    let folder = tempfile::tempdir().unwrap();
    is_brought_up(&first_version(&folder.path().join("register")));
}

#[test]
fn so_is_one_on_a_server() {
    let Some(location) = fresh() else {
        return;
    };
    let packed = std::fs::read(kept("v0.1.sql.gz")).unwrap();
    let mut sql = String::new();
    flate2::read::GzDecoder::new(&packed[..])
        .read_to_string(&mut sql)
        .unwrap();
    behind_its_back(&location, &sql);
    is_brought_up(&location);
}

fn is_brought_up(location: &Location) {
    let mut register = Register::open(location).unwrap();
    assert_eq!(register.criteria().codes.building, Building::Irc2012);
    let id = |job: &str, register: &mut Register| register.find(job).unwrap();
    // What the office saw it sees: 1042 was quoted before its second revision came, and was ordered with it.
    let first = id("1042", &mut register);
    let line = register.line(first).unwrap();
    assert_eq!((line.revision, line.status), (2, Status::Accepted));
    assert_eq!((line.client.as_str(), line.corrected), ("Émile Sampler", 1));
    let statuses = register.statuses(first).unwrap();
    assert_eq!(statuses[0].remark, "by mail");
    assert_eq!(statuses[1].who, "Office Two");
    // A correction that was withdrawn is still known.
    let third = id("1044", &mut register);
    let line = register.line(third).unwrap();
    assert_eq!(
        (line.client.as_str(), line.status),
        ("Ada Imagined", Status::Built)
    );
    let (_, corrections) = register.corrected(third).unwrap();
    assert_eq!(corrections[0].withdrawn_by.as_deref(), Some("Office Two"));
    // The one that pinned itself with a clock of the year 9998 no longer does.
    let second = id("1043", &mut register);
    let line = register.line(second).unwrap();
    assert_eq!(
        (line.revision, line.client.as_str()),
        (1, "Bel Placeholder")
    );
    assert_eq!(register.revisions(second).unwrap().len(), 2);
    assert_eq!(register.refused().unwrap().len(), 1);

    // The other rows were judged by who knows which rules: that is said, and is no damage.
    assert!(register.line(first).unwrap().stale);
    assert_eq!(register.stale().unwrap(), 2);
    let found = register.check().unwrap();
    assert!(
        found.iter().all(|one| one.wrong == Wrong::Stale),
        "{found:?}"
    );
    assert_eq!(found.len(), 1);
    while register.refresh().unwrap() > 0 {}
    assert_eq!(register.stale().unwrap(), 0);
    assert_eq!(register.check().unwrap(), []);
    let lines = register.list(&Wanted::default()).unwrap().lines;
    assert!(lines.iter().all(|line| !line.stale), "{lines:?}");
    // Each event names who and when.
    let events = register.events(first).unwrap();
    assert!(events.iter().all(|event| !event.who.is_empty()));
    assert!(events.is_sorted_by_key(|event| event.at));
    assert_eq!(events[0].saw, 0);
    assert_eq!(events[1].saw, events[0].event);
    // It goes on from there.
    let now = when("2026-12-05T08:00:00Z");
    let marked = Default::default();
    register
        .set_status(first, Status::Built, marked, "Office One", now)
        .unwrap();
    drop(register);
    let mut register = Register::open(location).unwrap();
    assert_eq!(register.line(first).unwrap().status, Status::Built);
    assert_eq!(register.check().unwrap(), []);
    // Words are found as before.
    for (words, all) in [
        ("sampler", 1),
        ("imagined", 1),
        ("forged", 0),
        ("lane", 3),
        ("1043", 1),
    ] {
        let wanted = Wanted {
            words: words.to_owned(),
            ..Wanted::default()
        };
        assert_eq!(register.list(&wanted).unwrap().all, all, "{words}");
    }
}
