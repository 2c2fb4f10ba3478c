//! What a job costs, and what is ordered for it.
//!
//! * [`list`] — an office's prices, hours and terms, in a TOML file.
//! * [`bill`] — what one fan at one spot takes: things to buy and tasks to do, in exact amounts, without a price.
//! * [`quote`] — the bill at the list's prices, and the quote made of one or two of them.
//!
//! Nothing is priced that is not settled: what the list has no price for, or what the survey does not tell, stands on the
//! quote by name, and then the quote has no total.
//!
//! # Units
//! Money in US dollars as exact decimals ([`Money`]), rounded to whole cents line by line, half a cent up (common
//! practice, no source). Quantities as exact decimals, each with its [`Unit`](bill::Unit).

pub mod bill;
pub mod list;
pub mod quote;

use rust_decimal::{Decimal, RoundingStrategy};
use std::fmt::{self, Display, Formatter};
use std::iter::Sum;
use std::ops::{Add, Mul};
use std::str::FromStr;

/// An amount of US dollars, exact.
///
/// # Examples
/// ```
/// use joistlight::job::price::Money;
/// let each: Money = "9.85".parse().unwrap();
/// assert_eq!((each * "1.5".parse().unwrap()).to_string(), "14.78");
/// let much: Money = "1234567.8".parse().unwrap();
/// assert_eq!(much.to_string(), "1,234,567.80");
/// assert!("twelve".parse::<Money>().is_err());
/// assert!("-1".parse::<Money>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(Decimal);

/// Why a text is no amount of money, or no number of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("“12.50” is an amount: digits, and a point before the cents")]
pub struct NotMoney;

/// More than any house costs; a figure over it is a slip of the pen.
const MOST: u32 = 1_000_000_000;

impl Money {
    /// The exact number of dollars.
    pub const fn dollars(self) -> Decimal {
        self.0
    }

    /// Without thousands set apart, for other programs.
    pub fn plain(self) -> String {
        format!("{:.2}", self.0)
    }

    /// In whole cents, half a cent up.
    fn cents(number: Decimal) -> Self {
        Money(number.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero))
    }
}

impl FromStr for Money {
    type Err = NotMoney;

    fn from_str(text: &str) -> Result<Self, NotMoney> {
        let number = decimal(text).ok_or(NotMoney)?;
        // No price is finer than a hundredth of a cent.
        if number.normalize().scale() > 4 {
            return Err(NotMoney);
        }
        Ok(Money(number))
    }
}

/// A number of digits and a point, neither below zero nor beyond all sense.
fn decimal(text: &str) -> Option<Decimal> {
    let plain = text.bytes().all(|it| it.is_ascii_digit() || it == b'.');
    let number = Decimal::from_str_exact(text).ok().filter(|_| plain)?;
    (number <= Decimal::from(MOST)).then_some(number)
}

impl Display for Money {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let plain = self.plain();
        let (whole, cents) = plain.split_once('.').unwrap_or((&plain, "00"));
        for (at, digit) in whole.chars().enumerate() {
            if at > 0 && (whole.len() - at).is_multiple_of(3) {
                f.write_str(",")?;
            }
            write!(f, "{digit}")?;
        }
        write!(f, ".{cents}")
    }
}

impl Mul<Decimal> for Money {
    type Output = Money;

    /// So many of it, in whole cents.
    fn mul(self, count: Decimal) -> Money {
        Money::cents(self.0 * count)
    }
}

impl Add for Money {
    type Output = Money;

    fn add(self, other: Money) -> Money {
        Money(self.0 + other.0)
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(all: I) -> Money {
        all.fold(Money::default(), Add::add)
    }
}
