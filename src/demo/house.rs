//! The demo's house: plainly invented, measured at three spots.
//!
//! One spot fits once some work is done, one does not fit, and one is left half measured. Every number is made
//! up, so that each rule has something to say.

use crate::survey::fields::FieldError;
use crate::survey::{
    FieldRef, ItemId, Subject, Survey, Ways, appliance, arrival, attic, box_entry, exhaust,
    fixture, flame, hall, obstruction, power, room, spot, storey, vent, vents, window, wrap_up,
};

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
    (arrival::JOB_REFERENCE.id, "DEMO-1"),
    (arrival::CLIENT.id, "Ada Invented"),
    (arrival::ADDRESS.id, "1 Nowhere Lane, Exampleville"),
    (arrival::SURVEYOR.id, "Sam Sample"),
    (arrival::VISITED_AT.id, "2026-06-02T08:10:00-07:00"),
    (arrival::YEAR_BUILT.id, "1984"),
    (arrival::PRIVATE_ATTIC.id, "yes"),
    (arrival::ATTACHED_GARAGE.id, "yes"),
    (arrival::ATTIC_OPEN_TO_GARAGE.id, "no"),
    (arrival::ALTITUDE.id, "150 ft"),
    (arrival::CLIMATE_ZONE.id, "3"),
    (arrival::VAPOUR_RETARDER.id, "no"),
    (arrival::OUTDOOR_TEMPERATURE.id, "78 °F"),
    (arrival::ATTIC_TEMPERATURE.id, "96 °F"),
    (arrival::ATTIC_HUMIDITY.id, "35 %"),
    (arrival::PEBBLE_INSULATION.id, "no"),
    (arrival::KNOB_AND_TUBE.id, "no"),
    (arrival::DAMAGED_WIRING.id, "no"),
    (arrival::WET_OR_ROTTEN_WOOD.id, "no"),
    (arrival::MOULD.id, "no"),
    (arrival::ANIMALS.id, "no"),
    (arrival::PAINT_LEAD_FREE.id, "yes"),
    (arrival::SMOKE_ALARMS.id, "yes"),
    (arrival::CO_ALARMS.id, "yes"),
    (arrival::CHILDREN.id, "no"),
    (vents::LOOKED_BEHIND.id, "yes"),
    (power::VOLTAGE.id, "119.5 V"),
    (power::PANEL_SPACE.id, "yes"),
    (power::BREAKER.id, "15 A"),
    (power::WIRE_SIZE.id, "14 AWG"),
    (power::WIRE_KIND.id, "NM-B"),
    (power::ONE_WAY_RUN.id, "52 ft"),
    (power::OTHER_LOAD.id, "0 A"),
    (power::BUNDLED_WIRES.id, "2"),
    (power::CABLE_ACROSS_JOISTS.id, "no"),
    (power::GUARD_STRIPS.id, "no"),
    (power::SWITCH_RATING.id, "15 A"),
    (power::DISCONNECT.id, "in sight"),
    (power::ATTIC_LIGHT_AND_RECEPTACLE.id, "yes"),
    (flame::FIREPLACE.id, "tight damper"),
    (flame::WINDOW_SCREENS.id, "yes"),
    (
        wrap_up::NOTES.id,
        "Dog in the yard; the side gate sticks. Best spot is by the bedrooms.",
    ),
    (
        wrap_up::AGREED.id,
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
        list: arrival::STOREYS.id,
        items: &[&[
            (storey::NAME.id, "Main floor"),
            (storey::FLOOR_AREA.id, "1480 ft²"),
            (storey::CEILING_HEIGHT.id, "8 ft"),
        ]],
        all: true,
    },
    Items {
        list: vents::VENTS.id,
        items: &[
            &[
                (vent::KIND.id, "under-eave"),
                (vent::COUNT.id, "10"),
                (vent::WIDTH.id, "16 in"),
                (vent::HEIGHT.id, "8 in"),
                (vent::COVERING.id, "1/8 in mesh"),
                (vent::MARKED.id, "no"),
                (vent::PLACE.id, "lower"),
                (vent::BLOCKED.id, "0 %"),
            ],
            &[
                (vent::KIND.id, "gable rectangle"),
                (vent::COUNT.id, "1"),
                (vent::WIDTH.id, "24 in"),
                (vent::HEIGHT.id, "18 in"),
                (vent::COVERING.id, "metal louvers, No. 16 mesh"),
                (vent::MARKED.id, "no"),
                (vent::PLACE.id, "upper"),
                (vent::BLOCKED.id, "10 %"),
            ],
        ],
        all: true,
    },
    Items {
        list: flame::WINDOWS.id,
        items: &[
            &[
                (window::ROOM.id, "Front bedroom"),
                (window::COUNT.id, "2"),
                (window::WIDTH.id, "34"),
                (window::HEIGHT.id, "28"),
                (window::SIDE.id, "front"),
            ],
            &[
                (window::ROOM.id, "Back bedroom"),
                (window::COUNT.id, "2"),
                (window::WIDTH.id, "34"),
                (window::HEIGHT.id, "28"),
                (window::SIDE.id, "back"),
            ],
            &[
                (window::ROOM.id, "Living room"),
                (window::COUNT.id, "3"),
                (window::WIDTH.id, "34"),
                (window::HEIGHT.id, "36"),
                (window::SIDE.id, "front"),
            ],
            &[
                (window::ROOM.id, "Living room"),
                (window::COUNT.id, "2"),
                (window::WIDTH.id, "34"),
                (window::HEIGHT.id, "36"),
                (window::SIDE.id, "left"),
            ],
        ],
        all: true,
    },
    Items {
        list: flame::EXHAUSTS.id,
        items: &[
            &[
                (exhaust::KIND.id, "range hood"),
                (exhaust::COUNT.id, "1"),
                (exhaust::ENDS.id, "outdoors"),
                (exhaust::MARKED.id, "yes"),
                (exhaust::AIRFLOW.id, "300 cfm"),
            ],
            &[
                (exhaust::KIND.id, "bath fan"),
                (exhaust::COUNT.id, "1"),
                (exhaust::ENDS.id, "outdoors"),
                (exhaust::MARKED.id, "no"),
            ],
            &[
                (exhaust::KIND.id, "dryer"),
                (exhaust::COUNT.id, "1"),
                (exhaust::ENDS.id, "outdoors"),
                (exhaust::MARKED.id, "no"),
            ],
        ],
        all: true,
    },
    Items {
        list: flame::APPLIANCES.id,
        items: &[
            &[
                (appliance::KIND.id, "water heater"),
                (appliance::VENTING.id, "natural draft"),
                (appliance::SHARED_VENT.id, "no"),
                (appliance::PLACE.id, "garage"),
                (appliance::HEAT_INPUT.id, "36000 Btu/h"),
                (appliance::COMBUSTION_AIR.id, "outdoors"),
                (appliance::DOOR.id, "shut"),
                (appliance::DOOR_GAPS.id, "9 in²"),
                (appliance::OUTDOOR_OPENING.id, "36 in²"),
                (appliance::PRESSURE_MEASURED.id, "no"),
                (appliance::SPILLAGE_TEST.id, "passed"),
            ],
            &[
                (appliance::KIND.id, "furnace"),
                (appliance::VENTING.id, "sealed"),
                (appliance::SHARED_VENT.id, "no"),
                (appliance::PLACE.id, "closet"),
                (appliance::HEAT_INPUT.id, "60000 Btu/h"),
                (appliance::COMBUSTION_AIR.id, "outdoors"),
                (appliance::DOOR.id, "shut"),
                (appliance::DOOR_GAPS.id, "9 in²"),
                (appliance::OUTDOOR_OPENING.id, "27 in²"),
                (appliance::PRESSURE_MEASURED.id, "no"),
                (appliance::SPILLAGE_TEST.id, "not done"),
            ],
        ],
        all: true,
    },
];

