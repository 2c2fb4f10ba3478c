//! An office's price list: what things cost, how long tasks take, what an hour costs, fees, tax, and the terms.
//!
//! It is a TOML file; the one that comes with the program is invented, says so, and so does every quote made with it.
//!
//! # Units
//! Prices in US dollars each, a pound or a foot, as the [bill](super::bill) counts the thing; hours as decimals.
//!
//! # Errors
//! [`read`] names file, line and field: a price that is no amount, a task by a trade that has no hourly rate, the same
//! thing twice.
//!
//! # Examples
//! ```
//! use joistlight::job::price::list::{read, trial};
//! assert!(trial().invented);
//! let error = read("ours.toml", "name = 'Ours'\nversion = '1'\ngood_for_days = 30\nsales_tax = '7 %'\n\
//!     [[material]]\nitem = '2x8, 10 ft'\nprice = '14,50'\nsupplier = 'Lumber yard'").unwrap_err();
//! assert!(error.to_string().starts_with("ours.toml, line 7, material[0].price: "), "{error}");
//! ```

use super::{Money, NotMoney, decimal};
use crate::list_file::{ListError, ListFile};
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer, de};
use std::collections::BTreeMap;
use std::sync::LazyLock;
use toml::Spanned;

/// What a thing costs, and where it is bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Price {
    /// One, a pound or a foot of it.
    pub each: Money,
    /// Who sells it.
    pub supplier: String,
}

/// How long a task takes, and who does it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hours {
    /// The trade that does it.
    pub trade: String,
    /// For each time that it is done.
    pub hours: Decimal,
}

/// The office's own words, as they are printed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Terms {
    /// What the price takes in besides its lines.
    pub in_the_price: Vec<String>,
    /// What it does not.
    pub not_in_the_price: Vec<String>,
    /// When the work is done, and when it is paid.
    pub time_and_payment: Vec<String>,
}

/// A price list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceList {
    /// What the office calls it.
    pub name: String,
    /// Its version, in the office's own counting.
    pub version: String,
    /// Whether it is made up for trying out.
    pub invented: bool,
    /// So many days a quote holds.
    pub good_for_days: u16,
    /// Sales tax on what is bought, as a share of one.
    pub sales_tax: Decimal,
    /// Prices by the thing's name on the bill.
    pub materials: BTreeMap<String, Price>,
    /// An hour's price by trade.
    pub rates: BTreeMap<String, Money>,
    /// Hours by the task's name on the bill.
    pub tasks: BTreeMap<String, Hours>,
    /// Fees by their name on the bill.
    pub fees: BTreeMap<String, Money>,
    /// The terms.
    pub terms: Terms,
}

fn money<'de, D: Deserializer<'de>>(from: D) -> Result<Money, D::Error> {
    String::deserialize(from)?
        .parse()
        .map_err(|error: NotMoney| de::Error::custom(error))
}

fn hours<'de, D: Deserializer<'de>>(from: D) -> Result<Decimal, D::Error> {
    let text = String::deserialize(from)?;
    decimal(&text).ok_or_else(|| de::Error::custom("“1.5” is a number of hours"))
}

