//! The tray: the folder where a device lays down what it fetched or was given, until it is taken in.
//!
//! A camera takes its time, and meanwhile the system may end the program. So the asking and the answer are files:
//!
//! ```text
//! FOLDER/arrivals/
//!   TOKEN.errand.json   what was asked for, and where it belongs; written before the device is asked
//!   TOKEN.part          being written by the camera
//!   TOKEN.copy          being copied here from elsewhere
//!   TOKEN.name          what a file was called where it came from
//!   TOKEN.file          here, whole: the device renames what it wrote
//!   TOKEN.half          a word of the device that is being written
//!   TOKEN.none          nothing comes; the content says why, empty where the user thought better of it
//!   TOKEN.trying        being taken in, by a program that is in front
//!   TOKEN.refused       kept though it could not be taken in: a camera's picture is the only one there is
//! ```
//!
//! What lies here with a `trying` when the program begins has ended it, and would at every start: it is refused. A
//! program that is in the back leaves no such mark, since the system may end it there at any time.
//!
//! A file without an errand was given by another program: a bundle out of a mail, say. What lies here is removed
//! only once the survey that it belongs to has it on disk.

use crate::disk::{self, About, DiskError};
use crate::survey::{ItemId, Subject, pretty, read_json};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime};
use uuid::Uuid;

/// How long something is waited for that was asked for in an earlier run.
const PATIENCE: Duration = Duration::from_secs(24 * 60 * 60);

/// The tray's folder within the data folder.
pub const FOLDER: &str = "arrivals";

/// The name of one errand or arrival: letters, digits and hyphens.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Token(String);

impl Token {
    /// A token from its text; none where that could lead out of the folder.
    pub fn parse(text: &str) -> Option<Token> {
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
        (!text.is_empty() && text.len() <= 80 && text.chars().all(plain))
            .then(|| Token(text.to_owned()))
    }
}

impl fmt::Display for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What was asked for, and where it belongs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Errand {
    /// The survey that it is for; none for a file that is for the whole device.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub survey: Option<Uuid>,
    /// What a picture shows.
    pub subject: Subject,
    /// The spot, where the picture belongs to one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spot: Option<ItemId>,
    /// The entry, where the picture shows one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub item: Option<ItemId>,
    /// Whether it was asked for on the page of pictures.
    pub from_pictures: bool,
    /// Whether what comes is the only one there is.
    pub only_one: bool,
}

/// What came of an errand, or came by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Arrival {
    /// A file is here.
    Here {
        /// Its token.
        token: Token,
        /// Where it lies.
        file: PathBuf,
        /// What it was called.
        name: String,
        /// What it was fetched for; none where it was given by another program.
        errand: Option<Errand>,
    },
    /// Nothing comes.
    Nothing {
        /// Its token.
        token: Token,
        /// Why, in a sentence; empty where the user thought better of it.
        why: String,
    },
}

/// The tray of one data folder.
#[derive(Debug, Clone)]
pub struct Tray {
    folder: PathBuf,
    /// Whether the program is in front; held while a mark is made or taken away.
    front: Arc<Mutex<bool>>,
}

impl Tray {
    /// The tray within this data folder; made where it is missing.
    ///
    /// # Errors
    /// Where the folder cannot be made.
    pub fn open(data: &Path) -> Result<Tray, DiskError> {
        let folder = data.join(FOLDER);
        fs::create_dir_all(&folder).about(&folder)?;
        Ok(Tray {
            folder,
            front: Arc::new(Mutex::new(true)),
        })
    }

    /// The tray's folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Notes an errand; on return it is on the disk, so that the device may be asked.
    ///
    /// # Errors
    /// Where the disk is full or refuses.
    pub fn expect(&self, errand: &Errand) -> Result<Token, DiskError> {
        let token = Token(Uuid::new_v4().to_string());
        disk::write_whole(&self.at(&token, "errand.json"), &pretty(errand))?;
        Ok(token)
    }

    /// Takes away all that lies here under a token.
    pub fn settle(&self, token: &Token) {
        // The file first: what is left of the rest, if the program ends between, asks for nothing.
        for part in [
            "file",
            "part",
            "copy",
            "half",
            "none",
            "name",
            "errand.json",
            "trying",
        ] {
            let _ = fs::remove_file(self.at(token, part));
        }
    }

    /// Keeps a file that could not be taken in, and does not offer it again.
    pub fn refuse(&self, token: &Token) {
        let _ = fs::rename(self.at(token, "file"), self.at(token, "refused"));
        self.settle(token);
    }

    /// Marks a file that is about to be taken in. Where the disk is too full even for that it goes without: nothing
    /// else can be done about it, and a picture is worth the try.
    pub fn try_it(&self, token: &Token) {
        let front = self.front();
        if *front {
            let _ = disk::write_whole(&self.at(token, "trying"), b"");
        }
    }

