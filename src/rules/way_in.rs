//! *way in*: how the fan's largest piece comes up into the attic.
//!
//! Over joists left whole it cannot come through its own opening, so it must pass the hatch. Where joists are cut it
//! may come through its own opening, and the hatch matters only for whoever climbs up.

use super::sheet::SheetSources;
use super::{Finding, Framing, Outcome, RuleContext, Say, Who, WithFan};
use crate::measure::{Length, Reading};
use crate::survey::{Attic, Field, attic};
use crate::trade::passage::{Hatch, Passage, enlarged, least_headroom};
use crate::trade::source::Source;

static SOURCES: SheetSources<5> = SheetSources::new([
    Source::given("the fan's sheet: largest piece and opening"),
    Source::confirmed("J. E. Wetzel, Rectangles in Rectangles, Math. Mag. 73 (2000) 204-211"),
    Source::derived("tipping a box up through a slot"),
    Source::confirmed("IRC 2024 R807.1"),
    Source::confirmed("IRC 2024 M1305.1.2"),
]);

/// The least clear sides and headroom of an attic hatch (IRC 2024 R807.1, confirmed).
pub const LEAST_HATCH: (Hatch, Length) = (
    Hatch {
        length: Length::inches(30),
        width: Length::inches(22),
    },
    Length::inches(30),
);
/// The longest passage from the hatch to an appliance (IRC 2024 M1305.1.2, confirmed).
const LONGEST_PASSAGE: Length = Length::feet(20);

/// The rule.
pub fn way_in(with: WithFan) -> Finding {
    let mut ask = RuleContext::spot(
        with.at,
        "way-in",
        "The fan's way up into the attic",
        SOURCES.of(with.fan),
    );
    let fan = with.fan;
    let tolerance = with.at.scene.tolerance();
    let piece = fan.largest_piece();
    let sides = [piece.length, piece.width, piece.height];
    ask.figure("largest piece, length", piece.length);
    ask.figure("largest piece, width", piece.width);
    ask.figure("largest piece, height", piece.height);
    let space = fan.clear_space().height.max(fan.frame.height);

    // Whether an answer still missing could let the piece through the opening.
    let mut opening_open = false;
    if with.framing == Framing::Cut {
        let opening = Hatch {
            length: fan.opening.length,
            width: fan.opening.width,
        };
        if let Some(through) = least_headroom(sides, opening) {
            ask.figure("through the opening, least headroom", through.headroom);
            // The clear space has that height, or there is no place for the fan.
            let mut high_enough = through.headroom <= space;
            if !high_enough {
                let height = ask.get(attic::CLEAR_HEIGHT);
                opening_open = height.is_none();
                high_enough = height.is_some_and(|height| height.length() >= through.headroom);
            }
            if high_enough {
                let say = Say::new(
                    "The largest piece comes up through its own opening{how}; the hatch matters only for whoever climbs up.",
                )
                .with("how", how(through));
                let hatch = seen(&mut ask, &with);
                return hatch.cautions(ask.settled(Outcome::Holds, say));
            }
        }
    }

    let length = ask.get(attic::HATCH_LENGTH);
    let width = ask.get(attic::HATCH_WIDTH);
    let headroom = ask.get(attic::HATCH_HEADROOM);
    let hatch = seen(&mut ask, &with);
    let smallest = sides.into_iter().min().unwrap_or(Length::ZERO);
    let nothing = [length, width, headroom]
        .into_iter()
        .flatten()
        .any(|it| it.length() <= Length::ZERO);
    if nothing && !opening_open {
        let say = Say::new("Measure again: the hatch has no length, width or headroom.");
        let mut finding = ask.settled(Outcome::Fails, say);
        finding.measure_again = true;
        return finding;
    }
    if let Some(headroom) = headroom
        && headroom.length() < smallest
        && !opening_open
    {
        let say = Say::new(
            "Headroom over the hatch is {headroom}; the largest piece lying flat needs {need}, however large the hatch.",
        )
        .with("headroom", headroom.length())
        .with("need", smallest);
        let finding =
            ask.settled(Outcome::Fails, say)
                .lengths(smallest, headroom.length(), 1, tolerance / 2);
        return hatch.cautions(finding);
    }
    let (Some(length), Some(width), Some(headroom)) = (length, width, headroom) else {
        return ask.not_measured();
    };
    let headroom = headroom.length();
    let hole = Hatch {
        length: length.length(),
        width: width.length(),
    };
    let through = least_headroom(sides, hole);
    if let Some(through) = through {
        ask.figure("through the hatch, least headroom", through.headroom);
    }
    // A reading more or less either way may change the answer.
    let passes = |hole: Hatch, headroom: Length| {
        least_headroom(sides, hole).is_some_and(|through| through.headroom <= headroom)
    };
    let other = |by: Length| {
        passes(
            Hatch {
                length: hole.length + by,
                width: hole.width + by,
            },
            headroom + by,
        )
    };
    if let Some(through) = through
        && through.headroom <= headroom
    {
        let say = Say::new("The largest piece passes the hatch{how}.").with("how", how(through));
        let mut finding =
            ask.settled(Outcome::Holds, say)
                .lengths(through.headroom, headroom, 1, tolerance / 2);
        finding.measure_again |= !other(-tolerance / 2);
        return hatch.cautions(finding);
    }
    if opening_open {
        return ask.not_measured();
    }
    let larger = enlarged(sides, hole, headroom);
    if let Some(larger) = larger {
        ask.figure("enlarged hatch, length", larger.length);
        ask.figure("enlarged hatch, width", larger.width);
    }
    let say = match through {
        Some(through) => Say::new(
            "The largest piece passes the hatch only with {need} of headroom; there is {headroom}.",
        )
        .with("need", through.headroom)
        .with("headroom", headroom),
        None => Say::new(
            "The largest piece, {a} × {b} × {c}, does not pass the hatch of {length} × {width}.",
        )
        .with("a", piece.length)
        .with("b", piece.width)
        .with("c", piece.height)
        .with("length", hole.length)
        .with("width", hole.width),
    };
    let mut finding = match larger {
        Some(larger) => ask.settled(Outcome::Mend, say).remedy(
            Who::Carpenter,
            Say::new("Enlarge the hatch to at least {length} × {width} clear, or choose a fan whose largest piece is smaller.")
                .with("length", larger.length)
                .with("width", larger.width),
        )
        .caution(Say::new(
            "A larger hatch is an opening in the ceiling's framing like the fan's own: cut no truss and no I-joist without an engineer, and give cut joists headers (IRC R802.9).",
        )),
        None => ask.settled(Outcome::Fails, say),
    };
    finding.measure_again = other(tolerance / 2);
    hatch.cautions(finding)
}

