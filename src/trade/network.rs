//! The way of the air: in by the windows, up through the fan in its ceiling opening, out by the attic's vents.
//!
//! The four stand in series: the same air passes all of them, and what the fan lifts is what the others cost.
//! The house ends below outdoors by what the windows cost, the attic above outdoors by what its vents cost.
//!
//! # Units
//! Areas, a fan's curve and an air density in; airflow and pressures against outdoors out.
//!
//! # Source
//! * Openings: the orifice equation, see [`opening`](super::opening); series: the pressures add (derived).
//! * Joists left whole in the opening: a grill of square-edged bars, `K = (0.5·(1−α) + (1−α²))/α²` on the speed
//!   before it, α the open share (R. D. Blevins, Applied Fluid Dynamics Handbook, 1984, as restated by the
//!   `fluids` library: confirmed). The clear opening itself costs nothing more: a fan's curve is measured with
//!   the fan in its opening.
//! * Thin or cold air: a fan at the same speed moves the same volume against a pressure in proportion to the
//!   density (fan law, from memory). Openings do the same, so that the airflow does not change and all pressures
//!   do.
//!
//! # Method
//! The curve is made of straight lines, and pressure lost rises with the square of airflow. The line on which the
//! two meet is bracketed by its ends; on it the meeting point is the root of a quadratic, taken in the form that
//! loses no digits.
//!
//! # Examples
//! A fan of 5000 − 8000·Δp[in of water] cfm, 16 ft² of windows, 6 ft² net of vents: 4219 cfm, the house at
//! −3.0 Pa, the attic at +21.3 Pa.
//! ```
//! use joistlight::measure::{Airflow, Area, Pressure};
//! use joistlight::trade::fan::{CurvePoint, Speed};
//! use joistlight::trade::network::{AirPath, AirResistance, balance};
//! use joistlight::trade::opening::{Discharge, standard_air};
//! let at = |in_wg, cfm| CurvePoint { pressure: Pressure::from_in_wg(in_wg), airflow: Airflow::from_cfm(cfm) };
//! let fan = Speed { name: "high".into(), current: None, curve: vec![at(0.0, 5000.0), at(0.5, 1000.0)] };
//! let opening = |ft2| AirResistance::of_opening(Discharge::SHARP_EDGE, Area::from_ft2(ft2));
//! let path = AirPath { windows: opening(16.0), ceiling: AirResistance::NONE, vents: opening(6.0) };
//! let found = balance(&fan, path, Airflow::ZERO, standard_air());
//! assert!((found.airflow.cfm() - 4218.75).abs() < 0.001 * 4218.75);
//! assert!((found.house.pa() + 3.00).abs() < 0.02);
//! assert!((found.attic.pa() - 21.33).abs() < 0.05);
//! ```

use super::fan::{CurvePoint, Speed};
use super::opening::{Discharge, area_for, pressure_across, standard_air};
use crate::measure::Length;
use crate::measure::quantity::{Airflow, Area, Density, Pressure};

/// What an airflow costs: Pa for each cfm², in standard air.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AirResistance(f64);

impl AirResistance {
    /// Nothing in the way.
    pub const NONE: AirResistance = AirResistance(0.0);
    /// Nothing gets through.
    pub const SHUT: AirResistance = AirResistance(f64::INFINITY);

    /// Of an opening.
    pub fn of_opening(discharge: Discharge, area: Area) -> Self {
        if area.ft2() > 0.0 {
            let one = Airflow::from_cfm(1.0);
            AirResistance(pressure_across(discharge, area, one, standard_air()).pa())
        } else {
            AirResistance::SHUT
        }
    }

