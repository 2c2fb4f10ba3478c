//! Intake's promises: what is sound comes in, what is not is kept aside, and however it is cut off, running it
//! again ends in the same register.

use super::server::{fresh, on_both};
use super::surveys::{sound, when};
use crate::bundles::{Device, device, now};
use crate::zips::{Bag, Piece, Zip};
use joistlight::bundle::Watch;
use joistlight::office::intake::{self, IntakeOutcome, Sum};
use joistlight::office::register::{Entered, JudgingCriteria, Location, Register, Wanted};
use joistlight::survey::{FieldRef, Ways};
use joistlight::trade::codes::{Building, Codes};
use joistlight::trade::fan;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

/// A device with a small survey under a job reference of its own, which gives its bundle its name.
fn small(seed: u64) -> Device {
    let mut device = device(seed, 1, (64, 48));
    let job = FieldRef::house("arrival.job_reference");
    device
        .open
        .type_in(now(), job, &format!("Job {seed}"), &Ways::default())
        .unwrap();
    device.open.next_revision().unwrap();
    device
}

/// As many bundles in `folder`, each of a survey of its own.
pub(super) fn bundles(folder: &Path, count: u64) -> Vec<PathBuf> {
    (1..=count)
        .map(|seed| small(seed).bundle(folder, Watch::default()).unwrap())
        .collect()
}

pub(super) fn take_in(
    register: &mut Register,
    files: &[PathBuf],
) -> (Sum, BTreeMap<PathBuf, IntakeOutcome>) {
    let mut taken = BTreeMap::new();
    let sum = intake::take_in(register, files, &AtomicBool::new(false), &mut |step| {
        taken.insert(step.file.to_owned(), step.outcome.clone());
        assert_eq!((step.done, step.of), (taken.len(), files.len()));
    });
    (sum.unwrap(), taken)
}

/// Everything in the register but the times at which it came in, and every kept file.
pub(super) fn everything(register: &mut Register) -> String {
    let mut text = String::new();
    let mut lines = Vec::new();
    register
        .each_line(&Wanted::default(), |line| {
            lines.push(line);
            Ok::<_, joistlight::office::register::RegisterError>(())
        })
        .unwrap();
    lines.sort_by_key(|line| line.survey);
    for mut line in lines {
        // In which order they came in is chance.
        line.event = 0;
        writeln!(text, "{}", serde_json::to_string(&line).unwrap()).unwrap();
        for mut revision in register.revisions(line.survey).unwrap() {
            revision.taken_in.clear();
            writeln!(text, "  {}", serde_json::to_string(&revision).unwrap()).unwrap();
            let survey = register.captured(&revision.bundle).unwrap();
            writeln!(text, "  {}", String::from_utf8(survey.to_json()).unwrap()).unwrap();
            let out = tempfile::tempdir().unwrap();
            register
                .copy_out(&revision.bundle, &out.path().join("a.zip"))
                .unwrap();
        }
    }
    let mut all_refused = register.refused().unwrap();
    all_refused.sort_by_key(|refused| refused.file);
    for mut refused in all_refused {
        refused.refused_at.clear();
        writeln!(text, "{}", serde_json::to_string(&refused).unwrap()).unwrap();
    }
    if let Location::Folder(folder) = register.location() {
        let folder = folder.clone();
        for part in ["bundles", "refused"] {
            let mut files = files_in(&folder.join(part));
            files.retain(|name| !name.ends_with("lock"));
            writeln!(text, "{part}: {files:?}").unwrap();
        }
        assert_eq!(files_in(&folder.join("incoming")), ["lock"]);
    }
    text
}

/// The files below a folder, sorted.
fn files_in(folder: &Path) -> Vec<String> {
    let mut names = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap();
                names.push(name.to_str().unwrap().to_owned());
            }
        }
    }
    names.sort();
    names
}

