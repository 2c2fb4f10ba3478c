//! Which pictures this house needs: what the office and the crew must see without another visit, as far as the
//! survey's answers call for it. Common practice, no source.
//!
//! A picture is taken once it is tied to what it shows: to the spot, and to the entry where each entry needs its
//! own. Nothing here bears on a verdict.

use crate::survey::{
    Fireplace, FramingKind, Grade, InsulationKind, ItemId, Species, Spot, Stop, Subject, Survey,
};
use serde::Serialize;

/// A picture that this house needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct NeededPicture {
    /// What it shows.
    pub what: Subject,
    /// What the thing is called, where it is an entry whose kind was said; English, a key for translations.
    pub of: Option<&'static str>,
    /// Why it is needed, in an English sentence; also a key for translations.
    pub why: &'static str,
    /// Where it is taken.
    pub stop: Stop,
    /// The spot it is tied to, where it belongs to one.
    pub spot: Option<ItemId>,
    /// The entry it is tied to, where each entry needs its own.
    pub item: Option<ItemId>,
    /// Whether it is there.
    pub taken: bool,
}

/// The pictures that this house needs, in the order of the walk.
///
/// # Examples
/// ```
/// use joistlight::measure::Tape;
/// use joistlight::rules::pictures::needed;
/// use joistlight::survey::{Subject, Survey, When};
/// let survey = Survey::begin(uuid::Uuid::nil(), When::now(), Tape::default());
/// let list = needed(&survey);
/// assert!(list.iter().any(|picture| picture.what == Subject::RoofOverSpot && !picture.taken));
/// ```
pub fn needed(survey: &Survey) -> Vec<NeededPicture> {
    let mut list = List {
        survey,
        pictures: Vec::new(),
    };
    list.house(
        Subject::House,
        Stop::Arrival,
        "Shows roof, eaves and vents to whoever plans from the desk.",
    );
    for spot in &survey.spots {
        list.of_spot(spot);
    }
    if attic_has_hatch(survey) {
        list.house(
            Subject::Hatch,
            Stop::Attic,
            "Shows what has to be carried through, and how.",
        );
    }
    for vent in &survey.vents.vents.items {
        list.entry(
            Subject::Vent,
            Stop::Vents,
            "Shows its size, its covering and what blocks it.",
            None,
            vent.id,
            vent.kind.map(|kind| kind.label()),
        );
    }
    list.house(
        Subject::Panel,
        Stop::PowerAndFlame,
        "Shows free spaces and breakers, with the cover on.",
    );
    for appliance in &survey.flame.appliances.items {
        list.entry(
            Subject::Appliance,
            Stop::PowerAndFlame,
            "Shows its plate, its vent and where its air comes from.",
            None,
            appliance.id,
            appliance.kind.map(|kind| kind.label()),
        );
    }
    if survey
        .flame
        .fireplace
        .is_some_and(|fireplace| fireplace != Fireplace::None)
    {
        list.house(
            Subject::Fireplace,
            Stop::PowerAndFlame,
            "Shows whether its damper shuts.",
        );
    }
    let arrival = &survey.arrival;
    let hazards = [
        arrival.pebble_insulation,
        arrival.knob_and_tube,
        arrival.damaged_wiring,
        arrival.wet_or_rotten_wood,
        arrival.mould,
        arrival.animals,
    ];
    if hazards.contains(&Some(true)) {
        list.house(
            Subject::Hazard,
            Stop::Attic,
            "Shows the hazard to whoever has to make it safe; taken from where it is safe to stand.",
        );
    }
    list.pictures
}

/// A permanent stair needs no picture of a hatch.
fn attic_has_hatch(survey: &Survey) -> bool {
    survey
        .spots
        .iter()
        .any(|spot| spot.attic.permanent_stair != Some(true))
}

struct List<'a> {
    survey: &'a Survey,
    pictures: Vec<NeededPicture>,
}

