//! What the rules about air ask for: the answers behind the parts of [`air`](crate::house::air).

use super::finding::{Finding, Say};
use super::{Asking, WithFan};
use crate::house::Framing;
use crate::house::air::{COLD_EVENING, Rooms, VentNeed, VentsFound};
use crate::measure::quantity::Density;
use crate::survey::{InsulationKind, Survey};

impl Asking {
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
    pub(super) fn density(&mut self, survey: &Survey) {
        self.ask("arrival.altitude", survey.arrival.altitude);
    }

    /// Notes the density of the air that was judged in.
    pub(super) fn density_figures(&mut self, density: Density) {
        self.figure("density of the air", density);
        self.figure("temperature of the air judged at", COLD_EVENING);
    }

    /// Notes the answers about rooms and windows.
    pub(super) fn inlets(&mut self, with: &WithFan) {
        let survey = with.at.house.survey;
        self.ask_list("hall.rooms.complete", &with.at.spot.hall.rooms);
        self.ask_list("flame.windows.complete", &survey.flame.windows);
        if survey.flame.window_screens.is_some() {
            self.note_given("flame.window_screens");
        }
        if survey.flame.openable_window_area.is_some() {
            self.note_given("flame.openable_window_area");
        }
        self.lack(&with.at.inlets.holes);
    }

    /// Notes the answers about other exhausts.
    pub(super) fn exhausts(&mut self, with: &WithFan) {
        let house = with.at.house;
        self.ask_list("flame.exhausts.complete", &house.survey.flame.exhausts);
        self.lack(&house.air.exhausts.holes);
    }

    /// Notes the list of vents and the holes that net free area hangs on.
    pub(super) fn vent_areas(&mut self, survey: &Survey, vents: &VentsFound) {
        self.ask_list("vents.vents.complete", &survey.vents.vents);
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
            (_, Some(true)) => self.note_given("attic.eaves_open"),
            (Some(InsulationKind::None), _) => self.note_given("attic.insulation"),
            _ => {
                self.ask("attic.insulation", attic.insulation);
                self.ask("attic.eaves_open", attic.eaves_open);
            }
        }
    }

    /// Notes the list of storeys and the holes in it.
    pub(super) fn rooms(&mut self, survey: &Survey, rooms: &Rooms) {
        self.ask_list("arrival.storeys.complete", &survey.arrival.storeys);
        self.lack(&rooms.holes);
    }

    /// Notes the answers that the vents' need hangs on, the fan's own aside.
    pub(super) fn vents_need(&mut self, with: &WithFan, need: &VentNeed) {
        let survey = with.at.house.survey;
        let attic = &with.at.spot.attic;
        self.ask("attic.attic_floor_area", attic.attic_floor_area);
        self.ask("attic.roof_slope", attic.roof_slope);
        self.vent_areas(survey, &with.at.house.air.vents);
        if need.code_may_govern {
            self.ask("arrival.climate_zone", survey.arrival.climate_zone);
            if need.retarder_matters {
                self.ask("arrival.vapour_retarder", survey.arrival.vapour_retarder);
            }
            self.lack(&with.at.house.air.vents.place_holes);
        }
    }
}