    /// Of square-edged bars across an opening, where this share of it (0 to 1) stays open.
    ///
    /// # Examples
    /// The `fluids` library's own example, α = 0.45, K = 5.2963:
    /// ```
    /// use joistlight::measure::{Airflow, Area};
    /// use joistlight::trade::network::AirResistance;
    /// let bars = AirResistance::of_bars(0.45, Area::from_ft2(1.0));
    /// let plain = AirResistance::of_bars(1.0, Area::from_ft2(1.0));
    /// assert_eq!(plain, AirResistance::NONE);
    /// // The speed alone costs 1/16 in of water at 1002 ft/min: K times that.
    /// let pa = bars.lost(Airflow::from_cfm(1002.15)).pa();
    /// assert!((pa / (5.2963 * 249.089 / 16.0) - 1.0).abs() < 1e-4);
    /// ```
    pub fn of_bars(open_share: f64, area: Area) -> Self {
        if open_share >= 1.0 {
            return AirResistance::NONE;
        }
        if open_share <= 0.0 || area.ft2() <= 0.0 {
            return AirResistance::SHUT;
        }
        let open = open_share;
        let k = (0.5 * (1.0 - open) + (1.0 - open * open)) / (open * open);
        AirResistance(k * AirResistance::of_opening(Discharge::IDEAL, area).0)
    }

    /// The pressure lost by an airflow in standard air.
    pub fn lost(self, airflow: Airflow) -> Pressure {
        let cfm = airflow.cfm();
        if cfm == 0.0 {
            return Pressure::ZERO;
        }
        Pressure::from_pa(self.0 * cfm * cfm)
    }

    /// One after the other.
    #[must_use]
    pub fn then(self, next: AirResistance) -> Self {
        AirResistance(self.0 + next.0)
    }

    /// The area of an opening that costs as much; endless where nothing is in the way, none where all is shut.
    pub fn as_area(self, discharge: Discharge) -> Area {
        Area::from_ft2(
            (AirResistance::of_opening(discharge, Area::from_ft2(1.0)).0 / self.0).sqrt(),
        )
    }

    /// Of an opening so many times as large.
    #[must_use]
    pub fn widened(self, times: f64) -> Self {
        AirResistance(self.0 / (times * times))
    }

    /// The smaller of the two.
    #[must_use]
    pub fn min(self, other: AirResistance) -> Self {
        AirResistance(self.0.min(other.0))
    }

    fn is_shut(self) -> bool {
        self.0.is_infinite()
    }
}

/// The widest that evenly spaced joists can block of an opening's width, wherever it is placed.
///
/// # Examples
/// Over 26 in, joists 1 1/2 in thick at 16 in block two thicknesses at worst:
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::network::blocked_width;
/// let (thick, apart) = (Length::sixteenths(24), Length::inches(16));
/// assert_eq!(blocked_width(Length::inches(26), apart, thick), Length::inches(3));
/// assert_eq!(blocked_width(Length::sixteenths(232), apart, thick), Length::sixteenths(24));
/// ```
pub fn blocked_width(width: Length, spacing: Length, thickness: Length) -> Length {
    if spacing <= Length::ZERO || thickness >= spacing {
        return width;
    }
    // Each whole spacing holds one joist, wherever it begins; the rest holds as much of one as fits.
    let mut whole = (width / spacing).floor() as i64;
    if spacing * whole > width {
        whole -= 1;
    }
    let rest = width - spacing * whole;
    (thickness * whole + rest.min(thickness)).min(width)
}

/// What the air passes besides the fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirPath {
    /// The open windows.
    pub windows: AirResistance,
    /// What stands in the ceiling opening beside the fan: joists left whole.
    pub ceiling: AirResistance,
    /// The attic's vents.
    pub vents: AirResistance,
}

impl AirPath {
    fn whole(self) -> AirResistance {
        self.windows.then(self.ceiling).then(self.vents)
    }
}

/// How a fan and its way of the air settle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// What is delivered.
    pub airflow: Airflow,
    /// The house against outdoors: below zero.
    pub house: Pressure,
    /// The attic against outdoors: above zero.
    pub attic: Pressure,
    /// What the joists in the opening cost.
    pub ceiling: Pressure,
    /// What the fan lifts.
    pub across_fan: Pressure,
}

