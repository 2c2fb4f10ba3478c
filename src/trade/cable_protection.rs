//! Where a cable in the attic needs guard strips.
//!
//! # Units
//! Lengths.
//!
//! # Source
//! NEC 334.23 sends sheathed cable in attics to 320.23 (confirmed): across the top of the joists, or
//! across the face of rafters or studs within 7 ft of the floor, a cable needs guard strips at least as high as
//! itself; where no permanent stair or ladder leads up, only within 6 ft of the nearest edge of the hatch.
//! Along the framing it needs none. That the fan's opening is an entrance to the attic like the hatch, so that
//! the 6 ft count from its edge too, is our judgement.

use crate::measure::Length;

/// How far from the edge of an entrance a crossing cable needs strips, where no permanent stair leads up.
pub const FROM_ENTRANCE: Length = Length::feet(6);
/// Up to which height over the floor a cable across rafters or studs needs strips.
pub const UP_TO_HEIGHT: Length = Length::feet(7);
/// How far from the edge of the wood a cable along or through it must lie, or a steel plate covers it:
/// NEC 300.4(A)(1) and (D) (confirmed).
pub const FROM_EDGE: Length = Length::sixteenths(20);

/// How a cable lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Lie {
    /// Along the side of a joist, rafter or stud.
    Along,
    /// Across the top of the joists.
    AcrossJoists,
    /// Across the face of rafters or studs, at this height over the joists or floor.
    AcrossRafters(Length),
}

/// Whether a piece of cable needs guard strips; `from_entrance` is its distance from the nearest edge of the
/// hatch or of the fan's opening.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::cable_protection::{Lie, needs_strips};
/// // Without a permanent stair only the 6 ft round the entrance count.
/// assert!(needs_strips(Lie::AcrossJoists, false, Length::feet(6)));
/// assert!(!needs_strips(Lie::AcrossJoists, false, Length::feet(7)));
/// // With one, the whole attic counts, up to 7 ft high.
/// assert!(needs_strips(Lie::AcrossJoists, true, Length::feet(20)));
/// assert!(!needs_strips(Lie::AcrossRafters(Length::feet(8)), true, Length::feet(1)));
/// ```
pub fn needs_strips(lie: Lie, permanent_stair: bool, from_entrance: Length) -> bool {
    let crosses = match lie {
        Lie::Along => false,
        Lie::AcrossJoists => true,
        Lie::AcrossRafters(height) => height <= UP_TO_HEIGHT,
    };
    crosses && (permanent_stair || from_entrance <= FROM_ENTRANCE)
}

/// The most that a straight crossing from the hatch's edge to the fan's can need of guard strips: all of it with
/// a permanent stair, else 6 ft at either end.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::cable_protection::strips_between_entrances;
/// assert_eq!(strips_between_entrances(false, Length::feet(20)), Length::feet(12));
/// assert_eq!(strips_between_entrances(false, Length::feet(9)), Length::feet(9));
/// assert_eq!(strips_between_entrances(true, Length::feet(20)), Length::feet(20));
/// ```
pub fn strips_between_entrances(permanent_stair: bool, between: Length) -> Length {
    if permanent_stair {
        between
    } else {
        between.min(FROM_ENTRANCE * 2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strips_between_the_entrances_are_the_pieces_that_need_them() {
        // Walk the straight crossing inch by inch and count.
        for permanent in [false, true] {
            for feet in [1, 5, 9, 12, 13, 20, 40] {
                let between = Length::feet(feet);
                let counted: i64 = (0..feet * 12)
                    .filter(|inch| {
                        let from_hatch = Length::inches(*inch) + Length::sixteenths(8);
                        let nearest = from_hatch.min(between - from_hatch);
                        needs_strips(Lie::AcrossJoists, permanent, nearest)
                    })
                    .count() as i64;
                assert_eq!(
                    strips_between_entrances(permanent, between),
                    Length::inches(counted)
                );
            }
        }
        assert!(!needs_strips(Lie::Along, true, Length::ZERO));
        assert!(needs_strips(
            Lie::AcrossRafters(Length::feet(7)),
            false,
            Length::feet(6)
        ));
    }
}
