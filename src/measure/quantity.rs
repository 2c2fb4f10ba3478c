//! The other quantities of the trade: one type each, its base the unit that the trade uses.
//!
//! Every type is a plain number inside. What goes in and what comes out names its unit:
//! [`Area::from_ft2`], [`Area::in2`]. The constructors take what code has computed, and check nothing;
//! text from people and files goes through `parse` and `FromStr`, which refuse what cannot be.
//!
//! As text (and in JSON) a quantity is its number in the base unit and the unit: `1600 ft²`. Reading it
//! also takes the other units and plain spellings: `1600 ft2`, `148.6 m2`.
//!
//! A difference of two areas may be below zero, but no text of an area may. A margin therefore goes into
//! a report as a [`Figure`](super::Figure), and is not read back.
//!
//! # Units
//!
//! All conversions follow from exact definitions: 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg (international
//! yard and pound agreement, 1959), standard gravity 9.806 65 m/s² (3rd CGPM, 1901), 1 Btu (IT) =
//! 1055.055 852 62 J (5th International Conference on Properties of Steam, 1956), 1 hp = 550 ft·lb/s.
//! The conventional inch of water is a column of 1000 kg/m³ under standard gravity: 249.088 91 Pa
//! (NIST SP 811, appendix B).
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
            // 11/2 may be 1 1/2 with the space missed.
            if above >= below {
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
            '.' | '·' | '⋅' | '*' | '-' => None,
            c if c.is_whitespace() => None,
            c => Some(c),
        })
        .collect()
}

/// The pattern of a quantity's text, for JSON Schema.
fn text_pattern(units: &[Unit], low: f64) -> String {
    let sign = if low < 0.0 { "-?" } else { "" };
    let names: Vec<_> = units
        .iter()
        .flat_map(|unit| std::iter::once(unit.name).chain(unit.spellings.iter().copied()))
        .map(|name| name.replace('.', "\\.").replace('*', "\\*"))
        .collect();
    format!("^{sign}[0-9]+(\\.[0-9]+)? ?({})$", names.join("|"))
}

/// What every quantity has, whatever its text looks like: one string in files, an order, and its number.
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
                    "pattern": text_pattern(Self::UNITS, Self::KIND.low),
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

/// `A × B = C`, both ways round, with `C ÷ A` and `C ÷ B`.
///
/// `scale` turns the product of the two numbers read into the number of `C`.
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
    from_cfm cfm "cfm" ["ft3/min", "ft³/min"], 1.0;
    from_m3_per_s m3_per_s "m³/s" ["m3/s"], 60.0 / (FT_M * FT_M * FT_M);
    from_l_per_s l_per_s "L/s" ["litres/s"], 0.06 / (FT_M * FT_M * FT_M);
    from_m3_per_h m3_per_h "m³/h" ["m3/h"], 1.0 / (60.0 * FT_M * FT_M * FT_M);
}

quantity! {
    /// A difference of pressure; below zero where it sucks.
    Pressure: "a pressure", NONE => ANY;
    from_pa pa "Pa" ["pascals"], 1.0;
    from_in_wg in_wg "in.wg" ["in wg", "in wc", "inH2O", "in H2O", "in of water"], IN_M * GRAVITY * 1000.0;
    from_psf psf "psf" ["lb/ft2", "lb/ft²"], LB_N / (FT_M * FT_M);
}

quantity! {
    /// An electrical tension.
    Voltage: "a voltage", 0.0 => ANY;
    from_v v "V" ["volt", "volts"], 1.0;
}

quantity! {
    /// An electrical current.
    Current: "a current", 0.0 => ANY;
    from_a a "A" ["amp", "amps"], 1.0;
}

quantity! {
    /// Electrical or air power.
    Power: "a power", 0.0 => ANY;
    from_w w "W" ["watt", "watts"], 1.0;
    from_btu_per_h btu_per_h "Btu/h" ["btuh", "btu/hr"], BTU_H_W;
}

quantity! {
    /// The heat input of a burner, or heat carried in a time.
    HeatRate: "a heat input", 0.0 => ANY;
    from_btu_per_h btu_per_h "Btu/h" ["btuh", "btu/hr"], 1.0;
    from_kw kw "kW" ["kilowatts"], 1000.0 / BTU_H_W;
}

