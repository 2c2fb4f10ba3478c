//! Where in a hall the opening goes.
//!
//! *Units*: lengths, held exactly; the frame is the spot's (see [`solid`](super::solid)).
//!
//! *Source*: derived; checked against a search over every 1/16 in. That one edge of the opening is flush with a
//! joist's face, that fewest joists are cut, that the opening lies as near as it can to the middle of the hall, and
//! that joists left whole stand under the shutter's fixed vane, is common practice, no source.
//!
//! # What a place must have
//! * The shutter lies on the ceiling within the hall's walls and clear of everything fixed to it.
//! * Over the joists the fan's clear space, and the fan on its frame where that is bigger, runs into nothing and
//!   stays under the roof; below their top nothing runs through the opening.
//! * *Cut*: one edge of the opening is flush with a joist's face; the joists that it meets are cut, and a joist left
//!   whole stands on either side to carry the header pieces, which are set outside the opening, between the joists'
//!   bearings: one piece at either end, and two where joists are cut and the headers span so far that the code doubles
//!   them (see [`opening_frame`](super::opening_frame)).
//! * *Left whole*: a joist's middle lies under the shutter's fixed vane, either way round, and joists stand on
//!   either side.
//!
//! # How it is found
//! The joists leave only a few places across them. For each, everything in the way forbids an open span along the
//! joists; what is left between those spans is free, and its point nearest to the hall's middle is the place. So the
//! answer is exact, with no grid. Where nothing is free, a sweep over the ends of the spans finds the point with the
//! fewest things to move.
//!
//! # Examples
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::fan::generic;
//! use joistlight::trade::placement::{Axis, Manner, Placing, Site};
//! use joistlight::trade::solid::Span;
//! let inch = Length::inches;
//! // A hall of 20 ft × 4 ft, the mark at its middle, joists across it every 16 in.
//! let joists: Vec<Length> = (-8..=8).map(|n| inch(16 * n)).collect();
//! let site = Site::new(
//!     Axis::Left,
//!     Span::about(Length::ZERO, inch(240)),
//!     Span::about(Length::ZERO, inch(48)),
//!     joists,
//!     Some(Length::sixteenths(24)),
//!     None,
//!     None,
//!     [],
//!     [],
//! );
//! let fan = &generic().fans[0]; // opening 24 × 24 in
//! let Placing::Found { place, .. } = site.place(fan, Manner::Cut, Length::sixteenths(2)) else {
//!     panic!("there is room");
//! };
//! // Between joists at −16 and 16 in lie 30 1/2 in with one cut; flush with one of them, 3 1/4 in off the middle.
//! assert_eq!(place.cut, [Length::ZERO]);
//! assert_eq!(place.ahead.abs(), Length::sixteenths(52));
//! assert_eq!(place.trimmers, (inch(-16), inch(16)));
//! ```

use super::fan::Fan;
use super::opening_frame::{Plies, header_plies};
use super::roof::Roof;
use super::solid::{Block, Line, Shift, Solid, Span, Way};
use crate::measure::Length;

/// The axis along which joists run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axis {
    /// Down the hall.
    Ahead,
    /// Across it.
    Left,
}

impl Axis {
    const fn line(self) -> Line {
        match self {
            Axis::Ahead => Line::Ahead,
            Axis::Left => Line::Left,
        }
    }

    /// The one along the joists and the one across them, of a pair given ahead and left.
    fn split<T>(self, ahead: T, left: T) -> (T, T) {
        match self {
            Axis::Ahead => (ahead, left),
            Axis::Left => (left, ahead),
        }
    }
}

/// Whether joists are cut for the opening, or stand under the fan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Manner {
    /// Cut and headed.
    Cut,
    /// Left whole.
    Whole,
}

/// Something in the attic that may be in the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InAttic {
    /// Its shape and place.
    pub solid: Solid,
    /// Whether somebody could move it; `None` where that is not known, which counts as *could*.
    pub movable: Option<bool>,
}

/// Something on the ceiling that may be in the way of the shutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnCeiling {
    /// Its extent down the hall.
    pub ahead: Span,
    /// Its extent across the hall.
    pub left: Span,
    /// Whether somebody could move it; `None` where that is not known, which counts as *could*.
    pub movable: Option<bool>,
}

/// Something in the way, by its number in the list that the site was made with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Which {
    /// Of the things in the attic.
    InAttic(usize),
    /// Of the things on the ceiling.
    OnCeiling(usize),
}

/// One thing that must be moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Move {
    /// What.
    pub which: Which,
    /// Whether somebody could move it.
    pub movable: Option<bool>,
    /// The least move that clears the fan.
    pub shift: Shift,
    /// Whether a thing on the ceiling finds no room beside the shutter within the hall, so that it must go altogether.
    pub elsewhere: bool,
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
    /// Whether the shutter is turned half a turn from the way its sheet gives the fixed vane's place in.
    pub turned: bool,
    /// The joists left whole on either side of the opening, the lower offset first: they become trimmers.
    pub trimmers: (Length, Length),
    /// Level distance from the hall's middle.
    pub off_centre: Length,
    /// What must be moved for it.
    pub moves: Vec<Move>,
    /// Whether it would still be free, sliding along the joists at most, with everything larger by the tolerance.
    pub firm: bool,
}

impl Place {
    /// Where the shutter's fixed vane comes to lie, from the opening's middle: how far, and which way. `fixed_vane` is its
    /// place by the sheet, `axis` that along which the joists run; `None` where it lies in the middle, or where joists are
    /// cut and no joist stands under it.
    ///
    /// # Examples
    /// ```
    /// use joistlight::measure::Length;
    /// use joistlight::trade::fan::generic;
    /// use joistlight::trade::placement::{Axis, Manner, Placing, Site};
    /// use joistlight::trade::solid::{Span, Way};
    /// let inch = Length::inches(1);
    /// let hall = Span::about(Length::ZERO, inch * 240);
    /// let joists = (-8..=8).map(|n| inch * (16 * n)).collect();
    /// let site = Site::new(Axis::Left, hall, hall, joists, None, None, None, [], []);
    /// let mut fan = generic().fans[0].clone();
    /// fan.fixed_vane = inch;
    /// let Placing::Found { place, others } = site.place(&fan, Manner::Whole, inch) else {
    ///     panic!("there is room");
    /// };
    /// assert_eq!(place.vane(fan.fixed_vane, Axis::Left), Some((inch, Way::Ahead)));
    /// assert!(others[0].turned);
    /// assert_eq!(others[0].vane(fan.fixed_vane, Axis::Left), Some((inch, Way::Back)));
    /// ```
    pub fn vane(&self, fixed_vane: Length, axis: Axis) -> Option<(Length, Way)> {
        if self.standing.is_empty() || fixed_vane.is_zero() {
            return None;
        }
        let way = match (axis, fixed_vane.is_negative() == self.turned) {
            (Axis::Left, true) => Way::Ahead,
            (Axis::Left, false) => Way::Back,
            (Axis::Ahead, true) => Way::Left,
            (Axis::Ahead, false) => Way::Right,
        };
        Some((fixed_vane.abs(), way))
    }
}

