//! Solids in a spot's frame: what stands in an attic, and the room that a fan needs.
//!
//! The frame: *ahead* down the hall, *left* of it, *up* from the top of the joists; the origin is the mark.
//!
//! *Units*: lengths, held exactly.

use crate::measure::Length;

/// From one place to another on one axis, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Span {
    /// The lower end.
    pub low: Length,
    /// The higher end.
    pub high: Length,
}

impl Span {
    /// From `low` to `high`.
    pub const fn new(low: Length, high: Length) -> Self {
        Span { low, high }
    }

    /// So long, with its middle there; the length is exact even where half of it is none of 25 nm.
    pub fn about(middle: Length, length: Length) -> Self {
        let low = middle - length / 2;
        Span {
            low,
            high: low + length,
        }
    }

    /// Its length.
    pub fn length(self) -> Length {
        self.high - self.low
    }

    /// Its middle.
    pub fn middle(self) -> Length {
        self.low + self.length() / 2
    }

    /// Whether the two have more in common than an end.
    pub fn overlaps(self, other: Span) -> bool {
        self.low < other.high && other.low < self.high
    }

    /// Whether `other` lies wholly within.
    pub fn holds(self, other: Span) -> bool {
        self.low <= other.low && other.high <= self.high
    }
}

/// A point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Point {
    /// Down the hall.
    pub ahead: Length,
    /// To the left of it.
    pub left: Length,
    /// Over the top of the joists.
    pub up: Length,
}

/// A box that stands square to the hall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Block {
    /// Its extent down the hall.
    pub ahead: Span,
    /// Its extent across the hall.
    pub left: Span,
    /// Its extent in height.
    pub up: Span,
}

/// A round run between two points, level or sloping, with round ends: a ball drawn along its middle line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Run {
    /// One end of the middle line.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Outside diameter.
    pub diameter: Length,
}

/// A round post that stands upright, with flat ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Post {
    /// Its middle, down the hall.
    pub ahead: Length,
    /// Its middle, to the left.
    pub left: Length,
    /// Outside diameter.
    pub diameter: Length,
    /// Its extent in height.
    pub up: Span,
}

/// Something solid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Solid {
    /// A box.
    Block(Block),
    /// A lying or sloping round run.
    Run(Run),
    /// An upright round post.
    Post(Post),
}
