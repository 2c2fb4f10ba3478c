//! *new wood* and *flue kind*: what is put in stays clear of everything, and flues are of a kind that an attic may have.

use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say, Who};
use super::insulation_clearance::joist_depth;
use super::joist::no_place;
use super::place::{moved, with_moves};
use super::{AtSpot, WithFan};
use crate::house::scene::Placed;
use crate::measure::Length;
use crate::survey::{FlueKind, InsulationKind, ObstructionKind, attic, obstruction};
use crate::trade::clearance::Hot;
use crate::trade::insulation_clearance::dam_over_joists;
use crate::trade::placement::{Move, Work};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Hot::TypeB.source(),
    Hot::TypeL.source(),
    Hot::SingleWall.source(),
    Hot::StovePipe.source(),
    Hot::FactoryChimney.source(),
    Hot::Masonry.source(),
    Hot::PlasticVent.source(),
    Hot::UnknownFlue.source(),
    Hot::RecessedLight.source(),
    Hot::Equipment.source(),
    Source::derived("headers, blocks, facing boards and the dam take up room like the fan"),
];

/// *New wood*: headers, blocks, boards and the dam run into nothing and stay away from what is hot.
pub(super) fn new_wood(with: WithFan) -> Finding {
    let mut ask = RuleContext::spot(
        with.at,
        "new-wood",
        "New wood clear of pipes, flues and heat",
        SOURCES,
    );
    let scene = with.at.scene;
    let place = match ask.place(&with) {
        Placed::Found { place, .. } => Some(place),
        Placed::Nowhere(nowhere) => return no_place(ask, nowhere),
        Placed::Unknown => None,
    };
    let kind = ask.get(attic::INSULATION);
    let dam = if kind == Some(InsulationKind::None) {
        Some(Length::ZERO)
    } else {
        let depth = ask.length(attic::INSULATION_DEPTH);
        let joist = joist_depth(&mut ask);
        match (kind, depth, joist) {
            (Some(_), Some(depth), Some(joist)) => Some(dam_over_joists(depth, joist)),
            _ => None,
        }
    };
    let (Some(place), Some(dam)) = (place, dam) else {
        return ask.not_measured();
    };
    ask.figure("dam over the joists", dam);
    let near: Vec<(Hot, Length)> = scene.hot_things().collect();
    if let Some((_, most)) = near.iter().max_by_key(|(_, clear)| *clear) {
        ask.figure("most that wood keeps from anything hot", *most);
    }
    let work = Work {
        dam,
        ..Work::default()
    };
    let moves = scene.further_moves(with.fan, with.framing, place, &work, None);
    if !moves.is_empty() {
        return in_the_way(
            ask,
            with,
            &moves,
            "The dam would run into what is there, or too near to it: {things}.",
        );
    }
    let hot = place.moves.iter().filter(|it| scene.is_hot(it)).count();
    if hot > 0 {
        let say =
            Say::new("Wood would come too near to what is hot: {things}.").with("things", hot);
        let finding = ask.settled(Outcome::Mend, say);
        return with_moves(finding, scene, place);
    }
    ask.settled(
        Outcome::Holds,
        if near.is_empty() {
            Say::new("Nothing hot was found near the new wood.")
        } else {
            Say::new("New wood stays as far from everything hot as its kind asks.")
        },
    )
}

/// A finding about new wood that runs into things: some that nobody can move, or all that somebody can.
pub(super) fn in_the_way(
    ask: RuleContext,
    with: WithFan,
    moves: &[Move],
    text: &'static str,
) -> Finding {
    let never = moves.iter().any(|it| it.movable == Some(false));
    let outcome = if never { Outcome::Fails } else { Outcome::Mend };
    let mut finding = ask.settled(outcome, Say::new(text).with("things", moves.len()));
    for it in moves {
        let (who, say) = moved(with.at.scene, it);
        finding = finding.remedy(who, say);
    }
    finding
}

