//! Notches and holes that solid joists may have.
//!
//! # Units
//! All as [`Length`].
//!
//! # Source
//! IRC R502.8.1 and R802.7.1 (confirmed): a notch at most d/6 deep and d/3 long, never in the middle third
//! of the span; at the ends d/4 deep; a hole at most d/3 across, 2 in or more from the edges and from any notch or other
//! hole; the tension side of members 4 in thick or more is notched at the ends only (thickness of 4 in is nominal).
//!
//! # Examples
//! A 2 × 10:
//! ```
//! use joistlight::measure::{Length, Tape};
//! use joistlight::trade::notch::CutLimits;
//! use joistlight::trade::section::{Nominal, Section};
//! let limits = CutLimits::of(Section::dressed(Nominal::TwoByTen).depth());
//! assert!((limits.notch_depth.to_in() - 1.54).abs() < 5e-3);
//! assert!((limits.notch_length.to_in() - 3.08).abs() < 5e-3);
//! assert!((limits.end_notch_depth.to_in() - 2.31).abs() < 5e-3);
//! assert!((limits.hole.to_in() - 3.08).abs() < 5e-3);
//! ```

use super::section::Section;
use crate::measure::Length;

/// The limits for a joist of one depth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CutLimits {
    /// The deepest notch.
    pub notch_depth: Length,
    /// The longest notch along the joist.
    pub notch_length: Length,
    /// The deepest notch at a bearing.
    pub end_notch_depth: Length,
    /// The widest hole.
    pub hole: Length,
    /// The least wood between a hole and an edge, a notch or another hole.
    pub hole_apart: Length,
}

impl CutLimits {
    /// For a joist `depth` deep.
    pub fn of(depth: Length) -> Self {
        CutLimits {
            notch_depth: depth / 6,
            notch_length: depth / 3,
            end_notch_depth: depth / 4,
            hole: depth / 3,
            hole_apart: Length::inches(2),
        }
    }
}

/// A notch or hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// A notch in an edge.
    Notch {
        /// How deep.
        depth: Length,
        /// How long along the joist.
        length: Length,
        /// From the nearer bearing to its middle.
        from_bearing: Length,
    },
    /// A notch at a bearing.
    EndNotch {
        /// How deep.
        depth: Length,
    },
    /// A hole.
    Hole {
        /// How wide.
        diameter: Length,
        /// From the nearer edge of the joist to the hole's edge.
        from_edge: Length,
    },
}

/// What is wrong with a notch or hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Excess {
    /// Which limit.
    pub limit: CutLimit,
    /// What the limit is.
    pub allowed: Length,
    /// What was found.
    pub found: Length,
}

impl Excess {
    /// By how much the limit is passed; positive.
    pub fn by(&self) -> Length {
        (self.found - self.allowed).abs()
    }
}

/// The limits by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CutLimit {
    /// A notch is too deep.
    NotchDepth,
    /// A notch is too long.
    NotchLength,
    /// A notch reaches into the middle third of the span.
    MiddleThird,
    /// A member 4 in thick or more has a notch elsewhere than at its ends.
    ThickNotched,
    /// A notch at a bearing is too deep.
    EndNotchDepth,
    /// A hole is too wide.
    HoleWidth,
    /// A hole is too near an edge.
    HoleEdge,
}

/// Whether a place is in the middle third of a span; `from_bearing` is measured from the nearer bearing.
pub fn in_middle_third(span: Length, from_bearing: Length, half_length: Length) -> bool {
    (from_bearing + half_length) * 3 > span
}

/// From this dressed thickness on (4 in nominal) a member is notched at its ends only; which edge a notch is in is not
/// asked, so every one counts as on the tension side.
pub const THICK: Length = Length::sixteenths(56);

