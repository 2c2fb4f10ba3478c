//! Solids in a spot's frame: what stands in an attic, and the room that a fan needs among it.
//!
//! The frame: *ahead* down the hall, *left* of it, *up* from the top of the joists; the origin is the mark.
//!
//! *Units*: lengths, held exactly. Boxes and posts are compared in whole numbers; a run's ends that are not whole
//! numbers of 25 nm are rounded outwards, so that nothing is ever called clear which is not.
//!
//! *Source*: solid geometry (derived; checked against trimesh, tests/outside/solids.rs). A block runs into a round run when the
//! run's middle line comes nearer to it than half the diameter.
//!
//! # Examples
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::solid::{Block, Line, Point, Run, Solid, Span, Way};
//! let inch = Length::inches;
//! // The usual cube of 36 in over the mark, and a 6 in duct that crosses it with its underside at 32 in.
//! let space = Block {
//!     ahead: Span::about(Length::ZERO, inch(36)),
//!     left: Span::about(Length::ZERO, inch(36)),
//!     up: Span::new(Length::ZERO, inch(36)),
//! };
//! let duct = Solid::Run(Run {
//!     from: Point { ahead: inch(-60), left: inch(10), up: inch(35) },
//!     to: Point { ahead: inch(60), left: inch(10), up: inch(35) },
//!     diameter: inch(6),
//! });
//! assert!(duct.hits(&space));
//! // It is clear once it lies 4 in higher.
//! let shift = duct.least_shift(&[space], &[Way::Up, Way::Left]).unwrap();
//! assert_eq!((shift.way, shift.by), (Way::Up, inch(4)));
//! // A space of 31 in under it would be clear by an inch.
//! let low = Block { up: Span::new(Length::ZERO, inch(31)), ..space };
//! assert_eq!(duct.clearance(&low), inch(1));
//! ```

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

/// A line of the frame, along which things can be moved either way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Line {
    /// Down the hall.
    Ahead,
    /// Across it.
    Left,
    /// Upright.
    Up,
}

/// A way in which something can be moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// Down the hall.
    Ahead,
    /// The other way.
    Back,
    /// To the left, looking down the hall.
    Left,
    /// To the right.
    Right,
    /// Upwards.
    Up,
}

impl Way {
    /// The four ways over the floor.
    pub const LEVEL: [Way; 4] = [Way::Ahead, Way::Back, Way::Left, Way::Right];
    /// Those, and upwards.
    pub const ALL: [Way; 5] = [Way::Ahead, Way::Back, Way::Left, Way::Right, Way::Up];

    /// The English word, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Way::Ahead => "ahead",
            Way::Back => "back",
            Way::Left => "to the left",
            Way::Right => "to the right",
            Way::Up => "up",
        }
    }

    fn line(self) -> (Line, i64) {
        match self {
            Way::Ahead => (Line::Ahead, 1),
            Way::Back => (Line::Ahead, -1),
            Way::Left => (Line::Left, 1),
            Way::Right => (Line::Left, -1),
            Way::Up => (Line::Up, 1),
        }
    }
}

/// How far something must be moved, and which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Shift {
    /// Which way.
    pub way: Way,
    /// How far.
    pub by: Length,
}

impl Block {
    /// Its extent on one line.
    pub fn on(&self, line: Line) -> Span {
        match line {
            Line::Ahead => self.ahead,
            Line::Left => self.left,
            Line::Up => self.up,
        }
    }

    /// Whether the two have more in common than a face.
    pub fn overlaps(&self, other: &Block) -> bool {
        self.ahead.overlaps(other.ahead)
            && self.left.overlaps(other.left)
            && self.up.overlaps(other.up)
    }
}

impl Point {
    fn on(&self, line: Line) -> Length {
        match line {
            Line::Ahead => self.ahead,
            Line::Left => self.left,
            Line::Up => self.up,
        }
    }
}

/// How far a place lies outside a span.
fn gap(span: Span, at: Length) -> Length {
    (span.low - at).max(at - span.high).max(Length::ZERO)
}

/// How far two spans lie apart.
fn apart(a: Span, b: Span) -> Length {
    (a.low - b.high).max(b.low - a.high).max(Length::ZERO)
}

fn square(length: Length) -> i128 {
    let count = i128::from(length.in_25_nm());
    count * count
}

/// The square root of a whole number, rounded up.
fn root_up(square: i128) -> i64 {
    let mut root = (square as f64).sqrt() as i64;
    while i128::from(root) * i128::from(root) < square {
        root += 1;
    }
    while root > 0 && i128::from(root - 1) * i128::from(root - 1) >= square {
        root -= 1;
    }
    root
}

