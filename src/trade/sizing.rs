//! What it takes for joists to carry a fan where it goes: members as they are, doubled ones, or an engineer's word.
//!
//! # Units
//! Places and sizes as [`Length`], weights as [`Force`]; a use ratio is demand over capacity.
//!
//! # Source
//! The members' strength is that of [`frame_strength`](super::frame_strength), the code's own rule of thumb that of
//! [`opening_frame`](super::opening_frame). What an opening that is already there hangs on its trimmers is derived: each
//! of its headers carries half of every tail joist, and each trimmer half of each header.
//!
//! # Examples
//! Joists 2 × 6 of Spruce-Pine-Fir No. 2 at 16 in over 14 ft, one cut: the code doubles the trimmers, and so they hold.
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::attic_load::{AtticUse, Finish, ceiling_load};
//! use joistlight::trade::fan::generic;
//! use joistlight::trade::frame_strength::Timber;
//! use joistlight::trade::lumber::{Grade, Lumber, Species};
//! use joistlight::trade::opening_frame::Plies;
//! use joistlight::trade::section::{Nominal, Section};
//! use joistlight::trade::sizing::{Carrying, Level, Standing};
//! use joistlight::trade::solid::Span;
//! let inch = Length::inches;
//! let section = Section::dressed(Nominal::TwoBySix);
//! let timber = Timber {
//!     section,
//!     lumber: Lumber::of(Species::SprucePineFir, Grade::No2, section.nominal_depth()),
//!     bearing: Length::sixteenths(24),
//!     load: ceiling_load(AtticUse::NoStorage, Finish::Flexible),
//!     finish: Finish::Flexible,
//! };
//! let carrying = Carrying {
//!     bearings: Span::new(Length::ZERO, inch(168)),
//!     joists: (-4..=4).map(|n| inch(16 * n)).collect(),
//!     timber,
//!     real: timber,
//!     extra: Vec::new(),
//! };
//! let standing = Standing {
//!     trimmers: (inch(-16), inch(16)),
//!     cut: &[Length::ZERO],
//!     along: inch(84),
//!     across: Length::ZERO,
//! };
//! let sized = carrying.size(&generic().fans[0], &standing)?;
//! assert_eq!(sized.level, Level::Doubled);
//! assert_eq!(sized.plies(), (Plies::Single, Plies::Double));
//! # Ok::<(), joistlight::trade::beam::BeamError>(())
//! ```

use super::beam::BeamError;
use super::fan::Fan;
use super::frame_strength::{
    Extra, LoadedJoist, Opening, OpeningStrength, OverWhole, Timber, frame_opening,
    opening_effects, whole_effects,
};
use super::opening_frame::{Plies, header_plies, opening_frame};
use super::solid::Span;
use crate::measure::{Force, Length};

/// What it takes. Ordered from the least work to none that would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Members as they are.
    Single,
    /// Members doubled.
    Doubled,
    /// Doubled members would hold if the wood is better than the weakest that it may be.
    Stamp,
    /// Not even doubled members hold.
    Engineer,
    /// As many header pieces as it takes find no room before the bearing.
    NoRoom,
}

/// Joists as they carry.
#[derive(Debug, Clone, PartialEq)]
pub struct Carrying {
    /// Where they bear, on the axis along them.
    pub bearings: Span,
    /// The middles of those that are whole, across them, in order.
    pub joists: Vec<Length>,
    /// Their wood, as weak as it may be.
    pub timber: Timber,
    /// Their wood, as strong as it may really be behind a stamp that nobody can read.
    pub real: Timber,
    /// What openings that are already there hang on some of them.
    pub extra: Vec<Extra>,
}

/// Where an opening's middle lies, and among which joists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing<'a> {
    /// The joists left whole on either side.
    pub trimmers: (Length, Length),
    /// The joists that are cut; none where the fan stands over whole ones.
    pub cut: &'a [Length],
    /// The opening's middle along the joists.
    pub along: Length,
    /// The opening's middle across them.
    pub across: Length,
}

