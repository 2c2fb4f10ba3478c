//! The rules' own promise, finding by finding: an outcome other than *not measured yet* stands whatever the
//! missing answers turn out to be, and one that is not measured yet names every answer that it waits for.

use crate::common::{Dice, fill, random_survey};
use joistlight::rules::{Assessment, Finding, Outcome, assess};
use joistlight::survey::{FieldRef, ItemId, Survey};
use joistlight::trade::codes::{Building, Codes, Energy};
use joistlight::trade::fan::{FanList, generic};
use std::collections::BTreeMap;

fn few_fans() -> FanList {
    let mut list = generic().clone();
    list.fans
        .retain(|fan| ["direct-24", "belt-42", "long-slim"].contains(&fan.id.as_str()));
    list
}

type Name = (&'static str, Option<ItemId>, String);

fn findings(assessment: &Assessment) -> BTreeMap<Name, &Finding> {
    let mut all = BTreeMap::new();
    for finding in &assessment.house {
        all.insert((finding.rule, None, String::new()), finding);
    }
    for spot in &assessment.spots {
        for finding in &spot.findings {
            all.insert((finding.rule, Some(spot.spot), String::new()), finding);
        }
        for choice in &spot.choices {
            for finding in &choice.findings {
                let choice = format!("{} {}", choice.fan, choice.framing.label());
                all.insert((finding.rule, Some(spot.spot), choice), finding);
            }
        }
    }
    all
}

fn holes(survey: &Survey) -> Vec<FieldRef> {
    survey
        .places()
        .into_iter()
        .filter(|place| survey.answer(*place).is_none())
        .collect()
}

#[test]
fn a_finding_stands_and_an_open_one_names_what_it_waits_for() {
    let number = |name: &str, usual: u64| {
        std::env::var(name)
            .ok()
            .and_then(|text| text.parse().ok())
            .unwrap_or(usual)
    };
    let seed = number("JOISTLIGHT_SEED", 20_261_125);
    let surveys = number("JOISTLIGHT_SURVEYS", 400);
    println!("seed {seed}, {surveys} surveys");
    let fans = few_fans();
    let mut seen: BTreeMap<(&'static str, Outcome), usize> = BTreeMap::new();
    for which in 0..surveys {
        let mut dice = Dice(seed.wrapping_mul(1_000_003).wrapping_add(which));
        let codes = Codes {
            building: *dice.pick(Building::ALL),
            energy: *dice.pick(Energy::ALL),
            ..Codes::default()
        };
        let percent = *dice.pick(&[70, 85, 95, 98]);
        let survey = random_survey(&mut dice, 1, percent);
        let before = assess(&survey, &fans, &codes);
        let known = findings(&before);
        for (name, finding) in &known {
            *seen.entry((name.0, finding.outcome)).or_default() += 1;
        }
        let open = holes(&survey);
        for round in 0..8 {
            let mut filled = survey.clone();
            for hole in &open {
                if round % 2 == 0 || dice.chance(40) {
                    fill(&mut filled, &mut dice, *hole);
                }
            }
            let after = assess(&filled, &fans, &codes);
            let after = findings(&after);
            for (name, finding) in &known {
                if finding.outcome != Outcome::NotMeasured {
                    assert_eq!(
                        after[name].outcome,
                        finding.outcome,
                        "seed {seed}, survey {which}, round {round}: {name:?}\nbefore: {}\nafter: {}",
                        finding.say.english(),
                        after[name].say.english(),
                    );
                }
            }
        }
        // What an open finding does not name leaves it open, and changes nothing in it.
        for (name, finding) in &known {
            if finding.outcome != Outcome::NotMeasured || !dice.chance(15) {
                continue;
            }
            let mut others = survey.clone();
            for hole in open.iter().filter(|hole| !finding.missing.contains(hole)) {
                fill(&mut others, &mut dice, *hole);
            }
            let after = assess(&others, &fans, &codes);
            let after = findings(&after)[name];
            assert_eq!(
                after.outcome,
                Outcome::NotMeasured,
                "seed {seed}, survey {which}: {name:?} was settled by answers that it does not name; it names {:?}",
                finding.missing
            );
        }
    }
    for ((rule, outcome), count) in seen {
        println!("{rule}: {outcome:?} {count}");
    }
}
