//! The demo's house: plainly invented, measured at three spots.
//!
//! One spot fits once some work is done, one does not fit, and one is left half measured. Every number is made
//! up, so that each rule has something to say.

use crate::survey::fields::FieldError;
use crate::survey::{FieldRef, ItemId, Subject, Survey, Ways};

/// A picture that the surveyor took: what it shows, and of which spot.
pub(super) struct Shot {
    pub(super) subject: Subject,
    pub(super) spot: Option<usize>,
    pub(super) remark: &'static str,
}

const fn shot(subject: Subject, spot: Option<usize>, remark: &'static str) -> Shot {
    Shot {
        subject,
        spot,
        remark,
    }
}

/// The pictures, in the order of the walk.
pub(super) const SHOTS: &[Shot] = &[
    shot(
        Subject::House,
        None,
        "From the street; gable vent on this side.",
    ),
    shot(
        Subject::HallCeiling,
        Some(0),
        "The mark between the light and the bedrooms.",
    ),
    shot(
        Subject::Hatch,
        Some(0),
        "In the hall closet, tape across the short side.",
    ),
    shot(
        Subject::SpotFromAbove,
        Some(0),
        "Wire through the ceiling at the mark.",
    ),
    shot(Subject::Joists, Some(0), "16 in from middle to middle."),
    shot(Subject::GradeStamp, Some(0), "Readable after wiping."),
    shot(
        Subject::Obstruction,
        Some(0),
        "Round duct to the back bedroom; loose enough to move.",
    ),
    shot(Subject::RoofOverSpot, Some(0), "Almost under the ridge."),
    shot(
        Subject::Hazard,
        Some(1),
        "The water heater's flue, beside the mark.",
    ),
    shot(
        Subject::HallCeiling,
        Some(2),
        "Landing, not measured above yet.",
    ),
    shot(Subject::Vent, None, "One of ten under the eaves."),
    shot(Subject::SwitchBox, Some(0), "Where the switch will sit."),
    shot(Subject::Panel, None, "Two free places at the bottom."),
    shot(
        Subject::Appliance,
        None,
        "Open hood; shares its vent with nothing.",
    ),
];

type Answers = &'static [(&'static str, &'static str)];

const HOUSE: Answers = &[
    ("arrival.job_reference", "DEMO-1"),
    ("arrival.client", "Ada Invented"),
    ("arrival.address", "1 Nowhere Lane, Exampleville"),
    ("arrival.surveyor", "Sam Sample"),
    ("arrival.visited_at", "2026-06-02T08:10:00-07:00"),
    ("arrival.year_built", "1984"),
    ("arrival.private_attic", "yes"),
    ("arrival.attached_garage", "yes"),
    ("arrival.attic_open_to_garage", "no"),
    ("arrival.altitude", "150 ft"),
    ("arrival.climate_zone", "3"),
    ("arrival.vapour_retarder", "no"),
    ("arrival.outdoor_temperature", "78 °F"),
    ("arrival.attic_temperature", "96 °F"),
    ("arrival.attic_humidity", "35 %"),
    ("arrival.pebble_insulation", "no"),
    ("arrival.knob_and_tube", "no"),
    ("arrival.damaged_wiring", "no"),
    ("arrival.wet_or_rotten_wood", "no"),
    ("arrival.mould", "no"),
    ("arrival.animals", "no"),
    ("arrival.paint_lead_free", "yes"),
    ("arrival.smoke_alarms", "yes"),
    ("arrival.co_alarms", "yes"),
    ("arrival.children", "no"),
    ("vents.looked_behind", "yes"),
    ("power.voltage", "119.5 V"),
    ("power.panel_space", "yes"),
    ("power.breaker", "15 A"),
    ("power.wire_size", "14 AWG"),
    ("power.wire_kind", "NM-B"),
    ("power.one_way_run", "52 ft"),
    ("power.other_load", "0 A"),
    ("power.bundled_wires", "2"),
    ("power.cable_across_joists", "no"),
    ("power.guard_strips", "no"),
    ("power.switch_rating", "15 A"),
    ("power.disconnect", "in sight"),
    ("power.attic_light_and_receptacle", "yes"),
    ("flame.fireplace", "tight damper"),
    ("flame.window_screens", "yes"),
    (
        "wrap_up.notes",
        "Dog in the yard; the side gate sticks. Best spot is by the bedrooms.",
    ),
    (
        "wrap_up.agreed",
        "Client knows that windows must be open before the fan runs.",
    ),
];

/// A list's items, each with its answers; the list is all of them where it says so.
struct Items {
    list: &'static str,
    items: &'static [Answers],
    all: bool,
}