/// Why there is no place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The shutter is longer or wider than the hall.
    Hall {
        /// By how much.
        by: Length,
    },
    /// Between the joists' bearings the opening and its headers at both ends, doubled where the code doubles them, find no
    /// room within walls and roof.
    Bearings {
        /// By how much.
        by: Length,
    },
    /// The roof is too low wherever the fan could stand in the hall.
    Roof {
        /// By how much at the best place.
        by: Length,
    },
    /// No joist lies so that an edge can be flush with it, or the fixed vane over it, within walls and roof.
    Joists {
        /// By how much the nearest one misses; `None` where there are too few joists.
        by: Option<Length>,
    },
    /// Things that nobody can move are in the way wherever it could go.
    InTheWay,
}

/// What comes of looking for a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Placing {
    /// It goes here.
    Found {
        /// The best place. Where nothing must be moved: fewest joists cut, then nearest to the hall's middle. Else
        /// fewest things to move first.
        place: Place,
        /// Where nothing must be moved: the best place of each other kind, by the number of joists cut, or with the
        /// shutter turned.
        others: Vec<Place>,
    },
    /// It goes nowhere.
    Nowhere {
        /// Why.
        why: Why,
        /// The least change that would make a place: what would have to be moved there, some of which nobody can.
        closest: Option<Place>,
    },
}

/// The shape of something in the way.
#[derive(Debug, Clone, Copy)]
enum Body {
    Attic(Solid),
    Ceiling,
}

#[derive(Debug, Clone, Copy)]
struct Keep {
    which: Which,
    body: Body,
    movable: Option<bool>,
    along: Span,
    across: Span,
    up: Span,
}

/// A hall with its joists, its roof and all that is in the way.
#[derive(Debug, Clone)]
pub struct Site {
    axis: Axis,
    along: Span,
    across: Span,
    joists: Vec<Length>,
    thickness: Option<Length>,
    bearings: Option<Span>,
    roof: Option<Roof>,
    /// In order of the lower end across the joists.
    keeps: Vec<Keep>,
    /// The widest of them across the joists.
    widest: Length,
}

/// A room that must be free, about the opening's middle.
#[derive(Debug, Clone, Copy)]
struct Room {
    along: Length,
    across: Length,
    up: Span,
}

/// What a fan needs, along and across the joists.
#[derive(Debug, Clone, Copy)]
struct Sizes {
    /// The opening's length.
    opening: Length,
    shutter: (Length, Length),
    rooms: [Room; 3],
    many: usize,
}

/// Nothing recorded lies lower under the top of the joists than this.
const DEEP: Length = Length::feet(-1000);

impl Sizes {
    fn of(fan: &Fan) -> Sizes {
        let (space, frame) = (fan.clear_space(), fan.frame);
        let over = |size: super::fan::Boxed| Room {
            along: size.length,
            across: size.width,
            up: Span::new(Length::ZERO, size.height),
        };
        let shaft = Room {
            along: fan.opening.length,
            across: fan.opening.width,
            up: Span::new(DEEP, Length::ZERO),
        };
        let within = frame.length <= space.length
            && frame.width <= space.width
            && frame.height <= space.height;
        Sizes {
            opening: fan.opening.length,
            shutter: (fan.shutter.length, fan.shutter.width),
            rooms: [over(space), shaft, over(frame)],
            many: if within { 2 } else { 3 },
        }
    }

    fn rooms(&self) -> &[Room] {
        &self.rooms[..self.many]
    }

    /// With everything larger by `by` on every side.
    fn larger(mut self, by: Length) -> Sizes {
        let both = by * 2;
        self.opening += both;
        self.shutter = (self.shutter.0 + both, self.shutter.1 + both);
        for room in &mut self.rooms {
            room.along += both;
            room.across += both;
            room.up.high += by;
        }
        self
    }
}

/// The blocks over the joists that a fan takes up about an opening's middle: the clear space that its sheet asks for,
/// and the fan on its frame.
pub fn rooms_over_joists(fan: &Fan, axis: Axis, ahead: Length, left: Length) -> [Block; 2] {
    [fan.clear_space(), fan.frame].map(|size| {
        let (long, wide) = axis.split(size.length, size.width);
        Block {
            ahead: Span::about(ahead, long),
            left: Span::about(left, wide),
            up: Span::new(Length::ZERO, size.height),
        }
    })
}

/// Where the middle of something so long may lie that it stays within `span`.
fn middles(span: Span, length: Length) -> Span {
    let half = length / 2;
    Span::new(span.low + half, span.high - (length - half))
}

fn common(a: Span, b: Span) -> Span {
    Span::new(a.low.max(b.low), a.high.min(b.high))
}

fn is_empty(span: Span) -> bool {
    span.low > span.high
}

/// Where the opening's middle may lie, along and across the joists, by walls and roof alone.
struct Field {
    along: Span,
    across: Span,
}

/// A place across the joists.
#[derive(Debug, Clone, Copy)]
struct Row {
    /// The number of joists cut, or whether the shutter is turned.
    kind: usize,
    /// Distance from the hall's middle, across the joists.
    off: Length,
    /// The opening's middle, across the joists.
    at: Length,
    /// The joist it is flush with, or that lies under the vane.
    flush: usize,
    /// The joists that it meets.
    meets: (usize, usize),
    /// Where its middle may lie along the joists, by walls, roof and the headers that it needs.
    range: Span,
}

/// What one thing in the way forbids along the joists: the open span between `low` and `high`.
#[derive(Debug, Clone, Copy)]
struct Hit {
    low: Length,
    high: Length,
    keep: usize,
    weight: u32,
}

