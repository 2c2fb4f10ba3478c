//! Flow through an opening, and the density of the air that flows.
//!
//! # Units
//! Area in, airflow and pressure out; density from height above the sea and temperature. Inside, SI.
//!
//! # Source
//! * Orifice equation `Q = Cd·A·√(2·Δp/ρ)`: ASHRAE Fundamentals, ventilation and infiltration (the form from
//!   memory, its constant derived). In standard air `Q[cfm] = 4005·Cd·A[ft²]·√(Δp[in.wg])`, the rounded form
//!   of 4008.6 (confirmed).
//! * Standard atmosphere: U.S. Standard Atmosphere 1976 below 11 km (derived; its own constants).
//! * Discharge coefficients: E3S Web of Conferences 396, 02030 (2023) (confirmed).
//!
//! # Examples
//! One square foot of sharp-edged opening passes 760 cfm at 24.9 Pa (0.1 in of water):
//! ```
//! use joistlight::measure::{Area, Pressure};
//! use joistlight::trade::opening::{Discharge, flow, standard_air};
//! let cfm = flow(Discharge::SHARP_EDGE, Area::from_ft2(1.0), Pressure::from_pa(24.9), standard_air()).cfm();
//! assert!((cfm - 760.4).abs() < 0.2, "{cfm}");
//! ```

use crate::measure::quantity::{Airflow, Altitude, Area, Density, Pressure, Temperature};

/// The share of the ideal flow that passes an opening: contraction and friction together.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Discharge(f64);

impl Discharge {
    /// A plain window or another sharp edge: 0.60 (to 0.65), confirmed.
    pub const SHARP_EDGE: Discharge = Discharge(0.60);
    /// The upper end of what is reported for a sharp edge, confirmed.
    pub const SHARP_EDGE_HIGH: Discharge = Discharge(0.65);
    /// Louvre blades that stand level with the flow, confirmed.
    pub const LOUVRE_0: Discharge = Discharge(0.80);
    /// Louvre blades at 15°, confirmed.
    pub const LOUVRE_15: Discharge = Discharge(0.62);
    /// Louvre blades at 30°, confirmed.
    pub const LOUVRE_30: Discharge = Discharge(0.41);
    /// No contraction and no loss but the speed itself.
    pub const IDEAL: Discharge = Discharge(1.0);

    /// A coefficient; `None` unless it lies above 0 and at most at 1.
    pub fn new(coefficient: f64) -> Option<Self> {
        (coefficient > 0.0 && coefficient <= 1.0).then_some(Discharge(coefficient))
    }

    /// The bare ratio.
    pub const fn ratio(self) -> f64 {
        self.0
    }
}

/// The air for which fans are rated: 0.075 lb/ft³ (1.2014 kg/m³).
pub const fn standard_air() -> Density {
    Density::from_lb_per_ft3(0.075)
}

/// Airflow through an opening under a difference of pressure (its sign does not matter).
pub fn flow(discharge: Discharge, area: Area, across: Pressure, air: Density) -> Airflow {
    let speed = (2.0 * across.pa().abs() / air.kg_per_m3()).sqrt();
    Airflow::from_m3_per_s(discharge.0 * area.m2() * speed)
}

/// The difference of pressure that drives an airflow through an opening; endless for an opening of no area.
///
/// # Examples
/// 750 cfm through a square foot, the usual rule for attic vents, costs 24.2 Pa, about the 0.1 in of water
/// at which fans are rated:
/// ```
/// use joistlight::measure::{Airflow, Area};
/// use joistlight::trade::opening::{Discharge, pressure_across, standard_air};
/// let pa = pressure_across(Discharge::SHARP_EDGE, Area::from_ft2(1.0), Airflow::from_cfm(750.0), standard_air()).pa();
/// assert!((pa - 24.2).abs() < 0.05, "{pa}");
/// ```
pub fn pressure_across(
    discharge: Discharge,
    area: Area,
    airflow: Airflow,
    air: Density,
) -> Pressure {
    if airflow.cfm() == 0.0 {
        return Pressure::ZERO;
    }
    let speed = airflow.m3_per_s() / (discharge.0 * area.m2());
    Pressure::from_pa(0.5 * air.kg_per_m3() * speed * speed)
}

