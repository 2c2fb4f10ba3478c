//! Faults: killed at any moment, a full disk, a folder that may not be written to.
//!
//! The faults happen to a child process: this test binary, started again for one test with a word in its
//! environment that says what to do.

use joistlight::measure::Tape;
use joistlight::store::{ChangeError, Store, StoreError};
use joistlight::survey::fields::{self, LISTS};
use joistlight::survey::{FieldRef, ItemId, Kind, Photo, Subject, Survey, Ways, When};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use uuid::Uuid;

const TASK: &str = "JOISTLIGHT_TEST_CHILD";
const FOLDER: &str = "JOISTLIGHT_TEST_FOLDER";

use crate::disks::{may_mount, on_small_disk};

fn now() -> When {
    "2026-05-03T18:20:00-07:00".parse().unwrap()
}

/// A small generator with a printed seed (Knuth's multiplier for 64 bits, MMIX).
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % bound
    }
}

/// This binary again, to do `task` in `folder`.
fn child(task: &str, folder: &Path) -> Command {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command
        .args([
            "--exact",
            "store_crash::as_a_child",
            "--nocapture",
            "--quiet",
        ])
        .env(TASK, task)
        .env(FOLDER, folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped());
    command
}

/// Does what the parent asks for; without a parent there is nothing to do.
#[test]
fn as_a_child() {
    let Ok(task) = std::env::var(TASK) else {
        return;
    };
    let folder = std::env::var_os(FOLDER).unwrap();
    let folder = Path::new(&folder);
    match task.split_once(' ') {
        Some(("commit", seed)) => commit_for_ever(folder, seed.parse().unwrap()),
        None if task == "fill" => fill(folder),
        None if task == "begin-fill" => {
            with_a_survey(folder);
            fill(folder);
        }
        None if task == "open" => match Store::open(folder) {
            Ok(_) => println!("opened"),
            Err(error) => println!("refused {error}"),
        },
        _ => panic!("{task}"),
    }
}

/// A typed text that a field of this kind takes, different from time to time.
fn typed(kind: Kind, chance: &mut Chance) -> String {
    let number = 1 + chance.below(60);
    match kind {
        Kind::Length | Kind::Offset => format!("{number} {}/16", 1 + 2 * chance.below(8)),
        Kind::Area => format!("{number} ft²"),
        Kind::BoxVolume => format!("{number} in³"),
        Kind::Pitch => format!("{}:12", 1 + chance.below(12)),
        Kind::Count { least, most } => {
            let span = (most - least).min(50) as usize;
            (least as usize + chance.below(span + 1)).to_string()
        }
        Kind::Choice(words) => words[chance.below(words.len())].code.to_owned(),
        Kind::YesNo => ["yes", "no"][chance.below(2)].to_owned(),
        Kind::Complete => "yes".to_owned(),
        Kind::Text => "words ".repeat(number),
        Kind::When => format!("2026-05-03T18:{:02}:00-07:00", number % 60),
        _ => number.to_string(),
    }
}

/// Names a place in one line.
fn name_of(at: FieldRef) -> String {
    let id = |id: Option<ItemId>| id.map_or(0, |id| id.0);
    format!("{}/{}/{}", at.field, id(at.spot), id(at.item))
}

/// Commits one answer after the other until killed. Before each it prints what is coming, after each that it
/// was acknowledged.
fn commit_for_ever(folder: &Path, seed: u64) {
    let mut chance = Chance(seed);
    let say = |line: String| {
        let mut out = std::io::stdout().lock();
        writeln!(out, "{line}").unwrap();
        out.flush().unwrap();
    };
    let store = Store::open(folder).unwrap();
    let id = store.last_open().unwrap();
    let mut open = store.survey(id).unwrap();
    assert!(open.notices().is_empty(), "{:?}", open.notices());
    let places = open.survey().places();
    let ways = Ways::default();
    say("begin".into());
    for turn in 0.. {
        if turn % 16 == 7 {
            // A picture among the fields: its file must be there once the survey names it.
            let jpeg = format!("picture {seed} {turn}").repeat(200).into_bytes();
            let sha256 = hex(&jpeg);
            say(format!("going photo {sha256}"));
            let photo = Photo {
                id: ItemId(0),
                subject: Subject::House,
                spot: None,
                item: None,
                remark: None,
                sha256: sha256.clone(),
                width: 4,
                height: 3,
                taken_at: None,
                strokes: Vec::new(),
            };
            open.add_photo(now(), &jpeg, b"small", photo).unwrap();
            say(format!("done photo {sha256}"));
            continue;
        }
        let at = places[chance.below(places.len())];
        let text = typed(fields::kind_of(at.field).unwrap(), &mut chance);
        let mut value = open.survey().clone();
        value.type_in(at, &text, &ways).unwrap();
        let value = value.answer(at).unwrap();
        say(format!("going {} {value}", name_of(at)));
        open.type_in(now(), at, &text, &ways).unwrap();
        say(format!("done {} {value}", name_of(at)));
    }
}

