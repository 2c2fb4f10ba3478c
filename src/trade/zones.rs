//! Any network of zones: rooms, hall, attic and an appliance's room, joined by openings, leaks, exhausts and one fan.
//!
//! Each zone has one pressure. What flows in and what flows out must be the same in each; the pressures at which that is
//! so are what is looked for.
//!
//! # Units
//! Areas, leaks, airflows, a fan's curve, pressures outdoors and the density of the air in; pressures against still
//! outdoor air and airflows out.
//!
//! # Source
//! * Openings: the orifice equation, see [`opening`](super::opening). Below a billionth of a pascal the law is a straight line, since a
//!   square root rises endlessly steep from nought (derived).
//! * Leaks: `Q = C·Δpⁿ`, see [`leakage`](super::leakage).
//! * Thin or cold air: as in [`network`](super::network), all pressures go with the density.
//!
//! # Method
//! Each flow rises with its own difference of pressure and the fan's falls, so the balance is the lowest point of a
//! convex function and there is one answer. Newton's method runs towards it; each step is cut to where the function stops
//! falling along it, so that no start and no mixture of wide and narrow openings can throw it off.
//!
//! # Examples
//! A fan of 5000 − 8000·Δp[in of water] cfm draws from a hall with 16 ft² of windows into an attic with 6 ft² of vents:
//! ```
//! use joistlight::measure::{Airflow, Area, Pressure};
//! use joistlight::trade::fan::{CurvePoint, Speed};
//! use joistlight::trade::opening::{Discharge, standard_air};
//! use joistlight::trade::zones::{Side, Zones};
//! let at = |in_wg, cfm| CurvePoint { pressure: Pressure::from_in_wg(in_wg), airflow: Airflow::from_cfm(cfm) };
//! let fan = Speed { name: "high".into(), current: None, curve: vec![at(0.0, 5000.0), at(0.5, 1000.0)] };
//! let mut house = Zones::new();
//! let (hall, attic) = (house.zone(), house.zone());
//! house.opening(Side::OUTDOORS, Side::Zone(hall), Discharge::SHARP_EDGE, Area::from_ft2(16.0));
//! house.opening(Side::Zone(attic), Side::OUTDOORS, Discharge::SHARP_EDGE, Area::from_ft2(6.0));
//! house.fan(hall, attic, &fan);
//! let found = house.settle(standard_air());
//! assert!((found.pressure(hall).pa() + 3.00).abs() < 0.02);
//! assert!((found.pressure(attic).pa() - 21.33).abs() < 0.05);
//! ```

use super::fan::{CurvePoint, Speed};
use super::leakage::Leak;
use super::opening::{Discharge, flow, standard_air};
use crate::measure::quantity::{Airflow, Area, Density, Pressure};

/// A zone of a network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Zone(usize);

/// A link of a network, to read its airflow by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Link(usize);

/// What lies at one end of a link.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Side {
    /// Outdoors, where wind or height may put this much over still air.
    Outdoors(Pressure),
    /// A zone.
    Zone(Zone),
}

impl Side {
    /// Outdoors in still air.
    pub const OUTDOORS: Side = Side::Outdoors(Pressure::ZERO);
}

/// `Q = c·Δpⁿ` in standard air, cfm and Pa, straight below [`STRAIGHT_PA`].
#[derive(Debug, Clone, Copy)]
struct Law {
    c: f64,
    n: f64,
}

/// Below this difference of pressure a flow is in proportion to it.
pub(crate) const STRAIGHT_PA: f64 = 1e-9;

impl Law {
    /// Airflow and its rise with pressure.
    fn at(self, pa: f64) -> (f64, f64) {
        let size = pa.abs();
        if size <= STRAIGHT_PA {
            let rise = self.c * STRAIGHT_PA.powf(self.n - 1.0);
            return (rise * pa, rise);
        }
        let cfm = if self.n == 0.5 {
            self.c * size.sqrt()
        } else {
            self.c * size.powf(self.n)
        };
        (cfm.copysign(pa), self.n * cfm / size)
    }
}

