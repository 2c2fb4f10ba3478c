//! Fasteners, hangers, foam, dam and patches for this one opening.
//!
//! # Units
//! Counts, lengths, weights as [`Force`] (lb).
//!
//! # Source
//! * How many nails a joint has: IRC Table R602.3(1) where it names the joint (joists to plates, laps and blocking
//!   confirmed; built-up members and end nails from memory), a framing handbook's floor opening (3-16d at each header
//!   end, confirmed) and the rule on strength for headers; each row of [`Nailing`] cites its own. The
//!   opening is nailed with common nails, 12d where the wood is thick enough, else the longest that ends in it. Where a
//!   schedule counts 16d common nails, as many 12d nails stand for them
//!   as carry the same, four for three ([`fastening`](crate::trade::fastening)).
//! * Ceiling board on the new frame: nails at most 7 in apart on ceilings (Gypsum Association, "Using gypsum board for
//!   walls and ceilings", section III, confirmed).
//! * Common practice, no source: two fasteners a side hold the fan frame; deck screws No. 8 × 2 1/2 in; two screws in
//!   each cut joist and one in each next one hold a temporary board; one fastener in ten is bent or dropped; for a usual
//!   opening about 2 1/2 lb of 12d common nails, about 30 ring-shank drywall nails, 12 to 16 deck screws.
//!
//! # Examples
//! Along one edge of 30 in, ceiling nails at most 7 in apart, one at each end:
//! ```
//! use joistlight::job::materials::{along, CEILING_NAILS_APART};
//! use joistlight::measure::Length;
//! assert_eq!(along(Length::inches(30), CEILING_NAILS_APART), 6);
//! assert_eq!(along(Length::inches(28), CEILING_NAILS_APART), 5);
//! ```

use super::cutlist::foam_strip;
use super::layout::{BOARD, Layout, Piece, Use};
use crate::measure::{Force, Length};
use crate::trade::fan::Fan;
use crate::trade::fastening::{LEAST_END_NAILS, Nail, in_each_piece, in_place_of_16d};
use crate::trade::insulation_clearance::FROM_MOTOR;
use crate::trade::opening_frame::Plies;
use crate::trade::source::Source;

/// The most that ceiling nails may lie apart.
pub const CEILING_NAILS_APART: Length = Length::inches(7);
/// Of so many fasteners one more is bought.
const ONE_SPARE_IN: u32 = 10;

const OPENING: Source = Source::confirmed(
    "handbook, framed floor openings: three 16d nails at each end; four of 12d for them, NDS 12.3",
);
const HEADER_ENDS: Source = Source::derived(
    "what the header's end carries by the rule on strength, in 12d nails for 16d; at least four in each piece",
);
const BUILT_UP_HEADER: Source = Source::from_memory(
    "IRC Table R602.3(1), built-up header: nails of 0.135 in or more 12 in apart along each edge",
);
const BUILT_UP_JOIST: Source = Source::from_memory(
    "IRC Table R602.3(1), built-up members: 24 in apart at top and bottom, three at each end",
);
const BLOCKING: Source =
    Source::confirmed("IRC Table R602.3(1), blocking: three nails at each end");
const LEDGER: Source = Source::from_memory(
    "IRC Table R602.3(1), ledger strip: three 16d nails at each joist; four of 12d for them, NDS 12.3",
);
const PRACTICE_BOARDS: Source =
    Source::practice("flat boards: two nails every 16 in and at the ends");
const GYPSUM: Source = Source::confirmed(
    "Gypsum Association, Using Gypsum Board for Walls and Ceilings, section III: nails at most 7 in apart on ceilings",
);
const FAN_FRAME: Source = Source::practice("two fasteners a side hold the fan frame");
const DAM: Source = Source::practice(
    "dam: two nails at each corner of each board, two toenails in a joist on each side",
);
const TEMPORARY: Source =
    Source::practice("temporary boards: two screws in each cut joist, one in each next one");

/// A fastener.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fastener {
    /// A nail.
    Nail(Nail),
    /// Deck screw No. 8 × 2 1/2 in.
    DeckScrew,
}

impl Fastener {
    /// How long it is.
    pub const fn length(self) -> Length {
        match self {
            Fastener::Nail(nail) => nail.length(),
            Fastener::DeckScrew => Length::sixteenths(40),
        }
    }
}

/// Where fasteners go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Joint {
    /// Ends of headers, through the trimmers.
    HeaderEnds,
    /// Ends of cut joists, through the headers.
    TailJoists,
    /// The two pieces of each header together.
    HeaderPlies,
    /// Doubled joists together.
    Doublers,
    /// Side pieces and blocks at their ends.
    Blocks,
    /// Packing against its joist.
    Packing,
    /// Ledgers under tail joists.
    Ledgers,
    /// Facing boards on the frame.
    Facing,
    /// Ceiling board on the new frame.
    CeilingBoard,
    /// The fan's frame on its boards.
    FanFrame,
    /// Temporary boards on the joists.
    TemporaryBoards,
    /// The dam's corners.
    DamCorners,
    /// The dam on the joists, toenailed.
    DamOnJoists,
}

