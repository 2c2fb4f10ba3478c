//! [`Length`], exact in inches and in millimetres, and [`Reading`], a length with the system it was read in.

use std::borrow::Cow;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::quantity::Area;

/// 25 nm units in one inch: 25.4 mm exactly (international yard and pound agreement, 1959; NIST SP 811, B.6).
pub(super) const INCH: i64 = 1_016_000;
/// 25 nm units in one foot of 12 in.
pub(super) const FOOT: i64 = 12 * INCH;
/// 25 nm units in 1/64 in.
pub(super) const SIXTY_FOURTH: i64 = 15_875;
/// 25 nm units in 0.001 in.
pub(super) const THOUSANDTH: i64 = 1_016;
/// 25 nm units in one millimetre.
pub(super) const MM: i64 = 40_000;

/// A length, held exactly as a whole number of 25 nanometres.
///
/// # Units
///
/// 1/64 in is 15 875 of them, 0.001 in is 1 016 and 1 mm is 40 000, so sixty-fourths, thousandths and
/// millimetres never round, whatever is added to them or taken away. Sums and products that pass the
/// range of `i64` (about 230 million kilometres) stop at its ends.
///
/// # Text
///
/// As text (and in JSON) a length is exact and carries its unit: `36 1/2 in` when it lies on a 1/64 in
/// mark, `19.2 in` on a thousandth, otherwise millimetres.
///
/// # Examples
///
/// ```
/// use joistlight::measure::Length;
///
/// let ten_spaces = Length::thousandths_in(19_200) * 10;
/// assert_eq!(ten_spaces, Length::feet(16));
/// assert_eq!((Length::inches(36) + Length::sixteenths(8)).to_string(), "36 1/2 in");
/// assert_eq!(Length::mm(914).to_string(), "914 mm");
/// assert_eq!("36 1/2 in".parse(), Ok(Length::sixteenths(36 * 16 + 8)));
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(pub(super) i64);

impl Length {
    /// No length.
    pub const ZERO: Length = Length(0);

    /// The longest length that a surveyor may type: 1000 ft.
    pub const LONGEST_TYPED: Length = Length::feet(1000);

    /// Whole inches.
    pub const fn inches(n: i64) -> Length {
        Length(n.saturating_mul(INCH))
    }

    /// Sixteenths of an inch.
    pub const fn sixteenths(n: i64) -> Length {
        Length(n.saturating_mul(INCH / 16))
    }

    /// Sixty-fourths of an inch.
    pub const fn sixty_fourths(n: i64) -> Length {
        Length(n.saturating_mul(SIXTY_FOURTH))
    }

    /// Thousandths of an inch: 19.2 in is `thousandths_in(19_200)`.
    pub const fn thousandths_in(n: i64) -> Length {
        Length(n.saturating_mul(THOUSANDTH))
    }

    /// Whole millimetres.
    pub const fn mm(n: i64) -> Length {
        Length(n.saturating_mul(MM))
    }

    /// Whole feet.
    pub const fn feet(n: i64) -> Length {
        Length(n.saturating_mul(FOOT))
    }

    /// A computed number of inches, to the nearest 25 nm. Not a number becomes zero, so check before.
    pub fn from_in(inches: f64) -> Length {
        Length((inches * INCH as f64).round() as i64)
    }

    /// A computed number of feet, to the nearest 25 nm. Not a number becomes zero, so check before.
    pub fn from_ft(feet: f64) -> Length {
        Length((feet * FOOT as f64).round() as i64)
    }

    /// A computed number of metres, to the nearest 25 nm. Not a number becomes zero, so check before.
    pub fn from_m(metres: f64) -> Length {
        Length((metres * (1000 * MM) as f64).round() as i64)
    }

    /// So many times 25 nm.
    pub const fn of_25_nm(count: i64) -> Length {
        Length(count)
    }

    /// How many times 25 nm it is: the whole number that it is held as, for exact geometry.
    pub const fn in_25_nm(self) -> i64 {
        self.0
    }

    /// In inches.
    pub const fn to_in(self) -> f64 {
        self.0 as f64 / INCH as f64
    }

    /// In feet.
    pub const fn to_ft(self) -> f64 {
        self.0 as f64 / FOOT as f64
    }

    /// In millimetres.
    pub const fn to_mm(self) -> f64 {
        self.0 as f64 / MM as f64
    }

