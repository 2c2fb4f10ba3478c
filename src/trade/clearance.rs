//! How far wood must stay from what is hot: flues, chimneys, recessed lights, heating equipment.
//!
//! # Units
//! All as [`Length`]: bare distance from the outside of the thing to anything that burns.
//!
//! # Source
//! Each kind names its own in [`Hot::source`]. What is printed on the thing itself goes before every row; it can ask for
//! more here, never for less.
//!
//! # Examples
//! A factory-built chimney of 8 in, its middle 20 in off the middle of an opening of 24 in between trimmers of 1 1/2 in:
//! 2 1/2 in are left, which is enough, and one more trimmer takes it away.
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::clearance::Hot;
//! let trimmer = Length::sixteenths(24);
//! let left = |plies: i64| Length::inches(20 - 4 - 12) - trimmer * plies;
//! assert!(left(1) >= Hot::FactoryChimney.clearance());
//! assert!(left(2) < Hot::FactoryChimney.clearance());
//! ```

use super::source::Source;
use crate::measure::Length;

/// A kind of thing that wood must stay away from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Hot {
    /// A double-wall gas vent, type B.
    TypeB,
    /// A double-wall vent for oil or gas, type L.
    TypeL,
    /// A single-wall metal pipe from a gas appliance.
    SingleWall,
    /// A single-wall pipe from a stove that burns wood, pellets or coal.
    StovePipe,
    /// A factory-built chimney.
    FactoryChimney,
    /// A masonry chimney.
    Masonry,
    /// A plastic or concentric vent of a sealed or condensing appliance.
    PlasticVent,
    /// A flue whose kind nobody could tell.
    UnknownFlue,
    /// A recessed light, taken as one that insulation may not touch.
    RecessedLight,
    /// A furnace, water heater or other equipment that gives heat.
    Equipment,
}

impl Hot {
    /// All of them.
    pub const ALL: [Hot; 10] = [
        Hot::TypeB,
        Hot::TypeL,
        Hot::SingleWall,
        Hot::StovePipe,
        Hot::FactoryChimney,
        Hot::Masonry,
        Hot::PlasticVent,
        Hot::UnknownFlue,
        Hot::RecessedLight,
        Hot::Equipment,
    ];

    /// How far wood must stay away.
    pub const fn clearance(self) -> Length {
        match self {
            Hot::TypeB | Hot::PlasticVent => Length::inches(1),
            Hot::TypeL => Length::inches(9),
            Hot::SingleWall | Hot::Equipment => Length::inches(6),
            Hot::StovePipe | Hot::UnknownFlue => Length::inches(18),
            Hot::FactoryChimney | Hot::Masonry => Length::inches(2),
            Hot::RecessedLight => Length::sixteenths(8),
        }
    }

    /// Whether such a pipe may not be in an attic at all, whatever its distance from wood.
    pub const fn barred_from_attics(self) -> bool {
        matches!(self, Hot::SingleWall | Hot::StovePipe)
    }

    /// Where the distance comes from.
    pub const fn source(self) -> Source {
        match self {
            Hot::TypeB => Source::confirmed(
                "IRC M1804.2, G2426; IFGC 502; UL 441: type B vent, 1 in or as its label says",
            ),
            Hot::TypeL => Source::from_memory("UL 641; IFGC Table 503.10.5: type L vent, 9 in"),
            Hot::SingleWall => Source::confirmed(
                "IFGC 503.10.5, IRC G2427.10.5: single-wall pipe of a listed gas appliance, 6 in",
            ),
            Hot::StovePipe => {
                Source::confirmed("NFPA 211, IRC M1803.3.4: single-wall stovepipe, 18 in")
            }
            Hot::FactoryChimney => Source::confirmed(
                "UL 103; IRC R1005, M1805: factory-built chimney, 2 in or as its label says",
            ),
            Hot::Masonry => Source::confirmed("IRC R1003.18: masonry chimney, 2 in"),
            Hot::PlasticVent => {
                Source::from_memory("UL 1738: plastic vent, by the appliance's instructions; 1 in")
            }
            Hot::UnknownFlue => {
                Source::derived("a flue of a kind nobody could tell: the largest of all, 18 in")
            }
            Hot::RecessedLight => {
                Source::confirmed("NEC 410.116(A)(2): recessed light not marked IC, 1/2 in")
            }
            Hot::Equipment => Source::from_memory(
                "heating equipment, by its label (IRC M1305, M1306); 6 in until it is read",
            ),
        }
    }
}

/// The nearest that a smoke alarm may be to the fan's opening, edge to edge in plan: by analogy with the blades of a
/// ceiling fan (NFPA 72 29.8.3.4, 29.11.3.4 since 2019) and with return openings (A.17.7.4), and by the instructions of
/// listed alarms; no code names a whole-house fan's opening.
pub const ALARM_FROM_OPENING: Length = Length::inches(36);

/// Where that comes from.
pub const ALARM_SOURCE: Source = Source::derived(
    "NFPA 72 29.11.3.4 (29.8.3.4 before 2019): alarms 36 in from a ceiling fan's blades; for the fan's opening by analogy, as listed alarms' instructions have it",
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_says_how_far_and_whence() {
        for hot in Hot::ALL {
            assert!(hot.clearance() > Length::ZERO, "{hot:?}");
            assert!(hot.clearance() <= Hot::UnknownFlue.clearance(), "{hot:?}");
            assert!(!hot.source().cite.is_empty());
        }
    }
}
