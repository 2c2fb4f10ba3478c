//! For tests of rules: a survey in which everything is well, to be changed answer by answer.

use super::{AtSpot, Finding, Framing, House, WithFan};
use crate::house::air::HouseAir;
use crate::house::inlets::Inlets;
use crate::house::scene::Scene;
use crate::measure::Tape;
use crate::survey::{FieldRef, ItemId, Survey, Ways, attic, fields, hall};
use crate::trade::codes::Codes;
use crate::trade::fan::{Fan, FanList, generic};

pub(super) struct Trial {
    pub survey: Survey,
    pub fans: FanList,
}

impl Trial {
    /// A hall of 20 ft × 5 ft with the mark at its middle, joists 2×6 across it every 24 in with one over the
    /// mark and bearings 8 ft apart, a
    /// level roof at 60 in, nothing in the way, a hatch of 36 × 34 in.
    pub fn well() -> Trial {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let survey = Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth);
        let mut trial = Trial {
            survey,
            fans: generic().clone(),
        };
        for (field, text) in [
            (hall::LENGTH.id, "240"),
            (hall::WIDTH.id, "60"),
            (hall::MARK_FROM_START.id, "120"),
            (hall::MARK_FROM_LEFT.id, "30"),
            (hall::FIXTURES.complete, "yes"),
            (attic::FRAMING.id, "sawn joists"),
            (attic::NOMINAL_SIZE.id, "2x6"),
            (attic::JOIST_RUN.id, "across the hall"),
            (attic::JOISTS_EVEN.id, "yes"),
            (attic::JOIST_SPACING.id, "24"),
            (attic::NEAREST_JOIST.id, "0"),
            (attic::BEARING_SPAN.id, "96"),
            (attic::MARK_FROM_BEARING.id, "48"),
            (attic::CLEAR_LENGTH.id, "80"),
            (attic::CLEAR_WIDTH.id, "80"),
            (attic::CLEAR_HEIGHT.id, "60"),
            (attic::ROOF_HEIGHT.id, "60"),
            (attic::ROOF_FALL.id, "level"),
            (attic::OBSTRUCTIONS.complete, "yes"),
            (attic::HATCH_LENGTH.id, "36"),
            (attic::HATCH_WIDTH.id, "34"),
            (attic::HATCH_HEADROOM.id, "40"),
        ] {
            trial.set(field, text);
        }
        trial
    }

    fn spot(&self) -> ItemId {
        self.survey.spots[0].id
    }

    /// Answers a field of the spot; blanks take the answer back.
    pub fn set(&mut self, field: &'static str, text: &str) {
        let at = FieldRef::spot(field, self.spot());
        self.survey.type_in(at, text, &Ways::default()).unwrap();
    }

    /// Adds an item to a list of the spot.
    pub fn add(&mut self, list: &str, answers: &[(&'static str, &str)]) -> ItemId {
        let (id, spot) = (self.survey.fresh_id(), self.spot());
        assert!(fields::list(list).unwrap().of_spot);
        self.survey.list_mut(list, Some(spot)).unwrap().add(id);
        for (field, text) in answers {
            self.set_item(id, field, text);
        }
        id
    }

    /// Answers a field of an item of the spot.
    pub fn set_item(&mut self, id: ItemId, field: &'static str, text: &str) {
        let at = FieldRef::spot(field, self.spot()).item(id);
        self.survey.type_in(at, text, &Ways::default()).unwrap();
    }

    /// A fan of the list, to change.
    pub fn fan(&mut self, id: &str) -> &mut Fan {
        self.fans.fans.iter_mut().find(|fan| fan.id == id).unwrap()
    }

    /// What a rule says of a fan and a way of framing.
    pub fn choice(&self, rule: fn(WithFan) -> Finding, fan: &str, framing: Framing) -> Finding {
        let codes = Codes::default();
        let spot = &self.survey.spots[0];
        let scene = Scene::of(spot, &self.fans, self.survey.tape);
        let fan = self.fans.fans.iter().find(|it| it.id == fan).unwrap();
        let place = scene.place(fan, framing);
        rule(WithFan {
            at: AtSpot {
                house: House {
                    survey: &self.survey,
                    codes: &codes,
                    air: &HouseAir::of(&self.survey, &codes),
                },
                spot,
                scene: &scene,
                inlets: &Inlets::of(&self.survey, spot),
            },
            fan,
            framing,
            place: &place,
        })
    }
}

/// The names of the answers that a finding misses.
pub(super) fn missing(finding: &Finding) -> Vec<&'static str> {
    finding.missing.iter().map(|at| at.field).collect()
}