/// *Flue kind*: no pipe in the attic is of a kind that is not allowed there.
pub(super) fn flue_kind(at: AtSpot) -> Finding {
    const SOURCES: &[Source] = &[Source::confirmed(
        "NFPA 54, IRC G2427.10.2.2 (2018): no single-wall pipe in an attic; connectors there are type B, L or listed alike",
    )];
    let mut ask = RuleContext::spot(
        at,
        "flue-kind",
        "Are the flues in the attic of a kind allowed there?",
        SOURCES,
    );
    ask.complete(attic::OBSTRUCTIONS);
    let (mut barred, mut unknown) = (0_usize, 0_usize);
    for it in &at.spot.attic.obstructions.items {
        let kind = ask.get_of(it, obstruction::KIND);
        if kind.is_some_and(|it| it != ObstructionKind::Flue) {
            continue;
        }
        if kind.is_none() {
            continue;
        }
        match ask.get_of(it, obstruction::FLUE) {
            Some(FlueKind::SingleWall | FlueKind::StovePipe) => barred += 1,
            Some(FlueKind::Unknown) => unknown += 1,
            _ => {}
        }
    }
    if barred > 0 {
        return ask
            .settled(
                Outcome::Mend,
                Say::new("Stop. Single-wall pipe is not allowed in an attic, however far wood is: {count}.")
                    .with("count", barred),
            )
            .remedy(
                Who::Technician,
                Say::new("Take the appliance out of use and replace the pipe with a listed vent or chimney before any other work."),
            )
            .caution(Say::new(
                "Do not use the appliance on this pipe until a licensed technician has replaced the pipe. Local codes decide.",
            ));
    }
    if ask.lacks() {
        return ask.not_measured();
    }
    if unknown > 0 {
        return ask
            .settled(
                Outcome::Mend,
                Say::new("Nobody could tell the kind of some flues: {count}.").with("count", unknown),
            )
            .remedy(
                Who::Technician,
                Say::new("Have a licensed technician say what kind of flue it is, and how far wood must stay from it."),
            );
    }
    ask.settled(
        Outcome::Holds,
        Say::new("No single-wall pipe was found in the attic."),
    )
}

#[cfg(test)]
mod tests {
    use super::super::Framing;
    use super::super::place::place;
    use super::super::trial::{Trial, missing};
    use super::*;
    use crate::survey::{fixture, hall};

    fn post(trial: &mut Trial, kind: &str, flue: &str, mover: &str) {
        let id = trial.add(
            attic::OBSTRUCTIONS.id,
            &[
                (obstruction::KIND.id, kind),
                (obstruction::SHAPE.id, "upright"),
                (obstruction::AHEAD.id, "0"),
                (obstruction::LEFT.id, "20"),
                (obstruction::DIAMETER.id, "4"),
                (obstruction::BOTTOM.id, "-6"),
                (obstruction::TOP.id, "60"),
                (obstruction::MOVER.id, mover),
            ],
        );
        if !flue.is_empty() {
            trial.set_item(id, obstruction::FLUE.id, flue);
        }
    }

    fn beam(trial: &mut Trial, kind: &str, mover: &str) {
        trial.add(
            attic::OBSTRUCTIONS.id,
            &[
                (obstruction::KIND.id, kind),
                (obstruction::SHAPE.id, "box"),
                (obstruction::AHEAD.id, "0"),
                (obstruction::LEFT.id, "0"),
                (obstruction::SIZE_ALONG.id, "400"),
                (obstruction::SIZE_ACROSS.id, "2"),
                (obstruction::BOTTOM.id, "20"),
                (obstruction::TOP.id, "24"),
                (obstruction::MOVER.id, mover),
            ],
        );
    }

