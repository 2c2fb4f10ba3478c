//! What the session asks of the machine that it runs on: camera, pictures, sharing, room, system settings.
//!
//! [`Device`] is the whole of it, so that session and pages know neither a phone nor a desktop. [`Desktop`] stands
//! below; the phone's side is in `src/android`. Whatever a device fetches takes its time, during which the system
//! may end the program, so that nothing comes back through this interface: it is put into the [tray](super::tray).

use super::reader::Reader;
use super::tray::Token;
use crate::rules::Say;
use std::fmt;
use std::path::Path;

/// What is to be fetched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fetch {
    /// A picture, taken now with the system's camera.
    NewPicture,
    /// A picture that is on the device already.
    Picture,
    /// A fan list or a bundle.
    File,
}

/// Which way a finished file goes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Give {
    /// To another program, by the system's sheet for sharing.
    Share,
    /// As a copy into a folder that the user chooses.
    Copy,
}

/// What a device can do.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Abilities {
    /// [`Fetch::NewPicture`].
    pub camera: bool,
    /// [`Fetch::Picture`], by a page of the system's own.
    pub gallery: bool,
    /// [`Fetch::File`], by a page of the system's own.
    pub files: bool,
    /// Both ways of [`Give`].
    pub give: bool,
    /// [`Device::keep_awake`].
    pub awake: bool,
    /// Whether [`Device::system`] tells day and night and the size of text, so that the window can follow them.
    pub follow: bool,
    /// Whether the office's window can stand beside the surveyor's, where the program has it.
    pub desk: bool,
}

impl Abilities {
    /// What a phone can do, where it has a camera or none.
    pub fn of_phone(camera: bool) -> Abilities {
        Abilities {
            camera,
            gallery: true,
            files: true,
            give: true,
            awake: true,
            follow: true,
            desk: false,
        }
    }
}

/// How the system is set up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct System {
    /// The language, such as `es_MX`; empty where the system does not say.
    pub locale: String,
    /// Whether other programs are dark now; none where the system does not say.
    pub night: Option<bool>,
    /// The size of text in percent of the usual; none where the system does not say.
    pub text_percent: Option<u16>,
}

/// A device would not do what was asked; an English sentence that the reader's language has too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal(pub String);

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What the phone's side in Java says through the tray, for these sentences stand in no other source that translations
/// are read from.
pub const TOLD_BY_PHONE: [&str; 7] = [
    "There is no program on this phone that does that.",
    "The camera handed over no picture. Take it once more.",
    "The file could not be read where it lies.",
    "The copy could not be written there; nothing is left of it.",
    "The copy could not be written there; what lies there now is not whole. Choose another place.",
    "The copy is where you chose.",
    "This device is almost full, so that the file was not taken in. Make room and open it again.",
];

/// What is told on a device whose window has gone, before the program closes.
pub fn farewell(reader: &Reader, why: &str) -> String {
    let say = Say::new(
        "The program cannot go on, and closes. What was answered and taken in is kept. {why}",
    )
    .with("why", reader.language.retell(why));
    reader.said(&say)
}

/// The machine that the program runs on.
pub trait Device {
    /// What it can do; what it cannot is not offered.
    fn abilities(&self) -> Abilities;

    /// Begins to fetch something into the tray, under this token. It returns at once.
    ///
    /// # Errors
    /// Where it cannot even begin; nothing will come then.
    fn fetch(&self, what: Fetch, token: &Token) -> Result<(), Refusal>;

    /// Begins to hand a finished file out. It returns at once.
    ///
    /// # Errors
    /// Where it cannot even begin.
    fn give(&self, file: &Path, way: Give) -> Result<(), Refusal>;

    /// Whether the screen stays on while the program is in front.
    fn keep_awake(&self, awake: bool);

    /// How the system is set up.
    fn system(&self) -> System;

    /// How many bytes can still be written in this folder; none where that cannot be told.
    fn room(&self, folder: &Path) -> Option<u64> {
        room(folder)
    }
}

/// How many bytes this program can still write in a folder.
#[cfg(unix)]
pub fn room(folder: &Path) -> Option<u64> {
    let disk = rustix::fs::statvfs(folder).ok()?;
    Some(disk.f_bavail.saturating_mul(disk.f_frsize))
}

/// Not told on this system.
#[cfg(not(unix))]
pub fn room(_: &Path) -> Option<u64> {
    None
}

/// A desktop: files are chosen in the window's own list, and a bundle stays in the folder that it was written to.
#[derive(Debug, Clone, Default)]
pub struct Desktop {
    /// The language, such as `es_MX`.
    pub locale: String,
}

impl Device for Desktop {
    fn abilities(&self) -> Abilities {
        Abilities {
            desk: true,
            ..Abilities::default()
        }
    }

    fn fetch(&self, _: Fetch, _: &Token) -> Result<(), Refusal> {
        Err(not_here())
    }

    fn give(&self, _: &Path, _: Give) -> Result<(), Refusal> {
        Err(not_here())
    }

    fn keep_awake(&self, _: bool) {}

    fn system(&self) -> System {
        System {
            locale: self.locale.clone(),
            night: None,
            text_percent: None,
        }
    }
}

fn not_here() -> Refusal {
    Refusal("This device cannot do that.".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_phones_java_says_is_what_is_translated() {
        let java = include_str!("../android/Front.java");
        let said: Vec<_> = java
            .lines()
            .filter_map(|line| line.trim().strip_prefix("static final String "))
            .filter_map(|line| line.split_once(" = \"")?.1.strip_suffix("\";"))
            .collect();
        assert_eq!(said, TOLD_BY_PHONE);
        for sentence in said {
            assert_ne!(
                crate::words::Language::Spanish.retell(sentence),
                sentence,
                "no Spanish"
            );
        }
    }

    #[test]
    fn the_last_word_is_in_the_readers_language_and_says_why() {
        use crate::store::Settings;
        let reader = crate::app::settings::reader(&Settings::default(), "es_MX");
        let said = farewell(&reader, "This device cannot do that.");
        assert!(
            said.ends_with("Este dispositivo no puede hacer eso."),
            "{said}"
        );
        assert!(!said.contains("The program"), "{said}");
    }

    #[test]
    fn a_folder_has_room_and_a_missing_one_is_not_guessed() {
        let folder = tempfile::tempdir().unwrap();
        assert!(room(folder.path()).unwrap() > 0);
        assert_eq!(room(&folder.path().join("not there")), None);
    }
}
