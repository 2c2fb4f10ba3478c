//! The opening's layout: where to drill, what to cut, where each piece of wood goes.
//!
//! # Units
//! Lengths, held exactly; they are put on the tape's divisions only where they are shown.
//!
//! # The two frames
//! On the ceiling, places are from the *reference corner*: where the hall's start wall meets its left wall. Among the
//! joists, places are *along* them and *across* them from the mark, as the survey has them.
//!
//! # Source
//! Headers, trimmers, hangers and ledgers: [`opening_frame`](crate::trade::opening_frame) (IRC R802.9). Common practice,
//! no source: a joist is cut back from the opening by the thickness of its header, 1 1/2 in for each piece in it;
//! temporary boards lie across the joists a foot beyond each cut, and lap 6 in over the next joists; the shutter is faced
//! by boards whose ends are as long as the opening is wide, and whose sides are as long as the opening plus twice the
//! board's width. An opening is square where its two diagonals are alike (Pythagoras).

use crate::measure::Length;
use crate::rules::Framing;
use crate::trade::fan::Fan;
use crate::trade::frame_strength::carriers;
use crate::trade::insulation_clearance::FROM_MOTOR;
use crate::trade::opening_frame::{OpeningFrame, Plies, opening_frame};
use crate::trade::placement::{Axis, Place};
use crate::trade::section::{Nominal, Section};
use crate::trade::solid::Span;

/// How thick boards of two inches nominal are.
pub const BOARD: Length = Length::sixteenths(24);
/// How far temporary boards lap over the next joists: common practice, no source.
pub const LAP: Length = Length::inches(6);
/// How far beyond a cut a temporary board lies: common practice, no source.
pub const BEYOND_CUT: Length = Length::inches(12);
/// How far the probe stays from every joist's face, so that drill and wire pass and a tape hooks on: common practice, no
/// source.
pub const PROBE_CLEAR: Length = Length::sixteenths(36);
/// How far within the opening's corner its hole is drilled: common practice, no source.
pub const HOLE_INSIDE: Length = Length::sixteenths(12);
/// Clear round a hole's middle: half of a bit of 3/8 in, and a little.
pub const HOLE_CLEAR: Length = Length::sixteenths(5);
/// The width of the boards that face the opening, and stand on edge in the quiet box: 2 × 6.
pub const FACING: Nominal = Nominal::TwoBySix;

/// A place on the hall's ceiling, from the reference corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnCeiling {
    /// From the wall at the hall's start.
    pub from_start: Length,
    /// From the hall's left wall, as one looks down the hall from its start.
    pub from_left: Length,
}

impl OnCeiling {
    /// Straight from the corner, to check a place that two walls gave.
    ///
    /// # Examples
    /// ```
    /// use joistlight::job::layout::OnCeiling;
    /// use joistlight::measure::Length;
    /// let hole = OnCeiling { from_start: Length::inches(48), from_left: Length::inches(14) };
    /// assert_eq!(hole.from_corner(), Length::inches(50));
    /// ```
    pub fn from_corner(self) -> Length {
        diagonal(self.from_start, self.from_left)
    }
}

/// The diagonal of a rectangle with these sides, to the nearest 25 nm.
///
/// # Examples
/// An opening of 30 × 30 in is square where both diagonals are 42 7/16 in:
/// ```
/// use joistlight::job::layout::diagonal;
/// use joistlight::measure::{Length, Tape};
/// let it = diagonal(Length::inches(30), Length::inches(30));
/// assert_eq!(it.show(Tape::Sixteenth).text, "42 7/16\"");
/// ```
pub fn diagonal(a: Length, b: Length) -> Length {
    Length::from_in(a.to_in().hypot(b.to_in()))
}

/// What the joists are, as far as the layout needs it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joists {
    /// The axis along which they run.
    pub axis: Axis,
    /// How thick one is.
    pub thickness: Length,
    /// How deep one is.
    pub depth: Length,
    /// Whether it is sawn lumber, which may be cut and doubled.
    pub sawn: bool,
    /// The middles of all of them across, in order.
    pub offsets: Vec<Length>,
    /// Their span and where the mark lies in it, where that was measured.
    pub along: Option<Along>,
}

/// A joist's span.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Along {
    /// Bearing to bearing.
    pub span: Length,
    /// From the bearing behind or right to the mark.
    pub mark: Length,
    /// How much of a joist rests on each bearing.
    pub bearing: Length,
}

/// How many pieces the frame's members have, from the strength rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FramePlies {
    /// The headers.
    pub headers: Plies,
    /// The trimmers; of joists left whole, those that carry the fan.
    pub trimmers: Plies,
}

/// What a piece of wood is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Use {
    /// Stands across the cut joists' ends.
    Header,
    /// Doubles a joist beside the opening, or under the fan.
    Doubler,
    /// Closes the frame along the opening's side where no joist does.
    Side,
    /// The same in a gap too narrow for a board.
    Packing,
    /// Closes the bay between two joists at the opening's end.
    EndBlock,
    /// Carries long tail joists at a header.
    Ledger,
    /// Holds a joist up while it is cut; comes out again.
    Temporary,
    /// Faces the frame's ends.
    FacingEnd,
    /// Faces the frame's sides.
    FacingSide,
    /// Ends of the dam round the fan that holds insulation back, between its sides.
    DamEnd,
    /// Sides of that dam.
    DamSide,
    /// Ends of the box under the fan that keeps its hum out of the joists.
    QuietEnd,
    /// Sides of that box.
    QuietSide,
}

