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
//! * Least draft of a gas flue by the temperature outdoors, and what carbon monoxide in it asks for: the same form
//!   (confirmed); between two of its temperatures the colder one's draft is asked for (derived).
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
use crate::measure::quantity::{Area, HeatRate, Pressure, Temperature, Volume};

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
    /// The row.
    pub row: Row,
    /// How sure it is.
    pub status: Status,
}

/// A row of the table of limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Row {
    /// −50 Pa.
    Sealed,
    /// −50 Pa.
    ChimneyTop,
    /// −15 Pa.
    PowerVented,
    /// −15 Pa.
    FanAlone,
    /// −3 Pa; not in the table: what shares its vent may have no fan.
    FanShared,
    /// −2 Pa.
    WaterHeater,
    /// −3 Pa.
    WithWaterHeater,
    /// −5 Pa.
    Furnace,
    /// −5 Pa.
    FurnaceWithDamper,
    /// −2 Pa; not in the table.
    AnotherNatural,
}

impl Row {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Row::Sealed => "sealed combustion",
            Row::ChimneyTop => "fan on top of the chimney",
            Row::PowerVented => "power-vented",
            Row::FanAlone => "fan-assisted, vented alone",
            Row::FanShared => "fan-assisted, sharing a vent",
            Row::WaterHeater => "natural-draft water heater, vented alone",
            Row::WithWaterHeater => "natural draft, sharing a vent with a water heater",
            Row::Furnace => "natural-draft furnace or boiler, vented alone",
            Row::FurnaceWithDamper => "natural-draft furnace or boiler with a vent damper",
            Row::AnotherNatural => "another natural-draft burner, by the strictest row",
        }
    }
}

/// The table of limits.
pub const LIMIT_SOURCE: Source = Source::confirmed(
    "BPI technical standard, depressurisation limits of the combustion appliance zone",
);

/// Where the table has no row: the strictest one that could apply.
pub const STRICTEST_ROW_SOURCE: Source = Source::derived(
    "BPI technical standard: an appliance that the table has no row for takes the strictest row that could apply",
);

/// The strictest limit of the table.
pub const STRICTEST: Pressure = Pressure::from_pa(-2.0);

/// How far below outdoors the house may be pulled for one appliance.
pub const fn limit(burner: Burner, flue: Flue, shared: bool) -> Limit {
    use Status::{Confirmed, Derived};
    let (pa, row, status) = match (flue, burner, shared) {
        (Flue::Sealed, ..) => (-50.0, Row::Sealed, Confirmed),
        (Flue::ChimneyTop, ..) => (-50.0, Row::ChimneyTop, Confirmed),
        (Flue::PowerVent, ..) => (-15.0, Row::PowerVented, Confirmed),
        (Flue::Induced, _, false) => (-15.0, Row::FanAlone, Confirmed),
        (Flue::Induced, _, true) => (-3.0, Row::FanShared, Derived),
        (Flue::Natural | Flue::NaturalDamper, Burner::WaterHeater, false) => {
            (-2.0, Row::WaterHeater, Confirmed)
        }
        (Flue::Natural | Flue::NaturalDamper, Burner::WaterHeater, true)
        | (Flue::Natural, Burner::FurnaceOrBoiler, true) => (-3.0, Row::WithWaterHeater, Confirmed),
        (Flue::Natural, Burner::FurnaceOrBoiler, false) => (-5.0, Row::Furnace, Confirmed),
        (Flue::NaturalDamper, Burner::FurnaceOrBoiler, _) => {
            (-5.0, Row::FurnaceWithDamper, Confirmed)
        }
        (Flue::Natural | Flue::NaturalDamper, Burner::Other, _) => {
            (-2.0, Row::AnotherNatural, Derived)
        }
    };
    Limit {
        pressure: Pressure::from_pa(pa),
        row,
        status,
    }
}

/// Least draft and what carbon monoxide asks for.
pub const DRAFT_SOURCE: Source = Source::confirmed(
    "Weatherization programme's form after the BPI technical standard: least draft by outdoor temperature, action levels of carbon monoxide",
);

/// From this temperature outdoors, °F, up to the next a gas flue must draw at least so much, Pa; below the first of them
/// [`LEAST_DRAFT_IN_FROST`].
const LEAST_DRAFT: [(f64, f64); 7] = [
    (20.0, -2.0),
    (40.0, -1.75),
    (50.0, -1.5),
    (60.0, -1.25),
    (70.0, -1.0),
    (80.0, -0.75),
    (90.0, -0.5),
];
const LEAST_DRAFT_IN_FROST: f64 = -2.5;