/// Where the least is in the way, so far.
struct Lightest {
    weight: u32,
    kind: usize,
    far: i128,
    row: Row,
    along: Length,
}

/// The weight of something that nobody can move, against 1 for something that somebody can.
const NEVER: u32 = 1 << 16;

impl Site {
    /// A hall from wall to wall, with the joists' middles across them in order; where they are cut, their thickness and
    /// where on their own axis they bear; the roof, and what is in the way. What is not known leaves more room.
    #[allow(clippy::too_many_arguments)] // each is one thing that was measured
    pub fn new(
        axis: Axis,
        ahead: Span,
        left: Span,
        joists: Vec<Length>,
        thickness: Option<Length>,
        bearings: Option<Span>,
        roof: Option<Roof>,
        in_attic: impl IntoIterator<Item = InAttic>,
        on_ceiling: impl IntoIterator<Item = OnCeiling>,
    ) -> Site {
        let (along, across) = axis.split(ahead, left);
        let in_attic = in_attic.into_iter().enumerate().map(|(number, thing)| {
            let extent = thing.solid.extent();
            let (along, across) = axis.split(extent.ahead, extent.left);
            Keep {
                which: Which::InAttic(number),
                body: Body::Attic(thing.solid),
                movable: thing.movable,
                along,
                across,
                up: extent.up,
            }
        });
        let on_ceiling = on_ceiling.into_iter().enumerate().map(|(number, thing)| {
            let (along, across) = axis.split(thing.ahead, thing.left);
            Keep {
                which: Which::OnCeiling(number),
                body: Body::Ceiling,
                movable: thing.movable,
                along,
                across,
                up: Span::new(DEEP, DEEP),
            }
        });
        let mut keeps: Vec<Keep> = in_attic.chain(on_ceiling).collect();
        keeps.sort_by_key(|keep| (keep.across.low, keep.which));
        let widest = keeps
            .iter()
            .map(|keep| keep.across.length())
            .max()
            .unwrap_or(Length::ZERO);
        Site {
            axis,
            along,
            across,
            joists,
            thickness,
            bearings,
            roof,
            keeps,
            widest,
        }
    }

    /// The axis along which the joists run.
    pub fn axis(&self) -> Axis {
        self.axis
    }

    /// Looks for the best place for this fan. `tolerance` is how much the measurements may be off, for
    /// [`Place::firm`].
    pub fn place(&self, fan: &Fan, manner: Manner, tolerance: Length) -> Placing {
        let sizes = Sizes::of(fan);
        let field = match self.field(&sizes, manner) {
            Ok(field) => field,
            Err(why) => return Placing::Nowhere { why, closest: None },
        };
        let (rows, lacking) = self.rows(fan, &sizes, manner, &field);
        if rows.is_empty() {
            let why = match lacking {
                Some(by) => Why::Bearings { by },
                None => Why::Joists {
                    by: self.joists_miss_by(fan, manner, &field),
                },
            };
            return Placing::Nowhere { why, closest: None };
        }
        let mut hits = Vec::with_capacity(64);
        let mut ends = Vec::new();
        let mut free: Vec<(Row, Length, i128)> = Vec::new();
        let mut lightest: Option<Lightest> = None;
        for kind in rows.chunk_by(|a, b| a.kind == b.kind) {
            let mut best: Option<(Row, Length, i128)> = None;
            for row in kind {
                if best.is_some_and(|(.., far)| square(row.off) >= far) {
                    break;
                }
                self.gather(&sizes, row.range, row.at, &mut hits);
                let far = |along: Length| square(row.off) + square(along - self.along.middle());
                if let Some(along) = self.nearest_free(row.range, &mut hits) {
                    let far = far(along);
                    if best.is_none_or(|(.., least)| far < least) {
                        best = Some((*row, along, far));
                    }
                } else if best.is_none() && free.is_empty() {
                    let kind = match manner {
                        Manner::Cut => row.kind,
                        Manner::Whole => 0,
                    };
                    // With one thing to move only a nearer row is better.
                    if lightest.as_ref().is_some_and(|it| {
                        it.weight == 1 && (kind, square(row.off)) >= (it.kind, it.far)
                    }) {
                        continue;
                    }
                    let (weight, along) = self.lightest(row.range, &hits, &mut ends);
                    let far = far(along);
                    if lightest
                        .as_ref()
                        .is_none_or(|it| (weight, kind, far) < (it.weight, it.kind, it.far))
                    {
                        lightest = Some(Lightest {
                            weight,
                            kind,
                            far,
                            row: *row,
                            along,
                        });
                    }
                }
            }
            free.extend(best);
        }
        if free.is_empty() {
            let lightest = lightest.expect("there are rows, and none is free");
            return self.with_moves(&sizes, &lightest, manner, &mut hits);
        }
        if manner == Manner::Whole {
            free.sort_by_key(|(row, _, far)| (*far, row.kind));
        }
        let mut places = free.into_iter().map(|(row, along, _)| {
            let mut place = self.at(&row, along, manner);
            place.firm = self.is_firm(&sizes.larger(tolerance), &row, manner, &mut hits);
            place
        });
        let place = places.next().expect("one was found");
        Placing::Found {
            place,
            others: places.collect(),
        }
    }

    /// Whether walls and roof alone leave room for this fan.
    ///
    /// # Errors
    /// Which of the two does not, and by how much.
    pub fn walls_and_roof(&self, fan: &Fan) -> Result<(), Why> {
        self.field(&Sizes::of(fan), Manner::Whole).map(|_| ())
    }