#[test]
fn a_folder_of_bundles_comes_in_and_coming_again_changes_nothing() {
    let sent = tempfile::tempdir().unwrap();
    let deep = sent.path().join("monday/van 2");
    fs::create_dir_all(&deep).unwrap();
    let mut made = bundles(sent.path(), 3);
    made.push(small(9).bundle(&deep, Watch::default()).unwrap());
    fs::write(
        sent.path().join("notes.txt"),
        "not a bundle, and not taken for one",
    )
    .unwrap();
    made.sort();
    let files = intake::files(&[sent.path().to_owned()]).unwrap();
    assert_eq!(files, made);
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        let (sum, taken) = take_in(&mut register, &files);
        let all_new = Sum {
            new: 4,
            ..Sum::default()
        };
        assert_eq!(sum, all_new);
        for result in taken.values() {
            let IntakeOutcome::Entered {
                how, differences, ..
            } = result
            else {
                panic!("{result:?}");
            };
            assert_eq!(*how, Entered::New);
            assert!(differences.same_result(), "{differences:?}");
            assert_eq!(differences.criteria, []);
        }
        let before = everything(&mut register);
        let (sum, _) = take_in(&mut register, &files);
        let all_known = Sum {
            known: 4,
            ..Sum::default()
        };
        assert_eq!(sum, all_known);
        assert!(everything(&mut register) == before);
    });
}

#[test]
fn every_answer_of_the_phone_is_in_the_register() {
    let sent = tempfile::tempdir().unwrap();
    let device = small(5);
    let files = [device.bundle(sent.path(), Watch::default()).unwrap()];
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        take_in(&mut register, &files);
        let survey = register.current(device.survey().id).unwrap();
        for place in device.survey().places() {
            assert_eq!(
                survey.answer(place),
                device.survey().answer(place),
                "{place:?}"
            );
        }
        assert_eq!(&survey, device.survey());
    });
}

#[test]
fn a_later_revision_comes_in_beside_the_earlier_and_corrections_hold_only_while_they_fit() {
    let sent = tempfile::tempdir().unwrap();
    let mut device = small(6);
    let client = FieldRef::house("arrival.client");
    let year = FieldRef::house("arrival.year_built");
    let say = |device: &mut Device, at: FieldRef, text: &str| {
        device
            .open
            .type_in(now(), at, text, &Ways::default())
            .unwrap();
    };
    say(&mut device, client, "Ada Invented");
    say(&mut device, year, "1962");
    device.open.next_revision().unwrap();
    let first = device.bundle(sent.path(), Watch::default()).unwrap();
    let id = device.survey().id;
    let earlier = device.survey().clone();
    say(&mut device, year, "1971");
    device.open.next_revision().unwrap();
    let second = device.bundle(sent.path(), Watch::default()).unwrap();
    assert_ne!(first, second);
    let later = device.survey().clone();
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        take_in(&mut register, std::slice::from_ref(&first));
        let now = when("2026-05-05T08:00:00-07:00");
        for (at, text) in [(client, "Ada Imagined"), (year, "1963")] {
            let made = register
                .correct(id, at, text, "the client called", "Office One", now)
                .unwrap();
            assert!(made.stands);
        }
        let line = register.line(id).unwrap();
        assert_eq!((line.client.as_str(), line.corrected), ("Ada Imagined", 2));
        assert_eq!(register.current(id).unwrap(), earlier);

        let (sum, _) = take_in(&mut register, std::slice::from_ref(&second));
        assert_eq!(sum.revisions, 1);
        assert_eq!(register.current(id).unwrap(), later);
        let (corrected, corrections) = register.corrected(id).unwrap();
        // The client is still the one that was corrected; the year was measured anew.
        let stand: Vec<bool> = corrections.iter().map(|c| c.stands).collect();
        assert_eq!(stand, [true, false]);
        assert_eq!(corrected.arrival.client.as_deref(), Some("Ada Imagined"));
        assert_eq!(corrected.arrival.year_built, Some(1971));
        let line = register.line(id).unwrap();
        assert_eq!((line.client.as_str(), line.corrected), ("Ada Imagined", 1));

        register
            .withdraw(id, corrections[0].number, "Office Two", now)
            .unwrap();
        let (corrected, corrections) = register.corrected(id).unwrap();
        assert_eq!(corrected, later);
        assert_eq!(corrections[0].withdrawn_by.as_deref(), Some("Office Two"));
        assert_eq!(register.line(id).unwrap().client, "Ada Invented");
        let again = register.withdraw(id, corrections[0].number, "Office Two", now);
        assert!(again.unwrap_err().to_string().contains("no correction"));
        // A text that is no such answer changes nothing, and says why.
        let wrong = register.correct(id, year, "long ago", "a guess", "Office One", now);
        assert!(wrong.unwrap_err().to_string().contains("Year built"));
        let nobody = register.correct(id, year, "1970", "a guess", "  ", now);
        assert!(nobody.unwrap_err().to_string().contains("a name"));
        assert_eq!(register.corrected(id).unwrap().1.len(), 2);
        // The earlier bundle once more does not bring the earlier answers back.
        take_in(&mut register, std::slice::from_ref(&first));
        assert_eq!(register.current(id).unwrap(), later);
    });
}

