//! The customer's quote with one or two fans side by side, and the office's order list with hours behind it.
//!
//! The quote tells sums by part of the job; what each thing costs and how long each task takes stands on the order list
//! alone, which does not leave the office.

use super::Edition;
use super::builder::{SheetBuilder, key, phrase};
use super::labels;
use crate::job::Job;
use crate::job::price::Money;
use crate::job::price::bill::{Apart, Bill, Gapped, Part, Unit};
use crate::job::price::list::PriceList;
use crate::job::price::quote::Quote;
use crate::rules::number;
use crate::survey::Ways;
use crate::typeset::document::{Block, Column, Document, Line, Marks, Row, Table};
use crate::words::Language;
use jiff::ToSpan;
use jiff::civil::Date;
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// One of the fans that are offered.
#[derive(Debug, Clone)]
pub struct Offer<'a> {
    /// The fan at its spot, with what is built for it.
    pub job: &'a Job<'a>,
    /// What it takes.
    pub bill: Bill,
    /// What that costs.
    pub quote: Quote,
}

impl<'a> Offer<'a> {
    /// The offer at a list's prices; none where there is nothing to build.
    pub fn of(job: &'a Job<'a>, list: &PriceList) -> Option<Offer<'a>> {
        let bill = Bill::of(job)?;
        let quote = Quote::of(&bill, list);
        Some(Offer { job, bill, quote })
    }
}

/// The letters of the offers.
pub const LETTERS: [&str; 2] = ["A", "B"];

/// The customer's quote, then the office's order list. `first` is what the other sheets of the pack are for.
pub fn quote(
    first: &Job,
    offers: &[Offer],
    list: &PriceList,
    language: Language,
    ways: Ways,
    edition: &Edition,
) -> Vec<Document> {
    let begin = || SheetBuilder::new(first, language, ways, edition);
    let mut sheet = begin();
    invented(&mut sheet, list);
    if offers.is_empty() {
        sheet.nothing_to_build();
        let (document, _) = sheet.finish("quote", "Q", key("Quote"));
        return vec![document];
    }
    for_customer(&mut sheet, offers, list);
    let foot = sheet.text(
        phrase(key("From revision {revision} of the survey."))
            .with("revision", first.survey.revision),
    );
    let fans = heads(&sheet, offers);
    let (mut customer, _) = sheet.finish("quote", "Q", key("Quote"));
    let mut sheet = begin();
    invented(&mut sheet, list);
    for_office(&mut sheet, offers, list);
    let (mut office, _) = sheet.finish("order-list", "O", key("Order list and hours"));
    for document in [&mut customer, &mut office] {
        document.head.facts = fans.clone();
        document.foot[0].clone_from(&foot);
        document.explained_in = None;
    }
    vec![customer, office]
}

/// In the head: spot and fans.
fn heads(sheet: &SheetBuilder, offers: &[Offer]) -> Vec<(String, String)> {
    let spot = offers[0].job.spot.name.clone().unwrap_or_default();
    let mut facts = vec![(sheet.t(key("Spot")).to_owned(), spot)];
    for (letter, offer) in LETTERS.iter().zip(offers) {
        let name = sheet.language.name(&offer.job.fan.name).to_owned();
        facts.push((format!("{} {letter}", sheet.t(key("Option"))), name));
    }
    facts
}

fn invented(sheet: &mut SheetBuilder, list: &PriceList) {
    if list.invented {
        let word = sheet
            .t(key("Prices and hours are made up, for trying out"))
            .to_owned();
        let entries = vec![sheet.line(key(
            "Give nobody this quote. Take in your own price list, then print again.",
        ))];
        sheet.put(Block::Notice { word, entries });
    }
}

/// A table with a column for each offer.
fn compared(sheet: &mut SheetBuilder, offers: &[Offer], rows: Vec<Vec<Line>>) {
    let mut columns = vec![Column {
        head: Line::default(),
        share: 2.2,
        numbers: false,
    }];
    for letter in &LETTERS[..offers.len()] {
        columns.push(Column {
            head: Line::plain(format!("{} {letter}", sheet.t(key("Option")))),
            share: 1.5,
            numbers: true,
        });
    }
    put_table(sheet, columns, rows);
}

