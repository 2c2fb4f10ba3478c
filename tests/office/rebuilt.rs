//! The register from its log and its bundles: backed up and restored, rebuilt, repaired from originals.

use super::intake::{bundles, take_in};
use super::server::on_both;
use super::surveys::{sound, when};
use joistlight::office::register::{
    JudgingCriteria, Location, Marked, Refused, Register, RegisterError, Status, Wanted, Wrong,
};
use joistlight::survey::{FieldRef, When};
use joistlight::trade::codes::{Building, Codes};
use std::fs;
use std::path::{Path, PathBuf};

fn now() -> When {
    when("2026-05-05T08:00:00-07:00")
}

/// A register with everything in it that a log knows of; tells the bundles, too.
fn filled(location: &Location, sent: &Path) -> (Register, Vec<PathBuf>) {
    let mut register = Register::open(location).unwrap();
    let mut files = bundles(sent, 3);
    let broken = sent.join("broken.zip");
    fs::write(&broken, b"PK no bundle").unwrap();
    let sound = files.clone();
    files.push(broken);
    take_in(&mut register, &files);
    let codes = Codes {
        building: Building::Irc2012,
        ..Codes::default()
    };
    let criteria = JudgingCriteria {
        codes,
        ..register.criteria().clone()
    };
    register
        .judge_again(&criteria, Some(("Office One", now())), &mut |_| {})
        .unwrap();
    let lines = register.list(&Wanted::default()).unwrap().lines;
    let id = lines[0].survey;
    let marked = Marked {
        date: Some("2026-06-15"),
        crew: Some("Crew B"),
        remark: "after the rain",
    };
    register
        .set_status(id, Status::Scheduled, marked, "Office Two", now())
        .unwrap();
    let client = FieldRef::house("arrival.client");
    register
        .correct(id, client, "Ada Imagined", "misheard", "Office Two", now())
        .unwrap();
    (register, sound)
}

/// All that a register says, but where its bundles lie.
fn told(register: &mut Register) -> String {
    let lines = register.list(&Wanted::default()).unwrap().lines;
    let mut told = serde_json::to_string(&lines).unwrap();
    for line in &lines {
        told += &format!("{:?}", register.events(line.survey).unwrap());
        told += &format!("{:?}", register.statuses(line.survey).unwrap());
        told += &format!("{:?}", register.corrected(line.survey).unwrap());
        told += &format!("{:?}", register.revisions(line.survey).unwrap());
    }
    let refused: Vec<Refused> = register.refused().unwrap();
    told += &format!("{refused:?}{:?}", register.criteria().codes);
    told
}

#[test]
fn a_backup_brings_back_all_of_it() {
    on_both(|location| {
        let made = tempfile::tempdir().unwrap();
        let sent = made.path().join("sent");
        fs::create_dir(&sent).unwrap();
        let (mut register, _) = filled(location, &sent);
        let before = told(&mut register);
        let backup = made.path().join("backup");
        let done = register.backup(&backup).unwrap();
        assert_eq!((done.files, done.copied), (4, 4));
        assert_eq!(register.backup(&backup).unwrap().copied, 0);
        let place = Location::Folder(made.path().join("restored"));
        let (mut restored, how) = Register::restore(&place, &backup, "Office One", now()).unwrap();
        assert_eq!((how.surveys, how.lost), (3, vec![]));
        assert_eq!(told(&mut restored), before);
        sound(&mut restored);
        // Nothing is put over a register that holds something, and no backup into one.
        let twice = Register::restore(location, &backup, "Office One", now());
        assert!(matches!(twice, Err(RegisterError::Occupied { .. })));
        let Location::Folder(folder) = &place else {
            unreachable!()
        };
        let into = register.backup(folder);
        assert!(matches!(into, Err(RegisterError::IsRegister { .. })));
    });
}

#[test]
fn a_register_is_rebuilt_from_its_log_and_its_bundles() {
    on_both(|location| {
        let made = tempfile::tempdir().unwrap();
        let (mut register, _) = filled(location, made.path());
        let before = told(&mut register);
        drop(register);
        if let Location::Folder(folder) = location {
            // The database is lost with all that was in it.
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.to_string_lossy().contains("register.sqlite") {
                    fs::remove_file(path).unwrap();
                }
            }
            let emptied = Register::open(location).unwrap_err().to_string();
            assert!(emptied.contains("register rebuild"), "{emptied}");
            // So it is when somebody made an empty file of it.
            fs::write(folder.join("register.sqlite"), b"").unwrap();
            assert!(Register::open_existing(location).is_err());
        }
        let (mut register, how) = Register::rebuild(location, "Office One", now()).unwrap();
        assert_eq!((how.surveys, how.lost), (3, vec![]));
        assert_eq!(told(&mut register), before);
        sound(&mut register);
    });
}

#[test]
fn check_lists_all_that_is_wrong_and_repair_mends_it_from_originals() {
    let made = tempfile::tempdir().unwrap();
    let sent = made.path().join("sent");
    fs::create_dir(&sent).unwrap();
    let folder = made.path().join("register");
    let location = Location::Folder(folder.clone());
    let (mut register, originals) = filled(&location, &sent);
    let before = told(&mut register);
    let lines = register.list(&Wanted::default()).unwrap().lines;
    let kept = |register: &mut Register, at: usize| {
        let bundle = register.bundle_of(lines[at].survey, None).unwrap().bundle;
        register.vault().path(&bundle).unwrap()
    };
    // One is damaged, one is gone, and a stranger lies beside them.
    let damaged = kept(&mut register, 0);
    let mut bytes = fs::read(&damaged).unwrap();
    bytes[100] ^= 1;
    fs::write(&damaged, bytes).unwrap();
    fs::remove_file(kept(&mut register, 1)).unwrap();
    let found = register.check().unwrap();
    let count = |wrong: Wrong| found.iter().filter(|one| one.wrong == wrong).count();
    assert_eq!(
        (count(Wrong::Damaged), count(Wrong::Missing)),
        (1, 1),
        "{found:?}"
    );
    drop(register);
    let (_, how) = Register::repair(&location, &[], "Office One", now()).unwrap();
    assert_eq!((how.surveys, how.lost.len()), (1, 2), "{:?}", how.lost);
    let (mut register, how) = Register::repair(&location, &originals, "Office One", now()).unwrap();
    assert_eq!((how.surveys, how.mended, how.lost), (3, 2, vec![]));
    assert_eq!(told(&mut register), before);
    sound(&mut register);
}