    /// In metres.
    pub const fn to_m(self) -> f64 {
        self.0 as f64 / (1000 * MM) as f64
    }

    /// The same length without its sign.
    pub const fn abs(self) -> Length {
        Length(self.0.saturating_abs())
    }

    /// Whether it is below zero.
    pub const fn is_negative(self) -> bool {
        self.0 < 0
    }

    /// Whether it is exactly nothing.
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// This length times a plain number, to the nearest 25 nm.
    pub fn scale(self, by: f64) -> Length {
        Length((self.0 as f64 * by).round() as i64)
    }

    /// To the nearest whole number of `step`s, half a step going away from zero.
    ///
    /// ```
    /// use joistlight::measure::Length;
    /// let eighth = Length::sixteenths(2);
    /// assert_eq!(Length::sixteenths(3).round_to(eighth), Length::sixteenths(4));
    /// assert_eq!(Length::sixteenths(-3).round_to(eighth), Length::sixteenths(-4));
    /// ```
    ///
    /// A step of zero or less changes nothing.
    pub const fn round_to(self, step: Length) -> Length {
        if step.0 <= 0 {
            return self;
        }
        Length(divide_nearest(self.0, step.0).saturating_mul(step.0))
    }

    /// Whether it is a whole number of 1/64 in or of 0.001 in, which inch text can write exactly.
    pub const fn on_inch_grid(self) -> bool {
        self.0 % SIXTY_FOURTH == 0 || self.0 % THOUSANDTH == 0
    }
}

/// `a / b` to the nearest whole number, a half going away from zero.
const fn divide_nearest(a: i64, b: i64) -> i64 {
    let (a, b) = (a as i128, b as i128);
    let (quotient, rest) = (a / b, a % b);
    let nearest = if 2 * rest.abs() >= b.abs() {
        quotient + (a.signum() * b.signum())
    } else {
        quotient
    };
    nearest as i64
}

impl std::fmt::Debug for Length {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Length({self})")
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0.saturating_sub(other.0))
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(self.0.saturating_neg())
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        *self = *self - other;
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, by: i64) -> Length {
        Length(self.0.saturating_mul(by))
    }
}

/// To the nearest 25 nm. Panics, like every whole-number division, when `by` is zero.
impl Div<i64> for Length {
    type Output = Length;
    fn div(self, by: i64) -> Length {
        Length(divide_nearest(self.0, by))
    }
}

/// How many times the other length goes into this one.
impl Div for Length {
    type Output = f64;
    fn div(self, other: Length) -> f64 {
        self.0 as f64 / other.0 as f64
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Length) -> Area {
        Area::from_ft2(self.to_ft() * other.to_ft())
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, Add::add)
    }
}

impl<'a> Sum<&'a Length> for Length {
    fn sum<I: Iterator<Item = &'a Length>>(lengths: I) -> Length {
        lengths.copied().sum()
    }
}

/// The system in which a length was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum System {
    /// Feet, inches and their fractions.
    Inch,
    /// Metres, centimetres and millimetres.
    Metric,
}

/// What the surveyor read off the tape: the exact length, and the system in which it was read.
///
/// As text (and in JSON) it is one exact string that carries both: `36 1/2 in`, `914 mm`, `91.45 mm`.
///
/// # Examples
///
/// ```
/// use joistlight::measure::{BareUnit, Length, Reading, System};
///
/// let typed = Reading::parse("3' 0 1/2\"", BareUnit::Inch)?;
/// assert_eq!(typed.length(), Length::sixteenths(36 * 16 + 8));
/// assert_eq!(typed.system(), System::Inch);
/// assert_eq!(typed.to_string(), "36 1/2 in");
/// assert_eq!(Reading::parse("91.4 cm", BareUnit::Inch)?.to_string(), "914 mm");
/// # Ok::<(), joistlight::measure::LengthError>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Reading {
    length: Length,
    system: System,
}

impl Reading {
    /// A reading of `length` in `system`.
    ///
    /// A length that inch text cannot write exactly (neither a whole 1/64 in nor a whole 0.001 in) was
    /// not read off an inch tape; it becomes a metric reading.
    pub const fn new(length: Length, system: System) -> Reading {
        match system {
            System::Inch if length.on_inch_grid() => Reading { length, system },
            _ => Reading {
                length,
                system: System::Metric,
            },
        }
    }

