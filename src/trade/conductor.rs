//! What current a copper wire may carry in a hot attic.
//!
//! # Units
//! Currents in A, temperatures in °F or °C, factors without unit.
//!
//! # Source
//! * NEC Table 310.16, copper, 60, 75 and 90 °C columns: 14, 12 and 10 AWG (confirmed, edition of 2023); 8 and
//!   6 AWG (from memory).
//! * Ambient correction, 30 °C base: NEC Table 310.15(B)(1), restated in IRC 2021 Table E3705.2
//!   (up.codes/s/correction-factor-for-ambient-temperatures; confirmed).
//! * More than three current-carrying wires together: NEC Table 310.15(C)(1) (confirmed, edition of 2014).
//! * NM-B: corrected from the 90 °C column, never above the 60 °C value: NEC 334.80 (confirmed).
//!   Sheathed cable from before NM-B (before 1985) has 60 °C insulation and no place in an attic that reaches
//!   132 °F.
//! * Wires in armoured cable or conduit: corrected from the column of the insulation that is marked on them, and on
//!   a circuit of at most 100 A never above the 60 °C value, which the terminals stand: NEC 110.14(C)(1)(a) (from
//!   memory); so too armoured cable in thermal insulation, NEC 320.80(A) (from memory). Without a mark they count as
//!   60 °C.
//! * Small wires: breaker at most 15, 20 and 30 A on 14, 12 and 10 AWG copper: NEC 240.4(D) (confirmed); next standard breaker size: NEC 240.4(B) and 240.6(A) (from memory).

use crate::measure::{Current, Temperature};
use serde::Serialize;

/// Size of a copper wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub enum Gauge {
    /// 18 AWG: fixture and control wire, never a branch circuit.
    #[serde(rename = "18 AWG")]
    Awg18,
    /// 16 AWG: fixture and control wire, never a branch circuit.
    #[serde(rename = "16 AWG")]
    Awg16,
    /// 14 AWG.
    #[serde(rename = "14 AWG")]
    Awg14,
    /// 12 AWG.
    #[serde(rename = "12 AWG")]
    Awg12,
    /// 10 AWG.
    #[serde(rename = "10 AWG")]
    Awg10,
    /// 8 AWG.
    #[serde(rename = "8 AWG")]
    Awg8,
    /// 6 AWG.
    #[serde(rename = "6 AWG")]
    Awg6,
}

impl Gauge {
    /// The sizes that may serve as a house's branch circuit, the thinnest first.
    pub const BRANCH: [Gauge; 5] = [
        Gauge::Awg14,
        Gauge::Awg12,
        Gauge::Awg10,
        Gauge::Awg8,
        Gauge::Awg6,
    ];

    /// The number of the gauge.
    pub const fn number(self) -> i32 {
        match self {
            Gauge::Awg18 => 18,
            Gauge::Awg16 => 16,
            Gauge::Awg14 => 14,
            Gauge::Awg12 => 12,
            Gauge::Awg10 => 10,
            Gauge::Awg8 => 8,
            Gauge::Awg6 => 6,
        }
    }

    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Gauge::Awg18 => "18 AWG",
            Gauge::Awg16 => "16 AWG",
            Gauge::Awg14 => "14 AWG",
            Gauge::Awg12 => "12 AWG",
            Gauge::Awg10 => "10 AWG",
            Gauge::Awg8 => "8 AWG",
            Gauge::Awg6 => "6 AWG",
        }
    }
}

/// A column of the ampacity tables: the temperature that the insulation stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub enum Column {
    /// 60 °C, 140 °F.
    #[serde(rename = "60 °C")]
    C60,
    /// 75 °C, 167 °F.
    #[serde(rename = "75 °C")]
    C75,
    /// 90 °C, 194 °F.
    #[serde(rename = "90 °C")]
    C90,
}

/// How the wires of a circuit are insulated and covered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub enum Cable {
    /// Sheathed cable marked NM-B: 90 °C insulation, used at 60 °C.
    NmB,
    /// Wires marked for 90 °C in armoured cable or conduit, used at what their terminals stand.
    Marked90,
    /// Wires marked for 75 °C in armoured cable or conduit, used at what their terminals stand.
    Marked75,
    /// Insulation good for 60 °C, or nobody knows for how much: the weakest.
    Unmarked,
}

