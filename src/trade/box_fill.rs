//! How much room the things in a switch box take, and which box has it.
//!
//! # Units
//! Volumes in in³.
//!
//! # Source
//! * Volume per wire: NEC Table 314.16(B)(1) (confirmed, edition of 2017).
//! * Counting: NEC 314.16(B) (confirmed). Each insulated wire that enters the box counts once; all
//!   clamps inside count once together, by the largest wire in the box; each yoke counts twice, by the largest
//!   wire on it; a short wire that stays in the box counts nothing.
//! * Ground wires together count once, by the largest of them. From the 2020 edition on that holds for up to
//!   four; each one more adds a quarter: NEC 314.16(B)(5), quoted in a trade forum's thread on the change
//!   (forums.mikeholt.com, "Box fill counting ground conductors NEC 2020 change"; confirmed).
//! * Volumes of boxes: NEC Table 314.16(A) (confirmed).

use super::codes::Electrical;
use super::conductor::Gauge;
use crate::measure::Volume;
use serde::Serialize;

/// The room that one wire of this size takes.
///
/// # Examples
/// ```
/// use joistlight::trade::box_fill::per_wire;
/// use joistlight::trade::conductor::Gauge;
/// assert_eq!(per_wire(Gauge::Awg12).in3(), 2.25);
/// ```
pub const fn per_wire(gauge: Gauge) -> Volume {
    Volume::from_in3(match gauge {
        Gauge::Awg18 => 1.50,
        Gauge::Awg16 => 1.75,
        Gauge::Awg14 => 2.00,
        Gauge::Awg12 => 2.25,
        Gauge::Awg10 => 2.50,
        Gauge::Awg8 => 3.00,
        Gauge::Awg6 => 5.00,
    })
}

/// What a box holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Content {
    /// Insulated wires that enter the box.
    Wires,
    /// Bare or green ground wires.
    Grounds,
    /// Clamps inside the box.
    Clamps,
    /// Switches or receptacles, each on its yoke.
    Yokes,
    /// Short wires that stay in the box.
    Pigtails,
}

/// One kind of thing in a box, and how many of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Held {
    /// What.
    pub content: Content,
    /// Its wire size; of a yoke or a clamp, the largest wire on it.
    pub gauge: Gauge,
    /// How many.
    pub count: u32,
}

/// How the fill of a box adds up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fill {
    /// Insulated wires.
    pub wires: Volume,
    /// Ground wires.
    pub grounds: Volume,
    /// Clamps.
    pub clamps: Volume,
    /// Yokes.
    pub yokes: Volume,
    /// All together: the least volume that the box must have.
    pub total: Volume,
}

/// How many single allowances the ground wires take together.
///
/// # Examples
/// ```
/// use joistlight::trade::box_fill::ground_allowances;
/// use joistlight::trade::codes::Electrical;
/// assert_eq!(ground_allowances(6, Electrical::Nec2017), 1.0);
/// assert_eq!(ground_allowances(4, Electrical::Nec2020), 1.0);
/// assert_eq!(ground_allowances(6, Electrical::Nec2020), 1.5);
/// ```
pub fn ground_allowances(count: u32, edition: Electrical) -> f64 {
    match (count, edition) {
        (0, _) => 0.0,
        (_, Electrical::Nec2014 | Electrical::Nec2017) => 1.0,
        (_, Electrical::Nec2020 | Electrical::Nec2023) => {
            1.0 + 0.25 * f64::from(count.saturating_sub(4))
        }
    }
}

