//! What an answer can be: its kind, its value, how it is typed and how it is shown.

use super::choice::Word;
use super::when::{When, WhenError};
use crate::measure::quantity::{
    Airflow, Altitude, Area, Current, HeatRate, Humidity, Pitch, Pressure, QuantityError,
    Temperature, Voltage, Volume,
};
use crate::measure::{BareUnit, LengthError, Reading, Style, System, Tape};
use std::fmt;

/// The kind of answer that a field takes; decides the keypad, the parser and the unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A length off the tape; never negative.
    Length,
    /// A distance from the mark; negative lies the other way.
    Offset,
    /// A floor, window or vent area.
    Area,
    /// The volume of a box in cubic inches.
    BoxVolume,
    /// Volts.
    Voltage,
    /// Amperes.
    Current,
    /// An air temperature.
    Temperature,
    /// Relative humidity in percent.
    Humidity,
    /// A share in percent.
    Share,
    /// Roof slope, rise in 12.
    Pitch,
    /// Heat input of an appliance.
    HeatRate,
    /// Height of the site above the sea.
    Altitude,
    /// An airflow.
    Airflow,
    /// A pressure against outdoors; below zero where it is lower.
    Pressure,
    /// A whole number between two bounds, both included.
    Count {
        /// The least that makes sense.
        least: u32,
        /// The most that makes sense.
        most: u32,
    },
    /// One of a list of words.
    Choice(&'static [Word]),
    /// Yes or no.
    YesNo,
    /// Free text.
    Text,
    /// A date and time with its offset from UTC.
    When,
    /// "That is all of them", said of a list.
    Complete,
}

/// A given answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A length or an offset, as typed.
    Length(Reading),
    /// An area.
    Area(Area),
    /// A box volume.
    Volume(Volume),
    /// Volts.
    Voltage(Voltage),
    /// Amperes.
    Current(Current),
    /// A temperature.
    Temperature(Temperature),
    /// Humidity or another share.
    Percent(Humidity),
    /// A slope.
    Pitch(Pitch),
    /// A heat input.
    HeatRate(HeatRate),
    /// A height above the sea.
    Altitude(Altitude),
    /// An airflow.
    Airflow(Airflow),
    /// A pressure.
    Pressure(Pressure),
    /// A count.
    Count(u32),
    /// The code of a choice.
    Choice(&'static str),
    /// Yes or no.
    YesNo(bool),
    /// Text.
    Text(String),
    /// A date and time.
    When(When),
}

/// How the surveyor's settings read and show answers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ways {
    /// The unit of a bare number where a length is asked.
    pub bare: BareUnit,
    /// The tape's smallest division.
    pub tape: Tape,
    /// Feet and inches, or inches alone.
    pub style: Style,
}

impl Default for Ways {
    fn default() -> Self {
        Ways {
            bare: BareUnit::Inch,
            tape: Tape::default(),
            style: Style::Inches,
        }
    }
}

impl Ways {
    /// Whether quantities are shown in metric units.
    pub fn metric(&self) -> bool {
        self.tape.system() == System::Metric
    }
}

