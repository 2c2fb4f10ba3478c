//! Whether everything in the switch box has room.
//!
//! The list says what the box will hold with the fan's switch and cable in it. Things only add: what is listed
//! so far may already be too much.

use super::wires::gauge;
use super::{AtSpot, Finding, Outcome, RuleContext, Say, Who, number};
use crate::measure::{CubicInches, Volume};
use crate::need::Need;
use crate::survey::{BoxContent, box_entry, hall};
use crate::trade::box_fill::{Content, Held, box_fill, has_room, per_wire, smallest_box};
use crate::trade::codes::Electrical;
use crate::trade::conductor::Gauge;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("NEC 314.16(B) and Table 314.16(B)(1)"),
    Source::confirmed("NEC 314.16(B)(5) since 2020: each ground beyond four adds a quarter"),
    Source::confirmed("NEC Table 314.16(A)"),
];

/// Has everything in the switch box room?
pub fn switch_box(at: AtSpot) -> Finding {
    let hall = &at.spot.hall;
    let mut asking = RuleContext::spot(
        at,
        "switch-box",
        "Has everything in the switch box room?",
        SOURCES,
    );
    let volume = asking.get(hall::BOX_VOLUME);
    asking.complete(hall::BOX_CONTENTS);
    // What is not said of an entry is taken at its least: then the sum is a lower bound.
    let mut least = Vec::with_capacity(hall.box_contents.items.len());
    for entry in &hall.box_contents.items {
        let kind = asking.get_of(entry, box_entry::KIND);
        if kind == Some(BoxContent::Pigtail) {
            continue; // counts nothing, whatever its size and number
        }
        let size = asking.get_of(entry, box_entry::SIZE);
        let count = match kind {
            // Clamps count once together, however many.
            Some(BoxContent::Clamp) => Some(1),
            _ => asking.get_of(entry, box_entry::COUNT),
        };
        let Some(kind) = kind else { continue };
        least.push(Held {
            content: content(kind),
            gauge: size.map_or(Gauge::Awg14, gauge),
            count: count.unwrap_or(1),
        });
    }
    let edition = at.house.codes.electrical;
    let fill = box_fill(least.iter().copied(), edition);
    asking.figure("room for insulated wires", CubicInches(fill.wires));
    asking.figure("room for ground wires", CubicInches(fill.grounds));
    asking.figure("room for clamps", CubicInches(fill.clamps));
    asking.figure("room for yokes", CubicInches(fill.yokes));
    asking.figure("room needed in the box", CubicInches(fill.total));
    if let Some(largest) = least.iter().map(|held| held.gauge).max() {
        asking.figure("room for one more wire", CubicInches(per_wire(largest)));
    }
    let in3 = |volume: Volume| number(volume.in3(), "in³", 2);
    if let Some(volume) = volume
        && !has_room(volume, fill.total)
    {
        let everything = !asking.lacks();
        let finding = asking
            .settled(
                Outcome::Mend,
                Say::new("The switch box has {volume}; what goes in needs {need}.")
                    .with("volume", in3(volume))
                    .with("need", in3(fill.total)),
            )
            .needs_as(
                Who::Electrician,
                Need::SwitchBox(fill.total),
                bigger_box(fill.total),
            );
        return if everything {
            finding.amounts(in3(fill.total), in3(volume), in3(volume - fill.total))
        } else {
            finding
        };
    }
    if hall.box_contents.complete && hall.box_contents.items.is_empty() {
        return asking
            .settled(
                Outcome::Mend,
                Say::new("Nothing is listed in the switch box, not even the fan's switch."),
            )
            .needs_as(
                Who::Electrician,
                Need::SwitchBox(usual_fill(edition)),
                bigger_box(usual_fill(edition)),
            );
    }
    let Some(volume) = volume.filter(|_| !asking.lacks()) else {
        return asking.not_measured();
    };
    asking
        .settled(
            Outcome::Holds,
            Say::new("The switch box has {volume}; what goes in needs {need}.")
                .with("volume", in3(volume))
                .with("need", in3(fill.total)),
        )
        .amounts(in3(fill.total), in3(volume), in3(volume - fill.total))
        .caution(Say::new(
            "A fan of two fixed speeds has one wire more than others between switch and fan; count it too.",
        ))
}

const fn content(kind: BoxContent) -> Content {
    match kind {
        BoxContent::Conductor => Content::Wires,
        BoxContent::Ground => Content::Grounds,
        BoxContent::Clamp => Content::Clamps,
        BoxContent::Yoke => Content::Yokes,
        BoxContent::Pigtail => Content::Pigtails,
    }
}

/// What a new box for a fan's switch holds: supply of two wires, three to the fan, grounds, clamps and the
/// switch, all 12 AWG (common practice, no source).
fn usual_fill(edition: Electrical) -> Volume {
    let held = |content, count| Held {
        content,
        gauge: Gauge::Awg12,
        count,
    };
    let usual = [
        held(Content::Wires, 5),
        held(Content::Grounds, 2),
        held(Content::Clamps, 2),
        held(Content::Yokes, 1),
    ];
    box_fill(usual, edition).total
}

