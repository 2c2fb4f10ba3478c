//! Clear space in three dimensions, against trimesh and shapely: blocks, posts, round runs and roofs.

use super::python;
use crate::common::Dice;
use joistlight::measure::{Length, Pitch};
use joistlight::trade::roof::{Fall, Roof, Slope};
use joistlight::trade::solid::{Block, Point, Post, Run, Solid, Span, Way};
use serde::Serialize;

#[derive(Serialize)]
struct Thing {
    kind: &'static str,
    /// Block: low and high corner. Post: middle, diameter, bottom, top. Run: both ends and diameter.
    is: Vec<f64>,
    /// Low and high corners of the blocks that must be clear.
    blocks: Vec<[f64; 6]>,
    hits: Vec<bool>,
    clearances: Vec<f64>,
    /// By way: ahead, back, left, right, up.
    shifts: Option<[f64; 5]>,
}

#[derive(Serialize)]
struct Under {
    height: f64,
    pitch: f64,
    /// Ahead, left: the level direction uphill.
    uphill: [f64; 2],
    ridge: f64,
    block: [f64; 6],
    lowest: f64,
    square: f64,
    high_enough: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct Cases {
    things: Vec<Thing>,
    roofs: Vec<Under>,
}

fn corners(block: &Block) -> [f64; 6] {
    [
        block.ahead.low,
        block.left.low,
        block.up.low,
        block.ahead.high,
        block.left.high,
        block.up.high,
    ]
    .map(Length::to_in)
}

fn length(dice: &mut Dice, least: i64, most: i64) -> Length {
    Length::sixteenths(dice.between(least * 16, most * 16))
}

fn block(dice: &mut Dice, most: i64) -> Block {
    let mut span = |size: i64| {
        let middle = length(dice, -40, 40);
        Span::about(middle, length(dice, 1, size))
    };
    let (ahead, left) = (span(most), span(most));
    let bottom = length(dice, -10, 40);
    Block {
        ahead,
        left,
        up: Span::new(bottom, bottom + length(dice, 1, most)),
    }
}

fn point(dice: &mut Dice) -> Point {
    Point {
        ahead: length(dice, -60, 60),
        left: length(dice, -60, 60),
        up: length(dice, -20, 60),
    }
}

#[test]
fn solids_agree_with_trimesh_and_shapely() {
    let seed = super::seed();
    println!("seed {seed}");
    let mut dice = Dice(seed ^ 0x50_11D5);
    let mut things = Vec::new();
    for number in 0..6600 {
        let dice = &mut dice;
        let (kind, solid) = match number % 3 {
            0 => ("block", Solid::Block(block(dice, 30))),
            1 => {
                let bottom = length(dice, -10, 40);
                let post = Post {
                    ahead: length(dice, -40, 40),
                    left: length(dice, -40, 40),
                    diameter: length(dice, 1, 14),
                    up: Span::new(bottom, bottom + length(dice, 1, 60)),
                };
                ("post", Solid::Post(post))
            }
            _ => {
                let from = point(dice);
                let mut to = point(dice);
                // Runs along and across the hall, level and upright ones, and a ball.
                match dice.between(0, 9) {
                    0 => (to.left, to.up) = (from.left, from.up),
                    1 => (to.ahead, to.up) = (from.ahead, from.up),
                    2 => to.up = from.up,
                    3 => (to.ahead, to.left) = (from.ahead, from.left),
                    4 => to = from,
                    _ => {}
                }
                let diameter = length(dice, 1, 14);
                ("run", Solid::Run(Run { from, to, diameter }))
            }
        };
        let blocks: Vec<Block> = (0..dice.between(1, 2)).map(|_| block(dice, 60)).collect();
        let is = match &solid {
            Solid::Block(block) => corners(block).to_vec(),
            Solid::Post(post) => [
                post.ahead,
                post.left,
                post.diameter,
                post.up.low,
                post.up.high,
            ]
            .map(Length::to_in)
            .to_vec(),
            Solid::Run(run) => [
                run.from.ahead,
                run.from.left,
                run.from.up,
                run.to.ahead,
                run.to.left,
                run.to.up,
                run.diameter,
            ]
            .map(Length::to_in)
            .to_vec(),
        };
        let shift = |way: Way| {
            solid
                .least_shift(&blocks, &[way])
                .map_or(0.0, |shift| shift.by.to_in())
        };
        let any = blocks.iter().any(|block| solid.hits(block));
        things.push(Thing {
            kind,
            is,
            hits: blocks.iter().map(|block| solid.hits(block)).collect(),
            clearances: blocks
                .iter()
                .map(|block| solid.clearance(block).to_in())
                .collect(),
            shifts: any.then(|| Way::ALL.map(shift)),
            blocks: blocks.iter().map(corners).collect(),
        });
    }
    let roofs = (0..2000)
        .map(|_| {
            let dice = &mut dice;
            let (fall, uphill) = *dice.pick(&[
                (Fall::Ahead, [-1.0, 0.0]),
                (Fall::Back, [1.0, 0.0]),
                (Fall::Left, [0.0, -1.0]),
                (Fall::Right, [0.0, 1.0]),
            ]);
            let pitch = dice.between(4, 96) as f64 / 8.0;
            let slope = Slope {
                pitch: Pitch::from_rise_per_12(pitch),
                fall,
                ridge: length(dice, 0, 120),
            };
            let roof = Roof {
                height: length(dice, 10, 90),
                slope: Some(slope),
            };
            let under = block(dice, 48);
            let lowest = roof.lowest_over(under.ahead, under.left);
            Under {
                height: roof.height.to_in(),
                pitch,
                uphill,
                ridge: slope.ridge.to_in(),
                block: corners(&under),
                lowest: lowest.to_in(),
                square: roof.square_to(lowest - under.up.high).to_in(),
                high_enough: roof
                    .high_enough(under.up.high)
                    .flatten()
                    .map(|span| [span.low.to_in(), span.high.to_in()]),
            }
        })
        .collect();
    python::check("solids", &Cases { things, roofs });
}
