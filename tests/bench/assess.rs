//! How long one judgement takes, and how it grows. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --no-default-features --features office --bench assess`.

#[path = "../common/mod.rs"]
mod common;

use common::{Dice, fill};
use joistlight::rules::{Outcome, assess, matters::what_matters};
use joistlight::survey::{FieldRef, ItemId, Survey, When, fields};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan::{self, FanList};
use std::hint::black_box;
use std::time::Instant;

/// How much there is of everything.
#[derive(Clone, Copy)]
struct Size {
    spots: usize,
    joists: usize,
    obstructions: usize,
    vents: usize,
    /// Whether things lie everywhere and anybody can move them, so that a place must be sought among them.
    crowded: bool,
}

const LARGE: Size = Size {
    spots: 6,
    joists: 40,
    obstructions: 100,
    vents: 60,
    crowded: false,
};

/// Every answer given, as `fill` makes them up, but for what must hang together: a sound hall with sawn joists
/// 16 in apart under a high roof, things in the way all round the spot, and none of them in it.
fn survey(size: Size) -> Survey {
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
        for (list, answers) in [
            ("hall.rooms", vec![("room.open", "yes".to_owned())]),
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
    add(
        "flame.appliances",
        None,
        &[
            ("appliance.kind", "water heater".into()),
            ("appliance.venting", "natural draft".into()),
            ("appliance.shared_vent", "no".into()),
            ("appliance.place", "garage".into()),
            ("appliance.heat_input", "36000 Btu/h".into()),
            ("appliance.combustion_air", "outdoors".into()),
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
fn half_way(size: Size) -> Survey {
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
fn eight() -> FanList {
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

/// The processor's time that this thread has taken so far, in milliseconds: whatever else the machine does.
fn spent() -> f64 {
    let mut time = libc::timespec {
        tv_sec: 0,
        tv_nsec: 0,
    };
    // SAFETY: `time` is a value of this function.
    unsafe { libc::clock_gettime(libc::CLOCK_THREAD_CPUTIME_ID, &mut time) };
    time.tv_sec as f64 * 1e3 + time.tv_nsec as f64 / 1e6
}

/// The median of the processor's time in milliseconds.
fn median(mut work: impl FnMut()) -> f64 {
    let begun = Instant::now();
    let mut times = Vec::new();
    while times.len() < 20 || (begun.elapsed().as_secs_f64() < 1.0 && times.len() < 2000) {
        let start = spent();
        work();
        times.push(spent() - start);
    }
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn judged(size: Size, fans: &FanList) -> f64 {
    let survey = survey(size);
    let codes = Codes::default();
    median(|| {
        black_box(assess(black_box(&survey), fans, &codes));
    })
}

fn growth(what: &str, fans: &FanList, sizes: &[usize], with: impl Fn(usize) -> Size) {
    println!("\ngrowth with {what} (the rest as above)");
    let mut before: Option<(usize, f64)> = None;
    for &count in sizes {
        let time = judged(with(count), fans);
        let ratio = before.map_or(String::new(), |(less, then)| {
            format!(
                "   {:4.2} times the time for {:4.2} times as many",
                time / then,
                count as f64 / less as f64
            )
        });
        println!("{count:>6}  median {time:8.3} ms{ratio}");
        before = Some((count, time));
    }
}

fn main() {
    let fans = eight();
    let large = survey(LARGE);
    let codes = Codes::default();
    let assessment = assess(&large, &fans, &codes);
    println!(
        "{} spots, {} fans, {} joists and {} obstructions each, {} vents",
        LARGE.spots,
        fans.fans.len(),
        LARGE.joists,
        LARGE.obstructions,
        LARGE.vents
    );
    for spot in &assessment.spots {
        // What keeps the best choice from fitting, so that nobody takes an early "no" for a fast judgement.
        let choice = spot.choices.iter().max_by_key(|choice| choice.verdict);
        let fails: Vec<&str> = choice
            .into_iter()
            .flat_map(|choice| assessment.bearing_on(spot, choice))
            .filter(|finding| finding.outcome == Outcome::Fails)
            .map(|finding| finding.rule)
            .collect();
        println!(
            "  spot {}: {} {}",
            spot.spot.0,
            spot.verdict.label(),
            fails.join(", ")
        );
        let place = choice
            .into_iter()
            .flat_map(|choice| &choice.findings)
            .find(|finding| finding.rule == "place");
        if let Some(place) = place {
            println!("    {}", place.say.english());
        }
    }
    println!(
        "judging and what still matters median {:8.3} ms",
        judged(LARGE, &fans)
    );
    // What happens at every key: the digits so far are read into the survey, everything is judged, what still matters
    // is told.
    let mut typed = large.clone();
    let at = FieldRef::spot("attic.clear_height", large.spots[0].id);
    let mut digits = ["7", "75", "75 1/2"].into_iter().cycle();
    let keystroke = median(|| {
        let text = digits.next().expect("endless");
        typed
            .type_in(at, text, &Default::default())
            .expect("a length");
        black_box(what_matters(&assess(black_box(&typed), &fans, &codes)));
    });
    println!("one keystroke     median {keystroke:8.3} ms: read in, judged, what still matters");
    let json = median(|| {
        black_box(serde_json::to_vec(black_box(&assessment)).expect("JSON"));
    });
    println!("as JSON           median {json:8.3} ms");
    let crowded = Size {
        crowded: true,
        ..LARGE
    };
    println!(
        "things everywhere that anybody can move: judging  median {:8.3} ms",
        judged(crowded, &fans)
    );
    let half_way = half_way(crowded);
    println!(
        "the same with a third of the answers missing: judging and what still matters  median {:8.3} ms, {} answers matter",
        median(|| {
            let assessment = assess(black_box(&half_way), &fans, &codes);
            black_box(what_matters(black_box(&assessment)));
        }),
        what_matters(&assess(&half_way, &fans, &codes))
            .iter()
            .map(|spot| spot.matters.len())
            .sum::<usize>(),
    );
    growth(
        "obstructions",
        &fans,
        &[25, 50, 100, 200, 400],
        |obstructions| Size {
            obstructions,
            ..LARGE
        },
    );
    growth(
        "obstructions everywhere",
        &fans,
        &[25, 50, 100, 200, 400],
        |obstructions| Size {
            obstructions,
            ..crowded
        },
    );
    growth("vents", &fans, &[15, 30, 60, 120, 240], |vents| Size {
        vents,
        ..LARGE
    });
    growth("joists", &fans, &[10, 20, 40, 80], |joists| Size {
        joists,
        ..LARGE
    });
}
