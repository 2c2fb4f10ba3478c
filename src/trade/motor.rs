//! The current of a fan's motor, and what it asks of wire and breaker.
//!
//! # Units
//! Currents in A, motor power in hp.
//!
//! # Source
//! * Single-phase motors at 115 V: NEC Table 430.248, 1/6 to 1 hp (confirmed, 1999 edition's 430-148); 1½ and 2 hp from
//!   memory.
//! * A listed fan marked in amperes goes by its mark, not by the table: NEC 430.6(A)(1) Exc. 2 and 3 (confirmed, edition
//!   of 2008). A motor of several speeds goes by its mark at the fastest.
//! * Wire: 125 % of the full-load current, NEC 430.22; with other loads on the circuit, plus those: 430.24
//!   and 430.25 (from memory).
//! * Breaker: at most 250 % of the full-load current, NEC 430.52 (confirmed), or the next standard
//!   size (from memory). A motor of at most 1 hp and 6 A may also share a 120 V circuit of at most 20 A, if
//!   it has overload protection of its own: NEC 430.42 and 430.53(A) (from memory).

use super::conductor::next_standard_breaker;
use crate::measure::{Current, MotorPower};
use serde::Serialize;

/// Motor power in hp and full-load current in A at 115 V.
pub const FULL_LOAD: [(f64, f64); 8] = [
    (1.0 / 6.0, 4.4),
    (1.0 / 4.0, 5.8),
    (1.0 / 3.0, 7.2),
    (1.0 / 2.0, 9.8),
    (3.0 / 4.0, 13.8),
    (1.0, 16.0),
    (1.5, 20.0),
    (2.0, 24.0),
];

/// Where a motor's current comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub enum Basis {
    /// Marked on the fan.
    #[serde(rename = "marked on the fan")]
    Marked,
    /// From the code's table, by the motor's power.
    #[serde(rename = "NEC Table 430.248")]
    Table,
}

/// A motor's full-load current, and what follows from it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MotorCurrent {
    /// The full-load current.
    pub full_load: Current,
    /// Where it comes from.
    pub basis: Basis,
}

/// The table's current for a motor of this power; powers between two lines count as the larger. `None` above
/// 2 hp, which no house fan on 120 V has.
///
/// # Examples
/// ```
/// use joistlight::measure::MotorPower;
/// use joistlight::trade::motor::table_current;
/// assert_eq!(table_current(MotorPower::from_hp(0.5)).unwrap().a(), 9.8);
/// assert_eq!(table_current(MotorPower::from_hp(0.4)).unwrap().a(), 9.8);
/// ```
pub fn table_current(power: MotorPower) -> Option<Current> {
    // Forgives 0.333 hp typed for 1/3 hp, and 746 W for 1 hp.
    FULL_LOAD
        .iter()
        .find(|(hp, _)| power.hp() <= hp * 1.002)
        .map(|(_, amperes)| Current::from_a(*amperes))
}

/// A motor's current: the mark wins, else the table by its power; `None` where the sheet gives neither.
///
/// # Examples
/// ```
/// use joistlight::measure::{Current, MotorPower};
/// use joistlight::trade::motor::{Basis, motor_current};
/// let third = Some(MotorPower::from_hp(1.0 / 3.0));
/// let marked = motor_current(Some(Current::from_a(4.6)), third).unwrap();
/// assert_eq!((marked.full_load.a(), marked.basis), (4.6, Basis::Marked));
/// let unmarked = motor_current(None, third).unwrap();
/// assert_eq!((unmarked.full_load.a(), unmarked.basis), (7.2, Basis::Table));
/// // 125 % for the wire, 250 % for the breaker, then the next standard size.
/// assert_eq!(unmarked.circuit_share().a(), 9.0);
/// assert_eq!(unmarked.breaker_share().a(), 18.0);
/// assert_eq!(unmarked.largest_breaker().unwrap().a(), 20.0);
/// ```
pub fn motor_current(marked: Option<Current>, power: Option<MotorPower>) -> Option<MotorCurrent> {
    match (marked, power) {
        (Some(full_load), _) => Some(MotorCurrent {
            full_load,
            basis: Basis::Marked,
        }),
        (None, Some(power)) => table_current(power).map(|full_load| MotorCurrent {
            full_load,
            basis: Basis::Table,
        }),
        (None, None) => None,
    }
}

impl MotorCurrent {
    /// What the motor takes of wire and breaker: 125 % of its full-load current.
    pub fn circuit_share(&self) -> Current {
        self.full_load * 1.25
    }

    /// 250 % of its full-load current.
    pub fn breaker_share(&self) -> Current {
        self.full_load * 2.5
    }

    /// The largest breaker: the next standard size from 250 % on.
    pub fn largest_breaker(&self) -> Option<Current> {
        next_standard_breaker(self.breaker_share())
    }

    /// Whether a breaker guards the motor against short circuits: it is no larger than
    /// [`Self::largest_breaker`], or the motor is small enough to share a 20 A circuit.
    ///
    /// # Examples
    /// ```
    /// use joistlight::measure::Current;
    /// use joistlight::trade::motor::motor_current;
    /// let small = motor_current(Some(Current::from_a(3.1)), None).unwrap();
    /// assert_eq!(small.largest_breaker().unwrap().a(), 15.0);
    /// assert!(small.breaker_guards(Current::from_a(20.0))); // at most 6 A: 430.53(A)
    /// assert!(!small.breaker_guards(Current::from_a(25.0)));
    /// ```
    pub fn breaker_guards(&self, breaker: Current) -> bool {
        self.largest_breaker()
            .is_some_and(|largest| breaker <= largest)
            || self.shares_20_a_circuit() && breaker.a() <= 20.0
    }

    /// Whether the motor may share a 20 A circuit, if it has overload protection of its own: at most 6 A.
    /// (The table's currents up to 6 A belong to at most 1/4 hp, so the limit of 1 hp is kept.)
    pub fn shares_20_a_circuit(&self) -> bool {
        self.full_load.a() <= 6.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_lines_and_what_follows_from_them() {
        // Facts F1: full load, 125 %, 250 %, next standard breaker.
        for (hp, full, wire, share, breaker) in [
            (1.0 / 6.0, 4.4, 5.5, 11.0, 15.0),
            (0.25, 5.8, 7.25, 14.5, 15.0),
            (1.0 / 3.0, 7.2, 9.0, 18.0, 20.0),
            (0.5, 9.8, 12.25, 24.5, 25.0),
            (0.75, 13.8, 17.25, 34.5, 35.0),
            (1.0, 16.0, 20.0, 40.0, 40.0),
        ] {
            let motor = motor_current(None, Some(MotorPower::from_hp(hp))).unwrap();
            assert_eq!(motor.full_load.a(), full);
            assert!((motor.circuit_share().a() - wire).abs() < 1e-9);
            assert!((motor.breaker_share().a() - share).abs() < 1e-9);
            assert_eq!(motor.largest_breaker().unwrap().a(), breaker, "{hp} hp");
        }
        assert_eq!(table_current(MotorPower::from_hp(0.333)).unwrap().a(), 7.2);
        assert_eq!(table_current(MotorPower::from_hp(0.05)).unwrap().a(), 4.4);
        assert_eq!(table_current(MotorPower::from_hp(5.0)), None);
        assert_eq!(motor_current(None, None), None);
    }
}