    /// The file did not end the program, whatever else became of it.
    pub fn tried(&self, token: &Token) {
        let _ = fs::remove_file(self.at(token, "trying"));
    }

    /// The program goes to the back: if it is ended there, no file is to blame.
    pub fn on_background(&self) {
        let mut front = self.front();
        *front = false;
        for (token, part) in self.parts() {
            if part == "trying" {
                self.tried(&token);
            }
        }
    }

    /// The program is in front again.
    pub fn come_back(&self) {
        *self.front() = true;
    }

    fn front(&self) -> MutexGuard<'_, bool> {
        self.front.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What is here, by token.
    pub fn arrived(&self) -> Vec<Arrival> {
        let mut found = BTreeMap::new();
        for (token, part) in self.parts() {
            let arrival = match part.as_str() {
                "file" => Arrival::Here {
                    file: self.at(&token, "file"),
                    name: self.name(&token),
                    errand: self.errand(&token),
                    token: token.clone(),
                },
                "none" => Arrival::Nothing {
                    why: fs::read_to_string(self.at(&token, "none"))
                        .unwrap_or_default()
                        .trim()
                        .to_owned(),
                    token: token.clone(),
                },
                _ => continue,
            };
            // Where a device said both, the file counts.
            if part == "file" || !found.contains_key(&token) {
                found.insert(token, arrival);
            }
        }
        found.into_values().collect()
    }

    /// Whether anything is still to come.
    pub fn waits(&self) -> bool {
        self.parts()
            .iter()
            .any(|(_, part)| matches!(part.as_str(), "errand.json" | "part" | "copy"))
    }

    /// Looks through what an earlier run of the program left, when the next one begins.
    ///
    /// A picture that the camera wrote without saying so any more is an arrival like any other. What was waited
    /// for longer than `PATIENCE` is given up. What ended the program while it was being taken in is refused, and
    /// handed back: what it was called, and what it was fetched for.
    pub fn tidy(&self, now: SystemTime) -> Vec<(String, Option<Errand>)> {
        let mut refused = Vec::new();
        let parts = self.parts();
        for (token, part) in &parts {
            let here = parts.contains(&(token.clone(), "file".to_owned()));
            let file = fs::metadata(self.at(token, part));
            let size = file.as_ref().map_or(0, fs::Metadata::len);
            let old = file
                .and_then(|file| file.modified())
                .is_ok_and(|then| now.duration_since(then).is_ok_and(|age| age > PATIENCE));
            match part.as_str() {
                "part" if size > 0 && !here => {
                    let _ = fs::rename(self.at(token, "part"), self.at(token, "file"));
                }
                "errand.json" | "copy" | "half" | "name"
                    if old && !here && !self.at(token, "file").exists() =>
                {
                    self.settle(token);
                }
                "trying" if here => {
                    refused.push((self.name(token), self.errand(token)));
                    self.refuse(token);
                }
                "trying" => self.tried(token),
                _ => {}
            }
        }
        refused
    }

    fn at(&self, token: &Token, part: &str) -> PathBuf {
        self.folder.join(format!("{token}.{part}"))
    }

    fn parts(&self) -> Vec<(Token, String)> {
        let Ok(entries) = fs::read_dir(&self.folder) else {
            return Vec::new();
        };
        let mut parts: Vec<_> = entries
            .flatten()
            .filter_map(|entry| {
                let name = entry.file_name().into_string().ok()?;
                let (token, part) = name.split_once('.')?;
                Some((Token::parse(token)?, part.to_owned()))
            })
            .collect();
        parts.sort();
        parts
    }

    fn name(&self, token: &Token) -> String {
        let name = fs::read_to_string(self.at(token, "name")).unwrap_or_default();
        // What another program calls it is not to be trusted with a path.
        let name = name.trim().rsplit(['/', '\\']).next().unwrap_or_default();
        if name.is_empty() {
            token.to_string()
        } else {
            name.chars().filter(|c| !c.is_control()).take(120).collect()
        }
    }

