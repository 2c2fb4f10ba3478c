//! Whether the fan moves enough air through this house, with its windows and vents as they are.

use super::finding::{Arg, Finding, Outcome, Say, Who, number};
use super::open_windows::{self, MORE_WINDOWS};
use super::{RuleContext, WithFan};
use crate::house::air::{Eaves, InTheOpening, PathSpan, in_the_opening, path_as_it_is};
use crate::measure::quantity::{Airflow, Area};
use crate::need::{Need as Want, Vents, Windows};
use crate::survey::{arrival, vents};
use crate::trade::airflow::{
    CHANGES_SOURCE, LEAST_CHANGES, MOST_CHANGES, THUMB_PER_FLOOR, air_changes, airflow_for,
    energy_rule, windows_for_flow,
};
use crate::trade::codes::Energy;
use crate::trade::fan::rating_pressure;
use crate::trade::network::{AirPath, AirResistance, balance, resistance_for};
use crate::trade::opening::{Discharge, standard_air};
use crate::trade::source::{Source, Status};
use crate::trade::vent_area::{USUAL_PER_VENT, WIDEST_PER_VENT};

const ORIFICE: Source = Source::confirmed(
    "Orifice equation, ASHRAE Fundamentals; discharge coefficient 0.60 of windows and net vent area: E3S Web of \
     Conferences 396, 02030 (2023)",
);
const BARS: Source = Source::confirmed(
    "Joists in the opening as square-edged bars: R. D. Blevins, Applied Fluid Dynamics Handbook, 1984",
);
const OPENINGS: Source = Source::confirmed(
    "University of Missouri Extension, Sizing attic and window fans: 1 ft² of open window per 1000 cfm, twice that with screens",
);
const RATED: Source = Source::from_memory("Rated at 0.1 in of water: HVI 916 and 920, AMCA 210");
const MENDABLE: Source = Source {
    cite: "What counts as mendable: all doors open, at most twice the windows of today, at most 1 ft² of vent per 375 cfm",
    status: Status::Invented,
};

const fn sources(energy: Energy) -> &'static [Source] {
    match energy {
        Energy::None => const { &[CHANGES_SOURCE, ORIFICE, BARS, RATED, OPENINGS, MENDABLE] },
        Energy::California2013 => {
            const {
                &[
                    match energy_rule(Energy::California2013) {
                        Some(rule) => rule.source,
                        None => CHANGES_SOURCE,
                    },
                    CHANGES_SOURCE,
                    ORIFICE,
                    BARS,
                    RATED,
                    OPENINGS,
                    MENDABLE,
                ]
            }
        }
        Energy::California2016 => {
            const {
                &[
                    match energy_rule(Energy::California2016) {
                        Some(rule) => rule.source,
                        None => CHANGES_SOURCE,
                    },
                    CHANGES_SOURCE,
                    ORIFICE,
                    BARS,
                    RATED,
                    OPENINGS,
                    MENDABLE,
                ]
            }
        }
    }
}

/// What the house needs: airflow where an energy code refuses less, and what 30 air changes an hour come to, which is
/// advice.
struct Need {
    least: Airflow,
    /// `None` where storeys or the climate zone are still missing.
    most: Option<Airflow>,
}

/// The airflow below which an energy code in force refuses; none where there is no such code.
fn need(with: &WithFan) -> Need {
    let house = with.at.house;
    let rooms = &house.air.rooms;
    let known = |airflow| Need {
        least: airflow,
        most: Some(airflow),
    };
    let Some(rule) = energy_rule(house.codes.energy) else {
        return known(Airflow::ZERO);
    };
    match house.survey.arrival.climate_zone {
        Some(zone) if !(rule.zones.0..=rule.zones.1).contains(&zone) => known(Airflow::ZERO),
        Some(zone) if rooms.whole() => {
            known(rule.airflow(rooms.floor, zone).unwrap_or(Airflow::ZERO))
        }
        _ => Need {
            least: Airflow::ZERO,
            most: rooms.whole().then(|| rule.per_floor * rooms.floor),
        },
    }
}