const ROOMS: Items = Items {
    list: hall::ROOMS.id,
    items: &[
        &[
            (room::NAME.id, "Front bedroom"),
            (room::FLOOR_AREA.id, "150 ft²"),
            (room::DOOR.id, "open"),
        ],
        &[
            (room::NAME.id, "Back bedroom"),
            (room::FLOOR_AREA.id, "140 ft²"),
            (room::DOOR.id, "open"),
        ],
        &[
            (room::NAME.id, "Bath"),
            (room::FLOOR_AREA.id, "50 ft²"),
            (room::DOOR.id, "shut"),
            (room::DOOR_WIDTH.id, "28"),
            (room::UNDERCUT.id, "3/4"),
            (room::TRANSFER_AREA.id, "0 in²"),
        ],
        &[
            (room::NAME.id, "Living room"),
            (room::FLOOR_AREA.id, "340 ft²"),
            (room::DOOR.id, "no door"),
        ],
    ],
    all: true,
};

const SWITCH_BOX: Items = Items {
    list: hall::BOX_CONTENTS.id,
    items: &[
        &[
            (box_entry::KIND.id, "conductor"),
            (box_entry::SIZE.id, "14 AWG"),
            (box_entry::COUNT.id, "4"),
        ],
        &[
            (box_entry::KIND.id, "ground"),
            (box_entry::SIZE.id, "14 AWG"),
            (box_entry::COUNT.id, "2"),
        ],
        &[
            (box_entry::KIND.id, "clamp"),
            (box_entry::SIZE.id, "14 AWG"),
            (box_entry::COUNT.id, "1"),
        ],
        &[
            (box_entry::KIND.id, "yoke"),
            (box_entry::SIZE.id, "14 AWG"),
            (box_entry::COUNT.id, "1"),
        ],
    ],
    all: true,
};

