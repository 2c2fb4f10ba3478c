//! How hot the attic feels to the one who crawls in it.
//!
//! # Units
//! Temperatures in °F, relative humidity in %.
//!
//! # Source
//! * US National Weather Service, Technical Attachment SR 90-23, with both adjustments, as printed by its
//!   Weather Prediction Center, "The Heat Index Equation" (www.wpc.ncep.noaa.gov/html/heatindex_equation.shtml;
//!   confirmed). The simple formula goes first;
//!   from 80 °F on the regression takes over.
//! * The regression is not valid beyond the data it was fitted to (the same page, confirmed). Its own adjustment ends
//!   at 112 °F, the printed chart at an index of 137 °F: hotter than either is told as *beyond*, never as a
//!   number (where the two ends lie is our judgement).
//! * Bands for work: US OSHA, "Using the Heat Index" (www.osha.gov/SLTC/heatillness/heat_index/using_heat_protect_workers.html;
//!   confirmed). Bands for the public: US National Weather Service (www.srh.noaa.gov/tsa/?n=heatindex;
//!   confirmed).

use crate::measure::{Humidity, Temperature};
use serde::Serialize;

/// The hottest air for which the index is a number.
pub const HOTTEST_AIR: Temperature = Temperature::from_f(112.0);
/// The highest index that is told as a number: the highest on the printed chart.
pub const HIGHEST_INDEX: Temperature = Temperature::from_f(137.0);

/// How hot it feels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeatIndex {
    /// As hot as air of this temperature in ordinary humidity.
    Index(Temperature),
    /// Beyond the equation's data: extreme, and no number.
    Beyond,
}

/// OSHA's bands for work by heat index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub enum WorkBand {
    /// Below 91 °F.
    #[serde(rename = "lower")]
    Lower,
    /// From 91 °F.
    #[serde(rename = "moderate")]
    Moderate,
    /// From 103 °F.
    #[serde(rename = "high")]
    High,
    /// Above 115 °F.
    #[serde(rename = "very high to extreme")]
    VeryHigh,
}

/// The National Weather Service's bands for the public by heat index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub enum PublicBand {
    /// Below 80 °F.
    #[serde(rename = "none")]
    None,
    /// From 80 °F.
    #[serde(rename = "caution")]
    Caution,
    /// From 90 °F.
    #[serde(rename = "extreme caution")]
    ExtremeCaution,
    /// From 103 °F.
    #[serde(rename = "danger")]
    Danger,
    /// From 125 °F.
    #[serde(rename = "extreme danger")]
    ExtremeDanger,
}

impl WorkBand {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            WorkBand::Lower => "lower",
            WorkBand::Moderate => "moderate",
            WorkBand::High => "high",
            WorkBand::VeryHigh => "very high to extreme",
        }
    }

    /// The band for heavy work: one higher.
    #[must_use]
    pub const fn heavy_work(self) -> WorkBand {
        match self {
            WorkBand::Lower => WorkBand::Moderate,
            WorkBand::Moderate => WorkBand::High,
            WorkBand::High | WorkBand::VeryHigh => WorkBand::VeryHigh,
        }
    }
}

impl PublicBand {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            PublicBand::None => "none",
            PublicBand::Caution => "caution",
            PublicBand::ExtremeCaution => "extreme caution",
            PublicBand::Danger => "danger",
            PublicBand::ExtremeDanger => "extreme danger",
        }
    }
}

/// The regression alone, without adjustments: what the printed chart shows.
///
/// # Examples
/// ```
/// use joistlight::measure::{Humidity, Temperature};
/// use joistlight::trade::heat_index::regression;
/// let bare = regression(Temperature::from_f(100.0), Humidity::from_percent(55.0));
/// assert_eq!(bare.f().round(), 124.0);
/// ```
pub fn regression(air: Temperature, humidity: Humidity) -> Temperature {
    let (t, r) = (air.f(), humidity.percent());
    Temperature::from_f(
        -42.379 + 2.049_015_23 * t + 10.143_331_27 * r
            - 0.224_755_41 * t * r
            - 6.837_83e-3 * t * t
            - 5.481_717e-2 * r * r
            + 1.228_74e-3 * t * t * r
            + 8.528_2e-4 * t * r * r
            - 1.99e-6 * t * t * r * r,
    )
}

/// What is added to the regression in dry air (below 13 %, 80 to 112 °F; negative) or in damp air (above 85 %,
/// 80 to 87 °F), in °F.
fn adjustment_f(air: Temperature, humidity: Humidity) -> f64 {
    let (t, r) = (air.f(), humidity.percent());
    if r < 13.0 && (80.0..=112.0).contains(&t) {
        -((13.0 - r) / 4.0) * ((17.0 - (t - 95.0).abs()) / 17.0).max(0.0).sqrt()
    } else if r > 85.0 && (80.0..=87.0).contains(&t) {
        ((r - 85.0) / 10.0) * ((87.0 - t) / 5.0)
    } else {
        0.0
    }
}

/// The heat index, or that it is beyond what the equation knows.
///
/// # Examples
/// ```
/// use joistlight::measure::{Humidity, Temperature};
/// use joistlight::trade::heat_index::{HeatIndex, heat_index};
/// let at = |f, rh| heat_index(Temperature::from_f(f), Humidity::from_percent(rh));
/// // 82 °F and 100 %: 96.04 °F with the adjustment; the printed chart, without it, has 95 (www.srh.noaa.gov/tsa/?n=heatindex).
/// let HeatIndex::Index(damp) = at(82.0, 100.0) else { panic!() };
/// assert!((damp.f() - 96.04).abs() < 0.005);
/// // A dry attic of 130 °F would come out at 138.84 °F: no number is given.
/// assert_eq!(at(130.0, 15.0), HeatIndex::Beyond);
/// ```
pub fn heat_index(air: Temperature, humidity: Humidity) -> HeatIndex {
    if air > HOTTEST_AIR {
        return HeatIndex::Beyond;
    }
    let (t, r) = (air.f(), humidity.percent());
    let simple = 0.5 * (t + 61.0 + 1.2 * (t - 68.0) + 0.094 * r);
    let index = if simple < 80.0 {
        simple
    } else {
        regression(air, humidity).f() + adjustment_f(air, humidity)
    };
    if index > HIGHEST_INDEX.f() {
        HeatIndex::Beyond
    } else {
        HeatIndex::Index(Temperature::from_f(index))
    }
}

