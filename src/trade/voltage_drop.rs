//! How much voltage is lost on the way to the fan, and how long the way may be.
//!
//! # Units
//! Resistance in Ω per 1000 ft, lengths one way in ft, voltages in V, currents in A.
//!
//! # Source
//! * Resistance, direct current, uncoated copper at 75 °C: NEC Chapter 9 Table 8, 14, 12 and 10 AWG (confirmed); 8 and 6 AWG, stranded, from memory.
//! * Drop of a single-phase circuit: 2·I·R·L/1000 (electricians' handbooks, confirmed).
//! * At most 3 % on a branch circuit: informational note to NEC 210.19(A) (confirmed); a note, not
//!   a rule.
//! * The fan's band of 115 to 120 V at its terminals: common practice, no source.
//! * What the utility may deliver on a 120 V base: 114 to 126 V, ANSI C84.1 Range A (confirmed: restated as law in
//!   COMAR 20.50.07.02, www.dsd.state.md.us/comar/comarhtml/20/20.50.07.02.htm).

use super::conductor::Gauge;
use crate::measure::{Current, Length, ResistancePerLength, Voltage};

/// Whether a wire is one solid strand or several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Strand {
    /// One solid wire, as in sheathed cable up to 10 AWG.
    Solid,
    /// Several thinner wires twisted.
    Stranded,
}

/// The least voltage at the fan's terminals: common practice, no source.
pub const BAND_LOW: Voltage = Voltage::from_v(115.0);
/// The most voltage at the fan's terminals: common practice, no source.
pub const BAND_HIGH: Voltage = Voltage::from_v(120.0);
/// The least that the utility may deliver, ANSI C84.1 Range A.
pub const SERVICE_LOW: Voltage = Voltage::from_v(114.0);
/// The most that the utility may deliver, ANSI C84.1 Range A.
pub const SERVICE_HIGH: Voltage = Voltage::from_v(126.0);
/// The nominal voltage of the circuit.
pub const NOMINAL: Voltage = Voltage::from_v(120.0);
/// The share of the nominal voltage that a branch circuit should not lose more of.
pub const RECOMMENDED_SHARE: f64 = 0.03;

/// A wire's resistance; `None` for 18 and 16 AWG, which carry no branch circuit, and for solid wire thicker
/// than 10 AWG, which houses do not have.
///
/// # Examples
/// ```
/// use joistlight::trade::conductor::Gauge;
/// use joistlight::trade::voltage_drop::{Strand, resistance};
/// assert_eq!(resistance(Gauge::Awg12, Strand::Solid).unwrap().ohm_per_kft(), 1.93);
/// ```
#[allow(clippy::approx_constant)] // 14 AWG stranded really has 3.14 Ω/kft
pub const fn resistance(gauge: Gauge, strand: Strand) -> Option<ResistancePerLength> {
    let ohm = match (gauge, strand) {
        (Gauge::Awg14, Strand::Solid) => 3.07,
        (Gauge::Awg12, Strand::Solid) => 1.93,
        (Gauge::Awg10, Strand::Solid) => 1.21,
        (Gauge::Awg14, Strand::Stranded) => 3.14,
        (Gauge::Awg12, Strand::Stranded) => 1.98,
        (Gauge::Awg10, Strand::Stranded) => 1.24,
        (Gauge::Awg8, Strand::Stranded) => 0.778,
        (Gauge::Awg6, Strand::Stranded) => 0.491,
        _ => return None,
    };
    Some(ResistancePerLength::from_ohm_per_kft(ohm))
}

/// The resistance of a wire of this size as houses have it: solid up to 10 AWG, stranded above.
pub const fn usual_resistance(gauge: Gauge) -> Option<ResistancePerLength> {
    match resistance(gauge, Strand::Solid) {
        None => resistance(gauge, Strand::Stranded),
        some => some,
    }
}

/// The voltage lost on the way there and back: 2·I·R·L/1000.
///
/// # Examples
/// 20 A over 100 ft of 12 AWG, stranded: 7.9 V (a published example: 20 A, 100 ft, 12 AWG).
/// ```
/// use joistlight::measure::{Current, Length};
/// use joistlight::trade::conductor::Gauge;
/// use joistlight::trade::voltage_drop::{Strand, resistance, voltage_drop};
/// let wire = resistance(Gauge::Awg12, Strand::Stranded).unwrap();
/// let drop = voltage_drop(Current::from_a(20.0), wire, Length::feet(100));
/// assert!((drop.v() - 7.9).abs() < 0.05);
/// ```
pub fn voltage_drop(current: Current, wire: ResistancePerLength, one_way: Length) -> Voltage {
    current * (wire * (one_way * 2))
}