/// Airflow of a fan, in standard air, against a fixed pressure, one in proportion to the airflow (Pa/cfm), and a
/// resistance after it.
fn flow_against(
    curve: &[CurvePoint],
    fixed_pa: f64,
    straight: f64,
    resistance: AirResistance,
) -> Airflow {
    let at = |point: &CurvePoint| (point.pressure.pa(), point.airflow.cfm());
    let (_, most) = at(&curve[0]);
    if curve.len() < 2 {
        return Airflow::from_cfm(most);
    }
    if resistance.is_shut() {
        return Airflow::ZERO;
    }
    // The first line at whose end the fan lifts more than the flow there costs; else the last, drawn on.
    let end = (1..curve.len())
        .find(|i| {
            let (pa, cfm) = at(&curve[*i]);
            pa - fixed_pa >= (straight + resistance.0 * cfm) * cfm
        })
        .unwrap_or(curve.len() - 1);
    let ((pa_a, cfm_a), (pa_b, cfm_b)) = (at(&curve[end - 1]), at(&curve[end]));
    let slope = (cfm_b - cfm_a) / (pa_b - pa_a);
    // On the line: q = free + slope·(s·q + r·q²), with slope below zero.
    let free = cfm_a + slope * (fixed_pa - pa_a);
    if free <= 0.0 {
        return Airflow::ZERO;
    }
    let (bend, rise) = (-slope * resistance.0, 1.0 - slope * straight);
    Airflow::from_cfm(2.0 * free / (rise + (rise * rise + 4.0 * bend * free).sqrt()))
}

/// The pressure that a fan lifts in standard air when nothing flows.
fn shut_off(curve: &[CurvePoint]) -> Pressure {
    pressure_at(curve, Airflow::ZERO).unwrap_or(Pressure::ZERO)
}

/// The pressure that a fan lifts in standard air at an airflow; `None` where it never moves as much.
fn pressure_at(curve: &[CurvePoint], airflow: Airflow) -> Option<Pressure> {
    let cfm = airflow.cfm();
    if curve.len() < 2 || cfm > curve[0].airflow.cfm() {
        return None;
    }
    let end = (1..curve.len())
        .find(|i| curve[*i].airflow.cfm() <= cfm)
        .unwrap_or(curve.len() - 1);
    let (a, b) = (curve[end - 1], curve[end]);
    let slope = (b.pressure.pa() - a.pressure.pa()) / (b.airflow.cfm() - a.airflow.cfm());
    Some(Pressure::from_pa(
        a.pressure.pa() + slope * (cfm - a.airflow.cfm()),
    ))
}

/// Density of the air over that of standard air: what all pressures are multiplied by.
fn thickness_of(air: Density) -> f64 {
    air / standard_air()
}

/// Settles a fan at one speed with its way of the air.
///
/// Where nothing can flow, the fan's whole lift stands at what is shut: on the house where the windows are shut
/// (also where the vents are shut as well, which leaves it open: the house is the worse case), else on the attic.
///
/// Other exhausts draw through the windows as well; where those are shut, they are left out.
///
/// # Examples
/// Exhausts of 600 cfm, and the house stands lower by what their air costs at the windows:
/// ```
/// use joistlight::measure::{Airflow, Area};
/// use joistlight::trade::fan::generic;
/// use joistlight::trade::network::{AirPath, AirResistance, balance};
/// use joistlight::trade::opening::{Discharge, standard_air};
/// let opening = |ft2| AirResistance::of_opening(Discharge::SHARP_EDGE, Area::from_ft2(ft2));
/// let path = AirPath { windows: opening(16.0), ceiling: AirResistance::NONE, vents: opening(6.0) };
/// let fan = generic().fans[0].high();
/// let house = |cfm| balance(fan, path, Airflow::from_cfm(cfm), standard_air()).house;
/// assert!(house(600.0) < house(0.0));
/// ```
pub fn balance(speed: &Speed, path: AirPath, exhausts: Airflow, air: Density) -> Balance {
    let dense = thickness_of(air);
    let shut = path.windows.is_shut();
    let also = if shut { 0.0 } else { exhausts.cfm() };
    // Windows cost r·(q + e)² = r·e² + 2·r·e·q + r·q².
    let windows = if shut { 0.0 } else { path.windows.0 };
    let airflow = flow_against(
        &speed.curve,
        windows * also * also,
        2.0 * windows * also,
        path.whole(),
    );
    if path.whole().is_shut() {
        let lift = shut_off(&speed.curve) * dense;
        let (house, attic) = if path.windows.is_shut() {
            (-lift, Pressure::ZERO)
        } else if path.vents.is_shut() {
            (Pressure::ZERO, lift)
        } else {
            (Pressure::ZERO, Pressure::ZERO)
        };
        let ceiling = lift + house - attic;
        return Balance {
            airflow,
            house,
            attic,
            ceiling,
            across_fan: lift,
        };
    }
    let lost = |resistance: AirResistance| resistance.lost(airflow) * dense;
    let through_windows = airflow + Airflow::from_cfm(also);
    let windows = path.windows.lost(through_windows) * dense;
    let (ceiling, vents) = (lost(path.ceiling), lost(path.vents));
    Balance {
        airflow,
        house: -windows,
        attic: vents,
        ceiling,
        across_fan: windows + ceiling + vents,
    }
}

