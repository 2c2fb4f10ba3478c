//! What a survey makes of a house, solved once for all rules: no judgement yet.
//!
//! * [`scene`] — hall, joists, roof and what stands in the way over one spot, in one frame.
//! * [`air`] — rooms, windows, vents and flames as the air finds them.
//! * [`inlets`] — each room's windows behind its door, in still air and in wind.
//! * [`settled`] — every room's pressure and airflow, the ceiling's leaks included.
//! * [`answers`] — which answers a part comes from, given and missing.

pub mod air;
pub mod answers;
pub mod inlets;
pub mod scene;
pub mod settled;

use crate::survey::{Spot, Survey};
use crate::trade::codes::Codes;
use crate::trade::fan::Fan;
use air::HouseAir;
use inlets::Inlets;
use scene::{Placed, Scene};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Whether joists are cut for the opening.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Framing {
    /// Joists are cut and headed; the opening is clear.
    #[serde(rename = "joists cut and headed")]
    Cut,
    /// Joists are left whole; the fan stands over them.
    #[serde(rename = "joists left whole")]
    Whole,
}

impl Framing {
    /// Both, in the order in which they are tried.
    pub const ALL: [Framing; 2] = [Framing::Cut, Framing::Whole];

    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Framing::Cut => "joists cut and headed",
            Framing::Whole => "joists left whole",
        }
    }
}

/// What a rule about the whole house sees.
#[derive(Debug, Clone, Copy)]
pub struct House<'a> {
    /// The survey.
    pub survey: &'a Survey,
    /// The editions of the codes.
    pub codes: &'a Codes,
    /// The air side, added up.
    pub air: &'a HouseAir,
}

/// What a rule about one spot sees.
#[derive(Debug, Clone, Copy)]
pub struct AtSpot<'a> {
    /// The house.
    pub house: House<'a>,
    /// The spot.
    pub spot: &'a Spot,
    /// The spot in the mark's frame, with what is known of each of its parts.
    pub scene: &'a Scene,
    /// What lets air into its hall.
    pub inlets: &'a Inlets,
}

/// What a rule about a fan and a way of framing sees.
#[derive(Debug, Clone, Copy)]
pub struct WithFan<'a> {
    /// The spot and its house.
    pub at: AtSpot<'a>,
    /// The fan.
    pub fan: &'a Fan,
    /// Cut or left whole.
    pub framing: Framing,
    /// Where the opening goes.
    pub place: &'a Placed,
}