/// The area that an airflow needs so that no more than a difference of pressure is lost in it.
///
/// # Examples
/// 4000 cfm through windows with no more than 2 Pa below outdoors needs 18.6 ft²:
/// ```
/// use joistlight::measure::{Airflow, Pressure};
/// use joistlight::trade::opening::{Discharge, area_for, standard_air};
/// let ft2 = area_for(Discharge::SHARP_EDGE, Airflow::from_cfm(4000.0), Pressure::from_pa(2.0), standard_air()).ft2();
/// assert!((ft2 - 18.58).abs() < 0.02, "{ft2}");
/// ```
pub fn area_for(discharge: Discharge, airflow: Airflow, across: Pressure, air: Density) -> Area {
    let speed = (2.0 * across.pa().abs() / air.kg_per_m3()).sqrt();
    Area::from_m2(airflow.m3_per_s() / (discharge.0 * speed))
}

/// Gas constant of dry air, J/(kg·K): 8314.32/28.9644 of the standard atmosphere.
const GAS_CONSTANT: f64 = 8314.32 / 28.9644;
/// Sea-level temperature of the standard atmosphere, K.
const SEA_LEVEL_K: f64 = 288.15;
/// Fall of temperature with height, K/m.
const LAPSE: f64 = 0.0065;

/// Geopotential metres for a height above the sea.
fn geopotential(altitude: Altitude) -> f64 {
    const EARTH_RADIUS_M: f64 = 6_356_766.0;
    let z = altitude.m();
    EARTH_RADIUS_M * z / (EARTH_RADIUS_M + z)
}

/// Pressure of the standard atmosphere at a height above the sea.
///
/// # Examples
/// ```
/// use joistlight::measure::Altitude;
/// use joistlight::trade::opening::standard_pressure;
/// assert_eq!(standard_pressure(Altitude::from_ft(0.0)).pa(), 101_325.0);
/// ```
pub fn standard_pressure(altitude: Altitude) -> Pressure {
    let kelvin = SEA_LEVEL_K - LAPSE * geopotential(altitude);
    let exponent = 9.80665 / (GAS_CONSTANT * LAPSE);
    Pressure::from_pa(101_325.0 * (kelvin / SEA_LEVEL_K).powf(exponent))
}

/// Density of dry air at a height above the sea and at a temperature.
///
/// # Examples
/// Air at 70 °F at sea level is the 0.075 lb/ft³ of fan ratings:
/// ```
/// use joistlight::measure::{Altitude, Temperature};
/// use joistlight::trade::opening::air_density;
/// let air = air_density(Altitude::from_ft(0.0), Temperature::from_f(70.0));
/// assert!((air.lb_per_ft3() - 0.075).abs() < 2e-4);
/// ```
pub fn air_density(altitude: Altitude, temperature: Temperature) -> Density {
    let pa = standard_pressure(altitude).pa();
    Density::from_kg_per_m3(pa / (GAS_CONSTANT * temperature.k()))
}

