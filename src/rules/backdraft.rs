//! Whether the fan would pull burnt gas down a flue: the pressure of each flame's room against its limit, on the worst
//! evening.
//!
//! Still air and all other exhausts running decide whether it can be had at all. Wind of 10 mph from each side and warm
//! rooms on a cool evening decide whether it holds: what they upset is for a technician to measure.

use super::finding::{Arg, Finding, Outcome, Remedy, Say, Who, number};
use super::flues::{limit_name, not_cleared, windows_name};
use super::open_windows::{self, MORE_WINDOWS};
use super::{RuleContext, WithFan};
use crate::house::air::{Flame, InTheOpening, VentNeed, in_the_opening, vent_need};
use crate::house::inlets::{Opened, Wind};
use crate::measure::quantity::{Airflow, Area, Density, Pressure};
use crate::need::{Need, Windows};
use crate::survey::{HouseSide, flame};
use crate::trade::backdraft::{LIMIT_SOURCE, STRICTEST_ROW_SOURCE};
use crate::trade::fan::Speed;
use crate::trade::network::{AirPath, AirResistance, balance, flow_from, windows_for_limit};
use crate::trade::opening::{Discharge, standard_air};
use crate::trade::source::{Source, Status};
use crate::trade::weather::{STACK_SOURCE, WIND_SOURCE};

const ORIFICE: Source = Source::confirmed(
    "Orifice equation, ASHRAE Fundamentals; discharge coefficient 0.60 of windows and net vent area: E3S Web of \
     Conferences 396, 02030 (2023)",
);
const AIR: Source =
    Source::derived("U.S. Standard Atmosphere 1976 for the density of the air, at 50 °F outdoors");
const EVENINGS: Source = Source::practice(
    "a house is cooled by air of 50 to 70 °F; the coldest is the thickest and pulls hardest",
);
const EXHAUSTS: Source = Source::confirmed(
    "Worst-case set-up of a combustion appliance zone: all exhausts and the dryer run (BPI technical standard)",
);
const SPILLAGE: Source = Source::confirmed(
    "Fuel-gas codes, spillage test: IFGC and IRC appendix D, NFPA 54 annex; a summer exhaust fan stays off",
);
const MENDABLE: Source = Source {
    cite: "What counts as mendable: all doors open and at most twice the windows of today; the vents as they are after mending",
    status: Status::Invented,
};

/// Where the limit that governs stands in the table.
const SOURCES: &[Source] = &[
    LIMIT_SOURCE,
    ORIFICE,
    AIR,
    EVENINGS,
    EXHAUSTS,
    WIND_SOURCE,
    STACK_SOURCE,
    SPILLAGE,
    MENDABLE,
];
/// Where it is read into the table.
const DERIVED: &[Source] = &[
    LIMIT_SOURCE,
    STRICTEST_ROW_SOURCE,
    ORIFICE,
    AIR,
    EVENINGS,
    EXHAUSTS,
    WIND_SOURCE,
    STACK_SOURCE,
    SPILLAGE,
    MENDABLE,
];

/// One end of the span of what can turn out: vents, joists and height above the sea.
#[derive(Clone, Copy)]
pub(super) struct End {
    ceiling: AirResistance,
    vents: AirResistance,
    air: Density,
    exhausts: Airflow,
}

impl End {
    /// Where the house is pulled lowest.
    pub(super) fn worst(with: &WithFan, need: &VentNeed, opening: &InTheOpening) -> End {
        let (_, most) = vents_when_mended(with, need);
        End {
            ceiling: opening.best,
            vents: most,
            air: with.at.house.air.dense,
            exhausts: with.at.house.air.exhausts.total,
        }
    }

    fn best(with: &WithFan, need: &VentNeed, opening: &InTheOpening) -> End {
        let (fewest, _) = vents_when_mended(with, need);
        End {
            ceiling: opening.worst,
            vents: fewest,
            air: with.at.house.air.thin,
            exhausts: with.at.house.air.exhausts.total,
        }
    }

    fn dense(&self) -> f64 {
        self.air / standard_air()
    }

