//! Nails: what one carries across its length, how many hold a header's end, and what they weigh.
//!
//! # Units
//! [`Force`] a nail, diameters and lengths as [`Length`].
//!
//! # Source
//! NDS 12.3.1, yield mode IV in single shear with a side member 1 1/2 in thick (formula from memory; its values agree
//! with NDS Table 12N as remembered): Z = D²/Kd·√(2·Fe·Fyb/(3·(1+Re))) with both members of one species
//! (Re = 1), Fe = 16,600·G^1.84 psi, Kd = 2.2 up to 0.17 in and 10·D + 0.5 above, Fyb = 100, 90, 80 ksi up to 0.142,
//! 0.177, 0.236 in; in end grain 0.67 of it, toenailed 0.83. Nail sizes: IRC Table R602.3(1) and ASTM F1667 (8d common,
//! 10d and 16d box confirmed, the rest from memory). Three nails at each header end: framing handbooks (confirmed).
//! The values ask for a penetration of ten diameters; shorter nails carry less.
//! Weight: the shank's volume in steel of 490 lb/ft³, head and point left out (derived); within 3 % of the counts a
//! pound that handbooks print, 106 of 8d, 63 of 12d and 49 of 16d common nails (from memory).
//!
//! # Examples
//! Three 16d common nails driven through a Douglas Fir-Larch trimmer into a header's end carry 283 lb:
//! ```
//! use joistlight::trade::fastening::{Nail, end_nails, END_GRAIN};
//! let one = Nail::Common16d.across(0.50);
//! assert_eq!(one.lb().round(), 141.0);
//! assert_eq!((3.0 * one.lb() * END_GRAIN).round(), 283.0);
//! assert_eq!(end_nails(one * 3.0 * END_GRAIN * 0.99, 0.50), 3);
//! assert_eq!(end_nails(one * 3.0 * END_GRAIN * 1.01, 0.50), 4);
//! ```

use crate::measure::{Force, Length};

/// The nails that framing is driven together with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Nail {
    /// 4d common, 1 1/2 × 0.099 in.
    Common4d,
    /// 6d common, 2 × 0.113 in.
    Common6d,
    /// 8d common, 2 1/2 × 0.131 in.
    Common8d,
    /// 10d common, 3 × 0.148 in.
    Common10d,
    /// 12d common, 3 1/4 × 0.148 in.
    Common12d,
    /// 16d common, 3 1/2 × 0.162 in.
    Common16d,
    /// 20d common, 4 × 0.192 in.
    Common20d,
    /// 10d box, 3 × 0.128 in.
    Box10d,
    /// 16d box, 3 1/2 × 0.135 in.
    Box16d,
    /// 16d sinker, 3 1/4 × 0.148 in.
    Sinker16d,
    /// Ring-shank drywall nail, 1 5/8 × 0.098 in, for boards up to 5/8 in (common practice, no source).
    Drywall,
}

/// In end grain a nail carries this part of its value.
pub const END_GRAIN: f64 = 0.67;
/// A toenail carries this part of its value.
pub const TOENAIL: f64 = 0.83;
/// The least nails at each header end.
pub const LEAST_END_NAILS: u32 = 3;

impl Nail {
    /// How long it is.
    pub const fn length(self) -> Length {
        Length::sixteenths(match self {
            Nail::Common4d => 24,
            Nail::Common6d => 32,
            Nail::Common8d => 40,
            Nail::Common10d | Nail::Box10d => 48,
            Nail::Common12d | Nail::Sinker16d => 52,
            Nail::Common16d | Nail::Box16d => 56,
            Nail::Common20d => 64,
            Nail::Drywall => 26,
        })
    }

    /// How thick its shank is.
    pub const fn diameter(self) -> Length {
        Length::thousandths_in(match self {
            Nail::Common4d => 99,
            Nail::Common6d => 113,
            Nail::Common8d => 131,
            Nail::Common10d | Nail::Common12d | Nail::Sinker16d => 148,
            Nail::Common16d => 162,
            Nail::Common20d => 192,
            Nail::Box10d => 128,
            Nail::Box16d => 135,
            Nail::Drywall => 98,
        })
    }

    /// The longest common nail, 12d at most, that ends within wood so thick in all; none where even 4d comes out.
    ///
    /// # Examples
    /// Packing of 1/4 in on a joist of 1 1/2 in takes 4d, two boards of 1 1/2 in take 10d:
    /// ```
    /// use joistlight::measure::Length;
    /// use joistlight::trade::fastening::Nail;
    /// assert_eq!(Nail::within(Length::sixteenths(28)), Some(Nail::Common4d));
    /// assert_eq!(Nail::within(Length::inches(3)), Some(Nail::Common10d));
    /// assert_eq!(Nail::within(Length::inches(8)), Some(Nail::Common12d));
    /// assert_eq!(Nail::within(Length::inches(1)), None);
    /// ```
    pub fn within(wood: Length) -> Option<Nail> {
        [
            Nail::Common12d,
            Nail::Common10d,
            Nail::Common8d,
            Nail::Common6d,
            Nail::Common4d,
        ]
        .into_iter()
        .find(|it| it.length() <= wood)
    }

