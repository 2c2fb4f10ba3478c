//! A thing in the way, entered in seconds; see [`crate::app::quick`].

use super::*;
use crate::app::quick::{Part, side_of};
use crate::survey::Obstruction;

impl Session {
    /// The thing in the way that is entered quickly now.
    pub fn quick(&self) -> Option<Quick> {
        let View::Place(Place::Item { list, item }) = self.view() else {
            return None;
        };
        if self.full_form || list.id != "attic.obstructions" {
            return None;
        }
        let tapped = self
            .side
            .filter(|(of, _)| *of == item)
            .map(|(_, side)| side);
        let side = tapped.or_else(|| side_of(self.thing(item)?));
        Some(Quick { item, side })
    }

    fn thing(&self, item: ItemId) -> Option<&Obstruction> {
        let open = self.open.as_ref()?;
        let things = &open.survey().spot(open.spot)?.attic.obstructions.items;
        things.iter().find(|it| it.id == item)
    }

    /// What the part of the quick entry is called that `at` stands for.
    pub fn part_label(&self, at: FieldRef) -> Option<&'static str> {
        let side = self.quick()?.side;
        self.quick_part(at).map(|part| part.label(side))
    }

    /// The part of the quick entry that `at` stands for.
    pub fn quick_part(&self, at: FieldRef) -> Option<Part> {
        let quick = self.quick().filter(|quick| Some(quick.item) == at.item)?;
        Part::of_field(at.field, self.thing(quick.item)?.shape, quick.side)
    }

    /// What the present answer of a part's field is, as it is read off the tape: the side says which way.
    pub(super) fn without_side(&self, at: FieldRef, value: Value) -> Value {
        match (self.quick_part(at), value) {
            (Some(Part::Far | Part::Reach), Value::Length(reading))
                if reading.length().is_negative() =>
            {
                Value::Length(crate::measure::Reading::new(
                    -reading.length(),
                    reading.system(),
                ))
            }
            (_, value) => value,
        }
    }

    /// The answers that a measured part stands for, on a copy of the survey or in it.
    ///
    /// `None` where `at` is no part of a quick entry, or nothing was typed.
    pub(super) fn part_writes(
        &self,
        at: FieldRef,
        text: &str,
        ways: &Ways,
    ) -> Option<Result<Vec<(FieldRef, Value)>, fields::FieldError>> {
        let part = self.quick_part(at)?;
        let quick = self.quick()?;
        let thing = self.thing(quick.item)?;
        let kind = match part {
            Part::Under | Part::Top | Part::Aside => Kind::Offset,
            _ => Kind::Length,
        };
        let value = match kind.parse(text, ways) {
            Ok(value) => value?,
            Err(source) => {
                let label = part.label(quick.side);
                return Some(Err(fields::FieldError::Answer { label, source }));
            }
        };
        let Value::Length(reading) = value else {
            return None;
        };
        let side = match (part, quick.side) {
            (_, Some(side)) => side,
            // Which way it lies does not bear on how thick and how high it is.
            (Part::Thick | Part::Under | Part::Top, None) => Side::Ahead,
            (Part::Far | Part::Aside | Part::Reach, None) => return None,
        };
        let writes = part.writes(thing, side, reading);
        Some(Ok(writes
            .into_iter()
            .map(|(field, reading)| (FieldRef { field, ..at }, Value::Length(reading)))
            .collect()))
    }

    /// The side on which the thing lies was tapped; its distance is asked next.
    pub fn pick_side(&mut self, option: Option<usize>) {
        let Some(quick) = self.quick() else { return };
        let Some(side) = option.and_then(|n| Side::ALL.get(n)).copied() else {
            self.side = None;
            return;
        };
        // A distance that was measured already turns to the other side with it.
        let far = self.thing(quick.item).and_then(|thing| {
            let was = quick.side?;
            let spot = self.open.as_ref()?.spot;
            let at = FieldRef::spot(Part::Far.field(thing.shape, Some(was)), spot).item(quick.item);
            match self.without_side(at, self.answer(at)?) {
                Value::Length(reading) => Some((thing.clone(), reading)),
                _ => None,
            }
        });
        self.side = Some((quick.item, side));
        match far {
            Some((thing, reading)) => {
                let writes = Part::Far.writes(&thing, side, reading);
                self.change(|survey, spot| {
                    for (field, reading) in writes {
                        let at = FieldRef::spot(field, spot).item(quick.item);
                        survey.put(at, Some(Value::Length(reading))).ok()?;
                    }
                    Some(())
                });
            }
            None => {
                let shape = self.thing(quick.item).and_then(|thing| thing.shape);
                if let Some(open) = &self.open {
                    let field = Part::Far.field(shape, Some(side));
                    self.open_keys(FieldRef::spot(field, open.spot).item(quick.item));
                }
            }
        }
    }

    /// Between the quick entry and the full form.
    pub(super) fn turn_form(&mut self) {
        self.full_form = !self.full_form;
        self.show_sheet(None);
    }

    /// Takes kind, shape, sizes and heights over from the thing before; where it lies is asked.
    pub(super) fn as_last(&mut self) {
        let Some(quick) = self.quick() else { return };
        self.change(|survey, spot| {
            let things = &mut survey.spot_mut(spot)?.attic.obstructions.items;
            let here = things.iter().position(|it| it.id == quick.item)?;
            let last = things.get(here.checked_sub(1)?)?.clone();
            let it = things.get_mut(here)?;
            *it = Obstruction {
                id: it.id,
                ahead: it.ahead,
                left: it.left,
                to_ahead: it.to_ahead,
                to_left: it.to_left,
                ..last
            };
            Some(())
        });
    }
}
