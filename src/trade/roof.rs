//! The roof over a spot: two planes that meet in a ridge.
//!
//! *Units*: heights from the top of the joists to the **underside** of the rafters; slope as rise in 12.
//!
//! *Source*: plane geometry (derived; the clearance square to the roof checked against trimesh). The height at a run *x* uphill of a
//! place where it is known is `h + x·p/12`; beyond the ridge the roof is taken to fall again as steeply. The
//! clearance square to the rafter is the upright one times `cos θ`.
//!
//! # Examples
//! A 5:12 roof, 34 in over the joists under the ridge, and a box 36 in wide and 20 in high under it: the corner is
//! clear of the rafter by 6.000 in.
//! ```
//! use joistlight::measure::{Length, Pitch};
//! use joistlight::trade::roof::{Fall, Roof, Slope};
//! use joistlight::trade::solid::Span;
//! let roof = Roof {
//!     height: Length::inches(34),
//!     slope: Some(Slope {
//!         pitch: Pitch::from_rise_per_12(5.0),
//!         fall: Fall::Left,
//!         ridge: Length::ZERO,
//!     }),
//! };
//! let across = Span::about(Length::ZERO, Length::inches(36));
//! let lowest = roof.lowest_over(across, across);
//! assert_eq!(lowest.to_in(), 26.5);
//! let square = roof.square_to(lowest - Length::inches(20));
//! assert!((square.to_in() - 6.0).abs() < 1e-6);
//! ```

use super::solid::{Line, Span};
use crate::measure::{Length, Pitch};

/// Which way a roof falls, in a spot's frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fall {
    /// Towards *ahead*.
    Ahead,
    /// Away from *ahead*.
    Back,
    /// Towards *left*.
    Left,
    /// Away from *left*.
    Right,
}

impl Fall {
    /// The line on which it falls.
    pub const fn line(self) -> Line {
        match self {
            Fall::Ahead | Fall::Back => Line::Ahead,
            Fall::Left | Fall::Right => Line::Left,
        }
    }

    /// Whether uphill is the positive way on that line.
    const fn uphill_is_positive(self) -> bool {
        matches!(self, Fall::Back | Fall::Right)
    }
}

/// A roof over a spot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roof {
    /// Height of its underside over the mark.
    pub height: Length,
    /// Its slope, where it has one.
    pub slope: Option<Slope>,
}

/// How a roof slopes; beyond the ridge it falls again as steeply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// How steep it is; more than nothing.
    pub pitch: Pitch,
    /// Which way it falls at the mark.
    pub fall: Fall,
    /// Level distance from the mark uphill to the ridge.
    pub ridge: Length,
}

impl Slope {
    /// Where the ridge lies on the line of the fall.
    pub fn ridge_at(&self) -> Length {
        if self.fall.uphill_is_positive() {
            self.ridge
        } else {
            -self.ridge
        }
    }
}

/// The run in which a roof of this pitch rises by `rise` (x = 12·rise/p).
///
/// # Examples
/// ```
/// use joistlight::measure::{Length, Pitch};
/// use joistlight::trade::roof::run_for_rise;
/// // Heel 4 in, 5:12: 30 in of height are reached 62.4 in in.
/// let run = run_for_rise(Pitch::from_rise_per_12(5.0), Length::inches(30) - Length::inches(4));
/// assert_eq!(run, Length::thousandths_in(62_400));
/// ```
pub fn run_for_rise(pitch: Pitch, rise: Length) -> Length {
    rise.scale(12.0 / pitch.rise_per_12())
}

/// The height that a rafter of this depth takes, measured upright (depth times the slope factor √(144 + p²)/12).
///
/// # Examples
/// ```
/// use joistlight::measure::{Length, Pitch};
/// use joistlight::trade::roof::upright_depth;
/// // A 2×6 at 5:12.
/// let depth = upright_depth(Pitch::from_rise_per_12(5.0), Length::sixteenths(88));
/// assert!((depth.to_in() - 5.958).abs() < 0.0005);
/// ```
pub fn upright_depth(pitch: Pitch, depth: Length) -> Length {
    depth.scale(pitch.slope_factor())
}

impl Roof {
    /// Its height over a place on the line of its fall.
    fn height_on_line(&self, slope: &Slope, at: Length) -> Length {
        let from_ridge = (at - slope.ridge_at()).abs();
        self.height + slope.pitch.rise(slope.ridge - from_ridge)
    }

    /// Its height over a place.
    pub fn height_at(&self, ahead: Length, left: Length) -> Length {
        match &self.slope {
            None => self.height,
            Some(slope) => {
                let at = match slope.fall.line() {
                    Line::Ahead => ahead,
                    _ => left,
                };
                self.height_on_line(slope, at)
            }
        }
    }

    /// Its least height over a rectangle: at one of the two edges that lie across its fall.
    pub fn lowest_over(&self, ahead: Span, left: Span) -> Length {
        match &self.slope {
            None => self.height,
            Some(slope) => {
                let on = match slope.fall.line() {
                    Line::Ahead => ahead,
                    _ => left,
                };
                self.height_on_line(slope, on.low)
                    .min(self.height_on_line(slope, on.high))
            }
        }
    }

