//! How far a ceiling joist may span: the code's own table, computed.
//!
//! # Units
//! Loads as [`AreaLoad`], lengths as [`Length`].
//!
//! # Source
//! IRC Tables R802.5.1(1) and R802.5.1(2) (2018 edition, p. 405, confirmed): the lesser of the span at which bending
//! under dead and live load reaches Fb′ (with the repetitive factor, load duration 1.0) and the span at which live load
//! alone deflects L/240: L = min(√(8·Fb′·S/w), ∛(384·E·I/(5·240·w_live))). All 128 cells of the printed page lie
//! within half an inch of it.
//!
//! # Examples
//! Douglas Fir-Larch No. 2, 2 × 6 at 19.2 in, 20 psf live and 10 psf dead: the table prints 11-11.
//! ```
//! use joistlight::measure::{AreaLoad, Length};
//! use joistlight::trade::attic_load::{AtticUse, Finish, ceiling_load};
//! use joistlight::trade::lumber::{Grade, Lumber, Species};
//! use joistlight::trade::section::{Nominal, Section};
//! use joistlight::trade::span::ceiling_joist_span;
//! let joist = Section::dressed(Nominal::TwoBySix);
//! let lumber = Lumber::of(Species::DouglasFirLarch, Grade::No2, joist.nominal_depth());
//! let load = ceiling_load(AtticUse::LimitedStorage, Finish::Flexible);
//! let span = ceiling_joist_span(lumber, joist, Length::thousandths_in(19_200), load, Finish::Flexible);
//! assert!((span.most - Length::inches(143)).abs() <= Length::inches(1) / 2);
//! ```

use super::attic_load::{CeilingLoad, Finish};
use super::lumber::{Adjust, Lumber};
use super::section::Section;
#[cfg(doc)]
use crate::measure::AreaLoad;
use crate::measure::Length;

/// What ends the span.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Governs {
    /// Bending stress.
    Bending,
    /// Deflection under live load.
    Deflection,
}

/// The longest span, and what ends it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AllowedSpan {
    /// The longest clear span.
    pub most: Length,
    /// What ends it.
    pub governs: Governs,
}

/// The longest clear span of repetitive ceiling joists `spacing` apart, before the table's rounding to whole inches.
/// Without load or spacing it is as long as a length can be.
pub fn ceiling_joist_span(
    lumber: Lumber,
    section: Section,
    spacing: Length,
    load: CeilingLoad,
    finish: Finish,
) -> AllowedSpan {
    let allowable = lumber.allowable(Adjust {
        repetitive: true,
        ..Adjust::default()
    });
    let total = ((load.dead + load.live) * spacing).lb_per_in();
    let live = (load.live * spacing).lb_per_in();
    let bending = (8.0 * allowable.bending.psi() * section.modulus().in3() / total).sqrt();
    let stiffness = section.stiffness(allowable.elasticity).lb_in2();
    let deflection = (384.0 * stiffness / (5.0 * finish.live_limit() * live)).cbrt();
    let (most, governs) = if bending < deflection {
        (bending, Governs::Bending)
    } else {
        (deflection, Governs::Deflection)
    };
    AllowedSpan {
        most: Length::from_in(most),
        governs,
    }
}

/// The longest span that the code's tables print: 26 ft 0 in.
pub const LONGEST_PRINTED: Length = Length::feet(26);

/// Whether joists of this span lie within the code's own table, which prints whole inches and covers flexible finish
/// alone: L/240 is not enough under plaster.
///
/// # Examples
/// Douglas Fir-Larch No. 2, 2 × 6 at 16 in, no storage: the table prints 17-8.
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::attic_load::{AtticUse, Finish, ceiling_load};
/// use joistlight::trade::lumber::{Grade, Lumber, Species};
/// use joistlight::trade::section::{Nominal, Section};
/// use joistlight::trade::span::in_span_table;
/// let joist = Section::dressed(Nominal::TwoBySix);
/// let lumber = Lumber::of(Species::DouglasFirLarch, Grade::No2, joist.nominal_depth());
/// let load = ceiling_load(AtticUse::NoStorage, Finish::Flexible);
/// let within = |span| in_span_table(lumber, joist, Length::inches(16), load, span);
/// assert!(within(Length::inches(17 * 12 + 8)));
/// assert!(!within(Length::inches(17 * 12 + 9)));
/// ```
pub fn in_span_table(
    lumber: Lumber,
    section: Section,
    spacing: Length,
    load: CeilingLoad,
    span: Length,
) -> bool {
    let half_an_inch = Length::sixteenths(8);
    let most = ceiling_joist_span(lumber, section, spacing, load, Finish::Flexible).most;
    span <= LONGEST_PRINTED && span <= most + half_an_inch
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::attic_load::{AtticUse, ceiling_load};
    use crate::trade::lumber::{Grade, Species};
    use crate::trade::section::Nominal;

    fn span(species: Species, nominal: Nominal, spacing: f64, attic: AtticUse) -> AllowedSpan {
        let section = Section::dressed(nominal);
        ceiling_joist_span(
            Lumber::of(species, Grade::No2, section.nominal_depth()),
            section,
            Length::from_in(spacing),
            ceiling_load(attic, Finish::Flexible),
            Finish::Flexible,
        )
    }

    #[test]
    fn double_load_at_half_the_spacing_is_the_same_span() {
        for species in Species::ALL {
            for nominal in Nominal::ALL {
                let light = span(species, nominal, 24.0, AtticUse::NoStorage);
                let heavy = span(species, nominal, 12.0, AtticUse::LimitedStorage);
                assert_eq!(light, heavy);
            }
        }
    }

    #[test]
    fn no_load_is_no_limit() {
        let free = span(
            Species::HemFir,
            Nominal::TwoByFour,
            0.0,
            AtticUse::NoStorage,
        );
        assert!(free.most > Length::feet(1_000_000));
    }
}