#[test]
fn what_is_not_sound_is_kept_aside_untouched_and_the_others_come_in() {
    let folder = tempfile::tempdir().unwrap();
    let sent = folder.path().join("sent");
    fs::create_dir(&sent).unwrap();
    let good = bundles(&sent, 2);
    let whole = fs::read(small(3).bundle(folder.path(), Watch::default()).unwrap()).unwrap();
    let mut flipped = whole.clone();
    let middle = flipped.len() / 2;
    flipped[middle] ^= 0x40;
    let bag = || Bag::of(&whole);
    let with = |piece: Piece| {
        let mut zip: Zip = bag().zip();
        zip.pieces.push(piece);
        zip.bytes()
    };
    let name = bag().base;
    let cases: Vec<(&str, Vec<u8>)> = vec![
        ("flipped.zip", flipped),
        ("cut.zip", whole[..whole.len() / 3].to_vec()),
        ("empty.zip", Vec::new()),
        (
            "text.zip",
            b"Dear office, the bundle is too big for the mail.".to_vec(),
        ),
        ("climbs.zip", with(Piece::file("../../climbed.txt", b"out"))),
        (
            "absolute.zip",
            with(Piece::file("/tmp/joistlight-absolute.txt", b"out")),
        ),
        (
            "extra.zip",
            with(Piece::file(&format!("{name}/data/extra.txt"), b"more")),
        ),
        (
            "newer.zip",
            bag()
                .replace("data/survey.json", "\"version\": 2", "\"version\": 9")
                .sealed()
                .zip()
                .bytes(),
        ),
        (
            "missing.zip",
            bag().without("data/report.html").zip().bytes(),
        ),
        ("not a picture.zip", {
            let bag = bag();
            let photo = bag
                .files
                .keys()
                .find(|path| path.starts_with("data/photos/"))
                .unwrap()
                .clone();
            bag.with(&photo, b"no picture".to_vec())
                .sealed()
                .zip()
                .bytes()
        }),
    ];
    for (name, bytes) in &cases {
        fs::write(sent.join(name), bytes).unwrap();
    }
    fs::write(folder.path().join("beside.txt"), "").unwrap();
    let outside = |location: &Location| {
        let mut files = files_in(folder.path());
        if let Location::Folder(register) = location {
            assert!(!register.starts_with(folder.path()));
        }
        files.retain(|name| !name.starts_with("sent/"));
        files
    };
    on_both(|location| {
        let before = outside(location);
        let files = intake::files(std::slice::from_ref(&sent)).unwrap();
        assert_eq!(files.len(), good.len() + cases.len());
        let mut register = Register::open(location).unwrap();
        let (sum, taken) = take_in(&mut register, &files);
        assert_eq!((sum.new, sum.refused), (2, cases.len()));
        for (name, bytes) in &cases {
            let path = sent.join(name);
            let IntakeOutcome::Refused { reason, aside } = &taken[&path] else {
                panic!("{name}: {:?}", taken[&path]);
            };
            assert!(
                reason.starts_with(&path.display().to_string()),
                "{name}: {reason}"
            );
            assert!(!reason.contains("incoming"), "{name}: {reason}");
            assert!(fs::read(&path).unwrap() == *bytes, "{name}");
            if let Some(aside) = aside {
                assert!(fs::read(aside).unwrap() == *bytes, "{name}");
                let why = fs::read_to_string(aside.with_extension("txt")).unwrap();
                assert_eq!(why.trim_end(), reason);
            }
        }
        assert_eq!(register.refused().unwrap().len(), cases.len());
        assert_eq!(register.list(&Wanted::default()).unwrap().all, 2);
        let once = everything(&mut register);
        take_in(&mut register, &files);
        assert!(everything(&mut register) == once);
        assert_eq!(outside(location), before);
    });
    assert!(!Path::new("/tmp/joistlight-absolute.txt").exists());
}