impl Use {
    /// Whether it stands on the ceiling board between the joists, so that a hole under it would be in it.
    pub const fn stands_on_ceiling(self) -> bool {
        matches!(
            self,
            Use::Header | Use::Doubler | Use::Side | Use::Packing | Use::EndBlock | Use::Ledger
        )
    }
}

/// What a piece is cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stock {
    /// Lumber of the joists' own size, species and grade.
    Joist,
    /// Plywood or scrap as thick as a gap that is too narrow for a board.
    Packing,
    /// 2 × 2.
    TwoByTwo,
    /// 2 × 4.
    TwoByFour,
    /// 2 × 6.
    TwoBySix,
    /// Whatever size is high enough for the dam.
    Dam(Nominal),
}

/// One piece of wood in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// What for.
    pub used: Use,
    /// From what.
    pub stock: Stock,
    /// Its extent along the joists.
    pub along: Span,
    /// Its extent across them.
    pub across: Span,
}

impl Piece {
    /// How long it is.
    pub fn length(&self) -> Length {
        self.along.length().max(self.across.length())
    }

    /// How thick it is, seen from above.
    pub fn thickness(&self) -> Length {
        self.along.length().min(self.across.length())
    }
}

/// Where one joist is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JoistCut {
    /// The joist's middle, across from the mark.
    pub joist: Length,
    /// What comes out, along from the mark.
    pub out: Span,
    /// From the bearing behind or right to the near cut, and from the other bearing to the far one, where known.
    pub from_bearings: Option<[Length; 2]>,
}

/// Everything that is marked out, drilled, cut and put in.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Whether joists are cut.
    pub framing: Framing,
    /// The axis along which the joists run.
    pub axis: Axis,
    /// The mark that the survey left.
    pub mark: OnCeiling,
    /// The opening's middle.
    pub middle: OnCeiling,
    /// The opening's corners, going round: start and left, start and right, end and right, end and left.
    pub corners: [OnCeiling; 4],
    /// The opening along the joists, from the mark.
    pub along: Span,
    /// The opening across the joists, from the mark.
    pub across: Span,
    /// The hole that is drilled first, clear of every joist, to see in the attic where one is.
    pub probe: OnCeiling,
    /// From the probe to the nearest joist face on either side: the lower offset first.
    pub probe_to_faces: [Length; 2],
    /// A hole just within each corner; none where a joist or a piece of the frame lies over it.
    pub holes: [Option<OnCeiling>; 4],
    /// The fan's frame, along and across from the mark.
    pub fan_frame: (Span, Span),
    /// The shutter's frame on the ceiling, ahead of and to the left of the mark.
    pub shutter: (Span, Span),
    /// Its diagonals.
    pub diagonal: Length,
    /// The joists left whole on either side, the lower offset first.
    pub trimmers: (Length, Length),
    /// Clear between their faces.
    pub bay: Span,
    /// The joists left whole across the opening.
    pub standing: Vec<Length>,
    /// A joist's thickness.
    pub joist_thickness: Length,
    /// A joist's depth.
    pub joist_depth: Length,
    /// Where joists are cut.
    pub cuts: Vec<JoistCut>,
    /// How far a joist is cut back from the opening.
    pub set_back: Length,
    /// What the code asks of the frame, where joists are cut and their span is known.
    pub code: Option<OpeningFrame>,
    /// How many pieces headers and trimmers have.
    pub plies: FramePlies,
    /// The pieces that stay, and the temporary boards.
    pub pieces: Vec<Piece>,
    /// The pieces of the quiet box, which may be left out.
    pub quiet_box: Vec<Piece>,
}

impl Layout {
    /// The opening's size down the hall.
    pub fn down_the_hall(&self) -> Length {
        match self.axis {
            Axis::Ahead => self.along.length(),
            Axis::Left => self.across.length(),
        }
    }

    /// The opening's size across the hall.
    pub fn across_the_hall(&self) -> Length {
        match self.axis {
            Axis::Ahead => self.across.length(),
            Axis::Left => self.along.length(),
        }
    }

    /// A place on the ceiling as along and across the joists from the mark.
    pub fn among_joists(&self, at: OnCeiling) -> (Length, Length) {
        let (ahead, left) = (
            at.from_start - self.mark.from_start,
            self.mark.from_left - at.from_left,
        );
        match self.axis {
            Axis::Ahead => (ahead, left),
            Axis::Left => (left, ahead),
        }
    }

