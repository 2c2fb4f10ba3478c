//! The other quantities of the trade: one type each, its base the unit that the trade uses.
//!
//! Every type is a plain number inside. What goes in and what comes out names its unit:
//! [`Area::from_ft2`], [`Area::in2`]. The constructors take what code has computed, and check nothing;
//! text from people and files goes through `parse` and `FromStr`, which refuse what cannot be.
//!
//! As text (and in JSON) a quantity is its number in the base unit and the unit: `1600 ft²`. Reading it
//! also takes the other units and plain spellings: `1600 ft2`, `148.6 m2`.
//!
//! # Units
//!
//! All conversions follow from exact definitions: 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg (international
//! yard and pound agreement, 1959), standard gravity 9.806 65 m/s² (3rd CGPM, 1901), 1 Btu (IT) =
//! 1055.055 852 62 J (5th International Conference on Properties of Steam, 1956), 1 hp = 550 ft·lb/s. The conventional inch of
//! water is a column of 1000 kg/m³ under standard gravity: 249.088 91 Pa (NIST SP 811, appendix B).
//!
//! # Examples
//!
//! ```
//! use joistlight::measure::{Airflow, Area, Length, Speed, Volume};
//!
//! let floor: Area = "1600 ft2".parse()?;
//! let house: Volume = floor * Length::feet(8);
//! assert_eq!(house.ft3(), 12_800.0);
//! let through: Speed = Airflow::from_cfm(4500.0) / Area::from_ft2(6.0);
//! assert_eq!(through.to_string(), "750 ft/min");
//! # Ok::<(), joistlight::measure::QuantityError>(())
//! ```

use std::borrow::Cow;
use std::cmp::Ordering;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Range, Sub, SubAssign};
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::figure::Measured;
use super::length::Length;
use super::parse::groups_thousands;

/// Metres in a foot.
const FT_M: f64 = 0.3048;
/// Metres in an inch.
const IN_M: f64 = 0.0254;
/// Kilograms in a pound.
const LB_KG: f64 = 0.45359237;
/// Standard gravity, m/s².
const GRAVITY: f64 = 9.80665;
/// Newtons in a pound of force.
const LB_N: f64 = LB_KG * GRAVITY;
/// Watts in one Btu (IT) an hour.
const BTU_H_W: f64 = 1055.05585262 / 3600.0;
/// Watts in a mechanical horsepower: 550 ft·lb/s.
const HP_W: f64 = 550.0 * FT_M * LB_N;

/// One unit of a quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// The symbol, as written.
    pub name: &'static str,
    /// Other spellings that are read.
    pub spellings: &'static [&'static str],
    /// How much of the base unit one of this unit is.
    pub factor: f64,
    /// Where this unit's zero lies in the base unit.
    pub offset: f64,
}