    /// A reading in whole inches.
    pub const fn inches(n: i64) -> Reading {
        Reading::new(Length::inches(n), System::Inch)
    }

    /// A reading in sixteenths of an inch.
    pub const fn sixteenths(n: i64) -> Reading {
        Reading::new(Length::sixteenths(n), System::Inch)
    }

    /// A reading in whole millimetres.
    pub const fn mm(n: i64) -> Reading {
        Reading::new(Length::mm(n), System::Metric)
    }

    /// The exact length.
    pub const fn length(self) -> Length {
        self.length
    }

    /// The system in which it was read.
    pub const fn system(self) -> System {
        self.system
    }
}

impl std::fmt::Debug for Reading {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Reading({self})")
    }
}

impl From<Reading> for Length {
    fn from(reading: Reading) -> Length {
        reading.length
    }
}

/// The smallest division on the surveyor's tape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
pub enum Tape {
    /// 1/8 in.
    #[serde(rename = "1/8 in")]
    Eighth,
    /// 1/16 in.
    #[default]
    #[serde(rename = "1/16 in")]
    Sixteenth,
    /// 1/32 in.
    #[serde(rename = "1/32 in")]
    ThirtySecond,
    /// 1 mm.
    #[serde(rename = "1 mm")]
    Millimetre,
}

impl Tape {
    /// The distance between two neighbouring marks.
    pub const fn division(self) -> Length {
        match self {
            Tape::Eighth => Length(INCH / 8),
            Tape::Sixteenth => Length(INCH / 16),
            Tape::ThirtySecond => Length(INCH / 32),
            Tape::Millimetre => Length(MM),
        }
    }

    /// The system in which it reads.
    pub const fn system(self) -> System {
        match self {
            Tape::Eighth | Tape::Sixteenth | Tape::ThirtySecond => System::Inch,
            Tape::Millimetre => System::Metric,
        }
    }
}

/// The unit that a bare number has, from the settings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
pub enum BareUnit {
    /// Inches.
    #[default]
    #[serde(rename = "in")]
    Inch,
    /// Feet.
    #[serde(rename = "ft")]
    Foot,
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetre,
    /// Centimetres.
    #[serde(rename = "cm")]
    Centimetre,
    /// Metres.
    #[serde(rename = "m")]
    Metre,
}

impl BareUnit {
    /// The system to which the unit belongs.
    pub const fn system(self) -> System {
        match self {
            BareUnit::Inch | BareUnit::Foot => System::Inch,
            BareUnit::Millimetre | BareUnit::Centimetre | BareUnit::Metre => System::Metric,
        }
    }

    /// The length of one such unit.
    pub const fn length(self) -> Length {
        Length(match self {
            BareUnit::Inch => INCH,
            BareUnit::Foot => FOOT,
            BareUnit::Millimetre => MM,
            BareUnit::Centimetre => 10 * MM,
            BareUnit::Metre => 1000 * MM,
        })
    }

    /// Its short name: `in`, `ft`, `mm`, `cm` or `m`.
    pub const fn name(self) -> &'static str {
        match self {
            BareUnit::Inch => "in",
            BareUnit::Foot => "ft",
            BareUnit::Millimetre => "mm",
            BareUnit::Centimetre => "cm",
            BareUnit::Metre => "m",
        }
    }
}

/// What the exact text of a length looks like, for JSON Schema.
const EXACT_TEXT: &str =
    r"^-?([0-9]+( [0-9]+/(2|4|8|16|32|64))?|[0-9]+/(2|4|8|16|32|64)|[0-9]+\.[0-9]+) (in|mm)$";

macro_rules! exact_text {
    ($type:ident, $description:literal) => {
        impl Serialize for $type {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<$type, D::Error> {
                let text = String::deserialize(deserializer)?;
                text.parse()
                    .map_err(|e| serde::de::Error::custom(format!("“{text}”: {e}")))
            }
        }

        impl JsonSchema for $type {
            fn schema_name() -> Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({
                    "type": "string",
                    "pattern": EXACT_TEXT,
                    "description": $description,
                })
            }
        }
    };
}

exact_text!(
    Length,
    "An exact length with its unit: \"36 1/2 in\", \"19.2 in\" or \"914 mm\"."
);
exact_text!(
    Reading,
    "An exact length in the unit system in which it was read: \"36 1/2 in\" or \"914 mm\"."
);