    /// Adds the dam: boards on edge round the fan's frame, clear of it, as many one on the other as rise over the joists
    /// by `height`.
    pub fn add_dam(&mut self, height: Length) {
        let deep = |nominal: Nominal| Section::dressed(nominal).depth();
        let sizes = [
            Nominal::TwoByFour,
            Nominal::TwoBySix,
            Nominal::TwoByEight,
            Nominal::TwoByTen,
            Nominal::TwoByTwelve,
        ];
        let mut tiers = 1;
        let nominal = loop {
            match sizes.into_iter().find(|it| deep(*it) * tiers >= height) {
                Some(nominal) => break nominal,
                None => tiers += 1,
            }
        };
        let grown = |it: Span| Span::new(it.low - FROM_MOTOR, it.high + FROM_MOTOR);
        let (along, across) = (grown(self.fan_frame.0), grown(self.fan_frame.1));
        let mut put = |used, along, across| {
            self.pieces.push(Piece {
                used,
                stock: Stock::Dam(nominal),
                along,
                across,
            });
        };
        for _ in 0..tiers {
            for low in [along.low - BOARD, along.high] {
                put(Use::DamEnd, Span::new(low, low + BOARD), across);
            }
            let long = Span::new(along.low - BOARD, along.high + BOARD);
            for low in [across.low - BOARD, across.high] {
                put(Use::DamSide, long, Span::new(low, low + BOARD));
            }
        }
    }

    /// The pieces that are used so.
    pub fn of(&self, used: Use) -> impl Iterator<Item = &Piece> {
        self.pieces.iter().filter(move |piece| piece.used == used)
    }
}

/// Lays the opening out for this fan at this place.
pub fn layout(
    mark: OnCeiling,
    joists: &Joists,
    fan: &Fan,
    framing: Framing,
    place: &Place,
    plies: FramePlies,
) -> Layout {
    let (along_middle, across_middle) = match joists.axis {
        Axis::Ahead => (place.ahead, place.left),
        Axis::Left => (place.left, place.ahead),
    };
    let along = Span::about(along_middle, fan.opening.length);
    let across = Span::about(across_middle, fan.opening.width);
    let (ahead, left) = match joists.axis {
        Axis::Ahead => (along, across),
        Axis::Left => (across, along),
    };
    let on_ceiling = |ahead: Length, left: Length| OnCeiling {
        from_start: mark.from_start + ahead,
        from_left: mark.from_left - left,
    };
    let half = joists.thickness / 2;
    let bay = Span::new(place.trimmers.0 + half, place.trimmers.1 - half);
    let cuts_any = framing == Framing::Cut && !place.cut.is_empty();
    let set_back = plies.headers.thickness(BOARD.max(joists.thickness));
    let out = Span::new(along.low - set_back, along.high + set_back);
    let cuts = if cuts_any {
        place
            .cut
            .iter()
            .map(|&joist| JoistCut {
                joist,
                out,
                from_bearings: joists
                    .along
                    .map(|it| [it.mark + out.low, it.span - it.mark - out.high]),
            })
            .collect()
    } else {
        Vec::new()
    };
    let code = joists.along.filter(|_| cuts_any).map(|it| {
        let middles = [
            it.mark + along.low - set_back / 2,
            it.mark + along.high + set_back / 2,
        ];
        opening_frame(it.span, bay.length(), middles)
    });
    let every_joist: Vec<Span> = joists
        .offsets
        .iter()
        .map(|&joist| Span::about(joist, joists.thickness))
        .collect();
    let (probe_across, probe_to_faces) = probe(across, &every_joist);
    let mut frame = Framer {
        thickness: BOARD.max(joists.thickness),
        pieces: Vec::new(),
    };
    // What stands across the opening's ends: the joists beside it and those left whole in it.
    let mut standing: Vec<Length> = vec![place.trimmers.0];
    standing.extend_from_slice(&place.standing);
    standing.push(place.trimmers.1);
    let mut solid: Vec<Span> = standing
        .iter()
        .map(|&joist| Span::about(joist, joists.thickness))
        .collect();
    if joists.sawn && plies.trimmers == Plies::Double {
        let members = if cuts_any {
            vec![place.trimmers.0, place.trimmers.1]
        } else {
            carriers(&joists.offsets, across.middle(), fan.frame.width)
                .into_iter()
                .map(|(index, _)| joists.offsets[index])
                .collect()
        };
        frame.doublers(&members, across.middle(), joists);
        solid.extend(frame.pieces.iter().map(|piece| piece.across));
        solid.sort_by_key(|it| it.low);
    }
    if framing == Framing::Cut {
        frame.headers(along, bay, plies.headers);
        if let Some(code) = &code {
            frame.ledgers(along, bay, set_back, code.ledgers);
        }
        if cuts_any {
            let outer = Span::new(place.trimmers.0 - half, place.trimmers.1 + half);
            frame.temporary(out, outer, joists.along);
        }
    } else {
        frame.end_blocks(along, bay, &solid);
    }
    frame.sides(along, across, &solid);
    frame.facing(along, across);
    let pieces = frame.pieces;
    let hole = |along_corner: Length, across_corner: Length| {
        let inwards = |corner: Length, span: Span| {
            if corner == span.low {
                corner + HOLE_INSIDE
            } else {
                corner - HOLE_INSIDE
            }
        };
        let (a, b) = (inwards(along_corner, along), inwards(across_corner, across));
        let room = Span::about(b, HOLE_CLEAR * 2);
        let along_room = Span::about(a, HOLE_CLEAR * 2);
        let over = every_joist.iter().any(|it| it.overlaps(room))
            || pieces
                .iter()
                .filter(|it| it.used.stands_on_ceiling())
                .any(|it| it.along.overlaps(along_room) && it.across.overlaps(room));
        (!over).then(|| match joists.axis {
            Axis::Ahead => on_ceiling(a, b),
            Axis::Left => on_ceiling(b, a),
        })
    };
    let mut quiet = Framer {
        thickness: BOARD,
        pieces: Vec::new(),
    };
    quiet.quiet_box(
        Span::about(along_middle, fan.frame.length),
        Span::about(across_middle, fan.frame.width),
    );
    let of_axis = |along: Length, across: Length| match joists.axis {
        Axis::Ahead => (along, across),
        Axis::Left => (across, along),
    };
    let (shutter_ahead, shutter_left) = of_axis(fan.shutter.length, fan.shutter.width);
    let (probe_ahead, probe_left) = of_axis(along_middle, probe_across);
    let corners = match joists.axis {
        Axis::Ahead => [
            hole(along.low, across.high),
            hole(along.low, across.low),
            hole(along.high, across.low),
            hole(along.high, across.high),
        ],
        Axis::Left => [
            hole(along.high, across.low),
            hole(along.low, across.low),
            hole(along.low, across.high),
            hole(along.high, across.high),
        ],
    };
    Layout {
        framing,
        axis: joists.axis,
        mark,
        middle: on_ceiling(place.ahead, place.left),
        corners: [
            on_ceiling(ahead.low, left.high),
            on_ceiling(ahead.low, left.low),
            on_ceiling(ahead.high, left.low),
            on_ceiling(ahead.high, left.high),
        ],
        along,
        across,
        probe: on_ceiling(probe_ahead, probe_left),
        probe_to_faces,
        holes: corners,
        fan_frame: (
            Span::about(along_middle, fan.frame.length),
            Span::about(across_middle, fan.frame.width),
        ),
        shutter: (
            Span::about(place.ahead, shutter_ahead),
            Span::about(place.left, shutter_left),
        ),
        diagonal: diagonal(fan.opening.length, fan.opening.width),
        trimmers: place.trimmers,
        bay,
        standing: place.standing.clone(),
        joist_thickness: joists.thickness,
        joist_depth: joists.depth,
        cuts,
        set_back,
        code,
        plies,
        pieces,
        quiet_box: quiet.pieces,
    }
}

