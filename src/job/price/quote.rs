//! A bill at a list's prices.
//!
//! # Units
//! US dollars in whole cents; each line is rounded by itself, half a cent up, and sums are of what is printed. Sales tax
//! is on everything that is bought, once, on the sum (common practice, no source; local law decides).
//!
//! # Examples
//! ```
//! use joistlight::job::price::bill::{Bill, Fee, Item, Task};
//! use joistlight::job::price::list::read;
//! use joistlight::job::price::quote::Quote;
//! let list = read("ours.toml", r#"
//! name = "Ours"
//! version = "1"
//! good_for_days = 30
//! sales_tax = "7.25 %"
//! [[material]]
//! item = "foam strip"
//! price = "0.74"
//! supplier = "Lumber yard"
//! [[trade]]
//! name = "carpenter"
//! hour = "68.00"
//! [[task]]
//! task = "set fan and shutter"
//! trade = "carpenter"
//! hours = "4.5"
//! [[fee]]
//! fee = "permit"
//! amount = "120.00"
//! "#).unwrap();
//! let bill = Bill {
//!     items: vec![(Item::Foam, 13.into())],
//!     tasks: vec![(Task::SetFan, 1.into())],
//!     fees: vec![Fee::Permit],
//!     ..Bill::default()
//! };
//! // 13 × 0.74 = 9.62; 7.25 % of it 0.69745, so 0.70; 4.5 × 68 = 306; and 120.
//! let quote = Quote::of(&bill, &list);
//! assert_eq!(quote.tax.to_string(), "0.70");
//! assert_eq!(quote.total.unwrap().to_string(), "436.32");
//! // Without a price for something there is no total.
//! let more = Bill { fees: vec![Fee::Permit, Fee::DraftTest], ..bill };
//! let quote = Quote::of(&more, &list);
//! assert_eq!(quote.total, None);
//! assert_eq!(quote.no_price, ["draft test"]);
//! ```

use super::Money;
use super::bill::{Bill, Fee, Item, Part, Task};
use super::list::PriceList;
use rust_decimal::Decimal;

/// A thing that is bought, priced.
#[derive(Debug, Clone, PartialEq)]
pub struct Bought {
    /// What.
    pub item: Item,
    /// How much.
    pub count: Decimal,
    /// Who sells it.
    pub supplier: String,
    /// For one, a pound or a foot.
    pub each: Money,
    /// In all.
    pub amount: Money,
}

/// A task, priced.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// What.
    pub task: Task,
    /// Who does it.
    pub trade: String,
    /// In all.
    pub hours: Decimal,
    /// For an hour.
    pub hour: Money,
    /// In all.
    pub amount: Money,
}

/// A bill at a list's prices.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// What is bought, by supplier in the order of the bill.
    pub bought: Vec<Bought>,
    /// What is done.
    pub done: Vec<Done>,
    /// Fees.
    pub fees: Vec<(Fee, Money)>,
    /// Sales tax.
    pub tax: Money,
    /// All of it; none where something has no price or could not be counted.
    pub total: Option<Money>,
    /// What the list has no price or no hours for.
    pub no_price: Vec<String>,
}

impl Quote {
    /// The bill at this list's prices.
    pub fn of(bill: &Bill, list: &PriceList) -> Quote {
        let mut no_price = Vec::new();
        let mut bought = Vec::new();
        for (item, count) in &bill.items {
            match list.materials.get(&item.name()) {
                Some(price) => bought.push(Bought {
                    item: item.clone(),
                    count: *count,
                    supplier: price.supplier.clone(),
                    each: price.each,
                    amount: price.each * *count,
                }),
                None => no_price.push(item.name()),
            }
        }
        let mut suppliers: Vec<String> = Vec::new();
        for it in &bought {
            if !suppliers.contains(&it.supplier) {
                suppliers.push(it.supplier.clone());
            }
        }
        bought.sort_by_key(|it| suppliers.iter().position(|name| *name == it.supplier));
        let mut done = Vec::new();
        for (task, count) in &bill.tasks {
            // A trade without a rate is refused with the list.
            let known = list.tasks.get(&task.name());
            match known.and_then(|it| Some((it, list.rates.get(&it.trade)?))) {
                Some((it, hour)) => {
                    let hours = it.hours * *count;
                    done.push(Done {
                        task: *task,
                        trade: it.trade.clone(),
                        hours,
                        hour: *hour,
                        amount: *hour * hours,
                    });
                }
                None => no_price.push(task.name()),
            }
        }
        let mut fees = Vec::new();
        for fee in &bill.fees {
            match list.fees.get(fee.name()) {
                Some(amount) => fees.push((*fee, *amount * Decimal::ONE)),
                None => no_price.push(fee.name().to_owned()),
            }
        }
        let mut quote = Quote {
            bought,
            done,
            fees,
            tax: Money::default(),
            total: None,
            no_price,
        };
        quote.tax = quote.materials() * list.sales_tax;
        if quote.no_price.is_empty() && bill.gaps.is_empty() {
            let parts = Part::ALL.into_iter().map(|it| quote.part(it));
            quote.total = Some(parts.sum::<Money>() + quote.tax);
        }
        quote
    }

    /// Everything that is bought.
    pub fn materials(&self) -> Money {
        self.bought.iter().map(|it| it.amount).sum()
    }

    /// Everything that is done.
    pub fn labor(&self) -> Money {
        self.done.iter().map(|it| it.amount).sum()
    }

    /// All hours.
    pub fn hours(&self) -> Decimal {
        self.done.iter().map(|it| it.hours).sum()
    }

    /// All fees.
    pub fn fees_in_all(&self) -> Money {
        self.fees.iter().map(|(_, amount)| *amount).sum()
    }

    /// One part of the job, tax aside.
    pub fn part(&self, part: Part) -> Money {
        if part == Part::Fees {
            return self.fees_in_all();
        }
        let bought = self.bought.iter().filter(|it| it.item.part() == part);
        let done = self.done.iter().filter(|it| it.task.part() == part);
        let bought: Money = bought.map(|it| it.amount).sum();
        bought + done.map(|it| it.amount).sum()
    }
}
