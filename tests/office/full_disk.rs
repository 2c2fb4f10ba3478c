//! A disk that is really full: every step of the office says so, keeps nothing of itself, and goes through once there is
//! room again.

use super::intake::{bundles, everything, take_in};
use super::surveys::{checked, sound, survey, when};
use crate::disks::{may_mount, on_small_disk};
use joistlight::office::DatabaseError;
use joistlight::office::intake;
use joistlight::office::register::{
    Entered, JudgingCriteria, Location, Marked, Register, RegisterError, Status, Wanted, Wrong,
};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::AtomicBool;

/// Where the small disk is; this binary, started again for one test, finds it in its environment.
const DISK: &str = "JOISTLIGHT_TEST_SMALL_DISK";
const SENT: &str = "JOISTLIGHT_TEST_SENT";
/// Longer than what a write-ahead log has to spare: 1 MiB.
const LONG: usize = 1 << 20;

#[test]
fn every_step_on_a_full_disk_is_refused_whole_and_goes_through_with_room_again() {
    if let (Some(disk), Some(sent)) = (std::env::var_os(DISK), std::env::var_os(SENT)) {
        return on_the_disk(Path::new(&disk), Path::new(&sent));
    }
    if !may_mount() {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let (disk, sent) = (folder.path().join("disk"), folder.path().join("sent"));
    fs::create_dir(&disk).unwrap();
    fs::create_dir(&sent).unwrap();
    bundles(&sent, 3);
    let mut again = Command::new(std::env::current_exe().unwrap());
    let name = "office::full_disk::every_step_on_a_full_disk_is_refused_whole_and_goes_through_with_room_again";
    again
        .args([name, "--exact", "--nocapture"])
        .env(DISK, &disk)
        .env(SENT, &sent);
    let output = on_small_disk(&disk, "24m", &again).output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{output:?}");
    assert!(said.contains("1 passed"), "{said}");
}

/// A file that takes all the room that a disk has left.
fn fill(disk: &Path) -> PathBuf {
    let path = disk.join("fill");
    let mut file = File::create(&path).unwrap();
    for size in [1 << 16, 1 << 12, 1] {
        let full = loop {
            if let Err(error) = file.write_all(&vec![b'x'; size]) {
                break error;
            }
        };
        assert_eq!(full.raw_os_error(), Some(libc::ENOSPC), "{full}");
    }
    path
}

fn is_full<T>(result: Result<T, RegisterError>) {
    let error = result.err().expect("it finds no room");
    assert!(
        matches!(
            &error,
            RegisterError::Database {
                source: DatabaseError::Full,
                ..
            }
        ),
        "{error:?}"
    );
    let sentence = error.to_string();
    assert!(sentence.contains("the disk is full"), "{sentence}");
}

fn on_the_disk(disk: &Path, sent: &Path) {
    let location = Location::Folder(disk.join("register"));
    let files = intake::files(&[sent.to_owned()]).unwrap();
    let mut register = Register::open(&location).unwrap();
    take_in(&mut register, &files[..2]);
    let before = everything(&mut register);
    let some = register.list(&Wanted::default()).unwrap().lines[0].survey;
    let now = when("2026-05-05T08:00:00-07:00");
    // Made while there is room, entered when there is none.
    let long_survey = |register: &Register| {
        let (mut one_more, file) = checked(&survey(7), register.criteria(), disk);
        one_more.survey_json.push_str(&" ".repeat(LONG));
        (one_more, file)
    };
    let (one_more, file) = long_survey(&register);
    let long_list = format!("{}\n# {}\n", fan::GENERIC, "padding ".repeat(LONG / 8));
    let other = JudgingCriteria::new(Codes::default(), "long.toml", &long_list).unwrap();
    let remark = "said at length ".repeat(LONG / 15);

    let filled = fill(disk);
    // The bundle's own copy finds no room.
    let none = intake::take_in(
        &mut register,
        &files[2..],
        &AtomicBool::new(false),
        &mut |step| panic!("{:?}", step.outcome),
    );
    let sentence = none.unwrap_err().to_string();
    assert!(sentence.contains("there is no space left"), "{sentence}");
    let marked = Marked {
        remark: &remark,
        ..Marked::default()
    };
    let adopt = Some(("Office One", now));
    is_full(register.set_status(some, Status::Quoted, marked, "Office One", now));
    is_full(register.judge_again(&other, adopt, &mut |_| {}));
    // What was in is in, with nothing of those steps; reading takes no room.
    register.reload_criteria().unwrap();
    assert_eq!(register.criteria(), &JudgingCriteria::default());
    assert!(everything(&mut register) == before);
    // A bundle's file goes to its place before the transaction that names it; without that it is nobody's.
    is_full(register.enter(&one_more, &file, now));
    assert_eq!(register.list(&Wanted::default()).unwrap().all, 2);
    let found = register.check().unwrap();
    assert!(
        found.iter().all(|one| one.wrong == Wrong::Unknown),
        "{found:?}"
    );
    // Closed while there is room, the register leaves nothing beside itself; then not even the file that several
    // programs share finds room, and opening says so, too.
    fs::remove_file(&filled).unwrap();
    drop(register);
    let filled = fill(disk);
    is_full(Register::open(&location));

    fs::remove_file(filled).unwrap();
    let mut register = Register::open(&location).unwrap();
    assert_eq!(register.statuses(some).unwrap(), []);
    register
        .set_status(some, Status::Quoted, marked, "Office One", now)
        .unwrap();
    register.judge_again(&other, adopt, &mut |_| {}).unwrap();
    assert_eq!(register.criteria(), &other);
    let (sum, _) = take_in(&mut register, &files);
    assert_eq!((sum.new, sum.known), (1, 2));
    let (one_more, file) = long_survey(&register);
    let entered = register.enter(&one_more, &file, now).unwrap();
    assert_eq!(entered, Entered::New);
    assert_eq!(register.list(&Wanted::default()).unwrap().all, 4);
    sound(&mut register);
}
