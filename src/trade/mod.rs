//! The trade's arithmetic, one computation a file; knows nothing of surveys or screens.
//!
//! * [`source`] — where a figure comes from, and how sure that is.
//! * [`codes`] — editions of the codes as data, since their figures changed.
//! * [`fan`] — a fan's sheet, and the list of fans that an office offers.
//! * [`solid`] — boxes, round runs and posts, and the room that a fan needs among them.
//! * [`roof`] — the height of a roof over a rectangle, and the clearance square to it.
//! * [`placement`] — where in a hall the opening goes.

pub mod codes;
pub mod fan;
pub mod placement;
pub mod roof;
pub mod solid;
pub mod source;