    /// The hall in still air.
    fn hall(&self, speed: &Speed, opened: &Opened) -> Pressure {
        let path = AirPath {
            windows: opened.resistance(),
            ceiling: self.ceiling,
            vents: self.vents,
        };
        balance(speed, path, self.exhausts, self.air).house
    }

    /// What fan and exhausts draw from a hall at this pressure.
    fn drawn(&self, speed: &Speed, hall: Pressure, on_vents: Pressure) -> Airflow {
        let rest = self.ceiling.then(self.vents);
        flow_from(speed, hall, on_vents * self.dense(), rest, self.air) + self.exhausts
    }

    /// Bare opening straight to outdoors that keeps the hall within a limit in still air.
    pub(super) fn windows(&self, speed: &Speed, limit: Pressure) -> Area {
        let rest = self.ceiling.then(self.vents);
        windows_for_limit(speed, rest, limit, self.exhausts, self.air)
    }

    /// Whether the hall stays at or above a limit in still air.
    fn keeps(&self, speed: &Speed, opened: &Opened, limit: Pressure) -> bool {
        self.hall(speed, opened) >= limit
    }

    /// The side from which the wind pulls the hall lowest, seen at this pressure.
    fn worst_wind(&self, opened: &Opened, hall: Pressure) -> (HouseSide, Wind) {
        let at = hall * (1.0 / self.dense());
        let lets_in = |wind: &Wind| opened.inflow(at, wind).cfm();
        let mut all = Wind::all();
        all.sort_by(|a, b| lets_in(&a.1).total_cmp(&lets_in(&b.1)));
        all[0]
    }

    /// Whether the hall stays at or above a limit with the wind on any side.
    pub(super) fn keeps_in_wind(&self, speed: &Speed, opened: &Opened, limit: Pressure) -> bool {
        let (_, wind) = self.worst_wind(opened, limit);
        let at = limit * (1.0 / self.dense());
        opened.inflow(at, &wind) >= self.drawn(speed, limit, Wind::on_roof())
    }

    /// The hall with the wind on its worst side.
    fn hall_in_wind(
        &self,
        speed: &Speed,
        opened: &Opened,
        near: Pressure,
    ) -> (HouseSide, Pressure) {
        let (side, wind) = self.worst_wind(opened, near);
        let surplus = |pa: f64| {
            let hall = Pressure::from_pa(pa);
            let at = hall * (1.0 / self.dense());
            (opened.inflow(at, &wind)).cfm() - self.drawn(speed, hall, Wind::on_roof()).cfm()
        };
        // What comes in falls and what is drawn rises with the pressure: one place where they meet.
        let (mut low, mut high) = (-400.0, 20.0);
        let (mut at_low, mut at_high) = (surplus(low), surplus(high));
        if at_low <= 0.0 {
            return (side, self.hall(speed, opened));
        }
        // False position with the end that stays halved (Illinois method).
        for _ in 0..60 {
            let middle = (low * at_high - high * at_low) / (at_high - at_low);
            let here = surplus(middle);
            if here.abs() < 0.01 || high - low < 1e-4 {
                return (side, Pressure::from_pa(middle));
            }
            if here > 0.0 {
                (low, at_low) = (middle, here);
                at_high *= 0.5;
            } else {
                (high, at_high) = (middle, here);
                at_low *= 0.5;
            }
        }
        (side, Pressure::from_pa(0.5 * (low + high)))
    }
}

/// What the attic's vents come to once they are mended, at least and at most.
fn vents_when_mended(with: &WithFan, need: &VentNeed) -> (AirResistance, AirResistance) {
    let have = with.at.house.air.vents.have.total();
    let through = |area| AirResistance::of_opening(Discharge::SHARP_EDGE, area);
    match (need.whole, need.worst) {
        (true, Some(add)) => {
            let mended = through(have + add.total());
            (mended, mended)
        }
        _ => (through(have.max(need.fan())), AirResistance::NONE),
    }
}

/// How a choice comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Comes {
    /// On any evening.
    Well,
    /// In still air, but not in wind or not for a flame below the windows.
    StillOnly,
    /// With doors opened that were said to be shut.
    Doors,
    /// With more windows.
    Windows,
    /// Not at all.
    Not,
}

