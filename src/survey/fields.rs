//! The catalogue: every answer and every list of a survey, by name.
//!
//! Screens draw their rows from it, the bundle's reader names a bad field by it, the office compares two
//! revisions with it, and the checks on unmeasured answers enumerate it.
//!
//! # Examples
//! ```
//! use joistlight::measure::Tape;
//! use joistlight::survey::{FieldRef, Survey, Ways, When};
//! let mut survey = Survey::begin(uuid::Uuid::nil(), When::now(), Tape::default());
//! let spot = survey.spots[0].id;
//! let roof = FieldRef::spot("attic.roof_height", spot);
//! survey.type_in(roof, "36 1/2", &Ways::default()).unwrap();
//! assert_eq!(survey.answer(roof).unwrap().to_string(), "36 1/2\"");
//! survey.type_in(roof, "", &Ways::default()).unwrap();
//! assert!(survey.answer(roof).is_none());
//! ```

pub use super::ListEntry;
use super::record::Slotted;
use super::*;

macro_rules! sections {
    ($($record:ident $name:ident;)+) => {
        /// The answers of a whole house or spot, section by section, in the order of the walk.
        pub const SECTIONS: &[(Stop, bool, &[Slot])] = &[
            $((<$record as Section>::STOP, <$record as Owned>::OF_SPOT, $record::SLOTS)),+
        ];

        const OF_SECTIONS: &[&[ListEntry]] = &[$(<$record as Slotted>::ALL_LISTS),+];

        impl Survey {
            /// The section called `name`, of one spot where each spot has its own.
            fn section(&self, name: &str, spot: Option<ItemId>) -> Option<&dyn Record> {
                let spot = || spot.and_then(|id| self.spot(id));
                match name {
                    $(stringify!($name) => {
                        let spot = if <$record as Owned>::OF_SPOT { spot() } else { None };
                        Some($record::within(self, spot)?)
                    })+
                    _ => None,
                }
            }

            /// The section called `name`, to write to.
            fn section_mut(&mut self, name: &str, spot: Option<ItemId>) -> Option<&mut dyn Record> {
                match name {
                    $(stringify!($name) => Some($record::within_mut(self, spot)?),)+
                    _ => None,
                }
            }
        }
    };
}

sections! {
    Arrival arrival;
    Hall hall;
    Attic attic;
    Vents vents;
    Power power;
    Flame flame;
    WrapUp wrap_up;
}

/// Every list, in the order of the walk.
pub const LISTS: &[ListEntry] = &{
    let mut all = [ListEntry::PLAIN; number_of_lists()];
    let (mut section, mut next) = (0, 0);
    while section < OF_SECTIONS.len() {
        let mut list = 0;
        while list < OF_SECTIONS[section].len() {
            all[next] = OF_SECTIONS[section][list];
            next += 1;
            list += 1;
        }
        section += 1;
    }
    all
};

const fn number_of_lists() -> usize {
    let (mut section, mut number) = (0, 0);
    while section < OF_SECTIONS.len() {
        number += OF_SECTIONS[section].len();
        section += 1;
    }
    number
}

/// A spot's name, which stands in no section.
pub const SPOT_NAME: Slot = *spot::NAME.slot;

/// The slot named `id`, such as `attic.roof_height` or `obstruction.top`.
pub fn slot(id: &str) -> Option<&'static Slot> {
    if id == SPOT_NAME.id {
        return Some(&SPOT_NAME);
    }
    SECTIONS
        .iter()
        .flat_map(|(_, _, slots)| slots.iter())
        .chain(LISTS.iter().flat_map(|list| list.slots.iter()))
        .find(|slot| slot.id == id)
}

/// The list named `id`.
pub fn list(id: &str) -> Option<&'static ListEntry> {
    LISTS
        .iter()
        .find(|list| list.id == id || list.complete == id)
}

/// The list whose items have the field `field`, such as `obstruction.top`.
pub fn list_of_item_field(field: &str) -> Option<&'static ListEntry> {
    LISTS
        .iter()
        .find(|list| list.slots.iter().any(|slot| slot.id == field))
}

/// The stop where `field` is answered.
pub fn stop_of(field: &str) -> Option<Stop> {
    if field == SPOT_NAME.id {
        return Some(Stop::Hall);
    }
    if let Some(list) = list(field).or_else(|| list_of_item_field(field)) {
        return Some(list.stop);
    }
    SECTIONS
        .iter()
        .find(|(_, _, slots)| slots.iter().any(|slot| slot.id == field))
        .map(|(stop, _, _)| *stop)
}

/// The kind of answer that `field` takes.
pub fn kind_of(field: &str) -> Option<Kind> {
    match slot(field) {
        Some(slot) => Some(slot.kind),
        None => list(field)
            .filter(|list| list.complete == field)
            .map(|_| Kind::Complete),
    }
}

/// The English label of `field`.
pub fn label_of(field: &str) -> &'static str {
    match (slot(field), list(field)) {
        (Some(slot), _) => slot.label,
        (None, Some(list)) => list.label,
        (None, None) => "",
    }
}

