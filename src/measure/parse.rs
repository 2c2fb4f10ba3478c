//! Reading lengths as people type them, and saying what is wrong where they cannot be read.
//!
//! Accepted, with any white space around and an optional leading minus:
//!
//! | typed | read as |
//! |---|---|
//! | `36`, `36.5`, `36,5`, `.5` | a number of the unit in the settings |
//! | `36 1/2`, `36-1/2`, `36½`, `1/2` | the same, where that unit is the inch or the foot |
//! | `36"`, `36 in`, `36 inches`, `36''` | inches |
//! | `3'`, `3 ft`, `3.25 feet` | feet |
//! | `3' 0 1/2"`, `3ft 6in`, `6'-8"`, `6' 8 1/2` | feet and inches |
//! | `914 mm`, `91.4 cm`, `91,4 cm`, `0.914 m` | metric |
//!
//! Curly primes and quotes stand for the straight ones. Everything else is a [`LengthError`].

use std::ops::Range;
use std::str::FromStr;

use super::Tape;
use super::length::{BareUnit, FOOT, Length, MM, Reading, SIXTY_FOURTH, System, THOUSANDTH};
use super::show::{Style, exact_text};

/// Why a typed length was refused.
///
/// The text of an error is one English sentence that says what to type instead; the fields carry the same
/// facts for other languages. [`LengthError::at`] is the part of the text that it is about, in bytes.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LengthError {
    /// Nothing was typed.
    #[error("nothing is typed yet; type what the tape reads, for example 36 1/2")]
    Empty {
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A number was expected here.
    #[error("a number is missing {}; type for example 36 1/2 in", missing(.found))]
    NoNumber {
        /// What stands there instead; nothing at the end of the text.
        found: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// The number has no unit, and this place needs one.
    #[error("“{typed}” has no unit; add in, ft, mm, cm or m")]
    MissingUnit {
        /// The number as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A word that is no unit of length.
    #[error("“{unit}” is not a unit of length here; use in, ft, mm, cm or m")]
    UnknownUnit {
        /// The word as typed.
        unit: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A unit of area or volume.
    #[error(
        "“{unit}” is a unit of area or volume, and a length goes here; type for example 5 ft 2 in"
    )]
    OtherQuantity {
        /// The unit as typed.
        unit: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// The number ends with its decimal point.
    #[error("“{typed}” ends with a point; type the digits after it, or leave it out")]
    LoosePoint {
        /// The number as typed.
        typed: String,
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
    /// More than one point or comma in one number.
    #[error("“{typed}” has more than one point or comma; type the digits with one at most")]
    TwoPoints {
        /// The number as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A fraction over zero.
    #[error("“{typed}” divides by zero; type a fraction such as 1/2")]
    ZeroDenominator {
        /// The fraction as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A fraction that is on no tape.
    #[error("“{typed}” is not on a tape; use halves, 4ths, 8ths, 16ths, 32nds or 64ths")]
    Denominator {
        /// The fraction as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A fraction of one or more: after a whole number it is a slip, and alone it is often a missed space.
    #[error("“{typed}” has a fraction of one or more; did you mean {instead}?")]
    ImproperFraction {
        /// The number as typed.
        typed: String,
        /// What may have been meant, joined by “or”.
        instead: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A decimal number with a fraction after it, or inside one.
    #[error("“{typed}” mixes a decimal and a fraction; use one of them")]
    DecimalFraction {
        /// The number as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A fraction of a metric unit.
    #[error("“{typed}” is a fraction, and {unit} has none on a tape; add in, or use decimals")]
    MetricFraction {
        /// The number as typed.
        typed: String,
        /// The metric unit that was typed, or that the settings give.
        unit: &'static str,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// Two numbers with no unit between.
    #[error("“{first}” and “{second}” have no unit between them; {}", one_length(.first, .second))]
    TwoNumbers {
        /// The first number as typed.
        first: String,
        /// The second number as typed.
        second: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// Twelve inches or more after feet.
    #[error("{} is {} a foot; did you mean {}?", .inches, over_foot(.inches), in_feet(*.instead))]
    InchesOverFoot {
        /// The inches as typed.
        inches: Length,
        /// Feet and inches together.
        instead: Length,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A part of a foot with inches after it.
    #[error("“{typed}” already has a part of a foot; type whole feet before the inches")]
    PartFeet {
        /// The feet as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// Feet or inches together with a metric unit.
    #[error("feet or inches and a metric unit stand together; type the length in one of them")]
    MixedSystems {
        /// Where the second begins, in bytes.
        at: Range<usize>,
    },
    /// A value that falls between the marks that a length can hold as typed.
    #[error("“{typed}” falls between two marks; type {below} or {above}")]
    OffGrid {
        /// The length as typed.
        typed: String,
        /// The mark nearer to zero.
        below: Reading,
        /// The mark further from zero.
        above: Reading,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// More than a house can have.
    #[error("“{typed}” is more than {longest_ft} ft; check the digits and the unit")]
    TooLarge {
        /// The length as typed.
        typed: String,
        /// The longest length accepted, in feet.
        longest_ft: i64,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A length below zero where there can be none.
    #[error("“{typed}” is below zero; type it without the minus")]
    Negative {
        /// The length as typed.
        typed: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A converted value, which nobody measured.
    #[error("“≈” marks a converted value; type what the tape reads, in the tape's own unit")]
    Approximate {
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// A minus between two numbers, which may be meant as a subtraction.
    #[error("a dash with spaces looks like a subtraction; type 36-1/2 or 36 1/2")]
    LooseDash {
        /// Where, in bytes.
        at: Range<usize>,
    },
    /// Something that does not belong to a length.
    #[error("“{found}” does not belong here; delete it")]
    Junk {
        /// What it is.
        found: String,
        /// Where, in bytes.
        at: Range<usize>,
    },
}

fn missing(found: &str) -> String {
    if found.is_empty() {
        "at the end".to_owned()
    } else {
        format!("before “{found}”")
    }
}

/// Feet and inches, where the two numbers can be that.
fn one_length(first: &str, second: &str) -> String {
    let feet = first.parse::<u16>();
    let inches = second.parse::<u16>();
    match (feet, inches) {
        (Ok(_), Ok(0..12)) => format!("type {first}' {second}\" if they are feet and inches"),
        _ => "type one length, for example 36 1/2 or 3' 6\"".to_owned(),
    }
}

fn over_foot(inches: &Length) -> &'static str {
    if *inches == Length::feet(1) {
        "exactly"
    } else {
        "more than"
    }
}

fn in_feet(length: Length) -> String {
    Reading::new(length, System::Inch)
        .show_as(Tape::Sixteenth, Style::FeetInches)
        .text
}

impl LengthError {
    /// The part of the typed text that the error is about, in bytes.
    pub fn at(&self) -> Range<usize> {
        use LengthError::*;
        match self {
            Empty { at }
            | NoNumber { at, .. }
            | MissingUnit { at, .. }
            | UnknownUnit { at, .. }
            | OtherQuantity { at, .. }
            | LoosePoint { at, .. }
            | AmbiguousComma { at, .. }
            | TwoPoints { at, .. }
            | ZeroDenominator { at, .. }
            | Denominator { at, .. }
            | ImproperFraction { at, .. }
            | DecimalFraction { at, .. }
            | MetricFraction { at, .. }
            | TwoNumbers { at, .. }
            | InchesOverFoot { at, .. }
            | PartFeet { at, .. }
            | MixedSystems { at }
            | OffGrid { at, .. }
            | TooLarge { at, .. }
            | Negative { at, .. }
            | Approximate { at }
            | LooseDash { at }
            | Junk { at, .. } => at.clone(),
        }
    }
}

impl Reading {
    /// What somebody typed; `bare` is the unit of a number without one.
    ///
    /// # Examples
    ///
    /// ```
    /// use joistlight::measure::{BareUnit, Reading};
    ///
    /// assert_eq!(Reading::parse("36-1/2", BareUnit::Inch)?, "36 1/2 in".parse()?);
    /// assert_eq!(Reading::parse("91,4 cm", BareUnit::Inch)?, "914 mm".parse()?);
    ///
    /// let slip = Reading::parse("3' 14\"", BareUnit::Inch).unwrap_err();
    /// assert_eq!(slip.to_string(), "14 in is more than a foot; did you mean 4' 2\"?");
    /// assert_eq!(slip.at(), 3..6);
    /// # Ok::<(), joistlight::measure::LengthError>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`LengthError`] says what to type instead. `1,600 mm` is refused, because it may be 1600 mm or
    /// 1.6 mm.
    pub fn parse(text: &str, bare: BareUnit) -> Result<Reading, LengthError> {
        read(text, Some(bare), Length::LONGEST_TYPED)
    }

    /// As [`Reading::parse`], for places where a length below zero makes no sense. Zero is accepted.
    ///
    /// # Errors
    ///
    /// As [`Reading::parse`], and [`LengthError::Negative`].
    pub fn parse_positive(text: &str, bare: BareUnit) -> Result<Reading, LengthError> {
        let reading = Reading::parse(text, bare)?;
        if reading.length().is_negative() {
            let at = trimmed(text);
            return Err(LengthError::Negative {
                typed: text[at.clone()].to_owned(),
                at,
            });
        }
        Ok(reading)
    }
}

/// As [`Reading::parse`], but the unit must be there.
impl FromStr for Reading {
    type Err = LengthError;

    fn from_str(text: &str) -> Result<Reading, LengthError> {
        read(text, None, Length::LONGEST_TYPED)
    }
}

/// As [`Reading::parse`], but the unit must be there, and a computed length may be up to 1 000 000 ft.
impl FromStr for Length {
    type Err = LengthError;

    fn from_str(text: &str) -> Result<Length, LengthError> {
        read(text, None, Length::feet(1_000_000)).map(Reading::length)
    }
}

/// The text without the white space around it.
fn trimmed(text: &str) -> Range<usize> {
    let start = text.len() - text.trim_start().len();
    start..start + text.trim().len()
}

/// Most digits that are kept before and after the decimal point; more are never a length.
const MOST_DIGITS: usize = 12;

/// A typed number: `digits / 10^decimals`.
#[derive(Clone, Copy, Debug)]
struct Number {
    digits: i128,
    decimals: u32,
    /// More digits before the point than are kept.
    huge: bool,
    /// More digits after the point than are kept.
    cut: bool,
}

#[derive(Clone, Copy, Debug)]
enum Token {
    Number(Number),
    /// One of the fractions that are a single character.
    Fraction(i128, i128),
    Slash,
    Dash,
    Unit(BareUnit),
}

#[derive(Clone, Debug)]
struct Placed {
    token: Token,
    at: Range<usize>,
    /// White space stands before it.
    apart: bool,
}

/// A number, a fraction or both: `num / den` of some unit.
#[derive(Clone, Debug)]
struct Amount {
    num: i128,
    den: i128,
    huge: bool,
    cut: bool,
    has_fraction: bool,
    at: Range<usize>,
}

fn read(text: &str, bare: Option<BareUnit>, longest: Length) -> Result<Reading, LengthError> {
    let typed = trimmed(text);
    if typed.is_empty() {
        return Err(LengthError::Empty { at: 0..text.len() });
    }
    let tokens = tokens(text)?;
    let mut cursor = Cursor {
        text,
        tokens: &tokens,
        next: 0,
    };
    let negative = cursor.take_dash().is_some();
    let first = cursor.amount()?;
    let unit = cursor.take_unit();
    let Some((unit, unit_at)) = unit else {
        return cursor.bare(first, bare, negative, typed, longest);
    };
    check_fraction(text, &first, unit)?;
    if unit != BareUnit::Foot || cursor.is_done() {
        cursor.nothing_after(unit.system())?;
        let total = Total::of(&first, unit);
        return total.reading(text, unit.system(), negative, typed, longest);
    }

    // Feet, then inches.
    cursor.take_dash();
    let inches = cursor.amount()?;
    if let Some((second, at)) = cursor.take_unit() {
        if second.system() == System::Metric {
            return Err(LengthError::MixedSystems {
                at: inches.at.start..at.end,
            });
        }
        if second == BareUnit::Foot {
            return Err(cursor.junk(at));
        }
    }
    cursor.nothing_after(System::Inch)?;
    if first.den != 1 || first.cut {
        let at = first.at.start..unit_at.end;
        return Err(LengthError::PartFeet {
            typed: text[at.clone()].to_owned(),
            at,
        });
    }
    let mut total = Total::of(&inches, BareUnit::Inch);
    let over = inches.num >= 12 * inches.den;
    let inches_total = total.clone();
    total.units += first.num * i128::from(FOOT) * total.den;
    total.huge |= first.huge;
    let reading = total.reading(text, System::Inch, negative, typed.clone(), longest)?;
    if over {
        let inches_length = inches_total
            .reading(text, System::Inch, false, typed.clone(), longest)?
            .length();
        return Err(LengthError::InchesOverFoot {
            inches: inches_length,
            instead: reading.length(),
            at: inches.at.start..typed.end,
        });
    }
    Ok(reading)
}

/// A fraction belongs to inches and feet.
fn check_fraction(text: &str, amount: &Amount, unit: BareUnit) -> Result<(), LengthError> {
    if amount.has_fraction && unit.system() == System::Metric {
        return Err(LengthError::MetricFraction {
            typed: text[amount.at.clone()].to_owned(),
            unit: unit.name(),
            at: amount.at.clone(),
        });
    }
    Ok(())
}

/// A sum in 25 nm units: `units / den`.
#[derive(Clone)]
struct Total {
    units: i128,
    den: i128,
    huge: bool,
    cut: bool,
}

impl Total {
    fn of(amount: &Amount, unit: BareUnit) -> Total {
        Total {
            units: amount.num * i128::from(unit.length().0),
            den: amount.den,
            huge: amount.huge,
            cut: amount.cut,
        }
    }

    /// The reading, if it is not too long and on a mark that can be kept as typed.
    fn reading(
        self,
        text: &str,
        system: System,
        negative: bool,
        at: Range<usize>,
        longest: Length,
    ) -> Result<Reading, LengthError> {
        let typed = text[at.clone()].to_owned();
        let whole = self.units / self.den;
        let exact = !self.cut && self.units % self.den == 0;
        if self.huge || whole > i128::from(longest.0) || (whole == i128::from(longest.0) && !exact)
        {
            return Err(LengthError::TooLarge {
                typed,
                longest_ft: longest.0 / FOOT,
                at,
            });
        }
        let signed = |units: i64| Length(if negative { -units } else { units });
        let units = whole as i64;
        let on_grid = match system {
            System::Inch => units % SIXTY_FOURTH == 0 || units % THOUSANDTH == 0,
            System::Metric => true,
        };
        if exact && on_grid {
            return Ok(Reading::new(signed(units), system));
        }
        // The neighbours that people can use: 1/64 in, or 0.01 mm.
        let step = match system {
            System::Inch => SIXTY_FOURTH,
            System::Metric => MM / 100,
        };
        let below = units - units % step;
        Err(LengthError::OffGrid {
            typed,
            below: Reading::new(signed(below), system),
            above: Reading::new(signed(below + step), system),
            at,
        })
    }
}

struct Cursor<'a> {
    text: &'a str,
    tokens: &'a [Placed],
    next: usize,
}

impl Cursor<'_> {
    fn peek(&self, ahead: usize) -> Option<&Placed> {
        self.tokens.get(self.next + ahead)
    }

    fn is_done(&self) -> bool {
        self.next >= self.tokens.len()
    }

    fn typed(&self, at: &Range<usize>) -> String {
        self.text[at.clone()].to_owned()
    }

    fn junk(&self, at: Range<usize>) -> LengthError {
        LengthError::Junk {
            found: self.typed(&at),
            at,
        }
    }

    fn take_dash(&mut self) -> Option<Range<usize>> {
        match self.peek(0) {
            Some(Placed {
                token: Token::Dash,
                at,
                ..
            }) => {
                let at = at.clone();
                self.next += 1;
                Some(at)
            }
            _ => None,
        }
    }

    fn take_unit(&mut self) -> Option<(BareUnit, Range<usize>)> {
        match self.peek(0) {
            Some(Placed {
                token: Token::Unit(unit),
                at,
                ..
            }) => {
                let found = (*unit, at.clone());
                self.next += 1;
                Some(found)
            }
            _ => None,
        }
    }

    /// `36`, `36.5`, `1/2`, `½`, `36 1/2`, `36-1/2` or `36½`.
    fn amount(&mut self) -> Result<Amount, LengthError> {
        if let Some(fraction) = self.fraction(0)? {
            self.next += fraction.tokens;
            if fraction.num >= fraction.den {
                return Err(self.improper(0, &fraction, fraction.at.clone()));
            }
            return Ok(Amount {
                num: fraction.num,
                den: fraction.den,
                huge: false,
                cut: false,
                has_fraction: true,
                at: fraction.at,
            });
        }
        let Some(placed) = self.peek(0).cloned() else {
            let end = trimmed(self.text).end;
            return Err(LengthError::NoNumber {
                found: String::new(),
                at: end..end,
            });
        };
        let Token::Number(number) = placed.token else {
            return Err(LengthError::NoNumber {
                found: self.typed(&placed.at),
                at: placed.at,
            });
        };
        self.next += 1;
        let dash = match self.peek(0) {
            Some(Placed {
                token: Token::Dash,
                at,
                apart,
            }) => Some((at.clone(), *apart)),
            _ => None,
        };
        let ahead = usize::from(dash.is_some());
        let Some(fraction) = self.fraction(ahead)? else {
            return Ok(Amount {
                num: number.digits,
                den: 10_i128.pow(number.decimals),
                huge: number.huge,
                cut: number.cut,
                has_fraction: false,
                at: placed.at,
            });
        };
        let at = placed.at.start..fraction.at.end;
        if let Some((dash_at, apart)) = dash
            && (apart || self.peek(ahead).is_some_and(|p| p.apart))
        {
            return Err(LengthError::LooseDash { at: dash_at });
        }
        if number.decimals > 0 || number.cut {
            return Err(LengthError::DecimalFraction {
                typed: self.typed(&at),
                at,
            });
        }
        if fraction.num >= fraction.den {
            return Err(self.improper(number.digits, &fraction, at));
        }
        self.next += ahead + fraction.tokens;
        Ok(Amount {
            num: number.digits * fraction.den + fraction.num,
            den: fraction.den,
            huge: number.huge,
            cut: false,
            has_fraction: true,
            at,
        })
    }

    /// A fraction that begins `ahead` tokens from here, checked but not taken.
    fn fraction(&self, ahead: usize) -> Result<Option<Fraction>, LengthError> {
        let Some(first) = self.peek(ahead) else {
            return Ok(None);
        };
        let (num, den, at, tokens) = match first.token {
            Token::Fraction(num, den) => (num, den, first.at.clone(), 1),
            Token::Number(above) if matches!(self.peek(ahead + 1), Some(p) if matches!(p.token, Token::Slash)) =>
            {
                let slash = self.tokens[self.next + ahead + 1].at.clone();
                let below = self.peek(ahead + 2);
                let Some(Placed {
                    token: Token::Number(under),
                    at: under_at,
                    ..
                }) = below
                else {
                    return Err(LengthError::NoNumber {
                        found: below.map_or(String::new(), |p| self.typed(&p.at)),
                        at: below.map_or(slash.end..slash.end, |p| p.at.clone()),
                    });
                };
                let at = first.at.start..under_at.end;
                if [above, *under].iter().any(|n| n.decimals > 0 || n.cut) {
                    return Err(LengthError::DecimalFraction {
                        typed: self.typed(&at),
                        at,
                    });
                }
                // A number too long to keep is on no tape; 3 is as good a stand-in as any.
                let den = if under.huge { 3 } else { under.digits };
                let num = if above.huge {
                    i128::from(u32::MAX)
                } else {
                    above.digits
                };
                (num, den, at, 3)
            }
            _ => return Ok(None),
        };
        match den {
            0 => Err(LengthError::ZeroDenominator {
                typed: self.typed(&at),
                at,
            }),
            2 | 4 | 8 | 16 | 32 | 64 => Ok(Some(Fraction {
                num,
                den,
                at,
                tokens,
            })),
            _ => Err(LengthError::Denominator {
                typed: self.typed(&at),
                at,
            }),
        }
    }

    fn improper(&self, whole: i128, fraction: &Fraction, at: Range<usize>) -> LengthError {
        let Fraction { num, den, .. } = *fraction;
        let mixed = |whole: i128, num: i128| {
            let sixty_fourths = (whole + num / den) * 64 + num % den * (64 / den);
            let length = Length::sixty_fourths(i64::try_from(sixty_fourths).unwrap_or(i64::MAX));
            exact_text(length, System::Inch)
                .trim_end_matches(" in")
                .to_owned()
        };
        let mut meant = Vec::new();
        if whole == 0 {
            // 51/4 may be 5 1/4 with the space missed, and 311/16 may be 3 11/16.
            let splits = [100, 10].map(|tens| (num / tens, num % tens, tens));
            meant.extend(
                splits
                    .iter()
                    .filter(|(front, last, tens)| {
                        *front > 0 && *last < den && *last >= tens / 10 && *last > 0
                    })
                    .map(|(front, last, _)| mixed(*front, *last)),
            );
        }
        meant.push(mixed(whole, num));
        let instead = meant.join(" or ");
        LengthError::ImproperFraction {
            typed: self.typed(&at),
            instead,
            at,
        }
    }

    /// An amount with no unit after it.
    fn bare(
        &self,
        amount: Amount,
        bare: Option<BareUnit>,
        negative: bool,
        typed: Range<usize>,
        longest: Length,
    ) -> Result<Reading, LengthError> {
        if let Some(after) = self.peek(0) {
            let second = match after.token {
                Token::Dash => self.peek(1).filter(|p| matches!(p.token, Token::Number(_))),
                Token::Number(_) | Token::Fraction(..) => Some(after),
                Token::Slash | Token::Unit(_) => None,
            };
            return Err(match second {
                Some(second) => LengthError::TwoNumbers {
                    first: self.typed(&amount.at),
                    second: self.typed(&second.at),
                    at: amount.at.start..second.at.end,
                },
                None => self.junk(after.at.start..typed.end),
            });
        }
        let Some(unit) = bare else {
            return Err(LengthError::MissingUnit {
                typed: self.typed(&typed),
                at: typed,
            });
        };
        check_fraction(self.text, &amount, unit)?;
        Total::of(&amount, unit).reading(self.text, unit.system(), negative, typed, longest)
    }

    /// Nothing may follow a complete length.
    fn nothing_after(&self, system: System) -> Result<(), LengthError> {
        let Some(after) = self.peek(0) else {
            return Ok(());
        };
        let at = after.at.start..trimmed(self.text).end;
        let other = |p: &Placed| matches!(p.token, Token::Unit(unit) if unit.system() != system);
        if self.tokens[self.next..].iter().any(other) {
            return Err(LengthError::MixedSystems { at });
        }
        Err(self.junk(at))
    }
}

struct Fraction {
    num: i128,
    den: i128,
    at: Range<usize>,
    tokens: usize,
}

fn tokens(text: &str) -> Result<Vec<Placed>, LengthError> {
    let mut found: Vec<Placed> = Vec::new();
    let mut apart = false;
    let mut start = 0;
    while let Some(c) = text[start..].chars().next() {
        if c.is_whitespace() {
            apart = true;
            start += c.len_utf8();
            continue;
        }
        let run = |belongs: fn(char) -> bool| {
            let rest = &text[start..];
            start..start + rest.find(|c| !belongs(c)).unwrap_or(rest.len())
        };
        let mut at = start..start + c.len_utf8();
        let token = match c {
            '0'..='9' | '.' | ',' => {
                at = run(|c| c.is_ascii_digit() || c == '.' || c == ',');
                Token::Number(number(&text[at.clone()], &at)?)
            }
            '/' | '⁄' | '∕' => Token::Slash,
            '-' | '−' | '‐' | '‑' | '–' => Token::Dash,
            '≈' | '~' => return Err(LengthError::Approximate { at }),
            '\'' | '′' | '’' | '‘' => {
                let second = text[at.end..].chars().next();
                match second.filter(|c| matches!(c, '\'' | '′' | '’' | '‘')) {
                    Some(second) => {
                        at.end += second.len_utf8();
                        Token::Unit(BareUnit::Inch)
                    }
                    None => Token::Unit(BareUnit::Foot),
                }
            }
            '"' | '″' | '”' | '“' => Token::Unit(BareUnit::Inch),
            _ if vulgar(c).is_some() => {
                let (num, den) = vulgar(c).unwrap_or_default();
                Token::Fraction(num, den)
            }
            _ if c.is_alphabetic() => {
                at = run(char::is_alphabetic);
                let word = &text[at.clone()];
                let Some(unit) = unit(word) else {
                    return Err(LengthError::UnknownUnit {
                        unit: word.to_owned(),
                        at,
                    });
                };
                // `in.` and `ft.` are abbreviations with their point.
                let rest = &text[at.end..];
                if rest.starts_with(['²', '³', '^']) || matches!(rest.trim_end(), "2" | "3") {
                    return Err(LengthError::OtherQuantity {
                        unit: format!("{word}{}", rest.trim_end()),
                        at: at.start..text.trim_end().len(),
                    });
                }
                if rest.starts_with('.') && !rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
                    at.end += 1;
                }
                Token::Unit(unit)
            }
            _ => {
                return Err(LengthError::Junk {
                    found: text[at.clone()].to_owned(),
                    at,
                });
            }
        };
        start = at.end;
        found.push(Placed { token, at, apart });
        apart = false;
    }
    Ok(found)
}

/// A run of digits, points and commas.
fn number(typed: &str, at: &Range<usize>) -> Result<Number, LengthError> {
    let at = at.clone();
    let mut pieces = typed.split(['.', ',']);
    let whole = pieces.next().unwrap_or_default();
    let decimals = pieces.next();
    if pieces.next().is_some() {
        return Err(LengthError::TwoPoints {
            typed: typed.to_owned(),
            at,
        });
    }
    if decimals.is_some_and(str::is_empty) {
        return Err(match whole {
            "" => LengthError::Junk {
                found: typed.to_owned(),
                at,
            },
            _ => LengthError::LoosePoint {
                typed: typed.to_owned(),
                at,
            },
        });
    }
    let decimals = decimals.unwrap_or_default();
    if typed.contains(',') && groups_thousands(whole, decimals) {
        return Err(LengthError::AmbiguousComma {
            typed: typed.to_owned(),
            whole: format!("{whole}{decimals}"),
            decimal: format!("{whole}.{decimals}"),
            at,
        });
    }
    let whole = whole.trim_start_matches('0');
    let decimals = decimals.trim_end_matches('0');
    let kept = &decimals[..decimals.len().min(MOST_DIGITS)];
    let huge = whole.len() > MOST_DIGITS;
    let value = |digits: &str| digits.bytes().fold(0, |n, b| n * 10 + i128::from(b - b'0'));
    Ok(Number {
        digits: if huge {
            10_i128.pow(MOST_DIGITS as u32 + kept.len() as u32)
        } else {
            value(whole) * 10_i128.pow(kept.len() as u32) + value(kept)
        },
        decimals: kept.len() as u32,
        huge,
        cut: decimals.len() > MOST_DIGITS,
    })
}

/// Whether a comma between these digits may be one that groups thousands.
pub(super) fn groups_thousands(whole: &str, decimals: &str) -> bool {
    decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
}

fn unit(word: &str) -> Option<BareUnit> {
    Some(match word.to_lowercase().as_str() {
        "in" | "inch" | "inches" => BareUnit::Inch,
        "ft" | "foot" | "feet" => BareUnit::Foot,
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => BareUnit::Millimetre,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => BareUnit::Centimetre,
        "m" | "metre" | "metres" | "meter" | "meters" => BareUnit::Metre,
        _ => return None,
    })
}

/// Fractions that are one character (Unicode, block Number Forms and Latin-1).
fn vulgar(c: char) -> Option<(i128, i128)> {
    Some(match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        // On no tape, but worth the right sentence.
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}
