//! What was seen and measured in one house: plain data, no judgement.
//!
//! Every answer may be missing; missing means *not measured yet*. The records and their fields
//! are declared once, in [`house`](self), with the label, the help sentence and the kind that the screens
//! need ([`fields`] is the whole catalogue), so that a field cannot be captured without being asked,
//! shown, saved and described.
//!
//! # The frame of measurement
//! Each spot has a *mark*: a locating hole or wire at the middle of the spot, seen from the hall and from
//! the attic. Looking down the hall from its start, places are given from the mark: *ahead* (negative:
//! back) and *left* (negative: right); heights from the top of the joists.

mod answer;
mod choice;
#[macro_use]
mod record;
mod field;
pub mod fields;
mod file;
mod house;
pub mod range;
mod slot;
mod when;

pub use answer::{Answer, AnswerError, Kind, TEXT_MOST, Value, Ways};
pub use choice::*;
pub use field::{Entry, Field, List, OfHouse, OfSpot, Owned, Section, SpotSection, spot};
pub use file::{FileError, SCHEMA_ID, read, schema};
pub(crate) use file::{pretty, read_json, visible};
pub use house::*;
pub use record::{AnyList, Item, ItemId, Listed, Record};
pub use slot::{ListEntry, Offers, OnlyFor, Reach, Slot};
pub use when::{When, WhenError};

use crate::measure::Tape;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The name of the survey file's format, inside every survey file.
pub const FORMAT: &str = "joistlight survey";
/// The newest version of the format that this program writes and reads.
pub const FORMAT_VERSION: u32 = 2;

/// One visit to one house, with everything seen there.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Survey {
    /// Always "joistlight survey".
    pub format: String,
    /// The version of the format.
    pub version: u32,
    /// Names this survey among all surveys, on every device.
    #[serde(deserialize_with = "file::hyphenated")]
    #[schemars(schema_with = "file::id_schema")]
    pub id: Uuid,
    /// Raised by one with each bundle that leaves the device.
    pub revision: u32,
    /// When the survey was begun, by the device's clock.
    pub begun: When,
    /// When an answer was last changed, by the device's clock.
    pub changed: When,
    /// The smallest division of the tape in use.
    pub tape: Tape,
    /// The next unused item id.
    pub next_id: u32,
    /// The whole house.
    #[serde(default)]
    pub arrival: Arrival,
    /// The candidate places for the fan.
    #[serde(default)]
    pub spots: Vec<Spot>,
    /// The attic's vents.
    #[serde(default)]
    pub vents: Vents,
    /// The circuit.
    #[serde(default)]
    pub power: Power,
    /// Flames and windows.
    #[serde(default)]
    pub flame: Flame,
    /// The end of the visit.
    #[serde(default)]
    pub wrap_up: WrapUp,
    /// The pictures.
    #[serde(default)]
    pub photos: Vec<Photo>,
}

/// One candidate place for the fan: a piece of hall ceiling and the attic above it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spot {
    /// Names it within the survey.
    pub id: ItemId,
    /// What the surveyor calls it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(max = TEXT_MOST))]
    pub name: Option<String>,
    /// The hall below.
    #[serde(default)]
    pub hall: Hall,
    /// The attic above.
    #[serde(default)]
    pub attic: Attic,
}

/// A picture, and what it shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// Names it within the survey.
    pub id: ItemId,
    /// What it shows.
    pub subject: Subject,
    /// The spot it belongs to, where it belongs to one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spot: Option<ItemId>,
    /// The item it shows (an obstruction, a vent, an appliance …), where it shows one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<ItemId>,
    /// A remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(max = TEXT_MOST))]
    pub remark: Option<String>,
    /// SHA-256 of the stored JPEG in lower-case hex; also its file name without the ending.
    #[schemars(schema_with = "file::digest_schema")]
    pub sha256: String,
    /// Width in pixels.
    #[schemars(range(min = 1))]
    pub width: u32,
    /// Height in pixels.
    #[schemars(range(min = 1))]
    pub height: u32,
    /// When it was taken, as the camera wrote it, where the camera did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(length(max = TEXT_MOST))]
    pub taken_at: Option<String>,
    /// Arrows and rings drawn on it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub strokes: Vec<Stroke>,
}

