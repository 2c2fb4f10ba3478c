//! Where in a hall the opening goes.
//!
//! *Units*: lengths, held exactly; the frame is the spot's (see [`solid`](super::solid)).

use crate::measure::Length;

/// The axis along which joists run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axis {
    /// Down the hall.
    Ahead,
    /// Across it.
    Left,
}

/// Whether joists are cut for the opening, or stand under the fan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Manner {
    /// Cut and headed.
    Cut,
    /// Left whole.
    Whole,
}

/// One place for the opening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The opening's middle, down the hall from the mark.
    pub ahead: Length,
    /// The opening's middle, to the left of the mark.
    pub left: Length,
    /// The joists to be cut, by their offsets; none where joists are left whole.
    pub cut: Vec<Length>,
    /// The joists that stand across the opening, by their offsets; none where joists are cut.
    pub standing: Vec<Length>,
    /// The joist whose face one edge of the opening is flush with; where joists are left whole, the one
    /// under the fixed vane.
    pub flush: Length,
    /// The joists left whole on either side of the opening, the lower offset first: they become trimmers.
    pub trimmers: (Length, Length),
    /// Level distance from the hall's centre.
    pub off_centre: Length,
    /// The obstacles that must be moved for it, by their number among the obstacles.
    pub moved_obstacles: Vec<usize>,
    /// The ceiling fixtures that must be moved for it, by their number among the fixtures.
    pub moved_fixtures: Vec<usize>,
}

/// Why there is no place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The shutter is wider than the hall, or longer; by so much.
    Hall {
        /// What is missing.
        by: Length,
    },
    /// The roof is too low everywhere; at its best place by so much.
    Roof {
        /// What is missing.
        by: Length,
    },
    /// No joist lies so that an edge can be flush with it (or the vane over it) within the walls.
    Joists,
    /// Things that nobody can move are in the way wherever it could go.
    Immovable,
}
