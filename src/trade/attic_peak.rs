//! How hot an attic gets on a summer afternoon, when nobody is there to measure it.
//!
//! # Units
//! Temperatures in °F.
//!
//! # Source
//! Florida Solar Energy Center, FSEC-CR-1220-00: the attic under dark shingles peaked about 40 °F over the air
//! outdoors in the summer's peak hour (www.fsec.ucf.edu/en/publications/html/FSEC-CR-1220-00;
//! confirmed). On a day of 95 °F that is about 135 °F (derived).

use crate::measure::Temperature;

/// The summer day that wiring is judged for.
pub const DESIGN_DAY: Temperature = Temperature::from_f(95.0);

/// The attic's peak on a day that peaks at this temperature outdoors.
///
/// # Examples
/// ```
/// use joistlight::trade::attic_peak::{DESIGN_DAY, attic_peak};
/// assert_eq!(attic_peak(DESIGN_DAY).f(), 135.0);
/// ```
pub const fn attic_peak(outdoors: Temperature) -> Temperature {
    Temperature::from_f(outdoors.f() + 40.0)
}
