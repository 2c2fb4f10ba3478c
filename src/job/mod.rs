//! What follows from a verdict: the opening's layout, cut list, boards to buy.
//!
//! * [`layout`] — where to drill, what to cut, and each piece of wood in its place.
//! * [`boards`] — which boards to buy for a cut list, with the least bought in all.

pub mod boards;
pub mod layout;
