//! Backdraft: how far below outdoors a house may be pulled before a flue runs backwards.
//!
//! # Units
//! Limits in Pa against outdoors, below zero; heat inputs in Btu/h.
//!
//! # Source
//! * Limits: the building performance institute's table of the appliance zone, as restated on a public
//!   weatherization programme's form (confirmed). Where the form gives "commonly vented" twice, −3 Pa governs.
//! * What the table has no row for (another natural-draft burner; a fan-assisted one that shares a vent) takes the
//!   strictest row that could apply (derived).
//! * Combustion air: IFGC 304, IRC G2407 and M1702 (confirmed; the single opening from a manual's table).
//!
//! The spillage test of the fuel-gas codes (IFGC/IRC appendix D) is made with every exhaust running *but* a summer
//! exhaust fan, so that passing it says nothing about this one.
//!
//! # Examples
//! ```
//! use joistlight::trade::backdraft::{Burner, Flue, limit};
//! assert_eq!(limit(Burner::WaterHeater, Flue::Natural, false).pressure.pa(), -2.0);
//! assert_eq!(limit(Burner::WaterHeater, Flue::Natural, true).pressure.pa(), -3.0);
//! assert_eq!(limit(Burner::FurnaceOrBoiler, Flue::Sealed, false).pressure.pa(), -50.0);
//! ```

use super::source::{Source, Status};
use crate::measure::quantity::{Area, HeatRate, Pressure, Volume};

/// What burns, as far as the limits tell it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Burner {
    /// A water heater.
    WaterHeater,
    /// A furnace or boiler.
    FurnaceOrBoiler,
    /// Anything else.
    Other,
}

/// How its burnt gas leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flue {
    /// By its own heat alone.
    Natural,
    /// By its own heat, with a damper in the vent.
    NaturalDamper,
    /// With a fan at the appliance that draws it through.
    Induced,
    /// With a fan that blows it out.
    PowerVent,
    /// With a fan on top of the chimney.
    ChimneyTop,
    /// Sealed from the room.
    Sealed,
}

/// A limit and the row it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// The house may not be further below outdoors than this; below zero.
    pub pressure: Pressure,
    /// The row, in English; a key for translations.
    pub row: &'static str,
    /// How sure it is.
    pub status: Status,
}

/// The table of limits.
pub const LIMIT_SOURCE: Source = Source::confirmed(
    "BPI technical standard, depressurisation limits of the combustion appliance zone",
);

/// The strictest limit of the table.
pub const STRICTEST: Pressure = Pressure::from_pa(-2.0);

/// How far below outdoors the house may be pulled for one appliance.
pub const fn limit(burner: Burner, flue: Flue, shared: bool) -> Limit {
    use Status::{Confirmed, Derived};
    let (pa, row, status) = match (flue, burner, shared) {
        (Flue::Sealed, ..) => (-50.0, "sealed combustion", Confirmed),
        (Flue::ChimneyTop, ..) => (-50.0, "fan on top of the chimney", Confirmed),
        (Flue::PowerVent, ..) => (-15.0, "power-vented", Confirmed),
        (Flue::Induced, _, false) => (-15.0, "fan-assisted, vented alone", Confirmed),
        (Flue::Induced, _, true) => (-3.0, "fan-assisted, sharing a vent", Derived),
        (Flue::Natural | Flue::NaturalDamper, Burner::WaterHeater, false) => {
            (-2.0, "natural-draft water heater, vented alone", Confirmed)
        }
        (Flue::Natural | Flue::NaturalDamper, Burner::WaterHeater, true) => (
            -3.0,
            "natural draft, sharing a vent with a water heater",
            Confirmed,
        ),
        (Flue::Natural, Burner::FurnaceOrBoiler, true) => (
            -3.0,
            "natural draft, sharing a vent with a water heater",
            Confirmed,
        ),
        (Flue::Natural, Burner::FurnaceOrBoiler, false) => (
            -5.0,
            "natural-draft furnace or boiler, vented alone",
            Confirmed,
        ),
        (Flue::NaturalDamper, Burner::FurnaceOrBoiler, _) => (
            -5.0,
            "natural-draft furnace or boiler with a vent damper",
            Confirmed,
        ),
        (Flue::Natural | Flue::NaturalDamper, Burner::Other, _) => (
            -2.0,
            "another natural-draft burner, by the strictest row",
            Derived,
        ),
    };
    Limit {
        pressure: Pressure::from_pa(pa),
        row,
        status,
    }
}

