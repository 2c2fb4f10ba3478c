//! What an answer usually is, and what it can be at all.
//!
//! Outside the possible range an answer is refused as it is typed ([`Doubt`]): nothing real is, so the limits are wide. One
//! that comes in a file all the same, and one that a slip of the unit explains, is withheld from judgement ([`withheld`]) until
//! it is read again. Any other outside its usual range is taken as it is; [`implausible`] lists them.
//!
//! # Units
//! Each range in the unit that it names.
//!
//! # Source
//! Each row names its own; `P` is common practice, no source.
//!
//! # Examples
//! ```
//! use joistlight::survey::{FieldRef, Survey, Ways, range};
//! # let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
//! # let mut survey = Survey::begin(uuid::Uuid::nil(), now, Default::default());
//! let width = FieldRef::spot("hall.width", survey.spots[0].id);
//! let refused = survey.type_in(width, "914", &Ways::default()).unwrap_err();
//! assert_eq!(
//!     refused.to_string(),
//!     "Hall width: 914 in (76.2 ft) cannot be right: it goes from 0 in to 240 in. Did you mean 914 mm?"
//! );
//! survey.type_in(width, "20", &Ways::default()).unwrap();
//! assert_eq!(range::implausible(&survey), [width]);
//! ```

use super::{FieldRef, ItemId, Survey, Value, fields};

/// A unit in which ranges are given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Inches.
    Inch,
    /// Square feet.
    SquareFoot,
    /// Cubic inches.
    CubicInch,
    /// Volts.
    Volt,
    /// Amperes.
    Ampere,
    /// Degrees Fahrenheit.
    Fahrenheit,
    /// Percent.
    Percent,
    /// Rise in 12.
    Rise,
    /// Btu an hour.
    BtuPerHour,
    /// Feet over the sea.
    Foot,
    /// A count or a year.
    Number,
}

/// Least and most, both included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
}

impl Bounds {
    fn has(self, amount: f64) -> bool {
        (self.least - 1e-9..=self.most + 1e-9).contains(&amount)
    }
}

/// What one answer usually is and can be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The answer.
    pub field: &'static str,
    /// The unit of both bounds.
    pub unit: Unit,
    /// What it usually is.
    pub usual: Bounds,
    /// What it can be at all.
    pub possible: Bounds,
    /// Where the bounds come from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

const fn range(
    field: &'static str,
    unit: Unit,
    usual: (f64, f64),
    possible: (f64, f64),
    source: &'static str,
) -> Range {
    Range {
        field,
        unit,
        usual: Bounds {
            least: usual.0,
            most: usual.1,
        },
        possible: Bounds {
            least: possible.0,
            most: possible.1,
        },
        source,
    }
}