/// Where the probe goes across the joists within the opening, as near to its middle as is clear of every joist, and how far
/// it is from there to the nearest joist face on either side.
fn probe(opening: Span, joists: &[Span]) -> (Length, [Length; 2]) {
    let middle = opening.middle();
    let free = |at: Length| {
        let room = Span::about(at, PROBE_CLEAR * 2);
        !joists.iter().any(|it| it.overlaps(room))
    };
    let within = |at: &Length| at >= &opening.low && at <= &opening.high;
    let mut candidates = vec![middle];
    for joist in joists {
        candidates.extend([joist.low - PROBE_CLEAR, joist.high + PROBE_CLEAR]);
    }
    let at = candidates
        .into_iter()
        .filter(within)
        .filter(|it| free(*it))
        .min_by_key(|it| (*it - middle).abs())
        .unwrap_or(middle);
    let below = joists.iter().map(|it| it.high).filter(|it| *it <= at).max();
    let above = joists.iter().map(|it| it.low).filter(|it| *it >= at).min();
    (
        at,
        [
            below.map_or(Length::ZERO, |it| at - it),
            above.map_or(Length::ZERO, |it| it - at),
        ],
    )
}

/// Puts pieces in their places.
struct Framer {
    /// How thick the frame's own lumber is.
    thickness: Length,
    pieces: Vec<Piece>,
}

impl Framer {
    fn put(&mut self, used: Use, stock: Stock, along: Span, across: Span) {
        self.pieces.push(Piece {
            used,
            stock,
            along,
            across,
        });
    }

    /// Across the opening's ends, from trimmer to trimmer.
    fn headers(&mut self, along: Span, bay: Span, plies: Plies) {
        let thick = self.thickness;
        for ply in 0..i64::from(plies.count()) {
            let near = along.low - thick * (ply + 1);
            let far = along.high + thick * ply;
            for low in [near, far] {
                let along = Span::new(low, low + thick);
                self.put(Use::Header, Stock::Joist, along, bay);
            }
        }
    }

    /// Under the tail joists, along the headers that need them.
    fn ledgers(&mut self, along: Span, bay: Span, set_back: Length, needed: [bool; 2]) {
        let near = Span::new(along.low - set_back - BOARD, along.low - set_back);
        let far = Span::new(along.high + set_back, along.high + set_back + BOARD);
        for (place, needed) in [near, far].into_iter().zip(needed) {
            if needed {
                self.put(Use::Ledger, Stock::TwoByTwo, place, bay);
            }
        }
    }