fn how(through: Passage) -> Say {
    if through.tipped {
        Say::new(", tipped, with {headroom} of headroom").with("headroom", through.headroom)
    } else {
        Say::new(", straight, with {headroom} of headroom").with("headroom", through.headroom)
    }
}

/// What is known of the hatch for whoever climbs up; none of it changes the outcome.
struct Seen {
    small: bool,
    far: bool,
}

fn seen(ask: &mut RuleContext, with: &WithFan) -> Seen {
    let attic = &with.at.spot.attic;
    let mut known = |field: Field<Attic, Reading>| {
        // Only what is given is taken down: it is a caution, and waits for nothing.
        field.read(attic).map(|reading| {
            ask.note_given(field);
            reading.length()
        })
    };
    let length = known(attic::HATCH_LENGTH);
    let width = known(attic::HATCH_WIDTH);
    let headroom = known(attic::HATCH_HEADROOM);
    let distance = known(attic::HATCH_DISTANCE);
    let (least, least_headroom) = LEAST_HATCH;
    let small = match (length, width) {
        (Some(a), Some(b)) => a.max(b) < least.length || a.min(b) < least.width,
        _ => false,
    };
    Seen {
        small: small || headroom.is_some_and(|it| it < least_headroom),
        far: distance.is_some_and(|it| it > LONGEST_PASSAGE),
    }
}

impl Seen {
    fn cautions(&self, mut finding: Finding) -> Finding {
        if self.small {
            finding = finding.caution(Say::new(
                "The hatch is smaller than 22 × 30 in, or has less than 30 in over it (IRC R807.1): ask the building department whether it must be enlarged when equipment goes into the attic.",
            ));
        }
        if self.far {
            finding = finding.caution(Say::new(
                "From the hatch to the fan it is more than 20 ft. Where the building department counts the fan as an appliance, the passage may be no longer, and must be 22 in wide, 30 in high and floored (IRC M1305.1.2).",
            ));
        }
        finding
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Trial, missing};
    use super::*;
    use crate::trade::fan::Boxed;

    fn piece(trial: &mut Trial, sides: [i64; 3]) {
        let [length, width, height] = sides.map(Length::inches);
        trial.fan("direct-24").largest_piece = Some(Boxed {
            length,
            width,
            height,
        });
    }