    /// Where walls, bearings and roof let the opening's middle lie.
    fn field(&self, sizes: &Sizes, manner: Manner) -> Result<Field, Why> {
        let mut walls = Field {
            along: middles(self.along, sizes.shutter.0),
            across: middles(self.across, sizes.shutter.1),
        };
        if is_empty(walls.along) || is_empty(walls.across) {
            let by =
                (sizes.shutter.0 - self.along.length()).max(sizes.shutter.1 - self.across.length());
            return Err(Why::Hall { by });
        }
        if manner == Manner::Cut {
            walls.along = self
                .between_bearings(walls.along, sizes, Plies::Single)
                .map_err(|by| Why::Bearings { by })?;
        }
        let Some(roof) = &self.roof else {
            return Ok(walls);
        };
        let mut field = Field { ..walls };
        let mut low = false;
        for room in sizes
            .rooms()
            .iter()
            .filter(|room| room.up.high > Length::ZERO)
        {
            match (roof.high_enough(room.up.high), &roof.slope) {
                (None, _) => low = true,
                (Some(Some(span)), Some(slope)) if slope.fall.line() == self.axis.line() => {
                    field.along = common(field.along, middles(span, room.along));
                }
                (Some(Some(span)), _) => {
                    field.across = common(field.across, middles(span, room.across));
                }
                (Some(None), _) => {}
            }
        }
        if low || is_empty(field.along) || is_empty(field.across) {
            return Err(Why::Roof {
                by: self.roof_short_by(sizes, &walls, roof),
            });
        }
        Ok(field)
    }

    /// Of these places for the opening's middle along the joists, those where headers of so many pieces, each as thick as
    /// a joist, stand between the opening and the bearings at either end.
    ///
    /// # Errors
    /// By how much there is none.
    fn between_bearings(&self, along: Span, sizes: &Sizes, plies: Plies) -> Result<Span, Length> {
        let Some(bearings) = self.bearings else {
            return Ok(along);
        };
        let header = plies.thickness(self.thickness.unwrap_or(Length::ZERO));
        let clear = Span::new(bearings.low + header, bearings.high - header);
        let between = middles(clear, sizes.opening);
        let both = common(along, between);
        if is_empty(both) {
            Err((between.low - between.high).max(both.low - both.high))
        } else {
            Ok(both)
        }
    }

    /// How many pieces the code asks of the headers where an opening meets these joists; one where it meets none.
    fn headers(&self, meets: (usize, usize)) -> Plies {
        if meets.0 == meets.1 {
            return Plies::Single;
        }
        let thickness = self.thickness.unwrap_or(Length::ZERO);
        header_plies(self.joists[meets.1] - self.joists[meets.0 - 1] - thickness)
    }

    /// Of these places along the joists, those with room for the headers that an opening which meets these joists needs.
    ///
    /// # Errors
    /// As [`Site::between_bearings`].
    fn beside(
        &self,
        meets: (usize, usize),
        manner: Manner,
        along: Span,
        sizes: &Sizes,
    ) -> Result<Span, Length> {
        match manner {
            Manner::Cut => self.between_bearings(along, sizes, self.headers(meets)),
            Manner::Whole => Ok(along),
        }
    }

    /// By how much the roof is too low where, within the walls, it is best.
    fn roof_short_by(&self, sizes: &Sizes, walls: &Field, roof: &Roof) -> Length {
        let line = roof.slope.as_ref().map(|slope| slope.fall.line());
        let within = if line == Some(self.axis.line()) {
            walls.along
        } else {
            walls.across
        };
        let best = roof.slope.as_ref().map_or(Length::ZERO, |slope| {
            slope.ridge_at().max(within.low).min(within.high)
        });
        sizes
            .rooms()
            .iter()
            .filter(|room| room.up.high > Length::ZERO)
            .map(|room| {
                let size = if line == Some(self.axis.line()) {
                    room.along
                } else {
                    room.across
                };
                let over = Span::about(best, size);
                room.up.high - roof.lowest_over(over, over)
            })
            .max()
            .unwrap_or(Length::ZERO)
    }

    /// The opening's middle across the joists, flush with (or over) joist number `index`, low or high side.
    fn row_at(&self, fan: &Fan, manner: Manner, index: usize, high: bool) -> Length {
        let joist = self.joists[index];
        let width = fan.opening.width;
        match (manner, high) {
            (Manner::Whole, false) => joist - fan.fixed_vane,
            (Manner::Whole, true) => joist + fan.fixed_vane,
            (Manner::Cut, above) => {
                let faces = Span::about(joist, self.thickness.unwrap_or(Length::ZERO));
                if above {
                    faces.high + width / 2
                } else {
                    faces.low - (width - width / 2)
                }
            }
        }
    }

    /// The joists that an opening about `at` meets, as a range; `None` where none is left on a side.
    fn meets(&self, fan: &Fan, manner: Manner, at: Length) -> Option<(usize, usize)> {
        let opening = Span::about(at, fan.opening.width);
        let thickness = match manner {
            Manner::Cut => self.thickness.unwrap_or(Length::ZERO),
            Manner::Whole => Length::ZERO,
        };
        let faces = |joist: &Length| Span::about(*joist, thickness);
        let from = self
            .joists
            .partition_point(|joist| faces(joist).high <= opening.low);
        let to = self
            .joists
            .partition_point(|joist| faces(joist).low < opening.high);
        (from > 0 && to < self.joists.len()).then_some((from, to))
    }

    /// Every place across the joists, in order of kind and then of distance from the hall's middle; and by how much
    /// the headers of the best one that is left out for them lack room between the bearings.
    fn rows(
        &self,
        fan: &Fan,
        sizes: &Sizes,
        manner: Manner,
        field: &Field,
    ) -> (Vec<Row>, Option<Length>) {
        let reach = match manner {
            Manner::Cut => fan.opening.width + self.thickness.unwrap_or(Length::ZERO),
            Manner::Whole => fan.fixed_vane.abs(),
        };
        let from = self
            .joists
            .partition_point(|joist| *joist < field.across.low - reach);
        let to = self
            .joists
            .partition_point(|joist| *joist <= field.across.high + reach);
        let both = manner == Manner::Cut || !fan.fixed_vane.is_zero();
        let mut rows = Vec::with_capacity(2 * to.saturating_sub(from));
        let mut lacking: Option<Length> = None;
        for index in from..to {
            for high in [false, true] {
                if high && !both {
                    continue;
                }
                let at = self.row_at(fan, manner, index, high);
                if at < field.across.low || at > field.across.high {
                    continue;
                }
                let Some(meets) = self.meets(fan, manner, at) else {
                    continue;
                };
                let kind = match manner {
                    Manner::Cut => meets.1 - meets.0,
                    Manner::Whole => usize::from(high),
                };
                let range = match self.beside(meets, manner, field.along, sizes) {
                    Ok(range) => range,
                    Err(by) => {
                        lacking = Some(lacking.map_or(by, |least| least.min(by)));
                        continue;
                    }
                };
                rows.push(Row {
                    kind,
                    off: (at - self.across.middle()).abs(),
                    at,
                    flush: index,
                    meets,
                    range,
                });
            }
        }
        rows.sort_unstable_by_key(|row| (row.kind, row.off, row.at, row.flush));
        (rows, lacking)
    }

