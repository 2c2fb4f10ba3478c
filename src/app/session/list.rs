//! The surveys of this device: beginning, opening, deleting, finding one.

use super::*;

impl Session {
    /// The surveys that match the search, in the order that was picked.
    pub fn surveys(&self) -> Vec<&Facts> {
        let wanted = self.search.to_lowercase();
        let mut surveys: Vec<&Facts> = self
            .surveys
            .iter()
            .filter(|facts| {
                wanted.is_empty()
                    || [&facts.client, &facts.address, &facts.job_reference]
                        .into_iter()
                        .flatten()
                        .any(|text| text.to_lowercase().contains(&wanted))
            })
            .collect();
        // The store lists them by their last change; that stays among equals.
        match self.order {
            Order::Changed => {}
            Order::Name => surveys.sort_by_key(|facts| self.title_of(facts).to_lowercase()),
            Order::ToHandOver => {
                surveys.sort_by_key(|facts| facts.revision > 0 && !facts.changed_since);
            }
        }
        surveys
    }

    /// The order of the list.
    pub fn order(&self) -> Order {
        self.order
    }

    /// Puts the list into another order.
    pub fn set_order(&mut self, order: Order) {
        self.order = order;
    }

    /// The deleted surveys that can be brought back, the one deleted last first.
    pub fn deleted(&self) -> &[Deleted] {
        &self.deleted
    }

    /// Brings a deleted survey back, with everything that was in it.
    pub fn bring_back(&mut self, key: &str) {
        match self.store.put_back(key) {
            Ok(()) => {
                let text = self.reader().tr("The survey is back.");
                self.say(text, None);
            }
            Err(error) => self.say(self.told(&error), None),
        }
        self.list_again();
    }

    /// How many surveys there are on this device.
    pub fn survey_count(&self) -> usize {
        self.surveys.len()
    }

    /// Narrows the list.
    pub fn search(&mut self, text: &str) {
        self.search = text.trim().to_owned();
    }

    /// Begins a survey, which is on disk at once.
    pub fn begin_survey(&mut self) {
        let mut survey = Survey::begin(Uuid::new_v4(), (self.now)(), self.settings.tape);
        survey.arrival.surveyor.clone_from(&self.settings.surveyor);
        survey.arrival.visited_at = Some((self.now)());
        let trouble = self.clock_trouble();
        match self.store.begin(survey) {
            Ok(held) => {
                self.stand_in(held);
                if let Some(trouble) = trouble {
                    self.say(trouble, None);
                }
            }
            Err(error) => self.say(self.told(&error), None),
        }
    }

    /// What is wrong with the device's clock, where that shows: it is before the program was built, or before the
    /// last change of a survey here. Every answer would carry a wrong date.
    pub fn clock_trouble(&self) -> Option<String> {
        /// Clocks that are set by the network go back a little now and then.
        const SLACK_SECONDS: i64 = 300;
        let now = (self.now)();
        let last = self.surveys.iter().map(|facts| facts.changed);
        let last = last.max_by_key(When::unix_seconds);
        let say = match last {
            _ if now.unix_seconds() + SLACK_SECONDS < self.built => Say::new(
                "Set this device's date and time. It says {now}; this joistlight was built after that.",
            ),
            Some(last) if now.unix_seconds() + SLACK_SECONDS < last.unix_seconds() => Say::new(
                "Set this device's date and time. It says {now}; the last survey here was changed {last}.",
            )
            .with("last", when_shown(&last.to_string())),
            _ => return None,
        };
        Some(
            self.reader()
                .said(&say.with("now", when_shown(&now.to_string()))),
        )
    }

    /// Opens a survey where the surveyor stopped in it.
    pub fn open_survey(&mut self, id: Uuid) {
        match self.store.survey(id) {
            Ok(held) => self.stand_in(held),
            Err(error) => {
                self.say(self.told(&error), None);
                self.list_again();
            }
        }
    }

    pub(super) fn stand_in(&mut self, held: OpenSurvey) {
        let place = held.place().clone();
        let survey = held.survey();
        let spot = place
            .spot
            .filter(|spot| survey.spot(*spot).is_some())
            .or_else(|| survey.spots.first().map(|spot| spot.id))
            .unwrap_or(ItemId(0));
        let picked = BTreeMap::new();
        let judged = Judged::at(
            survey,
            &self.fans,
            &self.settings.codes,
            &self.reader(),
            spot,
            &picked,
        );
        let notices: Vec<String> = held.notices().iter().map(ToString::to_string).collect();
        self.open = Some(Open {
            held,
            spot,
            stop: Stop::Arrival,
            judged,
            picked,
            troubles: BTreeMap::new(),
            worked: false,
            asked: false,
        });
        self.show_sheet(None);
        self.notice = None;
        self.hand_over.trouble.clear();
        self.resume(&place);
        if !notices.is_empty() {
            self.say(notices.join(" "), None);
        }
    }

