//! Random surveys for property checks: every answer may be given, missing or odd.
#![allow(dead_code)]

use joistlight::measure::Tape;
use joistlight::survey::{FieldRef, ItemId, Kind, Survey, Ways, fields};

/// A small deterministic generator (SplitMix64, Steele et al. 2014), so that a printed seed gives the same survey everywhere.
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    /// From `least` to `most`, both included.
    pub fn between(&mut self, least: i64, most: i64) -> i64 {
        least + (self.next() % (most - least + 1) as u64) as i64
    }
    /// True so many times in a hundred.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.between(0, 99) < percent
    }
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[(self.next() % from.len() as u64) as usize]
    }
}

fn sixteenths(dice: &mut Dice, least_in: i64, most_in: i64) -> String {
    let n = dice.between(least_in * 16, most_in * 16);
    let (sign, n) = if n < 0 { ("-", -n) } else { ("", n) };
    format!("{sign}{} {}/16 in", n / 16, n % 16).replace(" 0/16", "")
}

/// Least and most inches that a length is drawn from: around what decides.
fn inches(field: &str) -> (i64, i64) {
    match field {
        "hall.length" => (60, 240),
        "hall.width" => (30, 72),
        "hall.mark_from_start" => (20, 120),
        "hall.mark_from_left" => (10, 40),
        "hall.ceiling_thickness" => (0, 2),
        "hall.switch_height" => (36, 90),
        "hall.ceiling_height" | "storey.ceiling_height" => (84, 120),
        "attic.joist_thickness" => (1, 2),
        "attic.joist_depth" => (3, 12),
        "attic.joist_spacing" => (12, 26),
        "attic.nearest_joist" => (-12, 12),
        "attic.bearing_span" => (96, 200),
        "attic.mark_from_bearing" => (20, 120),
        "attic.bearing_length" => (1, 5),
        "attic.clear_length" | "attic.clear_width" => (24, 100),
        "attic.clear_height" => (20, 80),
        "attic.roof_height" => (20, 90),
        "attic.ridge_distance" => (0, 140),
        "attic.hatch_length" => (20, 60),
        "attic.hatch_width" => (18, 40),
        "attic.hatch_headroom" => (20, 70),
        "attic.hatch_distance" => (12, 240),
        "attic.insulation_depth" => (0, 20),
        "joist.at" | "cut.joist_at" => (-60, 60),
        "obstruction.ahead"
        | "obstruction.left"
        | "obstruction.to_ahead"
        | "obstruction.to_left" => (-60, 60),
        "obstruction.bottom" => (-2, 40),
        "obstruction.top" => (0, 80),
        "obstruction.diameter" => (1, 14),
        "fixture.ahead" | "fixture.left" => (-60, 60),
        "vent.length" => (24, 600),
        "room.door_width" => (20, 40),
        "room.undercut" => (0, 2),
        "window.width" => (12, 48),
        "window.height" => (12, 60),
        "power.one_way_run" => (120, 1500),
        _ => (2, 40),
    }
}

