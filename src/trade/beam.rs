//! A beam on two supports under point loads and loads spread over a part of it: reactions, shear, moment and
//! deflection, exact anywhere along it.
//!
//! # Units
//! Places as [`Length`] from the left support, [`Force`] and [`LineLoad`] downwards, sagging [`Moment`], deflection
//! as [`Length`] downwards.
//!
//! # Source
//! Statics and the elastic line E·I·y″ = −M, solved piece by piece between the places where the load changes;
//! the American Wood Council's Design Aid 6 (beam formulas) and the AISC beam cases are the single cases of it: full
//! uniform load R = wL/2, M = wL²/8, Δ = 5wL⁴/384EI; point load R₁ = Pb/L, M = Pab/L (derived; checked
//! against PyNiteFEA, tests/outside/joists.rs).
//!
//! # Examples
//! A 2 × 6 of Spruce-Pine-Fir No. 2 over 14 ft with 20 lb/ft and two loads of 60 lb (derived; PyNiteFEA 3.2.0 agrees):
//! ```
//! use joistlight::measure::{Force, Length, LineLoad, Stress};
//! use joistlight::trade::beam::{Beam, Load};
//! use joistlight::trade::section::{Nominal, Section};
//! let span = Length::inches(168);
//! let loads = [
//!     Load::over(Length::ZERO, span, LineLoad::from_plf(20.0)),
//!     Load::at(Length::inches(60), Force::from_lb(60.0)),
//!     Load::at(Length::inches(96), Force::from_lb(60.0)),
//! ];
//! let beam = Beam::new(span, &loads)?;
//! assert!((beam.left_reaction().lb() - 204.2857).abs() < 5e-5);
//! assert!((beam.right_reaction().lb() - 195.7143).abs() < 5e-5);
//! assert!((beam.most_moment().value.lb_in() - 9845.51).abs() < 5e-3);
//! let stiffness = Section::dressed(Nominal::TwoBySix).stiffness(Stress::from_psi(1.4e6));
//! assert!((beam.deflection(span / 2, stiffness).to_in() - 0.9723933).abs() < 1e-6);
//! assert!((beam.most_deflection(stiffness).value.to_in() - 0.97243).abs() < 5e-6);
//! # Ok::<(), joistlight::trade::beam::BeamError>(())
//! ```

use super::section::Stiffness;
use crate::measure::{Force, Length, LineLoad, Moment};

/// A load, downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// At one place.
    Point {
        /// From the left support.
        at: Length,
        /// How heavy.
        force: Force,
    },
    /// The same everywhere from one place to another.
    Spread {
        /// Its left end, from the left support.
        from: Length,
        /// Its right end, from the left support.
        to: Length,
        /// How heavy along the beam.
        load: LineLoad,
    },
}

impl Load {
    /// A load at one place.
    pub const fn at(at: Length, force: Force) -> Self {
        Load::Point { at, force }
    }

    /// The load times `by`.
    #[must_use]
    pub fn scaled(self, by: f64) -> Self {
        match self {
            Load::Point { at, force } => Load::Point {
                at,
                force: force * by,
            },
            Load::Spread { from, to, load } => Load::Spread {
                from,
                to,
                load: load * by,
            },
        }
    }

    /// A load spread evenly from one place to another.
    pub const fn over(from: Length, to: Length, load: LineLoad) -> Self {
        Load::Spread { from, to, load }
    }
}

/// A beam that cannot be computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BeamError {
    /// The supports do not lie apart.
    #[error("a span of {span} is none; measure from bearing to bearing again.")]
    NoSpan {
        /// The span given.
        span: Length,
    },
    /// A load lies beyond a support.
    #[error(
        "a load at {at} lies outside the span of {span}; measure its place along the joist again."
    )]
    Outside {
        /// Where the load lies.
        at: Length,
        /// The span.
        span: Length,
    },
}

/// The largest value along a beam, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Most<T> {
    /// The value, with its sign.
    pub value: T,
    /// From the left support.
    pub at: Length,
}

