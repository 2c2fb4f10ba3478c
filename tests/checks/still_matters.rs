//! The promise of "no longer matters": such an answer never changes the verdict, whatever its value; and a
//! verdict reported as settled never changes.

use crate::common::{Dice, fill, random_survey, worn};
use joistlight::rules::matters::what_matters;
use joistlight::rules::{Assessment, Part, PartAnswer, Verdict, assess};
use joistlight::survey::{FieldRef, Kind, Stop, Survey, Ways, fields};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan::{FanList, generic};
use std::collections::{BTreeMap, HashSet};
use std::sync::atomic::{AtomicU64, Ordering};

/// A few fans of different kinds keep the check quick.
fn few_fans() -> FanList {
    let mut list = generic().clone();
    list.fans
        .retain(|fan| ["direct-30", "belt-36", "long-slim"].contains(&fan.id.as_str()));
    assert_eq!(list.fans.len(), 3);
    list
}

/// The demo's house, and the same house with more vents and no insulation, where one spot fits as it is.
fn houses() -> [Survey; 2] {
    let demo = joistlight::demo::survey().expect("the demo's house");
    let mut well = demo.clone();
    let ways = Ways::default();
    for vent in demo.vents.vents.items.iter().map(|vent| vent.id) {
        let count = FieldRef::house("vent.count").item(vent);
        well.type_in(count, "60", &ways).expect("a count");
    }
    let insulation = FieldRef::spot("attic.insulation", demo.spots[0].id);
    well.type_in(insulation, "none", &ways).expect("a choice");
    [demo, well]
}

fn holes(survey: &Survey) -> Vec<FieldRef> {
    survey
        .places()
        .into_iter()
        .filter(|place| survey.answer(*place).is_none())
        .collect()
}

/// What the random surveys came to.
#[derive(Default)]
struct Told {
    verdicts: BTreeMap<Verdict, usize>,
    holes: usize,
    skipped: usize,
    skipped_while_open: usize,
}

/// One random survey, each of its holes filled at random 20 times.
fn hold_to_it(seed: u64, number: u64, fans: &FanList, houses: &[Survey], told: &mut Told) {
    let codes = Codes::default();
    let mut dice = Dice(seed.wrapping_mul(1_000_003).wrapping_add(number));
    // A third of the houses are drawn out of thin air and mostly hopeless; the others are the demo's house
    // and a better one, with answers taken back and a few drawn anew.
    let survey = if number.is_multiple_of(3) {
        let percent = *dice.pick(&[40, 70, 85, 95, 98]);
        let spots = dice.between(1, 2) as usize;
        random_survey(&mut dice, spots, percent)
    } else {
        let taken = *dice.pick(&[0, 2, 5, 15, 40]);
        let drawn = *dice.pick(&[0, 0, 1, 2]);
        let house = dice.pick(houses);
        worn(house, &mut dice, taken, drawn)
    };
    let before = assess(&survey, fans, &codes);
    let matters = what_matters(&before);
    for (spot, matter) in before.spots.iter().zip(&matters) {
        *told.verdicts.entry(spot.verdict).or_default() += 1;
        let still: HashSet<FieldRef> = matter.matters.iter().map(|m| m.field).collect();
        let free: Vec<FieldRef> = holes(&survey)
            .into_iter()
            .filter(|hole| !still.contains(hole))
            .collect();
        told.holes += free.len() + still.len();
        told.skipped += free.len();
        if !spot.settled {
            told.skipped_while_open += free.len();
        }
        assert_eq!(
            spot.settled,
            still.is_empty(),
            "survey {number}: settled means that nothing matters"
        );
        for round in 0..20 {
            // All the answers that no longer matter, or some of them.
            let mut filled = survey.clone();
            for hole in &free {
                if round < 10 || dice.chance(30) {
                    fill(&mut filled, &mut dice, *hole);
                }
            }
            let now = assess(&filled, fans, &codes);
            let after = now
                .spots
                .iter()
                .find(|s| s.spot == spot.spot)
                .expect("the spot");
            assert_eq!(
                after.verdict, spot.verdict,
                "seed {seed}, survey {number}, round {round}, spot {:?}",
                spot.spot
            );
            assert_eq!(
                after.settled, spot.settled,
                "seed {seed}, survey {number}, round {round}"
            );
            if round % 5 == 0 && !still.is_empty() {
                // Whatever the answers that matter turn out to be, the others add nothing.
                let mut with = survey.clone();
                let luck = dice.next();
                let mut both = Dice(luck);
                for hole in &matter.matters {
                    if fields::kind_of(hole.field.field) != Some(Kind::Complete) {
                        fill(&mut with, &mut both, hole.field);
                    }
                }
                for hole in &matter.matters {
                    if fields::kind_of(hole.field.field) == Some(Kind::Complete) {
                        fill(&mut with, &mut both, hole.field);
                    }
                }
                let without = assess(&with, fans, &codes);
                let mut also = with.clone();
                for hole in &free {
                    fill(&mut also, &mut dice, *hole);
                }
                let together = assess(&also, fans, &codes);
                let pick = |a: &joistlight::rules::Assessment| {
                    a.spots
                        .iter()
                        .find(|s| s.spot == spot.spot)
                        .map(|s| s.verdict)
                };
                // New items may have holes of their own; then the verdict may still be open.
                if pick(&without) != Some(Verdict::NotSettled) {
                    assert_eq!(
                        pick(&together),
                        pick(&without),
                        "seed {seed}, survey {number}, round {round}"
                    );
                }
            }
        }
    }
}