#[test]
fn other_criteria_is_said_and_judging_again_lists_what_changed() {
    let sent = tempfile::tempdir().unwrap();
    let files = bundles(sent.path(), 3);
    let fewer = fan::GENERIC
        .split("[[fan]]")
        .take(2)
        .collect::<Vec<_>>()
        .join("[[fan]]");
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        let codes = Codes {
            building: Building::Irc2012,
            ..Codes::default()
        };
        let other = JudgingCriteria::new(codes, "fewer.toml", &fewer).unwrap();
        let adopt = Some(("Office One", now()));
        assert_eq!(register.judge_again(&other, adopt, &mut |_| {}).unwrap(), 0);
        let (_, taken) = take_in(&mut register, &files);
        for result in taken.values() {
            let IntakeOutcome::Entered { differences, .. } = result else {
                panic!("{result:?}");
            };
            let about: Vec<&str> = differences
                .criteria
                .iter()
                .map(|difference| difference.about.as_str())
                .collect();
            assert_eq!(about, ["building code", "fan list"]);
        }
        // Kept in the register, not in the program that set it.
        drop(register);
        let mut register = Register::open(location).unwrap();
        assert_eq!(register.criteria(), &other);

        let before = everything(&mut register);
        let usual = JudgingCriteria::default();
        let mut tried = Vec::new();
        let all = register
            .judge_again(&usual, None, &mut |one| tried.push(one.clone()))
            .unwrap();
        assert_eq!(all, 3);
        assert!(!tried.is_empty());
        assert!(everything(&mut register) == before);
        assert_eq!(register.criteria(), &other);

        let mut adopted = Vec::new();
        register
            .judge_again(&usual, adopt, &mut |one| adopted.push(one.clone()))
            .unwrap();
        assert_eq!(adopted, tried);
        for one in &adopted {
            let line = register.line(one.survey).unwrap();
            assert_eq!(line.summary.as_ref(), Some(&one.after));
        }
        let again = register.judge_again(&usual, None, &mut |one| panic!("{one:?}"));
        assert_eq!(again.unwrap(), 3);
    });
}

#[test]
fn offices_that_open_a_new_register_at_the_same_moment_all_get_it() {
    for _ in 0..40 {
        let folder = tempfile::tempdir().unwrap();
        let location = Location::Folder(folder.path().join("register"));
        let together = std::sync::Barrier::new(4);
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    together.wait();
                    Register::open(&location).unwrap();
                });
            }
        });
    }
}