/// What a fan draws from a house held at a pressure, with the wind putting this much on the attic's vents.
pub fn flow_from(
    speed: &Speed,
    house: Pressure,
    on_vents: Pressure,
    rest: AirResistance,
    air: Density,
) -> Airflow {
    let fixed = (on_vents - house).pa() / thickness_of(air);
    flow_against(&speed.curve, fixed, 0.0, rest)
}

/// The open window area that keeps the house no further below outdoors than a limit, whatever its sign.
///
/// # Examples
/// The series vector turned round: its fan and vents need the 16 ft² for −3 Pa.
/// ```
/// use joistlight::measure::{Airflow, Area, Pressure};
/// use joistlight::trade::fan::{CurvePoint, Speed};
/// use joistlight::trade::network::{AirResistance, windows_for_limit};
/// use joistlight::trade::opening::{Discharge, standard_air};
/// let at = |in_wg, cfm| CurvePoint { pressure: Pressure::from_in_wg(in_wg), airflow: Airflow::from_cfm(cfm) };
/// let fan = Speed { name: "high".into(), current: None, curve: vec![at(0.0, 5000.0), at(0.5, 1000.0)] };
/// let vents = AirResistance::of_opening(Discharge::SHARP_EDGE, Area::from_ft2(6.0));
/// let area = windows_for_limit(&fan, vents, Pressure::from_pa(-3.0), Airflow::ZERO, standard_air());
/// assert!((area.ft2() - 16.0).abs() < 0.02, "{area}");
/// ```
pub fn windows_for_limit(
    speed: &Speed,
    rest: AirResistance,
    limit: Pressure,
    exhausts: Airflow,
    air: Density,
) -> Area {
    let house = Pressure::from_pa(-limit.pa().abs());
    let airflow = flow_from(speed, house, Pressure::ZERO, rest, air) + exhausts;
    if airflow.cfm() == 0.0 {
        return Area::ZERO;
    }
    area_for(Discharge::SHARP_EDGE, airflow, limit, air)
}

/// What may be lost outside a fan so that it still delivers an airflow; `None` where it never moves as much.
pub fn resistance_for(speed: &Speed, airflow: Airflow) -> Option<AirResistance> {
    let lift = pressure_at(&speed.curve, airflow)?;
    if airflow.cfm() <= 0.0 {
        return Some(AirResistance::SHUT);
    }
    Some(AirResistance(lift.pa() / (airflow.cfm() * airflow.cfm())))
}