impl Comes {
    const fn outcome(self) -> Outcome {
        match self {
            Comes::Well => Outcome::Holds,
            Comes::StillOnly | Comes::Doors | Comes::Windows => Outcome::Mend,
            Comes::Not => Outcome::Fails,
        }
    }
}

fn comes(with: &WithFan, end: &End) -> Comes {
    let (flames, inlets) = (&with.at.house.air.flames, with.at.inlets);
    let speed = with.fan.high();
    let Some(tightest) = flames.unmeasured().next() else {
        return match flames.measured_too_low() {
            Some(_) => Comes::StillOnly,
            None => Comes::Well,
        };
    };
    let limit = tightest.in_hall();
    if end.keeps(speed, inlets.as_said(), limit) {
        let weathers = |flame: &Flame| {
            let limit = flame.in_hall_when_cool();
            limit.pa() < 0.0
                && end.keeps(speed, inlets.as_said(), limit)
                && end.keeps_in_wind(speed, inlets.as_said(), flame.in_hall())
        };
        return match flames.unmeasured().all(weathers) && flames.measured_too_low().is_none() {
            true => Comes::Well,
            false => Comes::StillOnly,
        };
    }
    if end.keeps(speed, inlets.doors_open(), limit) {
        Comes::Doors
    } else if end.keeps(speed, &inlets.doors_open().widened(MORE_WINDOWS), limit) {
        Comes::Windows
    } else {
        Comes::Not
    }
}

pub(super) fn rule(with: WithFan) -> Finding {
    let house = with.at.house;
    let air = house.air;
    let (flames, inlets) = (&air.flames, with.at.inlets);
    let mut a = RuleContext::spot(with.at, "backdraft", "Do all flues keep drawing?", SOURCES);
    a.complete(flame::APPLIANCES);
    if flames.whole() && flames.limits.is_empty() {
        return a.settled(
            Outcome::Holds,
            Say::new("No flue hangs on the pressure in the house."),
        );
    }
    let by_reckoning = !flames.whole() || flames.unmeasured().next().is_some();
    let opening = in_the_opening(&with);
    let need = vent_need(&with);
    if by_reckoning {
        a.lack(&flames.holes);
        a.inlets(&with);
        a.exhausts(&with);
        if !flames.whole() || !inlets.known || !air.exhausts.whole() {
            a.density();
            a.joists_in_the_opening(&with);
            a.vents_need(&with, &need);
            return a.open(inlets.clash.clone().or(opening.clash));
        }
    }
    let worst = End::worst(&with, &need, &opening);
    let best = End::best(&with, &need, &opening);
    let came = comes(&with, &worst);
    let outcome = came.outcome();
    if by_reckoning {
        a.density();
        a.joists_in_the_opening(&with);
        if need.whole || outcome != comes(&with, &best).outcome() {
            a.vents_need(&with, &need);
        }
        if outcome != comes(&with, &best).outcome() {
            return a.open(opening.clash);
        }
    }
    // What holds is shown at its worst, what does not at its best.
    let (shown, came) = match outcome {
        Outcome::Holds => (worst, came),
        _ => (best, comes(&with, &best)),
    };
    let Some(flame) = flames
        .measured_too_low()
        .or_else(|| flames.unmeasured().next())
        .or(flames.limits.first())
    else {
        return a.not_measured();
    };
    let finding = match by_reckoning && flames.measured_too_low().is_none() {
        true => reckoned(a, &with, &shown, came, flame, &opening),
        false => measured(a, outcome, flame),
    };
    cautions(finding, &with, outcome)
}

