//! The cut list: each piece of wood with its size, length, angle and use, and the boards to buy for it.
//!
//! # Units
//! Lengths, held exactly. Angles of ends are between the cut and the board's edge: 90° is a square cut.
//!
//! # Source
//! The pieces come from the [`layout`](mod@super::layout); which boards to buy from [`boards`](super::boards).
//!
//! # Examples
//! Pieces alike stand in one row; boards are bought for each size of lumber by itself:
//! ```
//! use joistlight::job::cutlist::{CutList, Size};
//! use joistlight::job::layout::{Piece, Stock, Use};
//! use joistlight::measure::Length;
//! use joistlight::trade::section::{Nominal, Section};
//! use joistlight::trade::solid::Span;
//! let piece = |used, length| Piece {
//!     used,
//!     stock: Stock::TwoBySix,
//!     along: Span::new(Length::ZERO, Length::inches(length)),
//!     across: Span::new(Length::ZERO, Length::sixteenths(88)),
//! };
//! let pieces = [
//!     piece(Use::FacingEnd, 42),
//!     piece(Use::FacingEnd, 42),
//!     piece(Use::FacingSide, 53),
//!     piece(Use::FacingSide, 53),
//! ];
//! let list = CutList::of(&pieces, Section::dressed(Nominal::TwoByEight));
//! assert_eq!(list.rows.len(), 2);
//! assert_eq!((list.rows[0].count, list.rows[0].length), (2, Length::inches(42)));
//! let to_buy = &list.buy[0];
//! assert_eq!(to_buy.size, Size::Nominal(Nominal::TwoBySix));
//! assert_eq!(to_buy.boards.as_ref().unwrap().bought(), Length::feet(16));
//! ```

use super::boards::{AS_SOLD, BoardsError, KERF, Shopping, Wanted, buy};
use super::layout::{Piece, Stock, Use};
use crate::measure::Length;
use crate::measure::quantity::Angle;
use crate::trade::section::{Nominal, Section};
use std::collections::BTreeMap;

/// A size of lumber as it is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Size {
    /// 2 × 2.
    TwoByTwo,
    /// One of the usual sizes.
    Nominal(Nominal),
    /// Plywood or scrap for a gap; cut from what is there, so that none is bought.
    Packing {
        /// How thick.
        thickness: Length,
        /// How deep.
        depth: Length,
    },
    /// As thick and deep as was measured: none of the usual sizes.
    Measured {
        /// How thick.
        thickness: Length,
        /// How deep.
        depth: Length,
    },
}

impl Size {
    fn of(piece: &Piece, joist: Section) -> Size {
        match piece.stock {
            Stock::Packing => Size::Packing {
                thickness: piece.thickness(),
                depth: joist.depth(),
            },
            Stock::TwoByTwo => Size::TwoByTwo,
            Stock::TwoByFour => Size::Nominal(Nominal::TwoByFour),
            Stock::TwoBySix => Size::Nominal(Nominal::TwoBySix),
            Stock::Dam(nominal) => Size::Nominal(nominal),
            Stock::Joist => Nominal::ALL
                .into_iter()
                .find(|nominal| Section::dressed(*nominal) == joist)
                .map_or(
                    Size::Measured {
                        thickness: joist.breadth(),
                        depth: joist.depth(),
                    },
                    Size::Nominal,
                ),
        }
    }
}

/// Pieces alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// How many.
    pub count: u32,
    /// From what they are cut.
    pub size: Size,
    /// How long each is.
    pub length: Length,
    /// The angle of both ends.
    pub ends: Angle,
    /// What for.
    pub used: Use,
}

/// The boards to buy of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct ToBuy {
    /// Which size.
    pub size: Size,
    /// The boards, with what is cut from each; or why none can be named.
    pub boards: Result<Shopping, BoardsError>,
    /// Pieces longer than any board that is usually sold, to be ordered by themselves.
    pub to_order: Vec<Wanted>,
}

/// All pieces, and the boards for them.
#[derive(Debug, Clone, PartialEq)]
pub struct CutList {
    /// The pieces, alike ones in one row.
    pub rows: Vec<Row>,
    /// The boards to buy, size by size.
    pub buy: Vec<ToBuy>,
}

