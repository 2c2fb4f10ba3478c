//! Wires, ampacity, voltage drop and box fill against the printed tables and general-purpose libraries:
//! fluids (MIT) for the diameter of a wire by its gauge, pint (BSD-3) for units.

use super::python;
use crate::common::Dice;
use joistlight::measure::{Current, Length, Temperature, Voltage};
use joistlight::trade::box_fill::{Content, Held, box_fill};
use joistlight::trade::codes::Electrical;
use joistlight::trade::conductor::{Cable, Column, Gauge, ambient_factor, ampacity};
use joistlight::trade::voltage_drop::{Strand, longest_run, resistance, voltage_drop};
use serde_json::{Value, json};

const SEED: u64 = 20_261_124;

/// Every gauge's resistance, against the resistivity of annealed copper and the wire's diameter.
fn resistances() -> Vec<Value> {
    let mut out = Vec::new();
    for gauge in Gauge::BRANCH {
        for (strand, solid) in [(Strand::Solid, true), (Strand::Stranded, false)] {
            if let Some(wire) = resistance(gauge, strand) {
                out.push(json!({
                    "gauge": gauge.number(),
                    "solid": solid,
                    "ohm_per_kft": wire.ohm_per_kft(),
                }));
            }
        }
    }
    out
}

/// The factor for the heat every quarter degree, in all three columns.
fn factors() -> Vec<Value> {
    let mut out = Vec::new();
    for quarter in 120..=800 {
        let f = f64::from(quarter) / 4.0;
        let at = |column| ambient_factor(Temperature::from_f(f), column);
        out.push(json!({
            "f": f,
            "factors": [at(Column::C60), at(Column::C75), at(Column::C90)],
        }));
    }
    out
}

/// What a wire may carry, every degree, for several bundles.
fn ampacities() -> Vec<Value> {
    let mut out = Vec::new();
    for gauge in [Gauge::Awg14, Gauge::Awg12, Gauge::Awg10] {
        for f in 40..=200 {
            for wires in [2, 3, 4, 6, 7, 9, 10, 20, 21, 30, 31, 40, 41] {
                let carries = |cable| {
                    ampacity(gauge, cable, Temperature::from_f(f64::from(f)), wires)
                        .map(|it| it.usable.a())
                };
                out.push(json!({
                    "gauge": gauge.number(),
                    "f": f,
                    "wires": wires,
                    "nm_b": carries(Cable::NmB),
                    "marked_90": carries(Cable::Marked90),
                    "marked_75": carries(Cable::Marked75),
                    "unmarked": carries(Cable::Unmarked),
                }));
            }
        }
    }
    out
}

/// Random runs.
fn drops(dice: &mut Dice) -> Vec<Value> {
    (0..2000)
        .map(|_| {
            let gauge = *dice.pick(&[Gauge::Awg14, Gauge::Awg12, Gauge::Awg10]);
            let strand = *dice.pick(&[Strand::Solid, Strand::Stranded]);
            let wire = resistance(gauge, strand).expect("a branch wire");
            let current = Current::from_a(dice.between(1, 300) as f64 / 10.0);
            let run = Length::sixteenths(dice.between(1, 16 * 12 * 300));
            let allowed = Voltage::from_v(dice.between(1, 120) as f64 / 10.0);
            json!({
                "ampere": current.a(),
                "ohm_per_kft": wire.ohm_per_kft(),
                "run_sixteenths": (run.to_in() * 16.0).round(),
                "drop_v": voltage_drop(current, wire, run).v(),
                "allowed_v": allowed.v(),
                "longest_ft": longest_run(allowed, current, wire).to_ft(),
            })
        })
        .collect()
}

/// Random boxes, all editions.
fn boxes(dice: &mut Dice) -> Vec<Value> {
    let contents = [
        (Content::Wires, "wires"),
        (Content::Grounds, "grounds"),
        (Content::Clamps, "clamps"),
        (Content::Yokes, "yokes"),
        (Content::Pigtails, "pigtails"),
    ];
    let gauges = [
        Gauge::Awg18,
        Gauge::Awg16,
        Gauge::Awg14,
        Gauge::Awg12,
        Gauge::Awg10,
        Gauge::Awg8,
        Gauge::Awg6,
    ];
    (0..2000)
        .map(|_| {
            let mut held = Vec::new();
            let mut listed = Vec::new();
            for _ in 0..dice.between(0, 6) {
                let (content, name) = *dice.pick(&contents);
                let gauge = *dice.pick(&gauges);
                let count = dice.between(0, 8) as u32;
                held.push(Held {
                    content,
                    gauge,
                    count,
                });
                listed.push(json!([name, gauge.number(), count]));
            }
            let edition = *dice.pick(Electrical::ALL);
            let fill = box_fill(held, edition);
            json!({
                "edition": edition.code(),
                "held": listed,
                "total_in3": fill.total.in3(),
            })
        })
        .collect()
}

#[test]
fn wires_drops_and_boxes_are_as_the_tables_and_libraries_have_them() {
    println!("seed {SEED}");
    let mut dice = Dice(SEED);
    let cases = json!({
        "resistances": resistances(),
        "factors": factors(),
        "ampacities": ampacities(),
        "drops": drops(&mut dice),
        "boxes": boxes(&mut dice),
    });
    python::check("power", &cases);
}