/// Why a typed quantity was refused.
///
/// The text of an error is one English sentence that says what to type instead; the fields carry the same
/// facts for other languages. [`QuantityError::at`] is the part of the text that it is about, in bytes.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("nothing is typed yet; type {what} in {units}")]
    Empty {
        /// The kind of quantity.
        what: &'static str,
        /// The units accepted.
        units: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// No number where one was expected.
    #[error("“{typed}” is not a number; type {what} in {units}")]
    NotANumber {
        /// What stands there.
        typed: String,
        /// The kind of quantity.
        what: &'static str,
        /// The units accepted.
        units: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A comma that may group thousands or begin decimals.
    #[error("“{typed}” can be read as {whole} or as {decimal}; type the one that is meant")]
    AmbiguousComma {
        /// The number as typed.
        typed: String,
        /// The number if the comma groups thousands.
        whole: String,
        /// The number if the comma begins decimals.
        decimal: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A number with no unit where one is needed.
    #[error("“{typed}” has no unit; {what} is given in {units}")]
    MissingUnit {
        /// The number as typed.
        typed: String,
        /// The kind of quantity.
        what: &'static str,
        /// The units accepted.
        units: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A unit that does not belong to this quantity.
    #[error("“{unit}” is not a unit for {what}; use {units}")]
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// The kind of quantity.
        what: &'static str,
        /// The units accepted.
        units: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// Infinite, or not a number.
    #[error("“{typed}” is not a finite number; type {what} in digits")]
    NotFinite {
        /// The number as typed.
        typed: String,
        /// The kind of quantity.
        what: &'static str,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// Below zero where that makes no sense.
    #[error("“{typed}” is below zero, and {what} cannot be; type it without the minus")]
    Negative {
        /// The number as typed.
        typed: String,
        /// The kind of quantity.
        what: &'static str,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// Outside what the quantity can be.
    #[error("“{typed}” is out of range; {what} is {range}")]
    OutOfRange {
        /// The number as typed.
        typed: String,
        /// The kind of quantity.
        what: &'static str,
        /// The range, in words.
        range: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A pitch over something other than 12.
    #[error(
        "“{typed}” is not a pitch in twelfths; type the rise in 12, for example 5:12, or degrees"
    )]
    NotInTwelve {
        /// The pitch as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
}

impl QuantityError {
    /// The part of the typed text that the error is about, in bytes.
    pub fn at(&self) -> Range<usize> {
        use QuantityError::*;
        match self {
            Empty { at, .. }
            | NotANumber { at, .. }
            | AmbiguousComma { at, .. }
            | MissingUnit { at, .. }
            | UnknownUnit { at, .. }
            | NotFinite { at, .. }
            | Negative { at, .. }
            | OutOfRange { at, .. }
            | NotInTwelve { at, .. } => at.clone(),
        }
    }
}

/// What a quantity's text may say.
struct Kind {
    what: &'static str,
    units: &'static [Unit],
    low: f64,
    high: f64,
}

impl Kind {
    fn unit_names(&self) -> String {
        let names: Vec<_> = self.units.iter().map(|unit| unit.name).collect();
        match names.as_slice() {
            [] => String::new(),
            [one] => (*one).to_owned(),
            [first @ .., last] => format!("{} or {last}", first.join(", ")),
        }
    }

    fn find(&self, name: &str) -> Option<&'static Unit> {
        let wanted = plain(name);
        self.units.iter().find(|unit| {
            plain(unit.name) == wanted || unit.spellings.iter().any(|s| plain(s) == wanted)
        })
    }

    /// The number in the base unit.
    fn read(&self, text: &str, bare: Option<&str>) -> Result<f64, QuantityError> {
        let (number, at, rest) = self.number(text)?;
        let typed = text[at.clone()].to_owned();
        let unit = match (text[rest.clone()].trim(), bare) {
            ("", None) => {
                return Err(QuantityError::MissingUnit {
                    typed,
                    what: self.what,
                    units: self.unit_names(),
                    at,
                });
            }
            ("", Some(bare)) => bare,
            (named, _) => named,
        };
        let Some(unit) = self.find(unit) else {
            return Err(QuantityError::UnknownUnit {
                unit: unit.to_owned(),
                what: self.what,
                units: self.unit_names(),
                at: rest,
            });
        };
        self.check(number * unit.factor + unit.offset, &typed, at)
    }

    /// A number that this quantity can have.
    fn check(&self, value: f64, typed: &str, at: Range<usize>) -> Result<f64, QuantityError> {
        let (typed, what) = (typed.to_owned(), self.what);
        if !value.is_finite() {
            return Err(QuantityError::NotFinite { typed, what, at });
        }
        if value < 0.0 && self.low == 0.0 {
            return Err(QuantityError::Negative { typed, what, at });
        }
        if value < self.low || value > self.high {
            let unit = self.units[0].name;
            let range = if self.high.is_finite() {
                format!("{} to {} {unit}", self.low, self.high)
            } else {
                format!("{} {unit} or more", self.low)
            };
            return Err(QuantityError::OutOfRange {
                typed,
                what,
                range,
                at,
            });
        }
        Ok(value)
    }

    /// The leading number, where it stands, and where the rest (without white space) stands.
    ///
    /// `36`, `36.5`, `36,5`, `1/3`, `1 1/2`, with a minus or plus before.
    fn number(&self, text: &str) -> Result<(f64, Range<usize>, Range<usize>), QuantityError> {
        let start = text.len() - text.trim_start().len();
        let end = text.trim_end().len();
        if start >= end {
            return Err(QuantityError::Empty {
                what: self.what,
                units: self.unit_names(),
                at: 0..text.len(),
            });
        }
        let not_a_number = |at: Range<usize>| {
            let typed = text[at.clone()].to_owned();
            let what = self.what;
            match plain(typed.trim_start_matches(['-', '−', '+'])).as_str() {
                "nan" | "inf" | "infinity" | "∞" => QuantityError::NotFinite { typed, what, at },
                _ => QuantityError::NotANumber {
                    typed,
                    what,
                    units: self.unit_names(),
                    at,
                },
            }
        };
        let signed = text[start..end].trim_start_matches(['-', '−', '+']);
        let sign_text = &text[start..end - signed.len()];
        let negative = match sign_text {
            "" | "+" => false,
            "-" | "−" => true,
            _ => return Err(not_a_number(start..end)),
        };
        let digits = |from: usize| {
            let rest = &text[from..end];
            from..from
                + rest
                    .find(|c: char| !c.is_ascii_digit())
                    .unwrap_or(rest.len())
        };
        let from = end - signed.trim_start().len();
        let run = &text[from..end];
        let run_end = from
            + run
                .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
                .unwrap_or(run.len());
        let typed = &text[from..run_end];
        let (whole, decimals) = match typed.split_once(['.', ',']) {
            Some((whole, decimals)) => (whole, decimals),
            None => (typed, ""),
        };
        if typed.contains(',') && groups_thousands(whole, decimals) {
            return Err(QuantityError::AmbiguousComma {
                typed: typed.to_owned(),
                whole: format!("{whole}{decimals}"),
                decimal: format!("{whole}.{decimals}"),
                at: from..run_end,
            });
        }
        if typed.ends_with(['.', ',']) {
            return Err(not_a_number(start..end));
        }
        let Ok(mut value) = typed.replace(',', ".").parse::<f64>() else {
            return Err(not_a_number(start..end));
        };
        let mut number_end = run_end;
        let is_whole = typed.len() == whole.len();
        // `1/3`, or ` 1/2` after a whole number.
        let fraction_at = |from: usize| -> Option<(f64, f64, usize)> {
            let above = digits(from);
            let below_from = above.end + text[above.end..end].strip_prefix('/').map(|_| 1)?;
            let below = digits(below_from);
            let above = text[above].parse::<f64>().ok()?;
            Some((above, text[below.clone()].parse().ok()?, below.end))
        };
        let gap = text[run_end..end].len() - text[run_end..end].trim_start().len();
        let fraction = if is_whole {
            fraction_at(from).map(|found| (0.0, found)).or_else(|| {
                fraction_at(run_end + gap)
                    .filter(|_| gap > 0)
                    .map(|f| (value, f))
            })
        } else {
            None
        };
        if let Some((before, (above, below, fraction_end))) = fraction {
            if below == 0.0 || (before > 0.0 && above >= below) {
                return Err(not_a_number(start..fraction_end));
            }
            value = before + above / below;
            number_end = fraction_end;
        }
        if negative {
            value = -value;
        }
        let rest = &text[number_end..end];
        let rest_start = end - rest.trim_start().len();
        Ok((value, start..number_end, rest_start..end))
    }
}

/// A unit's name without case, spaces, points and raised dots or figures.
fn plain(name: &str) -> String {
    name.to_lowercase()
        .chars()
        .filter_map(|c| match c {
            '²' => Some('2'),
            '³' => Some('3'),
            // The ohm sign lower-cases to omega.
            'Ω' => Some('ω'),
            '.' | '·' | '⋅' | '*' | '-' => None,
            c if c.is_whitespace() => None,
            c => Some(c),
        })
        .collect()
}

/// The pattern of a quantity's text, for JSON Schema.
fn text_pattern(units: &[Unit]) -> String {
    let names: Vec<_> = units
        .iter()
        .flat_map(|unit| std::iter::once(unit.name).chain(unit.spellings.iter().copied()))
        .map(|name| name.replace('.', "\\.").replace('*', "\\*"))
        .collect();
    format!("^-?[0-9]+(\\.[0-9]+)? ?({})$", names.join("|"))
}

/// Serde and FromStr-based reading as one string.
macro_rules! as_text {
    ($name:ident) => {
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<$name, D::Error> {
                let text = String::deserialize(deserializer)?;
                text.parse()
                    .map_err(|e| serde::de::Error::custom(format!("“{text}”: {e}")))
            }
        }

        impl $name {
            /// The smaller of the two, by [`f64::total_cmp`].
            pub fn min(self, other: Self) -> Self {
                if other.total_cmp(&self).is_lt() {
                    other
                } else {
                    self
                }
            }

            /// The larger of the two, by [`f64::total_cmp`].
            pub fn max(self, other: Self) -> Self {
                if other.total_cmp(&self).is_gt() {
                    other
                } else {
                    self
                }
            }

            /// An order of all values, by [`f64::total_cmp`].
            pub fn total_cmp(&self, other: &Self) -> Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl Measured for $name {
            fn value(&self) -> f64 {
                self.0
            }

            fn unit(&self) -> &'static str {
                $name::UNIT
            }
        }

        impl From<$name> for (f64, &'static str) {
            fn from(quantity: $name) -> (f64, &'static str) {
                (quantity.value(), quantity.unit())
            }
        }
    };
}

/// A quantity: its type, units, text and schema.
///
/// `Name: "in words", low => high;` then one line a unit, the base first:
/// `constructor reader "symbol" ["other spelling", …] = factor[, offset];`
macro_rules! quantity {
    (
        $(#[$doc:meta])*
        $name:ident: $what:literal, $low:expr => $high:expr;
        $($from:ident $read:ident $unit:literal $spellings:expr, $factor:expr $(, $offset:expr)?;)+
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// The units that are read; the first is the base.
            pub const UNITS: &'static [Unit] = &[$(Unit {
                name: $unit,
                spellings: &$spellings,
                factor: $factor,
                offset: 0.0 $(+ $offset)?,
            }),+];

            /// The symbol of the base unit.
            pub const UNIT: &'static str = Self::UNITS[0].name;

            const KIND: Kind = Kind {
                what: $what,
                units: Self::UNITS,
                low: $low,
                high: $high,
            };

            $(
                #[doc = concat!("From a number in ", $unit, ".")]
                pub const fn $from(number: f64) -> Self {
                    $name(number * $factor $(+ $offset)?)
                }

                #[doc = concat!("The number in ", $unit, ".")]
                pub const fn $read(self) -> f64 {
                    (self.0 $(- $offset)?) / $factor
                }
            )+

            /// What somebody typed; `bare_unit` is the name of the unit of a number without one.
            ///
            /// # Errors
            ///
            /// [`QuantityError`] says what to type instead.
            pub fn parse(text: &str, bare_unit: &str) -> Result<Self, QuantityError> {
                Self::KIND.read(text, Some(bare_unit)).map($name)
            }
        }

        /// As `parse`, but the unit must be there.
        impl FromStr for $name {
            type Err = QuantityError;

            fn from_str(text: &str) -> Result<Self, QuantityError> {
                Self::KIND.read(text, None).map($name)
            }
        }

        /// The number in the base unit, and the unit; a precision (`{:.1}`) is that of the number.
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match f.precision() {
                    Some(places) => write!(f, "{:.places$} {}", self.0, Self::UNIT),
                    None => write!(f, "{} {}", self.0, Self::UNIT),
                }
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({
                    "type": "string",
                    "pattern": text_pattern(Self::UNITS),
                    "description": format!("{}, in {}.", $what, Self::KIND.unit_names()),
                })
            }
        }

        as_text!($name);
    };
}

