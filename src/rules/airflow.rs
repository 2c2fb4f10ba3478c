//! Whether the fan moves enough air through this house, with its windows and vents as they are.

use super::finding::{Arg, Finding, Outcome, Say, Who, number};
use super::{Asking, WithFan};
use crate::house::air::{Eaves, InTheOpening, PathSpan, in_the_opening, path_as_it_is};
use crate::measure::quantity::{Airflow, Area};
use crate::need::{Need as Want, Vents, Windows};
use crate::trade::airflow::{
    CHANGES_SOURCE, LEAST_CHANGES, MOST_CHANGES, THUMB_PER_FLOOR, air_changes, airflow_for,
    energy_rule, windows_for_flow,
};
use crate::trade::codes::Energy;
use crate::trade::fan::Fan;
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
const RATED: Source = Source::from_memory("Rated at 0.1 in of water: HVI 916 and 920, AMCA 210");
const MENDABLE: Source = Source {
    cite: "What counts as mendable: at most twice the windows of today, at most 1 ft² of vent per 375 cfm",
    status: Status::Invented,
};

const fn sources(energy: Energy) -> &'static [Source] {
    match energy {
        Energy::None => const { &[CHANGES_SOURCE, ORIFICE, BARS, RATED, MENDABLE] },
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
                    MENDABLE,
                ]
            }
        }
    }
}

/// The most that windows can be added to and still count as a mend: as many again.
pub(super) const MORE_WINDOWS: f64 = 2.0;

/// The house's need, from the least to the most that it can turn out to be.
struct Need {
    least: Airflow,
    /// `None` where storeys are still missing.
    most: Option<Airflow>,
    basis: &'static str,
}

const BY_CHANGES: &str = "30 air changes an hour";
const BY_CODE: &str = "the energy code's airflow for the floor area";

fn need(with: &WithFan) -> Need {
    let house = with.at.house;
    let rooms = &house.air.rooms;
    let by_changes = airflow_for(rooms.volume, LEAST_CHANGES);
    let changes = |most| Need {
        least: by_changes,
        most,
        basis: BY_CHANGES,
    };
    let whole = rooms.whole();
    let Some(rule) = energy_rule(house.codes.energy) else {
        return changes(whole.then_some(by_changes));
    };
    let by_floor = rule.per_floor * rooms.floor;
    match house.survey.arrival.climate_zone {
        Some(zone) if whole => match rule.airflow(rooms.floor, zone) {
            Some(code) => Need {
                least: code,
                most: Some(code),
                basis: BY_CODE,
            },
            None => changes(Some(by_changes)),
        },
        Some(zone) if !(rule.zones.0..=rule.zones.1).contains(&zone) => changes(None),
        _ => Need {
            least: by_changes.min(by_floor),
            most: whole.then_some(by_changes.max(by_floor)),
            basis: BY_CHANGES,
        },
    }
}