    /// Its greatest height, under the ridge.
    pub fn peak(&self) -> Length {
        match &self.slope {
            None => self.height,
            Some(slope) => self.height + slope.pitch.rise(slope.ridge),
        }
    }

    /// Where on the line of its fall it is at least so high; `None` where it is nowhere. A level roof that is high
    /// enough is so everywhere, which is the outer `Some` with no span.
    #[allow(clippy::option_option)] // three answers: nowhere, everywhere, between two places
    pub fn high_enough(&self, height: Length) -> Option<Option<Span>> {
        match &self.slope {
            None => (self.height >= height).then_some(None),
            Some(slope) => {
                let above = self.peak() - height;
                if above.is_negative() {
                    return None;
                }
                // Rounded towards the ridge, so that it is never called high enough where it is not.
                let run = run_for_rise(slope.pitch, above);
                let mut run = if run.in_25_nm() > 0 {
                    run + Length::of_25_nm(1)
                } else {
                    run
                };
                while run > Length::ZERO
                    && self.height_on_line(slope, slope.ridge_at() + run) < height
                {
                    run -= Length::of_25_nm(1);
                }
                Some(Some(Span::new(
                    slope.ridge_at() - run,
                    slope.ridge_at() + run,
                )))
            }
        }
    }

    /// The clearance square to the roof for this upright one (times the cosine of the slope).
    pub fn square_to(&self, upright: Length) -> Length {
        match &self.slope {
            None => upright,
            Some(slope) => upright.scale(1.0 / slope.pitch.slope_factor()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(n: i64) -> Length {
        Length::inches(n)
    }

    fn roof(height: i64, pitch: f64, fall: Fall, ridge: i64) -> Roof {
        Roof {
            height: inch(height),
            slope: Some(Slope {
                pitch: Pitch::from_rise_per_12(pitch),
                fall,
                ridge: inch(ridge),
            }),
        }
    }

    #[test]
    fn slopes_have_the_angles_and_factors_of_the_tables() {
        // Facts H1 (derived).
        for (pitch, degrees, factor) in [
            (2.0, 9.462, 1.01379),
            (3.0, 14.036, 1.03078),
            (4.0, 18.435, 1.05409),
            (5.0, 22.620, 1.08333),
            (6.0, 26.565, 1.11803),
            (7.0, 30.256, 1.15770),
            (8.0, 33.690, 1.20185),
            (9.0, 36.870, 1.25),
            (10.0, 39.806, 1.30171),
            (12.0, 45.0, std::f64::consts::SQRT_2),
        ] {
            let it = Pitch::from_rise_per_12(pitch);
            assert!((it.degrees() - degrees).abs() < 0.0005, "{pitch}");
            assert!((it.slope_factor() - factor).abs() < 0.000_005, "{pitch}");
        }
    }

    #[test]
    fn it_rises_uphill_and_falls_again_beyond_the_ridge() {
        for (fall, sign, line) in [
            (Fall::Ahead, -1, Line::Ahead),
            (Fall::Back, 1, Line::Ahead),
            (Fall::Left, -1, Line::Left),
            (Fall::Right, 1, Line::Left),
        ] {
            let roof = roof(40, 6.0, fall, 24);
            let at = |run: i64| {
                let place = inch(run * sign);
                match line {
                    Line::Ahead => roof.height_at(place, inch(99)),
                    _ => roof.height_at(inch(99), place),
                }
            };
            assert_eq!(at(0), inch(40));
            assert_eq!(at(-10), inch(35));
            assert_eq!(at(24), inch(52));
            assert_eq!(at(48), inch(40));
            assert_eq!(roof.peak(), inch(52));
        }
    }

    #[test]
    fn where_it_is_high_enough_lies_evenly_about_the_ridge() {
        let roof = roof(40, 6.0, Fall::Right, 24);
        let span = roof.high_enough(inch(40)).unwrap().unwrap();
        assert_eq!((span.low, span.high), (Length::ZERO, inch(48)));
        let span = roof.high_enough(inch(52)).unwrap().unwrap();
        assert_eq!((span.low, span.high), (inch(24), inch(24)));
        assert!(roof.high_enough(inch(53)).is_none());
        let level = Roof {
            height: inch(36),
            slope: None,
        };
        assert_eq!(level.high_enough(inch(36)), Some(None));
        assert_eq!(level.high_enough(inch(37)), None);
        assert_eq!(level.peak(), inch(36));
    }

    #[test]
    fn the_ends_of_the_high_part_are_high_enough_for_odd_pitches() {
        for pitch in [0.1, 1.7, 3.3, 4.9, 7.77, 11.3, 23.0] {
            let roof = roof(31, pitch, Fall::Ahead, 77);
            for height in [10, 31, 32] {
                let Some(Some(span)) = roof.high_enough(inch(height)) else {
                    continue;
                };
                for at in [span.low, span.high] {
                    assert!(roof.height_at(at, Length::ZERO) >= inch(height));
                }
                let beyond = span.high + Length::of_25_nm(40);
                assert!(
                    roof.height_at(beyond, Length::ZERO) <= inch(height),
                    "{pitch} {height}"
                );
            }
        }
    }
}