/// Some text that the field accepts; now and then an extreme one.
pub fn typed(dice: &mut Dice, field: &str, kind: Kind) -> String {
    match kind {
        Kind::Length | Kind::Offset => {
            let (least, most) = inches(field);
            let least = if kind == Kind::Length {
                least.max(0)
            } else {
                least
            };
            match dice.between(0, 19) {
                0 => "0 in".to_owned(),
                1 => sixteenths(dice, least, most * 6),
                2 => format!("{} mm", dice.between(least * 25, most * 25)),
                _ => sixteenths(dice, least, most),
            }
        }
        Kind::Area => match field {
            "arrival.floor_area" | "storey.floor_area" => {
                format!("{} ft2", dice.between(200, 2400))
            }
            "vent.marked_area" => format!("{} in2", dice.between(0, 400)),
            "room.transfer_area" | "appliance.door_gaps" | "appliance.outdoor_opening" => {
                format!("{} in2", dice.between(0, 300))
            }
            "room.floor_area" => format!("{} ft2", dice.between(40, 400)),
            "flame.openable_window_area" => format!("{} ft2", dice.between(0, 60)),
            _ => format!("{} ft2", dice.between(0, 2500)),
        },
        Kind::BoxVolume => format!("{} in3", dice.between(8, 42)),
        Kind::Voltage => format!("{} V", dice.between(100, 130)),
        Kind::Current => format!("{} A", dice.pick(&[0, 3, 6, 10, 15, 20, 30])),
        Kind::Temperature => format!("{} °F", dice.between(20, 160)),
        Kind::Humidity | Kind::Share => format!("{} %", dice.between(0, 100)),
        Kind::Pitch => format!("{}:12", dice.between(0, 14)),
        Kind::HeatRate => format!("{} Btu/h", dice.between(0, 200_000)),
        Kind::Airflow => format!("{} cfm", dice.between(0, 2500)),
        Kind::Pressure => format!("{} Pa", dice.between(-8, 2)),
        Kind::Altitude => format!("{} ft", dice.between(-100, 9_000)),
        Kind::Count { least, most } => match field {
            "arrival.year_built" => dice.between(1900, 2026).to_string(),
            "vent.count" => dice.between(1, 40).to_string(),
            "window.count" | "exhaust.count" => dice.between(1, 4).to_string(),
            _ => dice
                .between(i64::from(least), i64::from(most.min(least + 12)))
                .to_string(),
        },
        Kind::Choice(words) => {
            // The commonest answers come first in the lists; half the time one of those.
            let index = if dice.chance(50) {
                0
            } else {
                dice.between(0, words.len() as i64 - 1)
            };
            words[index as usize].code.to_owned()
        }
        Kind::YesNo => {
            let hazard = [
                "pebble",
                "knob",
                "damaged",
                "wet_",
                "mould",
                "animals",
                "open_to_garage",
            ]
            .iter()
            .any(|part| field.contains(part));
            let yes = if hazard { 7 } else { 70 };
            if dice.chance(yes) { "yes" } else { "no" }.to_owned()
        }
        Kind::Complete => "yes".to_owned(),
        // So that windows are now and then in a room of the list.
        Kind::Text if matches!(field, "room.name" | "window.room") => {
            (*dice.pick(&["Den", "Bath"])).to_owned()
        }
        Kind::Text => "words".to_owned(),
        Kind::When => "2026-05-03T18:20:00-07:00".to_owned(),
    }
}

/// Fills the place, or for a list's "that is all of them" adds a few filled items first.
pub fn fill(survey: &mut Survey, dice: &mut Dice, place: FieldRef) {
    let kind = fields::kind_of(place.field).expect("a known field");
    if kind == Kind::Complete {
        let entry = fields::list(place.field).expect("a known list");
        for _ in 0..dice.between(0, 2) {
            let id = survey.fresh_id();
            survey
                .list_mut(entry.id, place.spot)
                .expect("the list")
                .add(id);
            for slot in entry.slots {
                if dice.chance(92) {
                    fill(
                        survey,
                        dice,
                        FieldRef {
                            field: slot.id,
                            spot: place.spot,
                            item: Some(id),
                        },
                    );
                }
            }
        }
    }
    // What cannot be at all is refused; then another is drawn.
    for _ in 0..50 {
        let text = typed(dice, place.field, kind);
        match survey.type_in(place, &text, &Ways::default()) {
            Ok(()) => return,
            Err(error) if error.to_string().contains("cannot be right") => {}
            Err(error) => panic!("{} ← {text}: {error}", place.field),
        }
    }
    panic!("{}: nothing that is drawn is possible", place.field);
}

/// A survey with so many percent of its answers given.
pub fn random_survey(dice: &mut Dice, spots: usize, percent: i64) -> Survey {
    let now = "2026-05-03T18:20:00-07:00".parse().expect("a date");
    let mut survey = Survey::begin(
        uuid::Uuid::from_u128(u128::from(dice.next())),
        now,
        Tape::Sixteenth,
    );
    while survey.spots.len() < spots {
        survey.add_spot();
    }
    let owners: Vec<Option<ItemId>> = survey.spots.iter().map(|spot| Some(spot.id)).collect();
    for entry in fields::LISTS {
        for owner in if entry.of_spot { &owners[..] } else { &[None] } {
            for _ in 0..dice.between(0, 3) {
                let id = survey.fresh_id();
                survey.list_mut(entry.id, *owner).expect("the list").add(id);
            }
        }
    }
    for place in survey.places() {
        // Some fields are given nearly always, so that the rules get past their first question.
        if dice.chance(percent) {
            let kind = fields::kind_of(place.field).expect("a known field");
            if kind == Kind::Complete {
                survey.type_in(place, "yes", &Ways::default()).expect("yes");
            } else {
                fill(&mut survey, dice, place);
            }
        }
    }
    survey
}

/// A survey made from a whole one: so many percent of its answers are taken back, and a few are drawn anew.
pub fn worn(whole: &Survey, dice: &mut Dice, taken: i64, drawn: i64) -> Survey {
    let mut survey = whole.clone();
    for place in whole.places() {
        if dice.chance(taken) {
            survey.put(place, None).expect("a place of the survey");
        } else if dice.chance(drawn) {
            fill(&mut survey, dice, place);
        }
    }
    survey
}