/// A finding on what a technician measured.
fn measured(mut a: RuleContext, outcome: Outcome, flame: &Flame) -> Finding {
    let stands = flame.measured.unwrap_or(Pressure::ZERO);
    let limit = flame.limit.pressure;
    a.figure(limit_name(flame.kind), limit);
    a.figure("pressure measured in the appliance's room", stands);
    let text = match outcome {
        Outcome::Holds => "Measured with the fan on: {high}. {what}, limit: {limit} ({row}).",
        _ => "Measured with the fan on: {high}, too low. {what}, limit: {limit} ({row}).",
    };
    let finding = a
        .settled(
            outcome,
            named(Say::new(text).with("high", pa(stands)), flame),
        )
        .amounts(pa(limit), pa(stands), pa(stands - limit));
    match outcome {
        Outcome::Holds => finding,
        _ => finding
            .remedy(
                Who::Anybody,
                Say::new(
                    "Open more windows and doors while the fan runs, and have it measured again.",
                ),
            )
            .remedy(Who::Plumber, sealed(flame).what),
    }
}

fn named(say: Say, flame: &Flame) -> Say {
    say.with("limit", pa(flame.limit.pressure))
        .with("what", flame.word())
        .with("row", flame.limit.row.label())
}

fn sealed(flame: &Flame) -> Remedy {
    Remedy {
        who: Who::Plumber,
        need: None,
        what: Say::new(
            "Or have a licensed technician replace the appliance ({what}) by one that is sealed from the \
             rooms, or part its room from the house with air of its own from outdoors.",
        )
        .with("what", flame.word()),
    }
}

fn reckoned(
    mut a: RuleContext,
    with: &WithFan,
    shown: &End,
    came: Comes,
    flame: &Flame,
    opening: &InTheOpening,
) -> Finding {
    let inlets = with.at.inlets;
    let limit = flame.in_hall();
    let (fast, slow) = (with.fan.high(), with.fan.low());
    let (high, low) = (
        shown.hall(fast, inlets.as_said()),
        shown.hall(slow, inlets.as_said()),
    );
    let (side, windy) = shown.hall_in_wind(fast, inlets.as_said(), limit);
    figures(&mut a, with, shown, flame, opening, [high, low, windy]);
    let (for_high, for_low) = (shown.windows(fast, limit), shown.windows(slow, limit));
    let have = inlets.as_said().area();
    let text = match came {
        Comes::Well => {
            "The hall stays at {high} on high and {low} on low, in wind of 10 mph at {windy}. {what}, limit: {limit} ({row})."
        }
        Comes::StillOnly => {
            "In still air the hall stays at {high} on high. In wind of 10 mph ({side}) it falls to {windy}; rooms below the \
             windows stand {below} lower on a cool evening. {what}, limit: {limit} ({row})."
        }
        _ if low >= limit => {
            "On high the hall would be pulled to {high}. {what}, limit: {limit} ({row}). That takes {need} of open window \
             straight to the hall; windows and doors let in as much as {have}. On low the hall stays at {low}."
        }
        _ => {
            "The hall would be pulled to {high} on high and {low} on low. {what}, limit: {limit} ({row}). That takes {need} of \
             open window straight to the hall, on low {need_low}; windows and doors let in as much as {have}."
        }
    };
    let say = named(Say::new(text), flame)
        .with("high", pa(high))
        .with("low", pa(low))
        .with("windy", pa(windy))
        .with("side", side_word(side))
        .with("below", pa(flame.below))
        .with("need", ft2(for_high))
        .with("need_low", ft2(for_low))
        .with("have", number((have.ft2() * 10.0).floor() / 10.0, "ft²", 1));
    let judged = if came == Comes::StillOnly {
        windy.min(high - flame.below)
    } else {
        high
    };
    let mut finding =
        a.settled(came.outcome(), say)
            .amounts(pa(limit), pa(judged), pa(judged - limit));
    if flame.limit.status == Status::Derived {
        finding.sources = DERIVED;
    }
    let more = ft2((for_high - have).max(Area::ZERO));
    let open = open_windows::least(with, true).and_then(|it| it.say());
    match came {
        Comes::Well => finding,
        Comes::StillOnly => {
            if inlets.as_said().sides() < 2 {
                finding = finding.remedy(
                    Who::Anybody,
                    Say::new(
                        "Open windows on at least two sides of the house: in wind, one side alone does not help.",
                    ),
                );
            }
            finding
                .remedy(
                    Who::Plumber,
                    Say::new(
                        "Have a licensed technician measure the pressure in the appliance's room on a windy evening: fan on \
                         high, windows open, other exhausts on. What was measured there decides.",
                    ),
                )
                .remedy(Who::Plumber, sealed(flame).what)
        }
        Comes::Doors => finding
            .remedy(
                Who::Anybody,
                match open {
                    Some(open) => Say::new(
                        "While the fan runs, keep open: {open}. Fit a switch that keeps the fan off until they are open.",
                    )
                    .with("open", open),
                    None => Say::new("While the fan runs, keep the doors of all rooms with windows open."),
                },
            )
            .remedy(Who::Plumber, sealed(flame).what),
        Comes::Windows => finding
            .needs(
                Who::Anybody,
                Need::Windows(Windows {
                    open: for_high,
                    have,
                    interlock: true,
                }),
            )
            .remedy(Who::Plumber, sealed(flame).what),
        Comes::Not => finding
            .remedy(
                Who::Anybody,
                Say::new("{need} of open window would be needed, {more} more than now: take a smaller fan.")
                    .with("need", ft2(for_high))
                    .with("more", more),
            )
            .remedy(Who::Plumber, sealed(flame).what),
    }
}