/// Every answer that has a range. The possible range reaches down to nothing where the rules tell a measure of nothing as a
/// contradiction themselves.
pub const RANGES: &[Range] = &[
    range(
        "arrival.year_built",
        Unit::Number,
        (1850.0, 2030.0),
        (1600.0, 2200.0),
        PRACTICE,
    ),
    range(
        "arrival.altitude",
        Unit::Foot,
        (0.0, 7500.0),
        (-300.0, 14_000.0),
        PRACTICE,
    ),
    range(
        "arrival.attic_temperature",
        Unit::Fahrenheit,
        (20.0, 165.0),
        (-40.0, 200.0),
        "FSEC-CR-1220-00: vented attics peak about 40 °F over outdoors; the rest common practice, no source",
    ),
    range(
        "arrival.outdoor_temperature",
        Unit::Fahrenheit,
        (20.0, 115.0),
        (-40.0, 135.0),
        PRACTICE,
    ),
    range(
        "storey.floor_area",
        Unit::SquareFoot,
        (300.0, 4500.0),
        (0.0, 30_000.0),
        PRACTICE,
    ),
    range(
        "storey.ceiling_height",
        Unit::Inch,
        (84.0, 144.0),
        (0.0, 300.0),
        "IRC R305.1: 84 in at least; the rest common practice, no source",
    ),
    range(
        "hall.length",
        Unit::Inch,
        (36.0, 480.0),
        (0.0, 1200.0),
        PRACTICE,
    ),
    range(
        "hall.width",
        Unit::Inch,
        (30.0, 96.0),
        (0.0, 240.0),
        "IRC R311.6: 36 in at least; the rest common practice, no source",
    ),
    range(
        "hall.ceiling_height",
        Unit::Inch,
        (84.0, 144.0),
        (0.0, 300.0),
        "IRC R305.1: 84 in at least; the rest common practice, no source",
    ),
    range(
        "hall.ceiling_thickness",
        Unit::Inch,
        (0.375, 2.0),
        (0.0, 6.0),
        PRACTICE,
    ),
    range(
        "hall.switch_height",
        Unit::Inch,
        (30.0, 84.0),
        (0.0, 144.0),
        PRACTICE,
    ),
    range(
        "hall.box_volume",
        Unit::CubicInch,
        (8.0, 60.0),
        (0.0, 200.0),
        "NEC Table 314.16(A): 8 to 42 in³; larger ones common practice, no source",
    ),
    range(
        "attic.joist_thickness",
        Unit::Inch,
        (1.0, 3.5),
        (0.0, 12.0),
        PRACTICE,
    ),
    range(
        "attic.joist_depth",
        Unit::Inch,
        (3.0, 16.0),
        (0.0, 24.0),
        PRACTICE,
    ),
    range(
        "attic.joist_spacing",
        Unit::Inch,
        (11.0, 33.0),
        (0.0, 48.0),
        "IRC Table R802.5.1: 12 to 24 in; older ones common practice, no source",
    ),
    range(
        "attic.bearing_span",
        Unit::Inch,
        (48.0, 312.0),
        (0.0, 480.0),
        "IRC Table R802.5.1 ends at 26 ft; the rest common practice, no source",
    ),
    range(
        "attic.bearing_length",
        Unit::Inch,
        (0.5, 8.0),
        (0.0, 24.0),
        PRACTICE,
    ),
    range(
        "attic.clear_length",
        Unit::Inch,
        (12.0, 480.0),
        (0.0, 1200.0),
        PRACTICE,
    ),
    range(
        "attic.clear_width",
        Unit::Inch,
        (12.0, 480.0),
        (0.0, 1200.0),
        PRACTICE,
    ),
    range(
        "attic.clear_height",
        Unit::Inch,
        (12.0, 180.0),
        (0.0, 480.0),
        PRACTICE,
    ),
    range(
        "attic.roof_height",
        Unit::Inch,
        (12.0, 240.0),
        (0.0, 480.0),
        PRACTICE,
    ),
    range(
        "attic.roof_slope",
        Unit::Rise,
        (0.0, 14.0),
        (0.0, 24.0),
        PRACTICE,
    ),
    range(
        "attic.insulation_depth",
        Unit::Inch,
        (0.0, 24.0),
        (0.0, 48.0),
        PRACTICE,
    ),
    range(
        "attic.attic_floor_area",
        Unit::SquareFoot,
        (150.0, 4500.0),
        (0.0, 30_000.0),
        PRACTICE,
    ),
    range(
        "attic.hatch_length",
        Unit::Inch,
        (16.0, 72.0),
        (0.0, 120.0),
        PRACTICE,
    ),
    range(
        "attic.hatch_width",
        Unit::Inch,
        (14.0, 54.0),
        (0.0, 120.0),
        PRACTICE,
    ),
    range(
        "attic.hatch_headroom",
        Unit::Inch,
        (10.0, 180.0),
        (0.0, 480.0),
        PRACTICE,
    ),
    range(
        "vent.width",
        Unit::Inch,
        (1.0, 72.0),
        (0.0, 240.0),
        PRACTICE,
    ),
    range(
        "vent.height",
        Unit::Inch,
        (1.0, 72.0),
        (0.0, 240.0),
        PRACTICE,
    ),
    range(
        "vent.diameter",
        Unit::Inch,
        (2.0, 36.0),
        (0.0, 96.0),
        PRACTICE,
    ),
    range(
        "vent.length",
        Unit::Inch,
        (12.0, 1200.0),
        (0.0, 6000.0),
        PRACTICE,
    ),
    range(
        "vent.count",
        Unit::Number,
        (1.0, 60.0),
        (0.0, 999.0),
        PRACTICE,
    ),
    range(
        "power.voltage",
        Unit::Volt,
        (105.0, 132.0),
        (0.0, 300.0),
        "ANSI C84.1 Range A: service of 114 to 126 V; the rest common practice, no source",
    ),
    range(
        "power.breaker",
        Unit::Ampere,
        (15.0, 30.0),
        (0.0, 200.0),
        PRACTICE,
    ),
    range(
        "power.other_load",
        Unit::Ampere,
        (0.0, 30.0),
        (0.0, 200.0),
        PRACTICE,
    ),
    range(
        "power.one_way_run",
        Unit::Inch,
        (36.0, 2400.0),
        (0.0, 12_000.0),
        PRACTICE,
    ),
    range(
        "flame.openable_window_area",
        Unit::SquareFoot,
        (0.0, 200.0),
        (0.0, 2000.0),
        PRACTICE,
    ),
    range(
        "appliance.heat_input",
        Unit::BtuPerHour,
        (5000.0, 300_000.0),
        (0.0, 1_000_000.0),
        PRACTICE,
    ),
];