    /// Over the joists, a foot beyond each cut or as far as the bearings allow.
    fn temporary(&mut self, out: Span, outer: Span, along: Option<Along>) {
        let wide = Length::sixteenths(56);
        let across = Span::new(outer.low - LAP, outer.high + LAP);
        let (mut near, mut far) = (out.low - BEYOND_CUT, out.high + BEYOND_CUT);
        if let Some(it) = along {
            near = near.max(wide - it.mark).min(out.low);
            far = far.min(it.span - it.mark - wide).max(out.high);
        }
        self.put(
            Use::Temporary,
            Stock::TwoByFour,
            Span::new(near - wide, near),
            across,
        );
        self.put(
            Use::Temporary,
            Stock::TwoByFour,
            Span::new(far, far + wide),
            across,
        );
    }

    /// Between each two neighbours of what stands in the bay, at both ends of the opening.
    fn end_blocks(&mut self, along: Span, bay: Span, solid: &[Span]) {
        let mut from = bay.low;
        for it in solid {
            let clear = Span::new(from, it.low.min(bay.high));
            if clear.length() > Length::ZERO {
                for low in [along.low - self.thickness, along.high] {
                    let ends = Span::new(low, low + self.thickness);
                    self.put(Use::EndBlock, Stock::Joist, ends, clear);
                }
            }
            from = from.max(it.high);
        }
    }

    /// Along the opening's sides, where a gap is left to the joist beside it.
    fn sides(&mut self, along: Span, across: Span, solid: &[Span]) {
        let before = solid
            .iter()
            .filter(|it| it.low < across.low)
            .map(|it| it.high)
            .max();
        let after = solid
            .iter()
            .filter(|it| it.high > across.high)
            .map(|it| it.low)
            .min();
        let gaps = [
            before.map(|face| (Span::new(face, across.low), true)),
            after.map(|face| (Span::new(across.high, face), false)),
        ];
        for (gap, at_low) in gaps.into_iter().flatten() {
            if gap.length() <= Length::ZERO {
                continue;
            }
            if gap.length() < self.thickness {
                self.put(Use::Packing, Stock::Packing, along, gap);
                continue;
            }
            let side = if at_low {
                Span::new(gap.high - self.thickness, gap.high)
            } else {
                Span::new(gap.low, gap.low + self.thickness)
            };
            self.put(Use::Side, Stock::Joist, along, side);
        }
    }

    /// Beside joists, on the side away from the opening's middle, from bearing to bearing.
    fn doublers(&mut self, members: &[Length], middle: Length, joists: &Joists) {
        let Some(it) = joists.along else { return };
        let along = Span::new(-it.mark - it.bearing, it.span - it.mark + it.bearing);
        let half = joists.thickness / 2;
        for &member in members {
            let across = if member <= middle {
                Span::new(member - half - self.thickness, member - half)
            } else {
                Span::new(member + half, member + half + self.thickness)
            };
            self.put(Use::Doubler, Stock::Joist, along, across);
        }
    }

    /// Flat on the frame round the opening.
    fn facing(&mut self, along: Span, across: Span) {
        let wide = facing_width();
        for low in [along.low - wide, along.high] {
            let ends = Span::new(low, low + wide);
            self.put(Use::FacingEnd, Stock::TwoBySix, ends, across);
        }
        let long = Span::new(along.low - wide, along.high + wide);
        for low in [across.low - wide, across.high] {
            let side = Span::new(low, low + wide);
            self.put(Use::FacingSide, Stock::TwoBySix, long, side);
        }
    }

    /// On edge under the fan's frame.
    fn quiet_box(&mut self, along: Span, across: Span) {
        let within = Span::new(across.low + BOARD, across.high - BOARD);
        for low in [along.low, along.high - BOARD] {
            let ends = Span::new(low, low + BOARD);
            self.put(Use::QuietEnd, Stock::TwoBySix, ends, within);
        }
        for low in [across.low, across.high - BOARD] {
            let side = Span::new(low, low + BOARD);
            self.put(Use::QuietSide, Stock::TwoBySix, along, side);
        }
    }
}

/// How wide a facing board is.
pub fn facing_width() -> Length {
    Section::dressed(FACING).depth()
}

#[cfg(test)]
pub(super) mod test {
    use super::*;
    use crate::trade::fan::generic;

    /// Joists of 14 ft at these whole inches, the mark 80 in from their bearing; they lie across the hall.
    pub fn joists(offsets: &[i64]) -> Joists {
        Joists {
            axis: Axis::Left,
            thickness: BOARD,
            depth: Length::sixteenths(88),
            sawn: true,
            offsets: offsets.iter().map(|n| Length::inches(*n)).collect(),
            along: Some(Along {
                span: Length::inches(168),
                mark: Length::inches(80),
                bearing: Length::sixteenths(56),
            }),
        }
    }

    /// A generic fan.
    pub fn fan(id: &str) -> Fan {
        let found = generic().fans.iter().find(|fan| fan.id == id);
        found.expect("a generic fan").clone()
    }

