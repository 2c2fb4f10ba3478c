//! Where in a hall the opening goes.
//!
//! *Units*: lengths, held exactly; the frame is the spot's (see [`solid`](super::solid)).
//!
//! *Source*: derived; checked against a search over every 1/16 in. That one edge of the opening is flush with a
//! joist's face, that fewest joists are cut, that the opening lies as near as it can to the middle of the hall, and
//! that joists left whole stand under the shutter's fixed vane, is common practice, no source.
//!
//! # What a place must have
//! * The shutter lies on the ceiling within the hall's walls and clear of everything fixed to it; smoke alarms are as far
//!   from the opening as they ask for.
//! * Over the joists the fan's clear space, and the fan on its frame where that is bigger, runs into nothing and
//!   stays under the roof; below their top nothing runs through the opening.
//! * The new wood runs into nothing either, and stays away from what is hot as far as that asks for (see
//!   [`clearance`](super::clearance)): headers or blocks at the opening's ends, pieces along its sides, the boards that face
//!   it, the pieces that double trimmers or joists under the fan from bearing to bearing, the dam against insulation.
//! * *Cut*: one edge of the opening is flush with a joist's face; the joists that it meets are cut, and a joist left
//!   whole stands on either side to carry the header pieces, which are set outside the opening, between the joists'
//!   bearings: one piece at either end, and as many as code and strength ask for where joists are cut.
//! * *Left whole*: a joist's middle lies under the shutter's fixed vane, either way round, and joists stand on
//!   either side.
//! * A joist that runs into an opening that is already there is not whole: it carries nothing, and is cut again only
//!   between the same trimmers. The trimmers of such an opening, and joists that roof struts stand on, are not cut.
//! * Headers, trimmers and joists under the fan hold (see [`sizing`](super::sizing)).
//!
//! # How it is found
//! The joists leave only a few places across them. For each, and for each number of pieces that headers and trimmers may
//! have, everything in the way forbids an open span along the joists; what is left between those spans is free. Where its
//! point nearest to the hall's middle is strong enough it is the place; else the spans along the joists in which the frame
//! holds are sought (by halving, between points that depend on the joists alone), and their free point nearest to the
//! middle is. Where nothing is free, a sweep over the ends of the spans finds the point with the fewest things to move. So
//! more room, or less in the way, never makes the answer worse: all places that were possible still are.
//!
//! # Examples
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::fan::generic;
//! use joistlight::trade::placement::{Axis, Joists, Manner, Placing, Site, Work};
//! use joistlight::trade::solid::Span;
//! let inch = Length::inches;
//! // A hall of 20 ft × 4 ft, the mark at its middle, joists across it every 16 in.
//! let joists = Joists {
//!     at: (-8..=8).map(|n| inch(16 * n)).collect(),
//!     thickness: Some(Length::sixteenths(24)),
//!     ..Joists::default()
//! };
//! let site = Site::new(
//!     Axis::Left,
//!     Span::about(Length::ZERO, inch(240)),
//!     Span::about(Length::ZERO, inch(48)),
//!     joists,
//!     None,
//!     [],
//!     [],
//! );
//! let fan = &generic().fans[0]; // opening 24 × 24 in
//! let Placing::Found { place, .. } = site.place(fan, Manner::Cut, &Work::default()) else {
//!     panic!("there is room");
//! };
//! // Between joists at −16 and 16 in lie 30 1/2 in with one cut; flush with one of them, 3 1/4 in off the middle.
//! assert_eq!(place.cut, [Length::ZERO]);
//! assert_eq!(place.ahead.abs(), Length::sixteenths(52));
//! assert_eq!(place.trimmers, (inch(-16), inch(16)));
//! ```

use super::fan::Fan;
use super::frame_strength::carriers;
use super::insulation_clearance::FROM_MOTOR;
use super::opening_frame::{Plies, header_plies};
use super::roof::Roof;
use super::sizing::{Carrying, Holds, Standing};
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
    /// How far wood must stay away from it.
    pub clear: Length,
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
    /// How far it must stay away from the opening, edge to edge.
    pub from_opening: Length,
}

/// The joists over a hall.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Joists {
    /// Their middles across them, in order.
    pub at: Vec<Length>,
    /// How thick one is.
    pub thickness: Option<Length>,
    /// Where they bear, on their own axis, where they may be cut or doubled.
    pub bearings: Option<Span>,
    /// The openings that are already cut into them.
    pub holes: Vec<Hole>,
    /// The middles of those that roof struts stand on.
    pub under_struts: Vec<Length>,
}

/// An opening that is already cut into joists: a hatch, the shaft of a skylight, an old fan's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hole {
    /// Its extent down the hall.
    pub ahead: Span,
    /// Its extent across the hall.
    pub left: Span,
}

/// What is put in with a fan besides the fan itself.
#[derive(Debug, Clone, Copy, Default)]
pub struct Work<'a> {
    /// How much the measurements may be off, for [`Place::firm`].
    pub tolerance: Length,
    /// What the joists carry; `None` where that is of no account, or not known and then enough.
    pub carrying: Option<&'a Carrying>,
    /// How high a dam round the fan rises over the joists; nothing where none is built.
    pub dam: Length,
}

/// Something in the way, by its number in the list that the site was made with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Which {
    /// Of the things in the attic.
    InAttic(usize),
    /// Of the things on the ceiling.
    OnCeiling(usize),
    /// Of the openings that are already there.
    Hole(usize),
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
    /// use joistlight::trade::placement::{Axis, Joists, Manner, Placing, Site, Work};
    /// use joistlight::trade::solid::{Span, Way};
    /// let inch = Length::inches(1);
    /// let hall = Span::about(Length::ZERO, inch * 240);
    /// let joists = Joists {
    ///     at: (-8..=8).map(|n| inch * (16 * n)).collect(),
    ///     ..Joists::default()
    /// };
    /// let site = Site::new(Axis::Left, hall, hall, joists, None, [], []);
    /// let mut fan = generic().fans[0].clone();
    /// fan.fixed_vane = inch;
    /// let Placing::Found { place, others } = site.place(&fan, Manner::Whole, &Work::default()) else {
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
    /// Wherever it could go it meets a joist that an opening has cut already, or that a roof strut stands on.
    Broken,
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
    /// How far from the opening it must stay.
    Ceiling(Length),
}

#[derive(Debug, Clone, Copy)]
struct Keep {
    which: Which,
    body: Body,
    movable: Option<bool>,
    /// How far wood must stay away.
    clear: Length,
    along: Span,
    across: Span,
    up: Span,
}

/// An opening that is already there, among the joists.
#[derive(Debug, Clone)]
struct Gap {
    /// The joists that it cuts.
    cuts: (usize, usize),
    /// The joists left whole on either side.
    trimmers: Option<(usize, usize)>,
    /// Its extent along the joists.
    along: Span,
}

/// A hall with its joists, its roof and all that is in the way.
#[derive(Debug, Clone)]
pub struct Site {
    axis: Axis,
    along: Span,
    across: Span,
    joists: Vec<Length>,
    /// Whether no opening cuts them.
    whole: Vec<bool>,
    /// Whether roof struts stand on them.
    strutted: Vec<bool>,
    gaps: Vec<Gap>,
    thickness: Option<Length>,
    bearings: Option<Span>,
    roof: Option<Roof>,
    /// In order of the lower end across the joists.
    keeps: Vec<Keep>,
    /// The widest of them across the joists, with what wood must keep away from it.
    widest: Length,
    /// The most that wood must keep away from any.
    clear: Length,
}

