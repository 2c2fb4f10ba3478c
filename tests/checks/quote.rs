//! The quote and the order list: added up by hand, whole over random houses, silent where nothing is settled.

use super::sheets::{fitting_houses, seed};
use joistlight::demo;
use joistlight::job::price::bill::{Bill, Item};
use joistlight::job::price::list::{self, PriceList};
use joistlight::job::sheets::Edition;
use joistlight::job::sheets::quote::{Offer, quote};
use joistlight::job::{Chosen, Job};
use joistlight::office::order;
use joistlight::rules::assess;
use joistlight::survey::Ways;
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::typeset::document::Document;
use joistlight::words::Language;

fn at_bedrooms(fan: &str, look: impl FnOnce(&Job)) {
    let survey = demo::survey().unwrap();
    let assessment = assess(&survey, fan::generic(), &Codes::default());
    let chosen = Chosen {
        spot: Some(1),
        fan: Some(fan.to_owned()),
        framing: None,
    };
    look(&Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap());
}

fn told(document: &Document) -> String {
    let lines: Vec<String> = document.lines().iter().map(|it| it.text()).collect();
    lines.join("\n")
}

fn printed(job: &Job, list: &PriceList) -> Vec<Document> {
    let offers: Vec<Offer> = Offer::of(job, list).into_iter().collect();
    let edition = Edition {
        printed: Some("2026-06-03 07:30".to_owned()),
        ..Edition::default()
    };
    quote(
        job,
        &offers,
        list,
        Language::English,
        Ways::default(),
        &edition,
    )
}

/// The demo's first spot, worked by hand from the cut list on the crew sheet and the list that comes with the program.
#[test]
fn the_demos_quote_is_what_a_hand_makes_of_it() {
    at_bedrooms("direct-30", |job| {
        let offer = Offer::of(job, list::trial()).unwrap();
        let of = |name: &str| {
            let mut all = offer
                .quote
                .bought
                .iter()
                .filter(|it| it.item.name() == name);
            let it = all.next().unwrap_or_else(|| panic!("{name}"));
            assert!(all.next().is_none(), "{name} twice");
            (it.count.to_string(), it.amount.to_string())
        };
        let is = |name: &str, count: &str, amount: &str| {
            assert_eq!(of(name), (count.to_owned(), amount.to_owned()), "{name}");
        };
        is("fan direct-30", "1", "685.00");
        is("winter cover", "1", "74.00");
        // Foam once round the frame of 38 by 38 in: 152 in, 12 ft 8 in, so 13 ft at 0.74.
        is("foam strip", "13", "9.62");
        // 222 in² at 50 in² each: five vents, each with its kit.
        is("box vent", "5", "122.50");
        is("vent flashing and sealant", "5", "46.00");
        // 52 ft and a tenth, 57.2, so 58 ft of three wires and a ground for two speeds.
        is("cable 14/3 with ground", "58", "55.10");
        is("switch, two speeds", "1", "31.50");
        let done = |name: &str| {
            let it = offer.quote.done.iter().find(|it| it.task.name() == name);
            let it = it.unwrap_or_else(|| panic!("{name}"));
            (it.hours.normalize().to_string(), it.amount.to_string())
        };
        assert_eq!(
            done("put in box vent"),
            ("4.5".to_owned(), "306.00".to_owned())
        );
        assert_eq!(
            done("move smoke alarm"),
            ("1".to_owned(), "92.00".to_owned())
        );
        assert!(
            offer
                .quote
                .done
                .iter()
                .all(|it| it.task.name() != "circuit of its own")
        );
        // 1,073.13 of things; 7.25 % of it 77.80; 1,451.00 of work; 120 and 160 of fees.
        assert_eq!(offer.quote.materials().to_string(), "1,073.13");
        assert_eq!(offer.quote.tax.to_string(), "77.80");
        assert_eq!(offer.quote.labor().to_string(), "1,451.00");
        assert_eq!(offer.quote.total.unwrap().to_string(), "2,881.93");
    });
}

#[test]
fn an_invented_list_is_named_so_and_a_real_one_is_not() {
    at_bedrooms("direct-30", |job| {
        let mut ours = list::trial().clone();
        let word = "Give nobody this quote.";
        assert!(printed(job, &ours).iter().all(|it| told(it).contains(word)));
        ours.invented = false;
        let documents = printed(job, &ours);
        assert!(documents.iter().all(|it| !told(it).contains(word)));
        let quote = told(&documents[0]);
        assert!(quote.contains("Option A: $2,881.93"), "{quote}");
        assert!(quote.contains("Prices hold until 2026-07-03"), "{quote}");
        // What a thing costs the office stays in the office.
        assert!(!quote.contains("box vent\n") && !quote.contains("24.50"));
        assert!(told(&documents[1]).contains("24.50"));
    });
}

#[test]
fn what_has_no_price_leaves_no_total_and_nothing_to_sign() {
    at_bedrooms("direct-30", |job| {
        let mut ours = list::trial().clone();
        ours.materials.remove("box vent");
        let documents = printed(job, &ours);
        let quote = told(&documents[0]);
        assert!(quote.contains("Not in the price list: box vent"), "{quote}");
        assert!(quote.contains("Nothing to sign yet"), "{quote}");
        assert!(!quote.contains("Option A: $"), "{quote}");
    });
}

#[test]
fn where_nothing_is_built_nothing_is_priced() {
    let survey = demo::survey().unwrap();
    let assessment = assess(&survey, fan::generic(), &Codes::default());
    for spot in [2, 3] {
        let chosen = Chosen {
            spot: Some(spot),
            ..Chosen::default()
        };
        let job = Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap();
        assert!(Bill::of(&job).is_none());
        let documents = printed(&job, list::trial());
        assert_eq!(documents.len(), 1);
        assert!(!told(&documents[0]).contains('$'));
    }
}

/// The list that comes with the program has a price for everything that a usual house takes, and the order list is the
/// bill.
#[test]
fn the_list_that_comes_along_prices_random_houses() {
    let (mut whole, mut open) = (0, 0);
    for (survey, chosen) in fitting_houses(200, seed(20_261_203)) {
        let assessment = assess(&survey, fan::generic(), &Codes::default());
        let job = Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap();
        let Some(offer) = Offer::of(&job, list::trial()) else {
            continue;
        };
        for name in &offer.quote.no_price {
            let odd = offer.bill.items.iter().any(|(item, _)| {
                item.name() == *name
                    && (matches!(item, Item::LongBoard(..)) || name.contains("as measured"))
            });
            assert!(odd, "{name}");
        }
        assert_eq!(
            offer.quote.total.is_some(),
            offer.quote.no_price.is_empty() && offer.bill.gaps.is_empty()
        );
        if let Some(total) = offer.quote.total {
            whole += 1;
            let parts = offer.quote.materials() + offer.quote.labor();
            assert_eq!(total, parts + offer.quote.fees_in_all() + offer.quote.tax);
        } else {
            open += 1;
        }
        let csv = order::csv(std::slice::from_ref(&offer)).unwrap();
        let rows = csv::Reader::from_reader(&csv[..]).into_records().count();
        assert_eq!(rows, offer.quote.bought.len());
    }
    println!("{whole} with a total, {open} without");
    assert!(whole > 20);
}
