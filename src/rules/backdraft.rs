//! Whether the fan would pull burnt gas down a flue: the house's pressure against the tightest limit.

use super::airflow::MORE_WINDOWS;
use super::finding::{Arg, Finding, Outcome, Say, Who, number};
use super::flues::{limit_name, not_cleared, windows_name};
use super::{Asking, WithFan};
use crate::house::air::{InTheOpening, VentNeed, in_the_opening, vent_need};
use crate::measure::quantity::{Area, Density, Pressure};
use crate::need::{Need, Windows};
use crate::trade::backdraft::{LIMIT_SOURCE, STRICTEST, STRICTEST_ROW_SOURCE};
use crate::trade::fan::{Fan, Speed};
use crate::trade::network::{AirPath, AirResistance, balance, windows_for_limit};
use crate::trade::opening::Discharge;
use crate::trade::source::{Source, Status};

const ORIFICE: Source = Source::confirmed(
    "Orifice equation, ASHRAE Fundamentals; discharge coefficient 0.60 of windows and net vent area: E3S Web of \
     Conferences 396, 02030 (2023)",
);
const AIR: Source = Source::derived(
    "U.S. Standard Atmosphere 1976 for the density of the air, at the temperature outdoors between 50 and 70 °F",
);
const EVENINGS: Source = Source::practice(
    "a house is cooled by air of 50 °F and more; above 70 °F it is thinner and pulls less",
);
const SPILLAGE: Source = Source::confirmed(
    "Fuel-gas codes, spillage test: IFGC and IRC appendix D, NFPA 54 annex; a summer exhaust fan stays off",
);
const MENDABLE: Source = Source {
    cite: "What counts as mendable: at most twice the windows of today; the vents as they are after mending",
    status: Status::Invented,
};

/// Where the limit that governs stands in the table.
const SOURCES: &[Source] = &[LIMIT_SOURCE, ORIFICE, AIR, EVENINGS, SPILLAGE, MENDABLE];
/// Where it is read into the table, or stands for an appliance that is not known yet.
const DERIVED: &[Source] = &[
    LIMIT_SOURCE,
    STRICTEST_ROW_SOURCE,
    ORIFICE,
    AIR,
    EVENINGS,
    SPILLAGE,
    MENDABLE,
];

/// One end of the span of what can turn out.
#[derive(Clone, Copy)]
struct End {
    limit: Option<Pressure>,
    path: AirPath,
    air: Density,
}

impl End {
    fn house(&self, speed: &Speed) -> Pressure {
        balance(speed, self.path, self.air).house
    }

    /// Bare window opening that keeps within the limit.
    fn windows(&self, speed: &Speed, limit: Pressure) -> Area {
        windows_for_limit(
            speed,
            self.path.ceiling.then(self.path.vents),
            limit,
            self.air,
        )
    }