/// The ampacity that the table gives a wire in a room of 30 °C; `None` for 18 and 16 AWG, which carry no
/// branch circuit.
///
/// # Examples
/// ```
/// use joistlight::trade::conductor::{Column, Gauge, table_ampacity};
/// assert_eq!(table_ampacity(Gauge::Awg12, Column::C90).unwrap().a(), 30.0);
/// ```
pub const fn table_ampacity(gauge: Gauge, column: Column) -> Option<Current> {
    let row = match gauge {
        Gauge::Awg18 | Gauge::Awg16 => return None,
        Gauge::Awg14 => [15.0, 20.0, 25.0],
        Gauge::Awg12 => [20.0, 25.0, 30.0],
        Gauge::Awg10 => [30.0, 35.0, 40.0],
        Gauge::Awg8 => [40.0, 50.0, 55.0],
        Gauge::Awg6 => [55.0, 65.0, 75.0],
    };
    Some(Current::from_a(row[column as usize]))
}

/// The warm end of each band of ambient temperature in °C, with the factors of the three columns; zero where
/// the insulation may not be used at all.
const AMBIENT: [(f64, [f64; 3]); 16] = [
    (10.0, [1.29, 1.20, 1.15]),
    (15.0, [1.22, 1.15, 1.12]),
    (20.0, [1.15, 1.11, 1.08]),
    (25.0, [1.08, 1.05, 1.04]),
    (30.0, [1.00, 1.00, 1.00]),
    (35.0, [0.91, 0.94, 0.96]),
    (40.0, [0.82, 0.88, 0.91]),
    (45.0, [0.71, 0.82, 0.87]),
    (50.0, [0.58, 0.75, 0.82]),
    (55.0, [0.41, 0.67, 0.76]),
    (60.0, [0.0, 0.58, 0.71]),
    (65.0, [0.0, 0.47, 0.65]),
    (70.0, [0.0, 0.33, 0.58]),
    (75.0, [0.0, 0.0, 0.50]),
    (80.0, [0.0, 0.0, 0.41]),
    (85.0, [0.0, 0.0, 0.29]),
];

/// By what the ampacity is multiplied in air of this temperature; `None` where the insulation may not be
/// used so hot.
///
/// The table's bands are whole degrees (46–50 °C, 114–122 °F); a temperature between two bands counts to the
/// hotter one.
///
/// # Examples
/// ```
/// use joistlight::measure::Temperature;
/// use joistlight::trade::conductor::{Column, ambient_factor};
/// assert_eq!(ambient_factor(Temperature::from_f(140.0), Column::C90), Some(0.71));
/// assert_eq!(ambient_factor(Temperature::from_f(131.0), Column::C60), Some(0.41));
/// assert_eq!(ambient_factor(Temperature::from_f(132.0), Column::C60), None);
/// ```
pub fn ambient_factor(ambient: Temperature, column: Column) -> Option<f64> {
    // 35 °C is 95 °F exactly; a millionth of a degree forgives the way there through binary fractions.
    AMBIENT
        .iter()
        .find(|(warmest, _)| ambient.c() <= warmest + 1e-6)
        .map(|(_, factors)| factors[column as usize])
        .filter(|factor| *factor > 0.0)
}

/// By what the ampacity is multiplied for so many current-carrying wires together.
///
/// # Examples
/// ```
/// use joistlight::trade::conductor::bundling_factor;
/// assert_eq!(bundling_factor(3), 1.0);
/// assert_eq!(bundling_factor(4), 0.80);
/// assert_eq!(bundling_factor(41), 0.35);
/// ```
pub const fn bundling_factor(wires: u32) -> f64 {
    match wires {
        0..=3 => 1.0,
        4..=6 => 0.80,
        7..=9 => 0.70,
        10..=20 => 0.50,
        21..=30 => 0.45,
        31..=40 => 0.40,
        _ => 0.35,
    }
}

/// How a wire's ampacity came out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ampacity {
    /// The column that was corrected.
    pub column: Column,
    /// What the table gives at 30 °C in that column.
    pub table: Current,
    /// Factor for the heat of the air.
    pub ambient_factor: f64,
    /// Factor for wires lying together.
    pub bundling_factor: f64,
    /// The table's value times both factors.
    pub corrected: Current,
    /// What it may not exceed, whatever the factors say.
    pub cap: Current,
    /// What the wire may carry: the lesser of the two.
    pub usable: Current,
}