/// The draft that a gas flue must have at least, at this temperature outdoors, with everything against it running: the flue
/// against the room, below zero. The form has −2.5 Pa below 10 °F, then one for every ten degrees from 20 °F on, and −0.5 Pa above
/// 90 °F; between two of them the greater draft counts.
///
/// # Examples
/// ```
/// use joistlight::measure::Temperature;
/// use joistlight::trade::backdraft::least_draft;
/// assert_eq!(least_draft(Temperature::from_f(5.0)).pa(), -2.5);
/// assert_eq!(least_draft(Temperature::from_f(70.0)).pa(), -1.0);
/// assert_eq!(least_draft(Temperature::from_f(75.0)).pa(), -1.0);
/// assert_eq!(least_draft(Temperature::from_f(95.0)).pa(), -0.5);
/// ```
pub fn least_draft(outdoors: Temperature) -> Pressure {
    // At 90 °F itself the form still has 80's column; only above is less enough.
    let reached = |from: f64| {
        if from == 90.0 {
            outdoors.f() > from
        } else {
            outdoors.f() >= from
        }
    };
    let pa = LEAST_DRAFT
        .iter()
        .rev()
        .find(|(from, _)| reached(*from))
        .map_or(LEAST_DRAFT_IN_FROST, |(_, pa)| *pa);
    Pressure::from_pa(pa)
}

/// What carbon monoxide in a flue asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CarbonMonoxide {
    /// Work may go on.
    Proceed,
    /// Work may go on; a repair is advised.
    Repair,
    /// Work stops until it is repaired.
    Stop,
    /// Everybody leaves; an emergency.
    Emergency,
}

impl CarbonMonoxide {
    /// Up to so many ppm work goes on.
    pub const PROCEED: f64 = 25.0;
    /// Up to so many ppm it goes on with a repair advised.
    pub const REPAIR: f64 = 100.0;
    /// Up to so many ppm it stops; above it is an emergency.
    pub const STOP: f64 = 400.0;

    /// What so many ppm of it ask for.
    ///
    /// # Examples
    /// ```
    /// use joistlight::trade::backdraft::CarbonMonoxide;
    /// assert_eq!(CarbonMonoxide::of(25.0), CarbonMonoxide::Proceed);
    /// assert_eq!(CarbonMonoxide::of(26.0), CarbonMonoxide::Repair);
    /// assert_eq!(CarbonMonoxide::of(401.0), CarbonMonoxide::Emergency);
    /// ```
    pub fn of(ppm: f64) -> CarbonMonoxide {
        if ppm <= Self::PROCEED {
            CarbonMonoxide::Proceed
        } else if ppm <= Self::REPAIR {
            CarbonMonoxide::Repair
        } else if ppm <= Self::STOP {
            CarbonMonoxide::Stop
        } else {
            CarbonMonoxide::Emergency
        }
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
            // Building Performance Institute, technical standards, depressurization limits of the combustion appliance zone (confirmed rows).
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
    fn what_the_table_has_no_row_for_says_so() {
        for (burner, flue, shared, status) in [
            (Burner::WaterHeater, Flue::Natural, false, Status::Confirmed),
            (Burner::WaterHeater, Flue::Natural, true, Status::Confirmed),
            (
                Burner::FurnaceOrBoiler,
                Flue::Induced,
                false,
                Status::Confirmed,
            ),
            (
                Burner::FurnaceOrBoiler,
                Flue::Induced,
                true,
                Status::Derived,
            ),
            (Burner::Other, Flue::NaturalDamper, false, Status::Derived),
        ] {
            assert_eq!(
                limit(burner, flue, shared).status,
                status,
                "{burner:?} {flue:?}"
            );
        }
    }

    #[test]
    fn the_least_draft_is_that_of_the_form() {
        // Facts C3: <10 °F −2.5 Pa; 20 −2.0; 30 −2.0; 40 −1.75; 50 −1.5; 60 −1.25; 70 −1.0; 80 −0.75; >90 −0.5.
        let mut before = Pressure::from_pa(-2.5);
        for (f, pa) in [
            (9.9, -2.5),
            (15.0, -2.5),
            (20.0, -2.0),
            (30.0, -2.0),
            (40.0, -1.75),
            (50.0, -1.5),
            (60.0, -1.25),
            (70.0, -1.0),
            (80.0, -0.75),
            (90.0, -0.75),
            (90.1, -0.5),
        ] {
            let draft = least_draft(Temperature::from_f(f));
            assert_eq!(draft.pa(), pa, "{f} °F");
            assert!(draft >= before);
            before = draft;
        }
    }

    #[test]
    fn carbon_monoxide_asks_for_what_the_form_says() {
        // Facts C3: at most 25 ppm proceed, 26 to 100 repair, 100 to 400 stop, above 400 emergency.
        use CarbonMonoxide::{Emergency, Proceed, Repair, Stop};
        for (ppm, what) in [
            (0.0, Proceed),
            (25.0, Proceed),
            (26.0, Repair),
            (100.0, Repair),
            (101.0, Stop),
            (400.0, Stop),
            (401.0, Emergency),
        ] {
            assert_eq!(CarbonMonoxide::of(ppm), what, "{ppm}");
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