    /// By how much the nearest row misses the field.
    fn joists_miss_by(&self, fan: &Fan, manner: Manner, field: &Field) -> Option<Length> {
        (0..self.joists.len())
            .flat_map(|index| [false, true].map(|high| self.row_at(fan, manner, index, high)))
            .filter(|at| self.meets(fan, manner, *at).is_some())
            .map(|at| (field.across.low - at).max(at - field.across.high))
            .min()
    }

    fn block(&self, room: &Room, along: Length, across: Length) -> Block {
        let (along, across) = (
            Span::about(along, room.along),
            Span::about(across, room.across),
        );
        let (ahead, left) = self.axis.split(along, across);
        Block {
            ahead,
            left,
            up: room.up,
        }
    }

    /// Everything in the way of an opening about `at`, whose middle may slide along the joists.
    fn gather(&self, sizes: &Sizes, range: Span, at: Length, hits: &mut Vec<Hit>) {
        hits.clear();
        let widest_room = sizes
            .rooms()
            .iter()
            .map(|room| room.across)
            .fold(sizes.shutter.1, Length::max);
        let window = Span::about(at, widest_room);
        let shutter_along = Span::about(Length::ZERO, sizes.shutter.0);
        let shutter_across = Span::about(at, sizes.shutter.1);
        let rooms = sizes.rooms.map(|room| {
            (
                self.block(&room, Length::ZERO, at),
                Span::about(at, room.across),
            )
        });
        let longest = sizes
            .rooms()
            .iter()
            .map(|room| room.along)
            .fold(sizes.shutter.0, Length::max);
        let reach = Span::new(range.low - longest, range.high + longest);
        let from = self
            .keeps
            .partition_point(|keep| keep.across.low < window.low - self.widest);
        for (number, keep) in self.keeps.iter().enumerate().skip(from) {
            if keep.across.low >= window.high {
                break;
            }
            if keep.across.high <= window.low || !keep.along.overlaps(reach) {
                continue;
            }
            let mut spans: [Option<Span>; 3] = [None; 3];
            match &keep.body {
                Body::Ceiling => {
                    if keep.across.overlaps(shutter_across) {
                        spans[0] = Some(Span::new(
                            keep.along.low - shutter_along.high,
                            keep.along.high - shutter_along.low,
                        ));
                    }
                }
                Body::Attic(solid) => {
                    for (index, (room, across)) in rooms[..sizes.many].iter().enumerate() {
                        if keep.up.overlaps(room.up) && keep.across.overlaps(*across) {
                            spans[index] = solid.hit(room, self.axis.line());
                        }
                    }
                }
            }
            let weight = if keep.movable == Some(false) {
                NEVER
            } else {
                1
            };
            // What one thing forbids twice over counts once.
            spans.sort_unstable_by_key(|span| span.map(|span| span.low));
            let first = hits.len();
            for span in spans.into_iter().flatten() {
                if span.high <= range.low || span.low >= range.high {
                    continue;
                }
                match hits[first..].last_mut() {
                    Some(hit) if span.low < hit.high => hit.high = hit.high.max(span.high),
                    _ => hits.push(Hit {
                        low: span.low,
                        high: span.high,
                        keep: number,
                        weight,
                    }),
                }
            }
        }
    }

    /// The hall's middle along the joists, or what comes nearest to it in the range.
    fn goal(&self, range: Span) -> Length {
        self.along.middle().max(range.low).min(range.high)
    }

    /// The free place along the joists that is nearest to the goal; the lower of two that are as near.
    fn nearest_free(&self, range: Span, hits: &mut [Hit]) -> Option<Length> {
        let goal = self.goal(range);
        if !hits.iter().any(|hit| hit.low < goal && goal < hit.high) {
            return Some(goal);
        }
        // Spans that overlap make one; the one about the goal has free ends.
        hits.sort_unstable_by_key(|hit| hit.low);
        let mut about = Span::new(hits[0].low, hits[0].high);
        for hit in &hits[1..] {
            if hit.low < about.high {
                about.high = about.high.max(hit.high);
            } else if about.high > goal {
                break;
            } else {
                about = Span::new(hit.low, hit.high);
            }
        }
        let low = (about.low >= range.low).then_some(about.low);
        let high = (about.high <= range.high).then_some(about.high);
        match (low, high) {
            (Some(low), Some(high)) if high - goal < goal - low => Some(high),
            (Some(low), _) => Some(low),
            (None, high) => high,
        }
    }

    /// The place along the joists where the least weight is in the way, nearest to the goal; the hits come in order
    /// of their lower ends.
    fn lightest(&self, range: Span, hits: &[Hit], highs: &mut Vec<(Length, u32)>) -> (u32, Length) {
        let goal = self.goal(range);
        highs.clear();
        highs.extend(hits.iter().map(|hit| (hit.high, hit.weight)));
        highs.sort_unstable();
        // Between two ends never less is in the way than at one of them, so a look at the ends will do: what stops
        // there is gone, and what begins there does not count yet.
        let mut best = (u32::MAX, Length::ZERO, goal);
        let mut weight = 0_u32;
        let (mut low, mut high) = (0, 0);
        let mut seen_goal = false;
        loop {
            let next_low = hits.get(low).map(|hit| hit.low);
            let next_high = highs.get(high).map(|(at, _)| *at);
            let next_goal = (!seen_goal).then_some(goal);
            let Some(at) = [next_low, next_high, next_goal].into_iter().flatten().min() else {
                break;
            };
            while let Some((end, by)) = highs.get(high)
                && *end == at
            {
                weight -= by;
                high += 1;
            }
            if at >= range.low && at <= range.high {
                best = best.min((weight, (at - goal).abs(), at));
            }
            seen_goal |= at == goal;
            while let Some(hit) = hits.get(low)
                && hit.low == at
            {
                weight += hit.weight;
                low += 1;
            }
        }
        (best.0, best.2)
    }

