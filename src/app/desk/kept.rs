//! What a desk remembers from one day to the next: who works here, and the folders that were used.

use crate::disk::{self, DiskError};
use serde::{Deserialize, Serialize};
use std::path::Path;

/// What a desk remembers. What is missing or cannot be read is asked for anew.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Kept {
    /// Who works here.
    pub(super) who: String,
    /// Where bundles are taken in from.
    pub(super) intake: String,
    /// Where lists, bundles and job packs are written to.
    pub(super) out: String,
}

const NAME: &str = "desk.json";

impl Kept {
    /// What was remembered in this data folder.
    pub(super) fn read(data: &Path) -> Kept {
        let text = std::fs::read(data.join(NAME)).unwrap_or_default();
        serde_json::from_slice(&text).unwrap_or_default()
    }

    /// Remembers it.
    pub(super) fn write(&self, data: &Path) -> Result<(), DiskError> {
        let text = serde_json::to_vec_pretty(self).unwrap_or_default();
        disk::write_whole(&data.join(NAME), &text)
    }
}
