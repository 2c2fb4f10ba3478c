//! How far insulation stays away from the fan, and how high the dam round its opening is.
//!
//! # Units
//! Lengths.
//!
//! # Source
//! * Combustible insulation at least 3 in from fan motors and other things that give off heat: IRC R302.14
//!   (section and purpose confirmed, the 3 in from memory).
//! * Loose fill is held back from an opening by a dam of wood: IRC 2024 N1102.2.5.1, of the hatch (confirmed; that the fan's opening needs it too is our judgement).
//! * At least 1 in of air between insulation and roof at the eave: IRC R806.3 (confirmed).

use crate::measure::{Area, Length};

/// How far combustible insulation stays from the motor.
pub const FROM_MOTOR: Length = Length::inches(3);
/// The least air space over the insulation at the eave.
pub const AIR_AT_EAVE: Length = Length::inches(1);

/// How far a dam must rise over the tops of the joists: the joists and headers hold back the rest.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::insulation_clearance::dam_over_joists;
/// assert_eq!(dam_over_joists(Length::inches(14), Length::sixteenths(88)), Length::sixteenths(136));
/// assert_eq!(dam_over_joists(Length::inches(4), Length::sixteenths(88)), Length::ZERO);
/// ```
pub fn dam_over_joists(insulation: Length, joist_depth: Length) -> Length {
    (insulation - joist_depth).max(Length::ZERO)
}

/// The attic floor to be kept clear of combustible insulation round a fan frame of this size.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::insulation_clearance::cleared_area;
/// let clear = cleared_area(Length::inches(30), Length::inches(42));
/// assert_eq!(clear.in2().round(), 36.0 * 48.0);
/// ```
pub fn cleared_area(length: Length, width: Length) -> Area {
    (length + FROM_MOTOR * 2) * (width + FROM_MOTOR * 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn insulation_just_level_with_the_joists_needs_no_dam() {
        let joist = Length::sixteenths(116);
        assert_eq!(dam_over_joists(joist, joist), Length::ZERO);
        assert_eq!(
            dam_over_joists(joist + Length::sixteenths(1), joist),
            Length::sixteenths(1)
        );
    }
}
