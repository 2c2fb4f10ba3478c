//! What passes through a hatch: a rectangle through a rectangle, and a box through it straight or tipped.
//!
//! *Units*: lengths.
//!
//! *Source*: J. E. Wetzel, "Rectangles in Rectangles", Mathematics Magazine 73 (2000) 204–211 (confirmed);
//! L. Carver's form of the same condition; tipping is derived: a box of length L and thickness t that goes
//! through a slot of width a at the angle β to the level takes `t/sin β` of it, and needs `L·sin β + t·cos β` of
//! headroom. Both are sufficient: what they let through does go through.

use crate::measure::Length;

/// The least other side of a rectangle with one side `a` into which `p` × `q` fits, turned as it likes (Carver).
///
/// The sides may be given in either order; `a` is the side that is known.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::passage::least_other_side;
/// let inch = Length::inches;
/// // Straight in, as long as the longer side is no longer than the one given.
/// assert_eq!(least_other_side(inch(20), inch(12), inch(30)), Some(inch(12)));
/// // A piece 1 in wide goes 36.252 in long through 22 × 30 in (derived).
/// let side = least_other_side(Length::thousandths_in(36_252), inch(1), inch(30)).unwrap();
/// assert!((side.to_in() - 22.0).abs() < 0.001);
/// assert_eq!(least_other_side(inch(40), inch(32), inch(30)), None);
/// // Turning helps no more: straight along the other side.
/// assert_eq!(least_other_side(inch(43), inch(23), inch(28)), Some(inch(43)));
/// ```
pub fn least_other_side(p: Length, q: Length, a: Length) -> Option<Length> {
    let (p, q) = (p.max(q), p.min(q));
    if p <= a {
        return Some(q);
    }
    if q > a {
        return None;
    }
    // Turned, or lying straight along the other side where that turns out the longer one.
    let (long, q, a) = (p.to_in(), q.to_in(), a.to_in());
    let square = long * long + q * q;
    let turned =
        (2.0 * long * q * a + (long * long - q * q) * (square - a * a).max(0.0).sqrt()) / square;
    Some(Length::from_in(turned).min(p))
}

/// Whether a rectangle `p` × `q` fits into a rectangle `a` × `b`, turned as it likes (Wetzel).
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::passage::fits_in;
/// let inch = Length::inches;
/// assert!(fits_in(inch(30), inch(12), inch(22), inch(30)));
/// assert!(fits_in(Length::sixteenths(33 * 16 + 7), inch(4), inch(22), inch(30)));
/// assert!(!fits_in(Length::sixteenths(33 * 16 + 8), inch(4), inch(22), inch(30)));
/// ```
pub fn fits_in(p: Length, q: Length, a: Length, b: Length) -> bool {
    let (p, q) = (p.max(q), p.min(q));
    let (a, b) = (a.max(b), a.min(b));
    if q > b {
        return false;
    }
    if p <= a {
        return true;
    }
    // Here p > a ≥ b ≥ q, so p and q differ. In whole numbers, since ties occur (20 × 5 in 19 × 16); for pieces of
    // more than 100 ft, where those would overflow, in fractions.
    if p > Length::feet(100) {
        let (sum, difference) = ((a + b) / (p + q), (a - b) / (p - q));
        return sum * sum + difference * difference >= 2.0;
    }
    let square = |length: Length| i128::from(length.in_25_nm()).pow(2);
    let (sum, difference) = (square(p + q), square(p - q));
    square(a + b) * difference + square(a - b) * sum >= 2 * sum * difference
}

