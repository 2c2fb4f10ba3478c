//! Two invented houses, worked through by hand with the formulas and tables of the sources that each rule names. The
//! numbers here come from that working, written beside them, not from a run of the program.
//!
//! `ranch`: 1974, roof trusses at 24 in, 5280 ft above the sea, a natural-draft water heater that breathes from the
//! attic, old sheathed cable. `old`: 1925, joists 2 × 6 at 16 in without a stamp under plaster, armoured cable without
//! a mark, boiler and water heater on one chimney.

use super::{Assessment, Finding, Framing, Outcome, Verdict, assess};
use crate::survey::{Survey, read};
use crate::trade::codes::Codes;
use crate::trade::fan::generic;

const RANCH: &str = include_str!("../../tests/houses/ranch.json");
const OLD: &str = include_str!("../../tests/houses/old.json");

fn survey(text: &str) -> Survey {
    read("the house", text.as_bytes()).expect("a survey")
}

fn judged(text: &str) -> Assessment {
    assess(&survey(text), generic(), &Codes::default())
}

fn finding<'a>(of: &'a Assessment, fan: &str, framing: Framing, rule: &str) -> &'a Finding {
    let spot = &of.spots[0];
    let choice = spot
        .choices
        .iter()
        .find(|choice| choice.fan == fan && choice.framing == framing)
        .expect("the choice");
    of.bearing_on(spot, choice)
        .find(|finding| finding.rule == rule)
        .expect("the rule")
}

/// Each figure against the hand's number, which was rounded to about a thousandth.
fn figures(finding: &Finding, wanted: &[(&str, f64, &str)]) {
    for (name, value, unit) in wanted {
        let figure = finding
            .figures
            .iter()
            .find(|figure| figure.name == *name)
            .unwrap_or_else(|| panic!("{}: no {name}", finding.rule));
        assert_eq!(figure.unit, *unit, "{name}");
        assert!(
            (figure.value - value).abs() <= 1.5e-3 * value.abs().max(1e-3),
            "{}, {name}: {} against {value} by hand",
            finding.rule,
            figure.value
        );
    }
}

#[test]
fn the_ranch_comes_out_as_by_hand() {
    let house = judged(RANCH);
    let of = |rule| finding(&house, "direct-24", Framing::Whole, rule);
    // 1400 ft² × 8 ft; 30 and 60 times an hour, by 60.
    figures(
        of("airflow"),
        &[
            ("conditioned volume", 11_200.0, "ft³"),
            ("airflow for 30 air changes an hour", 5_600.0, "cfm"),
            ("airflow for 60 air changes an hour", 11_200.0, "cfm"),
            // ISA: 101 325 Pa × (1 − 0.0065·1608.9/288.15)^5.2559 = 83 437 Pa; over 287.05 × 283.15 K: 1.0266 kg/m³.
            ("density of the air", 0.06409, "lb/ft³"),
        ],
    );
    // Soffit 2 × 480 in, ÷ 1.25, a quarter blocked: 576 in²; boxes 6 × 50 by their mark; the powered one not at all.
    figures(
        of("exhaust-vents"),
        &[
            ("net free vent area", 876.0 / 144.0, "ft²"),
            ("net free vent area, lower", 576.0 / 144.0, "ft²"),
            ("vent area for the fan's airflow", 5400.0 / 750.0, "ft²"),
            ("1/150 of the attic floor", 9.3333, "ft²"),
            ("1/300 of the attic floor", 4.6667, "ft²"),
            ("vent area to add", 160.8 / 144.0, "ft²"),
        ],
    );
    let heater = of("backdraft");
    assert_eq!(heater.outcome, Outcome::Mend);
    figures(
        heater,
        &[
            ("limit of house pressure, water heater", -2.0, "Pa"),
            ("limit of house pressure, furnace", -15.0, "Pa"),
        ],
    );
    // 40 000 Btu/h: 1 in² for 4000 and for 2000.
    figures(
        of("combustion-air"),
        &[
            (
                "combustion air, each of two upright ducts",
                10.0 / 144.0,
                "ft²",
            ),
            (
                "combustion air, each of two level ducts",
                20.0 / 144.0,
                "ft²",
            ),
        ],
    );
    // 3.1 A marked, 125 %, and 3 A of other load. Cable from before NM-B has no place in an attic of 135 °F.
    let circuit = of("circuit");
    assert_eq!(circuit.outcome, Outcome::Mend);
    figures(
        circuit,
        &[
            ("motor share of the circuit, 125 %", 3.875, "A"),
            ("need of the circuit", 6.875, "A"),
            ("attic temperature judged at", 135.0, "°F"),
        ],
    );
    // 2 × 6.1 A × 3.07 Ω/kft × 50 ft / 1000.
    figures(
        of("voltage"),
        &[
            ("voltage drop", 1.8727, "V"),
            ("voltage at the fan", 119.1273, "V"),
        ],
    );
    // The printed chart has 88 at 88 °F and 40 %.
    figures(of("heat"), &[("heat index", 87.9, "°F")]);
    figures(of("lead-paint"), &[("ceiling cut out", 4.0, "ft²")]);
    // Trusses are never cut; over them only with a designer's word.
    let cut = finding(&house, "direct-24", Framing::Cut, "joists-and-fan");
    assert_eq!(cut.outcome, Outcome::Fails);
    assert_eq!(of("joists-and-fan").outcome, Outcome::Mend);
    assert_eq!(house.spots[0].verdict, Verdict::FitsWithWork);
}

