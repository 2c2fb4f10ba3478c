//! What is to be done for a fan, in typed amounts: one thing is needed once.
//!
//! Several rules may ask for the same thing: the code's share of vent area and the fan's airflow both ask for vents, the
//! circuit's load and the voltage that arrives both ask for wire. [`Need`] says what, with amounts and not in a sentence;
//! [`Need::merge`] makes one of two asks for the same thing, so that whoever reads it (a page, a sheet, a quote) has
//! one amount to read. It knows no survey, no finding and no words: `rules` asks, and tells it in sentences.
//!
//! # Units
//! All amounts typed; [`Need::amounts`] gives them with names and units.
//!
//! # Examples
//! The code asks for 2 ft² at the top and 1 ft² at the eaves, the fan for 4 ft² anywhere: 4 ft² in all, of which 2 at the
//! top and 1 at the eaves.
//! ```
//! use joistlight::measure::Area;
//! use joistlight::need::{Need, Vents};
//! let ft2 = Area::from_ft2;
//! let code = Need::Vents(Vents { upper: ft2(2.0), lower: ft2(1.0), anywhere: Area::ZERO });
//! let fan = Need::Vents(Vents { upper: Area::ZERO, lower: Area::ZERO, anywhere: ft2(4.0) });
//! let Some(Need::Vents(both)) = code.merge(&fan) else { unreachable!() };
//! assert_eq!((both.upper.ft2(), both.lower.ft2(), both.anywhere.ft2()), (2.0, 1.0, 1.0));
//! ```

use crate::measure::{Area, CubicInches, Current, Figure, Length, Volume};
use crate::trade::box_fill::{StandardBox, smallest_box};
use crate::trade::conductor::Gauge;
use crate::trade::opening_frame::Plies;
use crate::trade::solid::Way;
use crate::trade::vent_area::{
    NEW_BOX, NEW_RIDGE, NEW_STRIP, NEW_TURBINE, NEW_UNDER_EAVE, NewVent,
};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;

/// Vent area to be added to the attic.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vents {
    /// Within 3 ft of the top of the roof.
    pub upper: Area,
    /// At the eaves.
    pub lower: Area,
    /// Anywhere, besides.
    pub anywhere: Area,
}

/// Where vents are to be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum VentPlace {
    /// Within 3 ft of the top of the roof.
    Upper,
    /// At the eaves.
    Lower,
    /// Anywhere in the attic.
    Anywhere,
}

/// Less than this is a rounding of binary fractions, and no missing vent.
const NO_AREA: Area = Area::from_in2(1e-6);

impl Vents {
    /// All of it.
    pub fn total(&self) -> Area {
        self.upper + self.lower + self.anywhere
    }

    /// Each place with the area missing there; none where nothing is.
    pub fn gaps(&self) -> impl Iterator<Item = (VentPlace, Area)> {
        [
            (VentPlace::Upper, self.upper),
            (VentPlace::Lower, self.lower),
            (VentPlace::Anywhere, self.anywhere),
        ]
        .into_iter()
        .filter(|(_, area)| *area > NO_AREA)
    }

    fn merge(self, other: Vents) -> Vents {
        let upper = self.upper.max(other.upper);
        let lower = self.lower.max(other.lower);
        let all = self.total().max(other.total());
        Vents {
            upper,
            lower,
            anywhere: (all - upper - lower).max(Area::ZERO),
        }
    }
}

impl VentPlace {
    /// The kinds of vent that go there; one kind is enough.
    pub const fn kinds(self) -> &'static [NewVent] {
        match self {
            VentPlace::Upper => &[NEW_BOX, NEW_RIDGE, NEW_TURBINE],
            VentPlace::Lower => &[NEW_UNDER_EAVE, NEW_STRIP],
            VentPlace::Anywhere => &[NEW_BOX, NEW_RIDGE, NEW_TURBINE, NEW_UNDER_EAVE, NEW_STRIP],
        }
    }
}

/// Window area that must be openable at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Windows {
    /// In all, clear opening.
    pub open: Area,
    /// What can be opened now.
    pub have: Area,
    /// Whether the fan must be kept off until they are open.
    pub interlock: bool,
}