/// Joints alike: so many places with so many fasteners each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Nailing {
    /// Where.
    pub joint: Joint,
    /// How many places.
    pub places: u32,
    /// Fasteners at each.
    pub each: u32,
    /// With what.
    pub kind: Fastener,
    /// The wood that one is driven into, in all: never less than its length.
    pub wood: Length,
    /// Where the number comes from.
    pub source: Source,
}

impl Nailing {
    /// Fasteners in all.
    pub const fn count(&self) -> u32 {
        self.places * self.each
    }
}

/// Fasteners of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Fasteners {
    /// Which.
    pub kind: Fastener,
    /// Where they go.
    pub nailings: Vec<Nailing>,
}

impl Fasteners {
    /// How many are driven.
    pub fn driven(&self) -> u32 {
        self.nailings.iter().map(Nailing::count).sum()
    }

    /// How many to take along: one spare in ten.
    pub fn to_take(&self) -> u32 {
        let driven = self.driven();
        driven + driven.div_ceil(ONE_SPARE_IN)
    }

    /// What those to take along weigh; screws are counted, not weighed.
    pub fn weight(&self) -> Option<Force> {
        let Fastener::Nail(nail) = self.kind else {
            return None;
        };
        Some(nail.weight() * f64::from(self.to_take()))
    }

    /// That weight as nails are sold, by the half pound.
    pub fn weight_sold(&self) -> Option<Force> {
        self.weight()
            .map(|it| Force::from_lb((it.lb() * 2.0 - 1e-9).ceil() / 2.0))
    }
}

/// Approved hangers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hangers {
    /// How many, one at each end of each header.
    pub count: u32,
    /// For headers of so many pieces.
    pub plies: Plies,
    /// Whether the code asks for them; otherwise they are the better way.
    pub required: bool,
}

/// The dam that holds loose insulation back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dam {
    /// How high it stands over the joists.
    pub height: Length,
    /// How long it is in all.
    pub round: Length,
}

/// All that is taken along besides wood.
#[derive(Debug, Clone, PartialEq)]
pub struct Materials {
    /// Fasteners, kind by kind.
    pub fasteners: Vec<Fasteners>,
    /// Hangers for the headers, where joists are cut.
    pub hangers: Option<Hangers>,
    /// Foam strip between fan and frame.
    pub foam: Length,
    /// The dam, where insulation rises over the joists.
    pub dam: Option<Dam>,
    /// The ceiling board that is cut out of the opening, down the hall and across it.
    pub ceiling_out: (Length, Length),
    /// Pieces of ceiling board for holes that things moved out of the way leave, down the hall and across it.
    pub patches: Vec<(Length, Length)>,
}

/// Fasteners along an edge, at most so far apart, with one at each end.
pub fn along(edge: Length, apart: Length) -> u32 {
    let steps = edge / apart;
    1 + (steps - 1e-9).ceil().clamp(0.0, 1e4) as u32
}

/// Pairs of nails along a board, every 16 in and at both ends.
fn pairs(board: Length) -> u32 {
    along(board, Length::inches(16)) * 2
}

