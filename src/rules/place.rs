//! *place*: where in the hall the opening goes, and where it goes nowhere, the least change that would let it.

use super::sheet::SheetSources;
use super::{Finding, Outcome, RuleContext, Say, Who, WithFan};
use crate::house::scene::{Nowhere, Placed, Scene};
use crate::measure::Length;
use crate::survey::{Mover, ObstructionKind};
use crate::trade::placement::{Move, Place, Which};
use crate::trade::source::{Source, Status};

static SOURCES: SheetSources<4> = SheetSources::new([
    Source::given("the fan's sheet: opening, shutter and fixed vane"),
    Source::practice(
        "one edge of the opening flush with a joist, fewest joists cut, nearest to the hall's middle",
    ),
    Source::practice("over joists left whole, one of them under the shutter's fixed vane"),
    Source::derived("plane and solid geometry, exact"),
]);

/// The rule.
pub fn place(with: WithFan) -> Finding {
    let mut finding = judged(with);
    if finding.outcome == Outcome::NotMeasured {
        return finding;
    }
    if let (Some(place), Some(axis)) = (with.place.found(), with.at.scene.axis.known)
        && let Some((by, way)) = place.vane(with.fan.fixed_vane, axis)
    {
        let text = if place.turned {
            "Hang the shutter half a turn from the way its sheet shows it: its fixed vane comes under the joist {by} {way} from the opening's middle."
        } else {
            "Hang the shutter the way its sheet shows it: its fixed vane comes under the joist {by} {way} from the opening's middle."
        };
        finding = finding.caution(Say::new(text).with("by", by).with("way", way.label()));
    }
    if with.fan.sheet_status() == Status::Invented {
        finding = finding.caution(Say::new(
            "Figures on this fan's sheet are made up for trying out: put the sheet of the fan that you order into the fan list before anything is ordered or cut.",
        ));
    }
    finding
}

fn judged(with: WithFan) -> Finding {
    let mut ask = RuleContext::spot(
        with.at,
        "place",
        "A place for the opening in the hall ceiling",
        SOURCES.of(with.fan),
    );
    let scene = with.at.scene;
    let tolerance = scene.tolerance();
    match ask.place(&with) {
        Placed::Unknown => ask.not_measured(),
        Placed::Nowhere(nowhere) => {
            let why = nowhere.why.clone();
            let finding = match &nowhere.closest {
                None => ask.settled(Outcome::Fails, why),
                Some(closest) => {
                    figures(&mut ask, CLOSEST, closest);
                    let finding = ask.settled(Outcome::Fails, why);
                    with_moves(finding, scene, closest)
                }
            };
            missing_by(finding, nowhere)
        }
        Placed::Found { place, others } => {
            ask.figure("places of different kinds", 1 + others.len());
            figures(&mut ask, 0, place);
            for (index, other) in others.iter().enumerate().take(CLOSEST - 1) {
                figures(&mut ask, index + 1, other);
            }
            let at = whereabouts(place.ahead, place.left);
            if place.moves.is_empty() {
                let say = match (place.cut.len(), place.standing.len()) {
                    (0, 0) => Say::new("Middle of the opening: {place}. No joist crosses it."),
                    (0, joists) => Say::new(
                        "Middle of the opening: {place}. Joists that stay in it: {joists}.",
                    )
                    .with("joists", joists),
                    (joists, _) => {
                        Say::new("Middle of the opening: {place}. Joists to be cut: {joists}.")
                            .with("joists", joists)
                    }
                };
                let mut finding = ask.settled(Outcome::Holds, say.with("place", at));
                finding.measure_again = !place.firm;
                finding
            } else {
                let say = Say::new(
                    "Nothing is free as it is. Middle of the opening: {place}, once this many things are moved: {things}.",
                )
                .with("place", at)
                .with("things", place.moves.len());
                let mut finding = with_moves(ask.settled(Outcome::Mend, say), scene, place);
                finding.measure_again = place.moves.iter().all(|it| it.shift.by <= tolerance);
                finding
            }
        }
    }
}