#[derive(Debug, Clone, Copy)]
struct Joint {
    from: Side,
    to: Side,
    law: Law,
}

#[derive(Debug, Clone, Copy)]
struct Driven<'a> {
    from: Zone,
    to: Zone,
    curve: &'a [CurvePoint],
}

/// A network of zones, link by link.
#[derive(Debug, Clone, Default)]
pub struct Zones<'a> {
    zones: usize,
    joints: Vec<Joint>,
    exhausts: Vec<(Zone, f64)>,
    fan: Option<Driven<'a>>,
}

/// A network that has settled.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// Pa in standard air.
    pressures: Vec<f64>,
    flows: Vec<f64>,
    fan: f64,
    dense: f64,
    off: f64,
}

impl Settled {
    /// A zone's pressure against still outdoor air.
    pub fn pressure(&self, zone: Zone) -> Pressure {
        Pressure::from_pa(self.pressures[zone.0] * self.dense)
    }

    /// What flows through a link, from its first side to its second; below zero the other way.
    pub fn through(&self, link: Link) -> Airflow {
        Airflow::from_cfm(self.flows[link.0])
    }

    /// What the fan delivers.
    pub fn fan(&self) -> Airflow {
        Airflow::from_cfm(self.fan)
    }

    /// By how much inflow and outflow differ in the zone where they differ most.
    pub fn unbalanced(&self) -> Airflow {
        Airflow::from_cfm(self.off)
    }
}

/// A thread of air between each zone and outdoors, cfm/Pa, so that a zone that nothing joins has a pressure too.
const THREAD: f64 = 1e-7;
/// Steps at most; a hundred random networks take 5 to 20.
const STEPS: usize = 200;

impl<'a> Zones<'a> {
    /// A network without zones.
    pub fn new() -> Self {
        Zones::default()
    }

    /// Adds a zone.
    pub fn zone(&mut self) -> Zone {
        self.zones += 1;
        Zone(self.zones - 1)
    }

    fn join(&mut self, from: Side, to: Side, law: Law) -> Link {
        self.joints.push(Joint { from, to, law });
        Link(self.joints.len() - 1)
    }

    /// Joins two sides by an opening.
    pub fn opening(&mut self, from: Side, to: Side, discharge: Discharge, area: Area) -> Link {
        let c = flow(discharge, area, Pressure::from_pa(1.0), standard_air()).cfm();
        self.join(from, to, Law { c, n: 0.5 })
    }

    /// Joins two sides by cracks.
    pub fn leak(&mut self, from: Side, to: Side, leak: Leak) -> Link {
        let (c, n) = (leak.at(Pressure::from_pa(1.0)).cfm(), leak.exponent());
        self.join(from, to, Law { c, n })
    }

    /// Takes so much air out of a zone, whatever its pressure.
    pub fn exhaust(&mut self, zone: Zone, airflow: Airflow) {
        self.exhausts.push((zone, airflow.cfm()));
    }

    /// Puts the fan between two zones: it draws from the first and blows into the second.
    pub fn fan(&mut self, from: Zone, to: Zone, speed: &'a Speed) {
        self.fan = Some(Driven {
            from,
            to,
            curve: &speed.curve,
        });
    }

