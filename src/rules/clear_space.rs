//! *clear space*: the room over the joists that the fan needs, against the roof, what is in the way, and the
//! measured clear length, width and height.

use super::place::moved;
use super::sheet::SheetSources;
use super::{Finding, Outcome, RuleContext, Say, WithFan};
use crate::house::scene::{Placed, Scene};
use crate::measure::Length;
use crate::survey::attic;
use crate::trade::fan::Fan;
use crate::trade::placement::{Axis, Place, Which, rooms_over_joists};
use crate::trade::source::Source;

static SOURCES: SheetSources<3> = SheetSources::new([
    Source::given("the fan's sheet: frame and clear space"),
    Source::practice(
        "36 × 36 × 36 in clear over the joists, where the sheet asks for nothing else",
    ),
    Source::derived("solid geometry, exact in three dimensions"),
]);

/// A room that is needed on one line, against the room that is there.
struct Room {
    need: Length,
    there: Length,
    text: &'static str,
}

impl Room {
    fn say(&self) -> Say {
        Say::new(self.text)
            .with("there", self.there)
            .with("need", self.need)
    }
}

/// The rule.
pub fn clear_space(with: WithFan) -> Finding {
    let mut ask = RuleContext::spot(
        with.at,
        "clear-space",
        "Clear space over the joists",
        SOURCES.of(with.fan),
    );
    let (scene, fan) = (with.at.scene, with.fan);
    let division = with.at.house.survey.tape.division();
    // The fan on its frame may be bigger than the space that its sheet asks for.
    let (space, frame) = (fan.clear_space(), fan.frame);
    let along = space.length.max(frame.length);
    let across = space.width.max(frame.width);
    let height = space.height.max(frame.height);
    ask.figure("space along the joists", along);
    ask.figure("space across the joists", across);
    ask.figure("space in height", height);

    let placed = ask.place(&with);
    let free_length = ask.get(attic::CLEAR_LENGTH);
    let free_width = ask.get(attic::CLEAR_WIDTH);
    let free_height = ask.get(attic::CLEAR_HEIGHT);
    // Where it is not known yet how the joists run: what is needed at the least.
    let (need_length, need_width) = match scene.axis.known {
        Some(Axis::Ahead) => (along, across),
        Some(Axis::Left) => (across, along),
        None => (along.min(across), along.min(across)),
    };
    let tightest = [
        (
            free_length,
            need_length,
            "Clear length is {there}; the fan needs {need}.",
        ),
        (
            free_width,
            need_width,
            "Clear width is {there}; the fan needs {need}.",
        ),
        (
            free_height,
            height,
            "Clear height is {there}; the fan needs {need}.",
        ),
    ]
    .into_iter()
    .filter_map(|(there, need, text)| {
        Some(Room {
            need,
            there: there?.length(),
            text,
        })
    })
    .min_by_key(|room| room.there - room.need);
    if let Some(room) = &tightest
        && room.there < room.need
    {
        return ask
            .settled(Outcome::Fails, room.say())
            .lengths(room.need, room.there, 1, division);
    }
    let place = match placed {
        Placed::Nowhere(nowhere) => {
            let say = Say::new("Nowhere over the hall is it free: {why}")
                .with("why", nowhere.why.clone());
            let mut finding = ask.settled(Outcome::Fails, say);
            if let Some(closest) = &nowhere.closest {
                finding = intruders(finding, scene, closest);
            }
            finding.margin = nowhere.by.map(|by| (-by).into());
            finding.measure_again = nowhere.measure_again;
            return finding;
        }
        Placed::Unknown => return ask.not_measured(),
        Placed::Found { place, .. } => place,
    };
    let Some(mut tightest) = tightest.filter(|_| !ask.lacks()) else {
        return ask.not_measured();
    };

    if let (Some(axis), Some(roof)) = (scene.axis.known, &scene.roof.known) {
        for room in rooms_over_joists(fan, axis, place.ahead, place.left) {
            let roof = Room {
                need: room.up.high,
                there: roof.lowest_over(room.ahead, room.left),
                text: "The roof over the fan is at least {there} high; the fan needs {need}.",
            };
            if roof.there - roof.need < tightest.there - tightest.need {
                tightest = roof;
            }
        }
        let room = rooms_over_joists(fan, axis, place.ahead, place.left)[0];
        let lowest = roof.lowest_over(room.ahead, room.left);
        ask.figure("roof, least height over the space", lowest);
        let square = roof.square_to(lowest - room.up.high);
        ask.figure("roof, clearance square to it", square);
        if let Some(nearest) = nearest(scene, fan, axis, place) {
            ask.figure("nearest thing in the way", nearest);
        }
    }
    let in_attic = |place: &Place| {
        place
            .moves
            .iter()
            .filter(|it| matches!(it.which, Which::InAttic(_)))
            .count()
    };
    let things = in_attic(place);
    if things == 0 {
        let mut finding = ask.settled(Outcome::Holds, tightest.say()).lengths(
            tightest.need,
            tightest.there,
            1,
            division,
        );
        finding.measure_again |= !place.firm && place.moves.is_empty();
        return finding;
    }
    let most = place.moves.iter().map(|it| it.shift.by).max();
    ask.figure("things that intrude", things);
    let say = Say::new("Things that reach into it where the opening goes best: {things}.")
        .with("things", things);
    let mut finding = intruders(ask.settled(Outcome::Mend, say), scene, place);
    finding.margin = most.map(|by| (-by).into());
    finding.measure_again = most.is_some_and(|by| by <= scene.tolerance());
    finding
}

