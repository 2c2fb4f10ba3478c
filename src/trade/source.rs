//! Where a figure comes from, and how sure that is.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How sure a figure is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Status {
    /// Read in print, in the standard or in a page that restates it.
    #[serde(rename = "confirmed")]
    Confirmed,
    /// Not seen in print yet; to be checked against the printed code.
    #[serde(rename = "from memory")]
    FromMemory,
    /// Computed here from the definitions.
    #[serde(rename = "derived")]
    Derived,
    /// What installers do; no publication names it.
    #[serde(rename = "common practice, no source")]
    CommonPractice,
    /// Made up for this program, such as the sizes of a fan that nobody sells.
    #[serde(rename = "invented")]
    Invented,
    /// What the office's own fan list or settings say.
    #[serde(rename = "given")]
    Given,
}

impl Status {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Status::Confirmed => "confirmed",
            Status::FromMemory => "from memory",
            Status::Derived => "derived",
            Status::CommonPractice => "common practice, no source",
            Status::Invented => "invented",
            Status::Given => "given",
        }
    }
}

/// A source: the document and its section, and how sure the figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Source {
    /// Document and section, such as `IRC R802.9`.
    pub cite: &'static str,
    /// How sure the figure taken from it is.
    pub status: Status,
}

impl Source {
    /// A figure read in print.
    pub const fn confirmed(cite: &'static str) -> Self {
        Source {
            cite,
            status: Status::Confirmed,
        }
    }
    /// A figure from memory.
    pub const fn from_memory(cite: &'static str) -> Self {
        Source {
            cite,
            status: Status::FromMemory,
        }
    }
    /// A figure computed from definitions.
    pub const fn derived(cite: &'static str) -> Self {
        Source {
            cite,
            status: Status::Derived,
        }
    }
    /// What installers do.
    pub const fn practice(cite: &'static str) -> Self {
        Source {
            cite,
            status: Status::CommonPractice,
        }
    }
    /// What the fan's sheet or the office's settings say.
    pub const fn given(cite: &'static str) -> Self {
        Source {
            cite,
            status: Status::Given,
        }
    }
}