/// The row of [`FIGURES`] for a place that is none yet.
const CLOSEST: usize = 4;

/// Names of a place's figures: for the best place, for those of other kinds, and for what comes closest to one.
const FIGURES: [[&str; 5]; 5] = [
    [
        "place, ahead of the mark",
        "place, left of the mark",
        "place, joists cut",
        "place, off the hall's middle",
        "place, between trimmers' middles",
    ],
    [
        "second place, ahead of the mark",
        "second place, left of the mark",
        "second place, joists cut",
        "second place, off the hall's middle",
        "second place, between trimmers' middles",
    ],
    [
        "third place, ahead of the mark",
        "third place, left of the mark",
        "third place, joists cut",
        "third place, off the hall's middle",
        "third place, between trimmers' middles",
    ],
    [
        "fourth place, ahead of the mark",
        "fourth place, left of the mark",
        "fourth place, joists cut",
        "fourth place, off the hall's middle",
        "fourth place, between trimmers' middles",
    ],
    [
        "closest to a place, ahead of the mark",
        "closest to a place, left of the mark",
        "closest to a place, joists cut",
        "closest to a place, off the hall's middle",
        "closest to a place, between trimmers' middles",
    ],
];

fn figures(ask: &mut RuleContext, index: usize, place: &Place) {
    let [ahead, left, cut, off, between] = FIGURES[index];
    ask.figure(ahead, place.ahead);
    ask.figure(left, place.left);
    ask.figure(cut, place.cut.len());
    ask.figure(off, place.off_centre);
    ask.figure(between, place.trimmers.1 - place.trimmers.0);
}

/// A finding that fails, with by how much.
fn missing_by(mut finding: Finding, nowhere: &Nowhere) -> Finding {
    finding.margin = nowhere.by.map(|by| (-by).into());
    finding.measure_again = nowhere.measure_again;
    finding
}

/// With what must be moved for this place.
pub(super) fn with_moves(mut finding: Finding, scene: &Scene, place: &Place) -> Finding {
    for it in &place.moves {
        // An opening in the joists stands among the things on the ceiling, too.
        if !matches!(it.which, Which::Hole(_)) {
            let (who, say) = moved(scene, it);
            finding = finding.remedy(who, say);
        }
    }
    cautions(finding, scene, place)
}

/// What to mind before such things are moved.
fn cautions(mut finding: Finding, scene: &Scene, place: &Place) -> Finding {
    let moves = |kinds: &[ObstructionKind]| {
        place.moves.iter().any(|it| match it.which {
            Which::InAttic(index) => scene.obstacles.known[index]
                .kind
                .is_some_and(|kind| kinds.contains(&kind)),
            Which::OnCeiling(_) | Which::Hole(_) => false,
        })
    };
    if moves(&[
        ObstructionKind::Brace,
        ObstructionKind::RoofStrut,
        ObstructionKind::TrussWeb,
        ObstructionKind::CollarTie,
        ObstructionKind::Strongback,
    ]) {
        finding = finding.caution(Say::new(
            "A brace, strut, web, collar tie or beam may carry the roof: leave it alone until an engineer, or whom local code allows, has said in writing what takes its place.",
        ));
    }
    if moves(&[ObstructionKind::Wire]) {
        finding = finding.caution(Say::new(
            "Wires are moved with their circuit off and locked, by whom local code allows to do it.",
        ));
    }
    if moves(&[ObstructionKind::GasPipe]) {
        finding = finding.caution(Say::new(
            "A gas pipe is moved and tested for leaks only by whoever is licensed for it, with the gas shut off.",
        ));
    }
    if moves(&[ObstructionKind::Flue]) {
        finding = finding.caution(Say::new(
            "A flue is moved only by whoever is licensed for it, with the clearances of its listing; until it is inspected the appliance stays off.",
        ));
    }
    finding
}