    /// A place with its middle there: joists cut, joists standing, trimmers.
    pub fn place(middle: Length, joists: (&[i64], &[i64], (i64, i64))) -> Place {
        let (cut, standing, trimmers) = joists;
        let inches = |all: &[i64]| all.iter().map(|n| Length::inches(*n)).collect();
        Place {
            ahead: middle,
            left: Length::ZERO,
            cut: inches(cut),
            standing: inches(standing),
            flush: Length::inches(trimmers.0),
            turned: false,
            trimmers: (Length::inches(trimmers.0), Length::inches(trimmers.1)),
            off_centre: Length::ZERO,
            moves: Vec::new(),
            firm: true,
        }
    }

    /// The mark: 5 ft from the start wall, 2 ft from the left wall.
    pub const MARK: OnCeiling = OnCeiling {
        from_start: Length::inches(60),
        from_left: Length::inches(24),
    };

    /// A layout, where joists are cut flush with the first trimmer; headers and trimmers of so many pieces.
    pub fn layout_of(
        id: &str,
        joists: &Joists,
        framing: Framing,
        at: (&[i64], &[i64], (i64, i64)),
        plies: Plies,
    ) -> (Layout, Fan) {
        let fan = fan(id);
        let middle = match framing {
            Framing::Cut => Length::inches(at.2.0) + BOARD / 2 + fan.opening.width / 2,
            Framing::Whole => Length::inches(at.2.0 + at.2.1) / 2,
        };
        let plies = FramePlies {
            headers: plies,
            trimmers: plies,
        };
        let it = layout(MARK, joists, &fan, framing, &place(middle, at), plies);
        (it, fan)
    }
}

#[cfg(test)]
mod tests {
    use super::test::*;
    use super::*;
    use crate::trade::fan::generic;
    use proptest::prelude::*;

    fn inch(n: i64) -> Length {
        Length::inches(n)
    }

    fn plies(headers: Plies, trimmers: Plies) -> FramePlies {
        FramePlies { headers, trimmers }
    }

    /// A 30 in opening among joists at 16 in that lie across the hall, one of them cut.
    fn one_cut() -> Layout {
        // Flush with the joist at 0, whose far face is at 3/4 in: the middle is at 15 3/4 in.
        layout(
            MARK,
            &joists(&[-32, -16, 0, 16, 32, 48]),
            &fan("direct-30"),
            Framing::Cut,
            &place(Length::sixteenths(252), (&[16], &[], (0, 32))),
            plies(Plies::Double, Plies::Double),
        )
    }

    #[test]
    fn holes_and_corners_are_measured_from_the_reference_corner() {
        let it = one_cut();
        // 60 + 15 3/4 from the start wall; the mark's own 24 from the left wall.
        assert_eq!(it.middle.from_start, Length::sixteenths(1212));
        assert_eq!(it.middle.from_left, inch(24));
        let [a, b, c, d] = it.corners;
        assert_eq!(
            (a.from_start, a.from_left),
            (Length::sixteenths(972), inch(9))
        );
        assert_eq!(
            (b.from_start, b.from_left),
            (Length::sixteenths(972), inch(39))
        );
        assert_eq!(
            (c.from_start, c.from_left),
            (Length::sixteenths(1452), inch(39))
        );
        assert_eq!(
            (d.from_start, d.from_left),
            (Length::sixteenths(1452), inch(9))
        );
        // 30 × √2 = 42.426407 in (derived).
        assert!((it.diagonal.to_in() - 42.426407).abs() < 1e-6);
    }

    #[test]
    fn a_cut_joist_is_set_back_by_its_header() {
        let it = one_cut();
        assert_eq!(it.set_back, inch(3));
        let cut = &it.cuts[0];
        // The opening is from 15 in before the mark to 15 in past it, along the joists.
        assert_eq!(cut.out, Span::new(inch(-18), inch(18)));
        assert_eq!(cut.from_bearings, Some([inch(62), inch(70)]));
        let headers: Vec<&Piece> = it.of(Use::Header).collect();
        assert_eq!(headers.len(), 4);
        // Between the faces of joists at 0 and 32: 30 1/2 in.
        assert!(
            headers
                .iter()
                .all(|it| it.length() == Length::sixteenths(488))
        );
        // Doublers reach over both bearings.
        let doublers: Vec<&Piece> = it.of(Use::Doubler).collect();
        assert_eq!(doublers.len(), 2);
        assert_eq!(doublers[0].length(), inch(175));
        // Half an inch is left to the far trimmer: packing, not a board.
        let packing: Vec<&Piece> = it.of(Use::Packing).collect();
        assert_eq!(packing.len(), 1);
        assert_eq!(packing[0].thickness(), Length::sixteenths(8));
        assert_eq!(packing[0].length(), inch(30));
        // Temporary boards lap 6 in past both joists' far faces: 32 + 1 1/2 + 12.
        let boards: Vec<&Piece> = it.of(Use::Temporary).collect();
        assert_eq!(boards.len(), 2);
        assert!(
            boards
                .iter()
                .all(|it| it.length() == Length::sixteenths(728))
        );
        assert!(
            boards
                .iter()
                .all(|it| it.along.high < inch(-18) || it.along.low > inch(18))
        );
    }