    /// Settles the network in air of this density.
    pub fn settle(&self, air: Density) -> Settled {
        let n = self.zones;
        let dense = air / standard_air();
        let mut p = vec![0.0; n];
        let mut work = Work::of(n);
        self.look(&p, dense, &mut work);
        for _ in 0..STEPS {
            let scale = work.through.max(1.0);
            if work.out.iter().all(|it| it.abs() <= 1e-12 * scale) {
                break;
            }
            let step = work.step();
            let falls =
                |work: &Work| -> f64 { work.out.iter().zip(&step).map(|(a, b)| a * b).sum() };
            let before = falls(&work);
            // Along the step the function falls at first. The whole step is taken where it does not rise again
            // steeply; else the place where it stops falling is bracketed.
            let moved =
                |by: f64| -> Vec<f64> { p.iter().zip(&step).map(|(p, s)| p + by * s).collect() };
            let mut by = 1.0;
            let mut next = moved(by);
            self.look(&next, dense, &mut work);
            let (mut low, mut high) = (0.0, 1.0);
            let mut slope = falls(&work);
            for _ in 0..60 {
                if slope.abs() <= 0.5 * before.abs() || (slope < 0.0 && by == 1.0) {
                    break;
                }
                if slope > 0.0 {
                    high = by;
                } else {
                    low = by;
                }
                by = 0.5 * (low + high);
                next = moved(by);
                self.look(&next, dense, &mut work);
                slope = falls(&work);
            }
            let still = next == p;
            p = next;
            if still {
                break;
            }
        }
        let (flows, fan) = self.look(&p, dense, &mut work);
        let off = work.out.iter().fold(0.0_f64, |most, it| most.max(it.abs()));
        Settled {
            pressures: p,
            flows,
            fan,
            dense,
            off,
        }
    }

    /// Flows at these pressures; each zone's surplus of outflow and how it rises go to `work`.
    fn look(&self, p: &[f64], dense: f64, work: &mut Work) -> (Vec<f64>, f64) {
        let pressure = |side: Side| match side {
            Side::Outdoors(pressure) => pressure.pa() / dense,
            Side::Zone(zone) => p[zone.0],
        };
        work.clear();
        let mut flows = Vec::with_capacity(self.joints.len());
        for joint in &self.joints {
            let (cfm, rise) = joint.law.at(pressure(joint.from) - pressure(joint.to));
            work.link(joint.from, joint.to, cfm, rise);
            flows.push(cfm);
        }
        let mut fan = 0.0;
        if let Some(driven) = self.fan {
            let (cfm, fall) = lifted(driven.curve, p[driven.to.0] - p[driven.from.0]);
            work.link(Side::Zone(driven.from), Side::Zone(driven.to), cfm, fall);
            fan = cfm;
        }
        for (zone, cfm) in &self.exhausts {
            work.out[zone.0] += cfm;
            work.through += cfm.abs();
        }
        for (zone, p) in p.iter().enumerate() {
            work.out[zone] += THREAD * p;
            work.rise[zone * self.zones + zone] += THREAD;
        }
        (flows, fan)
    }
}

/// Airflow of a fan against a lift, and how steeply it falls; beyond its shut-off it moves nothing.
fn lifted(curve: &[CurvePoint], pa: f64) -> (f64, f64) {
    let at = |point: &CurvePoint| (point.pressure.pa(), point.airflow.cfm());
    let (first, most) = at(&curve[0]);
    if curve.len() < 2 {
        return (most, 0.0);
    }
    // With the wind behind it the first line is drawn on.
    let end = match pa <= first {
        true => 1,
        false => (1..curve.len())
            .find(|i| at(&curve[*i]).0 >= pa)
            .unwrap_or(curve.len() - 1),
    };
    let ((pa_a, cfm_a), (pa_b, cfm_b)) = (at(&curve[end - 1]), at(&curve[end]));
    let slope = (cfm_b - cfm_a) / (pa_b - pa_a);
    let cfm = cfm_a + slope * (pa - pa_a);
    if cfm > 0.0 { (cfm, -slope) } else { (0.0, 0.0) }
}

/// What a step of Newton's method needs.
struct Work {
    n: usize,
    /// Outflow less inflow, zone by zone, cfm.
    out: Vec<f64>,
    /// How it rises with each zone's pressure, row by row, cfm/Pa.
    rise: Vec<f64>,
    /// All airflows together.
    through: f64,
}

impl Work {
    fn of(n: usize) -> Work {
        Work {
            n,
            out: vec![0.0; n],
            rise: vec![0.0; n * n],
            through: 0.0,
        }
    }