/// Who moves one thing, and how far.
pub(super) fn moved(scene: &Scene, it: &Move) -> (Who, Say) {
    let (mover, what) = match it.which {
        Which::InAttic(index) => {
            let thing = &scene.obstacles.known[index];
            (thing.mover, thing.kind.map(|kind| kind.label()))
        }
        Which::OnCeiling(index) => {
            let thing = &scene.ceiling.known[index];
            (thing.mover(), thing.kind.map(|kind| kind.label()))
        }
        Which::Hole(index) => (
            Some(Mover::Nobody),
            scene
                .opening(index)
                .and_then(|it| it.kind)
                .map(|kind| kind.label()),
        ),
    };
    let mover = mover.unwrap_or(Mover::Nobody);
    let say = match mover {
        Mover::Nobody if it.elsewhere => Say::new(
            "{what}: nobody can move it, and beside the shutter the ceiling has no room for it.",
        ),
        _ if it.elsewhere => Say::new(
            "{what}: take it off this ceiling; beside the shutter there is no room for it.",
        ),
        Mover::Nobody => {
            Say::new("{what}: nobody can move it, and it would have to lie {by} further {way}.")
        }
        _ => Say::new("{what}: move it {by} {way}."),
    };
    let say = say
        .with("what", what.unwrap_or("Something"))
        .with("by", it.shift.by)
        .with("way", it.shift.way.label());
    (mover.into(), say)
}

/// A place, in words.
pub(super) fn whereabouts(ahead: Length, left: Length) -> Say {
    if ahead.is_zero() && left.is_zero() {
        return Say::new("at the mark");
    }
    Say::new("{ahead} {way} and {left} {side} from the mark")
        .with("ahead", ahead.abs())
        .with("way", if ahead.is_negative() { "back" } else { "ahead" })
        .with("left", left.abs())
        .with(
            "side",
            if left.is_negative() {
                "to the right"
            } else {
                "to the left"
            },
        )
}

#[cfg(test)]
mod tests {
    use super::super::Framing;
    use super::super::trial::{Trial, missing};
    use super::*;
    use crate::survey::{attic, fixture, hall, joist, obstruction};

    fn said(finding: &Finding) -> String {
        finding.say.english()
    }

    #[test]
    fn it_holds_where_there_is_room() {
        let trial = Trial::well();
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert_eq!(
            said(&finding),
            "Middle of the opening: at the mark. Joists that stay in it: 1."
        );
        let finding = trial.choice(place, "direct-24", Framing::Cut);
        assert_eq!(
            said(&finding),
            "Middle of the opening: 11 1/4\" back and 0\" to the left from the mark. Joists to be cut: 1."
        );
        assert!(!finding.measure_again);
        assert!(
            finding
                .hangs_on
                .iter()
                .any(|at| at.field == attic::NOMINAL_SIZE.id)
        );
        let finding = trial.choice(place, "long-slim", Framing::Cut);
        assert!(said(&finding).ends_with("No joist crosses it."));
    }

    #[test]
    fn a_made_up_sheet_is_never_called_given() {
        let mut trial = Trial::well();
        let told = |finding: &Finding| {
            finding
                .cautions
                .iter()
                .any(|it| it.english().contains("made up for trying out"))
        };
        for framing in Framing::ALL {
            let finding = trial.choice(place, "belt-30", framing);
            assert!(told(&finding), "{framing:?}");
            assert_eq!(finding.sources[0].status, Status::Invented);
        }
        // Sizes read in print do not make the opening so.
        assert!(told(&trial.choice(place, "direct-24", Framing::Whole)));
        let fan = trial.fan("belt-30");
        (fan.sizes_status, fan.rest_status) = (Status::Given, Status::Given);
        let finding = trial.choice(place, "belt-30", Framing::Whole);
        assert!(!told(&finding));
        assert_eq!(finding.sources[0].status, Status::Given);
        for rule in [
            super::super::clear_space::clear_space,
            super::super::way_in::way_in,
        ] {
            let status = |id| trial.choice(rule, id, Framing::Whole).sources[0].status;
            assert_eq!(status("belt-30"), Status::Given);
            assert_eq!(status("belt-36"), Status::Invented);
        }
    }