    /// Stands where the surveyor stopped.
    pub(super) fn resume(&mut self, place: &store::Bookmark) {
        self.at.go(match Stop::from_code(&place.page) {
            Some(stop) => View::Place(Place::Stop(stop)),
            None => View::Walk,
        });
        self.stand();
        // Whoever was there when the program ended may have worked there.
        self.note_work();
        if let (Some(list), Some(item), Some(open)) = (
            place.list.as_deref().and_then(fields::list),
            place.item,
            &self.open,
        ) {
            let there = Place::Item { list, item };
            if there.exists(open.survey(), open.spot) {
                self.enter(list, item);
            }
        }
        if let View::Place(there) = self.view() {
            self.tie_to(there);
            let at = place
                .field
                .as_deref()
                .and_then(field_name)
                .map(|field| FieldRef {
                    field,
                    spot: there
                        .of_spot()
                        .then(|| self.open.as_ref().map(|open| open.spot))
                        .flatten(),
                    item: place.item,
                });
            // On the same field, with its keys up where they were.
            match at {
                Some(at) if open_field_exists(&self.open, at) => self.open_keys(at),
                _ => self.show = at.map(Key::Field),
            }
        }
        self.bookmark();
    }

    /// Deletes a survey; it can be brought back.
    pub fn remove_survey(&mut self, id: Uuid) {
        let name = self
            .surveys
            .iter()
            .find(|facts| facts.id == id)
            .map_or(String::new(), |facts| self.title_of(facts));
        if self
            .open
            .as_ref()
            .is_some_and(|open| open.survey().id == id)
        {
            self.open = None;
        }
        match self.store.delete(id, (self.now)()) {
            Ok(()) => {
                let text = self
                    .reader()
                    .said(&Say::new("“{survey}” is deleted.").with("survey", name));
                self.say(text, Some(Undo::Deleted(id)));
            }
            Err(error) => self.say(self.told(&error), None),
        }
        self.list_again();
    }

    pub(super) fn put_back(&mut self, id: Uuid) {
        let put_back = self.store.deleted().and_then(|deleted| {
            let key = deleted
                .into_iter()
                .find(|it| it.facts.as_ref().is_some_and(|facts| facts.id == id))
                .map(|it| it.key);
            key.map_or(Ok(()), |key| self.store.put_back(&key))
        });
        if let Err(error) = put_back {
            self.say(self.told(&error), None);
        }
        self.list_again();
    }

    pub(super) fn list_again(&mut self) {
        self.deleted = self.store.deleted().unwrap_or_default();
        match self.store.list() {
            Ok((surveys, notices)) => {
                self.surveys = surveys;
                if !notices.is_empty() {
                    let all: Vec<String> = notices.iter().map(|it| self.told(it)).collect();
                    self.say(all.join(" "), None);
                }
            }
            Err(error) => self.say(self.told(&error), None),
        }
    }

    /// What a survey is called in the list.
    pub fn title_of(&self, facts: &Facts) -> String {
        self.first_name([&facts.client, &facts.address, &facts.job_reference])
    }

    /// What the open survey is called over its pages.
    pub fn survey_title(&self) -> String {
        self.open.as_ref().map_or(String::new(), |open| {
            let arrival = &open.survey().arrival;
            self.first_name([&arrival.client, &arrival.address, &arrival.job_reference])
        })
    }

    pub(super) fn first_name(&self, names: [&Option<String>; 3]) -> String {
        names
            .into_iter()
            .flatten()
            .find(|text| !text.trim().is_empty())
            .cloned()
            .unwrap_or_else(|| self.reader().tr("Survey without a name"))
    }

    /// Notes where one stands. A lost bookmark costs one tap; it is not worth a message.
    pub(super) fn bookmark(&mut self) {
        let id = self.open.as_ref().map(|open| open.survey().id);
        let _ = self.store.note_open(id);
        let (Some(open), View::Walk | View::Place(_)) = (&mut self.open, self.at.view()) else {
            return;
        };
        let field = match &self.sheet {
            Some(Sheet::Keys { at, .. } | Sheet::Picks { at }) => Some(at.field.to_owned()),
            _ => None,
        };
        let (page, list, item) = match self.at.view() {
            View::Place(Place::Item { list, item }) => {
                (list.stop.code(), Some(list.id.to_owned()), Some(item))
            }
            View::Place(Place::Stop(stop)) => (stop.code(), None, None),
            _ => ("walk", None, None),
        };
        let _ = open.held.note_place(store::Bookmark {
            page: page.to_owned(),
            spot: Some(open.spot),
            list,
            item,
            field,
        });
    }
}

/// The field of this name, "that is all of them" among them.
fn field_name(name: &str) -> Option<&'static str> {
    match fields::slot(name) {
        Some(slot) => Some(slot.id),
        None => fields::list(name).map(|list| list.complete),
    }
}

fn open_field_exists(open: &Option<Open>, at: FieldRef) -> bool {
    open.as_ref()
        .is_some_and(|open| open.survey().places().contains(&at))
}