/// What a wire may carry in air of this temperature, with so many current-carrying wires together; `None`
/// where its insulation may not be used so hot, or the wire is too thin for a branch circuit.
///
/// # Examples
/// 12 AWG NM-B: 30 A in the 90 °C column, times 0.71 in an attic of 140 °F is 21.3 A, capped at 20 A; at
/// 149 °F it is 19.5 A (derived).
/// ```
/// use joistlight::measure::Temperature;
/// use joistlight::trade::conductor::{Cable, Gauge, ampacity};
/// let at = |f| ampacity(Gauge::Awg12, Cable::NmB, Temperature::from_f(f), 2).unwrap().usable.a();
/// assert_eq!(at(140.0), 20.0);
/// assert!((at(149.0) - 19.5).abs() < 1e-9);
/// assert!(ampacity(Gauge::Awg12, Cable::Unmarked, Temperature::from_f(132.0), 2).is_none());
/// // Wires marked for 75 °C in conduit: 25 A times 0.58 at 135 °F.
/// let thw = ampacity(Gauge::Awg12, Cable::Marked75, Temperature::from_f(135.0), 3).unwrap();
/// assert!((thw.usable.a() - 14.5).abs() < 1e-9);
/// ```
pub fn ampacity(gauge: Gauge, cable: Cable, ambient: Temperature, wires: u32) -> Option<Ampacity> {
    let column = match cable {
        Cable::NmB | Cable::Marked90 => Column::C90,
        Cable::Marked75 => Column::C75,
        Cable::Unmarked => Column::C60,
    };
    let table = table_ampacity(gauge, column)?;
    let cap = table_ampacity(gauge, Column::C60)?;
    let ambient_factor = ambient_factor(ambient, column)?;
    let bundling_factor = bundling_factor(wires);
    let corrected = table * ambient_factor * bundling_factor;
    Some(Ampacity {
        column,
        table,
        ambient_factor,
        bundling_factor,
        corrected,
        cap,
        usable: corrected.min(cap),
    })
}

/// The largest breaker that a small copper wire may have, whatever its ampacity; `None` for sizes that the
/// rule does not name.
///
/// # Examples
/// ```
/// use joistlight::trade::conductor::{Gauge, small_wire_breaker};
/// assert_eq!(small_wire_breaker(Gauge::Awg14).unwrap().a(), 15.0);
/// assert_eq!(small_wire_breaker(Gauge::Awg8), None);
/// ```
pub const fn small_wire_breaker(gauge: Gauge) -> Option<Current> {
    match gauge {
        Gauge::Awg14 => Some(Current::from_a(15.0)),
        Gauge::Awg12 => Some(Current::from_a(20.0)),
        Gauge::Awg10 => Some(Current::from_a(30.0)),
        _ => None,
    }
}

/// Standard ratings of breakers in A, up to the largest that a house's branch circuit has.
pub const STANDARD_BREAKERS: [f64; 16] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0,
    150.0,
];

/// The least standard breaker of at least this rating; `None` above 150 A.
///
/// # Examples
/// ```
/// use joistlight::measure::Current;
/// use joistlight::trade::conductor::next_standard_breaker;
/// assert_eq!(next_standard_breaker(Current::from_a(18.0)).unwrap().a(), 20.0);
/// assert_eq!(next_standard_breaker(Current::from_a(3.5)).unwrap().a(), 15.0);
/// ```
pub fn next_standard_breaker(least: Current) -> Option<Current> {
    STANDARD_BREAKERS
        .iter()
        .find(|rating| **rating >= least.a() - 1e-9)
        .map(|rating| Current::from_a(*rating))
}

#[cfg(test)]
mod tests {
    use super::*;

    const COLUMNS: [(Column, f64); 3] = [
        (Column::C60, 60.0),
        (Column::C75, 75.0),
        (Column::C90, 90.0),
    ];