fn cautions(mut finding: Finding, with: &WithFan, outcome: Outcome) -> Finding {
    let flames = &with.at.house.air.flames;
    finding = finding.caution(Say::new(
        "The fan must never run with the windows shut. Before it is used, have a licensed technician measure the draft \
         of every flue with the fan at high speed and the windows open as they will be.",
    ));
    if outcome == Outcome::Holds
        && let Some(open) = open_windows::least(with, false).and_then(|it| it.say())
    {
        finding =
            finding.caution(Say::new("Before the fan runs, open: {open}.").with("open", open));
    }
    if flames.passed {
        finding = finding.caution(not_cleared());
    }
    if flames.in_garage {
        finding = finding.caution(Say::new(
            "An appliance in the garage is judged as if the door to the house stood open. Keep that door shut while \
             the fan runs.",
        ));
    }
    finding
}

/// The wind's side in a sentence.
const fn side_word(side: HouseSide) -> &'static str {
    match side {
        HouseSide::Front => "from the front",
        HouseSide::Back => "from the back",
        HouseSide::Left => "from the left",
        HouseSide::Right => "from the right",
    }
}

fn pa(pressure: Pressure) -> Arg {
    number(pressure.pa(), "Pa", 1)
}

fn ft2(area: Area) -> Arg {
    // Rounded up, so that what is said is enough.
    number((area.ft2() * 10.0 - 1e-6).ceil() / 10.0, "ft²", 1)
}

fn figures(
    a: &mut RuleContext,
    with: &WithFan,
    shown: &End,
    flame: &Flame,
    opening: &InTheOpening,
    [high, low, windy]: [Pressure; 3],
) {
    let air = with.at.house.air;
    for it in air.flames.unmeasured() {
        a.figure(limit_name(it.kind), it.limit.pressure);
        let bare = shown.windows(with.fan.high(), it.in_hall());
        a.figure(windows_name(it.kind), with.at.inlets.clear_opening(bare));
    }
    a.figure("tightest limit of house pressure", flame.in_hall());
    a.figure("house pressure, vents mended, high speed", high);
    a.figure("house pressure, vents mended, low speed", low);
    a.figure("house pressure, wind of 10 mph from its worst side", windy);
    a.figure("pressure of rooms below the windows", flame.below * -1.0);
    a.figure("other exhausts running", air.exhausts.total);
    a.density_figures(shown.air);
    for (speed, name) in [
        (with.fan.high(), "window area for the limit, high speed"),
        (with.fan.low(), "window area for the limit, low speed"),
    ] {
        let bare = shown.windows(speed, flame.in_hall());
        a.figure(name, with.at.inlets.clear_opening(bare));
    }
    a.figure(
        "open windows and doors, as one opening to the hall",
        with.at.inlets.as_said().area(),
    );
    if let Some(blocked) = opening.blocked {
        a.figure("width blocked by joists in the opening", blocked);
    }
}