    fn clear(&mut self) {
        self.out.fill(0.0);
        self.rise.fill(0.0);
        self.through = 0.0;
    }

    fn link(&mut self, from: Side, to: Side, cfm: f64, rise: f64) {
        self.through += cfm.abs();
        if let Side::Zone(Zone(a)) = from {
            self.out[a] += cfm;
            self.rise[a * self.n + a] += rise;
        }
        if let Side::Zone(Zone(b)) = to {
            self.out[b] -= cfm;
            self.rise[b * self.n + b] += rise;
        }
        if let (Side::Zone(Zone(a)), Side::Zone(Zone(b))) = (from, to) {
            self.rise[a * self.n + b] -= rise;
            self.rise[b * self.n + a] -= rise;
        }
    }

    /// Newton's step: `rise · step = −out`, by Cholesky's method, since the matrix is symmetric and above zero.
    fn step(&self) -> Vec<f64> {
        let n = self.n;
        let mut l = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..=i {
                let done: f64 = (0..j).map(|k| l[i * n + k] * l[j * n + k]).sum();
                let left = self.rise[i * n + j] - done;
                l[i * n + j] = match i == j {
                    true => left.max(1e-30).sqrt(),
                    false => left / l[j * n + j],
                };
            }
        }
        let mut step: Vec<f64> = self.out.iter().map(|it| -it).collect();
        for i in 0..n {
            let done: f64 = (0..i).map(|k| l[i * n + k] * step[k]).sum();
            step[i] = (step[i] - done) / l[i * n + i];
        }
        for i in (0..n).rev() {
            let done: f64 = (i + 1..n).map(|k| l[k * n + i] * step[k]).sum();
            step[i] = (step[i] - done) / l[i * n + i];
        }
        step
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::weather::{Face, JUDGED_WIND, wind_pressure};

    /// 5000 − 8000·Δp[in of water] cfm.
    fn straight() -> Speed {
        let at = |in_wg, cfm| CurvePoint {
            pressure: Pressure::from_in_wg(in_wg),
            airflow: Airflow::from_cfm(cfm),
        };
        Speed {
            name: "straight".into(),
            current: None,
            curve: vec![at(0.0, 5000.0), at(0.625, 0.0)],
        }
    }

    /// The vectors below are worked with the handbook's rounded 4005 and 249.089 Pa to the inch of water.
    fn as_rounded(ft2: f64) -> Area {
        let ours = flow(
            Discharge::IDEAL,
            Area::from_ft2(1.0),
            Pressure::from_pa(1.0),
            standard_air(),
        );
        Area::from_ft2(ft2 * 4005.0 / 249.089_f64.sqrt() / ours.cfm())
    }