/// Density of the standard atmosphere, whose temperature falls with height.
///
/// # Examples
/// At 5000 ft air has 1.0556 kg/m³:
/// ```
/// use joistlight::measure::Altitude;
/// use joistlight::trade::opening::standard_density;
/// assert!((standard_density(Altitude::from_ft(5000.0)).kg_per_m3() - 1.0556).abs() < 5e-5);
/// ```
pub fn standard_density(altitude: Altitude) -> Density {
    let kelvin = SEA_LEVEL_K - LAPSE * geopotential(altitude);
    air_density(altitude, Temperature::from_k(kelvin))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::quantity::Speed;

    fn drop_at(fpm: f64, cd: f64) -> Pressure {
        let area = Area::from_ft2(1.0);
        let cd = Discharge::new(cd).unwrap();
        pressure_across(cd, area, Speed::from_fpm(fpm) * area, standard_air())
    }

    #[test]
    fn the_rules_of_thumb_mean_these_pressures() {
        // Derived with `fluids.core.dP_from_K` (PyPI fluids 1.3.1, K = 1/Cd²): net-area speed against Cd 0.60, 0.65 and 1.0.
        for (fpm, pa) in [
            (375.0, [6.06, 5.16, 2.18]),
            (500.0, [10.77, 9.17, 3.88]),
            (750.0, [24.2, 20.6, 8.72]),
            (1000.0, [43.1, 36.7, 15.5]),
        ] {
            for (cd, pa) in [0.60, 0.65, 1.0].into_iter().zip(pa) {
                let ours = drop_at(fpm, cd).pa();
                assert!((ours - pa).abs() < 0.004 * pa, "{fpm} fpm, {cd}: {ours}");
            }
        }
        // The rule of 1 ft² of window for 1000 cfm is no rule for flames: 43 Pa.
        assert!(drop_at(1000.0, 0.60).pa() > 40.0);
    }

    #[test]
    fn windows_that_keep_the_house_within_a_limit() {
        // Derived, A = Q/(2403·√(Δp/249.09)): ft² at Cd 0.6, with the constant 4005 instead of 4008.6, hence 0.1 %.
        for (cfm, areas) in [
            (1500.0, [6.97, 5.69, 4.41, 2.54]),
            (2400.0, [11.15, 9.10, 7.05, 4.07]),
            (4000.0, [18.58, 15.17, 11.75, 6.78]),
            (6000.0, [27.87, 22.75, 17.62, 10.17]),
        ] {
            for (pa, ft2) in [2.0, 3.0, 5.0, 15.0].into_iter().zip(areas) {
                let ours = area_for(
                    Discharge::SHARP_EDGE,
                    Airflow::from_cfm(cfm),
                    Pressure::from_pa(-pa),
                    standard_air(),
                )
                .ft2();
                assert!(
                    (ours - ft2).abs() < 0.001 * ft2 + 0.005,
                    "{cfm} {pa}: {ours}"
                );
            }
        }
        for (pa, fpm) in [
            (2.0, 215.0),
            (3.0, 264.0),
            (5.0, 340.0),
            (10.0, 482.0),
            (15.0, 590.0),
            (25.0, 761.0),
        ] {
            let ours = flow(
                Discharge::SHARP_EDGE,
                Area::from_ft2(1.0),
                Pressure::from_pa(pa),
                standard_air(),
            )
            .cfm();
            assert!((ours - fpm).abs() < 1.5, "{pa}: {ours}");
        }
    }

    #[test]
    fn the_air_thins_with_height_as_the_standard_atmosphere_says() {
        for (ft, kg_per_m3) in [
            (0.0, 1.2250),
            (2500.0, 1.1379),
            (5000.0, 1.0556),
            (7500.0, 0.9779),
        ] {
            let ours = standard_density(Altitude::from_ft(ft)).kg_per_m3();
            assert!((ours - kg_per_m3).abs() < 6e-5, "{ft}: {ours}");
        }
    }

    #[test]
    fn the_constant_of_the_handbook_is_reproduced() {
        let cfm = flow(
            Discharge::IDEAL,
            Area::from_ft2(1.0),
            Pressure::from_in_wg(1.0),
            standard_air(),
        )
        .cfm();
        assert!((cfm - 4008.6).abs() < 0.1, "{cfm}");
        assert!(
            (cfm / 4005.0 - 1.0).abs() < 1e-3,
            "the rounded constant, within 0.1 %"
        );
    }

    #[test]
    fn nothing_flows_through_nothing() {
        let none = flow(
            Discharge::SHARP_EDGE,
            Area::ZERO,
            Pressure::from_pa(50.0),
            standard_air(),
        );
        assert_eq!(none, Airflow::ZERO);
        let across = |cfm| {
            pressure_across(
                Discharge::SHARP_EDGE,
                Area::ZERO,
                Airflow::from_cfm(cfm),
                standard_air(),
            )
        };
        assert_eq!(across(0.0), Pressure::ZERO);
        assert_eq!(across(1.0).pa(), f64::INFINITY);
        assert_eq!(Discharge::new(0.0), None);
        assert_eq!(Discharge::new(1.01), None);
    }
}
