//! The roof over a spot: two planes that meet in a ridge.
//!
//! *Units*: heights from the top of the joists to the **underside** of the rafters; slope as rise in 12.

use crate::measure::{Length, Pitch};

/// Which way a roof falls, in a spot's frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fall {
    /// Towards *ahead*.
    Ahead,
    /// Away from *ahead*.
    Back,
    /// Towards *left*.
    Left,
    /// Away from *left*.
    Right,
}

/// A roof over a spot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roof {
    /// Height of its underside over the mark.
    pub height: Length,
    /// Its slope, where it has one.
    pub slope: Option<Slope>,
}

/// How a roof slopes; beyond the ridge it falls again as steeply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// How steep it is.
    pub pitch: Pitch,
    /// Which way it falls at the mark.
    pub fall: Fall,
    /// Level distance from the mark uphill to the ridge.
    pub ridge: Length,
}
