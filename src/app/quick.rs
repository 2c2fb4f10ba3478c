//! A thing in the way, entered in seconds: what it is, on which side of the spot's middle, how far, how thick and
//! how high. Each of these parts stands for several answers of the entry, and this file says for which.
//!
//! A part says no more than was tapped: *ahead* means straight ahead of the mark, *thick* a box as thick along the
//! hall as across it, and a lying run is level and crosses the side on which it lies. Whatever is otherwise goes
//! into the entry's full form.

use crate::measure::{Length, Reading};
use crate::survey::{Obstruction, Shape, Side};

/// One part of the quick entry that is read off the tape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// From the spot's middle to the thing's middle.
    Far,
    /// From there to the left, where it does not lie straight on its side; negative lies right. Of a thing on the
    /// left or right: ahead, and negative lies back.
    Aside,
    /// Its thickness: a diameter, or a box's sides.
    Thick,
    /// From the top of the joists to its underside.
    Under,
    /// From the top of the joists to its upper side.
    Top,
    /// How far a lying run reaches to both sides.
    Reach,
}

/// The answers of an entry that a part stands for.
pub type Writes = Vec<(&'static str, Reading)>;

impl Part {
    /// The English label, which is also the key for translations.
    pub const fn label(self, side: Option<Side>) -> &'static str {
        match self {
            Part::Aside if matches!(side, Some(Side::Left | Side::Right)) => {
                "And ahead of that (− back)"
            }
            Part::Aside => "And left of that (− right)",
            Part::Far => "How far from the spot's middle to its middle",
            Part::Thick => "How thick",
            Part::Under => "Underside over the joists",
            Part::Top => "Upper side over the joists",
            Part::Reach => "How far it runs to both sides",
        }
    }

    /// The parts that a thing of this shape has, in the order in which they are asked.
    pub const fn of(shape: Option<Shape>) -> &'static [Part] {
        match shape {
            Some(Shape::Run) => &[Part::Far, Part::Thick, Part::Under, Part::Reach],
            _ => &[Part::Far, Part::Aside, Part::Thick, Part::Under, Part::Top],
        }
    }

    /// The answer that stands for the part: its keys are opened, and the part is missing where it is.
    pub fn field(self, shape: Option<Shape>, side: Option<Side>) -> &'static str {
        let aside = matches!(side, Some(Side::Left | Side::Right));
        match self {
            Part::Far if aside => "obstruction.left",
            Part::Far => "obstruction.ahead",
            Part::Aside if aside => "obstruction.ahead",
            Part::Aside => "obstruction.left",
            Part::Thick if shape == Some(Shape::Box) => "obstruction.size_along",
            Part::Thick => "obstruction.diameter",
            Part::Under => "obstruction.bottom",
            Part::Top => "obstruction.top",
            Part::Reach if aside => "obstruction.to_ahead",
            Part::Reach => "obstruction.to_left",
        }
    }

    /// The part that `field` stands for.
    pub fn of_field(field: &str, shape: Option<Shape>, side: Option<Side>) -> Option<Part> {
        Part::of(shape)
            .iter()
            .copied()
            .find(|part| part.field(shape, side) == field)
    }

    /// What is written when the part was measured.
    pub fn writes(self, it: &Obstruction, side: Side, measured: Reading) -> Writes {
        let shape = it.shape;
        let run = shape == Some(Shape::Run);
        let minus = Reading::new(-measured.length(), measured.system());
        let aside = matches!(side, Side::Left | Side::Right);
        match self {
            Part::Far => {
                let far = match side {
                    Side::Ahead | Side::Left => measured,
                    Side::Back | Side::Right => minus,
                };
                let nought = Reading::new(Length::ZERO, measured.system());
                match (run, aside) {
                    (true, false) => {
                        vec![("obstruction.ahead", far), ("obstruction.to_ahead", far)]
                    }
                    (true, true) => vec![("obstruction.left", far), ("obstruction.to_left", far)],
                    (false, false) => {
                        vec![("obstruction.ahead", far), ("obstruction.left", nought)]
                    }
                    (false, true) => vec![("obstruction.left", far), ("obstruction.ahead", nought)],
                }
            }
            Part::Aside if aside => vec![("obstruction.ahead", measured)],
            Part::Aside => vec![("obstruction.left", measured)],
            Part::Reach if aside => {
                vec![
                    ("obstruction.ahead", measured),
                    ("obstruction.to_ahead", minus),
                ]
            }
            Part::Reach => vec![
                ("obstruction.left", measured),
                ("obstruction.to_left", minus),
            ],
            Part::Thick if shape == Some(Shape::Box) => vec![
                ("obstruction.size_along", measured),
                ("obstruction.size_across", measured),
            ],
            Part::Thick => {
                let mut writes = vec![("obstruction.diameter", measured)];
                if let (true, Some(under)) = (run, it.bottom) {
                    writes.push(("obstruction.top", over(under, measured)));
                }
                writes
            }
            Part::Under => {
                let mut writes = vec![("obstruction.bottom", measured)];
                if let (true, Some(thick)) = (run, it.diameter) {
                    writes.push(("obstruction.top", over(measured, thick)));
                }
                writes
            }
            Part::Top => vec![("obstruction.top", measured)],
        }
    }
}