/// Vent area of ducts that bring combustion air from outdoors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutdoorAir {
    /// Each of two upright ducts or direct openings: 1 in² for 4000 Btu/h.
    pub upright_each: Area,
    /// Each of two level ducts: 1 in² for 2000 Btu/h.
    pub level_each: Area,
    /// One single opening: 1 in² for 3000 Btu/h.
    pub single: Area,
}

/// What brings combustion air from outdoors for a heat input (IFGC 304, IRC G2407).
///
/// # Examples
/// ```
/// use joistlight::measure::HeatRate;
/// use joistlight::trade::backdraft::outdoor_air;
/// let air = outdoor_air(HeatRate::from_btu_per_h(40_000.0));
/// assert_eq!(air.upright_each.in2().round(), 10.0);
/// assert_eq!(air.level_each.in2().round(), 20.0);
/// ```
pub fn outdoor_air(heat_input: HeatRate) -> OutdoorAir {
    let each = |btu_per_in2: f64| Area::from_in2(heat_input.btu_per_h() / btu_per_in2);
    OutdoorAir {
        upright_each: each(4000.0),
        level_each: each(2000.0),
        single: each(3000.0),
    }
}

/// The volume of rooms that gives combustion air enough by the standard method: 50 ft³ for 1000 Btu/h.
///
/// # Examples
/// A teaching sheet's own: 80,000 Btu/h need 4000 ft³.
/// ```
/// use joistlight::measure::HeatRate;
/// use joistlight::trade::backdraft::indoor_volume;
/// assert_eq!(indoor_volume(HeatRate::from_btu_per_h(80_000.0)).ft3(), 4000.0);
/// ```
pub fn indoor_volume(heat_input: HeatRate) -> Volume {
    Volume::from_ft3(heat_input.btu_per_h() / 1000.0 * 50.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_of_limits() {
        use Burner::{FurnaceOrBoiler, Other, WaterHeater};
        for (burner, flue, shared, pa) in [
            // facts C3, confirmed rows.
            (WaterHeater, Flue::Natural, false, -2.0),
            (FurnaceOrBoiler, Flue::Natural, true, -3.0),
            (WaterHeater, Flue::Natural, true, -3.0),
            (FurnaceOrBoiler, Flue::NaturalDamper, true, -5.0),
            (FurnaceOrBoiler, Flue::Natural, false, -5.0),
            (FurnaceOrBoiler, Flue::Induced, false, -15.0),
            (WaterHeater, Flue::Induced, false, -15.0),
            (WaterHeater, Flue::PowerVent, false, -15.0),
            (FurnaceOrBoiler, Flue::Sealed, false, -50.0),
            (FurnaceOrBoiler, Flue::ChimneyTop, true, -50.0),
            // Read strictly.
            (FurnaceOrBoiler, Flue::Induced, true, -3.0),
            (Other, Flue::Natural, false, -2.0),
        ] {
            assert_eq!(
                limit(burner, flue, shared).pressure.pa(),
                pa,
                "{burner:?} {flue:?} {shared}"
            );
        }
    }

    #[test]
    fn no_row_is_stricter_than_the_strictest() {
        for burner in [Burner::WaterHeater, Burner::FurnaceOrBoiler, Burner::Other] {
            for flue in [
                Flue::Natural,
                Flue::NaturalDamper,
                Flue::Induced,
                Flue::PowerVent,
                Flue::ChimneyTop,
                Flue::Sealed,
            ] {
                for shared in [false, true] {
                    assert!(limit(burner, flue, shared).pressure <= STRICTEST);
                }
            }
        }
    }
}