fn bigger_box(fill: Volume) -> Say {
    let least = number(fill.in3(), "in³", 2);
    match smallest_box(fill) {
        Some(standard) => Say::new("Set a box of at least {least}, such as a {standard}.")
            .with("least", least)
            .with("standard", standard.name),
        None => Say::new("Set a box of at least {least}, or spread the wires over two.")
            .with("least", least),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{add, at_first_spot, at_spot, codes, survey};
    use super::*;
    use crate::survey::{FieldRef, Survey};
    use crate::trade::codes::Codes;

    /// Two cables of 12 AWG with ground, clamps and one switch: 18.0 in³ (NEC 314.16(B), a published example).
    fn two_cables(volume: &str) -> Survey {
        let mut survey = survey(&[(hall::BOX_VOLUME.id, volume)]);
        let spot = survey.spots[0].id;
        for (kind, count) in [
            ("conductor", "4"),
            ("ground", "2"),
            ("clamp", ""),
            ("yoke", "1"),
        ] {
            add(
                &mut survey,
                spot,
                hall::BOX_CONTENTS.id,
                &[
                    (box_entry::KIND.id, kind),
                    (box_entry::SIZE.id, "12 AWG"),
                    (box_entry::COUNT.id, count),
                ],
            );
        }
        at_spot(&mut survey, spot, &[(hall::BOX_CONTENTS.complete, "yes")]);
        survey
    }

    fn judge(survey: &Survey) -> Finding {
        at_first_spot(survey, &codes(), switch_box)
    }

    #[test]
    fn a_box_just_full_holds_and_a_smaller_one_is_replaced() {
        let full = judge(&two_cables("18 in3"));
        assert_eq!(full.outcome, Outcome::Holds, "{full:?}");
        assert_eq!(full.margin, Some(number(0.0, "in³", 2)));
        // Boxes are stamped and counted in in³, and so the figures say it.
        for (name, want) in [
            ("room for insulated wires", 9.0),
            ("room for ground wires", 2.25),
            ("room for clamps", 2.25),
            ("room for yokes", 4.5),
            ("room needed in the box", 18.0),
        ] {
            let figure = full.figures.iter().find(|figure| figure.name == name);
            let figure = figure.unwrap_or_else(|| panic!("{name}"));
            assert_eq!(figure.unit, "in³");
            assert!(
                (figure.value - want).abs() < 1e-9,
                "{name}: {}",
                figure.value
            );
        }
        let small = judge(&two_cables("14 in3"));
        assert_eq!(small.outcome, Outcome::Mend);
        assert_eq!(
            small.remedies[0].what.english(),
            "Set a box of at least 18.00 in³, such as a 3 × 2 × 3½ in device box."
        );
    }

    #[test]
    fn what_is_listed_so_far_may_already_be_too_much() {
        let mut survey = two_cables("14 in3");
        let spot = survey.spots[0].id;
        at_spot(&mut survey, spot, &[(hall::BOX_CONTENTS.complete, "")]);
        let early = judge(&survey);
        assert_eq!(early.outcome, Outcome::Mend);
        assert!(early.missing.is_empty() && early.margin.is_none());
        at_spot(&mut survey, spot, &[(hall::BOX_VOLUME.id, "20 in3")]);
        let open = judge(&survey);
        assert_eq!(open.missing, [hall::BOX_CONTENTS.complete_at(spot)]);
    }

    #[test]
    fn every_hole_of_an_entry_is_named_but_a_short_wires() {
        let mut survey = survey(&[
            (hall::BOX_VOLUME.id, "42 in3"),
            (hall::BOX_CONTENTS.complete, "yes"),
        ]);
        let spot = survey.spots[0].id;
        let blank = add(&mut survey, spot, hall::BOX_CONTENTS.id, &[]);
        add(
            &mut survey,
            spot,
            hall::BOX_CONTENTS.id,
            &[(box_entry::KIND.id, "pigtail")],
        );
        let clamp = add(
            &mut survey,
            spot,
            hall::BOX_CONTENTS.id,
            &[(box_entry::KIND.id, "clamp")],
        );
        let field = |name, item| FieldRef::spot(name, spot).item(item);
        assert_eq!(
            judge(&survey).missing,
            [
                field(box_entry::KIND.id, blank),
                field(box_entry::SIZE.id, blank),
                field(box_entry::COUNT.id, blank),
                field(box_entry::SIZE.id, clamp)
            ]
        );
        let volume = at_first_spot(&super::super::test_house::survey(&[]), &codes(), switch_box);
        assert_eq!(volume.outcome, Outcome::NotMeasured);
        assert_eq!(volume.missing.len(), 2);
    }

    #[test]
    fn an_empty_box_is_no_switch_box() {
        let finding = judge(&survey(&[
            (hall::BOX_VOLUME.id, "18 in3"),
            (hall::BOX_CONTENTS.complete, "yes"),
        ]));
        assert_eq!(finding.outcome, Outcome::Mend);
        assert!(
            finding.remedies[0].what.english().contains("20.25 in³"),
            "{}",
            finding.remedies[0].what.english()
        );
    }

    #[test]
    fn grounds_count_by_the_edition() {
        let mut survey = two_cables("18 in3");
        let spot = survey.spots[0].id;
        add(
            &mut survey,
            spot,
            hall::BOX_CONTENTS.id,
            &[
                (box_entry::KIND.id, "ground"),
                (box_entry::SIZE.id, "12 AWG"),
                (box_entry::COUNT.id, "3"),
            ],
        );
        let outcome = |electrical| {
            let codes = Codes {
                electrical,
                ..codes()
            };
            at_first_spot(&survey, &codes, switch_box).outcome
        };
        assert_eq!(outcome(Electrical::Nec2017), Outcome::Holds);
        assert_eq!(outcome(Electrical::Nec2020), Outcome::Mend);
    }
}