/// Sums and multiples, for quantities of which half and twice make sense.
macro_rules! linear {
    ($($name:ident),* $(,)?) => {$(
        impl $name {
            /// None of it.
            pub const ZERO: $name = $name(0.0);

            /// Without its sign.
            pub const fn abs(self) -> $name {
                $name(self.0.abs())
            }
        }

        impl Add for $name {
            type Output = $name;
            fn add(self, other: $name) -> $name {
                $name(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = $name;
            fn sub(self, other: $name) -> $name {
                $name(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = $name;
            fn neg(self) -> $name {
                $name(-self.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: $name) {
                self.0 += other.0;
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: $name) {
                self.0 -= other.0;
            }
        }

        impl Mul<f64> for $name {
            type Output = $name;
            fn mul(self, by: f64) -> $name {
                $name(self.0 * by)
            }
        }

        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }

        impl Div<f64> for $name {
            type Output = $name;
            fn div(self, by: f64) -> $name {
                $name(self.0 / by)
            }
        }

        /// How many times the other goes into this.
        impl Div for $name {
            type Output = f64;
            fn div(self, other: $name) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = $name>>(parts: I) -> $name {
                parts.fold($name::ZERO, Add::add)
            }
        }

        impl<'a> Sum<&'a $name> for $name {
            fn sum<I: Iterator<Item = &'a $name>>(parts: I) -> $name {
                parts.copied().sum()
            }
        }
    )*};
}

/// `A × B = C`, both ways round, with `C ÷ A` and `C ÷ B`; `scale` turns the product of the numbers read into C's.
macro_rules! product {
    (
        $a:ident($a_read:ident, $a_from:ident) * $b:ident($b_read:ident, $b_from:ident)
        = $c:ident($c_read:ident, $c_from:ident), $scale:expr
    ) => {
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c::$c_from(self.$a_read() * other.$b_read() * $scale)
            }
        }

        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                other * self
            }
        }

        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a::$a_from(self.$c_read() / $scale / other.$b_read())
            }
        }

        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b::$b_from(self.$c_read() / $scale / other.$a_read())
            }
        }
    };
}