/// Judges one notch or hole in a joist of `section` over `span`: the first limit that it passes, if any.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::notch::{Cut, CutLimit, judge};
/// use joistlight::trade::section::{Nominal, Section};
/// let (joist, span) = (Section::dressed(Nominal::TwoByTen), Length::inches(144));
/// let notch = |from_bearing| Cut::Notch { depth: Length::inches(1), length: Length::inches(2), from_bearing };
/// assert_eq!(judge(notch(Length::inches(30)), joist, span), None);
/// let middle = judge(notch(Length::inches(60)), joist, span).unwrap();
/// assert_eq!(middle.limit, CutLimit::MiddleThird);
/// ```
pub fn judge(cut: Cut, section: Section, span: Length) -> Option<Excess> {
    let limits = CutLimits::of(section.depth());
    let over = |limit, allowed, found| {
        (found > allowed).then_some(Excess {
            limit,
            allowed,
            found,
        })
    };
    match cut {
        Cut::Notch {
            depth,
            length,
            from_bearing,
        } => over(CutLimit::NotchDepth, limits.notch_depth, depth)
            .or_else(|| over(CutLimit::NotchLength, limits.notch_length, length))
            .or_else(|| {
                in_middle_third(span, from_bearing, length / 2).then_some(Excess {
                    limit: CutLimit::MiddleThird,
                    allowed: span / 3,
                    found: from_bearing + length / 2,
                })
            })
            .or_else(|| {
                (section.breadth() >= THICK).then_some(Excess {
                    limit: CutLimit::ThickNotched,
                    allowed: Length::ZERO,
                    found: depth,
                })
            }),
        Cut::EndNotch { depth } => over(CutLimit::EndNotchDepth, limits.end_notch_depth, depth),
        Cut::Hole {
            diameter,
            from_edge,
        } => over(CutLimit::HoleWidth, limits.hole, diameter).or_else(|| {
            (from_edge < limits.hole_apart).then_some(Excess {
                limit: CutLimit::HoleEdge,
                allowed: limits.hole_apart,
                found: from_edge,
            })
        }),
    }
}

/// Whether two holes, or a hole and a notch, in one joist leave too little wood between them along the joist.
pub fn too_near(a: Length, a_length: Length, b: Length, b_length: Length) -> bool {
    (a - b).abs() - a_length / 2 - b_length / 2 < CutLimits::of(Length::ZERO).hole_apart
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::section::Nominal;

    fn first(cut: Cut) -> Option<CutLimit> {
        // A 2 × 10 over 12 ft: notch 1.54 × 3.08 in, end notch 2.31 in, hole 3.08 in.
        judge(
            cut,
            Section::dressed(Nominal::TwoByTen),
            Length::inches(144),
        )
        .map(|excess| excess.limit)
    }

    #[test]
    fn each_limit_is_met_just_under_and_passed_just_over() {
        let notch = |depth, length, from| {
            first(Cut::Notch {
                depth: Length::sixteenths(depth),
                length: Length::sixteenths(length),
                from_bearing: Length::inches(from),
            })
        };
        assert_eq!(notch(24, 49, 20), None);
        assert_eq!(notch(25, 49, 20), Some(CutLimit::NotchDepth));
        assert_eq!(notch(24, 50, 20), Some(CutLimit::NotchLength));
        assert_eq!(notch(24, 32, 47), None);
        assert_eq!(notch(24, 32, 48), Some(CutLimit::MiddleThird));
        let end = |depth| {
            first(Cut::EndNotch {
                depth: Length::sixteenths(depth),
            })
        };
        assert_eq!(end(36), None); // 2 1/4 in
        assert_eq!(end(38), Some(CutLimit::EndNotchDepth));
        let hole = |diameter, edge| {
            first(Cut::Hole {
                diameter: Length::sixteenths(diameter),
                from_edge: Length::sixteenths(edge),
            })
        };
        assert_eq!(hole(49, 32), None);
        assert_eq!(hole(50, 32), Some(CutLimit::HoleWidth));
        assert_eq!(hole(49, 31), Some(CutLimit::HoleEdge));
    }

    #[test]
    fn a_thick_member_is_notched_at_its_ends_only() {
        let notch = Cut::Notch {
            depth: Length::inches(1),
            length: Length::inches(1),
            from_bearing: Length::inches(12),
        };
        let four_by_ten =
            Section::measured(Length::sixteenths(56), Length::sixteenths(148)).unwrap();
        let excess = judge(notch, four_by_ten, Length::inches(144)).unwrap();
        assert_eq!(excess.limit, CutLimit::ThickNotched);
        let end = Cut::EndNotch {
            depth: Length::inches(1),
        };
        assert_eq!(judge(end, four_by_ten, Length::inches(144)), None);
    }

    #[test]
    fn two_holes_need_two_inches_between_them() {
        let inches = Length::inches;
        assert!(!too_near(inches(20), inches(2), inches(24), inches(2)));
        assert!(too_near(inches(20), inches(2), inches(23), inches(2)));
    }
}