/// The stretch between two changes of the load: everything along it is a polynomial of `s`, the distance from its
/// left end. In lb and in; `turn` and `sag` are E·I times slope and deflection.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from: f64,
    length: f64,
    load: f64,
    shear: f64,
    moment: f64,
    turn: f64,
    sag: f64,
}

impl Piece {
    fn shear(&self, s: f64) -> f64 {
        self.shear - self.load * s
    }
    fn moment(&self, s: f64) -> f64 {
        self.moment + s * (self.shear - self.load * s / 2.0)
    }
    fn turn(&self, s: f64) -> f64 {
        self.turn - s * (self.moment + s * (self.shear / 2.0 - self.load * s / 6.0))
    }
    fn sag(&self, s: f64) -> f64 {
        self.sag
            + s * (self.turn
                - s * (self.moment / 2.0 + s * (self.shear / 6.0 - self.load * s / 24.0)))
    }

    /// Where the shear passes zero within the piece.
    fn shear_zero(&self) -> Option<f64> {
        let s = self.shear / self.load;
        (s > 0.0 && s < self.length).then_some(s)
    }

    /// Where the moment passes zero within the piece, in order.
    fn moment_zeros(&self) -> [Option<f64>; 2] {
        let inside = |s: f64| (s > 0.0 && s < self.length).then_some(s);
        if self.load == 0.0 {
            return [inside(-self.moment / self.shear), None];
        }
        let root = self.shear * self.shear + 2.0 * self.load * self.moment;
        if root <= 0.0 {
            return [None, None];
        }
        let (a, b) = (
            (self.shear - root.sqrt()) / self.load,
            (self.shear + root.sqrt()) / self.load,
        );
        [inside(a.min(b)), inside(a.max(b))]
    }

    /// Where the slope is zero between `a` and `b`, between which it only rises or only falls.
    fn level_between(&self, mut a: f64, mut b: f64) -> Option<f64> {
        let (at_a, at_b) = (self.turn(a), self.turn(b));
        if at_a == 0.0 {
            return Some(a);
        }
        if at_a.is_sign_positive() == at_b.is_sign_positive() {
            return None;
        }
        let mut s = (a + b) / 2.0;
        for _ in 0..100 {
            let turn = self.turn(s);
            if turn == 0.0 {
                break;
            }
            if turn.is_sign_positive() == at_a.is_sign_positive() {
                a = s;
            } else {
                b = s;
            }
            // Newton where it stays between the two, halving where it does not: the slope's slope is −M.
            let newton = s + turn / self.moment(s);
            let next = if newton > a && newton < b {
                newton
            } else {
                (a + b) / 2.0
            };
            if (next - s).abs() <= 1e-13 * self.length {
                break;
            }
            s = next;
        }
        Some(s)
    }
}

/// A beam on two supports with its loads.
#[derive(Debug, Clone)]
pub struct Beam {
    span: f64,
    left: f64,
    right: f64,
    pieces: Vec<Piece>,
}