/// Why an answer could not be put where it was meant to go.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FieldError {
    /// There is no such field, or no such spot or item.
    #[error("There is no answer “{field}” here any more.")]
    NoSuchField {
        /// The field asked for.
        field: String,
    },
    /// The text is no such answer.
    #[error("{label}: {source}")]
    Answer {
        /// The field's label.
        label: &'static str,
        /// What is wrong.
        source: AnswerError,
    },
}

impl Survey {
    /// The list `list`, of one spot where each spot has its own.
    pub fn list(&self, list: &str, spot: Option<ItemId>) -> Option<&dyn AnyList> {
        let (section, name) = list.split_once('.')?;
        self.section(section, spot)?.list(name)
    }

    /// The list `list`, to write to.
    pub fn list_mut(&mut self, list: &str, spot: Option<ItemId>) -> Option<&mut dyn AnyList> {
        let (section, name) = list.split_once('.')?;
        self.section_mut(section, spot)?.list_mut(name)
    }

    fn record(&self, at: FieldRef) -> Option<&dyn Record> {
        match at.item {
            Some(item) => self
                .list(list_of_item_field(at.field)?.id, at.spot)?
                .item(item),
            None => self.section(at.field.split_once('.')?.0, at.spot),
        }
    }

    fn record_mut(&mut self, at: FieldRef) -> Option<&mut dyn Record> {
        match at.item {
            Some(item) => self
                .list_mut(list_of_item_field(at.field)?.id, at.spot)?
                .item_mut(item),
            None => self.section_mut(at.field.split_once('.')?.0, at.spot),
        }
    }

    /// The answer at `at`; `None` where it is not measured yet.
    ///
    /// For "that is all of them" the answer is *yes* or missing, never *no*.
    pub fn answer(&self, at: FieldRef) -> Option<Value> {
        if at.field == SPOT_NAME.id {
            return self.spot(at.spot?)?.name.clone().map(Value::Text);
        }
        if let Some(list) = list(at.field) {
            let list = self.list(list.id, at.spot)?;
            return list.complete().then_some(Value::YesNo(true));
        }
        self.record(at)?.get(at.field.rsplit_once('.')?.1)
    }

    /// Puts an answer at `at`, or takes it back with `None`.
    ///
    /// # Errors
    /// Where there is no such place, or the value is of another kind.
    pub fn put(&mut self, at: FieldRef, value: Option<Value>) -> Result<(), FieldError> {
        let missing = || FieldError::NoSuchField {
            field: at.field.to_owned(),
        };
        let other_kind = FieldError::Answer {
            label: label_of(at.field),
            source: AnswerError::OtherKind,
        };
        if at.field == SPOT_NAME.id {
            let spot = at
                .spot
                .and_then(|id| self.spot_mut(id))
                .ok_or_else(missing)?;
            spot.name = match value {
                None => None,
                Some(Value::Text(name)) => Some(name),
                Some(_) => return Err(other_kind),
            };
            return Ok(());
        }
        if let Some(entry) = list(at.field) {
            let list = self.list_mut(entry.id, at.spot).ok_or_else(missing)?;
            list.set_complete(match value {
                None => false,
                Some(Value::YesNo(complete)) => complete,
                Some(_) => return Err(other_kind),
            });
            return Ok(());
        }
        let name = at.field.rsplit_once('.').ok_or_else(missing)?.1;
        let record = self.record_mut(at).ok_or_else(missing)?;
        if !record.slots().iter().any(|slot| slot.name == name) {
            return Err(missing());
        }
        if record.set(name, value) {
            Ok(())
        } else {
            Err(other_kind)
        }
    }

    /// Reads a typed text as the answer at `at` and puts it there; blanks take the answer back.
    ///
    /// # Errors
    /// A sentence that names the field and says what is wrong with the text; nothing changes then.
    pub fn type_in(&mut self, at: FieldRef, text: &str, ways: &Ways) -> Result<(), FieldError> {
        let kind = kind_of(at.field).ok_or_else(|| FieldError::NoSuchField {
            field: at.field.to_owned(),
        })?;
        let value = kind
            .parse(text, ways)
            .map_err(|source| FieldError::Answer {
                label: label_of(at.field),
                source,
            })?;
        let doubt = value
            .as_ref()
            .and_then(|value| super::range::of(at.field)?.doubt(value))
            .filter(super::range::Doubt::is_impossible);
        if let Some(doubt) = doubt {
            return Err(FieldError::Answer {
                label: label_of(at.field),
                source: doubt.into(),
            });
        }
        self.put(at, value)
    }