    /// What it weighs.
    ///
    /// # Examples
    /// ```
    /// use joistlight::trade::fastening::Nail;
    /// assert_eq!((1.0 / Nail::Common12d.weight().lb()).round(), 63.0);
    /// ```
    pub fn weight(self) -> Force {
        /// Pounds a cubic inch.
        const STEEL: f64 = 490.0 / 1728.0;
        let d = self.diameter().to_in();
        Force::from_lb(std::f64::consts::FRAC_PI_4 * d * d * self.length().to_in() * STEEL)
    }

    /// What it carries across its length in wood of this specific gravity, driven into side grain.
    pub fn across(self, specific_gravity: f64) -> Force {
        let d = self.diameter().to_in();
        let bearing = 16_600.0 * specific_gravity.powf(1.84);
        let kd = if d <= 0.17 { 2.2 } else { 10.0 * d + 0.5 };
        let yields = match d {
            d if d <= 0.142 => 100_000.0,
            d if d <= 0.177 => 90_000.0,
            _ => 80_000.0,
        };
        Force::from_lb(d * d / kd * (2.0 * bearing * yields / (3.0 * 2.0)).sqrt())
    }
}

/// How many 16d common nails through a trimmer into a header's end carry `load`, and never fewer than three.
pub fn end_nails(load: Force, specific_gravity: f64) -> u32 {
    let one = Nail::Common16d.across(specific_gravity) * END_GRAIN;
    ((load / one).ceil() as u32).max(LEAST_END_NAILS)
}

/// How many of another nail carry what so many 16d common nails do, in any one wood.
///
/// # Examples
/// ```
/// use joistlight::trade::fastening::{Nail, in_place_of_16d};
/// assert_eq!(in_place_of_16d(3, Nail::Common12d), 4);
/// assert_eq!(in_place_of_16d(5, Nail::Common12d), 6);
/// ```
pub fn in_place_of_16d(count: u32, nail: Nail) -> u32 {
    // Which wood does not matter: its bearing strength stands in both values alike.
    let wood = 0.50;
    (f64::from(count) * (Nail::Common16d.across(wood) / nail.across(wood)) - 1e-9).ceil() as u32
}

/// How many 12d common nails hold each piece of a header's end that so many 16d common nails in all would carry; never
/// fewer than stand for the least of a header's end.
///
/// # Examples
/// ```
/// use joistlight::trade::fastening::in_each_piece;
/// assert_eq!((in_each_piece(3, 1), in_each_piece(7, 2)), (4, 5));
/// ```
pub fn in_each_piece(count_16d: u32, pieces: u32) -> u32 {
    in_place_of_16d(count_16d, Nail::Common12d)
        .div_ceil(pieces.max(1))
        .max(in_place_of_16d(LEAST_END_NAILS, Nail::Common12d))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nails_carry_what_the_table_says() {
        // Facts E11 (derived; agree with NDS Table 12N as remembered): SP, DF-L, H-F, S-P-F.
        for (nail, values) in [
            (Nail::Common16d, [154., 141., 122., 120.]),
            (Nail::Common10d, [128., 117., 102., 100.]),
            (Nail::Common12d, [128., 117., 102., 100.]),
            (Nail::Sinker16d, [128., 117., 102., 100.]),
            (Nail::Box16d, [112., 103., 90., 88.]),
            (Nail::Box10d, [101., 93., 81., 79.]),
            (Nail::Common8d, [106., 97., 84., 83.]),
            (Nail::Common20d, [185., 169., 147., 144.]),
        ] {
            for (gravity, expected) in [0.55, 0.50, 0.43, 0.42].into_iter().zip(values) {
                let value = nail.across(gravity).lb();
                assert!(
                    (value - expected).abs() <= 0.75,
                    "{nail:?} {gravity}: {value}"
                );
            }
        }
    }

    #[test]
    fn counts_a_pound_are_those_of_the_handbooks() {
        for (nail, handbook, in_round_numbers) in [
            // Handbooks (from memory); a printed table in round numbers (woodtools.nov.ru, "About nails").
            (Nail::Common8d, 106.0, 100.0),
            (Nail::Common12d, 63.0, 60.0),
            (Nail::Common16d, 49.0, 50.0),
        ] {
            let ours = 1.0 / nail.weight().lb();
            assert!((ours / handbook - 1.0).abs() < 0.03, "{nail:?}: {ours}");
            assert!(
                (ours / in_round_numbers - 1.0).abs() < 0.06,
                "{nail:?}: {ours}"
            );
        }
    }

    #[test]
    fn a_header_end_has_three_nails_at_least() {
        assert_eq!(end_nails(Force::from_lb(0.0), 0.42), 3);
        assert_eq!(end_nails(Force::from_lb(500.0), 0.42), 7);
        assert_eq!(Nail::Common16d.length(), Length::sixteenths(56));
    }
}