impl Beam {
    /// A beam over `span` with `loads`.
    ///
    /// # Errors
    /// Where there is no span, or a load lies outside it.
    pub fn new(span: Length, loads: &[Load]) -> Result<Self, BeamError> {
        if span <= Length::ZERO {
            return Err(BeamError::NoSpan { span });
        }
        let inside = |at: Length| {
            if at < Length::ZERO || at > span {
                Err(BeamError::Outside { at, span })
            } else {
                Ok(at.to_in())
            }
        };
        let length = span.to_in();
        // Pieces begin where the load changes; what else they need is filled in from left to right.
        let mut pieces: Vec<Piece> = Vec::with_capacity(2 * loads.len() + 2);
        let mut begin = |from: f64| {
            pieces.push(Piece {
                from,
                length: 0.0,
                load: 0.0,
                shear: 0.0,
                moment: 0.0,
                turn: 0.0,
                sag: 0.0,
            });
        };
        begin(0.0);
        // The left reaction, and E·I times the slope at the left support, load by load.
        let (mut left, mut total, mut turn) = (0.0, 0.0, 0.0);
        for load in loads {
            match *load {
                Load::Point { at, force } => {
                    let (at, force) = (inside(at)?, force.lb());
                    begin(at);
                    let rest = length - at;
                    total += force;
                    left += force * rest / length;
                    turn -= force * rest * rest * rest / 6.0;
                }
                Load::Spread { from, to, load } => {
                    let (from, to) = (inside(from.min(to))?, inside(to.max(from))?);
                    let load = load.lb_per_in();
                    begin(from);
                    begin(to);
                    let (a, b) = (length - from, length - to);
                    total += load * (to - from);
                    left += load * (a * a - b * b) / (2.0 * length);
                    turn -= load * (a * a * a * a - b * b * b * b) / 24.0;
                }
            }
        }
        turn = (turn + left * length * length * length / 6.0) / length;
        pieces.sort_unstable_by(|a, b| a.from.total_cmp(&b.from));
        pieces.dedup_by(|a, b| a.from == b.from);
        if pieces.len() > 1 && pieces.last().is_some_and(|piece| piece.from >= length) {
            pieces.pop();
        }
        let (mut shear, mut moment, mut sag) = (left, 0.0, 0.0);
        for index in 0..pieces.len() {
            let from = pieces[index].from;
            let to = pieces.get(index + 1).map_or(length, |next| next.from);
            let mut along = 0.0;
            for load in loads {
                match *load {
                    Load::Point { at, force } if at.to_in() == from => shear -= force.lb(),
                    Load::Spread {
                        from: a,
                        to: b,
                        load,
                    } if a.min(b).to_in() <= from && a.max(b).to_in() >= to => {
                        along += load.lb_per_in();
                    }
                    _ => {}
                }
            }
            let piece = Piece {
                from,
                length: to - from,
                load: along,
                shear,
                moment,
                turn,
                sag,
            };
            shear = piece.shear(piece.length);
            moment = piece.moment(piece.length);
            turn = piece.turn(piece.length);
            sag = piece.sag(piece.length);
            pieces[index] = piece;
        }
        Ok(Beam {
            span: length,
            left,
            right: total - left,
            pieces,
        })
    }

    /// The span.
    pub fn span(&self) -> Length {
        Length::from_in(self.span)
    }

    /// What the left support carries.
    pub fn left_reaction(&self) -> Force {
        Force::from_lb(self.left)
    }

    /// What the right support carries.
    pub fn right_reaction(&self) -> Force {
        Force::from_lb(self.right)
    }

    /// The larger of the two reactions.
    pub fn most_reaction(&self) -> Force {
        Force::from_lb(self.left.max(self.right))
    }

    fn piece(&self, at: Length) -> (&Piece, f64) {
        let x = at.to_in().clamp(0.0, self.span);
        let index = self
            .pieces
            .partition_point(|piece| piece.from <= x)
            .saturating_sub(1);
        let piece = &self.pieces[index];
        (piece, x - piece.from)
    }

    /// The shear just right of a place.
    pub fn shear(&self, at: Length) -> Force {
        let (piece, s) = self.piece(at);
        Force::from_lb(piece.shear(s))
    }

    /// The moment at a place.
    pub fn moment(&self, at: Length) -> Moment {
        let (piece, s) = self.piece(at);
        Moment::from_lb_in(piece.moment(s))
    }

    /// The deflection at a place.
    pub fn deflection(&self, at: Length, stiffness: Stiffness) -> Length {
        let (piece, s) = self.piece(at);
        Length::from_in(piece.sag(s) / stiffness.lb_in2())
    }

    /// The largest shear either way; it lies at a load's edge.
    pub fn most_shear(&self) -> Most<Force> {
        let mut most = (0.0_f64, 0.0);
        for piece in &self.pieces {
            for s in [0.0, piece.length] {
                keep(&mut most, piece.shear(s), piece.from + s);
            }
        }
        Most {
            value: Force::from_lb(most.0),
            at: Length::from_in(most.1),
        }
    }

