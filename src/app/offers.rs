//! Values to take with one tap: the sizes in which things are usually sold and built, and the usual ends of a
//! tape reading.
//!
//! An offer is only a large key. What nobody tapped is not measured.

use crate::measure::Tape;
use crate::survey::{Kind, Ways};

/// The usual sizes by field, in inches and feet, then in millimetres or metres. Common practice, no source.
const USUAL: &[(&str, &[&str], &[&str])] = &[
    (
        "storey.ceiling_height",
        &["8'", "9'"],
        &["2440 mm", "2740 mm"],
    ),
    (
        "hall.ceiling_height",
        &["8'", "9'", "10'"],
        &["2440 mm", "2740 mm"],
    ),
    (
        "hall.ceiling_thickness",
        &["1/2\"", "5/8\"", "7/8\""],
        &["12 mm", "13 mm", "16 mm"],
    ),
    (
        "hall.switch_height",
        &["42\"", "48\""],
        &["1070 mm", "1220 mm"],
    ),
    (
        "hall.box_volume",
        &["18 in³", "20.3 in³", "22.5 in³"],
        &["18 in³", "20.3 in³"],
    ),
    (
        "attic.joist_thickness",
        &["1 1/2\"", "1 5/8\"", "2\""],
        &["38 mm", "45 mm"],
    ),
    (
        "attic.joist_depth",
        &["5 1/2\"", "7 1/4\"", "9 1/4\""],
        &["140 mm", "184 mm", "235 mm"],
    ),
    (
        "attic.joist_spacing",
        &["12\"", "16\"", "24\""],
        &["400 mm", "600 mm"],
    ),
    (
        "attic.bearing_length",
        &["1 1/2\"", "3 1/2\"", "5 1/2\""],
        &["38 mm", "89 mm"],
    ),
    (
        "attic.insulation_depth",
        &["6\"", "9\"", "12\""],
        &["150 mm", "200 mm", "300 mm"],
    ),
    (
        "attic.hatch_length",
        &["30\"", "36\"", "54\""],
        &["760 mm", "900 mm", "1370 mm"],
    ),
    (
        "attic.hatch_width",
        &["22\"", "24\"", "30\""],
        &["560 mm", "600 mm", "760 mm"],
    ),
    (
        "attic.roof_slope",
        &["4:12", "5:12", "6:12", "8:12"],
        &["4:12", "5:12", "6:12", "8:12"],
    ),
    (
        "fixture.size_along",
        &["6\"", "12\"", "14\""],
        &["150 mm", "300 mm", "350 mm"],
    ),
    ("fixture.left", &["0\""], &["0 mm"]),
    ("fixture.ahead", &["0\""], &["0 mm"]),
    ("obstruction.bottom", &["0\"", "2\""], &["0 mm", "50 mm"]),
    (
        "obstruction.diameter",
        &["4\"", "6\"", "8\"", "10\""],
        &["100 mm", "150 mm", "200 mm"],
    ),
    (
        "obstruction.size_along",
        &["1 1/2\"", "3 1/2\"", "4\""],
        &["38 mm", "89 mm"],
    ),
    (
        "obstruction.size_across",
        &["1 1/2\"", "3 1/2\"", "4\""],
        &["38 mm", "89 mm"],
    ),
    (
        "vent.width",
        &["8\"", "16\"", "22\"", "24\""],
        &["200 mm", "400 mm", "600 mm"],
    ),
    (
        "vent.height",
        &["4\"", "8\"", "18\""],
        &["100 mm", "200 mm", "450 mm"],
    ),
    (
        "vent.diameter",
        &["2\"", "4\"", "12\""],
        &["50 mm", "100 mm", "300 mm"],
    ),
    (
        "vent.blocked",
        &["0 %", "10 %", "25 %", "50 %"],
        &["0 %", "10 %", "25 %", "50 %"],
    ),
    ("vent.count", &["1", "2", "10"], &["1", "2", "10"]),
    ("box.count", &["1", "2", "4"], &["1", "2", "4"]),
    ("arrival.climate_zone", &["3", "4", "5"], &["3", "4", "5"]),
    (
        "appliance.heat_input",
        &["36000 Btu/h", "40000 Btu/h", "60000 Btu/h", "80000 Btu/h"],
        &["11 kW", "12 kW", "18 kW", "24 kW"],
    ),
    ("power.breaker", &["15 A", "20 A"], &["15 A", "20 A"]),
    ("power.switch_rating", &["15 A", "20 A"], &["15 A", "20 A"]),
    ("power.other_load", &["0 A"], &["0 A"]),
    ("power.bundled_wires", &["2", "3", "6"], &["2", "3", "6"]),
];

/// The usual sizes for a field, as they are typed; none where a thing has no usual size.
pub fn usual(field: &str, ways: &Ways) -> &'static [&'static str] {
    USUAL
        .iter()
        .find(|(id, ..)| *id == field)
        .map_or(
            &[],
            |(_, inch, metric)| {
                if ways.metric() { metric } else { inch }
            },
        )
}

/// The quarters that may follow the whole inches typed so far; none on a millimetre tape, or where a fraction or
/// another unit is typed already.
pub fn endings(typed: &str, kind: Kind, ways: &Ways) -> Vec<String> {
    let whole = !typed.contains(['/', '.', '"']) && typed.ends_with(|c: char| c.is_ascii_digit());
    if ways.tape == Tape::Millimetre || !whole || !matches!(kind, Kind::Length | Kind::Offset) {
        return Vec::new();
    }
    ["1/4", "1/2", "3/4"]
        .iter()
        .map(|part| format!("{typed} {part}\""))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::fields;

    fn metric() -> Ways {
        Ways {
            bare: crate::measure::BareUnit::Millimetre,
            tape: Tape::Millimetre,
            ..Ways::default()
        }
    }

    #[test]
    fn every_usual_size_is_read_as_an_answer_of_its_field() {
        for (field, inch, metric_sizes) in USUAL {
            let kind = fields::kind_of(field).expect(field);
            for (sizes, ways) in [(inch, Ways::default()), (metric_sizes, metric())] {
                for text in *sizes {
                    assert!(
                        matches!(kind.parse(text, &ways), Ok(Some(_))),
                        "{field}: {text}"
                    );
                }
            }
        }
    }

    #[test]
    fn endings_follow_whole_inches_only() {
        let ways = Ways::default();
        for typed in ["44", "14' 2", "-5", "0"] {
            for text in endings(typed, Kind::Offset, &ways) {
                assert!(
                    matches!(Kind::Offset.parse(&text, &ways), Ok(Some(_))),
                    "{text}"
                );
            }
            assert_eq!(endings(typed, Kind::Offset, &ways).len(), 3);
        }
        for typed in ["", "14'", "44 1/2\"", "44.", "44\""] {
            assert!(endings(typed, Kind::Length, &ways).is_empty(), "{typed}");
        }
        assert!(endings("44", Kind::Length, &metric()).is_empty());
        assert!(endings("44", Kind::Current, &ways).is_empty());
    }
}
