//! How much air a house needs for fan cooling.
//!
//! # Units
//! Floor areas and ceiling heights in; airflow and air changes an hour out.
//!
//! # Source
//! * 30 to 60 air changes an hour, `cfm = floor area × height × changes / 60`: US DOE consumer guidance; the
//!   same range in US Navy MO-114 vol. 3 §5.1 (confirmed).
//! * One change a minute as the upper bound: University of Missouri Extension, "Sizing attic and window fans"
//!   (confirmed).
//! * cfm for each ft² of floor: California Title 24 Part 6, 2013: 2; §150.1(c)12 of 2016 and later: 1.5; climate
//!   zones 8–14, dwellings over 500 ft² (all from memory). About 2–3 by the trade body's guidance (from memory).
//!
//! The two bases differ by a factor of 2.7 to 5.3, so that every figure names its basis.
//!
//! # Examples
//! The extension sheet's own: 30 ft × 50 ft × 8 ft, changed once a minute, is 12,000 cfm.
//! ```
//! use joistlight::measure::{Area, Length};
//! use joistlight::trade::airflow::{MOST_CHANGES, airflow_for, volume};
//! let house = volume([(Area::from_ft2(30.0 * 50.0), Length::feet(8))]);
//! assert_eq!(house.ft3(), 12_000.0);
//! assert_eq!(airflow_for(house, MOST_CHANGES).cfm(), 12_000.0);
//! ```

use super::codes::Energy;
use super::source::Source;
use crate::measure::Length;
use crate::measure::quantity::{AirChanges, Airflow, Area, Speed, Volume};

/// The fewest air changes at which a fan cools a house.
pub const LEAST_CHANGES: AirChanges = AirChanges::from_per_hour(30.0);
/// The most that are of use: one a minute.
pub const MOST_CHANGES: AirChanges = AirChanges::from_per_hour(60.0);

/// Where the air changes come from.
pub const CHANGES_SOURCE: Source = Source::confirmed(
    "US DOE consumer guidance on whole-house fans: 30 to 60 air changes an hour; US Navy MO-114 vol. 3 §5.1",
);

/// The conditioned volume: floor area times height, summed over the storeys.
pub fn volume(storeys: impl IntoIterator<Item = (Area, Length)>) -> Volume {
    storeys
        .into_iter()
        .map(|(floor, height)| floor * height)
        .sum()
}

/// The airflow that changes a volume so often.
///
/// # Examples
/// 1600 ft² × 8 ft at 30 an hour:
/// ```
/// use joistlight::measure::Volume;
/// use joistlight::trade::airflow::{LEAST_CHANGES, airflow_for};
/// assert_eq!(airflow_for(Volume::from_ft3(12_800.0), LEAST_CHANGES).cfm(), 6400.0);
/// ```
pub fn airflow_for(volume: Volume, changes: AirChanges) -> Airflow {
    volume * changes
}

/// How often an airflow changes a volume; `None` for a house of no volume.
///
/// # Examples
/// 1.5 cfm for each ft² under an 8 ft ceiling is 11.25 changes an hour:
/// ```
/// use joistlight::measure::{Airflow, Volume};
/// use joistlight::trade::airflow::air_changes;
/// let changes = air_changes(Volume::from_ft3(12_800.0), Airflow::from_cfm(2400.0)).unwrap();
/// assert_eq!(changes.per_hour(), 11.25);
/// ```
pub fn air_changes(volume: Volume, airflow: Airflow) -> Option<AirChanges> {
    (volume.ft3() > 0.0).then(|| airflow / volume)
}

/// What an energy code asks of a whole-house fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyRule {
    /// Airflow for each area of conditioned floor: cfm for each ft².
    pub per_floor: Speed,
    /// Attic vents: airflow for each area of net free vent, cfm for each ft².
    pub per_vent: Speed,
    /// The climate zones in which it asks for a fan, the first and the last.
    pub zones: (u32, u32),
    /// Dwellings up to this floor are exempt.
    pub exempt_floor: Area,
    /// The edition.
    pub source: Source,
}