/// A room that must be free.
#[derive(Debug, Clone, Copy)]
struct Room {
    /// Along the joists: from the opening's middle, or from the mark where it is fixed.
    along: Span,
    /// Across them, from the mark.
    across: Span,
    up: Span,
    /// Whether it is wood, or has wood round it, which stays away from what is hot.
    wood: bool,
    /// Whether it stays where it is as the opening slides along the joists.
    fixed: bool,
}

/// What a fan needs, along and across the joists.
#[derive(Debug, Clone, Copy)]
struct Sizes {
    /// The opening's length.
    opening: Length,
    shutter: (Length, Length),
    /// Clear space and fan on its frame: along, across, height.
    over: [(Length, Length, Length); 2],
}

/// Nothing recorded lies lower under the top of the joists than this.
const DEEP: Length = Length::feet(-1000);
/// Farther than any joist reaches.
const FAR_OFF: Length = Length::feet(1000);
/// How thick boards of two inches nominal are.
const BOARD: Length = Length::sixteenths(24);
/// How wide the boards are that face an opening: 2 × 6, common practice, no source.
const FACING: Length = Length::sixteenths(88);

impl Sizes {
    fn of(fan: &Fan) -> Sizes {
        Sizes {
            opening: fan.opening.length,
            shutter: (fan.shutter.length, fan.shutter.width),
            over: [fan.clear_space(), fan.frame].map(|it| (it.length, it.width, it.height)),
        }
    }

