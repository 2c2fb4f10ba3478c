//! Boards to buy: from lengths as sold, so that the least length is bought in all.
//!
//! *Units*: lengths, held exactly.
//!
//! The answer is exact, not a rule of thumb. The length bought is tried from the least that could do upwards; for
//! each, every set of boards of that length, those of short boards first; and for each set, whether the pieces can be
//! cut from it (a bin packing, searched to the end). The first that can is the best: least bought, then boards as
//! short as can be, which are the easier to carry, then fewest.
//! A saw cut takes the kerf; the last piece of a board may end where the board ends.
//!
//! *Source*: the problem is the cutting-stock problem with several stock lengths (Gilmore and Gomory, "A linear
//! programming approach to the cutting-stock problem", Operations Research 9 (1961) 849–859, from memory); lengths
//! as sold, in even feet from 8 to 16: common practice, no source.
//!
//! # Examples
//! ```
//! use joistlight::job::boards::{buy, Wanted, AS_SOLD, KERF};
//! use joistlight::measure::Length;
//! // Facing of the largest generic opening, 42 in square, with 2 × 6 boards: two ends as long as the opening is
//! // wide, two sides as long as the opening plus twice the board's width. Two boards of 8 ft are enough (common
//! // practice, no source).
//! let pieces = [
//!     Wanted { length: Length::inches(42), count: 2 },
//!     Wanted { length: Length::inches(42 + 11), count: 2 },
//! ];
//! let shopping = buy(&pieces, AS_SOLD, KERF).unwrap();
//! assert_eq!(shopping.boards.len(), 2);
//! assert!(shopping.boards.iter().all(|board| board.stock == Length::feet(8)));
//! ```

use crate::measure::Length;
use serde::Serialize;
use std::collections::HashSet;

/// Board lengths as sold: common practice, no source.
pub const AS_SOLD: &[Length] = &[
    Length::feet(8),
    Length::feet(10),
    Length::feet(12),
    Length::feet(14),
    Length::feet(16),
];

/// Width of a circular saw's cut, 1/8 in: common practice, no source.
pub const KERF: Length = Length::sixteenths(2);

/// Pieces of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Wanted {
    /// The length of each.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// One board and what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Board {
    /// Its length as sold.
    pub stock: Length,
    /// The pieces, the longest first.
    pub pieces: Vec<Length>,
}

/// The boards to buy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Shopping {
    /// The boards, the longest first.
    pub boards: Vec<Board>,
}

impl Shopping {
    /// The length bought in all.
    pub fn bought(&self) -> Length {
        self.boards.iter().map(|board| board.stock).sum()
    }
}

/// Why no boards could be named.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BoardsError {
    /// A piece is longer than any board.
    #[error("A piece of {piece} is longer than the longest board sold, {longest}.")]
    TooLong {
        /// The piece.
        piece: Length,
        /// The longest board.
        longest: Length,
    },
    /// A length is nothing or less.
    #[error("A length of {length} cannot be cut or bought.")]
    NoLength {
        /// The length.
        length: Length,
    },
    /// More pieces than an exact answer can be found for.
    #[error("{count} pieces are more than {most}; split the list.")]
    TooMany {
        /// The pieces asked for.
        count: usize,
        /// The most accepted.
        most: usize,
    },
}

/// The most pieces in one list; far more than any one opening needs.
pub const MOST_PIECES: usize = 60;

/// The boards to buy for these pieces: least length in all, then the longest board as short as can be, then fewest.
///
/// # Errors
/// Where a piece is longer than every board, a length is not positive, or the list is too long.
pub fn buy(wanted: &[Wanted], sold: &[Length], kerf: Length) -> Result<Shopping, BoardsError> {
    let mut pieces: Vec<Length> = wanted
        .iter()
        .flat_map(|it| std::iter::repeat_n(it.length, it.count as usize))
        .collect();
    pieces.sort_unstable_by(|a, b| b.cmp(a));
    let mut sold: Vec<Length> = sold.to_vec();
    sold.sort_unstable_by(|a, b| b.cmp(a));
    sold.dedup();
    if let Some(length) = pieces.iter().chain(&sold).find(|it| **it <= Length::ZERO) {
        return Err(BoardsError::NoLength { length: *length });
    }
    if pieces.len() > MOST_PIECES {
        return Err(BoardsError::TooMany {
            count: pieces.len(),
            most: MOST_PIECES,
        });
    }
    let Some(&longest_piece) = pieces.first() else {
        return Ok(Shopping { boards: Vec::new() });
    };
    let longest = sold.first().copied().unwrap_or(Length::ZERO);
    if longest_piece > longest {
        return Err(BoardsError::TooLong {
            piece: longest_piece,
            longest,
        });
    }
    // With the kerf added to every piece and every board, pieces simply add up.
    let sizes: Vec<Length> = pieces.iter().map(|it| *it + kerf).collect();
    let need: Length = sizes.iter().copied().sum();
    let mut totals = Totals::new(&sold, pieces.len());
    loop {
        for set in totals.next_sets() {
            let room: Length = set.iter().map(|it| *it + kerf).sum();
            if room < need {
                continue;
            }
            let bins: Vec<Length> = set.iter().map(|it| *it + kerf).collect();
            if let Some(places) = pack(&sizes, &bins, room - need) {
                let mut boards: Vec<Board> = set
                    .iter()
                    .map(|stock| Board {
                        stock: *stock,
                        pieces: Vec::new(),
                    })
                    .collect();
                for (piece, bin) in pieces.iter().zip(places) {
                    boards[bin].pieces.push(*piece);
                }
                return Ok(Shopping { boards });
            }
        }
    }
}