const HOUSE_LISTS: &[Items] = &[
    Items {
        list: "arrival.storeys",
        items: &[&[
            ("storey.name", "Main floor"),
            ("storey.floor_area", "1480 ft²"),
            ("storey.ceiling_height", "8 ft"),
        ]],
        all: true,
    },
    Items {
        list: "vents.vents",
        items: &[
            &[
                ("vent.kind", "under-eave"),
                ("vent.count", "10"),
                ("vent.width", "16 in"),
                ("vent.height", "8 in"),
                ("vent.covering", "1/8 in mesh"),
                ("vent.marked", "no"),
                ("vent.place", "lower"),
                ("vent.blocked", "0 %"),
            ],
            &[
                ("vent.kind", "gable rectangle"),
                ("vent.count", "1"),
                ("vent.width", "24 in"),
                ("vent.height", "18 in"),
                ("vent.covering", "metal louvers, No. 16 mesh"),
                ("vent.marked", "no"),
                ("vent.place", "upper"),
                ("vent.blocked", "10 %"),
            ],
        ],
        all: true,
    },
    Items {
        list: "flame.windows",
        items: &[
            &[
                ("window.room", "Front bedroom"),
                ("window.count", "2"),
                ("window.width", "34"),
                ("window.height", "28"),
                ("window.side", "front"),
            ],
            &[
                ("window.room", "Back bedroom"),
                ("window.count", "2"),
                ("window.width", "34"),
                ("window.height", "28"),
                ("window.side", "back"),
            ],
            &[
                ("window.room", "Living room"),
                ("window.count", "3"),
                ("window.width", "34"),
                ("window.height", "36"),
                ("window.side", "front"),
            ],
            &[
                ("window.room", "Living room"),
                ("window.count", "2"),
                ("window.width", "34"),
                ("window.height", "36"),
                ("window.side", "left"),
            ],
        ],
        all: true,
    },
    Items {
        list: "flame.exhausts",
        items: &[
            &[
                ("exhaust.kind", "range hood"),
                ("exhaust.count", "1"),
                ("exhaust.ends", "outdoors"),
                ("exhaust.marked", "yes"),
                ("exhaust.airflow", "300 cfm"),
            ],
            &[
                ("exhaust.kind", "bath fan"),
                ("exhaust.count", "1"),
                ("exhaust.ends", "outdoors"),
                ("exhaust.marked", "no"),
            ],
            &[
                ("exhaust.kind", "dryer"),
                ("exhaust.count", "1"),
                ("exhaust.ends", "outdoors"),
                ("exhaust.marked", "no"),
            ],
        ],
        all: true,
    },
    Items {
        list: "flame.appliances",
        items: &[
            &[
                ("appliance.kind", "water heater"),
                ("appliance.venting", "natural draft"),
                ("appliance.shared_vent", "no"),
                ("appliance.place", "garage"),
                ("appliance.heat_input", "36000 Btu/h"),
                ("appliance.combustion_air", "outdoors"),
                ("appliance.door", "shut"),
                ("appliance.door_gaps", "8 in²"),
                ("appliance.outdoor_opening", "36 in²"),
                ("appliance.pressure_measured", "no"),
                ("appliance.spillage_test", "passed"),
            ],
            &[
                ("appliance.kind", "furnace"),
                ("appliance.venting", "sealed"),
                ("appliance.shared_vent", "no"),
                ("appliance.place", "closet"),
                ("appliance.heat_input", "60000 Btu/h"),
                ("appliance.combustion_air", "outdoors"),
                ("appliance.door", "shut"),
                ("appliance.door_gaps", "6 in²"),
                ("appliance.outdoor_opening", "24 in²"),
                ("appliance.pressure_measured", "no"),
                ("appliance.spillage_test", "not done"),
            ],
        ],
        all: true,
    },
];

const ROOMS: Items = Items {
    list: "hall.rooms",
    items: &[
        &[
            ("room.name", "Front bedroom"),
            ("room.floor_area", "150 ft²"),
            ("room.door", "open"),
        ],
        &[
            ("room.name", "Back bedroom"),
            ("room.floor_area", "140 ft²"),
            ("room.door", "open"),
        ],
        &[
            ("room.name", "Bath"),
            ("room.floor_area", "50 ft²"),
            ("room.door", "shut"),
            ("room.door_width", "28"),
            ("room.undercut", "3/4"),
            ("room.transfer_area", "0 in²"),
        ],
        &[
            ("room.name", "Living room"),
            ("room.floor_area", "340 ft²"),
            ("room.door", "no door"),
        ],
    ],
    all: true,
};