impl CutList {
    /// The cut list for these pieces, among joists of this section.
    pub fn of(pieces: &[Piece], joist: Section) -> CutList {
        let mut rows: Vec<Row> = Vec::new();
        for piece in pieces {
            let row = Row {
                count: 1,
                size: Size::of(piece, joist),
                length: piece.length(),
                ends: Angle::from_deg(90.0),
                used: piece.used,
            };
            match rows.iter_mut().find(|it| Row { count: 1, ..**it } == row) {
                Some(alike) => alike.count += 1,
                None => rows.push(row),
            }
        }
        rows.sort_by_key(|row| (row.used, row.length, row.size));
        let mut sizes: BTreeMap<Size, Vec<Wanted>> = BTreeMap::new();
        for row in &rows {
            if matches!(row.size, Size::Packing { .. }) {
                continue;
            }
            sizes.entry(row.size).or_default().push(Wanted {
                length: row.length,
                count: row.count,
            });
        }
        let longest = AS_SOLD.iter().copied().max().unwrap_or(Length::ZERO);
        let buy = sizes
            .into_iter()
            .map(|(size, wanted)| {
                let (to_order, usual): (Vec<Wanted>, Vec<Wanted>) =
                    wanted.into_iter().partition(|it| it.length > longest);
                ToBuy {
                    size,
                    boards: buy(&usual, AS_SOLD, KERF),
                    to_order,
                }
            })
            .collect();
        CutList { rows, buy }
    }

    /// How many pieces there are in all.
    pub fn count(&self) -> u32 {
        self.rows.iter().map(|row| row.count).sum()
    }
}

/// The foam strip between fan and frame: once round a frame of these sides.
///
/// # Examples
/// ```
/// use joistlight::job::cutlist::foam_strip;
/// use joistlight::measure::Length;
/// assert_eq!(foam_strip(Length::inches(32), Length::inches(37)), Length::inches(138));
/// ```
pub fn foam_strip(length: Length, width: Length) -> Length {
    (length + width) * 2
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::solid::Span;

    fn piece(used: Use, stock: Stock, length: i64, thickness: i64) -> Piece {
        Piece {
            used,
            stock,
            along: Span::new(Length::ZERO, Length::inches(length)),
            across: Span::new(Length::ZERO, Length::sixteenths(thickness)),
        }
    }

    #[test]
    fn every_piece_is_on_the_list_and_on_a_board() {
        let pieces = [
            piece(Use::Header, Stock::Joist, 46, 24),
            piece(Use::Header, Stock::Joist, 46, 24),
            piece(Use::Side, Stock::Joist, 36, 24),
            piece(Use::Packing, Stock::Packing, 36, 8),
            piece(Use::Temporary, Stock::TwoByFour, 60, 56),
            piece(Use::Ledger, Stock::TwoByTwo, 46, 24),
        ];
        let list = CutList::of(&pieces, Section::dressed(Nominal::TwoByTen));
        assert_eq!(list.count(), 6);
        assert_eq!(list.rows.len(), 5);
        let packing = list.rows.iter().find(|it| it.used == Use::Packing).unwrap();
        assert_eq!(
            packing.size,
            Size::Packing {
                thickness: Length::sixteenths(8),
                depth: Length::sixteenths(148),
            }
        );
        assert_eq!(list.buy.len(), 3);
        for to_buy in &list.buy {
            let boards = to_buy.boards.as_ref().unwrap();
            let cut: usize = boards.boards.iter().map(|it| it.pieces.len()).sum();
            let wanted: u32 = list
                .rows
                .iter()
                .filter(|row| row.size == to_buy.size)
                .map(|row| row.count)
                .sum();
            assert_eq!(cut, wanted as usize);
        }
    }

    #[test]
    fn what_is_longer_than_boards_sold_is_ordered() {
        let pieces = [piece(Use::Doubler, Stock::Joist, 200, 24)];
        let list = CutList::of(&pieces, Section::dressed(Nominal::TwoBySix));
        assert_eq!(list.buy[0].to_order.len(), 1);
        assert!(list.buy[0].boards.as_ref().unwrap().boards.is_empty());
    }

    #[test]
    fn old_joists_ask_for_lumber_of_their_own_size() {
        let old = Section::measured(Length::sixteenths(26), Length::sixteenths(92)).unwrap();
        let list = CutList::of(&[piece(Use::Header, Stock::Joist, 30, 26)], old);
        assert!(matches!(list.rows[0].size, Size::Measured { .. }));
    }
}
