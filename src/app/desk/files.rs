//! Folders as somebody types or picks them.

use super::Desk;
use std::path::{Path, PathBuf};

/// A typed path; `~` is the home folder.
pub(super) fn path(typed: &str) -> PathBuf {
    let typed = typed.trim();
    let home = || directories::UserDirs::new().map(|dirs| dirs.home_dir().to_owned());
    match typed.strip_prefix('~') {
        Some(rest) if rest.is_empty() || rest.starts_with(['/', '\\']) => match home() {
            Some(home) => home.join(rest.trim_start_matches(['/', '\\'])),
            None => typed.into(),
        },
        _ => typed.into(),
    }
}

/// The user's home, or where the program was started.
fn home() -> PathBuf {
    directories::UserDirs::new().map_or_else(|| ".".into(), |dirs| dirs.home_dir().to_owned())
}

/// Something in a folder that can be picked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// What the list shows.
    pub label: String,
    /// Where it is.
    pub path: PathBuf,
    /// Whether it opens rather than being taken in.
    pub folder: bool,
}

/// The folders and bundles of a folder, by name; where nothing can be read, none.
pub(super) fn entries(folder: &Path) -> Vec<Entry> {
    let Ok(inside) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut found: Vec<Entry> = inside
        .flatten()
        .filter_map(|entry| {
            let label = entry.file_name().to_string_lossy().into_owned();
            let path = entry.path();
            let folder = path.is_dir();
            let wanted =
                folder || label.ends_with(crate::bundle::ENDING) || label.ends_with(".zip");
            (wanted && !label.starts_with('.')).then_some(Entry {
                label,
                path,
                folder,
            })
        })
        .collect();
    found.sort_by(|a, b| (!a.folder, &a.label).cmp(&(!b.folder, &b.label)));
    found
}

impl Desk {
    /// The folder that things are written into.
    pub(super) fn out_folder(&self) -> PathBuf {
        match self.kept.out.as_str() {
            "" => home(),
            folder => folder.into(),
        }
    }

    /// Remembers the folder that things are written into.
    pub(super) fn use_out_folder(&mut self, folder: &Path) {
        let text = folder.display().to_string();
        if text != self.kept.out && !text.is_empty() {
            self.kept.out = text;
            self.keep();
        }
    }

    /// The folder that things are written into, as it is shown.
    pub fn out(&self) -> String {
        self.out_folder().display().to_string()
    }
}
