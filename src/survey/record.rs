//! How the survey's records are declared: a struct of answers that may each be missing,
//! together with what the screens need to ask for them.

use super::answer::Value;
use super::slot::{ListEntry, Slot};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Names an item of a list or a spot within one survey; never used twice in it.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct ItemId(pub u32);

/// A record whose answers are known from its type alone.
pub(super) trait Slotted {
    /// Its answers in the order in which they are asked.
    const ALL_SLOTS: &'static [Slot];
    /// Its lists.
    const ALL_LISTS: &'static [ListEntry];
}

/// A record whose answers can be reached by name.
pub trait Record {
    /// Its answers in the order in which they are asked.
    fn slots(&self) -> &'static [Slot];
    /// The answer called `name`; `None` where it is not measured yet or there is no such answer.
    fn get(&self, name: &str) -> Option<Value>;
    /// Puts or takes back an answer; `false` where the name or the kind of value is wrong.
    fn set(&mut self, name: &str, value: Option<Value>) -> bool;
    /// The list called `name`.
    fn list(&self, name: &str) -> Option<&dyn AnyList>;
    /// The list called `name`, to write to.
    fn list_mut(&mut self, name: &str) -> Option<&mut dyn AnyList>;
}

/// A record that stands in a list.
pub trait Item: Record + Clone {
    /// An empty one.
    fn with_id(id: ItemId) -> Self;
    /// Its name within the survey.
    fn id(&self) -> ItemId;
    /// Renames it, for a copy.
    fn set_id(&mut self, id: ItemId);
}

/// A list, and whether the surveyor said that it is all of them.
///
/// An empty list that is not complete means "not looked yet", never "none there".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Listed<T> {
    /// What was found so far.
    pub items: Vec<T>,
    /// Whether that is all of them.
    #[serde(default)]
    pub complete: bool,
}

impl<T> Default for Listed<T> {
    fn default() -> Self {
        Listed {
            items: Vec::new(),
            complete: false,
        }
    }
}

impl<T> Listed<T> {
    /// A list known to hold all there is.
    pub fn all(items: Vec<T>) -> Self {
        Listed {
            items,
            complete: true,
        }
    }
}

/// What the screens need of a list, whatever it holds.
pub trait AnyList {
    /// The ids in order.
    fn ids(&self) -> Vec<ItemId>;
    /// Whether that is all of them.
    fn complete(&self) -> bool;
    /// Says or takes back that it is all of them.
    fn set_complete(&mut self, complete: bool);
    /// Appends an empty item.
    fn add(&mut self, id: ItemId);
    /// Appends a copy of the item `of` under a new id; `false` where there is none such.
    fn add_copy(&mut self, of: ItemId, id: ItemId) -> bool;
    /// Takes an item out; `false` where there is none such.
    fn remove(&mut self, id: ItemId) -> bool;
    /// The item, as a record.
    fn item(&self, id: ItemId) -> Option<&dyn Record>;
    /// The item, to write to.
    fn item_mut(&mut self, id: ItemId) -> Option<&mut dyn Record>;
    /// Whether the list holds anything.
    fn is_empty(&self) -> bool {
        self.ids().is_empty()
    }
}

impl<T: Item> AnyList for Listed<T> {
    fn ids(&self) -> Vec<ItemId> {
        self.items.iter().map(Item::id).collect()
    }
    fn complete(&self) -> bool {
        self.complete
    }
    fn set_complete(&mut self, complete: bool) {
        self.complete = complete;
    }
    fn add(&mut self, id: ItemId) {
        self.items.push(T::with_id(id));
    }
    fn add_copy(&mut self, of: ItemId, id: ItemId) -> bool {
        let Some(mut copy) = self.items.iter().find(|it| it.id() == of).cloned() else {
            return false;
        };
        copy.set_id(id);
        self.items.push(copy);
        true
    }
    fn remove(&mut self, id: ItemId) -> bool {
        let before = self.items.len();
        self.items.retain(|it| it.id() != id);
        self.items.len() < before
    }
    fn item(&self, id: ItemId) -> Option<&dyn Record> {
        self.items
            .iter()
            .find(|it| it.id() == id)
            .map(|it| it as &dyn Record)
    }
    fn item_mut(&mut self, id: ItemId) -> Option<&mut dyn Record> {
        self.items
            .iter_mut()
            .find(|it| it.id() == id)
            .map(|it| it as &mut dyn Record)
    }
}

