//! Vents to add, by kind and count.
//!
//! # Units
//! Net free areas.
//!
//! # Source
//! The gaps are those of the work that is needed; what one new vent lets through stands at each
//! [`NewVent`]. What is marked on the vent that is bought counts.

use super::Job;
use crate::measure::Area;
use crate::need::Need;
use crate::trade::vent_area::NewVent;

pub use crate::need::VentPlace as Where;

/// One gap, and what would close it; one kind of vent is enough.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// Where.
    pub place: Where,
    /// The net free area missing.
    pub area: Area,
    /// Each kind of vent that would do, and how many of it (or feet).
    pub choices: Vec<(NewVent, u32)>,
}

/// The gaps that are to be closed.
pub fn vents_to_add(job: &Job) -> Vec<Gap> {
    let vents = job.needs().find_map(|need| match need {
        Need::Vents(vents) => Some(*vents),
        _ => None,
    });
    vents
        .iter()
        .flat_map(|it| it.gaps())
        .map(|(place, area)| Gap {
            place,
            area,
            choices: place
                .kinds()
                .iter()
                .map(|kind| (*kind, kind.count_for(area)))
                .collect(),
        })
        .collect()
}
