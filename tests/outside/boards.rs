//! Boards to buy, against OR-tools' CP-SAT on random cut lists.

use super::python;
use crate::common;
use joistlight::job::boards::{AS_SOLD, KERF, Wanted, buy};
use joistlight::measure::Length;
use serde_json::json;

#[test]
fn least_bought_as_or_tools_finds_it() {
    let seed = 61_124;
    println!("seed {seed}, 320 cut lists");
    let mut dice = common::Dice(seed);
    let cases: Vec<_> = (0..320)
        .map(|_| {
            let kinds = dice.between(1, 4);
            let pieces: Vec<Wanted> = (0..kinds)
                .map(|_| Wanted {
                    length: Length::sixteenths(dice.between(8 * 16, 100 * 16)),
                    count: u32::try_from(dice.between(1, 3)).expect("small"),
                })
                .collect();
            let shopping = buy(&pieces, AS_SOLD, KERF).expect("pieces fit");
            // Ours must be a cutting at all.
            let mut cut: Vec<Length> = Vec::new();
            for board in &shopping.boards {
                let used: Length = board.pieces.iter().copied().sum::<Length>()
                    + KERF * i64::try_from(board.pieces.len() - 1).expect("small");
                assert!(used <= board.stock, "{board:?}");
                cut.extend(&board.pieces);
            }
            cut.sort();
            let mut asked: Vec<Length> = pieces
                .iter()
                .flat_map(|it| vec![it.length; it.count as usize])
                .collect();
            asked.sort();
            assert_eq!(cut, asked);
            json!({
                "pieces_sixteenths": asked.iter().map(|it| (it.to_in() * 16.0).round() as i64).collect::<Vec<_>>(),
                "bought_sixteenths": (shopping.bought().to_in() * 16.0).round() as i64,
                "longest_sixteenths": (shopping.boards[0].stock.to_in() * 16.0).round() as i64,
            })
        })
        .collect();
    python::check("boards", &cases);
}