fn hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect()
}

/// A survey with two of everything that can be listed.
fn sample() -> Survey {
    let mut survey = Survey::begin(Uuid::new_v4(), now(), Tape::default());
    survey.add_spot();
    let spots: Vec<ItemId> = survey.spots.iter().map(|spot| spot.id).collect();
    for list in LISTS {
        for spot in &spots {
            let id = survey.fresh_id();
            let of = list.of_spot.then_some(*spot);
            survey.list_mut(list.id, of).unwrap().add(id);
        }
    }
    survey
}

#[test]
fn killed_at_200_random_moments_no_acknowledged_field_is_lost_and_the_survey_opens() {
    let folder = tempfile::tempdir().unwrap();
    let id = {
        let store = Store::open(folder.path()).unwrap();
        let id = store.begin(sample()).unwrap().survey().id;
        store.note_open(Some(id)).unwrap();
        id
    };
    let seed = u64::from_le_bytes(*Uuid::new_v4().as_bytes().first_chunk().unwrap());
    println!("seed {seed}");
    let mut chance = Chance(seed);
    let mut known: BTreeMap<String, String> = BTreeMap::new();
    let mut photos: Vec<String> = Vec::new();
    let (mut acknowledged, mut cut_short) = (0, 0);
    for round in 0..200 {
        let mut killed = child(&format!("commit {}", seed ^ round), folder.path())
            .spawn()
            .unwrap();
        let delay = Duration::from_micros(chance.below(120_000) as u64);
        let lines = lines_until_killed(&mut killed, delay);
        let mut going: Option<(String, String)> = None;
        for line in &lines {
            let mut words = line.splitn(3, ' ');
            let (word, name, value) = (words.next(), words.next(), words.next());
            let (Some(name), Some(value)) = (name, value) else {
                continue;
            };
            let pair = (name.to_owned(), value.to_owned());
            match word {
                Some("going") => going = Some(pair),
                Some("done") => {
                    acknowledged += 1;
                    going = None;
                    match name {
                        "photo" => photos.push(pair.1),
                        _ => drop(known.insert(pair.0, pair.1)),
                    }
                }
                _ => panic!("round {round}: {line}"),
            }
        }
        cut_short += usize::from(going.is_some());

        let store = Store::open(folder.path()).unwrap();
        let (facts, notices) = store.list().unwrap();
        assert!(notices.is_empty(), "round {round}: {}", notices[0]);
        assert_eq!(facts.len(), 1, "round {round}");
        let open = store.survey(id).unwrap();
        for at in open.survey().places() {
            let name = name_of(at);
            let holds = open.survey().answer(at).map(|value| value.to_string());
            let acknowledged = known.get(&name).cloned();
            // The one that was on its way may have arrived or not; then that is the state from here on.
            match &going {
                Some((field, value)) if *field == name && holds.as_deref() == Some(value) => {
                    known.insert(name, value.clone());
                }
                _ => assert_eq!(holds, acknowledged, "round {round}: {name}"),
            }
        }
        let named: Vec<&str> = open
            .survey()
            .photos
            .iter()
            .map(|p| p.sha256.as_str())
            .collect();
        for sha256 in &photos {
            assert!(named.contains(&sha256.as_str()), "round {round}: {sha256}");
        }
        photos = named.iter().map(|sha256| (*sha256).to_owned()).collect();
        for sha256 in named {
            let bytes = std::fs::read(open.photo_file(sha256)).unwrap();
            assert_eq!(hex(&bytes), sha256, "round {round}");
            assert!(open.thumbnail_file(sha256).is_file(), "round {round}");
        }
    }
    println!("{acknowledged} acknowledged, {cut_short} rounds killed within a commit");
    // Or the test tests nothing.
    assert!(acknowledged > 200 && cut_short > 20);
}

/// What the child printed, in whole lines, until it was killed `delay` after its first.
fn lines_until_killed(child: &mut Child, delay: Duration) -> Vec<String> {
    let out = BufReader::new(child.stdout.take().unwrap());
    let (first, begun) = std::sync::mpsc::channel();
    let reader = std::thread::spawn(move || {
        let mut lines = Vec::new();
        for line in out.split(b'\n') {
            let line = String::from_utf8(line.unwrap()).unwrap();
            // The test runner's own words come before.
            if line == "begin" {
                first.send(()).unwrap();
            } else if line.starts_with("going ") || line.starts_with("done ") {
                lines.push(line);
            }
        }
        lines
    });
    begun
        .recv_timeout(Duration::from_secs(60))
        .expect("the child begins");
    std::thread::sleep(delay);
    child.kill().unwrap();
    child.wait().unwrap();
    reader.join().unwrap()
}