    #[test]
    fn nm_b_in_an_attic_is_corrected_from_90_and_capped_at_60() {
        // Facts F, derived vectors.
        for (f, wanted) in [
            (140.0, [15.0, 20.0, 28.4]),
            (149.0, [15.0, 19.5, 26.0]),
            (158.0, [14.5, 17.4, 23.2]),
        ] {
            for (gauge, wanted) in Gauge::BRANCH.into_iter().zip(wanted) {
                let usable = ampacity(gauge, Cable::NmB, Temperature::from_f(f), 3)
                    .unwrap()
                    .usable;
                assert!((usable.a() - wanted).abs() < 1e-9, "{gauge:?} at {f} °F");
            }
        }
    }

    #[test]
    fn every_cell_of_the_correction_table_is_the_formula_at_the_bands_warm_end() {
        // NEC 310.15(B): the factor is √((Tc − Ta')/(Tc − 30 °C)); the printed table rounds it to 0.01.
        for (warmest, factors) in AMBIENT {
            for (column, stands) in COLUMNS {
                let printed = factors[column as usize];
                let left: f64 = stands - warmest;
                if left <= 0.0 || printed == 0.0 {
                    assert!(
                        printed == 0.0 && left < 5.0 + 1e-9,
                        "{warmest} °C, {column:?}"
                    );
                } else {
                    let exact = (left / (stands - 30.0)).sqrt();
                    assert!(
                        (exact - printed).abs() <= 0.005 + 1e-9,
                        "{warmest} °C: {exact}"
                    );
                }
            }
        }
    }

    #[test]
    fn both_scales_of_the_correction_table_have_the_same_bands() {
        // Facts F27 prints both: 114–122 °F is 46–50 °C.
        for (warm, next, factor) in [
            (95.0, 96.0, 0.96),
            (104.0, 105.0, 0.91),
            (122.0, 123.0, 0.82),
            (140.0, 141.0, 0.71),
            (158.0, 159.0, 0.58),
            (185.0, 186.0, 0.29),
        ] {
            let at = |f| ambient_factor(Temperature::from_f(f), Column::C90);
            assert_eq!(at(warm), Some(factor));
            assert!(at(next).is_none_or(|f| f < factor));
            assert!(
                at(warm + 0.01).is_none_or(|f| f < factor),
                "between two bands"
            );
        }
    }

    #[test]
    fn cable_from_before_nm_b_is_impossible_from_132_f() {
        for gauge in Gauge::BRANCH {
            let at = |f| ampacity(gauge, Cable::Unmarked, Temperature::from_f(f), 2);
            assert!(at(131.0).is_some());
            assert!(at(131.5).is_none());
            assert!(at(132.0).is_none());
        }
    }

    #[test]
    fn better_insulation_carries_more_in_the_heat_and_no_more_at_the_terminals() {
        for gauge in Gauge::BRANCH {
            for f in [60.0, 86.0, 113.0, 131.0, 135.0, 150.0, 180.0] {
                let at = |cable| {
                    ampacity(gauge, cable, Temperature::from_f(f), 3)
                        .map_or(0.0, |it| it.usable.a())
                };
                let best = at(Cable::Marked90);
                assert_eq!(best, at(Cable::NmB), "both are corrected from 90 °C");
                assert!(best >= at(Cable::Marked75));
                // In the cold the weaker wire's own factor is the larger one, but the terminals bound all three.
                assert!(at(Cable::Marked75) >= at(Cable::Unmarked));
                let cap = table_ampacity(gauge, Column::C60).unwrap().a();
                assert!(best <= cap);
            }
        }
    }

    #[test]
    fn hotter_or_fuller_never_carries_more() {
        for gauge in Gauge::BRANCH {
            for cable in [
                Cable::NmB,
                Cable::Marked90,
                Cable::Marked75,
                Cable::Unmarked,
            ] {
                let mut before = f64::INFINITY;
                for f in 30..200 {
                    let now = ampacity(gauge, cable, Temperature::from_f(f64::from(f)), 3)
                        .map_or(0.0, |it| it.usable.a());
                    assert!(now <= before);
                    before = now;
                }
                let mut before = f64::INFINITY;
                for wires in 0..60 {
                    let now = ampacity(gauge, cable, Temperature::from_f(100.0), wires)
                        .map_or(0.0, |it| it.usable.a());
                    assert!(now <= before);
                    before = now;
                }
            }
        }
    }
}