/// A share in percent, below 100, such as `7.25 %`.
fn percent<'de, D: Deserializer<'de>>(from: D) -> Result<Decimal, D::Error> {
    let text = String::deserialize(from)?;
    text.strip_suffix('%')
        .and_then(|it| decimal(it.trim_end()))
        .filter(|it| *it < Decimal::ONE_HUNDRED)
        .map(|it| it / Decimal::ONE_HUNDRED)
        .ok_or_else(|| de::Error::custom("“7.25 %” is a tax: a number below 100, then %"))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawList {
    name: String,
    version: String,
    #[serde(default)]
    invented: bool,
    good_for_days: u16,
    #[serde(deserialize_with = "percent")]
    sales_tax: Decimal,
    #[serde(default)]
    material: Vec<RawMaterial>,
    #[serde(default)]
    trade: Vec<RawTrade>,
    #[serde(default)]
    task: Vec<RawTask>,
    #[serde(default)]
    fee: Vec<RawFee>,
    #[serde(default)]
    terms: Terms,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawMaterial {
    item: Spanned<String>,
    #[serde(deserialize_with = "money")]
    price: Money,
    supplier: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawTrade {
    name: Spanned<String>,
    #[serde(deserialize_with = "money")]
    hour: Money,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawTask {
    task: Spanned<String>,
    trade: Spanned<String>,
    #[serde(deserialize_with = "hours")]
    hours: Decimal,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawFee {
    fee: Spanned<String>,
    #[serde(deserialize_with = "money")]
    amount: Money,
}

/// Puts one entry in, and refuses the same name twice.
fn put<T>(
    list: &ListFile,
    into: &mut BTreeMap<String, T>,
    field: String,
    name: Spanned<String>,
    value: T,
) -> Result<(), ListError> {
    let at = name.span().start;
    let name = name.into_inner();
    if name.trim().is_empty() {
        return Err(list.refuse(at, field, "a name must have letters".into()));
    }
    if into.contains_key(&name) {
        let what = format!("“{name}” stands earlier in the list already");
        return Err(list.refuse(at, field, what));
    }
    into.insert(name, value);
    Ok(())
}

/// Reads a price list; `file` names it in errors.
///
/// # Errors
/// The first thing wrong, with its line and field.
pub fn read(file: &str, text: &str) -> Result<PriceList, ListError> {
    let list = ListFile { file, text };
    let raw: RawList = list.read()?;
    let mut prices = PriceList {
        name: raw.name,
        version: raw.version,
        invented: raw.invented,
        good_for_days: raw.good_for_days,
        sales_tax: raw.sales_tax,
        materials: BTreeMap::new(),
        rates: BTreeMap::new(),
        tasks: BTreeMap::new(),
        fees: BTreeMap::new(),
        terms: raw.terms,
    };
    for (at, it) in raw.material.into_iter().enumerate() {
        let price = Price {
            each: it.price,
            supplier: it.supplier,
        };
        let field = format!("material[{at}].item");
        put(&list, &mut prices.materials, field, it.item, price)?;
    }
    for (at, it) in raw.trade.into_iter().enumerate() {
        let field = format!("trade[{at}].name");
        put(&list, &mut prices.rates, field, it.name, it.hour)?;
    }
    for (at, it) in raw.task.into_iter().enumerate() {
        let start = it.trade.span().start;
        let hours = Hours {
            trade: it.trade.into_inner(),
            hours: it.hours,
        };
        if !prices.rates.contains_key(&hours.trade) {
            let what = format!("no [[trade]] is named “{}”", hours.trade);
            return Err(list.refuse(start, format!("task[{at}].trade"), what));
        }
        let field = format!("task[{at}].task");
        put(&list, &mut prices.tasks, field, it.task, hours)?;
    }
    for (at, it) in raw.fee.into_iter().enumerate() {
        let field = format!("fee[{at}].fee");
        put(&list, &mut prices.fees, field, it.fee, it.amount)?;
    }
    Ok(prices)
}

/// The text of the list that comes with the program; all of it is invented.
pub const TRIAL: &str = include_str!("trial.toml");

/// That list.
pub fn trial() -> &'static PriceList {
    static LIST: LazyLock<PriceList> = LazyLock::new(|| {
        read("the list that comes with the program", TRIAL)
            .unwrap_or_else(|error| panic!("{error}"))
    });
    &LIST
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(more: &str) -> Result<PriceList, ListError> {
        let head = "name = 'Ours'\nversion = '3'\ngood_for_days = 30\nsales_tax = '7.25 %'\n";
        read("ours.toml", &format!("{head}{more}"))
    }

    #[test]
    fn a_list_is_read_exactly() {
        let list = with(
            "[[material]]\nitem = 'foam strip'\nprice = '0.7385'\nsupplier = 'Yard'\n\
             [[trade]]\nname = 'carpenter'\nhour = '68'\n\
             [[task]]\ntask = 'dam'\ntrade = 'carpenter'\nhours = '0.75'\n\
             [[fee]]\nfee = 'permit'\namount = '120.00'\n",
        )
        .unwrap();
        assert_eq!(list.sales_tax, "0.0725".parse().unwrap());
        assert_eq!(list.materials["foam strip"].each, "0.7385".parse().unwrap());
        assert_eq!(list.rates["carpenter"].to_string(), "68.00");
        assert_eq!(list.tasks["dam"].hours, "0.75".parse().unwrap());
        assert!(!list.invented);
    }

    #[test]
    fn what_is_wrong_is_named_with_line_and_field() {
        let cases = [
            (
                "[[trade]]\nname = 'carpenter'\nhour = '-68'\n",
                "ours.toml, line 7, trade[0].hour: ",
            ),
            (
                "[[trade]]\nname = 'a'\nhour = '6'\n[[trade]]\nname = 'a'\nhour = '7'\n",
                "ours.toml, line 9, trade[1].name: “a” stands",
            ),
            (
                "[[task]]\ntask = 'dam'\ntrade = 'mason'\nhours = '1'\n",
                "ours.toml, line 7, task[0].trade: no [[trade]]",
            ),
            (
                "[[fee]]\nfee = ' '\namount = '1'\n",
                "ours.toml, line 6, fee[0].fee: ",
            ),
            (
                "[[fee]]\nfee = 'permit'\namount = '1e9'\n",
                "ours.toml, line 7, fee[0].amount: ",
            ),
            (
                "[[fee]]\nfee = 'permit'\namount = '0.00001'\n",
                "ours.toml, line 7, fee[0].amount: ",
            ),
            ("discount = '5 %'\n", "ours.toml, line 5, discount: "),
        ];
        for (text, expected) in cases {
            let error = with(text).unwrap_err().to_string();
            assert!(error.starts_with(expected), "{error}");
        }
    }
}
