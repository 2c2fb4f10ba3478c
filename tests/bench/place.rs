//! How long it takes to find the opening's place for one fan and way of framing, and how it grows with what is in
//! the way. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --no-default-features --features office --bench place`.

use joistlight::measure::{Length, Pitch};
use joistlight::trade::fan::generic;
use joistlight::trade::placement::{Axis, InAttic, Joists, Manner, Placing, Site, Work};
use joistlight::trade::roof::{Fall, Roof, Slope};
use joistlight::trade::solid::{Block, Point, Post, Run, Solid, Span};
use std::hint::black_box;
use std::time::Instant;

#[path = "../common/mod.rs"]
mod common;
use common::Dice;

/// A third each of blocks, round runs and posts, so far from the hall's middle and up to 48 in high.
fn things(dice: &mut Dice, many: usize, least: i64, most: i64, movable: bool) -> Vec<InAttic> {
    (0..many)
        .map(|number| {
            let far = dice.between(least, most);
            let side = if dice.chance(50) { far } else { -far };
            let other = dice.between(-most, most);
            let (ahead, left) = if dice.chance(50) {
                (side, other)
            } else {
                (other, side)
            };
            let (ahead, left) = (Length::inches(ahead), Length::inches(left));
            let up = Span::new(Length::ZERO, Length::inches(dice.between(6, 48)));
            let size = Length::inches(dice.between(2, 12));
            let solid = match number % 3 {
                0 => Solid::Block(Block {
                    ahead: Span::about(ahead, size),
                    left: Span::about(left, size),
                    up,
                }),
                1 => Solid::Post(Post {
                    ahead,
                    left,
                    diameter: size,
                    up,
                }),
                _ => Solid::Run(Run {
                    from: Point {
                        ahead,
                        left,
                        up: up.high,
                    },
                    to: Point {
                        ahead: ahead + Length::inches(dice.between(-12, 12)),
                        left: left + Length::inches(dice.between(-12, 12)),
                        up: up.high / 2,
                    },
                    diameter: size,
                }),
            };
            InAttic {
                solid,
                movable: Some(movable),
                clear: Length::ZERO,
            }
        })
        .collect()
}

fn main() {
    println!(
        "one choice: hall 16 ft × 5 ft, 40 joists 16 in apart, sloping roof; median of 200 rounds over the generic fans, cut and whole"
    );
    println!(
        "{:>44} {:>7} {:>7} {:>9} {:>8} {:>8}",
        "", "things", "µs", "free", "moves", "nowhere"
    );
    let work = Work {
        tolerance: Length::sixteenths(2),
        ..Work::default()
    };
    for axis in [Axis::Left, Axis::Ahead] {
        for (name, least, most, movable) in [
            ("all round, none in the way", 40, 96, false),
            ("everywhere, somebody can move them", 0, 96, true),
            ("everywhere, nobody can move them", 0, 96, false),
        ] {
            for many in [0, 25, 50, 100, 200, 400] {
                let mut dice = Dice(42);
                let things = things(&mut dice, many, least, most, movable);
                let joists = Joists {
                    at: (-20..20).map(|n| Length::inches(16 * n + 3)).collect(),
                    thickness: Some(Length::sixteenths(24)),
                    ..Joists::default()
                };
                let site = Site::new(
                    axis,
                    Span::about(Length::ZERO, Length::feet(16)),
                    Span::about(Length::ZERO, Length::feet(5)),
                    joists,
                    Some(Roof {
                        height: Length::inches(80),
                        slope: Some(Slope {
                            pitch: Pitch::from_rise_per_12(5.0),
                            fall: Fall::Left,
                            ridge: Length::inches(40),
                        }),
                    }),
                    things,
                    [],
                );
                let mut times = Vec::new();
                let mut came = [0; 3];
                for round in 0..200 {
                    let start = Instant::now();
                    let mut choices = 0;
                    for fan in &generic().fans {
                        for manner in [Manner::Cut, Manner::Whole] {
                            let placing = black_box(&site).place(fan, manner, &work);
                            choices += 1;
                            if round == 0 {
                                let index = match &placing {
                                    Placing::Found { place, .. } if place.moves.is_empty() => 0,
                                    Placing::Found { .. } => 1,
                                    Placing::Nowhere { .. } => 2,
                                };
                                came[index] += 1;
                            }
                            black_box(placing);
                        }
                    }
                    times.push(start.elapsed().as_secs_f64() * 1e6 / f64::from(choices));
                }
                times.sort_by(f64::total_cmp);
                println!(
                    "{:>44} {many:>7} {:>7.2} {:>9} {:>8} {:>8}",
                    format!("{name}, joists {axis:?}"),
                    times[times.len() / 2],
                    came[0],
                    came[1],
                    came[2]
                );
            }
        }
    }
}