/// The greatest length of a flat piece of width `q` that fits through `a` × `b`; `None` where it is too
/// wide at any length.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::passage::longest_through;
/// let inch = Length::inches;
/// let longest = longest_through(inch(2), inch(22), inch(30)).unwrap();
/// assert!((longest.to_in() - 35.311).abs() < 0.0005);
/// assert_eq!(longest_through(inch(23), inch(22), inch(30)), None);
/// ```
pub fn longest_through(q: Length, a: Length, b: Length) -> Option<Length> {
    let (a, b) = (a.max(b), a.min(b));
    if q > b {
        return None;
    }
    // What fits grows with no jump, so halving finds the end: at least the straight piece, at most the diagonal.
    let mut fits = a;
    let mut too_long = Length::from_in(a.to_in().hypot(b.to_in())) + Length::of_25_nm(1);
    while too_long - fits > Length::of_25_nm(1) {
        let middle = fits + (too_long - fits) / 2;
        if fits_in(middle, q.min(middle), a, b) {
            fits = middle;
        } else {
            too_long = middle;
        }
    }
    Some(fits)
}

/// The headroom for tipping a box up through a slot: its length and thickness, and the slot's width.
/// `None` where it is too thick.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::passage::headroom_tipped;
/// let inch = Length::inches;
/// let need = |l, t, a| headroom_tipped(inch(l), inch(t), inch(a)).unwrap().to_in();
/// assert!((need(36, 12, 22) - 29.69).abs() < 0.005);
/// assert!((need(48, 10, 22) - 30.73).abs() < 0.005);
/// // As thick as the slot is wide: straight up.
/// assert_eq!(need(36, 22, 22), 36.0);
/// assert_eq!(headroom_tipped(inch(36), inch(23), inch(22)), None);
/// ```
pub fn headroom_tipped(length: Length, thickness: Length, slot: Length) -> Option<Length> {
    if thickness > slot || slot <= Length::ZERO {
        return None;
    }
    let sine = thickness / slot;
    Some(length.scale(sine) + thickness.scale((1.0 - sine * sine).max(0.0).sqrt()))
}

/// A rectangular hole in a ceiling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Hatch {
    /// One clear side.
    pub length: Length,
    /// The other.
    pub width: Length,
}

/// A way through a hatch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Passage {
    /// Whether the piece must be tipped.
    pub tipped: bool,
    /// The headroom that it needs over the hatch.
    pub headroom: Length,
}

/// The way through a hatch that needs the least headroom, for a box with these three sides; `None` where there is
/// no way, whatever the headroom. Among equals straight before tipped.
///
/// Straight: one face goes through the hole, and the side square to it needs the headroom. Tipped: one side lies
/// along the hole, the longer of the other two is tipped through it.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::passage::{Hatch, least_headroom};
/// let inch = Length::inches;
/// let hatch = Hatch { length: inch(30), width: inch(22) };
/// // A flat box goes up flat; a long one is tipped in.
/// let flat = least_headroom([inch(28), inch(20), inch(9)], hatch).unwrap();
/// assert_eq!((flat.tipped, flat.headroom), (false, inch(9)));
/// let long = least_headroom([inch(36), inch(29), inch(12)], hatch).unwrap();
/// assert!(long.tipped && (long.headroom.to_in() - 29.69).abs() < 0.005);
/// assert_eq!(least_headroom([inch(32), inch(32), inch(14)], hatch), None);
/// ```
pub fn least_headroom(sides: [Length; 3], hatch: Hatch) -> Option<Passage> {
    let straight = (0..3).filter_map(|up| {
        let (p, q) = (sides[(up + 1) % 3], sides[(up + 2) % 3]);
        fits_in(p, q, hatch.length, hatch.width).then_some(Passage {
            tipped: false,
            headroom: sides[up],
        })
    });
    let tipped = (0..3).flat_map(|lying| {
        let (a, b) = (sides[(lying + 1) % 3], sides[(lying + 2) % 3]);
        let (long, thick) = (a.max(b), a.min(b));
        [(hatch.length, hatch.width), (hatch.width, hatch.length)]
            .into_iter()
            .filter(move |(along, _)| sides[lying] <= *along)
            .filter_map(move |(_, slot)| {
                Some(Passage {
                    tipped: true,
                    headroom: headroom_tipped(long, thick, slot)?,
                })
            })
    });
    straight
        .chain(tipped)
        .min_by_key(|passage| (passage.headroom, passage.tipped))
}