const NONE: f64 = f64::NEG_INFINITY;
const ANY: f64 = f64::INFINITY;

quantity! {
    /// An area: floor, opening, net free vent area.
    Area: "an area", 0.0 => ANY;
    from_ft2 ft2 "ft²" ["ft2", "sq ft", "sqft"], 1.0;
    from_in2 in2 "in²" ["in2", "sq in", "sqin"], 1.0 / 144.0;
    from_m2 m2 "m²" ["m2", "sq m", "sqm"], 1.0 / (FT_M * FT_M);
}

quantity! {
    /// A volume: rooms; and a section modulus, which is in in³.
    Volume: "a volume", 0.0 => ANY;
    from_ft3 ft3 "ft³" ["ft3", "cu ft", "cuft"], 1.0;
    from_m3 m3 "m³" ["m3", "cu m", "cum"], 1.0 / (FT_M * FT_M * FT_M);
    from_in3 in3 "in³" ["in3", "cu in", "cuin"], 1.0 / 1728.0;
}

quantity! {
    /// Air moved in a time. 1 cfm is one cubic foot a minute.
    Airflow: "an airflow", 0.0 => ANY;
    from_cfm cfm "cfm" ["ft3/min", "CFM"], 1.0;
    from_m3_per_s m3_per_s "m³/s" ["m3/s"], 60.0 / (FT_M * FT_M * FT_M);
    from_l_per_s l_per_s "L/s" ["l/s"], 0.06 / (FT_M * FT_M * FT_M);
    from_m3_per_h m3_per_h "m³/h" ["m3/h"], 1.0 / (60.0 * FT_M * FT_M * FT_M);
}