    #[test]
    fn which_way_round_the_shutter_hangs_is_told() {
        let mut trial = Trial::well();
        let vane = |trial: &Trial| -> Vec<String> {
            trial
                .choice(place, "direct-24", Framing::Whole)
                .cautions
                .iter()
                .map(|it| it.english())
                .filter(|it| it.contains("fixed vane"))
                .collect()
        };
        assert!(vane(&trial).is_empty());
        trial.fan("direct-24").fixed_vane = Length::inches(2);
        assert_eq!(
            vane(&trial),
            [
                "Hang the shutter the way its sheet shows it: its fixed vane comes under the joist 2\" ahead from the opening's middle."
            ]
        );
        // Nearer to the hall's middle with the joist on the other side of it.
        trial.set(attic::NEAREST_JOIST.id, "-1");
        assert_eq!(
            vane(&trial),
            [
                "Hang the shutter half a turn from the way its sheet shows it: its fixed vane comes under the joist 2\" back from the opening's middle."
            ]
        );
    }

    #[test]
    fn it_fails_where_the_hall_is_too_narrow_even_before_the_rest_is_measured() {
        let mut trial = Trial::well();
        for (field, text) in [
            (hall::WIDTH.id, "27 15/16"),
            (hall::LENGTH.id, ""),
            (hall::MARK_FROM_LEFT.id, ""),
            (hall::MARK_FROM_START.id, ""),
            (attic::JOIST_SPACING.id, ""),
            (attic::OBSTRUCTIONS.complete, ""),
        ] {
            trial.set(field, text);
        }
        let finding = trial.choice(place, "direct-24", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert_eq!(
            said(&finding),
            "The shutter is 1/16\" too large for the hall's ceiling."
        );
        assert!(finding.measure_again && finding.missing.is_empty());
        // A longer shutter may still lie along the hall while the joists' run is not known.
        trial.set(hall::WIDTH.id, "20");
        trial.set(attic::JOIST_RUN.id, "");
        let finding = trial.choice(place, "long-slim", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::NotMeasured);
    }

    #[test]
    fn what_somebody_can_move_is_moved_and_what_nobody_can_is_not() {
        let mut trial = Trial::well();
        for (field, text) in [
            (hall::LENGTH.id, "36"),
            (hall::MARK_FROM_START.id, "18"),
            (hall::WIDTH.id, "48"),
            (hall::MARK_FROM_LEFT.id, "24"),
        ] {
            trial.set(field, text);
        }
        let lamp = trial.add(
            hall::FIXTURES.id,
            &[
                (fixture::KIND.id, "light"),
                (fixture::AHEAD.id, "0"),
                (fixture::LEFT.id, "0"),
                (fixture::SIZE_ALONG.id, "12"),
                (fixture::SIZE_ACROSS.id, "12"),
            ],
        );
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Mend);
        // 20 1/2 in would do, and there are 18 in at most to a wall.
        assert_eq!(finding.remedies.len(), 1);
        assert_eq!(finding.remedies[0].who, Who::Electrician);
        assert_eq!(
            finding.remedies[0].what.english(),
            "Light: take it off this ceiling; beside the shutter there is no room for it."
        );
        trial.set(hall::WIDTH.id, "54");
        trial.set(hall::MARK_FROM_LEFT.id, "27");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(
            finding.remedies[0].what.english(),
            "Light: move it 20\" to the left."
        );
        trial.set_item(lamp, fixture::KIND.id, "");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::NotMeasured);
        assert_eq!(missing(&finding), [fixture::KIND.id]);
        trial.set_item(lamp, fixture::KIND.id, "attic hatch");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Fails);
        // The joist over the middle of so short a hall ends at the hatch.
        assert!(
            said(&finding).contains("a joist that a hatch"),
            "{}",
            said(&finding)
        );
        // What it is decides how far it stays from the opening, wherever it is.
        trial.set_item(lamp, fixture::KIND.id, "");
        trial.set_item(lamp, fixture::LEFT.id, "-24");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(missing(&finding), [fixture::KIND.id]);
        trial.set_item(lamp, fixture::KIND.id, "light");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
    }

    #[test]
    fn doubled_headers_need_their_room_beside_a_bearing() {
        use super::super::joist_strength::joist_strength;
        use super::super::opening_framing::opening_framing;
        // A hall as wide as its joists span: two cut at 19.2 in leave 56.1 in between trimmers, above 4 ft, so that
        // the headers are doubled (IRC R802.9), and 2 in at either end are no room for 3 in.
        let mut trial = Trial::well();
        for (field, text) in [
            (hall::WIDTH.id, "46"),
            (hall::MARK_FROM_LEFT.id, "23"),
            (attic::BEARING_SPAN.id, "46"),
            (attic::MARK_FROM_BEARING.id, "23"),
            (attic::JOIST_SPACING.id, "19.2"),
        ] {
            trial.set(field, text);
        }
        for rule in [place, opening_framing, joist_strength] {
            let finding = trial.choice(rule, "belt-42", Framing::Cut);
            assert_eq!(finding.outcome, Outcome::Fails, "{}", finding.rule);
            assert!(
                said(&finding).ends_with(
                    "Between the joists' bearings the opening with its headers lacks 2\" within the hall."
                ),
                "{}",
                said(&finding)
            );
        }
        // An inch more at either end is enough.
        trial.set(attic::BEARING_SPAN.id, "48");
        trial.set(attic::MARK_FROM_BEARING.id, "24");
        let finding = trial.choice(place, "belt-42", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::Holds, "{}", said(&finding));
        assert!(said(&finding).ends_with("Joists to be cut: 2."));
        let framed = trial.choice(opening_framing, "belt-42", Framing::Cut);
        assert_eq!(framed.outcome, Outcome::Mend, "{}", said(&framed));
    }

    #[test]
    fn it_names_exactly_what_is_missing() {
        let mut trial = Trial::well();
        trial.set(attic::NOMINAL_SIZE.id, "");
        trial.set(attic::MARK_FROM_BEARING.id, "");
        trial.set(attic::ROOF_FALL.id, "");
        trial.set(hall::MARK_FROM_LEFT.id, "");
        trial.set(attic::OBSTRUCTIONS.complete, "");
        let finding = trial.choice(place, "direct-24", Framing::Cut);
        assert_eq!(
            missing(&finding),
            [
                hall::MARK_FROM_LEFT.id,
                attic::ROOF_FALL.id,
                attic::ROOF_SLOPE.id,
                attic::RIDGE_DISTANCE.id,
                attic::OBSTRUCTIONS.complete,
                attic::NOMINAL_SIZE.id,
                attic::JOIST_THICKNESS.id,
                attic::MARK_FROM_BEARING.id,
            ]
        );
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.missing.len(), 5);
        // Nobody cuts trusses, so that their bearings are no question here.
        trial.set(attic::FRAMING.id, "trusses");
        let finding = trial.choice(place, "direct-24", Framing::Cut);
        assert_eq!(finding.missing.len(), 7);
    }

    #[test]
    fn a_thing_beyond_the_reach_of_every_fan_needs_no_more_answers() {
        let mut trial = Trial::well();
        let tie = trial.add(
            attic::OBSTRUCTIONS.id,
            &[
                (obstruction::KIND.id, "collar tie"),
                (obstruction::SHAPE.id, "box"),
                (obstruction::BOTTOM.id, "36"),
            ],
        );
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        trial.set_item(tie, obstruction::BOTTOM.id, "35");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(
            missing(&finding),
            [
                obstruction::AHEAD.id,
                obstruction::LEFT.id,
                obstruction::SIZE_ALONG.id,
                obstruction::SIZE_ACROSS.id,
                obstruction::TOP.id,
                obstruction::MOVER.id,
            ]
        );
        // Behind the hall's end wall by more than any fan stands out over it.
        trial.set_item(tie, obstruction::AHEAD.id, "-160");
        trial.set_item(tie, obstruction::SIZE_ALONG.id, "40");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
    }

    #[test]
    fn something_immovable_all_along_the_hall_fails_before_the_list_is_finished() {
        let mut trial = Trial::well();
        trial.set(attic::OBSTRUCTIONS.complete, "");
        trial.set(attic::ROOF_HEIGHT.id, "");
        let beam = trial.add(
            attic::OBSTRUCTIONS.id,
            &[
                (obstruction::KIND.id, "collar tie"),
                (obstruction::SHAPE.id, "box"),
                (obstruction::AHEAD.id, "0"),
                (obstruction::LEFT.id, "0"),
                (obstruction::SIZE_ALONG.id, "300"),
                (obstruction::SIZE_ACROSS.id, "3 1/2"),
                (obstruction::BOTTOM.id, "20"),
                (obstruction::TOP.id, "26"),
                (obstruction::MOVER.id, "nobody"),
            ],
        );
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Fails);
        let roof = |it: &&Say| it.english().contains("may carry the roof");
        assert_eq!(finding.cautions.iter().filter(roof).count(), 1);
        trial.set_item(beam, obstruction::MOVER.id, "");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::NotMeasured);
        assert!(missing(&finding).contains(&obstruction::MOVER.id));
    }

    #[test]
    fn answers_that_contradict_each_other_are_to_be_measured_again() {
        for changes in [
            &[(hall::MARK_FROM_LEFT.id, "61")][..],
            &[(hall::WIDTH.id, "0")],
            &[(attic::JOIST_SPACING.id, "0")],
            &[(attic::BEARING_SPAN.id, "47")],
            &[
                (attic::JOISTS_EVEN.id, "no"),
                (attic::JOISTS.complete, "yes"),
            ],
            &[
                (attic::NOMINAL_SIZE.id, "other"),
                (attic::JOIST_THICKNESS.id, "0"),
            ],
        ] {
            let mut trial = Trial::well();
            for (field, text) in changes {
                trial.set(field, text);
            }
            let finding = trial.choice(place, "direct-24", Framing::Cut);
            assert_eq!(finding.outcome, Outcome::Fails, "{changes:?}");
            assert!(finding.measure_again);
            assert!(
                said(&finding).starts_with("Measure again: "),
                "{}",
                said(&finding)
            );
        }
        let mut trial = Trial::well();
        trial.add(
            attic::OBSTRUCTIONS.id,
            &[
                (obstruction::SHAPE.id, "upright"),
                (obstruction::AHEAD.id, "0"),
                (obstruction::LEFT.id, "0"),
                (obstruction::DIAMETER.id, "4"),
                (obstruction::BOTTOM.id, "20"),
                (obstruction::TOP.id, "10"),
            ],
        );
        let finding = trial.choice(place, "direct-24", Framing::Cut);
        assert!(finding.measure_again && finding.outcome == Outcome::Fails);
    }

    #[test]
    fn joists_that_are_not_even_are_taken_one_by_one() {
        let mut trial = Trial::well();
        trial.set(attic::JOISTS_EVEN.id, "no");
        let odd = trial.add(attic::JOISTS.id, &[(joist::AT.id, "5")]);
        for at in ["-60", "-20", "33", "70"] {
            trial.add(attic::JOISTS.id, &[(joist::AT.id, at)]);
        }
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(missing(&finding), [attic::JOISTS.complete]);
        trial.set(attic::JOISTS.complete, "yes");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert!(said(&finding).contains("5\" ahead"), "{}", said(&finding));
        trial.set_item(odd, joist::AT.id, "");
        let finding = trial.choice(place, "direct-24", Framing::Whole);
        assert_eq!(missing(&finding), [joist::AT.id]);
    }
}