/// Materials for this opening. `end_nails` is how many 16d common nails the strength of each header end asks for;
/// `over_joists` how far insulation rises over the joists; `moved` the sizes of ceiling things that
/// leave a hole.
pub fn materials(
    layout: &Layout,
    fan: &Fan,
    end_nails: Option<u32>,
    over_joists: Option<Length>,
    moved: &[(Length, Length)],
) -> Materials {
    let cuts = u32::try_from(layout.cuts.len()).unwrap_or(u32::MAX);
    let count = |used: Use| u32::try_from(layout.of(used).count()).unwrap_or(u32::MAX);
    let each = |used: Use, fasteners: &dyn Fn(Length) -> u32| -> u32 {
        layout.of(used).map(Piece::length).map(fasteners).sum()
    };
    let plies = u32::from(layout.plies.headers.count());
    let least = in_place_of_16d(LEAST_END_NAILS, Nail::Common12d);
    let at_header_end = in_each_piece(end_nails.unwrap_or(0), plies);
    // The wood that a nail is driven into: the piece it goes through and the one that it ends in.
    let joist = layout.joist_thickness;
    let board = BOARD.max(joist);
    let shortest = |uses: &[Use]| {
        let lengths = layout.pieces.iter().filter(|it| uses.contains(&it.used));
        lengths.map(Piece::length).min().unwrap_or(Length::ZERO)
    };
    let thinnest = layout.of(Use::Packing).map(Piece::thickness).min();
    let thinnest = thinnest.unwrap_or(Length::ZERO);
    let one = |joint, places, each, wood, source| Nailing {
        joint,
        places,
        each,
        kind: Fastener::Nail(Nail::within(wood).unwrap_or(Nail::Common4d)),
        wood,
        source,
    };
    let built_up = if plies == 2 {
        // Each pair of pieces is nailed once along both edges.
        each(Use::Header, &|it| 2 * along(it, Length::inches(12))) / 2
    } else {
        0
    };
    let (down, across) = (layout.down_the_hall(), layout.across_the_hall());
    let edges = 2 * (along(down, CEILING_NAILS_APART) + along(across, CEILING_NAILS_APART));
    let dam_ends = count(Use::DamEnd);
    let nailings = [
        one(
            Joint::HeaderEnds,
            count(Use::Header) * 2,
            at_header_end,
            joist + shortest(&[Use::Header]),
            HEADER_ENDS,
        ),
        one(
            Joint::TailJoists,
            cuts * 2,
            least,
            board + Length::inches(12),
            OPENING,
        ),
        one(Joint::HeaderPlies, built_up, 1, board * 2, BUILT_UP_HEADER),
        one(
            Joint::Doublers,
            each(Use::Doubler, &|it| 2 * along(it, Length::inches(24)) + 6),
            1,
            board + joist,
            BUILT_UP_JOIST,
        ),
        one(
            Joint::Blocks,
            (count(Use::Side) + count(Use::EndBlock)) * 2,
            3,
            joist + shortest(&[Use::Side, Use::EndBlock]),
            BLOCKING,
        ),
        one(
            Joint::Packing,
            each(Use::Packing, &pairs),
            1,
            thinnest + joist,
            PRACTICE_BOARDS,
        ),
        one(
            Joint::Ledgers,
            count(Use::Ledger) * cuts,
            4,
            BOARD + layout.set_back,
            LEDGER,
        ),
        one(
            Joint::Facing,
            each(Use::FacingEnd, &pairs) + each(Use::FacingSide, &pairs),
            1,
            BOARD + layout.joist_depth,
            PRACTICE_BOARDS,
        ),
        one(
            Joint::DamCorners,
            dam_ends * 2,
            2,
            BOARD + shortest(&[Use::DamEnd]),
            DAM,
        ),
        Nailing {
            joint: Joint::DamOnJoists,
            places: if dam_ends > 0 { 4 } else { 0 },
            each: 2,
            kind: Fastener::Nail(Nail::Common8d),
            wood: BOARD + layout.joist_depth,
            source: DAM,
        },
        Nailing {
            joint: Joint::CeilingBoard,
            places: edges,
            each: 1,
            kind: Fastener::Nail(Nail::Drywall),
            wood: layout.joist_depth,
            source: GYPSUM,
        },
        Nailing {
            joint: Joint::FanFrame,
            places: 4,
            each: 2,
            kind: Fastener::DeckScrew,
            wood: BOARD + layout.joist_depth,
            source: FAN_FRAME,
        },
        Nailing {
            joint: Joint::TemporaryBoards,
            places: count(Use::Temporary),
            each: 2 * cuts + 2,
            kind: Fastener::DeckScrew,
            wood: BOARD + layout.joist_depth,
            source: TEMPORARY,
        },
    ];
    let mut fasteners: Vec<Fasteners> = Vec::new();
    for nailing in nailings.into_iter().filter(|it| it.count() > 0) {
        match fasteners.iter_mut().find(|it| it.kind == nailing.kind) {
            Some(same) => same.nailings.push(nailing),
            None => fasteners.push(Fasteners {
                kind: nailing.kind,
                nailings: vec![nailing],
            }),
        }
    }
    let hangers = (count(Use::Header) > 0).then(|| Hangers {
        count: 4,
        plies: layout.plies.headers,
        required: layout.code.is_some_and(|code| code.hangers),
    });
    let dam = over_joists
        .filter(|it| *it > Length::ZERO)
        .map(|height| Dam {
            height,
            round: (fan.frame.length + fan.frame.width + FROM_MOTOR * 4) * 2,
        });
    Materials {
        fasteners,
        hangers,
        foam: foam_strip(fan.frame.length, fan.frame.width),
        dam,
        ceiling_out: (down, across),
        patches: moved.to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::layout::test::{joists, layout_of};
    use super::*;
    use crate::rules::Framing;

    fn of(kind: Fastener, it: &Materials) -> &Fasteners {
        it.fasteners.iter().find(|f| f.kind == kind).unwrap()
    }

    #[test]
    fn a_usual_opening_takes_what_installers_take() {
        // A 30 in fan, one joist of 14 ft cut, headers and trimmers doubled. Common practice, no source: about 2 1/2 lb
        // of 12d common nails, about 30 drywall nails, 12 to 16 deck screws.
        let (layout, fan) = layout_of(
            "direct-30",
            &joists(&[-32, -16, 0, 16, 32, 48]),
            Framing::Cut,
            (&[16], &[], (0, 32)),
            Plies::Double,
        );
        let it = materials(&layout, &fan, None, None, &[]);
        // The two pieces of a header and of a doubled joist are 3 in thick: 10d there, 12d elsewhere.
        let weight = |nail| of(Fastener::Nail(nail), &it).weight().unwrap().lb();
        let nails = weight(Nail::Common12d) + weight(Nail::Common10d);
        assert!((nails - 2.5).abs() < 0.5, "{nails}");
        let drywall = of(Fastener::Nail(Nail::Drywall), &it).to_take();
        assert!((25..=35).contains(&drywall), "{drywall}");
        let screws = of(Fastener::DeckScrew, &it).driven();
        assert!((12..=16).contains(&screws), "{screws}");
        assert!(!it.hangers.unwrap().required);
        assert_eq!(it.foam, Length::inches(148));
        assert_eq!(it.dam, None);
    }

    #[test]
    fn headers_over_6_ft_ask_for_hangers() {
        // Two joists cut between trimmers three bays apart: at 24 in the headers span 72 less 1 1/2 in, at 26 in they
        // span 76 1/2 in, more than the 6 ft from which approved hangers carry their ends (IRC R802.9, confirmed).
        let hangers = |apart: i64| {
            let (layout, fan) = layout_of(
                "belt-42",
                &joists(&[-2 * apart, -apart, 0, apart, 2 * apart]),
                Framing::Cut,
                (&[-apart, 0], &[], (-2 * apart, apart)),
                Plies::Double,
            );
            materials(&layout, &fan, None, None, &[]).hangers.unwrap()
        };
        assert_eq!((hangers(24).required, hangers(26).required), (false, true));
        // One at each end of each of two headers, each of two pieces.
        assert_eq!((hangers(26).count, hangers(26).plies), (4, Plies::Double));
    }

    #[test]
    fn every_joint_of_the_frame_is_nailed() {
        let (layout, fan) = layout_of(
            "direct-30",
            &joists(&[-32, -16, 0, 16, 32, 48]),
            Framing::Cut,
            (&[16], &[], (0, 32)),
            Plies::Double,
        );
        let it = materials(&layout, &fan, None, Some(Length::inches(4)), &[]);
        let at = |joint| {
            let mut all = it.fasteners.iter().flat_map(|it| &it.nailings);
            all.find(|it| it.joint == joint).map_or(0, Nailing::count)
        };
        // Two headers of two pieces: eight ends. One cut joist: two ends. Facts E7 with four 12d for three 16d.
        assert_eq!(at(Joint::HeaderEnds), 32);
        assert_eq!(at(Joint::TailJoists), 8);
        // 30 1/2 in: nails at 0, 12, 24 and 30 1/2 along both edges of two headers.
        assert_eq!(at(Joint::HeaderPlies), 16);
        // 175 in: nine along top and along bottom, three more at each end, twice.
        assert_eq!(at(Joint::Doublers), 2 * (2 * 9 + 6));
        assert_eq!(it.dam.unwrap().round, Length::inches(2 * (37 + 37 + 12)));
    }

    #[test]
    fn a_heavy_header_end_takes_more_nails() {
        let nails = |end_nails| {
            let (layout, fan) = layout_of(
                "direct-30",
                &joists(&[-32, -16, 0, 16, 32, 48]),
                Framing::Cut,
                (&[16], &[], (0, 32)),
                Plies::Single,
            );
            let it = materials(&layout, &fan, end_nails, None, &[]);
            let ends = &of(Fastener::Nail(Nail::Common12d), &it).nailings[0];
            assert_eq!(ends.joint, Joint::HeaderEnds);
            ends.each
        };
        assert_eq!(nails(Some(3)), 4);
        assert_eq!(nails(Some(5)), 6);
        assert_eq!(nails(None), 4);
    }

    #[test]
    fn joists_left_whole_take_no_hangers_and_no_temporary_boards() {
        let (layout, fan) = layout_of(
            "belt-36",
            &joists(&[-36, -12, 12, 36]),
            Framing::Whole,
            (&[], &[-12, 12], (-36, 36)),
            Plies::Single,
        );
        let it = materials(
            &layout,
            &fan,
            None,
            None,
            &[(Length::inches(6), Length::inches(6))],
        );
        assert_eq!(it.hangers, None);
        assert_eq!(of(Fastener::DeckScrew, &it).driven(), 8);
        assert_eq!(it.patches.len(), 1);
    }
}
