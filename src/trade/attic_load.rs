//! What a ceiling joist has to carry: the ceiling itself, and what may lie or walk in the attic.
//!
//! # Units
//! Loads as [`AreaLoad`] (psf), heights as [`Length`].
//!
//! # Source
//! Live loads, and which attic counts as one with limited storage: IRC Table R301.5 and its notes b and g (confirmed:
//! restated as law in WAC 51-51-0301, lawfilesext.leg.wa.gov): 10 psf where the clear height between joists and rafters stays under 42 in, 20 psf from there on.
//! Dead loads: those of the span tables, IRC Tables R802.5.1(1) and (2) (confirmed): 5 psf without storage,
//! 10 psf with. Plaster on wood lath weighs 8 psf (ASCE 7 Table C3, confirmed), so under plaster the dead load is
//! taken as 10 psf in either case (derived: 8 psf and 2 psf of joists and insulation).
//! Deflection: of live load L/240 under flexible finish and L/360 under plaster (IRC Table R301.7, confirmed; the span
//! tables' own title says L/240, so that they do not cover plaster); of dead and live load together L/180 and L/240
//! (IBC Table 1604.3, roof members that carry ceilings, confirmed; a ceiling joist has no row of its own there, so that
//! taking it for such a member is a judgement). Of dead load only the creep counts there
//! ([`CREEP`](super::frame_strength::CREEP)).
//!
//! # Examples
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::attic_load::{AtticUse, Finish, ceiling_load};
//! assert_eq!(AtticUse::by_height(Length::inches(41)), AtticUse::NoStorage);
//! assert_eq!(AtticUse::by_height(Length::inches(42)), AtticUse::LimitedStorage);
//! let load = ceiling_load(AtticUse::LimitedStorage, Finish::Flexible);
//! assert_eq!((load.live.psf(), load.dead.psf()), (20.0, 10.0));
//! ```

use crate::measure::{AreaLoad, Length, Pitch};

/// From this clear height on, an attic counts as one with limited storage.
pub const STORAGE_HEIGHT: Length = Length::inches(42);

/// How the code takes an attic to be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum AtticUse {
    /// Too low for anything to be stored.
    NoStorage,
    /// Boxes may be put there.
    LimitedStorage,
}

impl AtticUse {
    /// By the largest clear height between joists and rafters.
    pub fn by_height(clear: Length) -> Self {
        if clear < STORAGE_HEIGHT {
            AtticUse::NoStorage
        } else {
            AtticUse::LimitedStorage
        }
    }
}

/// The clear height under the ridge, from the height at one place and the level distance uphill from there.
///
/// # Examples
/// ```
/// use joistlight::measure::{Length, Pitch};
/// use joistlight::trade::attic_load::ridge_height;
/// let height = ridge_height(Length::inches(30), Length::feet(3), Pitch::from_rise_per_12(5.0));
/// assert_eq!(height, Length::inches(45));
/// ```
pub fn ridge_height(at_place: Length, uphill: Length, slope: Pitch) -> Length {
    at_place + slope.rise(uphill)
}

/// What the ceiling's underside is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Finish {
    /// Gypsum board, boards, tiles: it bends along.
    Flexible,
    /// Plaster on lath: it cracks, and it is heavy.
    Plaster,
}

impl Finish {
    /// The span divided by this is the most that live load may bend a joist.
    pub const fn live_limit(self) -> f64 {
        match self {
            Finish::Flexible => 240.0,
            Finish::Plaster => 360.0,
        }
    }

    /// The span divided by this is the most that dead and live load together may bend a joist.
    pub const fn total_limit(self) -> f64 {
        match self {
            Finish::Flexible => 180.0,
            Finish::Plaster => 240.0,
        }
    }
}

/// Loads on a ceiling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CeilingLoad {
    /// What always lies there.
    pub dead: AreaLoad,
    /// What may come and go.
    pub live: AreaLoad,
}

/// The loads by which a ceiling joist is judged.
pub fn ceiling_load(attic: AtticUse, finish: Finish) -> CeilingLoad {
    let (live, table_dead) = match attic {
        AtticUse::NoStorage => (10.0, 5.0),
        AtticUse::LimitedStorage => (20.0, 10.0),
    };
    let dead = match finish {
        Finish::Flexible => table_dead,
        Finish::Plaster => 10.0,
    };
    CeilingLoad {
        dead: AreaLoad::from_psf(dead),
        live: AreaLoad::from_psf(live),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_are_those_of_the_code() {
        for (attic, finish, dead, live) in [
            (AtticUse::NoStorage, Finish::Flexible, 5.0, 10.0),
            (AtticUse::LimitedStorage, Finish::Flexible, 10.0, 20.0),
            (AtticUse::NoStorage, Finish::Plaster, 10.0, 10.0),
            (AtticUse::LimitedStorage, Finish::Plaster, 10.0, 20.0),
        ] {
            let load = ceiling_load(attic, finish);
            assert_eq!((load.dead.psf(), load.live.psf()), (dead, live));
        }
        let just_under = STORAGE_HEIGHT - Length::sixteenths(1);
        assert_eq!(AtticUse::by_height(just_under), AtticUse::NoStorage);
    }
}