/// Whether windows and doors let in what the fan takes, and whether it brings what the code asks for, or would with more
/// windows and vents; `opened` is what the vents come to once the eaves are open.
fn judge(with: &WithFan, need: Airflow, path: AirPath, opened: AirResistance) -> Outcome {
    let fan = with.fan;
    let enough = with.at.inlets.as_said().area() >= windows_for_flow(fan.rated_airflow(), false);
    if balance(fan.high(), path, Airflow::ZERO, standard_air()).airflow >= need {
        return if enough {
            Outcome::Holds
        } else {
            Outcome::Mend
        };
    }
    let Some(allowed) = resistance_for(fan.high(), need) else {
        return Outcome::Fails;
    };
    let widest = AirResistance::of_opening(Discharge::SHARP_EDGE, need / WIDEST_PER_VENT);
    let windows = with
        .at
        .inlets
        .doors_open()
        .widened(MORE_WINDOWS)
        .resistance();
    let at_best = windows
        .then(path.ceiling)
        .then(path.vents.min(widest).min(opened));
    if at_best <= allowed {
        Outcome::Mend
    } else {
        Outcome::Fails
    }
}

pub(super) fn rule(with: WithFan) -> Finding {
    let house = with.at.house;
    let air = house.air;
    let inlets = with.at.inlets;
    let mut a = RuleContext::spot(
        with.at,
        "airflow",
        "Does the fan move enough air?",
        sources(house.codes.energy),
    );
    let opening = in_the_opening(&with);
    let path = path_as_it_is(&with, &opening);
    let need = need(&with);
    a.rooms(&air.rooms);
    if let Some(clash) = air.rooms.clash {
        return a.contradiction(Say::new(clash));
    }
    a.inlets(&with);
    if energy_rule(house.codes.energy).is_some() {
        a.get(arrival::CLIMATE_ZONE);
    }
    a.complete(vents::VENTS);
    a.eaves(&with);
    a.joists_in_the_opening(&with);
    let at_best = judge(&with, need.least, path.best, path.opened.1);
    let settled = inlets.known
        && air.rooms.whole()
        && match (at_best, need.most) {
            (Outcome::Fails, _) => true,
            (_, Some(most)) => {
                path.whole && judge(&with, most, path.worst, path.opened.0) == at_best
            }
            (_, None) => false,
        };
    if !settled {
        a.lack(&air.vents.area_holes);
        if path.eaves != Eaves::Open && air.vents.unplaced {
            a.lack(&air.vents.place_holes);
        }
        return a.open(inlets.clash.clone().or(opening.clash));
    }
    figures(&mut a, &with, &need, &path, &opening);
    // Where something is still missing, the worst for what holds and the best for what does not.
    let known = if at_best == Outcome::Holds {
        path.worst
    } else {
        path.best
    };
    let found = balance(with.fan.high(), known, Airflow::ZERO, air.dense);
    let delivered = found.airflow;
    let needed = match (at_best, need.most) {
        (Outcome::Holds, Some(most)) => most,
        _ => need.least,
    };
    let changes = air
        .rooms
        .whole()
        .then(|| air_changes(air.rooms.volume, delivered))
        .flatten();
    let text = match path.whole {
        true => "It delivers {delivered}; rated {rated} at {at}.",
        false => "It delivers at most {delivered}; rated {rated} at {at}.",
    };
    let mut say = Say::new(text)
        .with("delivered", cfm(delivered))
        .with("rated", cfm(with.fan.rated_airflow()))
        .with("at", number(rating_pressure().in_wg(), "in. w.g.", 1));
    if path.whole && air.density_known() {
        say = Say::new("{said} House {house}, attic {attic} against outdoors.")
            .with("said", say)
            .with("house", number(found.house.pa(), "Pa", 1))
            .with("attic", number(found.attic.pa(), "Pa", 0));
    }
    if let Some(changes) = changes {
        say = Say::new("{said} {changes} air changes an hour.")
            .with("said", say)
            .with("changes", number(changes.per_hour(), "", 0));
    }
    if needed > Airflow::ZERO {
        say = Say::new("{said} {need} is needed: the energy code's airflow for the floor area.")
            .with("said", say)
            .with("need", cfm(needed));
    }
    let short = delivered < needed;
    let takes = windows_for_flow(with.fan.rated_airflow(), false);
    let lets_in = inlets.as_said().area();
    if at_best == Outcome::Mend && lets_in < takes {
        say = Say::new("{said} Windows and doors let in as much as {have} of window straight to the hall; it takes {takes}.")
            .with("said", say)
            .with("have", number((lets_in.ft2() * 10.0).floor() / 10.0, "ft²", 1))
            .with("takes", number((takes.ft2() * 10.0 - 1e-6).ceil() / 10.0, "ft²", 1));
    }
    let mut finding = a.settled(at_best, say);
    if needed > Airflow::ZERO {
        finding = finding.amounts(cfm(needed), cfm(delivered), cfm(delivered - needed));
    }
    if at_best == Outcome::Mend {
        if lets_in < takes {
            let open = open_windows::least(&with, true).and_then(|it| it.say());
            finding = finding.remedy(
                Who::Anybody,
                match open {
                    Some(open) => {
                        Say::new("While the fan runs, keep open: {open}.").with("open", open)
                    }
                    None => Say::new(
                        "Open more windows, and the doors of their rooms, while the fan runs.",
                    ),
                },
            );
        }
        if short {
            finding = remedies(finding, &with, needed, &path);
        }
    }
    if path.eaves == Eaves::Closed && air.vents.have.lower.ft2() > 0.0 {
        finding = finding.caution(
            Say::new(
                "Insulation closes the air's way at the eaves: {area} of vent area there counts for nothing here until it \
                 is pulled back.",
            )
            .with("area", number(air.vents.have.lower.ft2(), "ft²", 2)),
        );
    }
    if changes.is_some_and(|it| it > MOST_CHANGES) {
        finding = finding.caution(Say::new(
            "That is more than 60 air changes an hour: louder and draughtier than is of use. A smaller fan or its low \
             speed will do.",
        ));
    }
    if changes.is_some_and(|it| it < LEAST_CHANGES) {
        finding = finding.caution(Say::new(
            "That is fewer than the 30 air changes an hour at which a fan is felt: advice for comfort, no limit.",
        ));
    }
    if inlets.elsewhere > 0 {
        finding = finding.caution(
            Say::new(
                "Windows in rooms that do not open to this hall count for nothing here: {count}.",
            )
            .with("count", inlets.elsewhere),
        );
    }
    finding
}