    /// With everything larger by `by` on every side.
    fn larger(mut self, by: Length) -> Sizes {
        let both = by * 2;
        self.opening += both;
        self.shutter = (self.shutter.0 + both, self.shutter.1 + both);
        for (along, across, height) in &mut self.over {
            *along += both;
            *across += both;
            *height += by;
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

/// The longest side of the wood that may lie over the joists about an opening: facing boards, and the dam.
pub fn wood_over_joists(fan: &Fan) -> Length {
    let facing = fan.opening.length.max(fan.opening.width) + FACING * 2;
    let dam = fan.frame.length.max(fan.frame.width) + (FROM_MOTOR + BOARD) * 2;
    facing.max(dam)
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

fn holds_place(span: Span, at: Length) -> bool {
    span.low <= at && at <= span.high
}

fn wider(span: Span, by: Length) -> Span {
    Span::new(span.low - by, span.high + by)
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
    /// Where its middle may lie along the joists, by walls and roof.
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

/// How many pieces headers and trimmers have.
type Pieces = (Plies, Plies);

/// A place along a row, with what is in the way there.
#[derive(Debug, Clone, Copy)]
struct Spotted {
    weight: u32,
    kind: usize,
    far: i128,
    row: Row,
    along: Length,
    pieces: Pieces,
}

/// The weight of something that nobody can move, against 1 for something that somebody can.
const NEVER: u32 = 1 << 16;

/// Which wood the members are taken to be of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wood {
    /// As weak as it may be.
    Weakest,
    /// As strong as it may really be behind a stamp that nobody can read.
    Real,
    /// Of no account.
    Any,
}

/// One search for a place.
struct Search<'a> {
    site: &'a Site,
    fan: &'a Fan,
    sizes: Sizes,
    manner: Manner,
    work: &'a Work<'a>,
    rows: &'a [Row],
}

/// Lists that a search fills again and again.
#[derive(Default)]
struct Scratch {
    rooms: Vec<Room>,
    hits: Vec<Hit>,
    spans: Vec<Span>,
    highs: Vec<(Length, u32)>,
    stops: Vec<Length>,
}

impl Site {
    /// A hall from wall to wall, its joists, the roof, and what is in the way. What is not known leaves more room.
    pub fn new(
        axis: Axis,
        ahead: Span,
        left: Span,
        joists: Joists,
        roof: Option<Roof>,
        in_attic: impl IntoIterator<Item = InAttic>,
        on_ceiling: impl IntoIterator<Item = OnCeiling>,
    ) -> Site {
        let (along, across) = axis.split(ahead, left);
        let Joists {
            at: joists,
            thickness,
            bearings,
            holes,
            under_struts,
        } = joists;
        let in_attic = in_attic.into_iter().enumerate().map(|(number, thing)| {
            let extent = thing.solid.extent();
            let (along, across) = axis.split(extent.ahead, extent.left);
            Keep {
                which: Which::InAttic(number),
                body: Body::Attic(thing.solid),
                movable: thing.movable,
                clear: thing.clear,
                along,
                across,
                up: extent.up,
            }
        });
        let on_ceiling = on_ceiling.into_iter().enumerate().map(|(number, thing)| {
            let (along, across) = axis.split(thing.ahead, thing.left);
            Keep {
                which: Which::OnCeiling(number),
                body: Body::Ceiling(thing.from_opening),
                movable: thing.movable,
                clear: thing.from_opening,
                along,
                across,
                up: Span::new(DEEP, DEEP),
            }
        });
        let piece = thickness.unwrap_or(Length::ZERO);
        let in_joists = holes.iter().enumerate().map(|(number, hole)| {
            let (along, across) = axis.split(hole.ahead, hole.left);
            // Its own headers stand at its ends.
            let along = wider(along, piece);
            let (ahead, left) = axis.split(along, across);
            let up = Span::new(DEEP, Length::ZERO);
            Keep {
                which: Which::Hole(number),
                body: Body::Attic(Solid::Block(Block { ahead, left, up })),
                movable: Some(false),
                clear: Length::ZERO,
                along,
                across,
                up,
            }
        });
        let mut keeps: Vec<Keep> = in_attic.chain(on_ceiling).chain(in_joists).collect();
        keeps.sort_by_key(|keep| (keep.across.low, keep.which));
        let most = |of: fn(&Keep) -> Length| keeps.iter().map(of).max().unwrap_or(Length::ZERO);
        let widest = most(|keep| keep.across.length() + keep.clear);
        let clear = most(|keep| keep.clear);
        let mut whole = vec![true; joists.len()];
        let cuts: Vec<((usize, usize), Span)> = holes
            .iter()
            .map(|hole| {
                let (along, across) = axis.split(hole.ahead, hole.left);
                if bearings.is_some_and(|it| !it.overlaps(along)) {
                    return ((0, 0), along);
                }
                let faces = |joist: &Length| Span::about(*joist, piece);
                let from = joists.partition_point(|joist| faces(joist).high <= across.low);
                let to = joists.partition_point(|joist| faces(joist).low < across.high);
                whole[from..to].fill(false);
                ((from, to), along)
            })
            .collect();
        let gaps = cuts
            .into_iter()
            .filter(|((from, to), _)| from < to)
            .map(|(cuts, along)| {
                let before = (0..cuts.0).rev().find(|index| whole[*index]);
                let after = (cuts.1..joists.len()).find(|index| whole[*index]);
                Gap {
                    cuts,
                    trimmers: before.zip(after),
                    along,
                }
            })
            .collect();
        let strutted = joists
            .iter()
            .map(|joist| under_struts.contains(joist))
            .collect();
        Site {
            axis,
            along,
            across,
            joists,
            whole,
            strutted,
            gaps,
            thickness,
            bearings,
            roof,
            keeps,
            widest,
            clear,
        }
    }

    /// The axis along which the joists run.
    pub fn axis(&self) -> Axis {
        self.axis
    }

    /// The joists that carry their ceiling alone, from bearing to bearing: no opening cuts them, no strut stands on them.
    pub fn sound(&self) -> Vec<Length> {
        let fine = self.whole.iter().zip(&self.strutted);
        let sound = self.joists.iter().zip(fine);
        sound
            .filter(|(_, (whole, strutted))| **whole && !**strutted)
            .map(|(joist, _)| *joist)
            .collect()
    }

    /// Of each opening that is already there: how many joists it cuts, the two it hangs on, its extent along them.
    pub fn gaps(&self) -> impl Iterator<Item = (usize, (Length, Length), Span)> {
        self.gaps.iter().filter_map(|gap| {
            let (low, high) = gap.trimmers?;
            let trimmers = (self.joists[low], self.joists[high]);
            Some((gap.cuts.1 - gap.cuts.0, trimmers, gap.along))
        })
    }

    /// Looks for the best place for this fan.
    pub fn place(&self, fan: &Fan, manner: Manner, work: &Work) -> Placing {
        let sizes = Sizes::of(fan);
        let field = match self.field(&sizes, manner) {
            Ok(field) => field,
            Err(why) => return Placing::Nowhere { why, closest: None },
        };
        let (rows, lacking, broken) = self.rows(fan, &sizes, manner, &field);
        if rows.is_empty() {
            let why = match lacking {
                Some(by) => Why::Bearings { by },
                None if broken => Why::Broken,
                None => Why::Joists {
                    by: self.joists_miss_by(fan, manner, &field),
                },
            };
            return Placing::Nowhere { why, closest: None };
        }
        let search = Search {
            site: self,
            fan,
            sizes,
            manner,
            work,
            rows: &rows,
        };
        search.run()
    }

    /// What is in the way of this fan at a place that was found here, with such work and so many pieces in headers and
    /// trimmers; as many as the code asks of headers where that is not told.
    pub fn moves_at(
        &self,
        fan: &Fan,
        manner: Manner,
        place: &Place,
        work: &Work,
        pieces: Option<Pieces>,
    ) -> Vec<Move> {
        let (along, at) = self.axis.split(place.ahead, place.left);
        let Some(meets) = self.meets(fan, manner, at) else {
            return Vec::new();
        };
        let row = Row {
            kind: place.cut.len(),
            off: (at - self.across.middle()).abs(),
            at,
            flush: meets.0,
            meets,
            range: Span::new(along, along),
        };
        let search = Search {
            site: self,
            fan,
            sizes: Sizes::of(fan),
            manner,
            work,
            rows: &[],
        };
        let pieces = pieces.unwrap_or((self.headers(meets, manner), Plies::Single));
        search.moves(&row, along, pieces, &mut Scratch::default())
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
        for (along, across, height) in sizes.over {
            match (roof.high_enough(height), &roof.slope) {
                (None, _) => low = true,
                (Some(Some(span)), Some(slope)) if slope.fall.line() == self.axis.line() => {
                    field.along = common(field.along, middles(span, along));
                }
                (Some(Some(span)), _) => {
                    field.across = common(field.across, middles(span, across));
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
    fn headers(&self, meets: (usize, usize), manner: Manner) -> Plies {
        if manner == Manner::Whole || meets.0 == meets.1 {
            return Plies::Single;
        }
        let thickness = self.thickness.unwrap_or(Length::ZERO);
        header_plies(self.joists[meets.1] - self.joists[meets.0 - 1] - thickness)
    }

    /// Of these places along the joists, those with room for headers of so many pieces.
    ///
    /// # Errors
    /// As [`Site::between_bearings`].
    fn beside(
        &self,
        manner: Manner,
        along: Span,
        sizes: &Sizes,
        headers: Plies,
    ) -> Result<Span, Length> {
        match manner {
            Manner::Cut => self.between_bearings(along, sizes, headers),
            Manner::Whole => Ok(along),
        }
    }

    /// By how much the roof is too low where, within the walls, it is best.
    fn roof_short_by(&self, sizes: &Sizes, walls: &Field, roof: &Roof) -> Length {
        let line = roof.slope.as_ref().map(|slope| slope.fall.line());
        let along_it = line == Some(self.axis.line());
        let within = if along_it { walls.along } else { walls.across };
        let best = roof.slope.as_ref().map_or(Length::ZERO, |slope| {
            slope.ridge_at().max(within.low).min(within.high)
        });
        let short = sizes.over.iter().map(|(along, across, height)| {
            let over = Span::about(best, if along_it { *along } else { *across });
            *height - roof.lowest_over(over, over)
        });
        short.max().unwrap_or(Length::ZERO)
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

    /// Whether the joists there may be cut, or carry a fan, for all that was done to them before.
    fn sound_there(&self, manner: Manner, (from, to): (usize, usize)) -> bool {
        let (low, high) = (from - 1, to);
        if self.gaps.is_empty() && !self.strutted[low..=high].contains(&true) {
            return true;
        }
        if !self.whole[low] || !self.whole[high] || self.strutted[low..=high].contains(&true) {
            return false;
        }
        (from..to).all(|joist| match manner {
            Manner::Whole => self.whole[joist],
            // What holds another opening up is not cut; what that cut already hangs between the same trimmers.
            Manner::Cut => self.gaps.iter().all(|gap| {
                let cuts = (gap.cuts.0..gap.cuts.1).contains(&joist);
                match gap.trimmers {
                    Some(trimmers) if cuts => trimmers == (low, high),
                    Some(trimmers) => trimmers.0 != joist && trimmers.1 != joist,
                    None => !cuts,
                }
            }),
        })
    }

    /// Every place across the joists, in order of kind and then of distance from the hall's middle; by how much
    /// the headers of the best one that is left out for them lack room between the bearings; and whether any was left out
    /// for what was done to its joists before.
    fn rows(
        &self,
        fan: &Fan,
        sizes: &Sizes,
        manner: Manner,
        field: &Field,
    ) -> (Vec<Row>, Option<Length>, bool) {
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
        let mut broken = false;
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
                if !self.sound_there(manner, meets) {
                    broken = true;
                    continue;
                }
                let kind = match manner {
                    Manner::Cut => meets.1 - meets.0,
                    Manner::Whole => usize::from(high),
                };
                let headers = self.headers(meets, manner);
                if let Err(by) = self.beside(manner, field.along, sizes, headers) {
                    lacking = Some(lacking.map_or(by, |least| least.min(by)));
                    continue;
                }
                rows.push(Row {
                    kind,
                    off: (at - self.across.middle()).abs(),
                    at,
                    flush: index,
                    meets,
                    range: field.along,
                });
            }
        }
        rows.sort_unstable_by_key(|row| (row.kind, row.off, row.at, row.flush));
        (rows, lacking, broken)
    }

    /// By how much the nearest row misses the field.
    fn joists_miss_by(&self, fan: &Fan, manner: Manner, field: &Field) -> Option<Length> {
        (0..self.joists.len())
            .flat_map(|index| [false, true].map(|high| self.row_at(fan, manner, index, high)))
            .filter(|at| self.meets(fan, manner, *at).is_some())
            .map(|at| (field.across.low - at).max(at - field.across.high))
            .min()
    }

    /// A room with the opening's middle there, along the joists.
    fn block(&self, room: &Room, along: Length) -> Block {
        let shift = if room.fixed { Length::ZERO } else { along };
        let along = Span::new(room.along.low + shift, room.along.high + shift);
        let (ahead, left) = self.axis.split(along, room.across);
        Block {
            ahead,
            left,
            up: room.up,
        }
    }

    /// The hall's middle along the joists, or what comes nearest to it in the range.
    fn goal(&self, range: Span) -> Length {
        self.along.middle().max(range.low).min(range.high)
    }

    /// The least move of one thing that clears the opening there.
    fn moved(&self, keep: &Keep, sizes: &Sizes, rooms: &[Room], row: &Row, along: Length) -> Move {
        let mut elsewhere = false;
        let shift = match &keep.body {
            Body::Ceiling(from_opening) => {
                let flat = Span::new(Length::ZERO, Length::inches(1));
                let (ahead, left) = self.axis.split(keep.along, keep.across);
                let up = flat;
                let thing = Solid::Block(Block { ahead, left, up });
                let about = |along_by: Length, across_by: Length| {
                    let (ahead, left) = self
                        .axis
                        .split(Span::about(along, along_by), Span::about(row.at, across_by));
                    Block { ahead, left, up }
                };
                // Rooms between the joists: the first is the opening.
                let blocks = [
                    (about(sizes.shutter.0, sizes.shutter.1), Length::ZERO),
                    (
                        about(sizes.opening, rooms[0].across.length()),
                        *from_opening,
                    ),
                ];
                let many = 1 + usize::from(*from_opening > Length::ZERO);
                let blocks = blocks[..many].iter().copied();
                let walls = self.axis.split(self.along, self.across);
                let within = Way::LEVEL
                    .iter()
                    .filter_map(|way| {
                        thing.least_shift_within(blocks.clone(), std::slice::from_ref(way))
                    })
                    .filter(|shift| match shift.way {
                        Way::Ahead => ahead.high + shift.by <= walls.0.high,
                        Way::Back => ahead.low - shift.by >= walls.0.low,
                        Way::Left => left.high + shift.by <= walls.1.high,
                        _ => left.low - shift.by >= walls.1.low,
                    })
                    .min_by_key(|shift| shift.by);
                elsewhere = within.is_none();
                within.or_else(|| thing.least_shift_within(blocks, &Way::LEVEL))
            }
            Body::Attic(solid) => {
                let rooms = rooms.iter().map(|room| {
                    let clear = if room.wood { keep.clear } else { Length::ZERO };
                    (self.block(room, along), clear)
                });
                let level = solid.least_shift_within(rooms.clone(), &Way::LEVEL);
                // A post cannot be lifted off its feet, and nothing goes up through the roof.
                let up = match solid {
                    Solid::Post(_) => None,
                    _ => solid.least_shift_within(rooms, &[Way::Up]).filter(|up| {
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
}

impl<'a> Search<'a> {
    fn run(&self) -> Placing {
        let mut scratch = Scratch::default();
        let better = self
            .work
            .carrying
            .is_some_and(|carrying| carrying.real != carrying.timber);
        let mut blocked = None;
        for wood in [Wood::Weakest, Wood::Real] {
            if wood == Wood::Real && !better {
                continue;
            }
            let free = self.free(wood, &mut scratch);
            if !free.is_empty() {
                return self.found(free, &mut scratch);
            }
            match self.lightest(wood, &mut scratch) {
                Some(it) if it.weight < NEVER => return self.with_moves(&it, &mut scratch),
                it => blocked = blocked.or(it),
            }
        }
        // Wherever it would be strong enough, something is in the way that nobody can move.
        if let Some(it) = blocked {
            return self.with_moves(&it, &mut scratch);
        }
        // Nowhere is it strong enough: what room there is, is told, and the rule about strength says that it is not.
        let free = self.free(Wood::Any, &mut scratch);
        if !free.is_empty() {
            return self.found(free, &mut scratch);
        }
        match self.lightest(Wood::Any, &mut scratch) {
            Some(it) => self.with_moves(&it, &mut scratch),
            None => Placing::Nowhere {
                why: Why::InTheWay,
                closest: None,
            },
        }
    }

    fn cuts(&self, row: &Row) -> bool {
        self.manner == Manner::Cut && row.kind > 0
    }

    /// How many pieces headers and trimmers may have, from the fewest: at least as many headers as the code asks.
    fn pieces(&self, row: &Row, wood: Wood) -> impl Iterator<Item = Pieces> + use<> {
        use Plies::{Double, Single};
        let least = self.site.headers(row.meets, self.manner);
        let cuts = self.cuts(row);
        let checked = self.work.carrying.is_some() && wood != Wood::Any;
        [
            (Single, Single),
            (Double, Single),
            (Single, Double),
            (Double, Double),
        ]
        .into_iter()
        .filter(move |(headers, trimmers)| {
            *headers >= least
                && (cuts || *headers == Single)
                && (checked || (*headers == least && *trimmers == Single))
        })
    }

    fn standing<'b>(&'b self, row: &Row, along: Length) -> Standing<'b> {
        let (from, to) = row.meets;
        let joists = &self.site.joists;
        let cut = if self.cuts(row) {
            &joists[from..to]
        } else {
            &[]
        };
        Standing {
            trimmers: (joists[from - 1], joists[to]),
            cut,
            along,
            across: row.at,
        }
    }

    /// Whether headers, and trimmers or joists under the fan, hold there.
    fn holds(&self, row: &Row, along: Length, pieces: Pieces, wood: Wood) -> Holds {
        match (self.work.carrying, wood) {
            (None, _) | (_, Wood::Any) => [true, true],
            (Some(carrying), _) => carrying.holds(
                self.fan,
                &self.standing(row, along),
                pieces,
                wood == Wood::Real,
            ),
        }
    }

    fn is_strong(&self, row: &Row, along: Length, pieces: Pieces, wood: Wood) -> bool {
        self.holds(row, along, pieces, wood) == [true, true]
    }

    /// The spans of `range` in which the frame holds; headers and trimmers are sought apart, between points that depend
    /// on the joists alone, so that no span is lost where there is more room.
    fn strong_spans(&self, row: &Row, range: Span, pieces: Pieces, wood: Wood) -> Vec<Span> {
        const STEP: Length = Length::inches(2);
        let Some(carrying) = self.work.carrying.filter(|_| wood != Wood::Any) else {
            return vec![range];
        };
        let first = carrying.bearings.low;
        let steps = (range.low - first).in_25_nm().div_euclid(STEP.in_25_nm()) + 1;
        let mut points = vec![range.low];
        let mut at = first + STEP * steps;
        while at < range.high {
            points.push(at);
            at += STEP;
        }
        points.push(range.high);
        let middle = carrying.bearings.middle();
        if holds_place(range, middle) {
            points.push(middle);
        }
        points.sort_unstable();
        points.dedup();
        let holds: Vec<Holds> = points
            .iter()
            .map(|at| self.holds(row, *at, pieces, wood))
            .collect();
        let spans = |which: usize| {
            let mut spans: Vec<Span> = Vec::new();
            let mut open: Option<Length> = None;
            for (index, at) in points.iter().enumerate() {
                let now = holds[index][which];
                let edge = |good: Length, bad: Length| {
                    let (mut good, mut bad) = (good, bad);
                    for _ in 0..16 {
                        let half = good + (bad - good) / 2;
                        if self.holds(row, half, pieces, wood)[which] {
                            good = half;
                        } else {
                            bad = half;
                        }
                    }
                    good
                };
                match (open, now) {
                    (None, true) => {
                        open = Some(match index.checked_sub(1) {
                            Some(before) => edge(*at, points[before]),
                            None => *at,
                        });
                    }
                    (Some(low), false) => {
                        spans.push(Span::new(low, edge(points[index - 1], *at)));
                        open = None;
                    }
                    _ => {}
                }
            }
            spans.extend(open.map(|low| Span::new(low, range.high)));
            spans
        };
        let (headers, trimmers) = (spans(0), spans(1));
        let both = headers
            .iter()
            .flat_map(|a| trimmers.iter().map(|b| common(*a, *b)))
            .filter(|it| !is_empty(*it));
        both.collect()
    }

    /// What must be free for this row with so many pieces; the opening itself is first.
    fn rooms(&self, row: &Row, pieces: Pieces, rooms: &mut Vec<Room>) {
        rooms.clear();
        let (site, fan) = (self.site, self.fan);
        let piece = site.thickness.map_or(Length::ZERO, |it| it.max(BOARD));
        let half_joist = site.thickness.unwrap_or(Length::ZERO) / 2;
        let below = Span::new(DEEP, Length::ZERO);
        let along = Span::about(Length::ZERO, fan.opening.length);
        let across = Span::about(row.at, fan.opening.width);
        let mut put = |along: Span, across: Span, up: Span, wood: bool| {
            rooms.push(Room {
                along,
                across,
                up,
                wood,
                fixed: false,
            });
        };
        let over = |height: Length| Span::new(Length::ZERO, height);
        put(along, across, below, true);
        let [space, frame] = self.sizes.over;
        put(
            Span::about(Length::ZERO, space.0),
            Span::about(row.at, space.1),
            over(space.2),
            false,
        );
        let frame_along = Span::about(Length::ZERO, frame.0);
        let frame_across = Span::about(row.at, frame.1);
        put(frame_along, frame_across, over(frame.2), true);
        // Headers, or blocks where no joist is cut.
        let (from, to) = row.meets;
        let (low, high) = (site.joists[from - 1], site.joists[to]);
        let bay = Span::new(low + half_joist, high - half_joist);
        let header = pieces.0.thickness(piece);
        if bay.low < bay.high {
            for ends in [
                Span::new(along.low - header, along.low),
                Span::new(along.high, along.high + header),
            ] {
                put(ends, bay, below, true);
            }
        }
        // Pieces along the opening's sides, where no joist closes it.
        let standing = if self.manner == Manner::Whole {
            &site.joists[from..to]
        } else {
            &[]
        };
        let before = standing
            .iter()
            .filter(|joist| **joist - half_joist < across.low)
            .map(|joist| *joist + half_joist)
            .max()
            .unwrap_or(bay.low);
        let after = standing
            .iter()
            .filter(|joist| **joist + half_joist > across.high)
            .map(|joist| *joist - half_joist)
            .min()
            .unwrap_or(bay.high);
        for side in [
            Span::new(before.max(across.low - piece), across.low),
            Span::new(across.high, after.min(across.high + piece)),
        ] {
            if side.low < side.high {
                put(along, side, below, true);
            }
        }
        // Boards that face the frame.
        put(
            wider(along, FACING),
            wider(across, FACING),
            over(BOARD),
            true,
        );
        if self.work.dam > Length::ZERO {
            let out = FROM_MOTOR + BOARD;
            put(
                wider(frame_along, out),
                wider(frame_across, out),
                over(self.work.dam),
                true,
            );
        }
        if pieces.1 == Plies::Double {
            let Some(carrying) = self.work.carrying else {
                return;
            };
            let mut double = |joist: Length| {
                let beside = if joist <= row.at {
                    Span::new(joist - half_joist - piece, joist - half_joist)
                } else {
                    Span::new(joist + half_joist, joist + half_joist + piece)
                };
                rooms.push(Room {
                    along: carrying.bearings,
                    across: beside,
                    up: below,
                    wood: true,
                    fixed: true,
                });
            };
            if self.cuts(row) {
                double(low);
                double(high);
            } else {
                for (index, _) in carriers(&carrying.joists, row.at, fan.frame.width) {
                    double(carrying.joists[index]);
                }
            }
        }
    }

    /// Everything in the way of an opening in this row with so many pieces, whose middle may slide along the joists,
    /// with all of it larger by `grow` on every side.
    fn gather(&self, row: &Row, range: Span, pieces: Pieces, grow: Length, scratch: &mut Scratch) {
        let site = self.site;
        self.rooms(row, pieces, &mut scratch.rooms);
        let Scratch {
            rooms, hits, spans, ..
        } = scratch;
        hits.clear();
        for room in &mut *rooms {
            if grow > Length::ZERO {
                room.along = wider(room.along, grow);
                room.across = wider(room.across, grow);
                room.up.high += grow;
            }
        }
        let both = grow * 2;
        let shutter_along = Span::about(Length::ZERO, self.sizes.shutter.0 + both);
        let shutter_across = Span::about(row.at, self.sizes.shutter.1 + both);
        let mut window = shutter_across;
        let mut reach = Span::new(
            range.low + shutter_along.low,
            range.high + shutter_along.high,
        );
        for room in &*rooms {
            window = Span::new(
                window.low.min(room.across.low),
                window.high.max(room.across.high),
            );
            let along = match room.fixed {
                true => room.along,
                false => Span::new(range.low + room.along.low, range.high + room.along.high),
            };
            reach = Span::new(reach.low.min(along.low), reach.high.max(along.high));
        }
        let (window, reach) = (wider(window, site.clear), wider(reach, site.clear));
        let from = site
            .keeps
            .partition_point(|keep| keep.across.low < window.low - site.widest);
        for (number, keep) in site.keeps.iter().enumerate().skip(from) {
            if keep.across.low >= window.high {
                break;
            }
            if keep.across.high <= window.low || !keep.along.overlaps(reach) {
                continue;
            }
            spans.clear();
            match &keep.body {
                Body::Ceiling(from_opening) => {
                    if keep.across.overlaps(shutter_across) {
                        spans.push(Span::new(
                            keep.along.low - shutter_along.high,
                            keep.along.high - shutter_along.low,
                        ));
                    }
                    if *from_opening > Length::ZERO {
                        let flat = |along: Span, across: Span| Block {
                            ahead: along,
                            left: across,
                            up: Span::new(Length::ZERO, Length::inches(1)),
                        };
                        let thing = Solid::Block(flat(keep.along, keep.across));
                        let opening = flat(rooms[0].along, rooms[0].across);
                        spans.extend(thing.hit_within(&opening, Line::Ahead, *from_opening));
                    }
                }
                Body::Attic(solid) => {
                    for room in &*rooms {
                        let clear = if room.wood { keep.clear } else { Length::ZERO };
                        if !wider(keep.up, clear).overlaps(room.up)
                            || !wider(keep.across, clear).overlaps(room.across)
                        {
                            continue;
                        }
                        let block = site.block(room, Length::ZERO);
                        let hit = solid.hit_within(&block, site.axis.line(), clear);
                        if !room.fixed {
                            spans.extend(hit);
                        } else if hit
                            .is_some_and(|it| it.low < Length::ZERO && Length::ZERO < it.high)
                        {
                            spans.push(Span::new(-FAR_OFF, FAR_OFF));
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
            spans.sort_unstable_by_key(|span| span.low);
            let first = hits.len();
            for span in spans.iter() {
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

    fn far(&self, row: &Row, along: Length) -> i128 {
        square(row.off) + square(along - self.site.along.middle())
    }

    /// The best free and strong place of each kind, the best kind first.
    fn free(&self, wood: Wood, scratch: &mut Scratch) -> Vec<Spotted> {
        let mut free: Vec<Spotted> = Vec::new();
        let checked = self.work.carrying.is_some() && wood != Wood::Any;
        for kind in self.rows.chunk_by(|a, b| a.kind == b.kind) {
            // Where no joist is cut, members as they are go before doubled ones: then there is no work on them.
            let tiers: &[Option<Plies>] = if self.cuts(&kind[0]) || !checked {
                &[None]
            } else {
                &[Some(Plies::Single), Some(Plies::Double)]
            };
            for tier in tiers {
                let mut best: Option<Spotted> = None;
                for row in kind {
                    if best.is_some_and(|best| square(row.off) >= best.far) {
                        break;
                    }
                    if let Some(it) = self.free_in(row, *tier, wood, scratch)
                        && best.is_none_or(|best| it.far < best.far)
                    {
                        best = Some(it);
                    }
                }
                if best.is_some() {
                    free.extend(best);
                    break;
                }
            }
        }
        if self.manner == Manner::Whole {
            free.sort_by_key(|it| (it.pieces.1, it.far, it.kind));
        }
        free
    }

    /// The free and strong place of a row that is nearest to the hall's middle.
    fn free_in(
        &self,
        row: &Row,
        tier: Option<Plies>,
        wood: Wood,
        scratch: &mut Scratch,
    ) -> Option<Spotted> {
        let site = self.site;
        let at = |along: Length, pieces: Pieces| Spotted {
            weight: 0,
            kind: row.kind,
            far: self.far(row, along),
            row: *row,
            along,
            pieces,
        };
        let all = || {
            self.pieces(row, wood)
                .filter(|(_, trimmers)| tier.is_none_or(|tier| *trimmers == tier))
        };
        let mut best: Option<Spotted> = None;
        let mut nearest: Option<i128> = None;
        let mut again = false;
        for pieces in all() {
            let Ok(range) = site.beside(self.manner, row.range, &self.sizes, pieces.0) else {
                continue;
            };
            self.gather(row, range, pieces, Length::ZERO, scratch);
            let Some(along) = nearest_free(range, site.goal(range), &mut scratch.hits) else {
                continue;
            };
            let it = at(along, pieces);
            let least = *nearest.get_or_insert(it.far);
            if self.is_strong(row, along, pieces, wood) {
                if it.far <= least {
                    return Some(it);
                }
                if best.is_none_or(|best| it.far < best.far) {
                    best = Some(it);
                }
            } else {
                again = true;
            }
        }
        if !again {
            return best;
        }
        for pieces in all() {
            let Ok(range) = site.beside(self.manner, row.range, &self.sizes, pieces.0) else {
                continue;
            };
            self.gather(row, range, pieces, Length::ZERO, scratch);
            let goal = site.goal(range);
            if nearest_free(range, goal, &mut scratch.hits).is_none() {
                continue;
            }
            for span in self.strong_spans(row, range, pieces, wood) {
                let goal = goal.max(span.low).min(span.high);
                let Some(along) = nearest_free(span, goal, &mut scratch.hits) else {
                    continue;
                };
                let it = at(along, pieces);
                if best.is_none_or(|best| it.far < best.far)
                    && self.is_strong(row, along, pieces, wood)
                {
                    best = Some(it);
                }
            }
        }
        best
    }

    /// The strong place where the least weight is in the way.
    fn lightest(&self, wood: Wood, scratch: &mut Scratch) -> Option<Spotted> {
        let site = self.site;
        let mut best: Option<Spotted> = None;
        for row in self.rows {
            let kind = match self.manner {
                Manner::Cut => row.kind,
                Manner::Whole => 0,
            };
            for pieces in self.pieces(row, wood) {
                // With one thing to move only a nearer row is better.
                if best.is_some_and(|it| {
                    it.weight <= 1 && (kind, square(row.off)) >= (it.kind, it.far)
                }) {
                    break;
                }
                let Ok(range) = site.beside(self.manner, row.range, &self.sizes, pieces.0) else {
                    continue;
                };
                self.gather(row, range, pieces, Length::ZERO, scratch);
                scratch.hits.sort_unstable_by_key(|hit| hit.low);
                let goal = site.goal(range);
                let everywhere = [range];
                let mut found = lightest(&everywhere, goal, scratch);
                if let Some((weight, _, at)) = found {
                    let key = (weight, kind);
                    if best.is_some_and(|it| key > (it.weight, it.kind)) {
                        continue;
                    }
                    if !self.is_strong(row, at, pieces, wood) {
                        let spans = self.strong_spans(row, range, pieces, wood);
                        found = lightest(&spans, goal, scratch)
                            .filter(|(_, _, at)| self.is_strong(row, *at, pieces, wood));
                    }
                }
                let Some((weight, _, along)) = found else {
                    continue;
                };
                let it = Spotted {
                    weight,
                    kind,
                    far: self.far(row, along),
                    row: *row,
                    along,
                    pieces,
                };
                let key = |it: &Spotted| (it.weight, it.kind, it.far);
                if best.as_ref().is_none_or(|best| key(&it) < key(best)) {
                    best = Some(it);
                }
            }
        }
        best
    }

    fn found(&self, free: Vec<Spotted>, scratch: &mut Scratch) -> Placing {
        let mut places = free.into_iter().map(|it| {
            let mut place = self.at(&it);
            place.firm = self.is_firm(&it, scratch);
            place
        });
        let place = places.next().expect("one was found");
        Placing::Found {
            place,
            others: places.collect(),
        }
    }

    /// The place with the fewest things to move, where nothing is free.
    fn with_moves(&self, it: &Spotted, scratch: &mut Scratch) -> Placing {
        let (row, along) = (&it.row, it.along);
        let range = self
            .site
            .beside(self.manner, row.range, &self.sizes, it.pieces.0)
            .unwrap_or(row.range);
        let mut place = self.at(it);
        place.moves = self.moves(&Row { range, ..*row }, along, it.pieces, scratch);
        if it.weight < NEVER {
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

    /// What must be moved for a place in this row.
    fn moves(&self, row: &Row, along: Length, pieces: Pieces, scratch: &mut Scratch) -> Vec<Move> {
        // A little beyond the place, so that what is all about it counts.
        let range = wider(row.range, Length::of_25_nm(1));
        self.gather(row, range, pieces, Length::ZERO, scratch);
        let there = scratch.hits.iter();
        let mut moves: Vec<Move> = there
            .filter(|hit| hit.low < along && along < hit.high)
            .map(|hit| {
                let keep = &self.site.keeps[hit.keep];
                self.site
                    .moved(keep, &self.sizes, &scratch.rooms, row, along)
            })
            .collect();
        moves.sort_by_key(|it| it.which);
        moves
    }

    fn at(&self, it: &Spotted) -> Place {
        let (site, row) = (self.site, &it.row);
        let (ahead, left) = site.axis.split(it.along, row.at);
        let across = site.joists[row.meets.0..row.meets.1].to_vec();
        let (cut, standing) = match self.manner {
            Manner::Cut => (across, Vec::new()),
            Manner::Whole => (Vec::new(), across),
        };
        let off_along = it.along - site.along.middle();
        Place {
            ahead,
            left,
            cut,
            standing,
            flush: site.joists[row.flush],
            turned: self.manner == Manner::Whole && row.kind == 1,
            trimmers: (site.joists[row.meets.0 - 1], site.joists[row.meets.1]),
            off_centre: Length::from_in(row.off.to_in().hypot(off_along.to_in())),
            moves: Vec::new(),
            firm: false,
        }
    }

    /// Whether something larger by the tolerance is free at that place across the joists.
    fn is_firm(&self, it: &Spotted, scratch: &mut Scratch) -> bool {
        let (site, row) = (self.site, &it.row);
        let sizes = self.sizes.larger(self.work.tolerance);
        let Ok(field) = site.field(&sizes, self.manner) else {
            return false;
        };
        if !holds_place(field.across, row.at) {
            return false;
        }
        let Ok(range) = site.beside(self.manner, field.along, &sizes, it.pieces.0) else {
            return false;
        };
        self.gather(row, range, it.pieces, self.work.tolerance, scratch);
        nearest_free(range, site.goal(range), &mut scratch.hits).is_some()
    }
}

/// The free place along the joists that is nearest to the goal, which lies in the range; the lower of two that are as near.
fn nearest_free(range: Span, goal: Length, hits: &mut [Hit]) -> Option<Length> {
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

/// The place within these spans along the joists where the least weight is in the way, nearest to the goal: that weight,
/// how far off the goal, and where. The hits come in order of their lower ends.
fn lightest(within: &[Span], goal: Length, scratch: &mut Scratch) -> Option<(u32, Length, Length)> {
    let Scratch {
        hits, highs, stops, ..
    } = scratch;
    highs.clear();
    highs.extend(hits.iter().map(|hit| (hit.high, hit.weight)));
    highs.sort_unstable();
    stops.clear();
    stops.push(goal);
    stops.extend(within.iter().flat_map(|span| [span.low, span.high]));
    stops.sort_unstable();
    // Between two ends never less is in the way than at one of them, so a look at the ends will do: what stops
    // there is gone, and what begins there does not count yet.
    let mut best: Option<(u32, Length, Length)> = None;
    let mut weight = 0_u32;
    let (mut low, mut high, mut stop) = (0, 0, 0);
    loop {
        let next_low = hits.get(low).map(|hit| hit.low);
        let next_high = highs.get(high).map(|(at, _)| *at);
        let next_stop = stops.get(stop).copied();
        let Some(at) = [next_low, next_high, next_stop].into_iter().flatten().min() else {
            return best;
        };
        while let Some((end, by)) = highs.get(high)
            && *end == at
        {
            weight -= by;
            high += 1;
        }
        if within.iter().any(|span| holds_place(*span, at)) {
            let it = (weight, (at - goal).abs(), at);
            best = Some(best.map_or(it, |best| best.min(it)));
        }
        while stops.get(stop).is_some_and(|it| *it == at) {
            stop += 1;
        }
        while let Some(hit) = hits.get(low)
            && hit.low == at
        {
            weight += hit.weight;
            low += 1;
        }
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
            borne(joists, Some(Length::sixteenths(24)), None),
            roof,
            in_attic.iter().copied(),
            on.iter().copied(),
        )
    }

    fn borne(at: Vec<Length>, thickness: Option<Length>, bearings: Option<Span>) -> Joists {
        Joists {
            at,
            thickness,
            bearings,
            ..Joists::default()
        }
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
            clear: Length::ZERO,
        }
    }

    fn found(placing: Placing) -> (Place, Vec<Place>) {
        match placing {
            Placing::Found { place, others } => (place, others),
            Placing::Nowhere { why, .. } => panic!("{why:?}"),
        }
    }

    const WORK: Work = Work {
        tolerance: Length::sixteenths(2),
        carrying: None,
        dam: Length::ZERO,
    };

    #[test]
    fn left_whole_a_joist_lies_under_the_vane_either_way_round() {
        let site = hall(every(16), None, &[], &[]);
        let (place, others) = found(site.place(&fan(Length::ZERO), Manner::Whole, &WORK));
        assert_eq!((place.ahead, place.left), (Length::ZERO, Length::ZERO));
        assert_eq!(place.standing, [Length::ZERO]);
        assert_eq!(place.trimmers, (inch(-16), inch(16)));
        assert!(place.cut.is_empty() && others.is_empty() && place.firm);

        // The vane 10 in off: the joist at 0 puts the middle at ∓10, those at ∓16 at ±6.
        let joists = vec![inch(-40), inch(-16), inch(0), inch(16), inch(40)];
        let site = hall(joists, None, &[], &[]);
        let (place, others) = found(site.place(&fan(inch(10)), Manner::Whole, &WORK));
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
        let (place, others) = found(site.place(&fan(Length::ZERO), Manner::Cut, &WORK));
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
        // To the right of the middle there is no room for 36 in of fan, nor for the 37 in that its facing boards take.
        let flue = InAttic {
            solid: Solid::Post(Post {
                ahead: inch(0),
                left: inch(-20),
                diameter: inch(8),
                up: Span::new(inch(-10), inch(90)),
            }),
            movable: Some(false),
            clear: Length::ZERO,
        };
        let site = hall(every(16), None, &[flue], &[]);
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Whole, &WORK));
        assert_eq!(
            (place.ahead, place.left),
            (Length::ZERO, Length::sixteenths(40))
        );
        assert!(place.moves.is_empty() && place.firm);

        // A pipe the whole length of the hall: it must be moved.
        let pipe = block(about(0, 400), about(0, 3), (0, 3), Some(true));
        let site = hall(every(16), None, &[flue, pipe], &[]);
        let (place, others) = found(site.place(&fan(Length::ZERO), Manner::Whole, &WORK));
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
        } = site.place(&fan(Length::ZERO), Manner::Whole, &WORK)
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
            from_opening: Length::ZERO,
        };
        let site = hall(every(16), None, &[], &[light]);
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Whole, &WORK));
        // 6 + 14 1/2 in would do; the next joist but one lies at 32 in, the hall is too narrow to pass beside it.
        assert_eq!(place.ahead, inch(-32));
        assert!(place.moves.is_empty());

        let narrow = Site::new(
            Axis::Left,
            about(0, 240),
            about(0, 28),
            borne(every(16), None, None),
            None,
            [],
            [],
        );
        assert_eq!(
            narrow.place(&fan(Length::ZERO), Manner::Whole, &WORK),
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
            borne(every(16), None, None),
            None,
            [],
            [],
        );
        let (place, _) = found(just.place(&fan(Length::ZERO), Manner::Whole, &WORK));
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
                borne(every(16), Some(Length::sixteenths(24)), None),
                Some(roof),
                [],
                [],
            )
        };
        let (place, _) = found(wide(roof(39)).place(&fan(Length::ZERO), Manner::Whole, &WORK));
        assert_eq!(place.left, inch(-12));
        assert!(!place.firm);
        assert_eq!(
            wide(roof(38)).place(&fan(Length::ZERO), Manner::Whole, &WORK),
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
            site.place(&fan(Length::ZERO), Manner::Whole, &WORK),
            Placing::Nowhere {
                why: Why::Joists {
                    by: Some(Length::sixteenths(72))
                },
                closest: None
            }
        );
        let site = hall(vec![inch(0)], None, &[], &[]);
        assert_eq!(
            site.place(&fan(Length::ZERO), Manner::Whole, &WORK),
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
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Cut, &WORK));
        assert!(place.moves.is_empty());
        let site = hall(every(16), None, &[wire(0)], &[]);
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Cut, &WORK));
        assert_eq!(place.moves.len(), 1);
    }

    #[test]
    fn new_wood_keeps_away_from_what_is_hot() {
        // Joists along the hall at 24 1/2 in: with faces 24 in apart the opening of 24 in is flush with both, and a doubled
        // trimmer takes 1 1/2 in beyond them. A chimney of 8 in with its middle 20 in off stands 2 1/2 in from a single
        // trimmer and 1 in from a doubled one.
        let half = Length::sixteenths(204);
        let chimney = |clear: i64| InAttic {
            solid: Solid::Post(Post {
                ahead: inch(0),
                left: inch(20),
                diameter: inch(8),
                up: Span::new(inch(-10), inch(90)),
            }),
            movable: Some(false),
            clear: inch(clear),
        };
        let small = Fan {
            opening: Rectangle {
                length: inch(24),
                width: inch(24),
            },
            shutter: Rectangle {
                length: inch(26),
                width: inch(26),
            },
            frame: crate::trade::fan::Boxed {
                length: inch(24),
                width: inch(24),
                height: inch(20),
            },
            clear_space: Some(crate::trade::fan::Boxed {
                length: inch(24),
                width: inch(24),
                height: inch(20),
            }),
            weight: crate::measure::Force::from_lb(30.0),
            ..fan(Length::ZERO)
        };
        let at = vec![half * -3, -half, half, half * 3];
        let bearings = about(0, 92);
        let site = |clear: i64, length: i64| {
            Site::new(
                Axis::Ahead,
                about(0, length),
                about(0, 28),
                borne(at.clone(), Some(Length::sixteenths(24)), Some(bearings)),
                None,
                [chimney(clear)],
                [],
            )
        };
        let timber = |nominal| {
            use crate::trade::attic_load::{AtticUse, Finish, ceiling_load};
            use crate::trade::lumber::{Grade, Lumber, Species};
            let section = crate::trade::section::Section::dressed(nominal);
            crate::trade::frame_strength::Timber {
                section,
                lumber: Lumber::of(Species::HemFir, Grade::No3, section.nominal_depth()),
                bearing: Length::sixteenths(24),
                load: ceiling_load(AtticUse::LimitedStorage, Finish::Flexible),
                finish: Finish::Flexible,
            }
        };
        let carrying = |nominal| Carrying {
            bearings,
            joists: at.clone(),
            timber: timber(nominal),
            real: timber(nominal),
            extra: Vec::new(),
        };
        use crate::trade::section::Nominal;
        let (strong, weak) = (carrying(Nominal::TwoByTwelve), carrying(Nominal::TwoBySix));
        let goes = |site: &Site, carrying: &Carrying| {
            let work = Work {
                carrying: Some(carrying),
                ..WORK
            };
            match site.place(&small, Manner::Cut, &work) {
                Placing::Found { place, .. } => Some((place.ahead, place.moves.len())),
                Placing::Nowhere { .. } => None,
            }
        };
        let free = |at: Option<(Length, usize)>| at.is_some_and(|(_, moves)| moves == 0);
        // Beside the chimney its facing boards are in the way; in a longer hall it goes past, if no trimmer is doubled.
        assert!(free(goes(&site(2, 240), &strong)));
        assert!(!free(goes(&site(2, 240), &weak)));
        assert!(free(goes(&site(1, 240), &weak)));
        assert!(!free(goes(&site(1, 30), &strong)));
    }

    #[test]
    fn a_smoke_alarm_is_three_feet_from_the_opening() {
        let alarm = |ahead: i64, left: i64| OnCeiling {
            ahead: about(ahead, 0),
            left: about(left, 0),
            movable: Some(true),
            from_opening: inch(36),
        };
        let mut small = fan(Length::ZERO);
        small.opening = Rectangle {
            length: inch(24),
            width: inch(24),
        };
        // Edge to edge: (30, 0) is 18 in off, (36, 36) 33.94 in, (40, 40) 39.60 in, (48, 0) just 36 in.
        for (ahead, left, near) in [
            (30, 0, true),
            (48, 0, false),
            (36, 36, true),
            (40, 40, false),
        ] {
            let site = Site::new(
                Axis::Left,
                about(0, 33),
                about(0, 33),
                borne(every(16), None, None),
                None,
                [],
                [alarm(ahead, left)],
            );
            let placing = site.place(&small, Manner::Whole, &WORK);
            let (place, _) = found(placing);
            let moved = !place.moves.is_empty() || place.off_centre > Length::ZERO;
            assert_eq!(moved, near, "{ahead} {left}: {place:?}");
        }
    }

    #[test]
    fn what_is_cut_already_carries_nothing_and_what_carries_it_is_not_cut() {
        // Joists across the hall at 16 in; a hatch cuts the one at 0 and hangs on those at ±16.
        let hall = |holes: Vec<Hole>, struts: Vec<Length>| {
            Site::new(
                Axis::Left,
                about(0, 240),
                about(0, 48),
                Joists {
                    holes,
                    under_struts: struts,
                    ..borne(every(16), Some(Length::sixteenths(24)), Some(about(0, 120)))
                },
                None,
                [],
                [],
            )
        };
        let hatch = Hole {
            ahead: about(0, 22),
            left: about(0, 30),
        };
        let site = hall(vec![hatch], Vec::new());
        assert!(!site.sound().contains(&Length::ZERO));
        let gaps: Vec<_> = site.gaps().collect();
        assert_eq!(gaps.len(), 1);
        assert_eq!((gaps[0].0, gaps[0].1), (1, (inch(-16), inch(16))));
        for manner in [Manner::Cut, Manner::Whole] {
            let (place, _) = found(site.place(&fan(Length::ZERO), manner, &WORK));
            let mut used = place.cut.clone();
            used.extend(&place.standing);
            used.extend([place.trimmers.0, place.trimmers.1]);
            assert!(!used.contains(&Length::ZERO), "{manner:?} {place:?}");
            for trimmer in [inch(-16), inch(16)] {
                assert!(!place.cut.contains(&trimmer), "{manner:?} {place:?}");
            }
        }
        // Roof struts on every joist: none may be cut or loaded.
        let site = hall(Vec::new(), every(16));
        for manner in [Manner::Cut, Manner::Whole] {
            assert_eq!(
                site.place(&fan(Length::ZERO), manner, &WORK),
                Placing::Nowhere {
                    why: Why::Broken,
                    closest: None
                }
            );
        }
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
                    borne(joists, Some(Length::sixteenths(24)), None),
                    None,
                    [],
                    [],
                );
                let mut fan = fan(Length::ZERO);
                for (by, cuts) in [(Length::ZERO, cut), (Length::of_25_nm(2), cut + 1)] {
                    fan.opening.width = room + by;
                    fan.shutter.width = room + by;
                    let (place, _) = found(site.place(&fan, Manner::Cut, &WORK));
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
                borne(every(16), Some(Length::sixteenths(24)), Some(bearings)),
                None,
                [],
                [],
            )
        };
        let bearings = Span::new(inch(-10), inch(100));
        let (place, _) = found(site(bearings).place(&fan(Length::ZERO), Manner::Cut, &WORK));
        assert_eq!(place.ahead, inch(-10 + 13) + Length::sixteenths(24));
        assert!(place.firm);
        // Left whole it may stay in the middle.
        let (place, _) = found(site(bearings).place(&fan(Length::ZERO), Manner::Whole, &WORK));
        assert_eq!(place.ahead, Length::ZERO);
        for (bearings, by) in [(about(0, 28), inch(1)), (about(140, 48), inch(25))] {
            assert_eq!(
                site(bearings).place(&fan(Length::ZERO), Manner::Cut, &WORK),
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
                borne(
                    (-6..=6)
                        .map(|n| Length::thousandths_in(19_200 * n))
                        .collect(),
                    Some(Length::sixteenths(24)),
                    Some(bearings),
                ),
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
        let (place, _) = found(site(right).place(&fan(36), Manner::Cut, &WORK));
        assert_eq!(place.cut.len(), 1);
        assert_eq!(place.left, inch(-15 + 18) + Length::sixteenths(24));
        let (place, _) = found(site(right).place(&fan(42), Manner::Cut, &WORK));
        assert_eq!(place.cut.len(), 2);
        assert_eq!(place.left, inch(-15 + 21 + 3));
        assert!(place.firm);
        // Over a span of 46 in two thicknesses lack 2 in, and one would not.
        assert_eq!(
            site(about(0, 46)).place(&fan(42), Manner::Cut, &WORK),
            Placing::Nowhere {
                why: Why::Bearings { by: inch(2) },
                closest: None
            }
        );
        let (place, _) = found(site(about(0, 48)).place(&fan(42), Manner::Cut, &WORK));
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
            borne(
                (-40..40).map(|n| far / 40 * n).collect(),
                Some(Length::sixteenths(24)),
                None,
            ),
            None,
            [block(
                Span::new(-far, far),
                Span::new(-far, far),
                (0, 12_000),
                None,
            )],
            [],
        );
        let (place, _) = found(site.place(&fan(Length::ZERO), Manner::Cut, &WORK));
        assert_eq!(place.moves.len(), 1);
    }
}
