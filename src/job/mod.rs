//! What follows from a verdict: the opening's layout, cut list, boards to buy.
//!
//! * [`boards`] — which boards to buy for a cut list, with the least bought in all.

pub mod boards;