/// A computed number of 25 nm as a whole number: the nearest where it can only differ by the arithmetic's
/// own error, else the next one outwards.
fn outwards(count: f64, up: bool) -> i64 {
    let nearest = count.round();
    if (count - nearest).abs() < 1e-3 {
        nearest as i64
    } else if up {
        count.ceil() as i64
    } else {
        count.floor() as i64
    }
}

impl Solid {
    /// The smallest block around it.
    pub fn extent(&self) -> Block {
        match self {
            Solid::Block(block) => *block,
            Solid::Post(post) => Block {
                ahead: Span::about(post.ahead, post.diameter),
                left: Span::about(post.left, post.diameter),
                up: post.up,
            },
            Solid::Run(run) => {
                let radius = run.diameter - run.diameter / 2;
                let over = |line| {
                    let (a, b) = (run.from.on(line), run.to.on(line));
                    Span::new(a.min(b) - radius, a.max(b) + radius)
                };
                Block {
                    ahead: over(Line::Ahead),
                    left: over(Line::Left),
                    up: over(Line::Up),
                }
            }
        }
    }

    /// By how much `block` may be shifted on `line` to run into it: the open span between the two shifts at
    /// which it just touches. `None` where it passes by.
    pub fn hit(&self, block: &Block, line: Line) -> Option<Span> {
        let on = block.on(line);
        match self {
            Solid::Block(own) => {
                let across = [Line::Ahead, Line::Left, Line::Up];
                across
                    .into_iter()
                    .all(|other| other == line || own.on(other).overlaps(block.on(other)))
                    .then(|| Span::new(own.on(line).low - on.high, own.on(line).high - on.low))
            }
            Solid::Post(post) => {
                let ahead = gap(block.ahead, post.ahead);
                let left = gap(block.left, post.left);
                let across = match line {
                    Line::Up => {
                        return (4 * (square(ahead) + square(left)) < square(post.diameter))
                            .then(|| Span::new(post.up.low - on.high, post.up.high - on.low));
                    }
                    Line::Ahead => left,
                    Line::Left => ahead,
                };
                let rest = square(post.diameter) - 4 * square(across);
                if rest <= 0 || !post.up.overlaps(block.up) {
                    return None;
                }
                let half = root_up(rest);
                let half = Length::of_25_nm(half - half / 2);
                let middle = if line == Line::Ahead {
                    post.ahead
                } else {
                    post.left
                };
                Some(Span::new(middle - half - on.high, middle + half - on.low))
            }
            Solid::Run(run) => run.hit(block, line),
        }
    }

    /// The same where `block` must stay `clear` away from it all round: nearer is running into it, just so far is not.
    ///
    /// # Examples
    /// A chimney of 8 in whose middle is 20 in off: wood whose face is 13 1/2 in off leaves 2 1/2 in, and 15 in leaves 1.
    /// ```
    /// use joistlight::measure::Length;
    /// use joistlight::trade::solid::{Block, Line, Post, Solid, Span};
    /// let inch = Length::inches;
    /// let up = Span::new(inch(-6), inch(60));
    /// let chimney = Solid::Post(Post { ahead: inch(20), left: Length::ZERO, diameter: inch(8), up });
    /// let wood = |face: Length| Block {
    ///     ahead: Span::new(Length::ZERO, face),
    ///     left: Span::about(Length::ZERO, inch(30)),
    ///     up: Span::new(inch(-6), Length::ZERO),
    /// };
    /// assert_eq!(chimney.hit_within(&wood(Length::sixteenths(216)), Line::Left, inch(2)), None);
    /// assert!(chimney.hit_within(&wood(inch(15)), Line::Left, inch(2)).is_some());
    /// ```
    pub fn hit_within(&self, block: &Block, line: Line, clear: Length) -> Option<Span> {
        if clear <= Length::ZERO {
            return self.hit(block, line);
        }
        match self {
            // A ball drawn along the run's middle line, larger by the clearance: just what lies so near.
            Solid::Run(run) => Run {
                diameter: run.diameter + clear * 2,
                ..*run
            }
            .hit(block, line),
            Solid::Post(post) => {
                let over = apart(post.up, block.up);
                let rest = square(clear) - square(over);
                if rest <= 0 {
                    return None;
                }
                // So far above or below it, less of the clearance is left in plan.
                let level = Post {
                    diameter: post.diameter + Length::of_25_nm(root_up(rest)) * 2,
                    up: Span::new(post.up.low - clear, post.up.high + clear),
                    ..*post
                };
                match line {
                    Line::Up => {
                        let flat = gap(block.ahead, post.ahead).to_in();
                        let far = flat.hypot(gap(block.left, post.left).to_in());
                        let beside = far - post.diameter.to_in() / 2.0;
                        if beside >= clear.to_in() {
                            return None;
                        }
                        let more = (clear.to_in().powi(2) - beside.max(0.0).powi(2)).sqrt();
                        let more = Length::from_in(more) + Length::of_25_nm(1);
                        Some(Span::new(
                            post.up.low - more - block.up.high,
                            post.up.high + more - block.up.low,
                        ))
                    }
                    _ => Solid::Post(level).hit(block, line),
                }
            }
            Solid::Block(own) => {
                let mut rest = square(clear);
                for other in [Line::Ahead, Line::Left, Line::Up] {
                    if other != line {
                        rest -= square(apart(own.on(other), block.on(other)));
                    }
                }
                if rest <= 0 {
                    return None;
                }
                let more = Length::of_25_nm(root_up(rest));
                let (own, on) = (own.on(line), block.on(line));
                Some(Span::new(
                    own.low - more - on.high,
                    own.high + more - on.low,
                ))
            }
        }
    }