fn cfm(airflow: Airflow) -> Arg {
    number(airflow.cfm(), "cfm", 0)
}

fn figures(
    a: &mut RuleContext,
    with: &WithFan,
    need: &Need,
    path: &PathSpan,
    opening: &InTheOpening,
) {
    let house = with.at.house;
    let (rooms, air) = (&house.air.rooms, house.air);
    a.figure("rated airflow", with.fan.rated_airflow());
    if rooms.whole() {
        a.figure("conditioned volume", rooms.volume);
        a.figure("conditioned floor area", rooms.floor);
        a.figure(
            "airflow for 30 air changes an hour",
            airflow_for(rooms.volume, LEAST_CHANGES),
        );
        a.figure(
            "airflow for 60 air changes an hour",
            airflow_for(rooms.volume, MOST_CHANGES),
        );
        match energy_rule(house.codes.energy) {
            Some(rule) => a.figure(
                "airflow by the energy code's cfm for each ft²",
                rule.per_floor * rooms.floor,
            ),
            None => {
                a.figure(
                    "airflow at 2 cfm for each ft²",
                    THUMB_PER_FLOOR.0 * rooms.floor,
                );
                a.figure(
                    "airflow at 3 cfm for each ft²",
                    THUMB_PER_FLOOR.1 * rooms.floor,
                );
            }
        }
        a.figure("airflow needed", need.least);
    }
    if let Some(blocked) = opening.blocked {
        a.figure("width blocked by joists in the opening", blocked);
    }
    if !path.whole {
        return;
    }
    a.figure("net free vent area", air.vents.have.total());
    if path.eaves == Eaves::Closed {
        a.figure(
            "net free vent area closed at the eaves",
            air.vents.have.lower,
        );
    }
    a.figure(
        "open windows and doors, as one opening to the hall",
        with.at.inlets.as_said().area(),
    );
    let screened = house.survey.flame.window_screens == Some(true);
    for (speed, names) in [
        (
            with.fan.high(),
            [
                "delivered airflow, high speed",
                "air changes an hour, high speed",
                "house pressure, high speed",
                "attic pressure, high speed",
                "pressure lost at joists in the opening, high speed",
            ],
        ),
        (
            with.fan.low(),
            [
                "delivered airflow, low speed",
                "air changes an hour, low speed",
                "house pressure, low speed",
                "attic pressure, low speed",
                "pressure lost at joists in the opening, low speed",
            ],
        ),
    ] {
        let found = balance(speed, path.worst, Airflow::ZERO, air.dense);
        a.figure(names[0], found.airflow);
        if let (true, Some(changes)) = (rooms.whole(), air_changes(rooms.volume, found.airflow)) {
            a.figure(names[1], changes);
        }
        // Pressures depend on the density of the air, airflow does not.
        if air.density_known() {
            a.figure(names[2], found.house);
            a.figure(names[3], found.attic);
            if opening.blocked.is_some() {
                a.figure(names[4], found.ceiling);
            }
        }
    }
    if air.density_known() {
        a.density();
        a.density_figures(air.dense);
    }
    a.figure(
        "window area for the flow alone",
        windows_for_flow(with.fan.rated_airflow(), screened),
    );
}

