//! The order list of a quote as CSV, for whoever orders.

use super::export::harmless;
use crate::job::sheets::quote::{LETTERS, Offer};
use std::io;

/// The name of the order list within a job pack.
pub const FILE: &str = "order-list.csv";

/// Option, supplier, item, count, unit, price, amount: a line for each thing that is bought.
///
/// # Errors
/// None in practice: it is written to memory.
pub fn csv(offers: &[Offer]) -> Result<Vec<u8>, io::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record([
        "option", "supplier", "item", "count", "unit", "price", "amount",
    ])?;
    for (letter, offer) in LETTERS.iter().zip(offers) {
        for it in &offer.quote.bought {
            out.write_record([
                *letter,
                &harmless(&it.supplier),
                &harmless(&it.item.name()),
                &it.count.normalize().to_string(),
                it.item.unit().sign(),
                &it.each.dollars().normalize().to_string(),
                &it.amount.plain(),
            ])?;
        }
    }
    out.into_inner().map_err(csv::IntoInnerError::into_error)
}
