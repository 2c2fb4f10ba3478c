//! Whether cutting the ceiling falls under the federal rule for lead paint.
//!
//! # Units
//! Painted area in ft².
//!
//! # Source
//! 40 CFR 745.83 (confirmed): homes built before 1978 come under it unless the paint is shown to be
//! free of lead. Exempt as minor repair is at most 6 ft² of painted surface a room indoors, all work of 30 days
//! together, panels that are cut out counting with their whole area, and only without demolition of the painted
//! surface, prohibited practice or window replacement. Cutting ceiling holes to reach an attic is named as
//! renovation. Whether sawing out a painted ceiling is demolition, the text leaves open: plan for it (our judgement).

use crate::measure::Area;

/// The first year of building in which the rule no longer looks at a house.
pub const FREE_FROM_YEAR: u32 = 1978;
/// The most painted surface a room that counts as minor repair indoors; the limit itself still does.
pub const MINOR_REPAIR: Area = Area::from_ft2(6.0);

/// What the rule asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LeadWork {
    /// Built later, or shown to be free of lead: nothing.
    Free,
    /// Minor repair: exempt.
    Minor,
    /// A certified firm and lead-safe work.
    Certified,
}

/// What cutting this much painted ceiling asks in a house of this year.
///
/// # Examples
/// 36 × 24 in is 6.00 ft² and just minor; 30 × 30 in is 6.25 ft² (derived).
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::lead_paint::{LeadWork, lead_work};
/// let cut = |a, b| Length::inches(a) * Length::inches(b);
/// assert_eq!(lead_work(1950, false, cut(36, 24), false), LeadWork::Minor);
/// assert_eq!(lead_work(1950, false, cut(30, 30), false), LeadWork::Certified);
/// assert_eq!(lead_work(1950, false, cut(24, 24), true), LeadWork::Certified); // demolition
/// assert_eq!(lead_work(1978, false, cut(38, 38), true), LeadWork::Free);
/// ```
pub fn lead_work(
    year_built: u32,
    shown_lead_free: bool,
    painted_area: Area,
    demolition: bool,
) -> LeadWork {
    if year_built >= FREE_FROM_YEAR || shown_lead_free {
        LeadWork::Free
    } else if demolition || painted_area.ft2() > MINOR_REPAIR.ft2() + 1e-9 {
        LeadWork::Certified
    } else {
        LeadWork::Minor
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;

    #[test]
    fn six_square_feet_are_within_and_demolition_voids_it() {
        let cut = |a, b| Length::inches(a) * Length::inches(b);
        for (a, b, area, minor) in [
            (24, 24, 4.00, true),
            (36, 24, 6.00, true),
            (30, 30, 6.25, false),
            (38, 38, 10.03, false),
        ] {
            assert!((cut(a, b).ft2() - area).abs() < 0.005);
            let want = if minor {
                LeadWork::Minor
            } else {
                LeadWork::Certified
            };
            assert_eq!(lead_work(1977, false, cut(a, b), false), want);
            assert_eq!(lead_work(1977, false, cut(a, b), true), LeadWork::Certified);
            assert_eq!(lead_work(1977, true, cut(a, b), true), LeadWork::Free);
        }
    }
}