const SWITCH_BOX: Items = Items {
    list: "hall.box_contents",
    items: &[
        &[
            ("box.kind", "conductor"),
            ("box.size", "14 AWG"),
            ("box.count", "4"),
        ],
        &[
            ("box.kind", "ground"),
            ("box.size", "14 AWG"),
            ("box.count", "2"),
        ],
        &[
            ("box.kind", "clamp"),
            ("box.size", "14 AWG"),
            ("box.count", "1"),
        ],
        &[
            ("box.kind", "yoke"),
            ("box.size", "14 AWG"),
            ("box.count", "1"),
        ],
    ],
    all: true,
};

const NO_JOISTS: Items = Items {
    list: "attic.joists",
    items: &[],
    all: true,
};

const NO_CUTS: Items = Items {
    list: "attic.joist_cuts",
    items: &[],
    all: true,
};

/// What all of its halls have in common, and what is seen of the attic from the hatch.
const EVERYWHERE: Answers = &[
    ("hall.ceiling_height", "8 ft"),
    ("hall.ceiling_thickness", "1/2"),
    ("hall.ceiling_material", "drywall"),
    ("hall.switch_height", "48"),
    ("hall.box_volume", "20.3 in³"),
    ("attic.insulation", "loose glass fibre"),
    ("attic.insulation_depth", "9"),
];

/// What the measured parts of the attic have in common.
const FRAME: Answers = &[
    ("attic.framing", "sawn joists"),
    ("attic.nominal_size", "2x8"),
    ("attic.joist_thickness", "1 1/2"),
    ("attic.joist_depth", "7 1/4"),
    ("attic.species", "Douglas Fir-Larch"),
    ("attic.grade", "No. 2"),
    ("attic.bearing_length", "3 1/2"),
    ("attic.storage", "no"),
    ("attic.eaves_open", "yes"),
    ("attic.attic_floor_area", "1480 ft²"),
    ("attic.hatch_length", "38"),
    ("attic.hatch_width", "30"),
    ("attic.hatch_headroom", "58"),
    ("attic.permanent_stair", "no"),
];

/// Spot 1, by the bedrooms: everything measured.
const BEDROOMS: Answers = &[
    ("spot.name", "By the bedrooms"),
    ("hall.length", "14' 2\""),
    ("hall.width", "44 1/2"),
    ("hall.mark_from_start", "8' 3\""),
    ("hall.mark_from_left", "22 1/4"),
    (
        "hall.switch_place",
        "End of the hall, beside the back bedroom's door",
    ),
    ("attic.joist_run", "across the hall"),
    ("attic.joists_even", "yes"),
    ("attic.joist_spacing", "16"),
    ("attic.nearest_joist", "3 1/4"),
    ("attic.bearing_span", "11' 4\""),
    ("attic.mark_from_bearing", "5' 8\""),
    ("attic.rafter_ties", "no"),
    ("attic.clear_length", "9 ft"),
    ("attic.clear_width", "7 ft"),
    ("attic.clear_height", "62"),
    ("attic.roof_slope", "5:12"),
    ("attic.roof_fall", "left"),
    ("attic.roof_height", "68 1/2"),
    ("attic.ridge_distance", "14"),
    ("attic.hatch_distance", "9' 6\""),
];

const BEDROOMS_LISTS: &[Items] = &[
    Items {
        list: "hall.fixtures",
        items: &[
            &[
                ("fixture.kind", "light"),
                ("fixture.ahead", "-58"),
                ("fixture.left", "0"),
                ("fixture.size_along", "12"),
                ("fixture.size_across", "12"),
            ],
            &[
                ("fixture.kind", "smoke alarm"),
                ("fixture.ahead", "52"),
                ("fixture.left", "10"),
                ("fixture.size_along", "5 1/2"),
                ("fixture.size_across", "5 1/2"),
            ],
        ],
        all: true,
    },
    Items {
        list: "attic.obstructions",
        items: &[
            &[
                ("obstruction.kind", "duct"),
                ("obstruction.shape", "run"),
                ("obstruction.ahead", "-10"),
                ("obstruction.left", "-60"),
                ("obstruction.to_ahead", "-6"),
                ("obstruction.to_left", "60"),
                ("obstruction.diameter", "9"),
                ("obstruction.bottom", "2"),
                ("obstruction.top", "11"),
                ("obstruction.mover", "duct fitter"),
            ],
            &[
                ("obstruction.kind", "brace"),
                ("obstruction.shape", "box"),
                ("obstruction.ahead", "64"),
                ("obstruction.left", "-12"),
                ("obstruction.size_along", "4"),
                ("obstruction.size_across", "4"),
                ("obstruction.bottom", "0"),
                ("obstruction.top", "60"),
                ("obstruction.mover", "nobody"),
            ],
        ],
        all: true,
    },
];