quantity! {
    /// A difference of pressure; below zero where it sucks.
    Pressure: "a pressure", NONE => ANY;
    from_pa pa "Pa" ["pa"], 1.0;
    from_in_wg in_wg "in.wg" ["in wg", "in wc", "inH2O", "in H2O", "in of water"], IN_M * GRAVITY * 1000.0;
    from_psf psf "psf" ["lb/ft2", "lb/ft²"], LB_N / (FT_M * FT_M);
}

quantity! {
    /// An electrical tension.
    Voltage: "a voltage", 0.0 => ANY;
    from_v v "V" ["v", "volt", "volts"], 1.0;
}

quantity! {
    /// An electrical current.
    Current: "a current", 0.0 => ANY;
    from_a a "A" ["a", "amp", "amps"], 1.0;
}

quantity! {
    /// Electrical or air power.
    Power: "a power", 0.0 => ANY;
    from_w w "W" ["w", "watt", "watts"], 1.0;
    from_btu_per_h btu_per_h "Btu/h" ["btuh", "btu/hr"], BTU_H_W;
}

quantity! {
    /// The heat input of a burner, or heat carried in a time.
    HeatRate: "a heat input", 0.0 => ANY;
    from_btu_per_h btu_per_h "Btu/h" ["btuh", "btu/hr"], 1.0;
    from_kw kw "kW" ["kw"], 1000.0 / BTU_H_W;
}