fn put_table(sheet: &mut SheetBuilder, columns: Vec<Column>, rows: Vec<Vec<Line>>) {
    let rows = rows
        .into_iter()
        .map(|cells| Row {
            cells,
            explains: None,
        })
        .collect();
    sheet.put(Block::Table(Table { columns, rows }));
}

fn for_customer(sheet: &mut SheetBuilder, offers: &[Offer], list: &PriceList) {
    let lead = sheet.line(key("A whole-house fan in your hall ceiling, built in."));
    sheet.put(Block::Lead(lead));
    what_it_does(sheet, offers);
    price(sheet, offers, list);
    let mut left = sheet.apart();
    left.section(key("In the price"));
    own_words(&mut left, &list.terms.in_the_price);
    left.section(key("What you should know"));
    let know = [
        key("The fan runs only with windows open and the fireplace damper shut."),
        key("With too few windows open it can pull burnt gas down a flue. The household sheet says which windows."),
    ]
    .into_iter()
    .map(|it| left.line(it))
    .collect();
    left.list(Marks::Dashes, 1, know);
    let mut right = left.beside();
    right.section(key("Not in the price"));
    apart(&mut right, offers);
    own_words(&mut right, &list.terms.not_in_the_price);
    right.section(key("Time and payment"));
    own_words(&mut right, &list.terms.time_and_payment);
    let columns = vec![(1.0, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
    accept(sheet, offers, list);
}

/// The office's own words.
fn own_words(sheet: &mut SheetBuilder, words: &[String]) {
    let lines = words.iter().map(|it| Line::plain(it.clone())).collect();
    sheet.list(Marks::Dashes, 1, lines);
}

/// What the fans do, side by side.
fn what_it_does(sheet: &mut SheetBuilder, offers: &[Offer]) {
    type Tell = fn(&SheetBuilder, &Offer) -> Option<Line>;
    let facts: [(&'static str, Tell); 8] = [
        (key("Fan"), |sheet, offer| {
            Some(Line::plain(sheet.language.name(&offer.job.fan.name)))
        }),
        (key("Joists"), |sheet, offer| {
            Some(sheet.line(offer.job.choice.framing.label()))
        }),
        (
            key("Air moved in your house, high · low"),
            |sheet, offer| {
                let air = offer.job.choice.air.as_ref()?;
                let cfm = |it: &crate::house::air::AtSpeed| {
                    // To the nearest ten: no reader can act on less.
                    sheet.arg(&number((it.airflow.cfm() / 10.0).round() * 10.0, "cfm", 0))
                };
                Some(Line::plain(format!(
                    "{} · {}",
                    cfm(&air.high),
                    cfm(&air.low)
                )))
            },
        ),
        (key("House air changed on high"), |sheet, offer| {
            let air = offer.job.choice.air.as_ref()?;
            let changes = number(air.air_changes?.per_hour(), "", 0);
            Some(sheet.line(phrase(key("{number} times an hour")).with("number", changes)))
        }),
        (key("Windows to open, all the way, on high"), |_, offer| {
            let rooms = &offer.job.choice.to_open.as_ref()?.rooms;
            let count: u32 = rooms.iter().map(|it| it.count()).sum();
            Some(Line::plain(count.to_string()))
        }),
        (key("Vents added"), |sheet, offer| {
            let vents = &offer.job.plan.as_ref()?.vents;
            // One kind may go to several places.
            let mut kinds: Vec<(&'static str, u32)> = Vec::new();
            for (vent, count) in vents.iter().filter_map(|gap| gap.choices.first()) {
                match kinds.iter_mut().find(|(name, _)| *name == vent.name) {
                    Some((_, all)) => *all += count,
                    None => kinds.push((vent.name, *count)),
                }
            }
            let told = kinds.iter();
            let told = told.map(|(name, count)| format!("{count} {}", sheet.t(name)));
            Some(if kinds.is_empty() {
                sheet.line(key("none"))
            } else {
                Line::plain(told.collect::<Vec<_>>().join(", "))
            })
        }),
        (key("Power on high"), |_, offer| {
            let current = offer.job.fan.high().current?;
            Some(Line::plain(format!("{:.1} A, 120 V", current.a())))
        }),
        (key("Weight on the ceiling joists"), |sheet, offer| {
            Some(sheet.bare(number(offer.job.fan.weight.lb(), "lb", 0)))
        }),
    ];
    let mut rows = Vec::new();
    for (what, tell) in facts {
        let told: Vec<Option<Line>> = offers.iter().map(|it| tell(sheet, it)).collect();
        if told.iter().any(Option::is_some) {
            let mut row = vec![sheet.line(what)];
            row.extend(told.into_iter().map(|it| it.unwrap_or(Line::plain("–"))));
            rows.push(row);
        }
    }
    compared(sheet, offers, rows);
}

const fn part(it: Part) -> &'static str {
    match it {
        Part::Fan => key("Fan, shutter, winter cover"),
        Part::Opening => key("Opening and frame: carpentry and lumber"),
        Part::Vents => key("Attic vents: work and material"),
        Part::Electrician => key("Electrician: circuit, switch, disconnect, alarms"),
        Part::Fees => key("Permit, at cost; draft test by a licensed technician"),
    }
}

fn dollars(amount: Money) -> Line {
    Line::plain(amount.to_string())
}

fn tax_words(sheet: &SheetBuilder, list: &PriceList) -> Line {
    let percent = (list.sales_tax * Decimal::ONE_HUNDRED).normalize();
    sheet.line(
        phrase(key("Sales tax on what is bought, {percent} %"))
            .with("percent", percent.to_string()),
    )
}

fn price(sheet: &mut SheetBuilder, offers: &[Offer], list: &PriceList) {
    sheet.section(key("Price, US dollars"));
    let mut rows = Vec::new();
    for it in Part::ALL {
        let mut row = vec![sheet.line(part(it))];
        row.extend(offers.iter().map(|offer| dollars(offer.quote.part(it))));
        rows.push(row);
    }
    let mut row = vec![tax_words(sheet, list)];
    row.extend(offers.iter().map(|it| dollars(it.quote.tax)));
    rows.push(row);
    let mut row = vec![sheet.line(key("Total")).strong()];
    row.extend(offers.iter().map(|it| total(sheet, it).strong()));
    rows.push(row);
    compared(sheet, offers, rows);
    let mut open = Vec::new();
    for (letter, offer) in LETTERS.iter().zip(offers) {
        let entries = not_settled(sheet, offer);
        open.extend(entries.into_iter().map(|line| {
            if offers.len() > 1 {
                Line::plain(format!("{letter}: ")).then(line)
            } else {
                line
            }
        }));
    }
    sheet.cautions(key("Not settled, so there is no total"), open);
}

fn total(sheet: &SheetBuilder, offer: &Offer) -> Line {
    match offer.quote.total {
        Some(total) => Line::plain(format!("${total}")),
        None => sheet.line(key("open")),
    }
}

/// What keeps an offer from having a total.
fn not_settled(sheet: &SheetBuilder, offer: &Offer) -> Vec<Line> {
    let gaps = offer.bill.gaps.iter().map(|gap| match gap {
        Gapped::NotMeasured(at) => {
            let line = sheet.line(key("Still to be measured: "));
            line.then(sheet.missing(*at))
        }
        Gapped::NoBoards(size) => sheet.line(
            phrase(key("No boards can be named for: {size}")).with("size", labels::size(*size)),
        ),
        Gapped::NoWire => sheet.line(key("No wire of the tables serves this run.")),
    });
    let no_price = offer.quote.no_price.iter().map(|name| {
        sheet.line(phrase(key("Not in the price list: {name}")).with("name", name.clone()))
    });
    gaps.chain(no_price).collect()
}

/// Work that somebody else quotes.
fn apart(sheet: &mut SheetBuilder, offers: &[Offer]) {
    let mut told: Vec<&Apart> = Vec::new();
    for it in offers.iter().flat_map(|it| &it.bill.apart) {
        if !told.contains(&it) {
            told.push(it);
        }
    }
    let lines = told
        .into_iter()
        .map(|it| {
            let what = sheet.line(&it.what);
            let who = Line::plain(format!(" ({})", sheet.t(it.who.label())));
            sheet.line(key("Quoted apart: ")).then(what).then(who)
        })
        .collect();
    sheet.list(Marks::Dashes, 1, lines);
}

/// Until when the prices hold, where the day of printing is known.
fn good_until(edition: &Edition, days: u16) -> Option<Date> {
    let printed: Date = edition.printed.as_ref()?.get(..10)?.parse().ok()?;
    printed.checked_add(i64::from(days).days()).ok()
}

fn accept(sheet: &mut SheetBuilder, offers: &[Offer], list: &PriceList) {
    let until = match good_until(sheet.edition, list.good_for_days) {
        Some(day) => phrase(key("Prices hold until {day}")).with("day", day.to_string()),
        None => {
            phrase(key("Prices hold for {days} days")).with("days", u32::from(list.good_for_days))
        }
    };
    let aside = sheet.line(until);
    sheet.section_with(key("Accept"), aside);
    let boxes = LETTERS
        .iter()
        .zip(offers)
        .filter(|(_, offer)| offer.quote.total.is_some())
        .map(|(letter, offer)| {
            let what = format!("{} {letter}: ", sheet.t(key("Option")));
            Line::plain(what).then(total(sheet, offer)).strong()
        })
        .collect::<Vec<_>>();
    if boxes.is_empty() {
        sheet.say(key("Nothing to sign yet: no option has a total."));
        return;
    }
    sheet.list(Marks::Boxes, 2, boxes);
    sheet.blanks(&[
        (key("Customer, date"), ""),
        (key("Contractor, license no., date"), ""),
    ]);
}

fn for_office(sheet: &mut SheetBuilder, offers: &[Offer], list: &PriceList) {
    sheet.note(key(
        "Not for the customer. Order nothing before the quote is signed and the fan's own sheet is in the fan list. The same lines stand in order-list.csv.",
    ));
    materials(sheet, offers);
    labor(sheet, offers);
    sums(sheet, offers, list);
    let mut left = sheet.apart();
    left.section(key("Where the amounts come from"));
    let from = [
        key("Lumber, nails, foam: cut list and fasteners of the crew sheet, one fastener in ten to spare."),
        key("Vents: the first kind that the vent sheet names, whole pieces."),
        key("Cable: the run as measured and a tenth. Measure both legs before you order."),
    ]
    .into_iter()
    .map(|it| left.line(it))
    .collect();
    left.list(Marks::Dashes, 1, from);
    left.note(
        phrase(key("Prices and hours: “{name}”, version {version}."))
            .with("name", list.name.clone())
            .with("version", list.version.clone()),
    );
    let mut right = left.beside();
    if offers
        .iter()
        .any(|it| it.quote.total.is_none() || !it.bill.apart.is_empty())
    {
        right.section(key("Not settled, or quoted apart"));
        for offer in offers {
            let open = not_settled(&right, offer);
            right.list(Marks::Dashes, 1, open);
        }
        apart(&mut right, offers);
    }
    let columns = vec![(1.0, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
}

/// Columns of the order list: two of words, the rate, then amount and dollars of each offer.
fn order_columns(sheet: &SheetBuilder, heads: [&'static str; 4], offers: usize) -> Vec<Column> {
    let [first, second, rate, count] = heads;
    let column = |head: String, share, numbers| Column {
        head: Line::plain(head),
        share,
        numbers,
    };
    let mut columns = vec![
        column(sheet.t(first).to_owned(), 1.6, false),
        column(sheet.t(second).to_owned(), 2.8, false),
        column(sheet.t(rate).to_owned(), 1.3, true),
    ];
    for letter in &LETTERS[..offers] {
        columns.push(column(format!("{letter}: {}", sheet.t(count)), 0.9, true));
        columns.push(column(format!("{letter}, $"), 1.1, true));
    }
    columns
}

/// A line of the order list in all its offers: the first two words, its rate, then amount and dollars of each.
type Ordered = (String, String, String, Vec<Option<(Decimal, Money)>>);

fn order_rows(lines: Vec<Ordered>) -> Vec<Vec<Line>> {
    let mut last = String::new();
    lines
        .into_iter()
        .map(|(first, second, rate, each)| {
            // A name stands once over the lines that belong to it.
            let head = if first == last { "" } else { first.as_str() };
            let mut row = vec![
                Line::plain(head).strong(),
                Line::plain(second),
                Line::plain(rate),
            ];
            for one in each {
                let (count, amount) = match one {
                    Some((count, amount)) => (count.normalize().to_string(), amount.to_string()),
                    None => ("–".to_owned(), "–".to_owned()),
                };
                row.extend([Line::plain(count), Line::plain(amount)]);
            }
            last = first;
            row
        })
        .collect()
}

fn materials(sheet: &mut SheetBuilder, offers: &[Offer]) {
    sheet.section(key("Materials by supplier"));
    let mut lines: Vec<Ordered> = Vec::new();
    let mut told = BTreeSet::new();
    for it in offers.iter().flat_map(|it| &it.quote.bought) {
        let name = it.item.name();
        if !told.insert(name.clone()) {
            continue;
        }
        let each = offers
            .iter()
            .map(|offer| {
                let same = offer.quote.bought.iter().find(|one| one.item == it.item);
                same.map(|one| (one.count, one.amount))
            })
            .collect();
        let rate = match it.item.unit() {
            Unit::Each => it.each.to_string(),
            unit => format!("{} / {}", it.each, unit.sign()),
        };
        lines.push((it.supplier.clone(), name, rate, each));
    }
    // What the second offer alone takes stands by its supplier.
    let mut suppliers: Vec<String> = Vec::new();
    for (supplier, ..) in &lines {
        if !suppliers.contains(supplier) {
            suppliers.push(supplier.clone());
        }
    }
    lines.sort_by_key(|(supplier, ..)| suppliers.iter().position(|it| it == supplier));
    let columns = order_columns(
        sheet,
        [key("Supplier"), key("Item"), key("rate"), key("count")],
        offers.len(),
    );
    put_table(sheet, columns, order_rows(lines));
}

fn labor(sheet: &mut SheetBuilder, offers: &[Offer]) {
    sheet.section(key("Labor"));
    let mut lines: Vec<Ordered> = Vec::new();
    for it in offers.iter().flat_map(|it| &it.quote.done) {
        if lines.iter().any(|(_, name, ..)| *name == it.task.name()) {
            continue;
        }
        let each = offers
            .iter()
            .map(|offer| {
                let same = offer.quote.done.iter().find(|one| one.task == it.task);
                same.map(|one| (one.hours, one.amount))
            })
            .collect();
        let rate = format!("{} / h", it.hour);
        lines.push((it.trade.clone(), it.task.name(), rate, each));
    }
    lines.sort_by(|a, b| a.0.cmp(&b.0));
    let columns = order_columns(
        sheet,
        [key("Trade"), key("Task"), key("rate"), key("hours")],
        offers.len(),
    );
    put_table(sheet, columns, order_rows(lines));
}

/// The sums, so that the quote can be added up again.
fn sums(sheet: &mut SheetBuilder, offers: &[Offer], list: &PriceList) {
    sheet.section(key("Sums"));
    let mut rows: Vec<Vec<Line>> = Vec::new();
    let mut row = |what: Line, amount: &dyn Fn(&Offer) -> Line| {
        let mut row = vec![what];
        row.extend(offers.iter().map(amount));
        rows.push(row);
    };
    row(sheet.line(key("Materials")), &|it| {
        dollars(it.quote.materials())
    });
    row(tax_words(sheet, list), &|it| dollars(it.quote.tax));
    row(sheet.line(key("Labor")), &|it| {
        let hours = it.quote.hours().normalize();
        Line::plain(format!("{hours} h · {}", it.quote.labor()))
    });
    row(sheet.line(key("Fees")), &|it| {
        dollars(it.quote.fees_in_all())
    });
    row(sheet.line(key("Total, as on the quote")).strong(), &|it| {
        total(sheet, it).strong()
    });
    compared(sheet, offers, rows);
}