/// An arrow or a ring drawn on a picture; places are thousandths of its width and height.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, tag = "stroke")]
pub enum Stroke {
    /// An arrow that points at `to`.
    #[serde(rename = "arrow")]
    Arrow {
        /// Tail, x and y in thousandths.
        #[schemars(schema_with = "file::place_schema")]
        from: [u16; 2],
        /// Head, x and y in thousandths.
        #[schemars(schema_with = "file::place_schema")]
        to: [u16; 2],
    },
    /// A ring round `middle`.
    #[serde(rename = "ring")]
    Ring {
        /// Middle, x and y in thousandths.
        #[schemars(schema_with = "file::place_schema")]
        middle: [u16; 2],
        /// Radius in thousandths of the width.
        #[schemars(range(max = 1000))]
        radius: u16,
    },
}

/// Names one answer of one survey: which field, of which spot, of which item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct FieldRef {
    /// Such as `attic.roof_height`, or `attic.obstructions.complete` for "that is all of them".
    pub field: &'static str,
    /// The spot, for what belongs to one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spot: Option<ItemId>,
    /// The item of a list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub item: Option<ItemId>,
}

impl FieldRef {
    /// An answer about the whole house.
    pub const fn house(field: &'static str) -> Self {
        FieldRef {
            field,
            spot: None,
            item: None,
        }
    }

    /// An answer about one spot.
    pub const fn spot(field: &'static str, spot: ItemId) -> Self {
        FieldRef {
            field,
            spot: Some(spot),
            item: None,
        }
    }

    /// The same field of an item in a list.
    pub const fn item(self, item: ItemId) -> Self {
        FieldRef {
            item: Some(item),
            ..self
        }
    }
}

impl Survey {
    /// An empty survey with one spot.
    pub fn begin(id: Uuid, now: When, tape: Tape) -> Self {
        let mut survey = Survey {
            format: FORMAT.to_owned(),
            version: FORMAT_VERSION,
            id,
            revision: 0,
            begun: now,
            changed: now,
            tape,
            next_id: 1,
            arrival: Arrival::default(),
            spots: Vec::new(),
            vents: Vents::default(),
            power: Power::default(),
            flame: Flame::default(),
            wrap_up: WrapUp::default(),
            photos: Vec::new(),
        };
        survey.add_spot();
        survey
    }

    /// An id that no item of this survey had before.
    pub fn fresh_id(&mut self) -> ItemId {
        let id = ItemId(self.next_id);
        self.next_id += 1;
        id
    }

    /// Adds an empty spot.
    pub fn add_spot(&mut self) -> ItemId {
        let id = self.fresh_id();
        self.spots.push(Spot {
            id,
            name: None,
            hall: Hall::default(),
            attic: Attic::default(),
        });
        id
    }

    /// Adds a copy of a spot, every answer kept, its items under new ids.
    pub fn copy_spot(&mut self, of: ItemId) -> Option<ItemId> {
        let mut copy = self.spot(of)?.clone();
        let id = self.fresh_id();
        copy.id = id;
        self.spots.push(copy);
        for list in fields::LISTS.iter().filter(|list| list.of_spot) {
            let ids = self.list(list.id, Some(id))?.ids();
            for old in ids {
                let new = self.fresh_id();
                let items = self.list_mut(list.id, Some(id))?;
                // A copy goes to the end and the old one leaves, so the order stays.
                items.add_copy(old, new);
                items.remove(old);
            }
        }
        Some(id)
    }

    /// Takes a spot out; `false` where there is none such.
    pub fn remove_spot(&mut self, id: ItemId) -> bool {
        let before = self.spots.len();
        self.spots.retain(|spot| spot.id != id);
        self.spots.len() < before
    }

    /// The spot called `id`.
    pub fn spot(&self, id: ItemId) -> Option<&Spot> {
        self.spots.iter().find(|spot| spot.id == id)
    }

    /// The spot called `id`, to write to.
    pub fn spot_mut(&mut self, id: ItemId) -> Option<&mut Spot> {
        self.spots.iter_mut().find(|spot| spot.id == id)
    }
}