    /// Every place in this survey that takes an answer, in the order of the walk.
    pub fn places(&self) -> Vec<FieldRef> {
        let mut places = Vec::new();
        let spots: Vec<Option<ItemId>> = self.spots.iter().map(|s| Some(s.id)).collect();
        for spot in &spots {
            places.push(FieldRef {
                field: SPOT_NAME.id,
                spot: *spot,
                item: None,
            });
        }
        for (_, of_spot, slots) in SECTIONS {
            let owners: &[Option<ItemId>] = if *of_spot { &spots } else { &[None] };
            for owner in owners {
                places.extend(slots.iter().map(|slot| FieldRef {
                    field: slot.id,
                    spot: *owner,
                    item: None,
                }));
            }
        }
        for entry in LISTS {
            let owners: &[Option<ItemId>] = if entry.of_spot { &spots } else { &[None] };
            for owner in owners {
                let Some(list) = self.list(entry.id, *owner) else {
                    continue;
                };
                places.push(FieldRef {
                    field: entry.complete,
                    spot: *owner,
                    item: None,
                });
                for item in list.ids() {
                    places.extend(entry.slots.iter().map(|slot| FieldRef {
                        field: slot.id,
                        spot: *owner,
                        item: Some(item),
                    }));
                }
            }
        }
        places
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Survey {
        let mut survey = Survey::begin(
            Uuid::nil(),
            "2026-05-03T18:20:00-07:00".parse().unwrap(),
            Tape::default(),
        );
        for list in LISTS {
            let spot = list.of_spot.then(|| survey.spots[0].id);
            let id = survey.fresh_id();
            survey.list_mut(list.id, spot).unwrap().add(id);
        }
        survey
    }

    /// A text that each kind accepts.
    fn typed(kind: Kind) -> &'static str {
        match kind {
            Kind::Length | Kind::Offset => "36 1/2",
            Kind::Area => "120 ft2",
            Kind::BoxVolume => "18 in3",
            Kind::Voltage => "118.5",
            Kind::Current => "15",
            Kind::Temperature => "110",
            Kind::Humidity | Kind::Share => "25",
            Kind::Pitch => "5:12",
            Kind::HeatRate => "40000",
            Kind::Altitude => "5280",
            Kind::Airflow => "150",
            Kind::Pressure => "-1.5",
            Kind::Count { .. } => "1700",
            Kind::Choice(words) => words[0].code,
            Kind::YesNo | Kind::Complete => "yes",
            Kind::Text => "some words",
            Kind::When => "2026-05-03T18:20:00-07:00",
        }
    }

    #[test]
    fn every_place_takes_shows_keeps_and_gives_back_an_answer() {
        let mut survey = sample();
        let ways = Ways::default();
        for place in survey.places() {
            let kind = kind_of(place.field).unwrap();
            let text = match kind {
                Kind::Count { most, .. } if most < 1700 => "7",
                Kind::Length
                    if range::of(place.field).is_some_and(|it| it.possible.most < 36.5) =>
                {
                    "1 1/2"
                }
                kind => typed(kind),
            };
            survey
                .type_in(place, text, &ways)
                .unwrap_or_else(|e| panic!("{}: {e}", place.field));
            let answer = survey
                .answer(place)
                .unwrap_or_else(|| panic!("{}", place.field));
            let shown = answer.show(&ways);
            assert_eq!(
                kind.parse(&shown, &ways).unwrap(),
                Some(answer),
                "{}",
                place.field
            );
            assert!(stop_of(place.field).is_some(), "{}", place.field);
            assert!(!label_of(place.field).is_empty(), "{}", place.field);
        }
        let json = serde_json::to_string(&survey).unwrap();
        let back: Survey = serde_json::from_str(&json).unwrap();
        assert_eq!(back, survey);
        for place in survey.places() {
            survey.put(place, None).unwrap();
            assert_eq!(survey.answer(place), None, "{}", place.field);
        }
        assert_eq!(survey, sample());
    }

    #[test]
    fn a_copied_spot_has_the_same_answers_and_its_own_ids() {
        let mut survey = sample();
        let first = survey.spots[0].id;
        let copy = survey.copy_spot(first).unwrap();
        let mut ids: Vec<ItemId> = survey.places().iter().filter_map(|p| p.item).collect();
        ids.sort();
        ids.dedup();
        assert_eq!(
            ids.len(),
            LISTS.len() + LISTS.iter().filter(|l| l.of_spot).count()
        );
        assert_eq!(survey.spot(copy).unwrap().attic.obstructions.items.len(), 1);
    }

    #[test]
    fn names_are_unique() {
        let mut ids: Vec<&str> = sample().places().iter().map(|p| p.field).collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all);
    }

    #[test]
    fn an_answer_of_another_kind_is_refused_and_changes_nothing() {
        let mut survey = sample();
        let before = survey.clone();
        let at = FieldRef::spot("attic.roof_height", survey.spots[0].id);
        assert!(survey.put(at, Some(Value::YesNo(true))).is_err());
        assert!(survey.type_in(at, "wide", &Ways::default()).is_err());
        assert!(
            survey
                .type_in(FieldRef::house("attic.roof_height"), "36", &Ways::default())
                .is_err()
        );
        assert_eq!(survey, before);
    }
}