    #[test]
    fn the_quiet_box_stands_under_the_fans_frame() {
        // A frame of 37 × 37 in: sides of 37 in, and ends between them, two boards of 1 1/2 in shorter.
        let it = one_cut();
        let of = |used| {
            let pieces = it.quiet_box.iter().filter(move |it| it.used == used);
            pieces.map(Piece::length).collect::<Vec<_>>()
        };
        assert_eq!(of(Use::QuietSide), [inch(37), inch(37)]);
        assert_eq!(of(Use::QuietEnd), [inch(34), inch(34)]);
        assert_eq!(it.quiet_box.len(), 4);
        assert!(it.quiet_box.iter().all(|it| it.stock == Stock::TwoBySix));
    }

    #[test]
    fn joists_left_whole_are_blocked_bay_by_bay() {
        let it = layout(
            MARK,
            &joists(&[-36, -12, 12, 36]),
            &fan("belt-36"),
            Framing::Whole,
            &place(Length::ZERO, (&[], &[-12, 12], (-36, 36))),
            plies(Plies::Single, Plies::Single),
        );
        assert!(it.cuts.is_empty() && it.code.is_none());
        assert_eq!(it.of(Use::Header).count(), 0);
        assert_eq!(it.of(Use::Temporary).count(), 0);
        // Three bays of 22 1/2 in, closed at both ends.
        let blocks: Vec<&Piece> = it.of(Use::EndBlock).collect();
        assert_eq!(blocks.len(), 6);
        assert!(
            blocks
                .iter()
                .all(|it| it.length() == Length::sixteenths(360))
        );
        // The sides, at 18 in, lie within the outer bays.
        let sides: Vec<&Piece> = it.of(Use::Side).collect();
        assert_eq!(sides.len(), 2);
        assert!(sides.iter().all(|it| it.length() == inch(36)));
    }

    #[test]
    fn a_doubled_joist_left_whole_shortens_the_blocks_beside_it() {
        let it = layout(
            MARK,
            &joists(&[-36, -12, 12, 36]),
            &fan("belt-36"),
            Framing::Whole,
            &place(Length::ZERO, (&[], &[-12, 12], (-36, 36))),
            plies(Plies::Single, Plies::Double),
        );
        // The frame of 41 in stands on the joists at ±12 alone.
        assert_eq!(it.of(Use::Doubler).count(), 2);
        let mut lengths: Vec<Length> = it.of(Use::EndBlock).map(Piece::length).collect();
        lengths.sort();
        assert_eq!(lengths[0], inch(21));
        assert_eq!(lengths[5], Length::sixteenths(360));
    }

    #[test]
    fn the_facing_of_the_largest_generic_opening_comes_out_of_two_boards_of_8_ft() {
        use crate::job::boards::{AS_SOLD, KERF, Wanted, buy};
        let it = layout(
            MARK,
            &joists(&[-48, -24, 0, 24, 48]),
            &fan("belt-42"),
            Framing::Cut,
            &place(Length::sixteenths(-36), (&[-24, 0], &[], (-48, 24))),
            plies(Plies::Double, Plies::Double),
        );
        let facing: Vec<Wanted> = it
            .pieces
            .iter()
            .filter(|it| matches!(it.used, Use::FacingEnd | Use::FacingSide))
            .map(|it| Wanted {
                length: it.length(),
                count: 1,
            })
            .collect();
        let lengths: Vec<Length> = facing.iter().map(|it| it.length).collect();
        assert_eq!(lengths, [inch(42), inch(42), inch(53), inch(53)]);
        let shopping = buy(&facing, AS_SOLD, KERF).unwrap();
        assert_eq!(shopping.bought(), Length::feet(16));
        assert!(shopping.boards.iter().all(|it| it.stock == Length::feet(8)));
    }

    #[test]
    fn long_tails_stand_on_ledgers() {
        let far = Joists {
            along: Some(Along {
                span: inch(240),
                mark: inch(60),
                bearing: BOARD,
            }),
            ..joists(&[-16, 0, 16, 32, 48])
        };
        let it = layout(
            MARK,
            &far,
            &fan("direct-30"),
            Framing::Cut,
            &place(Length::sixteenths(252), (&[16], &[], (0, 32))),
            plies(Plies::Single, Plies::Single),
        );
        // 240 − 60 − 15 = 165 in, more than 12 ft.
        assert_eq!(it.code.unwrap().ledgers, [false, true]);
        assert_eq!(it.of(Use::Ledger).count(), 1);
    }