impl List<'_> {
    fn of_spot(&mut self, spot: &Spot) {
        self.spot(
            Subject::HallCeiling,
            Stop::Hall,
            "Shows the ceiling that is cut, and what sits in it.",
            spot,
        );
        self.spot(
            Subject::SwitchBox,
            Stop::Hall,
            "Shows where the switch goes and how full its box is.",
            spot,
        );
        self.spot(
            Subject::SpotFromAbove,
            Stop::Attic,
            "Shows the mark and everything round it.",
            spot,
        );
        self.spot(
            Subject::RoofOverSpot,
            Stop::Attic,
            "Shows how the roof falls over the spot.",
            spot,
        );
        self.spot(
            Subject::Joists,
            Stop::Attic,
            "Shows size, spacing and run, with the tape in sight.",
            spot,
        );
        let attic = &spot.attic;
        let sawn = matches!(attic.framing, Some(FramingKind::SawnJoists) | None);
        let stamp =
            attic.grade != Some(Grade::Unreadable) && attic.species != Some(Species::Unreadable);
        if sawn && stamp {
            self.spot(
                Subject::GradeStamp,
                Stop::Attic,
                "Shows species and grade, from which the joists' strength follows.",
                spot,
            );
        }
        if attic.insulation != Some(InsulationKind::None) {
            self.spot(
                Subject::Insulation,
                Stop::Attic,
                "Shows its kind and how deep it lies.",
                spot,
            );
        }
        for thing in &attic.obstructions.items {
            self.entry(
                Subject::Obstruction,
                Stop::Attic,
                "Shows what has to be moved, or to be kept clear of.",
                Some(spot.id),
                thing.id,
                thing.kind.map(|kind| kind.label()),
            );
        }
    }

    fn house(&mut self, what: Subject, stop: Stop, why: &'static str) {
        self.add(what, stop, why, None, None, None);
    }

    fn spot(&mut self, what: Subject, stop: Stop, why: &'static str, spot: &Spot) {
        self.add(what, stop, why, Some(spot.id), None, None);
    }

    fn entry(
        &mut self,
        what: Subject,
        stop: Stop,
        why: &'static str,
        spot: Option<ItemId>,
        item: ItemId,
        of: Option<&'static str>,
    ) {
        self.add(what, stop, why, spot, Some(item), of);
    }

    fn add(
        &mut self,
        what: Subject,
        stop: Stop,
        why: &'static str,
        spot: Option<ItemId>,
        item: Option<ItemId>,
        of: Option<&'static str>,
    ) {
        let taken = self.survey.photos.iter().any(|photo| {
            photo.subject == what
                && (spot.is_none() || photo.spot == spot)
                && (item.is_none() || photo.item == item)
        });
        self.pictures.push(NeededPicture {
            what,
            of,
            why,
            stop,
            spot,
            item,
            taken,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Tape;
    use crate::survey::{FieldRef, Photo, Ways, arrival, attic, flame};

    fn empty() -> Survey {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth)
    }

    fn photo(what: Subject, spot: Option<ItemId>, item: Option<ItemId>) -> Photo {
        Photo {
            id: ItemId(900),
            subject: what,
            spot,
            item,
            remark: None,
            sha256: "0".repeat(64),
            width: 4,
            height: 3,
            taken_at: None,
            strokes: Vec::new(),
        }
    }

    fn of(survey: &Survey, what: Subject) -> Vec<NeededPicture> {
        needed(survey)
            .into_iter()
            .filter(|it| it.what == what)
            .collect()
    }

    #[test]
    fn the_answers_decide_what_is_needed() {
        let mut survey = empty();
        let spot = survey.spots[0].id;
        let ways = Ways::default();
        let set = |survey: &mut Survey, field, text| {
            let at = match field {
                "flame.fireplace" | "arrival.mould" => FieldRef::house(field),
                _ => FieldRef::spot(field, spot),
            };
            survey.type_in(at, text, &ways).unwrap();
        };
        for (what, field, wanted, unwanted) in [
            (Subject::Fireplace, flame::FIREPLACE.id, "no damper", "none"),
            (Subject::Hazard, arrival::MOULD.id, "yes", "no"),
            (Subject::GradeStamp, attic::GRADE.id, "No. 2", "no stamp"),
            (Subject::Insulation, attic::INSULATION.id, "batts", "none"),
            (Subject::Hatch, attic::PERMANENT_STAIR.id, "no", "yes"),
        ] {
            set(&mut survey, field, wanted);
            assert_eq!(of(&survey, what).len(), 1, "{field}");
            set(&mut survey, field, unwanted);
            assert_eq!(of(&survey, what).len(), 0, "{field}");
        }
    }

    #[test]
    fn a_picture_counts_for_what_it_is_tied_to_and_for_nothing_else() {
        let mut survey = empty();
        let first = survey.spots[0].id;
        let second = survey.add_spot();
        let id = survey.fresh_id();
        survey
            .list_mut(attic::OBSTRUCTIONS.id, Some(first))
            .unwrap()
            .add(id);
        let other = survey.fresh_id();
        survey
            .list_mut(attic::OBSTRUCTIONS.id, Some(first))
            .unwrap()
            .add(other);
        assert!(needed(&survey).iter().all(|it| !it.taken));
        survey
            .photos
            .push(photo(Subject::RoofOverSpot, Some(second), None));
        survey
            .photos
            .push(photo(Subject::Obstruction, Some(first), Some(other)));
        let taken: Vec<_> = needed(&survey).into_iter().filter(|it| it.taken).collect();
        let told: Vec<_> = taken.iter().map(|it| (it.what, it.spot, it.item)).collect();
        assert_eq!(
            told,
            [
                (Subject::Obstruction, Some(first), Some(other)),
                (Subject::RoofOverSpot, Some(second), None)
            ]
        );
    }
}