quantity! {
    /// A temperature. It has no sums; see [`Temperature::above_f`].
    Temperature: "a temperature", -459.67 => ANY;
    from_f f "°F" ["F", "deg F"], 1.0;
    from_c c "°C" ["C", "deg C"], 1.8, 32.0;
    from_k k "K" ["kelvins"], 1.8, -459.67;
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
    from_n n "N" ["newtons"], 1.0 / LB_N;
}

quantity! {
    /// A bending moment.
    Moment: "a moment", NONE => ANY;
    from_lb_in lb_in "lb·in" ["lb in", "in lb", "in·lb"], 1.0;
    from_n_m n_m "N·m" ["N m"], 1.0 / (LB_N * IN_M);
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
    from_pa pa "Pa" ["N/m2", "N/m²"], FT_M * FT_M / LB_N;
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
    /// How high a place lies above the sea.
    Altitude: "a height above the sea", -300.0 => 15_000.0;
    from_ft ft "ft" ["feet", "foot", "'"], 1.0;
    from_m m "m" ["metres", "meters"], 1.0 / FT_M;
}

impl Altitude {
    /// The lowest that is read: a little below the lowest ground of North America (−282 ft).
    pub const LOWEST: Altitude = Altitude::from_ft(-300.0);
    /// The highest that is read: above every house of North America.
    pub const HIGHEST: Altitude = Altitude::from_ft(15_000.0);
}

