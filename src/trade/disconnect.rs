//! How the fan is cut off for work on it, and what its switch must be rated for.
//!
//! # Units
//! Currents in A, voltage in V, motor power in hp.
//!
//! # Source
//! * NEC 422.31(C) (confirmed): the disconnect of a motor-driven appliance over 1/8 hp is in sight of
//!   it (seen from it, and within 50 ft); since 2017 one that can be locked open by 110.25 will do as well.
//! * NEC 422.31(A) (confirmed): up to 300 VA or 1/8 hp the branch breaker itself serves.
//! * An AC snap switch for a motor of at most 2 hp carries at most 80 % of its rating: NEC 404.14(A), restated in
//!   two sets of examination questions (confirmed), and 430.109(C) (from memory).

use super::codes::Electrical;
use crate::measure::{Current, MotorPower, Voltage};

/// How far away a disconnect may be and still be in sight, in feet.
pub const IN_SIGHT_FT: u32 = 50;

/// Where the fan's disconnect is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Means {
    /// In sight of the fan.
    InSight,
    /// Out of sight, but can be locked open.
    LockableOpen,
    /// Neither.
    Neither,
}

/// Whether the breaker of the circuit serves as the disconnect of so small a fan.
///
/// # Examples
/// ```
/// use joistlight::measure::{Current, Voltage};
/// use joistlight::trade::disconnect::breaker_serves;
/// assert!(breaker_serves(Current::from_a(1.4), None, Voltage::from_v(120.0))); // 168 VA
/// assert!(!breaker_serves(Current::from_a(3.1), None, Voltage::from_v(120.0)));
/// ```
pub fn breaker_serves(full_load: Current, motor: Option<MotorPower>, nominal: Voltage) -> bool {
    (nominal * full_load).w() <= 300.0 || motor.is_some_and(|power| power.hp() <= 0.125)
}

/// Whether a disconnect there is allowed by this edition.
///
/// # Examples
/// ```
/// use joistlight::trade::codes::Electrical;
/// use joistlight::trade::disconnect::{Means, is_allowed};
/// assert!(!is_allowed(Means::LockableOpen, Electrical::Nec2014));
/// assert!(is_allowed(Means::LockableOpen, Electrical::Nec2017));
/// ```
pub const fn is_allowed(means: Means, edition: Electrical) -> bool {
    match means {
        Means::InSight => true,
        Means::LockableOpen => !matches!(edition, Electrical::Nec2014),
        Means::Neither => false,
    }
}

/// The least rating of an AC snap switch for a motor: its full-load current is 80 % of it.
///
/// # Examples
/// A 15 A switch carries a motor of 12 A, a 20 A switch one of 16 A (80 % each).
/// ```
/// use joistlight::measure::Current;
/// use joistlight::trade::disconnect::least_switch_rating;
/// assert!((least_switch_rating(Current::from_a(12.0)).a() - 15.0).abs() < 1e-9);
/// assert!((least_switch_rating(Current::from_a(16.0)).a() - 20.0).abs() < 1e-9);
/// ```
pub fn least_switch_rating(full_load: Current) -> Current {
    full_load / 0.8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_2017_edition_let_a_lockable_one_serve() {
        for edition in Electrical::ALL {
            assert!(is_allowed(Means::InSight, *edition));
            assert!(!is_allowed(Means::Neither, *edition));
            assert_eq!(
                is_allowed(Means::LockableOpen, *edition),
                *edition != Electrical::Nec2014
            );
        }
    }

    #[test]
    fn an_eighth_horse_or_300_va_goes_by_the_breaker() {
        let v = Voltage::from_v(120.0);
        assert!(breaker_serves(Current::from_a(2.5), None, v));
        assert!(!breaker_serves(Current::from_a(2.51), None, v));
        assert!(breaker_serves(
            Current::from_a(4.0),
            Some(MotorPower::from_hp(0.125)),
            v
        ));
    }
}
