//! Every room with the fan on high: the whole network of zones, the ceiling's leaks included.

use super::WithFan;
use super::air::{in_the_opening, path_as_it_is};
use crate::measure::quantity::{Airflow, Pressure};
use crate::survey::{ItemId, Survey};
use crate::trade::leakage::{CEILING_SHARE, Leak, leaks, usual_leakage};
use crate::trade::network::AirResistance;
use crate::trade::opening::Discharge;
use crate::trade::zones::{Side, Zones};
use schemars::JsonSchema;
use serde::Serialize;

/// A room with windows, the fan on high in still air and other exhausts off.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RoomAir {
    /// The entry in the hall's list of rooms; absent for windows whose rooms nobody noted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<ItemId>,
    /// What the room is called.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The room against outdoors; above zero where attic air blows out of its own windows.
    pub pressure: Pressure,
    /// What comes in by its windows; below zero where it goes out.
    pub by_windows: Airflow,
    /// What comes back from the attic through its ceiling.
    pub from_attic: Airflow,
}

/// The leaks of the house: as a blower door read them, else as many as a house of its age has at most; `None` where
/// storeys are missing.
pub(crate) fn leakage(survey: &Survey, rooms: &super::air::Rooms) -> Option<Leak> {
    match survey.flame.leakage {
        Some(measured) => Some(Leak::of_cfm50(measured)),
        None => (rooms.whole() && rooms.clash.is_none()).then(|| {
            let at_test = usual_leakage(survey.arrival.year_built);
            leaks(rooms.volume, at_test)
        }),
    }
}

/// Every room with windows behind the doors as they were said to stand; `None` where something of the air's way, the
/// height above the sea or the leaks is not known.
pub(crate) fn rooms(with: &WithFan) -> Option<Vec<RoomAir>> {
    let house = with.at.house;
    let path = path_as_it_is(with, &in_the_opening(with));
    if !path.whole || !house.air.density_known() {
        return None;
    }
    let ceiling = leakage(house.survey, &house.air.rooms)?.share(CEILING_SHARE);
    let list = &with.at.spot.hall.rooms.items;
    let floor = |room: Option<ItemId>| {
        let found = list.iter().find(|it| Some(it.id) == room);
        found
            .and_then(|it| it.floor_area)
            .map_or(0.0, |it| it.ft2())
    };
    let floors: f64 = list.iter().map(|it| floor(Some(it.id))).sum();
    let area = |resistance: AirResistance| resistance.as_area(Discharge::SHARP_EDGE);
    let through = Discharge::SHARP_EDGE;
    let mut zones = Zones::new();
    let (hall, attic) = (zones.zone(), zones.zone());
    let mut below = hall;
    if path.worst.ceiling != AirResistance::NONE {
        // Joists left whole stand between the hall and the fan.
        below = zones.zone();
        let bars = area(path.worst.ceiling);
        zones.opening(Side::Zone(hall), Side::Zone(below), through, bars);
    }
    zones.fan(below, attic, with.fan.high());
    let vents = area(path.worst.vents);
    zones.opening(Side::Zone(attic), Side::OUTDOORS, through, vents);
    let mut rest = 1.0;
    let mut found = Vec::new();
    for (room, name, windows, passage) in with.at.inlets.as_zones() {
        let zone = zones.zone();
        let by_windows = zones.opening(Side::OUTDOORS, Side::Zone(zone), through, windows);
        zones.opening(Side::Zone(zone), Side::Zone(hall), through, passage);
        let share = if floors > 0.0 {
            floor(room) / floors
        } else {
            0.0
        };
        rest -= share;
        let leak = zones.leak(Side::Zone(attic), Side::Zone(zone), ceiling.share(share));
        found.push((room, name, zone, by_windows, leak));
    }
    // Under the rest of the ceiling lie the hall and the rooms without windows.
    zones.leak(
        Side::Zone(attic),
        Side::Zone(hall),
        ceiling.share(rest.max(0.0)),
    );
    let settled = zones.settle(house.air.dense);
    Some(
        found
            .into_iter()
            .map(|(room, name, zone, by_windows, leak)| RoomAir {
                room,
                name: name.map(str::to_owned),
                pressure: settled.pressure(zone),
                by_windows: settled.through(by_windows),
                from_attic: settled.through(leak),
            })
            .collect(),
    )
}