/// What would bring the airflow: the eaves opened where that alone will do, else vents alone where that is possible, else
/// windows alone, else both.
fn remedies(finding: Finding, with: &WithFan, need: Airflow, path: &PathSpan) -> Finding {
    let general = Say::new(
        "Open more windows, or add vent area to the attic; measure the rest to know how much.",
    );
    let (true, Some(allowed)) = (path.whole, resistance_for(with.fan.high(), need)) else {
        return finding.remedy(Who::Anybody, general);
    };
    let opened = AirPath {
        vents: path.opened.0,
        ..path.worst
    };
    if balance(with.fan.high(), opened, Airflow::ZERO, standard_air()).airflow >= need {
        return finding.remedy(
            Who::Anybody,
            Say::new(
                "Open the air's way at the eaves; with the vents there the fan moves enough air.",
            ),
        );
    }
    let (vents_now, path) = (path.vents, path.worst);
    let windows_open = with.at.inlets.as_said().area();
    let vents_for = |others: AirResistance| {
        let area = allowed.less(others)?.as_area(Discharge::SHARP_EDGE);
        (area <= need / WIDEST_PER_VENT).then_some(area)
    };
    let vents = |area: Area| {
        Want::Vents(Vents {
            upper: Area::ZERO,
            lower: Area::ZERO,
            anywhere: (area - vents_now).max(Area::ZERO),
        })
    };
    let windows_to = |area: Area| {
        Want::Windows(Windows {
            open: area,
            have: windows_open,
            interlock: false,
        })
    };
    if let Some(area) = vents_for(path.windows.then(path.ceiling)) {
        return finding.needs(Who::Anybody, vents(area));
    }
    let windows = allowed
        .less(path.vents.then(path.ceiling))
        .map(|left| left.as_area(Discharge::SHARP_EDGE))
        .filter(|area| *area <= windows_open * MORE_WINDOWS);
    if let Some(area) = windows {
        return finding.needs(Who::Anybody, windows_to(area));
    }
    match vents_for(path.windows.widened(MORE_WINDOWS).then(path.ceiling)) {
        Some(area) => finding
            .needs(Who::Anybody, windows_to(windows_open * MORE_WINDOWS))
            .needs(Who::Anybody, vents(area.max(need / USUAL_PER_VENT))),
        None => finding.remedy(Who::Anybody, general),
    }
}