    fn left(trial: &Trial) -> f64 {
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds, "{}", finding.say.english());
        let named = |it: &&crate::measure::Figure| it.name == "place, left of the mark";
        finding.figures.iter().find(named).expect("a place").value
    }

    #[test]
    fn facing_boards_stay_as_far_from_a_flue_as_its_kind_asks() {
        // 18 in of it are free, so that the clear space alone finds room; the boards reach 17 1/2 in from the middle.
        for (kind, flue, off) in [
            ("pipe", "", 0.0),
            ("flue", "type B", -0.5),
            ("flue", "factory-built", -1.5),
            ("flue", "masonry", -1.5),
        ] {
            let mut trial = Trial::well();
            post(&mut trial, kind, flue, "anybody");
            assert!(
                (left(&trial) - off).abs() < 0.01,
                "{flue}: {}",
                left(&trial)
            );
        }
        let mut trial = Trial::well();
        post(&mut trial, "flue", "", "nobody");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(missing(&finding), [obstruction::FLUE.id]);
    }

    #[test]
    fn what_is_said_raises_who_moves_a_thing_and_never_lowers_it() {
        for (kind, said, who) in [
            ("brace", "anybody", Who::Engineer),
            ("collar tie", "electrician", Who::Engineer),
            ("strongback", "anybody", Who::Engineer),
            ("gas pipe", "anybody", Who::Technician),
            ("wire", "anybody", Who::Electrician),
            ("pipe", "engineer", Who::Engineer),
            ("truss web", "anybody", Who::Nobody),
            ("duct", "nobody", Who::Nobody),
        ] {
            let mut trial = Trial::well();
            beam(&mut trial, kind, said);
            let finding = trial.choice(place, "direct-24", Framing::Whole);
            assert_eq!(finding.remedies[0].who, who, "{kind} {said}");
            let outcome = if who == Who::Nobody {
                Outcome::Fails
            } else {
                Outcome::Mend
            };
            assert_eq!(finding.outcome, outcome, "{kind} {said}");
        }
    }

    #[test]
    fn a_smoke_alarm_stays_three_feet_from_the_opening() {
        let mut trial = Trial::well();
        for (field, text) in [(hall::LENGTH.id, "60"), (hall::MARK_FROM_START.id, "30")] {
            trial.set(field, text);
        }
        // Clear of the shutter; 9 in and 10 in from the opening's corner.
        let alarm = trial.add(
            hall::FIXTURES.id,
            &[
                (fixture::KIND.id, "smoke alarm"),
                (fixture::AHEAD.id, "24"),
                (fixture::LEFT.id, "25"),
                (fixture::SIZE_ALONG.id, "6"),
                (fixture::SIZE_ACROSS.id, "6"),
            ],
        );
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies[0].who, Who::Electrician);
        trial.set_item(alarm, fixture::KIND.id, "light");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
    }

    #[test]
    fn no_joist_counts_whole_that_ends_at_the_hatch() {
        let mut trial = Trial::well();
        assert_eq!(left(&trial), 0.0);
        // Beside the shutter, yet in the next joist: the fan no longer stands between that one and another.
        trial.add(
            hall::FIXTURES.id,
            &[
                (fixture::KIND.id, "hatch"),
                (fixture::AHEAD.id, "24"),
                (fixture::LEFT.id, "0"),
                (fixture::SIZE_ALONG.id, "10"),
                (fixture::SIZE_ACROSS.id, "30"),
            ],
        );
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert!(
            finding.say.english().contains("24\" back"),
            "{}",
            finding.say.english()
        );
    }

    #[test]
    fn no_joist_is_cut_that_a_roof_strut_stands_on() {
        let mut trial = Trial::well();
        trial.set(attic::JOIST_SPACING.id, "16");
        let before = trial.choice(place, "direct-24", Framing::Cut);
        assert_eq!(before.outcome, Outcome::Holds);
        for joist in ["0", "16", "-16", "32", "-32"] {
            trial.add(
                attic::OBSTRUCTIONS.id,
                &[
                    (obstruction::KIND.id, "roof strut"),
                    (obstruction::SHAPE.id, "box"),
                    (obstruction::AHEAD.id, joist),
                    (obstruction::LEFT.id, "40"),
                    (obstruction::SIZE_ALONG.id, "1 1/2"),
                    (obstruction::SIZE_ACROSS.id, "3 1/2"),
                    (obstruction::BOTTOM.id, "0"),
                    (obstruction::TOP.id, "60"),
                    (obstruction::MOVER.id, "nobody"),
                ],
            );
        }
        let after = trial.choice(place, "direct-24", Framing::Cut);
        assert_ne!(before.say.english(), after.say.english());
    }

    #[test]
    fn a_dam_stays_clear_too() {
        let mut trial = Trial::well();
        for (field, text) in [
            (attic::INSULATION.id, "cellulose"),
            (attic::INSULATION_DEPTH.id, "14"),
            (hall::LENGTH.id, "40"),
            (hall::MARK_FROM_START.id, "20"),
            (hall::WIDTH.id, "30"),
            (hall::MARK_FROM_LEFT.id, "15"),
        ] {
            trial.set(field, text);
        }
        let judge = |trial: &Trial| trial.choice(new_wood, "direct-24", Framing::Whole);
        assert_eq!(judge(&trial).outcome, Outcome::Holds);
        post(&mut trial, "pipe", "", "plumber");
        assert_eq!(judge(&trial).outcome, Outcome::Mend);
        assert_eq!(judge(&trial).remedies[0].who, Who::Plumber);
        trial.set(attic::INSULATION_DEPTH.id, "4");
        assert_eq!(judge(&trial).outcome, Outcome::Holds);
        trial.set(attic::INSULATION_DEPTH.id, "");
        assert_eq!(missing(&judge(&trial)), [attic::INSULATION_DEPTH.id]);
    }
}