/// Declares a record, one answer a line:
///
/// ```text
/// /// How to measure it, in one sentence.
/// clear_length: Reading => "Clear length" { heading: Some("Clear space"), reach: Some(Reach::Hatch) },
/// ```
///
/// `as kind` stands after the type where the answer takes another kind than its type's usual one; between the braces
/// stands whatever else is declared of it, each by the name of its field in [`Slot`]. Of a section `of house` or
/// `of spot` says whose it is and `at` where it is filled; an entry of a list has an `(id)`. Lists stand in a block of
/// their own behind the answers, with what one of them is called and the fields of [`ListEntry`].
///
/// Of each answer a constant of type [`Field`](super::Field) is made in the module behind the record's name, and of
/// each list a [`List`](super::List): `attic::CLEAR_LENGTH`.
macro_rules! record {
    (
        $(#[$meta:meta])*
        $record:ident $module:ident $section:literal $(of $owner:ident at $stop:ident)? $(($id:ident))? {
            $(
                #[doc = $help:literal]
                $name:ident : $type:ty $(as $kind:expr)? => $label:literal
                $({ $($attribute:ident : $value:expr),* $(,)? })?
            ),* $(,)?
        }
        $( lists {
            $(
                #[doc = $lhelp:literal]
                $list:ident : $item:ident => $llabel:literal, $one:literal
                $({ $($lattribute:ident : $lvalue:expr),* $(,)? })?
            ),* $(,)?
        } )?
    ) => { pastey::paste! {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        #[serde(deny_unknown_fields)]
        #[schemars(transform = $crate::survey::file::describe::<$record>)]
        $( #[doc = concat!("\n\nIts name in the survey is the `", stringify!($id), "`.")] )?
        pub struct $record {
            $(
                /// Names it within the survey.
                pub $id: $crate::survey::ItemId,
            )?
            $(
                #[doc = $help]
                #[serde(default, skip_serializing_if = "Option::is_none")]
                pub $name: Option<$type>,
            )*
            $($(
                #[doc = $lhelp]
                #[serde(default)]
                pub $list: $crate::survey::Listed<$item>,
            )*)?
        }

        #[doc = concat!("The answers of [`", stringify!($record), "`], each by its own constant.")]
        pub mod $module {
            #[allow(unused_imports)]
            use super::*;
            use $crate::survey::{Field, Slot};
            $(
                #[doc = $help]
                pub const [<$name:upper>]: Field<$record, $type> = Field::new(
                    &Slot {
                        id: concat!($section, ".", stringify!($name)),
                        name: stringify!($name),
                        label: $label,
                        help: $help,
                        kind: record!(@kind $type $(, $kind)?),
                        $($($attribute: $value,)*)?
                        ..Slot::PLAIN
                    },
                    |record| record.$name.as_ref(),
                    |record| &mut record.$name,
                );
            )*
            $($(
                #[doc = $lhelp]
                pub const [<$list:upper>]: $crate::survey::List<$record, $item> = $crate::survey::List::new(
                    &$crate::survey::ListEntry {
                        id: concat!($section, ".", stringify!($list)),
                        name: stringify!($list),
                        complete: concat!($section, ".", stringify!($list), ".complete"),
                        label: $llabel,
                        one: $one,
                        stop: <$record as $crate::survey::Section>::STOP,
                        of_spot: <$record as $crate::survey::Owned>::OF_SPOT,
                        slots: $item::SLOTS,
                        $($($lattribute: $lvalue,)*)?
                        ..$crate::survey::ListEntry::PLAIN
                    },
                    |record| &record.$list,
                    |record| &mut record.$list,
                );
            )*)?
        }

        impl $record {
            /// What can be answered of it, in the order of asking.
            pub const SLOTS: &'static [$crate::survey::Slot] = &[$( *$module::[<$name:upper>].slot ),*];
        }

        impl $crate::survey::record::Slotted for $record {
            const ALL_SLOTS: &'static [$crate::survey::Slot] = Self::SLOTS;
            const ALL_LISTS: &'static [$crate::survey::ListEntry] = &[$($( *$module::[<$list:upper>].entry ),*)?];
        }

        impl $crate::survey::Record for $record {
            fn slots(&self) -> &'static [$crate::survey::Slot] {
                Self::SLOTS
            }
            fn get(&self, name: &str) -> Option<$crate::survey::Value> {
                match name {
                    $( stringify!($name) => self.$name.as_ref().map($crate::survey::Answer::to_value), )*
                    _ => None,
                }
            }
            fn set(&mut self, name: &str, value: Option<$crate::survey::Value>) -> bool {
                match name {
                    $( stringify!($name) => match value {
                        None => { self.$name = None; true }
                        Some(value) => match <$type as $crate::survey::Answer>::from_value(value) {
                            None => false,
                            some => { self.$name = some; true }
                        },
                    }, )*
                    _ => false,
                }
            }
            fn list(&self, name: &str) -> Option<&dyn $crate::survey::AnyList> {
                match name {
                    $($( stringify!($list) => Some(&self.$list), )*)?
                    _ => None,
                }
            }
            fn list_mut(&mut self, name: &str) -> Option<&mut dyn $crate::survey::AnyList> {
                match name {
                    $($( stringify!($list) => Some(&mut self.$list), )*)?
                    _ => None,
                }
            }
        }

        record!(@construct $record ($($id)?) { $($name)* } { $($($list)*)? });
        record!(@owned $record $module $($owner $stop)? { $($($item)*)? });
    } };
    (@kind $type:ty) => { <$type as $crate::survey::Answer>::KIND };
    (@kind $type:ty, $kind:expr) => { $kind };
    (@owned $record:ident $module:ident { }) => {};
    (@owned $record:ident $module:ident house $stop:ident { $($item:ident)* }) => {
        record!(@owner $record false OfHouse);
        $( record!(@owner $item false OfHouse); )*
        impl $crate::survey::Section for $record {
            const STOP: $crate::survey::Stop = $crate::survey::Stop::$stop;
            fn within<'a>(
                survey: &'a $crate::survey::Survey,
                _: Option<&'a $crate::survey::Spot>,
            ) -> Option<&'a Self> {
                Some(&survey.$module)
            }
            fn within_mut(
                survey: &mut $crate::survey::Survey,
                _: Option<$crate::survey::ItemId>,
            ) -> Option<&mut Self> {
                Some(&mut survey.$module)
            }
        }
    };
    (@owned $record:ident $module:ident spot $stop:ident { $($item:ident)* }) => {
        record!(@owner $record true OfSpot);
        $( record!(@owner $item true OfSpot); )*
        impl $crate::survey::Section for $record {
            const STOP: $crate::survey::Stop = $crate::survey::Stop::$stop;
            fn within<'a>(
                _: &'a $crate::survey::Survey,
                spot: Option<&'a $crate::survey::Spot>,
            ) -> Option<&'a Self> {
                spot.map(|spot| &spot.$module)
            }
            fn within_mut(
                survey: &mut $crate::survey::Survey,
                spot: Option<$crate::survey::ItemId>,
            ) -> Option<&mut Self> {
                survey.spot_mut(spot?).map(|spot| &mut spot.$module)
            }
        }
        impl $crate::survey::SpotSection for $record {
            fn of(spot: &$crate::survey::Spot) -> &Self {
                &spot.$module
            }
        }
    };
    (@owner $record:ident $of_spot:literal $trait:ident) => {
        impl $crate::survey::Owned for $record {
            const OF_SPOT: bool = $of_spot;
        }
        impl $crate::survey::$trait for $record {}
    };
    (@construct $record:ident () { $($name:ident)* } { $($list:ident)* }) => {
        impl Default for $record {
            fn default() -> Self {
                $record { $($name: None,)* $($list: Default::default(),)* }
            }
        }
    };
    (@construct $record:ident ($id:ident) { $($name:ident)* } { $($list:ident)* }) => {
        impl $crate::survey::Item for $record {
            fn with_id($id: $crate::survey::ItemId) -> Self {
                $record { $id, $($name: None,)* $($list: Default::default(),)* }
            }
            fn id(&self) -> $crate::survey::ItemId {
                self.$id
            }
            fn set_id(&mut self, id: $crate::survey::ItemId) {
                self.$id = id;
            }
        }
    };
}