    /// Whether `block` comes nearer to it than `clear`.
    pub fn is_nearer(&self, block: &Block, clear: Length) -> bool {
        self.is_within(clear, block)
            && self
                .hit_within(block, Line::Ahead, clear)
                .is_some_and(|span| span.low < Length::ZERO && Length::ZERO < span.high)
    }

    /// Whether `block` runs into it; touching is not running into.
    pub fn hits(&self, block: &Block) -> bool {
        self.extent().overlaps(block)
            && self
                .hit(block, Line::Ahead)
                .is_some_and(|span| span.low < Length::ZERO && Length::ZERO < span.high)
    }

    /// The least move in one of these ways after which it runs into none of the blocks; `None` where it runs into
    /// none as it is. A tie goes to the way named first.
    pub fn least_shift(&self, blocks: &[Block], ways: &[Way]) -> Option<Shift> {
        self.least_shift_within(blocks.iter().map(|block| (*block, Length::ZERO)), ways)
    }

    /// The same where each block must stay so far away from it.
    pub fn least_shift_within(
        &self,
        blocks: impl Iterator<Item = (Block, Length)> + Clone,
        ways: &[Way],
    ) -> Option<Shift> {
        if !blocks.clone().any(|(block, clear)| match clear {
            Length::ZERO => self.hits(&block),
            _ => self.is_nearer(&block, clear),
        }) {
            return None;
        }
        ways.iter()
            .map(|way| {
                let (line, sign) = way.line();
                // To move the thing one way is to move the blocks the other way.
                let spans: Vec<Span> = blocks
                    .clone()
                    .filter_map(|(block, clear)| self.hit_within(&block, line, clear))
                    .map(|span| match sign {
                        1 => Span::new(-span.high, -span.low),
                        _ => span,
                    })
                    .collect();
                let mut by = Length::ZERO;
                while let Some(span) = spans.iter().find(|span| span.low < by && by < span.high) {
                    by = span.high;
                }
                Shift { way: *way, by }
            })
            .min_by_key(|shift| shift.by)
    }

    /// Whether it could lie within `distance` of the block, by its extent alone.
    pub fn is_within(&self, distance: Length, block: &Block) -> bool {
        let extent = self.extent();
        [Line::Ahead, Line::Left, Line::Up]
            .into_iter()
            .all(|line| apart(extent.on(line), block.on(line)) <= distance)
    }

    /// The distance between it and `block`; nothing where they touch or run into each other.
    pub fn clearance(&self, block: &Block) -> Length {
        let level = |a: Length, b: Length| (a.to_in().powi(2) + b.to_in().powi(2)).sqrt();
        match self {
            Solid::Block(own) => {
                let up = apart(own.up, block.up).to_in();
                let level = level(apart(own.ahead, block.ahead), apart(own.left, block.left));
                Length::from_in(level.hypot(up))
            }
            Solid::Post(post) => {
                let level = level(gap(block.ahead, post.ahead), gap(block.left, post.left));
                let level = (level - post.diameter.to_in() / 2.0).max(0.0);
                Length::from_in(level.hypot(apart(post.up, block.up).to_in()))
            }
            Solid::Run(run) => {
                let nearest = run.nearest(block);
                Length::from_in((nearest - run.diameter.to_in() / 2.0).max(0.0))
            }
        }
    }
}