/// The range of an answer, where it has one.
pub fn of(field: &str) -> Option<&'static Range> {
    RANGES.iter().find(|range| range.field == field)
}

impl Unit {
    fn amount(self, value: &Value) -> Option<f64> {
        Some(match (self, value) {
            (Unit::Inch, Value::Length(it)) => it.length().to_in(),
            (Unit::SquareFoot, Value::Area(it)) => it.ft2(),
            (Unit::CubicInch, Value::Volume(it)) => it.in3(),
            (Unit::Volt, Value::Voltage(it)) => it.v(),
            (Unit::Ampere, Value::Current(it)) => it.a(),
            (Unit::Fahrenheit, Value::Temperature(it)) => it.f(),
            (Unit::Percent, Value::Percent(it)) => it.percent(),
            (Unit::Rise, Value::Pitch(it)) => it.rise_per_12(),
            (Unit::BtuPerHour, Value::HeatRate(it)) => it.btu_per_h(),
            (Unit::Foot, Value::Altitude(it)) => it.ft(),
            (Unit::Number, Value::Count(it)) => f64::from(*it),
            _ => return None,
        })
    }

    const fn symbol(self) -> &'static str {
        match self {
            Unit::Inch => " in",
            Unit::SquareFoot => " ft²",
            Unit::CubicInch => " in³",
            Unit::Volt => " V",
            Unit::Ampere => " A",
            Unit::Fahrenheit => " °F",
            Unit::Percent => " %",
            Unit::Rise => ":12",
            Unit::BtuPerHour => " Btu/h",
            Unit::Foot => " ft",
            Unit::Number => "",
        }
    }

    /// The same number taken for another unit, as slips of the unit go: the unit typed, the unit meant, and how many of the
    /// range's unit one of each makes.
    const fn slips(self) -> &'static [(&'static str, &'static str, f64, f64)] {
        match self {
            Unit::Inch => &[
                ("in", "mm", 1.0, 1.0 / 25.4),
                ("ft", "in", 12.0, 1.0),
                ("in", "cm", 1.0, 1.0 / 2.54),
                ("in", "ft", 1.0, 12.0),
                ("mm", "in", 1.0 / 25.4, 1.0),
                ("mm", "cm", 1.0 / 25.4, 1.0 / 2.54),
            ],
            Unit::SquareFoot => &[
                ("ft²", "in²", 1.0, 1.0 / 144.0),
                ("ft²", "m²", 1.0, 10.763_910_417),
                ("m²", "ft²", 10.763_910_417, 1.0),
            ],
            _ => &[],
        }
    }

    /// The amount in another unit as well, so that a slip is seen.
    fn otherwise(self, amount: f64) -> Option<String> {
        match self {
            Unit::Inch => Some(format!("{} ft", short(amount / 12.0))),
            Unit::SquareFoot => Some(format!("{} m²", short(amount / 10.763_910_417))),
            Unit::Fahrenheit => Some(format!("{} °C", short((amount - 32.0) / 1.8))),
            _ => None,
        }
    }
}

