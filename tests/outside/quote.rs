//! Quotes against Python's decimal arithmetic, from the list's own file read by Python's TOML reader.

use super::{python, seed};
use crate::sheets::fitting_houses;
use joistlight::job::Job;
use joistlight::job::price::list;
use joistlight::job::sheets::quote::Offer;
use joistlight::rules::assess;
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use serde::Serialize;

#[derive(Serialize)]
struct Case {
    items: Vec<(String, String)>,
    tasks: Vec<(String, String)>,
    fees: Vec<&'static str>,
    materials: String,
    tax: String,
    labor: String,
    /// Nothing where something has no price or could not be counted.
    total: Option<String>,
    no_price: Vec<String>,
}

#[derive(Serialize)]
struct All {
    list: &'static str,
    cases: Vec<Case>,
}

#[test]
fn quotes_are_what_pythons_decimals_make_of_the_bills() {
    let mut cases = Vec::new();
    for (survey, chosen) in fitting_houses(60, seed()) {
        let assessment = assess(&survey, fan::generic(), &Codes::default());
        let job = Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap();
        let Some(Offer { bill, quote, .. }) = Offer::of(&job, list::trial()) else {
            continue;
        };
        let items = bill.items.iter();
        let tasks = bill.tasks.iter();
        cases.push(Case {
            items: items.map(|(it, n)| (it.name(), n.to_string())).collect(),
            tasks: tasks.map(|(it, n)| (it.name(), n.to_string())).collect(),
            fees: bill.fees.iter().map(|it| it.name()).collect(),
            materials: quote.materials().plain(),
            tax: quote.tax.plain(),
            labor: quote.labor().plain(),
            total: quote
                .total
                .filter(|_| bill.gaps.is_empty())
                .map(|it| it.plain()),
            no_price: quote.no_price,
        });
    }
    assert!(cases.len() > 20);
    let list = list::TRIAL;
    python::check("quote", &All { list, cases });
}
