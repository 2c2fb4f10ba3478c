//! One need, one remedy: no two findings, lists or sheets of one house give different amounts for one thing.

use crate::common::{Dice, random_survey, worn};
use joistlight::job::{Chosen, Job};
use joistlight::need::Need;
use joistlight::rules::{Outcome, assess};
use joistlight::survey::{FieldRef, Survey, Ways};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan::{FanList, generic};
use std::collections::BTreeMap;

fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name)
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(usual)
}

fn few_fans() -> FanList {
    let mut list = generic().clone();
    list.fans
        .retain(|fan| ["direct-30", "belt-36", "long-slim"].contains(&fan.id.as_str()));
    list
}

/// The demo's house with a long run and a weak circuit, where most is asked for twice.
fn demanding() -> Survey {
    let mut house = joistlight::demo::survey().expect("the demo's house");
    let ways = Ways::default();
    for (field, text) in [
        ("power.one_way_run", "180 ft"),
        ("power.voltage", "118 V"),
        ("power.breaker", "15 A"),
        ("power.other_load", "12 A"),
        ("power.wire_size", "14 AWG"),
    ] {
        house
            .type_in(FieldRef::house(field), text, &ways)
            .expect("an answer");
    }
    house
}

#[test]
fn one_thing_has_one_amount_in_a_house() {
    let seed = number("JOISTLIGHT_SEED", 20_261_203);
    let houses = number("JOISTLIGHT_SURVEYS", 1000);
    println!("seed {seed}, {houses} houses");
    let (fans, codes) = (few_fans(), Codes::default());
    let whole = [
        joistlight::demo::survey().expect("the demo's house"),
        demanding(),
    ];
    let mut seen: BTreeMap<&'static str, (usize, usize)> = BTreeMap::new();
    for which in 0..houses {
        let mut dice = Dice(seed.wrapping_mul(1_000_003).wrapping_add(which));
        let survey = if which % 4 == 0 {
            random_survey(&mut dice, 1, 97)
        } else {
            let drawn = *dice.pick(&[0, 2, 8]);
            let house = dice.pick(&whole);
            worn(house, &mut dice, 0, drawn)
        };
        let assessment = assess(&survey, &fans, &codes);
        for (number, spot) in assessment.spots.iter().enumerate() {
            for choice in &spot.choices {
                let about = format!(
                    "seed {seed}, house {which}, {} {:?}",
                    choice.fan, choice.framing
                );
                let needs: Vec<&Need> = choice
                    .work
                    .iter()
                    .filter_map(|it| it.need.as_ref())
                    .collect();
                for (at, need) in needs.iter().enumerate() {
                    for other in &needs[..at] {
                        assert!(
                            need.merge(other).is_none(),
                            "{about}: {need:?} and {other:?}"
                        );
                    }
                }
                for finding in assessment.bearing_on(spot, choice) {
                    if finding.outcome != Outcome::Mend {
                        continue;
                    }
                    for remedy in &finding.remedies {
                        let task = choice.work.iter().find(|task| {
                            task.what == remedy.what
                                && task.need == remedy.need
                                && task.who == remedy.who
                        });
                        let task = task.unwrap_or_else(|| {
                            panic!(
                                "{about}: {} asks for {:?} beside {:?}",
                                finding.rule, remedy, choice.work
                            )
                        });
                        if let Some(need) = &remedy.need {
                            let count = seen.entry(need.name()).or_default();
                            count.0 += 1;
                            count.1 += usize::from(task.rules.len() > 1);
                        }
                    }
                }
                let chosen = Chosen {
                    spot: Some(number + 1),
                    fan: Some(choice.fan.clone()),
                    framing: Some(choice.framing),
                };
                let job = Job::new(&survey, &fans, &assessment, &chosen).expect("a job");
                let Some(plan) = &job.plan else { continue };
                for need in needs {
                    match need {
                        Need::Vents(vents) => {
                            let gaps: Vec<_> =
                                plan.vents.iter().map(|gap| (gap.place, gap.area)).collect();
                            assert_eq!(gaps, vents.gaps().collect::<Vec<_>>(), "{about}");
                        }
                        Need::Circuit(circuit) => {
                            assert_eq!(plan.wiring.circuit, Some(*circuit), "{about}");
                        }
                        Need::SwitchBox(room) => {
                            assert_eq!(
                                plan.wiring.box_needed.map(|it| it.in3()),
                                Some(room.in3()),
                                "{about}"
                            );
                        }
                        Need::Switch(rating) => {
                            assert_eq!(
                                plan.wiring.switch.map(|it| it.a()),
                                Some(rating.a()),
                                "{about}"
                            );
                        }
                        Need::Headers { plies, .. } => {
                            assert_eq!(plan.layout.plies.headers, *plies, "{about}");
                        }
                        Need::Trimmers(_) => {
                            assert_eq!(plan.layout.plies.trimmers.count(), 2, "{about}");
                        }
                        _ => {}
                    }
                }
            }
        }
    }
    println!("asked for, and of that by several rules at once: {seen:?}");
    for (kind, by_several) in [
        ("vents", false),
        ("windows", false),
        ("circuit", true),
        ("headers", true),
        ("trimmers", true),
    ] {
        assert!(
            seen.get(kind)
                .is_some_and(|count| count.0 > 0 && (!by_several || count.1 > 0)),
            "{kind}: {seen:?}"
        );
    }
}