/// Adds up the fill of a box.
///
/// # Examples
/// Two cables of 12 AWG with two wires and a ground each, clamps, and one switch: 4 + 1 + 1 + 2 = 8 times
/// 2.25 in³ is 18.0 in³ (a published example of NEC 314.16(B)).
/// ```
/// use joistlight::trade::box_fill::{Content, Held, box_fill};
/// use joistlight::trade::codes::Electrical;
/// use joistlight::trade::conductor::Gauge;
/// let held = |content, count| Held { content, gauge: Gauge::Awg12, count };
/// let fill = box_fill(
///     [
///         held(Content::Wires, 4),
///         held(Content::Grounds, 2),
///         held(Content::Clamps, 2),
///         held(Content::Yokes, 1),
///     ],
///     Electrical::Nec2020,
/// );
/// assert!((fill.total.in3() - 18.0).abs() < 1e-9);
/// ```
pub fn box_fill(held: impl IntoIterator<Item = Held>, edition: Electrical) -> Fill {
    let (mut wires, mut yokes) = (Volume::ZERO, Volume::ZERO);
    let (mut grounds, mut largest_ground) = (0u32, None);
    let (mut any_clamp, mut largest_wire) = (false, None);
    for Held {
        content,
        gauge,
        count,
    } in held.into_iter().filter(|it| it.count > 0)
    {
        let many = f64::from(count);
        match content {
            Content::Wires => wires += per_wire(gauge) * many,
            Content::Yokes => yokes += per_wire(gauge) * (2.0 * many),
            Content::Grounds => {
                grounds = grounds.saturating_add(count);
                largest_ground = largest_ground.max(Some(gauge));
            }
            Content::Clamps => any_clamp = true,
            Content::Pigtails => continue,
        }
        largest_wire = largest_wire.max(Some(gauge));
    }
    let grounds = largest_ground.map_or(Volume::ZERO, |gauge| {
        per_wire(gauge) * ground_allowances(grounds, edition)
    });
    let clamps = largest_wire
        .filter(|_| any_clamp)
        .map_or(Volume::ZERO, per_wire);
    Fill {
        wires,
        grounds,
        clamps,
        yokes,
        total: wires + grounds + clamps + yokes,
    }
}

/// A box from the code's table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StandardBox {
    /// Its size, as the trade names it.
    pub name: &'static str,
    /// The room in it.
    pub volume: Volume,
}

const fn standard(name: &'static str, in3: f64) -> StandardBox {
    StandardBox {
        name,
        volume: Volume::from_in3(in3),
    }
}

/// Boxes that take a switch, the smallest first: device boxes, and square boxes with a device cover.
pub const SWITCH_BOXES: [StandardBox; 10] = [
    standard("3 × 2 × 2 in device box", 10.0),
    standard("3 × 2 × 2¼ in device box", 10.5),
    standard("3 × 2 × 2½ in device box", 12.5),
    standard("3 × 2 × 2¾ in device box", 14.0),
    standard("3 × 2 × 3½ in device box", 18.0),
    standard("4 × 4 × 1½ in square box", 21.0),
    standard("4-11/16 in square box, 1¼ in deep", 25.5),
    standard("4-11/16 in square box, 1½ in deep", 29.5),
    standard("4 × 4 × 2⅛ in square box", 30.3),
    standard("4-11/16 in square box, 2⅛ in deep", 42.0),
];

/// The smallest box of [`SWITCH_BOXES`] with this much room; `None` where none has.
///
/// # Examples
/// ```
/// use joistlight::measure::Volume;
/// use joistlight::trade::box_fill::smallest_box;
/// assert_eq!(smallest_box(Volume::from_in3(18.0)).unwrap().volume.in3(), 18.0);
/// assert_eq!(smallest_box(Volume::from_in3(18.5)).unwrap().name, "4 × 4 × 1½ in square box");
/// ```
pub fn smallest_box(fill: Volume) -> Option<StandardBox> {
    SWITCH_BOXES
        .into_iter()
        .find(|candidate| has_room(candidate.volume, fill))
}