/// The longest way, one way, on which no more than `allowed` is lost; 1000 ft at most, which is also the answer
/// where nothing is lost at all.
///
/// # Examples
/// A 1/2 hp motor of 9.8 A on 12 AWG, 3 % of 120 V: 95.2 ft (derived).
/// ```
/// use joistlight::measure::{Current, Voltage};
/// use joistlight::trade::conductor::Gauge;
/// use joistlight::trade::voltage_drop::{Strand, longest_run, resistance};
/// let wire = resistance(Gauge::Awg12, Strand::Solid).unwrap();
/// let run = longest_run(Voltage::from_v(3.6), Current::from_a(9.8), wire);
/// assert!((run.to_ft() - 95.2).abs() < 0.05);
/// ```
pub fn longest_run(allowed: Voltage, current: Current, wire: ResistancePerLength) -> Length {
    let lost_per_ft = 2.0 * current.a() * wire.ohm_per_kft() / 1000.0;
    if allowed.v() <= 0.0 {
        return Length::ZERO;
    }
    if lost_per_ft <= 0.0 {
        return Length::LONGEST_TYPED;
    }
    Length::from_ft((allowed.v() / lost_per_ft).min(Length::LONGEST_TYPED.to_ft()))
}

/// The thinnest branch wire of at least `from` on which no more than `allowed` is lost over this way; `None`
/// where even 6 AWG loses more.
///
/// # Examples
/// ```
/// use joistlight::measure::{Current, Length, Voltage};
/// use joistlight::trade::conductor::Gauge;
/// use joistlight::trade::voltage_drop::thinnest_wire;
/// let amperes = Current::from_a(9.8);
/// let allowed = Voltage::from_v(3.6);
/// assert_eq!(thinnest_wire(Gauge::Awg14, allowed, amperes, Length::feet(90)), Some(Gauge::Awg12));
/// ```
pub fn thinnest_wire(
    from: Gauge,
    allowed: Voltage,
    current: Current,
    one_way: Length,
) -> Option<Gauge> {
    Gauge::BRANCH.into_iter().find(|gauge| {
        *gauge >= from
            && usual_resistance(*gauge)
                .is_some_and(|wire| voltage_drop(current, wire, one_way) <= allowed)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_horse_motor_at_60_ft() {
        // Facts F, derived vectors: drop in V and in % of 120 V, longest run at 3 %.
        for (gauge, drop, share, at_9_8, at_7_2) in [
            (Gauge::Awg14, 3.610, 3.01, 59.8, 81.4),
            (Gauge::Awg12, 2.270, 1.89, 95.2, 129.5),
            (Gauge::Awg10, 1.423, 1.19, 151.8, 206.6),
        ] {
            let wire = usual_resistance(gauge).unwrap();
            let lost = voltage_drop(Current::from_a(9.8), wire, Length::feet(60));
            assert!((lost.v() - drop).abs() < 0.0006, "{}", lost.v());
            assert!((lost / NOMINAL * 100.0 - share).abs() < 0.006);
            let allowed = NOMINAL * RECOMMENDED_SHARE;
            for (amperes, feet) in [(9.8, at_9_8), (7.2, at_7_2)] {
                let run = longest_run(allowed, Current::from_a(amperes), wire);
                assert!((run.to_ft() - feet).abs() < 0.05, "{}", run.to_ft());
            }
        }
    }

    #[test]
    fn the_longest_run_loses_just_what_is_allowed() {
        for gauge in Gauge::BRANCH {
            let wire = usual_resistance(gauge).unwrap();
            let (current, allowed) = (Current::from_a(12.0), Voltage::from_v(3.6));
            let run = longest_run(allowed, current, wire);
            assert!((voltage_drop(current, wire, run) - allowed).abs().v() < 1e-6);
        }
        let wire = usual_resistance(Gauge::Awg14).unwrap();
        assert_eq!(
            longest_run(Voltage::from_v(-1.0), Current::from_a(5.0), wire),
            Length::ZERO
        );
        assert_eq!(
            longest_run(Voltage::from_v(1.0), Current::ZERO, wire),
            Length::LONGEST_TYPED
        );
        assert_eq!(
            thinnest_wire(
                Gauge::Awg14,
                Voltage::from_v(0.01),
                Current::from_a(15.0),
                Length::feet(300)
            ),
            None
        );
    }
}
