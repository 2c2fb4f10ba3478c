//! Cross-sections of sawn lumber: dressed sizes, or breadth and depth as measured.
//!
//! # Units
//! Sides as [`Length`], area as [`Area`], section modulus as [`Volume`] (in³), moment of inertia in in⁴,
//! bending stiffness as [`Stiffness`].
//!
//! # Source
//! Dressed dry sizes: American Softwood Lumber Standard PS 20, Table 3 (from memory). Properties of a rectangle
//! bent about its strong axis: A = b·d, S = b·d²/6, I = b·d³/12 (derived; NDS Supplement, Table 1B lists the same).
//!
//! # Examples
//! ```
//! use joistlight::trade::section::{Nominal, Section};
//! let joist = Section::dressed(Nominal::TwoByTen);
//! assert_eq!(joist.area().in2(), 13.875);
//! assert!((joist.modulus().in3() - 21.3906).abs() < 5e-5);
//! assert!((joist.inertia_in4() - 98.9316).abs() < 5e-5);
//! ```

use crate::measure::{Area, Length, Measured, Stress, Volume};

/// The nominal sizes of joists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Nominal {
    /// 2 × 4.
    TwoByFour,
    /// 2 × 6.
    TwoBySix,
    /// 2 × 8.
    TwoByEight,
    /// 2 × 10.
    TwoByTen,
    /// 2 × 12.
    TwoByTwelve,
}

impl Nominal {
    /// All of them, the shallowest first.
    pub const ALL: [Nominal; 5] = [
        Nominal::TwoByFour,
        Nominal::TwoBySix,
        Nominal::TwoByEight,
        Nominal::TwoByTen,
        Nominal::TwoByTwelve,
    ];

    /// What the trade calls it.
    pub const fn label(self) -> &'static str {
        match self {
            Nominal::TwoByFour => "2 × 4",
            Nominal::TwoBySix => "2 × 6",
            Nominal::TwoByEight => "2 × 8",
            Nominal::TwoByTen => "2 × 10",
            Nominal::TwoByTwelve => "2 × 12",
        }
    }
}

/// A rectangle of wood, standing on edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Section {
    breadth: Length,
    depth: Length,
}

/// A measured size is none that sawn framing lumber has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "{breadth} × {depth} is no size of framing lumber: it is 1 in to 4 in thick and 2 1/2 in to 16 in deep."
)]
pub struct NoSuchSize {
    /// The thickness given.
    pub breadth: Length,
    /// The depth given.
    pub depth: Length,
}

impl Section {
    /// The dressed dry size of a nominal one.
    pub const fn dressed(nominal: Nominal) -> Self {
        let quarters_deep = match nominal {
            Nominal::TwoByFour => 14,
            Nominal::TwoBySix => 22,
            Nominal::TwoByEight => 29,
            Nominal::TwoByTen => 37,
            Nominal::TwoByTwelve => 45,
        };
        Section {
            breadth: Length::sixteenths(24),
            depth: Length::sixteenths(quarters_deep * 4),
        }
    }

    /// A size as measured.
    ///
    /// # Errors
    /// Where no framing lumber has such a size: then the tape was misread, or it is something else.
    pub fn measured(breadth: Length, depth: Length) -> Result<Self, NoSuchSize> {
        let thick = Length::inches(1)..=Length::inches(4);
        let deep = Length::sixteenths(40)..=Length::inches(16);
        if thick.contains(&breadth) && deep.contains(&depth) {
            Ok(Section { breadth, depth })
        } else {
            Err(NoSuchSize { breadth, depth })
        }
    }

    /// Several of them side by side, nailed together to bend as one.
    #[must_use]
    pub fn plies(self, plies: u8) -> Self {
        Section {
            breadth: self.breadth * i64::from(plies),
            ..self
        }
    }

    /// The horizontal side.
    pub const fn breadth(self) -> Length {
        self.breadth
    }

    /// The vertical side.
    pub const fn depth(self) -> Length {
        self.depth
    }

    /// A = b·d.
    pub fn area(self) -> Area {
        Area::from_in2(self.breadth.to_in() * self.depth.to_in())
    }

    /// Section modulus S = b·d²/6.
    pub fn modulus(self) -> Volume {
        Volume::from_in3(self.breadth.to_in() * self.depth.to_in().powi(2) / 6.0)
    }

    /// Moment of inertia I = b·d³/12, in⁴.
    pub fn inertia_in4(self) -> f64 {
        self.breadth.to_in() * self.depth.to_in().powi(3) / 12.0
    }