impl Windows {
    /// More than now.
    pub fn more(&self) -> Area {
        (self.open - self.have).max(Area::ZERO)
    }
}

/// The circuit that will feed the fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circuit {
    /// The breaker of a circuit of the fan's own; none where the circuit that is there stays.
    pub own: Option<Current>,
    /// The thinnest copper wire that will do; none where no wire of the tables does.
    pub wire: Option<Gauge>,
    /// The run one way that the wire was chosen for, as far as it is known.
    pub run: Option<Length>,
}

impl Circuit {
    /// Of two circuits for one fan the fan's own one is run; of two alike the thicker wire.
    fn merge(self, other: Circuit) -> Circuit {
        match (self.own, other.own) {
            (Some(_), None) => self,
            (None, Some(_)) => other,
            (mine, theirs) => Circuit {
                own: match (mine, theirs) {
                    (Some(a), Some(b)) => Some(a.max(b)),
                    _ => None,
                },
                wire: match (self.wire, other.wire) {
                    (Some(a), Some(b)) => Some(a.max(b)),
                    _ => None,
                },
                run: self.run.or(other.run),
            },
        }
    }
}

/// Something that must be moved out of the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moving {
    /// Which thing, by its number in the survey.
    pub item: u32,
    /// How far.
    pub by: Length,
    /// Which way.
    pub way: Way,
}

/// One thing to be done, with its amounts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Need {
    /// Vents to be added.
    Vents(Vents),
    /// Windows to be openable.
    Windows(Windows),
    /// A circuit or its wire.
    Circuit(Circuit),
    /// A larger switch box: the room that it needs.
    SwitchBox(Volume),
    /// A stronger switch: its least rating.
    Switch(Current),
    /// Something to be moved.
    Move(Moving),
    /// Headers for so many cut joists: their pieces and length.
    Headers {
        /// Joists that are cut.
        joists: u32,
        /// Pieces in each header.
        plies: Plies,
        /// Length of each piece.
        length: Length,
    },
    /// Both trimmers doubled, over this span.
    Trimmers(Length),
    /// Every joist under the fan doubled.
    Doubled {
        /// How many joists.
        joists: u32,
        /// Over this span.
        span: Length,
    },
    /// A larger hatch.
    Hatch {
        /// Its longer clear side.
        length: Length,
        /// Its shorter clear side.
        width: Length,
    },
    /// More bearing under the joists that carry the fan.
    Bearing(Length),
    /// Insulation kept off the fan.
    Insulation {
        /// How far it rises over the joists.
        over: Length,
        /// How far it stays away from the motor.
        clear: Length,
    },
}

