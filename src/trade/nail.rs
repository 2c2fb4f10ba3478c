//! Nails by their trade sizes: length, diameter, weight.
//!
//! # Units
//! Sizes as [`Length`], weight as [`Force`] (lb).
//!
//! # Source
//! * Sizes: ASTM F1667 (facts E9: 8d common confirmed by IRC R602.3(1), 12d and 16d common from memory).
//! * Weight: volume of the shank at 490 lb/ft³ of steel, heads and points left out (derived). It comes within 3 % of
//!   the count a pound that handbooks print: 106 of 8d, 63 of 12d, 49 of 16d common nails (from memory).
//!
//! # Examples
//! ```
//! use joistlight::trade::nail::Nail;
//! assert_eq!((1.0 / Nail::COMMON_12D.weight().lb()).round(), 63.0);
//! ```

use super::source::Source;
use crate::measure::{Force, Length};

/// A nail of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Nail {
    /// Its length under the head.
    pub length: Length,
    /// The shank's diameter.
    pub diameter: Length,
}

impl Nail {
    /// 8d common.
    pub const COMMON_8D: Nail = Nail::of(2500, 131);
    /// 12d common.
    pub const COMMON_12D: Nail = Nail::of(3250, 148);
    /// 16d common.
    pub const COMMON_16D: Nail = Nail::of(3500, 162);
    /// Ring-shank drywall nail, 1 5/8 in, for boards up to 5/8 in (common practice, no source).
    pub const DRYWALL: Nail = Nail::of(1625, 98);

    const fn of(length: i64, diameter: i64) -> Self {
        Nail {
            length: Length::thousandths_in(length),
            diameter: Length::thousandths_in(diameter),
        }
    }

    /// Its weight, head and point left out.
    pub fn weight(self) -> Force {
        /// Pounds a cubic inch: steel of 490 lb/ft³.
        const STEEL: f64 = 490.0 / 1728.0;
        let diameter = self.diameter.to_in();
        let volume = std::f64::consts::FRAC_PI_4 * diameter * diameter * self.length.to_in();
        Force::from_lb(volume * STEEL)
    }
}

/// Where the sizes come from.
pub const SIZES: Source = Source::from_memory("ASTM F1667: nail sizes");
/// Where the weight comes from.
pub const WEIGHT: Source = Source::derived("the nail's shank in steel of 490 lb/ft³");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_a_pound_are_those_of_the_handbooks() {
        // From memory: 106, 63 and 49 common nails a pound.
        for (nail, printed) in [
            (Nail::COMMON_8D, 106.0),
            (Nail::COMMON_12D, 63.0),
            (Nail::COMMON_16D, 49.0),
        ] {
            let ours = 1.0 / nail.weight().lb();
            assert!((ours / printed - 1.0).abs() < 0.03, "{ours}");
        }
        // A printed table in round numbers (woodtools.nov.ru, "About nails"): 100, 60 and 50.
        for (nail, printed) in [
            (Nail::COMMON_8D, 100.0),
            (Nail::COMMON_12D, 60.0),
            (Nail::COMMON_16D, 50.0),
        ] {
            let ours = 1.0 / nail.weight().lb();
            assert!((ours / printed - 1.0).abs() < 0.06, "{ours}");
        }
    }
}