/// The upper side of a level run: its underside and its thickness.
fn over(under: Reading, thick: Reading) -> Reading {
    Reading::new(under.length() + thick.length(), thick.system())
}

/// The side on which an entry lies by its answers; none while it has no distance, or
/// where a run lies askew.
pub fn side_of(it: &Obstruction) -> Option<Side> {
    let (ahead, left) = (it.ahead?.length(), it.left?.length());
    let run = it.shape == Some(Shape::Run);
    let along = if run {
        // A run lies on the side that both of its ends have in common.
        match (it.to_ahead, it.to_left) {
            (Some(end), _) if end.length() == ahead => true,
            (_, Some(end)) if end.length() == left => false,
            _ => return None,
        }
    } else {
        // Askew, it is said to lie ahead or back, and so much aside.
        left == Length::ZERO || ahead != Length::ZERO
    };
    Some(match (along, ahead.is_negative(), left.is_negative()) {
        (true, false, _) => Side::Ahead,
        (true, true, _) => Side::Back,
        (false, _, false) => Side::Left,
        (false, _, true) => Side::Right,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{ItemId, Record, Value};

    fn entered(shape: Shape, side: Side, parts: &[(Part, i64)]) -> Obstruction {
        let mut it = Obstruction {
            shape: Some(shape),
            ..crate::survey::Item::with_id(ItemId(1))
        };
        for (part, inches) in parts {
            for (field, reading) in part.writes(&it, side, Reading::inches(*inches)) {
                let name = field.split_once('.').unwrap().1;
                assert!(it.set(name, Some(Value::Length(reading))), "{field}");
            }
        }
        it
    }

    fn inches(reading: Option<Reading>) -> Option<i64> {
        let length = reading?.length();
        (-200..200).find(|n| Length::inches(*n) == length)
    }

    #[test]
    fn a_post_lies_straight_on_its_side() {
        for (side, ahead, left) in [
            (Side::Ahead, 20, 0),
            (Side::Back, -20, 0),
            (Side::Left, 0, 20),
            (Side::Right, 0, -20),
        ] {
            let it = entered(
                Shape::Box,
                side,
                &[
                    (Part::Far, 20),
                    (Part::Thick, 4),
                    (Part::Under, 0),
                    (Part::Top, 60),
                ],
            );
            assert_eq!(
                (inches(it.ahead), inches(it.left)),
                (Some(ahead), Some(left))
            );
            assert_eq!(
                (inches(it.size_along), inches(it.size_across)),
                (Some(4), Some(4))
            );
            assert_eq!((inches(it.bottom), inches(it.top)), (Some(0), Some(60)));
            assert_eq!(side_of(&it), Some(side));
        }
    }

    #[test]
    fn a_run_crosses_the_side_on_which_it_lies_and_is_level() {
        let parts = [
            (Part::Far, 10),
            (Part::Under, 2),
            (Part::Thick, 9),
            (Part::Reach, 60),
        ];
        let back = entered(Shape::Run, Side::Back, &parts);
        assert_eq!(
            (inches(back.ahead), inches(back.to_ahead)),
            (Some(-10), Some(-10))
        );
        assert_eq!(
            (inches(back.left), inches(back.to_left)),
            (Some(60), Some(-60))
        );
        assert_eq!((inches(back.bottom), inches(back.top)), (Some(2), Some(11)));
        assert_eq!(side_of(&back), Some(Side::Back));
        let left = entered(Shape::Run, Side::Left, &parts);
        assert_eq!(
            (inches(left.left), inches(left.to_left)),
            (Some(10), Some(10))
        );
        assert_eq!(
            (inches(left.ahead), inches(left.to_ahead)),
            (Some(60), Some(-60))
        );
        assert_eq!(side_of(&left), Some(Side::Left));
    }

    #[test]
    fn what_was_not_tapped_stays_unmeasured() {
        let it = entered(Shape::Run, Side::Back, &[(Part::Far, 10)]);
        assert_eq!(
            (it.left, it.to_left, it.diameter, it.top),
            (None, None, None, None)
        );
    }
}
