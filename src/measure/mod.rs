//! Lengths as read off a tape, and the other quantities of the trade, typed.
//!
//! * [`Length`] is an exact whole number of 25 nanometres; [`Reading`] is a length together with the
//!   system it was read in, so that what a surveyor typed is what everybody sees later.
//! * [`Reading::parse`] turns typed text into a reading, or says in one sentence what to mend.
//! * [`Reading::show`] and [`Length::show`] put lengths on the divisions of a [`Tape`].
//! * [`quantity`] holds areas, airflows, pressures and the rest: one type each, the unit in every name.
//! * [`Figure`] is one computed number with its name and unit, for reports.
//!
//! This module refuses to guess. Text that can be read two ways (`1,600 mm`, `36 14`, `51/4`) is an error
//! with a sentence, never a value.
//!
//! # Why not a general unit library
//!
//! * The trade has its own units: 1/64 in, pitch in twelfths, cfm, inches of water, horsepower. The type
//!   of a value and the name of its reader should be those words.
//! * Lengths must be exact. A tape reads 36 1/2 in or 914 mm, and both must come back as typed after any
//!   number of sums and saves. Whole numbers of a unit that divides both do that; binary fractions do not.
//! * Bad text must end in a sentence that a person on a ladder can act on.
//! * A few plain types compile quickly, and read like the handbook.

mod figure;
mod length;
mod parse;
pub mod quantity;
mod show;

pub use figure::{CubicInches, Figure, Measured};
pub use length::{BareUnit, Length, Reading, System, Tape};
pub use parse::LengthError;
pub use quantity::{
    AirChanges, Airflow, Altitude, Angle, Area, AreaLoad, Current, Density, Force, HeatRate,
    Humidity, LineLoad, Moment, MotorPower, Pitch, Power, Pressure, QuantityError, Resistance,
    ResistancePerLength, Speed, Stress, Temperature, Voltage, Volume,
};
pub use show::{Shown, Style};

#[cfg(test)]
mod tests;