#[test]
fn what_no_longer_matters_never_changes_a_verdict() {
    let seed: u64 = std::env::var("JOISTLIGHT_SEED")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(20_261_124);
    let surveys: u64 = std::env::var("JOISTLIGHT_SURVEYS")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(1000);
    println!("seed {seed}, {surveys} surveys, each hole filled 20 times");
    let (fans, houses) = (few_fans(), houses());
    let next = AtomicU64::new(0);
    // Each survey has dice of its own, so that it is the same whichever processor takes it.
    let told: Vec<Told> = std::thread::scope(|scope| {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let work: Vec<_> = (0..cores)
            .map(|_| {
                scope.spawn(|| {
                    let mut told = Told::default();
                    loop {
                        let number = next.fetch_add(1, Ordering::Relaxed);
                        if number >= surveys {
                            return told;
                        }
                        hold_to_it(seed, number, &fans, &houses, &mut told);
                    }
                })
            })
            .collect();
        let ended = work.into_iter().map(std::thread::ScopedJoinHandle::join);
        ended
            .map(|told| told.unwrap_or_else(|fault| std::panic::resume_unwind(fault)))
            .collect()
    });
    let mut verdicts: BTreeMap<Verdict, usize> = BTreeMap::new();
    for (verdict, count) in told.iter().flat_map(|it| &it.verdicts) {
        *verdicts.entry(*verdict).or_default() += count;
    }
    let sum = |of: fn(&Told) -> usize| told.iter().map(of).sum::<usize>();
    println!("verdicts: {verdicts:?}");
    println!(
        "missing answers: {}; no longer matter: {}, of them {} while the verdict is open",
        sum(|it| it.holes),
        sum(|it| it.skipped),
        sum(|it| it.skipped_while_open),
    );
    assert!(
        verdicts.len() == 4,
        "the random surveys reach too few verdicts: {verdicts:?}"
    );
}

