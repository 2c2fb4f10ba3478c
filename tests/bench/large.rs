//! A large survey, made the same every time, for the benchmarks.

#[path = "../common/mod.rs"]
mod common;

use common::{Dice, fill};
use joistlight::survey::{FieldRef, ItemId, Survey, When, fields};
use joistlight::trade::fan::{self, FanList};

/// How much there is of everything.
#[derive(Clone, Copy)]
pub struct Size {
    pub spots: usize,
    pub joists: usize,
    pub obstructions: usize,
    pub vents: usize,
    /// Whether things lie everywhere and anybody can move them, so that a place must be sought among them.
    pub crowded: bool,
}

pub const LARGE: Size = Size {
    spots: 6,
    joists: 40,
    obstructions: 100,
    vents: 60,
    crowded: false,
};

/// Every answer given, as `fill` makes them up, but for what must hang together: a sound hall with sawn joists
/// 16 in apart under a high roof, things in the way all round the spot, and none of them in it.
pub fn survey(size: Size) -> Survey {
    let begun: When = "2026-05-03T18:20:00-07:00".parse().expect("a time");
    let mut survey = Survey::begin(uuid::Uuid::nil(), begun, Default::default());
    while survey.spots.len() < size.spots {
        survey.add_spot();
    }
    let mut dice = Dice(42);
    for place in survey.places() {
        if fields::list(place.field).is_none() {
            fill(&mut survey, &mut dice, place);
        }
    }
    let spots: Vec<ItemId> = survey.spots.iter().map(|spot| spot.id).collect();
    let say = |survey: &mut Survey, at: FieldRef, text: &str| {
        survey
            .type_in(at, text, &Default::default())
            .unwrap_or_else(|error| panic!("{}: {error}", at.field));
    };
    for (field, text) in [
        ("arrival.private_attic", "yes"),
        ("arrival.pebble_insulation", "no"),
        ("arrival.knob_and_tube", "no"),
        ("arrival.damaged_wiring", "no"),
    ] {
        say(&mut survey, FieldRef::house(field), text);
    }
    for spot in &spots {
        for (field, text) in [
            ("hall.length", "16 ft"),
            ("hall.width", "48"),
            ("hall.mark_from_start", "8 ft"),
            ("hall.mark_from_left", "24"),
            ("attic.framing", "sawn joists"),
            ("attic.nominal_size", "2x8"),
            ("attic.joist_thickness", "1 1/2"),
            ("attic.joist_depth", "7 1/4"),
            ("attic.joist_run", "across the hall"),
            ("attic.joists_even", "no"),
            ("attic.joist_spacing", "16"),
            ("attic.nearest_joist", "3"),
            ("attic.bearing_span", "12 ft"),
            ("attic.mark_from_bearing", "6 ft"),
            ("attic.roof_slope", "5:12"),
            ("attic.roof_fall", "left"),
            ("attic.roof_height", "80"),
            ("attic.clear_length", "12 ft"),
            ("attic.clear_width", "8 ft"),
            ("attic.clear_height", "75"),
        ] {
            say(&mut survey, FieldRef::spot(field, *spot), text);
        }
    }
    let mut add = |list: &'static str, spot: Option<ItemId>, answers: &[(&'static str, String)]| {
        let id = survey.fresh_id();
        let items = survey.list_mut(list, spot).expect("a list");
        items.add(id);
        items.set_complete(true);
        for (field, text) in answers {
            let at = FieldRef {
                field,
                spot,
                item: Some(id),
            };
            say(&mut survey, at, text);
        }
    };
    for spot in spots.iter().map(|spot| Some(*spot)) {
        for number in 0..size.joists as i64 {
            let from_mark = (number - size.joists as i64 / 2) * 16 + 3;
            add("attic.joists", spot, &[("joist.at", from_mark.to_string())]);
        }
        for _ in 0..size.obstructions {
            // In a ring from 3 ft to 8 ft, so that placement has to look at them.
            let far = dice.between(if size.crowded { 0 } else { 36 }, 96);
            let side = if dice.chance(50) { far } else { -far };
            let other = dice.between(-96, 96);
            let (ahead, left) = if dice.chance(50) {
                (side, other)
            } else {
                (other, side)
            };
            add(
                "attic.obstructions",
                spot,
                &[
                    ("obstruction.kind", "brace".into()),
                    ("obstruction.shape", "box".into()),
                    ("obstruction.ahead", ahead.to_string()),
                    ("obstruction.left", left.to_string()),
                    ("obstruction.size_along", dice.between(2, 12).to_string()),
                    ("obstruction.size_across", dice.between(2, 12).to_string()),
                    ("obstruction.bottom", "0".into()),
                    ("obstruction.top", dice.between(6, 48).to_string()),
                    (
                        "obstruction.mover",
                        if size.crowded { "anybody" } else { "nobody" }.into(),
                    ),
                ],
            );
        }
        let room = |name: &str, door: &str| {
            vec![
                ("room.name", name.to_owned()),
                ("room.floor_area", "140 ft²".to_owned()),
                ("room.door", door.to_owned()),
                ("room.door_width", "30".to_owned()),
                ("room.undercut", "3/4".to_owned()),
                ("room.transfer_area", "0 in²".to_owned()),
            ]
        };
        for (list, answers) in [
            ("hall.rooms", room("Front bedroom", "open")),
            ("hall.rooms", room("Middle bedroom", "shut")),
            ("hall.rooms", room("Back bedroom", "open")),
            ("hall.rooms", room("Living room", "no door")),
            (
                "hall.box_contents",
                vec![
                    ("box.kind", "conductor".into()),
                    ("box.size", "14 AWG".into()),
                    ("box.count", "4".into()),
                ],
            ),
        ] {
            add(list, spot, &answers);
        }
    }
    for _ in 0..size.vents {
        add(
            "vents.vents",
            None,
            &[
                ("vent.kind", "under-eave".into()),
                ("vent.count", "1".into()),
                ("vent.width", "16".into()),
                ("vent.height", dice.between(4, 8).to_string()),
                ("vent.covering", "1/8 in mesh".into()),
                ("vent.marked", "no".into()),
                (
                    "vent.place",
                    if dice.chance(50) { "lower" } else { "upper" }.into(),
                ),
                ("vent.blocked", "5 %".into()),
            ],
        );
    }
    add(
        "arrival.storeys",
        None,
        &[
            ("storey.floor_area", "1500 ft²".into()),
            ("storey.ceiling_height", "8 ft".into()),
        ],
    );
    for (room, side) in [
        ("Front bedroom", "front"),
        ("Middle bedroom", "left"),
        ("Back bedroom", "back"),
        ("Living room", "front"),
        ("Living room", "right"),
    ] {
        add(
            "flame.windows",
            None,
            &[
                ("window.room", room.into()),
                ("window.count", "2".into()),
                ("window.width", "34".into()),
                ("window.height", "36".into()),
                ("window.side", side.into()),
            ],
        );
    }
    for kind in ["range hood", "dryer", "bath fan"] {
        add(
            "flame.exhausts",
            None,
            &[
                ("exhaust.kind", kind.into()),
                ("exhaust.count", "1".into()),
                ("exhaust.ends", "outdoors".into()),
                ("exhaust.marked", "no".into()),
            ],
        );
    }
    add(
        "flame.appliances",
        None,
        &[
            ("appliance.kind", "water heater".into()),
            ("appliance.venting", "natural draft".into()),
            ("appliance.shared_vent", "no".into()),
            ("appliance.place", "garage".into()),
            ("appliance.heat_input", "36000 Btu/h".into()),
            ("appliance.combustion_air", "indoors".into()),
            ("appliance.pressure_measured", "no".into()),
            ("appliance.spillage_test", "passed".into()),
        ],
    );
    for spot in &spots {
        for list in ["hall.fixtures", "attic.joist_cuts"] {
            survey
                .list_mut(list, Some(*spot))
                .expect("a list")
                .set_complete(true);
        }
    }
    survey
}

/// The survey of somebody half-way through the house: every third answer is missing.
pub fn half_way(size: Size) -> Survey {
    let mut survey = survey(size);
    let mut dice = Dice(7);
    for place in survey.places() {
        if fields::list(place.field).is_none() && dice.chance(33) {
            survey
                .type_in(place, "", &Default::default())
                .expect("an answer is taken back");
        }
    }
    survey
}

/// Eight fans: the generic ones, the first of them once more under other names where there are too few.
pub fn eight() -> FanList {
    let mut list = fan::generic().clone();
    for number in 0.. {
        if list.fans.len() >= 8 {
            break;
        }
        let mut again = list.fans[number].clone();
        again.id += "-again";
        list.fans.push(again);
    }
    list.fans.truncate(8);
    list
}