    /// The largest moment either way.
    pub fn most_moment(&self) -> Most<Moment> {
        let mut most = (0.0, 0.0);
        for piece in &self.pieces {
            keep(&mut most, piece.moment(0.0), piece.from);
            if let Some(s) = piece.shear_zero() {
                keep(&mut most, piece.moment(s), piece.from + s);
            }
        }
        Most {
            value: Moment::from_lb_in(most.0),
            at: Length::from_in(most.1),
        }
    }

    /// The largest deflection either way, where the beam is level: exact, not the middle's.
    pub fn most_deflection(&self, stiffness: Stiffness) -> Most<Length> {
        let most = self.most_sag();
        Most {
            value: most.value.deflection(stiffness),
            at: most.at,
        }
    }

    /// The largest deflection either way, for a beam of any stiffness.
    pub fn most_sag(&self) -> Most<Sag> {
        let mut most = (0.0, 0.0);
        for piece in &self.pieces {
            // Between the zeros of the moment the slope only rises or only falls.
            let [a, b] = piece.moment_zeros();
            let mut start = 0.0;
            for end in [a, b, Some(piece.length)].into_iter().flatten() {
                if let Some(s) = piece.level_between(start, end) {
                    keep(&mut most, piece.sag(s), piece.from + s);
                }
                start = end;
            }
        }
        Most {
            value: Sag(most.0),
            at: Length::from_in(most.1),
        }
    }
}

/// A deflection before the beam's stiffness is known: E·I times it, in lb·in³.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Sag(f64);

impl Sag {
    /// The deflection of a beam of this stiffness.
    pub fn deflection(self, stiffness: Stiffness) -> Length {
        Length::from_in(self.0 / stiffness.lb_in2())
    }
}