/// The members that get more to carry.
#[derive(Debug, Clone, PartialEq)]
pub enum Members {
    /// Headers and trimmers round an opening.
    Opening {
        /// The middles of the headers, from the first bearing.
        headers: [Length; 2],
        /// Their strength.
        strength: Box<OpeningStrength>,
    },
    /// Joists under a fan.
    Whole {
        /// How many pieces each has.
        plies: Plies,
        /// Their strength.
        joists: Vec<LoadedJoist>,
    },
}

/// What it takes, and the members as they then are.
#[derive(Debug, Clone, PartialEq)]
pub struct Sized {
    /// What it takes.
    pub level: Level,
    /// The members.
    pub members: Members,
}

impl Sized {
    /// How many pieces headers and trimmers have; of joists left whole, those under the fan count as trimmers.
    pub fn plies(&self) -> (Plies, Plies) {
        match &self.members {
            Members::Opening { strength, .. } => (strength.header_plies, strength.trimmer_plies),
            Members::Whole { plies, .. } => (Plies::Single, *plies),
        }
    }
}

/// Whether headers, and trimmers or joists under the fan, hold.
pub(super) type Holds = [bool; 2];

impl Carrying {
    /// How much of a joist is left on the shorter side of the opening.
    pub fn shortest(&self, fan: &Fan, at: &Standing) -> Length {
        let ends = self.ends(fan.opening.length, at.along);
        ends[0].min(self.bearings.length() - ends[1])
    }

    /// Where something so long about the middle ends, from the first bearing.
    fn ends(&self, length: Length, middle: Length) -> [Length; 2] {
        let middle = middle - self.bearings.low;
        [middle - length / 2, middle + length / 2]
    }

    fn opening<'a>(&'a self, fan: &Fan, at: &Standing<'a>) -> Opening<'a> {
        let ends = self.ends(fan.opening.length, at.along);
        let half = self.timber.section.breadth() / 2;
        Opening {
            span: self.bearings.length(),
            headers: [ends[0] - half, ends[1] + half],
            trimmers: [at.trimmers.0, at.trimmers.1],
            beyond: beyond(at, &self.joists),
            cut: at.cut,
            fan: fan.weight,
            extra: &self.extra,
        }
    }