    #[test]
    fn over_whole_joists_it_must_pass_the_hatch() {
        let mut trial = Trial::well();
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        // 32 × 32 × 14 in lying flat through 36 × 34 in.
        assert_eq!(
            finding.say.english(),
            "The largest piece passes the hatch, straight, with 14\" of headroom."
        );
        trial.set(attic::HATCH_HEADROOM.id, "");
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(missing(&finding), [attic::HATCH_HEADROOM.id]);
    }

    #[test]
    fn it_is_tipped_in_with_the_headroom_of_the_handbook() {
        // Facts H7: 36 × 12 in through 22 in needs 29.69 in.
        let mut trial = Trial::well();
        piece(&mut trial, [36, 29, 12]);
        for (field, text) in [
            (attic::HATCH_LENGTH.id, "30"),
            (attic::HATCH_WIDTH.id, "22"),
            (attic::HATCH_HEADROOM.id, "30"),
        ] {
            trial.set(field, text);
        }
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert!(finding.say.english().contains("tipped, with 29 11/16\""));
        assert!(finding.cautions.is_empty());
        trial.set(attic::HATCH_HEADROOM.id, "29 1/2");
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.cautions.len(), 2);
    }

    #[test]
    fn a_small_hatch_is_enlarged_and_low_headroom_cannot_be_mended() {
        let mut trial = Trial::well();
        trial.set(attic::HATCH_LENGTH.id, "30");
        trial.set(attic::HATCH_WIDTH.id, "22");
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(
            finding.remedies[0].what.english(),
            "Enlarge the hatch to at least 32\" × 22\" clear, or choose a fan whose largest piece is smaller."
        );
        // Early: whatever the hatch's size.
        trial.set(attic::HATCH_LENGTH.id, "");
        trial.set(attic::HATCH_HEADROOM.id, "13 15/16");
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert!(finding.measure_again && finding.missing.is_empty());
    }

    #[test]
    fn where_joists_are_cut_a_piece_that_passes_the_opening_waits_for_no_hatch() {
        let mut trial = Trial::well();
        for field in [
            attic::HATCH_LENGTH.id,
            attic::HATCH_WIDTH.id,
            attic::HATCH_HEADROOM.id,
        ] {
            trial.set(field, "");
        }
        piece(&mut trial, [26, 24, 14]);
        let finding = trial.choice(way_in, "direct-24", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::Holds);
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::NotMeasured);
        // Its whole frame passes neither.
        trial.fan("direct-24").largest_piece = None;
        let finding = trial.choice(way_in, "direct-24", Framing::Cut);
        assert_eq!(
            missing(&finding),
            [
                attic::HATCH_LENGTH.id,
                attic::HATCH_WIDTH.id,
                attic::HATCH_HEADROOM.id
            ]
        );
    }

    #[test]
    fn a_long_piece_through_the_opening_needs_the_clear_height() {
        let mut trial = Trial::well();
        trial.set(attic::HATCH_WIDTH.id, "10");
        piece(&mut trial, [50, 24, 24]);
        trial.set(attic::CLEAR_HEIGHT.id, "");
        let finding = trial.choice(way_in, "direct-24", Framing::Cut);
        assert_eq!(missing(&finding), [attic::CLEAR_HEIGHT.id]);
        trial.set(attic::CLEAR_HEIGHT.id, "50");
        let finding = trial.choice(way_in, "direct-24", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::Holds);
        // The headroom over the hatch is lower than its smallest side.
        trial.set(attic::CLEAR_HEIGHT.id, "47");
        trial.set(attic::HATCH_HEADROOM.id, "20");
        let finding = trial.choice(way_in, "direct-24", Framing::Cut);
        assert_eq!(finding.outcome, Outcome::Fails);
    }

    #[test]
    fn a_hatch_of_no_size_is_to_be_measured_again() {
        let mut trial = Trial::well();
        trial.set(attic::HATCH_WIDTH.id, "0");
        trial.set(attic::HATCH_LENGTH.id, "");
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert!(finding.measure_again);
    }

    #[test]
    fn a_small_or_far_hatch_is_a_caution_whatever_the_outcome() {
        let mut trial = Trial::well();
        piece(&mut trial, [20, 12, 8]);
        trial.set(attic::HATCH_WIDTH.id, "21 15/16");
        trial.set(attic::HATCH_DISTANCE.id, "241");
        let finding = trial.choice(way_in, "direct-24", Framing::Whole);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert_eq!(finding.cautions.len(), 2);
    }
}