quantity! {
    /// A temperature. It has no sums; see [`Temperature::above_f`].
    Temperature: "a temperature", -459.67 => ANY;
    from_f f "°F" ["F", "deg F"], 1.0;
    from_c c "°C" ["C", "deg C"], 1.8, 32.0;
    from_k k "K" ["k"], 1.8, -459.67;
}

quantity! {
    /// Relative humidity.
    Humidity: "a relative humidity", 0.0 => 100.0;
    from_percent percent "%" ["percent", "% RH"], 1.0;
}

quantity! {
    /// An angle.
    Angle: "an angle", NONE => ANY;
    from_rad rad "rad" ["radians"], 1.0;
    from_deg deg "°" ["deg", "degrees"], std::f64::consts::PI / 180.0;
}

quantity! {
    /// A force, and the weight of things: a pound of mass weighs a pound. Below zero where it lifts.
    Force: "a weight or force", NONE => ANY;
    from_lb lb "lb" ["lbs", "lbf"], 1.0;
    from_n n "N" ["n"], 1.0 / LB_N;
}

quantity! {
    /// A bending moment.
    Moment: "a moment", NONE => ANY;
    from_lb_in lb_in "lb·in" ["lb in", "in lb", "in·lb"], 1.0;
    from_n_m n_m "N·m" ["N m", "nm"], 1.0 / (LB_N * IN_M);
}

quantity! {
    /// A stress in a member.
    Stress: "a stress", NONE => ANY;
    from_psi psi "psi" ["lb/in2", "lb/in²"], 1.0;
    from_mpa mpa "MPa" ["N/mm2", "N/mm²"], 1e6 * IN_M * IN_M / LB_N;
}

quantity! {
    /// A load along a member.
    LineLoad: "a load along a member", NONE => ANY;
    from_plf plf "lb/ft" ["plf"], 1.0;
    from_lb_per_in lb_per_in "lb/in" ["pli"], 12.0;
}

quantity! {
    /// A load on an area.
    AreaLoad: "a load on an area", NONE => ANY;
    from_psf psf "psf" ["lb/ft2", "lb/ft²"], 1.0;
    from_pa pa "Pa" ["pa", "N/m2", "N/m²"], FT_M * FT_M / LB_N;
}

quantity! {
    /// Mass or weight in a volume.
    Density: "a density", 0.0 => ANY;
    from_lb_per_ft3 lb_per_ft3 "lb/ft³" ["lb/ft3", "pcf"], 1.0;
    from_kg_per_m3 kg_per_m3 "kg/m³" ["kg/m3"], FT_M * FT_M * FT_M / LB_KG;
}

quantity! {
    /// The speed of air.
    Speed: "a speed", 0.0 => ANY;
    from_fpm fpm "ft/min" ["fpm"], 1.0;
    from_m_per_s m_per_s "m/s" ["mps"], 60.0 / FT_M;
}

quantity! {
    /// An electrical resistance.
    Resistance: "a resistance", 0.0 => ANY;
    from_ohm ohm "Ω" ["ohm", "ohms"], 1.0;
}

quantity! {
    /// The resistance of a wire along its length, in ohms for 1000 ft.
    ResistancePerLength: "a wire's resistance", 0.0 => ANY;
    from_ohm_per_kft ohm_per_kft "Ω/kft" ["ohm/kft"], 1.0;
    from_ohm_per_km ohm_per_km "Ω/km" ["ohm/km"], FT_M;
}