/// Whether a box of this volume has room for this fill; a box just full is right.
pub fn has_room(volume: Volume, fill: Volume) -> bool {
    // Sums of quarter cubic inches are exact in in³, but the quantity is held in ft³.
    volume.in3() >= fill.in3() - 1e-6
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held(content: Content, gauge: Gauge, count: u32) -> Held {
        Held {
            content,
            gauge,
            count,
        }
    }

    fn total(held: &[Held], edition: Electrical) -> f64 {
        box_fill(held.iter().copied(), edition).total.in3()
    }

    #[test]
    fn clamps_count_once_by_the_largest_wire_in_the_box() {
        let mixed = [
            held(Content::Wires, Gauge::Awg14, 2),
            held(Content::Wires, Gauge::Awg12, 2),
            held(Content::Clamps, Gauge::Awg14, 3),
        ];
        let want = 2.0 * 2.0 + 2.0 * 2.25 + 2.25;
        assert!((total(&mixed, Electrical::Nec2020) - want).abs() < 1e-9);
    }

    #[test]
    fn grounds_count_once_up_to_2017_and_by_quarters_beyond_four_since_2020() {
        let grounds = [
            held(Content::Grounds, Gauge::Awg14, 4),
            held(Content::Grounds, Gauge::Awg12, 2),
        ];
        assert!((total(&grounds, Electrical::Nec2014) - 2.25).abs() < 1e-9);
        assert!((total(&grounds, Electrical::Nec2017) - 2.25).abs() < 1e-9);
        assert!((total(&grounds, Electrical::Nec2020) - 1.5 * 2.25).abs() < 1e-9);
        assert!((total(&grounds, Electrical::Nec2023) - 1.5 * 2.25).abs() < 1e-9);
    }

    #[test]
    fn published_examples() {
        // Four wires, one device and grounds of 14 AWG: 7 × 2.0 = 14 in³ (fatskills.com, NEC electrician
        // exam, box fill). Six wires of 12 AWG: 13.5 in³ (a lecture's notes on Article 314).
        let device = [
            held(Content::Wires, Gauge::Awg14, 4),
            held(Content::Yokes, Gauge::Awg14, 1),
            held(Content::Grounds, Gauge::Awg14, 2),
        ];
        let wires = [held(Content::Wires, Gauge::Awg12, 6)];
        for edition in Electrical::ALL {
            assert!((total(&device, *edition) - 14.0).abs() < 1e-9);
            assert!((total(&wires, *edition) - 13.5).abs() < 1e-9);
        }
    }

    #[test]
    fn short_wires_that_stay_count_nothing_and_are_no_largest_wire() {
        let pigtails = [
            held(Content::Pigtails, Gauge::Awg10, 9),
            held(Content::Clamps, Gauge::Awg14, 1),
            held(Content::Wires, Gauge::Awg14, 1),
        ];
        assert!((total(&pigtails, Electrical::Nec2020) - 4.0).abs() < 1e-9);
        assert_eq!(total(&[], Electrical::Nec2020), 0.0);
        assert_eq!(
            total(
                &[held(Content::Wires, Gauge::Awg14, 0)],
                Electrical::Nec2020
            ),
            0.0
        );
    }

    #[test]
    fn the_volumes_are_those_of_the_codes_table() {
        // NEC Table 314.16(A) (confirmed), in³: device boxes of 3 × 2 in by depth; 4 in square 1½ and 2⅛ deep;
        // 4-11/16 in square 1¼, 1½ and 2⅛ deep.
        let table = [
            ("3 × 2 × 2 in", 10.0),
            ("3 × 2 × 2¼ in", 10.5),
            ("3 × 2 × 2½ in", 12.5),
            ("3 × 2 × 2¾ in", 14.0),
            ("3 × 2 × 3½ in", 18.0),
            ("4 × 4 × 1½ in", 21.0),
            ("4-11/16 in square box, 1¼ in", 25.5),
            ("4-11/16 in square box, 1½ in", 29.5),
            ("4 × 4 × 2⅛ in", 30.3),
            ("4-11/16 in square box, 2⅛ in", 42.0),
        ];
        assert_eq!(table.len(), SWITCH_BOXES.len());
        for ((name, in3), standard) in table.into_iter().zip(SWITCH_BOXES) {
            assert!(standard.name.starts_with(name), "{}", standard.name);
            assert!((standard.volume.in3() - in3).abs() < 1e-9, "{name}");
        }
    }

    #[test]
    fn the_boxes_are_sorted_and_a_full_box_has_room() {
        for pair in SWITCH_BOXES.windows(2) {
            assert!(pair[0].volume < pair[1].volume);
        }
        for standard in SWITCH_BOXES {
            assert_eq!(smallest_box(standard.volume), Some(standard));
        }
        assert_eq!(smallest_box(Volume::from_in3(42.1)), None);
        assert!(has_room(
            Volume::from_in3(18.0),
            per_wire(Gauge::Awg12) * 8.0
        ));
        assert!(!has_room(
            Volume::from_in3(17.9),
            per_wire(Gauge::Awg12) * 8.0
        ));
    }
}