/// Spot 2, by the front door: the roof comes down too low, and a flue stands there.
const FRONT_DOOR: Answers = &[
    ("spot.name", "By the front door"),
    ("hall.length", "7' 6\""),
    ("hall.width", "46"),
    ("hall.mark_from_start", "3' 9\""),
    ("hall.mark_from_left", "23"),
    ("hall.switch_place", "Inside the front door"),
    ("attic.joist_run", "across the hall"),
    ("attic.joists_even", "yes"),
    ("attic.joist_spacing", "16"),
    ("attic.nearest_joist", "-5"),
    ("attic.bearing_span", "11' 4\""),
    ("attic.mark_from_bearing", "2' 6\""),
    ("attic.rafter_ties", "no"),
    ("attic.clear_length", "4 ft"),
    ("attic.clear_width", "3 ft"),
    ("attic.clear_height", "17"),
    ("attic.roof_slope", "5:12"),
    ("attic.roof_fall", "right"),
    ("attic.roof_height", "19 1/2"),
    ("attic.ridge_distance", "10 ft"),
    ("attic.hatch_distance", "16 ft"),
];

const FRONT_DOOR_LISTS: &[Items] = &[
    Items {
        list: "hall.fixtures",
        items: &[],
        all: true,
    },
    Items {
        list: "attic.obstructions",
        items: &[&[
            ("obstruction.kind", "flue"),
            ("obstruction.shape", "upright"),
            ("obstruction.ahead", "7"),
            ("obstruction.left", "4"),
            ("obstruction.diameter", "5"),
            ("obstruction.bottom", "-8"),
            ("obstruction.top", "22"),
            ("obstruction.mover", "nobody"),
        ]],
        all: true,
    },
];

/// Spot 3, the landing: the hall is measured, the attic above is not.
const LANDING: Answers = &[
    ("spot.name", "Landing"),
    ("hall.length", "9' 4\""),
    ("hall.width", "48"),
    ("hall.mark_from_start", "4' 8\""),
    ("hall.mark_from_left", "24"),
    ("hall.switch_place", "Top of the stairs"),
    ("attic.joist_run", "across the hall"),
    ("attic.joists_even", "yes"),
    ("attic.joist_spacing", "16"),
    ("attic.rafter_ties", "no"),
];

const LANDING_LISTS: &[Items] = &[Items {
    list: "hall.fixtures",
    items: &[],
    all: true,
}];

fn answer(
    survey: &mut Survey,
    answers: Answers,
    spot: Option<ItemId>,
    item: Option<ItemId>,
) -> Result<(), FieldError> {
    for (field, text) in answers {
        let of_spot = ["spot.", "hall.", "attic."]
            .iter()
            .any(|section| field.starts_with(section));
        let at = FieldRef {
            field,
            spot: if of_spot || item.is_some() {
                spot
            } else {
                None
            },
            item,
        };
        survey.type_in(at, text, &Ways::default())?;
    }
    Ok(())
}

fn list(survey: &mut Survey, list: &Items, spot: Option<ItemId>) -> Result<(), FieldError> {
    let missing = || FieldError::NoSuchField {
        field: list.list.to_owned(),
    };
    for answers in list.items {
        let id = survey.fresh_id();
        survey
            .list_mut(list.list, spot)
            .ok_or_else(missing)?
            .add(id);
        answer(survey, answers, spot, Some(id))?;
    }
    survey
        .list_mut(list.list, spot)
        .ok_or_else(missing)?
        .set_complete(list.all);
    Ok(())
}

/// Types the whole house into a survey that was just begun, as a surveyor would.
pub(super) fn measure(survey: &mut Survey) -> Result<(), FieldError> {
    answer(survey, HOUSE, None, None)?;
    for items in HOUSE_LISTS {
        list(survey, items, None)?;
    }
    while survey.spots.len() < 3 {
        survey.add_spot();
    }
    let spots: [(Answers, &[Items]); 3] = [
        (BEDROOMS, BEDROOMS_LISTS),
        (FRONT_DOOR, FRONT_DOOR_LISTS),
        (LANDING, LANDING_LISTS),
    ];
    for (at, (answers, lists)) in spots.into_iter().enumerate() {
        let spot = Some(survey.spots[at].id);
        answer(survey, EVERYWHERE, spot, None)?;
        let measured_above = at < 2;
        if measured_above {
            answer(survey, FRAME, spot, None)?;
            list(survey, &NO_JOISTS, spot)?;
            list(survey, &NO_CUTS, spot)?;
        }
        answer(survey, answers, spot, None)?;
        for items in [&ROOMS, &SWITCH_BOX].into_iter().chain(lists) {
            list(survey, items, spot)?;
        }
    }
    Ok(())
}