const NO_JOISTS: Items = Items {
    list: attic::JOISTS.id,
    items: &[],
    all: true,
};

const NO_CUTS: Items = Items {
    list: attic::JOIST_CUTS.id,
    items: &[],
    all: true,
};

/// What all of its halls have in common, and what is seen of the attic from the hatch.
const EVERYWHERE: Answers = &[
    (hall::CEILING_HEIGHT.id, "8 ft"),
    (hall::CEILING_THICKNESS.id, "1/2"),
    (hall::CEILING_MATERIAL.id, "drywall"),
    (hall::SWITCH_HEIGHT.id, "48"),
    (hall::BOX_VOLUME.id, "20.3 in³"),
    (attic::INSULATION.id, "loose glass fibre"),
    (attic::INSULATION_DEPTH.id, "9"),
];

/// What the measured parts of the attic have in common.
const FRAME: Answers = &[
    (attic::FRAMING.id, "sawn joists"),
    (attic::NOMINAL_SIZE.id, "2x8"),
    (attic::JOIST_THICKNESS.id, "1 1/2"),
    (attic::JOIST_DEPTH.id, "7 1/4"),
    (attic::SPECIES.id, "Douglas Fir-Larch"),
    (attic::GRADE.id, "No. 2"),
    (attic::BEARING_LENGTH.id, "3 1/2"),
    (attic::STORAGE.id, "no"),
    (attic::EAVES_OPEN.id, "yes"),
    (attic::ATTIC_FLOOR_AREA.id, "1480 ft²"),
    (attic::HATCH_LENGTH.id, "38"),
    (attic::HATCH_WIDTH.id, "30"),
    (attic::HATCH_HEADROOM.id, "58"),
    (attic::PERMANENT_STAIR.id, "no"),
];

/// Spot 1, by the bedrooms: everything measured.
const BEDROOMS: Answers = &[
    (spot::NAME.id, "By the bedrooms"),
    (hall::LENGTH.id, "14' 2\""),
    (hall::WIDTH.id, "44 1/2"),
    (hall::MARK_FROM_START.id, "8' 3\""),
    (hall::MARK_FROM_LEFT.id, "22 1/4"),
    (
        hall::SWITCH_PLACE.id,
        "End of the hall, beside the back bedroom's door",
    ),
    (attic::JOIST_RUN.id, "across the hall"),
    (attic::JOISTS_EVEN.id, "yes"),
    (attic::JOIST_SPACING.id, "16"),
    (attic::NEAREST_JOIST.id, "3 1/4"),
    (attic::BEARING_SPAN.id, "11' 4\""),
    (attic::MARK_FROM_BEARING.id, "5' 8\""),
    (attic::RAFTER_TIES.id, "no"),
    (attic::CLEAR_LENGTH.id, "9 ft"),
    (attic::CLEAR_WIDTH.id, "7 ft"),
    (attic::CLEAR_HEIGHT.id, "62"),
    (attic::ROOF_SLOPE.id, "5:12"),
    (attic::ROOF_FALL.id, "left"),
    (attic::ROOF_HEIGHT.id, "68 1/2"),
    (attic::RIDGE_DISTANCE.id, "14"),
    (attic::HATCH_DISTANCE.id, "9' 6\""),
];