impl AirResistance {
    /// What of this is left for another part when one part is taken; `None` where that part is too much already.
    pub fn less(self, part: AirResistance) -> Option<AirResistance> {
        let left = self.0 - part.0;
        (left > 0.0).then_some(AirResistance(left))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::quantity::Altitude;
    use crate::trade::fan::generic;
    use crate::trade::opening::standard_density;

    fn opening(ft2: f64) -> AirResistance {
        AirResistance::of_opening(Discharge::SHARP_EDGE, Area::from_ft2(ft2))
    }

    fn path(windows: f64, vents: f64) -> AirPath {
        AirPath {
            windows: opening(windows),
            ceiling: AirResistance::NONE,
            vents: opening(vents),
        }
    }

    #[test]
    fn the_balance_lies_on_the_fan_curve() {
        for fan in &generic().fans {
            for speed in &fan.speeds {
                for windows in [0.5, 4.0, 12.0, 40.0, 4000.0] {
                    for vents in [0.2, 3.0, 8.0, 30.0, 4000.0] {
                        let found =
                            balance(speed, path(windows, vents), Airflow::ZERO, standard_air());
                        let on_curve = speed.airflow_at(found.across_fan);
                        assert!(
                            (found.airflow.cfm() - on_curve.cfm()).abs() < 1e-6,
                            "{} {}: {found:?} {on_curve}",
                            fan.id,
                            speed.name
                        );
                        let lift = resistance_for(speed, found.airflow)
                            .unwrap()
                            .lost(found.airflow);
                        assert!((lift.pa() - found.across_fan.pa()).abs() < 1e-6);
                    }
                }
            }
        }
    }

    #[test]
    fn thin_air_moves_as_fast_and_presses_less() {
        let speed = generic().fans[0].high();
        let low = balance(speed, path(12.0, 6.0), Airflow::ZERO, standard_air());
        let high = balance(
            speed,
            path(12.0, 6.0),
            Airflow::ZERO,
            standard_density(Altitude::from_ft(7500.0)),
        );
        assert_eq!(low.airflow, high.airflow);
        let ratio = 0.9779 / 1.20138;
        assert!((high.house / low.house - ratio).abs() < 1e-4);
        assert!((high.attic / low.attic - ratio).abs() < 1e-4);
    }

    #[test]
    fn with_something_shut_the_whole_lift_stands_there() {
        let speed = generic().fans[0].high();
        let shut =
            |windows, vents| balance(speed, path(windows, vents), Airflow::ZERO, standard_air());
        let lift = shut(0.0, 6.0).across_fan;
        assert!(lift.pa() > 75.0);
        assert_eq!(shut(0.0, 6.0).house, -lift);
        assert_eq!(shut(6.0, 0.0).attic, lift);
        assert_eq!(shut(0.0, 0.0).house, -lift);
        assert_eq!(shut(0.0, 0.0).airflow, Airflow::ZERO);
        let blocked = AirPath {
            ceiling: AirResistance::SHUT,
            ..path(6.0, 6.0)
        };
        let blocked = balance(speed, blocked, Airflow::ZERO, standard_air());
        assert_eq!(
            (blocked.house, blocked.attic),
            (Pressure::ZERO, Pressure::ZERO)
        );
        assert_eq!(blocked.ceiling, lift);
    }

    #[test]
    fn windows_for_a_limit_bring_the_house_to_that_limit() {
        let air = standard_density(Altitude::from_ft(3000.0));
        for fan in &generic().fans {
            for limit in [2.0, 3.0, 5.0, 15.0, 50.0] {
                let limit = Pressure::from_pa(-limit);
                let vents = opening(8.0);
                let windows = windows_for_limit(fan.high(), vents, limit, Airflow::ZERO, air);
                let with = AirPath {
                    windows: AirResistance::of_opening(Discharge::SHARP_EDGE, windows),
                    ceiling: AirResistance::NONE,
                    vents,
                };
                let house = balance(fan.high(), with, Airflow::ZERO, air).house;
                assert!(
                    (house.pa() - limit.pa()).abs() < 1e-6,
                    "{}: {house}",
                    fan.id
                );
            }
        }
        // A fan that cannot pull so hard needs no window for it.
        let weak = windows_for_limit(
            generic().fans[0].low(),
            opening(8.0),
            Pressure::from_pa(-500.0),
            Airflow::ZERO,
            air,
        );
        assert_eq!(weak, Area::ZERO);
    }

    #[test]
    fn joists_block_at_most_what_any_place_of_the_opening_meets() {
        let (thick, apart) = (Length::sixteenths(24), Length::inches(16));
        for width in [14, 16, 26, 32, 44] {
            let width = Length::inches(width);
            let worst = blocked_width(width, apart, thick);
            // Slide the opening along in sixteenths and add up what it meets.
            let mut met = Length::ZERO;
            for slide in 0..256 {
                let from = Length::sixteenths(slide);
                let mut here = Length::ZERO;
                for joist in 0..6 {
                    let left = apart * joist;
                    let overlap = (from + width).min(left + thick) - from.max(left);
                    here += overlap.max(Length::ZERO);
                }
                met = met.max(here);
            }
            assert_eq!(worst, met, "{width}");
        }
        assert_eq!(
            blocked_width(Length::inches(26), Length::ZERO, thick),
            Length::inches(26)
        );
    }
}
