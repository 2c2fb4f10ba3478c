//! What follows from a verdict: the opening's layout, cut list, boards to buy.
//!
//! * [`layout`] — where to drill, what to cut, and each piece of wood in its place.
//! * [`cutlist`] — each piece of wood with its size, length, angle and use.
//! * [`boards`] — which boards to buy for a cut list, with the least bought in all.
//! * [`materials`] — fasteners, hangers, foam, dam and patches.

pub mod boards;
pub mod cutlist;
pub mod layout;
pub mod materials;