/// With what reaches into the space there, by how much, and who could move it.
fn intruders(mut finding: Finding, scene: &Scene, place: &Place) -> Finding {
    for it in &place.moves {
        if matches!(it.which, Which::InAttic(_)) {
            let (who, say) = moved(scene, it);
            finding = finding.remedy(who, say);
        }
    }
    finding
}

/// The clearance to what is nearest in the attic, of all that need not be moved.
fn nearest(scene: &Scene, fan: &Fan, axis: Axis, place: &Place) -> Option<Length> {
    let rooms = rooms_over_joists(fan, axis, place.ahead, place.left);
    let mut nearest: Option<Length> = None;
    for (index, thing) in scene.obstacles.known.iter().enumerate() {
        if place
            .moves
            .iter()
            .any(|it| it.which == Which::InAttic(index))
        {
            continue;
        }
        for room in &rooms {
            let within = nearest.is_none_or(|nearest| thing.solid.is_within(nearest, room));
            if within {
                let clearance = thing.solid.clearance(room);
                nearest = Some(nearest.map_or(clearance, |it| it.min(clearance)));
            }
        }
    }
    nearest
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Trial, missing};
    use super::super::{Framing, Who};
    use super::*;
    use crate::survey::{hall, obstruction};

    fn duct(trial: &mut Trial, mover: &str, along: &str) {
        trial.add(
            attic::OBSTRUCTIONS.id,
            &[
                (obstruction::KIND.id, "duct"),
                (obstruction::SHAPE.id, "run"),
                (obstruction::AHEAD.id, &format!("-{along}")),
                (obstruction::LEFT.id, "0"),
                (obstruction::TO_AHEAD.id, along),
                (obstruction::TO_LEFT.id, "0"),
                (obstruction::DIAMETER.id, "6"),
                (obstruction::BOTTOM.id, "32"),
                (obstruction::TOP.id, "38"),
                (obstruction::MOVER.id, mover),
            ],
        );
    }

    #[test]
    fn it_holds_with_the_tightest_of_all_measures() {
        let mut trial = Trial::well();
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert_eq!(
            finding.say.english(),
            "Clear height is 60\"; the fan needs 36\"."
        );
        assert_eq!(finding.margin, Some(Length::inches(24).into()));
        trial.set(attic::ROOF_HEIGHT.id, "40");
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(
            finding.say.english(),
            "The roof over the fan is at least 40\" high; the fan needs 36\"."
        );
        trial.set(attic::CLEAR_WIDTH.id, "36 1/16");
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert!(finding.measure_again);
    }

    #[test]
    fn it_fails_on_a_clear_measure_before_anything_else_is_known() {
        let mut trial = Trial::well();
        trial.set(attic::CLEAR_HEIGHT.id, "35 15/16");
        for field in [
            attic::JOIST_RUN.id,
            attic::ROOF_HEIGHT.id,
            attic::CLEAR_WIDTH.id,
            hall::LENGTH.id,
        ] {
            trial.set(field, "");
        }
        let finding = trial.choice(clear_space, "direct-24", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert_eq!(
            finding.say.english(),
            "Clear height is 35 15/16\"; the fan needs 36\"."
        );
        assert!(finding.measure_again && finding.missing.is_empty());
        trial.set(attic::CLEAR_HEIGHT.id, "36");
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(
            missing(&finding),
            [
                hall::LENGTH.id,
                attic::JOIST_RUN.id,
                attic::ROOF_HEIGHT.id,
                attic::CLEAR_WIDTH.id
            ]
        );
    }

    #[test]
    fn the_fan_on_its_frame_needs_room_too_where_its_sheet_asks_for_less() {
        // 47 in of frame in a clear space of 36 in.
        let mut trial = Trial::well();
        trial.set(attic::CLEAR_LENGTH.id, "46");
        let finding = trial.choice(clear_space, "belt-42", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert_eq!(finding.margin, Some(Length::inches(-1).into()));
    }

    #[test]
    fn a_duct_all_along_the_hall_is_moved_up_by_the_least() {
        let mut trial = Trial::well();
        duct(&mut trial, "duct fitter", "160");
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies.len(), 1);
        assert_eq!(finding.remedies[0].who, Who::DuctFitter);
        assert_eq!(finding.remedies[0].what.english(), "Duct: move it 4\" up.");
        assert_eq!(finding.margin, Some(Length::inches(-4).into()));
    }

    #[test]
    fn a_duct_that_nobody_can_move_fails_and_a_short_one_is_passed_by() {
        let mut trial = Trial::well();
        duct(&mut trial, "nobody", "160");
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert_eq!(finding.remedies[0].who, Who::Nobody);
        let mut trial = Trial::well();
        duct(&mut trial, "nobody", "10");
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        let nearest = finding
            .figures
            .iter()
            .find(|figure| figure.name == "nearest thing in the way")
            .unwrap();
        // Over the next joist but one: 48 − 18 − 10 − 3 in.
        assert!((nearest.value - 17.0).abs() < 1e-6);
    }

    #[test]
    fn the_roof_leaves_no_room() {
        let mut trial = Trial::well();
        trial.set(attic::ROOF_HEIGHT.id, "35 7/8");
        let finding = trial.choice(clear_space, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert!(finding.measure_again);
        assert_eq!(
            finding.say.english(),
            "Nowhere over the hall is it free: The roof is 1/8\" too low for the fan everywhere over the hall."
        );
    }
}