quantity! {
    /// The power of a motor at its shaft.
    MotorPower: "a motor's power", 0.0 => ANY;
    from_hp hp "hp" ["horsepower"], 1.0;
    from_w w "W" ["watt", "watts"], 1.0 / HP_W;
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
        // `5/12` would read as a fraction, and is a ratio here; `4 1/2` is a rise.
        let ratio = match text.split_once('/') {
            Some((rise, run)) if !rise.trim().contains(char::is_whitespace) => {
                format!("{rise}:{run}")
            }
            _ => text.to_owned(),
        };
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn close(ours: f64, theirs: f64, relative: f64) {
        assert!(
            (ours - theirs).abs() <= relative * theirs.abs(),
            "{ours} is not {theirs}"
        );
    }

    /// Values printed by pint 0.25.3 (BSD), a general unit library: `Quantity(1, "inH2O").to("Pa")` and so on.
    #[test]
    fn conversions_agree_with_pint() {
        let table = [
            (Area::from_ft2(1.0).m2(), 0.09290303999999999),
            (Area::from_in2(1.0).ft2(), 0.006944444444444446),
            (Volume::from_ft3(1.0).m3(), 0.028316846591999994),
            (Volume::from_in3(1.0).m3(), 1.6387063999999996e-05),
            (Airflow::from_cfm(1.0).m3_per_s(), 0.0004719474431999999),
            (Airflow::from_cfm(1.0).l_per_s(), 0.4719474431999998),
            (Airflow::from_cfm(1.0).m3_per_h(), 1.6990107955199996),
            (Pressure::from_in_wg(1.0).pa(), 249.08890999999997),
            (Pressure::from_psf(1.0).pa(), 47.88025898033586),
            (Power::from_btu_per_h(1.0).w(), 0.2930710701722223),
            (HeatRate::from_btu_per_h(1.0).kw(), 0.0002930710701722223),
            (MotorPower::from_hp(1.0).w(), 745.6998715822701),
            (Force::from_lb(1.0).n(), 4.4482216152605005),
            (Moment::from_lb_in(1.0).n_m(), 0.11298482902761671),
            (Stress::from_psi(1.0).mpa(), 0.0068947572931683625),
            (LineLoad::from_plf(1.0).lb_per_in(), 0.08333333333333333),
            (AreaLoad::from_psf(1.0).pa(), 47.88025898033586),
            (Density::from_lb_per_ft3(1.0).kg_per_m3(), 16.01846337396015),
            (Speed::from_fpm(1.0).m_per_s(), 0.0050799999999999994),
            (
                ResistancePerLength::from_ohm_per_kft(1.0).ohm_per_km(),
                3.280839895013124,
            ),
            (Angle::from_deg(1.0).rad(), 0.017453292519943295),
            (Temperature::from_f(75.0).c(), 23.888888888888914),
            (Temperature::from_f(75.0).k(), 297.0388888888889),
        ];
        for (ours, pint) in table {
            close(ours, pint, 1e-12);
        }
    }

    /// NIST SP 811 (2008), appendix B.8, to its seven digits; from memory.
    #[test]
    fn conversions_agree_with_nist() {
        let table = [
            (Airflow::from_cfm(1.0).m3_per_s(), 4.719474e-4),
            (Pressure::from_in_wg(1.0).pa(), 2.490889e2),
            (Pressure::from_psf(1.0).pa(), 4.788026e1),
            (Power::from_btu_per_h(1.0).w(), 2.930711e-1),
            (MotorPower::from_hp(1.0).w(), 7.456999e2),
            (Force::from_lb(1.0).n(), 4.448222),
            (Moment::from_lb_in(1.0).n_m(), 1.129848e-1),
            (Stress::from_psi(1.0).mpa(), 6.894757e-3),
            (Density::from_lb_per_ft3(1.0).kg_per_m3(), 1.601846e1),
        ];
        for (ours, nist) in table {
            close(ours, nist, 5e-7);
        }
    }

    /// The fixed points of the scales: water freezes at 32 °F and boils at 212 °F, the scales of Celsius
    /// and Fahrenheit meet at −40, absolute zero is −273.15 °C (SI brochure, 9th edition, 2.3.1).
    #[test]
    fn temperatures_meet_at_their_fixed_points() {
        close(Temperature::from_c(100.0).f(), 212.0, 1e-15);
        close(Temperature::from_c(-40.0).f(), -40.0, 1e-15);
        close(Temperature::from_k(273.15).f(), 32.0, 1e-12);
        close(Temperature::from_k(0.0).c(), -273.15, 1e-12);
        assert_eq!(
            Temperature::from_f(75.0).above_f(Temperature::from_f(60.0)),
            15.0
        );
    }

    /// The trade's tables of roof pitch: angle and slope factor to the digits printed
    /// (derived from plane geometry; the 9:12 roof is a 3-4-5 triangle).
    #[test]
    #[expect(clippy::approx_constant, reason = "the factor as tables print it")]
    fn pitches_agree_with_the_tables() {
        let table = [
            (2.0, 9.462, 1.01379),
            (3.0, 14.036, 1.03078),
            (4.0, 18.435, 1.05409),
            (5.0, 22.620, 1.08333),
            (6.0, 26.565, 1.11803),
            (7.0, 30.256, 1.15770),
            (8.0, 33.690, 1.20185),
            (9.0, 36.870, 1.25),
            (10.0, 39.806, 1.30171),
            (12.0, 45.0, 1.41421),
        ];
        for (rise, degrees, factor) in table {
            let pitch = Pitch::from_rise_per_12(rise);
            assert!((pitch.degrees() - degrees).abs() < 6e-4, "{rise}");
            assert!((pitch.slope_factor() - factor).abs() < 6e-6, "{rise}");
            close(Pitch::from_angle(pitch.angle()).rise_per_12(), rise, 1e-12);
        }
        let five = Pitch::from_rise_per_12(5.0);
        assert_eq!(five.rise(Length::feet(12)), Length::feet(5));
    }

    #[test]
    fn pitches_are_read_as_the_trade_writes_them() {
        for text in ["5:12", "5/12", "5", " 5 / 12 ", "5 in 12", "5.0 : 12"] {
            assert_eq!(text.parse(), Ok(Pitch::from_rise_per_12(5.0)), "{text}");
        }
        for text in ["4.5:12", "4,5/12", "4 1/2", "4 1/2:12", "4 1/2/12"] {
            assert_eq!(text.parse(), Ok(Pitch::from_rise_per_12(4.5)), "{text}");
        }
        for text in ["45°", "45 deg", "45 degrees"] {
            close(text.parse::<Pitch>().unwrap().rise_per_12(), 12.0, 1e-12);
        }
        close(Pitch::parse("45", "°").unwrap().rise_per_12(), 12.0, 1e-12);
        assert_eq!(Pitch::parse("5:12", "°"), Ok(Pitch::from_rise_per_12(5.0)));
        assert_eq!(Pitch::from_rise_per_12(4.5).to_string(), "4.5:12");
        let refused = [
            (
                "5:10",
                "“5:10” is not a pitch in twelfths; type the rise in 12, for example 5:12, or degrees",
            ),
            (
                "1/2",
                "“1/2” is not a pitch in twelfths; type the rise in 12, for example 5:12, or degrees",
            ),
            (
                "-5:12",
                "“-5” is below zero, and a pitch cannot be; type it without the minus",
            ),
            ("90°", "“90” is out of range; a pitch is less than 90°"),
            (
                "5 ft",
                "“ft” is not a unit for a pitch; use the rise in 12, for example 5:12, or °",
            ),
            ("steep", "“steep” is not a number; type a pitch in :12 or °"),
        ];
        for (text, sentence) in refused {
            assert_eq!(text.parse::<Pitch>().unwrap_err().to_string(), sentence);
        }
    }

    #[test]
    fn every_unit_and_spelling_is_read() {
        fn all<Q: FromStr<Err = QuantityError>>(kind: &Kind, value: impl Fn(Q) -> f64) {
            for unit in kind.units {
                let expected = 50.0 * unit.factor + unit.offset;
                for name in std::iter::once(&unit.name).chain(unit.spellings) {
                    for text in [
                        format!("50 {name}"),
                        format!("50{name}"),
                        format!(" 50  {} ", name.to_uppercase()),
                    ] {
                        let read = text.parse::<Q>().unwrap_or_else(|e| panic!("{text}: {e}"));
                        assert_eq!(value(read), expected, "{text}");
                    }
                }
            }
        }
        macro_rules! each {
            ($($name:ident),*) => {$( all::<$name>(&$name::KIND, |q| q.0); )*};
        }
        each!(
            Area,
            Volume,
            Airflow,
            Pressure,
            Voltage,
            Current,
            Power,
            HeatRate,
            Temperature,
            Humidity,
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
            Altitude,
            MotorPower
        );
    }

    #[test]
    fn numbers_are_read_as_people_type_them() {
        let table = [
            ("0,5 in.wg", Ok(Pressure::from_in_wg(0.5))),
            (".1 in. w.g.", Ok(Pressure::from_in_wg(0.1))),
            ("−3 Pa", Ok(Pressure::from_pa(-3.0))),
            ("+3 pa", Ok(Pressure::from_pa(3.0))),
            ("1/4 in wc", Ok(Pressure::from_in_wg(0.25))),
            ("1 1/2 PSF", Ok(Pressure::from_psf(1.5))),
        ];
        for (text, expected) in table {
            assert_eq!(text.parse::<Pressure>(), expected, "{text}");
        }
        assert_eq!(Area::parse("1600", "ft²"), Ok(Area::from_ft2(1600.0)));
        assert_eq!(Area::parse("150 m²", "ft²"), Ok(Area::from_m2(150.0)));
        assert_eq!(
            MotorPower::parse("1/3", "hp"),
            Ok(MotorPower::from_hp(1.0 / 3.0))
        );
        assert_eq!("5/h".parse(), Ok(AirChanges::from_per_hour(5.0)));
    }

    #[test]
    fn every_refusal_says_what_to_type() {
        let table: &[(&str, &str, &str)] = &[
            (
                "",
                "",
                "nothing is typed yet; type an area in ft², in² or m²",
            ),
            (
                "big",
                "big",
                "“big” is not a number; type an area in ft², in² or m²",
            ),
            (
                "ft²",
                "ft²",
                "“ft²” is not a number; type an area in ft², in² or m²",
            ),
            (
                "16. ft2",
                "16. ft2",
                "“16. ft2” is not a number; type an area in ft², in² or m²",
            ),
            (
                "1.2.3 ft2",
                "1.2.3 ft2",
                "“1.2.3 ft2” is not a number; type an area in ft², in² or m²",
            ),
            (
                "--3 ft2",
                "--3 ft2",
                "“--3 ft2” is not a number; type an area in ft², in² or m²",
            ),
            (
                "11/2 ft2",
                "11/2",
                "“11/2” is not a number; type an area in ft², in² or m²",
            ),
            (
                "1/0 ft2",
                "1/0",
                "“1/0” is not a number; type an area in ft², in² or m²",
            ),
            (
                "1,600 ft2",
                "1,600",
                "“1,600” can be read as 1600 or as 1.600; type the one that is meant",
            ),
            (
                "1600",
                "1600",
                "“1600” has no unit; an area is given in ft², in² or m²",
            ),
            (
                "16 acres",
                "acres",
                "“acres” is not a unit for an area; use ft², in² or m²",
            ),
            (
                "NaN",
                "NaN",
                "“NaN” is not a finite number; type an area in digits",
            ),
            (
                "-inf",
                "-inf",
                "“-inf” is not a finite number; type an area in digits",
            ),
            (
                " -16 ft2",
                "-16",
                "“-16” is below zero, and an area cannot be; type it without the minus",
            ),
        ];
        for (text, part, sentence) in table {
            let error = text.parse::<Area>().expect_err(text);
            assert_eq!(error.to_string(), *sentence);
            assert_eq!(text.get(error.at()), Some(*part), "{text}");
        }
        let long = "9".repeat(400) + " ft2";
        assert!(matches!(
            long.parse::<Area>(),
            Err(QuantityError::NotFinite { .. })
        ));
        let over = "101 %".parse::<Humidity>().unwrap_err();
        assert_eq!(
            over.to_string(),
            "“101” is out of range; a relative humidity is 0 to 100 %"
        );
        let cold = "-300 °C".parse::<Temperature>().unwrap_err();
        assert_eq!(
            cold.to_string(),
            "“-300” is out of range; a temperature is -459.67 °F or more"
        );
    }

    #[test]
    fn products_have_the_right_unit() {
        // 1 A through 1 Ω at 1 V gives 1 W: definitions of the SI.
        let volt = Voltage::from_v(1.0);
        let ampere = Current::from_a(1.0);
        assert_eq!(volt * ampere, Power::from_w(1.0));
        assert_eq!(volt / ampere, Resistance::from_ohm(1.0));
        // A 6 × 8 ft opening at 100 ft/min passes 4800 cfm.
        let flow = Length::feet(6) * Length::feet(8) * Speed::from_fpm(100.0);
        assert_eq!(flow, Airflow::from_cfm(4800.0));
        // 12 800 ft³ changed 20 times an hour.
        let house = Volume::from_ft3(12_800.0);
        close(
            (house * AirChanges::from_per_hour(20.0)).cfm(),
            12_800.0 / 3.0,
            1e-15,
        );
        close(
            ((house * AirChanges::from_per_hour(20.0)) / house).per_hour(),
            20.0,
            1e-15,
        );
        // 1 m³/s against 100 Pa is 100 W.
        close(
            (Airflow::from_m3_per_s(1.0) * Pressure::from_pa(100.0)).w(),
            100.0,
            1e-12,
        );
        // 15 psf over joists 16 in apart is 20 lb/ft; over 10 ft it weighs 200 lb.
        let joist = AreaLoad::from_psf(15.0) * Length::inches(16);
        close(joist.plf(), 20.0, 1e-15);
        close((joist * Length::feet(10)).lb(), 200.0, 1e-15);
        assert_eq!(
            Force::from_lb(15.0) * Length::feet(2),
            Moment::from_lb_in(360.0)
        );
        let modulus = Volume::from_in3(7.5625);
        close((Moment::from_lb_in(7562.5) / modulus).psi(), 1000.0, 1e-12);
        close((Density::from_lb_per_ft3(0.075) * house).lb(), 960.0, 1e-15);
        close(
            (ResistancePerLength::from_ohm_per_kft(3.07) * Length::feet(100)).ohm(),
            0.307,
            1e-12,
        );
        assert_eq!(Area::from_ft2(6.0) / Length::inches(18), Length::feet(4));
        assert_eq!(
            Volume::from_ft3(6.0) / Area::from_ft2(4.0),
            Length::inches(18)
        );
    }

    #[test]
    fn sums_and_orders_work() {
        let parts = [Area::from_ft2(1.0), Area::from_ft2(2.5)];
        assert_eq!(parts.iter().sum::<Area>(), Area::from_ft2(3.5));
        assert_eq!(parts[0].max(parts[1]), parts[1]);
        assert_eq!(parts[0].min(parts[1]), parts[0]);
        assert_eq!((parts[0] - parts[1]).abs(), Area::from_ft2(1.5));
        assert_eq!(-parts[0] + 2.0 * parts[0] / 2.0, Area::ZERO);
        assert_eq!(parts[1] / parts[0], 2.5);
        assert!(parts[0] < parts[1]);
        let mut sum = parts[0];
        sum += parts[1];
        sum -= parts[0];
        assert_eq!(sum, parts[1]);
        assert_eq!(<(f64, &str)>::from(parts[1]), (2.5, "ft²"));
        assert_eq!(format!("{:.1}", Area::from_ft2(2.54)), "2.5 ft²");
    }

    #[test]
    fn schemas_accept_what_is_written() {
        let schema = schemars::schema_for!(Area);
        let pattern = schema.get("pattern").and_then(|p| p.as_str()).unwrap();
        assert_eq!(
            pattern,
            "^[0-9]+(\\.[0-9]+)? ?(ft²|ft2|sq ft|sqft|in²|in2|sq in|sqin|m²|m2|sq m|sqm)$"
        );
        // Only what can be below nothing has a minus.
        let schema = schemars::schema_for!(Pressure);
        let pattern = schema.get("pattern").and_then(|p| p.as_str()).unwrap();
        assert!(pattern.starts_with("^-?[0-9]+"), "{pattern}");
    }

    proptest! {
        #[test]
        fn text_comes_back_the_same(value in any::<f64>().prop_filter("finite", |v| v.is_finite())) {
            let pressure = Pressure::from_pa(value);
            prop_assert_eq!(pressure.to_string().parse(), Ok(pressure));
            let area = Area::from_ft2(value.abs());
            let json = serde_json::to_string(&area).unwrap();
            prop_assert_eq!(serde_json::from_str::<Area>(&json).unwrap(), area);
            let pitch = Pitch::from_rise_per_12(value.abs());
            prop_assert_eq!(pitch.to_string().parse(), Ok(pitch));
            let warm = Temperature::from_f(value.abs());
            prop_assert_eq!(warm.to_string().parse(), Ok(warm));
        }

        #[test]
        fn units_go_there_and_back(value in 0.001..1e6_f64) {
            let pairs = [
                Area::from_m2(value).m2(),
                Volume::from_in3(value).in3(),
                Airflow::from_l_per_s(value).l_per_s(),
                Pressure::from_in_wg(value).in_wg(),
                HeatRate::from_kw(value).kw(),
                MotorPower::from_w(value).w(),
                Stress::from_mpa(value).mpa(),
                Moment::from_n_m(value).n_m(),
                Angle::from_deg(value).deg(),
            ];
            for back in pairs {
                prop_assert!((back - value).abs() <= 1e-12 * value);
            }
            prop_assert!((Temperature::from_c(value).c() - value).abs() < 1e-9);
            prop_assert!((Temperature::from_k(value).k() - value).abs() < 1e-9);
        }

        #[test]
        fn no_text_makes_the_reader_panic(
            text in prop_oneof![
                any::<String>(),
                "[-+−]?[0-9.,/ ]{0,8} ?(ft²|ft2|°|:12|%|/12|h)?",
            ],
        ) {
            let errors = [
                text.parse::<Area>().err(),
                text.parse::<Temperature>().err(),
                text.parse::<Pitch>().err(),
                text.parse::<AirChanges>().err(),
            ];
            for error in errors.into_iter().flatten() {
                prop_assert!(text.get(error.at()).is_some(), "{:?}", error);
                prop_assert!(!error.to_string().is_empty());
            }
        }
    }
}
