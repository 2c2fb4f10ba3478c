//! How the survey's records are declared: a struct of answers that may each be missing,
//! together with what the screens need to ask for them.

use super::answer::{Kind, Value};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Names an item of a list or a spot within one survey; never used twice in it.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct ItemId(pub u32);

/// One answer of a record, as the screens and the checks see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// Section and name, such as `attic.roof_height`.
    pub id: &'static str,
    /// The name within the record.
    pub name: &'static str,
    /// The English label, which is also the key for translations.
    pub label: &'static str,
    /// One English sentence on how to measure it, also a key for translations.
    pub help: &'static str,
    /// What kind of answer it takes.
    pub kind: Kind,
}

/// A record whose answers are known from its type alone.
pub(super) trait Slotted {
    /// Its answers in the order in which they are asked.
    const ALL_SLOTS: &'static [Slot];
}

/// A record whose answers can be reached by name.
pub trait Record {
    /// Its answers in the order in which they are asked.
    fn slots(&self) -> &'static [Slot];
    /// The answer called `name`; `None` where it is not measured yet or there is no such answer.
    fn get(&self, name: &str) -> Option<Value>;
    /// Puts or takes back an answer; `false` where the name or the kind of value is wrong.
    fn set(&mut self, name: &str, value: Option<Value>) -> bool;
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

/// Declares a record: `name: Type "Label",` with its doc comment as the help sentence;
/// `as kind` after the type where the field takes another kind than its type's usual one.
/// Lists stand in a block of their own behind the answers.
macro_rules! record {
    (
        $(#[$meta:meta])*
        $record:ident $section:literal $(($id:ident))? {
            $( #[doc = $help:literal] $name:ident : $type:ty $(as $kind:expr)? => $label:literal ),* $(,)?
        }
        $( lists { $( #[doc = $lhelp:literal] $list:ident : $item:ty ),* $(,)? } )?
    ) => {
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

        impl $record {
            /// What can be answered of it, in the order of asking.
            pub const SLOTS: &'static [$crate::survey::Slot] = &[
                $( $crate::survey::Slot {
                    id: concat!($section, ".", stringify!($name)),
                    name: stringify!($name),
                    label: $label,
                    help: $help,
                    kind: record!(@kind $type $(, $kind)?),
                } ),*
            ];
        }

        impl $crate::survey::record::Slotted for $record {
            const ALL_SLOTS: &'static [$crate::survey::Slot] = Self::SLOTS;
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
        }

        record!(@construct $record ($($id)?) { $($name)* } { $($($list)*)? });
    };
    (@kind $type:ty) => { <$type as $crate::survey::Answer>::KIND };
    (@kind $type:ty, $kind:expr) => { $kind };
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