quantity! {
    /// How often the air of a house is changed.
    AirChanges: "a number of air changes", 0.0 => ANY;
    from_per_hour per_hour "/h" ["ach", "air changes/h", "per hour", "/hr"], 1.0;
}

quantity! {
    /// The power of a motor at its shaft.
    MotorPower: "a motor's power", 0.0 => ANY;
    from_hp hp "hp" ["HP"], 1.0;
    from_w w "W" ["w", "watt", "watts"], 1.0 / HP_W;
}

linear!(
    Area,
    Volume,
    Airflow,
    Pressure,
    Voltage,
    Current,
    Power,
    HeatRate,
    Angle,
    Force,
    Moment,
    Stress,
    LineLoad,
    AreaLoad,
    Density,
    Speed,
    Resistance,
    ResistancePerLength,
    AirChanges,
    MotorPower,
);

product!(
    Area(ft2, from_ft2) * Length(to_ft, from_ft) = Volume(ft3, from_ft3),
    1.0
);
product!(
    Speed(fpm, from_fpm) * Area(ft2, from_ft2) = Airflow(cfm, from_cfm),
    1.0
);
product!(
    Volume(ft3, from_ft3) * AirChanges(per_hour, from_per_hour) = Airflow(cfm, from_cfm),
    1.0 / 60.0
);
product!(
    Airflow(m3_per_s, from_m3_per_s) * Pressure(pa, from_pa) = Power(w, from_w),
    1.0
);
product!(
    Voltage(v, from_v) * Current(a, from_a) = Power(w, from_w),
    1.0
);
product!(
    Current(a, from_a) * Resistance(ohm, from_ohm) = Voltage(v, from_v),
    1.0
);
product!(
    ResistancePerLength(ohm_per_kft, from_ohm_per_kft) * Length(to_ft, from_ft) =
        Resistance(ohm, from_ohm),
    0.001
);
product!(
    AreaLoad(psf, from_psf) * Length(to_ft, from_ft) = LineLoad(plf, from_plf),
    1.0
);
product!(
    AreaLoad(psf, from_psf) * Area(ft2, from_ft2) = Force(lb, from_lb),
    1.0
);
product!(
    LineLoad(plf, from_plf) * Length(to_ft, from_ft) = Force(lb, from_lb),
    1.0
);
product!(
    Force(lb, from_lb) * Length(to_in, from_in) = Moment(lb_in, from_lb_in),
    1.0
);
product!(
    Stress(psi, from_psi) * Volume(in3, from_in3) = Moment(lb_in, from_lb_in),
    1.0
);
product!(
    Density(lb_per_ft3, from_lb_per_ft3) * Volume(ft3, from_ft3) = Force(lb, from_lb),
    1.0
);

impl Div<Length> for Area {
    type Output = Length;
    fn div(self, side: Length) -> Length {
        Length::from_ft(self.ft2() / side.to_ft())
    }
}

impl Temperature {
    /// How many Fahrenheit degrees this is above another temperature.
    pub const fn above_f(self, other: Temperature) -> f64 {
        self.0 - other.0
    }
}

impl Angle {
    /// The sine.
    pub fn sin(self) -> f64 {
        self.0.sin()
    }

    /// The cosine.
    pub fn cos(self) -> f64 {
        self.0.cos()
    }

    /// The tangent.
    pub fn tan(self) -> f64 {
        self.0.tan()
    }
}

/// The pitch of a roof: its rise in a run of 12.
///
/// # Units
///
/// A pitch of p:12 rises p inches in 12 inches of run: angle atan(p/12), length along the slope
/// √(144 + p²)/12 of the run.
///
/// # References
///
/// Plane geometry; the trade's tables of slope factors print the same numbers.
///
/// # Examples
///
/// ```
/// use joistlight::measure::Pitch;
///
/// let roof: Pitch = "9:12".parse()?;
/// assert_eq!(roof.slope_factor(), 1.25);
/// assert_eq!("9/12".parse(), Ok(roof));
/// assert_eq!("9".parse(), Ok(roof));
/// let level: Pitch = "22.62°".parse()?;
/// assert!((level.rise_per_12() - 5.0).abs() < 0.001);
/// # Ok::<(), joistlight::measure::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Pitch(f64);