    /// An opening somewhere among joists of one spacing, cut or left whole.
    fn any_layout() -> impl Strategy<Value = (Layout, Fan)> {
        (
            0..generic().fans.len(),
            12_i64..=24,
            -12_i64 * 64..=12 * 64,
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
            1_i64..=4,
        )
            .prop_map(|(fan, spacing, shift, whole, wide, heads, trims, at)| {
                let fan = generic().fans[fan].clone();
                let offsets: Vec<Length> = (-8..=8).map(|n| inch(spacing * n)).collect();
                let half = fan.opening.width / 2;
                let middle = if whole {
                    Length::sixty_fourths(shift)
                } else {
                    inch(spacing * (at - 2)) + BOARD / 2 + half
                };
                let span = Span::about(middle, fan.opening.width);
                let meets =
                    |it: &&Length| **it + BOARD / 2 > span.low && **it - BOARD / 2 < span.high;
                let inside: Vec<Length> = offsets.iter().filter(meets).copied().collect();
                let low = *offsets
                    .iter()
                    .rfind(|it| **it + BOARD / 2 <= span.low)
                    .unwrap();
                let high = *offsets
                    .iter()
                    .find(|it| **it - BOARD / 2 >= span.high)
                    .unwrap();
                let axis = if wide { Axis::Ahead } else { Axis::Left };
                let place = Place {
                    ahead: if wide { Length::ZERO } else { middle },
                    left: if wide { middle } else { Length::ZERO },
                    cut: if whole { Vec::new() } else { inside.clone() },
                    standing: if whole { inside } else { Vec::new() },
                    flush: low,
                    turned: false,
                    trimmers: (low, high),
                    off_centre: Length::ZERO,
                    moves: Vec::new(),
                    firm: true,
                };
                let joists = Joists {
                    axis,
                    offsets,
                    ..joists(&[])
                };
                let ply = |double| if double { Plies::Double } else { Plies::Single };
                let framing = if whole { Framing::Whole } else { Framing::Cut };
                let it = layout(
                    MARK,
                    &joists,
                    &fan,
                    framing,
                    &place,
                    plies(ply(heads), ply(trims)),
                );
                (it, fan)
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
        #[test]
        fn corners_agree_with_sides_and_diagonals((it, fan) in any_layout()) {
            let [a, b, c, d] = it.corners;
            let apart = |p: OnCeiling, q: OnCeiling| {
                diagonal(p.from_start - q.from_start, p.from_left - q.from_left)
            };
            prop_assert_eq!(apart(a, b), it.across_the_hall());
            prop_assert_eq!(apart(c, d), it.across_the_hall());
            prop_assert_eq!(apart(b, c), it.down_the_hall());
            prop_assert_eq!(apart(d, a), it.down_the_hall());
            prop_assert_eq!(apart(a, c), it.diagonal);
            prop_assert_eq!(apart(b, d), it.diagonal);
            prop_assert_eq!(it.along.length(), fan.opening.length);
            prop_assert_eq!(it.across.length(), fan.opening.width);
            // Corner 1 is the nearest to both walls.
            for other in [b, c, d] {
                prop_assert!(a.from_start <= other.from_start && a.from_left <= other.from_left);
            }
            // The middle lies between opposite corners.
            let middle = (a.from_start + c.from_start - it.middle.from_start * 2).abs();
            prop_assert!(middle <= Length::of_25_nm(2));
        }

        #[test]
        fn pieces_fill_the_frame((it, _fan) in any_layout()) {
            // Across each end of the opening, wood stands from trimmer to trimmer without a gap.
            let solid = |p: &&Piece| !matches!(
                p.used,
                Use::Temporary | Use::FacingEnd | Use::FacingSide | Use::Ledger
            );
            let mut joists: Vec<Span> = it.standing.iter().map(|j| Span::about(*j, it.joist_thickness)).collect();
            joists.push(Span::about(it.trimmers.0, it.joist_thickness));
            joists.push(Span::about(it.trimmers.1, it.joist_thickness));
            let little = Length::sixty_fourths(1);
            let covered = |mut spans: Vec<Span>, over: Span| {
                spans.sort_by_key(|s| s.low);
                let mut reached = over.low;
                for s in spans {
                    if s.low > reached {
                        break;
                    }
                    reached = reached.max(s.high);
                }
                reached >= over.high
            };
            for at in [it.along.low - little, it.along.high + little] {
                let mut spans: Vec<Span> = it.pieces.iter().filter(solid)
                    .filter(|p| p.along.low <= at && at <= p.along.high)
                    .map(|p| p.across).collect();
                spans.extend(&joists);
                prop_assert!(covered(spans, it.bay), "end at {}", at);
            }
            // Along each side of the opening too.
            for at in [it.across.low - little, it.across.high + little] {
                let spans: Vec<Span> = it.pieces.iter().filter(solid)
                    .filter(|p| p.across.low <= at && at <= p.across.high)
                    .map(|p| p.along).collect();
                let beside = joists.iter().any(|j| j.low <= at && at <= j.high);
                prop_assert!(beside || covered(spans, it.along), "side at {}", at);
            }
            // No two pieces of the frame stand in each other, nor in a joist that stays.
            let frame: Vec<&Piece> = it.pieces.iter().filter(solid).collect();
            for (index, p) in frame.iter().enumerate() {
                for q in &frame[index + 1..] {
                    prop_assert!(!(p.along.overlaps(q.along) && p.across.overlaps(q.across)), "{:?} {:?}", p, q);
                }
                for j in &joists {
                    prop_assert!(!p.across.overlaps(*j), "{:?} {:?}", p, j);
                }
            }
            // What stays never reaches into the opening, doubled joists left whole aside.
            for p in &frame {
                let inside = p.along.overlaps(it.along) && p.across.overlaps(it.across);
                prop_assert!(!inside || p.used == Use::Doubler);
            }
        }
    }
}
