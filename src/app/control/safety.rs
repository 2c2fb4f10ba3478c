//! Which answers are about hazards and life. They are given by their own keys only: never by a digit or by Return,
//! never by the second tap of a finger that meant something else.

/// The hazards that are looked for from the hatch. They are never asked one after the other: each is answered in
/// its own row.
pub const HAZARDS: &[&str] = &[
    "arrival.pebble_insulation",
    "arrival.knob_and_tube",
    "arrival.damaged_wiring",
    "arrival.wet_or_rotten_wood",
    "arrival.mould",
    "arrival.animals",
];

/// What else concerns the life of whoever goes in or lives there.
const LIFE: &[&str] = &[
    "arrival.attached_garage",
    "arrival.attic_open_to_garage",
    "arrival.paint_lead_free",
    "arrival.smoke_alarms",
    "arrival.co_alarms",
    "arrival.children",
    "flame.fireplace",
    "flame.appliances.complete",
    "appliance.kind",
    "appliance.venting",
    "appliance.shared_vent",
    "appliance.place",
    "appliance.combustion_air",
    "appliance.spillage_test",
];

/// Whether the answer says that a hazard was seen, or that it was not.
pub fn is_hazard(field: &str) -> bool {
    HAZARDS.contains(&field)
}

/// Whether the answer is about hazards or life.
pub fn is_of_life(field: &str) -> bool {
    is_hazard(field) || LIFE.contains(&field)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::fields;

    #[test]
    fn every_answer_about_life_is_one_that_there_is() {
        for field in HAZARDS.iter().chain(LIFE) {
            assert!(fields::kind_of(field).is_some(), "{field}");
        }
    }
}