/// Keeps the value that is larger without its sign, the first of equals.
fn keep(most: &mut (f64, f64), value: f64, at: f64) {
    if value.abs() > most.0.abs() {
        *most = (value, at);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Stress;
    use crate::trade::section::{Nominal, Section};
    use proptest::prelude::*;

    fn stiffness() -> Stiffness {
        Section::dressed(Nominal::TwoBySix).stiffness(Stress::from_psi(1.4e6))
    }

    fn inches(value: f64) -> Length {
        Length::from_in(value)
    }

    #[test]
    fn the_plain_joist_of_the_worked_opening_comes_out() {
        // Facts D6: SPF No. 2 2 × 6 at 16 in, 168 in, 10/5 psf.
        let span = Length::inches(168);
        let total = [Load::over(Length::ZERO, span, LineLoad::from_plf(20.0))];
        let beam = Beam::new(span, &total).unwrap();
        assert!((beam.most_moment().value.lb_in() - 5880.0).abs() < 1e-9);
        assert_eq!(beam.most_moment().at, Length::inches(84));
        let live = [Load::over(
            Length::ZERO,
            span,
            LineLoad::from_plf(40.0 / 3.0),
        )];
        let sag = Beam::new(span, &live)
            .unwrap()
            .most_deflection(stiffness())
            .value;
        assert!((sag.to_in() - 0.3958).abs() < 5e-5);
        assert_eq!((span / sag).round() as i64, 424);
    }

    #[test]
    fn a_beam_that_hogs_and_sags_is_followed_through_both() {
        // An uplift near one end: the moment changes sign, and the largest deflection is found on either side.
        let span = Length::inches(100);
        let loads = [
            Load::at(Length::inches(20), Force::from_lb(-100.0)),
            Load::at(Length::inches(70), Force::from_lb(60.0)),
        ];
        let beam = Beam::new(span, &loads).unwrap();
        let most = beam.most_deflection(stiffness()).value.to_in();
        let sampled = (0..=10_000)
            .map(|i| {
                beam.deflection(inches(f64::from(i) * 0.01), stiffness())
                    .to_in()
            })
            .fold(0.0_f64, |m, v| if v.abs() > m.abs() { v } else { m });
        assert!((most - sampled).abs() < 1e-6, "{most} {sampled}");
        assert!(beam.left_reaction().lb() < 0.0);
    }

    #[test]
    fn what_cannot_be_computed_is_refused() {
        assert!(matches!(
            Beam::new(Length::ZERO, &[]),
            Err(BeamError::NoSpan { .. })
        ));
        let beyond = [Load::at(Length::inches(11), Force::from_lb(1.0))];
        assert!(matches!(
            Beam::new(Length::inches(10), &beyond),
            Err(BeamError::Outside { .. })
        ));
        let empty = Beam::new(Length::inches(10), &[]).unwrap();
        assert_eq!(empty.most_deflection(stiffness()).value, Length::ZERO);
        assert_eq!(empty.most_moment().value, Moment::from_lb_in(0.0));
    }

    proptest! {
        /// Facts D4, the textbook cases, superposed.
        #[test]
        fn the_textbook_cases_add_up(
            span in 40.0..240.0_f64,
            w in 0.0..6.0_f64,
            points in proptest::collection::vec((0.0..1.0_f64, 0.0..300.0_f64), 0..5),
            place in 0.0..1.0_f64,
        ) {
            let ei = stiffness().lb_in2();
            let mut loads = vec![Load::over(Length::ZERO, inches(span), LineLoad::from_lb_per_in(w))];
            let length = inches(span).to_in();
            let x = inches(place * span).to_in();
            let mut left = w * length / 2.0;
            let mut moment = w * x * (length - x) / 2.0;
            let mut sag = w * x * (length.powi(3) - 2.0 * length * x * x + x.powi(3)) / (24.0 * ei);
            for (share, p) in points {
                let at = inches(share * span);
                loads.push(Load::at(at, Force::from_lb(p)));
                let (a, b) = (at.to_in(), length - at.to_in());
                left += p * b / length;
                if x <= a {
                    moment += p * b * x / length;
                    sag += p * b * x * (length * length - b * b - x * x) / (6.0 * ei * length);
                } else {
                    moment += p * a * (length - x) / length;
                    sag += p * a * (length - x) * (2.0 * length * x - x * x - a * a) / (6.0 * ei * length);
                }
            }
            let beam = Beam::new(inches(span), &loads).unwrap();
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 + 1e-9 * b.abs();
            prop_assert!(near(beam.left_reaction().lb(), left));
            prop_assert!(near(beam.moment(inches(place * span)).lb_in(), moment));
            prop_assert!(near(beam.deflection(inches(place * span), stiffness()).to_in(), sag));
            let most = beam.most_deflection(stiffness()).value.to_in();
            prop_assert!(sag <= most + 1e-6);
            prop_assert!(moment <= beam.most_moment().value.lb_in() + 1e-6);
            prop_assert!(beam.moment(inches(length)).lb_in().abs() < 1e-5);
        }

        #[test]
        fn a_partial_load_is_many_point_loads(
            from in 0.0..0.5_f64, to in 0.5..1.0_f64, w in 0.1..6.0_f64, x in 0.0..1.0_f64,
        ) {
            let span = Length::inches(144);
            let (a, b) = (span.scale(from), span.scale(to));
            let beam = Beam::new(span, &[Load::over(a, b, LineLoad::from_lb_per_in(w))]).unwrap();
            let n = 400;
            let each = w * (b - a).to_in() / f64::from(n);
            let many: Vec<Load> = (0..n)
                .map(|i| Load::at(a + (b - a).scale((f64::from(i) + 0.5) / f64::from(n)), Force::from_lb(each)))
                .collect();
            let like = Beam::new(span, &many).unwrap();
            let at = span.scale(x);
            let (one, other) = (
                beam.deflection(at, stiffness()).to_in(),
                like.deflection(at, stiffness()).to_in(),
            );
            prop_assert!((one - other).abs() < 1e-5 * one.abs() + 1e-6);
        }
    }
}