/// The hatch enlarged just so much that a box with these sides goes straight through with this headroom: the
/// smallest in area, and no side shorter than it is. `None` where the headroom is too small for any hatch.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::passage::{Hatch, enlarged};
/// let inch = Length::inches;
/// let hatch = Hatch { length: inch(30), width: inch(22) };
/// // Upright with 36 in of headroom, else flat.
/// let larger = enlarged([inch(32), inch(32), inch(14)], hatch, inch(36)).unwrap();
/// assert_eq!((larger.length, larger.width), (inch(32), inch(22)));
/// let larger = enlarged([inch(32), inch(32), inch(14)], hatch, inch(20)).unwrap();
/// assert_eq!((larger.length, larger.width), (inch(32), inch(32)));
/// assert_eq!(enlarged([inch(32), inch(32), inch(14)], hatch, inch(13)), None);
/// ```
pub fn enlarged(sides: [Length; 3], hatch: Hatch, headroom: Length) -> Option<Hatch> {
    let (long, short) = (hatch.length.max(hatch.width), hatch.length.min(hatch.width));
    (0..3)
        .filter(|up| sides[*up] <= headroom)
        .map(|up| {
            let (p, q) = (sides[(up + 1) % 3], sides[(up + 2) % 3]);
            Hatch {
                length: long.max(p.max(q)),
                width: short.max(p.min(q)),
            }
        })
        .min_by(|a, b| {
            let area = |it: &Hatch| it.length.to_in() * it.width.to_in();
            area(a).total_cmp(&area(b))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(n: i64) -> Length {
        Length::inches(n)
    }

    #[test]
    fn the_longest_flat_pieces_through_the_code_hatch() {
        // Facts H6 (derived).
        for (width, longest) in [
            (1, 36.252),
            (2, 35.311),
            (4, 33.466),
            (8, 30.044),
            (12, 30.0),
            (22, 30.0),
        ] {
            let found = longest_through(inch(width), inch(22), inch(30)).unwrap();
            assert!((found.to_in() - longest).abs() < 0.0005, "{width}: {found}");
        }
    }

    #[test]
    fn both_forms_agree() {
        for p in 1..50 {
            for q in 1..=p {
                for a in 10..40 {
                    let side = least_other_side(inch(p), inch(q), inch(a));
                    for b in 1..=a {
                        let by_carver = side.is_some_and(|side| side <= inch(b));
                        assert_eq!(
                            fits_in(inch(p), inch(q), inch(a), inch(b)),
                            by_carver,
                            "{p} × {q} in {a} × {b}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn tipping_angles_and_headroom() {
        // Facts H7 (derived).
        for (length, thick, slot, degrees, headroom) in
            [(36, 12, 22, 33.06, 29.69), (48, 10, 22, 27.04, 30.73)]
        {
            let sine = inch(thick) / inch(slot);
            assert!((sine.asin().to_degrees() - degrees).abs() < 0.005);
            let need = headroom_tipped(inch(length), inch(thick), inch(slot)).unwrap();
            assert!((need.to_in() - headroom).abs() < 0.005);
        }
    }

    #[test]
    fn a_bigger_hatch_never_needs_more_headroom() {
        for sides in [[32, 32, 14], [36, 29, 12], [30, 18, 15], [24, 24, 24]] {
            let sides = sides.map(inch);
            let mut before: Option<Length> = None;
            for width in 10..40 {
                let hatch = Hatch {
                    length: inch(40),
                    width: inch(width),
                };
                let now = least_headroom(sides, hatch).map(|passage| passage.headroom);
                if let Some(before) = before {
                    assert!(now.is_some_and(|now| now <= before), "{sides:?} {width}");
                }
                before = now.or(before);
            }
        }
    }
}