/// Writes ever longer notes until the disk refuses, then checks that all is as it was before.
fn fill(folder: &Path) {
    let store = Store::open(folder).unwrap();
    let id = store.last_open().unwrap();
    let mut open = store.survey(id).unwrap();
    let at = FieldRef::house("wrap_up.notes");
    let mut refused = None;
    for turn in 1..200 {
        let before = open.survey().clone();
        let edit = |survey: &mut Survey| {
            let spot = survey.add_spot();
            let name = FieldRef::spot("spot.name", spot);
            let ways = Ways::default();
            survey.type_in(name, &"long ".repeat(700), &ways)?;
            survey.type_in(at, &format!("turn {turn}"), &ways)
        };
        match open.change(now(), edit) {
            Ok(()) => {}
            Err(ChangeError::Store(StoreError::Disk(error))) => {
                assert_eq!(open.survey(), &before);
                refused = Some((turn, error));
                break;
            }
            Err(error) => panic!("{error}"),
        }
    }
    let (turn, error) = refused.expect("the disk fills");
    let before = open.survey().clone();
    drop(open);
    let open = store.survey(id).unwrap();
    assert_eq!(open.survey(), &before);
    let notes = open.survey().answer(at).unwrap().to_string();
    assert_eq!(notes, format!("turn {}", turn - 1));
    println!("refused {error}");
}

fn refusal(mut child: Command) -> String {
    let output = child.output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{said}");
    said.lines()
        .find_map(|line| line.strip_prefix("refused "))
        .unwrap_or_else(|| panic!("{said}"))
        .to_owned()
}

fn with_a_survey(folder: &Path) {
    let store = Store::open(folder).unwrap();
    let id = store.begin(sample()).unwrap().survey().id;
    store.note_open(Some(id)).unwrap();
}

/// The same command by way of a shell that does `first`.
fn through_shell(first: &str, command: &Command) -> Command {
    let mut shell = Command::new("sh");
    shell
        .args(["-c", &format!("{first} && exec \"$@\""), "sh"])
        .arg(command.get_program())
        .args(command.get_args())
        .stdout(Stdio::piped());
    for (name, value) in command.get_envs() {
        shell.env(name, value.unwrap());
    }
    shell
}

#[test]
fn a_file_that_may_not_grow_is_an_error_and_the_earlier_state_stands() {
    let folder = tempfile::tempdir().unwrap();
    with_a_survey(folder.path());
    // 64 blocks of 512 bytes; the signal is ignored so that the write fails instead.
    let limited = through_shell(
        "trap '' XFSZ && ulimit -f 64",
        &child("fill", folder.path()),
    );
    let sentence = refusal(limited);
    assert!(
        sentence.contains("survey.json: the file may not grow"),
        "{sentence}"
    );
    assert!(sentence.contains("make room"), "{sentence}");
}

#[test]
fn a_full_disk_is_an_error_and_the_earlier_state_stands() {
    let folder = tempfile::tempdir().unwrap();
    if !may_mount() {
        return;
    }
    let filling = child("begin-fill", folder.path());
    let sentence = refusal(on_small_disk(folder.path(), "256k", &filling));
    assert!(
        sentence.contains("survey.json: there is no space left"),
        "{sentence}"
    );
    assert!(sentence.contains("make room"), "{sentence}");
}

#[test]
fn a_folder_that_may_not_be_written_to_is_an_error_and_stays_as_it_is() {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    let folder = tempfile::tempdir().unwrap();
    with_a_survey(folder.path());
    std::fs::set_permissions(folder.path(), PermissionsExt::from_mode(0o555)).unwrap();
    let mut opening = child("open", folder.path());
    // Root may write anywhere, so somebody else tries.
    if std::fs::write(folder.path().join("probe"), "").is_ok() {
        opening.uid(65534).gid(65534);
        std::fs::remove_file(folder.path().join("probe")).unwrap();
    }
    let sentence = refusal(opening);
    std::fs::set_permissions(folder.path(), PermissionsExt::from_mode(0o755)).unwrap();
    assert!(sentence.contains("not allowed in here"), "{sentence}");
    assert_eq!(
        Store::open(folder.path()).unwrap().list().unwrap().0.len(),
        1
    );
}
