//! What the rules about air ask for: the answers behind the parts of [`air`](crate::house::air).

use super::finding::{Finding, Say};
use super::{RuleContext, WithFan};
use crate::house::Framing;
use crate::house::air::{COLD_EVENING, Rooms, VentNeed, VentsFound};
use crate::measure::quantity::Density;
use crate::survey::{InsulationKind, arrival, attic, flame, hall, vents};

impl RuleContext<'_> {
    /// The rule cannot answer: something is missing, or, where nothing is, these answers clash.
    pub(super) fn open(self, clash: Option<Say>) -> Finding {
        match clash {
            Some(clash) if !self.lacks() => self.contradiction(clash),
            _ => self.not_measured(),
        }
    }

    /// Notes the answers about the joists in the opening.
    pub(super) fn joists_in_the_opening(&mut self, with: &WithFan) {
        if with.framing == Framing::Whole {
            self.adopt(&with.at.scene.joists.asked);
            self.adopt(&with.at.scene.thickness.asked);
        }
    }

    /// Notes the answer that the density of the air hangs on.
    pub(super) fn density(&mut self) {
        self.get(arrival::ALTITUDE);
    }

    /// Notes the density of the air that was judged in.
    pub(super) fn density_figures(&mut self, density: Density) {
        self.figure("density of the air", density);
        self.figure("temperature of the air judged at", COLD_EVENING);
    }

    /// Notes the answers about rooms and windows.
    pub(super) fn inlets(&mut self, with: &WithFan) {
        let survey = with.at.house.survey;
        self.complete(hall::ROOMS);
        self.complete(flame::WINDOWS);
        if survey.flame.window_screens.is_some() {
            self.note_given(flame::WINDOW_SCREENS);
        }
        if survey.flame.openable_window_area.is_some() {
            self.note_given(flame::OPENABLE_WINDOW_AREA);
        }
        self.lack(&with.at.inlets.holes);
    }

    /// Notes the answers about other exhausts.
    pub(super) fn exhausts(&mut self, with: &WithFan) {
        let house = with.at.house;
        self.complete(flame::EXHAUSTS);
        self.lack(&house.air.exhausts.holes);
    }

    /// Notes the list of vents and the holes that net free area hangs on.
    pub(super) fn vent_areas(&mut self, vents: &VentsFound) {
        self.complete(vents::VENTS);
        self.lack(&vents.area_holes);
    }

    /// Notes the answers about the eaves, where vents there hang on them.
    pub(super) fn eaves(&mut self, with: &WithFan) {
        let (attic, vents) = (&with.at.spot.attic, &with.at.house.air.vents);
        if !vents.at_eaves() {
            return;
        }
        match (attic.insulation, attic.eaves_open) {
            // Either of them is enough.
            (_, Some(true)) => self.note_given(attic::EAVES_OPEN),
            (Some(InsulationKind::None), _) => self.note_given(attic::INSULATION),
            _ => {
                self.get(attic::INSULATION);
                self.get(attic::EAVES_OPEN);
            }
        }
    }

    /// Notes the list of storeys and the holes in it.
    pub(super) fn rooms(&mut self, rooms: &Rooms) {
        self.complete(arrival::STOREYS);
        self.lack(&rooms.holes);
    }

    /// Notes the answers that the vents' need hangs on, the fan's own aside.
    pub(super) fn vents_need(&mut self, with: &WithFan, need: &VentNeed) {
        self.get(attic::ATTIC_FLOOR_AREA);
        self.get(attic::ROOF_SLOPE);
        self.vent_areas(&with.at.house.air.vents);
        if need.code_may_govern {
            self.get(arrival::CLIMATE_ZONE);
            if need.retarder_matters {
                self.get(arrival::VAPOUR_RETARDER);
            }
            self.lack(&with.at.house.air.vents.place_holes);
        }
    }
}