impl Need {
    /// What it is, in a word, for files.
    pub const fn name(&self) -> &'static str {
        match self {
            Need::Vents(_) => "vents",
            Need::Windows(_) => "windows",
            Need::Circuit(_) => "circuit",
            Need::SwitchBox(_) => "switch box",
            Need::Switch(_) => "switch",
            Need::Move(_) => "move",
            Need::Headers { .. } => "headers",
            Need::Trimmers(_) => "trimmers",
            Need::Doubled { .. } => "doubled joists",
            Need::Hatch { .. } => "hatch",
            Need::Bearing(_) => "bearing",
            Need::Insulation { .. } => "insulation",
        }
    }

    /// Both asks in one, where they are for the same thing: the larger amount of each.
    #[must_use]
    pub fn merge(&self, other: &Need) -> Option<Need> {
        Some(match (*self, *other) {
            (Need::Vents(a), Need::Vents(b)) => Need::Vents(a.merge(b)),
            (Need::Windows(a), Need::Windows(b)) => Need::Windows(Windows {
                open: a.open.max(b.open),
                have: a.have.max(b.have),
                interlock: a.interlock || b.interlock,
            }),
            (Need::Circuit(a), Need::Circuit(b)) => Need::Circuit(a.merge(b)),
            (Need::SwitchBox(a), Need::SwitchBox(b)) => Need::SwitchBox(a.max(b)),
            (Need::Switch(a), Need::Switch(b)) => Need::Switch(a.max(b)),
            (Need::Move(a), Need::Move(b)) if (a.item, a.way) == (b.item, b.way) => {
                Need::Move(Moving {
                    by: a.by.max(b.by),
                    ..a
                })
            }
            (
                Need::Headers {
                    joists,
                    plies,
                    length,
                },
                Need::Headers {
                    joists: more,
                    plies: other,
                    length: longer,
                },
            ) => Need::Headers {
                joists: joists.max(more),
                plies: plies.max(other),
                length: length.max(longer),
            },
            (Need::Trimmers(a), Need::Trimmers(b)) => Need::Trimmers(a.max(b)),
            (
                Need::Doubled { joists, span },
                Need::Doubled {
                    joists: more,
                    span: longer,
                },
            ) => Need::Doubled {
                joists: joists.max(more),
                span: span.max(longer),
            },
            (
                Need::Hatch { length, width },
                Need::Hatch {
                    length: longer,
                    width: wider,
                },
            ) => Need::Hatch {
                length: length.max(longer),
                width: width.max(wider),
            },
            (Need::Bearing(a), Need::Bearing(b)) => Need::Bearing(a.max(b)),
            (
                Need::Insulation { over, clear },
                Need::Insulation {
                    over: higher,
                    clear: farther,
                },
            ) => Need::Insulation {
                over: over.max(higher),
                clear: clear.max(farther),
            },
            _ => return None,
        })
    }

    /// A box of the code's table that has the room, where it is a box that is needed.
    pub fn standard_box(&self) -> Option<StandardBox> {
        match self {
            Need::SwitchBox(room) => smallest_box(*room),
            _ => None,
        }
    }

    /// Its amounts, each with name and unit.
    pub fn amounts(&self) -> Vec<Figure> {
        match *self {
            Need::Vents(it) => vec![
                Figure::new("vent area to add", it.total()),
                Figure::new("at the top of the roof", it.upper),
                Figure::new("at the eaves", it.lower),
                Figure::new("anywhere", it.anywhere),
            ],
            Need::Windows(it) => vec![
                Figure::new("window area open at once", it.open),
                Figure::new("more than now", it.more()),
            ],
            Need::Circuit(it) => {
                let mut all = Vec::new();
                all.extend(it.own.map(|it| Figure::new("breaker", it)));
                all.extend(it.run.map(|it| Figure::new("run one way", it)));
                all
            }
            Need::SwitchBox(room) => vec![Figure::new("room in the box", CubicInches(room))],
            Need::Switch(rating) => vec![Figure::new("least rating", rating)],
            Need::Move(it) => vec![Figure::new("distance", it.by)],
            Need::Headers {
                joists,
                plies,
                length,
            } => vec![
                Figure::new("joists cut", joists),
                Figure::new("pieces in each header", plies.count()),
                Figure::new("length", length),
            ],
            Need::Trimmers(span) => vec![Figure::new("length", span)],
            Need::Doubled { joists, span } => {
                vec![Figure::new("joists", joists), Figure::new("length", span)]
            }
            Need::Hatch { length, width } => {
                vec![Figure::new("length", length), Figure::new("width", width)]
            }
            Need::Bearing(least) => vec![Figure::new("bearing", least)],
            Need::Insulation { over, clear } => vec![
                Figure::new("over the joists", over),
                Figure::new("clear of the motor", clear),
            ],
        }
    }
}

/// A need as files have it.
#[derive(Serialize, JsonSchema)]
struct Written {
    /// What is needed.
    what: &'static str,
    /// The amounts.
    amounts: Vec<Figure>,
    /// The thinnest copper wire that will do.
    #[serde(skip_serializing_if = "Option::is_none")]
    wire: Option<&'static str>,
    /// The number in the survey of the thing that is to be moved.
    #[serde(skip_serializing_if = "Option::is_none")]
    item: Option<u32>,
}

impl Serialize for Need {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Written {
            what: self.name(),
            amounts: self.amounts(),
            wire: match self {
                Need::Circuit(it) => it.wire.map(Gauge::label),
                _ => None,
            },
            item: match self {
                Need::Move(it) => Some(it.item),
                _ => None,
            },
        }
        .serialize(serializer)
    }
}

impl JsonSchema for Need {
    fn schema_name() -> Cow<'static, str> {
        "Need".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Written::json_schema(generator)
    }
}
