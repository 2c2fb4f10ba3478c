//! Showing lengths: exact text for files, tape divisions for people.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::length::{FOOT, INCH, Length, Reading, SIXTY_FOURTH, System, THOUSANDTH, Tape};

/// How inch lengths are written for people. Metric lengths are always written in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Style {
    /// Inches only: `36 1/2"`.
    #[default]
    Inches,
    /// Feet and inches: `3' 0 1/2"`.
    FeetInches,
}

/// A length as put before a person.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Shown {
    /// The text, with its unit.
    pub text: String,
    /// Whether the text says exactly what is held; otherwise it was rounded or converted.
    pub exact: bool,
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

impl Reading {
    /// The reading for somebody with this tape, in inches where the tape has inches.
    ///
    /// In its own system it is shown exactly, also where it is finer than the tape: it was measured so.
    /// In the other system it is converted, rounded to the tape's division (on an inch tape never finer
    /// than 1/16 in, about what a millimetre can justify), marked with `≈ `, and not exact.
    /// [`Reading::parse`] refuses such text, so that a converted value cannot come back as a measured one.
    ///
    /// ```
    /// use joistlight::measure::{BareUnit, Reading, Tape};
    ///
    /// let read: Reading = "36 1/2 in".parse()?;
    /// assert_eq!(read.show(Tape::Eighth).text, "36 1/2\"");
    /// assert_eq!(read.show(Tape::Millimetre).text, "≈ 927 mm");
    /// assert!(Reading::parse("≈ 927 mm", BareUnit::Millimetre).is_err());
    /// # Ok::<(), joistlight::measure::LengthError>(())
    /// ```
    pub fn show(self, tape: Tape) -> Shown {
        self.show_as(tape, Style::Inches)
    }

    /// The reading for somebody with this tape, inch text in the given style. See [`Reading::show`].
    ///
    /// ```
    /// use joistlight::measure::{Reading, Style, Tape};
    ///
    /// let read: Reading = "36 1/2 in".parse()?;
    /// assert_eq!(read.show_as(Tape::Sixteenth, Style::FeetInches).text, "3' 0 1/2\"");
    /// # Ok::<(), joistlight::measure::LengthError>(())
    /// ```
    pub fn show_as(self, tape: Tape, style: Style) -> Shown {
        let (length, system) = (self.length(), self.system());
        if tape.system() == system {
            return Shown {
                text: on_tape(length, system, style),
                exact: true,
            };
        }
        let step = match tape.system() {
            System::Inch => tape.division().max(Length::sixteenths(1)),
            System::Metric => tape.division(),
        };
        let rounded = length.round_to(step);
        Shown {
            text: format!("≈ {}", on_tape(rounded, tape.system(), style)),
            exact: false,
        }
    }
}

impl Length {
    /// A computed length on the divisions of this tape, in inches where the tape has inches.
    ///
    /// Rounded to the nearest division, half a division going away from zero; `exact` says whether
    /// rounding changed nothing. The text has no mark, so that it can stand in a cut list.
    ///
    /// ```
    /// use joistlight::measure::{Length, Tape};
    ///
    /// let third = Length::inches(100) / 3;
    /// assert_eq!(third.show(Tape::Sixteenth).text, "33 5/16\"");
    /// assert!(!third.show(Tape::Sixteenth).exact);
    /// assert_eq!(Length::feet(3).show(Tape::Millimetre).text, "914 mm");
    /// ```
    pub fn show(self, tape: Tape) -> Shown {
        self.show_as(tape, Style::Inches)
    }

    /// A computed length on the divisions of this tape, inch text in the given style. See [`Length::show`].
    pub fn show_as(self, tape: Tape, style: Style) -> Shown {
        let rounded = self.round_to(tape.division());
        Shown {
            text: on_tape(rounded, tape.system(), style),
            exact: rounded == self,
        }
    }
}

/// `36 1/2 in` on the inch grid, otherwise millimetres; always exact.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&exact_text(*self, System::Inch))
    }
}

/// `36 1/2 in` or `914 mm`, by the system of the reading; always exact.
impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&exact_text(self.length(), self.system()))
    }
}

/// The exact text in `system`, or in millimetres where inches cannot say it.
pub(super) fn exact_text(length: Length, system: System) -> String {
    let (sign, size) = parts(length);
    match inch_number(size) {
        Some(number) if system == System::Inch => format!("{sign}{number} in"),
        _ => format!("{sign}{} mm", mm_number(size)),
    }
}

/// The text for people, exact for lengths that `system` can write.
fn on_tape(length: Length, system: System, style: Style) -> String {
    let (sign, size) = parts(length);
    let (feet, rest) = match style {
        Style::Inches => (0, size),
        Style::FeetInches => (size / FOOT as u64, size % FOOT as u64),
    };
    match inch_number(rest) {
        Some(inches) if system == System::Inch && feet > 0 => {
            // `3' 0 1/2"`: the nought keeps a fraction from being read as one of a foot.
            let nought = if rest < INCH as u64 && inches.contains('/') {
                "0 "
            } else {
                ""
            };
            format!("{sign}{feet}' {nought}{inches}\"")
        }
        Some(inches) if system == System::Inch => format!("{sign}{inches}\""),
        _ => format!("{sign}{} mm", mm_number(size)),
    }
}

/// Sign and size.
fn parts(length: Length) -> (&'static str, u64) {
    let sign = if length.is_negative() { "-" } else { "" };
    (sign, length.0.unsigned_abs())
}

/// Inches as a reduced mixed number on a 1/64 in mark, as a decimal on a thousandth, else nothing.
fn inch_number(size: u64) -> Option<String> {
    let (whole, rest) = (size / INCH as u64, size % INCH as u64);
    if rest == 0 {
        Some(whole.to_string())
    } else if rest.is_multiple_of(SIXTY_FOURTH as u64) {
        let parts = rest / SIXTY_FOURTH as u64;
        let common = 1 << parts.trailing_zeros();
        let fraction = format!("{}/{}", parts / common, 64 / common);
        Some(match whole {
            0 => fraction,
            _ => format!("{whole} {fraction}"),
        })
    } else if rest.is_multiple_of(THOUSANDTH as u64) {
        let decimals = format!("{:03}", rest / THOUSANDTH as u64);
        Some(format!("{whole}.{}", decimals.trim_end_matches('0')))
    } else {
        None
    }
}

/// Millimetres, exact to the last of six decimals.
fn mm_number(size: u64) -> String {
    let nanometres = u128::from(size) * 25;
    let (whole, rest) = (nanometres / 1_000_000, nanometres % 1_000_000);
    if rest == 0 {
        return whole.to_string();
    }
    let decimals = format!("{rest:06}");
    format!("{whole}.{}", decimals.trim_end_matches('0'))
}