/// The demo's house, the better one, and two invented houses of other kinds.
fn walked() -> [(&'static str, Survey); 4] {
    let [demo, well] = houses();
    let read =
        |name: &str, text: &str| joistlight::survey::read(name, text.as_bytes()).expect("a survey");
    [
        ("the demo's house", demo),
        ("the same with more vents", well),
        (
            "a ranch of 1974 under trusses",
            read("ranch.json", include_str!("../houses/ranch.json")),
        ),
        (
            "a house of 1925",
            read("old.json", include_str!("../houses/old.json")),
        ),
    ]
}

#[test]
fn a_walk_through_a_house_needs_fewer_and_fewer_answers() {
    // What of all that can be asked still matters, stop after stop, at the house's first spot.
    let fans = generic();
    let codes = Codes::default();
    let stops = [
        Stop::Arrival,
        Stop::Hall,
        Stop::Attic,
        Stop::Vents,
        Stop::PowerAndFlame,
        Stop::WrapUp,
    ];
    for (name, house) in walked() {
        println!("{name}:");
        let spot = house.spots[0].id;
        let mut last = usize::MAX;
        for done in 0..=stops.len() {
            let mut survey = house.clone();
            survey.spots.retain(|it| it.id == spot);
            let mut asked = 0;
            for place in survey.places() {
                let stop = fields::stop_of(place.field).expect("a stop");
                // Names and remarks decide nothing and are not counted.
                asked += usize::from(fields::kind_of(place.field) != Some(Kind::Text));
                if !stops[..done].contains(&stop) {
                    survey.put(place, None).expect("a place of the survey");
                }
            }
            let assessment = assess(&survey, fans, &codes);
            let matters = what_matters(&assessment)[0].matters.len();
            let open = holes(&survey)
                .iter()
                .filter(|hole| fields::kind_of(hole.field) != Some(Kind::Text))
                .count();
            println!(
                "  {done} stops done: {asked} answers can be given, {open} are missing, {matters} still matter, {} can be skipped",
                open - matters
            );
            assert!(matters <= open && matters <= last, "{name}");
            last = matters;
        }
        assert_eq!(last, 0, "{name}: the walk ends with nothing open");
    }
}

/// Values to try for an answer: every word of a list, both sides of a yes or no, the ends of what may be typed, and many
/// drawn at random.
fn trials(at: FieldRef, dice: &mut Dice) -> Vec<String> {
    let kind = fields::kind_of(at.field).expect("a kind");
    let mut all: Vec<String> = match kind {
        Kind::YesNo => vec!["yes".to_owned(), "no".to_owned()],
        Kind::Choice(words) => words.iter().map(|word| word.code.to_owned()).collect(),
        Kind::Count { least, most } => vec![least.to_string(), most.to_string()],
        Kind::Length => ["1/4 in", "6 in", "20 in", "40 in", "10 ft", "80 ft"]
            .map(str::to_owned)
            .to_vec(),
        Kind::Offset => ["-60 in", "-12 in", "0 in", "12 in", "60 in"]
            .map(str::to_owned)
            .to_vec(),
        Kind::Area => ["1 in2", "1 ft2", "100 ft2", "9000 ft2"]
            .map(str::to_owned)
            .to_vec(),
        Kind::Temperature => vec!["40 °F".to_owned(), "170 °F".to_owned()],
        Kind::Share => vec!["0 %".to_owned(), "100 %".to_owned()],
        Kind::Voltage => vec!["112 V".to_owned(), "120 V".to_owned()],
        Kind::Current => vec!["0 A".to_owned(), "50 A".to_owned()],
        _ => Vec::new(),
    };
    if kind != Kind::Complete {
        all.extend((0..40).map(|_| crate::common::typed(dice, at.field, kind)));
    }
    all
}

/// What one part of a spot's verdict comes to, the work with all that it asks for.
fn part_of(assessment: &Assessment, spot: usize, part: Part) -> String {
    let judged = &assessment.spots[spot];
    if part != Part::Work {
        return format!("{:?}", judged.parts.of(part));
    }
    let best = judged.best().expect("a choice");
    let work: Vec<String> = assessment
        .bearing_on(judged, best)
        .flat_map(|finding| &finding.remedies)
        .map(|remedy| format!("{:?}: {}", remedy.who, remedy.what.english()))
        .collect();
    format!("{} {:?} {work:?}", best.fan, best.framing)
}

// On 2026-12-01 no value changed 164 of the 332 parts named (`cargo test --no-default-features --features office --test
// checks what_still_matters_names -- --ignored --nocapture`); the aim is one in twenty.
#[test]
#[ignore = "takes four minutes"]
fn what_still_matters_names_a_part_that_it_can_change() {
    let (fans, codes) = (few_fans(), Codes::default());
    let demo = joistlight::demo::survey().expect("the demo's house");
    let mut dice = Dice(20_261_201);
    let (mut listed, mut idle) = (0, Vec::new());
    for at in demo.places() {
        let Some(given) = demo.answer(at) else {
            continue;
        };
        let whole = assess(&demo, &fans, &codes);
        let mut open = demo.clone();
        open.put(at, None).expect("a place of the survey");
        let judged = assess(&open, &fans, &codes);
        let asked: Vec<(usize, Part)> = judged
            .spots
            .iter()
            .enumerate()
            .flat_map(|(spot, it)| {
                it.still_matters
                    .iter()
                    .filter(|matter| matter.field == at)
                    .flat_map(move |matter| matter.parts.iter().map(move |part| (spot, part)))
            })
            .collect();
        listed += asked.len();
        let mut still: Vec<(usize, Part)> = asked;
        for text in trials(at, &mut dice) {
            if still.is_empty() {
                break;
            }
            let mut other = open.clone();
            if other.type_in(at, &text, &Ways::default()).is_err() {
                continue;
            }
            let now = assess(&other, &fans, &codes);
            still.retain(|(spot, part)| {
                part_of(&now, *spot, *part) == part_of(&whole, *spot, *part)
            });
        }
        idle.extend(
            still
                .into_iter()
                .map(|(spot, part)| (at, given.clone(), spot, part)),
        );
    }
    println!(
        "{} of {listed} parts named are changed by no value:",
        idle.len()
    );
    for (at, given, spot, part) in &idle {
        println!("  {at:?} = {given:?}: spot {spot}, {part:?}");
    }
    assert!(listed > 100, "{listed}");
    assert!(
        idle.len() * 2 <= listed,
        "{} of {listed} parts named are changed by no value",
        idle.len()
    );
}

#[test]
fn a_part_that_is_answered_stays_so() {
    // Each part by itself, whatever the missing answers turn out to be.
    let (fans, codes, houses) = (few_fans(), Codes::default(), houses());
    let mut dice = Dice(20_261_202);
    let mut seen = BTreeMap::new();
    for number in 0..150 {
        let survey = match number % 3 {
            0 => random_survey(&mut dice, 1, 90),
            _ => {
                let taken = *dice.pick(&[2, 5, 15]);
                let house = dice.pick(&houses);
                worn(house, &mut dice, taken, 1)
            }
        };
        let before = assess(&survey, &fans, &codes);
        let open = holes(&survey);
        for _ in 0..6 {
            let mut filled = survey.clone();
            for hole in &open {
                if dice.chance(60) {
                    fill(&mut filled, &mut dice, *hole);
                }
            }
            let after = assess(&filled, &fans, &codes);
            for (spot, now) in before.spots.iter().zip(&after.spots) {
                let parts = std::iter::once((spot.parts, now.parts)).chain(
                    spot.choices
                        .iter()
                        .zip(&now.choices)
                        .map(|(choice, now)| (choice.parts, now.parts)),
                );
                for (was, is) in parts {
                    for part in [Part::GoesIn, Part::Safe] {
                        *seen.entry((part, was.of(part))).or_insert(0) += 1;
                        if was.of(part) != PartAnswer::Open {
                            assert_eq!(was.of(part), is.of(part), "survey {number}, {part:?}");
                        }
                    }
                }
            }
        }
    }
    println!("{seen:?}");
    assert_eq!(seen.len(), 8, "{seen:?}");
}