/// A piece of a run's middle line, from `from` to `to` in shares of its length, on which each distance to a block
/// changes evenly: `at + share × per`.
struct Piece {
    from: f64,
    to: f64,
    gaps: [(f64, f64); 3],
}

impl Piece {
    /// The squared distance as `a t² + b t + c`.
    fn square(&self) -> (f64, f64, f64) {
        self.gaps.iter().fold((0.0, 0.0, 0.0), |sum, (at, per)| {
            (sum.0 + per * per, sum.1 + 2.0 * at * per, sum.2 + at * at)
        })
    }

    fn square_at(&self, share: f64) -> f64 {
        self.gaps
            .iter()
            .map(|(at, per)| (at + share * per).powi(2))
            .sum()
    }
}

impl Run {
    /// The pieces of the middle line, with the distances on these lines to the block.
    fn pieces(&self, block: &Block, lines: &[Line]) -> impl Iterator<Item = Piece> + use<'_> {
        let count = |length: Length| length.in_25_nm() as f64;
        let mut ends = [0.0_f64; 8];
        let mut many = 1;
        let mut on = [(0.0, 0.0, 0.0, 0.0); 3];
        for (index, line) in lines.iter().enumerate() {
            let (at, span) = (count(self.from.on(*line)), block.on(*line));
            let per = count(self.to.on(*line)) - at;
            let (low, high) = (count(span.low), count(span.high));
            on[index] = (at, per, low, high);
            if per != 0.0 {
                for end in [low, high] {
                    let share = (end - at) / per;
                    if share > 0.0 && share < 1.0 {
                        ends[many] = share;
                        many += 1;
                    }
                }
            }
        }
        ends[many] = 1.0;
        ends[1..many].sort_unstable_by(f64::total_cmp);
        (0..many).map(move |index| {
            let (from, to) = (ends[index], ends[index + 1]);
            let middle = (from + to) / 2.0;
            Piece {
                from,
                to,
                gaps: on.map(|(at, per, low, high)| {
                    let here = at + middle * per;
                    if here < low {
                        (low - at, -per)
                    } else if here > high {
                        (at - high, per)
                    } else {
                        (0.0, 0.0)
                    }
                }),
            }
        })
    }

    fn hit(&self, block: &Block, line: Line) -> Option<Span> {
        let others: [Line; 2] = match line {
            Line::Ahead => [Line::Left, Line::Up],
            Line::Left => [Line::Ahead, Line::Up],
            Line::Up => [Line::Ahead, Line::Left],
        };
        let count = |length: Length| length.in_25_nm() as f64;
        let diameter = count(self.diameter);
        let radius_square = diameter * diameter / 4.0;
        let at = count(self.from.on(line));
        let per = count(self.to.on(line)) - at;
        let mut reach: Option<(f64, f64)> = None;
        for piece in self.pieces(block, &others) {
            // The block reaches from `place − half` to `place + half` there, where `half` is what is left of the
            // radius: √(r² − distance²). Both are greatest at an end of the piece or where their rate of change is
            // nothing: 4 a k t² + 4 b k t + b² + 4 per² (c − r²) = 0 with k = a + per².
            let (a, b, c) = piece.square();
            let mut shares = [piece.from, piece.to, -1.0, -1.0, -1.0];
            if a > 0.0 {
                let k = a + per * per;
                let root = (b * b - a * (b * b + 4.0 * per * per * (c - radius_square)) / k)
                    .max(0.0)
                    .sqrt();
                shares[2] = (-b + root) / (2.0 * a);
                shares[3] = (-b - root) / (2.0 * a);
                shares[4] = -b / (2.0 * a);
            }
            for share in shares {
                if share < piece.from || share > piece.to {
                    continue;
                }
                let left = radius_square - piece.square_at(share);
                // Nearer than a thousandth of 25 nm to touching is touching.
                if left <= 1e-3 * diameter {
                    continue;
                }
                let (place, half) = (at + share * per, left.sqrt());
                let (low, high) = reach.unwrap_or((place - half, place + half));
                reach = Some((low.min(place - half), high.max(place + half)));
            }
        }
        let (low, high) = reach?;
        let on = block.on(line);
        Some(Span::new(
            Length::of_25_nm(outwards(low, false)) - on.high,
            Length::of_25_nm(outwards(high, true)) - on.low,
        ))
    }

    /// Distance in inches of its middle line from the block.
    fn nearest(&self, block: &Block) -> f64 {
        let square = self
            .pieces(block, &[Line::Ahead, Line::Left, Line::Up])
            .map(|piece| {
                let (a, b, _) = piece.square();
                let share = if a > 0.0 { -b / (2.0 * a) } else { piece.from };
                piece.square_at(share.clamp(piece.from, piece.to))
            })
            .fold(f64::INFINITY, f64::min);
        square.sqrt() / Length::inches(1).in_25_nm() as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(n: i64) -> Length {
        Length::inches(n)
    }

    fn cube() -> Block {
        Block {
            ahead: Span::about(Length::ZERO, inch(36)),
            left: Span::about(Length::ZERO, inch(36)),
            up: Span::new(Length::ZERO, inch(36)),
        }
    }

    fn point(ahead: i64, left: i64, up: i64) -> Point {
        Point {
            ahead: inch(ahead),
            left: inch(left),
            up: inch(up),
        }
    }

    #[test]
    fn blocks_touch_without_running_into_each_other() {
        let beside = |from: i64| {
            Solid::Block(Block {
                ahead: Span::new(inch(from), inch(from + 10)),
                ..cube()
            })
        };
        assert!(!beside(18).hits(&cube()));
        assert!(beside(17).hits(&cube()));
        let shift = beside(17).least_shift(&[cube()], &Way::ALL).unwrap();
        assert_eq!((shift.way, shift.by), (Way::Ahead, inch(1)));
        assert_eq!(beside(20).clearance(&cube()), inch(2));
        assert!(beside(20).least_shift(&[cube()], &Way::ALL).is_none());
    }

    #[test]
    fn a_post_at_the_corner_is_clear_by_the_corner_and_not_by_its_extent() {
        // 3-4-5: the middle lies 3 in and 4 in outside the corner, so a post of 10 in just touches.
        let post = |diameter: Length| {
            Solid::Post(Post {
                ahead: inch(21),
                left: inch(22),
                diameter,
                up: Span::new(inch(-10), inch(80)),
            })
        };
        assert!(!post(inch(10)).hits(&cube()));
        assert!(post(inch(10)).extent().overlaps(&cube()));
        assert!(post(inch(10) + Length::of_25_nm(4)).hits(&cube()));
        assert_eq!(post(inch(4)).clearance(&cube()), inch(3));
        let span = post(inch(10)).hit(&cube(), Line::Ahead).unwrap();
        assert_eq!(span.low, inch(21 - 18 - 3));
        assert_eq!(span.high, inch(21 + 18 + 3));
    }

    #[test]
    fn a_level_run_is_exact() {
        let run = Solid::Run(Run {
            from: point(-100, 21, 10),
            to: point(100, 21, 10),
            diameter: inch(6),
        });
        assert!(!run.hits(&cube()));
        let span = run.hit(&cube(), Line::Left).unwrap();
        assert_eq!((span.low, span.high), (Length::ZERO, inch(42)));
        assert_eq!(run.extent().left, Span::new(inch(18), inch(24)));
    }

    #[test]
    fn a_sloping_run_over_an_edge_is_clear_by_its_square_distance() {
        // Falls one in one across the box's upper edge; its middle line passes 4·√2 in from the edge.
        let run = |diameter| {
            Solid::Run(Run {
                from: point(0, 18 - 40, 44 + 40),
                to: point(0, 18 + 40, 44 - 40),
                diameter,
            })
        };
        let square = 8.0 / 2.0_f64.sqrt();
        assert!((run(inch(2)).clearance(&cube()).to_in() - (square - 1.0)).abs() < 1e-6);
        assert!(run(Length::from_in(2.0 * square + 0.001)).hits(&cube()));
        assert!(!run(Length::from_in(2.0 * square - 0.001)).hits(&cube()));
        // Shifting the block up by s brings it nearer by s/√2.
        let span = run(inch(2)).hit(&cube(), Line::Up).unwrap();
        assert!((span.low.to_in() - (square - 1.0) * 2.0_f64.sqrt()).abs() < 1e-6);
    }

    #[test]
    fn the_least_shift_clears_every_block_at_once() {
        // Two storeys of blocks: going up clears the lower one into the upper one.
        let lower = Block {
            up: Span::new(inch(-10), inch(0)),
            ..cube()
        };
        let wire = Solid::Run(Run {
            from: point(-100, 16, -2),
            to: point(100, 16, -2),
            diameter: inch(1),
        });
        let shift = wire
            .least_shift(&[lower, cube()], &[Way::Up, Way::Left])
            .unwrap();
        assert_eq!((shift.way, shift.by), (Way::Left, Length::sixteenths(40)));
        let up = wire.least_shift(&[lower, cube()], &[Way::Up]).unwrap();
        assert_eq!(up.by, Length::sixteenths(38 * 16 + 8));
    }
}