#[test]
fn the_old_house_comes_out_as_by_hand() {
    let house = judged(OLD);
    let whole = |rule| finding(&house, "direct-24", Framing::Whole, rule);
    // Load (20 + 10) psf × 16 in / 144 = 3.3333 lb/in over 150 in: 9375 lb·in, 250 lb. The fan's 38 lb on three joists:
    // 6.333 lb at 59 and 91 in adds 373.7 lb·in. Doubled: S = 15.125 in³. No. 3 at its weakest: 575 psi × Cr 1.15.
    figures(
        whole("joist-strength"),
        &[
            ("ceiling dead load", 10.0, "psf"),
            ("attic live load", 20.0, "psf"),
            ("fan weight on the most used joist", 12.6667, "lb"),
            ("most used joist: largest moment", 9_748.67, "lb·in"),
            ("most used joist: reaction, first end", 256.333, "lb"),
            ("most used joist: bending stress", 644.54, "psi"),
            ("most used joist: bending stress allowed", 661.25, "psi"),
            // Under plaster L/240 of all and L/360 of live load.
            (
                "most used joist: deflection allowed, live and creep",
                0.625,
                "in",
            ),
            ("most used joist: deflection allowed, live", 0.41667, "in"),
        ],
    );
    let cut = |rule| finding(&house, "direct-30", Framing::Cut, rule);
    // One joist cut, headers at 59 1/4 in (60 less half a header): 3.3333 × 59.25 / 2 + 52 / 2 = 124.75 lb in each
    // header's middle and along it. Trimmer: 250 + 62.375 lb; 9375 + 62.375 × 59.25 lb·in.
    figures(
        cut("joist-strength"),
        &[
            ("near header: reaction, first end", 62.375, "lb"),
            ("first trimmer: reaction, first end", 312.375, "lb"),
            ("first trimmer: largest moment", 13_070.7, "lb·in"),
        ],
    );
    // Span 30 1/2 in: single headers; but 59 1/4 in from the bearing is more than 3 ft: doubled trimmers.
    figures(
        cut("opening-framing"),
        &[
            ("header span", 30.5, "in"),
            ("pieces in each header", 1.0, ""),
            ("pieces in each trimmer", 2.0, ""),
        ],
    );
    // Gables 2 × 24 × 24 / 3 less a tenth: 345.6 in²; twelve holes of 3 in ÷ 1.25: 67.86 in². 8:12 asks for a fifth more.
    figures(
        cut("exhaust-vents"),
        &[
            ("net free vent area", 413.46 / 144.0, "ft²"),
            ("1/150 of the attic floor", 6.08, "ft²"),
            ("factor for a steep roof", 1.2, ""),
        ],
    );
    // 800 × 9 + 700 × 8 1/3 ft³.
    figures(
        cut("airflow"),
        &[
            ("conditioned volume", 13_033.3, "ft³"),
            ("airflow for 30 air changes an hour", 6_516.7, "cfm"),
        ],
    );
    figures(
        cut("backdraft"),
        &[
            ("limit of house pressure, boiler", -3.0, "Pa"),
            ("limit of house pressure, water heater", -3.0, "Pa"),
        ],
    );
    // 140 000 Btu/h breathe from the rooms: 50 ft³ for each 1000.
    figures(
        cut("combustion-air"),
        &[("room volume for combustion air", 7_000.0, "ft³")],
    );
    // 2 × 4 A × 1.93 Ω/kft × 75 ft / 1000.
    figures(cut("voltage"), &[("voltage drop", 1.158, "V")]);
    // 30 × 30 in is over 6 ft².
    figures(cut("lead-paint"), &[("ceiling cut out", 6.25, "ft²")]);
    // The roof falls 8:12 to the left: 80 − 8/12 × 20 in over the far edge; square to it × cos 33.69°.
    figures(
        whole("clear-space"),
        &[
            ("roof, least height over the space", 66.667, "in"),
            ("roof, clearance square to it", 25.516, "in"),
        ],
    );
    assert_eq!(
        cut("circuit").outcome,
        Outcome::Mend,
        "no mark on the wires"
    );
}

#[test]
fn knob_and_tube_stops_the_survey_of_the_same_house() {
    let mut old = survey(OLD);
    old.arrival.knob_and_tube = Some(true);
    let house = assess(&old, generic(), &Codes::default());
    let spot = &house.spots[0];
    assert_eq!(spot.verdict, Verdict::DoesNotFit);
    // Nothing is left to be measured that could send anybody in.
    old.arrival.attic_humidity = None;
    old.spots[0].attic.clear_height = None;
    let house = assess(&old, generic(), &Codes::default());
    assert!(house.spots[0].settled && house.spots[0].still_matters.is_empty());
}