/// At most one decimal, and none where it is nought.
fn short(amount: f64) -> String {
    let text = format!("{amount:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// An answer outside its range, asked back in both units with what may have been meant.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Doubt {
    /// Nothing real is so; a slip of the unit explains it.
    #[error("{typed} cannot be right: it goes from {least} to {most}. Did you mean {instead}?")]
    ImpossibleSlip {
        /// As it was typed, and in another unit.
        typed: String,
        /// The least that it can be.
        least: String,
        /// The most that it can be.
        most: String,
        /// The same number in the unit that may have been meant.
        instead: String,
    },
    /// Nothing real is so.
    #[error("{typed} cannot be right: it goes from {least} to {most}. Read it again.")]
    Impossible {
        /// As it was typed, and in another unit.
        typed: String,
        /// The least that it can be.
        least: String,
        /// The most that it can be.
        most: String,
    },
    /// It seldom is so, and a slip of the unit explains it.
    #[error("{typed} is unusual: it mostly is {least} to {most}. Did you mean {instead}?")]
    UnusualSlip {
        /// As it was typed, and in another unit.
        typed: String,
        /// The least that it usually is.
        least: String,
        /// The most that it usually is.
        most: String,
        /// The same number in the unit that may have been meant.
        instead: String,
    },
    /// It seldom is so.
    #[error("{typed} is unusual: it mostly is {least} to {most}. Read it again.")]
    Unusual {
        /// As it was typed, and in another unit.
        typed: String,
        /// The least that it usually is.
        least: String,
        /// The most that it usually is.
        most: String,
    },
}

impl Doubt {
    /// Whether a slip of the unit explains it.
    pub const fn is_slip(&self) -> bool {
        matches!(
            self,
            Doubt::ImpossibleSlip { .. } | Doubt::UnusualSlip { .. }
        )
    }

    /// Whether it cannot be at all.
    pub const fn is_impossible(&self) -> bool {
        matches!(
            self,
            Doubt::Impossible { .. } | Doubt::ImpossibleSlip { .. }
        )
    }
}

impl Range {
    /// What is doubtful about a value; nothing where it is usual.
    pub fn doubt(&self, value: &Value) -> Option<Doubt> {
        let amount = self.unit.amount(value)?;
        if self.usual.has(amount) {
            return None;
        }
        let impossible = !self.possible.has(amount);
        let bounds = if impossible {
            self.possible
        } else {
            self.usual
        };
        let written = |amount: f64| format!("{}{}", short(amount), self.unit.symbol());
        let typed_metric =
            matches!(value, Value::Length(it) if it.system() == crate::measure::System::Metric);
        // A slip of the unit leaves a number that somebody would type.
        let meant: Vec<String> = self
            .unit
            .slips()
            .iter()
            .filter(|(typed, ..)| (*typed == "mm") == typed_metric)
            .filter_map(|(_, meant, of_typed, of_meant)| {
                let number = amount / of_typed;
                let whole = (number * 16.0 - (number * 16.0).round()).abs() < 1e-6;
                (whole && self.usual.has(number * of_meant))
                    .then(|| format!("{} {meant}", short(number)))
            })
            .collect();
        let instead = (!meant.is_empty()).then(|| meant.join(" / "));
        let typed = if typed_metric {
            format!("{} mm", short(amount * 25.4))
        } else {
            written(amount)
        };
        let typed = match self.unit.otherwise(amount).filter(|is| *is != typed) {
            Some(is) => format!("{typed} ({is})"),
            None => typed,
        };
        let (least, most) = (written(bounds.least), written(bounds.most));
        Some(match (impossible, instead) {
            (true, Some(instead)) => Doubt::ImpossibleSlip {
                typed,
                least,
                most,
                instead,
            },
            (true, None) => Doubt::Impossible { typed, least, most },
            (false, Some(instead)) => Doubt::UnusualSlip {
                typed,
                least,
                most,
                instead,
            },
            (false, None) => Doubt::Unusual { typed, least, most },
        })
    }
}

/// What is doubtful about the answer at `at`; nothing where it is usual, missing, or has no range.
pub fn doubt(survey: &Survey, at: FieldRef) -> Option<Doubt> {
    of(at.field)?.doubt(&survey.answer(at)?)
}

/// Every answer that is outside its usual range, in the order of [`RANGES`].
pub fn implausible(survey: &Survey) -> Vec<FieldRef> {
    doubts(survey).into_iter().map(|(at, _)| at).collect()
}

/// Every answer that nothing is judged by: what cannot be, and what a slip of the unit explains.
pub fn withheld(survey: &Survey) -> Vec<(FieldRef, Doubt)> {
    let mut all = doubts(survey);
    all.retain(|(_, doubt)| doubt.is_slip() || doubt.is_impossible());
    all
}

fn doubts(survey: &Survey) -> Vec<(FieldRef, Doubt)> {
    let mut found = Vec::new();
    for range in RANGES {
        let mut look = |at: FieldRef| {
            if let Some(value) = survey.answer(at)
                && let Some(doubt) = range.doubt(&value)
            {
                found.push((at, doubt));
            }
        };
        let spots: Vec<Option<ItemId>> = if of_spot(range.field) {
            survey.spots.iter().map(|spot| Some(spot.id)).collect()
        } else {
            vec![None]
        };
        for spot in spots {
            match items(range.field) {
                Some(list) => {
                    let ids = survey.list(list, spot).map(|it| it.ids());
                    for item in ids.into_iter().flatten() {
                        look(FieldRef {
                            field: range.field,
                            spot,
                            item: Some(item),
                        });
                    }
                }
                None => look(FieldRef {
                    field: range.field,
                    spot,
                    item: None,
                }),
            }
        }
    }
    found
}

fn of_spot(field: &str) -> bool {
    field.starts_with("hall.") || field.starts_with("attic.")
}

/// The list whose items have this answer; none where a section has it.
fn items(field: &str) -> Option<&'static str> {
    fields::LISTS
        .iter()
        .find(|list| list.slots.iter().any(|slot| slot.id == field))
        .map(|list| list.id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::Ways;

    #[test]
    fn every_range_is_of_an_answer_and_holds_its_usual_one() {
        for range in RANGES {
            assert!(fields::slot(range.field).is_some(), "{}", range.field);
            assert!(range.possible.least <= range.usual.least, "{}", range.field);
            assert!(range.usual.most <= range.possible.most, "{}", range.field);
            assert!(range.usual.least < range.usual.most, "{}", range.field);
        }
    }

    #[test]
    fn a_slip_of_the_unit_is_asked_back_in_both_units() {
        // 25.4 mm an inch by definition; 12 in a foot.
        for (field, typed, told) in [
            (
                "hall.width",
                "914",
                "914 in (76.2 ft) cannot be right: it goes from 0 in to 240 in. Did you mean 914 mm?",
            ),
            ("hall.width", "3 ft", ""),
            ("hall.width", "36 ft", "Did you mean 36 in?"),
            (
                "attic.joist_spacing",
                "405 in",
                "405 in (33.8 ft) cannot be right: it goes from 0 in to 48 in. Did you mean 405 mm?",
            ),
            ("hall.ceiling_height", "2440", "Did you mean 2440 mm?"),
            ("hall.ceiling_height", "96 ft", "Did you mean 96 in?"),
        ] {
            let range = of(field).unwrap();
            let kind = fields::kind_of(field).unwrap();
            let value = kind.parse(typed, &Ways::default()).unwrap().unwrap();
            let doubt = range
                .doubt(&value)
                .map_or(String::new(), |it| it.to_string());
            if told.is_empty() {
                assert_eq!(doubt, "");
            } else {
                assert!(doubt.contains(told), "{doubt}");
            }
        }
    }
}
