//! Vents to add, by kind and count.
//!
//! # Units
//! Net free areas.
//!
//! # Source
//! The gap is that of the rule on exhaust vents; what one new vent lets through stands at each
//! [`NewVent`]. What is marked on the vent that is bought counts.

use super::Job;
use crate::measure::Area;
use crate::trade::vent_area::{
    NEW_BOX, NEW_RIDGE, NEW_STRIP, NEW_TURBINE, NEW_UNDER_EAVE, NewVent,
};

/// Where vents are to be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Where {
    /// Within 3 ft of the top of the roof.
    Upper,
    /// At the eaves.
    Lower,
    /// Anywhere in the attic.
    Anywhere,
}

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

/// The gaps of the rule on exhaust vents.
pub fn vents_to_add(job: &Job) -> Vec<Gap> {
    let gap = |name| {
        let ft2 = job.figure("exhaust-vents", name, "ft²").unwrap_or(0.0);
        Area::from_ft2(ft2)
    };
    let (all, upper, lower) = (
        gap("vent area to add"),
        gap("vent area to add, upper"),
        gap("vent area to add, lower"),
    );
    let high: &[NewVent] = &[NEW_BOX, NEW_RIDGE, NEW_TURBINE];
    let low: &[NewVent] = &[NEW_UNDER_EAVE, NEW_STRIP];
    let anywhere = [high, low].concat();
    [
        (Where::Upper, upper, high),
        (Where::Lower, lower, low),
        (Where::Anywhere, all - upper - lower, &anywhere[..]),
    ]
    .into_iter()
    .filter(|(_, area, _)| area.ft2() > 1e-9)
    .map(|(place, area, kinds)| Gap {
        place,
        area,
        choices: kinds
            .iter()
            .map(|kind| (*kind, kind.count_for(area)))
            .collect(),
    })
    .collect()
}
