//! Rectangles and boxes through hatches, against shapely.

use super::python;
use crate::common::Dice;
use joistlight::measure::Length;
use joistlight::trade::passage::{
    Hatch, fits_in, headroom_tipped, least_headroom, least_other_side, longest_through,
};
use serde::Serialize;

#[derive(Serialize)]
struct Rectangles {
    p: f64,
    q: f64,
    a: f64,
    b: f64,
    fits: bool,
    least_other_side: Option<f64>,
    longest_through: Option<f64>,
}

#[derive(Serialize)]
struct Tipped {
    length: f64,
    thickness: f64,
    slot: f64,
    headroom: Option<f64>,
}

#[derive(Serialize)]
struct Boxes {
    sides: [f64; 3],
    hatch: [f64; 2],
    passage: Option<(bool, f64)>,
}

#[derive(Serialize)]
struct Cases {
    rectangles: Vec<Rectangles>,
    tipped: Vec<Tipped>,
    boxes: Vec<Boxes>,
}

#[test]
fn passage_agrees_with_shapely() {
    let seed = super::seed();
    println!("seed {seed}");
    let mut dice = Dice(seed);
    let mut length =
        |least: i64, most: i64| Length::sixteenths(dice.between(least * 16, most * 16));
    let inches = |length: Length| length.to_in();
    let rectangles = (0..3000)
        .map(|_| {
            let (p, q, a, b) = (length(2, 50), length(1, 40), length(12, 48), length(12, 40));
            Rectangles {
                p: inches(p),
                q: inches(q),
                a: inches(a),
                b: inches(b),
                fits: fits_in(p, q, a, b),
                least_other_side: least_other_side(p, q, a).map(inches),
                longest_through: longest_through(q, a, b).map(inches),
            }
        })
        .collect();
    let tipped = (0..2000)
        .map(|_| {
            let (thickness, slot) = (length(1, 30), length(10, 30));
            let long = thickness + length(0, 40);
            Tipped {
                length: inches(long),
                thickness: inches(thickness),
                slot: inches(slot),
                headroom: headroom_tipped(long, thickness, slot).map(inches),
            }
        })
        .collect();
    let boxes = (0..2000)
        .map(|_| {
            let sides = [length(4, 50), length(4, 50), length(4, 50)];
            let hatch = Hatch {
                length: length(18, 48),
                width: length(16, 40),
            };
            Boxes {
                sides: sides.map(inches),
                hatch: [inches(hatch.length), inches(hatch.width)],
                passage: least_headroom(sides, hatch).map(|it| (it.tipped, inches(it.headroom))),
            }
        })
        .collect();
    python::check(
        "passage",
        &Cases {
            rectangles,
            tipped,
            boxes,
        },
    );
}
