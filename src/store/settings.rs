//! How this device reads, shows and judges: settings and the office's fan list.

use super::{Notice, Store, StoreError};
use crate::disk::{self, DiskError};
use crate::list_file::ListError;
use crate::measure::{BareUnit, Style, Tape};
use crate::survey::{Ways, pretty, read_json};
use crate::trade::codes::Codes;
use crate::trade::fan::{self, FanList};
use crate::words::Language;
use serde::{Deserialize, Serialize};
use std::fs;
use std::io;
use std::path::Path;

const FILE: &str = "settings.json";

/// Light and dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Shade {
    /// Light figures on a dark ground.
    #[default]
    Dark,
    /// Dark figures on a light ground.
    Light,
    /// Black and white first.
    Contrast,
}

/// The size of text in percent of the usual, from 100 to 200.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u16", into = "u16")]
pub struct TextSize(u16);

impl TextSize {
    /// A size in percent, brought between 100 and 200.
    pub fn percent(percent: u16) -> Self {
        TextSize(percent.clamp(100, 200))
    }
    /// The size as a factor, from 1 to 2.
    pub fn factor(self) -> f32 {
        f32::from(self.0) / 100.0
    }
}

impl Default for TextSize {
    fn default() -> Self {
        TextSize(100)
    }
}

/// What of the look follows the system, for as long as nothing else is set here. (So does the language, where none is
/// set.)
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(default)]
pub struct AsSystem {
    /// Light and dark.
    pub shade: bool,
    /// The size of text.
    pub text_size: bool,
}

impl AsSystem {
    /// Settings of a version that followed nothing stay as they were set.
    fn nothing() -> Self {
        AsSystem {
            shade: false,
            text_size: false,
        }
    }
}

impl Default for AsSystem {
    fn default() -> Self {
        AsSystem {
            shade: true,
            text_size: true,
        }
    }
}

impl TryFrom<u16> for TextSize {
    type Error = String;
    fn try_from(percent: u16) -> Result<Self, String> {
        match percent {
            100..=200 => Ok(TextSize(percent)),
            _ => Err(format!(
                "{percent} is not a text size from 100 to 200 percent"
            )),
        }
    }
}

impl From<TextSize> for u16 {
    fn from(size: TextSize) -> u16 {
        size.0
    }
}

/// How this device reads, shows and judges. What is missing in the file has its default, and what is unknown,
/// of a newer version perhaps, is passed over.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// The unit of a bare number where a length is asked.
    pub bare_unit: BareUnit,
    /// The smallest division of the tape.
    pub tape: Tape,
    /// Inches alone, or feet and inches.
    pub style: Style,
    /// The editions of the codes by which surveys are judged.
    pub codes: Codes,
    /// The name of the file that the office's fan list came from, where one was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fan_list: Option<String>,
    /// Who surveys with this device; put into each new survey.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub surveyor: Option<String>,
    /// Light and dark; the last that the system had, where that is followed.
    pub shade: Shade,
    /// The size of text; the last that the system had, where that is followed.
    pub text_size: TextSize,
    /// What follows the system.
    #[serde(default = "AsSystem::nothing")]
    pub as_system: AsSystem,
    /// Whether the screen stays on while a survey is open.
    pub stay_awake: bool,
    /// The width and height of the window when it was last closed, in logical pixels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub window: Option<(u32, u32)>,
    /// The language; none for the device's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub language: Option<Language>,
}

impl Settings {
    /// The settings in this data folder, for a program beside the one that has the folder open; the usual ones where
    /// they cannot be read.
    pub fn read(folder: &Path) -> Settings {
        let path = folder.join(FILE);
        let bytes = fs::read(&path).unwrap_or_default();
        read_json(&path.display().to_string(), &bytes).unwrap_or_default()
    }

    /// How answers are read and shown.
    pub fn ways(&self) -> Ways {
        Ways {
            bare: self.bare_unit,
            tape: self.tape,
            style: self.style,
        }
    }
}

/// Why a fan list was not taken; the earlier one stays.
#[derive(Debug, thiserror::Error)]
pub enum FanListRefused {
    /// The list itself.
    #[error(transparent)]
    List(#[from] ListError),
    /// The disk.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl Store {
    /// The settings. A file that cannot be used is set aside, the defaults apply, and a notice says so.
    pub fn settings(&self) -> (Settings, Option<Notice>) {
        let path = self.part(FILE);
        let bytes = match fs::read(&path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Default::default(),
            Err(source) => return (Settings::default(), Some(DiskError { path, source }.into())),
        };
        match read_json(&path.display().to_string(), &bytes) {
            Ok(settings) => (settings, None),
            Err(error) => {
                let why = format!("{error} The usual settings apply.");
                (Settings::default(), Some(self.set_aside_path(&path, why)))
            }
        }
    }

    /// Saves the settings.
    ///
    /// # Errors
    /// Where the disk is full or refuses; the earlier settings stay.
    pub fn save_settings(&self, settings: &Settings) -> Result<(), StoreError> {
        Ok(disk::write_whole(&self.part(FILE), &pretty(settings))?)
    }

    /// The office's fan list, or the one that comes with the program. A list that cannot be used is set aside,
    /// the program's own applies, and a notice says so.
    pub fn fan_list(&self) -> (FanList, Option<Notice>) {
        let own = || fan::generic().clone();
        let path = self.part("fans.toml");
        let bytes = match fs::read(&path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return (own(), None),
            Err(source) => return (own(), Some(DiskError { path, source }.into())),
        };
        let name = path.display().to_string();
        let why = match std::str::from_utf8(&bytes) {
            Ok(text) => match fan::read(&name, text) {
                Ok(list) => return (list, None),
                Err(error) => error.to_string(),
            },
            Err(_) => format!("{name}: the text is not UTF-8"),
        };
        let why = format!("{why}. The fan list that comes with joistlight applies.");
        (own(), Some(self.set_aside_path(&path, why)))
    }

    /// Takes the office's fan list in, in place of any earlier one; `file` names it in errors and settings.
    ///
    /// # Errors
    /// A bad list, with line and field, or a disk that refuses; the earlier list stays.
    pub fn take_fan_list(&self, file: &str, text: &str) -> Result<FanList, FanListRefused> {
        let list = fan::read(file, text)?;
        disk::write_whole(&self.part("fans.toml"), text.as_bytes()).map_err(StoreError::from)?;
        let mut settings = self.settings().0;
        settings.fan_list = Some(file.to_owned());
        self.save_settings(&settings)?;
        Ok(list)
    }

    /// Goes back to the fan list that comes with the program.
    ///
    /// # Errors
    /// Where the disk refuses.
    pub fn drop_fan_list(&self) -> Result<(), StoreError> {
        let path = self.part("fans.toml");
        match fs::remove_file(&path) {
            Err(source) if source.kind() != io::ErrorKind::NotFound => {
                return Err(DiskError { path, source }.into());
            }
            _ => {}
        }
        let mut settings = self.settings().0;
        settings.fan_list = None;
        self.save_settings(&settings)
    }
}
