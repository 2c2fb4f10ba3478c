//! Typed names of answers and lists: the constants that [`record!`](super::record) makes of each declaration.
//!
//! Through them a rule reads, a test types and a screen asks, so that an answer's name, its type and its value
//! cannot part. `attic::CLEAR_LENGTH` is the answer `attic.clear_length` of an [`Attic`](super::Attic);
//! `attic::OBSTRUCTIONS` is the list, and [`List::complete`] the field that says "that is all of them".
//!
//! # Examples
//! ```
//! use joistlight::measure::{Reading, Tape};
//! use joistlight::survey::{Survey, When, arrival, attic};
//! let mut survey = Survey::begin(uuid::Uuid::nil(), When::now(), Tape::default());
//! let spot = survey.spots[0].id;
//! assert_eq!(attic::CLEAR_LENGTH.id, "attic.clear_length");
//! assert_eq!(attic::CLEAR_LENGTH.slot.label, "Clear length");
//! attic::CLEAR_LENGTH.write(&mut survey.spots[0].attic, Some(Reading::inches(80)));
//! assert!(survey.answer(attic::CLEAR_LENGTH.at(spot)).is_some());
//! assert!(survey.answer(arrival::CHILDREN.of_house()).is_none());
//! ```

use super::record::{Item, Listed};
use super::slot::{ListEntry, Slot};
use super::{FieldRef, ItemId, Spot, Stop, Survey};
use std::fmt;

/// One answer of the record `R`, whose value is a `T`.
pub struct Field<R: 'static, T: 'static> {
    /// Section and name, such as `attic.clear_length`.
    pub id: &'static str,
    /// The declaration.
    pub slot: &'static Slot,
    read: fn(&R) -> Option<&T>,
    place: fn(&mut R) -> &mut Option<T>,
}

impl<R, T> Clone for Field<R, T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<R, T> Copy for Field<R, T> {}

impl<R, T> fmt::Debug for Field<R, T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.id)
    }
}

impl<R, T> Field<R, T> {
    pub(super) const fn new(
        slot: &'static Slot,
        read: fn(&R) -> Option<&T>,
        place: fn(&mut R) -> &mut Option<T>,
    ) -> Self {
        Field {
            id: slot.id,
            slot,
            read,
            place,
        }
    }

    /// The value in this record; `None` where it is not measured yet.
    pub fn read(self, record: &R) -> Option<&T> {
        (self.read)(record)
    }

    /// Puts or takes back the value in this record.
    pub fn write(self, record: &mut R, value: Option<T>) {
        *(self.place)(record) = value;
    }
}

impl<R: OfHouse, T> Field<R, T> {
    /// The answer of the whole house; of an entry of a list with [`FieldRef::item`].
    pub const fn of_house(self) -> FieldRef {
        FieldRef::house(self.id)
    }
}

impl<R: OfSpot, T> Field<R, T> {
    /// The answer at one spot; of an entry of a list with [`FieldRef::item`].
    pub const fn at(self, spot: ItemId) -> FieldRef {
        FieldRef::spot(self.id, spot)
    }
}

/// One list of the record `R`, which holds `I`s.
pub struct List<R: 'static, I: 'static> {
    /// Such as `attic.obstructions`.
    pub id: &'static str,
    /// The field that says "that is all of them", such as `attic.obstructions.complete`.
    pub complete: &'static str,
    /// The declaration.
    pub entry: &'static ListEntry,
    read: fn(&R) -> &Listed<I>,
    place: fn(&mut R) -> &mut Listed<I>,
}

impl<R, I> Clone for List<R, I> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<R, I> Copy for List<R, I> {}

impl<R, I> fmt::Debug for List<R, I> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.id)
    }
}

impl<R, I> List<R, I> {
    pub(super) const fn new(
        entry: &'static ListEntry,
        read: fn(&R) -> &Listed<I>,
        place: fn(&mut R) -> &mut Listed<I>,
    ) -> Self {
        List {
            id: entry.id,
            complete: entry.complete,
            entry,
            read,
            place,
        }
    }

    /// The list in this record.
    pub fn read(self, record: &R) -> &Listed<I> {
        (self.read)(record)
    }

    /// The list in this record, to write to.
    pub fn write(self, record: &mut R) -> &mut Listed<I> {
        (self.place)(record)
    }
}

impl<R: OfHouse, I> List<R, I> {
    /// "That is all of them", of the whole house.
    pub const fn complete_of_house(self) -> FieldRef {
        FieldRef::house(self.complete)
    }
}

impl<R: OfSpot, I> List<R, I> {
    /// "That is all of them", at one spot.
    pub const fn complete_at(self, spot: ItemId) -> FieldRef {
        FieldRef::spot(self.complete, spot)
    }
}

/// A record that belongs to the house or to a spot.
pub trait Owned {
    /// Whether each spot has its own.
    const OF_SPOT: bool;
}

/// A record of which a house has one, and the entries of its lists.
pub trait OfHouse: Owned {}

/// A record of which each spot has one, and the entries of its lists.
pub trait OfSpot: Owned {}

/// A record that stands in the survey itself, not in a list.
pub trait Section: Owned + Sized {
    /// The stop where it is filled.
    const STOP: Stop;
    /// It, of this survey and spot; `None` where it belongs to a spot and none is given.
    fn within<'a>(survey: &'a Survey, spot: Option<&'a Spot>) -> Option<&'a Self>;
    /// It, to write to.
    fn within_mut(survey: &mut Survey, spot: Option<ItemId>) -> Option<&mut Self>;
}

/// A section of which each spot has its own.
pub trait SpotSection: Section + OfSpot {
    /// It, of this spot.
    fn of(spot: &Spot) -> &Self;
}

/// An entry of a list, as the rules read it.
pub trait Entry: Item + Owned {}
impl<T: Item + Owned> Entry for T {}

impl OfSpot for Spot {}
impl Owned for Spot {
    const OF_SPOT: bool = true;
}

/// The answers of a spot that stand in none of its records.
pub mod spot {
    use super::*;
    use crate::survey::Kind;

    /// What the surveyor calls it.
    pub const NAME: Field<Spot, String> = Field::new(
        &Slot {
            id: "spot.name",
            name: "name",
            label: "Name of the spot",
            help: "What you call this spot.",
            kind: Kind::Text,
            ..Slot::PLAIN
        },
        |spot| spot.name.as_ref(),
        |spot| &mut spot.name,
    );
}