const BEDROOMS_LISTS: &[Items] = &[
    Items {
        list: hall::FIXTURES.id,
        items: &[
            &[
                (fixture::KIND.id, "light"),
                (fixture::AHEAD.id, "-58"),
                (fixture::LEFT.id, "0"),
                (fixture::SIZE_ALONG.id, "12"),
                (fixture::SIZE_ACROSS.id, "12"),
            ],
            &[
                (fixture::KIND.id, "smoke alarm"),
                (fixture::AHEAD.id, "52"),
                (fixture::LEFT.id, "10"),
                (fixture::SIZE_ALONG.id, "5 1/2"),
                (fixture::SIZE_ACROSS.id, "5 1/2"),
            ],
        ],
        all: true,
    },
    Items {
        list: attic::OBSTRUCTIONS.id,
        items: &[
            &[
                (obstruction::KIND.id, "duct"),
                (obstruction::SHAPE.id, "run"),
                (obstruction::AHEAD.id, "-10"),
                (obstruction::LEFT.id, "-60"),
                (obstruction::TO_AHEAD.id, "-6"),
                (obstruction::TO_LEFT.id, "60"),
                (obstruction::DIAMETER.id, "9"),
                (obstruction::BOTTOM.id, "2"),
                (obstruction::TOP.id, "11"),
                (obstruction::MOVER.id, "duct fitter"),
            ],
            &[
                (obstruction::KIND.id, "brace"),
                (obstruction::SHAPE.id, "box"),
                (obstruction::AHEAD.id, "64"),
                (obstruction::LEFT.id, "-12"),
                (obstruction::SIZE_ALONG.id, "4"),
                (obstruction::SIZE_ACROSS.id, "4"),
                (obstruction::BOTTOM.id, "0"),
                (obstruction::TOP.id, "60"),
                (obstruction::MOVER.id, "nobody"),
            ],
        ],
        all: true,
    },
];

/// Spot 2, by the front door: the roof comes down too low, and a flue stands there.
const FRONT_DOOR: Answers = &[
    (spot::NAME.id, "By the front door"),
    (hall::LENGTH.id, "7' 6\""),
    (hall::WIDTH.id, "46"),
    (hall::MARK_FROM_START.id, "3' 9\""),
    (hall::MARK_FROM_LEFT.id, "23"),
    (hall::SWITCH_PLACE.id, "Inside the front door"),
    (attic::JOIST_RUN.id, "across the hall"),
    (attic::JOISTS_EVEN.id, "yes"),
    (attic::JOIST_SPACING.id, "16"),
    (attic::NEAREST_JOIST.id, "-5"),
    (attic::BEARING_SPAN.id, "11' 4\""),
    (attic::MARK_FROM_BEARING.id, "2' 6\""),
    (attic::RAFTER_TIES.id, "no"),
    (attic::CLEAR_LENGTH.id, "4 ft"),
    (attic::CLEAR_WIDTH.id, "3 ft"),
    (attic::CLEAR_HEIGHT.id, "17"),
    (attic::ROOF_SLOPE.id, "5:12"),
    (attic::ROOF_FALL.id, "right"),
    (attic::ROOF_HEIGHT.id, "19 1/2"),
    (attic::RIDGE_DISTANCE.id, "10 ft"),
    (attic::HATCH_DISTANCE.id, "16 ft"),
];

const FRONT_DOOR_LISTS: &[Items] = &[
    Items {
        list: hall::FIXTURES.id,
        items: &[],
        all: true,
    },
    Items {
        list: attic::OBSTRUCTIONS.id,
        items: &[&[
            (obstruction::KIND.id, "flue"),
            (obstruction::FLUE.id, "type B"),
            (obstruction::SHAPE.id, "upright"),
            (obstruction::AHEAD.id, "7"),
            (obstruction::LEFT.id, "4"),
            (obstruction::DIAMETER.id, "5"),
            (obstruction::BOTTOM.id, "-8"),
            (obstruction::TOP.id, "22"),
            (obstruction::MOVER.id, "nobody"),
        ]],
        all: true,
    },
];

/// Spot 3, the landing: the hall is measured, the attic above is not.
const LANDING: Answers = &[
    (spot::NAME.id, "Landing"),
    (hall::LENGTH.id, "9' 4\""),
    (hall::WIDTH.id, "48"),
    (hall::MARK_FROM_START.id, "4' 8\""),
    (hall::MARK_FROM_LEFT.id, "24"),
    (hall::SWITCH_PLACE.id, "Top of the stairs"),
    (attic::JOIST_RUN.id, "across the hall"),
    (attic::JOISTS_EVEN.id, "yes"),
    (attic::JOIST_SPACING.id, "16"),
    (attic::RAFTER_TIES.id, "no"),
];

const LANDING_LISTS: &[Items] = &[Items {
    list: hall::FIXTURES.id,
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