    fn errand(&self, token: &Token) -> Option<Errand> {
        let path = self.at(token, "errand.json");
        read_json("errand.json", &fs::read(path).ok()?).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn errand() -> Errand {
        Errand {
            survey: Some(Uuid::nil()),
            subject: Subject::House,
            spot: None,
            item: Some(ItemId(7)),
            from_pictures: true,
            only_one: true,
        }
    }

    #[test]
    fn an_errand_outlives_the_program_and_comes_back_with_its_file() {
        let data = tempfile::tempdir().unwrap();
        let token = Tray::open(data.path()).unwrap().expect(&errand()).unwrap();
        let tray = Tray::open(data.path()).unwrap();
        assert!(tray.waits());
        assert_eq!(tray.arrived(), []);
        fs::write(tray.at(&token, "part"), b"picture").unwrap();
        assert_eq!(tray.arrived(), []);
        fs::rename(tray.at(&token, "part"), tray.at(&token, "file")).unwrap();
        match &tray.arrived()[..] {
            [
                Arrival::Here {
                    errand: Some(back),
                    file,
                    ..
                },
            ] => {
                assert_eq!(*back, errand());
                assert_eq!(fs::read(file).unwrap(), b"picture");
            }
            other => panic!("{other:?}"),
        }
        tray.settle(&token);
        assert_eq!(fs::read_dir(tray.folder()).unwrap().count(), 0);
    }

    #[test]
    fn what_is_left_of_an_earlier_run_is_used_or_given_up_in_the_end() {
        let data = tempfile::tempdir().unwrap();
        let tray = Tray::open(data.path()).unwrap();
        let whole = tray.expect(&errand()).unwrap();
        fs::write(tray.at(&whole, "part"), b"written, but never told of").unwrap();
        let empty = tray.expect(&errand()).unwrap();
        fs::write(tray.at(&empty, "part"), b"").unwrap();
        let never = tray.expect(&errand()).unwrap();
        fs::write(tray.folder().join("given.copy"), b"half").unwrap();
        fs::write(tray.folder().join("given.name"), b"survey.zip").unwrap();
        let now = SystemTime::now();
        for later in [Duration::ZERO, 2 * PATIENCE] {
            tray.tidy(now + later);
            let arrived = tray.arrived();
            assert!(
                matches!(&arrived[..], [Arrival::Here { token, .. }] if *token == whole),
                "{arrived:?}, {empty}, {never}"
            );
            // The errands may still be answered today; tomorrow nobody waits.
            let left = fs::read_dir(tray.folder()).unwrap().count();
            assert_eq!(left, if later.is_zero() { 7 } else { 2 });
        }
    }

    #[test]
    fn what_ended_the_program_is_refused_and_what_was_ended_in_the_back_is_tried_again() {
        let data = tempfile::tempdir().unwrap();
        for back in [false, true] {
            let tray = Tray::open(data.path()).unwrap();
            let token = tray.expect(&errand()).unwrap();
            fs::write(tray.at(&token, "file"), b"picture").unwrap();
            if back {
                // Queued before the program went to the back, and begun after it.
                tray.on_background();
                tray.try_it(&token);
            } else {
                tray.try_it(&token);
            }
            let again = Tray::open(data.path()).unwrap();
            let refused = again.tidy(SystemTime::now());
            if back {
                assert_eq!(refused, []);
                assert_eq!(again.arrived().len(), 1);
                // Begun in front, then sent to the back.
                again.try_it(&token);
                assert!(again.at(&token, "trying").exists());
                again.on_background();
                assert!(!again.at(&token, "trying").exists());
                again.come_back();
                again.try_it(&token);
                assert!(again.at(&token, "trying").exists());
                again.settle(&token);
            } else {
                assert_eq!(refused, [(token.to_string(), Some(errand()))]);
                assert_eq!(again.arrived(), []);
                assert_eq!(fs::read(again.at(&token, "refused")).unwrap(), b"picture");
                assert_eq!(again.tidy(SystemTime::now()), [], "said once");
                fs::remove_file(again.at(&token, "refused")).unwrap();
            }
            assert_eq!(fs::read_dir(again.folder()).unwrap().count(), 0);
        }
    }

    #[test]
    fn a_name_from_elsewhere_leads_nowhere() {
        let data = tempfile::tempdir().unwrap();
        let tray = Tray::open(data.path()).unwrap();
        fs::write(tray.folder().join("given.file"), b"x").unwrap();
        fs::write(tray.folder().join("given.name"), b"../../secret\n.toml").unwrap();
        match &tray.arrived()[..] {
            [
                Arrival::Here {
                    name, errand: None, ..
                },
            ] => assert_eq!(name, "secret.toml"),
            other => panic!("{other:?}"),
        }
        for text in ["", "..", "a/b", "a.b", "ä"] {
            assert_eq!(Token::parse(text), None, "{text}");
        }
    }

    #[test]
    fn a_picture_that_cannot_be_taken_in_is_kept_but_not_offered_again() {
        let data = tempfile::tempdir().unwrap();
        let tray = Tray::open(data.path()).unwrap();
        let token = tray.expect(&errand()).unwrap();
        fs::write(tray.at(&token, "file"), b"no picture").unwrap();
        tray.refuse(&token);
        assert_eq!(tray.arrived(), []);
        assert!(!tray.waits());
        assert_eq!(fs::read(tray.at(&token, "refused")).unwrap(), b"no picture");
    }
}