/// Whether a fan brings what is needed through this way of the air, or would with more windows and vents; `opened` is what
/// the vents come to once the eaves are open.
fn judge(fan: &Fan, need: Airflow, path: AirPath, opened: AirResistance) -> Outcome {
    if balance(fan.high(), path, standard_air()).airflow >= need {
        return Outcome::Holds;
    }
    let Some(allowed) = resistance_for(fan.high(), need) else {
        return Outcome::Fails;
    };
    let widest = AirResistance::of_opening(Discharge::SHARP_EDGE, need / WIDEST_PER_VENT);
    let at_best = path
        .windows
        .widened(MORE_WINDOWS)
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
    let survey = house.survey;
    let air = house.air;
    let mut a = Asking::spot(
        "airflow",
        "Does the fan move enough air?",
        sources(house.codes.energy),
        with.at.spot.id,
    );
    let opening = in_the_opening(&with);
    let path = path_as_it_is(&with, &opening);
    let need = need(&with);
    a.rooms(survey, &air.rooms);
    if let Some(clash) = air.rooms.clash {
        return a.contradiction(Say::new(clash));
    }
    let at_best = judge(with.fan, need.least, path.best, path.opened.1);
    let settled = match (at_best, need.most) {
        (Outcome::Fails, _) => true,
        (_, Some(most)) => judge(with.fan, most, path.worst, path.opened.0) == at_best,
        (_, None) => false,
    };
    // The answers that the rest hangs on.
    if energy_rule(house.codes.energy).is_some() {
        a.ask("arrival.climate_zone", survey.arrival.climate_zone);
    }
    a.windows(survey);
    a.ask_list("vents.vents.complete", &survey.vents.vents);
    a.eaves(&with);
    a.joists_in_the_opening(&with);
    if !settled {
        a.lack(&air.vents.area_holes);
        if path.eaves != Eaves::Open && air.vents.unplaced {
            a.lack(&air.vents.place_holes);
        }
        return a.open(opening.clash);
    }
    figures(&mut a, &with, &need, &path, &opening);
    // Where something is still missing, the worst for what holds and the best for what does not.
    let known = if at_best == Outcome::Holds {
        path.worst
    } else {
        path.best
    };
    let found = balance(with.fan.high(), known, air.dense);
    let delivered = found.airflow;
    let rated = with.fan.rated_airflow();
    let needed = match (at_best, need.most) {
        (Outcome::Holds, Some(most)) => most,
        _ => need.least,
    };
    let changes = air
        .rooms
        .whole()
        .then(|| air_changes(air.rooms.volume, delivered))
        .flatten();
    let pressures = path.whole && air.density_known();
    let text = match (at_best, path.whole, changes.is_some()) {
        (Outcome::Holds, true, _) if pressures => {
            "It delivers {delivered} (rated {rated}) with the vents and windows as they are, the house at {house} and the \
             attic at +{attic}: {changes} air changes an hour. {need} is needed: {basis}."
        }
        (_, true, true) if pressures && at_best != Outcome::Holds => {
            "It delivers only {delivered} (rated {rated}) with the vents and windows as they are, the house at {house} and \
             the attic at +{attic}: {changes} air changes an hour. {need} is needed: {basis}."
        }
        (Outcome::Holds, true, _) => {
            "It delivers {delivered} (rated {rated}) with the vents and windows as they are: {changes} air changes an hour. \
             {need} is needed: {basis}."
        }
        (Outcome::Holds, false, _) => {
            "It delivers at least {delivered} (rated {rated}): {changes} air changes an hour. {need} is needed: {basis}."
        }
        (_, true, true) => {
            "It delivers only {delivered} (rated {rated}) with the vents and windows as they are: {changes} air changes an \
             hour. {need} is needed: {basis}."
        }
        _ => "It delivers at most {delivered} (rated {rated}). At least {need} is needed: {basis}.",
    };
    let mut say = Say::new(text)
        .with("delivered", cfm(delivered))
        .with("rated", cfm(rated))
        .with("need", cfm(needed))
        .with("basis", need.basis);
    if pressures {
        say = say
            .with("house", number(found.house.pa(), "Pa", 1))
            .with("attic", number(found.attic.pa(), "Pa", 0));
    }
    if let Some(changes) = changes {
        say = say.with("changes", number(changes.per_hour(), "", 0));
    }
    let mut finding =
        a.settled(at_best, say)
            .amounts(cfm(needed), cfm(delivered), cfm(delivered - needed));
    if at_best == Outcome::Mend {
        finding = remedies(finding, &with, needed, &path);
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
    if need.basis == BY_CODE && changes.is_some_and(|it| it < LEAST_CHANGES) {
        finding = finding.caution(Say::new(
            "That is enough for the energy code but fewer than the 30 air changes an hour at which a fan is felt.",
        ));
    }
    finding
}

fn cfm(airflow: Airflow) -> Arg {
    number(airflow.cfm(), "cfm", 0)
}

fn figures(a: &mut Asking, with: &WithFan, need: &Need, path: &PathSpan, opening: &InTheOpening) {
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
    if let Some(open) = house.survey.flame.openable_window_area {
        a.figure("openable window area", open);
    }
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
        let found = balance(speed, path.worst, air.dense);
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
        a.density(house.survey);
        a.density_figures(air, air.dense);
    }
    a.figure(
        "window area for the flow alone",
        windows_for_flow(with.fan.rated_airflow(), screened),
    );
}

/// What would bring the airflow: the eaves opened where that alone will do, else vents alone where that is possible, else
/// windows alone, else both.
fn remedies(finding: Finding, with: &WithFan, need: Airflow, path: &PathSpan) -> Finding {
    let air = with.at.house.air;
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
    if balance(with.fan.high(), opened, standard_air()).airflow >= need {
        return finding.remedy(
            Who::Anybody,
            Say::new(
                "Open the air's way at the eaves; with the vents there the fan moves enough air.",
            ),
        );
    }
    let (vents_now, path) = (path.vents, path.worst);
    let windows_open = air.windows.open.unwrap_or(Area::ZERO);
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
        .map(|left| {
            air.windows
                .clear_opening(left.as_area(Discharge::SHARP_EDGE))
        })
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
