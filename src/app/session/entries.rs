//! Entries of lists, and spots: adding, copying, taking out.

use super::*;

impl Session {
    pub(super) fn add_entry(&mut self, list: &'static ListEntry) {
        let added = self.change(|survey, spot| {
            let id = survey.fresh_id();
            let entries = survey.list_mut(list.id, list.of_spot.then_some(spot))?;
            entries.add(id);
            // Something was found after all: whoever adds to it must say again that it is all.
            entries.set_complete(false);
            Some(id)
        });
        if let Some(item) = added {
            self.full_form = false;
            self.enter(list, item);
            // What a thing in the way is and where it lies is picked on its sheet.
            if self.quick().is_none() {
                self.ask_first(list, item);
            }
        }
    }

    /// Opens the first question of an entry that is not answered, words aside.
    fn ask_first(&mut self, list: &'static ListEntry, item: ItemId) {
        let first = self.seen(|seen| {
            seen.questions_of(list, item)
                .into_iter()
                .find(|at| seen.survey.answer(*at).is_none() && flow::asked_in_turn(at.field))
        });
        if let Some(at) = first.flatten() {
            self.open_keys(at);
        }
    }

    /// Adds a copy of a list's last entry.
    pub(super) fn add_like_last(&mut self, list: &'static ListEntry) {
        let last = self.open.as_ref().and_then(|open| {
            let spot = list.of_spot.then_some(open.spot);
            open.survey().list(list.id, spot)?.ids().last().copied()
        });
        if let Some(item) = last {
            self.enter(list, item);
            self.add_copy();
        }
    }

    pub(super) fn add_copy(&mut self) {
        let Some(Place::Item { list, item }) = self.place() else {
            return;
        };
        let added = self.change(|survey, spot| {
            let id = survey.fresh_id();
            let entries = survey.list_mut(list.id, list.of_spot.then_some(spot))?;
            entries.set_complete(false);
            entries.add_copy(item, id).then_some(id)
        });
        if let Some(item) = added {
            self.enter(list, item);
        }
    }

    /// Stands at an entry; back leads to its stop.
    pub(super) fn enter(&mut self, list: &'static ListEntry, item: ItemId) {
        self.show_sheet(None);
        self.guard.came_up();
        self.at.enter(list, item);
        self.stand();
        self.tie_to(Place::Item { list, item });
        self.bookmark();
    }

    /// Takes an entry out; it can be brought back.
    pub fn remove_entry(&mut self, list: &'static ListEntry, item: ItemId) {
        let removed = self.change(|survey, spot| {
            let entries = survey.list_mut(list.id, list.of_spot.then_some(spot))?;
            entries.remove(item).then_some(())
        });
        if removed.is_some() {
            let text = self
                .reader()
                .said(&Say::new("Taken out: {what}.").with("what", list.one));
            self.say(text, Some(Undo::Change));
        }
    }

    /// Adds a spot, empty or with the answers of the present one, and stands at it.
    pub fn add_spot(&mut self, copy: bool) {
        let added = self.change(|survey, spot| {
            if copy {
                let id = survey.copy_spot(spot)?;
                // Two spots of one name could not be told apart.
                survey.put(FieldRef::spot(SPOT_NAME.id, id), None).ok()?;
                Some(id)
            } else {
                Some(survey.add_spot())
            }
        });
        if let (Some(spot), Some(open)) = (added, &mut self.open) {
            open.spot = spot;
            self.judge();
            self.go_stop(Stop::Hall);
            // Two spots are told apart by their names.
            self.open_keys(FieldRef::spot(SPOT_NAME.id, spot));
        }
    }

    /// Takes over what this stop has in common with another spot, as far as it is not answered here: one tap, one
    /// change.
    pub(super) fn as_spot(&mut self) {
        let Some(Place::Stop(stop)) = self.place() else {
            return;
        };
        let Some(common) = self.seen(|seen| seen.common(stop)).flatten() else {
            return;
        };
        self.change(|survey, spot| {
            for field in common.fields {
                let value = survey.answer(FieldRef::spot(field, common.of));
                survey.put(FieldRef::spot(field, spot), value).ok()?;
            }
            for list in common.lists {
                let there = survey.list(list, Some(common.of))?;
                let all = there.complete();
                let entries: Vec<Vec<_>> = there
                    .ids()
                    .into_iter()
                    .filter_map(|item| there.item(item))
                    .map(|it| {
                        let slots = it.slots().iter();
                        slots.map(|slot| (slot.name, it.get(slot.name))).collect()
                    })
                    .collect();
                for answers in entries {
                    let id = survey.fresh_id();
                    let here = survey.list_mut(list, Some(spot))?;
                    here.add(id);
                    let it = here.item_mut(id)?;
                    for (name, value) in answers {
                        it.set(name, value);
                    }
                }
                survey.list_mut(list, Some(spot))?.set_complete(all);
            }
            Some(())
        });
    }

    pub(super) fn remove_spot(&mut self) {
        let removed = self.change(|survey, spot| {
            (survey.spots.len() > 1 && survey.remove_spot(spot)).then_some(())
        });
        if removed.is_some() {
            if let Some(open) = &mut self.open {
                open.spot = open.survey().spots[0].id;
            }
            self.judge();
            let text = self.reader().tr("The spot is taken out.");
            self.say(text, Some(Undo::Change));
        }
    }

    /// What a spot is called.
    pub fn spot_title(&self, at: usize) -> String {
        let name = self
            .open
            .as_ref()
            .and_then(|open| open.survey().spots.get(at))
            .and_then(|spot| spot.name.clone())
            .filter(|name| !name.trim().is_empty());
        name.unwrap_or_else(|| {
            self.reader()
                .said(&Say::new("Spot {number}").with("number", at + 1))
        })
    }

    /// The number of the present spot, from nought.
    pub fn spot_index(&self) -> usize {
        self.open
            .as_ref()
            .and_then(|open| {
                open.survey()
                    .spots
                    .iter()
                    .position(|spot| spot.id == open.spot)
            })
            .unwrap_or(0)
    }
}