    /// The place with the fewest things to move, where nothing is free.
    fn with_moves(
        &self,
        sizes: &Sizes,
        lightest: &Lightest,
        manner: Manner,
        hits: &mut Vec<Hit>,
    ) -> Placing {
        let (row, along) = (&lightest.row, lightest.along);
        self.gather(sizes, row.range, row.at, hits);
        let mut place = self.at(row, along, manner);
        place.moves = hits
            .iter()
            .filter(|hit| hit.low < along && along < hit.high)
            .map(|hit| self.moved(&self.keeps[hit.keep], sizes, row.at, along))
            .collect();
        place.moves.sort_by_key(|it| it.which);
        if lightest.weight < NEVER {
            Placing::Found {
                place,
                others: Vec::new(),
            }
        } else {
            Placing::Nowhere {
                why: Why::InTheWay,
                closest: Some(place),
            }
        }
    }

    /// The least move of one thing that clears the opening there.
    fn moved(&self, keep: &Keep, sizes: &Sizes, at: Length, along: Length) -> Move {
        let mut elsewhere = false;
        let shift = match &keep.body {
            Body::Ceiling => {
                let flat = Span::new(Length::ZERO, Length::inches(1));
                let (ahead, left) = self.axis.split(keep.along, keep.across);
                let thing = Solid::Block(Block {
                    ahead,
                    left,
                    up: flat,
                });
                let shutter = Room {
                    along: sizes.shutter.0,
                    across: sizes.shutter.1,
                    up: flat,
                };
                let shutter = [self.block(&shutter, along, at)];
                let walls = self.axis.split(self.along, self.across);
                let within = Way::LEVEL
                    .iter()
                    .filter_map(|way| thing.least_shift(&shutter, std::slice::from_ref(way)))
                    .filter(|shift| match shift.way {
                        Way::Ahead => ahead.high + shift.by <= walls.0.high,
                        Way::Back => ahead.low - shift.by >= walls.0.low,
                        Way::Left => left.high + shift.by <= walls.1.high,
                        _ => left.low - shift.by >= walls.1.low,
                    })
                    .min_by_key(|shift| shift.by);
                elsewhere = within.is_none();
                within.or_else(|| thing.least_shift(&shutter, &Way::LEVEL))
            }
            Body::Attic(solid) => {
                let rooms = sizes.rooms.map(|room| self.block(&room, along, at));
                let rooms = &rooms[..sizes.many];
                let level = solid.least_shift(rooms, &Way::LEVEL);
                // A post cannot be lifted off its feet, and nothing goes up through the roof.
                let up = match solid {
                    Solid::Post(_) => None,
                    _ => solid.least_shift(rooms, &[Way::Up]).filter(|up| {
                        let extent = solid.extent();
                        self.roof.is_none_or(|roof| {
                            extent.up.high + up.by <= roof.lowest_over(extent.ahead, extent.left)
                        })
                    }),
                };
                match (level, up) {
                    (Some(level), Some(up)) if up.by < level.by => Some(up),
                    (level, _) => level,
                }
            }
        };
        Move {
            which: keep.which,
            movable: keep.movable,
            shift: shift.unwrap_or(Shift {
                way: Way::Ahead,
                by: Length::ZERO,
            }),
            elsewhere,
        }
    }

    fn at(&self, row: &Row, along: Length, manner: Manner) -> Place {
        let (ahead, left) = self.axis.split(along, row.at);
        let across = self.joists[row.meets.0..row.meets.1].to_vec();
        let (cut, standing) = match manner {
            Manner::Cut => (across, Vec::new()),
            Manner::Whole => (Vec::new(), across),
        };
        let off_along = along - self.along.middle();
        Place {
            ahead,
            left,
            cut,
            standing,
            flush: self.joists[row.flush],
            turned: manner == Manner::Whole && row.kind == 1,
            trimmers: (self.joists[row.meets.0 - 1], self.joists[row.meets.1]),
            off_centre: Length::from_in(row.off.to_in().hypot(off_along.to_in())),
            moves: Vec::new(),
            firm: false,
        }
    }

    /// Whether something of these sizes is free at that place across the joists.
    fn is_firm(&self, sizes: &Sizes, row: &Row, manner: Manner, hits: &mut Vec<Hit>) -> bool {
        let Ok(field) = self.field(sizes, manner) else {
            return false;
        };
        if row.at < field.across.low || row.at > field.across.high {
            return false;
        }
        let Ok(range) = self.beside(row.meets, manner, field.along, sizes) else {
            return false;
        };
        self.gather(sizes, range, row.at, hits);
        self.nearest_free(range, hits).is_some()
    }
}