/// The work band of a heat index.
///
/// # Examples
/// ```
/// use joistlight::measure::Temperature;
/// use joistlight::trade::heat_index::{HeatIndex, WorkBand, work_band};
/// assert_eq!(work_band(HeatIndex::Index(Temperature::from_f(90.9))), WorkBand::Lower);
/// assert_eq!(work_band(HeatIndex::Index(Temperature::from_f(103.0))), WorkBand::High);
/// assert_eq!(work_band(HeatIndex::Beyond), WorkBand::VeryHigh);
/// ```
pub fn work_band(index: HeatIndex) -> WorkBand {
    match index {
        HeatIndex::Index(it) if it.f() < 91.0 => WorkBand::Lower,
        HeatIndex::Index(it) if it.f() < 103.0 => WorkBand::Moderate,
        HeatIndex::Index(it) if it.f() <= 115.0 => WorkBand::High,
        _ => WorkBand::VeryHigh,
    }
}

/// The public band of a heat index.
///
/// # Examples
/// ```
/// use joistlight::measure::Temperature;
/// use joistlight::trade::heat_index::{HeatIndex, PublicBand, public_band};
/// assert_eq!(public_band(HeatIndex::Index(Temperature::from_f(103.0))), PublicBand::Danger);
/// ```
pub fn public_band(index: HeatIndex) -> PublicBand {
    match index {
        HeatIndex::Index(it) if it.f() < 80.0 => PublicBand::None,
        HeatIndex::Index(it) if it.f() < 90.0 => PublicBand::Caution,
        HeatIndex::Index(it) if it.f() < 103.0 => PublicBand::ExtremeCaution,
        HeatIndex::Index(it) if it.f() < 125.0 => PublicBand::Danger,
        _ => PublicBand::ExtremeDanger,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(f: f64, percent: f64) -> HeatIndex {
        heat_index(Temperature::from_f(f), Humidity::from_percent(percent))
    }

    fn number(f: f64, percent: f64) -> f64 {
        match at(f, percent) {
            HeatIndex::Index(it) => it.f(),
            HeatIndex::Beyond => panic!("{f} °F, {percent} %: beyond"),
        }
    }

    #[test]
    fn chart_cells_that_the_facts_print() {
        for (f, percent, printed) in [
            (90.0, 50.0, 95.0),
            (96.0, 65.0, 121.0),
            (100.0, 40.0, 109.0),
            (100.0, 55.0, 124.0),
            (104.0, 40.0, 119.0),
            (110.0, 40.0, 136.0),
            (86.0, 90.0, 105.0),
        ] {
            let bare = regression(Temperature::from_f(f), Humidity::from_percent(percent)).f();
            assert_eq!(bare.round(), printed, "{f} °F, {percent} %: {bare}");
        }
    }

    #[test]
    fn below_80_the_simple_formula_rules() {
        assert!((number(79.0, 70.0) - 79.89).abs() < 1e-9);
        assert!((number(70.0, 50.0) - 0.5 * (70.0 + 61.0 + 2.4 + 4.7)).abs() < 1e-9);
    }

    #[test]
    fn dry_air_feels_cooler_than_the_regression_says() {
        let bare = regression(Temperature::from_f(95.0), Humidity::from_percent(5.0)).f();
        assert!((number(95.0, 5.0) - (bare - 2.0)).abs() < 1e-9);
        // At 112 °F the adjustment has run out.
        let bare = regression(Temperature::from_f(112.0), Humidity::from_percent(5.0)).f();
        assert!((number(112.0, 5.0) - bare).abs() < 1e-9);
    }

    #[test]
    fn beyond_the_data_there_is_no_number() {
        assert_eq!(at(112.1, 1.0), HeatIndex::Beyond);
        assert_eq!(at(110.0, 45.0), HeatIndex::Beyond);
        assert_eq!(at(160.0, 10.0), HeatIndex::Beyond);
        assert_eq!(public_band(HeatIndex::Beyond), PublicBand::ExtremeDanger);
    }

    #[test]
    fn bands_meet_where_they_are_printed() {
        let band = |f| work_band(HeatIndex::Index(Temperature::from_f(f)));
        assert_eq!(
            [90.9, 91.0, 102.9, 103.0, 115.0, 115.1].map(band),
            [
                WorkBand::Lower,
                WorkBand::Moderate,
                WorkBand::Moderate,
                WorkBand::High,
                WorkBand::High,
                WorkBand::VeryHigh
            ]
        );
        assert_eq!(WorkBand::Moderate.heavy_work(), WorkBand::High);
        assert_eq!(WorkBand::VeryHigh.heavy_work(), WorkBand::VeryHigh);
        let public = |f| public_band(HeatIndex::Index(Temperature::from_f(f)));
        assert_eq!(
            [79.9, 80.0, 90.0, 103.0, 125.0].map(public),
            [
                PublicBand::None,
                PublicBand::Caution,
                PublicBand::ExtremeCaution,
                PublicBand::Danger,
                PublicBand::ExtremeDanger
            ]
        );
    }
}
