//! A sheet for each who needs one: crew, electrician, whoever does the vents, permit desk, customer.
//!
//! Each is made once, as a [`Document`], and written from it as one HTML file that needs nothing
//! beside it ([`html`]) and as PDF ([`pdf`]), so that both say the same. Every figure on a sheet leads to the entry, at
//! its end, that tells how it comes about: from which measurements, by which rule, out of which document.
//!
//! Where the fan does not fit, or it is not settled whether it does, each sheet says so first, says what is open, and
//! has nothing on it to build from.

mod crew;
mod customer;
pub mod document;
mod electrician;
pub mod html;
mod labels;
mod opening;
pub mod pdf;
mod pen;
mod permit;
mod type_face;
mod vent_work;

use super::Job;
use crate::survey::Ways;
use crate::words::Language;
use document::Document;
use pen::Pen;

/// Every sheet of a job, in the order in which they are handed out.
pub fn sheets(job: &Job, language: Language, ways: Ways) -> Vec<Document> {
    let write: [fn(Pen) -> Document; 5] = [
        crew::write,
        electrician::write,
        vent_work::write,
        permit::write,
        customer::write,
    ];
    write
        .into_iter()
        .map(|write| write(Pen::new(job, language, ways)))
        .collect()
}