fn square(length: Length) -> i128 {
    let count = i128::from(length.in_25_nm());
    count * count
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Pitch;
    use crate::trade::fan::{Rectangle, generic};
    use crate::trade::roof::{Fall, Slope};
    use crate::trade::solid::Post;

    fn inch(n: i64) -> Length {
        Length::inches(n)
    }

    /// Opening 26 × 26 in, shutter 29 × 29 in, clear space a cube of 36 in.
    fn fan(vane: Length) -> Fan {
        Fan {
            fixed_vane: vane,
            opening: Rectangle {
                length: inch(26),
                width: inch(26),
            },
            shutter: Rectangle {
                length: inch(29),
                width: inch(29),
            },
            ..generic().fans[0].clone()
        }
    }

    fn about(middle: i64, length: i64) -> Span {
        Span::about(inch(middle), inch(length))
    }

    /// A hall of 240 × 48 in about the mark, joists across it.
    fn hall(
        joists: Vec<Length>,
        roof: Option<Roof>,
        in_attic: &[InAttic],
        on: &[OnCeiling],
    ) -> Site {
        Site::new(
            Axis::Left,
            about(0, 240),
            about(0, 48),
            joists,
            Some(Length::sixteenths(24)),
            None,
            roof,
            in_attic.iter().copied(),
            on.iter().copied(),
        )
    }

    fn every(spacing: i64) -> Vec<Length> {
        (-12..=12).map(|n| inch(spacing * n)).collect()
    }

    fn block(ahead: Span, left: Span, up: (i64, i64), movable: Option<bool>) -> InAttic {
        InAttic {
            solid: Solid::Block(Block {
                ahead,
                left,
                up: Span::new(inch(up.0), inch(up.1)),
            }),
            movable,
        }
    }

    fn found(placing: Placing) -> (Place, Vec<Place>) {
        match placing {
            Placing::Found { place, others } => (place, others),
            Placing::Nowhere { why, .. } => panic!("{why:?}"),
        }
    }

    const TOLERANCE: Length = Length::sixteenths(2);

    #[test]
    fn left_whole_a_joist_lies_under_the_vane_either_way_round() {
        let site = hall(every(16), None, &[], &[]);
        let (place, others) = found(site.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE));
        assert_eq!((place.ahead, place.left), (Length::ZERO, Length::ZERO));
        assert_eq!(place.standing, [Length::ZERO]);
        assert_eq!(place.trimmers, (inch(-16), inch(16)));
        assert!(place.cut.is_empty() && others.is_empty() && place.firm);

        // The vane 10 in off: the joist at 0 puts the middle at ∓10, those at ∓16 at ±6.
        let joists = vec![inch(-40), inch(-16), inch(0), inch(16), inch(40)];
        let site = hall(joists, None, &[], &[]);
        let (place, others) = found(site.place(&fan(inch(10)), Manner::Whole, TOLERANCE));
        assert_eq!(
            (place.ahead, place.flush, place.turned),
            (inch(6), inch(16), false)
        );
        assert_eq!(others.len(), 1);
        assert_eq!((others[0].ahead, others[0].turned), (inch(-6), true));
        assert_eq!(others[0].flush, inch(-16));
    }

    #[test]
    fn fewest_joists_are_cut_before_the_middle_of_the_hall_counts() {
        // Wide bays lie far off; in the middle the joists are dense.
        let mut joists: Vec<Length> = (-4..=4).map(|n| inch(12 * n)).collect();
        joists.push(inch(80));
        joists.sort();
        let site = hall(joists, None, &[], &[]);
        let (place, others) = found(site.place(&fan(Length::ZERO), Manner::Cut, TOLERANCE));
        // Between 48 and 80 in: no joist is cut, flush with the nearer one.
        assert!(place.cut.is_empty());
        assert_eq!(place.ahead, inch(48) + Length::sixteenths(12) + inch(13));
        assert_eq!(place.trimmers, (inch(48), inch(80)));
        let cuts: Vec<usize> = others.iter().map(|place| place.cut.len()).collect();
        assert_eq!(cuts, [1, 2]);
        assert!(others[1].off_centre < place.off_centre);
    }

    #[test]
    fn it_slides_along_the_joists_out_of_the_way_and_only_then_moves_things() {
        // Over the middle of the hall and 2 in to the right of it there is no room for 36 in.
        let flue = InAttic {
            solid: Solid::Post(Post {
                ahead: inch(0),
                left: inch(-20),
                diameter: inch(8),
                up: Span::new(inch(-10), inch(90)),
            }),
            movable: Some(false),
        };
        let site = hall(every(16), None, &[flue], &[]);
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE));
        assert_eq!((place.ahead, place.left), (Length::ZERO, inch(2)));
        assert!(place.moves.is_empty() && place.firm);

        // A pipe the whole length of the hall: it must be moved.
        let pipe = block(about(0, 400), about(0, 3), (0, 3), Some(true));
        let site = hall(every(16), None, &[flue, pipe], &[]);
        let (place, others) = found(site.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE));
        assert_eq!(place.moves.len(), 1);
        let it = place.moves[0];
        assert_eq!(it.which, Which::InAttic(1));
        // To the side that is nearer, and never up through the fan.
        assert_eq!(
            (it.shift.way, it.shift.by),
            (Way::Right, Length::sixteenths(280))
        );
        assert!(others.is_empty());

        // One that nobody can move leaves no place.
        let beam = block(about(0, 400), about(0, 3), (0, 3), Some(false));
        let site = hall(every(16), None, &[beam], &[]);
        let Placing::Nowhere {
            why,
            closest: Some(place),
        } = site.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE)
        else {
            panic!("the beam is in the way");
        };
        assert_eq!(why, Why::InTheWay);
        assert_eq!(place.moves[0].movable, Some(false));
    }

    #[test]
    fn the_shutter_keeps_clear_of_fixtures_and_of_the_walls() {
        let light = OnCeiling {
            ahead: about(0, 12),
            left: about(0, 12),
            movable: Some(true),
        };
        let site = hall(every(16), None, &[], &[light]);
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE));
        // 6 + 14 1/2 in would do; the next joist but one lies at 32 in, the hall is too narrow to pass beside it.
        assert_eq!(place.ahead, inch(-32));
        assert!(place.moves.is_empty());

        let narrow = Site::new(
            Axis::Left,
            about(0, 240),
            about(0, 28),
            every(16),
            None,
            None,
            None,
            [],
            [],
        );
        assert_eq!(
            narrow.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE),
            Placing::Nowhere {
                why: Why::Hall { by: inch(1) },
                closest: None
            }
        );
        // A shutter that just fits is no firm answer.
        let just = Site::new(
            Axis::Left,
            about(0, 240),
            about(0, 29),
            every(16),
            None,
            None,
            None,
            [],
            [],
        );
        let (place, _) = found(just.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE));
        assert!(!place.firm);
    }

    #[test]
    fn the_roof_and_the_joists_bound_it() {
        // Falls to the left; under the ridge, 12 in right of the mark, it is 45 in high.
        let roof = |height| Roof {
            height: inch(height),
            slope: Some(Slope {
                pitch: Pitch::from_rise_per_12(6.0),
                fall: Fall::Left,
                ridge: inch(12),
            }),
        };
        // 36 in high over 36 in: 9 in are lost at the edges, so the middle must lie under the ridge.
        let wide = |roof| {
            Site::new(
                Axis::Left,
                about(0, 240),
                about(0, 72),
                every(16),
                Some(Length::sixteenths(24)),
                None,
                Some(roof),
                [],
                [],
            )
        };
        let (place, _) = found(wide(roof(39)).place(&fan(Length::ZERO), Manner::Whole, TOLERANCE));
        assert_eq!(place.left, inch(-12));
        assert!(!place.firm);
        assert_eq!(
            wide(roof(38)).place(&fan(Length::ZERO), Manner::Whole, TOLERANCE),
            Placing::Nowhere {
                why: Why::Roof { by: inch(1) },
                closest: None
            }
        );
        // Two joists far out: neither can lie under the vane within the walls.
        let site = hall(
            vec![inch(-130), inch(-110), inch(110), inch(130)],
            None,
            &[],
            &[],
        );
        assert_eq!(
            site.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE),
            Placing::Nowhere {
                why: Why::Joists {
                    by: Some(Length::sixteenths(72))
                },
                closest: None
            }
        );
        let site = hall(vec![inch(0)], None, &[], &[]);
        assert_eq!(
            site.place(&fan(Length::ZERO), Manner::Whole, TOLERANCE),
            Placing::Nowhere {
                why: Why::Joists { by: None },
                closest: None
            }
        );
    }

    #[test]
    fn what_runs_through_the_opening_between_the_joists_counts_and_what_runs_beside_it_does_not() {
        let wire = |left: i64| block(about(0, 400), about(left, 1), (-3, -2), Some(true));
        let site = hall(every(16), None, &[wire(14)], &[]);
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Cut, TOLERANCE));
        assert!(place.moves.is_empty());
        let site = hall(every(16), None, &[wire(0)], &[]);
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Cut, TOLERANCE));
        assert_eq!(place.moves.len(), 1);
    }

    #[test]
    fn between_joists_there_is_the_room_of_the_tables() {
        // Facts H8 (derived): clear between joists 1 1/2 in thick with none, one and two of them cut.
        for (spacing, room) in [
            (16_000, [14_500, 30_500, 46_500]),
            (19_200, [17_700, 36_900, 56_100]),
            (24_000, [22_500, 46_500, 70_500]),
        ] {
            for (cut, room) in room.into_iter().enumerate() {
                let room = Length::thousandths_in(room);
                let joists = (-12..=12)
                    .map(|n| Length::thousandths_in(spacing * n + spacing / 2))
                    .collect();
                let site = Site::new(
                    Axis::Ahead,
                    about(0, 240),
                    about(0, 240),
                    joists,
                    Some(Length::sixteenths(24)),
                    None,
                    None,
                    [],
                    [],
                );
                let mut fan = fan(Length::ZERO);
                for (by, cuts) in [(Length::ZERO, cut), (Length::of_25_nm(2), cut + 1)] {
                    fan.opening.width = room + by;
                    fan.shutter.width = room + by;
                    let (place, _) = found(site.place(&fan, Manner::Cut, TOLERANCE));
                    assert_eq!(place.cut.len(), cuts, "{spacing} {cut}");
                    let between = place.trimmers.1 - place.trimmers.0 - Length::sixteenths(24);
                    assert!(between >= fan.opening.width);
                    assert_eq!(between == room, by.is_zero());
                }
            }
        }
    }

    #[test]
    fn opening_and_headers_lie_between_the_bearings() {
        // Joists along the hall, borne 10 in behind the hall's middle: the opening of 26 in with two headers of
        // 1 1/2 in is pushed ahead.
        let site = |bearings| {
            Site::new(
                Axis::Ahead,
                about(0, 240),
                about(0, 60),
                every(16),
                Some(Length::sixteenths(24)),
                Some(bearings),
                None,
                [],
                [],
            )
        };
        let bearings = Span::new(inch(-10), inch(100));
        let (place, _) = found(site(bearings).place(&fan(Length::ZERO), Manner::Cut, TOLERANCE));
        assert_eq!(place.ahead, inch(-10 + 13) + Length::sixteenths(24));
        assert!(place.firm);
        // Left whole it may stay in the middle.
        let (place, _) = found(site(bearings).place(&fan(Length::ZERO), Manner::Whole, TOLERANCE));
        assert_eq!(place.ahead, Length::ZERO);
        for (bearings, by) in [(about(0, 28), inch(1)), (about(140, 48), inch(25))] {
            assert_eq!(
                site(bearings).place(&fan(Length::ZERO), Manner::Cut, TOLERANCE),
                Placing::Nowhere {
                    why: Why::Bearings { by },
                    closest: None
                }
            );
        }
    }

    #[test]
    fn headers_that_the_code_doubles_need_two_thicknesses_before_either_bearing() {
        // IRC R802.9: above 4 ft. Joists across a hall of 72 in at 19.2 in: an opening of 36 in needs one cut, its
        // headers span 36.9 in; one of 42 in needs two, 56.1 in.
        let site = |bearings| {
            Site::new(
                Axis::Left,
                about(0, 240),
                about(0, 72),
                (-6..=6)
                    .map(|n| Length::thousandths_in(19_200 * n))
                    .collect(),
                Some(Length::sixteenths(24)),
                Some(bearings),
                None,
                [],
                [],
            )
        };
        let fan = |opening| Fan {
            opening: Rectangle {
                length: inch(opening),
                width: inch(opening),
            },
            shutter: Rectangle {
                length: inch(opening + 4),
                width: inch(opening + 4),
            },
            ..generic().fans[0].clone()
        };
        // Borne 15 in to the right of the mark: the opening is pushed to the left by its own headers.
        let right = Span::new(inch(-15), inch(90));
        let (place, _) = found(site(right).place(&fan(36), Manner::Cut, TOLERANCE));
        assert_eq!(place.cut.len(), 1);
        assert_eq!(place.left, inch(-15 + 18) + Length::sixteenths(24));
        let (place, _) = found(site(right).place(&fan(42), Manner::Cut, TOLERANCE));
        assert_eq!(place.cut.len(), 2);
        assert_eq!(place.left, inch(-15 + 21 + 3));
        assert!(place.firm);
        // Over a span of 46 in two thicknesses lack 2 in, and one would not.
        assert_eq!(
            site(about(0, 46)).place(&fan(42), Manner::Cut, TOLERANCE),
            Placing::Nowhere {
                why: Why::Bearings { by: inch(2) },
                closest: None
            }
        );
        let (place, _) = found(site(about(0, 48)).place(&fan(42), Manner::Cut, TOLERANCE));
        assert_eq!(place.left, Length::ZERO);
        // It just fits.
        assert!(!place.firm);
    }

    #[test]
    fn nothing_overflows_in_an_endless_hall() {
        let far = Length::LONGEST_TYPED;
        let site = Site::new(
            Axis::Ahead,
            Span::new(-far, far),
            Span::new(-far, far),
            (-40..40).map(|n| far / 40 * n).collect(),
            Some(Length::sixteenths(24)),
            None,
            None,
            [block(
                Span::new(-far, far),
                Span::new(-far, far),
                (0, 12_000),
                None,
            )],
            [],
        );
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Cut, TOLERANCE));
        assert_eq!(place.moves.len(), 1);
    }
}