    fn over<'a>(&'a self, fan: &Fan, at: &Standing) -> OverWhole<'a> {
        OverWhole {
            span: self.bearings.length(),
            joists: &self.joists,
            middle: at.across,
            frame_width: fan.frame.width,
            ends: self.ends(fan.frame.length, at.along),
            fan: fan.weight,
            extra: &self.extra,
        }
    }

    /// Sizes the members of this opening: single where code and stresses allow, doubled else.
    ///
    /// # Errors
    /// Where a header lies outside the span, or the trimmers do not lie apart.
    pub fn size(&self, fan: &Fan, at: &Standing) -> Result<Sized, BeamError> {
        let (timber, real) = (&self.timber, &self.real);
        if at.cut.is_empty() {
            let effects = whole_effects(&self.over(fan, at), timber.load)?;
            let single = effects.on(timber, Plies::Single);
            let (level, plies, joists) = if hold(&single) {
                (Level::Single, Plies::Single, single)
            } else {
                let double = effects.on(timber, Plies::Double);
                let level = if hold(&double) {
                    Level::Doubled
                } else if real != timber && hold(&effects.on(real, Plies::Double)) {
                    Level::Stamp
                } else {
                    Level::Engineer
                };
                (level, Plies::Double, double)
            };
            return Ok(Sized {
                level,
                members: Members::Whole { plies, joists },
            });
        }
        let opening = self.opening(fan, at);
        let framed = frame_opening(&opening, timber)?;
        let doubled = framed.strength.header_plies == Plies::Double
            || framed.strength.trimmer_plies == Plies::Double;
        let level = match (framed.holds(), doubled) {
            (true, false) => Level::Single,
            (true, true) => Level::Doubled,
            (false, _) if real != timber => {
                let hoped = framed.effects.on(real, Plies::Double, Plies::Double);
                if hoped.use_ratio() <= 1.0 {
                    Level::Stamp
                } else {
                    Level::Engineer
                }
            }
            (false, _) => Level::Engineer,
        };
        // Weaker wood never takes fewer pieces, so that between the best and the worst wood none fits where neither
        // end fits.
        let header = framed
            .strength
            .header_plies
            .thickness(timber.section.breadth());
        let level = if header > self.shortest(fan, at) {
            Level::NoRoom
        } else {
            level
        };
        Ok(Sized {
            level,
            members: Members::Opening {
                headers: opening.headers,
                strength: Box::new(framed.strength),
            },
        })
    }

    /// Whether headers and trimmers (or joists under the fan) of so many pieces hold there and are as many as the code
    /// asks; of the wood as strong as it may really be where `real`. Nothing holds that cannot be framed.
    pub(super) fn holds(
        &self,
        fan: &Fan,
        at: &Standing,
        plies: (Plies, Plies),
        real: bool,
    ) -> Holds {
        let timber = if real { &self.real } else { &self.timber };
        if at.cut.is_empty() {
            return match whole_effects(&self.over(fan, at), timber.load) {
                Ok(effects) => [true, hold(&effects.on(timber, plies.1))],
                Err(_) => [false, false],
            };
        }
        let opening = self.opening(fan, at);
        let span = opening.header_span(timber.section);
        let code = opening_frame(opening.span, span, opening.headers);
        match opening_effects(&opening, timber) {
            Ok(effects) => {
                let strength = effects.on(timber, plies.0, plies.1);
                [
                    plies.0 >= header_plies(span) && strength.headers_use() <= 1.0,
                    plies.1 >= code.trimmers && strength.trimmers_use() <= 1.0,
                ]
            }
            Err(_) => [false, false],
        }
    }
}

fn hold(joists: &[LoadedJoist]) -> bool {
    !joists.is_empty() && joists.iter().all(LoadedJoist::holds)
}

/// The joists beyond the two trimmers; where none was measured there, as far off as the opening's own bay.
fn beyond(at: &Standing, joists: &[Length]) -> [Length; 2] {
    let (low, high) = at.trimmers;
    let first = at.cut.first().copied().unwrap_or(high);
    let last = at.cut.last().copied().unwrap_or(low);
    let before = joists.partition_point(|joist| *joist < low);
    let after = joists.partition_point(|joist| *joist <= high);
    [
        before
            .checked_sub(1)
            .map_or(low * 2 - first, |index| joists[index]),
        joists.get(after).copied().unwrap_or(high * 2 - last),
    ]
}

/// What an opening that is already there hangs on its two trimmers: `hole` is its extent along the joists, `cut` how many
/// of them it cuts between the two.
pub fn hung_on_trimmers(
    timber: &Timber,
    bearings: Span,
    hole: Span,
    trimmers: (Length, Length),
    cut: usize,
) -> Vec<Extra> {
    let span = bearings.length();
    let clamp = |at: Length| (at - bearings.low).max(Length::ZERO).min(span);
    let (near, far) = (clamp(hole.low), clamp(hole.high));
    // The strips of the joists that are cut, of which each header carries half of every tail.
    let strips = (trimmers.1 - trimmers.0).scale(cut as f64 / (cut as f64 + 1.0));
    let mut extra = Vec::with_capacity(4);
    for joist in [trimmers.0, trimmers.1] {
        for (at, tail) in [(near, near), (far, span - far)] {
            let half = |load: crate::measure::AreaLoad| -> Force { load * strips * (tail / 4) };
            extra.push(Extra {
                joist,
                at,
                dead: half(timber.load.dead),
                live: half(timber.load.live),
            });
        }
    }
    extra
}
