//! The trade's arithmetic, one computation a file; knows nothing of surveys or screens.
//!
//! * [`source`] — where a figure comes from, and how sure that is.
//! * [`codes`] — editions of the codes as data, since their figures changed.
//! * [`fan`] — a fan's sheet, and the list of fans that an office offers.

pub mod codes;
pub mod fan;
pub mod source;