impl Pitch {
    /// The unit, as written after the rise.
    pub const UNIT: &'static str = "in 12";

    const KIND: Kind = Kind {
        what: "a pitch",
        units: &[
            Unit {
                name: ":12",
                spellings: &["in 12", "/12"],
                factor: 1.0,
                offset: 0.0,
            },
            Unit {
                name: "°",
                spellings: &["deg", "degrees"],
                factor: 1.0,
                offset: 0.0,
            },
        ],
        low: 0.0,
        high: f64::INFINITY,
    };

    /// From the rise in a run of 12.
    pub const fn from_rise_per_12(rise: f64) -> Pitch {
        Pitch(rise)
    }

    /// From the angle to the level.
    pub fn from_angle(angle: Angle) -> Pitch {
        Pitch(12.0 * angle.tan())
    }

    /// The rise in a run of 12.
    pub const fn rise_per_12(self) -> f64 {
        self.0
    }

    /// The angle to the level.
    pub fn angle(self) -> Angle {
        Angle::from_rad(self.angle_rad())
    }

    /// The angle to the level, in radians.
    pub fn angle_rad(self) -> f64 {
        (self.0 / 12.0).atan()
    }

    /// The angle to the level, in degrees.
    pub fn degrees(self) -> f64 {
        self.angle_rad().to_degrees()
    }

    /// Length along the slope for a run of one: √(144 + p²)/12.
    pub fn slope_factor(self) -> f64 {
        (144.0 + self.0 * self.0).sqrt() / 12.0
    }

    /// How much the roof rises over this run.
    pub fn rise(self, run: Length) -> Length {
        run.scale(self.0 / 12.0)
    }

    /// What somebody typed; `bare_unit` is `:12`, or `°` where a bare number is in degrees.
    ///
    /// # Errors
    ///
    /// [`QuantityError`] says what to type instead.
    pub fn parse(text: &str, bare_unit: &str) -> Result<Pitch, QuantityError> {
        let kind = &Self::KIND;
        // `5/12` would read as a fraction; a pitch is a ratio.
        let ratio = text.replacen('/', ":", 1);
        let (number, at, rest) = kind.number(&ratio)?;
        let typed = text[at.clone()].to_owned();
        let whole = at.start..rest.end;
        let unit = match ratio[rest.clone()].trim() {
            "" => bare_unit,
            named => named,
        };
        if let Some(run) = unit.strip_prefix(':')
            && run.trim() != "12"
        {
            return Err(QuantityError::NotInTwelve {
                typed: text[whole.clone()].to_owned(),
                at: whole,
            });
        }
        let degrees = match kind.find(unit) {
            Some(unit) => unit.name == "°",
            None => {
                return Err(QuantityError::UnknownUnit {
                    unit: unit.to_owned(),
                    what: kind.what,
                    units: "the rise in 12, for example 5:12, or °".to_owned(),
                    at: rest,
                });
            }
        };
        kind.check(number, &typed, at.clone())?;
        if !degrees {
            return Ok(Pitch(number));
        }
        if number >= 90.0 {
            return Err(QuantityError::OutOfRange {
                typed,
                what: kind.what,
                range: "less than 90°".to_owned(),
                at,
            });
        }
        Ok(Pitch::from_angle(Angle::from_deg(number)))
    }
}

/// As [`Pitch::parse`]; a bare number is the rise in 12.
impl FromStr for Pitch {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Pitch, QuantityError> {
        Pitch::parse(text, ":12")
    }
}

/// `5:12`; a precision (`{:.1}`) is that of the rise.
impl fmt::Display for Pitch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match f.precision() {
            Some(places) => write!(f, "{:.places$}:12", self.0),
            None => write!(f, "{}:12", self.0),
        }
    }
}

impl JsonSchema for Pitch {
    fn schema_name() -> Cow<'static, str> {
        "Pitch".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "pattern": r"^[0-9]+(\.[0-9]+)?:12$",
            "description": "The pitch of a roof, as its rise in a run of 12: \"5:12\".",
        })
    }
}

as_text!(Pitch);