    struct House<'a> {
        zones: Zones<'a>,
        hall: Zone,
        attic: Zone,
        rooms: [Zone; 3],
        windows: [Link; 3],
    }

    const FT2_OF_AN_OPEN_DOOR: f64 = 30.0 * 80.0 / 144.0;
    const ROUND_A_SHUT_DOOR: f64 = 22.5 / 144.0;

    /// Windows of 6, 8 and 10 ft², 6 ft² of vents, doors of these areas, wind on each room's window and on the vents.
    fn three_rooms(fan: &Speed, doors: [f64; 3], wind: [Pressure; 4]) -> House<'_> {
        let mut zones = Zones::new();
        let (hall, attic) = (zones.zone(), zones.zone());
        let rooms = [zones.zone(), zones.zone(), zones.zone()];
        let mut windows = Vec::new();
        for (i, ft2) in [6.0, 8.0, 10.0].into_iter().enumerate() {
            let room = Side::Zone(rooms[i]);
            windows.push(zones.opening(
                Side::Outdoors(wind[i]),
                room,
                Discharge::SHARP_EDGE,
                as_rounded(ft2),
            ));
            zones.opening(
                room,
                Side::Zone(hall),
                Discharge::SHARP_EDGE,
                as_rounded(doors[i]),
            );
        }
        zones.opening(
            Side::Zone(attic),
            Side::Outdoors(wind[3]),
            Discharge::SHARP_EDGE,
            as_rounded(6.0),
        );
        zones.fan(hall, attic, fan);
        House {
            zones,
            hall,
            attic,
            rooms,
            windows: windows.try_into().unwrap(),
        }
    }

    const STILL: [Pressure; 4] = [Pressure::ZERO; 4];
    const MIXED: [f64; 3] = [ROUND_A_SHUT_DOOR, FT2_OF_AN_OPEN_DOOR, 18.0];

    /// Fan cfm; hall, three rooms and attic Pa; three windows cfm.
    fn is(house: &House, what: &str, expected: [f64; 9]) {
        let found = house.zones.settle(standard_air());
        let pa = |zone| found.pressure(zone).pa();
        let ours = [
            found.fan().cfm(),
            pa(house.hall),
            pa(house.rooms[0]),
            pa(house.rooms[1]),
            pa(house.rooms[2]),
            pa(house.attic),
            found.through(house.windows[0]).cfm(),
            found.through(house.windows[1]).cfm(),
            found.through(house.windows[2]).cfm(),
        ];
        for (i, (ours, theirs)) in ours.into_iter().zip(expected).enumerate() {
            let printed = if i == 0 || i > 5 { 0.02 } else { 0.0002 };
            assert!(
                (ours - theirs).abs() <= printed + 2e-5 * theirs.abs(),
                "{what}, {i}: {ours} is not {theirs}"
            );
        }
        assert!(found.unbalanced().cfm().abs() < 1e-6, "{what}");
    }

    /// Solved by scipy's least_squares and fsolve to 1e-12, and again by brentq on the reduced form (derived).
    #[test]
    fn three_rooms_behind_doors_settle_as_they_do_elsewhere() {
        let fan = straight();
        is(
            &three_rooms(&fan, MIXED, STILL),
            "one door shut",
            [
                4219.71, -2.9595, -0.0020, -2.4053, -2.2615, 21.3358, 40.91, 1889.10, 2289.69,
            ],
        );
        is(
            &three_rooms(&fan, [ROUND_A_SHUT_DOOR; 3], STILL),
            "all shut",
            [
                812.31, -129.598, -0.0878, -0.0494, -0.0316, 0.7907, 270.74, 270.78, 270.80,
            ],
        );
        is(
            &three_rooms(&fan, [51.5 / 144.0; 3], STILL),
            "all shut, cracks round the doors",
            [
                1642.39, -101.311, -0.3587, -0.2021, -0.1294, 3.2322, 547.12, 547.54, 547.74,
            ],
        );
    }

    #[test]
    fn other_exhausts_pull_with_the_fan() {
        let fan = straight();
        let mut house = three_rooms(&fan, MIXED, STILL);
        house
            .zones
            .exhaust(house.rooms[2], Airflow::from_cfm(550.0));
        house.zones.exhaust(house.rooms[1], Airflow::from_cfm(50.0));
        is(
            &house,
            "hood and dryer in one room, bath fan in another",
            [
                4203.37, -3.6329, -0.0025, -2.9788, -3.0425, 21.1710, 45.33, 2102.27, 2655.78,
            ],
        );
    }

    /// A ceiling that leaks 9.7869·Δp^0.65 into each room: the shut bedroom blows attic air out of its own window.
    #[test]
    fn attic_air_comes_back_through_the_ceiling() {
        let fan = straight();
        let mut house = three_rooms(&fan, MIXED, STILL);
        let leak = Leak::of_cfm50(Airflow::from_cfm(9.78690 * 50.0_f64.powf(0.65)));
        let back = house.rooms.map(|room| {
            house
                .zones
                .leak(Side::Zone(house.attic), Side::Zone(room), leak)
        });
        is(
            &house,
            "a leaking ceiling",
            [
                4273.46, -2.8748, 0.0009, -2.3017, -2.1631, 19.7470, -27.69, 1847.95, 2239.29,
            ],
        );
        let found = house.zones.settle(standard_air());
        for (link, cfm) in back.into_iter().zip([68.03, 73.09, 72.79]) {
            assert!((found.through(link).cfm() - cfm).abs() < 0.02);
        }
    }

    #[test]
    fn the_wind_moves_a_house_with_windows_on_one_side_from_minus_seven_to_plus_four() {
        let fan = straight();
        let on = |face| wind_pressure(face, JUDGED_WIND, standard_air());
        let (ward, beside, behind) = (on(Face::Windward), on(Face::Beside), on(Face::Behind));
        let roof = on(Face::Roof);
        // The pressures are printed to three decimals there.
        let near = |house: &House, fan: f64, hall: f64| {
            let found = house.zones.settle(standard_air());
            assert!(
                (found.fan().cfm() - fan).abs() < 0.5,
                "{fan}: {}",
                found.fan()
            );
            let pa = found.pressure(house.hall).pa();
            assert!((pa - hall).abs() < 0.003, "{hall}: {pa}");
        };
        near(
            &three_rooms(&fan, MIXED, [beside, ward, behind, roof]),
            4326.17,
            -4.5567,
        );
        near(
            &three_rooms(&fan, MIXED, [beside, behind, behind, roof]),
            4257.70,
            -7.3928,
        );
        near(
            &three_rooms(&fan, MIXED, [beside, behind, behind, ward]),
            3944.88,
            -6.9665,
        );
        near(
            &three_rooms(&fan, MIXED, [beside, ward, ward, roof]),
            4523.06,
            3.6614,
        );
    }

    /// Four rooms of 6 ft² of window each; doors of 51.5 in² where shut: hall Pa by how many stand open (derived).
    #[test]
    fn each_door_that_opens_counts() {
        let fan = straight();
        let hall = |open: usize, shut: f64| {
            let mut zones = Zones::new();
            let (hall, attic) = (zones.zone(), zones.zone());
            for room in 0..4 {
                let zone = zones.zone();
                let door = if room < open {
                    FT2_OF_AN_OPEN_DOOR
                } else {
                    shut / 144.0
                };
                let (through, at) = (Discharge::SHARP_EDGE, Side::Zone(zone));
                zones.opening(Side::OUTDOORS, at, through, as_rounded(6.0));
                zones.opening(at, Side::Zone(hall), through, as_rounded(door));
            }
            let vents = as_rounded(6.0);
            zones.opening(
                Side::Zone(attic),
                Side::OUTDOORS,
                Discharge::SHARP_EDGE,
                vents,
            );
            zones.fan(hall, attic, &fan);
            zones.settle(standard_air()).pressure(hall).pa()
        };
        for (open, pa) in [-87.43, -14.78, -5.19, -2.58, -1.53]
            .into_iter()
            .enumerate()
        {
            assert!(
                (hall(open, 51.5) - pa).abs() < 0.006,
                "{open}: {}",
                hall(open, 51.5)
            );
        }
        assert!((hall(0, 22.5) + 121.69).abs() < 0.006);
        assert!((hall(0, 60.0) + 79.37).abs() < 0.006);
    }

    #[test]
    fn what_nothing_joins_has_a_pressure_all_the_same() {
        let fan = straight();
        let mut zones = Zones::new();
        let (hall, attic) = (zones.zone(), zones.zone());
        zones.fan(hall, attic, &fan);
        let found = zones.settle(standard_air());
        let lift = found.pressure(attic).pa() - found.pressure(hall).pa();
        assert!((lift - 0.625 * 249.089).abs() < 0.1, "{lift}");
        assert!(found.fan().cfm() < 0.01);
        let shut = zones.zone();
        zones.exhaust(shut, Airflow::from_cfm(1.0));
        assert!(zones.settle(standard_air()).pressure(shut).pa().is_finite());
    }
}
