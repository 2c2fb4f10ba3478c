//! joistlight surveys a house for a whole-house fan.
//!
//! The modules, in the order that data flows:
//!
//! * [`measure`] — lengths as they are read off a tape and the other quantities, typed.
#![warn(missing_docs)]

pub mod measure;