/// Every set of boards, by the length bought in all, the least first.
struct Totals {
    sold: Vec<Length>,
    most_boards: usize,
    reached: std::collections::BTreeMap<Length, Vec<Vec<Length>>>,
}

impl Totals {
    fn new(sold: &[Length], most_boards: usize) -> Self {
        let reached = std::collections::BTreeMap::from([(Length::ZERO, vec![Vec::new()])]);
        Totals {
            sold: sold.to_vec(),
            most_boards,
            reached,
        }
    }

    /// The sets of the next total, those of short boards first, each with its longest board first.
    fn next_sets(&mut self) -> Vec<Vec<Length>> {
        let Some((total, mut sets)) = self.reached.pop_first() else {
            return Vec::new();
        };
        for set in &sets {
            if set.len() == self.most_boards {
                continue;
            }
            for stock in &self.sold {
                // Boards in falling order only, so that each set is reached once.
                if set.last().is_none_or(|last| stock <= last) {
                    let mut longer = set.clone();
                    longer.push(*stock);
                    self.reached.entry(total + *stock).or_default().push(longer);
                }
            }
        }
        // Each set begins with its longest board.
        sets.sort_by(|a, b| {
            a.first()
                .cmp(&b.first())
                .then(a.len().cmp(&b.len()))
                .then_with(|| a.cmp(b))
        });
        sets
    }
}

/// Which board each piece comes from, where the pieces fit these boards; `slack` is what may be left over in all.
fn pack(sizes: &[Length], bins: &[Length], slack: Length) -> Option<Vec<usize>> {
    let mut places = vec![0; sizes.len()];
    let mut free = bins.to_vec();
    let mut failed = HashSet::new();
    let mut search = Search {
        sizes,
        smallest: sizes.iter().copied().min().unwrap_or(Length::ZERO),
        failed: &mut failed,
    };
    search
        .place(0, &mut free, slack, &mut places)
        .then_some(places)
}

struct Search<'a> {
    sizes: &'a [Length],
    smallest: Length,
    /// Free lengths (in order) from which the rest could not be cut.
    failed: &'a mut HashSet<(usize, Vec<Length>)>,
}

impl Search<'_> {
    fn place(
        &mut self,
        piece: usize,
        free: &mut [Length],
        slack: Length,
        places: &mut [usize],
    ) -> bool {
        let Some(&size) = self.sizes.get(piece) else {
            return true;
        };
        // What is left of a board and too short for any piece is lost; no more may be lost than the slack.
        let lost: Length = free.iter().copied().filter(|it| *it < self.smallest).sum();
        if lost > slack {
            return false;
        }
        let mut state = free.to_vec();
        state.sort_unstable();
        let key = (piece, state);
        if self.failed.contains(&key) {
            return false;
        }
        let mut tried: Vec<Length> = Vec::with_capacity(free.len());
        for bin in 0..free.len() {
            let room = free[bin];
            if room < size || tried.contains(&room) {
                continue;
            }
            tried.push(room);
            free[bin] = room - size;
            places[piece] = bin;
            if self.place(piece + 1, free, slack, places) {
                return true;
            }
            free[bin] = room;
        }
        self.failed.insert(key);
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wanted(list: &[(i64, u32)]) -> Vec<Wanted> {
        list.iter()
            .map(|(inches, count)| Wanted {
                length: Length::inches(*inches),
                count: *count,
            })
            .collect()
    }

    #[test]
    fn nothing_wanted_is_nothing_bought() {
        assert!(buy(&[], AS_SOLD, KERF).unwrap().boards.is_empty());
    }

    #[test]
    fn a_piece_may_end_where_its_board_ends() {
        let shopping = buy(&wanted(&[(96, 3)]), AS_SOLD, KERF).unwrap();
        assert_eq!(shopping.bought(), Length::feet(24));
        // Two halves of 8 ft lose a kerf: they no longer come out of one board of 8 ft.
        let shopping = buy(&wanted(&[(48, 2)]), AS_SOLD, KERF).unwrap();
        assert_eq!(shopping.bought(), Length::feet(10));
    }

    #[test]
    fn the_kerf_counts_between_pieces_only() {
        // Three pieces, two cuts of 1/8 in: 31 7/8 + 31 7/8 + 32 = 95 3/4, and 1/4 for the cuts.
        let pieces = [
            Wanted {
                length: Length::sixteenths(31 * 16 + 14),
                count: 2,
            },
            Wanted {
                length: Length::inches(32),
                count: 1,
            },
        ];
        let shopping = buy(&pieces, AS_SOLD, KERF).unwrap();
        assert_eq!(shopping.boards.len(), 1);
        assert_eq!(shopping.bought(), Length::feet(8));
    }

    #[test]
    fn what_cannot_be_cut_is_refused_in_words() {
        let error = buy(&wanted(&[(200, 1)]), AS_SOLD, KERF).unwrap_err();
        assert_eq!(
            error.to_string(),
            "A piece of 200 in is longer than the longest board sold, 192 in."
        );
        assert!(buy(&wanted(&[(0, 1)]), AS_SOLD, KERF).is_err());
        assert!(buy(&wanted(&[(10, 1000)]), AS_SOLD, KERF).is_err());
    }
}
