//! A sheet for each who needs one: crew, electrician, whoever does the vents, permit desk, customer.
//!
//! Each is made once, as a [`Document`], and written from it as one HTML file that needs nothing
//! beside it ([`html`](crate::typeset::html)) and as PDF ([`pdf`](crate::typeset::pdf)), so that both say the same. Every figure on a sheet leads to the entry, at
//! its end, that tells how it comes about: from which measurements, by which rule, out of which document.
//!
//! Where the fan does not fit, or it is not settled whether it does, each sheet says so first, says what is open, and
//! has nothing on it to build from.

mod builder;
mod crew;
mod customer;
mod electrician;
mod labels;
mod opening;
pub mod origin;
mod permit;
mod vent_work;

use super::Job;
use crate::survey::Ways;
use crate::typeset::document::Document;
use crate::words::Language;
use builder::SheetBuilder;
use origin::Origin;

/// A sheet, and where each of its figures comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct JobSheet {
    /// What is printed.
    pub document: Document,
    /// Its figures.
    pub origins: Vec<Origin>,
}

/// Every sheet of a job, in the order in which they are handed out.
pub fn sheets(job: &Job, language: Language, ways: Ways) -> Vec<JobSheet> {
    let write: [fn(SheetBuilder) -> JobSheet; 5] = [
        crew::write,
        electrician::write,
        vent_work::write,
        permit::write,
        customer::write,
    ];
    write
        .into_iter()
        .map(|write| write(SheetBuilder::new(job, language, ways)))
        .collect()
}