#[test]
fn two_offices_taking_in_at_once_lose_and_double_nothing() {
    let sent = tempfile::tempdir().unwrap();
    let files = bundles(sent.path(), 12);
    on_both(|location| {
        let mut sums = Vec::new();
        std::thread::scope(|scope| {
            // The first eight and the last eight: four of them come to both.
            let offices: Vec<_> = [&files[..8], &files[4..]]
                .into_iter()
                .map(|part| {
                    scope.spawn(move || {
                        let mut register = Register::open(location).unwrap();
                        take_in(&mut register, part).0
                    })
                })
                .collect();
            sums.extend(offices.into_iter().map(|office| office.join().unwrap()));
        });
        assert_eq!(sums.iter().map(|sum| sum.new).sum::<usize>(), 12);
        assert_eq!(sums.iter().map(|sum| sum.known).sum::<usize>(), 4);
        let mut both = Register::open(location).unwrap();
        let alone = tempfile::tempdir().unwrap();
        let alone = Location::Folder(alone.path().to_owned());
        let mut alone = Register::open(&alone).unwrap();
        take_in(&mut alone, &files);
        let lines = |register: &mut Register| -> Vec<String> {
            let text = everything(register);
            let rows = text.lines().filter(|line| !line.starts_with("bundles:"));
            rows.filter(|line| !line.starts_with("refused:"))
                .map(str::to_owned)
                .collect()
        };
        assert!(lines(&mut both) == lines(&mut alone));
    });
}

/// The program taking in a folder, as another process.
fn start(sent: &Path, register: &Location) -> Child {
    // Named in full, a server with its password too, which showing it leaves out.
    let place = match register {
        Location::Folder(folder) => folder.as_os_str().to_owned(),
        Location::Server(address) => address.into(),
    };
    Command::new(env!("CARGO_BIN_EXE_joistlight"))
        .arg("intake")
        .arg(sent)
        .arg("--register")
        .arg(place)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Kills the intake of so many bundles so many times, at any moment of its first eighth; each time that it was through
/// before the kill, or after `through` kills at the latest, the register is looked at and a new one is begun.
fn killed(kills: usize, through: usize, count: u64, new: &dyn Fn() -> Location) {
    let sent = tempfile::tempdir().unwrap();
    let mut files = bundles(sent.path(), count);
    let torn = sent.path().join("torn.zip");
    let whole = fs::read(&files[0]).unwrap();
    fs::write(&torn, &whole[..whole.len() - 100]).unwrap();
    files.push(torn);
    let undisturbed = {
        let mut register = Register::open(&new()).unwrap();
        take_in(&mut register, &files);
        everything(&mut register)
    };
    // How long it takes undisturbed says when to kill.
    let begun = std::time::Instant::now();
    start(sent.path(), &new()).wait().unwrap();
    let usual = begun.elapsed();
    let seed = 4_711;
    println!("seed {seed}, {usual:?} undisturbed");
    let mut dice = crate::common::Dice(seed);
    let (mut killed, mut registers) = (0, 0);
    while killed < kills {
        let location = new();
        // Killed again and again until it was through before the kill.
        loop {
            let mut running = start(sent.path(), &location);
            let micros = dice.between(0, usual.as_micros() as i64 / 8) as u64;
            std::thread::sleep(Duration::from_micros(micros));
            running.kill().unwrap();
            if running.wait().unwrap().code().is_some() {
                break;
            }
            killed += 1;
            if killed % through == 0 {
                // Not always: a register that is killed to the end is a case too.
                start(sent.path(), &location).wait().unwrap();
                break;
            }
        }
        registers += 1;
        let mut register = Register::open(&location).unwrap();
        assert!(
            everything(&mut register) == undisturbed,
            "after {killed} kills"
        );
        sound(&mut register);
        if let Location::Folder(folder) = &location {
            fs::remove_dir_all(folder).unwrap();
        }
    }
    println!("killed {killed} times, {registers} registers");
}

#[test]
fn killed_at_a_hundred_moments_running_again_ends_in_the_same_register() {
    let folder = tempfile::tempdir().unwrap();
    let number = AtomicUsize::new(0);
    killed(100, 25, 100, &|| {
        let number = number.fetch_add(1, Ordering::Relaxed);
        Location::Folder(folder.path().join(number.to_string()))
    });
}

#[test]
fn killed_at_twenty_moments_on_a_server_it_ends_in_the_same_register_too() {
    if fresh().is_some() {
        killed(20, 7, 24, &|| fresh().unwrap());
    }
}