    /// E·I.
    pub fn stiffness(self, modulus_of_elasticity: Stress) -> Stiffness {
        Stiffness::from_lb_in2(modulus_of_elasticity.psi() * self.inertia_in4())
    }

    /// The nominal depth by which design values go: the least of 4, 5, 6, 8, 10, 12 and 14 in that the section
    /// does not pass. Full-sawn and older, thicker-dressed lumber falls in its own nominal class.
    pub fn nominal_depth(self) -> NominalDepth {
        NominalDepth::ALL
            .into_iter()
            .find(|class| self.depth <= Length::inches(class.inches()))
            .unwrap_or(NominalDepth::Fourteen)
    }
}

/// Nominal depth of dimension lumber.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum NominalDepth {
    /// Up to 4 in.
    Four,
    /// 5 in.
    Five,
    /// 6 in.
    Six,
    /// 8 in.
    Eight,
    /// 10 in.
    Ten,
    /// 12 in.
    Twelve,
    /// 14 in and deeper.
    Fourteen,
}

impl NominalDepth {
    /// All of them, the shallowest first.
    pub const ALL: [NominalDepth; 7] = [
        NominalDepth::Four,
        NominalDepth::Five,
        NominalDepth::Six,
        NominalDepth::Eight,
        NominalDepth::Ten,
        NominalDepth::Twelve,
        NominalDepth::Fourteen,
    ];

    /// In inches.
    pub const fn inches(self) -> i64 {
        match self {
            NominalDepth::Four => 4,
            NominalDepth::Five => 5,
            NominalDepth::Six => 6,
            NominalDepth::Eight => 8,
            NominalDepth::Ten => 10,
            NominalDepth::Twelve => 12,
            NominalDepth::Fourteen => 14,
        }
    }
}

/// Bending stiffness E·I.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Stiffness(f64);

impl Stiffness {
    /// From lb·in².
    pub const fn from_lb_in2(value: f64) -> Self {
        Stiffness(value)
    }

    /// In lb·in².
    pub const fn lb_in2(self) -> f64 {
        self.0
    }
}

impl Measured for Stiffness {
    fn value(&self) -> f64 {
        self.0
    }
    fn unit(&self) -> &'static str {
        "lb·in²"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dressed_sizes_have_the_properties_of_the_table() {
        // Facts D3: A, S, I of the dressed sizes, derived; NDS Supplement Table 1B lists the same.
        for (nominal, a, s, i) in [
            (Nominal::TwoByFour, 5.25, 3.0625, 5.3594),
            (Nominal::TwoBySix, 8.25, 7.5625, 20.7969),
            (Nominal::TwoByEight, 10.875, 13.1406, 47.6348),
            (Nominal::TwoByTen, 13.875, 21.3906, 98.9316),
            (Nominal::TwoByTwelve, 16.875, 31.6406, 177.9785),
        ] {
            let section = Section::dressed(nominal);
            assert!((section.area().in2() - a).abs() < 1e-9, "{nominal:?}");
            assert!((section.modulus().in3() - s).abs() < 5e-5, "{nominal:?}");
            assert!((section.inertia_in4() - i).abs() < 5e-5, "{nominal:?}");
            let double = section.plies(2);
            assert!((double.inertia_in4() - 2.0 * section.inertia_in4()).abs() < 1e-9);
        }
    }

    #[test]
    fn full_sawn_and_older_dressed_sizes_fall_in_their_own_class() {
        for (sixteenths, class) in [
            (56, NominalDepth::Four),
            (58, NominalDepth::Four),
            (64, NominalDepth::Four),
            (72, NominalDepth::Five),
            (88, NominalDepth::Six),
            (90, NominalDepth::Six),
            (96, NominalDepth::Six),
            (122, NominalDepth::Eight),
            (154, NominalDepth::Ten),
            (192, NominalDepth::Twelve),
            (212, NominalDepth::Fourteen),
        ] {
            let section =
                Section::measured(Length::inches(2), Length::sixteenths(sixteenths)).unwrap();
            assert_eq!(section.nominal_depth(), class, "{sixteenths}/16");
        }
    }

    #[test]
    fn sizes_that_no_lumber_has_are_refused() {
        for (breadth, depth) in [(0, 6), (-2, 6), (2, 0), (6, 8), (2, 40)] {
            let error = Section::measured(Length::inches(breadth), Length::inches(depth));
            assert!(error.is_err(), "{breadth} × {depth}");
        }
    }
}