/// What an energy code asks; `None` where none is in force.
pub const fn energy_rule(energy: Energy) -> Option<EnergyRule> {
    let (per_floor, per_vent, source) = match energy {
        Energy::None => return None,
        Energy::California2013 => (
            2.0,
            375.0,
            Source::from_memory(
                "California Title 24 Part 6, 2013: 2 cfm/ft², 1 ft² of vent per 375 cfm",
            ),
        ),
        Energy::California2016 => (
            1.5,
            750.0,
            Source::from_memory(
                "California Title 24 Part 6 §150.1(c)12, 2016 to 2025: 1.5 cfm/ft², 1 ft² of vent per 750 cfm",
            ),
        ),
    };
    Some(EnergyRule {
        per_floor: Speed::from_fpm(per_floor),
        per_vent: Speed::from_fpm(per_vent),
        zones: (8, 14),
        exempt_floor: Area::from_ft2(500.0),
        source,
    })
}

impl EnergyRule {
    /// The airflow for a floor, where the code asks for a fan in this zone and for this floor.
    ///
    /// # Examples
    /// ```
    /// use joistlight::measure::Area;
    /// use joistlight::trade::airflow::energy_rule;
    /// use joistlight::trade::codes::Energy;
    /// let rule = energy_rule(Energy::California2016).unwrap();
    /// assert_eq!(rule.airflow(Area::from_ft2(1600.0), 12).unwrap().cfm(), 2400.0);
    /// assert_eq!(rule.airflow(Area::from_ft2(500.0), 12), None);
    /// assert_eq!(rule.airflow(Area::from_ft2(1600.0), 3), None);
    /// ```
    pub fn airflow(&self, floor: Area, zone: u32) -> Option<Airflow> {
        let asks = self.zones.0 <= zone && zone <= self.zones.1 && floor > self.exempt_floor;
        asks.then(|| self.per_floor * floor)
    }
}

/// The trade body's rule of thumb, cfm for each ft² of floor under an 8 ft ceiling: about 2 to 3 (from memory).
pub const THUMB_PER_FLOOR: (Speed, Speed) = (Speed::from_fpm(2.0), Speed::from_fpm(3.0));

/// Open window area that the extension sheet asks for the flow alone: 1 ft² per 1000 cfm, twice that with insect
/// screens (University of Missouri Extension, confirmed). It is no rule for flames: see
/// [`backdraft`](super::backdraft).
///
/// # Examples
/// ```
/// use joistlight::measure::Airflow;
/// use joistlight::trade::airflow::windows_for_flow;
/// assert_eq!(windows_for_flow(Airflow::from_cfm(12_000.0), false).ft2(), 12.0);
/// assert_eq!(windows_for_flow(Airflow::from_cfm(12_000.0), true).ft2(), 24.0);
/// ```
pub fn windows_for_flow(airflow: Airflow, screened: bool) -> Area {
    let open = airflow / Speed::from_fpm(1000.0);
    if screened { open * 2.0 } else { open }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_bases_differ_as_the_sheet_warns() {
        let floor = Area::from_ft2(1600.0);
        let house = volume([(floor, Length::feet(8))]);
        assert_eq!(airflow_for(house, LEAST_CHANGES).cfm(), 6400.0);
        assert_eq!(airflow_for(house, MOST_CHANGES).cfm(), 12_800.0);
        let rule = energy_rule(Energy::California2016).unwrap();
        let by_floor = rule.airflow(floor, 12).unwrap();
        assert_eq!(by_floor.cfm(), 2400.0);
        let ratios = [
            airflow_for(house, LEAST_CHANGES) / by_floor,
            airflow_for(house, MOST_CHANGES) / by_floor,
        ];
        assert!((ratios[0] - 2.667).abs() < 1e-3 && (ratios[1] - 5.333).abs() < 1e-3);
    }

    #[test]
    fn the_california_figures_changed_between_2013_and_2016() {
        let old = energy_rule(Energy::California2013).unwrap();
        let new = energy_rule(Energy::California2016).unwrap();
        assert_eq!((old.per_floor.fpm(), new.per_floor.fpm()), (2.0, 1.5));
        assert_eq!((old.per_vent.fpm(), new.per_vent.fpm()), (375.0, 750.0));
        assert_eq!(energy_rule(Energy::None), None);
    }

    #[test]
    fn storeys_are_summed_and_an_empty_house_has_no_air_changes() {
        let two = volume([
            (Area::from_ft2(900.0), Length::feet(9)),
            (Area::from_ft2(700.0), Length::feet(8)),
        ]);
        assert_eq!(two.ft3(), 13_700.0);
        assert_eq!(air_changes(Volume::ZERO, Airflow::from_cfm(1.0)), None);
        assert_eq!(volume([]).ft3(), 0.0);
    }
}
