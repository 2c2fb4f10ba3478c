//! A sheet for each who needs one: crew, electrician, whoever does the vents, permit desk, customer.
//!
//! Each is made once, as a [`Document`], and written from it as one HTML file that needs nothing
//! beside it ([`html`](crate::typeset::html)) and as PDF ([`pdf`](crate::typeset::pdf)), so that both say the same. Every figure on a sheet leads to its entry in
//! the appendix, which tells how it comes about: from which measurements, by which rule, out of which document.
//!
//! Where the fan does not fit, or it is not settled whether it does, each sheet says so first, says what is open, and
//! has nothing on it to build from.
//!
//! Where the office has a price list, [`mod@quote`] adds the customer's quote and the office's order list.

mod builder;
mod crew;

mod electrician;
mod household;
mod labels;
mod opening;
pub mod origin;
mod permit;
pub mod quote;
mod vent_work;

use super::Job;
use crate::survey::Ways;
use crate::typeset::document::Document;
use crate::typeset::pdf::{Paper, pages};
use crate::words::Language;
use builder::{SheetBuilder, key};
use origin::Origin;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What belongs to one printing of the sheets.
#[derive(Debug, Clone, Default)]
pub struct Edition {
    /// The number of the job pack's issue; none where nothing is issued.
    pub issue: Option<u32>,
    /// When it is printed, as the sheets say it.
    pub printed: Option<String>,
    /// The office's corrections, each in one line: what, who, when, why.
    pub corrections: Vec<String>,
    /// Small copies of the survey's photos, by the SHA-256 of each photo.
    pub photos: BTreeMap<String, Arc<Vec<u8>>>,
}

/// The sheets of a job.
#[derive(Debug, Clone)]
pub struct Sheets {
    /// What is printed: a sheet for each who needs one, in the order in which they are handed out, and the appendix.
    pub documents: Vec<Document>,
    /// Every figure on them, each once: the appendix lists these.
    pub origins: Vec<Origin>,
}

/// So many pages the crew's sheet has at most, where that can be.
const CREW_PAGES: usize = 2;

/// Every sheet of a job.
pub fn sheets(job: &Job, language: Language, ways: Ways, edition: &Edition) -> Sheets {
    let begin = || SheetBuilder::new(job, language, ways, edition);
    let (mut document, mut builder) = crew::write(begin(), 0);
    // Drawings give way where a house needs more words.
    for tight in 1..=4 {
        if job.plan.is_none() || pages(&document, Paper::Letter) <= CREW_PAGES {
            break;
        }
        (document, builder) = crew::write(begin(), tight);
    }
    let mut documents = vec![document];
    for write in [
        electrician::write,
        vent_work::write,
        permit::write,
        household::write,
    ] {
        let document;
        (document, builder) = write(builder);
        documents.push(document);
    }
    let origins = builder.origins();
    builder.list_origins(&origins);
    builder.corrections();
    let (document, _) = builder.finish("appendix", "A", key("Where the figures come from"));
    documents.push(document);
    Sheets { documents, origins }
}