/// Why a typed answer was refused; `Display` is a sentence that says what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AnswerError {
    /// Not a length.
    #[error(transparent)]
    Length(#[from] LengthError),
    /// Not such a quantity.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// Not a whole number, or out of bounds.
    #[error("“{typed}” is not a whole number from {least} to {most}.")]
    Count {
        /// What was typed.
        typed: String,
        /// The least accepted.
        least: u32,
        /// The most accepted.
        most: u32,
    },
    /// None of the words.
    #[error("“{typed}” is none of: {offered}.")]
    Choice {
        /// What was typed.
        typed: String,
        /// The words offered.
        offered: String,
    },
    /// Neither yes nor no.
    #[error("“{typed}” is neither yes nor no.")]
    YesNo {
        /// What was typed.
        typed: String,
    },
    /// Not a date and time.
    #[error(transparent)]
    When(#[from] WhenError),
    /// Too long a text.
    #[error("{length} characters are more than the {most} that fit here; shorten it.")]
    TooLong {
        /// Its length.
        length: usize,
        /// The most accepted.
        most: usize,
    },
    /// Nothing that can be: outside the possible range.
    #[error(transparent)]
    Impossible(#[from] super::range::Doubt),
    /// A value of another kind was handed over.
    #[error("That is an answer of another kind than this field takes.")]
    OtherKind,
}

/// The most characters that a free text may have.
pub const TEXT_MOST: usize = 4000;

impl Kind {
    /// Whether this is a number of things, which is counted up from the first; a year or a zone's number is not.
    pub fn counts_things(self) -> bool {
        matches!(
            self,
            Kind::Count {
                least: 0..=2,
                most: 99..
            }
        )
    }

    /// Reads a typed answer. `Ok(None)` where nothing but blanks was typed: the answer is taken back.
    ///
    /// # Errors
    /// A sentence that says what is wrong with the text.
    pub fn parse(self, text: &str, ways: &Ways) -> Result<Option<Value>, AnswerError> {
        let trimmed = text.trim();
        if trimmed.is_empty() {
            return Ok(None);
        }
        let metric = ways.metric();
        Ok(Some(match self {
            Kind::Length => Value::Length(Reading::parse_positive(text, ways.bare)?),
            Kind::Offset => Value::Length(Reading::parse(text, ways.bare)?),
            Kind::Area => Value::Area(Area::parse(text, if metric { "m²" } else { "ft²" })?),
            Kind::BoxVolume => Value::Volume(Volume::parse(text, "in³")?),
            Kind::Voltage => Value::Voltage(Voltage::parse(text, "V")?),
            Kind::Current => Value::Current(Current::parse(text, "A")?),
            Kind::Temperature => {
                Value::Temperature(Temperature::parse(text, if metric { "°C" } else { "°F" })?)
            }
            Kind::Humidity | Kind::Share => Value::Percent(Humidity::parse(text, "%")?),
            Kind::Pitch => Value::Pitch(Pitch::parse(text, ":12")?),
            Kind::HeatRate => {
                Value::HeatRate(HeatRate::parse(text, if metric { "kW" } else { "Btu/h" })?)
            }
            Kind::Altitude => {
                Value::Altitude(Altitude::parse(text, if metric { "m" } else { "ft" })?)
            }
            Kind::Airflow => {
                Value::Airflow(Airflow::parse(text, if metric { "m³/h" } else { "cfm" })?)
            }
            Kind::Pressure => Value::Pressure(Pressure::parse(text, "Pa")?),
            Kind::Count { least, most } => match trimmed.parse::<u32>() {
                Ok(count) if (least..=most).contains(&count) => Value::Count(count),
                _ => {
                    return Err(AnswerError::Count {
                        typed: trimmed.to_owned(),
                        least,
                        most,
                    });
                }
            },
            Kind::Choice(words) => {
                let found = words.iter().find(|w| {
                    w.code.eq_ignore_ascii_case(trimmed) || w.label.eq_ignore_ascii_case(trimmed)
                });
                match found {
                    Some(word) => Value::Choice(word.code),
                    None => {
                        return Err(AnswerError::Choice {
                            typed: trimmed.to_owned(),
                            offered: words.iter().map(|w| w.label).collect::<Vec<_>>().join(", "),
                        });
                    }
                }
            }
            Kind::YesNo | Kind::Complete => match trimmed.to_ascii_lowercase().as_str() {
                "yes" | "true" => Value::YesNo(true),
                "no" | "false" => Value::YesNo(false),
                _ => {
                    return Err(AnswerError::YesNo {
                        typed: trimmed.to_owned(),
                    });
                }
            },
            Kind::Text => {
                let length = text.chars().count();
                if length > TEXT_MOST {
                    return Err(AnswerError::TooLong {
                        length,
                        most: TEXT_MOST,
                    });
                }
                Value::Text(text.to_owned())
            }
            Kind::When => Value::When(trimmed.parse()?),
        }))
    }
}

impl Value {
    /// How the answer is shown with these settings; typing it again gives the same answer.
    pub fn show(&self, ways: &Ways) -> String {
        match self {
            Value::Length(reading) => reading.show_as(ways.tape, ways.style).text,
            Value::Area(q) if ways.metric() => short(q.m2(), "m²"),
            Value::Area(q) => short(q.ft2(), "ft²"),
            Value::Volume(q) => short(q.in3(), "in³"),
            Value::Voltage(q) => short(q.v(), "V"),
            Value::Current(q) => short(q.a(), "A"),
            Value::Temperature(q) if ways.metric() => short(q.c(), "°C"),
            Value::Temperature(q) => short(q.f(), "°F"),
            Value::Percent(q) => short(q.percent(), "%"),
            Value::Pitch(q) => format!("{}:12", trim_number(q.rise_per_12())),
            Value::HeatRate(q) if ways.metric() => short(q.kw(), "kW"),
            Value::HeatRate(q) => short(q.btu_per_h(), "Btu/h"),
            Value::Altitude(q) if ways.metric() => short(q.m(), "m"),
            Value::Altitude(q) => short(q.ft(), "ft"),
            Value::Airflow(q) if ways.metric() => short(q.m3_per_h(), "m³/h"),
            Value::Airflow(q) => short(q.cfm(), "cfm"),
            Value::Pressure(q) => short(q.pa(), "Pa"),
            Value::Count(count) => count.to_string(),
            Value::Choice(code) => (*code).to_owned(),
            Value::YesNo(true) => "yes".to_owned(),
            Value::YesNo(false) => "no".to_owned(),
            Value::Text(text) => text.clone(),
            Value::When(when) => when.to_string(),
        }
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show(&Ways::default()))
    }
}

/// A number with at most six decimals, without trailing zeros.
fn trim_number(number: f64) -> String {
    let text = format!("{number:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

fn short(number: f64, unit: &str) -> String {
    format!("{} {unit}", trim_number(number))
}

/// A type that can be the answer of a field.
pub trait Answer: Sized {
    /// The kind of field that takes it, unless the catalogue says otherwise.
    const KIND: Kind;
    /// The answer as a value.
    fn to_value(&self) -> Value;
    /// The answer back from a value; `None` for a value of another kind.
    fn from_value(value: Value) -> Option<Self>;
}

macro_rules! answers {
    ($($type:ty: $kind:expr, $variant:ident;)+) => {
        $(impl Answer for $type {
            const KIND: Kind = $kind;
            fn to_value(&self) -> Value {
                Value::$variant(self.clone())
            }
            fn from_value(value: Value) -> Option<Self> {
                match value { Value::$variant(it) => Some(it), _ => None }
            }
        })+
    };
}

answers! {
    Reading: Kind::Length, Length;
    Area: Kind::Area, Area;
    Volume: Kind::BoxVolume, Volume;
    Voltage: Kind::Voltage, Voltage;
    Current: Kind::Current, Current;
    Temperature: Kind::Temperature, Temperature;
    Humidity: Kind::Humidity, Percent;
    Pitch: Kind::Pitch, Pitch;
    HeatRate: Kind::HeatRate, HeatRate;
    Altitude: Kind::Altitude, Altitude;
    Airflow: Kind::Airflow, Airflow;
    Pressure: Kind::Pressure, Pressure;
    u32: (Kind::Count { least: 0, most: u32::MAX }), Count;
    bool: Kind::YesNo, YesNo;
    String: Kind::Text, Text;
    When: Kind::When, When;
}
