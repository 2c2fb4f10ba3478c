//! [`Figure`]: one computed number with its name and unit, for reports and JSON.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use super::{Length, Volume};

/// Something that is one number in one unit.
pub trait Measured {
    /// The number, in [`Measured::unit`].
    fn value(&self) -> f64;
    /// The unit's symbol; empty for a count.
    fn unit(&self) -> &'static str;
}

/// In inches.
impl Measured for Length {
    fn value(&self) -> f64 {
        self.to_in()
    }

    fn unit(&self) -> &'static str {
        "in"
    }
}

impl From<Length> for (f64, &'static str) {
    fn from(length: Length) -> (f64, &'static str) {
        (length.value(), length.unit())
    }
}

/// A volume as electrical boxes are stamped with it: in in³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CubicInches(pub Volume);

impl Measured for CubicInches {
    fn value(&self) -> f64 {
        self.0.in3()
    }

    fn unit(&self) -> &'static str {
        "in³"
    }
}

macro_rules! counts {
    ($($type:ty),*) => {$(
        /// A count: no unit.
        impl Measured for $type {
            fn value(&self) -> f64 {
                *self as f64
            }

            fn unit(&self) -> &'static str {
                ""
            }
        }
    )*};
}

counts!(u8, u16, u32, u64, usize, i32, i64);

/// One computed number with its name and unit.
///
/// ```
/// use joistlight::measure::{Area, Figure};
///
/// let needed = Figure::new("net free area needed", Area::from_ft2(6.0));
/// assert_eq!(needed.to_string(), "net free area needed: 6 ft²");
/// assert_eq!(
///     serde_json::to_value(&needed)?,
///     serde_json::json!({"name": "net free area needed", "value": 6.0, "unit": "ft²"}),
/// );
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Figure {
    /// What the number is.
    pub name: &'static str,
    /// The number, in `unit`.
    pub value: f64,
    /// The unit's symbol; empty for a count or a ratio.
    pub unit: &'static str,
}

impl Figure {
    /// The figure for a quantity, in its base unit.
    pub fn new(name: &'static str, quantity: impl Measured) -> Figure {
        Figure {
            name,
            value: quantity.value(),
            unit: quantity.unit(),
        }
    }

    /// The figure for a plain ratio.
    pub fn ratio(name: &'static str, ratio: f64) -> Figure {
        Figure {
            name,
            value: ratio,
            unit: "",
        }
    }
}

/// `name: value unit`; a precision (`{:.1}`) is that of the value.
impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.name)?;
        match f.precision() {
            Some(places) => write!(f, "{:.places$}", self.value)?,
            None => write!(f, "{}", self.value)?,
        }
        if self.unit.is_empty() {
            return Ok(());
        }
        write!(f, " {}", self.unit)
    }
}