    fn judge(&self, fan: &Fan) -> Outcome {
        let Some(limit) = self.limit else {
            return Outcome::Holds;
        };
        if self.house(fan.high()) >= limit {
            return Outcome::Holds;
        }
        let needed =
            AirResistance::of_opening(Discharge::SHARP_EDGE, self.windows(fan.high(), limit));
        if self.path.windows.widened(MORE_WINDOWS) <= needed {
            Outcome::Mend
        } else {
            Outcome::Fails
        }
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

pub(super) fn rule(with: WithFan) -> Finding {
    let house = with.at.house;
    let survey = house.survey;
    let air = house.air;
    let flames = &air.flames;
    let mut a = Asking::spot(
        "backdraft",
        "Do all flues keep drawing?",
        SOURCES,
        with.at.spot.id,
    );
    a.ask_list("flame.appliances.complete", &survey.flame.appliances);
    if flames.whole() && flames.limits.is_empty() {
        return a.settled(
            Outcome::Holds,
            Say::new("No flue hangs on the pressure in the house."),
        );
    }
    let opening = in_the_opening(&with);
    let need = vent_need(&with);
    let (fewest, most) = vents_when_mended(&with, &need);
    let worst = End {
        limit: flames.at_worst(),
        path: AirPath {
            windows: air.windows.worst,
            ceiling: opening.best,
            vents: most,
        },
        air: air.dense,
    };
    let best = End {
        limit: flames.tightest().map(|flame| flame.limit.pressure),
        path: AirPath {
            windows: air.windows.best,
            ceiling: opening.worst,
            vents: fewest,
        },
        air: air.thin,
    };
    let outcome = worst.judge(with.fan);
    if outcome != best.judge(with.fan) {
        a.lack(&flames.holes);
        a.windows(survey);
        a.density(survey);
        a.joists_in_the_opening(&with);
        a.vents_need(&with, &need);
        return a.open(opening.clash);
    }
    a.windows(survey);
    a.density(survey);
    a.joists_in_the_opening(&with);
    if need.whole {
        a.vents_need(&with, &need);
    }
    let limit = worst.limit.unwrap_or(STRICTEST);
    // What holds is shown at its worst, what does not at its best.
    let shown = if outcome == Outcome::Holds {
        worst
    } else {
        best
    };
    let limit = match (outcome, best.limit) {
        (Outcome::Holds, _) | (_, None) => limit,
        (_, Some(known)) => known,
    };
    for flame in &flames.limits {
        a.figure(limit_name(flame.kind), flame.limit.pressure);
        let bare = shown.windows(with.fan.high(), flame.limit.pressure);
        a.figure(windows_name(flame.kind), air.windows.clear_opening(bare));
    }
    let (high, low) = (shown.house(with.fan.high()), shown.house(with.fan.low()));
    figures(&mut a, &with, &shown, limit, &opening, high, low);
    let windows = |speed: &Speed| air.windows.clear_opening(shown.windows(speed, limit));
    let (for_high, for_low) = (windows(with.fan.high()), windows(with.fan.low()));
    let governing = flames
        .tightest()
        .filter(|flame| flame.limit.pressure == limit);
    let what = governing.map_or("Fuel-burning appliance", |flame| flame.word());
    let row = governing.map_or("by the strictest row", |flame| flame.limit.row.label());
    let stands = governing.is_some_and(|flame| flame.limit.status == Status::Confirmed);
    let have = air.windows.open.unwrap_or(Area::ZERO);
    let text = match outcome {
        Outcome::Holds => {
            "With the windows that can be opened the house stays at {high} at high speed and {low} at low speed; \
             {what} bears {limit} ({row})."
        }
        _ if low >= limit => {
            "At high speed the house would be pulled to {high}; {what} bears {limit} ({row}). That takes {need} of open window; \
             {have} can be opened. At low speed the house stays at {low}."
        }
        _ => {
            "The house would be pulled to {high} at high speed and to {low} at low speed; {what} bears {limit} \
             ({row}). That takes {need} of open window, at low speed {need_low}; {have} can be opened."
        }
    };
    let mut finding = a
        .settled(
            outcome,
            Say::new(text)
                .with("high", pa(high))
                .with("low", pa(low))
                .with("limit", pa(limit))
                .with("what", what)
                .with("row", row)
                .with("need", ft2(for_high))
                .with("need_low", ft2(for_low))
                .with("have", ft2(have)),
        )
        .amounts(pa(limit), pa(high), pa(high - limit));
    if !stands {
        finding.sources = DERIVED;
    }
    if outcome != Outcome::Holds {
        let open = for_high;
        finding = if outcome == Outcome::Mend {
            finding.needs(
                Who::Anybody,
                Need::Windows(Windows {
                    open,
                    have,
                    interlock: true,
                }),
            )
        } else {
            finding.remedy(
                Who::Anybody,
                Say::new("{need} of open window would be needed, {more} more than now: take a smaller fan.")
                    .with("need", ft2(open))
                    .with("more", ft2(open - have)),
            )
        };
        finding = finding
            .remedy(
                Who::Plumber,
                Say::new(
                    "Or have a licensed technician replace the appliance ({what}) by one that is sealed from the \
                     rooms, or part its room from the house with air of its own from outdoors.",
                )
                .with("what", what),
            );
    }
    finding = finding.caution(Say::new(
        "The fan must never run with the windows shut. Before it is used, have a licensed technician measure the draft \
         of every flue with the fan at high speed and the windows open as they will be.",
    ));
    if flames.passed {
        finding = finding.caution(not_cleared());
    }
    if flames.in_garage {
        finding = finding.caution(Say::new(
            "An appliance in the garage is judged as if the door to the house stood open. Keep that door shut while \
             the fan runs.",
        ));
    }
    if flames.in_attic {
        finding = finding.caution(Say::new(
            "An appliance stands in the attic, which the fan presses upon: have a licensed technician watch its flame \
             and its draft with the fan running.",
        ));
    }
    finding
}

fn pa(pressure: Pressure) -> Arg {
    number(pressure.pa(), "Pa", 1)
}

fn ft2(area: Area) -> Arg {
    // Rounded up, so that what is said is enough.
    number((area.ft2() * 10.0 - 1e-6).ceil() / 10.0, "ft²", 1)
}

fn figures(
    a: &mut Asking,
    with: &WithFan,
    shown: &End,
    limit: Pressure,
    opening: &InTheOpening,
    high: Pressure,
    low: Pressure,
) {
    let air = with.at.house.air;
    a.figure("tightest limit of house pressure", limit);
    a.figure("house pressure, vents mended, high speed", high);
    a.figure("house pressure, vents mended, low speed", low);
    a.density_figures(air, shown.air);
    for (speed, name) in [
        (with.fan.high(), "window area for the limit, high speed"),
        (with.fan.low(), "window area for the limit, low speed"),
    ] {
        let bare = shown.windows(speed, limit);
        a.figure(name, air.windows.clear_opening(bare));
    }
    if let Some(open) = air.windows.open {
        a.figure("openable window area", open);
    }
    if let Some(blocked) = opening.blocked {
        a.figure("width blocked by joists in the opening", blocked);
    }
}
