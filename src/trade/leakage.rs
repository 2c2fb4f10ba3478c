//! How leaky a house is, and how much air an attic under pressure sends back through the ceiling.
//!
//! # Units
//! Airflow at 50 Pa, air changes an hour at 50 Pa, volumes and pressures in; airflows and vent areas out.
//!
//! # Source
//! * The power law `Q = C·Δpⁿ`, n = 0.65: 12,902 US houses have a mean exponent of 0.649 (Lawrence Berkeley National
//!   Laboratory, in Home Energy magazine; confirmed).
//! * Houses by age, air changes an hour at 50 Pa: 7 by IECC 2009, 3 by IECC 2012 and 2015 in zones 3 to 8 (confirmed);
//!   5 to 10 for 1980 to 2010 and 10 to 30 before are read off the same 12,902 houses, whose mean is 29.7 (derived).
//! * A quarter of a house's leaks lie between rooms and attic, 10 to 40 % (from memory).
//!
//! # Examples
//! A house of 12,800 ft³ at 7 air changes an hour: a quarter of its leaks pass 234 cfm at 24.3 Pa.
//! ```
//! use joistlight::measure::{Airflow, Pressure};
//! use joistlight::trade::leakage::Leak;
//! let house = Leak::of_cfm50(Airflow::from_cfm(12_800.0 * 7.0 / 60.0));
//! let back = house.share(0.25).at(Pressure::from_pa(24.33));
//! assert!((back.cfm() - 233.8).abs() < 0.2, "{back}");
//! ```

use super::opening::{Discharge, area_for, standard_air};
use super::source::Source;
use crate::measure::quantity::{AirChanges, Airflow, Area, Pressure, Volume};

/// Where the power law and the usual leakage come from.
pub const LEAK_SOURCE: Source = Source::confirmed(
    "Lawrence Berkeley National Laboratory, 12,902 US houses (Home Energy magazine): leakage by the power law, mean exponent 0.65",
);
/// Where the ceiling's share comes from.
pub const CEILING_SOURCE: Source =
    Source::from_memory("A quarter of a house's leaks lie between rooms and attic (10 to 40 %)");

/// The share of a house's leaks that lies in its top ceilings.
pub const CEILING_SHARE: f64 = 0.25;

const EXPONENT: f64 = 0.65;
const TEST: Pressure = Pressure::from_pa(50.0);

/// Cracks by the power law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leak {
    at_test: Airflow,
}

impl Leak {
    /// Cracks that pass this airflow at 50 Pa, as a blower door reads it.
    pub const fn of_cfm50(at_test: Airflow) -> Leak {
        Leak { at_test }
    }

    /// A part of these cracks.
    #[must_use]
    pub fn share(self, share: f64) -> Leak {
        Leak {
            at_test: self.at_test * share,
        }
    }

    /// What passes at a pressure, whatever its sign.
    pub fn at(self, across: Pressure) -> Airflow {
        self.at_test * (across.pa().abs() / TEST.pa()).powf(EXPONENT)
    }

    /// The exponent of the power law.
    pub const fn exponent(self) -> f64 {
        EXPONENT
    }

    /// What passes at 50 Pa.
    pub const fn cfm50(self) -> Airflow {
        self.at_test
    }
}

/// Air changes an hour at 50 Pa, at most, of a house that nobody tested, by the year it was built.
///
/// # Examples
/// ```
/// use joistlight::trade::leakage::usual_leakage;
/// assert_eq!(usual_leakage(Some(2018)).per_hour(), 5.0);
/// assert_eq!(usual_leakage(Some(1984)).per_hour(), 10.0);
/// assert_eq!(usual_leakage(None).per_hour(), 30.0);
/// ```
pub fn usual_leakage(built: Option<u32>) -> AirChanges {
    AirChanges::from_per_hour(match built {
        Some(2011..) => 5.0,
        Some(1980..) => 10.0,
        _ => 30.0,
    })
}

/// The leaks of a house of this volume at so many air changes an hour at 50 Pa.
pub fn leaks(volume: Volume, at_test: AirChanges) -> Leak {
    Leak::of_cfm50(volume * at_test)
}

/// The net free vent area that keeps an attic at or under a pressure while so much air goes into it.
///
/// # Examples
/// 2400 cfm: 24.2 Pa at the 3.2 ft² of the usual rule, 7.05 ft² for 5 Pa.
/// ```
/// use joistlight::measure::{Airflow, Pressure};
/// use joistlight::trade::leakage::vents_for;
/// let vents = |pa| vents_for(Airflow::from_cfm(2400.0), Pressure::from_pa(pa)).ft2();
/// assert!((vents(10.0) - 4.99).abs() < 0.01);
/// assert!((vents(5.0) - 7.05).abs() < 0.01);
/// assert!((vents(2.0) - 11.15).abs() < 0.02);
/// assert!((vents(1.0) - 15.76).abs() < 0.02);
/// ```
pub fn vents_for(airflow: Airflow, at_most: Pressure) -> Area {
    area_for(Discharge::SHARP_EDGE, airflow, at_most, standard_air())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter of the leaks of 12,800 ft³ at 24.33 Pa, by air changes an hour at 50 Pa (derived in Python).
    #[test]
    fn leaks_rise_with_the_air_changes() {
        for (changes, cfm) in [
            (3.0, 100.2),
            (5.0, 167.0),
            (10.0, 333.9),
            (15.0, 500.9),
            (20.0, 667.9),
            (29.7, 991.8),
        ] {
            let house = leaks(
                Volume::from_ft3(12_800.0),
                AirChanges::from_per_hour(changes),
            );
            let back = house.share(CEILING_SHARE).at(Pressure::from_pa(24.33));
            assert!((back.cfm() - cfm).abs() < 0.1, "{changes}: {back}");
        }
    }
}
